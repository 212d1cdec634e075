//! Which hazards this job has, and what controls them.
//!
//! Given the job and the take-off; gives hazards with controls and their sources. Defers to data sheets, local rules
//! and licensed practice.
