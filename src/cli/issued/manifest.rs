//! What stands in `manifest.json` of every folder of `issued`: what it is, what it was made from, and the digest of each file.
//!
//! Given by whoever freezes; read by every command that asks how a job stands. A folder is a revision of a document, the
//! customer's answer to one, a message with which one was sent, a variation, the answer to one, an invoice, a payment, what goes back of
//! payments, a statement of account, or a handover.
//! Dates are year-month-day, money is text with
//! its pence.

use crate::documents::DocumentKind;
use crate::documents::invoice::InvoiceForm;
use crate::pdf::returned::hexadecimal;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use crate::works::VariedWork;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use time::Date;
use time::format_description::well_known::Iso8601;

/// The list of a frozen folder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Manifest {
    /// Which program froze it: `wetout 0.1.0`.
    pub(crate) program: String,
    /// The reference of the job.
    pub(crate) reference: String,
    /// The letter of the revision that it is, that it answers, or that was accepted before it was invoiced or paid.
    pub(crate) revision: String,
    /// What it holds.
    #[serde(flatten)]
    pub(crate) holds: FrozenAs,
    /// Its files.
    pub(crate) files: Vec<KeptFile>,
    /// The revision before it, by the digest of its manifest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) before: Option<KeptFile>,
}

/// What a frozen folder holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum FrozenAs {
    /// A document with all that it was made from.
    Issued(Box<IssuedPaper>),
    /// The customer has it done.
    Accepted(Box<CustomerAnswer>),
    /// The customer does not want it.
    Declined(Box<CustomerAnswer>),
    /// The customer had accepted it, and has taken that back.
    Withdrawn(Box<CustomerAnswer>),
    /// A stage of what was accepted was invoiced, or such an invoice credited.
    Invoiced(Box<InvoiceRecord>),
    /// An invoice was paid, whole or in part.
    Paid(Box<PaymentRecord>),
    /// A receipt was taken back, money was paid back, or VAT of what was paid in advance was credited.
    Back(Box<BackRecord>),
    /// The account as it stood on a day, to be sent.
    Account(Box<AccountRecord>),
    /// It went by mail, or was about to.
    Mail(Box<MailRecord>),
    /// What was found on site was priced, for both to sign.
    Varied(Box<VariationRecord>),
    /// The customer agrees to a variation.
    Agreed(Box<VariationAnswer>),
    /// The customer does not want a variation.
    Refused(Box<VariationAnswer>),
    /// The work was done and handed over.
    Handover(Box<HandoverRecord>),
}

/// How far a mailing came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum MailState {
    /// It was about to be handed over; where no later record says more, nobody knows whether it was.
    Begun,
    /// The server has taken it.
    Sent,
    /// The server has refused it.
    Refused,
}

/// A message of a document that was issued, handed over to the mail server.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct MailRecord {
    /// Which message of the revision, from 1. A begun one and its end have the same number.
    pub(crate) number: usize,
    /// How far it came.
    pub(crate) state: MailState,
    /// `quote`, `order`, `order-2`.
    pub(crate) document: String,
    /// The addresses that it goes to.
    pub(crate) to: Vec<String>,
    /// The address that it is from.
    pub(crate) from: String,
    /// Its subject.
    pub(crate) subject: String,
    /// Its id.
    pub(crate) message_id: String,
    /// When, in universal time (RFC 3339).
    pub(crate) at: String,
    /// The files that went with it, by their names in the frozen folder.
    pub(crate) attachments: Vec<String>,
    /// What the server said of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) said: Option<String>,
}

/// A document that was issued.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct IssuedPaper {
    /// `quote`, `order`, `method`.
    pub(crate) document: String,
    /// The job's title.
    pub(crate) title: String,
    /// The customer's name.
    pub(crate) customer: String,
    /// The date that is printed.
    pub(crate) date: String,
    /// Total with VAT.
    pub(crate) total: String,
    /// The last day on which the price can be accepted.
    pub(crate) valid_until: String,
    /// The first day on site, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) first_day: Option<String>,
    /// Working days on site.
    pub(crate) working_days: usize,
    /// What it was made from.
    pub(crate) inputs: Inputs,
    /// The digests of the pages of a quote: what each shows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) pages: Vec<String>,
    /// The boxes of a quote by which something is chosen, from the top.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) boxes: Vec<BoxToTick>,
    /// The accepted revision that the job was taken from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) as_accepted: Option<String>,
    /// The variation for whose goods alone it is an order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) varied: Option<VariedOrderRecord>,
    /// What orders for variations take from the van: it is not there for this one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) taken: Vec<TakenRecord>,
}

/// What an order for a variation was made from besides.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct VariedOrderRecord {
    /// The variation's number.
    pub(crate) number: String,
    /// The file that says what was found, as it is kept.
    pub(crate) found: String,
    /// How many boards of the job's own its rates for boards take.
    #[serde(default, skip_serializing_if = "is_none_of_them")]
    pub(crate) rate_boards: u32,
    /// The last day on site with it, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) until: Option<KeptDay>,
    /// What other orders of the job take from the van: it is not there for this one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) taken: Vec<TakenRecord>,
    /// What is paid for the goods and their delivery, without VAT.
    pub(crate) goods: KeptMoney,
}

/// Something that an order takes from the van.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct TakenRecord {
    /// The role.
    pub(crate) role: String,
    /// The size, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) size: Option<i64>,
    /// The batch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) batch: Option<String>,
    /// The last day on which it may be used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) use_by: Option<KeptDay>,
    /// How much.
    pub(crate) quantity: KeptNumber,
}

/// What a document was made from, by the names of the kept files.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Inputs {
    /// The job file.
    pub(crate) job: String,
    /// The firm file.
    pub(crate) firm: String,
    /// The price books, in their order.
    pub(crate) prices: Vec<String>,
    /// The stock list of the van, where the document counts on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) stock: Option<String>,
    /// The date that was given in place of the job's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) date: Option<String>,
    /// The firm's own fonts, which are not kept: a licence may forbid it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) fonts: Vec<KeptFile>,
}

/// A box by which something is chosen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct BoxToTick {
    /// The field's name in the PDF; `None` where the quote has none for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) field: Option<String>,
    /// What is said by ticking it.
    pub(crate) words: String,
    /// The option of that place in the job, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) option: Option<usize>,
    /// Or the optional extra of that name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) extra: Option<String>,
}

/// What the customer has answered.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) struct CustomerAnswer {
    /// On which day.
    pub(crate) on: String,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) name: Option<String>,
    /// The file that came back, or `None` where it was recorded by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) file: Option<String>,
    /// What was chosen besides, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) chosen: Vec<String>,
    /// What was said by ticking further boxes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) consents: Vec<String>,
    /// The total with VAT that was agreed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) total: Option<String>,
    /// Why it was said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) because: Option<String>,
    /// It is the firm that takes an acceptance back.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(crate) by_firm: bool,
    /// What spoke against taking it down.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) warned: Vec<String>,
    /// Why it was recorded even so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) even_so: Option<String>,
}

/// A file by its digest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct KeptFile {
    /// Its name in the folder.
    pub(crate) name: String,
    /// Its size in bytes.
    pub(crate) bytes: u64,
    /// Its SHA-256 (FIPS 180-4), in hexadecimal.
    pub(crate) sha256: String,
}

impl KeptFile {
    /// The entry of a file.
    pub(crate) fn of(name: &str, bytes: &[u8]) -> KeptFile {
        KeptFile { name: name.to_owned(), bytes: bytes.len() as u64, sha256: hexadecimal(&Sha256::digest(bytes)) }
    }
}

/// An invoice, a request for payment, or a credit note: all that is printed on it beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct InvoiceRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// Its number, as printed.
    pub(crate) number: String,
    /// What it is; of a credit note, what is credited.
    pub(crate) form: KeptForm,
    /// Its date.
    pub(crate) date: KeptDay,
    /// The tax point, where it is another day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) tax_point: Option<KeptDay>,
    /// The last day on which it is paid in time.
    pub(crate) due: KeptDay,
    /// The stage, from 1; 0 of a variation by itself.
    pub(crate) stage: usize,
    /// Of how many.
    pub(crate) stages: usize,
    /// When the stage is paid, or which variation it is.
    pub(crate) label: String,
    /// Its part of the price, %; all of a variation.
    pub(crate) share: KeptNumber,
    /// What the customer keeps back of it: it is no part of its sums.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) kept_back: Option<KeptBackRecord>,
    /// It asks for what was kept back of those before it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(crate) releases: bool,
    /// It asks for what was done until the contract was cancelled.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(crate) done: bool,
    /// The day on which the contract was cancelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) cancelled: Option<KeptDay>,
    /// Why it asks for that before its day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) even_so: Option<String>,
    /// The variations that it is for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) variations: Vec<InvoicedVariationRecord>,
    /// What it comes to.
    pub(crate) sums: KeptSums,
    /// The rate of VAT, %.
    pub(crate) vat_rate: KeptNumber,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// What was accepted.
    pub(crate) accepted_total: KeptMoney,
    /// What was agreed since.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) changes: Vec<ChangeRecord>,
    /// What was invoiced before and stood.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) earlier: Vec<EarlierRecord>,
    /// What was left to be invoiced after it.
    pub(crate) left: KeptMoney,
    /// What had been paid.
    pub(crate) paid: KeptMoney,
    /// What of that stood to the customer's credit, and is set against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) credit: Option<KeptMoney>,
    /// What it credits; only of a credit note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) credits: Option<CreditRecord>,
    /// What it was made from.
    pub(crate) inputs: Inputs,
}

/// A payment: all that is printed on its receipt beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct PaymentRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// The receipt's number, as printed.
    pub(crate) number: String,
    /// On which day it was paid.
    pub(crate) date: KeptDay,
    /// On which day the receipt was written, where that is another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) dated: Option<KeptDay>,
    /// How much.
    pub(crate) amount: KeptMoney,
    /// How, in words.
    pub(crate) by: String,
    /// Whether the receipt is the invoice for VAT.
    pub(crate) vat_invoice: bool,
    /// The number of the invoice that is paid.
    pub(crate) invoice: String,
    /// Its date.
    pub(crate) invoice_date: KeptDay,
    /// What it asked for.
    pub(crate) invoice_total: KeptMoney,
    /// What had been paid for it before.
    pub(crate) before: KeptMoney,
    /// What of this payment it took.
    pub(crate) sums: KeptSums,
    /// What was still open on it.
    pub(crate) left: KeptMoney,
    /// What was paid beyond it and all else that was open.
    pub(crate) over: KeptMoney,
    /// What else was open and took a part of the payment.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) also: Vec<AlsoPaidRecord>,
    /// No new money came: it is what stood to the customer's credit.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(crate) from_credit: bool,
    /// Why it was recorded though it is more than was left of the price, or long after the invoice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) even_so: Option<String>,
    /// The stage, from 1; 0 of a variation by itself.
    pub(crate) stage: usize,
    /// Of how many.
    pub(crate) stages: usize,
    /// When the stage is paid.
    pub(crate) label: String,
    /// What part of the price, or of the variation, the invoice took of this payment, %.
    pub(crate) share: KeptNumber,
    /// The rate of VAT, %.
    pub(crate) vat_rate: KeptNumber,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// What was accepted.
    pub(crate) accepted_total: KeptMoney,
    /// What it was made from.
    pub(crate) inputs: Inputs,
}

impl PaymentRecord {
    /// The numbers of all that it pays, whole or in part.
    pub(crate) fn numbers(&self) -> Vec<String> {
        let also = self.also.iter().map(|also| also.invoice.clone());
        std::iter::once(self.invoice.clone()).chain(also).collect()
    }

    /// What of its VAT invoices is for the request of that number.
    pub(crate) fn taxed(&self, number: &str) -> Money {
        let own = (self.vat_invoice && self.invoice == number).then_some(self.sums.total.0);
        let also = self.also.iter().filter(|also| also.vat_invoice && also.invoice == number);
        own.into_iter().chain(also.map(|also| also.sums.total.0)).sum()
    }
}

/// An invoice that takes what a payment has over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct AlsoPaidRecord {
    /// Its number.
    pub(crate) invoice: String,
    /// Its date.
    pub(crate) invoice_date: KeptDay,
    /// What it asked for.
    pub(crate) invoice_total: KeptMoney,
    /// Whether the receipt is the invoice for VAT of what it takes.
    pub(crate) vat_invoice: bool,
    /// What had been paid for it before.
    pub(crate) before: KeptMoney,
    /// What of this payment it took.
    pub(crate) sums: KeptSums,
    /// What was still open on it.
    pub(crate) left: KeptMoney,
    /// The stage, from 1; 0 of a variation by itself.
    pub(crate) stage: usize,
    /// When the stage is paid.
    pub(crate) label: String,
    /// What part of the price, or of the variation, it took of this payment, %.
    pub(crate) share: KeptNumber,
}

/// What goes back of payments: all that is printed on it beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct BackRecord {
    /// Its place in the series of receipts of the job.
    pub(crate) sequence: u32,
    /// Its number, as printed.
    pub(crate) number: String,
    /// On which day.
    pub(crate) date: KeptDay,
    /// What goes back.
    pub(crate) what: WhatGoesBack,
    /// How much less was paid by it; below nothing where a refund is taken back, nothing where it is VAT alone.
    pub(crate) amount: KeptMoney,
    /// How it was paid back, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) by: Option<String>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) because: Option<String>,
    /// The receipts that are taken back, or whose VAT is credited.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) receipts: Vec<NamedReceiptRecord>,
    /// Of which requests VAT is credited, each with the sums that are.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) parts: Vec<AlsoPaidRecord>,
    /// In how many stages the price is paid.
    pub(crate) stages: usize,
    /// How what had been paid by a receipt that is taken back stands after it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) standing: Vec<StandingRecord>,
    /// What stands to the customer's credit after it.
    pub(crate) credit: KeptMoney,
    /// The rate of VAT, %.
    pub(crate) vat_rate: KeptNumber,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// What was accepted.
    pub(crate) accepted_total: KeptMoney,
    /// What it was made from.
    pub(crate) inputs: Inputs,
}

/// What goes back of payments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum WhatGoesBack {
    /// A receipt, or a refund, that was recorded wrongly.
    Receipt,
    /// Money, to the customer.
    Refund,
    /// The VAT of what was paid in advance and is no longer asked for.
    Vat,
}

/// A statement of account: all that is printed on it beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct AccountRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// Its number.
    pub(crate) number: String,
    /// As of which day.
    pub(crate) date: KeptDay,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// What was accepted.
    pub(crate) accepted_total: KeptMoney,
    /// What became of that since.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) changes: Vec<PriceChangeRecord>,
    /// The day on which it was cancelled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) cancelled: Option<KeptDay>,
    /// By when what was paid is then to be paid back, where the law says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) pay_back_by: Option<KeptDay>,
    /// What it all comes to.
    pub(crate) total: KeptMoney,
    /// What is still to be asked for.
    pub(crate) left: KeptMoney,
    /// What of that the customer keeps back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) kept_back: Option<KeptMoney>,
    /// Until when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) kept_until: Option<KeptDay>,
    /// What was asked for and paid, the oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) lines: Vec<AccountLineRecord>,
    /// What is open.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) open: Vec<OpenRecord>,
    /// What is owed.
    pub(crate) balance: KeptMoney,
    /// What of it is overdue.
    pub(crate) overdue: KeptMoney,
    /// What it was made from.
    pub(crate) inputs: Inputs,
}

/// What became of an accepted price.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct PriceChangeRecord {
    /// What.
    pub(crate) what: String,
    /// What was done on that day.
    pub(crate) how: String,
    /// On which day.
    pub(crate) on: KeptDay,
    /// How much.
    pub(crate) amount: KeptMoney,
}

/// A line of a statement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct AccountLineRecord {
    /// Of which day.
    pub(crate) on: KeptDay,
    /// What it is, by its word.
    pub(crate) kind: String,
    /// Its number.
    pub(crate) number: String,
    /// What it is for.
    pub(crate) of: String,
    /// How much.
    pub(crate) amount: KeptMoney,
    /// What is owed after it.
    pub(crate) balance: KeptMoney,
}

/// What is open of an invoice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct OpenRecord {
    /// Its number.
    pub(crate) number: String,
    /// The last day on which it is paid in time.
    pub(crate) due: KeptDay,
    /// What is left of it.
    pub(crate) left: KeptMoney,
}

/// A receipt by its number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct NamedReceiptRecord {
    /// Its number.
    pub(crate) number: String,
    /// Its date.
    pub(crate) date: KeptDay,
}

/// How an invoice stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct StandingRecord {
    /// Its number.
    pub(crate) number: String,
    /// What it asked for.
    pub(crate) total: KeptMoney,
    /// What is still to be paid of it.
    pub(crate) left: KeptMoney,
}

/// A variation: all that is printed on it beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct VariationRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// Its number, as printed.
    pub(crate) number: String,
    /// Its date.
    pub(crate) date: KeptDay,
    /// The file that says what was found, as it is kept.
    pub(crate) found: String,
    /// What the customer is told of it besides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) note: Option<String>,
    /// The lines.
    pub(crate) lines: Vec<FoundRecord>,
    /// What they come to.
    pub(crate) sums: KeptSums,
    /// The firm was registered for VAT.
    pub(crate) registered: bool,
    /// The rate of VAT, %.
    pub(crate) vat_rate: KeptNumber,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// What was accepted.
    pub(crate) accepted_total: KeptMoney,
    /// What was agreed before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) changes: Vec<ChangeRecord>,
    /// Hours of one person that it counts.
    pub(crate) hours: KeptNumber,
    /// Working days more on site.
    pub(crate) days: u32,
    /// The last day on site before it, where that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) finish_before: Option<KeptDay>,
    /// The last day on site with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) finish: Option<KeptDay>,
    /// How many boards of the job's own its rates for boards take.
    #[serde(default, skip_serializing_if = "is_none_of_them")]
    pub(crate) rate_boards: u32,
    /// What it was made from.
    pub(crate) inputs: Inputs,
}

fn is_none_of_them(count: &u32) -> bool {
    *count == 0
}

/// A line of a variation, as printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct FoundRecord {
    /// What.
    pub(crate) what: String,
    /// How much.
    pub(crate) quantity: String,
    /// What one costs; nothing of a sum.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) rate: Option<KeptMoney>,
    /// The same with VAT, as the quote has its rates.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) rate_with_vat: Option<KeptMoney>,
    /// What it comes to.
    pub(crate) amount: KeptMoney,
}

/// What the customer says of a variation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct VariationAnswer {
    /// The variation's place in its series.
    pub(crate) sequence: u32,
    /// Its number, as printed.
    pub(crate) number: String,
    /// On which day.
    pub(crate) on: KeptDay,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) name: Option<String>,
    /// Why it is not wanted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) because: Option<String>,
    /// The file that came back, or `None` where it was recorded by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) file: Option<String>,
    /// What was said by ticking boxes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) consents: Vec<String>,
    /// What spoke against taking it down.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) warned: Vec<String>,
    /// Why it was recorded even so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) even_so: Option<String>,
}

/// A variation that had been agreed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct ChangeRecord {
    /// Its number.
    pub(crate) number: String,
    /// On which day it was agreed.
    pub(crate) on: KeptDay,
    /// What it adds or saves.
    pub(crate) total: KeptMoney,
}

/// What a customer keeps back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct KeptBackRecord {
    /// How much of the payment, %.
    pub(crate) rate: KeptNumber,
    /// Until which day, as it is expected.
    pub(crate) until: KeptDay,
    /// What that comes to.
    pub(crate) sums: KeptSums,
    /// What is kept back of this and of all before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) in_all: Option<KeptMoney>,
}

/// A variation that is invoiced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct InvoicedVariationRecord {
    /// Its number.
    pub(crate) number: String,
    /// On which day it was agreed.
    pub(crate) on: KeptDay,
    /// What was found, in short.
    pub(crate) what: String,
    /// What it comes to.
    pub(crate) sums: KeptSums,
}

/// A handover: all that is printed in it beside what stands in its inputs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct HandoverRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// Its number, as printed.
    pub(crate) number: String,
    /// On which day it was handed over.
    pub(crate) date: KeptDay,
    /// On which day the work was finished.
    pub(crate) finished: KeptDay,
    /// The day on which the guarantee begins, where it was known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) guaranteed_from: Option<KeptDay>,
    /// On which day the quote was accepted.
    pub(crate) accepted_on: KeptDay,
    /// The record of the work, by its name in the folder.
    pub(crate) record: String,
    /// What was agreed since.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) variations: Vec<VariedWorkRecord>,
    /// What it was made from: the job as accepted, with the firm of the day.
    pub(crate) inputs: Inputs,
    /// The job as accepted, with the firm file and the price books that were frozen with its quote.
    pub(crate) accepted: Inputs,
}

/// A variation that was handed over with the roof.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct VariedWorkRecord {
    /// Its place in the series of the job, from 1.
    pub(crate) sequence: u32,
    /// Its number.
    pub(crate) number: String,
    /// On which day it was agreed.
    pub(crate) on: KeptDay,
    /// What it has done besides.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) done: Vec<String>,
    /// What it leaves out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) left_out: Vec<String>,
}

impl From<VariedWork> for VariedWorkRecord {
    fn from(varied: VariedWork) -> VariedWorkRecord {
        let VariedWork { sequence, number, on, done, left_out } = varied;
        VariedWorkRecord { sequence, number, on: KeptDay(on), done, left_out }
    }
}

impl From<VariedWorkRecord> for VariedWork {
    fn from(kept: VariedWorkRecord) -> VariedWork {
        let VariedWorkRecord { sequence, number, on, done, left_out } = kept;
        VariedWork { sequence, number, on: on.0, done, left_out }
    }
}

/// An invoice that came before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct EarlierRecord {
    /// Its number.
    pub(crate) number: String,
    /// Its date.
    pub(crate) date: KeptDay,
    /// What it was for.
    pub(crate) label: String,
    /// How much.
    pub(crate) total: KeptMoney,
    /// What of it is still to be paid, where it was a request for payment: VAT on that is not due yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) unpaid_request: Option<KeptMoney>,
    /// By when it was to be paid, where it is not paid whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) due: Option<KeptDay>,
    /// What of it is then open.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) open: Option<KeptMoney>,
}

/// What a credit note takes back, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct CreditRecord {
    /// The number of the invoice.
    pub(crate) number: String,
    /// Its date.
    pub(crate) date: KeptDay,
    /// Why.
    pub(crate) because: String,
}

/// Sums as they are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct KeptSums {
    /// Without VAT.
    pub(crate) net: KeptMoney,
    /// VAT that is charged.
    pub(crate) vat: KeptMoney,
    /// VAT that the customer accounts for.
    pub(crate) vat_by_customer: KeptMoney,
    /// To be paid.
    pub(crate) total: KeptMoney,
}

impl From<InvoiceSums> for KeptSums {
    fn from(sums: InvoiceSums) -> KeptSums {
        KeptSums {
            net: KeptMoney(sums.net),
            vat: KeptMoney(sums.vat),
            vat_by_customer: KeptMoney(sums.by_customer),
            total: KeptMoney(sums.total),
        }
    }
}

impl From<KeptSums> for InvoiceSums {
    fn from(kept: KeptSums) -> InvoiceSums {
        InvoiceSums { net: kept.net.0, vat: kept.vat.0, by_customer: kept.vat_by_customer.0, total: kept.total.0 }
    }
}

/// Money as it is kept: a text with its pence. What is none makes the manifest unreadable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub(crate) struct KeptMoney(pub(crate) Money);

impl From<KeptMoney> for String {
    fn from(kept: KeptMoney) -> String {
        kept.0.to_string()
    }
}

impl TryFrom<String> for KeptMoney {
    type Error = String;
    fn try_from(text: String) -> Result<KeptMoney, String> {
        let pounds: Decimal = text.parse().map_err(|_| format!("{text} is no sum"))?;
        Ok(KeptMoney(Money::pounds(pounds)))
    }
}

/// A number as it is kept: a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub(crate) struct KeptNumber(pub(crate) Decimal);

impl From<KeptNumber> for String {
    fn from(kept: KeptNumber) -> String {
        kept.0.normalize().to_string()
    }
}

impl TryFrom<String> for KeptNumber {
    type Error = String;
    fn try_from(text: String) -> Result<KeptNumber, String> {
        text.parse().map(KeptNumber).map_err(|_| format!("{text} is no number"))
    }
}

/// A day as it is kept: year-month-day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub(crate) struct KeptDay(pub(crate) Date);

impl From<KeptDay> for String {
    fn from(kept: KeptDay) -> String {
        day(kept.0)
    }
}

impl TryFrom<String> for KeptDay {
    type Error = String;
    fn try_from(text: String) -> Result<KeptDay, String> {
        date_of(&text).map(KeptDay).ok_or_else(|| format!("{text} is no day"))
    }
}

/// The form of an invoice as it is kept: its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub(crate) struct KeptForm(pub(crate) InvoiceForm);

impl From<KeptForm> for String {
    fn from(kept: KeptForm) -> String {
        kept.0.word().to_owned()
    }
}

impl TryFrom<String> for KeptForm {
    type Error = String;
    fn try_from(text: String) -> Result<KeptForm, String> {
        let form = InvoiceForm::ALL.into_iter().find(|form| form.word() == text);
        form.map(KeptForm).ok_or_else(|| format!("{text} is no form of an invoice"))
    }
}

impl Manifest {
    /// As it is written.
    pub(crate) fn written(&self) -> Vec<u8> {
        let text = serde_json::to_string_pretty(self).unwrap_or_default();
        (text + "\n").into_bytes()
    }

    /// The document, where it holds one.
    pub(crate) fn paper(&self) -> Option<&IssuedPaper> {
        if let FrozenAs::Issued(paper) = &self.holds { Some(paper) } else { None }
    }

    /// The invoice or credit note, where it holds one.
    pub(crate) fn invoice(&self) -> Option<&InvoiceRecord> {
        if let FrozenAs::Invoiced(invoice) = &self.holds { Some(invoice) } else { None }
    }

    /// The payment, where it holds one.
    pub(crate) fn payment(&self) -> Option<&PaymentRecord> {
        if let FrozenAs::Paid(payment) = &self.holds { Some(payment) } else { None }
    }

    /// What goes back of payments, where it holds that.
    pub(crate) fn back(&self) -> Option<&BackRecord> {
        if let FrozenAs::Back(back) = &self.holds { Some(back) } else { None }
    }

    /// The statement of account, where it holds one.
    pub(crate) fn account(&self) -> Option<&AccountRecord> {
        if let FrozenAs::Account(account) = &self.holds { Some(account) } else { None }
    }

    /// The variation, where it holds one.
    pub(crate) fn variation(&self) -> Option<&VariationRecord> {
        if let FrozenAs::Varied(variation) = &self.holds { Some(variation) } else { None }
    }

    /// The handover, where it holds one.
    pub(crate) fn handover(&self) -> Option<&HandoverRecord> {
        if let FrozenAs::Handover(handover) = &self.holds { Some(handover) } else { None }
    }

    /// Whether it is a customer's answer to a quote.
    pub(crate) fn is_answer(&self) -> bool {
        matches!(self.holds, FrozenAs::Accepted(_) | FrozenAs::Declined(_) | FrozenAs::Withdrawn(_))
    }

    /// What it was made from; of an answer or a message nothing.
    pub(crate) fn inputs(&self) -> Option<&Inputs> {
        match &self.holds {
            FrozenAs::Issued(paper) => Some(&paper.inputs),
            FrozenAs::Invoiced(invoice) => Some(&invoice.inputs),
            FrozenAs::Paid(payment) => Some(&payment.inputs),
            FrozenAs::Back(back) => Some(&back.inputs),
            FrozenAs::Account(account) => Some(&account.inputs),
            FrozenAs::Varied(variation) => Some(&variation.inputs),
            FrozenAs::Handover(handover) => Some(&handover.inputs),
            FrozenAs::Accepted(_)
            | FrozenAs::Declined(_)
            | FrozenAs::Withdrawn(_)
            | FrozenAs::Agreed(_)
            | FrozenAs::Refused(_)
            | FrozenAs::Mail(_) => None,
        }
    }
}

/// This program and its version.
pub(crate) fn program() -> String {
    concat!("wetout ", env!("CARGO_PKG_VERSION")).to_owned()
}

/// How a kind of document is called in commands and manifests.
pub(crate) fn document_name(kind: DocumentKind) -> &'static str {
    match kind {
        DocumentKind::Quote => "quote",
        DocumentKind::Order => "order",
        DocumentKind::Method => "method",
    }
}

/// The kind of that name.
pub(crate) fn kind_of(name: &str) -> Option<DocumentKind> {
    [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method].into_iter().find(|k| document_name(*k) == name)
}

/// A date as it is kept.
pub(crate) fn day(date: Date) -> String {
    date.to_string()
}

/// A kept date.
pub(crate) fn date_of(day: &str) -> Option<Date> {
    Date::parse(day, &Iso8601::DATE).ok()
}
