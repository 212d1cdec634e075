//! The order as CSV, for the merchant's computer.
//!
//! Given an order; gives UTF-8, lines ended by CR LF (RFC 4180). It opens with the byte-order mark, which UTF-8 allows
//! and does not need (The Unicode Standard, 23.8): without it a spreadsheet that is opened by a double click takes the
//! file for its own country's old code page and shows other signs for × and ². A text that a spreadsheet would take for a
//! formula gets an apostrophe in front, also where only a spreadsheet that parts cells at semicolons would.

use super::views::{OrderView, PickLine};

const HEADINGS: [&str; 15] = [
    "order",
    "account",
    "status",
    "line",
    "group",
    "code",
    "description",
    "pack",
    "quantity",
    "optional",
    "weight_kg",
    "longest_mm",
    "hazard",
    "deliver_to",
    "cut_to",
];

/// The whole file.
pub fn of_order(order: &OrderView<'_>) -> Vec<u8> {
    let mut out = String::from('\u{feff}');
    push_row(&mut out, &HEADINGS.map(str::to_owned));
    for (i, line) in order.lines.iter().enumerate() {
        push_row(&mut out, &row(order, i + 1, line));
    }
    out.into_bytes()
}

fn row(order: &OrderView<'_>, number: usize, line: &PickLine<'_>) -> [String; 15] {
    [
        safe(&order.number),
        safe(order.account.unwrap_or("")),
        (if order.held() { "held, do not deliver" } else { "to order" }).to_owned(),
        number.to_string(),
        safe(line.group),
        safe(line.code),
        safe(line.description),
        safe(line.pack),
        line.quantity.to_string(),
        (if line.optional { "yes" } else { "no" }).to_owned(),
        line.mass.map_or_else(String::new, |m| m.as_kg().normalize().to_string()),
        line.longest.map_or_else(String::new, |l| l.as_mm().to_string()),
        safe(line.hazard.unwrap_or("")),
        safe(&order.parties.site.join(", ")),
        safe(&order.cut_to(line).join("; ")),
    ]
}

/// A text that no spreadsheet takes for a formula: none begins with a sign of one, wide signs included, behind white
/// space or signs that are not seen, or not. In many countries a semicolon parts the cells: what stands behind one is a
/// text of its own there.
fn safe(text: &str) -> String {
    let parts = text.split([';', '\t', '\r', '\n']).enumerate();
    let harmful = |(n, part): (usize, &str)| part.trim_start_matches(unseen).starts_with(begins_formula).then_some(n);
    match parts.filter_map(harmful).collect::<Vec<_>>().as_slice() {
        [] if text.starts_with(['\t', '\r', '\n']) => format!("'{text}"),
        [] => text.to_owned(),
        harmful => guarded(text, harmful),
    }
}

/// The text with an apostrophe before each of these parts.
fn guarded(text: &str, harmful: &[usize]) -> String {
    let mut out = String::with_capacity(text.len() + harmful.len());
    for (n, part) in text.split_inclusive([';', '\t', '\r', '\n']).enumerate() {
        if harmful.contains(&n) || n == 0 && text.starts_with(['\t', '\r', '\n']) {
            out.push('\'');
        }
        out.push_str(part);
    }
    out
}

fn begins_formula(c: char) -> bool {
    matches!(c, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠')
}

/// White space, and every sign that shows nothing: `Default_Ignorable_Code_Point` of the Unicode Character Database 16.0
/// (`DerivedCoreProperties.txt`), and the marks of annotation (The Unicode Standard, 23.8).
fn unseen(c: char) -> bool {
    c.is_whitespace()
        || c.is_control()
        || matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}')
        || matches!(c, '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
        || matches!(c, '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}')
        || matches!(c, '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}')
        || matches!(c, '\u{e0000}'..='\u{e0fff}')
}

fn push_row(out: &mut String, cells: &[String]) {
    for (i, cell) in cells.iter().enumerate() {
        if i > 0 {
            out.push(',');
        }
        push_cell(out, cell);
    }
    out.push_str("\r\n");
}

/// A cell, in quotes where RFC 4180 wants them, quotes inside it doubled.
fn push_cell(out: &mut String, cell: &str) {
    if cell.contains([',', '"', '\r', '\n']) || cell != cell.trim() {
        out.push('"');
        out.push_str(&cell.replace('"', "\"\""));
        out.push('"');
    } else {
        out.push_str(cell);
    }
}
