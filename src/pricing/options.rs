//! Options: the same job with a small change each, what each adds or saves, and what several come to together.
//!
//! Given the changed jobs and, once they are priced, their totals; gives what is printed of them. Every option, and every
//! set of them, goes through the whole of it (layout, programme, packs, costs, VAT; see [`crate::estimate`]), because a
//! heavier mat also takes more resin, more drums and more hours. One that cannot be laid out or priced is told by its
//! name. An option that needs others is priced with them, and its difference is to the job with them.

use super::terms::JobMoney;
use super::{Cost, Money, Pricing};
use crate::model::problem::Source;
use crate::model::{Job, Problem, SettingPath, Whereabouts, words};

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
    /// The options that it can only be had with, what they need in turn included: their places in the list.
    pub needs: Vec<usize>,
    /// The options that it cannot be had with.
    pub excludes: Vec<usize>,
}

impl Alternative {
    /// A problem of the changed job, told in its place in the job file and with the option's name.
    pub fn tell(&self, problem: Problem) -> Problem {
        told(&whose(&[&self.label]), &self.places, problem)
    }

    /// The options of its job, in the order of the list: what it needs, and itself, which is `n`.
    pub fn taken(&self, n: usize) -> Vec<usize> {
        let mut taken = self.needs.clone();
        taken.push(n);
        taken.sort_unstable();
        taken
    }
}

/// Several options taken at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Combination {
    /// Which: their places in the list, in its order.
    pub taken: Vec<usize>,
    /// Whose it is, in words, for what is told of it.
    pub whose: String,
    /// The job with all their changes made.
    pub job: Job,
    /// The sums of that job.
    pub money: JobMoney,
    /// As [`Alternative::places`].
    pub places: Vec<(SettingPath, SettingPath)>,
}

/// Which options can be had together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Together {
    /// Every set that can be had, the job without an option first; empty where there are more than are priced.
    pub permitted: Vec<Vec<usize>>,
    /// What is priced besides each option with what it needs: the other sets that can be had, and what an option needs.
    pub combined: Vec<Combination>,
}

/// All that may be chosen of a job.
#[derive(Debug, Clone, Copy)]
pub struct Choices<'a> {
    /// The options.
    pub options: &'a [Alternative],
    /// Which can be had together.
    pub together: &'a Together,
}

/// Whose a problem is: ``option `Heavier mat` ``, ``options `Heavier mat` and `In green` together``.
pub fn whose<S: AsRef<str>>(labels: &[S]) -> String {
    let named: Vec<String> = labels.iter().map(|label| format!("`{}`", label.as_ref())).collect();
    match named.as_slice() {
        [one] => format!("option {one}"),
        _ => format!("options {} together", words::list(&named)),
    }
}

/// A problem of a changed job, with whose it is and the place where the job file says it.
pub fn told(whose: &str, places: &[(SettingPath, SettingPath)], problem: Problem) -> Problem {
    let fault = format!("{whose}: {}", problem.fault);
    let place = match problem.source {
        Source::Job => place(places, &problem.place),
        Source::Firm | Source::Prices(_) | Source::List(_) | Source::Stock | Source::Own(_) | Source::Record => {
            problem.place.clone()
        }
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
    /// The total with VAT where the option is taken instead, with what it needs.
    pub total: Money,
    /// That total less the total of the job as it stands, with what the option needs; below nothing where it saves.
    pub difference: Money,
    /// The names of the options that it can only be had with.
    pub needs: Vec<String>,
    /// The names of those that it cannot be had with.
    pub excludes: Vec<String>,
}

/// What options come to together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum OptionTotals {
    /// There is no option.
    #[default]
    NoOption,
    /// The total of every set that can be had, the job without an option first.
    Each(Vec<CombinationTotal>),
    /// There are too many to list; the total of each is what its options add, added up.
    AddUp,
    /// There are too many to list, and adding up gives another total, or nobody has seen what it gives.
    Unknown,
}

/// The total of several options together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CombinationTotal {
    /// Which: their places in the list.
    pub taken: Vec<usize>,
    /// The total with VAT.
    pub total: Money,
}

impl Pricing {
    /// The same price with its options, each with its working, and what they come to together.
    pub fn with_options(mut self, options: Vec<OptionPrice>, totals: OptionTotals) -> Pricing {
        let sum = |(n, o): (usize, &OptionPrice)| Cost {
            id: format!("option.{}", n + 1),
            label: o.label.clone(),
            amount: o.difference,
            working: vec![
                "the job laid out, planned and priced again with the change made".into(),
                match o.needs.as_slice() {
                    [] => format!("total with the option {} less the total without it {}", o.total, self.total),
                    needs => format!(
                        "total with the option and {}, which it needs, {} less the total with those alone {}",
                        words::list(needs),
                        o.total,
                        o.total - o.difference
                    ),
                },
            ],
        };
        let mut sums: Vec<Cost> = options.iter().enumerate().map(sum).collect();
        if let OptionTotals::Each(totals) = &totals {
            let many = totals.iter().filter(|t| t.taken.len() > 1);
            sums.extend(many.map(|t| self.together(t, &options)));
        }
        self.sums.extend(sums);
        (self.options, self.option_totals) = (options, totals);
        self
    }

    /// What several options add together, with its working.
    fn together(&self, of: &CombinationTotal, options: &[OptionPrice]) -> Cost {
        let numbers: Vec<String> = of.taken.iter().map(|n| (n + 1).to_string()).collect();
        let labels: Vec<String> = of.taken.iter().filter_map(|n| Some(options.get(*n)?.label.clone())).collect();
        Cost {
            id: format!("option.{}", numbers.join("+")),
            label: words::list(&labels),
            amount: of.total - self.total,
            working: vec![
                "the job laid out, planned and priced again with all these changes made".into(),
                format!("total with them {} less the total without them {}", of.total, self.total),
            ],
        }
    }
}
