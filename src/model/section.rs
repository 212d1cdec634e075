//! Sections of timber.
//!
//! Given two sizes; gives the section, thickness first, as the trade writes it: `47 × 170 mm`.

use super::units::Length;
use std::fmt;

/// A timber section: thickness × width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Section {
    /// Thickness: how far one layer stands an edge off.
    pub thickness: Length,
    /// Width.
    pub width: Length,
}

impl Section {
    /// How far its middle lies from its face, in whole millimetres, rounded up.
    pub fn half_thickness(self) -> Length {
        Length::mm((self.thickness.as_mm() + 1) / 2)
    }
}

impl fmt::Display for Section {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} × {}", self.thickness.as_mm(), self.width)
    }
}
