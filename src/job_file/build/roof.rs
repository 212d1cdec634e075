//! One roof of the job: outline, edges, holes, joists, and what goes on top.
//!
//! Given the raw roof; gives the roof, and every problem in it. A part that is wrong does not hide what is wrong with
//! the others. What was not said and what was taken instead is told, never kept quiet.

use super::choices::Shelf;
use super::{as_found, build_up as built, choices, drainage, edges, falls, holes, outline, under};
use crate::checks::rainwater;
use crate::geometry::ring::twice_signed_area;
use crate::job_file::raw::checks::{self as raw_checks, RawBuildUp, RawRoofAbove};
use crate::job_file::raw::job::{RawJoists, RawRoof};
use crate::job_file::read::reading::Slot;
use crate::job_file::read::suggest;
use crate::model::build_up::BuildUp;
use crate::model::limits;
use crate::model::shape::{DeckChoice, JoistRun, Joists, LaminateChoice, Misclosure, OutlineFault};
use crate::model::{Area, Edge, Finish, Length, Outline, Point, Problem, Roof, Rules, SettingPath, Trade, Warned};
use crate::takeoff::layout::holes as placed;
use crate::takeoff::layout::shape::{self, EaseOfLeaving, RoofShape};
use time::Date;

/// What a roof is built with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RoofSupplies<'a> {
    /// The firm's rules.
    pub rules: &'a Rules,
    /// What is sold; `None` where the price books could not be read.
    pub products: Option<Shelf<'a>>,
    /// The words of the trade, the firm's own among them.
    pub trade: &'a Trade,
    /// Days on which nobody of the firm works.
    pub holidays: &'a [Date],
}

/// Builds a roof. `path` is its path in the job file.
pub(crate) fn roof(
    mut raw: RawRoof,
    path: &SettingPath,
    stock: RoofSupplies<'_>,
    found: &mut Vec<Problem>,
) -> Option<Roof> {
    let RoofSupplies { rules, products, trade, .. } = stock;
    let own = as_found::own(&mut raw, trade, path, found);
    let shape = raw.outline.take().and_then(|o| outline::outline(o, &path.key("outline"), rules, found));
    let misclosure = shape.as_ref().and_then(|m| m.misclosure.clone());
    tell_misclosure(misclosure.as_ref(), path, found);
    let edges = match (&shape, raw.edges.take()) {
        (Some(shape), Some(edges)) => edges::edges(shape, edges, path, rules, found),
        _ => None,
    };
    let mut outline = edges.and_then(|e| outline(e, path, found));
    let had_outlet = !raw.outlet.is_missing() || !raw.outlets.is_missing();
    let outlets = holes::outlets(raw.outlet, raw.outlets, outline.as_ref(), path, found);
    let holes = holes::holes(raw.holes.take().unwrap_or_default(), outline.as_ref(), path, found);
    if let Some(holes) = &holes {
        outlets.iter().for_each(|outlet| placed::outlet_clear(outlet, holes, found));
    }
    let falls_to = outline.as_ref().and_then(|o| falls_to(raw.falls_to, o, path, found));
    if let (Some(outline), Some(falls_to)) = (&outline, &falls_to) {
        edges::junctions(&outline.edges, found);
        if !had_outlet || !outlets.is_empty() {
            drainage::check(outline, falls_to, !outlets.is_empty(), path, found);
        }
        walls(outline, rules, found);
        gutters(outline, found);
    }
    found.extend(outline.as_ref().and_then(|outline| small(outline, path)));
    let says_way_off = !raw.way_off.is_missing();
    let way_off = way_off(raw.way_off, outline.as_ref(), path, found);
    let deck = raw.deck.take();
    let action = deck.as_ref().and_then(|d| d.action.given().copied());
    let fall = falls::fall((raw.fall, raw.firrings), action, rules, path, found);
    let joists = joists(raw.joists, path, found);
    if let Some(outline) = &outline {
        found.extend(last_joist(joists, outline, path));
    }
    let measured_to = raw.measured_to.or_taken(Default::default(), || {
        found.push(Problem::assumed(
            path.key("measured_to"),
            "what the sizes were measured to is not said: the outside of the edge battens is taken",
            "add `measured_to: battens`, or `measured_to: fascia`",
        ));
    });
    let deck = deck.and_then(|d| choices::deck(d, products, rules, path, found));
    let laminate = raw.laminate.take().and_then(|l| choices::laminate(l, products, path, found));
    found.extend(laminate.and_then(|laminate| thin(laminate, path)));
    let topcoat = raw.topcoat.take().and_then(|t| choices::topcoat(t, products, &trade.surfaces, path, found));
    let build_up = build_up(raw.build_up, (deck.as_ref(), laminate, joists.spacing), stock, path, found);
    let roof_above = roof_above(raw.roof_above, path, found);
    if let Some(outline) = &mut outline {
        under::pitches(outline, roof_above.map(|(_, pitch)| pitch));
    }
    let roof = Roof {
        name: raw.name.take()?.0,
        path: path.to_owned(),
        outline: outline?,
        falls_to: falls_to?,
        fall,
        holes: holes?,
        joists,
        measured_to,
        way_off,
        deck: deck?,
        laminate: laminate?,
        topcoat: topcoat?,
        wall_above: raw_checks::wall_above(raw.wall_above),
        roof_above,
        build_up,
        outlets,
        own,
        misclosure,
    };
    if !says_way_off {
        found.push(way_off_taken(&roof, rules));
    }
    Some(roof)
}

/// A roof smaller than this, over all or in area, is more likely a slip in a unit (common practice, no source).
const SMALL_SIDE: Length = Length::mm(400);
/// See [`SMALL_SIDE`], in square millimetres.
const SMALL_AREA: i128 = 500_000;

/// Warns of a roof that hardly is one.
fn small(outline: &Outline, path: &SettingPath) -> Option<Problem> {
    let over_all = |of: fn(&Point) -> i64| {
        let all = || outline.corners.iter().map(of);
        Length::mm(all().max().unwrap_or_default() - all().min().unwrap_or_default())
    };
    let (width, depth) = (over_all(|p| p.x), over_all(|p| p.y));
    let area = twice_signed_area(&outline.corners).abs() / 2;
    (width.min(depth) < SMALL_SIDE || area < SMALL_AREA).then(|| {
        Problem::warning(
            Warned::SmallSize,
            path.key("outline"),
            format!("this roof is {width} by {depth} over all"),
            "look whether metres or centimetres were meant",
        )
    })
}

/// A new roof takes at least so much mat, in g/m² over all layers (common practice, no source).
const LEAST_MAT: u32 = 450;

/// Warns of a laminate that is thinner than a new roof takes.
fn thin(laminate: LaminateChoice, path: &SettingPath) -> Option<Problem> {
    let LaminateChoice { mat, layers } = laminate;
    (mat * layers < LEAST_MAT).then(|| {
        let fault = format!("a laminate of {mat} g/m² is thin for a new roof");
        let cure = "write `mat: 450`; where it is walked on, `mat: 600` or two layers";
        Problem::warning(Warned::ThinMat, path.keys(["laminate", "mat"]), fault, cure)
    })
}

/// By which edge the crew is taken to leave a roof that does not say it.
fn way_off_taken(roof: &Roof, rules: &Rules) -> Problem {
    let taken = |shape: RoofShape| {
        let (edge, side) = roof.outline.edges.iter().zip(&shape.sides).nth(shape.way_off)?;
        let why = match EaseOfLeaving::of(edge, side.run) {
            EaseOfLeaving::LadderPoint => "with a ladder point",
            EaseOfLeaving::Open => "of its open edges the furthest up the fall",
            EaseOfLeaving::Door => "through its door, since no edge is open",
            EaseOfLeaving::OverParapet => "over its parapet, since no edge is open",
            EaseOfLeaving::Closed => "the furthest up the fall, since no edge is open",
        };
        Some(format!("`{}` is taken, {why}", side.label))
    };
    let taken = shape::lay_out(roof, 0, rules).ok().and_then(taken);
    let taken = taken.unwrap_or_else(|| "its open edge furthest up the fall is taken".to_owned());
    Problem::assumed(
        roof.path.key("way_off"),
        format!("where the crew leaves the roof is not said: {taken}"),
        "add `way_off:` with the name of an edge at which there is a ladder, a scaffold or a door",
    )
}

/// Without one, the question of heat is left open, and said so.
fn build_up(
    raw: Slot<RawBuildUp>,
    (deck, laminate, spacing): (Option<&DeckChoice>, Option<LaminateChoice>, Length),
    stock: RoofSupplies<'_>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<BuildUp> {
    if raw.is_missing() {
        found.push(Problem::assumed(
            path.key("build_up"),
            "what lies over and under the joists is not said: heat, damp and air are left unchecked",
            "add `build_up: {kind: warm, …}` or `{kind: cold, …}`; covering anew may oblige the house to insulate",
        ));
    }
    let around =
        built::RoofMakeUp { deck: deck?, laminate: laminate?, spacing, shelf: stock.products, rules: stock.rules };
    built::build_up(raw.take()?, around, path, found)
}

fn roof_above(raw: Slot<RawRoofAbove>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<(Area, u32)> {
    let raw = raw.take()?;
    let (area, pitch) = (raw.area.take()?, raw.pitch.take()?.0);
    if rainwater::pitch_factor(pitch).is_none() {
        found.push(Problem::fault(
            path.keys(["roof_above", "pitch"]),
            format!("a roof of {pitch}° above is steeper than the table of effective areas goes"),
            "above 70° give it as `wall_above` with the area of its face; from 61° to 70° give half of the face it \
             shows, added to the plan, by hand",
        ));
    }
    Some((area, pitch))
}

/// What nobody reads off a tape any closer (common practice, no source): told, and no reason to measure again.
const READING: Length = Length::mm(2);

fn tell_misclosure(misclosure: Option<&Misclosure>, path: &SettingPath, found: &mut Vec<Problem>) {
    if let Some(m) = misclosure {
        let (place, fault) = (path.key("outline"), m.statement.clone());
        let cure = "trims are cut to the measured lengths; measure again where this surprises you";
        found.push(match m.by <= READING {
            true => Problem::assumed(place, fault, cure),
            false => Problem::warning(Warned::Diagonal, place, fault, cure),
        });
    }
}

/// The outline of edges that were measured, or why there is none.
pub(crate) fn outline(edges: Vec<(Point, Edge)>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Outline> {
    let labels: Vec<String> = edges.iter().map(|(_, e)| e.label()).collect();
    let (corners, edges) = edges.into_iter().unzip();
    let (fault, cure) = match Outline::new(corners, edges) {
        Ok(outline) => return Some(outline),
        Err(OutlineFault::Crosses(a, b)) => (
            format!("the outline crosses itself: `{}` and `{}` cross or touch", labels[a], labels[b]),
            "check the lengths and turns of these two edges and of those between them",
        ),
        Err(OutlineFault::Flat) => ("the outline encloses nothing".to_owned(), "check the lengths and turns"),
        Err(OutlineFault::Clockwise) => (
            "the outline is walked the wrong way round".to_owned(),
            "stand below looking at the roof, walk along the front from left to right, then turn left up the right-hand side",
        ),
    };
    found.push(Problem::fault(path.key("outline"), fault, cure));
    None
}

/// The edge that the roof falls to; where it is not said, the only drip edge.
fn falls_to(
    raw: Slot<crate::job_file::read::scalars::PrintedText>,
    outline: &Outline,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<String> {
    if !raw.is_missing() {
        return raw.take().map(|t| t.0);
    }
    let mut drips: Vec<&str> = outline.edges.iter().filter(|e| e.finish.drains()).map(|e| e.name.as_str()).collect();
    drips.dedup();
    let path = path.key("falls_to");
    match drips[..] {
        [only] => {
            found.push(Problem::assumed(
                path,
                format!("which way the roof falls is not said: to `{only}`, its only drip edge, is taken"),
                format!("add `falls_to: {only}`"),
            ));
            Some(only.to_owned())
        }
        _ => {
            let names = suggest::words(&drips, "or");
            let cure = if drips.is_empty() {
                "add `falls_to: front`".to_owned()
            } else {
                format!("add `falls_to:` with {names}")
            };
            found.push(Problem::fault(path, "a roof with no drip edge, or with several, needs `falls_to`", cure));
            None
        }
    }
}

fn way_off(
    raw: Slot<crate::job_file::read::scalars::PrintedText>,
    outline: Option<&Outline>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<String> {
    let path = path.key("way_off");
    let name = raw.take()?.0;
    if let Some(outline) = outline
        && outline.edges.iter().all(|e| e.name != name)
    {
        let mut names: Vec<&str> = outline.edges.iter().map(|e| e.name.as_str()).collect();
        names.dedup();
        let fault = format!("the crew leaves at `{name}`, which is not an edge of the outline");
        found.push(Problem::fault(path, fault, suggest::cure(&name, &names)));
    }
    Some(name)
}

fn joists(raw: Slot<RawJoists>, path: &SettingPath, found: &mut Vec<Problem>) -> Joists {
    let usual =
        Joists { run: JoistRun::FrontToBack, spacing: Length::mm(400), first: Length::ZERO, last: None, section: None };
    if raw.is_missing() {
        found.push(Problem::assumed(
            path.key("joists"),
            "the joists are not said: front to back at 400 mm, the first at the left corner, is taken",
            "add `joists: {run: front to back, spacing: 400 mm}`",
        ));
    }
    let Some(raw) = raw.take() else { return usual };
    let joists = Joists {
        run: raw.run.take().unwrap_or(usual.run),
        spacing: raw.spacing.take().unwrap_or(usual.spacing),
        first: raw.first.take().unwrap_or(Length::ZERO),
        last: raw.last.take(),
        section: raw.section.take().map(|s| s.0),
    };
    if !limits::JOIST_SPACING.limit.holds(joists.spacing.as_mm().into()) {
        let fault = format!("joists at {} centres carry no deck", joists.spacing);
        found.push(Problem::fault(
            path.keys(["joists", "spacing"]),
            fault,
            "check the unit; 400 mm and 600 mm are usual",
        ));
    }
    if joists.first >= joists.spacing && joists.spacing > Length::ZERO {
        let fault = format!("the first joist lies {} in, further than the spacing of {}", joists.first, joists.spacing);
        found.push(Problem::fault(
            path.keys(["joists", "first"]),
            fault,
            "measure from the front left corner to the first centre-line",
        ));
    }
    joists
}

/// The last joist lies beyond every other one of the spacing, and less than a spacing from the far edge.
fn last_joist(joists: Joists, outline: &Outline, path: &SettingPath) -> Option<Problem> {
    let last = joists.last.filter(|_| joists.spacing > Length::ZERO)?;
    let across = |p: &Point| if joists.run == JoistRun::FrontToBack { p.x } else { p.y };
    let corner = outline.corners.first().map_or(0, across);
    let far = Length::mm(outline.corners.iter().map(across).max().unwrap_or(0) - corner);
    let spaced = joists.first + joists.spacing * ((far - joists.first).as_mm().max(0) / joists.spacing.as_mm());
    let fault = match () {
        () if last > far => format!("the last joist lies {last} in, and the roof ends {far} in"),
        () if last < spaced => {
            format!("the last joist lies {last} in, and at the spacing one lies beyond it, {spaced} in")
        }
        () => return None,
    };
    let cure = format!(
        "measure from the front left corner to its centre-line; leave `last` out where it is one of the others, {spaced} in"
    );
    Some(Problem::fault(path.keys(["joists", "last"]), fault, cure))
}

fn walls(outline: &Outline, rules: &Rules, found: &mut Vec<Problem>) {
    for edge in outline.edges.iter().filter(|e| e.meets_wall()) {
        let label = edge.label();
        if edge.upstand.is_none() {
            found.push(Problem::assumed(
                edge.path.key("upstand"),
                format!("the upstand at `{label}` was not measured: {} is taken to be there", rules.least_upstand),
                format!("measure it and add `upstand: {}`", rules.least_upstand),
            ));
        }
    }
}

fn gutters(outline: &Outline, found: &mut Vec<Problem>) {
    for edge in outline.edges.iter().filter(|e| e.finish == Finish::Drip && e.gutter.is_none()) {
        found.push(Problem::assumed(
            edge.path.key("gutter"),
            format!("no gutter is given at `{}`: none is taken off, put back or checked", edge.label()),
            "add, for example, `gutter: half-round 112 mm`",
        ));
    }
}
