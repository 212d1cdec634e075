//! The corners from above: which trim runs through, where the other is cut, what closes it.
//!
//! Given a roof's junctions; gives one figure for each kind of corner, with the numbers of the corners it is for. Drawn
//! the way the corner lies on the plan, so that left and right are left and right on the roof.

use super::drawing::{Drawing, Way, apart, dashes, go, part, pen, ring_sides, spot};
use super::labels::box_of;
use super::lines::folded;
use super::plan_scale::PlanScale;
use super::trim_plan::numbered;
use crate::documents::{site_words, wording};
use crate::model::{Finish, Point};
use crate::pages::block::{Figure, Span};
use crate::pages::scene::{Anchor, Ink, Spot};
use crate::takeoff::layout::{Junction, RoofLayout, Treatment};

/// One kind of corner, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// `Corner 1`, `Corners 5, 6 and 7`.
    pub corners: String,
    /// What is done there.
    pub instruction: Vec<Span>,
    /// The drawing.
    pub figure: Figure,
}

/// One kind of corner with the numbers of the corners that it is for.
struct CornerKind<'a> {
    junction: &'a Junction,
    sides: Meeting,
    numbers: Vec<String>,
}

/// Two edges that meet.
#[derive(Debug, Clone, PartialEq)]
struct Meeting {
    names: [String; 2],
    finishes: [Finish; 2],
    /// Ways of the two edges on paper, in walking order.
    ways: [Way; 2],
    /// Whether the roof lies on the left of who walks (outline) or on the right (round an opening).
    roof_on_left: bool,
    /// Which of them lies under a door sill that no fillet fits under.
    low: [bool; 2],
}

/// Draws every kind of corner of one roof; `told` has the words for a corner. The dashed ring is the bandage patch, the
/// thick broken line a cut.
///
/// # Errors
/// What is wrong with the words.
pub fn draw<E>(layout: &RoofLayout, told: impl Fn(&Junction) -> Result<Vec<Span>, E>) -> Result<Vec<Drawn>, E> {
    let mut kinds: Vec<CornerKind<'_>> = Vec::new();
    for (n, junction) in numbered(layout).into_iter().enumerate() {
        let Some(sides) = meeting(layout, junction) else { continue };
        let number = (n + 1).to_string();
        match kinds.iter_mut().find(|k| same_kind(k, junction, &sides)) {
            Some(kind) => kind.numbers.push(number),
            None => kinds.push(CornerKind { junction, sides, numbers: vec![number] }),
        }
    }
    kinds.iter().map(|kind| Ok(drawn(kind, told(kind.junction)?))).collect()
}

/// Corners of one opening that are made alike need one drawing; corners of the outline are drawn each as it lies.
fn same_kind(kind: &CornerKind<'_>, junction: &Junction, sides: &Meeting) -> bool {
    let alike = kind.junction.treatment == junction.treatment && kind.sides.finishes == sides.finishes;
    let opening = kind.junction.hole.is_some() && junction.hole.is_some();
    let same_figures = kind.junction.figures == junction.figures && kind.sides.names == sides.names;
    alike && same_figures && (opening || kind.sides == *sides)
}

fn meeting(layout: &RoofLayout, junction: &Junction) -> Option<Meeting> {
    let paper = PlanScale { of: 1.0 };
    let way = |a: Point, b: Point| Way::between(paper.at(a), paper.at(b));
    match junction.hole {
        None => {
            let sides = &layout.shape.sides;
            let after = sides.get(junction.corner)?;
            let before = &sides[(junction.corner + sides.len() - 1) % sides.len()];
            Some(Meeting {
                names: [before.label.clone(), after.label.clone()],
                finishes: [before.finish, after.finish],
                ways: [way(before.from, before.to), way(after.from, after.to)],
                roof_on_left: true,
                low: [before.is_under_low_sill(), after.is_under_low_sill()],
            })
        }
        Some(h) => {
            let hole = layout.shape.holes.get(h)?;
            let (n, c) = (hole.ring.len(), junction.corner);
            let (before, at, after) = (hole.ring[(c + n - 1) % n], *hole.ring.get(c)?, hole.ring[(c + 1) % n]);
            Some(Meeting {
                names: [hole.name.clone(), hole.name.clone()],
                finishes: [hole.finish, hole.finish],
                ways: [way(before, at), way(at, after)],
                roof_on_left: false,
                low: [false; 2],
            })
        }
    }
}

fn drawn(kind: &CornerKind<'_>, instruction: Vec<Span>) -> Drawn {
    let corners = match kind.numbers.as_slice() {
        [one] => format!("Corner {one}"),
        many => format!("Corners {}", wording::list(many)),
    };
    let sides = &kind.sides;
    let names = format!(
        "{} ({}) meets {} ({})",
        sides.names[0],
        sides.finishes[0].word(),
        sides.names[1],
        sides.finishes[1].word()
    );
    let figure = Figure {
        scene: scene(kind).finish().into(),
        alt: format!("{corners} from above, {names}. {}", site_words::plain(&instruction)),
        caption: corners.clone(),
    };
    Drawn { corners, instruction, figure }
}

/// Length of each arm and width of a trim's band, pt.
const ARM: f64 = 66.0;
const WIDE: f64 = 21.0;

/// The places from which a corner is drawn.
struct CornerPlaces {
    corner: Spot,
    /// Far ends of the two arms.
    ends: [Spot; 2],
    /// From each arm towards the roof.
    inward: [Way; 2],
    /// Where the inner sides of the two bands meet.
    inner: Spot,
    /// The roof turns inwards here: the bands meet beyond the corner.
    reflex: bool,
}

fn places(sides: &Meeting) -> CornerPlaces {
    let corner = spot(0.0, 0.0);
    let turn = |w: Way| if sides.roof_on_left { w.right().back() } else { w.right() };
    let inward = sides.ways.map(turn);
    let ends = [go(corner, sides.ways[0], -ARM), go(corner, sides.ways[1], ARM)];
    let inner = inner_meeting(sides.ways, inward);
    let along = Way::between(corner, ends[1]);
    let reflex = (inner.x - corner.x) * along.x + (inner.y - corner.y) * along.y < -0.1;
    CornerPlaces { corner, ends, inward, inner, reflex }
}

/// Where two lines `WIDE` inside the two edges cross; for edges nearly in line, straight inwards.
fn inner_meeting(ways: [Way; 2], inward: [Way; 2]) -> Spot {
    let cross = ways[0].x * ways[1].y - ways[0].y * ways[1].x;
    let (a, b) = (go(spot(0.0, 0.0), inward[0], WIDE), go(spot(0.0, 0.0), inward[1], WIDE));
    if cross.abs() < 0.15 {
        return a;
    }
    let t = ((b.x - a.x) * ways[1].y - (b.y - a.y) * ways[1].x) / cross;
    go(a, ways[0], t)
}

fn scene(kind: &CornerKind<'_>) -> Drawing {
    let mut sheet = Drawing::default();
    let at = places(&kind.sides);
    let sides = &kind.sides;
    for i in [0, 1] {
        band(&mut sheet, &at, i, sides.finishes[i]);
    }
    sheet.circle(part(at.corner, at.inner, 0.5), 34.0, None, Some(dashes(Ink::Grey(0.35), 0.8, 2.0, 2.0)));
    treatment(&mut sheet, &at, kind);
    for i in [0, 1] {
        name(&mut sheet, &at, i, &sides.names[i], sides.finishes[i]);
    }
    sheet
}

/// A trim's band from its far end to the corner, cut along the line from the corner to where the inner sides meet.
fn band(sheet: &mut Drawing, at: &CornerPlaces, i: usize, finish: Finish) {
    let far = at.ends[i];
    let ring = vec![far, at.corner, at.inner, go(far, at.inward[i], WIDE)];
    sheet.area(vec![ring], Some(tone(finish)), Some(pen(Ink::Black, 0.8)));
    sheet.line(&[far, at.corner], pen(Ink::Black, 1.6));
}

const fn tone(finish: Finish) -> Ink {
    match finish {
        Finish::Drip => Ink::Grey(0.62),
        Finish::Wall => Ink::Grey(0.78),
        Finish::Kerb => Ink::Grey(0.85),
        Finish::Raised => Ink::White,
        Finish::Step | Finish::Gutter => Ink::Grey(0.95),
    }
}

const CUT: crate::pages::scene::Pen = dashes(Ink::Black, 2.4, 5.0, 2.5);

fn treatment(sheet: &mut Drawing, at: &CornerPlaces, kind: &CornerKind<'_>) {
    match kind.junction.treatment {
        Treatment::Mitre => sheet.line(&[at.corner, at.inner], CUT),
        Treatment::PreformedExternal | Treatment::PreformedInternal => preformed(sheet, at),
        Treatment::ClosureLeft => closing(sheet, at, kind, "closure, left hand"),
        Treatment::ClosureRight => closing(sheet, at, kind, "closure, right hand"),
        Treatment::Notch => closing(sheet, at, kind, "notch the drip here"),
        Treatment::Butt => butt(sheet, at, kind),
        Treatment::CarriedUp => carried(sheet, at, kind.sides.finishes.contains(&Finish::Gutter)),
        Treatment::Straight => {}
        Treatment::AtSill => at_sill(sheet, at, kind),
    }
}

/// The fillet cut square at the side of a door sill; under the sill no band.
fn at_sill(sheet: &mut Drawing, at: &CornerPlaces, kind: &CornerKind<'_>) {
    let under = usize::from(!kind.sides.low[0]);
    let far = at.ends[under];
    let ring = vec![far, at.corner, at.inner, go(far, at.inward[under], WIDE)];
    sheet.area(vec![ring], Some(Ink::White), Some(dashes(Ink::Grey(0.4), 0.8, 3.0, 2.0)));
    sheet.line(&[at.corner, at.inner], CUT);
    callout(sheet, at, middle(at), "stop the fillet here");
}

/// A corner piece over both arms, with the trims cut square where it begins.
fn preformed(sheet: &mut Drawing, at: &CornerPlaces) {
    let legs = [0, 1].map(|i| go(at.corner, Way::between(at.corner, at.ends[i]), 40.0));
    let inner = [0, 1].map(|i| go(legs[i], at.inward[i], WIDE));
    let ring = vec![legs[0], at.corner, legs[1], inner[1], at.inner, inner[0]];
    hatched(sheet, ring);
    for i in [0, 1] {
        sheet.line(&[legs[i], inner[i]], CUT);
    }
}

/// A corner piece or a closure: white with slanting strokes, which no band has, so that a grey print tells it from them.
fn hatched(sheet: &mut Drawing, ring: Vec<Spot>) {
    let (low, high) = box_of(&ring);
    sheet.area(vec![ring.clone()], Some(Ink::White), None);
    let (wide, tall) = (high.x - low.x, high.y - low.y);
    let strokes = ((wide + tall) / HATCH) as i32;
    for n in 1..=strokes {
        let (a, b) = (spot(low.x + HATCH * f64::from(n), low.y), spot(low.x + HATCH * f64::from(n) - tall, high.y));
        let mut cuts: Vec<f64> = ring_sides(&ring).filter_map(|side| meeting_of((a, b), side)).collect();
        cuts.sort_by(f64::total_cmp);
        for ends in cuts.chunks_exact(2) {
            sheet.line(&[part(a, b, ends[0]), part(a, b, ends[1])], pen(Ink::Black, 0.6));
        }
    }
    sheet.area(vec![ring], None, Some(pen(Ink::Black, 1.2)));
}

/// From one stroke to the next, pt, level.
const HATCH: f64 = 4.5;

/// Where along a line, 0 to 1, it meets a side of a ring; a side's far end is its neighbour's.
fn meeting_of((a, b): (Spot, Spot), (c, d): (Spot, Spot)) -> Option<f64> {
    let cross = |x: (f64, f64), y: (f64, f64)| x.0 * y.1 - x.1 * y.0;
    let (line, side, between) = ((b.x - a.x, b.y - a.y), (d.x - c.x, d.y - c.y), (c.x - a.x, c.y - a.y));
    let whole = cross(line, side);
    let (along, over) = (cross(between, side) / whole, cross(between, line) / whole);
    (whole.abs() > 1e-9 && (0.0..1.0).contains(&over)).then_some(along)
}

/// Drip and raised: the raised trim is cut at the drip, and the end is closed.
fn closing(sheet: &mut Drawing, at: &CornerPlaces, kind: &CornerKind<'_>, words: &str) {
    let drip = usize::from(kind.sides.finishes[0] != Finish::Drip);
    let (a, b) = (square_end(at, drip), square_end(at, 1 - drip));
    hatched(sheet, vec![at.corner, a, at.inner, b]);
    let cut = if kind.junction.treatment == Treatment::Notch {
        [at.corner, go(at.corner, Way::between(at.corner, at.ends[drip]), WIDE)]
    } else {
        cut_of(at, 1 - drip)
    };
    sheet.line(&cut, CUT);
    callout(sheet, at, middle(at), words);
}

/// One trim runs through; the other, the raised edge or the drip, is cut along the fillet's front; where the roof turns
/// inwards, along its back carried on.
fn butt(sheet: &mut Drawing, at: &CornerPlaces, kind: &CornerKind<'_>) {
    let through = match kind.sides.finishes {
        [Finish::Wall | Finish::Kerb, _] => 0,
        [_, Finish::Wall | Finish::Kerb] => 1,
        _ => 0,
    };
    let cut = 1 - through;
    let end = crossing(at, if at.reflex { through } else { cut });
    let ring = vec![at.ends[through], at.corner, end, at.inner, go(at.ends[through], at.inward[through], WIDE)];
    sheet.area(vec![ring], Some(tone(kind.sides.finishes[through])), Some(pen(Ink::Black, 0.8)));
    let [a, b] = if at.reflex { [at.corner, end] } else { [end, at.inner] };
    sheet.line(&[a, b], CUT);
    callout(sheet, at, part(a, b, 0.5), &format!("cut the {} here", trim_word(kind.sides.finishes[cut])));
}

/// Where an arm's outer line, carried on where the roof turns inwards, crosses the inner line of the other's band.
fn crossing(at: &CornerPlaces, i: usize) -> Spot {
    let (along, over) = (Way::between(at.corner, at.ends[i]), at.inward[1 - i]);
    let nearer = along.x * over.x + along.y * over.y;
    go(at.corner, along, (WIDE / nearer).clamp(-ARM, ARM))
}

/// The end of the square in which the two bands meet, on an arm's outer line or, where the roof turns inwards, on the
/// other arm's line carried on: from here to the inner meeting point an arm is cut square.
fn square_end(at: &CornerPlaces, i: usize) -> Spot {
    let along = Way::between(at.corner, at.ends[i]);
    let far = (at.inner.x - at.corner.x) * along.x + (at.inner.y - at.corner.y) * along.y;
    go(at.corner, along, far)
}

/// The line on which an arm is cut square.
fn cut_of(at: &CornerPlaces, i: usize) -> [Spot; 2] {
    if at.reflex { [at.corner, square_end(at, 1 - i)] } else { [square_end(at, i), at.inner] }
}

const fn trim_word(finish: Finish) -> &'static str {
    match finish {
        Finish::Drip => "drip trim",
        Finish::Raised => "raised trim",
        Finish::Wall => "wall fillet",
        Finish::Kerb => "angle fillet",
        Finish::Step | Finish::Gutter => "laminate",
    }
}

/// Laminate carried up, or over the lip of a box gutter: strokes over the corner.
fn carried(sheet: &mut Drawing, at: &CornerPlaces, over: bool) {
    for i in 1..5 {
        let far = f64::from(i) * 8.0;
        let a = go(at.corner, Way::between(at.corner, at.ends[0]), far);
        let b = go(at.corner, Way::between(at.corner, at.ends[1]), far);
        sheet.line(&[a, b], pen(Ink::Grey(0.4), 0.7));
    }
    callout(sheet, at, middle(at), if over { "laminate over the lip" } else { "laminate carried up" });
}

/// Size of a callout's words, from line to line, and how long a line may be, pt: a corner stands in a third of a page.
const CALLOUT: (f64, f64, f64) = (8.5, 10.0, 66.0);

/// About the middle of what the two bands have in common.
fn middle(at: &CornerPlaces) -> Spot {
    part(at.corner, at.inner, 0.6)
}

/// Words on the side of the roof, with a line to what they say. Where the roof turns inwards they stand over the corner.
fn callout(sheet: &mut Drawing, at: &CornerPlaces, from: Spot, words: &str) {
    let way = Way::between(at.corner, at.inner);
    let place = go(at.inner, way, 34.0);
    sheet.line(&[from, place], pen(Ink::Black, 0.5));
    let anchor = match if at.reflex { -way.x } else { way.x } {
        x if x > 0.25 => Anchor::Start,
        x if x < -0.25 => Anchor::End,
        _ => Anchor::Middle,
    };
    let (size, leading, room) = CALLOUT;
    let lines = folded(words, room, size);
    let first = if way.y > 0.0 { 7.5 } else { -2.0 - leading * (lines.len() as f64 - 1.0) };
    for (number, line) in lines.iter().enumerate() {
        let foot = place.y + first + leading * number as f64;
        sheet.write(spot(place.x, foot), line, size, true, anchor, 0.0, true);
    }
}

/// Smallest size at which an edge's name is written, pt.
const LEAST_NAME: f64 = super::LEAST_SIZE;

/// The edge's name and finish outside it, turned along it; the finish alone where the name is longer than the edge, or no
/// other word.
fn name(sheet: &mut Drawing, at: &CornerPlaces, i: usize, name: &str, finish: Finish) {
    let along = Way::between(at.corner, at.ends[i]);
    let out = at.inward[i].back();
    let turn = along.text_turn();
    let reading = Way { x: turn.to_radians().cos(), y: -turn.to_radians().sin() };
    let fitting = |text: &str| 8.5 * (apart(at.corner, at.ends[i]) / super::drawing::text_width(text, 8.5)).min(1.0);
    let whole = format!("{name}: {}", finish.word());
    let text = if fitting(&whole) < LEAST_NAME || name.eq_ignore_ascii_case(finish.word()) {
        finish.word().to_owned()
    } else {
        whole
    };
    // On the side where the arms turn towards each other, both names begin away from the corner.
    let far = if at.reflex { 16.0 + super::drawing::text_width(&text, fitting(&text)) / 2.0 } else { 0.55 * ARM };
    let middle = go(go(at.corner, along, far), out, 8.0);
    sheet.write(go(middle, reading.right(), 2.4), &text, fitting(&text), false, Anchor::Middle, turn, true);
}
