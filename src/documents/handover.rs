//! What the householder is given when the roof is done: the completion record, the guarantee certificate, how to look after the
//! roof, and what was built.
//!
//! Given the record of the work, the terms of the guarantee and the job as it was accepted; gives one document. In a draft
//! there are lines to fill in by hand for all that the record does not say.

use super::built_edges;
use super::cells::{cell, in_rows, left, plain, row, strong, wide};
use super::drawings::several::at_one_scale;
use super::drawings::{Space, patch_plan};
use super::letterhead::{self, Parties, Title};
use super::standing::IssueStanding;
use super::views::{BuiltView, OldRoofView, RoofView};
use super::words::{Vocabulary, Words};
use super::{Finished, Overrides, edge_words, findings, guarantee, old_roof_words, told, wording, words_and_fonts};
use crate::checks::finding::{Finding, Subject, Verdict};
use crate::checks::outlets::is_of_level_side;
use crate::facts;
use crate::model::firm::{GuaranteeFrom, GuaranteeTerms};
use crate::model::goods::Goods;
use crate::model::shape::DeckAction;
use crate::model::{Area, Finish, Photo, Problem};
use crate::pages::block::{Block, Document, Figure, Fitting, Row, RowKind, Span, Table};
use crate::pages::{fitting, listing};
use crate::pdf;
use crate::works::record::{Batched, LoggedWeather, SiteRecord};
use crate::works::{RoofCheck, VariedWork};
use std::collections::BTreeMap;
use time::Date;

/// What the householder reads of the working.
const WORKED: [Subject; 5] = [Subject::Heat, Subject::Air, Subject::Fire, Subject::Water, Subject::Use];
/// Rows for the weather, where it is written in by hand.
const ROWS: usize = 5;

/// The guarantee that goes with the roof, as it stood when the quote was accepted.
#[derive(Debug, Clone, Copy)]
pub struct GuaranteeView<'a> {
    /// Years on a roof that was laid anew, and its words.
    pub new: (u32, &'a str),
    /// Years on patches and on a topcoat over an old laminate, and their words.
    pub repair: (u32, &'a str),
    /// What else is said of it.
    pub terms: &'a GuaranteeTerms,
    /// The day on which it begins, where that is known.
    pub begins: Option<Date>,
}

/// Everything that is printed.
#[derive(Debug, Clone)]
pub struct HandoverView<'a> {
    /// Who writes to whom, on the day of the handover.
    pub parties: Parties<'a>,
    /// Who signs besides the customer, as the quote was signed.
    pub co_signers: &'a [String],
    /// Its number; none while it is a draft.
    pub number: Option<&'a str>,
    /// The revision of the quote that was accepted, and on which day.
    pub accepted: (&'a str, Date),
    /// What was built.
    pub built: BuiltView<'a>,
    /// What happened on site.
    pub record: &'a SiteRecord,
    /// What was agreed since.
    pub varied: &'a [VariedWork],
    /// What is guaranteed.
    pub guarantee: GuaranteeView<'a>,
}

impl HandoverView<'_> {
    fn is_draft(&self) -> bool {
        self.parties.standing == IssueStanding::Draft
    }

    /// Whether a roof that was laid anew is guaranteed.
    fn guarantees_new(&self) -> bool {
        !self.built.roofs.is_empty() && self.guarantee.new.0 > 0
    }

    /// Whether patches or a new topcoat are.
    fn guarantees_repair(&self) -> bool {
        !self.built.old_roofs.is_empty() && self.guarantee.repair.0 > 0
    }
}

/// Makes `handover.pdf` in the firm's words and fonts.
///
/// # Errors
/// Whatever is wrong with the templates or a photograph; a character that no font has.
pub fn make(view: &HandoverView<'_>, overrides: &Overrides) -> Result<Finished, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(Finished { name: "handover.pdf".to_owned(), bytes: pdf::print_in(fonts, &document(view, &words)?)? })
}

/// The placed pages as text.
///
/// # Errors
/// As [`make`].
pub fn describe(view: &HandoverView<'_>, overrides: &Overrides) -> Result<String, Vec<Problem>> {
    let (words, fonts) = words_and_fonts(overrides)?;
    Ok(listing::describe(&fitting::lay_out_in(fonts, &document(view, &words)?)?))
}

fn document(view: &HandoverView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("handover.md", &vocabulary(view), &places(view))?;
    let kind = "Handover";
    let title = Title {
        kind,
        reference: format!("{kind} {}", view.number.unwrap_or(view.parties.reference)),
        subject: format!(
            "Completion record, guarantee and care of a glass-fibre flat roof for {}",
            view.parties.customer.name
        ),
        text_size: 10.0,
        fitting: Fitting::AsSet,
    };
    let mut document = match view.is_draft() {
        true => letterhead::standing_document(view.parties, title, blocks, words)?,
        false => letterhead::document(view.parties, title, blocks),
    };
    document.footer = letterhead::footer(view.parties, kind, view.number.unwrap_or(view.parties.reference));
    Ok(document)
}

// ---- Words -------------------------------------------------------------------------------------------------------

pub(super) fn vocabulary(view: &HandoverView<'_>) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    told::works(&mut v, view.built.works, None);
    v.facts();
    let record = view.record;
    v.maybe("number", view.number)
        .texts("co_signers", view.co_signers)
        .yes("two_sign", view.co_signers.len() == 1)
        .text("first_signer", wording::first_signer(&view.parties.customer.name, view.co_signers))
        .maybe("finished", record.finished.map(wording::day_and_date))
        .text("handed_over", wording::date(view.parties.date))
        .text("accepted_revision", view.accepted.0)
        .text("accepted_on", wording::date(view.accepted.1))
        .texts("left", &record.left.iter().map(|line| wording::sentence(line)).collect::<Vec<_>>())
        .maybe("varied", variation_orders(view.varied))
        .yes("varied_done", view.varied.iter().any(|varied| !varied.done.is_empty()))
        .yes("varied_left_out", view.varied.iter().any(|varied| !varied.left_out.is_empty()))
        .yes("not_passed", record.not_passed() > 0)
        .yes("photographed", !record.photos.is_empty())
        .yes("new_roofs", !view.built.roofs.is_empty())
        .yes("old_roofs", !view.built.old_roofs.is_empty())
        .yes("several_roofs", view.built.roofs.len() + view.built.old_roofs.len() > 1)
        .yes("sections", !view.built.sections.is_empty())
        .yes("worked", !worked(view).is_empty())
        .texts("cautions", &findings::cautions(&worked(view)));
    guarantee_words(&mut v, view);
    care_words(&mut v, view);
    v
}

/// Every variation order with the day on which it was agreed, as it stands in a sentence.
fn variation_orders(varied: &[VariedWork]) -> Option<String> {
    let one = |varied: &VariedWork| format!("{} (agreed on {})", varied.number, wording::date(varied.on));
    let all: Vec<String> = varied.iter().map(one).collect();
    let word = if all.len() == 1 { "variation order" } else { "variation orders" };
    (!all.is_empty()).then(|| format!("{word} {}", wording::list(&all)))
}

fn guarantee_words(v: &mut Vocabulary, view: &HandoverView<'_>) {
    let GuaranteeView { new, repair, terms, begins } = view.guarantee;
    let old: Vec<String> = view.built.old_roofs.iter().map(|roof| roof.name.to_owned()).collect();
    v.yes("guaranteed", view.guarantees_new())
        .text("guarantee_years", years(new.0))
        .text("guarantee", new.1)
        .yes("repair_guaranteed", view.guarantees_repair())
        .text("repair_years", years(repair.0))
        .text("repair_guarantee", repair.1)
        .text("old_names", wording::list(&old))
        .maybe("begins", begins.map(wording::date));
    guarantee::terms(v, terms);
}

fn care_words(v: &mut Vocabulary, view: &HandoverView<'_>) {
    let (roofs, old) = (&view.built.roofs, &view.built.old_roofs);
    let colours = roofs.iter().map(|r| r.colour).chain(old.iter().map(|r| r.colour));
    let walk_on = roofs.iter().map(|r| r.walk_on_hours).chain(old.iter().map(|r| r.walk_on_hours)).max().unwrap_or(0);
    let edges = || roofs.iter().flat_map(|r| r.edges);
    let old_sides = || old.iter().flat_map(|r| &r.layout.sides);
    let ladders = roofs.iter().flat_map(|r| {
        let of = if roofs.len() > 1 { format!("{}: ", r.name) } else { String::new() };
        edge_words::ladder_points(r.edges, &r.layout.shape).into_iter().map(move |at| format!("{of}{at}"))
    });
    let new_kerbs = roofs.iter().flat_map(|r| &r.layout.shape.holes).filter(|h| h.is_opening());
    let old_kerbs = old.iter().flat_map(|r| &r.layout.openings).filter(|o| o.is_opening());
    let kerbs: Vec<&str> = new_kerbs.map(|h| h.name.as_str()).chain(old_kerbs.map(|o| o.name.as_str())).collect();
    // One alone has its name; of several each may be either.
    let kerb_words = match kerbs.as_slice() {
        [one] => format!("the {}", wording::within(one)),
        _ => "a rooflight or hatch".to_owned(),
    };
    v.text("colours", wording::list(&wording::once(colours.map(str::to_owned))))
        .yes("gutters", edges().any(|e| e.gutter.is_some() || e.box_gutter.is_some()))
        .yes("outlets", roofs.iter().any(|r| r.outlets > 0))
        .yes("overflows", roofs.iter().any(|r| r.overflows > 0))
        .text("ladder_points", wording::list(&ladders.collect::<Vec<_>>()))
        .yes("walls", edges().any(|e| e.finish == Finish::Wall) || old_sides().any(|s| s.finish == Some(Finish::Wall)))
        .yes("insulated", roofs.iter().any(|r| r.layout.over.is_some()))
        .yes("grains", roofs.iter().any(|r| r.grains) || old.iter().any(|r| r.grains))
        .yes("grains_longer", is_longer(walk_on) && (roofs.iter().any(|r| r.grains) || old.iter().any(|r| r.grains)))
        .text("walk_on", wording::hours_or_days(walk_on))
        .yes("kerbs", !kerbs.is_empty())
        .yes("several_kerbs", kerbs.len() > 1)
        .text("kerb_words", &kerb_words)
        .text("Kerb_words", wording::capital(&kerb_words));
}

/// Whether a rough surface is kept off longer than any new roof is.
fn is_longer(hours: u32) -> bool {
    facts::named("keep_off").is_none_or(|fact| fact.value != wording::hours_or_days(hours))
}

fn years(years: u32) -> String {
    wording::plural(years as usize, "year", "years")
}

fn worked<'a>(view: &HandoverView<'a>) -> Vec<&'a Finding> {
    // What was to be settled before the work is no news after it; a certificate that never came is.
    let is_told = |f: &&Finding| f.verdict != Verdict::Refer || f.kind == Subject::Fire;
    findings::of(view.built.findings, &WORKED).into_iter().filter(is_told).collect()
}

// ---- Places ------------------------------------------------------------------------------------------------------

fn places(view: &HandoverView<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, blocks: Vec<Block>| places.insert(name.to_owned(), blocks);
    put("facts", vec![facts(view)]);
    put("guaranteed", vec![headline(view)]);
    put("checks", vec![Block::Table(checks(view))]);
    put("batches", vec![batches(view)]);
    put("weather", vec![Block::Table(weather(view))]);
    put("photos", photos(&view.record.photos));
    put("certificate", vec![certificate(view)]);
    put("log", vec![Block::Table(care_log())]);
    put("built", built(view));
    put("varied", varied(view.varied));
    put("plans", plans(view));
    put("sections", sections(view));
    put("worked", vec![Block::Table(findings::table(&worked(view), view.built.roofs.len() > 1))]);
    places
}

fn fact(label: &str, words: Vec<Span>) -> (String, Vec<Span>) {
    (label.to_owned(), words)
}

/// A day, where it is known: a draft asks for others in fields of their own.
fn known_day(label: &str, day: Option<Date>) -> Option<(String, Vec<Span>)> {
    day.map(|day| fact(label, strong(wording::date(day))))
}

fn facts(view: &HandoverView<'_>) -> Block {
    let (parties, customer) = (view.parties, view.parties.customer);
    let to = vec![
        fact("To", strong(&customer.name)),
        fact("Address", cell(customer.address.join(", "))),
        fact("Work at", cell(parties.site.join(", "))),
    ];
    let number = view.number.map_or_else(|| cell("Draft, no number"), strong);
    let mut facts = vec![fact("Number", number)];
    facts.extend(known_day("Finished", view.record.finished));
    facts.extend((!view.is_draft()).then(|| fact("Handed over", cell(wording::date(parties.date)))));
    facts.push(fact("As quoted", cell(format!("{} revision {}", parties.reference, view.accepted.0))));
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

/// For how long, and until when.
fn headline(view: &HandoverView<'_>) -> Block {
    let of = match (view.guarantees_new(), view.guarantees_repair()) {
        (true, _) => Some(view.guarantee.new.0),
        (false, true) => Some(view.guarantee.repair.0),
        (false, false) => None,
    };
    let Some(count) = of else {
        return Block::Headline {
            label: "Guarantee".to_owned(),
            figure: "Your rights in law".to_owned(),
            note: "Work done with care and skill, from materials that are sound.".to_owned(),
        };
    };
    let label = match view.guarantee.begins {
        Some(day) => format!("Guaranteed until {}", wording::date(GuaranteeTerms::last_day(day, count))),
        None => "Guaranteed for".to_owned(),
    };
    let by = &view.parties.firm.party.name;
    let note = match view.guarantee.terms.from {
        GuaranteeFrom::Completion => format!("By {by}, from the day on which the work was finished."),
        GuaranteeFrom::Handover => format!("By {by}, from the day on which it was handed over."),
        GuaranteeFrom::Payment => format!("By {by}, from the day on which the last of the price is paid."),
    };
    Block::Headline { label, figure: years(count), note }
}

/// What was looked at, for the householder: on a roof that runs level along a side water may stand there, as the quote says.
pub fn check_words(check: RoofCheck, found: &[Finding]) -> String {
    match check == RoofCheck::Water && found.iter().any(is_of_level_side) {
        true => check.words().replace("no pond", "no pond but along the level side"),
        false => check.words().to_owned(),
    }
}

fn checks(view: &HandoverView<'_>) -> Table {
    let one = |what: &str, result: Option<(bool, &Option<String>)>| match result {
        Some((passed, words)) => {
            let verdict = if passed { cell("Passed") } else { strong("Not passed") };
            let words = words.as_ref().map_or_else(Vec::new, |words| cell(wording::sentence(words)));
            plain(vec![cell(what), verdict, words])
        }
        None => row(RowKind::ToFill, vec![cell(what), Vec::new(), Vec::new()]),
    };
    let of_roof = RoofCheck::of(view.built.works).into_iter().map(|check| {
        let result = view.record.result(check);
        let named = match check {
            RoofCheck::Goods => goods(view),
            RoofCheck::Extras => wording::list(view.built.extras),
            _ => String::new(),
        };
        let named = if named.is_empty() { named } else { format!(": {named}") };
        let what = format!("{}{named}", check_words(check, view.built.findings));
        one(&what, result.map(|result| (result.passed, &result.words)))
    });
    let of_varied = view.varied.iter().filter(|varied| !varied.done.is_empty()).map(|varied| {
        let result = view.record.result_of(varied);
        let what = format!("Variation order {}: all of it done as agreed", varied.number);
        one(&what, result.map(|result| (result.passed, &result.words)))
    });
    let rows: Vec<_> = of_roof.chain(of_varied).collect();
    // Where remarks are written by hand they take a third of the width, whatever the longest check is called.
    let columns = match rows.iter().any(|row| row.kind == RowKind::ToFill) {
        true => vec![wide("What was checked", 9), wide("Result", 1), wide("Remarks", 5)],
        false => vec![wide("What was checked", 5), left("Result"), wide("Remarks", 3)],
    };
    Table { columns, rows, header: true }
}

/// The goods for this job alone, in one breath.
fn goods(view: &HandoverView<'_>) -> String {
    wording::list(&view.built.goods.iter().map(Goods::title).collect::<Vec<_>>())
}

/// The batches in two columns, so that they and the weather stand on the page of the checks.
fn batches(view: &HandoverView<'_>) -> Block {
    let one = |material: Batched| match view.record.batches_of(material) {
        [] => row(RowKind::ToFill, vec![cell(material.words()), Vec::new()]),
        numbers => plain(vec![cell(material.words()), cell(numbers.join(", "))]),
    };
    let rows: Vec<_> = Batched::of(view.built.works).into_iter().map(one).collect();
    let column = |rows: &[Row]| {
        let columns = vec![wide("Material", 2), wide("Batch number", 3)];
        vec![Block::Table(Table { columns, rows: rows.to_vec(), header: true })]
    };
    Block::Columns(rows.chunks(rows.len().div_ceil(2).max(1)).map(column).collect())
}

fn weather(view: &HandoverView<'_>) -> Table {
    let columns = match view.record.weather.is_empty() {
        true => vec![
            wide("Day", 5),
            wide("Air, °C", 2),
            wide("Humidity, %", 2),
            wide("Surface, °C", 2),
            wide("What was done", 6),
        ],
        false => vec![left("Day"), left("Air"), left("Humidity"), left("Surface"), wide("What was done", 1)],
    };
    let one = |log: &LoggedWeather| {
        let degrees = |range| format!("{} °C", wording::range(range)).replace('-', "−");
        let words = log.words.as_ref().map_or_else(Vec::new, |words| cell(wording::capital(words)));
        plain(vec![
            cell(wording::date(log.day)),
            cell(degrees(log.air)),
            cell(format!("{}%", wording::range(log.humidity))),
            cell(degrees(log.surface)),
            words,
        ])
    };
    let rows = match view.record.weather.as_slice() {
        [] => vec![row(RowKind::ToFill, vec![cell("\u{a0}"); columns.len()]); ROWS],
        log => log.iter().map(one).collect(),
    };
    Table { columns, rows, header: true }
}

/// The photographs two by two, each with its caption.
fn photos(photos: &[Photo]) -> Vec<Block> {
    let one = |photo: &Photo| {
        let caption = photo.caption.clone().unwrap_or_default();
        let alt = if caption.is_empty() { format!("Photograph {}", photo.picture.name) } else { caption.clone() };
        Block::Photo { picture: photo.picture.clone(), caption, alt }
    };
    in_rows(2, photos.iter().map(|photo| vec![one(photo)]).collect())
}

fn certificate(view: &HandoverView<'_>) -> Block {
    let (parties, guarantee) = (view.parties, view.guarantee);
    let until = |count: u32| guarantee.begins.map(|day| GuaranteeTerms::last_day(day, count));
    let mut given = vec![
        fact("Number", view.number.map_or_else(|| cell("Draft, no number"), strong)),
        fact("Given by", cell(&parties.firm.party.name)),
        fact("Given to", strong(wording::list(&wording::signers(&parties.customer.name, view.co_signers)))),
        fact("For the roof at", cell(parties.site.join(", "))),
    ];
    given.push(fact("Work", cell(parties.title)));
    let orders: Vec<String> = view.varied.iter().map(|varied| varied.number.clone()).collect();
    given.extend((!orders.is_empty()).then(|| fact("Varied by", cell(wording::list(&orders)))));
    let begins = match (guarantee.begins, guarantee.terms.from) {
        (Some(day), _) => strong(wording::date(day)),
        (None, GuaranteeFrom::Completion) => cell("the day on which the work is finished"),
        (None, GuaranteeFrom::Handover) => cell("the day on which it is handed over"),
        (None, GuaranteeFrom::Payment) => cell("the day on which the last of the price is paid"),
    };
    let mut runs = vec![fact("Runs from", begins)];
    let end = |label: &str, count: u32| known_day(label, until(count));
    match (view.guarantees_new(), view.guarantees_repair()) {
        (true, true) => {
            runs.push(fact("New roofs", strong(years(guarantee.new.0))));
            runs.extend(end("until the end of", guarantee.new.0));
            runs.push(fact("Repairs", strong(years(guarantee.repair.0))));
            runs.extend(end("until the end of", guarantee.repair.0));
        }
        (true, false) => {
            runs.push(fact("For", strong(years(guarantee.new.0))));
            runs.extend(end("Until the end of", guarantee.new.0));
        }
        (false, _) => {
            runs.push(fact("For", strong(years(guarantee.repair.0))));
            runs.extend(end("Until the end of", guarantee.repair.0));
        }
    }
    runs.extend(known_day("Finished on", view.record.finished));
    Block::Columns(vec![vec![Block::Facts(given)], vec![Block::Facts(runs)]])
}

/// Room for the householder's own notes, through the years.
fn care_log() -> Table {
    let columns = vec![wide("Looked at on", 2), wide("By", 2), wide("What was seen, what was done", 6)];
    Table { rows: vec![row(RowKind::ToFill, vec![cell("\u{a0}"); columns.len()]); 4], columns, header: true }
}

// ---- What was built ----------------------------------------------------------------------------------------------

/// The tallest first: so the two columns end most nearly alike.
fn sections(view: &HandoverView<'_>) -> Vec<Block> {
    let mut sections = view.built.sections.clone();
    sections.sort_by(|a, b| b.scene.height.total_cmp(&a.scene.height));
    built_edges::in_pairs(sections)
}

/// From the top down, a table for each roof; of several roofs two side by side.
fn built(view: &HandoverView<'_>) -> Vec<Block> {
    let new = view.built.roofs.iter().map(|roof| (roof.name, layers(roof)));
    let old = view.built.old_roofs.iter().map(|roof| (roof.name, layers_of_old(roof)));
    let table = |rows: Vec<(&str, String)>| {
        let rows =
            rows.into_iter().map(|(what, words)| plain(vec![cell(what.replace(' ', "\u{a0}")), cell(words)])).collect();
        Block::Table(Table { columns: vec![left("Part"), wide("As built", 1)], rows, header: true })
    };
    let mut all: Vec<(&str, Vec<(&str, String)>)> = new.chain(old).collect();
    let besides = wording::capital(&goods(view));
    if !besides.is_empty() {
        match all.as_mut_slice() {
            [(_, rows)] => rows.push(("Besides", besides)),
            _ => all.push(("Besides", vec![("Goods", besides)])),
        }
    }
    let mut roofs: Vec<Vec<Block>> =
        all.into_iter().map(|(name, rows)| vec![Block::Heading { level: 3, text: cell(name) }, table(rows)]).collect();
    if let [only] = roofs.as_mut_slice() {
        return only.split_off(1);
    }
    let pair = |pair: &[Vec<Block>]| {
        let mut columns = pair.to_vec();
        columns.resize(2, Vec::new());
        Block::Columns(columns)
    };
    roofs.chunks(2).map(pair).collect()
}

/// What was agreed since: each order, and under it everything that was done besides, or left out.
fn varied(orders: &[VariedWork]) -> Vec<Block> {
    let one = |order: &VariedWork| {
        let agreed = format!(", agreed on {}, done besides what stands above:", wording::date(order.on));
        let left_out = order.left_out.iter().map(|what| format!("Left out: {what}"));
        let things = order.done.iter().cloned().chain(left_out);
        let items = things.map(|what| vec![Block::Paragraph(cell(wording::capital(&what)))]).collect();
        let number = Span::bold(format!("Variation order {}", order.number));
        [Block::Paragraph(vec![number, Span::plain(agreed)]), Block::List { ordered: false, items }]
    };
    orders.iter().flat_map(one).collect()
}

/// The area on plan.
fn area(area: Area, open: bool) -> String {
    format!("{} on plan{}", wording::square_metres(area), if open { ", openings taken off" } else { "" })
}

/// What a roof is made of, from the top down, and how large it is.
fn layers(roof: &RoofView<'_>) -> Vec<(&'static str, String)> {
    let layout = roof.layout;
    let mut rows = vec![("Area", area(layout.shape.area, !layout.shape.holes.is_empty()))];
    rows.push(("Topcoat", wording::capital(&format!("{}, {}", roof.colour, roof.surface))));
    let count = wording::plural(roof.laminate.layers as usize, "layer", "layers");
    let mat = roof.laminate.mat;
    rows.push(("Glass fibre", format!("{count} of {mat} g/m² mat laid in resin, every joint bandaged")));
    rows.extend(
        roof.overlay.map(|sheet| ("Board", format!("{} boards over the insulation", wording::thickness(sheet)))),
    );
    rows.extend(roof.insulation_in_words().map(|words| ("Insulation", words)));
    if layout.over.as_ref().is_some_and(|over| !over.vapour.is_empty()) {
        rows.push(("Vapour layer", "A sealed sheet on the deck, under the insulation".to_owned()));
    }
    let thick = roof.board.map_or_else(String::new, |thickness| format!("{thickness} "));
    rows.push((
        "Deck",
        match roof.deck {
            DeckAction::New => format!("New {thick}boards on the joists"),
            DeckAction::Overlay => format!("New {thick}boards over the deck that was there"),
            DeckAction::Keep => "The deck that was there".to_owned(),
        },
    ));
    let falls = roof.fall.known().map(|fall| format!("{fall} towards {}", wording::the(roof.falls_to)));
    rows.push(("Fall", falls.unwrap_or_else(|| format!("As it was, towards {}", wording::the(roof.falls_to)))));
    for (label, finish) in [
        ("Drip edges", Finish::Drip),
        ("Raised edges", Finish::Raised),
        ("At walls", Finish::Wall),
        ("Under a roof", Finish::Step),
        ("Box gutters", Finish::Gutter),
    ] {
        let edges = edge_words::of_finish(&layout.shape, finish);
        rows.extend((!edges.is_empty()).then(|| (label, wording::capital(&wording::list(&edges)))));
    }
    let flashings = edge_words::strips(layout);
    rows.extend((!flashings.is_empty()).then(|| ("Flashing", wording::capital(&wording::list(&flashings)))));
    let gutters = edge_words::hung_gutters(roof.edges, &layout.shape);
    rows.extend((!gutters.is_empty()).then(|| ("Gutter", wording::capital(&wording::list(&gutters)))));
    let ladders = wording::list(&edge_words::ladder_points(roof.edges, &layout.shape));
    rows.extend((!ladders.is_empty()).then(|| ("Ladder point", wording::capital(&ladders))));
    let openings: Vec<String> = layout.shape.holes.iter().map(|hole| hole.name.clone()).collect();
    rows.extend((!openings.is_empty()).then(|| ("Openings", wording::capital(&wording::list(&openings)))));
    rows
}

fn layers_of_old(roof: &OldRoofView<'_>) -> Vec<(&'static str, String)> {
    let layout = roof.layout;
    let mut rows = vec![("Area", area(layout.area, !layout.openings.is_empty()))];
    let topcoat = wording::capital(&format!("{}, {}", roof.colour, roof.surface));
    let over = if roof.recoat.is_some() { "over the whole roof" } else { "over the patches" };
    rows.push(("Topcoat", format!("{topcoat}, {over}")));
    if !layout.patches.is_empty() {
        let patches: Vec<String> = layout.patches.iter().map(old_roof_words::patch_in_words).collect();
        rows.push(("Patches", wording::capital(&wording::list(&patches))));
    }
    let edges = old_roof_words::made_good(layout);
    rows.extend((!edges.is_empty()).then(|| ("Edges", wording::capital(&wording::list(&edges)))));
    rows.push(("Beneath", "The glass fibre that was there, its edges and its flashing".to_owned()));
    rows
}

fn plans(view: &HandoverView<'_>) -> Vec<Block> {
    let space = match view.built.roofs.len() + view.built.old_roofs.len() {
        1 => Space::HALF_PAGE,
        2 => Space::THIRD_PAGE,
        _ => Space::QUARTER_PAGE,
    };
    let stacked = plans_in(view, space);
    let beside = plans_in(view, BESIDE_ANOTHER);
    let is_large = |plan: &Figure| plan.scene.scale.is_some_and(|of| of <= SMALLEST_BESIDE);
    match stacked.len() > 1 && beside.iter().all(is_large) {
        true => in_rows(2, beside.into_iter().map(|plan| vec![Block::Figure(plan)]).collect()),
        false => stacked.into_iter().map(Block::Figure).collect(),
    }
}

/// What each of several plans beside one another may take, pt, and the smallest scale at which they stand so.
const BESIDE_ANOTHER: Space = Space::new(231.0, 260.0);
const SMALLEST_BESIDE: f64 = 100.0;

fn plans_in(view: &HandoverView<'_>, space: Space) -> Vec<Figure> {
    let new = at_one_scale(
        &view.built.roofs,
        space,
        RoofView::corners,
        |roof| Some(roof.key()),
        |roof, space| Some(roof.plan(space)),
    );
    let old = at_one_scale(
        &view.built.old_roofs,
        space,
        |roof| roof.layout.corners.clone(),
        |roof| Some(patch_plan::key(roof.layout)),
        |roof, space| Some(patch_plan::draw(roof.layout, space)),
    );
    new.into_iter().chain(old).collect()
}
