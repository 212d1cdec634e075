//! Whether the water can leave the roof.
//!
//! Given the outline, the edge that the roof falls to and whether it has outlets; gives the problems: a low side that holds water, a
//! roof without drip or outlet.

use crate::job_file::read::suggest;
use crate::model::{Edge, Finish, Outline, Problem, SettingPath, Warned};

/// An edge that is turned this much from the fall or less is level: cosine of 2 degrees.
const LEVEL: f64 = 0.999_39;

/// Tells what keeps the water on the roof. `path` is that of the roof.
pub(crate) fn check(
    outline: &Outline,
    falls_to: &str,
    has_outlet: bool,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<()> {
    let Some(low) = outline.edges.iter().position(|e| e.name == falls_to) else {
        let mut names: Vec<&str> = outline.edges.iter().map(|e| e.name.as_str()).collect();
        names.dedup();
        found.push(Problem::fault(
            path.key("falls_to"),
            format!("the roof falls to `{falls_to}`, which is not an edge of its outline"),
            suggest::cure(falls_to, &names),
        ));
        return None;
    };
    let down = outward(outline, low);
    let faces_down = |n: usize| {
        let facing = outward(outline, n);
        facing.0 * down.0 + facing.1 * down.1 >= LEVEL
    };
    for (n, edge) in outline.edges.iter().enumerate() {
        if edge.finish == Finish::Gutter && !faces_down(n) {
            let fault = format!("the roof does not fall to `{}`: no water comes to its box gutter", edge.label());
            let cure = format!("let the roof fall to it, `falls_to: {}`, or give it another finish", edge.name);
            found.push(Problem::fault(edge.path.key("finish"), fault, cure));
        }
    }
    let faces_up = |n: usize| {
        let facing = outward(outline, n);
        facing.0 * down.0 + facing.1 * down.1 <= -LEVEL
    };
    // Where the low side holds the water the roof is said to fall the wrong way, and that is told.
    let all = || outline.edges.iter().enumerate();
    if has_outlet || !all().any(|(n, edge)| faces_down(n) && dams(edge, falls_to)) {
        let above = all().filter(|(n, edge)| edge.finish == Finish::Drip && faces_up(*n));
        found.extend(above.map(|(_, edge)| drip_above(edge)));
    }
    if has_outlet {
        return Some(());
    }
    if outline.edges.iter().all(|e| !e.finish.drains()) {
        found.push(Problem::fault(
            path.key("edges"),
            "this roof has neither a drip edge nor an outlet: the water stays on it",
            "give the low edge `finish: drip`, or the roof an `outlet: {at: […], size: 75 mm}`",
        ));
        return None;
    }
    for (n, edge) in outline.edges.iter().enumerate() {
        if !faces_down(n) {
            continue;
        }
        found.extend(wall_below(edge, falls_to));
        if dams(edge, falls_to) {
            found.push(Problem::fault(
                edge.path.key("finish"),
                format!("`{}` ({}) lies along the low side: it holds the water", edge.label(), edge.finish.word()),
                "give it `finish: drip`, let the roof fall to another edge, or give the roof an `outlet`",
            ));
        }
    }
    Some(())
}

/// Warns of a drip along the high side.
fn drip_above(edge: &Edge) -> Problem {
    Problem::warning(
        Warned::HighDrip,
        edge.path.key("finish"),
        format!(
            "`{}` is a drip along the high side: no water runs to it, and nothing keeps what the wind drives from going over",
            edge.label()
        ),
        "give it `finish: raised`, or `wall` where it meets the house; look at `falls_to` if this is where the gutter hangs",
    )
}

/// Warns of a wall that faces down the fall: the water runs to it and stands there.
fn wall_below(edge: &Edge, falls_to: &str) -> Option<Problem> {
    (edge.finish == Finish::Wall && edge.name != falls_to).then(|| {
        Problem::warning(
            Warned::StandingWater,
            edge.path.key("finish"),
            format!("the wall `{}` faces down the fall: the water runs to it and stands there", edge.label()),
            "turn the water with a tapered piece, let the roof fall another way, or give the roof an `outlet` there",
        )
    })
}

/// A raised edge dams the water wherever it faces down the fall; at the edge that the roof falls to, everything but a
/// drip does.
fn dams(edge: &Edge, falls_to: &str) -> bool {
    edge.finish == Finish::Raised || (edge.name == falls_to && !edge.finish.drains())
}

/// The direction that an edge faces, away from the roof.
fn outward(outline: &Outline, n: usize) -> (f64, f64) {
    let (a, b) = (outline.corners[n], outline.end_of(n));
    let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
    let length = dx.hypot(dy).max(1.0);
    (dy / length, -dx / length)
}
