//! What the installer should know of joists that are cut, or in the way of a pipe, and of old kerbs that stay.
//!
//! Given a roof; gives, for each opening that is trimmed anew, that its timbers are as the file says and were not worked
//! out here: no structure is. An old kerb that is too low is a finding too, for the householder to know. Whether the pieces can be
//! laid is asked where they are.

use super::finding::{CAUTION, Finding, Subject, Verdict, formula, id_of, measured};
use super::sills::SOURCE;
use crate::model::shape::DeckAction;
use crate::model::words::the;
use crate::model::{Hole, Length, Problem, Roof, Rules, Section, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::joist_numbers::{OnJoist, pipes_on_joists};
use crate::takeoff::layout::openings::{NEW_KERB, NEW_OPENING};
use crate::takeoff::layout::timber::KeptKerb;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// What an old kerb lacks of the height that the laminate wants; `None` where it is high enough.
fn low_kerb(hole: &Hole, kept: &KeptKerb, up: Length) -> Option<Problem> {
    let (left, stands) = (kept.lacks(up)?, kept.stands?);
    Some(Problem::warning(
        Warned::Upstand,
        hole.path.key("upstand"),
        format!(
            "the old kerb at `{}` stands {stands} above the old roof: the roof comes up {} round it, so that {left} of it \
             are left, and the laminate goes up it so far instead of {up}",
            hole.name, kept.rise
        ),
        NEW_KERB,
    ))
}

/// A finding for each old kerb of which less is left above the finished roof than the laminate goes up it.
pub fn low_kerbs(layout: &RoofLayout, rules: &Rules) -> Vec<Finding> {
    let up = rules.mat_return.kerb;
    let of = |kept: &KeptKerb| Some(low(&layout.shape.holes.get(kept.hole)?.name, kept.lacks(up)?, up));
    layout.openings.kept.iter().filter_map(of).collect()
}

fn low(name: &str, left: Length, up: Length) -> Finding {
    Finding {
        id: format!("kerb.{}", id_of(name)),
        kind: Subject::Water,
        roof: None,
        subject: format!("kerb of {}", the(name)),
        verdict: Verdict::Fail,
        statement: format!(
            "Only {left} is left of the old kerb of {} above the roof. The roof is turned up it as far as it goes, but snow or \
             rain driven by wind can still get in above that. Have the kerb made higher, or accept it as it is.",
            the(name)
        ),
        design: format!("{up} from the finished roof to where the waterproofing ends at the kerb"),
        source: SOURCE.into(),
        caution: CAUTION,
        working: vec![
            measured("left at the kerb", Decimal::from(left.as_mm()), Unit::Millimetre),
            Step::Rule { name: "mat_return", value: format!("kerb {up}") },
            formula(
                format!("{} mm − {} mm", left.as_mm(), up.as_mm()),
                Decimal::from((left - up).as_mm()),
                Unit::Millimetre,
            ),
        ],
    }
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
    let kept = |kept: &KeptKerb| {
        let (hole, rise, up) = (roof.holes.get(kept.hole)?, kept.rise, rules.mat_return.kerb);
        if kept.stands.is_some() {
            return low_kerb(hole, kept, up);
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
    let through = roof.holes.iter().filter_map(|hole| through_old_deck(roof, hole));
    cut.map(told).chain(layout.openings.kept.iter().filter_map(kept)).chain(through).chain(pipes).collect()
}

/// A new kerb over a deck that stays, of which nobody said whether its opening is there: no deck that stays is cut for one.
fn through_old_deck(roof: &Roof, hole: &Hole) -> Option<Problem> {
    let unsaid = hole.timber.kerb.is_some() && !hole.timber.trimmers_said;
    (roof.deck.action != DeckAction::New && unsaid).then(|| {
        Problem::assumed(
            hole.path.key("trimmers"),
            format!(
                "whether the opening of `{}` is there already is not said: it is taken to be, and nothing is laid, priced or \
                 told for cutting it through a deck that stays, nor for trimming its joists",
                hole.name
            ),
            NEW_OPENING,
        )
    })
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
