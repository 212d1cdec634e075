//! Who does a work that either the firm or somebody else may do.
//!
//! Given the word of the job file (`us`, `others`); gives the answer. Nobody is not among them: what nobody does is said
//! where the work is asked about.

/// Who does something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum By {
    /// The firm.
    #[default]
    Us,
    /// Somebody else.
    Others,
}
