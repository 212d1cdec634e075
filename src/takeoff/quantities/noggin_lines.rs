//! The timber to buy for noggins, for bearers and ledgers of box gutters and round patches, over all roofs.
//!
//! Given the lines that count them and what they are cut from; gives the line of the lengths and the needs. Where the
//! timber is sold cut to any length, as many metres are needed as they come to.

use super::line::{Line, Need, Step, Unit, shares};
use super::working::{by_stock, count, formula, line, measured, proven, rule, sum};
use crate::model::{LineId, Role, Rules};
use crate::takeoff::layout::noggins::NogginPlan;
use crate::takeoff::layout::timber::timber_cost;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The working of the screws in both ends of so many noggins or bearers: nothing where there are none.
pub fn end_screws(what: &str, n: usize, rules: &Rules) -> Vec<Step> {
    if n == 0 {
        return Vec::new();
    }
    let screws = count(n) * Decimal::TWO * Decimal::from(rules.noggin_fixing);
    let text = format!("{n} × 2 × {}", rules.noggin_fixing);
    vec![
        measured(format!("{what}, two ends each"), count(n), Unit::Each),
        rule("noggin_fixing", rules.noggin_fixing),
        formula(text, screws, Unit::Each),
    ]
}

/// The line of the lengths and the needs for them, from those of the lines that count noggins and bearers.
pub fn bought_lines<'a>(
    plan: Option<&NogginPlan>,
    lines: impl Iterator<Item = &'a Line>,
    rules: &Rules,
) -> (Vec<Line>, Vec<Need>) {
    let cut = |l: &&Line| {
        matches!(l.id, LineId::DeckNoggins | LineId::BoxBearers | LineId::BoxLedgers | LineId::PatchNoggins)
    };
    let all: Vec<&Line> = lines.filter(cut).collect();
    let Some(plan) = plan else { return (Vec::new(), Need::of(Role::Noggin, &all).into_iter().collect()) };
    let work = all.first().map_or(WorkKind::Noggins, |l| l.work);
    let (mut steps, mut terms, mut needs) = (vec![rule("kerf", rules.kerf)], Vec::new(), Vec::new());
    let taken: Decimal = all.iter().map(|l| l.quantity).sum();
    steps.push(measured("noggins and bearers, centre to centre of what they stand between", taken, Unit::Metre));
    steps.push(Step::Note(format!(
        "cut from the lengths that are sold: {}",
        proven(&plan.proof, |figure| timber_cost(figure, plan.in_pence))
    )));
    for (length, n) in by_stock(plan.bars.iter().map(|(stock, _)| *stock)) {
        let metres = length.metres() * Decimal::from(n);
        terms.extend(std::iter::repeat_n(length.metres(), n));
        needs.push(Need {
            role: Role::Noggin,
            size: Some(length),
            quantity: metres,
            lines: vec![LineId::NogginLengths],
            shares: shares(all.iter().copied()),
            optional: false,
            weighs: None,
        });
    }
    steps.push(sum("", &terms, Unit::Metre));
    let id = (LineId::NogginLengths, work);
    (line(id, "Lengths for noggins", None, Unit::Metre, steps).into_iter().collect(), needs)
}
