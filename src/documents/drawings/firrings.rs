//! The firrings from the side: each kind with its length, both depths, and how many to cut.
//!
//! Given a roof's layout; gives figures of the tapered ones, none where nothing tapers; level ones need no drawing. Lengths are true
//! to the stated scale; depths are drawn deeper than they are, because a firring of 85 mm on 3.4 m would be a line. The low end is
//! on the left.

use super::drawing::{Drawing, pen, spot};
use super::lines::key;
use super::plan_scale::{PT_PER_MM, SCALES};
use crate::documents::wording;
use crate::geometry::segment::distance;
use crate::model::Length;
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, Scene};
use crate::takeoff::layout::{Firring, RoofLayout, firring_joints, firring_kinds};

/// Kinds on one drawing.
const ON_ONE: usize = 6;
/// What the longest firring and the deepest one may take on paper, pt.
const LONGEST: f64 = 165.0;
const DEEPEST: f64 = 16.0;
/// From one firring's foot to the next one's, pt.
const ROW: f64 = 33.0;
/// Where firrings begin, pt: the count stands before them.
const LEFT: f64 = 50.0;
/// Scales of depths that people have a ruler for, as 1 to these, largest first.
const DEPTHS: [f64; 12] = [1.0, 2.0, 4.0, 5.0, 10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 200.0, 500.0];

/// Firrings that are alike: length, low depth, high depth, mm; and how many.
type Alike = ([i64; 3], usize);

/// Firrings that are alike, counted, longest first, then deepest.
pub fn alike<'a>(firrings: impl IntoIterator<Item = &'a Firring>) -> Vec<Alike> {
    firring_kinds(firrings).into_iter().rev().map(|(sizes, count)| (sizes.map(Length::as_mm), count)).collect()
}

/// Draws every kind of tapered firring of some roofs, a few of one roof on each drawing, all at one scale.
pub fn draw(layouts: &[RoofLayout]) -> Vec<Figure> {
    let kinds = |layout: &RoofLayout| {
        let mut kinds = alike(&layout.firrings);
        kinds.retain(|([_, low, high], _)| low != high);
        kinds
    };
    let scale = Scale::of(&layouts.iter().flat_map(kinds).collect::<Vec<_>>());
    let tapered = layouts.iter().filter(|layout| !kinds(layout).is_empty());
    let telling = |place: usize, count: usize| match (place, count) {
        (_, 1) => Telling::Alone,
        (0, _) => Telling::First,
        _ => Telling::Further,
    };
    let count = tapered.clone().count();
    let figures =
        tapered.enumerate().map(|(place, layout)| of_roof(layout, &kinds(layout), scale, telling(place, count)));
    figures.flatten().collect()
}

/// What the drawings of a roof say of how they are drawn: those of a roof alone all of it, of several the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Telling {
    Alone,
    First,
    Further,
}

/// The firrings of one roof.
fn of_roof(layout: &RoofLayout, kinds: &[Alike], scale: Scale, telling: Telling) -> Vec<Figure> {
    let parts = kinds.chunks(ON_ONE).count();
    let figure = |(i, part): (usize, &[Alike])| {
        let count: usize = part.iter().map(|k| k.1).sum();
        let level: usize = alike(&layout.firrings).iter().filter(|([_, low, high], _)| low == high).map(|k| k.1).sum();
        let level = if i == 0 && level > 0 { format!(", and {level} level") } else { String::new() };
        let of = if parts > 1 { format!(", drawing {} of {parts}", i + 1) } else { String::new() };
        let words: Vec<String> = part.iter().map(in_words).collect();
        let firrings = wording::plural(count, "firring", "firrings");
        let how = match telling {
            Telling::Alone => ". Thick end high.".to_owned(),
            Telling::First => ".".to_owned(),
            Telling::Further => format!(", 1:{}.", scale.along),
        };
        Figure {
            scene: scene(part, scale, telling).into(),
            caption: format!("{}: {firrings} to cut{level}{of}{how}{}", layout.shape.name, jointed(layout)),
            alt: format!("Firrings of {} from the side: {}.", layout.shape.name, words.join("; ")),
        }
    };
    kinds.chunks(ON_ONE).enumerate().map(figure).collect()
}

/// What is said of firrings in parts, and of those that are longer than their joist.
fn jointed(layout: &RoofLayout) -> String {
    let longer = |f: &Firring| f.length > distance(f.from, f.to) + Length::mm(1);
    let over =
        layout.firrings.iter().any(longer).then_some(" Any that is longer than its joist: cut off its thin end.");
    let joints = firring_joints(&layout.firrings) > 0;
    let joints = joints.then_some(" The parts of one joist butt on it; ends that are alike meet.");
    over.into_iter().chain(joints).collect()
}

fn in_words(&([length, low, high], count): &Alike) -> String {
    format!("{count} of {length} mm, {low} mm deep at the low end and {high} mm at the high end")
}

/// How millimetres come to paper: lengths 1 to `along`, depths 1 to `deep`.
#[derive(Debug, Clone, Copy)]
struct Scale {
    along: f64,
    deep: f64,
}

impl Scale {
    fn of(kinds: &[Alike]) -> Scale {
        let most = |i: usize| kinds.iter().map(|k| k.0[i]).max().unwrap_or(1) as f64;
        let fits = |mm: f64, room: f64| move |of: &f64| mm * PT_PER_MM / of <= room;
        let first = |scales: &[f64], mm, room| scales.iter().copied().find(fits(mm, room)).unwrap_or(mm / 10.0);
        let deep = first(&DEPTHS, most(2), DEEPEST);
        // None is drawn flatter than it is.
        Scale { along: first(&SCALES, most(0), LONGEST).max(deep), deep }
    }

    fn words(self) -> String {
        let times = self.along / self.deep;
        match times > 1.0 {
            true => format!("Lengths at 1:{}; depths are drawn {times} times as deep as they are.", self.along),
            false => format!("Scale 1:{}.", self.along),
        }
    }
}

fn scene(kinds: &[Alike], scale: Scale, telling: Telling) -> Scene {
    let mut sheet = Drawing::default();
    for (row, kind) in kinds.iter().enumerate() {
        firring(&mut sheet, kind, scale, DEEPEST + ROW * row as f64);
    }
    let foot = DEEPEST + ROW * (kinds.len() as f64 - 1.0) + 24.0;
    if telling != Telling::Further {
        let end = if telling == Telling::First { " Thick end high." } else { "" };
        let notes = [format!("Low end on the left. {} Sizes in mm.{end}", scale.words())];
        key(&mut sheet, spot(0.0, foot), LEFT + LONGEST + 20.0, &[], &notes);
    }
    sheet.scale = Some(scale.along);
    sheet.finish()
}

/// One kind, its underside at `foot`.
fn firring(sheet: &mut Drawing, &([length, low, high], count): &Alike, scale: Scale, foot: f64) {
    let along = length as f64 * PT_PER_MM / scale.along;
    let deep = |mm: i64| mm as f64 * PT_PER_MM / scale.deep;
    let right = LEFT + along;
    let ring = vec![spot(LEFT, foot), spot(right, foot), spot(right, foot - deep(high)), spot(LEFT, foot - deep(low))];
    sheet.area(vec![ring], Some(Ink::Grey(0.88)), Some(pen(Ink::Black, 0.9)));
    sheet.words(spot(0.0, foot), &format!("{count} of"), 10.0, true, Anchor::Start);
    sheet.words(spot(LEFT - 5.0, foot), &low.to_string(), 8.5, true, Anchor::End);
    sheet.words(spot(right + 5.0, foot - deep(high) / 2.0 + 3.0), &high.to_string(), 8.5, true, Anchor::Start);
    measure(sheet, (LEFT, right), foot + 8.0, &length.to_string());
}

/// A measure under a firring, with a stroke at each end and the figure in the middle of it.
fn measure(sheet: &mut Drawing, (left, right): (f64, f64), at: f64, words: &str) {
    let thin = pen(Ink::Grey(0.35), 0.5);
    let (middle, half) = ((left + right) / 2.0, super::drawing::text_width(words, 8.5) / 2.0 + 3.0);
    let roomy = right - left > 2.0 * half + 4.0;
    for (end, way) in [(left, 1.0), (right, -1.0)] {
        sheet.line(&[spot(end, at - 3.0), spot(end, at + 3.0)], thin);
        if roomy {
            sheet.line(&[spot(end, at), spot(middle - way * half, at)], thin);
        }
    }
    let (from, anchor) = if roomy { (middle, Anchor::Middle) } else { (right + 4.0, Anchor::Start) };
    sheet.words(spot(from, at + 3.0), words, 8.5, false, anchor);
}
