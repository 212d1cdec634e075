//! How much the documents of a job tell of.
//!
//! Given a job that is worked out; gives how many rows its documents take at most, and the refusal of a statement that is too long.

use super::WholeJob;
use super::words::beyond_reading;
use crate::model::Problem;
use crate::model::limits::{self, Most};
use crate::takeoff::layout::RoofLayout;

/// More roofs than this are many: their like boards share no rows.
const MANY_ROOFS: usize = 20;

/// A statement of many roofs that nobody would read, before any of them is drawn. How many rows one roof of many boards takes is
/// seen on its pages alone: like boards share a row.
pub(super) fn too_long_to_read(worked: &WholeJob<'_>) -> Option<Problem> {
    let Most { what, most } = limits::TOLD;
    let rows = rows(worked);
    let is_long = rows > most && worked.take_off.roofs.len() > MANY_ROOFS;
    is_long.then(|| beyond_reading(&format!("{rows} {what}: more than {most} are not told in one")))
}

/// What is laid, cut and ordered, piece by piece and line by line.
pub(super) fn rows(worked: &WholeJob<'_>) -> usize {
    let laid = worked.take_off;
    let on_roof = |roof: &RoofLayout| {
        let deck = roof.deck.as_ref().map_or(0, |deck| deck.pieces.len());
        let over = roof.over.as_ref().map_or(0, |over| over.insulation.pieces.len());
        deck + over + roof.mat.pieces.len() + roof.shape.sides.len()
    };
    let bars = laid.profiles.iter().map(|profile| profile.bars.len() + profile.runs.len());
    let ordered = worked.pricing.orders.iter().map(|order| order.lines.len());
    laid.roofs.iter().map(on_roof).chain(bars).chain(ordered).sum::<usize>() + laid.lines.len()
}
