//! How a roof falls: made by firrings, set in the joists, or there already.
//!
//! Given what the file says of the fall, of firrings and of the deck; gives the fall, or every problem in it. Firrings lie
//! under a new deck only: a fall that is written for a deck that stays is the fall that it has.

use crate::checks::falls;
use crate::job_file::read::reading::Slot;
use crate::job_file::read::scalars::{FallSaid, FirringsSaid};
use crate::model::job::By;
use crate::model::shape::DeckAction;
use crate::model::{Fall, Problem, RoofFall, Rules, SettingPath, limits};
use rust_decimal::Decimal;

/// The fall of a roof; `path` is that of the roof. A deck that could not be read counts as a new one.
pub(crate) fn fall(
    (fall, firrings): (Slot<FallSaid>, Slot<FirringsSaid>),
    deck: Option<DeckAction>,
    rules: &Rules,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> RoofFall {
    let (unsaid, firrings) = (fall.is_missing(), firrings.take());
    let is_new = deck.unwrap_or(DeckAction::New) == DeckAction::New;
    let usual = Fall { run: Decimal::from(40) };
    let fall = match (fall.take(), firrings, is_new) {
        (Some(FallSaid::Existing(measured)), ..) => RoofFall::There(measured),
        (Some(FallSaid::OneIn(fall)), _, false) => RoofFall::There(Some(fall)),
        (None, _, false) => RoofFall::There(None),
        (Some(FallSaid::OneIn(fall)), Some(FirringsSaid::None), true) => RoofFall::InJoists(fall),
        (None, Some(FirringsSaid::None), true) => RoofFall::InJoists(usual),
        (Some(FallSaid::OneIn(fall)), by, true) => RoofFall::Firred(fall, who(by)),
        (None, by, true) => RoofFall::Firred(usual, who(by)),
    };
    found.extend(needless_firrings(fall, firrings, is_new, path));
    found.extend(not_told(fall, unsaid, path));
    found.extend(out_of_measure(fall, path).or_else(|| falls::steepness(fall, rules, path)));
    fall
}

const fn who(firrings: Option<FirringsSaid>) -> By {
    match firrings {
        Some(FirringsSaid::Others) => By::Others,
        _ => By::Us,
    }
}

/// Firrings are asked for where nothing can be put under the deck, or where the fall is there.
fn needless_firrings(
    fall: RoofFall,
    firrings: Option<FirringsSaid>,
    is_new: bool,
    path: &SettingPath,
) -> Option<Problem> {
    let asked = matches!(firrings, Some(FirringsSaid::Us | FirringsSaid::Others));
    (asked && !matches!(fall, RoofFall::Firred(..))).then(|| {
        let fault = match is_new {
            true => "the fall is there already, so that no firrings are fixed",
            false => "firrings lie under a new deck: here the old one stays",
        };
        Problem::fault(
            path.key("firrings"),
            fault,
            "take `firrings` out, or lay a new deck and write the fall to be made: `fall: 1:40`",
        )
    })
}

/// A fall that was left out, or is there and was not measured.
fn not_told(fall: RoofFall, unsaid: bool, path: &SettingPath) -> Option<Problem> {
    let path = path.key("fall");
    match fall {
        RoofFall::There(None) => Some(Problem::assumed(
            path,
            "the fall that is there was not measured: whether water runs off is not checked, and the crew measures it first",
            "measure the rise over a length of joist and write it: `fall: existing 1:50`",
        )),
        RoofFall::Firred(fall, _) | RoofFall::InJoists(fall) if unsaid => Some(Problem::assumed(
            path,
            format!("the fall is not said: {fall} is taken"),
            format!("add `fall: {fall}`, or `fall: existing` where joists or deck fall already"),
        )),
        _ => None,
    }
}

/// A measured fall that nobody can have measured.
fn out_of_measure(fall: RoofFall, path: &SettingPath) -> Option<Problem> {
    let RoofFall::There(Some(measured)) = fall else { return None };
    let limits = &limits::FALL_THERE;
    (!limits.limit.holds(measured.run)).then(|| {
        let fault = format!("a fall of {measured} was not measured; it lies {}", limits.words());
        Problem::fault(path.key("fall"), fault, format!("check the figure: {}", limits.why))
    })
}
