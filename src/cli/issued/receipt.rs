//! `receipt`: records that an invoice was paid, and freezes the receipt under the next number of its own series.
//!
//! Given a job, the invoice's number, an amount and a day; gives a new folder in `issued`. The receipt for what was paid in
//! advance is the invoice for VAT of it: its VAT is the share of the request's that the amount bears, so that receipts for
//! parts come to the request's VAT to the penny.

use super::accepted::reference;
use super::deal::{self, Deal};
use super::invoice::{firm_of, nothing_accepted, read_accepted};
use super::kept::{Frozen, Kept, series_folder, unread};
use super::manifest::{
    FrozenAs, Inputs, InvoiceRecord, KeptDay, KeptFile, KeptMoney, KeptNumber, Manifest, PaymentRecord, program,
};
use super::snapshot::{self, SnapshotFiles};
use crate::cli::Outcome;
use crate::cli::arguments::Receipt;
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::invoice::{AcceptedQuote, InvoiceForm, InvoicedStage};
use crate::documents::letterhead::Parties;
use crate::documents::receipt::{self, PaidInvoice, ReceiptView};
use crate::documents::{Finished, IssueStanding};
use crate::facts::FACTS;
use crate::job_file::Loaded;
use crate::pricing::Money;
use crate::pricing::invoicing::{InvoiceSums, share_of};
use crate::records::{self, MANIFEST};
use std::io;

/// The series of receipts, as folders are named.
const SERIES: &str = "receipt";
/// The same in numbers.
const PRINTED: &str = "REC";
/// How often another run may come between.
const TRIES: usize = 50;

/// Records a payment.
///
/// # Errors
/// What speaks against it, or keeps the receipt from being made or written.
pub(crate) fn receipt(named: &JobSource, typed: &Receipt) -> Result<Outcome, Stopped> {
    let home = named.folder().join(records::ISSUED);
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let deal = Deal::of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
        let loaded = read_accepted(&deal, &typed.files)?;
        let record = of_payment(&kept, &reference, &deal, typed)?;
        if let Some(said) = freeze(&kept, &reference, &deal.revision, &loaded, record)? {
            terminal::say(&said)?;
            return Ok(Outcome::Done);
        }
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

/// All that stands on the receipt.
fn of_payment(kept: &Kept, reference: &str, deal: &Deal, typed: &Receipt) -> Result<PaymentRecord, Stopped> {
    let invoice = deal::named(kept, reference, &typed.invoice)?;
    refuse_unlikely(kept, reference, invoice, typed)?;
    let open = deal::account(kept, reference).open_of(&invoice.number);
    let taken = typed.paid.min(open);
    let total = InvoiceSums::from(invoice.sums);
    let before = total.total - open;
    let sums = total.next(before, taken);
    let sequence = kept.next_in_series(reference, SERIES)?;
    Ok(PaymentRecord {
        sequence,
        number: format!("{reference}-{PRINTED}-{sequence}"),
        date: KeptDay(typed.on),
        amount: KeptMoney(typed.paid),
        by: typed.by.words().to_owned(),
        vat_invoice: invoice.form.0 == InvoiceForm::Request && taken > Money::ZERO,
        invoice: invoice.number.clone(),
        invoice_date: invoice.date,
        invoice_total: invoice.sums.total,
        before: KeptMoney(before),
        sums: sums.into(),
        left: KeptMoney(open - taken),
        over: KeptMoney(typed.paid - taken),
        stage: invoice.stage,
        stages: invoice.stages,
        label: invoice.label.clone(),
        share: KeptNumber(share_of(taken, if invoice.stage == 0 { total.total } else { deal.accepted.total })),
        vat_rate: invoice.vat_rate,
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        inputs: Inputs::default(),
    })
}

/// What is hardly meant.
fn refuse_unlikely(kept: &Kept, reference: &str, invoice: &InvoiceRecord, typed: &Receipt) -> Result<(), Stopped> {
    if typed.files.date.is_some() {
        return Err(Stopped::Usage("say the day of the payment with `--on`".into()));
    }
    if let Some(credit) = deal::credit_of(kept, reference, &invoice.number) {
        return Err(Stopped::Usage(format!(
            "{} was credited by {}: name the invoice that took its place",
            invoice.number, credit.number
        )));
    }
    if typed.on < invoice.date.0 {
        return Err(Stopped::Usage(format!("{} is of {}, later than that", invoice.number, invoice.date.0)));
    }
    let payments = kept.payments(reference);
    let same = payments.iter().find(|(_, paid)| paid.date.0 == typed.on && paid.amount.0 == typed.paid);
    match same.filter(|_| !typed.again) {
        Some((_, paid)) => Err(Stopped::Usage(format!(
            "{} of {} is recorded as {} already; if as much was paid twice on one day, say `--again`",
            typed.paid, typed.on, paid.number
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
        parties: Parties {
            firm: firm_of(loaded)?,
            customer: &job.customer,
            site: &job.site.address,
            title: &job.title,
            reference,
            date: record.date.0,
            first_day: None,
            standing: IssueStanding::Numbered,
        },
        number: &record.number,
        vat_invoice: record.vat_invoice,
        amount: record.amount.0,
        by: &record.by,
        invoice: PaidInvoice { number: &record.invoice, on: record.invoice_date.0, total: record.invoice_total.0 },
        before: record.before.0,
        sums: record.sums.into(),
        left: record.left.0,
        over: record.over.0,
        stage: InvoicedStage {
            number: record.stage,
            count: record.stages,
            label: &record.label,
            share: record.share.0,
        },
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
    record: PaymentRecord,
) -> Result<Option<String>, Stopped> {
    let (inputs, which) = snapshot::of(loaded, None)?;
    let record = PaymentRecord { inputs: which.clone(), ..record };
    let view = view(&record, (reference, revision), loaded)?;
    let finished = work::made_of(loaded, |own| receipt::make(&view, own))?;
    if snapshot::of(loaded, None)? != (inputs.clone(), which) {
        return Ok(None); // A template or a font was changed while it was made.
    }
    let told = told(&record);
    let pdf = finished.name.clone();
    let mut all: SnapshotFiles = vec![(finished.name, finished.bytes)];
    all.extend(inputs);
    let before = kept.payments(reference).last().map(|(at, _)| at.listed.clone());
    let name = series_folder(reference, SERIES, record.sequence);
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        files: all.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        holds: FrozenAs::Paid(Box::new(record)),
        before,
    };
    all.push((MANIFEST.to_owned(), manifest.written()));
    match records::freeze_upon(&kept.home, &kept.names, &name, &all) {
        Ok(folder) => Ok(Some(format!("{told}wrote {}\n", folder.join(pdf).display()))),
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && kept.home.is_dir() => Ok(None),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

fn told(record: &PaymentRecord) -> String {
    let PaymentRecord { number, amount, invoice, date, .. } = record;
    let mut text = format!("recorded {} for {invoice} on {} as {number}\n", amount.0, date.0);
    text += &match (record.left.0 > Money::ZERO, record.over.0 > Money::ZERO) {
        (true, _) => format!("a part: {} of {invoice} is still to be paid\n", record.left.0),
        (false, true) => {
            format!("{invoice} is paid; {} more than it came to stands to the customer's credit\n", record.over.0)
        }
        (false, false) => format!("{invoice} is paid\n"),
    };
    if record.vat_invoice {
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
