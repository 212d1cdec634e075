//! `account`: what was agreed, asked for and paid, and what is open, on the terminal and as a statement for the customer.
//!
//! Given a job and the day; reads what is kept. Nothing is stored: the account is what the folders say. What is sent of it is frozen
//! before, as it then stood.

use super::accepted::reference;
use super::agreed_works;
use super::answer;
use super::deal::{self, Deal, nothing_accepted, read_accepted};
use super::kept::{Frozen, Kept, VariationState, unread};
use super::manifest::{
    AccountLineRecord, AccountRecord, BackRecord, FrozenAs, Inputs, InvoiceRecord, KeptDay, KeptMoney, OpenRecord,
    PriceChangeRecord, VariationRecord, WhatGoesBack, day,
};
use super::receipt::{TRIES, freeze_next, others_issue};
use super::snapshot;
use super::varied_goods;
use super::varied_order;
use crate::cli::Outcome;
use crate::cli::arguments::{AccountAsked, Files};
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::table::{Ranged, table};
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::account::{self, AccountLine, AccountView, EntryKind, OpenCharge};
use crate::documents::invoice::{AGREED, AcceptedQuote, PriceChange};
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding};
use crate::job_file::Loaded;
use crate::model::Problem;
use crate::pricing::Money;
use crate::records;
use serde_json::json;
use std::path::Path;
use time::Date;

/// Prints the account, and writes the statement unless it is asked for as JSON.
///
/// # Errors
/// What cannot be read, made or written.
pub(crate) fn account(named: &JobSource, typed: &AccountAsked, today: Date) -> Result<Outcome, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = reference(named, &kept, &typed.files)?;
    let deal = Deal::last_of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
    let loaded = read_accepted(&deal, &typed.files)?;
    let waiting = waiting(&kept, &reference, &deal.revision);
    let goods = goods(&kept, &reference, &deal.revision)?;
    let record = record_of(&kept, &reference, &deal, &loaded, today);
    let view = view(&record, (&reference, &deal.revision), &loaded)?;
    if typed.json {
        terminal::say(&as_json(&view, deal::account(&kept, &reference).paid(), (&waiting, &goods)))?;
        return Ok(Outcome::Done);
    }
    terminal::say(&as_text(&view, &waiting, &goods))?;
    let folder = work::out_folder(named, &typed.output, None);
    refuse_kept(&folder)?;
    let Finished { name, bytes } = work::made_of(&loaded, |own| account::make(&view, own))?;
    let written = records::write_all(&folder, [(name.as_str(), bytes.as_slice())], |_| false)
        .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
    let places: String = written.places.iter().map(|place| format!("wrote {}\n", place.display())).collect();
    terminal::note(&places)?;
    Ok(Outcome::Done)
}

// ---- What it says ------------------------------------------------------------------------------------------------------

/// All that stands on it, without a number.
fn record_of(kept: &Kept, reference: &str, deal: &Deal, loaded: &Loaded, today: Date) -> AccountRecord {
    let standing: Vec<&InvoiceRecord> = deal::standing(kept, reference).into_iter().map(|(_, i)| i).collect();
    let account = deal::account(kept, reference);
    let open = account.open().into_iter().filter(|(_, left)| *left > Money::ZERO);
    let kept_back = Some(deal::kept_back(&standing).total).filter(|kept| *kept > Money::ZERO);
    let kept_until = kept_back.and_then(|_| deal.kept_until(standing.last()?.date.0));
    AccountRecord {
        sequence: 0,
        number: String::new(),
        date: KeptDay(today),
        accepted_on: KeptDay(deal.on),
        accepted_total: KeptMoney(deal.accepted.total),
        changes: changes(deal, &standing),
        cancelled: deal.cancelled.map(KeptDay),
        pay_back_by: deal.cancelled.filter(|_| !loaded.job.reverse_charge).map(|on| KeptDay(answer::pay_back_by(on))),
        total: KeptMoney(deal.sums.total),
        left: KeptMoney(deal.left(&standing).total),
        kept_back: kept_back.filter(|_| kept_until.is_some()).map(KeptMoney),
        kept_until: kept_until.map(KeptDay),
        lines: lines(kept, reference),
        open: open
            .map(|(charge, left)| OpenRecord {
                number: charge.number.clone(),
                due: KeptDay(charge.due),
                left: KeptMoney(left),
            })
            .collect(),
        balance: KeptMoney(account.balance()),
        overdue: KeptMoney(account.overdue(today)),
        inputs: Inputs::default(),
    }
}

/// What became of the accepted price: variations, and that it was cancelled.
fn changes(deal: &Deal, standing: &[&InvoiceRecord]) -> Vec<PriceChangeRecord> {
    let change = |what: String, how: &str, on: Date, amount: Money| PriceChangeRecord {
        what,
        how: how.to_owned(),
        on: KeptDay(on),
        amount: KeptMoney(amount),
    };
    let agreed = deal.changes.iter().map(|c| change(c.words(), AGREED, c.on, c.sums.total));
    let ended = deal.cancelled.map(|on| {
        let whole = change("All of it".to_owned(), "cancelled", on, -deal.agreed.total);
        let done = standing.iter().filter(|invoice| invoice.done).map(|invoice| {
            let what = format!("What was done until then, {}", invoice.number);
            change(what, "asked for", invoice.date.0, invoice.sums.total.0)
        });
        std::iter::once(whole).chain(done).collect::<Vec<_>>()
    });
    agreed.chain(ended.into_iter().flatten()).collect()
}

/// What is printed, from what was written down.
fn view<'a>(
    record: &'a AccountRecord,
    (reference, revision): (&'a str, &'a str),
    loaded: &'a Loaded,
) -> Result<AccountView<'a>, Stopped> {
    let change = |change: &PriceChangeRecord| PriceChange {
        words: change.what.clone(),
        how: change.how.clone(),
        on: change.on.0,
        amount: change.amount.0,
    };
    let line = |line: &'a AccountLineRecord| AccountLine {
        on: line.on.0,
        kind: EntryKind::ALL.into_iter().find(|kind| kind.word() == line.kind).unwrap_or(EntryKind::Charge),
        number: &line.number,
        of: &line.of,
        amount: line.amount.0,
        balance: line.balance.0,
    };
    let open = |open: &'a OpenRecord| OpenCharge { number: &open.number, due: open.due.0, left: open.left.0 };
    Ok(AccountView {
        parties: deal::parties(loaded, reference, record.date.0, IssueStanding::Numbered)?,
        accepted: AcceptedQuote { revision, on: record.accepted_on.0, total: record.accepted_total.0 },
        changes: record.changes.iter().map(change).collect(),
        cancelled: record.cancelled.map(|day| day.0),
        pay_back_by: record.pay_back_by.map(|day| day.0),
        total: record.total.0,
        left: record.left.0,
        kept_back: record.kept_back.map(|kept| kept.0).zip(record.kept_until.map(|day| day.0)),
        lines: record.lines.iter().map(line).collect(),
        open: record.open.iter().map(open).collect(),
        balance: record.balance.0,
        overdue: record.overdue.0,
    })
}

// ---- Freezing, making again ---------------------------------------------------------------------------------------------

/// The series of statements, as folders are named.
const SERIES: &str = "account";
/// The same in numbers.
const PRINTED: &str = "ACC";

/// Freezes the account as it stands on a day, so that what is sent is kept; nothing where the last one says the very same. Gives what
/// is to be said.
///
/// # Errors
/// What cannot be read, made or written.
pub(super) fn freeze(home: &Path, reference: &str, files: &Files, today: Date) -> Result<String, Stopped> {
    for _ in 0..TRIES {
        let kept = Kept::within(home).map_err(|error| unread(home, &error))?;
        let deal = Deal::last_of(&kept, reference)?.ok_or_else(|| nothing_accepted(reference))?;
        let loaded = read_accepted(&deal, files)?;
        let record = record_of(&kept, reference, &deal, &loaded, today);
        let (_, which) = snapshot::of(&loaded, None)?;
        let accounts = kept.accounts(reference);
        let last =
            accounts.last().map(|(_, last)| AccountRecord { sequence: 0, number: String::new(), ..(*last).clone() });
        if last.is_some_and(|last| last == AccountRecord { inputs: which, ..record.clone() }) {
            return Ok(String::new());
        }
        let sequence = kept.next_in_series(reference, SERIES)?;
        let record = AccountRecord { sequence, number: format!("{reference}-{PRINTED}-{sequence}"), ..record };
        let before = accounts.last().map(|(at, _)| at.listed.clone());
        let made = |inputs: Inputs| {
            let record = AccountRecord { inputs, ..record };
            let view = view(&record, (reference, &deal.revision), &loaded)?;
            let finished = work::made_of(&loaded, |own| account::make(&view, own))?;
            Ok((finished, FrozenAs::Account(Box::new(record))))
        };
        let of = (reference, deal.revision.as_str());
        if let Some(wrote) = freeze_next(&kept, of, &loaded, (SERIES, sequence, before), made)? {
            return Ok(wrote);
        }
    }
    Err(others_issue(home))
}

/// Makes the statement of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &AccountRecord) -> Result<Vec<Finished>, Stopped> {
    let loaded = snapshot::read_again(frozen)?;
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), &loaded)?;
    Ok(vec![work::made_of(&loaded, |own| account::make(&view, own))?])
}

/// What is printed of a statement that is frozen, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &AccountRecord,
    loaded: &Loaded,
    make: impl FnOnce(&AccountView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), loaded)?;
    work::with_words_of(loaded, |words| make(&view, words))
}

/// The goods of a variation that was agreed: what is paid for them, by which order.
struct VariedGoods<'a> {
    number: &'a str,
    /// Goods and delivery without VAT, and the letter and the day of the order; none while they are not ordered.
    ordered: Option<(Money, &'a str, &'a str)>,
}

/// Of every variation that was agreed and names goods. They are the firm's own figures, and stand in no statement.
fn goods<'a>(kept: &'a Kept, reference: &'a str, revision: &'a str) -> Result<Vec<VariedGoods<'a>>, Stopped> {
    let mut all = Vec::new();
    for varied in agreed_works::agreed(kept, reference, revision) {
        if !varied_order::has_goods(varied.record, &agreed_works::found(varied)?) {
            continue;
        }
        let number = &varied.record.number;
        let ordered = varied_goods::last_for(kept, reference, number).and_then(|at| {
            let paper = at.manifest.paper()?;
            Some((paper.varied.as_ref()?.goods.0, at.manifest.revision.as_str(), paper.date.as_str()))
        });
        all.push(VariedGoods { number, ordered });
    }
    Ok(all)
}

/// The variations that wait for the customer's answer.
fn waiting<'a>(kept: &'a Kept, reference: &'a str, revision: &'a str) -> Vec<&'a VariationRecord> {
    let all = kept.variations(reference, revision).into_iter();
    all.filter(|varied| matches!(varied.answer, VariationState::Waiting)).map(|varied| varied.record).collect()
}

/// The entries in the order of their days, each with the balance after it.
fn lines(kept: &Kept, reference: &str) -> Vec<AccountLineRecord> {
    let entry = |on: KeptDay, kind: EntryKind, (number, of): (&str, &str), amount: KeptMoney| {
        let nothing = KeptMoney(Money::ZERO);
        let (number, of) = (number.to_owned(), of.to_owned());
        (kind, AccountLineRecord { on, kind: kind.word().to_owned(), number, of, amount, balance: nothing })
    };
    let charge = |invoice: &InvoiceRecord| {
        let kind = if invoice.credits.is_some() { EntryKind::Credit } else { EntryKind::Charge };
        let of = invoice.credits.as_ref().map_or(invoice.label.as_str(), |credit| credit.number.as_str());
        entry(invoice.date, kind, (&invoice.number, of), invoice.sums.total)
    };
    let mut all: Vec<_> = kept.invoices(reference).into_iter().map(|(_, i)| charge(i)).collect();
    let money = kept.all_payments(reference).into_iter().filter(|(_, paid)| !paid.from_credit);
    all.extend(money.map(|(_, paid)| entry(paid.date, EntryKind::Payment, (&paid.number, &paid.invoice), paid.amount)));
    let back = |back: &BackRecord| {
        let (kind, of) = match back.what {
            WhatGoesBack::Receipt => (EntryKind::TakenBack, back.receipts.first()?.number.as_str()),
            WhatGoesBack::Refund => (EntryKind::Refund, ""),
            WhatGoesBack::Vat => return None, // No money.
        };
        Some(entry(back.date, kind, (&back.number, of), back.amount))
    };
    all.extend(kept.backs(reference).into_iter().filter_map(back));
    all.sort_by_key(|(_, line)| line.on);
    let mut balance = Money::ZERO;
    for (kind, line) in &mut all {
        balance += match kind {
            EntryKind::Charge | EntryKind::TakenBack | EntryKind::Refund => line.amount.0,
            EntryKind::Credit | EntryKind::Payment => -line.amount.0,
        };
        line.balance = KeptMoney(balance);
    }
    all.into_iter().map(|(_, line)| line).collect()
}

fn as_text(view: &AccountView<'_>, waiting: &[&VariationRecord], goods: &[VariedGoods<'_>]) -> String {
    let columns = [
        ("date", Ranged::Left),
        ("number", Ranged::Left),
        ("what", Ranged::Left),
        ("asked for", Ranged::Right),
        ("paid", Ranged::Right),
        ("balance", Ranged::Right),
    ];
    let cells = |line: &AccountLine<'_>| {
        let (what, asked, paid) = match line.kind {
            EntryKind::Charge => (line.of.to_owned(), line.amount.to_string(), String::new()),
            EntryKind::Credit => (format!("credits {}", line.of), (-line.amount).to_string(), String::new()),
            EntryKind::Payment => (format!("paid for {}", line.of), String::new(), line.amount.to_string()),
            EntryKind::TakenBack => (format!("takes back {}", line.of), String::new(), (-line.amount).to_string()),
            EntryKind::Refund => ("paid back".to_owned(), String::new(), (-line.amount).to_string()),
        };
        vec![day(line.on), line.number.to_owned(), what, asked, paid, line.balance.to_string()]
    };
    let accepted = view.accepted;
    let mut text = format!(
        "{} {}, revision {} accepted on {} for {}\n",
        view.parties.reference, view.parties.title, accepted.revision, accepted.on, accepted.total
    );
    for change in &view.changes {
        let how = if change.how == AGREED { String::new() } else { format!(", {}", change.how) };
        text += &format!("  {}{how} on {}: {}\n", change.words, change.on, change.amount);
    }
    for VariedGoods { number, ordered } in goods {
        text += &match ordered {
            Some((cost, letter, _)) => {
                format!("  goods for {number}: {cost} without VAT, delivery with them, ordered as revision {letter}\n")
            }
            None => format!("  goods for {number}: not ordered yet (`wetout issue JOB order --variation {number}`)\n"),
        };
    }
    for varied in waiting {
        let VariationRecord { number, date, sums, .. } = varied;
        text += &format!("  not agreed yet: variation order {number} of {}, {}\n", date.0, sums.total.0);
    }
    if !view.lines.is_empty() {
        text += &table(&columns, &view.lines.iter().map(cells).collect::<Vec<_>>());
    }
    for open in &view.open {
        let late = if open.due < view.parties.date { ", overdue" } else { "" };
        text += &format!("open: {} of {}, to be paid by {}{late}\n", open.left, open.number, open.due);
    }
    if let Some((sum, until)) = view.kept_back {
        text += &format!("kept back by the customer: {sum}, until {until}\n");
    }
    match view.balance < Money::ZERO {
        true if view.cancelled.is_some() => {
            let by = view.pay_back_by.map_or_else(String::new, |by| format!(" by {by} at the latest"));
            text + &format!("to be paid back to the customer{by}: {}\n", -view.balance)
        }
        true => text + &format!("to the customer's credit {}; still to be invoiced {}\n", -view.balance, view.left),
        false => text + &format!("balance {}; still to be invoiced {}\n", view.balance, view.left),
    }
}

fn as_json(view: &AccountView<'_>, paid: Money, (waiting, goods): (&[&VariationRecord], &[VariedGoods<'_>])) -> String {
    let sum = |money: Money| money.to_string();
    let entries: Vec<_> = view
        .lines
        .iter()
        .map(|line| {
            json!({
                "date": day(line.on), "kind": line.kind.word(), "number": line.number, "of": line.of,
                "amount": sum(line.amount), "balance": sum(line.balance),
            })
        })
        .collect();
    let open: Vec<_> = view
        .open
        .iter()
        .map(|open| json!({"number": open.number, "due": day(open.due), "open": sum(open.left)}))
        .collect();
    let changes: Vec<_> = view
        .changes
        .iter()
        .map(|change| json!({"what": change.words, "date": day(change.on), "amount": sum(change.amount)}))
        .collect();
    let waiting: Vec<_> = waiting
        .iter()
        .map(|v| json!({"number": v.number, "date": day(v.date.0), "amount": sum(v.sums.total.0)}))
        .collect();
    let goods: Vec<_> = goods
        .iter()
        .map(|goods| {
            let (cost, revision, on) =
                goods.ordered.map_or_else(Default::default, |(c, r, on)| (Some(sum(c)), Some(r), Some(on)));
            json!({"variation": goods.number, "cost": cost, "order": revision, "date": on})
        })
        .collect();
    let value = json!({
        "reference": view.parties.reference, "title": view.parties.title, "today": day(view.parties.date),
        "accepted": {"revision": view.accepted.revision, "date": day(view.accepted.on), "total": sum(view.accepted.total)},
        "changes": changes, "waiting": waiting, "goods": goods, "cancelled": view.cancelled.map(day), "pay_back_by": view.pay_back_by.map(day),
        "total": sum(view.total), "left_to_invoice": sum(view.left), "kept_back": view.kept_back.map(|(kept, until)| json!({"sum": sum(kept), "until": day(until)})), "entries": entries, "open": open,
        "paid": sum(paid), "balance": sum(view.balance), "overdue": sum(view.overdue),
    });
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}
