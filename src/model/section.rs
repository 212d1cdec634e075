//! Sections of timber.
//!
//! Given two sizes; gives the section, thickness first, as the trade writes it: `47 × 170 mm`.

use super::units::Length;

/// A timber section: thickness × width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Section {
    /// Thickness: how far one layer stands an edge off.
    pub thickness: Length,
    /// Width.
    pub width: Length,
}
