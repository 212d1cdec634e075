//! Blocking that holds deep firrings upright: rows of short timbers between them, as noggins are.
//!
//! Given a roof whose joists take firrings, with joists and noggins; gives each piece from joist to joist. Rows are counted from where the
//! firrings are deepest, where a noggin under the edge holds them already; none lies where both its ends are no deeper than the
//! rule, in an opening, or beside a noggin.

use super::falls::{height, lift};
use super::joist_numbers::across;
use super::shape::RoofShape;
use crate::geometry::region::{Bounds, bounds_of};
use crate::model::shape::JoistRun;
use crate::model::{Point, Roof, Rules};

/// A row that lies nearer to a noggin than this is not laid: the noggin holds the firrings.
const BESIDE: i64 = 200;

/// The pieces of blocking, row by row; none where no firring is deeper than the rule.
pub fn blocking(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    joists: &[(Point, Point)],
    noggins: &[(Point, Point)],
) -> Vec<(Point, Point)> {
    if roof.firred_by_us().is_none() {
        return Vec::new();
    }
    let lift = lift(shape, roof, rules);
    let depth = |p: Point| height(shape, roof, p) + lift;
    let run = roof.joists.run;
    let ends = || joists.iter().flat_map(|&(a, b)| [a, b]);
    let Some(deepest) = ends().max_by_key(|&p| depth(p)).filter(|&p| depth(p) > rules.firring_block) else {
        return Vec::new();
    };
    let (start, step) = (along(deepest, run), rules.firring_block_spacing.as_mm().max(1));
    let (least, most) = ends().map(|p| along(p, run)).fold((start, start), |(a, b), v| (a.min(v), b.max(v)));
    let up = (1..).map(|k| start + k * step).take_while(|&v| v < most);
    let rows = (1..).map(|k| start - k * step).take_while(|&v| v > least).chain(up);
    let at = |v: i64| {
        let mut met: Vec<Point> = joists.iter().filter_map(|&joist| crossed(joist, v, run)).collect();
        met.sort_unstable_by_key(|&p| across(p, run));
        let space = |pair: &[Point]| {
            let wide = across(pair[1], run) - across(pair[0], run);
            let deep = pair.iter().any(|&p| depth(p) > rules.firring_block);
            (deep && wide > 0 && wide * 2 <= roof.joists.spacing.as_mm() * 3).then(|| (pair[0], pair[1]))
        };
        met.windows(2).filter_map(space).collect::<Vec<_>>()
    };
    let is_free = |&(a, b): &(Point, Point)| {
        let middle = Point::new((a.x + b.x) / 2, (a.y + b.y) / 2);
        !in_a_hole(shape, middle) && !noggins.iter().any(|&noggin| lies_beside(noggin, middle, run))
    };
    rows.flat_map(at).filter(is_free).collect()
}

/// Where a joist crosses a row, unless it ends there.
fn crossed((a, b): (Point, Point), row: i64, run: JoistRun) -> Option<Point> {
    let (from, to) = (along(a, run).min(along(b, run)), along(a, run).max(along(b, run)));
    let point = match run {
        JoistRun::FrontToBack => Point::new(a.x, row),
        JoistRun::LeftToRight => Point::new(row, a.y),
    };
    (from < row && row < to).then_some(point)
}

fn lies_beside((a, b): (Point, Point), middle: Point, run: JoistRun) -> bool {
    let (from, to) = (across(a, run).min(across(b, run)), across(a, run).max(across(b, run)));
    let reach = along(middle, run);
    (from..=to).contains(&across(middle, run)) && [a, b].iter().all(|&p| (along(p, run) - reach).abs() < BESIDE)
}

fn in_a_hole(shape: &RoofShape, p: Point) -> bool {
    let bounds = shape.holes.iter().filter_map(|hole| bounds_of(hole.ring.iter().copied()));
    bounds
        .into_iter()
        .any(|Bounds { least, most }| (least.x..=most.x).contains(&p.x) && (least.y..=most.y).contains(&p.y))
}

const fn along(p: Point, run: JoistRun) -> i64 {
    match run {
        JoistRun::FrontToBack => p.y,
        JoistRun::LeftToRight => p.x,
    }
}
