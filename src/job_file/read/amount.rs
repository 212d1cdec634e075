//! Values of a file that are numbers, read within the limits of [`crate::model::limits`].
//!
//! Given a place and the limits of what stands there; gives the value, or tells the value as it was
//! written, its limits and the reason. A list is held to the limits entry by entry; an answer that gives no number
//! (`yes`, `rest`) has none to be outside of.

use super::form::Writing;
use super::places::YamlKind;
use super::reading::{At, ByName, List, Slot, Word, Wrong, is_left_empty, scalar, wrong};
use super::scalars::{
    Celsius, CubicMetresEach, FallSaid, Holds, Hours, HoursEach, KilogramsEach, Percent, PercentRange, Remaining,
    ShareOfPrice, Volume, YesNoSum, areas, with_unit,
};
use crate::model::limits::Number;
use crate::model::shape::Gutter;
use crate::model::{Area, Fall, Length, Mass, Range};
use crate::pricing::Money;
use rust_decimal::Decimal;

/// A value that is a number: the lowest and the highest that it may be, the same where it is known exactly.
pub(crate) trait Amount {
    /// Both, in the unit of the limits; none where it is a word.
    fn amounts(&self) -> Option<(Decimal, Decimal)>;
}

/// Something that is read within limits.
pub(crate) trait Limited: Sized {
    /// Reads it; problems are told to the place.
    fn read_within(limits: &Number, at: At<'_>) -> Slot<Self>;
}

impl<T: Word + Amount> Limited for T {
    fn read_within(limits: &Number, at: At<'_>) -> Slot<T> {
        scalar(at, T::WHAT, |text| within(&at.called(), text, limits))
    }
}

/// Reads a number within limits; `what` is what the words call it.
///
/// # Errors
/// What is wrong with it, with the cure.
pub(crate) fn within<T: Word + Amount>(what: &str, text: &str, limits: &Number) -> Result<T, Wrong> {
    let value = T::parse(text)?;
    match value.amounts() {
        Some((low, high)) if !limits.limit.holds(low) || !limits.limit.holds(high) => {
            let written: String = text.chars().take(40).collect();
            let cure = other_unit::<T>(text, limits).unwrap_or_else(|| cure(limits));
            wrong(format!("{what} is {written}; it lies {}", limits.words()), cure)
        }
        _ => Ok(value),
    }
}

/// A length that lies within its limits in another unit: a metre for a millimetre.
fn other_unit<T: Word + Amount>(text: &str, limits: &Number) -> Option<String> {
    // A unit behind figures, and behind a word and figures: `half-round 112 m`.
    let (figures, written) = match with_unit(text) {
        (_, "") => text.rsplit_once(' ').unwrap_or((text, "")),
        parted => parted,
    };
    let units = [("mm", "millimetres"), ("m", "metres")];
    if limits.unit != "mm" || !["mm", "cm", "m"].contains(&written) {
        return None;
    }
    let fits = |unit: &str| {
        let value = T::parse(&format!("{figures} {unit}")).ok().and_then(|value| value.amounts());
        value.is_some_and(|(low, high)| limits.limit.holds(low) && limits.limit.holds(high))
    };
    let (unit, words) = units.into_iter().find(|(unit, _)| *unit != written && fits(unit))?;
    Some(format!("if {words} are meant, write `{figures} {unit}`; else {}", cure(limits)))
}

fn cure(limits: &Number) -> String {
    match limits.why {
        "" => "check the figure, its point and its unit".to_owned(),
        why => format!("check the figure, its point and its unit: {why}"),
    }
}

impl<T: Limited> Limited for List<T> {
    fn read_within(limits: &Number, at: At<'_>) -> Slot<Self> {
        match at.expects(YamlKind::List, "a list") {
            true => Slot::Given(at.entries().map(|at| setting_within(at, limits)).collect()),
            false => Slot::Bad,
        }
    }
}

impl<T: Limited> Limited for ByName<T> {
    fn read_within(limits: &Number, at: At<'_>) -> Slot<Self> {
        let one = |at: At<'_>| (at.key().to_owned(), setting_within(at, limits));
        match at.expects(YamlKind::Group, "a group of settings") {
            true => Slot::Given(ByName(at.entries().map(one).collect())),
            false => Slot::Bad,
        }
    }
}

/// Reads a setting within limits; one that is left empty is told.
pub(crate) fn setting_within<T: Limited>(at: At<'_>, limits: &Number) -> Slot<T> {
    if is_left_empty(at) { Slot::Bad } else { T::read_within(limits, at) }
}

/// Values that are one number.
macro_rules! amounts {
    ($($type:ty: $value:ident => $amount:expr;)*) => {
        $(impl $crate::job_file::read::amount::Amount for $type {
            fn amounts(&self) -> Option<(Decimal, Decimal)> {
                let $value = self;
                let amount: Decimal = $amount;
                Some((amount, amount))
            }
        })*
    };
}

pub(crate) use amounts;

amounts! {
    Length: l => l.as_mm().into();
    Money: m => m.as_pounds();
    Mass: m => m.as_kg();
    Decimal: d => *d;
    u32: n => (*n).into();
    Percent: p => p.0;
    Volume: v => v.0;
    CubicMetresEach: v => v.0;
    KilogramsEach: m => m.0;
    HoursEach: h => h.0;
    Holds: h => h.amount;
    Remaining: r => r.amount;
    Fall: f => f.run;
    Gutter: g => g.size.as_mm().into();
}

/// A fall that is there has no number to be outside of the usual limits: the builder holds it to its own.
impl Amount for FallSaid {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        match self {
            FallSaid::OneIn(fall) => Some((fall.run, fall.run)),
            FallSaid::Existing(_) => None,
        }
    }
}

/// Roofs and walls are limited in square metres, the sections of gutters in square millimetres: see [`SquareMm`].
impl Amount for Area {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        Some((self.square_metres(), self.square_metres()))
    }
}

/// The area of a section, in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SquareMm(pub Area);

impl Word for SquareMm {
    const WHAT: &'static str = Area::WHAT;
    fn parse(text: &str) -> Result<SquareMm, super::reading::Wrong> {
        Area::parse(text).map(SquareMm)
    }

    fn writing() -> Writing {
        areas(["mm2", "mm²"], ["m2", "m²"], Decimal::from(1_000_000))
    }
}

impl Amount for SquareMm {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        let area = Decimal::from(self.0.as_mm2());
        Some((area, area))
    }
}

fn ends(range: Range) -> Option<(Decimal, Decimal)> {
    Some((range.low, range.high))
}

impl Amount for Celsius {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        ends(self.0)
    }
}

impl Amount for PercentRange {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        ends(self.0)
    }
}

impl Amount for Hours {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        ends(self.0)
    }
}

impl Amount for YesNoSum {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        match self {
            YesNoSum::Sum(sum) => sum.amounts(),
            YesNoSum::Yes | YesNoSum::No => None,
        }
    }
}

impl Amount for ShareOfPrice {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        match self {
            ShareOfPrice::Sum(sum) => sum.amounts(),
            ShareOfPrice::Percent(_) | ShareOfPrice::Rest => None,
        }
    }
}
