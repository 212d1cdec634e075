//! How much roll the strips take, and whether they come whole out of rolls of a known length.
//!
//! Given pieces with their length and width; gives lengths of roll, and then the rolls that these lengths are cut from.
//! Narrow pieces lie side by side or end to end in the waste of another where they fit: longest first, each where it
//! fits first, which is never short and not always the best there is ([`least_roll`] says how far off it may be). The
//! rolls themselves are found by the solver that cuts the trims, with its proof.

use super::Proof;
use super::{CutPattern, Demand, RUN_EFFORT, StockLength, cut_stock};
use crate::geometry::whole::div_ceil;
use crate::model::Length;
use std::collections::BTreeMap;

/// A length cut off the roll, and the pieces that come out of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RollCut {
    /// How much roll.
    pub length: Length,
    /// The pieces, as indices into what was given.
    pub pieces: Vec<usize>,
    lanes: Vec<Lane>,
}

/// A width of a cut that is taken, and how far along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Lane {
    width: Length,
    used: Length,
}

/// Cuts the roll for pieces given as length and width, none wider than the roll.
pub fn cut_roll(pieces: &[(Length, Length)], roll: Length) -> Vec<RollCut> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(pieces[i]), i));
    let mut cuts: Vec<RollCut> = Vec::new();
    // Only beside a piece narrower than the roll does another find room.
    let mut roomy: Vec<usize> = Vec::new();
    for i in order {
        let (length, width) = pieces[i];
        if width == roll || !roomy.iter().any(|&c| cuts[c].take(i, length, width, roll)) {
            if width < roll {
                roomy.push(cuts.len());
            }
            cuts.push(RollCut { length, pieces: vec![i], lanes: vec![Lane { width, used: length }] });
        }
    }
    cuts
}

/// No way of cutting takes less roll: pieces wider than half of it cannot lie side by side, and all together have
/// their area.
pub fn least_roll(pieces: &[(Length, Length)], roll: Length) -> Length {
    let wide: Length = pieces.iter().filter(|p| p.1 * 2 > roll).map(|p| p.0).sum();
    let area: i64 = pieces.iter().map(|p| p.0.as_mm() * p.1.as_mm()).sum();
    wide.max(Length::mm(div_ceil(area, roll.as_mm().max(1))))
}

impl RollCut {
    /// Takes a piece into what is left of this cut, if it fits.
    fn take(&mut self, i: usize, length: Length, width: Length, roll: Length) -> bool {
        let total = self.length;
        let open: Length = self.lanes.iter().map(|l| l.width).sum();
        if let Some(lane) = self.lanes.iter_mut().find(|l| l.width >= width && l.used + length <= total) {
            lane.used += length;
        } else if open + width <= roll && length <= total {
            self.lanes.push(Lane { width, used: length });
        } else {
            return false;
        }
        self.pieces.push(i);
        true
    }
}

/// One roll and how much of it is used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Roll {
    /// Its length.
    pub length: Length,
    /// What is cut from it.
    pub used: Length,
    /// Which cuts, as indices into what was given.
    pub cuts: Vec<usize>,
}

/// The rolls that cuts come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RollPlan {
    /// The rolls, longest first.
    pub rolls: Vec<Roll>,
    /// Millimetres of roll, and what no plan can do with less.
    pub proof: Proof,
    /// Any rolls of these lengths that come to so much hold every cut whole.
    pub enough: Length,
}

/// Pieces cut out of rolls of one width, and the rolls that the cuts come from where the lengths sold are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutOfRolls {
    /// What is cut off the rolls.
    pub cuts: Vec<RollCut>,
    /// The rolls that the cuts come from whole, as [`rolls_for`] finds them.
    pub plan: Option<RollPlan>,
}

impl OutOfRolls {
    /// Cuts pieces, length and width each, out of rolls of a width and of these lengths.
    pub fn of(pieces: &[(Length, Length)], width: Length, rolls: &[Length]) -> OutOfRolls {
        let cuts = cut_roll(pieces, width);
        let lengths: Vec<Length> = cuts.iter().map(|c| c.length).collect();
        OutOfRolls { plan: rolls_for(&lengths, rolls), cuts }
    }

    /// What is cut off altogether.
    pub fn taken(&self) -> Length {
        self.cuts.iter().map(|c| c.length).sum()
    }
}

/// The rolls that the cuts come from whole, the fewest metres of roll. `rolls` are the lengths sold, ascending. `None`
/// where no length is known, or where a cut is longer than every roll. A roll that is shorter than the longest cut is left
/// out: whoever bought only such rolls would be short, so the layout cuts no strip longer than the shortest roll.
pub fn rolls_for(cuts: &[Length], rolls: &[Length]) -> Option<RollPlan> {
    let longest = cuts.iter().copied().max().unwrap_or_default();
    let rolls: Vec<Length> = rolls.iter().copied().filter(|r| *r >= longest).collect();
    if rolls.is_empty() {
        return None;
    }
    let mut counts: BTreeMap<Length, u32> = BTreeMap::new();
    cuts.iter().for_each(|&length| *counts.entry(length).or_default() += 1);
    let demands: Vec<Demand> = counts.into_iter().map(|(length, count)| Demand { length, count }).collect();
    let stock: Option<Vec<StockLength>> = rolls
        .iter()
        .map(|&length| Some(StockLength { length, cost: u32::try_from(length.as_mm()).ok().filter(|&c| c > 0)? }))
        .collect();
    let plan = cut_stock(&demands, &stock?, Length::ZERO, RUN_EFFORT).ok()?;
    let used = |p: &CutPattern| p.pieces.iter().map(|&(d, n)| demands[d].length * i64::from(n)).sum();
    let mut found: Vec<Roll> = Vec::new();
    // Cuts of one length are alike to the plan; each is taken once, the first first.
    let mut left: BTreeMap<Length, Vec<usize>> = BTreeMap::new();
    cuts.iter().enumerate().rev().for_each(|(i, &length)| left.entry(length).or_default().push(i));
    for p in plan.patterns.iter().flat_map(|p| (0..p.times).map(move |_| p)) {
        let mut take = |length: Length| left.get_mut(&length).and_then(Vec::pop);
        let each = p.pieces.iter().flat_map(|&(d, n)| (0..n).map(move |_| d));
        let cuts: Vec<usize> = each.filter_map(|d| take(demands[d].length)).collect();
        found.push(Roll { length: rolls[p.stock], used: used(p), cuts });
    }
    found.sort_by_key(|r| std::cmp::Reverse((r.length, r.used)));
    let enough = enough(cuts, &rolls, &found);
    Some(RollPlan { rolls: found, proof: plan.proof, enough })
}

/// A need that whichever rolls cover it hold all cuts whole. The merchant's prices decide which lengths are bought, and
/// they are not known here; so every choice from which no roll can be left out is tried. `found` holds the cuts.
///
/// Many lengths, or many short rolls, have more choices than can be tried: then as much as is enough by [`at_worst`].
fn enough(cuts: &[Length], rolls: &[Length], found: &[Roll]) -> Length {
    let mut sorted = cuts.to_vec();
    sorted.sort_by(|a, b| b.cmp(a));
    let total: Length = cuts.iter().copied().sum();
    let of_found: Vec<usize> = rolls.iter().map(|&l| found.iter().filter(|r| r.length == l).count()).collect();
    let (mut need, mut work) = (total, 0);
    loop {
        let (mut short, mut least) = (None, None);
        let all_seen = each_choice(rolls, need, &mut work, |choice| {
            let sound = choice.taken.iter().zip(&of_found).all(|(has, wants)| has >= wants)
                || holds(&sorted, rolls, &choice.taken);
            match sound {
                true => least = Some(least.map_or(choice.total, |l: Length| l.min(choice.total))),
                false => short = Some(short.map_or(choice.total, |s: Length| s.max(choice.total))),
            }
            sorted.len() / CUTS_A_STEP
        });
        match (all_seen, short) {
            (false, _) => return at_worst(&sorted, rolls),
            (true, Some(short)) => need = short + Length::mm(1),
            (true, None) if need == total => return total,
            (true, None) => return least.unwrap_or(need),
        }
    }
}

/// A need whose rolls hold every cut, whichever they are, as long as each roll takes the longest cut. Put one by one into
/// the first roll with room, cuts leave less of a roll unused than the longest is long; and no more rolls are touched
/// than there are cuts.
fn at_worst(sorted: &[Length], rolls: &[Length]) -> Length {
    let total: i64 = sorted.iter().map(|l| l.as_mm()).sum();
    let longest = sorted.first().map_or(0, |l| l.as_mm());
    let (Some(shortest), Some(most)) = (rolls.iter().min(), rolls.iter().max()) else { return Length::mm(total) };
    let one_each = most.as_mm() * sorted.len() as i64;
    let kept = shortest.as_mm() - longest;
    let by_waste = if kept > 0 { div_ceil(total * shortest.as_mm(), kept) } else { one_each };
    Length::mm(one_each.min(by_waste))
}

/// The fewest metres of roll that come to a length, wherever the rolls end; as many as the longest rolls alone take,
/// where there are too many choices. `rolls` are the lengths sold, ascending.
pub fn fewest_metres(rolls: &[Length], length: Length) -> Length {
    let mut fewest: Option<Length> = None;
    let all_seen = each_choice(rolls, length, &mut 0, |choice| {
        fewest = Some(fewest.map_or(choice.total, |f| f.min(choice.total)));
        0
    });
    let longest = rolls.iter().max().filter(|l| **l > Length::ZERO);
    fewest.filter(|_| all_seen).or(longest.map(|l| *l * length.pieces_of(*l))).unwrap_or(length)
}

/// Most steps that a look through choices of rolls takes: two or three lengths on any roof, a few rolls of more.
const MOST_TRIED: usize = 20_000;

/// So many cuts put into rolls are one more step.
const CUTS_A_STEP: usize = 100;

/// Some rolls that could be bought: how many of each length, and what they come to.
struct Choice {
    taken: Vec<usize>,
    total: Length,
}

/// Shows every choice of rolls that covers a need and cannot spare a roll, one at a time, so that none is kept; what
/// `see` gives is work on top. False where there is more of it than [`MOST_TRIED`]. `rolls` are ascending.
fn each_choice(rolls: &[Length], need: Length, work: &mut usize, mut see: impl FnMut(&Choice) -> usize) -> bool {
    let mut order: Vec<usize> = Vec::new();
    let mut choice = Choice { taken: vec![0; rolls.len()], total: Length::ZERO };
    let mut next = Some(0);
    loop {
        match next.filter(|&i| i < rolls.len()) {
            Some(i) if choice.total < need => {
                *work += 1;
                order.push(i);
                choice.taken[i] += 1;
                choice.total += rolls[i];
                next = Some(i);
            }
            _ => {
                let least = order.first().map_or(Length::ZERO, |&i| rolls[i]);
                if choice.total >= need && (order.is_empty() || choice.total - least < need) {
                    *work += see(&choice);
                }
                let Some(last) = order.pop() else { return true };
                choice.taken[last] -= 1;
                choice.total -= rolls[last];
                next = Some(last + 1);
            }
        }
        if *work > MOST_TRIED {
            return false;
        }
    }
}

/// Whether the cuts, longest first, fit into some rolls, so many of each length: each into the fullest that takes it.
fn holds(sorted: &[Length], rolls: &[Length], taken: &[usize]) -> bool {
    let mut left: BTreeMap<Length, usize> =
        rolls.iter().copied().zip(taken.iter().copied()).filter(|r| r.1 > 0).collect();
    sorted.iter().all(|&cut| {
        let Some((&roll, &count)) = left.range(cut..).next() else { return false };
        if count == 1 {
            left.remove(&roll);
        } else {
            left.insert(roll, count - 1);
        }
        *left.entry(roll - cut).or_default() += 1;
        true
    })
}
