//! `receipt --cancel` and `receipt --back`: takes back a receipt that was recorded wrongly, and records money that was paid back;
//! credits the VAT of advances that are no longer asked for.
//!
//! Given a job and what goes back; gives a new folder in `issued`, under the next number of the series of receipts. What was sent
//! stays as it was. Of no more of a request are receipts the invoice for VAT than it has got: where an invoice is credited or a
//! receipt is taken back, `settle` writes what is then wanting, credit notes first.

use super::accepted::reference;
use super::deal::{self, Deal, nothing_accepted, read_accepted};
use super::kept::{Frozen, Kept, unread};
use super::manifest::{
    AlsoPaidRecord, BackRecord, FrozenAs, Inputs, InvoiceRecord, KeptDay, KeptMoney, KeptNumber, NamedReceiptRecord,
    PaymentRecord, StandingRecord, WhatGoesBack,
};
use super::receipt::{self, PRINTED, SERIES, TRIES, is_request, others_issue};
use super::snapshot;
use crate::cli::Outcome;
use crate::cli::arguments::Receipt;
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::invoice::{AcceptedQuote, InvoicedStage};
use crate::documents::paid_back::{self, BackKind, BackView, InvoiceLeft};
use crate::documents::receipt::PaidInvoice;
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding, wording};
use crate::job_file::Loaded;
use crate::model::Problem;
use crate::pricing::Money;
use crate::pricing::account::Account;
use crate::pricing::invoicing::{InvoiceSums, share_of};
use crate::records;
use std::path::Path;
use time::Date;

/// Takes a receipt back, or records a refund.
///
/// # Errors
/// What speaks against it, or keeps it from being made or written.
pub(crate) fn paid_back(named: &JobSource, typed: &Receipt) -> Result<Outcome, Stopped> {
    if typed.files.date.is_some() {
        return Err(Stopped::Usage("say the day on which it goes back with `--on`".into()));
    }
    let home = named.folder().join(records::ISSUED);
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let deal = Deal::last_of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
        let loaded = read_accepted(&deal, &typed.files)?;
        if typed.on < deal.on {
            return Err(Stopped::Usage(format!("the quote was accepted only on {}", deal.on)));
        }
        let record = match (&typed.cancel, typed.back) {
            (Some(number), _) => taken_back(&kept, &reference, &deal, (number, typed))?,
            (None, Some(sum)) => refund(&kept, &reference, &deal, (sum, typed))?,
            (None, None) => {
                return Err(Stopped::Usage("say what goes back: `--back AMOUNT`, or `--cancel NUMBER`".into()));
            }
        };
        if let Some(said) = freeze(&kept, &reference, &deal.revision, &loaded, record)? {
            terminal::say(&said)?;
            terminal::say(&settle(&home, (&reference, &deal), &loaded, typed.on)?)?;
            return Ok(Outcome::Done);
        }
    }
    Err(others_issue(&home))
}

/// Freezes what is wanting once the account of a job has changed: the credit note for VAT of what requests have got no longer,
/// then the invoice for VAT of what they have got of the customer's credit. Gives what is to be said; nothing where nothing is.
///
/// # Errors
/// What keeps it from being made or written.
pub(super) fn settle(
    home: &Path,
    (reference, deal): (&str, &Deal),
    loaded: &Loaded,
    on: Date,
) -> Result<String, Stopped> {
    for _ in 0..TRIES {
        let kept = Kept::within(home).map_err(|error| unread(home, &error))?;
        let credited = match overtaxed(&kept, reference, deal, on)? {
            Some(record) => freeze(&kept, reference, &deal.revision, loaded, record)?,
            None => Some(String::new()),
        };
        if let Some(said) = credited {
            return Ok(said + &receipt::of_credit(home, (reference, deal), loaded, on)?);
        }
    }
    Err(others_issue(home))
}

// ---- What it says ------------------------------------------------------------------------------------------------------

/// What every paper says besides what goes back.
fn record(kept: &Kept, reference: &str, deal: &Deal, (on, what): (Date, WhatGoesBack)) -> Result<BackRecord, Stopped> {
    let sequence = kept.next_in_series(reference, SERIES)?;
    Ok(BackRecord {
        sequence,
        number: format!("{reference}-{PRINTED}-{sequence}"),
        date: KeptDay(on),
        what,
        amount: KeptMoney(Money::ZERO),
        by: None,
        because: None,
        receipts: Vec::new(),
        parts: Vec::new(),
        stages: deal.stages.len(),
        standing: Vec::new(),
        credit: KeptMoney(credit(&deal::account(kept, reference))),
        vat_rate: KeptNumber(deal.vat_rate),
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        inputs: Inputs::default(),
    })
}

/// What stands to the customer's credit.
fn credit(account: &Account) -> Money {
    account.over().max(Money::ZERO)
}

/// Money that was paid back: no more than stands to the customer's credit.
fn refund(kept: &Kept, reference: &str, deal: &Deal, (sum, typed): (Money, &Receipt)) -> Result<BackRecord, Stopped> {
    let stands = credit(&deal::account(kept, reference));
    if sum > stands {
        return Err(Stopped::Usage(format!(
            "{stands} stands to the customer's credit, and no more can be paid back: take back first what you have asked for \
             (`wetout invoice JOB --credit NUMBER --because \"reason\"`), or a receipt that was recorded wrongly (`--cancel`)"
        )));
    }
    let same = kept.refunds(reference).into_iter().find(|back| back.date.0 == typed.on && back.amount.0 == sum);
    if let Some(same) = same.filter(|_| !typed.again) {
        return Err(Stopped::Usage(format!(
            "{sum} of {} is recorded as {} already; if as much was paid back twice on one day, say `--again`",
            typed.on, same.number
        )));
    }
    Ok(BackRecord {
        amount: KeptMoney(sum),
        by: Some(typed.by.words().to_owned()),
        because: typed.because.clone(),
        credit: KeptMoney(stands - sum),
        ..record(kept, reference, deal, (typed.on, WhatGoesBack::Refund))?
    })
}

/// A receipt or a refund that was recorded wrongly.
fn taken_back(
    kept: &Kept,
    reference: &str,
    deal: &Deal,
    (number, typed): (&str, &Receipt),
) -> Result<BackRecord, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    if typed.because.as_ref().is_none_or(|why| why.trim().is_empty()) {
        return refuse("say why it is taken back: `--because \"reason\"`".into());
    }
    let at = named(kept, reference, number)?;
    let (number, date) = match (at.manifest.payment(), at.manifest.back()) {
        (Some(payment), _) if !payment.from_credit => (&payment.number, payment.date),
        (_, Some(back)) if back.what == WhatGoesBack::Refund => (&back.number, back.date),
        _ => {
            return refuse(format!(
                "{} holds no money: it follows from what was paid and asked for, and is put right with that",
                at.listed.name
            ));
        }
    };
    if let Some(back) = kept.taken_back_by(reference, number) {
        return refuse(format!("{number} was taken back on {} by {}", back.date.0, back.number));
    }
    let (before, after) = (deal::account(kept, reference), without(kept, reference, number));
    if after.over() < Money::ZERO {
        return refuse(format!("{} of it was paid back since: take that refund back first", -after.over()));
    }
    let amount = before.paid() - after.paid();
    let receipts = vec![NamedReceiptRecord { number: number.clone(), date }];
    let taken_back = BackRecord {
        amount: KeptMoney(amount),
        because: typed.because.clone(),
        receipts,
        credit: KeptMoney(credit(&after)),
        ..record(kept, reference, deal, (typed.on, WhatGoesBack::Receipt))?
    };
    let Some(payment) = at.manifest.payment() else { return Ok(taken_back) };
    let stands = |number: String| {
        let invoice = deal::standing(kept, reference).into_iter().map(|(_, i)| i).find(|i| i.number == number)?;
        Some(StandingRecord { left: KeptMoney(after.open_of(&number)), number, total: invoice.sums.total })
    };
    Ok(BackRecord {
        parts: parts_of(payment).into_iter().filter_map(|part| still_taxed(kept, reference, part)).collect(),
        standing: payment.numbers().into_iter().filter_map(stands).collect(),
        ..taken_back
    })
}

/// The account as it would stand without one receipt or refund.
fn without(kept: &Kept, reference: &str, number: &str) -> Account {
    deal::account(&kept.without_receipt(number), reference)
}

/// What of a part of a receipt still bears VAT: what was credited with its request since bears none any more.
fn still_taxed(kept: &Kept, reference: &str, part: AlsoPaidRecord) -> Option<AlsoPaidRecord> {
    let sums = InvoiceSums::from(part.sums);
    let left = receipt::taxed(kept, reference, &part.invoice).min(sums.total);
    (part.vat_invoice && left > Money::ZERO).then(|| AlsoPaidRecord { sums: sums.first(left).into(), ..part })
}

/// What a receipt pays, what was named first.
fn parts_of(payment: &PaymentRecord) -> Vec<AlsoPaidRecord> {
    let first = AlsoPaidRecord {
        invoice: payment.invoice.clone(),
        invoice_date: payment.invoice_date,
        invoice_total: payment.invoice_total,
        vat_invoice: payment.vat_invoice,
        before: payment.before,
        sums: payment.sums,
        left: payment.left,
        stage: payment.stage,
        label: payment.label.clone(),
        share: payment.share,
    };
    std::iter::once(first).chain(payment.also.iter().cloned()).collect()
}

/// The receipt or the refund of that number, or of that place in the series.
fn named<'a>(kept: &'a Kept, reference: &'a str, typed: &str) -> Result<&'a Frozen, Stopped> {
    let all = kept.receipts(reference);
    let is =
        |(_, number, place): &&(&Frozen, &str, u32)| number.eq_ignore_ascii_case(typed) || place.to_string() == typed;
    all.iter().find(is).map(|found| found.0).ok_or_else(|| {
        let numbers: Vec<String> = all.iter().map(|(_, number, _)| (*number).to_owned()).collect();
        Stopped::Usage(match numbers.is_empty() {
            true => format!("nothing of {reference} is recorded as paid yet"),
            false => format!("{reference} has no receipt {typed}; there is {}", wording::list(&numbers)),
        })
    })
}

/// The credit note for VAT of what requests have got no longer.
fn overtaxed(kept: &Kept, reference: &str, deal: &Deal, on: Date) -> Result<Option<BackRecord>, Stopped> {
    let account = deal::account(kept, reference);
    let stands = |number: &str| deal::standing(kept, reference).iter().any(|(_, invoice)| invoice.number == number);
    let part = |request: &InvoiceRecord| {
        let open = account.open_of(&request.number);
        let got = if stands(&request.number) { request.sums.total.0 - open } else { Money::ZERO };
        let taxed = receipt::taxed(kept, reference, &request.number);
        (taxed > got).then(|| AlsoPaidRecord {
            sums: InvoiceSums::from(request.sums).next(got, taxed - got).into(),
            invoice: request.number.clone(),
            invoice_date: request.date,
            invoice_total: request.sums.total,
            vat_invoice: true,
            before: KeptMoney(got),
            left: KeptMoney(open),
            stage: request.stage,
            label: request.label.clone(),
            share: KeptNumber(share_of(taxed - got, request.sums.total.0)),
        })
    };
    let requests = kept.invoices(reference).into_iter().map(|(_, i)| i);
    let parts: Vec<AlsoPaidRecord> =
        requests.filter(|i| is_request(i) && i.credits.is_none()).filter_map(part).collect();
    if parts.is_empty() {
        return Ok(None);
    }
    let taxes = |payment: &PaymentRecord| parts.iter().any(|part| payment.taxed(&part.invoice) > Money::ZERO);
    let receipts = kept.payments(reference).into_iter().map(|(_, payment)| payment).filter(|payment| taxes(payment));
    let receipt = |payment: &PaymentRecord| NamedReceiptRecord { number: payment.number.clone(), date: payment.date };
    let receipts = receipts.map(receipt).collect();
    Ok(Some(BackRecord { receipts, parts, ..record(kept, reference, deal, (on, WhatGoesBack::Vat))? }))
}

// ---- Making, freezing, making again -------------------------------------------------------------------------------------

fn view<'a>(
    record: &'a BackRecord,
    (reference, revision): (&'a str, &'a str),
    loaded: &'a Loaded,
) -> Result<BackView<'a>, Stopped> {
    let job = &loaded.job;
    let part = |part: &'a AlsoPaidRecord| PaidInvoice {
        number: &part.invoice,
        on: part.invoice_date.0,
        total: part.invoice_total.0,
        vat_invoice: part.vat_invoice,
        before: part.before.0,
        sums: part.sums.into(),
        left: part.left.0,
        stage: InvoicedStage { number: part.stage, count: record.stages, label: &part.label, share: part.share.0 },
    };
    let left =
        |stands: &'a StandingRecord| InvoiceLeft { number: &stands.number, total: stands.total.0, left: stands.left.0 };
    Ok(BackView {
        parties: deal::parties(loaded, reference, record.date.0, IssueStanding::Numbered)?,
        number: &record.number,
        kind: match record.what {
            WhatGoesBack::Receipt => BackKind::Receipt,
            WhatGoesBack::Refund => BackKind::Refund,
            WhatGoesBack::Vat => BackKind::Vat,
        },
        amount: record.amount.0,
        by: record.by.as_deref(),
        because: record.because.as_deref(),
        receipts: record.receipts.iter().map(|receipt| (receipt.number.as_str(), receipt.date.0)).collect(),
        credited: record.parts.iter().map(part).collect(),
        left: record.standing.iter().map(left).collect(),
        credit: record.credit.0,
        rate: record.vat_rate.0,
        accepted: AcceptedQuote { revision, on: record.accepted_on.0, total: record.accepted_total.0 },
        customer_vat_number: job.customer_vat_number.as_deref(),
    })
}

/// Freezes it; `None` where another run came between. Gives what is to be said.
fn freeze(
    kept: &Kept,
    reference: &str,
    revision: &str,
    loaded: &Loaded,
    record: BackRecord,
) -> Result<Option<String>, Stopped> {
    let (told, sequence) = (told(&record), record.sequence);
    let made = |inputs: Inputs| {
        let record = BackRecord { inputs, ..record };
        let view = view(&record, (reference, revision), loaded)?;
        let finished = work::made_of(loaded, |own| paid_back::make(&view, own))?;
        Ok((finished, FrozenAs::Back(Box::new(record))))
    };
    let before = kept.receipts(reference).last().map(|(at, ..)| at.listed.clone());
    let wrote = receipt::freeze_next(kept, (reference, revision), loaded, (SERIES, sequence, before), made)?;
    Ok(wrote.map(|wrote| told + &wrote))
}

fn told(record: &BackRecord) -> String {
    let BackRecord { number, amount, date, receipts, .. } = record;
    let receipts = wording::list(&receipts.iter().map(|receipt| receipt.number.clone()).collect::<Vec<_>>());
    let of_parts = record.parts.iter().map(|part| InvoiceSums::from(part.sums));
    let credited = of_parts.fold(InvoiceSums::default(), InvoiceSums::with);
    let vat = credited.vat + credited.by_customer;
    let mut text = match record.what {
        WhatGoesBack::Refund => format!("recorded {} as paid back on {} as {number}\n", amount.0, date.0),
        WhatGoesBack::Receipt => {
            format!("took back {receipts} as {number}: {} was not paid by it\n", amount.0.max(-amount.0))
        }
        WhatGoesBack::Vat => {
            format!(
                "VAT of {vat} on {} that was paid in advance is credited to {receipts} as {number}\n",
                credited.total
            )
        }
    };
    if record.what == WhatGoesBack::Receipt && !record.parts.is_empty() {
        text += &format!("It is the credit note for its VAT of {vat}: send it to the customer.\n");
    }
    for StandingRecord { number, left, .. } in record.standing.iter().filter(|stands| stands.left.0 > Money::ZERO) {
        text += &format!("{} of {number} is still to be paid\n", left.0);
    }
    if record.credit.0 > Money::ZERO {
        text += &format!("{} stands to the customer's credit\n", record.credit.0);
    }
    text
}

/// Makes the paper of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &BackRecord) -> Result<Vec<Finished>, Stopped> {
    let loaded = snapshot::read_again(frozen)?;
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), &loaded)?;
    Ok(vec![work::made_of(&loaded, |own| paid_back::make(&view, own))?])
}

/// What is printed of it, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &BackRecord,
    loaded: &Loaded,
    make: impl FnOnce(&BackView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), loaded)?;
    work::with_words_of(loaded, |words| make(&view, words))
}
