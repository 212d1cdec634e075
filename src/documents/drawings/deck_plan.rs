//! The deck plan: every board with its number, the joists and noggins under it, and the joints.
//!
//! Given a roof's layout; gives a figure, or none where the old deck stays. Cut boards are shaded, whole ones are not. The
//! board over a warm roof's insulation is drawn the same way.

use super::Space;
use super::frame::{Frame, fitted, scale_bar};
use super::labels::{self, EdgeLabel};
use super::sheet::{Quad, Sheet, Way, dashes, part, pen, spot};
use crate::documents::block::Figure;
use crate::documents::scene::{Anchor, Ink, Spot};
use crate::documents::wording;
use crate::model::Length;
use crate::takeoff::layout::{BoardPiece, DeckLayout, RoofLayout};
use crate::takeoff::shape::RoofShape;

/// Draws the deck of one roof.
pub fn draw(layout: &RoofLayout, space: Space) -> Option<Figure> {
    let deck = layout.deck.as_ref()?;
    let boards = wording::plural(deck.boards, "board", "boards");
    Some(Figure {
        scene: fitted(space, &layout.shape, |frame| sheet(frame, &layout.shape, deck, space.width)),
        caption: format!("{}: deck, {boards}. Lay in the order of the numbers.", layout.shape.name),
        alt: format!(
            "Deck of {}: {} cut from {boards}. The list of boards gives the same pieces in words.",
            layout.shape.name,
            wording::plural(deck.pieces.len(), "piece", "pieces")
        ),
    })
}

/// Draws the board over the insulation of one roof; none where there is no insulation.
pub fn draw_overlay(layout: &RoofLayout, space: Space) -> Option<Figure> {
    let overlay = layout.over.as_ref()?.overlay.as_ref()?;
    let boards = wording::plural(overlay.boards, "board", "boards");
    Some(Figure {
        scene: fitted(space, &layout.shape, |frame| sheet(frame, &layout.shape, overlay, space.width)),
        caption: format!("{}: board over the insulation, {boards}. Screw to the joists.", layout.shape.name),
        alt: format!(
            "Board over the insulation of {}: {} cut from {boards}. The list of boards gives the same pieces in words.",
            layout.shape.name,
            wording::plural(overlay.pieces.len(), "piece", "pieces")
        ),
    })
}

fn sheet(frame: Frame, shape: &RoofShape, deck: &DeckLayout, width: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for piece in &deck.pieces {
        let rings = piece.rings.iter().map(|r| frame.ring(r)).collect();
        let fill = if piece.whole { Ink::White } else { Ink::Grey(0.9) };
        sheet.area(rings, Some(fill), Some(pen(Ink::Black, 0.8)));
    }
    for (a, b) in &deck.joists {
        sheet.line(&[frame.at(*a), frame.at(*b)], dashes(Ink::Grey(0.6), 0.5, 4.0, 3.0));
    }
    for (a, b) in &deck.noggins {
        sheet.line(&[frame.at(*a), frame.at(*b)], dashes(Ink::Grey(0.3), 1.6, 1.6, 1.6));
    }
    outline(&mut sheet, frame, shape);
    for piece in &deck.pieces {
        name(&mut sheet, frame, piece);
    }
    foot(&mut sheet, frame, width, !deck.noggins.is_empty());
    sheet
}

/// The roof's outline and holes, with the names of its edges outside.
pub fn outline(sheet: &mut Sheet, frame: Frame, shape: &RoofShape) {
    let ring = frame.ring(&shape.ring());
    sheet.area(vec![ring.clone()], None, Some(pen(Ink::Black, 1.5)));
    for hole in &shape.holes {
        let hole_ring = frame.ring(&hole.ring);
        if let [a, b, c, d] = hole_ring.as_slice() {
            sheet.line(&[*a, *c], pen(Ink::Grey(0.5), 0.5));
            sheet.line(&[*b, *d], pen(Ink::Grey(0.5), 0.5));
        }
        sheet.take(around(&hole_ring, 1.0));
        sheet.area(vec![hole_ring], None, Some(pen(Ink::Black, 1.2)));
    }
    edge_names(sheet, frame, shape, &ring, 4.0);
}

/// The names of the edges, outside the outline.
pub fn edge_names(sheet: &mut Sheet, frame: Frame, shape: &RoofShape, ring: &[Spot], off: f64) {
    let low = |i: usize| if shape.low_sides.contains(&i) { " (low)" } else { "" };
    let label = |(i, s): (usize, &crate::takeoff::shape::Side)| EdgeLabel {
        from: frame.at(s.from),
        to: frame.at(s.to),
        parts: vec![format!("{}{}", wording::capital(&s.label), low(i))],
        off,
        inside: false,
    };
    let names: Vec<EdgeLabel> = shape.sides.iter().enumerate().map(label).collect();
    labels::place(sheet, ring, &names);
}

fn name(sheet: &mut Sheet, frame: Frame, piece: &BoardPiece) {
    if let Some(ring) = piece.rings.first() {
        piece_name(sheet, &frame.ring(ring), &piece.mark, (piece.length, piece.width));
    }
}

/// Number and size of a piece, as large as there is room for inside it.
pub fn piece_name(sheet: &mut Sheet, ring: &[Spot], mark: &str, (length, width): (Length, Length)) {
    let size = format!("{} × {}", length.as_mm(), width.as_mm());
    let middle = labels::middle_of(ring);
    let full = [(mark.to_owned(), true), (size, false)];
    let placed = labels::put_inside(sheet, ring, middle, &full, 9.0)
        || labels::put_inside(sheet, ring, middle, &full, 7.0)
        || labels::put_inside(sheet, ring, middle, &full[..1], 8.5)
        || labels::put_inside(sheet, ring, middle, &full[..1], 5.5);
    if !placed {
        sheet.write(spot(middle.x, middle.y + 1.4), mark, 4.5, true, Anchor::Middle, 0.0, true);
    }
}

fn foot(sheet: &mut Sheet, frame: Frame, width: f64, noggins: bool) {
    let (low, high) = sheet.bounds();
    let mut notes = vec!["White: whole board. Grey: cut board. Broken lines: joist centres.".to_owned()];
    if noggins {
        notes.push("Dotted thick lines: noggins to fix before the boards.".to_owned());
    }
    let after = super::lines::key(sheet, spot(low.x, high.y + 8.0), width - 20.0, &[], &notes);
    scale_bar(sheet, frame, spot(low.x + 2.0, after.y + 3.0));
}

/// The level box round a ring, with so much air on each side.
pub fn around(ring: &[Spot], air: f64) -> Quad {
    let (low, high) = labels::box_of(ring);
    let (width, height) = (high.x - low.x + 2.0 * air, high.y - low.y + 2.0 * air);
    Quad::about(part(low, high, 0.5), Way { x: 1.0, y: 0.0 }, width, height)
}
