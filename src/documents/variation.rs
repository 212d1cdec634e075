//! The variation order: what was found on site, at which rates, what becomes of the price and of the days, to be signed by both.
//!
//! Given lines and sums that were worked out and written down when the number was taken; gives a document.

use super::cells::{cell, left, plain, right, strong, wide};
use super::invoice::{AcceptedQuote, PriceChange, total_row, wide_row};
use super::letterhead::{self, Parties, Title};
use super::standing::IssueStanding;
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, wording, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, Span, Table};
use crate::pages::{fitting, listing};
use crate::pdf;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use crate::pricing::variation::FoundUnit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::Date;

/// One line as it is printed.
#[derive(Debug, Clone, Copy)]
pub struct PrintedFind<'a> {
    /// What.
    pub what: &'a str,
    /// How much, in words: see [`how_much`].
    pub quantity: &'a str,
    /// What one costs, without VAT; nothing of a sum.
    pub rate: Option<Money>,
    /// The same with VAT, as the quote has its rates; nothing where the customer pays us none.
    pub rate_with_vat: Option<Money>,
    /// What it comes to, without VAT.
    pub amount: Money,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct VariationView<'a> {
    /// Who writes to whom.
    pub parties: Parties<'a>,
    /// Who signs besides the customer.
    pub co_signers: &'a [String],
    /// Its number; none while it is a draft.
    pub number: Option<&'a str>,
    /// The quote that it changes, with its own total.
    pub accepted: AcceptedQuote<'a>,
    /// What the customer is told of it besides.
    pub note: Option<&'a str>,
    /// The lines.
    pub lines: Vec<PrintedFind<'a>>,
    /// What they come to; below nothing where more is left out than added.
    pub sums: InvoiceSums,
    /// The firm is registered for VAT.
    pub registered: bool,
    /// The rate of VAT, %.
    pub rate: Decimal,
    /// What was agreed before.
    pub before: Vec<PriceChange>,
    /// Working days more on site.
    pub days: u32,
    /// The last day on site as it was expected, and as it is then, where they are known.
    pub finish: Option<[Date; 2]>,
    /// The first day on which it is begun where the customer does not ask that it be begun at once, if it is finished later for that.
    pub begun_unasked: Option<Date>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
}

/// How much of something, in words: `4 h`, `2.4 m²`, `1 × roll of 3 m`.
pub fn how_much(quantity: Decimal, unit: &FoundUnit) -> String {
    let (number, one) = (wording::number(quantity), quantity == Decimal::ONE);
    let counted = |word: &str| format!("{number} {word}{}", if one { "" } else { "s" });
    match unit {
        FoundUnit::Hours => format!("{number} h"),
        FoundUnit::Boards => counted("board"),
        FoundUnit::Visits => counted("visit"),
        FoundUnit::Named(unit) | FoundUnit::Packs(unit) if unit == "each" => number,
        FoundUnit::Named(unit) => format!("{number} {}", unit.replace("m2", "m²")),
        FoundUnit::Packs(pack) => format!("{number} × {pack}"),
        FoundUnit::Sum => "lump sum".to_owned(),
    }
}

/// Makes `variation.pdf` in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates; a character that no font has.
pub fn make(view: &VariationView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(Finished { name: "variation.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(view: &VariationView<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(listing::describe(&fitting::lay_out_in(fonts, &document(view, &words)?)?))
}

fn document(view: &VariationView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("variation.md", &vocabulary(view), &places(view))?;
    let kind = "Variation order";
    let title = Title {
        kind,
        reference: view.number.map_or_else(|| kind.to_owned(), |number| format!("{kind} {number}")),
        subject: format!("{kind} for a glass-fibre flat roof for {}", view.parties.customer.name),
        text_size: 10.0,
        fitting: Fitting::CardFrom(8.5),
    };
    let mut document = match view.parties.standing {
        IssueStanding::Draft => letterhead::standing_document(view.parties, title, blocks, words)?,
        _ => letterhead::document(view.parties, title, blocks),
    };
    document.footer = letterhead::footer(view.parties, kind, view.number.unwrap_or(view.parties.reference));
    Ok(document)
}

pub(super) fn vocabulary(view: &VariationView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    v.facts()
        .maybe("number", view.number)
        .text("accepted_revision", view.accepted.revision)
        .text("accepted_date", wording::date(view.accepted.on))
        .maybe("note", view.note.map(wording::sentence))
        .text("total", wording::money(without_sign(view.sums.total)))
        .yes("less", view.sums.total < Money::ZERO)
        .yes("vat", view.registered && view.sums.by_customer == Money::ZERO)
        .yes("unregistered", !view.registered)
        .texts("co_signers", view.co_signers)
        .text("first_signer", wording::first_signer(&view.parties.customer.name, view.co_signers))
        .yes("reverse_charge", view.sums.by_customer > Money::ZERO)
        .text("vat_by_customer", wording::money(view.sums.by_customer))
        .text("vat_rate", wording::number(view.rate));
    v
}

fn without_sign(sum: Money) -> Money {
    if sum < Money::ZERO { -sum } else { sum }
}

fn places(view: &VariationView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("amount", amount(view));
    put("lines", Block::Table(lines(view)));
    put("then", then(view));
    places
}

fn facts(view: &VariationView<'_>) -> Block {
    let parties = view.parties;
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let to = parties.customer_facts("To", view.customer_vat_number);
    let number = view.number.map_or_else(|| cell("Draft, no number"), strong);
    let facts =
        vec![fact("Number", number), fact("Date", cell(wording::date(parties.date))), fact("Job", cell(parties.title))];
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

fn amount(view: &VariationView<'_>) -> Block {
    let with_vat = view.registered && view.sums.by_customer == Money::ZERO;
    let label = if view.sums.total < Money::ZERO { "Comes off the price" } else { "Comes on top of the price" };
    let label = format!("{label}{}", if with_vat { ", VAT included" } else { "" });
    let paid = match view.sums.total < Money::ZERO {
        true => "It comes off the last payment of the quotation.",
        false => "You pay it with the last payment of the quotation, or on an invoice of its own once it is done.",
    };
    let note = format!("It holds from the day on which you sign it. {paid}");
    Block::Headline { label, figure: wording::money(without_sign(view.sums.total)), note }
}

/// Each thing with its rate, beside that with VAT as the quote has it, and what all of them come to.
fn lines(view: &VariationView<'_>) -> Table {
    let sums = view.sums;
    let both = view.lines.iter().any(|line| line.rate_with_vat.is_some());
    let before = if both { 4 } else { 3 };
    let one = |line: &PrintedFind<'_>| {
        let money = |sum: Option<Money>| cell(sum.map_or_else(String::new, wording::money));
        let with_vat = both.then(|| money(line.rate_with_vat));
        let rates = std::iter::once(money(line.rate)).chain(with_vat);
        let first = [cell(line.what), cell(line.quantity)];
        plain(first.into_iter().chain(rates).chain([cell(wording::money(line.amount))]).collect())
    };
    let mut rows: Vec<_> = view.lines.iter().map(one).collect();
    let (amount, rate) = (if view.registered { "Amount, before VAT" } else { "Amount" }, wording::number(view.rate));
    if view.registered {
        rows.push(plain(wide_row("All of it before VAT", before, wording::money(sums.net))));
        let reverse = sums.by_customer != Money::ZERO;
        rows.push(plain(match reverse {
            true => {
                let due = wording::money(sums.by_customer);
                wide_row(
                    &format!("VAT at {rate}%, reverse charge: {due}, for you to account for to HMRC"),
                    before,
                    "–".into(),
                )
            }
            false => {
                let label = format!("VAT at {rate}% on {}", wording::money(sums.net));
                wide_row(&label, before, wording::money(sums.vat))
            }
        }));
    }
    let total = match view.registered && sums.by_customer == Money::ZERO {
        true => "This order, VAT included",
        false => "This order",
    };
    rows.push(total_row(total, before, sums.total));
    let rates: &[&str] = match (both, view.registered) {
        (true, _) => &["Rate, before VAT", "Rate, VAT included"],
        (false, true) => &["Rate, before VAT"],
        (false, false) => &["Rate"],
    };
    let first = [wide("What", 1), left("How much")];
    let columns = first.into_iter().chain(rates.iter().map(|rate| right(rate))).chain([right(amount)]).collect();
    Table { columns, rows, header: true }
}

/// The accepted price, what was agreed since, this, and what it then comes to; and what becomes of the days.
fn then(view: &VariationView<'_>) -> Block {
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let money = |sum: Money| cell(wording::money(sum));
    let before: Money = view.before.iter().map(|change| change.amount).sum();
    let mut price = vec![fact("Price accepted", money(view.accepted.total))];
    let changes = view.before.iter().map(|change| fact(&change.words, money(change.amount)));
    price.extend(changes);
    price.push(fact("This order", money(view.sums.total)));
    let then = view.accepted.total + before + view.sums.total;
    let label =
        if view.registered && view.sums.by_customer == Money::ZERO { "New price with VAT" } else { "New price" };
    price.push(fact(label, strong(wording::money(then))));
    let more = match view.days {
        0 => "none".to_owned(),
        n => wording::plural(n as usize, "working day", "working days"),
    };
    let mut days = vec![fact("More on site", strong(more))];
    if let Some([was, then]) = view.finish {
        let finished = |day: Date| format!("finished {}", wording::day_and_date(day));
        if was != then {
            days.push(fact("Without this order", cell(finished(was))));
        }
        let label = if view.begun_unasked.is_some() { "If you tick below" } else { "With this order" };
        let as_before = if was == then { ", as before" } else { "" };
        days.push(fact(label, strong(format!("{}{as_before}", finished(then)))));
        let begun = view.begun_unasked.map(|day| format!("begun {} at the earliest", wording::day_and_date(day)));
        days.extend(begun.map(|words| fact("If you do not", strong(words))));
    }
    Block::Columns(vec![vec![Block::Facts(price)], vec![Block::Facts(days)]])
}
