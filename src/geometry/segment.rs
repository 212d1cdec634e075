//! Straight lines between two points: what lies on them, how far off a point is, what they meet.
//!
//! Given points in whole millimetres; gives distances and answers. A segment of no length counts as its one point.

use crate::model::Point;

/// How far a point lies off the nearest point of a segment, mm.
pub fn distance_to_segment(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
    let (px, py) = ((p.x - a.x) as f64, (p.y - a.y) as f64);
    let share = ((px * dx + py * dy) / (dx * dx + dy * dy).max(1.0)).clamp(0.0, 1.0);
    (px - share * dx).hypot(py - share * dy)
}

/// Whether a segment touches a box (Liang and Barsky, 1984: the segment clipped to the box has something left).
pub fn segment_meets_box(a: Point, b: Point, least: Point, most: Point) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in [(a.x, b.x - a.x, least.x, most.x), (a.y, b.y - a.y, least.y, most.y)] {
        if step == 0 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (t, u) = ((low - start) as f64 / step as f64, (high - start) as f64 / step as f64);
        from = from.max(t.min(u));
        to = to.min(t.max(u));
    }
    from <= to
}
