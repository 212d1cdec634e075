//! Whether the laminate that goes in under tiles or slates ends high enough above the flat roof, and where a deck that comes up
//! meets their slope.
//!
//! Given a roof; gives warnings and what is assumed. BS 6229 asks for an upstand above the finished roof; up a slope it is
//! measured straight up, so that a flat pitch takes more of the slope. How high the tiles themselves begin is nobody's figure:
//! a tile is no upstand, whatever lies over it.

use crate::geometry::slope;
use crate::model::words::{at, list};
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
    let taken = |risen: Risen<'_>| {
        let (edge, tiles) = (risen.edge, risen.tiles);
        let of_each = |of: fn(&UnderTiles, Length) -> Length| {
            risen.ends.iter().map(|end| of(&tiles, end.rise).to_string()).collect::<Vec<_>>().join(" and ")
        };
        let further = |end: &RisenEnd| format!("{}{}", tiles.back_by(end.rise), end.place);
        let further_back = risen.ends.iter().filter(|end| tiles.back_by(end.rise) > Length::ZERO).map(further);
        let back = tiles.further_back();
        let (taken, cure) = match (runs_back(edge, roof) > Length::ZERO, risen.ends.len()) {
            (true, _) => (
                "the roof is taken to be measured to the end of the old deck, and laid out as much further",
                format!("where it was measured to the new place write `outline` {back} less deep there"),
            ),
            (false, 1) => (
                "the roof is taken to be measured to there, and to have boards as far",
                format!("where it was measured to the end of the old deck write `outline` {back} deeper there"),
            ),
            (false, _) => (
                "the roof is taken to be measured to there, and to have boards as far",
                format!(
                    "where it was measured to the end of the old deck move the corners of that edge in `outline` out by {}",
                    list(&further_back.collect::<Vec<_>>())
                ),
            ),
        };
        Problem::assumed(
            edge.path.key("under"),
            format!(
                "at `{}` the deck comes up {}: it meets the slope {} further up and {} further back than the old one; {taken}",
                edge.label(),
                risen.in_words(),
                of_each(UnderTiles::up_by),
                of_each(UnderTiles::back_by)
            ),
            cure,
        )
    };
    comes_up(roof).into_iter().map(taken).collect()
}

/// An edge under tiles at which the deck comes up.
#[derive(Debug, Clone)]
pub struct Risen<'a> {
    /// The edge.
    pub edge: &'a Edge,
    /// How it is tied in.
    pub tiles: UnderTiles,
    /// How far it comes up at each end, where that is most first; once where both are alike.
    pub ends: Vec<RisenEnd>,
}

/// How far a deck comes up at an end of an edge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RisenEnd {
    /// Which end, with a space before it: ` at the back`; nothing where both come up alike.
    pub place: String,
    /// How far.
    pub rise: Length,
}

impl Risen<'_> {
    /// `52 mm at the back and 6 mm at the front`.
    pub fn in_words(&self) -> String {
        list(&self.ends.iter().map(|end| format!("{}{}", end.rise, end.place)).collect::<Vec<_>>())
    }
}

/// The edges under tiles at which the deck comes up.
pub fn comes_up(roof: &Roof) -> Vec<Risen<'_>> {
    let edges = &roof.outline.edges;
    let risen = |(i, edge): (usize, &'_ Edge)| {
        let tiles = edge.under.filter(|tiles| tiles.rise() > UnderTiles::SLIGHT_RISE)?;
        let end = |(met, rise): (usize, Length)| {
            let met = edges[met % edges.len()].label();
            RisenEnd { place: format!(" {}", at(&met)), rise }
        };
        let mut ends = match tiles.rises_alike() {
            true => vec![RisenEnd { place: String::new(), rise: tiles.rise() }],
            false => [i + edges.len() - 1, i + 1].into_iter().zip(tiles.rises).map(end).collect(),
        };
        ends.sort_by_key(|end| std::cmp::Reverse(end.rise));
        Some((i, tiles, ends))
    };
    let all = edges.iter().enumerate().filter_map(risen);
    all.map(|(i, tiles, ends)| Risen { edge: &edges[i], tiles, ends }).collect()
}

/// So far up a slope the least upstand is reached, in steps of 10 mm.
fn needed(pitch: u32, rules: &Rules) -> Length {
    let along = slope::along(rules.least_upstand, pitch).as_mm();
    Length::mm((along + 9) / 10 * 10)
}
