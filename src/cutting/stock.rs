//! The classical cutting-stock problem: every piece has its length.
//!
//! Given demands, stock lengths with what one costs, and the kerf; gives the patterns to cut and the proof. A piece
//! that comes out of the very end of a length needs no cut of its own, so a length of `S` holds `n` pieces that add up
//! to `S - (n - 1) · kerf`.

use super::bound::total_weight_bound;
use super::instance::{Bin, Instance, Packed};
use super::packing::{Reason, solve};
use super::proof::Proof;
use crate::model::Length;
use std::collections::BTreeMap;

/// A length wanted so many times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demand {
    /// Its length.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// A stock length; as many as are wanted can be bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StockLength {
    /// Its length.
    pub length: Length,
    /// What one costs: pence, or 1 where lengths are only counted.
    pub cost: u32,
}

/// One way of cutting a stock length, so many times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutPattern {
    /// Which stock length, as given.
    pub stock: usize,
    /// Which demand (as given) how often.
    pub pieces: Vec<(usize, u32)>,
    /// How many stock lengths are cut like this.
    pub times: u32,
}

/// A plan with its proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockPlan {
    /// The patterns.
    pub patterns: Vec<CutPattern>,
    /// Proof that no plan costs less.
    pub proof: Proof,
}

/// Why nothing can be cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StockFault {
    /// No stock length, or one without a length or a cost.
    NoStock,
    /// A negative kerf.
    Kerf,
    /// This demand (as given) has no length.
    NoLength(usize),
    /// This demand is longer than every stock length.
    TooLong(usize),
}

/// Cuts the demands at the least cost, within `effort` units of counted work.
///
/// # Errors
/// What cannot be cut at all.
pub fn cut_stock(
    demands: &[Demand],
    stock: &[StockLength],
    kerf: Length,
    effort: u64,
) -> Result<StockPlan, StockFault> {
    check(demands, stock, kerf)?;
    let wanted = Wanted::of(demands);
    let weights: Vec<i64> = wanted.lengths.iter().map(|l| l + kerf.as_mm()).collect();
    let bins: Vec<Bin> = stock
        .iter()
        .map(|s| Bin { capacity: s.length.as_mm() + kerf.as_mm(), cost: i64::from(s.cost), needs: 0 })
        .collect();
    let instance = Instance {
        demand: wanted.counts.clone(),
        gives: vec![0; wanted.counts.len()],
        own: vec![0; wanted.counts.len()],
        parts_of_cost: bins.iter().map(|b| b.cost).collect(),
        least: total_weight_bound(&weights, &wanted.counts, &bins),
        weights,
        bins,
        question: None,
        answers: Default::default(),
    };
    let outcome = solve(&instance, effort, None);
    let proof = Proof {
        found: outcome.cost,
        bound: outcome.bound,
        reason: reason(outcome.reason, outcome.bound == outcome.cost),
    };
    let packed = outcome.packed.unwrap_or_default();
    Ok(StockPlan { patterns: wanted.shared_out(&merged(packed), demands), proof })
}

fn check(demands: &[Demand], stock: &[StockLength], kerf: Length) -> Result<(), StockFault> {
    let longest = stock.iter().map(|s| s.length).max().ok_or(StockFault::NoStock)?;
    if stock.iter().any(|s| s.length <= Length::ZERO || s.cost == 0) {
        return Err(StockFault::NoStock);
    }
    if kerf < Length::ZERO {
        return Err(StockFault::Kerf);
    }
    for (d, demand) in demands.iter().enumerate() {
        if demand.length <= Length::ZERO {
            return Err(StockFault::NoLength(d));
        }
        if demand.length > longest {
            return Err(StockFault::TooLong(d));
        }
    }
    Ok(())
}

/// In words, for the working.
pub(crate) fn reason(reason: Reason, proven: bool) -> String {
    match (reason, proven) {
        (Reason::Total, _) => "the pieces add up to more than any fewer could give",
        (Reason::Prices, true) => "a whole-number price for each piece, at which no length gives more than its worth",
        (Reason::Prices, false) => "a whole-number price for each piece; the search ended at its limit of work",
        (Reason::Search, _) => "every cheaper plan was tried and ruled out",
    }
    .into()
}

/// Same fillings counted together, in a fixed order.
fn merged(packed: Vec<Packed>) -> Vec<Packed> {
    let mut all: BTreeMap<(usize, Vec<(usize, u32)>), u32> = BTreeMap::new();
    for p in packed {
        *all.entry((p.bin, p.filling)).or_default() += p.times;
    }
    all.into_iter().map(|((bin, filling), times)| Packed { bin, filling, times }).collect()
}

/// Demands of the same length taken together, longest first.
struct Wanted {
    lengths: Vec<i64>,
    counts: Vec<u32>,
}

impl Wanted {
    fn of(demands: &[Demand]) -> Wanted {
        let mut by_length: BTreeMap<i64, u32> = BTreeMap::new();
        for d in demands.iter().filter(|d| d.count > 0) {
            *by_length.entry(d.length.as_mm()).or_default() += d.count;
        }
        let (lengths, counts) = by_length.into_iter().rev().unzip();
        Wanted { lengths, counts }
    }

    /// Patterns in terms of the demands as given: pieces of one length go to the first demand of that length until it
    /// has all it wants.
    fn shared_out(&self, packed: &[Packed], demands: &[Demand]) -> Vec<CutPattern> {
        let mut left: Vec<u32> = demands.iter().map(|d| d.count).collect();
        let mut patterns: Vec<CutPattern> = Vec::new();
        for p in packed {
            for _ in 0..p.times {
                let pieces = self.one_length(p, demands, &mut left);
                match patterns.last_mut().filter(|l| l.stock == p.bin && l.pieces == pieces) {
                    Some(last) => last.times += 1,
                    None => patterns.push(CutPattern { stock: p.bin, pieces, times: 1 }),
                }
            }
        }
        patterns
    }

    fn one_length(&self, packed: &Packed, demands: &[Demand], left: &mut [u32]) -> Vec<(usize, u32)> {
        let mut pieces = Vec::new();
        for &(item, times) in &packed.filling {
            let mut wanted = times;
            for (d, demand) in demands.iter().enumerate().filter(|(_, d)| d.length.as_mm() == self.lengths[item]) {
                let n = wanted.min(left[d]);
                if n > 0 && demand.count > 0 {
                    pieces.push((d, n));
                    left[d] -= n;
                    wanted -= n;
                }
            }
        }
        pieces
    }
}
