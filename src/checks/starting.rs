//! Whether the work is to start while the customer may still cancel.
//!
//! Given the first day and the job; says whether that day may lie inside the cancellation period, so that the quote asks
//! for the customer's express request and whoever prepares it is told. For the work the period begins when the customer
//! accepts, which may be on the last day on which the price stands; for the goods when the last of them comes. The law is
//! not settled on which holds for both together: the later is counted from.

use crate::facts::FACTS;
use crate::model::{Job, Problem, SettingPath, Warned};
use rust_decimal::prelude::ToPrimitive;
use time::{Date, Duration};

/// The last day on which the customer may still cancel, where this first day may lie no later and the last of the goods comes
/// on this day: neither the day of acceptance
/// nor that of the delivery is counted (Consumer Contracts Regulations 2013, regulation 30).
pub fn may_end_after(first: Date, goods_come: Option<Date>, job: &Job) -> Option<Date> {
    let end = end_of_time(goods_come, job);
    (first <= end).then_some(end)
}

/// The last day on which the customer may still cancel, where goods come on this one.
fn end_of_time(goods_come: Option<Date>, job: &Job) -> Date {
    time_ends(job.valid_until(), goods_come)
}

/// The last day on which the customer may still cancel what was accepted on a day, where the last of the goods come on another.
pub fn time_ends(accepted: Date, goods_come: Option<Date>) -> Date {
    let days = FACTS.cancel_days.number().to_i64().unwrap_or_default();
    goods_come.map_or(accepted, |come| accepted.max(come)).saturating_add(Duration::days(days))
}

/// The last day on which goods come, where the job itself says one.
fn said_to_come(job: &Job) -> Option<Date> {
    job.delivery.latest.or(job.delivery.earliest)
}

/// What whoever prepares the quote should know of its start: nothing where the customer is a business, which may not cancel, or where it is the delivery's usual day alone that lies so near.
pub fn notice(job: &Job) -> Option<Problem> {
    // One that is past already is told as such.
    let first = job.start.filter(|first| *first >= job.prepared && !job.reverse_charge)?;
    let end = Some(end_of_time(said_to_come(job), job)).filter(|end| first <= *end)?;
    let accepted = job.valid_until();
    let since = match said_to_come(job).filter(|come| *come > accepted) {
        Some(come) => format!("it may run from the delivery, on {come} at the latest"),
        None => format!("the price can be accepted until {accepted}"),
    };
    Some(Problem::warning(
        Warned::Start,
        SettingPath::from(["start"]),
        format!(
            "the start, {first}, may lie inside the {} in which the customer may cancel: {since}",
            FACTS.cancel_days
        ),
        format!(
            "start only if the customer has ticked on the page \u{201c}Acceptance\u{201d} that you are asked to, or after {end}"
        ),
    ))
}
