//! Rings: closed lines through points, the last joined to the first.
//!
//! Given at least three points; gives sides, areas, and where a point lies. Exact in whole numbers.

use super::measure::{Area, Length};
use super::point::Point;
use super::segment::{distance, segments_touch, turn};

/// Side `i` of a ring: from its corner `i` to the next.
pub fn side(ring: &[Point], i: usize) -> (Point, Point) {
    (ring[i], ring[(i + 1) % ring.len()])
}

/// The sides of a ring, in walking order.
pub fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    (0..ring.len()).map(move |i| side(ring, i))
}

/// A corner of a ring with its neighbours: the one before, itself, the one after.
pub fn around(ring: &[Point], corner: usize) -> (Point, Point, Point) {
    let n = ring.len();
    (ring[(corner + n - 1) % n], ring[corner], ring[(corner + 1) % n])
}

/// The length of all sides, each to the nearest whole millimetre.
pub fn perimeter(ring: &[Point]) -> Length {
    sides(ring).map(|(a, b)| distance(a, b)).sum()
}

/// The area of a ring, whichever way it is walked (shoelace formula, Meister 1769). Half a square millimetre is
/// dropped.
pub fn ring_area(ring: &[Point]) -> Area {
    Area::mm2((twice_signed_area(ring).abs() / 2) as i64)
}

/// Twice the signed area of a ring, mm²: positive when it is walked anticlockwise.
pub fn twice_signed_area(ring: &[Point]) -> i128 {
    sides(ring).map(|(a, b)| a.x as i128 * b.y as i128 - b.x as i128 * a.y as i128).sum()
}

/// The first pair of edges that cross or touch where they should not. Neighbours may share their corner only.
pub fn first_crossing(ring: &[Point]) -> Option<(usize, usize)> {
    let n = ring.len();
    let edge = |i: usize| side(ring, i);
    for i in 0..n {
        for j in i + 1..n {
            let ((a, b), (c, d)) = (edge(i), edge(j));
            let hit = if j == i + 1 {
                folds_back(a, b, d)
            } else if i == 0 && j == n - 1 {
                folds_back(c, d, b)
            } else {
                segments_touch(a, b, c, d)
            };
            if hit {
                return Some((i, j));
            }
        }
    }
    None
}

/// Whether `a → b → c` turns straight back on itself, or does not move.
fn folds_back(a: Point, b: Point, c: Point) -> bool {
    let dot = (b.x - a.x) as i128 * (c.x - b.x) as i128 + (b.y - a.y) as i128 * (c.y - b.y) as i128;
    a == b || b == c || (turn(a, b, c) == 0 && dot < 0)
}

/// Where a point lies against a ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointPlace {
    /// Outside.
    Outside,
    /// On the ring itself.
    Edge,
    /// Inside.
    Inside,
}

/// Where a point lies against a ring (crossing number, exact in whole numbers).
pub fn place_in_ring(ring: &[Point], p: Point) -> PointPlace {
    let mut inside = false;
    for (a, b) in sides(ring) {
        let side = turn(a, b, p);
        let within = (a.x.min(b.x)..=a.x.max(b.x)).contains(&p.x) && (a.y.min(b.y)..=a.y.max(b.y)).contains(&p.y);
        if side == 0 && within {
            return PointPlace::Edge;
        }
        let (low, high, side) = if a.y < b.y { (a.y, b.y, side) } else { (b.y, a.y, -side) };
        if low <= p.y && p.y < high && side > 0 {
            inside = !inside;
        }
    }
    if inside { PointPlace::Inside } else { PointPlace::Outside }
}
