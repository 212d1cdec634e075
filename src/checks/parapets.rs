//! What is left of walls that the roof is carried over, for the householder to know.
//!
//! Given a roof as laid out; gives a finding for each such wall. BS 6229 asks for the same height as at any wall. A lower
//! one can be made, and is: it passes no check for that, and the householder is told before signing. The office is told of tops that
//! are levelled with mortar.

use super::finding::{CAUTION, Finding, Subject, Verdict, formula, id_of, measured};
use crate::model::words::at;
use crate::model::{Cover, Length, Problem, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::{CopedWall, Side};
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// Where the least height comes from.
const SOURCE: &str = "BS 6229, from memory";

/// A finding for each wall that a roof is carried over.
pub fn check(layout: &RoofLayout, rules: &Rules) -> Vec<Finding> {
    let walls = layout.shape.sides.iter().filter_map(|side| Some((side, side.coped?)));
    walls.map(|(side, wall)| of(side, wall, rules)).collect()
}

/// What is taken for each wall whose bare top is levelled with mortar before it is primed: how soon that is dry.
pub fn levelled(layout: &RoofLayout, rules: &Rules) -> Vec<Problem> {
    let told = |side: &Side| {
        side.coped.filter(|wall| wall.cover == Cover::Stone)?;
        Some(Problem::assumed(
            side.path.key("coping"),
            format!(
                "the top of the wall {} is levelled with mortar, which is taken to be dry after {} h (mortar_hours)",
                at(&side.label),
                rules.mortar_hours
            ),
            "give `mortar_hours` of the mortar's data sheet, or level it on a visit before: it is primed hard and dry",
        ))
    };
    layout.shape.sides.iter().filter_map(told).collect()
}

fn of(side: &Side, wall: CopedWall, rules: &Rules) -> Finding {
    let least = rules.least_upstand;
    Finding {
        id: format!("parapet.{}", id_of(&side.label)),
        kind: Subject::Water,
        roof: None,
        subject: format!("parapet {}", at(&side.label)),
        verdict: Verdict::of(wall.left >= least),
        statement: statement(side, wall.left, least),
        design: format!("{least} from the finished roof to the top of the wall"),
        source: SOURCE.into(),
        caution: CAUTION,
        working: working(wall.left, least),
    }
}

fn statement(side: &Side, left: Length, least: Length) -> String {
    match left >= least {
        true => {
            format!(
                "The wall {} stands {left} above the finished roof, and the roof goes over its top.",
                at(&side.label)
            )
        }
        false => format!(
            "The wall {} stands only {left} above the finished roof. The roof goes over its top, so that no water gets \
             behind it there, but snow or water that stands against it may run over to the other side. Have the wall \
             raised, or accept it so.",
            at(&side.label)
        ),
    }
}

fn working(left: Length, least: Length) -> Vec<Step> {
    vec![
        measured("left of the wall", Decimal::from(left.as_mm()), Unit::Each),
        Step::Rule { name: "least_upstand", value: least.to_string() },
        formula(
            format!("{} mm − {} mm", left.as_mm(), least.as_mm()),
            Decimal::from((left - least).as_mm()),
            Unit::Each,
        ),
    ]
}
