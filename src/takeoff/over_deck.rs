//! What lies between the deck and the laminate of a warm roof: vapour layer, insulation and the board over it.
//!
//! Given a roof's shape and its build-up; gives the pieces, their lines and what they need bought. The laminate then
//! lies on the board over the insulation, so that its joints, not the deck's, are bandaged.

use super::layout::DeckLayout;
use super::line::{Line, Need, Step, Unit};
use super::shape::RoofShape;
use super::working::{formula, measured};
use super::{deck, insulation};
use crate::model::build_up::{BuildUp, RoofKind};
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Length, Problem, Products, Roof, Rules};
use insulation::{InsulationLayout, VapourStrip};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What is laid over the deck.
#[derive(Debug, Clone, PartialEq)]
pub struct OverDeck {
    /// The insulation boards.
    pub insulation: InsulationLayout,
    /// The vapour layer; empty where there is none.
    pub vapour: Vec<VapourStrip>,
    /// The board over the insulation.
    pub overlay: Option<DeckLayout>,
}

/// Lays what a warm roof has over its deck; `None` for a cold roof, or one whose build-up is not given.
///
/// # Errors
/// A board over the insulation that does not suit the joists.
pub fn lay(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    products: &Products,
) -> Result<Option<OverDeck>, Vec<Problem>> {
    let Some(build_up) = warm(roof) else { return Ok(None) };
    let Some(board) = &build_up.insulation else { return Ok(None) };
    let vapour = build_up.vapour.as_ref().map(|v| insulation::lay_vapour(shape, v, board, rules));
    let overlay = overlay_board(build_up, products).map(|b| {
        let mut screwed = roof.clone();
        screwed.deck.action = DeckAction::Overlay;
        screwed.deck.board = Some(b.key.clone());
        deck::lay_deck(shape, &screwed, rules, b)
    });
    Ok(Some(OverDeck {
        insulation: insulation::lay_boards(shape, board, rules),
        vapour: vapour.unwrap_or_default(),
        overlay: overlay.transpose()?,
    }))
}

fn warm(roof: &Roof) -> Option<&BuildUp> {
    roof.build_up.as_ref().filter(|b| b.kind == RoofKind::Warm)
}

/// The board over the insulation, by the name of its layer.
pub fn overlay_board<'a>(build_up: &BuildUp, products: &'a Products) -> Option<&'a Board> {
    build_up.overlay.as_ref().and_then(|sheet| products.boards.get(&sheet.name))
}

/// How much higher the roof becomes by what lies over its deck, up to whole millimetres.
pub fn height(roof: &Roof) -> Length {
    let Some(build_up) = warm(roof) else { return Length::ZERO };
    let sheets = [build_up.insulation.as_ref().map(|i| &i.sheet), build_up.overlay.as_ref()];
    let mm: Decimal = sheets.into_iter().flatten().map(|s| s.thickness.as_mm()).sum();
    Length::mm(mm.ceil().to_i64().unwrap_or(0))
}

/// The lines of what lies over one roof's deck, and what must be bought for it.
pub fn lines(shape: &RoofShape, roof: &Roof, over: &OverDeck, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let Some(board) = warm(roof).and_then(|b| b.insulation.as_ref()) else { return (Vec::new(), Vec::new()) };
    let (mut lines, mut needs) = insulation::lines(shape, &over.insulation, board, &over.vapour, rules);
    if let Some(overlay) = &over.overlay {
        let boards = line(shape, "overlay.boards", "Boards over the insulation", boards_working(overlay));
        let fixings = line(shape, "overlay.fixings", "Screws through the insulation", fixings_working(overlay, rules));
        needs.push(need(format!("board.{}", overlay.board), &boards));
        needs.push(need("fixings.overlay".into(), &fixings));
        lines.extend([boards, fixings]);
    }
    (lines, needs)
}

fn line(shape: &RoofShape, id: &str, item: &str, working: Vec<Step>) -> Line {
    let quantity = super::working::result(&working);
    Line { id: id.into(), item: item.into(), roof: Some(shape.name.clone()), quantity, unit: Unit::Each, working }
}

fn need(role: String, line: &Line) -> Need {
    Need { role, size: None, quantity: line.quantity, unit: line.unit, lines: vec![line.id.clone()], optional: false }
}

fn boards_working(overlay: &DeckLayout) -> Vec<Step> {
    let whole = overlay.pieces.iter().filter(|p| p.whole).count();
    let cut = overlay.boards - whole;
    vec![
        measured("pieces in the layout", overlay.pieces.len().into(), Unit::Each),
        Step::Note(format!("no plan does with fewer than {}: {}", overlay.proof.bound, overlay.proof.reason)),
        measured("whole boards", whole.into(), Unit::Each),
        measured("boards cut into pieces", cut.into(), Unit::Each),
        formula(format!("{whole} each + {cut} each"), overlay.boards.into(), Unit::Each),
    ]
}

fn fixings_working(overlay: &DeckLayout, rules: &Rules) -> Vec<Step> {
    let (edge, field) = (overlay.edge_fixings, overlay.fixings - overlay.edge_fixings);
    vec![
        Step::Rule { name: "deck_edge_fixing", value: rules.deck_edge_fixing.to_string() },
        measured("at board ends and edges", edge.into(), Unit::Each),
        Step::Rule { name: "deck_field_fixing", value: rules.deck_field_fixing.to_string() },
        measured("on joists under the boards", field.into(), Unit::Each),
        Step::Note("long enough to reach through board, insulation and deck into the joists: ask the maker".into()),
        formula(format!("{edge} each + {field} each"), overlay.fixings.into(), Unit::Each),
    ]
}
