//! What a document says, sentence by sentence, as it is read from its first page to its last.
//!
//! Given blocks; gives their sentences. Drawings and lines to fill in say nothing here; a row of a table and a fact of the head are
//! one sentence each.

use crate::pages::block::{Block, Span};

/// The sentences of blocks, in their order.
pub fn sentences(blocks: &[Block]) -> Vec<String> {
    let mut said = Vec::new();
    blocks.iter().for_each(|block| say(block, &mut said));
    said
}

fn say(block: &Block, said: &mut Vec<String>) {
    match block {
        Block::Heading { text, .. } | Block::Paragraph(text) => parted(&words(text), said),
        Block::Table(table) => {
            for row in &table.rows {
                let cells: Vec<String> = row.cells.iter().map(|cell| words(cell)).collect();
                whole(&cells.join(" "), said);
            }
        }
        Block::Callout { title, .. } => whole(title, said),
        Block::Facts(facts) => {
            facts.iter().for_each(|(label, value)| whole(&format!("{label}: {}", words(value)), said))
        }
        Block::Headline { label, figure, note } => {
            whole(&format!("{label}: {figure}"), said);
            parted(note, said);
        }
        Block::Photo { caption, .. } => whole(caption, said),
        Block::Ticks(ticks) | Block::Choices(ticks) => ticks.iter().for_each(|tick| parted(&words(tick), said)),
        _ => {}
    }
    block.within().into_iter().flatten().for_each(|block| say(block, said));
}

/// Running text, with what its notes say behind it.
fn words(spans: &[Span]) -> String {
    let text: String = spans.iter().map(|span| span.text.as_str()).collect();
    let notes = spans.iter().filter(|span| !span.note.is_empty()).map(|span| format!(" {}", words(&span.note)));
    text + &notes.collect::<String>()
}

/// A text parted behind each full stop that a capital letter follows.
fn parted(text: &str, said: &mut Vec<String>) {
    let mut from = 0;
    for (at, _) in text.match_indices(". ") {
        if text[at + 2..].starts_with(char::is_uppercase) {
            whole(&text[from..=at], said);
            from = at + 2;
        }
    }
    whole(&text[from..], said);
}

fn whole(text: &str, said: &mut Vec<String>) {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if !text.is_empty() {
        said.push(text);
    }
}
