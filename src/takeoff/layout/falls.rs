//! Falls: how high every corner stands, and the firrings that make the fall.
//!
//! Given the roof's shape and its fall; gives heights above the low line in whole millimetres, rounded up, and what is
//! left of an upstand once the roof is built up. A joist along
//! the fall takes a tapered firring; one across it takes a level one, as deep as the roof is high there. A firring
//! tapers to nothing at the low line. Sizes that differ by no more than the rules are one size, the largest of them: what
//! is over is cut off on the joist.

use super::Firring;
use super::deck::joist_lines;
use super::over_deck;
use super::shape::{RoofShape, Side};
use crate::geometry::segment::distance;
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Length, Point, Roof, Rules};
use rust_decimal::prelude::ToPrimitive;

/// Height of each corner of the outline above the low line, in the order of `shape.corners`.
pub fn heights(shape: &RoofShape, roof: &Roof) -> Vec<Length> {
    shape.corners.iter().map(|c| height(shape, roof, c.at)).collect()
}

/// Rise = plan distance up the fall ÷ the fall's run, rounded up to a whole millimetre.
pub fn height(shape: &RoofShape, roof: &Roof, p: Point) -> Length {
    let run = roof.fall.run.to_f64().filter(|r| *r > 0.0).unwrap_or(f64::INFINITY);
    let rise = shape.up_from_low(p) / run;
    // A thousandth of a millimetre is rounding, not height.
    Length::mm((rise - 1e-3).ceil().max(0.0) as i64)
}

/// What an edge is raised by: firring at its higher end, the board, and what lies over the deck.
pub fn raised_by(shape: &RoofShape, roof: &Roof, board: Option<&Board>, side: &Side) -> (Length, Length, Length) {
    let thickness = board.filter(|_| roof.deck.action != DeckAction::Keep).map_or(Length::ZERO, |b| b.thickness);
    let firring = match roof.deck.action {
        DeckAction::New => height(shape, roof, side.from).max(height(shape, roof, side.to)),
        DeckAction::Overlay | DeckAction::Keep => Length::ZERO,
    };
    (firring, thickness, over_deck::height(roof))
}

/// What is left of the surveyed upstand of an edge above the finished roof; `None` where none was surveyed.
pub fn upstand_left(shape: &RoofShape, roof: &Roof, board: Option<&Board>, edge: usize) -> Option<Length> {
    let (side, surveyed) = (shape.sides.get(edge)?, roof.outline.edges.get(edge)?.upstand?);
    let (firring, thickness, over) = raised_by(shape, roof, board, side);
    Some(surveyed - firring - thickness - over)
}

/// One firring a joist, from its low end to its high end. Only a new deck takes firrings; a joist that lies on the low
/// line needs none, and one that nowhere wants as much as the rule is packed or planed on site.
pub fn firrings(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Vec<Firring> {
    let wanted = wanted(shape, roof).filter(|f| f.high_depth >= rules.firring_toe);
    in_sizes(wanted.collect(), rules)
}

/// How many joists are packed or planed, because they nowhere want as much as a firring takes.
pub fn packed(shape: &RoofShape, roof: &Roof, rules: &Rules) -> usize {
    wanted(shape, roof).filter(|f| f.high_depth < rules.firring_toe).count()
}

/// What each joist of a new deck wants to the millimetre; nothing on the low line.
fn wanted<'a>(shape: &'a RoofShape, roof: &'a Roof) -> impl Iterator<Item = Firring> + 'a {
    let firring = move |(a, b): (Point, Point)| {
        let (from, to) = if shape.up_from_low(a) <= shape.up_from_low(b) { (a, b) } else { (b, a) };
        Firring {
            from,
            to,
            length: distance(a, b),
            low_depth: height(shape, roof, from),
            high_depth: height(shape, roof, to),
        }
    };
    let joists = if roof.deck.action == DeckAction::New { joist_lines(shape, roof) } else { Vec::new() };
    joists.into_iter().map(firring).filter(|f| f.high_depth > Length::ZERO)
}

/// Firrings of one size as they are ordered: the largest of what each of them wants.
struct FirringSize {
    /// Length, depth at the low end, depth at the high end.
    least: [Length; 3],
    most: [Length; 3],
    members: Vec<usize>,
}

impl FirringSize {
    /// Whether one more can be of this size, with lengths and depths so far apart at most.
    fn takes(&self, size: [Length; 3], apart: [Length; 3]) -> bool {
        // A level firring is not cut from a tapered one.
        let level = |s: [Length; 3]| s[1] == s[2];
        let near = (0..3).all(|i| self.most[i].max(size[i]) - self.least[i].min(size[i]) <= apart[i]);
        near && level(self.most) == level(size)
    }
}

/// Gives each firring the size in which it is ordered. The longest come first, so that a size is made of the longest that
/// are left and of what lies near them.
fn in_sizes(mut firrings: Vec<Firring>, rules: &Rules) -> Vec<Firring> {
    let apart = [rules.firring_group, rules.firring_step, rules.firring_step];
    let size = |f: &Firring| [f.length, f.low_depth, f.high_depth];
    let mut order: Vec<usize> = (0..firrings.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(size(&firrings[i])), i));
    let mut sizes: Vec<FirringSize> = Vec::new();
    for i in order {
        let own = size(&firrings[i]);
        match sizes.iter_mut().find(|s| s.takes(own, apart)) {
            Some(s) => {
                s.members.push(i);
                for ((least, most), own) in s.least.iter_mut().zip(&mut s.most).zip(own) {
                    (*least, *most) = ((*least).min(own), (*most).max(own));
                }
            }
            None => sizes.push(FirringSize { least: own, most: own, members: vec![i] }),
        }
    }
    for s in sizes {
        for i in s.members {
            [firrings[i].length, firrings[i].low_depth, firrings[i].high_depth] = s.most;
        }
    }
    firrings
}
