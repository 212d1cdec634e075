//! Strips: the target cut into bands of one roll's width, each overlapping the next by the lap.
//!
//! Given the target region and where the bands lie; gives each strip's parts with their extent along and across. A
//! strip runs through past a hole that cuts into it only in part, and is in two parts where a hole or a court cuts
//! right through it. A part that lies wholly inside a lap is left to the neighbour.

use crate::geometry::region::{Bounds, Polygon, Region, bounds_of};
use crate::geometry::ring::sides;
use crate::geometry::whole::div_ceil;
use crate::model::{Area, Point};

/// The roll's width and the side lap, mm. The width is more than twice the lap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct StripPitch {
    /// Width of the roll.
    pub roll: i64,
    /// Side lap.
    pub lap: i64,
}

impl StripPitch {
    /// From one strip to the next.
    pub(super) const fn step(self) -> i64 {
        self.roll - self.lap
    }

    /// How many strips cover a width, the first cut narrower by `shift`: ⌈(width + shift − lap) ÷ (roll − lap)⌉.
    pub(super) fn strips(self, width: i64, shift: i64) -> i64 {
        div_ceil(width + shift - self.lap, self.step()).max(1)
    }
}

/// One band across the roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Band {
    /// Where it starts, across the strips.
    pub low: i64,
    /// Where it ends.
    pub high: i64,
}

/// The bands from `low` to `high`: the first one narrower by `shift`, the last one as wide as is left.
pub(super) fn bands(low: i64, high: i64, pitch: StripPitch, shift: i64) -> Vec<Band> {
    let start = |k: i64| if k == 0 { low } else { low - shift + k * pitch.step() };
    let end = |k: i64| (low - shift + k * pitch.step() + pitch.roll).min(high);
    (0..pitch.strips(high - low, shift)).map(|k| Band { low: start(k), high: end(k) }).collect()
}

/// One part of a strip: a rectangle to be cut, and what of the target lies in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct StripPart {
    /// The rectangle in the frame.
    pub extent: Bounds,
    /// The target inside it that is its own.
    pub polygons: Vec<Polygon>,
    /// All of the strip's target that its rectangle may reach: what lies in a lap alone is the neighbour's, and the mat
    /// lies over it all the same.
    under: Vec<Polygon>,
}

/// The parts of every band.
pub(super) fn parts(target: &Region, bands: &[Band]) -> Vec<Vec<StripPart>> {
    let Some(extent) = target.bounds() else { return Vec::new() };
    (0..bands.len())
        .map(|k| {
            let slice =
                Region::of_box(Point::new(extent.least.x, bands[k].low), Point::new(extent.most.x, bands[k].high));
            let inside = target.intersect(&slice);
            let mut found: Vec<StripPart> = inside.polygons().iter().filter_map(|p| part(p, bands[k])).collect();
            found.retain(|p| !left_to_neighbour(&p.extent, k, bands));
            let mut parts = merge(found);
            for part in &mut parts {
                let reached = |p: &&Polygon| bounds_of(p[0].iter().copied()).is_some_and(|b| b.touches(&part.extent));
                part.under = inside.polygons().iter().filter(reached).cloned().collect();
            }
            parts
        })
        .collect()
}

/// One polygon as a part. A crossing rounded to whole millimetres may lie a millimetre outside the band.
fn part(polygon: &Polygon, band: Band) -> Option<StripPart> {
    let mut extent = bounds_of(polygon[0].iter().copied())?;
    extent.least.y = extent.least.y.max(band.low);
    extent.most.y = extent.most.y.min(band.high);
    Some(StripPart { extent, polygons: vec![polygon.clone()], under: Vec::new() })
}

/// Whether a part lies wholly inside the lap with the strip below or above.
fn left_to_neighbour(part: &Bounds, k: usize, bands: &[Band]) -> bool {
    let below = k > 0 && part.most.y <= bands[k - 1].high;
    let above = k + 1 < bands.len() && part.least.y >= bands[k + 1].low;
    below || above
}

/// Parts of one strip with less than this between them are cut as one, mm.
const LEAST_GAP: i64 = 50;

/// Parts whose rectangles would overlap, or nearly, are cut as one.
fn merge(mut parts: Vec<StripPart>) -> Vec<StripPart> {
    parts.sort_by_key(|p| (p.extent.least.x, p.extent.least.y));
    let mut merged: Vec<StripPart> = Vec::new();
    for part in parts {
        match merged.last_mut() {
            Some(last) if part.extent.least.x <= last.extent.most.x + LEAST_GAP => last.take_in(part),
            _ => merged.push(part),
        }
    }
    merged
}

impl StripPart {
    /// What of the target lies in it from one place along it to another.
    pub(super) fn net(&self, from: i64, to: i64) -> Area {
        let under = Region::of_rings(self.under.iter().flatten().map(Vec::as_slice));
        let (low, high) = (self.extent.least.y, self.extent.most.y);
        under.intersect(&Region::of_box(Point::new(from, low), Point::new(to, high))).area()
    }

    fn take_in(&mut self, other: StripPart) {
        let e = &mut self.extent;
        e.least = Point::new(e.least.x.min(other.extent.least.x), e.least.y.min(other.extent.least.y));
        e.most = Point::new(e.most.x.max(other.extent.most.x), e.most.y.max(other.extent.most.y));
        self.polygons.extend(other.polygons);
    }

    /// Where the target inside this part meets the line at `across`, in order along it.
    pub(super) fn at_line(&self, across: i64) -> Vec<(f64, f64)> {
        on_line(&self.polygons, across)
    }
}

/// Where some polygons meet the line at `across`, in order along it.
pub(super) fn on_line(polygons: &[Polygon], across: i64) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = polygons.iter().flat_map(|p| crossings(p, across)).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// Intervals of one polygon on the line half a millimetre above `across`, which meets no corner.
fn crossings(polygon: &Polygon, across: i64) -> Vec<(f64, f64)> {
    let line = across as f64 + 0.5;
    let mut at = Vec::new();
    for ring in polygon {
        for (a, b) in sides(ring) {
            if (a.y <= across) != (b.y <= across) {
                let share = (line - a.y as f64) / (b.y - a.y) as f64;
                at.push(a.x as f64 + share * (b.x - a.x) as f64);
            }
        }
    }
    at.sort_by(f64::total_cmp);
    at.chunks_exact(2).map(|c| (c[0], c[1])).collect()
}

/// One piece in the frame.
#[derive(Clone, Copy)]
pub(crate) struct StripCut {
    pub strip: usize,
    pub part: usize,
    pub from: i64,
    pub to: i64,
}
