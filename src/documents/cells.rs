//! Short ways to write the rows and cells of tables and panels, and blocks beside one another.

use crate::pages::block::{Align, Block, Column, Row, RowKind, Span};

/// A column ranged left that keeps its natural width.
pub fn left(heading: &str) -> Column {
    Column { heading: heading.to_owned(), align: Align::Left, stretch: 0, big: false }
}

/// A column ranged left that takes what width there is.
pub fn wide(heading: &str, stretch: u8) -> Column {
    Column { heading: heading.to_owned(), align: Align::Left, stretch, big: false }
}

/// A column of figures.
pub fn right(heading: &str) -> Column {
    Column { heading: heading.to_owned(), align: Align::Right, stretch: 0, big: false }
}

/// A column of figures that are read at arm's length.
pub fn big(heading: &str) -> Column {
    Column { big: true, ..right(heading) }
}

/// A column ranged left that is read at arm's length.
pub fn large(heading: &str) -> Column {
    Column { big: true, ..left(heading) }
}

/// A centred column.
pub fn centre(heading: &str) -> Column {
    Column { heading: heading.to_owned(), align: Align::Centre, stretch: 0, big: false }
}

/// A plain cell.
pub fn cell(text: impl Into<String>) -> Vec<Span> {
    vec![Span::plain(text)]
}

/// A bold cell.
pub fn strong(text: impl Into<String>) -> Vec<Span> {
    vec![Span::bold(text)]
}

/// A row of a kind.
pub fn row(kind: RowKind, cells: Vec<Vec<Span>>) -> Row {
    Row { cells, kind }
}

/// A plain row.
pub fn plain(cells: Vec<Vec<Span>>) -> Row {
    row(RowKind::Plain, cells)
}

/// A heading inside a table of `columns` columns.
pub fn group(text: impl Into<String>, columns: usize) -> Row {
    let mut cells = vec![strong(text)];
    cells.resize(columns, Vec::new());
    row(RowKind::Group, cells)
}

/// A row with nothing in it, to be written in by hand.
pub fn blank(columns: usize) -> Row {
    // A no-break space holds the row open.
    row(RowKind::ToFill, vec![cell("\u{a0}"); columns])
}

/// Blocks in so many columns, row by row.
pub fn in_rows(across: usize, all: Vec<Vec<Block>>) -> Vec<Block> {
    let row = |row: &[Vec<Block>]| {
        let mut columns = row.to_vec();
        columns.resize(across, Vec::new());
        Block::Columns(columns)
    };
    all.chunks(across).map(row).collect()
}
