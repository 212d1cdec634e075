//! What all three documents share: the letterhead, the head and foot of each page, and the names of the parties.
//!
//! Given the parties to a job; gives the frame of a document, and the part of a vocabulary that every template may use.

use super::cells::{cell, strong};
use super::standing::IssueStanding;
use super::wording;
use super::words::{Vocabulary, Words};
use crate::model::job::Party;
use crate::model::{Firm, Problem};
use crate::pages::block::{Block, Document, Fitting, Letterhead, Span};
use crate::pages::links;
use time::Date;

/// Who writes to whom, about which job, and when.
#[derive(Debug, Clone, Copy)]
pub struct Parties<'a> {
    /// The firm.
    pub firm: &'a Firm,
    /// The householder.
    pub customer: &'a Party,
    /// Where the work is, a line each.
    pub site: &'a [String],
    /// The job's title.
    pub title: &'a str,
    /// The job's reference.
    pub reference: &'a str,
    /// The date printed.
    pub date: Date,
    /// The first day on site, where it is known.
    pub first_day: Option<Date>,
    /// Whether it was issued.
    pub standing: IssueStanding<'a>,
}

impl Parties<'_> {
    /// The customer as a paper of money names them, at their own address, and where the work is; `label` says which way it goes.
    pub fn customer_facts(&self, label: &str, vat_number: Option<&str>) -> Vec<(String, Vec<Span>)> {
        let fact = |label: &str, words: Vec<Span>| (label.to_owned(), words);
        let mut facts =
            vec![fact(label, strong(&self.customer.name)), fact("Address", cell(self.customer.address.join(", ")))];
        facts.extend(vat_number.map(|number| fact("Their VAT number", cell(number))));
        facts.push(fact("Work at", cell(self.site.join(", "))));
        facts
    }
}

/// What differs from one document to the next.
pub struct Title {
    /// `Quote`, `Materials order`, `Method statement`.
    pub kind: &'static str,
    /// Printed at the head of every page.
    pub reference: String,
    /// A phrase on what it is about.
    pub subject: String,
    /// Size of running text, pt.
    pub text_size: f64,
    /// In which other sizes it may be set.
    pub fitting: Fitting,
}

/// A document with the firm's head and foot round its blocks.
pub fn document(parties: Parties<'_>, title: Title, blocks: Vec<Block>) -> Document {
    let firm = parties.firm;
    Document {
        title: format!("{}: {}", title.kind, parties.title),
        author: firm.party.name.clone(),
        subject: title.subject,
        date: parties.date,
        reference: title.reference,
        by_hand: String::new(),
        footer: footer(parties, title.kind, parties.reference),
        letterhead: Letterhead {
            logo: firm.logo.clone(),
            name: firm.party.name.clone(),
            lines: letter_lines(&firm.party),
        },
        accent: firm.accent,
        text_size: title.text_size,
        fitting: title.fitting,
        standing: String::new(),
        blocks: links::blocks(blocks),
        attachments: Vec::new(),
        closer: None,
    }
}

/// The same with the words that say on every page whether it is a draft or which revision it is.
///
/// # Errors
/// Whatever is wrong with the template of those words.
pub fn standing_document(
    parties: Parties<'_>,
    title: Title,
    blocks: Vec<Block>,
    words: &Words,
) -> Result<Document, Vec<Problem>> {
    let mut document = document(parties, title, blocks);
    let spans = words.sentence("standing.md", &vocabulary(parties))?;
    document.standing = spans.iter().map(|span| span.text.as_str()).collect();
    Ok(document)
}

/// The foot of every page: whose it is, what it is with its number, and of which day.
pub fn footer(parties: Parties<'_>, kind: &str, number: &str) -> String {
    format!("{} · {kind} {number} · {}", parties.firm.party.name, wording::date(parties.date))
}

fn letter_lines(party: &Party) -> Vec<String> {
    let mut lines = vec![party.address.join(", ")];
    let ways: Vec<String> = [&party.phone, &party.email].into_iter().flatten().cloned().collect();
    lines.push(ways.join(" · "));
    lines.retain(|l| !l.is_empty());
    lines
}

/// Names that every template may use.
pub fn vocabulary(parties: Parties<'_>) -> Vocabulary {
    let mut v = Vocabulary::default();
    let (firm, customer) = (parties.firm, parties.customer);
    v.text("firm_name", &firm.party.name)
        .text("firm_address", firm.party.address.join(", "))
        .maybe("firm_phone", firm.party.phone.as_ref())
        .maybe("firm_email", firm.party.email.as_ref())
        .maybe("firm_legal", legal_line(firm))
        .text("firm_in_law", in_law(firm))
        .maybe("firm_vat_number", firm.vat_number.as_ref())
        .maybe("firm_insurance", firm.insurance.as_ref().map(|words| wording::sentence(words)))
        .text("customer_name", &customer.name)
        .text("customer_greeted", wording::greeted(&customer.name))
        .text("customer_address", customer.address.join(", "))
        .text("site_address", parties.site.join(", "))
        .text("job_title", parties.title)
        .text("job_reference", parties.reference)
        .text("date", wording::date(parties.date))
        .maybe("start_date", parties.first_day.map(wording::day_and_date))
        .yes("draft", parties.standing == IssueStanding::Draft)
        .maybe("revision", parties.standing.revision())
        .maybe("variation", parties.standing.variation());
    v
}

/// The firm and who stands behind its name; a name with which those words begin is said once.
fn in_law(firm: &Firm) -> String {
    let name = &firm.party.name;
    let named = match &firm.legal {
        Some(legal) if legal.starts_with(name.as_str()) => wording::unstopped(legal).to_owned(),
        Some(legal) => format!("{name}, {}", wording::unstopped(legal)),
        None => name.clone(),
    };
    match registered(firm) {
        Some(words) => format!("{named}; {}", wording::within(&words)),
        None => named,
    }
}

/// Who stands behind the firm's name, with a company's particulars, as they stand at the foot of what it sends.
fn legal_line(firm: &Firm) -> Option<String> {
    let parts = [firm.legal.clone(), registered(firm)];
    let said: Vec<String> = parts.into_iter().flatten().map(|words| wording::sentence(&words)).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Where a company is registered, and its registered office: letters, orders and invoices state both (Company, Limited Liability
/// Partnership and Business (Names and Trading Disclosures) Regulations 2015, SI 2015/17, regulation 25, from memory).
fn registered(firm: &Firm) -> Option<String> {
    match (&firm.registered_in, &firm.registered_office) {
        (Some(part), Some(office)) => Some(format!("Registered in {part}, registered office {office}")),
        (Some(part), None) => Some(format!("Registered in {part}")),
        (None, Some(office)) => Some(format!("Registered office {office}")),
        (None, None) => None,
    }
}
