//! The deck plan: every board with its number, the joists and noggins under it, and the joints.
//!
//! Given a roof's layout; gives a figure, or none where the old deck stays. Cut boards are shaded, whole ones are not. The
//! board over a warm roof's insulation is drawn the same way.

use super::drawing::{Drawing, Quad, Way, apart, dashes, go, inside, part, pen};
use super::labels::{self, EdgeLabel};
use super::one_key::KeyParts;
use super::plan_scale::{self, PlanScale, fitted};
use super::{LABEL_SIZE, LEAST_SIZE, Space};
use crate::checks::boards::hanging;
use crate::documents::wording;
use crate::model::{Length, Point};
use crate::pages::block::Figure;
use crate::pages::scene::{Ink, Spot};
use crate::takeoff::layout::deck::ripped_first_row;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::timber::OpeningTimber;
use crate::takeoff::layout::{BoardPiece, DeckLayout, RoofLayout};
use std::cell::RefCell;

/// Draws the deck of one roof.
pub fn draw(layout: &RoofLayout, space: Space) -> Option<Figure> {
    draw_known(layout, space, &KnownSheets::default())
}

/// The same where its place is still sought: what stands over the foot is drawn once at each scale.
pub fn draw_known(layout: &RoofLayout, space: Space, known: &KnownSheets) -> Option<Figure> {
    let deck = layout.deck.as_ref()?;
    let boards = wording::plural(deck.boards, "board", "boards");
    let order = if deck.pieces.len() > 1 { " Lay in the order of the numbers." } else { "" };
    Some(Figure {
        scene: fitted(space, &layout.shape, |frame| {
            let timbers = &layout.openings.pieces;
            let (mut sheet, lost) =
                known.at((&layout.shape.name, frame), || sheet(frame, (&layout.shape, timbers), deck));
            foot(&mut sheet, (frame, space), (&layout.shape, deck), timbers, &lost);
            sheet
        }),
        caption: format!("{}: deck, {boards}.{order}{}", layout.shape.name, first_row(deck)),
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
        scene: fitted(space, &layout.shape, |frame| {
            let (mut sheet, lost) = sheet(frame, (&layout.shape, &[]), overlay);
            foot(&mut sheet, (frame, space), (&layout.shape, overlay), &[], &lost);
            sheet
        }),
        caption: format!(
            "{}: board over the insulation, {boards}. Screw along the joists’ lines.{}",
            layout.shape.name,
            ripped_first_row(overlay).map_or_else(String::new, |width| {
                format!(" Rip the first row to {width} along its outer edge, so that joints stand off the deck's.")
            })
        ),
        alt: format!(
            "Board over the insulation of {}: {} cut from {boards}. The list of boards gives the same pieces in words.",
            layout.shape.name,
            wording::plural(overlay.pieces.len(), "piece", "pieces")
        ),
    })
}

/// What must be said of a first row that is ripped.
fn first_row(deck: &DeckLayout) -> String {
    match ripped_first_row(deck) {
        Some(width) => format!(" Rip the first row to {width} along its outer edge, so that no row is a sliver."),
        None => String::new(),
    }
}

/// What is drawn of a deck but the foot, and the names that no board has room for.
type Sheet = (Drawing, Vec<String>);

/// Sheets of some roofs that were drawn, by the roof's name and the scale.
#[derive(Default)]
pub struct KnownSheets(RefCell<Vec<(String, PlanScale, Sheet)>>);

impl KnownSheets {
    fn at(&self, (roof, frame): (&str, PlanScale), draw: impl FnOnce() -> Sheet) -> Sheet {
        if let Some((.., sheet)) = self.0.borrow().iter().find(|(name, of, _)| name == roof && *of == frame) {
            return sheet.clone();
        }
        let sheet = draw();
        self.0.borrow_mut().push((roof.to_owned(), frame, sheet.clone()));
        sheet
    }
}

fn sheet(frame: PlanScale, (shape, timbers): (&RoofShape, &[OpeningTimber]), deck: &DeckLayout) -> Sheet {
    let mut sheet = Drawing::default();
    let rings = |piece: &BoardPiece| piece.rings.iter().map(|r| frame.ring(r)).collect::<Vec<_>>();
    for piece in &deck.pieces {
        sheet.area(rings(piece), Some(fill(piece.whole)), None);
    }
    let ring = frame.ring(&shape.ring());
    for (a, b) in &deck.joists {
        sheet.line(&joist((frame.at(*a), frame.at(*b)), &ring), dashes(Ink::Grey(0.6), 0.5, 4.0, 3.0));
    }
    for timber in timbers {
        let ring = timber_ring(frame, timber);
        // The whole lines are the boards': one round a timber would be cut along.
        sheet.area(vec![ring], Some(Ink::Grey(0.75)), Some(dashes(Ink::Grey(0.4), 0.5, 2.0, 2.0)));
    }
    let holes: Vec<Vec<Spot>> = shape.holes.iter().map(|h| frame.ring(&h.ring)).collect();
    // Before the names of the edges, which may stand inside where there is no room beside.
    let thick = frame.pt(deck.noggin.as_mm() as f64).max(LEAST_NOGGIN);
    let hangs = hanging(shape, deck);
    let (mut bars, mut wanted) = (Vec::new(), Vec::new());
    for (a, b) in &deck.noggins {
        let bar = noggin((frame.at(*a), frame.at(*b), thick), &frame.ring(&shape.ring()), &holes, &bars);
        bars.extend(bar);
        wanted.extend(bar.map(|_| hangs((*a, *b))));
    }
    for (bar, wanted) in bars.into_iter().zip(wanted) {
        let (fill, line) = match wanted {
            true => (Ink::White, dashes(Ink::Black, 0.6, 3.0, 2.0)),
            false => (Ink::Grey(0.35), pen(Ink::Black, 0.3)),
        };
        sheet.area(vec![bar.corners.to_vec()], Some(fill), Some(line));
        sheet.take(bar);
    }
    // Joists and noggins lie under the boards: their lines hide none of a board's.
    for piece in &deck.pieces {
        sheet.area(rings(piece), None, Some(pen(Ink::Black, 0.8)));
    }
    // After the noggins: the names of edges keep off them.
    outline(&mut sheet, frame, shape);
    let pieces: Vec<NamedPiece<'_>> = deck.pieces.iter().filter_map(|p| named(frame, p)).collect();
    let lost = piece_names(&mut sheet, &pieces);
    (sheet, lost)
}

/// A joist's line. One that lies on the outline is drawn inside it, or the outline would hide it and the joists be counted from
/// the next.
fn joist((a, b): (Spot, Spot), ring: &[Spot]) -> [Spot; 2] {
    let long = apart(a, b);
    if long <= f64::EPSILON {
        return [a, b];
    }
    let across = Way { x: (b.x - a.x) / long, y: (b.y - a.y) / long }.right();
    let on_deck = |by: f64| inside(ring, go(part(a, b, 0.5), across, by));
    let by = match (on_deck(OFF_EDGE), on_deck(-OFF_EDGE)) {
        (true, false) => INSIDE_EDGE,
        (false, true) => -INSIDE_EDGE,
        _ => 0.0,
    };
    [a, b].map(|end| go(end, across, by))
}

/// A timber of an opening as wide as it is.
fn timber_ring(frame: PlanScale, of: &OpeningTimber) -> Vec<Spot> {
    let half = of.section.thickness.as_mm() / 2;
    let (x, y) = if of.from.x == of.to.x { (half, 0) } else { (0, half) };
    let corners = [(of.from, -1), (of.to, -1), (of.to, 1), (of.from, 1)];
    corners.map(|(p, by)| frame.at(Point::new(p.x + by * x, p.y + by * y))).into()
}

/// How thick a noggin is drawn at least, and how far it stands off an edge's line, pt.
const LEAST_NOGGIN: f64 = 1.0;
const OFF_EDGE: f64 = 1.6;
/// How far inside an edge's line a joist is drawn that lies on it, pt.
const INSIDE_EDGE: f64 = 2.4;

/// A noggin as a dark bar as thick as it is. One under an edge is drawn inside it, or the outline would hide it, and as much
/// shorter as keeps it on the deck and off those before it where they meet in a corner.
fn noggin((a, b, thick): (Spot, Spot, f64), ring: &[Spot], holes: &[Vec<Spot>], before: &[Quad]) -> Option<Quad> {
    let long = apart(a, b);
    if long <= f64::EPSILON {
        return None;
    }
    let along = Way { x: (b.x - a.x) / long, y: (b.y - a.y) / long };
    let across = along.right();
    let on_deck = |by: f64| {
        let place = go(part(a, b, 0.5), across, by);
        inside(ring, place) && !holes.iter().any(|h| inside(h, place))
    };
    let from = match (on_deck(1.0), on_deck(-1.0)) {
        (true, false) => OFF_EDGE,
        (false, true) => -OFF_EDGE - thick,
        _ => -thick / 2.0,
    };
    let corner = |at: Spot, in_by: f64, by: f64| go(go(at, along, in_by), across, by);
    let bar = |(start, end): (f64, f64)| {
        let near = [corner(a, start, from), corner(b, -end, from)];
        Quad::of([near[0], near[1], corner(b, -end, from + thick), corner(a, start, from + thick)])
    };
    let is_clear = |bar: &Quad| {
        let under_edge = from != -thick / 2.0;
        (!under_edge || bar.corners.iter().all(|c| inside(ring, *c))) && !before.iter().any(|other| bar.overlaps(other))
    };
    let end = f64::min(1.0, long / 4.0);
    let step = (long * MOST_SHORTER - 2.0 * end).max(0.0) / f64::from(SHORTENED);
    let cut = |n: i32| end + step * f64::from(n);
    let by_sum = (0..=SHORTENED).flat_map(|sum| (0..=sum).map(move |n| (sum - n, n)));
    let mut bars = by_sum.map(|(start, far)| bar((cut(start), cut(far))));
    Some(bars.find(is_clear).unwrap_or_else(|| bar((end, end))))
}

/// In so many steps a noggin is drawn shorter, by as much of it at most.
const SHORTENED: i32 = 40;
const MOST_SHORTER: f64 = 0.8;

fn named(frame: PlanScale, piece: &BoardPiece) -> Option<NamedPiece<'_>> {
    let ring = frame.ring(piece.rings.first()?);
    // Of a whole board the key says enough; the size of one that is cut has the room.
    let size = (!piece.whole && is_square(&piece.rings)).then_some((piece.length, piece.width));
    Some(NamedPiece { ring, mark: &piece.mark, size, fill: fill(piece.whole) })
}

/// Whether no side of a piece is cut aslant: of one that is, the size of the rectangle round it says nothing that is cut.
pub fn is_square(rings: &[Vec<Point>]) -> bool {
    let slants = |a: Point, b: Point| {
        let (x, y) = ((a.x - b.x).abs(), (a.y - b.y).abs());
        x.min(y) > ROUNDED && x.max(y) > ROUND_A_PIPE
    };
    let ring = rings.first().map_or(&[][..], Vec::as_slice);
    !ring.iter().zip(ring.iter().cycle().skip(1)).any(|(a, b)| slants(*a, *b))
}

/// Corners are whole millimetres: a side that is so little askew, mm, is square; shorter ones lie round a pipe.
const ROUNDED: i64 = 2;
const ROUND_A_PIPE: i64 = 100;

/// What a board is filled with.
pub const fn fill(whole: bool) -> Ink {
    if whole { Ink::White } else { Ink::Grey(0.9) }
}

/// The roof's outline and holes, with the names of its edges outside.
pub fn outline(sheet: &mut Drawing, frame: PlanScale, shape: &RoofShape) {
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
    edge_names(sheet, frame, shape, &ring, |_, _| 4.0);
}

/// The names of the edges, outside the outline, so far off each edge, by its place and the way it runs.
pub fn edge_names(
    sheet: &mut Drawing,
    frame: PlanScale,
    shape: &RoofShape,
    ring: &[Spot],
    off: impl Fn(usize, Way) -> f64,
) {
    let low = |i: usize| if shape.low_sides.contains(&i) { " (low)" } else { "" };
    let label = |(i, s): (usize, &crate::takeoff::layout::shape::Side)| EdgeLabel {
        from: frame.at(s.from),
        to: frame.at(s.to),
        parts: vec![format!("{}{}", wording::capital(&s.label), low(i))],
        off: off(i, Way::between(frame.at(s.from), frame.at(s.to))),
        inside: false,
    };
    let names: Vec<EdgeLabel> = shape.sides.iter().enumerate().map(label).collect();
    // The roof plan names every edge: where there is no room for a name here, it may be left out.
    let mut left_out = 0;
    for i in labels::place(sheet, ring, &names) {
        let foot = labels::foot_on(sheet, names[i].from, names[i].to);
        left_out += usize::from(!labels::point_at_outside(sheet, ring, foot, &names[i].parts[0]));
        if left_out == MOST_LEFT_OUT {
            return;
        }
    }
}

/// Where so many names of edges have found no place outside an outline, none is sought for more: it is full all round.
const MOST_LEFT_OUT: usize = 12;

/// A piece as it is named on a plan.
pub struct NamedPiece<'a> {
    /// Its ring on paper.
    pub ring: Vec<Spot>,
    /// Its number.
    pub mark: &'a str,
    /// Along and across, of a rectangle.
    pub size: Option<(Length, Length)>,
    /// What it is filled with.
    pub fill: Ink,
}

/// Number and size of every piece, as large as there is room for inside it; what fits in none stands beside, with a line. Gives
/// back the numbers for which there is no room at all.
pub fn piece_names(sheet: &mut Drawing, pieces: &[NamedPiece<'_>]) -> Vec<String> {
    let left: Vec<&NamedPiece<'_>> = pieces.iter().filter(|piece| !piece_name(sheet, piece)).collect();
    let left: Vec<(Vec<Spot>, &str)> = left.into_iter().map(|piece| (piece.ring.clone(), piece.mark)).collect();
    labels::point_at_all(sheet, &left)
}

fn piece_name(sheet: &mut Drawing, piece: &NamedPiece<'_>) -> bool {
    let mark = [(piece.mark.to_owned(), true)];
    let middle = labels::middle_of(&piece.ring);
    let mut put = |lines: &[(String, bool)], size: f64| {
        labels::put_on_ground(sheet, &piece.ring, middle, lines, size, Some(piece.fill))
    };
    let sized = piece.size.is_some_and(|(along, across)| {
        let size = format!("{} × {}", along.as_mm(), across.as_mm());
        let one_line = [(format!("{}: {size}", piece.mark), true)];
        let full = [(piece.mark.to_owned(), true), (size, false)];
        put(&full, 9.0)
            || put(&full, LABEL_SIZE)
            || put(&one_line, LABEL_SIZE)
            || put(&full, LEAST_SIZE)
            || put(&one_line, LEAST_SIZE)
    });
    let named = sized || put(&mark, if piece.size.is_some() { 8.5 } else { 9.0 }) || put(&mark, LEAST_SIZE);
    named
        || [LABEL_SIZE, LEAST_SIZE]
            .iter()
            .any(|size| labels::put_upright(sheet, &piece.ring, piece.mark, *size, piece.fill))
}

/// What the two shades of boards mean, where there are both.
pub const SHADES: &str = "White: whole board. Grey: cut board.";
/// What the key of a plan of boards may say.
const KEY: [&str; 5] = [
    SHADES,
    "Broken lines: joist centres.",
    "Dark bars: noggins to fix before the boards.",
    "Open bars: no joist lies there, and one is wanted.",
    "Broad grey bars: timber round openings, under the boards.",
];

/// What the key of the deck of a roof says.
pub fn key(layout: &RoofLayout) -> Option<KeyParts> {
    layout.deck.as_ref().map(|deck| key_parts(&layout.shape, deck, &layout.openings.pieces))
}

/// What the key of the board over the insulation says.
pub fn overlay_key(layout: &RoofLayout) -> Option<KeyParts> {
    layout.over.as_ref()?.overlay.as_ref().map(|overlay| key_parts(&layout.shape, overlay, &[]))
}

fn key_parts(shape: &RoofShape, deck: &DeckLayout, timbers: &[OpeningTimber]) -> KeyParts {
    let shades = deck.pieces.iter().any(|p| p.whole) && deck.pieces.iter().any(|p| !p.whole);
    let hangs = hanging(shape, deck);
    let (wanted, borne) = deck.noggins.iter().fold((false, false), |(wanted, borne), noggin| {
        let is_wanted = hangs(*noggin);
        (wanted || is_wanted, borne || !is_wanted)
    });
    KeyParts::of([shades, !deck.joists.is_empty(), borne, wanted, !timbers.is_empty()])
}

fn foot(
    sheet: &mut Drawing,
    (frame, space): (PlanScale, Space),
    (shape, deck): (&RoofShape, &DeckLayout),
    timbers: &[OpeningTimber],
    lost: &[String],
) {
    let mut notes = space.key.notes(key_parts(shape, deck, timbers), &KEY);
    notes.extend(labels::lost_words(lost));
    plan_scale::foot(sheet, frame, space, &[], &notes);
}

/// The level box round a ring, with so much air on each side.
pub fn around(ring: &[Spot], air: f64) -> Quad {
    let (low, high) = labels::box_of(ring);
    let (width, height) = (high.x - low.x + 2.0 * air, high.y - low.y + 2.0 * air);
    Quad::about(part(low, high, 0.5), Way { x: 1.0, y: 0.0 }, width, height)
}
