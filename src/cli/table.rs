//! Tables of plain text: columns as wide as their content, figures ranged right; on a narrow terminal long words are folded
//! inside their column.
//!
//! Given headings and rows of finished text; gives lines without trailing blanks.

use super::terminal;

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ranged {
    /// Ranged left.
    Left,
    /// Ranged right.
    Right,
}

/// A table as text, as wide as the terminal has room. Every row has as many cells as there are columns.
pub(super) fn table(columns: &[(&str, Ranged)], rows: &[Vec<String>]) -> String {
    table_within(columns, rows, terminal::width())
}

/// A table as text, no wider than this where its words can be folded so far.
fn table_within(columns: &[(&str, Ranged)], rows: &[Vec<String>], wide: Option<usize>) -> String {
    let width = |i: usize| {
        let cells = rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count());
        cells.chain([columns[i].0.chars().count()]).max().unwrap_or(0)
    };
    let mut widths: Vec<usize> = (0..columns.len()).map(width).collect();
    if let Some(wide) = wide {
        narrow(columns, rows, &mut widths, wide);
    }
    let heading: Vec<String> = columns.iter().map(|c| c.0.to_owned()).collect();
    let rule: Vec<String> = widths.iter().map(|&w| "-".repeat(w)).collect();
    [heading, rule].iter().chain(rows).map(|row| folded(columns, &widths, row)).collect()
}

/// Takes from the widest columns of words, one sign at a time from whichever is the widest, until all fits or no word would
/// stay whole.
fn narrow(columns: &[(&str, Ranged)], rows: &[Vec<String>], widths: &mut [usize], wide: usize) {
    let longest = |text: &str| text.split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
    let least = |i: usize| {
        let words = rows.iter().filter_map(|row| row.get(i)).map(|text| longest(text));
        words.chain([columns[i].0.chars().count()]).max().unwrap_or(0)
    };
    let least: Vec<usize> = (0..columns.len()).map(least).collect();
    let gaps = 2 * columns.len().saturating_sub(1);
    while widths.iter().sum::<usize>() + gaps > wide {
        let words = (0..widths.len()).filter(|&i| columns[i].1 == Ranged::Left && widths[i] > least[i]);
        let Some(widest) = words.max_by_key(|&i| widths[i]) else { return };
        widths[widest] -= 1;
    }
}

/// A row on as many lines as its longest cell takes.
fn folded(columns: &[(&str, Ranged)], widths: &[usize], row: &[String]) -> String {
    let cells: Vec<Vec<String>> = row.iter().zip(widths).map(|(text, &width)| lines(text, width)).collect();
    let most = cells.iter().map(Vec::len).max().unwrap_or(0);
    let nth = |n: usize| cells.iter().map(|lines| lines.get(n).cloned().unwrap_or_default()).collect::<Vec<_>>();
    (0..most).map(|n| line(columns, widths, &nth(n))).collect()
}

/// The words of a cell on lines of no more than so many signs.
fn lines(text: &str, width: usize) -> Vec<String> {
    if text.chars().count() <= width {
        return vec![text.to_owned()];
    }
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(last) if last.chars().count() + 1 + word.chars().count() <= width => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
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
