//! A sheet to draw on: marks, and the ground that text has taken.
//!
//! Given lines, areas and words at places on paper; gives a scene whose size is found from what is on it, so that
//! nothing can lie outside. Text widths come from a table of the bundled bold face, which is never narrower than the
//! regular one by much: a label takes at least the room that it is given here.

use super::squares::{Squares, level_squares};
use crate::pages::scene::{Anchor, Ink, Mark, Pen, Scene, Spot};
use std::cell::RefCell;

/// A unit direction on paper; y runs down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Way {
    /// From one spot towards another; straight right where they are the same.
    pub fn between(a: Spot, b: Spot) -> Way {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let long = dx.hypot(dy);
        if long < 1e-9 { Way { x: 1.0, y: 0.0 } } else { Way { x: dx / long, y: dy / long } }
    }

    /// Turned a quarter clockwise as seen on paper: the outside of an outline that is walked anticlockwise.
    pub fn right(self) -> Way {
        Way { x: -self.y, y: self.x }
    }

    /// The other way.
    pub fn back(self) -> Way {
        Way { x: -self.x, y: -self.y }
    }

    /// The turn of text that runs this way, degrees anticlockwise, never upside down: upwards along an edge that is upright
    /// or, as roofs are out of square, nearly so.
    pub fn text_turn(self) -> f64 {
        let degrees = (-self.y).atan2(self.x).to_degrees();
        match degrees {
            d if d > 90.0 + OUT_OF_SQUARE => d - 180.0,
            d if d <= OUT_OF_SQUARE - 90.0 => d + 180.0,
            d => d,
        }
    }
}

/// So far past upright, degrees, text still reads upwards.
const OUT_OF_SQUARE: f64 = 10.0;

/// A spot from its coordinates.
pub const fn spot(x: f64, y: f64) -> Spot {
    Spot { x, y }
}

/// The spot `far` pt from `from` along `way`.
pub fn go(from: Spot, way: Way, far: f64) -> Spot {
    spot(from.x + way.x * far, from.y + way.y * far)
}

/// The spot part `t` of the way from `a` to `b`.
pub fn part(a: Spot, b: Spot, t: f64) -> Spot {
    spot(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t)
}

/// How far apart two spots are, pt.
pub fn apart(a: Spot, b: Spot) -> f64 {
    (b.x - a.x).hypot(b.y - a.y)
}

/// A full line.
pub const fn pen(ink: Ink, width: f64) -> Pen {
    Pen { ink, width, dash: None }
}

/// A broken line.
pub const fn dashes(ink: Ink, width: f64, dash: f64, gap: f64) -> Pen {
    Pen { ink, width, dash: Some((dash, gap)) }
}

/// Four corners in order: the ground that a text takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quad {
    /// The corners.
    pub corners: [Spot; 4],
    /// The level box round them.
    low: Spot,
    high: Spot,
    /// Whether it is that box.
    level: bool,
}

impl Quad {
    /// The box with these corners, in order.
    pub fn of(corners: [Spot; 4]) -> Quad {
        let (low, high) = level_box(&corners);
        let [a, b, c, d] = corners;
        let level = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
        Quad { corners, low, high, level: level && high.x - low.x > 1e-6 && high.y - low.y > 1e-6 }
    }

    /// The box round `middle`, `width` along `way` and `height` across it.
    pub fn about(middle: Spot, way: Way, width: f64, height: f64) -> Quad {
        let (w, h) = (width / 2.0, height / 2.0);
        if way == (Way { x: 1.0, y: 0.0 }) {
            return Quad::level(spot(middle.x - w, middle.y - h), spot(middle.x + w, middle.y + h));
        }
        let corner = |a: f64, b: f64| go(go(middle, way, a * w), way.right(), b * h);
        Quad::of([corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)])
    }

    /// The level box from one corner to the other, which lies to the right of it and below.
    fn level(low: Spot, high: Spot) -> Quad {
        let level = high.x - low.x > 1e-6 && high.y - low.y > 1e-6;
        Quad { corners: [low, spot(high.x, low.y), high, spot(low.x, high.y)], low, high, level }
    }

    /// The sides.
    pub fn sides(&self) -> [(Spot, Spot); 4] {
        let c = &self.corners;
        [(c[0], c[1]), (c[1], c[2]), (c[2], c[3]), (c[3], c[0])]
    }

    /// Whether two boxes share ground (separating axes: no side of either lies between them).
    pub fn overlaps(&self, other: &Quad) -> bool {
        self.boxes_meet(other) && !self.stands_clear(other) && !other.stands_clear(self)
    }

    /// Whether the level boxes round the two meet: a quick no for most pairs.
    fn boxes_meet(&self, other: &Quad) -> bool {
        let meet = |f: fn(Spot) -> f64| f(self.low) <= f(other.high) && f(other.low) <= f(self.high);
        meet(|s| s.x) && meet(|s| s.y)
    }

    /// Whether a spot lies in the level box: a quick no for most.
    fn may_cover(&self, s: Spot) -> bool {
        self.low.x <= s.x && s.x <= self.high.x && self.low.y <= s.y && s.y <= self.high.y
    }

    fn stands_clear(&self, other: &Quad) -> bool {
        // The sides of a level box look along the page, where the shadows are known.
        if self.level {
            let clear = |f: fn(Spot) -> f64| is_beside((f(self.low), f(self.high)), (f(other.low), f(other.high)));
            return clear(|s| s.x) || clear(|s| s.y);
        }
        self.sides().iter().any(|&(a, b)| {
            let way = Way::between(a, b).right();
            is_beside(shadow(&self.corners, way), shadow(&other.corners, way))
        })
    }

    /// Whether a line runs through the box.
    pub fn meets_line(&self, a: Spot, b: Spot) -> bool {
        let beyond = |f: fn(Spot) -> f64| f(self.high) < f(a).min(f(b)) || f(self.low) > f(a).max(f(b));
        if beyond(|s| s.x) || beyond(|s| s.y) {
            return false;
        }
        self.shares_ground_with(a, b) || self.covers(a) || self.covers(b)
    }

    /// As [`Quad::overlaps`] of a box without width.
    fn shares_ground_with(&self, a: Spot, b: Spot) -> bool {
        let line = Quad::of([a, b, b, a]);
        let ends_clear = || is_beside((line.low.y, line.high.y), (self.low.y, self.high.y));
        let way = Way::between(a, b).right();
        let side_clear = || is_beside(shadow(&[a, b], way), shadow(&self.corners, way));
        self.boxes_meet(&line) && !self.stands_clear(&line) && !ends_clear() && !side_clear()
    }

    /// The squares of paper that the level box round it touches.
    fn squares(&self) -> impl Iterator<Item = (i32, i32)> + use<> {
        level_squares(self.low, self.high, SQUARE)
    }

    /// Whether a spot lies in the box.
    pub fn covers(&self, s: Spot) -> bool {
        inside(&self.corners, s)
    }
}

/// What spots cover of an axis along `way`.
fn shadow(spots: &[Spot], way: Way) -> (f64, f64) {
    let along = |s: &Spot| s.x * way.x + s.y * way.y;
    spots.iter().map(along).fold((f64::INFINITY, f64::NEG_INFINITY), least_and_most)
}

/// Whether one shadow ends before the other begins.
fn is_beside((low, high): (f64, f64), (other_low, other_high): (f64, f64)) -> bool {
    other_low >= high - 1e-6 || other_high <= low + 1e-6
}

/// Whether a spot lies inside a ring (even–odd rule).
pub fn inside(ring: &[Spot], s: Spot) -> bool {
    crossings(ring, s.y).filter(|x| s.x < *x).count() % 2 == 1
}

/// Where a level line goes through the sides of a ring.
fn crossings(ring: &[Spot], y: f64) -> impl Iterator<Item = f64> {
    let sides = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]));
    sides.filter(move |(a, b)| (a.y > y) != (b.y > y)).map(move |(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
}

/// What is seen along a level line: where each stretch begins, from the left, and what is seen up to the next.
#[derive(Debug)]
pub struct InksAlong {
    stretches: Vec<(f64, Option<Ink>)>,
}

impl InksAlong {
    /// What is seen at one place of the line.
    pub fn at(&self, x: f64) -> Option<Ink> {
        let after = self.stretches.partition_point(|(begin, _)| *begin <= x);
        after.checked_sub(1).and_then(|here| self.stretches[here].1)
    }
}

/// Advance widths of the bundled bold face for the characters from space to tilde, thousandths of the size.
const WIDTHS: [u16; 95] = [
    260, 286, 472, 646, 572, 901, 750, 266, 339, 339, 545, 572, 285, 322, 285, 413, 572, 572, 572, 572, 572, 572, 572,
    572, 572, 572, 285, 285, 572, 572, 572, 477, 897, 690, 672, 637, 740, 560, 549, 724, 765, 389, 331, 664, 565, 943,
    813, 796, 628, 796, 660, 551, 579, 756, 650, 967, 667, 624, 579, 331, 413, 331, 572, 411, 362, 604, 633, 514, 633,
    591, 387, 633, 657, 305, 305, 620, 305, 982, 657, 619, 633, 633, 454, 497, 434, 657, 569, 856, 578, 569, 488, 394,
    551, 394, 572,
];

/// The width that a text takes at a size, pt; never less than it will be printed.
pub fn text_width(text: &str, size: f64) -> f64 {
    text_units(text) * size / 1000.0
}

/// The same in thousandths of the size: a whole number.
pub fn text_units(text: &str) -> f64 {
    let of = |c: char| (c as usize).checked_sub(32).and_then(|i| WIDTHS.get(i)).map_or(900, |width| u64::from(*width));
    text.chars().map(of).sum::<u64>() as f64
}

/// The ground that a text mark takes; `None` for any other mark.
pub fn text_box(mark: &Mark) -> Option<Quad> {
    let Mark::Text { at, text, size, anchor, turn, .. } = mark else { return None };
    let way = Way { x: turn.to_radians().cos(), y: -turn.to_radians().sin() };
    let width = text_width(text, *size);
    let shift = match anchor {
        Anchor::Start => width / 2.0,
        Anchor::Middle => 0.0,
        Anchor::End => -width / 2.0,
    };
    // Letters stand from 0.24 of the size below the baseline to 0.78 above it.
    let middle = go(go(*at, way, shift), way.right(), -0.27 * size);
    Some(Quad::about(middle, way, width, 1.02 * size))
}

/// A sheet.
#[derive(Debug, Clone, Default)]
pub struct Drawing {
    marks: Vec<Mark>,
    /// Ground that is taken, and that of words, by the squares of paper that they touch: a large plan has hundreds.
    taken: Squares<Quad>,
    words: Squares<Quad>,
    /// Lines to be kept clear, each whole by the squares that it runs through.
    lines: Squares<(Spot, Spot)>,
    /// Lines that can be seen, and what is filled darkly: no label without a ground stands on either.
    strokes: Vec<(Spot, Spot)>,
    /// The same cut into short parts, by the squares of paper that they touch: a large plan has thousands. Known of those that had
    /// been drawn when somebody asked: most drawings are never asked.
    squares: RefCell<StrokesBySquare>,
    /// Each with the level box round it.
    dark: Vec<(Quad, Vec<Spot>)>,
    /// The level box round each filled area, and which mark it is.
    filled: Vec<(Quad, usize)>,
    /// Lengths on it are 1 to this of what they show.
    pub scale: Option<f64>,
}

/// Lines by the squares of paper that they touch, and how many lines these are.
#[derive(Debug, Clone, Default)]
struct StrokesBySquare {
    known: usize,
    parts: Squares<(Spot, Spot)>,
}

impl StrokesBySquare {
    /// Of all lines, those with them that were drawn since.
    fn with_all(&mut self, strokes: &[(Spot, Spot)]) -> &Squares<(Spot, Spot)> {
        for &(a, b) in &strokes[self.known..] {
            for ends in parts_of(a, b) {
                squares_of(ends.0, ends.1).for_each(|square| self.parts.put(square, ends));
            }
        }
        self.known = strokes.len();
        &self.parts
    }
}

/// A side of the squares of paper by which lines are found, pt.
const SQUARE: f64 = 24.0;

/// The squares that the level box round a line touches.
fn squares_of(a: Spot, b: Spot) -> impl Iterator<Item = (i32, i32)> + use<> {
    level_squares(spot(a.x.min(b.x), a.y.min(b.y)), spot(a.x.max(b.x), a.y.max(b.y)), SQUARE)
}

/// A line cut into parts no longer than a square of paper.
fn parts_of(a: Spot, b: Spot) -> impl Iterator<Item = (Spot, Spot)> {
    let parts = ((apart(a, b) / SQUARE).ceil() as usize).clamp(1, 10_000);
    let at = move |i: usize| part(a, b, i as f64 / parts as f64);
    (0..parts).map(move |i| (at(i), at(i + 1)))
}

/// Puts a box into every square of paper that it touches.
fn put(squared: &mut Squares<Quad>, quad: Quad) {
    quad.squares().for_each(|square| squared.put(square, quad));
}

/// Black letters are read on what is at least so light.
pub const LIGHT: f64 = 0.65;

/// The corners of a polygon in the place of a circle.
fn round(at: Spot, radius: f64) -> Vec<Spot> {
    let corner = |i: i32| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 16.0).sin_cos();
        spot(at.x + radius * cos, at.y + radius * sin)
    };
    (0..16).map(corner).collect()
}

fn least_and_most((low, high): (f64, f64), next: f64) -> (f64, f64) {
    (low.min(next), high.max(next))
}

/// The level box round some spots: top left and bottom right.
pub fn level_box<'a>(spots: impl IntoIterator<Item = &'a Spot>) -> (Spot, Spot) {
    let outwards = |(low, high): (Spot, Spot), s: &Spot| {
        (spot(low.x.min(s.x), low.y.min(s.y)), spot(high.x.max(s.x), high.y.max(s.y)))
    };
    spots.into_iter().fold((spot(f64::INFINITY, f64::INFINITY), spot(f64::NEG_INFINITY, f64::NEG_INFINITY)), outwards)
}

/// The same as a box.
fn box_round<'a>(spots: impl IntoIterator<Item = &'a Spot>) -> Quad {
    let (low, high) = level_box(spots);
    Quad::level(low, high)
}

/// The sides of a ring.
pub fn ring_sides(ring: &[Spot]) -> impl Iterator<Item = (Spot, Spot)> {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))
}

impl Drawing {
    /// A line.
    pub fn line(&mut self, spots: &[Spot], pen: Pen) {
        if pen.ink != Ink::White {
            spots.windows(2).for_each(|ends| self.stroke(ends[0], ends[1]));
        }
        self.marks.push(Mark::Line { spots: spots.to_vec(), pen });
    }

    /// An area.
    pub fn area(&mut self, rings: Vec<Vec<Spot>>, fill: Option<Ink>, pen: Option<Pen>) {
        self.see(&rings, fill, pen);
        self.mark(Mark::Area { rings, fill, pen });
    }

    /// A circle.
    pub fn circle(&mut self, at: Spot, radius: f64, fill: Option<Ink>, pen: Option<Pen>) {
        self.see(&[round(at, radius)], fill, pen);
        self.marks.push(Mark::Circle { at, radius, fill, pen });
    }

    fn mark(&mut self, mark: Mark) {
        if let Mark::Area { rings, fill: Some(_), .. } = &mark {
            self.filled.push((box_round(rings.iter().flatten()), self.marks.len()));
        }
        self.marks.push(mark);
    }

    /// Remembers what can be seen of an area.
    fn see(&mut self, rings: &[Vec<Spot>], fill: Option<Ink>, pen: Option<Pen>) {
        if pen.is_some_and(|pen| pen.ink != Ink::White) {
            rings.iter().flat_map(|ring| ring_sides(ring)).for_each(|(a, b)| self.stroke(a, b));
        }
        if fill.is_some_and(|ink| ink.lightness() < LIGHT) {
            self.dark.extend(rings.iter().map(|ring| (box_round(ring), ring.clone())));
        }
    }

    fn stroke(&mut self, a: Spot, b: Spot) {
        self.strokes.push((a, b));
    }

    /// A filled triangle that points along `way`, its tip at `tip`.
    pub fn tip(&mut self, tip: Spot, way: Way, long: f64, ink: Ink) {
        let back = go(tip, way, -long);
        let side = long * 0.38;
        self.area(vec![vec![tip, go(back, way.right(), side), go(back, way.right(), -side)]], Some(ink), None);
    }

    /// Words in black, level, that no line may run through.
    pub fn words(&mut self, at: Spot, text: &str, size: f64, bold: bool, anchor: Anchor) {
        self.write(at, text, size, bold, anchor, 0.0, false);
    }

    /// Words in black, turned, on a white ground or none.
    #[expect(clippy::too_many_arguments, reason = "each is one property of a text mark")]
    pub fn write(&mut self, at: Spot, text: &str, size: f64, bold: bool, anchor: Anchor, turn: f64, ground: bool) {
        if text.is_empty() {
            return;
        }
        let mark = Mark::Text { at, text: text.to_owned(), size, bold, ink: Ink::Black, anchor, turn, ground };
        if let Some(quad) = text_box(&mark) {
            put(&mut self.taken, quad);
            put(&mut self.words, quad);
        }
        self.marks.push(mark);
    }

    /// Takes ground, so that no label is put there.
    pub fn take(&mut self, quad: Quad) {
        put(&mut self.taken, quad);
    }

    /// Marks a line that no label may stand on.
    pub fn keep_clear(&mut self, a: Spot, b: Spot) {
        for ends in parts_of(a, b) {
            squares_of(ends.0, ends.1).for_each(|square| self.lines.put(square, (a, b)));
        }
    }

    /// Whether a box is free of text and of lines to be kept clear.
    pub fn is_free(&self, quad: &Quad) -> bool {
        let on_taken = |square| self.taken.at(square).iter().any(|taken| taken.overlaps(quad));
        let on_line = |square| self.lines.at(square).iter().any(|(a, b)| quad.meets_line(*a, *b));
        !quad.squares().any(|square| on_taken(square) || on_line(square))
    }

    /// Whether a line would run through what is taken.
    pub fn crosses_taken(&self, a: Spot, b: Spot) -> bool {
        squares_of(a, b).any(|square| self.taken.at(square).iter().any(|taken| taken.meets_line(a, b)))
    }

    /// Whether a box lies on no line that can be seen and on nothing dark.
    pub fn is_bare(&self, quad: &Quad) -> bool {
        let mut known = self.squares.borrow_mut();
        let by_square = known.with_all(&self.strokes);
        let on_line = |square| by_square.at(square).iter().any(|(a, b)| quad.meets_line(*a, *b));
        !quad.squares().any(on_line) && self.is_light(quad)
    }

    /// Whether a box lies on nothing dark.
    pub fn is_light(&self, quad: &Quad) -> bool {
        let on = |(round, ring): &(Quad, Vec<Spot>)| {
            if !round.boxes_meet(quad) {
                return false;
            }
            quad.corners.iter().any(|c| inside(ring, *c)) || ring_sides(ring).any(|(a, b)| quad.meets_line(a, b))
        };
        !self.dark.iter().any(on)
    }

    /// What is seen at a spot of the areas drawn so far: the fill of the uppermost.
    pub fn ink_at(&self, s: Spot) -> Option<Ink> {
        let near = |(round, _): &&(Quad, usize)| round.may_cover(s);
        self.filled.iter().rev().filter(near).find_map(|&(_, mark)| match &self.marks[mark] {
            Mark::Area { rings, fill, .. } if rings.iter().any(|ring| inside(ring, s)) => *fill,
            _ => None,
        })
    }

    /// What is seen of the areas drawn so far along a level line.
    pub fn inks_along(&self, y: f64) -> InksAlong {
        // Where the line goes through the sides of rings, those of the uppermost first, and where in these those of each ring end.
        let (mut crossed, mut ends) = (Vec::new(), Vec::new());
        for (round, mark) in self.filled.iter().rev() {
            let Mark::Area { rings, fill: Some(fill), .. } = &self.marks[*mark] else { continue };
            if y < round.low.y || round.high.y < y {
                continue;
            }
            for ring in rings {
                crossed.extend(crossings(ring, y));
                ends.push((crossed.len(), *fill));
            }
        }
        let seen = |x: f64| {
            let mut from = 0;
            ends.iter().find_map(|&(to, ink)| {
                let sides = &crossed[std::mem::replace(&mut from, to)..to];
                (sides.iter().filter(|side| x < **side).count() % 2 == 1).then_some(ink)
            })
        };
        let mut stretches: Vec<(f64, Option<Ink>)> = crossed.iter().map(|x| (*x, seen(*x))).collect();
        stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
        InksAlong { stretches }
    }

    /// How many lines that can be seen run through a box.
    pub fn crossed(&self, quad: &Quad) -> usize {
        self.strokes.iter().filter(|(a, b)| quad.meets_line(*a, *b)).count()
    }

    /// Whether a line would run through words.
    pub fn crosses_words(&self, a: Spot, b: Spot) -> bool {
        parts_of(a, b).any(|ends| {
            let met = |words: &Quad| words.meets_line(ends.0, ends.1);
            squares_of(ends.0, ends.1).any(|square| self.words.at(square).iter().any(met))
        })
    }

    /// Whether a box would stand on words.
    pub fn covers_words(&self, quad: &Quad) -> bool {
        quad.squares().any(|square| self.words.at(square).iter().any(|words| words.overlaps(quad)))
    }

    /// The corner boxes of everything drawn so far: top left and bottom right.
    pub fn bounds(&self) -> (Spot, Spot) {
        let mut low = spot(f64::INFINITY, f64::INFINITY);
        let mut high = spot(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (s, by) in self.marks.iter().flat_map(reach) {
            low = spot(low.x.min(s.x - by), low.y.min(s.y - by));
            high = spot(high.x.max(s.x + by), high.y.max(s.y + by));
        }
        if low.x > high.x { (spot(0.0, 0.0), spot(0.0, 0.0)) } else { (low, high) }
    }

    /// The scene: everything drawn, moved so that it begins at the top left.
    pub fn finish(self) -> Scene {
        let (low, high) = self.bounds();
        let marks = self.marks.into_iter().map(|m| moved(m, -low.x, -low.y)).collect();
        Scene { width: high.x - low.x, height: high.y - low.y, marks, scale: self.scale }
    }

    /// Makes every line thinner, by a factor: for a drawing that is small on paper.
    pub fn thin_out(&mut self, by: f64) {
        for mark in &mut self.marks {
            match mark {
                Mark::Line { pen, .. } | Mark::Area { pen: Some(pen), .. } | Mark::Circle { pen: Some(pen), .. } => {
                    pen.width *= by;
                }
                _ => {}
            }
        }
    }

    /// Adds another sheet, moved.
    pub fn add(&mut self, other: Drawing, right: f64, down: f64) {
        let shift = |s: Spot| spot(s.x + right, s.y + down);
        other.strokes.iter().for_each(|(a, b)| self.stroke(shift(*a), shift(*b)));
        self.dark.extend(other.dark.into_iter().map(|(_, ring)| {
            let ring: Vec<Spot> = ring.into_iter().map(shift).collect();
            (box_round(&ring), ring)
        }));
        let marks: Vec<Mark> = other.marks.into_iter().map(|m| moved(m, right, down)).collect();
        marks.iter().filter_map(text_box).for_each(|quad| put(&mut self.words, quad));
        marks.into_iter().for_each(|mark| self.mark(mark));
    }
}

/// Every spot that a mark touches, with how far it reaches round it.
pub fn reach(mark: &Mark) -> Vec<(Spot, f64)> {
    match mark {
        Mark::Line { spots, pen } => spots.iter().map(|s| (*s, pen.width / 2.0)).collect(),
        Mark::Area { rings, pen, .. } => {
            let by = pen.map_or(0.0, |p| p.width / 2.0);
            rings.iter().flatten().map(|s| (*s, by)).collect()
        }
        Mark::Circle { at, radius, pen, .. } => vec![(*at, radius + pen.map_or(0.0, |p| p.width / 2.0))],
        Mark::Text { .. } => text_box(mark).iter().flat_map(|q| q.corners).map(|c| (c, 0.0)).collect(),
    }
}

fn moved(mark: Mark, right: f64, down: f64) -> Mark {
    let shift = |s: Spot| spot(s.x + right, s.y + down);
    let all = |spots: Vec<Spot>| spots.into_iter().map(shift).collect::<Vec<_>>();
    match mark {
        Mark::Line { spots, pen } => Mark::Line { spots: all(spots), pen },
        Mark::Area { rings, fill, pen } => Mark::Area { rings: rings.into_iter().map(all).collect(), fill, pen },
        Mark::Circle { at, radius, fill, pen } => Mark::Circle { at: shift(at), radius, fill, pen },
        Mark::Text { at, text, size, bold, ink, anchor, turn, ground } => {
            Mark::Text { at: shift(at), text, size, bold, ink, anchor, turn, ground }
        }
    }
}
