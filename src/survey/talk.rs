//! What a talk at a terminal is, whatever it is about.
//!
//! Given lines; gives prompts, replies, and what is to be kept. Whoever leads it reads and prints.

/// Something that asks one question after the other.
pub trait Talk {
    /// The question that is asked now; `None` once all are asked.
    fn prompt(&self) -> Option<String>;

    /// Takes a line.
    fn take(&mut self, line: &str) -> TakenLine;

    /// What was answered, to be kept.
    fn kept(&self) -> String;
}

/// What came of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenLine {
    /// What is to be said.
    pub words: String,
    /// Whether an answer changed.
    pub changed: bool,
}

/// Goes back.
pub(super) const BACK: &str = "<";
/// Explains.
pub(super) const WHY: &str = "?";
/// Leaves a question open that has a usual answer.
pub(super) const OPEN: &str = "-";
