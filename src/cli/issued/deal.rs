//! The accepted deal in money: what was agreed, in which stages it is paid, what of that was invoiced.
//!
//! Given what is kept; gives sums. The job is priced as it was accepted, by the firm file and the price books that were frozen
//! with its quote: what the firm changes later in its stages or prices changes no deal that was made.

use super::accepted::ACCEPTED_JOB;
use super::kept::{Frozen, Kept, unread};
use super::manifest::{InvoiceRecord, PaymentRecord, date_of};
use super::snapshot;
use crate::cli::work::{self, Stopped};
use crate::documents::wording;
use crate::pricing::account::{Account, Charge, Payment};
use crate::pricing::invoicing::{self, InvoiceSums};
use crate::pricing::{Money, Pricing};
use rust_decimal::Decimal;
use std::fs;
use std::path::PathBuf;
use time::Date;

/// What was agreed.
#[derive(Debug, Clone)]
pub(crate) struct Deal {
    /// The revision that was accepted.
    pub(crate) revision: String,
    /// On which day.
    pub(crate) on: Date,
    /// The job as accepted.
    pub(crate) job: PathBuf,
    /// What it comes to, with what was agreed since.
    pub(crate) sums: InvoiceSums,
    /// The rate of VAT, %; nothing where the firm was not registered.
    pub(crate) vat_rate: Decimal,
    /// In which stages it is paid, each with its sums.
    pub(crate) stages: Vec<DealStage>,
    /// The first day on site, where it is known.
    pub(crate) first_day: Option<Date>,
    /// The last day on site, where it is known.
    pub(crate) last_day: Option<Date>,
}

/// One stage of it.
#[derive(Debug, Clone)]
pub(crate) struct DealStage {
    /// When: `On completion`.
    pub(crate) label: String,
    /// The day on which it is planned, where it is tied to one.
    pub(crate) planned: Option<Date>,
    /// What it comes to.
    pub(crate) sums: InvoiceSums,
}

/// Something that was agreed after the quote was accepted, and changes its price.
#[derive(Debug, Clone)]
pub(crate) struct AgreedChange {
    /// What.
    pub(crate) words: String,
    /// On which day.
    pub(crate) on: Date,
    /// What it adds or saves.
    pub(crate) sums: InvoiceSums,
}

/// The changes that were agreed and frozen, in their order. No folder that this program can freeze holds one, so there are
/// none; whoever lets one be frozen reads it here, and invoices, account and register follow.
pub(crate) fn agreed_changes(_kept: &Kept, _reference: &str) -> Vec<AgreedChange> {
    Vec::new()
}

impl Deal {
    /// The deal that stands; `None` where nothing is accepted.
    ///
    /// # Errors
    /// What of it cannot be read or worked any more.
    pub(crate) fn of(kept: &Kept, reference: &str) -> Result<Option<Deal>, Stopped> {
        let Some((at, answer)) = kept.accepted(reference) else { return Ok(None) };
        let broken =
            || Stopped::Usage(format!("{} is not whole; look at it with `wetout issue --check`", at.folder.display()));
        let revision = at.manifest.revision.clone();
        let quotes = kept.quotes(reference);
        let quote = quotes.iter().find(|quote| quote.at.manifest.revision == revision).ok_or_else(broken)?;
        let on = date_of(&answer.on).ok_or_else(broken)?;
        let job = at.folder.join(ACCEPTED_JOB);
        let bytes = fs::read(&job).map_err(|error| unread(&job, &error))?;
        let priced = work::price_laid(work::lay_out_loaded(snapshot::load(quote.at, bytes)?)?)?;
        let changes = agreed_changes(kept, reference).into_iter().map(|change| change.sums);
        let accepted = InvoiceSums::of(&priced.pricing);
        let worked = priced.worked();
        Ok(Some(Deal {
            revision,
            on,
            job,
            sums: changes.fold(accepted, InvoiceSums::with),
            vat_rate: rate(&priced.pricing),
            stages: stages(&priced.pricing, accepted),
            first_day: worked.first_day(),
            last_day: priced.programme.days.iter().rev().find_map(|day| day.date),
        }))
    }

    /// The day on which a stage is asked for, as far as it is known: the day to which it is tied; the first of several at once,
    /// the last when the work ends.
    pub(crate) fn asked_on(&self, stage: usize) -> Option<Date> {
        let (first, last) = (stage == 0 && self.stages.len() > 1, stage + 1 == self.stages.len());
        let usual = if first { Some(self.on) } else { self.last_day.filter(|_| last) };
        self.stages[stage].planned.or(usual)
    }

    /// What is not invoiced yet.
    pub(crate) fn left(&self, standing: &[&InvoiceRecord]) -> InvoiceSums {
        let invoiced = standing.iter().map(|invoice| InvoiceSums::from(invoice.sums));
        self.sums.without(invoiced.fold(InvoiceSums::default(), InvoiceSums::with))
    }

    /// What a stage comes to, and what is left to be invoiced after it, where `standing` is invoiced already. Whichever stage
    /// is invoiced last takes all that is left, so that what was agreed since and what an earlier acceptance was invoiced
    /// for are both made good.
    pub(crate) fn next(&self, stage: usize, standing: &[&InvoiceRecord]) -> (InvoiceSums, InvoiceSums) {
        let left = self.left(standing);
        let is_invoiced = |n: usize| standing.iter().any(|invoice| invoice.stage == n + 1);
        let is_last = (0..self.stages.len()).all(|n| n == stage || is_invoiced(n));
        let sums = if is_last { left } else { self.stages[stage].sums };
        (sums, left.without(sums))
    }
}

/// Every line of a price bears one rate.
fn rate(pricing: &Pricing) -> Decimal {
    pricing.vat.iter().chain(&pricing.vat_by_customer).next().map_or(Decimal::ZERO, |line| line.rate)
}

fn stages(pricing: &Pricing, accepted: InvoiceSums) -> Vec<DealStage> {
    let amounts: Vec<Money> = pricing.stages.iter().map(|stage| stage.amount).collect();
    let sums = invoicing::parts(accepted, &amounts);
    let one = |(stage, sums): (&crate::pricing::Stage, InvoiceSums)| DealStage {
        label: stage.label.clone(),
        planned: stage.due,
        sums,
    };
    pricing.stages.iter().zip(sums).map(one).collect()
}

/// The invoice of that number, or of that place in the series: `26-041-INV-2` or `2`.
///
/// # Errors
/// There is none; with those that there are.
pub(crate) fn named<'a>(kept: &'a Kept, reference: &'a str, typed: &str) -> Result<&'a InvoiceRecord, Stopped> {
    let all: Vec<&InvoiceRecord> =
        kept.invoices(reference).into_iter().map(|(_, i)| i).filter(|i| i.credits.is_none()).collect();
    let is = |i: &&&InvoiceRecord| i.number.eq_ignore_ascii_case(typed) || i.sequence.to_string() == typed;
    all.iter().find(is).copied().ok_or_else(|| {
        let numbers: Vec<String> = all.iter().map(|i| i.number.clone()).collect();
        Stopped::Usage(match numbers.is_empty() {
            true => format!("nothing of {reference} is invoiced yet: `wetout invoice JOB --stage 1`"),
            false => format!("{reference} has no invoice {typed}; there is {}", wording::list(&numbers)),
        })
    })
}

/// The credit note that takes an invoice back, where there is one.
pub(crate) fn credit_of<'a>(kept: &'a Kept, reference: &'a str, number: &str) -> Option<&'a InvoiceRecord> {
    let takes_back = |i: &&InvoiceRecord| i.credits.as_ref().is_some_and(|credit| credit.number == number);
    kept.invoices(reference).into_iter().map(|(_, i)| i).find(takes_back)
}

/// The invoices that no credit note has taken back, in the order of their numbers.
pub(crate) fn standing<'a>(kept: &'a Kept, reference: &'a str) -> Vec<(&'a Frozen, &'a InvoiceRecord)> {
    let mut all = kept.invoices(reference);
    let credited: Vec<&str> =
        all.iter().filter_map(|(_, i)| i.credits.as_ref().map(|credit| credit.number.as_str())).collect();
    all.retain(|(_, invoice)| invoice.credits.is_none() && !credited.contains(&invoice.number.as_str()));
    all
}

/// How the account of a job stands.
pub(crate) fn account(kept: &Kept, reference: &str) -> Account {
    let stands: Vec<&str> = standing(kept, reference).iter().map(|(_, i)| i.number.as_str()).collect();
    let charges = kept.invoices(reference).into_iter().filter(|(_, invoice)| invoice.credits.is_none());
    let charge = |(_, invoice): (&Frozen, &InvoiceRecord)| Charge {
        number: invoice.number.clone(),
        due: invoice.due.0,
        total: invoice.sums.total.0,
        credited: !stands.contains(&invoice.number.as_str()),
    };
    let payment =
        |(_, paid): (&Frozen, &PaymentRecord)| Payment { charge: paid.invoice.clone(), amount: paid.amount.0 };
    let payments = kept.payments(reference).into_iter().map(payment).collect();
    Account { charges: charges.map(charge).collect(), payments }
}
