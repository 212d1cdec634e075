//! A merchant's list as rows of cells: CSV (RFC 4180), whichever sign parts its columns, or a workbook.
//!
//! Given the bytes; gives its tables (one of a CSV, one for each sheet of a workbook), each row with its number in the file, or why it
//! is not read. Nothing that somebody sends takes more than the limits allow.

use super::list_table::{ListNotRead, ListTable, tidy};
use super::list_workbook;
use crate::model::limits;
use csv::ReaderBuilder;

/// The tables of a list.
///
/// # Errors
/// What keeps it from being read.
pub(super) fn tables_of(bytes: &[u8]) -> Result<Vec<ListTable>, ListNotRead> {
    let other = |fault: &str, cure: &str| Err((fault.to_owned(), cure.to_owned()));
    const SAVE: &str = "open it and save it as CSV in UTF-8, or as an XLSX workbook";
    match bytes {
        [b'P', b'K', 3, 4, ..] => list_workbook::tables_of(bytes),
        [0xd0, 0xcf, 0x11, 0xe0, ..] => other("it is a workbook of the old kind, or has a password", SAVE),
        [b'%', b'P', b'D', b'F', ..] => other("it is a PDF", "ask the merchant for the list as a table"),
        _ => Ok(vec![of_csv(bytes)?]),
    }
}

fn of_csv(bytes: &[u8]) -> Result<ListTable, ListNotRead> {
    let text = str::from_utf8(bytes).map_err(|fault| {
        let line = bytes.iter().take(fault.valid_up_to()).filter(|byte| **byte == b'\n').count() + 1;
        let fault = format!("it is not text in UTF-8 from its line {line} on");
        (fault, "save it as CSV in UTF-8".to_owned())
    })?;
    let text = text.trim_start_matches('\u{feff}');
    let mut reader =
        ReaderBuilder::new().delimiter(parting(text)).has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut table = ListTable::default();
    let mut record = csv::StringRecord::new();
    loop {
        // Lines with nothing in them are passed over before a record begins.
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => return Ok(table),
            Err(_) => return Err(("it is not a table".to_owned(), "save it as CSV in UTF-8".to_owned())),
        }
        let number = record.position().map_or(0, |place| place.line() as usize);
        let cells = record.iter().take(limits::LIST_COLUMNS.most).map(tidy).collect();
        table.take(number, cells, 0)?;
    }
}

/// What parts the cells: the sign that the first lines have most of.
fn parting(text: &str) -> u8 {
    const LOOKED_AT: usize = 30;
    let count = |sign: u8| {
        let lines = text.lines().take(LOOKED_AT);
        lines.map(|line| line.bytes().filter(|byte| *byte == sign).count()).sum::<usize>()
    };
    [b'\t', b';', b','].into_iter().max_by_key(|sign| count(*sign)).unwrap_or(b',')
}
