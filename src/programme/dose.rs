//! One dose of catalyst, and the row of the firm's table that it is read from.
//!
//! Given per cent by mass, a density or a temperature; gives the dose by volume, or the row. A temperature on the border
//! of two rows is read from the warmer one.

use super::MixDose;
use crate::model::rules::Dose;
use crate::model::{Range, Rules};
use rust_decimal::Decimal;

/// A dose by mass and by volume. `density` in g/ml, greater than nothing.
pub fn dose(percent: Decimal, density: Decimal) -> MixDose {
    let grams_per_kg = percent * Decimal::TEN;
    MixDose { percent, ml_per_kg: grams_per_kg / density }
}

/// The row of the table that holds for an air temperature; `None` outside the table: the data sheet decides there.
pub fn row_at(table: &[Dose], temperature: Decimal) -> Option<&Dose> {
    let last = table.len().checked_sub(1)?;
    table.iter().enumerate().find(|(i, row)| holds(row, *i == last, temperature)).map(|(_, row)| row)
}

fn holds(row: &Dose, last: bool, t: Decimal) -> bool {
    t >= row.from && (t < row.to || (last && t == row.to))
}

/// Whether some temperatures lie in a row of the table, in part at least.
pub(super) fn touches(row: &Dose, last: bool, air: Range) -> bool {
    air.high >= row.from && (air.low < row.to || (last && air.low == row.to))
}

/// Whether anybody may work somewhere in a row: one that lies wholly under the firm's least temperature, or over its
/// highest, is on no card and in no pot.
pub(super) fn is_worked_in(rules: &Rules, row: &Dose) -> bool {
    row.to > rules.air_stop && row.from < rules.air_hot
}
