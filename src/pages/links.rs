//! Addresses in the text: each becomes a link.
//!
//! Given spans and blocks; gives the same, with a link over every e-mail and web address that has none. An address without
//! `https://` is taken for one where it begins with `www.`: other words with full stops in them are left alone.

use super::block::{Block, Span};
use linkify::{LinkFinder, LinkKind};

/// The finder of addresses.
fn finder() -> LinkFinder {
    let mut finder = LinkFinder::new();
    finder.url_must_have_scheme(false);
    finder
}

/// Words as spans, the addresses among them as links.
pub fn spans(words: &str) -> Vec<Span> {
    linked(&finder(), vec![Span::plain(words)])
}

/// Blocks with their addresses as links.
pub fn blocks(blocks: Vec<Block>) -> Vec<Block> {
    let finder = finder();
    // A heading stands in the outline, where it cannot be clicked twice.
    blocks.into_iter().map(|block| block.with_spans(&|spans| linked(&finder, spans))).collect()
}

fn linked(finder: &LinkFinder, spans: Vec<Span>) -> Vec<Span> {
    let possible = |span: &Span| span.link.is_none() && span.text.contains(['@', '.']);
    if !spans.iter().any(possible) {
        return spans;
    }
    let parts = |mut span: Span| -> Vec<Span> {
        span.note = linked(finder, std::mem::take(&mut span.note));
        if !possible(&span) {
            return vec![span];
        }
        let mut parts: Vec<Span> = Vec::new();
        for found in finder.spans(&span.text) {
            let link = found.kind().and_then(|kind| target(kind, found.as_str()));
            match parts.last_mut() {
                // Plain words stay in one piece, so that their letters stand as close as they did.
                Some(last) if link.is_none() && last.link.is_none() => last.text.push_str(found.as_str()),
                _ => {
                    let (text, tells) = (found.as_str().to_owned(), std::mem::take(&mut span.tells));
                    parts.push(Span {
                        text,
                        link,
                        tells,
                        note: std::mem::take(&mut span.note),
                        bold: span.bold,
                        italic: span.italic,
                    });
                }
            }
        }
        parts
    };
    spans.into_iter().flat_map(parts).collect()
}

/// What an address opens; `None` where it may be no address.
fn target(kind: &LinkKind, address: &str) -> Option<String> {
    match kind {
        LinkKind::Email => Some(format!("mailto:{address}")),
        LinkKind::Url if address.contains("://") => Some(address.to_owned()),
        LinkKind::Url if address.starts_with("www.") => Some(format!("https://{address}")),
        _ => None,
    }
}
