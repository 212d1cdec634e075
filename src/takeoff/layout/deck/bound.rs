//! The fewest boards that any layout can do with.
//!
//! Given the rows; gives a whole number with its reason. Every piece is a rectangle of board, every board is a bin. A
//! dual feasible function of the lengths (Fekete and Schepers, 2001) times a share of the width gives each piece its part
//! of a board, such that no board holds more than one; the width's share may also be its tongue or groove, of which a
//! board has one each. The least sum of parts over all ways to divide two neighbouring rows with their joints apart
//! bounds what those rows take.

use super::divide::DivisionLimits;
use super::exclude::none_with;
use super::parts::{Across, BOARD, BoundFunction, Chain, chain};
use super::rows::BoardRow;
use super::stock::BoardSize;
use crate::geometry::whole::div_ceil;

/// Functions tried: whole parts of a half, a third, … of a board.
const MOST_PARTS: i64 = 10;
/// Fewer on a deck with more joist spaces than this.
const LARGE: usize = 400;

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
    pub(super) fn new(
        rows: &'a [BoardRow],
        size: &'a BoardSize,
        area: i64,
        limits: &DivisionLimits,
        strict: bool,
    ) -> BoundInput<'a> {
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
    pub(super) fn bound(&self) -> Bound {
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
    pub(super) fn raised(&self, bound: Bound, found: i64) -> Bound {
        if bound.boards + 1 == found && none_with(bound.boards, &self.chains, &self.functions(), self.size) {
            let reason =
                format!("every staggered layout was walked through, and each takes more than {}", bound.boards);
            return Bound { boards: found, reason };
        }
        bound
    }
}
