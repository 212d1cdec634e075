//! What the boards rest on and are fixed to: joints, noggins and fixings.
//!
//! Given the rows and the placed pieces; gives each joint once, timber under every edge that no joist carries, and the
//! number of nails or screws. An edge within the wall gap of a joist's centre-line, along it, is carried by that joist
//! (edges that were moved out to their battens: from the fascia), where that joist is there: none lies outside the roof or in a hole. A stretch of edge shorter than the rule takes no noggin: the joist at its end, or the noggin round the corner, carries it.

use super::PieceOnDeck;
use super::frame::{DeckFrame, carries_within, runs_along};
use super::rows::BoardRow;
use crate::geometry::interval::{Stretch, common, joined, uncovered};
use crate::geometry::region::{Bounds, Region, bounds_of};
use crate::geometry::ring::sides;
use crate::geometry::segment::{distance, distance_to_segment};
use crate::model::products::{Board, BoardEdge};
use crate::model::shape::{DeckAction, HoleForm};
use crate::model::{Length, Point, Roof, Rules};
use crate::takeoff::layout::shape::{RoofShape, Side, batten_depth};
use crate::takeoff::layout::{DeckJoint, DeckLayout};
use std::collections::BTreeMap;

/// Joints inside the deck, each once: row by row, the long joint before the row, then its end joints.
pub(crate) fn joints(rows: &[BoardRow], placed: &[PieceOnDeck], frame: &DeckFrame) -> Vec<DeckJoint> {
    let mut out = Vec::new();
    let joint = |a: Point, b: Point, end_joint| DeckJoint { from: frame.outside(a), to: frame.outside(b), end_joint };
    for (i, row) in rows.iter().enumerate() {
        for (a, b) in long_joints(i, row.from, placed) {
            out.push(joint(Point::new(a, row.from), Point::new(b, row.from), false));
        }
        for (at, (a, b)) in end_joints(i, placed) {
            out.push(joint(Point::new(at, a), Point::new(at, b), true));
        }
    }
    out
}

/// Where the pieces of a row meet those of the row before it, on the line v = `at`.
fn long_joints(row: usize, at: i64, placed: &[PieceOnDeck]) -> Vec<Stretch> {
    let on = |(a, b): (Point, Point)| (a.y == at && b.y == at).then(|| (a.x.min(b.x), a.x.max(b.x)));
    let side = |r: usize| {
        let own = of_row(placed, r).iter().flat_map(|p| &p.rings);
        joined(own.flat_map(|r| sides(r)).filter_map(on).collect())
    };
    if row == 0 { Vec::new() } else { common(&side(row - 1), &side(row)) }
}

/// The pieces of one row; they lie together.
fn of_row(placed: &[PieceOnDeck], row: usize) -> &[PieceOnDeck] {
    &placed[placed.partition_point(|p| p.row < row)..placed.partition_point(|p| p.row <= row)]
}

/// End joints of a row: where along it, and the stretch across it that has board on both sides.
fn end_joints(row: usize, placed: &[PieceOnDeck]) -> Vec<(i64, Stretch)> {
    let pieces = of_row(placed, row);
    let mut places: Vec<i64> = pieces.iter().map(|p| p.to).filter(|&to| pieces.iter().any(|q| q.from == to)).collect();
    places.sort_unstable();
    places.dedup();
    let faces = |at: i64, ends: bool| {
        let own = pieces.iter().filter(|p| if ends { p.to == at } else { p.from == at });
        joined(own.flat_map(|p| edges_at(&p.rings, at)).collect())
    };
    let both = |&at: &i64| common(&faces(at, true), &faces(at, false)).into_iter().map(move |s| (at, s));
    places.iter().flat_map(both).collect()
}

/// Where edges of a piece lie on the line u = `at`.
fn edges_at(rings: &[Vec<Point>], at: i64) -> Vec<Stretch> {
    let on = |(a, b): (Point, Point)| (a.x == at && b.x == at).then(|| (a.y.min(b.y), a.y.max(b.y)));
    rings.iter().flat_map(|r| sides(r)).filter_map(on).collect()
}

/// Stretches of edge and of square-edged boards' long joints that take no noggin, because they are shorter than the
/// rule: what is beside them carries them.
pub(crate) fn carried_beside(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: &Board,
    deck: &DeckLayout,
) -> Vec<Length> {
    let frame = DeckFrame::of(shape, roof);
    let square = board.edge == BoardEdge::Square;
    let inside = |(a, b): (Point, Point)| (frame.inside(a), frame.inside(b));
    let joists: Vec<(Point, Point)> = deck.joists.iter().copied().map(inside).collect();
    let under = Under { shape, roof, rules, frame: &frame, joists: &joists, square };
    let on_roof = shape.deck_region(rules);
    let edges: Vec<(Point, Point)> = on_roof.polygons().iter().flatten().flat_map(|r| sides(r)).map(inside).collect();
    let on_noggins = edges.iter().filter(|e| under.carried(e.0, e.1) == Carried::Noggin).copied();
    let long = deck.joints.iter().filter(|j| square && !j.end_joint).map(|j| inside((j.from, j.to)));
    let ends = on_noggins.chain(long).flat_map(|(a, b)| under.between_joists(a, b));
    let whole = edges.iter().filter(|e| under.carried(e.0, e.1) == Carried::Beside && !under.at_pipe(e.0, e.1));
    let mut short: Vec<Length> = ends.chain(whole.copied()).map(|(a, b)| distance(a, b)).collect();
    short.retain(|&l| l < rules.shortest_noggin && roof.deck.action == DeckAction::New);
    short.sort_unstable();
    short
}

/// Noggins none of which is longer than what is sold: a longer one is laid in parts of one length, and where two meet a
/// short noggin from the nearest joist bears both ends.
///
/// # Errors
/// A noggin that is too long and has no joist beside the joint: how long it is.
pub fn jointed(deck: &mut DeckLayout, longest: Length) -> Result<(), Length> {
    let mut noggins = Vec::new();
    for &(a, b) in &deck.noggins {
        let count = distance(a, b).pieces_of(longest.max(Length::mm(1))).max(1);
        let place = |k: i64| Point::new(a.x + (b.x - a.x) * k / count, a.y + (b.y - a.y) * k / count);
        for k in 1..count {
            let bearer = beside(place(k), deck).filter(|&joist| distance(place(k), joist) <= longest);
            noggins.push((bearer.ok_or_else(|| distance(a, b))?, place(k)));
        }
        noggins.extend((1..=count).map(|k| (place(k - 1), place(k))));
    }
    deck.noggins = noggins;
    Ok(())
}

/// The nearest place on a joist that lies straight across the joists from a point.
fn beside(p: Point, deck: &DeckLayout) -> Option<Point> {
    let across = |&(a, b): &(Point, Point)| match deck.along_x {
        true => ((a.y.min(b.y)..=a.y.max(b.y)).contains(&p.y) && a.x != p.x).then(|| Point::new(a.x, p.y)),
        false => ((a.x.min(b.x)..=a.x.max(b.x)).contains(&p.x) && a.y != p.y).then(|| Point::new(p.x, a.y)),
    };
    deck.joists.iter().filter_map(across).min_by_key(|&joist| (distance(p, joist), joist))
}

/// Whether a timber lies under this side of an edge of the boards at an opening that is trimmed anew.
pub(crate) fn on_trimmers(roof: &Roof, shape: &RoofShape, (a, b): (Point, Point)) -> bool {
    let trimmed = roof.holes.iter().zip(&shape.holes).filter(|(hole, _)| hole.timber.trimmers.is_some());
    trimmed.filter_map(|(_, laid)| bounds_of(laid.ring.iter().copied())).any(|Bounds { least, most }| {
        let along = |p: i64, q: i64, at: [i64; 2]| p == q && at.contains(&p);
        let within = |p: Point| (least.x..=most.x).contains(&p.x) && (least.y..=most.y).contains(&p.y);
        within(a) && within(b) && (along(a.x, b.x, [least.x, most.x]) || along(a.y, b.y, [least.y, most.y]))
    })
}

/// What lies under the deck.
pub(crate) struct Under<'a> {
    pub shape: &'a RoofShape,
    pub roof: &'a Roof,
    pub rules: &'a Rules,
    pub frame: &'a DeckFrame,
    /// The joists, in the deck's own axes.
    pub joists: &'a [(Point, Point)],
    /// Boards with square edges, whose long joints need timber.
    pub square: bool,
}

/// How an edge of the deck is carried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Carried {
    /// Along a joist.
    Joist,
    /// By timber of its own.
    Noggin,
    /// By the old deck under an overlay, into which it is screwed.
    OldDeck,
    /// By what is beside it: a short return, the ring round a pipe; over insulation by its edge timber.
    Beside,
}

/// Noggins in the deck's own axes; those across the joists that lie on one line and over one another are one.
#[derive(Debug, Default)]
struct Noggins {
    all: Vec<(Point, Point)>,
    /// Those across the joists, by their line.
    across: BTreeMap<i64, Vec<usize>>,
}

impl Noggins {
    fn add(&mut self, from: Point, to: Point) {
        if from.y == to.y {
            let on_line = self.across.entry(from.y).or_default();
            let over = |i: &&usize| self.all[**i].0.x < to.x && from.x < self.all[**i].1.x;
            if let Some(&i) = on_line.iter().find(over) {
                let there = &mut self.all[i];
                *there = (there.0.min(from), there.1.max(to));
                return;
            }
            on_line.push(self.all.len());
        }
        self.all.push((from, to));
    }
}

/// What a fixing holds in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HoldsIn {
    /// A joist or a noggin.
    Timber,
    /// The boards of the old deck, and nothing below them.
    OldDeck,
}

/// The nails or screws of a deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Fixings {
    /// Into timber at board ends and edges.
    pub edges: usize,
    /// On joists under the boards.
    pub field: usize,
    /// Of an overlay, into the old boards where no joist lies under an edge.
    pub old_deck: usize,
}

impl Under<'_> {
    /// Noggins by centre-line, one a joist space: under every edge of the deck that no joist carries, and under the long
    /// joints of square-edged boards. None under an overlay: the old deck carries it.
    /// Each reaches from timber to timber: where one ends in the open, beside an opening or in a corner that turns inwards, it
    /// goes on to the next joist, and one along the joists is borne there by one across them.
    pub(crate) fn noggins(&self, deck: &Region, rows: &[BoardRow]) -> Vec<(Point, Point)> {
        let long =
            self.stretches(deck, rows).into_iter().filter(|&(a, b)| distance(a, b) >= self.rules.shortest_noggin);
        let mut noggins = Noggins::default();
        for (a, b) in long.filter(|&noggin| !on_trimmers(self.roof, self.shape, noggin)) {
            let (a, b) = (self.frame.inside(a), self.frame.inside(b));
            let (low, high) = if a.x <= b.x { (a, b) } else { (b, a) };
            let across = low.y == high.y;
            let from = self.joist_beside(deck, low, true).filter(|_| across).unwrap_or(low);
            let to = self.joist_beside(deck, high, false).filter(|_| across).unwrap_or(high);
            noggins.add(from, to);
            for end in [a, b].into_iter().filter(|_| a.x == b.x) {
                if let (Some(before), Some(after)) =
                    (self.joist_beside(deck, end, true), self.joist_beside(deck, end, false))
                {
                    noggins.add(before, after);
                }
            }
        }
        noggins.all.into_iter().map(|(a, b)| (self.frame.outside(a), self.frame.outside(b))).collect()
    }

    /// The place on the nearest joist straight across from a point, on the one side of it or on the other, where there is deck
    /// all the way; the point itself where a joist lies there.
    fn joist_beside(&self, deck: &Region, p: Point, before: bool) -> Option<Point> {
        let level = |j: &&(Point, Point)| (j.0.y.min(j.1.y)..=j.0.y.max(j.1.y)).contains(&p.y);
        let places = self.joists.iter().filter(level).map(|j| j.0.x);
        let at = match before {
            true => places.filter(|&u| u <= p.x).max(),
            false => places.filter(|&u| u >= p.x).min(),
        }?;
        let joist = Point::new(at, p.y);
        if joist == p {
            return Some(p);
        }
        let (from, to) = (self.frame.outside(p), self.frame.outside(joist));
        let on_deck: i64 =
            deck.clip_line(from.min(to), from.max(to), true).into_iter().map(|(a, b)| distance(a, b).as_mm()).sum();
        // Corners are whole millimetres.
        (on_deck + 2 >= distance(from, to).as_mm()).then_some(joist)
    }

    /// Every stretch of edge that no joist lies along, from joist to joist, however short.
    fn stretches(&self, deck: &Region, rows: &[BoardRow]) -> Vec<(Point, Point)> {
        if self.roof.deck.action == DeckAction::Overlay {
            return Vec::new();
        }
        let frame = self.frame;
        let edges = deck.polygons().iter().flatten().flat_map(|r| sides(r));
        let own = edges.map(|(a, b)| (frame.inside(a), frame.inside(b)));
        let own = own.filter(|&(a, b)| self.carried(a, b) == Carried::Noggin);
        let long = rows.iter().flat_map(|r| r.joint_before.iter().map(move |s| (s, r.from)));
        let long = long.map(|(s, v)| (Point::new(s.0, v), Point::new(s.1, v))).filter(|_| self.square);
        let pieces = own.chain(long).flat_map(|(a, b)| self.between_joists(a, b));
        pieces.map(|(a, b)| (frame.outside(a), frame.outside(b))).collect()
    }

    /// An edge of the deck, in the deck's own axes.
    fn carried(&self, a: Point, b: Point) -> Carried {
        let along_joists = (b.x - a.x).abs() < (b.y - a.y).abs();
        if along_joists && self.joists.iter().any(|&j| self.runs_along(j, a, b)) {
            return Carried::Joist;
        }
        let beside = distance(a, b) < self.rules.shortest_noggin || self.at_pipe(a, b);
        let overlaid = self.roof.deck.action == DeckAction::Overlay;
        match (overlaid, self.roof.build_up.is_some()) {
            _ if beside => Carried::Beside,
            (false, _) => Carried::Noggin,
            (true, false) => Carried::OldDeck,
            (true, true) => Carried::Beside,
        }
    }

    /// Whether a joist lies along the whole of an edge, within the wall gap of it, or of the fascia behind its battens.
    fn runs_along(&self, joist: (Point, Point), a: Point, b: Point) -> bool {
        runs_along(joist, (a, b), carries_within(self.roof, self.rules) + self.moved_out(a, b))
    }

    /// How far the edge was moved out from the fascia, in front of which its battens lie.
    fn moved_out(&self, a: Point, b: Point) -> Length {
        let (a, b) = (self.frame.outside(a), self.frame.outside(b));
        let on = |s: &&Side| [a, b].iter().all(|&p| distance_to_segment(p, s.from, s.to) <= 1.0);
        let sides = self.shape.sides.iter().filter(|_| self.shape.moved);
        sides.filter(on).map(|s| batten_depth(s.finish, self.rules)).max().unwrap_or_default()
    }

    /// Whether an edge belongs to the ring round a pipe.
    fn at_pipe(&self, a: Point, b: Point) -> bool {
        let (a, b) = (self.frame.outside(a), self.frame.outside(b));
        let gap = self.rules.pipe_gap.as_mm() + 1;
        self.shape.holes.iter().filter(|h| matches!(h.form, HoleForm::Round { .. })).any(|h| {
            let Some(Bounds { least, most }) = bounds_of(h.ring.iter().copied()) else { return false };
            let within = |p: Point| {
                (least.x - gap..=most.x + gap).contains(&p.x) && (least.y - gap..=most.y + gap).contains(&p.y)
            };
            within(a) && within(b)
        })
    }

    /// A line cut where it crosses joists.
    fn between_joists(&self, a: Point, b: Point) -> Vec<(Point, Point)> {
        let (low, high) = if a.x <= b.x { (a, b) } else { (b, a) };
        let place = |u: i64| {
            let rise = (high.y - low.y) as f64 * (u - low.x) as f64 / (high.x - low.x) as f64;
            Point::new(u, low.y + rise.round() as i64)
        };
        let mut points = vec![low];
        points.extend(self.frame.timbers_between(low.x, high.x).into_iter().map(place));
        points.push(high);
        points.windows(2).map(|w| (w[0], w[1])).collect()
    }

    /// Nails or screws. On every joist under a piece, and along every edge of it that has timber, one at each end and
    /// no further apart than the rule: the edge rule at board ends and at the perimeter, the field rule elsewhere.
    pub(crate) fn fixings(&self, rows: &[BoardRow], placed: &[PieceOnDeck]) -> Fixings {
        let edges = |into| placed.iter().map(|p| self.on_edges(&rows[p.row], p, into)).sum::<i64>() as usize;
        let field: i64 = placed.iter().map(|p| self.in_field(p)).sum();
        Fixings { edges: edges(HoldsIn::Timber), field: field as usize, old_deck: edges(HoldsIn::OldDeck) }
    }

    fn in_field(&self, p: &PieceOnDeck) -> i64 {
        let xs = || p.rings[0].iter().map(|q| q.x);
        let (Some(low), Some(high)) = (xs().min(), xs().max()) else { return 0 };
        let joists = self.frame.timbers_between(low, high);
        let crossed = joists.into_iter().flat_map(|u| crossings(&p.rings, u));
        crossed.map(|(a, b)| Length::mm(b - a).places(self.rules.deck_field_fixing)).sum()
    }

    fn on_edges(&self, row: &BoardRow, p: &PieceOnDeck, into: HoldsIn) -> i64 {
        p.rings.iter().flat_map(|r| sides(r)).map(|side| self.on_edge(row, p, side, into)).sum()
    }

    fn on_edge(&self, row: &BoardRow, p: &PieceOnDeck, (a, b): (Point, Point), into: HoldsIn) -> i64 {
        let spacing = self.rules.deck_edge_fixing;
        let fixed = |a: Point, b: Point| match (self.carried(a, b), into) {
            (Carried::Joist | Carried::Noggin, HoldsIn::Timber) | (Carried::OldDeck, HoldsIn::OldDeck) => {
                distance(a, b).places(spacing)
            }
            _ => 0,
        };
        let on_timber = |count: i64| if into == HoldsIn::Timber { count } else { 0 };
        let joints = match () {
            () if a.y == b.y && a.y == row.from => &row.joint_before,
            () if a.y == b.y && a.y == row.to => &row.joint_after,
            () if a.x == b.x && (a.x == p.from || a.x == p.to) && self.frame.off_joist(a.x) == 0 => {
                return on_timber(distance(a, b).places(spacing));
            }
            () => return fixed(a, b),
        };
        let s = (a.x.min(b.x), a.x.max(b.x));
        let open = uncovered(s, joints).into_iter().map(|(f, t)| fixed(Point::new(f, a.y), Point::new(t, a.y)));
        let timber = self.square && self.roof.deck.action == DeckAction::New;
        let met = common(&[s], joints).into_iter().filter(|_| timber).map(|(f, t)| Length::mm(t - f).places(spacing));
        open.sum::<i64>() + on_timber(met.sum())
    }
}

/// The stretches of the line u = `at` inside a piece, to the nearest millimetre.
pub(crate) fn crossings(rings: &[Vec<Point>], at: i64) -> Vec<Stretch> {
    let crosses = |(a, b): (Point, Point)| {
        let (low, high) = if a.x <= b.x { (a, b) } else { (b, a) };
        let height = || low.y as f64 + (high.y - low.y) as f64 * (at - low.x) as f64 / (high.x - low.x) as f64;
        (low.x <= at && at < high.x).then(|| height().round() as i64)
    };
    let mut heights: Vec<i64> = rings.iter().flat_map(|r| sides(r)).filter_map(crosses).collect();
    heights.sort_unstable();
    heights.chunks_exact(2).map(|c| (c[0], c[1])).filter(|c| c.0 < c.1).collect()
}
