//! The insulation boards and the vapour layer, laid out on the real outline.
//!
//! Given a roof's shape and the board; gives every piece with its place, the boards that they are cut from, and the
//! strips of vapour layer. Boards are tight to walls and kerbs, without the deck's gap. Offcuts, whether left of a
//! length or of a ripped width, are used again before a new board is opened. Where joints of the layers beneath and
//! above are given, the first row is ripped narrower if that keeps the insulation's own joints off them.

use super::shape::RoofShape;
use super::stagger::too_near;
use super::{InsulationLayout, InsulationPiece, Joint, VapourStrip};
use crate::cutting::Proof;
use crate::geometry::region::{Bounds, Region, bounds_of};
use crate::geometry::whole::div_ceil;
use crate::model::build_up::{InsulationBoard, VapourLayer};
use crate::model::{Length, Point, Rules};
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeSet;

/// The roof with rows lying along x and the low edge at the bottom.
struct SlabFrame {
    swapped: bool,
    flipped: bool,
}

impl SlabFrame {
    fn of(shape: &RoofShape) -> SlabFrame {
        let up = shape.uphill;
        let swapped = up.x.abs() > up.y.abs();
        SlabFrame { swapped, flipped: if swapped { up.x < 0.0 } else { up.y < 0.0 } }
    }

    fn inside(&self, p: Point) -> Point {
        let (along, up) = if self.swapped { (p.y, p.x) } else { (p.x, p.y) };
        Point::new(along, if self.flipped { -up } else { up })
    }

    fn back(&self, p: Point) -> Point {
        let up = if self.flipped { -p.y } else { p.y };
        if self.swapped { Point::new(up, p.x) } else { Point::new(p.x, up) }
    }

    fn surface(&self, shape: &RoofShape) -> Region {
        let turn = |ring: &[Point]| ring.iter().map(|&p| self.inside(p)).collect::<Vec<_>>();
        let holes: Vec<Vec<Point>> = shape.holes.iter().map(|h| turn(&h.ring)).collect();
        Region::of_ring(&turn(&shape.ring())).subtract(&Region::of_rings(holes.iter().map(Vec::as_slice)))
    }
}

/// What is left of a board.
#[derive(Debug, Clone, Copy)]
struct Offcut {
    length: i64,
    width: i64,
    board: usize,
}

/// Boards opened so far and what is left of them.
#[derive(Debug, Clone, Default)]
struct OpenedSlabs {
    boards: usize,
    offcuts: Vec<Offcut>,
}

impl OpenedSlabs {
    /// Takes a piece from the smallest offcut that holds it, else from a new board; says which board.
    fn take(&mut self, length: i64, width: i64, board: (i64, i64), least: i64) -> usize {
        let fits = |o: &Offcut| o.length >= length && o.width >= width;
        let smallest = (0..self.offcuts.len())
            .filter(|&i| fits(&self.offcuts[i]))
            .min_by_key(|&i| self.offcuts[i].length * self.offcuts[i].width);
        let from = match smallest {
            Some(i) => self.offcuts.swap_remove(i),
            None => {
                self.boards += 1;
                Offcut { length: board.0, width: board.1, board: self.boards - 1 }
            }
        };
        let beside = Offcut { length: from.length - length, ..from };
        let above = Offcut { length, width: from.width - width, ..from };
        self.offcuts.extend([beside, above].into_iter().filter(|o| o.length >= least && o.width > 0));
        from.board
    }
}

/// Sizes and rules of one layout, mm.
struct Sizes {
    length: i64,
    width: i64,
    shortest: i64,
    stagger: i64,
    /// How far joints keep off those of the layers around.
    apart: i64,
    /// Those joints, in the rows' own axes.
    around: Vec<Joint>,
    /// Rooflights, hatches and chimneys, in the same axes.
    openings: Vec<Bounds>,
}

/// Lays the boards in rows from the low edge, end joints of neighbouring rows staggered, all of them off the joints of
/// the layers beneath and above (`around`). Of the widths that the first row may have it takes
/// the one with the fewest end joints that stand too close, then the shortest length of joint over joint, then the
/// fewest boards; but never one that takes more boards than the rule allows for it.
pub fn lay_boards_off(shape: &RoofShape, board: &InsulationBoard, around: &[Joint], rules: &Rules) -> InsulationLayout {
    const STEP: usize = 100;
    let frame = SlabFrame::of(shape);
    let surface = frame.surface(shape);
    let openings = shape.holes.iter().filter(|h| !h.round);
    let openings = openings.filter_map(|h| bounds_of(h.ring.iter().map(|&p| frame.inside(p))));
    let sizes = Sizes {
        length: board.length.as_mm(),
        width: board.width.as_mm(),
        shortest: rules.shortest_insulation.as_mm().min(board.length.as_mm()),
        stagger: rules.insulation_stagger.as_mm(),
        apart: rules.layer_stagger.as_mm(),
        around: around.iter().map(|&(a, b)| (frame.inside(a), frame.inside(b))).collect(),
        openings: openings.collect(),
    };
    let plain = plain(&surface, &sizes, board);
    let (most, crossed) = (plain.boards + rules.stagger_boards as usize, plain.near > Length::ZERO);
    let widths = (sizes.shortest.min(sizes.width)..=sizes.width).rev().step_by(STEP).filter(|_| crossed);
    let tried = widths.map(|first| laid_from(&surface, first, &sizes, board)).filter(|l| l.boards <= most);
    let cost = |l: &InsulationLayout| (l.close_joints + narrow(l, &sizes), l.near, l.boards, l.pieces.len());
    // Of equals the first: the plainest, then the one whose first row is widest.
    let mut best = tried.fold(plain, |best, next| if cost(&next) < cost(&best) { next } else { best });
    for ring in best.pieces.iter_mut().flat_map(|p| p.rings.iter_mut()) {
        ring.iter_mut().for_each(|p| *p = frame.back(*p));
    }
    best.joints.iter_mut().for_each(|(a, b)| (*a, *b) = (frame.back(*a), frame.back(*b)));
    best.along_x = !frame.swapped;
    best
}

/// The layout from a whole board at the low edge that heeds no joint but its own.
fn plain(surface: &Region, sizes: &Sizes, board: &InsulationBoard) -> InsulationLayout {
    let alone = Sizes { around: Vec::new(), openings: sizes.openings.clone(), ..*sizes };
    let mut layout = laid_from(surface, sizes.width, &alone, board);
    layout.near = too_near(&layout.joints, &sizes.around, Length::mm(sizes.apart));
    layout
}

/// Pieces ripped narrower than the shortest board may be: slivers that nobody cuts well.
fn narrow(layout: &InsulationLayout, sizes: &Sizes) -> usize {
    layout.pieces.iter().filter(|p| p.width.as_mm() < sizes.shortest.min(sizes.width)).count()
}

/// One layout whose first row is `first` wide, in the rows' own axes.
fn laid_from(surface: &Region, first: i64, sizes: &Sizes, board: &InsulationBoard) -> InsulationLayout {
    let mut layout = InsulationLayout {
        board: board.key.clone(),
        pieces: Vec::new(),
        boards: 0,
        close_joints: 0,
        joints: Vec::new(),
        near: Length::ZERO,
        proof: Proof { found: 0, bound: 0, reason: "area of the roof ÷ area of a board, rounded up".into() },
        along_x: true,
    };
    let mut stack = OpenedSlabs::default();
    let mut joints = Vec::new();
    let bands = bands(surface, first, sizes.width);
    for (row, band) in bands.iter().enumerate() {
        joints = lay_row(
            &surface.intersect(&Region::of_box(band.least, band.most)),
            row,
            sizes,
            &joints,
            &mut stack,
            &mut layout,
        );
    }
    for band in bands.iter().skip(1) {
        let (from, to) = (band.least, Point::new(band.most.x, band.least.y));
        layout.joints.extend(surface.clip_line(from, to, false));
    }
    layout.near = too_near(&layout.joints, &sizes.around, Length::mm(sizes.apart));
    layout.boards = stack.boards;
    layout.proof.found = stack.boards as i64;
    layout.proof.bound = div_ceil(surface.area().as_mm2(), sizes.length * sizes.width);
    layout
}

/// Boxes of the rows, from the low edge up; the first is `first` wide.
fn bands(surface: &Region, first: i64, width: i64) -> Vec<Bounds> {
    let Some(Bounds { least, most }) = surface.bounds() else {
        return Vec::new();
    };
    let starts = [least.y].into_iter().chain((0..).map(|i| least.y + first + i * width)).take_while(|y| *y < most.y);
    let starts: Vec<i64> = starts.collect();
    let ends = starts.iter().skip(1).copied().chain([most.y]);
    let row = |(low, high): (&i64, i64)| Bounds { least: Point::new(least.x, *low), most: Point::new(most.x, high) };
    starts.iter().zip(ends).map(row).collect()
}

/// Lays one row, part by part where holes or the outline divide it; gives its end joints.
fn lay_row(
    row_surface: &Region,
    row: usize,
    sizes: &Sizes,
    below: &[i64],
    stack: &mut OpenedSlabs,
    layout: &mut InsulationLayout,
) -> Vec<i64> {
    let mut parts: Vec<(Bounds, Region)> = row_surface
        .polygons()
        .iter()
        .map(|p| Region::of_ring(&p[0]).subtract(&Region::of_rings(p[1..].iter().map(Vec::as_slice))))
        .filter_map(|part| part.bounds().map(|b| (b, part)))
        .collect();
    parts.sort_by_key(|(b, _)| (b.least.x, b.least.y));
    let mut joints = Vec::new();
    for (bounds, part) in parts {
        let (from, to) = (bounds.least.x, bounds.most.x);
        let cuts = best_cuts(&bounds, sizes, below, stack);
        layout.close_joints += close(&cuts, below, sizes.stagger);
        let ends: Vec<i64> = [from].into_iter().chain(cuts.iter().copied()).chain([to]).collect();
        for pair in ends.windows(2) {
            let cell = Region::of_box(Point::new(pair[0], bounds.least.y), Point::new(pair[1], bounds.most.y));
            place(&part.intersect(&cell), row, sizes, stack, layout);
        }
        let across = |&x: &i64| part.clip_line(Point::new(x, bounds.least.y), Point::new(x, bounds.most.y), false);
        layout.joints.extend(cuts.iter().flat_map(across));
        joints.extend(cuts);
    }
    joints
}

/// Where the boards of a part end: the start that breaks the fewest rules, then puts the least of its joints over
/// others, then opens the fewest boards, then makes the fewest pieces, then starts longest.
fn best_cuts(bounds: &Bounds, sizes: &Sizes, below: &[i64], stack: &OpenedSlabs) -> Vec<i64> {
    const STEP: i64 = 50;
    let (from, to, width) = (bounds.least.x, bounds.most.x, bounds.most.y - bounds.least.y);
    let starts = (0..).map(|i| sizes.length - i * STEP).take_while(|s| *s >= sizes.shortest);
    let offcuts = stack.offcuts.iter().map(|o| o.length).filter(|l| *l >= sizes.shortest && *l <= sizes.length);
    let starts: BTreeSet<i64> = starts.chain(offcuts).collect();
    let around = upright(&sizes.around, bounds);
    let broken = |start: i64| {
        let cuts = cuts_from(from, to, start, sizes);
        let last = to - cuts.last().copied().unwrap_or(from);
        let short = usize::from(last < sizes.shortest && !cuts.is_empty());
        let over = |x: &i64| {
            let joint = (Point::new(*x, bounds.least.y), Point::new(*x, bounds.most.y));
            let (left, right) = (x - sizes.apart, x + sizes.apart);
            let near = around.partition_point(|l| l.0.x <= left)..around.partition_point(|l| l.0.x < right);
            too_near(&[joint], around.get(near).unwrap_or_default(), Length::mm(sizes.apart))
        };
        (close(&cuts, below, sizes.stagger) + short, cuts.iter().map(over).sum::<Length>())
    };
    // Opening boards is tried only where nothing before it decides.
    let judged: Vec<_> = starts.into_iter().map(|start| (broken(start), start)).collect();
    let least = judged.iter().map(|(broken, _)| *broken).min();
    let opens = |start: i64| {
        let cuts = cuts_from(from, to, start, sizes);
        let mut tried = stack.clone();
        let ends: Vec<i64> = [from].into_iter().chain(cuts.iter().copied()).chain([to]).collect();
        for pair in ends.windows(2) {
            tried.take(pair[1] - pair[0], width, (sizes.length, sizes.width), sizes.shortest);
        }
        (tried.boards, cuts.len(), -start)
    };
    let good = judged.iter().filter(|(broken, _)| Some(*broken) == least).map(|(_, start)| *start);
    cuts_from(from, to, good.min_by_key(|&start| opens(start)).unwrap_or(sizes.length), sizes)
}

/// The joints that run up through a row, from left to right.
fn upright(joints: &[Joint], row: &Bounds) -> Vec<Joint> {
    let (low, high) = (row.least.y, row.most.y);
    let through = |(a, b): &&Joint| a.x == b.x && a.y.min(b.y) < high && a.y.max(b.y) > low;
    let mut all: Vec<Joint> = joints.iter().filter(through).copied().collect();
    all.sort_by_key(|joint| joint.0.x);
    all
}

fn cuts_from(from: i64, to: i64, start: i64, sizes: &Sizes) -> Vec<i64> {
    (0..).map(|i| from + start + i * sizes.length).take_while(|at| *at < to).collect()
}

/// How many joints stand too close to one of the row below.
fn close(cuts: &[i64], below: &[i64], stagger: i64) -> usize {
    cuts.iter().filter(|c| below.iter().any(|b| (*c - b).abs() < stagger)).count()
}

/// Places what the outline leaves of one board. One that would lie all round an opening is parted at both its sides: nobody lowers it
/// over a kerb or a dome, and what is left beside the hole breaks.
fn place(piece: &Region, row: usize, sizes: &Sizes, stack: &mut OpenedSlabs, layout: &mut InsulationLayout) {
    let Some(Bounds { least, most }) = piece.bounds() else { return };
    let board = stack.take(most.x - least.x, most.y - least.y, (sizes.length, sizes.width), sizes.shortest);
    let holes = piece.polygons().iter().flat_map(|polygon| polygon.iter().skip(1));
    let holes = holes.filter_map(|ring| bounds_of(ring.iter().copied()));
    // Over a pipe it is lowered.
    let opens = |hole: &Bounds| sizes.openings.contains(hole);
    let sides: BTreeSet<i64> = holes.filter(opens).flat_map(|b| [b.least.x, b.most.x]).collect();
    let upright = |&x: &i64| piece.clip_line(Point::new(x, least.y), Point::new(x, most.y), false);
    layout.joints.extend(sides.iter().flat_map(upright));
    let ends: Vec<i64> = [least.x].into_iter().chain(sides).chain([most.x]).collect();
    for pair in ends.windows(2) {
        let part = piece.intersect(&Region::of_box(Point::new(pair[0], least.y), Point::new(pair[1], most.y)));
        // A piece that no opening lies in stays one, whatever its outline.
        let polygons = part.polygons().iter().cloned();
        let parts: Vec<Vec<Vec<Point>>> =
            if ends.len() > 2 { polygons.collect() } else { vec![polygons.flatten().collect()] };
        for rings in parts {
            let Some(b) = bounds_of(rings.iter().flatten().copied()) else { continue };
            let (length, width) = (Length::mm(b.most.x - b.least.x), Length::mm(b.most.y - b.least.y));
            layout.pieces.push(InsulationPiece { mark: String::new(), row, rings, length, width, board });
        }
    }
}

/// Cuts the vapour layer in strips along the low edge: turned up round the insulation by its thickness and the rule's
/// upturn, lapped at sides and ends.
pub fn lay_vapour(
    shape: &RoofShape,
    layer: &VapourLayer,
    insulation: &InsulationBoard,
    rules: &Rules,
) -> Vec<VapourStrip> {
    let surface = SlabFrame::of(shape).surface(shape);
    let Some(Bounds { least, most }) = surface.bounds() else {
        return Vec::new();
    };
    let lap = rules.vapour_lap.as_mm();
    let thickness = insulation.sheet.thickness.as_mm().ceil().to_i64().unwrap_or(0);
    let upturn = thickness + rules.vapour_upturn.as_mm();
    let pitch = (layer.roll_width.as_mm() - lap).max(1);
    let count = div_ceil(most.y - least.y + 2 * upturn - lap, pitch).max(1);
    let strip = |i: i64| {
        let low = (least.y - upturn + i * pitch).clamp(least.y, most.y - 1);
        let high = (least.y - upturn + i * pitch + layer.roll_width.as_mm()).clamp(low + 1, most.y.max(low + 1));
        let band = surface.intersect(&Region::of_box(Point::new(least.x, low), Point::new(most.x, high)));
        let along = band.bounds().map_or(0, |b| b.most.x - b.least.x) + 2 * upturn;
        let laps = div_ceil(along - lap, (layer.roll_length.as_mm() - lap).max(1)).max(1) - 1;
        VapourStrip { length: Length::mm(along + laps * lap), width: layer.roll_width, laps }
    };
    (0..count).map(strip).collect()
}
