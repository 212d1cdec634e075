//! The mat plan: the strips of one layer, numbered in the order in which they are laid.
//!
//! Given a roof's layout; gives a figure for each layer. Laps are shaded; strips reach past the outline where the mat is
//! carried up or over an edge. Where the pots are known, each strip says which pot wets it.

use super::deck_plan::{around, edge_names};
use super::drawing::{Drawing, Quad, Way, go, part, pen, spot};
use super::labels;
use super::one_key::{KeyParts, PlanKey};
use super::plan_scale::{self, PlanScale, fitted};
use super::{LABEL_SIZE, LEAST_SIZE, Space};
use crate::documents::wording;
use crate::pages::block::Figure;
use crate::pages::scene::{Ink, Spot};
use crate::programme::pots::PotPlan;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{MatPiece, RoofLayout};

/// Draws the mat of one roof, a figure a layer.
pub fn draw(layout: &RoofLayout, pots: Option<&PotPlan>, space: Space) -> Vec<Figure> {
    let layers = layout.mat.pieces.iter().map(|p| p.layer + 1).max().unwrap_or(0);
    let key = |layer: usize| if layer == 0 { space.key } else { PlanKey::Before };
    (0..layers).map(|layer| one(layout, pots, layer, layers, Space { key: key(layer), ..space })).collect()
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
    let by_pots = pots.is_some_and(|plan| is_laid_by_pots(layout, plan));
    let pots = |piece: &MatPiece| pots_of(pots, &layout.shape.name, &piece.mark);
    let pieces = of_layer(layout, layer);
    let order = if by_pots { "the pots" } else { order(&pieces) };
    let name = &layout.shape.name;
    let which = if layers > 1 { format!(", layer {} of {layers}", layer + 1) } else { String::new() };
    Figure {
        scene: fitted(space, &layout.shape, |frame| sheet(frame, layout, &pieces, &pots, space)),
        caption: format!("{name}: mat {} g/m²{which}. Lay in the order of {}.", layout.mat.weight, order),
        alt: format!(
            "Mat of {name}{which}: {}, laid in the order {}.",
            wording::plural(pieces.len(), "strip", "strips"),
            wording::list(&pieces.iter().map(|p| p.mark.clone()).collect::<Vec<_>>())
        ),
    }
}

fn sheet(
    frame: PlanScale,
    layout: &RoofLayout,
    pieces: &[&MatPiece],
    pots: &impl Fn(&MatPiece) -> String,
    space: Space,
) -> Drawing {
    let shape = &layout.shape;
    let mut sheet = Drawing::default();
    for piece in pieces {
        sheet.area(vec![frame.ring(&piece.ring)], Some(Ink::White), Some(pen(Ink::Grey(0.4), 0.7)));
    }
    // A second strip over the first shows as a darker band: the lap.
    pieces.iter().zip(pieces.iter().skip(1)).for_each(|(a, b)| lap(&mut sheet, frame, a, b));
    let outline = frame.ring(&shape.ring());
    (0..outline.len()).for_each(|i| sheet.keep_clear(outline[i], outline[(i + 1) % outline.len()]));
    sheet.area(vec![outline.clone()], None, Some(pen(Ink::Black, 1.5)));
    for hole in &shape.holes {
        let ring = frame.ring(&hole.ring);
        sheet.take(around(&ring, 1.0));
        sheet.area(vec![ring], None, Some(pen(Ink::Black, 1.2)));
    }
    way_off(&mut sheet, frame, shape, layout.leaves_over_a_ladder().or_else(|| layout.leaves_at()));
    let left: Vec<&&MatPiece> =
        pieces.iter().filter(|p| !number(&mut sheet, &frame.ring(&p.ring), p, &pots(p))).collect();
    let named: Vec<(Vec<Spot>, String)> = left.into_iter().map(|p| (frame.ring(&p.ring), label(p))).collect();
    let left: Vec<(Vec<Spot>, &str)> = named.iter().map(|(ring, label)| (ring.clone(), label.as_str())).collect();
    let lost = labels::point_at_all(&mut sheet, &left);
    let reach = pieces.iter().flat_map(|p| frame.ring(&p.ring)).collect::<Vec<_>>();
    edge_names(&mut sheet, frame, shape, &outline, |_, along| 5.0 + past(&outline, &reach, along.right()));
    foot(&mut sheet, frame, shape, (space, key_parts(pieces), &lost));
    sheet
}

/// How far the strips reach past the outline's box on the sides to which a way out leads, pt.
fn past(outline: &[Spot], reach: &[Spot], out: Way) -> f64 {
    if reach.is_empty() {
        return 0.0;
    }
    let ((ol, oh), (rl, rh)) = (labels::box_of(outline), labels::box_of(reach));
    let sides = [(-out.x, ol.x - rl.x), (-out.y, ol.y - rl.y), (out.x, rh.x - oh.x), (out.y, rh.y - oh.y)];
    sides.into_iter().filter(|(leads, _)| *leads > 0.3).map(|(_, past)| past).fold(0.0, f64::max)
}

/// Shades the ground that two neighbouring strips share, and keeps words off it; false where they share none.
fn lap(sheet: &mut Drawing, frame: PlanScale, a: &MatPiece, b: &MatPiece) {
    if let Some((low, high)) = shared(frame, a, b) {
        let ring = vec![low, spot(high.x, low.y), high, spot(low.x, high.y)];
        sheet.take(around(&ring, 0.0));
        sheet.area(vec![ring], Some(Ink::Grey(0.8)), Some(pen(Ink::Grey(0.4), 0.5)));
    }
}

/// Two corners of what two strips share, where the first is a plain one.
fn shared(frame: PlanScale, a: &MatPiece, b: &MatPiece) -> Option<(Spot, Spot)> {
    let ((al, ah), (bl, bh)) = (labels::box_of(&frame.ring(&a.ring)), labels::box_of(&frame.ring(&b.ring)));
    let (low, high) = (spot(al.x.max(bl.x), al.y.max(bl.y)), spot(ah.x.min(bh.x), ah.y.min(bh.y)));
    (low.x < high.x && low.y < high.y && a.ring.len() == 4).then_some((low, high))
}

/// What the key may say.
const KEY: [&str; 1] = ["Grey bands: laps, the later strip on top."];

/// What the key of the mat of a roof says; none where no mat is laid.
pub fn key(layout: &RoofLayout) -> Option<KeyParts> {
    let layers = layout.mat.pieces.iter().map(|p| p.layer + 1).max()?;
    let laps = (0..layers).any(|layer| key_parts(&of_layer(layout, layer)) != KeyParts::default());
    Some(KeyParts::of([laps]))
}

/// Whether the pots tell the order of laying, and the numbers do not: where layers are laid day by day, a strip of the second
/// comes before a later one of the first.
pub fn is_laid_by_pots(layout: &RoofLayout, pots: &PotPlan) -> bool {
    let parts = pots.pots.iter().flat_map(|pot| &pot.parts).filter(|part| part.roof == layout.shape.name);
    let order = |mark: &str| layout.mat.pieces.iter().find(|p| p.mark == mark).map(|p| (p.layer, p.order));
    let laid: Vec<_> = parts.filter_map(|part| order(&part.mark)).collect();
    !laid.is_sorted()
}

/// What tells the order of laying: the numbers where they rise with it, else the list of strips.
fn order(pieces: &[&MatPiece]) -> &'static str {
    let rise = |a: &&MatPiece, b: &&MatPiece| (a.strip, &a.mark) < (b.strip, &b.mark);
    if pieces.is_sorted_by(rise) { "the bold numbers" } else { "the list of strips" }
}

fn key_parts(pieces: &[&MatPiece]) -> KeyParts {
    let mut neighbours = pieces.iter().zip(pieces.iter().skip(1));
    KeyParts::of([neighbours.any(|(a, b)| shared(PlanScale { of: 1.0 }, a, b).is_some())])
}

/// The strips of a layer, in the order in which they are laid.
fn of_layer(layout: &RoofLayout, layer: usize) -> Vec<&MatPiece> {
    let mut pieces: Vec<&MatPiece> = layout.mat.pieces.iter().filter(|p| p.layer == layer).collect();
    pieces.sort_by_key(|p| p.order);
    pieces
}

/// `6`, or `6 with 5` for a strip that is laid together with another.
fn label(piece: &MatPiece) -> String {
    match &piece.together {
        Some(with) => format!("{} with {with}", piece.mark),
        None => piece.mark.clone(),
    }
}

/// Number, size and pots of a strip inside it; false where no room is.
fn number(sheet: &mut Drawing, ring: &[Spot], piece: &MatPiece, pots: &str) -> bool {
    let middle = labels::middle_of(ring);
    let size = size_of(piece);
    let after = if pots.is_empty() { size.clone() } else { format!("{size}, {pots}") };
    let label = label(piece);
    let one_line = [(format!("{label}: {after}"), true)];
    let two = [(label.clone(), true), (after, false)];
    let three = [(label, true), (size, false), (pots.to_owned(), false)];
    let mut put = |lines: &[(String, bool)], size: f64| labels::put_inside(sheet, ring, middle, lines, size);
    (!pots.is_empty() && put(&three, 10.0))
        || put(&two, 9.0)
        || put(&two, 8.0)
        || (!pots.is_empty() && put(&three, 8.0))
        || put(&one_line, 8.0)
        || put(&one_line, LEAST_SIZE)
        || put(&two[..1], 9.0)
        || put(&two[..1], LABEL_SIZE)
        || put(&two[..1], LEAST_SIZE)
}

fn size_of(piece: &MatPiece) -> String {
    format!("{} × {}", piece.length.as_mm(), piece.width.as_mm())
}

/// At the ladder point, or at the end that is laid last, where there is one.
fn way_off(sheet: &mut Drawing, frame: PlanScale, shape: &RoofShape, leaves_at: Option<f64>) {
    let Some(side) = shape.sides.get(shape.way_off) else { return };
    let (a, b) = (frame.at(side.from), frame.at(side.to));
    let out = Way::between(a, b).right();
    let wanted = leaves_at.map_or(0.75, |at| at.clamp(0.1, 0.9));
    let foot = |at: f64| go(part(a, b, at), out, -2.0);
    let ground = |foot: Spot| Quad::about(go(foot, out, -10.0), out, 22.0, 10.0);
    // Beside a lap, which it would hide.
    let places =
        BESIDE_A_LAP.into_iter().flat_map(|by| [wanted + by, wanted - by]).map(|at| foot(at.clamp(0.05, 0.95)));
    let foot = places.into_iter().find(|foot| sheet.is_free(&ground(*foot))).unwrap_or_else(|| foot(wanted));
    sheet.line(&[go(foot, out, -20.0), go(foot, out, -7.0)], pen(Ink::Black, 3.0));
    sheet.tip(foot, out, 9.0, Ink::Black);
    sheet.take(ground(foot));
}

/// So much of the side the arrow stands at most from where it is wanted.
const BESIDE_A_LAP: [f64; 6] = [0.0, 0.04, 0.08, 0.12, 0.16, 0.2];

fn foot(sheet: &mut Drawing, frame: PlanScale, shape: &RoofShape, (space, own, lost): (Space, KeyParts, &[String])) {
    let mut notes = space.key.notes(own, &KEY);
    if let Some(side) = shape.sides.get(shape.way_off) {
        notes.push(format!("Thick arrow: your way off, {}. Never lay yourself in.", wording::at(&side.label)));
    }
    notes.extend(labels::lost_words(lost));
    plan_scale::foot(sheet, frame, space, &[], &notes);
}
