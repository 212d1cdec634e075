//! What is to be packed: weights, how many of each, and the kinds of bin.
//!
//! Given weights with their counts and kinds of bin with a capacity and a cost; says what fits, and what a packing costs.
//! Where weight alone does not decide, a further question is asked of a filling, and its answer remembered.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

/// One kind of bin: as many as are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Bin {
    /// What it holds.
    pub capacity: i64,
    /// What one costs; below nothing only where items cost something of their own.
    pub cost: i64,
    /// It takes only fillings whose items give this much together.
    pub needs: i64,
}

/// Whether a filling that fits by weight can really be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cuttable {
    /// It can.
    Yes,
    /// It cannot, for certain.
    No,
    /// No way was found; nothing is proven.
    Unknown,
}

/// How often each item lies in a bin: `(item, times)`, ascending by item, each at least once.
pub(crate) type Filling = Vec<(usize, u32)>;

/// A question beyond weight, asked of a filling.
pub(crate) type Question<'a> = &'a dyn Fn(usize, &[(usize, u32)]) -> Cuttable;

/// What one question counts as work: putting a few pieces in order.
const WORK_OF_A_QUESTION: u64 = 20_000;

/// What was asked of a question so far.
#[derive(Default)]
pub(crate) struct Answers {
    known: RefCell<BTreeMap<usize, BTreeMap<Filling, Cuttable>>>,
    asked: Cell<u64>,
}

/// What is to be packed. Weights descend; every item fits the largest bin.
pub(crate) struct Instance<'a> {
    /// Weight of each item, positive, descending.
    pub weights: Vec<i64>,
    /// How many of each are wanted.
    pub demand: Vec<u32>,
    /// What each item gives towards the needs of a bin.
    pub gives: Vec<i64>,
    /// What each item costs in whatever bin it lies: a filling costs its bin and its items, and never less than nothing.
    pub own: Vec<i64>,
    /// Kinds of bin; the widest needs nothing.
    pub bins: Vec<Bin>,
    /// Every total cost is a sum of these.
    pub parts_of_cost: Vec<i64>,
    /// No packing of everything wanted costs less, by weight alone.
    pub least: i64,
    /// A further question about a filling, where weight alone does not decide.
    pub question: Option<Question<'a>>,
    /// Answers to that question, and what they cost.
    pub answers: Answers,
}

impl Instance<'_> {
    /// Whether a filling within its capacity can be cut.
    pub(super) fn verdict(&self, bin: usize, filling: &[(usize, u32)]) -> Cuttable {
        let given: i64 = filling.iter().map(|&(i, n)| self.gives[i] * i64::from(n)).sum();
        if given < self.bins[bin].needs {
            return Cuttable::No;
        }
        let Some(ask) = self.question else { return Cuttable::Yes };
        let known = self.answers.known.borrow().get(&bin).and_then(|known| known.get(filling)).copied();
        known.unwrap_or_else(|| {
            let verdict = ask(bin, filling);
            self.answers.asked.set(self.answers.asked.get() + 1);
            self.answers.known.borrow_mut().entry(bin).or_default().insert(filling.to_vec(), verdict);
            verdict
        })
    }

    /// What the questions asked since the last call count as work.
    pub(super) fn take_asked(&self) -> u64 {
        self.answers.asked.take() * WORK_OF_A_QUESTION
    }

    /// The largest capacity.
    pub(super) fn widest(&self) -> i64 {
        self.bins.iter().map(|b| b.capacity).max().unwrap_or(0)
    }

    /// The weight of a filling.
    pub(super) fn load(&self, filling: &[(usize, u32)]) -> i64 {
        filling.iter().map(|&(i, n)| self.weights[i] * i64::from(n)).sum()
    }

    /// What a filled bin costs, with its items.
    pub(super) fn cost(&self, bin: usize, filling: &[(usize, u32)]) -> i64 {
        self.bins[bin].cost + filling.iter().map(|&(i, n)| self.own[i] * i64::from(n)).sum::<i64>()
    }

    /// Whether items cost something of their own.
    pub(super) fn has_own_costs(&self) -> bool {
        self.own.iter().any(|&c| c != 0)
    }

    /// The most that any kind of bin needs of its items.
    pub(super) fn most_needed(&self) -> i64 {
        self.bins.iter().map(|b| b.needs).max().unwrap_or(0).max(0)
    }

    /// The cheapest kind of bin that takes a filling.
    pub(super) fn cheapest_for(&self, filling: &[(usize, u32)]) -> Option<usize> {
        let load = self.load(filling);
        let mut kinds: Vec<usize> = (0..self.bins.len()).filter(|&b| self.bins[b].capacity >= load).collect();
        kinds.sort_by_key(|&b| (self.bins[b].cost, b));
        kinds.into_iter().find(|&b| self.verdict(b, filling) == Cuttable::Yes)
    }
}

/// One bin as filled, so many times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Packed {
    /// Kind of bin.
    pub bin: usize,
    /// What is in it.
    pub filling: Filling,
    /// How many such bins.
    pub times: u32,
}

/// What a packing costs.
pub(crate) fn cost_of(instance: &Instance, packed: &[Packed]) -> i64 {
    packed.iter().map(|p| instance.cost(p.bin, &p.filling) * i64::from(p.times)).sum()
}
