//! A day as somebody writes it into a field.
//!
//! Given words; gives the day, or nothing where they could mean another. Figures alone are read as day, month, year, as dates are
//! written in the United Kingdom.

use time::{Date, Month};

const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// `2 December 2026`, `Wednesday 2nd Dec 2026`, `2/12/2026`, `02.12.26`, `2026-12-02`.
pub fn written_day(words: &str) -> Option<Date> {
    let parts: Vec<&str> = words.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    let parts: Vec<&str> = parts.into_iter().filter(|part| !is_weekday(part)).collect();
    let [a, b, c] = parts.as_slice() else { return None };
    let (year, month, day) = if a.len() == 4 && number(a).is_some() { (a, b, c) } else { (c, b, a) };
    let year = match (year.len(), number(year)?) {
        (4, year) => year,
        (2, year) => 2000 + year,
        _ => return None,
    };
    let day = day.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let month = u8::try_from(month_of(month)?).ok()?;
    Date::from_calendar_date(i32::from(year), Month::try_from(month).ok()?, u8::try_from(number(day)?).ok()?).ok()
}

fn number(part: &str) -> Option<u16> {
    part.bytes().all(|b| b.is_ascii_digit()).then(|| part.parse().ok())?
}

fn month_of(part: &str) -> Option<u16> {
    let lower = part.to_lowercase();
    let named = || MONTHS.iter().zip(1..).find(|(name, _)| lower.starts_with(**name)).map(|(_, n)| n);
    number(part).or_else(named)
}

fn is_weekday(part: &str) -> bool {
    let lower = part.to_lowercase();
    lower.starts_with(|c: char| c.is_alphabetic()) && lower.ends_with("day")
        || ["mon", "tue", "tues", "wed", "thu", "thur", "thurs", "fri", "sat", "sun"].contains(&lower.as_str())
}
