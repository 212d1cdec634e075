//! The drawings of quote and method statement as files of their own, for the firm's use.
//!
//! Given a job that was worked; gives each drawing once, as it stands on the page, with a name that sorts as they stand.

use super::{DocumentKind, Finished, Overrides, WholeJob, documents, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Figure};
use crate::pages::fitting;
use crate::pages::fonts::Fonts;
use crate::pages::page::Item;
use crate::pages::svg;
use crate::pages::text::Faults;
use std::collections::BTreeSet;

/// A drawing of a document.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnFile {
    /// Name of its file: `method-04-deck-of-the-kitchen-roof.svg`.
    pub name: String,
    /// What it shows, in few words.
    pub words: String,
    /// Its size on paper, whole mm.
    pub size: (u32, u32),
    /// The file.
    pub bytes: Vec<u8>,
}

impl From<DrawnFile> for Finished {
    fn from(drawn: DrawnFile) -> Finished {
        Finished { name: drawn.name, bytes: drawn.bytes }
    }
}

/// Whether a file of this name is one of the drawings.
pub fn is_drawn(name: &str) -> bool {
    let rest = ["quote-", "method-"].iter().find_map(|kind| name.strip_prefix(kind));
    let numbered = |rest: &str| rest.split_once('-').is_some_and(|(n, _)| n.len() >= 2 && n.parse::<u16>().is_ok());
    name.ends_with(".svg") && rest.is_some_and(numbered)
}

/// Every drawing of the quote and the method statement; one that stands in both is given once, by the quote.
///
/// # Errors
/// As [`super::make`].
pub fn drawings(worked: &WholeJob<'_>, overrides: &Overrides) -> Result<Vec<DrawnFile>, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let mut faults = Faults::of(fonts);
    let (mut all, mut known) = (Vec::new(), BTreeSet::new());
    for kind in [DocumentKind::Quote, DocumentKind::Method] {
        for (name, document, _) in documents(kind, worked, &words)? {
            for (figure, words) in figures(set(&document, fonts)) {
                let bytes = svg::of(figure, document.accent, &mut faults).into_bytes();
                if known.insert(bytes.clone()) {
                    let number = all.len() + 1;
                    let name = format!("{name}-{number:02}-{}.svg", file_words(&words));
                    let size = [figure.scene.width, figure.scene.height].map(|pt| (pt * 25.4 / 72.0).round() as u32);
                    all.push(DrawnFile { name, words, size: (size[0], size[1]), bytes });
                }
            }
        }
    }
    let problems = faults.problems();
    if problems.is_empty() { Ok(all) } else { Err(problems) }
}

/// The content of a document as it is set: with its own drawings, or with those at a smaller scale.
fn set(document: &Document, fonts: Fonts) -> &[Block] {
    let Some(smaller) = document.closer.as_ref().and_then(|closer| closer.blocks.as_ref()) else {
        return &document.blocks;
    };
    let Ok(paper) = fitting::lay_out_sizes(fonts, document) else { return &document.blocks };
    let marks = || paper.pages.iter().flat_map(|page| &page.marks);
    let shown = |figure: &Figure| {
        marks().any(|mark| matches!(&mark.item, Item::Drawing { scene, .. } if **scene == *figure.scene))
    };
    if figures(&document.blocks).iter().all(|(figure, _)| shown(figure)) { &document.blocks } else { smaller }
}

/// The figures of some blocks, each with its caption or with the heading that it stands under.
fn figures(blocks: &[Block]) -> Vec<(&Figure, String)> {
    let (mut found, mut under) = (Vec::new(), String::new());
    gather(blocks, &mut under, &mut found);
    found
}

fn gather<'a>(blocks: &'a [Block], under: &mut String, found: &mut Vec<(&'a Figure, String)>) {
    for block in blocks {
        match block {
            Block::Heading { text, .. } => *under = text.iter().map(|span| span.text.as_str()).collect(),
            Block::Figure(figure) => {
                let words = match figure.caption.is_empty() {
                    true => format!("{under}: {}", figure.alt),
                    false => figure.caption.clone(),
                };
                found.push((figure, words));
            }
            _ => block.within().into_iter().for_each(|part| gather(part, under, found)),
        }
    }
}

/// Words up to the end of their first sentence: a full stop before a capital letter, which `No. 12` and `8.4` have not.
fn first_sentence(words: &str) -> &str {
    let capital = |rest: &str| rest.trim_start().chars().next().is_none_or(char::is_uppercase);
    let ends = |at: usize| words[at + 1..].is_empty() || words[at + 1..].starts_with(' ') && capital(&words[at + 1..]);
    let end = words.match_indices(['.', ';', '(']).find(|(at, sign)| *sign != "." || ends(*at));
    end.map_or(words, |(at, _)| &words[..at])
}

/// Words as part of a file's name: small letters, figures, hyphens; the first sentence, at most some sixty letters of it.
fn file_words(words: &str) -> String {
    let sentence = first_sentence(words);
    let mut name = String::new();
    for word in sentence.to_lowercase().split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty()) {
        if name.len() + word.len() > 60 {
            break;
        }
        if !name.is_empty() {
            name.push('-');
        }
        name.push_str(word);
    }
    name
}
