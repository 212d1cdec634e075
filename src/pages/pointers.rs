//! Words that say on which page of its own document something stands: `page 18`.
//!
//! Given pages with everything in its place; gives them with the numbers filled in. A pointer is a link to `#` and the words of a
//! heading. Until it is known where that stands its words have two noughts in place of the number, so that no line ends elsewhere once
//! they are filled in.

use super::block::Span;
use super::flow::Flow;
use super::fonts::Face;
use super::page::{Entry, Item, NodeRole, Page, Text};
use super::text::shape;

/// What stands in place of a page's number.
const NUMBER: &str = "00";
/// What stands there where no heading is called so.
const NOWHERE: &str = "–";

/// Words that point to the page of a heading, the number last: `page` becomes `page 18`.
pub fn page_of(heading: &str, words: &str) -> Span {
    let link = Some(format!("#{heading}"));
    Span { text: format!("{words}\u{a0}{NUMBER}"), link, ..Span::default() }
}

/// The heading that a link points to; none where it is an address, or no heading of the document is called so.
pub fn heading_of<'a>(link: &str, outline: &'a [Entry]) -> Option<&'a Entry> {
    let heading = link.strip_prefix('#')?;
    outline.iter().find(|entry| entry.title == heading)
}

/// Fills in the numbers of the pages that are pointed to.
pub(super) fn fill(flow: &mut Flow, pages: &mut [Page], outline: &[Entry]) {
    for mark in pages.iter_mut().flat_map(|page| &mut page.marks) {
        let Item::Text(text) = &mut mark.item else { continue };
        let Some(link) = text.link.clone().filter(|link| link.starts_with('#')) else { continue };
        let Some(before) = text.words().strip_suffix(NUMBER).map(str::to_owned) else { continue };
        let number = heading_of(&link, outline).map_or_else(|| NOWHERE.to_owned(), |at| (at.page + 1).to_string());
        let words = format!("{before}{number}");
        let is_bold = text.runs.first().is_some_and(|run| run.face == Face::Bold);
        let shaped = shape(&[Span::plain(words.as_str())], is_bold, &mut flow.faults);
        *text = Text { link: Some(link), ..shaped.single(text.size, text.ink, text.x, text.y) };
        if let Some(node) = mark.owner.map(|owner| &mut flow.nodes[owner]) {
            node.role = NodeRole::Link { words };
        }
    }
}
