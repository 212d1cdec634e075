//! Warnings that a job silences, each with its reason.
//!
//! Given the notices of a run; gives them back with the silenced ones marked as such: they are listed with their reason and
//! nowhere else. A silence by which nothing was silenced is told, because it would hide a warning that is still to come.

use super::warned::Warned;
use super::whereabouts::SettingPath;
use super::{Level, Problem};

/// A warning that is known and left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Silence {
    /// Which.
    pub warned: Warned,
    /// Why.
    pub because: String,
    /// Where it stands in the job file.
    pub path: SettingPath,
}

/// All of them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Silences(pub Vec<Silence>);

impl Silences {
    /// Notices, the silenced ones last and marked as such, with the reason in place of the cure.
    pub fn over(&self, notices: Vec<Problem>) -> Vec<Problem> {
        let (silenced, mut told): (Vec<_>, Vec<_>) = notices.into_iter().partition(|p| self.of(p).is_some());
        let marked = |p: Problem| {
            let because = self.of(&p).map(|s| s.because.clone()).unwrap_or_default();
            Problem { level: Level::Silenced, cure: because, ..p }
        };
        told.extend(silenced.into_iter().map(marked));
        told
    }

    fn of(&self, problem: &Problem) -> Option<&Silence> {
        self.0.iter().find(|s| problem.level == Level::Warning && problem.warned == Some(s.warned))
    }

    /// The silences by which nothing was silenced, once every warning of a job is known.
    pub fn unmet(&self, notices: &[Problem]) -> Vec<Problem> {
        let met = |s: &&Silence| notices.iter().any(|p| p.level == Level::Silenced && p.warned == Some(s.warned));
        let told = |s: &Silence| {
            let fault = format!("there is no warning `{}` in this job", s.warned.name());
            Problem::warning(
                Warned::Unmet,
                s.path.clone(),
                fault,
                "take this entry out: it would hide one that is to come",
            )
        };
        self.0.iter().filter(|s| !met(s)).map(told).collect()
    }
}
