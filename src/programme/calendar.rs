//! Working days: Monday to Friday, less the firm's holidays.
//!
//! Given a date and the days on which nobody works; gives the next day on which somebody does. A start on a Sunday is
//! moved forward, never back.

use crate::model::job::Delivery;
use time::{Date, Weekday};

/// Whether anybody works on that day.
pub fn is_working_day(date: Date, holidays: &[Date]) -> bool {
    !matches!(date.weekday(), Weekday::Saturday | Weekday::Sunday) && !holidays.contains(&date)
}

/// The day itself where it is a working day, else the next one.
pub fn on_or_after(date: Date, holidays: &[Date]) -> Date {
    let mut day = date;
    while !is_working_day(day, holidays) {
        match day.next_day() {
            Some(next) => day = next,
            None => return date,
        }
    }
    day
}

/// The last working day before that day.
pub fn last_before(date: Date, holidays: &[Date]) -> Date {
    let before = std::iter::successors(date.previous_day(), |day| day.previous_day());
    before.take(366).find(|day| is_working_day(*day, holidays)).unwrap_or(date)
}

/// The last day on which goods come, where one is known: as the job says, else the last working day before the start.
pub fn goods_come(delivery: &Delivery, start: Option<Date>, holidays: &[Date]) -> Option<Date> {
    delivery.latest.or_else(|| delivery.earliest.max(start.map(|day| last_before(day, holidays))))
}

/// The `n`th working day after `date`; `date` itself for 0.
pub fn working_days_after(date: Date, n: u32, holidays: &[Date]) -> Date {
    (0..n).fold(date, |day, _| on_or_after(day.saturating_add(time::Duration::DAY), holidays))
}
