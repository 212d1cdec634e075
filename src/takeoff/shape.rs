//! The roof as it is laid out: the outline moved to the trims' backs, corners and their angles, holes, heights.
//!
//! Given a measured roof and the rules; gives the polygon on which everything else is placed. Walls do not move when
//! sizes were measured to the fascia; drip and raised edges do.

use crate::model::{Area, Finish, HoleForm, Length, Point};

/// Which way the outline turns at a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Convex.
    External,
    /// Reflex.
    Internal,
    /// Two stretches of one straight edge.
    Straight,
}

/// A corner between two sides.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// Where.
    pub at: Point,
    /// External, internal or straight.
    pub turn: Turn,
    /// The angle inside the roof, degrees: 90 at a square external corner, 270 at an internal one.
    pub inside: f64,
}

/// A side: one edge (or stretch) of the outline as laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Side {
    /// Its label: `back`, `back (2)`.
    pub label: String,
    /// Path in the job file, for problems.
    pub path: String,
    /// Start, in walking order.
    pub from: Point,
    /// End.
    pub to: Point,
    /// The run: measured length, moved out where it was measured to the fascia.
    pub run: Length,
    /// The finish.
    pub finish: Finish,
}

/// A hole as laid out: its ring runs anticlockwise as seen from above, like the outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoleShape {
    /// Its name.
    pub name: String,
    /// Path in the job file.
    pub path: String,
    /// Its form as given.
    pub form: HoleForm,
    /// Its outline to the outside of the kerb (a pipe: a polygon that encloses the circle's area).
    pub ring: Vec<Point>,
    /// `Kerb` or `Wall`.
    pub finish: Finish,
    /// A pipe takes a collar, not a trim.
    pub round: bool,
}

/// A unit direction on plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Along x.
    pub x: f64,
    /// Along y.
    pub y: f64,
}

/// A roof as laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct RoofShape {
    /// Its name.
    pub name: String,
    /// Its place in the job.
    pub index: usize,
    /// The sides in walking order, anticlockwise.
    pub sides: Vec<Side>,
    /// `corners[i]` is where `sides[i]` starts.
    pub corners: Vec<Corner>,
    /// Holes.
    pub holes: Vec<HoleShape>,
    /// Up the fall, away from the low edge, square to it.
    pub uphill: Direction,
    /// Sides that lie on the low line, by index.
    pub low_sides: Vec<usize>,
    /// The side where the crew leaves, by index.
    pub way_off: usize,
    /// Net area on plan: holes taken off.
    pub area: Area,
    /// Whether drip and raised edges were moved out from the fascia.
    pub moved: bool,
}

impl RoofShape {
    /// The outline's corner points, anticlockwise.
    pub fn ring(&self) -> Vec<Point> {
        self.sides.iter().map(|s| s.from).collect()
    }
}
