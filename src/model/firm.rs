//! The firm as its customers see it: name, numbers, people, guarantee and wording.
//!
//! Given by the firm file; its prices and margins stand in `pricing`.

use super::job::Party;
use super::picture::PictureBytes;
use super::problem::Source;
use super::whereabouts::SettingPath;
use time::{Date, Month};

/// Someone who works on the roof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Name.
    pub name: String,
    /// What they do: `installer`, `mate`, …
    pub role: String,
    /// Telephone on site.
    pub phone: Option<String>,
}

/// A colour as three bytes, for the one accent of the documents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Accent {
    /// Red, green and blue.
    pub rgb: [u8; 3],
}

/// A picture file, with its name and the setting that names it for messages.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Picture {
    /// File name.
    pub name: String,
    /// The bytes of the PNG or JPEG.
    pub bytes: PictureBytes,
    /// The file that asks for it.
    pub source: Source,
    /// The setting that asks for it.
    pub path: SettingPath,
}

/// An account at a bank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BankAccount {
    /// Its name.
    pub name: String,
    /// Its sort code: `12-34-56`.
    pub sort_code: String,
    /// Its number, eight digits.
    pub number: String,
}

/// How what goes to the mail server is kept from others on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MailSecurity {
    /// The connection is made in the clear and secured before anything is said (RFC 3207).
    #[default]
    StartTls,
    /// It is secured from the beginning (RFC 8314).
    Tls,
    /// Not at all: for a server on this very computer.
    Open,
}

/// The server that takes the firm's mail. Its password stands in no file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MailServer {
    /// Its name.
    pub server: String,
    /// Its port.
    pub port: u16,
    /// How the way there is kept.
    pub security: MailSecurity,
    /// Who logs in there; nobody where there is none.
    pub user: Option<String>,
    /// The address that mail is from, where it is not the firm's own.
    pub from: Option<String>,
    /// A file with the certificate of the authority that vouches for the server, next to the firm file; else those that
    /// everybody knows.
    pub certificate: Option<String>,
}

/// The day on which a guarantee begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum GuaranteeFrom {
    /// When the work was finished.
    #[default]
    Completion,
    /// When it was handed over.
    Handover,
    /// When the last of the price was paid.
    Payment,
}

/// The terms of a guarantee beside its years and its words.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GuaranteeTerms {
    /// When it begins.
    pub from: GuaranteeFrom,
    /// What ends it, a line each.
    pub void: Vec<String>,
    /// How it is claimed, where the firm says.
    pub claim: Option<String>,
    /// What a new owner has of it, where the firm says.
    pub transfer: Option<String>,
}

impl GuaranteeTerms {
    /// The last day of a guarantee of so many years that begins on a day: its anniversary, or the last day of a February that
    /// has no such day.
    pub fn last_day(begins: Date, years: u32) -> Date {
        let year = begins.year().saturating_add(i32::try_from(years).unwrap_or(0));
        begins.replace_year(year).or_else(|_| Date::from_calendar_date(year, Month::February, 28)).unwrap_or(Date::MAX)
    }
}

/// The firm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Firm {
    /// Name, address, numbers.
    pub party: Party,
    /// Trading status and company number as printed.
    pub legal: Option<String>,
    /// Of a company: the part of the United Kingdom in which it is registered.
    pub registered_in: Option<String>,
    /// Of a company: its registered office.
    pub registered_office: Option<String>,
    /// VAT registration number; `None` when not registered.
    pub vat_number: Option<String>,
    /// The logo.
    pub logo: Option<Picture>,
    /// The accent colour.
    pub accent: Accent,
    /// Insurance, in words.
    pub insurance: Option<String>,
    /// Guarantee: years and words.
    pub guarantee_years: u32,
    /// The guarantee's words.
    pub guarantee: String,
    /// Years of guarantee on patches and on a topcoat over an old laminate.
    pub repair_years: u32,
    /// The words of that; empty where the firm gives none of its own.
    pub repair_guarantee: String,
    /// On which day a guarantee begins, what ends it, how it is claimed, and what a new owner has of it.
    pub guarantee_terms: GuaranteeTerms,
    /// Terms, a paragraph each.
    pub terms: Vec<String>,
    /// What is never included unless the quote says so.
    pub exclusions: Vec<String>,
    /// What the firm needs from the householder.
    pub needs: Vec<String>,
    /// How to pay, a line each.
    pub payment: Vec<String>,
    /// The account that customers pay into.
    pub bank: Option<BankAccount>,
    /// In how many days an invoice is to be paid.
    pub payment_days: u32,
    /// The people on site; the first leads.
    pub people: Vec<Person>,
    /// Who watches the forecast.
    pub weather_watch: Option<String>,
    /// Days on which nobody works.
    pub holidays: Vec<Date>,
    /// The server that takes its mail.
    pub mail: Option<MailServer>,
}
