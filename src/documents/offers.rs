//! Options and extras in the quote: what may be chosen besides the work described, with boxes to tick.
//!
//! Given what the householder is asked to pay; gives tables and boxes for the quote. Every sum is printed as pricing gives it, VAT included,
//! and none of them is part of the total.

use super::cells::{cell, plain, right, row, wide};
use super::views::QuotedPrice;
use super::wording;
use crate::pages::block::{Block, RowKind, Span, Table};
use crate::pricing::options::{CombinationTotal, Show};
use crate::pricing::terms::ExtraKind;
use crate::pricing::{Money, Offer, OptionPrice, OptionTotals};

/// Whether there is anything to choose.
pub fn any(price: QuotedPrice<'_>) -> bool {
    !price.options.is_empty() || !price.offers.is_empty()
}

/// What there is to choose, and under it one table of all of it; nothing where there is nothing to choose.
pub fn tables(price: QuotedPrice<'_>) -> Vec<Block> {
    let (optional, provisional): (Vec<&Offer>, Vec<&Offer>) =
        price.offers.iter().partition(|o| o.kind == ExtraKind::Optional);
    let options = price.options.iter().map(|o| [option_with_words(o), option_price(o)]).collect();
    let of = |offers: &[&Offer]| offers.iter().map(|offer| offer_row(offer)).collect();
    let kinds: [(&str, &str, Vec<[String; 2]>); 3] = [
        ("Options", otherwise(price), options),
        ("Optional extras", "Optional extras we do besides, if you wish.", of(&optional)),
        (
            "Provisional sums",
            "Provisional sums are for work whose size nobody can know yet: we agree it and its price with you before we \
             do it.",
            of(&provisional),
        ),
    ];
    let kinds: Vec<_> = kinds.into_iter().filter(|(.., rows)| !rows.is_empty()).collect();
    if kinds.is_empty() {
        return Vec::new();
    }
    let alone = price.options.iter().any(|o| o.show == Show::Total && goes_with_more(o, price)).then_some(ALONE);
    let said = [NOT_IN_THE_TOTAL].into_iter().chain(kinds.iter().map(|(_, words, _)| *words)).chain(alone);
    let words = said.filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" ");
    let rows = |(name, _, rows): (&str, &str, Vec<[String; 2]>)| {
        let head = row(RowKind::Group, vec![cell(name), cell("")]);
        let rows = rows.into_iter().map(|row| plain(row.into_iter().map(cell).collect()));
        std::iter::once(head).chain(rows).collect::<Vec<_>>()
    };
    let heading = if price.charges_vat { "VAT included" } else { "Price" };
    let rows = kinds.into_iter().flat_map(rows).collect();
    vec![paragraph(&words), Block::Table(Table { columns: vec![wide("What", 1), right(heading)], rows, header: true })]
}

/// What stands first in the words over the table.
const NOT_IN_THE_TOTAL: &str = "None of this is in the total.";

/// What is said of the total of an option beside which more can be ticked.
const ALONE: &str = "“In all” is with nothing else ticked but what the choice needs.";

/// What is said of the options.
fn otherwise(price: QuotedPrice<'_>) -> &'static str {
    match price.option_totals {
        OptionTotals::NoOption => "",
        OptionTotals::Each(_) => {
            "With an option the same roof is built otherwise than priced above; the total of every choice stands on the \
             page “Acceptance”."
        }
        OptionTotals::AddUp => {
            "With an option the same roof is built otherwise than priced above; where you choose several, what each adds \
             or takes off adds up."
        }
        OptionTotals::Unknown => {
            "With an option the same roof is built otherwise than priced above; each is priced alone, so ask us for the \
             price of several together."
        }
    }
}

/// The total of every set of options that can be had; no row where they are not listed.
pub fn totals(price: QuotedPrice<'_>, several_sign: bool) -> Table {
    let heading = if price.charges_vat { "Total, VAT included" } else { "Total" };
    let each: &[CombinationTotal] = match price.option_totals {
        OptionTotals::Each(each) => each,
        _ => &[],
    };
    let row = |one: &CombinationTotal| {
        let taken = one.taken.iter().filter_map(|n| Some(wording::capital(&price.options.get(*n)?.label)));
        let taken: Vec<String> = taken.collect();
        let what = match taken.as_slice() {
            [] => "None of the options".to_owned(),
            names => names.join(" + "),
        };
        plain(vec![cell(what), cell(wording::money(one.total))])
    };
    Table {
        columns: vec![
            wide(if several_sign { "Options that we have ticked" } else { "Options that I have ticked" }, 1),
            right(heading),
        ],
        rows: each.iter().map(row).collect(),
        header: true,
    }
}

/// Whether an optional extra can be ticked, which adds to the total whatever options are taken.
pub fn any_extra_to_tick(price: QuotedPrice<'_>) -> bool {
    price.offers.iter().any(|o| o.kind == ExtraKind::Optional)
}

/// Whether the total with what is ticked stands nowhere, so that it is written in.
pub fn sum_to_write(price: QuotedPrice<'_>) -> bool {
    let listed = matches!(price.option_totals, OptionTotals::Each(_));
    any_extra_to_tick(price) || !listed && !price.options.is_empty()
}

/// The boxes to tick: options and optional extras. A provisional sum is not chosen, it is met.
pub fn ticks(price: QuotedPrice<'_>) -> Vec<Block> {
    let lines: Vec<Vec<Span>> = boxes(price).into_iter().map(cell).collect();
    if lines.is_empty() { Vec::new() } else { vec![Block::Choices(lines)] }
}

/// What is said by ticking each of them: the options in their order, then the optional extras in theirs.
pub fn boxes(price: QuotedPrice<'_>) -> Vec<String> {
    let options =
        price.options.iter().map(|o| format!("{}: {}", wording::capital(&o.label), option_in_words(o, price)));
    let extras = price.offers.iter().filter(|o| o.kind == ExtraKind::Optional).map(|o| offer_row(o).join(": "));
    options.chain(extras).collect()
}

/// Whether there is anything to tick.
pub fn any_to_tick(price: QuotedPrice<'_>) -> bool {
    !ticks(price).is_empty()
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(vec![Span::plain(text)])
}

/// Its name and its price: an extra comes on top of the total, a provisional sum is only set aside.
fn offer_row(offer: &Offer) -> [String; 2] {
    let more = if offer.kind == ExtraKind::Optional { " more" } else { "" };
    [wording::capital(&offer.label), format!("{}{more}", wording::money(offer.total))]
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
    let named = |names: &[String]| wording::list(&names.iter().map(|name| format!("“{name}”")).collect::<Vec<_>>());
    let bound = [("Only together with", &option.needs), ("Not together with", &option.excludes)];
    let bound = bound.iter().filter(|(_, names)| !names.is_empty());
    let bound = bound.map(|(what, names)| format!(" {what} {}.", named(names)));
    let told: String = told.chain(bound).collect();
    let stop = if told.is_empty() { "" } else { "." };
    format!("{}{stop}{told}", wording::capital(&option.label))
}

/// Its price; where more can be ticked with an option that tells its total, that this is of it alone.
fn option_in_words(option: &OptionPrice, price: QuotedPrice<'_>) -> String {
    let alone = match option.show {
        Show::Total if !goes_with_more(option, price) => "",
        Show::Total if option.needs.is_empty() => ", if nothing else is ticked",
        Show::Total => ", with what it needs and nothing else",
        Show::Difference => "",
    };
    format!("{}{alone}", option_price(option))
}

/// `£120.00 more`, `£40.00 less`, `£5,120.00 in all`.
fn option_price(option: &OptionPrice) -> String {
    match option.show {
        Show::Total => format!("{} in all", wording::money(option.total)),
        Show::Difference if option.difference > Money::ZERO => format!("{} more", wording::money(option.difference)),
        Show::Difference if option.difference < Money::ZERO => format!("{} less", wording::money(-option.difference)),
        Show::Difference => "the same price".to_owned(),
    }
}

/// Whether anything can be ticked besides an option and what it needs, so that its total would no longer hold.
fn goes_with_more(option: &OptionPrice, price: QuotedPrice<'_>) -> bool {
    let excluded =
        |other: &OptionPrice| option.excludes.contains(&other.label) || other.excludes.contains(&option.label);
    let besides = |other: &&OptionPrice| other.label != option.label && !option.needs.contains(&other.label);
    any_extra_to_tick(price) || price.options.iter().filter(besides).any(|other| !excluded(other))
}
