//! Values of a file that are numbers, read within the limits of [`crate::model::limits`].
//!
//! Given a place, the stream and the limits of what stands there; gives the value, or tells the value as it was
//! written, its limits and the reason. A list is held to the limits entry by entry; an answer that gives no number
//! (`yes`, `rest`) has none to be outside of.

use super::places::YamlKind;
use super::reading::{At, ByName, List, Slot, Word, left_empty, scalar, skip, wrong};
use super::scalars::{Celsius, Holds, Hours, Percent, PercentRange, ShareOfPrice, Volume, YesNoSum};
use crate::model::limits::Number;
use crate::model::{Area, Fall, Length, Mass, Range};
use crate::pricing::Money;
use rust_decimal::Decimal;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;

/// A value that is a number: the lowest and the highest that it may be, the same where it is known exactly.
pub trait Amount {
    /// Both, in the unit of the limits; none where it is a word.
    fn amounts(&self) -> Option<(Decimal, Decimal)>;
}

/// Something that is read within limits.
pub trait Limited: Sized {
    /// Reads it; problems are told to the place.
    ///
    /// # Errors
    /// Only what serde itself cannot get past.
    fn read_within<'de, D: Deserializer<'de>>(
        limits: &'static Number,
        at: At<'_>,
        from: D,
    ) -> Result<Slot<Self>, D::Error>;
}

impl<T: Word + Amount> Limited for T {
    fn read_within<'de, D: Deserializer<'de>>(
        limits: &'static Number,
        at: At<'_>,
        from: D,
    ) -> Result<Slot<T>, D::Error> {
        scalar(at, from, T::WHAT, |text| {
            let value = T::parse(text)?;
            match value.amounts() {
                Some((low, high)) if !limits.limit.holds(low) || !limits.limit.holds(high) => {
                    let written: String = text.chars().take(40).collect();
                    wrong(format!("`{}` is {written}; it lies {}", at.name(), limits.words()), cure(limits))
                }
                _ => Ok(value),
            }
        })
    }
}

fn cure(limits: &Number) -> String {
    match limits.why {
        "" => "check the figure, its point and its unit".to_owned(),
        why => format!("check the figure, its point and its unit: {why}"),
    }
}

impl<T: Limited> Limited for List<T> {
    fn read_within<'de, D: Deserializer<'de>>(
        limits: &'static Number,
        at: At<'_>,
        from: D,
    ) -> Result<Slot<Self>, D::Error> {
        if !at.expects(YamlKind::List, "a list") {
            return skip(from);
        }
        from.deserialize_seq(Entries(limits, at, PhantomData)).map(Slot::Given)
    }
}

struct Entries<'a, T>(&'static Number, At<'a>, PhantomData<T>);

impl<'de, T: Limited> Visitor<'de> for Entries<'_, T> {
    type Value = List<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<List<T>, A::Error> {
        let mut all = Vec::new();
        while let Some(entry) = seq.next_element_seed(Within::at(self.1.child(all.len()), self.0))? {
            all.push(entry);
        }
        Ok(all)
    }
}

impl<T: Limited> Limited for ByName<T> {
    fn read_within<'de, D: Deserializer<'de>>(
        limits: &'static Number,
        at: At<'_>,
        from: D,
    ) -> Result<Slot<Self>, D::Error> {
        if !at.expects(YamlKind::Group, "a group of settings") {
            return skip(from);
        }
        from.deserialize_map(Group(limits, at, PhantomData)).map(|all| Slot::Given(ByName(all)))
    }
}

struct Group<'a, T>(&'static Number, At<'a>, PhantomData<T>);

impl<'de, T: Limited> Visitor<'de> for Group<'_, T> {
    type Value = Vec<(String, Slot<T>)>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a group of settings")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut all = Vec::new();
        while let Some(key) = map.next_key::<String>()? {
            let value = map.next_value_seed(Within::at(self.1.child(all.len()), self.0))?;
            all.push((key, value));
        }
        Ok(all)
    }
}

/// Reads a `T` at a place, within limits.
pub struct Within<'a, T>(&'static Number, At<'a>, PhantomData<T>);

impl<'a, T> Within<'a, T> {
    /// At that place, within those limits.
    pub fn at(at: At<'a>, limits: &'static Number) -> Within<'a, T> {
        Within(limits, at, PhantomData)
    }
}

impl<'de, T: Limited> DeserializeSeed<'de> for Within<'_, T> {
    type Value = Slot<T>;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Slot<T>, D::Error> {
        match self.1.kind() {
            YamlKind::Empty => left_empty(self.1, from),
            _ => T::read_within(self.0, self.1, from),
        }
    }
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
    Holds: h => h.amount;
    Fall: f => f.run;
}

/// Roofs and walls are limited in square metres, the sections of gutters in square millimetres: see [`SquareMm`].
impl Amount for Area {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        Some((self.square_metres(), self.square_metres()))
    }
}

/// The area of a section, in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SquareMm(pub Area);

impl Word for SquareMm {
    const WHAT: &'static str = Area::WHAT;
    fn parse(text: &str) -> Result<SquareMm, super::reading::Wrong> {
        Area::parse(text).map(SquareMm)
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
