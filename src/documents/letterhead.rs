//! What all three documents share: the letterhead, the head and foot of each page, and the names of the parties.
//!
//! Given what was worked; gives the frame of a document, and the part of a vocabulary that every template may use.

use super::words::Vocabulary;
use super::{WholeJob, wording};
use crate::pages::block::{Block, Document, Fitting, Letterhead};
use crate::pages::links;

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
pub fn document(worked: &WholeJob<'_>, title: Title, blocks: Vec<Block>) -> Document {
    let firm = worked.firm;
    Document {
        title: format!("{}: {}", title.kind, worked.job.title),
        author: firm.party.name.clone(),
        subject: title.subject,
        date: worked.date,
        reference: title.reference,
        footer: footer(worked, title.kind, &worked.job.reference),
        letterhead: Letterhead { logo: firm.logo.clone(), name: firm.party.name.clone(), lines: letter_lines(worked) },
        accent: firm.accent,
        text_size: title.text_size,
        fitting: title.fitting,
        blocks: links::blocks(blocks),
        attachments: Vec::new(),
    }
}

/// The foot of every page: whose it is, what it is with its number, and of which day.
pub fn footer(worked: &WholeJob<'_>, kind: &str, number: &str) -> String {
    format!("{} · {kind} {number} · {}", worked.firm.party.name, wording::date(worked.date))
}

fn letter_lines(worked: &WholeJob<'_>) -> Vec<String> {
    let party = &worked.firm.party;
    let mut lines = vec![party.address.join(", ")];
    let ways: Vec<String> = [&party.phone, &party.email].into_iter().flatten().cloned().collect();
    lines.push(ways.join(" · "));
    lines.retain(|l| !l.is_empty());
    lines
}

/// Names that every template may use.
pub fn vocabulary(worked: &WholeJob<'_>) -> Vocabulary {
    let mut v = Vocabulary::default();
    let (job, firm) = (worked.job, worked.firm);
    v.text("firm_name", &firm.party.name)
        .text("firm_address", firm.party.address.join(", "))
        .maybe("firm_phone", firm.party.phone.as_ref())
        .maybe("firm_email", firm.party.email.as_ref())
        .maybe("firm_legal", firm.legal.as_ref())
        .maybe("firm_vat_number", firm.vat_number.as_ref())
        .maybe("firm_insurance", firm.insurance.as_ref().map(|words| wording::sentence(words)))
        .text("customer_name", &job.customer.name)
        .text("customer_address", job.customer.address.join(", "))
        .text("site_address", job.site.address.join(", "))
        .text("job_title", &job.title)
        .text("job_reference", &job.reference)
        .text("date", wording::date(worked.date))
        .maybe("start_date", worked.first_day().map(wording::day_and_date));
    v
}
