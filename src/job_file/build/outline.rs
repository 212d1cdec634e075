//! The outline as it was measured, in one of three ways: rectangle, quadrilateral or walk.
//!
//! Given the raw outline, a walk with its ties; gives what was measured, or why it cannot be told. Exactly one of the ways must be given.

use super::measured::{Measured, MeasuredSide};
use super::{quadrilateral, ties, walk};
use crate::job_file::raw::job::{RawOutline, RawRectangle};
use crate::job_file::read::reading::Slot;
use crate::model::{Problem, Rules, SettingPath};

/// Works out an outline. The rules say by how much a check may miss.
pub(crate) fn outline(
    raw: RawOutline,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Measured> {
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
    if !raw.ties.is_missing() && raw.walk.is_missing() {
        found.push(Problem::fault(
            path.key("ties"),
            "ties belong to a walk",
            "give the outline as a `walk`; a quadrilateral has its own `diagonal` and `other_diagonal`",
        ));
        return None;
    }
    if let Slot::Given(r) = raw.rectangle {
        return rectangle(&r);
    }
    if let Slot::Given(q) = raw.quadrilateral {
        return quadrilateral::outline(&q, &path.key("quadrilateral"), rules.misclosure, found);
    }
    let walk = raw.walk.take()?;
    match raw.ties.is_missing() {
        true => walk::outline(walk, &path.key("walk"), rules.misclosure, found),
        false => ties::outline((walk, raw.ties.take()?), path, rules, found),
    }
}

fn rectangle(raw: &RawRectangle) -> Option<Measured> {
    let width = raw.width.given().copied();
    let depth = raw.depth.given().copied();
    let (width, depth) = (width?, depth?);
    let (w, d) = (width.as_mm() as f64, depth.as_mm() as f64);
    let sides = [("front", width), ("right", depth), ("back", width), ("left", depth)];
    Some(Measured {
        corners: vec![(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)],
        sides: sides.map(|(name, length)| MeasuredSide { name: name.to_owned(), length }).into(),
        misclosure: None,
    })
}
