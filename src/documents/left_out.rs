//! What a document in the firm's own words leaves out that it is made for: the total price, the codes by which goods are ordered,
//! the points at which work stops until it is signed.
//!
//! Given a document's blocks and what they must say; gives a warning for what does not stand in them. Nothing is missing in the
//! built-in words, so that nothing is looked for where the firm has none of its own.

use super::views::OrderView;
use super::{DocumentKind, NamedDocument, Overrides, WholeJob, wording};
use crate::model::{Problem, Warned, Whereabouts};
use crate::pages::block::{Block, Span, Tone};
use std::cell::RefCell;

/// What the documents of a kind, as they were filled, leave out that are made with the firm's own templates.
pub(super) fn by_own_words(
    kind: DocumentKind,
    worked: &WholeJob<'_>,
    overrides: &Overrides,
    made: &[NamedDocument],
) -> Vec<Problem> {
    let stem = match kind {
        DocumentKind::Quote => "quote",
        DocumentKind::Order => "order",
        DocumentKind::Method => "method",
    };
    let of_kind = |name: &str| [".", "-"].iter().any(|after| name.starts_with(&format!("{stem}{after}")));
    let own: Vec<String> = overrides.templates.iter().filter(|(name, _)| of_kind(name)).map(|t| code(&t.0)).collect();
    if own.is_empty() {
        return Vec::new();
    }
    let blocks = || made.iter().flat_map(|(_, document, _)| &document.blocks);
    let missing = match kind {
        DocumentKind::Quote => {
            let total = wording::money(worked.pricing.total);
            (!says(blocks(), &total))
                .then(|| ("quote", format!("the total price, {total}"), "write `{{ total }}` there"))
        }
        DocumentKind::Order => {
            let orders = OrderView::all(worked);
            let said = words_of(blocks());
            let lines = orders.iter().flat_map(|order| &order.lines).filter(|line| !line.optional);
            let codes: Vec<String> =
                lines.filter(|line| !said.contains(line.code)).map(|line| code(line.code)).collect();
            let cure = "put the table of the lines there, as the built-in words do";
            match codes.as_slice() {
                [] => None,
                [one] => Some(("order", format!("what is ordered by the code {one}"), cure)),
                [first, ..] => {
                    Some(("order", format!("{} codes of what is ordered, the first {first}", codes.len()), cure))
                }
            }
        }
        DocumentKind::Method => (!blocks().any(stops)).then(|| {
            let cure = "put boxes there that begin with three backticks and `hold`, as the built-in words do";
            ("method statement", "every point at which work stops until it is checked and signed".to_owned(), cure)
        }),
    };
    let warning = |(document, what, cure): (&str, String, &str)| {
        Problem::warning(
            Warned::Untold,
            Whereabouts::WholeFile,
            format!("the {document} leaves out {what}: it is made with your own {}", wording::list(&own)),
            format!("{cure}; `wetout templates export` gives you the built-in words to compare"),
        )
    };
    missing.map(warning).into_iter().collect()
}

fn code(text: &str) -> String {
    format!("`{text}`")
}

/// Whether a block, or one within it, is a hold point.
fn stops(block: &Block) -> bool {
    matches!(block, Block::Callout { tone: Tone::Hold, .. }) || block.within().into_iter().flatten().any(stops)
}

fn says<'a>(blocks: impl Iterator<Item = &'a Block>, words: &str) -> bool {
    words_of(blocks).contains(words)
}

/// The words of blocks, their headings and their headlines.
fn words_of<'a>(blocks: impl Iterator<Item = &'a Block>) -> String {
    let said = RefCell::new(String::new());
    let take = |spans: Vec<Span>| {
        let mut said = said.borrow_mut();
        spans.iter().for_each(|span| said.push_str(&span.text));
        said.push('\n');
        spans
    };
    for block in blocks {
        heads(block, &take);
        drop(block.clone().with_spans(&take));
    }
    said.into_inner()
}

/// Tells the words that stand in no running text.
fn heads(block: &Block, take: &impl Fn(Vec<Span>) -> Vec<Span>) {
    let said = match block {
        Block::Heading { text, .. } => text.clone(),
        Block::Headline { label, figure, note } => [label, figure, note].map(|text| Span::plain(text.as_str())).into(),
        Block::Callout { title, .. } => vec![Span::plain(title.as_str())],
        _ => Vec::new(),
    };
    take(said);
    block.within().into_iter().flatten().for_each(|block| heads(block, take));
}
