//! What goes back of payments: a refund, a receipt that was recorded wrongly, or the VAT of an advance that is no longer asked for.
//!
//! Given what was worked out and written down when its number was taken; gives a document. Where receipts that are taken back were
//! the invoice for VAT, it is the credit note for it, with their numbers and days and what of net and VAT is credited (VAT
//! Regulations 1995, SI 1995/2518, regulation 15C, from memory).

use super::cells::{cell, plain, right, strong, wide};
use super::invoice::{AcceptedQuote, description, total_row, vat_lines};
use super::letterhead::{self, Parties, Title};
use super::receipt::PaidInvoice;
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, wording, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, Span, Table};
use crate::pdf;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::Date;

/// What goes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BackKind {
    /// A receipt or a refund that was recorded wrongly.
    Receipt,
    /// Money.
    Refund,
    /// VAT of what was paid in advance.
    Vat,
}

/// How an invoice stands once a receipt for it is taken back.
#[derive(Debug, Clone, Copy)]
pub struct InvoiceLeft<'a> {
    /// Its number.
    pub number: &'a str,
    /// How much it asked for.
    pub total: Money,
    /// What is still to be paid of it.
    pub left: Money,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct BackView<'a> {
    /// Who writes to whom, on the day on which it goes back.
    pub parties: Parties<'a>,
    /// Its number.
    pub number: &'a str,
    /// What goes back.
    pub kind: BackKind,
    /// How much less was paid by it; below nothing where a refund is taken back.
    pub amount: Money,
    /// How it was paid back: `bank transfer`.
    pub by: Option<&'a str>,
    /// Why.
    pub because: Option<&'a str>,
    /// The receipts that are taken back, or whose VAT is credited, each with its day.
    pub receipts: Vec<(&'a str, Date)>,
    /// Of what VAT is credited.
    pub credited: Vec<PaidInvoice<'a>>,
    /// How that stands for which a receipt that is taken back was.
    pub left: Vec<InvoiceLeft<'a>>,
    /// What stands to the customer's credit after it.
    pub credit: Money,
    /// The rate of VAT, %.
    pub rate: Decimal,
    /// The quote.
    pub accepted: AcceptedQuote<'a>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
}

impl BackView<'_> {
    fn title(&self) -> &'static str {
        match (self.kind, self.credited.is_empty()) {
            (BackKind::Refund, _) => "Refund",
            (BackKind::Vat, _) => "VAT credit note",
            (BackKind::Receipt, false) => "Receipt taken back and VAT credit note",
            (BackKind::Receipt, true) if self.amount < Money::ZERO => "Refund taken back",
            (BackKind::Receipt, true) => "Receipt taken back",
        }
    }

    /// What VAT is credited of comes to.
    fn sums(&self) -> InvoiceSums {
        self.credited.iter().map(|paid| paid.sums).fold(InvoiceSums::default(), InvoiceSums::with)
    }

    fn figure(&self) -> Money {
        match self.kind {
            BackKind::Vat => self.sums().total,
            BackKind::Receipt | BackKind::Refund => self.amount.max(-self.amount),
        }
    }

    fn receipt_numbers(&self) -> String {
        wording::list(&self.receipts.iter().map(|(number, _)| (*number).to_owned()).collect::<Vec<_>>())
    }
}

/// Makes `paid-back.pdf` in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates; a character that no font has.
pub fn make(view: &BackView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(Finished { name: "paid-back.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

fn document(view: &BackView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("paid-back.md", &vocabulary(view), &places(view))?;
    let kind = view.title();
    let title = Title {
        kind,
        reference: format!("{kind} {}", view.number),
        subject: format!("{kind} for {}", view.parties.customer.name),
        text_size: 10.0,
        fitting: Fitting::OnePageFrom(8.5),
    };
    // The foot of a page has room for the shorter of two names.
    let short = if view.credited.is_empty() { kind } else { "VAT credit note" };
    let document = letterhead::document(view.parties, title, blocks);
    Ok(Document { footer: letterhead::footer(view.parties, short, view.number), ..document })
}

pub(super) fn vocabulary(view: &BackView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    let (sums, invoices) = (view.sums(), view.credited.iter().map(|paid| paid.number.to_owned()));
    let left: Vec<String> = view.left.iter().map(|left| left.number.to_owned()).collect();
    v.facts();
    v.facts()
        .text("document", view.title())
        .text("number", view.number)
        .text("amount", wording::money(view.figure()))
        .yes("refund", view.kind == BackKind::Refund)
        .yes("taken_back", view.kind == BackKind::Receipt && view.amount > Money::ZERO)
        .yes("refund_taken_back", view.kind == BackKind::Receipt && view.amount < Money::ZERO)
        .yes("vat_credited", !view.credited.is_empty())
        .yes("by_customer", sums.by_customer > Money::ZERO)
        .text("receipts", view.receipt_numbers())
        .yes("several_receipts", view.receipts.len() > 1)
        .text("requests", wording::list(&invoices.collect::<Vec<_>>()))
        .maybe("because", view.because.map(wording::sentence))
        .maybe("paid_by", view.by)
        .yes("left", !left.is_empty())
        .text("left_numbers", wording::list(&left))
        .yes("several_left", left.len() > 1)
        .maybe("credit", (view.credit > Money::ZERO).then(|| wording::money(view.credit)));
    v
}

fn places(view: &BackView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("amount", amount(view));
    put("lines", Block::Table(lines(view)));
    put("standing", Block::Table(standing(view)));
    places
}

fn facts(view: &BackView<'_>) -> Block {
    let parties = view.parties;
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let to = parties.customer_facts("To", view.customer_vat_number);
    let on = if view.kind == BackKind::Refund { "Paid back on" } else { "Date" };
    let mut facts = vec![fact("Number", strong(view.number)), fact(on, cell(wording::date(parties.date)))];
    facts.extend(view.by.map(|by| fact("Paid by", cell(by))));
    let of = |(number, on): &(&str, Date)| format!("{number} of {}", wording::date(*on));
    let receipts = wording::list(&view.receipts.iter().map(of).collect::<Vec<_>>());
    match view.kind {
        BackKind::Receipt => facts.push(fact("Takes back", cell(receipts))),
        BackKind::Vat => facts.push(fact("Credits VAT of", cell(receipts))),
        BackKind::Refund => {}
    }
    if !view.credited.is_empty() {
        facts.extend(parties.firm.vat_number.as_ref().map(|number| fact("Our VAT number", cell(number))));
    }
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

fn amount(view: &BackView<'_>) -> Block {
    let label = match view.kind {
        BackKind::Refund => "Paid back to you",
        BackKind::Vat => "Credited, VAT included",
        BackKind::Receipt if view.amount < Money::ZERO => "Not paid back to you",
        BackKind::Receipt => "Not received",
    };
    let note = match view.credit > Money::ZERO {
        true => format!("{} stands to your credit.", wording::money(view.credit)),
        false => "Nothing more stands to your credit.".to_owned(),
    };
    Block::Headline { label: label.to_owned(), figure: wording::money(view.figure()), note }
}

/// What a credit note for VAT must show.
fn lines(view: &BackView<'_>) -> Table {
    let sums = view.sums();
    let one = |paid: &PaidInvoice<'_>| {
        let extent = format!("{} paid for {}", wording::money(paid.sums.total), paid.number);
        (description(view.parties, paid.stage, view.accepted), extent, paid.sums)
    };
    let total = if sums.by_customer > Money::ZERO { "Credited, no VAT charged" } else { "Credited, VAT included" };
    vat_lines(view.credited.iter().map(one).collect(), sums, view.rate, total)
}

fn standing(view: &BackView<'_>) -> Table {
    let pair = |what: String, sum: Money| plain(vec![cell(what), cell(wording::money(sum))]);
    let mut rows = Vec::new();
    for left in &view.left {
        rows.push(pair(format!("{} asked for", left.number), left.total));
        if left.left < left.total {
            rows.push(pair("Paid".to_owned(), left.left - left.total));
        }
        rows.push(total_row("Still to be paid", 1, left.left));
    }
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}
