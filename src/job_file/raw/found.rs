//! The file of what was found on site, as it is written: every key, none of the meaning.

use crate::job_file::read::amount::amounts;
use crate::job_file::read::form::Writing;
use crate::job_file::read::reading::{List, Word, Wrong, wrong};
use crate::job_file::read::scalars::{PrintedText, number, with_unit};
use crate::job_file::read::settings::settings;
use crate::model::Length;
use crate::pricing::Money;
use rust_decimal::Decimal;

settings! {
    /// The whole file.
    pub(crate) struct RawFound = "a list of what was found" {
        found: List<RawThing>, needed "[{what: Deck boards rotten at the outlet, boards: 3}]";
        days: u32, within FOUND_DAYS;
        note: PrintedText;
    }
}

settings! {
    /// One thing that was found.
    pub(crate) struct RawThing = "a thing that was found" {
        what: PrintedText, needed "Deck boards rotten at the outlet";
        rate: PrintedText;
        article: PrintedText;
        size: Length, within PACK_SIZE;
        quantity: FoundQuantity, within FOUND_QUANTITY;
        boards: u32, within GOODS;
        board: PrintedText;
        hours: WorkedHours, within FOUND_HOURS;
        visits: u32, within VISITS;
        cost: Money, within EXTRA;
        price: Money, within EXTRA;
        omit: Money, within EXTRA;
        takes: List<RawTaken>;
    }
}

settings! {
    /// What a thing takes whose price is in its rate or its sum.
    pub(crate) struct RawTaken = "what a thing takes" {
        article: PrintedText, needed "sawn.47x147";
        size: Length, within PACK_SIZE;
        quantity: FoundQuantity, needed "1", within FOUND_QUANTITY;
    }
}

/// How much of something: a number, and the unit where it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct FoundQuantity {
    /// How much.
    pub amount: Decimal,
    /// The unit as written; empty where it is not.
    pub unit: String,
}

impl Word for FoundQuantity {
    const WHAT: &'static str = "how much it is";
    fn parse(text: &str) -> Result<FoundQuantity, Wrong> {
        let (digits, unit) = with_unit(text);
        let amount = number(digits)?;
        match amount.is_sign_negative() {
            true => wrong(format!("`{text}` is less than nothing"), "write how much it is, such as `2.4 m`"),
            false => Ok(FoundQuantity { amount, unit: unit.replace('²', "2") }),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["", "each", "m", "m2", "m²", "kg", "ml", "l"])
    }
}

/// Hours of one person, with their unit or without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct WorkedHours(pub Decimal);

impl Word for WorkedHours {
    const WHAT: &'static str = "hours of one person";
    fn parse(text: &str) -> Result<WorkedHours, Wrong> {
        let units = ["hours", "hour", "h"];
        let digits = units.iter().find_map(|unit| text.strip_suffix(unit)).unwrap_or(text);
        number(digits.trim()).map(WorkedHours)
    }

    fn writing() -> Writing {
        Writing::number(&["", "h", "hour", "hours"])
    }
}

amounts! {
    FoundQuantity: q => q.amount;
    WorkedHours: h => h.0;
}
