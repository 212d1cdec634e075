//! The job itself: who, where, when, what is there now, and the roofs.
//!
//! Given the answers of the survey; gives them with every choice named. No money: sums of the job stand in `pricing`.

use super::fire::RoofClass;
use super::lift::Lift;
use super::shape::Roof;
use super::units::{Length, Range};
use time::Date;

/// A person or firm with an address.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Party {
    /// Name as it is printed.
    pub name: String,
    /// Address, a line each.
    pub address: Vec<String>,
    /// E-mail, if given.
    pub email: Option<String>,
    /// Telephone, if given.
    pub phone: Option<String>,
}

/// Yes, no, or nobody knows yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Not known; for asbestos this counts as yes.
    NotKnown,
}

/// Where the work is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// Address, a line each.
    pub address: Vec<String>,
    /// Height from ground to eaves.
    pub eaves_height: Option<Length>,
    /// Built before 2000: asks the asbestos question.
    pub built_before_2000: Option<Answer>,
    /// How one gets there, as written.
    pub access: Option<String>,
    /// The nearest hospital with an emergency department, as given.
    pub hospital: Option<String>,
}

/// The weather that the mix card and the go / no-go answer are worked for; `None` where it was not said.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conditions {
    /// Air temperature, °C.
    pub air: Option<Range>,
    /// Relative humidity, %.
    pub humidity: Option<Range>,
    /// Surface temperature, °C.
    pub surface: Option<Range>,
    /// The coming night's low, °C.
    pub night_low: Option<Range>,
    /// Deck moisture, % by mass.
    pub moisture: Option<Range>,
    /// Hours until rain is forecast.
    pub dry_hours: Option<Range>,
}

/// What comes off first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strip {
    /// The old covering: `felt`, `asphalt`, …
    pub covering: String,
    /// Where it goes: `skip`, `van`, …
    pub tip: String,
}

/// Who does something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum By {
    /// The firm.
    #[default]
    Us,
    /// Somebody else.
    Others,
}

/// When and how the merchant delivers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Delivery {
    /// First day that suits.
    pub earliest: Option<Date>,
    /// Last day that suits.
    pub latest: Option<Date>,
    /// What the driver must know.
    pub note: Option<String>,
}

/// What an access answer of the job file says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Forced {
    /// Needed; priced from the firm's figures or a sum of the job.
    Yes,
    /// Not needed, or not included.
    No,
    /// Needed, at a sum that the job file gives (the sum itself stands in the job's money).
    Sum,
    /// Not answered: taken as not included, and said so.
    Unanswered,
}

/// The questions that are always asked, because they are always forgotten.
pub const FORCED_QUESTIONS: [(&str, &str); 7] = [
    ("scaffold", "scaffold or edge protection"),
    ("permits", "permits and licences for the road or the skip"),
    ("parking", "parking"),
    ("render_cutting", "cutting of render for the flashing"),
    ("aerials", "moving of aerials, dishes and cables"),
    ("disturbed_tiles", "tiles or slates above that must be disturbed"),
    ("minimum_charge", "the firm's minimum charge"),
];

/// A whole job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// The firm's reference.
    pub reference: String,
    /// A short title.
    pub title: String,
    /// The date of the documents.
    pub prepared: Date,
    /// The first day on site.
    pub start: Option<Date>,
    /// The householder.
    pub customer: Party,
    /// The place.
    pub site: Site,
    /// Answers to [`FORCED_QUESTIONS`], in that order.
    pub access: Vec<(String, Forced)>,
    /// Weather.
    pub conditions: Conditions,
    /// The roofs, at least one.
    pub roofs: Vec<Roof>,
    /// What comes off.
    pub strip: Option<Strip>,
    /// Whether asbestos may be there.
    pub asbestos: Answer,
    /// Who cuts in the flashing.
    pub flashing: By,
    /// The delivery.
    pub delivery: Delivery,
    /// Distance to the boundary.
    pub boundary: Option<Length>,
    /// The class that the covering's own test certificate gives, if it was looked up.
    pub roof_class: Option<RoofClass>,
    /// How packs are lifted, where the job or the firm says.
    pub lift: Option<Lift>,
    /// Which way the wind mostly comes from, as an edge name, if given.
    pub wind_from: Option<String>,
    /// What the extras that stand in the price are for.
    pub extras: Vec<String>,
    /// Days the quote stands.
    pub valid_days: u32,
    /// Notes for the quote, as written.
    pub notes: Vec<String>,
    /// What the firm will not do, on top of the standing list.
    pub exclusions: Vec<String>,
}

impl Job {
    /// The last day on which the quote can be accepted; `valid_days` after `prepared`, inclusive.
    pub fn valid_until(&self) -> Date {
        self.prepared.saturating_add(time::Duration::days(i64::from(self.valid_days)))
    }
}
