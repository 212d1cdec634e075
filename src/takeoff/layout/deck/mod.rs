//! The deck, board by board.
//!
//! Given the roof's shape, its joists and a board; gives every piece with its place on the roof and on the board that it
//! is cut from, the joints, noggins and fixings. Boards lie with the long side across the joists, in rows from the low
//! edge (from the left, looking up the fall, where the joists run across it); end joints stand on joists, never on the
//! joist where a neighbouring row has one. A joist's breadth is not known here: lengths are between centre-lines.

mod bound;
mod divide;
pub(crate) mod edge_joists;
mod exclude;
mod first_row;
mod frame;
mod parts;
mod rows;
pub(crate) mod sawn;
mod search;
mod stock;
pub(crate) mod support;

pub(crate) use self::frame::DeckFrame;
pub use self::frame::joist_lines;
pub use self::support::jointed;

use self::bound::BoundInput;
use self::divide::{DivisionLimits, Unwanted, Whole};
use self::rows::{BoardRow, RowPitch};
use self::search::{DeckPlan, better, lay};
use self::stock::BoardSize;
use super::shape::RoofShape;
use super::{BoardPiece, DeckLayout};
use crate::cutting::Proof;
use crate::geometry::region::Region;
use crate::geometry::ring::around;
use crate::model::products::{Board, BoardEdge};
use crate::model::{Length, Point, Problem, Roof, Rules};
use std::collections::BTreeMap;

/// Lays new boards, or boards over the old deck, on one roof.
///
/// # Errors
/// A board that does not suit the joists: none that reaches over the spaces that the rule asks for, joists that cannot
/// be right, a board without a size, or rows whose joints cannot be kept apart.
pub fn lay_deck(shape: &RoofShape, roof: &Roof, rules: &Rules, board: &Board) -> Result<DeckLayout, Vec<Problem>> {
    lay_deck_from(shape, roof, rules, board, None)
}

/// The same with a first row of a stated width, above nothing and no wider than a board.
///
/// # Errors
/// Those of [`lay_deck`].
pub fn lay_deck_from(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: &Board,
    first: Option<Length>,
) -> Result<DeckLayout, Vec<Problem>> {
    check_sizes(roof, board)?;
    let frame = DeckFrame::of(shape, roof);
    let on_roof = shape.deck_region(rules);
    let width = board.width.as_mm();
    let limits = limits(roof, rules, board);
    let cut = |frame: &DeckFrame, pitch: RowPitch| {
        let rings = on_lines(&turned(&on_roof, frame), frame, pitch);
        let deck = Region::of_rings(rings.iter().map(Vec::as_slice));
        (rows::rows(&deck, frame, board.length.as_mm(), pitch), deck.area().as_mm2())
    };
    let pitches: Vec<RowPitch> = match first {
        Some(first) => {
            let low = low(&turned(&on_roof, &frame));
            vec![RowPitch { low, first: first.as_mm().clamp(1, width), width }]
        }
        None => pitches(&turned(&on_roof, &frame), (board, shares_a_strip(roof, board)), rules),
    };
    // Of the first rows that leave no row narrow, the one that leaves least of what nobody wants.
    let mut best: Option<(Unwanted, RowPitch, (Vec<BoardRow>, i64))> = None;
    for pitch in pitches {
        let made = cut(&frame, pitch);
        let unwanted = least_unwanted(&made.0, &limits);
        if best.as_ref().is_none_or(|b| unwanted < b.0) {
            best = Some((unwanted, pitch, made));
        }
        if unwanted == Unwanted::default() {
            break;
        }
    }
    let (_, pitch, (rows, area)) = best.ok_or_else(|| vec![no_stagger(roof, board)])?;
    check_reach(&rows, roof, rules, board, &limits)?;
    let size = board_size(&rows, board, rules, &limits);
    let strict = BoundInput::new(&rows, &size, area, &limits, true).bound();
    let fewest = strict.boards as u32;
    let straight = lay(&rows, &size, &limits, fewest);
    // The search goes along the rows one way: what it makes of the deck in a mirror may be better.
    let mirrored = straight.as_ref().is_none_or(|p| p.unwanted != Unwanted::default() || p.boards > fewest);
    let mirrored = mirrored.then(|| cut(&frame.mirrored(), pitch).0);
    let in_mirror = mirrored.as_ref().and_then(|rows| lay(rows, &size, &limits, fewest));
    let as_seen = straight.as_ref().map(DeckPlan::rank);
    let plan = better(straight, in_mirror).ok_or_else(|| vec![no_stagger(roof, board)])?;
    let mirrored = mirrored.filter(|_| as_seen != Some(plan.rank()));
    let ground = |strict| BoundInput::new(&rows, &size, area, &limits, strict);
    // A layout with short pieces is bounded by what any layout takes.
    let none_short = plan.unwanted.short == 0;
    let ground = ground(none_short);
    let bound = if none_short { strict } else { ground.bound() };
    let bound = ground.raised(bound, i64::from(plan.boards));
    let proof = Proof { found: i64::from(plan.boards), bound: bound.boards, reason: bound.reason };
    let planned = PlannedRows { rows: mirrored.as_ref().unwrap_or(&rows), plan: &plan };
    let (pieces, placed) = planned.pieces(&frame, &size, mirrored.is_some());
    let joists = joist_lines(shape, roof);
    let inside: Vec<(Point, Point)> = joists.iter().map(|&(a, b)| (frame.inside(a), frame.inside(b))).collect();
    let under = support::Under { shape, roof, rules, frame: &frame, joists: &inside, square: !size.tongued };
    let noggins = under.noggins(&on_roof, &rows);
    let fixings = under.fixings(&rows, &placed);
    Ok(DeckLayout {
        board: board.key.clone(),
        joints: support::joints(&rows, &placed, &frame),
        fixings: fixings.edges + fixings.field,
        edge_fixings: fixings.edges,
        old_deck_fixings: fixings.old_deck,
        noggins,
        blocks: 0,
        noggin: rules.noggin_section.thickness,
        pieces,
        boards: plan.boards as usize,
        cuts: plan.cuts as usize,
        joists: joists.to_vec(),
        proof,
        along_x: frame.along_x,
    })
}

/// All rings in the deck's own axes.
fn turned(region: &Region, frame: &DeckFrame) -> Vec<Vec<Point>> {
    let ring = |r: &Vec<Point>| -> Vec<Point> { r.iter().map(|&p| frame.inside(p)).collect() };
    region.polygons().iter().flatten().map(ring).collect()
}

/// Whether a narrow last row is made as wide as the first: not under or over another layer, whose joints keep off one another.
fn shares_a_strip(roof: &Roof, board: &Board) -> bool {
    board.edge != BoardEdge::Square && roof.warm().is_none()
}

/// Where the rows may lie, the best first: they start at the lowest point, and the first is ripped where a later one would
/// be too narrow.
fn pitches(rings: &[Vec<Point>], (board, even): (&Board, bool), rules: &Rules) -> Vec<RowPitch> {
    let width = board.width.as_mm();
    let region = Region::of_rings(rings.iter().map(Vec::as_slice));
    let outer: Vec<&[Point]> = region.polygons().iter().map(|p| p[0].as_slice()).collect();
    let inner: Vec<&[Point]> = region.polygons().iter().flat_map(|p| &p[1..]).map(Vec::as_slice).collect();
    let low = low(rings);
    let firsts = first_row::first_rows(&outer, &inner, low, width, (rules.narrowest_row.as_mm(), even));
    firsts.into_iter().map(|first| RowPitch { low, first, width }).collect()
}

/// Where the first row starts.
fn low(rings: &[Vec<Point>]) -> i64 {
    rings.iter().flatten().map(|p| p.y).min().unwrap_or(0)
}

/// The least that any layout of these rows has of what nobody wants, joints of neighbours aside.
fn least_unwanted(rows: &[BoardRow], limits: &DivisionLimits) -> Unwanted {
    let spans = rows.iter().flat_map(|row| row.spans.iter().map(move |span| Whole { row, span }));
    spans.fold(Unwanted::default(), |sum, whole| sum + whole.least_unwanted(limits))
}

/// Corners that lie a hair off the lines of rows and joists, moved onto them.
fn on_lines(rings: &[Vec<Point>], frame: &DeckFrame, pitch: RowPitch) -> Vec<Vec<Point>> {
    rings.iter().map(|r| without_needles(&ring_on_lines(r, frame, pitch))).collect()
}

/// A ring without corners at which it turns straight back on itself, less than a millimetre off: what is left where the
/// gap at a wall runs out beside an edge that is hardly askew. One at a time: the corner beside a needle looks like one too,
/// and without both a side of the deck would be cut off.
fn without_needles(ring: &[Point]) -> Vec<Point> {
    let mut left = ring.to_vec();
    while let Some(i) = (0..left.len()).find(|&i| left.len() > 3 && is_needle(&left, i)) {
        left.remove(i);
    }
    left
}

fn is_needle(ring: &[Point], i: usize) -> bool {
    let (before, p, after) = around(ring, i);
    let (a, b) = ((before.x - p.x, before.y - p.y), (after.x - p.x, after.y - p.y));
    let shorter = (a.0 * a.0 + a.1 * a.1).min(b.0 * b.0 + b.1 * b.1);
    let longer = (a.0 * a.0 + a.1 * a.1).max(b.0 * b.0 + b.1 * b.1);
    // The height of the end of the shorter side over the longer one is |a × b| ÷ longer.
    let cross = a.0 * b.1 - a.1 * b.0;
    a.0 * b.0 + a.1 * b.1 > 0 && shorter > 0 && cross.abs() < longer.isqrt()
}

/// A corner of a splay or of a pipe's ring that lies a millimetre off a row line or a joist is moved onto it: a saw does
/// not make that cut, and where lines cross so near a corner whole millimetres cannot tell them apart. An edge along the
/// line stays where it is.
fn ring_on_lines(ring: &[Point], frame: &DeckFrame, pitch: RowPitch) -> Vec<Point> {
    let n = ring.len();
    let moved = |i: usize| {
        let (before, p, after) = around(ring, i);
        let row = pitch.nearest_line(p.y);
        let joist = frame.nearest_joist(p.x);
        let to_row = before.y != p.y && after.y != p.y && (p.y - row).abs() <= 1;
        let to_joist = before.x != p.x && after.x != p.x && (p.x - joist).abs() <= 1;
        Point::new(if to_joist { joist } else { p.x }, if to_row { row } else { p.y })
    };
    (0..n).map(moved).collect()
}

/// The longest and shortest pieces that may be laid.
fn limits(roof: &Roof, rules: &Rules, board: &Board) -> DivisionLimits {
    let spacing = roof.joists.spacing.as_mm();
    DivisionLimits {
        longest: board.length.as_mm(),
        shortest: i64::from(rules.shortest_board) * spacing,
        sliver: rules.shortest_end.as_mm(),
        small: rules.least_board_piece.as_mm(),
        full: board.length.as_mm() / spacing * spacing,
        spacing,
    }
}

fn board_size(rows: &[BoardRow], board: &Board, rules: &Rules, limits: &DivisionLimits) -> BoardSize {
    let spans = rows.iter().flat_map(|r| &r.spans).map(|s| s.length());
    BoardSize {
        length: board.length.as_mm(),
        width: board.width.as_mm(),
        tongued: board.edge == BoardEdge::TongueAndGroove,
        kerf: rules.board_kerf.as_mm(),
        least: spans.min().unwrap_or(0).min(limits.shortest).max(1),
        useful: limits.shortest,
    }
}

/// The rows with the plan that was found for them.
struct PlannedRows<'a> {
    rows: &'a [BoardRow],
    plan: &'a DeckPlan,
}

/// A piece as planned: where it lies, what it is cut from and where.
struct PlannedPiece {
    on_deck: PieceOnDeck,
    demand: stock::BoardDemand,
    cut: stock::BoardCut,
}

impl PlannedPiece {
    /// The same piece, out of the mirror. A board is never flipped: what was its far end is its near one.
    fn out_of_mirror(self, size: &BoardSize) -> PlannedPiece {
        let PieceOnDeck { row, rings, from, to } = self.on_deck;
        let back = |ring: Vec<Point>| ring.into_iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        let (board, x, y) = self.cut;
        PlannedPiece {
            on_deck: PieceOnDeck { row, rings: rings.into_iter().map(back).collect(), from: -to, to: -from },
            cut: (board, size.length - x - self.demand.length, y),
            ..self
        }
    }

    /// Where it comes in laying order: row by row, along the row, then across it.
    fn place(&self) -> (usize, i64, Option<i64>, Option<i64>) {
        let outer = || self.on_deck.rings[0].iter();
        (self.on_deck.row, self.on_deck.from, outer().map(|p| p.x).min(), outer().map(|p| p.y).min())
    }
}

/// A piece in the deck's own axes.
#[derive(Debug)]
pub(crate) struct PieceOnDeck {
    row: usize,
    /// Its outer ring, then its holes.
    rings: Vec<Vec<Point>>,
    /// The places between which it was laid: joints or ends.
    from: i64,
    to: i64,
}

impl PlannedRows<'_> {
    /// Every piece in laying order, on the roof and in the deck's own axes. Boards are counted as their first pieces are
    /// laid.
    fn pieces(&self, frame: &DeckFrame, size: &BoardSize, mirrored: bool) -> (Vec<BoardPiece>, Vec<PieceOnDeck>) {
        let cuts = self.demands().into_iter().zip(&self.plan.cut_from);
        let planned = self.placed().into_iter().zip(cuts);
        let mut planned: Vec<PlannedPiece> =
            planned.map(|(on_deck, (demand, &cut))| PlannedPiece { on_deck, demand, cut }).collect();
        if mirrored {
            planned = planned.into_iter().map(|p| p.out_of_mirror(size)).collect();
            planned.sort_by_key(PlannedPiece::place);
        }
        let mut boards = Vec::new();
        let piece = |(i, planned): (usize, &PlannedPiece)| {
            let (p, d, (opened, x, y)) = (&planned.on_deck, &planned.demand, planned.cut);
            let board = boards.iter().position(|&b| b == opened).unwrap_or_else(|| {
                boards.push(opened);
                boards.len() - 1
            });
            BoardPiece {
                mark: (i + 1).to_string(),
                row: p.row,
                rings: p.rings.iter().map(|r| frame.ring_outside(r)).collect(),
                length: Length::mm(d.length),
                width: Length::mm(d.width),
                board,
                on_board: Point::new(x, y),
                whole: d.length == size.length && d.width == size.width && d.shaping == 0,
            }
        };
        let pieces = planned.iter().enumerate().map(piece).collect();
        (pieces, planned.into_iter().map(|p| p.on_deck).collect())
    }

    fn spans(&self) -> impl Iterator<Item = (usize, &rows::RowSpan, &[usize])> {
        let spans = self.rows.iter().enumerate().flat_map(|(i, r)| r.spans.iter().map(move |s| (i, s)));
        spans.zip(&self.plan.divisions).map(|((i, s), d)| (i, s, d.as_slice()))
    }

    fn demands(&self) -> Vec<stock::BoardDemand> {
        self.spans().flat_map(|(i, s, d)| search::in_laying_order(&self.rows[i], s, d)).collect()
    }

    fn placed(&self) -> Vec<PieceOnDeck> {
        let mut out = Vec::new();
        for (row, span, division) in self.spans() {
            let mut i = 0;
            for &k in division.iter().chain([&(span.at.len() - 1)]) {
                let (from, to) = (span.at[i], span.at[k]);
                let polygons = span.polygons(&self.rows[row], i, k);
                out.extend(polygons.into_iter().map(|rings| PieceOnDeck { row, rings, from, to }));
                i = k;
            }
        }
        out
    }
}

/// How wide each row is, in laying order.
pub fn row_widths(deck: &DeckLayout) -> Vec<Length> {
    let mut rows: BTreeMap<usize, (i64, i64)> = BTreeMap::new();
    let across = |p: &Point| if deck.along_x { p.y } else { p.x };
    for (row, v) in deck.pieces.iter().flat_map(|p| p.rings.iter().flatten().map(move |q| (p.row, across(q)))) {
        let reach = rows.entry(row).or_insert((v, v));
        *reach = (reach.0.min(v), reach.1.max(v));
    }
    rows.into_values().map(|(low, high)| Length::mm(high - low)).collect()
}

/// How wide the first row is ripped, where that keeps later rows from being too narrow. Its pieces keep the edge that
/// meets the next row, so they reach to the board's far side.
pub fn ripped_first_row(deck: &DeckLayout) -> Option<Length> {
    let rows = row_widths(deck);
    let board = deck.pieces.iter().map(|p| Length::mm(p.on_board.y) + p.width).max()?;
    rows.first().copied().filter(|&first| rows.len() > 1 && first < board)
}

fn check_sizes(roof: &Roof, board: &Board) -> Result<(), Vec<Problem>> {
    let mut problems = Vec::new();
    if board.length <= Length::ZERO || board.width <= Length::ZERO {
        problems.push(Problem::fault(
            roof.path.keys(["deck", "board"]),
            format!("the board {} is {} by {}, which is no size", board.key, board.length, board.width),
            "give its laid length and width in the price book",
        ));
    }
    if problems.is_empty() { Ok(()) } else { Err(problems) }
}

/// A span that takes more than one board needs boards that reach over enough joists.
fn check_reach(
    rows: &[BoardRow],
    roof: &Roof,
    rules: &Rules,
    board: &Board,
    limits: &DivisionLimits,
) -> Result<(), Vec<Problem>> {
    let spaces = i64::from(rules.shortest_board).max(2);
    let needs_joint = rows.iter().flat_map(|r| &r.spans).any(|s| s.length() > limits.longest);
    if !needs_joint || limits.full >= spaces * roof.joists.spacing.as_mm() {
        return Ok(());
    }
    let reached = limits.full / roof.joists.spacing.as_mm();
    let reaches = match reached {
        0 => "does not reach from one joist to the next".to_string(),
        1 => "reaches over one joist space only".to_string(),
        n => format!("reaches over {n} joist spaces only"),
    };
    Err(vec![Problem::fault(
        roof.path.keys(["joists", "spacing"]),
        format!(
            "with joists {} apart, the board {} ({} long) {reaches}; every board must span at least {spaces}",
            roof.joists.spacing, board.key, board.length
        ),
        format!(
            "check the spacing, choose a board at least {} long, or add joists between these",
            roof.joists.spacing * spaces
        ),
    )])
}

fn no_stagger(roof: &Roof, board: &Board) -> Problem {
    Problem::fault(
        roof.path.keys(["joists", "spacing"]),
        format!(
            "with joists {} apart and boards {} long, no layout was found that keeps the joints of neighbouring rows on \
             different joists",
            roof.joists.spacing, board.length
        ),
        "check the spacing, choose a longer board, or add joists between these",
    )
}
