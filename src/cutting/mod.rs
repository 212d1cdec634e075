//! Cutting stock lengths: the fewest (or cheapest) that give every piece wanted, with the proof.
//!
//! Given lengths, and nothing else of the roof; gives a plan, what no plan can beat, and why. Two problems are solved
//! here: [`cut_stock`], the classical one, in which every piece has its length; and [`cut_runs`], the trims' own, in
//! which a run may be joined from pieces whose lengths are free. The second comes down to the first: what counts of a
//! run that needs `k` pieces is only what is left of it after `k - 1` full lengths.
//!
//! Nothing here reads a clock: the work is counted, so that the same job gives the same plan on any machine.

pub mod boards;
mod bound;
mod branching;
mod chain;
mod first_fit;
mod instance;
mod knapsack;
mod master;
mod packing;
mod proof;
pub mod rolls;
mod runs;
mod search;
mod sharing;
mod stock;

pub use self::proof::Proof;
pub use self::runs::{Joining, RunCut, RunPlan, RunPlanFault, RunWanted, SoldLength, cost_in_words, cut_runs};
pub use self::sharing::share_out;
pub use self::stock::{CutPattern, Demand, StockFault, StockLength, StockPlan, cut_stock};

/// Work after which a search gives up and hands back the gap: about a second on one core of an ordinary machine.
pub const EFFORT: u64 = 1_500_000_000;

/// The same for the trims of one profile: some hundredths of a second, so that a whole job stays quick.
pub const RUN_EFFORT: u64 = EFFORT / 30;
