//! Bandage: strips of mat over every joint of the deck, every trim's flange, every lap and every corner.
//!
//! Given the shape, the deck, the trims and the corners; gives every piece with its place and its length as cut. The
//! rules, none of which the roll's length can upset, because bandage is lapped by `bandage_lap` where a roll ends (those
//! laps are a line of their own):
//!
//! - **Board joints**, `bandage_joint` wide. Joints in one line that touch are one piece. It is as long as the joint,
//!   and `bandage_lap` longer at each end that lies on another joint, so that the two overlap there. Where the joint
//!   runs out at the deck's edge it runs out over the trim's flange, and no more is added. So is the joint of the deck with
//!   the board up the slope of a step.
//! - **Flanges**, `bandage_trim` wide, centred on the flange's inner edge, along every side and every side of a hole
//!   that has a trim (none at a step, none round a pipe). It is as long as the run: two that meet at an external corner
//!   cross, because each runs on to the outline. At an inner corner (and at all corners of a kerb or chimney, which are
//!   inner corners of the roof) the flange's inner edge is longer than the side by the width of the flange that it
//!   meets, and the bandage by that and by `bandage_lap`. A flange is as wide as the price book says, else
//!   `mitre_allowance`. Where two stretches of one straight edge meet, the first runs on over the second by
//!   `bandage_lap`.
//! - **Door sills** that no fillet fits under, `bandage_trim` wide, centred on the corner of deck and wall: as long as
//!   the sill, and `bandage_lap` longer at each end, over the fillets that stop there.
//! - **Trim laps**, `bandage_trim` wide, across the trim: as long as the `topcoat_girth` of its finish.
//! - **Corners**, `bandage_trim` wide and `corner_patch` long, at every corner of the outline and of every kerb or
//!   chimney, from the corner into the roof; none where two stretches of one straight edge meet, but where a fillet
//!   stops at a door sill.

use super::junctions::mitre_allowance;
use super::parapets::outer_edge;
use super::shape::{Direction, HoleShape, RoofShape, Side, Turn, inward};
use super::{BandageOver, BandagePiece, DeckLayout, Junction, ProfilePlan, RunPlace, Treatment, TrimRun};
use crate::geometry::interval::joined;
use crate::geometry::ring::{around, sides};
use crate::geometry::segment::{distance, distance_to_segment};
use crate::geometry::whole::gcd;
use crate::model::{Finish, Length, Point, Products, Rules};
use std::collections::{BTreeMap, BTreeSet};

/// Lays the bandage of one roof. `plans` and `junctions` are those of the whole job.
pub fn lay_bandage(
    shape: &RoofShape,
    deck: Option<&DeckLayout>,
    plans: &[ProfilePlan],
    junctions: &[Junction],
    rules: &Rules,
    products: &Products,
) -> Vec<BandagePiece> {
    let mut pieces = deck.map_or_else(Vec::new, |d| over_joints(d, rules));
    pieces.extend(shape.sides.iter().filter(|s| s.finish == Finish::Step).map(|s| along_step(s, rules)));
    pieces.extend((0..shape.sides.len()).filter_map(|i| along_side(shape, i, rules, products)));
    pieces.extend(shape.sides.iter().filter(|s| s.is_under_low_sill()).map(|s| along_sill(s, rules)));
    pieces.extend(boxes(shape).flat_map(|(_, h)| along_hole(h, rules, products)));
    for plan in plans {
        pieces.extend(plan.runs.iter().flat_map(|run| over_laps(shape, plan.finish, run, rules)));
    }
    pieces.extend(corners(shape, junctions, rules));
    pieces
}

/// Holes with a trim round them, with their places.
pub fn boxes(shape: &RoofShape) -> impl Iterator<Item = (usize, &HoleShape)> {
    shape.holes.iter().enumerate().filter(|(_, h)| !h.round && h.finish.has_trim())
}

// ---- Board joints ------------------------------------------------------------------------------------------------

fn over_joints(deck: &DeckLayout, rules: &Rules) -> Vec<BandagePiece> {
    let lines = in_lines(deck.joints.iter().map(|j| (j.from, j.to)));
    let grid = Crossings::of(&lines);
    lines
        .iter()
        .enumerate()
        .map(|(i, &(from, to))| {
            let more = |end: Point| if grid.lies_on_another(end, i) { rules.bandage_lap } else { Length::ZERO };
            stretched(from, to, more(from), more(to), rules.bandage_joint, BandageOver::BoardJoint)
        })
        .collect()
}

/// Joints in one line that touch, joined into one; each from its lower end in x, then y.
fn in_lines(joints: impl Iterator<Item = (Point, Point)>) -> Vec<(Point, Point)> {
    let mut lines: BTreeMap<(i64, i64, i128), Vec<(Point, Point)>> = BTreeMap::new();
    for (a, b) in joints.filter(|(a, b)| a != b) {
        let (a, b) = if a <= b { (a, b) } else { (b, a) };
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let common = gcd(dx, dy);
        let (dx, dy) = (dx / common, dy / common);
        let offset = dx as i128 * a.y as i128 - dy as i128 * a.x as i128;
        lines.entry((dx, dy, offset)).or_default().push((a, b));
    }
    lines.into_values().flat_map(joined).collect()
}

/// Joints by the square metres that they pass, so that a large deck is not searched joint by joint.
struct Crossings<'a> {
    lines: &'a [(Point, Point)],
    cells: BTreeMap<(i64, i64), Vec<usize>>,
}

/// Side of a cell, mm.
const CELL: i64 = 1000;

/// A joint's end lies on another where it is this near, mm: joints of rounded places may miss by one.
const TOUCH: f64 = 1.5;

impl<'a> Crossings<'a> {
    fn of(lines: &'a [(Point, Point)]) -> Crossings<'a> {
        let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for (i, &(a, b)) in lines.iter().enumerate() {
            for cell in passed(a, b) {
                cells.entry(cell).or_default().push(i);
            }
        }
        Crossings { lines, cells }
    }

    fn lies_on_another(&self, p: Point, own: usize) -> bool {
        let near = self.cells.get(&(p.x.div_euclid(CELL), p.y.div_euclid(CELL)));
        near.into_iter()
            .flatten()
            .any(|&i| i != own && distance_to_segment(p, self.lines[i].0, self.lines[i].1) <= TOUCH)
    }
}

/// The cells that a line passes, with those it nearly touches.
fn passed(a: Point, b: Point) -> BTreeSet<(i64, i64)> {
    let steps = ((b.x - a.x).abs().max((b.y - a.y).abs()) / (CELL / 4)).max(1);
    let at = |k: i64, from: i64, to: i64| from + (to - from) * k / steps;
    let cell = |x: i64, y: i64| (x.div_euclid(CELL), y.div_euclid(CELL));
    (0..=steps)
        .flat_map(|k| {
            let (x, y) = (at(k, a.x, b.x), at(k, a.y, b.y));
            [cell(x - 2, y - 2), cell(x + 2, y - 2), cell(x - 2, y + 2), cell(x + 2, y + 2)]
        })
        .collect()
}

// ---- Flanges, laps and corners -----------------------------------------------------------------------------------

/// The piece along the flange of side `i`; `None` where no trim stands.
fn along_side(shape: &RoofShape, i: usize, rules: &Rules, products: &Products) -> Option<BandagePiece> {
    let side = &shape.sides[i];
    let n = shape.sides.len();
    let next = (i + 1) % n;
    let flange = |side: usize| mitre_allowance(shape.sides[side].finish, products, rules);
    let inner = |corner: usize, neighbour: usize| {
        let both = shape.sides[neighbour].has_trim() && shape.corners[corner].turn == Turn::Internal;
        if both { flange(neighbour) + rules.bandage_lap } else { Length::ZERO }
    };
    let onward = shape.corners[next].turn == Turn::Straight && shape.sides[next].has_trim();
    let after = if onward { rules.bandage_lap } else { inner(next, next) };
    let (from, to) = moved_in(side.from, side.to, flange(i));
    let before = inner(i, (i + n - 1) % n);
    let mut piece = stretched(from, to, before, after, rules.bandage_trim, BandageOver::Flange);
    piece.length = side.run + before + after;
    side.has_trim().then_some(piece)
}

/// The piece over the joint of the deck with the board up the slope.
fn along_step(side: &Side, rules: &Rules) -> BandagePiece {
    let none = Length::ZERO;
    let piece = stretched(side.from, side.to, none, none, rules.bandage_joint, BandageOver::BoardJoint);
    BandagePiece { length: side.run, ..piece }
}

/// The piece in the corner of deck and wall under a low door sill.
fn along_sill(side: &Side, rules: &Rules) -> BandagePiece {
    let lap = rules.bandage_lap;
    let piece = stretched(side.from, side.to, lap, lap, rules.bandage_trim, BandageOver::Sill);
    BandagePiece { length: side.run + lap * 2, ..piece }
}

/// The four pieces round a kerb or chimney. Its ring runs anticlockwise, so the roof lies on the right.
fn along_hole(hole: &HoleShape, rules: &Rules, products: &Products) -> Vec<BandagePiece> {
    let flange = mitre_allowance(hole.finish, products, rules);
    let more = flange + rules.bandage_lap;
    sides(&hole.ring)
        .map(|(start, end)| {
            let (to, from) = moved_in(end, start, flange);
            stretched(from, to, more, more, rules.bandage_trim, BandageOver::Flange)
        })
        .collect()
}

/// The pieces over the laps of one run, if it is this roof's: from the trim's back across its face and flange.
fn over_laps(shape: &RoofShape, finish: Finish, run: &TrimRun, rules: &Rules) -> Vec<BandagePiece> {
    let Some((from, to, onto_roof)) = place_of(shape, run.place) else { return Vec::new() };
    let girth = rules.topcoat_girth.of(finish);
    let (n, along) = (inward(from, to), Direction::along(from, to));
    let piece = |at: Length| {
        let start = shifted(from, along, at.as_mm() as f64);
        let end = shifted(start, n, onto_roof * girth.as_mm() as f64);
        let covers = BandageOver::TrimLap;
        BandagePiece { width: rules.bandage_trim, from: start, to: end, length: girth, covers }
    };
    run.laps.iter().map(|lap| piece(run.leg + lap.at)).collect()
}

/// Where a run lies, and whether the roof is on its left (1) or its right (−1); `None` when it is another roof's.
pub fn place_of(shape: &RoofShape, place: RunPlace) -> Option<(Point, Point, f64)> {
    match place {
        RunPlace::Side { roof, side } | RunPlace::Ladder { roof, side } if roof == shape.index => {
            shape.sides.get(side).map(|s| (s.from, s.to, 1.0))
        }
        RunPlace::Hole { roof, hole, side } if roof == shape.index => {
            let (from, to) = shape.holes.get(hole)?.side(side)?;
            Some((from, to, -1.0))
        }
        RunPlace::Parapet { roof, side, part } if roof == shape.index => {
            let (from, to) = outer_edge(shape, side, part)?;
            Some((from, to, 1.0))
        }
        RunPlace::Side { .. } | RunPlace::Ladder { .. } | RunPlace::Hole { .. } | RunPlace::Parapet { .. } => None,
    }
}

/// A patch at every corner. The junctions may know of more straight joints than the outline shows.
fn corners(shape: &RoofShape, junctions: &[Junction], rules: &Rules) -> Vec<BandagePiece> {
    let made = |hole: Option<usize>, corner: usize, how: Treatment| {
        let same = |j: &&Junction| (j.roof, j.hole, j.corner) == (shape.index, hole, corner);
        junctions.iter().find(same).is_some_and(|j| j.treatment == how)
    };
    let straight = |hole: Option<usize>, corner: usize| made(hole, corner, Treatment::Straight);
    let n = shape.corners.len();
    let turns = |i: usize| shape.corners[i].turn != Turn::Straight && !straight(None, i);
    let outline = (0..n).filter(|&i| turns(i) || made(None, i, Treatment::AtSill));
    let meeting = |i: usize| [shape.sides[(i + n - 1) % n].from, shape.sides[i].from, shape.sides[i].to];
    let mut pieces: Vec<BandagePiece> = outline.map(|i| patch(&meeting(i), 1, 1.0, rules)).collect();
    for (h, hole) in boxes(shape) {
        pieces
            .extend((0..hole.ring.len()).filter(|&i| !straight(Some(h), i)).map(|i| patch(&hole.ring, i, -1.0, rules)));
    }
    pieces
}

/// The patch at corner `i` of a ring, along the line that halves its angle: inwards for the outline (`way` 1), outwards
/// for a hole (`way` −1).
fn patch(ring: &[Point], i: usize, way: f64, rules: &Rules) -> BandagePiece {
    let (before, at, after) = around(ring, i);
    let (before, after) = (inward(before, at), inward(at, after));
    let (x, y) = (before.x + after.x, before.y + after.y);
    let length = x.hypot(y).max(1e-9);
    let half = Direction { x: way * x / length, y: way * y / length };
    let to = shifted(ring[i], half, rules.corner_patch.as_mm() as f64);
    let covers = BandageOver::Corner;
    BandagePiece { width: rules.bandage_trim, from: ring[i], to, length: rules.corner_patch, covers }
}

/// A piece along `from → to`, longer by `before` and `after`.
fn stretched(
    from: Point,
    to: Point,
    before: Length,
    after: Length,
    width: Length,
    covers: BandageOver,
) -> BandagePiece {
    let along = Direction::along(from, to);
    let (a, b) = (before.as_mm() as f64, after.as_mm() as f64);
    let length = distance(from, to) + before + after;
    BandagePiece { width, from: shifted(from, along, -a), to: shifted(to, along, b), length, covers }
}

/// A line moved to its left.
fn moved_in(from: Point, to: Point, by: Length) -> (Point, Point) {
    let n = inward(from, to);
    let by = by.as_mm() as f64;
    (shifted(from, n, by), shifted(to, n, by))
}

fn shifted(p: Point, way: Direction, by: f64) -> Point {
    Point::new((p.x as f64 + way.x * by).round() as i64, (p.y as f64 + way.y * by).round() as i64)
}
