//! What edge battens and edge timber are cut from: side by side along the roofs, each offcut begun with on the next side.
//!
//! Given the laid roofs and the length in which the timber is sold; gives the pieces of each side and layer in the order of cutting, and
//! how much more must be bought than the firm's share for waste where whole lengths do not give them. Pieces butt, and each takes
//! two screws at least: none is shorter than the screws stand apart, unless its side is.
//!
//! Sides are measured to the outside of the battens. So at a square corner the battens of one side run on to it and those of the
//! other stop at their backs; edge timber, which stands behind the battens, is as long as its own outer face.

use super::RoofLayout;
use super::over_deck::height_of;
use super::shape::{Direction, RoofShape, Side, batten_depth, batten_layers};
use crate::model::{Finish, Length, Products, Role, Roof, Rules};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// One layer along one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EdgeRun {
    /// The side, by its place in the outline.
    pub side: usize,
    /// How far from the side's start it begins, before it where negative.
    pub at: Length,
    /// Its pieces from there.
    pub pieces: Vec<EdgePiece>,
}

/// One piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EdgePiece {
    /// Its length.
    pub length: Length,
    /// The length that it is cut from, from 0, over all roofs.
    pub bar: usize,
}

/// The pieces of one roof from one timber.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct EdgeCuts {
    /// The length in which it is sold; none where it is sold in several, or cut to any: then nothing is listed.
    pub stock: Option<Length>,
    /// Layer by layer of each side.
    pub runs: Vec<EdgeRun>,
    /// What must be bought over the run and its waste, m.
    pub more: Decimal,
}

impl EdgeCuts {
    /// Layer by layer, what stands along a side of so many layers: its pieces where they are listed, else each layer in one.
    pub fn along(&self, side: usize, run: Length, layers: u32) -> Vec<Vec<Length>> {
        let listed = self.runs.iter().filter(|cut| cut.side == side);
        match self.stock {
            Some(_) => listed.map(|cut| cut.pieces.iter().map(|piece| piece.length).collect()).collect(),
            None => (0..layers).map(|_| vec![run]).collect(),
        }
    }
}

/// What is cut for one roof.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RoofEdgeCuts {
    /// Edge battens.
    pub battens: EdgeCuts,
    /// Edge timber round insulation.
    pub timber: EdgeCuts,
}

/// The pieces of every roof.
pub fn plan(roofs: &[Roof], laid: &[RoofLayout], rules: &Rules, products: &Products) -> Vec<RoofEdgeCuts> {
    let mut battens = Saw::new(products.one_length.get(&Role::EdgeBatten).copied(), rules);
    let mut timber: BTreeMap<Length, Saw> = BTreeMap::new();
    let of = |(roof, laid): (&Roof, &RoofLayout)| RoofEdgeCuts {
        battens: battens.cut(&batten_runs(laid, rules), rules),
        timber: match insulated(roof, laid) {
            Some(height) => {
                let stock = || Saw::new(products.one_length.get(&Role::EdgeTimber).copied(), rules);
                timber.entry(height).or_insert_with(stock).cut(&timber_runs(laid, rules), rules)
            }
            None => EdgeCuts::default(),
        },
    };
    roofs.iter().zip(laid).map(of).collect()
}

/// How high the insulation is that edge timber stands along.
fn insulated(roof: &Roof, laid: &RoofLayout) -> Option<Length> {
    laid.over.as_ref()?;
    Some(height_of([Some(&roof.warm()?.insulation.as_ref()?.sheet)]))
}

/// What stands along a side: how far from the side's start it begins, how long it is, and how long the side is measured, which is bought.
#[derive(Clone, Copy)]
struct EdgeStretch {
    side: usize,
    at: Length,
    long: Length,
    run: Length,
}

impl EdgeStretch {
    /// With what its ends lie further in than the side's.
    fn of(shape: &RoofShape, side: usize, [start, end]: [Length; 2]) -> EdgeStretch {
        let run = shape.sides[side].run;
        let long = run - start - end;
        // What stands along a side that is shorter than that is cut where it is fitted.
        let (at, long) = if long > Length::ZERO { (start, long) } else { (Length::ZERO, run) };
        EdgeStretch { side, at, long, run }
    }
}

/// The sides before and after one.
fn beside(shape: &RoofShape, side: usize) -> [usize; 2] {
    let n = shape.sides.len().max(1);
    [(side + n - 1) % n, (side + 1) % n]
}

/// The cosine and the sine of how far the outline turns from one side to another; the sine is negative where it turns in.
fn turn(shape: &RoofShape, from: usize, to: usize) -> (f64, f64) {
    let [a, b] = [from, to].map(|i| Direction::along(shape.sides[i].from, shape.sides[i].to));
    (a.x * b.x + a.y * b.y, a.x * b.y - a.y * b.x)
}

fn batten_runs(laid: &RoofLayout, rules: &Rules) -> Vec<EdgeStretch> {
    let shape = &laid.shape;
    let layers = |side: usize| batten_layers(shape.sides[side].finish, rules);
    // Of two that meet, the thicker runs on.
    let runs_on = |side: usize, other: usize| (layers(side), other) > (layers(other), side);
    let of = |i: usize| {
        let [before, after] = beside(shape, i);
        let inset = |other: usize, (cos, sin): (f64, f64)| {
            let depth = batten_depth(shape.sides[other].finish, rules);
            match (cos.abs() <= SQUARE, sin > 0.0, runs_on(i, other)) {
                (true, true, false) => depth,
                (true, false, true) => Length::ZERO - depth,
                _ => Length::ZERO,
            }
        };
        EdgeStretch::of(shape, i, [inset(before, turn(shape, before, i)), inset(after, turn(shape, i, after))])
    };
    (0..shape.sides.len()).flat_map(|i| (0..layers(i)).map(move |_| of(i))).collect()
}

/// The cosine of the angle by which a corner may be out of square: 10°. At others battens are cut where they are fitted.
const SQUARE: f64 = 0.174;

/// Whether edge timber stands along a side of a warm roof.
pub const fn is_timbered(side: &Side) -> bool {
    matches!(side.finish, Finish::Drip | Finish::Gutter | Finish::Raised)
}

/// Edge timber has its face behind the battens of its side and ends at the faces behind those of the next.
fn timber_runs(laid: &RoofLayout, rules: &Rules) -> Vec<EdgeStretch> {
    let shape = &laid.shape;
    let depth = |side: usize| batten_depth(shape.sides[side].finish, rules).as_mm() as f64;
    let of = |i: usize| {
        let inset = |other: usize, (cos, sin): (f64, f64)| {
            let in_line = sin.abs() <= IN_LINE;
            Length::mm(if in_line { 0 } else { ((depth(other) - depth(i) * cos) / sin).round() as i64 })
        };
        let [before, after] = beside(shape, i);
        EdgeStretch::of(shape, i, [inset(before, turn(shape, before, i)), inset(after, turn(shape, i, after))])
    };
    (0..shape.sides.len()).filter(|i| is_timbered(&shape.sides[*i])).map(of).collect()
}

/// The sine of the angle up to which two sides lie on one line.
const IN_LINE: f64 = 0.17;

/// How far the cutting of one timber has come.
struct Saw {
    stock: Option<Length>,
    least: Length,
    kerf: Length,
    /// What is left of the length that is being cut.
    left: Length,
    /// Lengths begun.
    bars: usize,
    /// Metres asked for.
    asked: Decimal,
}

impl Saw {
    fn new(stock: Option<Length>, rules: &Rules) -> Saw {
        let stock = stock.filter(|stock| *stock >= rules.batten_fixing * 2);
        Saw { stock, least: rules.batten_fixing, kerf: rules.kerf, left: Length::ZERO, bars: 0, asked: Decimal::ZERO }
    }

    fn cut(&mut self, sides: &[EdgeStretch], rules: &Rules) -> EdgeCuts {
        let Some(stock) = self.stock else { return EdgeCuts::default() };
        let runs =
            sides.iter().map(|of| EdgeRun { side: of.side, at: of.at, pieces: self.pieces(of.long, stock) }).collect();
        let run: Decimal = sides.iter().map(|of| of.run.metres()).sum();
        self.asked += run + run * rules.batten_waste / Decimal::ONE_HUNDRED;
        let begun = Decimal::from(self.bars);
        let enough = (self.asked / stock.metres()).ceil() >= begun;
        let more = if enough { Decimal::ZERO } else { begun * stock.metres() - self.asked };
        self.asked += more;
        EdgeCuts { stock: Some(stock), runs, more }
    }

    fn pieces(&mut self, run: Length, stock: Length) -> Vec<EdgePiece> {
        let (mut rest, mut pieces) = (run, Vec::new());
        while rest > Length::ZERO {
            if self.left < self.least.min(rest) || self.left < rest && rest < self.least * 2 {
                self.left = stock;
                self.bars += 1;
            }
            // What would leave too short an end is cut back by as much.
            let spare = rest - self.left;
            let short = Length::ZERO < spare && spare < self.least;
            let length = if short { rest - self.least } else { self.left.min(rest) };
            pieces.push(EdgePiece { length, bar: self.bars - 1 });
            rest -= length;
            self.left = (self.left - length - self.kerf).max(Length::ZERO);
        }
        pieces
    }
}
