//! Door sills over a wall: what is left under each once the roof is built up, and what is made there.
//!
//! Given a roof, its shape and the board that is laid; gives each such side its sill, and the faults: where too little is
//! left no roof is promised. The laminate goes up to the sill and is turned in under it, whichever way. Where a wall
//! fillet fits under the sill it runs on; where it does not, it stops square on either side, and bandage takes its place.

use super::falls::{built_up_words, upstand_left};
use super::shape::{RoofShape, Sill, SillDetail, Turn};
use crate::model::products::Board;
use crate::model::{Edge, Finish, Length, Problem, Roof, Rules};

/// Gives each side under a door its sill; the faults of those that leave too little.
pub fn place(shape: &mut RoofShape, roof: &Roof, board: Option<&Board>, rules: &Rules) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (i, edge) in roof.outline.edges.iter().enumerate() {
        let (Some(surveyed), Some(left)) = (edge.sill, upstand_left(shape, roof, rules, board, i)) else { continue };
        if left < rules.least_sill {
            problems.push(too_low(shape, i, (surveyed, left), rules));
            continue;
        }
        let detail = if left >= rules.mat_return.wall { SillDetail::Fillet } else { SillDetail::Low };
        shape.sides[i].sill = Some(Sill { left, detail });
        shape.sides[i].carried = left + rules.sill_turn;
    }
    problems.extend((0..shape.sides.len()).filter_map(|i| nothing_beside(shape, i)));
    problems
}

/// The plain walls of which less is left than the fillet goes up: its flashing would be let in behind it.
pub fn walls_without_room(shape: &RoofShape, roof: &Roof, board: Option<&Board>, rules: &Rules) -> Vec<Problem> {
    let of = |(i, edge): (usize, &Edge)| {
        let plain = edge.finish == Finish::Wall && edge.sill.is_none() && edge.coping.is_none();
        let (surveyed, left) = (edge.upstand?, upstand_left(shape, roof, rules, board, i).filter(|_| plain)?);
        let side = &shape.sides[i];
        let nothing = left <= Length::ZERO;
        let what = if nothing { "nothing".to_owned() } else { left.to_string() };
        (left < rules.mat_return.wall).then(|| {
            Problem::fault(
                side.path.key("upstand"),
                format!(
                    "at `{}` {what} of the wall is left once the roof is built up, and the fillet goes {} up it: {surveyed} \
                     surveyed{}",
                    side.label,
                    rules.mat_return.wall,
                    built_up_words(shape, roof, rules, board, i)
                ),
                "where a part of this sum cannot be right, look at `fall` and at the sizes of the outline; measure from the \
                 old roof to where the flashing can be let in; else build up less there",
            )
        })
    };
    roof.outline.edges.iter().enumerate().filter_map(of).collect()
}

fn too_low(shape: &RoofShape, i: usize, (surveyed, left): (Length, Length), rules: &Rules) -> Problem {
    let side = &shape.sides[i];
    Problem::fault(
        side.path.key("sill"),
        format!(
            "under the door sill at `{}` {left} is left of {surveyed} once the roof is built up: less than {}, and no \
             laminate can be turned up under it and sealed",
            side.label, rules.least_sill
        ),
        "build up less there (thinner insulation, a fall that rises away from the door), or have the sill raised; a level \
         threshold takes a drain of its own in front of it, which is no part of this",
    )
}

/// A fillet that stops beside a low sill needs a wall to stand on, on both sides of it.
fn nothing_beside(shape: &RoofShape, i: usize) -> Option<Problem> {
    let n = shape.sides.len();
    let side = &shape.sides[i];
    let goes_on = |corner: usize, other: usize| {
        let other = &shape.sides[other];
        shape.corners[corner].turn == Turn::Straight && other.finish == Finish::Wall && other.has_trim()
    };
    let both = goes_on(i, (i + n - 1) % n) && goes_on((i + 1) % n, (i + 1) % n);
    (side.is_under_low_sill() && !both).then(|| {
        Problem::fault(
            side.path.key("sill"),
            format!("no fillet fits under the door sill at `{}`, and there is no wall beside it to stop it on", side.label),
            "give the wall on both sides of the sill a stretch of its own: `back: [{go: 0.4 m, finish: wall, …}, {go: 1.8 \
             m, finish: wall, sill: 120 mm}, {finish: wall, …}]`",
        )
    })
}
