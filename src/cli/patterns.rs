//! Regular expressions for numbers between limits, and for values with units.
//!
//! Given how a value is written and its limits; gives an expression that takes what the reader takes. The expressions use
//! nothing but classes, groups and counts, so that every engine reads them alike.

use crate::job_file::reference::UnitWord;
use crate::model::limits::Limit;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// The whole of a text.
pub(super) fn whole(inner: &str) -> String {
    format!("^({inner})$")
}

/// A number with one of its units, between limits where it has them.
pub(super) fn with_units(units: &[UnitWord], limit: Option<Limit>) -> String {
    let one = |unit: &UnitWord| {
        let number = match limit {
            Some(limit) => between(limit.least / unit.each, limit.most / unit.each, unit.places),
            None => format!(r"\d{{1,20}}{}", any_fraction(unit.places)),
        };
        format!("({number}) *{}", escaped(&unit.word))
    };
    units.iter().map(one).collect::<Vec<_>>().join("|")
}

/// One value, or from one to another.
pub(super) fn range(units: &[UnitWord], limit: Option<Limit>) -> String {
    let one = with_units(units, limit);
    format!("({one})( +to +({one}))?")
}

/// Pounds, with pence in two digits or none.
pub(super) fn money(limit: Option<Limit>) -> String {
    let Some(limit) = limit else { return r"\d{1,8}(\.\d\d)?".to_owned() };
    format!(r"(?=\d+(\.\d\d)?$)({})", between(limit.least, limit.most, Some(2)))
}

/// One in how much.
pub(super) fn fall(limit: Option<Limit>) -> String {
    format!("1 *: *({})", limit.map_or(r"\d{1,4}(\.\d+)?".to_owned(), |l| between(l.least, l.most, None)))
}

/// Thickness and width of a timber.
pub(super) fn section(thickness: Limit, width: Limit) -> String {
    let side = |l: Limit| between(l.least, l.most, Some(0));
    format!("({}) *(mm *)?[x×] *({}) *mm", side(thickness), side(width))
}

/// A text as it stands.
fn escaped(text: &str) -> String {
    text.chars().map(|c| if "\\^$.|?*+()[]{}".contains(c) { format!("\\{c}") } else { c.to_string() }).collect()
}

/// A number from the least to the most, with so many places after the point that are not nothing.
pub(super) fn between(least: Decimal, most: Decimal, places: Option<u32>) -> String {
    if most < Decimal::ZERO {
        return format!("-({})", between(-most, -least, places));
    }
    if least < Decimal::ZERO {
        let below = between(Decimal::ZERO, -least, places);
        return format!("-({below})|{}", between(Decimal::ZERO, most, places));
    }
    let (least, most) = (least.normalize(), most.normalize());
    let scale = least.scale().max(most.scale());
    let one = 10_u64.pow(scale);
    let scaled = |d: Decimal| (d * Decimal::from(one)).round().to_u64().unwrap_or(u64::MAX);
    let (low, high) = (scaled(least), scaled(most));
    let (low_whole, high_whole) = (low / one, high / one);
    let parts = match low_whole == high_whole {
        true => vec![(low_whole, low_whole, fraction(low % one, Some(high % one), scale, places))],
        false => vec![
            (low_whole, low_whole, fraction(low % one, None, scale, places)),
            (low_whole + 1, high_whole - 1, any_fraction(places)),
            (high_whole, high_whole, fraction(0, Some(high % one), scale, places)),
        ],
    };
    let parts = parts.iter().filter(|(from, to, _)| from <= to);
    parts.map(|(from, to, rest)| format!("0*({}){rest}", digits(*from, *to))).collect::<Vec<_>>().join("|")
}

/// Anything after the point.
fn any_fraction(places: Option<u32>) -> String {
    match places {
        None => r"(\.\d+)?".to_owned(),
        Some(0) => r"(\.0+)?".to_owned(),
        Some(places) => format!(r"(\.\d{{1,{places}}}0*)?"),
    }
}

/// What may stand after the whole part: from `low` to `high` of so many places, to the next whole where there is no `high`.
fn fraction(low: u64, high: Option<u64>, scale: u32, places: Option<u32>) -> String {
    if scale == 0 {
        return if high.is_some() { r"(\.0+)?".to_owned() } else { any_fraction(places) };
    }
    let top = high.unwrap_or(10_u64.pow(scale) - 1);
    let mut all = Vec::new();
    for taken in 1..=scale.min(places.unwrap_or(scale)) {
        let cut = 10_u64.pow(scale - taken);
        let (from, to) = (low.div_ceil(cut), top / cut);
        if from <= to {
            all.push(fixed(&padded(from, taken), &padded(to, taken)));
        }
    }
    let rest = if places.is_none_or(|places| places > scale) { r"\d+" } else { "0+" };
    match high {
        None => all.push(format!("({}){rest}", fixed(&padded(low, scale), &padded(top, scale)))),
        Some(high) => {
            if low < high {
                all.push(format!("({}){rest}", fixed(&padded(low, scale), &padded(high - 1, scale))));
            }
            all.push(format!("{}0+", padded(high, scale)));
        }
    }
    let optional = if low == 0 { "?" } else { "" };
    format!(r"(\.({})){optional}", all.join("|"))
}

fn padded(n: u64, width: u32) -> String {
    format!("{n:0width$}", width = width as usize)
}

/// A whole number from one to another, without noughts before it.
fn digits(from: u64, to: u64) -> String {
    let (mut all, mut from) = (Vec::new(), from);
    while from <= to {
        let most = 10_u64.checked_pow(from.max(1).ilog10() + 1).map_or(u64::MAX, |next| next - 1).min(to);
        all.push(fixed(&from.to_string(), &most.to_string()));
        match most.checked_add(1) {
            Some(next) => from = next,
            None => break,
        }
    }
    all.join("|")
}

/// Numbers of one width, from one to another.
fn fixed(from: &str, to: &str) -> String {
    let (Some(low), Some(high)) = (from.chars().next(), to.chars().next()) else { return String::new() };
    let (low_rest, high_rest) = (&from[1..], &to[1..]);
    if low == high {
        return format!("{low}{}", grouped(fixed(low_rest, high_rest)));
    }
    let all = |sign: &str, text: &str| text.chars().all(|c| c.to_string() == sign);
    let (low_all, high_all) = (all("0", low_rest), all("9", high_rest));
    let next = |c: char, by: i32| char::from_u32((c as i32 + by).unsigned_abs()).unwrap_or(c);
    let (from_full, to_full) = (if low_all { low } else { next(low, 1) }, if high_all { high } else { next(high, -1) });
    let mut parts = Vec::new();
    if !low_all {
        parts.push(format!("{low}{}", grouped(fixed(low_rest, &"9".repeat(low_rest.len())))));
    }
    if from_full <= to_full {
        let class = if from_full == to_full { from_full.to_string() } else { format!("[{from_full}-{to_full}]") };
        let count = low_rest.len();
        parts.push(match count {
            0 => class,
            1 => format!(r"{class}\d"),
            _ => format!(r"{class}\d{{{count}}}"),
        });
    }
    if !high_all {
        parts.push(format!("{high}{}", grouped(fixed(&"0".repeat(high_rest.len()), high_rest))));
    }
    parts.join("|")
}

fn grouped(inner: String) -> String {
    if inner.contains('|') { format!("({inner})") } else { inner }
}
