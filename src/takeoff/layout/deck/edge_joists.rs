//! Joists that are set along edges which run with the joists and have none.
//!
//! Given a roof's shape and its joists; gives each new one by its centre-line. It stands against the wall, or flush with the
//! back of the fascia, as deep as the others and as long. None under a deck that stays, and none where nobody says how deep the
//! joists are.

use super::frame::{DeckFrame, carried, carries_within, found_joists, in_one, runs_along};
use crate::geometry::segment::distance;
use crate::model::shape::DeckAction;
use crate::model::{Finish, Length, Point, Roof, Rules};
use crate::takeoff::layout::shape::{EdgeJoist, RoofShape, batten_depth, inward};

/// A shorter edge along the joists is carried by noggins, mm.
pub(crate) const FOR_A_JOIST: Length = Length::mm(1000);

/// The joists to set on a roof.
pub(crate) fn edge_joists(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Vec<EdgeJoist> {
    let Some(section) = roof.joists.section.filter(|_| roof.deck.action == DeckAction::New) else { return Vec::new() };
    let frame = DeckFrame::of(shape, roof);
    let inside = |(a, b): (Point, Point)| (frame.inside(a), frame.inside(b));
    let found: Vec<(Point, Point)> = found_joists(shape, roof).into_iter().map(inside).collect();
    let half = section.half_thickness();
    let region = carried(shape);
    let mut set = Vec::new();
    for (i, side) in shape.sides.iter().enumerate() {
        let (a, b) = inside((side.from, side.to));
        if a.x != b.x || distance(a, b) < FOR_A_JOIST {
            continue;
        }
        let way = inward(side.from, side.to);
        let along = if frame.along_x { way.x } else { way.y };
        let inwards = if (along > 0.0) == (frame.inside(Point::new(1, 1)).x > 0) { 1 } else { -1 };
        let gap = if side.finish == Finish::Wall { rules.wall_gap } else { Length::ZERO };
        let out = if shape.moved { batten_depth(side.finish, rules) } else { Length::ZERO };
        let edge = a.x + inwards * gap.as_mm();
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        let of_boards = (Point::new(edge, low), Point::new(edge, high));
        if found.iter().any(|&joist| runs_along(joist, of_boards, carries_within(roof, rules) + out)) {
            continue;
        }
        let at = a.x + inwards * (out + half).as_mm();
        let (from, to) = (frame.outside(Point::new(at, low)), frame.outside(Point::new(at, high)));
        let parts = in_one(region.clip_line(from.min(to), from.max(to), true));
        let long = parts.into_iter().filter(|&(a, b)| distance(a, b) >= FOR_A_JOIST);
        set.extend(long.map(|(from, to)| EdgeJoist { side: i, section, from, to }));
    }
    set
}
