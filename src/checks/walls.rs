//! Walls at which less is left above the finished roof than BS 6229 asks for, and flashings that no strip is wide enough for.
//!
//! Given a roof as laid out; gives a finding for each wall that is too low, for the householder to know, and a warning for
//! each flashing whose width no price book has, or does not say.

use super::finding::{CAUTION, Finding, Subject, Verdict, formula, id_of, measured};
use super::sills::SOURCE;
use crate::model::words::at;
use crate::model::{Length, Problem, Products, Roof, Rules, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::upstand_left;
use crate::takeoff::layout::flashings::{FlashedPlace, WallFlashing};
use crate::takeoff::layout::shape::Side;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// A finding for each plain wall that is lower than the rule above the finished roof.
pub fn check(roof: &Roof, layout: &RoofLayout, rules: &Rules, products: &Products) -> Vec<Finding> {
    let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let low = |(i, side): (usize, &Side)| {
        let left = upstand_left(&layout.shape, roof, rules, board, i).filter(|_| side.is_plain_wall())?;
        (left < rules.least_upstand).then(|| of(side, left, rules))
    };
    layout.shape.sides.iter().enumerate().filter_map(low).collect()
}

/// Whether a finding tells how high a wall, a door sill, a parapet or an old kerb stands above the finished roof.
pub fn is_upstand(finding: &Finding) -> bool {
    ["wall.", "sill.", "parapet.", "kerb."].iter().any(|of| finding.id.starts_with(of))
}

fn of(side: &Side, left: Length, rules: &Rules) -> Finding {
    let least = rules.least_upstand;
    Finding {
        id: format!("wall.{}", id_of(&side.label)),
        kind: Subject::Water,
        roof: None,
        subject: format!("wall {}", at(&side.label)),
        verdict: Verdict::Fail,
        statement: format!(
            "Only {left} is left of the wall above the roof {}. The roof is turned up it and covered as far as it goes, \
             but snow or rain driven by wind can still get in above that. Have the place where the waterproofing ends \
             raised, or accept it as it is.",
            at(&side.label)
        ),
        design: format!("{least} from the finished roof to where the waterproofing ends at the wall"),
        source: SOURCE.into(),
        caution: CAUTION,
        working: vec![
            measured("left at the wall", Decimal::from(left.as_mm()), Unit::Millimetre),
            Step::Rule { name: "least_upstand", value: least.to_string() },
            formula(
                format!("{} mm − {} mm", left.as_mm(), least.as_mm()),
                Decimal::from((left - least).as_mm()),
                Unit::Millimetre,
            ),
        ],
    }
}

/// A warning for each flashing of a roof that no strip in the price book is known to be wide enough for.
pub fn too_narrow(roof: &Roof, layout: &RoofLayout, products: &Products) -> Vec<Problem> {
    layout.flashings.iter().filter(|f| f.sold.is_none()).filter_map(|f| narrow(f, roof, layout, products)).collect()
}

fn narrow(flashing: &WallFlashing, roof: &Roof, layout: &RoofLayout, products: &Products) -> Option<Problem> {
    let role = flashing.kind.role()?;
    let path = match flashing.place {
        FlashedPlace::Side(i) => layout.shape.sides[i].path.key("flashing"),
        FlashedPlace::Hole(i) => roof.holes.get(i)?.path.clone(),
    };
    let widest = products.strips.get(&role).and_then(|widths| widths.last());
    let known = match widest {
        Some(widest) => format!("the widest in the price book is {widest}"),
        None => format!("no article of `{role}` in the price book says how wide it is"),
    };
    let fault = format!(
        "the {} at the {} must be {} wide, to reach from its chase, {} above the finished roof, over the fillet: {known}",
        flashing.kind.words(),
        flashing.name(&layout.shape),
        flashing.width,
        flashing.chase.most
    );
    let size = products.strip_asked(&role, flashing.width).unwrap_or(flashing.width);
    let cure = match widest {
        Some(_) => {
            format!("add an article with `role: {role}` and `size: {size}` to the price book, or measure a lower joint")
        }
        None => format!("write the width of each strip in the price book, such as `size: {size}`"),
    };
    Some(Problem::warning(Warned::Upstand, path, fault, cure))
}
