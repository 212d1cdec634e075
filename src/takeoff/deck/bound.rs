//! The fewest boards that any layout can do with.
//!
//! Given the rows; gives a whole number with its reason. Where the deck is more than half a board wide across a row, one
//! place along a board serves one such place of the deck and no other; and so with the tongue and the groove, of which
//! each board has one. Cut at the joists where a joint may stand, those stretches are items that no layout divides
//! further, and boards are bins: dual feasible functions (Fekete and Schepers, 2001) bound bins from below.

use super::rows::{Row, Span, Stretch, common, joined, sides};
use super::stock::BoardSize;
use crate::model::Point;
use crate::model::units::div_ceil;

/// Most items of half, a third, … of a board that the functions look at.
const MOST_PARTS: i64 = 24;

/// A bound with its reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Bound {
    pub boards: i64,
    pub reason: String,
}

/// Bounds the boards of every layout; where no piece is `shorter` than `shortest`, when that is asked for.
pub(super) fn bound(rows: &[Row], size: &BoardSize, area: i64, shortest: i64) -> Bound {
    let by_area = Bound {
        boards: div_ceil(area, size.length * size.width),
        reason: "the net area of the deck divided by a board's area".into(),
    };
    let families = [
        (true, Family::Wide, "the rows that are more than half a board wide"),
        (size.tongued, Family::First, "the long joints, which each take one factory edge of a board"),
        (size.tongued, Family::Last, "the long joints, which each take the other factory edge of a board"),
    ];
    let others = families.iter().filter(|f| f.0).map(|(_, family, what)| {
        let items: Vec<i64> = rows.iter().flat_map(|r| items(r, *family, size, shortest)).collect();
        Bound { boards: bins(&items, size.length), reason: format!("{what}, cut only at joists, laid end to end") }
    });
    others.fold(by_area, |best, b| if b.boards > best.boards { b } else { best })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Family {
    Wide,
    First,
    Last,
}

/// Lengths of a row that must each come out of one board, apart from each other.
fn items(row: &Row, family: Family, size: &BoardSize, shortest: i64) -> Vec<i64> {
    let mut out = Vec::new();
    for span in &row.spans {
        let whole = [(span.at[0], span.at[span.at.len() - 1])];
        let stretches = match family {
            Family::Wide => wide(span, size.width),
            Family::First => common(&row.joint_before, &whole),
            Family::Last => common(&row.joint_after, &whole),
        };
        let joints = places(span, shortest);
        for (from, to) in stretches {
            let inside = joints.iter().copied().filter(|&p| from < p && p < to);
            let mut start = from;
            for place in inside.chain([to]) {
                out.push(place - start);
                start = place;
            }
        }
    }
    out.retain(|&l| l > 0);
    out
}

/// Places where a joint may stand that leaves no piece shorter than `shortest` at either end of the span.
fn places(span: &Span, shortest: i64) -> Vec<i64> {
    let (from, to) = (span.at[0], span.at[span.at.len() - 1]);
    span.at[1..span.at.len() - 1].iter().copied().filter(|p| p - from >= shortest && to - p >= shortest).collect()
}

/// Where the deck is one unbroken stretch of more than half a board across the row.
fn wide(span: &Span, width: i64) -> Vec<Stretch> {
    let mut cuts: Vec<i64> = span.region.polygons().iter().flatten().flatten().map(|p| p.x).collect();
    cuts.extend([span.at[0], span.at[span.at.len() - 1]]);
    cuts.sort_unstable();
    cuts.dedup();
    let edges: Vec<(Point, Point)> = span.region.polygons().iter().flatten().flat_map(|r| sides(r)).collect();
    let is_wide = |from: i64, to: i64| {
        let mut across: Vec<(f64, f64)> = edges
            .iter()
            .filter(|(a, b)| a.x.min(b.x) <= from && to <= a.x.max(b.x) && a.x != b.x)
            .map(|&(a, b)| (height(a, b, from), height(a, b, to)))
            .collect();
        across.sort_by(|p, q| (p.0 + p.1).total_cmp(&(q.0 + q.1)));
        // A millimetre to spare keeps the bound sound where a crossing was rounded.
        let enough = width as f64 / 2.0 + 1.0;
        across.chunks_exact(2).any(|c| c[1].0 - c[0].0 > enough && c[1].1 - c[0].1 > enough)
    };
    joined(cuts.windows(2).filter(|w| is_wide(w[0], w[1])).map(|w| (w[0], w[1])).collect())
}

/// Where an edge stands across the boards, at a place along them.
fn height(a: Point, b: Point, at: i64) -> f64 {
    a.y as f64 + (b.y - a.y) as f64 * (at - a.x) as f64 / (b.x - a.x) as f64
}

/// A bound on the bins of `size` that hold the items, in whole numbers.
fn bins(items: &[i64], size: i64) -> i64 {
    // An item longer than a bin (one that only a short piece could divide) fills it at the least.
    let items = || items.iter().map(|&l| l.min(size));
    let total = div_ceil(items().sum(), size);
    // The function u(k) of Fekete and Schepers, times k·size: an item x of k+1 parts of a bin counts whole parts only.
    let by_parts = |k: i64| {
        let part = |x: i64| if (k + 1) * x % size == 0 { x * k } else { (k + 1) * x / size * size };
        div_ceil(items().map(part).sum(), k * size)
    };
    (1..=MOST_PARTS).map(by_parts).fold(total, i64::max)
}
