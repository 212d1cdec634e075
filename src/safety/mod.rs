//! Which hazards this job has, and what controls them.
//!
//! Given the job, the take-off and the size of the crew; gives hazards with controls and their sources, protective
//! equipment, exposure limits, first aid and waste. Defers to data sheets, local rules and licensed practice: it is a
//! starting list for the person in charge, never the whole of an assessment.

pub mod applies;
pub mod hazards;
pub mod response;
pub mod substances;
pub mod waste;

pub use applies::{Circumstances, Risk, risks};
pub use hazards::{BroughtBy, HAZARDS, Hazard, When};
