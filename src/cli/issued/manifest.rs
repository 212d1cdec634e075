//! What stands in `manifest.json` of every folder of `issued`: what it is, what it was made from, and the digest of each file.
//!
//! Given by whoever freezes; read by every command that asks how a job stands. A folder is a revision of a document, the
//! customer's answer to one, or a message with which one was sent. Dates are year-month-day, money is text with its pence.

use crate::documents::DocumentKind;
use crate::pdf::returned::hexadecimal;
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
    /// The letter of the revision that it is, or that it answers.
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
    /// It went by mail, or was about to.
    Mail(Box<MailRecord>),
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
}

/// What a document was made from, by the names of the kept files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Inputs {
    /// The job file.
    pub(crate) job: String,
    /// The firm file.
    pub(crate) firm: String,
    /// The price books, in their order.
    pub(crate) prices: Vec<String>,
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

    /// Whether it holds what the customer said.
    pub(crate) fn is_answer(&self) -> bool {
        !matches!(self.holds, FrozenAs::Issued(_) | FrozenAs::Mail(_))
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
