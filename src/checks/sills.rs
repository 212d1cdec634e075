//! What is left under door sills, for the householder to know.
//!
//! Given a roof as laid out; gives a finding for each sill. BS 6229 asks for the same height under a sill as at a wall.
//! A lower one can be laid and sealed, and is: it passes no check for that, and the householder is told before signing.

use super::finding::{CAUTION, Finding, Subject, Verdict, formula, id_of, measured};
use crate::model::words::at;
use crate::model::{Length, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::{Side, Sill};
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// Where the least height comes from.
pub(super) const SOURCE: &str = "BS 6229, from memory";

/// A finding for each door sill over a roof.
pub fn check(layout: &RoofLayout, rules: &Rules) -> Vec<Finding> {
    let sills = layout.shape.sides.iter().filter_map(|side| Some((side, side.sill?)));
    sills.map(|(side, sill)| of(side, sill, rules)).collect()
}

fn of(side: &Side, sill: Sill, rules: &Rules) -> Finding {
    let least = rules.least_upstand;
    Finding {
        id: format!("sill.{}", id_of(&side.label)),
        kind: Subject::Water,
        roof: None,
        subject: format!("door sill {}", at(&side.label)),
        verdict: Verdict::of(sill.left >= least),
        statement: statement(side, sill.left, least),
        design: format!("{least} from the finished roof to the underside of the sill"),
        source: SOURCE.into(),
        caution: CAUTION,
        working: working(sill.left, least),
    }
}

fn statement(side: &Side, left: Length, least: Length) -> String {
    match left >= least {
        true => format!("{left} is left under the door sill {}.", at(&side.label)),
        false => format!(
            "Only {left} is left under the door sill {}. The roof is turned up and sealed under it, but snow, a blocked \
             way off for the water or rain driven by wind can still reach the door. Have the sill raised, or keep the roof \
             clear of leaves and snow and accept it as it is.",
            at(&side.label)
        ),
    }
}

fn working(left: Length, least: Length) -> Vec<Step> {
    vec![
        measured("left under the sill", Decimal::from(left.as_mm()), Unit::Millimetre),
        Step::Rule { name: "least_upstand", value: least.to_string() },
        formula(
            format!("{} mm − {} mm", left.as_mm(), least.as_mm()),
            Decimal::from((left - least).as_mm()),
            Unit::Millimetre,
        ),
    ]
}
