//! Ways to divide one span into pieces with every joint on a joist.
//!
//! Given the places where joints may stand and those where the row before has one (the ends of a span are no joints and
//! may lie over one); gives divisions with as few slivers as
//! can be had, then as few short and as few small pieces, then hardly more pieces than the fewest. A short span gives every such division; a long one
//! gives, for each first and each last piece, the division whose boards between stay whole.

use super::rows::{BoardRow, RowSpan};
use std::ops::Add;

/// Most divisions of a span that are looked at.
const MOST: usize = 64;
/// Most choices of a first piece, and of a last, in a long span.
const MOST_ENDS: usize = 8;

/// Places of the joints of one division, ascending, without the two ends.
pub(crate) type Division = Vec<usize>;

/// What a division costs from some place on: pieces that are not wanted, cut pieces, pieces.
type DivisionCost = (Unwanted, u32, u32);

/// How many pieces are what nobody wants, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) struct Unwanted {
    /// So short that they are hardly worth fixing.
    pub slivers: u32,
    /// On fewer joists than the rule asks for.
    pub short: u32,
    /// Small one way or the other: what a splay, an opening or the end of the rows leaves.
    pub small: u32,
}

impl Add for Unwanted {
    type Output = Unwanted;

    fn add(self, more: Unwanted) -> Unwanted {
        Unwanted {
            slivers: self.slivers + more.slivers,
            short: self.short + more.short,
            small: self.small + more.small,
        }
    }
}

/// What the pieces must be like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DivisionLimits {
    /// A board's length.
    pub longest: i64,
    /// A piece below this is short.
    pub shortest: i64,
    /// A piece below this is a sliver.
    pub sliver: i64,
    /// A piece below this, along or across, is small.
    pub small: i64,
    /// The longest piece between two joists.
    pub full: i64,
    /// Joist spacing.
    pub spacing: i64,
}

/// The divisions worth trying, best kept in a fixed order. Empty when no joint can be placed clear of `blocked`.
pub(crate) fn divisions(whole: Whole, blocked: &[bool], limits: &DivisionLimits) -> Vec<Division> {
    let to_go = costs_to_end(whole, blocked, limits);
    let Some((least, pieces)) = to_go[0] else { return Vec::new() };
    let mut walk = DivisionWalk { whole, blocked, limits, to_go: &to_go, least, most: pieces + 1, found: Vec::new() };
    if walk.all(0, Unwanted::default(), 0, &mut Vec::new()) {
        return walk.found;
    }
    by_ends(whole, blocked, limits, least)
}

/// A span with the row that it lies in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Whole<'a> {
    pub row: &'a BoardRow,
    pub span: &'a RowSpan,
}

impl Whole<'_> {
    /// What nobody wants among the pieces of a division.
    pub(super) fn unwanted(&self, division: &[usize], limits: &DivisionLimits) -> Unwanted {
        let last = self.span.at.len() - 1;
        let ends = division.iter().chain([&last]);
        let starts = [0].into_iter().chain(division.iter().copied());
        starts.zip(ends).fold(Unwanted::default(), |sum, (i, &k)| sum + self.between(i, k, limits))
    }

    /// The least of that which any division has, joints of the row before aside.
    pub(super) fn least_unwanted(&self, limits: &DivisionLimits) -> Unwanted {
        costs_to_end(*self, &vec![false; self.span.at.len()], limits)[0].map_or(Unwanted::default(), |c| c.0)
    }

    /// What nobody wants of what lies between two places. A span in one piece is as long as it must be.
    fn between(&self, i: usize, k: usize, limits: &DivisionLimits) -> Unwanted {
        let at = &self.span.at;
        let parted = i > 0 || k < at.len() - 1;
        let below = |least: i64| u32::from(parted && at[k] - at[i] < least);
        let pieces = self.span.demands(self.row, i, k).iter();
        Unwanted {
            slivers: below(limits.sliver),
            short: below(limits.shortest),
            small: pieces.filter(|d| d.length.min(d.width) < limits.small).count() as u32,
        }
    }
}

/// Places that one board reaches from `i`, the nearest first; joints of the row before are passed over.
fn reached<'a>(
    span: &'a RowSpan,
    i: usize,
    blocked: &'a [bool],
    limits: &DivisionLimits,
) -> impl Iterator<Item = usize> + 'a {
    let most = span.at[i] + limits.longest;
    // The end of a span is no joint: it may lie over one.
    let last = span.at.len() - 1;
    (i + 1..=last).take_while(move |&k| span.at[k] <= most).filter(move |&k| k == last || !blocked[k])
}

/// The fewest pieces that nobody wants, then the fewest pieces, from each place to the end.
fn costs_to_end(whole: Whole, blocked: &[bool], limits: &DivisionLimits) -> Vec<Option<(Unwanted, u32)>> {
    let span = whole.span;
    let last = span.at.len() - 1;
    let mut to_go = vec![None; last + 1];
    to_go[last] = Some((Unwanted::default(), 0));
    for i in (0..last).rev() {
        to_go[i] = reached(span, i, blocked, limits)
            .filter_map(|k| to_go[k].map(|(s, n): (Unwanted, u32)| (s + whole.between(i, k, limits), n + 1)))
            .min();
    }
    to_go
}

/// A walk through every division with no more than the `least` of what nobody wants and at most `most` pieces.
struct DivisionWalk<'a> {
    whole: Whole<'a>,
    blocked: &'a [bool],
    limits: &'a DivisionLimits,
    to_go: &'a [Option<(Unwanted, u32)>],
    least: Unwanted,
    most: u32,
    found: Vec<Division>,
}

impl DivisionWalk<'_> {
    /// Whether all of them were found before there were too many.
    fn all(&mut self, i: usize, so_far: Unwanted, pieces: u32, joints: &mut Division) -> bool {
        let last = self.whole.span.at.len() - 1;
        if i == last {
            self.found.push(joints.clone());
            return self.found.len() <= MOST;
        }
        let (span, blocked, limits) = (self.whole.span, self.blocked, self.limits);
        for k in reached(span, i, blocked, limits) {
            let Some((s, n)) = self.to_go[k] else { continue };
            let now = so_far + self.whole.between(i, k, limits);
            if now + s > self.least || pieces + 1 + n > self.most {
                continue;
            }
            if k < last {
                joints.push(k);
            }
            let within = self.all(k, now, pieces + 1, joints);
            if k < last {
                joints.pop();
            }
            if !within {
                return false;
            }
        }
        true
    }
}

/// For each first and each last joint, the division with the fewest unwanted, then the fewest cut pieces between.
fn by_ends(whole: Whole, blocked: &[bool], limits: &DivisionLimits, least: Unwanted) -> Vec<Division> {
    let span = whole.span;
    let last = span.at.len() - 1;
    let mut found = Vec::new();
    for first in spread(reached(span, 0, blocked, limits).filter(|&k| k < last).collect()) {
        let (cost, from) = costs_from(whole, first, blocked, limits);
        let reaches_end = |&k: &usize| span.at[last] - span.at[k] <= limits.longest && cost[k].is_some();
        for end in spread((first..last).filter(reaches_end).collect()) {
            let mut joints = vec![end];
            while joints[joints.len() - 1] != first {
                joints.push(from[joints[joints.len() - 1]]);
            }
            joints.reverse();
            if whole.unwanted(&joints, limits) == least {
                found.push(joints);
            }
        }
    }
    found
}

/// The cheapest way from `first` to every later place, and the place before each on that way.
fn costs_from(
    whole: Whole,
    first: usize,
    blocked: &[bool],
    limits: &DivisionLimits,
) -> (Vec<Option<DivisionCost>>, Vec<usize>) {
    let span = whole.span;
    let last = span.at.len() - 1;
    let mut cost: Vec<Option<DivisionCost>> = vec![None; last + 1];
    let mut from = vec![first; last + 1];
    cost[first] = Some((Unwanted::default(), 0, 0));
    for i in first..last {
        let Some((s, c, n)) = cost[i] else { continue };
        for k in reached(span, i, blocked, limits).filter(|&k| k < last) {
            let cut = u32::from(span.at[k] - span.at[i] != limits.full);
            let new = (s + whole.between(i, k, limits), c + cut, n + 1);
            if cost[k].is_none_or(|old| new < old) {
                (cost[k], from[k]) = (Some(new), i);
            }
        }
    }
    (cost, from)
}

/// At most a few of many choices, evenly spread.
fn spread(all: Vec<usize>) -> Vec<usize> {
    let n = all.len();
    if n <= MOST_ENDS {
        return all;
    }
    (0..MOST_ENDS).map(|i| all[i * (n - 1) / (MOST_ENDS - 1)]).collect()
}
