//! Merchants: which merchant sells what, so that the goods and their deliveries cost least in all.
//!
//! Given what each need costs at each merchant, and what delivery costs there; gives one merchant a need. A need is
//! never divided between merchants (one batch, one colour), and nothing more is bought to reach a threshold. Exact:
//! ties go to fewer merchants, then to those whose price books come first. A lower price can make an order dearer in
//! all, where it falls below the threshold of free delivery. Where the firm prefers a merchant, each other one must
//! save more than the firm's sum to be used; the total given is what is really paid.

use super::book::Merchant;
use super::money::Money;
use crate::model::limits;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Which merchant serves each need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// The merchant of each need, by place.
    pub chosen: Vec<usize>,
    /// Goods and deliveries.
    pub total: Money,
    /// Whether it is proven that nothing is cheaper: always for orders of a usual size. Only where several thresholds
    /// together take nearly the whole order may the search give up, and keep the best that it found.
    pub proven: bool,
}

/// The cheapest split. `costs[need][merchant]` is `None` where the merchant does not sell it; `None` where a need is
/// sold nowhere. Every set of merchants with every set of thresholds to reach is a case. Those that reach none are
/// solved at once; the others follow in the order of what they must cost at least, while that is no more than the best.
pub fn cheapest_split(costs: &[Vec<Option<Money>>], merchants: &[&Merchant]) -> Option<Split> {
    if let ([_], [_, ..]) = (merchants, costs) {
        return Some(Split { chosen: vec![0; costs.len()], total: at_one(costs, merchants, 0)?, proven: true });
    }
    let table = CoinTable::new(costs, merchants);
    let (cases, whole) = table.cases();
    let mut cases: Vec<(i128, Case)> = cases.into_iter().filter_map(|case| Some((table.floor(&case)?, case))).collect();
    cases.sort_by(|(x, a), (y, b)| (!a.free.is_empty(), x, a.rank()).cmp(&(!b.free.is_empty(), y, b.rank())));
    let (best, open) = solve(&table, cases, None, QUICK);
    let width = if merchants.len() > FEW { WIDE } else { MOST };
    let (best, open) = solve(&table, open, best, width);
    let mut best = best?;
    let proven = whole && open.is_empty();
    if !proven {
        best.chosen = table.improved(best.chosen);
    }
    let goods = |(need, m): (usize, &usize)| costs[need][*m].unwrap_or_default();
    let total_of = |m: usize| best.chosen.iter().enumerate().filter(|(_, c)| **c == m).map(goods).sum::<Money>();
    let used = (0..merchants.len()).filter(|m| best.chosen.contains(m));
    let total = used.map(|m| (m, total_of(m))).map(|(m, goods)| goods + merchants[m].delivery_of(goods)).sum();
    Some(Split { chosen: best.chosen, total, proven })
}

/// Solves cases one after the other, keeping at most `width` partial choices a need; gives the best of all, and the
/// cases where something had to be dropped.
fn solve(
    table: &CoinTable,
    cases: Vec<(i128, Case)>,
    best: Option<Found>,
    width: usize,
) -> (Option<Found>, Vec<(i128, Case)>) {
    let (mut best, mut open, mut steps) = (best, Vec::new(), 0);
    let most = if table.delivery.len() > FEW { STEPS } else { usize::MAX };
    for (floor, case) in cases {
        if best.as_ref().is_some_and(|b| floor > b.total) {
            continue;
        }
        if steps > most && !case.free.is_empty() {
            open.push((floor, case));
            continue;
        }
        let mut search = MerchantSearch::new(table, case, best);
        let dropped = search.pass(width);
        steps += BEGINNING + search.steps;
        open.extend(dropped.then_some((floor, search.case)));
        best = search.best;
    }
    (best, open)
}

/// What everything costs at one merchant, with delivery; `None` where it does not sell it all.
pub fn at_one(costs: &[Vec<Option<Money>>], merchants: &[&Merchant], place: usize) -> Option<Money> {
    let goods = costs.iter().map(|need| need[place]).sum::<Option<Money>>()?;
    Some(goods + merchants[place].delivery_of(goods))
}

// ---- The question in whole numbers ---------------------------------------------------------------------------------

/// Costs, deliveries and thresholds in one small coin.
struct CoinTable {
    costs: Vec<Vec<Option<i128>>>,
    delivery: Vec<i128>,
    /// What using each merchant counts beyond what is paid, because another is preferred.
    slight: Vec<i128>,
    free_from: Vec<Option<i128>>,
}

/// The merchants to buy from and those whose order must be delivered free.
#[derive(Debug, Clone)]
struct Case {
    /// Places of the merchants that may be used.
    used: Vec<usize>,
    /// Places of those that must reach their threshold; the others pay for delivery.
    free: Vec<usize>,
}

impl Case {
    fn rank(&self) -> (usize, &[usize], usize) {
        (self.used.len(), &self.used, self.free.len())
    }
}

impl CoinTable {
    fn new(costs: &[Vec<Option<Money>>], merchants: &[&Merchant]) -> CoinTable {
        let sums = costs.iter().flatten().flatten().copied();
        let slight = merchants.iter().filter_map(|m| m.preferred).max().unwrap_or_default();
        let terms = merchants.iter().flat_map(|m| [m.delivery, m.free_delivery_from.unwrap_or_default(), slight]);
        let scale = sums.chain(terms).map(|m| m.as_pounds().normalize().scale()).max().unwrap_or(0);
        let whole = |m: Money| {
            let d: Decimal = m.as_pounds().normalize();
            d.mantissa() * 10i128.pow(scale - d.scale())
        };
        CoinTable {
            costs: costs.iter().map(|need| need.iter().map(|c| c.map(whole)).collect()).collect(),
            delivery: merchants.iter().map(|m| whole(m.delivery)).collect(),
            slight: merchants.iter().map(|m| if m.preferred.is_some() { 0 } else { whole(slight) }).collect(),
            free_from: merchants.iter().map(|m| m.free_delivery_from.map(whole)).collect(),
        }
    }

    /// Every set of merchants that could be the cheapest, with every set of thresholds to reach; and whether these are all. Sets are
    /// grown merchant by merchant, and left as soon as what they must cost is more than is known to be enough.
    fn cases(&self) -> (Vec<Case>, bool) {
        let mut sets = SetSearch::of(self);
        sets.grow(0, &mut Vec::new(), &vec![None; self.costs.len()]);
        let pays = |m: &usize| self.delivery[*m] > 0 && self.free_from[*m].is_some();
        let (mut cases, mut whole) = (Vec::new(), sets.whole);
        for used in sets.found {
            let may: Vec<usize> = used.iter().copied().filter(pays).collect();
            let room = limits::SPLITS.most.saturating_sub(cases.len());
            whole &= 1 << may.len() <= room;
            cases.extend(subsets(&may).take(room).map(|free| Case { used: used.clone(), free }));
        }
        (cases, whole)
    }

    /// What goods and deliveries cost at these merchants, each need where it is cheapest and every delivery paid.
    fn paid_in_full(&self, used: &[usize]) -> Option<i128> {
        let goods = self.costs.iter().map(|need| used.iter().filter_map(|m| need[*m]).min());
        Some(goods.sum::<Option<i128>>()? + used.iter().map(|m| self.delivery[*m] + self.slight[*m]).sum::<i128>())
    }

    /// What is enough: the best one or two merchants, with each further one that makes it cheaper.
    fn enough(&self, all: &[usize]) -> Option<i128> {
        let pairs = all.iter().enumerate().flat_map(|(i, a)| all[i..].iter().map(move |b| (*a, *b)));
        let sets = pairs.map(|(a, b)| if a == b { vec![a] } else { vec![a, b] });
        let (mut most, mut set) = sets.filter_map(|set| Some((self.paid_in_full(&set)?, set))).min()?;
        loop {
            let more = all.iter().filter(|m| !set.contains(m)).map(|m| [&set[..], &[*m]].concat());
            match more.filter_map(|set| Some((self.paid_in_full(&set)?, set))).min() {
                Some((less, larger)) if less < most => (most, set) = (less, larger),
                _ => return Some(most),
            }
        }
    }

    /// The least that a case can cost: every need where it is cheapest, and the deliveries that are paid. `None` where
    /// a need is not sold, or the order is too small for the thresholds.
    fn floor(&self, case: &Case) -> Option<i128> {
        let most = |of: &dyn Fn(&Vec<Option<i128>>) -> i128| self.costs.iter().map(of).sum::<i128>();
        let wanted = |m: &usize| self.free_from[*m].unwrap_or(0);
        let alone = case.free.iter().all(|m| most(&|need| need[*m].unwrap_or(0)) >= wanted(m));
        let dearest = |need: &Vec<Option<i128>>| case.free.iter().filter_map(|m| need[*m]).max().unwrap_or(0);
        if !alone || most(&dearest) < case.free.iter().map(wanted).sum() {
            return None;
        }
        let goods = self.costs.iter().map(|need| case.used.iter().filter_map(|m| need[*m]).min());
        Some(goods.sum::<Option<i128>>()? + self.paid(case))
    }

    fn paid(&self, case: &Case) -> i128 {
        let delivery = |m: &usize| if case.free.contains(m) { 0 } else { self.delivery[*m] };
        case.used.iter().map(|m| delivery(m) + self.slight[*m]).sum()
    }
}

/// Where not all is searched: the best that was found, bettered step by step.
impl CoinTable {
    /// Goods, deliveries, and what merchants count that are not preferred.
    fn total(&self, chosen: &[usize]) -> Option<i128> {
        let mut goods = vec![None; self.delivery.len()];
        for (need, m) in self.costs.iter().zip(chosen) {
            *goods[*m].get_or_insert(0) += need[*m]?;
        }
        let paid = goods.iter().enumerate().filter_map(|(m, goods)| {
            let goods = (*goods)?;
            let free = self.free_from[m].is_some_and(|from| goods >= from);
            Some(goods + self.slight[m] + if free { 0 } else { self.delivery[m] })
        });
        Some(paid.sum())
    }

    /// Takes the step that saves most, as long as any saves: a need bought elsewhere, a merchant left out for the others or for any one,
    /// a merchant given all that it sells cheaper, and what it costs least to buy there until its delivery is free.
    fn improved(&self, mut chosen: Vec<usize>) -> Vec<usize> {
        let Some(mut least) = self.total(&chosen) else { return chosen };
        for _ in 0..MOST_STEPS {
            let steps = (0..self.delivery.len()).flat_map(|m| self.steps_with(&chosen, m));
            let Some((total, better)) = steps.filter_map(|step| Some((self.total(&step)?, step))).min() else { break };
            if total >= least {
                break;
            }
            (least, chosen) = (total, better);
        }
        chosen
    }

    fn steps_with(&self, chosen: &[usize], merchant: usize) -> Vec<Vec<usize>> {
        let sold: Vec<(usize, i128)> =
            self.costs.iter().enumerate().filter_map(|(n, c)| Some((n, c[merchant]?))).collect();
        let moved = |needs: &[usize]| {
            let mut step = chosen.to_vec();
            needs.iter().for_each(|n| step[*n] = merchant);
            step
        };
        // What each would cost more here than where it is bought now.
        let mut dearer: Vec<(i128, usize)> = sold
            .iter()
            .filter(|(n, _)| chosen[*n] != merchant)
            .filter_map(|(n, here)| Some((here - self.costs[*n][chosen[*n]]?, *n)))
            .collect();
        dearer.sort_unstable();
        let mut steps: Vec<Vec<usize>> = dearer.iter().map(|(_, n)| moved(&[*n])).collect();
        let in_order: Vec<usize> = dearer.iter().map(|(_, n)| *n).collect();
        steps.extend((2..=in_order.len()).map(|n| moved(&in_order[..n])));
        let others: Vec<usize> = (0..self.delivery.len()).filter(|m| *m != merchant && chosen.contains(m)).collect();
        let elsewhere = |(n, m): (usize, &usize)| match *m == merchant {
            true => others.iter().filter_map(|o| self.costs[n][*o].map(|c| (c, *o))).min().map(|(_, o)| o),
            false => Some(*m),
        };
        steps.extend(chosen.iter().enumerate().map(elsewhere).collect::<Option<Vec<usize>>>());
        let at = |other: usize| chosen.iter().map(|m| if *m == merchant { other } else { *m }).collect();
        steps.extend((0..self.delivery.len()).filter(|other| *other != merchant).map(at));
        steps
    }
}

fn subsets(of: &[usize]) -> impl Iterator<Item = Vec<usize>> + '_ {
    let member = |bits: usize| of.iter().enumerate().filter(move |(i, _)| bits >> i & 1 == 1).map(|(_, m)| *m);
    (0..1_usize << of.len()).map(move |bits| member(bits).collect())
}

/// What each need costs at the cheapest of some merchants; `None` where none of them sells it.
type Cheapest = Vec<Option<i128>>;

/// The sets of merchants that could be the cheapest.
struct SetSearch<'a> {
    table: &'a CoinTable,
    /// The merchants that sell any of it.
    all: Vec<usize>,
    /// From each of them on, what each need costs at the cheapest of them.
    rest: Vec<Cheapest>,
    /// No set that must cost more is looked at.
    most: Option<i128>,
    found: Vec<Vec<usize>>,
    whole: bool,
}

impl SetSearch<'_> {
    fn of(table: &CoinTable) -> SetSearch<'_> {
        let sells = |m: &usize| table.costs.iter().any(|need| need[*m].is_some());
        let all: Vec<usize> = (0..table.delivery.len()).filter(sells).collect();
        let mut rest = vec![vec![None; table.costs.len()]];
        for m in all.iter().rev() {
            let before = rest.last().map_or_else(Vec::new, |after| table.with(after, *m));
            rest.push(before);
        }
        rest.reverse();
        SetSearch { table, most: table.enough(&all), all, rest, found: Vec::new(), whole: true }
    }

    /// Leaves or takes each merchant from a place on, beside those that are taken, at which the needs cost so much.
    fn grow(&mut self, at: usize, taken: &mut Vec<usize>, costs: &Cheapest) {
        let Some(&next) = self.all.get(at) else {
            match self.found.len() < limits::SPLITS.most {
                _ if taken.is_empty() => {}
                true => self.found.push(taken.clone()),
                false => self.whole = false,
            }
            return;
        };
        if self.may_be_best(taken, costs, at + 1) {
            self.grow(at + 1, taken, costs);
        }
        taken.push(next);
        let with = self.table.with(costs, next);
        if self.may_be_best(taken, &with, at + 1) {
            self.grow(at + 1, taken, &with);
        }
        taken.pop();
    }

    /// Whether what is taken, with any of those from a place on, can cost as little as what is known to be enough: every need where
    /// it is cheapest of all these, and of deliveries those that are never free.
    fn may_be_best(&self, taken: &[usize], costs: &Cheapest, from: usize) -> bool {
        let Some(rest) = self.rest.get(from).filter(|_| self.whole) else { return false };
        let goods = costs.iter().zip(rest).map(|(here, there)| least(*here, *there));
        let Some(goods) = goods.sum::<Option<i128>>() else { return false };
        let never_free = |m: &usize| if self.table.free_from[*m].is_some() { 0 } else { self.table.delivery[*m] };
        let paid: i128 = taken.iter().map(|m| never_free(m) + self.table.slight[*m]).sum();
        self.most.is_none_or(|most| goods + paid <= most)
    }
}

impl CoinTable {
    /// What the needs cost at the cheapest of some merchants and one more.
    fn with(&self, costs: &Cheapest, merchant: usize) -> Cheapest {
        costs.iter().zip(&self.costs).map(|(known, need)| least(*known, need[merchant])).collect()
    }
}

/// The lower of two sums that may not be there.
fn least(a: Option<i128>, b: Option<i128>) -> Option<i128> {
    a.into_iter().chain(b).min()
}

// ---- One case ------------------------------------------------------------------------------------------------------

/// The best so far, over all cases.
#[derive(Debug, Clone)]
struct Found {
    total: i128,
    case: Case,
    chosen: Vec<usize>,
}

/// A place where a need can be bought: its cost, and what it weighs in the bound.
#[derive(Debug, Clone, Copy)]
struct Choice {
    merchant: usize,
    cost: i128,
    /// Cost less the credit for helping to reach a threshold, times [`GRAIN`].
    reduced: i128,
}

/// Multipliers are whole numbers of this part of one.
const GRAIN: i128 = 1_000_000;

/// Need after need, keeping every partial choice that no other beats and that may still become the best. The bound is
/// Lagrange's: each threshold is charged at its multiplier for what it still lacks, each purchase there credited with
/// it; any multipliers give a bound, good ones a sharp one (Held and Karp's subgradient method).
struct MerchantSearch<'a> {
    table: &'a CoinTable,
    case: Case,
    multipliers: Vec<i128>,
    /// Needs in the order in which they are decided, each with its choices, best first.
    needs: Vec<(usize, Vec<Choice>)>,
    /// From each need on: least reduced cost, and most that each free merchant can sell.
    tail: Vec<(i128, Vec<i128>)>,
    /// Threshold of each free merchant.
    wanted: Vec<i128>,
    best: Option<Found>,
    /// Partial choices that were made.
    steps: usize,
}

/// A choice for the first needs: its cost, and what each free merchant sells, counted up to its threshold.
#[derive(Debug, Clone)]
struct Partial {
    cost: i128,
    spent: Vec<i128>,
    bound: i128,
    /// The partial choice before the last need, in the layer before, and the merchant of the last need.
    from: (usize, usize),
}

/// Of so few merchants every case is searched to its end,
const FEW: usize = 6;
/// and of more as many as so many partial choices allow.
const STEPS: usize = 500_000;
/// To begin a case, which is to find its multipliers, is as much work as so many of them.
const BEGINNING: usize = 5000;
/// A choice that is not proven is bettered in so many steps at most.
const MOST_STEPS: usize = 100;
/// To hold one against so many others is as much work as one of them.
const COMPARISONS: usize = 20;
/// Where not all is searched, so many times as many are held against one another as are kept.
const COMPARED: usize = 4;
/// A first, quick pass over all cases keeps so many partial choices a need; it gives the exact search something to beat.
const QUICK: usize = 50;
/// Of many merchants the exact search keeps fewer.
const WIDE: usize = 300;
/// The exact search gives up on a case with more partial choices than this at one need.
const MOST: usize = 5000;

impl<'a> MerchantSearch<'a> {
    fn new(table: &'a CoinTable, case: Case, best: Option<Found>) -> MerchantSearch<'a> {
        let wanted: Vec<i128> = case.free.iter().filter_map(|m| table.free_from[*m]).collect();
        let multipliers = multipliers(table, &case, &wanted);
        let needs = in_order(choices(table, &case, &multipliers));
        let tail = tail(&needs, &case);
        MerchantSearch { table, case, multipliers, needs, tail, wanted, best, steps: 0 }
    }

    /// Whether a total would be better than the best, or as good with a better rank.
    fn beats(&self, total: i128) -> bool {
        self.best.as_ref().is_none_or(|b| (total, self.case.rank()) < (b.total, b.case.rank()))
    }

    /// Goes over all needs, keeping at most `width` partial choices at each; says whether any were dropped.
    fn pass(&mut self, width: usize) -> bool {
        let mut dropped = false;
        let start = Partial { cost: 0, spent: vec![0; self.wanted.len()], bound: 0, from: (0, 0) };
        let mut layers = vec![vec![start]];
        for at in 0..self.needs.len() {
            let before = &layers[at];
            let grown = (0..before.len()).flat_map(|i| self.needs[at].1.iter().map(move |c| (i, c)));
            let mut grown: Vec<Partial> =
                grown.filter_map(|(i, choice)| self.grow(at, i, &before[i], choice)).collect();
            self.steps += grown.len() + 1;
            // Each is held against each: what would be left anyway is left before that, where not all is searched.
            if width < MOST {
                dropped |= keep_best(&mut grown, COMPARED * width);
            }
            let (mut kept, compared) = undominated(grown);
            self.steps += compared / COMPARISONS;
            dropped |= keep_best(&mut kept, width);
            layers.push(kept);
        }
        let paid = self.table.paid(&self.case);
        let last = layers.last().into_iter().flatten().enumerate();
        let reached = last.filter(|(_, p)| p.spent.iter().zip(&self.wanted).all(|(s, w)| s >= w));
        if let Some((i, p)) = reached.min_by_key(|(_, p)| p.cost).filter(|(_, p)| self.beats(p.cost + paid)) {
            let total = p.cost + paid;
            self.best = Some(Found { total, case: self.case.clone(), chosen: self.trace(&layers, i) });
        }
        dropped
    }

    /// The partial choice with one need more; `None` where a threshold is out of reach or the bound is no better.
    fn grow(&self, at: usize, index: usize, partial: &Partial, choice: &Choice) -> Option<Partial> {
        let (least, most) = &self.tail[at + 1];
        let mut spent = partial.spent.clone();
        if let Some(f) = self.case.free.iter().position(|m| *m == choice.merchant) {
            spent[f] = (spent[f] + choice.cost).min(self.wanted[f]);
        }
        let lacks = || self.wanted.iter().zip(&spent).map(|(w, s)| w - s);
        if lacks().zip(most).any(|(lack, most)| lack > *most) {
            return None;
        }
        let cost = partial.cost + choice.cost;
        let charge: i128 = lacks().zip(&self.multipliers).map(|(lack, l)| lack * l).sum();
        let bound = (cost + self.table.paid(&self.case)) * GRAIN + charge + least;
        let whole = -(-bound).div_euclid(GRAIN);
        self.beats(whole).then_some(Partial { cost, spent, bound, from: (index, choice.merchant) })
    }

    /// The merchant of each need on the way to a partial choice of the last layer.
    fn trace(&self, layers: &[Vec<Partial>], last: usize) -> Vec<usize> {
        let mut chosen = vec![0; self.needs.len()];
        let mut index = last;
        for at in (0..self.needs.len()).rev() {
            let (before, merchant) = layers[at + 1][index].from;
            chosen[self.needs[at].0] = merchant;
            index = before;
        }
        chosen
    }
}

/// Keeps so many, those of the least bound; says whether any were left.
fn keep_best(all: &mut Vec<Partial>, most: usize) -> bool {
    let more = all.len() > most;
    if more {
        all.sort_by_key(|p| p.bound);
        all.truncate(most);
    }
    more
}

/// Leaves out every partial choice that another beats in cost and in what every free merchant sells; and how many were
/// held against one another for it.
fn undominated(mut all: Vec<Partial>) -> (Vec<Partial>, usize) {
    all.sort_by(|a, b| (a.cost, &b.spent).cmp(&(b.cost, &a.spent)));
    let mut front = Front::default();
    all.retain(|p| front.admits(&p.spent));
    (all, front.compared)
}

/// What the free merchants sell in the partial choices that were kept, those left out that another covers.
#[derive(Default)]
struct Front {
    /// One or two merchants: the first's sales, ascending, with the second's, descending.
    stairs: BTreeMap<i128, i128>,
    /// More merchants.
    rest: Vec<Vec<i128>>,
    /// How many of `rest` were looked at.
    compared: usize,
}

impl Front {
    /// Takes it in unless it is covered.
    fn admits(&mut self, spent: &[i128]) -> bool {
        match spent {
            [] => self.climbs(0, 0),
            [one] => self.climbs(*one, 0),
            [one, two] => self.climbs(*one, *two),
            more => {
                let covers = |a: &[i128], b: &[i128]| a.iter().zip(b).all(|(a, b)| a >= b);
                let new = !self.rest.iter().rev().any(|kept| covers(kept, more));
                self.compared += self.rest.len();
                if new {
                    self.rest.retain(|kept| !covers(more, kept));
                    self.rest.push(more.to_vec());
                }
                new
            }
        }
    }

    fn climbs(&mut self, one: i128, two: i128) -> bool {
        if self.stairs.range(one..).next().is_some_and(|(_, kept)| *kept >= two) {
            return false;
        }
        while let Some((lower, kept)) = self.stairs.range(..=one).next_back().map(|(a, b)| (*a, *b)) {
            if kept > two {
                break;
            }
            self.stairs.remove(&lower);
        }
        self.stairs.insert(one, two);
        true
    }
}

/// Where each need may be bought: at the cheapest, or at a merchant whose threshold is to be reached; nowhere else can
/// it help.
fn choices(table: &CoinTable, case: &Case, multipliers: &[i128]) -> Vec<(usize, Vec<Choice>)> {
    let of_need = |(need, costs): (usize, &Vec<Option<i128>>)| {
        let cheapest = case.used.iter().filter_map(|m| costs[*m].map(|c| (c, *m))).min().map(|(_, m)| m);
        let may = case.used.iter().filter(|m| Some(**m) == cheapest || case.free.contains(m));
        let mut choices: Vec<Choice> = may
            .filter_map(|m| {
                let cost = costs[*m]?;
                let credit = case.free.iter().position(|f| f == m).map_or(0, |f| multipliers[f]);
                Some(Choice { merchant: *m, cost, reduced: cost * (GRAIN - credit) })
            })
            .collect();
        choices.sort_by_key(|c| (c.reduced, c.merchant));
        (need, choices)
    };
    table.costs.iter().enumerate().map(of_need).collect()
}

/// Needs whose best choice is clearest first: what is undecided stays small and cheap.
fn in_order(mut needs: Vec<(usize, Vec<Choice>)>) -> Vec<(usize, Vec<Choice>)> {
    let clear = |choices: &[Choice]| choices.get(1).map_or(i128::MAX, |second| second.reduced - choices[0].reduced);
    needs.sort_by_key(|(need, choices)| (std::cmp::Reverse(clear(choices)), *need));
    needs
}

fn tail(needs: &[(usize, Vec<Choice>)], case: &Case) -> Vec<(i128, Vec<i128>)> {
    let mut tail = vec![(0, vec![0; case.free.len()])];
    for (_, choices) in needs.iter().rev() {
        let (least, most) = &tail[tail.len() - 1];
        let here = |m: &usize| choices.iter().find(|c| c.merchant == *m).map_or(0, |c| c.cost);
        let most = case.free.iter().zip(most).map(|(m, most)| most + here(m)).collect();
        let least = least + choices.first().map_or(0, |c| c.reduced);
        tail.push((least, most));
    }
    tail.reverse();
    tail
}

/// Multipliers that make the bound sharp: steps along what each threshold lacks or has too much, shorter and shorter.
/// They only steer the search: the bound holds for any.
fn multipliers(table: &CoinTable, case: &Case, wanted: &[i128]) -> Vec<i128> {
    let mut now = vec![0i128; wanted.len()];
    let mut best = (i128::MIN, now.clone());
    let mut step = GRAIN / 2;
    while step > 0 && !wanted.is_empty() {
        let choices = choices(table, case, &now);
        let firsts = choices.iter().filter_map(|(_, c)| c.first());
        let charge: i128 = wanted.iter().zip(&now).map(|(w, l)| w * l).sum();
        let bound = charge + firsts.clone().map(|c| c.reduced).sum::<i128>();
        if bound > best.0 {
            best = (bound, now.clone());
        }
        for (f, m) in case.free.iter().enumerate() {
            let spent: i128 = firsts.clone().filter(|c| c.merchant == *m).map(|c| c.cost).sum();
            let lack = step * (wanted[f] - spent) / wanted[f].max(1);
            now[f] = (now[f] + lack).clamp(0, 3 * GRAIN);
        }
        step = step * 9 / 10;
    }
    best.1
}
