//! What noggins, bearers of box gutters and their ledgers are cut from: over all roofs, from the lengths that are sold.
//!
//! Given the laid roofs; gives the lengths to buy. A noggin counts centre to centre of the joists, and so is cut a
//! joist's thickness shorter than it counts here.

use super::RoofLayout;
use super::patches::OldRoofLayout;
use super::timber::cut_from;
use crate::cutting::{CutPattern, Demand, Proof};
use crate::geometry::segment::distance;
use crate::model::products::Stock;
use crate::model::{Length, Rules};
use std::collections::BTreeMap;

/// The lengths to buy, and what is cut from each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NogginPlan {
    /// Whether the proof counts pence (else millimetres bought).
    pub in_pence: bool,
    /// Each length as bought, and what is cut from it, longest first.
    pub bars: Vec<(Length, Vec<Length>)>,
    /// Proof that no lengths cost less, or the gap.
    pub proof: Proof,
}

/// The plan; `None` where nothing is cut, or where timber for noggins is sold cut to any length.
pub fn plan(laid: &[RoofLayout], old: &[OldRoofLayout], rules: &Rules, sold: &[Stock]) -> Option<NogginPlan> {
    let longest = sold.iter().map(|s| s.length).max()?;
    let mut pieces: BTreeMap<Length, u32> = BTreeMap::new();
    let mut take = |length: Length, times: usize| *pieces.entry(length).or_default() += times as u32;
    for roof in laid {
        roof.deck.iter().flat_map(|d| &d.noggins).for_each(|&(a, b)| take(distance(a, b), 1));
        for gutter in &roof.box_gutters {
            take(gutter.bearer, gutter.bearers.len());
            gutter.ledgers(longest).into_iter().for_each(|piece| take(piece, 1));
        }
    }
    // Round a patch they butt wherever they end.
    for deck in old.iter().flat_map(|o| &o.patches).filter_map(|p| p.deck.as_ref()) {
        take(longest, (deck.joints.as_mm() / longest.as_mm()).unsigned_abs() as usize);
        take(Length::mm(deck.joints.as_mm() % longest.as_mm()), 1);
    }
    let demands: Vec<Demand> = pieces
        .into_iter()
        .rev()
        .filter(|(length, count)| *length > Length::ZERO && *count > 0)
        .map(|(length, count)| Demand { length, count })
        .collect();
    let cut = cut_from(&demands, sold, rules.kerf).filter(|_| !demands.is_empty())?;
    let bar = |pattern: &CutPattern| {
        let of = |&(demand, n): &(usize, u32)| (0..n).map(move |_| demand);
        let pieces: Vec<Length> = pattern.pieces.iter().flat_map(of).map(|demand| demands[demand].length).collect();
        (sold[pattern.stock].length, pieces)
    };
    let bars = cut.plan.patterns.iter().flat_map(|p| (0..p.times).map(|_| bar(p))).collect();
    Some(NogginPlan { in_pence: cut.in_pence, bars, proof: cut.plan.proof })
}
