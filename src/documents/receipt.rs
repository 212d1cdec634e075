//! The receipt for a payment; of one that was made in advance it is the invoice for VAT too.
//!
//! Given what was worked out and written down when the payment was recorded; gives a document. A payment before any invoice for
//! VAT is the tax point of what it pays for (VAT Regulations 1995, SI 1995/2518, regulation 93; HMRC manual VATTOS9165): the
//! receipt then holds what an invoice for VAT must.

use super::cells::{cell, plain, right, strong, wide};
use super::invoice::{AcceptedQuote, InvoicedStage, description, share, total_row, vat_lines};
use super::letterhead::{self, Parties, Title};
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, wording, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, Span, Table};
use crate::pages::{fitting, listing};
use crate::pdf;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::Date;

/// An invoice that is paid, whole or in part.
#[derive(Debug, Clone, Copy)]
pub struct PaidInvoice<'a> {
    /// Its number.
    pub number: &'a str,
    /// Its date.
    pub on: Date,
    /// How much it asked for.
    pub total: Money,
    /// Whether the receipt is the invoice for VAT of what it takes, since it was paid in advance.
    pub vat_invoice: bool,
    /// What had been paid for it before.
    pub before: Money,
    /// What of this payment it took.
    pub sums: InvoiceSums,
    /// What is still open on it.
    pub left: Money,
    /// The stage that it is for.
    pub stage: InvoicedStage<'a>,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct ReceiptView<'a> {
    /// Who writes to whom, on the day on which it is written.
    pub parties: Parties<'a>,
    /// Its number.
    pub number: &'a str,
    /// The day of the payment, which is the tax point of what was paid in advance.
    pub paid_on: Date,
    /// What was paid.
    pub amount: Money,
    /// How: `bank transfer`.
    pub by: &'a str,
    /// No new money came: it is what stood to the customer's credit.
    pub from_credit: bool,
    /// For what: what was named first, then what else was open and took a part of it.
    pub paid: Vec<PaidInvoice<'a>>,
    /// What was paid beyond all that.
    pub over: Money,
    /// The rate of VAT, %.
    pub rate: Decimal,
    /// The quote.
    pub accepted: AcceptedQuote<'a>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
}

impl<'a> ReceiptView<'a> {
    /// What was paid in advance: the receipt is the invoice for VAT of it.
    fn taxed(&self) -> impl Iterator<Item = &PaidInvoice<'a>> {
        self.paid.iter().filter(|paid| paid.vat_invoice)
    }

    fn is_vat_invoice(&self) -> bool {
        self.taxed().next().is_some()
    }

    /// What is paid in advance comes to.
    fn taxed_sums(&self) -> InvoiceSums {
        self.taxed().map(|paid| paid.sums).fold(InvoiceSums::default(), InvoiceSums::with)
    }

    /// What was received, or set against what was asked for.
    fn figure(&self) -> Money {
        if self.from_credit { self.taxed_sums().total } else { self.amount }
    }

    /// What is still open of what is paid a part of.
    fn open(&self) -> Option<&PaidInvoice<'a>> {
        self.paid.iter().find(|paid| paid.left > Money::ZERO)
    }
}

fn numbers<'a>(paid: impl Iterator<Item = &'a PaidInvoice<'a>>) -> String {
    wording::list(&paid.map(|paid| paid.number.to_owned()).collect::<Vec<_>>())
}

/// Makes `receipt.pdf` in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates; a character that no font has.
pub fn make(view: &ReceiptView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(Finished { name: "receipt.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(view: &ReceiptView<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(listing::describe(&fitting::lay_out_in(fonts, &document(view, &words)?)?))
}

fn kind(view: &ReceiptView<'_>) -> &'static str {
    if view.is_vat_invoice() { "Receipt and VAT invoice" } else { "Receipt" }
}

fn document(view: &ReceiptView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("receipt.md", &vocabulary(view), &places(view))?;
    let kind = kind(view);
    let title = Title {
        kind,
        reference: format!("{kind} {}", view.number),
        subject: format!("{kind} for {}", view.parties.customer.name),
        text_size: 10.0,
        fitting: Fitting::OnePageFrom(8.5),
    };
    let document = letterhead::document(view.parties, title, blocks);
    Ok(Document { footer: letterhead::footer(view.parties, kind, view.number), ..document })
}

pub(super) fn vocabulary(view: &ReceiptView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    let (vat_invoice, sums, open) = (view.is_vat_invoice(), view.taxed_sums(), view.open());
    let part = view.over > Money::ZERO || view.paid.iter().any(|paid| !paid.vat_invoice);
    v.facts();
    v.facts()
        .text("document", kind(view))
        .text("number", view.number)
        .text("amount", wording::money(view.figure()))
        .text("invoice_number", numbers(view.paid.iter()))
        .yes("several", view.paid.len() > 1)
        .text("requests", numbers(view.taxed()))
        .yes("several_requests", view.taxed().count() > 1)
        .yes("vat_invoice", vat_invoice)
        .yes("from_credit", view.from_credit)
        .yes("part", part)
        .yes("reverse_charge", vat_invoice && sums.by_customer > Money::ZERO)
        .text("vat_by_customer", wording::money(sums.by_customer))
        .text("vat_rate", wording::number(view.rate))
        .yes("open", open.is_some())
        .maybe("left", open.map(|paid| wording::money(paid.left)))
        .maybe("open_number", open.map(|paid| paid.number))
        .yes("overpaid", view.over > Money::ZERO)
        .text("over", wording::money(view.over));
    v
}

fn places(view: &ReceiptView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("amount", amount(view));
    put("standing", Block::Table(standing(view)));
    put("lines", Block::Table(lines(view)));
    places
}

fn facts(view: &ReceiptView<'_>) -> Block {
    let parties = view.parties;
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let from = parties.customer_facts("From", view.customer_vat_number);
    let of = |paid: &PaidInvoice<'_>| format!("{} of {}", paid.number, wording::date(paid.on));
    let mut facts = vec![
        fact("Number", strong(view.number)),
        fact("Date", cell(wording::date(parties.date))),
        fact(if view.from_credit { "Set off on" } else { "Paid on" }, cell(wording::date(view.paid_on))),
        fact("Paid by", cell(view.by)),
        fact("For", cell(wording::list(&view.paid.iter().map(of).collect::<Vec<_>>()))),
    ];
    if view.is_vat_invoice() {
        facts.push(fact("Tax point", cell(wording::date(view.paid_on))));
        facts.extend(parties.firm.vat_number.as_ref().map(|number| fact("Our VAT number", cell(number))));
    }
    Block::Columns(vec![vec![Block::Facts(from)], vec![Block::Facts(facts)]])
}

fn amount(view: &ReceiptView<'_>) -> Block {
    let note = |paid: &PaidInvoice<'_>| match paid.left > Money::ZERO {
        true => format!("{} is still to be paid for {}.", wording::money(paid.left), paid.number),
        false => format!("{} is paid in full.", paid.number),
    };
    let label = if view.from_credit { "Set against what we have asked for" } else { "Received, with thanks" };
    Block::Headline {
        label: label.to_owned(),
        figure: wording::money(view.figure()),
        note: view.paid.iter().map(note).collect::<Vec<_>>().join(" "),
    }
}

/// What was asked for, what had been paid, this payment, and what is open; of each that is paid.
fn standing(view: &ReceiptView<'_>) -> Table {
    let pair = |what: String, sum: Money| plain(vec![cell(what), cell(wording::money(sum))]);
    let on = wording::date(view.paid_on);
    let now = if view.from_credit { format!("Set off on {on}") } else { format!("Paid on {on}") };
    let mut rows = Vec::new();
    for paid in &view.paid {
        rows.push(pair(format!("{} asked for", paid.number), paid.total));
        if paid.before > Money::ZERO {
            rows.push(pair("Paid before".to_owned(), -paid.before));
        }
        rows.push(pair(now.clone(), -paid.sums.total));
        rows.push(total_row("Still to be paid", 1, paid.left));
    }
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}

/// What an invoice for VAT must show.
fn lines(view: &ReceiptView<'_>) -> Table {
    let sums = view.taxed_sums();
    let total = match sums.by_customer > Money::ZERO {
        true => "Paid, no VAT charged",
        false => "Paid, VAT included",
    };
    let one =
        |paid: &PaidInvoice<'_>| (description(view.parties, paid.stage, view.accepted), extent(view, paid), paid.sums);
    vat_lines(view.taxed().map(one).collect(), sums, view.rate, total)
}

/// How much of it was paid for: a payment of all that was asked for bears the share that was asked for; of any other the sums
/// say it more plainly than a share to the hundredth of a per cent.
fn extent(view: &ReceiptView<'_>, of: &PaidInvoice<'_>) -> String {
    if of.left == Money::ZERO && of.before == Money::ZERO {
        return share(of.stage);
    }
    let paid = wording::money(of.sums.total);
    match of.stage.number {
        0 => format!("{paid} of {}", wording::money(of.total)),
        _ => format!("{paid} of the price, {}", wording::money(view.accepted.total)),
    }
}
