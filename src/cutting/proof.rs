//! What a plan costs and what none can beat.
//!
//! Given by every search; read wherever a plan is shown. A plan is proven where both are the same.

/// Whether a plan is proven to be the best there is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proof {
    /// What the plan costs in its own measure (stock lengths, boards).
    pub found: i64,
    /// No plan can do with less than this; checked in whole numbers.
    pub bound: i64,
    /// Where the bound comes from, in words.
    pub reason: String,
}

impl Proof {
    /// Whether nothing better exists.
    pub const fn is_proven(&self) -> bool {
        self.found == self.bound
    }
}
