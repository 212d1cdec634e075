//! Falls: how high every corner stands, the firrings that make the fall, and the upstand that is left at walls.
//!
//! Given the roof's shape and its fall; gives heights above the low line in whole millimetres, rounded up. A joist along
//! the fall takes a tapered firring; one across it takes a level one, as deep as the roof is high there. A firring
//! tapers to nothing at the low line.

use super::Firring;
use super::deck::joist_lines;
use super::over_deck;
use super::shape::{RoofShape, Side};
use crate::geometry::region::distance;
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Finish, Length, Point, Problem, Roof, Rules};
use rust_decimal::prelude::ToPrimitive;

/// Height of each corner of the outline above the low line, in the order of `shape.corners`.
pub fn heights(shape: &RoofShape, roof: &Roof) -> Vec<Length> {
    shape.corners.iter().map(|c| height(shape, roof, c.at)).collect()
}

/// Rise = plan distance up the fall ÷ the fall's run, rounded up to a whole millimetre.
fn height(shape: &RoofShape, roof: &Roof, p: Point) -> Length {
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

/// Warnings: a fall flatter than the rule, and an upstand at a wall that is too low once the deck is built up. `board`
/// is the new board, or the one laid over the old deck.
pub fn fall_notices(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>) -> Vec<Problem> {
    let mut out = Vec::new();
    if roof.fall.run > rules.least_fall {
        out.push(Problem::warning(
            format!("{}.fall", roof.path),
            format!(
                "a fall of {} is flatter than 1:{}, the least that BS 6229 asks to be left",
                roof.fall, rules.least_fall
            ),
            "design for 1:40, so that 1:80 is left after building tolerance and sag",
        ));
    }
    let walls = (0..shape.sides.len()).filter(|&i| shape.sides[i].finish == Finish::Wall);
    out.extend(walls.filter_map(|i| low_upstand(shape, roof, rules, board, i)));
    out
}

/// What an edge is raised by: firring at its higher end, the board, and what lies over the deck.
fn raised_by(shape: &RoofShape, roof: &Roof, board: Option<&Board>, side: &Side) -> (Length, Length, Length) {
    let thickness = board.filter(|_| roof.deck.action != DeckAction::Keep).map_or(Length::ZERO, |b| b.thickness);
    let firring = match roof.deck.action {
        DeckAction::New => height(shape, roof, side.from).max(height(shape, roof, side.to)),
        DeckAction::Overlay | DeckAction::Keep => Length::ZERO,
    };
    (firring, thickness, over_deck::height(roof))
}

/// What is left of the surveyed upstand of an edge above the finished roof; `None` where none was surveyed.
pub fn upstand_left(shape: &RoofShape, roof: &Roof, board: Option<&Board>, edge: usize) -> Option<Length> {
    let (side, surveyed) = (shape.sides.get(edge)?, roof.outline.edges.get(edge)?.upstand?);
    let (firring, thickness, over) = raised_by(shape, roof, board, side);
    Some(surveyed - firring - thickness - over)
}

fn low_upstand(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>, i: usize) -> Option<Problem> {
    let (side, surveyed) = (&shape.sides[i], roof.outline.edges.get(i)?.upstand?);
    let (firring, thickness, over) = raised_by(shape, roof, board, side);
    let left = surveyed - firring - thickness - over;
    let built_up = match (firring, thickness) {
        (Length::ZERO, Length::ZERO) => String::new(),
        (Length::ZERO, board) => format!(" less {board} of board"),
        (firring, board) => format!(" less {firring} of firring and {board} of board"),
    };
    let built_up = match over {
        Length::ZERO => built_up,
        over => format!("{built_up} less {over} of insulation and the board over it"),
    };
    (left < rules.least_upstand).then(|| {
        Problem::warning(
            format!("{}.upstand", side.path),
            format!(
                "at the {} the upstand comes to {left} ({surveyed} surveyed{built_up}); BS 6229 asks for {} above the \
                 finished roof",
                side.label, rules.least_upstand
            ),
            "lower the fall within BS 6229, raise the door or the flashing, or agree in writing how the wall is kept dry",
        )
    })
}
