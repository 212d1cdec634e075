//! Where a strip that is too long to handle is cut, and its pieces lapped end to end.
//!
//! Given a part's two ends, the rules and the joints that lie near; gives the pieces. All but the first and the last
//! are as long as the rule allows; the first is shortened in steps until the last is not too short and the joints keep
//! clear of those of the strip beside it. One piece more is cut where the fewest cannot be staggered.

use crate::geometry::whole::div_ceil;

/// A joint is tried at every so many millimetres.
const STEP: i64 = 50;

/// The rules for one strip, and what lies near. Positions are middles of laps along the strip, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near<'a> {
    /// Longest piece.
    pub longest: i64,
    /// Shortest first or last piece; twice as long is no longer than the longest.
    pub shortest: i64,
    /// End lap.
    pub lap: i64,
    /// Joints of the strip beside keep this far off.
    pub stagger: i64,
    /// Joints of the strip beside.
    pub beside: &'a [i64],
    /// What else is better avoided where it can be: joints between boards that run across the strips.
    pub avoid: &'a [(i64, i64)],
}

/// The pieces from `from` to `to`, in order; neighbours overlap by the end lap.
pub(super) fn cut(from: i64, to: i64, near: &Near) -> Vec<(i64, i64)> {
    let length = to - from;
    if length <= near.longest {
        return vec![(from, to)];
    }
    let fewest = div_ceil(length - near.lap, near.longest - near.lap);
    let first = best(from, to, fewest, near);
    let staggered = |c: &Option<Choice>| c.as_ref().is_some_and(|c| c.clashes == 0);
    let chosen = if staggered(&first) { first } else { fewer_clashes(first, best(from, to, fewest + 1, near)) };
    chosen.map_or_else(|| evenly(from, to, fewest, near.lap), |c| pieces(from, to, c.first, c.count, near))
}

/// Middles of the laps between pieces.
pub(super) fn joints(pieces: &[(i64, i64)]) -> impl Iterator<Item = i64> + '_ {
    pieces.windows(2).map(|w| (w[0].1 + w[1].0) / 2)
}

struct Choice {
    count: i64,
    first: i64,
    clashes: usize,
    worse: usize,
}

fn fewer_clashes(a: Option<Choice>, b: Option<Choice>) -> Option<Choice> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.clashes < a.clashes { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// The best length of the first of `count` pieces: fewest joints beside another, then fewest over a joint of the
/// deck, then the longest.
fn best(from: i64, to: i64, count: i64, near: &Near) -> Option<Choice> {
    let shortest = near.shortest.max(2 * near.lap);
    let (length, step) = (to - from, near.longest - near.lap);
    let most = near.longest.min(length + near.lap - (count - 2) * step - shortest);
    let least = shortest.max(length - (count - 1) * step);
    let tried = (0..).map(|k| most - k * STEP).take_while(|&x| x >= least);
    tried
        .map(|first| {
            let at: Vec<i64> = joints(&pieces(from, to, first, count, near)).collect();
            let clashes = at.iter().filter(|&&j| near.beside.iter().any(|b| (b - j).abs() < near.stagger)).count();
            let worse = at.iter().filter(|&&j| near.avoid.iter().any(|&(a, b)| a < j && j < b)).count();
            Choice { count, first, clashes, worse }
        })
        .min_by_key(|c| (c.clashes, c.worse))
}

fn pieces(from: i64, to: i64, first: i64, count: i64, near: &Near) -> Vec<(i64, i64)> {
    let step = near.longest - near.lap;
    let start = |k: i64| if k == 0 { from } else { from + first - near.lap + (k - 1) * step };
    let end = |k: i64| if k == count - 1 { to } else { start(k + 1) + near.lap };
    (0..count).map(|k| (start(k), end(k))).collect()
}

fn evenly(from: i64, to: i64, count: i64, lap: i64) -> Vec<(i64, i64)> {
    let net = to - from - lap;
    let at = |k: i64| from + net * k / count;
    (0..count).map(|k| (at(k), at(k + 1) + lap)).collect()
}
