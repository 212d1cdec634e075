//! Whether the work is to start while the customer may still cancel.
//!
//! Given the first day and the job; says whether that day may lie inside the cancellation period, so that the quote asks
//! for the customer's express request and whoever prepares it is told. The period begins when the customer accepts, which
//! may be on the last day on which the price stands: that day is counted from.

use crate::facts::FACTS;
use crate::model::{Job, Problem, SettingPath, Warned};
use rust_decimal::prelude::ToPrimitive;
use time::{Date, Duration};

/// Whether this first day may lie inside the cancellation period: the day of acceptance is not counted (Consumer
/// Contracts Regulations 2013, regulation 30).
pub fn may_lie_within(first: Date, job: &Job) -> bool {
    let days = FACTS.cancel_days.number().to_i64().unwrap_or_default();
    first <= job.valid_until().saturating_add(Duration::days(days))
}

/// What whoever prepares the quote should know of its start.
pub fn notice(job: &Job) -> Option<Problem> {
    // One that is past already is told as such.
    let first = job.start.filter(|first| *first >= job.prepared && may_lie_within(*first, job))?;
    Some(Problem::warning(
        Warned::Start,
        SettingPath::from(["start"]),
        format!(
            "the start, {first}, may lie inside the {} in which the customer may cancel: the price can be accepted until {}",
            FACTS.cancel_days,
            job.valid_until()
        ),
        "start only if the customer has ticked on the page \u{201c}Acceptance\u{201d} that you are asked to, or start later",
    ))
}
