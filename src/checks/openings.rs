//! What the installer should know of joists that are cut, or in the way of a pipe.
//!
//! Given a roof; gives, for each opening that is trimmed anew, that its timbers are as the file says and were not worked
//! out here: no structure is. Whether the pieces can be laid is asked where they are.

use crate::model::{Hole, Length, Problem, Roof, Rules, Section, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::joist_numbers::{OnJoist, pipes_on_joists};

/// What an old kerb lacks of the height that the laminate wants; `None` where it is high enough.
fn low_kerb(hole: &Hole, stands: Length, (rise, up): (Length, Length)) -> Option<Problem> {
    let left = stands - rise;
    let above = if left > Length::ZERO { format!("{left} of it are left") } else { "none of it is left".to_owned() };
    (left < up).then(|| {
        Problem::warning(
            Warned::Upstand,
            hole.path.key("upstand"),
            format!(
                "the old kerb at `{}` stands {stands} above the old roof: the roof comes up {rise} round it, so that {above}, \
                 and the laminate goes {up} up it",
                hole.name
            ),
            "write the timber of a new one, such as `kerb: 47 × 220 mm`, or have it made higher",
        )
    })
}

/// One for each opening that is cut into the joists, and one for each old kerb that stays: how high it must be.
pub fn notices(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<Problem> {
    let cut = roof.holes.iter().filter_map(|hole| Some((hole, hole.timber.trimmers?)));
    let told = |(hole, timber): (&Hole, Section)| {
        Problem::assumed(
            hole.path.key("trimmers"),
            format!(
                "the joists at `{}` are cut and carried on timbers of {timber}, a size that was not worked out here",
                hole.name
            ),
            "have it confirmed by whoever answers for the structure, and ask Building Control, before anything is cut",
        )
    };
    let kept = |&(hole, rise): &(usize, Length)| {
        let (hole, up) = (roof.holes.get(hole)?, rules.mat_return.kerb);
        if let Some(stands) = hole.upstand {
            return low_kerb(hole, stands, (rise, up));
        }
        Some(Problem::assumed(
            hole.path.key("kerb"),
            format!(
                "the old kerb at `{}` stays, and is taken to stand at least {} above the old roof: the roof comes up {rise} \
                 round it, and the laminate goes {up} up it",
                hole.name,
                rise + up
            ),
            "measure it and write `upstand: 240 mm` or as it is; where it is lower write the timber of a new one, such as `kerb: 47 × 220 mm`, or have it made higher",
        ))
    };
    let pipes = pipes_on_joists(roof, layout).into_iter().map(on_joist);
    cut.map(told).chain(layout.openings.kept.iter().filter_map(kept)).chain(pipes).collect()
}

/// Warns of each pipe and outlet in a new deck that a joist lies in the way of.
fn on_joist(met: OnJoist) -> Problem {
    let name = met.pipe.map_or_else(|| "the outlet".to_owned(), |pipe| format!("`{pipe}`"));
    Problem::warning(
        Warned::PipeOnJoist,
        met.path,
        format!("{name} lands on a joist"),
        "measure where the joists lie (`first:` under `joists`), move it, or have the joist trimmed round it",
    )
}
