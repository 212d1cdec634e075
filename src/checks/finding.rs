//! What a check found: its verdict in plain words, the figures behind it and where they come from.
//!
//! Given by the checks of water, heat, weight and fire; read by the documents. A finding is never a certificate: each
//! carries the caution to look at the current edition and the nation.

pub use crate::takeoff::quantities::working::measured;

use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// Printed beside every finding that leans on a regulation or a standard.
pub const CAUTION: &str = "The figures are England\u{2019}s: Wales, Scotland and Northern Ireland have their own. Check for \
                           a newer edition.";

/// What came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The figures are good enough.
    Pass,
    /// They are not.
    Fail,
    /// Somebody else must say: an engineer, the data sheet, the certificate, Building Control.
    Refer,
}

impl Verdict {
    /// Its word in the documents.
    pub const fn word(self) -> &'static str {
        match self {
            Verdict::Pass => "pass",
            Verdict::Fail => "fail",
            Verdict::Refer => "refer",
        }
    }

    /// Pass where it holds, else fail.
    pub const fn of(holds: bool) -> Verdict {
        if holds { Verdict::Pass } else { Verdict::Fail }
    }
}

/// What a check is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Rain, gutters and outlets.
    Water,
    /// Heat through the roof.
    Heat,
    /// Air over the insulation of a cold roof.
    Air,
    /// What the roof weighs.
    Weight,
    /// What is lifted.
    Lift,
    /// Fire and the boundary.
    Fire,
    /// People on the roof.
    Use,
}

impl Subject {
    /// Its word, for other programs.
    pub const fn word(self) -> &'static str {
        match self {
            Subject::Water => "water",
            Subject::Heat => "heat",
            Subject::Air => "air",
            Subject::Weight => "weight",
            Subject::Lift => "lift",
            Subject::Fire => "fire",
            Subject::Use => "use",
        }
    }
}

/// One check with its outcome.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Stable id: lower case, dotted (`gutter.front`, `heat.u`, `fire.boundary`); once for each roof, or once a job.
    pub id: String,
    /// What it is about.
    pub kind: Subject,
    /// The roof's name; `None` where it is for the whole job.
    pub roof: Option<String>,
    /// What was checked: `gutter at front`.
    pub subject: String,
    /// Pass, fail or refer.
    pub verdict: Verdict,
    /// The outcome in plain words, figures included.
    pub statement: String,
    /// What it was designed or judged against, with its figure: `0.021 l/s for each m2`.
    pub design: String,
    /// The document behind it, with edition and date where known, and whether it was recalled from memory.
    pub source: String,
    /// What to check before leaning on it; [`CAUTION`] unless something stricter holds.
    pub caution: &'static str,
    /// The working.
    pub working: Vec<Step>,
}

impl Finding {
    /// The same finding, of one roof.
    pub fn of_roof(self, name: &str) -> Finding {
        Finding { roof: Some(name.to_owned()), ..self }
    }
}

/// The part of an id that a name of the job gives: `Right bay (2)` becomes `right-bay-2`.
pub fn id_of(name: &str) -> String {
    let plain = name.to_lowercase();
    plain.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join("-")
}

/// A formula with its numbers put in. The result is shown to six places; the value that goes on is not rounded.
pub fn formula(formula: impl Into<String>, result: Decimal, unit: Unit) -> Step {
    Step::Formula { formula: formula.into(), result: result.round_dp(6).normalize(), unit }
}

/// A flow of water for reading, l/s: always to three places, so that two flows can be held against each other.
pub fn flow_words(litres_per_second: Decimal) -> String {
    format!("{:.3} l/s", litres_per_second.round_dp(3))
}

/// A decimal for reading, to at most so many places, without trailing noughts.
pub fn figure(value: Decimal, places: u32) -> String {
    value.round_dp(places).normalize().to_string()
}
