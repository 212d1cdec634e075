//! `invoice`: freezes the invoice for a stage of the accepted job, or for a variation of it, under the next number of the job's own
//! series, or a credit note for one.
//!
//! Given a job, a stage or a variation and a day; gives a new folder in `issued`. All that is printed is worked out from what stands there
//! and is written into its manifest; where another run has put something there in the meantime, it is worked out anew. So
//! numbers follow one another without a gap, none is used twice, and no stage and no variation is invoiced twice.

use super::accepted::reference;
use super::deal::{self, AgreedChange, Deal, firm_of, nothing_accepted, read_accepted};
use super::kept::{Frozen, Kept, series_folder, unread};
use super::manifest::{
    ChangeRecord, CreditRecord, EarlierRecord, FrozenAs, Inputs, InvoiceRecord, InvoicedVariationRecord,
    KeptBackRecord, KeptDay, KeptFile, KeptForm, KeptMoney, KeptNumber, Manifest, program,
};
use super::paid_back;
use super::snapshot::{self, SnapshotFiles};
use crate::cli::Outcome;
use crate::cli::arguments::Invoice;
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::invoice::{
    self, AGREED, AcceptedQuote, CreditedInvoice, EarlierInvoice, InvoiceForm, InvoiceView, InvoicedStage,
    InvoicedVariation, KeptBack, PriceChange,
};
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding, ubl_invoice, wording};
use crate::job_file::Loaded;
use crate::model::Problem;
use crate::pricing::Money;
use crate::pricing::account::Account;
use crate::pricing::invoicing::{InvoiceSums, share_of};
use crate::records::{self, MANIFEST};
use rust_decimal::Decimal;
use std::io;
use std::path::Path;
use time::{Date, Duration};

/// The series of invoices and credit notes, as folders are named.
const SERIES: &str = "invoice";
/// The same in numbers.
const PRINTED: &str = "INV";
/// How often another run may come between.
const TRIES: usize = 50;
/// Why a request has no form for computers.
const NO_INVOICE: &str = "a request for payment is no invoice, so it has no form in which computers take invoices; leave `--ubl` out, or say \
                          `--vat-invoice`";

/// Issues an invoice, or writes its draft.
///
/// # Errors
/// What keeps it from being invoiced, made or written.
pub(crate) fn invoice(named: &JobSource, typed: &Invoice, today: Date) -> Result<Outcome, Stopped> {
    if typed.files.date.is_some() {
        return Err(Stopped::Usage("say the day of the invoice with `--on`; the price is the accepted one".into()));
    }
    let home = named.folder().join(records::ISSUED);
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let deal = Deal::last_of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
        if let Some(on) = deal.cancelled.filter(|_| typed.credit.is_none() && typed.done.is_none()) {
            return Err(Stopped::Usage(format!(
                "what was accepted of {reference} was taken back on {on}: of its price only what was done until then is asked for, \
                 with `wetout invoice JOB --done AMOUNT`"
            )));
        }
        let loaded = read_accepted(&deal, &typed.files)?;
        let date = typed.on.unwrap_or(today);
        let record = match (&typed.credit, &typed.because) {
            (Some(number), Some(because)) => credit(&kept, &reference, &deal, (number, because), date)?,
            _ => of_part(&kept, &reference, &deal, &loaded, typed, date)?,
        };
        if typed.draft {
            return draft(named, typed, &loaded, &record, &deal.revision);
        }
        if typed.ubl && record.form.0 == InvoiceForm::Request {
            return Err(Stopped::Usage(NO_INVOICE.into()));
        }
        if let Some(said) = freeze(&kept, (&reference, &deal.revision), &loaded, record, typed.ubl)? {
            terminal::say(&said)?;
            // What stands to the customer's credit pays a request at once: that has its receipt; and a request that is taken back
            // leaves no receipt for its VAT standing.
            terminal::say(&paid_back::settle(&home, (&reference, &deal), &loaded, date)?)?;
            return Ok(Outcome::Done);
        }
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

// ---- What it says ------------------------------------------------------------------------------------------------------

/// What an invoice is for.
struct InvoicedPart<'a> {
    /// The stage, from 0; `None` where it is for a variation alone.
    stage: Option<usize>,
    label: String,
    share: Decimal,
    variations: Vec<&'a AgreedChange>,
    /// It asks for what was kept back.
    releases: bool,
    /// It asks for what was done until the contract was cancelled.
    done: bool,
    /// All of it, with what is kept back of it.
    sums: InvoiceSums,
    /// What is left to be asked for after it, without what is kept back.
    left: InvoiceSums,
}

/// All that stands on the invoice of a stage, or of a variation.
fn of_part(
    kept: &Kept,
    reference: &str,
    deal: &Deal,
    loaded: &Loaded,
    typed: &Invoice,
    date: Date,
) -> Result<InvoiceRecord, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    let standing: Vec<&InvoiceRecord> = deal::standing(kept, reference).into_iter().map(|(_, i)| i).collect();
    let part = match &typed.variation {
        Some(number) => of_variation(kept, reference, deal, &standing, number)?,
        None if typed.retention => of_retention(deal, &standing, typed, date)?,
        None => match typed.done {
            Some(sum) => of_what_was_done(deal, &standing, loaded, (sum, typed))?,
            None => of_stage(deal, &standing, typed)?,
        },
    };
    if date < deal.on {
        return refuse(format!("the quote was accepted only on {}; no invoice is of an earlier day", deal.on));
    }
    if let Some(change) = part.variations.iter().find(|change| date < change.on) {
        let agreed = format!("{} was agreed only on {}", change.number, change.on);
        return refuse(format!("{agreed}; no invoice for it is of an earlier day"));
    }
    if let Some((_, last)) = kept.invoices(reference).last().filter(|(_, last)| date < last.date.0) {
        return refuse(format!("{} is of {}: numbers follow one another in time", last.number, last.date.0));
    }
    let firm = firm_of(loaded)?;
    let left = deal.unasked(&standing).total;
    if left <= Money::ZERO && !part.releases && !part.done && !standing.is_empty() {
        return refuse(match left == Money::ZERO {
            true => format!("all of the {} that is agreed was asked for: nothing is left", deal.sums.total),
            false => format!(
                "{} more was invoiced than the {} that is agreed; credit an invoice that holds no longer",
                -left, deal.sums.total
            ),
        });
    }
    if part.sums.is_below_nothing() || part.left.is_below_nothing() {
        return refuse(format!("{left} of the {} that is agreed is left: no more can be asked for", deal.sums.total));
    }
    let form = form(deal, loaded, typed, date)?;
    let tax_point = tax_point(deal, form, typed, date)?;
    refuse_other_rate(deal, loaded, form, tax_point.unwrap_or(date))?;
    let sequence = kept.next_in_series(reference, SERIES)?;
    let account = deal::account(kept, reference);
    let kept_back = kept_back(deal, &part, &standing, date);
    let held = kept_back.map_or_else(InvoiceSums::default, |kept| kept.sums.into());
    let sums = part.sums.without(held);
    Ok(InvoiceRecord {
        sequence,
        number: printed_number(reference, sequence),
        form: KeptForm(form),
        date: KeptDay(date),
        tax_point: tax_point.map(KeptDay),
        due: KeptDay(date.saturating_add(Duration::days(i64::from(firm.payment_days)))),
        stage: part.stage.map_or(0, |n| n + 1),
        stages: deal.stages.len(),
        label: part.label,
        share: KeptNumber(part.share),
        kept_back,
        releases: part.releases,
        done: part.done,
        cancelled: deal.cancelled.map(KeptDay),
        even_so: typed.even_so.clone(),
        variations: part.variations.into_iter().map(as_invoiced).collect(),
        sums: sums.into(),
        vat_rate: KeptNumber(deal.vat_rate),
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        changes: changes(deal),
        left: KeptMoney(if part.done { Money::ZERO } else { deal.left(&standing).without(sums).total }),
        earlier: standing.into_iter().map(|invoice| as_earlier(invoice, &account)).collect(),
        paid: KeptMoney(account.paid()),
        credit: Some((-account.balance()).min(sums.total)).filter(|credit| *credit > Money::ZERO).map(KeptMoney),
        credits: None,
        inputs: Inputs::default(),
    })
}

/// A stage, with the variations that are invoiced with the last.
fn of_stage<'a>(deal: &'a Deal, standing: &[&InvoiceRecord], typed: &Invoice) -> Result<InvoicedPart<'a>, Stopped> {
    let stage = wanted_stage(deal, typed.stage)?;
    if let Some(before) = standing.iter().find(|invoice| invoice.stage == stage + 1) {
        return Err(Stopped::Usage(format!(
            "stage {} was invoiced on {} as {}; `wetout invoice JOB --credit {} --because \"reason\"` takes that back",
            stage + 1,
            before.date.0,
            before.number,
            before.number
        )));
    }
    let is_asked_for = |n: &usize| standing.iter().any(|invoice| invoice.stage == n + 1);
    if let Some(before) = (0..stage).find(|n| !is_asked_for(n)).filter(|_| typed.even_so.is_none() && !typed.draft) {
        return Err(Stopped::Usage(format!(
            "stage {}, {}, comes before stage {} and is not asked for yet: `wetout invoice JOB --stage {}`; if this one is meant, \
             say why with `--even-so \"reason\"`",
            before + 1,
            deal.stages[before].label,
            stage + 1,
            before + 1
        )));
    }
    let (sums, variations, left) = deal.next(stage, standing);
    let varied = variations.iter().map(|change| change.sums).fold(InvoiceSums::default(), InvoiceSums::with);
    let share = share_of(sums.without(varied).total, deal.accepted.total);
    let label = deal.stages[stage].label.clone();
    Ok(InvoicedPart { stage: Some(stage), label, share, variations, releases: false, done: false, sums, left })
}

/// A variation by itself.
fn of_variation<'a>(
    kept: &Kept,
    reference: &str,
    deal: &'a Deal,
    standing: &[&InvoiceRecord],
    typed: &str,
) -> Result<InvoicedPart<'a>, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    let number = deal::variation(kept, reference, &deal.revision, typed)?.record.number.clone();
    let Some(change) = deal.changes.iter().find(|change| change.number == number) else {
        return refuse(format!(
            "{number} is not agreed: `wetout variation JOB --agreed {typed} --on DATE --name \"who\"` records that it is"
        ));
    };
    if let Some(before) = standing.iter().find(|i| i.variations.iter().any(|varied| varied.number == number)) {
        return refuse(format!(
            "{number} was invoiced on {} with {}; `wetout invoice JOB --credit {} --because \"reason\"` takes that back",
            before.date.0, before.number, before.number
        ));
    }
    if change.sums.is_below_nothing() {
        return refuse(format!(
            "{number} takes {} off the price: it is set against the last stage; where that is invoiced, credit it and invoice it \
             anew",
            -change.sums.total
        ));
    }
    Ok(InvoicedPart {
        stage: None,
        label: change.words(),
        share: Decimal::ONE_HUNDRED,
        variations: vec![change],
        releases: false,
        done: false,
        sums: change.sums,
        left: deal.unasked(standing).without(change.sums),
    })
}

/// What the customer has kept back so far.
///
/// VAT on it falls due when it is paid or when an invoice for VAT is issued for it, whichever comes first: regulations 89 and
/// 93(1) of the VAT Regulations 1995 (SI 1995/2518), as read at legislation.gov.uk and in HMRC manuals VATTOS5170 and VATTOS9120.
/// So no invoice for a stage bears the VAT of what is kept back of it, and this one bears that.
fn of_retention<'a>(
    deal: &Deal,
    standing: &[&InvoiceRecord],
    typed: &Invoice,
    date: Date,
) -> Result<InvoicedPart<'a>, Stopped> {
    let sums = deal::kept_back(standing);
    if sums.total <= Money::ZERO {
        return Err(Stopped::Usage(match deal.retention {
            Some(_) => "nothing was kept back yet, or all of it was invoiced".to_owned(),
            None => "nothing is kept back of this job: its quote was accepted without a retention".to_owned(),
        }));
    }
    let until = standing.iter().filter_map(|invoice| Some(invoice.kept_back?.until.0)).max();
    if let Some(until) = until.filter(|until| date < *until && typed.even_so.is_none()) {
        return Err(Stopped::Usage(format!(
            "the customer keeps {} back until {until}; `--even-so \"reason\"` asks for it before that day",
            sums.total
        )));
    }
    let of = standing.iter().filter(|invoice| invoice.kept_back.is_some()).map(|invoice| invoice.number.clone());
    let of = wording::list(&of.collect::<Vec<_>>());
    Ok(InvoicedPart {
        stage: None,
        label: format!("What you have kept back of {of}"),
        share: Decimal::ONE_HUNDRED,
        variations: Vec::new(),
        releases: true,
        done: false,
        sums,
        left: deal.unasked(standing),
    })
}

/// What of the price the customer pays for what was done until the contract was cancelled.
///
/// A consumer who has asked expressly for the work to begin before the time for cancelling is over pays for what was supplied until he
/// cancels, in proportion to the whole; one who has not pays nothing: regulation 36 of the Consumer Contracts Regulations 2013
/// (SI 2013/3134), from memory.
fn of_what_was_done<'a>(
    deal: &Deal,
    standing: &[&InvoiceRecord],
    loaded: &Loaded,
    (sum, typed): (Money, &Invoice),
) -> Result<InvoicedPart<'a>, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    let Some(on) = deal.cancelled else {
        return refuse(
            "what was done is asked for by itself only of a job that was cancelled (`wetout withdraw`); else by its stages".into(),
        );
    };
    if let Some(before) = standing.first() {
        return refuse(format!(
            "{} of {} still stands: credit it first (`wetout invoice JOB --credit {} --because \"reason\"`)",
            before.number, before.date.0, before.number
        ));
    }
    if sum > deal.agreed.total {
        return refuse(format!("{sum} is more than the whole of what was agreed, {}", deal.agreed.total));
    }
    let owes_nothing = match (loaded.job.reverse_charge, deal.by_firm) {
        (false, true) => Some("it was you who took it back"),
        (false, false) if !deal.asked_to_begin => {
            Some("no express request to begin before the time for cancelling is over is recorded with the acceptance")
        }
        _ => None,
    };
    if let Some(why) = owes_nothing.filter(|_| typed.even_so.is_none()) {
        return refuse(format!(
            "the customer may owe nothing for what was done: {why}; if it is owed, say why with `--even-so \"reason\"`"
        ));
    }
    Ok(InvoicedPart {
        stage: None,
        label: format!("What was done and supplied until the contract was cancelled on {}", wording::date(on)),
        share: share_of(sum, deal.agreed.total),
        variations: Vec::new(),
        releases: false,
        done: true,
        sums: deal.agreed.first(sum),
        left: InvoiceSums::default(),
    })
}

/// What the customer keeps back of an invoice.
fn kept_back(deal: &Deal, part: &InvoicedPart<'_>, standing: &[&InvoiceRecord], date: Date) -> Option<KeptBackRecord> {
    let (kept, until) = deal.retention.zip(deal.kept_until(date)).filter(|_| !part.releases && !part.done)?;
    let sums = part.sums.kept_back(kept.rate);
    (sums.total > Money::ZERO).then(|| KeptBackRecord {
        rate: KeptNumber(kept.rate),
        until: KeptDay(until),
        sums: sums.into(),
        in_all: Some(KeptMoney(deal::kept_back(standing).total + sums.total)),
    })
}

fn as_invoiced(change: &AgreedChange) -> InvoicedVariationRecord {
    InvoicedVariationRecord {
        number: change.number.clone(),
        on: KeptDay(change.on),
        what: change.what.clone(),
        sums: change.sums.into(),
    }
}

/// What was agreed since the acceptance.
pub(super) fn changes(deal: &Deal) -> Vec<ChangeRecord> {
    let one = |change: &AgreedChange| ChangeRecord {
        number: change.number.clone(),
        on: KeptDay(change.on),
        total: KeptMoney(change.sums.total),
    };
    deal.changes.iter().map(one).collect()
}

/// The same as it is printed.
pub(super) fn printed_changes(changes: &[ChangeRecord]) -> Vec<PriceChange> {
    let one = |change: &ChangeRecord| PriceChange {
        words: format!("Variation order {}", change.number),
        how: AGREED.to_owned(),
        on: change.on.0,
        amount: change.total.0,
    };
    changes.iter().map(one).collect()
}

/// All that stands on a credit note: it takes an invoice back whole.
fn credit(
    kept: &Kept,
    reference: &str,
    deal: &Deal,
    (number, because): (&str, &str),
    date: Date,
) -> Result<InvoiceRecord, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    let invoice = deal::named(kept, reference, number)?;
    if because.trim().is_empty() {
        return refuse("say why it is credited: `--because \"reason\"`".into());
    }
    if let Some(credit) = deal::credit_of(kept, reference, &invoice.number) {
        return refuse(format!("{} was credited on {} by {}", invoice.number, credit.date.0, credit.number));
    }
    if let Some((_, last)) = kept.invoices(reference).last().filter(|(_, last)| date < last.date.0) {
        return refuse(format!("{} is of {}: numbers follow one another in time", last.number, last.date.0));
    }
    let others: Vec<&InvoiceRecord> =
        deal::standing(kept, reference).into_iter().map(|(_, i)| i).filter(|i| i.number != invoice.number).collect();
    let (left, account) = (deal.left(&others), deal::account(kept, reference));
    let sequence = kept.next_in_series(reference, SERIES)?;
    Ok(InvoiceRecord {
        sequence,
        number: printed_number(reference, sequence),
        date: KeptDay(date),
        due: KeptDay(date),
        earlier: others.into_iter().map(|invoice| as_earlier(invoice, &account)).collect(),
        left: KeptMoney(left.total),
        paid: KeptMoney(account.paid()),
        credit: None,
        even_so: None,
        cancelled: deal.cancelled.map(KeptDay),
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        changes: changes(deal),
        credits: Some(CreditRecord {
            number: invoice.number.clone(),
            date: invoice.date,
            because: because.trim().to_owned(),
        }),
        inputs: Inputs::default(),
        ..invoice.clone()
    })
}

/// Credits all that stands of a job that was cancelled. Gives what is to be said.
///
/// # Errors
/// What keeps it from being made or written.
pub(super) fn credit_all(
    home: &Path,
    (reference, deal): (&str, &Deal),
    loaded: &Loaded,
    (because, on): (&str, Date),
) -> Result<String, Stopped> {
    let mut all = String::new();
    for _ in 0..TRIES {
        let kept = Kept::within(home).map_err(|error| unread(home, &error))?;
        let standing = deal::standing(&kept, reference);
        let Some((_, invoice)) = standing.first() else {
            return Ok(all + &paid_back::settle(home, (reference, deal), loaded, on)?);
        };
        // Numbers follow one another in time.
        let day = kept.invoices(reference).last().map_or(on, |(_, last)| last.date.0.max(on));
        let record = credit(&kept, reference, deal, (&invoice.number, because), day)?;
        all += &freeze(&kept, (reference, &deal.revision), loaded, record, false)?.unwrap_or_default();
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

fn as_earlier(invoice: &InvoiceRecord, account: &Account) -> EarlierRecord {
    let open = account.open_of(&invoice.number);
    let unpaid_request = (invoice.form.0 == InvoiceForm::Request && open > Money::ZERO).then_some(KeptMoney(open));
    let is_open = open > Money::ZERO;
    EarlierRecord {
        unpaid_request,
        due: is_open.then_some(invoice.due),
        open: is_open.then_some(KeptMoney(open)),
        number: invoice.number.clone(),
        date: invoice.date,
        label: invoice.label.clone(),
        total: invoice.sums.total,
    }
}

fn printed_number(reference: &str, sequence: u32) -> String {
    format!("{reference}-{PRINTED}-{sequence}")
}

/// The stage that was named, from 0; the only one where there is no other.
fn wanted_stage(deal: &Deal, typed: Option<usize>) -> Result<usize, Stopped> {
    let there = || {
        let lines = deal.stages.iter().zip(1..).map(|(s, n)| format!("\n  {n}  {}, {}", s.label, s.sums.total));
        lines.collect::<String>()
    };
    match (typed, deal.stages.len()) {
        (None, 1) => Ok(0),
        (None, _) => Err(Stopped::Usage(format!("say which stage is invoiced, such as `--stage 1`:{}", there()))),
        (Some(n), count) => match n.checked_sub(1).filter(|n| *n < count) {
            Some(n) => Ok(n),
            None => Err(Stopped::Usage(format!("there is no stage {n}; the accepted price is paid so:{}", there()))),
        },
    }
}

/// What it is in the eyes of the law. What is asked for before the work begins is a request for payment, unless an invoice for
/// VAT was asked for; why, stands in [`invoice()`].
fn form(deal: &Deal, loaded: &Loaded, typed: &Invoice, date: Date) -> Result<InvoiceForm, Stopped> {
    let registered = loaded.terms.as_ref().is_some_and(|terms| terms.vat.registered);
    let with_vat = deal.sums.vat > Money::ZERO || deal.sums.by_customer > Money::ZERO;
    if with_vat && !registered {
        let fault = "the price was accepted with VAT, and the firm file says that you are not registered for it: no VAT may be \
                     charged; issue a quote without VAT and have that accepted";
        return Err(Stopped::Usage(fault.into()));
    }
    if !registered {
        return match typed.vat_invoice {
            true => Err(Stopped::Usage("a firm that is not registered for VAT issues no invoice for VAT".into())),
            false => Ok(InvoiceForm::Invoice),
        };
    }
    let in_advance = deal.cancelled.is_none()
        && deal.first_day.map_or(typed.stage == Some(1) && deal.stages.len() > 1, |first| date < first);
    Ok(match (in_advance && !typed.vat_invoice, deal.sums.by_customer > Money::ZERO) {
        (true, _) => InvoiceForm::Request,
        (false, true) => InvoiceForm::ReverseCharge,
        (false, false) => InvoiceForm::VatInvoice,
    })
}

/// The day on which VAT falls due, where it is not the day of the invoice.
fn tax_point(deal: &Deal, form: InvoiceForm, typed: &Invoice, date: Date) -> Result<Option<Date>, Stopped> {
    let Some(point) = typed.tax_point.filter(|point| *point != date) else { return Ok(None) };
    let refuse = |words: &str| Err(Stopped::Usage(words.to_owned()));
    match form {
        InvoiceForm::Invoice => refuse("a firm that is not registered for VAT has no tax point"),
        InvoiceForm::Request => refuse(
            "a request for payment has no tax point: its VAT falls due when it is paid; `--vat-invoice` makes an invoice of it",
        ),
        _ if point > date => {
            refuse("the tax point lies after the day of the invoice, which is then the tax point itself")
        }
        _ if point < deal.on => refuse("the tax point lies before the day on which the quote was accepted"),
        _ => Ok(Some(point)),
    }
}

/// The rate of the day is the law's; the price was made with another.
fn refuse_other_rate(deal: &Deal, loaded: &Loaded, form: InvoiceForm, point: Date) -> Result<(), Stopped> {
    // A request has no tax point: its VAT falls due when it is paid, and its receipt asks.
    let is_untaxed = matches!(form, InvoiceForm::Invoice | InvoiceForm::Request);
    let claimed = loaded.job_money.vat.is_some() || is_untaxed;
    let today = loaded.terms.as_ref().map(|terms| terms.rate_on(point));
    match today.filter(|today| !claimed && *today != deal.vat_rate) {
        Some(rate) => Err(Stopped::Usage(format!(
            "your rate of VAT on {point} is {} %, and the price was accepted at {} %: settle with the customer who bears the \
             difference, and have a quote at the new rate accepted",
            rate.normalize(),
            deal.vat_rate.normalize()
        ))),
        None => Ok(()),
    }
}

// ---- Making, freezing, making again -------------------------------------------------------------------------------------

/// What is printed, from what was written down.
fn view<'a>(
    record: &'a InvoiceRecord,
    (reference, revision): (&'a str, &'a str),
    loaded: &'a Loaded,
    is_draft: bool,
) -> Result<InvoiceView<'a>, Stopped> {
    let job = &loaded.job;
    Ok(InvoiceView {
        parties: deal::parties(
            loaded,
            reference,
            record.date.0,
            if is_draft { IssueStanding::Draft } else { IssueStanding::Numbered },
        )?,
        form: record.form.0,
        number: (!is_draft).then_some(record.number.as_str()),
        tax_point: record.tax_point.map(|day| day.0),
        due: record.due.0,
        stage: InvoicedStage {
            number: record.stage,
            count: record.stages,
            label: &record.label,
            share: record.share.0,
        },
        variations: record.variations.iter().map(varied).collect(),
        kept_back: record.kept_back.map(|kept| KeptBack {
            rate: kept.rate.0,
            until: kept.until.0,
            sums: kept.sums.into(),
            in_all: kept.in_all.map_or(kept.sums.total.0, |all| all.0),
        }),
        releases: record.releases,
        done: record.done,
        cancelled: record.cancelled.map(|day| day.0),
        sums: record.sums.into(),
        rate: record.vat_rate.0,
        changes: printed_changes(&record.changes),
        accepted: AcceptedQuote { revision, on: record.accepted_on.0, total: record.accepted_total.0 },
        before: record.earlier.iter().map(earlier).collect(),
        left: record.left.0,
        paid: record.paid.0,
        credit: record.credit.map_or(Money::ZERO, |credit| credit.0),
        credits: record.credits.as_ref().map(|credit| CreditedInvoice {
            number: &credit.number,
            on: credit.date.0,
            because: &credit.because,
        }),
        customer_vat_number: job.customer_vat_number.as_deref(),
    })
}

fn varied(record: &InvoicedVariationRecord) -> InvoicedVariation<'_> {
    let InvoicedVariationRecord { number, on, what, sums } = record;
    InvoicedVariation { number, on: on.0, what, sums: (*sums).into() }
}

fn earlier(record: &EarlierRecord) -> EarlierInvoice<'_> {
    EarlierInvoice {
        number: &record.number,
        on: record.date.0,
        label: &record.label,
        total: record.total.0,
        unpaid_request: record.unpaid_request.map(|open| open.0),
        open: record.due.zip(record.open).map(|(due, open)| (due.0, open.0)),
    }
}

fn draft(
    named: &JobSource,
    typed: &Invoice,
    loaded: &Loaded,
    record: &InvoiceRecord,
    revision: &str,
) -> Result<Outcome, Stopped> {
    let folder = work::out_folder(named, &typed.output, None);
    refuse_kept(&folder)?;
    let view = view(record, (&loaded.job.reference, revision), loaded, true)?;
    let Finished { name, bytes } = work::made_of(loaded, |own| invoice::make(&view, own))?;
    let written = records::write_all(&folder, [(name.as_str(), bytes.as_slice())], |_| false)
        .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    let places: String = written.places.iter().map(|place| format!("wrote {}\n", place.display())).collect();
    terminal::say(&format!("{places}A draft takes no number; without --draft it is issued.\n"))?;
    Ok(Outcome::Done)
}

/// Freezes it; `None` where another run came between. Gives what is to be said.
fn freeze(
    kept: &Kept,
    (reference, revision): (&str, &str),
    loaded: &Loaded,
    record: InvoiceRecord,
    ubl: bool,
) -> Result<Option<String>, Stopped> {
    let (inputs, which) = snapshot::of(loaded, None)?;
    let record = InvoiceRecord { inputs: which.clone(), ..record };
    let view = view(&record, (reference, revision), loaded, false)?;
    let finished = work::made_of(loaded, |own| invoice::make(&view, own))?;
    if snapshot::of(loaded, None)? != (inputs.clone(), which) {
        return Ok(None); // A template or a font was changed while it was made.
    }
    let told = told(&record);
    let pdf = finished.name.clone();
    let mut all: SnapshotFiles = vec![(finished.name, finished.bytes)];
    let for_computers = if ubl { of_computers(&view) } else { None };
    let wrote = for_computers.iter().map(|file| file.name.clone()).collect::<Vec<_>>();
    all.extend(for_computers.map(|file| (file.name, file.bytes)));
    all.extend(inputs);
    let before = kept.invoices(reference).last().map(|(at, _)| at.listed.clone());
    let name = series_folder(reference, SERIES, record.sequence);
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        files: all.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        holds: FrozenAs::Invoiced(Box::new(record)),
        before,
    };
    all.push((MANIFEST.to_owned(), manifest.written()));
    match records::freeze_upon(&kept.home, &kept.names, &name, &all) {
        Ok(folder) => {
            let wrote = [pdf].into_iter().chain(wrote).map(|name| format!("wrote {}\n", folder.join(name).display()));
            Ok(Some(told + &wrote.collect::<String>()))
        }
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && kept.home.is_dir() => Ok(None),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

fn told(record: &InvoiceRecord) -> String {
    let (what, total) = (record.form.0.word(), record.sums.total.0);
    let mut text = match &record.credits {
        Some(credit) => format!("issued credit note {}: {} of {total} is taken back\n", record.number, credit.number),
        None => {
            let of = match record.stage {
                0 => record.label.clone(),
                stage => format!("stage {stage} of {}, {}", record.stages, record.label),
            };
            format!("issued {what} {}: {total} for {of}, to be paid by {}\n", record.number, record.due.0)
        }
    };
    if let Some(credit) = record.credit.map(|credit| credit.0) {
        let rest = record.sums.total.0 - credit;
        text += &format!("{credit} of it stood to the customer's credit: {rest} is to be paid\n");
    }
    for varied in record.variations.iter().filter(|_| record.stage > 0 && record.credits.is_none()) {
        text += &format!("with variation order {} of {}\n", varied.number, varied.sums.total.0);
    }
    if let Some(kept) = record.kept_back.filter(|_| record.credits.is_none()) {
        text += &format!("{} more is kept back until {}\n", kept.sums.total.0, kept.until.0);
    }
    if record.form.0 == InvoiceForm::Request && record.credits.is_none() {
        text += "It is no invoice for VAT: once it is paid, `wetout receipt` writes one.\n";
    }
    let requests = record.earlier.iter().filter_map(|earlier| Some((earlier, earlier.unpaid_request?.0)));
    for (EarlierRecord { number, total, .. }, open) in
        requests.filter(|_| record.credits.is_none() && record.form.0 != InvoiceForm::Request)
    {
        let or = match open == total.0 {
            true => format!(", or when you credit {number} and invoice its stage anew"),
            false => String::new(),
        };
        text += &format!(
            "{open} of {number}, a request for payment, is not paid: VAT on it is not in this invoice and falls due when it is paid{or}\n"
        );
    }
    match record.cancelled {
        Some(_) => text,
        None => text + &format!("left to be invoiced: {}\n", record.left.0),
    }
}

/// Makes the document of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &InvoiceRecord) -> Result<Vec<Finished>, Stopped> {
    let loaded = snapshot::read_again(frozen)?;
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), &loaded, false)?;
    let mut made = vec![work::made_of(&loaded, |own| invoice::make(&view, own))?];
    made.extend(of_computers(&view).filter(|file| frozen.manifest.files.iter().any(|kept| kept.name == file.name)));
    Ok(made)
}

/// The same for a computer.
fn of_computers(view: &InvoiceView<'_>) -> Option<Finished> {
    let name = if view.credits.is_some() { "credit.xml" } else { "invoice.xml" };
    ubl_invoice::of_invoice(view).map(|bytes| Finished { name: name.to_owned(), bytes })
}

/// What is printed of an invoice that is frozen, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &InvoiceRecord,
    loaded: &Loaded,
    make: impl FnOnce(&InvoiceView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), loaded, false)?;
    work::with_words_of(loaded, |words| make(&view, words))
}
