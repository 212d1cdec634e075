//! The line of the continuous vent of a cold roof.
//!
//! Given a roof and its shape; gives the run of vent at the sides where its joists end in the open, and the need for it.
//! A wall takes none, however much the air would want it there.

use super::line::{Line, Need, Step, Unit};
use super::working::{line, measured, rule, sum};
use crate::model::build_up::RoofKind;
use crate::model::{LineId, Role, Roof, Rules};
use crate::takeoff::layout::joist_ends::joist_ends;
use crate::takeoff::layout::shape::RoofShape;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The continuous vent at the open ends of a cold roof's joists; nothing for a warm roof, or where nothing is known of it.
pub fn vent_lines(roof: &Roof, shape: &RoofShape, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    if roof.build_up.as_ref().is_none_or(|b| b.kind == RoofKind::Warm) {
        return (Vec::new(), Vec::new());
    }
    let open = joist_ends(shape, roof.joists.run).open;
    let runs: Vec<Decimal> = open.iter().map(|s| s.run.metres()).collect();
    let end = |label: &str, run: &Decimal| measured(format!("joists end in the open at {label}"), *run, Unit::Metre);
    let mut working: Vec<Step> = open.iter().zip(&runs).map(|(s, run)| end(&s.label, run)).collect();
    working.push(rule("cold_gap", rules.cold_gap));
    working.push(sum("", &runs, Unit::Metre));
    let id = (LineId::VentRun, WorkKind::Vents);
    let line = line(id, "Continuous vent", Some(&shape.name), Unit::Metre, working);
    let need = line.as_ref().and_then(|l| Need::of(Role::VentStrip, &[l]));
    (line.into_iter().collect(), need.into_iter().collect())
}
