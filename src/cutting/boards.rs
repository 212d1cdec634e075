//! Pieces sawn out of whole boards of one size: the fewest boards, with the proof.
//!
//! Given pieces by length and width, none of which is turned, and the board; gives the board of each piece. Every cut goes
//! from edge to edge of what is sawn, as a saw along a straight edge does, and what it leaves may be sawn again either way.
//! Pieces and board are given larger by a cut, so that none is counted here.

use super::rolls::OutOfRolls;
use super::{Demand, Proof, RUN_EFFORT, StockLength, cut_stock};
use crate::geometry::whole::div_ceil;
use crate::model::Length;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Most steps that a search for so many boards takes; a step is a piece tried on a board, a way to part what lies on one, or two
/// parts put together.
const MOST_STEPS: u64 = 50_000;

/// The boards that pieces are sawn from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutOfBoards {
    /// Of each piece its board, counting from 0 as they are opened.
    pub of: Vec<usize>,
    /// How many boards there are.
    pub boards: usize,
    /// The same, and what no sawing can do with less.
    pub proof: Proof,
}

/// Saws pieces, length and width each, out of boards of a length and a width; none is larger than the board.
pub fn saw_boards(pieces: &[(Length, Length)], board: (Length, Length)) -> OutOfBoards {
    let (mut of, mut boards) = quickly(pieces, board);
    let (mut bound, mut reason) = least(pieces, board);
    let mut all_tried = true;
    let fewer_than_found = bound..boards;
    for fewer in fewer_than_found {
        match Sawyer::new(pieces, board).out_of(fewer) {
            FewerBoards::Found(found) => {
                (of, boards) = (found, fewer);
                break;
            }
            FewerBoards::None if all_tried => {
                (bound, reason) = (fewer + 1, "fewer boards were tried, sawn in every way")
            }
            FewerBoards::None => {}
            FewerBoards::Unknown => all_tried = false,
        }
    }
    let mut opened: Vec<usize> = Vec::new();
    for board in &mut of {
        let known = opened.iter().position(|open| open == board).unwrap_or_else(|| {
            opened.push(*board);
            opened.len() - 1
        });
        *board = known;
    }
    let proof = Proof { found: boards as i64, bound: bound as i64, reason: reason.to_owned() };
    OutOfBoards { of, boards, proof }
}

/// Longest first, each where it fits first: cross cuts, and lanes between them.
fn quickly(pieces: &[(Length, Length)], board: (Length, Length)) -> (Vec<usize>, usize) {
    let OutOfRolls { cuts, plan } = OutOfRolls::of(pieces, board.1, &[board.0]);
    let mut of: Vec<usize> = (0..pieces.len()).collect();
    let Some(plan) = plan else { return (of, pieces.len()) };
    for (n, roll) in plan.rolls.iter().enumerate() {
        for piece in roll.cuts.iter().flat_map(|cut| &cuts[*cut].pieces) {
            of[*piece] = n;
        }
    }
    (of, plan.rolls.len())
}

/// So many boards are the least: by area, and by the pieces of which no two lie side by side, or end to end.
fn least(pieces: &[(Length, Length)], board: (Length, Length)) -> (usize, &'static str) {
    let area = |(length, width): (Length, Length)| length.as_mm() * width.as_mm();
    let by_area = div_ceil(pieces.iter().map(|piece| area(*piece)).sum(), area(board).max(1));
    let wide = pieces.iter().filter(|piece| piece.1 * 2 > board.1).map(|piece| piece.0);
    let long = pieces.iter().filter(|piece| piece.0 * 2 > board.0).map(|piece| piece.1);
    let by_wide = in_a_row(wide.collect(), board.0);
    let by_long = in_a_row(long.collect(), board.1);
    let (most, why) = [
        (by_area, "their area"),
        (by_wide, "no two of the wide ones lie side by side"),
        (by_long, "no two of the long ones lie end to end"),
    ]
    .into_iter()
    .rev()
    .max_by_key(|bound| bound.0)
    .unwrap_or_default();
    (usize::try_from(most).unwrap_or(0), why)
}

/// What no plan can beat where sizes stand in a row in boards that take so much.
fn in_a_row(mut sizes: Vec<Length>, room: Length) -> i64 {
    sizes.sort_unstable();
    let alike = sizes.chunk_by(|a, b| a == b);
    let demands: Vec<Demand> =
        alike.map(|of| Demand { length: of[0], count: u32::try_from(of.len()).unwrap_or(u32::MAX) }).collect();
    let board = StockLength { length: room, cost: 1 };
    cut_stock(&demands, &[board], Length::ZERO, RUN_EFFORT / 100).map_or(0, |plan| plan.proof.bound)
}

/// What a search found.
enum FewerBoards {
    Found(Vec<usize>),
    None,
    /// The search ended at its limit.
    Unknown,
}

/// The sizes in which some pieces can lie together, of which none is larger both ways than another; none where they do not lie
/// on one board.
type Sizes = Rc<Vec<(i64, i64)>>;

/// The search for so many boards, in which pieces of one size are one kind.
struct Sawyer {
    board: (i64, i64),
    /// The largest first.
    kinds: Vec<(i64, i64)>,
    /// The pieces of each kind.
    pieces: Vec<Vec<usize>>,
    known: BTreeMap<Vec<u32>, Sizes>,
    steps: u64,
}

impl Sawyer {
    fn new(pieces: &[(Length, Length)], board: (Length, Length)) -> Sawyer {
        let mut of: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
        for (n, piece) in pieces.iter().enumerate() {
            of.entry((piece.0.as_mm(), piece.1.as_mm())).or_default().push(n);
        }
        let mut all: Vec<((i64, i64), Vec<usize>)> = of.into_iter().collect();
        all.sort_by_key(|((length, width), _)| std::cmp::Reverse(length * width));
        let (kinds, pieces) = all.into_iter().unzip();
        Sawyer { board: (board.0.as_mm(), board.1.as_mm()), kinds, pieces, known: BTreeMap::new(), steps: MOST_STEPS }
    }

    fn out_of(mut self, boards: usize) -> FewerBoards {
        let order: Vec<usize> =
            self.pieces.iter().enumerate().flat_map(|(kind, of)| of.iter().map(move |_| kind)).collect();
        let mut filled: Vec<Vec<u32>> = Vec::new();
        let mut at = Vec::new();
        match self.place(&order, boards, &mut filled, &mut at) {
            Some(true) => {
                let all = self.pieces.iter().flatten().zip(at);
                let mut of: Vec<(usize, usize)> = all.map(|(piece, board)| (*piece, board)).collect();
                of.sort_unstable();
                FewerBoards::Found(of.into_iter().map(|(_, board)| board).collect())
            }
            Some(false) => FewerBoards::None,
            None => FewerBoards::Unknown,
        }
    }

    /// Puts the pieces that are left, one by one, on each board that takes them; `None` where the search ends at its limit.
    fn place(
        &mut self,
        order: &[usize],
        boards: usize,
        filled: &mut Vec<Vec<u32>>,
        at: &mut Vec<usize>,
    ) -> Option<bool> {
        let Some(&kind) = order.get(at.len()) else { return Some(true) };
        // Of pieces of one size none lies on an earlier board than the one before.
        let first = at.last().filter(|_| order[at.len() - 1] == kind).copied().unwrap_or(0);
        let opens = filled.len() < boards;
        for board in first..filled.len() + usize::from(opens) {
            if board < filled.len() && filled[first..board].contains(&filled[board]) {
                continue;
            }
            self.steps = self.steps.checked_sub(1)?;
            let mut with = filled.get(board).cloned().unwrap_or_else(|| vec![0; self.kinds.len()]);
            with[kind] += 1;
            if self.sizes(&with)?.is_empty() {
                continue;
            }
            let before = filled.get(board).cloned();
            match &before {
                Some(_) => filled[board] = with,
                None => filled.push(with),
            }
            at.push(board);
            let done = self.place(order, boards, filled, at)?;
            if done {
                return Some(true);
            }
            at.pop();
            match before {
                Some(before) => filled[board] = before,
                None => drop(filled.pop()),
            }
        }
        Some(false)
    }

    /// In which sizes so many of each kind lie together on a board.
    fn sizes(&mut self, counts: &[u32]) -> Option<Sizes> {
        if let Some(known) = self.known.get(counts) {
            return Some(Rc::clone(known));
        }
        self.steps = self.steps.checked_sub(1)?;
        let sizes = self.worked_out(counts)?;
        let sizes = Rc::new(sizes);
        self.known.insert(counts.to_vec(), Rc::clone(&sizes));
        Some(sizes)
    }

    fn worked_out(&mut self, counts: &[u32]) -> Option<Vec<(i64, i64)>> {
        let of = |counts: &[u32], kinds: &[(i64, i64)]| -> i64 {
            counts.iter().zip(kinds).map(|(n, (length, width))| i64::from(*n) * length * width).sum()
        };
        let (long, wide) = self.board;
        if of(counts, &self.kinds) > long * wide {
            return Some(Vec::new());
        }
        if counts.iter().sum::<u32>() == 1 {
            let kind = counts.iter().position(|n| *n > 0)?;
            return Some([self.kinds[kind]].into_iter().filter(|(l, w)| *l <= long && *w <= wide).collect());
        }
        let mut sizes: Vec<(i64, i64)> = Vec::new();
        let mut part = vec![0; counts.len()];
        while next_part(&mut part, counts) {
            self.steps = self.steps.checked_sub(1)?;
            let rest: Vec<u32> = counts.iter().zip(&part).map(|(all, part)| all - part).collect();
            // Each way of parting them once.
            if part < rest || rest.iter().all(|n| *n == 0) {
                continue;
            }
            let (a, b) = (self.sizes(&part)?, self.sizes(&rest)?);
            for ((la, wa), (lb, wb)) in a.iter().flat_map(|a| b.iter().map(move |b| (*a, *b))) {
                self.steps = self.steps.checked_sub(1)?;
                add(&mut sizes, (la + lb, wa.max(wb)), self.board);
                add(&mut sizes, (la.max(lb), wa + wb), self.board);
            }
        }
        Some(sizes)
    }
}

/// Keeps a size that the board takes, unless one that is there is no larger either way.
fn add(sizes: &mut Vec<(i64, i64)>, (length, width): (i64, i64), board: (i64, i64)) {
    let larger = sizes.iter().any(|(l, w)| *l <= length && *w <= width);
    if length <= board.0 && width <= board.1 && !larger {
        sizes.retain(|(l, w)| *l < length || *w < width);
        sizes.push((length, width));
    }
}

/// Counts on to the next part of so many; false after the last, which is all of them.
fn next_part(part: &mut [u32], of: &[u32]) -> bool {
    for (n, most) in part.iter_mut().zip(of) {
        if *n < *most {
            *n += 1;
            return true;
        }
        *n = 0;
    }
    false
}
