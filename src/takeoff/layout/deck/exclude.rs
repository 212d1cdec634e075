//! Proof by exhaustion that a deck cannot be laid with so few boards.
//!
//! Given the ways to divide every span and the functions of the bound; walks through all layouts, piece by piece, and
//! leaves a branch as soon as one function says that it takes more boards than that. A whole layout is excluded too where
//! more of its pieces than that are each unable to share a board with any other. Where every branch is left, none is
//! possible. The walk gives up at the first layout that it cannot exclude, after a counted number of steps, or where
//! the roof has too many pieces.

use super::parts::{BOARD, BoundFunction, Chain};
use super::stock::{BoardDemand, BoardSize};
use std::collections::BTreeSet;

/// Steps made before the walk gives up.
const MOST_STEPS: usize = 20_000;

/// Pieces and spans on the way to a layout: with more the walk gives up, as it would go deeper than a thread's stack.
const DEEPEST: usize = 1_000;

/// Whether it is certain that no layout does with `boards` boards.
pub(crate) fn none_with(boards: i64, rows: &[Vec<Chain>], functions: &[BoundFunction], size: &BoardSize) -> bool {
    let spans: Vec<(usize, &Chain)> =
        rows.iter().enumerate().flat_map(|(row, r)| r.iter().map(move |c| (row, c))).collect();
    let pieces = spans.iter().map(|(_, c)| pieces(c, functions)).collect();
    let mut walk = ExclusionWalk { boards, size, to_go: Vec::new(), spans, pieces, laid: Vec::new(), steps: 0 };
    walk.to_go = walk.least_to_go(functions.len());
    let start = vec![0; functions.len()];
    walk.excludes(0, 0, &start, &BTreeSet::new(), &BTreeSet::new())
}

/// For each place, where a piece from there may end, with its part of a board by each function.
type Ways = Vec<Vec<(usize, Vec<i64>)>>;

fn pieces(c: &Chain, functions: &[BoundFunction]) -> Ways {
    let parts = |demands: &[_]| functions.iter().map(|f| demands.iter().map(|d| f.of_demand(d)).sum()).collect();
    c.pieces.iter().map(|ways| ways.iter().map(|&(k, demands)| (k, parts(demands))).collect()).collect()
}

struct ExclusionWalk<'a> {
    boards: i64,
    size: &'a BoardSize,
    spans: Vec<(usize, &'a Chain<'a>)>,
    pieces: Vec<Ways>,
    /// The least that is still to come from each place of each span, by each function, joints of neighbours aside.
    to_go: Vec<Vec<Vec<i64>>>,
    /// The pieces so far.
    laid: Vec<BoardDemand>,
    steps: usize,
}

impl ExclusionWalk<'_> {
    fn least_to_go(&self, functions: usize) -> Vec<Vec<Vec<i64>>> {
        let mut after = vec![0; functions];
        let mut out = Vec::new();
        for ways in self.pieces.iter().rev() {
            let mut least: Vec<Vec<i64>> = vec![after.clone(); ways.len()];
            for i in (0..ways.len() - 1).rev() {
                let by = |f: usize| ways[i].iter().map(|(k, parts)| parts[f].saturating_add(least[*k][f])).min();
                least[i] = (0..functions).map(|f| by(f).unwrap_or(i64::MAX)).collect();
            }
            after = least[0].clone();
            out.push(least);
        }
        out.reverse();
        out
    }

    /// Whether every layout that goes on from place `i` of `span` takes too many boards. `before` and `own` are the
    /// joints of the row before and of this row so far.
    fn excludes(&mut self, span: usize, i: usize, so_far: &[i64], before: &BTreeSet<i64>, own: &BTreeSet<i64>) -> bool {
        let Some(&(row, chain)) = self.spans.get(span) else { return self.apart(0, &mut Vec::new()) };
        if so_far.iter().zip(&self.to_go[span][i]).any(|(s, t)| s.saturating_add(*t) > self.boards * BOARD) {
            return true;
        }
        if self.laid.len() + span > DEEPEST {
            return false;
        }
        let last = chain.at.len() - 1;
        if i == last {
            let next_row = self.spans.get(span + 1).is_some_and(|s| s.0 != row);
            return match next_row {
                true => self.excludes(span + 1, 0, so_far, own, &BTreeSet::new()),
                false => self.excludes(span + 1, 0, so_far, before, own),
            };
        }
        for way in 0..self.pieces[span][i].len() {
            let (k, parts) = &self.pieces[span][i][way];
            let (k, place) = (*k, chain.at[*k]);
            if k < last && before.contains(&place) {
                continue;
            }
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return false;
            }
            let sum: Vec<i64> = so_far.iter().zip(parts).map(|(s, p)| s + p).collect();
            let mut joints = own.clone();
            if k < last {
                joints.insert(place);
            }
            let laid = self.laid.len();
            self.laid.extend_from_slice(chain.pieces[i][way].1);
            let excluded = self.excludes(span, k, &sum, before, &joints);
            self.laid.truncate(laid);
            if !excluded {
                return false;
            }
        }
        true
    }

    /// Whether one more piece than there are boards can be found, of which no two come out of one board.
    fn apart(&mut self, from: usize, chosen: &mut Vec<usize>) -> bool {
        if chosen.len() as i64 > self.boards {
            return true;
        }
        for i in from..self.laid.len() {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return false;
            }
            if chosen.iter().all(|&c| !share_a_board(&self.laid[c], &self.laid[i], self.size)) {
                chosen.push(i);
                if self.apart(i + 1, chosen) {
                    return true;
                }
                chosen.pop();
            }
        }
        false
    }
}

/// Whether two pieces can come out of one board: end to end, or side by side with a factory edge for each that wants one.
fn share_a_board(a: &BoardDemand, b: &BoardDemand, size: &BoardSize) -> bool {
    let edges = (a.first_edge && b.first_edge) || (a.last_edge && b.last_edge);
    let beside = a.width + size.kerf + b.width <= size.width && !(size.tongued && edges);
    a.length + size.kerf_after(a).min(size.kerf_after(b)) + b.length <= size.length || beside
}
