//! Two levels of one job: a roof whose drip lets its water down onto another of them.
//!
//! Given a job; gives the pairs that may stand so, and a warning for each that the job leaves open. Where a drip stands over a wall of
//! the roof below, fillet and laminate of that wall go up behind it: the lower roof comes first, and the drip is its flashing. Which wall
//! that is nobody has measured: it is asked.

use crate::model::{Edge, Finish, Flashing, Job, Problem, Roof, Warned};

/// A roof above that is no steeper is flat: it may be one of the job's own.
const FLAT: u32 = 10;

/// A roof whose water runs off onto another.
pub struct Levels<'a> {
    /// The roof above.
    pub upper: &'a Roof,
    /// Its drip without a gutter.
    pub drip: &'a Edge,
    /// The roof below.
    pub lower: &'a Roof,
    /// The walls of the roof below over which the drip may stand.
    walls: Vec<&'a Edge>,
    /// Whether the roof below is opened before.
    lower_first: bool,
}

impl<'a> Levels<'a> {
    /// The walls without a flashing of their own: the drip covers them.
    pub fn covered(&self) -> impl Iterator<Item = &'a Edge> {
        self.walls.iter().copied().filter(|wall| wall.flashing == Some(Flashing::None))
    }

    /// Whether the job says all that papers and days need: the lower roof is opened first, and a wall of it leaves its cover to the drip.
    pub fn is_settled(&self) -> bool {
        self.lower_first && self.covered().next().is_some()
    }
}

/// The pairs of a job: a flat roof above is told of one of them, and of another a drip has no gutter.
pub fn levels(job: &Job) -> Vec<Levels<'_>> {
    let mut found = Vec::new();
    for (below, lower) in job.roofs.iter().enumerate() {
        let is_wall = |e: &&Edge| e.finish == Finish::Wall && e.coping.is_none() && e.sill.is_none();
        let walls: Vec<&Edge> = lower.outline.edges.iter().filter(is_wall).collect();
        if walls.is_empty() || lower.roof_above.is_none_or(|(_, pitch)| pitch > FLAT) {
            continue;
        }
        for (above, upper) in job.roofs.iter().enumerate().filter(|(above, _)| *above != below) {
            let drip = upper.outline.edges.iter().find(|e| e.finish == Finish::Drip && e.gutter.is_none());
            let Some(drip) = drip else { continue };
            found.push(Levels { upper, drip, lower, walls: walls.clone(), lower_first: below < above });
        }
    }
    found
}

/// Asks which roof comes first, and what covers the wall between them.
pub fn unsettled(job: &Job) -> Vec<Problem> {
    let ask = |pair: &Levels<'_>| {
        let (upper, lower, drip) = (&pair.upper.name, &pair.lower.name, pair.drip.label());
        let fault = format!(
            "`{drip}` of `{upper}` has no gutter, and `{lower}` takes the water of a flat roof above it: where that drip stands over a wall of \
             `{lower}`, fillet and laminate there go up behind it and come first"
        );
        let order = (!pair.lower_first)
            .then(|| format!("write `{lower}` before `{upper}`: roofs are opened in the order of the file"));
        let cover = pair
            .covered()
            .next()
            .is_none()
            .then(|| "write `flashing: none` at that wall, which the drip covers".to_owned());
        let cures: Vec<String> = order.into_iter().chain(cover).collect();
        let cure = format!(
            "{}; where it stands elsewhere write `silence: [{{warning: levels, because: the drip is not over {lower}}}]`",
            cures.join("; ")
        );
        Problem::warning(Warned::Levels, pair.lower.path.key("roof_above"), fault, cure)
    };
    levels(job).iter().filter(|pair| !pair.is_settled()).map(ask).collect()
}
