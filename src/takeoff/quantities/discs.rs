//! Abrasive discs: so many as an area wears down.
//!
//! Given an area and what one disc works; gives the working, up to whole discs.

use super::line::{Step, Unit};
use super::working::{formula, measured, number, result, rounded_up, rule};
use rust_decimal::Decimal;

/// So much ÷ what one lasts, up to whole ones.
pub(super) fn discs(name: &'static str, each: Decimal, of: &[Step]) -> Vec<Step> {
    let amount = result(of);
    if amount.is_zero() || each.is_zero() {
        return Vec::new();
    }
    let each = each.normalize();
    let exact = amount / each;
    vec![
        measured("to be worked", amount, Unit::SquareMetre),
        rule(name, format!("{each} m2")),
        formula(format!("{} ÷ {each} m2", number(amount, Unit::SquareMetre)), exact, Unit::Each),
        rounded_up("whole discs", exact, Unit::Each),
    ]
}
