//! Ways to divide one span into pieces with every joint on a joist.
//!
//! Given the places where joints may stand and those where the row before has one (the ends of a span are no joints and
//! may lie over one); gives divisions with as few short
//! pieces as can be had, then hardly more pieces than the fewest. A short span gives every such division; a long one
//! gives, for each first and each last piece, the division whose boards between stay whole.

use super::rows::RowSpan;

/// Most divisions of a span that are looked at.
const MOST: usize = 64;
/// Most choices of a first piece, and of a last, in a long span.
const MOST_ENDS: usize = 8;

/// Places of the joints of one division, ascending, without the two ends.
pub(crate) type Division = Vec<usize>;

/// What a division costs from some place on: short pieces, cut pieces, pieces.
type DivisionCost = (u32, u32, u32);

/// What the pieces must be like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DivisionLimits {
    /// A board's length.
    pub longest: i64,
    /// A piece below this is short.
    pub shortest: i64,
    /// The longest piece between two joists.
    pub full: i64,
    /// Joist spacing.
    pub spacing: i64,
}

/// The divisions worth trying, best kept in a fixed order. Empty when no joint can be placed clear of `blocked`.
pub(crate) fn divisions(span: &RowSpan, blocked: &[bool], limits: &DivisionLimits) -> Vec<Division> {
    let to_go = costs_to_end(span, blocked, limits);
    let Some((short, pieces)) = to_go[0] else { return Vec::new() };
    let mut walk = DivisionWalk { span, blocked, limits, to_go: &to_go, short, most: pieces + 1, found: Vec::new() };
    if walk.all(0, 0, 0, &mut Vec::new()) {
        return walk.found;
    }
    by_ends(span, blocked, limits, short)
}

/// How many of its pieces are short.
pub(crate) fn short_pieces(span: &RowSpan, division: &[usize], limits: &DivisionLimits) -> u32 {
    let mut from = 0;
    let last = span.at.len() - 1;
    let mut short = 0;
    for &to in division.iter().chain([&last]) {
        short += is_short(span, from, to, limits);
        from = to;
    }
    short
}

fn is_short(span: &RowSpan, i: usize, k: usize, limits: &DivisionLimits) -> u32 {
    let whole = i == 0 && k == span.at.len() - 1;
    u32::from(!whole && span.at[k] - span.at[i] < limits.shortest)
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

/// The fewest short pieces, then the fewest pieces, from each place to the end.
fn costs_to_end(span: &RowSpan, blocked: &[bool], limits: &DivisionLimits) -> Vec<Option<(u32, u32)>> {
    let last = span.at.len() - 1;
    let mut to_go = vec![None; last + 1];
    to_go[last] = Some((0, 0));
    for i in (0..last).rev() {
        to_go[i] = reached(span, i, blocked, limits)
            .filter_map(|k| to_go[k].map(|(s, n): (u32, u32)| (s + is_short(span, i, k, limits), n + 1)))
            .min();
    }
    to_go
}

/// A walk through every division with the fewest short pieces and at most `most` pieces.
struct DivisionWalk<'a> {
    span: &'a RowSpan,
    blocked: &'a [bool],
    limits: &'a DivisionLimits,
    to_go: &'a [Option<(u32, u32)>],
    short: u32,
    most: u32,
    found: Vec<Division>,
}

impl DivisionWalk<'_> {
    /// Whether all of them were found before there were too many.
    fn all(&mut self, i: usize, short: u32, pieces: u32, joints: &mut Division) -> bool {
        let last = self.span.at.len() - 1;
        if i == last {
            self.found.push(joints.clone());
            return self.found.len() <= MOST;
        }
        let (span, blocked, limits) = (self.span, self.blocked, self.limits);
        for k in reached(span, i, blocked, limits) {
            let Some((s, n)) = self.to_go[k] else { continue };
            let now = short + is_short(span, i, k, limits);
            if now + s > self.short || pieces + 1 + n > self.most {
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

/// For each first and each last joint, the division with the fewest short, then the fewest cut pieces between.
fn by_ends(span: &RowSpan, blocked: &[bool], limits: &DivisionLimits, short: u32) -> Vec<Division> {
    let last = span.at.len() - 1;
    let mut found = Vec::new();
    for first in spread(reached(span, 0, blocked, limits).filter(|&k| k < last).collect()) {
        let (cost, from) = costs_from(span, first, blocked, limits);
        let reaches_end = |&k: &usize| span.at[last] - span.at[k] <= limits.longest && cost[k].is_some();
        for end in spread((first..last).filter(reaches_end).collect()) {
            let mut joints = vec![end];
            while joints[joints.len() - 1] != first {
                joints.push(from[joints[joints.len() - 1]]);
            }
            joints.reverse();
            if short_pieces(span, &joints, limits) == short {
                found.push(joints);
            }
        }
    }
    found
}

/// The cheapest way from `first` to every later place, and the place before each on that way.
fn costs_from(
    span: &RowSpan,
    first: usize,
    blocked: &[bool],
    limits: &DivisionLimits,
) -> (Vec<Option<DivisionCost>>, Vec<usize>) {
    let last = span.at.len() - 1;
    let mut cost: Vec<Option<DivisionCost>> = vec![None; last + 1];
    let mut from = vec![first; last + 1];
    cost[first] = Some((0, 0, 0));
    for i in first..last {
        let Some((s, c, n)) = cost[i] else { continue };
        for k in reached(span, i, blocked, limits).filter(|&k| k < last) {
            let cut = u32::from(span.at[k] - span.at[i] != limits.full);
            let new = (s + is_short(span, i, k, limits), c + cut, n + 1);
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
