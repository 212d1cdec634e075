//! Straight lines between two points: what lies on them, how far off a point is, what they meet.
//!
//! Given points in whole millimetres; gives distances and answers. A segment of no length counts as its one point.

use super::measure::Length;
use super::point::Point;

/// The distance between two points to the nearest whole millimetre.
pub fn distance(a: Point, b: Point) -> Length {
    Length::mm(((b.x - a.x) as f64).hypot((b.y - a.y) as f64).round() as i64)
}

/// Twice the signed area of the triangle: positive for a left turn at `b`.
pub fn turn(a: Point, b: Point, c: Point) -> i128 {
    (b.x - a.x) as i128 * (c.y - a.y) as i128 - (b.y - a.y) as i128 * (c.x - a.x) as i128
}

/// Whether two closed segments share a point.
pub fn segments_touch(a: Point, b: Point, c: Point, d: Point) -> bool {
    let on = |p: Point, q: Point, r: Point| {
        turn(p, q, r) == 0
            && (p.x.min(q.x)..=p.x.max(q.x)).contains(&r.x)
            && (p.y.min(q.y)..=p.y.max(q.y)).contains(&r.y)
    };
    let (s1, s2) = (turn(a, b, c).signum(), turn(a, b, d).signum());
    let (s3, s4) = (turn(c, d, a).signum(), turn(c, d, b).signum());
    (s1 * s2 < 0 && s3 * s4 < 0) || on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b)
}

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
