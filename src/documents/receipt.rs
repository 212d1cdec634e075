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

/// The invoice that is paid.
#[derive(Debug, Clone, Copy)]
pub struct PaidInvoice<'a> {
    /// Its number.
    pub number: &'a str,
    /// Its date.
    pub on: Date,
    /// How much it asked for.
    pub total: Money,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct ReceiptView<'a> {
    /// Who writes to whom, on the day of the payment.
    pub parties: Parties<'a>,
    /// Its number.
    pub number: &'a str,
    /// Whether it is the invoice for VAT of what was paid in advance.
    pub vat_invoice: bool,
    /// What was paid.
    pub amount: Money,
    /// How: `bank transfer`.
    pub by: &'a str,
    /// For what.
    pub invoice: PaidInvoice<'a>,
    /// What had been paid for it before.
    pub before: Money,
    /// What of this payment the invoice took.
    pub sums: InvoiceSums,
    /// What is still open on it.
    pub left: Money,
    /// What was paid beyond it.
    pub over: Money,
    /// The stage that it is for.
    pub stage: InvoicedStage<'a>,
    /// The rate of VAT, %.
    pub rate: Decimal,
    /// The quote.
    pub accepted: AcceptedQuote<'a>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
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
    if view.vat_invoice { "Receipt and VAT invoice" } else { "Receipt" }
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

fn vocabulary(view: &ReceiptView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    v.facts();
    v.facts()
        .text("document", kind(view))
        .text("number", view.number)
        .text("amount", wording::money(view.amount))
        .text("invoice_number", view.invoice.number)
        .yes("vat_invoice", view.vat_invoice)
        .yes("reverse_charge", view.vat_invoice && view.sums.by_customer > Money::ZERO)
        .text("vat_by_customer", wording::money(view.sums.by_customer))
        .text("vat_rate", wording::number(view.rate))
        .yes("open", view.left > Money::ZERO)
        .text("left", wording::money(view.left))
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
    let (parties, customer) = (view.parties, view.parties.customer);
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let mut from = vec![fact("From", strong(&customer.name)), fact("Address", cell(customer.address.join(", ")))];
    from.extend(view.customer_vat_number.map(|number| fact("Their VAT number", cell(number))));
    from.push(fact("Work at", cell(parties.site.join(", "))));
    let mut facts = vec![
        fact("Number", strong(view.number)),
        fact("Paid on", cell(wording::date(parties.date))),
        fact("Paid by", cell(view.by)),
        fact("For", cell(format!("{} of {}", view.invoice.number, wording::date(view.invoice.on)))),
    ];
    if view.vat_invoice {
        facts.push(fact("Tax point", cell(wording::date(parties.date))));
        facts.extend(parties.firm.vat_number.as_ref().map(|number| fact("Our VAT number", cell(number))));
    }
    Block::Columns(vec![vec![Block::Facts(from)], vec![Block::Facts(facts)]])
}

fn amount(view: &ReceiptView<'_>) -> Block {
    let number = view.invoice.number;
    let note = match view.left > Money::ZERO {
        true => format!("{} is still to be paid for {number}.", wording::money(view.left)),
        false => format!("{number} is paid in full."),
    };
    Block::Headline { label: "Received, with thanks".to_owned(), figure: wording::money(view.amount), note }
}

/// What was asked for, what had been paid, this payment, and what is open.
fn standing(view: &ReceiptView<'_>) -> Table {
    let pair = |what: String, sum: Money| plain(vec![cell(what), cell(wording::money(sum))]);
    let mut rows = vec![pair(format!("{} asked for", view.invoice.number), view.invoice.total)];
    if view.before > Money::ZERO {
        rows.push(pair("Paid before".to_owned(), -view.before));
    }
    rows.push(pair(format!("Paid on {}", wording::date(view.parties.date)), -(view.amount - view.over)));
    rows.push(total_row("Still to be paid", 1, view.left));
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}

/// What an invoice for VAT must show.
fn lines(view: &ReceiptView<'_>) -> Table {
    let what = description(view.parties, view.stage, view.accepted);
    let total = match view.sums.by_customer > Money::ZERO {
        true => "Paid, no VAT charged",
        false => "Paid, VAT included",
    };
    vat_lines(vec![(what, extent(view), view.sums)], view.sums, view.rate, total)
}

/// How much of it was paid for: a payment of all that was asked for bears the share that was asked for; of any other the sums
/// say it more plainly than a share to the hundredth of a per cent.
fn extent(view: &ReceiptView<'_>) -> String {
    if view.left == Money::ZERO && view.before == Money::ZERO {
        return share(view.stage);
    }
    let paid = wording::money(view.sums.total);
    match view.stage.number {
        0 => format!("{paid} of {}", wording::money(view.invoice.total)),
        _ => format!("{paid} of the price, {}", wording::money(view.accepted.total)),
    }
}
