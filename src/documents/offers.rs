//! Options and extras in the quote: what may be chosen besides the work described, with boxes to tick.
//!
//! Given what the householder is asked to pay; gives tables and boxes for the quote. Every sum is printed as pricing gives it, VAT included,
//! and none of them is part of the total.

use super::cells::{cell, plain, right, wide};
use super::views::QuotedPrice;
use super::wording;
use crate::pages::block::{Block, Span, Table};
use crate::pricing::options::Show;
use crate::pricing::terms::ExtraKind;
use crate::pricing::{Money, Offer, OptionPrice};

/// Whether there is anything to choose.
pub fn any(price: QuotedPrice<'_>) -> bool {
    !price.options.is_empty() || !price.offers.is_empty()
}

/// The tables, each under its own words; nothing where there is nothing to choose.
pub fn tables(price: QuotedPrice<'_>) -> Vec<Block> {
    let heading = if price.registered { "Price, VAT included" } else { "Price" };
    let mut blocks = Vec::new();
    if !price.options.is_empty() {
        blocks.push(paragraph(
            "Instead of what is priced above, the same roof can be built otherwise. Each option is priced alone; ask us \
             for the price of several together.",
        ));
        let rows = price.options.iter().map(|o| [option_with_words(o), option_in_words(o)]);
        blocks.push(table("Option", heading, rows.collect()));
    }
    let (optional, provisional): (Vec<&Offer>, Vec<&Offer>) =
        price.offers.iter().partition(|o| o.kind == ExtraKind::Optional);
    if !optional.is_empty() {
        blocks.push(paragraph("If you wish, we also do this. It is not in the total."));
        blocks.push(table("Optional extra", heading, optional.into_iter().map(offer_row).collect()));
    }
    if !provisional.is_empty() {
        blocks.push(paragraph(
            "These are provisional sums: nobody can know the size of this work yet. They are not in the total. We agree \
             the work and its price with you before we do it.",
        ));
        blocks.push(table("Provisional sum", heading, provisional.into_iter().map(offer_row).collect()));
    }
    blocks
}

/// The boxes to tick: options and optional extras. A provisional sum is not chosen, it is met.
pub fn ticks(price: QuotedPrice<'_>) -> Vec<Block> {
    let lines: Vec<Vec<Span>> = boxes(price).into_iter().map(cell).collect();
    if lines.is_empty() { Vec::new() } else { vec![Block::Choices(lines)] }
}

/// What is said by ticking each of them: the options in their order, then the optional extras in theirs.
pub fn boxes(price: QuotedPrice<'_>) -> Vec<String> {
    let options = price.options.iter().map(|o| format!("{}: {}", wording::capital(&o.label), option_in_words(o)));
    let optional = price.offers.iter().filter(|o| o.kind == ExtraKind::Optional);
    let extras = optional.map(|o| format!("{}: {} more", wording::capital(&o.label), wording::money(o.total)));
    options.chain(extras).collect()
}

/// Whether there is anything to tick.
pub fn any_to_tick(price: QuotedPrice<'_>) -> bool {
    !ticks(price).is_empty()
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(vec![Span::plain(text)])
}

fn table(what: &str, heading: &str, rows: Vec<[String; 2]>) -> Block {
    let rows = rows.into_iter().map(|row| plain(row.into_iter().map(cell).collect())).collect();
    Block::Table(Table { columns: vec![wide(what, 1), right(heading)], rows, header: true })
}

fn offer_row(offer: &Offer) -> [String; 2] {
    [wording::capital(&offer.label), wording::money(offer.total)]
}

/// An option's name, and what is said and left out otherwise with it.
fn option_with_words(option: &OptionPrice) -> String {
    let words = &option.words;
    let said = [
        ("No longer left out", &words.exclusions_gone),
        ("Left out then", &words.exclusions_new),
        ("Then also holds", &words.notes_new),
        ("No longer holds", &words.notes_gone),
    ];
    let told = said.iter().filter(|(_, texts)| !texts.is_empty()).map(|(what, texts)| {
        let texts: Vec<&str> = texts.iter().map(|text| text.trim().trim_end_matches('.')).collect();
        format!(" {what}: {}.", texts.join("; "))
    });
    let told: String = told.collect();
    let stop = if told.is_empty() { "" } else { "." };
    format!("{}{stop}{told}", wording::capital(&option.label))
}

/// `£120.00 more`, `£40.00 less`, `£5,120.00 in all`.
fn option_in_words(option: &OptionPrice) -> String {
    match option.show {
        Show::Total => format!("{} in all", wording::money(option.total)),
        Show::Difference if option.difference > Money::ZERO => format!("{} more", wording::money(option.difference)),
        Show::Difference if option.difference < Money::ZERO => format!("{} less", wording::money(-option.difference)),
        Show::Difference => "the same price".to_owned(),
    }
}
