//! A workbook (Office Open XML, ECMA-376) as tables: the cells of its sheets as a spreadsheet shows them, formulas by the values that
//! were saved with them.
//!
//! Given the bytes; gives a table for each sheet. Its parts are unpacked once for their sizes alone, behind a limit, before the library
//! reads any; the library is called behind the border for foreign bytes, and cells are taken one by one, so that one that stands
//! a million rows down costs no more than any other.

use super::list_table::{ListNotRead, ListTable, tidy};
use crate::model::limits;
use crate::pages::border;
use calamine::{DataRef, Reader, Xlsx, open_workbook_from_rs};
use std::io::{self, Cursor, Read};
use zip::ZipArchive;

/// The tables of a workbook.
///
/// # Errors
/// What keeps it from being read.
pub(super) fn tables_of(bytes: &[u8]) -> Result<Vec<ListTable>, ListNotRead> {
    border::reading(|| read(bytes)).unwrap_or_else(|| Err(broken()))
}

fn broken() -> ListNotRead {
    let cure = "open it and save it anew as XLSX, or as CSV in UTF-8";
    ("it is not an XLSX workbook that can be read".to_owned(), cure.to_owned())
}

fn read(bytes: &[u8]) -> Result<Vec<ListTable>, ListNotRead> {
    weigh(bytes)?;
    let mut book: Xlsx<_> = open_workbook_from_rs(Cursor::new(bytes)).map_err(|_| broken())?;
    let names = book.sheet_names();
    let most = limits::SHEETS;
    if names.len() > most.most {
        let fault = format!("it has more than {} {}", most.most, most.what);
        return Err((fault, "keep the sheets of the goods that you would buy".to_owned()));
    }
    let mut tables: Vec<ListTable> = Vec::new();
    for name in names {
        let before = tables.iter().map(|table| table.rows.len()).sum();
        tables.extend(sheet(&mut book, &name, before)?);
    }
    Ok(tables)
}

/// Refuses what unpacks to more than a list can be.
fn weigh(bytes: &[u8]) -> Result<(), ListNotRead> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|_| broken())?;
    let (mut cells, mut beside) = (0, 0);
    for n in 0..archive.len() {
        let part = archive.by_index(n).map_err(|_| broken())?;
        let name = part.name().map_err(|_| broken())?.to_lowercase();
        if !name.ends_with(".xml") && !name.ends_with(".rels") {
            continue;
        }
        let is_cells = name.contains("worksheets/") || name.contains("sharedstrings");
        let (sum, most) = match is_cells {
            true => (&mut cells, limits::UNPACKED),
            false => (&mut beside, limits::UNPACKED_BESIDE),
        };
        let room = most.most as u64 * 1_000_000;
        *sum += io::copy(&mut part.take(room + 1), &mut io::sink()).map_err(|_| broken())?;
        if *sum > room {
            let fault = format!("there are more than {} {}", most.most, most.what);
            return Err((fault, "keep the rows that you would buy, or save it as CSV in UTF-8".to_owned()));
        }
    }
    Ok(())
}

/// The table of a sheet; `None` of one that has no cells, such as a chart.
fn sheet(book: &mut Xlsx<Cursor<&[u8]>>, name: &str, before: usize) -> Result<Option<ListTable>, ListNotRead> {
    let Ok(mut reader) = book.worksheet_cells_reader(name) else { return Ok(None) };
    let mut table = ListTable { sheet: tidy(name), rows: Vec::new() };
    let (mut row, mut cells): (u32, Vec<String>) = (0, Vec::new());
    loop {
        let cell = reader.next_cell().map_err(|_| broken())?;
        let at = cell.as_ref().map(calamine::Cell::get_position);
        if at.is_none_or(|(next, _)| next != row) {
            table.take(row as usize + 1, std::mem::take(&mut cells), before)?;
        }
        let (Some(cell), Some((next, column))) = (cell, at) else { return Ok(Some(table)) };
        row = next;
        if (column as usize) < limits::LIST_COLUMNS.most {
            let column = column as usize;
            cells.resize(cells.len().max(column + 1), String::new());
            cells[column] = shown(cell.get_value());
        }
    }
}

/// A cell as text; what is no word and no number says nothing.
fn shown(value: &DataRef<'_>) -> String {
    match value {
        DataRef::Int(n) => n.to_string(),
        // To thousandths: what a sum in a sheet has behind them is how computers count.
        DataRef::Float(n) => ((n * 1e6).round() / 1e6).to_string(),
        DataRef::String(text) => tidy(text),
        DataRef::SharedString(text) => tidy(text),
        _ => String::new(),
    }
}
