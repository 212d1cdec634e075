//! The bounded knapsack in whole numbers, by branch and bound.
//!
//! Given weights, whole-number values and how often each item may be taken; gives the best filling of one capacity.
//! Far quicker than the table where few items fit together; it counts its steps and says so when it gives up, and the
//! table takes over.

use super::instance::{Bin, Filling, Instance};

/// An item on offer.
struct OfferedItem {
    item: usize,
    weight: i64,
    value: i64,
    gives: i64,
    limit: u32,
}

/// Branch and bound over items in order of value for weight.
pub(crate) struct Branching {
    offers: Vec<OfferedItem>,
    /// Least weight among this offer and later ones.
    lightest: Vec<i64>,
    chosen: Vec<(usize, u32)>,
    best: i64,
    filling: Filling,
    /// Steps taken.
    pub work: u64,
    most: u64,
}

impl Branching {
    /// Prepares for a set of values; gives up after `most` steps a search.
    pub(super) fn new(instance: &Instance, values: &[i64], limits: &[u32], most: u64) -> Branching {
        let (weights, gives, needed) = (&instance.weights, &instance.gives, instance.most_needed() > 0);
        let mut offers: Vec<OfferedItem> = (0..weights.len())
            .filter(|&i| limits[i] > 0 && (values[i] > 0 || (needed && gives[i] > 0)))
            .map(|item| OfferedItem {
                item,
                weight: weights[item],
                value: values[item],
                gives: gives[item],
                limit: limits[item],
            })
            .collect();
        let worth = |o: &OfferedItem, p: &OfferedItem| i128::from(o.value) * i128::from(p.weight);
        offers.sort_by(|a, b| worth(b, a).cmp(&worth(a, b)).then(b.weight.cmp(&a.weight)).then(a.item.cmp(&b.item)));
        let mut branching = Branching {
            lightest: Vec::new(),
            offers,
            chosen: Vec::new(),
            best: 0,
            filling: Filling::new(),
            work: 0,
            most,
        };
        branching.find_lightest();
        branching
    }

    fn find_lightest(&mut self) {
        let mut least = i64::MAX;
        self.lightest = vec![least; self.offers.len() + 1];
        for (i, offer) in self.offers.iter().enumerate().rev() {
            least = least.min(offer.weight);
            self.lightest[i] = least;
        }
    }

    /// The best filling of a kind of bin and its value, far below nothing where its needs cannot be met; `None` when the
    /// steps run out.
    pub(super) fn best(&mut self, bin: &Bin) -> Option<(i64, Filling)> {
        self.best = if bin.needs > 0 { i64::MIN / 4 } else { 0 };
        self.filling.clear();
        let stop = self.work + self.most;
        self.search(0, bin.capacity, 0, bin.needs, stop);
        (self.work < stop).then(|| (self.best, self.filling.clone()))
    }

    /// Takes what was chosen off the offers, for a filling that shares nothing with it.
    pub(super) fn without(&mut self, filling: &Filling) {
        self.offers.retain(|o| !filling.iter().any(|f| f.0 == o.item));
        self.find_lightest();
    }

    fn search(&mut self, from: usize, room: i64, value: i64, needs: i64, stop: u64) {
        self.work += 1;
        if value > self.best && needs <= 0 {
            self.best = value;
            self.filling = self.chosen.clone();
            self.filling.sort_unstable();
        }
        for i in from..self.offers.len() {
            let offer = &self.offers[i];
            let (item, weight, worth, gives) = (offer.item, offer.weight, offer.value, offer.gives);
            // nothing from here on is worth more for its weight than this
            let hope = i128::from(room) * i128::from(worth.max(0));
            if self.work >= stop
                || room < self.lightest[i]
                || hope <= i128::from(self.best - value) * i128::from(weight)
            {
                return;
            }
            let most = i64::from(offer.limit).min(room / weight);
            for times in (1..=most).rev() {
                self.chosen.push((item, times as u32));
                self.search(i + 1, room - weight * times, value + worth * times, needs - gives * times, stop);
                self.chosen.pop();
            }
            self.work += 1;
        }
    }
}
