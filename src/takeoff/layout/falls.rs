//! Falls: how high every corner stands, and the firrings that make the fall.
//!
//! Given the roof's shape and its fall; gives heights above the low line in whole millimetres, rounded up. A joist along
//! the fall takes a tapered firring; one across it takes a level one, as deep as the roof is high there. A firring
//! tapers to nothing at the low line.

use super::Firring;
use super::deck::joist_lines;
use super::shape::RoofShape;
use crate::geometry::segment::distance;
use crate::model::shape::DeckAction;
use crate::model::{Length, Point, Roof};
use rust_decimal::prelude::ToPrimitive;

/// Height of each corner of the outline above the low line, in the order of `shape.corners`.
pub fn heights(shape: &RoofShape, roof: &Roof) -> Vec<Length> {
    shape.corners.iter().map(|c| height(shape, roof, c.at)).collect()
}

/// Rise = plan distance up the fall ÷ the fall's run, rounded up to a whole millimetre.
pub fn height(shape: &RoofShape, roof: &Roof, p: Point) -> Length {
    let run = roof.fall.run.to_f64().filter(|r| *r > 0.0).unwrap_or(f64::INFINITY);
    let rise = shape.up_from_low(p) / run;
    // A thousandth of a millimetre is rounding, not height.
    Length::mm((rise - 1e-3).ceil().max(0.0) as i64)
}

/// One firring a joist, from its low end to its high end. Only a new deck takes firrings; a joist that lies on the low
/// line needs none.
pub fn firrings(shape: &RoofShape, roof: &Roof) -> Vec<Firring> {
    if roof.deck.action != DeckAction::New {
        return Vec::new();
    }
    let firring = |(a, b): (Point, Point)| {
        let (from, to) = if shape.up_from_low(a) <= shape.up_from_low(b) { (a, b) } else { (b, a) };
        Firring {
            from,
            to,
            length: distance(a, b),
            low_depth: height(shape, roof, from),
            high_depth: height(shape, roof, to),
        }
    };
    joist_lines(shape, roof).into_iter().map(firring).filter(|f| f.high_depth > Length::ZERO).collect()
}
