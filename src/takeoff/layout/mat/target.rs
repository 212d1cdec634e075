//! What the mat must cover: the roof's surface and its returns over, up and round every edge, laid flat on plan.
//!
//! Given the shape; gives one region in the strips' frame. A return is a band along its side, as long as
//! the side and as wide as the mat is carried there. Where the band of a slanting side would reach past the line of the
//! furthest side (a drip, say), its tip is cut off on that line: the mat is cut there and the corner's patch of
//! bandage covers it. Two sides that both lie across keep each its own return, though one
//! stands back a little. A kerb takes its band inwards, up its sides; what lies beyond stays bare. A pipe takes no band:
//! the strip is cut round it.

use super::frame::StripFrame;
use crate::geometry::region::Region;
use crate::geometry::segment::distance;
use crate::model::{HoleForm, Length, Point};
use crate::takeoff::layout::shape::{HoleShape, RoofShape, Side, inward};

/// The surface with its returns, in the frame.
pub(super) fn target(shape: &RoofShape, frame: &StripFrame) -> Region {
    let bands: Vec<Vec<Point>> = shape.sides.iter().filter_map(|s| band(s, s.carried)).collect();
    let ring = shape.ring();
    let rings = std::iter::once(ring.as_slice()).chain(bands.iter().map(Vec::as_slice));
    let bare: Vec<Vec<Point>> = shape.holes.iter().filter_map(bare_middle).collect();
    let covered = Region::of_rings(rings).subtract(&Region::of_rings(bare.iter().map(Vec::as_slice)));
    let reach = |pick: fn(Point) -> i64| reach(shape, frame, pick);
    let least = Point::new(-reach(|p| -p.x), -reach(|p| -p.y));
    let most = Point::new(reach(|p| p.x), reach(|p| p.y));
    frame.place_region(&covered).intersect(&Region::of_box(least, most))
}

/// The band outside a side; `None` where nothing is carried over.
fn band(side: &Side, width: Length) -> Option<Vec<Point>> {
    let n = inward(side.from, side.to);
    let out = |p: Point| {
        let w = width.as_mm() as f64;
        Point::new((p.x as f64 - n.x * w).round() as i64, (p.y as f64 - n.y * w).round() as i64)
    };
    (width > Length::ZERO).then(|| vec![side.from, out(side.from), out(side.to), side.to])
}

/// The part of a hole that no return reaches.
fn bare_middle(hole: &HoleShape) -> Option<Vec<Point>> {
    let HoleForm::Box { at, width, depth } = hole.form else { return None };
    let up = hole.carried.as_mm();
    let (w, d) = (width.as_mm() - 2 * up, depth.as_mm() - 2 * up);
    let at = Point::new(at.x + up, at.y + up);
    (w > 0 && d > 0)
        .then(|| vec![at, Point::new(at.x + w, at.y), Point::new(at.x + w, at.y + d), Point::new(at.x, at.y + d)])
}

/// How far the mat reaches in one direction: past every side that faces that way, by that side's return; at least to
/// the furthest line of the outline. Where only a corner touches that line, past it by what the bands of the corner's
/// two sides reach.
fn reach(shape: &RoofShape, frame: &StripFrame, pick: fn(Point) -> i64) -> i64 {
    let level = |p: Point| pick(frame.place(p));
    let (least, most) = (|s: &Side| level(s.from).min(level(s.to)), |s: &Side| level(s.from).max(level(s.to)));
    let furthest = shape.sides.iter().map(most).max().unwrap_or(0);
    let on_the_line = |s: &Side| furthest - least(s) <= askew(s);
    let past = |s: &Side| if on_the_line(s) { furthest } else { most(s) } + s.carried.as_mm();
    let faces = |s: &Side| {
        let n = inward(s.from, s.to);
        level(s.from) > level(Point::new(s.from.x + (n.x * FAR) as i64, s.from.y + (n.y * FAR) as i64))
    };
    let across = shape.sides.iter().filter(|s| most(s) - least(s) <= askew(s) && faces(s));
    let reached = across.map(past).fold(furthest, i64::max);
    if shape.sides.iter().any(on_the_line) {
        return reached;
    }
    let touching = shape.sides.iter().filter(|s| most(s) >= furthest - 2);
    let corners = touching.filter_map(|s| band(s, s.carried)).flatten();
    corners.map(level).fold(reached, i64::max)
}

/// So far to one side, mm, which way that is shows whatever rounding may do.
const FAR: f64 = 1000.0;

/// A side lies across a direction where its ends differ by no more than a hundredth of its length (about half a
/// degree), which a tape hardly shows; never less than 2 mm, which rounding may cost.
fn askew(side: &Side) -> i64 {
    (distance(side.from, side.to).as_mm() / 100).max(2)
}
