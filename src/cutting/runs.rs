//! The trims' own problem: runs that may be joined from pieces whose lengths are free.
//!
//! Given runs, the lengths sold and the rules of joining; gives every piece with its length and the stock length it is
//! cut from, at the fewest stock lengths (or the least cost), then the fewest laps, then with the longest offcut kept
//! in one piece, and the proof of the first.
//!
//! Why this is a packing problem. A run of `k` pieces with laps adds up to `T = L + (k - 1) · lap`, and `k` is the
//! fewest, so `rest = T - (k - 1) · S` lies above the lap and up to `S`, the longest stock. Take runs and lengths that
//! hang together by their pieces: `R` runs on `b` lengths have at least `R + b - 1` pieces, so `b` is at most
//! `1 + Σ (k - 1)`, and the lengths hold `Σ T` only if `Σ rest` is at most `S`. The runs' rests are packed into shared
//! lengths; everything else is full lengths. An extra lap adds a piece, and with it one more shared length to the
//! group; a shorter stock length takes the place of a full one. Each is a kind of bin. With a kerf every piece is
//! longer by it, and so is every length.
//!
//! Where several lengths are sold, the full lengths that a run needs are counted with the run and not beforehand: a
//! kind of bin with many short lengths then saves on them, and what a group costs is what its lengths cost.

use super::chain::{CutBar, CutRules, Member, SharedLengths, arrange, can_be_cut};
use super::instance::{Bin, Filling, Instance, Packed};
use super::knapsack::Knapsack;
use super::packing::{PackingOutcome, Reason, solve};
use super::proof::Proof;
use super::stock::reason;
use crate::geometry::whole::{div_ceil, gcd, wide_div_ceil};
use crate::model::Length;
use std::collections::BTreeMap;

/// A run, mitre allowances included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunWanted {
    /// Its length; positive.
    pub length: Length,
    /// It must come out of one length.
    pub single: bool,
}

/// A length that is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoldLength {
    /// Its length.
    pub length: Length,
    /// What one costs; lengths are compared by price only where each has one.
    pub pence: Option<u64>,
}

/// The rules of joining.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joining {
    /// How far two pieces lap.
    pub lap: Length,
    /// No piece of a joined run is shorter.
    pub shortest: Length,
    /// Laps allowed in a run beyond the fewest it needs.
    pub extra_laps: u32,
    /// Lost at each cut.
    pub kerf: Length,
}

/// One piece of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunCut {
    /// Its cut length.
    pub length: Length,
    /// The stock length it is cut from: index into `RunPlan::bars`.
    pub bar: usize,
}

/// One stock length with what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunBar {
    /// Its length.
    pub stock: Length,
    /// `(run, piece)` in cutting order.
    pub cuts: Vec<(usize, usize)>,
    /// What is left.
    pub offcut: Length,
}

/// The plan for one profile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunPlan {
    /// The pieces of each run, as given. Any order along the run is as good.
    pub runs: Vec<Vec<RunCut>>,
    /// The lengths bought.
    pub bars: Vec<RunBar>,
    /// Proof that no fewer lengths will do, or that no plan is cheaper.
    pub proof: Proof,
    /// The proof counts pence, not lengths.
    pub in_pence: bool,
    /// Whether the longest offcut is proven to be the longest that the bought lengths can leave.
    pub offcut_proven: bool,
}

impl RunPlan {
    /// A figure of the proof with its unit.
    pub fn in_words(&self, figure: i64) -> String {
        cost_in_words(figure, self.in_pence)
    }

    /// Laps in all.
    pub fn laps(&self) -> usize {
        self.runs.iter().map(|r| r.len() - 1).sum()
    }
}

/// What a plan costs, with its unit: `£94.31`, `5 lengths`.
pub fn cost_in_words(figure: i64, in_pence: bool) -> String {
    match (in_pence, figure) {
        (true, _) => format!("£{}.{:02}", figure / 100, figure % 100),
        (false, 1) => "1 length".into(),
        (false, _) => format!("{figure} lengths"),
    }
}

/// Why runs cannot be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunPlanFault {
    /// No length is sold, or one is not longer than a lap and a kerf.
    NoStock,
    /// A rule is negative.
    Rules,
    /// This run has no length.
    NoLength(usize),
    /// This run may not be joined and is longer than the longest length sold.
    SingleTooLong(usize),
    /// This run must be joined, and no pieces are long enough for the shortest piece and short enough for the stock.
    NoPieces(usize),
}

/// Work that is spent on keeping the longest offcut.
const OFFCUT_EFFORT: u64 = 20_000_000;
/// With less than this left no further length is tried.
const LEAST_EFFORT: u64 = 100_000;
/// So often the longest offcut that prices allow is tried before the interval is halved.
const TRIES_FROM_ABOVE: usize = 4;
/// Groups of more shared lengths than this are not tried; the bound then rests on the lengths together.
const MOST_EXTRA: i64 = 4;

/// Cuts the runs of one profile, within `effort` units of counted work.
///
/// # Errors
/// Everything that makes cutting impossible.
pub fn cut_runs(
    wanted: &[RunWanted],
    sold: &[SoldLength],
    joining: &Joining,
    effort: u64,
) -> Result<RunPlan, Vec<RunPlanFault>> {
    let job = PreparedRuns::new(wanted, sold, joining)?;
    let first = job.solved(&job.members, CountedIn::First, effort, None);
    let cost = job.fine_cost(&first.groups);
    let second = match job.is_fine() {
        true => None,
        false => Some(job.solved(&job.members, CountedIn::Fine, effort, Some(cost + 1))),
    };
    let groups = match second {
        Some(s) if !s.groups.is_empty() => s.groups,
        _ => first.groups,
    };
    let (groups, offcut_proven) = job.keep_longest_offcut(groups);
    Ok(job.plan(groups, first.proof, offcut_proven))
}

/// What is counted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum CountedIn {
    /// Lengths or pence alone.
    First,
    /// Lengths or pence, then laps, then metres bought.
    Fine,
}

/// Runs that hang together: who they are, and the kind of bin.
type Group = (Vec<usize>, usize);

struct Solved {
    groups: Vec<Group>,
    proof: Proof,
    effort: u64,
    /// No single offcut of this plan's cost is longer, by the prices that were worked out.
    longest_by_prices: i64,
}

/// A job made ready.
struct PreparedRuns {
    members: Vec<Member>,
    rules: CutRules,
    kinds: Vec<SharedLengths>,
    /// Capacity, first and fine cost of each kind.
    sizes: Vec<(i64, i64, i64)>,
    stock: LengthsSold,
    /// First and fine cost of each length sold, as in `stock`.
    costs: Vec<(i64, i64)>,
    /// What a lap that is not needed adds to the fine cost.
    lap_cost: i64,
    /// Kinds were left out, so that a bound by prices proves nothing.
    capped: bool,
}

impl PreparedRuns {
    fn new(wanted: &[RunWanted], sold: &[SoldLength], joining: &Joining) -> Result<PreparedRuns, Vec<RunPlanFault>> {
        let rules = cut_rules(sold, joining).map_err(|f| vec![f])?;
        let members = members(wanted, joining, &rules)?;
        let stock = LengthsSold::of(sold);
        let pieces: i64 = members.iter().map(|m| m.pieces - 1).sum();
        let laps: i64 = members.iter().map(|m| m.spare_laps).sum();
        // from one length, each run cut alone takes no more lengths than a group with more laps than this
        let most_extra = match stock.lengths.len() {
            1 => laps.min(members.len() as i64 - 1).max(0),
            _ => laps,
        };
        let kinds = kinds(&stock, &rules, most_extra.min(MOST_EXTRA), pieces);
        let mut job = PreparedRuns {
            rules,
            sizes: Vec::new(),
            costs: Vec::new(),
            lap_cost: 0,
            capped: most_extra > MOST_EXTRA,
            members,
            kinds,
            stock,
        };
        let (lap_weight, length_weight) = job.weights();
        let fine = |&(length, cost): &(i64, i64)| cost * length_weight + job.stock.metres(length, lap_weight);
        job.costs = job.stock.lengths.iter().map(|l| (l.1, fine(l))).collect();
        job.lap_cost = if job.kinds.iter().any(|k| k.extra > 0) { lap_weight } else { 0 };
        job.sizes = job.kinds.iter().map(|k| size(k, &rules, &job.stock, lap_weight, length_weight)).collect();
        Ok(job)
    }

    /// What a length sold costs in a measure.
    fn cost_of_length(&self, at: usize, measure: CountedIn) -> i64 {
        if measure == CountedIn::First { self.costs[at].0 } else { self.costs[at].1 }
    }

    /// What the full lengths cost that a run needs beside its rest. From one length they are the same in every plan and
    /// are counted in none.
    fn own_cost(&self, member: &Member, measure: CountedIn) -> i64 {
        match self.costs.len() {
            1 => 0,
            n => (member.pieces - 1) * self.cost_of_length(n - 1, measure),
        }
    }

    /// First cost of what is counted in no plan.
    fn base(&self) -> i64 {
        match self.costs.as_slice() {
            [only] => self.members.iter().map(|m| (m.pieces - 1) * only.0).sum(),
            _ => 0,
        }
    }

    /// The least cost by weight alone: all pieces, with their kerfs, from the length that is cheapest for its size.
    fn least(&self, members: &[Member], measure: CountedIn) -> i64 {
        let kerf = self.rules.kerf;
        let total: i64 = members.iter().map(|m| m.total + m.pieces * kerf).sum();
        let from = |(at, &(length, _)): (usize, &(i64, i64))| {
            let cost = i128::from(total) * i128::from(self.cost_of_length(at, measure));
            wide_div_ceil(cost, (length + kerf).into()) as i64
        };
        let least = self.stock.lengths.iter().enumerate().map(from).min().unwrap_or(0);
        let counted_in_none = if self.costs.len() == 1 { members.iter().map(|m| m.pieces - 1).sum() } else { 0 };
        (least - counted_in_none * self.cost_of_length(0, measure)).max(0)
    }

    /// What one lap and one unit of length count in the fine measure, so that neither outweighs what goes before it.
    fn weights(&self) -> (i64, i64) {
        let stock = &self.stock;
        let lengths = self.members.iter().map(|m| m.pieces + m.spare_laps).sum::<i64>() + 1;
        let units = stock.lengths.last().map_or(1, |l| l.0 / stock.unit) * lengths + 1;
        let laps = self.kinds.iter().any(|k| k.extra > 0);
        match (stock.in_pence || stock.lengths.len() == 1, laps) {
            (true, false) => (1, 1),
            (true, true) => (1, lengths),
            (false, _) => (units, units * lengths),
        }
    }

    /// Whether the first measure leaves nothing for the fine one to decide.
    fn is_fine(&self) -> bool {
        self.sizes.iter().all(|s| s.1 == s.2)
    }

    fn fine_cost(&self, groups: &[Group]) -> i64 {
        let own = |g: &Group| g.0.iter().map(|&m| self.own_cost(&self.members[m], CountedIn::Fine)).sum::<i64>();
        groups.iter().map(|g| self.sizes[g.1].2 + own(g)).sum()
    }

    /// Packs the rests of `members` (the job's own, or with an offcut that is to be kept as one more).
    fn solved(&self, members: &[Member], measure: CountedIn, effort: u64, below: Option<i64>) -> Solved {
        let items = Items::of(members, &self.rules);
        let ask = |bin: usize, filling: &[(usize, u32)]| {
            can_be_cut(&items.members_in(filling), &self.kinds[bin], &self.rules)
        };
        let asked = self.kinds.iter().any(|k| k.extra > 0 || k.short.len() > 1)
            || members.iter().any(|m| m.is_small(&self.rules));
        let cost = |s: &(i64, i64, i64)| if measure == CountedIn::First { s.1 } else { s.2 };
        let instance = Instance {
            weights: items.kinds.iter().map(|m| m.0.rest(&self.rules) + self.rules.kerf).collect(),
            demand: items.kinds.iter().map(|m| m.1.len() as u32).collect(),
            gives: items.kinds.iter().map(|m| m.0.pieces - 1).collect(),
            own: items.kinds.iter().map(|m| self.own_cost(&m.0, measure)).collect(),
            parts_of_cost: self.parts_of_cost(measure),
            least: self.least(members, measure),
            bins: (self.sizes.iter().zip(&self.kinds))
                .map(|(s, k)| Bin { capacity: s.0, cost: cost(s), needs: k.own_needed() })
                .collect(),
            question: asked.then_some(&ask),
            answers: Default::default(),
        };
        let outcome = solve(&instance, effort, below);
        let proof = self.proof(&outcome, &instance);
        let effort = outcome.effort;
        let longest_by_prices =
            outcome.prices.as_deref().map_or(i64::MAX, |p| self.longest_by_prices(p, &instance, below));
        Solved { groups: items.shared_out(outcome.packed.unwrap_or_default()), proof, effort, longest_by_prices }
    }

    /// What every plan's cost is a sum of.
    fn parts_of_cost(&self, measure: CountedIn) -> Vec<i64> {
        let lengths = (0..self.costs.len()).map(|at| self.cost_of_length(at, measure));
        let lap = if measure == CountedIn::Fine { self.lap_cost } else { 0 };
        lengths.chain([lap]).filter(|&c| c > 0).collect()
    }

    fn proof(&self, outcome: &PackingOutcome, instance: &Instance) -> Proof {
        let (bound, why) = match self.capped && outcome.reason != Reason::Total {
            true => (instance.least.min(outcome.bound), Reason::Total),
            false => (outcome.bound, outcome.reason),
        };
        let reason = reason(why, bound == outcome.cost);
        Proof { found: self.base() + outcome.cost, bound: self.base() + bound, reason }
    }

    /// Tries to keep a longer offcut in one piece: an offcut of `z` is a run of `z` that is never cut. Tries the longest
    /// that prices allow, then halves the interval. `true` when nothing longer exists.
    fn keep_longest_offcut(&self, mut groups: Vec<Group>) -> (Vec<Group>, bool) {
        let cost = self.fine_cost(&groups);
        let (mut had, mut most) = (self.longest_left(&groups), self.most_left(&groups));
        let (mut proven, mut effort, mut tries) = (true, OFFCUT_EFFORT, 0);
        while had < most && effort > LEAST_EFFORT {
            let tried = if tries < TRIES_FROM_ABOVE { most } else { (had + most + 1) / 2 };
            let offcut = Member { total: tried, pieces: 1, spare_laps: 0 };
            let members = [&self.members[..], &[offcut]].concat();
            let solved = self.solved(&members, CountedIn::Fine, effort / 2, Some(cost + 1));
            effort = effort / 2 + solved.effort;
            tries += 1;
            match self.without_last(&solved.groups, members.len() - 1) {
                Some(found) if self.longest_left(&found) > had => {
                    had = self.longest_left(&found);
                    groups = found;
                }
                _ => {
                    proven &= solved.proof.is_proven();
                    most = (tried - 1).min(solved.longest_by_prices);
                }
            }
        }
        (groups, proven && had >= most)
    }

    /// The longest offcut that a whole-number price for each rest allows, where there is one kind of bin only. With `n`
    /// bins, the best filling of a bin worth `v` and all rests worth `w`, the bin with the offcut must hold rests worth
    /// `w - (n - 1) · v`; the least room in which that can be had leaves the offcut. Prices of an instance with an offcut
    /// in it serve as well: they count for the rests alone.
    fn longest_by_prices(&self, prices: &[i64], instance: &Instance, below: Option<i64>) -> i64 {
        let (Some(ceiling), [_]) = (below, &self.kinds[..]) else { return i64::MAX };
        let items = Items::of(&self.members, &self.rules);
        let alike = |m: &Member| m.rest(&self.rules) + self.rules.kerf;
        let weights: Vec<i64> = items.kinds.iter().map(|k| alike(&k.0)).collect();
        let price = |w: &i64| instance.weights.iter().position(|v| v == w).map_or(0, |i| prices[i]);
        let own: Vec<i64> = weights.iter().map(price).collect();
        let counts: Vec<u32> = items.kinds.iter().map(|k| k.1.len() as u32).collect();
        let capacity = self.sizes[0].0;
        let rests = Instance {
            gives: vec![0; weights.len()],
            own: vec![0; weights.len()],
            bins: vec![Bin { capacity, cost: 1, needs: 0 }],
            parts_of_cost: vec![1],
            least: 0,
            demand: counts,
            weights,
            question: None,
            answers: Default::default(),
        };
        let sack = Knapsack::new(&rests, &own, &rests.demand, 1);
        let within = |capacity: i64| i128::from(sack.value(&Bin { capacity, ..rests.bins[0] }));
        let worth: i128 = own.iter().zip(&rests.demand).map(|(&p, &n)| i128::from(p) * i128::from(n)).sum();
        let bins = i128::from((ceiling - 1) / self.sizes[0].2);
        let needed = worth - (bins - 1) * within(capacity);
        let room = (0..=capacity).collect::<Vec<_>>().partition_point(|&c| within(c) < needed) as i64;
        capacity - room - self.rules.kerf
    }

    /// The groups without the offcut that was kept as a run.
    fn without_last(&self, groups: &[Group], last: usize) -> Option<Vec<Group>> {
        let mut all = groups.to_vec();
        all.iter_mut().for_each(|g| g.0.retain(|&m| m != last));
        all.retain(|g| !g.0.is_empty());
        let cuttable = |g: &Group| arrange(&self.group_members(g), &self.kinds[g.1], &self.rules).is_some();
        (!all.is_empty() && all.iter().all(cuttable)).then_some(all)
    }

    fn longest_left(&self, groups: &[Group]) -> i64 {
        groups.iter().flat_map(|g| self.bars_of(g)).map(|b| left_over(&b, &self.rules)).max().unwrap_or(0)
    }

    /// No offcut is longer than the longest stock less the shortest rest, nor than all that is left together.
    fn most_left(&self, groups: &[Group]) -> i64 {
        let rests = self.members.iter().map(|m| m.rest(&self.rules) + self.rules.kerf);
        let capacity: i64 = groups.iter().map(|g| self.sizes[g.1].0).sum();
        let shortest = rests.clone().min().unwrap_or(0);
        let alone =
            self.rules.longest_stock - if self.kinds.len() == 1 { shortest } else { shortest.min(self.rules.shortest) };
        match self.kinds.len() {
            1 => alone.min(capacity - rests.sum::<i64>()),
            _ => alone,
        }
    }

    fn group_members(&self, group: &Group) -> Vec<Member> {
        group.0.iter().map(|&m| self.members[m]).collect()
    }

    fn bars_of(&self, group: &Group) -> Vec<CutBar> {
        let mut bars = arrange(&self.group_members(group), &self.kinds[group.1], &self.rules).unwrap_or_default();
        for bar in &mut bars {
            bar.pieces.iter_mut().for_each(|p| p.0 = group.0[p.0]);
        }
        bars
    }

    fn plan(&self, groups: Vec<Group>, mut proof: Proof, offcut_proven: bool) -> RunPlan {
        let mut bars: Vec<CutBar> = groups.iter().flat_map(|g| self.bars_of(g)).collect();
        for bar in &mut bars {
            bar.pieces.sort_by_key(|p| (p.0, -p.1));
        }
        bars.sort_by_key(|b| (b.pieces.first().map(|p| (p.0, -p.1)), b.pieces.len(), -b.stock));
        if !self.stock.in_pence {
            proof.found = bars.len() as i64;
        }
        numbered(&bars, self.members.len(), &self.rules, proof, self.stock.in_pence, offcut_proven)
    }
}

/// The plan with its pieces and lengths numbered.
fn numbered(
    bars: &[CutBar],
    runs: usize,
    rules: &CutRules,
    proof: Proof,
    in_pence: bool,
    offcut_proven: bool,
) -> RunPlan {
    let mut pieces: Vec<Vec<RunCut>> = vec![Vec::new(); runs];
    let mut cut: Vec<RunBar> = Vec::new();
    for (index, bar) in bars.iter().enumerate() {
        let mut cuts = Vec::new();
        for &(run, length) in &bar.pieces {
            cuts.push((run, pieces[run].len()));
            pieces[run].push(RunCut { length: Length::mm(length), bar: index });
        }
        let offcut = Length::mm(left_over(bar, rules));
        cut.push(RunBar { stock: Length::mm(bar.stock), cuts, offcut });
    }
    RunPlan { runs: pieces, bars: cut, proof, in_pence, offcut_proven }
}

/// What is left of a length: a cut parts it from the last piece.
fn left_over(bar: &CutBar, rules: &CutRules) -> i64 {
    let used: i64 = bar.pieces.iter().map(|p| p.1 + rules.kerf).sum();
    (bar.stock - used).max(0)
}

fn cut_rules(sold: &[SoldLength], joining: &Joining) -> Result<CutRules, RunPlanFault> {
    let longest = sold.iter().map(|s| s.length).max().ok_or(RunPlanFault::NoStock)?;
    if joining.lap < Length::ZERO || joining.kerf < Length::ZERO || joining.shortest < Length::ZERO {
        return Err(RunPlanFault::Rules);
    }
    if sold.iter().any(|s| s.length <= Length::ZERO) || longest <= joining.lap {
        return Err(RunPlanFault::NoStock);
    }
    Ok(CutRules {
        lap: joining.lap.as_mm(),
        shortest: joining.shortest.as_mm(),
        kerf: joining.kerf.as_mm(),
        longest_stock: longest.as_mm(),
    })
}

fn members(wanted: &[RunWanted], joining: &Joining, rules: &CutRules) -> Result<Vec<Member>, Vec<RunPlanFault>> {
    let (mut members, mut faults) = (Vec::new(), Vec::new());
    for (r, run) in wanted.iter().enumerate() {
        match member(r, run, joining, rules) {
            Ok(member) => members.push(member),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(members) } else { Err(faults) }
}

fn member(index: usize, run: &RunWanted, joining: &Joining, rules: &CutRules) -> Result<Member, RunPlanFault> {
    let (length, lap) = (run.length.as_mm(), rules.lap);
    if length <= 0 {
        return Err(RunPlanFault::NoLength(index));
    }
    if run.single && length > rules.longest_stock {
        return Err(RunPlanFault::SingleTooLong(index));
    }
    let pieces = div_ceil(length - lap, rules.longest_stock - lap).max(1);
    let total = length + (pieces - 1) * lap;
    if pieces > 1 && total < pieces * rules.shortest {
        return Err(RunPlanFault::NoPieces(index));
    }
    let splits = !run.single && total + lap >= (pieces + 1) * rules.shortest;
    Ok(Member { total, pieces, spare_laps: if splits { i64::from(joining.extra_laps) } else { 0 } })
}

/// What is sold, shortest first, each length once.
struct LengthsSold {
    lengths: Vec<(i64, i64)>,
    in_pence: bool,
    unit: i64,
}

impl LengthsSold {
    fn of(sold: &[SoldLength]) -> LengthsSold {
        let mut by_length: BTreeMap<i64, Option<u64>> = BTreeMap::new();
        for s in sold {
            let pence = by_length.entry(s.length.as_mm()).or_insert(s.pence);
            *pence = (*pence).min(s.pence).or(*pence).or(s.pence);
        }
        let in_pence = by_length.len() > 1 && by_length.values().all(|p| p.is_some_and(|p| p > 0));
        let cost = |p: Option<u64>| if in_pence { p.unwrap_or(1) as i64 } else { 1 };
        let unit = by_length.keys().fold(0, |d, &l| gcd(d, l)).max(1);
        LengthsSold { lengths: by_length.into_iter().map(|(l, p)| (l, cost(p))).collect(), in_pence, unit }
    }

    /// What the metres of a length count in the fine measure.
    fn metres(&self, length: i64, lap_weight: i64) -> i64 {
        if lap_weight == 1 { 0 } else { length / self.unit }
    }

    fn cost(&self, length: i64) -> i64 {
        self.lengths.iter().find(|l| l.0 == length).map_or(0, |l| l.1)
    }
}

/// Every kind of bin: extra laps, and short lengths in place of full ones.
fn kinds(stock: &LengthsSold, rules: &CutRules, most_extra: i64, own: i64) -> Vec<SharedLengths> {
    let longest = rules.longest_stock;
    let mut all = Vec::new();
    for extra in 0..=most_extra {
        let room = capacity(&SharedLengths { extra, short: Vec::new() }, rules);
        let mut sets: Vec<Vec<i64>> = vec![Vec::new()];
        for &(length, _) in stock.lengths.iter().filter(|l| l.0 < longest) {
            let with = |set: &Vec<i64>| {
                let more = 0..=(own + 1 + extra - set.len() as i64).min(room / (longest - length));
                more.map(|n| [set.as_slice(), &vec![length; n as usize]].concat()).collect::<Vec<_>>()
            };
            sets = sets.iter().flat_map(with).collect();
        }
        all.extend(sets.into_iter().map(|short| SharedLengths { extra, short }));
    }
    all.retain(|k| capacity(k, rules) > rules.kerf);
    all
}

fn capacity(kind: &SharedLengths, rules: &CutRules) -> i64 {
    let short: i64 = kind.short.iter().map(|s| rules.longest_stock - s).sum();
    (kind.extra + 1) * rules.longest_stock - kind.extra * rules.lap - short + rules.kerf
}

/// Capacity, first and fine cost of a kind.
fn size(
    kind: &SharedLengths,
    rules: &CutRules,
    stock: &LengthsSold,
    lap_weight: i64,
    length_weight: i64,
) -> (i64, i64, i64) {
    let longest = rules.longest_stock;
    let saved: i64 = kind.short.iter().map(|&s| stock.cost(longest) - stock.cost(s)).sum();
    let first = (kind.extra + 1) * stock.cost(longest) - saved;
    let shorter: i64 = kind.short.iter().map(|s| (longest - s) / stock.unit).sum();
    let metres = match lap_weight {
        1 => 0,
        _ => (kind.extra + 1) * (longest / stock.unit) - shorter,
    };
    (capacity(kind, rules), first, first * length_weight + kind.extra * lap_weight + metres)
}

/// Runs that are alike taken together, longest rest first.
struct Items {
    kinds: Vec<(Member, Vec<usize>)>,
}

impl Items {
    fn of(members: &[Member], rules: &CutRules) -> Items {
        let mut alike: BTreeMap<Member, Vec<usize>> = BTreeMap::new();
        for (m, member) in members.iter().enumerate() {
            alike.entry(*member).or_default().push(m);
        }
        let mut kinds: Vec<(Member, Vec<usize>)> = alike.into_iter().collect();
        kinds.sort_by_key(|k| (-k.0.rest(rules), k.0));
        Items { kinds }
    }

    fn members_in(&self, filling: &[(usize, u32)]) -> Vec<Member> {
        filling.iter().flat_map(|&(i, n)| std::iter::repeat_n(self.kinds[i].0, n as usize)).collect()
    }

    /// The groups, each with its runs by number, in the order in which it was asked whether they can be cut: in another the
    /// arrangement that was found then might not be found again.
    fn shared_out(&self, packed: Vec<Packed>) -> Vec<Group> {
        let mut left: Vec<std::slice::Iter<usize>> = self.kinds.iter().map(|k| k.1.iter()).collect();
        let mut groups = Vec::new();
        for p in packed {
            for _ in 0..p.times {
                groups.push((members_of(&p.filling, &mut left), p.bin));
            }
        }
        groups
    }
}

fn members_of(filling: &Filling, left: &mut [std::slice::Iter<usize>]) -> Vec<usize> {
    filling.iter().flat_map(|&(i, n)| left[i].by_ref().take(n as usize).copied().collect::<Vec<_>>()).collect()
}
