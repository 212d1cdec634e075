//! The quote, for the householder: what, how much, how long, guaranteed by whom, and how to accept; then the detail.
//!
//! Given the householder's view of a job; gives a document. Of the money the view holds only what the householder pays:
//! a cost, a margin, an hour or a merchant's price cannot be reached from here.

use super::cells::{cell, in_rows, left, plain, right, row, strong, wide};
use super::drawings::one_key::KeyParts;
use super::drawings::peeled::{self, PeeledLayer, SmallRoof};
use super::drawings::plan_scale::{PT_PER_MM, PlanScale, SCALES};
use super::drawings::several::at_one_scale;
use super::drawings::{Space, day_chart};
use super::drawings::{patch_plan, roof_plan};
use super::letterhead::{self, Title};
use super::quote_foot::{self, Feet, Foot, FootPlace, layers_of, photo};
use super::said_once::{self, DifferingTable, RoofWords, SaidOnce};
use super::views::{OldRoofView, QuoteView, QuotedPrice, RoofView};
use super::words::{Vocabulary, Words};
use super::{edge_words, findings, guarantee, kerb_goods, offers, old_roof_words, told, wording};
use crate::checks::finding::{Finding, Subject, Verdict};
use crate::checks::rainwater;
use crate::model::goods::Goods;
use crate::model::job::{Answer, By, Forced};
use crate::model::shape::{DeckAction, Edge, Gutter, HoleForm};
use crate::model::words::the;
use crate::model::{Access, Cover, Finish, Flashing, Photo, Problem, RoofFall};
use crate::pages::block::{Block, Closer, Column, Document, Figure, Fitting, RowKind, Table};
use crate::pages::fitting::TriedDocuments;
use crate::pages::links;
use crate::pages::masthead::TEXT;
use crate::pages::page::{Item, Page};
use crate::pricing::{Money, OptionTotals, RotRate};
use crate::programme::timetable::DayOnSite;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::{HoleShape, Side};
use crate::takeoff::layout::timber::KeptKerb;
use std::collections::BTreeMap;
use time::Date;

/// What the householder hears of the checks.
const CHECKED: [Subject; 5] = [Subject::Water, Subject::Heat, Subject::Air, Subject::Fire, Subject::Use];

/// Makes the quote.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn document(view: &QuoteView<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let said = said(view, words)?;
    let (plans, common) = (plans_of(view, &said), CommonParts::of(view, &said));
    let parts = QuoteParts { view, words, said: &said, plans, common };
    let mut trial = FootTrial::of(&parts);
    let mut quote = match trial.foot(TEXT_SIZE) {
        Ok(foot) => with_foot(&parts, foot)?,
        // Every fault of the words is told at once.
        Err(mut problems) => {
            let others = with_foot(&parts, None).err().unwrap_or_default();
            let others: Vec<Problem> = others.into_iter().filter(|other| !problems.contains(other)).collect();
            problems.extend(others);
            return Err(problems);
        }
    };
    let wide = |foot: &Foot| foot.outline.is_none_or(|wide| wide >= quote_foot::WIDE_ENOUGH);
    if quote.foot.as_ref().is_some_and(|foot| wide(foot) || !trial.tried.is_longer(&quote.document, PAGES)) {
        return Ok(quote.document);
    }
    // A long offer is set closer, and its first page then has room for more; one whose page one has no room for a plan, too.
    for size in CLOSER_SIZES {
        let outline = |foot: &Option<Foot>| foot.as_ref().and_then(|foot| foot.outline).unwrap_or(0.0);
        let larger = trial.foot(size)?.filter(|foot| foot.outline.is_none_or(|wide| wide > outline(&quote.foot)));
        let Some(larger) = larger else { continue };
        let mut closer = with_foot(&parts, Some(larger))?;
        if closer.foot.as_ref().is_some_and(|foot| keeps_to_its_pages(&mut trial.tried, &mut closer.document, foot)) {
            return Ok(closer.document);
        }
    }
    if quote.foot.is_none() && !has_many_choices(view, &said) {
        let size = trial.tried.size_set_closer(&mut quote.document);
        if let Some(layers) = trial.layers_alone(size)? {
            let mut larger = with_foot(&parts, Some(layers))?;
            let (tried, made) = (&mut trial.tried, &mut larger.document);
            let keeps = |foot: &Foot| keeps_to_its_pages(tried, made, foot) || !tried.is_longer(made, PAGES);
            if larger.foot.as_ref().is_some_and(keeps) {
                return Ok(larger.document);
            }
        }
    }
    Ok(quote.document)
}

/// What every layout of a quote has, whatever stands in the foot of its first page.
struct CommonParts {
    vocabulary: Vocabulary,
    places: BTreeMap<String, Vec<Block>>,
}

impl CommonParts {
    fn of(view: &QuoteView<'_>, said: &SaidOnce) -> CommonParts {
        CommonParts { vocabulary: common_vocabulary(view, said), places: common_places(view, said) }
    }

    /// The names and places of a quote with such a foot.
    fn with(
        &self,
        (view, said): (&QuoteView<'_>, &SaidOnce),
        plans: Plans,
        foot: Option<&Foot>,
    ) -> (Vocabulary, BTreeMap<String, Vec<Block>>) {
        let mut places = self.places.clone();
        put_places(&mut places, (view, said), plans, foot);
        (vocabulary_with(self.vocabulary.clone(), view, foot), places)
    }
}

/// What a quote is made of.
struct QuoteParts<'v, 'j> {
    view: &'v QuoteView<'j>,
    words: &'v Words,
    said: &'v SaidOnce,
    plans: Plans,
    common: CommonParts,
}

/// Page one with what may stand in its foot, by the heights of what stands on it.
struct FootTrial<'v, 'j> {
    parts: &'v QuoteParts<'v, 'j>,
    feet: Feet<'v>,
    /// Page one with each foot that was tried.
    pages: Vec<Document>,
    tried: TriedDocuments,
}

impl<'v, 'j> FootTrial<'v, 'j> {
    fn of(parts: &'v QuoteParts<'v, 'j>) -> FootTrial<'v, 'j> {
        let tried = TriedDocuments::in_fonts(parts.words.fonts());
        FootTrial { parts, feet: Feet::of(parts.view), pages: Vec::new(), tried }
    }

    /// What stands in the foot of page one: the first that leaves all of the page on one in such a size.
    fn foot(&mut self, size: f64) -> Result<Option<Foot>, Vec<Problem>> {
        let FootTrial { parts, feet, pages, tried } = self;
        let QuoteParts { view, said, .. } = parts;
        if has_many_choices(view, said) {
            return Ok(None);
        }
        let mut place = 0;
        while let Some(foot) = feet.at(place) {
            if pages.len() == place {
                pages.push(page_one_with(parts, foot, size)?);
            }
            // In this size of type: a page with a line or two over is set smaller.
            pages[place].text_size = size;
            if tried.pages(&pages[place]) == 1 {
                return Ok(Some(foot.clone()));
            }
            place += 1;
        }
        Ok(None)
    }

    /// The layers alone in its foot, as large as leaves all of the page on one.
    fn layers_alone(&mut self, size: f64) -> Result<Option<Foot>, Vec<Problem>> {
        for foot in quote_foot::layers_alone(self.parts.view) {
            if self.tried.pages(&page_one_with(self.parts, &foot, size)?) == 1 {
                return Ok(Some(foot));
            }
        }
        Ok(None)
    }
}

/// Page one of a quote with what stands in its foot.
fn page_one_with(parts: &QuoteParts<'_, '_>, foot: &Foot, size: f64) -> Result<Document, Vec<Problem>> {
    let QuoteParts { view, words, said, common, .. } = parts;
    let (vocabulary, places) = common.with((view, said), Plans::new(), Some(foot));
    let blocks = words.blocks("quote-page-one.md", &vocabulary, &places)?;
    letterhead::standing_document(view.parties, title(view, size), blocks, words)
}

/// A quote, and what stands in the foot of its first page.
struct QuoteWithFoot {
    document: Document,
    foot: Option<Foot>,
}

fn with_foot(parts: &QuoteParts<'_, '_>, foot: Option<Foot>) -> Result<QuoteWithFoot, Vec<Problem>> {
    let QuoteParts { view, words, said, plans, common } = parts;
    let laid = |plans: Plans, foot: Option<&Foot>| {
        let (vocabulary, places) = common.with((view, said), plans, foot);
        words.blocks("quote.md", &vocabulary, &places)
    };
    let mut blocks = laid(plans.clone(), foot.as_ref())?;
    // The firm's own words may have no foot: then the plan stands where the work is told.
    let has_foot = foot.is_some();
    let foot = foot.filter(|foot| shows(&blocks, &foot.picture));
    if has_foot && foot.is_none() {
        blocks = laid(plans.clone(), None)?;
    }
    let smaller = match &foot {
        Some(Foot { plan_of: Some(_), .. }) => None,
        _ => closer_plans(view, plans, said),
    };
    let smaller = smaller.map(|plans| laid(plans, foot.as_ref())).transpose()?.map(links::blocks);
    let closer = Some(Closer { pages: PAGES, least: LEAST_SIZE, blocks: smaller, found: None });
    let document = letterhead::standing_document(view.parties, title(view, TEXT_SIZE), blocks, words)?;
    Ok(QuoteWithFoot { document: Document { closer, ..document }, foot })
}

/// Whether an offer that is set closer stands on its pages, what is in the foot of the first one on that; if so, it is told in which
/// setting.
fn keeps_to_its_pages(tried: &mut TriedDocuments, quote: &mut Document, foot: &Foot) -> bool {
    let drawn = figures(&foot.picture);
    let shown = |page: &Page| {
        let is_shown = |of: &Figure| {
            page.marks.iter().any(|mark| matches!(&mark.item, Item::Drawing { scene, .. } if **scene == *of.scene))
        };
        !drawn.is_empty() && drawn.iter().all(|figure| is_shown(figure))
    };
    let pages = tried.set_closer(quote);
    pages.is_some_and(|pages| pages.len() <= PAGES && pages.first().is_some_and(shown))
}

/// The size of a quote's running text, and those of a long one for which its first page is made, pt.
const TEXT_SIZE: f64 = 10.0;
const CLOSER_SIZES: [f64; 2] = [9.4, LEAST_SIZE];

fn title(view: &QuoteView<'_>, text_size: f64) -> Title {
    Title {
        kind: "Quote",
        reference: format!("Quote {}", view.parties.reference),
        subject: format!("Quotation for a glass-fibre flat roof for {}", view.parties.customer.name),
        text_size,
        fitting: Fitting::AsSet,
    }
}

/// What was chosen for the one roof of a job, in a few lines.
fn chosen_in_words(view: &QuoteView<'_>) -> String {
    let new = view.roofs.iter().flat_map(choices_of);
    let all = new.chain(view.old_roofs.iter().flat_map(choices_of_old));
    // What stays as it is can be said of several things: then they are named.
    let one = |(what, choice): (&str, String)| match view.old_roofs.is_empty() {
        true => wording::within(&choice),
        false => format!("{}: {}", wording::within(what), wording::within(&choice).replace("; ", ", ")),
    };
    format!("{}.", all.map(one).collect::<Vec<_>>().join("; "))
}

/// The figures of a block and of what stands in it.
fn figures(block: &Block) -> Vec<&Figure> {
    match block {
        Block::Figure(figure) => vec![figure],
        other => other.within().into_iter().flatten().flat_map(figures).collect(),
    }
}

/// Whether a block stands among others, or in one of them.
fn shows(blocks: &[Block], shown: &Block) -> bool {
    blocks.iter().any(|block| block == shown || block.within().into_iter().any(|part| shows(part, shown)))
}

/// The pages of a quote: four of the offer, and three of what the law wants. It is set closer where its offer would take more.
const PAGES: usize = 7;
/// A list of more choices goes on over a page; a shorter one stands beside what is said in short.
const MANY_CHOICES: usize = 10;
/// The least size of a quote's running text, pt; its notes are smaller, and no type is smaller than
/// [`super::drawings::LEAST_SIZE`].
pub const LEAST_SIZE: f64 = 9.0;

// ---- Words -------------------------------------------------------------------------------------------------------

/// Every name that the quote's template may use.
///
/// # Errors
/// Whatever is wrong with the templates of its parts.
pub(super) fn vocabulary(view: &QuoteView<'_>, words: &Words) -> Result<Vocabulary, Vec<Problem>> {
    Ok(vocabulary_with(common_vocabulary(view, &said(view, words)?), view, None))
}

/// What is said of each roof, and what of several.
fn said(view: &QuoteView<'_>, words: &Words) -> Result<SaidOnce, Vec<Problem>> {
    let new = view.roofs.iter().enumerate();
    let new = new.map(|(i, roof)| words.fill("quote-roof.md", &roof_vocabulary(view, roof, i)));
    let old = view.old_roofs.iter().enumerate();
    let old = old.map(|(i, roof)| words.fill("quote-old-roof.md", &old_roof_vocabulary(view, roof, i)));
    let mut said = said_once::of(&new.collect::<Result<Vec<_>, _>>()?);
    // The plan of a roof that stays has its patches, which want room: it stands beside the words for them.
    said.roofs.extend(old.collect::<Result<Vec<_>, _>>()?.into_iter().map(RoofWords::Told));
    Ok(said)
}

/// Every name but those of page one's foot.
fn common_vocabulary(view: &QuoteView<'_>, said: &SaidOnce) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    told::works(&mut v, view.works, None);
    v.facts();
    page_one(&mut v, view);
    scope(&mut v, view);
    money(&mut v, view);
    days(&mut v, view);
    let checked = checked(view);
    v.yes("heat_checked", checked.iter().any(|f| f.kind == Subject::Heat))
        .yes("flow_told", checked.iter().any(|f| f.statement.contains("l/s")))
        .yes("checks", !checked.is_empty())
        .texts("low_upstands", &findings::low_upstands(view.findings, view.roofs.len() > 1))
        .texts("cautions", &findings::cautions(&checked));
    v.filled("alike", &said.alike)
        .maybe("alike_on", of_few(view))
        .yes("more_than_few", all_roofs(view) > said_once::FEW_ROOFS)
        .yes("differing", said.table.is_some())
        .yes("edges_drawn", said.edges_drawn)
        .yes("chosen_by_roof", chosen_by_roof(said))
        .filled("roofs", &roofs_in_words(&said.roofs))
        .yes("many_choices", has_many_choices(view, said));
    v.text("chosen", chosen_in_words(view));
    v
}

/// The same with those.
fn vocabulary_with(mut v: Vocabulary, view: &QuoteView<'_>, foot: Option<&Foot>) -> Vocabulary {
    let stands = |place: FootPlace| foot.is_some_and(|foot| foot.place == place);
    v.yes("foot_beside", stands(FootPlace::Beside))
        .yes("foot_over", stands(FootPlace::Over))
        .yes("foot_layers", stands(FootPlace::Layers) && all_roofs(view) == 1)
        .yes("foot_roofs", stands(FootPlace::Layers) && all_roofs(view) > 1)
        .yes("foot_drawn", foot.is_some_and(|foot| foot.place != FootPlace::Layers))
        .yes("foot_plain", foot.is_none() && all_roofs(view) == 1)
        .yes("foot_across", stands(FootPlace::Across))
        .yes("photographed", !photos_further_on(view, foot).is_empty());
    v
}

/// Whether what was chosen takes a list that goes on over a page.
fn has_many_choices(view: &QuoteView<'_>, said: &SaidOnce) -> bool {
    !chosen_by_roof(said) && choices(&view.roofs, &view.old_roofs).rows.len() > MANY_CHOICES
}

/// The photographs that do not stand on page one.
fn photos_further_on<'a>(view: &QuoteView<'a>, foot: Option<&Foot>) -> &'a [Photo] {
    let on_page_one = foot.is_some_and(|foot| matches!(foot.picture, Block::Photo { .. }));
    &view.photos[usize::from(on_page_one)..]
}

/// The roofs that what is alike is said of, where they are few and each is told by itself.
fn of_few(view: &QuoteView<'_>) -> Option<String> {
    let kind = if view.old_roofs.is_empty() { "roofs" } else { "new roofs" };
    match view.roofs.len() {
        2 => Some(format!("both {kind}")),
        few if few <= said_once::FEW_ROOFS => Some(format!("all {kind}")),
        _ => None,
    }
}

/// Whether a table of the roofs tells what was chosen for each, so that page one need not.
const fn chosen_by_roof(said: &SaidOnce) -> bool {
    said.edges_drawn && said.table.is_some()
}

/// The plans of the roofs of which all is said; then what is said of the others alone.
fn roofs_in_words(roofs: &[RoofWords]) -> String {
    let plans = if plans_alone(roofs).is_empty() { "" } else { "```figure plans-alone\n```\n\n" };
    let told = roofs.iter().filter_map(|roof| match roof {
        RoofWords::Told(words) => Some(format!("{words}\n\n")),
        RoofWords::Plan(_) => None,
    });
    std::iter::once(plans.to_owned()).chain(told).collect()
}

/// The roofs of which all is said but their plans, by the names of these.
fn plans_alone(roofs: &[RoofWords]) -> Vec<&str> {
    let mut plans = Vec::new();
    for roof in roofs {
        if let RoofWords::Plan(name) = roof {
            plans.push(name.as_str());
        }
    }
    plans
}

/// What differs in what is said of several roofs, a row for each.
fn differing(table: &DifferingTable) -> Block {
    let columns = [left("Roof"), right("Area")].into_iter();
    let longest = |place: usize| table.rows.iter().map(|[_, own]| own[place].chars().count()).max().unwrap_or(0);
    let column = |(place, heading): (usize, &String)| wide(heading, (longest(place) / SHORT).clamp(1, 4) as u8);
    let columns: Vec<Column> = columns.chain(table.headings.iter().enumerate().map(column)).collect();
    let row =
        |cells: &[Vec<String>; 2]| plain(cells.concat().iter().map(|words| cell(wording::on_a_line(words))).collect());
    let of = |rows: &[[Vec<String>; 2]]| {
        Block::Table(Table { columns: columns.clone(), rows: rows.iter().map(row).collect(), header: true })
    };
    match columns.len() <= NARROW_COLUMNS && table.rows.len() >= MANY_ROWS {
        true => Block::Columns(table.rows.chunks(table.rows.len().div_ceil(2)).map(|half| vec![of(half)]).collect()),
        false => of(&table.rows),
    }
}

/// A table of so few columns and so many rows stands in two halves beside one another.
const NARROW_COLUMNS: usize = 4;
const MANY_ROWS: usize = 6;

/// A column of words no longer than twice these letters takes one share of the width, one of longer words more.
const SHORT: usize = 12;

/// What was checked for the householder.
fn checked<'a>(view: &QuoteView<'a>) -> Vec<&'a Finding> {
    findings::of(view.findings, &CHECKED)
}

fn page_one(v: &mut Vocabulary, view: &QuoteView<'_>) {
    let (roofs, firm) = (&view.roofs, view.parties.firm);
    let area = roofs.iter().map(|r| r.layout.shape.area).sum();
    v.text("area", wording::square_metres(area))
        .yes("start_within", early_until(view).is_some())
        .yes("loads_by_days", view.loads_by_days)
        .maybe("time_over", early_until(view).filter(|_| !view.loads_by_days).map(wording::date))
        .yes("many_new_roofs", roofs.len() > 1)
        .text("new_roof_count", wording::plural(roofs.len(), "new glass-fibre roof", "new glass-fibre roofs"))
        .yes("many_roofs", all_roofs(view) > 1)
        .text("colours", wording::list(&wording::once(roofs.iter().map(|r| r.colour.to_owned()))))
        .text("valid_until", wording::date(view.valid_until))
        .text("valid_days", wording::plural(view.valid_days as usize, "day", "days"))
        .text("guarantee_years", wording::plural(firm.guarantee_years as usize, "year", "years"))
        .yes("guaranteed", firm.guarantee_years > 0)
        .text("guarantee", &firm.guarantee)
        .text("repair_years", wording::plural(firm.repair_years as usize, "year", "years"))
        .yes("repair_guaranteed", firm.repair_years > 0)
        .text("repair_guarantee", &firm.repair_guarantee);
    guarantee::terms(v, &firm.guarantee_terms);
    old_roofs(v, view);
}

/// What page one says of the roofs whose laminate stays.
fn old_roofs(v: &mut Vocabulary, view: &QuoteView<'_>) {
    let old = &view.old_roofs;
    let patches: usize = old.iter().map(|r| r.layout.patches.len()).sum();
    let recoated = || old.iter().filter(|r| r.recoat.is_some());
    v.yes("new_roofs", !view.roofs.is_empty())
        .yes("old_roofs", !old.is_empty())
        .text("old_names", wording::list(&old.iter().map(|r| r.name.to_owned()).collect::<Vec<_>>()))
        .yes("patched", patches > 0)
        .yes("several_patches", patches > 1)
        .text("patch_count", wording::plural(patches, "place", "places"))
        .yes("recoated", recoated().next().is_some())
        .text("recoat_area", wording::square_metres(recoated().map(|r| r.layout.area).sum()))
        .text("old_colours", wording::list(&wording::once(old.iter().map(|r| r.colour.to_owned()))));
}

/// Until when the customer may cancel, where work may start before and there is such a right.
fn early_until(view: &QuoteView<'_>) -> Option<Date> {
    view.early_until.filter(|_| view.price.vat_by_customer.is_empty())
}

/// How many roofs the quote tells of, of either kind.
fn all_roofs(view: &QuoteView<'_>) -> usize {
    view.roofs.len() + view.old_roofs.len()
}

fn old_roof_vocabulary(view: &QuoteView<'_>, roof: &OldRoofView<'_>, index: usize) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    told::works_on_old(&mut v, view.works, index);
    v.text("roof_number", (index + 1).to_string()).yes("many_roofs", all_roofs(view) > 1);
    old_roof_words::roof(&mut v, roof);
    v
}

fn scope(v: &mut Vocabulary, view: &QuoteView<'_>) {
    let firm = view.parties.firm;
    let any = |a: DeckAction| view.roofs.iter().any(|r| r.deck == a);
    let parapets = view.roofs.iter().flat_map(|r| &r.layout.shape.sides).filter(|s| s.coped.is_some()).count();
    let strips: Vec<_> = view.roofs.iter().filter_map(|r| r.strip).collect();
    v.yes("strip", !strips.is_empty())
        .text("strip_covering", wording::list(&wording::once(strips.iter().map(|s| s.covering.to_owned()))))
        .maybe("strip_from", some_only(view, |r| r.strip.is_some()))
        .yes("boards_off", strips.iter().any(|s| s.boards))
        .yes("strip_taken_away", strips.iter().all(|s| s.by_firm))
        .maybe("asbestos_at", some_only(view, |r| r.asbestos != Answer::No))
        .yes("new_deck", any(DeckAction::New))
        .maybe("deck_on", some_only(view, |r| r.deck == DeckAction::New))
        .yes("overlay_deck", any(DeckAction::Overlay))
        .maybe("overlay_on", some_only(view, |r| r.deck == DeckAction::Overlay))
        .yes("keep_deck", any(DeckAction::Keep))
        .yes("new_insulation", view.roofs.iter().any(|r| r.layout.over.is_some()))
        .maybe("insulation_on", some_only(view, |r| r.layout.over.is_some()))
        .yes("bare_roofs", view.roofs.iter().any(is_bare))
        .maybe("bare_on", some_only(view, is_bare))
        .yes("bare_joists", view.roofs.iter().any(|r| is_bare(r) && r.deck == DeckAction::New))
        .yes("bare_boards", view.roofs.iter().any(|r| is_bare(r) && r.deck != DeckAction::New))
        .yes("walls", view.edges().any(|e| e.finish == Finish::Wall))
        .yes("flashed", view.roofs.iter().any(flashes_walls))
        .maybe("flashed_on", of_those(view, has_walls, flashes_walls))
        .yes("open_edges", view.edges().any(|e| matches!(e.finish, Finish::Drip | Finish::Raised)))
        .yes("parapets", parapets > 0)
        .yes("several_parapets", parapets > 1)
        .yes("box_gutters", view.edges().any(|e| e.box_gutter.is_some()))
        .yes("overflows", view.roofs.iter().any(|r| r.overflows > 0))
        .yes("openings", view.roofs.iter().any(|r| !r.layout.shape.holes.is_empty()))
        .maybe("openings_on", some_only(view, |r| !r.layout.shape.holes.is_empty()))
        .yes("new_kerbs", view.roofs.iter().any(has_new_kerbs))
        .maybe("new_kerbs_on", of_those(view, |r| !r.layout.shape.holes.is_empty(), has_new_kerbs))
        .yes("scaffold_by_others", view.answer(Access::Scaffold) == Forced::No)
        .yes("gutters_back", view.edges().any(|e| e.gutter.is_some()))
        .yes("several_gutters", view.edges().filter(|e| e.gutter.is_some()).count() > 1)
        .yes("asbestos_may_be", view.asbestos != Answer::No)
        .yes("asbestos_known", view.asbestos == Answer::Yes)
        .text("included", included(view))
        .texts("supplied", &supplied(view.goods))
        .maybe("supplied_fitted", supplied_fitted(view.goods))
        .texts("excluded", &exclusions(view))
        .texts("not_answered", &not_priced(view, Forced::Unanswered))
        .maybe("one_note", only_note(view))
        .texts("notes", view.notes)
        .maybe("to_supply", not_supplied(view))
        .yes("tie_ins", view.edges().any(|e| e.under.is_some()))
        .yes("water_ways", carries_water_away(view))
        .yes("through_a_door", view.roofs.iter().any(|r| r.by_a_door))
        .texts("needs", &firm.needs)
        .texts("awaited", &awaited(view))
        .texts("awaited_ours", &in_our_words(&awaited(view), view.co_signers.is_empty()))
        .texts("terms", &firm.terms)
        .yes("bank", firm.bank.is_some())
        .texts("payment", &firm.payment.iter().map(|l| wording::sentence(l)).collect::<Vec<_>>());
}

fn money(v: &mut Vocabulary, view: &QuoteView<'_>) {
    let (price, alone) = (view.price, view.co_signers.is_empty());
    v.text("total", wording::money(price.total))
        .yes("vat", price.charges_vat)
        .texts("co_signers", view.co_signers)
        .text("first_signer", wording::first_signer(&view.parties.customer.name, view.co_signers))
        .text("we", if alone { "I" } else { "we" })
        .text("We", if alone { "I" } else { "We" })
        .text("our", if alone { "my" } else { "our" })
        .text("Our", if alone { "My" } else { "Our" })
        .yes("reverse_charge", !price.vat_by_customer.is_empty())
        .maybe("vat_reason", price.reason.map(wording::capital))
        .maybe("vat_rate", price.vat.iter().chain(price.vat_by_customer).next().map(|vat| wording::number(vat.rate)))
        .yes("provisional", price.provisional)
        .yes("rot_rates", !price.rot_rates.is_empty())
        .yes("boards_stay", view.old_boards_stay)
        .yes("stages", price.stages.len() > 1)
        .maybe("one_payment", one_payment(price))
        .maybe("retention", price.retention.map(|kept| wording::number(kept.rate)))
        .maybe("retention_until", price.retention.map(|kept| wording::kept_until(kept.until)))
        .yes("offers", offers::any(price))
        .yes("offers_to_tick", offers::any_to_tick(price))
        .yes("option_totals", matches!(price.option_totals, OptionTotals::Each(_)))
        .yes("options_exclude", price.options.iter().any(|option| !option.excludes.is_empty()))
        .yes("options_unlike", matches!(price.option_totals, OptionTotals::Unknown))
        .yes("extras_to_tick", offers::any_extra_to_tick(price))
        .yes("sum_to_write", offers::sum_to_write(price))
        .maybe("deposit", deposit(price).map(wording::money));
}

/// When the only payment is due.
fn one_payment(price: QuotedPrice<'_>) -> Option<&str> {
    match price.stages {
        [only] => Some(&only.label),
        _ => None,
    }
}

/// The first of several payments, without what is kept back of it.
fn deposit(price: QuotedPrice<'_>) -> Option<Money> {
    price.stages.first().filter(|_| price.stages.len() > 1).map(|s| s.amount - kept_back(price, s.amount))
}

/// What the customer keeps back of a payment.
fn kept_back(price: QuotedPrice<'_>, payment: Money) -> Money {
    price.retention.map_or(Money::ZERO, |kept| kept.of(payment))
}

fn days(v: &mut Vocabulary, view: &QuoteView<'_>) {
    let days = &view.timetable.days;
    let date = |day: Option<&DayOnSite>| day.and_then(|d| d.date).map(wording::day_and_date);
    v.yes("days_known", !days.is_empty())
        .text("days", wording::plural(days.len(), "working day", "working days"))
        .maybe("first_day", date(days.first()))
        .maybe("last_day", date(days.last()))
        .yes("comes_back", days.iter().any(|day| view.timetable.is_return(day.number)))
        .yes("open_overnight", view.open_overnight)
        .texts("day_lines", &days.iter().map(|d| day_chart::day_in_words(&view.timetable, d)).collect::<Vec<_>>());
}

/// Whether water leaves a roof by a gutter or an outlet, or may: what hangs at a roof whose laminate stays is not surveyed.
fn carries_water_away(view: &QuoteView<'_>) -> bool {
    let gutters = view.edges().any(|e| e.gutter.is_some() || e.box_gutter.is_some());
    gutters || view.roofs.iter().any(|r| r.outlets > 0) || !view.old_roofs.is_empty()
}

/// Whether the firm cuts a flashing in at any wall round a roof.
fn flashes_walls(roof: &RoofView<'_>) -> bool {
    roof.flashing == By::Us && roof.edges.iter().filter_map(|e| e.flashing).any(Flashing::is_cut_in)
}

fn has_walls(roof: &RoofView<'_>) -> bool {
    roof.edges.iter().any(|e| e.finish == Finish::Wall)
}

fn has_new_kerbs(roof: &RoofView<'_>) -> bool {
    !roof.layout.built_openings(true).is_empty()
}

/// The forced questions that are answered so, in words, as far as they are for the householder.
fn forced(view: &QuoteView<'_>, is: impl Fn(Forced) -> bool) -> Vec<String> {
    let asked = Access::all().filter(|question| question.is_for_the_householder());
    asked
        .filter(|question| is(view.answer(*question)))
        .map(|question| question.words_with(view.beside).to_owned())
        .collect()
}

/// The questions answered so that are not in the price, as far as this job has what they ask about: no render is cut and no tile
/// lifted where no new roof meets a wall or another roof.
fn not_priced(view: &QuoteView<'_>, answer: Forced) -> Vec<String> {
    let chimney = |r: &RoofView<'_>| r.layout.shape.holes.iter().any(|h| h.finish == Finish::Wall && !h.round);
    let at_wall =
        || view.edges().any(|e| matches!(e.finish, Finish::Wall | Finish::Gutter)) || view.roofs.iter().any(chimney);
    let at_roof = || view.edges().any(|e| e.finish == Finish::Step);
    let besides = [(Access::RenderCutting, at_wall()), (Access::DisturbedTiles, at_wall() || at_roof())];
    let not_here: Vec<&str> = besides.iter().filter(|(_, is)| !is).map(|(question, _)| question.words()).collect();
    let mut all = forced(view, |a| a == answer);
    all.retain(|words| !not_here.contains(&words.as_str()));
    all
}

fn capitals(texts: Vec<String>) -> Vec<String> {
    texts.iter().map(|text| wording::capital(text)).collect()
}

/// The note for the job, where there is but one.
fn only_note<'a>(view: &QuoteView<'a>) -> Option<&'a str> {
    match view.notes {
        [only] => Some(only),
        _ => None,
    }
}

/// What is in the price besides the roof: the job's extras, and what was answered with yes.
fn included(view: &QuoteView<'_>) -> String {
    let yes = forced(view, |a| matches!(a, Forced::Yes | Forced::Sum));
    // Hours of its own say that the crew fits it; what is fitted by an extra is told with that.
    let told = |g: &Goods| if g.hours.is_some() { format!("{}, fitted", g.title()) } else { g.title() };
    let bought = view.goods.iter().filter(|g| g.bought().is_some()).map(told);
    let all: Vec<String> = bought.chain(view.price.extras.iter().cloned()).chain(yes).collect();
    // A long name that stands in the table of the price as it is stands there alone.
    let in_the_table =
        |name: &&String| name.chars().count() > LONG && view.price.lines.iter().any(|line| line.label == **name);
    let (priced, named): (Vec<&String>, Vec<&String>) = all.iter().partition(in_the_table);
    let names = named.into_iter().map(|name| wording::within(name));
    let others = (!priced.is_empty()).then(|| "what else stands in the table under “The price”".to_owned());
    names.chain(others).collect::<Vec<_>>().join("; ")
}

/// A name of more letters than these takes more than a line of the table of the price.
const LONG: usize = 60;

/// What the customer supplies.
fn supplied(goods: &[Goods]) -> Vec<String> {
    goods.iter().filter(|g| g.bought().is_none()).map(Goods::title).collect()
}

/// What of the customer's own goods is fitted at our price: `fitting it`, or `fitting the rooflight` of several.
fn supplied_fitted(goods: &[Goods]) -> Option<String> {
    let theirs: Vec<&Goods> = goods.iter().filter(|g| g.bought().is_none()).collect();
    let fitted = theirs.iter().filter(|g| g.hours.is_some());
    let names: Vec<String> = fitted.map(|g| format!("the {}", wording::within(g.name()))).collect();
    match (names.len(), theirs.len()) {
        (0, _) => None,
        (1, 1) => Some("fitting it".to_owned()),
        (fitted, all) if fitted == all => Some("fitting them".to_owned()),
        _ => Some(format!("fitting {}", wording::list(&names))),
    }
}

/// The standing list, the job's own, and what was answered with no.
fn exclusions(view: &QuoteView<'_>) -> Vec<String> {
    let mut all = capitals(not_priced(view, Forced::No));
    let above = wording::capital(Access::DisturbedTiles.words());
    if let Some(tiles) = all.iter_mut().find(|w| **w == above)
        && view.edges().any(|e| e.under.is_some())
    {
        *tiles = "Tiles or slates above, beyond the courses named here".to_owned();
    }
    if view.edges().filter_map(|e| e.under).any(|tiles| tiles.by == By::Others) {
        all.push("Lifting of tiles or slates above and laying them again, where it says so: others do it".to_owned());
    }
    if let Some(of) = of_roofs(view, |r| r.strip.as_ref().is_some_and(|s| s.boards_unsaid)) {
        all.push(format!(
            "Lifting and taking away old boards under the covering{of}: where there are any, we ask you first"
        ));
    }
    let others = |r: &RoofView<'_>| r.flashing == By::Others && r.edges.iter().any(|e| e.finish == Finish::Wall);
    if let Some(of) = of_roofs(view, others) {
        all.push(format!("The cover flashing at the wall{of}: others fit it"));
    }
    if let Some(of) = of_roofs(view, |r| r.firrings_bare || r.timber_bare) {
        all.push(format!("Closing a gap above the old fascia{of}, where new timber shows above it"));
    }
    let spills = |f: &&Finding| f.verdict == Verdict::Fail && rainwater::is_gutter(f);
    let more =
        |f: &Finding| format!("More outlets or a bigger section for the {}, which as it is spills over", f.subject);
    all.extend(view.findings.iter().filter(spills).map(more));
    all.extend(
        not_supplied(view).map(|names| format!("What stands on the new kerb, {names}: you supply it, we fit it")),
    );
    if view.edges().any(Edge::has_new_gutter) {
        all.push(
            "The rainwater pipe below the new box gutter's outlet, and its way there: it must be there first"
                .to_owned(),
        );
    }
    if view.edges().any(|e| e.finish == Finish::Drip && e.gutter.is_none()) {
        all.push("A gutter where none hangs now".to_owned());
    }
    if view.roofs.iter().any(|r| !edge_words::copings(&r.layout.shape, Some(Cover::Stone), By::Us).is_empty()) {
        all.push("New coping stones for those that are broken, or break".to_owned());
    }
    if view.roofs.iter().any(|roof| !roof.layout.openings.kept.is_empty()) {
        all.push("Making an old kerb higher that is too low for the new roof".to_owned());
    }
    all.extend(view.exclusions.iter().chain(&view.parties.firm.exclusions).cloned());
    wording::once(all)
}

/// `the low wall at left`, `the low walls at right and left`.
fn low_walls_at(names: &[String]) -> String {
    let walls = if names.len() > 1 { "walls" } else { "wall" };
    format!("the low {walls} at {}", wording::list(names))
}

/// What others must say, or have done, before the crew can begin: without it the first day is lost. What is alike for several roofs
/// is said once.
pub(super) fn awaited(view: &QuoteView<'_>) -> Vec<String> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    let shared = |roof: &RoofView<'_>| edge_words::coped_names(&roof.layout.shape, None, Some(By::Us));
    let all_shared: Vec<&RoofView<'_>> = view.roofs.iter().filter(|roof| !shared(roof).is_empty()).collect();
    if all_shared.len() > 1 {
        let at = |roof: &&RoofView<'_>| format!("{} ({})", wording::list(&shared(roof)), roof.name);
        let at = all_shared.iter().map(at).collect::<Vec<_>>().join("; ");
        all.push((format!("{CONSENT} a low wall is shared: {at}"), Vec::new()));
    }
    for roof in &view.roofs {
        let shape = &roof.layout.shape;
        let mut add = |words: String| match all.iter_mut().find(|(said, _)| *said == words) {
            Some((_, of)) => of.push(roof.name.to_owned()),
            None => all.push((words, vec![roof.name.to_owned()])),
        };
        let low = shared(roof);
        if !low.is_empty() && all_shared.len() == 1 {
            let are = if low.len() > 1 { "are" } else { "is" };
            add(format!("{CONSENT} {} {are} shared", low_walls_at(&low)));
        }
        match roof.overflows_in_masonry {
            0 => {}
            1 => add("An engineer's word in writing that the opening for the overflow may be cut".to_owned()),
            _ => add("An engineer's word in writing that the openings for the overflows may be cut".to_owned()),
        }
        if roof.edges.iter().any(Edge::has_new_gutter) {
            add("The rainwater pipe that the new box gutter's outlet runs into, in its place".to_owned());
        }
        let trimmed = roof.layout.built_openings(false);
        if !trimmed.is_empty() {
            let names = wording::list(&trimmed);
            add(format!(
                "The sizes of the timbers round the {names} confirmed in writing by whoever answers for the structure"
            ));
        }
        if matches!(roof.fall, RoofFall::Firred(_, By::Others)) {
            add("Tapered timbers for the fall fixed by others".to_owned());
        }
        let covered = edge_words::coped_names(shape, None, Some(By::Others));
        if !covered.is_empty() {
            add(format!("What lies on {} lifted by others", low_walls_at(&covered)));
        }
        let tiles = edge_words::lifted(roof.edges, By::Others);
        if !tiles.is_empty() {
            add(format!("The {} lifted by others", wording::list(&tiles)));
        }
    }
    let several = view.roofs.len() > 1;
    let whose = |of: &[String]| {
        if several && !of.is_empty() { format!(" ({})", wording::list_of_roofs(of)) } else { String::new() }
    };
    all.iter().map(|(words, of)| format!("{words}{}", whose(of))).collect()
}

const CONSENT: &str = "Your neighbour's consent in writing, and any notice that is due, where";

/// What is awaited, as whoever signs says it: `my neighbour's consent in writing`.
fn in_our_words(awaited: &[String], alone: bool) -> Vec<String> {
    let our = if alone { "my" } else { "our" };
    let one = |words: &String| wording::within(words).replace("your neighbour", &format!("{our} neighbour"));
    awaited.iter().map(one).collect()
}

/// The openings on new kerbs for which nobody is named who supplies what stands on them.
fn not_supplied(view: &QuoteView<'_>) -> Option<String> {
    let layouts: Vec<&RoofLayout> = view.roofs.iter().map(|r| r.layout).collect();
    let names = kerb_goods::unsupplied(&layouts, view.goods);
    (!names.is_empty()).then(|| wording::list(&names))
}

/// Whether the firm takes nothing off: joists or boards are bare when it comes.
const fn is_bare(roof: &RoofView<'_>) -> bool {
    roof.strip.is_none()
}

/// ` of Bay and Porch`, the roofs that something holds for; no words where it holds for all, and none of it where for none.
fn of_roofs(view: &QuoteView<'_>, is: impl Fn(&RoofView<'_>) -> bool) -> Option<String> {
    let holds = view.roofs.iter().any(&is);
    holds.then(|| some_only(view, is).map_or_else(String::new, |roofs| format!(" of {roofs}")))
}

/// The roofs that something holds for, where it does not hold for all.
fn some_only(view: &QuoteView<'_>, is: impl Fn(&RoofView<'_>) -> bool) -> Option<String> {
    let all: Vec<&str> = view.roofs.iter().map(|r| r.name).collect();
    let short = wording::without_what_all_say(&all);
    let names: Vec<String> = view.roofs.iter().zip(short).filter(|(r, _)| is(r)).map(|(_, name)| name).collect();
    (!names.is_empty() && names.len() < view.roofs.len()).then(|| wording::list_of_roofs(&names))
}

/// The roofs for which something holds of those that it could hold for, by their names; nothing where it holds for all of these.
fn of_those(
    view: &QuoteView<'_>,
    could: impl Fn(&RoofView<'_>) -> bool,
    is: impl Fn(&RoofView<'_>) -> bool,
) -> Option<String> {
    let all = view.roofs.iter().filter(|r| could(r)).all(&is);
    some_only(view, is).filter(|_| !all)
}

fn roof_vocabulary(view: &QuoteView<'_>, roof: &RoofView<'_>, index: usize) -> Vocabulary {
    let mut v = letterhead::vocabulary(view.parties);
    let layout = roof.layout;
    v.facts();
    told::works(&mut v, view.works, Some(layout.shape.index));
    let edges = |f: Finish| edges_of(layout, f);
    v.text("roof_name", roof.name)
        .text("roof_number", (index + 1).to_string())
        .yes("many_roofs", all_roofs(view) > 1)
        .text("roof_area", wording::square_metres(layout.shape.area))
        .maybe("fall", roof.fall.known().map(|fall| fall.to_string()))
        .yes("fall_by_others", matches!(roof.fall, RoofFall::Firred(_, By::Others)))
        .yes("fall_in_joists", matches!(roof.fall, RoofFall::InJoists(_)))
        .text("falls_to", roof.falls_to)
        .text("falls_towards", wording::the(roof.falls_to))
        .text("drip_edges", edges(Finish::Drip))
        .text("raised_edges", edges(Finish::Raised))
        .text("wall_edges", wording::list(&walls(layout)))
        .text("sills", wording::list(&edge_words::sills(&layout.shape, None)))
        .text("parapets", wording::list(&edge_words::coped_names(&layout.shape, None, None)))
        .yes("several_parapets", edge_words::coped_names(&layout.shape, None, None).len() > 1)
        .text("parapet_sizes", edge_words::parapet_sizes(&layout.shape))
        .text("stones", wording::list(&edge_words::coped_names(&layout.shape, Some(Cover::Stone), Some(By::Us))))
        .text("cappings", wording::list(&edge_words::coped_names(&layout.shape, Some(Cover::Metal), Some(By::Us))))
        .text("levelled_tops", wording::list(&edge_words::coped_names(&layout.shape, Some(Cover::Stone), None)))
        .text("boarded_tops", wording::list(&edge_words::coped_names(&layout.shape, Some(Cover::Metal), None)))
        .text("covered_by_others", wording::list(&edge_words::coped_names(&layout.shape, None, Some(By::Others))))
        .text("step_edges", edges(Finish::Step))
        .text("ladder_points", wording::list(&edge_words::ladder_points(roof.edges, &layout.shape)))
        .text("gutter_layers", wording::plural(roof.gutter_layers as usize, "layer", "layers"))
        .text("gutter_edges", edges(Finish::Gutter))
        .text("lifted", wording::list(&edge_words::lifted(roof.edges, By::Us)))
        .text("lifted_by_others", wording::list(&edge_words::lifted(roof.edges, By::Others)))
        .text("up_the_slope", wording::list(&edge_words::up_the_slope(roof.edges)))
        .maybe("spare_tiles", (!roof.spare_tiles.is_zero()).then(|| wording::number(roof.spare_tiles)))
        .text("flashings", flashings(roof))
        .maybe("unflashed", unflashed(roof))
        .text("chimney_flashing", chimney_flashing(roof))
        .maybe("drips_onto", roof.drips_onto)
        .text("gutters", gutters(roof))
        .yes("several_drip_gutters", roof.edges.iter().filter(|edge| edge.gutter.is_some()).count() > 1)
        .yes("old_gutters", roof.edges.iter().any(Edge::has_old_gutter))
        .yes("gutters_raised", !layout.gutters_raised.is_empty())
        .yes("outlet", roof.outlets > 0)
        .yes("several_outlets", roof.outlets > 1)
        .text("outlets_into", outlets_into(roof))
        .yes("overflow", roof.overflows > 0)
        .yes("overflow_in_masonry", roof.overflows_in_masonry > 0)
        .yes("overflow_in_gutter", roof.overflows_in_gutter)
        .yes("several_overflows", roof.overflows > 1);
    let ends = roof.joist_ends();
    v.text("vents_open", edge_words::names(&ends.open)).text("vents_shut", edge_words::names(&ends.shut));
    deck_words(&mut v, roof);
    insulation_words(&mut v, roof);
    opening_names(&mut v, layout);
    v.text("kept_least", kept_least(roof))
        .text("kept_low", wording::capital(&kept_low(roof).join("; ")))
        .text("kerb_return", roof.kerb_return.to_string());
    finish_words(&mut v, roof);
    v
}

const BY_OTHERS: &str = "Others fit the cover flashing; until then the joint is sealed for a time only.";

/// What covers the fillet at the walls, in whole sentences: one where all walls are alike, else one for each kind.
fn flashings(roof: &RoofView<'_>) -> String {
    if roof.flashing == By::Others {
        return BY_OTHERS.to_owned();
    }
    let all = || roof.edges.iter().zip(&roof.layout.shape.sides);
    let walls = || all().filter(|(_, side)| side.may_be_flashed());
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

/// The walls without a new flashing, where others have one.
fn unflashed(roof: &RoofView<'_>) -> Option<String> {
    let shape = &roof.layout.shape;
    let (bare, walls) = (edge_words::unflashed(roof.edges, shape), shape.sides.iter().filter(|s| s.may_be_flashed()));
    (!bare.is_empty() && bare.len() < walls.count()).then(|| wording::list(&bare))
}

fn chimney_flashing(roof: &RoofView<'_>) -> String {
    match roof.flashing {
        By::Others => BY_OTHERS.to_owned(),
        By::Us => wording::capital(&format!("{}.", roof.chimney_flashing.at_a_chimney())),
    }
}

fn deck_words(v: &mut Vocabulary, roof: &RoofView<'_>) {
    v.yes("strip", roof.strip.is_some())
        .maybe("strip_covering", roof.strip.map(|s| s.covering))
        .maybe("strip_away", roof.strip.map(|s| s.away))
        .yes("boards_unsaid", roof.strip.is_some_and(|s| s.boards_unsaid))
        .yes("deck_new", roof.deck == DeckAction::New)
        .yes("deck_overlay", roof.deck == DeckAction::Overlay)
        .yes("deck_keep", roof.deck == DeckAction::Keep)
        .maybe("board", roof.board.map(|thickness| thickness.to_string()))
        .yes("one_board", roof.layout.deck.as_ref().is_some_and(|deck| deck.pieces.len() == 1))
        .yes("board_locks", roof.board_locks)
        .yes("firrings", !roof.layout.firrings.is_empty())
        .yes("firrings_bare", roof.firrings_bare)
        .yes("timber_bare", roof.timber_bare)
        .yes("tapered", roof.layout.firrings.iter().any(|f| f.low_depth < f.high_depth));
}

/// What a warm roof has over its deck.
fn insulation_words(v: &mut Vocabulary, roof: &RoofView<'_>) {
    let over = roof.layout.over.as_ref();
    v.yes("insulated", over.is_some())
        .yes("vapour", over.is_some_and(|o| !o.vapour.is_empty()))
        .maybe("insulation", roof.insulation_in_words())
        .maybe("overlay", roof.overlay.map(wording::thickness))
        .text("raised_by", roof.raised_by.0.to_string())
        .maybe("raised_most", (roof.raised_by.1 > roof.raised_by.0).then(|| roof.raised_by.1.to_string()));
}

/// How high a kerb that stays must stand above the present roof: `227 mm`, with the opening's name where there are several; nothing
/// of one that was measured lower.
fn kept_least(roof: &RoofView<'_>) -> String {
    let (layout, all) = (roof.layout, &roof.layout.openings.kept);
    let least = |kept: &KeptKerb| match layout.shape.holes.get(kept.hole).filter(|_| all.len() > 1) {
        Some(h) => format!("{} ({})", kept.rise + roof.kerb_return, h.name),
        None => (kept.rise + roof.kerb_return).to_string(),
    };
    wording::list(&all.iter().filter(|kept| kept.lacks(roof.kerb_return).is_none()).map(least).collect::<Vec<_>>())
}

/// `the kerb of rooflight west stands 200 mm above the present roof, and 101 mm of it are left above the new one`, for each that was
/// measured lower than that.
fn kept_low(roof: &RoofView<'_>) -> Vec<String> {
    let low = |kept: &KeptKerb| {
        let (left, hole) = (kept.lacks(roof.kerb_return)?, roof.layout.shape.holes.get(kept.hole)?);
        let stands = left + kept.rise;
        Some(format!(
            "the kerb of {} stands {stands} above the present roof, and {left} of it are left above the new one",
            the(&hole.name)
        ))
    };
    roof.layout.openings.kept.iter().filter_map(low).collect()
}

fn opening_names(v: &mut Vocabulary, layout: &RoofLayout) {
    let of = |is: &dyn Fn(&HoleShape) -> bool| {
        let words = |h: &HoleShape| format!("{} ({})", h.name, roof_plan::hole_size(h));
        wording::list(&layout.shape.holes.iter().filter(|h| is(h)).map(words).collect::<Vec<_>>())
    };
    let new = layout.built_openings(true);
    v.text("trimmed", wording::list(&layout.built_openings(false)))
        .text("edge_joists", wording::list(&layout.joists_set()))
        .text("new_kerbs", wording::list(&new))
        .text("kept_kerbs", of(&|h| h.finish == Finish::Kerb && !h.round && !new.contains(&h.name)))
        .text("openings", of(&|h| h.finish == Finish::Kerb && !h.round))
        .text("chimneys", of(&|h| h.finish == Finish::Wall && !h.round))
        .text("pipes", of(&|h| matches!(h.form, HoleForm::Round { .. })));
}

fn finish_words(v: &mut Vocabulary, roof: &RoofView<'_>) {
    v.text("mat", roof.laminate.mat.to_string())
        .text("layers", wording::plural(roof.laminate.layers as usize, "layer", "layers"))
        .text("colour", roof.colour)
        .text("surface", roof.surface)
        .yes("grains", roof.grains)
        .text("walk_on", wording::hours_or_days(roof.walk_on_hours));
}

/// `the front (5.20 m) and the bay (0.90 m)`; empty where no side has the finish.
fn edges_of(layout: &RoofLayout, finish: Finish) -> String {
    wording::list(&edge_words::of_finish(&layout.shape, finish))
}

/// The stretches of wall that no door stands in and that the roof is not carried over.
fn walls(layout: &RoofLayout) -> Vec<String> {
    let walls = layout.shape.sides.iter().filter(|s| s.is_plain_wall());
    // An edge that is called so already is no wall twice.
    let named = |s: &Side| match s.label.eq_ignore_ascii_case("wall") {
        true => wording::metres(s.run),
        false => format!("{} ({})", s.label, wording::metres(s.run)),
    };
    walls.map(named).collect()
}

/// What outlets are set into: `roof`, `gutter` where all stand in box gutters, or both.
fn outlets_into(roof: &RoofView<'_>) -> &'static str {
    match roof.edges.iter().filter(|e| e.box_gutter.is_some()).count() {
        0 => "roof",
        n if n == roof.outlets => "gutter",
        _ => "roof and the gutter",
    }
}

fn gutters(roof: &RoofView<'_>) -> String {
    wording::list(&wording::once(roof.edges.iter().filter_map(|e| e.gutter.as_ref()).map(Gutter::words)))
}

// ---- Places ------------------------------------------------------------------------------------------------------

/// Every place of the quote's templates but those of page one's foot, of photographs and plans.
fn common_places(view: &QuoteView<'_>, said: &SaidOnce) -> BTreeMap<String, Vec<Block>> {
    let mut places = BTreeMap::new();
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    put("facts", facts(view));
    put("price", headline(view.price));
    put("phone", telephone(view));
    put("prices", Block::Table(prices(view.price)));
    put("stages", Block::Table(stages(view.price)));
    put("roofs", said.table.as_ref().map_or_else(|| Block::Paragraph(Vec::new()), differing));
    put("rot-rates", Block::Table(rot_rates(view.price)));
    put("choices", Block::Table(choices(&view.roofs, &view.old_roofs)));
    let chart = day_chart::draw_plain(&view.timetable, chart_space(view.timetable.days.len()));
    put("day-chart", chart.map_or_else(|| Block::Paragraph(Vec::new()), Block::Figure));
    put("checks", findings::list(&checked(view), view.roofs.len() > 1));
    put("option-totals", Block::Table(offers::totals(view.price, !view.co_signers.is_empty())));
    let offered = [("offers", offers::tables(view.price)), ("offer-ticks", offers::ticks(view.price))];
    places.extend(offered.map(|(name, blocks)| (name.to_owned(), blocks)));
    places
}

/// Puts in those as well.
fn put_places(
    places: &mut BTreeMap<String, Vec<Block>>,
    (view, said): (&QuoteView<'_>, &SaidOnce),
    mut plans: Plans,
    foot: Option<&Foot>,
) {
    let mut put = |name: &str, block: Block| places.insert(name.to_owned(), vec![block]);
    match foot {
        Some(foot) => {
            let none = || Block::Paragraph(Vec::new());
            put("foot", foot.picture.clone());
            put("layers", foot.layers.clone().map_or_else(none, Block::Figure));
            if let Some(name) = foot.plan_of {
                plans.retain(|(place, _)| place != name);
                put(name, none());
            }
        }
        None => {
            let rows = choices(&view.roofs, &view.old_roofs).rows.len();
            put("layers", peeled_roofs(view, if chosen_by_roof(said) { 0 } else { rows }));
        }
    }
    put("photos", photos(photos_further_on(view, foot)));
    let alone = plans_alone(&said.roofs);
    let (alone, beside): (Plans, Plans) = plans.into_iter().partition(|(name, _)| alone.contains(&name.as_str()));
    for (name, plan) in beside {
        put(&name, Block::Figure(plan));
    }
    places.insert("plans-alone".to_owned(), plans_in_lines(view, &alone, said.edges_drawn));
}

/// The plans of the roofs, each with the name of its place.
type Plans = Vec<(String, Figure)>;

fn plans(view: &QuoteView<'_>, space: Space, of_old: Space) -> Plans {
    let named = |what: &'static str| move |(i, plan): (usize, Figure)| (format!("{what}{}", i + 1), plan);
    let new = at_one_scale(
        &view.roofs,
        space,
        RoofView::corners,
        |roof| Some(roof.key()),
        |roof, space| Some(roof.plan(space)),
    );
    let old = at_one_scale(
        &view.old_roofs,
        of_old,
        |roof| roof.layout.corners.clone(),
        |roof| Some(patch_plan::key(roof.layout)),
        |roof, space| Some(patch_plan::draw(roof.layout, space)),
    );
    let new = new.into_iter().enumerate().map(named(ROOF_PLAN));
    new.chain(old.into_iter().enumerate().map(named("old-roof-plan-"))).collect()
}

/// The plans that suit what is said of the roofs: as large as fits beside the words for each; where several stand alone, beside one
/// another, all as large as leaves them in the room for so many.
fn plans_of(view: &QuoteView<'_>, said: &SaidOnce) -> Plans {
    let names = plans_alone(&said.roofs);
    if names.len() < 2 {
        let drawn = plans(view, BESIDE_THE_WORK, BESIDE_THE_WORK);
        if !are_small(&drawn) {
            return drawn;
        }
        // A large roof is drawn over the width of the page before it is drawn smaller.
        let over = plans(view, OVER_THE_WORK, OVER_THE_WORK);
        return if are_small(&over) { drawn } else { over };
    }
    let drawn = |from: f64| plans_side_by_side(view, from, said);
    let room = ROOM_FOR_PLANS + ROOM_FOR_ONE * names.len() as f64;
    let alone =
        |plans: &Plans| -> Plans { plans.iter().filter(|(name, _)| names.contains(&name.as_str())).cloned().collect() };
    let height = |plans: &Plans| {
        let tallest = |row: &Vec<&Figure>| row.iter().map(|plan| plan.scene.height).fold(0.0, f64::max) + CAPTION;
        in_lines(&alone(plans)).iter().map(tallest).sum::<f64>()
    };
    let largest = drawn(0.0);
    if are_small(&largest) && names.len() <= said_once::FEW_ROOFS {
        let over = plans(view, Space { sizes_alone: said.edges_drawn, ..OVER_THE_WORK }, BESIDE_THE_WORK);
        if !are_small(&over) {
            return over;
        }
    }
    let scale = largest.iter().filter_map(|(_, plan)| plan.scene.scale).fold(0.0, f64::max);
    let mut smaller = SCALES.into_iter().filter(|of| *of > scale && *of <= SMALLEST).map(drawn);
    match height(&largest) <= room {
        true => largest,
        false => smaller.find(|plans| height(plans) <= room).unwrap_or_else(|| drawn(f64::max(scale, SMALLEST))),
    }
}

/// Whether a plan is drawn at a smaller scale than plans should be.
fn are_small(plans: &Plans) -> bool {
    plans.iter().any(|(_, plan)| plan.scene.scale.is_some_and(|of| of > SMALLEST))
}

/// The same at such a scale or a smaller one.
fn plans_side_by_side(view: &QuoteView<'_>, from: f64, said: &SaidOnce) -> Plans {
    let least = if said.edges_drawn { LEAST_OF_MANY } else { SIDE_BY_SIDE.least };
    plans(view, Space { from, least, sizes_alone: said.edges_drawn, ..SIDE_BY_SIDE }, BESIDE_THE_WORK)
}

/// Plans in lines, each with as many as the width of a page has room for, in their order.
fn in_lines(plans: &Plans) -> Vec<Vec<&Figure>> {
    let mut lines: Vec<Vec<&Figure>> = Vec::new();
    let mut left = 0.0;
    for (_, plan) in plans {
        let wide = plan.scene.width + BETWEEN;
        match lines.last_mut().filter(|_| wide <= left) {
            Some(line) => line.push(plan),
            None => {
                lines.push(vec![plan]);
                left = TEXT.width + BETWEEN;
            }
        }
        left -= wide;
    }
    lines
}

/// Plans beside one another; where their edges are measured alone, under the key of all, each with its name and area.
fn plans_in_lines(view: &QuoteView<'_>, plans: &Plans, edges_drawn: bool) -> Vec<Block> {
    let one = |plan: &Figure| vec![Block::Figure(plan.clone())];
    let side_by_side = |plans: &Plans| -> Vec<Block> {
        in_lines(plans).into_iter().map(|line| Block::Columns(line.into_iter().map(one).collect())).collect()
    };
    let scale = plans.iter().filter_map(|(_, plan)| plan.scene.scale).reduce(f64::max);
    let Some(scale) = scale.filter(|_| edges_drawn) else { return side_by_side(plans) };
    let names = wording::without_what_all_say(&view.roofs.iter().map(|roof| roof.name).collect::<Vec<_>>());
    let mut named = plans.clone();
    for (place, plan) in &mut named {
        let Some(n) = place.strip_prefix(ROOF_PLAN).and_then(|n| n.parse::<usize>().ok()) else { continue };
        let own = plan.scene.scale.filter(|of| *of != scale).map(|of| format!(", {}", PlanScale { of }.words()));
        let area = wording::square_metres(view.roofs[n - 1].layout.shape.area);
        plan.caption = format!("{}, {area}{}", names[n - 1], own.unwrap_or_default());
    }
    let parts = view.roofs.iter().map(RoofView::key).fold(KeyParts::default(), KeyParts::with);
    let key = Block::Figure(roof_plan::key_of_all(parts, scale, TEXT.width));
    std::iter::once(key).chain(side_by_side(&named)).collect()
}

/// What the place of a roof's plan begins with, before the roof's number.
const ROOF_PLAN: &str = "roof-plan-";

/// The same at the next smaller scale; none where a plan beside words would be narrower than [`NARROWEST`].
fn closer_plans(view: &QuoteView<'_>, drawn: &Plans, said: &SaidOnce) -> Option<Plans> {
    let largest = drawn.iter().filter_map(|(_, plan)| plan.scene.scale).reduce(f64::min)?;
    let from = SCALES.into_iter().find(|of| *of > largest)?;
    if plans_alone(&said.roofs).len() > 1 {
        let plans = (from <= SMALLEST_CLOSE).then(|| plans_side_by_side(view, from, said));
        return plans.filter(|plans| said.edges_drawn || are_wide(plans));
    }
    let space = Space { from, ..BESIDE_THE_WORK };
    let plans = plans(view, space, space);
    (are_wide(&plans) && !are_small(&plans)).then_some(plans)
}

/// Whether the words at the edges of every plan can be read.
fn are_wide(plans: &Plans) -> bool {
    plans.iter().all(|(_, plan)| plan.scene.width >= NARROWEST)
}

/// The least width of a plan in a quote that is set closer, pt: 60 mm, in which the words at its edges can be read.
const NARROWEST: f64 = 60.0 * PT_PER_MM;

/// What a plan may take beside the list of what is done to its roof, pt: it leaves the words half of the width.
const BESIDE_THE_WORK: Space = Space::new(262.0, 420.0);
/// The same of one that stands over that list, at the smallest scale of the row.
const OVER_THE_WORK: Space = Space { from: SMALLEST, ..Space::new(TEXT.width, 480.0) };
/// What each of several plans beside one another may take, pt.
const SIDE_BY_SIDE: Space = Space::new(250.0, 300.0);
/// What a roof measures at least, its lesser way, where its edges are measured alone: no words stand in it, pt.
const LEAST_OF_MANY: f64 = 12.0;
/// What is between two of them, and under one for its caption, pt.
const BETWEEN: f64 = 9.0;
const CAPTION: f64 = 24.0;
/// How high all of them are at most: so much, and so much for each, pt; and the smallest scale that they are given for that.
const ROOM_FOR_PLANS: f64 = 150.0;
const ROOM_FOR_ONE: f64 = 25.0;
const SMALLEST: f64 = 100.0;
/// The same where the offer would take too many pages.
const SMALLEST_CLOSE: f64 = 200.0;

/// What the chart of so many days may take: beside words while the days have room there for their dates.
const fn chart_space(days: usize) -> Space {
    match days {
        0..=3 => Space::new(220.0, 250.0),
        4 => Space::new(246.0, 250.0),
        5..=7 => Space::new(266.0, 250.0),
        _ => Space::THIRD_PAGE,
    }
}

/// Whom the letter goes to, at their own address, and beside it where the work is and when; below it where the names are long.
fn facts(view: &QuoteView<'_>) -> Block {
    let (parties, customer) = (view.parties, view.parties.customer);
    let to_address = customer.address.join(", ");
    let mut to = vec![("To".to_owned(), strong(&customer.name)), ("Address".to_owned(), cell(&to_address))];
    to.extend(customer.email.as_ref().map(|email| ("E-mail".to_owned(), cell(email))));
    to.extend(view.customer_vat_number.map(|number| ("Their VAT number".to_owned(), cell(number))));
    let site = match parties.site == customer.address.as_slice() {
        true => "The same address".to_owned(),
        false => parties.site.join(", "),
    };
    let mut facts = vec![("Work at".to_owned(), cell(site)), ("Date".to_owned(), cell(wording::date(parties.date)))];
    // A day that depends on what the customer asks for is told with that.
    if let Some(start) = parties.first_day.filter(|_| early_until(view).is_none()) {
        facts.push(("We can start".to_owned(), cell(wording::day_and_date(start))));
    }
    facts.push(("Price stands until".to_owned(), strong(wording::date(view.valid_until))));
    if customer.name.chars().count() + to_address.chars().count() > LONG_ADDRESS {
        return Block::Facts(to.into_iter().chain(facts).collect());
    }
    Block::Columns(vec![vec![Block::Facts(to)], vec![Block::Facts(facts)]])
}

/// A name and an address of more letters than these take less height over the whole width.
const LONG_ADDRESS: usize = 160;

fn headline(price: QuotedPrice<'_>) -> Block {
    let (label, note) = match price.charges_vat {
        _ if !price.vat_by_customer.is_empty() => (
            "Total price, no VAT charged",
            "A fixed price for the work described here. Reverse charge: you account for the VAT to HMRC.",
        ),
        true => ("Total price, VAT included", "A fixed price for this work."),
        false => {
            ("Total price", "A fixed price for the work described here. We are not registered for VAT: none is added.")
        }
    };
    Block::Headline { label: label.to_owned(), figure: wording::money(price.total), note: note.to_owned() }
}

/// What the householder pays, line by line, down to the total.
fn prices(price: QuotedPrice<'_>) -> Table {
    let registered = price.charges_vat;
    let mut rows: Vec<_> = price
        .lines
        .iter()
        .map(|l| plain(vec![cell(wording::capital(&l.label)), cell(wording::money(l.net))]))
        .collect();
    if registered {
        rows.push(plain(vec![cell("All work, before VAT"), cell(wording::money(price.net))]));
        for vat in price.vat {
            let label = format!("VAT at {}% on {}", wording::number(vat.rate), wording::money(vat.net));
            rows.push(plain(vec![cell(label), cell(wording::money(vat.vat))]));
        }
    }
    for vat in price.vat_by_customer {
        let (rate, due) = (wording::number(vat.rate), wording::money(vat.vat));
        let label = format!("VAT at {rate}%, reverse charge: {due}, for you to account for to HMRC");
        rows.push(plain(vec![cell(label), cell("–")]));
    }
    let total = if registered { "Total to pay, VAT included" } else { "Total to pay" };
    rows.push(row(RowKind::Total, vec![strong(total), strong(wording::money(price.total))]));
    if let ([rate], false) = (price.vat, price.with_vat.is_empty()) {
        return prices_beside_vat(price, (&wording::number(rate.rate), rate.vat));
    }
    if !price.with_vat.is_empty() {
        let (last, lines) = (rows.len() - 1, price.lines.len());
        for (i, row) in rows.iter_mut().enumerate() {
            let sums = price.lines.get(i).zip(price.with_vat.get(i));
            let [vat, with_vat] = match sums {
                Some((line, sum)) => [wording::money(*sum - line.net), wording::money(*sum)].map(cell),
                None => Default::default(),
            };
            // Each rate's VAT stands among what the lines bear of it, and the total among what is paid.
            match i {
                _ if i == last => drop(row.cells.splice(1..1, [vat, with_vat])),
                _ if i > lines => row.cells.insert(1, vat),
                _ => row.cells.extend([vat, with_vat]),
            }
            row.cells.resize_with(4, Default::default);
        }
        let columns = vec![wide("What", 1), right("Before VAT"), right("VAT"), right("VAT included")];
        return Table { columns, rows, header: true };
    }
    let what = if registered { "What, before VAT" } else { "What" };
    Table { columns: vec![wide(what, 1), right("Amount")], rows, header: true }
}

/// Each line with its VAT beside it, where all of it is of one rate: the total adds up every column.
fn prices_beside_vat(price: QuotedPrice<'_>, (rate, all_vat): (&str, Money)) -> Table {
    let money = |sum: Money| cell(wording::money(sum));
    let mut rows: Vec<_> = price
        .lines
        .iter()
        .zip(price.with_vat)
        .map(|(line, with_vat)| {
            let what = cell(wording::capital(&line.label));
            plain(vec![what, money(line.net), money(*with_vat - line.net), money(*with_vat)])
        })
        .collect();
    let sums = [price.net, all_vat, price.total].map(|sum| strong(wording::money(sum)));
    rows.push(row(RowKind::Total, std::iter::once(strong("Total to pay")).chain(sums).collect()));
    let vat = format!("VAT at {rate}%");
    Table {
        columns: vec![wide("What", 1), right("Before VAT"), right(&vat), right("VAT included")],
        rows,
        header: true,
    }
}

fn stages(price: QuotedPrice<'_>) -> Table {
    let sums = |amount: Money, kept: Money| match price.retention {
        Some(_) => vec![amount, -kept, amount - kept],
        None => vec![amount],
    };
    let one = |s: &crate::pricing::Stage| {
        let sums = sums(s.amount, kept_back(price, s.amount)).into_iter().map(|sum| cell(wording::money(sum)));
        plain([cell(wording::capital(&s.label)), cell(due(s))].into_iter().chain(sums).collect())
    };
    let mut rows: Vec<_> = price.stages.iter().map(one).collect();
    let kept: Money = price.stages.iter().map(|s| kept_back(price, s.amount)).sum();
    let all = sums(price.total, kept).into_iter().map(|sum| strong(wording::money(sum)));
    rows.push(row(RowKind::Total, [strong("All payments"), cell("")].into_iter().chain(all).collect()));
    let mut columns = vec![wide("When", 1), left("About"), right("How much")];
    if price.retention.is_some() {
        columns.extend([right("Kept back"), right("To pay")]);
    }
    if price.stages.iter().all(|s| s.due.is_none()) {
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
fn photos(photos: &[Photo]) -> Block {
    let rows = photos.chunks(2).map(|pair| {
        let mut columns: Vec<Vec<Block>> = pair.iter().map(|shown| vec![photo(shown)]).collect();
        columns.resize(2, Vec::new());
        Block::Columns(columns)
    });
    Block::Keep(rows.collect())
}

fn rot_rates(price: QuotedPrice<'_>) -> Table {
    let rate = |rate: &RotRate| {
        plain(vec![
            cell(wording::capital(&rate.label)),
            cell(format!("{} per {}", wording::money(rate.total), rate.unit.replace("m2", "m²"))),
        ])
    };
    let rows = price.rot_rates.iter().map(rate).collect();
    Table { columns: vec![wide("What", 1), right("Rate")], rows, header: true }
}

/// The number to ring, as large as the price; nothing where the firm gives none.
fn telephone(view: &QuoteView<'_>) -> Block {
    match &view.parties.firm.party.phone {
        Some(phone) => Block::Headline {
            label: "A question? Ring us".to_owned(),
            figure: phone.clone(),
            note: format!("Say your reference, {}.", view.parties.reference),
        },
        None => Block::Paragraph(Vec::new()),
    }
}

/// What each roof that is laid anew is made of, its layers drawn back: two side by side where there are several, small ones in rows
/// where there are many. Below a long list of choices they would not stand on page one.
fn peeled_roofs(view: &QuoteView<'_>, choices: usize) -> Block {
    let none = || Block::Paragraph(Vec::new());
    let roofs = view.roofs.as_slice();
    let over = choices.saturating_sub(FEW_CHOICES);
    let less = CHOICE * over as f64;
    match roofs {
        _ if over > MORE_CHOICES => none(),
        [] => none(),
        [roof] => {
            let space = Space { height: LAYERS.height - less, ..LAYERS };
            let drawn = peeled::draw(&roof.layout.shape, roof.joists, &layers_of(roof), space);
            drawn.map_or_else(none, Block::Figure)
        }
        [_, _] => small_roofs(roofs),
        few if few.len() <= DRAWN_SMALL && over <= 1 => small_roofs(roofs),
        many => {
            let space = Space { height: MANY_LAYERS.height - less, ..MANY_LAYERS };
            many_roofs(many, space).map_or_else(none, Block::Figure)
        }
    }
}

/// The same of many roofs in one drawing; those for which it has no room are named.
fn many_roofs(roofs: &[RoofView<'_>], space: Space) -> Option<Figure> {
    let layers: Vec<Vec<PeeledLayer>> = roofs.iter().map(layers_of).collect();
    let names = wording::without_what_all_say(&roofs.iter().map(|roof| roof.name).collect::<Vec<_>>());
    let small = roofs.iter().zip(&layers).zip(names);
    let small =
        small.map(|((roof, layers), name)| SmallRoof { shape: &roof.layout.shape, run: roof.joists, layers, name });
    let (figure, drawn) = peeled::draw_in_rows(&small.collect::<Vec<_>>(), space)?;
    let mut said: Vec<(&[PeeledLayer], Vec<String>)> = Vec::new();
    for (roof, layers) in roofs.iter().zip(&layers).take(drawn) {
        match said.iter_mut().find(|(of, _)| peeled::names(of) == peeled::names(layers)) {
            Some((_, names)) => names.push(roof.name.to_owned()),
            None => said.push((layers, vec![roof.name.to_owned()])),
        }
    }
    let each = said.iter().enumerate().map(|(place, (layers, names))| {
        let whose = if place == 0 { "From the left".to_owned() } else { wording::list(names) };
        format!("{whose}: {}", peeled::names(layers).join(", "))
    });
    let mut caption = each.collect::<Vec<_>>().join(". ");
    let rest: Vec<String> = roofs.iter().skip(drawn).map(|roof| roof.name.to_owned()).collect();
    if !rest.is_empty() {
        caption.push_str(&format!(". Not drawn: {}", wording::list(&rest)));
    }
    Some(Figure { caption, ..figure })
}

/// The same of a few roofs, each with its name and with its layers where the one before has others.
fn small_roofs(roofs: &[RoofView<'_>]) -> Block {
    let drawn = quote_foot::layers_of_each(roofs, |roof, layers| {
        peeled::draw_small(&roof.layout.shape, roof.joists, layers, SMALL_LAYERS)
    });
    let drawn = drawn.map(|figure| vec![Block::Figure(figure)]);
    Block::Keep(in_rows(2, drawn.collect()))
}

/// What the drawing of a roof's layers may take on page one under a few choices, pt, and by how much less for each more.
const LAYERS: Space = Space::new(226.0, 118.0);
const FEW_CHOICES: usize = 5;
const MORE_CHOICES: usize = 3;
const CHOICE: f64 = 14.0;
/// What the drawings of many roofs may take there together, pt.
const MANY_LAYERS: Space = Space::new(226.0, 124.0);
/// So many roofs are drawn each by itself, and what each of several may take, pt.
const DRAWN_SMALL: usize = 4;
const SMALL_LAYERS: Space = Space::new(104.0, 60.0);

/// What the householder has chosen: one row for each answer, with the roofs it is for where they differ.
fn choices(roofs: &[RoofView<'_>], old: &[OldRoofView<'_>]) -> Table {
    let mut answers: Vec<(&str, String, Vec<String>)> = Vec::new();
    let new = roofs.iter().flat_map(|r| choices_of(r).into_iter().map(|c| (r.name, c)));
    let kept = old.iter().flat_map(|r| choices_of_old(r).into_iter().map(|c| (r.name, c)));
    for (name, (what, choice)) in new.chain(kept) {
        match answers.iter_mut().find(|(w, c, _)| *w == what && *c == choice) {
            Some((.., names)) => names.push(name.to_owned()),
            None => answers.push((what, choice, vec![name.to_owned()])),
        }
    }
    answers.sort_by_key(|(what, ..)| CHOICES.iter().position(|c| c == what));
    let row = |(what, choice, names): &(&str, String, Vec<String>)| {
        plain(vec![cell(*what), cell(format!("{choice}{}", whose(names, roofs.len() + old.len())))])
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
const CHOICES: [&str; 7] = ["Colour", "Surface", "Glass fibre", "Patches", "Edges", "Deck", "Insulation"];

/// What is chosen for a roof whose laminate stays.
fn choices_of_old(roof: &OldRoofView<'_>) -> Vec<(&'static str, String)> {
    let mut choices = vec![("Colour", wording::capital(roof.colour)), ("Surface", wording::capital(roof.surface))];
    choices.push(("Glass fibre", "What is there stays".to_owned()));
    if !roof.layout.patches.is_empty() {
        let where_laid = if roof.recoat.is_some() { "patched, then all coated" } else { "patched and coated" };
        let places = wording::plural(roof.layout.patches.len(), "place", "places");
        choices.push(("Patches", format!("{places} {where_laid}")));
    }
    let edges = match roof.recoat {
        Some(recoat) if recoat.trims => "They stay; their faces are coated too",
        _ if roof.layout.patches.iter().any(|p| p.trim.as_ref().is_some_and(|t| t.edge.is_worked())) => {
            "They stay but where they are made good"
        }
        _ => "They stay as they are",
    };
    choices.push(("Edges", edges.to_owned()));
    choices
}

fn choices_of(roof: &RoofView<'_>) -> Vec<(&'static str, String)> {
    let layers = wording::plural(roof.laminate.layers as usize, "layer", "layers");
    let mut choices = vec![
        ("Colour", wording::capital(roof.colour)),
        ("Surface", wording::capital(roof.surface)),
        ("Glass fibre", format!("{layers} of {} g/m² mat", roof.laminate.mat)),
        ("Deck", deck_choice(roof)),
    ];
    choices.extend(roof.insulation_in_words().map(|board| ("Insulation", format!("{board} over the deck"))));
    choices
}

fn deck_choice(roof: &RoofView<'_>) -> String {
    let thick = roof.board.map_or_else(String::new, |thickness| format!("{thickness} "));
    match roof.deck {
        DeckAction::New => format!("New {thick}boards on your joists"),
        DeckAction::Overlay => format!("New {thick}boards over your present deck"),
        DeckAction::Keep => "Your present deck stays".to_owned(),
    }
}
