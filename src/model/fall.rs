//! How a roof comes by its fall: made with firrings, made by whoever sets the joists, or there already.
//!
//! Given by the survey; gives the fall that is known, and who fixes firrings for it. A fall that is there and that nobody
//! has measured is no number at all: it is not taken to be the usual one.

use super::by::By;
use super::units::Fall;

/// How a roof falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoofFall {
    /// Firrings make it, on the joists of a new deck; fixed by the firm or by others.
    Firred(Fall, By),
    /// Whoever sets the joists sets them to this fall: no firrings.
    InJoists(Fall),
    /// Joists or deck fall already, by so much where it was measured: no firrings.
    There(Option<Fall>),
}

impl RoofFall {
    /// How steep the roof is, where that is known.
    pub const fn known(self) -> Option<Fall> {
        match self {
            RoofFall::Firred(fall, _) | RoofFall::InJoists(fall) => Some(fall),
            RoofFall::There(measured) => measured,
        }
    }
}
