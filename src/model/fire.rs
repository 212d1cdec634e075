//! How a roof covering behaves in fire from outside, as its test certificate classes it.
//!
//! Given by the certificate; gives the five classes of BS EN 13501-5, test t4, best first. A class belongs to a whole
//! build-up as tested, never to a resin alone.

use std::fmt;

/// Classes of exposure of a roof to external fire (BS EN 13501-5, test t4), best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RoofClass {
    /// The best.
    B,
    /// Second.
    C,
    /// Third.
    D,
    /// Fourth.
    E,
    /// The worst, and what is not known.
    F,
}

impl RoofClass {
    /// Every class, best first.
    pub const ALL: [RoofClass; 5] = [RoofClass::B, RoofClass::C, RoofClass::D, RoofClass::E, RoofClass::F];
}

/// As the standard writes it: `BROOF(t4)`.
impl fmt::Display for RoofClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self:?}ROOF(t4)")
    }
}
