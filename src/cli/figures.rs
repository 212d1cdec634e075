//! How quantities and money read on the terminal, and as JSON.
//!
//! Given exact decimals; gives text rounded for reading, or numbers as they are. Money in JSON is text with its pence.

use crate::checks::finding::Finding;
use crate::pricing::Money;
use crate::takeoff::{Line, Step, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde_json::{Value, json};

/// A quantity for reading: pieces and millilitres whole where they are, the rest to two places.
pub(super) fn quantity(value: Decimal, unit: Unit) -> String {
    let places = match unit {
        Unit::Each => u32::from(!value.fract().is_zero()) * 2,
        Unit::Millilitre => 0,
        _ => 2,
    };
    format!("{:.1$}", value.round_dp(places), places as usize)
}

/// An exact decimal as a JSON number; a whole one without a point.
pub(super) fn number(value: Decimal) -> Value {
    match value.normalize() {
        whole if whole.scale() == 0 => json!(whole.to_i64()),
        part => json!(part.to_f64()),
    }
}

/// Money as JSON text, with its pence.
pub(super) fn money(value: Money) -> Value {
    json!(value.to_string())
}

/// A line of the take-off as JSON.
pub(super) fn line(line: &Line) -> Value {
    json!({
        "id": line.id.to_string(),
        "work": line.work.key(),
        "item": line.item,
        "roof": line.roof,
        "quantity": number(line.quantity),
        "unit": line.unit.to_string(),
        "working": line.working.iter().map(step).collect::<Vec<_>>(),
    })
}

/// A check as JSON.
pub(super) fn finding(finding: &Finding) -> Value {
    json!({
        "id": finding.id,
        "kind": finding.kind.word(),
        "roof": finding.roof,
        "subject": finding.subject,
        "verdict": finding.verdict.word(),
        "statement": finding.statement,
        "design": finding.design,
        "source": finding.source,
        "caution": finding.caution,
        "working": finding.working.iter().map(step).collect::<Vec<_>>(),
    })
}

/// A step of a working as JSON.
pub(super) fn step(step: &Step) -> Value {
    match step {
        Step::Measured { what, value, unit } => {
            json!({"measured": what, "value": number(*value), "unit": unit.to_string()})
        }
        Step::Rule { name, value } => json!({"rule": name, "value": value}),
        Step::Formula { formula, result, unit } => {
            json!({"formula": formula, "value": number(*result), "unit": unit.to_string()})
        }
        Step::Rounded { how, result, unit } => {
            json!({"rounded": how, "value": number(*result), "unit": unit.to_string()})
        }
        Step::Note(text) => json!({"note": text}),
    }
}

/// A step of a working as a line of text.
pub(super) fn step_text(step: &Step) -> String {
    let plain = |v: &Decimal| v.normalize().to_string();
    match step {
        Step::Measured { what, value, unit } => format!("measured  {what}: {} {unit}", plain(value)),
        Step::Rule { name, value } => format!("rule      {name}: {value}"),
        Step::Formula { formula, result, unit } => format!("formula   {formula} = {} {unit}", plain(result)),
        Step::Rounded { how, result, unit } => format!("rounded   {how}: {} {unit}", plain(result)),
        Step::Note(text) => format!("note      {text}"),
    }
}
