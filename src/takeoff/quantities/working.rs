//! Steps of a working, made so that what is written and what it comes to cannot part.
//!
//! Given values with their units; gives steps and lines. A formula is written with `+ − × ÷` and brackets, every number
//! followed by its unit, and nothing before it but an optional label and a colon, so that anyone (a test too) can work
//! it again.

use super::line::{Line, Step, Unit};
use crate::cutting::Proof;
use crate::model::{Length, LineId, Rules};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// A number with its unit, without idle noughts: `17.68 m2`.
pub fn number(value: Decimal, unit: Unit) -> String {
    format!("{} {unit}", value.normalize())
}

/// Something measured or counted.
pub fn measured(what: impl Into<String>, value: Decimal, unit: Unit) -> Step {
    Step::Measured { what: what.into(), value, unit }
}

/// A rule by its name, with its value and unit in words.
pub fn rule(name: &'static str, value: impl ToString) -> Step {
    Step::Rule { name, value: value.to_string() }
}

/// A formula and what it comes to.
pub fn formula(formula: impl Into<String>, result: Decimal, unit: Unit) -> Step {
    Step::Formula { formula: formula.into(), result, unit }
}

/// A rounding up to whole ones.
pub fn rounded_up(to: impl Into<String>, value: Decimal, unit: Unit) -> Step {
    Step::Rounded { how: format!("up to {}", to.into()), result: value.ceil(), unit }
}

/// At least so many.
pub fn at_least(least: Decimal, value: Decimal, unit: Unit) -> Step {
    Step::Rounded { how: format!("at least {}", number(least, unit)), result: value.max(least), unit }
}

/// The sum of some values; those that follow one another and are equal are written once, with their number.
pub fn sum(label: &str, terms: &[Decimal], unit: Unit) -> Step {
    let groups = terms.chunk_by(|a, b| a == b).map(|same| match same.len() {
        1 => number(same[0], unit),
        n => format!("{n} × {}", number(same[0], unit)),
    });
    let text = groups.collect::<Vec<_>>().join(" + ");
    let text = if label.is_empty() { text } else { format!("{label}: {text}") };
    formula(text, terms.iter().copied().sum(), unit)
}

/// How many are bought of each stock length.
pub fn by_stock(bought: impl Iterator<Item = Length>) -> BTreeMap<Length, usize> {
    let mut all = BTreeMap::new();
    bought.for_each(|stock| *all.entry(stock).or_default() += 1);
    all
}

/// How well a cut plan is known to be the best, its cost in words.
pub fn proven(proof: &Proof, in_words: impl Fn(i64) -> String) -> String {
    let (found, bound) = (in_words(proof.found), in_words(proof.bound));
    match proof.is_proven() {
        true => format!("proven: no plan does better than {found}; {}", proof.reason),
        false => format!("not proven: {found} found, no plan does better than {bound}; {}", proof.reason),
    }
}

/// How well the sawing of some boards is known to be the best.
pub fn sawn(what: &str, proof: &Proof) -> Step {
    Step::Note(match proof.is_proven() {
        true => format!("proven: no sawing of {what} takes fewer than {} ({})", proof.bound, proof.reason),
        false => format!("not proven: {what} take {}, and at least {} ({})", proof.found, proof.bound, proof.reason),
    })
}

/// What the last formula or rounding of a working comes to; nothing where there is none.
pub fn result(working: &[Step]) -> Decimal {
    let last = working.iter().rev().find_map(|s| match s {
        Step::Formula { result, .. } | Step::Rounded { result, .. } => Some(*result),
        Step::Measured { .. } | Step::Rule { .. } | Step::Note(_) => None,
    });
    last.unwrap_or_default()
}

/// A line whose quantity is what its working comes to; `None` where that is nothing.
pub fn line(
    (id, work): (LineId, WorkKind),
    item: impl Into<String>,
    roof: Option<&str>,
    unit: Unit,
    working: Vec<Step>,
) -> Option<Line> {
    let quantity = result(&working);
    let line = || Line { id, work, item: item.into(), roof: roof.map(String::from), quantity, unit, working };
    (quantity > Decimal::ZERO).then(line)
}

/// `3 lengths`, `1 length`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A count as a quantity.
pub fn count(n: usize) -> Decimal {
    Decimal::from(n)
}

/// What is lost of a timber that so many metres are laid of: every edge ends in an offcut, and the short ones are of no use. `more` is
/// what whole lengths ask for besides.
pub fn offcuts(all: Decimal, more: Decimal, rules: &Rules) -> Vec<Step> {
    let share = rules.batten_waste.normalize();
    let text = format!("{} × {share} ÷ 100", number(all, Unit::Metre));
    let lost = all * share / Decimal::ONE_HUNDRED;
    let mut steps = vec![rule("batten_waste", format!("{share} %")), formula(text, lost, Unit::Metre)];
    if more > Decimal::ZERO {
        steps.push(measured("more, so that whole lengths give the pieces", more, Unit::Metre));
        steps.push(sum("", &[lost, more], Unit::Metre));
    }
    steps
}
