//! What stands in the van: left over from earlier jobs, to be used before more is bought.
//!
//! Given by the stock list; a list that is not there is an empty one.

use super::{Length, Role, SettingPath};
use rust_decimal::Decimal;
use time::Date;

/// The list of what stands in the van.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct VanStock {
    /// The day on which it was counted.
    pub counted: Option<Date>,
    /// Jobs whose use and left-overs are in it.
    pub after: Vec<String>,
    /// What stands there.
    pub lines: Vec<VanLine>,
}

/// One line of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VanLine {
    /// The role, as in the price book.
    pub role: Role,
    /// The size, where the role comes in sizes.
    pub size: Option<Length>,
    /// How much, in the role's unit.
    pub amount: Decimal,
    /// The batch, as it stands on the tin.
    pub batch: Option<String>,
    /// The last day on which it may be used.
    pub use_by: Option<Date>,
    /// The reference of the only job that it may be taken for.
    pub kept_for: Option<String>,
    /// What the firm wrote beside it.
    pub note: Option<String>,
    /// Where it stands in the list.
    pub path: SettingPath,
}

impl VanLine {
    /// Whether it may no longer be used on that day.
    pub fn is_past(&self, day: Date) -> bool {
        self.use_by.is_some_and(|last| last < day)
    }

    /// What it is: the role, with the size where it has one.
    pub fn what(&self) -> String {
        match self.size {
            Some(size) => format!("{}, {size}", self.role),
            None => self.role.to_string(),
        }
    }
}
