//! Rooflights, hatches, chimneys and pipes: their form and whether they stand inside the roof.
//!
//! Given what the file says; gives holes that lie inside the outline and clear of each other, or the problems. A hole
//! that touches an edge counts as across it.

use super::measured::{positive, too_many};
use crate::job_file::raw::job::{RawHole, RawOutlet};
use crate::job_file::read::reading::{List, Slot};
use crate::model::limits;
use crate::model::shape::Outlet;
use crate::model::{Finish, Hole, HoleForm, Length, Outline, Point, Problem};

/// The holes of a roof, checked against its outline and each other. `path` is that of the roof.
pub fn holes(raw: List<RawHole>, outline: Option<&Outline>, path: &str, found: &mut Vec<Problem>) -> Option<Vec<Hole>> {
    if too_many(raw.len(), limits::HOLES, &format!("{path}.holes"), found) {
        return None;
    }
    let read: Vec<Option<Hole>> =
        raw.into_iter().enumerate().map(|(n, raw)| hole(raw.take()?, &format!("{path}.holes[{n}]"), found)).collect();
    let good: Vec<&Hole> = read.iter().flatten().collect();
    if let Some(outline) = outline {
        good.iter().for_each(|h| inside(h, &format!("the hole `{}`", h.name), outline, found));
    }
    for (n, hole) in good.iter().enumerate() {
        for before in &good[..n] {
            apart(before, hole, found);
        }
    }
    read.into_iter().collect()
}

fn hole(raw: RawHole, path: &str, found: &mut Vec<Problem>) -> Option<Hole> {
    let at = raw.at.take().and_then(|l| pair(l, &format!("{path}.at"), found));
    let name = raw.name.take().map(|t| t.0);
    let form = match (raw.size, raw.round) {
        (Slot::Missing, Slot::Missing) => {
            let cure = "add `size: [1.0 m, 1.0 m]`, or `round: 110 mm` for a pipe";
            found.push(Problem::fault(format!("{path}.size"), "a hole needs `size` or `round`", cure));
            None
        }
        (Slot::Given(_), Slot::Given(_)) => {
            found.push(Problem::fault(
                format!("{path}.round"),
                "this hole has `size` and `round`",
                "keep one of the two",
            ));
            None
        }
        (Slot::Given(size), _) => pair(size, &format!("{path}.size"), found)
            .filter(|s| sized(s, &format!("{path}.size"), found))
            .and_then(|(width, depth)| Some(HoleForm::Box { at: point(at?), width, depth })),
        (_, Slot::Given(diameter)) => sized(&(diameter, diameter), &format!("{path}.round"), found)
            .then_some(())
            .and_then(|()| Some(HoleForm::Round { at: point(at?), diameter })),
        _ => None,
    };
    let finish = hole_finish(raw.finish, form.as_ref(), path, found);
    Some(Hole { name: name?, path: path.to_owned(), form: form?, finish: finish? })
}

fn hole_finish(raw: Slot<Finish>, form: Option<&HoleForm>, path: &str, found: &mut Vec<Problem>) -> Option<Finish> {
    let round = matches!(form, Some(HoleForm::Round { .. }));
    let fault = match raw {
        Slot::Bad => return None,
        Slot::Missing if round || form.is_none() => return Some(Finish::Kerb),
        Slot::Missing => "a hole needs `finish`".to_owned(),
        Slot::Given(Finish::Kerb) => return Some(Finish::Kerb),
        Slot::Given(Finish::Wall) if !round => return Some(Finish::Wall),
        Slot::Given(_) if round => "a pipe carries a collar, no trim".to_owned(),
        Slot::Given(other) => format!("no {} trim stands round a hole", other.word()),
    };
    let cure = match round {
        true => "take `finish` out",
        false => "write `finish: kerb` for a rooflight or hatch, `finish: wall` for a chimney",
    };
    found.push(Problem::fault(format!("{path}.finish"), fault, cure));
    None
}

/// Two lengths: along the front, then up the roof.
fn pair(list: List<Length>, path: &str, found: &mut Vec<Problem>) -> Option<(Length, Length)> {
    let [x, y] = &list[..] else {
        let fault = format!("this should be two lengths, not {}", list.len());
        found.push(Problem::fault(
            path,
            fault,
            "write `[1.8 m, 1.1 m]`: along the front from the left, then up the roof",
        ));
        return None;
    };
    Some((*x.given()?, *y.given()?))
}

fn sized((width, depth): &(Length, Length), path: &str, found: &mut Vec<Problem>) -> bool {
    let good = *width > Length::ZERO && *depth > Length::ZERO;
    if !good {
        found.push(Problem::fault(
            path,
            "a hole cannot be nothing across",
            "write its size to the outside of the kerb",
        ));
    }
    good
}

fn point((x, y): (Length, Length)) -> Point {
    Point::new(x.as_mm(), y.as_mm())
}

fn inside(hole: &Hole, called: &str, outline: &Outline, found: &mut Vec<Problem>) {
    let (middle, fits) = match &hole.form {
        HoleForm::Box { at, width, depth } => (Point::new(at.x + width.as_mm() / 2, at.y + depth.as_mm() / 2), None),
        HoleForm::Round { at, diameter } => (*at, Some(*diameter)),
    };
    let touched = (0..outline.corners.len()).find(|n| {
        let (a, b) = (outline.corners[*n], outline.end_of(*n));
        match (&hole.form, fits) {
            (HoleForm::Box { at, width, depth }, _) => {
                reaches(a, b, (at.x, at.y), (at.x + width.as_mm(), at.y + depth.as_mm()))
            }
            (HoleForm::Round { .. }, diameter) => {
                distance(middle, a, b) * 2.0 <= diameter.unwrap_or_default().as_mm() as f64
            }
        }
    });
    let fault = match touched {
        Some(n) => format!("{called} reaches across the edge `{}`", outline.edges[n].label()),
        None if !contains(&outline.corners, middle) => format!("{called} lies outside the roof"),
        None => return found.extend(near_edge(hole, called, outline)),
    };
    let cure = "check `at` (its nearest corner, or a pipe's centre, from the front left corner: along the front, then up the roof) and its size";
    found.push(Problem::fault(format!("{}.at", hole.path), fault, cure));
}

/// Less than this between two trims, in mm, and their flanges, each about 100 mm, lie on one another (common practice,
/// no source).
const LEAST_ROOM: i64 = 200;

/// The box with that room round it; none for a pipe, which has no trim.
fn with_room(form: &HoleForm) -> Option<((i64, i64), (i64, i64))> {
    let HoleForm::Box { .. } = form else { return None };
    let ((x0, y0), (x1, y1)) = bounds(form);
    Some(((x0 - LEAST_ROOM + 1, y0 - LEAST_ROOM + 1), (x1 + LEAST_ROOM - 1, y1 + LEAST_ROOM - 1)))
}

fn near_edge(hole: &Hole, called: &str, outline: &Outline) -> Option<Problem> {
    let (low, high) = with_room(&hole.form)?;
    let near = (0..outline.corners.len()).find(|&n| reaches(outline.corners[n], outline.end_of(n), low, high))?;
    let trims = outline.edges[near].finish.has_trim();
    trims.then(|| {
        narrow(hole, &format!("{called} stands less than {LEAST_ROOM} mm from `{}`", outline.edges[near].label()))
    })
}

fn narrow(hole: &Hole, fault: &str) -> Problem {
    Problem::warning(
        format!("{}.at", hole.path),
        format!("{fault}: the flanges of the two trims lie on one another"),
        "check `at` and the size; where they are right, agree with the crew how the flanges are cut",
    )
}

/// Whether a segment touches a box (Liang and Barsky, 1984: the segment clipped to the box has something left).
fn reaches(a: Point, b: Point, low: (i64, i64), high: (i64, i64)) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in [(a.x, b.x - a.x, low.0, high.0), (a.y, b.y - a.y, low.1, high.1)] {
        if step == 0 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (t, u) = ((low - start) as f64 / step as f64, (high - start) as f64 / step as f64);
        from = from.max(t.min(u));
        to = to.min(t.max(u));
    }
    from <= to
}

/// How far a point lies from a segment.
fn distance(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
    let (px, py) = ((p.x - a.x) as f64, (p.y - a.y) as f64);
    let t = ((px * dx + py * dy) / (dx * dx + dy * dy).max(1.0)).clamp(0.0, 1.0);
    (px - t * dx).hypot(py - t * dy)
}

/// Whether a ring holds a point (ray casting, Shimrat 1962). The point does not lie on the ring.
fn contains(ring: &[Point], p: Point) -> bool {
    let next = ring.iter().cycle().skip(1);
    let crossed = ring.iter().zip(next).filter(|(a, b)| {
        let spans = (a.y > p.y) != (b.y > p.y);
        let left = (b.x - a.x) as i128 * (p.y - a.y) as i128 - (p.x - a.x) as i128 * (b.y - a.y) as i128;
        spans && ((b.y > a.y) == (left > 0))
    });
    crossed.count() % 2 == 1
}

fn apart(before: &Hole, hole: &Hole, found: &mut Vec<Problem>) {
    if overlap(&before.form, &hole.form) {
        found.push(Problem::fault(
            format!("{}.at", hole.path),
            format!("the holes `{}` and `{}` overlap or touch", before.name, hole.name),
            "check `at` and the size of both",
        ));
    } else if let (Some(_), Some(((x0, y0), (x1, y1)))) = (with_room(&before.form), with_room(&hole.form)) {
        let ((ax0, ay0), (ax1, ay1)) = bounds(&before.form);
        if ax0 <= x1 && x0 <= ax1 && ay0 <= y1 && y0 <= ay1 {
            let fault = format!("`{}` and `{}` stand less than {LEAST_ROOM} mm apart", before.name, hole.name);
            found.push(narrow(hole, &fault));
        }
    }
}

/// Tells an outlet that stands in a hole.
pub fn outlet_clear(outlet: &Outlet, holes: &[Hole], path: &str, found: &mut Vec<Problem>) {
    let round = HoleForm::Round { at: outlet.at, diameter: outlet.size };
    if let Some(hole) = holes.iter().find(|h| overlap(&h.form, &round)) {
        let fault = format!("the outlet stands in or against the hole `{}`", hole.name);
        found.push(Problem::fault(format!("{path}.outlet.at"), fault, "check `at` and the size of both"));
    }
}

fn overlap(a: &HoleForm, b: &HoleForm) -> bool {
    match (a, b) {
        (HoleForm::Round { at: p, diameter: d }, HoleForm::Round { at: q, diameter: e }) => {
            ((p.x - q.x) as f64).hypot((p.y - q.y) as f64) * 2.0 <= (*d + *e).as_mm() as f64
        }
        (HoleForm::Round { at, diameter }, other) | (other, HoleForm::Round { at, diameter }) => {
            let ((x0, y0), (x1, y1)) = bounds(other);
            let (dx, dy) = (at.x - at.x.clamp(x0, x1), at.y - at.y.clamp(y0, y1));
            (dx as f64).hypot(dy as f64) * 2.0 <= diameter.as_mm() as f64
        }
        _ => {
            let (((ax0, ay0), (ax1, ay1)), ((bx0, by0), (bx1, by1))) = (bounds(a), bounds(b));
            ax0 <= bx1 && bx0 <= ax1 && ay0 <= by1 && by0 <= ay1
        }
    }
}

fn bounds(form: &HoleForm) -> ((i64, i64), (i64, i64)) {
    match form {
        HoleForm::Box { at, width, depth } => ((at.x, at.y), (at.x + width.as_mm(), at.y + depth.as_mm())),
        HoleForm::Round { at, diameter } => {
            let r = diameter.as_mm() / 2;
            ((at.x - r, at.y - r), (at.x + r, at.y + r))
        }
    }
}

/// The outlet of a roof, which must stand inside it.
pub fn outlet(raw: RawOutlet, outline: Option<&Outline>, path: &str, found: &mut Vec<Problem>) -> Option<Outlet> {
    let path = format!("{path}.outlet");
    let at = raw.at.take().and_then(|l| pair(l, &format!("{path}.at"), found));
    let size = positive(&raw.size, &format!("{path}.size"), found);
    let head = raw.head.take();
    let strainer = raw.strainer.take().is_some_and(|s| s.0);
    let outlet = Outlet { at: point(at?), size: size?, head, strainer };
    let hole = Hole {
        name: "outlet".to_owned(),
        path,
        form: HoleForm::Round { at: outlet.at, diameter: outlet.size },
        finish: Finish::Kerb,
    };
    if let Some(outline) = outline {
        inside(&hole, "the outlet", outline, found);
    }
    Some(outlet)
}
