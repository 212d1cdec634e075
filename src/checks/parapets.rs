//! What is left of walls that the roof is carried over, for the householder to know.
//!
//! Given a roof as laid out; gives a finding for each such wall. BS 6229 asks for the same height as at any wall. A lower
//! one can be made, and is: it passes no check for that, and the householder is told before signing. The office is told of tops that
//! are levelled with mortar, and of a gutter's parapet that may be no higher than they.

use super::finding::{CAUTION, Finding, Subject, Verdict, formula, id_of, measured};
use crate::model::products::Board;
use crate::model::words::at;
use crate::model::{Cover, Finish, Length, Problem, Roof, Rules, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::upstand_left;
use crate::takeoff::layout::shape::{CopedWall, Side, WallEnd};
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

/// A warning for each box gutter whose parapet is not known to go higher than the tops of the walls that run into it, on which
/// the laminate is turned up it and its flashing lies.
pub fn beside_gutters(roof: &Roof, layout: &RoofLayout, rules: &Rules, board: Option<&Board>) -> Vec<Problem> {
    let n = layout.shape.sides.len().max(1);
    let told = |(i, side): (usize, &Side)| {
        let ends = [((i + n - 1) % n, 1), ((i + 1) % n, 0)];
        let past = ends.into_iter().filter_map(|(other, end)| {
            let wall = layout.shape.sides.get(other)?.coped?;
            let top = if wall.cover == Cover::Metal { wall.high + wall.lining } else { wall.high };
            (wall.ends[end] == WallEnd::PastGutter).then_some(top)
        });
        let (top, up) = (past.max().filter(|_| side.finish == Finish::Gutter)?, rules.mat_return.wall);
        let left = upstand_left(&layout.shape, roof, rules, board, i);
        if left.is_some_and(|left| left >= top + up) {
            return None;
        }
        let known = left.map_or_else(|| "is not measured".to_owned(), |left| format!("was measured to {left}"));
        let fault = format!(
            "the parapet {} {known} above the finished roof: the tops of the walls that run into it lie {top} above it, and the \
             laminate is turned {up} up it there",
            at(&side.label)
        );
        let wanted = top
            + up
            + left.map_or(Length::ZERO, |left| {
                roof.outline.edges.get(i).and_then(|e| e.upstand).map_or(Length::ZERO, |surveyed| surveyed - left)
            });
        let cure = format!(
            "measure up to a joint above those tops: `upstand: {wanted}` or more; where it stands no higher its own top must be \
             covered too, which is not laid out here: agree it first"
        );
        Some(Problem::warning(Warned::Upstand, side.path.key("upstand"), fault, cure))
    };
    layout.shape.sides.iter().enumerate().filter_map(told).collect()
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
             raised, or accept it as it is.",
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
