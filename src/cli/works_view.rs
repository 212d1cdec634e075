//! The matrix of works: what a job promises, and every face of it.
//!
//! Given a priced job and the pages that tell of its works; gives a row for each work on each roof, as a table and as
//! JSON. For the firm's eyes: cost and price stand in it. A face that a work has none of is a dash, and the JSON says why.

use super::figures;
use super::table::{Ranged, table};
use super::work::PricedJob;
use crate::pricing::{Money, OrderLine, WorkMoney};
use crate::programme::Labour;
use crate::works::{Doer, Work, WorkKind};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// One work on one roof, with its faces on this job.
pub(super) struct WorkRow {
    kind: WorkKind,
    /// In words, by how many gutters its roof has.
    name: &'static str,
    by: Doer,
    roof: Option<String>,
    quote_page: Option<usize>,
    method_page: Option<usize>,
    hours: Decimal,
    ordered: Vec<String>,
    cost: Money,
    price: Money,
}

/// The rows, in the order of the work. `told` holds the pages of the quote and of the method statement, by work.
pub(super) fn rows(priced: &PricedJob, told: &[BTreeMap<String, usize>; 2]) -> Vec<WorkRow> {
    let take_off = &priced.laid.layout.take_off;
    let roof_of = |w: &Work| w.place.name_of(&priced.laid.loaded.job).map(str::to_owned);
    let mut places: Vec<(WorkKind, Option<String>, Doer)> =
        take_off.works.iter().map(|w| (w.kind, roof_of(w), w.by)).collect();
    places.sort();
    places.dedup();
    places.into_iter().map(|(kind, roof, by)| row(priced, told, (kind, roof, by))).collect()
}

fn row(priced: &PricedJob, told: &[BTreeMap<String, usize>; 2], place: (WorkKind, Option<String>, Doer)) -> WorkRow {
    let (kind, roof, by) = place;
    let ours = by == Doer::Us;
    let money = || priced.pricing.works.iter().filter(|m: &&WorkMoney| ours && m.work == kind && m.roof == roof);
    let parts = priced.programme.work.iter().flat_map(Labour::settled_parts);
    let hours = parts.filter(|(p, _)| ours && p.work == kind && p.roof == roof).map(|(_, hours)| hours).sum();
    let lines = priced.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| ours && !l.optional);
    let is_for = |l: &&OrderLine| l.shares.iter().any(|s| s.work == kind && s.roof == roof);
    let van =
        priced.pricing.van.taken.iter().filter(|t| ours && t.shares.iter().any(|s| s.work == kind && s.roof == roof));
    let mut van: Vec<String> = van.map(|t| format!("{} from the van", t.role)).collect();
    van.dedup();
    let page = |of: usize, has: bool| told[of].get(kind.key()).copied().filter(|_| ours && has);
    WorkRow {
        quote_page: page(0, kind.faces().quote.get().is_some()),
        method_page: page(1, kind.faces().crew.get().is_some()),
        hours,
        ordered: lines.filter(is_for).map(|l| l.code.clone()).chain(van).collect(),
        cost: money().map(|m| m.cost).sum(),
        price: money().map(|m| m.price).sum(),
        name: kind.name_for(priced.laid.loaded.job.gutters_on(roof.as_deref())),
        kind,
        by,
        roof,
    }
}

/// The matrix as a table, with what each roof comes to.
pub(super) fn table_of(priced: &PricedJob, rows: &[WorkRow]) -> String {
    let columns = [
        ("work", Ranged::Left),
        ("where", Ranged::Left),
        ("by", Ranged::Left),
        ("quote", Ranged::Right),
        ("hours", Ranged::Right),
        ("ordered for it", Ranged::Left),
        ("cost", Ranged::Right),
        ("price", Ranged::Right),
        ("site", Ranged::Right),
        ("checked by", Ranged::Left),
    ];
    let dash = || "–".to_owned();
    let page = |p: Option<usize>| p.map_or_else(dash, |n| format!("p. {n}"));
    let sum = |m: Money| if m == Money::ZERO { dash() } else { m.to_string() };
    let cells = |r: &WorkRow| {
        vec![
            r.name.to_owned(),
            r.roof.clone().unwrap_or_else(|| "job".into()),
            r.by.words().to_owned(),
            page(r.quote_page),
            if r.hours.is_zero() { dash() } else { format!("{:.2}", r.hours.round_dp(2)) },
            ordered_in_short(&r.ordered),
            sum(r.cost),
            sum(r.price),
            page(r.method_page),
            r.kind.faces().check.get().filter(|_| r.by == Doer::Us).map_or_else(dash, ToOwned::to_owned),
        ]
    };
    let works = table(&columns, &rows.iter().map(cells).collect::<Vec<_>>());
    format!("{works}\n{}", roofs_table(priced))
}

/// The first two codes, and how many more there are.
fn ordered_in_short(codes: &[String]) -> String {
    match codes {
        [] => "–".to_owned(),
        [a] => a.clone(),
        [a, b] => format!("{a}, {b}"),
        [a, b, more @ ..] => format!("{a}, {b} and {} more", more.len()),
    }
}

/// Cost and price of each roof, and of what belongs to the job as a whole.
fn roofs_table(priced: &PricedJob) -> String {
    let works = &priced.pricing.works;
    let of = |roof: Option<&String>| {
        let mine = || works.iter().filter(|m| m.roof.as_ref() == roof);
        let (cost, price): (Money, Money) = (mine().map(|m| m.cost).sum(), mine().map(|m| m.price).sum());
        (cost, price)
    };
    let names = priced.laid.loaded.job.roof_names().map(Some).chain([None]);
    let mut rows: Vec<Vec<String>> = names
        .map(|roof| {
            let (cost, price) = of(roof);
            vec![roof.cloned().unwrap_or_else(|| "the job as a whole".into()), cost.to_string(), price.to_string()]
        })
        .collect();
    rows.push(vec!["all".into(), priced.pricing.cost.to_string(), priced.pricing.net.to_string()]);
    let columns = [("roof", Ranged::Left), ("cost", Ranged::Right), ("price without VAT", Ranged::Right)];
    table(&columns, &rows)
}

/// The matrix as JSON; a face that a work has none of says why.
pub(super) fn json(priced: &PricedJob, rows: &[WorkRow]) -> String {
    let job = &priced.laid.loaded.job;
    let value = json!({
        "reference": job.reference,
        "title": job.title,
        "works": rows.iter().map(row_json).collect::<Vec<_>>(),
        "cost": figures::money(priced.pricing.cost),
        "price": figures::money(priced.pricing.net),
    });
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}

fn row_json(r: &WorkRow) -> Value {
    let faces = r.kind.faces();
    let none: BTreeMap<&str, &str> = [
        ("quote", faces.quote.why_not()),
        ("hours", faces.hours.why_not()),
        ("order", faces.order.why_not()),
        ("crew", faces.crew.why_not()),
        ("check", faces.check.why_not()),
    ]
    .into_iter()
    .filter_map(|(face, why)| Some((face, why?)))
    .collect();
    json!({
        "work": r.kind.key(), "name": r.name, "roof": r.roof, "by": r.by.words(),
        "quote_page": r.quote_page, "hours": figures::number(r.hours), "ordered": r.ordered,
        "cost": figures::money(r.cost), "price": figures::money(r.price), "method_page": r.method_page,
        "check": faces.check.get(), "not": none,
    })
}
