//! The deck's own axes: u along the boards, v across the rows in the order in which they are laid.
//!
//! Given the roof's shape and its joists; gives points turned into those axes and back. Joists stand at whole spacings
//! along u, so everything below this file is about one direction only.

use crate::geometry::region::{Bounds, Region, bounds_of};
use crate::model::shape::JoistRun;
use crate::model::{Length, Point, Roof, Rules, Section};
use crate::takeoff::layout::shape::RoofShape;

/// The deck's axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct DeckFrame {
    /// Whether u is the roof's x (else its y).
    pub along_x: bool,
    /// +1 where v grows with the roof's other axis, −1 where it grows against it.
    sign: i64,
    /// +1 where u grows with the roof's own axis, −1 where it is seen in a mirror.
    hand: i64,
    /// A joist's centre-line, on u.
    origin: i64,
    /// Joist spacing.
    spacing: i64,
    /// The last joist's centre-line, on u, where it does not stand at a whole spacing. Boards end on none but the others.
    last: Option<i64>,
}

impl DeckFrame {
    /// Boards lie across the joists. Rows start at the low edge; where the joists run across the fall they start at
    /// the left, as seen by somebody who looks up the fall.
    pub(crate) fn of(shape: &RoofShape, roof: &Roof) -> DeckFrame {
        let along_x = roof.joists.run == JoistRun::FrontToBack;
        let up = shape.uphill;
        // (uy, −ux) points to the right of the fall: the way the rows go when they start at the left.
        let (up_the_fall, to_the_right) = if along_x { (up.y, -up.x) } else { (up.x, up.y) };
        let forward = if up_the_fall.abs() >= to_the_right.abs() { up_the_fall } else { to_the_right };
        let corner = roof.outline.corners[0];
        let corner = if along_x { corner.x } else { corner.y };
        DeckFrame {
            along_x,
            sign: if forward < 0.0 { -1 } else { 1 },
            hand: 1,
            origin: corner + roof.joists.first.as_mm(),
            spacing: roof.joists.spacing.as_mm(),
            last: roof.joists.last.map(|last| corner + last.as_mm()),
        }
    }

    /// The same deck as a mirror shows it: u runs the other way.
    pub(crate) fn mirrored(self) -> DeckFrame {
        DeckFrame { hand: -self.hand, origin: -self.origin, last: self.last.map(|last| -last), ..self }
    }

    /// From the roof's plan into these axes: u as x, v as y.
    pub(crate) fn inside(&self, p: Point) -> Point {
        let (along, across) = if self.along_x { (p.x, p.y) } else { (p.y, p.x) };
        Point::new(self.hand * along, self.sign * across)
    }

    /// Back to the roof's plan.
    pub(crate) fn outside(&self, p: Point) -> Point {
        let (along, across) = (self.hand * p.x, self.sign * p.y);
        if self.along_x { Point::new(along, across) } else { Point::new(across, along) }
    }

    /// A ring back on the roof's plan, walked the same way round as it is here.
    pub(crate) fn ring_outside(&self, ring: &[Point]) -> Vec<Point> {
        let mut out: Vec<Point> = ring.iter().map(|&p| self.outside(p)).collect();
        let mirrored = self.along_x == (self.sign * self.hand < 0);
        if mirrored {
            out.reverse();
        }
        out
    }

    /// The first joist at or after `u`.
    pub(crate) fn joist_from(&self, u: i64) -> i64 {
        u + (self.origin - u).rem_euclid(self.spacing)
    }

    /// Joists strictly between two places on u.
    pub(crate) fn joists_between(&self, from: i64, to: i64) -> impl Iterator<Item = i64> + use<> {
        let (first, step) = (self.joist_from(from + 1), self.spacing as usize);
        (first..to).step_by(step)
    }

    /// The same, with the last joist where it does not fit the spacing; ascending.
    pub(crate) fn timbers_between(&self, from: i64, to: i64) -> Vec<i64> {
        let mut at: Vec<i64> = self.joists_between(from, to).collect();
        at.extend(self.last.filter(|&u| from < u && u < to && self.off_joist(u) > 0));
        at.sort_unstable();
        at
    }

    /// Whether a joist's place on u is an odd number of spacings from the first: the same in a mirror.
    pub(crate) fn is_odd(&self, u: i64) -> bool {
        (u - self.origin).div_euclid(self.spacing) % 2 != 0
    }

    /// The joist nearest to a place on u.
    pub(crate) fn nearest_joist(&self, u: i64) -> i64 {
        self.joist_from(u - self.spacing / 2)
    }

    /// How far a place on u lies from the nearest joist.
    pub(crate) fn off_joist(&self, u: i64) -> i64 {
        (u - self.nearest_joist(u)).abs()
    }
}

/// Centre-lines of the joists inside the outline; a rooflight, hatch or chimney interrupts them, a pipe does not. Each
/// line runs from the lower coordinate to the higher; a joist along the outline's own edge counts, a stump in a pointed corner
/// does not.
pub fn joist_lines<'a>(shape: &'a RoofShape, roof: &Roof) -> &'a [(Point, Point)] {
    shape.joists.or_seek(|| {
        let set = shape.edge_joists.iter().map(|joist| (joist.from, joist.to));
        let mut joists: Vec<(Point, Point)> = found_joists(shape, roof).into_iter().chain(set).collect();
        joists.sort();
        joists
    })
}

/// The joists that are there.
pub(super) fn found_joists(shape: &RoofShape, roof: &Roof) -> Vec<(Point, Point)> {
    let frame = DeckFrame::of(shape, roof);
    let carried = carried(shape);
    let Some(Bounds { least, most }) = bounds_of(shape.ring().into_iter().map(|p| frame.inside(p))) else {
        return Vec::new();
    };
    let mut joists: Vec<(Point, Point)> = frame
        .timbers_between(least.x - 1, most.x + 1)
        .into_iter()
        .flat_map(|u| {
            let (a, b) = (frame.outside(Point::new(u, least.y)), frame.outside(Point::new(u, most.y)));
            in_one(carried.clip_line(a.min(b), a.max(b), true))
        })
        .filter(|(a, b)| (b.x - a.x).max(b.y - a.y) > STUMP)
        .collect();
    joists.sort();
    joists
}

/// Where joists lie: inside the outline, and in no opening.
pub(super) fn carried(shape: &RoofShape) -> Region {
    let holes = shape.holes.iter().filter(|h| !h.round).map(|h| h.ring.as_slice());
    Region::of_ring(&shape.ring()).subtract(&Region::of_rings(holes))
}

/// How near to an edge a joist carries it: within the gap at a wall; one that is set against it has its middle half its thickness away.
pub(super) fn carries_within(roof: &Roof, rules: &Rules) -> Length {
    let set = roof.joists.section.map_or(Length::ZERO, Section::half_thickness);
    rules.wall_gap.max(set)
}

/// Whether a joist lies along the whole of an edge, no further than `near` from it; both in the deck's own axes.
pub(super) fn runs_along(joist: (Point, Point), (a, b): (Point, Point), near: Length) -> bool {
    let near = near.as_mm();
    let beside = (joist.0.x - a.x).abs() <= near && (joist.0.x - b.x).abs() <= near;
    let (from, to) = (joist.0.y.min(joist.1.y), joist.0.y.max(joist.1.y));
    // A joist beside a slanting end stops a little sooner than the edge does.
    beside && from <= a.y.min(b.y) + 2 * near && to >= a.y.max(b.y) - 2 * near
}

/// What is no longer than a joist is thick, mm, is none: no board lies on it, and no firring.
const STUMP: i64 = 50;

/// Parts of one line, ascending, with those put together that a hair parts: beside an edge that is a millimetre askew a
/// joist is in and out of the outline by less than anybody sees.
pub(super) fn in_one(parts: Vec<(Point, Point)>) -> Vec<(Point, Point)> {
    const HAIR: i64 = 2;
    let mut out: Vec<(Point, Point)> = Vec::new();
    for (a, b) in parts {
        match out.last_mut() {
            Some(last) if (a.x - last.1.x).max(a.y - last.1.y) <= HAIR => last.1 = last.1.max(b),
            _ => out.push((a, b)),
        }
    }
    out
}
