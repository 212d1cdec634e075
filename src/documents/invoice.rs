//! Invoices, requests for payment and credit notes: what is to be paid for a stage of an accepted job, and how it is paid.
//!
//! Given sums that were worked out and written down when the number was taken; gives a document. Which particulars stand on
//! an invoice for VAT is law: regulation 14 of the VAT Regulations 1995 (SI 1995/2518) as revised.
//!
//! What is asked for before any work is a request for payment and no invoice for VAT: under regulation 93, which holds where
//! building work is paid in stages, nothing is taxed before it is paid or invoiced (HMRC manuals VATTOS9105 and, of such
//! requests and the words "This is not a VAT invoice", VATTOS9165). So the firm owes no VAT on a deposit that never comes, and
//! the receipt for it is the invoice for VAT. A request that looked like an invoice would undo that: it shows no VAT apart
//! and no VAT number.

use super::cells::{cell, left, plain, right, row, strong, wide};
use super::letterhead::{self, Parties, Title};
use super::standing::IssueStanding;
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, wording, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, Row, RowKind, Span, Table};
use crate::pages::{fitting, listing};
use crate::pdf;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::Date;

/// What it is in the eyes of the law on VAT.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InvoiceForm {
    /// Of a firm that is not registered for VAT.
    Invoice,
    /// An invoice for VAT.
    VatInvoice,
    /// An invoice for VAT by which the customer accounts for it.
    ReverseCharge,
    /// A request for payment in advance: no invoice for VAT.
    Request,
}

impl InvoiceForm {
    /// Each, in the order of the type.
    pub const ALL: [InvoiceForm; 4] =
        [InvoiceForm::Invoice, InvoiceForm::VatInvoice, InvoiceForm::ReverseCharge, InvoiceForm::Request];

    /// As it is kept, and said on the terminal.
    pub const fn word(self) -> &'static str {
        match self {
            InvoiceForm::Invoice => "invoice",
            InvoiceForm::VatInvoice => "VAT invoice",
            InvoiceForm::ReverseCharge => "reverse charge invoice",
            InvoiceForm::Request => "request for payment",
        }
    }

    /// As it stands over the document.
    const fn title(self) -> &'static str {
        match self {
            InvoiceForm::Invoice => "Invoice",
            InvoiceForm::VatInvoice | InvoiceForm::ReverseCharge => "VAT invoice",
            InvoiceForm::Request => "Request for payment",
        }
    }

    /// Whether it shows VAT apart, at its rate.
    pub(super) const fn shows_vat(self) -> bool {
        matches!(self, InvoiceForm::VatInvoice | InvoiceForm::ReverseCharge)
    }
}

/// The stage that it is for, or a variation by itself.
#[derive(Debug, Clone, Copy)]
pub struct InvoicedStage<'a> {
    /// Its place, from 1; 0 of a variation.
    pub number: usize,
    /// Of how many.
    pub count: usize,
    /// When it is paid: `On completion`; or which variation it is.
    pub label: &'a str,
    /// Its part of the accepted price, or of the variation, %.
    pub share: Decimal,
}

/// A variation that is invoiced, by itself or with a stage.
#[derive(Debug, Clone, Copy)]
pub struct InvoicedVariation<'a> {
    /// Its number.
    pub number: &'a str,
    /// On which day it was agreed.
    pub on: Date,
    /// What was found, in short.
    pub what: &'a str,
    /// What it comes to.
    pub sums: InvoiceSums,
}

/// What the customer keeps back of an invoice.
#[derive(Debug, Clone, Copy)]
pub struct KeptBack {
    /// How much of it, %.
    pub rate: Decimal,
    /// Until which day, as it is expected.
    pub until: Date,
    /// What that comes to.
    pub sums: InvoiceSums,
    /// What is kept back of this and of all before it.
    pub in_all: Money,
}

/// What was done on the day of a variation.
pub const AGREED: &str = "agreed";

/// A change of the price that was agreed after the quote was accepted.
#[derive(Debug, Clone)]
pub struct PriceChange {
    /// What.
    pub words: String,
    /// What was done on that day: it was agreed, or cancelled.
    pub how: String,
    /// On which day.
    pub on: Date,
    /// What it adds or saves.
    pub amount: Money,
}

impl PriceChange {
    /// The row that it takes under the accepted price.
    pub fn row(&self) -> Row {
        let what = format!("{}, {} on {}", self.words, self.how, wording::date(self.on));
        plain(vec![cell(what), cell(wording::money(self.amount))])
    }
}

/// The quote that was accepted.
#[derive(Debug, Clone, Copy)]
pub struct AcceptedQuote<'a> {
    /// Its revision.
    pub revision: &'a str,
    /// On which day.
    pub on: Date,
    /// What it comes to.
    pub total: Money,
}

/// An invoice that came before.
#[derive(Debug, Clone, Copy)]
pub struct EarlierInvoice<'a> {
    /// Its number.
    pub number: &'a str,
    /// Of which day.
    pub on: Date,
    /// What it was for.
    pub label: &'a str,
    /// How much.
    pub total: Money,
    /// What of it is still to be paid, where it was a request for payment: its VAT falls due when it is paid.
    pub unpaid_request: Option<Money>,
    /// By when it was to be paid, where it is not paid whole, and what of it is open.
    pub open: Option<(Date, Money)>,
}

/// What a credit note takes back.
#[derive(Debug, Clone, Copy)]
pub struct CreditedInvoice<'a> {
    /// The invoice's number.
    pub number: &'a str,
    /// The invoice's date.
    pub on: Date,
    /// Why.
    pub because: &'a str,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct InvoiceView<'a> {
    /// Who writes to whom.
    pub parties: Parties<'a>,
    /// What it is.
    pub form: InvoiceForm,
    /// Its number; none while it is a draft.
    pub number: Option<&'a str>,
    /// The tax point, where it is not the date. An invoice for VAT shows both (regulation 14(1)(b) and (c)).
    pub tax_point: Option<Date>,
    /// The last day on which it is paid in time.
    pub due: Date,
    /// What it is for.
    pub stage: InvoicedStage<'a>,
    /// The variations that it is for besides the stage, or in its place.
    pub variations: Vec<InvoicedVariation<'a>>,
    /// What the customer keeps back of all that, which is no part of its sums.
    pub kept_back: Option<KeptBack>,
    /// It asks for what was kept back of those before it.
    pub releases: bool,
    /// It asks for what was done until the contract was cancelled.
    pub done: bool,
    /// The day on which the contract was cancelled.
    pub cancelled: Option<Date>,
    /// What it all comes to.
    pub sums: InvoiceSums,
    /// The rate of VAT, %.
    pub rate: Decimal,
    /// The quote.
    pub accepted: AcceptedQuote<'a>,
    /// What was agreed since.
    pub changes: Vec<PriceChange>,
    /// What was invoiced before and stands.
    pub before: Vec<EarlierInvoice<'a>>,
    /// What is left to be invoiced after this.
    pub left: Money,
    /// What was paid before.
    pub paid: Money,
    /// What of that stood to the customer's credit, and is set against this.
    pub credit: Money,
    /// What it takes back, where it is a credit note.
    pub credits: Option<CreditedInvoice<'a>>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
}

impl InvoiceView<'_> {
    fn title(&self) -> &'static str {
        if self.credits.is_some() { "Credit note" } else { self.form.title() }
    }

    /// What is still to be paid of it.
    pub(super) fn to_pay(&self) -> Money {
        self.sums.total - self.credit
    }

    /// What it is for, line by line: words, how much of it, and what that comes to.
    pub(super) fn parts(&self) -> Vec<(String, String, InvoiceSums)> {
        let varied =
            self.variations.iter().map(|variation| variation.sums).fold(InvoiceSums::default(), InvoiceSums::with);
        let kept = self.kept_back.map_or_else(InvoiceSums::default, |kept| kept.sums);
        let stage = (self.stage.number > 0 || self.variations.is_empty()).then(|| {
            let what = match self.releases || self.done {
                true => format!("{}, of {}", self.stage.label, of_the_price(self.parties, self.accepted)),
                false => description(self.parties, self.stage, self.accepted),
            };
            let extent = match (self.stage.number > 0, self.done) {
                (false, true) => {
                    format!("{}% of the price", wording::rounded(self.stage.share, 2)).replace(' ', "\u{a0}")
                }
                (true, _) => share(self.stage),
                (false, false) => "all of it".to_owned(),
            };
            (what, extent, self.sums.with(kept).without(varied))
        });
        let kept = self.kept_back.map(|kept| {
            let what = format!("Kept back by you until {}", wording::date(kept.until));
            (what, format!("{}% of that", wording::number(kept.rate)), InvoiceSums::default().without(kept.sums))
        });
        let varied = self.variations.iter().map(|variation| {
            let of = format!("Variation order {}, agreed on {}", variation.number, wording::date(variation.on));
            let what = match self.stage.number {
                0 => description(
                    self.parties,
                    InvoicedStage { label: &format!("{of}: {}", variation.what), ..self.stage },
                    self.accepted,
                ),
                _ => format!("{of}: {}", variation.what),
            };
            (what, "all of it".to_owned(), variation.sums)
        });
        stage.into_iter().chain(varied).chain(kept).collect()
    }
}

/// Makes `invoice.pdf`, or `credit.pdf`, in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates; a character that no font has.
pub fn make(view: &InvoiceView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    let name = if view.credits.is_some() { "credit.pdf" } else { "invoice.pdf" };
    Ok(Finished { name: name.to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(view: &InvoiceView<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(listing::describe(&fitting::lay_out_in(fonts, &document(view, &words)?)?))
}

fn document(view: &InvoiceView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("invoice.md", &vocabulary(view), &places(view))?;
    let kind = view.title();
    let title = Title {
        kind,
        reference: view.number.map_or_else(|| kind.to_owned(), |number| format!("{kind} {number}")),
        subject: format!("{kind} for a glass-fibre flat roof for {}", view.parties.customer.name),
        text_size: 10.0,
        fitting: Fitting::OnePageFrom(8.5),
    };
    let mut document = match view.parties.standing {
        IssueStanding::Draft => letterhead::standing_document(view.parties, title, blocks, words)?,
        _ => letterhead::document(view.parties, title, blocks),
    };
    document.footer = letterhead::footer(view.parties, kind, view.number.unwrap_or(view.parties.reference));
    Ok(document)
}

pub(super) fn vocabulary(view: &InvoiceView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    let bank = view.parties.firm.bank.as_ref();
    let credits = view.credits;
    v.facts();
    v.facts()
        .text("document", view.title())
        .maybe("number", view.number)
        .text("due", wording::date(view.due))
        .text("total", wording::money(view.sums.total))
        .text("to_pay_now", wording::money(view.to_pay()))
        .maybe("credit", (view.credit > Money::ZERO).then(|| wording::money(view.credit)))
        .yes("cancelled", view.cancelled.is_some())
        .yes("request", view.form == InvoiceForm::Request)
        .yes("vat_invoice", view.form.shows_vat())
        .yes("unregistered", view.form == InvoiceForm::Invoice)
        .maybe("unpaid_requests", unpaid_requests(view))
        .yes("request_by_customer", view.form == InvoiceForm::Request && view.sums.by_customer > Money::ZERO)
        .yes("reverse_charge", view.form == InvoiceForm::ReverseCharge)
        .text("vat_rate", wording::number(view.rate))
        .text("vat_by_customer", wording::money(view.sums.by_customer))
        .maybe("customer_vat_number", view.customer_vat_number)
        .maybe("credited_number", credits.map(|c| c.number))
        .maybe("credited_date", credits.map(|c| wording::date(c.on)))
        .maybe("credited_because", credits.map(|c| wording::sentence(c.because)))
        .yes("to_pay", credits.is_none() && view.to_pay() > Money::ZERO)
        .yes("bank", bank.is_some())
        .texts("payment", &view.parties.firm.payment.iter().map(|l| wording::sentence(l)).collect::<Vec<_>>());
    v
}

/// What of earlier requests for payment is not paid, where this charges VAT: `£1,546.58 of 26-041-INV-1`.
fn unpaid_requests(view: &InvoiceView<'_>) -> Option<String> {
    let taxes = view.credits.is_none() && view.form.shows_vat();
    let one = |earlier: &EarlierInvoice<'_>| {
        Some(format!("{} of {}", wording::money(earlier.unpaid_request?), earlier.number))
    };
    let all: Vec<String> = view.before.iter().filter(|_| taxes).filter_map(one).collect();
    (!all.is_empty()).then(|| wording::list(&all))
}

fn places(view: &InvoiceView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("amount", amount(view));
    put("lines", Block::Table(lines(view)));
    put("standing", Block::Table(standing(view)));
    put("bank", bank(view));
    places
}

fn facts(view: &InvoiceView<'_>) -> Block {
    let parties = view.parties;
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let to = parties.customer_facts("To", view.customer_vat_number);
    let number = view.number.map_or_else(|| cell("Draft, no number"), strong);
    // An invoice for VAT shows the day of issue and the tax point, which are one most often.
    let point = (view.form.shows_vat() && view.credits.is_none()).then(|| view.tax_point.unwrap_or(parties.date));
    let day = if point == Some(parties.date) { "Date, tax point" } else { "Date" };
    let mut facts = vec![fact("Number", number), fact(day, cell(wording::date(parties.date)))];
    let other = point.filter(|point| *point != parties.date);
    facts.extend(other.map(|point| fact("Tax point", cell(wording::date(point)))));
    if view.form.shows_vat() {
        facts.extend(parties.firm.vat_number.as_ref().map(|number| fact("Our VAT number", cell(number))));
    }
    match view.credits {
        Some(credited) => {
            let of = format!("{} of {}", credited.number, wording::date(credited.on));
            facts.push(fact("Credits", cell(of)));
        }
        None => facts.push(fact("Pay by", strong(wording::date(view.due)))),
    }
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

fn amount(view: &InvoiceView<'_>) -> Block {
    let (label, note) = match (view.credits, view.form) {
        (Some(credited), _) => {
            let over = view.paid - view.before.iter().map(|earlier| earlier.total).sum::<Money>();
            let back = match over > Money::ZERO {
                true if view.cancelled.is_some() => {
                    format!("{} of what you have paid stands to your credit.", wording::money(over))
                }
                true => format!(
                    "{} of what you have paid we pay back or count towards what we ask for next.",
                    wording::money(over)
                ),
                false => "Nothing is paid back: it was not paid.".to_owned(),
            };
            ("Credited to you".to_owned(), format!("Invoice {} is cancelled in full. {back}", credited.number))
        }
        (None, form) => {
            let note = match form {
                InvoiceForm::VatInvoice => "VAT included.",
                InvoiceForm::ReverseCharge => "No VAT is charged: you account for it to HMRC.",
                InvoiceForm::Invoice => "We are not registered for VAT: none is added.",
                InvoiceForm::Request if view.sums.by_customer > Money::ZERO => {
                    "A payment in advance, no VAT charged: you account for it to HMRC."
                }
                InvoiceForm::Request => "A payment in advance, VAT included.",
            };
            let besides = still_open(view).map(|open| besides(view, open));
            let label = match view.to_pay() > Money::ZERO {
                true => format!("To pay by {}", wording::date(view.due)),
                false => "To pay".to_owned(),
            };
            let credit = (view.credit > Money::ZERO)
                .then(|| format!(" {} that stood to your credit is taken off.", wording::money(view.credit)));
            (label, [note.to_owned(), credit.unwrap_or_default(), besides.unwrap_or_default()].concat())
        }
    };
    Block::Headline { label, figure: wording::money(view.to_pay()), note }
}

/// What is owed in all where something of what was asked for before is open, and since when that is overdue.
fn besides(view: &InvoiceView<'_>, open: Money) -> String {
    let late = || view.before.iter().filter_map(|earlier| earlier.open).filter(|(due, _)| *due < view.parties.date);
    let since = late().map(|(due, _)| due).min();
    let overdue: Money = late().map(|(_, left)| left).sum();
    let (all, open_words) = (wording::money(view.to_pay() + open), wording::money(open));
    match since {
        Some(due) if overdue >= open => format!(
            " In all you owe us {all}: {open_words} of what we asked for before was due on {}.",
            wording::date(due)
        ),
        Some(due) => format!(
            " In all you owe us {all}: {open_words} of what we asked for before is still open, {} of it since {}.",
            wording::money(overdue),
            wording::date(due)
        ),
        None => format!(" In all you owe us {all}: {open_words} of what we asked for before is still open."),
    }
}

/// What the price was accepted for.
fn of_the_price(parties: Parties<'_>, accepted: AcceptedQuote<'_>) -> String {
    format!(
        "the price of our quotation {} revision {}, accepted on {}: glass-fibre flat roof, {}, at {}",
        parties.reference,
        accepted.revision,
        wording::date(accepted.on),
        parties.title,
        parties.site.join(", ")
    )
}

/// What was done, in words that tell it from any other supply.
pub(super) fn description(parties: Parties<'_>, stage: InvoicedStage<'_>, accepted: AcceptedQuote<'_>) -> String {
    if stage.number == 0 {
        return format!(
            "{}. Glass-fibre flat roof, {}, at {}, in addition to our quotation {} revision {}",
            stage.label,
            parties.title,
            parties.site.join(", "),
            parties.reference,
            accepted.revision
        );
    }
    let of = if stage.count > 1 {
        format!("Payment {} of {}: {} ", stage.number, stage.count, wording::sentence(stage.label))
    } else {
        String::new()
    };
    format!(
        "{of}Glass-fibre flat roof, {}, at {}, as in our quotation {} revision {}, accepted on {}",
        parties.title,
        parties.site.join(", "),
        parties.reference,
        accepted.revision,
        wording::date(accepted.on)
    )
}

/// A part of the price, or of a variation, in words.
pub(super) fn share(stage: InvoicedStage<'_>) -> String {
    let of = if stage.number == 0 { "it" } else { "the price" };
    format!("{}% of {of}", wording::rounded(stage.share, 2)).replace(' ', "\u{a0}")
}

fn lines(view: &InvoiceView<'_>) -> Table {
    let sums = view.sums;
    let credited = view.credits.is_some();
    if !view.form.shows_vat() {
        let total = match (credited, view.credit > Money::ZERO) {
            (true, _) => "Credited",
            (false, true) => "Total",
            (false, false) => "To pay",
        };
        let one = |(what, extent, sums): (String, String, InvoiceSums)| {
            plain(vec![cell(what), cell(extent), cell(wording::money(sums.total))])
        };
        let mut rows: Vec<Row> = view.parts().into_iter().map(one).collect();
        rows.push(total_row(total, 2, sums.total));
        rows.extend(less_credit(view, 2));
        return Table { columns: vec![wide("What", 1), left("Part"), right("Amount")], rows, header: true };
    }
    let total = match (credited, view.form == InvoiceForm::ReverseCharge, view.credit > Money::ZERO) {
        (true, ..) => "Credited",
        (false, true, true) => "Total, no VAT charged",
        (false, true, false) => "To pay, no VAT charged",
        (false, false, true) => "Total, VAT included",
        (false, false, false) => "To pay, VAT included",
    };
    let mut table = vat_lines(view.parts(), sums, view.rate, total);
    table.rows.extend(less_credit(view, 3));
    table
}

/// What stands to the customer's credit, taken off the total, and what is then to be paid.
fn less_credit(view: &InvoiceView<'_>, before: usize) -> Vec<Row> {
    if view.credit == Money::ZERO {
        return Vec::new();
    }
    let credit = wide_row("To your credit, from what you have paid", before, wording::money(-view.credit));
    vec![plain(credit), total_row("To pay now", before, view.to_pay())]
}

/// Lines, each with its rate and its amount without VAT, and what the VAT and the total come to. VAT that the customer accounts
/// for stands beside its words, not in the column that is added up.
pub(super) fn vat_lines(
    parts: Vec<(String, String, InvoiceSums)>,
    sums: InvoiceSums,
    percent: Decimal,
    total: &str,
) -> Table {
    let rate = format!("{}%", wording::number(percent));
    let one = |(what, extent, part): (String, String, InvoiceSums)| {
        plain(vec![cell(what), cell(extent), cell(rate.clone()), cell(wording::money(part.net))])
    };
    let mut rows: Vec<Row> = parts.into_iter().map(one).collect();
    rows.push(plain(wide_row("Total without VAT", 3, wording::money(sums.net))));
    if sums.by_customer > Money::ZERO {
        let due = wording::money(sums.by_customer);
        rows.push(plain(wide_row(&format!("VAT at {rate}, for you to account for to HMRC: {due}"), 3, "–".into())));
        rows.push(plain(wide_row("Total VAT charged", 3, wording::money(sums.vat))));
    } else {
        let own = sums.net.percent(percent).to_penny() == sums.vat;
        let why = if own { "" } else { ", rounded so that all payments come to the price" };
        let label = format!("VAT at {rate} on {}{why}", wording::money(sums.net));
        rows.push(plain(wide_row(&label, 3, wording::money(sums.vat))));
    }
    rows.push(total_row(total, 3, sums.total));
    let columns = vec![wide("What", 1), left("Part"), left("VAT rate"), right("Without VAT")];
    Table { columns, rows, header: true }
}

/// A label, then blank cells up to the amount.
pub(super) fn wide_row(label: &str, before: usize, amount: String) -> Vec<Vec<Span>> {
    let mut cells = vec![cell(label)];
    cells.resize(before, Vec::new());
    cells.push(cell(amount));
    cells
}

pub(super) fn total_row(label: &str, before: usize, amount: Money) -> Row {
    let mut cells = vec![strong(label)];
    cells.resize(before, Vec::new());
    cells.push(strong(wording::money(amount)));
    row(RowKind::Total, cells)
}

/// The price, what of it was invoiced before, this, and what is left.
fn standing(view: &InvoiceView<'_>) -> Table {
    let pair = |what: String, sum: Money| plain(vec![cell(what), cell(wording::money(sum))]);
    let mut rows =
        vec![pair(format!("The price that you accepted on {}", wording::date(view.accepted.on)), view.accepted.total)];
    rows.extend(view.changes.iter().map(PriceChange::row));
    if let Some(on) = view.cancelled {
        let whole = view.accepted.total + view.changes.iter().map(|change| change.amount).sum::<Money>();
        rows.push(pair(format!("Cancelled on {}", wording::date(on)), -whole));
        if view.done && view.credits.is_none() {
            rows.push(pair("What was done and supplied until then".to_owned(), view.sums.total));
        }
    }
    for earlier in view.before.iter().filter(|_| view.cancelled.is_none()) {
        let what = format!("{} of {}, {}", earlier.number, wording::date(earlier.on), earlier.label);
        rows.push(pair(format!("Asked for before: {what}"), -earlier.total));
    }
    if view.credits.is_none() {
        rows.push(pair("This one".to_owned(), -view.sums.total));
    }
    rows.push(total_row("Still to be asked for", 1, view.left));
    if let Some(kept) = view.kept_back.filter(|_| view.credits.is_none()) {
        let what = format!("Of that you keep back until {}", wording::date(kept.until));
        rows.push(pair(what, kept.in_all));
    }
    if view.paid > Money::ZERO {
        rows.push(pair("You have paid so far".to_owned(), view.paid));
    }
    if let Some(open) = still_open(view) {
        rows.push(pair("Still open of what was asked for before".to_owned(), open));
    }
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}

/// What is not paid yet of what was asked for before and stands; none where a part of it is kept back.
fn still_open(view: &InvoiceView<'_>) -> Option<Money> {
    let is_told = view.kept_back.is_none() && (view.credits.is_some() || view.stage.number > 0);
    let open = view.before.iter().map(|earlier| earlier.total).sum::<Money>() - view.paid;
    Some(open).filter(|open| is_told && *open > Money::ZERO)
}

fn bank(view: &InvoiceView<'_>) -> Block {
    bank_box(view.parties, view.number.unwrap_or(view.parties.reference), view.to_pay())
}

/// The firm's account, what is paid into it, and under which reference.
pub(super) fn bank_box(parties: Parties<'_>, reference: &str, sum: Money) -> Block {
    let Some(bank) = parties.firm.bank.as_ref() else { return Block::Facts(Vec::new()) };
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let account = vec![
        fact("Account name", strong(&bank.name)),
        fact("Sort code", strong(&bank.sort_code)),
        fact("Account number", strong(&bank.number)),
    ];
    let say = vec![fact("Amount", strong(wording::money(sum))), fact("Reference", strong(reference))];
    Block::Columns(vec![vec![Block::Facts(account)], vec![Block::Facts(say)]])
}
