//! Where the joists end: the sides at which air may come in over them, and those that shut it out.
//!
//! Given a roof's shape and which way its joists run; gives the sides that they run up to. A side within 45° of square to
//! them counts; air passes along joists, never across.

use super::shape::{RoofShape, Side, inward};
use crate::model::Finish;
use crate::model::shape::JoistRun;

/// The sides at which the joists end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoistEnds<'a> {
    /// In the open.
    pub open: Vec<&'a Side>,
    /// Against a wall, another roof or a box gutter.
    pub shut: Vec<&'a Side>,
}

/// The sides at which the joists of a roof end.
pub fn joist_ends(shape: &RoofShape, joists: JoistRun) -> JoistEnds<'_> {
    let ends = shape.sides.iter().filter(|s| joists_end_at(s, joists));
    let (shut, open) = ends.partition(|s| abuts(s));
    JoistEnds { open, shut }
}

/// Whether the joists run up to this side, rather than along it: within 45° of square.
fn joists_end_at(side: &Side, joists: JoistRun) -> bool {
    let n = inward(side.from, side.to);
    let along = match joists {
        JoistRun::FrontToBack => n.y,
        JoistRun::LeftToRight => n.x,
    };
    along.abs() > std::f64::consts::FRAC_1_SQRT_2
}

/// No air comes in where the roof meets a wall or another roof, or where a box gutter closes the joists' ends.
const fn abuts(side: &Side) -> bool {
    matches!(side.finish, Finish::Wall | Finish::Step | Finish::Gutter)
}
