//! Rain off what stands above a roof, where the job does not say how large that is.
//!
//! Given a roof and what was found of its gutters and outlets; gives what is assumed, and settles nothing that such rain could
//! upset. Tiles or slates at an edge always shed their rain onto the roof below them; a wall may end a hand above it.

use super::finding::{Finding, Verdict};
use crate::model::words::{list, the};
use crate::model::{Edge, Finish, Problem, Roof};

/// A slope that is steeper counts as a wall (Approved Document H, Table 1, from memory).
const AS_A_WALL: u32 = 70;

/// Leaves to be settled what is good only without the rain off tiles above, and tells what rain was not counted.
pub(super) fn settle(roof: &Roof, found: &mut [Finding]) -> Vec<Problem> {
    let (tiles, walls) = (slopes(roof), walls(roof));
    let named: Vec<String> = tiles.iter().map(|name| the(name)).collect();
    if !tiles.is_empty() {
        for finding in found.iter_mut().filter(|f| f.verdict == Verdict::Pass) {
            finding.verdict = Verdict::Refer;
            let more =
                format!("Rain off the roof above {} is not in this: that roof must be measured first.", list(&named));
            finding.statement = format!("{} {more}", finding.statement);
        }
    }
    let ticked = |names: &[String]| list(&names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>());
    let of_tiles = (!tiles.is_empty()).then(|| {
        let pitch =
            roof.outline.edges.iter().filter_map(|e| e.under?.pitch).max().map_or("35".to_owned(), |p| p.to_string());
        Problem::assumed(
            roof.path.key("roof_above"),
            format!("the size of the roof above {} is not said: no rain off it is counted", ticked(&tiles)),
            format!("measure it on plan, up to its ridge, and add `roof_above: {{area: 12.0 m2, pitch: {pitch}°}}`"),
        )
    });
    let of_walls = (!walls.is_empty()).then(|| {
        Problem::assumed(
            roof.path.key("wall_above"),
            format!("how much wall there is above {} is not said: no rain off it is counted", ticked(&walls)),
            "measure its face and add `wall_above: {area: 13.5 m2}`, or `0 m2` where it ends just above its flashing",
        )
    });
    of_tiles.into_iter().chain(of_walls).collect()
}

/// The edges under tiles or slates of which no area is known.
fn slopes(roof: &Roof) -> Vec<String> {
    let steep = |edge: &Edge| edge.under.and_then(|tiles| tiles.pitch).is_some_and(|pitch| pitch > AS_A_WALL);
    let known = |edge: &Edge| roof.roof_above.is_some() || (steep(edge) && roof.wall_above.is_some());
    let all = roof.outline.edges.iter().filter(|edge| edge.finish == Finish::Step && !known(edge));
    all.map(Edge::label).collect()
}

/// The walls of which none is known; a parapet has nothing above it.
fn walls(roof: &Roof) -> Vec<String> {
    let all = roof.outline.edges.iter().filter(|edge| edge.finish == Finish::Wall && edge.coping.is_none());
    if roof.wall_above.is_some() { Vec::new() } else { all.map(Edge::label).collect() }
}
