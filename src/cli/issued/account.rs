//! `account`: what was agreed, asked for and paid, and what is open, on the terminal and as a statement for the customer.
//!
//! Given a job and the day; reads what is kept. Nothing is stored: the account is what the folders say.

use super::accepted::reference;
use super::agreed_works;
use super::deal::{self, Deal, firm_of, nothing_accepted, read_accepted};
use super::kept::{Kept, VariationState, unread};
use super::manifest::{InvoiceRecord, VariationRecord, day};
use super::varied_goods;
use super::varied_order;
use crate::cli::Outcome;
use crate::cli::arguments::AccountAsked;
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::table::{Ranged, table};
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::account::{self, AccountLine, AccountView, EntryKind, OpenCharge};
use crate::documents::invoice::{AcceptedQuote, PriceChange};
use crate::documents::letterhead::Parties;
use crate::documents::{Finished, IssueStanding};
use crate::pricing::Money;
use crate::records;
use serde_json::json;
use time::Date;

/// Prints the account, and writes the statement unless it is asked for as JSON.
///
/// # Errors
/// What cannot be read, made or written.
pub(crate) fn account(named: &JobSource, typed: &AccountAsked, today: Date) -> Result<Outcome, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = reference(named, &kept, &typed.files)?;
    let deal = Deal::of(&kept, &reference)?.ok_or_else(|| nothing_accepted(&reference))?;
    let loaded = read_accepted(&deal, &typed.files)?;
    let standing: Vec<&InvoiceRecord> = deal::standing(&kept, &reference).into_iter().map(|(_, i)| i).collect();
    let account = deal::account(&kept, &reference);
    let changes = deal.changes.iter();
    let changes = changes.map(|c| PriceChange { words: c.words(), on: c.on, amount: c.sums.total });
    let job = &loaded.job;
    let waiting = waiting(&kept, &reference, &deal.revision);
    let goods = goods(&kept, &reference, &deal.revision)?;
    let open = account.open().into_iter().filter(|(_, left)| *left > Money::ZERO);
    let view = AccountView {
        parties: Parties {
            firm: firm_of(&loaded)?,
            customer: &job.customer,
            site: &job.site.address,
            title: &job.title,
            reference: &reference,
            date: today,
            first_day: None,
            standing: IssueStanding::Numbered,
        },
        accepted: AcceptedQuote { revision: &deal.revision, on: deal.on, total: deal.accepted.total },
        changes: changes.collect(),
        total: deal.sums.total,
        left: deal.left(&standing).total,
        kept_back: Some(deal::kept_back(&standing).total)
            .filter(|kept| *kept > Money::ZERO)
            .zip(standing.last().and_then(|last| deal.kept_until(last.date.0))),
        lines: lines(&kept, &reference),
        open: open.map(|(charge, left)| OpenCharge { number: &charge.number, due: charge.due, left }).collect(),
        balance: account.balance(),
        overdue: account.overdue(today),
    };
    if typed.json {
        terminal::say(&as_json(&view, account.paid(), (&waiting, &goods)))?;
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
fn lines<'a>(kept: &'a Kept, reference: &'a str) -> Vec<AccountLine<'a>> {
    let charge = |invoice: &'a InvoiceRecord| AccountLine {
        on: invoice.date.0,
        kind: if invoice.credits.is_some() { EntryKind::Credit } else { EntryKind::Charge },
        number: &invoice.number,
        of: invoice.credits.as_ref().map_or(invoice.label.as_str(), |credit| credit.number.as_str()),
        amount: invoice.sums.total.0,
        balance: Money::ZERO,
    };
    let mut all: Vec<AccountLine<'_>> = kept.invoices(reference).into_iter().map(|(_, i)| charge(i)).collect();
    let money = kept.payments(reference).into_iter().filter(|(_, paid)| !paid.from_credit);
    all.extend(money.map(|(_, paid)| AccountLine {
        on: paid.date.0,
        kind: EntryKind::Payment,
        number: &paid.number,
        of: &paid.invoice,
        amount: paid.amount.0,
        balance: Money::ZERO,
    }));
    all.sort_by_key(|line| line.on);
    let mut balance = Money::ZERO;
    for line in &mut all {
        balance += if line.kind == EntryKind::Charge { line.amount } else { -line.amount };
        line.balance = balance;
    }
    all
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
        };
        vec![day(line.on), line.number.to_owned(), what, asked, paid, line.balance.to_string()]
    };
    let accepted = view.accepted;
    let mut text = format!(
        "{} {}, revision {} accepted on {} for {}\n",
        view.parties.reference, view.parties.title, accepted.revision, accepted.on, accepted.total
    );
    for change in &view.changes {
        text += &format!("  {} on {}: {}\n", change.words, change.on, change.amount);
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
        true => text + &format!("to the customer's credit {}; still to be invoiced {}\n", -view.balance, view.left),
        false => text + &format!("balance {}; still to be invoiced {}\n", view.balance, view.left),
    }
}

fn as_json(view: &AccountView<'_>, paid: Money, (waiting, goods): (&[&VariationRecord], &[VariedGoods<'_>])) -> String {
    let kind = |kind: EntryKind| match kind {
        EntryKind::Charge => "invoice",
        EntryKind::Credit => "credit",
        EntryKind::Payment => "payment",
    };
    let sum = |money: Money| money.to_string();
    let entries: Vec<_> = view
        .lines
        .iter()
        .map(|line| {
            json!({
                "date": day(line.on), "kind": kind(line.kind), "number": line.number, "of": line.of,
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
        "changes": changes, "waiting": waiting, "goods": goods, "total": sum(view.total), "left_to_invoice": sum(view.left), "kept_back": view.kept_back.map(|(kept, until)| json!({"sum": sum(kept), "until": day(until)})), "entries": entries, "open": open,
        "paid": sum(paid), "balance": sum(view.balance), "overdue": sum(view.overdue),
    });
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}
