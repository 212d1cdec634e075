//! The statement of account: what was agreed, asked for and paid, day by day, and what is open.
//!
//! Given entries with their balances; gives a document. It is made anew whenever it is asked for, and is no invoice.

use super::cells::{cell, left, plain, right, row, strong, wide};
use super::invoice::{AcceptedQuote, PriceChange, bank_box, total_row};
use super::letterhead::{self, Parties, Title};
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, wording, words_and_fonts};
use crate::model::Problem;
use crate::pages::block::{Block, Document, Fitting, RowKind, Span, Table};
use crate::pages::{fitting, listing};
use crate::pdf;
use crate::pricing::Money;
use std::collections::BTreeMap;
use time::Date;

/// What an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// Asked for, with or without VAT.
    Charge,
    /// Taken back by a credit note.
    Credit,
    /// Paid.
    Payment,
    /// A payment, or a refund, that was recorded wrongly.
    TakenBack,
    /// Paid back.
    Refund,
}

impl EntryKind {
    /// Each, in the order of the type.
    pub const ALL: [EntryKind; 5] =
        [EntryKind::Charge, EntryKind::Credit, EntryKind::Payment, EntryKind::TakenBack, EntryKind::Refund];

    /// As it is kept, and said to other programs.
    pub const fn word(self) -> &'static str {
        match self {
            EntryKind::Charge => "invoice",
            EntryKind::Credit => "credit",
            EntryKind::Payment => "payment",
            EntryKind::TakenBack => "taken back",
            EntryKind::Refund => "refund",
        }
    }
}

/// One line of the account.
#[derive(Debug, Clone)]
pub struct AccountLine<'a> {
    /// Of which day.
    pub on: Date,
    /// What it is.
    pub kind: EntryKind,
    /// Its number.
    pub number: &'a str,
    /// What it is for: a stage, or the number of what is credited or paid.
    pub of: &'a str,
    /// How much.
    pub amount: Money,
    /// What is owed after it; below nothing where more was paid.
    pub balance: Money,
}

/// What is open of one charge.
#[derive(Debug, Clone, Copy)]
pub struct OpenCharge<'a> {
    /// Its number.
    pub number: &'a str,
    /// The last day on which it is paid in time.
    pub due: Date,
    /// What is left of it.
    pub left: Money,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct AccountView<'a> {
    /// Who writes to whom, on the day of the statement.
    pub parties: Parties<'a>,
    /// The quote, with its own total.
    pub accepted: AcceptedQuote<'a>,
    /// What was agreed since.
    pub changes: Vec<PriceChange>,
    /// The day on which it was cancelled.
    pub cancelled: Option<Date>,
    /// By when what was paid is then to be paid back at the latest, where the law says so.
    pub pay_back_by: Option<Date>,
    /// What it all comes to.
    pub total: Money,
    /// What is still to be asked for.
    pub left: Money,
    /// What of that the customer keeps back, and until when.
    pub kept_back: Option<(Money, Date)>,
    /// The entries, the oldest first.
    pub lines: Vec<AccountLine<'a>>,
    /// What is open, in the order of the numbers.
    pub open: Vec<OpenCharge<'a>>,
    /// What is owed.
    pub balance: Money,
    /// What of it is overdue.
    pub overdue: Money,
}

/// Makes `account.pdf` in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates; a character that no font has.
pub fn make(view: &AccountView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(Finished { name: "account.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(view: &AccountView<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(listing::describe(&fitting::lay_out_in(fonts, &document(view, &words)?)?))
}

fn document(view: &AccountView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("account.md", &vocabulary(view), &places(view))?;
    let kind = "Statement of account";
    let title = Title {
        kind,
        reference: format!("{kind} {}", view.parties.reference),
        subject: format!("{kind} for {}", view.parties.customer.name),
        text_size: 10.0,
        fitting: Fitting::OnePageFrom(8.5),
    };
    Ok(letterhead::document(view.parties, title, blocks))
}

pub(super) fn vocabulary(view: &AccountView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    v.text("balance", wording::money(view.balance.max(-view.balance)))
        .text("as_of", wording::date(view.parties.date))
        .yes("owed", view.balance > Money::ZERO)
        .yes("cancelled", view.cancelled.is_some())
        .maybe("pay_back_by", view.pay_back_by.map(wording::date))
        .yes("overpaid", view.balance < Money::ZERO)
        .text("over", wording::money(-view.balance))
        .maybe("kept_back", view.kept_back.map(|(sum, _)| wording::money(sum)))
        .maybe("kept_until", view.kept_back.map(|(_, until)| wording::date(until)))
        .yes("overdue", view.overdue > Money::ZERO)
        .text("overdue_sum", wording::money(view.overdue))
        .yes("entries", !view.lines.is_empty())
        .yes("open", !view.open.is_empty())
        .yes("several_open", view.open.len() > 1)
        .text("pay_reference", reference(view))
        .yes("bank", view.balance > Money::ZERO && view.parties.firm.bank.is_some());
    v
}

fn places(view: &AccountView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("balance", balance(view));
    put("agreed", Block::Table(agreed(view)));
    put("entries", Block::Table(entries(view)));
    put("open", Block::Table(open(view)));
    put("bank", bank_box(view.parties, reference(view), view.balance));
    places
}

/// What a payment is known by: the number of what is open, where that is one, else the reference of the job.
fn reference<'a>(view: &AccountView<'a>) -> &'a str {
    if let [only] = &view.open[..] { only.number } else { view.parties.reference }
}

fn facts(view: &AccountView<'_>) -> Block {
    let (parties, customer) = (view.parties, view.parties.customer);
    let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
    let to = vec![fact("To", strong(&customer.name)), fact("Address", cell(customer.address.join(", ")))];
    let facts = vec![
        fact("Reference", strong(reference(view))),
        fact("As at", cell(wording::date(parties.date))),
        fact("Work at", cell(parties.site.join(", "))),
    ];
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

fn balance(view: &AccountView<'_>) -> Block {
    let (label, sum) = match view.balance < Money::ZERO {
        true if view.cancelled.is_some() => ("To be paid back to you", -view.balance),
        true => ("To your credit", -view.balance),
        false => ("Still to be paid of what was asked for", view.balance),
    };
    let note = match view.left > Money::ZERO {
        _ if view.cancelled.is_some() => view
            .cancelled
            .map_or_else(String::new, |on| format!("The contract was cancelled on {}.", wording::date(on))),
        true => format!("Of the price, {} is still to be asked for.", wording::money(view.left)),
        false => "All of the price has been asked for.".to_owned(),
    };
    Block::Headline { label: label.to_owned(), figure: wording::money(sum), note }
}

fn agreed(view: &AccountView<'_>) -> Table {
    let pair = |what: String, sum: Money| plain(vec![cell(what), cell(wording::money(sum))]);
    let accepted = view.accepted;
    let quote = format!(
        "Quotation {} revision {}, accepted on {}",
        view.parties.reference,
        accepted.revision,
        wording::date(accepted.on)
    );
    let mut rows = vec![pair(quote, accepted.total)];
    rows.extend(view.changes.iter().map(PriceChange::row));
    let label = if view.cancelled.is_some() { "What is left of it" } else { "Agreed price" };
    rows.push(total_row(label, 1, view.total));
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}

fn entries(view: &AccountView<'_>) -> Table {
    let line = |line: &AccountLine<'_>| {
        let blank = String::new;
        let amount = wording::money(line.amount);
        let (words, asked, paid) = match line.kind {
            EntryKind::Charge => (format!("{}: {}", line.number, line.of), amount, blank()),
            EntryKind::Credit => {
                (format!("{}, credit note for {}", line.number, line.of), wording::money(-line.amount), blank())
            }
            EntryKind::Payment => (format!("{}, paid for {}", line.number, line.of), blank(), amount),
            EntryKind::TakenBack => {
                (format!("{}, takes back {}", line.number, line.of), blank(), wording::money(-line.amount))
            }
            EntryKind::Refund => (format!("{}, paid back to you", line.number), blank(), wording::money(-line.amount)),
        };
        let cells = [wording::date(line.on), words, asked, paid, wording::money(line.balance)];
        plain(cells.into_iter().map(cell).collect())
    };
    let mut rows: Vec<_> = view.lines.iter().map(line).collect();
    let end = [strong("Balance"), Vec::new(), Vec::new(), Vec::new(), strong(wording::money(view.balance))];
    rows.push(row(RowKind::Total, end.into()));
    let columns = vec![left("Date"), wide("What", 1), right("Asked for"), right("Paid"), right("Balance")];
    Table { columns, rows, header: true }
}

fn open(view: &AccountView<'_>) -> Table {
    let one = |open: &OpenCharge<'_>| {
        let late = if open.due < view.parties.date { ", overdue" } else { "" };
        let by = format!("{}{late}", wording::date(open.due));
        plain(vec![cell(open.number), cell(by), cell(wording::money(open.left))])
    };
    let columns = vec![wide("Number", 1), left("To be paid by"), right("Open")];
    Table { columns, rows: view.open.iter().map(one).collect(), header: true }
}
