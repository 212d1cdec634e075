//! The hazards, as data: what it is, whom it harms, when a job has it, what controls it, and where that comes from.
//!
//! Given nothing; gives the table of `hazards.yaml`, read once. To add a hazard, add an entry there with the works that
//! bring it, and a `When` here if a circumstance must hold as well and none fits. A mistake in the file, a misspelt work
//! among them, is found by the tests, never by a user: the file is compiled in.

use crate::facts;
use crate::works::{WorkKind, Works};
use serde::de::Error;
use serde::{Deserialize, Deserializer};
use std::sync::LazyLock;

/// The works that bring a hazard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BroughtBy {
    /// Any work that the firm does.
    Any,
    /// These.
    Works(Vec<WorkKind>),
}

impl BroughtBy {
    /// Whether the firm does any of them.
    pub fn is_in(&self, works: &Works) -> bool {
        match self {
            BroughtBy::Any => works.ours().next().is_some(),
            BroughtBy::Works(kinds) => kinds.iter().any(|kind| works.has(*kind)),
        }
    }
}

impl<'de> Deserialize<'de> for BroughtBy {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<BroughtBy, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Word(String),
            Keys(Vec<String>),
        }
        let work = |key: String| {
            let known = WorkKind::ALL.iter().copied().find(|kind| kind.key() == key);
            known.ok_or_else(|| D::Error::custom(format!("there is no work `{key}`")))
        };
        match Written::deserialize(from)? {
            Written::Word(word) if word == "any" => Ok(BroughtBy::Any),
            Written::Word(word) => Err(D::Error::custom(format!("`{word}` is neither `any` nor a list of works"))),
            Written::Keys(keys) => Ok(BroughtBy::Works(keys.into_iter().map(work).collect::<Result<_, _>>()?)),
        }
    }
}

/// A circumstance that must hold for a job to have a hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum When {
    /// The answer about asbestos is yes or not known.
    #[serde(rename = "asbestos may be")]
    AsbestosMayBe,
    /// A rooflight, hatch or other opening stands in a roof.
    #[serde(rename = "openings")]
    Openings,
    /// Always; the old covering is named where one comes off.
    #[serde(rename = "old covering")]
    OldCovering,
    /// Polyurethane adhesive is used.
    #[serde(rename = "adhesive")]
    Adhesive,
    /// Primer goes on bare masonry.
    #[serde(rename = "masonry primer")]
    MasonryPrimer,
    /// Mortar is mixed.
    #[serde(rename = "mortar")]
    Mortar,
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
    /// Lead is among what the firm strips or fits.
    #[serde(rename = "lead")]
    Lead,
    /// Aerials or dishes stand in the way, or nobody has said that none does.
    #[serde(rename = "aerials")]
    Aerials,
    /// A road or a neighbour's ground is near.
    #[serde(rename = "neighbours")]
    Neighbours,
}

/// What is done about a hazard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Control {
    /// What is done.
    pub say: String,
    /// The works without which it is not said.
    pub works: BroughtBy,
}

impl<'de> Deserialize<'de> for Control {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Control, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct OfWorks {
            say: String,
            works: BroughtBy,
        }
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Always(String),
            OfWorks(OfWorks),
        }
        Ok(match Written::deserialize(from)? {
            Written::Always(say) => Control { say, works: BroughtBy::Any },
            Written::OfWorks(OfWorks { say, works }) => Control { say, works },
        })
    }
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
    /// The works that bring it to a job.
    pub works: BroughtBy,
    /// What must hold as well.
    pub when: Option<When>,
    /// What is done about it.
    pub controls: Vec<Control>,
    /// Where the controls come from.
    pub source: String,
}

/// Every hazard, the gravest first.
pub static HAZARDS: LazyLock<Vec<Hazard>> =
    LazyLock::new(|| read(WRITTEN).expect("the compiled-in hazards can be read"));

/// The hazards as they are written, each fact by its name.
pub const WRITTEN: &str = include_str!("hazards.yaml");

/// Hazards as they are written, with the facts that they name.
///
/// # Errors
/// What cannot be read, a work or a circumstance that there is not among it.
pub fn read(text: &str) -> Result<Vec<Hazard>, serde_yaml::Error> {
    serde_yaml::from_str(&facts::filled(text))
}
