//! Options: the same job with a small change each, and what each adds or saves.
//!
//! Given the changed jobs and, once they are priced, their totals; gives what is printed of them. Every option goes
//! through the whole of it (layout, programme, packs, costs, VAT; see [`crate::estimate`]), because a heavier mat also
//! takes more resin, more drums and more hours. An option that cannot be laid out or priced is told by its name.

use super::terms::JobMoney;
use super::{Cost, Money, Pricing};
use crate::model::problem::Source;
use crate::model::{Job, Problem, SettingPath, Whereabouts};

/// How an option is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Show {
    /// What it adds to the total, or takes off it.
    #[default]
    Difference,
    /// The total that then stands.
    Total,
}

/// What an option changes in the words of the quote, each as it is written in the job file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ChangedWords {
    /// Notes that the job has and the option has not.
    pub notes_gone: Vec<String>,
    /// Notes that come with the option.
    pub notes_new: Vec<String>,
    /// What the job leaves out and the option does not.
    pub exclusions_gone: Vec<String>,
    /// What only the option leaves out.
    pub exclusions_new: Vec<String>,
}

impl ChangedWords {
    /// From the job as it stands to the job with the change made.
    pub fn between(job: &Job, changed: &Job) -> ChangedWords {
        let without = |all: &[String], known: &[String]| all.iter().filter(|w| !known.contains(w)).cloned().collect();
        ChangedWords {
            notes_gone: without(&job.notes, &changed.notes),
            notes_new: without(&changed.notes, &job.notes),
            exclusions_gone: without(&job.exclusions, &changed.exclusions),
            exclusions_new: without(&changed.exclusions, &job.exclusions),
        }
    }
}

/// An alternative of the job, as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alternative {
    /// Its name.
    pub label: String,
    /// How it is printed.
    pub show: Show,
    /// The job with the change made.
    pub job: Job,
    /// The sums of that job.
    pub money: JobMoney,
    /// What it changes in the words of the quote.
    pub words: ChangedWords,
    /// Where its settings stand: a path of the changed job, and the path of the same setting in the job file. The first
    /// entry is the whole change.
    pub places: Vec<(SettingPath, SettingPath)>,
}

impl Alternative {
    /// A problem of the changed job, told in its place in the job file and with the option's name.
    pub fn tell(&self, problem: Problem) -> Problem {
        told(&self.label, &self.places, problem)
    }
}

/// A problem of a changed job, with the option's name and the place where the job file says it.
pub fn told(label: &str, places: &[(SettingPath, SettingPath)], problem: Problem) -> Problem {
    let fault = format!("option `{label}`: {}", problem.fault);
    let place = match problem.source {
        Source::Job => place(places, &problem.place),
        Source::Firm | Source::Prices(_) | Source::Own(_) => problem.place.clone(),
    };
    Problem { fault, place, ..problem }
}

/// The place of the longest part of a path that the option changes; the option as a whole where it changes none of it.
fn place(places: &[(SettingPath, SettingPath)], of: &Whereabouts) -> Whereabouts {
    let path = if let Whereabouts::Setting(path) = of { path } else { &SettingPath::default() };
    let fits = places.iter().filter_map(|(job, file)| Some((job.steps().len(), path.moved(job, file)?)));
    let nearest = fits.filter(|(length, _)| *length > 0).max_by_key(|(length, _)| *length);
    match (nearest, places.first()) {
        (Some((_, moved)), _) => moved.into(),
        (None, Some((_, whole))) => whole.into(),
        (None, None) => Whereabouts::WholeFile,
    }
}

/// An option with its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OptionPrice {
    /// Its name.
    pub label: String,
    /// How it is printed.
    pub show: Show,
    /// What it changes in the words of the quote.
    pub words: ChangedWords,
    /// The total with VAT where the option is taken instead.
    pub total: Money,
    /// That total less the total of the job as it stands; below nothing where the option saves.
    pub difference: Money,
}

impl Pricing {
    /// The same price with its options, each with its working.
    pub fn with_options(mut self, options: Vec<OptionPrice>) -> Pricing {
        let sum = |(n, o): (usize, &OptionPrice)| Cost {
            id: format!("option.{}", n + 1),
            label: o.label.clone(),
            amount: o.difference,
            working: vec![
                "the job laid out, planned and priced again with the change made".into(),
                format!("total with the option {} less the total without it {}", o.total, self.total),
            ],
        };
        let sums: Vec<Cost> = options.iter().enumerate().map(sum).collect();
        self.sums.extend(sums);
        self.options = options;
        self
    }
}
