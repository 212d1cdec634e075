//! What is told of many jobs is told once: a fault of the firm file or an old price book is the same for each of them.
//!
//! Given what is to be told of one job after the other, problem by problem; gives it without the problems that were told before, says
//! how many those were, and at the end how many jobs each of them concerns. What is of a job's own file names that file, and so
//! is never left out.

use crate::job_file::{self, Sources};
use crate::model::Problem;
use crate::model::words::plural;
use std::collections::{BTreeMap, BTreeSet};

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
    shown: String,
}

/// Two problems are one where all that is said of them is the same, and said of one file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Identity {
    file: String,
    problem: Problem,
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
            identity: Identity {
                file: job_file::name_of(sources, problem.source).unwrap_or_default().to_owned(),
                problem,
            },
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

/// What was told before, and of how many jobs.
#[derive(Debug, Default)]
pub(super) struct ToldOnce(BTreeMap<Identity, usize>);

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
        let problems: BTreeSet<&Identity> = words.problems().map(|problem| &problem.identity).collect();
        for problem in problems {
            if let Some(jobs) = self.0.get_mut(problem) {
                *jobs += 1;
            } else if self.0.len() < REMEMBERED {
                self.0.insert(problem.clone(), 1);
            }
        }
        text
    }

    /// Each that was told once for several jobs, and how many of all these it concerns; nothing where there is none.
    pub(super) fn of_several(&self, all: usize) -> String {
        let several = self.0.iter().filter(|(_, jobs)| **jobs > 1);
        let lines: String = several
            .map(|(Identity { file, problem }, jobs)| {
                format!("{file}: {}: {jobs} of {all} jobs\n", job_file::fault_named(problem))
            })
            .collect();
        match lines.is_empty() {
            true => lines,
            false => format!("\nTold once above, and so for several jobs\n\n{lines}"),
        }
    }
}
