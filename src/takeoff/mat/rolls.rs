//! How much roll the strips take, and whether they come whole out of rolls of a known length.
//!
//! Given pieces with their length and width; gives lengths of roll, narrow pieces side by side or end to end in the
//! waste of another where they fit, and then the rolls that these lengths are cut from. Longest first, each where it
//! fits first: simple, never short, and not always the best there is.

use crate::model::Length;

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
    for i in order {
        let (length, width) = pieces[i];
        if width == roll || !cuts.iter_mut().any(|c| c.take(i, length, width, roll)) {
            cuts.push(RollCut { length, pieces: vec![i], lanes: vec![Lane { width, used: length }] });
        }
    }
    cuts
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Roll {
    /// Its length.
    pub length: Length,
    /// What is cut from it.
    pub used: Length,
}

/// The rolls that the cuts come from whole, longest cut first. `rolls` are the lengths sold, ascending, none shorter
/// than the longest cut. The last one is the shortest that will do. Nothing where no length is known.
pub fn rolls_for(cuts: &[Length], rolls: &[Length]) -> Vec<Roll> {
    let Some(&longest) = rolls.last() else { return Vec::new() };
    let mut sorted = cuts.to_vec();
    sorted.sort_by(|a, b| b.cmp(a));
    let mut taken: Vec<Roll> = Vec::new();
    for cut in sorted {
        match taken.iter_mut().find(|r| r.used + cut <= r.length) {
            Some(roll) => roll.used += cut,
            None => taken.push(Roll { length: longest, used: cut }),
        }
    }
    for roll in &mut taken {
        roll.length = rolls.iter().copied().find(|&l| l >= roll.used).unwrap_or(longest);
    }
    taken
}
