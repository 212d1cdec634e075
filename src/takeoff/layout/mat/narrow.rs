//! Where the laps lie so that no strip, nor any part of one, is a sliver.
//!
//! Given what must be covered, the roll and the least width; gives how much narrower the first strip is cut. Every other
//! strip keeps the roll's width, and the last one is wider by as much: where the last would be a sliver, that evens the
//! two out. A sliver may also lie in the middle of a roof, where an arm or a court ends just past a lap, so that every
//! level at which the outline turns is looked at.

use super::strips::{self, StripPart, StripPitch};
use crate::geometry::region::Region;

/// What a shift is looked for by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Narrow {
    /// The roll and the lap.
    pub pitch: StripPitch,
    /// No part of a strip is to be narrower, mm.
    pub narrowest: i64,
    /// How far off the shift that is wished for it may lie, mm.
    pub most: i64,
}

/// So many shifts are looked at, the nearest first.
const TRIED: usize = 40;

/// Whether a part of a strip is too narrow.
pub(super) fn is_narrow(part: &StripPart, narrowest: i64) -> bool {
    part.extent.most.y - part.extent.least.y < narrowest
}

/// How many parts of some strips are too narrow.
pub(super) fn count(strips: &[Vec<StripPart>], narrowest: i64) -> usize {
    strips.iter().flatten().filter(|p| is_narrow(p, narrowest)).count()
}

/// The shift with fewest parts too narrow that takes no strip more than the one wished for; of several, the nearest to
/// it, and the lesser of two as near.
pub(super) fn clear_shift(target: &Region, how: Narrow, wished: i64) -> i64 {
    let Some(extent) = target.bounds() else { return wished };
    let (low, high) = (extent.least.y, extent.most.y);
    let narrow = |shift: i64| count(&strips::parts(target, &strips::bands(low, high, how.pitch, shift)), how.narrowest);
    let mut best = (narrow(wished), wished);
    if best.0 == 0 {
        return wished;
    }
    let strips = how.pitch.strips(high - low, wished);
    let fits = |&s: &i64| {
        let first = how.pitch.roll - s;
        (s - wished).abs() <= how.most && first >= how.narrowest && how.pitch.strips(high - low, s) <= strips
    };
    let mut shifts: Vec<i64> = turning_shifts(target, low, how).into_iter().filter(fits).collect();
    shifts.sort_by_key(|&s| ((s - wished).abs(), s));
    shifts.dedup();
    for shift in shifts.into_iter().take(TRIED) {
        let found = narrow(shift);
        if found < best.0 {
            best = (found, shift);
        }
    }
    best.1
}

/// The shifts at which a part that ends at a level where the outline turns is just wide enough, or falls to its neighbour
/// altogether.
fn turning_shifts(target: &Region, low: i64, how: Narrow) -> Vec<i64> {
    let StripPitch { roll, lap } = how.pitch;
    let step = how.pitch.step();
    let mut levels: Vec<i64> = target.polygons().iter().flatten().flatten().map(|p| p.y - low).collect();
    levels.sort_unstable();
    levels.dedup();
    // How far over the start of the strip it lies in a level may lie: just enough for a part that ends there, none, just
    // enough left for a part that begins there.
    let over = [how.narrowest, lap, 0, roll - how.narrowest];
    levels.iter().flat_map(|level| over.map(|o| (o - level).rem_euclid(step))).collect()
}
