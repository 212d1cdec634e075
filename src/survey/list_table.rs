//! A table of a merchant's list, whatever file it came in: rows of cells, each with its place, within the limits of a list.
//!
//! Given rows one by one; keeps those that say something, or refuses a cell that is too long and a row too many.

use crate::model::limits;

/// Why a list is not read: the fault and the cure.
pub type ListNotRead = (String, String);

/// A table of a list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct ListTable {
    /// The sheet of a workbook; nothing of a CSV.
    pub(super) sheet: String,
    /// The rows that say something.
    pub(super) rows: Vec<ListRow>,
}

/// A row of a list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct ListRow {
    /// Its line in the file or its row in the sheet, from 1.
    pub(super) number: usize,
    /// Its cells, without blanks round them.
    pub(super) cells: Vec<String>,
}

impl ListTable {
    /// Where a row stands: `line 12`, `Trims, row 12`.
    pub(super) fn place(&self, number: usize) -> String {
        match self.sheet.is_empty() {
            true => format!("line {number}"),
            false => format!("{}, row {number}", self.sheet),
        }
    }

    /// Takes a row in.
    ///
    /// # Errors
    /// A cell that is too long, or a row too many.
    pub(super) fn take(&mut self, number: usize, cells: Vec<String>, before: usize) -> Result<(), ListNotRead> {
        let long = limits::LIST_CELL;
        if cells.iter().any(|cell| cell.chars().count() > long.most) {
            let fault = format!("a cell in {} holds more than {} letters", self.place(number), long.most);
            return Err((fault, "look there for a quotation mark that is missing or does not end".to_owned()));
        }
        if cells.iter().all(String::is_empty) {
            return Ok(());
        }
        if before + self.rows.len() >= limits::LISTED.most {
            let fault = format!("it has more than {} {}", limits::LISTED.most, limits::LISTED.what);
            return Err((fault, "keep those of the goods that you would buy".to_owned()));
        }
        self.rows.push(ListRow { number, cells });
        Ok(())
    }
}

/// A cell without blanks round it, and without signs that no terminal shows.
pub(super) fn tidy(cell: &str) -> String {
    let plain: String = cell.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.trim().to_owned()
}
