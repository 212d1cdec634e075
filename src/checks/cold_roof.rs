//! Whether air can pass over the insulation of a cold roof.
//!
//! Given a cold build-up and the roof's shape; gives a verdict on void and gaps, and a warning where the joists
//! end at a wall. Air goes along the joists: a wall at one end shuts the path, however good the
//! other.

use super::finding::{CAUTION, Finding, Subject, Verdict, measured};
use crate::model::build_up::{BuildUp, RoofKind};
use crate::model::shape::JoistRun;
use crate::model::{Length, Problem, Rules, Warned, words};
use crate::takeoff::layout::joist_ends::{JoistEnds, joist_ends};
use crate::takeoff::layout::shape::{RoofShape, Side};
use crate::takeoff::quantities::line::{Step, Unit};

/// What the check of a cold roof gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ventilation {
    /// The verdict.
    pub finding: Finding,
    /// Warnings for whoever reads the job.
    pub warnings: Vec<Problem>,
}

/// Checks a cold roof; `None` where the roof is warm. Void of 50 mm, continuous gaps of 25 mm at two opposite sides
/// (BS 5250, from memory).
pub fn check(build_up: &BuildUp, shape: &RoofShape, joists: JoistRun, rules: &Rules) -> Option<Ventilation> {
    if build_up.kind == RoofKind::Warm {
        return None;
    }
    let JoistEnds { open, shut } = joist_ends(shape, joists);
    let short = short_of(build_up, rules);
    let verdict = match (shut.is_empty(), short.is_empty()) {
        (_, false) => Verdict::Fail,
        (false, true) => Verdict::Refer,
        (true, true) => Verdict::Pass,
    };
    let mut statement = short.join(" ");
    if !shut.is_empty() {
        statement = format!("{statement} {}", shut_words(&shut)).trim().to_owned();
    }
    if statement.is_empty() {
        statement = "Air can pass over the insulation from side to side.".into();
    }
    let mut working: Vec<Step> = open
        .iter()
        .map(|s| measured(format!("joists end in the open at {}", s.label), s.run.metres(), Unit::Metre))
        .collect();
    working.push(Step::Rule { name: "cold_void", value: rules.cold_void.to_string() });
    working.push(Step::Rule { name: "cold_gap", value: rules.cold_gap.to_string() });
    let finding = Finding {
        id: "air.vent".into(),
        kind: Subject::Air,
        roof: None,
        subject: "ventilation of the cold roof".into(),
        verdict,
        statement,
        design: format!("void {}, continuous gap {} at two opposite sides", rules.cold_void, rules.cold_gap),
        source: "BS 5250:2021, from memory; wider spans want more".into(),
        caution: CAUTION,
        working,
    };
    Some(Ventilation { finding, warnings: wall_warning(&shut).into_iter().collect() })
}

/// What is too small or not known, a sentence each.
fn short_of(build_up: &BuildUp, rules: &Rules) -> Vec<String> {
    let sentence = |what: &str, given: Option<Length>, least: Length| match given {
        Some(g) if g >= least => None,
        Some(g) => Some(format!("The {what} is {g}; at least {least} is wanted.")),
        None => Some(format!("The {what} is not known; at least {least} is wanted: measure it.")),
    };
    [
        sentence("void over the insulation", build_up.void, rules.cold_void),
        sentence("gap at the sides", build_up.vent_gap, rules.cold_gap),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn shut_words(shut: &[&Side]) -> String {
    let names: Vec<&str> = shut.iter().map(|s| s.label.as_str()).collect();
    format!(
        "At {} the joists end at a wall or another roof, so that the air has no second way out: \
         a warm roof is the sounder choice.",
        names.join(" and ")
    )
}

/// One warning for all of them: they have one cause.
fn wall_warning(shut: &[&Side]) -> Option<Problem> {
    let first = shut.first()?;
    let names: Vec<String> = shut.iter().map(|s| s.label.clone()).collect();
    Some(Problem::warning(
        Warned::Ventilation,
        &first.path,
        format!("a cold roof whose joists end at a wall has no second vent path at {}", words::list(&names)),
        "offer a warm roof, or show how the air gets out (a vented abutment)",
    ))
}
