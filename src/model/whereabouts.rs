//! Where in a file something is said: a setting by the keys and entries that lead to it, or a line and column.
//!
//! Made by whoever reads a file or judges what it says, and looked up by `job_file` step by step, never as text. A key
//! may hold any character, a point too: the text is for people alone.

use std::borrow::Cow;
use std::fmt;

/// One step down in a file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum PathStep {
    /// To a setting of a group, by its key.
    Key(Cow<'static, str>),
    /// To an entry of a list, from 0.
    Entry(usize),
}

/// The way to a setting, from the top of its file: `roofs[0].edges.back`. Without a step it is the file itself.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct SettingPath {
    steps: Vec<PathStep>,
}

impl SettingPath {
    /// The setting of that key below this one.
    #[must_use]
    pub fn key(&self, key: impl Into<Cow<'static, str>>) -> SettingPath {
        self.then(PathStep::Key(key.into()))
    }

    /// The setting below this one that a few keys lead to.
    #[must_use]
    pub fn keys<const N: usize>(&self, keys: [&'static str; N]) -> SettingPath {
        keys.into_iter().fold(self.clone(), |path, key| path.key(key))
    }

    /// An entry of the list here, from 0.
    #[must_use]
    pub fn entry(&self, n: usize) -> SettingPath {
        self.then(PathStep::Entry(n))
    }

    /// One step further.
    #[must_use]
    pub fn then(&self, step: PathStep) -> SettingPath {
        let mut steps = Vec::with_capacity(self.steps.len() + 1);
        steps.extend_from_slice(&self.steps);
        steps.push(step);
        SettingPath { steps }
    }

    /// The last key on the way, where the path ends with one.
    pub fn last_key(&self) -> Option<&str> {
        match self.steps.last() {
            Some(PathStep::Key(key)) => Some(key),
            Some(PathStep::Entry(_)) | None => None,
        }
    }

    /// Whether another path leads through the same keys, whichever entries of their lists they take.
    pub fn has_keys_of(&self, other: &SettingPath) -> bool {
        let keys = |path: &'_ SettingPath| {
            path.steps.iter().filter(|s| matches!(s, PathStep::Key(_))).cloned().collect::<Vec<_>>()
        };
        keys(self) == keys(other)
    }

    /// The steps, from the top.
    pub fn steps(&self) -> &[PathStep] {
        &self.steps
    }

    /// This path with what it begins with changed for another; `None` where it begins otherwise.
    pub fn moved(&self, from: &SettingPath, to: &SettingPath) -> Option<SettingPath> {
        let rest = self.steps.strip_prefix(from.steps.as_slice())?;
        Some(SettingPath { steps: [&to.steps, rest].concat() })
    }
}

impl<const N: usize> From<[&'static str; N]> for SettingPath {
    fn from(keys: [&'static str; N]) -> SettingPath {
        SettingPath::default().keys(keys)
    }
}

impl From<&SettingPath> for SettingPath {
    fn from(path: &SettingPath) -> SettingPath {
        path.clone()
    }
}

impl fmt::Display for SettingPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.steps.iter().enumerate().try_for_each(|(n, step)| match step {
            PathStep::Key(key) if n == 0 => f.write_str(key),
            PathStep::Key(key) => write!(f, ".{key}"),
            PathStep::Entry(entry) => write!(f, "[{entry}]"),
        })
    }
}

/// What a problem of a file is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Whereabouts {
    /// The file as a whole.
    #[default]
    WholeFile,
    /// A setting, there or missing.
    Setting(SettingPath),
    /// A place in its text.
    Text {
        /// The line, from 1.
        line: usize,
        /// The character in it, from 1.
        column: usize,
    },
}

impl Whereabouts {
    /// The place in a text of its byte `at`.
    pub fn of_byte(text: &str, at: usize) -> Whereabouts {
        let before = &text.as_bytes()[..at.min(text.len())];
        let line = before.iter().filter(|b| **b == b'\n').count() + 1;
        let start = before.iter().rposition(|b| *b == b'\n').map_or(0, |n| n + 1);
        Whereabouts::Text { line, column: String::from_utf8_lossy(&before[start..]).chars().count() + 1 }
    }
}

impl From<SettingPath> for Whereabouts {
    fn from(path: SettingPath) -> Whereabouts {
        if path.steps.is_empty() { Whereabouts::WholeFile } else { Whereabouts::Setting(path) }
    }
}

impl From<&SettingPath> for Whereabouts {
    fn from(path: &SettingPath) -> Whereabouts {
        path.clone().into()
    }
}

impl<const N: usize> From<[&'static str; N]> for Whereabouts {
    fn from(keys: [&'static str; N]) -> Whereabouts {
        SettingPath::from(keys).into()
    }
}

/// As people read it; nothing where it is the whole file.
impl fmt::Display for Whereabouts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Whereabouts::WholeFile => Ok(()),
            Whereabouts::Setting(path) => path.fmt(f),
            Whereabouts::Text { line, column } => write!(f, "line {line}, column {column}"),
        }
    }
}
