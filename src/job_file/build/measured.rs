//! The corner points of a measured outline: rectangle, quadrilateral or walk.
//!
//! Given the raw outline; gives corner points in millimetres (unrounded), the sides with their measured lengths, and
//! by how much a check missed. Lengths that were measured are never changed by the spreading of an error: only the
//! points move.

use super::quadrilateral;
use super::walk;
use crate::job_file::raw::job::{RawOutline, RawRectangle};
use crate::job_file::read::reading::Slot;
use crate::model::limits::Most;
use crate::model::shape::Misclosure;
use crate::model::{Length, Point, Problem};

/// One side as it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasuredSide {
    /// Its name.
    pub name: String,
    /// Its measured length.
    pub length: Length,
}

/// An outline as it was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Where each side starts, x and y in mm.
    pub corners: Vec<(f64, f64)>,
    /// The sides in walking order.
    pub sides: Vec<MeasuredSide>,
    /// A check that missed by little and was spread.
    pub misclosure: Option<Misclosure>,
}

impl Measured {
    /// The corner points in whole millimetres.
    pub fn points(&self) -> Vec<Point> {
        self.corners.iter().map(|(x, y)| Point::new(x.round() as i64, y.round() as i64)).collect()
    }
}

/// Works out an outline. `most` is by how much a check may miss.
pub fn outline(raw: RawOutline, path: &str, most: Length, found: &mut Vec<Problem>) -> Option<Measured> {
    let ways = [
        ("rectangle", !raw.rectangle.is_missing()),
        ("quadrilateral", !raw.quadrilateral.is_missing()),
        ("walk", !raw.walk.is_missing()),
    ];
    let given: Vec<&str> = ways.iter().filter(|w| w.1).map(|w| w.0).collect();
    if given.len() != 1 {
        let fault = match given.len() {
            0 => "the outline is given in none of the three ways".to_owned(),
            _ => format!("the outline is given in {} ways", if given.len() == 2 { "two" } else { "three" }),
        };
        found.push(Problem::fault(path, fault, "give one of `rectangle`, `quadrilateral` and `walk`"));
        return None;
    }
    if let Slot::Given(r) = raw.rectangle {
        return rectangle(&r, &format!("{path}.rectangle"), found);
    }
    if let Slot::Given(q) = raw.quadrilateral {
        return quadrilateral::outline(&q, &format!("{path}.quadrilateral"), most, found);
    }
    walk::outline(raw.walk.take()?, &format!("{path}.walk"), most, found)
}

fn rectangle(raw: &RawRectangle, path: &str, found: &mut Vec<Problem>) -> Option<Measured> {
    let width = positive(&raw.width, &format!("{path}.width"), found);
    let depth = positive(&raw.depth, &format!("{path}.depth"), found);
    let (width, depth) = (width?, depth?);
    let (w, d) = (width.as_mm() as f64, depth.as_mm() as f64);
    let sides = [("front", width), ("right", depth), ("back", width), ("left", depth)];
    Some(Measured {
        corners: vec![(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)],
        sides: sides.map(|(name, length)| MeasuredSide { name: name.to_owned(), length }).into(),
        misclosure: None,
    })
}

/// Tells a list that is longer than any real one; the layout's work grows with the square of some of them.
pub fn too_many(count: usize, most: Most, path: &str, found: &mut Vec<Problem>) -> bool {
    let Most { what, most } = most;
    if count > most {
        found.push(Problem::fault(
            path,
            format!("there are {count} {what} here: more than {most} are not read"),
            "give fewer, or split the job",
        ));
    }
    count > most
}

/// A length that must be more than nothing.
pub fn positive(slot: &Slot<Length>, path: &str, found: &mut Vec<Problem>) -> Option<Length> {
    let length = *slot.given()?;
    if length == Length::ZERO {
        found.push(Problem::fault(path, "this cannot be nothing", "write the length that was measured"));
        return None;
    }
    Some(length)
}
