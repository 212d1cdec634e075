//! What is told of many jobs is told once: a fault of the firm file or an old price book is the same for each of them, whatever
//! days, hours or pounds of the job it speaks of.
//!
//! Given what is to be told of one job after the other, problem by problem; gives it without the problems that were told before, says
//! how many those were, and at the end how many jobs each of them concerns. What is of a job's own file names that file, and so
//! is never left out.

use crate::job_file::{self, Sources};
use crate::model::Problem;
use crate::model::words::plural;
use std::collections::BTreeMap;

/// So many are remembered; what comes later may be told again.
const REMEMBERED: usize = 1000;

/// What is to be told of one job.
#[derive(Debug, Default)]
pub(super) struct ToldWords {
    /// What stands before its problems, or all there is to tell.
    before: String,
    groups: Vec<ToldGroup>,
    /// How many problems there are, in each file.
    count: String,
}

#[derive(Debug)]
struct ToldGroup {
    heading: String,
    problems: Vec<ToldProblem>,
}

#[derive(Debug)]
struct ToldProblem {
    identity: Identity,
    /// The fault in its own words.
    named: String,
    shown: String,
}

/// Two problems are one where all that is said of them but for its figures is the same, and said of one place in one file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Identity {
    file: String,
    /// A run of digits in it counts as one sign.
    problem: Problem,
}

impl Identity {
    fn of(problem: Problem, sources: &Sources) -> Identity {
        let file = job_file::name_of(sources, problem.source).unwrap_or_default().to_owned();
        let (fault, cure) = (without_figures(&problem.fault), without_figures(&problem.cure));
        Identity { file, problem: Problem { fault, cure, ..problem } }
    }
}

/// A text with one sign for each figure in it: `45 days` as `0 days`, `25.57` as `0`, `2027-04-12` as `0-0-0`.
fn without_figures(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut signs = text.chars().peekable();
    let mut in_figure = false;
    while let Some(sign) = signs.next() {
        let goes_on = in_figure && matches!(sign, '.' | ',') && signs.peek().is_some_and(char::is_ascii_digit);
        let figure = sign.is_ascii_digit() || goes_on;
        if !figure {
            out.push(sign);
        } else if !in_figure {
            out.push('0');
        }
        in_figure = figure;
    }
    out
}

impl ToldWords {
    /// Words alone, which are told whole.
    pub(super) fn plain(words: String) -> ToldWords {
        ToldWords { before: words, ..ToldWords::default() }
    }

    /// Problems of one job, which are counted at the end.
    pub(super) fn of(problems: Vec<Problem>, sources: &Sources, colour: bool) -> ToldWords {
        ToldWords::default().counting(&problems, sources).group(String::new(), problems, sources, colour)
    }

    /// The same with problems under a heading.
    pub(super) fn group(
        mut self,
        heading: String,
        problems: Vec<Problem>,
        sources: &Sources,
        colour: bool,
    ) -> ToldWords {
        let told = |problem: Problem| ToldProblem {
            shown: job_file::render_each(std::slice::from_ref(&problem), sources, colour),
            named: job_file::fault_named(&problem),
            identity: Identity::of(problem, sources),
        };
        self.groups.push(ToldGroup { heading, problems: problems.into_iter().map(told).collect() });
        self
    }

    /// The same with the count of problems below them.
    pub(super) fn counting(mut self, problems: &[Problem], sources: &Sources) -> ToldWords {
        if !problems.is_empty() {
            self.count = job_file::counted(problems, sources) + "\n";
        }
        self
    }

    /// The same behind other words.
    pub(super) fn behind(mut self, words: &str) -> ToldWords {
        self.before.insert_str(0, words);
        self
    }

    /// All of it as text.
    pub(super) fn whole(&self) -> String {
        self.text(|_| true)
    }

    /// The text of those problems that are asked for.
    fn text(&self, is_told: impl Fn(&ToldProblem) -> bool) -> String {
        let mut text = self.before.clone();
        for group in &self.groups {
            let shown: String = group.problems.iter().filter(|p| is_told(p)).map(|p| p.shown.as_str()).collect();
            if !shown.is_empty() {
                text += &group.heading;
                text += &shown;
            }
        }
        text + &self.count
    }

    fn problems(&self) -> impl Iterator<Item = &ToldProblem> {
        self.groups.iter().flat_map(|group| &group.problems)
    }
}

/// What was told before.
#[derive(Debug, Default)]
pub(super) struct ToldOnce(BTreeMap<Identity, ToldBefore>);

/// A problem that was told before.
#[derive(Debug)]
struct ToldBefore {
    /// As it was told of the first job.
    named: String,
    /// How many jobs it concerns.
    jobs: usize,
    /// Whether another job has other figures.
    differs: bool,
}

impl ToldOnce {
    /// What is new of a job, and how much was told before.
    pub(super) fn of(&mut self, words: &ToldWords) -> String {
        let mut text = words.text(|problem| !self.0.contains_key(&problem.identity));
        let before = words.problems().filter(|problem| self.0.contains_key(&problem.identity)).count();
        if before > 0 {
            text += &plural(before, "of these is", "of these are");
            text += " told above\n";
        }
        // What is said twice of one job is of one job.
        let problems: BTreeMap<&Identity, &str> =
            words.problems().map(|problem| (&problem.identity, problem.named.as_str())).collect();
        for (problem, named) in problems {
            if let Some(told) = self.0.get_mut(problem) {
                told.jobs += 1;
                told.differs |= told.named != named;
            } else if self.0.len() < REMEMBERED {
                let told = ToldBefore { named: named.to_owned(), jobs: 1, differs: false };
                self.0.insert(problem.clone(), told);
            }
        }
        text
    }

    /// Each that was told once for several jobs, and how many of all these it concerns; nothing where there is none.
    pub(super) fn of_several(&self, all: usize) -> String {
        let several = self.0.iter().filter(|(_, told)| told.jobs > 1);
        let lines: String = several
            .map(|(Identity { file, .. }, ToldBefore { named, jobs, differs })| {
                let figures = if *differs { ", the figures are those of the first" } else { "" };
                format!("{file}: {named}: {jobs} of {all} jobs{figures}\n")
            })
            .collect();
        match lines.is_empty() {
            true => lines,
            false => format!("\nTold once above, and so for several jobs\n\n{lines}"),
        }
    }
}
