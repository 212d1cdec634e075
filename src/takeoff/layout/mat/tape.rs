//! A tape across the strips: where on a roof a strip or a board begins and ends, and what lies between.
//!
//! Given a roof as it is laid; gives lengths in millimetres up from the low edge, or, where strips run up the fall, from the
//! left of someone who looks up it: from the corner that lies furthest that way. What is carried past the outline is left
//! out.

use super::frame::StripFrame;
use crate::geometry::interval;
pub use crate::geometry::interval::Stretch;
use crate::geometry::region::{Polygon, Region, bounds_of};
use crate::model::{Area, Length, Point};
use crate::takeoff::layout::shape::point_along;
use crate::takeoff::layout::{DeckLayout, RoofLayout};

/// Some stretches and others as one list in ascending order.
pub fn joined(some: &[Stretch], others: &[Stretch]) -> Vec<Stretch> {
    interval::joined([some, others].concat())
}

/// What of some stretches the ascending others do not cover.
pub fn beyond(some: &[Stretch], others: &[Stretch]) -> Vec<Stretch> {
    some.iter().flat_map(|s| interval::uncovered(*s, others)).collect()
}

/// A tape across the strips of one roof.
pub struct StripTape {
    frame: StripFrame,
    /// Where its outline begins and ends, mm in the frame.
    ends: Stretch,
}

impl StripTape {
    /// The tape of a roof.
    pub fn of(roof: &RoofLayout) -> StripTape {
        let uphill = roof.shape.uphill;
        let up_the_fall = roof.mat.up_the_fall;
        let frame = if up_the_fall { StripFrame::up_the_fall(uphill) } else { StripFrame::along_low_edge(uphill) };
        let corners = roof.shape.ring().into_iter().map(|p| frame.place(p).y);
        let ends = corners.fold((i64::MAX, i64::MIN), |(low, high), y| (low.min(y), high.max(y)));
        StripTape { frame, ends }
    }

    /// From where the outline begins to where it ends, mm.
    pub fn whole(&self) -> i64 {
        self.ends.1 - self.ends.0
    }

    /// Where a point lies, mm from where the outline begins; before or past it too.
    pub fn place(&self, p: Point) -> i64 {
        self.frame.place(p).y - self.ends.0
    }

    /// The stretch of a ring, mm from where the outline begins; what goes past the outline is left out.
    pub fn stretch(&self, ring: &[Point]) -> Stretch {
        let places = ring.iter().map(|&p| self.frame.place(p).y.clamp(self.ends.0, self.ends.1) - self.ends.0);
        places.fold((i64::MAX, i64::MIN), |(low, high), y| (low.min(y), high.max(y)))
    }

    /// The same of what lies along a line, from a place on it on.
    pub fn stretch_along(&self, (from, to): (Point, Point), at: Length, long: Length) -> Stretch {
        self.stretch(&[point_along(from, to, at), point_along(from, to, at + long)])
    }

    /// How much of the roof's surface lies in some stretches that do not overlap.
    pub fn area(&self, roof: &RoofLayout, stretches: &[Stretch]) -> Area {
        let framed = self.frame.place_region(&roof.shape.surface());
        let Some(extent) = bounds_of(framed.polygons().iter().flatten().flatten().copied()) else { return Area::ZERO };
        let corner = |x: i64, y: i64| Point::new(x, self.ends.0 + y);
        let slice = |s: &Stretch| Region::of_box(corner(extent.least.x, s.0), corner(extent.most.x, s.1));
        stretches.iter().map(|s| framed.intersect(&slice(s)).area()).sum()
    }

    /// What of a roof lies neither in some stretches nor under boards of its deck that reach into them, part by part; what is no
    /// wider than a gap is left out.
    pub fn left(&self, roof: &RoofLayout, stretches: &[Stretch], gap: Length) -> Vec<Stretch> {
        let surface = self.frame.place_region(&roof.shape.surface());
        let Some(extent) = surface.bounds() else { return Vec::new() };
        let corner = |x: i64, y: i64| Point::new(x, self.ends.0 + y);
        let slice = |s: &Stretch| Region::of_box(corner(extent.least.x, s.0), corner(extent.most.x, s.1));
        let bare = stretches.iter().fold(surface, |bare, s| bare.subtract(&slice(s)));
        // A board that goes past none of them covers nothing that is left.
        let goes_past = |ring: &&Vec<Point>| {
            let lies = self.stretch(ring);
            let past = beyond(&[lies], stretches);
            !past.is_empty() && past != [lies]
        };
        let rings = roof.deck.iter().flat_map(|deck| &deck.pieces).filter_map(|p| p.rings.first()).filter(goes_past);
        let boards = Region::of_rings(rings.map(Vec::as_slice));
        let half = gap.as_mm() / 2 + 1;
        let left = bare.subtract(&self.frame.place_region(&boards)).shrunk(half);
        let along = |polygon: &Polygon| {
            let lies = bounds_of(polygon.iter().flatten().copied())?;
            Some((lies.least.y - half - self.ends.0, lies.most.y + half - self.ends.0))
        };
        left.polygons().iter().filter_map(along).collect()
    }

    /// How far boards of any of the decks go on past the lines at which some stretches end inside the roof: the furthest of each.
    pub fn boards_past<'d>(&self, decks: impl Iterator<Item = &'d DeckLayout>, stretches: &[Stretch]) -> Vec<i64> {
        let pieces = decks.flat_map(|deck| &deck.pieces);
        let boards: Vec<Stretch> = pieces.filter_map(|p| p.rings.first()).map(|ring| self.stretch(ring)).collect();
        let crossed = |line: i64| boards.iter().filter(move |b| b.0 < line && line < b.1);
        let past = |s: &Stretch| {
            let up = crossed(s.1).map(|b| b.1).max().filter(|reach| !beyond(&[(s.1, *reach)], stretches).is_empty());
            let down = crossed(s.0).map(|b| b.0).min().filter(|reach| !beyond(&[(*reach, s.0)], stretches).is_empty());
            [down, up].into_iter().flatten()
        };
        stretches.iter().flat_map(past).collect()
    }
}
