//! Merchants: which merchant sells what, so that the goods and their deliveries cost least in all.
//!
//! Given what each need costs at each merchant, and what delivery costs there; gives one merchant a need. A need is
//! never divided between merchants (one batch, one colour), and nothing more is bought to reach a threshold. Exact:
//! ties go to fewer merchants, then to those whose price books come first.

use super::book::Merchant;
use super::money::Money;

/// Which merchant serves each need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// The merchant of each need, by place.
    pub chosen: Vec<usize>,
    /// Goods and deliveries.
    pub total: Money,
}

/// The merchants to buy from and those whose order must be delivered free.
struct Case {
    /// Places of the merchants that may be used.
    used: Vec<usize>,
    /// Places of those that must reach their threshold; the others pay for delivery.
    free: Vec<usize>,
}

/// The cheapest split. `costs[need][merchant]` is `None` where the merchant does not sell it; `None` where a need is
/// sold nowhere.
pub fn cheapest_split(costs: &[Vec<Option<Money>>], merchants: &[&Merchant]) -> Option<Split> {
    let mut best: Option<Split> = None;
    for case in cases(merchants) {
        if let Some(found) = solve(&case, costs, merchants, best.as_ref().map(|b| b.total)) {
            best = Some(found);
        }
    }
    best
}

/// What everything costs at one merchant, with delivery; `None` where it does not sell it all.
pub fn at_one(costs: &[Vec<Option<Money>>], merchants: &[&Merchant], place: usize) -> Option<Money> {
    let goods = costs.iter().map(|need| need[place]).sum::<Option<Money>>()?;
    Some(goods + merchants[place].delivery_of(goods))
}

/// Every set of merchants, small sets first, with every set of thresholds to reach; those that reach none first.
fn cases(merchants: &[&Merchant]) -> Vec<Case> {
    let n = merchants.len();
    let mut sets: Vec<Vec<usize>> = (1..1usize << n).map(|bits| members(bits, &(0..n).collect::<Vec<_>>())).collect();
    sets.sort_by_key(|s| (s.len(), s.clone()));
    sets.into_iter().flat_map(|used| threshold_cases(used, merchants)).collect()
}

fn members(bits: usize, of: &[usize]) -> Vec<usize> {
    of.iter().enumerate().filter(|(i, _)| bits >> i & 1 == 1).map(|(_, m)| *m).collect()
}

fn threshold_cases(used: Vec<usize>, merchants: &[&Merchant]) -> Vec<Case> {
    let pays = |m: &&usize| merchants[**m].delivery > Money::ZERO && merchants[**m].free_delivery_from.is_some();
    let may_be_free: Vec<usize> = used.iter().filter(pays).copied().collect();
    let frees = (0..1usize << may_be_free.len()).map(|bits| members(bits, &may_be_free));
    frees.map(|free| Case { used: used.clone(), free }).collect()
}

/// A choice for the first needs: what it costs over the cheapest, and what each free merchant sells so far.
#[derive(Debug, Clone)]
struct Partial {
    extra: Money,
    spent: Vec<Money>,
    chosen: Vec<usize>,
}

/// The best split of one case that costs less than `beat`.
fn solve(case: &Case, costs: &[Vec<Option<Money>>], merchants: &[&Merchant], beat: Option<Money>) -> Option<Split> {
    let cheapest: Vec<usize> = costs.iter().map(|need| cheapest_of(need, &case.used)).collect::<Option<_>>()?;
    let price = |need: usize, m: usize| costs[need][m];
    let goods: Money = cheapest.iter().enumerate().filter_map(|(need, m)| price(need, *m)).sum();
    let paid = case.used.iter().filter(|m| !case.free.contains(m)).map(|m| merchants[*m].delivery).sum::<Money>();
    let floor = goods + paid;
    let within = |extra: Money| beat.is_none_or(|b| floor + extra < b);
    let wanted: Vec<Money> = case.free.iter().filter_map(|m| merchants[*m].free_delivery_from).collect();
    let reachable = reachable(case, costs);
    let start = Partial { extra: Money::ZERO, spent: vec![Money::ZERO; wanted.len()], chosen: Vec::new() };
    let mut partials = if within(Money::ZERO) { vec![start] } else { Vec::new() };
    for (need, &base) in cheapest.iter().enumerate() {
        let mut next = Vec::new();
        for partial in &partials {
            let choices = [base].into_iter().chain(case.free.iter().copied().filter(|m| *m != base));
            let grown = choices.filter_map(|m| grow(partial, m, price(need, m)?, price(need, base)?, case, &wanted));
            next.extend(grown.filter(|p| within(p.extra) && can_reach(p, &wanted, &reachable[need + 1])));
        }
        partials = undominated(next);
    }
    let best = partials.into_iter().min_by_key(|p| p.extra)?;
    Some(Split { total: floor + best.extra, chosen: best.chosen })
}

fn cheapest_of(need: &[Option<Money>], used: &[usize]) -> Option<usize> {
    used.iter().filter_map(|m| need[*m].map(|cost| (cost, *m))).min().map(|(_, m)| m)
}

fn grow(p: &Partial, m: usize, cost: Money, base: Money, case: &Case, wanted: &[Money]) -> Option<Partial> {
    let mut grown = p.clone();
    grown.extra += cost - base;
    grown.chosen.push(m);
    if let Some(at) = case.free.iter().position(|f| *f == m) {
        grown.spent[at] = (grown.spent[at] + cost).min(wanted[at]);
    }
    Some(grown)
}

/// For each need and those after it: the most that each free merchant could sell, and the most that all could together.
fn reachable(case: &Case, costs: &[Vec<Option<Money>>]) -> Vec<(Vec<Money>, Money)> {
    let mut tail = vec![(vec![Money::ZERO; case.free.len()], Money::ZERO)];
    for need in costs.iter().rev() {
        let (each, all) = &tail[tail.len() - 1];
        let here: Vec<Money> = case.free.iter().map(|m| need[*m].unwrap_or_default()).collect();
        let most = here.iter().copied().max().unwrap_or_default();
        tail.push((each.iter().zip(&here).map(|(a, b)| *a + *b).collect(), *all + most));
    }
    tail.reverse();
    tail
}

/// Whether every threshold can still be reached, each alone and all together.
fn can_reach(p: &Partial, wanted: &[Money], (each, all): &(Vec<Money>, Money)) -> bool {
    let short: Vec<Money> = wanted.iter().zip(&p.spent).map(|(w, s)| *w - *s).collect();
    short.iter().zip(each).all(|(s, most)| s <= most) && short.iter().copied().sum::<Money>() <= *all
}

/// Leaves out every partial choice that another beats in cost and in what the free merchants sell.
fn undominated(mut all: Vec<Partial>) -> Vec<Partial> {
    all.sort_by(|a, b| (a.extra, &b.spent).cmp(&(b.extra, &a.spent)));
    let mut kept: Vec<Partial> = Vec::new();
    for p in all {
        let beaten = |k: &Partial| k.spent.iter().zip(&p.spent).all(|(a, b)| a >= b);
        if !kept.iter().rev().any(beaten) {
            kept.push(p);
        }
    }
    kept
}
