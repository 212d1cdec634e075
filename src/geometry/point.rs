//! A point on plan.
//!
//! Given two coordinates in whole millimetres; x runs to the right along the front, y up the roof.

/// A point in whole millimetres on the roof's own plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Point {
    /// To the right along the front, mm.
    pub x: i64,
    /// Up the roof, away from who stands below, mm.
    pub y: i64,
}

impl Point {
    /// A point from its two coordinates in millimetres.
    pub const fn new(x: i64, y: i64) -> Point {
        Point { x, y }
    }
}
