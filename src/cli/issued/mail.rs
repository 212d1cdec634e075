//! `mail`: what was issued, in a message ready to be sent, or sent.
//!
//! Given a job and a kind of document; gives a file in the form of RFC 5322 that mail programs open as a draft, with the very
//! files that were issued, or hands that message to the firm's mail server (`send`). An order never goes to the customer, a quote, an
//! invoice, a receipt, an account, a variation order or a handover never to a merchant, by whatever spelling of their addresses.

use super::account;
use super::addressed::{box_of, boxes_in, mailbox, named};
use super::altered::altered_files;
use super::deal;
use super::handover;
use super::invoice;
use super::kept::{Frozen, Kept, unread};
use super::manifest::kind_of;
use super::message::{Head, Outgoing};
use super::paid_back;
use super::receipt;
use super::send::{Posting, send};
use super::snapshot;
use super::variation;
use super::varied_goods;
use crate::cli::Outcome;
use crate::cli::arguments::{Mail, MailedKind};
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::mail_text;
use crate::documents::views::{OrderView, QuoteView};
use crate::documents::wording;
use crate::job_file::{self, Loaded};
use crate::model::job::Party;
use crate::records;
use lettre::message::Mailbox;
use std::path::Path;
use time::{OffsetDateTime, Time};

/// Writes the drafts, or sends them.
///
/// # Errors
/// What was never issued or was altered since; an address that is missing, or is the wrong party's; what cannot be written or sent.
pub(crate) fn mail(job: &JobSource, typed: &Mail, now: OffsetDateTime) -> Result<Outcome, Stopped> {
    let folder = work::out_folder(job, &typed.output, None);
    refuse_kept(&folder)?;
    let kept = Kept::beside(&job.folder()).map_err(|error| unread(&job.folder(), &error))?;
    let reference = super::accepted::reference(job, &kept, &typed.files)?;
    if typed.document == MailedKind::Order {
        super::accepted::refuse_after_a_no(&kept, &reference)?;
    }
    let kept = match typed.document == MailedKind::Account && typed.number.is_none() {
        true => {
            let on = typed.today.unwrap_or(now.date());
            terminal::say(&account::freeze(&kept.home, &reference, &typed.files, on)?)?;
            Kept::within(&kept.home).map_err(|error| unread(&kept.home, &error))?
        }
        false => kept,
    };
    let at = frozen(&kept, &reference, typed)?;
    let altered = altered_files(at);
    if !altered.is_empty() {
        let what = at.folder.display();
        return Err(Stopped::Usage(format!("{what} is not sent: {}; issue it anew", wording::list(&altered))));
    }
    if let Some(later) = taken_over(&kept, &reference, at) {
        terminal::warn(&format!(
            "revision {} of the {} has taken the place of {}, which you are about to send\n",
            later.manifest.revision,
            typed.document.word(),
            at.manifest.revision
        ))?;
    }
    let request = job.request(&typed.files).map_err(Stopped::Usage)?;
    // As things stand now: the mail server, and addresses that have changed since it was issued.
    let today = job_file::load(&request);
    let (firm, messages) = messages(at, today.as_ref().ok(), typed)?;
    let head = |from: Option<&str>, at: OffsetDateTime, draft: bool| {
        let from = from.or(firm.email.as_deref());
        let from = from.ok_or_else(|| no_address("the firm", "`email:` under `firm` in the firm file"))?;
        Ok::<_, Stopped>(Head { from: named(&firm.name, from)?, at, before: 0, draft })
    };
    let server = |loaded: &Loaded| loaded.firm.as_ref().and_then(|firm| firm.mail.clone());
    let day = typed.today.map_or(now, |day| day.midnight().assume_utc()).replace_time(NOON);
    if !typed.send {
        let from = today.ok().and_then(|loaded| server(&loaded)?.from);
        return drafts(&folder, at, &messages, &head(from.as_deref(), day, true)?);
    }
    let loaded = today.map_err(|failure| Stopped::Problems(failure.problems, Box::new(failure.sources)))?;
    let Some(mail) = server(&loaded) else {
        let fault = "there is no mail server to send it by: write `mail: {server: smtp.example.com, user: …}` into the firm file (`wetout \
                     help mail.server`), or leave `--send` out and send the draft from your mail program";
        return Err(Stopped::Usage(fault.into()));
    };
    let firm = loaded.sources.firm.as_ref().map(|firm| Path::new(&firm.name));
    let firm_folder = firm.and_then(Path::parent).unwrap_or(Path::new(""));
    let way = Posting { mail: &mail, firm_folder, again: typed.again, dry: typed.dry_run };
    let at_once = if typed.today.is_some() { day } else { now };
    send(&kept.home, at, &messages, &head(mail.from.as_deref(), at_once, false)?, way)?;
    Ok(Outcome::Done)
}

/// A draft carries the day alone, so that it is the same however often it is written on it.
const NOON: Time = time::macros::time!(12:00);

fn drafts(folder: &Path, at: &Frozen, messages: &[Outgoing], head: &Head) -> Result<Outcome, Stopped> {
    let own = |m: &Outgoing| if at.manifest.paper().is_some() { format!("-{}", m.stem) } else { String::new() };
    let name = |m: &Outgoing| format!("{}{}.eml", at.listed.name, own(m));
    let files: Vec<(String, Vec<u8>)> =
        messages.iter().map(|m| Ok((name(m), m.bytes(at, head)?))).collect::<Result<_, Stopped>>()?;
    let written =
        records::write_all(folder, files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())), |_| false)
            .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    for (place, message) in written.places.iter().zip(messages) {
        terminal::say(&format!(
            "wrote {}\n  to {}: {}\n",
            place.display(),
            message.addresses().join(", "),
            message.words.subject
        ))?;
    }
    terminal::say("Open it in your mail program, read it over, and send it from there.\n")?;
    Ok(Outcome::Done)
}

/// The last that was issued of the same kind, where it is another than this one.
fn taken_over<'a>(kept: &'a Kept, reference: &'a str, at: &Frozen) -> Option<&'a Frozen> {
    let paper = at.manifest.paper()?;
    let last = match &paper.varied {
        Some(varied) => varied_goods::last_for(kept, reference, &varied.number),
        None => kept.last(reference, kind_of(&paper.document)?),
    };
    last.filter(|last| last.manifest.revision != at.manifest.revision)
}

/// What is sent: the revision or the number that was named, or the last that was frozen of this kind.
fn frozen<'a>(kept: &'a Kept, reference: &'a str, typed: &Mail) -> Result<&'a Frozen, Stopped> {
    let what = typed.document.word();
    let wrong = |words: String| Err(Stopped::Usage(words));
    let all = match typed.document {
        MailedKind::Quote | MailedKind::Order if typed.number.is_some() => {
            return wrong(format!("say which {what} with `--revision`, by its letter"));
        }
        MailedKind::Quote | MailedKind::Order => return revision(kept, reference, typed),
        MailedKind::Invoice
        | MailedKind::Receipt
        | MailedKind::Account
        | MailedKind::Variation
        | MailedKind::Handover
            if typed.revision.is_some() =>
        {
            return wrong(format!("say which {what} with `--number`"));
        }
        MailedKind::Invoice => {
            let all = kept.invoices(reference).into_iter();
            all.map(|(at, invoice)| (at, invoice.number.as_str(), invoice.sequence)).collect::<Vec<_>>()
        }
        MailedKind::Receipt => kept.receipts(reference),
        MailedKind::Account => {
            let all = kept.accounts(reference).into_iter();
            all.map(|(at, account)| (at, account.number.as_str(), account.sequence)).collect()
        }
        MailedKind::Variation => {
            let all = kept.all_variations(reference).into_iter();
            all.map(|(at, varied)| (at, varied.number.as_str(), varied.sequence)).collect()
        }
        MailedKind::Handover => {
            let all = kept.handovers(reference).into_iter();
            all.map(|(at, handover)| (at, handover.number.as_str(), handover.sequence)).collect()
        }
    };
    let (Some(last), wanted) = (all.last(), &typed.number) else {
        return wrong(format!("there is no {what} of this job yet: `{}`", typed.document.is_made_by()));
    };
    let Some(wanted) = wanted else { return Ok(last.0) };
    let is = |(_, number, sequence): &&(&Frozen, &str, u32)| {
        number.eq_ignore_ascii_case(wanted) || sequence.to_string() == *wanted
    };
    all.iter().find(is).map(|found| found.0).ok_or_else(|| {
        let numbers: Vec<String> = all.iter().map(|(_, number, _)| (*number).to_owned()).collect();
        Stopped::Usage(format!("there is no {what} {wanted} of this job; there is {}", wording::list(&numbers)))
    })
}

/// The revision that was named, or the last that was issued of this kind.
fn revision<'a>(kept: &'a Kept, reference: &'a str, typed: &Mail) -> Result<&'a Frozen, Stopped> {
    let what = typed.document.word();
    let issued = || Stopped::Usage(format!("no {what} of this job was issued yet: `{}`", typed.document.is_made_by()));
    let is_this = |f: &&Frozen| f.manifest.paper().is_some_and(|paper| paper.document == what);
    let Some(letter) = &typed.revision else { return kept.of(reference).rfind(is_this).ok_or_else(issued) };
    let of_letter = |f: &&Frozen| f.manifest.revision.eq_ignore_ascii_case(letter);
    kept.of(reference).filter(is_this).find(of_letter).ok_or_else(|| {
        Stopped::Usage(format!("no {what} was issued as revision {letter}; `wetout list` shows what was"))
    })
}

/// The messages of what was frozen, and the firm as it stood then.
fn messages(at: &Frozen, today: Option<&Loaded>, typed: &Mail) -> Result<(Party, Vec<Outgoing>), Stopped> {
    if let Some(record) = at.manifest.invoice() {
        let loaded = snapshot::read_again(at)?;
        let words = invoice::told_of(at, record, &loaded, mail_text::with_invoice)?;
        let (stem, file) = if record.credits.is_some() { ("credit", "credit.pdf") } else { ("invoice", "invoice.pdf") };
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: stem.into(), to, words, files: vec![file.to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    if let Some(record) = at.manifest.payment() {
        let loaded = snapshot::read_again(at)?;
        let words = receipt::told_of(at, record, &loaded, mail_text::with_receipt)?;
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: "receipt".into(), to, words, files: vec!["receipt.pdf".to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    if let Some(record) = at.manifest.back() {
        let loaded = snapshot::read_again(at)?;
        let words = paid_back::told_of(at, record, &loaded, mail_text::with_paid_back)?;
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: "receipt".into(), to, words, files: vec!["paid-back.pdf".to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    if let Some(record) = at.manifest.account() {
        let loaded = snapshot::read_again(at)?;
        let words = account::told_of(at, record, &loaded, mail_text::with_account)?;
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: "account".into(), to, words, files: vec!["account.pdf".to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    if let Some(record) = at.manifest.variation() {
        let loaded = snapshot::read_again(at)?;
        let words = variation::told_of(at, record, &loaded, mail_text::with_variation)?;
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: "variation".into(), to, words, files: vec!["variation.pdf".to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    if let Some(record) = at.manifest.handover() {
        let loaded = snapshot::read_again(at)?;
        let words = handover::told_of(at, record, mail_text::with_handover)?;
        let to = to_customer((&loaded, today), typed, Since::Accepted)?;
        let message = Outgoing { stem: "handover".into(), to, words, files: vec!["handover.pdf".to_owned()] };
        return Ok((deal::firm_of(&loaded)?.party.clone(), vec![message]));
    }
    let priced = snapshot::work_again(at)?;
    let messages = match typed.document {
        MailedKind::Order => orders(&priced, today, typed)?,
        _ => vec![quote(&priced, today, typed)?],
    };
    Ok((priced.firm.party, messages))
}

// ---- Whom it goes to ------------------------------------------------------------------------------------------------------

fn quote(priced: &PricedJob, today: Option<&Loaded>, typed: &Mail) -> Result<Outgoing, Stopped> {
    let worked = priced.worked();
    let to = to_customer((&priced.laid.loaded, today), typed, Since::Issued)?;
    let words = priced.with_words(|words| mail_text::to_customer(&QuoteView::of(&worked), words))?;
    Ok(Outgoing { stem: "quote".into(), to, words, files: vec!["quote.pdf".to_owned()] })
}

/// How old the customer's address is that was frozen with what is sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Since {
    /// It was read when it was issued, and where it has changed it is issued anew.
    Issued,
    /// It is the one of the acceptance: where the job has another one today, that is meant.
    Accepted,
}

/// The customer, or whom `--to` names; never a merchant.
fn to_customer(
    (loaded, today): (&Loaded, Option<&Loaded>),
    typed: &Mail,
    since: Since,
) -> Result<Vec<Mailbox>, Stopped> {
    let of_today = || today.and_then(|t| t.job.customer.email.clone()).filter(|_| since == Since::Accepted);
    let known = of_today().or_else(|| loaded.job.customer.email.clone());
    let written = match (&typed.to[..], known) {
        ([], Some(email)) => vec![email],
        ([], None) if since == Since::Accepted => {
            let cure = "write `email:` under `customer` in the job, or say it with `--to`";
            return Err(Stopped::Usage(format!("there is no address of the customer: {cure}")));
        }
        ([], None) => return Err(no_address("the customer", "`email:` under `customer` in the job")),
        (to, _) => to.to_vec(),
    };
    let to = boxes(&written)?;
    let books = loaded.books.iter().chain(today.iter().flat_map(|t| &t.books));
    for merchant in books.map(|book| &book.merchant) {
        let theirs = merchant.email.as_deref().map(boxes_in).unwrap_or_default();
        if let Some(to) = to.iter().find(|to| theirs.contains(&box_of(to.email.as_ref()))) {
            let what = match typed.document {
                MailedKind::Invoice => "an invoice",
                MailedKind::Receipt => "a receipt",
                MailedKind::Account => "a statement of account",
                MailedKind::Variation => "a variation order",
                MailedKind::Handover => "a handover",
                MailedKind::Quote | MailedKind::Order => "a quote",
            };
            let fault = format!("{} is {}'s: {what} never goes to a merchant", to.email, merchant.name);
            return Err(Stopped::Usage(fault));
        }
    }
    Ok(to)
}

/// A message to each merchant, with his own order alone. `--to` names the merchant of the only order, or picks one of several by
/// his address.
fn orders(priced: &PricedJob, today: Option<&Loaded>, typed: &Mail) -> Result<Vec<Outgoing>, Stopped> {
    let worked = priced.worked();
    let views = OrderView::all(&worked);
    let typed_to = boxes(&typed.to)?;
    let picked: Vec<String> = typed_to.iter().map(|to| box_of(to.email.as_ref())).collect();
    let customers = [Some(&worked.job.customer), today.map(|t| &t.job.customer)];
    let customers: Vec<String> =
        customers.into_iter().flatten().flat_map(|c| c.email.as_deref().map(boxes_in).unwrap_or_default()).collect();
    let mut all = Vec::new();
    for (n, (view, order)) in views.iter().zip(&priced.pricing.orders).enumerate() {
        let own = order.merchant.email.as_deref();
        let to = match (views.len(), own) {
            (1, _) if !typed_to.is_empty() => typed_to.clone(),
            (_, Some(own)) => {
                let to = mailbox(own)?;
                if !picked.is_empty() && !picked.contains(&box_of(to.email.as_ref())) {
                    continue;
                }
                vec![to]
            }
            (_, None) => return Err(no_address(view.merchant, "`email:` under `merchant` in the price book")),
        };
        if let Some(to) = to.iter().find(|to| customers.contains(&box_of(to.email.as_ref()))) {
            let fault = format!("{} is the customer's: an order never goes to the customer", to.email);
            return Err(Stopped::Usage(fault));
        }
        let words = priced.with_words(|words| mail_text::to_merchant(view, words))?;
        let stem = if views.len() == 1 { "order".to_owned() } else { format!("order-{}", n + 1) };
        let files = vec![format!("{stem}.pdf"), format!("{stem}.csv")];
        all.push(Outgoing { stem, to, words, files });
    }
    if all.len() < picked.len() && views.len() > 1 {
        let fault = "each order goes to its own merchant: --to picks one of them by the address in its price book; where that has \
                     changed, write it there and issue the order anew";
        return Err(Stopped::Usage(fault.into()));
    }
    Ok(all)
}

/// The boxes of addresses, each once.
fn boxes(written: &[String]) -> Result<Vec<Mailbox>, Stopped> {
    let mut found: Vec<Mailbox> = Vec::new();
    for one in written {
        let to = mailbox(one)?;
        if !found.iter().any(|f| box_of(f.email.as_ref()) == box_of(to.email.as_ref())) {
            found.push(to);
        }
    }
    Ok(found)
}

fn no_address(whose: &str, where_to_write: &str) -> Stopped {
    Stopped::Usage(format!(
        "there is no address of {whose}: write {where_to_write} and issue it anew, or say it with `--to`"
    ))
}
