//! Units as types: masses in exact kilograms, falls, ranges; lengths and areas are those of [`crate::geometry`].
//!
//! Given numbers with a unit; gives values that add and compare only with their own kind.

pub use crate::geometry::measure::{Area, Length};

use rust_decimal::Decimal;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul};

/// A mass in kilograms, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Mass(Decimal);

impl Mass {
    /// No mass at all.
    pub const ZERO: Mass = Mass(Decimal::ZERO);

    /// A mass from kilograms.
    pub const fn kg(kg: Decimal) -> Mass {
        Mass(kg)
    }

    /// The mass in kilograms.
    pub const fn as_kg(self) -> Decimal {
        self.0
    }
}

impl Add for Mass {
    type Output = Mass;
    fn add(self, o: Mass) -> Mass {
        Mass(self.0 + o.0)
    }
}

impl AddAssign for Mass {
    fn add_assign(&mut self, o: Mass) {
        self.0 += o.0;
    }
}

impl Mul<Decimal> for Mass {
    type Output = Mass;
    fn mul(self, n: Decimal) -> Mass {
        Mass(self.0 * n)
    }
}

impl Sum for Mass {
    fn sum<I: Iterator<Item = Mass>>(i: I) -> Mass {
        Mass(i.map(|m| m.0).sum())
    }
}

/// A roof's fall as `1 in run`: 1:40 rises 1 mm in 40 mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fall {
    /// The run for a rise of one; always positive.
    pub run: Decimal,
}

impl fmt::Display for Fall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "1:{}", self.run.normalize())
    }
}

/// A value that may be known exactly or only within limits (`5 C to 12 C`). `low <= high`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// The least it may be.
    pub low: Decimal,
    /// The most it may be.
    pub high: Decimal,
}

impl Range {
    /// A range of one value.
    pub const fn exactly(v: Decimal) -> Range {
        Range { low: v, high: v }
    }

    /// Whether the value is known exactly.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }
}
