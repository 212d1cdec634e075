//! The trims: every run cut to pieces, every piece with its mark, its place and the length that it is cut from.
//!
//! Given the roofs as laid out; gives a plan for each profile over all roofs, in the order in which trims are fixed.
//! The plan decides how long the pieces are; only then are they put in order along their run, so that joints keep away
//! from corners where they can.

use super::junctions::{
    cut_angle, mitre_allowance, sides_at, takes_allowance, to_half_a_degree, treatment_between, trim_name,
};
use super::parapets;
use super::shape::{Direction, HoleShape, RoofShape, Side, Turn, WallEnd, inward};
use super::{Bar, EndCut, Lap, LapOver, OuterEdge, ProfilePlan, RunPlace, Treatment, TrimPiece, TrimRun};
use crate::cutting::{self, Joining, RunPlan, RunPlanFault, RunWanted, SoldLength, cut_runs, share_out};
use crate::geometry::segment::distance;
use crate::model::shape::Joints;
use crate::model::{Edge, Finish, Length, Problem, Products, Roof, Rules, SettingPath, Warned, Whereabouts};
use rust_decimal::Decimal;

/// Everything the trims are planned from.
#[derive(Debug, Clone, Copy)]
pub struct TrimJob<'a> {
    /// The roofs as laid out.
    pub shapes: &'a [RoofShape],
    /// The same roofs as measured: side `i` of a shape is edge `i` of its outline.
    pub roofs: &'a [Roof],
    /// The edge that the wind mostly comes over, by its name.
    pub wind_from: Option<&'a str>,
    /// The firm's rules.
    pub rules: &'a Rules,
    /// What is sold.
    pub products: &'a Products,
}

/// Profiles in the order in which they are fixed, each with the letter of its marks; a step has no trim.
const PROFILES: [(Finish, &str); 4] =
    [(Finish::Drip, "D"), (Finish::Wall, "W"), (Finish::Raised, "R"), (Finish::Kerb, "K")];

/// Plans the trims of a whole job; gives the plans and what the installer should know.
///
/// # Errors
/// Every run that cannot be cut: its place, what is wrong and what to do.
pub fn plan_trims(job: &TrimJob) -> Result<(Vec<ProfilePlan>, Vec<Problem>), Vec<Problem>> {
    let (mut plans, mut notices, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    let mut ladders = 0;
    for (finish, letter) in PROFILES {
        let runs = runs_of(job, finish, &mut problems);
        if runs.is_empty() {
            continue;
        }
        match plan_profile(job, (finish, letter), runs, &mut ladders) {
            Ok((plan, told)) => {
                plans.push(plan);
                notices.extend(told);
            }
            Err(found) => problems.extend(found),
        }
    }
    if problems.is_empty() { Ok((plans, notices)) } else { Err(problems) }
}

// ---- Runs --------------------------------------------------------------------------------------------------------

/// A run before it is cut.
struct Wanted {
    place: RunPlace,
    label: String,
    path: SettingPath,
    run: Length,
    leg: Length,
    start_allowance: Length,
    end_allowance: Length,
    start_cut: EndCut,
    end_cut: EndCut,
    single: bool,
    over: LapOver,
    /// It runs down the fall: its low end, at which trims are begun, is its end.
    falls: bool,
    /// Where the run starts along its side: only a ladder point starts elsewhere than at the corner.
    offset: Length,
}

impl Wanted {
    fn length(&self) -> Length {
        self.run + self.start_allowance + self.end_allowance
    }
}

/// The runs of one finish: outlines, then holes, roof by roof; ladder points last.
fn runs_of(job: &TrimJob, finish: Finish, problems: &mut Vec<Problem>) -> Vec<Wanted> {
    let (mut runs, mut ladders) = (Vec::new(), Vec::new());
    for (shape, roof) in job.shapes.iter().zip(job.roofs) {
        for first in (0..shape.sides.len()).filter(|&s| shape.sides[s].finish == finish && shape.sides[s].has_trim()) {
            if !joins_straight(shape, roof, first) {
                runs.extend(side_run(job, shape, roof, first, problems));
            }
            ladders.extend(ladder_run(job, shape, roof, first, problems));
        }
        if finish == OUTER_EDGE {
            runs.extend((0..shape.sides.len()).flat_map(|s| outer_runs(job, shape, s)));
        }
        for (h, hole) in shape.holes.iter().enumerate().filter(|(_, h)| h.finish == finish && !h.round) {
            runs.extend(hole_runs(job, shape, h, hole));
        }
    }
    runs.extend(ladders);
    runs
}

fn edge(roof: &Roof, side: usize) -> Option<&Edge> {
    roof.outline.edges.get(side)
}

fn may_not_be_joined(roof: &Roof, side: usize) -> bool {
    edge(roof, side).is_some_and(|e| e.joints == Joints::None)
}

/// Whether a side only carries on the trim of the side before it: same straight line, same finish, same joints.
fn joins_straight(shape: &RoofShape, roof: &Roof, side: usize) -> bool {
    let before = (side + shape.sides.len() - 1) % shape.sides.len();
    shape.corners[side].turn == Turn::Straight
        && shape.sides[before].finish == shape.sides[side].finish
        && shape.sides[before].has_trim()
        && shape.sides[side].has_trim()
        && may_not_be_joined(roof, before) == may_not_be_joined(roof, side)
}

/// The run that starts with side `first`, over all stretches that carry it on.
fn side_run(
    job: &TrimJob,
    shape: &RoofShape,
    roof: &Roof,
    first: usize,
    problems: &mut Vec<Problem>,
) -> Option<Wanted> {
    let n = shape.sides.len();
    let sides: Vec<usize> = (first..first + n)
        .map(|s| s % n)
        .enumerate()
        .take_while(|&(i, s)| i == 0 || joins_straight(shape, roof, s))
        .map(|(_, s)| s)
        .collect();
    let last = *sides.last()?;
    let (start, end) = (End::new(job, shape, first, false), End::new(job, shape, (last + 1) % n, true));
    let measured: Length = sides.iter().map(|&s| shape.sides[s].run).sum();
    let run = measured - start.leg - end.leg;
    let side = &shape.sides[first];
    if run < Length::ZERO {
        problems.push(legs_too_long(side, measured, start.leg + end.leg));
    }
    let along = Direction::along(side.from, shape.sides[last].to);
    (run > Length::ZERO).then(|| Wanted {
        place: RunPlace::Side { roof: shape.index, side: first },
        label: format!("{}, {}", shape.name, labels(shape, &sides)),
        path: side.path.clone(),
        run,
        leg: start.leg,
        start_allowance: start.allowance,
        end_allowance: end.allowance,
        start_cut: start.cut,
        end_cut: end.cut,
        single: may_not_be_joined(roof, first),
        over: lap_over(along, shape, job.wind_from),
        falls: along.dot(shape.uphill) < -LEVEL,
        offset: Length::ZERO,
    })
}

fn labels(shape: &RoofShape, sides: &[usize]) -> String {
    let all: Vec<&str> = sides.iter().map(|&s| shape.sides[s].label.as_str()).collect();
    match all.split_last() {
        Some((last, [])) => (*last).into(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => String::new(),
    }
}

fn legs_too_long(side: &Side, measured: Length, legs: Length) -> Problem {
    Problem::fault(
        side.path.clone(),
        format!("the corner pieces at both ends of {} take {legs}, and the edge is only {measured} long", side.label),
        "check the edge's length, or the legs of the corner pieces in the price book",
    )
}

/// What happens at one end of a run.
struct End {
    leg: Length,
    allowance: Length,
    cut: EndCut,
}

impl End {
    /// The end at `corner`; `ends`: the run ends there, else it starts there.
    fn new(job: &TrimJob, shape: &RoofShape, corner: usize, ends: bool) -> End {
        let (before, after) = sides_at(shape, corner);
        let (own, other) = if ends { (before, after) } else { (after, before) };
        let at = &shape.corners[corner];
        let none = End { leg: Length::ZERO, allowance: Length::ZERO, cut: EndCut::Square };
        let Some(how) = treatment_between(before, after, at, job.products, job.rules) else { return none };
        let leg = match how {
            Treatment::PreformedExternal => job.products.corner_external_leg,
            Treatment::PreformedInternal => job.products.corner_internal_leg,
            _ => Length::ZERO,
        };
        let allowance = match takes_allowance(at, how) {
            true => mitre_allowance(own.finish, job.products, job.rules),
            false => Length::ZERO,
        };
        let cut = EndCut::Corner {
            treatment: how,
            own: own.finish,
            other: other.finish,
            other_label: other.label.clone(),
            degrees: cut_angle(how, at),
            longer: allowance,
        };
        End { leg, allowance, cut }
    }
}

/// The trim along the outer edge of a wall that the roof is carried over.
const OUTER_EDGE: Finish = Finish::Drip;

/// The runs along the outer edge of a covered wall, and across its free ends; each is mitred where it meets another.
fn outer_runs(job: &TrimJob, shape: &RoofShape, s: usize) -> Vec<Wanted> {
    let side = &shape.sides[s];
    let Some(wall) = side.coped else { return Vec::new() };
    let allowance = mitre_allowance(OUTER_EDGE, job.products, job.rules);
    let n = shape.sides.len();
    let neighbours = [&shape.sides[(s + n - 1) % n], &shape.sides[(s + 1) % n]];
    let mitre = |degrees: f64, other: &str| {
        let cut = EndCut::Corner {
            treatment: Treatment::Mitre,
            own: OUTER_EDGE,
            other: OUTER_EDGE,
            other_label: other.to_owned(),
            degrees: to_half_a_degree(degrees),
            longer: allowance,
        };
        (allowance, cut)
    };
    let square = || (Length::ZERO, EndCut::Square);
    let own = format!("parapet at {}", side.label);
    let at_end = |end: usize| match wall.ends[end] {
        WallEnd::Free => mitre(45.0, &own),
        WallEnd::Turns => {
            let corner = &shape.corners[(s + end) % n];
            mitre((corner.inside.min(360.0 - corner.inside)) / 2.0, &format!("parapet at {}", neighbours[end].label))
        }
        WallEnd::GoesOn | WallEnd::Butts | WallEnd::PastGutter => square(),
    };
    let run = |part: OuterEdge| {
        let ((start_allowance, start_cut), (end_allowance, end_cut)) = match part {
            OuterEdge::Along => (at_end(0), at_end(1)),
            OuterEdge::AtStart => (square(), mitre(45.0, &own)),
            OuterEdge::AtEnd => (mitre(45.0, &own), square()),
        };
        let (from, to) = parapets::outer_edge(shape, s, part)?;
        let across = if part == OuterEdge::Along { "" } else { ", across its end" };
        Some(Wanted {
            place: RunPlace::Parapet { roof: shape.index, side: s, part },
            label: format!("{}, {own}, outer edge{across}", shape.name),
            path: side.path.key("coping"),
            run: parapets::outer_run(&wall, part)?,
            leg: Length::ZERO,
            start_allowance,
            end_allowance,
            start_cut,
            end_cut,
            single: false,
            over: lap_over(Direction::along(from, to), shape, job.wind_from),
            falls: Direction::along(from, to).dot(shape.uphill) < -LEVEL,
            offset: Length::ZERO,
        })
    };
    OuterEdge::ALL.into_iter().filter_map(run).collect()
}

/// The sides of a kerb or a chimney, each mitred at both ends.
fn hole_runs(job: &TrimJob, shape: &RoofShape, index: usize, hole: &HoleShape) -> Vec<Wanted> {
    let allowance = mitre_allowance(hole.finish, job.products, job.rules);
    let n = hole.ring.len();
    let side = |s: usize| {
        let (from, to) = (hole.ring[s], hole.ring[(s + 1) % n]);
        let cut = EndCut::Corner {
            treatment: Treatment::Mitre,
            own: hole.finish,
            other: hole.finish,
            other_label: hole.name.clone(),
            degrees: Decimal::from(45),
            longer: allowance,
        };
        Wanted {
            place: RunPlace::Hole { roof: shape.index, hole: index, side: s },
            label: format!("{}, {}, {}", shape.name, hole.name, hole_side(s, n)),
            path: hole.path.clone(),
            run: distance(from, to),
            leg: Length::ZERO,
            start_allowance: allowance,
            end_allowance: allowance,
            start_cut: cut.clone(),
            end_cut: cut,
            single: false,
            over: lap_over(Direction::along(from, to), shape, job.wind_from),
            falls: Direction::along(from, to).dot(shape.uphill) < -LEVEL,
            offset: Length::ZERO,
        }
    };
    (0..n).map(side).collect()
}

/// A rectangle's ring starts at the front.
fn hole_side(side: usize, of: usize) -> String {
    match (of, side) {
        (4, 0) => "front".into(),
        (4, 1) => "right".into(),
        (4, 2) => "back".into(),
        (4, 3) => "left".into(),
        _ => format!("side {}", side + 1),
    }
}

/// A ladder point: a length of matching trim over the edge trim, its middle where the job file says.
fn ladder_run(
    job: &TrimJob,
    shape: &RoofShape,
    roof: &Roof,
    side: usize,
    problems: &mut Vec<Problem>,
) -> Option<Wanted> {
    let middle = edge(roof, side)?.ladder_point?;
    let at = &shape.sides[side];
    if !matches!(at.finish, Finish::Drip | Finish::Raised) {
        problems.push(no_ladder(at));
        return None;
    }
    let length = job.rules.ladder_point.min(at.run);
    let offset = Length::mm(middle.as_mm() - length.as_mm() / 2).max(Length::ZERO).min(at.run - length);
    Some(Wanted {
        place: RunPlace::Ladder { roof: shape.index, side },
        label: format!("{}, ladder point on {}", shape.name, at.label),
        path: at.path.key("ladder_point"),
        run: length,
        leg: Length::ZERO,
        start_allowance: Length::ZERO,
        end_allowance: Length::ZERO,
        start_cut: EndCut::Square,
        end_cut: EndCut::Square,
        single: true,
        over: LapOver::Later,
        falls: false,
        offset,
    })
}

fn no_ladder(side: &Side) -> Problem {
    Problem::fault(
        side.path.key("ladder_point"),
        format!(
            "{} is finished {}, and a ladder point stands on a drip or a raised edge",
            side.label,
            side.finish.word()
        ),
        "put the ladder point on a drip or a raised edge, or leave it out",
    )
}

/// Below this (about a degree off level on plan) an edge counts as level.
pub(super) const LEVEL: f64 = 0.02;

/// The upper piece lies on top; on a level edge the piece nearer to the wind, else the later one.
fn lap_over(along: Direction, shape: &RoofShape, wind_from: Option<&str>) -> LapOver {
    let rise = along.dot(shape.uphill);
    if rise.abs() > LEVEL {
        return if rise > 0.0 { LapOver::Later } else { LapOver::Earlier };
    }
    let with_the_wind = wind_from.and_then(|w| over_edge(shape, w)).map_or(0.0, |w| along.dot(w));
    if with_the_wind > LEVEL { LapOver::Earlier } else { LapOver::Later }
}

/// Square to an edge, into the roof: which way the wind blows that comes over it.
fn over_edge(shape: &RoofShape, name: &str) -> Option<Direction> {
    let stretch = format!("{name} (");
    let side = shape.sides.iter().find(|s| s.label == name || s.label.starts_with(&stretch))?;
    Some(inward(side.from, side.to))
}

// ---- Cutting a profile -------------------------------------------------------------------------------------------

fn plan_profile(
    job: &TrimJob,
    (finish, letter): (Finish, &str),
    wanted: Vec<Wanted>,
    ladders: &mut usize,
) -> Result<(ProfilePlan, Vec<Problem>), Vec<Problem>> {
    let profile = job.products.profiles.get(&finish).ok_or_else(|| vec![not_sold(finish, &wanted[0])])?;
    let sold: Vec<SoldLength> = profile.stock.iter().map(|s| SoldLength { length: s.length, pence: s.pence }).collect();
    let order = by_size(&wanted);
    let ordered: Vec<&Wanted> = order.iter().map(|&i| &wanted[i]).collect();
    let runs: Vec<RunWanted> = ordered.iter().map(|w| RunWanted { length: w.length(), single: w.single }).collect();
    let joining = Joining {
        lap: job.rules.trim_lap,
        shortest: job.rules.shortest_piece,
        extra_laps: job.rules.extra_laps,
        kerf: job.rules.kerf,
    };
    let mut cut = cut_runs(&runs, &sold, &joining, cutting::RUN_EFFORT).map_err(|faults| {
        let mut told: Vec<(usize, Problem)> = faults
            .iter()
            .map(|f| (run_of(*f, &order), in_words(*f, finish, (&wanted[0], &ordered), &sold, job.rules)))
            .collect();
        told.sort_by_key(|(run, _)| *run);
        told.into_iter().map(|(_, problem)| problem).collect::<Vec<Problem>>()
    })?;
    let unproven = unproven(finish, &cut);
    let all = |wish: fn(&Wanted, &Rules) -> Length| ordered.iter().map(|w| wish(w, job.rules)).collect::<Vec<_>>();
    let long = all(long_enough);
    let least = all(|_, rules| rules.least_trim);
    for (wished, kept) in [(&long, &long), (&all(far_enough), &long), (&least, &least)] {
        share_out(&mut cut, wished, kept, job.rules.kerf);
    }
    let cut = as_given(cut, &order);
    let paths: Vec<SettingPath> = wanted.iter().map(|w| w.path.clone()).collect();
    let plan = laid_along(job, (finish, letter), wanted, cut, ladders);
    let short = plan.runs.iter().zip(&paths).filter_map(|(run, path)| short_pieces(run, path, job.rules));
    let notices = short.chain(unproven).collect();
    Ok((plan, notices))
}

/// The order in which runs are given to the solver: by what they are and whose they are, never by where their roof stands
/// in the job. Of plans that are equally good the solver takes the one that it finds first, so that the same roofs in
/// another order would be cut otherwise, and take other nails.
fn by_size(wanted: &[Wanted]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    let what = |w: &Wanted| (std::cmp::Reverse(w.length()), w.single, w.start_allowance, w.end_allowance);
    order.sort_by(|&a, &b| {
        let (a, b) = (&wanted[a], &wanted[b]);
        what(a).cmp(&what(b)).then_with(|| a.label.cmp(&b.label)).then_with(|| a.offset.cmp(&b.offset))
    });
    order
}

/// Which run, as given, a fault is of; the first where it is of all.
fn run_of(fault: RunPlanFault, order: &[usize]) -> usize {
    match fault {
        RunPlanFault::NoStock | RunPlanFault::Rules => 0,
        RunPlanFault::NoLength(run) | RunPlanFault::SingleTooLong(run) | RunPlanFault::NoPieces(run) => {
            order.get(run).copied().unwrap_or(run)
        }
    }
}

/// A plan for runs in the order `order`, told in the order in which they were given.
fn as_given(cut: RunPlan, order: &[usize]) -> RunPlan {
    let mut runs = vec![Vec::new(); order.len()];
    for (pieces, &given) in cut.runs.into_iter().zip(order) {
        runs[given] = pieces;
    }
    let mut bars = cut.bars;
    for bar in &mut bars {
        bar.cuts.iter_mut().for_each(|(run, _)| *run = order[*run]);
    }
    RunPlan { runs, bars, ..cut }
}

fn not_sold(finish: Finish, first: &Wanted) -> Problem {
    Problem::fault(
        first.path.clone(),
        format!("{} needs {}, and no price book sells it", first.label, trim_name(finish)),
        format!("add a product with the role trim.{} and its lengths to the price book", finish.word()),
    )
}

/// What is wrong with `wanted`, the runs as the solver had them; `first` is the first as given.
fn in_words(
    fault: RunPlanFault,
    finish: Finish,
    (first, wanted): (&Wanted, &[&Wanted]),
    sold: &[SoldLength],
    rules: &Rules,
) -> Problem {
    let name = trim_name(finish);
    let longest = sold.iter().map(|s| s.length).max().unwrap_or(Length::ZERO);
    let role = finish.word();
    match fault {
        RunPlanFault::NoStock => Problem::fault(
            first.path.clone(),
            format!("{name} has no length in the price book that is longer than a lap ({})", rules.trim_lap),
            format!("give the product with the role trim.{role} the lengths it is sold in"),
        ),
        RunPlanFault::Rules => Problem::fault(
            ["rules"],
            "a lap, a kerf or a shortest piece is less than nothing",
            "give trim_lap, kerf and shortest_piece as lengths, 0 mm or more",
        ),
        RunPlanFault::NoLength(r) => Problem::fault(
            wanted[r].path.clone(),
            format!("{} has no length", wanted[r].label),
            "give its length, or take it out",
        ),
        RunPlanFault::SingleTooLong(r) => Problem::fault(
            wanted[r].path.clone(),
            format!(
                "{} takes one piece of {} that may not be joined, and the longest {name} sold is {longest}",
                wanted[r].label,
                wanted[r].length()
            ),
            format!("allow joints there, or add a longer length of trim.{role} to the price book"),
        ),
        RunPlanFault::NoPieces(r) => Problem::fault(
            wanted[r].path.clone(),
            format!(
                "{} is {} long and must be joined, but from lengths of {longest} no pieces of {} or more can be had",
                wanted[r].label,
                wanted[r].length(),
                rules.shortest_piece
            ),
            format!("add a longer length of trim.{role} to the price book, or lower the rule shortest_piece"),
        ),
    }
}

fn unproven(finish: Finish, cut: &RunPlan) -> Option<Problem> {
    let proof = &cut.proof;
    (!proof.is_proven()).then(|| {
        Problem::warning(
            Warned::CutPlan,
            Whereabouts::WholeFile,
            format!(
                "the cut plan for {} takes {}; {} is the least that any plan could take, and nothing between was found",
                trim_name(finish),
                cut.in_words(proof.found),
                cut.in_words(proof.bound)
            ),
            "cut to the plan; it may be a little more than the best",
        )
    })
}

/// Pieces of every run put in order, marked and given their place.
fn laid_along(
    job: &TrimJob,
    (finish, letter): (Finish, &str),
    wanted: Vec<Wanted>,
    mut cut: RunPlan,
    ladders: &mut usize,
) -> ProfilePlan {
    let orders: Vec<Vec<usize>> =
        wanted.iter().enumerate().map(|(r, want)| best_order(&cut, r, want, job.rules)).collect();
    as_fixed(&mut cut, &orders);
    let (mut runs, mut pieces) = (Vec::new(), 0);
    let mut marks: Vec<Vec<String>> = Vec::new();
    for ((r, want), order) in wanted.into_iter().enumerate().zip(&orders) {
        let is_ladder = matches!(want.place, RunPlace::Ladder { .. });
        let mut own = vec![String::new(); order.len()];
        for &p in order {
            own[p] = if is_ladder { next(ladders, LADDER) } else { next(&mut pieces, letter) };
        }
        runs.push(trim_run(want, &cut, r, order, &own, job.rules));
        marks.push(own);
    }
    let bars = bars(&cut, &marks, job.rules);
    let left = bars.iter().map(|b| b.offcut).max().unwrap_or(Length::ZERO);
    ProfilePlan {
        finish,
        runs,
        bars,
        in_pence: cut.in_pence,
        proof: cut.proof,
        offer_spare: left < job.rules.spare_below,
    }
}

/// Puts the pieces of a bar, and the bars of each length by their first pieces, in the order in which they are fixed: who cuts down the
/// list has those of the first roof first.
fn as_fixed(cut: &mut RunPlan, orders: &[Vec<usize>]) {
    let place = |&(run, piece): &(usize, usize)| (run, orders[run].iter().position(|p| *p == piece));
    let mut bars: Vec<(usize, _)> = cut.bars.drain(..).enumerate().collect();
    bars.iter_mut().for_each(|(_, bar)| bar.cuts.sort_by_key(place));
    bars.sort_by_key(|(_, bar)| (std::cmp::Reverse(bar.stock), bar.cuts.first().map(place)));
    let mut now = vec![0; bars.len()];
    for (to, (from, _)) in bars.iter().enumerate() {
        now[*from] = to;
    }
    cut.runs.iter_mut().flatten().for_each(|piece| piece.bar = now[piece.bar]);
    cut.bars = bars.into_iter().map(|(_, bar)| bar).collect();
}

/// What the mark of a ladder point's trim begins with: L alone marks the lining of a parapet.
const LADDER: &str = "LP";

fn next(count: &mut usize, letter: &str) -> String {
    *count += 1;
    format!("{letter}{count}")
}

fn trim_run(want: Wanted, cut: &RunPlan, run: usize, order: &[usize], marks: &[String], rules: &Rules) -> TrimRun {
    let lengths: Vec<Length> = order.iter().map(|&p| cut.runs[run][p].length).collect();
    let last = order.len() - 1;
    let mut at = want.offset - want.start_allowance;
    let mut pieces = Vec::new();
    for (n, &p) in order.iter().enumerate() {
        pieces.push(TrimPiece {
            mark: marks[p].clone(),
            length: lengths[n],
            at,
            bar: cut.runs[run][p].bar,
            start_cut: if n == 0 { want.start_cut.clone() } else { lap_cut(want.over == LapOver::Later) },
            end_cut: if n == last { want.end_cut.clone() } else { lap_cut(want.over == LapOver::Earlier) },
        });
        at += lengths[n] - rules.trim_lap;
    }
    let laps = laps(&lengths, &want, rules);
    TrimRun {
        place: want.place,
        label: want.label,
        run: want.run,
        leg: want.leg,
        start_allowance: want.start_allowance,
        end_allowance: want.end_allowance,
        pieces,
        laps,
    }
}

/// What is done at an end of a piece that lies on top at a lap, or under the other.
pub(super) const fn lap_cut(on_top: bool) -> EndCut {
    if on_top { EndCut::OverLap } else { EndCut::UnderLap }
}

fn laps(lengths: &[Length], want: &Wanted, rules: &Rules) -> Vec<Lap> {
    let middles = middles(lengths, want, rules);
    let clear = clear(&middles, want, rules);
    (middles.into_iter().zip(clear))
        .map(|(at, clear_of_corners)| Lap { at, length: rules.trim_lap, over: want.over, clear_of_corners })
        .collect()
}

/// Middles of the laps, from the run's start.
fn middles(lengths: &[Length], want: &Wanted, rules: &Rules) -> Vec<Length> {
    let half = Length::mm(rules.trim_lap.as_mm() / 2);
    let mut end = -want.start_allowance;
    let joints = lengths.len().saturating_sub(1);
    lengths[..joints]
        .iter()
        .map(|&l| {
            end += l;
            let middle = end - half;
            end -= rules.trim_lap;
            middle
        })
        .collect()
}

/// Which laps keep their distance from both corners and from their neighbours.
fn clear(middles: &[Length], want: &Wanted, rules: &Rules) -> Vec<bool> {
    let least = rules.joint_from_corner;
    let far = |n: usize| {
        let before = n.checked_sub(1).map_or(Length::ZERO, |b| middles[b]);
        let after = middles.get(n + 1).copied().unwrap_or(want.run);
        middles[n] - before >= least && after - middles[n] >= least
    };
    (0..middles.len()).map(far).collect()
}

/// Runs of more pieces than this keep the longest first and the shortest in the middle.
const MOST_ORDERED: usize = 6;

/// The order in which most laps are clear; longer pieces first where that makes no difference, from the low end up: a roof that
/// is opened day by day from there takes its first lengths whole, and what meets the wall comes last.
fn best_order(cut: &RunPlan, run: usize, want: &Wanted, rules: &Rules) -> Vec<usize> {
    let pieces = &cut.runs[run];
    let mut longest_first: Vec<usize> = (0..pieces.len()).collect();
    longest_first.sort_by_key(|&p| (-pieces[p].length, p));
    let laps_clear = |order: &Vec<usize>| {
        let lengths: Vec<Length> = order.iter().map(|&p| pieces[p].length).collect();
        clear(&middles(&lengths, want, rules), want, rules).into_iter().filter(|c| *c).count()
    };
    let mut orders = match pieces.len() {
        0..=2 => vec![longest_first.clone()],
        3..=MOST_ORDERED => permutations(&longest_first),
        _ => vec![longest_first.clone(), shortest_inside(&longest_first)],
    };
    if want.falls {
        orders.iter_mut().for_each(|order| order.reverse());
    }
    let most = orders.iter().map(laps_clear).max().unwrap_or(0);
    orders.into_iter().find(|o| laps_clear(o) == most).unwrap_or(longest_first)
}

/// All orders, in dictionary order of the one given.
fn permutations(of: &[usize]) -> Vec<Vec<usize>> {
    if of.len() < 2 {
        return vec![of.to_vec()];
    }
    let mut all = Vec::new();
    for k in 0..of.len() {
        let rest: Vec<usize> = [&of[..k], &of[k + 1..]].concat();
        all.extend(permutations(&rest).into_iter().map(|p| [&[of[k]], &p[..]].concat()));
    }
    all
}

fn shortest_inside(longest_first: &[usize]) -> Vec<usize> {
    let (last, others) = longest_first.split_at(1);
    [others, last].concat()
}

/// How long a piece should be so that its joint keeps away from a corner and from the next joint.
fn far_enough(want: &Wanted, rules: &Rules) -> Length {
    let allowance = want.start_allowance.max(want.end_allowance);
    let at_end = allowance + Length::mm((rules.trim_lap.as_mm() + 1) / 2);
    rules.joint_from_corner + at_end.max(rules.trim_lap)
}

/// How long a piece should be so that it is no sliver either.
fn long_enough(want: &Wanted, rules: &Rules) -> Length {
    far_enough(want, rules).max(rules.least_trim)
}

/// Tells of pieces in a joined run that are shorter than they should be.
fn short_pieces(run: &TrimRun, path: &SettingPath, rules: &Rules) -> Option<Problem> {
    let short = |p: &&TrimPiece| p.length < rules.least_trim;
    let short: Vec<String> = run.pieces.iter().filter(short).map(|p| format!("{} of {}", p.mark, p.length)).collect();
    (run.pieces.len() > 1 && !short.is_empty()).then(|| {
        let fault = format!(
            "{} has {}, shorter than least_trim ({}): the lengths bought leave no room for more",
            run.label,
            short.join(" and "),
            rules.least_trim
        );
        Problem::warning(
            Warned::ShortTrim,
            path.clone(),
            fault,
            "buy a length more and cut the longest piece shorter, or fix it as it is",
        )
    })
}

/// The lengths as cut; the sample for the dry fit comes from the shortest offcut that gives one.
fn bars(cut: &RunPlan, marks: &[Vec<String>], rules: &Rules) -> Vec<Bar> {
    let mut bars: Vec<Bar> = (cut.bars.iter())
        .map(|b| Bar {
            stock: b.stock,
            cuts: b.cuts.iter().map(|&(r, p)| marks[r][p].clone()).collect(),
            offcut: b.offcut,
            sample: false,
        })
        .collect();
    let gives = bars.iter_mut().filter(|b| b.offcut >= rules.sample && rules.sample > Length::ZERO);
    if let Some(bar) = gives.min_by_key(|b| b.offcut) {
        bar.sample = true;
        bar.offcut = (bar.offcut - rules.sample - rules.kerf).max(Length::ZERO);
    }
    bars
}
