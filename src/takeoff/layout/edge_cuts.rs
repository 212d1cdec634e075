//! What edge battens and edge timber are cut from: side by side along the roofs, each offcut begun with on the next side.
//!
//! Given the laid roofs and the length in which the timber is sold; gives the pieces of each side and layer in the order of cutting, and
//! how much more must be bought than the firm's share for waste where whole lengths do not give them. Pieces butt, and each takes
//! two screws at least: none is shorter than the screws stand apart, unless its side is.

use super::RoofLayout;
use super::over_deck::height_of;
use super::shape::{Side, batten_layers};
use crate::model::{Finish, Length, Products, Role, Roof, Rules};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// One layer along one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EdgeRun {
    /// The side, by its place in the outline.
    pub side: usize,
    /// Its pieces from the side's start.
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
                timber.entry(height).or_insert_with(stock).cut(&timber_runs(laid), rules)
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

fn batten_runs(laid: &RoofLayout, rules: &Rules) -> Vec<(usize, Length)> {
    let sides = laid.shape.sides.iter().enumerate();
    sides.flat_map(|(i, side)| (0..batten_layers(side.finish, rules)).map(move |_| (i, side.run))).collect()
}

/// Whether edge timber stands along a side of a warm roof.
pub const fn is_timbered(side: &Side) -> bool {
    matches!(side.finish, Finish::Drip | Finish::Gutter | Finish::Raised)
}

fn timber_runs(laid: &RoofLayout) -> Vec<(usize, Length)> {
    laid.shape.sides.iter().enumerate().filter(|(_, side)| is_timbered(side)).map(|(i, side)| (i, side.run)).collect()
}

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

    fn cut(&mut self, sides: &[(usize, Length)], rules: &Rules) -> EdgeCuts {
        let Some(stock) = self.stock else { return EdgeCuts::default() };
        let runs = sides.iter().map(|&(side, run)| EdgeRun { side, pieces: self.pieces(run, stock) }).collect();
        let run: Decimal = sides.iter().map(|(_, run)| run.metres()).sum();
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
