//! What lies between the deck and the laminate of a warm roof: vapour layer, insulation and the board over it.
//!
//! Given a roof's shape, its deck and its build-up; gives the pieces, their lines and what they need bought. The
//! laminate then lies on the board over the insulation, so that its joints, not the deck's, are bandaged. No joint
//! stands over one of the layer beneath where that can be helped.

use super::shape::RoofShape;
use super::{DeckLayout, Joint, OverDeck, deck, insulation, stagger};
use crate::geometry::ring::sides;
use crate::model::build_up::{BuildUp, MaterialLayer};
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::words::once;
use crate::model::{Area, Length, Point, Problem, Products, Roof, Rules};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeSet;

/// Lays what a warm roof has over its deck; `None` for a cold roof, or one whose build-up is not given. The board over
/// the insulation is laid first of all, so that the insulation between can keep off both.
///
/// # Errors
/// A board over the insulation that does not suit the joists.
pub fn lay(
    shape: &RoofShape,
    roof: &Roof,
    deck: Option<&DeckLayout>,
    rules: &Rules,
    products: &Products,
) -> Result<Option<OverDeck>, Vec<Problem>> {
    let Some(build_up) = roof.warm() else { return Ok(None) };
    let Some(board) = &build_up.insulation else { return Ok(None) };
    let below = deck.map(stagger::of_deck).unwrap_or_default();
    let overlay = overlay_board(build_up, products).map(|b| lay_overlay(shape, roof, b, &below, rules)).transpose()?;
    let around: Vec<Joint> = below.iter().copied().chain(overlay.iter().flat_map(stagger::of_deck)).collect();
    let vapour = build_up.vapour.as_ref().map(|v| insulation::lay_vapour(shape, v, board, rules));
    Ok(Some(OverDeck {
        insulation: insulation::lay_boards_off(shape, board, &around, rules),
        vapour: vapour.unwrap_or_default(),
        overlay_near: overlay.as_ref().map_or(Length::ZERO, |o| near(o, &below, rules)),
        overlay,
        sawn_screws: 0,
    }))
}

fn near(overlay: &DeckLayout, below: &[Joint], rules: &Rules) -> Length {
    stagger::too_near(&stagger::of_deck(overlay), below, rules.layer_stagger)
}

/// Lays the board over the insulation in rows as a deck is. Where its joints would lie over the deck's, the first row is
/// ripped instead, to a third, a half or two thirds of a board more or less than it would be; where a line between rows misses
/// the side of an opening by a little, by that much more or less. Of these the one with the fewest slivers, then with the least of
/// its joints too near, then with the fewest boards, then with the fewest slight notches; but none that takes more boards than the
/// rule allows for it. The board lies on insulation: no noggins are wanted.
fn lay_overlay(
    shape: &RoofShape,
    roof: &Roof,
    board: &Board,
    below: &[Joint],
    rules: &Rules,
) -> Result<DeckLayout, Vec<Problem>> {
    let mut screwed = roof.clone();
    screwed.deck.action = DeckAction::Overlay;
    screwed.deck.board = Some(board.key.clone());
    let usual = deck::lay_deck(shape, &screwed, rules, board)?;
    let most = usual.boards + rules.stagger_boards as usize;
    let starts = if near(&usual, below, rules) > Length::ZERO { other_starts(&usual, board) } else { Vec::new() };
    let laid_from = |first: Length| deck::lay_deck_from(shape, &screwed, rules, board, Some(first)).ok();
    let frame = deck::DeckFrame::of(shape, &screwed);
    let mut tried: Vec<DeckLayout> = starts.into_iter().filter_map(laid_from).collect();
    let shifted: Vec<Length> = tried.iter().chain([&usual]).flat_map(|d| past_notches(d, &frame, board)).collect();
    tried.extend(once(shifted).into_iter().filter_map(laid_from));
    let slivers = |d: &DeckLayout| d.pieces.iter().filter(|p| p.width < rules.narrowest_row).count();
    let cost = |d: &DeckLayout| (slivers(d), near(d, below, rules), d.boards, notches(d, &frame).len());
    let tried = tried.into_iter().filter(|d| d.boards <= most);
    let mut best = tried.fold(usual, |best, d| if cost(&d) < cost(&best) { d } else { best });
    best.noggins.clear();
    Ok(best)
}

/// Widths of a first row that shift all later joints across the boards by a third, a half and two thirds of one.
fn other_starts(usual: &DeckLayout, board: &Board) -> Vec<Length> {
    let width = board.width.as_mm();
    let first = deck::ripped_first_row(usual).unwrap_or(board.width).as_mm();
    [width / 2, width / 3, 2 * width / 3].map(|by| Length::mm((first + by - 1).rem_euclid(width) + 1)).into()
}

/// A notch that is cut no deeper than this across a board is a line between rows that misses the side of an opening, mm
/// (common practice, no source).
const SLIGHT_NOTCH: i64 = 20;

/// The slight notches of a board's pieces: how far the line between rows would go, with the rows or against them, to spare each.
fn notches(laid: &DeckLayout, frame: &deck::DeckFrame) -> Vec<i64> {
    let of_piece = |rings: &Vec<Vec<Point>>| {
        let places: BTreeSet<i64> = rings.iter().flatten().map(|&p| frame.inside(p).y).collect();
        let (low, high) = (places.first().copied().unwrap_or_default(), places.last().copied().unwrap_or_default());
        let slight = |by: &i64| *by != 0 && by.abs() <= SLIGHT_NOTCH;
        // Of what runs along the row: the rounding round a pipe is none.
        let level = rings.iter().flat_map(|ring| sides(ring)).map(|(a, b)| (frame.inside(a), frame.inside(b)));
        let level = level.filter(|(a, b)| a.y == b.y && (a.x - b.x).abs() > SLIGHT_NOTCH).map(|(a, _)| a.y);
        level.flat_map(|v| [v - low, v - high]).filter(slight).collect::<Vec<_>>()
    };
    laid.pieces.iter().flat_map(|p| of_piece(&p.rings)).collect()
}

/// Widths of a first row from which the lines between rows meet what they miss by a little.
fn past_notches(laid: &DeckLayout, frame: &deck::DeckFrame, board: &Board) -> Vec<Length> {
    let first = deck::ripped_first_row(laid).unwrap_or(board.width).as_mm();
    let firsts = once(notches(laid, frame)).into_iter().map(|by| first + by);
    firsts.filter(|first| (1..=board.width.as_mm()).contains(first)).map(Length::mm).collect()
}

/// The old boards that the laminate of a roof lies on: its deck is kept, and no board comes over it.
pub fn old_boards(shape: &RoofShape, roof: &Roof) -> Option<Area> {
    let covered = roof.build_up.as_ref().is_some_and(|b| b.overlay.is_some());
    (roof.deck.action == DeckAction::Keep && !covered).then_some(shape.area)
}

/// The board over the insulation, by the name of its layer.
pub fn overlay_board<'a>(build_up: &BuildUp, products: &'a Products) -> Option<&'a Board> {
    build_up.overlay.as_ref().and_then(|sheet| products.boards.get(&sheet.name))
}

/// What the screws of a warm roof pass before they come to the timber under it, up to whole millimetres: board, insulation,
/// deck, and the old boards under a deck that overlays them. `None` where no board lies over the insulation.
pub fn screwed_through(roof: &Roof, rules: &Rules) -> Option<Length> {
    let build_up = roof.warm()?;
    let (overlay, insulation) = (build_up.overlay.as_ref()?, build_up.insulation.as_ref()?);
    let old = if roof.deck.action == DeckAction::Overlay { rules.old_deck } else { Length::ZERO };
    Some(height_of([Some(overlay), Some(&insulation.sheet), Some(&build_up.deck)]) + old)
}

/// How much higher the roof becomes by what lies over its deck, up to whole millimetres.
pub fn height(roof: &Roof) -> Length {
    let Some(build_up) = roof.warm() else { return Length::ZERO };
    height_of([build_up.insulation.as_ref().map(|i| &i.sheet), build_up.overlay.as_ref()])
}

/// How high some layers are together, up to whole millimetres.
pub fn height_of<const N: usize>(sheets: [Option<&MaterialLayer>; N]) -> Length {
    let mm: Decimal = sheets.into_iter().flatten().map(|s| s.thickness.as_mm()).sum();
    Length::mm(mm.ceil().to_i64().unwrap_or(0))
}
