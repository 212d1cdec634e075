//! The mat plan: the strips of one layer, numbered in the order in which they are laid.
//!
//! Given a roof's layout; gives a figure for each layer. Laps are shaded; strips reach past the outline where the mat is
//! carried up or over an edge. Where the pots are known, each strip says which pot wets it.

use super::Space;
use super::deck_plan::{around, edge_names};
use super::frame::{Frame, fitted, scale_bar};
use super::labels;
use super::sheet::{Quad, Sheet, Way, go, part, pen, spot};
use crate::documents::block::Figure;
use crate::documents::scene::{Anchor, Ink};
use crate::documents::wording;
use crate::programme::pots::PotPlan;
use crate::takeoff::layout::{MatPiece, RoofLayout};
use crate::takeoff::shape::RoofShape;

/// Draws the mat of one roof, a figure a layer.
pub fn draw(layout: &RoofLayout, pots: Option<&PotPlan>, space: Space) -> Vec<Figure> {
    let layers = layout.mat.pieces.iter().map(|p| p.layer + 1).max().unwrap_or(0);
    (0..layers).map(|layer| one(layout, pots, layer, layers, space)).collect()
}

/// `pot 3`, or `pots 4 to 6` for a strip that is shared among several; empty where no pot is known.
fn pots_of(pots: Option<&PotPlan>, roof: &str, mark: &str) -> String {
    let lays = |p: &&crate::programme::pots::Pot| p.parts.iter().any(|part| part.roof == roof && part.mark == mark);
    let numbers: Vec<u32> = pots.iter().flat_map(|p| &p.pots).filter(lays).map(|p| p.number).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("pot {one}"),
        [first, .., last] => format!("pots {first} to {last}"),
    }
}

fn one(layout: &RoofLayout, pots: Option<&PotPlan>, layer: usize, layers: usize, space: Space) -> Figure {
    let pots = |piece: &MatPiece| pots_of(pots, &layout.shape.name, &piece.mark);
    let mut pieces: Vec<&MatPiece> = layout.mat.pieces.iter().filter(|p| p.layer == layer).collect();
    pieces.sort_by_key(|p| p.order);
    let name = &layout.shape.name;
    let which = if layers > 1 { format!(", layer {} of {layers}", layer + 1) } else { String::new() };
    Figure {
        scene: fitted(space, &layout.shape, |frame| sheet(frame, &layout.shape, &pieces, &pots, space.width)),
        caption: format!("{name}: mat {} g/m²{which}. Lay in the order of the big numbers.", layout.mat.weight),
        alt: format!(
            "Mat of {name}{which}: {}, laid in the order {}.",
            wording::plural(pieces.len(), "strip", "strips"),
            wording::list(&pieces.iter().map(|p| p.mark.clone()).collect::<Vec<_>>())
        ),
    }
}

fn sheet(
    frame: Frame,
    shape: &RoofShape,
    pieces: &[&MatPiece],
    pots: &impl Fn(&MatPiece) -> String,
    width: f64,
) -> Sheet {
    let mut sheet = Sheet::default();
    for piece in pieces {
        sheet.area(vec![frame.ring(&piece.ring)], Some(Ink::White), Some(pen(Ink::Grey(0.4), 0.7)));
    }
    // A second strip over the first shows as a darker band: the lap.
    for (a, b) in pieces.iter().zip(pieces.iter().skip(1)) {
        lap(&mut sheet, frame, a, b);
    }
    let outline = frame.ring(&shape.ring());
    sheet.area(vec![outline.clone()], None, Some(pen(Ink::Black, 1.5)));
    for hole in &shape.holes {
        let ring = frame.ring(&hole.ring);
        sheet.take(around(&ring, 1.0));
        sheet.area(vec![ring], None, Some(pen(Ink::Black, 1.2)));
    }
    way_off(&mut sheet, frame, shape);
    for piece in pieces {
        number(&mut sheet, frame, piece, pots(piece));
    }
    let reach = pieces.iter().flat_map(|p| frame.ring(&p.ring)).collect::<Vec<_>>();
    edge_names(&mut sheet, frame, shape, &outline, 5.0 + past(&outline, &reach));
    foot(&mut sheet, frame, shape, width);
    sheet
}

/// How far the strips reach past the outline's box, pt.
fn past(outline: &[crate::documents::scene::Spot], reach: &[crate::documents::scene::Spot]) -> f64 {
    if reach.is_empty() {
        return 0.0;
    }
    let ((ol, oh), (rl, rh)) = (labels::box_of(outline), labels::box_of(reach));
    [ol.x - rl.x, ol.y - rl.y, rh.x - oh.x, rh.y - oh.y].into_iter().fold(0.0, f64::max)
}

/// Shades the ground that two neighbouring strips share.
fn lap(sheet: &mut Sheet, frame: Frame, a: &MatPiece, b: &MatPiece) {
    let ((al, ah), (bl, bh)) = (labels::box_of(&frame.ring(&a.ring)), labels::box_of(&frame.ring(&b.ring)));
    let (low, high) = (spot(al.x.max(bl.x), al.y.max(bl.y)), spot(ah.x.min(bh.x), ah.y.min(bh.y)));
    if low.x < high.x && low.y < high.y && a.ring.len() == 4 {
        let ring = vec![low, spot(high.x, low.y), high, spot(low.x, high.y)];
        sheet.area(vec![ring], Some(Ink::Grey(0.8)), Some(pen(Ink::Grey(0.4), 0.5)));
    }
}

fn number(sheet: &mut Sheet, frame: Frame, piece: &MatPiece, pots: String) {
    let ring = frame.ring(&piece.ring);
    let middle = labels::middle_of(&ring);
    let size = format!("{} × {}", piece.length.as_mm(), piece.width.as_mm());
    let full = [(piece.mark.clone(), true), (size.clone(), false), (pots.clone(), false)];
    let one_line = [(piece.mark.clone(), true), (format!("{size}, {pots}"), false)];
    let (full, one_line) = if pots.is_empty() { (&full[..2], &full[..2]) } else { (&full[..], &one_line[..]) };
    let placed = labels::put_inside(sheet, &ring, middle, full, 10.0)
        || labels::put_inside(sheet, &ring, middle, one_line, 9.0)
        || labels::put_inside(sheet, &ring, middle, &full[..1], 9.0);
    if !placed {
        sheet.write(spot(middle.x, middle.y + 2.0), &piece.mark, 6.0, true, Anchor::Middle, 0.0, true);
    }
}

fn way_off(sheet: &mut Sheet, frame: Frame, shape: &RoofShape) {
    let Some(side) = shape.sides.get(shape.way_off) else { return };
    let (a, b) = (frame.at(side.from), frame.at(side.to));
    let out = Way::between(a, b).right();
    let foot = go(part(a, b, 0.75), out, -2.0);
    sheet.line(&[go(foot, out, -20.0), go(foot, out, -7.0)], pen(Ink::Black, 3.0));
    sheet.tip(foot, out, 9.0, Ink::Black);
    sheet.take(Quad::about(go(foot, out, -10.0), out, 22.0, 10.0));
}

fn foot(sheet: &mut Sheet, frame: Frame, shape: &RoofShape, width: f64) {
    let (low, high) = sheet.bounds();
    let mut notes = vec!["Grey bands: laps, the later strip on top.".to_owned()];
    if let Some(side) = shape.sides.get(shape.way_off) {
        notes.push(format!("Thick arrow: your way off, at {}. Never lay yourself in.", side.label));
    }
    let after = super::lines::key(sheet, spot(low.x, high.y + 8.0), width - 20.0, &[], &notes);
    scale_bar(sheet, frame, spot(low.x + 2.0, after.y + 3.0));
}
