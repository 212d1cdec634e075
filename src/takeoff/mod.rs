//! The take-off: the roof laid out piece by piece, and what that needs.
//!
//! Given a job, the firm's rules and the sizes of what is sold; gives every board, trim, bandage and strip with its
//! place, the lines of the take-off with their workings, and the needs that the order must cover. It never multiplies
//! an area by a rate where a piece can be placed, and it knows no price and no file.

pub mod boundary;
pub mod catchment;
pub mod cold_roof;
pub mod finding;
pub mod insulation;
pub mod line;
pub mod loads;
pub mod rainwater;
pub mod region;
pub mod root;
pub mod shape;
pub mod warm_roof;

pub use line::{Line, Need, Step, Unit};
pub mod layout;

use crate::model::{Job, Problem, Products, Rules};
use layout::{ProfilePlan, RoofLayout};

/// Everything that the layout gives.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// The roofs, in the job's order.
    pub roofs: Vec<RoofLayout>,
    /// The trims, a profile each, over all roofs; in the order in which trims are fixed.
    pub profiles: Vec<ProfilePlan>,
    /// The lines, in the order of the work.
    pub lines: Vec<Line>,
    /// What must be bought.
    pub needs: Vec<Need>,
    /// Warnings and assumptions.
    pub notices: Vec<Problem>,
}

/// Lays out a job.
///
/// # Errors
/// Every fault that stops a layout, all at once: place, fault, cure.
pub fn take_off(job: &Job, rules: &Rules, products: &Products) -> Result<TakeOff, Vec<Problem>> {
    let _ = (job, rules, products);
    Err(Vec::new())
}
