//! The programme: the order of work, its hours, its hold points and waits, and the mix card.
//!
//! Given the take-off, the firm's norms and the job's conditions; gives operations with hours, days with what is done
//! in each, and how much catalyst goes into a pot. No prices.

use crate::model::{Job, Rules};
use crate::takeoff::{Step, TakeOff};
use rust_decimal::Decimal;
use time::Date;

/// A kind of operation, in the order of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// Strip the old covering.
    Strip,
    /// Firrings and battens.
    Prepare,
    /// Boards.
    Deck,
    /// Trims and their corners.
    Trims,
    /// Bandage.
    Bandage,
    /// Mat and resin.
    Laminate,
    /// Topcoat.
    Topcoat,
    /// Flashing and gutter.
    Finish,
}

/// One operation with its hours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    /// Which.
    pub operation: Operation,
    /// In words: `Lay the deck`.
    pub label: String,
    /// Person-hours.
    pub hours: Decimal,
    /// Where the hours come from.
    pub working: Vec<Step>,
    /// Hours that must pass after it before the next may begin.
    pub wait_after: Decimal,
}

/// One day on site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Day {
    /// Counting from 1.
    pub number: u32,
    /// The date, where the job has a start.
    pub date: Option<Date>,
    /// Index into `Programme::work`, with the person-hours spent on it that day.
    pub work: Vec<(usize, Decimal)>,
}

/// One row of the mix card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixRow {
    /// From this air temperature, °C.
    pub from: Decimal,
    /// To this one.
    pub to: Decimal,
    /// Laminate: % by mass, ml per kg.
    pub laminate: MixDose,
    /// Topcoat: % by mass, ml per kg.
    pub topcoat: MixDose,
    /// Whether the job's stated temperature lies in this row.
    pub today: bool,
}

/// A dose of catalyst: by mass and by volume. The millilitres are always fewer than the grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MixDose {
    /// % of the resin's mass.
    pub percent: Decimal,
    /// Millilitres for each kilogram of resin.
    pub ml_per_kg: Decimal,
}

/// The programme.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Programme {
    /// People in the crew.
    pub crew: u32,
    /// Operations in order.
    pub work: Vec<Work>,
    /// Days.
    pub days: Vec<Day>,
    /// The mix card.
    pub mix: Vec<MixRow>,
    /// Warnings for the site: cold, hot, near the dew point.
    pub warnings: Vec<String>,
}

impl Programme {
    /// All person-hours.
    pub fn hours(&self) -> Decimal {
        self.work.iter().map(|w| w.hours).sum()
    }
}

/// Plans the work of a job that was laid out. `crew` is the number of people, at least one.
pub fn plan(job: &Job, take_off: &TakeOff, rules: &Rules, catalyst_density: Decimal, crew: u32) -> Programme {
    let _ = (job, take_off, rules, catalyst_density);
    Programme { crew, work: Vec::new(), days: Vec::new(), mix: Vec::new(), warnings: Vec::new() }
}
