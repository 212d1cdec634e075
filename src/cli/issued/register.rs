//! `list`: how every job of a folder stands, and what is to be done next.
//!
//! Given jobs and the day; reads what is kept beside each, and gives a row for each, what is due first on top. Nothing is stored:
//! the register is what the folders say. A job of which no quote was issued is worked for its total, and is a draft even where
//! something is wrong with it.

use super::agreed_works;
use super::deal::{self, AgreedChange, Deal};
use super::kept::{Frozen, IssuedVariation, Kept, Quoted, VariationState, unread};
use super::manifest::{CustomerAnswer, FrozenAs, InvoiceRecord, MailState, date_of, day};
use super::varied_goods;
use super::varied_order;
use crate::cli::Outcome;
use crate::cli::arguments::{DealState, Files};
use crate::cli::jobs::{self, JobSource};
use crate::cli::table::{Ranged, table};
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::DocumentKind;
use crate::documents::wording;
use crate::facts::FACTS;
use crate::job_file;
use crate::pricing::Money;
use crate::pricing::account::Account;
use rust_decimal::prelude::ToPrimitive;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::PathBuf;
use time::{Date, Duration};

/// The customer is asked after so many days, where the price stands that long.
const FOLLOW_UP: Duration = Duration::days(7);
/// Materials are ordered so many days before the first day on site: common practice, no source.
const ORDER_BEFORE: Duration = Duration::days(10);

/// A quote that stands for so many days more, or fewer, is about to lapse.
const SOON: i64 = 7;

/// What is next once everything is ordered.
const BEGIN: &str = "begin on site";
/// What is next once the work has begun.
const HAND_OVER: &str = "hand the roof over";
/// A quote went to the mail server, whose answer was lost.
const MAIL_BEGUN: &str = "mail begun";

/// How one job stands.
#[derive(Debug, Clone)]
struct RegisterRow {
    job: String,
    reference: String,
    customer: String,
    title: String,
    state: DealState,
    revision: Option<String>,
    total: Option<String>,
    /// What was paid, where anything was invoiced.
    paid: Option<Money>,
    /// The days that matter, each with its word.
    dates: Vec<(&'static str, Date)>,
    next: String,
    due: Option<Date>,
    /// What cannot be read.
    faults: Vec<String>,
}

/// Prints the register.
///
/// # Errors
/// What was typed cannot be used.
pub(crate) fn list(
    folder: &[PathBuf],
    json: bool,
    states: &[DealState],
    today: Date,
    files: &Files,
) -> Result<Outcome, Stopped> {
    let jobs = jobs::find(folder).map_err(Stopped::Usage)?;
    let mut rows = Vec::new();
    for job in &jobs {
        rows.extend(row(job, today, files)?);
    }
    let doubles = doubles(&rows);
    rows.retain(|row| states.is_empty() || states.contains(&row.state));
    rows.sort_by(|a, b| {
        let due = |row: &RegisterRow| (row.due.is_none(), row.due);
        due(a).cmp(&due(b)).then_with(|| a.reference.cmp(&b.reference)).then_with(|| a.job.cmp(&b.job))
    });
    terminal::say(&if json { as_json(&rows, today) } else { as_table(&rows, today) })?;
    if !doubles.is_empty() {
        terminal::warn(&(doubles + jobs::ONE_REFERENCE))?;
    }
    let mut faults = rows.iter().flat_map(|row| row.faults.iter().map(move |fault| format!("{}: {fault}\n", row.job)));
    let told: String = faults.by_ref().collect();
    terminal::warn(&told)?;
    Ok(if told.is_empty() { Outcome::Done } else { Outcome::Problems })
}

/// The jobs whose reference an earlier one of the list has too, each on a line.
fn doubles(rows: &[RegisterRow]) -> String {
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    let mut told = String::new();
    for row in rows {
        match first.get(row.reference.as_str()) {
            Some(job) if *job != row.job => {
                told += &format!("{}: its reference {} is that of {job} too\n", row.job, row.reference);
            }
            Some(_) => {}
            None => drop(first.insert(&row.reference, &row.job)),
        }
    }
    told
}

/// How the quote of a job stands whose price a customer may still ask for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum QuoteStanding {
    /// None was issued.
    Draft,
    /// The last waits for an answer: its letter, its total as it was printed, until when it stands.
    Waits(String, String, Option<Date>),
    /// It was accepted, declined or withdrawn.
    Answered,
}

/// How the quote of a job stands.
///
/// # Errors
/// What is kept beside the job cannot be read.
pub(crate) fn quote_standing(job: &JobSource, reference: &str) -> Result<QuoteStanding, Stopped> {
    let kept = Kept::beside(&job.folder()).map_err(|error| unread(&job.folder(), &error))?;
    let quotes = kept.quotes(reference);
    let Some(last) = quotes.last() else { return Ok(QuoteStanding::Draft) };
    let revision = &last.at.manifest.revision;
    if kept.accepted(reference).is_some() || kept.answers(reference, revision).next().is_some() {
        return Ok(QuoteStanding::Answered);
    }
    Ok(QuoteStanding::Waits(revision.clone(), last.paper.total.clone(), date_of(&last.paper.valid_until)))
}

/// That the quote which was issued last waits for an answer and lapses soon, or has lapsed; nothing where it does not.
///
/// # Errors
/// What is kept beside the job cannot be read.
pub(crate) fn lapsing(job: &JobSource, reference: &str, today: Date) -> Result<String, Stopped> {
    if !matches!(job, JobSource::File(_)) {
        return Ok(String::new());
    }
    let kept = Kept::beside(&job.folder()).map_err(|error| unread(&job.folder(), &error))?;
    let quotes = kept.quotes(reference);
    let Some(last) = quotes.last().filter(|_| kept.accepted(reference).is_none()) else { return Ok(String::new()) };
    let revision = &last.at.manifest.revision;
    let answered = kept.answers(reference, revision).next().is_some();
    let Some(until) = date_of(&last.paper.valid_until).filter(|_| !answered) else { return Ok(String::new()) };
    let left = (until - today).whole_days();
    let words = match left {
        ..0 => format!("has lapsed: it stood until {until}; ask once more, and issue it anew at today's prices"),
        0 => format!("lapses today, {until}: ask whether they will have it done"),
        left if left <= SOON => {
            let days = wording::plural(usize::try_from(left).unwrap_or_default(), "day", "days");
            format!("lapses in {days}, on {until}: ask whether they will have it done")
        }
        _ => return Ok(String::new()),
    };
    Ok(format!("the quote that was issued as revision {revision} {words}\n"))
}

fn row(job: &JobSource, today: Date, files: &Files) -> Result<Option<RegisterRow>, Stopped> {
    if !matches!(job, JobSource::File(_)) {
        return Ok(Some(RegisterRow { faults: vec![unreadable(job, files)], ..blank(job) }));
    }
    let kept = Kept::beside(&job.folder()).map_err(|error| unread(&job.folder(), &error))?;
    let request = job.request(files).map_err(Stopped::Usage)?;
    let mut row = blank(job);
    row.faults = kept.told_unread();
    match (job_file::load(&request), kept.references().as_slice()) {
        (Ok(loaded), _) => {
            row.reference = loaded.job.reference;
            row.title = loaded.job.title;
            row.customer = loaded.job.customer.name;
        }
        (Err(_), [only]) => row.reference = (*only).to_owned(),
        (Err(_), _) => {}
    }
    let reference = row.reference.clone();
    let quotes = kept.quotes(&reference);
    match quotes.last() {
        Some(last) => of_quote(&mut row, &kept, *last, today),
        None => draft(&mut row, job, files),
    }
    Ok(Some(row))
}

fn blank(job: &JobSource) -> RegisterRow {
    RegisterRow {
        job: job.label(),
        reference: String::new(),
        customer: String::new(),
        title: String::new(),
        state: DealState::Draft,
        revision: None,
        total: None,
        paid: None,
        dates: Vec::new(),
        next: "put the job right: `wetout check`".into(),
        due: None,
        faults: Vec::new(),
    }
}

fn unreadable(job: &JobSource, files: &Files) -> String {
    job.request(files).err().unwrap_or_else(|| "it is no job file".into())
}

/// A job of which no quote was issued.
fn draft(row: &mut RegisterRow, job: &JobSource, files: &Files) {
    if let Ok(priced) = work::price(job, files) {
        row.total = Some(priced.pricing.total.to_string());
        row.dates = vec![("prepared", priced.laid.loaded.job.prepared)];
        row.next = "look at the quote and issue it".into();
        row.due = Some(priced.laid.loaded.job.prepared);
    }
}

/// A job by its last quote and what was answered to any.
fn of_quote(row: &mut RegisterRow, kept: &Kept, last: Quoted<'_>, today: Date) {
    let reference = row.reference.clone();
    show(row, kept, last);
    if let Some((at, answer)) = kept.accepted(&reference) {
        let quotes = kept.quotes(&reference);
        if let Some(quote) = quotes.iter().find(|q| q.at.manifest.revision == at.manifest.revision) {
            show(row, kept, *quote);
        }
        accepted(row, kept, answer, last);
        return money(row, kept, today);
    }
    let revision = last.at.manifest.revision.clone();
    for at in kept.answers(&reference, &revision) {
        match &at.manifest.holds {
            FrozenAs::Declined(answer) => return ended(row, DealState::Declined, answer),
            FrozenAs::Withdrawn(answer) => {
                ended(row, DealState::Withdrawn, answer);
                return undo(row, kept, answer);
            }
            FrozenAs::Issued(_)
            | FrozenAs::Accepted(_)
            | FrozenAs::Invoiced(_)
            | FrozenAs::Paid(_)
            | FrozenAs::Back(_)
            | FrozenAs::Account(_)
            | FrozenAs::Varied(_)
            | FrozenAs::Agreed(_)
            | FrozenAs::Refused(_)
            | FrozenAs::Mail(_)
            | FrozenAs::Handover(_) => {}
        }
    }
    let by_mail = row.dates.iter().find(|(word, _)| *word == "mailed").map(|(_, day)| *day);
    let (sent, until) = (by_mail.or(date_of(&last.paper.date)), date_of(&last.paper.valid_until));
    match until.filter(|until| today > *until) {
        Some(until) => {
            row.state = DealState::Lapsed;
            row.next = "ask once more and issue it anew, or record that it was declined".into();
            row.due = Some(until);
        }
        None => {
            row.state = DealState::Sent;
            row.next = match row.dates.iter().any(|(word, _)| *word == MAIL_BEGUN) {
                true => "ask whether the mail with the quote arrived; --again sends it once more".into(),
                false => "ask whether they will have it done".into(),
            };
            row.due = sent.map(|sent| sent.saturating_add(FOLLOW_UP)).into_iter().chain(until).min();
        }
    }
}

/// The figures of a quote.
fn show(row: &mut RegisterRow, kept: &Kept, quote: Quoted<'_>) {
    row.revision = Some(quote.at.manifest.revision.clone());
    row.total = Some(quote.paper.total.clone());
    row.title.clone_from(&quote.paper.title);
    row.customer.clone_from(&quote.paper.customer);
    let days = [
        ("sent", Some(&quote.paper.date)),
        ("stands until", Some(&quote.paper.valid_until)),
        ("start", quote.paper.first_day.as_ref()),
    ];
    row.dates = days.into_iter().filter_map(|(word, day)| Some((word, date_of(day?)?))).collect();
    row.dates.extend(mailed(kept, quote.at, ["mailed", MAIL_BEGUN]));
}

/// When something that is frozen last went by mail, or was last begun where nobody knows whether it went; each with its word.
fn mailed(kept: &Kept, at: &Frozen, [sent, begun]: [&'static str; 2]) -> Option<(&'static str, Date)> {
    let mailings = kept.mailings(at);
    let last = |state| mailings.iter().rev().find(|m| m.state == state).and_then(|m| date_of(m.day()));
    last(MailState::Sent).map(|day| (sent, day)).or_else(|| last(MailState::Begun).map(|day| (begun, day)))
}

fn accepted(row: &mut RegisterRow, kept: &Kept, answer: &CustomerAnswer, last: Quoted<'_>) {
    let on = date_of(&answer.on);
    let start = row.dates.iter().find(|(word, _)| *word == "start").map(|(_, day)| *day);
    row.state = DealState::Accepted;
    row.total = answer.total.clone().or(row.total.take());
    row.dates.retain(|(word, _)| *word != "stands until");
    row.dates.extend(on.map(|on| ("accepted", on)));
    let reference = row.reference.clone();
    let made = |document: &str| {
        let revision = row.revision.clone();
        kept.of(&reference)
            .rev()
            .filter_map(|f| Some((f, f.manifest.paper()?)))
            .find(|(_, p)| p.document == document && p.as_accepted == revision && p.varied.is_none())
    };
    let (ordered, method) = (made("order"), made("method"));
    match (ordered, method) {
        (None, _) => {
            row.next = "issue the order and send it".into();
            row.due = start.map(|start| start.saturating_sub(ORDER_BEFORE)).or(on);
        }
        (Some(_), None) => {
            row.next = "issue the method statement for the site".into();
            row.due = start;
        }
        (Some(_), Some(_)) => {
            row.next = BEGIN.into();
            row.due = start;
        }
    }
    if let Some((at, order)) = ordered {
        row.state = DealState::Ordered;
        let went = mailed(kept, at, ["order mailed", "order mail begun"]);
        row.dates.extend(went);
        row.dates.extend(date_of(&order.date).map(|day| ("ordered", day)));
    }
    if row.revision.as_deref() != Some(&last.at.manifest.revision) {
        row.next = format!("{}; revision {} was issued since", row.next, last.at.manifest.revision);
    }
}

/// What is to be signed, to be asked for and to be paid. A variation that waits comes first, since nobody goes on with it
/// until it is signed, then with it or alone all money that is overdue. Of what is next on site and what is next in money the one that is due first is told; what has no day comes when
/// nothing else is due.
fn money(row: &mut RegisterRow, kept: &Kept, today: Date) {
    let reference = row.reference.clone();
    let deal = match Deal::of(kept, &reference) {
        Ok(Some(deal)) => deal,
        Ok(None) => return,
        Err(_) => {
            row.faults.push("what was accepted cannot be worked again: `wetout issue --check` says why".into());
            return;
        }
    };
    let standing = deal::standing(kept, &reference);
    let account = deal::account(kept, &reference);
    let owed = account
        .first_due()
        .map(|(charge, left)| (format!("{left} to be paid for {}", charge.number), Some(charge.due)));
    let records: Vec<&InvoiceRecord> = standing.iter().map(|(_, invoice)| *invoice).collect();
    let to_invoice = deal.to_invoice(&records);
    let late = if to_invoice.is_none() { deal.uninvoiced(&records) } else { Vec::new() };
    let last_handover = kept.handovers(&reference).last().copied();
    let handed_over = last_handover.map(|(_, handover)| handover);
    let is_final = |n: usize| deal.next(n, &records).2.total == Money::ZERO;
    let ask = to_invoice.map(|n| match handed_over {
        Some(handover) if is_final(n) => {
            (format!("send the final invoice, for stage {}", n + 1), Some(handover.date.0))
        }
        Some(handover) => (format!("send the invoice for stage {}", n + 1), Some(handover.date.0)),
        None => (format!("send the invoice for stage {}", n + 1), deal.asked_on(n)),
    });
    let ask = ask.or_else(|| late.first().map(|change| (ask_for(change, &records), Some(change.on))));
    let all_invoiced = to_invoice.is_none() && late.is_empty();
    let kept_back = deal::kept_back(&records).total;
    let keeps = all_invoiced && kept_back > Money::ZERO;
    let ask = ask.or_else(|| {
        let last = records.last().filter(|_| keeps)?;
        Some((format!("send the invoice for {kept_back} that was kept back"), deal.kept_until(last.date.0)))
    });
    let whole = all_invoiced && !keeps && account.balance() <= Money::ZERO;
    if !kept.invoices(&reference).is_empty() {
        row.paid = Some(account.paid());
        row.dates.extend(standing.last().map(|(_, invoice)| ("invoiced", invoice.date.0)));
        let went = standing.last().and_then(|(at, _)| mailed(kept, at, ["invoice mailed", "invoice mail begun"]));
        row.dates.extend(went);
        let payments = kept.payments(&reference);
        row.dates.extend(payments.last().map(|(_, paid)| ("paid", paid.date.0)));
        let receipts = kept.receipts(&reference);
        let statements = kept.accounts(&reference);
        row.dates
            .extend(statements.last().and_then(|(at, _)| mailed(kept, at, ["account mailed", "account mail begun"])));
        row.dates
            .extend(receipts.last().and_then(|(at, ..)| mailed(kept, at, ["receipt mailed", "receipt mail begun"])));
    }
    let varied = kept.variations(&reference, &deal.revision);
    row.dates.extend(varied.last().map(|last| ("varied", last.record.date.0)));
    row.dates
        .extend(varied.last().and_then(|last| mailed(kept, last.at, ["variation mailed", "variation mail begun"])));
    if !deal.changes.is_empty() {
        row.total = Some(deal.sums.total.to_string());
    }
    if let Some((at, handover)) = last_handover {
        row.dates.push(("finished", handover.finished.0));
        row.dates.push(("handed over", handover.date.0));
        row.dates.extend(mailed(kept, at, ["handover mailed", "handover mail begun"]));
    }
    // What was found on site was found by somebody who had begun.
    let begun = !varied.is_empty() || deal.first_day.is_some_and(|first| first <= today);
    let on_site = !varied.is_empty() || row.state == DealState::Ordered && begun;
    row.state = match (standing.is_empty(), whole) {
        (false, true) => DealState::Paid,
        (false, false) if all_invoiced => DealState::Invoiced,
        _ if handed_over.is_some() => DealState::Done,
        _ if on_site => DealState::OnSite,
        (false, false) => DealState::Invoiced,
        (true, _) => row.state,
    };
    // Once the work has begun nobody asks when it begins, once all is invoiced nobody what it is begun with, and once it is handed
    // over nothing is left to do on site.
    let next_on_site = match (begun && row.next.starts_with(BEGIN), all_invoiced && (begun || deal.first_day.is_none()))
    {
        (true, _) => (row.next.replace(BEGIN, HAND_OVER), deal.last_day),
        (false, true) => (HAND_OVER.to_owned(), deal.last_day),
        (false, false) => (row.next.clone(), row.due),
    };
    let next_on_site = handed_over.is_none().then_some(next_on_site);
    let to_order = (!whole && handed_over.is_none()).then(|| to_order(kept, &reference, &deal)).flatten();
    let dated = [owed, ask, to_order, next_on_site].into_iter().flatten().min_by_key(|(_, due)| (due.is_none(), *due));
    let (next, due) = dated.unwrap_or_else(|| ("nothing".to_owned(), None));
    (row.next, row.due) = match account.balance() < Money::ZERO && whole {
        true => (format!("pay back {}, or keep it for what comes next", -account.balance()), None),
        false => (next, due),
    };
    let waits = varied.iter().find(|varied| matches!(varied.answer, VariationState::Waiting));
    if let Some(waits) = waits {
        let record = waits.record;
        row.next = format!("have variation order {} of {} signed", record.number, record.sums.total.0);
        row.due = Some(record.date.0);
    }
    if let Some((words, due)) = overdue(&account, today) {
        row.next = match waits {
            Some(_) => format!("{}; {words}", row.next),
            None => words,
        };
        row.due = Some(due);
    }
}

/// All that is overdue, and since when.
fn overdue(account: &Account, today: Date) -> Option<(String, Date)> {
    let late = account.open().into_iter().filter(|(charge, left)| *left > Money::ZERO && charge.due < today);
    let late: Vec<_> = late.collect();
    let first = late.iter().map(|(charge, _)| charge.due).min()?;
    let numbers: Vec<String> = late.iter().map(|(charge, _)| charge.number.clone()).collect();
    Some((format!("ask for {}, overdue for {}", account.overdue(today), wording::list(&numbers)), first))
}

/// The first variation that was agreed and whose goods are not ordered yet.
fn to_order(kept: &Kept, reference: &str, deal: &Deal) -> Option<(String, Option<Date>)> {
    let open = |varied: &IssuedVariation<'_>| {
        varied_goods::last_for(kept, reference, &varied.record.number).is_none()
            && agreed_works::found(*varied).is_ok_and(|found| varied_order::has_goods(varied.record, &found))
    };
    let varied = agreed_works::agreed(kept, reference, &deal.revision).into_iter().find(open)?;
    let VariationState::Agreed(answer) = varied.answer else { return None };
    Some((format!("order what variation order {} adds", varied.record.number), Some(answer.on.0)))
}

/// What is to be done for a variation that was agreed once every stage was invoiced.
fn ask_for(change: &AgreedChange, standing: &[&InvoiceRecord]) -> String {
    match (change.sums.is_below_nothing(), standing.iter().rfind(|invoice| invoice.stage > 0)) {
        (true, Some(last)) => {
            let (number, sum) = (&last.number, -change.sums.total);
            format!("credit {number} and send it anew: {} takes {sum} off", change.number)
        }
        _ => format!("send the invoice for variation order {}", change.number),
    }
}

fn ended(row: &mut RegisterRow, state: DealState, answer: &CustomerAnswer) {
    let on = date_of(&answer.on);
    row.state = state;
    row.next = "nothing".into();
    row.dates.retain(|(word, _)| matches!(*word, "sent" | "mailed"));
    row.dates.extend(on.map(|on| (state.word(), on)));
}

/// What is to be undone where an acceptance was withdrawn: what was paid, and what was ordered.
fn undo(row: &mut RegisterRow, kept: &Kept, answer: &CustomerAnswer) {
    let reference = row.reference.clone();
    let account = deal::account(kept, &reference);
    row.paid = (!account.charges.is_empty()).then_some(account.paid());
    let standing = deal::standing(kept, &reference);
    let (done, asked): (Vec<_>, Vec<_>) = standing.into_iter().map(|(_, invoice)| invoice).partition(|i| i.done);
    let credit = -account.balance();
    let mut to_do: Vec<String> = asked.iter().map(|invoice| format!("credit {}", invoice.number)).collect();
    let owed = done.iter().map(|invoice| (invoice, account.open_of(&invoice.number)));
    let owed: Vec<_> = owed.filter(|(_, left)| *left > Money::ZERO).collect();
    to_do.extend(owed.iter().map(|(invoice, left)| format!("have {left} paid for {}", invoice.number)));
    to_do.extend((credit > Money::ZERO).then(|| format!("pay back {credit}")));
    if kept.last(&reference, DocumentKind::Order).is_some() {
        to_do.push("stop the order".to_owned());
    }
    let to_do = match to_do.split_last() {
        None => return,
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{}, and {last}", before.join(", ")),
    };
    if let Some((invoice, _)) = owed.first().filter(|_| credit <= Money::ZERO && asked.is_empty()) {
        (row.next, row.due) = (to_do, Some(invoice.due.0));
        return;
    }
    let days = FACTS.refund_days.number().to_i64().unwrap_or_default();
    (row.next, row.due) = (to_do, date_of(&answer.on).map(|on| on.saturating_add(Duration::days(days))));
}

fn as_table(rows: &[RegisterRow], today: Date) -> String {
    let columns = [
        ("due", Ranged::Left),
        ("next", Ranged::Left),
        ("state", Ranged::Left),
        ("reference", Ranged::Left),
        ("customer", Ranged::Left),
        ("job", Ranged::Left),
        ("total", Ranged::Right),
        ("paid", Ranged::Right),
        ("dates", Ranged::Left),
    ];
    let cells = |row: &RegisterRow| {
        let due = row
            .due
            .map_or_else(|| "–".into(), |due| if due < today { format!("{due}, late") } else { due.to_string() });
        let revision = row.revision.as_ref().map_or_else(String::new, |letter| format!(" {letter}"));
        let dates: Vec<String> = row.dates.iter().map(|(word, day)| format!("{word} {day}")).collect();
        vec![
            due,
            row.next.clone(),
            row.state.word().to_owned(),
            format!("{}{revision}", row.reference),
            row.customer.clone(),
            row.title.clone(),
            row.total.clone().unwrap_or_else(|| "–".into()),
            row.paid.map_or_else(|| "–".into(), |paid| paid.to_string()),
            dates.join(", "),
        ]
    };
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    format!("{}\n{} on {}\n", table(&columns, &rows), wording::plural(rows.len(), "job", "jobs"), wording::date(today))
}

fn as_json(rows: &[RegisterRow], today: Date) -> String {
    let one = |row: &RegisterRow| {
        let dates: serde_json::Map<String, Value> =
            row.dates.iter().map(|(word, date)| (word.replace(' ', "_"), json!(day(*date)))).collect();
        json!({
            "job": row.job, "reference": row.reference, "customer": row.customer, "title": row.title,
            "state": row.state.word(), "revision": row.revision, "total": row.total, "paid": row.paid.map(|paid| paid.to_string()), "dates": dates,
            "next": row.next, "due": row.due.map(day), "faults": row.faults,
        })
    };
    let value = json!({"today": day(today), "jobs": rows.iter().map(one).collect::<Vec<_>>()});
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}
