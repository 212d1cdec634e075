//! The fewest boards that any layout can do with.
//!
//! Given the rows; gives a whole number with its reason. Every piece is a rectangle of board, every board is a bin. A
//! dual feasible function of the lengths (Fekete and Schepers, 2001) times a share of the width gives each piece its part
//! of a board, such that no board holds more than one; the width's share may also be its tongue or groove, of which a
//! board has one each. The least sum of parts over all ways to divide two neighbouring rows with their joints apart
//! bounds what those rows take.

use super::divide::Limits;
use super::exclude::none_with;
use super::rows::{BoardRow, RowSpan};
use super::stock::{BoardDemand, BoardSize};
use crate::geometry::whole::div_ceil;
use std::collections::BTreeMap;

/// Functions tried: whole parts of a half, a third, … of a board.
const MOST_PARTS: i64 = 10;
/// Fewer on a deck with more joist spaces than this.
const LARGE: usize = 400;
/// Parts are counted in whole numbers: a board is this much.
pub(crate) const BOARD: i64 = 1 << 30;

/// A bound with its reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bound {
    pub boards: i64,
    pub reason: String,
}

/// Everything that a bound is worked from.
pub(crate) struct BoundInput<'a> {
    size: &'a BoardSize,
    area: i64,
    chains: Vec<Vec<Chain<'a>>>,
    /// Functions of the lengths, by number of parts.
    parts: Vec<i64>,
}

impl<'a> BoundInput<'a> {
    /// For every layout; with `strict`, for every layout without a short piece.
    pub fn new(rows: &'a [BoardRow], size: &'a BoardSize, area: i64, limits: &Limits, strict: bool) -> BoundInput<'a> {
        let chains = rows.iter().map(|r| r.spans.iter().map(|s| chain(r, s, limits, strict)).collect()).collect();
        let spaces: usize = rows.iter().flat_map(|r| &r.spans).map(|s| s.at.len()).sum();
        let whole = limits.full / limits.spacing.max(1);
        let parts = if spaces > LARGE { vec![0, 1, whole] } else { (0..=MOST_PARTS.max(whole)).collect() };
        BoundInput { size, area, chains, parts }
    }

    fn functions(&self) -> Vec<BoundFunction<'_>> {
        let of = |across| self.parts.iter().map(move |&part| BoundFunction { part, across, size: self.size });
        Across::all(&self.chains, self.size).into_iter().flat_map(of).collect()
    }

    /// Bounds the boards.
    pub fn bound(&self) -> Bound {
        let mut best = Bound {
            boards: div_ceil(self.area, self.size.length * self.size.width),
            reason: "the net area of the deck divided by a board's area".into(),
        };
        for f in self.functions() {
            let boards = div_ceil(f.of_rows(&self.chains), BOARD);
            if boards > best.boards {
                best = Bound { boards, reason: f.across.reason(f.part) };
            }
        }
        best
    }

    /// Raises a bound that is one short of the boards `found`, where a walk through all layouts excludes it.
    pub fn raised(&self, bound: Bound, found: i64) -> Bound {
        if bound.boards + 1 == found && none_with(bound.boards, &self.chains, &self.functions(), self.size) {
            let reason =
                format!("every staggered layout was walked through, and each takes more than {}", bound.boards);
            return Bound { boards: found, reason };
        }
        bound
    }
}

/// What share of a board's width a piece takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Across {
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
    fn all(chains: &[Vec<Chain>], size: &BoardSize) -> Vec<Across> {
        let mut all = vec![Across::Width, Across::Half];
        if size.tongued {
            let demands = || chains.iter().flatten().flat_map(|c| &c.pieces).flatten().flat_map(|p| p.1);
            // Wider than this, a piece leaves no room for the narrowest that wants the edge, nor for its own like.
            let clear = |least: Option<i64>| (size.width - least.unwrap_or(0)).max(size.width / 2);
            let first = clear(demands().filter(|d| d.first_edge).map(|d| d.width).min());
            let last = clear(demands().filter(|d| d.last_edge).map(|d| d.width).min());
            all.extend([Across::First { clear: first }, Across::Last { clear: last }, Across::Edges]);
        }
        all
    }

    /// The share, of 2·`width`.
    fn share(self, d: &BoardDemand, width: i64) -> i64 {
        let (first, last) = (i64::from(d.first_edge), i64::from(d.last_edge));
        let all = |takes: bool| if takes { 2 * width } else { 0 };
        match self {
            Across::Width => 2 * d.width,
            Across::Half => width * ((2 * d.width).cmp(&width) as i64 + 1),
            Across::First { clear } => all(d.first_edge || d.width > clear),
            Across::Last { clear } => all(d.last_edge || d.width > clear),
            Across::Edges => width * (first + last),
        }
    }

    fn reason(self, part: i64) -> String {
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

fn chain<'a>(row: &'a BoardRow, span: &'a RowSpan, limits: &Limits, strict: bool) -> Chain<'a> {
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
    part: i64,
    across: Across,
    size: &'a BoardSize,
}

impl BoundFunction<'_> {
    /// The part of a board that a piece takes, rounded down.
    pub fn of_demand(&self, d: &BoardDemand) -> i64 {
        let (length, board) = (d.length.min(self.size.length), self.size.length);
        let parts = (self.part + 1) * length;
        // Length as a fraction n/m of a board.
        let (n, m) = match self.part {
            0 => (length, board),
            _ if parts % board == 0 => (length, board),
            k => (parts / board, k),
        };
        n * self.across.share(d, self.size.width) * BOARD / (m * 2 * self.size.width)
    }

    /// Two rows at a time; a pair of the same kind is worked once.
    fn of_rows(&self, rows: &[Vec<Chain>]) -> i64 {
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
