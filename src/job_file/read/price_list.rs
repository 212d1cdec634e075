//! A merchant's price list: tens of thousands of lines as a table (CSV, RFC 4180), of which a job wants a few.
//!
//! Given the text and which of its headings mean what; gives the lines under a code or a role, each as a tree of settings, as an
//! article of a price book is written. The table is gone through once in a process however many jobs are read with it; a line that
//! nobody asks for is never looked at further.

use super::tree::Tree;
use crate::model::limits;
use crate::model::{Problem, Whereabouts};
use csv::{ByteRecord, Position, Reader, ReaderBuilder};
use std::io::{Cursor, Read};
use std::sync::{Arc, Mutex, PoisonError};

/// The keys of an article that a list can give, in their order.
pub(crate) const COLUMNS: [&str; 13] = [
    "role",
    "code",
    "description",
    "pack",
    "holds",
    "price",
    "mass",
    "size",
    "length",
    "width",
    "thickness",
    "longest",
    "hazard",
];
const ROLE: usize = 0;
const CODE: usize = 1;
const PRICE: usize = 5;

/// The headings by which a list calls its columns, in the order of [`COLUMNS`].
pub(crate) type Headings = [String; COLUMNS.len()];

/// A line of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ListLine {
    /// Which line of the file, from 1.
    pub(crate) line: usize,
    /// What it says of the article.
    pub(crate) article: Tree,
    /// Its price, as it is written.
    pub(crate) price: String,
}

/// A list that was gone through.
#[derive(Debug)]
pub(crate) struct PriceList {
    text: String,
    headings: Headings,
    parting: u8,
    /// Which column each key stands in.
    columns: [Option<usize>; COLUMNS.len()],
    /// The lines under each code and under each role, by the words and then by place.
    by_code: Vec<(Box<str>, ListPlace)>,
    by_role: Vec<(Box<str>, ListPlace)>,
}

/// Where a line begins: byte and line.
type ListPlace = (u32, u32);

impl PriceList {
    /// Goes through a list, or gives the one that was gone through before.
    ///
    /// # Errors
    /// What keeps it from being read.
    pub(crate) fn of(text: &str, headings: Headings) -> Result<Arc<PriceList>, Box<Problem>> {
        static LAST: Mutex<Vec<Arc<PriceList>>> = Mutex::new(Vec::new());
        let mut last = LAST.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = last.iter().find(|known| known.headings == headings && known.text == text) {
            return Ok(Arc::clone(known));
        }
        let list = Arc::new(PriceList::read(text, headings)?);
        if last.len() >= limits::BOOKS.most {
            drop(last.remove(0));
        }
        last.push(Arc::clone(&list));
        Ok(list)
    }

    fn read(text: &str, headings: Headings) -> Result<PriceList, Box<Problem>> {
        let parting = parting(text);
        are_lines_short(text.as_bytes(), parting)?;
        let mut reader = reader(text.as_bytes(), parting);
        let mut record = ByteRecord::new();
        let first = reader.read_byte_record(&mut record);
        if !first.is_ok_and(|there| there) {
            return Err(fault(
                1,
                "there is no line of headings in this list",
                "write the headings of its columns into its first line",
            ));
        }
        let columns = columns(&record, &headings)?;
        let mut list =
            PriceList { text: text.to_owned(), headings, parting, columns, by_code: Vec::new(), by_role: Vec::new() };
        let mut lines = 0;
        loop {
            let place = reader.position().clone();
            match reader.read_byte_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(_) => {
                    let fault_of = "this line is not one of a table";
                    return Err(fault(place.line() as usize, fault_of, "save the list anew as CSV"));
                }
            }
            lines += 1;
            let most = limits::LISTED.most;
            if lines > most {
                let fault_of = format!("there are more than {most} lines in this list");
                return Err(fault(place.line() as usize, &fault_of, "keep those of the goods that you would buy"));
            }
            let start = record.position().unwrap_or(&place);
            let at = (start.byte() as u32, start.line() as u32);
            let keep = |column: usize, index: &mut Vec<(Box<str>, ListPlace)>| {
                let words = list.columns[column].and_then(|n| record.get(n)).map(<[u8]>::trim_ascii);
                if let Some(words) = words.filter(|words| !words.is_empty()).and_then(|w| str::from_utf8(w).ok()) {
                    index.push((words.into(), at));
                }
            };
            keep(CODE, &mut list.by_code);
            keep(ROLE, &mut list.by_role);
        }
        list.by_code.sort_unstable();
        list.by_role.sort_unstable();
        Ok(list)
    }

    /// The lines of an article by its code, in their order.
    pub(crate) fn with_code(&self, code: &str) -> Vec<ListLine> {
        self.lines(under(&self.by_code, code))
    }

    /// The lines of a role, in their order.
    pub(crate) fn with_role(&self, role: &str) -> Vec<ListLine> {
        self.lines(under(&self.by_role, role))
    }

    /// Every role that a line has, each once.
    pub(crate) fn roles(&self) -> impl Iterator<Item = &str> {
        self.by_role.chunk_by(|a, b| a.0 == b.0).filter_map(|same| same.first().map(|(role, _)| &**role))
    }

    fn lines(&self, places: &[(Box<str>, ListPlace)]) -> Vec<ListLine> {
        // To begin a reader is more work than to read a line.
        let mut reader = reader(Cursor::new(self.text.as_bytes()), self.parting);
        places.iter().filter_map(|(_, place)| self.line(&mut reader, *place)).collect()
    }

    fn line(&self, reader: &mut Reader<Cursor<&[u8]>>, (byte, line): ListPlace) -> Option<ListLine> {
        let mut place = Position::new();
        reader.seek(place.set_byte(byte.into()).set_line(line.into()).clone()).ok()?;
        let mut record = ByteRecord::new();
        reader.read_byte_record(&mut record).ok().filter(|there| *there)?;
        let said = |column: usize| {
            let words = self.columns[column].and_then(|n| record.get(n))?;
            let words = str::from_utf8(words).ok()?.trim();
            let words = if column == PRICE { plain_price(words) } else { words.to_owned() };
            (!words.is_empty()).then_some(words)
        };
        let settings = (0..COLUMNS.len()).filter_map(|n| Some((COLUMNS[n].to_owned(), Tree::Text(said(n)?))));
        Some(ListLine {
            line: line as usize,
            article: Tree::Group(settings.collect()),
            price: said(PRICE).unwrap_or_default(),
        })
    }
}

fn under<'a>(index: &'a [(Box<str>, ListPlace)], words: &str) -> &'a [(Box<str>, ListPlace)] {
    let from = index.partition_point(|(known, _)| **known < *words);
    let to = index.partition_point(|(known, _)| **known <= *words);
    &index[from..to]
}

/// A price as lists print it, as it is written in a price book: without `£`, and without commas between thousands.
fn plain_price(words: &str) -> String {
    let bare = words.trim_start_matches('£').trim();
    let mut parts = bare.split(',');
    let first = parts.next().is_some_and(|head| (1..=3).contains(&head.len()));
    let thousands = first && parts.all(|part| part.split('.').next().is_some_and(|figures| figures.len() == 3));
    if thousands { bare.replace(',', "") } else { bare.to_owned() }
}

/// What parts the cells: the sign that its first line has most of.
fn parting(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default().as_bytes();
    let count = |sign: u8| first.iter().filter(|byte| **byte == sign).count();
    [b'\t', b';', b','].into_iter().max_by_key(|sign| count(*sign)).unwrap_or(b',')
}

/// Refuses a line of more cells, and a cell of more letters, than lists have: what a line holds is kept while it is read.
fn are_lines_short(text: &[u8], parting: u8) -> Result<(), Box<Problem>> {
    let (most_cells, most_letters) = (limits::LIST_COLUMNS.most, limits::LIST_CELL.most);
    let (mut line, mut cells, mut letters) = (1, 1, 0);
    // As RFC 4180 has it: a cell is in quotes that begins with one.
    let (mut quoted, mut begins, mut closed) = (false, true, false);
    let mut began = line;
    for &byte in text {
        match byte {
            // Two in a row stand for one, and the cell goes on.
            b'"' if begins || quoted || closed => quoted = !quoted,
            b'\r' | b'\n' if !quoted => (cells, letters) = (1, 0),
            _ if byte == parting && !quoted => (cells, letters) = (cells + 1, 0),
            // Of a letter of several bytes the first one counts.
            0x80..0xc0 => {}
            _ => letters += 1,
        }
        closed = byte == b'"' && !quoted;
        begins = !quoted && (byte == parting || matches!(byte, b'\r' | b'\n'));
        line += usize::from(byte == b'\n');
        if !quoted && matches!(byte, b'\r' | b'\n') {
            began = line;
        }
        if cells > most_cells {
            let fault_of = format!("there are more than {most_cells} columns in this line of the list");
            return Err(fault(began, &fault_of, "keep the columns of its codes, prices and roles, and save it as CSV"));
        }
        if letters > most_letters {
            let fault_of = format!("a cell of this line of the list has more than {most_letters} letters");
            return Err(fault(began, &fault_of, "close the quote with which it begins, or shorten it"));
        }
    }
    Ok(())
}

fn reader<R: Read>(bytes: R, parting: u8) -> Reader<R> {
    ReaderBuilder::new().buffer_capacity(1024).delimiter(parting).has_headers(false).flexible(true).from_reader(bytes)
}

fn columns(record: &ByteRecord, headings: &Headings) -> Result<[Option<usize>; COLUMNS.len()], Box<Problem>> {
    let there: Vec<String> = record.iter().map(|cell| String::from_utf8_lossy(cell).trim().to_lowercase()).collect();
    let place = |heading: &String| there.iter().position(|cell| *cell == heading.trim().to_lowercase());
    let found: [Option<usize>; COLUMNS.len()] = std::array::from_fn(|n| place(&headings[n]));
    // A heading that was named, and those without which a list says nothing.
    let missing =
        (0..COLUMNS.len()).find(|&n| found[n].is_none() && (n == CODE || n == PRICE || headings[n] != COLUMNS[n]));
    match missing {
        None => Ok(found),
        Some(n) => {
            let shown: Vec<&str> = there.iter().map(String::as_str).take(20).collect();
            let fault_of = format!("no column of this list is headed `{}`", headings[n]);
            let cure = format!(
                "under `list` of its price book say which heading stands for `{}`; the list has {}",
                COLUMNS[n],
                shown.join(", ")
            );
            Err(fault(1, &fault_of, &cure))
        }
    }
}

fn fault(line: usize, words: &str, cure: &str) -> Box<Problem> {
    Box::new(Problem::fault(Whereabouts::Text { line: line.max(1), column: 1 }, words, cure))
}
