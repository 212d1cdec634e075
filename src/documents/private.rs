//! The firm's own sheet as a PDF: costs, hours, margin, and what may go wrong before the profit is gone.
//!
//! Given a priced job and its sheet; gives a document that says on every page that it is private. It is never made
//! with the three documents that leave the office, and no template can ask for what stands here.

use super::cells::{cell, plain, right, row, strong, wide};
use super::drawings::money_bar;
use super::letterhead::{self, Title};
use super::{Finished, Overrides, WholeJob, wording};
use crate::model::{Length, Problem, Role};
use crate::pages::block::{Block, Closer, Document, Fitting, Row, RowKind, Span, Table, Tone};
use crate::pages::{fitting, own_fonts};
use crate::pdf;
use crate::pricing::private_sheet::{PrivateSheet, SheetFigure, SheetValue};
use crate::pricing::{FromVan, LeftOver, Money, Order};
use crate::takeoff::Unit;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// What stands on every page.
pub const PRIVATE: &str = "PRIVATE — not for the customer";

/// Pages that it should stand on, and the smallest size of running text that is taken for that, pt.
const PAGES: usize = 3;
const LEAST: f64 = 8.5;

/// Makes `private.pdf` in the firm's fonts.
///
/// # Errors
/// A character that no font has, a picture that cannot be read: all at once.
pub fn make(worked: &WholeJob<'_>, sheet: &PrivateSheet, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let fonts = own_fonts::fonts(&overrides.fonts, overrides.templates.len())?;
    Ok(Finished { name: "private.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(worked, sheet))? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(worked: &WholeJob<'_>, sheet: &PrivateSheet) -> Result<String, Vec<Problem>> {
    fitting::describe(&document(worked, sheet))
}

fn document(worked: &WholeJob<'_>, sheet: &PrivateSheet) -> Document {
    let title = Title {
        kind: "Private sheet",
        reference: PRIVATE.to_owned(),
        subject: format!("The firm's own figures for {}", worked.job.reference),
        text_size: 9.5,
        fitting: Fitting::AsSet,
    };
    let document = letterhead::document(worked.parties(), title, blocks(worked, sheet));
    let footer = format!("{PRIVATE} · {} · {}", worked.job.reference, wording::date(worked.date));
    Document { footer, closer: Some(Closer { pages: PAGES, least: LEAST, blocks: None, found: None }), ..document }
}

fn blocks(worked: &WholeJob<'_>, sheet: &PrivateSheet) -> Vec<Block> {
    let pricing = worked.pricing;
    let mut blocks = vec![
        heading(1, &format!("{} {}: the firm's own figures", worked.job.reference, worked.job.title)),
        Block::Callout {
            tone: Tone::Caution,
            title: PRIVATE.to_owned(),
            blocks: vec![paragraph("Cost, margin and profit stand here. Keep this sheet in the office.")],
        },
        heading(2, "Price and profit"),
        Block::Figure(money_bar::draw(&where_it_goes(worked))),
        Block::Table(profit(worked)),
        heading(2, "What it costs"),
        Block::Table(costs(worked)),
        heading(2, "Hours"),
        Block::Table(hours(worked)),
        heading(2, "Work by work"),
        paragraph(
            "Contingency and overhead lie on every work by what it costs; delivery, travel and setting up on the crew's alone.",
        ),
        Block::Table(by_work(worked)),
        heading(2, "Roof by roof"),
        Block::Table(by_roof(worked)),
        heading(2, "What moves the profit most"),
        paragraph("Each by itself, the price unchanged, direct cost only: overhead and contingency stay as planned."),
        Block::Table(shifts(sheet)),
        heading(2, "By the day, and when the profit is gone"),
        Block::Table(by_the_day(sheet)),
    ];
    if !pricing.options.is_empty() || !pricing.offers.is_empty() {
        blocks.extend([heading(2, "Options and offers"), Block::Table(offers(worked))]);
    }
    blocks.extend([heading(2, "Bought from"), Block::Table(merchants(worked))]);
    if !pricing.van.taken.is_empty() {
        blocks.extend([heading(2, "Taken from the van"), paragraph(VAN), Block::Table(from_van(worked))]);
    }
    let spare = spare_boards(worked);
    let kept: Vec<&LeftOver> = sheet.left_over.iter().filter(|l| shows(l.quantity, l.unit)).collect();
    if !kept.is_empty() || spare.is_some() {
        blocks.push(heading(2, "Left over: stock to keep"));
        blocks.extend((!kept.is_empty()).then(|| Block::Table(left_over(worked, &kept))));
        blocks.extend(spare.map(|words| paragraph(&words)));
    }
    let command = Span::bold("wetout price JOB --why ID");
    blocks.push(Block::Paragraph(vec![command, Span::plain(" shows the working of any figure that has an id here.")]));
    blocks
}

fn heading(level: u8, text: &str) -> Block {
    Block::Heading { level, text: cell(text) }
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(vec![Span::plain(text)])
}

fn pair(what: impl Into<String>, figure: impl Into<String>) -> Row {
    plain(vec![cell(what), cell(figure)])
}

fn two_columns(what: &str, figure: &str, rows: Vec<Row>) -> Table {
    Table { columns: vec![wide(what, 1), right(figure)], rows, header: true }
}

fn with_id(id: &str, what: &str, figure: String) -> Row {
    plain(vec![cell(what), cell(id), cell(figure)])
}

fn three_columns(what: &str, figure: &str, rows: Vec<Row>) -> Table {
    Table { columns: vec![wide(what, 2), wide("Id", 1), right(figure)], rows, header: true }
}

fn percent(p: Decimal) -> String {
    format!("{}%", wording::written_out(p, 2))
}

/// What the customer pays, by where it goes.
fn where_it_goes(worked: &WholeJob<'_>) -> Vec<(String, Money)> {
    let p = worked.pricing;
    let of = |ids: &[&str]| p.costs.iter().filter(|c| ids.contains(&c.id.as_str())).map(|c| c.amount).sum::<Money>();
    let materials = of(&["cost.materials", "cost.delivery", "cost.vat_paid"]);
    let (labour, overhead) = (of(&["cost.labour"]), of(&["cost.overhead"]));
    let vat = p.vat.iter().map(|v| v.vat).sum();
    vec![
        ("Materials, delivery".to_owned(), materials),
        ("Labour".to_owned(), labour),
        ("Access, tip, travel, the unforeseen".to_owned(), p.cost - materials - labour - overhead),
        ("Overhead".to_owned(), overhead),
        ("Profit".to_owned(), p.profit),
        ("Extras at a stated price".to_owned(), p.net - p.cost - p.profit),
        ("VAT".to_owned(), vat),
    ]
}

fn profit(worked: &WholeJob<'_>) -> Table {
    let p = worked.pricing;
    let mut rows = vec![
        pair(format!("Price without VAT ({})", p.rule), wording::money(p.net)),
        pair("Cost, overhead included", wording::money(p.cost)),
        pair("Profit", wording::money(p.profit)),
        pair("Margin, of the price", percent(p.margin)),
        pair("Markup, on the cost", percent(p.markup)),
    ];
    let vat = |v: &crate::pricing::VatLine| {
        pair(format!("VAT at {}% on {}", wording::number(v.rate), wording::money(v.net)), wording::money(v.vat))
    };
    rows.extend(p.vat.iter().map(vat));
    rows.push(row(RowKind::Total, vec![strong("Total that the customer pays"), strong(wording::money(p.total))]));
    two_columns("What", "Amount", rows)
}

/// Hours, cost and price of each work over all roofs, in the order of the work.
fn by_work(worked: &WholeJob<'_>) -> Table {
    let works = &worked.pricing.works;
    let mut kinds: Vec<WorkKind> = works.iter().map(|m| m.work).collect();
    kinds.dedup();
    let money_row = |kind: WorkKind| {
        let of = || works.iter().filter(move |m| m.work == kind);
        let hours: Decimal = of().map(|m| m.hours).sum();
        let hours = if hours.is_zero() { "–".to_owned() } else { wording::written_out(hours, 2) };
        let (cost, price) = (of().map(|m| m.cost).sum(), of().map(|m| m.price).sum());
        three_figures(&wording::capital(kind.name_for(worked.job.gutters_on(None))), hours, cost, price)
    };
    let mut rows: Vec<Row> = kinds.into_iter().map(money_row).collect();
    rows.push(total_row(worked, wording::written_out(worked.programme.hours(), 2)));
    let columns = vec![wide("Work", 1), right("Hours"), right("Cost"), right("Price")];
    Table { columns, rows, header: true }
}

/// Cost and price of each roof, and of what belongs to none.
fn by_roof(worked: &WholeJob<'_>) -> Table {
    let works = &worked.pricing.works;
    let of = |roof: Option<&String>| {
        let mine = || works.iter().filter(|m| m.roof.as_ref() == roof);
        let label = roof.map_or("The job as a whole", String::as_str);
        let hours: Decimal = mine().map(|m| m.hours).sum();
        let hours = if hours.is_zero() { "–".to_owned() } else { wording::written_out(hours, 2) };
        three_figures(label, hours, mine().map(|m| m.cost).sum(), mine().map(|m| m.price).sum())
    };
    let mut rows: Vec<Row> = worked.job.roof_names().map(|name| of(Some(name))).collect();
    rows.push(of(None));
    rows.push(total_row(worked, wording::written_out(worked.programme.hours(), 2)));
    let columns = vec![wide("Roof", 1), right("Hours"), right("Cost"), right("Price")];
    Table { columns, rows, header: true }
}

fn three_figures(what: &str, hours: String, cost: Money, price: Money) -> Row {
    plain(vec![cell(what), cell(hours), cell(wording::money(cost)), cell(wording::money(price))])
}

fn total_row(worked: &WholeJob<'_>, hours: String) -> Row {
    let p = worked.pricing;
    let cells = vec![strong("All"), strong(hours), strong(wording::money(p.cost)), strong(wording::money(p.net))];
    row(RowKind::Total, cells)
}

fn costs(worked: &WholeJob<'_>) -> Table {
    let p = worked.pricing;
    let mut rows: Vec<Row> = p.costs.iter().map(|c| with_id(&c.id, &c.label, wording::money(c.amount))).collect();
    let total = vec![strong("Cost, overhead included"), cell(""), strong(wording::money(p.cost))];
    rows.push(row(RowKind::Total, total));
    three_columns("Cost", "Amount", rows)
}

fn hours(worked: &WholeJob<'_>) -> Table {
    let plan = worked.programme;
    let plain = |h: Decimal| wording::written_out(h, 2);
    let mut rows: Vec<Row> = plan.work.iter().map(|w| pair(&w.label, plain(w.hours))).collect();
    let days = wording::plural(plan.days.len(), "day", "days");
    rows.push(pair(format!("Setting up, clearing and waiting, {days}"), plain(plan.paid_hours() - plan.hours())));
    rows.push(row(RowKind::Total, vec![strong("All person-hours that are paid"), strong(plain(plan.paid_hours()))]));
    let left = plan.unpaid_hours();
    if left > Decimal::ZERO {
        rows.push(pair("Besides, in the same days: paid only to whoever is paid by the day", plain(left)));
    }
    two_columns("Work", "Person-hours", rows)
}

fn shifts(sheet: &PrivateSheet) -> Table {
    let shift = |s: &crate::pricing::private_sheet::ProfitShift| with_id(s.id, &s.label, wording::money(-s.cost));
    three_columns("What goes wrong", "Profit", sheet.shifts.iter().map(shift).collect())
}

/// The figures of the sheet that are no shifts.
fn by_the_day(sheet: &PrivateSheet) -> Table {
    let figures: Vec<SheetFigure> = sheet.figures();
    let rows = figures.iter().filter(|f| !f.id.starts_with("shift."));
    let value = |f: &SheetFigure| match &f.value {
        SheetValue::Money(sum) => wording::money(*sum),
        SheetValue::Days(words) => words.clone(),
    };
    three_columns("What", "Figure", rows.map(|f| with_id(f.id, &f.label, value(f))).collect())
}

fn offers(worked: &WholeJob<'_>) -> Table {
    let p = worked.pricing;
    let ids = |id: String, what: &str, sum: Money| with_id(&id, what, wording::money(sum));
    let options = p.options.iter().zip(1..).map(|(o, n)| ids(format!("option.{n}"), &o.label, o.difference));
    let offers = p.offers.iter().zip(1..).map(|(o, n)| ids(format!("offer.{n}"), &o.label, o.total));
    three_columns("What", "On top, VAT included", options.chain(offers).collect())
}

fn merchants(worked: &WholeJob<'_>) -> Table {
    let p = worked.pricing;
    let order = |o: &Order| {
        let words = format!("{}: materials {}, delivery", o.merchant.name, wording::money(o.total));
        let paid = pair(format!("{words} {}", wording::money(o.delivery)), wording::money(o.total + o.delivery));
        let nearly = o.nearly_free_from().map(|from| {
            let words = format!("With {} more of goods from there: delivered free", wording::money(from - o.total));
            pair(words, wording::money(from))
        });
        [paid].into_iter().chain(nearly)
    };
    let alone = |a: &crate::pricing::AtOneMerchant| {
        let figure = match a.total {
            Some(total) => wording::money(total),
            None => format!("does not sell {}", wording::list(&a.missing)),
        };
        pair(format!("All from {} alone", a.merchant), figure)
    };
    let several = p.at_one_merchant.len() > 1;
    let alone = p.at_one_merchant.iter().filter(|_| several).map(alone);
    two_columns("Order", "Without VAT", p.orders.iter().flat_map(order).chain(alone).collect())
}

/// What the saving is of.
const VAN: &str = "It is on no order. Price, cost and profit above are those of a job for which all of it is bought: what is saved \
                   is yours, beside the profit.";

fn from_van(worked: &WholeJob<'_>) -> Table {
    let van = &worked.pricing.van;
    let line = |t: &FromVan| {
        plain(vec![
            cell(goods(worked, &t.role, t.size)),
            cell(t.batch.clone().unwrap_or_else(|| "–".to_owned())),
            cell(t.use_by.map_or_else(|| "–".to_owned(), wording::date)),
            cell(amount(t.quantity, t.unit)),
        ])
    };
    let mut rows: Vec<Row> = van.taken.iter().map(line).collect();
    let saved = vec![strong("Saved (van.saved)"), cell(""), cell(""), strong(wording::money(van.saved))];
    rows.push(row(RowKind::Total, saved));
    let columns = vec![wide("What", 2), wide("Batch", 1), wide("Use by", 1), right("Taken")];
    Table { columns, rows, header: true }
}

/// Boards that are ordered over what is laid.
fn spare_boards(worked: &WholeJob<'_>) -> Option<String> {
    let spare = worked.spare_boards() as usize;
    let kinds = worked.spare_board_kinds();
    let of = if kinds.is_empty() { "each kind".to_owned() } else { wording::list(&kinds) };
    (spare > 0).then(|| format!("Besides: {} of {of}, if none is spoilt.", wording::plural(spare, "board", "boards")))
}

/// What was bought for a role, as the merchant calls it; our own words where nothing is bought for it.
fn goods(worked: &WholeJob<'_>, role: &Role, size: Option<Length>) -> String {
    let mut lines = worked.pricing.orders.iter().flat_map(|order| &order.lines);
    let bought = lines.find(|line| line.role == *role && line.size == size);
    bought.map_or_else(|| wording::capital(&wording::goods(role, size)), |line| line.description.clone())
}

/// A role with its size, by which the stock list calls goods.
fn in_the_stock_list(role: &Role, size: Option<Length>) -> String {
    let size = size.map(|s| format!(", {s}")).unwrap_or_default();
    format!("{role}{size}")
}

/// `2.0 m`, `118 ml`, `740`: what is measured to a tenth, what is counted or poured by the millilitre whole.
fn amount(quantity: Decimal, unit: Unit) -> String {
    match unit {
        Unit::Each | Unit::Millilitre => wording::quantity(quantity, unit, 0),
        Unit::SquareMetre => format!("{} m²", wording::written_out(quantity, 1)),
        other => format!("{} {other}", wording::written_out(quantity, 1)),
    }
}

/// Whether a quantity is more than nothing as it is printed.
fn shows(quantity: Decimal, unit: Unit) -> bool {
    let places = if matches!(unit, Unit::Each | Unit::Millilitre) { 0 } else { 1 };
    wording::rounded(quantity, places) != "0"
}

fn left_over(worked: &WholeJob<'_>, kept: &[&LeftOver]) -> Table {
    let line = |l: &&LeftOver| {
        let listed = in_the_stock_list(&l.role, l.size);
        with_id(&listed, &goods(worked, &l.role, l.size), amount(l.quantity, l.unit))
    };
    let columns = vec![wide("What", 2), wide("In the stock list", 1), right("Left over")];
    Table { columns, rows: kept.iter().map(line).collect(), header: true }
}
