//! Whether the fall is steep enough, and the upstand at walls high enough once the deck is built up.
//!
//! Given a roof and its shape; gives warnings, and what is left of an upstand. A firring is as deep at a wall as the roof
//! is high there, and takes that much off the upstand.

use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Finish, Length, Problem, Roof, Rules};
use crate::takeoff::layout::falls::height;
use crate::takeoff::layout::over_deck;
use crate::takeoff::layout::shape::{RoofShape, Side};

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
