//! The lines of an edge that is tied in under the covering of a roof above.
//!
//! Given a roof as laid out; gives its run, the board that the laminate lies on up the slope, the underlay lapped over
//! it, and what must be bought. The laminate itself is counted with the mat.

use super::line::{Line, Need, Step, Unit};
use super::working::{formula, line, measured, number, result, rule, sum};
use crate::model::{Finish, Length, LineId, Role, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::Side;
use crate::works::WorkKind;

/// The lines of a roof's tied edges; none where it has none.
pub fn tie_lines(layout: &RoofLayout, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let name = Some(layout.shape.name.as_str());
    let of = |id: LineId, item: &str, unit, working| line((id, WorkKind::TieIn), item, name, unit, working);
    let tied = tie(layout);
    let lines: Vec<Line> = [
        of(LineId::TieBoard, "Board under the covering above", Unit::SquareMetre, tie_board(&tied, rules)),
        of(LineId::TieUnderlay, "Underlay over the tie-in", Unit::SquareMetre, tie_underlay(&tied, rules)),
        of(LineId::TieRun, "Edge tied in under the roof above", Unit::Metre, tied),
    ]
    .into_iter()
    .flatten()
    .collect();
    let bought = [(LineId::TieBoard, Role::TieBoard), (LineId::TieUnderlay, Role::TieUnderlay)];
    let need = |(id, role): (LineId, Role)| Need::of(role, &lines.iter().filter(|l| l.id == id).collect::<Vec<_>>());
    let needs = bought.into_iter().filter_map(need).collect();
    (lines, needs)
}

/// Every edge that is tied in under the covering of a roof above.
fn tie(layout: &RoofLayout) -> Vec<Step> {
    let runs: Vec<&Side> = layout.shape.sides.iter().filter(|s| s.finish == Finish::Step).collect();
    let mut steps: Vec<Step> =
        runs.iter().map(|s| measured(format!("{} run", s.label), s.run.metres(), Unit::Metre)).collect();
    steps.push(sum("", &runs.iter().map(|s| s.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

/// The board reaches as far up the slope as the laminate does.
fn tie_board(tied: &[Step], rules: &Rules) -> Vec<Step> {
    by_width(tied, &[("mat_return", "step ", rules.mat_return.step)])
}

/// The underlay laps over the laminate from above it.
fn tie_underlay(tied: &[Step], rules: &Rules) -> Vec<Step> {
    by_width(tied, &[("mat_return", "step ", rules.mat_return.step), ("underlay_lap", "", rules.underlay_lap)])
}

/// A run × a width made up of rules.
fn by_width(run: &[Step], widths: &[(&'static str, &str, Length)]) -> Vec<Step> {
    let metres = result(run);
    let mut steps = vec![measured("run", metres, Unit::Metre)];
    steps.extend(widths.iter().map(|(name, which, width)| rule(name, format!("{which}{width}"))));
    let width: Length = widths.iter().map(|(.., w)| *w).sum();
    let each: Vec<String> = widths.iter().map(|(.., w)| number(w.metres(), Unit::Metre)).collect();
    let text = format!("{} × ({})", number(metres, Unit::Metre), each.join(" + "));
    steps.push(formula(text, metres * width.metres(), Unit::SquareMetre));
    steps
}
