//! Which column of a merchant's list says what: by its heading, by what was said, or by what was kept of the list before.
//!
//! Given the tables of a list and the headings that are known; gives the rows as articles of the merchant, or which column is to be
//! named. Above the headings a list may have lines of its own: who sends it, of which day.

use super::list_rows::tables_of;
use super::list_table::{ListNotRead, ListTable};
use rust_decimal::{Decimal, RoundingStrategy};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The columns that a list can have, by the keys of an article.
pub const LIST_COLUMNS: [&str; 5] = ["code", "description", "pack", "price", "mass"];
const DESCRIPTION: usize = 1;
const PRICE: usize = 3;
/// So many rows from the top the headings are looked for.
const HEADINGS_WITHIN: usize = 30;

/// The heading over each column that is known, by its key; an empty one is a column that the list does not have.
pub type KnownHeadings = BTreeMap<String, String>;

/// A row of a list, in the merchant's own words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MerchantRow {
    /// Where it stands: `line 12`.
    pub place: String,
    /// The merchant's code; empty where there is none.
    pub code: String,
    /// What it is.
    pub description: String,
    /// The pack, in words.
    pub pack: String,
    /// The price, as it is written in a price book where it can be.
    pub price: String,
    /// The mass of a pack.
    pub mass: String,
}

impl MerchantRow {
    /// By what it is known again: its code, else its description.
    pub fn key(&self) -> &str {
        if self.code.is_empty() { &self.description } else { &self.code }
    }
}

/// The rows of a list whose columns are known.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MerchantList {
    /// The rows that have a description or a code.
    pub rows: Vec<MerchantRow>,
    /// The headings by which they were read.
    pub headings: KnownHeadings,
}

/// What came of the headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ListReading {
    /// All that is needed is known.
    Read(MerchantList),
    /// A column is to be named first.
    Open(OpenColumn),
}

/// A column that nobody has named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenColumn {
    /// Its key.
    pub key: &'static str,
    /// Where the headings stand.
    pub place: String,
    /// The headings that it may be.
    pub headings: Vec<String>,
}

/// A merchant's list as it was sent.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListFile(Vec<ListTable>);

impl ListFile {
    /// Reads a file.
    ///
    /// # Errors
    /// What keeps it from being read.
    pub fn of(bytes: &[u8]) -> Result<ListFile, ListNotRead> {
        tables_of(bytes).map(ListFile)
    }

    /// Its rows by their headings, of which some are known.
    ///
    /// # Errors
    /// Nothing in it; a heading that was named and is not there.
    pub fn rows(&self, known: &KnownHeadings) -> Result<ListReading, ListNotRead> {
        read(&self.0, known)
    }
}

fn read(tables: &[ListTable], known: &KnownHeadings) -> Result<ListReading, ListNotRead> {
    let mut list = MerchantList::default();
    let mut read_any = false;
    for table in tables {
        let head = table.rows.iter().take(HEADINGS_WITHIN).enumerate();
        let found = head.filter_map(|(n, row)| Some((n, columns(&row.cells, known).ok()?)));
        let Some((n, columns)) = found.max_by_key(|(n, columns)| (columns.iter().flatten().count(), Reverse(*n)))
        else {
            continue;
        };
        read_any = true;
        let cells = &table.rows[n].cells;
        for (key, column) in LIST_COLUMNS.iter().zip(columns) {
            let heading = column.and_then(|column| cells.get(column)).cloned();
            // A column that one sheet lacks may stand in another.
            let heading = heading.or_else(|| known.get(*key).filter(|heading| heading.is_empty()).cloned());
            heading.into_iter().for_each(|heading| {
                list.headings.entry((*key).to_owned()).or_insert(heading);
            });
        }
        list.rows.extend(table.rows[n + 1..].iter().filter_map(|row| {
            let of = |column: Option<usize>| column.and_then(|c| row.cells.get(c)).cloned().unwrap_or_default();
            let [code, description, pack, price, mass] = columns.map(of);
            let price = if table.sheet.is_empty() { pounds(&price) } else { pounds(&as_shown(&price)) };
            // A comma for the point that stands in no quotes parts a price in two: neither part is one.
            let beyond: Vec<&str> =
                row.cells.iter().skip(cells.len()).map(String::as_str).filter(|c| !c.is_empty()).collect();
            let price = if beyond.is_empty() {
                price
            } else {
                format!("{price} | {} past the last heading", beyond.join(" | "))
            };
            let row = MerchantRow { place: table.place(row.number), code, description, pack, price, mass };
            // A heading between the goods has no price.
            let is_goods = !row.description.is_empty() && (!row.price.is_empty() || !row.code.is_empty());
            is_goods.then_some(row)
        }));
    }
    if read_any {
        return Ok(ListReading::Read(list));
    }
    open(tables, known)
}

/// The first column that nobody has named, in the row that is most like headings.
fn open(tables: &[ListTable], known: &KnownHeadings) -> Result<ListReading, ListNotRead> {
    let rows = tables.iter().flat_map(|table| table.rows.iter().take(HEADINGS_WITHIN).map(move |row| (table, row)));
    let said = |cells: &[String]| cells.iter().filter(|cell| !cell.is_empty() && !is_number(cell)).count();
    let known_here = |cells: &[String]| {
        known.values().filter(|heading| cells.iter().any(|cell| alike(cell, heading))).count() + guessed(cells)
    };
    // Of rows that are alike the first.
    let best = rows.enumerate().max_by_key(|(n, (_, row))| (known_here(&row.cells), said(&row.cells), Reverse(*n)));
    let Some((_, (table, row))) = best else {
        return Err(("there is nothing in it".to_owned(), "name the merchant's list as CSV or XLSX".to_owned()));
    };
    let place = table.place(row.number);
    let headings: Vec<String> = row.cells.iter().filter(|cell| !cell.is_empty()).cloned().collect();
    match columns(&row.cells, known) {
        Err(NotColumns::Open(key, of)) => {
            Ok(ListReading::Open(OpenColumn { key, place, headings: if of.is_empty() { headings } else { of } }))
        }
        Err(NotColumns::Missing(key, heading)) => {
            let fault = format!("no column is headed `{heading}` ({place}), which was named for the {key}");
            let shown: Vec<String> = headings.into_iter().take(20).collect();
            Err((fault, format!("name another with --column {key}=HEADING; it has {}", shown.join(", "))))
        }
        Ok(_) => Err(("no heading can be made out in it".to_owned(), "save it as CSV in UTF-8".to_owned())),
    }
}

/// Why a row is no row of headings.
enum NotColumns {
    /// A column is not named; which it may be.
    Open(&'static str, Vec<String>),
    /// A heading that was named is not there.
    Missing(&'static str, String),
}

/// How many headings of a row say of themselves what they are.
fn guessed(cells: &[String]) -> usize {
    (0..LIST_COLUMNS.len()).filter(|n| !candidates(cells, *n).is_empty()).count()
}

/// Which column each key stands in.
fn columns(cells: &[String], known: &KnownHeadings) -> Result<[Option<usize>; LIST_COLUMNS.len()], NotColumns> {
    let mut found = [None; LIST_COLUMNS.len()];
    // What was said goes first, so that nothing else is taken for it.
    for (n, key) in LIST_COLUMNS.iter().enumerate() {
        let Some(heading) = known.get(*key).filter(|heading| !heading.is_empty()) else { continue };
        let place = cells.iter().position(|cell| alike(cell, heading));
        found[n] = Some(place.ok_or_else(|| NotColumns::Missing(key, heading.clone()))?);
    }
    for n in [PRICE, 0, DESCRIPTION, 2, 4] {
        if found[n].is_some() || known.contains_key(LIST_COLUMNS[n]) {
            continue;
        }
        let mut all = candidates(cells, n);
        all.retain(|column| !found.contains(&Some(*column)));
        found[n] = match (n, all.as_slice()) {
            (PRICE, [_, _, ..]) => {
                return Err(NotColumns::Open(LIST_COLUMNS[n], all.iter().map(|c| cells[*c].clone()).collect()));
            }
            (_, [first, ..]) => Some(*first),
            (DESCRIPTION | PRICE, []) => return Err(NotColumns::Open(LIST_COLUMNS[n], Vec::new())),
            (_, []) => None,
        };
    }
    Ok(found)
}

fn alike(cell: &str, heading: &str) -> bool {
    cell.trim().to_lowercase() == heading.trim().to_lowercase()
}

fn is_number(cell: &str) -> bool {
    cell.chars().any(|c| c.is_ascii_digit()) && !cell.chars().any(char::is_alphabetic)
}

/// The columns whose headings say that they are this one, the likeliest first. Of prices those that a firm pays go before others:
/// with VAT, or for somebody else, it is none.
fn candidates(cells: &[String], n: usize) -> Vec<usize> {
    const NOT_OURS: [&str; 7] = ["inc", "incl", "including", "gross", "retail", "rrp", "vat"];
    const CODES: [&str; 9] = ["code", "sku", "ref", "reference", "number", "no", "part", "barcode", "ean"];
    const EXCLUDING: [&str; 4] = ["ex", "exc", "excl", "excluding"];
    let words = |cell: &String| -> Vec<String> {
        cell.to_lowercase().split(|c: char| !c.is_alphanumeric()).map(str::to_owned).collect()
    };
    let heads: Vec<Vec<String>> = cells.iter().map(words).collect();
    let has = |column: usize, of: &[&str]| heads[column].iter().any(|word| of.contains(&word.as_str()));
    let with = |of: &[&str]| -> Vec<usize> {
        // The likelier word first, then from the left.
        let each = of.iter().flat_map(|word| (0..heads.len()).filter(move |c| has(*c, &[word])));
        let mut all: Vec<usize> = Vec::new();
        each.for_each(|column| {
            if !all.contains(&column) {
                all.push(column);
            }
        });
        // Nobody heads a column with a sentence.
        all.retain(|column| heads[*column].len() <= 8);
        all
    };
    match LIST_COLUMNS[n] {
        "code" => {
            let mut all = with(&["code", "sku", "ref", "reference", "part", "stock", "number", "no", "item"]);
            all.retain(|c| !has(*c, &["barcode", "ean", "description", "price", "level"]));
            all
        }
        "description" => {
            let mut all = with(&["description", "product", "item", "name", "title", "goods"]);
            all.retain(|c| !has(*c, &CODES));
            all
        }
        "pack" => {
            let mut all = with(&["pack", "size", "unit", "uom", "per", "quantity", "qty"]);
            all.retain(|c| !has(*c, &["price", "cost", "net", "min", "minimum"]));
            all
        }
        "price" => {
            let mut all = with(&["price", "net", "trade", "cost", "each"]);
            all.retain(|c| !has(*c, &NOT_OURS) || has(*c, &EXCLUDING));
            all.retain(|c| !has(*c, &["weight", "date"]));
            let ours: Vec<usize> = all.iter().copied().filter(|c| has(*c, &["net", "trade", "your"])).collect();
            if ours.len() == 1 { ours } else { all }
        }
        _ => with(&["weight", "mass", "kg"]),
    }
}

/// A price that a sheet has worked out, as the sheet shows it: to the penny, halves up.
fn as_shown(price: &str) -> String {
    match price.parse::<Decimal>() {
        Ok(sum) if sum.scale() > 2 => sum.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero).to_string(),
        _ => price.to_owned(),
    }
}

/// A price in pounds and pence; a comma parts thousands alone. What is not clear stays as it is, and is no price.
pub(super) fn pounds(said: &str) -> String {
    let plain = said.trim().trim_start_matches('£').trim();
    let (whole, pence) = plain.split_once('.').unwrap_or((plain, ""));
    let groups: Vec<&str> = whole.split(',').collect();
    let parted = groups.len() == 1 || groups[0].len() <= 3 && groups[1..].iter().all(|group| group.len() == 3);
    match (parted, pence) {
        (false, _) => plain.to_owned(),
        (true, "") => groups.concat(),
        (true, pence) => format!("{}.{pence:0<2}", groups.concat()),
    }
}
