//! The rows: strips of the deck one board wide, the spans in them, and what each piece of a span must be cut from.
//!
//! Given the deck region in the deck's own axes; gives, for any two places in a span where a joint may stand, the
//! pieces between them. Where a hole parts the boards between two joints, that is two pieces.

use super::frame::DeckFrame;
use super::stock::BoardDemand;
use crate::geometry::interval::{Stretch, common, joined};
use crate::geometry::region::{Polygon, Region, bounds_of};
use crate::geometry::ring::sides;
use crate::model::Point;
use std::cell::OnceCell;

/// Where rows lie across the boards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct RowPitch {
    /// Where the first starts.
    pub low: i64,
    /// How wide it is.
    pub first: i64,
    /// How wide the others are: a board.
    pub width: i64,
}

impl RowPitch {
    /// Where the rows start that begin before `high`.
    fn starts(self, high: i64) -> impl Iterator<Item = i64> {
        let later = (self.low + self.first..high).step_by(self.width as usize);
        std::iter::once(self.low).filter(move |&low| low < high).chain(later)
    }

    /// How wide the row is that starts there.
    fn width_at(self, start: i64) -> i64 {
        if start == self.low { self.first } else { self.width }
    }

    /// The line between rows, or the start of the first, that is nearest to a place.
    pub(super) fn nearest_line(self, v: i64) -> i64 {
        let first = self.low + self.first;
        let later = first + (v - first + self.width / 2).div_euclid(self.width).max(0) * self.width;
        if (v - self.low).abs() < (v - later).abs() { self.low } else { later }
    }
}

/// One row.
#[derive(Debug)]
pub(crate) struct BoardRow {
    /// Where it starts and ends across the boards; the last row is ripped, and the first may be.
    pub from: i64,
    pub to: i64,
    /// Where it meets the row before, and the row after.
    pub joint_before: Vec<Stretch>,
    pub joint_after: Vec<Stretch>,
    /// Its spans along u, apart from each other.
    pub spans: Vec<RowSpan>,
}

/// A stretch of a row without a break.
#[derive(Debug)]
pub(crate) struct RowSpan {
    /// Places where a piece may end: the start, the joists between, the end.
    pub at: Vec<i64>,
    /// Its polygons, in the deck's axes.
    pub region: Region,
    /// Whether the joist at `at[i]` is an odd number of spacings from the first.
    pub odd: Vec<bool>,
    /// Whether the space from `at[i]` to `at[i + 1]` is covered from side to side of the row.
    pub plain: Vec<bool>,
    /// How many places a board reaches from each place, at most.
    reach: usize,
    pieces: Vec<OnceCell<Vec<BoardDemand>>>,
}

impl RowSpan {
    /// Its length.
    pub(crate) fn length(&self) -> i64 {
        self.at[self.at.len() - 1] - self.at[0]
    }

    /// What lies between places `i` and `k` (no further apart than a board is long), in laying order.
    pub(crate) fn demands(&self, row: &BoardRow, i: usize, k: usize) -> &[BoardDemand] {
        let slot = i * self.reach + (k - i - 1);
        self.pieces[slot].get_or_init(|| {
            let joints = [(i > 0).then_some(self.at[i]), (k + 1 < self.at.len()).then_some(self.at[k])];
            if self.is_plain(i, k) {
                let on_joist = joints.iter().any(Option::is_some);
                return vec![BoardDemand { on_joist, ..plain_demand(row, self.at[i], self.at[k]) }];
            }
            self.polygons(row, i, k).iter().map(|p| demand(row, p, joints)).collect()
        })
    }

    /// The pieces between places `i` and `k` as polygons.
    pub(crate) fn polygons(&self, row: &BoardRow, i: usize, k: usize) -> Vec<Polygon> {
        let whole = i == 0 && k == self.at.len() - 1;
        if whole {
            return in_order(self.region.polygons().to_vec());
        }
        let cell = Region::of_box(Point::new(self.at[i], row.from), Point::new(self.at[k], row.to));
        if self.is_plain(i, k) {
            return cell.polygons().to_vec();
        }
        in_order(self.region.intersect(&cell).polygons().to_vec())
    }

    fn is_plain(&self, i: usize, k: usize) -> bool {
        self.plain[i..k].iter().all(|&p| p)
    }
}

/// Cuts the deck into rows, with places for joints on the joists; a board of `length` must reach from one
/// to the next.
pub(crate) fn rows(deck: &Region, frame: &DeckFrame, length: i64, pitch: RowPitch) -> Vec<BoardRow> {
    let Some(bounds) = deck.bounds() else { return Vec::new() };
    let strips: Vec<(Stretch, Region)> = pitch
        .starts(bounds.most.y)
        .map(|from| {
            let to = (from + pitch.width_at(from)).min(bounds.most.y);
            let strip = Region::of_box(Point::new(bounds.least.x, from), Point::new(bounds.most.x, to));
            ((from, to), deck.intersect(&strip))
        })
        .collect();
    let mut joints: Vec<Vec<Stretch>> = vec![Vec::new()];
    joints.extend(strips.windows(2).map(|w| {
        let line = w[0].0.1;
        common(&edges_on(&w[0].1, line), &edges_on(&w[1].1, line))
    }));
    joints.push(Vec::new());
    let row = |(i, ((from, to), region)): (usize, &(Stretch, Region))| BoardRow {
        from: *from,
        to: *to,
        joint_before: joints[i].clone(),
        joint_after: joints[i + 1].clone(),
        spans: spans(region, frame, (*from, *to), length),
    };
    strips.iter().enumerate().map(row).collect()
}

/// Groups the polygons of a row by the stretch of u that they cover.
fn spans(region: &Region, frame: &DeckFrame, row: Stretch, length: i64) -> Vec<RowSpan> {
    let mut polygons: Vec<(Stretch, &Polygon)> = region.polygons().iter().map(|p| (along(p), p)).collect();
    polygons.sort();
    let mut groups: Vec<(Stretch, Vec<&Polygon>)> = Vec::new();
    for (stretch, polygon) in polygons {
        match groups.last_mut() {
            Some((last, group)) if stretch.0 < last.1 => {
                last.1 = last.1.max(stretch.1);
                group.push(polygon);
            }
            _ => groups.push((stretch, vec![polygon])),
        }
    }
    groups.into_iter().map(|(stretch, group)| span(stretch, &group, frame, row, length)).collect()
}

fn span(stretch: Stretch, group: &[&Polygon], frame: &DeckFrame, row: Stretch, length: i64) -> RowSpan {
    let mut at = vec![stretch.0];
    at.extend(frame.joists_between(stretch.0, stretch.1));
    at.push(stretch.1);
    let reach = (0..at.len()).map(|i| at[i..].iter().take_while(|&&p| p - at[i] <= length).count() - 1).max();
    let reach = reach.unwrap_or(0).max(1);
    let rings: Vec<&[Point]> = group.iter().flat_map(|p| p.iter().map(Vec::as_slice)).collect();
    let plain = plain_spaces(&at, &rings, row);
    let pieces = vec![OnceCell::new(); at.len() * reach];
    let odd = at.iter().map(|&p| frame.is_odd(p)).collect();
    RowSpan { region: Region::of_rings(rings), plain, odd, at, reach, pieces }
}

/// A space is plain when no ring passes through it but along the row's own two sides.
fn plain_spaces(at: &[i64], rings: &[&[Point]], row: Stretch) -> Vec<bool> {
    let mut plain = vec![true; at.len() - 1];
    for (a, b) in rings.iter().flat_map(|r| sides(r)) {
        if a.y == b.y && (a.y == row.0 || a.y == row.1) {
            continue;
        }
        let (low, high) = (a.x.min(b.x), a.x.max(b.x));
        let first = at.partition_point(|&p| p <= low).saturating_sub(1);
        let passes = |i: usize| if low == high { at[i] < low } else { at[i] < high };
        (first..plain.len()).take_while(|&i| passes(i)).for_each(|i| plain[i] = false);
    }
    plain
}

fn along(polygon: &Polygon) -> Stretch {
    let xs = polygon[0].iter().map(|p| p.x);
    (xs.clone().min().unwrap_or(0), xs.max().unwrap_or(0))
}

/// Along the row first, then across it.
fn in_order(mut polygons: Vec<Polygon>) -> Vec<Polygon> {
    polygons.sort_by_key(|p| {
        let ys = p[0].iter().map(|q| q.y);
        (along(p), ys.min())
    });
    polygons
}

fn plain_demand(row: &BoardRow, from: i64, to: i64) -> BoardDemand {
    BoardDemand {
        length: to - from,
        width: row.to - row.from,
        first_edge: meets(&row.joint_before, (from, to)),
        last_edge: meets(&row.joint_after, (from, to)),
        on_joist: false,
        shaping: 0,
    }
}

/// The rectangle that a piece is cut from, which of its long edges meet another board, and whether an end of it lies on one of
/// the joists that carry joints.
fn demand(row: &BoardRow, polygon: &Polygon, joints: [Option<i64>; 2]) -> BoardDemand {
    let on = |line: i64| polygon.iter().flat_map(|r| sides(r)).filter(move |(a, b)| a.y == line && b.y == line);
    let touches = |line: i64, joints: &[Stretch]| on(line).any(|(a, b)| meets(joints, (a.x.min(b.x), a.x.max(b.x))));
    let Some(b) = bounds_of(polygon[0].iter().copied()) else {
        return BoardDemand { length: 0, width: 0, first_edge: false, last_edge: false, on_joist: false, shaping: 0 };
    };
    let on_box = |(p, q): &(Point, Point)| {
        p.x == q.x && (p.x == b.least.x || p.x == b.most.x) || p.y == q.y && (p.y == b.least.y || p.y == b.most.y)
    };
    BoardDemand {
        length: b.most.x - b.least.x,
        width: b.most.y - b.least.y,
        first_edge: touches(row.from, &row.joint_before),
        last_edge: touches(row.to, &row.joint_after),
        on_joist: joints == [Some(b.least.x), joints[1]] || joints == [joints[0], Some(b.most.x)],
        shaping: polygon.iter().flat_map(|r| sides(r)).filter(|s| !on_box(s)).count() as u32,
    }
}

fn meets(stretches: &[Stretch], s: Stretch) -> bool {
    stretches.iter().any(|t| t.0 < s.1 && s.0 < t.1)
}

/// Where a region's edges lie on the line v = `line`, ascending and joined.
pub(crate) fn edges_on(region: &Region, line: i64) -> Vec<Stretch> {
    let on = |(a, b): (Point, Point)| (a.y == line && b.y == line && a != b).then(|| (a.x.min(b.x), a.x.max(b.x)));
    joined(region.polygons().iter().flatten().flat_map(|r| sides(r)).filter_map(on).collect())
}
