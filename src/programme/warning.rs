//! What the crew must hear before it starts: stops and cautions of the weather, and what the days bring.
//!
//! Given by the programme; read by the method statement. Only facts stand here: their words are a template's.

use super::mix::Outside;
use super::stops::LayerStrips;
use super::weather::Check;
use rust_decimal::Decimal;
use time::Date;

/// Something that the crew must know beforehand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SiteWarning {
    /// The weather stated for the job stops the work, or wants care.
    Weather(Check),
    /// The catalyst table has no dose for the temperature stated.
    NoDose(Outside),
    /// The roof is opened on one day and closed on another, and no strips say how far.
    OpenOvernight,
    /// What takes more than a day to open and close: the same days, roof and strips as its [`super::Stop`] has.
    StaysOpen {
        /// The day on which it is opened.
        first_day: u32,
        /// The day on which it is closed.
        day: u32,
        /// The roof.
        roof: String,
        /// The strips; none where the whole roof is one.
        strips: Vec<LayerStrips>,
    },
    /// No more is opened on a day than is closed on it: the days say where to stop.
    OpenByStrips,
    /// In the cold the topcoat comes on another day than the laminate.
    SecondVisit {
        /// The day before which it does not come.
        day: u32,
        /// It is the last of several: others come between the days that open a roof.
        last: bool,
        /// Below this air temperature, °C.
        below: Decimal,
    },
    /// Nobody works on the day that the job names for the start.
    StartMoved {
        /// The day named.
        from: Date,
        /// The first on which somebody works.
        to: Date,
    },
    /// A laminate is too old when its topcoat comes.
    StaleLaminate {
        /// Its age in hours.
        hours: Decimal,
        /// What it may be.
        most: Decimal,
        /// The days on which such a one is coated.
        days: Vec<u32>,
    },
}

impl SiteWarning {
    /// Whether something that is opened on a day stays open over the night.
    pub const fn is_open_overnight(&self) -> bool {
        matches!(self, SiteWarning::StaysOpen { .. } | SiteWarning::OpenOvernight)
    }
}
