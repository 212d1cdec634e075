//! What is wrong with a job, as data: place, fault, cure.
//!
//! Any layer may give one; only `job_file` knows the file, and turns the place into a line and a caret.

use super::warned::Warned;
use super::whereabouts::Whereabouts;
use std::fmt;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// The job cannot go on.
    Fault,
    /// The job goes on; the installer should know.
    Warning,
    /// Something that was not said, and what was taken instead.
    Assumed,
    /// A warning that the job silences; its cure is the reason.
    Silenced,
}

/// Which file a problem is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Source {
    /// The job file.
    #[default]
    Job,
    /// The firm file.
    Firm,
    /// A price book, by its place in the list of price books.
    Prices(usize),
    /// The list of what stands in the van.
    Stock,
    /// The list of a merchant, by the place of its price book.
    List(usize),
    /// One of the firm's own templates or fonts, by its place among them, the templates first.
    Own(usize),
    /// The record of what happened on site.
    Record,
}

/// One problem: where, what, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// Fault, warning or assumption.
    pub level: Level,
    /// The file it is in.
    pub source: Source,
    /// The setting or the line that it is about, or the whole file.
    pub place: Whereabouts,
    /// Where else the same is to be said, where several are told as one.
    pub also: Vec<Whereabouts>,
    /// Where no place is known: the character that it is about, which stands somewhere in one of the files.
    pub about: Option<char>,
    /// Which warning it is; nothing for what is none.
    pub warned: Option<Warned>,
    /// What is wrong, in the installer's words.
    pub fault: String,
    /// What to write or do instead.
    pub cure: String,
}

impl Problem {
    /// A fault in the job file.
    pub fn fault(place: impl Into<Whereabouts>, fault: impl Into<String>, cure: impl Into<String>) -> Problem {
        Problem::at_level(Level::Fault, place, fault, cure)
    }

    /// A warning about the job file.
    pub fn warning(
        warned: Warned,
        place: impl Into<Whereabouts>,
        fault: impl Into<String>,
        cure: impl Into<String>,
    ) -> Problem {
        Problem { warned: Some(warned), ..Problem::at_level(Level::Warning, place, fault, cure) }
    }

    /// Something assumed, because the job file does not say.
    pub fn assumed(place: impl Into<Whereabouts>, fault: impl Into<String>, cure: impl Into<String>) -> Problem {
        Problem::at_level(Level::Assumed, place, fault, cure)
    }

    fn at_level(
        level: Level,
        place: impl Into<Whereabouts>,
        fault: impl Into<String>,
        cure: impl Into<String>,
    ) -> Problem {
        let (place, fault, cure) = (place.into(), fault.into(), cure.into());
        Problem { level, source: Source::Job, place, also: Vec::new(), about: None, warned: None, fault, cure }
    }

    /// The same problem, about a character that stands somewhere in one of the files.
    pub fn about(self, character: char) -> Problem {
        Problem { about: Some(character), ..self }
    }

    /// The same problem, placed in another file.
    pub fn within(self, source: Source) -> Problem {
        Problem { source, ..self }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Whereabouts::WholeFile => write!(f, "{}; {}", self.fault, self.cure),
            place => write!(f, "{place}: {}; {}", self.fault, self.cure),
        }
    }
}
