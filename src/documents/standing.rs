//! Whether a document was issued: a draft, or a numbered revision that is kept.
//!
//! Given with the job; read by the templates and by the foot of every page. Nothing is a revision but what is frozen.

/// How a document stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum IssueStanding<'a> {
    /// Nobody was sent it.
    #[default]
    Draft,
    /// It is issued under this letter.
    Revision(&'a str),
    /// An order for the variation of this number, issued under this letter.
    OfVariation(&'a str, &'a str),
    /// It is issued under a number of its own, which stands in its title: an invoice, a receipt.
    Numbered,
}

impl<'a> IssueStanding<'a> {
    /// The letter of a revision.
    pub fn revision(self) -> Option<&'a str> {
        match self {
            IssueStanding::Draft | IssueStanding::Numbered => None,
            IssueStanding::Revision(letter) | IssueStanding::OfVariation(_, letter) => Some(letter),
        }
    }

    /// Which of the job's variations it is for: `1` of `26-041-VAR-1`.
    pub fn variation(self) -> Option<&'a str> {
        match self {
            IssueStanding::OfVariation(number, _) => number.rsplit('-').next(),
            _ => None,
        }
    }
}
