//! What the commands print: tables for reading, JSON for other programs.
//!
//! Given a job as far as it was worked; gives text. Computes nothing that the layers have not computed.

use super::decisions;
use super::figures;
use super::layout_json;
use super::table::{Ranged, table};
use super::work::{LaidOutJob, PricedJob};
use crate::checks::finding::{Finding, Verdict};
use crate::documents::drawn::DrawnFile;
use crate::documents::wording;
use crate::model::{Length, LineId, Problem, Role};
use crate::pricing::options::CombinationTotal;
use crate::pricing::private_sheet::{PrivateSheet, SheetFigure};
use crate::pricing::terms::ExtraKind;
use crate::pricing::{AtOneMerchant, Cost, FromVan, LeftOver, Money, OptionTotals, Order, OrderLine, Pricing};
use crate::programme::Labour;
use crate::records::WrittenSet;
use crate::takeoff::quantities::line::Share;
use crate::takeoff::{Line, Need};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// The take-off as a table, roof by roof, then what is pooled over all of them.
pub(super) fn takeoff_table(laid: &LaidOutJob) -> String {
    let job = &laid.loaded.job;
    let findings = &laid.layout.checked.findings;
    let (good, open): (Vec<&Finding>, Vec<&Finding>) = findings.iter().partition(|f| f.verdict == Verdict::Pass);
    let mut text = takeoff_summary(laid, open.len());
    text += &findings_table("Decide first: checks that are not met, or that somebody else must answer", &open);
    let roofs: Vec<Option<&str>> = job.roof_names().map(|name| Some(name.as_str())).chain([None]).collect();
    for roof in roofs {
        let lines: Vec<&Line> = laid.layout.take_off.lines.iter().filter(|l| l.roof.as_deref() == roof).collect();
        let (sizes, takes): (Vec<&Line>, Vec<&Line>) = lines.into_iter().partition(|l| is_size(l));
        let parts = match roof {
            Some(name) => {
                [(format!("{name}: is that what you measured?"), sizes), (format!("{name}: what it takes"), takes)]
            }
            None => [
                ("All roofs together: sizes".to_owned(), sizes),
                ("All roofs together: what is bought".to_owned(), takes),
            ],
        };
        for (heading, lines) in parts.iter().filter(|(_, lines)| !lines.is_empty()) {
            text += &format!("\n{heading}\n{}", lines_table(lines));
        }
    }
    text + &findings_table("Checks that are met", &good)
        + "\nwetout takeoff JOB --why LINE-ID shows how a line was found.\n"
}

/// What the job comes to, in a line.
fn takeoff_summary(laid: &LaidOutJob, open: usize) -> String {
    let job = &laid.loaded.job;
    let of = |end: &str| -> Decimal {
        laid.layout.take_off.lines.iter().filter(|l| LineId::parse(end) == Some(l.id)).map(|l| l.quantity).sum()
    };
    let roofs = wording::plural(job.roof_names().count(), "roof", "roofs");
    let parts = [("roof.area", "m2"), ("deck.boards", "boards"), ("mat.area", "m2 of mat")];
    let parts = parts.iter().filter(|(id, _)| !of(id).is_zero());
    let parts: String = parts.map(|(id, words)| format!(", {} {words}", of(id).round_dp(2).normalize())).collect();
    let checks = match (laid.layout.checked.findings.len(), open) {
        (0, _) => String::new(),
        (all, 0) => format!("; {} met", wording::plural(all, "check", "checks")),
        (all, open) => format!("; {open} of {} to decide on", wording::plural(all, "check", "checks")),
    };
    format!("{} {}: {roofs}{parts}{checks}\n", job.reference, job.title)
}

/// Whether a line says how large something is, and not what it takes.
fn is_size(line: &Line) -> bool {
    let id = line.id.to_string();
    id.ends_with(".run")
        || ["roof.area", "deck.area", "strip.area", "strip.boards", "gutter.length", "kerb.count", "chimney.count"]
            .contains(&id.as_str())
}

/// Some checks, each with its verdict and outcome.
fn findings_table(heading: &str, findings: &[&Finding]) -> String {
    if findings.is_empty() {
        return String::new();
    }
    let columns =
        [("check", Ranged::Left), ("roof", Ranged::Left), ("verdict", Ranged::Left), ("outcome", Ranged::Left)];
    let row = |f: &&Finding| {
        let roof = f.roof.clone().unwrap_or_else(|| "all".into());
        vec![f.id.clone(), roof, f.verdict.word().to_owned(), f.statement.clone()]
    };
    format!("\n{heading}\n{}", table(&columns, &findings.iter().map(row).collect::<Vec<_>>()))
}

fn lines_table(lines: &[&Line]) -> String {
    let columns = [("line", Ranged::Left), ("item", Ranged::Left), ("quantity", Ranged::Right), ("unit", Ranged::Left)];
    let row =
        |l: &&Line| vec![l.id.to_string(), l.item.clone(), figures::quantity(l.quantity, l.unit), l.unit.to_string()];
    table(&columns, &lines.iter().map(row).collect::<Vec<_>>())
}

/// The take-off as JSON, in the form that `takeoff.schema.json` states.
pub(super) fn takeoff_json(laid: &LaidOutJob) -> String {
    let job = &laid.loaded.job;
    let need = |n: &Need| {
        json!({
            "role": n.role.to_string(),
            "size": n.size.map(|s| s.as_mm()),
            "quantity": figures::number(n.quantity),
            "unit": n.unit().to_string(),
            "lines": n.lines.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "works": works_of(&n.shares),
            "optional": n.optional,
        })
    };
    let notice = |p: &crate::model::Problem| json!({"path": p.place.to_string(), "fault": p.fault, "cure": p.cure});
    pretty(&json!({
        "reference": job.reference,
        "title": job.title,
        "layout": layout_json::layout(laid),
        "lines": laid.layout.take_off.lines.iter().map(figures::line).collect::<Vec<_>>(),
        "needs": laid.layout.take_off.needs.iter().map(need).collect::<Vec<_>>(),
        "findings": laid.layout.checked.findings.iter().map(figures::finding).collect::<Vec<_>>(),
        "notices": laid.layout.notices().map(notice).collect::<Vec<_>>(),
    }))
}

/// The works of some shares, each once.
fn works_of(shares: &[Share]) -> Vec<&'static str> {
    let mut works: Vec<&str> = Vec::new();
    for key in shares.iter().map(|s| s.work.key()) {
        if !works.contains(&key) {
            works.push(key);
        }
    }
    works
}

/// The working of every line or check with an id.
///
/// # Errors
/// None has it: the nearest is named.
pub(super) fn why(id: &str, lines: &[Line], findings: &[Finding]) -> Result<String, String> {
    let lines_found = lines.iter().filter(|l| LineId::parse(id) == Some(l.id)).map(working);
    let found: Vec<String> = lines_found.chain(findings.iter().filter(|f| f.id == id).map(checked)).collect();
    if found.is_empty() {
        let ids: Vec<String> =
            lines.iter().map(|l| l.id.to_string()).chain(findings.iter().map(|f| f.id.clone())).collect();
        return Err(no_such("line", id, &ids.iter().map(String::as_str).collect::<Vec<_>>()));
    }
    Ok(found.join("\n"))
}

/// What of a line stands in the van and is not bought.
pub(super) fn from_van(id: &str, taken: &[FromVan]) -> String {
    let asked = taken.iter().filter(|t| LineId::parse(id).is_some_and(|id| t.lines.contains(&id)));
    asked
        .map(|t| {
            let marks = marks(t).map(|marks| format!(" ({marks})")).unwrap_or_default();
            format!(
                "  in the van {} {} of {}{marks} are taken and not bought\n",
                quantity(t),
                t.unit,
                what(&t.role, t.size)
            )
        })
        .collect()
}

fn quantity(taken: &FromVan) -> String {
    figures::quantity(taken.quantity, taken.unit)
}

/// Batch and use-by, where the list has them.
fn marks(taken: &FromVan) -> Option<String> {
    let batch = taken.batch.iter().map(|batch| format!("batch {batch}"));
    let all: Vec<String> = batch.chain(taken.use_by.iter().map(|day| format!("use by {day}"))).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// A role with its size: `trim.drip, 3000 mm`.
fn what(role: &Role, size: Option<Length>) -> String {
    let size = size.map(|s| format!(", {s}")).unwrap_or_default();
    format!("{role}{size}")
}

fn checked(finding: &Finding) -> String {
    let roof = finding.roof.as_deref().unwrap_or("all roofs together");
    let steps: String = finding.working.iter().map(|s| format!("  {}\n", figures::step_text(s))).collect();
    format!(
        "{} ({roof}): {}\n{steps}  design    {}\n  source    {}\n  verdict   {}: {}\n  caution   {}\n",
        finding.id,
        finding.subject,
        finding.design,
        finding.source,
        finding.verdict.word(),
        finding.statement,
        finding.caution
    )
}

fn working(line: &Line) -> String {
    let roof = line.roof.as_deref().unwrap_or("all roofs together");
    let steps: String = line.working.iter().map(|s| format!("  {}\n", figures::step_text(s))).collect();
    let result = format!("{} {}", line.quantity.normalize(), line.unit);
    format!("{} ({roof}): {}\n{steps}  result    {result}\n", line.id, line.item)
}

fn no_such(kind: &str, id: &str, ids: &[&str]) -> String {
    let near = ids.iter().max_by(|a, b| {
        let closeness = |x: &str| strsim::jaro_winkler(x, id);
        closeness(a).total_cmp(&closeness(b)).then(b.cmp(a))
    });
    match near {
        Some(near) => format!("this job has no {kind} `{id}`; the nearest is `{near}`"),
        None => format!("this job has no {kind} `{id}`"),
    }
}

/// The firm's own view as tables.
pub(super) fn price_table(priced: &PricedJob) -> String {
    let p = &priced.pricing;
    let job = &priced.laid.loaded.job;
    let days = wording::plural(priced.programme.days.len(), "day", "days");
    let head = format!(
        "{} {}: {} with VAT; of {} without it {} is cost and {} profit ({:.2} %); {days} on site\n\
         The firm's own figures, not for the customer.\n",
        job.reference,
        job.title,
        p.total,
        p.net,
        p.cost,
        p.profit,
        p.margin.round_dp(2)
    );
    let orders: String = p.orders.iter().map(order_table).collect();
    let sheet = priced.sheet();
    let groups = [
        ("What you ask for", vec![price_block(p), beside_table(p)]),
        ("What it costs you, and what is left when something goes wrong", vec![costs_table(p), sheet_table(&sheet)]),
        ("Who does it, in which time", vec![hours_table(priced)]),
        ("What you order", vec![orders, alone_table(p), van_table(p), hardly_used_table(p), left_over_table(&sheet)]),
    ];
    let group = |(heading, tables): (&str, Vec<String>)| {
        let tables: Vec<String> =
            tables.into_iter().map(|t| t.trim_matches('\n').to_owned()).filter(|t| !t.is_empty()).collect();
        format!("\n{heading}\n\n{}\n", tables.join("\n\n"))
    };
    let groups: String = groups.into_iter().map(group).collect();
    format!(
        "{head}{groups}\nwetout price JOB --why ID shows how a figure was found: by the name in the first column, or by an article's code.\n"
    )
}

/// What may be chosen besides: in no total.
fn beside_table(p: &Pricing) -> String {
    let options = p
        .options
        .iter()
        .zip(1..)
        .map(|(o, n)| vec![format!("option.{n}"), o.label.clone(), o.difference.to_string(), o.total.to_string()]);
    let offers = p.offers.iter().zip(1..).map(|(o, n)| {
        vec![format!("offer.{n}"), o.label.clone(), o.total.to_string(), (p.total + o.total).to_string()]
    });
    let together = p.sums.iter().filter(|s| s.id.starts_with("option.") && s.id.contains('+'));
    let together =
        together.map(|s| vec![s.id.clone(), s.label.clone(), s.amount.to_string(), (p.total + s.amount).to_string()]);
    let rows: Vec<Vec<String>> = options.chain(together).chain(offers).collect();
    let columns = [
        ("beside the price", Ranged::Left),
        ("what", Ranged::Left),
        ("difference", Ranged::Right),
        ("total", Ranged::Right),
    ];
    if rows.is_empty() { String::new() } else { table(&columns, &rows) }
}

fn sheet_table(sheet: &PrivateSheet) -> String {
    let columns = [("figure", Ranged::Left), ("what", Ranged::Left), ("amount", Ranged::Right)];
    let shown = |f: SheetFigure| match f.id.starts_with("shift.") {
        true => vec![f.id.to_owned(), format!("{}: off the profit", f.label), f.value.to_string()],
        false => vec![f.id.to_owned(), f.label, f.value.to_string()],
    };
    table(&columns, &sheet.figures().into_iter().map(shown).collect::<Vec<_>>())
}

/// What everything would cost at one merchant alone; nothing where there is only one.
fn alone_table(p: &Pricing) -> String {
    let row = |a: &AtOneMerchant| {
        let figure = a.total.map_or_else(|| format!("does not sell {}", a.missing.join(", ")), |t| t.to_string());
        vec![a.merchant.clone(), figure]
    };
    let rows: Vec<_> = p.at_one_merchant.iter().map(row).collect();
    let columns = [("everything from one merchant", Ranged::Left), ("goods and delivery", Ranged::Right)];
    if rows.len() < 2 { String::new() } else { table(&columns, &rows) }
}

/// What is taken from the van, and what that saves.
fn van_table(p: &Pricing) -> String {
    let row = |t: &FromVan| vec![what(&t.role, t.size), quantity(t), t.unit.to_string(), marks(t).unwrap_or_default()];
    let rows: Vec<_> = p.van.taken.iter().map(row).collect();
    let columns = [
        ("taken from the van", Ranged::Left),
        ("quantity", Ranged::Right),
        ("unit", Ranged::Left),
        ("batch and use-by", Ranged::Left),
    ];
    match rows.is_empty() {
        true => String::new(),
        false => format!(
            "{}Saved by the van (van.saved): {}. The price and the profit above are those of a job for which all of it is \
             bought.\n",
            table(&columns, &rows),
            p.van.saved
        ),
    }
}

/// Packs of which the job takes a tenth at most, and what they cost together.
fn hardly_used_table(p: &Pricing) -> String {
    let lines: Vec<&OrderLine> = p.orders.iter().flat_map(Order::hardly_used).collect();
    let row = |l: &&OrderLine| {
        let held = format!("{} {}", figures::quantity(l.need, l.unit), l.unit);
        vec![l.code.clone(), l.description.clone(), held, l.pack.clone(), l.total.to_string()]
    };
    let columns = [
        ("hardly used", Ranged::Left),
        ("what", Ranged::Left),
        ("needed", Ranged::Right),
        ("pack", Ranged::Left),
        ("costs", Ranged::Right),
    ];
    let all: Money = lines.iter().map(|l| l.total).sum();
    match lines.is_empty() {
        true => String::new(),
        false => format!(
            "{}Together {all}. What the van has of these need not be ordered: write it into stock.yaml.\n",
            table(&columns, &lines.iter().map(row).collect::<Vec<_>>())
        ),
    }
}

fn left_over_table(sheet: &PrivateSheet) -> String {
    let row = |l: &LeftOver| vec![what(&l.role, l.size), figures::quantity(l.quantity, l.unit), l.unit.to_string()];
    let rows: Vec<_> = sheet.left_over.iter().map(row).collect();
    let columns = [("left over, to keep", Ranged::Left), ("quantity", Ranged::Right), ("unit", Ranged::Left)];
    if rows.is_empty() { String::new() } else { table(&columns, &rows) }
}

fn order_table(order: &Order) -> String {
    let columns = [
        ("code", Ranged::Left),
        ("description", Ranged::Left),
        ("pack", Ranged::Left),
        ("packs", Ranged::Right),
        ("each", Ranged::Right),
        ("total", Ranged::Right),
    ];
    let row = |l: &OrderLine| {
        let optional = if l.optional { " (optional, not counted)" } else { "" };
        vec![
            l.code.clone(),
            format!("{}{optional}", l.description),
            l.pack.clone(),
            l.quantity.to_string(),
            l.each.to_string(),
            l.total.to_string(),
        ]
    };
    let rows: Vec<_> = order.lines.iter().map(row).collect();
    let nearly = order.nearly_free_from().map_or_else(String::new, |from| {
        format!("\nWith {} more of goods from there (from {from}) it is delivered free", from - order.total)
    });
    let total = format!("Materials {}, delivery {}{nearly}", order.total, order.delivery);
    format!("\n{}\n{}{total}\n", order.merchant.name, table(&columns, &rows))
}

fn hours_table(priced: &PricedJob) -> String {
    let columns = [("hours", Ranged::Left), ("work", Ranged::Left), ("person-hours", Ranged::Right)];
    let plain = |h: rust_decimal::Decimal| format!("{:.2}", h.round_dp(2));
    let mut rows: Vec<Vec<String>> =
        priced.programme.work.iter().map(|w| vec![hours_id(w), w.label.clone(), plain(w.hours)]).collect();
    rows.push(vec![String::new(), "All work".into(), plain(priced.programme.hours())]);
    let days = priced.programme.days.len();
    let plural = if days == 1 { "day" } else { "days" };
    format!("{}{days} {plural} on site with a crew of {}\n", table(&columns, &rows), priced.programme.crew)
}

fn costs_table(p: &Pricing) -> String {
    let columns = [("cost", Ranged::Left), ("what", Ranged::Left), ("amount", Ranged::Right)];
    let mut rows: Vec<Vec<String>> =
        p.costs.iter().map(|c| vec![c.id.clone(), c.label.clone(), c.amount.to_string()]).collect();
    rows.push(vec![COST.into(), "Cost, overhead included".into(), p.cost.to_string()]);
    table(&columns, &rows)
}

fn price_block(p: &Pricing) -> String {
    let row = |id: &str, what: String, amount: String| vec![id.to_owned(), what, amount];
    let mut rows = vec![
        row("price.net", format!("Price without VAT ({})", p.rule), p.net.to_string()),
        row(PROFIT, "Profit".into(), p.profit.to_string()),
        row("", "Margin, of the price".into(), format!("{:.2} %", p.margin.round_dp(2))),
        row("", "Markup, on the cost".into(), format!("{:.2} %", p.markup.round_dp(2))),
    ];
    rows.extend(p.vat.iter().map(|v| {
        let rate = v.rate.normalize();
        row(&format!("price.vat.{rate}"), format!("VAT {rate} % on {}", v.net), v.vat.to_string())
    }));
    rows.push(row("price.total", "Price with VAT".into(), p.total.to_string()));
    let stages = p.stages.iter().zip(1..);
    rows.extend(stages.map(|(s, n)| row(&format!("stage.{n}"), s.label.clone(), s.amount.to_string())));
    table(&[("price", Ranged::Left), ("what", Ranged::Left), ("amount", Ranged::Right)], &rows)
}

/// The working of one figure: a cost, a sum of the price, the hours of a work, or a figure of the firm's own sheet; found by its id, by
/// an article's code, or by the words that stand beside it.
///
/// # Errors
/// No figure is called so: all are named.
pub(super) fn why_sum(typed: &str, priced: &PricedJob) -> Result<String, String> {
    let p = &priced.pricing;
    let figures = explained(priced);
    let of_article = p.orders.iter().flat_map(|o| &o.lines).find(|line| line.code == typed).map(OrderLine::sum_id);
    let wanted = of_article.as_deref().unwrap_or(typed);
    let by_id = figures.iter().find(|f| f.id == wanted);
    let by_words = || figures.iter().find(|f| f.label.eq_ignore_ascii_case(typed));
    // `resin` for `pack.resin`, `profit` for `price.profit`.
    let by_end = || figures.iter().find(|f| f.id.split_once('.').is_some_and(|(_, end)| end == typed));
    if let Some(found) = by_id.or_else(by_words).or_else(by_end) {
        let steps: String = found.working.iter().map(|w| format!("  {w}\n")).collect();
        return Ok(format!("{}: {}\n{steps}  result    {}\n", found.id, found.label, found.result));
    }
    let ids: Vec<&str> = figures.iter().map(|f| f.id.as_str()).filter(|id| !id.starts_with("pack.")).collect();
    if ids.iter().any(|id| strsim::jaro_winkler(id, typed) > NEAR) {
        return Err(no_such("figure", typed, &ids));
    }
    Err(format!(
        "this job has no figure `{typed}`. It has {}; of an article write its code",
        ids.iter().map(|id| format!("`{id}`")).collect::<Vec<_>>().join(", ")
    ))
}

/// From here on what was typed is taken for a slip.
const NEAR: f64 = 0.9;

/// A figure that can be explained.
struct ExplainedFigure {
    id: String,
    label: String,
    working: Vec<String>,
    result: String,
}

fn explained(priced: &PricedJob) -> Vec<ExplainedFigure> {
    let p = &priced.pricing;
    let sums = p.costs.iter().chain(&p.sums).map(|c| ExplainedFigure {
        id: c.id.clone(),
        label: c.label.clone(),
        working: c.working.clone(),
        result: c.amount.to_string(),
    });
    let own = [
        (
            COST,
            "Cost, overhead included",
            p.costs.iter().map(|c| format!("{}: {}", c.label, c.amount)).collect(),
            p.cost,
        ),
        (PROFIT, "Profit", vec![format!("price without VAT {} − cost {}", p.net, p.cost)], p.profit),
    ];
    let own = own.map(|(id, label, working, sum)| ExplainedFigure {
        id: id.into(),
        label: label.into(),
        working,
        result: sum.to_string(),
    });
    let hours = priced.programme.work.iter().map(|w| ExplainedFigure {
        id: hours_id(w),
        label: w.label.clone(),
        working: w.working.iter().map(figures::step_text).collect(),
        result: format!("{} person-hours", w.hours.round_dp(2).normalize()),
    });
    let sheet = priced.sheet().figures().into_iter().map(|f| ExplainedFigure {
        id: f.id.into(),
        label: f.label,
        working: f.working,
        result: f.value.to_string(),
    });
    sums.chain(own).chain(hours).chain(sheet).collect()
}

/// What a job costs in all, and what is left of its price.
const COST: &str = "price.cost";
const PROFIT: &str = "price.profit";

fn hours_id(of: &Labour) -> String {
    format!("hours.{}", of.operation.key())
}

/// The firm's own view as JSON.
pub(super) fn price_json(priced: &PricedJob) -> String {
    let p = &priced.pricing;
    let job = &priced.laid.loaded.job;
    pretty(&json!({
        "reference": job.reference,
        "title": job.title,
        "orders": p.orders.iter().map(order_json).collect::<Vec<_>>(),
        "hours": figures::number(priced.programme.hours()),
        "days": priced.programme.days.len(),
        "costs": p.costs.iter().map(cost_json).collect::<Vec<_>>(),
        "cost": figures::money(p.cost),
        "rule": p.rule,
        "profit": figures::money(p.profit),
        "margin": figures::number(p.margin),
        "markup": figures::number(p.markup),
        "lines": p.lines.iter().map(|l| json!({
            "label": l.label, "net": figures::money(l.net), "vat_rate": figures::number(l.vat_rate),
        })).collect::<Vec<_>>(),
        "net": figures::money(p.net),
        "vat": p.vat.iter().map(|v| json!({
            "rate": figures::number(v.rate), "net": figures::money(v.net), "vat": figures::money(v.vat),
        })).collect::<Vec<_>>(),
        "vat_method": p.vat_method,
        "lifts": p.lifts.iter().map(figures::finding).collect::<Vec<_>>(),
        "total": figures::money(p.total),
        "stages": p.stages.iter().map(|s| json!({
            "label": s.label, "amount": figures::money(s.amount), "due": s.due.map(|d| d.to_string()),
        })).collect::<Vec<_>>(),
        "options": p.options.iter().map(|o| json!({
            "label": o.label, "total": figures::money(o.total), "difference": figures::money(o.difference),
            "needs": o.needs, "excludes": o.excludes,
        })).collect::<Vec<_>>(),
        "together": totals_json(p),
        "offers": p.offers.iter().map(|o| json!({
            "label": o.label, "provisional": o.kind != ExtraKind::Optional, "net": figures::money(o.net),
            "vat": figures::money(o.vat), "total": figures::money(o.total),
        })).collect::<Vec<_>>(),
        "at_one_merchant": p.at_one_merchant.iter().map(|a| json!({
            "merchant": a.merchant, "total": a.total.map(figures::money), "missing": a.missing,
        })).collect::<Vec<_>>(),
        "van": van_json(p),
        "sums": p.sums.iter().map(cost_json).collect::<Vec<_>>(),
        "sheet": sheet_json(&priced.sheet()),
    }))
}

/// What is taken from the van.
fn van_json(p: &Pricing) -> Value {
    let one = |t: &FromVan| {
        json!({
            "role": t.role.to_string(), "size": t.size.map(|s| s.as_mm()), "quantity": figures::number(t.quantity),
            "unit": t.unit.to_string(), "batch": t.batch, "use_by": t.use_by.map(|d| d.to_string()),
        })
    };
    json!({"taken": p.van.taken.iter().map(one).collect::<Vec<_>>(), "saved": figures::money(p.van.saved)})
}

/// The total of every set of options that can be had, where all of them are listed; null where they are not.
fn totals_json(p: &Pricing) -> Value {
    let OptionTotals::Each(totals) = &p.option_totals else { return Value::Null };
    let label = |n: &usize| p.options.get(*n).map(|o| o.label.clone());
    let one = |t: &CombinationTotal| json!({"options": t.taken.iter().filter_map(label).collect::<Vec<_>>(), "total": figures::money(t.total)});
    totals.iter().map(one).collect()
}

fn sheet_json(sheet: &PrivateSheet) -> Value {
    let figure =
        |f: SheetFigure| json!({"id": f.id, "label": f.label, "value": f.value.to_string(), "working": f.working});
    let left = |l: &LeftOver| {
        json!({
            "role": l.role.to_string(), "size": l.size.map(|s| s.as_mm()), "quantity": figures::number(l.quantity),
            "unit": l.unit.to_string(),
        })
    };
    json!({
        "figures": sheet.figures().into_iter().map(figure).collect::<Vec<_>>(),
        "left_over": sheet.left_over.iter().map(left).collect::<Vec<_>>(),
    })
}

fn cost_json(c: &Cost) -> Value {
    json!({"id": c.id, "label": c.label, "amount": figures::money(c.amount), "working": c.working})
}

fn order_json(o: &Order) -> Value {
    let line = |l: &OrderLine| {
        json!({
            "role": l.role.to_string(), "code": l.code, "description": l.description, "pack": l.pack, "quantity": l.quantity,
            "holds": figures::number(l.holds), "need": figures::number(l.need), "unit": l.unit.to_string(),
            "each": figures::money(l.each), "total": figures::money(l.total), "optional": l.optional,
        })
    };
    json!({
        "merchant": o.merchant.name,
        "lines": o.lines.iter().map(line).collect::<Vec<_>>(),
        "total": figures::money(o.total),
        "delivery": figures::money(o.delivery),
        "mass": figures::number(o.mass.as_kg()),
    })
}

/// One line on a job that can be made.
pub(super) fn summary(label: &str, priced: &PricedJob, notices: &[Problem]) -> String {
    let job = &priced.laid.loaded.job;
    let roofs = job.roof_names().count();
    let plural = if roofs == 1 { "roof" } else { "roofs" };
    let noticed = decisions::in_words(notices);
    let noticed = if noticed.is_empty() { String::new() } else { format!("; {noticed}") };
    format!("{label}: {} {}: {roofs} {plural}, nothing stops it{noticed}\n", job.reference, job.title)
}

/// One line on a job of which only the sizes are known.
pub(super) fn sizes_only(label: &str, laid: &LaidOutJob) -> String {
    let job = &laid.loaded.job;
    format!(
        "{label}: {} {}: only its sizes are checked: no firm file was found, so there is no price and no document\n",
        job.reference, job.title
    )
}

/// What was written.
pub(super) fn written(written: &WrittenSet) -> String {
    let of =
        |word: &str, places: &[PathBuf]| places.iter().map(|p| format!("{word} {}\n", p.display())).collect::<String>();
    of("wrote", &written.places) + &of("took away, from an earlier run,", &written.taken_away)
}

/// The drawings of a job, a line each: its number and size on paper, what it shows.
pub(super) fn drawings(drawn: &[DrawnFile]) -> String {
    let line =
        |(number, d): (usize, &DrawnFile)| format!("{number:>3}  {:>3} × {:>3} mm  {}\n", d.size.0, d.size.1, d.words);
    let lines: String = (1..).zip(drawn).map(line).collect();
    format!("{lines}{}, written as files with --svg\n", wording::plural(drawn.len(), "drawing", "drawings"))
}

/// What was made of one job, and what to look at next.
pub(super) fn made(label: &str, priced: &PricedJob, written: &WrittenSet, many: bool) -> String {
    let (names, wrote) = files_of(written);
    if many {
        return format!("{label}: {wrote}\n");
    }
    format!(
        "{}wrote {wrote}\n\
         Look at quote.pdf before it goes to the customer, send {} once the customer has \
         accepted, and take method.pdf to the site.\n\
         `wetout price {label}` shows cost and margin; `wetout check {label}` shows what was assumed.\n",
        price_line(priced),
        orders_to_send(priced, &names),
    )
}

/// What was made anew of one job: its price, and what was written.
pub(super) fn made_again(priced: &PricedJob, written: &WrittenSet) -> String {
    format!("{}wrote {}\n", price_line(priced), files_of(written).1)
}

fn price_line(priced: &PricedJob) -> String {
    let job = &priced.laid.loaded.job;
    format!("{} {}, price with VAT {}\n", job.reference, job.title, priced.pricing.total)
}

/// The names of the files that were written; they and their folder in words, with what was taken away.
fn files_of(written: &WrittenSet) -> (Vec<String>, String) {
    let places = &written.places;
    let folder = places.first().and_then(|p| p.parent()).unwrap_or(Path::new("."));
    let named = |places: &[PathBuf]| -> Vec<String> {
        places.iter().filter_map(|p| p.file_name()).map(|n| n.to_string_lossy().into_owned()).collect()
    };
    let (names, gone) = (named(places), named(&written.taken_away));
    let gone = match gone.is_empty() {
        true => String::new(),
        false => format!("; took away {} of an earlier run", gone.join(", ")),
    };
    let words = format!("{} in {}{gone}", names.join(", "), folder.display());
    (names, words)
}

/// `order.pdf to the merchant`, or each merchant's own file: `order-1.pdf to Coldharbour and order-2.pdf to Fenland`.
fn orders_to_send(priced: &PricedJob, names: &[String]) -> String {
    let files = names.iter().filter(|name| name.starts_with("order") && name.ends_with(".pdf"));
    let sent: Vec<String> = match priced.pricing.orders.as_slice() {
        [_] => files.map(|file| format!("{file} to the merchant")).collect(),
        many => files.zip(many).map(|(file, order)| format!("{file} to {}", order.merchant.name)).collect(),
    };
    wording::list(&sent)
}

fn pretty(value: &Value) -> String {
    // A value made of maps, lists, text and finite numbers always prints.
    let text = serde_json::to_string_pretty(value).unwrap_or_default();
    format!("{text}\n")
}
