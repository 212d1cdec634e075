//! The accepted deal in money: what was agreed, then and since, in which stages it is paid, what of that was invoiced.
//!
//! Given what is kept; gives sums. The job is priced as it was accepted, by the firm file and the price books that were frozen
//! with its quote: what the firm changes later in its stages or prices changes no deal that was made.

use super::accepted::ACCEPTED_JOB;
use super::kept::{Frozen, IssuedVariation, Kept, VariationState, unread};
use super::manifest::{BackRecord, CustomerAnswer, InvoiceRecord, PaymentRecord, date_of};
use super::snapshot;
use crate::cli::arguments::Files;
use crate::cli::jobs::JobSource;
use crate::cli::work::{self, Stopped};
use crate::documents::letterhead::Parties;
use crate::documents::{IssueStanding, wording};
use crate::job_file::{self, Loaded};
use crate::model::Firm;
use crate::pricing::account::{Account, Charge, Payment};
use crate::pricing::invoicing::{self, InvoiceSums};
use crate::pricing::terms::Retention;
use crate::pricing::{Money, Pricing};
use crate::programme::calendar;
use rust_decimal::Decimal;
use std::fs;
use std::path::PathBuf;
use time::Date;

/// By which words a box of the quote asks for an early beginning.
const EXPRESSLY: &str = "ask you expressly";

/// What was agreed.
#[derive(Debug, Clone)]
pub(crate) struct Deal {
    /// The revision that was accepted.
    pub(crate) revision: String,
    /// On which day.
    pub(crate) on: Date,
    /// The job as accepted.
    pub(crate) job: PathBuf,
    /// What was accepted.
    pub(crate) accepted: InvoiceSums,
    /// What was agreed since, in its order.
    pub(crate) changes: Vec<AgreedChange>,
    /// What it all came to before anything was cancelled.
    pub(crate) agreed: InvoiceSums,
    /// What it all comes to: of a deal that was cancelled what was done until then.
    pub(crate) sums: InvoiceSums,
    /// The day on which it was cancelled.
    pub(crate) cancelled: Option<Date>,
    /// It was the firm that cancelled it.
    pub(crate) by_firm: bool,
    /// The customer has asked expressly to begin before the time for cancelling is over.
    pub(crate) asked_to_begin: bool,
    /// The rate of VAT, %; nothing where the firm was not registered.
    pub(crate) vat_rate: Decimal,
    /// In which stages it is paid, each with its sums.
    pub(crate) stages: Vec<DealStage>,
    /// What the customer keeps back of each payment.
    pub(crate) retention: Option<Retention>,
    /// The first day on site, where it is known.
    pub(crate) first_day: Option<Date>,
    /// The last day on site, where it is known, with the days that were agreed since.
    pub(crate) last_day: Option<Date>,
    /// Hours of one person that the last day has left over.
    pub(crate) spare_hours: Decimal,
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

/// A variation that was agreed after the quote was accepted, and changes its price.
#[derive(Debug, Clone)]
pub(crate) struct AgreedChange {
    /// Its number.
    pub(crate) number: String,
    /// What was found, in short.
    pub(crate) what: String,
    /// On which day it was agreed.
    pub(crate) on: Date,
    /// What it adds or saves.
    pub(crate) sums: InvoiceSums,
    /// Working days more on site.
    pub(crate) days: u32,
}

impl AgreedChange {
    /// What it is called.
    pub(crate) fn words(&self) -> String {
        format!("Variation order {}", self.number)
    }
}

/// The variations of a revision that were agreed, in their order. What waits or was refused changes nothing.
fn agreed_changes(kept: &Kept, reference: &str, revision: &str) -> Vec<AgreedChange> {
    let agreed = |varied: IssuedVariation<'_>| {
        let VariationState::Agreed(answer) = varied.answer else { return None };
        let record = varied.record;
        Some(AgreedChange {
            number: record.number.clone(),
            what: in_short(record.lines.iter().map(|line| line.what.as_str())),
            on: answer.on.0,
            sums: record.sums.into(),
            days: record.days,
        })
    };
    kept.variations(reference, revision).into_iter().filter_map(agreed).collect()
}

/// The first of several things, and how many more there are.
fn in_short<'a>(mut things: impl Iterator<Item = &'a str>) -> String {
    let first = things.next().unwrap_or_default();
    match things.count() {
        0 => first.to_owned(),
        more => format!("{first}, and {}", wording::plural(more, "more item", "more items")),
    }
}

/// The job as it was accepted, with the firm file and the price books of its quote.
///
/// # Errors
/// What cannot be read any more.
pub(crate) fn as_quoted(kept: &Kept, reference: &str) -> Result<Option<Loaded>, Stopped> {
    kept.accepted(reference).map(|(at, _)| quoted_with(kept, reference, at)).transpose()
}

/// The same of an acceptance, of whatever revision.
fn quoted_with(kept: &Kept, reference: &str, at: &Frozen) -> Result<Loaded, Stopped> {
    let quotes = kept.quotes(reference);
    let quote = quotes.iter().find(|quote| quote.at.manifest.revision == at.manifest.revision);
    let quote = quote.ok_or_else(|| {
        Stopped::Usage(format!("{} is not whole; look at it with `wetout issue --check`", at.folder.display()))
    })?;
    let job = at.folder.join(ACCEPTED_JOB);
    let bytes = fs::read(&job).map_err(|error| unread(&job, &error))?;
    snapshot::load(quote.at, bytes)
}

impl Deal {
    /// The deal that stands; `None` where nothing is accepted.
    ///
    /// # Errors
    /// What of it cannot be read or worked any more.
    pub(crate) fn of(kept: &Kept, reference: &str) -> Result<Option<Deal>, Stopped> {
        let Some((at, answer)) = kept.accepted(reference) else { return Ok(None) };
        Deal::at(kept, reference, (at, answer)).map(Some)
    }

    /// The deal that stands, else the last one that was cancelled: its money is still to be settled.
    ///
    /// # Errors
    /// As [`Deal::of`].
    pub(crate) fn last_of(kept: &Kept, reference: &str) -> Result<Option<Deal>, Stopped> {
        let Some((at, answer, ended)) = kept.withdrawn(reference) else { return Deal::of(kept, reference) };
        let deal = Deal::at(kept, reference, (at, answer))?;
        let done = standing(kept, reference).into_iter().map(|(_, i)| i).filter(|invoice| invoice.done);
        let sums = done.map(|invoice| InvoiceSums::from(invoice.sums)).fold(InvoiceSums::default(), InvoiceSums::with);
        Ok(Some(Deal { cancelled: date_of(&ended.on), by_firm: ended.by_firm, agreed: deal.sums, sums, ..deal }))
    }

    fn at(kept: &Kept, reference: &str, (at, answer): (&Frozen, &CustomerAnswer)) -> Result<Deal, Stopped> {
        let broken =
            || Stopped::Usage(format!("{} is not whole; look at it with `wetout issue --check`", at.folder.display()));
        let revision = at.manifest.revision.clone();
        let on = date_of(&answer.on).ok_or_else(broken)?;
        let job = at.folder.join(ACCEPTED_JOB);
        let loaded = quoted_with(kept, reference, at)?;
        let priced = work::price_laid(work::lay_out_loaded(loaded)?)?;
        let changes = agreed_changes(kept, reference, &revision);
        let accepted = InvoiceSums::of(&priced.pricing);
        let worked = priced.worked();
        let more = changes.iter().map(|change| change.days).sum();
        let last_day = priced.programme.days.iter().rev().find_map(|day| day.date);
        let day_hours = priced.laid.loaded.rules.day_hours * Decimal::from(priced.terms.people());
        let last_hours = priced.programme.days.last().map_or(day_hours, |day| day.paid_hours());
        let agreed = changes.iter().map(|change| change.sums).fold(accepted, InvoiceSums::with);
        Ok(Deal {
            revision,
            on,
            job,
            accepted,
            agreed,
            sums: agreed,
            cancelled: None,
            by_firm: false,
            asked_to_begin: answer.consents.iter().any(|said| said.contains(EXPRESSLY)),
            changes,
            vat_rate: rate(&priced.pricing),
            stages: stages(&priced.pricing, accepted),
            retention: priced.pricing.retention,
            first_day: worked.first_day(),
            last_day: last_day.map(|day| calendar::working_days_after(day, more, &priced.firm.holidays)),
            spare_hours: (day_hours - last_hours).max(Decimal::ZERO),
        })
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
        if self.cancelled.is_some() {
            return InvoiceSums::default(); // What was asked for is credited; what was done is asked for once it is known.
        }
        // What was done under an earlier contract that was cancelled is no part of this price.
        let invoiced = standing.iter().filter(|invoice| !invoice.done).map(|invoice| InvoiceSums::from(invoice.sums));
        self.sums.without(invoiced.fold(InvoiceSums::default(), InvoiceSums::with))
    }

    /// What is neither asked for yet nor kept back.
    pub(crate) fn unasked(&self, standing: &[&InvoiceRecord]) -> InvoiceSums {
        self.left(standing).without(kept_back(standing))
    }

    /// The first stage that is not invoiced yet, where anything is left to be asked for.
    pub(crate) fn to_invoice(&self, standing: &[&InvoiceRecord]) -> Option<usize> {
        let first = (0..self.stages.len()).find(|n| standing.iter().all(|invoice| invoice.stage != n + 1));
        first.filter(|_| standing.is_empty() || self.unasked(standing).total > Money::ZERO)
    }

    /// Until when what is kept back is kept, as far as that is known: by the last day on site, else by the last invoice.
    pub(crate) fn kept_until(&self, last_invoice: Date) -> Option<Date> {
        self.retention.map(|kept| kept.until.day(self.last_day.unwrap_or(last_invoice)))
    }

    /// What was agreed since and is not invoiced yet.
    pub(crate) fn uninvoiced(&self, standing: &[&InvoiceRecord]) -> Vec<&AgreedChange> {
        let is_invoiced = |change: &AgreedChange| {
            standing.iter().flat_map(|invoice| &invoice.variations).any(|varied| varied.number == change.number)
        };
        self.changes.iter().filter(|change| !is_invoiced(change)).collect()
    }

    /// What a stage comes to, the variations that are invoiced with it, and what is left to be asked for after it, where `standing` is invoiced already. Whichever stage
    /// is invoiced last takes all that is left, so that what was agreed since and what an earlier acceptance was invoiced
    /// for are both made good. Where so much was taken off the price that a stage comes to all that is left or more, it is the
    /// last: those behind it have nothing left to ask for.
    pub(crate) fn next(
        &self,
        stage: usize,
        standing: &[&InvoiceRecord],
    ) -> (InvoiceSums, Vec<&AgreedChange>, InvoiceSums) {
        let left = self.unasked(standing);
        let is_invoiced = |n: usize| standing.iter().any(|invoice| invoice.stage == n + 1);
        let takes_all = left.total > Money::ZERO && left.total <= self.stages[stage].sums.total;
        let is_last = takes_all || (0..self.stages.len()).all(|n| n == stage || is_invoiced(n));
        match is_last {
            true => (left, self.uninvoiced(standing), InvoiceSums::default()),
            false => (self.stages[stage].sums, Vec::new(), left.without(self.stages[stage].sums)),
        }
    }
}

/// What the customer has kept back so far, and was not asked for since.
pub(crate) fn kept_back(standing: &[&InvoiceRecord]) -> InvoiceSums {
    let kept = standing.iter().filter_map(|invoice| Some(InvoiceSums::from(invoice.kept_back?.sums)));
    let asked = standing.iter().filter(|invoice| invoice.releases).map(|invoice| InvoiceSums::from(invoice.sums));
    kept.fold(InvoiceSums::default(), InvoiceSums::with).without(asked.fold(InvoiceSums::default(), InvoiceSums::with))
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

/// The variation of that number, or of that place in the series: `26-041-VAR-1` or `1`.
///
/// # Errors
/// There is none; with those that there are.
pub(crate) fn variation<'a>(
    kept: &'a Kept,
    reference: &'a str,
    revision: &'a str,
    typed: &str,
) -> Result<IssuedVariation<'a>, Stopped> {
    let all = kept.variations(reference, revision);
    let is = |v: &&IssuedVariation<'_>| {
        v.record.number.eq_ignore_ascii_case(typed) || v.record.sequence.to_string() == typed
    };
    all.iter().find(is).copied().ok_or_else(|| {
        let numbers: Vec<String> = all.iter().map(|v| v.record.number.clone()).collect();
        Stopped::Usage(match numbers.is_empty() {
            true => format!("{reference} has no variation yet: `wetout variation JOB found.yaml` issues one"),
            false => format!("{reference} has no variation {typed}; there is {}", wording::list(&numbers)),
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
    let refund = |back: &BackRecord| Payment { charge: String::new(), amount: -back.amount.0 };
    let refunds = kept.refunds(reference).into_iter().map(refund);
    let payments = kept.payments(reference).into_iter().map(payment).chain(refunds).collect();
    Account { charges: charges.map(charge).collect(), payments }
}

pub(super) fn nothing_accepted(reference: &str) -> Stopped {
    Stopped::Usage(format!(
        "no quote of {reference} is accepted, so there is nothing to invoice: `wetout accept` records an acceptance"
    ))
}

/// The job as accepted, with the firm file of today: its name, account and numbers are today's.
pub(super) fn read_accepted(deal: &Deal, files: &Files) -> Result<Loaded, Stopped> {
    let request = JobSource::File(deal.job.clone()).request(files).map_err(Stopped::Usage)?;
    job_file::load(&request).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))
}

/// Who deals with whom about what, on a paper that follows an accepted quote.
///
/// # Errors
/// No firm file was found.
pub(super) fn parties<'a>(
    loaded: &'a Loaded,
    reference: &'a str,
    date: Date,
    standing: IssueStanding<'a>,
) -> Result<Parties<'a>, Stopped> {
    let job = &loaded.job;
    Ok(Parties {
        firm: firm_of(loaded)?,
        customer: &job.customer,
        site: &job.site.address,
        title: &job.title,
        reference,
        date,
        first_day: None,
        standing,
    })
}

pub(super) fn firm_of(loaded: &Loaded) -> Result<&Firm, Stopped> {
    let none = "no firm file was found, and an invoice needs its name and account: name one with --firm";
    loaded.firm.as_ref().ok_or_else(|| Stopped::Usage(none.into()))
}
