//! One job taken through every layer: laid out, checked, planned, priced.
//!
//! Given a job as it was read and the firm's office; gives the values of every layer, or every fault that stops it. The
//! only place that strings the layers together: the job as it stands and each of its options come through the same two
//! functions, so that an option cannot be priced otherwise than the job.

use crate::checks::{self, Checked};
use crate::model::{Job, Level, Problem, Products, Rules};
use crate::pricing::terms::{AgreedPrice, Agreement};
use crate::pricing::{self, Alternative, JobMoney, Money, OptionPrice, PriceBook, Pricing, Terms};
use crate::programme::{self, Programme};
use crate::takeoff::{self, TakeOff};
use std::borrow::Cow;
use std::thread;
use time::Date;

/// A job that is laid out and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// The layout.
    pub take_off: TakeOff,
    /// What the checks found in it.
    pub checked: Checked,
}

/// A job that is planned and priced.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The programme.
    pub programme: Programme,
    /// The price.
    pub pricing: Pricing,
}

/// What every job of a firm is planned and priced with.
#[derive(Debug, Clone, Copy)]
pub struct Office<'a> {
    /// The firm's rules.
    pub rules: &'a Rules,
    /// Sizes of products.
    pub products: &'a Products,
    /// The price books.
    pub books: &'a [PriceBook],
    /// The firm's terms.
    pub terms: &'a Terms,
    /// Days on which nobody works.
    pub holidays: &'a [Date],
}

/// Lays a job out and checks it. Sizes only: no price and no terms are needed.
///
/// # Errors
/// Every fault that stops the layout.
pub fn lay_out(job: &Job, rules: &Rules, products: &Products) -> Result<LaidOut, Vec<Problem>> {
    lay_out_beside(None, job, rules, products)
}

/// The same beside a job that is laid out already, which it differs from in little.
fn lay_out_beside(
    laid: Option<(&Job, &TakeOff)>,
    job: &Job,
    rules: &Rules,
    products: &Products,
) -> Result<LaidOut, Vec<Problem>> {
    let take_off = takeoff::take_off_beside(laid, job, rules, products)?;
    let checked = checks::check(job, &take_off, rules, products);
    Ok(LaidOut { take_off, checked })
}

/// Plans and prices a job that is laid out.
///
/// # Errors
/// Everything that keeps it from being built as planned or priced, whichever layer says so.
pub fn estimate(job: &Job, money: &JobMoney, laid: &LaidOut, office: Office<'_>) -> Result<Estimate, Vec<Problem>> {
    let Office { rules, products, books, terms, holidays } = office;
    let take_off = &laid.take_off;
    let programme = programme::plan(job, take_off, rules, products.catalyst_density, terms.people(), holidays);
    let priced = pricing::price(job, rules, &take_off.needs, &programme, books, terms, money);
    let remarks = match &priced {
        Ok(pricing) => &pricing.notices,
        Err(problems) => problems,
    };
    let all = laid.notices().chain(&programme.notices).chain(remarks);
    let faults: Vec<Problem> = all.filter(|p| p.level == Level::Fault).cloned().collect();
    match priced {
        Ok(pricing) if faults.is_empty() => Ok(Estimate { programme, pricing }),
        _ => Err(faults),
    }
}

impl LaidOut {
    /// What the layout and the checks remark, in order.
    pub fn notices(&self) -> impl Iterator<Item = &Problem> {
        self.take_off.notices.iter().chain(&self.checked.notices)
    }
}

/// What a rule that is a job's own does to its cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleCost {
    /// Its name.
    pub name: &'static str,
    /// The cost of the job by the firm's rule; `None` where it could not be built by it.
    pub by_firms: Option<Money>,
}

/// The cost of a job with each of its own rules in turn as the firm has it.
pub fn rule_costs(
    job: &Job,
    money: &JobMoney,
    (own, firms): (&[&'static str], &Rules),
    office: Office<'_>,
) -> Vec<RuleCost> {
    let without = |name: &&'static str| {
        let mut rules = office.rules.clone();
        rules.take(name, firms);
        let office = Office { rules: &rules, ..office };
        let laid = lay_out(job, &rules, office.products).ok();
        let by_firms = laid.and_then(|laid| Some(estimate(job, money, &laid, office).ok()?.pricing.cost));
        RuleCost { name, by_firms }
    };
    own.iter().map(without).collect()
}

/// The options of a job with their prices, and the warnings that only an option brings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PricedOptions {
    /// One an alternative, in their order.
    pub options: Vec<OptionPrice>,
    /// Warnings, each with the option's name.
    pub notices: Vec<Problem>,
}

/// Prices every alternative, side by side. `base` is the job as it stands, priced, which is `laid` out; `known` are its
/// warnings, which are not told again. A total that was agreed for the job as it stands takes as much off every
/// alternative.
///
/// # Errors
/// Everything that keeps an option from being laid out or priced, each with the option's name.
pub fn price_options(
    base: &Pricing,
    laid: (&Job, &TakeOff),
    alternatives: &[Alternative],
    office: Office<'_>,
    known: &[Problem],
) -> Result<PricedOptions, Vec<Problem>> {
    let taken_off = base.asked - base.total;
    let results: Vec<_> = match alternatives {
        [] => Vec::new(),
        [one] => vec![total(one, taken_off, laid, office)],
        many => thread::scope(|scope| {
            let start = |a| scope.spawn(move || total(a, taken_off, laid, office));
            let threads: Vec<_> = many.iter().map(start).collect();
            threads.into_iter().map(|t| t.join().expect("pricing never panics")).collect()
        }),
    };
    let (mut priced, mut faults) = (PricedOptions::default(), Vec::new());
    for (alternative, result) in alternatives.iter().zip(results) {
        match result {
            Ok((total, notices)) => {
                let Alternative { label, show, words, .. } = alternative.clone();
                priced.options.push(OptionPrice { label, show, words, total, difference: total - base.total });
                let new = notices.into_iter().filter(|p| p.level == Level::Warning && !known.contains(p));
                priced.notices.extend(new.map(|p| alternative.tell(p)));
            }
            Err(problems) => faults.extend(problems.into_iter().map(|p| alternative.tell(p))),
        }
    }
    if faults.is_empty() { Ok(priced) } else { Err(faults) }
}

/// The sums of an alternative; of a job whose total was agreed the same sum is off it.
fn with_sum_off(money: &JobMoney, sum: Money) -> Cow<'_, JobMoney> {
    match &money.agreement {
        Some(agreement) if matches!(agreement.price, AgreedPrice::Total(_)) => {
            let price = AgreedPrice::SumOff(sum);
            Cow::Owned(JobMoney { agreement: Some(Agreement { price, ..agreement.clone() }), ..money.clone() })
        }
        _ => Cow::Borrowed(money),
    }
}

/// The total of one alternative, with what its layers remark.
fn total(
    alternative: &Alternative,
    taken_off: Money,
    laid: (&Job, &TakeOff),
    office: Office<'_>,
) -> Result<(Money, Vec<Problem>), Vec<Problem>> {
    let laid = lay_out_beside(Some(laid), &alternative.job, office.rules, office.products)?;
    let money = with_sum_off(&alternative.money, taken_off);
    let Estimate { programme, pricing } = estimate(&alternative.job, &money, &laid, office)?;
    let remarks = laid.notices().chain(&programme.notices).chain(&pricing.notices).cloned().collect();
    Ok((pricing.total, remarks))
}
