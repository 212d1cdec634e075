//! What the installer should know of joists that are cut.
//!
//! Given a roof; gives, for each opening that is trimmed anew, that its timbers are as the file says and were not worked
//! out here: no structure is. Whether the pieces can be laid is asked where they are.

use crate::model::{Hole, Problem, Roof, Section};

/// One for each opening that is cut into the joists.
pub fn notices(roof: &Roof) -> Vec<Problem> {
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
    cut.map(told).collect()
}
