//! Words alone, set by the engine that sets every document: what `side_by_side.py` measures beside other makers.
//!
//!     words WORDS.json OUT.pdf [TIMES]
//!
//! Given a list of headings, paragraphs, items and tables; gives a PDF without letterhead, drawings, fields or attachment. With TIMES
//! it is set so often in one process, and the least time of one is printed, in milliseconds.

#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "a bench may panic and print")]

use serde_json::Value;
use std::time::Instant;
use wetout::model::firm::Accent;
use wetout::pages::block::{Align, Block, Column, Document, Fitting, Letterhead, Row, RowKind, Span, Table};

fn main() {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<Value> = serde_json::from_slice(&std::fs::read(&given[0]).unwrap()).unwrap();
    let document = document(words.iter().map(block).collect());
    std::fs::write(&given[1], wetout::pdf::print(&document).unwrap()).unwrap();
    if let Some(times) = given.get(2) {
        let one = |_| {
            let start = Instant::now();
            wetout::pdf::print(&document).unwrap();
            start.elapsed().as_secs_f64() * 1000.0
        };
        println!("{}", (0..times.parse().unwrap()).map(one).fold(f64::INFINITY, f64::min));
    }
}

fn document(blocks: Vec<Block>) -> Document {
    Document {
        title: "Words".into(),
        author: "Nobody".into(),
        subject: "Words alone".into(),
        date: time::macros::date!(2026 - 11 - 28),
        reference: String::new(),
        by_hand: String::new(),
        footer: String::new(),
        standing: String::new(),
        letterhead: Letterhead { logo: None, name: String::new(), lines: Vec::new() },
        accent: Accent { rgb: [0, 0, 0] },
        text_size: 10.0,
        fitting: Fitting::AsSet,
        blocks,
        attachments: Vec::new(),
        closer: None,
    }
}

/// `["heading", 2, "words"]`, `["text", "words"]`, `["item", "words"]`, `["table", rows]`.
fn block(given: &Value) -> Block {
    let spans = |words: &Value| vec![Span::plain(words.as_str().unwrap())];
    match given[0].as_str().unwrap() {
        "heading" => Block::Heading { level: given[1].as_u64().unwrap() as u8, text: spans(&given[2]) },
        "text" => Block::Paragraph(spans(&given[1])),
        "item" => Block::List { ordered: false, items: vec![vec![Block::Paragraph(spans(&given[1]))]] },
        "table" => Block::Table(table(given[1].as_array().unwrap())),
        other => panic!("{other}"),
    }
}

/// Rows of cells, each whether it is a heading, how many columns it spans, and its words.
fn table(rows: &[Value]) -> Table {
    let cells = |row: &Value| row.as_array().unwrap().clone();
    let span = |cell: &Value| cell[1].as_u64().unwrap() as usize;
    let width = rows.iter().map(|row| cells(row).iter().map(span).sum::<usize>()).max().unwrap();
    let header = cells(&rows[0]).len() == width && cells(&rows[0]).iter().all(|cell| cell[0] == true);
    let text = |cell: &Value| cell[2].as_str().unwrap().to_owned();
    let column = |place: usize| Column {
        heading: if header { text(&cells(&rows[0])[place]) } else { String::new() },
        align: Align::Left,
        stretch: 1,
        big: false,
    };
    let row = |row: &Value| {
        let group = cells(row).len() == 1 && width > 1;
        let mut spans: Vec<Vec<Span>> = cells(row).iter().map(|cell| vec![Span::plain(text(cell))]).collect();
        spans.resize(width, Vec::new());
        Row { cells: spans, kind: if group { RowKind::Group } else { RowKind::Plain } }
    };
    let rows = rows.iter().skip(usize::from(header)).map(row).collect();
    Table { columns: (0..width).map(column).collect(), rows, header }
}
