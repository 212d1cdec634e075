//! The materials order, for the merchant: where, when, and a list that can be picked without a phone call.
//!
//! Given what was worked; gives a document and a CSV for each merchant. No price of any kind. While asbestos may be
//! there the order is held, and says so at the top of the page and in every row of the CSV.

use super::cells::{big, cell, centre, group, left, plain, right, strong, wide};
use super::drawings::firrings::alike;
use super::letterhead::{self, Title};
use super::numbered_order::{FIRRINGS, NumberedOrder};
use super::words::{Vocabulary, Words};
use super::{WholeJob, csv, wording};
use crate::model::job::Answer;
use crate::model::{Problem, Role};
use crate::pages::block::{Attachment, Block, Column, Document, Fitting, Span, Table};
use crate::pricing::{Drops, LeftOver, Order, OrderLine};
use std::collections::BTreeMap;

/// `12 of 3400 × 0–85`, `2 of 1100 × 28`: length and depth, low to high end, mm; the longest first, of all roofs together.
fn firrings(worked: &WholeJob<'_>) -> Vec<String> {
    let words = |([length, low, high], count): ([i64; 3], usize)| match low == high {
        true => format!("{count} of {length} × {high}"),
        false => format!("{count} of {length} × {low}–{high}"),
    };
    alike(worked.take_off.roofs.iter().flat_map(|roof| &roof.firrings)).into_iter().map(words).collect()
}

/// The orders of a job, a letter each.
pub fn named<'a>(worked: &WholeJob<'a>) -> Vec<NumberedOrder<'a>> {
    let name = |(i, order): (usize, &'a Order)| NumberedOrder {
        order,
        number: format!("{}-{}", worked.job.reference, letter(i)),
        held: worked.job.asbestos != Answer::No,
        deliver_to: worked.job.site.address.clone(),
        firrings: if has(order, |r| *r == FIRRINGS) { firrings(worked) } else { Vec::new() },
    };
    worked.pricing.orders.iter().enumerate().map(name).collect()
}

/// `A` to `Z`, then `A1` and on.
fn letter(i: usize) -> String {
    let c = char::from(b'A' + (i % 26) as u8);
    if i < 26 { c.to_string() } else { format!("{c}{}", i / 26) }
}

/// A note as part of a sentence: the template sets the full stop.
fn without_stop(note: &str) -> &str {
    note.trim_end().trim_end_matches('.')
}

/// Makes one order.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn document(worked: &WholeJob<'_>, words: &Words, order: &NumberedOrder<'_>) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("order.md", &vocabulary(worked, order), &places(worked, order))?;
    let title = Title {
        kind: "Materials order",
        reference: format!("Order {}", order.number),
        subject: format!("Order to {}", order.order.merchant.name),
        text_size: 9.2,
        fitting: Fitting::OnePageFrom(7.6),
    };
    let mut document = letterhead::document(worked, title, blocks);
    document.footer = letterhead::footer(worked, "Materials order", &order.number);
    document.attachments.push(Attachment {
        name: format!("order-{}.csv", file_safe(&order.number)),
        mime: "text/csv".to_owned(),
        description: "The same order as a table for a computer".to_owned(),
        bytes: csv::of_order(order),
    });
    Ok(document)
}

/// A name that any file system takes.
fn file_safe(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '-' }).collect()
}

fn vocabulary(worked: &WholeJob<'_>, order: &NumberedOrder<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(worked);
    let (job, list) = (worked.job, order.order);
    let colours: Vec<String> = job.roofs.iter().map(|r| r.topcoat.colour.clone()).collect();
    let hazardous = hazards(list);
    // No line ends within one of them.
    let firring_sizes: Vec<String> = order.firrings.iter().map(|size| size.replace(' ', "\u{a0}")).collect();
    v.text("order_number", &order.number)
        .text("merchant_name", &list.merchant.name)
        .yes("held", order.held)
        .yes("asbestos_not_known", job.asbestos == Answer::NotKnown)
        .texts("optional_lines", &list.lines.iter().filter(|l| l.optional).map(optional).collect::<Vec<_>>())
        .yes("boards", has(list, |r| matches!(r, Role::Board(_))))
        .yes("topcoat", has(list, |r| matches!(r, Role::Topcoat(_))))
        .yes("trims", has(list, |r| matches!(r, Role::Trim(_))))
        .yes("catalyst", has(list, |r| *r == Role::Catalyst))
        .text("topcoat_colours", wording::list(&wording::once(colours)))
        .text("total_weight", weight(list))
        .maybe("drops", drops(worked, list))
        .yes("pack_too_heavy", list.drops == Drops::TooHeavy)
        .maybe("longest", list.longest.map(wording::metres))
        .texts("hazardous", &hazardous)
        .texts("firring_sizes", &firring_sizes)
        .texts("left_over", &left_over(list))
        .maybe("delivery_note", job.delivery.note.as_deref().map(without_stop))
        .maybe("access", job.site.access.as_ref());
    v
}

/// `2 drops of at most 1000 kg each`; nothing where one will do.
fn drops(worked: &WholeJob<'_>, order: &Order) -> Option<String> {
    let count = order.drops.count().filter(|n| *n > 1)?;
    let payload = worked.job.lift.as_ref()?.payload?;
    Some(format!("{count} drops of at most {} each", wording::kilograms(payload.as_kg())))
}

fn has(order: &Order, is: impl Fn(&Role) -> bool) -> bool {
    order.lines.iter().any(|l| is(&l.role) && !l.optional)
}

/// `1 × 3 m length, trim-wall-fillet-3m, Wall fillet trim`.
fn optional(line: &OrderLine) -> String {
    format!("{} × {}, {}, {}", line.quantity, line.pack, line.code, line.description)
}

/// Each kind of danger once, with the goods that carry it: `organic peroxide: peroxide catalyst`.
fn hazards(order: &Order) -> Vec<String> {
    let mut kinds: Vec<(&str, Vec<String>)> = Vec::new();
    for line in order.lines.iter().filter(|l| !l.optional) {
        let Some(words) = line.hazard.as_deref() else { continue };
        let goods = short(&line.description);
        match kinds.iter_mut().find(|(kind, _)| *kind == words) {
            Some((_, all)) if all.contains(&goods) => {}
            Some((_, all)) => all.push(goods),
            None => kinds.push((words, vec![goods])),
        }
    }
    kinds.into_iter().map(|(kind, goods)| format!("{kind}: {}", wording::list(&goods))).collect()
}

/// A description up to what only tells kinds of it apart, beginning small unless with letters that stand for words (PU).
fn short(description: &str) -> String {
    let name = description.split([',', '(']).next().unwrap_or(description).trim();
    if name.chars().nth(1).is_some_and(char::is_uppercase) {
        return name.to_owned();
    }
    let mut letters = name.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

/// What the packs hold beyond the need, kept by the firm: `resin 1.2 kg`.
fn left_over(order: &Order) -> Vec<String> {
    let words = |l: &LeftOver| {
        let line = order.lines.iter().find(|line| line.role == l.role && line.size == l.size);
        let what = line.map_or_else(|| l.role.to_string(), |line| short(&line.description));
        format!("{what}: {}", wording::quantity(l.quantity, l.unit, 1))
    };
    order.left_over().iter().filter(|l| !l.quantity.round_dp(1).is_zero()).map(words).collect()
}

/// `412 kg`, `at least 412 kg`, or empty where no line has a mass.
fn weight(order: &Order) -> String {
    let kg = wording::kilograms(order.mass.as_kg());
    match order.lines_without_mass {
        _ if order.mass.as_kg().is_zero() => "not known".to_owned(),
        0 => kg,
        n => format!("at least {kg} ({} without a weight)", wording::plural(n, "line", "lines")),
    }
}

fn places(worked: &WholeJob<'_>, order: &NumberedOrder<'_>) -> BTreeMap<String, Vec<Block>> {
    let lines: Vec<&OrderLine> = order.order.lines.iter().filter(|l| !l.optional).collect();
    BTreeMap::from([
        ("facts".to_owned(), vec![facts(worked, order)]),
        ("lines".to_owned(), vec![Block::Table(table(&lines))]),
    ])
}

fn facts(worked: &WholeJob<'_>, order: &NumberedOrder<'_>) -> Block {
    let (job, merchant) = (worked.job, &order.order.merchant);
    let account = merchant.account.clone().unwrap_or_else(|| "no account: please ring".to_owned());
    let pair = |label: &str, value: Vec<Span>| (label.to_owned(), value);
    let longest = order.order.longest.map(|l| format!("; longest item {}", wording::metres(l))).unwrap_or_default();
    let load = format!("{}{longest}", weight(order.order));
    let here = vec![pair("To", cell(&merchant.name)), pair("Account", cell(account)), pair("Load", strong(load))];
    let mut there = vec![pair("Deliver to", strong(order.deliver_to.join(", "))), pair("When", strong(window(worked)))];
    there.extend(job.site.access.as_ref().map(|access| pair("Access", cell(access))));
    there.push(pair("On site", cell(contact(worked))));
    Block::Columns(vec![vec![Block::Facts(here)], vec![Block::Facts(there)]])
}

/// The days that suit, in words.
fn window(worked: &WholeJob<'_>) -> String {
    let delivery = &worked.job.delivery;
    match (delivery.earliest, delivery.latest) {
        (Some(a), Some(b)) => wording::from_to(a, b),
        (Some(a), None) => format!("not before {}", wording::day_and_date(a)),
        (None, Some(b)) => format!("by {} at the latest", wording::day_and_date(b)),
        (None, None) => match worked.first_day() {
            Some(start) => format!("the working day before {}", wording::day_and_date(start)),
            None => "please ring to agree the day".to_owned(),
        },
    }
}

/// The first of the crew with a phone, else the firm.
fn contact(worked: &WholeJob<'_>) -> String {
    let on_site = worked.firm.people.iter().find_map(|p| p.phone.as_ref().map(|phone| format!("{}, {phone}", p.name)));
    let office = || match &worked.firm.party.phone {
        Some(phone) => format!("{}, {phone}", worked.firm.party.name),
        None => worked.firm.party.name.clone(),
    };
    on_site.unwrap_or_else(office)
}

/// The lines, under the headings of the picker's walk.
fn table(lines: &[&OrderLine]) -> Table {
    let columns: Vec<Column> =
        vec![centre("Picked"), big("Packs"), left("Code"), wide("Description", 1), left("Pack"), right("Weight")];
    let mut rows = Vec::new();
    let mut last = "";
    for line in lines {
        if line.group != last {
            rows.push(group(line.group, columns.len()));
            last = line.group;
        }
        rows.push(plain(cells(line)));
    }
    Table { columns, rows, header: true }
}

fn cells(line: &OrderLine) -> Vec<Vec<Span>> {
    let hazard = line.hazard.as_ref().map(|_| Span::bold(" ⚠"));
    let description = std::iter::once(Span::plain(&line.description)).chain(hazard).collect();
    vec![
        cell("☐"),
        strong(line.quantity.to_string()),
        strong(&line.code),
        description,
        cell(&line.pack),
        cell(line.mass.map_or_else(|| "–".to_owned(), |m| wording::kilograms(m.as_kg()))),
    ]
}
