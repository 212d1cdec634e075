//! An outline as it was measured: corner points, sides and what a check missed by.
//!
//! Given by the rectangle, the quadrilateral, the walk or the walk with ties; gives corner points in millimetres (unrounded), the sides with their measured lengths, and
//! by how much a check missed. Lengths that were measured are never changed by the spreading of an error: only the
//! points move.

use crate::model::limits::Most;
use crate::model::shape::Misclosure;
use crate::model::{Length, Point, Problem, SettingPath};

/// One side as it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct MeasuredSide {
    /// Its name.
    pub name: String,
    /// Its measured length.
    pub length: Length,
}

/// An outline as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measured {
    /// Where each side starts, x and y in mm.
    pub corners: Vec<(f64, f64)>,
    /// The sides in walking order.
    pub sides: Vec<MeasuredSide>,
    /// A check that missed by little and was spread.
    pub misclosure: Option<Misclosure>,
}

impl Measured {
    /// The corner points in whole millimetres.
    pub(crate) fn points(&self) -> Vec<Point> {
        self.corners.iter().map(|(x, y)| Point::new(x.round() as i64, y.round() as i64)).collect()
    }
}

/// Tells a list that is longer than any real one; the layout's work grows with the square of some of them.
pub(crate) fn too_many(count: usize, most: Most, path: impl Into<SettingPath>, found: &mut Vec<Problem>) -> bool {
    let Most { what, most } = most;
    if count > most {
        found.push(Problem::fault(
            path.into(),
            format!("there are {count} {what} here: more than {most} are not read"),
            "give fewer, or split the job",
        ));
    }
    count > most
}
