//! The method statement, in two parts: the crew's set, one operation at a time, each with its hold point, steps, drawing,
//! limits and signature, then mix card, weather log and emergency; and the office's part, hazards, lifting, limits in the
//! air, waste, plan of the site, briefing. And the card of one day, for the pocket.
//!
//! Given what was worked; gives documents in two sizes of running text: that of the crew, and a lesser one for what is
//! read at a desk. No price and no hour stands in them.

mod crew;
mod day_boxes;
pub mod day_card;
mod day_pieces;
mod deck_words;
mod edge_cut_list;
mod firring_list;
mod layers;
mod materials;
mod office;
mod open_slopes;
mod parapet_list;
mod single;
mod stop_words;
mod trims;
mod vocabulary;

use self::vocabulary::vocabulary;
use super::WholeJob;
use super::letterhead::{self, Title};
use super::told_length;
use super::words::{Vocabulary, Words};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, Span};
use crate::pages::pointers;

/// Size of the crew's running text, pt: read at arm's length, on a ladder. Common practice, no source.
pub const CREW_SIZE: f64 = 11.5;

/// What is made of the method statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MethodPart {
    /// Both parts.
    Whole,
    /// What the crew works by.
    Crew,
    /// What is settled, briefed and filed.
    Office,
}

/// Makes the method statement.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn document(worked: &WholeJob<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    part(MethodPart::Whole, worked, words)
}

/// The words of the whole, without what stands between them.
///
/// # Errors
/// Whatever is wrong with the templates.
pub(super) fn text(worked: &WholeJob<'_>, words: &Words) -> Result<String, Vec<Problem>> {
    words.fill("method.md", &vocabulary_of(MethodPart::Whole, worked, words)?)
}

/// Every name that the template of a part may use.
fn vocabulary_of(part: MethodPart, worked: &WholeJob<'_>, words: &Words) -> Result<Vocabulary, Vec<Problem>> {
    let mut v = vocabulary(worked, words)?;
    v.yes("crew_set", part != MethodPart::Office).yes("office_part", part != MethodPart::Crew);
    Ok(v)
}

/// What the card is headed that tells where help is.
const EMERGENCY: &str = "Emergency";

/// The same blocks, of which the facts on page one say on which page help is found: that card stands where it leaves operations whole.
fn with_emergency(mut blocks: Vec<Block>) -> Vec<Block> {
    let facts = blocks.iter().position(|block| matches!(block, Block::Facts(_)));
    if let Some(facts) = facts.filter(|_| is_headed(&blocks, EMERGENCY))
        && let Block::Facts(facts) = &mut blocks[facts]
    {
        // Beside the address that is told to whoever is rung: a row of its own would cost some jobs a page.
        let pointer = pointers::page_of(EMERGENCY, &format!("{EMERGENCY}: page"));
        facts.iter_mut().take(1).for_each(|(_, value)| value.extend([Span::plain(" · "), pointer.clone()]));
    }
    blocks
}

/// Whether some of the blocks, or of those that stand in them, is a heading of these words.
fn is_headed(blocks: &[Block], words: &str) -> bool {
    let is_it = |text: &[Span]| text.iter().map(|span| span.text.as_str()).collect::<String>() == words;
    blocks.iter().any(|block| match block {
        Block::Heading { text, .. } => is_it(text),
        other => other.within().into_iter().any(|blocks| is_headed(blocks, words)),
    })
}

/// Makes the method statement, or one part of it.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn part(part: MethodPart, worked: &WholeJob<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    if let Some(problem) = told_length::too_long_to_read(worked) {
        return Err(vec![problem]);
    }
    let v = vocabulary_of(part, worked, words)?;
    let mut places = crew::places(worked, words)?;
    places.extend(office::places(worked));
    let blocks = with_emergency(words.blocks("method.md", &v, &places)?);
    let title = Title {
        kind: "Method statement",
        reference: format!("Site {}", worked.job.reference),
        subject: format!("Order of work and construction phase plan for {}", worked.job.title),
        text_size: CREW_SIZE,
        fitting: Fitting::TwoSizes,
    };
    letterhead::standing_document(worked.parties(), title, blocks, words)
}
