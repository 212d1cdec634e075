//! The bounded knapsack in whole numbers: the most that fits, at every capacity at once.
//!
//! Given weights, whole-number values and how often each item may be taken; gives the best value for each capacity
//! and a filling that has it, also where the items of a filling must give something together. It is exact, so what it
//! says of a set of prices is a proof.

use super::instance::{Bin, Filling, Instance};

/// Where no filling gives what is needed.
const NONE: i64 = i64::MIN / 4;

/// The table of best values.
pub(crate) struct Knapsack {
    unit: i64,
    parts: Vec<SplitItem>,
    /// By what is still needed, then by capacity.
    best: Vec<i64>,
    /// By part, then as `best`.
    taken: Vec<u64>,
    room: usize,
    most_needed: usize,
    words: usize,
    /// Steps taken, for the count of work.
    pub work: u64,
}

/// `times` copies of an item, taken together or not at all.
struct SplitItem {
    item: usize,
    times: u32,
    weight: usize,
    value: i64,
    gives: usize,
}

impl Knapsack {
    /// Solves for every capacity up to the widest bin's and for everything that a bin may need. Weights are multiples of
    /// `unit`. Items that are worth nothing are left out unless they give what is needed.
    pub(super) fn new(instance: &Instance, values: &[i64], limits: &[u32], unit: i64) -> Knapsack {
        let capacity = instance.widest();
        let room = (capacity / unit).max(0) as usize;
        let most_needed = instance.most_needed() as usize;
        let parts = parts(instance, values, limits, capacity, unit);
        let places = (room + 1) * (most_needed + 1);
        let words = places / 64 + 1;
        let mut best = vec![NONE; places];
        best[..=room].fill(0);
        let taken = vec![0; words * parts.len()];
        let mut sack = Knapsack { unit, best, taken, room, most_needed, words, work: 0, parts };
        sack.fill();
        sack
    }

    fn fill(&mut self) {
        let line = self.room + 1;
        for (p, part) in self.parts.iter().enumerate() {
            let row = &mut self.taken[p * self.words..(p + 1) * self.words];
            // what needs more is read from what needs less, so that no part is taken twice
            for needed in (0..=self.most_needed).rev() {
                let (from, to) = (needed.saturating_sub(part.gives) * line, needed * line);
                for at in (part.weight..=self.room).rev() {
                    let with = self.best[from + at - part.weight] + part.value;
                    if with > self.best[to + at] && with > NONE / 2 {
                        self.best[to + at] = with;
                        row[(to + at) / 64] |= 1 << ((to + at) % 64);
                    }
                }
            }
            self.work += ((line - part.weight.min(line)) * (self.most_needed + 1)) as u64;
        }
    }

    /// The best value of a kind of bin; far below nothing where its needs cannot be met.
    pub(super) fn value(&self, bin: &Bin) -> i64 {
        self.best[self.place(bin.capacity, bin.needs)]
    }

    fn place(&self, capacity: i64, needs: i64) -> usize {
        needs.max(0) as usize * (self.room + 1) + (capacity / self.unit) as usize
    }

    /// A filling with that value.
    pub(super) fn filling(&self, bin: &Bin) -> Filling {
        let (mut needed, mut at) = (bin.needs.max(0) as usize, (bin.capacity / self.unit) as usize);
        let mut filling = Filling::new();
        for (p, part) in self.parts.iter().enumerate().rev() {
            let place = needed * (self.room + 1) + at;
            if self.taken[p * self.words + place / 64] >> (place % 64) & 1 == 1 {
                at -= part.weight;
                needed = needed.saturating_sub(part.gives);
                match filling.last_mut() {
                    Some((item, times)) if *item == part.item => *times += part.times,
                    _ => filling.push((part.item, part.times)),
                }
            }
        }
        filling.reverse();
        filling
    }
}

/// Each item as parts of 1, 2, 4, … copies and a rest, so that every number up to its limit can be made.
fn parts(instance: &Instance, values: &[i64], limits: &[u32], capacity: i64, unit: i64) -> Vec<SplitItem> {
    let mut parts = Vec::new();
    for (item, (&weight, &value)) in instance.weights.iter().zip(values).enumerate() {
        let most = limits[item].min((capacity / weight) as u32);
        let gives = instance.gives[item];
        if value <= 0 && (gives == 0 || instance.most_needed() == 0) {
            continue;
        }
        let (mut left, mut times) = (most, 1);
        while left > 0 {
            let n = times.min(left);
            let weight = (weight / unit * i64::from(n)) as usize;
            let gives = (gives * i64::from(n)) as usize;
            parts.push(SplitItem { item, times: n, weight, value: value * i64::from(n), gives });
            left -= n;
            times *= 2;
        }
    }
    parts
}
