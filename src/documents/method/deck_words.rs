//! Where the rows of a deck begin, in words.
//!
//! Given the boards as they lie; gives the side at which row 1 is laid, roof by roof where they differ.

use super::super::{WholeJob, wording};
use crate::takeoff::layout::{BoardPiece, RoofLayout};

/// `at the low edge`, or `at the low edge (Garage) and at the left, looking up the fall (Utility)`.
pub(super) fn first_rows(worked: &WholeJob<'_>) -> String {
    let roofs = || worked.take_off.roofs.iter().filter_map(|r| Some((r.shape.name.as_str(), first_row(r)?)));
    let sides = wording::once(roofs().map(|(_, side)| side.to_owned()));
    let of_side = |side: &String| {
        let names: Vec<String> = roofs().filter(|r| r.1 == *side).map(|r| r.0.to_owned()).collect();
        format!("{side} ({})", wording::list(&names))
    };
    match sides.as_slice() {
        [] => "at the low edge".to_owned(),
        [one] => one.clone(),
        several => wording::list(&several.iter().map(of_side).collect::<Vec<_>>()),
    }
}

/// The side at which row 1 of a roof's deck lies.
fn first_row(roof: &RoofLayout) -> Option<&'static str> {
    let deck = roof.deck.as_ref()?;
    let up = roof.shape.uphill;
    let up_the_fall = deck.along_x == (up.x.abs() > up.y.abs());
    let across = if up_the_fall { (up.y, -up.x) } else { (up.x, up.y) };
    let middle = |piece: &BoardPiece| {
        let ring = &piece.rings[0];
        ring.iter().map(|p| p.x as f64 * across.0 + p.y as f64 * across.1).sum::<f64>() / ring.len() as f64
    };
    let mean = |pieces: &[&BoardPiece]| pieces.iter().map(|p| middle(p)).sum::<f64>() / pieces.len().max(1) as f64;
    let all: Vec<&BoardPiece> = deck.pieces.iter().collect();
    let first: Vec<&BoardPiece> = all.iter().copied().filter(|p| p.row == 0).collect();
    let begins_low = mean(&first) <= mean(&all) + 0.5;
    Some(match (up_the_fall, begins_low) {
        (false, true) => "at the low edge",
        (false, false) => "at the high edge",
        (true, true) => "at the left, looking up the fall",
        (true, false) => "at the right, looking up the fall",
    })
}
