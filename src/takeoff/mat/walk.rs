//! Where the crew can stand, step and leave the roof, piece by piece.
//!
//! Given the strips as cut and the side where the crew leaves; gives what the order of laying needs to know of each
//! piece. Only the roof's own surface counts: nobody stands on a return, and a bare strip narrower than 300 mm beside
//! wet laps leads nowhere.

use super::order::Node;
use super::strips::{self, Band, Part};
use super::{Cut, Ground};
use crate::model::Point;
use crate::takeoff::region::{Bounds, Polygon, Region};
use crate::takeoff::shape::Side;

/// Which pieces meet, which lie over which, and which reach the way off.
pub(super) fn nodes(ground: &Ground, side: &Side, bands: &[Band], strips: &[Vec<Part>], cuts: &[Cut]) -> Vec<Node> {
    let Ground { frame, surface, .. } = ground;
    let exit = Exit { from: frame.place(side.from), to: frame.place(side.to), up_the_fall: frame.up_the_fall };
    let walk = Walk::over(surface, bands);
    let extent = |c: &Cut| &strips[c.strip][c.part].extent;
    let neighbour =
        |i: usize, j: usize| cuts.get(j).is_some_and(|n| (n.strip, n.part) == (cuts[i].strip, cuts[i].part));
    let node = |(i, c): (usize, &Cut)| {
        let (least, most) = (Point::new(c.from, extent(c).least.y), Point::new(c.to, extent(c).most.y));
        let (mut from, mut to) = (c.from, c.to);
        if i > 0 && neighbour(i, i - 1) {
            from = cuts[i - 1].to;
        }
        if neighbour(i, i + 1) {
            to = cuts[i + 1].from;
        }
        let (low, high) = walk.own(c.strip, least.y, most.y);
        let along = (Point::new(from, least.y), Point::new(to, most.y));
        let across = (Point::new(c.from, low), Point::new(c.to, high));
        let standing = walk.has_standing_room(c.strip, (c.from, c.to), low, high);
        let leaves = exit.reached_from(along, across);
        Node {
            exit: leaves,
            standing,
            passage: standing || (leaves && !exit.crosses()),
            wish: exit.wish(c, least, most),
            ..Node::default()
        }
    };
    let mut nodes: Vec<Node> = cuts.iter().enumerate().map(node).collect();
    for Lapping { first: i, second: j, broad } in lapping(bands, strips, cuts) {
        if broad {
            nodes[i].laps.push(j);
            nodes[j].laps.push(i);
        }
        if walk.joins((&cuts[i], nodes[i].standing), (&cuts[j], nodes[j].standing), extent(&cuts[i])) {
            nodes[i].meets.push(j);
            nodes[j].meets.push(i);
        }
        // Along the low edge the next strip laps over; up the fall the next piece of the same strip does.
        if (cuts[i].strip == cuts[j].strip) == frame.up_the_fall {
            nodes[i].under.push(j);
        }
    }
    nodes
}

/// Where one can stand and step: the roof's own surface in the frame, returns left out.
struct Walk<'a> {
    surface: &'a [Polygon],
    /// The same with its two directions exchanged, for lines across the strips.
    turned: Vec<Polygon>,
    bands: &'a [Band],
}

/// Room to stand, to walk or to step off: a square of this side, mm.
const ROOM: i64 = 300;

/// One steps well onto the next strip, this far past the lap, mm.
const WELL_ON: i64 = ROOM;

impl<'a> Walk<'a> {
    fn over(surface: &'a Region, bands: &'a [Band]) -> Walk<'a> {
        let turn = |ring: &Vec<Point>| ring.iter().map(|p| Point::new(p.y, p.x)).collect();
        let turned = surface.polygons().iter().map(|p| p.iter().map(turn).collect()).collect();
        Walk { surface: surface.polygons(), turned, bands }
    }

    /// What of a strip lies in no lap; all of it where it is nothing but lap.
    fn own(&self, strip: usize, low: i64, high: i64) -> (i64, i64) {
        let from = if strip > 0 { low.max(self.bands[strip - 1].high) } else { low };
        let to = self.bands.get(strip + 1).map_or(high, |next| high.min(next.low));
        if from < to { (from, to) } else { (low, high) }
    }

    /// Whether there is room to stand on a piece beside its laps.
    fn has_standing_room(&self, strip: usize, (from, to): (i64, i64), low: i64, high: i64) -> bool {
        let all_lap = strip > 0 && low < self.bands[strip - 1].high;
        let starts = [low, (low + high - ROOM) / 2, high - ROOM];
        let room = |start: i64| self.widest(&[start + 1, start + ROOM / 2, start + ROOM - 2], from, to) >= ROOM as f64;
        !all_lap && high - low >= ROOM && starts.into_iter().any(room)
    }

    /// The widest stretch that is surface on every one of some lines, mm.
    fn widest(&self, lines: &[i64], from: i64, to: i64) -> f64 {
        let mut free = vec![(from as f64, to as f64)];
        for &line in lines {
            let on = strips::on_line(self.surface, line);
            free = free
                .iter()
                .flat_map(|f| on.iter().map(|o| (f.0.max(o.0), f.1.min(o.1))))
                .filter(|f| f.0 < f.1)
                .collect();
        }
        free.iter().map(|f| f.1 - f.0).fold(0.0, f64::max)
    }

    /// Whether one can step from one piece to the next: over their side lap, or over the end lap between them.
    /// Onto a piece with standing room one steps well past the lap.
    fn joins(&self, (a, room_a): (&Cut, bool), (b, room_b): (&Cut, bool), extent: &Bounds) -> bool {
        if a.strip == b.strip {
            let (middle, (low, high)) = ((a.to + b.from) / 2, self.own(a.strip, extent.least.y, extent.most.y));
            let free = strips::on_line(&self.turned, middle);
            return free.iter().any(|f| f.1.min(high as f64) - f.0.max(low as f64) >= ROOM as f64);
        }
        let (low, high) = (self.bands[b.strip].low, self.bands[a.strip].high);
        let below = self.own(a.strip, self.bands[a.strip].low, high);
        let above = self.own(b.strip, low, self.bands[b.strip].high);
        let onto = |room: bool, (from, to): (i64, i64)| if room { WELL_ON.min((to - from) / 2) } else { 0 };
        let lines = [low - onto(room_a, below), (low + high) / 2, high + onto(room_b, above)];
        self.widest(&lines, a.from.max(b.from), a.to.min(b.to)) >= ROOM as f64
    }
}

/// Two pieces that lap: neighbours in one part, or neighbours across a side lap.
struct Lapping {
    first: usize,
    /// The one further along, or in the next strip.
    second: usize,
    /// Whether they lie side by side for half the shorter one, at the least.
    broad: bool,
}

/// Where a part meets the three lines of a lap that are looked at: near its edges and in its middle.
type Met = [Vec<(f64, f64)>; 3];

fn lapping(bands: &[Band], strips: &[Vec<Part>], cuts: &[Cut]) -> Vec<Lapping> {
    let end_to_end = (1..cuts.len())
        .filter(|&i| (cuts[i].strip, cuts[i].part) == (cuts[i - 1].strip, cuts[i - 1].part))
        .map(|i| Lapping { first: i - 1, second: i, broad: true });
    let side_by_side = (1..bands.len()).flat_map(|k| {
        let (low, high) = (bands[k].low, bands[k - 1].high);
        let met = |p: &Part| [low + 1, (low + high) / 2, high - 2].map(|line| p.at_line(line));
        let [below, above] = [k - 1, k].map(|s| strips[s].iter().map(met).collect::<Vec<Met>>());
        beside(k, cuts, &below, &above)
    });
    end_to_end.chain(side_by_side).collect()
}

/// Pieces of strip `k − 1` and strip `k` that lie side by side.
fn beside(k: usize, cuts: &[Cut], below: &[Met], above: &[Met]) -> Vec<Lapping> {
    let start = |k: usize| cuts.partition_point(|c| c.strip < k);
    let (first, second, end) = (start(k - 1), start(k), start(k + 1));
    let mut pairs = Vec::new();
    for i in first..second {
        for j in second..end {
            let (a, b) = (&cuts[i], &cuts[j]);
            let lines = below[a.part].iter().zip(&above[b.part]);
            let shared = lines.map(|(mine, theirs)| shared_stretch(mine, a, theirs, b)).fold(0.0, f64::max);
            let shorter = (a.to - a.from).min(b.to - b.from);
            if shared > TOUCH {
                pairs.push(Lapping { first: i, second: j, broad: shared * 2.0 >= shorter as f64 });
            }
        }
    }
    pairs
}

/// Pieces that share less than this of a lap do not lap, mm.
const TOUCH: f64 = 10.0;

/// The longest stretch of a line that two pieces both cover, given where their parts meet it, mm.
fn shared_stretch(mine: &[(f64, f64)], a: &Cut, theirs: &[(f64, f64)], b: &Cut) -> f64 {
    let (from, to) = (a.from.max(b.from) as f64, a.to.min(b.to) as f64);
    let shared = mine.iter().flat_map(|m| theirs.iter().map(move |t| m.1.min(t.1).min(to) - m.0.max(t.0).max(from)));
    shared.fold(0.0, f64::max)
}

/// The side where the crew leaves, in the frame.
struct Exit {
    from: Point,
    to: Point,
    up_the_fall: bool,
}

impl Exit {
    /// Whether one can leave a piece over the side. Given the piece less its end laps, and less its side laps: a lap
    /// may be wet by then, so that a side which crosses the strips counts only beside the side laps, one along them only
    /// beside the end laps.
    fn reached_from(&self, along: (Point, Point), across: (Point, Point)) -> bool {
        let (least, most) = if self.crosses() { across } else { along };
        self.length_within(least, most) >= (ROOM as f64).min(self.length() / 2.0)
    }

    /// Whether the side runs across the strips rather than along them.
    fn crosses(&self) -> bool {
        (self.to.y - self.from.y).abs() > (self.to.x - self.from.x).abs()
    }

    fn length(&self) -> f64 {
        ((self.to.x - self.from.x) as f64).hypot((self.to.y - self.from.y) as f64)
    }

    /// How much of the side lies in a rectangle, mm (Liang and Barsky 1984: a line clipped by its parameter).
    fn length_within(&self, least: Point, most: Point) -> f64 {
        const TOLERANCE: f64 = 2.0;
        let (dx, dy) = ((self.to.x - self.from.x) as f64, (self.to.y - self.from.y) as f64);
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, d, low, high) in [(self.from.x, dx, least.x, most.x), (self.from.y, dy, least.y, most.y)] {
            let (low, high) = (low as f64 - TOLERANCE - start as f64, high as f64 + TOLERANCE - start as f64);
            if d.abs() < 1e-9 {
                if low > 0.0 || high < 0.0 {
                    return 0.0;
                }
            } else {
                enter = enter.max((low / d).min(high / d));
                leave = leave.min((low / d).max(high / d));
            }
        }
        (leave - enter).max(0.0) * self.length()
    }

    /// The wish of a piece for the order. Along the low edge: the highest strip last, and in a strip the piece
    /// furthest from the way off first. Up the fall: strips that reach the way off last, from the left, after all on
    /// the right of it, after all on the left of it, each from the far end inwards.
    fn wish(&self, cut: &Cut, least: Point, most: Point) -> (i64, i64, i64) {
        if !self.up_the_fall {
            let middle = (self.from.x + self.to.x) / 2;
            return (-(cut.strip as i64), ((cut.from + cut.to) / 2 - middle).abs(), -cut.from);
        }
        let (low, high) = (self.from.y.min(self.to.y), self.from.y.max(self.to.y));
        let (left, right) = (low - most.y, least.y - high);
        match () {
            () if left > 0 => (2, left, -cut.from),
            () if right > 0 => (1, right, -cut.from),
            () => (0, -most.y, -cut.from),
        }
    }
}
