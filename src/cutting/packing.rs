//! Given, working and solved: pieces to be packed into stock lengths at the least cost.
//!
//! Given weights with their counts and kinds of bin with a capacity and a cost; gives a packing, the cost that no
//! packing can beat, and where that bound comes from. A bound is only ever stated in whole numbers; when the counted
//! work runs out the gap is handed back as it stands.

use super::bound::Totals;
use super::first_fit;
use super::instance::{Instance, Packed, cost_of};
use super::master::Master;
use super::search::Search;

/// Where a bound comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reason {
    /// The weights together.
    Total,
    /// A price for each item at which no bin is worth more than it costs.
    Prices,
    /// Every cheaper plan was ruled out one by one.
    Search,
}

/// A packing with its proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PackingOutcome {
    /// The bins; `None` when none was found below the ceiling.
    pub packed: Option<Vec<Packed>>,
    /// What they cost; the ceiling when none was found.
    pub cost: i64,
    /// What no packing can beat.
    pub bound: i64,
    /// Why.
    pub reason: Reason,
    /// Work left over.
    pub effort: u64,
    /// A whole-number price for each item, where prices were worked out.
    pub prices: Option<Vec<i64>>,
}

/// Packs at the least cost, within `effort` units of counted work.
///
/// With `below`, only a packing that costs less than this is of interest; the answer is then `packed: None` where
/// there is none (`bound == cost`) or none was found.
pub(crate) fn solve(instance: &Instance, effort: u64, below: Option<i64>) -> PackingOutcome {
    let start = Start::of(instance, below);
    if start.is_settled() {
        return start.outcome(Reason::Total, effort, None);
    }
    let mut master = Master::new(instance, effort);
    let root = master.relax(&instance.demand, &start.totals);
    let bound = start.bound.max(root.bound.min(start.cost));
    let reason = if bound > start.bound { Reason::Prices } else { Reason::Total };
    let start = Start { bound, ..start };
    let effort_left = master.effort;
    if start.is_settled() {
        return start.outcome(reason, effort_left, Some(root.prices));
    }
    let mut search = Search::new(instance, master, &start.totals, start.packed, start.cost, start.bound);
    search.dive();
    let exhausted = search.best_cost() > bound && search.exhaust();
    let cost = search.best_cost();
    let (bound, reason) = if exhausted && cost > bound { (cost, Reason::Search) } else { (bound, reason) };
    let effort = search.effort();
    PackingOutcome { packed: search.into_packed(), cost, bound, reason, effort, prices: Some(root.prices) }
}

/// What is known before any price is worked out.
struct Start {
    packed: Option<Vec<Packed>>,
    cost: i64,
    bound: i64,
    totals: Totals,
}

impl Start {
    fn of(instance: &Instance, below: Option<i64>) -> Start {
        let packed = first_fit::best(instance);
        let cost = packed.as_deref().map_or(i64::MAX / 4, |p| cost_of(instance, p));
        let (packed, cost) = match below {
            Some(ceiling) if cost >= ceiling => (None, ceiling),
            _ => (packed, cost),
        };
        let totals = Totals::new(&instance.parts_of_cost, cost);
        let bound = totals.round_up(instance.least).min(cost);
        Start { packed, cost, bound, totals }
    }

    fn is_settled(&self) -> bool {
        self.bound >= self.cost
    }

    fn outcome(self, reason: Reason, effort: u64, prices: Option<Vec<i64>>) -> PackingOutcome {
        PackingOutcome { packed: self.packed, cost: self.cost, bound: self.bound, reason, effort, prices }
    }
}
