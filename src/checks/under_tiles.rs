//! Whether the laminate that goes in under tiles or slates ends high enough above the flat roof.
//!
//! Given a roof; gives warnings. BS 6229 asks for an upstand above the finished roof; up a slope it is measured straight up,
//! so that a flat pitch takes more of the slope. How high the tiles themselves begin is nobody's figure: a tile is no
//! upstand, whatever lies over it.

use crate::geometry::slope;
use crate::model::{Length, Problem, Roof, Rules, Warned};

/// Warns of every edge under tiles whose laminate ends too low.
pub fn low_tops(roof: &Roof, rules: &Rules) -> Vec<Problem> {
    let tied = roof.outline.edges.iter().filter_map(|e| Some((e, e.under.as_ref()?)));
    let low = |(edge, tiles): (&crate::model::Edge, &crate::model::UnderTiles)| {
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

/// So far up a slope the least upstand is reached, in steps of 10 mm.
fn needed(pitch: u32, rules: &Rules) -> Length {
    let along = slope::along(rules.least_upstand, pitch).as_mm();
    Length::mm((along + 9) / 10 * 10)
}
