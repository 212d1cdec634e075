//! The placed pages as text: one line a line of text, with its place, size and meaning.
//!
//! Given placed pages; gives text that a person can read and a golden test can compare. Coordinates are tenths of a
//! point from the top left of the page; rules and grounds are left out.

use super::page::{Item, NodeId, NodeRole, Paper, Placed, Rectangle, Text};
use std::fmt::Write;

/// The pages as text.
pub fn describe(paper: &Paper) -> String {
    let mut out = String::new();
    for (number, page) in paper.pages.iter().enumerate() {
        writeln!(out, "page {} of {}", number + 1, paper.pages.len()).expect("writing to a string cannot fail");
        let mut marks = page.marks.iter().peekable();
        while let Some(mark) = marks.next() {
            let Item::Text(first) = &mark.item else {
                out.extend(other_line(paper, mark));
                continue;
            };
            let mut words = first.words();
            while let Some(next) = marks.next_if(|next| goes_on(paper, mark, first, next)) {
                if let Item::Text(text) = &next.item {
                    words.push_str(&text.words());
                }
            }
            out.push_str(&text_line(role_of(paper, mark.owner), first, &words));
        }
    }
    out
}

/// Whether a mark is a further part of the same line: a link, or what follows one.
fn goes_on(paper: &Paper, first: &Placed, line: &Text, next: &Placed) -> bool {
    let Item::Text(text) = &next.item else { return false };
    text.y == line.y && first.owner.is_some() && block_of(paper, first.owner) == block_of(paper, next.owner)
}

fn block_of(paper: &Paper, owner: Option<NodeId>) -> Option<NodeId> {
    let node = owner?;
    match paper.nodes[node].role {
        NodeRole::Link { .. } | NodeRole::Reference => Some(paper.nodes[node].parent),
        _ => Some(node),
    }
}

fn text_line(role: &str, text: &Text, words: &str) -> String {
    format!("  {role:<8}{:6.1}{:7.1}  {:4.1}  {}\n", text.x, text.y, text.size, words.trim_end())
}

fn other_line(paper: &Paper, mark: &Placed) -> Option<String> {
    let line = |area: &Rectangle, words: &str| {
        let Rectangle { x, y, width, height } = area;
        let role = role_of(paper, mark.owner);
        format!("  {role:<8}{x:6.1}{y:7.1}  {width:.1} × {height:.1}  {words}\n")
    };
    match &mark.item {
        Item::Drawing { area, .. } => Some(line(area, &alt_of(paper, mark.owner))),
        Item::Picture { area, image } => Some(line(area, &image.name)),
        Item::Field { area, label, .. } => Some(line(area, label)),
        Item::Text(_) | Item::Rule { .. } | Item::Panel { .. } => None,
    }
}

fn alt_of(paper: &Paper, owner: Option<NodeId>) -> String {
    match owner.map(|node| &paper.nodes[node].role) {
        Some(NodeRole::Figure { alt }) => alt.clone(),
        _ => String::new(),
    }
}

/// A short word for what a mark is.
fn role_of(paper: &Paper, owner: Option<NodeId>) -> &'static str {
    let Some(node) = owner else { return "—" };
    match &paper.nodes[node].role {
        NodeRole::Document | NodeRole::Division => "block",
        NodeRole::Heading(1) => "h1",
        NodeRole::Heading(2) => "h2",
        NodeRole::Heading(_) => "h3",
        NodeRole::Paragraph => "p",
        NodeRole::List { .. } | NodeRole::ListItem | NodeRole::Body => "item",
        NodeRole::Label => "label",
        NodeRole::Table | NodeRole::TableHead | NodeRole::TableBody | NodeRole::TableRow | NodeRole::Cell { .. } => {
            "cell"
        }
        NodeRole::HeadingCell { .. } => "head",
        NodeRole::Figure { .. } => "figure",
        NodeRole::Caption => "caption",
        NodeRole::Link { .. } | NodeRole::Reference => "link",
        NodeRole::Note => "note",
        NodeRole::Form { .. } => "field",
    }
}
