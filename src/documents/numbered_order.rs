//! One merchant's order with its number, and to what sizes its goods are cut.
//!
//! Given by `order`; read by the order's pages and by its CSV, so that both say the same.

use crate::model::Role;
use crate::pricing::{Order, OrderLine};

/// One merchant's order with its number and address.
pub struct NumberedOrder<'a> {
    /// The order.
    pub order: &'a Order,
    /// The job's reference and a letter: `26-041-A`.
    pub number: String,
    /// Not to be sent: asbestos is there, or nobody knows.
    pub held: bool,
    /// Where it goes, a line each.
    pub deliver_to: Vec<String>,
    /// To what sizes its firrings are cut; none where it has none.
    pub(super) firrings: Vec<String>,
}

impl NumberedOrder<'_> {
    /// To what sizes a line's goods are cut for this job: `12 of 3400 × 0–85`, mm, length and depth from the low end to
    /// the high end; none where they are taken as they are sold.
    pub fn cut_to(&self, line: &OrderLine) -> &[String] {
        if line.role == FIRRINGS { &self.firrings } else { &[] }
    }
}

/// The role of firrings, which are cut to the fall.
pub(super) const FIRRINGS: Role = Role::Firring;
