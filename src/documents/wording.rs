//! Figures as people write them: money, lengths, areas, dates, plurals and lists.
//!
//! Given finished values; gives text. Nothing is computed here, and nothing depends on where the program runs.

use crate::model::build_up::MaterialLayer;
use crate::model::shape::JoistRun;
pub use crate::model::words::{at, capital, list, once, plural, the, within};
use crate::model::{Area, Length, Range, Role};
use crate::pricing::Money;
use crate::pricing::terms::HeldUntil;
use crate::takeoff::Unit;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::BTreeSet;
use time::Date;

/// `from the left`: from where joists are counted that run so.
pub const fn counted_from(run: JoistRun) -> &'static str {
    match run {
        JoistRun::FrontToBack => "from the left",
        JoistRun::LeftToRight => "from the front",
    }
}

/// From where a place along a joist is measured.
pub const fn along_joists(run: JoistRun) -> &'static str {
    match run {
        JoistRun::FrontToBack => "from the front",
        JoistRun::LeftToRight => "from the left",
    }
}

/// The same, never parted at a line's end where it is short: `Roof 5` and `Dark grey` are read as one word in a narrow column.
pub fn on_a_line(words: &str) -> String {
    if words.chars().count() <= SHORT { words.replace(' ', "\u{a0}") } else { words.to_owned() }
}

/// So many letters stand in the narrowest column.
const SHORT: usize = 9;

/// `£1,234.50`; a minus sign stands before the pound sign.
pub fn money(m: Money) -> String {
    let plain = m.to_string();
    let (sign, digits) = plain.strip_prefix('-').map_or(("", plain.as_str()), |d| ("−", d));
    let (pounds, pence) = digits.split_once('.').unwrap_or((digits, "00"));
    format!("{sign}£{}.{pence}", thousands(pounds))
}

/// Commas between thousands.
fn thousands(digits: &str) -> String {
    let first = digits.len() % 3;
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && i % 3 == first {
            out.push(',');
        }
        out.push(c);
    }
    out
}

/// `5.20 m`, or `3.415 m` where the last millimetre counts.
pub fn metres(l: Length) -> String {
    match l.as_mm() % 10 {
        0 => format!("{:.2} m", l.metres()),
        _ => format!("{:.3} m", l.metres()),
    }
}

/// `1.00 × 0.80 m`.
pub fn metres_by(a: Length, b: Length) -> String {
    let (a, b) = (metres(a), metres(b));
    format!("{} × {b}", a.trim_end_matches(" m"))
}

/// `2 days` for whole days, else `36 hours`.
pub fn hours_or_days(hours: u32) -> String {
    match hours % 24 {
        0 => plural(hours as usize / 24, "day", "days"),
        _ => plural(hours as usize, "hour", "hours"),
    }
}

/// `17.7 m²`, to the nearest tenth, halves up.
pub fn square_metres(a: Area) -> String {
    format!("{:.1} m²", round(a.square_metres(), 1))
}

/// `12.4`, `< 0.1`: kilograms without their unit, for a column of them; always with one decimal.
pub fn kilograms_bare(kg: Decimal) -> String {
    match round(kg, 1).is_zero() && !kg.is_zero() {
        true => "< 0.1".to_owned(),
        false => written_out(kg, 1),
    }
}

/// `3.50`: a number to so many places, halves up, all of them written, so that a column of them is one.
pub fn written_out(n: Decimal, places: u32) -> String {
    format!("{:.*}", places as usize, round(n, places))
}

/// `laminating resin`, `bandage 150 mm`: goods by their role, where no merchant's words for them are at hand.
pub fn goods(role: &Role, size: Option<Length>) -> String {
    let about = role.facts().about;
    let about = about.split([',', ':']).next().unwrap_or_default().split(" by ").next().unwrap_or_default();
    let which = match role {
        Role::Topcoat(key) | Role::Board(key) | Role::Insulation(key) | Role::Own(key) | Role::Aggregate(key) => {
            format!(" {}", key.replace('-', " "))
        }
        Role::Bandage(width) => format!(" {width} mm"),
        Role::Mat(weight) => format!(" {weight} g/m²"),
        _ => String::new(),
    };
    format!("{about}{which}{}", size.map(|s| format!(", {}", metres(s))).unwrap_or_default())
}

/// `12.4 kg`, to the nearest tenth, halves up; whole kilograms carry no point. What would round to nothing is in grams.
pub fn kilograms(kg: Decimal) -> String {
    match round(kg, 1) {
        none if none.is_zero() && !kg.is_zero() => format!("{} g", round(kg * Decimal::ONE_THOUSAND, 0).normalize()),
        tenths => format!("{} kg", tenths.normalize()),
    }
}

/// A number with no noughts that say nothing: `2.50` gives `2.5`, `30` stays `30`.
pub fn number(n: Decimal) -> String {
    n.normalize().to_string()
}

/// A number to so many places, halves up.
pub fn rounded(n: Decimal, places: u32) -> String {
    round(n, places).normalize().to_string()
}

fn round(n: Decimal, places: u32) -> Decimal {
    n.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

/// `1.2 kg`, `4 m²`, and `46` of what is counted; to so many places, halves up.
pub fn quantity(n: Decimal, unit: Unit, places: u32) -> String {
    let figure = rounded(n, places);
    match unit {
        Unit::Each => figure,
        Unit::SquareMetre => format!("{figure} m²"),
        other => format!("{figure} {other}"),
    }
}

/// Somebody's words without the full stop that ends them, where a sentence of ours goes on.
pub fn unstopped(words: &str) -> &str {
    words.trim_end().trim_end_matches('.')
}

/// `12`, or `5 to 12`.
pub fn range(r: Range) -> String {
    match r.is_exact() {
        true => number(r.low),
        false => format!("{} to {}", number(r.low), number(r.high)),
    }
}

/// `6 months after the last day of the work`, or a day.
pub fn kept_until(until: HeldUntil) -> String {
    match until {
        HeldUntil::Months(months) => {
            format!("{} after the last day of the work", plural(months as usize, "month", "months"))
        }
        HeldUntil::Day(day) => date(day),
    }
}

/// `25 November 2026`.
pub fn date(d: Date) -> String {
    format!("{} {} {}", d.day(), d.month(), d.year())
}

/// A range to so many places, halves up.
pub fn range_rounded(r: Range, places: u32) -> String {
    range(Range { low: round(r.low, places), high: round(r.high, places) })
}

/// `Wednesday 25 November 2026`.
pub fn day_and_date(d: Date) -> String {
    format!("{} {}", d.weekday(), date(d))
}

/// `Wednesday 13 to Friday 15 January 2027`: month and year stand once where they are the same.
pub fn from_to(a: Date, b: Date) -> String {
    match (a == b, (a.year(), a.month()) == (b.year(), b.month())) {
        (true, _) => day_and_date(a),
        (_, true) => format!("{} {} to {}", a.weekday(), a.day(), day_and_date(b)),
        _ => format!("{} to {}", day_and_date(a), day_and_date(b)),
    }
}

/// `140 mm`: how thick a sheet is.
pub fn thickness(sheet: &MaterialLayer) -> String {
    format!("{} mm", number(sheet.thickness.as_mm()))
}

/// A whole sentence: a capital to begin with and a full stop at the end.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let stop = if text.is_empty() || text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{stop}", capital(text))
}

/// Titles after which initials are not said in a greeting.
const TITLES: [&str; 6] = ["Mr", "Mrs", "Ms", "Miss", "Mx", "Dr"];

/// `Mr Lindqvist` for “Mr J. Lindqvist”, `Mr and Mrs Prowse` for “Mr and Mrs D. Prowse”, `Mrs Ashdown and Mr Lisle` for “Mrs J. Ashdown
/// (No. 12) and Mr P. Lisle (No. 14)”: how a letter greets whoever is called so; without a title and initials as written.
pub fn greeted(name: &str) -> String {
    let titled = |part: &str| part.split(' ').next().is_some_and(is_title);
    match name.split_once(" and ") {
        Some((first, second)) if first.contains(' ') && titled(first) && titled(second) => {
            format!("{} and {}", greeted_as_one(without_house(first)), greeted_as_one(without_house(second)))
        }
        _ => greeted_as_one(without_house(name)),
    }
}

/// A name without the house that stands after it in brackets.
fn without_house(name: &str) -> &str {
    name.strip_suffix(')').and_then(|name| name.split_once(" (")).map_or(name, |(name, _)| name)
}

fn is_title(word: &str) -> bool {
    TITLES.contains(&word.trim_end_matches('.'))
}

fn greeted_as_one(name: &str) -> String {
    let name = name.strip_prefix("The Reverend ").map_or_else(|| name.to_owned(), |rest| format!("Reverend {rest}"));
    let is_initial = |word: &&str| word.split_terminator('.').all(|part| part.len() == 1) && word.contains('.');
    let words: Vec<&str> = name.split(' ').collect();
    match words.split_first() {
        Some((title, rest)) if is_title(title) => match rest {
            [initials @ .., last] if !initials.is_empty() && initials.iter().all(is_initial) => {
                format!("{title} {last}")
            }
            ["and", other, initials @ .., last] if TITLES.contains(other) && initials.iter().all(is_initial) => {
                format!("{title} and {other} {last}")
            }
            _ => name,
        },
        _ => name,
    }
}

/// Who signs first of several: the customer, without those who sign for themselves besides.
pub fn first_signer(customer: &str, others: &[String]) -> String {
    let parts = customer.split(" and ").filter(|part| !others.iter().any(|other| part.starts_with(other.as_str())));
    let first = parts.collect::<Vec<_>>().join(" and ");
    if first.contains(' ') { first } else { customer.to_owned() }
}

/// All who sign: the customer, and those who sign for themselves besides.
pub fn signers(customer: &str, others: &[String]) -> Vec<String> {
    std::iter::once(first_signer(customer, others)).chain(others.iter().cloned()).collect()
}

/// Some of all names: `Porch and Bay`, or `all but Bay` where few are left out; nothing where it is all of them.
pub fn those_of(some: &[String], all: &[String]) -> Option<String> {
    let left: Vec<String> = all.iter().filter(|name| !some.contains(name)).cloned().collect();
    match left.len() {
        0 => None,
        few if few <= FEW_LEFT_OUT && few < some.len() => Some(format!("all but {}", list_of_roofs(&left))),
        _ => Some(list_of_roofs(some)),
    }
}

/// Names of roofs in a list: those that are numbered alone by their numbers, `Roofs 2, 3 and 5`, `Roofs 1, 4 to 8 and 12`.
pub fn list_of_roofs(names: &[String]) -> String {
    let number = |name: &String| name.strip_prefix(NUMBERED)?.parse::<u16>().ok();
    let numbers: Option<Vec<u16>> = names.iter().map(number).collect();
    let Some(numbers) = numbers.filter(|numbers| numbers.len() > 1) else { return list(names) };
    let runs = numbers.chunk_by(|a, b| b.checked_sub(1) == Some(*a));
    let told = runs.flat_map(|run| match run {
        [first, _, .., last] => vec![format!("{first} to {last}")],
        few => few.iter().map(u16::to_string).collect(),
    });
    format!("Roofs {}", list(&told.collect::<Vec<_>>()))
}

/// What the name of a roof begins with that is numbered alone.
const NUMBERED: &str = "Roof ";

/// So many are named at most as those that something does not hold for.
const FEW_LEFT_OUT: usize = 3;

/// Names without the words that all of them end with, where they still are told apart: `Roof 1` for `Roof 1 over the workshop`.
pub fn without_what_all_say(names: &[&str]) -> Vec<String> {
    let shared = words_that_all_end_with(names);
    names.iter().map(|name| without_last(name, shared)).collect()
}

/// The same of the one at a place.
pub fn without_what_others_say(names: &[&str], place: usize) -> String {
    without_last(names[place], words_that_all_end_with(names))
}

/// How many words all of some names end with, each with one before them, where they still are told apart without these.
fn words_that_all_end_with(names: &[&str]) -> usize {
    let words = |name: &'_ str| name.split_whitespace().count();
    let alike = |a: &str, b: &str| {
        a.split_whitespace().rev().zip(b.split_whitespace().rev()).take_while(|(a, b)| a == b).count()
    };
    let [first, others @ ..] = names else { return 0 };
    let most = words(first).saturating_sub(1);
    let shared = others.iter().fold(most, |shared, name| {
        if shared == 0 { 0 } else { shared.min(alike(first, name)).min(words(name).saturating_sub(1)) }
    });
    if shared == 0 || others.is_empty() {
        return 0;
    }
    let short = names.iter().map(|name| without_last(name, shared)).collect::<BTreeSet<String>>();
    if short.len() == names.len() { shared } else { 0 }
}

/// A name without so many of its last words; as it is written where that are none.
fn without_last(name: &str, words: usize) -> String {
    if words == 0 {
        return name.to_owned();
    }
    let kept = name.split_whitespace().count().saturating_sub(words);
    name.split_whitespace().take(kept).collect::<Vec<_>>().join(" ")
}
