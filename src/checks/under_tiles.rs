//! Whether the laminate that goes in under tiles or slates ends high enough above the flat roof, and where a deck that comes up
//! meets their slope.
//!
//! Given a roof; gives warnings and what is assumed. BS 6229 asks for an upstand above the finished roof; up a slope it is
//! measured straight up, so that a flat pitch takes more of the slope. How high the tiles themselves begin is nobody's figure:
//! a tile is no upstand, whatever lies over it.

use crate::geometry::slope;
use crate::model::{Edge, Length, Problem, Roof, Rules, UnderTiles, Warned};
use crate::takeoff::layout::shape::runs_back;

/// Warns of every edge under tiles whose laminate ends too low.
pub fn low_tops(roof: &Roof, rules: &Rules) -> Vec<Problem> {
    let tied = roof.outline.edges.iter().filter_map(|e| Some((e, e.under.as_ref()?)));
    let low = |(edge, tiles): (&Edge, &UnderTiles)| {
        let pitch = tiles.pitch?;
        let reached = slope::rise(tiles.up, pitch);
        (reached < rules.least_upstand).then(|| {
            Problem::warning(Warned::Upstand,
                edge.path.keys(["under", "up"]),
                format!(
                    "at the {} the laminate ends {reached} above the flat roof, {} up a slope of {pitch}°; BS 6229 asks \
                     for {}",
                    edge.label(),
                    tiles.up,
                    rules.least_upstand
                ),
                format!("write `up: {}`, which is high enough at that pitch", needed(pitch, rules)),
            )
        })
    };
    tied.filter_map(low).collect()
}

/// What is taken of every edge at which the deck comes up under tiles: that the roof was measured to the end of the old deck, and is laid
/// out to where the new one meets the slope. No boards are laid where the old deck stays: there it is taken to be measured to that place.
pub fn further_back(roof: &Roof) -> Vec<Problem> {
    let taken = |(edge, tiles): (&Edge, UnderTiles)| {
        let (label, back) = (edge.label(), tiles.further_back());
        let (taken, cure) = match runs_back(edge, roof) > Length::ZERO {
            true => (
                "the roof is taken to be measured to the end of the old deck, and laid out as much further",
                format!("where it was measured to the new place write `outline` {back} less deep there"),
            ),
            false => (
                "the roof is taken to be measured to there, and to have boards as far",
                format!("where it was measured to the end of the old deck write `outline` {back} deeper there"),
            ),
        };
        Problem::assumed(
            edge.path.key("under"),
            format!(
                "at `{label}` the deck comes up {}: it meets the slope {} further up and {back} further back than the old one; {taken}",
                tiles.rise,
                tiles.further_up()
            ),
            cure,
        )
    };
    comes_up(roof).map(taken).collect()
}

/// The edges under tiles at which the deck comes up.
pub fn comes_up(roof: &Roof) -> impl Iterator<Item = (&Edge, UnderTiles)> {
    roof.outline.edges.iter().filter_map(|e| Some((e, e.under.filter(|tiles| tiles.rise > UnderTiles::SLIGHT_RISE)?)))
}

/// So far up a slope the least upstand is reached, in steps of 10 mm.
fn needed(pitch: u32, rules: &Rules) -> Length {
    let along = slope::along(rules.least_upstand, pitch).as_mm();
    Length::mm((along + 9) / 10 * 10)
}
