//! What the topcoat ends as: smooth, or broadcast with aggregate against slipping.
//!
//! Given nothing; gives the surfaces that the program knows, and one form for those that a firm adds. The rate, the
//! topcoat and the hours of the built-in aggregate are rules; a firm's own surface brings figures of its own.

use super::role::Role;
use rust_decimal::Decimal;

/// The surface of a topcoat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Surface {
    /// The word of the job file.
    pub key: String,
    /// What the householder and the crew read: `slip-resistant`.
    pub words: String,
    /// What is broadcast into a second topcoat; `None` where one coat is left as it is.
    pub aggregate: Option<Aggregate>,
}

/// Grains broadcast into a second topcoat while it is wet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aggregate {
    /// The role under which a price book sells it: `aggregate.fine`.
    pub role: Role,
    /// Its grade, in words: `0.4 to 0.8 mm`.
    pub grade: String,
    /// Figures of the firm's own; `None`: the rules.
    pub own: Option<Figures>,
}

/// What a broadcast surface takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Figures {
    /// Aggregate broadcast, kg/m².
    pub rate: Decimal,
    /// Topcoat of the second coat, % of the first.
    pub topcoat: Decimal,
    /// To abrade, coat, broadcast and sweep, h/m².
    pub hours: Decimal,
}

/// The surface that is taken where a job names none.
pub const SMOOTH: &str = "smooth";

/// Every surface that the program knows by itself.
pub fn built_in() -> Vec<Surface> {
    let fine = Aggregate { role: Role::Aggregate("fine".to_owned()), grade: "0.4 to 0.8 mm".to_owned(), own: None };
    vec![
        Surface { key: SMOOTH.to_owned(), words: "smooth".to_owned(), aggregate: None },
        Surface { key: "slip-resistant".to_owned(), words: "slip-resistant".to_owned(), aggregate: Some(fine) },
    ]
}
