//! A low wall beside a roof that is covered: what lies on it, how thick it is and who deals with what lies on it.
//!
//! Given the words of the job file; gives what was measured of the wall. The roof goes up its inner face and over its top;
//! how high it stands is the edge's upstand. Whoever covers it also lifts what lies on it now.

use super::by::By;
use super::units::Length;

/// What covers the wall once the roof has been carried over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cover {
    /// The coping stones that lie on it, bedded again.
    Stone,
    /// A new metal capping on brackets.
    Metal,
}

impl Cover {
    /// Every cover.
    pub const ALL: [Cover; 2] = [Cover::Stone, Cover::Metal];

    /// The word of the job file.
    pub const fn word(self) -> &'static str {
        match self {
            Cover::Stone => "stone",
            Cover::Metal => "metal",
        }
    }

    /// What it is called where it is laid.
    pub const fn words(self) -> &'static str {
        match self {
            Cover::Stone => "coping stones",
            Cover::Metal => "metal capping",
        }
    }
}

/// A covered wall of limited height at an edge: a parapet, or a wall between two roofs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coping {
    /// Thickness of the wall, across its top.
    pub width: Length,
    /// What covers it.
    pub cover: Cover,
    /// Who lifts what lies on it and covers it again.
    pub by: By,
    /// What its inner face is lined with, by the board's key; the deck's board where it is not said.
    pub board: Option<String>,
}
