//! The bounded knapsack in whole numbers: the most that fits, at every capacity at once.
//!
//! Given weights, whole-number values and how often each item may be taken; gives the best value for each capacity
//! and a filling that has it. It is exact, so what it says of a set of prices is a proof.

use super::instance::Filling;

/// The table of best values.
pub(crate) struct Knapsack {
    unit: i64,
    parts: Vec<SplitItem>,
    best: Vec<i64>,
    taken: Vec<u64>,
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
}

impl Knapsack {
    /// Solves for every capacity up to `capacity`. Weights are multiples of `unit`. Items whose value is not positive
    /// or that may be taken no times are left out.
    pub(super) fn new(weights: &[i64], values: &[i64], limits: &[u32], capacity: i64, unit: i64) -> Knapsack {
        let room = (capacity / unit).max(0) as usize;
        let parts = parts(weights, values, limits, capacity, unit);
        let words = room / 64 + 1;
        let mut sack =
            Knapsack { unit, best: vec![0; room + 1], taken: vec![0; words * parts.len()], words, work: 0, parts };
        sack.fill(room);
        sack
    }

    fn fill(&mut self, room: usize) {
        for (p, part) in self.parts.iter().enumerate() {
            let row = &mut self.taken[p * self.words..(p + 1) * self.words];
            for at in (part.weight..=room).rev() {
                let with = self.best[at - part.weight] + part.value;
                if with > self.best[at] {
                    self.best[at] = with;
                    row[at / 64] |= 1 << (at % 64);
                }
            }
            self.work += (room + 1 - part.weight) as u64;
        }
    }

    /// The best value within a capacity.
    pub(super) fn value(&self, capacity: i64) -> i64 {
        self.best[(capacity / self.unit) as usize]
    }

    /// A filling with that value.
    pub(super) fn filling(&self, capacity: i64) -> Filling {
        let mut at = (capacity / self.unit) as usize;
        let mut filling = Filling::new();
        for (p, part) in self.parts.iter().enumerate().rev() {
            if self.taken[p * self.words + at / 64] >> (at % 64) & 1 == 1 {
                at -= part.weight;
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
fn parts(weights: &[i64], values: &[i64], limits: &[u32], capacity: i64, unit: i64) -> Vec<SplitItem> {
    let mut parts = Vec::new();
    for (item, (&weight, &value)) in weights.iter().zip(values).enumerate() {
        let most = limits[item].min((capacity / weight) as u32);
        if value <= 0 {
            continue;
        }
        let (mut left, mut times) = (most, 1);
        while left > 0 {
            let n = times.min(left);
            let weight = (weight / unit * i64::from(n)) as usize;
            parts.push(SplitItem { item, times: n, weight, value: value * i64::from(n) });
            left -= n;
            times *= 2;
        }
    }
    parts
}
