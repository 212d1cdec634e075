//! Where the crew can stand, step and leave the roof.
//!
//! Given the roof's surface in the frame, the pieces as rectangles and the side where the crew leaves; gives every place
//! to stand, what must be bare there, the places to which one steps from it, and whether one leaves from it. Only the
//! roof's own surface counts, pipes left out: nobody stands on a return.
//!
//! Whoever stands is a square along the strips. The middles of all such squares that lie on the surface are the surface
//! shrunk by half a square; that is cut along every line at which the square comes on or off a piece. So each place is a
//! convex patch of middles that all touch the same pieces, and a piece narrowed by a hole or a court has several.

use crate::geometry::region::{Bounds, Region};
use crate::geometry::ring::sides;
use crate::model::Point;
use crate::takeoff::layout::shape::inward;
use std::ops::Range;

/// One patch of places to stand.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StandingPlace {
    /// The pieces that one stands on there.
    pub needs: Vec<usize>,
    /// The patches beside it.
    pub next: Vec<usize>,
    /// Whether one can leave the roof from it.
    pub leaves: bool,
}

/// All places to stand on a layer's pieces.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StandingPlaces {
    /// The places.
    pub places: Vec<StandingPlace>,
    /// For each piece, the places on it and on no other.
    pub own: Vec<Vec<usize>>,
    /// For each piece, the places where one stands on it, alone or not.
    pub over: Vec<Vec<usize>>,
}

/// Room to stand, to walk and to step off: a square of this side, mm. What rounding may cost is taken off.
pub const ROOM: i64 = 300;

/// Room to squeeze by, one foot before the other: a square of this side, mm.
pub const SQUEEZE: i64 = 100;

/// What rounding to whole millimetres may cost a way on a skew roof, mm.
const ROUNDING: i64 = 4;

/// A surface shrunk to the middles of squares that lie on it, and where from them one leaves.
pub struct Middles {
    free: Region,
    half: i64,
    /// Where the middle lies when the square touches the side, from end to end.
    way_off: [(f64, f64); 2],
}

impl Middles {
    /// Squares of a side of `room` on a surface; one leaves over the side `from` → `to`, the surface on its left.
    pub fn of(surface: &Region, (from, to): (Point, Point), room: i64) -> Middles {
        let half = (room - ROUNDING) / 2;
        let n = inward(from, to);
        let off = half as f64 * (n.x.abs() + n.y.abs()) + ROUNDING as f64;
        let way_off = [from, to].map(|p| (p.x as f64 + n.x * off, p.y as f64 + n.y * off));
        Middles { free: surface.shrunk(half), half, way_off }
    }

    /// The places to stand on so many pieces, given their patches.
    pub fn walk(&self, patches: &[Patch], pieces: usize) -> StandingPlaces {
        StandingPlaces::of(patches, pieces, &self.way_off)
    }

    /// The places of one who squeezes by; each piece's own are those within which its own places of `wide` lie.
    pub fn walk_within(&self, pieces: &[Bounds], wide: &[Patch]) -> StandingPlaces {
        let patches = self.patches(pieces);
        let mut walk = StandingPlaces::of(&patches, pieces.len(), &self.way_off);
        for own in &mut walk.own {
            own.retain(|&p| wide.iter().any(|w| w.needs == patches[p].needs && patches[p].holds(w.middle())));
        }
        walk
    }

    /// The middles cut into patches that touch the same pieces.
    pub fn patches(&self, pieces: &[Bounds]) -> Vec<Patch> {
        let around: Vec<Bounds> = pieces.iter().map(|b| b.grown(self.half)).collect();
        let corners = || self.free.polygons().iter().flatten().flatten();
        let mut lines: Vec<i64> =
            around.iter().flat_map(|b| [b.least.y, b.most.y]).chain(corners().map(|p| p.y)).collect();
        lines.sort_unstable();
        lines.dedup();
        let mut from_below: Vec<usize> = (0..around.len()).collect();
        from_below.sort_by_key(|&i| around[i].least.y);
        let mut coming = from_below.into_iter().peekable();
        let mut over: Vec<usize> = Vec::new();
        let mut found = Vec::new();
        for w in lines.windows(2) {
            over.retain(|&i| w[1] <= around[i].most.y);
            over.extend(std::iter::from_fn(|| coming.next_if(|&i| around[i].least.y <= w[0])));
            over.retain(|&i| w[1] <= around[i].most.y);
            over.sort_by_key(|&i| around[i].least.x);
            found.extend(self.row(w[0], w[1], &around, &over));
        }
        found
    }

    /// The patches between two lines that no corner lies between; `over` are the pieces that reach from one to the
    /// other, in order along them.
    fn row(&self, low: i64, high: i64, around: &[Bounds], over: &[usize]) -> Vec<Patch> {
        let sides = self.sides_across(low, high);
        let mut all: Vec<f64> =
            over.iter().flat_map(|&i| [around[i].least.x as f64, around[i].most.x as f64]).collect();
        all.sort_by(f64::total_cmp);
        let mut found = Vec::new();
        for pair in sides.chunks_exact(2) {
            let (left, right) = (pair[0], pair[1]);
            let (least, most) = (left.0.min(left.1), right.0.max(right.1));
            let ends = all.iter().copied().filter(|&x| least < x && x < most);
            let mut at: Vec<f64> = std::iter::once(least).chain(ends).chain([most]).collect();
            at.dedup();
            let mut coming = over.iter().copied().peekable();
            let mut on: Vec<usize> = Vec::new();
            for w in at.windows(2) {
                on.extend(std::iter::from_fn(|| coming.next_if(|&i| around[i].least.x as f64 <= w[0])));
                on.retain(|&i| w[1] <= around[i].most.x as f64);
                let mut needs = on.clone();
                needs.sort_unstable();
                let joined = w[0] > least;
                found.push(Patch { low, high, from: w[0], to: w[1], left, right, needs, joined });
            }
        }
        found
    }

    /// The sides that run from one line to the other, in order, each by where it meets the two.
    fn sides_across(&self, low: i64, high: i64) -> Vec<(f64, f64)> {
        let mut found = Vec::new();
        for ring in self.free.polygons().iter().flatten() {
            for (a, b) in sides(ring) {
                if a.y.min(b.y) <= low && high <= a.y.max(b.y) {
                    let at = |y: i64| a.x as f64 + (b.x - a.x) as f64 * (y - a.y) as f64 / (b.y - a.y) as f64;
                    found.push((at(low), at(high)));
                }
            }
        }
        found.sort_by(|a: &(f64, f64), b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
        found
    }
}

/// Middles between two lines, two sides and two ends, all of which touch the same pieces.
#[derive(Debug, Clone)]
pub struct Patch {
    low: i64,
    high: i64,
    from: f64,
    to: f64,
    /// Where the side on its left meets the two lines.
    left: (f64, f64),
    /// Where the side on its right does.
    right: (f64, f64),
    needs: Vec<usize>,
    /// Whether it goes on from the patch before it in the list.
    joined: bool,
}

impl Patch {
    /// Its stretch of the lower line.
    fn below(&self) -> (f64, f64) {
        (self.from.max(self.left.0), self.to.min(self.right.0))
    }

    /// Its stretch of the upper line.
    fn above(&self) -> (f64, f64) {
        (self.from.max(self.left.1), self.to.min(self.right.1))
    }

    /// Where a line across the strips cuts the left and the right side, by share of the height.
    fn sides_at(&self, share: f64) -> (f64, f64) {
        let at = |s: (f64, f64)| s.0 + (s.1 - s.0) * share;
        (self.from.max(at(self.left)), self.to.min(at(self.right)))
    }

    /// A point well inside it.
    fn middle(&self) -> (f64, f64) {
        let widest = [0.5, 0.1, 0.9, 0.01, 0.99].map(|share| (share, self.sides_at(share)));
        let width = |w: &(f64, (f64, f64))| w.1.1 - w.1.0;
        let (share, (from, to)) =
            widest.into_iter().fold(widest[0], |best, w| if width(&w) > width(&best) + 1e-6 { w } else { best });
        ((from + to) / 2.0, self.low as f64 + (self.high - self.low) as f64 * share)
    }

    fn holds(&self, (x, y): (f64, f64)) -> bool {
        let share = (y - self.low as f64) / (self.high - self.low) as f64;
        let (from, to) = self.sides_at(share);
        (-1e-9..=1.0 + 1e-9).contains(&share) && from - 1e-6 <= x && x <= to + 1e-6
    }

    /// How much of a line lies in it, mm (Cyrus and Beck 1978: a line clipped by the sides of a convex shape).
    fn length_of(&self, &[a, b]: &[(f64, f64); 2]) -> f64 {
        let height = (self.high - self.low) as f64;
        let side = |s: (f64, f64), p: (f64, f64)| p.0 - s.0 - (s.1 - s.0) * (p.1 - self.low as f64) / height;
        let inside = |p: (f64, f64)| {
            [
                p.1 - self.low as f64,
                self.high as f64 - p.1,
                p.0 - self.from,
                self.to - p.0,
                side(self.left, p),
                -side(self.right, p),
            ]
        };
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, end) in inside(a).into_iter().zip(inside(b)) {
            if start < 0.0 && end < 0.0 {
                return 0.0;
            } else if start < 0.0 {
                enter = enter.max(start / (start - end));
            } else if end < 0.0 {
                leave = leave.min(start / (start - end));
            }
        }
        (leave - enter).max(0.0) * (b.0 - a.0).hypot(b.1 - a.1)
    }
}

/// A touch no longer than this is none, mm: what floating point may cost.
const TOUCH: f64 = 1e-6;

impl StandingPlaces {
    fn of(patches: &[Patch], pieces: usize, way_off: &[(f64, f64); 2]) -> StandingPlaces {
        let mut walk =
            StandingPlaces { places: Vec::new(), own: vec![Vec::new(); pieces], over: vec![Vec::new(); pieces] };
        for (p, patch) in patches.iter().enumerate() {
            let leaves = patch.length_of(way_off) > TOUCH;
            walk.places.push(StandingPlace { needs: patch.needs.clone(), next: Vec::new(), leaves });
            patch.needs.iter().for_each(|&i| walk.over[i].push(p));
            if let [only] = patch.needs[..] {
                walk.own[only].push(p);
            }
            if patch.joined {
                walk.join(p - 1, p);
            }
        }
        for [lower, upper] in rows_that_touch(patches) {
            walk.join_rows(patches, lower, upper);
        }
        walk
    }

    /// Joins the patches of one row to those of the row above it.
    fn join_rows(&mut self, patches: &[Patch], lower: Range<usize>, upper: Range<usize>) {
        let reach: Vec<(f64, f64)> = patches[upper.clone()].iter().map(Patch::below).collect();
        // Past the last patch that ends before a stretch begins, and before the first that begins after it ends: sides
        // may lean, so that neither need be in order.
        let furthest: Vec<f64> = reach
            .iter()
            .scan(f64::NEG_INFINITY, |m, r| {
                *m = m.max(r.1);
                Some(*m)
            })
            .collect();
        let mut nearest: Vec<f64> = reach
            .iter()
            .rev()
            .scan(f64::INFINITY, |m, r| {
                *m = m.min(r.0);
                Some(*m)
            })
            .collect();
        nearest.reverse();
        for p in lower {
            let a = patches[p].above();
            let (from, to) = (furthest.partition_point(|&f| f <= a.0), nearest.partition_point(|&n| n < a.1));
            for k in from..to {
                let b = reach[k];
                if a.1.min(b.1) - a.0.max(b.0) > TOUCH {
                    self.join(p, upper.start + k);
                }
            }
        }
    }

    fn join(&mut self, a: usize, b: usize) {
        self.places[a].next.push(b);
        self.places[b].next.push(a);
    }
}

/// Each row of patches with the row that begins where it ends. Patches stand row by row, from the lowest.
fn rows_that_touch(patches: &[Patch]) -> impl Iterator<Item = [Range<usize>; 2]> + '_ {
    let start = |low: i64| patches.partition_point(|p| p.low < low);
    let row = move |low: i64| start(low)..start(low + 1);
    patches.chunk_by(|a, b| a.low == b.low).map(move |same| [row(same[0].low), row(same[0].high)])
}
