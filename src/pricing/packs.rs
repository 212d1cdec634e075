//! Packs: the cheapest packs that cover a need.
//!
//! Given how much is needed and the articles that serve it; gives how many of each. Exact, and where the work runs out
//! first, said so: ties go to
//! fewer packs, then to less left over, then to the article that comes first in the book. A need is rounded to a
//! thousand-millionth first, so that no drum is bought for the last digit of a division.

use super::book::Article;
use super::money::Money;
use crate::geometry::whole::{wide_div_ceil, wide_gcd};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// The packs that cover a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackPlan {
    /// How many packs of each article, in the order given.
    pub counts: Vec<u64>,
    /// Price of them all, without VAT.
    pub cost: Money,
    /// How many packs in all.
    pub packs: u64,
    /// What they hold over the need.
    pub left_over: Decimal,
    /// Whether every way to cover the need was looked at; many small packs beside price breaks have too many.
    pub proven: bool,
}

/// The cheapest packs that hold at least `need`; `None` where there is no article. Every article must hold more than
/// nothing and cost no less than nothing.
pub fn cheapest(need: Decimal, articles: &[&Article]) -> Option<PackPlan> {
    let need = need.round_dp(9).max(Decimal::ZERO);
    let scaled = Scaled::new(need, articles)?;
    let best = PackSearch::run(&scaled, articles.len())?;
    let total = |f: &dyn Fn(&Article) -> Decimal| -> Decimal {
        articles.iter().zip(&best.counts).map(|(a, n)| f(a) * Decimal::from(*n)).sum()
    };
    Some(PackPlan {
        cost: articles.iter().zip(&best.counts).map(|(a, n)| a.price_of(*n) * Decimal::from(*n)).sum(),
        packs: best.packs,
        left_over: total(&|a| a.holds) - need,
        proven: best.proven,
        counts: best.counts,
    })
}

/// One article in whole numbers.
#[derive(Debug, Clone)]
struct ScaledArticle {
    /// Its place in the list given.
    index: usize,
    holds: i128,
    /// From so many packs on, each costs so much; ascending, the first from one pack.
    tiers: Vec<(i128, i128)>,
    /// Fewest packs sold.
    least: i128,
    /// Most packs that a best plan can hold.
    cap: i128,
}

impl ScaledArticle {
    fn price(&self, n: i128) -> i128 {
        self.tiers.iter().rev().find(|(from, _)| n >= *from).map_or(self.tiers[0].1, |t| t.1)
    }

    fn lowest(&self) -> i128 {
        self.tiers.iter().map(|t| t.1).min().unwrap_or(0)
    }

    /// One price from the first pack on: the exchange argument of [`caps`] holds only for such.
    fn is_plain(&self) -> bool {
        self.tiers.len() == 1 && self.least <= 1
    }

    /// Counts that are worth trying beside nothing: up to what covers `rest`, and the steps of its price beyond.
    fn most(&self, rest: i128) -> i128 {
        let cover = ceil(rest, self.holds);
        let steps = self.tiers.iter().map(|t| t.0).max().unwrap_or(0);
        if self.is_plain() { cover.min(self.cap) } else { cover.max(steps).max(self.least) }
    }
}

fn ceil(n: i128, by: i128) -> i128 {
    wide_div_ceil(n.max(0), by)
}

/// The whole question in whole numbers. The last kind is the one with the lowest price for what it holds, where one is
/// sold at one price.
#[derive(Debug)]
struct Scaled {
    need: i128,
    kinds: Vec<ScaledArticle>,
    /// What each kind and those after it offer at best.
    from: Vec<AtBest>,
}

/// What some kinds offer at best.
#[derive(Debug, Clone, Copy)]
struct AtBest {
    /// The lowest price for what it holds, as a price and what is held for it.
    price: i128,
    holds: i128,
    /// The largest pack.
    largest: i128,
}

impl AtBest {
    /// From each kind on, so that no step of the search goes through all of them.
    fn from_each(kinds: &[ScaledArticle]) -> Vec<AtBest> {
        let mut from: Vec<AtBest> = Vec::with_capacity(kinds.len());
        for kind in kinds.iter().rev() {
            let alone = AtBest { price: kind.lowest(), holds: kind.holds, largest: kind.holds };
            let Some(after) = from.last().copied() else {
                from.push(alone);
                continue;
            };
            let best = if alone.price * after.holds < after.price * alone.holds { alone } else { after };
            from.push(AtBest { largest: after.largest.max(alone.largest), ..best });
        }
        from.reverse();
        from
    }

    /// What so much costs at least: rounded up, it is lowest where the price for what is held is.
    fn least_cost(&self, rest: i128) -> i128 {
        ceil(rest * self.price, self.holds)
    }
}

impl Scaled {
    fn new(need: Decimal, articles: &[&Article]) -> Option<Scaled> {
        let grain = articles.iter().map(|a| a.holds.normalize().scale()).max()?;
        let prices = |a: &Article| a.breaks.iter().map(|b| b.price).chain([a.price]).collect::<Vec<_>>();
        let penny = articles.iter().flat_map(|a| prices(a)).map(|p| p.as_pounds().normalize().scale()).max()?;
        let kind = |(index, a): (usize, &&Article)| {
            let mut tiers = vec![(1, whole(a.price.as_pounds(), penny))];
            tiers.extend(a.breaks.iter().map(|b| (i128::from(b.from), whole(b.price.as_pounds(), penny))));
            tiers.sort_by_key(|t| t.0);
            let least = i128::from(a.least.unwrap_or(1).max(1));
            ScaledArticle { index, holds: whole(a.holds, grain), tiers, least, cap: i128::MAX }
        };
        let kinds: Vec<ScaledArticle> = articles.iter().enumerate().map(kind).filter(|k| k.holds > 0).collect();
        let mut kinds = without_dominated(&kinds);
        kinds.sort_by(|a, b| a.is_plain().cmp(&b.is_plain()).then(by_value(b, a)));
        caps(&mut kinds);
        let from = AtBest::from_each(&kinds);
        (!kinds.is_empty()).then_some(Scaled { need: whole_up(need, grain), kinds, from })
    }
}

/// Best value first: price for what it holds, then the larger pack, then the earlier article.
fn by_value(a: &ScaledArticle, b: &ScaledArticle) -> std::cmp::Ordering {
    (a.lowest() * b.holds, b.holds, a.index).cmp(&(b.lowest() * a.holds, a.holds, b.index))
}

fn whole(d: Decimal, scale: u32) -> i128 {
    let d = d.normalize();
    d.mantissa() * 10i128.pow(scale - d.scale())
}

fn whole_up(d: Decimal, scale: u32) -> i128 {
    let d = d.normalize();
    match d.scale() <= scale {
        true => whole(d, scale),
        false => ceil(d.mantissa(), 10i128.pow(d.scale() - scale)),
    }
}

/// Leaves out every kind that another beats pack for pack: it holds no more and costs more.
fn without_dominated(kinds: &[ScaledArticle]) -> Vec<ScaledArticle> {
    let mut plain: Vec<(i128, i128)> = kinds.iter().filter(|k| k.is_plain()).map(|k| (k.holds, k.lowest())).collect();
    plain.sort_unstable();
    // The lowest price of each and all that are as large.
    plain.iter_mut().rev().fold(i128::MAX, |least, (_, price)| {
        *price = least.min(*price);
        *price
    });
    let beaten = |k: &ScaledArticle| {
        let as_large = plain.partition_point(|(holds, _)| *holds < k.holds);
        plain.get(as_large).is_some_and(|(_, least)| *least < k.lowest())
    };
    kinds.iter().filter(|k| !beaten(k)).cloned().collect()
}

/// The last kind has the lowest price for what it holds (and is the largest of those). Enough packs of another kind
/// that hold a whole number of its packs can be exchanged for these: no dearer, no more packs, nothing more left over.
fn caps(kinds: &mut [ScaledArticle]) {
    let Some((best, rest)) = kinds.split_last_mut() else { return };
    if !best.is_plain() {
        return;
    }
    for kind in rest.iter_mut().filter(|k| k.is_plain()) {
        kind.cap = best.holds / wide_gcd(kind.holds, best.holds) - 1;
    }
}

/// A whole plan, and how it ranks.
#[derive(Debug, Clone)]
struct Best {
    cost: i128,
    packs: u64,
    held: i128,
    counts: Vec<u64>,
    proven: bool,
}

/// Depth first over the kinds, with the price that the rest must cost at least as the bound.
struct PackSearch<'a> {
    scaled: &'a Scaled,
    counts: Vec<u64>,
    best: Option<Best>,
    steps: usize,
}

/// Most ways that are looked at for one need: a few drums beside one another take some hundreds.
const MOST_STEPS: usize = 200_000;

impl PackSearch<'_> {
    fn run(scaled: &Scaled, articles: usize) -> Option<Best> {
        let mut search = PackSearch { scaled, counts: vec![0; articles], best: None, steps: 0 };
        for level in (0..scaled.kinds.len()).rev() {
            search.only(level);
        }
        search.descend(0, scaled.need, 0, 0);
        let proven = search.steps <= MOST_STEPS;
        search.best.map(|best| Best { proven, ..best })
    }

    /// A first plan, to measure others by: one kind alone.
    fn only(&mut self, level: usize) {
        let kind = &self.scaled.kinds[level];
        for n in self.last_counts(kind, self.scaled.need) {
            self.set(kind.index, n);
            self.offer(self.scaled.need - n * kind.holds, n * kind.price(n), n as u64);
            self.set(kind.index, 0);
        }
    }

    fn set(&mut self, index: usize, n: i128) {
        self.counts[index] = n.to_u64().unwrap_or(u64::MAX);
    }

    /// Counts of a last kind that may be best: just enough, and each step of its price beyond that.
    fn last_counts(&self, kind: &ScaledArticle, rest: i128) -> Vec<i128> {
        if rest <= 0 {
            return vec![0];
        }
        let enough = ceil(rest, kind.holds).max(kind.least);
        let steps = kind.tiers.iter().map(|t| t.0).filter(|from| *from > enough);
        [enough].into_iter().chain(steps).collect()
    }

    fn descend(&mut self, level: usize, rest: i128, cost: i128, packs: u64) {
        if rest <= 0 {
            return self.offer(rest, cost, packs);
        }
        self.steps += 1;
        let scaled = self.scaled;
        if self.steps > MOST_STEPS || level >= scaled.kinds.len() || self.hopeless(level, rest, cost, packs) {
            return;
        }
        let kind = &scaled.kinds[level];
        if level + 1 == scaled.kinds.len() {
            for n in self.last_counts(kind, rest) {
                self.set(kind.index, n);
                self.offer(rest - n * kind.holds, cost + n * kind.price(n), packs + n as u64);
            }
        } else {
            for n in std::iter::once(0).chain(kind.least.max(1)..=kind.most(rest)) {
                let (rest, cost) = (rest - n * kind.holds, cost + n * kind.price(n));
                if self.steps > MOST_STEPS || kind.is_plain() && n > 0 && self.too_dear(level, rest, cost) {
                    break;
                }
                self.set(kind.index, n);
                self.descend(level + 1, rest, cost, packs + n as u64);
            }
        }
        self.set(kind.index, 0);
    }

    /// Whether the rest, bought at the best price for what is held, already costs more than the best plan. Grows with
    /// every pack of a plain kind, because the last kind is at least as good value.
    fn too_dear(&self, level: usize, rest: i128, cost: i128) -> bool {
        self.best.as_ref().is_some_and(|b| cost + self.scaled.from[level].least_cost(rest) > b.cost)
    }

    fn hopeless(&self, level: usize, rest: i128, cost: i128, packs: u64) -> bool {
        let Some(best) = &self.best else { return false };
        let at_best = &self.scaled.from[level];
        let least = cost + at_best.least_cost(rest);
        let fewest = packs + ceil(rest, at_best.largest) as u64;
        least > best.cost || (least == best.cost && fewest > best.packs)
    }

    fn offer(&mut self, rest: i128, cost: i128, packs: u64) {
        let held = -rest;
        let better = self.best.as_ref().is_none_or(|b| (cost, packs, held) < (b.cost, b.packs, b.held));
        if better && held >= 0 {
            self.best = Some(Best { cost, packs, held, counts: self.counts.clone(), proven: true });
        }
    }
}
