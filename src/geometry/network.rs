//! A closed polygon as it was measured: distances between its corners, and turns, more of them than it needs or fewer.
//!
//! Given what was measured, each with its standard error, and a rough shape; gives the corners to which all of it fits
//! best (least squares), by how much each measurement is adjusted, how far the others check it, and which distances
//! nothing determines. The first corner is the origin and the second lies along x: a network has a place of its own
//! only by that. Variances and redundancies as in the adjustment of geodetic networks (Helmert; Baarda, A testing
//! procedure for use in geodetic networks, 1968; from memory).

use super::least_squares::{Factored, Residual, normal_of, solve, squares};

/// A corner point, mm.
pub(crate) type CornerSpot = (f64, f64);

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Sighting {
    /// From one corner to another, mm.
    Distance(usize, usize, f64),
    /// The turn to the left at a corner, radians.
    Turn(usize, f64),
}

/// A measurement and its standard error, in mm or radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Measurement {
    /// What was measured.
    pub seen: Sighting,
    /// Its standard error.
    pub spread: f64,
}

/// How a measurement stands among the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Standing {
    /// Adjusted less measured: mm, or radians for a turn.
    pub moved: f64,
    /// From 0, nothing else checks it, to 1, the others fix it without it.
    pub checked: f64,
    /// How unlikely its adjustment is: in standard errors of its own; nothing where nothing checks it.
    pub unlikely: f64,
}

/// A standard error so large that nobody measures by it: what is left open is held by it alone.
const OPEN: f64 = 1000.0;

/// A distance that is known this many times worse than it would be measured is not determined. A turn that is true to half a
/// degree leaves the end of a side of ten metres 90 mm to move, 14 times what a tape does: that is known.
const POOR: f64 = 20.0;

/// Fits the corners to what was measured, from a rough shape whose second corner lies along x from the first.
pub(crate) fn adjusted(rough: &[CornerSpot], measured: &[Measurement]) -> Vec<CornerSpot> {
    let shortest = measured.iter().filter_map(|m| match m.seen {
        Sighting::Distance(_, _, d) => Some(d),
        Sighting::Turn(..) => None,
    });
    let step = shortest.fold(f64::INFINITY, f64::min) / 4.0;
    let found = solve(unknowns(rough), step.max(1.0), |at| residuals(at, measured));
    spots(&found)
}

/// How far the corners are from all that was measured: the sum of squares, in standard errors.
pub(crate) fn misfit(corners: &[CornerSpot], measured: &[Measurement]) -> f64 {
    squares(&residuals(&unknowns(corners), measured))
}

/// How each measurement stands once the corners are fitted.
pub(crate) fn standings(corners: &[CornerSpot], measured: &[Measurement]) -> Vec<Standing> {
    let at = unknowns(corners);
    let all = residuals(&at, measured);
    let Some(factored) = held(&all, at.len()) else { return Vec::new() };
    let one = |(r, m): (&Residual, &Measurement)| {
        let checked = (1.0 - factored.variance(&r.slopes)).max(0.0);
        let unlikely = if checked > 0.01 { r.value.abs() / checked.sqrt() } else { 0.0 };
        Standing { moved: r.value * m.spread, checked, unlikely }
    };
    all.iter().zip(measured).map(one).collect()
}

/// The distance that is known worst for its length, where one is not determined. `spread` is the standard error with
/// which a distance would be measured.
pub(crate) fn undetermined(
    corners: &[CornerSpot],
    measured: &[Measurement],
    spread: impl Fn(f64) -> f64,
) -> Option<(usize, usize)> {
    let at = unknowns(corners);
    let factored = held(&residuals(&at, measured), at.len())?;
    let mut worst = (POOR, None);
    for a in 0..corners.len() {
        for b in a + 1..corners.len() {
            let far = distance(&at, a, b);
            let poor = factored.variance(&far.slopes).sqrt() / spread(far.value);
            if poor > worst.0 * (1.0 + 1e-9) {
                worst = (poor, Some((a, b)));
            }
        }
    }
    worst.1
}

/// The turn to the left at a corner, radians, from −π to π.
pub(crate) fn turn_at(corners: &[CornerSpot], i: usize) -> f64 {
    let n = corners.len();
    let (a, b, c) = (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
    let (u, v) = ((b.0 - a.0, b.1 - a.1), (c.0 - b.0, c.1 - b.1));
    (u.0 * v.1 - u.1 * v.0).atan2(u.0 * v.0 + u.1 * v.1)
}

/// How far apart two corners are.
pub(crate) fn apart(corners: &[CornerSpot], a: usize, b: usize) -> f64 {
    (corners[a].0 - corners[b].0).hypot(corners[a].1 - corners[b].1)
}

/// The normal matrix, factored; what is left open is held by [`OPEN`].
fn held(all: &[Residual], unknowns: usize) -> Option<Factored> {
    let (mut normal, _) = normal_of(all, unknowns);
    normal.iter_mut().enumerate().for_each(|(i, row)| row[i] += 1.0 / (OPEN * OPEN));
    Factored::of(normal)
}

/// The second corner's x, then x and y of every later one.
fn unknowns(corners: &[CornerSpot]) -> Vec<f64> {
    let later = corners.iter().skip(2).flat_map(|c| [c.0, c.1]);
    std::iter::once(corners[1].0).chain(later).collect()
}

fn spots(at: &[f64]) -> Vec<CornerSpot> {
    let later = at[1..].chunks(2).map(|c| (c[0], c[1]));
    [(0.0, 0.0), (at[0], 0.0)].into_iter().chain(later).collect()
}

/// Where x and y of a corner stand among the unknowns; nowhere where they are given.
const fn places(corner: usize) -> [Option<usize>; 2] {
    match corner {
        0 => [None, None],
        1 => [Some(0), None],
        _ => [Some(2 * corner - 3), Some(2 * corner - 2)],
    }
}

fn spot(at: &[f64], corner: usize) -> CornerSpot {
    let [x, y] = places(corner).map(|place| place.map_or(0.0, |i| at[i]));
    (x, y)
}

fn residuals(at: &[f64], measured: &[Measurement]) -> Vec<Residual> {
    let corners = at.len().div_ceil(2) + 1;
    let one = |m: &Measurement| {
        let Residual { value, slopes } = match m.seen {
            Sighting::Distance(a, b, length) => {
                let found = distance(at, a, b);
                Residual { value: found.value - length, ..found }
            }
            Sighting::Turn(corner, turn) => {
                let found = turn_of(at, corner, corners);
                Residual { value: nearest_turn(found.value - turn), ..found }
            }
        };
        Residual {
            value: value / m.spread,
            slopes: slopes.into_iter().map(|(i, slope)| (i, slope / m.spread)).collect(),
        }
    };
    measured.iter().map(one).collect()
}

/// The same angle from −π to π.
fn nearest_turn(angle: f64) -> f64 {
    use std::f64::consts::PI;
    (angle + PI).rem_euclid(2.0 * PI) - PI
}

/// The distance between two corners, with its slopes.
fn distance(at: &[f64], a: usize, b: usize) -> Residual {
    let (p, q) = (spot(at, a), spot(at, b));
    let (dx, dy) = (q.0 - p.0, q.1 - p.1);
    let length = dx.hypot(dy).max(1e-6);
    let (x, y) = (dx / length, dy / length);
    Residual { value: length, slopes: sloped([(a, (-x, -y)), (b, (x, y))]) }
}

/// The turn at a corner, with its slopes: the heading of the side that leaves less that of the side that comes.
fn turn_of(at: &[f64], corner: usize, corners: usize) -> Residual {
    let (before, after) = ((corner + corners - 1) % corners, (corner + 1) % corners);
    let [a, b, c] = [before, corner, after].map(|i| spot(at, i));
    let heading = |p: CornerSpot, q: CornerSpot| {
        let (dx, dy) = (q.0 - p.0, q.1 - p.1);
        let square = (dx * dx + dy * dy).max(1e-12);
        // Slopes of atan2(dy, dx) with the end; those with the start are the same, less than nothing.
        (dy.atan2(dx), (-dy / square, dx / square))
    };
    let ((come, u), (leave, v)) = (heading(a, b), heading(b, c));
    let slopes = sloped([(before, u), (corner, (-v.0 - u.0, -v.1 - u.1)), (after, v)]);
    Residual { value: leave - come, slopes }
}

/// Slopes by corner as slopes by unknown.
fn sloped<const N: usize>(by_corner: [(usize, CornerSpot); N]) -> Vec<(usize, f64)> {
    let one = |(corner, (x, y)): (usize, CornerSpot)| places(corner).into_iter().zip([x, y]);
    by_corner.into_iter().flat_map(one).filter_map(|(place, slope)| Some((place?, slope))).collect()
}
