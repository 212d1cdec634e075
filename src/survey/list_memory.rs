//! What is remembered of a merchant's list beside its price book, in a file that anybody can read and change: the headings of its
//! columns, and what was said of rows that were not sure.
//!
//! Given that; gives text, and from it the same. A file that was put out of shape is told with its line; it is never guessed at.

use super::list_columns::{KnownHeadings, LIST_COLUMNS};
use super::merchant_list::NONE_OF_THESE;
use crate::job_file::reference::groups_of;
use crate::job_file::scalar;
use crate::model::{Problem, SettingPath};
use std::collections::BTreeMap;
use std::fmt::Write as _;

const HEAD: &str = "\
# How this merchant's price list is read, kept by `wetout prices update` and `wetout new --firm`. `columns` has the headings of the
# list; `rows` what was said of rows that were not sure: the code in the price book, or `none` for what you do not buy. Take a line
# out to be asked again.
";

/// What is remembered of a list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListMemory {
    /// The headings of its columns.
    pub columns: KnownHeadings,
    /// What rows are, by their codes, or by their descriptions where they have none.
    pub rows: BTreeMap<String, String>,
}

impl ListMemory {
    /// Reads it.
    ///
    /// # Errors
    /// What is wrong with the text, in its place.
    pub fn read(text: &str) -> Result<ListMemory, Box<Problem>> {
        let mut memory = ListMemory::default();
        for (group, pairs) in groups_of(text, &["columns", "rows"])? {
            let into = if group == "columns" { &mut memory.columns } else { &mut memory.rows };
            into.extend(pairs);
        }
        if let Some(key) = memory.columns.keys().find(|key| !LIST_COLUMNS.contains(&key.as_str())) {
            let fault = format!("`{key}` is not a column of a list");
            let cure = format!("the columns are {}", LIST_COLUMNS.join(", "));
            return Err(Box::new(Problem::fault(SettingPath::from(["columns"]).key(key.clone()), fault, cure)));
        }
        Ok(memory)
    }

    /// Its text.
    pub fn text(&self) -> String {
        let mut text = HEAD.to_owned();
        for (name, pairs) in [("columns", &self.columns), ("rows", &self.rows)] {
            if !pairs.is_empty() {
                let _ = writeln!(text, "{name}:");
            }
            for (key, value) in pairs {
                let value = if value == NONE_OF_THESE { value.clone() } else { scalar(value) };
                let _ = writeln!(text, "  {}: {value}", scalar(key));
            }
        }
        text
    }
}
