//! How wide the first row is laid, so that no later row is too narrow to be fixed.
//!
//! Given the deck's outer rings in its own axes; gives the width of the first row: a whole board's, unless an edge along
//! the rows would then leave a strip narrower than the rule. Then the first row is ripped along its outer edge, which
//! meets no board (so a tongued board keeps the edge that the next row wants), by as little as puts that right. Edges of
//! holes do not count: a notch beside a rooflight is not a strip.

use crate::geometry::ring::sides;
use crate::geometry::whole::div_ceil;
use crate::model::Point;

/// An edge of the deck that lies along the rows, or nearly.
struct Along {
    /// Where it lies across the rows.
    from: i64,
    to: i64,
    /// How long it is.
    length: i64,
    /// Whether the deck ends there (else it begins there), as the rows are laid.
    ends: bool,
}

/// The width of the first row of boards `width` wide, where strips below `least` are not wanted. `outer` holds the outer
/// rings, anticlockwise, and `low` is where the first row starts.
pub(crate) fn first_row(outer: &[&[Point]], low: i64, width: i64, least: i64) -> i64 {
    let edges: Vec<Along> = outer.iter().flat_map(|ring| edges_along(ring, least)).collect();
    let narrow =
        |first: i64| -> i64 { edges.iter().filter(|e| e.is_narrow(low + first, width, least)).map(|e| e.length).sum() };
    let as_bought = narrow(width);
    if as_bought == 0 || least <= 0 {
        return width;
    }
    let high = edges.iter().map(|e| e.to).max().unwrap_or(low);
    let rows = |first: i64| div_ceil((high - low - first).max(0), width);
    let wanted = edges.iter().map(|e| if e.ends { e.from - least } else { e.to + least } - low);
    let firsts = wanted.map(|v| (v - 1).rem_euclid(width) + 1).filter(|&first| first >= least);
    let best = firsts.map(|first| (narrow(first), rows(first), -first)).min();
    best.filter(|b| b.0 < as_bought).map_or(width, |b| -b.2)
}

/// Edges that lie within `least` of a line along the rows. An edge shorter than that is no strip's.
fn edges_along(ring: &[Point], least: i64) -> impl Iterator<Item = Along> {
    sides(ring).filter(move |(a, b)| (b.y - a.y).abs() < least && (b.x - a.x).abs() > least).map(|(a, b)| Along {
        from: a.y.min(b.y),
        to: a.y.max(b.y),
        length: (b.x - a.x).abs(),
        // The deck lies on the left of its edges.
        ends: b.x < a.x,
    })
}

impl Along {
    /// Whether some line between rows leaves less than `least` between itself and this edge. `line` is the first.
    fn is_narrow(&self, line: i64, width: i64, least: i64) -> bool {
        let (after, before) = match self.ends {
            true => (self.from - least, self.to),
            false => (self.from, self.to + least),
        };
        let next = line + ((after - line).div_euclid(width) + 1).max(0) * width;
        next < before
    }
}
