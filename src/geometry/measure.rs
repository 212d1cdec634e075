//! Lengths in whole millimetres and areas in whole square millimetres.
//!
//! Given numbers with a unit; gives values that add and compare only with their own kind. They are integers, so that
//! `2900 ÷ 950` never becomes 3.0000000000000004 strips.

use super::whole::div_ceil;
use rust_decimal::Decimal;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A length in whole millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);

    /// A length from whole millimetres.
    pub const fn mm(mm: i64) -> Length {
        Length(mm)
    }

    /// The length in whole millimetres.
    pub const fn as_mm(self) -> i64 {
        self.0
    }

    /// The length in metres, exactly.
    pub fn metres(self) -> Decimal {
        Decimal::new(self.0, 3)
    }

    /// How many pieces of at most `piece` this length takes, rounded up. `piece` must be positive.
    pub fn pieces_of(self, piece: Length) -> i64 {
        div_ceil(self.0, piece.0)
    }

    /// Places along this length, spaced so at most, with one at each end.
    pub fn places(self, spacing: Length) -> i64 {
        self.pieces_of(spacing.max(Length::mm(1))) + 1
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, o: Length) -> Length {
        Length(self.0 + o.0)
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, o: Length) -> Length {
        Length(self.0 - o.0)
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(-self.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, o: Length) {
        self.0 += o.0;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, o: Length) {
        self.0 -= o.0;
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, n: i64) -> Length {
        Length(self.0 * n)
    }
}

impl Mul<Length> for Length {
    type Output = Area;
    fn mul(self, o: Length) -> Area {
        Area(self.0 * o.0)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(i: I) -> Length {
        Length(i.map(|l| l.0).sum())
    }
}

/// Millimetres, as the trade writes them on a cut list: `2650 mm`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

/// An area in whole square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Area(i64);

impl Area {
    /// No area at all.
    pub const ZERO: Area = Area(0);

    /// An area from whole square millimetres.
    pub const fn mm2(mm2: i64) -> Area {
        Area(mm2)
    }

    /// The area in whole square millimetres.
    pub const fn as_mm2(self) -> i64 {
        self.0
    }

    /// The area in square metres, exactly.
    pub fn square_metres(self) -> Decimal {
        Decimal::new(self.0, 6)
    }
}

impl Add for Area {
    type Output = Area;
    fn add(self, o: Area) -> Area {
        Area(self.0 + o.0)
    }
}

impl AddAssign for Area {
    fn add_assign(&mut self, o: Area) {
        self.0 += o.0;
    }
}

impl Sub for Area {
    type Output = Area;
    fn sub(self, o: Area) -> Area {
        Area(self.0 - o.0)
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Area>>(i: I) -> Area {
        Area(i.map(|a| a.0).sum())
    }
}
