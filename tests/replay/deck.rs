//! The deck, replayed: is every place covered once, every joint on a joist, every piece out of its board?
//!
//! Given a roof and its layout; gives the faults found. It has its own geometry (edges crossed by straight lines, in
//! floating point, to a millimetre) and reads nothing but the pieces, joints and counts of the layout.

use super::roofs::{self, Dice, Wish, mirrored, quarter_turned, random_roof};
use crate::support::{self, at, mm, rectangle, setting};
use std::sync::atomic::{AtomicU64, Ordering};
use wetout::model::products::{Board, BoardEdge};
use wetout::model::shape::JoistRun;
use wetout::model::{Finish, Hole, HoleForm, Point, Roof, Rules};
use wetout::takeoff::layout::deck::lay_deck;
use wetout::takeoff::layout::shape::{RoofShape, lay_out};
use wetout::takeoff::layout::{BoardPiece, DeckLayout};

type Pt = (f64, f64);
type Ring = Vec<Pt>;

// ---- Random decks ------------------------------------------------------------------------------------------------

pub fn board(length: i64, width: i64, edge: BoardEdge) -> Board {
    Board { key: "board".into(), length: mm(length), width: mm(width), thickness: mm(18), edge, mass: None }
}

fn random_board(dice: &mut Dice) -> Board {
    let (length, width, edge) = dice.one_of(&[
        (2400, 590, BoardEdge::TongueAndGroove),
        (2400, 590, BoardEdge::TongueAndGroove),
        (2440, 1220, BoardEdge::Square),
        (2400, 600, BoardEdge::TongueAndGroove),
        (2397, 1197, BoardEdge::Square),
    ]);
    board(length, width, edge)
}

// ---- Geometry of its own -----------------------------------------------------------------------------------------

fn pt(p: Point) -> Pt {
    (p.x as f64, p.y as f64)
}

fn edges(ring: &[Pt]) -> impl Iterator<Item = (Pt, Pt)> {
    (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()]))
}

/// Where the line y crosses some rings, ascending: inside from each odd place to the next.
fn crossings(rings: &[Ring], y: f64) -> Vec<f64> {
    let mut xs: Vec<f64> = rings
        .iter()
        .flat_map(|r| edges(r))
        .filter(|(a, b)| (a.1 <= y) != (b.1 <= y))
        .map(|(a, b)| a.0 + (y - a.1) * (b.0 - a.0) / (b.1 - a.1))
        .collect();
    xs.sort_by(f64::total_cmp);
    xs
}

fn inside(rings: &[Ring], p: Pt) -> bool {
    crossings(rings, p.1).iter().filter(|x| **x <= p.0).count() % 2 == 1
}

pub(super) fn to_segment(p: Pt, (a, b): (Pt, Pt)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    (p.0 - a.0 - t * dx).hypot(p.1 - a.1 - t * dy)
}

fn area(ring: &[Pt]) -> f64 {
    edges(ring).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
}

/// Where boards should lie: inside `roof`, outside each of `taken`.
struct Should {
    roof: Vec<Ring>,
    taken: Vec<Ring>,
}

impl Should {
    fn of(shape: &RoofShape, rules: &Rules) -> Should {
        let ring: Ring = shape.ring().into_iter().map(pt).collect();
        let starts: Ring = shape.sides.iter().map(|s| pt(s.from)).collect();
        let n = starts.len();
        let gap = rules.wall_gap.as_mm() as f64;
        let wall = |i: usize| shape.sides[i % n].finish == Finish::Wall;
        let mut taken: Vec<Ring> = Vec::new();
        for i in (0..n).filter(|&i| wall(i)) {
            let reflex = |k: usize| {
                let (a, b, c) = (starts[(k + n - 1) % n], starts[k % n], starts[(k + 1) % n]);
                (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) < 0.0
            };
            let before = if reflex(i) && wall(i + n - 1) { gap } else { 0.0 };
            let after = if reflex(i + 1) && wall(i + 1) { gap } else { 0.0 };
            let (a, b) = (starts[i], pt(shape.sides[i].to));
            let length = (b.0 - a.0).hypot(b.1 - a.1);
            let (ux, uy) = ((b.0 - a.0) / length, (b.1 - a.1) / length);
            let place = |p: Pt, on: f64, left: f64| (p.0 + ux * on - uy * left, p.1 + uy * on + ux * left);
            taken.push(vec![
                place(a, -before, 0.0),
                place(b, after, 0.0),
                place(b, after, gap),
                place(a, -before, gap),
            ]);
        }
        taken.extend(shape.holes.iter().map(|h| hole(&h.form, h.finish, rules)));
        Should { roof: vec![ring], taken }
    }

    fn covers(&self, p: Pt) -> bool {
        inside(&self.roof, p) && !self.taken.iter().any(|t| inside(std::slice::from_ref(t), p))
    }

    fn rings(&self) -> impl Iterator<Item = &Ring> {
        self.roof.iter().chain(&self.taken)
    }

    /// Too near an edge to say, to the millimetre.
    fn near_edge(&self, p: Pt) -> bool {
        self.rings().flat_map(|r| edges(r)).any(|e| to_segment(p, e) < 1.6)
    }

    /// Area, slab by slab between all corners and crossings: in each the ends of every stretch run straight.
    fn area(&self) -> f64 {
        let all: Vec<(Pt, Pt)> = self.rings().flat_map(|r| edges(r)).collect();
        let mut ys: Vec<f64> = all.iter().map(|e| e.0.1).collect();
        for (i, e) in all.iter().enumerate() {
            ys.extend(all[..i].iter().filter_map(|f| crossing_height(*e, *f)));
        }
        ys.sort_by(f64::total_cmp);
        ys.windows(2).map(|w| (w[1] - w[0]) * self.length_at((w[0] + w[1]) / 2.0)).sum()
    }

    fn length_at(&self, y: f64) -> f64 {
        let mut ends: Vec<(f64, i32, i32)> = Vec::new();
        for (k, x) in crossings(&self.roof, y).into_iter().enumerate() {
            ends.push((x, if k % 2 == 0 { 1 } else { -1 }, 0));
        }
        for t in &self.taken {
            for (k, x) in crossings(std::slice::from_ref(t), y).into_iter().enumerate() {
                ends.push((x, 0, if k % 2 == 0 { 1 } else { -1 }));
            }
        }
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut roof, mut taken, mut length, mut last) = (0, 0, 0.0, 0.0);
        for (x, r, t) in ends {
            if roof > 0 && taken == 0 {
                length += x - last;
            }
            (roof, taken, last) = (roof + r, taken + t, x);
        }
        length
    }

    /// What rounding to whole millimetres may cost, mm²: a millimetre along every splay; and where a pipe's ring, or the gap of
    /// a wall on the splay, runs into an edge, that edge may be moved by a millimetre.
    fn rounding(&self) -> f64 {
        let is_splay = |(a, b): &(Pt, Pt)| (a.0 - b.0).abs() >= 0.1 && (a.1 - b.1).abs() >= 0.1;
        let splays: f64 = self.rings().flat_map(|r| edges(r)).filter(is_splay).map(|(a, b)| to(a, b)).sum();
        let pipes = self.taken.iter().filter(|t| edges(t).any(|e| is_splay(&e))).flatten();
        let edge_at = |p: &Pt| {
            let others = self.rings().filter(|r| r.len() != 64).flat_map(|r| edges(r));
            others.filter(|&e| to_segment(*p, e) < 3.0).map(|(a, b)| to(a, b)).fold(0.0, f64::max)
        };
        1.0 + splays + pipes.map(edge_at).fold(0.0, f64::max)
    }
}

fn to(a: Pt, b: Pt) -> f64 {
    (b.0 - a.0).hypot(b.1 - a.1)
}

fn hole(form: &HoleForm, finish: Finish, rules: &Rules) -> Ring {
    match form {
        HoleForm::Box { at, width, depth } => {
            let gap = if finish == Finish::Wall { rules.wall_gap.as_mm() as f64 } else { 0.0 };
            let (x, y) = (at.x as f64 - gap, at.y as f64 - gap);
            let (w, d) = (width.as_mm() as f64 + 2.0 * gap, depth.as_mm() as f64 + 2.0 * gap);
            vec![(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
        }
        HoleForm::Round { at, diameter } => {
            let r = diameter.as_mm() as f64 / 2.0 + rules.pipe_gap.as_mm() as f64;
            let turn = std::f64::consts::TAU / 64.0;
            (0..64)
                .map(|k| f64::from(k) * turn)
                .map(|t| (at.x as f64 + r * t.cos(), at.y as f64 + r * t.sin()))
                .collect()
        }
    }
}

/// The y at which two segments cross, if they do.
fn crossing_height(e: (Pt, Pt), f: (Pt, Pt)) -> Option<f64> {
    let (d, g) = ((e.1.0 - e.0.0, e.1.1 - e.0.1), (f.1.0 - f.0.0, f.1.1 - f.0.1));
    let cross = d.0 * g.1 - d.1 * g.0;
    if cross.abs() < 1e-9 {
        return None;
    }
    let o = (f.0.0 - e.0.0, f.0.1 - e.0.1);
    let (t, s) = ((o.0 * g.1 - o.1 * g.0) / cross, (o.0 * d.1 - o.1 * d.0) / cross);
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&s)).then_some(e.0.1 + t * d.1)
}

// ---- The checker -------------------------------------------------------------------------------------------------

/// A piece turned so that x runs along the boards.
struct Seen<'a> {
    piece: &'a BoardPiece,
    rings: Vec<Vec<(i64, i64)>>,
}

impl Seen<'_> {
    fn range(&self, along: bool) -> (i64, i64) {
        let all = || self.rings[0].iter().map(|p| if along { p.0 } else { p.1 });
        (all().min().unwrap(), all().max().unwrap())
    }

    /// Stretches of its edges on a line along (or across) the boards, as (place, from, to).
    fn edges(&self, along: bool) -> Vec<(i64, i64, i64)> {
        let turn = |p: (i64, i64)| if along { p } else { (p.1, p.0) };
        let sides = self.rings.iter().flat_map(|r| (0..r.len()).map(move |i| (r[i], r[(i + 1) % r.len()])));
        sides
            .map(|(a, b)| (turn(a), turn(b)))
            .filter(|(a, b)| a.1 == b.1)
            .map(|(a, b)| (a.1, a.0.min(b.0), a.0.max(b.0)))
            .collect()
    }
}

/// Everything that is wrong with a deck; empty when nothing is.
pub fn faults(shape: &RoofShape, roof: &Roof, rules: &Rules, board: &Board, deck: &DeckLayout) -> Vec<String> {
    let mut out = Vec::new();
    let along_x = roof.joists.run == JoistRun::FrontToBack;
    let turn = |p: &Point| if along_x { (p.x, p.y) } else { (p.y, p.x) };
    let seen: Vec<Seen> = deck
        .pieces
        .iter()
        .map(|piece| Seen { piece, rings: piece.rings.iter().map(|r| r.iter().map(turn).collect()).collect() })
        .collect();
    coverage(shape, rules, deck, &mut out);
    boards((board, rules.board_kerf.as_mm()), deck, &seen, &mut out);
    let joints = Joints::of(&seen);
    joints.listed(deck, &mut out);
    joints.on_joists(roof, &mut out);
    joints.staggered(roof, &mut out);
    joints.edges_kept(board, &seen, &mut out);
    long_enough(roof, rules, board, &seen, &joints, &mut out);
    out
}

/// Every place once: by area, and at sample places all over and beside every corner of every piece.
fn coverage(shape: &RoofShape, rules: &Rules, deck: &DeckLayout, out: &mut Vec<String>) {
    let should = Should::of(shape, rules);
    let rings: Vec<Vec<Ring>> =
        deck.pieces.iter().map(|p| p.rings.iter().map(|r| r.iter().copied().map(pt).collect()).collect()).collect();
    for (piece, rings) in deck.pieces.iter().zip(&rings) {
        if area(&rings[0]) <= 0.0 || rings[1..].iter().any(|r| area(r) >= 0.0) {
            out.push(format!("piece {}: a ring runs the wrong way round", piece.mark));
        }
    }
    let laid: f64 = rings.iter().flatten().map(|r| area(r)).sum();
    let (wanted, give) = (should.area(), should.rounding());
    if (laid - wanted).abs() > give {
        out.push(format!("{laid:.0} mm2 laid, {wanted:.0} mm2 wanted"));
    }
    let boxes: Vec<[f64; 4]> = rings.iter().map(|r| bounds(&r[0])).collect();
    for p in samples(&should, &rings) {
        let covering =
            boxes.iter().zip(&rings).filter(|(b, _)| b[0] <= p.0 && p.0 <= b[1] && b[2] <= p.1 && p.1 <= b[3]);
        let count = covering.filter(|(_, r)| inside(r, p)).count();
        let near_joint = || rings.iter().flatten().flat_map(|r| edges(r)).any(|e| to_segment(p, e) < 1.1);
        let wrong = count != usize::from(should.covers(p));
        if wrong && !should.near_edge(p) && !near_joint() {
            out.push(format!("{p:?} is covered {count} times"));
        }
    }
}

fn bounds(ring: &[Pt]) -> [f64; 4] {
    ring.iter().fold([f64::MAX, f64::MIN, f64::MAX, f64::MIN], |b, p| {
        [b[0].min(p.0), b[1].max(p.0), b[2].min(p.1), b[3].max(p.1)]
    })
}

fn samples(should: &Should, pieces: &[Vec<Ring>]) -> Vec<Pt> {
    let [x0, x1, y0, y1] = bounds(&should.roof[0]);
    let mut out = Vec::new();
    for i in -1..25 {
        for k in -1..25 {
            out.push((x0 + (x1 - x0) * (f64::from(i) + 0.437) / 24.0, y0 + (y1 - y0) * (f64::from(k) + 0.561) / 24.0));
        }
    }
    let corners = pieces.iter().flatten().flatten();
    let step = 1 + corners.clone().count() / 400;
    out.extend(
        corners.step_by(step).flat_map(|p| [(p.0 + 2.3, p.1 + 2.6), (p.0 - 2.4, p.1 + 2.7), (p.0 + 2.2, p.1 - 2.8)]),
    );
    out
}

/// Pieces out of boards: each inside its own, a cut between any two that must be as long as they are told, boards counted.
fn boards((board, kerf): (&Board, i64), deck: &DeckLayout, seen: &[Seen], out: &mut Vec<String>) {
    let (length, width) = (board.length.as_mm(), board.width.as_mm());
    let mut used = vec![Vec::new(); deck.boards];
    for s in seen {
        let (p, (x, y)) = (s.piece, (s.piece.on_board.x, s.piece.on_board.y));
        let (l, w) = (p.length.as_mm(), p.width.as_mm());
        let size = |along| s.range(along).1 - s.range(along).0;
        if size(true) > l || size(false) > w {
            out.push(format!("piece {} is larger than the rectangle it is cut from", p.mark));
        }
        if x < 0 || y < 0 || x + l > length || y + w > width {
            out.push(format!("piece {} sticks out of its board", p.mark));
        }
        // An end on a joist, where another piece of the row goes on, may be a saw's width short.
        let (from, to) = s.range(true);
        let goes_on = |o: &Seen| o.piece.row == p.row && (o.range(true).1 == from || o.range(true).0 == to);
        let give = seen.iter().any(goes_on);
        match used.get_mut(p.board) {
            Some(others) => others.push((x, y, l, w, &p.mark, give)),
            None => out.push(format!("piece {} comes from a board that was not bought", p.mark)),
        }
    }
    for cut in used {
        if cut.is_empty() {
            out.push("a board is bought and not used".into());
        }
        for (i, a) in cut.iter().enumerate() {
            for b in &cut[..i] {
                let along = if a.5 || b.5 { 0 } else { kerf };
                if a.0 < b.0 + b.2 + along
                    && b.0 < a.0 + a.2 + along
                    && a.1 < b.1 + b.3 + kerf
                    && b.1 < a.1 + a.3 + kerf
                {
                    out.push(format!("pieces {} and {} are cut from the same wood", a.4, b.4));
                }
            }
        }
    }
    let proof = &deck.proof;
    if proof.found != deck.boards as i64 || proof.bound > proof.found {
        out.push(format!("proof of {} boards: found {}, bound {}", deck.boards, proof.found, proof.bound));
    }
}

/// Joints found from the pieces themselves: (row, place, from, to), and the two pieces.
struct Joints {
    ends: Vec<(usize, i64, i64, i64)>,
    /// (row of the lower, place, from, to, lower piece, upper piece), rows counted as laid.
    long: Vec<(i64, i64, i64, usize, usize)>,
}

impl Joints {
    fn of(seen: &[Seen]) -> Joints {
        let mut joints = Joints { ends: Vec::new(), long: Vec::new() };
        for (i, a) in seen.iter().enumerate() {
            for (k, b) in seen.iter().enumerate().skip(i + 1) {
                let rows = b.piece.row.abs_diff(a.piece.row);
                if rows > 1
                    || a.range(rows == 1).1 < b.range(rows == 1).0
                    || b.range(rows == 1).1 < a.range(rows == 1).0
                {
                    continue;
                }
                for (place, from, to) in shared(&a.edges(rows == 1), &b.edges(rows == 1)) {
                    if rows == 0 {
                        joints.ends.push((a.piece.row, place, from, to));
                    } else {
                        joints.long.push((place, from, to, i, k));
                    }
                }
            }
        }
        joints
    }

    /// The layout lists as much joint as there is, of both kinds.
    fn listed(&self, deck: &DeckLayout, out: &mut Vec<String>) {
        let total = |end: bool| -> f64 {
            deck.joints.iter().filter(|j| j.end_joint == end).map(|j| to(pt(j.from), pt(j.to))).sum()
        };
        let ends: i64 = self.ends.iter().map(|j| j.3 - j.2).sum();
        let long: i64 = self.long.iter().map(|j| j.2 - j.1).sum();
        if (total(true) - ends as f64).abs() > 0.5 || (total(false) - long as f64).abs() > 0.5 {
            out.push(format!("joints listed {} + {}, found {ends} + {long}", total(true), total(false)));
        }
    }

    fn on_joists(&self, roof: &Roof, out: &mut Vec<String>) {
        for j in self.ends.iter().filter(|j| off_joist(roof, j.1) != 0) {
            out.push(format!("row {}: a joint at {} lies off the joists", j.0 + 1, j.1));
        }
    }

    fn staggered(&self, roof: &Roof, out: &mut Vec<String>) {
        for (i, a) in self.ends.iter().enumerate() {
            for b in self.ends[..i].iter().filter(|b| b.0.abs_diff(a.0) == 1) {
                if (a.1 - b.1).abs() < roof.joists.spacing.as_mm() {
                    out.push(format!("rows {} and {}: joints at {} and {}", a.0 + 1, b.0 + 1, a.1, b.1));
                }
            }
        }
    }

    /// A tongued piece keeps the board's own edge where it meets the next row.
    fn edges_kept(&self, board: &Board, seen: &[Seen], out: &mut Vec<String>) {
        if board.edge == BoardEdge::Square {
            return;
        }
        for j in &self.long {
            let (lower, upper) = (seen[j.3].piece, seen[j.4].piece);
            let last = lower.on_board.y + lower.width.as_mm();
            if lower.row + 1 != upper.row || last != board.width.as_mm() || upper.on_board.y != 0 {
                out.push(format!("pieces {} and {} meet without tongue or groove", lower.mark, upper.mark));
            }
        }
    }
}

fn off_joist(roof: &Roof, place: i64) -> i64 {
    let corner = roof.outline.corners[0];
    let from = (if roof.joists.run == JoistRun::FrontToBack { corner.x } else { corner.y }) + roof.joists.first.as_mm();
    (place - from).rem_euclid(roof.joists.spacing.as_mm())
}

fn shared(a: &[(i64, i64, i64)], b: &[(i64, i64, i64)]) -> Vec<(i64, i64, i64)> {
    let pairs = a.iter().flat_map(|e| b.iter().map(move |f| (e, f)));
    pairs.filter(|(e, f)| e.0 == f.0).map(|(e, f)| (e.0, e.1.max(f.1), e.2.min(f.2))).filter(|s| s.1 < s.2).collect()
}

/// A row has slivers, and then short pieces, only where no division clear of its neighbours' joints has fewer.
fn long_enough(roof: &Roof, rules: &Rules, board: &Board, seen: &[Seen], joints: &Joints, out: &mut Vec<String>) {
    let spacing = roof.joists.spacing.as_mm();
    let (least, sliver) = (spacing * i64::from(rules.shortest_board), rules.shortest_end.as_mm());
    let rows = seen.iter().map(|s| s.piece.row + 1).max().unwrap_or(0);
    for row in 0..rows {
        let mut pieces: Vec<(i64, i64)> = seen.iter().filter(|s| s.piece.row == row).map(|s| s.range(true)).collect();
        pieces.sort_unstable();
        let at_joint = |p: i64| joints.ends.iter().any(|j| j.0 == row && j.1 == p);
        let mut spans: Vec<(i64, i64)> = Vec::new();
        for p in pieces {
            match spans.last_mut() {
                Some(s) if p.0 < s.1 || p.0 == s.1 && at_joint(p.0) => s.1 = s.1.max(p.1),
                _ => spans.push(p),
            }
        }
        for (from, to) in spans {
            let mut ends = vec![from];
            let own = joints.ends.iter().filter(|j| j.0 == row && from < j.1 && j.1 < to).map(|j| j.1);
            ends.extend(own);
            ends.push(to);
            ends.sort_unstable();
            ends.dedup();
            let below = |a: i64, b: i64, least: i64| usize::from(b - a < least && (a, b) != (from, to));
            // Slivers, then short pieces.
            let unwanted = |a: i64, b: i64| (below(a, b, sliver), below(a, b, least));
            let add = |a: (usize, usize), b: (usize, usize)| (a.0 + b.0, a.1 + b.1);
            let found = ends.windows(2).map(|w| unwanted(w[0], w[1])).fold((0, 0), add);
            if found == (0, 0) {
                continue;
            }
            let mut places: Vec<i64> = (from + 1..to).filter(|&p| off_joist(roof, p) == 0).collect();
            places.retain(|p| !joints.ends.iter().any(|j| j.0.abs_diff(row) == 1 && j.1 == *p));
            places.insert(0, from);
            places.push(to);
            let mut best = vec![None; places.len()];
            best[0] = Some((0, 0));
            for k in 1..places.len() {
                let reach = |i: &usize| places[k] - places[*i] <= board.length.as_mm();
                let ways = (0..k).filter(reach).filter_map(|i| best[i].map(|b| add(b, unwanted(places[i], places[k]))));
                best[k] = ways.min();
            }
            let fewest = best[places.len() - 1];
            if fewest.is_some_and(|fewest| found > fewest) {
                out.push(format!("row {}: {found:?} slivers and short pieces where {fewest:?} would do", row + 1));
            }
        }
    }
}

// ---- Tests -------------------------------------------------------------------------------------------------------

fn lay(roof: &Roof, board: &Board) -> (RoofShape, DeckLayout) {
    let rules = Rules::default();
    let shape = lay_out(roof, 0, &rules).unwrap();
    let deck = lay_deck(&shape, roof, &rules, board).unwrap_or_else(|p| panic!("{p:?}\n{roof:?}"));
    (shape, deck)
}

/// Lays one random roof, falling to any of its edges, and has it replayed; gives what is wrong, and counts the proven.
fn replay(seed: u64, proven: &AtomicU64) -> Vec<String> {
    let mut dice = Dice::new(seed);
    let mut roof = random_roof(&mut dice, Wish { turned: false, clear: 20 });
    roof.falls_to = roof.outline.edges[dice.below(roof.outline.edges.len())].name.clone();
    let board = random_board(&mut dice);
    let (rules, shape) = (Rules::default(), lay_out(&roof, 0, &Rules::default()).unwrap());
    let deck = match lay_deck(&shape, &roof, &rules, &board) {
        Ok(deck) => deck,
        Err(problems) => return problems.iter().map(|p| format!("refused: {p}")).collect(),
    };
    proven.fetch_add(u64::from(deck.proof.is_proven()), Ordering::Relaxed);
    faults(&shape, &roof, &rules, &board, &deck)
}

/// Two thousand; fewer without optimisation, where each takes long. `WETOUT_ROOFS=100000` asks for more.
#[test]
fn random_decks_are_covered_once_by_pieces_that_come_out_of_their_boards() {
    let count = roofs::count(if cfg!(debug_assertions) { 500 } else { 2_000 });
    let proven = AtomicU64::new(0);
    roofs::assert_none_wrong(&roofs::wrong(0..count, |seed| replay(seed, &proven)), count);
    let proven = proven.into_inner();
    assert!(proven * 2 >= count, "only {proven} of {count} are proven");
}

/// Openings a millimetre off a joist and off the line of a row, walls a gap of any width off the boards.
fn with_slivers(seed: u64) -> Vec<String> {
    let mut dice = Dice::new(seed ^ 0x511_4e2);
    let mut roof = random_roof(&mut dice, Wish { turned: false, clear: 70 });
    let board = random_board(&mut dice);
    let rules = Rules { wall_gap: mm(dice.size(1, 60)), pipe_gap: mm(dice.size(0, 12)), ..Rules::default() };
    let spacing = roof.joists.spacing.as_mm();
    let of = roof.clone();
    let off = |dice: &mut Dice| dice.one_of(&[-1, 1, 0, 2]);
    for h in &mut roof.holes {
        let gap = if h.finish == Finish::Wall { rules.wall_gap.as_mm() } else { 0 };
        if let HoleForm::Box { at, width, depth } = &mut h.form {
            let (x, y) =
                if roof.joists.run == JoistRun::FrontToBack { (&mut at.x, &mut at.y) } else { (&mut at.y, &mut at.x) };
            *x += gap - off_joist(&of, *x) + off(&mut dice);
            *y += gap - *y % board.width.as_mm() + off(&mut dice);
            *width = mm((width.as_mm() / spacing).max(1) * spacing + off(&mut dice) - 2 * gap);
            *depth = mm((depth.as_mm() - 2 * gap).max(100));
        }
    }
    let Ok(shape) = lay_out(&roof, 0, &rules) else { return Vec::new() };
    match lay_deck(&shape, &roof, &rules, &board) {
        Ok(deck) => faults(&shape, &roof, &rules, &board, &deck),
        Err(problems) => problems.iter().map(|p| format!("refused: {p}")).collect(),
    }
}

#[test]
fn random_decks_with_slivers_of_a_millimetre_lose_no_piece() {
    let count = roofs::count(if cfg!(debug_assertions) { 200 } else { 2_000 });
    roofs::assert_none_wrong(&roofs::wrong(0..count, with_slivers), count);
}

/// A gap of 2 mm along a splay leaves corners a millimetre off its ends; moved onto the lines of rows and joists, both
/// they and their neighbours looked like needles, and with both gone a third of the deck was.
#[test]
fn a_narrow_gap_along_a_splay_costs_no_boards() {
    assert_eq!(with_slivers(979), Vec::<String>::new());
}

/// How long the narrow strips are that lines between rows leave along the edges of an outline on x and y, with a first
/// row of some width: tried line by line.
fn narrow_strips(ring: &[Point], first: i64, width: i64, least: i64) -> i64 {
    let ys = || ring.iter().map(|p| p.y);
    let (low, high) = (ys().min().unwrap(), ys().max().unwrap());
    let lines: Vec<i64> = (0..).map(|k| low + first + k * width).take_while(|&v| v < high).collect();
    let narrow = |(a, b): (Point, Point)| {
        // Walked anticlockwise, the roof lies above an edge that goes to the right and below one that goes to the left.
        let beside = |v: &i64| if b.x > a.x { 0 < v - a.y && v - a.y < least } else { 0 < a.y - v && a.y - v < least };
        let long = a.y == b.y && (b.x - a.x).abs() > least && lines.iter().any(beside);
        if long { (b.x - a.x).abs() } else { 0 }
    };
    (0..ring.len()).map(|i| narrow((ring[i], ring[(i + 1) % ring.len()]))).sum()
}

/// Against every first row there is, one after another.
#[test]
fn no_first_row_leaves_less_of_narrow_strips_than_the_one_that_is_laid() {
    let count = roofs::count(if cfg!(debug_assertions) { 150 } else { 2_000 });
    let wrong = |seed: u64| {
        let mut dice = Dice::new(seed ^ 0xf1257);
        let mut roof = random_roof(&mut dice, Wish { turned: false, clear: 20 });
        let board = random_board(&mut dice);
        let (width, rules) = (board.width.as_mm(), Rules::default());
        // Without walls, so that the boards end on the outline; only outlines on x and y.
        let on_axes = |(i, p): (usize, &Point)| {
            let q = roof.outline.end_of(i);
            p.x == q.x || p.y == q.y
        };
        if !roof.outline.corners.iter().enumerate().all(on_axes) {
            return Vec::new();
        }
        roof.outline.edges.iter_mut().filter(|e| e.finish == Finish::Wall).for_each(|e| e.finish = Finish::Raised);
        roof.holes.clear();
        roof.joists.run = JoistRun::FrontToBack;
        let (shape, deck) = lay(&roof, &board);
        let first = deck.pieces.iter().filter(|p| p.row == 0).flat_map(|p| &p.rings[0]).map(|p| p.y).max().unwrap();
        let (ring, least) = (shape.ring(), rules.narrowest_row.as_mm());
        let depth = ring.iter().map(|p| p.y).max().unwrap();
        let laid = narrow_strips(&ring, first, width, least);
        let fewest = (least.min(depth)..=width).map(|f| narrow_strips(&ring, f, width, least)).min().unwrap();
        let said = format!("a first row of {first} leaves {laid} mm of narrow strips, another {fewest}");
        if laid > fewest { vec![said] } else { Vec::new() }
    };
    roofs::assert_none_wrong(&roofs::wrong(0..count, wrong), count);
}

/// What must be the same of a deck and of its picture in a mirror: boards, joists, and millimetres of noggin.
fn counts(roof: &Roof, board: &Board) -> Result<(usize, usize, f64), String> {
    let (rules, shape) = (Rules::default(), lay_out(roof, 0, &Rules::default()).unwrap());
    let deck = lay_deck(&shape, roof, &rules, board).map_err(|p| format!("refused: {}", p[0]))?;
    let wrong = faults(&shape, roof, &rules, board, &deck);
    if !wrong.is_empty() {
        return Err(wrong.join("; "));
    }
    Ok((deck.boards, deck.joists.len(), deck.noggins.iter().map(|n| to(pt(n.0), pt(n.1))).sum()))
}

/// What comes out otherwise of a roof that is turned or seen in a mirror.
fn unlike(roof: &Roof, board: &Board) -> Vec<String> {
    let whole = counts(roof, board);
    let turned = quarter_turned(roof);
    let half = quarter_turned(&turned);
    let mut others = vec![("turned", turned), ("turned twice", half.clone()), ("turned back", quarter_turned(&half))];
    // Where the joists run across the fall the rows start at the left, looking up it: that is one-handed.
    if roof.joists.run == JoistRun::FrontToBack {
        others.push(("in a mirror", mirrored(roof)));
        others.push(("turned, in a mirror", mirrored(&half)));
    }
    let other = |(how, roof): &(&str, Roof)| {
        let seen = counts(roof, board);
        // A gap along a slanting wall is rounded to whole millimetres, and halves not the same way round: that decides of
        // one stretch whether it is long enough for a noggin.
        let give = Rules::default().shortest_noggin.as_mm() as f64 + 20.0;
        let same = match (&seen, &whole) {
            (Ok(a), Ok(b)) => (a.0, a.1) == (b.0, b.1) && (a.2 - b.2).abs() <= give,
            _ => false,
        };
        (!same).then(|| format!("{how}: {seen:?} boards, joists and mm of noggin for {whole:?}"))
    };
    others.iter().filter_map(other).collect()
}

/// Its edges lie along x and y, so that a turn moves no corner by a hair.
#[test]
fn random_decks_turned_or_in_a_mirror_take_the_same() {
    let count = roofs::count(if cfg!(debug_assertions) { 60 } else { 1_000 });
    let unlike = |seed: u64| {
        let mut dice = Dice::new(seed ^ 0x5eed);
        let roof = random_roof(&mut dice, Wish { turned: false, clear: 20 });
        unlike(&roof, &random_board(&mut dice))
    };
    roofs::assert_none_wrong(&roofs::wrong(0..count, unlike), count);
}

/// Openings whose sides lie on joists: a row ends there over the joint of the row before, and that is no joint.
#[test]
fn openings_on_joist_lines_are_laid_whichever_way_round() {
    let mut roof = rectangle(5200, 3600);
    let light = |n: usize, x: i64, y: i64| Hole {
        path: setting(&format!("roofs[0].holes[{n}]")),
        ..support::hole(
            &format!("rooflight {n}"),
            HoleForm::Box { at: at(x, y), width: mm(1150), depth: mm(1200) },
            Finish::Kerb,
        )
    };
    let board = board(2400, 590, BoardEdge::TongueAndGroove);
    for (x, y) in (0..=1_200).step_by(200).flat_map(|y| [399, 400, 401].map(|x| (x, y + 600))) {
        roof.holes = vec![light(0, x, y), light(1, x + 2000, y)];
        assert_eq!(unlike(&roof, &board), Vec::<String>::new(), "{x}, {y}");
    }
}

/// A needle of a millimetre, beside the gap at a wall, is no place for a board to end.
#[test]
fn a_needle_beside_a_wall_does_not_hide_a_short_piece() {
    assert_eq!(replay(98_249, &AtomicU64::new(0)), Vec::<String>::new());
}

/// What the checker must see: each change to a sound layout is named.
#[test]
fn the_replay_sees_what_is_wrong() {
    let roof = rectangle(5200, 3400);
    let board = board(2400, 590, BoardEdge::TongueAndGroove);
    let (shape, sound) = lay(&roof, &board);
    let see = |change: &dyn Fn(&mut DeckLayout)| {
        let mut deck = sound.clone();
        change(&mut deck);
        faults(&shape, &roof, &Rules::default(), &board, &deck).join("; ")
    };
    assert_eq!(see(&|_| ()), "");
    let shift = |p: &mut Point, by: i64| p.x += by;
    assert!(see(&|d| drop(d.pieces.remove(4))).contains("is covered 0 times"));
    assert!(see(&|d| d.pieces.push(d.pieces[0].clone())).contains("is covered 2 times"));
    assert!(see(&|d| d.pieces[2].rings[0].iter_mut().for_each(|p| shift(p, 30))).contains("is covered"));
    assert!(see(&|d| d.pieces[0].on_board.x += 2000).contains("sticks out of its board"));
    assert!(see(&|d| d.pieces[0].board = d.pieces[1].board).contains("are cut from the same wood"));
    assert!(see(&|d| d.pieces[0].length = mm(100)).contains("larger than the rectangle"));
    assert!(see(&|d| d.boards -= 1).contains("was not bought"));
    assert!(see(&|d| d.joints.truncate(3)).contains("joints listed"));
    assert!(see(&|d| d.proof.bound += 1).contains("proof of 13 boards"));
    let joint = sound.joints.iter().find(|j| j.end_joint).unwrap().from.x;
    let moved = |p: &mut Point| {
        if p.x == joint {
            p.x += 7
        }
    };
    let off = see(&|d| d.pieces.iter_mut().filter(|p| p.row == 0).flat_map(|p| &mut p.rings[0]).for_each(moved));
    assert!(off.contains("lies off the joists"), "{off}");
}
