//! One job taken through every layer: laid out, checked, planned, priced.
//!
//! Given a job as it was read and the firm's office; gives the values of every layer, or every fault that stops it. Days are planned
//! once, when the job is laid out, since what is sawn where a day ends is part of its layout. The
//! only place that strings the layers together: the job as it stands and each of its options come through the same two
//! functions, so that an option cannot be priced otherwise than the job.

use crate::checks::{self, Checked};
use crate::model::{Firm, Job, Level, Problem, Products, Rules, SettingPath, Warned, hands, limits};
use crate::pricing::options::{self, Choices, CombinationTotal};
use crate::pricing::terms::{AgreedPrice, Agreement};
use crate::pricing::{self, JobMoney, Money, OptionPrice, OptionTotals, PriceBook, Pricing, Terms};
use crate::programme::{self, Programme};
use crate::takeoff::{self, TakeOff};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::thread;
use time::Date;

/// A job that is laid out and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// The layout.
    pub take_off: TakeOff,
    /// Its days; none where nobody said who works.
    pub programme: Option<Programme>,
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

/// Who works, and when nobody does.
#[derive(Debug, Clone, Copy)]
pub struct Crew<'a> {
    /// People in the crew.
    pub people: u32,
    /// Days on which nobody works.
    pub holidays: &'a [Date],
}

impl<'a> Crew<'a> {
    /// Who works for a firm; nothing where no firm file was found.
    pub fn of(firm: Option<&'a Firm>, terms: Option<&Terms>) -> Option<Crew<'a>> {
        Some(Crew { people: terms?.people(), holidays: &firm?.holidays })
    }
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

impl<'a> Office<'a> {
    /// Who works for it.
    pub fn crew(&self) -> Crew<'a> {
        Crew { people: self.terms.people(), holidays: self.holidays }
    }
}

/// Lays a job out, plans its days where it is known who works, and checks it. Sizes only: no price is needed.
///
/// # Errors
/// Every fault that stops the layout.
pub fn lay_out(job: &Job, rules: &Rules, products: &Products, crew: Option<Crew<'_>>) -> Result<LaidOut, Vec<Problem>> {
    lay_out_beside(None, job, (rules, products), crew)
}

/// The same beside a job that is laid out already, which it differs from in little.
fn lay_out_beside(
    laid: Option<(&Job, &TakeOff)>,
    job: &Job,
    (rules, products): (&Rules, &Products),
    crew: Option<Crew<'_>>,
) -> Result<LaidOut, Vec<Problem>> {
    let mut take_off = takeoff::take_off_beside(laid, job, rules, products)?;
    let programme = crew.map(|crew| planned(job, &take_off, (rules, products), crew));
    if let Some(programme) = &programme {
        take_off = take_off.sawn_at(job, |roof| programme::lines_of(&programme.stops, roof), (rules, products));
    }
    let checked = checks::check(job, &take_off, rules, products);
    Ok(LaidOut { take_off, programme, checked })
}

fn planned(job: &Job, take_off: &TakeOff, (rules, products): (&Rules, &Products), crew: Crew<'_>) -> Programme {
    programme::plan(job, take_off, rules, products.catalyst_density, crew.people, crew.holidays)
}

/// Prices a job that is laid out, and plans it where that was not done.
///
/// # Errors
/// Everything that keeps it from being built as planned or priced, whichever layer says so.
pub fn estimate(job: &Job, money: &JobMoney, laid: &LaidOut, office: Office<'_>) -> Result<Estimate, Vec<Problem>> {
    let Office { rules, products, books, terms, .. } = office;
    let take_off = &laid.take_off;
    let plan = || planned(job, take_off, (rules, products), office.crew());
    let programme = laid.programme.clone().unwrap_or_else(plan);
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
        let laid = lay_out(job, &rules, office.products, Some(office.crew())).ok();
        let by_firms = laid.and_then(|laid| Some(estimate(job, money, &laid, office).ok()?.pricing.cost));
        RuleCost { name, by_firms }
    };
    own.iter().map(without).collect()
}

/// The options of a job with their prices, what they come to together, and the warnings that only they bring.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PricedOptions {
    /// One an alternative, in their order.
    pub options: Vec<OptionPrice>,
    /// What they come to together.
    pub totals: OptionTotals,
    /// Warnings, each with the option's name.
    pub notices: Vec<Problem>,
}

/// One job with options taken, to be priced.
struct Tried<'a> {
    taken: Vec<usize>,
    job: &'a Job,
    money: &'a JobMoney,
    whose: String,
    places: &'a [(SettingPath, SettingPath)],
}

/// Prices every alternative, and every set of them that can be had, side by side. `base` is the job as it stands, priced,
/// which is `laid` out; `known` are its warnings, which are not told again. A total that was agreed for the job as it
/// stands takes as much off every alternative.
///
/// # Errors
/// Everything that keeps an option from being laid out or priced, each with the option's name.
pub fn price_options(
    base: &Pricing,
    laid: (&Job, &TakeOff),
    choices: Choices<'_>,
    office: Office<'_>,
    known: &[Problem],
) -> Result<PricedOptions, Vec<Problem>> {
    let alone = choices.options.iter().enumerate().map(|(n, a)| Tried {
        taken: a.taken(n),
        job: &a.job,
        money: &a.money,
        whose: options::whose(&[&a.label]),
        places: &a.places,
    });
    let combined = choices.together.combined.iter().map(|c| Tried {
        taken: c.taken.clone(),
        job: &c.job,
        money: &c.money,
        whose: c.whose.clone(),
        places: &c.places,
    });
    let tried: Vec<Tried<'_>> = alone.chain(combined).collect();
    let jobs: Vec<&Job> = tried.iter().map(|one| one.job).collect();
    if let Some(fault) = takeoff::too_many_options(&jobs, office.rules, office.products) {
        return Err(vec![fault]);
    }
    let taken_off = base.asked - base.total;
    let results = side_by_side(&tried, |one| total(one, taken_off, laid, office));
    let mut known: Vec<Problem> = known.to_vec();
    let mut totals: BTreeMap<&[usize], Money> = BTreeMap::from([(&[][..], base.total)]);
    let (mut notices, mut faults) = (Vec::new(), Vec::new());
    for (one, result) in tried.iter().zip(results) {
        let tell = |p| options::told(&one.whose, one.places, p);
        match result {
            Ok((total, remarks)) => {
                totals.insert(&one.taken, total);
                let new = |p: &Problem| p.level == Level::Warning && !known.contains(p);
                let new: Vec<Problem> = remarks.into_iter().filter(new).collect();
                notices.extend(new.iter().cloned().map(tell));
                // What an option alone warns of is not told again of several.
                if one.taken.len() == 1 {
                    known.extend(new);
                }
            }
            Err(problems) => faults.extend(problems.into_iter().map(tell)),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let label = |n: &usize| choices.options.get(*n).map(|a| a.label.clone());
    let priced = choices.options.iter().enumerate().map(|(n, a)| {
        let total_of = |taken: &[usize]| totals.get(taken).copied().unwrap_or(base.total);
        let total = total_of(&a.taken(n));
        OptionPrice {
            label: a.label.clone(),
            show: a.show,
            words: a.words.clone(),
            total,
            difference: total - total_of(&a.needs),
            needs: a.needs.iter().filter_map(label).collect(),
            excludes: a.excludes.iter().filter_map(label).collect(),
        }
    });
    let options: Vec<OptionPrice> = priced.collect();
    let (totals, unlike) = together(base.total, &options, choices, &totals);
    notices.extend(unlike);
    Ok(PricedOptions { options, totals, notices })
}

/// What options come to together, from the totals that were priced; with what the firm should know of it.
fn together(
    base: Money,
    options: &[OptionPrice],
    choices: Choices<'_>,
    totals: &BTreeMap<&[usize], Money>,
) -> (OptionTotals, Option<Problem>) {
    let permitted = &choices.together.permitted;
    let total_of = |taken: &[usize]| totals.get(taken).copied();
    match permitted.len() {
        _ if options.is_empty() => (OptionTotals::NoOption, None),
        0 => {
            let most = limits::COMBINATIONS.most;
            let fault = format!(
                "the options can be had together in more than {most} ways, which are not all priced: the quote asks the \
                 customer to ask for the total of several"
            );
            (OptionTotals::Unknown, Some(Problem::warning(Warned::OptionTotals, ["options"], fault, FEWER)))
        }
        few if few <= limits::TOTALS.most => {
            let each = permitted
                .iter()
                .filter_map(|taken| Some(CombinationTotal { taken: taken.clone(), total: total_of(taken)? }));
            (OptionTotals::Each(each.collect()), None)
        }
        _ => {
            let sum = |taken: &[usize]| base + taken.iter().filter_map(|n| Some(options.get(*n)?.difference)).sum();
            let unlike = permitted.iter().find(|taken| total_of(taken) != Some(sum(taken)));
            let Some(taken) = unlike else { return (OptionTotals::AddUp, None) };
            let labels: Vec<&str> = taken.iter().filter_map(|n| Some(options.get(*n)?.label.as_str())).collect();
            let fault = format!(
                "{} come to {}, where what each adds comes to {}: the quote asks the customer to ask for the total of several",
                options::whose(&labels),
                total_of(taken).unwrap_or(base),
                sum(taken)
            );
            (OptionTotals::Unknown, Some(Problem::warning(Warned::OptionTotals, ["options"], fault, FEWER)))
        }
    }
}

/// How a quote comes to list every total.
const FEWER: &str = "up to 8 totals are listed, that without an option among them: let options exclude one another \
                     (`one_of: colour`), or keep those that matter";

/// Does the same to every one, on as many threads as there are processors and as are free; results in their order.
fn side_by_side<T: Sync, R: Send>(all: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let most = if hands::are_free() { all.len() } else { 1 };
    let threads = thread::available_parallelism().map_or(1, usize::from).min(most);
    if threads <= 1 {
        return all.iter().map(work).collect();
    }
    let part = |first: usize| all.iter().skip(first).step_by(threads).map(&work).collect::<Vec<R>>();
    let parts: Vec<Vec<R>> = thread::scope(|scope| {
        let started: Vec<_> = (0..threads).map(|first| scope.spawn(move || part(first))).collect();
        started.into_iter().map(|t| t.join().expect("pricing never panics")).collect()
    });
    let mut parts: Vec<_> = parts.into_iter().map(Vec::into_iter).collect();
    (0..all.len()).filter_map(|n| parts.get_mut(n % threads)?.next()).collect()
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

/// The total of a job with options taken, with what its layers remark.
fn total(
    tried: &Tried<'_>,
    taken_off: Money,
    laid: (&Job, &TakeOff),
    office: Office<'_>,
) -> Result<(Money, Vec<Problem>), Vec<Problem>> {
    let laid = lay_out_beside(Some(laid), tried.job, (office.rules, office.products), Some(office.crew()))?;
    let money = with_sum_off(tried.money, taken_off);
    let Estimate { programme, pricing } = estimate(tried.job, &money, &laid, office)?;
    let remarks = laid.notices().chain(&programme.notices).chain(&pricing.notices).cloned().collect();
    Ok((pricing.total, remarks))
}
