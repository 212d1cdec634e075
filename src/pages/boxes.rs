//! Forms: boxes and tables to be filled in, with a pencil on the ladder or on a screen.
//!
//! Given what is asked and how it is answered; gives pieces with the fields of a PDF in place. Every place has a ground to
//! write on, and a field whose name says what is asked and of what; a word that can be ticked has a box large enough for a
//! glove.

use super::block::{BoxTable, DayBoxes, DayRow, FormBox, FormFilling, FormTick, Span};
use super::flow::Flow;
use super::page::{Item, NodeId, NodeRole, Placed, Rectangle, Taking, lowered};
use super::piece::{Piece, Tie, as_decoration, tie_together};
use super::scene::{Ink, Pen};
use super::setting::{Measure, Setting, baseline, hold_ends, space};
use super::table::HAND;
use super::text::{Fit, shape};

/// The lines of boxes.
const LINE: Pen = Pen { ink: Ink::Grey(0.45), width: 0.7, dash: None };
/// Sizes as shares of the size of running text.
const LABEL: f64 = 0.86;
const LABEL_LEADING: f64 = 1.35;
const WORD: f64 = 0.92;
const TICK: f64 = 1.18;
const ROW: f64 = 2.0;
/// A row of boxes of days, the width of such a box at most, and what stands before them at least.
const DAY_ROW: f64 = 1.8;
const DAY_BOX: f64 = 5.8;
const DAY_WORDS: f64 = 9.0;
/// So many days stand beside each other at most.
const DAYS_IN_A_ROW: usize = 7;
/// What the field of a day is wide at least, pt: a time or a moisture is typed into it.
const DAY_FIELD: f64 = 28.0;
/// How far a field stands in from its box, pt.
const FIELD_INSET: f64 = 1.5;
/// A field of one line is no higher, pt: what is typed fills its height, and is to be as large everywhere.
pub(super) const LINE_FIELD: f64 = 15.0;
/// What a line of writing adds to the height of a box.
const WRITING: f64 = 2.1;
/// Air inside a box, left and right.
const INSIDE: f64 = 0.4;

/// The rows of some boxes.
pub(super) fn rows(flow: &mut Flow, boxes: &[FormBox], measure: Measure, parent: NodeId) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = in_rows(boxes).iter().map(|row| box_row(flow, row, measure, parent)).collect();
    tie_together(&mut pieces, Tie::Wish);
    space(&mut pieces, 0.45 * flow.size, 0.45 * flow.size);
    pieces
}

fn in_rows(boxes: &[FormBox]) -> Vec<Vec<&FormBox>> {
    let mut rows: Vec<Vec<&FormBox>> = Vec::new();
    let mut taken = 12;
    for one in boxes {
        let twelfths = one.twelfths.clamp(1, 12);
        if taken + twelfths > 12 {
            rows.push(Vec::new());
            taken = 0;
        }
        taken += twelfths;
        if let Some(row) = rows.last_mut() {
            row.push(one);
        }
    }
    rows
}

fn box_row(flow: &mut Flow, row: &[&FormBox], measure: Measure, parent: NodeId) -> Piece {
    let size = flow.size;
    let lines = row.iter().map(|one| one.lines.max(1)).max().unwrap_or(1);
    let (mut labels, mut left) = (Vec::new(), measure.x);
    for one in row {
        let across = Measure { x: left, width: measure.width * f64::from(one.twelfths.clamp(1, 12)) / 12.0 };
        labels.push((across, box_label(flow, &one.label, across, parent)));
        left += across.width;
    }
    // A label of two lines never stands in the place that is written in.
    let most = labels.iter().map(|(_, label)| label.len()).max().unwrap_or(1).max(1);
    let head = LABEL * size * (0.15 + LABEL_LEADING * most as f64);
    let height = head + WRITING * size * f64::from(lines);
    let mut marks = Vec::new();
    for (one, (Measure { x, width }, label)) in row.iter().zip(labels) {
        let area = Rectangle { x, y: 0.0, width, height };
        marks.push(Placed::bare(Item::Panel { area, fill: Some(Ink::White), pen: Some(LINE) }));
        let mut y = 0.14 * size;
        for line in label {
            marks.extend(lowered(line.marks, y));
            y += line.height;
        }
        let below = Rectangle { y: head, height: height - head, ..area };
        marks.extend(filled(flow, &one.filling, below, parent, one.lines > 1));
    }
    flow.piece(height, marks)
}

/// The lines of a box's label.
fn box_label(flow: &mut Flow, label: &str, across: Measure, parent: NodeId) -> Vec<Piece> {
    let size = flow.size;
    let node = flow.node(parent, NodeRole::Paragraph);
    let setting = Setting { size: LABEL * size, leading: LABEL_LEADING, ink: Ink::Grey(0.25), ..flow.running() };
    let inner = Measure { x: across.x + INSIDE * size, width: across.width - 2.0 * INSIDE * size };
    flow.set(&[Span::plain(label)], setting, inner, Some(node))
}

/// The marks of a place that is filled in.
fn filled(flow: &mut Flow, filling: &FormFilling, area: Rectangle, parent: NodeId, several: bool) -> Vec<Placed> {
    let taking = match filling {
        FormFilling::Words(_) if several => Taking::Lines,
        FormFilling::Words(_) => Taking::Line,
        FormFilling::OneOf { choices, .. } => Taking::OneOf(choices.clone()),
        FormFilling::Ticks(ticks) => return side_by_side(flow, ticks, area, parent),
        FormFilling::Nothing => {
            let ground =
                Rectangle { x: area.x + 0.4, y: area.y + 0.4, width: area.width - 0.8, height: area.height - 0.8 };
            return vec![Placed::bare(Item::Panel { area: ground, fill: Some(Ink::Grey(0.93)), pen: None })];
        }
        FormFilling::Hand => return Vec::new(),
    };
    let (FormFilling::Words(name) | FormFilling::OneOf { name, .. }) = filling else { return Vec::new() };
    let most = if taking == Taking::Lines { area.height } else { LINE_FIELD };
    let height = (area.height - 2.0).min(most);
    let y = area.y + (area.height - height) / 2.0;
    let inside = Rectangle { x: area.x + FIELD_INSET, y, width: area.width - 2.0 * FIELD_INSET, height };
    vec![field(flow, name, taking, inside, parent)]
}

fn field(flow: &mut Flow, name: &str, taking: Taking, area: Rectangle, parent: NodeId) -> Placed {
    let node = flow.node(parent, NodeRole::Form { label: name.to_owned() });
    Placed { owner: Some(node), item: Item::Field { area, label: name.to_owned(), taking } }
}

/// Boxes to tick, each before its word, over the width of a place.
fn side_by_side(flow: &mut Flow, ticks: &[FormTick], area: Rectangle, parent: NodeId) -> Vec<Placed> {
    let size = flow.size;
    let side = TICK * size;
    let setting = Setting { size: WORD * size, leading: 1.2, bold: false, fit: Fit::Paragraph, ..flow.running() };
    let words: Vec<_> = ticks.iter().map(|tick| shape(&[Span::plain(&tick.word)], false, &mut flow.faults)).collect();
    let own = |n: usize| {
        side + if ticks[n].word.is_empty() { 0.0 } else { 0.35 * size + words[n].natural_width(setting.size) }
    };
    let needed: f64 = (0..ticks.len()).map(own).sum();
    let alone = ticks.len() == 1 && ticks[0].word.is_empty();
    let gap = ((area.width - needed) / (ticks.len() as f64 + 0.2)).clamp(0.3 * size, 1.3 * size);
    let mut left = if alone { area.x + (area.width - side) / 2.0 } else { area.x + INSIDE * size };
    let top = area.y + (area.height - side) / 2.0;
    let mut marks = Vec::new();
    for (n, tick) in ticks.iter().enumerate() {
        let box_area = Rectangle { x: left, y: top, width: side, height: side };
        marks.push(Placed::bare(Item::Panel { area: box_area, fill: Some(Ink::White), pen: Some(LINE) }));
        marks.push(field(flow, &tick.name, Taking::NamedTick, box_area, parent));
        if !tick.word.is_empty() {
            let node = flow.node(parent, NodeRole::Paragraph);
            let y = top + (side - setting.size * setting.leading) / 2.0 + baseline(setting);
            let text = words[n].single(setting.size, setting.ink, left + side + 0.35 * size, y);
            marks.push(Placed { owner: Some(node), item: Item::Text(text) });
        }
        left += own(n) + gap;
    }
    marks
}

/// Rows of boxes, one for each day and with its name in it; those of many days stand under each other, so many in a row that
/// each field holds what is typed into it. Every row has as many boxes, the last ones without a day where they do not come out
/// even.
pub(super) fn days(flow: &mut Flow, boxes: &DayBoxes, measure: Measure, parent: NodeId) -> Vec<Piece> {
    let table = flow.node(parent, NodeRole::Table);
    let body = flow.node(table, NodeRole::TableBody);
    let room = measure.width - DAY_WORDS * flow.size;
    let typed = boxes.rows.iter().any(|row| !row.signed);
    let least = if typed { day_label(flow, &boxes.days) + DAY_FIELD + 2.0 * FIELD_INSET } else { 1.0 };
    let most = ((room / least) as usize).clamp(1, DAYS_IN_A_ROW);
    let across = boxes.days.len().div_ceil(boxes.days.len().div_ceil(most).max(1)).max(1);
    let width = (room / across as f64).min(least.max(DAY_BOX * flow.size));
    let words = Measure { width: measure.width - width * across as f64, ..measure };
    let mut pieces = Vec::new();
    for days in boxes.days.chunks(across) {
        for row in &boxes.rows {
            pieces.push(day_row(flow, row, (days, across), (words, width), body));
        }
    }
    tie_together(&mut pieces, Tie::Wish);
    space(&mut pieces, flow.air(0.6), flow.air(0.9));
    pieces
}

/// What the longest name of a day takes of its box.
fn day_label(flow: &mut Flow, days: &[String]) -> f64 {
    let (size, faults) = (LABEL * flow.size, &mut flow.faults);
    let widths = days.iter().map(|day| shape(&[Span::plain(day.as_str())], false, faults).natural_width(size));
    widths.fold(0.0, f64::max) + 2.0 * INSIDE * flow.size
}

fn day_row(
    flow: &mut Flow,
    row: &DayRow,
    (days, across): (&[String], usize),
    (before, width): (Measure, f64),
    body: NodeId,
) -> Piece {
    let size = flow.size;
    let setting = Setting { size: WORD * size, leading: 1.15, bold: true, fit: Fit::Paragraph, ..flow.running() };
    let small = Setting { size: LABEL * size, leading: 1.15, ink: Ink::Grey(0.25), ..flow.running() };
    let parent = flow.node(body, NodeRole::TableRow);
    let name = flow.node(parent, NodeRole::HeadingCell { of_row: true, span: 1 });
    let inner = Measure { x: before.x + INSIDE * size, width: before.width - 1.4 * INSIDE * size };
    let words = flow.set(&[Span::plain(row.words.as_str())], setting, inner, Some(name));
    let line = setting.size * setting.leading;
    let height = (DAY_ROW * size).max(words.len() as f64 * line + 0.4 * size);
    let panel = |x: f64, width: f64| {
        let area = Rectangle { x, y: 0.0, width, height };
        Placed::bare(Item::Panel { area, fill: Some(Ink::White), pen: Some(LINE) })
    };
    let mut marks = vec![panel(before.x, before.width)];
    let top = (height - words.len() as f64 * line) / 2.0;
    for (n, piece) in words.into_iter().enumerate() {
        marks.extend(lowered(piece.marks, top + n as f64 * line));
    }
    for (place, day) in days.iter().enumerate() {
        let x = before.x + before.width + width * place as f64;
        marks.push(panel(x, width));
        let cell = flow.node(parent, NodeRole::Cell { headers: Vec::new() });
        let label = shape(&[Span::plain(day.as_str())], false, &mut flow.faults);
        let taken = label.natural_width(small.size) + 2.0 * INSIDE * size;
        let y = (height - small.size * small.leading) / 2.0 + baseline(small);
        let text = label.single(small.size, small.ink, x + INSIDE * size, y);
        marks.push(Placed { owner: Some(cell), item: Item::Text(text) });
        if !row.signed {
            let filling = FormFilling::Words(flow.spoken(&format!("{day}, {}", row.words)));
            let area = Rectangle { x: x + taken, y: 0.0, width: (width - taken).max(size), height };
            marks.extend(filled(flow, &filling, area, cell, false));
        }
    }
    for place in days.len()..across {
        let x = before.x + before.width + width * place as f64;
        let cell = flow.node(parent, NodeRole::Cell { headers: Vec::new() });
        marks.push(panel(x, width));
        marks.extend(filled(flow, &FormFilling::Nothing, Rectangle { x, y: 0.0, width, height }, cell, false));
    }
    flow.piece(height, marks)
}

/// So many rows of a table on the site's sheets stay together: a longer one goes on over a page, under its headings again.
const FEW_ROWS: usize = 5;

/// The pieces of a table: its headings, then a row for each thing.
pub(super) fn table(flow: &mut Flow, table: &BoxTable, measure: Measure, parent: NodeId) -> Vec<Piece> {
    let node = flow.node(parent, NodeRole::Table);
    let columns = columns_of(table, measure);
    let head = headings(flow, table, &columns, node);
    let repeated = as_decoration(std::slice::from_ref(&head));
    let mut pieces = flow.framed(None, repeated, |flow| {
        let mut pieces = vec![Piece { within: flow.piece(0.0, Vec::new()).within, tie: Tie::Firm, ..head }];
        let body = flow.node(node, NodeRole::TableBody);
        for (of, cells) in &table.rows {
            let row = flow.node(body, NodeRole::TableRow);
            pieces.push(table_row(flow, of, cells, &columns, row));
        }
        pieces
    });
    match flow.close && table.rows.len() > FEW_ROWS {
        true => hold_ends(&mut pieces[1..]),
        false => tie_together(&mut pieces, Tie::Wish),
    }
    space(&mut pieces, 0.45 * flow.size, 0.45 * flow.size);
    pieces
}

/// Left edge and width of each column, that of the rows' names first.
fn columns_of(table: &BoxTable, measure: Measure) -> Vec<(f64, f64)> {
    let shares: Vec<u16> = [table.share].into_iter().chain(table.columns.iter().map(|(_, share)| *share)).collect();
    let whole: f64 = shares.iter().map(|share| f64::from(*share)).sum::<f64>().max(1.0);
    let mut left = measure.x;
    let mut columns = Vec::new();
    for share in shares {
        let width = measure.width * f64::from(share) / whole;
        columns.push((left, width));
        left += width;
    }
    columns
}

fn headings(flow: &mut Flow, table: &BoxTable, columns: &[(f64, f64)], node: NodeId) -> Piece {
    let head = flow.node(node, NodeRole::TableHead);
    let row = flow.node(head, NodeRole::TableRow);
    let setting =
        Setting { size: LABEL * flow.size, leading: 1.18, ink: Ink::Grey(0.2), bold: true, fit: Fit::Balanced };
    let words = [&table.of].into_iter().chain(table.columns.iter().map(|(heading, _)| heading));
    let inset = 0.22 * flow.size;
    let mut cells = Vec::new();
    for (heading, &(left, width)) in words.zip(columns) {
        let cell = flow.node(row, NodeRole::HeadingCell { of_row: false, span: 1 });
        let inner = Measure { x: left + inset, width: width - 2.0 * inset };
        cells.push(flow.set(&[Span::plain(heading)], setting, inner, Some(cell)));
    }
    let line = setting.size * setting.leading;
    let most = cells.iter().map(Vec::len).max().unwrap_or(0);
    let height = most as f64 * line + 0.5 * flow.size;
    let mut marks = Vec::new();
    for &(x, width) in columns {
        let area = Rectangle { x, y: 0.0, width, height };
        marks.push(Placed::bare(Item::Panel { area, fill: Some(Ink::AccentTint(0.88)), pen: Some(LINE) }));
    }
    for cell in cells {
        let top = height - 0.22 * flow.size - cell.len() as f64 * line;
        for (n, piece) in cell.into_iter().enumerate() {
            marks.extend(lowered(piece.marks, top + n as f64 * line));
        }
    }
    flow.piece(height, marks)
}

fn table_row(flow: &mut Flow, of: &str, cells: &[FormFilling], columns: &[(f64, f64)], row: NodeId) -> Piece {
    let size = flow.size;
    let setting = Setting { size: WORD * size, leading: 1.15, bold: true, fit: Fit::Paragraph, ..flow.running() };
    let name = flow.node(row, NodeRole::HeadingCell { of_row: true, span: 1 });
    let inner = Measure { x: columns[0].0 + INSIDE * size, width: columns[0].1 - 1.4 * INSIDE * size };
    let words = flow.set(&[Span::plain(of)], setting, inner, Some(name));
    let line = setting.size * setting.leading;
    let height = (ROW * size).max(HAND).max(words.len() as f64 * line + 0.5 * size);
    let mut marks = Vec::new();
    for &(x, width) in columns {
        let area = Rectangle { x, y: 0.0, width, height };
        marks.push(Placed::bare(Item::Panel { area, fill: Some(Ink::White), pen: Some(LINE) }));
    }
    let top = (height - words.len() as f64 * line) / 2.0;
    for (n, piece) in words.into_iter().enumerate() {
        marks.extend(lowered(piece.marks, top + n as f64 * line));
    }
    for (filling, &(x, width)) in cells.iter().zip(&columns[1..]) {
        let cell = flow.node(row, NodeRole::Cell { headers: Vec::new() });
        marks.extend(filled(flow, filling, Rectangle { x, y: 0.0, width, height }, cell, false));
    }
    flow.piece(height, marks)
}
