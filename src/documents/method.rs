//! The method statement, for the people on the roof: one operation at a time, each with its hold point, steps, drawing,
//! limits and signature; then the mix card, the weather log, the hazards and what to do when it goes wrong.
//!
//! Given what was worked; gives a document set in larger type. No price and no hour stands in it.

use super::cells::{blank, cell, centre, group, left, plain, right, row, strong, wide};
use super::drawings::insulation_plan::is_whole;
use super::drawings::patch_plan::{self, PatchBuild};
use super::drawings::roof_plan::{self, Audience};
use super::drawings::sections::{self, Build, NewKerb};
use super::drawings::{Space, corners, day_chart, deck_plan, firrings, insulation_plan, mat_plan, trim_plan};
use super::letterhead::{self, Title};
use super::views::OldRoofView;
use super::words::{Vocabulary, Words, escape};
use super::{WholeJob, box_gutters, edge_words, findings, old_roof_words, opening_words, site_words, told, wording};
use crate::checks::finding::{Finding, Subject};
use crate::facts;
use crate::model::build_up::{BuildUp, MaterialLayer};
use crate::model::covering::OldWaste;
use crate::model::goods::Goods;
use crate::model::job::{Answer, By, Forced};
use crate::model::old_roof::{LaminatePatch, RecoatKey};
use crate::model::shape::{DeckAction, HoleForm, TopcoatChoice};
use crate::model::tipping;
use crate::model::{
    Access, Cover, Edge, Finish, Flashing, Job, Length, LineId, Mass, OldRoof, Problem, Role, Roof, RoofFall, Rules,
    UnderTiles,
};
use crate::pages::block::{Block, Document, Figure, Fitting, Row, RowKind, Span, Table};
use crate::programme::pots::{Pot, PotDose, PotPart, PotPlan};
use crate::programme::weather::{LeastSurfaces, WeatherVerdict, up_to_a_tenth};
use crate::programme::{MixDose, Stop};
use crate::safety::substances::{ExposureLimit, LIMITS, PROTECTION, Substance};
use crate::safety::waste::{From, WASTES, Waste};
use crate::safety::{self, Circumstances, response};
use crate::takeoff::layout::falls::upstand_left;
use crate::takeoff::layout::shape::{CopedWall, Side, Sill, SillDetail};
use crate::takeoff::layout::{Bar, BoardPiece, Lap, LapOver, MatPiece, ProfilePlan, RoofLayout, TrimPiece, TrimRun};
use crate::takeoff::layout::{InsulationPiece, LiningBoard, ParapetLining, VapourStrip};
use crate::takeoff::quantities::line::{Line, Unit};
use crate::works::{self, Operation, WorkKind};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

/// What the people on the roof hear of the checks.
const CHECKED: [Subject; 4] = [Subject::Lift, Subject::Weight, Subject::Air, Subject::Use];

/// Makes the method statement.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn document(worked: &WholeJob<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let blocks = words.blocks("method.md", &vocabulary(worked, words)?, &places(worked, words)?)?;
    let title = Title {
        kind: "Method statement",
        reference: format!("Site {}", worked.job.reference),
        subject: format!("Order of work and construction phase plan for {}", worked.job.title),
        text_size: 11.2,
        fitting: Fitting::SheetsUpTo(14.0),
    };
    letterhead::standing_document(worked.parties(), title, blocks, words)
}

// ---- Words -------------------------------------------------------------------------------------------------------

fn vocabulary(worked: &WholeJob<'_>, words: &Words) -> Result<Vocabulary, Vec<Problem>> {
    let mut v = letterhead::vocabulary(worked.parties());
    told::works(&mut v, &worked.take_off.works, None);
    v.facts();
    the_job(&mut v, worked);
    opening_words::vocabulary(&mut v, worked);
    old_roofs(&mut v, worked);
    insulation(&mut v, worked);
    the_site(&mut v, worked);
    the_rules(&mut v, worked);
    weather(&mut v, worked);
    pots(&mut v, worked);
    found_out(&mut v, worked, words)?;
    materials(&mut v, worked);
    let checked = checked(worked);
    v.yes("checks", !checked.is_empty()).texts("cautions", &findings::cautions(&checked));
    Ok(v)
}

/// What the engine found out, in the words of templates of their own.
fn found_out(v: &mut Vocabulary, worked: &WholeJob<'_>, words: &Words) -> Result<(), Vec<Problem>> {
    let warnings =
        worked.programme.warnings.iter().map(|w| site_words::warning(words, w)).collect::<Result<Vec<_>, _>>()?;
    let basis = worked.programme.pots.as_ref().map(|p| site_words::gel_basis(words, p.gel.basis)).transpose()?;
    v.filled_lines("warnings", &wording::once(warnings))
        .filled_lines("mat_notes", &mat_notes(worked, words)?)
        .filled("gel_basis", basis.as_deref().unwrap_or_default());
    Ok(())
}

/// What was checked for the site; what is lifted comes from the orders.
fn checked<'a>(worked: &WholeJob<'a>) -> Vec<&'a Finding> {
    findings::of(worked.findings.iter().chain(&worked.pricing.lifts), &CHECKED)
}

fn the_job(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, take_off) = (worked.job, worked.take_off);
    let any = |a: DeckAction| job.roofs.iter().any(|r| r.deck.action == a);
    let side = |f: Finish| take_off.roofs.iter().any(|r| r.shape.sides.iter().any(|s| s.finish == f));
    let layers = job.roofs.iter().map(|r| r.laminate.layers).max().unwrap_or(1);
    strip(v, worked);
    v.yes("deck_new", any(DeckAction::New))
        .yes("deck_overlay", any(DeckAction::Overlay))
        .yes("deck_keep", any(DeckAction::Keep))
        .yes("drip", side(Finish::Drip))
        .yes("raised", side(Finish::Raised))
        .yes("wall", side(Finish::Wall))
        .yes("step", side(Finish::Step))
        .texts("sills_over_fillet", &sills(worked, SillDetail::Fillet))
        .texts("low_sills", &sills(worked, SillDetail::Low))
        .yes("sill_below_least", sill_below_least(worked))
        .texts(
            "parapets",
            &parapets(worked, |r| edge_words::parapets(&r.shape))
                .iter()
                .map(|w| wording::capital(w))
                .collect::<Vec<_>>(),
        )
        .texts("parapet_cuts", &parapets(worked, parapet_cuts))
        .texts("copings_lifted", &parapets(worked, |r| edge_words::copings(&r.shape, None, By::Us)))
        .texts("copings_by_others", &parapets(worked, |r| edge_words::copings(&r.shape, None, By::Others)))
        .texts("stones", &parapets(worked, |r| edge_words::copings(&r.shape, Some(Cover::Stone), By::Us)))
        .texts("cappings", &parapets(worked, |r| edge_words::copings(&r.shape, Some(Cover::Metal), By::Us)))
        .yes("bare_tops", covered_with(worked, Cover::Stone))
        .yes("boarded_tops", covered_with(worked, Cover::Metal))
        .texts("tiles_lifted", &at_edges(worked, |edges| edge_words::lifted(edges, By::Us)))
        .texts("tiles_by_others", &at_edges(worked, |edges| edge_words::lifted(edges, By::Others)))
        .texts(
            "tiled",
            &at_edges(worked, |edges| edge_words::gauges(edges))
                .iter()
                .map(|w| wording::capital(w))
                .collect::<Vec<_>>(),
        )
        .yes("kerb", take_off.roofs.iter().any(|r| r.shape.holes.iter().any(|h| !h.round)))
        .yes("firrings", take_off.roofs.iter().any(|r| !r.firrings.is_empty()))
        .yes("timber_cuts", !take_off.timbers.is_empty())
        .yes("noggins", take_off.roofs.iter().filter_map(|r| r.deck.as_ref()).any(|d| !d.noggins.is_empty()))
        .yes("two_layers", layers > 1)
        .yes("flashed", take_off.works.has(WorkKind::Flashing))
        .yes("flashing_by_others", job.flashed_by_others().next().is_some())
        .maybe("flashing_others_at", some_only(job, &job.flashed_by_others().collect::<Vec<_>>()))
        .text("flashing_kinds", wording::list(&kinds(job)))
        .yes("gutters", job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.gutter.is_some())))
        .yes("ladder_points", job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.ladder_point.is_some())))
        .texts("bought_in", &bought_in(worked))
        .texts("extras", &job.extras)
        .texts("goods_bought", &titles(job, |goods| goods.bought().is_some()))
        .texts("goods_supplied", &titles(job, |goods| goods.bought().is_none()))
        .texts("overflows", &overflows(job))
        .texts("gutter_mats", &box_gutters::lining(worked))
        .yes("days_known", !worked.programme.days.is_empty())
        .text("colours", colours(worked))
        .texts("ways_off", &take_off.roofs.iter().filter_map(way_off).collect::<Vec<_>>());
}

/// The roofs whose laminate stays: what is done there, and what with.
fn old_roofs(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (views, r) = (OldRoofView::all(worked), worked.rules);
    let patches = || views.iter().flat_map(|roof| &roof.layout.patches);
    let recoats = || views.iter().filter_map(|roof| roof.recoat);
    let of = |is: fn(&Line) -> bool| amounts(worked.take_off.lines.iter().filter(|l| is(l)));
    let name = |roof: &OldRoofView<'_>| roof.name.to_owned();
    v.yes("new_roofs", !worked.job.roofs.is_empty())
        .yes("old_roofs", !views.is_empty())
        .text("old_names", wording::list(&views.iter().map(name).collect::<Vec<_>>()))
        .text("patch_lap", r.patch_lap.to_string())
        .text("patch_step", r.patch_step.to_string())
        .yes("patch_further", patches().any(|p| p.layers.len() > 1))
        .yes("patch_at_edges", patches().flat_map(|p| &p.bandage).any(|b| !b.over_joints))
        .texts("patch_boards", &old_roof_words::boards(&views))
        .yes("primed_any", recoats().any(|recoat| recoat.key == RecoatKey::Prime))
        .yes("trims_coated_any", recoats().any(|recoat| recoat.trims))
        .yes("trims_stay", recoats().any(|recoat| !recoat.trims))
        .text("wipe_rate", format!("{} l/m²", wording::number(r.wipe_rate)))
        .text("primer_rate", format!("{} kg/m²", wording::number(r.primer_rate)))
        .texts(
            "old_broadcasts",
            &wording::once(worked.job.old_roofs.iter().filter_map(|o| strewn(&o.name, &o.topcoat, r))),
        )
        .texts(
            "cut_back_materials",
            &of(|l| {
                matches!(l.work, WorkKind::CutBack | WorkKind::PatchDeck) && l.unit != Unit::SquareMetre && !is_count(l)
            }),
        )
        .texts("patch_materials", &of(|l| l.work == WorkKind::PatchLaminate && l.roof.is_some()))
        .texts(
            "clean_materials",
            &of(|l| matches!(l.work, WorkKind::CleanDown | WorkKind::PrimeOld) && l.unit != Unit::SquareMetre),
        )
        .texts(
            "old_topcoat_materials",
            &of(|l| l.work.operation() == Operation::Topcoat && l.work.is_on_old() && l.unit == Unit::Kilogram),
        );
}

/// Whether a line counts what is done, and not what it takes.
const fn is_count(line: &Line) -> bool {
    matches!(line.id, LineId::PatchCount | LineId::PatchBoardPieces | LineId::NogginLengths)
}

/// What comes off, and from which roofs where they are unlike.
fn strip(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let job = worked.job;
    let strips = job.strips();
    let carts = works::carts(job);
    let crew = |cart: &works::Cart<'_>| match carts.len() {
        1 => cart.tip.crew.clone(),
        _ => {
            let from: Vec<String> = cart.from.iter().map(|(i, _)| job.roofs[*i].name.clone()).collect();
            format!("{}: {}", wording::list(&from), cart.tip.crew)
        }
    };
    let unlike = strips.len() > 1 || job.roofs.iter().any(|roof| job.strip_of(roof).is_none());
    let on = |roof: &Roof| match job.strip_of(roof) {
        Some(strip) => format!("{}: {}", roof.name, strip.covering.words),
        None => format!("{}: nothing comes off", roof.name),
    };
    let lines: Vec<String> = job.roofs.iter().filter(|_| unlike).map(on).collect();
    v.yes("strip", !strips.is_empty())
        .text("strip_covering", wording::list(&wording::once(strips.iter().map(|s| s.covering.words.clone()))))
        .text("strip_crew", carts.iter().map(crew).collect::<Vec<_>>().join(" "))
        .texts("strip_roofs", &lines);
}

/// The roofs that something holds for, where it does not hold for all of the job's.
fn some_only(job: &Job, roofs: &[&Roof]) -> Option<String> {
    let names: Vec<String> = roofs.iter().map(|roof| roof.name.clone()).collect();
    (!roofs.is_empty() && roofs.len() < job.roofs.len()).then(|| wording::list(&names))
}

/// Each overflow with its place and its sizes: the roof is named where there are several.
fn overflows(job: &crate::model::Job) -> Vec<String> {
    let of_roof = |roof: &crate::model::Roof| -> Vec<String> {
        let name = if job.roofs.len() > 1 { format!("{}, ", roof.name) } else { String::new() };
        let edges = roof.outline.edges.iter().filter_map(|e| Some((e.label(), e.overflow?)));
        let line = |(edge, o): (String, crate::model::shape::Overflow)| {
            let size = format!("{} × {}", o.width.as_mm(), o.height);
            let at = wording::metres(o.at);
            format!(
                "{name}{edge}: {size}, its middle {at} from the edge\u{2019}s start, sill {} above the roof",
                o.above
            )
        };
        edges.map(line).collect()
    };
    job.roofs.iter().flat_map(of_roof).collect()
}

/// What is cut in: `lead flashing`.
fn kinds(job: &Job) -> Vec<String> {
    job.flashings().into_iter().map(|kind| kind.words().to_owned()).collect()
}

/// The door sills with such a detail, each with its roof where there are several.
fn sills(worked: &WholeJob<'_>, detail: SillDetail) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let of = |r: &RoofLayout| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}, ", r.shape.name) } else { String::new() };
        let sills = edge_words::sills(&r.shape, Some(detail));
        sills.iter().map(|words| wording::capital(&format!("{name}{words}"))).collect()
    };
    roofs.iter().flat_map(of).collect()
}

/// Whether a door sill stands lower than a wall's upstand should.
fn sill_below_least(worked: &WholeJob<'_>) -> bool {
    let sills = worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.sill);
    sills.into_iter().any(|sill| sill.left < worked.rules.least_upstand)
}

/// What is said of the walls that each roof is carried over, its roof before it where there are several.
fn parapets(worked: &WholeJob<'_>, say: impl Fn(&RoofLayout) -> Vec<String>) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let of = |r: &RoofLayout| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}, ", r.shape.name) } else { String::new() };
        say(r).iter().map(|words| format!("{name}{words}")).collect()
    };
    roofs.iter().flat_map(of).collect()
}

/// The lining of each wall as it is cut.
fn parapet_cuts(layout: &RoofLayout) -> Vec<String> {
    let of = |lining: &ParapetLining| {
        let side = layout.shape.sides.get(lining.side).map_or("", |s| s.label.as_str());
        let cut = |b: &LiningBoard| {
            let part = if b.top { "top" } else { "face" };
            format!("{} {part} {} × {}", b.mark, b.length.as_mm(), b.width.as_mm())
        };
        format!("{side}: {}", lining.boards.iter().map(cut).collect::<Vec<_>>().join(", "))
    };
    layout.parapets.iter().map(of).collect()
}

fn covered_with(worked: &WholeJob<'_>, cover: Cover) -> bool {
    let walls = worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.coped);
    walls.into_iter().any(|wall| wall.cover == cover)
}

/// What is said of the edges of every roof, its roof before it where there are several.
fn at_edges(worked: &WholeJob<'_>, say: impl Fn(&[Edge]) -> Vec<String>) -> Vec<String> {
    let roofs = &worked.job.roofs;
    let of = |roof: &Roof| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}: ", roof.name) } else { String::new() };
        say(&roof.outline.edges).iter().map(|words| format!("{name}{words}")).collect()
    };
    roofs.iter().flat_map(of).collect()
}

/// What must be settled before work starts: every access answer with yes but the scaffold, which has a place of its own.
fn bought_in(worked: &WholeJob<'_>) -> Vec<String> {
    let wanted = worked.job.wanted().map(|(question, _)| question);
    let wanted = wanted.filter(|q| q.is_for_the_householder() && *q != Access::Scaffold);
    wanted.map(|q| q.words().to_owned()).collect()
}

/// What lies over the deck of a warm roof.
fn insulation(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (roofs, r) = (&worked.take_off.roofs, worked.rules);
    let built = || worked.job.roofs.iter().filter_map(|roof| roof.build_up.as_ref().filter(|b| b.insulation.is_some()));
    let boards = built()
        .filter_map(|b| b.insulation.as_ref())
        .map(|i| format!("{}, {}", i.sheet.name, wording::thickness(&i.sheet)));
    let overlays = built().filter_map(|b| b.overlay.as_ref()).map(wording::thickness);
    let through = built().map(|b| {
        let layers = [b.overlay.as_ref(), b.insulation.as_ref().map(|i| &i.sheet), Some(&b.deck)];
        format!("{} mm", wording::number(layers.into_iter().flatten().map(|s| s.thickness.as_mm()).sum()))
    });
    v.yes("insulated", roofs.iter().any(|r| r.over.is_some()))
        .yes("vapour", roofs.iter().filter_map(|r| r.over.as_ref()).any(|o| !o.vapour.is_empty()))
        .yes("open_ends", roofs.iter().any(|r| r.shape.sides.iter().any(|s| has_edge_timber(s.finish))))
        .text("insulation_boards", wording::list(&wording::once(boards)))
        .text("overlay_boards", wording::list(&wording::once(overlays)))
        .text("screwed_through", wording::list(&wording::once(through)))
        .texts("vapour_strips", &roofs.iter().flat_map(|r| vapour_strips(worked, r)).collect::<Vec<_>>())
        .text("vapour_lap", r.vapour_lap.to_string())
        .text("vapour_upturn", r.vapour_upturn.to_string())
        .text("insulation_stagger", r.insulation_stagger.to_string())
        .text("layer_stagger", r.layer_stagger.to_string());
}

const fn has_edge_timber(finish: Finish) -> bool {
    matches!(finish, Finish::Drip | Finish::Raised)
}

/// `3 strips of 6.24 m from the roll of 2.00 m`, those alike together, from the low edge up.
fn vapour_strips(worked: &WholeJob<'_>, layout: &RoofLayout) -> Vec<String> {
    let Some(over) = &layout.over else { return Vec::new() };
    let roof = if worked.job.roofs.len() > 1 { format!("{}: ", layout.shape.name) } else { String::new() };
    let alike = over.vapour.chunk_by(|a, b| a == b);
    let words = |same: &[VapourStrip]| {
        let strips = wording::plural(same.len(), "strip", "strips");
        format!("{roof}{strips} of {}, roll {} wide", wording::metres(same[0].length), wording::metres(same[0].width))
    };
    alike.map(words).collect()
}

/// What is to be known of the mat: what holds for every roof once, what holds for some under their names.
fn mat_notes(worked: &WholeJob<'_>, words: &Words) -> Result<Vec<String>, Vec<Problem>> {
    let roofs = &worked.take_off.roofs;
    let of = |r: &RoofLayout| r.mat.notes.iter().map(|note| site_words::mat_note(words, note)).collect();
    let notes = roofs.iter().map(of).collect::<Result<Vec<Vec<String>>, _>>()?;
    let told = |note: String| {
        let with = roofs.iter().zip(&notes).filter(|(_, told)| told.contains(&note));
        let with: Vec<String> = with.map(|(r, _)| r.shape.name.clone()).collect();
        if with.len() == roofs.len() { note } else { format!("{}: {note}", escape(&wording::list(&with))) }
    };
    Ok(wording::once(notes.iter().flatten().cloned()).into_iter().map(told).collect())
}

/// `Main roof: at the back`.
fn way_off(r: &RoofLayout) -> Option<String> {
    let side = r.shape.sides.get(r.shape.way_off)?;
    let low = match (r.shape.low_sides.contains(&r.shape.way_off), r.mat.up_the_fall) {
        (true, true) => ", the low edge: strips run up the fall, the furthest from it first",
        (true, false) => ", the low edge",
        _ => "",
    };
    Some(format!("{}: at {}{low}", r.shape.name, side.label))
}

fn the_site(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, firm) = (worked.job, worked.firm);
    let leader = firm.people.first();
    v.maybe("leader", leader.map(|p| &p.name))
        .maybe("leader_phone", leader.and_then(|p| p.phone.as_ref()))
        .maybe("weather_watch", firm.weather_watch.as_ref())
        .maybe("access", job.site.access.as_ref())
        .maybe("eaves", job.site.eaves_height.map(wording::metres))
        .maybe("hospital", job.site.hospital.as_ref())
        .maybe("customer_phone", job.customer.phone.as_ref())
        .yes("asbestos_may_be", job.gravest_asbestos() != Answer::No)
        .yes("asbestos_known", job.gravest_asbestos() == Answer::Yes)
        .maybe("asbestos_at", some_only(job, &asbestos_on(job)))
        .yes("scaffold", matches!(job.answer(Access::Scaffold), Forced::Yes | Forced::Sum))
        .yes("old_building", matches!(job.site.built_before_2000, Some(Answer::Yes | Answer::NotKnown)))
        .yes("adhesive", adhesive(worked))
        .yes("van_carries", job.strips().iter().any(|s| s.tip.key == tipping::VAN))
        .texts("other_contractors", &other_contractors(worked))
        .text("crew", wording::plural(worked.programme.crew as usize, "person", "people"))
        .text("days", wording::plural(worked.programme.days.len(), "day", "days"));
}

fn asbestos_on(job: &Job) -> Vec<&Roof> {
    job.roofs.iter().filter(|roof| job.asbestos_of(roof) != Answer::No).collect()
}

/// Who works there besides the firm, as far as the job tells: with one of them there is more than one contractor.
fn other_contractors(worked: &WholeJob<'_>) -> Vec<String> {
    let job = worked.job;
    let wanted = |question| matches!(job.answer(question), Forced::Yes | Forced::Sum);
    let tiles = job.roofs.iter().flat_map(|r| &r.outline.edges).filter_map(|e| e.under).any(|t| t.by == By::Others);
    let all = [
        ("scaffolders", wanted(Access::Scaffold)),
        ("whoever lifts tiles or slates", tiles),
        ("whoever fits the flashing", job.flashed_by_others().next().is_some()),
        ("whoever deals with the asbestos", job.roofs.iter().any(|r| job.asbestos_of(r) == Answer::Yes)),
    ];
    all.into_iter().filter(|(_, there)| *there).map(|(who, _)| who.to_owned()).collect()
}

fn adhesive(worked: &WholeJob<'_>) -> bool {
    worked.take_off.needs.iter().any(|n| n.role == Role::Adhesive && !n.optional)
}

fn the_rules(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let r = worked.rules;
    let kg = |d| format!("{} kg", wording::number(d));
    v.text("wall_gap", r.wall_gap.to_string())
        .text("pipe_gap", r.pipe_gap.to_string())
        .text("deck_edge_fixing", r.deck_edge_fixing.to_string())
        .text("deck_field_fixing", r.deck_field_fixing.to_string())
        .text("shortest_board", wording::plural(r.shortest_board as usize, "joist space", "joist spaces"))
        .text("drip_battens", wording::plural(r.drip_battens as usize, "layer", "layers"))
        .text("raised_battens", wording::plural(r.raised_battens as usize, "layer", "layers"))
        .text("batten", format!("{} × {} mm", r.batten.thickness.as_mm(), r.batten.width.as_mm()))
        .text("wedge_spacing", r.wedge_spacing.to_string())
        .text("step_return", r.mat_return.step.to_string())
        .text("wall_return", r.mat_return.wall.to_string())
        .text("gutter_return", r.mat_return.gutter.to_string())
        .text("gutter_fillet", r.gutter_fillet.to_string())
        .text("sill_turn", r.sill_turn.to_string())
        .text("masonry_fixing", r.masonry_fixing.to_string())
        .text("dpc_lap", r.dpc_lap.to_string())
        .text("capping_bracket", r.capping_bracket.to_string())
        .text("fillet_up", r.fillet_up.to_string())
        .maybe("tile_nails", (r.tile_nails > 0).then(|| r.tile_nails.to_string()))
        .text("underlay_lap", r.underlay_lap.to_string())
        .text("trim_lap", r.trim_lap.to_string())
        .text("nail_spacing", r.nail_spacing.to_string())
        .text("dab_spacing", r.dab_spacing.to_string())
        .yes("dabs", r.dab_rows > 0)
        .yes("dabs_on_face", r.dab_rows > 1)
        .text("sample", r.sample.to_string())
        .text("ladder_point", wording::metres(r.ladder_point))
        .yes("grains", worked.job.roofs.iter().any(|r| r.topcoat.finish.aggregate.is_some()))
        .text("walk_on_hours", wording::plural(r.walk_on_hours as usize, "hour", "hours"))
        .text("grades", wording::list(&wording::once(worked.job.roofs.iter().filter_map(grade))))
        .texts("broadcasts", &wording::once(worked.job.roofs.iter().filter_map(|roof| broadcast(roof, r))))
        .text("bandage_joint", r.bandage_joint.to_string())
        .text("bandage_trim", r.bandage_trim.to_string())
        .text("bandage_lap", r.bandage_lap.to_string())
        .text("corner_patch", r.corner_patch.to_string())
        .text("mat_lap", r.mat_lap.to_string())
        .text("topcoat_rate", format!("{} kg/m²", wording::number(r.topcoat_rate)))
        .text("max_pot", kg(r.max_pot))
        .text("flashing_piece", wording::metres(r.flashing_piece))
        .text("flashing_lap", r.flashing_lap.to_string())
        .text("flashing_cover", r.flashing_cover.to_string())
        .text("bracket_spacing", wording::metres(r.bracket_spacing))
        .text("least_upstand", r.least_upstand.to_string())
        .text("least_fall", format!("1:{}", wording::number(r.least_fall)))
        .text("falls_by_others", falls(worked, |fall| matches!(fall, RoofFall::Firred(_, By::Others))))
        .text("falls_in_joists", falls(worked, |fall| matches!(fall, RoofFall::InJoists(_))))
        .text("falls_there", falls(worked, |fall| matches!(fall, RoofFall::There(Some(_)))))
        .text("falls_unmeasured", falls(worked, |fall| fall == RoofFall::There(None)))
        .text("cure_hours", format!("{} hours", wording::number(r.cure_hours)));
}

/// The roofs that fall in one way, with the fall where it is known: `Main roof 1:50 and Porch 1:60`.
fn falls(worked: &WholeJob<'_>, are: impl Fn(RoofFall) -> bool) -> String {
    let words = |roof: &Roof| match roof.fall.known() {
        Some(fall) => format!("{} {fall}", roof.name),
        None => roof.name.clone(),
    };
    let roofs: Vec<String> = worked.job.roofs.iter().filter(|r| are(r.fall)).map(words).collect();
    wording::list(&roofs)
}

fn grade(roof: &Roof) -> Option<String> {
    roof.topcoat.finish.aggregate.as_ref().map(|a| a.grade.clone())
}

/// `Main roof: 0.44 kg/m² of topcoat, 1.2 kg/m² of aggregate, 0.4 to 0.8 mm`.
fn broadcast(roof: &Roof, rules: &Rules) -> Option<String> {
    strewn(&roof.name, &roof.topcoat, rules)
}

fn strewn(roof: &str, topcoat: &TopcoatChoice, rules: &Rules) -> Option<String> {
    let aggregate = topcoat.finish.aggregate.as_ref()?;
    let figures = aggregate.figures(rules);
    let coat = rules.topcoat_rate * figures.topcoat / Decimal::ONE_HUNDRED;
    Some(format!(
        "{roof}: {} kg/m² of topcoat, {} kg/m² of aggregate, {}",
        wording::number(coat.round_dp(2)),
        wording::number(figures.rate),
        aggregate.grade
    ))
}

fn weather(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let r = worked.rules;
    let c = |d| format!("{} °C", wording::number(d));
    v.text("air_warn", c(r.air_warn))
        .text("air_stop", c(r.air_stop))
        .text("air_hot", c(r.air_hot))
        .text("dew_margin", c(r.dew_margin))
        .text("humidity_stop", format!("{}%", wording::number(r.humidity_stop)))
        .text("moisture_stop", format!("{}%", wording::number(r.moisture_stop)))
        .text("dry_hours", format!("{} hours", wording::number(r.dry_hours)))
        .text("go", close_up(&worked.programme.weather.words()))
        .maybe("go_while", worked.programme.weather.window.map(|w| format!("{} °C", wording::range_rounded(w, 1))))
        .yes("go_known", worked.programme.weather.verdict != WeatherVerdict::NotKnown)
        .maybe("dew_point", worked.programme.weather.dew_point.map(|t| wording::rounded(t, 1)))
        .maybe("least_surface", worked.programme.weather.least_surface.map(|t| wording::rounded(up_to_a_tenth(t), 1)))
        .texts("stops", &worked.programme.stops.iter().map(|s| stop_in_words(s, worked)).collect::<Vec<_>>())
        .yes("mix_known", !worked.programme.mix.is_empty());
}

/// `Day 1: stop after strip 2, 1.90 m up from the low edge.`
fn stop_in_words(stop: &Stop, worked: &WholeJob<'_>) -> String {
    let roof = if worked.job.roofs.len() > 1 { format!("{}, ", stop.roof) } else { String::new() };
    let opened = wording::square_metres(stop.opened);
    match (stop.whole_roof, stop.line) {
        (true, _) => format!("Day {}: {roof}the whole roof is closed ({opened}).", stop.day),
        (false, Some(line)) => {
            format!("Day {}: {roof}stop after strip {}, {} up ({opened}).", stop.day, stop.strip, wording::metres(line))
        }
        (false, None) => {
            format!("Day {}: {roof}stop after strip {} ({opened}).", stop.day, stop.strip)
        }
    }
}

/// Per cent signs stand close to their figures.
fn close_up(words: &str) -> String {
    words.replace(" %", "%")
}

fn pots(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let plan = worked.programme.pots.as_ref();
    v.yes("pots_known", plan.is_some())
        .yes("pots_lay", plan.is_some_and(|p| !p.pots.is_empty()))
        .yes("pots_assumed", plan.is_some_and(|p| p.assumed))
        .yes("pots_several", plan.is_some_and(|p| p.doses.len() > 1))
        .yes("gel_is_thumb", plan.is_some_and(|p| p.gel.rule_of_thumb))
        .maybe("pots_at", plan.map(|p| format!("{} °C", wording::number(p.temperature))))
        .maybe("gel_minutes", plan.map(|p| format!("{} minutes", wording::rounded(p.gel.minutes, 0))))
        .maybe("pot_size", plan.map(|p| weight(p.size)))
        .maybe("pots_resin", plan.map(|p| wording::kilograms(p.resin.as_kg())))
        .maybe("resin_ordered", plan.map(|p| wording::kilograms(p.ordered.as_kg())))
        .maybe("pot_dose", plan.map(pot_doses));
}

/// `16.5 ml`, or `16.5 ml at 5 to 10 °C and 14.2 ml at 10 to 15 °C`.
fn pot_doses(plan: &PotPlan) -> String {
    let ml = |d: &PotDose| format!("{} ml", wording::rounded(d.laminate.ml_per_kg, 1));
    match plan.doses.as_slice() {
        [one] => ml(one),
        all => wording::list(&all.iter().map(|d| format!("{} at {}", ml(d), row_of_card(d))).collect::<Vec<_>>()),
    }
}

/// `5 to 10 °C`, as the mix card names its rows.
fn row_of_card(dose: &PotDose) -> String {
    format!("{} to {} °C", wording::number(dose.from), wording::number(dose.to))
}

/// What a scale at the mixing place shows: `3.42 kg`.
fn weight(mass: Mass) -> String {
    format!("{} kg", wording::rounded(mass.as_kg(), 2))
}

/// Goods for this job alone, as a list names them.
fn titles(job: &Job, wanted: impl Fn(&Goods) -> bool) -> Vec<String> {
    job.goods.iter().filter(|goods| wanted(goods)).map(Goods::title).collect()
}

/// What each operation needs, from the lines of the take-off.
fn materials(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    use LineId as Id;
    let laid = || worked.take_off.lines.iter().filter(|l| !l.work.is_on_old());
    let of = |is: fn(LineId) -> bool| amounts(laid().filter(|l| is(l.id)));
    let prepared = |id| {
        matches!(
            id,
            Id::FirringLength
                | Id::BattenLength
                | Id::DeckNoggins
                | Id::SawnLengths
                | Id::TrimmerHangers
                | Id::TrimmerFixings
                | Id::KerbFixings
        )
    };
    v.texts("prepare_materials", &of(prepared))
        .texts(
            "finish_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::FlashingLength
                        | Id::FlashingWedges
                        | Id::FlashingSealant
                        | Id::SealTemporary
                        | Id::SillSealant
                        | Id::CopingMortar
                        | Id::CopingDpc
                        | Id::CappingLength
                        | Id::CappingBrackets
                        | Id::CappingFixings
                        | Id::CappingEnds
                        | Id::CappingCorners
                        | Id::GutterBrackets
                        | Id::TieUnderlay
                        | Id::TieBattens
                        | Id::TieBattenNails
                        | Id::TieNails
                        | Id::TieTiles
                )
            }),
        )
        .texts(
            "deck_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::DeckBoards
                        | Id::DeckFixings
                        | Id::DeckNoggins
                        | Id::VentRun
                        | Id::BoxBoards
                        | Id::BoxFixings
                        | Id::BoxBearers
                        | Id::BoxFillets
                )
            }),
        )
        .texts(
            "insulation_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::VapourArea | Id::InsulationBoards | Id::EdgeTimber | Id::OverlayBoards | Id::OverlayFixings
                )
            }),
        )
        .texts(
            "trim_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::TrimLengths(_)
                        | Id::CornerExternal
                        | Id::CornerInternal
                        | Id::ClosureLeft
                        | Id::ClosureRight
                        | Id::NailsClout
                        | Id::AdhesiveDabs
                        | Id::AdhesiveCartridges
                        | Id::PipeCollars
                        | Id::RoofOutlets
                        | Id::RoofOverflows
                        | Id::TieBoard
                        | Id::TieFillet
                        | Id::TieFixings
                        | Id::ParapetBoards
                        | Id::ParapetFixings
                        | Id::ParapetPrimer
                        | Id::ParapetMortar
                )
            }),
        )
        .texts(
            "bandage_materials",
            &of(|id| matches!(id, Id::BandageLength(_) | Id::BandageLaps(_) | Id::BandageResin)),
        )
        .texts(
            "laminate_materials",
            &of(|id| matches!(id, Id::MatArea | Id::LaminateResin | Id::SealResin | Id::BoxLining | Id::BoxResin)),
        )
        .texts(
            "topcoat_materials",
            &of(|id| matches!(id, Id::TopcoatMass | Id::SurfaceTopcoat | Id::SurfaceAggregate | Id::BoxTopcoat)),
        );
}

/// `Mat: 21.4 m²` for each thing that the lines name, of all roofs together.
fn amounts<'a>(lines: impl Iterator<Item = &'a Line>) -> Vec<String> {
    let mut sums: Vec<(&str, Unit, Decimal)> = Vec::new();
    for line in lines {
        match sums.iter_mut().find(|(item, unit, _)| *item == line.item && *unit == line.unit) {
            Some((.., sum)) => *sum += line.quantity,
            None => sums.push((&line.item, line.unit, line.quantity)),
        }
    }
    sums.into_iter().map(|(item, unit, sum)| amount(item, unit, sum)).collect()
}

fn amount(item: &str, unit: Unit, sum: Decimal) -> String {
    format!("{}:\u{a0}{}", wording::capital(&item.replace("m2", "m²")), wording::quantity(sum, unit, 1))
}

// ---- Places ------------------------------------------------------------------------------------------------------

fn places(worked: &WholeJob<'_>, words: &Words) -> Result<BTreeMap<String, Vec<Block>>, Vec<Problem>> {
    let mut places: BTreeMap<String, Vec<Block>> = BTreeMap::new();
    let mut put = |name: &str, blocks: Vec<Block>| places.insert(name.to_owned(), blocks);
    put("facts", vec![facts(worked)]);
    put("day-chart", figures(day_chart::draw(worked.programme, Space::HALF_PAGE)));
    put("firring-views", firring_views(worked));
    put("timber-cuts", opening_words::cuts(worked));
    put("pot-list", pot_list(worked));
    put("weather-answer", vec![Block::Table(weather_answer(worked, words)?)]);
    put("roof-plans", roof_plans(worked));
    let old = OldRoofView::all(worked);
    put("old-roof-plans", figures(old.iter().map(|r| patch_plan::draw(r.layout, Space::HALF_PAGE))));
    put("patch-list", old_roof_words::patch_list(&old));
    put("patch-sections", figures(patch_sections(worked)));
    put("deck-plans", figures(worked.take_off.roofs.iter().filter_map(|r| deck_plan::draw(r, Space::HALF_PAGE))));
    put("deck-list", deck_list(worked));
    put("gutter-bearers", box_gutters::bearers(worked));
    put("gutter-boards", box_gutters::boards(worked));
    put("insulation-plans", figures(worked.take_off.roofs.iter().filter_map(|r| insulation_figure(worked, r))));
    put("insulation-list", insulation_list(worked));
    let overlays = worked.take_off.roofs.iter().filter_map(|r| deck_plan::draw_overlay(r, Space::MOST_OF_A_PAGE));
    put("overlay-plans", figures(overlays));
    put("overlay-list", overlay_list(worked));
    put("trim-plans", trim_plans(worked));
    put("cut-list", cut_list(worked, words)?);
    put("laps", laps(worked));
    put("corners", corner_list(worked, words)?);
    put("sections", figures(edge_sections(worked)));
    put("mat-plans", figures(worked.take_off.roofs.iter().flat_map(|r| mat_plans(worked, r))));
    put("mat-list", mat_list(worked));
    put("mix-card", vec![Block::Table(mix_card(worked))]);
    put("surface-table", vec![Block::Table(surface_table(worked))]);
    put("weather-log", vec![Block::Table(weather_log())]);
    put("hazards", hazards(worked));
    put("protection", vec![Block::Table(protection(worked))]);
    put("limits", vec![Block::Table(limits(worked))]);
    put("first-aid", vec![Block::Table(pairs("What happened", "What to do", response::FIRST_AID))]);
    put("checks", vec![Block::Table(findings::table(&checked(worked), worked.job.roofs.len() > 1))]);
    put("waste", vec![Block::Table(waste(worked))]);
    put("briefed", vec![Block::Table(briefed())]);
    put("emergency", vec![emergency(worked)]);
    Ok(places)
}

/// The edge of a patch as built: of the first with new board under it, and of the first without.
fn patch_sections(worked: &WholeJob<'_>) -> Vec<Figure> {
    let roofs = worked.job.old_roofs.iter();
    let all = || roofs.clone().flat_map(|roof| roof.patches.iter().map(move |patch| (roof, patch)));
    let first = |decked: bool| all().find(|(_, patch)| patch.deck.is_some() == decked);
    let draw = |(roof, patch): (&OldRoof, &LaminatePatch)| {
        let board = patch.deck.as_ref().and_then(|key| worked.products.boards.get(key)).map(|b| b.thickness);
        let recoated = roof.recoat.is_some();
        patch_plan::section(PatchBuild { rules: worked.rules, layers: patch.layers, board, recoated })
    };
    [first(false), first(true)].into_iter().flatten().map(draw).collect()
}

fn mat_plans(worked: &WholeJob<'_>, layout: &RoofLayout) -> Vec<Figure> {
    mat_plan::draw(layout, worked.programme.pots.as_ref(), Space::HALF_PAGE)
}

/// The pots with their strips, resin and catalyst, a box to tick for each; equal shares of one strip stand in one row.
fn pot_list(worked: &WholeJob<'_>) -> Vec<Block> {
    let Some(plan) = &worked.programme.pots else { return Vec::new() };
    let mut columns = vec![left("Pot"), wide("Lays", 1), right("Resin")];
    match plan.doses.as_slice() {
        [_] => columns.push(right("Catalyst")),
        several => columns.extend(several.iter().map(|d| right(&format!("Catalyst, {}", row_of_card(d))))),
    }
    columns.push(left("Laid"));
    let mut rows: Vec<Row> = (!plan.pots.is_empty()).then(|| group("Laminate", columns.len())).into_iter().collect();
    rows.extend(alike(&plan.pots).into_iter().map(|p| pot_row(p, worked, "strip")));
    if !plan.topcoat.is_empty() {
        rows.push(group("Topcoat", columns.len()));
        rows.extend(alike(&plan.topcoat).into_iter().map(|p| pot_row(p, worked, "part")));
    }
    vec![Block::Table(Table { columns, rows, header: true })]
}

/// Runs of pots that share one strip evenly; every other pot alone.
fn alike(pots: &[Pot]) -> Vec<&[Pot]> {
    let shares = |p: &Pot| p.parts.len() == 1 && p.parts[0].share.1 > 1;
    let key = |p: &Pot| (p.parts[0].roof.clone(), p.parts[0].mark.clone(), weight(p.resin), p.catalyst_ml.clone());
    pots.chunk_by(|a, b| shares(a) && shares(b) && key(a) == key(b)).collect()
}

fn pot_row(pots: &[Pot], worked: &WholeJob<'_>, what: &str) -> Row {
    let (first, last) = (&pots[0], &pots[pots.len() - 1]);
    let each = if pots.len() > 1 { " each" } else { "" };
    let numbers = match pots.len() {
        1 => first.number.to_string(),
        _ => format!("{} to {}", first.number, last.number),
    };
    let lays = match (pots.len(), first.parts.as_slice()) {
        (n, [part]) if n > 1 && n == part.share.1 as usize => {
            let whole = PotPart { share: (1, 1), ..part.clone() };
            format!("{}, one part in {n} each", part_of_pot(&whole, worked, what))
        }
        _ => {
            let parts = pots.iter().flat_map(|p| &p.parts).map(|p| part_of_pot(p, worked, what));
            wording::list(&parts.collect::<Vec<_>>())
        }
    };
    let mut cells =
        vec![strong(numbers), cell(wording::capital(&lays)), strong(format!("{}{each}", weight(first.resin)))];
    cells.extend(first.catalyst_ml.iter().map(|ml| strong(format!("{} ml{each}", wording::number(*ml)))));
    cells.push(cell(vec!["☐"; pots.len()].join(" ")));
    plain(cells)
}

/// `strip 2`, `strip 2, share 1 of 3`, `Garage, strip 2`, `part 1 of 4`.
fn part_of_pot(part: &PotPart, worked: &WholeJob<'_>, what: &str) -> String {
    let (i, n) = part.share;
    let what = if part.patch { "patch" } else { what };
    let piece = match (part.mark.as_str(), n) {
        ("", 1) => "all over".to_owned(),
        ("", n) => format!("{what} {i} of {n}"),
        (mark, 1) => format!("{what} {mark}"),
        (mark, n) => format!("{what} {mark}, share {i} of {n}"),
    };
    let many = worked.job.roof_names().count() > 1 && !part.roof.is_empty();
    if many { format!("{}, {piece}", part.roof) } else { piece }
}

/// Each rule held against the stated weather.
fn weather_answer(worked: &WholeJob<'_>, words: &Words) -> Result<Table, Vec<Problem>> {
    let row = |c: &crate::programme::weather::Check| {
        let mut answer = vec![Span::bold(wording::capital(c.verdict.word()))];
        if c.verdict != WeatherVerdict::Go {
            answer.push(Span::plain(": "));
            answer.extend(site_words::weather_answer(words, c)?);
        }
        let stated = c.stated.as_deref().map_or_else(|| "not stated".to_owned(), close_up);
        let measured = wording::capital(c.measured.words());
        let what = if c.roofs.is_empty() { measured } else { format!("{measured}, {}", wording::list(&c.roofs)) };
        Ok(plain(vec![cell(what), cell(stated), cell(close_up(&c.limit)), answer]))
    };
    let rows = worked.programme.weather.checks.iter().map(row).collect::<Result<Vec<Row>, Vec<Problem>>>()?;
    Ok(Table { columns: vec![left("What"), left("Stated"), left("Limit"), wide("Answer", 1)], rows, header: true })
}

fn figures(all: impl IntoIterator<Item = Figure>) -> Vec<Block> {
    all.into_iter().map(Block::Figure).collect()
}

/// Blocks in three columns, row by row.
fn by_threes(all: Vec<Vec<Block>>) -> Vec<Block> {
    let mut rows = Vec::new();
    let mut parts = all.into_iter();
    while let Some(first) = parts.next() {
        let mut next = || parts.next().unwrap_or_default();
        rows.push(Block::Columns(vec![first, next(), next()]));
    }
    rows
}

fn facts(worked: &WholeJob<'_>) -> Block {
    let job = worked.job;
    let mut facts = vec![
        ("Where".to_owned(), strong(job.site.address.join(", "))),
        ("For".to_owned(), cell(&job.customer.name)),
        ("What".to_owned(), cell(what(worked))),
    ];
    let mut put = |label: &str, value: Option<String>| {
        if let Some(value) = value {
            facts.push((label.to_owned(), cell(value)));
        }
    };
    put("Start", worked.first_day().map(wording::day_and_date));
    let eaves = job.site.eaves_height.map(|height| format!("eaves {} up", wording::metres(height)));
    let access: Vec<String> = [job.site.access.clone(), eaves].into_iter().flatten().collect();
    put("Access", (!access.is_empty()).then(|| wording::capital(&access.join("; "))));
    for (i, person) in worked.firm.people.iter().enumerate() {
        let phone = person.phone.as_ref().map(|phone| format!(", {phone}")).unwrap_or_default();
        let leads = if i == 0 { ", in charge" } else { "" };
        put(&wording::capital(&person.role), Some(format!("{}{phone}{leads}", person.name)));
    }
    put("Watches the weather", worked.firm.weather_watch.clone());
    Block::Facts(facts)
}

/// `Main roof, 16.7 m². Dark grey (smooth)`.
fn what(worked: &WholeJob<'_>) -> String {
    let roofs: Vec<String> = worked.job.roof_names().cloned().collect();
    let roofs = if roofs.len() > 4 { format!("{} roofs", roofs.len()) } else { wording::list(&roofs) };
    let old = worked.take_off.old_roofs.iter().map(|r| r.area);
    let area = worked.take_off.roofs.iter().map(|r| r.shape.area).chain(old).sum();
    format!("{roofs}, {}. {}", wording::square_metres(area), wording::capital(&colours(worked)))
}

fn colours(worked: &WholeJob<'_>) -> String {
    let colours = worked.job.topcoats().map(|t| format!("{} ({})", t.colour, t.finish.words));
    wording::list(&wording::once(colours))
}

fn roof_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let plan = |r: &RoofLayout| {
        let roof = worked.job.roofs.get(r.shape.index)?;
        Some(roof_plan::draw(r, roof, Audience::Site, Space::HALF_PAGE))
    };
    figures(worked.take_off.roofs.iter().filter_map(plan))
}

fn deck_list(worked: &WholeJob<'_>) -> Vec<Block> {
    board_list(worked, |r| r.deck.as_ref().map(|d| d.pieces.iter().map(board_cells).collect()))
}

fn overlay_list(worked: &WholeJob<'_>) -> Vec<Block> {
    let overlay = |r: &RoofLayout| Some(r.over.as_ref()?.overlay.as_ref()?.pieces.iter().map(board_cells).collect());
    board_list(worked, overlay)
}

fn insulation_list(worked: &WholeJob<'_>) -> Vec<Block> {
    board_list(worked, |r| {
        let whole = whole_insulation(worked, r)?;
        let cells = |p: &InsulationPiece| piece_cells(&p.mark, (p.length, p.width), is_whole(p, whole), p.board);
        Some(r.over.as_ref()?.insulation.pieces.iter().map(cells).collect())
    })
}

fn insulation_figure(worked: &WholeJob<'_>, layout: &RoofLayout) -> Option<Figure> {
    insulation_plan::draw(layout, whole_insulation(worked, layout)?, Space::MOST_OF_A_PAGE)
}

/// The size of a whole insulation board of a roof.
fn whole_insulation(worked: &WholeJob<'_>, layout: &RoofLayout) -> Option<(Length, Length)> {
    let board = worked.job.roofs.get(layout.shape.index)?.build_up.as_ref()?.insulation.as_ref()?;
    Some((board.length, board.width))
}

/// Pieces side by side, down the left part first: a long list in three parts, so that it stands under its plan.
fn board_list(worked: &WholeJob<'_>, pieces: impl Fn(&RoofLayout) -> Option<Vec<Vec<Vec<Span>>>>) -> Vec<Block> {
    let many = worked.take_off.roofs.len() > 1;
    let lists: Vec<_> = worked.take_off.roofs.iter().filter_map(|r| Some((&r.shape.name, pieces(r)?))).collect();
    let parts = match lists.iter().map(|(_, pieces)| pieces.len()).max().unwrap_or(0) {
        0 | 1 => 1,
        2..=18 => 2,
        _ => 3,
    };
    let mut rows = Vec::new();
    for (name, pieces) in &lists {
        if many {
            rows.push(group(*name, 3 * parts));
        }
        let depth = pieces.len().div_ceil(parts);
        let at = |i: usize| pieces.get(i).cloned().unwrap_or_else(|| vec![Vec::new(); 3]);
        rows.extend((0..depth).map(|i| plain((0..parts).flat_map(|p| at(p * depth + i)).collect())));
    }
    let part = || [left("Piece"), wide("Size, mm", 1), left("Board")];
    vec![Block::Table(Table { columns: (0..parts).flat_map(|_| part()).collect(), rows, header: true })]
}

/// The tapered firrings of every roof as drawings, then the level ones as one table.
fn firring_views(worked: &WholeJob<'_>) -> Vec<Block> {
    let roofs = &worked.take_off.roofs;
    let mut blocks = figures(roofs.iter().flat_map(firrings::draw));
    let lists: Vec<_> = roofs.iter().map(|r| (&r.shape.name, firrings::level(r))).filter(|l| !l.1.is_empty()).collect();
    let mut rows = Vec::new();
    for (name, kinds) in &lists {
        if lists.len() > 1 {
            rows.push(group(*name, 3));
        }
        let row = |&(length, depth, n): &(Length, Length, usize)| {
            plain(vec![cell(n.to_string()), cell(length.as_mm().to_string()), cell(depth.as_mm().to_string())])
        };
        rows.extend(kinds.iter().map(row));
    }
    if !rows.is_empty() {
        let columns = vec![left("Level firrings"), left("Length, mm"), left("Depth, mm")];
        blocks.push(Block::Table(Table { columns, rows, header: true }));
    }
    blocks
}

fn board_cells(p: &BoardPiece) -> Vec<Vec<Span>> {
    piece_cells(&p.mark, (p.length, p.width), p.whole, p.board)
}

fn piece_cells(mark: &str, (length, width): (Length, Length), whole: bool, board: usize) -> Vec<Vec<Span>> {
    let size = if whole { "whole".to_owned() } else { format!("{} × {}", length.as_mm(), width.as_mm()) };
    vec![strong(mark), cell(size), cell((board + 1).to_string())]
}

fn trim_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let profiles = &worked.take_off.profiles;
    figures(worked.take_off.roofs.iter().map(|r| trim_plan::draw(profiles, r, Space::PAGE)))
}

/// For each profile, every stock length with the pieces that are cut from it, in cutting order.
fn cut_list(worked: &WholeJob<'_>, words: &Words) -> Result<Vec<Block>, Vec<Problem>> {
    let columns = vec![
        left("No."),
        left("Piece"),
        right("mm"),
        wide("Where", 2),
        wide("Start", 3),
        wide("End", 3),
        right("Left"),
        centre("Cut"),
    ];
    let mut rows = Vec::new();
    for profile in &worked.take_off.profiles {
        rows.push(group(profile_title(profile, worked), columns.len()));
        for (i, bar) in profile.bars.iter().enumerate() {
            rows.extend(bar_rows(profile, i, bar, only_roof(worked), words)?);
        }
    }
    Ok(vec![Block::Table(Table { columns, rows, header: true })])
}

/// `Drip trim: 2 lengths of 3000 mm. Samples from lengths 1 and 2`.
fn profile_title(profile: &ProfilePlan, worked: &WholeJob<'_>) -> String {
    let mut stocks: Vec<i64> = profile.bars.iter().map(|b| b.stock.as_mm()).collect();
    stocks.dedup();
    let of: Vec<String> = stocks.iter().map(|s| format!("{s} mm")).collect();
    let sample = profile
        .bars
        .iter()
        .position(|b| b.sample)
        .map(|i| format!(". The {} sample comes from length {}", worked.rules.sample, i + 1));
    let lengths = wording::plural(profile.bars.len(), "length", "lengths");
    let name = profile_name(profile.finish);
    format!("{name}: {lengths} of {}{}", wording::list(&of), sample.unwrap_or_default())
}

/// What a profile is called.
pub const fn profile_name(finish: Finish) -> &'static str {
    match finish {
        Finish::Drip => "Drip trim",
        Finish::Raised => "Raised edge trim",
        Finish::Wall => "Wall fillet trim",
        Finish::Kerb => "Angle fillet trim",
        Finish::Step => "Step",
        Finish::Gutter => "Box gutter",
    }
}

/// The pieces of one stock length: its number stands at the first, what is left over at the last.
fn bar_rows(
    profile: &ProfilePlan,
    number: usize,
    bar: &Bar,
    only: Option<&str>,
    words: &Words,
) -> Result<Vec<Row>, Vec<Problem>> {
    let found = bar.cuts.iter().filter_map(|mark| piece_of(profile, mark));
    let mut rows = found.map(|(run, piece)| piece_row(run, piece, only, words)).collect::<Result<Vec<Row>, _>>()?;
    if let Some(first) = rows.first_mut() {
        first.cells[0] = cell((number + 1).to_string());
    }
    if let Some(last) = rows.last_mut() {
        last.cells[6] = cell(bar.offcut.as_mm().to_string());
    }
    Ok(rows)
}

fn piece_of<'a>(profile: &'a ProfilePlan, mark: &str) -> Option<(&'a TrimRun, &'a TrimPiece)> {
    let mut pieces = profile.runs.iter().flat_map(|r| r.pieces.iter().map(move |p| (r, p)));
    pieces.find(|(_, p)| p.mark == mark)
}

fn piece_row(run: &TrimRun, p: &TrimPiece, only: Option<&str>, words: &Words) -> Result<Row, Vec<Problem>> {
    Ok(plain(vec![
        cell(""),
        strong(&p.mark),
        strong(p.length.as_mm().to_string()),
        cell(short_label(&run.label, only)),
        site_words::cut(words, &p.start_cut)?,
        site_words::cut(words, &p.end_cut)?,
        cell(""),
        cell("☐"),
    ]))
}

/// Which piece lies on top at each lap.
fn laps(worked: &WholeJob<'_>) -> Vec<Block> {
    let only = only_roof(worked);
    let of_run = |run: &TrimRun| -> Vec<Row> {
        let pairs = run.pieces.iter().zip(run.pieces.iter().skip(1));
        run.laps.iter().zip(pairs).map(|(lap, ends)| lap_row(&short_label(&run.label, only), lap, ends)).collect()
    };
    let runs = worked.take_off.profiles.iter().flat_map(|p| &p.runs);
    let rows: Vec<Row> = runs.flat_map(of_run).collect();
    if rows.is_empty() {
        return vec![Block::Paragraph(cell("There are no laps on this job: every run comes out of one length."))];
    }
    vec![Block::Table(Table {
        columns: vec![wide("Where", 2), left("On top"), left("Under"), right("Lap"), right("From start")],
        rows,
        header: true,
    })]
}

/// The one roof of a job, whose name need not be said again and again.
fn only_roof<'a>(worked: &WholeJob<'a>) -> Option<&'a str> {
    match worked.job.roofs.as_slice() {
        [one] => Some(&one.name),
        _ => None,
    }
}

/// `Front` for `Main roof, front`, where there is one roof.
fn short_label(label: &str, only: Option<&str>) -> String {
    let short = only.and_then(|roof| label.strip_prefix(roof)).and_then(|rest| rest.strip_prefix(", "));
    wording::capital(short.unwrap_or(label))
}

fn lap_row(place: &str, lap: &Lap, (a, b): (&TrimPiece, &TrimPiece)) -> Row {
    let (top, under) = match lap.over {
        LapOver::Earlier => (a, b),
        LapOver::Later => (b, a),
    };
    let (length, at) = (lap.length.to_string(), lap.at.to_string());
    plain(vec![cell(place), strong(&top.mark), cell(&under.mark), cell(length), cell(at)])
}

/// Each kind of corner: its drawing with what is done there beneath, three in a row.
fn corner_list(worked: &WholeJob<'_>, words: &Words) -> Result<Vec<Block>, Vec<Problem>> {
    let many = worked.take_off.roofs.len() > 1;
    let mut blocks = Vec::new();
    for layout in &worked.take_off.roofs {
        let drawn = corners::draw(layout, |j| site_words::corner(words, &layout.shape, j))?;
        if many && !drawn.is_empty() {
            blocks.push(Block::Heading { level: 3, text: cell(&layout.shape.name) });
        }
        blocks.extend(by_threes(drawn.into_iter().map(corner).collect()));
    }
    Ok(blocks)
}

fn corner(drawn: corners::Drawn) -> Vec<Block> {
    let mut words = vec![Span::bold(format!("{}. ", drawn.corners))];
    words.extend(drawn.instruction);
    let figure = Figure { caption: String::new(), ..drawn.figure };
    vec![Block::Figure(figure), Block::Paragraph(words)]
}

/// A section for each finish on this job, from its own first edge.
fn edge_sections(worked: &WholeJob<'_>) -> Vec<Figure> {
    let board = worked.job.roofs.iter().find_map(|r| r.deck.board.as_ref()).and_then(|k| worked.products.boards.get(k));
    let board = board.map_or(Length::mm(18), |b| b.thickness);
    let over = worked.job.roofs.iter().find_map(|r| r.build_up.as_ref()).and_then(layers_over);
    let shown = |f: Finish| {
        let edge = worked.job.roofs.iter().flat_map(|r| &r.outline.edges).find(|e| e.finish == f);
        let hole = worked
            .job
            .roofs
            .iter()
            .flat_map(|r| &r.holes)
            .any(|h| h.finish == f && !matches!(h.form, HoleForm::Round { .. }));
        (edge.is_some() || hole).then(|| {
            let gutter = edge.and_then(|e| e.gutter.as_ref());
            let (upstand, flashing) = (first_upstand(worked), drawn_flashing(worked));
            let box_gutter = worked.take_off.roofs.iter().flat_map(|r| &r.box_gutters).next();
            let rules = worked.rules;
            let build = Build {
                rules,
                board,
                over,
                gutter,
                box_gutter,
                upstand,
                flashing,
                under: None,
                sill: None,
                coped: None,
                kerb: new_kerb(worked),
            };
            match f {
                Finish::Wall => {
                    let sills = sills_once(worked).into_iter().map(|sill| Build { sill: Some(sill), ..build });
                    let plain = (hole || has_plain_wall(worked)).then_some(build);
                    let walls = walls_once(worked).into_iter().map(|wall| Build { coped: Some(wall), ..build });
                    plain.into_iter().chain(sills).chain(walls).collect()
                }
                Finish::Step => ways_under(worked).into_iter().map(|under| Build { under, ..build }).collect(),
                _ => vec![build],
            }
        })
    };
    let draw = |f| shown(f).into_iter().flatten().map(move |build| sections::draw(f, build));
    Finish::ALL.into_iter().flat_map(draw).collect()
}

/// The first kerb that is built new: its timber, how far it stands above the roof, and what it stands on.
fn new_kerb(worked: &WholeJob<'_>) -> Option<NewKerb> {
    let of = |(roof, laid): (&Roof, &RoofLayout)| {
        let &(hole, depth) = laid.openings.kerbs.first()?;
        let timber = roof.holes.get(hole)?.timber;
        Some(NewKerb { section: timber.kerb?, depth, trimmers: timber.trimmers })
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).find_map(of)
}

/// Whether there is a stretch of wall that no door stands in and that the roof is not carried over.
fn has_plain_wall(worked: &WholeJob<'_>) -> bool {
    worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).any(Side::is_plain_wall)
}

/// The walls that the roof is carried over, those alike once: what meets their ends is not drawn.
fn walls_once(worked: &WholeJob<'_>) -> Vec<CopedWall> {
    let alike = |a: &CopedWall, b: &CopedWall| {
        (a.left, a.width, a.lining, a.cover, a.by) == (b.left, b.width, b.lining, b.cover, b.by)
    };
    let mut walls: Vec<CopedWall> = Vec::new();
    for wall in worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.coped) {
        if !walls.iter().any(|drawn| alike(drawn, &wall)) {
            walls.push(wall);
        }
    }
    walls
}

/// The door sills, those alike once.
fn sills_once(worked: &WholeJob<'_>) -> Vec<Sill> {
    let mut sills: Vec<Sill> = Vec::new();
    for sill in worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.sill) {
        if !sills.contains(&sill) {
            sills.push(sill);
        }
    }
    sills
}

/// How steps are tied in, each way once, whoever lifts the tiles.
fn ways_under(worked: &WholeJob<'_>) -> Vec<Option<UnderTiles>> {
    let steps = worked.job.roofs.iter().flat_map(|r| &r.outline.edges).filter(|e| e.finish == Finish::Step);
    let mut ways: Vec<Option<UnderTiles>> = Vec::new();
    for under in steps.map(|e| e.under.map(|tiles| UnderTiles { by: By::Us, ..tiles })) {
        if !ways.contains(&under) {
            ways.push(under);
        }
    }
    ways
}

/// The flashing that the section at a wall shows: the first that is cut in, else none.
fn drawn_flashing(worked: &WholeJob<'_>) -> Flashing {
    let roofs = &worked.job.roofs;
    let cut_in = |kind: &Flashing| kind.is_cut_in() && roofs.iter().any(|r| r.is_flashed_with(*kind));
    Flashing::ALL.into_iter().find(cut_in).unwrap_or(Flashing::None)
}

/// What is left above the finished roof of the upstand at the first wall.
fn first_upstand(worked: &WholeJob<'_>) -> Option<Length> {
    let first = |laid: &RoofLayout| laid.shape.sides.iter().position(Side::is_plain_wall);
    let laid = worked.job.roofs.iter().zip(&worked.take_off.roofs);
    let found = laid.filter_map(|(r, laid)| Some((r, laid, first(laid)?))).next();
    let (roof, laid, edge) = found?;
    let board = roof.deck.board.as_ref().and_then(|kind| worked.products.boards.get(kind));
    upstand_left(&laid.shape, roof, worked.rules, board, edge)
}

/// Thicknesses of the insulation and of the board over it, to the nearest millimetre.
fn layers_over(build_up: &BuildUp) -> Option<(Length, Length)> {
    let mm = |sheet: &MaterialLayer| sheet.thickness.as_mm().round().to_i64().map(Length::mm);
    Some((mm(&build_up.insulation.as_ref()?.sheet)?, mm(build_up.overlay.as_ref()?)?))
}

/// The strips as they are cut, in the order in which they are laid.
fn mat_list(worked: &WholeJob<'_>) -> Vec<Block> {
    let many = worked.take_off.roofs.len() > 1;
    let mut rows = Vec::new();
    for layout in &worked.take_off.roofs {
        if many {
            rows.push(group(&layout.shape.name, 4));
        }
        let mut pieces: Vec<&MatPiece> = layout.mat.pieces.iter().collect();
        pieces.sort_by_key(|p| p.order);
        rows.extend(pieces.into_iter().map(|p| {
            let size = format!("{} × {}", p.length.as_mm(), p.width.as_mm());
            plain(vec![strong(&p.mark), cell(size), cell((p.layer + 1).to_string()), cell("☐")])
        }));
    }
    let columns = vec![left("Strip"), wide("Cut, mm", 1), right("Layer"), centre("Cut")];
    vec![Block::Table(Table { columns, rows, header: true })]
}

/// Every row of the card: by mass, for a kilogram, and for the largest pot that is laid in time at that temperature.
fn mix_card(worked: &WholeJob<'_>) -> Table {
    let dose = |d: &MixDose, pot_ml: Decimal| {
        [
            cell(format!("{}%", wording::number(d.percent))),
            strong(format!("{} ml", wording::rounded(d.ml_per_kg, 1))),
            strong(format!("{} ml", wording::rounded(pot_ml, 0))),
        ]
    };
    let rows = worked.programme.mix.iter().map(|m| {
        let kind = if m.today { RowKind::Marked } else { RowKind::Plain };
        let mark = if m.today { "today ▶ " } else { "" };
        let mut cells = vec![strong(format!("{mark}{} to {} °C", wording::number(m.from), wording::number(m.to)))];
        cells.push(cell(format!("{} kg", wording::rounded(m.pot.as_kg(), 1))));
        cells.extend(dose(&m.laminate, m.laminate_pot_ml));
        cells.extend(dose(&m.topcoat, m.topcoat_pot_ml));
        row(kind, cells)
    });
    let columns = vec![
        wide("Air", 1),
        right("A pot"),
        right("Resin"),
        right("for 1 kg"),
        right("a pot"),
        right("Topcoat"),
        right("for 1 kg"),
        right("a pot"),
    ];
    Table { columns, rows: rows.collect(), header: true }
}

/// How warm the surface must be, by air temperature and humidity.
fn surface_table(worked: &WholeJob<'_>) -> Table {
    let rows = &worked.programme.least_surfaces;
    let mut columns = vec![wide("Air", 1)];
    let humidities = rows.first().into_iter().flat_map(|r| &r.least);
    columns.extend(humidities.map(|(h, _)| right(&format!("{}%", wording::number(*h)))));
    let cells = |r: &LeastSurfaces| {
        let least = r.least.iter().map(|(_, t)| cell(format!("{} °C", wording::rounded(*t, 1)).replace('-', "−")));
        std::iter::once(strong(format!("{} °C", wording::number(r.air)))).chain(least).collect()
    };
    Table { columns, rows: rows.iter().map(|r| plain(cells(r))).collect(), header: true }
}

fn weather_log() -> Table {
    let columns = [
        "Day, time",
        "Air °C",
        "Surface °C",
        "Humidity %",
        "Dew point °C",
        "Night low °C",
        "Deck %",
        "Rain in hours",
        "Go or stop",
        "Initials",
    ];
    let count = columns.len();
    let share = |c| if c == "Day, time" { 3 } else { 1 };
    Table { columns: columns.map(|c| wide(c, share(c))).into(), rows: vec![blank(count); 12], header: true }
}

fn hazards(worked: &WholeJob<'_>) -> Vec<Block> {
    let crew = worked.programme.crew;
    let risks = safety::risks(&Circumstances { job: worked.job, take_off: worked.take_off, crew });
    let rows = risks.iter().map(|risk| {
        let title = match risk.here.as_str() {
            "" => format!("{}.", risk.hazard.title),
            here => format!("{}: {here}.", risk.hazard.title),
        };
        let what = vec![Span::bold(title), Span::plain(format!(" {}", risk.hazard.harm))];
        plain(vec![what, cell(risk.hazard.controls.join(" "))])
    });
    let columns = vec![wide("Hazard", 3), wide("What we do", 6)];
    let table = Table { columns, rows: rows.collect(), header: true };
    let named = risks.iter().flat_map(|r| r.hazard.source.split("; ")).filter(|s| s.contains("Regulations"));
    let sources = wording::once(named.map(|source| source_and_mark(source.trim()))).join("; ");
    let note = format!("From: {sources}; HSE guidance; product data sheets; common practice.");
    let note = Block::Paragraph(vec![Span { text: note, italic: true, ..Span::default() }]);
    vec![Block::Table(table), Block::Keep(vec![note])]
}

/// A source by its title, with how its facts are known: `Work at Height Regulations 2005 (SI 2005/735) (in part from memory)`.
fn source_and_mark(words: &str) -> String {
    let source = facts::ALL_SOURCES.iter().find(|source| words.starts_with(source.title));
    let marked = |source: &&facts::FactSource| match source.known() {
        "" | "published" => source.title.to_owned(),
        mark => format!("{} ({mark})", source.title),
    };
    source.map_or_else(|| words.split(',').next().unwrap_or(words).trim().to_owned(), marked)
}

fn pairs(a: &str, b: &str, rows: &[(&str, &str)]) -> Table {
    let rows = rows.iter().map(|(x, y)| plain(vec![strong(*x), cell(facts::filled(y))])).collect();
    Table { columns: vec![wide(a, 2), wide(b, 5)], rows, header: true }
}

fn protection(worked: &WholeJob<'_>) -> Table {
    let met = PROTECTION.iter().filter(|(of, ..)| meets(worked, *of));
    pairs("When", "Wear", &met.map(|&(_, when, wear)| (when, wear)).collect::<Vec<_>>())
}

/// Whether a job has to do with a substance.
fn meets(worked: &WholeJob<'_>, substance: Substance) -> bool {
    match substance {
        Substance::Always => true,
        Substance::Adhesive => adhesive(worked),
        Substance::Chase => worked.take_off.works.has(WorkKind::Flashing),
        Substance::Boards => {
            worked.take_off.roofs.iter().any(|r| r.deck.is_some()) || worked.take_off.works.has(WorkKind::PatchDeck)
        }
    }
}

fn limits(worked: &WholeJob<'_>) -> Table {
    let limit = |l: &ExposureLimit| {
        plain(vec![strong(l.what), cell(facts::filled(l.eight_hours)), cell(facts::filled(l.fifteen_minutes))])
    };
    let rows = LIMITS.iter().filter(|l| meets(worked, l.of)).map(limit).collect();
    Table {
        columns: vec![wide("In the air", 2), wide("Over 8 hours", 2), wide("Over 15 minutes", 2)],
        rows,
        header: true,
    }
}

fn waste(worked: &WholeJob<'_>) -> Table {
    let has = |w: &&Waste| match w.from {
        From::Always => true,
        From::Adhesive => adhesive(worked),
        From::NewRoof => !worked.job.roofs.is_empty(),
        From::Insulation => worked.take_off.roofs.iter().any(|r| r.over.is_some()),
        From::Lead => worked.job.flashings().contains(&Flashing::Lead),
        From::Asbestos => worked.job.gravest_asbestos() != Answer::No,
    };
    let row = |w: &Waste| plain(vec![strong(w.what), cell(facts::filled(w.code)), cell(facts::filled(w.how))]);
    let mut rows: Vec<Row> = WASTES.iter().filter(has).map(row).collect();
    let mut told: Vec<&OldWaste> = Vec::new();
    for old in worked.job.strips().into_iter().map(|strip| &strip.covering.waste) {
        if !told.contains(&old) {
            told.push(old);
        }
    }
    let before_asbestos = rows.len() - usize::from(worked.job.gravest_asbestos() != Answer::No);
    let old = told.into_iter().map(|OldWaste { what, code, how }| plain(vec![strong(what), cell(code), cell(how)]));
    rows.splice(before_asbestos..before_asbestos, old.collect::<Vec<_>>());
    Table { columns: vec![wide("Waste", 2), left("Code"), wide("Where it goes", 3)], rows, header: true }
}

fn briefed() -> Table {
    let columns = vec![wide("Name", 2), wide("Signature", 3), wide("Date", 1)];
    Table { columns, rows: vec![blank(3); 5], header: true }
}

fn emergency(worked: &WholeJob<'_>) -> Block {
    let job = worked.job;
    let not_given = || "not given: find it and write it here before work starts".to_owned();
    let leader = worked.firm.people.first();
    let lead =
        leader.map(|p| [Some(p.name.clone()), p.phone.clone()].into_iter().flatten().collect::<Vec<_>>().join(", "));
    Block::Facts(vec![
        ("Ring".to_owned(), strong(facts::filled("{emergency_number} or {emergency_number_too}"))),
        ("We are at".to_owned(), strong(job.site.address.join(", "))),
        ("How to get in".to_owned(), cell(job.site.access.clone().unwrap_or_else(not_given))),
        ("Hospital".to_owned(), strong(job.site.hospital.clone().unwrap_or_else(not_given))),
        ("In charge".to_owned(), cell(lead.unwrap_or_else(not_given))),
        ("Office".to_owned(), cell(worked.firm.party.phone.clone().unwrap_or_else(not_given))),
    ])
}
