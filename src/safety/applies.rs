//! Which of the hazards a job has, and where.
//!
//! Given the circumstances; gives the hazards that apply, with a few words on where or why. What is not known counts as
//! present: temperature, asbestos and edge protection are never assumed to be harmless.

use super::hazards::{HAZARDS, Hazard, When};
use crate::model::job::{Answer, Forced};
use crate::model::{Access, Flashing, Job, Range, Role, Roof};
use crate::takeoff::TakeOff;
use rust_decimal::Decimal;

/// What decides which hazards a job has.
#[derive(Debug, Clone, Copy)]
pub struct Circumstances<'a> {
    /// The job.
    pub job: &'a Job,
    /// The layout.
    pub take_off: &'a TakeOff,
    /// People on site.
    pub crew: u32,
}

/// A hazard that this job has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Risk {
    /// Which.
    pub hazard: &'static Hazard,
    /// Where or why, in a few words; empty where the title says it.
    pub here: String,
    /// What is done about it on this job.
    pub controls: Vec<&'static str>,
}

/// From this air temperature (°C) the sheet speaks of heat; below the other, of cold. Common practice, no source.
const WARM_FROM: i64 = 20;
const COLD_BELOW: i64 = 10;

/// The hazards of a job, the gravest first.
pub fn risks(circumstances: &Circumstances<'_>) -> Vec<Risk> {
    let works = &circumstances.take_off.works;
    let risk = |hazard: &'static Hazard| {
        let controls = hazard.controls.iter().filter(|control| control.works.is_in(works));
        let controls = controls.map(|control| control.say.as_str()).collect();
        Some(Risk { hazard, here: circumstances.here(hazard.when)?, controls })
    };
    HAZARDS.iter().filter(|hazard| hazard.works.is_in(works)).filter_map(risk).collect()
}

impl Circumstances<'_> {
    /// Where or why a job has it; `None` where it has not.
    fn here(&self, when: Option<When>) -> Option<String> {
        let Some(when) = when else { return Some(String::new()) };
        match when {
            When::AsbestosMayBe => self.asbestos(),
            When::Openings => self.openings(),
            When::OldCovering => Some(self.old_coverings()),
            When::Adhesive => plainly(self.take_off.must_have(&Role::Adhesive)),
            When::MasonryPrimer => plainly(self.take_off.must_have(&Role::MasonryPrimer)),
            When::Mortar => plainly(self.take_off.must_have(&Role::Mortar)),
            When::Alone => plainly(self.crew == 1),
            When::Warm => self.temperature(|r| r.high >= Decimal::from(WARM_FROM)),
            When::Cold => self.temperature(|r| r.low < Decimal::from(COLD_BELOW)),
            When::NoEdgeProtection => plainly(!matches!(self.job.answer(Access::Scaffold), Forced::Yes | Forced::Sum)),
            When::Lead => plainly(self.lead()),
            When::Aerials => plainly(self.job.answer(Access::Aerials) != Forced::No),
            When::Neighbours => self.neighbours(),
        }
    }

    fn asbestos(&self) -> Option<String> {
        let words = match self.job.gravest_asbestos() {
            Answer::No => return None,
            Answer::Yes => "known to be there",
            Answer::NotKnown => "not known, which counts as yes",
        };
        let (with, without): (Vec<&Roof>, Vec<&Roof>) =
            self.job.roofs.iter().partition(|roof| self.job.asbestos_of(roof) != Answer::No);
        let on: Vec<&str> = with.iter().map(|roof| roof.name.as_str()).collect();
        Some(if without.is_empty() { words.to_owned() } else { format!("{words}: {}", on.join(", ")) })
    }

    /// What comes off, each covering once.
    fn old_coverings(&self) -> String {
        let mut all: Vec<&str> = Vec::new();
        for strip in self.job.strips() {
            if !all.contains(&strip.covering.words.as_str()) {
                all.push(&strip.covering.words);
            }
        }
        all.join(", ")
    }

    fn openings(&self) -> Option<String> {
        let of = |r: &crate::takeoff::layout::RoofLayout| {
            let names = r.shape.holes.iter().filter(|h| h.is_opening()).map(|h| h.name.clone());
            let roof = r.shape.name.clone();
            names.map(move |n| format!("{n} ({roof})")).collect::<Vec<_>>()
        };
        let old = self.take_off.old_roofs.iter().flat_map(|r| {
            let kerbs = r.openings.iter().filter(|o| o.is_opening());
            kerbs.map(move |o| format!("{} ({})", o.name, r.name))
        });
        let all: Vec<String> = self.take_off.roofs.iter().flat_map(of).chain(old).collect();
        (!all.is_empty()).then(|| all.join(", "))
    }

    /// Whether the firm strips lead, or lets it into a wall or a chimney.
    fn lead(&self) -> bool {
        let stripped = self.job.strips().iter().any(|s| s.covering.is_lead());
        stripped || self.job.flashings().contains(&Flashing::Lead)
    }

    fn temperature(&self, is: impl Fn(Range) -> bool) -> Option<String> {
        match self.job.air() {
            None => Some("temperature not known yet".to_owned()),
            Some(r) if is(r) => Some(String::new()),
            Some(_) => None,
        }
    }

    fn neighbours(&self) -> Option<String> {
        Some(self.job.boundary.map_or_else(String::new, |b| format!("boundary {} m away", b.metres().normalize())))
    }
}

fn plainly(is: bool) -> Option<String> {
    is.then(String::new)
}
