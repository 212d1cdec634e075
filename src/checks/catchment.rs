//! Which part of the roof drains to which drip edge.
//!
//! Given a roof's shape; gives each edge that drains (a drip, the lip of a box gutter) its share of the plan area inside the outline. Rain runs straight down
//! the fall to the first edge below it. Rooflights and chimneys are not taken off: what falls on them runs onto the
//! roof.

use crate::geometry::ring::ring_area;
use crate::model::{Area, Finish, Length, Point};
use crate::takeoff::layout::shape::RoofShape;

/// A drip edge and the plan area that drains to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Catchment {
    /// Index of the side.
    pub side: usize,
    /// Plan area that drains to it.
    pub area: Area,
}

/// Shares the whole outline among the drip edges; the areas add up to the outline's. Where water meets an edge that
/// is no drip, it is shared among the drips on the low line by their runs (among all drips where none lies there).
/// Empty where the roof has no drip.
pub fn catchments(shape: &RoofShape) -> Vec<Catchment> {
    let drips: Vec<usize> = (0..shape.sides.len()).filter(|&i| shape.sides[i].finish.drains()).collect();
    if drips.is_empty() {
        return Vec::new();
    }
    let mut reached = area_above_each_side(shape);
    let held: f64 = (0..reached.len()).filter(|i| !drips.contains(i)).map(|i| reached[i]).sum();
    share_by_run(shape, &drips, held, &mut reached);
    let area = |&side: &usize| Catchment { side, area: Area::mm2(reached[side].round() as i64) };
    let mut found: Vec<Catchment> = drips.iter().map(area).filter(|c| c.area > Area::ZERO).collect();
    let total: Area = found.iter().map(|c| c.area).sum();
    if let Some(largest) = found.iter_mut().max_by_key(|c| c.area) {
        largest.area += ring_area(&shape.ring()) - total;
    }
    found
}

/// Where the rain on the walls goes: it falls on the strip of roof beside each, and runs from there straight down the fall.
/// Each drip edge with the length of wall that drains to it; the lengths add up to the walls'. Empty where the roof has no
/// drip or no wall.
pub fn below_walls(shape: &RoofShape) -> Vec<(usize, Length)> {
    let drips: Vec<usize> = (0..shape.sides.len()).filter(|&i| shape.sides[i].finish.drains()).collect();
    let walls = (0..shape.sides.len()).filter(|&i| matches!(shape.sides[i].finish, Finish::Wall | Finish::Step));
    let length: Length = walls.clone().map(|i| shape.sides[i].run).sum();
    if drips.is_empty() || length <= Length::ZERO {
        return Vec::new();
    }
    let mut reached = vec![0.0; shape.sides.len()];
    walls.for_each(|wall| below_wall(shape, wall, &mut reached));
    let held: f64 = (0..reached.len()).filter(|i| !drips.contains(i)).map(|i| reached[i]).sum();
    share_by_run(shape, &drips, held, &mut reached);
    let mut found: Vec<(usize, Length)> =
        drips.iter().map(|&side| (side, Length::mm(reached[side].round() as i64))).collect();
    let total: Length = found.iter().map(|(_, l)| *l).sum();
    if let Some(most) = found.iter_mut().max_by_key(|(_, l)| *l) {
        most.1 += length - total;
    }
    found.retain(|(_, l)| *l > Length::ZERO);
    found
}

/// Shares the length of one wall among the sides below it.
fn below_wall(shape: &RoofShape, wall: usize, reached: &mut [f64]) {
    let ring: Vec<(f64, f64)> = shape.ring().iter().map(|&p| turned(shape, p.x as f64, p.y as f64)).collect();
    let (a, b) = (ring[wall], ring[(wall + 1) % ring.len()]);
    let run = shape.sides[wall].run.as_mm() as f64;
    let (from, to) = (a.0.min(b.0), a.0.max(b.0));
    let mut cuts: Vec<f64> = ring.iter().map(|p| p.0).filter(|x| (from..=to).contains(x)).collect();
    cuts.sort_by(f64::total_cmp);
    let mut placed = 0.0;
    for slab in cuts.windows(2).filter(|w| w[1] - w[0] > 1e-6) {
        let pairs = crossings(&ring, (slab[0] + slab[1]) / 2.0);
        let Some(pair) = pairs.chunks_exact(2).find(|pair| pair.iter().any(|(_, side)| *side == wall)) else {
            continue;
        };
        let part = run * (slab[1] - slab[0]) / (to - from);
        reached[pair[0].1] += part;
        placed += part;
    }
    // A wall along the fall: the strip beside it lies a hair inside.
    let middle = f64::midpoint(a.1, b.1);
    let beside = [from - 0.5, to + 0.5].into_iter().find_map(|across| {
        let pairs = crossings(&ring, across);
        let over = pairs.chunks_exact(2).find(|pair| (pair[0].0..=pair[1].0).contains(&middle))?;
        Some(over[0].1)
    });
    reached[beside.unwrap_or(wall)] += run - placed;
}

/// The plan area that lies nearest to each place, seen across the fall; the areas add up to the outline's. Places beside
/// one another up the fall share theirs alike.
pub fn nearest(shape: &RoofShape, places: &[Point]) -> Vec<Area> {
    if places.is_empty() {
        return Vec::new();
    }
    let across: Vec<f64> = places.iter().map(|p| turned(shape, p.x as f64, p.y as f64).0).collect();
    let mut sorted = across.clone();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|a, b| (*a - *b).abs() < 1.0);
    let ring: Vec<(f64, f64)> = shape.ring().iter().map(|&p| turned(shape, p.x as f64, p.y as f64)).collect();
    let mut cuts: Vec<f64> = ring.iter().map(|p| p.0).collect();
    cuts.extend(sorted.windows(2).map(|w| f64::midpoint(w[0], w[1])));
    cuts.sort_by(f64::total_cmp);
    let mut areas = vec![0.0; places.len()];
    for slab in cuts.windows(2).filter(|w| w[1] - w[0] > 1e-6) {
        let middle = f64::midpoint(slab[0], slab[1]);
        let far = |i: &usize| (across[*i] - middle).abs();
        let least = (0..places.len()).map(|i| far(&i)).fold(f64::INFINITY, f64::min);
        let takers: Vec<usize> = (0..places.len()).filter(|i| far(i) < least + 1.0).collect();
        let pairs = crossings(&ring, middle);
        let tall: f64 = pairs.chunks_exact(2).map(|pair| pair[1].0 - pair[0].0).sum();
        takers.iter().for_each(|&i| areas[i] += tall * (slab[1] - slab[0]) / takers.len() as f64);
    }
    let mut areas: Vec<Area> = areas.iter().map(|a| Area::mm2(a.round() as i64)).collect();
    let total: Area = areas.iter().copied().sum();
    if let Some(largest) = areas.iter_mut().max() {
        *largest += ring_area(&shape.ring()) - total;
    }
    areas
}

/// Adds `held` to the drips on the low line, by their runs.
fn share_by_run(shape: &RoofShape, drips: &[usize], held: f64, reached: &mut [f64]) {
    let low: Vec<usize> = drips.iter().copied().filter(|i| shape.low_sides.contains(i)).collect();
    let takers = if low.is_empty() { drips } else { &low };
    let run = |i: usize| shape.sides[i].run.as_mm() as f64;
    let total: f64 = takers.iter().map(|&i| run(i)).sum();
    for &i in takers {
        reached[i] += held * run(i) / total;
    }
}

/// The plan area whose rain first meets each side on its way down, mm². Between two neighbouring corners (seen along
/// the fall) the roof is a stack of trapezia, and each drains to its lower side.
fn area_above_each_side(shape: &RoofShape) -> Vec<f64> {
    let ring: Vec<(f64, f64)> = shape.ring().iter().map(|&p| turned(shape, p.x as f64, p.y as f64)).collect();
    let mut cuts: Vec<f64> = ring.iter().map(|p| p.0).collect();
    cuts.sort_by(f64::total_cmp);
    let mut areas = vec![0.0; ring.len()];
    for slab in cuts.windows(2).filter(|w| w[1] - w[0] > 1e-6) {
        let (middle, width) = ((slab[0] + slab[1]) / 2.0, slab[1] - slab[0]);
        for pair in crossings(&ring, middle).chunks_exact(2) {
            areas[pair[0].1] += (pair[1].0 - pair[0].0) * width;
        }
    }
    areas
}

/// A point as seen with the fall upright: across the fall, up the fall.
fn turned(shape: &RoofShape, x: f64, y: f64) -> (f64, f64) {
    let up = shape.uphill;
    (x * up.y - y * up.x, x * up.x + y * up.y)
}

/// Heights at which the sides cross the line `across`, from the lowest, each with its side.
fn crossings(ring: &[(f64, f64)], across: f64) -> Vec<(f64, usize)> {
    let mut found: Vec<(f64, usize)> = (0..ring.len())
        .filter_map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let crosses = (a.0 < across) != (b.0 < across);
            crosses.then(|| (a.1 + (b.1 - a.1) * (across - a.0) / (b.0 - a.0), i))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}
