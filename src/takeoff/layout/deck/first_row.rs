//! How wide the first row is laid, so that no later row is too narrow to be fixed.
//!
//! Given the deck's rings in its own axes; gives the widths that the first row may have, the best first: a whole board's,
//! unless an edge along the rows would then leave a strip narrower than the rule. Then the first row is ripped along its
//! outer edge, which meets no board (so a tongued board keeps the edge that the next row wants). Of tongued boards, where each
//! row takes a board of its own, the two are then as wide as one another, or nearly; of square ones, where the strip comes out of
//! what is ripped off, by as little as puts that right. Edges of holes make no strip: a notch beside a rooflight is not one. But they too are places to which a line
//! between rows may be moved, where pieces beside a hole would be too small.

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
    /// Less than this beside it is a strip.
    least: i64,
}

/// First rows that are tried beside the best.
const MOST: usize = 8;

/// Widths of the first row of boards `width` wide, where strips below `least` are not wanted; `even` where the first row is to
/// be as wide as the strip that it saves. `outer` holds the outer rings,
/// anticlockwise, `inner` those of holes, clockwise, and `low` is where the first row starts.
pub(crate) fn first_rows(
    outer: &[&[Point]],
    inner: &[&[Point]],
    low: i64,
    width: i64,
    (least, even): (i64, bool),
) -> Vec<i64> {
    let edges: Vec<Along> = outer.iter().flat_map(|ring| edges_along(ring, least)).collect();
    let narrow =
        |first: i64| -> i64 { edges.iter().filter(|e| e.is_narrow(low + first, width)).map(|e| e.length).sum() };
    if least <= 0 {
        return vec![width];
    }
    let high = edges.iter().map(|e| e.to).max().unwrap_or(low);
    let rows = |first: i64| div_ceil((high - low - first).max(0), width);
    // A line may lie at either end of where it may not: between two such ends nothing changes.
    let of_holes = inner.iter().flat_map(|ring| edges_along(ring, least));
    let limits = edges.iter().map(Along::barred).chain(of_holes.map(|e| e.barred())).flat_map(|(a, b)| [a, b]);
    let halves = edges.iter().filter(|e| even && e.ends).map(|e| (width + e.strip(low, width)) / 2);
    let firsts = limits.map(|v| (v - low - 1).rem_euclid(width) + 1).chain(halves).filter(|&first| first >= least);
    let widest = |first: i64| {
        let strips = edges.iter().filter(|e| even && e.ends).map(|e| e.strip(low + first, width));
        strips.chain([first]).min().unwrap_or(first)
    };
    // Boards as they come, unless something narrow is saved.
    let as_bought = (narrow(width), false, 0, 0, -width);
    let ripped = |first: i64| (narrow(first), true, rows(first), if even { -widest(first) } else { 0 }, -first);
    let mut ranked: Vec<(i64, bool, i64, i64, i64)> = firsts.map(ripped).chain([as_bought]).collect();
    ranked.sort_unstable();
    ranked.dedup();
    let fewest = ranked[0].0;
    ranked.iter().take_while(|r| r.0 == fewest).take(MOST).map(|r| -r.4).collect()
}

/// Edges that lie within `least` of a line along the rows. An edge shorter than that is no strip's.
fn edges_along(ring: &[Point], least: i64) -> impl Iterator<Item = Along> {
    sides(ring).filter(move |(a, b)| (b.y - a.y).abs() < least && (b.x - a.x).abs() > least).map(move |(a, b)| Along {
        from: a.y.min(b.y),
        to: a.y.max(b.y),
        length: (b.x - a.x).abs(),
        // The deck lies on the left of its edges.
        ends: b.x < a.x,
        least,
    })
}

impl Along {
    /// Between which places a line between rows leaves a strip.
    fn barred(&self) -> (i64, i64) {
        match self.ends {
            true => (self.from - self.least, self.to),
            false => (self.from, self.to + self.least),
        }
    }

    /// How much is left of the deck beyond the last line before this edge, where rows are laid from `line` on.
    fn strip(&self, line: i64, width: i64) -> i64 {
        (self.from - line - 1).rem_euclid(width) + 1
    }

    /// Whether some line between rows leaves too little between itself and this edge. `line` is the first.
    fn is_narrow(&self, line: i64, width: i64) -> bool {
        let (after, before) = self.barred();
        let next = line + ((after - line).div_euclid(width) + 1).max(0) * width;
        next < before
    }
}
