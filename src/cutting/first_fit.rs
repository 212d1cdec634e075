//! Quick plans: first fit and best fit, longest first.
//!
//! Given an instance; gives a good packing at once, before anything is proven.

use super::instance::{Cuttable, Filling, Instance, Packed, cost_of};
use std::collections::BTreeSet;

/// The cheapest of a few quick packings of everything; `None` where a further question refuses even single items.
pub(crate) fn best(instance: &Instance) -> Option<Vec<Packed>> {
    fit(instance, &instance.demand)
}

/// The same for a part of the demand.
pub(crate) fn fit(instance: &Instance, demand: &[u32]) -> Option<Vec<Packed>> {
    let mut found: Option<(i64, Vec<Packed>)> = None;
    for kind in 0..instance.bins.len() {
        for tightest in [false, true] {
            if let Some(packed) = fit_into(instance, demand, kind, tightest) {
                let cost = cost_of(instance, &packed);
                if found.as_ref().is_none_or(|f| cost < f.0) {
                    found = Some((cost, packed));
                }
            }
        }
    }
    found.map(|f| f.1)
}

/// A bin being filled.
struct Open {
    filling: Filling,
    room: i64,
}

/// Longest first into the first (or tightest) open bin; bins are opened as `kind`, and changed for the cheapest kind
/// that takes what is in them at the end.
fn fit_into(instance: &Instance, demand: &[u32], kind: usize, tightest: bool) -> Option<Vec<Packed>> {
    let mut open: Vec<Open> = Vec::new();
    let capacity = instance.bins[kind].capacity;
    for (item, &weight) in instance.weights.iter().enumerate() {
        let fits = |o: &Open| weight <= o.room && (instance.question.is_none() || takes(instance, kind, o, item));
        // A bin that has refused an item refuses the next one like it: only one that has changed since is asked again.
        let (mut first, mut unasked, mut willing) = (0, (0..open.len()).collect::<Vec<_>>(), BTreeSet::new());
        for _ in 0..demand[item] {
            let place = match tightest {
                false => (first..open.len()).find(|&b| fits(&open[b])).unwrap_or(open.len()),
                true => {
                    willing.extend(unasked.drain(..).filter(|&b| fits(&open[b])).map(|b| (open[b].room, b)));
                    willing.pop_first().map_or(open.len(), |(_, b)| b)
                }
            };
            first = place;
            unasked.push(place);
            match open.get_mut(place) {
                Some(bin) => {
                    add(&mut bin.filling, item);
                    bin.room -= weight;
                }
                None => open.push(Open { filling: vec![(item, 1)], room: capacity - weight }),
            }
        }
    }
    open.into_iter().map(|o| closed(instance, o.filling)).collect()
}

fn closed(instance: &Instance, filling: Filling) -> Option<Packed> {
    let bin = instance.cheapest_for(&filling)?;
    Some(Packed { bin, filling, times: 1 })
}

fn takes(instance: &Instance, kind: usize, open: &Open, item: usize) -> bool {
    let mut filling = open.filling.clone();
    add(&mut filling, item);
    instance.verdict(kind, &filling) == Cuttable::Yes
}

/// One more of an item; items come in ascending order.
fn add(filling: &mut Filling, item: usize) {
    match filling.last_mut() {
        Some((last, times)) if *last == item => *times += 1,
        _ => filling.push((item, 1)),
    }
}
