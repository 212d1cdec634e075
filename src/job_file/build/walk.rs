//! An outline that is walked: along the front from left to right, then round anticlockwise, turn by turn.
//!
//! Given the legs; gives the corners, with a small closing error spread by length (the compass rule of Bowditch, 1808).
//! A larger one is a problem that says by how much and in which direction the walk misses, and which leg would close it.

use super::measured::{Measured, MeasuredSide, too_many};
use crate::job_file::raw::job::RawLeg;
use crate::job_file::read::reading::List;
use crate::job_file::read::scalars::WalkTurn;
use crate::job_file::read::suggest::listed;
use crate::model::limits;
use crate::model::shape::Misclosure;
use crate::model::{Length, Problem, SettingPath};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::f64::consts::FRAC_1_SQRT_2;

/// One leg as it was measured.
pub(crate) struct WalkStep {
    /// Its edge.
    pub name: String,
    /// Its length.
    pub length: Length,
    /// The turn before it; none before the first, nor where a tied walk leaves it out.
    pub turn: Option<WalkTurn>,
}

/// One leg, in the direction it goes.
struct Leg {
    name: String,
    length: Length,
    way: (f64, f64),
}

/// Works out the corners.
pub(crate) fn outline(
    raw: List<RawLeg>,
    path: &SettingPath,
    most: Length,
    found: &mut Vec<Problem>,
) -> Option<Measured> {
    if too_many(raw.len(), limits::LEGS, path, found) {
        return None;
    }
    let legs = legs(steps(raw, path, false, found)?);
    let mut corners = vec![(0.0, 0.0)];
    for leg in &legs {
        let (x, y) = corners[corners.len() - 1];
        let go = leg.length.as_mm() as f64;
        corners.push((x + go * leg.way.0, y + go * leg.way.1));
    }
    let miss = corners.pop()?;
    let by = Length::mm(miss.0.hypot(miss.1).round() as i64);
    if by > most {
        let (fault, cure) = open_walk(&legs, miss, most);
        found.push(Problem::fault(path, fault, cure));
        return None;
    }
    // Less than half a millimetre each way is no more than what was rounded.
    let off = [miss.0, miss.1].iter().any(|part| part.round() != 0.0);
    let misclosure = off.then(|| Misclosure {
        check: "the walk".to_owned(),
        by,
        statement: format!("the walk ends {}; spread over all legs by their length", from_start(miss)),
    });
    let lengths: Vec<Length> = legs.iter().map(|l| l.length).collect();
    spread(&mut corners, &lengths, miss);
    let sides = legs.into_iter().map(|l| MeasuredSide { name: l.name, length: l.length }).collect();
    Some(Measured { corners, sides, misclosure })
}

/// The legs, each in the direction that its turns give.
fn legs(steps: Vec<WalkStep>) -> Vec<Leg> {
    let mut heading = Decimal::ZERO;
    let one = |step: WalkStep| {
        heading += step.turn.map_or(Decimal::ZERO, |t| t.degrees);
        Leg { name: step.name, length: step.length, way: direction(heading) }
    };
    steps.into_iter().map(one).collect()
}

/// The legs as they were measured. Where the walk is `tied` a turn may be left out.
pub(crate) fn steps(
    raw: List<RawLeg>,
    path: &SettingPath,
    tied: bool,
    found: &mut Vec<Problem>,
) -> Option<Vec<WalkStep>> {
    if raw.len() < 3 {
        found.push(Problem::fault(path, "a walk round a roof has three legs or more", "add the legs that are missing"));
        return None;
    }
    let mut all: Vec<Option<WalkStep>> = Vec::new();
    for (n, leg) in raw.into_iter().enumerate() {
        let path = path.entry(n);
        let Some(leg) = leg.take() else {
            all.push(None);
            continue;
        };
        let turn = turn(&leg, n, (&path, tied), found);
        // A turn that cannot be read is told; where the walk would end without it tells nothing.
        let length = leg.go.given().copied().filter(|_| !leg.turn.is_bad());
        let name = leg.edge.take().map(|t| t.0);
        if let Some(name) = &name
            && all.iter().flatten().any(|s| s.name == *name)
        {
            found.push(Problem::fault(
                path.key("edge"),
                format!("another leg is called `{name}` already"),
                "give every leg its own name",
            ));
        }
        all.push(name.zip(length).map(|(name, length)| WalkStep { name, length, turn }));
    }
    all.into_iter().collect()
}

fn turn(leg: &RawLeg, n: usize, (path, tied): (&SettingPath, bool), found: &mut Vec<Problem>) -> Option<WalkTurn> {
    match (n, leg.turn.given()) {
        (0, Some(_)) => {
            found.push(Problem::fault(
                path.key("turn"),
                "the first leg runs along the front from left to right: it has no turn",
                "take `turn` out here",
            ));
            None
        }
        (0, None) => None,
        (_, Some(turn)) => Some(*turn),
        (_, None) if leg.turn.is_missing() && !tied => {
            found.push(Problem::fault(
                path.key("turn"),
                "a leg of the walk needs `turn`",
                "add, for example, `turn: left`, or `turn: left 45`",
            ));
            None
        }
        (_, None) => None,
    }
}

/// The direction of a heading in degrees to the left of the front. The usual angles are exact.
fn direction(heading: Decimal) -> (f64, f64) {
    let turned = (heading % Decimal::from(360) + Decimal::from(360)) % Decimal::from(360);
    let half = FRAC_1_SQRT_2;
    match turned.to_u32().filter(|d| Decimal::from(*d) == turned) {
        Some(0) => (1.0, 0.0),
        Some(45) => (half, half),
        Some(90) => (0.0, 1.0),
        Some(135) => (-half, half),
        Some(180) => (-1.0, 0.0),
        Some(225) => (-half, -half),
        Some(270) => (0.0, -1.0),
        Some(315) => (half, -half),
        _ => {
            let (sin, cos) = turned.to_f64().unwrap_or_default().to_radians().sin_cos();
            (cos, sin)
        }
    }
}

/// Bowditch: each corner is moved by its share of the miss, by how far round it lies.
pub(crate) fn spread(corners: &mut [(f64, f64)], lengths: &[Length], miss: (f64, f64)) {
    let total: i64 = lengths.iter().map(|l| l.as_mm()).sum();
    let mut gone = 0;
    for (corner, length) in corners.iter_mut().zip(lengths) {
        let share = gone as f64 / total as f64;
        *corner = (corner.0 - miss.0 * share, corner.1 - miss.1 * share);
        gone += length.as_mm();
    }
}

fn open_walk(legs: &[Leg], miss: (f64, f64), most: Length) -> (String, String) {
    let fault =
        format!("the walk does not close: it ends {}, and the rule `misclosure` allows {most}", from_start(miss));
    let closing: Vec<String> = legs.iter().filter_map(|leg| closes(leg, miss, most)).collect();
    let cure = match closing.is_empty() {
        true => format!("measure the legs and turns again; no single leg would close it{}", where_missed(legs, miss)),
        false => format!("measure again; it would close with {}", listed(&closing, "or")),
    };
    let cure = match legs.len() {
        0..=3 => cure,
        _ => format!("{cure}; a tie from corner to corner across the roof (`ties`) shows which leg is wrong"),
    };
    (fault, cure)
}

/// Which legs lie along each part of the miss: `; the 12 mm lie along …`. Nothing where a leg runs aslant, which may share in
/// both, or where the miss has one part.
fn where_missed(legs: &[Leg], miss: (f64, f64)) -> String {
    let along = |way: fn(&Leg) -> f64| -> Vec<String> {
        legs.iter().filter(|leg| way(leg).abs() > 0.5).map(|leg| format!("`{}`", leg.name)).collect()
    };
    let (across, up) = (along(|leg| leg.way.0), along(|leg| leg.way.1));
    let part = |by: f64| Length::mm(by.abs().round() as i64);
    let (x, y) = (part(miss.0), part(miss.1));
    if across.len() + up.len() > legs.len() || x == Length::ZERO || y == Length::ZERO {
        return String::new();
    }
    format!(": the {x} lie along {}, the {y} along {}", listed(&across, "or"), listed(&up, "or"))
}

/// The length with which this leg alone would close the walk.
fn closes(leg: &Leg, miss: (f64, f64), most: Length) -> Option<String> {
    let along = miss.0 * leg.way.0 + miss.1 * leg.way.1;
    let across = (miss.0 - along * leg.way.0).hypot(miss.1 - along * leg.way.1);
    let length = Length::mm(leg.length.as_mm() - along.round() as i64);
    (across <= most.as_mm() as f64 && length > Length::ZERO).then(|| format!("`{}` at {length}", leg.name))
}

/// `12 mm too far right and 40 mm too far up the roof`, as seen from where the walk began.
fn from_start(miss: (f64, f64)) -> String {
    let (x, y) = (miss.0.round() as i64, miss.1.round() as i64);
    let part = |n: i64, more: &str, less: &str| {
        (n != 0).then(|| format!("{} {}", Length::mm(n.abs()), if n > 0 { more } else { less }))
    };
    let parts: Vec<String> =
        [part(x, "too far right", "too far left"), part(y, "too far up the roof", "too far down the roof")]
            .into_iter()
            .flatten()
            .collect();
    listed(&parts, "and")
}
