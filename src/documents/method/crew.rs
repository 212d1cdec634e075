//! What stands between the words of the crew's set: plans, lists and cards.
//!
//! Given what was worked; gives blocks by the names under which the templates call for them.

use super::super::built_edges::{edge_sections, in_pairs};
use super::super::cells::{blank, cell, centre, group, left, plain, right, row, strong, wide};
use super::super::drawings::insulation_plan::is_whole;
use super::super::drawings::one_key::{KeyParts, PlanGroup};
use super::super::drawings::patch_plan::{self, PatchBuild};
use super::super::drawings::plan_scale::{SCALES, TriedPlans};
use super::super::drawings::roof_plan::{self, Audience};
use super::super::drawings::sections;
use super::super::drawings::several::{LEAST_WIDTH, across, across_ring, at_one_scale, own_scales, wide_enough};
use super::super::drawings::{Space, day_chart, deck_plan, firrings, insulation_plan, mat_plan};
use super::super::views::OldRoofView;
use super::super::words::Words;
use super::super::{WholeJob, box_gutters, old_roof_words, opening_words, site_words, wording};
use super::deck_words::{board_size, cut_boards, cut_outs, whole_insulation};
use super::edge_cut_list;
use super::firring_list;
use super::layers::layers;
use super::parapet_list;
use super::stop_words::{StopDays, coated_strips};
use super::trims::{MANY, corner_list, cut_list, figures, laps, side_by_side, trim_plans};
use super::vocabulary::{chart_words, close_up, colours, is_chart_beside, row_of_card, weight, wet_days};
use crate::facts;
use crate::model::old_roof::LaminatePatch;
use crate::model::{OldRoof, Point, Problem};
use crate::pages::block::{Block, BoxTable, Figure, FormFilling, Row, RowKind, Span, Table};
use crate::programme::pots::{Pot, PotCoat, PotPart, PotPlan};
use crate::programme::weather::{LeastSurfaces, WeatherVerdict};
use crate::programme::{Day, Labour, MixDose, Operation};
use crate::safety::response;
use crate::takeoff::layout::InsulationPiece;
use crate::takeoff::layout::{BoardPiece, MatPiece, RoofLayout};
use rust_decimal::Decimal;
use std::cell::RefCell;
use std::collections::BTreeMap;

pub(super) fn places(worked: &WholeJob<'_>, words: &Words) -> Result<BTreeMap<String, Vec<Block>>, Vec<Problem>> {
    let mut places: BTreeMap<String, Vec<Block>> = BTreeMap::new();
    let mut put = |name: &str, blocks: Vec<Block>| places.insert(name.to_owned(), blocks);
    put("facts", vec![facts(worked)]);
    put("day-chart", figures(day_chart(worked)));
    put("stop-days", StopDays::all(worked).table().map(Block::Table).into_iter().collect());
    // The layers stand beside the tapered firrings, or alone where there are none.
    let tapered = firrings::draw(&worked.take_off.roofs);
    let (layers, in_rows) = layers(worked, !tapered.is_empty());
    let (beside, alone) = if tapered.is_empty() { (Vec::new(), layers) } else { (layers, Vec::new()) };
    // The firrings of several roofs stand beside one another, then the layers: each pair of one kind.
    let apart = worked.take_off.roofs.len() > 1 && tapered.len() > 1;
    let views = match apart {
        true => in_pairs(tapered).into_iter().chain(in_pairs(beside)).collect(),
        false => in_pairs(tapered.into_iter().chain(beside).collect()),
    };
    put("firring-views", views);
    put("firring-list", firring_list::table(worked).map(beside_itself).into_iter().collect());
    let list = |of: edge_cut_list::OfRoof| edge_cut_list::table(worked, of).map(Block::Table).into_iter().collect();
    put("batten-list", list(|cuts| &cuts.battens));
    put("edge-timber-list", list(|cuts| &cuts.timber));
    put("edge-cut-list", edge_cut_list::timber_with_battens(worked).map(Block::Table).into_iter().collect());
    put("layer-views", in_pairs(alone).into_iter().chain(in_rows).collect());
    put("timber-cuts", opening_words::cuts(worked));
    put("measured-again", vec![measured_again(worked)]);
    put("pot-list", pot_list(worked));
    put("weather-answer", vec![Block::Table(weather_answer(worked, words)?)]);
    put("roof-plans", roof_plans(worked));
    let old = OldRoofView::all(worked);
    put("old-roof-plans", figures(old_plans(worked, &old)));
    put("patch-list", old_roof_words::patch_list(&old));
    put("patch-sections", in_pairs(patch_sections(worked)));
    put("deck-plans", deck_plans(worked));
    put("gutter-bearers", box_gutters::bearers(worked));
    put("gutter-boards", box_gutters::boards(worked));
    put("gutter-mats", box_gutters::mats(worked));
    put("parapet-linings", parapet_list::table(worked).map(Block::Table).into_iter().collect());
    put("insulation-plans", insulation_plans(worked));
    put("overlay-plans", overlay_plans(worked));
    put("trim-plans", trim_plans(worked));
    put("cut-list", cut_list(worked, words)?);
    put("laps", laps(worked));
    put("corners", corner_list(worked, words)?);
    put("sections", in_pairs(edge_sections(worked, sections::ON_SITE)));
    put("mat-plans", mat_plans(worked));
    put("mix-card", vec![Block::Table(mix_card(worked))]);
    put("surface-table", vec![Block::Table(surface_table(worked))]);
    put("weather-log", vec![Block::Table(weather_log(wet_days(worked)))]);
    put("first-aid", vec![Block::Table(pairs("What happened", "What to do", response::FIRST_AID))]);
    put("emergency", vec![emergency(worked)]);
    Ok(places)
}

/// A row for each roof: its sides and its diagonals are written down before trims are cut, and signed for.
fn measured_again(worked: &WholeJob<'_>) -> Block {
    let written = |roof: &str, what: &str| FormFilling::Words(format!("{roof}, measured again: {what}"));
    let row = |roof: &RoofLayout| {
        let name = &roof.shape.name;
        (name.clone(), vec![written(name, "sides"), written(name, "diagonals"), FormFilling::Hand])
    };
    Block::BoxTable(BoxTable {
        of: "Roof".to_owned(),
        share: 7,
        columns: [("Sides, mm", 7), ("Diagonals, mm", 5), ("Signed", 3)]
            .map(|(of, share)| (of.to_owned(), share))
            .into(),
        rows: worked.take_off.roofs.iter().map(row).collect(),
    })
}

/// The plans of the roofs whose laminate stays; that of a roof alone stands on page one where it is wide enough there.
fn old_plans(worked: &WholeJob<'_>, old: &[OldRoofView<'_>]) -> Vec<Figure> {
    let within = |space: Space| {
        at_one_scale(
            old,
            space,
            |r| r.layout.corners.clone(),
            |r| Some(patch_plan::key(r.layout)),
            |r, space| Some(patch_plan::draw(r.layout, space)),
        )
    };
    // Beside plans of whole roofs a patch needs no half page.
    let space = Space::on_site(worked.job.roof_names().count());
    let wide = |plan: &Figure| {
        let across = |of: f64, corners: &[Point]| across_ring(corners) >= LEAST_WIDTH * of;
        plan.scene.scale.is_some_and(|of| old.iter().all(|roof| across(of, &roof.layout.corners)))
    };
    let first = || within(Space { height: OLD_PLAN_ON_PAGE_ONE, ..space });
    let alone = old.len() == 1 && worked.job.roofs.is_empty();
    alone.then(first).filter(|plans| plans.iter().all(wide)).unwrap_or_else(|| within(space))
}

/// Height that page one has for the plan of an old roof, under what the job is and above what was found besides, pt.
const OLD_PLAN_ON_PAGE_ONE: f64 = 210.0;

/// The chart of the days; where words stand beside it they say what it shows.
fn day_chart(worked: &WholeJob<'_>) -> Option<Figure> {
    let beside = is_chart_beside(worked);
    let space = match worked.programme.days.len() {
        _ if !beside => ACROSS_THE_PAGE,
        0..=3 => BESIDE_MORE_WORDS,
        _ => BESIDE_WORDS,
    };
    let drawn = day_chart::draw(worked.programme, space)?;
    Some(Figure { caption: if beside { String::new() } else { chart_words(worked) }, ..drawn })
}

/// The room of a chart by itself, and of one with words beside it: one of few days leaves them more.
const ACROSS_THE_PAGE: Space = Space::new(490.0, 340.0);
const BESIDE_WORDS: Space = Space::new(330.0, 340.0);
const BESIDE_MORE_WORDS: Space = Space::new(290.0, 340.0);

/// The edge of a patch as built: of the first with new board under it, and of the first without.
fn patch_sections(worked: &WholeJob<'_>) -> Vec<Figure> {
    let roofs = worked.job.old_roofs.iter();
    let all = || roofs.clone().flat_map(|roof| roof.patches.iter().map(move |patch| (roof, patch)));
    let first = |decked: bool| all().find(|(_, patch)| patch.deck.is_some() == decked);
    let draw = |(roof, patch): (&OldRoof, &LaminatePatch), alone: bool| {
        let board = patch.deck.as_ref().and_then(|key| worked.products.boards.get(key)).map(|b| b.thickness);
        let recoated = roof.recoat.is_some();
        patch_plan::section(PatchBuild { rules: worked.rules, layers: patch.layers, board, recoated }, alone)
    };
    let drawn: Vec<_> = [first(false), first(true)].into_iter().flatten().collect();
    let sections: Vec<Figure> = drawn.iter().map(|of| draw(*of, false)).collect();
    let are_a_pair = sections.len() == 2 && sections.iter().all(|of| of.scene.width <= sections::HALF.width);
    // Half a page is left to the other of a pair: one alone has the names of its parts beside it, over all of its width.
    if are_a_pair { sections } else { drawn.into_iter().map(|of| draw(of, true)).collect() }
}

/// The plans of the mat of every roof, the strips as they are cut beside them.
fn mat_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let pots = worked.programme.pots.as_ref();
    let list = |r: &RoofLayout| {
        let mut pieces: Vec<&MatPiece> = r.mat.pieces.iter().collect();
        pieces.sort_by_key(|p| p.order);
        if let Some(plan) = pots.filter(|plan| mat_plan::is_laid_by_pots(r, plan)) {
            let is_its = |p: &MatPiece, part: &PotPart| part.roof == r.shape.name && part.mark == p.mark;
            pieces.sort_by_key(|p| plan.pots.iter().position(|pot| pot.parts.iter().any(|part| is_its(p, part))));
        }
        let layered = r.mat.pieces.iter().any(|p| p.layer > 0);
        let row = |p: &MatPiece| {
            let layer = layered.then(|| cell((p.layer + 1).to_string()));
            let size = format!("{}\u{a0}×\u{a0}{}", p.length.as_mm(), p.width.as_mm());
            plain([strong(&p.mark), cell(size)].into_iter().chain(layer).chain([cell("☐")]).collect())
        };
        let layer = layered.then(|| right("Layer"));
        let columns = [left("Strip"), wide("Cut, mm", 1)].into_iter().chain(layer).chain([centre("Cut")]).collect();
        Table { columns, rows: pieces.into_iter().map(row).collect(), header: true }
    };
    let is_one_large = |r: &RoofLayout| across(&r.shape) >= LARGE && r.mat.pieces.iter().all(|p| p.layer == 0);
    let room = if worked.take_off.roofs.iter().all(is_one_large) { LARGE_BEFORE_TOPCOAT } else { BEFORE_TOPCOAT };
    plans_with_lists(worked, (room, LARGEST_MAT), list, mat_plan::key, |r, space| mat_plan::draw(r, pots, space))
}

/// Plans of the roofs, all at one scale, each with its list. That of a roof alone is as large as leaves it in the room that
/// the page has under the words that lead up to it; where no readable size does, as large as a page of its own has room for.
fn plans_with_lists(
    worked: &WholeJob<'_>,
    (room, largest): (f64, f64),
    list: impl Fn(&RoofLayout) -> Table,
    key: impl Fn(&RoofLayout) -> Option<KeyParts>,
    draw: impl Fn(&RoofLayout, Space) -> Vec<Figure>,
) -> Vec<Block> {
    let roofs = &worked.take_off.roofs;
    let group = PlanGroup::of(roofs, key);
    let keyed = |place: usize, space: Space| Space { key: group.key(place), ..space };
    let space = Space::on_site(roofs.len());
    let space = Space { from: if roofs.len() == 1 { f64::max(space.from, largest) } else { space.from }, ..space };
    let known = DrawnPlans::default();
    let draw = |r: &RoofLayout, space: Space| known.once(&r.shape.name, space, || draw(r, space));
    let all: Vec<Figure> = roofs.iter().enumerate().flat_map(|(place, r)| draw(r, keyed(place, space))).collect();
    let space = space.like(&all).close();
    let at = |r: &RoofLayout, space: Space| match draw(r, space) {
        plans if plans.is_empty() => (Vec::new(), 0.0),
        plans => with_list(plans, list(r), &|space| draw(r, space), space),
    };
    let [roof] = roofs.as_slice() else {
        let keys = group.keys_at(own_scales(roofs.iter().map(|r| r.shape.ring()), space)).into_iter();
        let blocks = roofs.iter().zip(keys).flat_map(|(r, (from, key))| at(r, Space { from, key, ..space }).0);
        return blocks.map(before_its_list).collect();
    };
    let largest = at(roof, space);
    let mut smaller = SCALES.into_iter().filter(|of| *of >= space.from && *of <= space.from * MOST_SMALLER);
    let fitting = smaller.find_map(|from| {
        let (blocks, height) = at(roof, Space { from, ..space });
        (height <= room).then_some(blocks)
    });
    fitting.unwrap_or(largest.0)
}

/// Plans that were drawn while their place is sought, by the roof and the space for which they were.
#[derive(Default)]
struct DrawnPlans(RefCell<Vec<(String, Space, Vec<Figure>)>>);

impl DrawnPlans {
    /// Draws plans of a roof, or gives those that are known: at no larger scale than is asked for, the first that fits is the same.
    fn once(&self, roof: &str, space: Space, draw: impl FnOnce() -> Vec<Figure>) -> Vec<Figure> {
        let fits = |f: &Figure| f.scene.width <= space.width && f.scene.height <= space.height;
        let serves = |f: &Figure| fits(f) && f.scene.scale.is_some_and(|of| of >= space.from);
        let same = |of: &Space| *of == Space { from: of.from, ..space } && of.from <= space.from;
        let found = |(name, of, plans): &&(String, Space, Vec<Figure>)| {
            name == roof && (*of == space || same(of) && plans.iter().all(serves))
        };
        if let Some((_, _, plans)) = self.0.borrow().iter().find(found) {
            return plans.clone();
        }
        let plans = draw();
        self.0.borrow_mut().push((roof.to_owned(), space, plans.clone()));
        plans
    }
}

/// A plan is made so much smaller at most to stay on the page of the words that lead up to it.
const MOST_SMALLER: f64 = 2.0;
/// Room under the words for the laying of boards, for what lies over a deck, and beside the sheet that follows the mat, pt.
const UNDER_DECK: f64 = 330.0;
const OVER_DECK: f64 = 315.0;
const BEFORE_TOPCOAT: f64 = 255.0;
/// The same of the mat in one layer of a roof at least so wide, mm: its plan is hard to read at a smaller scale.
const LARGE_BEFORE_TOPCOAT: f64 = 325.0;
const LARGE: f64 = 2000.0;
/// The largest scale of such a plan, as 1 to so much: under that of the mat stand the pots and the topcoat.
const LARGEST_BOARDS: f64 = 10.0;
const LARGEST_MAT: f64 = 20.0;

/// As many rows of a list stand beside a plan; a longer one stands under it.
const BESIDE: usize = 20;
/// A list of more rows is parted from its plan, which would leave half a page bare with it, and into tables of no more.
const LONG: usize = 27;
/// Height of a row of a list and of a plan's caption on the crew's sheets, pt.
const ROW: f64 = 17.0;

/// A plan with its list beside it where that takes less height and the plan is no smaller for it, else under it; with the
/// height that they take.
fn with_list(plans: Vec<Figure>, list: Table, draw: &dyn Fn(Space) -> Vec<Figure>, space: Space) -> (Vec<Block>, f64) {
    let rows = list.rows.len();
    if rows == 0 {
        let height = plans.iter().map(|plan| plan.scene.height + 2.0 * ROW).sum();
        return (plans.into_iter().map(Block::Figure).collect(), height);
    }
    let under = |plans: &[Figure]| {
        let parted = rows.div_ceil(parts_under(&list));
        plans.iter().map(|plan| plan.scene.height + 2.0 * ROW).sum::<f64>() + ROW * (parted + 1) as f64
    };
    let least = under(&plans);
    let Ok([plan]) = <[Figure; 1]>::try_from(plans.clone()) else {
        return (plans.into_iter().map(Block::Figure).chain(in_tables(list)).collect(), least);
    };
    let narrow = draw(space.beside_a_list()).pop().filter(|narrow| narrow.scene.scale == plan.scene.scale);
    let room = |narrow: &Figure| BESIDE_A_PLAN - narrow.scene.width.max(0.4 * BESIDE_A_PLAN);
    let in_two = |narrow: &Figure| room(narrow) >= 2.0 * COLUMN * list.columns.len() as f64;
    let parts = |narrow: &Figure| if in_two(narrow) && rows > 6 { 2 } else { 1 };
    let height = |narrow: &Figure| {
        let listed = ROW * (rows.div_ceil(parts(narrow)) + 1) as f64;
        f64::max(narrow.scene.height + 2.0 * ROW, listed)
    };
    match narrow.filter(|narrow| rows <= BESIDE * parts(narrow) && height(narrow) < least) {
        Some(narrow) => {
            let (parts, height) = (parts(&narrow), height(&narrow));
            let beside = vec![vec![Block::Figure(narrow)], vec![Block::Table(in_parts(list, parts))]];
            (vec![Block::Columns(beside)], height)
        }
        None if rows > LONG => (std::iter::once(Block::Figure(plan)).chain(in_tables(list)).collect(), least),
        None => (vec![Block::Keep(vec![Block::Figure(plan), Block::Table(in_three(list))])], least),
    }
}

/// A list under its plan: a short one is read down, as its strips are laid and cut; a long one stands in three parts, or in two where
/// its columns are many.
fn in_three(list: Table) -> Table {
    let parts = parts_under(&list);
    in_parts(list, parts)
}

fn parts_under(list: &Table) -> usize {
    match list.columns.len() {
        _ if list.rows.len() <= READ_DOWN => 1,
        ..=3 => 3,
        _ => 2,
    }
}

/// So many rows are read down in one part.
const READ_DOWN: usize = 4;

/// A list in three parts; a long one in several tables, each of which stands on one page, so that it is read in its order where it
/// goes on over a page.
fn in_tables(list: Table) -> Vec<Block> {
    let count = list.rows.len();
    if count <= LONG {
        return vec![Block::Table(in_three(list))];
    }
    let each = count.div_ceil(count.div_ceil(LONG));
    let table = |rows: &[Row]| in_three(Table { rows: rows.to_vec(), ..list.clone() });
    list.rows.chunks(each).map(|rows| Block::Keep(vec![Block::Table(table(rows))])).collect()
}

/// The same of one of several roofs: its plan never goes on to the next page while its list stays, which names no roof.
fn before_its_list(block: Block) -> Block {
    match block {
        Block::Figure(plan) => Block::Columns(vec![vec![Block::Figure(plan)]]),
        other => other,
    }
}

/// What a plan and the list beside it share, and what a column of a list in two parts takes at least, pt.
const BESIDE_A_PLAN: f64 = 497.0;
const COLUMN: f64 = 60.0;

/// A list of one roof in two parts where it is long; that of several roofs goes on down, under the name of each.
fn beside_itself(list: Table) -> Block {
    let of_one = list.rows.iter().all(|row| row.kind == RowKind::Plain);
    let parts = if of_one && list.rows.len() > IN_ONE { 2 } else { 1 };
    Block::Table(in_parts(list, parts))
}

/// So many rows stand in one part.
const IN_ONE: usize = 5;

/// A long list in so many parts, down the left part first.
fn in_parts(list: Table, parts: usize) -> Table {
    let (count, width) = (list.rows.len(), list.columns.len());
    if count <= parts || parts < 2 {
        return list;
    }
    let depth = count.div_ceil(parts);
    let parts = count.div_ceil(depth); // four rows of three columns leave one bare
    let at = |i: usize| list.rows.get(i).map_or_else(|| vec![Vec::new(); width], |row| row.cells.clone());
    let rows = (0..depth).map(|i| plain((0..parts).flat_map(|p| at(p * depth + i)).collect())).collect();
    Table { columns: (0..parts).flat_map(|_| list.columns.clone()).collect(), rows, header: list.header }
}

/// The pots of the job with their strips, resin and catalyst.
fn pot_list(worked: &WholeJob<'_>) -> Vec<Block> {
    let Some(plan) = worked.programme.pots.as_ref() else { return Vec::new() };
    let mut blocks = pot_table(plan, [PotsOf::Mat(&plan.pots), PotsOf::Topcoat(&plan.topcoat)], worked);
    let days: Vec<String> = alike(&plan.pots).into_iter().map(|run| days_of(run, worked, lays_on)).collect();
    if let [Block::Table(table)] = blocks.as_mut_slice()
        && wording::once(days.iter().cloned()).len() > 1
    {
        let coats = coats_in_turn(&plan.topcoat);
        let coats = coats.iter().flat_map(|(_, pots)| alike(pots)).map(|run| days_of(run, worked, coats_on));
        with_days(table, days.into_iter().chain(coats).collect());
    }
    blocks
}

/// A column, before what a pot lays, that says on which day.
fn with_days(table: &mut Table, days: Vec<String>) {
    table.columns.insert(LAYS, left("Day"));
    let mut days = days.into_iter();
    for row in &mut table.rows {
        let day = if row.kind == RowKind::Group { None } else { days.next() };
        row.cells.insert(LAYS, cell(day.unwrap_or_default()));
    }
}

/// The days on which some pots are laid, or coat.
fn days_of(pots: &[Pot], worked: &WholeJob<'_>, is_on: impl Fn(&Pot, &Day, &WholeJob<'_>) -> bool) -> String {
    let days = worked.programme.days.iter().filter(|day| pots.iter().any(|pot| is_on(pot, day, worked)));
    wording::list(&days.map(|day| day.number.to_string()).collect::<Vec<_>>())
}

/// Whether a pot of mat is laid on a day: that of its strip, else any that lays mat; that of a patch on any that repairs.
pub(super) fn lays_on(pot: &Pot, day: &Day, worked: &WholeJob<'_>) -> bool {
    let does = |operation: Operation| worked.programme.is_worked_on(operation, day);
    match pot.day() {
        _ if pot.parts.iter().any(|part| part.patch) => does(Operation::Repair),
        Some(own) => own == day.number,
        None => does(Operation::Laminate),
    }
}

/// Whether a pot of topcoat is laid on a day: on that of its part, else with the last of the first coat, or of the one with aggregate on
/// it.
pub(super) fn coats_on(pot: &Pot, day: &Day, worked: &WholeJob<'_>) -> bool {
    let programme = worked.programme;
    if let Some(own) = pot.day() {
        return own == day.number;
    }
    let is = |coat: PotCoat| pot.parts.iter().any(|p| p.coat == Some(coat));
    if pot.is_trial() {
        return is_last_of(Operation::Renew, day, worked);
    }
    let strewn = is(PotCoat::Strewn);
    let is_before = programme.coats.last().is_some_and(|last| day.number < last.day);
    let coats = |work: &Labour| work.operation == Operation::Topcoat && work.is_on_topcoat() == strewn;
    !is_before && programme.works_on(day).any(coats)
}

/// Whether an operation is done for the last time on a day.
fn is_last_of(operation: Operation, day: &Day, worked: &WholeJob<'_>) -> bool {
    worked.programme.last_day_of(operation).is_some_and(|last| last.number == day.number)
}

/// The pots of one coat.
pub(super) enum PotsOf<'a> {
    /// Of the mat.
    Mat(&'a [Pot]),
    /// Of the topcoat.
    Topcoat(&'a [Pot]),
}

impl PotsOf<'_> {
    /// Their rows, under what each group of them is called.
    fn groups(&self, worked: &WholeJob<'_>) -> Vec<(&'static str, Vec<Row>)> {
        match self {
            PotsOf::Mat(pots) => vec![("Laminate", pot_rows(pots, worked, "strip"))],
            PotsOf::Topcoat(pots) => {
                let coats = coats_in_turn(pots).into_iter();
                coats.map(|(what, pots)| (what, pot_rows(&pots, worked, "part"))).collect()
            }
        }
    }
}

/// Some pots of a plan, coat by coat, a box to tick for each; equal shares of one strip stand in one row.
pub(super) fn pot_table(plan: &PotPlan, coats: [PotsOf<'_>; 2], worked: &WholeJob<'_>) -> Vec<Block> {
    let is_any = |of: &PotsOf<'_>| matches!(of, PotsOf::Mat(pots) | PotsOf::Topcoat(pots) if !pots.is_empty());
    let is_mat = |of: &PotsOf<'_>| matches!(of, PotsOf::Mat(_));
    let filled = || coats.iter().filter(|of| is_any(of));
    let weighed = match (filled().any(is_mat), filled().any(|of| !is_mat(of))) {
        (true, true) => "Weigh out",
        (false, true) => "Topcoat",
        _ => "Resin",
    };
    let mut columns = vec![left("Pot"), wide("Lays", 1), right(weighed)];
    match plan.doses.as_slice() {
        [_] => columns.push(right("Catalyst")),
        several => {
            // In a long list the words of a row need the room more than a heading does.
            let part = if plan.pots.len() > FEW_POTS { '\n' } else { ' ' };
            columns.extend(several.iter().map(|d| right(&format!("Catalyst,{part}{}", row_of_card(d)))));
        }
    }
    columns.push(left("Laid"));
    let mut rows = Vec::new();
    let coats: Vec<(&str, Vec<Row>)> = coats.iter().flat_map(|of| of.groups(worked)).collect();
    // Rows alone need no headings over them.
    let few = coats.iter().all(|(_, pots)| pots.len() <= 1);
    for (coat, mut pots) in coats {
        match pots.as_mut_slice() {
            [] => {}
            [one] if few => one.cells[LAYS].insert(0, Span::bold(format!("{coat}. "))),
            _ => rows.push(group(coat, columns.len())),
        }
        rows.extend(pots);
    }
    vec![Block::Table(Table { columns, rows, header: true })]
}

/// Pots for the square metres that are coated first, and the other ones, between which days lie; where some roof is coated before any of
/// them, all in the order of their days.
fn coats_in_turn(topcoat: &[Pot]) -> Vec<(&'static str, Vec<Pot>)> {
    let (trials, rest): (Vec<Pot>, Vec<Pot>) = topcoat.iter().cloned().partition(Pot::is_trial);
    match topcoat.first().is_some_and(Pot::is_trial) {
        true => vec![("Trial of the topcoat", trials), ("Topcoat", rest)],
        false => vec![("Topcoat", topcoat.to_vec())],
    }
}

/// So many pots of laminate make a short list.
const FEW_POTS: usize = 3;

/// The column of the pot list that says what a pot lays.
const LAYS: usize = 1;

/// A row for each pot, or for each run of pots that share a strip.
pub(super) fn pot_rows(pots: &[Pot], worked: &WholeJob<'_>, what: &str) -> Vec<Row> {
    alike(pots).into_iter().map(|p| pot_row(p, worked, what)).collect()
}

/// So many pots at most stand in one row, so that each has its box beside it.
const RUN: usize = 5;

/// Runs of pots that share one strip evenly, a long one in parts of even length; every other pot alone.
fn alike(pots: &[Pot]) -> Vec<&[Pot]> {
    let shares = |p: &Pot| p.parts.len() == 1 && p.parts[0].share.1 > 1;
    let key = |p: &Pot| {
        (p.parts[0].roof.clone(), p.parts[0].mark.clone(), p.parts[0].day, weight(p.resin), p.catalyst_ml.clone())
    };
    let runs = pots.chunk_by(|a, b| shares(a) && shares(b) && key(a) == key(b));
    runs.flat_map(|run| run.chunks(run.len().div_ceil(run.len().div_ceil(RUN)))).collect()
}

/// In so many even parts.
fn in_even_parts(n: usize) -> String {
    match n {
        2 => "in halves".to_owned(),
        3 => "in thirds".to_owned(),
        4 => "in quarters".to_owned(),
        n => format!("in {n} parts"),
    }
}

fn pot_row(pots: &[Pot], worked: &WholeJob<'_>, what: &str) -> Row {
    let (first, last) = (&pots[0], &pots[pots.len() - 1]);
    let each = if pots.len() > 1 { " each" } else { "" };
    let numbers = match pots.len() {
        1 => first.number.to_string(),
        _ => format!("{}\u{a0}to\u{a0}{}", first.number, last.number),
    };
    let lays = match (pots.len(), first.parts.as_slice()) {
        (n, [part]) if n > 1 && n == part.share.1 as usize => {
            let whole = PotPart { share: (1, 1), ..part.clone() };
            format!("{}, {}", part_of_pot(&whole, worked, what), in_even_parts(n))
        }
        (n, [part]) if n > 1 && part.share.1 as usize > n => {
            let (whole, to) = (PotPart { share: (1, 1), ..part.clone() }, last.parts.last().map_or(0, |p| p.share.0));
            format!("{}, parts {} to {to} of {}", part_of_pot(&whole, worked, what), part.share.0, part.share.1)
        }
        _ => {
            let parts = pots.iter().flat_map(|p| &p.parts).map(|p| part_of_pot(p, worked, what));
            wording::list(&parts.collect::<Vec<_>>())
        }
    };
    let mut cells =
        vec![strong(numbers), cell(wording::capital(&lays)), strong(format!("{}{each}", weight(first.resin)))];
    cells.extend(first.catalyst_ml.iter().map(|ml| strong(format!("{} ml{each}", wording::number(*ml)))));
    // A few boxes stand on one line.
    cells.push(cell(vec!["☐"; pots.len()].join(if pots.len() <= 3 { "\u{a0}" } else { " " })));
    plain(cells)
}

/// `strip 2`, `strip 2, share 1 of 3`, `Garage, strip 2`, `part 1 of 4`, `Garage, first coat`.
fn part_of_pot(part: &PotPart, worked: &WholeJob<'_>, what: &str) -> String {
    let (i, n) = part.share;
    let what = if part.patch { "patch" } else { what };
    let coat = match part.coat {
        Some(PotCoat::First) => Some("first coat"),
        Some(PotCoat::Strewn) => Some("second coat, aggregate"),
        Some(PotCoat::BoxGutter) => Some("box gutter"),
        Some(PotCoat::Trial) => Some("square metre coated first"),
        Some(PotCoat::Only) | None => None,
    };
    let strips = part.day.and_then(|day| {
        worked.programme.coats.iter().find(|c| c.day == day && c.roof == part.roof).and_then(coated_strips)
    });
    let strips = strips.filter(|_| part.coat != Some(PotCoat::BoxGutter));
    let coat = match (coat, strips) {
        (Some(coat), Some(strips)) => Some(format!("{coat}, {strips}")),
        (coat, strips) => coat.map(str::to_owned).or(strips),
    };
    let coat = coat.as_deref();
    let piece = match (part.mark.as_str(), n) {
        ("", 1) => coat.unwrap_or("all over").to_owned(),
        ("", n) => {
            [coat, Some(&format!("{what} {i} of\u{a0}{n}"))].into_iter().flatten().collect::<Vec<_>>().join(", ")
        }
        (mark, 1) => format!("{what} {mark}"),
        (mark, n) => format!("{what} {mark}, share {i} of {n}"),
    };
    let many = worked.job.roof_names().count() > 1 && !part.roof.is_empty();
    let colour = part.coat.and_then(|_| colour_of(&part.roof, worked));
    let said = [many.then(|| worked.short_name(&part.roof)), colour, Some(piece)];
    said.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The colour of a roof, where the roofs of the job have several.
fn colour_of(roof: &str, worked: &WholeJob<'_>) -> Option<String> {
    let job = worked.job;
    job.topcoat_of(roof)
        .filter(|coat| job.topcoats().any(|other| other.colour != coat.colour))
        .map(|coat| coat.colour.clone())
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
    let way_in = job.site.access.as_deref().map(wording::unstopped).map(str::to_owned);
    let access: Vec<String> = [way_in, eaves].into_iter().flatten().collect();
    put("Access", (!access.is_empty()).then(|| wording::capital(&access.join("; "))));
    let watch = worked.firm.weather_watch.as_ref();
    for (i, person) in worked.firm.people.iter().enumerate() {
        let phone = person.phone.as_ref().map(|phone| format!(", {phone}")).unwrap_or_default();
        let leads = if i == 0 { ", in charge" } else { "" };
        let watches = if watch == Some(&person.name) { ", watches the weather" } else { "" };
        put(&wording::capital(&person.role), Some(format!("{}{phone}{leads}{watches}", person.name)));
    }
    let of_the_crew = worked.firm.people.iter().any(|person| watch == Some(&person.name));
    put("Watches the weather", watch.filter(|_| !of_the_crew).cloned());
    Block::Facts(facts)
}

/// `Main roof, 16.7 m². Dark grey (smooth)`.
pub(super) fn what(worked: &WholeJob<'_>) -> String {
    let roofs: Vec<String> = worked.job.roof_names().cloned().collect();
    let roofs = if roofs.len() > 4 { format!("{} roofs", roofs.len()) } else { wording::list(&roofs) };
    let old = worked.take_off.old_roofs.iter().map(|r| r.area);
    let area = worked.take_off.roofs.iter().map(|r| r.shape.area).chain(old).sum();
    format!("{roofs}, {}. {}", wording::square_metres(area), wording::capital(&colours(worked)))
}

fn roof_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let roofs = &worked.take_off.roofs;
    let tried = TriedPlans::default();
    let plan = |r: &RoofLayout, space: Space| {
        let roof = worked.job.roofs.get(r.shape.index)?;
        Some(roof_plan::draw_once(r, roof, Audience::Site, (&tried, space)))
    };
    let key = |r: &RoofLayout| worked.job.roofs.get(r.shape.index).map(|roof| roof_plan::key(r, roof));
    if roofs.len() >= MANY {
        return side_by_side(wide_enough(roofs, Space::SIDE_BY_SIDE, key, plan));
    }
    let space = Space { width: 507.0, ..Space::on_site(roofs.len()) };
    let drawn = wide_enough(roofs, space, key, plan);
    let like = space.like(&drawn);
    let space = like.close();
    let plans = if space.from == like.from { drawn } else { wide_enough(roofs, space, key, plan) };
    let ([roof], true) = (roofs.as_slice(), plans.iter().any(|f| f.scene.height > AS_IT_IS)) else {
        return figures(plans);
    };
    let smaller = SCALES.into_iter().filter(|of| *of > space.from && *of <= space.from * MOST_SMALLER);
    let mut read = smaller.filter(|of| across(&roof.shape) >= READ_AT * of);
    let fitting = read.find_map(|from| plan(roof, Space { from, ..space }).filter(|f| f.scene.height <= ON_PAGE_ONE));
    figures(fitting.map_or(plans, |plan| vec![plan]))
}

/// So high, pt, the plan of a roof alone mostly has room on page one; a higher one is made smaller where it is no higher than
/// the second then, pt, and the roof no narrower than the third, mm.
const AS_IT_IS: f64 = 150.0;
const ON_PAGE_ONE: f64 = 135.0;
const READ_AT: f64 = 35.0;

/// Each plan of boards with the boards to cut.
fn deck_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let list = |r: &RoofLayout| {
        board_list(r.deck.iter().flat_map(|deck| cut_boards(deck).map(|p| board_cells(p, deck.along_x))))
    };
    let known = deck_plan::KnownSheets::default();
    plans_with_lists(worked, (UNDER_DECK, LARGEST_BOARDS), list, deck_plan::key, |r, space| {
        deck_plan::draw_known(r, space, &known).into_iter().collect()
    })
}

fn overlay_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let list = |r: &RoofLayout| {
        let boards = r.over.as_ref().and_then(|over| over.overlay.as_ref());
        board_list(boards.into_iter().flat_map(|deck| cut_boards(deck).map(|p| board_cells(p, deck.along_x))))
    };
    plans_with_lists(worked, (OVER_DECK, LARGEST_BOARDS), list, deck_plan::overlay_key, |r, space| {
        deck_plan::draw_overlay(r, space).into_iter().collect()
    })
}

fn insulation_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let list = |r: &RoofLayout| {
        let whole = whole_insulation(worked, r);
        let cells = |p: &InsulationPiece, along_x: bool| {
            let size = format!("{} × {}{}", p.length.as_mm(), p.width.as_mm(), cut_outs(&p.rings, along_x));
            piece_cells(&p.mark, size, p.board)
        };
        let laid = r.over.iter().map(|over| &over.insulation);
        let cut = |p: &&InsulationPiece| !whole.is_some_and(|whole| is_whole(p, whole));
        board_list(laid.flat_map(|laid| laid.pieces.iter().filter(cut).map(move |p| cells(p, laid.along_x))))
    };
    let draw = |r: &RoofLayout, space: Space| {
        whole_insulation(worked, r).and_then(|whole| insulation_plan::draw(r, whole, space)).into_iter().collect()
    };
    let key = |r: &RoofLayout| whole_insulation(worked, r).and_then(|whole| insulation_plan::key(r, whole));
    plans_with_lists(worked, (OVER_DECK, LARGEST_BOARDS), list, key, draw)
}

/// Pieces in the order in which they are laid.
fn board_list(pieces: impl Iterator<Item = Vec<Vec<Span>>>) -> Table {
    let columns = vec![left("Piece"), wide("Size, mm", 1), left("Board")];
    Table { columns, rows: pieces.map(plain).collect(), header: true }
}

fn board_cells(p: &BoardPiece, along_x: bool) -> Vec<Vec<Span>> {
    piece_cells(&p.mark, board_size(p, along_x), p.board)
}

fn piece_cells(mark: &str, size: String, board: usize) -> Vec<Vec<Span>> {
    vec![strong(mark), cell(size), cell((board + 1).to_string())]
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
        let mark = if m.today { "planned ▶ " } else { "" };
        let mut cells = vec![strong(format!("{mark}{} to {} °C", wording::number(m.from), wording::number(m.to)))];
        cells.push(cell(weight(m.pot)));
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
    let mut columns = vec![wide("Air; all in °C", 1)];
    let humidities = rows.first().into_iter().flat_map(|r| &r.least);
    columns.extend(humidities.map(|(h, _)| right(&format!("{}%", wording::number(*h)))));
    let cells = |r: &LeastSurfaces| {
        let least = r.least.iter().map(|(_, t)| cell(format!("{:.1}", t.round_dp(1)).replace('-', "−")));
        std::iter::once(strong(format!("{} °C", wording::number(r.air)))).chain(least).collect()
    };
    Table { columns, rows: rows.iter().map(|r| plain(cells(r))).collect(), header: true }
}

/// The log of the weather, with as many rows as each day asks for on which it is filled in.
fn weather_log(days: usize) -> Table {
    let columns = [
        "Day, time",
        "Air °C",
        "Surface °C",
        "Humidity %",
        "Dew point °C",
        "Night low °C",
        "Deck %",
        "Hours to rain",
        "Go or stop",
        "Initials",
    ];
    let count = columns.len();
    let share = |c| if c == "Day, time" { 3 } else { 1 };
    Table {
        columns: columns.map(|c| wide(c, share(c))).into(),
        rows: vec![blank(count); (LOG_ROWS_A_DAY * days).max(LOG_ROWS)],
        header: true,
    }
}

/// Before bandage, laminate and topcoat: so many rows of the log each day on which resin is mixed; and as many as it has at least.
const LOG_ROWS_A_DAY: usize = 3;
const LOG_ROWS: usize = 6;

/// Who is in charge on site, with a telephone: `A. Roofer, 07700 900123`.
pub(super) fn in_charge(worked: &WholeJob<'_>) -> Option<String> {
    let leader = worked.firm.people.first()?;
    Some([Some(leader.name.clone()), leader.phone.clone()].into_iter().flatten().collect::<Vec<_>>().join(", "))
}

fn emergency(worked: &WholeJob<'_>) -> Block {
    let job = worked.job;
    let not_given = || "not given: find it and write it here before work starts".to_owned();
    let lead = in_charge(worked);
    let office = worked.firm.party.phone.clone();
    let to_ring = match (lead, office) {
        (Some(lead), Some(office)) => vec![("In charge", format!("{lead}; office {office}"))],
        (lead, office) => {
            vec![("In charge", lead.unwrap_or_else(not_given)), ("Office", office.unwrap_or_else(not_given))]
        }
    };
    let to_ring = to_ring.into_iter().map(|(label, value)| (label.to_owned(), cell(value)));
    let facts = [
        ("Ring".to_owned(), strong(facts::filled("{emergency_number} or {emergency_number_too}"))),
        ("We are at".to_owned(), strong(job.site.address.join(", "))),
    ];
    // What is not given has a line of its own below, to be written on.
    let access = job.site.access.clone().map(|way| ("How to get in".to_owned(), cell(way)));
    let hospital = job.site.hospital.clone().map(|name| ("Hospital".to_owned(), strong(name)));
    Block::Facts(facts.into_iter().chain(access).chain(hospital).chain(to_ring).collect())
}

fn pairs(a: &str, b: &str, rows: &[(&str, &str)]) -> Table {
    let rows = rows.iter().map(|(x, y)| plain(vec![strong(*x), cell(facts::filled(y))])).collect();
    Table { columns: vec![left(a), wide(b, 1)], rows, header: true }
}
