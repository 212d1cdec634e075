//! How the edges are made: the plan of the trims, their cuts and laps, the corners and the edges as built.
//!
//! Given what was worked; gives drawings and tables for the crew's set.

use super::super::cells::{cell, centre, group, in_rows, left, plain, right, strong, wide};
use super::super::drawings::plan_scale::TriedPlans;
use super::super::drawings::several::{LEAST_WIDTH, wide_enough};
use super::super::drawings::{Space, corners, trim_plan};
use super::super::words::Words;
use super::super::{WholeJob, site_words, wording};
use crate::geometry::region::bounds_of;
use crate::model::{Finish, Length, Problem};
use crate::pages::block::{Block, Figure, Row, RowKind, Span, Table};
use crate::takeoff::layout::{Bar, Lap, LapOver, ProfilePlan, RoofLayout, RunPlace, TrimPiece, TrimRun};

pub(super) fn trim_plans(worked: &WholeJob<'_>) -> Vec<Block> {
    let (profiles, roofs) = (&worked.take_off.profiles, &worked.take_off.roofs);
    // Many marks stand round the edges: a plan of few roofs is drawn large enough for all of them.
    let space = match roofs.len() {
        0..=2 => Space { height: 285.0, from: Space::on_site(roofs.len()).from, ..Space::on_site(1) },
        many => Space::on_site(many),
    };
    let key = |r: &RoofLayout| Some(trim_plan::key(profiles, r));
    let tried = TriedPlans::default();
    let draw = |r: &RoofLayout, space| Some(trim_plan::draw(profiles, r, &tried, space));
    let plans = match roofs.len() {
        MANY.. => side_by_side(wide_enough(roofs, Space::SIDE_BY_SIDE.numbered(), key, draw)),
        _ => {
            let drawn = |height: f64| wide_enough(roofs, Space { height, ..space.numbered() }, key, draw);
            let plain = |plans: &[Figure]| plans.iter().zip(roofs).all(|(plan, roof)| has_room_for_marks(plan, roof));
            let plans = drawn(space.height);
            // The list goes to the next page where the plan beside it would be too small for its marks.
            let is_small = roofs.len() <= 2 && !plain(&plans);
            let taller = is_small.then(|| TALLER.into_iter().map(drawn).find(|plans| plain(plans))).flatten();
            figures(taller.unwrap_or(plans))
        }
    };
    before_their_list(plans)
}

/// Plans none of which goes on to the next page while the list that is cut by them begins; a plan alone may, which has one mark
/// for each of its pieces in that list.
fn before_their_list(plans: Vec<Block>) -> Vec<Block> {
    let several = plans.len() > 1;
    let held = |plan: Block| match plan {
        Block::Figure(_) if several => Block::Columns(vec![vec![plan]]),
        other => other,
    };
    plans.into_iter().map(held).collect()
}

/// Whether the marks of a trim plan stand beside their pieces: at a large scale, or where the roof is large on paper.
fn has_room_for_marks(plan: &Figure, roof: &RoofLayout) -> bool {
    let of = plan.scene.scale.unwrap_or(SMALLEST);
    let lesser = bounds_of(roof.shape.ring()).map_or(0, |b| (b.most.x - b.least.x).min(b.most.y - b.least.y));
    of <= SMALLEST || lesser as f64 >= LEAST_WIDTH * of
}

/// That scale, as 1 to so much, and the heights of a plan that are tried for it, pt.
const SMALLEST: f64 = 75.0;
const TALLER: [f64; 3] = [360.0, 450.0, 560.0];

/// The plans of so many roofs stand side by side.
pub(super) const MANY: usize = 5;

/// Plans in their order, two beside one another where both have room there, else each over the width of the page: half of it would
/// make one smaller than its scale.
pub(super) fn side_by_side(plans: Vec<Figure>) -> Vec<Block> {
    let mut rows = Vec::new();
    let mut plans = plans.into_iter().peekable();
    while let Some(plan) = plans.next() {
        match plans.next_if(|next| plan.scene.width + next.scene.width <= BESIDE_EACH_OTHER) {
            Some(next) => rows.extend(in_rows(2, vec![vec![Block::Figure(plan)], vec![Block::Figure(next)]])),
            None => rows.push(Block::Figure(plan)),
        }
    }
    rows
}

/// What two plans may measure across that stand side by side, pt: the width of a page less what lies between them.
const BESIDE_EACH_OTHER: f64 = 494.0;

/// For each profile, every stock length with the pieces that are cut from it, in cutting order.
pub(super) fn cut_list(worked: &WholeJob<'_>, words: &Words) -> Result<Vec<Block>, Vec<Problem>> {
    let columns = vec![
        left("No."),
        left("Piece"),
        right("mm"),
        wide("Where", 2),
        wide("Start", 3),
        wide("End", 3),
        right("Over"),
        centre("Cut"),
    ];
    let mut rows = Vec::new();
    for profile in &worked.take_off.profiles {
        rows.push(group(profile_title(profile, worked), columns.len()));
        for (i, bar) in profile.bars.iter().enumerate() {
            rows.extend(bar_rows(profile, i, bar, worked, words)?);
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
    let none = || ". No sample: nothing is left over".to_owned();
    format!("{name}: {lengths} of {}{}", wording::list(&of), sample.unwrap_or_else(none))
}

/// The trims of which no length is long enough for a sample besides its pieces.
pub(super) fn without_sample(worked: &WholeJob<'_>) -> Vec<String> {
    let all = worked.take_off.profiles.iter().filter(|profile| !profile.bars.iter().any(|bar| bar.sample));
    all.map(|profile| wording::within(profile_name(profile.finish))).collect()
}

/// What a profile is called.
pub(super) const fn profile_name(finish: Finish) -> &'static str {
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
    worked: &WholeJob<'_>,
    words: &Words,
) -> Result<Vec<Row>, Vec<Problem>> {
    let found = bar.cuts.iter().filter_map(|mark| piece_of(profile, mark));
    let mut rows = found.map(|(run, piece)| piece_row((worked, run), piece, words)).collect::<Result<Vec<Row>, _>>()?;
    for row in rows.iter_mut().skip(1) {
        row.kind = RowKind::GoesOn; // cut from the same length: a man cuts it on one page
    }
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

/// `Back (1) and back (2)`: where so much of a run lies, by the stretches that it touches; a run of one edge by that.
fn part_label(worked: &WholeJob<'_>, run: &TrimRun, from: Length, to: Length) -> String {
    let whole = || short_label(worked, run);
    let RunPlace::Side { roof, side } = run.place else { return whole() };
    let Some(shape) = worked.take_off.roofs.get(roof).map(|laid| &laid.shape) else { return whole() };
    let (mut begins, mut touched) = (-run.leg, Vec::new());
    for stretch in shape.sides.iter().cycle().skip(side).take(shape.sides.len()) {
        if begins >= run.run {
            break;
        }
        let ends = begins + stretch.run;
        if from < ends && to > begins {
            touched.push(stretch.label.clone());
        }
        begins = ends;
    }
    if touched.is_empty() {
        return whole();
    }
    let label = wording::list(&touched);
    match worked.job.roofs.len() {
        1 => wording::capital(&label),
        _ => format!("{}, {label}", worked.short_name(&shape.name)),
    }
}

fn piece_row((worked, run): (&WholeJob<'_>, &TrimRun), p: &TrimPiece, words: &Words) -> Result<Row, Vec<Problem>> {
    Ok(plain(vec![
        cell(""),
        strong(&p.mark),
        strong(p.length.as_mm().to_string()),
        cell(part_label(worked, run, p.at, p.at + p.length)),
        site_words::cut(words, &p.start_cut)?,
        site_words::cut(words, &p.end_cut)?,
        cell(""),
        cell("☐"),
    ]))
}

/// Which piece lies on top at each lap.
pub(super) fn laps(worked: &WholeJob<'_>) -> Vec<Block> {
    let of_run = |run: &TrimRun| -> Vec<Row> {
        let pairs = run.pieces.iter().zip(run.pieces.iter().skip(1));
        let row = |(lap, ends)| lap_row((&short_label(worked, run), top_end(worked, run, (lap, ends))), lap, ends);
        run.laps.iter().zip(pairs).map(row).collect()
    };
    let runs = worked.take_off.profiles.iter().flat_map(|p| &p.runs);
    let rows: Vec<Row> = runs.flat_map(of_run).collect();
    if rows.len() <= FEW_LAPS {
        return vec![Block::Paragraph(laps_in_words(worked))];
    }
    vec![Block::Table(Table {
        columns: vec![left("Where"), left("On top"), left("Under"), right("Lap"), wide("End of the top one", 1)],
        rows,
        header: true,
    })]
}

/// So many laps are told in words.
pub(super) const FEW_LAPS: usize = 3;

/// `2950 mm from the left`: where the end of the piece on top lies, from the edge's end; round an opening from where the run begins.
fn top_end(worked: &WholeJob<'_>, run: &TrimRun, (lap, (a, b)): (&Lap, (&TrimPiece, &TrimPiece))) -> String {
    let start = |roof: usize, side: usize| Some(worked.take_off.roofs.get(roof)?.shape.start_of(side));
    let start = match run.place {
        RunPlace::Side { roof, side } | RunPlace::Parapet { roof, side, .. } | RunPlace::Ladder { roof, side } => {
            start(roof, side)
        }
        RunPlace::Hole { .. } => None,
    };
    let end = match lap.over {
        LapOver::Earlier => a.at + a.length,
        LapOver::Later => b.at,
    };
    format!("{} from {}", end + run.leg, start.as_deref().unwrap_or("its start"))
}

/// `Laps. Front: D2 on top, its end 2950 mm from the left, D1 under it by 50 mm.`
fn laps_in_words(worked: &WholeJob<'_>) -> Vec<Span> {
    let mut words = vec![Span::bold("Laps.")];
    for run in worked.take_off.profiles.iter().flat_map(|p| &p.runs) {
        for (lap, ends) in run.laps.iter().zip(run.pieces.iter().zip(run.pieces.iter().skip(1))) {
            let (top, under) = over_and_under(lap, ends);
            words.push(Span::plain(format!(" {}: ", short_label(worked, run))));
            words.push(Span::bold(top.mark.as_str()));
            words.push(Span::plain(format!(
                " on top, its end {}, {} under it by {}.",
                top_end(worked, run, (lap, ends)),
                under.mark,
                lap.length
            )));
        }
    }
    words
}

/// Which piece of a lap lies on top, and which under it.
fn over_and_under<'a>(lap: &Lap, (a, b): (&'a TrimPiece, &'a TrimPiece)) -> (&'a TrimPiece, &'a TrimPiece) {
    match lap.over {
        LapOver::Earlier => (a, b),
        LapOver::Later => (b, a),
    }
}

/// `Front` for `Main roof, front`, where there is one roof; else `Roof 2, front` for `Roof 2 over the workshop, front`.
fn short_label(worked: &WholeJob<'_>, run: &TrimRun) -> String {
    let (RunPlace::Side { roof, .. }
    | RunPlace::Hole { roof, .. }
    | RunPlace::Parapet { roof, .. }
    | RunPlace::Ladder { roof, .. }) = run.place;
    let name = worked.take_off.roofs.get(roof).map_or("", |laid| laid.shape.name.as_str());
    match (run.label.strip_prefix(name).and_then(|rest| rest.strip_prefix(", ")), worked.job.roofs.len()) {
        (Some(edge), 1) => wording::capital(edge),
        (Some(edge), _) => wording::capital(&format!("{}, {edge}", worked.short_name(name))),
        (None, _) => wording::capital(&run.label),
    }
}

fn lap_row((place, at): (&str, String), lap: &Lap, ends: (&TrimPiece, &TrimPiece)) -> Row {
    let (top, under) = over_and_under(lap, ends);
    plain(vec![cell(place), strong(&top.mark), cell(&under.mark), cell(lap.length.to_string()), cell(at)])
}

/// Each kind of corner: its drawing with what is done there beneath or beside it; once for roofs whose corners are alike.
pub(super) fn corner_list(worked: &WholeJob<'_>, words: &Words) -> Result<Vec<Block>, Vec<Problem>> {
    let many = worked.take_off.roofs.len() > 1;
    let mut all: Vec<(Vec<String>, Vec<corners::Drawn>)> = Vec::new();
    for layout in &worked.take_off.roofs {
        let drawn = corners::draw(layout, |j| site_words::corner(words, &layout.shape, j))?;
        match all.iter_mut().find(|(_, before)| look_alike(before, &drawn)) {
            Some((names, _)) => names.push(worked.short_name(&layout.shape.name)),
            None => all.push((vec![worked.short_name(&layout.shape.name)], drawn)),
        }
    }
    let mut blocks = Vec::new();
    for (names, drawn) in all {
        if many && !drawn.is_empty() {
            blocks.push(Block::Heading { level: 3, text: cell(wording::list_of_roofs(&names)) });
        }
        let across = across(&drawn);
        let cells = drawn.into_iter().map(|drawn| corner(drawn, across == 2)).collect();
        blocks.extend(in_rows(across, cells));
    }
    Ok(blocks)
}

/// Whether the corners of two roofs have the same numbers, drawings and words.
fn look_alike(one: &[corners::Drawn], other: &[corners::Drawn]) -> bool {
    let look = |of: &corners::Drawn| (of.corners.clone(), of.instruction.clone(), of.figure.scene.clone());
    one.len() == other.len() && one.iter().zip(other).all(|(a, b)| look(a) == look(b))
}

/// How many corners stand side by side: as many as their drawings leave room for, or two with their words beside them
/// where that takes less height.
fn across(drawn: &[corners::Drawn]) -> usize {
    let width = drawn.iter().map(|corner| corner.figure.scene.width).fold(0.0, f64::max);
    let under = if width <= QUARTER { 4 } else { 3 };
    let rows = |across: usize| drawn.len().div_ceil(across) as f64;
    let beside = rows(2) < WORDS_BESIDE * rows(under) && width <= HALF;
    if beside { 2 } else { under }
}

/// How many rows of corners with their words beside them take as much height as one with the words under them.
const WORDS_BESIDE: f64 = 1.5;
/// The widest drawing that leaves room for its words beside it in one of two columns, pt.
const HALF: f64 = 152.0;

/// The width of one of four columns on the site's sheets, pt.
const QUARTER: f64 = 111.0;

fn corner(drawn: corners::Drawn, beside: bool) -> Vec<Block> {
    let mut words = vec![Span::bold(format!("{}. ", drawn.corners))];
    words.extend(drawn.instruction);
    let figure = Figure { caption: String::new(), ..drawn.figure };
    match beside {
        true => vec![Block::Columns(vec![vec![Block::Figure(figure)], vec![Block::Paragraph(words)]])],
        false => vec![Block::Figure(figure), Block::Paragraph(words)],
    }
}

pub(super) fn figures(all: impl IntoIterator<Item = Figure>) -> Vec<Block> {
    all.into_iter().map(Block::Figure).collect()
}
