//! The list of what stands in the van as it is written: every key, none of the meaning.

use super::job::Lines;
use crate::job_file::read::reading::List;
use crate::job_file::read::scalars::{PrintedText, Remaining};
use crate::job_file::read::settings::settings;
use crate::model::Length;
use time::Date;

settings! {
    /// The whole file.
    pub(crate) struct RawStock = "a stock list" {
        counted: Date, needed "2026-11-20";
        after: Lines;
        van: List<RawVanLine>, needed "[{role: resin, amount: 12 kg}]";
    }
}

settings! {
    /// One thing that stands in the van.
    pub(crate) struct RawVanLine = "a line of `van`" {
        role: PrintedText, needed "resin";
        size: Length, within PACK_SIZE;
        amount: Remaining, needed "12 kg", within IN_VAN;
        batch: PrintedText;
        use_by: Date;
        kept_for: PrintedText;
        note: PrintedText;
    }
}
