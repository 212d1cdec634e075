//! Whether the gutters and outlets carry the rain that the roof sheds.
//!
//! Given a roof's shape, what drains onto it from above, and the gutter at each drip edge; gives run-off, capacity
//! and a verdict each. Run-off and capacity follow Approved Document H3 and BS EN 12056-3, both from memory. A gutter
//! is always taken as level: a fall towards the outlet is a reserve that is not counted.

use super::catchment::{Catchment, below_walls, catchments};
use super::finding::{CAUTION, Finding, Subject, Verdict, figure, flow_words, formula, id_of, measured};
use super::root::{fourth_root, square_root};
use crate::model::gutter::{FlowRate, GutterDetail, GutterShape, OutletDetail, OutletPlace};
use crate::model::words::{at, list};
use crate::model::{Area, Finish, Length, Problem, Rules, SettingPath};
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

pub(crate) const SOURCE: &str = "Approved Document H3 (2015 edition) and BS EN 12056-3:2000, from memory";

/// Said beside the outlets of the table.
const SHARP_EDGED: &str = "sharp-edged outlet, from memory; a round-edged outlet may drain more";

/// A row of Approved Document H, Table 2 (from memory; the 100 mm row also seen in a metric handbook's excerpt):
/// half-round gutters, level, outlet at one end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GutterRow {
    /// Nominal size.
    pub size: Length,
    /// Largest effective area, m².
    pub area: Decimal,
    /// Flow, l/s.
    pub flow: Decimal,
    /// Least outlet.
    pub outlet: Length,
}

const fn row(size: i64, area: u32, hundredths: u32, outlet: i64) -> GutterRow {
    GutterRow {
        size: Length::mm(size),
        area: Decimal::from_parts(area, 0, 0, false, 0),
        flow: Decimal::from_parts(hundredths, 0, 0, false, 2),
        outlet: Length::mm(outlet),
    }
}

/// The table, smallest first.
pub const GUTTER_TABLE: [GutterRow; 5] =
    [row(75, 18, 38, 50), row(100, 37, 78, 63), row(115, 53, 111, 63), row(125, 65, 137, 75), row(150, 103, 216, 89)];

/// What drains onto the roof from above it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WaterFromAbove {
    /// Face of wall above the roof.
    pub wall: Option<Area>,
    /// A pitched roof that drains onto this one: its plan area and its pitch in degrees.
    pub pitched: Option<(Area, u32)>,
}

/// The rain that reaches one drip edge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunOff {
    /// Index of the side.
    pub side: usize,
    /// What it is called: `front`.
    pub label: String,
    /// Path of the edge in the job file.
    pub path: SettingPath,
    /// Run of the side, or of all sides that share its gutter.
    pub run: Length,
    /// Corners that the gutter goes round on its way.
    pub corners: usize,
    /// Plan area that drains to it.
    pub plan: Area,
    /// Effective area: plan, and what counts of the wall and the roof above.
    pub effective: Decimal,
    /// The flow at the design rain.
    pub flow: FlowRate,
    /// The working.
    pub working: Vec<Step>,
}

/// The run-off of each drip edge. What comes from above goes to the strip of roof beside the wall and down the fall from
/// there; where no wall is drawn it is shared as the plan areas are. A roof without a drip gives
/// none: its outlet takes [`whole_run_off`].
///
/// # Errors
/// A pitch above that the table does not cover.
pub fn run_off(shape: &RoofShape, above: &WaterFromAbove, rules: &Rules) -> Result<Vec<RunOff>, Problem> {
    let extra = from_above(shape, above, rules)?;
    let shares = catchments(shape);
    let whole: Area = shares.iter().map(|c| c.area).sum();
    let walls = below_walls(shape);
    let length: Length = walls.iter().map(|(_, l)| *l).sum();
    let of_walls = |side: usize| walls.iter().filter(|(s, _)| *s == side).map(|(_, l)| *l).sum::<Length>();
    let part = |c: &Catchment| match length > Length::ZERO {
        true => (of_walls(c.side).metres(), length.metres(), "m"),
        false => (c.area.square_metres(), whole.square_metres(), "m2"),
    };
    Ok(shares.iter().map(|c| run_off_of(shape, *c, part(c), &extra, rules)).collect())
}

/// The run-off of the whole roof, for an outlet in it.
///
/// # Errors
/// A pitch above that the table does not cover.
pub fn whole_run_off(
    shape: &RoofShape,
    above: &WaterFromAbove,
    rules: &Rules,
) -> Result<(FlowRate, Vec<Step>), Problem> {
    let (extra, mut working) = from_above(shape, above, rules)?;
    let plan = crate::geometry::ring::ring_area(&shape.ring()).square_metres();
    working.insert(0, measured("plan area inside the outline", plan, Unit::SquareMetre));
    let flow = rain_on(plan + extra, rules, &mut working);
    Ok((flow, working))
}

fn run_off_of(
    shape: &RoofShape,
    share: Catchment,
    (of, all, unit): (Decimal, Decimal, &str),
    extra: &(Decimal, Vec<Step>),
    rules: &Rules,
) -> RunOff {
    let side = &shape.sides[share.side];
    let plan = share.area.square_metres();
    let what = format!("plan area that drains straight down the fall to {} (rooflights not taken off)", side.label);
    let mut working = vec![measured(what, plan, Unit::SquareMetre)];
    working.extend(extra.1.iter().cloned());
    let part = extra.0 * of / all;
    if of < all && !extra.0.is_zero() {
        let how = if unit == "m" { "it falls on the roof beside the walls" } else { "shared as the plan is" };
        let text = format!(
            "{} m2 from above, {how}: × {} {unit} ÷ {} {unit}",
            figure(extra.0, 3),
            figure(of, 3),
            figure(all, 3)
        );
        working.push(formula(text, part, Unit::SquareMetre));
    }
    let flow = rain_on(plan + part, rules, &mut working);
    RunOff {
        side: share.side,
        label: side.label.clone(),
        path: side.path.clone(),
        run: side.run,
        corners: 0,
        plan: share.area,
        effective: plan + part,
        flow,
        working,
    }
}

/// What comes to one gutter that several sides share, as it is told of the side where its outlet stands.
pub(super) fn joined(shares: &[&RunOff], outlet: &RunOff) -> RunOff {
    let flows: Vec<Decimal> = shares.iter().map(|s| s.flow.as_litres_per_second()).collect();
    let mut working: Vec<Step> = shares.iter().flat_map(|s| s.working.clone()).collect();
    let terms: Vec<String> = flows.iter().map(|flow| format!("{} l/s", figure(*flow, 4))).collect();
    let flow: Decimal = flows.iter().sum();
    working.push(formula(format!("one gutter round the corners: {}", terms.join(" + ")), flow, Unit::LitrePerSecond));
    RunOff {
        label: list(&shares.iter().map(|s| s.label.clone()).collect::<Vec<_>>()),
        run: shares.iter().map(|s| s.run).sum(),
        corners: shares.len().saturating_sub(1),
        plan: shares.iter().map(|s| s.plan).sum(),
        effective: shares.iter().map(|s| s.effective).sum(),
        flow: FlowRate::litres_per_second(flow),
        working,
        ..outlet.clone()
    }
}

/// A gutter that turns on its way to the outlet carries less: BS EN 12056-3, from memory, 0.85 of what a straight one does.
fn round_corners(mut capacity: Capacity, corners: usize) -> Capacity {
    if let Some(flow) = capacity.flow.filter(|_| corners > 0) {
        let (straight, factor) = (flow.as_litres_per_second(), Decimal::new(85, 2));
        let text = format!("{} l/s × {factor} round a corner (BS EN 12056-3)", figure(straight, 4));
        capacity.working.push(formula(text, straight * factor, Unit::LitrePerSecond));
        capacity.flow = Some(FlowRate::litres_per_second(straight * factor));
    }
    capacity
}

/// Flow at the design rain (Approved Document H3: 0.021 l/s/m², from memory).
fn rain_on(effective: Decimal, rules: &Rules, working: &mut Vec<Step>) -> FlowRate {
    let flow = effective * rules.design_rain;
    working.push(Step::Rule { name: "design_rain", value: format!("{} l/s/m2", rules.design_rain) });
    let text = format!("{} m2 × {} l/s/m2 (Approved Document H3)", figure(effective, 4), rules.design_rain);
    working.push(formula(text, flow, Unit::LitrePerSecond));
    FlowRate::litres_per_second(flow)
}

/// Effective area of what stands above, m², with its working.
fn from_above(shape: &RoofShape, above: &WaterFromAbove, rules: &Rules) -> Result<(Decimal, Vec<Step>), Problem> {
    let mut working = Vec::new();
    let wall = above.wall.map_or(Decimal::ZERO, |w| wall_share(shape, w, rules, &mut working));
    let Some((plan, pitch)) = above.pitched else {
        return Ok((wall, working));
    };
    let factor = pitch_factor(pitch).ok_or_else(|| {
        Problem::fault(
            SettingPath::from(["roofs"]).entry(shape.index).keys(["roof_above", "pitch"]),
            format!("a roof of {pitch}° above is steeper than the table of effective areas goes"),
            "above 70° give it as `wall_above` with the area of its face; from 61° to 70° give half of the face it \
             shows, added to the plan, by hand",
        )
    })?;
    let effective = plan.square_metres() * factor;
    let text = format!(
        "roof above: {} m2 on plan × {factor} at {pitch}° (Approved Document H, Table 1)",
        figure(plan.square_metres(), 3)
    );
    working.push(formula(text, effective, Unit::SquareMetre));
    Ok((wall + effective, working))
}

/// Half of the wall above (Approved Document H, Table 1, from memory); no more than ten metres of its height count
/// where the length of the walls is known.
fn wall_share(shape: &RoofShape, wall: Area, rules: &Rules, working: &mut Vec<Step>) -> Decimal {
    let meets_wall = |f: Finish| matches!(f, Finish::Wall | Finish::Step);
    let length: Length = shape.sides.iter().filter(|s| meets_wall(s.finish)).map(|s| s.run).sum();
    let most = length * rules.wall_rain_height;
    let counted = if length > Length::ZERO { wall.min(most) } else { wall };
    working.push(measured("wall above", wall.square_metres(), Unit::SquareMetre));
    if counted < wall {
        let text =
            format!("only {} of its height counts: {length} × {}", rules.wall_rain_height, rules.wall_rain_height);
        working.push(formula(text, counted.square_metres(), Unit::SquareMetre));
    }
    let share = counted.square_metres() * rules.wall_rain_share;
    working.push(Step::Rule { name: "wall_rain_share", value: format!("{} of the wall", rules.wall_rain_share) });
    let text = format!("{} m2 × {}", figure(counted.square_metres(), 3), rules.wall_rain_share);
    working.push(formula(text, share, Unit::SquareMetre));
    share
}

/// How much more rain a pitched roof catches than its plan (Approved Document H, Table 1, from memory: the wind
/// drives rain at 1 across in 2 down, so that the factor is 1 + tan(pitch)/2). A pitch between two rows takes the
/// steeper one; none above 60°.
pub fn pitch_factor(degrees: u32) -> Option<Decimal> {
    const TABLE: [(u32, i64); 4] = [(0, 100), (30, 129), (45, 150), (60, 187)];
    TABLE.iter().find(|(pitch, _)| degrees <= *pitch).map(|(_, factor)| Decimal::new(*factor, 2))
}

/// The shape that a word of the job file names.
///
/// # Errors
/// An unknown shape, with the nearest known.
pub fn shape_of(word: &str, path: &SettingPath) -> Result<GutterShape, Problem> {
    let wanted = word.trim().to_lowercase().replace([' ', '_'], "-");
    if let Some((_, shape)) = GutterShape::WORDS.iter().find(|(known, _)| *known == wanted) {
        return Ok(*shape);
    }
    let words = GutterShape::WORDS.map(|(known, _)| known);
    let near = words.iter().min_by_key(|known| strsim::damerau_levenshtein(known, &wanted));
    let cure = match near.filter(|known| strsim::damerau_levenshtein(known, &wanted) <= known.len() / 2) {
        Some(near) => format!("did you mean `{near}`? The known shapes are {}", words.join(", ")),
        None => format!("write one of {}", words.join(", ")),
    };
    Err(Problem::fault(path, format!("`{word}` is not a shape of gutter that can be checked"), cure))
}

/// What a gutter carries towards its outlet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Capacity {
    /// The whole gutter: as often one way's as water runs towards its outlets. `None` where it is longer than the
    /// table of long gutters goes.
    pub flow: Option<FlowRate>,
    /// The working.
    pub working: Vec<Step>,
}

/// What a gutter carries, level. `run` is its edge's, for a gutter whose own length is not given.
///
/// BS EN 12056-3, from memory: Q_N = 2.78·10⁻⁵ A_E^1.25 for half-round and similar, 3.48·10⁻⁵ A_E^1.25 F_d F_s for
/// rectangular and trapezoidal (l/s, A_E in mm²); design 0.9 Q_N; a long gutter carries less.
///
/// # Errors
/// A cross-section, depth or factor that this shape needs and that is not given, all at once.
pub fn capacity(gutter: &GutterDetail, run: Length) -> Result<Capacity, Vec<Problem>> {
    let missing = missing(gutter);
    if !missing.is_empty() {
        return Err(missing);
    }
    let mut working = Vec::new();
    let design = match gutter.stated {
        Some(flow) => stated(flow, &mut working),
        None => nominal(gutter, &mut working),
    };
    let half = Decimal::from(gutter.size.as_mm()) / Decimal::TWO;
    let depth = gutter.depth.map_or(half, |d| d.as_mm().into());
    let ways = Decimal::from(ways(gutter));
    let length = gutter.length.unwrap_or(run);
    let reach = length.metres() * Decimal::ONE_THOUSAND / ways;
    let Some(factor) = length_factor(reach / depth, &mut working) else {
        return Ok(Capacity { flow: None, working });
    };
    let each = design * factor;
    let text =
        format!("{} l/s × {factor} × {ways} way{}", figure(design, 4), if ways > Decimal::ONE { "s" } else { "" });
    let text = format!("{text} to {}", outlets_words(gutter));
    working.push(formula(text, each * ways, Unit::LitrePerSecond));
    Ok(Capacity { flow: Some(FlowRate::litres_per_second(each * ways)), working })
}

/// In how many ways water runs to the outlets, each from a point midway between two of them or from an end (BS EN 12056-3, from
/// memory: each length of gutter between an outlet and such a point is a gutter of its own).
fn ways(gutter: &GutterDetail) -> u32 {
    match (gutter.outlet_place, gutter.outlets) {
        (OutletPlace::End, 0 | 1) => 1,
        (OutletPlace::End, n) => 2 * (n - 1),
        (OutletPlace::Middle, n) => 2 * n.max(1),
    }
}

/// Of so many parts of the water one comes to the outlet that takes the most: two ways meet at each but at the ends.
pub(super) fn parts_by_outlet(gutter: &GutterDetail) -> u32 {
    match (gutter.outlet_place, gutter.outlets) {
        (OutletPlace::End, 0 | 1) => 1,
        (OutletPlace::End, 2) => 2,
        (OutletPlace::End, n) => n - 1,
        (OutletPlace::Middle, n) => n.max(1),
    }
}

/// `an outlet at one end`, `2 outlets, one at each end`.
fn outlets_words(gutter: &GutterDetail) -> String {
    match (gutter.outlet_place, gutter.outlets) {
        (OutletPlace::End, 0 | 1) => "an outlet at one end".to_owned(),
        (OutletPlace::Middle, 0 | 1) => "an outlet in the middle".to_owned(),
        (OutletPlace::End, 2) => "2 outlets, one at each end".to_owned(),
        (OutletPlace::End, n) => format!("{n} outlets, two of them at the ends"),
        (OutletPlace::Middle, n) => format!("{n} outlets, each in the middle of its part"),
    }
}

/// The same behind `with`: `its outlet at one end`.
fn with_outlets(gutter: &GutterDetail) -> String {
    let words = outlets_words(gutter);
    words.strip_prefix("an ").map_or_else(|| words.clone(), |one| format!("its {one}"))
}

fn stated(flow: FlowRate, working: &mut Vec<Step>) -> Decimal {
    let flow = flow.as_litres_per_second();
    working.push(measured("what the maker's data sheet says it carries", flow, Unit::LitrePerSecond));
    flow
}

/// 0.9 Q_N of the gutter's section, l/s.
fn nominal(gutter: &GutterDetail, working: &mut Vec<Step>) -> Decimal {
    let area = section(gutter, working);
    let power = area * fourth_root(area);
    let (coefficient, factors) = match gutter.shape {
        GutterShape::Rectangular | GutterShape::Trapezoidal => (Decimal::new(348, 7), given_factors(gutter)),
        GutterShape::HalfRound | GutterShape::Deep | GutterShape::Ogee => (Decimal::new(278, 7), Vec::new()),
    };
    let result = factors.iter().fold(coefficient * power, |q, (_, f)| q * f);
    let names: String = factors.iter().map(|(name, f)| format!(" × {name} {f}")).collect();
    let text = format!("Q_N = {coefficient} × {}^1.25{names} (BS EN 12056-3)", figure(area, 1));
    working.push(formula(text, result, Unit::LitrePerSecond));
    let design = result * Decimal::new(9, 1);
    working.push(formula("0.9 × Q_N (BS EN 12056-3: design, level)", design, Unit::LitrePerSecond));
    design
}

fn given_factors(gutter: &GutterDetail) -> Vec<(&'static str, Decimal)> {
    let both = [("F_d", gutter.depth_factor), ("F_s", gutter.shape_factor)];
    both.into_iter().filter_map(|(name, f)| f.map(|f| (name, f))).collect()
}

/// What this shape's formula needs and the job does not give. A stated flow needs the depth alone, to tell whether
/// the gutter counts as long.
pub fn missing(gutter: &GutterDetail) -> Vec<Problem> {
    let unstated = gutter.stated.is_none();
    let flat = unstated && matches!(gutter.shape, GutterShape::Rectangular | GutterShape::Trapezoidal);
    let curve = gutter.shape == GutterShape::HalfRound;
    let ogee = unstated && gutter.shape == GutterShape::Ogee;
    let no_area = unstated && !curve && !ogee && gutter.area.is_none();
    let no_depth = !curve && gutter.depth.is_none();
    let sizes = [gutter.size, gutter.depth.unwrap_or(gutter.size), gutter.length.unwrap_or(gutter.size)];
    let no_size = sizes.iter().any(|l| l.as_mm() < 2) || gutter.area.is_some_and(|a| a <= Area::ZERO);
    let no = |given: Option<Decimal>| given.is_none_or(|f| f <= Decimal::ZERO);
    [
        (no_size, "size", "a size above nothing", "write the width at the top: `half-round 112 mm`"),
        (ogee, "carries", "the maker's own figure", "write what the data sheet says: `carries: 1.1 l/s`"),
        (no_area, "area", "the cross-section", "write it from the data sheet: `area: 5600 mm2`"),
        (no_depth, "depth", "the depth", "measure from the bottom to where it would spill over: `depth: 60 mm`"),
        (
            flat && no(gutter.depth_factor),
            "depth_factor",
            "F_d of BS EN 12056-3",
            "read it off the chart there and write, for example, `depth_factor: 0.9`",
        ),
        (
            flat && no(gutter.shape_factor),
            "shape_factor",
            "F_s of BS EN 12056-3",
            "read it off the chart there and write, for example, `shape_factor: 1`, which a rectangle has",
        ),
    ]
    .into_iter()
    .filter(|(wanted, ..)| *wanted)
    .map(|(_, key, what, cure)| {
        Problem::fault(gutter.path.key(key), format!("{what} is needed to check a gutter of this shape"), cure)
    })
    .collect()
}

/// The cross-section, mm²: half a circle of the nominal size where none is given.
fn section(gutter: &GutterDetail, working: &mut Vec<Step>) -> Decimal {
    if let Some(area) = gutter.area {
        let area = Decimal::from(area.as_mm2());
        working.push(measured("cross-section", area, Unit::SquareMillimetre));
        return area;
    }
    let size = Decimal::from(gutter.size.as_mm());
    let area = Decimal::new(3_141_592_653_590, 12) * size * size / Decimal::from(8);
    working.push(formula(format!("A_E = π × {size}² ÷ 8"), area, Unit::SquareMillimetre));
    area
}

/// So many times its depth is the longest gutter of that table.
const LONGEST_IN_DEPTHS: i64 = 200;

/// Part of its flow that a long level gutter still carries (BS EN 12056-3, table, from memory): by its length in
/// depths, straight lines between the rows; `None` past the last row.
pub fn long_gutter_factor(length_in_depths: Decimal) -> Option<Decimal> {
    const TABLE: [(i64, i64); 4] = [(50, 100), (100, 93), (150, 86), (LONGEST_IN_DEPTHS, 80)];
    let row = |i: usize| (Decimal::from(TABLE[i].0), Decimal::new(TABLE[i].1, 2));
    if length_in_depths <= row(0).0 {
        return Some(Decimal::ONE);
    }
    let next = (1..TABLE.len()).find(|&i| length_in_depths <= row(i).0)?;
    let ((x0, y0), (x1, y1)) = (row(next - 1), row(next));
    Some(y0 + (y1 - y0) * (length_in_depths - x0) / (x1 - x0))
}

fn length_factor(length_in_depths: Decimal, working: &mut Vec<Step>) -> Option<Decimal> {
    let depths = figure(length_in_depths, 1);
    let factor = long_gutter_factor(length_in_depths);
    match factor {
        Some(f) => {
            let text = format!("length to the outlet is {depths} times the depth: factor (BS EN 12056-3)");
            working.push(formula(text, f, Unit::Factor));
        }
        None => working.push(Step::Note(format!(
            "length to the outlet is {depths} times the depth: the table of long gutters ends at 200"
        ))),
    }
    factor.map(|f| f.round_dp(4).normalize())
}

/// What the gutter would carry if it were as long as the table of long gutters goes, and no longer, l/s.
fn at_most(gutter: &GutterDetail, run_off: &RunOff) -> Result<Option<Decimal>, Vec<Problem>> {
    let depth = gutter.depth.map_or(gutter.size.as_mm() / 2, Length::as_mm);
    let longest = Length::mm(depth * i64::from(ways(gutter)) * LONGEST_IN_DEPTHS);
    let cut = GutterDetail { length: Some(longest), ..gutter.clone() };
    let flow = round_corners(capacity(&cut, run_off.run)?, run_off.corners).flow;
    Ok(flow.map(FlowRate::as_litres_per_second))
}

/// Checks a gutter against the run-off of its edge.
///
/// # Errors
/// What its shape needs and the job does not give.
pub fn check_gutter(run_off: &RunOff, gutter: &GutterDetail, rules: &Rules) -> Result<Finding, Vec<Problem>> {
    let capacity = round_corners(capacity(gutter, run_off.run)?, run_off.corners);
    let needed = run_off.flow.as_litres_per_second();
    let carried = capacity.flow.map(FlowRate::as_litres_per_second);
    // A longer one carries less than the longest of the table: what that spills over, it spills over.
    let at_most = at_most(gutter, run_off)?.filter(|_| carried.is_none());
    let verdict = match (carried, &at_most) {
        (Some(carried), _) => Verdict::of(needed <= carried),
        (None, Some(most)) if needed > *most => Verdict::Fail,
        (None, _) => Verdict::Refer,
    };
    let mut statement = match carried {
        Some(c) => format!(
            "{}: at the design rain {} comes to the gutter {} ({}), and it carries {} with {}.",
            if needed <= c { "It copes" } else { "It spills over" },
            flow_words(needed),
            at(&run_off.label),
            rain_words(run_off, rules),
            flow_words(c),
            with_outlets(gutter)
        ),
        None if verdict == Verdict::Fail => format!(
            "It spills over: at the design rain {} comes to the gutter {} ({}), and so long it carries less than {} with {}.",
            flow_words(needed),
            at(&run_off.label),
            rain_words(run_off, rules),
            flow_words(at_most.unwrap_or_default()),
            with_outlets(gutter)
        ),
        None => format!(
            "The gutter {} is too long for its depth to be checked here: its maker must say what it carries, or it needs another outlet.",
            at(&run_off.label)
        ),
    };
    if verdict == Verdict::Fail {
        statement.push(' ');
        statement.push_str(&cure(run_off, gutter));
    }
    let mut working = run_off.working.clone();
    working.extend(capacity.working);
    working.extend(table_note(gutter));
    Ok(Finding {
        id: format!("gutter.{}", id_of(&run_off.label)),
        kind: Subject::Water,
        roof: None,
        subject: gutter_subject(&run_off.label),
        verdict,
        statement,
        design: design_words(rules),
        source: SOURCE.into(),
        caution: CAUTION,
        working,
    })
}

const GUTTER: &str = "gutter ";

/// What a finding about the gutter at an edge is about.
pub(super) fn gutter_subject(edge: &str) -> String {
    format!("{GUTTER}{}", at(edge))
}

/// Whether a finding tells what the gutter before an edge carries.
pub fn is_gutter(finding: &Finding) -> bool {
    finding.subject.starts_with(GUTTER)
}

pub(super) fn design_words(rules: &Rules) -> String {
    let hourly = rules.design_rain * Decimal::from(3600);
    format!("{} l/s for each m2 of roof ({} mm of rain an hour)", rules.design_rain, figure(hourly, 1))
}

/// `19.4 m2 × 0.021 l/s`: an area and the rain on it, in as few places as give whoever multiplies them the flow that is told.
fn rain_words(run_off: &RunOff, rules: &Rules) -> String {
    let area = run_off.effective;
    let told = |area: Decimal| flow_words(area * rules.design_rain);
    let places = (1..4).find(|&places| told(area.round_dp(places)) == told(area)).unwrap_or(4);
    let above = if area > run_off.plan.square_metres() { " with what stands above" } else { "" };
    format!("{} m2{above} × {} l/s", figure(area, places), rules.design_rain)
}

/// The table's own figures for this size, for comparison.
fn table_note(gutter: &GutterDetail) -> Option<Step> {
    let row = GUTTER_TABLE.iter().find(|r| r.size == gutter.size && gutter.shape == GutterShape::HalfRound)?;
    Some(Step::Note(format!(
        "Approved Document H, Table 2 gives {} m2, {} l/s and an outlet of {} for a {} half-round \
         gutter, outlet at one end",
        row.area, row.flow, row.outlet, row.size
    )))
}

/// What would carry the flow: the same gutter with its outlet in the middle, or the smallest half-round of the table.
fn cure(run_off: &RunOff, gutter: &GutterDetail) -> String {
    let carries = |g: &GutterDetail| {
        let found = capacity(g, run_off.run).ok().and_then(|c| c.flow);
        found.is_some_and(|f| f >= run_off.flow)
    };
    let middle = GutterDetail { outlet_place: OutletPlace::Middle, ..gutter.clone() };
    let sized = |r: &&GutterRow| {
        let plain = GutterDetail::plain(SettingPath::default(), GutterShape::HalfRound, r.size);
        let (outlet_place, outlets) = (gutter.outlet_place, gutter.outlets);
        carries(&GutterDetail { length: gutter.length, outlet_place, outlets, ..plain })
    };
    let mut cures = Vec::new();
    if gutter.outlet_place == OutletPlace::End && gutter.outlets < 2 && carries(&middle) {
        cures.push("the same gutter with its outlet in the middle would carry it".to_owned());
    }
    let more = GutterDetail { outlets: gutter.outlets.max(1) + 1, ..gutter.clone() };
    if cures.is_empty() && carries(&more) {
        cures.push(format!("the same gutter with {} would carry it", outlets_words(&more)));
    }
    if let Some(row) = GUTTER_TABLE.iter().find(sized) {
        cures.push(format!("a {} half-round gutter would carry it", row.size));
    }
    match cures.join(", or ") {
        none if none.is_empty() => "Give it more outlets, or a bigger section from a maker's data sheet.".into(),
        some => format!("{}{}.", some[..1].to_uppercase(), &some[1..]),
    }
}

/// What a round outlet takes, l/s (BS EN 12056-3, from memory): as a weir D h^1.5 ÷ 7500 while the water stands no
/// higher than half its diameter, as an orifice D² h^0.5 ÷ 15000 above that; a strainer halves it. D and h in mm.
pub fn outlet_capacity(outlet: &OutletDetail, head: Length) -> (FlowRate, Vec<Step>) {
    let (d, h) = (Decimal::from(outlet.diameter.as_mm()), Decimal::from(head.as_mm().max(0)));
    let root = square_root(h);
    let weir = head * 2 <= outlet.diameter;
    let open = if weir { d * h * root / Decimal::from(7500) } else { d * d * root / Decimal::from(15_000) };
    let text =
        if weir { format!("weir: {d} × {h}^1.5 ÷ 7500") } else { format!("orifice: {d}² × {h}^0.5 ÷ 15000") };
    let mut working = vec![
        measured("water over the outlet", h, Unit::Millimetre),
        formula(format!("{text} (BS EN 12056-3)"), open, Unit::LitrePerSecond),
    ];
    if !outlet.strainer {
        return (FlowRate::litres_per_second(open), working);
    }
    let half = open * Decimal::new(5, 1);
    working.push(formula("× 0.5 for the strainer (BS EN 12056-3)", half, Unit::LitrePerSecond));
    (FlowRate::litres_per_second(half), working)
}

/// Checks an outlet against the flow that comes to it: by the depth of water where it is known, else, under a
/// half-round gutter, by the outlet that the table wants.
pub fn check_outlet(
    subject: &str,
    flow: FlowRate,
    outlet: &OutletDetail,
    under: Option<&GutterDetail>,
    rules: &Rules,
) -> Finding {
    let (verdict, statement, working) =
        match (outlet.head, under.and_then(|gutter| Some((gutter, table_outlet(gutter)?)))) {
            (Some(head), _) => outlet_by_head(flow, outlet, head),
            (None, Some((gutter, row))) if !outlet.strainer => outlet_by_table(outlet, gutter, row),
            _ => (
                Verdict::Refer,
                "How deep the water may stand over the outlet is not known: ask for the outlet's data sheet, or \
             give its `head`."
                    .to_owned(),
                Vec::new(),
            ),
        };
    Finding {
        id: id_of(subject),
        kind: Subject::Water,
        roof: None,
        subject: subject.to_owned(),
        verdict,
        statement,
        design: design_words(rules),
        source: SOURCE.into(),
        caution: CAUTION,
        working,
    }
}

/// The table's row for a half-round gutter: its own, or the next larger.
fn table_outlet(gutter: &GutterDetail) -> Option<&'static GutterRow> {
    GUTTER_TABLE.iter().find(|r| gutter.shape == GutterShape::HalfRound && gutter.size <= r.size)
}

fn outlet_by_head(flow: FlowRate, outlet: &OutletDetail, head: Length) -> (Verdict, String, Vec<Step>) {
    let (takes, working) = outlet_capacity(outlet, head);
    let holds = flow <= takes;
    let statement = format!(
        "{} comes to the {} outlet; with {head} of water over it, it takes {}: {}.",
        flow_words(flow.as_litres_per_second()),
        outlet.diameter,
        flow_words(takes.as_litres_per_second()),
        if holds { "it copes" } else { "it backs up" }
    );
    (Verdict::of(holds), statement, working)
}

fn outlet_by_table(outlet: &OutletDetail, gutter: &GutterDetail, row: &GutterRow) -> (Verdict, String, Vec<Step>) {
    let holds = outlet.diameter >= row.outlet;
    let size = if gutter.size == row.size { "of" } else { "of up to" };
    let statement = format!(
        "Approved Document H, Table 2 wants an outlet of at least {} under a half-round gutter {size} {}; this one has {}.",
        row.outlet, row.size, outlet.diameter
    );
    (Verdict::of(holds), statement, vec![Step::Note(SHARP_EDGED.into())])
}
