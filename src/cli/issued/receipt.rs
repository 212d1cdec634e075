//! `receipt`: records that an invoice was paid, and freezes the receipt under the next number of its own series.
//!
//! Given a job, the invoice's number, an amount and a day; gives a new folder in `issued`. The receipt for what was paid in
//! advance is the invoice for VAT of it: its VAT is the share of the request's that the amount bears, so that receipts for
//! parts come to the request's VAT to the penny. What a payment has over pays what else is open, and what stands to a customer's
//! credit pays a request as soon as that is issued: no pound of a request is paid without an invoice for its VAT.

use super::accepted::reference;
use super::deal::{self, Deal, nothing_accepted, read_accepted};
use super::kept::{Frozen, Kept, series_folder, unread};
use super::manifest::{
    AlsoPaidRecord, FrozenAs, Inputs, InvoiceRecord, KeptDay, KeptFile, KeptMoney, KeptNumber, Manifest, PaymentRecord,
    program,
};
use super::snapshot::{self, SnapshotFiles};
use crate::cli::Outcome;
use crate::cli::arguments::Receipt;
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::invoice::{AcceptedQuote, InvoiceForm, InvoicedStage};
use crate::documents::receipt::{self, PaidInvoice, ReceiptView};
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding, wording};
use crate::facts::FACTS;
use crate::job_file::Loaded;
use crate::model::Problem;
use crate::pricing::Money;
use crate::pricing::account::Payment;
use crate::pricing::invoicing::{InvoiceSums, share_of};
use crate::records::{self, MANIFEST};
use std::io;
use std::path::Path;
use time::{Date, Duration};

/// The series of receipts, as folders are named.
pub(super) const SERIES: &str = "receipt";
/// The same in numbers.
pub(super) const PRINTED: &str = "REC";
/// How what stood to the customer's credit is paid.
const CREDIT: &str = "what stood to your credit";
/// A payment that comes later is more likely a slip in the year.
const LONG_AFTER: Duration = Duration::days(270);
/// How often another run may come between.
pub(super) const TRIES: usize = 50;

/// Records a payment.
///
/// # Errors
/// What speaks against it, or keeps the receipt from being made or written.
pub(crate) fn receipt(named: &JobSource, typed: &Receipt) -> Result<Outcome, Stopped> {
    let (Some(invoice), Some(paid)) = (typed.invoice.clone(), typed.paid) else {
        return Err(Stopped::Usage("say which invoice was paid, and how much with `--paid`".into()));
    };
    if typed.files.date.is_some() {
        return Err(Stopped::Usage("say the day of the payment with `--on`".into()));
    }
    let home = named.folder().join(records::ISSUED);
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let deal = Deal::last_of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
        let loaded = read_accepted(&deal, &typed.files)?;
        let record = of_payment(&kept, &reference, (&deal, &loaded), (&invoice, paid), typed)?;
        if let Some(said) = freeze(&kept, &reference, &deal.revision, &loaded, record)? {
            terminal::say(&said)?;
            terminal::say(&of_credit(&home, (&reference, &deal), &loaded, typed.on)?)?;
            return Ok(Outcome::Done);
        }
    }
    Err(others_issue(&home))
}

pub(super) fn others_issue(home: &Path) -> Stopped {
    Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display()))
}

/// Freezes the invoice for VAT of what requests have got of the customer's credit, where there is none yet. Gives what is to be
/// said; nothing where there is nothing to do.
///
/// # Errors
/// What keeps it from being made or written.
pub(super) fn of_credit(
    home: &Path,
    (reference, deal): (&str, &Deal),
    loaded: &Loaded,
    on: Date,
) -> Result<String, Stopped> {
    for _ in 0..TRIES {
        let kept = Kept::within(home).map_err(|error| unread(home, &error))?;
        let Some(record) = set_against(&kept, reference, deal, on)? else { return Ok(String::new()) };
        if let Some(said) = freeze(&kept, reference, &deal.revision, loaded, record)? {
            return Ok(said);
        }
    }
    Err(others_issue(home))
}

/// Of how much of a request receipts are the invoice for VAT, without what was credited of them since.
pub(super) fn taxed(kept: &Kept, reference: &str, number: &str) -> Money {
    let taxed = kept.all_payments(reference).iter().map(|(_, payment)| payment.taxed(number)).sum::<Money>();
    let credited = kept.backs(reference).into_iter().flat_map(|back| &back.parts).filter(|part| part.invoice == number);
    taxed - credited.map(|part| part.sums.total.0).sum::<Money>()
}

/// All that stands on the receipt for what requests have got of the customer's credit.
fn set_against(kept: &Kept, reference: &str, deal: &Deal, on: Date) -> Result<Option<PaymentRecord>, Stopped> {
    let account = deal::account(kept, reference);
    let untaxed = |invoice: &InvoiceRecord| {
        let got = invoice.sums.total.0 - account.open_of(&invoice.number);
        let taxed = taxed(kept, reference, &invoice.number);
        (taxed, got - taxed)
    };
    let requests = deal::standing(kept, reference).into_iter().map(|(_, i)| i).filter(|i| is_request(i));
    let parts = requests.filter_map(|request| {
        let (taxed, more) = untaxed(request);
        (more > Money::ZERO).then(|| part(deal, request, (taxed, more)))
    });
    let mut parts = parts.collect::<Vec<_>>().into_iter();
    let Some(first) = parts.next() else { return Ok(None) };
    let sequence = kept.next_in_series(reference, SERIES)?;
    let named = deal::named(kept, reference, &first.invoice)?;
    let stands = ReceivedMoney { sequence, on, by: CREDIT, amount: Money::ZERO, over: Money::ZERO };
    Ok(Some(PaymentRecord {
        also: parts.collect(),
        from_credit: true,
        ..record(reference, deal, named, first, stands)
    }))
}

pub(super) fn is_request(invoice: &InvoiceRecord) -> bool {
    invoice.form.0 == InvoiceForm::Request
}

/// What an invoice takes of a payment, where `before` was paid for it already.
pub(super) fn part(deal: &Deal, invoice: &InvoiceRecord, (before, taken): (Money, Money)) -> AlsoPaidRecord {
    let total = InvoiceSums::from(invoice.sums);
    AlsoPaidRecord {
        invoice: invoice.number.clone(),
        invoice_date: invoice.date,
        invoice_total: invoice.sums.total,
        vat_invoice: is_request(invoice) && taken > Money::ZERO,
        before: KeptMoney(before),
        sums: total.next(before, taken).into(),
        left: KeptMoney(total.total - before - taken),
        stage: invoice.stage,
        label: invoice.label.clone(),
        share: KeptNumber(share_of(taken, if invoice.stage == 0 { total.total } else { deal.accepted.total })),
    }
}

/// What is said of a payment besides what it pays.
struct ReceivedMoney<'a> {
    sequence: u32,
    on: Date,
    by: &'a str,
    amount: Money,
    over: Money,
}

fn record(
    reference: &str,
    deal: &Deal,
    invoice: &InvoiceRecord,
    first: AlsoPaidRecord,
    stands: ReceivedMoney<'_>,
) -> PaymentRecord {
    PaymentRecord {
        sequence: stands.sequence,
        number: format!("{reference}-{PRINTED}-{}", stands.sequence),
        date: KeptDay(stands.on),
        dated: None,
        amount: KeptMoney(stands.amount),
        by: stands.by.to_owned(),
        vat_invoice: first.vat_invoice,
        invoice: first.invoice,
        invoice_date: first.invoice_date,
        invoice_total: first.invoice_total,
        before: first.before,
        sums: first.sums,
        left: first.left,
        over: KeptMoney(stands.over),
        also: Vec::new(),
        from_credit: false,
        even_so: None,
        stage: first.stage,
        stages: invoice.stages,
        label: first.label,
        share: first.share,
        vat_rate: invoice.vat_rate,
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        inputs: Inputs::default(),
    }
}

/// All that stands on the receipt.
fn of_payment(
    kept: &Kept,
    reference: &str,
    (deal, loaded): (&Deal, &Loaded),
    (named, sum): (&str, Money),
    typed: &Receipt,
) -> Result<PaymentRecord, Stopped> {
    let invoice = deal::named(kept, reference, named)?;
    refuse_unlikely(kept, reference, (invoice, deal), (sum, typed))?;
    refuse_other_rate(invoice, (deal, loaded), typed)?;
    let before = deal::account(kept, reference);
    let mut after = before.clone();
    after.payments.push(Payment { charge: invoice.number.clone(), amount: sum });
    let takes = |invoice: &InvoiceRecord| {
        let open = before.open_of(&invoice.number);
        part(deal, invoice, (invoice.sums.total.0 - open, open - after.open_of(&invoice.number)))
    };
    let others = deal::standing(kept, reference).into_iter().map(|(_, i)| i).filter(|i| i.number != invoice.number);
    let also: Vec<AlsoPaidRecord> = others.map(takes).filter(|part| part.sums.total.0 > Money::ZERO).collect();
    let first = takes(invoice);
    let taken = first.sums.total.0 + also.iter().map(|part| part.sums.total.0).sum::<Money>();
    let sequence = kept.next_in_series(reference, SERIES)?;
    let stands = ReceivedMoney { sequence, on: typed.on, by: typed.by.words(), amount: sum, over: sum - taken };
    let dated = typed.dated.filter(|dated| *dated != typed.on).map(KeptDay);
    Ok(PaymentRecord { also, dated, even_so: typed.even_so.clone(), ..record(reference, deal, invoice, first, stands) })
}

/// What is hardly meant.
fn refuse_unlikely(
    kept: &Kept,
    reference: &str,
    (invoice, deal): (&InvoiceRecord, &Deal),
    (sum, typed): (Money, &Receipt),
) -> Result<(), Stopped> {
    if let Some(credit) = deal::credit_of(kept, reference, &invoice.number) {
        return Err(Stopped::Usage(format!(
            "{} was credited by {}: name the invoice that took its place",
            invoice.number, credit.number
        )));
    }
    if typed.on < invoice.date.0 {
        return Err(Stopped::Usage(format!("{} is of {}, later than that", invoice.number, invoice.date.0)));
    }
    if let Some(dated) = typed.dated.filter(|dated| *dated < typed.on) {
        return Err(Stopped::Usage(format!(
            "a receipt of {dated} cannot tell of a payment of {}, later than that",
            typed.on
        )));
    }
    let left = deal.sums.total - deal::account(kept, reference).paid();
    let late = invoice.due.0.saturating_add(LONG_AFTER);
    let odd = match (sum > left, typed.on > late) {
        (true, _) => Some(format!("{sum} is more than the {left} that is left to pay of the whole price")),
        (false, true) => Some(format!("{} was to be paid by {}, long before that day", invoice.number, invoice.due.0)),
        (false, false) => None,
    };
    if let Some(odd) = odd.filter(|_| typed.even_so.is_none()) {
        return Err(Stopped::Usage(format!(
            "{odd}; look at the sum and the day again, and if they are right, say `--even-so \"reason\"`"
        )));
    }
    let payments = kept.payments(reference);
    let same = payments.iter().find(|(_, paid)| paid.date.0 == typed.on && paid.amount.0 == sum);
    match same.filter(|_| !typed.again) {
        Some((_, paid)) => Err(Stopped::Usage(format!(
            "{} of {} is recorded as {} already; if as much was paid twice on one day, say `--again`",
            sum, typed.on, paid.number
        ))),
        None => Ok(()),
    }
}

/// What is paid in advance bears the rate of the day on which it is paid, which is its tax point (section 6(4) of the Value Added Tax
/// Act 1994, from memory); the price was made with another.
fn refuse_other_rate(
    invoice: &InvoiceRecord,
    (deal, loaded): (&Deal, &Loaded),
    typed: &Receipt,
) -> Result<(), Stopped> {
    let is_claimed = loaded.job_money.vat.is_some() || !is_request(invoice) || typed.even_so.is_some();
    let of_the_day = loaded.terms.as_ref().map(|terms| terms.rate_on(typed.on));
    match of_the_day.filter(|rate| !is_claimed && *rate != deal.vat_rate) {
        Some(rate) => Err(Stopped::Usage(format!(
            "your rate of VAT on {} is {} %, and the receipt for what was paid on that day would be an invoice for VAT at the {} % of \
             the accepted price: ask your accountant, settle with the customer who bears the difference, and then say \
             `--even-so \"reason\"`",
            typed.on,
            rate.normalize(),
            deal.vat_rate.normalize()
        ))),
        None => Ok(()),
    }
}

fn view<'a>(
    record: &'a PaymentRecord,
    (reference, revision): (&'a str, &'a str),
    loaded: &'a Loaded,
) -> Result<ReceiptView<'a>, Stopped> {
    let job = &loaded.job;
    Ok(ReceiptView {
        parties: deal::parties(loaded, reference, record.dated.unwrap_or(record.date).0, IssueStanding::Numbered)?,
        number: &record.number,
        paid_on: record.date.0,
        amount: record.amount.0,
        by: &record.by,
        from_credit: record.from_credit,
        paid: paid(record),
        over: record.over.0,
        rate: record.vat_rate.0,
        accepted: AcceptedQuote { revision, on: record.accepted_on.0, total: record.accepted_total.0 },
        customer_vat_number: job.customer_vat_number.as_deref(),
    })
}

/// What is paid, what was named first.
fn paid(record: &PaymentRecord) -> Vec<PaidInvoice<'_>> {
    let stage =
        |number: usize, label, share: KeptNumber| InvoicedStage { number, count: record.stages, label, share: share.0 };
    let named = PaidInvoice {
        number: &record.invoice,
        on: record.invoice_date.0,
        total: record.invoice_total.0,
        vat_invoice: record.vat_invoice,
        before: record.before.0,
        sums: record.sums.into(),
        left: record.left.0,
        stage: stage(record.stage, &record.label, record.share),
    };
    let also = record.also.iter().map(|also| PaidInvoice {
        number: &also.invoice,
        on: also.invoice_date.0,
        total: also.invoice_total.0,
        vat_invoice: also.vat_invoice,
        before: also.before.0,
        sums: also.sums.into(),
        left: also.left.0,
        stage: stage(also.stage, &also.label, also.share),
    });
    std::iter::once(named).chain(also).collect()
}

/// Freezes it; `None` where another run came between. Gives what is to be said.
fn freeze(
    kept: &Kept,
    reference: &str,
    revision: &str,
    loaded: &Loaded,
    record: PaymentRecord,
) -> Result<Option<String>, Stopped> {
    let (told, sequence) = (told(&record), record.sequence);
    let made = |inputs: Inputs| {
        let record = PaymentRecord { inputs, ..record };
        let view = view(&record, (reference, revision), loaded)?;
        let finished = work::made_of(loaded, |own| receipt::make(&view, own))?;
        Ok((finished, FrozenAs::Paid(Box::new(record))))
    };
    let before = kept.receipts(reference).last().map(|(at, ..)| at.listed.clone());
    let wrote = freeze_next(kept, (reference, revision), loaded, (SERIES, sequence, before), made)?;
    Ok(wrote.map(|wrote| told + &wrote))
}

/// Freezes what is made under the next number of a series, with the one before it; `None` where another run came between. Gives what
/// is to be said of the files.
///
/// # Errors
/// What keeps it from being made or written.
pub(super) fn freeze_next(
    kept: &Kept,
    (reference, revision): (&str, &str),
    loaded: &Loaded,
    (series, sequence, before): (&str, u32, Option<KeptFile>),
    made: impl FnOnce(Inputs) -> Result<(Finished, FrozenAs), Stopped>,
) -> Result<Option<String>, Stopped> {
    let (inputs, which) = snapshot::of(loaded, None)?;
    let (finished, holds) = made(which.clone())?;
    if snapshot::of(loaded, None)? != (inputs.clone(), which) {
        return Ok(None); // A template or a font was changed while it was made.
    }
    let pdf = finished.name.clone();
    let mut all: SnapshotFiles = vec![(finished.name, finished.bytes)];
    all.extend(inputs);
    let name = series_folder(reference, series, sequence);
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        files: all.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        holds,
        before,
    };
    all.push((MANIFEST.to_owned(), manifest.written()));
    match records::freeze_upon(&kept.home, &kept.names, &name, &all) {
        Ok(folder) => Ok(Some(format!("wrote {}\n", folder.join(pdf).display()))),
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && kept.home.is_dir() => Ok(None),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

fn told(record: &PaymentRecord) -> String {
    let PaymentRecord { number, amount, invoice, date, .. } = record;
    let mut text = match record.from_credit {
        true => format!(
            "what stood to the customer's credit is set against {} on {}: receipt {number}\n",
            wording::list(&record.numbers()),
            date.0
        ),
        false => format!("recorded {} for {invoice} on {} as {number}\n", amount.0, date.0),
    };
    let named = (invoice, record.left.0);
    for (invoice, left) in std::iter::once(named).chain(record.also.iter().map(|also| (&also.invoice, also.left.0))) {
        text += &match left > Money::ZERO {
            true => format!("a part: {left} of {invoice} is still to be paid\n"),
            false => format!("{invoice} is paid\n"),
        };
    }
    if record.over.0 > Money::ZERO {
        text += &format!("{} more than was asked for stands to the customer's credit\n", record.over.0);
    }
    if record.vat_invoice || record.also.iter().any(|also| also.vat_invoice) {
        text += &format!(
            "The receipt is the invoice for VAT of what was paid in advance: send it within {} of the payment.\n",
            FACTS.vat_invoice_days
        );
    }
    text
}

/// Makes the receipt of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &PaymentRecord) -> Result<Vec<Finished>, Stopped> {
    let loaded = snapshot::read_again(frozen)?;
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), &loaded)?;
    Ok(vec![work::made_of(&loaded, |own| receipt::make(&view, own))?])
}

/// What is printed of a receipt that is frozen, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &PaymentRecord,
    loaded: &Loaded,
    make: impl FnOnce(&ReceiptView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), loaded)?;
    work::with_words_of(loaded, |words| make(&view, words))
}
