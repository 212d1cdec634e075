//! What happened on site: when it was finished, in which weather, from which batches, how the checks came out, and what it took.
//!
//! Given by the record beside a job; says what it lacks for a job, and what in it is of no work of that job.

use super::check::RoofCheck;
use super::kind::WorkKind;
use super::varied::VariedWork;
use super::{Doer, Works};
use crate::model::problem::Source;
use crate::model::words::list;
use crate::model::{Photo, Problem, Range, SettingPath};
use rust_decimal::Decimal;
use time::Date;

/// What happened on site.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SiteRecord {
    /// The day on which all was done.
    pub finished: Option<Date>,
    /// The weather, as it was read.
    pub weather: Vec<LoggedWeather>,
    /// The batch numbers of what was used.
    pub batches: Vec<(Batched, Vec<String>)>,
    /// How the checks came out.
    pub checks: Vec<CheckResult>,
    /// How what was agreed since came out.
    pub variations: Vec<VariedResult>,
    /// Photographs, in their order.
    pub photos: Vec<Photo>,
    /// What is left to do, by whom, by when.
    pub left: Vec<String>,
    /// Person-hours by work.
    pub hours: Vec<(WorkKind, Decimal)>,
    /// Packs by the code of their article.
    pub packs: Vec<(String, Decimal)>,
}

/// The weather of a day, or of a part of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoggedWeather {
    /// The day.
    pub day: Date,
    /// Of the air, °C.
    pub air: Range,
    /// %.
    pub humidity: Range,
    /// Of the surface that was laid on, °C.
    pub surface: Range,
    /// What was done, or what else was noticed.
    pub words: Option<String>,
}

/// A material whose batch is written down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Batched {
    /// Laminating resin.
    Resin,
    /// Glass-fibre mat.
    Mat,
    /// Catalyst.
    Catalyst,
    /// Topcoat.
    Topcoat,
}

impl Batched {
    /// Each, in the order in which they are used.
    pub const ALL: [Batched; 4] = [Batched::Resin, Batched::Mat, Batched::Catalyst, Batched::Topcoat];

    /// Its key in the record.
    pub const fn key(self) -> &'static str {
        match self {
            Batched::Resin => "resin",
            Batched::Mat => "mat",
            Batched::Catalyst => "catalyst",
            Batched::Topcoat => "topcoat",
        }
    }

    /// For the householder.
    pub const fn words(self) -> &'static str {
        match self {
            Batched::Resin => "Resin",
            Batched::Mat => "Glass-fibre mat",
            Batched::Catalyst => "Catalyst",
            Batched::Topcoat => "Topcoat",
        }
    }

    /// Those that a job uses.
    pub fn of(works: &Works) -> Vec<Batched> {
        let checks = RoofCheck::of(works);
        let has = |all: &[RoofCheck]| checks.iter().any(|check| all.contains(check));
        let laid = [RoofCheck::Bandage, RoofCheck::Laminate, RoofCheck::Patches];
        let used = |material: &Batched| match material {
            Batched::Resin | Batched::Mat => has(&laid),
            Batched::Topcoat => has(&[RoofCheck::Topcoat]),
            Batched::Catalyst => has(&laid) || has(&[RoofCheck::Topcoat]),
        };
        Batched::ALL.into_iter().filter(used).collect()
    }
}

/// How a check came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckResult {
    /// Which.
    pub check: RoofCheck,
    /// Whether it passed.
    pub passed: bool,
    /// What is said of it.
    pub words: Option<String>,
}

/// How a variation came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VariedResult {
    /// Which, as the record calls it: see [`VariedWork::is_called`].
    pub called: String,
    /// Whether all of it was done as agreed.
    pub passed: bool,
    /// What is said of it.
    pub words: Option<String>,
}

impl SiteRecord {
    /// How a check came out.
    pub fn result(&self, check: RoofCheck) -> Option<&CheckResult> {
        self.checks.iter().find(|result| result.check == check)
    }

    /// How a variation came out.
    pub fn result_of(&self, varied: &VariedWork) -> Option<&VariedResult> {
        self.variations.iter().find(|result| varied.is_called(&result.called))
    }

    /// The batch numbers of a material.
    pub fn batches_of(&self, material: Batched) -> &[String] {
        self.batches.iter().find(|(of, _)| *of == material).map_or(&[], |(_, numbers)| numbers)
    }

    /// How many checks did not pass.
    pub fn not_passed(&self) -> usize {
        let results = self.checks.iter().map(|result| result.passed);
        results.chain(self.variations.iter().map(|result| result.passed)).filter(|passed| !passed).count()
    }

    /// All that is missing before a job with these works, and with what was agreed since, can be handed over.
    pub fn lacks(&self, works: &Works, varied: &[VariedWork]) -> Vec<Problem> {
        let mut found = Vec::new();
        let mut tell = |path: SettingPath, fault: String, cure: String| {
            found.push(Problem::fault(path, fault, cure).within(Source::Record));
        };
        if self.finished.is_none() {
            let fault = "the record does not say on which day the work was finished";
            tell(["finished"].into(), fault.into(), "add, for example, `finished: 2027-01-21`".into());
        }
        if self.weather.is_empty() {
            let cure = "add the readings of each day on which resin was laid, such as `weather: [{day: 2027-01-19, air: 9 C, \
                        humidity: 72 %, surface: 8 C}]`";
            tell(["weather"].into(), "the record has no weather log".into(), cure.into());
        }
        for material in Batched::of(works).into_iter().filter(|m| self.batches_of(*m).is_empty()) {
            let (key, words) = (material.key(), material.words().to_lowercase());
            let fault = format!("the record does not say from which batch the {words} was");
            let cure = format!("add `{key}:` under `batches`, with the number on the tin, drum or roll");
            tell(SettingPath::from(["batches"]).key(key), fault, cure);
        }
        for check in RoofCheck::of(works).into_iter().filter(|check| self.result(*check).is_none()) {
            let fault = format!("the record does not say how this check came out: {}", check.words());
            let cure = format!(
                "add `{0}: yes` under `checks`, or `{0}: {{passed: no, words: what is done about it}}`",
                check.key()
            );
            tell(SettingPath::from(["checks"]).key(check.key()), fault, cure);
        }
        for varied in varied.iter().filter(|varied| !varied.done.is_empty() && self.result_of(varied).is_none()) {
            let VariedWork { number, sequence, .. } = varied;
            let fault = format!("the record does not say how what variation order {number} adds came out");
            let cure = format!(
                "add `{sequence}: yes` under `variations`, or `{sequence}: {{passed: no, words: what is done about it}}`"
            );
            tell(SettingPath::from(["variations"]).key(sequence.to_string()), fault, cure);
        }
        found
    }

    /// What the record says of variations that were not agreed.
    pub fn astray_of(&self, varied: &[VariedWork]) -> Vec<Problem> {
        let numbers: Vec<String> = varied.iter().map(|varied| varied.number.clone()).collect();
        let cure = match numbers.is_empty() {
            true => "take it out; `wetout variation JOB --agreed` records what the customer has agreed to".to_owned(),
            false => format!("what was agreed since is {}", list(&numbers)),
        };
        let astray = |result: &&VariedResult| !varied.iter().any(|varied| varied.is_called(&result.called));
        let tell = |result: &VariedResult| {
            let fault = format!("there is no variation `{}` of this job that was agreed", result.called);
            let path = SettingPath::from(["variations"]).key(result.called.clone());
            Problem::fault(path, fault, cure.clone()).within(Source::Record)
        };
        self.variations.iter().filter(astray).map(tell).collect()
    }

    /// What the record says of works that this job does not have.
    pub fn astray(&self, works: &Works) -> Vec<Problem> {
        let known = RoofCheck::of(works);
        let checks = self.checks.iter().filter(|result| !known.contains(&result.check)).map(|result| {
            let fault = format!("nothing of this job is checked by `{}`", result.check.key());
            let cure = "take it out; `wetout handover JOB --form` prints the checks that this job has";
            Problem::fault(SettingPath::from(["checks"]).key(result.check.key()), fault, cure)
        });
        let ours = |kind: WorkKind| works.iter().any(|w| w.kind == kind && w.by == Doer::Us);
        let hours = self.hours.iter().filter(|(kind, _)| !ours(*kind)).map(|(kind, _)| {
            let fault = format!("`{}` is no work of this job", kind.key());
            let cure = "put its hours to the work that was done; `wetout works JOB --json` shows the names";
            Problem::fault(SettingPath::from(["hours"]).key(kind.key()), fault, cure)
        });
        checks.chain(hours).map(|problem| problem.within(Source::Record)).collect()
    }
}
