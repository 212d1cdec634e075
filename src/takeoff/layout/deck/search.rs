//! The search for the layout: rows one after another, with the offcuts that the rows before have left.
//!
//! Given the rows and a bound; gives the division of every span and the board of every piece. A beam search: after each
//! span the best few layouts so far are kept, by pieces that nobody wants, then by board spoilt, then by cuts. It is run again
//! wider while the bound is not met, up to a counted amount of work, never by a clock.

use super::divide::{Division, DivisionLimits, Unwanted, Whole, divisions};
use super::rows::{BoardRow, RowSpan};
use super::stock::{BoardCut, BoardDemand, BoardSize, FreeRectangle, OpenedBoards};
use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::rc::Rc;

/// Layouts kept after each span, and what an offcut counts for in eighths of its worth, from run to run. Offcuts at
/// full worth are hoarded, at too little they are spoilt; which is better depends on the roof.
const RUNS: [(usize, i64); 7] = [(2, 7), (2, 5), (2, 4), (6, 7), (6, 4), (24, 6), (64, 7)];
/// Pieces cut before a run that only saves cuts is left out.
const POLISH: usize = 2_000;
/// Pieces cut in all.
const MOST_WORK: usize = 60_000;

/// Finished layouts of a run that are cut anew, all pieces at once.
const MOST_FINISHED: usize = 6;

/// A complete layout.
#[derive(Debug, Clone)]
pub(crate) struct DeckPlan {
    /// The joints of every span, in laying order.
    pub divisions: Vec<Rc<Division>>,
    /// Where each piece is cut, in laying order.
    pub cut_from: Vec<BoardCut>,
    pub boards: u32,
    pub cuts: u32,
    /// Pieces that nobody wants.
    pub unwanted: Unwanted,
}

/// Lays all rows. `None` where a board does not reach over two joist spaces: where it does, joints on even joists in one row
/// and on odd joists in the next keep apart whatever the outline. No layout without short pieces does with fewer boards
/// than `bound`.
pub(crate) fn lay(rows: &[BoardRow], size: &BoardSize, limits: &DivisionLimits, bound: u32) -> Option<DeckPlan> {
    let mut best: Option<DeckPlan> = None;
    let mut work = 0;
    for (width, worth) in RUNS {
        let met = best.as_ref().is_some_and(|p| p.boards <= bound);
        if met && work > POLISH || best.is_some() && work > MOST_WORK / 4 {
            break;
        }
        let plan = Beam { rows, size, limits, width, worth, by_turns: false, work: &mut work }.run();
        best = better(best, plan);
    }
    best.or_else(|| Beam { rows, size, limits, width: 1, worth: 7, by_turns: true, work: &mut work }.run())
}

/// The better of two plans, where there are two; of equals the first.
pub(crate) fn better(old: Option<DeckPlan>, new: Option<DeckPlan>) -> Option<DeckPlan> {
    match (old, new) {
        (Some(old), Some(new)) if old.rank() <= new.rank() => Some(old),
        (old, new) => new.or(old),
    }
}

impl DeckPlan {
    /// What makes one plan better than another, the weightiest first.
    pub(crate) fn rank(&self) -> (Unwanted, u32, u32) {
        (self.unwanted, self.boards, self.cuts)
    }
}

/// A layout of the spans so far.
#[derive(Debug, Clone)]
struct State {
    stock: OpenedBoards,
    unwanted: Unwanted,
    /// Joints of the row before and of this one.
    before: Rc<Vec<i64>>,
    joints: Vec<i64>,
    /// The last step of the way here.
    step: usize,
}

/// One step of the way to a layout: how one span was divided.
#[derive(Debug)]
struct Taken {
    from: usize,
    division: Rc<Division>,
    thrifty: bool,
}

/// A layout of one span more, before it is known whether it is kept.
#[derive(Debug)]
struct Tried {
    /// Pieces that nobody wants, then board spoilt, then cuts.
    rank: (Unwanted, i64, u32),
    /// The layout that it goes on from.
    parent: usize,
    stock: OpenedBoards,
    division: Rc<Division>,
    thrifty: bool,
}

struct Beam<'a> {
    rows: &'a [BoardRow],
    size: &'a BoardSize,
    limits: &'a DivisionLimits,
    width: usize,
    worth: i64,
    /// Joints of every other row on odd joists only, of the rows between on even ones.
    by_turns: bool,
    work: &'a mut usize,
}

impl Beam<'_> {
    fn run(mut self) -> Option<DeckPlan> {
        let start = State {
            stock: OpenedBoards::default(),
            unwanted: Unwanted::default(),
            before: Rc::default(),
            joints: Vec::new(),
            step: usize::MAX,
        };
        let mut states = vec![start];
        let mut steps = Vec::new();
        for (i, row) in self.rows.iter().enumerate() {
            for state in &mut states {
                state.before = Rc::new(std::mem::take(&mut state.joints));
            }
            for span in &row.spans {
                let turn = self.by_turns.then_some(i % 2 != 0);
                states = self.advance(&states, (row, turn), span, &mut steps);
            }
        }
        states.sort_by_key(|s| (s.unwanted, s.stock.boards, s.stock.cuts, s.step));
        let plans = states.iter().take(MOST_FINISHED).map(|s| self.plan(s, &steps));
        plans.min_by_key(DeckPlan::rank)
    }

    /// Lays one span after every layout so far, and keeps the best. With a `turn`, joints stand on odd joists only, or on
    /// even ones only.
    fn advance(
        &mut self,
        states: &[State],
        (row, turn): (&BoardRow, Option<bool>),
        span: &RowSpan,
        steps: &mut Vec<Taken>,
    ) -> Vec<State> {
        let mut tried = Vec::new();
        let whole = Whole { row, span };
        for (parent, state) in states.iter().enumerate() {
            let met = |p: &i64| state.before.binary_search(p).is_ok();
            let out_of_turn = |odd: &bool| turn.is_some_and(|t| t != *odd);
            let blocked: Vec<bool> = span.at.iter().zip(&span.odd).map(|(p, odd)| met(p) || out_of_turn(odd)).collect();
            for division in divisions(whole, &blocked, self.limits) {
                let unwanted = state.unwanted + whole.unwanted(&division, self.limits);
                let demands = demands(row, span, &division);
                let division = Rc::new(division);
                let (plain, spoilt) = self.cut(&state.stock, &demands, false);
                if spoilt {
                    let (thrifty, _) = self.cut(&state.stock, &demands, true);
                    tried.push(self.tried(parent, unwanted, thrifty, &division, true));
                }
                tried.push(self.tried(parent, unwanted, plain, &division, false));
            }
        }
        self.keep(states, tried, span, steps)
    }

    /// The stock after these pieces, and whether a useful offcut was spoilt for one.
    fn cut(&mut self, stock: &OpenedBoards, demands: &[BoardDemand], thrifty: bool) -> (OpenedBoards, bool) {
        *self.work += demands.len();
        let mut stock = stock.clone();
        let mut spoilt = false;
        for d in demands {
            spoilt |= stock.cut(d, self.size, thrifty).1;
        }
        (stock, spoilt)
    }

    fn tried(
        &self,
        parent: usize,
        unwanted: Unwanted,
        stock: OpenedBoards,
        division: &Rc<Division>,
        thrifty: bool,
    ) -> Tried {
        let opened = i64::from(stock.boards) * self.size.length * self.size.width;
        let spoilt = opened - stock.worth(self.size) * self.worth / 8;
        Tried { rank: (unwanted, spoilt, stock.cuts), parent, stock, division: Rc::clone(division), thrifty }
    }

    /// The best few that differ in their joints or in their offcuts.
    fn keep(&self, states: &[State], mut tried: Vec<Tried>, span: &RowSpan, steps: &mut Vec<Taken>) -> Vec<State> {
        let width = if *self.work > MOST_WORK { 1 } else { self.width };
        tried.sort_by_key(|t| t.rank);
        let mut seen = BTreeSet::new();
        let mut kept = Vec::new();
        for t in tried {
            if kept.len() == width {
                break;
            }
            let parent = &states[t.parent];
            let mut joints = parent.joints.clone();
            joints.extend(t.division.iter().map(|&i| span.at[i]));
            let size = |i: &FreeRectangle| (i.length, i.width, i.first_edge, i.last_edge);
            let offcuts: Vec<_> = t.stock.items.iter().map(size).collect();
            if seen.insert((joints.clone(), offcuts)) {
                steps.push(Taken { from: parent.step, division: t.division, thrifty: t.thrifty });
                let before = Rc::clone(&parent.before);
                kept.push(State { stock: t.stock, unwanted: t.rank.0, before, joints, step: steps.len() - 1 });
            }
        }
        kept
    }

    fn plan(&self, best: &State, steps: &[Taken]) -> DeckPlan {
        let mut way = Vec::new();
        let mut at = best.step;
        while let Some(step) = steps.get(at) {
            way.push(step);
            at = step.from;
        }
        way.reverse();
        let divisions = way.iter().map(|t| Rc::clone(&t.division)).collect();
        let spans = self.rows.iter().flat_map(|r| r.spans.iter().map(move |s| (r, s)));
        let pieces: Vec<(Vec<BoardDemand>, bool)> =
            spans.zip(&way).map(|((r, s), t)| (in_laying_order(r, s, &t.division), t.thrifty)).collect();
        let as_laid = self.cut_as_laid(&pieces);
        let at_once = self.cut_at_once(&pieces);
        let rank = |c: &(OpenedBoards, Vec<BoardCut>)| (c.0.boards, c.0.cuts);
        let (stock, cut_from) = if rank(&at_once) < rank(&as_laid) { at_once } else { as_laid };
        DeckPlan { divisions, cut_from, boards: stock.boards, cuts: stock.cuts, unwanted: best.unwanted }
    }

    /// Cuts span by span, as the search did.
    fn cut_as_laid(&self, spans: &[(Vec<BoardDemand>, bool)]) -> (OpenedBoards, Vec<BoardCut>) {
        let mut stock = OpenedBoards::default();
        let mut cut_from = Vec::new();
        for (demands, thrifty) in spans {
            let first = cut_from.len();
            cut_from.resize(first + demands.len(), (0, 0, 0));
            for i in longest_first(demands) {
                cut_from[first + i] = stock.cut(&demands[i], self.size, *thrifty).0;
            }
        }
        (stock, cut_from)
    }

    /// Cuts the longest pieces of the whole deck first. Still in order for the man with the saw: a board is opened by
    /// the first of its pieces that is laid.
    fn cut_at_once(&self, spans: &[(Vec<BoardDemand>, bool)]) -> (OpenedBoards, Vec<BoardCut>) {
        let all: Vec<BoardDemand> = spans.iter().flat_map(|s| s.0.iter().copied()).collect();
        let mut stock = OpenedBoards::default();
        let mut cut_from = vec![(0, 0, 0); all.len()];
        for i in longest_first(&all) {
            cut_from[i] = stock.cut(&all[i], self.size, false).0;
        }
        (stock, cut_from)
    }
}

/// The pieces of a divided span, in laying order.
pub(crate) fn in_laying_order(row: &BoardRow, span: &RowSpan, division: &[usize]) -> Vec<BoardDemand> {
    let mut out = Vec::new();
    let mut from = 0;
    for &to in division.iter().chain([&(span.at.len() - 1)]) {
        out.extend_from_slice(span.demands(row, from, to));
        from = to;
    }
    out
}

fn demands(row: &BoardRow, span: &RowSpan, division: &[usize]) -> Vec<BoardDemand> {
    let demands = in_laying_order(row, span, division);
    longest_first(&demands).into_iter().map(|i| demands[i]).collect()
}

/// Indices, the widest first, then the longest, then as laid.
fn longest_first(demands: &[BoardDemand]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..demands.len()).collect();
    order.sort_by_key(|&i| (Reverse(demands[i].width), Reverse(demands[i].length), i));
    order
}
