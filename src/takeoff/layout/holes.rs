//! Whether holes stand inside the roof and clear of each other.
//!
//! Given holes, an outlet and the measured outline; gives problems. Asked when a job is read, so that they are told with
//! everything else that is wrong there; the layout takes its holes as good. A hole that touches an edge counts as across
//! it. Where edges move out to their battens, a hole that was clear of them stays so.

use crate::geometry::region::Bounds;
use crate::geometry::ring::{PointPlace, place_in_ring};
use crate::geometry::segment::{distance_to_segment, segment_meets_box};
use crate::model::shape::Outlet;
use crate::model::{Finish, Hole, HoleForm, Outline, Point, Problem, Warned};

/// Tells a hole that does not lie inside the outline, or whose trim lies on that of an edge. `called` is what it is called.
pub fn inside(hole: &Hole, called: &str, outline: &Outline, found: &mut Vec<Problem>) {
    let (middle, fits) = match &hole.form {
        HoleForm::Box { at, width, depth } => (Point::new(at.x + width.as_mm() / 2, at.y + depth.as_mm() / 2), None),
        HoleForm::Round { at, diameter } => (*at, Some(*diameter)),
    };
    let touched = (0..outline.corners.len()).find(|n| {
        let (a, b) = (outline.corners[*n], outline.end_of(*n));
        match (&hole.form, fits) {
            (HoleForm::Box { at, width, depth }, _) => {
                segment_meets_box(a, b, *at, Point::new(at.x + width.as_mm(), at.y + depth.as_mm()))
            }
            (HoleForm::Round { .. }, diameter) => {
                distance_to_segment(middle, a, b) * 2.0 <= diameter.unwrap_or_default().as_mm() as f64
            }
        }
    });
    let fault = match touched {
        Some(n) => format!("{called} reaches across the edge `{}`", outline.edges[n].label()),
        None if place_in_ring(&outline.corners, middle) == PointPlace::Outside => {
            format!("{called} lies outside the roof")
        }
        None => return found.extend(near_edge(hole, called, outline)),
    };
    let cure = "check `at` (its nearest corner, or a pipe's centre, from the front left corner: along the front, then up the roof) and its size";
    found.push(Problem::fault(hole.path.key("at"), fault, cure));
}

/// Less than this between two trims, in mm, and their flanges, each about 100 mm, lie on one another (common practice,
/// no source).
const LEAST_ROOM: i64 = 200;

/// Less than this from a pipe or an outlet, in mm, and its foot, some 50 mm round it, lies on the flange of the edge's trim
/// (common practice, no source).
const ROUND_ROOM: i64 = 150;

/// Less than this between a pipe or an outlet and an edge in the open, in mm, and no board is left there that holds a nail
/// (common practice, no source).
const LEAST_BOARD: i64 = 50;

/// The box with that room round it; none for a pipe, whose foot is bedded wet over what lies beside it.
fn with_room(form: &HoleForm) -> Option<Bounds> {
    matches!(form, HoleForm::Box { .. }).then(|| bounds(form).grown(LEAST_ROOM - 1))
}

/// Tells a pipe or an outlet that stands so near an edge that its foot lies on the trim there, or that no board is left.
fn round_near_edge(hole: &Hole, called: &str, (at, diameter): (Point, i64), outline: &Outline) -> Option<Problem> {
    let clear = |n: &usize| {
        let away = distance_to_segment(at, outline.corners[*n], outline.end_of(*n));
        (away - diameter as f64 / 2.0).floor() as i64
    };
    let sides = (0..outline.corners.len()).filter(|n| outline.edges[*n].finish.has_trim());
    let (clear, edge) = sides.map(|n| (clear(&n), &outline.edges[n])).min_by_key(|(clear, _)| *clear)?;
    let label = edge.label();
    if clear < LEAST_BOARD && matches!(edge.finish, Finish::Drip | Finish::Raised) {
        let fault = format!("{called} stands {clear} mm from `{label}`: no board is left there that holds the trim");
        let cure = "check `at` (its centre, from the front left corner: along the front, then up the roof); where it is \
                    right, have it moved";
        return Some(Problem::fault(hole.path.key("at"), fault, cure));
    }
    (clear < ROUND_ROOM).then(|| {
        Problem::warning(
            Warned::Flanges,
            hole.path.key("at"),
            format!("{called} stands {clear} mm from `{label}`: its foot lies on the flange of the trim there"),
            "check `at`; where it is right, agree with the crew how foot and flange are cut",
        )
    })
}

fn near_edge(hole: &Hole, called: &str, outline: &Outline) -> Option<Problem> {
    if let HoleForm::Round { at, diameter } = &hole.form {
        return round_near_edge(hole, called, (*at, diameter.as_mm()), outline);
    }
    let Bounds { least, most } = with_room(&hole.form)?;
    let near =
        (0..outline.corners.len()).find(|&n| segment_meets_box(outline.corners[n], outline.end_of(n), least, most))?;
    let trims = outline.edges[near].finish.has_trim();
    trims.then(|| {
        narrow(hole, &format!("{called} stands less than {LEAST_ROOM} mm from `{}`", outline.edges[near].label()))
    })
}

fn narrow(hole: &Hole, fault: &str) -> Problem {
    Problem::warning(
        Warned::Flanges,
        hole.path.key("at"),
        format!("{fault}: the flanges of the two trims lie on one another"),
        "check `at` and the size; where they are right, agree with the crew how the flanges are cut",
    )
}

/// Tells two holes that overlap or touch, or whose trims lie on one another.
pub fn apart(before: &Hole, hole: &Hole, found: &mut Vec<Problem>) {
    if overlap(&before.form, &hole.form) {
        found.push(Problem::fault(
            hole.path.key("at"),
            format!("the holes `{}` and `{}` overlap or touch", before.name, hole.name),
            "check `at` and the size of both",
        ));
    } else if let (Some(_), Some(room)) = (with_room(&before.form), with_room(&hole.form))
        && room.touches(&bounds(&before.form))
    {
        let fault = format!("`{}` and `{}` stand less than {LEAST_ROOM} mm apart", before.name, hole.name);
        found.push(narrow(hole, &fault));
    }
}

/// Tells an outlet that stands in a hole.
pub fn outlet_clear(outlet: &Outlet, holes: &[Hole], found: &mut Vec<Problem>) {
    let round = HoleForm::Round { at: outlet.at, diameter: outlet.size };
    if let Some(hole) = holes.iter().find(|h| overlap(&h.form, &round)) {
        let fault = format!("the outlet stands in or against the hole `{}`", hole.name);
        found.push(Problem::fault(outlet.path.key("at"), fault, "check `at` and the size of both"));
    }
}

/// Whether two outlets overlap or touch.
pub fn outlets_meet(a: &Outlet, b: &Outlet) -> bool {
    let round = |o: &Outlet| HoleForm::Round { at: o.at, diameter: o.size };
    overlap(&round(a), &round(b))
}

fn overlap(a: &HoleForm, b: &HoleForm) -> bool {
    match (a, b) {
        (HoleForm::Round { at: p, diameter: d }, HoleForm::Round { at: q, diameter: e }) => {
            ((p.x - q.x) as f64).hypot((p.y - q.y) as f64) * 2.0 <= (*d + *e).as_mm() as f64
        }
        (HoleForm::Round { at, diameter }, other) | (other, HoleForm::Round { at, diameter }) => {
            let Bounds { least, most } = bounds(other);
            let (dx, dy) = (at.x - at.x.clamp(least.x, most.x), at.y - at.y.clamp(least.y, most.y));
            (dx as f64).hypot(dy as f64) * 2.0 <= diameter.as_mm() as f64
        }
        _ => bounds(a).touches(&bounds(b)),
    }
}

fn bounds(form: &HoleForm) -> Bounds {
    let corner = |x: i64, y: i64| Point::new(x, y);
    match form {
        HoleForm::Box { at, width, depth } => {
            Bounds { least: *at, most: corner(at.x + width.as_mm(), at.y + depth.as_mm()) }
        }
        HoleForm::Round { at, diameter } => {
            let r = diameter.as_mm() / 2;
            Bounds { least: corner(at.x - r, at.y - r), most: corner(at.x + r, at.y + r) }
        }
    }
}
