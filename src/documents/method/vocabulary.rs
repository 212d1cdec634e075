//! What the templates of the method statement may say: every name that stands in them, with its words.
//!
//! Given what was worked; gives a vocabulary of finished texts. No price and no hour is among them.

use super::super::drawings::day_chart;
use super::super::drawings::mat_plan::is_laid_by_pots;
use super::super::letterhead::{self};
use super::super::quote;
use super::super::site_words::LaidAfter;
use super::super::views::{OldRoofView, QuoteView};
use super::super::words::{Vocabulary, Words, escape};
use super::super::{
    WholeJob, box_gutters, edge_words, findings, kerb_goods, old_roof_words, opening_words, site_words, told, wording,
};
use super::day_boxes::day_boxes;
use super::day_pieces::day_of_sides;
use super::deck_words;
use super::edge_cut_list;
use super::firring_list;
use super::materials::{amounts, materials};
use super::single;
use super::stop_words::{StopDays, by_day, reach_an_edge};
use super::trims::{FEW_LAPS, without_sample};
use crate::checks::fascias::Fascias;
use crate::checks::finding::{Finding, Subject};
use crate::checks::levels;
use crate::checks::outlets::is_of_level_side;
use crate::checks::under_tiles::{self, Risen};
use crate::geometry::region::bounds_of;
use crate::geometry::ring;
use crate::geometry::segment::{distance, distance_to_segment};
use crate::model::goods::{During, Goods, Promised};
use crate::model::job::{Answer, By, Forced};
use crate::model::old_roof::RecoatKey;
use crate::model::products::BoardEdge;
use crate::model::shape::{DeckAction, TopcoatChoice};
use crate::model::tipping;
use crate::model::{
    Access, Cover, Edge, Finish, Job, Length, LineId, Mass, Point, Problem, Role, Roof, RoofFall, Rules,
};
use crate::pricing::{FromVan, PastInVan};
use crate::programme::pots::{PotDose, PotPlan, trial_of};
use crate::programme::weather::{WeatherVerdict, up_to_a_tenth};
use crate::programme::{CoatBeside, Day, Labour, Night, SiteWarning, Stop};
use crate::takeoff::layout::gutter_runs::gutter_runs;
use crate::takeoff::layout::shape::{HoleShape, RoofShape, Side, SillDetail, point_along, runs_back};
use crate::takeoff::layout::{
    BandageOver, DeckLayout, HALF_A_LADDER, MatNote, MatPiece, RoofLayout, VapourStrip, falls, over_deck,
};
use crate::takeoff::quantities::goods_lines::pins_of;
use crate::takeoff::quantities::line::{Line, Step, Unit};
use crate::works::{self, Operation, WorkKind};
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// What the people on the roof hear of the checks.
const CHECKED: [Subject; 4] = [Subject::Lift, Subject::Weight, Subject::Air, Subject::Use];
pub(super) fn vocabulary(worked: &WholeJob<'_>, words: &Words) -> Result<Vocabulary, Vec<Problem>> {
    let mut v = letterhead::vocabulary(worked.parties());
    told::works(&mut v, &worked.take_off.works, None);
    v.facts();
    the_job(&mut v, worked);
    beside_the_roof(&mut v, worked);
    opening_words::vocabulary(&mut v, worked);
    deck_words::vocabulary(&mut v, worked);
    old_roofs(&mut v, worked);
    insulation(&mut v, worked);
    the_site(&mut v, worked);
    the_rules(&mut v, worked);
    weather(&mut v, worked);
    pots(&mut v, worked);
    found_out(&mut v, worked, words)?;
    materials(&mut v, worked);
    day_boxes(&mut v, worked);
    single::vocabulary(&mut v, worked, words)?;
    let checked = checked(worked);
    v.yes("checks", !checked.is_empty()).texts("cautions", &findings::cautions(&checked));
    v.texts("level_sides", &level_sides(worked));
    Ok(v)
}

/// What the engine found out, in the words of templates of their own.
fn found_out(v: &mut Vocabulary, worked: &WholeJob<'_>, words: &Words) -> Result<(), Vec<Problem>> {
    let warnings = site_words::warnings(words, &worked.programme.warnings)?;
    let basis = worked.programme.pots.as_ref().map(|p| site_words::gel_basis(words, p.gel.basis)).transpose()?;
    v.filled_lines("warnings", &warnings)
        .filled_lines("mat_notes", &mat_notes(worked, words)?)
        .filled("gel_basis", basis.as_deref().unwrap_or_default());
    Ok(())
}

/// What the quote says must be there before work begins: nothing is opened before the crew has seen it.
fn awaited(worked: &WholeJob<'_>) -> Vec<String> {
    // The customer reads “your”; the crew is at somebody's house.
    let theirs = |words: String| words.replace("Your ", "The ").replace("your ", "the ");
    quote::awaited(&QuoteView::of(worked)).into_iter().map(theirs).collect()
}

/// Where water may stand on the finished roof, with the roof's name where there are several.
fn level_sides(worked: &WholeJob<'_>) -> Vec<String> {
    let several = worked.job.roof_names().count() > 1;
    let told = |f: &Finding| match f.roof.as_ref().filter(|_| several) {
        Some(roof) => format!("{roof}: {}", f.statement),
        None => f.statement.clone(),
    };
    worked.findings.iter().filter(|f| is_of_level_side(f)).map(told).collect()
}

/// What was checked for the site; what is lifted comes from the orders.
pub(super) fn checked<'a>(worked: &WholeJob<'a>) -> Vec<&'a Finding> {
    findings::of(worked.findings.iter().chain(&worked.pricing.lifts), &CHECKED)
}

fn the_job(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, take_off) = (worked.job, worked.take_off);
    let any = |a: DeckAction| job.roofs.iter().any(|r| r.deck.action == a);
    let side = |f: Finish| take_off.roofs.iter().any(|r| r.shape.sides.iter().any(|s| s.finish == f));
    let layers = job.roofs.iter().map(|r| r.laminate.layers).max().unwrap_or(1);
    let laps: usize = take_off.profiles.iter().flat_map(|p| &p.runs).map(|run| run.laps.len()).sum();
    let stirred = each_colour(job.roofs.iter().map(|roof| &roof.topcoat));
    let unsaid: Vec<&Roof> = job.roofs.iter().filter(|r| job.leaves_boards_unsaid(r)).collect();
    let chases = chases(worked);
    let decks = || take_off.roofs.iter().filter_map(|roof| roof.deck.as_ref());
    strip(v, worked);
    v.texts("awaited", &awaited(worked))
        .texts("co_signers", &job.co_signers)
        .text("first_signer", wording::first_signer(&job.customer.name, &job.co_signers));
    v.texts("drips_over_walls", &drips_over_walls(job));
    night_cover(v, worked, |_| true);
    v.yes("deck_new", any(DeckAction::New))
        .yes("deck_overlay", any(DeckAction::Overlay))
        .yes("deck_keep", any(DeckAction::Keep))
        .maybe("spare_boards", (worked.spare_boards() > 0).then(|| worked.spare_boards().to_string()))
        .maybe("spare_kinds", Some(wording::list(&worked.spare_board_kinds())).filter(|kinds| !kinds.is_empty()))
        .yes("lays_boards", any(DeckAction::New) || any(DeckAction::Overlay))
        .yes("boards_unsaid", !unsaid.is_empty())
        .maybe("boards_unsaid_at", some_only(job, &unsaid))
        .yes("bare_joists", job.roofs.iter().any(|r| job.strip_of(r).is_some() && r.deck.action == DeckAction::New))
        .yes("boards_stay", job.roofs.iter().any(|r| job.strip_of(r).is_some() && r.deck.action != DeckAction::New))
        .maybe("put_back", put_back(worked))
        .maybe("in_the_way_back", in_the_way_back(worked))
        .yes("drip", side(Finish::Drip))
        .yes("raised", side(Finish::Raised))
        .yes("wall", side(Finish::Wall))
        .yes("step", side(Finish::Step))
        .text("drip_along", along(worked, Finish::Drip, "the low edge", "every drip edge"))
        .text("fillet_along", along(worked, Finish::Wall, "the wall", "every wall"))
        .texts("sills_over_fillet", &sills(worked, SillDetail::Fillet))
        .texts("low_sills", &sills(worked, SillDetail::Low))
        .maybe("sill_gaps", sill_gaps(worked))
        .texts("low_upstands", &findings::low_upstands(worked.findings, worked.job.roofs.len() > 1))
        .texts("agreed_heights", &agreed_heights(worked))
        .texts("chases", &chases)
        .yes("several_chases", chases.len() > 1)
        .texts(
            "parapets",
            &parapets(worked, |r| edge_words::parapets(&r.shape))
                .iter()
                .map(|w| wording::capital(w))
                .collect::<Vec<_>>(),
        )
        .texts("copings_lifted", &parapets(worked, |r| edge_words::copings(&r.shape, None, By::Us)))
        .texts("copings_by_others", &parapets(worked, |r| edge_words::copings(&r.shape, None, By::Others)))
        .texts("stones", &parapets(worked, |r| edge_words::copings(&r.shape, Some(Cover::Stone), By::Us)))
        .texts("cappings", &parapets(worked, |r| edge_words::copings(&r.shape, Some(Cover::Metal), By::Us)))
        .yes("bare_tops", covered_with(worked, Cover::Stone))
        .yes("boarded_tops", covered_with(worked, Cover::Metal))
        .texts("tiles_lifted", &at_edges(worked, |edges| edge_words::lifted(edges, By::Us)))
        .yes("hung_course", take_off.lines.iter().any(|line| line.id == LineId::TieStraps))
        .texts("tiles_by_others", &at_edges(worked, |edges| edge_words::lifted(edges, By::Others)))
        .texts(
            "tiled",
            &at_edges(worked, |edges| edge_words::gauges(edges))
                .iter()
                .map(|w| wording::capital(w))
                .collect::<Vec<_>>(),
        )
        .texts("decks_up_slopes", &decks_up_slopes(worked, true))
        .texts("decks_short_of_slopes", &decks_up_slopes(worked, false))
        .yes("kerb", take_off.roofs.iter().any(|r| r.shape.holes.iter().any(|h| !h.round)))
        .yes("long_log", is_long_log(worked))
        .yes("hospital_given", job.site.hospital.is_some())
        .yes("access_given", job.site.access.is_some())
        .text("deck_first_rows", deck_words::first_rows(worked))
        .yes("chart_beside", is_chart_beside(worked))
        .text("chart_words", chart_words(worked))
        .yes("board_joints", has_joints(&take_off.roofs))
        .yes("end_joints", decks().flat_map(|deck| &deck.joints).any(|joint| joint.end_joint))
        .yes("offcuts_used", decks().any(uses_offcuts))
        .maybe("old_joints", old_joints(worked))
        .yes("several_colours", stirred.len() > 1)
        .texts("batch_colours", &stirred)
        .yes("laps", laps > 0)
        .yes("many_laps", laps > FEW_LAPS)
        .yes("firrings", take_off.roofs.iter().any(|r| !r.firrings.is_empty()))
        .yes("tapered", take_off.roofs.iter().flat_map(|r| &r.firrings).any(|f| f.low_depth < f.high_depth))
        .yes("firrings_differ", firring_list::is_listed(worked))
        .yes(
            "firrings_block",
            take_off.roofs.iter().flat_map(|r| &r.firrings).any(|f| f.high_depth > worked.rules.firring_block),
        )
        .text("firring_block", worked.rules.firring_block.to_string())
        .text("firring_fixing", firring_fixing(worked))
        .yes("firrings_pack", take_off.roofs.iter().flat_map(|r| &r.firrings).any(|f| f.packs.is_some()))
        .text("joists_counted", firring_list::counted(worked))
        .texts("joists_without", &firring_list::without(worked))
        .texts("joists_packed", &firring_list::packed(worked))
        .text("fascias_up", fascias_up(worked))
        .text("firrings_bare", firrings_bare(worked))
        .texts("batten_cuts", &edge_cut_list::in_words(worked, |cuts| &cuts.battens))
        .yes("battens_listed", edge_cut_list::is_listed(worked, |cuts| &cuts.battens))
        .texts("edge_timber_cuts", &edge_cut_list::in_words(worked, |cuts| &cuts.timber))
        .yes("edges_cut_together", edge_cut_list::timber_with_battens(worked).is_some())
        .yes("edge_timber_listed", edge_cut_list::is_listed(worked, |cuts| &cuts.timber))
        .yes("timber_cuts", !take_off.timbers.is_empty())
        .yes("noggins", take_off.roofs.iter().filter_map(|r| r.deck.as_ref()).any(|d| !d.noggins.is_empty()))
        .yes("noggin_joints", has_long_noggins(worked))
        .yes("noggin_packs", has_short_noggins(worked))
        .text("noggin_pack", PACK.to_string())
        .yes("tongued", has_tongued_boards(worked))
        .yes("two_layers", layers > 1)
        .yes("several_beds", layers > 1 || job.roof_names().count() > 1)
        .yes("several_strips", take_off.roofs.iter().any(has_several_strips))
        .yes("flashed", take_off.works.has(WorkKind::Flashing))
        .yes("flashing_by_others", job.flashed_by_others().next().is_some())
        .maybe("unflashed", Some(unflashed(worked).join("; ")).filter(|at| !at.is_empty()))
        .yes(
            "flashing_corners",
            flashed_by_us(worked).any(|(_, laid)| laid.flashings.iter().any(|cut| cut.meets.is_some())),
        )
        .maybe("flashing_others_at", some_only(job, &job.flashed_by_others().collect::<Vec<_>>()))
        .yes("gutters", job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.gutter.is_some())))
        .text("gutters_at", gutters_at(worked).join("; "))
        .text("gutters_down", gutters_down(worked).join("; "))
        .text("gutters_raised", gutters_raised(worked))
        .text("gutters_round", gutters_round(worked).join("; "))
        .yes("old_gutters", old_edges(job).any(Edge::has_old_gutter))
        .yes("bare_drips", job.roofs.iter().any(|r| r.outline.edges.iter().any(is_bare_drip)))
        .yes("outlets_in_roof", job.roofs.iter().any(|r| !r.outlets.is_empty()))
        .yes("outlets_through_old", job.roofs.iter().any(|r| !r.outlets.is_empty() && r.deck.action != DeckAction::New))
        .yes("door_above", take_off.roofs.iter().any(|r| r.shape.has_a_door()))
        .yes("door_way_off", take_off.roofs.iter().any(|r| r.shape.is_left_by_a_door()))
        .yes("ladder_points", job.roofs.iter().any(|r| r.outline.edges.iter().any(|e| e.ladder_point.is_some())))
        .texts("bought_in", &bought_in(worked))
        .text("scaffold_called", Access::Scaffold.words_with(job.beside()))
        .texts("extras", &job.extras.iter().map(|extra| wording::within(&extra.title)).collect::<Vec<_>>())
        .texts("from_van", &from_van(worked))
        .texts("past_in_van", &past_in_van(worked))
        .texts("goods_bought", &bought_titles(worked))
        .texts("goods_supplied", &titles(job, |goods| goods.bought().is_none()))
        .texts("overflows", &overflows(worked))
        .yes(
            "overflows_in_masonry",
            job.roofs.iter().flat_map(|r| &r.outline.edges).any(|e| e.overflow.is_some() && e.finish != Finish::Raised),
        )
        .yes(
            "overflows_lined",
            job.roofs.iter().flat_map(|r| &r.outline.edges).any(|e| e.overflow.is_some() && e.coping.is_some()),
        )
        .yes(
            "overflows_in_raised",
            job.roofs.iter().flat_map(|r| &r.outline.edges).any(|e| e.overflow.is_some() && e.finish == Finish::Raised),
        )
        .yes("new_gutters", job.roofs.iter().flat_map(|r| &r.outline.edges).any(Edge::has_new_gutter))
        .text("gutters_begin", gutters_begin(worked))
        .yes("gutters_alone", worked.programme.stops.iter().any(|stop| stop.box_gutters))
        .text("gutter_lips", box_gutters::lips(worked).join("; "))
        .yes("gutter_joints", box_gutters::jointed(worked))
        .maybe("gutter_ends", box_gutters::over_tops(worked))
        .yes("days_known", !worked.programme.days.is_empty())
        .yes(
            "boards_come",
            take_off.needs.iter().any(|n| !n.optional && matches!(n.role, Role::Board(_) | Role::Insulation(_))),
        )
        .text("colours", colours(worked))
        .texts("ways_off", &ways_off(worked))
        .yes("few_plans", job.roof_names().count() <= FEW_PLANS);
}

/// What was in the way of the work goes back when it is done.
fn in_the_way_back(worked: &WholeJob<'_>) -> Option<String> {
    let has = |work| worked.take_off.works.has(work);
    let aerials = has(WorkKind::Aerials).then_some("aerials back, tried");
    let tiles = has(WorkKind::DisturbedTiles).then_some("tiles in the way back");
    let back: Vec<&str> = [aerials, tiles].into_iter().flatten().collect();
    (!back.is_empty()).then(|| format!("{}.", wording::capital(&back.join("; "))))
}

/// What is back in its place when the roof is handed over: `Copings and gutter`; nothing where nothing was moved.
fn put_back(worked: &WholeJob<'_>) -> Option<String> {
    let back = [
        (WorkKind::TilesBack, "tiles or slates"),
        (WorkKind::CopingOn, "copings"),
        (WorkKind::GutterOn, "gutter"),
        (WorkKind::Aerials, "aerials"),
    ];
    let back = back.into_iter().filter(|(kind, _)| worked.take_off.works.has(*kind));
    let back: Vec<String> = back.map(|(_, words)| words.to_owned()).collect();
    (!back.is_empty()).then(|| wording::capital(&wording::list(&back)))
}

/// The roofs whose laminate stays: what is done there, and what with.
fn old_roofs(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (views, r) = (OldRoofView::all(worked), worked.rules);
    let patches = || views.iter().flat_map(|roof| &roof.layout.patches);
    let recoats = || views.iter().filter_map(|roof| roof.recoat);
    let of = |is: fn(&Line) -> bool| amounts(worked.take_off.lines.iter().filter(|l| is(l)));
    let name = |roof: &OldRoofView<'_>| roof.name.to_owned();
    let [trials, rest] = old_coats(worked);
    let colours = each_colour(worked.job.old_roofs.iter().map(|roof| &roof.topcoat));
    v.yes("new_roofs", !worked.job.roofs.is_empty())
        .yes("several_old_colours", colours.len() > 1)
        .texts("old_batch_colours", &colours)
        .yes("old_roofs", !views.is_empty())
        .text("old_names", wording::list(&views.iter().map(name).collect::<Vec<_>>()))
        .text(
            "old_fragile",
            wording::list(&views.iter().flat_map(|roof| old_openings(roof, views.len() > 1)).collect::<Vec<_>>()),
        )
        .text("patch_lap", r.patch_lap.to_string())
        .text("patch_step", r.patch_step.to_string())
        .yes("patch_further", patches().any(|p| p.layers.len() > 1))
        .texts("patch_edges", &patches().filter_map(old_roof_words::edge_bandage).collect::<Vec<_>>())
        .texts("patch_edge_work", &patches().filter_map(old_roof_words::edge_work).collect::<Vec<_>>())
        .texts("patch_up_edges", &patches().filter_map(old_roof_words::up_edge).collect::<Vec<_>>())
        .yes("patch_flashing_up", patches().any(old_roof_words::lifts_flashing))
        .yes("patch_trims", patches().any(|p| p.trim.as_ref().is_some_and(|t| !t.pieces.is_empty())))
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
                matches!(l.work, WorkKind::CutBack | WorkKind::PatchDeck | WorkKind::PatchEdge)
                    && l.unit != Unit::SquareMetre
                    && !is_count(l)
            }),
        )
        .texts("patch_materials", &of(|l| l.work == WorkKind::PatchLaminate && l.roof.is_some()))
        .texts("wash_materials", &of(|l| l.work == WorkKind::WashOld && !is_count(l)))
        .texts("clean_materials", &amounts(worked.take_off.lines.iter().filter(|l| is_to_clean(l)).chain(&trials)))
        .texts("old_topcoat_materials", &amounts(rest.iter()))
        .text("trial_pots", trial_pots(worked));
}

/// What an old laminate is cleaned and primed with.
fn is_to_clean(line: &Line) -> bool {
    matches!(line.work, WorkKind::CleanDown | WorkKind::PrimeOld) && line.unit != Unit::SquareMetre && !is_count(line)
}

/// The topcoat of old laminates: what goes on the square metres that are coated first, and the rest.
fn old_coats(worked: &WholeJob<'_>) -> [Vec<Line>; 2] {
    let is_coat =
        |l: &&Line| l.work.operation() == Operation::Topcoat && l.work.is_on_old() && l.unit == Unit::Kilogram;
    let (mut trials, mut rest) = (Vec::new(), Vec::new());
    for line in worked.take_off.lines.iter().filter(is_coat) {
        let roof = line.roof.as_deref().filter(|_| line.id == LineId::TopcoatMass);
        let tried = roof.and_then(|roof| trial_of(line.quantity, roof, worked.take_off)).unwrap_or_default();
        trials.extend((!tried.is_zero()).then(|| Line { quantity: tried, ..line.clone() }));
        rest.push(Line { quantity: line.quantity - tried, ..line.clone() });
    }
    [trials, rest]
}

/// `pot 1`, `pots 1 and 2`: which pots of topcoat are for the square metres that are coated first.
fn trial_pots(worked: &WholeJob<'_>) -> String {
    let pots = worked.programme.pots.iter().flat_map(|plan| &plan.topcoat).filter(|pot| pot.is_trial());
    let numbers: Vec<String> = pots.map(|pot| pot.number.to_string()).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("pot {one}"),
        several => format!("pots {}", wording::list(several)),
    }
}

/// The rooflights of a roof whose laminate stays, each with its roof where there are several.
fn old_openings(roof: &OldRoofView<'_>, several: bool) -> Vec<String> {
    let openings = roof.layout.openings.iter().filter(|o| o.is_opening());
    openings.map(|o| if several { format!("{} ({})", o.name, roof.name) } else { o.name.clone() }).collect()
}

/// Whether a line counts what is done, and not what it takes, or is a tin among the tools.
const fn is_count(line: &Line) -> bool {
    matches!(
        line.id,
        LineId::PatchCount
            | LineId::PatchBoardPieces
            | LineId::NogginLengths
            | LineId::RecoatTrials
            | LineId::Preservative
    )
}

/// Where a trim runs: along the one edge of a job's only roof that has such a finish, along each of them by its name, or along
/// all of several roofs. Under a low door sill none runs.
fn along(worked: &WholeJob<'_>, finish: Finish, one: &str, every: &str) -> String {
    let [roof] = worked.take_off.roofs.as_slice() else { return every.to_owned() };
    let sides = roof.shape.sides.iter().filter(|s| s.finish == finish && !s.is_under_low_sill());
    match sides.map(|s| s.label.clone()).collect::<Vec<_>>().as_slice() {
        [] => every.to_owned(),
        [_] => one.to_owned(),
        several => wording::list(several),
    }
}

/// `24 mm at the front and 101 mm at the back`: how far above the old roof a fascia must reach that the deck of a warm roof ends behind.
fn fascias_up(worked: &WholeJob<'_>) -> String {
    at_fascias(worked, Fascias::lifted)
}

/// `81 mm at the left and 70 mm at the back`: what of firrings stays bare between the joists and the batten.
fn firrings_bare(worked: &WholeJob<'_>) -> String {
    at_fascias(worked, Fascias::bare_firrings)
}

/// Names of roofs, each with heights of its edges.
type HeightsByRoof<'a> = Vec<(&'a str, Vec<Length>)>;

/// Some edges of each roof by their heights, its name before them where there are several: `Roof 3 64 mm on the right and at the
/// back`; once for all roofs of which it is the same edges: `on the right: Roof 8 72 mm, Roof 10 56 mm`.
fn at_fascias<'a>(worked: &WholeJob<'a>, which: impl Fn(&Fascias<'a>) -> Vec<(&'a Side, Length)>) -> String {
    let laid = &worked.take_off.roofs;
    let names = wording::without_what_all_say(&laid.iter().map(|laid| laid.shape.name.as_str()).collect::<Vec<_>>());
    // The edges of each roof by their heights, under the words for all of these edges.
    let mut all: Vec<(Vec<String>, HeightsByRoof<'_>)> = Vec::new();
    for ((roof, laid), name) in worked.job.roofs.iter().zip(laid).zip(&names) {
        let found = which(&Fascias::of((roof, laid), &worked.job.goods, worked.rules, worked.products));
        let heights = wording::once(found.iter().map(|(_, up)| *up));
        let at = |up: &Length| -> String {
            let sides = found.iter().filter(|(_, of)| of == up).map(|(side, _)| wording::at(&side.label));
            wording::list(&sides.collect::<Vec<_>>())
        };
        let sides: Vec<String> = heights.iter().map(at).collect();
        match all.iter_mut().find(|(known, _)| *known == sides) {
            _ if sides.is_empty() => {}
            Some((_, of)) => of.push((name.as_str(), heights)),
            None => all.push((sides, vec![(name.as_str(), heights)])),
        }
    }
    let one = |sides: &[String], heights: &[Length]| {
        wording::list(&heights.iter().zip(sides).map(|(up, sides)| format!("{up} {sides}")).collect::<Vec<_>>())
    };
    let told = |(sides, of): (Vec<String>, HeightsByRoof<'_>)| match (of.as_slice(), sides.as_slice()) {
        ([(_, heights)], _) if laid.len() == 1 => one(&sides, heights),
        ([_, _, ..], [alike]) => {
            let each: Vec<String> = of.iter().map(|(name, heights)| format!("{name}, {}", heights[0])).collect();
            format!("{alike}: {}", each.join("; "))
        }
        _ => {
            of.iter().map(|(name, heights)| format!("{name}, {}", one(&sides, heights))).collect::<Vec<_>>().join("; ")
        }
    };
    all.into_iter().map(told).collect::<Vec<_>>().join("; ")
}

/// `back of Dormer: 149 mm higher than the old deck, so it meets the slope 320 mm further back`: where a deck comes up under tiles, and is
/// laid out as far, or, where no boards are laid, is not.
fn decks_up_slopes(worked: &WholeJob<'_>, laid_out: bool) -> Vec<String> {
    let several = worked.take_off.roofs.len() > 1;
    let of = |roof: &Roof| {
        let name = if several { format!(" of {}", roof.name) } else { String::new() };
        let words = |risen: Risen<'_>| {
            let back: Vec<String> = risen.ends.iter().map(|end| risen.tiles.back_by(end.rise).to_string()).collect();
            let higher = match back.len() {
                1 => format!("{} higher than the old deck", risen.in_words()),
                _ => format!("higher than the old deck by {}", risen.in_words()),
            };
            let (edge, back) = (risen.edge.label(), wording::list(&back));
            format!("{edge}{name}: {higher}, so it meets the slope {back} further back")
        };
        let is_it = |risen: &Risen<'_>| (runs_back(risen.edge, roof) > Length::ZERO) == laid_out;
        under_tiles::comes_up(roof).into_iter().filter(is_it).map(words).collect::<Vec<_>>()
    };
    worked.job.roofs.iter().flat_map(of).collect()
}

/// Whether a noggin is longer than the timber that it is cut from.
fn has_long_noggins(worked: &WholeJob<'_>) -> bool {
    let sold = worked.products.noggins.iter().flatten().map(|s| s.length).max();
    let decks = worked.take_off.roofs.iter().filter_map(|r| r.deck.as_ref());
    let mut noggins = decks.flat_map(|d| &d.noggins).map(|&(a, b)| distance(a, b));
    sold.is_some_and(|longest| noggins.any(|noggin| noggin > longest))
}

/// A noggin shorter than this cannot be screwed at its ends (common practice, no source).
const PACK: Length = Length::mm(150);

/// Whether a noggin is too short to be screwed at its ends.
fn has_short_noggins(worked: &WholeJob<'_>) -> bool {
    let decks = worked.take_off.roofs.iter().filter_map(|r| r.deck.as_ref());
    decks.flat_map(|d| &d.noggins).any(|&(a, b)| distance(a, b) < PACK)
}

/// Whether boards with tongues are laid.
fn has_tongued_boards(worked: &WholeJob<'_>) -> bool {
    let mut laid = worked.job.roofs.iter().filter_map(|roof| worked.products.boards.get(roof.deck.board.as_ref()?));
    laid.any(|board| board.edge == BoardEdge::TongueAndGroove)
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
    let is_lifted = |roof: &&Roof| job.strip_of(roof).is_some_and(|strip| strip.boards_off().is_some());
    let lifted: Vec<&Roof> = job.roofs.iter().filter(is_lifted).collect();
    v.yes("strip", !strips.is_empty())
        .text("strip_covering", wording::list(&wording::once(strips.iter().map(|s| s.covering.words.clone()))))
        .text("strip_crew", carts.iter().map(crew).collect::<Vec<_>>().join(" "))
        .yes("stays_open", worked.programme.warnings.iter().any(SiteWarning::is_open_overnight))
        .yes("stops_strip", stopping(worked).any(|roof| job.strip_of(roof).is_some()))
        .yes("stops_bare", stopping(worked).any(|roof| job.strip_of(roof).is_none()))
        .text("upturns", upturns(worked))
        .texts("strip_roofs", &lines)
        .maybe("boards_roofs", some_only(job, &lifted));
}

/// A strip of which more than a tenth is cut out loses more than a corner: nobody takes it for a rectangle.
const LEFT_OF_A_RECTANGLE: Decimal = Decimal::from_parts(9, 0, 0, false, 1);

/// How far what lies beyond a line for stopping lies below the new roof: along the low edge, and, where strips run up the fall, beside
/// it; on those nights that are wanted.
pub(super) fn night_cover(v: &mut Vocabulary, worked: &WholeJob<'_>, is_wanted: impl Fn(&Night) -> bool) {
    let job = worked.job;
    let is_beside =
        |night: &&Night| worked.take_off.roofs.iter().any(|r| r.shape.index == night.roof && r.mat.up_the_fall);
    let steps: Vec<&Night> = worked.programme.nights.iter().filter(|n| n.is_step() && is_wanted(n)).collect();
    let (beside, along): (Vec<&Night>, Vec<&Night>) = steps.iter().copied().partition(is_beside);
    let most = |of: &[&Night]| of.iter().map(|night| night.step).max().map(|high| high.to_string());
    let names = wording::once(beside.iter().map(|night| job.roofs[night.roof].name.clone()));
    let is_old = |night: &&Night| job.strip_of(&job.roofs[night.roof]).is_some();
    let is_flat = |night: &Night| !night.is_step() && is_wanted(night);
    // A vapour layer lies open at every line across its roof, whatever was there before.
    let vapour_open = |stop: &Stop| {
        let roof = job.roofs.iter().position(|roof| roof.name == stop.roof)?;
        let over = worked.take_off.roofs.iter().find(|laid| laid.shape.index == roof)?.over.as_ref()?;
        let days = (stop.first_day, stop.day);
        let night = Night { roof, days, step: Length::ZERO, leaves_old: false, firrings_past: false };
        Some(!over.vapour.is_empty() && is_wanted(&night))
    };
    let mut divided = worked.programme.stops.iter().filter(|stop| stop.divides_roof());
    v.yes("vapour_at_stops", divided.any(|stop| vapour_open(stop).unwrap_or_default()))
        .maybe("night_step", most(&along))
        .maybe("night_step_beside", most(&beside))
        .text("night_step_most", most(&steps).unwrap_or_default())
        .yes("night_flat", !steps.is_empty() && worked.programme.nights.iter().any(is_flat))
        .yes("night_beside_bare", !beside.iter().any(is_old))
        .text("night_beside_at", wording::list(&names));
}

/// What is done at the lines of some stops before the sheet goes over them.
pub(super) fn at_the_line(v: &mut Vocabulary, worked: &WholeJob<'_>, stops: &[&Stop]) {
    let job = worked.job;
    let roof_of = |stop: &Stop| job.roofs.iter().zip(&worked.take_off.roofs).find(|(roof, _)| roof.name == stop.roof);
    let sawn = |stop: &Stop| stop.divides_roof() && roof_of(stop).is_some_and(|(_, laid)| laid.over.is_some());
    let nights = worked.programme.nights.iter().filter(|n| stops.iter().any(|stop| n.is_after(stop, job)));
    let (sawn_nights, whole): (Vec<&Night>, Vec<&Night>) =
        nights.filter(|night| night.firrings_past).partition(|night| night.leaves_old);
    let bare = |stop: &Stop| roof_of(stop).is_some_and(|(roof, _)| roof.deck.action == DeckAction::New);
    v.yes("on_card", false)
        .yes("night_soft", true)
        .yes("night_deck_bare", false)
        .yes("boards_cross_stops", stops.iter().any(|s| !s.boards_to.is_empty()))
        .yes("sawn_at_line", stops.iter().any(|stop| sawn(stop)))
        .maybe("past_stops", past_stops(stops))
        .yes("parapets_cross_stops", stops.iter().any(|s| !s.parapets_past.is_empty()))
        .yes("boards_to_an_edge", stops.iter().any(|stop| reach_an_edge(stop)))
        .yes("firrings_sawn", !sawn_nights.is_empty())
        .yes("firrings_whole", !whole.is_empty())
        .yes("joists_at_line", stops.iter().any(|stop| bare(stop) && !stop.left.is_empty()));
}

/// The strips that lose more than a corner at walls, courts, openings and splayed edges, by their marks.
fn strips_shaped(worked: &WholeJob<'_>) -> Option<String> {
    let of_roof = |roof: &RoofLayout| {
        // A kerb or a chimney stands in it, however little it takes.
        let meets = |p: &MatPiece, hole: &HoleShape| {
            let of = |ring: &[Point]| bounds_of(ring.iter().copied());
            // What only meets along a line does not stand in it.
            of(&p.ring).zip(of(&hole.ring)).is_some_and(|(a, b)| a.grown(-1).touches(&b))
        };
        let is_shaped = |p: &&MatPiece| {
            p.net.square_metres() < LEFT_OF_A_RECTANGLE * (p.length * p.width).square_metres()
                || roof.shape.holes.iter().any(|hole| !hole.round && meets(p, hole))
        };
        let marks: Vec<String> = roof.mat.pieces.iter().filter(is_shaped).map(|p| p.mark.clone()).collect();
        (!marks.is_empty()).then(|| strips_in_words(&roof.shape.name, &marks, worked))
    };
    let all: Vec<String> = worked.take_off.roofs.iter().filter_map(of_roof).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// `strips 1, 2 and 3`, with their roof before them where there are several.
pub(super) fn strips_in_words(roof: &str, marks: &[String], worked: &WholeJob<'_>) -> String {
    let roof = if worked.job.roofs.len() > 1 { format!("{roof}, ") } else { String::new() };
    format!("{roof}{} {}", if marks.len() == 1 { "strip" } else { "strips" }, wording::list(marks))
}

/// The roofs that are opened by parts.
fn stopping<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = &'a Roof> {
    let stops = &worked.programme.stops;
    let all = stops.iter().all(|stop| stop.whole_roof);
    let by_parts = move |roof: &str| stops.iter().any(|stop| stop.roof == roof && (all || !stop.whole_roof));
    worked.job.roofs.iter().filter(move |roof| by_parts(&roof.name))
}

/// The roofs whose covering comes off.
fn stripped<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = &'a RoofLayout> {
    let (job, laid) = (worked.job, &worked.take_off.roofs);
    job.roofs.iter().zip(laid).filter(|(roof, _)| job.strip_of(roof).is_some()).map(|(_, laid)| laid)
}

/// `Wall and kerb`: what an old covering that comes off is turned up.
fn upturns(worked: &WholeJob<'_>) -> String {
    let walls = |laid: &RoofLayout| laid.shape.sides.iter().any(|s| matches!(s.finish, Finish::Wall | Finish::Gutter));
    let chimneys = |laid: &RoofLayout| laid.shape.holes.iter().any(|h| h.finish == Finish::Wall && !h.round);
    let kerbs = |laid: &RoofLayout| !laid.openings.kept.is_empty();
    let all = [
        (stripped(worked).any(walls), "wall"),
        (stripped(worked).any(chimneys), "chimney"),
        (stripped(worked).any(kerbs), "old kerb"),
    ];
    let there: Vec<String> = all.into_iter().filter(|(is, _)| *is).map(|(_, words)| words.to_owned()).collect();
    wording::capital(&wording::list(&there))
}

/// The roofs that something holds for, where it does not hold for all of the job's.
fn some_only(job: &Job, roofs: &[&Roof]) -> Option<String> {
    let names: Vec<String> = roofs.iter().map(|roof| roof.name.clone()).collect();
    (!roofs.is_empty() && roofs.len() < job.roofs.len()).then(|| wording::list(&names))
}

/// Each overflow with its place and its sizes: the roof is named where there are several.
fn overflows(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = &worked.job.roofs;
    let of_roof = |(roof, laid): (&crate::model::Roof, &RoofLayout)| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}, ", roof.name) } else { String::new() };
        let edges =
            roof.outline.edges.iter().zip(&laid.shape.sides).filter_map(|(e, side)| Some((e, side, e.overflow?)));
        let line = |(edge, side, o): (&Edge, &Side, crate::model::shape::Overflow)| {
            let over = if edge.finish == Finish::Gutter { "sole of the box gutter there" } else { "roof" };
            let edge = edge.label();
            let size = format!("{} × {}", o.width.as_mm(), o.height);
            let (at, from) = (wording::metres(o.at), side.begins_at());
            format!("{name}{edge}: {size}, its middle {at} from {from}, sill {} above the {over}", o.above)
        };
        edges.map(line).collect()
    };
    roofs.iter().zip(&worked.take_off.roofs).flat_map(of_roof).collect()
}

/// `1.80 m`: how much batten closes the gap of the deck under door sills.
fn sill_gaps(worked: &WholeJob<'_>) -> Option<String> {
    let gaps = worked.take_off.roofs.iter().flat_map(|r| r.sill_gaps(worked.rules));
    let run: Length = gaps.map(|side| side.run).sum();
    (run > Length::ZERO).then(|| format!("{:.2} m", run.metres()))
}

/// Where box gutters begin, whose bearers' places count from there.
fn gutters_begin(worked: &WholeJob<'_>) -> String {
    let sides = worked.take_off.roofs.iter().flat_map(|roof| &roof.shape.sides);
    let mut ends: Vec<&str> = sides.filter(|side| side.finish == Finish::Gutter).map(Side::begins_at).collect();
    ends.dedup();
    ends.join(", then ")
}

/// The door sills with such a detail, each with its roof where there are several.
pub(super) fn sills(worked: &WholeJob<'_>, detail: SillDetail) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let of = |r: &RoofLayout| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}, ", r.shape.name) } else { String::new() };
        let sills = edge_words::sills(&r.shape, Some(detail));
        sills.iter().map(|words| wording::capital(&format!("{name}{words}"))).collect()
    };
    roofs.iter().flat_map(of).collect()
}

/// `wall at house 114 mm`, for each of them at a roof with insulation on its deck, which is named where there are several.
fn agreed_heights(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let insulated = |f: &&Finding| {
        let is_its = |laid: &RoofLayout| f.roof.as_ref().is_none_or(|name| *name == laid.shape.name);
        roofs.iter().any(|laid| laid.over.is_some() && is_its(laid))
    };
    let left = |f: &Finding| match f.working.first() {
        Some(Step::Measured { value, .. }) => {
            let roof = f.roof.as_ref().filter(|_| roofs.len() > 1).map_or_else(String::new, |name| format!("{name}, "));
            Some(format!("{roof}{} {} mm", f.subject, value.normalize()))
        }
        _ => None,
    };
    findings::too_low(worked.findings).filter(insulated).filter_map(left).collect()
}

/// Whether rain runs off an edge with no gutter before it.
fn is_bare_drip(edge: &Edge) -> bool {
    edge.finish == Finish::Drip && edge.gutter.is_none()
}

/// Whether the building may be from before 2000, as far as anybody asked: where neither that nor asbestos was answered too.
fn may_be_old(job: &Job) -> bool {
    match job.site.built_before_2000 {
        Some(answer) => answer != Answer::No,
        None => !job.asbestos_said,
    }
}

/// The roofs that the firm cuts flashings in at.
fn flashed_by_us<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = (&'a Roof, &'a RoofLayout)> {
    let job = worked.job;
    job.roofs.iter().zip(&worked.take_off.roofs).filter(|(roof, _)| job.flashing_of(roof) == By::Us)
}

/// The walls at which no new flashing is cut in though the firm cuts others in, each with its roof where there are several.
fn unflashed(worked: &WholeJob<'_>) -> Vec<String> {
    let job = worked.job;
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Option<String> {
        let bare = edge_words::unflashed(&roof.outline.edges, &laid.shape);
        let name = if job.roofs.len() > 1 { format!("{}, ", roof.name) } else { "the ".to_owned() };
        (!bare.is_empty()).then(|| format!("{name}{}", wording::list(&bare)))
    };
    if !worked.take_off.works.has(WorkKind::Flashing) {
        return Vec::new();
    }
    flashed_by_us(worked).filter_map(of).collect()
}

/// How high each flashing is cut in that the firm cuts in, each with its roof where there are several.
fn chases(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = &worked.job.roofs;
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let name = if roofs.len() > 1 { format!("{}, ", worked.short_name(&roof.name)) } else { String::new() };
        edge_words::chases(laid, worked.rules.flashing_lap)
            .iter()
            .map(|words| wording::capital(&format!("{name}{words}")))
            .collect()
    };
    flashed_by_us(worked).flat_map(of).collect()
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

/// The edges whose gutters come off, each with its roof where there are several that differ; none where there is but one gutter.
fn gutters_at(worked: &WholeJob<'_>) -> Vec<String> {
    let labels = |edges: &[Edge]| -> Vec<String> {
        let with = edges.iter().filter(|edge| edge.gutter.is_some());
        let words = wording::list(&with.map(Edge::label).collect::<Vec<_>>());
        Some(words).filter(|words| !words.is_empty()).into_iter().collect()
    };
    let roofs = &worked.job.roofs;
    let of_each: Vec<Vec<String>> = roofs.iter().map(|roof| labels(&roof.outline.edges)).collect();
    let edges = roofs.iter().flat_map(|roof| &roof.outline.edges);
    match of_each.as_slice() {
        _ if edges.filter(|edge| edge.gutter.is_some()).count() < 2 => Vec::new(),
        [first, others @ ..] if !others.is_empty() && others.iter().all(|other| other == first) => {
            first.iter().map(|words| format!("{words} of each roof")).collect()
        }
        _ => at_edges(worked, labels),
    }
}

/// `front of Main roof`: the gutters that come down on a day; where a roof is opened at once, on the first on which anything is opened.
pub(super) fn gutters_down_on(day: u32, worked: &WholeJob<'_>) -> Vec<String> {
    let (job, programme) = (worked.job, worked.programme);
    let opens = |i: &(usize, Decimal)| programme.work[i.0].operation <= Operation::Deck;
    let first = programme.days.iter().find(|day| day.work.iter().any(opens)).map(|day| day.number);
    let several = job.roofs.len() > 1;
    let mut named = Vec::new();
    for (roof, laid) in job.roofs.iter().zip(&worked.take_off.roofs) {
        for run in gutter_runs(&laid.shape, roof) {
            if day_of_sides(&run, laid, worked).or(first) == Some(day) {
                let name = if several { format!(" of {}", roof.name) } else { String::new() };
                named.extend(run.iter().map(|side| format!("{}{name}", laid.shape.sides[*side].label)));
            }
        }
    }
    named
}

/// `front on day 1; yard on day 3`: the gutters, each with the day that opens its edge, before which it stays; as [`gutters_at`] where
/// all come down on one.
fn gutters_down(worked: &WholeJob<'_>) -> Vec<String> {
    let job = worked.job;
    let mut downs: Vec<(usize, u32, Vec<String>)> = Vec::new();
    for (i, (roof, laid)) in job.roofs.iter().zip(&worked.take_off.roofs).enumerate() {
        // One gutter that goes round corners comes down in one go.
        for run in gutter_runs(&laid.shape, roof) {
            let Some(day) = day_of_sides(&run, laid, worked) else { return gutters_at(worked) };
            let names = run.iter().map(|side| laid.shape.sides[*side].label.clone());
            match downs.iter_mut().find(|(roof, down, _)| (*roof, *down) == (i, day)) {
                Some((_, _, all)) => all.extend(names),
                None => downs.push((i, day, names.collect())),
            }
        }
    }
    if downs.windows(2).all(|pair| pair[0].1 == pair[1].1) {
        return gutters_at(worked);
    }
    let alike = gutters_at(worked);
    let by_roof = downs.windows(2).all(|pair| pair[0].0 != pair[1].0);
    if let ([all], true) = (&alike[..], by_roof && job.roofs.len() > 1) {
        return vec![format!("{all}, on the day that opens it")];
    }
    downs.sort_by_key(|(roof, day, _)| (*day, *roof));
    let name = |roof: usize| if job.roofs.len() > 1 { format!("{}: ", job.roofs[roof].name) } else { String::new() };
    let said = |(roof, day, names): &(usize, u32, Vec<String>)| {
        format!("{}{} on day {day}", name(*roof), wording::list(names))
    };
    downs.iter().map(said).collect()
}

/// `right bay, front and left bay`: the edges that share a gutter, with their roof where there are several.
fn gutters_round(worked: &WholeJob<'_>) -> Vec<String> {
    let several = worked.job.roofs.len() > 1;
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let name = if several { format!("{}, ", roof.name) } else { String::new() };
        let labels = |run: Vec<usize>| run.iter().map(|&i| laid.shape.sides[i].label.clone()).collect::<Vec<_>>();
        let round = gutter_runs(&laid.shape, roof).into_iter().filter(|run| run.len() > 1);
        round.map(|run| format!("{name}{}", wording::list(&labels(run)))).collect()
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).flat_map(of).collect()
}

/// The edges of the roofs whose covering comes off.
fn old_edges(job: &Job) -> impl Iterator<Item = &Edge> {
    job.roofs.iter().filter(|roof| job.strip_of(roof).is_some()).flat_map(|roof| &roof.outline.edges)
}

/// The gutters that come up with their roofs, each with how far.
fn gutters_raised(worked: &WholeJob<'_>) -> String {
    let roofs = &worked.take_off.roofs;
    let several = roofs.len() > 1;
    let of = |l: &RoofLayout| -> Vec<String> {
        let name = if several { format!("{}, ", l.shape.name) } else { String::new() };
        l.gutters_raised.iter().map(|(i, by)| format!("{name}{} {by}", l.shape.sides[*i].label)).collect()
    };
    wording::list(&roofs.iter().flat_map(of).collect::<Vec<_>>())
}

/// What must be settled before work starts: every access answer with yes but the scaffold, which has a place of its own.
fn bought_in(worked: &WholeJob<'_>) -> Vec<String> {
    let wanted = worked.job.wanted().map(|(question, _)| question);
    let wanted = wanted.filter(|q| q.is_for_the_householder() && *q != Access::Scaffold);
    let beside = worked.job.beside();
    wanted.map(|q| q.words_with(beside).to_owned()).collect()
}

/// What lies over the deck of a warm roof.
fn insulation(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (roofs, r) = (&worked.take_off.roofs, worked.rules);
    let built = || worked.job.roofs.iter().filter_map(|roof| roof.build_up.as_ref().filter(|b| b.insulation.is_some()));
    let boards = built()
        .filter_map(|b| b.insulation.as_ref())
        .map(|i| format!("{}, {}", i.sheet.name, wording::thickness(&i.sheet)));
    let overlays = built().filter_map(|b| b.overlay.as_ref()).map(wording::thickness);
    let thick = || worked.job.roofs.iter().filter_map(|roof| over_deck::screwed_through(roof, r));
    let screws = thick().filter_map(|thick| worked.products.overlay_screw_through(thick, r));
    let held = |roof: &&Roof| over_deck::screwed_through(roof, r).is_some() && roof.firred().is_some();
    v.yes("insulated", roofs.iter().any(|r| r.over.is_some()))
        .yes("all_insulated", roofs.iter().all(|r| r.over.is_some()))
        .yes("vapour", roofs.iter().filter_map(|r| r.over.as_ref()).any(|o| !o.vapour.is_empty()))
        .yes("open_ends", roofs.iter().any(|r| r.shape.sides.iter().any(|s| has_edge_timber(s.finish))))
        .text("insulation_boards", wording::list(&wording::once(boards)))
        .text("overlay_boards", wording::list(&wording::once(overlays)))
        .text("screwed_through", wording::list(&wording::once(thick().map(|t| t.to_string()))))
        .text("overlay_screws", wording::list(&wording::once(screws.map(|s| s.to_string()))))
        .text("timber_bite", r.timber_bite.to_string())
        .yes("firrings_hold", worked.job.roofs.iter().any(|roof| held(&roof)))
        .texts("vapour_strips", &roofs.iter().flat_map(|r| vapour_strips(worked, r)).collect::<Vec<_>>())
        .text("vapour_lap", r.vapour_lap.to_string())
        .text("vapour_upturn", r.vapour_upturn.to_string())
        .text("insulation_stagger", r.insulation_stagger.to_string())
        .text("layer_stagger", r.layer_stagger.to_string());
}

/// `the back of Lower, over which the drip of Upper (front) stands`: walls that the drip of a roof laid later covers.
fn drips_over_walls(job: &Job) -> Vec<String> {
    let settled = levels::levels(job).into_iter().filter(levels::Levels::is_settled);
    let of_pair = |pair: levels::Levels<'_>| {
        let walls: Vec<String> = pair.covered().map(Edge::label).collect();
        let (upper, drip, lower) = (&pair.upper.name, pair.drip.label(), &pair.lower.name);
        format!("{} of {lower}, over which the drip of {upper} ({drip}) stands", wording::list(&walls))
    };
    settled.map(of_pair).collect()
}

/// How far the screws of firrings stand apart: `600 mm`, `600 mm, under insulation 300 mm`.
fn firring_fixing(worked: &WholeJob<'_>) -> String {
    let firred = worked.job.roofs.iter().filter(|roof| roof.firred_by_us().is_some());
    let apart: BTreeSet<Length> = firred.map(|roof| falls::firring_screws(roof, worked.rules)).collect();
    match (apart.first(), apart.last()) {
        (Some(least), Some(most)) if least < most => format!("{most}, under insulation {least}"),
        (Some(all), _) => all.to_string(),
        _ => worked.rules.firring_fixing.to_string(),
    }
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
    // Rolls are counted roof by roof: of several roofs no number of them is told, as what is left of one serves the next.
    let strips = roofs.iter().map(|r| r.mat.pieces.len()).sum();
    let told = |note: &MatNote| match *note {
        MatNote::Rolls { rolls, needed, fewest, .. } if rolls == fewest && roofs.len() > 1 => {
            MatNote::Metres { bought: needed, needed, fewest: needed, strips }
        }
        MatNote::Metres { bought, needed, fewest, .. } => MatNote::Metres { bought, needed, fewest, strips },
        _ => note.clone(),
    };
    let on_its_own = |note: &&MatNote| !matches!(note, MatNote::Together { .. });
    let of = |r: &RoofLayout| {
        r.mat.notes.iter().filter(on_its_own).map(|note| site_words::mat_note(words, &told(note))).collect()
    };
    let notes = roofs.iter().map(of).collect::<Result<Vec<Vec<String>>, _>>()?;
    let told = |note: String| {
        let with = roofs.iter().zip(&notes).filter(|(_, told)| told.contains(&note));
        let with: Vec<String> = with.map(|(r, _)| worked.short_name(&r.shape.name)).collect();
        if with.len() == roofs.len() { note } else { format!("{}: {note}", escape(&wording::list_of_roofs(&with))) }
    };
    // What holds for every roof comes first.
    let for_all = |note: &String| notes.iter().all(|told| told.contains(note));
    let (all, some): (Vec<String>, Vec<String>) =
        wording::once(notes.iter().flatten().cloned()).into_iter().partition(for_all);
    let after = laid_after(worked);
    let door = roofs.iter().any(|roof| roof.shape.has_a_door());
    let together = site_words::laid_after(words, &after, door)?;
    Ok(all.into_iter().chain(some).map(told).chain(together).collect())
}

/// The strips that are laid straight after the one below, on whatever roof.
fn laid_after(worked: &WholeJob<'_>) -> Vec<LaidAfter> {
    let roofs = &worked.take_off.roofs;
    let names = wording::without_what_all_say(&roofs.iter().map(|r| r.shape.name.as_str()).collect::<Vec<_>>());
    let of = |(roof, name): (&RoofLayout, &String)| -> Vec<LaidAfter> {
        let strip = |note: &MatNote| match note {
            MatNote::Together { mark, with } => Some(LaidAfter {
                roof: (roofs.len() > 1).then(|| name.clone()),
                mark: mark.clone(),
                after: with.clone(),
            }),
            _ => None,
        };
        roof.mat.notes.iter().filter_map(strip).collect()
    };
    roofs.iter().zip(&names).flat_map(of).collect()
}

/// Joints of old boards that the laminate lies on, as they are reckoned: `37.8 m`; nothing where there are none.
fn old_joints(worked: &WholeJob<'_>) -> Option<String> {
    let all: Decimal = worked.take_off.roofs.iter().map(|roof| roof.old_joints(worked.rules)).sum();
    (all > Decimal::ZERO).then(|| wording::quantity(all, Unit::Metre, 1))
}

/// Whether a strip of mat laps over another of its layer.
fn has_several_strips(roof: &RoofLayout) -> bool {
    roof.mat.pieces.iter().any(|piece| piece.layer == 0 && piece.number > 1)
}

/// Whether two pieces come out of one board.
fn uses_offcuts(deck: &DeckLayout) -> bool {
    deck.pieces.iter().enumerate().any(|(i, piece)| deck.pieces[..i].iter().any(|other| other.board == piece.board))
}

/// Whether bandage lies over joints of new boards.
fn has_joints(roofs: &[RoofLayout]) -> bool {
    roofs.iter().flat_map(|roof| &roof.bandage).any(|piece| piece.covers == BandageOver::BoardJoint)
}

/// The colours that are stirred, each once.
fn each_colour<'a>(topcoats: impl Iterator<Item = &'a TopcoatChoice>) -> Vec<String> {
    wording::once(topcoats.map(|topcoat| topcoat.colour.clone()))
}

/// So many plans of roofs stand together under the words that lead up to them; more go on from page to page.
const FEW_PLANS: usize = 2;

/// `Main roof: at the back`; where several roofs are left alike, they are told together.
fn ways_off(worked: &WholeJob<'_>) -> Vec<String> {
    let (job, roofs) = (worked.job, &worked.take_off.roofs);
    let ways: Vec<(String, WayOff)> =
        roofs.iter().filter_map(|r| way_off(job, r).map(|way| (worked.short_name(&r.shape.name), way))).collect();
    let named = |is: &dyn Fn(&WayOff) -> bool| -> Vec<String> {
        ways.iter().filter(|(_, way)| is(way)).map(|(name, _)| name.clone()).collect()
    };
    let hows = wording::once(ways.iter().map(|(_, way)| way.how.clone()));
    if let [(_, first), _, _, ..] = ways.as_slice()
        && ways.len() == roofs.len()
        && ways.iter().all(|(_, way)| way.at == first.at)
        && hows.iter().all(|how| how.is_empty() || how.starts_with(BY_A_LADDER))
    {
        let how = if hows.len() > 1 {
            "; where a wall stands there, by a ladder at the end that is laid last"
        } else {
            &first.how
        };
        return vec![format!("Every roof: {}{how}", first.at)];
    }
    let all = wording::once(ways.iter().map(|(_, way)| way.words()));
    all.into_iter().map(|way| format!("{}: {way}", wording::list_of_roofs(&named(&|w| w.words() == way)))).collect()
}

/// Where a crew leaves a roof, and how it goes on there.
struct WayOff {
    /// `at back`.
    at: String,
    /// `, through the door`; nothing where no wall stands there.
    how: String,
}

impl WayOff {
    fn words(&self) -> String {
        format!("{}{}", self.at, self.how)
    }
}

/// Where the roof goes in under tiles or slates.
const OVER_THE_COVERING: &str = ", by a roof ladder hooked over the ridge, or the scaffold";

const BY_A_LADDER: &str = ", by a ladder at";

/// The ladder points of a roof, each with its middle.
fn ladders<'a>(job: &'a Job, r: &'a RoofLayout) -> impl Iterator<Item = (&'a Edge, Point)> {
    let edges = job.roofs.get(r.shape.index).into_iter().flat_map(|roof| &roof.outline.edges);
    edges.zip(&r.shape.sides).filter_map(|(e, side)| Some((e, point_along(side.from, side.to, e.ladder_point?))))
}

/// Whether a ladder whose middle stands at a point reaches the side of a strip.
fn stands_at(middle: Point, (from, to): (Point, Point)) -> bool {
    distance_to_segment(middle, from, to) <= HALF_A_LADDER
}

/// `, by a ladder at its left end`: over which end of a wall the crew leaves; over a parapet there, whose top is wet, on a board.
fn off_the_end(shape: &RoofShape, last: Option<f64>) -> String {
    let (at, sides) = (shape.way_off, shape.sides.len());
    let (side, end) = (&shape.sides[at], end_of(&shape.sides[at], last));
    let met = [((at + sides - 1) % sides, side.begins_at()), ((at + 1) % sides, side.ends_at())];
    let ends = met.map(|(i, name)| (format!("its {} end", bare(name)), shape.sides[i].coped.is_some()));
    let here = ends.iter().filter(|(name, _)| end == ANY_END || *name == end);
    let free: Vec<&String> = here.filter(|(_, coped)| !coped).map(|(name, _)| name).collect();
    match free.as_slice() {
        [] => format!(", over the parapet at {end}, on a board clear of its wet top"),
        [one] => format!("{BY_A_LADDER} {one}"),
        _ => format!("{BY_A_LADDER} {end}"),
    }
}

const ANY_END: &str = "its end";

/// `its left end`: the end of a side at which the last strip lies; `its end` where it lies along all of it.
fn end_of(side: &Side, last: Option<f64>) -> String {
    match last {
        Some(at) if at < 0.5 => format!("its {} end", bare(side.begins_at())),
        Some(_) => format!("its {} end", bare(side.ends_at())),
        None => ANY_END.to_owned(),
    }
}

fn bare(end: &str) -> &str {
    end.strip_prefix("the ").unwrap_or(end)
}

fn way_off(job: &Job, r: &RoofLayout) -> Option<WayOff> {
    let side = r.shape.sides.get(r.shape.way_off)?;
    let low = match (r.shape.low_sides.contains(&r.shape.way_off), r.mat.up_the_fall) {
        (true, true) => ", the low edge: strips run up the fall, the furthest from it first",
        (true, false) => ", the low edge",
        _ => "",
    };
    let wall = matches!(side.finish, Finish::Wall | Finish::Gutter | Finish::Step) && side.coped.is_none();
    // Where the last strip lies, one leaves.
    let last = r.mat.pieces.iter().max_by_key(|p| (p.layer, p.number)).map(|p| p.ring.as_slice()).unwrap_or_default();
    let ladder =
        ladders(job, r).find(|&(_, at)| last.iter().enumerate().any(|(i, _)| stands_at(at, ring::side(last, i))));
    let how = match (r.shape.is_left_by_a_door(), ladder) {
        (true, _) => ", through the door".to_owned(),
        _ if side.coped.is_some() => ", over the parapet, on a board clear of its wet top".to_owned(),
        (false, Some((edge, _))) if edge.label() == side.label => ", over the ladder point".to_owned(),
        _ if !wall => String::new(),
        // The edge lies under the covering of the roof above: no ladder leans there.
        _ if side.finish == Finish::Step => OVER_THE_COVERING.to_owned(),
        (false, Some((edge, _))) => format!(", then over the ladder point {}", wording::at(&edge.label())),
        (false, None) => off_the_end(&r.shape, r.leaves_at()),
    };
    Some(WayOff { at: format!("{}{low}", wording::at(&side.label)), how })
}

fn the_site(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, firm) = (worked.job, worked.firm);
    let leader = firm.people.first();
    v.maybe("leader", leader.map(|p| &p.name))
        .maybe("leader_phone", leader.and_then(|p| p.phone.as_ref()))
        .maybe("weather_watch", firm.weather_watch.as_ref())
        .maybe("access", job.site.access.as_deref().map(wording::unstopped))
        .maybe("eaves", job.site.eaves_height.map(wording::metres))
        .maybe("hospital", job.site.hospital.as_ref())
        .maybe("customer_phone", job.customer.phone.as_ref())
        .yes("asbestos_may_be", job.gravest_asbestos() != Answer::No)
        .yes("asbestos_known", job.gravest_asbestos() == Answer::Yes)
        .maybe("asbestos_at", some_only(job, &asbestos_on(job)))
        .yes("scaffold", matches!(job.answer(Access::Scaffold), Forced::Yes | Forced::Sum))
        .yes("old_building", may_be_old(job))
        .yes("asbestos_said", job.asbestos_said)
        .yes("age_unknown", job.site.built_before_2000 != Some(Answer::Yes))
        .yes("adhesive", worked.take_off.must_have(&Role::Adhesive))
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
        .text("noggin_fixing", wording::plural(r.noggin_fixing as usize, "screw", "screws"))
        .text("batten_fixing", r.batten_fixing.to_string())
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
        .maybe(
            "unsampled",
            Some(without_sample(worked)).filter(|none| !none.is_empty()).map(|none| wording::list(&none)),
        )
        .text("ladder_point", wording::metres(r.ladder_point))
        .yes("grains", worked.job.roofs.iter().any(|r| r.topcoat.finish.aggregate.is_some()))
        .text("walk_on", wording::hours_or_days(r.walk_on_hours))
        .text("grades", wording::list(&wording::once(worked.job.roofs.iter().filter_map(grade))))
        .texts("broadcasts", &wording::once(worked.job.roofs.iter().filter_map(|roof| broadcast(roof, r))))
        .text("bandage_joint", r.bandage_joint.to_string())
        .text("bandage_trim", r.bandage_trim.to_string())
        .text("bandage_lap", r.bandage_lap.to_string())
        .text("corner_patch", r.corner_patch.to_string())
        .text("mat_lap", r.mat_lap.to_string())
        .text("topcoat_rate", format!("{} kg/m²", wording::number(r.topcoat_rate)))
        .maybe("deck_soak", (r.deck_soak > Decimal::ZERO).then(|| format!("{} kg/m²", wording::number(r.deck_soak))))
        .text("max_pot", worked.programme.pots.as_ref().map_or_else(|| kg(r.max_pot), |plan| weight(plan.size)))
        .text("flashing_piece", wording::metres(r.flashing_piece))
        .text("flashing_lap", r.flashing_lap.to_string())
        .text("chase_depth", r.chase_depth.to_string())
        .text("flashing_cover", r.flashing_cover.to_string())
        .text("bracket_fixing", wording::plural(r.bracket_fixing as usize, "screw", "screws"))
        .text("bracket_spacing", wording::metres(r.bracket_spacing))
        .text("least_upstand", r.least_upstand.to_string())
        .text("least_fall", format!("1:{}", wording::number(r.least_fall)))
        .text("falls_by_others", falls(worked, |fall| matches!(fall, RoofFall::Firred(_, By::Others))))
        .text("falls_in_joists", falls(worked, |fall| matches!(fall, RoofFall::InJoists(_))))
        .text("falls_there", falls(worked, |fall| matches!(fall, RoofFall::There(Some(_)))))
        .text("falls_unmeasured", falls(worked, |fall| fall == RoofFall::There(None)))
        .text("recoat_hours", format!("{} hours", wording::number(r.recoat_hours)))
        .text("lap_left", (r.mat_lap + Length::mm(LAP_LEFT)).to_string())
        .maybe("mortar_hours", (r.mortar_hours > 0).then(|| wording::hours_or_days(r.mortar_hours)))
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
    let days = by_day(worked);
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
        .maybe("dew_point", worked.programme.weather.dew_point.map(|t| wording::rounded(up_to_a_tenth(t), 1)))
        .maybe("least_surface", worked.programme.weather.least_surface.map(|t| wording::rounded(up_to_a_tenth(t), 1)))
        .texts("coats_by_day", &days.coats)
        .texts("coats_after", &coats_beside(worked, CoatBeside::AfterStrips))
        .texts("coats_before", &coats_beside(worked, CoatBeside::BeforeStrips))
        .yes("stale", worked.programme.warnings.iter().any(|w| matches!(w, SiteWarning::StaleLaminate { .. })))
        .yes("gutter_under_wet", worked.programme.refits_gutter_under_wet_coat())
        .yes("stops_from_left", worked.programme.stops.iter().any(|s| s.from_left))
        .yes("many_coats", days.coats.len() > FEW_COATS)
        .texts("finishes_by_day", &days.finishes)
        .yes("stops", !worked.programme.stops.is_empty())
        .filled_lines("stop_notes", &StopDays::all(worked).notes())
        .maybe("strips_shaped", strips_shaped(worked).map(|strips| wording::capital(&strips)))
        .yes("divided", worked.programme.stops.iter().any(Stop::divides_roof))
        .maybe("sawn_screws", sawn_screws(worked))
        .yes("mix_known", !worked.programme.mix.is_empty());
    at_the_line(v, worked, &worked.programme.stops.iter().collect::<Vec<_>>());
}

/// `Roof 3 on day 5`, `day 5`: what is coated on a day beside strips, before or after them.
fn coats_beside(worked: &WholeJob<'_>, beside: CoatBeside) -> Vec<String> {
    let roofs: Vec<&str> = worked.take_off.roofs.iter().map(|r| r.shape.name.as_str()).collect();
    let names = wording::without_what_all_say(&roofs);
    let of = |(roof, name): (&&str, &String)| -> Option<String> {
        let coats = worked.programme.coats.iter().filter(|coat| coat.beside == beside && coat.roof == **roof);
        let days = wording::once(coats.map(|coat| coat.day));
        let on = site_words::days_in_words(&days);
        (!days.is_empty()).then(|| if roofs.len() > 1 { format!("{name} on {on}") } else { on })
    };
    roofs.iter().zip(&names).filter_map(of).collect()
}

/// How many screws more boards over insulation take for being sawn through at the days' lines.
fn sawn_screws(worked: &WholeJob<'_>) -> Option<String> {
    let sawn: usize =
        worked.take_off.roofs.iter().filter_map(|roof| roof.over.as_ref()).map(|over| over.sawn_screws).sum();
    (sawn > 0).then(|| sawn.to_string())
}

/// `Trims, battens and edge timber`: what goes on past a line at which a day stops.
fn past_stops(stops: &[&Stop]) -> Option<String> {
    let any = |is: fn(&&Stop) -> bool| stops.iter().any(is);
    let goods = [
        ("trims", any(|s| !s.trims_past.is_empty())),
        ("battens", any(|s| !s.battens_past.is_empty())),
        ("edge timber", any(|s| !s.timber_past.is_empty())),
    ];
    let there: Vec<String> = goods.into_iter().filter(|(_, there)| *there).map(|(what, _)| what.to_owned()).collect();
    (!there.is_empty()).then(|| wording::capital(&wording::list(&there)))
}

/// Per cent signs stand close to their figures.
pub(super) fn close_up(words: &str) -> String {
    words.replace(" %", "%")
}

fn pots(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let plan = worked.programme.pots.as_ref();
    v.yes("pots_known", plan.is_some())
        .yes("by_pots", plan.is_some_and(|plan| worked.take_off.roofs.iter().any(|roof| is_laid_by_pots(roof, plan))))
        .texts("no_bare_deck", &no_bare_deck(worked))
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

/// `Once 2 is wet no bare deck is left: 4 and 5 from …`: the strips of further layers that are laid when all of the lowest is.
fn no_bare_deck(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let of = |roof: &RoofLayout| -> Option<String> {
        let day = |mark: &str| {
            let is_laid = |day: &&Day| day.strips.iter().any(|s| s.roof == roof.shape.name && s.mark == mark);
            worked.programme.days.iter().find(is_laid).map(|day| day.number)
        };
        let mut laid: Vec<&MatPiece> = roof.mat.pieces.iter().collect();
        laid.sort_by_key(|p| (day(&p.mark), p.layer, p.order));
        let last = laid.iter().rposition(|p| p.layer == 0)?;
        let after: Vec<String> = laid[last + 1..].iter().map(|p| p.mark.clone()).collect();
        let name = if roofs.len() > 1 { format!("{}: once ", roof.shape.name) } else { "Once ".to_owned() };
        let indoors = if roof.shape.has_a_door() { "indoors, " } else { "" };
        (!after.is_empty()).then(|| {
            let (last, after) = (&laid[last].mark, wording::list(&after));
            format!(
                "{name}{last} is wet no bare deck is left: {after} from {indoors}a ladder or a board that rests on nothing wet."
            )
        })
    };
    roofs.iter().filter_map(of).collect()
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
pub(super) fn row_of_card(dose: &PotDose) -> String {
    format!("{} to {} °C", wording::number(dose.from), wording::number(dose.to))
}

/// What a scale at the mixing place shows: `3.42 kg`.
pub(super) fn weight(mass: Mass) -> String {
    format!("{} kg", wording::rounded(mass.as_kg(), 2))
}

/// What is taken along from the van, with its batch: `laminating resin, 12 kg (batch LR-2291)`.
fn from_van(worked: &WholeJob<'_>) -> Vec<String> {
    let one = |t: &FromVan| {
        let batch = t.batch.as_ref().map(|batch| format!(" (batch {batch})")).unwrap_or_default();
        let amount = wording::quantity(t.quantity, t.unit, 1);
        format!("{}, {amount}{batch}", wording::goods(&t.role, t.size))
    };
    worked.pricing.van.taken.iter().map(one).collect()
}

/// What is too old to be used, and so stays in the van: `catalyst, batch C-114 (use by 1 December 2026)`.
fn past_in_van(worked: &WholeJob<'_>) -> Vec<String> {
    let one = |past: &PastInVan| {
        let batch = past.batch.as_ref().map(|batch| format!(", batch {batch}")).unwrap_or_default();
        format!("{}{batch} (use by {})", wording::goods(&past.role, past.size), wording::date(past.use_by))
    };
    wording::once(worked.pricing.van.past.iter().map(one))
}

/// What is fitted and done beside the roof, by the operation in which it is.
fn beside_the_roof(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    for (during, name) in
        [(During::Prepare, "beside_in_prepare"), (During::Deck, "beside_in_deck"), (During::Finish, "beside_in_finish")]
    {
        v.texts(name, &beside(worked, during));
    }
    let roofs = &worked.take_off.roofs;
    let last: Vec<&Goods> = worked.job.goods.iter().filter(|goods| goods.fitted() == Some(During::Finish)).collect();
    let on_kerb = || last.iter().filter(|goods| roofs.iter().any(|r| kerb_goods::is_on_new(goods, r)));
    let extras = || worked.job.extras.iter().filter(|extra| extra.during == During::Finish);
    v.yes("kerb_goods_fitted", on_kerb().next().is_some())
        .yes("kerb_goods_extra", on_kerb().any(|goods| extras().any(|extra| extra.fits(goods))));
}

/// What is fitted and done beside the roof in an operation: goods whose fitting is an extra of its own stand with it, as one step;
/// what stands on a new kerb has a step of its own, the extra that is its fitting with it.
fn beside(worked: &WholeJob<'_>, during: During) -> Vec<String> {
    let job = worked.job;
    let roofs = &worked.take_off.roofs;
    let on_kerb = |goods: &Goods| during == During::Finish && roofs.iter().any(|r| kerb_goods::is_on_new(goods, r));
    let extras = || job.extras.iter().filter(|extra| extra.during == during);
    let goods = || job.goods.iter().filter(|goods| goods.fitted() == Some(during));
    let alone = goods().filter(|goods| !on_kerb(goods) && !extras().any(|extra| extra.fits(goods)));
    let alone = alone.map(|goods| format!("fit {}", wording::within(&as_fixed(goods, worked))));
    let only_on_kerb = |extra: &&Promised| {
        let mut fitted = goods().filter(|goods| extra.fits(goods)).peekable();
        fitted.peek().is_some() && fitted.all(on_kerb)
    };
    let done = extras().filter(|extra| !only_on_kerb(extra)).map(|extra| {
        let fitted: Vec<String> =
            goods().filter(|goods| extra.fits(goods)).map(|goods| as_fixed(goods, worked)).collect();
        let title = wording::within(&extra.title);
        match fitted.is_empty() {
            true => title,
            false => format!("{title} ({})", fitted.join("; ")),
        }
    });
    alone.chain(done).collect()
}

/// What of that a day does: the first that opens its roof, or the last that finishes, in short. What has hours of its own is among the
/// day's work.
pub(super) fn beside_on_card(during: During, day: u32, worked: &WholeJob<'_>) -> Vec<String> {
    let job = worked.job;
    let extras = || job.extras.iter().filter(|extra| extra.during == during);
    let goods = || job.goods.iter().filter(|goods| goods.fitted() == Some(during));
    let is_counted = |goods: &&Goods| goods.hours.is_some_and(|hours| hours > Decimal::ZERO);
    let is_today = |roof: Option<&str>| day_beside(during, roof, worked) == Some(day);
    let alone = goods().filter(|goods| !is_counted(goods) && !extras().any(|extra| extra.fits(goods)));
    let alone = alone.filter(|goods| is_today(goods.roof.as_deref()));
    let alone = alone.map(|goods| format!("fit {}", wording::within(&goods.title())));
    let done = extras().filter_map(|extra| {
        let fitted = || goods().filter(|goods| extra.fits(goods));
        let roof = fitted().find_map(|goods| goods.roof.as_deref());
        let named: Vec<String> = fitted().map(Goods::title).collect();
        let title = wording::within(&extra.title);
        is_today(roof).then(|| if named.is_empty() { title.clone() } else { format!("{title} ({})", named.join("; ")) })
    });
    alone.chain(done).collect()
}

/// On which day something beside a roof is done.
fn day_beside(during: During, roof: Option<&str>, worked: &WholeJob<'_>) -> Option<u32> {
    let programme = worked.programme;
    let works = |day: &&Day, operation: Operation| programme.is_worked_on(operation, day);
    let opens = || programme.stops.iter().filter(|stop| !stop.box_gutters && Some(stop.roof.as_str()) == roof);
    let first = |operation: Operation| match opens().map(|stop| stop.first_day).min() {
        Some(day) => Some(day),
        None => programme.days.iter().find(|day| works(day, operation)).map(|day| day.number),
    };
    let found = match during {
        During::Prepare => first(Operation::Prepare).or_else(|| first(Operation::Deck)),
        During::Deck => first(Operation::Deck).or_else(|| first(Operation::Prepare)),
        During::Finish => {
            let last = programme.days.iter().rfind(|day| works(day, Operation::Finish)).map(|day| day.number);
            return last.or_else(|| programme.days.last().map(|day| day.number));
        }
    };
    found.or_else(|| programme.days.first().map(|day| day.number))
}

/// The goods that come from the merchant, those that are pinned with how many pins come with them.
fn bought_titles(worked: &WholeJob<'_>) -> Vec<String> {
    let (rules, bought) = (worked.rules, worked.job.goods.iter().filter(|goods| goods.bought().is_some()));
    let titled = |goods: &Goods| match pins_of(goods, rules, worked.products) {
        Some(pins) => format!("{}, with {pins} pins of {}", goods.title(), rules.fascia_pin),
        None => goods.title(),
    };
    bought.map(titled).collect()
}

/// How goods are fixed: `as the maker says`, with their pins where they have some.
fn as_fixed(goods: &Goods, worked: &WholeJob<'_>) -> String {
    let rules = worked.rules;
    match pins_of(goods, rules, worked.products) {
        Some(_) => {
            let (pins, every) = (wording::plural(rules.fascia_pins as usize, "pin", "pins"), rules.fascia_fixing);
            format!("{}, pinned at both ends and every {every}, {pins} to a place, as the maker says", goods.title())
        }
        None => format!("{}, as the maker says", goods.title()),
    }
}

/// Goods for this job alone, as a list names them.
fn titles(job: &Job, wanted: impl Fn(&Goods) -> bool) -> Vec<String> {
    job.goods.iter().filter(|goods| wanted(goods)).map(Goods::title).collect()
}

pub(super) fn colours(worked: &WholeJob<'_>) -> String {
    let colours = worked.job.topcoats().map(|t| format!("{} ({})", t.colour, t.finish.words));
    wording::list(&wording::once(colours))
}

/// What the chart shows, and how long what stands on the day of what is under it waits for that.
pub(super) fn chart_words(worked: &WholeJob<'_>) -> String {
    let programme = worked.programme;
    let wait = |day: &Day, index: usize| {
        let label = wording::within(&programme.work.get(index)?.label);
        Some(format!(" Day {}: {label} {}.", day.number, same_day_wait(day, index, worked)?))
    };
    let waits = programme.days.iter().flat_map(|day| day.work.iter().filter_map(move |(index, _)| wait(day, *index)));
    day_chart::in_words(&programme.timetable()) + &waits.collect::<String>()
}

/// `not before 3 hours after the last strip`, for a work that follows on its day what must be hard under it.
pub(super) fn same_day_wait(day: &Day, index: usize, worked: &WholeJob<'_>) -> Option<String> {
    let work = |index: usize| worked.programme.work.get(index);
    let waits = work(index)?;
    let before = day.work.iter().map(|(i, _)| *i).filter(|i| *i < index).filter_map(work);
    // Between the days that open a roof, what is done lies on laminate and on coats of earlier days.
    if worked.programme.coats.iter().any(|coat| coat.day > day.number) {
        return None;
    }
    let under = |under: &&Labour| match under.operation {
        Operation::Laminate | Operation::Repair => waits.operation == Operation::Topcoat && !waits.is_on_topcoat(),
        Operation::Topcoat => waits.is_on_topcoat() && waits.shares_roof(under),
        _ => false,
    };
    let under = before.filter(under).rfind(|under| under.wait_after > Decimal::ZERO)?;
    let what = match under.operation {
        Operation::Repair => "last patch",
        Operation::Topcoat => "topcoat",
        _ => "last strip",
    };
    Some(format!("not before {} hours after the {what}", wording::number(under.wait_after)))
}

/// So much more than a lap stays bare of topcoat where a strip is still to lap, mm.
const LAP_LEFT: i64 = 50;

/// So many days of a coat stand in a step; of more the pot list tells.
const FEW_COATS: usize = 4;

/// So many days stand in a chart with words beside it.
const FEW_DAYS: usize = 4;

/// Whether the chart of the days leaves room for words beside it.
pub(super) fn is_chart_beside(worked: &WholeJob<'_>) -> bool {
    (1..=FEW_DAYS).contains(&worked.programme.days.len())
}

/// The log of so many days stands under the limits that it is held to.
const FEW_WET_DAYS: usize = 4;

/// Whether the log of the weather is so long that it needs a place of its own.
fn is_long_log(worked: &WholeJob<'_>) -> bool {
    wet_days(worked) > FEW_WET_DAYS
}

/// Days on which resin or topcoat is mixed: the weather is written down on those.
pub(super) fn wet_days(worked: &WholeJob<'_>) -> usize {
    let is_wet = |i: usize| worked.programme.work[i].operation.mixes();
    worked.programme.days.iter().filter(|day| day.work.iter().any(|(i, _)| is_wet(*i))).count()
}
