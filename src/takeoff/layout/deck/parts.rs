//! What part of a board each piece takes, by one function or another, and the ways to divide a span.
//!
//! Given pieces as they must be cut; gives whole numbers of which no board holds more than one board's worth: a dual
//! feasible function of the lengths (Fekete and Schepers, 2001) times a share of the width.

use super::divide::DivisionLimits;
use super::rows::{BoardRow, RowSpan};
use super::stock::{BoardDemand, BoardSize};
use std::collections::BTreeMap;

/// Parts are counted in whole numbers: a board is this much.
pub(crate) const BOARD: i64 = 1 << 30;

/// What share of a board's width a piece takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Across {
    /// Its own width.
    Width,
    /// All, where it is more than half a board wide: no other such piece comes out of the same length.
    Half,
    /// All, where its first edge must be the factory's, or where it is so wide that no such piece lies beside it.
    First { clear: i64 },
    /// The same for the last edge.
    Last { clear: i64 },
    /// Half for each factory edge.
    Edges,
}

impl Across {
    pub(super) fn all(chains: &[Vec<Chain>], size: &BoardSize) -> Vec<Across> {
        let mut all = vec![Across::Width, Across::Half];
        if size.tongued {
            let demands = || chains.iter().flatten().flat_map(|c| &c.pieces).flatten().flat_map(|p| p.1);
            // Wider than this, a piece leaves no room for the narrowest that wants the edge, nor for its own like.
            let clear = |least: Option<i64>| (size.width - least.unwrap_or(0)).max((size.width + size.kerf) / 2);
            let first = clear(demands().filter(|d| d.first_edge).map(|d| d.width).min());
            let last = clear(demands().filter(|d| d.last_edge).map(|d| d.width).min());
            all.extend([Across::First { clear: first }, Across::Last { clear: last }, Across::Edges]);
        }
        all
    }

    /// The share, of twice a board's width. Each piece and the board are counted wider by a kerf: pieces side by side then
    /// take what they and the cuts between them take.
    fn share(self, d: &BoardDemand, size: &BoardSize) -> i64 {
        let (own, width) = (d.width + size.kerf, size.width + size.kerf);
        let (first, last) = (i64::from(d.first_edge), i64::from(d.last_edge));
        let all = |takes: bool| if takes { 2 * width } else { 0 };
        match self {
            Across::Width => 2 * own,
            Across::Half => width * ((2 * own).cmp(&width) as i64 + 1),
            Across::First { clear } => all(d.first_edge || own > clear),
            Across::Last { clear } => all(d.last_edge || own > clear),
            Across::Edges => width * (first + last),
        }
    }

    pub(super) fn reason(self, part: i64) -> String {
        let lengths = match part {
            0 => "the pieces laid end to end".to_string(),
            1 => "two pieces longer than half a board take two boards".to_string(),
            k => format!("a board holds at most {k} pieces longer than 1/{} of it", k + 1),
        };
        let widths = match self {
            Across::Width => "each as wide as it is",
            Across::Half => "pieces wider than half a board side by side never",
            Across::First { .. } | Across::Last { .. } | Across::Edges => "one tongue and one groove to a board",
        };
        format!("{lengths}, {widths}; every division with joints on joists, staggered, is counted")
    }
}

/// A span as the bound sees it: for each place, the places where a piece from there may end, with what it is cut from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Chain<'a> {
    pub at: &'a [i64],
    pub pieces: Vec<Vec<(usize, &'a [BoardDemand])>>,
}

pub(crate) fn chain<'a>(row: &'a BoardRow, span: &'a RowSpan, limits: &DivisionLimits, strict: bool) -> Chain<'a> {
    let at = &span.at;
    let last = at.len() - 1;
    let allowed = |i: usize, k: usize| {
        let whole = i == 0 && k == last;
        !strict || whole || at[k] - at[i] >= limits.shortest
    };
    let from = |i: usize| {
        let near = (i + 1..=last).take_while(|&k| at[k] - at[i] <= limits.longest).filter(|&k| allowed(i, k));
        near.map(|k| (k, span.demands(row, i, k))).collect()
    };
    Chain { at, pieces: (0..=last).map(from).collect() }
}

/// One way to give pieces their parts of a board.
pub(crate) struct BoundFunction<'a> {
    /// 0: a piece's own length. k: u(k) of Fekete and Schepers.
    pub part: i64,
    pub across: Across,
    pub size: &'a BoardSize,
}

impl BoundFunction<'_> {
    /// The part of a board that a piece takes, rounded down.
    pub(super) fn of_demand(&self, d: &BoardDemand) -> i64 {
        let (length, board) = (d.length.min(self.size.length), self.size.length);
        let parts = (self.part + 1) * length;
        // Length as a fraction n/m of a board.
        let (n, m) = match self.part {
            0 => (length, board),
            _ if parts % board == 0 => (length, board),
            k => (parts / board, k),
        };
        n * self.across.share(d, self.size) * BOARD / (m * 2 * (self.size.width + self.size.kerf))
    }

    /// Two rows at a time; a pair of the same kind is worked once.
    pub(super) fn of_rows(&self, rows: &[Vec<Chain>]) -> i64 {
        let mut known: BTreeMap<&[Vec<Chain>], i64> = BTreeMap::new();
        rows.chunks(2).map(|pair| *known.entry(pair).or_insert_with(|| self.of_pair(pair))).sum()
    }

    fn of_pair(&self, pair: &[Vec<Chain>]) -> i64 {
        let apart = || pair.iter().flatten().map(|c| self.of_chain(c)).sum();
        match pair {
            [a, b] if a.len() == 1 && b.len() == 1 => self.of_two(&a[0], &b[0]).unwrap_or_else(apart),
            _ => apart(),
        }
    }

    /// For each place, the places where a piece that starts there may end, each with its part of a board.
    fn pieces(&self, c: &Chain) -> Vec<Vec<(usize, i64)>> {
        let part = |&(k, demands): &(usize, &[BoardDemand])| (k, demands.iter().map(|d| self.of_demand(d)).sum());
        c.pieces.iter().map(|ways| ways.iter().map(part).collect()).collect()
    }

    /// The least parts of one span, however it is divided.
    fn of_chain(&self, c: &Chain) -> i64 {
        let mut least = vec![i64::MAX; c.at.len()];
        least[0] = 0;
        for (i, pieces) in self.pieces(c).iter().enumerate() {
            let so_far = least[i];
            for &(k, part) in pieces.iter().filter(|_| so_far < i64::MAX) {
                least[k] = least[k].min(so_far + part);
            }
        }
        least.last().copied().filter(|&l| l < i64::MAX).unwrap_or(0)
    }

    /// The least parts of two neighbouring spans with no joint on the same joist; `None` when there is no such way.
    ///
    /// The span that is behind goes on, so a new joint can only meet the other span's last one.
    fn of_two(&self, a: &Chain, b: &Chain) -> Option<i64> {
        let (last_a, last_b) = (a.at.len() - 1, b.at.len() - 1);
        let (in_a, in_b) = (self.pieces(a), self.pieces(b));
        let mut least = vec![i64::MAX; a.at.len() * b.at.len()];
        let cell = |i: usize, l: usize| i * b.at.len() + l;
        least[0] = 0;
        let clash = |i: usize, l: usize| {
            let joints = 0 < i && i < last_a && 0 < l && l < last_b;
            joints && a.at[i] == b.at[l]
        };
        for i in 0..=last_a {
            for l in 0..=last_b {
                let part = least[cell(i, l)];
                if part == i64::MAX {
                    continue;
                }
                let a_goes_on = i < last_a && (l == last_b || a.at[i] <= b.at[l]);
                let (ways, own_a) = if a_goes_on { (&in_a[i], true) } else { (&in_b[l], false) };
                for &(to, more) in ways {
                    let (k, m) = if own_a { (to, l) } else { (i, to) };
                    if !clash(k, m) {
                        least[cell(k, m)] = least[cell(k, m)].min(part + more);
                    }
                }
            }
        }
        least.last().copied().filter(|&l| l < i64::MAX)
    }
}
