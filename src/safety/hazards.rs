//! The hazards, as data: what it is, whom it harms, when a job has it, what controls it, and where that comes from.
//!
//! Given nothing; gives the table of `hazards.yaml`, read once. To add a hazard, add an entry there, and a `When` here if
//! none fits. A mistake in the file is found by the tests, never by a user: the file is compiled in.

use crate::facts;
use serde::Deserialize;
use std::sync::LazyLock;

/// When a job has a hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum When {
    /// Every job of this kind.
    #[serde(rename = "always")]
    Always,
    /// The answer about asbestos is yes or not known.
    #[serde(rename = "asbestos may be")]
    AsbestosMayBe,
    /// A rooflight, hatch or other opening stands in a roof.
    #[serde(rename = "openings")]
    Openings,
    /// An old covering comes off.
    #[serde(rename = "strip")]
    Strip,
    /// New boards are laid or cut.
    #[serde(rename = "boards")]
    Boards,
    /// Polyurethane adhesive is used.
    #[serde(rename = "adhesive")]
    Adhesive,
    /// One person works there by himself.
    #[serde(rename = "alone")]
    Alone,
    /// The temperature is high, or not known.
    #[serde(rename = "warm")]
    Warm,
    /// The temperature is low, or not known.
    #[serde(rename = "cold")]
    Cold,
    /// No scaffold or edge protection was agreed.
    #[serde(rename = "no edge protection")]
    NoEdgeProtection,
    /// Lead is worked by the firm.
    #[serde(rename = "lead")]
    Lead,
    /// Aerials or dishes stand in the way, or nobody has said that none does.
    #[serde(rename = "aerials")]
    Aerials,
    /// The firm cuts a chase into a wall for the flashing.
    #[serde(rename = "chase")]
    Chase,
    /// A road or a neighbour's ground is near.
    #[serde(rename = "neighbours")]
    Neighbours,
}

/// One hazard.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// Stable name.
    pub id: String,
    /// What it is called on the sheet.
    pub title: String,
    /// What it does to whom.
    pub harm: String,
    /// When a job has it.
    pub when: When,
    /// What is done about it.
    pub controls: Vec<String>,
    /// Where the controls come from.
    pub source: String,
}

/// Every hazard, the gravest first.
pub static HAZARDS: LazyLock<Vec<Hazard>> =
    LazyLock::new(|| serde_yaml::from_str(&facts::filled(WRITTEN)).expect("the compiled-in hazards can be read"));

/// The hazards as they are written, each fact by its name.
pub const WRITTEN: &str = include_str!("hazards.yaml");
