//! `mail`: what was issued, in a message ready to be sent.
//!
//! Given a job and a kind of document; gives a file in the form of RFC 5322 that mail programs open as a draft, with the very
//! files that were issued. An order never goes to the customer, a quote never to a merchant. Nothing is sent from here.

use super::altered::altered_files;
use super::kept::{Frozen, Kept, folder_name, unread};
use super::snapshot;
use crate::cli::Outcome;
use crate::cli::arguments::{Mail, MailedKind};
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::mail_text::{self, MailText};
use crate::documents::views::{OrderView, QuoteView};
use crate::documents::wording;
use crate::records;
use lettre::message::header::{ContentType, HeaderName, HeaderValue};
use lettre::message::{Attachment, Mailbox, Message, MultiPart, SinglePart};
use std::fs;
use std::time::{Duration, UNIX_EPOCH};
use time::{Date, Time};

/// One message to be made.
struct Envelope {
    name: String,
    to: Vec<String>,
    letter: MailText,
    /// The files that go with it, by their names in the frozen folder.
    files: Vec<String>,
}

/// Writes the drafts.
///
/// # Errors
/// What was never issued or was altered since; an address that is missing, or is the wrong party's; what cannot be written.
pub(crate) fn mail(named: &JobSource, typed: &Mail, today: Date) -> Result<Outcome, Stopped> {
    let folder = work::out_folder(named, &typed.output, false);
    refuse_kept(&folder)?;
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = super::accepted::reference(named, &kept, &typed.files)?;
    let at = revision(&kept, &reference, typed)?;
    let altered = altered_files(at);
    if !altered.is_empty() {
        let what = at.folder.display();
        return Err(Stopped::Usage(format!("{what} is not sent: {}; issue it anew", wording::list(&altered))));
    }
    let priced = snapshot::work_again(at)?;
    let envelopes = match typed.document {
        MailedKind::Quote => vec![quote(&priced, at, typed)?],
        MailedKind::Order => orders(&priced, at, typed)?,
    };
    let files: Vec<(String, Vec<u8>)> = envelopes
        .iter()
        .map(|e| Ok((e.name.clone(), draft(e, &priced, at, today)?)))
        .collect::<Result<_, Stopped>>()?;
    let written =
        records::write_all(&folder, files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())), |_| false)
            .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    for (place, envelope) in written.places.iter().zip(&envelopes) {
        terminal::say(&format!(
            "wrote {}\n  to {}: {}\n",
            place.display(),
            envelope.to.join(", "),
            envelope.letter.subject
        ))?;
    }
    terminal::say("Open it in your mail program, read it over, and send it from there.\n")?;
    Ok(Outcome::Done)
}

/// The revision that was named, or the last that was issued of this kind.
fn revision<'a>(kept: &'a Kept, reference: &'a str, typed: &Mail) -> Result<&'a Frozen, Stopped> {
    let (kind, what) = (typed.document.into(), typed.document.word());
    let issued = || Stopped::Usage(format!("no {what} of this job was issued yet: `wetout issue JOB {what}`"));
    let Some(letter) = &typed.revision else { return kept.last(reference, kind).ok_or_else(issued) };
    let of_letter = |f: &&Frozen| f.manifest.revision.eq_ignore_ascii_case(letter);
    let is_this = |f: &&Frozen| f.manifest.paper().is_some_and(|paper| paper.document == what);
    kept.of(reference).filter(is_this).find(of_letter).ok_or_else(|| {
        Stopped::Usage(format!("no {what} was issued as revision {letter}; `wetout list` shows what was"))
    })
}

fn quote(priced: &PricedJob, at: &Frozen, typed: &Mail) -> Result<Envelope, Stopped> {
    let worked = priced.worked();
    let to = typed.to.clone();
    let to = if to.is_empty() { worked.job.customer.email.clone().into_iter().collect() } else { to };
    if to.is_empty() {
        return Err(no_address("the customer", "`email:` under `customer` in the job"));
    }
    let merchants =
        priced.pricing.orders.iter().filter_map(|o| Some((o.merchant.name.as_str(), o.merchant.email.as_deref()?)));
    for (name, address) in merchants {
        if to.iter().any(|to| to.eq_ignore_ascii_case(address)) {
            return Err(Stopped::Usage(format!("{address} is {name}'s: a quote never goes to a merchant")));
        }
    }
    let letter = priced.with_words(|words| mail_text::to_customer(&QuoteView::of(&worked), words))?;
    let name = format!("{}-quote.eml", folder_name(&at.manifest.reference, &at.manifest.revision));
    Ok(Envelope { name, to, letter, files: vec!["quote.pdf".to_owned()] })
}

/// A message to each merchant, with his own order alone.
fn orders(priced: &PricedJob, at: &Frozen, typed: &Mail) -> Result<Vec<Envelope>, Stopped> {
    let worked = priced.worked();
    let views = OrderView::all(&worked);
    if typed.to.len() > 1 || !typed.to.is_empty() && views.len() > 1 {
        let fault = "--to names one merchant, and each order goes to its own; give the price books their `email:` and issue anew";
        return Err(Stopped::Usage(fault.into()));
    }
    let customer = worked.job.customer.email.as_deref();
    let mut all = Vec::new();
    for (n, (view, order)) in views.iter().zip(&priced.pricing.orders).enumerate() {
        let Some(to) = typed.to.first().cloned().or_else(|| order.merchant.email.clone()) else {
            return Err(no_address(view.merchant, "`email:` under `merchant` in the price book"));
        };
        if customer.is_some_and(|customer| customer.eq_ignore_ascii_case(&to)) {
            return Err(Stopped::Usage(format!("{to} is the customer's: an order never goes to the customer")));
        }
        let letter = priced.with_words(|words| mail_text::to_merchant(view, words))?;
        let stem = if views.len() == 1 { "order".to_owned() } else { format!("order-{}", n + 1) };
        let name = format!("{}-{stem}.eml", folder_name(&at.manifest.reference, &at.manifest.revision));
        all.push(Envelope { name, to: vec![to], letter, files: vec![format!("{stem}.pdf"), format!("{stem}.csv")] });
    }
    Ok(all)
}

fn no_address(whose: &str, where_to_write: &str) -> Stopped {
    Stopped::Usage(format!(
        "there is no address of {whose}: write {where_to_write} and issue it anew, or say it with `--to`"
    ))
}

/// The message as a file. What makes it one message and no other (its id, and what parts it) follows from what it holds, so
/// that the same draft has the same bytes.
fn draft(envelope: &Envelope, priced: &PricedJob, at: &Frozen, today: Date) -> Result<Vec<u8>, Stopped> {
    let firm = &priced.firm.party;
    let Some(from) = &firm.email else {
        return Err(no_address("the firm", "`email:` under `firm` in the firm file"));
    };
    let mailbox = |name: Option<&str>, address: &str| {
        let parsed = address.parse().map_err(|_| {
            Stopped::Usage(format!(
                "`{address}` is no address that mail can be sent to; write it as name@place.example"
            ))
        });
        Ok::<_, Stopped>(Mailbox::new(name.map(str::to_owned), parsed?))
    };
    let noon = today.with_time(Time::from_hms(12, 0, 0).unwrap_or(Time::MIDNIGHT)).assume_utc().unix_timestamp();
    let sent = UNIX_EPOCH + Duration::from_secs(u64::try_from(noon).unwrap_or(0));
    let digest = &at.listed.sha256;
    let id = format!("<{}.{}@{}>", envelope.name.trim_end_matches(".eml"), &digest[..16], domain(from));
    let mut message = Message::builder()
        .from(mailbox(Some(&firm.name), from)?)
        .subject(envelope.letter.subject.clone())
        .date(sent)
        .message_id(Some(id))
        // By this mail programs open it to be sent, not as one that was received.
        .raw_header(HeaderValue::new(HeaderName::new_from_ascii_str("X-Unsent"), "1".to_owned()));
    for to in &envelope.to {
        message = message.to(mailbox(None, to)?);
    }
    let parted = |n: u8| format!("part-{n}-{}", &digest[..32]);
    let words = MultiPart::alternative()
        .boundary(parted(1))
        .singlepart(SinglePart::plain(envelope.letter.text.clone()))
        .singlepart(SinglePart::html(envelope.letter.html.clone()));
    let mut whole = MultiPart::mixed().boundary(parted(2)).multipart(words);
    for name in &envelope.files {
        let place = at.folder.join(name);
        let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
        let kind = if name.ends_with(".csv") { "text/csv; charset=utf-8" } else { "application/pdf" };
        let kind = ContentType::parse(kind).unwrap_or(ContentType::TEXT_PLAIN);
        let sent_as = format!("{} {name}", folder_name(&at.manifest.reference, &at.manifest.revision));
        whole = whole.singlepart(Attachment::new(sent_as).body(bytes, kind));
    }
    let message = message.multipart(whole).map_err(|error| {
        Stopped::Usage(format!(
            "the message cannot be made: {error}; look at the addresses of the firm and of whom it goes to"
        ))
    })?;
    Ok(message.formatted())
}

fn domain(address: &str) -> &str {
    address.rsplit('@').next().unwrap_or("localhost")
}
