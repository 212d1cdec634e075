//! The edges of an outline with their finishes, whole or in stretches, and how they meet.
//!
//! Given the measured sides and what the file says of each; gives edges in walking order with their start points.
//! Every edge has a finish, and a pair of finishes that no junction covers is refused, not guessed.

use super::measured::{Measured, too_many};
use super::{coping, gutters, under};
use crate::job_file::raw::job::{RawEdge, RawOverflow};
use crate::job_file::read::reading::{ByName, List, OneOrMany, Slot};
use crate::job_file::read::suggest;
use crate::model::limits;
use crate::model::shape::Overflow;
use crate::model::{Edge, Finish, Flashing, Length, Point, Problem, Rules, SettingPath, Warned};
use crate::takeoff::layout::{box_gutter, junctions};

/// Most unknown edges that are told.
const MOST_TOLD: usize = 50;

/// The edges of a roof, each with the point where it starts. `path` is that of the roof.
pub(crate) fn edges(
    measured: &Measured,
    raw: ByName<OneOrMany<RawEdge>>,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Vec<(Point, Edge)>> {
    let path = path.key("edges");
    let mut names: Vec<&str> = Vec::new();
    for side in &measured.sides {
        if !names.contains(&side.name.as_str()) {
            names.push(&side.name);
        }
    }
    for (name, _) in raw.0.iter().filter(|(name, _)| !names.contains(&name.as_str())).take(MOST_TOLD) {
        found.push(Problem::fault(
            path.key(name.clone()),
            format!("`{name}` is not an edge of the outline"),
            suggest::cure(name, &names),
        ));
    }
    let points = measured.points();
    let mut given = raw.0;
    let mut all = Vec::new();
    for (n, side) in measured.sides.iter().enumerate() {
        let ends = (points[n], points[(n + 1) % points.len()]);
        let entry = given.iter_mut().find(|(name, _)| *name == side.name).map(|(_, slot)| std::mem::take(slot));
        let at = path.key(side.name.clone());
        all.push(match entry {
            None => {
                found.push(Problem::fault(
                    path.clone(),
                    format!("the edge `{}` has no finish", side.name),
                    format!("add, for example, `{}: {{finish: raised}}`", side.name),
                ));
                None
            }
            Some(Slot::Given(OneOrMany::One(edge))) => whole(edge, &side.name, side.length, ends.0, &at, rules, found),
            Some(Slot::Given(OneOrMany::Many(list))) => {
                stretches(list, &side.name, side.length, ends, &at, rules, found)
            }
            Some(_) => None,
        });
    }
    Some(all.into_iter().collect::<Option<Vec<_>>>()?.concat())
}

fn whole(
    raw: RawEdge,
    name: &str,
    length: Length,
    start: Point,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Vec<(Point, Edge)>> {
    if !raw.go.is_missing() {
        found.push(Problem::fault(
            path.key("go"),
            "`go` is for stretches: this edge has one finish from end to end",
            "take `go` out, or give the edge a list of stretches",
        ));
    }
    Some(vec![(start, edge(raw, name, None, length, path, rules, found)?)])
}

fn stretches(
    list: List<RawEdge>,
    name: &str,
    whole: Length,
    (start, end): (Point, Point),
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Vec<(Point, Edge)>> {
    if list.is_empty() {
        found.push(Problem::fault(path, "this list of stretches is empty", "give the edge a finish"));
        return None;
    }
    if too_many(list.len(), limits::STRETCHES, path, found) {
        return None;
    }
    let (count, mut gone, mut all) = (list.len(), Length::ZERO, Vec::new());
    for (n, raw) in list.into_iter().enumerate() {
        let path = path.entry(n);
        let Some(raw) = raw.take() else {
            all.push(None);
            continue;
        };
        let Some(length) = stretch_length(&raw, n + 1 == count, whole - gone, name, &path, found) else {
            all.push(None);
            continue;
        };
        let at = along(start, end, gone, whole);
        gone += length;
        let number = (count > 1).then_some(n);
        all.push(edge(raw, name, number, length, &path, rules, found).map(|e| (at, e)));
    }
    all.into_iter().collect()
}

/// All but the last stretch say how far they go; the last takes what is left.
fn stretch_length(
    raw: &RawEdge,
    last: bool,
    left: Length,
    name: &str,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    match (last, raw.go.given()) {
        (true, None) if raw.go.is_missing() => Some(left).filter(|l| *l > Length::ZERO),
        (true, Some(go)) if *go == left => Some(left),
        (false, Some(go)) if *go > Length::ZERO && *go < left => Some(*go),
        (_, None) if raw.go.is_bad() => None,
        (true, Some(go)) => {
            let fault = format!("the last stretch of `{name}` is {go} here, but {left} of the edge is left");
            found.push(Problem::fault(path.key("go"), fault, "take `go` out: the last stretch takes the rest"));
            None
        }
        (false, Some(go)) => {
            let fault = format!("this stretch goes {go}, but only {left} of `{name}` is left");
            found.push(Problem::fault(
                path.key("go"),
                fault,
                "make it shorter, so that the last stretch has something left",
            ));
            None
        }
        (_, None) => {
            let fault = "a stretch that is not the last needs `go`";
            found.push(Problem::fault(path.key("go"), fault, "add, for example, `go: 2.0 m`"));
            None
        }
    }
}

/// The point so far along a side, to the nearest millimetre.
fn along(start: Point, end: Point, gone: Length, whole: Length) -> Point {
    let share = gone.as_mm() as f64 / whole.as_mm() as f64;
    let part = |a: i64, b: i64| a + ((b - a) as f64 * share).round() as i64;
    Point::new(part(start.x, end.x), part(start.y, end.y))
}

/// An edge shorter than this is more likely a slip of the pen than a part of a roof (common practice, no source).
const SHORT: Length = Length::mm(100);

fn edge(
    mut raw: RawEdge,
    name: &str,
    stretch: Option<usize>,
    length: Length,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Edge> {
    let finish = *raw.finish.given()?;
    if length < SHORT {
        let called = stretch.map_or_else(|| format!("`{name}`"), |n| format!("stretch {} of `{name}`", n + 1));
        found.push(Problem::warning(
            Warned::ShortEdge,
            path,
            format!("{called} is only {length} long"),
            "check the figure and its unit",
        ));
    }
    let mut only = |given: bool, fits: bool, key: &'static str, fault: &str| {
        if given && !fits {
            found.push(Problem::fault(path.key(key), fault, format!("take `{key}` out, or change the finish")));
        }
    };
    only(!raw.gutter.is_missing(), finish == Finish::Drip, "gutter", "a gutter hangs under a drip edge only");
    let wall = matches!(finish, Finish::Wall | Finish::Gutter);
    only(!raw.upstand.is_missing(), wall, "upstand", "an upstand is measured at a wall only");
    only(!raw.flashing.is_missing(), wall, "flashing", "a flashing covers the fillet at a wall only");
    only(!raw.joints.is_missing(), finish.has_trim(), "joints", "no trim stands at a step or into a box gutter");
    only(
        !raw.box_gutter.is_missing(),
        finish == Finish::Gutter,
        "box_gutter",
        "a box gutter lies beyond an edge with `finish: gutter`",
    );
    only(!raw.sill.is_missing(), finish == Finish::Wall, "sill", "a door sill stands over a stretch of wall only");
    only(!raw.under.is_missing(), finish == Finish::Step, "under", "only a step goes in under tiles or slates");
    only(
        !raw.ladder_point.is_missing(),
        matches!(finish, Finish::Drip | Finish::Raised),
        "ladder_point",
        "a ladder point stands on a drip or a raised edge only",
    );
    only(
        !raw.overflow.is_missing(),
        matches!(finish, Finish::Wall | Finish::Raised | Finish::Gutter),
        "overflow",
        "an overflow goes through a parapet or an upstand: at a wall or a raised edge only",
    );
    if let Some(middle) = raw.ladder_point.given().filter(|_| matches!(finish, Finish::Drip | Finish::Raised)) {
        ladder_point(*middle, length, rules.ladder_point, path, found);
    }
    let label = stretch.map_or_else(|| name.to_owned(), |n| format!("{name} ({})", n + 1));
    let coped = !raw.coping.is_missing();
    let (coped_height, coping) = coping::coping(&mut raw, &label, path, found).unzip();
    let sill = sill(&raw, finish, coped, path, found);
    let under = under::under(&mut raw, finish, &label, path, rules, found);
    let overflow = raw.overflow.take().and_then(|o| overflow(o, length, path, found));
    let lacks_gutter = finish == Finish::Gutter && raw.box_gutter.is_missing();
    if lacks_gutter {
        found.push(Problem::fault(
            path.key("box_gutter"),
            "an edge with `finish: gutter` needs the box gutter's sizes",
            "add `box_gutter: {width: 300 mm, depth: 120 mm, fall: 1:100, outlet: {at: 0.4 m, size: 75 mm}}`",
        ));
    }
    let box_gutter = raw.box_gutter.take().and_then(|g| gutters::box_gutter(g, &path.key("box_gutter")));
    let flashed = wall && raw.sill.is_missing() && !coped;
    let flashing_unsaid = flashed && raw.flashing.is_missing();
    let edge = Edge {
        name: name.to_owned(),
        stretch,
        path: path.to_owned(),
        length,
        finish,
        joints: raw.joints.take().unwrap_or_default(),
        gutter: gutters::gutter(raw.gutter, &path.key("gutter"), found),
        overflow,
        box_gutter,
        upstand: coped_height.or(sill).or(raw.upstand.take()),
        flashing: flashed.then(|| raw.flashing.take().unwrap_or(Flashing::Lead)),
        ladder_point: raw.ladder_point.take(),
        sill,
        coping,
        under,
    };
    found.extend(box_gutter::faults(&edge));
    if flashing_unsaid {
        found.push(Problem::assumed(
            path.key("flashing"),
            format!("the flashing at `{}` is not said: lead is taken", edge.label()),
            "add `flashing: lead`, `flashing: lead-free` or `flashing: none`",
        ));
    } else if edge.flashing == Some(Flashing::None) {
        found.push(Problem::assumed(
            path.key("flashing"),
            format!(
                "no new flashing is cut in at `{}`: the old one is taken to be dressed down again, or others to cover the \
                 fillet there; the papers say that rain gets in until something does",
                edge.label()
            ),
            "write `flashing: lead` or `flashing: lead-free` where one is to be cut in",
        ));
    }
    Some(edge)
}

/// The height of a door sill over a stretch of wall: that is its upstand, and no flashing is cut in under it.
fn sill(raw: &RawEdge, finish: Finish, coped: bool, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Length> {
    let sill = *raw.sill.given().filter(|_| finish == Finish::Wall && !coped)?;
    if !raw.upstand.is_missing() {
        found.push(Problem::fault(
            path.key("upstand"),
            "under a door the upstand ends at the sill: `sill` says how high that is",
            "take `upstand` out here; the wall on either side keeps its own",
        ));
    }
    if !raw.flashing.is_missing() {
        found.push(Problem::fault(
            path.key("flashing"),
            "no flashing is cut in under a door sill: it stops at both sides of it",
            "take `flashing` out here; the wall on either side keeps its own",
        ));
    }
    Some(sill)
}

/// Refuses a ladder point that does not lie within its edge: its middle is what is measured.
fn ladder_point(middle: Length, edge: Length, size: Length, path: &SettingPath, found: &mut Vec<Problem>) {
    let before = Length::mm(size.as_mm() / 2);
    let after = size - before;
    if middle >= before && middle + after <= edge {
        return;
    }
    let fault = format!(
        "a ladder point of {size} whose middle stands at {middle} does not lie within the edge, which is {edge} long"
    );
    let cure = match edge >= size {
        true => format!(
            "measure its middle from where the edge starts in walking order: from {before} to {} here",
            edge - after
        ),
        false => "take it out, or make the rule `ladder_point` shorter in the firm file".to_owned(),
    };
    found.push(Problem::fault(path.key("ladder_point"), fault, cure));
}

/// An overflow, which must lie within its edge from jamb to jamb.
fn overflow(raw: RawOverflow, edge: Length, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Overflow> {
    let overflow =
        Overflow { at: raw.at.take()?, width: raw.width.take()?, height: raw.height.take()?, above: raw.above.take()? };
    let half = Length::mm((overflow.width.as_mm() + 1) / 2);
    if overflow.at < half || overflow.at + half > edge {
        let fault = format!(
            "an overflow {} wide whose middle stands at {} does not lie within the edge, which is {edge} long",
            overflow.width, overflow.at
        );
        let cure = match edge >= half * 2 {
            true => format!(
                "measure its middle from where the edge starts in walking order: from {half} to {} here",
                edge - half
            ),
            false => "make it narrower".to_owned(),
        };
        found.push(Problem::fault(path.keys(["overflow", "at"]), fault, cure));
    }
    Some(overflow)
}

/// Refuses neighbours whose finishes no junction covers.
pub(crate) fn junctions(edges: &[Edge], found: &mut Vec<Problem>) {
    for (edge, next) in edges.iter().zip(edges.iter().cycle().skip(1)) {
        if !junctions::is_made(edge.finish, next.finish) {
            let (ends, starts) = (edge.label(), next.label());
            found.push(junctions::no_junction((&ends, edge.finish), (&starts, next.finish), &next.path));
        }
    }
}
