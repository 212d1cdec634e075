//! What a job took against what was planned, and the norms that come of it over several jobs.
//!
//! Given a programme with its lines and the hours that were spent; gives both beside each other, and what each norm was on this
//! job. Over several jobs a norm is the median of what they took, between two of them that hold the true median with a stated
//! probability, whatever way the hours are spread: each job lies over it as likely as under it, so that the ranks follow the
//! binomial distribution (David and Nagaraja, Order Statistics, 3rd edition 2003, section 7.1; from memory).

use super::Programme;
use crate::model::limits;
use crate::model::{Job, Rules};
use crate::takeoff::Line;
use crate::works::{Norm, WorkKind};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// No norm is proposed from fewer jobs.
pub const FEWEST_JOBS: usize = 5;
/// The interval holds the median with this probability at least, in hundredths: of five jobs it is the whole of them, 93.7 %.
const LEAST_COVERAGE: u128 = 90;

/// The hours of one work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkHours {
    /// The work.
    pub work: WorkKind,
    /// As planned; nothing where the plan has none for it.
    pub planned: Decimal,
    /// As recorded; `None` where nobody wrote them down.
    pub spent: Option<Decimal>,
}

/// What a norm was on one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NormSeen {
    /// The rule.
    pub rule: &'static str,
    /// As the firm file writes its unit.
    pub per: &'static str,
    /// What was planned with.
    pub planned: Decimal,
    /// What it came to.
    pub seen: Decimal,
}

/// What a norm came to over several jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NormProposed {
    /// The rule.
    pub rule: &'static str,
    /// As the firm file writes its unit.
    pub per: &'static str,
    /// As it stands in the firm file.
    pub present: Decimal,
    /// The middle of what the jobs took.
    pub median: Decimal,
    /// From this one.
    pub low: Decimal,
    /// To that one.
    pub high: Decimal,
    /// With this probability the true median lies between both, %.
    pub coverage: Decimal,
    /// Of so many jobs.
    pub jobs: usize,
}

impl NormProposed {
    /// Whether the present norm lies outside of what was seen, so that another is worth taking.
    pub fn differs(&self) -> bool {
        self.present < self.low || self.present > self.high
    }
}

/// The hours of every work that takes any, in the order of the work.
pub fn hours(programme: &Programme, spent: &[(WorkKind, Decimal)]) -> Vec<WorkHours> {
    let mut planned: BTreeMap<WorkKind, Decimal> = BTreeMap::new();
    for part in programme.work.iter().flat_map(|labour| &labour.parts) {
        *planned.entry(part.work).or_default() += part.hours;
    }
    for (work, _) in spent {
        planned.entry(*work).or_default();
    }
    let recorded = |work: WorkKind| spent.iter().find(|(kind, _)| *kind == work).map(|(_, hours)| *hours);
    planned.into_iter().map(|(work, planned)| WorkHours { work, planned, spent: recorded(work) }).collect()
}

/// What the norms were on a job. A work whose hours come of several norms says nothing of any one of them, nor does one that a
/// covering or a surface of the job brings figures of its own for.
pub fn norms(hours: &[WorkHours], lines: &[Line], job: &Job, rules: &Rules) -> Vec<NormSeen> {
    let mut found: BTreeMap<&str, (&Norm, Decimal, Decimal)> = BTreeMap::new();
    for work in hours {
        let Some(spent) = work.spent.filter(|_| work.planned > Decimal::ZERO) else { continue };
        let counted = |norm: &&Norm| quantity(work.work, norm, lines, job) > Decimal::ZERO;
        let norms: Vec<&Norm> = work.work.faces().hours.get().unwrap_or_default().iter().filter(counted).collect();
        let [norm] = norms.as_slice() else { continue };
        let quantity = quantity(work.work, norm, lines, job);
        // Hours for the quantity by the rule are those that were planned, or the figures are not the rule's.
        if (quantity * (norm.hours)(rules) - work.planned).abs() > Decimal::new(1, 2) {
            continue;
        }
        let so_far = found.entry(norm.rule).or_insert((norm, Decimal::ZERO, Decimal::ZERO));
        so_far.1 += spent;
        so_far.2 += quantity;
    }
    let seen = |(norm, spent, quantity): (&Norm, Decimal, Decimal)| NormSeen {
        rule: norm.rule,
        per: norm.per,
        planned: (norm.hours)(rules),
        seen: spent / quantity,
    };
    found.into_values().map(seen).collect()
}

/// What a norm is multiplied by on a job.
fn quantity(kind: WorkKind, norm: &Norm, lines: &[Line], job: &Job) -> Decimal {
    let counted = lines.iter().filter(|line| line.work_of(kind) && (norm.of)(line.id));
    counted.filter(|line| super::labour::is_done(kind, line, job)).map(|line| line.quantity).sum()
}

/// What the norms come to over several jobs, of those that enough jobs have seen; in the order of the rules' names.
pub fn proposed(jobs: &[Vec<NormSeen>], present: &Rules) -> Vec<NormProposed> {
    let mut by_rule: BTreeMap<&str, Vec<&NormSeen>> = BTreeMap::new();
    for seen in jobs.iter().flatten() {
        by_rule.entry(seen.rule).or_default().push(seen);
    }
    let one = |seen: Vec<&NormSeen>| {
        let first = *seen.first()?;
        let mut values: Vec<Decimal> = seen.iter().map(|s| s.seen).collect();
        values.sort_unstable();
        let (rank, coverage) = ranks(values.len())?;
        let (low, high) = (values[rank - 1], values[values.len() - rank]);
        let present = norm_of(first.rule).map_or(first.planned, |norm| (norm.hours)(present));
        let (rule, per, jobs) = (first.rule, first.per, values.len());
        Some(NormProposed { rule, per, present, median: median(&values), low, high, coverage, jobs })
    };
    by_rule.into_values().filter_map(one).collect()
}

/// The norm of a rule.
fn norm_of(rule: &str) -> Option<&'static Norm> {
    let norms = WorkKind::ALL.iter().flat_map(|kind| kind.faces().hours.get().unwrap_or_default());
    norms.into_iter().find(|norm| norm.rule == rule)
}

/// The middle of sorted values, or the mean of both that stand there.
fn median(sorted: &[Decimal]) -> Decimal {
    let middle = sorted.len() / 2;
    match sorted.len() % 2 {
        1 => sorted[middle],
        _ => (sorted[middle - 1] + sorted[middle]) / Decimal::TWO,
    }
}

/// Which of so many sorted values, from the lowest and as many from the highest, hold the median, and with which probability,
/// %: the innermost two that do so with `LEAST_COVERAGE`. Below the `rank`-th of `n` values lies the median with probability
/// `(C(n,0) + … + C(n,rank−1)) / 2^n`, and above the other with the same.
pub fn ranks(n: usize) -> Option<(usize, Decimal)> {
    if !(FEWEST_JOBS..=limits::RECORDED_JOBS.most).contains(&n) {
        return None;
    }
    let all = 1_u128 << n;
    // So many of all ways lie outside at one end.
    let mut outside = 0_u128;
    let mut ways = 1_u128;
    let mut found = None;
    for rank in 1..=n / 2 {
        outside += ways;
        if outside.checked_mul(200)? > all.checked_mul(100 - LEAST_COVERAGE)? {
            break;
        }
        found = Some((rank, outside));
        ways = ways.checked_mul((n - rank + 1) as u128)? / rank as u128;
    }
    let (rank, outside) = found?;
    let of_thousand = i64::try_from((all - 2 * outside).checked_mul(1000)? / all).ok()?;
    Some((rank, Decimal::new(of_thousand, 1)))
}
