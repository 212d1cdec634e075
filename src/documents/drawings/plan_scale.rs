//! From the roof's millimetres to paper: the scale, the scale bar, and the choice of a scale that fits.
//!
//! Given points on plan; gives spots on paper. The front of the roof lies at the foot of the drawing.

use super::drawing::{Drawing, pen, spot};
use super::labels::box_of;
use super::lines::{self, EdgeSign};
use super::one_key::PlanKey;
use super::{LABEL_SIZE, Space};
use crate::model::Point;
use crate::pages::scene::{Anchor, Ink, Scene, Spot};
use crate::takeoff::layout::shape::{Direction, RoofShape};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Points in a millimetre: 72 to the inch of 25.4 mm.
pub const PT_PER_MM: f64 = 72.0 / 25.4;

/// The scales that people have a ruler for, largest first.
pub const SCALES: [f64; 11] = [5.0, 10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];

/// A plan's scale, as 1 to `of`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanScale {
    /// 1 to this.
    pub of: f64,
}

impl PlanScale {
    /// Where a point of the roof lies on paper.
    pub fn at(self, p: Point) -> Spot {
        spot(self.pt(p.x as f64), -self.pt(p.y as f64))
    }

    /// A length on the roof, mm, as it is on paper, pt.
    pub fn pt(self, mm: f64) -> f64 {
        mm * PT_PER_MM / self.of
    }

    /// A ring on paper.
    pub fn ring(self, ring: &[Point]) -> Vec<Spot> {
        ring.iter().map(|p| self.at(*p)).collect()
    }

    /// A direction on plan, on paper.
    pub fn way(self, d: Direction) -> super::drawing::Way {
        super::drawing::Way { x: d.x, y: -d.y }
    }

    /// `Scale 1:50`.
    pub fn words(self) -> String {
        format!("Scale 1:{}", self.of)
    }
}

/// Draws `shape` at the largest scale at which the whole drawing fits the space.
pub fn fitted(space: Space, shape: &RoofShape, draw: impl Fn(PlanScale) -> Drawing) -> Arc<Scene> {
    fitted_ring(space, &shape.ring(), draw)
}

/// The same of an outline by its corners.
pub fn fitted_ring(space: Space, ring: &[Point], draw: impl Fn(PlanScale) -> Drawing) -> Arc<Scene> {
    let (low, high) = box_of(&PlanScale { of: 1.0 }.ring(ring));
    // Where the outline alone does not fit, nothing need be drawn to see it.
    let outline_fits = |of: &f64| (high.x - low.x) / of <= space.width && (high.y - low.y) / of <= space.height;
    let mut tried: Vec<Scene> = Vec::new();
    let is_asked = |of: &f64| if space.at_that_alone { *of == space.from } else { *of >= space.from };
    for of in SCALES.into_iter().filter(is_asked).filter(outline_fits) {
        let is_dot = f64::max(high.x - low.x, high.y - low.y) / of < DOT;
        if is_dot && tried.iter().any(|scene| scene.width <= space.width) {
            break;
        }
        let mut scene = draw(PlanScale { of }).finish();
        scene.scale = Some(of);
        DRAWN.set(plans_drawn() + 1);
        if scene.width <= space.width && scene.height <= space.height {
            return scene.into();
        }
        tried.push(scene);
    }
    // A key that is longer than the space is no reason to draw the roof as a dot.
    let least = tried.iter().map(|scene| scene.height).fold(f64::INFINITY, f64::min);
    let fits = |scene: &Scene| scene.width <= space.width && scene.height <= 1.25 * least;
    let place = tried.iter().position(fits).unwrap_or(tried.len().saturating_sub(1));
    tried.into_iter().nth(place).unwrap_or_default().into()
}

/// Plans without what stands at their foot, by roof and scale: a plan is tried in several spaces, and these are alike in all.
#[derive(Debug, Default)]
pub struct TriedPlans(RefCell<BTreeMap<(usize, u64), TriedPlan>>);

/// A plan, and what is still to be said at its foot.
pub type TriedPlan = (Drawing, Vec<String>);

impl TriedPlans {
    /// The plan of a roof at a scale, drawn where it is not known.
    pub fn of(&self, roof: usize, frame: PlanScale, draw: impl FnOnce() -> TriedPlan) -> TriedPlan {
        let place = (roof, frame.of.to_bits());
        let known = self.0.borrow().get(&place).cloned();
        known.unwrap_or_else(|| {
            let plan = draw();
            self.0.borrow_mut().insert(place, plan.clone());
            plan
        })
    }
}

thread_local! {
    static DRAWN: Cell<usize> = const { Cell::new(0) };
}

/// How many plans this thread has drawn, those among them that did not fit, for whoever counts the work.
pub fn plans_drawn() -> usize {
    DRAWN.get()
}

/// A roof of which both ways are shorter on paper is a dot, pt.
const DOT: f64 = 24.0;

/// What stands at the foot of a plan, or on its right where that takes less height: the key, lines of text, the scale bar. Where
/// a plan before it has the key, its scale bar serves this one too, which has the
/// scale in words.
pub fn foot(sheet: &mut Drawing, frame: PlanScale, space: Space, signs: &[EdgeSign], notes: &[String]) {
    let other_scale = space.from > 0.0 && frame.of != space.from;
    let scaled = space.key != PlanKey::Before || other_scale;
    let (low, high) = sheet.bounds();
    let key = |width: f64| {
        let mut key = Drawing::default();
        let after = lines::key(&mut key, spot(0.0, 0.0), width, signs, notes);
        match scaled {
            true => bar_of_key(&mut key, frame, after, width),
            false => key.words(spot(0.0, after.y + 5.5), &frame.words(), lines::NOTE, true, Anchor::Start),
        }
        key
    };
    let (wide, tall) = (high.x - low.x, high.y - low.y);
    let size = |key: &Drawing| {
        let (low, high) = key.bounds();
        (high.x - low.x, high.y - low.y)
    };
    let room = (space.width - wide - AIR).min(WIDEST_BESIDE);
    if room >= NARROWEST_BESIDE {
        let key = key(room);
        let (key_wide, key_tall) = size(&key);
        if key_wide <= room && key_tall <= tall {
            let down = low.y + (tall - key_tall) / 2.0 - key.bounds().0.y;
            return sheet.add(key, high.x + AIR, down);
        }
    }
    let key = key(f64::max(wide, space.width - 20.0).min(MOST_UNDER));
    let top = key.bounds().0.y;
    sheet.add(key, low.x, high.y + 10.0 - top.min(0.0));
}

/// Lines of text at the foot of a plan.
pub fn notes(sheet: &mut Drawing, space: Space, notes: &[String]) {
    let (low, high) = sheet.bounds();
    let mut said = Drawing::default();
    lines::key(&mut said, spot(0.0, 0.0), f64::max(high.x - low.x, space.width - 20.0), &[], notes);
    sheet.add(said, low.x, high.y + 10.0);
}

/// What the lines of some plans at one scale mean, and beside it their scale bar where the width has room, else the scale in words;
/// under it where there is none for these.
pub fn key_alone(sheet: &mut Drawing, frame: PlanScale, width: f64, signs: &[EdgeSign]) {
    let after = lines::key(sheet, spot(0.0, 0.0), width, signs, &[]);
    let (_, end) = sheet.bounds();
    let left = end.x + AIR;
    let words = frame.words();
    if bar_beside(sheet, frame, width) {
        return;
    }
    match super::drawing::text_width(&words, lines::NOTE) <= width - left {
        true => sheet.words(spot(left, 5.5), &words, lines::NOTE, true, Anchor::Start),
        false => scale_bar(sheet, frame, spot(2.0, after.y + 3.0), width),
    }
}

/// A scale bar beside what stands in a key, where the width has room.
fn bar_beside(key: &mut Drawing, frame: PlanScale, width: f64) -> bool {
    let left = key.bounds().1.x + AIR;
    let mut bar = Drawing::default();
    scale_bar(&mut bar, frame, spot(0.0, 0.0), width);
    let (low, high) = bar.bounds();
    let has_room = left > AIR && high.x - low.x <= width - left;
    if has_room {
        key.add(bar, left, 0.0);
    }
    has_room
}

/// The scale bar of a key: beside what its lines mean where the width has room, else under it.
fn bar_of_key(key: &mut Drawing, frame: PlanScale, after: Spot, width: f64) {
    if !bar_beside(key, frame, width) {
        scale_bar(key, frame, spot(2.0, after.y + 3.0), width);
    }
}

/// Between a plan and the key on its right, and how wide that key may be, pt.
const AIR: f64 = 16.0;
const NARROWEST_BESIDE: f64 = 116.0;
const WIDEST_BESIDE: f64 = 190.0;
/// The widest key under a plan, pt.
const MOST_UNDER: f64 = 450.0;

/// A scale bar in metres with the scale in words, its top left at `at`: beside it where the width has room, else under it.
pub fn scale_bar(sheet: &mut Drawing, frame: PlanScale, at: Spot, width: f64) {
    let metre = frame.pt(1000.0);
    let unit =
        [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(|u| u * metre >= 22.0).unwrap_or(100.0);
    for i in 0..4 {
        let x = at.x + f64::from(i) * unit * metre;
        let right = x + unit * metre;
        let fill = if i % 2 == 0 { Ink::Black } else { Ink::White };
        let ring = vec![spot(x, at.y), spot(right, at.y), spot(right, at.y + 4.0), spot(x, at.y + 4.0)];
        sheet.area(vec![ring], Some(fill), Some(pen(Ink::Black, 0.5)));
    }
    for i in [0, 2, 4] {
        let x = at.x + f64::from(i) * unit * metre;
        sheet.words(spot(x, at.y + 12.0), &format!("{}", f64::from(i) * unit), LABEL_SIZE, false, Anchor::Middle);
    }
    let end = at.x + 4.0 * unit * metre;
    let words = format!("metres · {}", frame.words());
    let beside = end + 8.0 + super::drawing::text_width(&words, lines::NOTE) <= at.x + width;
    let place = if beside { spot(end + 8.0, at.y + 5.5) } else { spot(at.x - 2.0, at.y + 23.0) };
    sheet.words(place, &words, lines::NOTE, true, Anchor::Start);
}
