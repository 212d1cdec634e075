//! Bank holidays of England and Wales.
//!
//! Given a day; says which holiday it is. Schedule 1 to the Banking and Financial Dealings Act 1971; Good Friday and Christmas Day at
//! common law; New Year’s Day, the first Monday in May and the days in lieu by proclamation each year (from memory). What was
//! proclaimed for one year alone, as for a coronation, is not known here.

use time::{Date, Duration, Month, Weekday};

/// What the holiday is called that is kept on a day; `None` on any other. One that falls on a weekend is kept on the next day that is
/// neither of a weekend nor another holiday.
pub fn bank_holiday(day: Date) -> Option<&'static str> {
    if matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
        return None;
    }
    of_year(day.year()).into_iter().find(|(on, _)| *on == Some(day)).map(|(_, name)| name)
}

/// The days of a year on which its holidays are kept.
fn of_year(year: i32) -> [(Option<Date>, &'static str); 8] {
    let on = |month: Month, day: u8| Date::from_calendar_date(year, month, day).ok();
    let monday = |from: Option<Date>| from.map(first_monday);
    let easter = easter_sunday(year);
    let beside = |days: i64| easter.and_then(|sunday| sunday.checked_add(Duration::days(days)));
    let christmas = on(Month::December, 25).map(|day| kept(day, None));
    [
        (on(Month::January, 1).map(|day| kept(day, None)), "New Year’s Day"),
        (beside(-2), "Good Friday"),
        (beside(1), "Easter Monday"),
        (monday(on(Month::May, 1)), "the early May bank holiday"),
        (monday(on(Month::May, 25)), "the spring bank holiday"),
        (monday(on(Month::August, 25)), "the summer bank holiday"),
        (christmas, "Christmas Day"),
        (on(Month::December, 26).map(|day| kept(day, christmas)), "Boxing Day"),
    ]
}

/// The day itself, or the next that is neither of a weekend nor taken.
fn kept(day: Date, taken: Option<Date>) -> Date {
    let is_free = |day: &Date| !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) && Some(*day) != taken;
    days_from(day).find(is_free).unwrap_or(day)
}

fn first_monday(from: Date) -> Date {
    days_from(from).find(|day| day.weekday() == Weekday::Monday).unwrap_or(from)
}

fn days_from(day: Date) -> impl Iterator<Item = Date> {
    std::iter::successors(Some(day), |day| day.next_day()).take(7)
}

/// Easter Sunday of a year of the Gregorian calendar, by the rule that Meeus gives (Astronomical Algorithms, 1991, chapter 8; first printed
/// in Nature, 20 April 1876).
fn easter_sunday(year: i32) -> Option<Date> {
    let (a, b, c) = (year % 19, year / 100, year % 100);
    let (d, e) = (b / 4, b % 4);
    let g = (b - (b + 8) / 25 + 1) / 3;
    let h = (19 * a + b - d - g + 15) % 30;
    let l = (32 + 2 * e + 2 * (c / 4) - h - c % 4) % 7;
    let m = (a + 11 * h + 22 * l) / 451;
    let n = h + l - 7 * m + 114;
    let month = if n / 31 == 3 { Month::March } else { Month::April };
    Date::from_calendar_date(year, month, u8::try_from(n % 31 + 1).ok()?).ok()
}
