//! What the installer should know about the boards of a deck.
//!
//! Given a laid deck; gives warnings: a board over the lifting filter, boards cut back to a joist where another ends on one, a last row that is very
//! narrow, an edge without a joist, a roof so large that it moves. Whether a board is thick enough is asked when the job is read.

use crate::geometry::segment::distance_to_segment;
use crate::model::lift::{FilterColumn, close_lift};
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Area, Length, Point, Problem, Products, Roof, Rules, Warned};
use crate::rule;
use crate::takeoff::layout::DeckLayout;
use crate::takeoff::layout::deck::edge_joists::FOR_A_JOIST;
use crate::takeoff::layout::deck::row_widths;
use crate::takeoff::layout::shape::{RoofShape, Side, Turn};
use crate::takeoff::quantities::deck_lines::{cut_back, small_pieces};

/// What the installer should know: a board over the lifting filter, boards cut back to a joist, a last row that is very
/// narrow.
pub fn deck_notices(
    (roof, deck): (&Roof, &DeckLayout),
    rules: &Rules,
    board: &Board,
    products: &Products,
) -> Vec<Problem> {
    let at = |key: &'static str| roof.path.key(key);
    let mut out = Vec::new();
    let (mass, men, women) = (board.mass_by(rules), close_lift(FilterColumn::Men), close_lift(FilterColumn::Women));
    if mass > men {
        out.push(Problem::warning(
            Warned::Board,
            at("deck.board"),
            format!(
                "one board weighs about {} kg, over the {} kg lifting filter of HSE INDG143 ({} kg for \
                 women; a filter, not a safe limit)",
                mass.as_kg().round_dp(1).normalize(),
                men.as_kg(),
                women.as_kg()
            ),
            "plan for two people to a board, and hand boards up with care",
        ));
    }
    out.extend(too_far(roof, board));
    // Where no board that is sold ends on these joists there is nothing to decide: its working says what is cut off.
    let ends_on_joists =
        |other: &&Board| other.thickness == board.thickness && other.length.as_mm() % roof.joists.spacing.as_mm() == 0;
    let lost = cut_back(roof, board, deck).zip(products.boards.values().find(ends_on_joists));
    if let Some((lost, other)) = lost {
        out.push(Problem::warning(
            Warned::Board,
            at("joists.spacing"),
            format!(
                "boards {} long do not end on joists {} apart: {lost} is cut off each",
                board.length, roof.joists.spacing
            ),
            format!(
                "choose `{}`, {} long, which ends on them; or check the spacing: where it is right, the plan allows for the cut",
                other.key, other.length
            ),
        ));
    }
    let rows = row_widths(deck);
    if let Some(&last) = rows.last().filter(|&&w| w < rules.narrowest_row) {
        out.push(Problem::warning(
            Warned::Board,
            at("deck.board"),
            format!("the last row of boards is only {last} wide"),
            format!(
                "choose another board, or turn the joists: no first row makes every other at least {}",
                rule!(rules, narrowest_row)
            ),
        ));
    }
    out.extend(small(roof, rules, deck));
    out
}

/// How far apart joists may stand under a deck of boards so thick, in mm: common practice for OSB/3 and plywood on flat roofs
/// (from memory); thinner boards are told when the job is read.
const SPANS: [(i64, i64); 3] = [(22, 610), (18, 600), (15, 450)];

/// Joists that stand too far apart for the board.
fn too_far(roof: &Roof, board: &Board) -> Option<Problem> {
    let (thick, spacing) = (board.thickness.as_mm(), roof.joists.spacing.as_mm());
    let (_, most) = *SPANS.iter().find(|(least, _)| thick >= *least)?;
    let enough = SPANS.iter().rev().find(|(_, most)| spacing <= *most);
    let cure = match enough {
        Some((least, _)) => {
            format!("choose a board of {least} mm or more, or put joists between; the board maker's span table decides")
        }
        None => "put joists between, or lay what whoever answers for the structure says; check the figure first".into(),
    };
    (roof.deck.action == DeckAction::New && spacing > most).then(|| {
        let fault = format!(
            "`{}` is {thick} mm thick, which joists {most} mm apart carry, and these stand {spacing} mm apart: it sags between \
             them, and the laminate cracks over its joints",
            board.key
        );
        Problem::warning(Warned::Board, roof.path.keys(["deck", "board"]), fault, cure)
    })
}

/// Pieces of board that are too small to span joists.
fn small(roof: &Roof, rules: &Rules, deck: &DeckLayout) -> Option<Problem> {
    small_pieces(deck, rules).map(|words| {
        Problem::warning(
            Warned::Board,
            roof.path.keys(["deck", "board"]),
            format!("boards of {}: {words}", roof.name),
            "carry every edge of such a piece on a noggin, or move an opening or an edge by what is missing",
        )
    })
}

/// Edges along the joists with no joist under them: what carries the boards there bears on nothing itself.
pub fn edges_without_joists(roof: &Roof, shape: &RoofShape, deck: &DeckLayout) -> Vec<Problem> {
    let across = |p: Point| if deck.along_x { p.x } else { p.y };
    let told = |side: &Side| {
        let off = deck.joists.iter().map(|&(a, _)| (across(a) - across(side.from)).abs()).min()?;
        let fault = format!(
            "no joist lies along `{}` of {}, the nearest {} from it: noggins that bear on nothing carry the boards there",
            side.label,
            roof.name,
            Length::mm(off)
        );
        let cure = match roof.deck.action {
            DeckAction::New if roof.joists.section.is_none() => {
                "say where the last joist lies (`last:`), or where the first does (`first:`); else say how deep they are \
                 (`section: 47 × 170 mm`), and one is ordered and set along that edge"
            }
            _ => {
                "say where the last joist lies (`last:`), or where the first does (`first:`); else set one along that edge"
            }
        };
        Some(Problem::warning(Warned::Board, roof.path.key("joists"), fault, cure))
    };
    sides_without_joists(shape, deck).filter_map(told).collect()
}

/// The sides along the joists under which none lies. Stretches of one straight edge count together.
pub fn sides_without_joists<'a>(shape: &'a RoofShape, deck: &'a DeckLayout) -> impl Iterator<Item = &'a Side> {
    // How much of a side noggins carry that run along it: one of them may lie under several stretches.
    let carried =
        move |side: &Side| -> Length { deck.noggins.iter().filter_map(|noggin| along(deck, side, *noggin)).sum() };
    let goes_on = |i: &usize| shape.corners.get(*i).is_some_and(|corner| corner.turn == Turn::Straight);
    let bare = move |(i, side): &(usize, &Side)| {
        let before = (1..=*i).rev().take_while(goes_on).map(|i| i - 1);
        let after = (i + 1..shape.sides.len()).take_while(goes_on);
        let others: Length = before.chain(after).map(|i| carried(&shape.sides[i])).sum();
        let own = carried(side);
        own > Length::ZERO && own + others >= FOR_A_JOIST
    };
    shape.sides.iter().enumerate().filter(bare).map(|(_, side)| side)
}

/// Whether a noggin lies along one of those sides, which are sought once, and so is borne by nothing.
pub fn hanging<'a>(shape: &'a RoofShape, deck: &'a DeckLayout) -> impl Fn((Point, Point)) -> bool + use<'a> {
    let bare: Vec<&Side> = sides_without_joists(shape, deck).collect();
    move |noggin| bare.iter().any(|side| along(deck, side, noggin).is_some())
}

/// How much of a side a noggin carries that runs along it, and along the joists.
fn along(deck: &DeckLayout, side: &Side, (a, b): (Point, Point)) -> Option<Length> {
    let along_x = deck.along_x;
    let along = |p: Point| if along_x { p.y } else { p.x };
    let across = |p: Point| if along_x { p.x } else { p.y };
    let (low, high) = (along(side.from).min(along(side.to)), along(side.from).max(along(side.to)));
    let (from, to) = (along(a).min(along(b)).max(low), along(a).max(along(b)).min(high));
    let at = |v: i64| if along_x { Point::new(a.x, v) } else { Point::new(v, a.y) };
    let on = |v: i64| distance_to_segment(at(v), side.from, side.to) <= ON_SIDE;
    (across(a) == across(b) && from < to && on(from) && on(to)).then_some(Length::mm(to - from))
}

/// How far from its side the boards' edge may lie, mm: the gap at a wall, and rounding.
const ON_SIDE: f64 = 61.0;

/// Large areas move.
pub fn movement(roof: &Roof, area: Area, rules: &Rules) -> Option<Problem> {
    let area = area.square_metres();
    (area > rules.movement_area).then(|| {
        Problem::warning(
            Warned::Movement,
            roof.path.key("outline"),
            format!("{} is {:.1} m2 in one piece; large areas move with heat and cold", roof.name, area.round_dp(1)),
            format!(
                "ask the maker of the resin about a movement joint (the rule movement_area is {} m2; practice varies \
                 from 50 to 100)",
                rules.movement_area.normalize()
            ),
        )
    })
}
