//! The lines of what a warm roof has over its deck: insulation, vapour layer, edge timber and the board on top.
//!
//! Given the pieces as laid; gives their lines and needs. Edge timber stands along drip and raised edges only.

use super::line::{Line, Need, Step, Unit};
use super::sundries::{pieces_of, screws};
use super::working::{formula, line as positive_line, measured, offcuts, result, rule, sum};
use super::{deck_lines, insulation_lines};
use crate::model::{Length, LineId, Products, Role, Roof, Rules};
use crate::takeoff::layout::edge_cuts::{EdgeCuts, is_timbered};
use crate::takeoff::layout::over_deck::{height_of, screwed_through};
use crate::takeoff::layout::shape::{RoofShape, Side};
use crate::takeoff::layout::{DeckLayout, OverDeck};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The sides that edge timber stands along, with their places in the outline.
fn timbered(shape: &RoofShape) -> impl Iterator<Item = (usize, &Side)> {
    shape.sides.iter().enumerate().filter(|(_, side)| is_timbered(side))
}

/// Its screws along each piece, down into the deck.
fn edge_screws(shape: &RoofShape, cuts: &EdgeCuts, rules: &Rules) -> Option<Line> {
    let rows = timbered(shape).flat_map(|(at, side)| {
        cuts.along(at, side.run, 1)
            .into_iter()
            .map(move |pieces| (pieces_of(&side.label, &pieces), screws(&pieces, rules)))
    });
    let (names, screws): (Vec<String>, Vec<Decimal>) = rows.unzip();
    let along = names.into_iter().zip(&screws);
    let along = along.map(|(of, n)| measured(format!("screws along {of}"), *n, Unit::Each));
    let steps = std::iter::once(rule("batten_fixing", rules.batten_fixing)).chain(along);
    let working: Vec<Step> = steps.chain([sum("", &screws, Unit::Each)]).collect();
    let id = (LineId::EdgeTimberFixings, WorkKind::EdgeTimber);
    positive_line(id, "Screws for edge timber", Some(&shape.name), Unit::Each, working)
}

/// Timber as high as the insulation along every drip and raised edge: trims and boards are fixed to it, since nothing
/// holds in insulation. A wall, a kerb and a step have timber or masonry of their own.
fn edge_timber(shape: &RoofShape) -> Option<Line> {
    let sides: Vec<&Side> = timbered(shape).map(|(_, side)| side).collect();
    let runs: Vec<Decimal> = sides.iter().map(|s| s.run.metres()).collect();
    let mut working: Vec<Step> =
        sides.iter().map(|s| measured(format!("{} run", s.label), s.run.metres(), Unit::Metre)).collect();
    working.push(sum("", &runs, Unit::Metre));
    positive_line(
        (LineId::EdgeTimber, WorkKind::EdgeTimber),
        "Edge timber as high as the insulation",
        Some(&shape.name),
        Unit::Metre,
        working,
    )
}

/// The lines of what lies over one roof's deck, and what must be bought for it.
///
/// `cuts` says what its edge timber is cut to, and how much is bought over its run and waste.
pub fn lines(
    shape: &RoofShape,
    roof: &Roof,
    over: &OverDeck,
    cuts: &EdgeCuts,
    (rules, products): (&Rules, &Products),
) -> (Vec<Line>, Vec<Need>) {
    let Some(board) = roof.warm().and_then(|b| b.insulation.as_ref()) else { return (Vec::new(), Vec::new()) };
    let (mut lines, mut needs) = insulation_lines::lines(shape, &over.insulation, board, &over.vapour, rules);
    if let Some(timber) = edge_timber(shape) {
        let size = Some(height_of([Some(&board.sheet)]));
        let id = (LineId::EdgeTimberWaste, WorkKind::EdgeTimber);
        let lost = offcuts(timber.quantity, cuts.more, rules);
        let waste = positive_line(id, "Edge timber lost in cutting", Some(&shape.name), Unit::Metre, lost);
        let bought: Vec<&Line> = std::iter::once(&timber).chain(&waste).collect();
        needs.extend(Need::of(Role::EdgeTimber, &bought).map(|n| n.sized(size)));
        lines.push(timber);
        lines.extend(waste);
        let screws = edge_screws(shape, cuts, rules);
        needs.extend(screws.as_ref().and_then(|l| Need::of(Role::TimberFixings, &[l])));
        lines.extend(screws);
    }
    if let Some(overlay) = &over.overlay {
        let (_, working) = deck_lines::area_working(shape, rules);
        let net = line(shape, LineId::OverlayArea, "Boarding over the insulation, net", working);
        let area = Line { unit: Unit::SquareMetre, ..net };
        let working = boards_working(overlay, over.overlay_near, rules);
        let boards = line(shape, LineId::OverlayBoards, "Boards over the insulation", working);
        let screw = screw_of(roof, (rules, products));
        let fixings = fixings(shape, (roof, overlay), over.sawn_screws, (rules, products));
        needs.extend(Need::of(Role::Board(overlay.board.clone()), &[&boards]));
        needs.extend(Need::of(Role::OverlayFixings, &[&fixings]).map(|n| n.sized(screw)));
        lines.extend([area, boards, fixings]);
    }
    (lines, needs)
}

/// The screws through the insulation, those at the days' lines among them.
pub fn fixings(
    shape: &RoofShape,
    (roof, overlay): (&Roof, &DeckLayout),
    sawn: usize,
    (rules, products): (&Rules, &Products),
) -> Line {
    let item = match screw_of(roof, (rules, products)) {
        Some(length) => format!("Screws {length} through the insulation"),
        None => "Screws through the insulation".to_owned(),
    };
    let thick = screwed_through(roof, rules).unwrap_or_default();
    line(shape, LineId::OverlayFixings, &item, fixings_working(overlay, thick, sawn, rules))
}

/// How long they are, where the price book says.
pub fn screw_of(roof: &Roof, (rules, products): (&Rules, &Products)) -> Option<Length> {
    products.overlay_screw_through(screwed_through(roof, rules).unwrap_or_default(), rules)
}

fn line(shape: &RoofShape, id: LineId, item: &str, working: Vec<Step>) -> Line {
    let (quantity, work) = (result(&working), WorkKind::BoardOver);
    Line { id, work, item: item.into(), roof: Some(shape.name.clone()), quantity, unit: Unit::Each, working }
}

fn boards_working(overlay: &DeckLayout, too_near: Length, rules: &Rules) -> Vec<Step> {
    let whole = overlay.pieces.iter().filter(|p| p.whole).count();
    let cut = overlay.boards - whole;
    vec![
        measured("pieces in the layout", overlay.pieces.len().into(), Unit::Each),
        Step::Rule { name: "layer_stagger", value: rules.layer_stagger.to_string() },
        Step::Note(insulation_lines::stagger_words(too_near, "the deck's", rules)),
        Step::Note(format!("no plan does with fewer than {}: {}", overlay.proof.bound, overlay.proof.reason)),
        measured("whole boards", whole.into(), Unit::Each),
        measured("boards cut into pieces", cut.into(), Unit::Each),
        formula(format!("{whole} each + {cut} each"), overlay.boards.into(), Unit::Each),
    ]
}

fn fixings_working(overlay: &DeckLayout, thick: Length, sawn: usize, rules: &Rules) -> Vec<Step> {
    let (edge, field) = (overlay.edge_fixings, overlay.fixings - overlay.edge_fixings);
    let each = |what: &str, count: usize| measured(what, count.into(), Unit::Each);
    let mut working = vec![
        Step::Rule { name: "deck_edge_fixing", value: rules.deck_edge_fixing.to_string() },
        each("at board ends and edges", edge),
        Step::Rule { name: "deck_field_fixing", value: rules.deck_field_fixing.to_string() },
        each("on joists under the boards", field),
        Step::Rule { name: "timber_bite", value: rules.timber_bite.to_string() },
        Step::Note(format!(
            "at least {} long: {thick} through board, insulation and deck, {} into joist or firring; ask the maker too",
            thick + rules.timber_bite,
            rules.timber_bite
        )),
    ];
    let mut terms = format!("{edge} each + {field} each");
    if sawn > 0 {
        working.push(each("more on both sides of cuts at the days' lines", sawn));
        terms += &format!(" + {sawn} each");
    }
    working.push(formula(terms, (overlay.fixings + sawn).into(), Unit::Each));
    working
}
