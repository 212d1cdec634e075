//! The quote, for the householder: what, how much, how long, guaranteed by whom, and how to accept; then the detail.
//!
//! Given what was worked; gives a document. It reads of the money only what the householder pays: never a cost, a margin,
//! an hour or a merchant's price.

use super::cells::{cell, left, plain, right, row, strong, wide};
use super::drawings::roof_plan::{self, Audience};
use super::drawings::{Space, day_chart};
use super::letterhead::{self, Title};
use super::words::{Vocabulary, Words};
use super::{WholeJob, findings, offers, told, wording};
use crate::checks::finding::Subject;
use crate::checks::starting;
use crate::model::job::{Answer, By, Forced};
use crate::model::shape::{DeckAction, HoleForm};
use crate::model::{Access, Finish, Flashing, Job, Photo, Problem, Roof};
use crate::pages::block::{Block, Document, Fitting, RowKind, Table};
use crate::pricing::{Money, RotRate};
use crate::programme::Day;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::over_deck;
use std::collections::BTreeMap;

/// What the householder hears of the checks.
const CHECKED: [Subject; 4] = [Subject::Water, Subject::Heat, Subject::Air, Subject::Fire];

/// Makes the quote.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn document(worked: &WholeJob<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("quote.md", &vocabulary(worked, words)?, &places(worked))?;
    let title = Title {
        kind: "Quote",
        reference: format!("Quote {}", worked.job.reference),
        subject: format!("Quotation for a glass-fibre flat roof for {}", worked.job.customer.name),
        text_size: 10.0,
        fitting: Fitting::AsSet,
    };
    Ok(letterhead::document(worked, title, blocks))
}

// ---- Words -------------------------------------------------------------------------------------------------------

fn vocabulary(worked: &WholeJob<'_>, words: &Words) -> Result<Vocabulary, Vec<Problem>> {
    let mut v = letterhead::vocabulary(worked);
    told::works(&mut v, &worked.take_off.works, None);
    v.facts();
    page_one(&mut v, worked);
    scope(&mut v, worked);
    money(&mut v, worked);
    programme(&mut v, worked);
    let checked = findings::of(worked, &CHECKED);
    v.yes("heat_checked", checked.iter().any(|f| f.kind == Subject::Heat))
        .yes("checks", !checked.is_empty())
        .texts("cautions", &findings::cautions(&checked));
    let mut roofs = String::new();
    for (i, layout) in worked.take_off.roofs.iter().enumerate() {
        let Some(roof) = worked.job.roofs.get(layout.shape.index) else { continue };
        roofs.push_str(&words.fill("quote-roof.md", &roof_vocabulary(worked, layout, roof, i))?);
        roofs.push_str("\n\n");
    }
    v.filled("roofs", &roofs);
    Ok(v)
}

fn page_one(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let job = worked.job;
    let area = worked.take_off.roofs.iter().map(|r| r.shape.area).sum();
    v.text("area", wording::square_metres(area))
        .yes("start_within", worked.first_day().is_some_and(|first| starting::may_lie_within(first, job)))
        .yes("many_roofs", job.roofs.len() > 1)
        .text("roof_count", wording::plural(job.roofs.len(), "roof", "roofs"))
        .text("colours", wording::list(&wording::once(job.roofs.iter().map(|r| r.topcoat.colour.clone()))))
        .text("valid_until", wording::date(job.valid_until()))
        .text("valid_days", wording::plural(job.valid_days as usize, "day", "days"))
        .text("guarantee_years", wording::plural(worked.firm.guarantee_years as usize, "year", "years"))
        .yes("guaranteed", worked.firm.guarantee_years > 0)
        .text("guarantee", &worked.firm.guarantee);
}

fn scope(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, firm) = (worked.job, worked.firm);
    let any = |a: DeckAction| job.roofs.iter().any(|r| r.deck.action == a);
    let edge = |f: Finish| job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.finish == f));
    v.yes("strip", job.strip.is_some())
        .maybe("strip_covering", job.strip.as_ref().map(|s| &s.covering.words))
        .yes("strip_taken_away", job.strip.as_ref().is_some_and(|s| s.tip.by_firm))
        .yes("new_deck", any(DeckAction::New))
        .yes("overlay_deck", any(DeckAction::Overlay))
        .yes("keep_deck", any(DeckAction::Keep))
        .yes("new_insulation", worked.take_off.roofs.iter().any(|layout| layout.over.is_some()))
        .yes("walls", edge(Finish::Wall))
        .yes("flashed", flashes_walls(worked.job))
        .yes("gutters_back", job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.gutter.is_some())))
        .yes("asbestos_may_be", job.asbestos != Answer::No)
        .yes("asbestos_known", job.asbestos == Answer::Yes)
        .text("included", included(worked))
        .texts("excluded", &exclusions(worked))
        .texts("not_answered", &capitals(forced(worked, |a| a == Forced::Unanswered)))
        .texts("notes", &job.notes)
        .texts("needs", &firm.needs)
        .texts("terms", &firm.terms)
        .texts("payment", &firm.payment.iter().map(|l| wording::sentence(l)).collect::<Vec<_>>());
}

fn money(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let pricing = worked.pricing;
    v.text("total", wording::money(pricing.total))
        .yes("vat", worked.terms.vat.registered)
        .yes("rot_rates", !pricing.rot_rates.is_empty())
        .yes("stages", pricing.stages.len() > 1)
        .maybe("one_payment", one_payment(worked))
        .yes("photographed", !worked.photos.is_empty())
        .yes("offers", offers::any(worked))
        .yes("offers_to_tick", offers::any_to_tick(worked))
        .maybe("deposit", deposit(worked).map(wording::money));
}

/// When the only payment is due.
fn one_payment<'a>(worked: &WholeJob<'a>) -> Option<&'a str> {
    match worked.pricing.stages.as_slice() {
        [only] => Some(&only.label),
        _ => None,
    }
}

/// The first of several payments.
fn deposit(worked: &WholeJob<'_>) -> Option<Money> {
    let stages = &worked.pricing.stages;
    stages.first().filter(|_| stages.len() > 1).map(|s| s.amount)
}

fn programme(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let days = &worked.programme.days;
    let date = |day: Option<&Day>| day.and_then(|d| d.date).map(wording::day_and_date);
    v.yes("days_known", !days.is_empty())
        .text("days", wording::plural(days.len(), "working day", "working days"))
        .maybe("first_day", date(days.first()))
        .maybe("last_day", date(days.last()))
        .texts("day_lines", &days.iter().map(|d| day_chart::day_in_words(worked.programme, d)).collect::<Vec<_>>());
}

/// Whether the firm cuts a flashing in at any wall round a roof.
fn flashes_walls(job: &Job) -> bool {
    let cut_in = |r: &Roof| r.outline.edges.iter().filter_map(|e| e.flashing).any(Flashing::is_cut_in);
    job.flashing == By::Us && job.roofs.iter().any(cut_in)
}

/// The forced questions that are answered so, in words, as far as they are for the householder.
fn forced(worked: &WholeJob<'_>, is: impl Fn(Forced) -> bool) -> Vec<String> {
    let asked = Access::all().filter(|question| question.is_for_the_householder());
    asked.filter(|question| is(worked.job.answer(*question))).map(|question| question.words().to_owned()).collect()
}

fn capitals(texts: Vec<String>) -> Vec<String> {
    texts.iter().map(|text| wording::capital(text)).collect()
}

/// What is in the price besides the roof: the job's extras, and what was answered with yes.
fn included(worked: &WholeJob<'_>) -> String {
    let yes = forced(worked, |a| matches!(a, Forced::Yes | Forced::Sum));
    let all: Vec<String> = worked.pricing.extras.iter().cloned().chain(yes).collect();
    wording::capital(&all.join("; "))
}

/// The standing list, the job's own, and what was answered with no.
fn exclusions(worked: &WholeJob<'_>) -> Vec<String> {
    let mut all = capitals(forced(worked, |a| a == Forced::No));
    let walls = worked.job.roofs.iter().flat_map(|r| &r.outline.edges).any(|e| e.finish == Finish::Wall);
    if worked.job.flashing == By::Others && walls {
        all.push("The cover flashing at the wall: others fit it".to_owned());
    }
    all.extend(worked.job.exclusions.iter().chain(&worked.firm.exclusions).cloned());
    wording::once(all)
}

fn roof_vocabulary(worked: &WholeJob<'_>, layout: &RoofLayout, roof: &Roof, index: usize) -> Vocabulary {
    let mut v = letterhead::vocabulary(worked);
    told::works(&mut v, &worked.take_off.works, Some(layout.shape.index));
    let edges = |f: Finish| edges_of(layout, f);
    v.text("roof_name", &roof.name)
        .text("roof_number", (index + 1).to_string())
        .yes("many_roofs", worked.job.roofs.len() > 1)
        .text("roof_area", wording::square_metres(layout.shape.area))
        .text("fall", roof.fall.to_string())
        .text("falls_to", &roof.falls_to)
        .text("drip_edges", edges(Finish::Drip))
        .text("raised_edges", edges(Finish::Raised))
        .text("wall_edges", edges(Finish::Wall))
        .text("step_edges", edges(Finish::Step))
        .text("flashings", flashings(worked.job.flashing, layout, roof))
        .text("chimney_flashing", chimney_flashing(worked.job.flashing, roof))
        .text("gutters", gutters(roof))
        .yes("outlet", roof.outlet.is_some());
    deck_words(&mut v, worked, roof, layout);
    insulation_words(&mut v, roof, layout);
    opening_words(&mut v, layout);
    finish_words(&mut v, roof);
    v
}

const BY_OTHERS: &str = "Others fit the cover flashing; until then the joint is sealed for a time only.";

/// What covers the fillet at the walls, in whole sentences: one where all walls are alike, else one for each kind.
fn flashings(by: By, layout: &RoofLayout, roof: &Roof) -> String {
    if by == By::Others {
        return BY_OTHERS.to_owned();
    }
    let walls = || roof.outline.edges.iter().zip(&layout.shape.sides).filter(|(e, _)| e.finish == Finish::Wall);
    let at = |kind: Flashing| -> Vec<String> {
        walls().filter(|(e, _)| e.flashing == Some(kind)).map(|(_, side)| side.label.clone()).collect()
    };
    let kinds: Vec<(Flashing, Vec<String>)> =
        Flashing::ALL.into_iter().map(|kind| (kind, at(kind))).filter(|(_, walls)| !walls.is_empty()).collect();
    let sentence = |(kind, walls): &(Flashing, Vec<String>)| match kinds.len() {
        1 => wording::capital(&format!("{}.", kind.at_a_wall())),
        _ => format!("At the {} {}.", wording::list(walls), kind.at_a_wall()),
    };
    kinds.iter().map(sentence).collect::<Vec<_>>().join(" ")
}

fn chimney_flashing(by: By, roof: &Roof) -> String {
    match by {
        By::Others => BY_OTHERS.to_owned(),
        By::Us => wording::capital(&format!("{}.", roof.chimney_flashing().at_a_chimney())),
    }
}

fn deck_words(v: &mut Vocabulary, worked: &WholeJob<'_>, roof: &Roof, layout: &RoofLayout) {
    let board = roof.deck.board.as_ref().and_then(|key| worked.products.boards.get(key));
    v.yes("strip", worked.job.strip.is_some())
        .maybe("strip_covering", worked.job.strip.as_ref().map(|s| &s.covering.words))
        .maybe("strip_away", worked.job.strip.as_ref().map(|s| &s.tip.words))
        .yes("deck_new", roof.deck.action == DeckAction::New)
        .yes("deck_overlay", roof.deck.action == DeckAction::Overlay)
        .yes("deck_keep", roof.deck.action == DeckAction::Keep)
        .maybe("board", board.map(|b| b.thickness.to_string()))
        .yes("firrings", !layout.firrings.is_empty());
}

/// What a warm roof has over its deck.
fn insulation_words(v: &mut Vocabulary, roof: &Roof, layout: &RoofLayout) {
    let overlay = roof.build_up.as_ref().filter(|_| layout.over.is_some()).and_then(|b| b.overlay.as_ref());
    v.yes("insulated", layout.over.is_some())
        .yes("vapour", layout.over.as_ref().is_some_and(|o| !o.vapour.is_empty()))
        .maybe("insulation", insulation(roof, layout))
        .maybe("overlay", overlay.map(wording::thickness))
        .text("raised_by", over_deck::height(roof).to_string());
}

/// `140 mm of rigid foam`: the insulation over the deck.
fn insulation(roof: &Roof, layout: &RoofLayout) -> Option<String> {
    let board = roof.build_up.as_ref().filter(|_| layout.over.is_some())?.insulation.as_ref()?;
    Some(format!("{} of {}", wording::thickness(&board.sheet), board.sheet.name))
}

fn opening_words(v: &mut Vocabulary, layout: &RoofLayout) {
    let of = |is: &dyn Fn(&crate::takeoff::layout::shape::HoleShape) -> bool| {
        let words = |h: &crate::takeoff::layout::shape::HoleShape| format!("{} ({})", h.name, roof_plan::hole_size(h));
        wording::list(&layout.shape.holes.iter().filter(|h| is(h)).map(words).collect::<Vec<_>>())
    };
    v.text("openings", of(&|h| h.finish == Finish::Kerb && !h.round))
        .text("chimneys", of(&|h| h.finish == Finish::Wall && !h.round))
        .text("pipes", of(&|h| matches!(h.form, HoleForm::Round { .. })));
}

fn finish_words(v: &mut Vocabulary, roof: &Roof) {
    v.text("mat", roof.laminate.mat.to_string())
        .text("layers", wording::plural(roof.laminate.layers as usize, "layer", "layers"))
        .text("colour", &roof.topcoat.colour)
        .text("surface", &roof.topcoat.finish.words)
        .yes("grains", roof.topcoat.finish.aggregate.is_some());
}

/// `the front (5.20 m) and the bay (0.90 m)`; empty where no side has the finish.
fn edges_of(layout: &RoofLayout, finish: Finish) -> String {
    let words = |s: &crate::takeoff::layout::shape::Side| format!("{} ({})", s.label, wording::metres(s.run));
    wording::list(&layout.shape.sides.iter().filter(|s| s.finish == finish).map(words).collect::<Vec<_>>())
}

fn gutters(roof: &Roof) -> String {
    let words = |g: &crate::model::shape::Gutter| format!("{} {}", g.shape, g.size);
    wording::list(&wording::once(roof.outline.edges.iter().filter_map(|e| e.gutter.as_ref()).map(words)))
}

// ---- Places ------------------------------------------------------------------------------------------------------

fn places(worked: &WholeJob<'_>) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(worked));
    put("price", headline(worked));
    put("prices", Block::Table(prices(worked)));
    put("stages", Block::Table(stages(worked)));
    put("photos", photos(worked));
    put("rot-rates", Block::Table(rot_rates(worked)));
    put("choices", Block::Table(choices(worked)));
    if let Some(chart) = day_chart::draw_plain(worked.programme, Space::THIRD_PAGE) {
        put("day-chart", Block::Figure(chart));
    }
    put("checks", Block::Table(findings::table(worked, &findings::of(worked, &CHECKED))));
    let offered = [("offers", offers::tables(worked)), ("offer-ticks", offers::ticks(worked))];
    let space = match worked.job.roofs.len() {
        1 => Space::HALF_PAGE,
        2 => Space::THIRD_PAGE,
        _ => Space::QUARTER_PAGE,
    };
    for (i, layout) in worked.take_off.roofs.iter().enumerate() {
        if let Some(roof) = worked.job.roofs.get(layout.shape.index) {
            let figure = roof_plan::draw(layout, roof, Audience::Householder, space);
            put(&format!("roof-plan-{}", i + 1), Block::Figure(figure));
        }
    }
    places.extend(offered.map(|(name, blocks)| (name.to_owned(), blocks)));
    places
}

fn facts(worked: &WholeJob<'_>) -> Block {
    let job = worked.job;
    let mut facts = vec![
        ("For".to_owned(), cell(&job.customer.name)),
        ("Work at".to_owned(), cell(job.site.address.join(", "))),
        ("Date".to_owned(), cell(wording::date(worked.date))),
    ];
    if let Some(start) = worked.first_day() {
        facts.push(("We can start".to_owned(), cell(wording::day_and_date(start))));
    }
    facts.push(("Price stands until".to_owned(), strong(wording::date(job.valid_until()))));
    Block::Facts(facts)
}

fn headline(worked: &WholeJob<'_>) -> Block {
    let (label, note) = match worked.terms.vat.registered {
        true => (
            "Total price, VAT included",
            "A fixed price for the work described here. How it is made up stands on the pages that follow.",
        ),
        false => {
            ("Total price", "A fixed price for the work described here. We are not registered for VAT: none is added.")
        }
    };
    Block::Headline { label: label.to_owned(), figure: wording::money(worked.pricing.total), note: note.to_owned() }
}

/// What the householder pays, line by line, down to the total.
fn prices(worked: &WholeJob<'_>) -> Table {
    let pricing = worked.pricing;
    let registered = worked.terms.vat.registered;
    let mut rows: Vec<_> = pricing
        .lines
        .iter()
        .map(|l| plain(vec![cell(wording::capital(&l.label)), cell(wording::money(l.net))]))
        .collect();
    if registered {
        rows.push(plain(vec![cell("All work, before VAT"), cell(wording::money(pricing.net))]));
        for vat in &pricing.vat {
            let label = format!("VAT at {}% on {}", wording::number(vat.rate), wording::money(vat.net));
            rows.push(plain(vec![cell(label), cell(wording::money(vat.vat))]));
        }
    }
    let total = if registered { "Total to pay, VAT included" } else { "Total to pay" };
    rows.push(row(RowKind::Total, vec![strong(total), strong(wording::money(pricing.total))]));
    Table { columns: vec![wide("What", 1), right("Amount")], rows, header: true }
}

fn stages(worked: &WholeJob<'_>) -> Table {
    let pricing = worked.pricing;
    let mut rows: Vec<_> = pricing
        .stages
        .iter()
        .map(|s| plain(vec![cell(wording::capital(&s.label)), cell(due(s)), cell(wording::money(s.amount))]))
        .collect();
    rows.push(row(RowKind::Total, vec![strong("All payments"), cell(""), strong(wording::money(pricing.total))]));
    let mut columns = vec![wide("When", 1), left("About"), right("How much")];
    if pricing.stages.iter().all(|s| s.due.is_none()) {
        columns.remove(1);
        rows.iter_mut().for_each(|r| drop(r.cells.remove(1)));
    }
    Table { columns, rows, header: true }
}

/// The day that the programme gives for a stage; nothing where it gives none.
fn due(stage: &crate::pricing::Stage) -> String {
    stage.due.map(wording::date).unwrap_or_default()
}

/// The photographs two by two, each with its caption.
fn photos(worked: &WholeJob<'_>) -> Block {
    let one = |photo: &Photo| {
        let caption = photo.caption.clone().unwrap_or_default();
        let alt = if caption.is_empty() { format!("Photograph {}", photo.picture.name) } else { caption.clone() };
        Block::Photo { picture: photo.picture.clone(), caption, alt }
    };
    let rows = worked.photos.chunks(2).map(|pair| {
        let mut columns: Vec<Vec<Block>> = pair.iter().map(|photo| vec![one(photo)]).collect();
        columns.resize(2, Vec::new());
        Block::Columns(columns)
    });
    Block::Keep(rows.collect())
}

fn rot_rates(worked: &WholeJob<'_>) -> Table {
    let rate = |rate: &RotRate| {
        plain(vec![
            cell(wording::capital(&rate.label)),
            cell(wording::money(rate.total)),
            cell(format!("per {}", rate.unit.replace("m2", "m²"))),
        ])
    };
    let heading = if worked.terms.vat.registered { "Rate, VAT included" } else { "Rate" };
    let rows = worked.pricing.rot_rates.iter().map(rate).collect();
    Table { columns: vec![wide("What", 1), right(heading), left("")], rows, header: true }
}

/// What the householder has chosen: one row for each answer, with the roofs it is for where they differ.
fn choices(worked: &WholeJob<'_>) -> Table {
    let roofs = &worked.job.roofs;
    let mut answers: Vec<(&str, String, Vec<String>)> = Vec::new();
    for (name, (what, choice)) in roofs.iter().flat_map(|r| choices_of(worked, r).into_iter().map(|c| (&r.name, c))) {
        match answers.iter_mut().find(|(w, c, _)| *w == what && *c == choice) {
            Some((.., names)) => names.push(name.clone()),
            None => answers.push((what, choice, vec![name.clone()])),
        }
    }
    answers.sort_by_key(|(what, ..)| CHOICES.iter().position(|c| c == what));
    let row = |(what, choice, names): &(&str, String, Vec<String>)| {
        plain(vec![cell(*what), cell(format!("{choice}{}", whose(names, roofs.len())))])
    };
    Table {
        columns: vec![left("Choice"), wide("Priced here", 1)],
        rows: answers.iter().map(row).collect(),
        header: true,
    }
}

/// The roofs that a choice is for, where it is not for all of them: by name while page one has room for the names.
fn whose(names: &[String], of: usize) -> String {
    match names.len() {
        all if all == of => String::new(),
        1..=2 => format!(" ({})", wording::list(names)),
        many => format!(" ({many} of the {of} roofs)"),
    }
}

/// What is chosen for a roof, in the order of the table.
const CHOICES: [&str; 5] = ["Colour", "Surface", "Glass fibre", "Deck", "Insulation"];

fn choices_of(worked: &WholeJob<'_>, roof: &Roof) -> Vec<(&'static str, String)> {
    let layers = wording::plural(roof.laminate.layers as usize, "layer", "layers");
    let insulation = worked.take_off.roofs.iter().find(|l| l.shape.name == roof.name).and_then(|l| insulation(roof, l));
    let mut choices = vec![
        ("Colour", wording::capital(&roof.topcoat.colour)),
        ("Surface", wording::capital(&roof.topcoat.finish.words)),
        ("Glass fibre", format!("{layers} of {} g/m² mat", roof.laminate.mat)),
        ("Deck", deck_choice(worked, roof)),
    ];
    choices.extend(insulation.map(|board| ("Insulation", format!("{board} over the deck"))));
    choices
}

fn deck_choice(worked: &WholeJob<'_>, roof: &Roof) -> String {
    let board = roof.deck.board.as_ref().and_then(|key| worked.products.boards.get(key));
    let thick = board.map_or_else(String::new, |b| format!("{} ", b.thickness));
    match roof.deck.action {
        DeckAction::New => format!("New {thick}boards on your joists"),
        DeckAction::Overlay => format!("New {thick}boards over your present deck"),
        DeckAction::Keep => "Your present deck stays".to_owned(),
    }
}
