//! The questions that are always asked, because they are always forgotten.
//!
//! Given nothing; gives each question with its key and its words. A question that was not answered counts as not
//! included, and is said to be open.

/// A question that every job must answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Access {
    /// Scaffold or edge protection.
    Scaffold,
    /// Permits and licences.
    Permits,
    /// Parking.
    Parking,
    /// Render at the flashing.
    RenderCutting,
    /// Aerials, dishes, cables.
    Aerials,
    /// Tiles or slates above.
    DisturbedTiles,
    /// The firm's minimum charge: between the firm and its price, no business of the householder.
    MinimumCharge,
}

/// Every question with its key in the files and its words, in the order in which they are asked.
const TABLE: [(Access, &str, &str); 7] = [
    (Access::Scaffold, "scaffold", "scaffold or edge protection"),
    (Access::Permits, "permits", "permits and licences for the road or the skip"),
    (Access::Parking, "parking", "parking"),
    (Access::RenderCutting, "render_cutting", "cutting of render for the flashing"),
    (Access::Aerials, "aerials", "moving of aerials, dishes and cables"),
    (Access::DisturbedTiles, "disturbed_tiles", "tiles or slates above that must be disturbed"),
    (Access::MinimumCharge, "minimum_charge", "the firm's minimum charge"),
];

/// What a job has that the words of a question depend on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beside<'a> {
    /// A skip, into which goes what is stripped.
    pub skip: bool,
    /// Courses of tiles or slates that are lifted above an edge.
    pub lifted: bool,
    /// What is put up for working at height, where it is named.
    pub scaffold: Option<&'a str>,
}

impl Access {
    /// Every question, in the order in which they are asked.
    pub fn all() -> impl Iterator<Item = Access> {
        TABLE.iter().map(|(question, ..)| *question)
    }

    /// The key in the job and the firm file.
    pub fn key(self) -> &'static str {
        TABLE[self as usize].1
    }

    /// The question in words.
    pub fn words(self) -> &'static str {
        TABLE[self as usize].2
    }

    /// The question in words, beside what else the job has.
    pub fn words_with(self, beside: Beside<'_>) -> &str {
        match self {
            Access::Scaffold => beside.scaffold.unwrap_or_else(|| self.words()),
            Access::Permits if !beside.skip => "permits and licences for the road",
            Access::DisturbedTiles if beside.lifted => "other tiles or slates that must be disturbed",
            _ => self.words(),
        }
    }

    /// The question of a key.
    pub fn of(key: &str) -> Option<Access> {
        TABLE.iter().find(|(_, k, _)| *k == key).map(|(question, ..)| *question)
    }

    /// Whether the householder hears of it.
    pub fn is_for_the_householder(self) -> bool {
        self != Access::MinimumCharge
    }
}
