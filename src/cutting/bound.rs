//! Bounds in whole numbers: what no plan can beat.
//!
//! Given weights, bins and, for each item, a whole-number price; gives the least cost that any packing must reach.
//! A floating-point number may suggest the prices but never enters the proof.

use super::instance::Bin;
use crate::geometry::whole::{div_ceil, gcd, wide_div_ceil};

/// Above this the list of attainable totals is not kept and a bound is rounded to the common divisor alone.
const LONGEST_LIST: i64 = 4_000_000;

/// Which totals sums of a few costs can have at all. A bound between two of them may be raised to the upper.
#[derive(Debug, Clone)]
pub(crate) struct Totals {
    divisor: i64,
    attainable: Vec<bool>,
}

impl Totals {
    /// The totals up to and including `top`.
    pub(super) fn new(costs: &[i64], top: i64) -> Totals {
        let divisor = costs.iter().fold(0, |d, &c| gcd(d, c)).max(1);
        let length = top / divisor + 1;
        if length > LONGEST_LIST || costs.contains(&divisor) {
            return Totals { divisor, attainable: Vec::new() };
        }
        let mut attainable = vec![false; length as usize];
        attainable[0] = true;
        for total in 1..attainable.len() {
            let reached = |c: &i64| total.checked_sub((c / divisor) as usize).is_some_and(|t| attainable[t]);
            attainable[total] = costs.iter().any(reached);
        }
        Totals { divisor, attainable }
    }

    /// The least attainable total that is no less than `cost`; past the end of the list, `cost` rounded up to the
    /// common divisor.
    pub(super) fn round_up(&self, cost: i64) -> i64 {
        let mut steps = div_ceil(cost.max(0), self.divisor);
        while let Some(false) = self.attainable.get(steps as usize) {
            steps += 1;
        }
        steps * self.divisor
    }

    /// The greatest total that may be attained below `cost`, or `cost - divisor` where the list is not kept.
    pub(super) fn below(&self, cost: i64) -> i64 {
        let mut steps = div_ceil(cost, self.divisor) - 1;
        while steps > 0 && self.attainable.get(steps as usize) == Some(&false) {
            steps -= 1;
        }
        steps * self.divisor
    }
}

/// The least cost by weight alone: all the weight at the best cost for a unit of capacity.
pub(crate) fn total_weight_bound(weights: &[i64], demand: &[u32], bins: &[Bin]) -> i64 {
    let total: i64 = weights.iter().zip(demand).map(|(w, &d)| w * i64::from(d)).sum();
    let least = bins.iter().map(|b| wide_div_ceil(i128::from(total) * i128::from(b.cost), b.capacity.into()) as i64);
    least.min().unwrap_or(0)
}

/// The least cost by prices (Farley 1990): where the best filling of a bin of cost `c` is worth `v`, items worth `w`
/// together cost at least `w · c / v`, taken over the kind of bin where that is least.
pub(crate) fn priced_bound(worth: i128, best: &[(i64, i64)]) -> i64 {
    best.iter()
        .filter(|b| b.1 > 0)
        .map(|&(cost, value)| wide_div_ceil(worth * i128::from(cost), value.into()) as i64)
        .min()
        .unwrap_or(0)
}

/// The least cost by prices where items cost something of their own: each of at most `bins` bins may be worth up to
/// `over` more than it costs, in prices of so many to one unit of cost.
pub(crate) fn lagrangian_bound(worth: i128, over: i64, bins: u64, scale: i64) -> i64 {
    wide_div_ceil(worth - i128::from(over) * i128::from(bins), scale.into()) as i64
}
