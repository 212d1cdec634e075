//! A job file as it comes of a survey, with what is still to be seen to.
//!
//! Given by whoever wrote it; read by the terminal. A gap has its place on the form, so that whoever holds the paper finds it.

use std::fmt;

/// The text of a job file, and what is to be seen to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    /// The text.
    pub text: String,
    /// What is missing or was not read, in the order of the file.
    pub gaps: Vec<Gap>,
    /// What was left empty and can be, by name.
    pub empty: Vec<String>,
}

/// Something that is missing, or was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// The page of the form, where it stands on one.
    pub page: Option<usize>,
    /// What was asked.
    pub name: String,
    /// What was said; `None` where nothing was.
    pub said: Option<String>,
    /// What is wrong with it; empty where nothing was said.
    pub fault: String,
    /// What to write.
    pub cure: String,
}

impl fmt::Display for Gap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(page) = self.page {
            write!(f, "page {page}, ")?;
        }
        match &self.said {
            None if self.cure.is_empty() => write!(f, "“{}” is missing", self.name),
            None => write!(f, "“{}” is missing: {}", self.name, self.cure),
            Some(said) => write!(f, "“{}”: “{said}” was not read: {}; {}", self.name, self.fault, self.cure),
        }
    }
}
