//! Who does a part of the work.
//!
//! Given by the job file: the firm, or somebody else whom it waits for.

/// Who does something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum By {
    /// The firm.
    #[default]
    Us,
    /// Somebody else.
    Others,
}
