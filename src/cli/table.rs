//! Tables of plain text: columns as wide as their content, figures ranged right.
//!
//! Given headings and rows of finished text; gives lines without trailing blanks.

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ranged {
    /// Ranged left.
    Left,
    /// Ranged right.
    Right,
}

/// A table as text. Every row has as many cells as there are columns.
pub(super) fn table(columns: &[(&str, Ranged)], rows: &[Vec<String>]) -> String {
    let width = |i: usize| {
        let cells = rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count());
        cells.chain([columns[i].0.chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns.len()).map(width).collect();
    let heading: Vec<String> = columns.iter().map(|c| c.0.to_owned()).collect();
    let rule: Vec<String> = widths.iter().map(|&w| "-".repeat(w)).collect();
    [heading, rule].iter().chain(rows).map(|row| line(columns, &widths, row)).collect()
}

fn line(columns: &[(&str, Ranged)], widths: &[usize], row: &[String]) -> String {
    let cell = |(i, text): (usize, &String)| {
        let pad = " ".repeat(widths[i].saturating_sub(text.chars().count()));
        match columns[i].1 {
            Ranged::Left => format!("{text}{pad}"),
            Ranged::Right => format!("{pad}{text}"),
        }
    };
    let cells: Vec<String> = row.iter().enumerate().map(cell).collect();
    format!("{}\n", cells.join("  ").trim_end())
}
