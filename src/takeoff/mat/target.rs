//! What the mat must cover: the roof's surface and its returns over, up and round every edge, laid flat on plan.
//!
//! Given the shape and the rules; gives one region in the strips' frame. A return is a band along its side, as long as
//! the side and as wide as `mat_return` says. Where the band of a slanting side would reach past the line of the
//! furthest side (a drip, say), its tip is cut off on that line: the mat is cut there and the corner's patch of
//! bandage covers it. A side less than about half a degree off the furthest line counts as lying on it. A kerb takes its band inwards, up its sides; what lies beyond stays bare. A pipe takes no band:
//! the strip is cut round it.

use super::frame::Frame;
use crate::model::rules::ByFinish;
use crate::model::{HoleForm, Length, Point};
use crate::takeoff::region::{Region, distance};
use crate::takeoff::shape::{HoleShape, RoofShape, Side, inward};

/// The surface with its returns, in the frame.
pub fn target(shape: &RoofShape, returns: &ByFinish, frame: &Frame) -> Region {
    let bands: Vec<Vec<Point>> = shape.sides.iter().filter_map(|s| band(s, returns.of(s.finish))).collect();
    let ring = shape.ring();
    let rings = std::iter::once(ring.as_slice()).chain(bands.iter().map(Vec::as_slice));
    let bare: Vec<Vec<Point>> = shape.holes.iter().filter_map(|h| bare_middle(h, returns)).collect();
    let covered = Region::of_rings(rings).subtract(&Region::of_rings(bare.iter().map(Vec::as_slice)));
    let reach = |pick: fn(Point) -> i64| reach(shape, returns, frame, pick);
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
fn bare_middle(hole: &HoleShape, returns: &ByFinish) -> Option<Vec<Point>> {
    let HoleForm::Box { at, width, depth } = hole.form else { return None };
    let up = returns.of(hole.finish).as_mm();
    let (w, d) = (width.as_mm() - 2 * up, depth.as_mm() - 2 * up);
    let at = Point::new(at.x + up, at.y + up);
    (w > 0 && d > 0)
        .then(|| vec![at, Point::new(at.x + w, at.y), Point::new(at.x + w, at.y + d), Point::new(at.x, at.y + d)])
}

/// How far the mat reaches in one direction: the furthest line of the outline, plus the return of the side that lies
/// on it; where only a corner touches it, plus what the bands of its two sides reach.
fn reach(shape: &RoofShape, returns: &ByFinish, frame: &Frame, pick: fn(Point) -> i64) -> i64 {
    let level = |p: Point| pick(frame.place(p));
    let furthest = shape.sides.iter().map(|s| level(s.from)).max().unwrap_or(0);
    let off = |s: &Side| furthest - level(s.from).min(level(s.to));
    let lying = shape.sides.iter().filter(|s| off(s) <= askew(s));
    if let Some(most) = lying.map(|s| returns.of(s.finish).as_mm()).max() {
        return furthest + most;
    }
    let touching = shape.sides.iter().filter(|s| level(s.from).max(level(s.to)) >= furthest - 2);
    let corners = touching.filter_map(|s| band(s, returns.of(s.finish))).flatten();
    corners.map(level).fold(furthest, i64::max)
}

/// A side lies on the furthest line where neither end is further off it than a hundredth of its length (about half a
/// degree), which a tape hardly shows; never less than 2 mm, which rounding may cost.
fn askew(side: &Side) -> i64 {
    (distance(side.from, side.to).as_mm() / 100).max(2)
}
