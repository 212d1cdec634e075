//! Options: the same job with a small change each, priced anew from its measured sizes.
//!
//! Given the price of the job as it stands and the changed jobs; gives each option's total and what it adds or saves.
//! Every option goes through the whole of it (layout, programme, packs, costs, VAT), because a heavier mat also takes
//! more resin, more drums and more hours. An option that cannot be laid out or priced is told by its name.

use super::terms::JobMoney;
use super::{Cost, Money, PriceBook, Pricing, Terms, price};
use crate::model::problem::{Level, Source};
use crate::model::{Job, Problem, Products, Rules};
use crate::{programme, takeoff};
use std::thread;
use time::Date;

/// How an option is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Show {
    /// What it adds to the total, or takes off it.
    #[default]
    Difference,
    /// The total that then stands.
    Total,
}

/// An alternative of the job, as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alternative {
    /// Its name.
    pub label: String,
    /// How it is printed.
    pub show: Show,
    /// The job with the change made.
    pub job: Job,
    /// The sums of that job.
    pub money: JobMoney,
    /// Where its settings stand: a path of the changed job, and the path of the same setting in the job file. The first
    /// entry is the whole change.
    pub places: Vec<(String, String)>,
}

impl Alternative {
    /// A problem of the changed job, told in its place in the job file and with the option's name.
    pub fn tell(&self, problem: Problem) -> Problem {
        told(&self.label, &self.places, problem)
    }
}

/// A problem of a changed job, with the option's name and the place where the job file says it.
pub fn told(label: &str, places: &[(String, String)], problem: Problem) -> Problem {
    let fault = format!("option `{label}`: {}", problem.fault);
    let path = match problem.source {
        Source::Job => place(places, &problem.path),
        Source::Firm | Source::Prices(_) | Source::Own(_) => problem.path.clone(),
    };
    Problem { fault, path, ..problem }
}

/// The place of the longest part of a path that the option changes; the option as a whole where it changes none of it.
fn place(places: &[(String, String)], path: &str) -> String {
    let inside = |of: &str| path.strip_prefix(of).filter(|rest| rest.is_empty() || rest.starts_with(['.', '[']));
    let fits = places.iter().filter_map(|(job, file)| Some((job.len(), file, inside(job)?)));
    let nearest = fits.filter(|(length, ..)| *length > 0).max_by_key(|(length, ..)| *length);
    match (nearest, places.first()) {
        (Some((_, file, rest)), _) => format!("{file}{rest}"),
        (None, Some((_, whole))) => whole.clone(),
        (None, None) => String::new(),
    }
}

/// What every option is priced with.
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

/// An option with its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OptionPrice {
    /// Its name.
    pub label: String,
    /// How it is printed.
    pub show: Show,
    /// The total with VAT where the option is taken instead.
    pub total: Money,
    /// That total less the total of the job as it stands; below nothing where the option saves.
    pub difference: Money,
}

/// The options with their prices, and the warnings that only an option brings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PricedOption {
    /// One an alternative, in their order.
    pub options: Vec<OptionPrice>,
    /// Warnings, each with the option's name.
    pub notices: Vec<Problem>,
}

/// Prices every alternative, side by side. `known` are the warnings of the job as it stands, which are not told again.
///
/// # Errors
/// Everything that keeps an option from being laid out or priced, each with the option's name.
pub fn price_all(
    base: Money,
    alternatives: &[Alternative],
    office: Office<'_>,
    known: &[Problem],
) -> Result<PricedOption, Vec<Problem>> {
    let results: Vec<_> = match alternatives {
        [] => Vec::new(),
        [one] => vec![work(one, office)],
        many => thread::scope(|scope| {
            let start = |a| scope.spawn(move || work(a, office));
            let threads: Vec<_> = many.iter().map(start).collect();
            threads.into_iter().map(|t| t.join().expect("pricing never panics")).collect()
        }),
    };
    let (mut priced, mut faults) = (PricedOption::default(), Vec::new());
    for (alternative, result) in alternatives.iter().zip(results) {
        match result {
            Ok((total, notices)) => {
                let (label, show) = (alternative.label.clone(), alternative.show);
                priced.options.push(OptionPrice { label, show, total, difference: total - base });
                let new = notices.into_iter().filter(|p| p.level == Level::Warning && !known.contains(p));
                priced.notices.extend(new.map(|p| alternative.tell(p)));
            }
            Err(problems) => faults.extend(problems.into_iter().map(|p| alternative.tell(p))),
        }
    }
    if faults.is_empty() { Ok(priced) } else { Err(faults) }
}

/// The total of one alternative, with what its layers remark.
fn work(alternative: &Alternative, office: Office<'_>) -> Result<(Money, Vec<Problem>), Vec<Problem>> {
    let Office { rules, products, books, terms, holidays } = office;
    let job = &alternative.job;
    let take_off = takeoff::take_off(job, rules, products)?;
    let plan = programme::plan(job, &take_off, rules, products.catalyst_density, terms.people(), holidays);
    let priced = price(job, rules, &take_off.needs, &plan, books, terms, &alternative.money)?;
    let notices: Vec<Problem> = [take_off.notices, plan.notices, priced.notices].concat();
    let (faults, notices): (Vec<_>, Vec<_>) = notices.into_iter().partition(|p| p.level == Level::Fault);
    if faults.is_empty() { Ok((priced.total, notices)) } else { Err(faults) }
}

impl Pricing {
    /// The same price with its options, each with its working.
    pub fn with_options(mut self, options: Vec<OptionPrice>) -> Pricing {
        let sum = |(n, o): (usize, &OptionPrice)| Cost {
            id: format!("option.{}", n + 1),
            label: o.label.clone(),
            amount: o.difference,
            working: vec![
                "the job laid out, planned and priced again with the change made".into(),
                format!("total with the option {} less the total without it {}", o.total, self.total),
            ],
        };
        let sums: Vec<Cost> = options.iter().enumerate().map(sum).collect();
        self.sums.extend(sums);
        self.options = options;
        self
    }
}
