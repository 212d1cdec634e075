//! Which piece of trim lies on top along a level edge of a roof that is laid from one end to the other.
//!
//! Given the trims as planned and the roofs with their mat; turns laps round. Where strips run up the fall, a roof may be opened
//! and closed strip by strip, and the trims along a level edge are fixed in that order: a piece can be laid over the one that is there,
//! and not be pushed under it. So the order counts for more than the wind. On a level edge either way sheds water.

use super::bandage::place_of;
use super::mat::tape::StripTape;
use super::shape::{Direction, point_along};
use super::trims::{LEVEL, lap_cut};
use super::{LapOver, MatPiece, ProfilePlan, RoofLayout, TrimRun};
use crate::model::{Length, Point};

/// Lays the piece that is fixed later over the one before.
pub(crate) fn lap_as_laid(profiles: &mut [ProfilePlan], roofs: &[RoofLayout]) {
    for run in profiles.iter_mut().flat_map(|plan| &mut plan.runs) {
        let lies_on = |roof: &RoofLayout| place_of(&roof.shape, run.place).map(|(from, to, _)| (from, to));
        let Some((roof, line)) = roofs.iter().find_map(|roof| Some((roof, lies_on(roof)?))) else { continue };
        let is_level = Direction::along(line.0, line.1).dot(roof.shape.uphill).abs() <= LEVEL;
        if roof.mat.up_the_fall && is_level {
            turn_laps(run, line, roof);
        }
    }
}

fn turn_laps(run: &mut TrimRun, line: (Point, Point), roof: &RoofLayout) {
    for lap in 0..run.laps.len() {
        let (earlier, later) = (&run.pieces[lap], &run.pieces[lap + 1]);
        let far_ends = (run.leg + earlier.at, run.leg + later.at + later.length);
        let over = match laid(roof, line, far_ends.0).cmp(&laid(roof, line, far_ends.1)) {
            std::cmp::Ordering::Less => LapOver::Later,
            std::cmp::Ordering::Greater => LapOver::Earlier,
            std::cmp::Ordering::Equal => continue,
        };
        run.laps[lap].over = over;
        run.pieces[lap].end_cut = lap_cut(over == LapOver::Earlier);
        run.pieces[lap + 1].start_cut = lap_cut(over == LapOver::Later);
    }
}

/// When the first strip over a place of a line is laid.
fn laid(roof: &RoofLayout, (from, to): (Point, Point), at: Length) -> Option<usize> {
    let tape = StripTape::of(roof);
    let place = tape.stretch(&[point_along(from, to, at)]);
    let lowest = roof.mat.pieces.iter().filter(|piece| piece.layer == 0);
    let covers = |piece: &&MatPiece| {
        let strip = tape.stretch(&piece.ring);
        strip.0 <= place.0 && place.1 <= strip.1
    };
    lowest.filter(covers).map(|piece| piece.order).min()
}
