//! The search for a packing that reaches the bound, and for the proof that none does.
//!
//! Given the relaxation and a first packing; dives along it, then tries every filling of the largest item in turn. A
//! branch is dropped only where whole numbers say that it cannot be cheaper, so a search that ends is a proof.

use super::bound::Totals;
use super::first_fit;
use super::instance::{Cuttable, Filling, Instance, Packed, cost_of};
use super::master::{Master, Relaxed};
use std::collections::BTreeMap;

/// How many second choices a dive may take, at most.
const SECOND_CHOICES: [usize; 5] = [0, 1, 2, 3, 4];
/// How many fillings of one item are tried before the search is called unfinished.
const MOST_FILLINGS: usize = 4000;
/// How many steps the listing of them may take before that.
const MOST_STEPS: u64 = 300_000;

/// A search under way.
pub(crate) struct Search<'a> {
    instance: &'a Instance<'a>,
    master: Master<'a>,
    totals: &'a Totals,
    best: Option<Vec<Packed>>,
    best_cost: i64,
    bound: i64,
    path: Vec<Packed>,
    /// Demands that cannot be packed for this much or less.
    failed: BTreeMap<Vec<u32>, i64>,
    finished: bool,
}

impl<'a> Search<'a> {
    /// Starts from the best packing known and the bound.
    pub(super) fn new(
        instance: &'a Instance<'a>,
        master: Master<'a>,
        totals: &'a Totals,
        best: Option<Vec<Packed>>,
        best_cost: i64,
        bound: i64,
    ) -> Search<'a> {
        let (path, failed) = (Vec::new(), BTreeMap::new());
        Search { instance, master, totals, best, best_cost, bound, path, failed, finished: true }
    }

    /// What the best packing costs.
    pub(super) fn best_cost(&self) -> i64 {
        self.best_cost
    }

    /// Work left.
    pub(super) fn effort(&self) -> u64 {
        self.master.effort
    }

    /// The best packing.
    pub(super) fn into_packed(self) -> Option<Vec<Packed>> {
        self.best
    }

    fn is_over(&self) -> bool {
        self.best_cost <= self.bound || self.master.effort == 0
    }

    /// Rounds the relaxation down step by step, with more and more second choices.
    pub(super) fn dive(&mut self) {
        for choices in SECOND_CHOICES {
            if !self.is_over() {
                let demand = self.instance.demand.clone();
                self.dive_from(demand, 0, choices);
            }
        }
    }

    fn dive_from(&mut self, mut demand: Vec<u32>, mut spent: i64, choices: usize) {
        let depth = self.path.len();
        loop {
            if self.complete(&demand, spent) || self.is_over() {
                break;
            }
            let relaxed = self.master.relax(&demand, self.totals);
            if spent + relaxed.bound >= self.best_cost {
                break;
            }
            let used = self.usable(&demand);
            if self.take_whole(&used, &mut demand, &mut spent) {
                continue;
            }
            for (nth, &(column, _)) in used.iter().take(choices + 1).enumerate() {
                let (next, cost) = self.push(column, 1, &demand);
                self.dive_from(next, spent + cost, choices - nth);
                self.path.pop();
                if self.is_over() {
                    break;
                }
            }
            break;
        }
        self.path.truncate(depth);
    }

    /// The columns in use that can really be cut.
    fn usable(&self, demand: &[u32]) -> Vec<(usize, f64)> {
        let wanted = |f: &Filling| f.iter().all(|&(i, n)| n <= demand[i]);
        let can = |&(c, _): &(usize, f64)| {
            let column = self.master.column(c);
            wanted(&column.filling) && self.instance.verdict(column.bin, &column.filling) == Cuttable::Yes
        };
        self.master.used().into_iter().filter(can).collect()
    }

    /// Takes every filling as often as its whole part says; says whether there was one.
    fn take_whole(&mut self, used: &[(usize, f64)], demand: &mut Vec<u32>, spent: &mut i64) -> bool {
        let mut taken = false;
        for &(column, value) in used {
            let filling = &self.master.column(column).filling;
            let possible = filling.iter().map(|&(i, n)| demand[i] / n).min().unwrap_or(0);
            let times = ((value + 1e-6).floor() as u32).min(possible);
            if times > 0 {
                let (next, cost) = self.push(column, times, demand);
                *demand = next;
                *spent += cost;
                taken = true;
            }
        }
        taken
    }

    fn push(&mut self, column: usize, times: u32, demand: &[u32]) -> (Vec<u32>, i64) {
        let column = self.master.column(column);
        let packed = Packed { bin: column.bin, filling: column.filling.clone(), times };
        let next = less(demand, &packed);
        let cost = self.instance.cost(packed.bin, &packed.filling) * i64::from(times);
        self.path.push(packed);
        (next, cost)
    }

    /// Finishes by quick packing where that is an improvement; says whether nothing is left to do here.
    fn complete(&mut self, demand: &[u32], spent: i64) -> bool {
        let rest = match demand.iter().all(|&d| d == 0) {
            true => Some(Vec::new()),
            false => first_fit::fit(self.instance, demand),
        };
        let left = demand.iter().map(|&d| u64::from(d)).sum::<u64>();
        self.master.effort = self
            .master
            .effort
            .saturating_sub(left * left * self.instance.bins.len() as u64 / 2 + self.instance.take_asked());
        let Some(rest) = rest else { return false };
        let cost = spent + cost_of(self.instance, &rest);
        if cost < self.best_cost {
            for packed in &rest {
                self.master.offer(packed.bin, &packed.filling);
            }
            self.best_cost = cost;
            self.best = Some(self.path.iter().cloned().chain(rest).collect());
        }
        demand.iter().all(|&d| d == 0)
    }

    /// Tries everything that could be cheaper. `true` when the search came to its end, so that the best packing is
    /// proven.
    pub(super) fn exhaust(&mut self) -> bool {
        self.path.clear();
        self.finished = true;
        self.exhaust_from(self.instance.demand.clone(), 0);
        self.best_cost <= self.bound || (self.finished && self.master.effort > 0)
    }

    fn exhaust_from(&mut self, demand: Vec<u32>, spent: i64) {
        if self.complete(&demand, spent) || self.is_over() {
            return;
        }
        let allowance = self.totals.below(self.best_cost) - spent;
        if self.failed.get(&demand).is_some_and(|&f| f >= allowance) {
            return;
        }
        let relaxed = self.master.relax(&demand, self.totals);
        if relaxed.bound > allowance {
            return;
        }
        for packed in self.fillings(&demand, &relaxed, allowance) {
            let cost = self.instance.cost(packed.bin, &packed.filling);
            let next = less(&demand, &packed);
            self.path.push(packed);
            self.exhaust_from(next, spent + cost);
            self.path.pop();
            if self.is_over() {
                return;
            }
        }
        let allowance = self.totals.below(self.best_cost) - spent;
        self.failed.insert(demand, allowance);
    }

    /// Every filling of the largest item left that may belong to a cheaper packing, most promising first.
    fn fillings(&mut self, demand: &[u32], relaxed: &Relaxed, allowance: i64) -> Vec<Packed> {
        let Some(largest) = demand.iter().position(|&d| d > 0) else { return Vec::new() };
        let mut all: Vec<(i128, Packed)> = Vec::new();
        for bin in 0..self.instance.bins.len() {
            let mut lister = Lister::new(self.instance, demand, relaxed, allowance, bin, largest);
            lister.list();
            self.finished &= lister.complete;
            let work = lister.work * 20 + self.instance.take_asked();
            self.master.effort = self.master.effort.saturating_sub(work);
            all.extend(lister.found.into_iter().map(|(rc, filling)| (rc, Packed { bin, filling, times: 1 })));
        }
        all.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| b.1.filling.cmp(&a.1.filling)));
        all.into_iter().map(|f| f.1).collect()
    }
}

/// Lists the fillings of one kind of bin that hold the largest item and are worth nearly what the bin costs.
///
/// With prices `p` and a bin of cost `c` whose best filling is worth `v`, the price `p · c / v` (at the least such
/// ratio) is feasible; a packing of cost `t` cannot hold a filling that is dearer than its worth by more than
/// `t - worth of the demand`.
struct Lister<'a> {
    instance: &'a Instance<'a>,
    demand: &'a [u32],
    /// What each item is worth, in prices, beyond what it costs of its own.
    values: &'a [i64],
    bin: usize,
    /// A filling must be worth at least this.
    least: i128,
    /// Most value for a unit of weight among this item and smaller ones, as a fraction.
    density: Vec<(i64, i64)>,
    filling: Filling,
    found: Vec<(i128, Filling)>,
    complete: bool,
    largest: usize,
    work: u64,
}

impl<'a> Lister<'a> {
    fn new(
        instance: &'a Instance<'a>,
        demand: &'a [u32],
        relaxed: &'a Relaxed,
        allowance: i64,
        bin: usize,
        largest: usize,
    ) -> Lister<'a> {
        let least = least_worth(instance, demand, relaxed, allowance, bin);
        let density = densities(instance, demand, &relaxed.values);
        let (filling, found) = (Filling::new(), Vec::new());
        let values = &relaxed.values;
        Lister { instance, demand, values, bin, least, density, filling, found, complete: true, largest, work: 0 }
    }

    fn list(&mut self) {
        let room = self.instance.bins[self.bin].capacity;
        let weight = self.instance.weights[self.largest];
        let most = self.demand[self.largest].min((room / weight).max(0) as u32);
        for times in (1..=most).rev() {
            self.filling.push((self.largest, times));
            let worth = i128::from(self.values[self.largest]) * i128::from(times);
            self.extend(self.largest + 1, room - weight * i64::from(times), worth);
            self.filling.pop();
        }
    }

    fn extend(&mut self, from: usize, room: i64, worth: i128) {
        self.work += 1;
        let next = (from..self.demand.len()).find(|&i| self.demand[i] > 0 && self.instance.weights[i] <= room);
        let Some(item) = next else { return self.keep(worth) };
        let (value, weight) = self.density[item];
        if (worth - self.least) * i128::from(weight) + i128::from(value) * i128::from(room) < 0 {
            return;
        }
        if self.found.len() >= MOST_FILLINGS || self.work > MOST_STEPS {
            self.complete = false;
            return;
        }
        let weight = self.instance.weights[item];
        let most = self.demand[item].min((room / weight) as u32);
        for times in (1..=most).rev() {
            self.filling.push((item, times));
            self.extend(
                item + 1,
                room - weight * i64::from(times),
                worth + i128::from(self.values[item]) * i128::from(times),
            );
            self.filling.pop();
        }
        self.extend(item + 1, room, worth);
    }

    /// Keeps a filling unless another with one more piece is as good, or it cannot be cut.
    fn keep(&mut self, worth: i128) {
        if worth < self.least || (self.instance.question.is_none() && !self.is_full()) {
            return;
        }
        match self.instance.verdict(self.bin, &self.filling) {
            Cuttable::Yes => self.found.push((-worth, self.filling.clone())),
            Cuttable::No => {}
            Cuttable::Unknown => self.complete = false,
        }
    }

    /// Whether no piece that is still wanted would fit beside what is in it.
    fn is_full(&self) -> bool {
        let room = self.instance.bins[self.bin].capacity - self.instance.load(&self.filling);
        let held = |i: usize| self.filling.iter().find(|f| f.0 == i).map_or(0, |f| f.1);
        let fits = |&i: &usize| self.instance.weights[i] <= room && held(i) < self.demand[i];
        !(0..self.demand.len()).any(|i| fits(&i))
    }
}

/// The least that a filling of `bin` must be worth, in prices, to belong to a packing within the allowance.
fn least_worth(instance: &Instance, demand: &[u32], relaxed: &Relaxed, allowance: i64, bin: usize) -> i128 {
    if instance.has_own_costs() {
        // a bin may be worth `over` more than it costs, and what is dearer than its worth takes from the allowance
        let others = demand.iter().map(|&d| i128::from(d)).sum::<i128>() - 1;
        let slack = i128::from(allowance) * i128::from(relaxed.scale) - relaxed.worth(demand)
            + others * i128::from(relaxed.over());
        return i128::from(instance.bins[bin].cost) * i128::from(relaxed.scale) - slack;
    }
    let tightest = relaxed
        .best
        .iter()
        .filter(|b| b.1 > 0)
        .min_by(|a, b| (i128::from(a.0) * i128::from(b.1)).cmp(&(i128::from(b.0) * i128::from(a.1))));
    let Some(&(cost, value)) = tightest else { return 0 };
    // cost of bin · value − (allowance · value − worth of demand · cost), all over cost
    let slack = i128::from(allowance) * i128::from(value) - relaxed.worth(demand) * i128::from(cost);
    let least = i128::from(instance.bins[bin].cost) * i128::from(value) - slack;
    least.div_euclid(i128::from(cost))
}

fn densities(instance: &Instance, demand: &[u32], values: &[i64]) -> Vec<(i64, i64)> {
    let mut best = (0, 1);
    let mut all = vec![best; demand.len()];
    for i in (0..demand.len()).rev() {
        let own = (values[i], instance.weights[i]);
        if demand[i] > 0 && i128::from(own.0) * i128::from(best.1) > i128::from(best.0) * i128::from(own.1) {
            best = own;
        }
        all[i] = best;
    }
    all
}

fn less(demand: &[u32], packed: &Packed) -> Vec<u32> {
    let mut next = demand.to_vec();
    for &(item, n) in &packed.filling {
        next[item] = next[item].saturating_sub(n * packed.times);
    }
    next
}
