//! What is told of joists and decks: where they are seen, where air passes, and where the rows of a deck begin,
//! and what is cut out of a board.
//!
//! Given what was worked; gives words for the templates, and the side at which row 1 is laid, roof by roof where they differ.

use super::super::words::Vocabulary;
use super::super::{WholeJob, edge_words, wording};
use crate::checks::boards::sides_without_joists;
use crate::geometry::region::{Bounds, Region, bounds_of};
use crate::geometry::ring::sides;
use crate::geometry::segment::distance;
use crate::model::shape::{DeckAction, JoistRun};
use crate::model::{Finish, Length, Point, Roof};
use crate::takeoff::layout::joist_ends::joist_ends;
use crate::takeoff::layout::{BoardPiece, DeckLayout, RoofLayout};
use crate::works::WorkKind;
use std::collections::BTreeSet;

/// What the templates may say of joists and of decks that stay: where the joists are seen, where the old boards lie on them,
/// and on which of both a fall is measured that nobody makes.
pub(super) fn vocabulary(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let (job, works) = (worked.job, &worked.take_off.works);
    let of = |is: &dyn Fn(&Roof) -> bool| job.roofs.iter().filter(|roof| is(roof)).collect::<Vec<_>>();
    let names = |roofs: &[&Roof]| wording::list(&roofs.iter().map(|roof| roof.name.clone()).collect::<Vec<_>>());
    let some_only = |roofs: &[&Roof]| (!roofs.is_empty() && roofs.len() < job.roofs.len()).then(|| names(roofs));
    let (bare, staying) = (of(&is_bare), of(&|roof| !is_bare(roof)));
    let bare_laid = || job.roofs.iter().zip(&worked.take_off.roofs).filter(|(roof, _)| is_bare(roof));
    let falls = |bare: bool| {
        let mut all = job.roofs.iter().enumerate();
        all.any(|(i, roof)| is_bare(roof) == bare && works.has_on(WorkKind::KeepFalls, i))
    };
    v.yes("joists_seen", !bare.is_empty())
        .yes("joists_fall", bare_laid().any(|(roof, laid)| !is_along_the_level(roof, laid)))
        .yes("joists_level", bare_laid().any(|(roof, laid)| is_along_the_level(roof, laid)))
        .maybe("joists_at", some_only(&bare))
        .yes("joist_ends_at_wall", joists_end_at_wall(worked))
        .texts("joistless", &joistless(worked))
        .yes("decks_stay", !staying.is_empty())
        .maybe("decks_at", some_only(&staying))
        .text("overlaid", names(&of(&|roof| roof.deck.action == DeckAction::Overlay)))
        .maybe("old_deck_screws", old_deck_screws(worked))
        .maybe("board_kerf", Some(worked.rules.board_kerf).filter(|k| *k > Length::ZERO).map(|k| k.to_string()))
        .text("old_deck", worked.rules.old_deck.to_string())
        .yes("fall_on_joists", falls(true))
        .yes("fall_on_deck", falls(false))
        .yes("measured_roofs", worked.take_off.roofs.len() > 1)
        .texts("diagonals", &diagonals(worked))
        .texts("vents", &vents(worked));
}

/// The screws that hold edges of boards in an old deck: `25 mm`; with their boards where there are several.
fn old_deck_screws(worked: &WholeJob<'_>) -> Option<String> {
    let of = |laid: &RoofLayout| {
        let deck = laid.deck.as_ref().filter(|deck| deck.old_deck_fixings > 0)?;
        let board = worked.products.boards.get(&deck.board)?.thickness;
        Some((board, worked.products.old_deck_screw(board, worked.rules)))
    };
    let screws: BTreeSet<(Length, Length)> = worked.take_off.roofs.iter().filter_map(of).collect();
    let told = |(board, screw): &(Length, Length)| match screws.len() {
        1 => screw.to_string(),
        _ => format!("{screw} (boards of {board})"),
    };
    (!screws.is_empty()).then(|| wording::list(&screws.iter().map(told).collect::<Vec<_>>()))
}

/// Whether the joists lie bare when the deck is laid: those under an old deck nobody sees.
fn is_bare(roof: &Roof) -> bool {
    roof.deck.action == DeckAction::New
}

/// The edges along the joists with none under them, which boards, trims and gutter would hang on: with their roof where there
/// are several, once for all roofs that have the same.
fn joistless(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = &worked.take_off.roofs;
    let names = wording::without_what_all_say(&roofs.iter().map(|laid| laid.shape.name.as_str()).collect::<Vec<_>>());
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for (laid, name) in roofs.iter().zip(&names) {
        let sides = laid.deck.iter().flat_map(|deck| sides_without_joists(&laid.shape, deck));
        let words = wording::list(&sides.map(|side| side.label.clone()).collect::<Vec<_>>());
        match all.iter_mut().find(|(known, _)| *known == words) {
            _ if words.is_empty() => {}
            Some((_, of)) => of.push(name.clone()),
            None => all.push((words, vec![name.clone()])),
        }
    }
    let told = |(words, of): (String, Vec<String>)| match of.as_slice() {
        [_] if roofs.len() == 1 => words,
        [name] => format!("{name}, {words}"),
        of => match wording::those_of(of, &names) {
            Some(names) => format!("{words}, on {names}"),
            None => format!("{words}, on every roof"),
        },
    };
    all.into_iter().map(told).collect()
}

/// Whether the joists of a roof run across its fall, so that each of them lies level.
fn is_along_the_level(roof: &Roof, laid: &RoofLayout) -> bool {
    let up = laid.shape.uphill;
    let along = if roof.joists.run == JoistRun::FrontToBack { up.y } else { up.x };
    along.abs() < LEVEL
}

/// Joists that fall by less than this share of the roof's fall are called level.
const LEVEL: f64 = 0.1;

/// Whether joists that lie bare end at a wall.
fn joists_end_at_wall(worked: &WholeJob<'_>) -> bool {
    let ends = |(roof, laid): (&Roof, &RoofLayout)| {
        is_bare(roof) && joist_ends(&laid.shape, roof.joists.run).shut.iter().any(|s| s.finish == Finish::Wall)
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).any(ends)
}

/// The diagonals of each roof of four corners that is no rectangle, as they are laid out: of a rectangle both are alike.
fn diagonals(worked: &WholeJob<'_>) -> Vec<String> {
    let several = worked.take_off.roofs.len() > 1;
    let of = |roof: &RoofLayout| {
        let [a, b, c, d] = <[Point; 4]>::try_from(roof.shape.ring()).ok()?;
        let square = distance(a, b).as_mm().abs_diff(distance(c, d).as_mm()) <= SQUARE
            && distance(a, c).as_mm().abs_diff(distance(b, d).as_mm()) <= SQUARE;
        let name = if several { format!("{}, d", roof.shape.name) } else { "D".to_owned() };
        let (rising, falling) = (distance(a, c), distance(b, d));
        (!square)
            .then(|| format!("{name}iagonals: front left to back right {rising}, front right to back left {falling}"))
    };
    worked.take_off.roofs.iter().filter_map(of).collect()
}

/// What is no further out than this, mm, is measured as a rectangle.
const SQUARE: u64 = 2;

/// Where the continuous vents go, roof by roof, and whether air finds a way from one to the other.
fn vents(worked: &WholeJob<'_>) -> Vec<String> {
    let roofs = || worked.job.roofs.iter().zip(&worked.take_off.roofs);
    let vented = |laid: &RoofLayout| worked.take_off.works.has_on(WorkKind::Vents, laid.shape.index);
    let several = worked.job.roofs.len() > 1;
    let words = |(roof, laid): (&Roof, &RoofLayout)| {
        let ends = joist_ends(&laid.shape, roof.joists.run);
        let name = if several { format!("{}, ", laid.shape.name) } else { String::new() };
        let (open, shut) = (edge_words::names(&ends.open), edge_words::names(&ends.shut));
        if ends.shut.is_empty() {
            return format!("{name}at {open}, with a clear way over the insulation from one to the other");
        }
        format!(
            "{name}at {open} alone, the insulation kept clear of it. At {shut} the joists end at a wall or another roof: \
             the air has no second way out there. Ring if nobody has settled how it gets out"
        )
    };
    roofs().filter(|(_, laid)| vented(laid)).map(words).collect()
}

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

/// `1600 × 590 less 1000 × 330 at back left`, `1200 × 590 at left, 540 at right`: the rectangle of a board, how it tapers, what is
/// cut out of it round openings and at which of its sides. Round a pipe only the plan tells.
pub(super) fn board_size(piece: &BoardPiece, along_x: bool) -> String {
    let ring = &piece.rings[0];
    let sizes = [piece.length, piece.width].map(Length::as_mm);
    let [long, wide] = match tapers(ring, along_x) {
        Some(ends) => [0, 1].map(|n| tapered(sizes[n], ends[n], (n == 0) != along_x)),
        None => sizes.map(|size| size.to_string()),
    };
    format!("{long} × {wide}{}", cut_outs(&piece.rings, along_x))
}

/// `590 at left, 540 at right`: how much a board has there at its one side and at its other; from left to right where `across` says
/// so, else from front to back.
fn tapered(size: i64, [first, second]: [i64; 2], across: bool) -> String {
    let [near, far] = if across { ["left", "right"] } else { ["front", "back"] };
    match (first - second).abs() {
        0..=ROUNDED => size.to_string(),
        _ => format!("{first} at {near}, {second} at {far}"),
    }
}

/// Corners are whole millimetres: sides that differ by so little, mm, are of one length.
const ROUNDED: i64 = 2;

/// How long the sides of a board of four corners are: along it, the one nearer to the plan's foot or left first, and across it.
fn tapers(ring: &[Point], along_x: bool) -> Option<[[i64; 2]; 2]> {
    let placed = |p: &Point| if along_x { (p.x, p.y) } else { (p.y, p.x) };
    let ring: Vec<(i64, i64)> = ring.iter().map(placed).collect();
    if ring.len() != 4 {
        return None;
    }
    let all = (0..4).map(|n| (ring[n], ring[(n + 1) % 4]));
    let (long, wide): (Vec<_>, Vec<_>) = all.partition(|(a, b)| (a.0 - b.0).abs() > (a.1 - b.1).abs());
    let sizes = |mut of: Vec<((i64, i64), (i64, i64))>, along: bool| -> Option<[i64; 2]> {
        of.sort_by_key(|(a, b)| if along { a.1 + b.1 } else { a.0 + b.0 });
        let size = |&(a, b): &((i64, i64), (i64, i64))| if along { (a.0 - b.0).abs() } else { (a.1 - b.1).abs() };
        of.iter().map(size).collect::<Vec<_>>().try_into().ok()
    };
    Some([sizes(long, true)?, sizes(wide, false)?])
}

/// ` less 1000 × 330 at back left`, ` less 900 × 550 at back, 1400 from left`: what is cut out of the rectangle of a board round openings,
/// along the board and across it, at which of its sides, and how far from one where it reaches neither.
pub(super) fn cut_outs(rings: &[Vec<Point>], along_x: bool) -> String {
    let board = Region::of_rings(rings.iter().map(Vec::as_slice));
    let Some(whole) = board.bounds() else { return String::new() };
    let gone = Region::of_box(whole.least, whole.most).subtract(&board);
    let told = |ring: &Vec<Point>| {
        let square = ring.len() == 4 && sides(ring).all(|(a, b)| a.x == b.x || a.y == b.y);
        let Bounds { least, most } = bounds_of(ring.iter().copied()).filter(|_| square)?;
        let (wide, tall) = (most.x - least.x, most.y - least.y);
        let (long, wide) = if along_x { (wide, tall) } else { (tall, wide) };
        let touches = [
            (least.y == whole.least.y, most.y == whole.most.y, "front", "back"),
            (least.x == whole.least.x, most.x == whole.most.x, "left", "right"),
        ];
        let at = touches.into_iter().filter_map(|(low, high, near, far)| match (low, high) {
            (true, false) => Some(near),
            (false, true) => Some(far),
            _ => None,
        });
        let at: Vec<&str> = at.collect();
        let at = if at.is_empty() { String::new() } else { format!(" at {}", at.join(" ")) };
        let within = [
            (least.y - whole.least.y, most.y == whole.most.y, "front"),
            (least.x - whole.least.x, most.x == whole.most.x, "left"),
        ];
        let within = within.into_iter().filter(|(from, reaches, _)| *from > 0 && !reaches);
        let from: String = within.map(|(from, _, side)| format!(", {from} from {side}")).collect();
        Some(format!(" less {long} × {wide}{at}{from}"))
    };
    gone.polygons().iter().filter_map(|polygon| told(&polygon[0])).collect()
}

/// The size of a whole insulation board of a roof.
pub(super) fn whole_insulation(worked: &WholeJob<'_>, layout: &RoofLayout) -> Option<(Length, Length)> {
    let board = worked.job.roofs.get(layout.shape.index)?.build_up.as_ref()?.insulation.as_ref()?;
    Some((board.length, board.width))
}

/// The pieces that are cut out of a board: of the whole ones the plan says enough.
pub(super) fn cut_boards(deck: &DeckLayout) -> impl Iterator<Item = &BoardPiece> {
    deck.pieces.iter().filter(|piece| !piece.whole)
}
