//! The deck's lines of the take-off, and their workings.
//!
//! Given a laid deck; gives quantities that can be followed down to rows and pieces. The area is the deck's own: less
//! than the roof's by the gaps at walls, chimneys and pipes.

use super::line::{Line, Need, Step, Unit};
use super::noggin_lines;
use super::working::{result, sum};
use crate::geometry::segment::distance;
use crate::model::lift::{FilterColumn, close_lift};
use crate::model::products::{Board, BoardEdge, Products};
use crate::model::shape::DeckAction;
use crate::model::words::plural;
use crate::model::{Length, LineId, Role, Roof, Rules};
use crate::rule;
use crate::takeoff::layout::deck::ripped_first_row;
use crate::takeoff::layout::deck::support::carried_beside;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{BoardPiece, DeckLayout};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// Lines and needs of one roof's deck. Lines that come to nothing are left out.
pub fn deck_lines(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: &Board,
    deck: &DeckLayout,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let overlaid = roof.deck.action == DeckAction::Overlay;
    let boarding = if overlaid { WorkKind::OverlayDeck } else { WorkKind::NewDeck };
    let line = |(id, work): (LineId, WorkKind), item: String, quantity, unit, working| Line {
        id,
        work,
        item,
        roof: Some(shape.name.clone()),
        quantity,
        unit,
        working,
    };
    let (area, working) = area_working(shape, rules);
    let area = line((LineId::DeckArea, boarding), "Deck, net".into(), area, Unit::SquareMetre, working);
    let boards = line(
        (LineId::DeckBoards, boarding),
        named(board),
        count(deck.boards),
        Unit::Each,
        boards_working(roof, rules, board, deck),
    );
    let (metres, working) = joints_working(deck);
    let joints = line((LineId::DeckJoints, boarding), "Joints between boards".into(), metres, Unit::Metre, working);
    let (metres, working) = noggins_working(shape, roof, rules, board, deck);
    let section = rules.noggin_section;
    let item = format!("Noggins {} × {}", section.thickness.as_mm(), section.width);
    let noggins = line((LineId::DeckNoggins, WorkKind::Noggins), item, metres, Unit::Metre, working);
    let (metres, working) = blocking_working(rules, deck);
    let item = "Blocking between deep firrings".into();
    let blocking = line((LineId::FirringBlocking, WorkKind::Firrings), item, metres, Unit::Metre, working);
    let ends = noggin_lines::end_screws("noggins", deck.noggins.len(), rules);
    let screwed = result(&ends);
    let screwed =
        line((LineId::NogginFixings, WorkKind::Noggins), "Screws for noggins".into(), screwed, Unit::Each, ends);
    let fixings = line(
        (LineId::DeckFixings, boarding),
        if overlaid { "Screws for boards over the old deck" } else { "Nails or screws for the new deck" }.into(),
        count(deck.fixings),
        Unit::Each,
        fixings_working(rules, deck),
    );
    let screw = products.old_deck_screw(board.thickness, rules);
    let into_boards = line(
        (LineId::OldDeckFixings, boarding),
        format!("Screws {screw} into the old boards"),
        count(deck.old_deck_fixings),
        Unit::Each,
        old_deck_working(rules, board, deck, screw),
    );
    let screws = if overlaid { Role::OverDeckFixings } else { Role::DeckFixings };
    let needs = [
        Need::of(Role::Board(board.key.clone()), &[&boards]),
        Need::of(screws, &[&fixings]),
        Need::of(Role::OldDeckFixings, &[&into_boards]).map(|need| need.sized(Some(screw))),
        Need::of(Role::FramingFixings, &[&screwed]),
    ];
    let lines = [area, boards, joints, noggins, blocking, screwed, fixings, into_boards];
    let lines = lines.into_iter().filter(|l| !l.quantity.is_zero());
    (lines.collect(), needs.into_iter().flatten().collect())
}

/// `Square-edged boards 11 mm (2440 × 1220 mm)`: boards by how their long edges meet, and their sizes.
pub fn named(board: &Board) -> String {
    format!("{} {} ({} × {})", edged(board.edge), board.thickness, board.length.as_mm(), board.width)
}

/// Boards by how their long edges meet.
const fn edged(edge: BoardEdge) -> &'static str {
    match edge {
        BoardEdge::TongueAndGroove => "Tongued boards",
        BoardEdge::Square => "Square-edged boards",
    }
}

/// How much is cut off a board to end it on a joist, where boards are laid joist to joist.
pub fn cut_back(roof: &Roof, board: &Board, deck: &DeckLayout) -> Option<Length> {
    let over = board.length.as_mm() % roof.joists.spacing.as_mm();
    let jointed = deck.joints.iter().any(|j| j.end_joint);
    (over != 0 && jointed).then_some(Length::mm(over))
}

fn count(n: usize) -> Decimal {
    Decimal::from(n as u64)
}

fn measured(what: impl Into<String>, value: Decimal, unit: Unit) -> Step {
    Step::Measured { what: what.into(), value, unit }
}

/// Area of the boards as they lie, m², less the gaps at walls, chimneys and pipes; with its working.
pub fn area_working(shape: &RoofShape, rules: &Rules) -> (Decimal, Vec<Step>) {
    let net = shape.area.square_metres();
    let deck = shape.deck_region(rules).area().square_metres();
    let steps = vec![
        measured("roof, net of holes", net, Unit::SquareMetre),
        Step::Rule { name: "wall_gap", value: rules.wall_gap.to_string() },
        Step::Rule { name: "pipe_gap", value: rules.pipe_gap.to_string() },
        measured("gaps at walls, chimneys and pipes", net - deck, Unit::SquareMetre),
        Step::Formula { formula: format!("{net} m2 − {} m2", net - deck), result: deck, unit: Unit::SquareMetre },
    ];
    (deck, steps)
}

fn boards_working(roof: &Roof, rules: &Rules, board: &Board, deck: &DeckLayout) -> Vec<Step> {
    let rows = deck.pieces.iter().map(|p| p.row).max().map_or(0, |r| r + 1);
    let in_row = |r: usize| deck.pieces.iter().filter(|p| p.row == r).count();
    let mut steps: Vec<Step> =
        (0..rows).map(|r| measured(format!("pieces in row {}", r + 1), count(in_row(r)), Unit::Each)).collect();
    if let Some(first) = ripped_first_row(deck) {
        steps.push(Step::Rule { name: "narrowest_row", value: rules.narrowest_row.to_string() });
        steps.push(Step::Note(format!(
            "the first row is ripped to {first} along its outer edge, so that no row is narrower than the rule"
        )));
    }
    steps.push(Step::Rule { name: "board_kerf", value: rules.board_kerf.to_string() });
    if rules.board_kerf > Length::ZERO && deck.joints.iter().any(|j| j.end_joint) {
        steps.push(Step::Note(
            "an end that meets another board on a joist may be so much short: the joist bears it".into(),
        ));
    }
    let reused = deck.pieces.len() - deck.boards;
    steps.push(measured("pieces cut from offcuts of boards already opened", count(reused), Unit::Each));
    steps.push(Step::Rule { name: "shortest_board", value: format!("{} joist spaces", rules.shortest_board) });
    steps.push(Step::Formula {
        formula: format!("{} − {reused}", plural(deck.pieces.len(), "piece", "pieces")),
        result: count(deck.boards),
        unit: Unit::Each,
    });
    steps.push(Step::Note(proof_words(deck)));
    steps.push(Step::Note(format!(
        "{} to cut, a splay or a notch counting one a side",
        plural(deck.cuts, "cut", "cuts")
    )));
    let shortest = roof.joists.spacing * i64::from(rules.shortest_board);
    let short = short_pieces(deck, shortest);
    if short > 0 {
        let are = if short == 1 { "is" } else { "are" };
        steps.push(Step::Note(format!(
            "{} {are} shorter than {shortest}: the row gives no more",
            plural(short, "piece", "pieces")
        )));
    }
    if let Some(words) = small_pieces(deck, rules) {
        steps.push(Step::Note(words));
    }
    if let Some(lost) = cut_back(roof, board, deck) {
        steps.push(Step::Note(format!("boards are cut back by {lost} to end on a joist")));
    }
    steps.push(Step::Note(lifting(board, rules)));
    steps
}

/// `2 pieces are small, the smallest 74 × 590 mm (…): no joint and no first row that was tried avoids them`.
pub fn small_pieces(deck: &DeckLayout, rules: &Rules) -> Option<String> {
    let small = |p: &&BoardPiece| p.length < rules.shortest_end || p.length.min(p.width) < rules.least_board_piece;
    let count = deck.pieces.iter().filter(small).count();
    let least = deck.pieces.iter().filter(small).min_by_key(|p| (p.length.min(p.width), p.length.max(p.width)))?;
    Some(format!(
        "{} small, the smallest {} × {} ({}, {}): no joint and no first row that was tried avoids {}",
        if count == 1 { "1 piece is".into() } else { format!("{count} pieces are") },
        least.length,
        least.width,
        rule!(rules, shortest_end),
        rule!(rules, least_board_piece),
        if count == 1 { "it" } else { "them" }
    ))
}

/// Pieces shorter along the board than `shortest`.
fn short_pieces(deck: &DeckLayout, shortest: Length) -> usize {
    deck.pieces.iter().filter(|p| p.length < shortest).count()
}

fn proof_words(deck: &DeckLayout) -> String {
    let p = &deck.proof;
    if p.is_proven() {
        return format!(
            "proven: no layout does with fewer than {} ({})",
            plural(p.bound as usize, "board", "boards"),
            p.reason
        );
    }
    let gap = plural((p.found - p.bound) as usize, "board", "boards");
    format!("not proven: at least {} ({}); the gap is {gap}", plural(p.bound as usize, "board", "boards"), p.reason)
}

fn lifting(board: &Board, rules: &Rules) -> String {
    let mass = board.mass_by(rules);
    let by_rule = || format!("board_density {} kg/m3, EN 13986, from memory", rules.board_density);
    let from = if board.mass.is_some() { "the price book".to_owned() } else { by_rule() };
    let (men, women) = (close_lift(FilterColumn::Men), close_lift(FilterColumn::Women));
    let over = match () {
        () if mass > men => "over both filters: two people to a board",
        () if mass > women => "over the lower filter",
        () => "under both filters",
    };
    format!(
        "one board weighs about {} kg ({from}); lifting filters of HSE INDG143 close to the body, from memory and not safe \
         limits: {} kg men, {} kg women; {over}",
        mass.as_kg().round_dp(1).normalize(),
        men.as_kg(),
        women.as_kg()
    )
}

fn joints_working(deck: &DeckLayout) -> (Decimal, Vec<Step>) {
    let total = |end: bool| -> Length {
        deck.joints.iter().filter(|j| j.end_joint == end).map(|j| distance(j.from, j.to)).sum()
    };
    let (long, end) = (total(false).metres(), total(true).metres());
    let steps = vec![
        measured("long joints between rows", long, Unit::Metre),
        measured("end joints on joists", end, Unit::Metre),
        Step::Formula { formula: format!("{long} m + {end} m"), result: long + end, unit: Unit::Metre },
    ];
    (long + end, steps)
}

/// Blocking between deep firrings takes its hours with them: its timber and screws are the noggins'.
fn blocking_working(rules: &Rules, deck: &DeckLayout) -> (Decimal, Vec<Step>) {
    let lengths: Vec<Length> = deck.blocking().iter().map(|&(a, b)| distance(a, b)).collect();
    let total = lengths.iter().copied().sum::<Length>().metres();
    let steps = vec![
        Step::Rule { name: "firring_block", value: rules.firring_block.to_string() },
        Step::Rule { name: "firring_block_spacing", value: rules.firring_block_spacing.to_string() },
        sum("", &lengths.iter().map(|length| length.metres()).collect::<Vec<_>>(), Unit::Metre),
    ];
    (total, steps)
}

fn noggins_working(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: &Board,
    deck: &DeckLayout,
) -> (Decimal, Vec<Step>) {
    let lengths: Vec<Length> = deck.noggins.iter().map(|&(a, b)| distance(a, b)).collect();
    let mut sizes = lengths.clone();
    sizes.sort_unstable();
    sizes.dedup();
    let of = |size: Length| lengths.iter().filter(|&&l| l == size).count();
    let mut steps: Vec<Step> =
        sizes.iter().rev().map(|&s| measured(format!("noggins of {s}"), count(of(s)), Unit::Each)).collect();
    let terms: Vec<String> = sizes.iter().rev().map(|&s| format!("{} × {} m", of(s), s.metres())).collect();
    let total: Length = lengths.into_iter().sum();
    steps.push(Step::Note(format!(
        "under every edge of the deck that does not lie along a joist ({}){}; centre to centre of joists",
        rule!(rules, wall_gap),
        if board.edge == BoardEdge::Square { ", and under the long joints of square-edged boards" } else { "" }
    )));
    let blocks = deck.blocks;
    if blocks > 0 {
        steps.push(Step::Note(format!(
            "{} between firrings deeper than {}, in rows {} apart at most",
            plural(blocks, "of them is blocking", "of them are blocking"),
            rule!(rules, firring_block),
            rule!(rules, firring_block_spacing)
        )));
    }
    steps.extend(beside_words(&carried_beside(shape, roof, rules, board, deck), rules));
    steps.push(Step::Formula { formula: terms.join(" + "), result: total.metres(), unit: Unit::Metre });
    (total.metres(), steps)
}

/// `2 stretches of 11 and 16 mm take none: …`
fn beside_words(short: &[Length], rules: &Rules) -> Option<Step> {
    let longest = *short.last()?;
    let (take, their) = if short.len() == 1 { ("takes", "it") } else { ("take", "them") };
    Some(Step::Note(format!(
        "{} of edge, up to {longest} long, {take} none ({}): the joist or noggin beside {their} carries {their}",
        plural(short.len(), "short stretch", "short stretches"),
        rule!(rules, shortest_noggin)
    )))
}

fn fixings_working(rules: &Rules, deck: &DeckLayout) -> Vec<Step> {
    vec![
        Step::Rule { name: "deck_edge_fixing", value: rules.deck_edge_fixing.to_string() },
        Step::Rule { name: "deck_field_fixing", value: rules.deck_field_fixing.to_string() },
        measured("fixings at board ends and edges", count(deck.edge_fixings), Unit::Each),
        measured("fixings on joists under the boards", count(deck.fixings - deck.edge_fixings), Unit::Each),
        Step::Note(
            "for each piece, on each joist under it and on each edge with timber under it: length ÷ spacing rounded \
             up, plus one"
                .into(),
        ),
        Step::Formula {
            formula: format!("{} + {}", deck.edge_fixings, deck.fixings - deck.edge_fixings),
            result: count(deck.fixings),
            unit: Unit::Each,
        },
    ]
}

/// The screws of edges that no joist carries: through them nothing may come out below, where a ceiling or cables may be.
fn old_deck_working(rules: &Rules, board: &Board, deck: &DeckLayout, screw: Length) -> Vec<Step> {
    vec![
        Step::Rule { name: "deck_edge_fixing", value: rules.deck_edge_fixing.to_string() },
        Step::Rule { name: "old_deck", value: rules.old_deck.to_string() },
        Step::Rule { name: "old_deck_bite", value: rules.old_deck_bite.to_string() },
        Step::Note(format!(
            "{} of board and {} of old boards at least: a screw of {screw} holds {} in these and does not come out below",
            board.thickness,
            rules.old_deck,
            screw - board.thickness
        )),
        measured("fixings at edges that no joist carries", count(deck.old_deck_fixings), Unit::Each),
        Step::Note("for each piece, on each such edge: length ÷ spacing rounded up, plus one".into()),
        Step::Formula {
            formula: deck.old_deck_fixings.to_string(),
            result: count(deck.old_deck_fixings),
            unit: Unit::Each,
        },
    ]
}
