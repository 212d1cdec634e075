//! The materials order, for the merchant: where, when, and a list that can be picked without a phone call.
//!
//! Given one merchant's view of the job; gives its document with the CSV in it. No price of any kind. While asbestos may be
//! there the order is held, and says so at the top of the page and in every row of the CSV.

use super::cells::{big, cell, centre, group, large, left, plain, right, strong, wide};
use super::letterhead::{self, Title};
use super::views::{OrderView, PickLine};
use super::words::{Vocabulary, Words};
use super::{csv, wording};
use crate::model::job::Answer;
use crate::model::{Problem, Role};
use crate::pages::block::{Attachment, Block, Column, Document, Fitting, Span, Table};
use crate::pricing::Drops;
use crate::programme::calendar;
use std::collections::BTreeMap;
use time::Date;

/// A note as part of a sentence: the template sets the full stop.
fn without_stop(note: &str) -> &str {
    note.trim_end().trim_end_matches('.')
}

/// Makes one order.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn document(order: &OrderView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("order.md", &vocabulary(order), &places(order))?;
    let title = Title {
        kind: "Materials order",
        reference: format!("Order {}", order.number),
        subject: format!("Order to {}", order.merchant),
        text_size: 9.2,
        fitting: Fitting::OnePageFrom(9.2),
    };
    let mut document = letterhead::standing_document(order.parties, title, blocks, words)?;
    document.footer = letterhead::footer(order.parties, "Materials order", &order.number);
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

/// Every name that the order's template may use.
pub(super) fn vocabulary(order: &OrderView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(order.parties);
    let colours = wording::once(order.colours.iter().map(|colour| (*colour).to_owned()));
    let hazardous = hazards(order);
    // No line ends within one of them.
    let firring_sizes: Vec<String> = order.firring_sizes().iter().map(|size| size.replace(' ', "\u{a0}")).collect();
    v.text("order_number", &order.number)
        .text("merchant_name", order.merchant)
        .maybe("account", order.account)
        .maybe("varied", order.varied)
        .yes("held", order.held())
        .yes("asbestos_not_known", order.asbestos == Answer::NotKnown)
        .texts("optional_lines", &order.lines.iter().filter(|l| l.optional).map(optional).collect::<Vec<_>>())
        .yes("boards", order.has(|r| matches!(r, Role::Board(_))))
        .maybe("spare_boards", (order.spare_boards > 0).then(|| order.spare_boards.to_string()))
        .maybe("spare_kinds", (!order.spare_kinds.is_empty()).then(|| wording::list(&order.spare_kinds)))
        .yes("topcoat", order.has(|r| matches!(r, Role::Topcoat(_))))
        .yes("trims", order.has(|r| matches!(r, Role::Trim(_))))
        .yes("catalyst", order.has(|r| *r == Role::Catalyst))
        .yes("resin", order.has(|r| *r == Role::Resin))
        .yes("several_colours", colours.len() > 1)
        .text("topcoat_colours", wording::list(&colours))
        .text("total_weight", weight(order))
        .maybe("drops", drops(order))
        .yes("by_drop", !order.by_drop.is_empty())
        .maybe("all_before", all_before(order).map(wording::day_and_date))
        .maybe("load_days", load_days(order))
        .yes("pack_too_heavy", order.drops == Drops::TooHeavy)
        .maybe("longest", order.longest.map(wording::metres))
        .maybe("class_in_fire", order.class_in_fire.as_deref())
        .texts("hazardous", &hazardous)
        .texts("firring_sizes", &firring_sizes)
        .yes("firrings_fall", order.firrings.iter().any(|([_, low, high], _)| low != high))
        .maybe("delivery_note", order.delivery.note.as_deref().map(without_stop))
        .maybe("access", order.access);
    v
}

/// The first day on site, where all of the order is to be there before it.
fn all_before(order: &OrderView<'_>) -> Option<Date> {
    let all = order.drop_days.is_empty() || order.delivery.latest.is_some();
    order.parties.first_day.filter(|first| all && come(order).is_some_and(|come| come < *first))
}

/// Before which day each load is to be there: `load 1 before work starts on Monday 1 February 2027; loads 2 and 3 before day 4, Thursday
/// 4 February 2027`; nothing where all are wanted on one day.
fn load_days(order: &OrderView<'_>) -> Option<String> {
    let day = |(number, date): WantedDay| match (number, date) {
        (1, Some(date)) => format!("before work starts on {}", wording::day_and_date(date)),
        (1, None) => "before work starts".to_owned(),
        (n, Some(date)) => format!("before day {n}, {}", wording::day_and_date(date)),
        (n, None) => format!("before day {n} of the work"),
    };
    by_day(order)
        .map(|days| days.into_iter().map(|(loads, on)| format!("{loads} {}", day(on))).collect::<Vec<_>>().join("; "))
}

/// A day of the work by its number, with its date where it is planned.
type WantedDay = (u32, Option<Date>);

/// Loads that are wanted on one day, in words, with that day; nothing where all are.
fn by_day(order: &OrderView<'_>) -> Option<Vec<(String, WantedDay)>> {
    let mut days: BTreeMap<WantedDay, Vec<String>> = BTreeMap::new();
    for (load, day) in (1..).zip(&order.drop_days) {
        days.entry(*day).or_default().push(load.to_string());
    }
    let named = |loads: Vec<String>| match &loads[..] {
        [one] => format!("load {one}"),
        several => format!("loads {}", wording::list(several)),
    };
    (!days.is_empty()).then(|| days.into_iter().map(|(day, loads)| (named(loads), day)).collect())
}

/// `2 deliveries of at most 1000 kg each`; nothing where one will do.
fn drops(order: &OrderView<'_>) -> Option<String> {
    let count = order.drops.count().filter(|n| *n > 1)?;
    let payload = order.payload?;
    Some(format!("{count} deliveries of at most {} each", wording::kilograms(payload.as_kg())))
}

/// `1 of trim-wall-fillet-3m, Wall fillet trim, 3 m length`.
fn optional(line: &PickLine<'_>) -> String {
    format!("{} of {}, {}, {}", line.quantity, line.code, line.description, line.pack)
}

/// Each kind of danger once, with the goods that carry it: `organic peroxide: peroxide catalyst`.
fn hazards(order: &OrderView<'_>) -> Vec<String> {
    let mut kinds: Vec<(&str, Vec<String>)> = Vec::new();
    for line in order.needed() {
        let Some(words) = line.hazard else { continue };
        let goods = short(line.description);
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
    wording::within(name)
}

/// `412 kg`, `at least 412 kg`, or empty where no line has a mass.
fn weight(order: &OrderView<'_>) -> String {
    let kg = wording::kilograms(order.mass.as_kg());
    match order.lines_without_mass {
        _ if order.mass.as_kg().is_zero() => "not known".to_owned(),
        0 => kg,
        n => format!("at least {kg} ({} without a weight)", wording::plural(n, "line", "lines")),
    }
}

fn places(order: &OrderView<'_>) -> BTreeMap<String, Vec<Block>> {
    BTreeMap::from([("facts".to_owned(), vec![facts(order)]), ("lines".to_owned(), vec![Block::Table(table(order))])])
}

fn facts(order: &OrderView<'_>) -> Block {
    let account = order.account.unwrap_or("no account: please ring");
    let pair = |label: &str, value: Vec<Span>| (label.to_owned(), value);
    let longest = order.longest.map(|l| format!("; longest item {}", wording::metres(l))).unwrap_or_default();
    let load = format!("{}{longest}", weight(order));
    let here = vec![
        pair("To", cell(order.merchant)),
        pair("Account", cell(account)),
        pair("Date", cell(wording::date(order.parties.date))),
        pair("Load", strong(load)),
    ];
    let mut there =
        vec![pair("Deliver to", strong(order.parties.site.join(", "))), pair("When", strong(window(order)))];
    there.extend(order.access.map(|access| pair("Access", cell(access))));
    there.push(pair("On site", cell(contact(order))));
    Block::Columns(vec![vec![Block::Facts(here)], vec![Block::Facts(there)]])
}

/// The last day on which goods come, where one is known.
fn come(order: &OrderView<'_>) -> Option<Date> {
    calendar::goods_come(&order.delivery, order.parties.first_day, &order.parties.firm.holidays)
}

/// The days that suit, in words: one day alone is that on which the last of several deliveries is there.
fn window(order: &OrderView<'_>) -> String {
    let several = order.drops.several();
    let one = |day: String| if several { format!("All by {day}") } else { day };
    let delivery = &order.delivery;
    match (delivery.earliest, delivery.latest) {
        (Some(a), Some(b)) if a < b => wording::from_to(a, b),
        (Some(a), Some(b)) => one(wording::from_to(a, b)),
        (Some(a), None) => format!("Not before {}", wording::day_and_date(a)),
        (None, Some(b)) => format!("By {} at the latest", wording::day_and_date(b)),
        (None, None) => match come(order) {
            Some(day) if !order.drop_days.is_empty() => {
                format!("The first by {}; see Loading", wording::day_and_date(day))
            }
            Some(day) => one(wording::day_and_date(day)),
            None if order.varied.is_some() => {
                "As soon as you have it: the work goes on; please ring to agree the day".to_owned()
            }
            None if several => "Please ring to agree the day of each".to_owned(),
            None => "Please ring to agree the day".to_owned(),
        },
    }
}

/// The first of the crew with a phone, else the firm.
fn contact(order: &OrderView<'_>) -> String {
    let on_site =
        order.parties.firm.people.iter().find_map(|p| p.phone.as_ref().map(|phone| format!("{}, {phone}", p.name)));
    let office = || match &order.parties.firm.party.phone {
        Some(phone) => format!("{}, {phone}", order.parties.firm.party.name),
        None => order.parties.firm.party.name.clone(),
    };
    on_site.unwrap_or_else(office)
}

/// The lines, under the headings of the picker's walk; where it comes in several loads, each with those it comes in.
fn table(order: &OrderView<'_>) -> Table {
    let mut columns: Vec<Column> =
        vec![centre("Picked"), big("Packs"), large("Code"), wide("Description", 3), left("Pack"), right("kg")];
    columns.extend((!order.by_drop.is_empty()).then(|| centre("Load")));
    let mut rows = Vec::new();
    let mut last = "";
    for (n, line) in order.lines.iter().enumerate().filter(|(_, line)| !line.optional) {
        if line.group != last {
            rows.push(group(line.group, columns.len()));
            last = line.group;
        }
        let loads = order.by_drop.get(n).map_or(&[][..], Vec::as_slice);
        let load = (!loads.is_empty()).then(|| cell(in_loads(loads)));
        rows.push(plain(cells(line, loads).into_iter().chain(load).collect()));
    }
    Table { columns, rows, header: true }
}

/// `2`, or `1, 2` where a line is parted.
fn in_loads(parts: &[(usize, u32)]) -> String {
    parts.iter().map(|(load, _)| load.to_string()).collect::<Vec<_>>().join(", ")
}

/// `; 28 in load 1, 12 in load 2`: how a line is parted; nothing where all of it comes in one.
fn parted(parts: &[(usize, u32)]) -> String {
    let one = |(load, packs): &(usize, u32)| format!("{packs} in load {load}").replace(' ', "\u{a0}");
    match parts {
        [] | [_] => String::new(),
        parts => format!("; {}", parts.iter().map(one).collect::<Vec<_>>().join(", ")),
    }
}

fn cells(line: &PickLine<'_>, loads: &[(usize, u32)]) -> Vec<Vec<Span>> {
    let hazard = line.hazard.map(|_| Span::bold("\u{a0}⚠"));
    let parted = Some(parted(loads)).filter(|words| !words.is_empty()).map(Span::bold);
    let description = std::iter::once(Span::plain(line.description)).chain(hazard).chain(parted).collect();
    vec![
        cell("☐"),
        strong(line.quantity.to_string()),
        strong(line.code),
        description,
        cell(line.pack),
        cell(line.mass.map_or_else(|| "–".to_owned(), |m| wording::kilograms_bare(m.as_kg()))),
    ]
}
