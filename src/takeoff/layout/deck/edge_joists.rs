//! Joists that are set along edges which run with the joists and have none.
//!
//! Given a roof's shape and its joists; gives each new one by its centre-line. It stands against the wall, or flush with the
//! back of the fascia, as deep as the others. Stretches of one straight line take one joist, whatever stands on them, and where
//! the roof goes on past the line's end it goes on too: so that it ends where the others end, and bears as they do. None under
//! a deck that stays, and none where nobody says how deep the joists are.

use super::frame::{DeckFrame, carried, carries_within, found_joists, in_one, runs_along};
use crate::geometry::region::{Bounds, bounds_of};
use crate::geometry::segment::distance;
use crate::model::shape::DeckAction;
use crate::model::words::{list, once};
use crate::model::{Finish, Length, Point, Roof, Rules};
use crate::takeoff::layout::shape::{EdgeJoist, RoofShape, Side, batten_depth, inward};

/// A shorter line of edges along the joists is carried by noggins, mm.
pub(crate) const FOR_A_JOIST: Length = Length::mm(1000);

/// Sides that lie along the joists and follow one another on one straight line.
struct EdgeLine {
    /// The sides, in walking order.
    sides: Vec<usize>,
    /// Where the middle of a joist along it lies, across the joists in the deck's own axes.
    at: i64,
    /// From where to where it reaches, along the joists.
    low: i64,
    high: i64,
    /// Whether joists that are there lie along all of it.
    has_joists: bool,
}

/// The joists to set on a roof.
pub(crate) fn edge_joists(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Vec<EdgeJoist> {
    let Some(section) = roof.joists.section.filter(|_| roof.deck.action == DeckAction::New) else { return Vec::new() };
    let frame = DeckFrame::of(shape, roof);
    let Some(Bounds { least, most }) = bounds_of(shape.ring().into_iter().map(|p| frame.inside(p))) else {
        return Vec::new();
    };
    let region = carried(shape);
    let mut set: Vec<EdgeJoist> = Vec::new();
    for line in edge_lines(shape, roof, rules, section.half_thickness()) {
        if line.has_joists || line.high - line.low < FOR_A_JOIST.as_mm() {
            continue;
        }
        let (from, to) = (frame.outside(Point::new(line.at, least.y)), frame.outside(Point::new(line.at, most.y)));
        for (from, to) in in_one(region.clip_line(from.min(to), from.max(to), true)) {
            let (a, b) = (frame.inside(from).y, frame.inside(to).y);
            let along = a.max(b).min(line.high) - a.min(b).max(line.low);
            if along < FOR_A_JOIST.as_mm() {
                continue;
            }
            let label = label(shape, roof, &line.sides);
            // Two edges on one line to either side of a part of the roof that goes on between them share a joist.
            match set.iter_mut().find(|other| (other.from, other.to) == (from, to)) {
                Some(other) => other.label = list(&[other.label.clone(), label]),
                None => {
                    let past = distance(from, to).as_mm() - along > section.thickness.as_mm();
                    set.push(EdgeJoist { side: line.sides[0], label, past, section, from, to });
                }
            }
        }
    }
    set
}

/// What the edges of a line are called: one that was measured in stretches by its own name.
fn label(shape: &RoofShape, roof: &Roof, sides: &[usize]) -> String {
    let whole = |name: &str| {
        let of_name = roof.outline.edges.iter().enumerate().filter(|(_, edge)| edge.name == name);
        of_name.map(|(i, _)| i).all(|i| sides.contains(&i))
    };
    let of = |&i: &usize| match roof.outline.edges.get(i) {
        Some(edge) if whole(&edge.name) => edge.name.clone(),
        _ => shape.sides[i].label.clone(),
    };
    list(&once(sides.iter().map(of)))
}

/// The lines along the joists, each with the sides that lie on it.
fn edge_lines(shape: &RoofShape, roof: &Roof, rules: &Rules, half: Length) -> Vec<EdgeLine> {
    let frame = DeckFrame::of(shape, roof);
    let inside = |(a, b): (Point, Point)| (frame.inside(a), frame.inside(b));
    let found: Vec<(Point, Point)> = found_joists(shape, roof).into_iter().map(inside).collect();
    let line_of = |(i, side): (usize, &Side)| {
        let (a, b) = inside((side.from, side.to));
        let way = inward(side.from, side.to);
        let along = if frame.along_x { way.x } else { way.y };
        let inwards = if (along > 0.0) == (frame.inside(Point::new(1, 1)).x > 0) { 1 } else { -1 };
        let gap = if side.finish == Finish::Wall { rules.wall_gap } else { Length::ZERO };
        let out = if shape.moved { batten_depth(side.finish, rules) } else { Length::ZERO };
        let edge = a.x + inwards * gap.as_mm();
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        let of_boards = (Point::new(edge, low), Point::new(edge, high));
        let near = carries_within(roof, rules) + out;
        let has_joists = found.iter().any(|&joist| runs_along(joist, of_boards, near));
        let at = a.x + inwards * (out + half).as_mm();
        (a.x == b.x).then_some(EdgeLine { sides: vec![i], at, low, high, has_joists })
    };
    let mut lines: Vec<EdgeLine> = Vec::new();
    for next in shape.sides.iter().enumerate().filter_map(line_of) {
        match lines.last_mut().filter(|last| goes_on(last, &next)) {
            Some(last) => last.take(next),
            None => lines.push(next),
        }
    }
    // The outline closes: its last side may go on in its first.
    if lines.len() > 1 && lines.first().zip(lines.last()).is_some_and(|(first, last)| goes_on(last, first)) {
        let first = lines.remove(0);
        if let Some(last) = lines.last_mut() {
            last.take(first);
        }
    }
    lines
}

/// Whether one line begins where the one before it ends.
fn goes_on(line: &EdgeLine, next: &EdgeLine) -> bool {
    line.at == next.at && (line.high == next.low || line.low == next.high)
}

impl EdgeLine {
    fn take(&mut self, next: EdgeLine) {
        self.sides.extend(next.sides);
        (self.low, self.high) = (self.low.min(next.low), self.high.max(next.high));
        self.has_joists &= next.has_joists;
    }
}
