//! The insulation plan: every board over the deck with its number, and the deck's joints beneath that it keeps off.
//!
//! Given a roof's layout; gives a figure, or none where nothing lies over the deck. Cut boards are shaded, whole ones are
//! not.

use super::Space;
use super::deck_plan::{NamedPiece, SHADES, fill, is_square, outline, piece_names};
use super::drawing::{Drawing, dashes, pen};
use super::labels::lost_words;
use super::one_key::KeyParts;
use super::plan_scale::{self, PlanScale, fitted};
use crate::documents::wording;
use crate::model::Length;
use crate::pages::block::Figure;
use crate::pages::scene::Ink;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{DeckLayout, RoofLayout};
use crate::takeoff::layout::{InsulationLayout, InsulationPiece};

/// Draws the insulation of one roof. `whole` is the size of a whole board, along and across.
pub fn draw(layout: &RoofLayout, whole: (Length, Length), space: Space) -> Option<Figure> {
    let insulation = &layout.over.as_ref()?.insulation;
    let boards = wording::plural(insulation.boards, "board", "boards");
    let below = layout.deck.as_ref();
    Some(Figure {
        scene: fitted(space, &layout.shape, |frame| sheet(frame, &layout.shape, insulation, below, whole, space)),
        caption: format!("{}: insulation, {boards}. Lay in the order of the numbers.", layout.shape.name),
        alt: format!(
            "Insulation of {}: {} cut from {boards}. The list of boards gives the same pieces in words.",
            layout.shape.name,
            wording::plural(insulation.pieces.len(), "piece", "pieces")
        ),
    })
}

/// What the key may say.
const KEY: [&str; 2] = [SHADES, "Broken lines: joints of the deck beneath."];

/// What the key of the insulation of a roof says. `whole` is the size of a whole board, along and across.
pub fn key(layout: &RoofLayout, whole: (Length, Length)) -> Option<KeyParts> {
    layout.over.as_ref().map(|over| key_parts(&over.insulation, layout.deck.as_ref(), whole))
}

fn key_parts(insulation: &InsulationLayout, below: Option<&DeckLayout>, whole: (Length, Length)) -> KeyParts {
    let whole_ones = insulation.pieces.iter().filter(|p| is_whole(p, whole)).count();
    let shades = whole_ones > 0 && whole_ones < insulation.pieces.len();
    KeyParts::of([shades, below.is_some_and(|deck| !deck.joints.is_empty())])
}

/// Whether a piece is a whole board.
pub fn is_whole(piece: &InsulationPiece, whole: (Length, Length)) -> bool {
    (piece.length, piece.width) == whole && piece.rings.len() == 1 && piece.rings[0].len() == 4
}

fn sheet(
    frame: PlanScale,
    shape: &RoofShape,
    insulation: &InsulationLayout,
    below: Option<&DeckLayout>,
    whole: (Length, Length),
    space: Space,
) -> Drawing {
    let mut sheet = Drawing::default();
    let rings = |piece: &InsulationPiece| piece.rings.iter().map(|r| frame.ring(r)).collect::<Vec<_>>();
    for piece in &insulation.pieces {
        sheet.area(rings(piece), Some(fill(is_whole(piece, whole))), None);
    }
    for joint in below.iter().flat_map(|d| &d.joints) {
        sheet.line(&[frame.at(joint.from), frame.at(joint.to)], dashes(Ink::Grey(0.55), 0.5, 3.0, 3.0));
    }
    // What lies beneath hides no line of what lies over it.
    for piece in &insulation.pieces {
        sheet.area(rings(piece), None, Some(pen(Ink::Black, 1.0)));
    }
    outline(&mut sheet, frame, shape);
    let pieces = insulation.pieces.iter().filter_map(|p| {
        let fill = fill(is_whole(p, whole));
        let size = (!is_whole(p, whole) && is_square(&p.rings)).then_some((p.length, p.width));
        Some(NamedPiece { ring: frame.ring(p.rings.first()?), mark: &p.mark, size, fill })
    });
    let lost = piece_names(&mut sheet, &pieces.collect::<Vec<_>>());
    let mut notes = space.key.notes(key_parts(insulation, below, whole), &KEY);
    notes.extend(lost_words(&lost));
    plan_scale::foot(&mut sheet, frame, space, &[], &notes);
    sheet
}
