//! The record of the work as it is written: every key, none of the meaning.

use super::job::RawPhoto;
use crate::job_file::read::amount::amounts;
use crate::job_file::read::form::Writing;
use crate::job_file::read::reading::{At, ByName, FromFile, List, OneOrMany, Slot, Word, Wrong, wrong};
use crate::job_file::read::scalars::{Celsius, PercentRange, PrintedText, YesNo, number};
use crate::job_file::read::settings::settings;
use rust_decimal::Decimal;
use time::Date;

settings! {
    /// The whole file.
    pub(crate) struct RawRecord = "a record of the work" {
        finished: Date;
        weather: List<RawLoggedWeather>;
        batches: RawBatches;
        checks: ByName<RawCheckResult>;
        variations: ByName<RawCheckResult>;
        photos: List<RawPhoto>;
        left: List<PrintedText>;
        hours: ByName<SpentHours>, within SPENT_HOURS;
        packs: ByName<Decimal>, within PACKS_USED;
    }
}

settings! {
    /// The weather of a day.
    pub(crate) struct RawLoggedWeather = "an entry of `weather`" {
        day: Date, needed "2027-01-19";
        air: Celsius, needed "9 C", within AIR;
        humidity: PercentRange, needed "72 %", within HUMIDITY;
        surface: Celsius, needed "8 C", within SURFACE;
        words: PrintedText;
    }
}

settings! {
    /// The batch numbers of what was used.
    pub(crate) struct RawBatches = "`batches`" {
        resin: OneOrMany<PrintedText>;
        mat: OneOrMany<PrintedText>;
        catalyst: OneOrMany<PrintedText>;
        topcoat: OneOrMany<PrintedText>;
    }
}

settings! {
    /// How a check came out.
    pub(crate) struct RawCheckResult = "a check" or check_short as YesNo {
        passed: YesNo, needed "yes";
        words: PrintedText;
    }
}

/// `deck: yes`: a check by its result alone.
fn check_short(at: At<'_>) -> Slot<RawCheckResult> {
    let passed: Slot<YesNo> = YesNo::read(at);
    match passed.is_bad() {
        true => Slot::Bad,
        false => Slot::Given(RawCheckResult { passed, ..RawCheckResult::default() }),
    }
}

/// Hours that were spent: `6.5 h`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SpentHours(pub Decimal);

impl Word for SpentHours {
    const WHAT: &'static str = "a number of hours";
    fn parse(text: &str) -> Result<SpentHours, Wrong> {
        let digits = ["hours", "hour", "h"].iter().find_map(|unit| text.strip_suffix(unit)).map(str::trim);
        match (digits.map(number), number(text)) {
            (Some(Ok(hours)), _) if !hours.is_sign_negative() || hours.is_zero() => Ok(SpentHours(hours)),
            (Some(Ok(_)), _) => wrong(format!("`{text}` is less than nothing"), "write the hours that were spent"),
            (Some(Err(fault)), _) => Err(fault),
            (None, Ok(bare)) => wrong(format!("`{text}` has no unit"), format!("write `{} h`", bare.normalize())),
            (None, Err(_)) => {
                wrong("this is not a number of hours", "write the hours of all who did it, such as `6.5 h`")
            }
        }
    }

    fn writing() -> Writing {
        Writing::number(&["h", "hour", "hours"])
    }
}

amounts! {
    SpentHours: hours => hours.0;
}
