//! The mix card: how much catalyst goes to a kilogram, by the temperature of the air.
//!
//! Given the firm's catalyst table and the catalyst's density; gives the table with millilitres beside the per cent.
//! Per cent is by mass and the catalyst is heavier than water, so the millilitres are always fewer than the grams:
//! `1 ml for each 100 g is 1 %` overdoses by 10 to 18 %.

use super::dose::{dose, is_worked_in, touches};
use super::{MixRow, pots};
use crate::model::problem::Source;
use crate::model::rules::Dose;
use crate::model::{Problem, Range, Rules, SettingPath, Warned};
use rust_decimal::Decimal;

/// Least dose that is known to cure through, % by mass (from memory).
const USUAL_LEAST: Decimal = Decimal::ONE;
/// Sources disagree above this dose, % by mass (a trade association's magazine of 2017 puts harm to the cure above it).
const USUAL_MOST: Decimal = Decimal::from_parts(25, 0, 0, false, 1);

/// The card: every row of the firm's table in which its limits let anybody work, those marked that the stated temperatures touch. `density` in g/ml.
pub fn card(rules: &Rules, density: Decimal, air: Option<Range>) -> Vec<MixRow> {
    let last = rules.catalyst.len().saturating_sub(1);
    let row = |(i, r): (usize, &Dose)| {
        let (laminate, topcoat, pot) = (dose(r.laminate, density), dose(r.topcoat, density), pots::largest(rules, r));
        MixRow {
            from: r.from,
            to: r.to,
            laminate,
            topcoat,
            pot,
            laminate_pot_ml: (pot.as_kg() * laminate.ml_per_kg).round(),
            topcoat_pot_ml: (pot.as_kg() * topcoat.ml_per_kg).round(),
            today: air.is_some_and(|a| touches(r, i == last, a)),
        }
    };
    rules.catalyst.iter().enumerate().filter(|(_, r)| is_worked_in(rules, r)).map(row).collect()
}

/// Doses that only a data sheet allows, and temperatures that the table does not reach.
pub fn problems(rules: &Rules, air: Option<Range>) -> Vec<Problem> {
    let rows = rules.catalyst.iter().enumerate().filter_map(|(i, row)| row_problem(i, row));
    rows.chain(outside(rules, air).map(no_dose)).collect()
}

fn row_problem(i: usize, row: &Dose) -> Option<Problem> {
    let doses = [row.laminate, row.topcoat];
    let strange = doses.into_iter().find(|d| *d < USUAL_LEAST || *d > USUAL_MOST)?;
    Some(
        Problem::warning(
            Warned::Catalyst,
            SettingPath::from(["rules", "catalyst"]).entry(i),
            format!("{} % of catalyst lies outside 1 to 2.5 % by mass, where sources agree", strange.normalize()),
            "keep it only where the resin's data sheet allows it",
        )
        .within(Source::Firm),
    )
}

/// A temperature for which the catalyst table has no dose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outside {
    /// Where the table begins, °C.
    pub from: Decimal,
    /// Where it ends, °C.
    pub to: Decimal,
    /// The temperature of the job that lies outside, °C.
    pub at: Decimal,
}

/// What of the job's temperatures lies outside the catalyst table.
pub(super) fn outside(rules: &Rules, air: Option<Range>) -> Option<Outside> {
    let (first, last) = (rules.catalyst.first()?, rules.catalyst.last()?);
    let at = air.and_then(|air| [air.low, air.high].into_iter().find(|t| *t < first.from || *t > last.to))?;
    Some(Outside { from: first.from, to: last.to, at })
}

fn no_dose(outside: Outside) -> Problem {
    let Outside { from, to, at } = outside;
    Problem::warning(
        Warned::Catalyst,
        ["conditions", "air"],
        format!(
            "the catalyst table runs from {} to {} °C and has no dose for {} °C",
            from.normalize(),
            to.normalize(),
            at.normalize()
        ),
        "follow the resin's data sheet; no dose is guessed outside the table",
    )
}
