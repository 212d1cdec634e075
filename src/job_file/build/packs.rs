//! What a pack is called against what it holds: a nought too many there makes an order short.
//!
//! Given the words of a pack, what it holds and what it weighs; gives the warning where they contradict one another. Words that give
//! no amount, or only about one, say nothing.

use crate::model::quantity::Unit;
use crate::model::{Mass, Problem, SettingPath, Warned};
use rust_decimal::Decimal;

/// The warning of a pack that is called otherwise than what it holds, or that holds more than it weighs.
pub(crate) fn contradicted(
    pack: &str,
    (holds, unit): (Decimal, Unit),
    mass: Option<Mass>,
    path: &SettingPath,
) -> Option<Problem> {
    let held = amount(holds, unit);
    let (fault, cure) = match mass.map(Mass::as_kg) {
        Some(mass) if unit == Unit::Kilogram && holds > mass => (
            format!("the pack holds {held} and weighs {} kg in all", mass.normalize()),
            "check `holds` and `mass`: the order is counted by what a pack holds".to_owned(),
        ),
        _ => {
            let called = called(pack, unit)?;
            let first = *called.first()?;
            if called.contains(&holds) {
                return None;
            }
            (
                format!("the pack is called “{pack}” and holds {held}: the order is counted by what it holds"),
                format!("write `holds: {}`, or call the pack what it is", amount(first, unit)),
            )
        }
    };
    Some(Problem::warning(Warned::Pack, path.key("holds"), fault, cure))
}

fn amount(of: Decimal, unit: Unit) -> String {
    match unit {
        Unit::Each => of.normalize().to_string(),
        unit => format!("{} {unit}", of.normalize()),
    }
}

/// The amounts in a unit that the words of a pack give, and what several of them come to (`2 × 5 kg`); none where it is
/// only about so much.
fn called(pack: &str, unit: Unit) -> Option<Vec<Decimal>> {
    let mut amounts = Vec::new();
    let (mut before, mut times) = ("", Decimal::ONE);
    for PackWord { letters, number } in words_of(pack) {
        if let Some(number) = number {
            if ["about", "approx", "ca", "some"].contains(&before) {
                return None;
            }
            match letters {
                "x" | "×" => times *= number,
                measure => {
                    let one = match in_unit(measure, unit) {
                        Some(factor) => Some(number * factor),
                        None if unit == Unit::Each && before == "of" && !is_measure(measure) => Some(number),
                        None => None,
                    };
                    amounts.extend(one);
                    amounts.extend(one.map(|one| one * times).filter(|all| Some(*all) != one));
                    times = Decimal::ONE;
                }
            }
        }
        before = letters;
    }
    Some(amounts)
}

/// How many of a unit one of what a word names is.
fn in_unit(word: &str, unit: Unit) -> Option<Decimal> {
    let factor = match (unit, word) {
        (Unit::Kilogram, "kg" | "kilo" | "kilos") => Decimal::ONE,
        (Unit::Kilogram, "g") => Decimal::new(1, 3),
        (Unit::Millilitre, "ml") => Decimal::ONE,
        (Unit::Millilitre, "l" | "litre" | "litres") | (Unit::Metre, "km") => Decimal::ONE_THOUSAND,
        (Unit::Litre, "l" | "litre" | "litres") => Decimal::ONE,
        (Unit::Litre, "ml") | (Unit::Metre, "mm") => Decimal::new(1, 3),
        (Unit::Metre, "m" | "metre" | "metres") => Decimal::ONE,
        (Unit::Metre, "cm") => Decimal::new(1, 2),
        (Unit::SquareMetre, "m²" | "m2" | "sqm") => Decimal::ONE,
        _ => return None,
    };
    Some(factor)
}

/// Whether a word behind a number is a measure, so that the number counts no pieces.
fn is_measure(word: &str) -> bool {
    const UNITS: [Unit; 5] = [Unit::Kilogram, Unit::Millilitre, Unit::Litre, Unit::Metre, Unit::SquareMetre];
    UNITS.iter().any(|unit| in_unit(word, *unit).is_some())
}

/// A word, or a number with the letters behind it.
struct PackWord<'a> {
    letters: &'a str,
    number: Option<Decimal>,
}

/// The words of a pack, each number with the word behind it.
fn words_of(pack: &str) -> impl Iterator<Item = PackWord<'_>> {
    let mut left = pack;
    std::iter::from_fn(move || {
        let rest = left.trim_start_matches(|c: char| !c.is_alphabetic() && !c.is_ascii_digit() && c != '×');
        if rest.is_empty() {
            return None;
        }
        let digits = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let (number, behind) = rest.split_at(digits);
        let behind = if number.is_empty() { behind } else { behind.trim_start_matches([' ', '\u{a0}', '\u{202f}']) };
        let ends = |(at, c): (usize, char)| (!c.is_alphabetic() && c != '²' && !(at > 0 && c == '2')).then_some(at);
        let end = match behind.starts_with('×') {
            true => '×'.len_utf8(),
            false => behind.char_indices().find_map(ends).unwrap_or(behind.len()),
        };
        let (letters, after) = behind.split_at(end);
        left = after;
        Some(PackWord { letters, number: number.trim_end_matches('.').parse().ok() })
    })
}
