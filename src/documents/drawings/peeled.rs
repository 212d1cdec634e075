//! A roof from the front and above, its layers drawn back one from the other: joists, deck, glass fibre, topcoat.
//!
//! Given a roof's shape, which way its joists run and what lies on what; gives a figure, or none where the outline is too
//! small to show anything. The outline, the openings and the finishes are the roof's own; thicknesses are drawn many times what
//! they are. A low wall that stands before the roof is cut down to where its boards lie, and goes on up in broken lines.

use super::drawing::{Drawing, dashes, part as along, pen, spot, text_width};
use super::lines::{NOTE, folded};
use super::sections::{RING, ringed_part};
use super::{LABEL_SIZE, Space};
use crate::documents::wording;
use crate::model::Finish;
use crate::model::shape::JoistRun;
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, RgbShares, Spot};
use crate::takeoff::layout::shape::{HoleShape, RoofShape, Side};
use std::cell::LazyCell;

/// One layer, as the householder knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct PeeledLayer {
    /// What it is called.
    pub words: String,
    /// What it is drawn as.
    pub look: LayerLook,
}

/// What a layer is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayerLook {
    /// Timbers with nothing between them.
    Joists,
    /// Boards with their joints.
    Boards,
    /// A thick layer.
    Insulation,
    /// The trims along the edges, before any glass fibre.
    Trims,
    /// Glass fibre.
    Laminate,
    /// The last coat, in its colour.
    Topcoat(CoatTint),
}

/// The colour of a last coat, as near as a flat tint shows it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum CoatTint {
    /// Also any colour whose name says nothing.
    #[default]
    DarkGrey,
    /// Light grey, or grey alone.
    LightGrey,
    /// Black.
    Black,
    /// White, cream.
    White,
    /// Brick red, terracotta.
    Red,
    /// Green.
    Green,
    /// Blue.
    Blue,
    /// Brown.
    Brown,
    /// Sand, buff, beige, yellow.
    Sand,
}

impl CoatTint {
    /// The colour that a name tells of: `brick red` is red.
    pub fn named(name: &str) -> CoatTint {
        const WORDS: [(&str, CoatTint); 16] = [
            ("red", CoatTint::Red),
            ("terracotta", CoatTint::Red),
            ("green", CoatTint::Green),
            ("blue", CoatTint::Blue),
            ("brown", CoatTint::Brown),
            ("sand", CoatTint::Sand),
            ("buff", CoatTint::Sand),
            ("beige", CoatTint::Sand),
            ("yellow", CoatTint::Sand),
            ("black", CoatTint::Black),
            ("white", CoatTint::White),
            ("cream", CoatTint::White),
            ("dark", CoatTint::DarkGrey),
            ("anthracite", CoatTint::DarkGrey),
            ("grey", CoatTint::LightGrey),
            ("gray", CoatTint::LightGrey),
        ];
        let name = name.to_lowercase();
        let words: Vec<&str> = name.split(|c: char| !c.is_alphabetic()).collect();
        WORDS.iter().find(|(word, _)| words.contains(word)).map(|(_, coat)| *coat).unwrap_or_default()
    }

    /// Its face, its side, and where it goes up an edge.
    const fn inks(self) -> [Ink; 3] {
        match self {
            CoatTint::DarkGrey => [Ink::Grey(0.62), Ink::Grey(0.5), Ink::Grey(0.56)],
            CoatTint::LightGrey => [Ink::Grey(0.8), Ink::Grey(0.66), Ink::Grey(0.73)],
            CoatTint::Black => [Ink::Grey(0.45), Ink::Grey(0.33), Ink::Grey(0.4)],
            CoatTint::White => [Ink::Grey(0.98), Ink::Grey(0.84), Ink::Grey(0.91)],
            CoatTint::Red => shaded([0.76, 0.47, 0.41]),
            CoatTint::Green => shaded([0.53, 0.68, 0.53]),
            CoatTint::Blue => shaded([0.52, 0.62, 0.74]),
            CoatTint::Brown => shaded([0.66, 0.54, 0.45]),
            CoatTint::Sand => shaded([0.87, 0.79, 0.62]),
        }
    }
}

/// A face, its side in less light, and what stands between them.
const fn shaded([red, green, blue]: RgbShares) -> [Ink; 3] {
    const SIDE: f32 = 0.82;
    const EDGE: f32 = 0.91;
    [
        Ink::Mixed([red, green, blue]),
        Ink::Mixed([red * SIDE, green * SIDE, blue * SIDE]),
        Ink::Mixed([red * EDGE, green * EDGE, blue * EDGE]),
    ]
}

impl LayerLook {
    /// How thick it is drawn, as a share of the drawing's unit.
    const fn thick(self) -> f64 {
        match self {
            LayerLook::Joists => 170.0,
            LayerLook::Boards => 50.0,
            LayerLook::Insulation => 120.0,
            LayerLook::Trims => 0.0,
            LayerLook::Laminate | LayerLook::Topcoat(_) => 34.0,
        }
    }

    /// Its face and its side.
    const fn inks(self) -> [Ink; 2] {
        match self {
            LayerLook::Joists => [Ink::Grey(0.97), Ink::Grey(0.84)],
            LayerLook::Boards | LayerLook::Trims => [Ink::Grey(0.88), Ink::Grey(0.7)],
            LayerLook::Insulation => [Ink::Grey(0.97), Ink::Grey(0.9)],
            LayerLook::Laminate => [Ink::AccentTint(0.68), Ink::AccentTint(0.45)],
            LayerLook::Topcoat(coat) => {
                let [face, side, _] = coat.inks();
                [face, side]
            }
        }
    }
}

/// What edges are drawn in before there is laminate.
const BARE: Ink = Ink::Grey(0.6);

/// What edges are drawn in once they are coated.
fn coated(layers: &[PeeledLayer]) -> Ink {
    let coat = layers.iter().find_map(|layer| match layer.look {
        LayerLook::Topcoat(coat) => Some(coat),
        _ => None,
    });
    coat.unwrap_or_default().inks()[2]
}

/// A place on plan, mm.
type PlanPlace = (f64, f64);

/// Draws a roof; its layers from below, each with its name under it.
pub fn draw(shape: &RoofShape, run: JoistRun, layers: &[PeeledLayer], space: Space) -> Option<Figure> {
    let view = View::of(shape, run, Space { height: space.height - NAMES, ..space })?;
    let mut sheet = Drawing::default();
    view.roof(&mut sheet, layers);
    view.names(&mut sheet, layers);
    Some(figure(shape, layers, sheet))
}

/// Draws a roof where there is no room for the names of its layers.
pub fn draw_small(shape: &RoofShape, run: JoistRun, layers: &[PeeledLayer], space: Space) -> Option<Figure> {
    let mut sheet = Drawing::default();
    View::of(shape, run, space)?.roof(&mut sheet, layers);
    Some(figure(shape, layers, sheet))
}

/// A roof among many.
pub struct SmallRoof<'a> {
    /// Its shape.
    pub shape: &'a RoofShape,
    /// Which way its joists run.
    pub run: JoistRun,
    /// Its layers from below.
    pub layers: &'a [PeeledLayer],
    /// What stands under it.
    pub name: String,
}

/// Draws many roofs in rows, each over its name: as many across as makes them largest. Gives a figure and how many of them it
/// has room for, from the first.
pub fn draw_in_rows(all: &[SmallRoof<'_>], space: Space) -> Option<(Figure, usize)> {
    let laid = (MOST_ACROSS.0..=MOST_ACROSS.1).map(|across| SmallRows::of(all, across, space));
    let laid = laid.filter(|rows| rows.across == MOST_ACROSS.0 || rows.holds_names(all));
    // The first of those that are as good has the fewest side by side.
    let best = laid.reduce(|best, next| if next.is_better(&best) { next } else { best })?;
    let mut sheet = Drawing::default();
    let drawn = &all[..best.count.min(all.len())];
    for (place, roof) in drawn.iter().enumerate() {
        best.put(&mut sheet, place, roof)?;
    }
    let names: Vec<String> = drawn.iter().map(|roof| roof.name.clone()).collect();
    let alt = format!(
        "{} from the front and above, their layers drawn back from left to right. Not to scale.",
        wording::list(&names)
    );
    let figure = Figure { scene: sheet.finish().into(), caption: String::new(), alt };
    (!drawn.is_empty()).then_some((figure, drawn.len()))
}

/// So many stand side by side, at least and at most; between them, and between rows, pt; a row is no lower than that.
const MOST_ACROSS: (usize, usize) = (2, 6);
const BETWEEN: (f64, f64) = (7.0, 5.0);
const LOWEST: f64 = 15.0;
/// A small drawing narrower than this has thinner lines, pt.
const FULL_LINES: f64 = 110.0;
/// From one line of a name to the next, pt.
const NAME: f64 = 9.6;

/// Small drawings in rows.
struct SmallRows {
    across: usize,
    /// How many are drawn.
    count: usize,
    /// What each drawing may take.
    each: Space,
    /// Lines of the longest name.
    lines: usize,
}

impl SmallRows {
    fn of(all: &[SmallRoof<'_>], across: usize, space: Space) -> SmallRows {
        let width = (space.width + BETWEEN.0) / across as f64 - BETWEEN.0;
        let lines = all.iter().map(|roof| folded(&roof.name, width, LABEL_SIZE).len()).max().unwrap_or(1);
        let named = NAME * lines as f64 + BETWEEN.1;
        let most = ((space.height / (LOWEST + named)).floor() as usize).max(1);
        let rows = all.len().div_ceil(across).min(most);
        let height = (space.height / rows as f64 - named).max(LOWEST);
        SmallRows { across, count: (rows * across).min(all.len()), each: Space { width, height, ..space }, lines }
    }

    /// Whether no name reaches over what is beside it.
    fn holds_names(&self, all: &[SmallRoof<'_>]) -> bool {
        let lines = |roof: &SmallRoof<'_>| folded(&roof.name, self.each.width, LABEL_SIZE);
        all.iter().flat_map(lines).all(|line| text_width(&line, LABEL_SIZE) <= self.each.width)
    }

    /// More of them, else larger ones: a roof is some three times as wide as it is high there.
    fn is_better(&self, other: &SmallRows) -> bool {
        let size = |of: &SmallRows| of.each.width.min(3.0 * of.each.height);
        (self.count, size(self)) > (other.count, size(other))
    }

    /// Puts one at its place, its foot on that of its row.
    fn put(&self, sheet: &mut Drawing, place: usize, roof: &SmallRoof<'_>) -> Option<()> {
        let mut drawn = Drawing::default();
        View::of(roof.shape, roof.run, self.each)?.roof(&mut drawn, roof.layers);
        drawn.thin_out(f64::min(1.0, self.each.width / FULL_LINES));
        let (low, high) = drawn.bounds();
        let row = self.each.height + NAME * self.lines as f64 + BETWEEN.1;
        let left = (self.each.width + BETWEEN.0) * (place % self.across) as f64;
        let foot = row * (place / self.across) as f64 + self.each.height;
        sheet.add(drawn, left - low.x, foot - high.y);
        for (line, words) in folded(&roof.name, self.each.width, LABEL_SIZE).iter().enumerate() {
            let down = foot + NAME * (line + 1) as f64;
            sheet.words(spot(left, down), words, LABEL_SIZE, false, Anchor::Start);
        }
        Some(())
    }
}

/// The names of layers from below.
pub fn names(layers: &[PeeledLayer]) -> Vec<String> {
    layers.iter().map(|layer| layer.words.clone()).collect()
}

fn figure(shape: &RoofShape, layers: &[PeeledLayer], sheet: Drawing) -> Figure {
    let alt = format!(
        "{} from the front and above, its layers drawn back from left to right: {}. Not to scale.",
        shape.name,
        wording::list(&names(layers))
    );
    Figure { scene: sheet.finish().into(), caption: String::new(), alt }
}

/// How far a millimetre to the back goes right and up on paper, beside one to the right.
const BACK: (f64, f64) = (0.42, 0.40);
/// How far a slope behind a roof is drawn up, in units of the drawing, and how far back and up it goes for each.
const RISES: f64 = 700.0;
const PITCH: (f64, f64) = (0.82, 0.57);
/// How far the cut of each layer leans, to the right for each millimetre to the back.
const LEAN: f64 = 0.12;
/// How high a low wall is drawn and how thick, and how wide a box gutter, in units of the drawing.
const LOW_WALL: f64 = 430.0;
const WALL: f64 = 215.0;
const GUTTER: f64 = 330.0;
/// Room under the drawing for the names of its layers, pt.
const NAMES: f64 = 26.0;

/// A roof on paper.
struct View<'a> {
    shape: &'a RoofShape,
    /// Which way its joists run.
    run: JoistRun,
    ring: Vec<PlanPlace>,
    low: PlanPlace,
    wide: f64,
    deep: f64,
    /// Points on paper for a millimetre.
    k: f64,
    /// What thicknesses and heights are counted in: as the roof is wide, so that a small one is not drawn thicker.
    unit: f64,
}

impl<'a> View<'a> {
    fn of(shape: &'a RoofShape, run: JoistRun, space: Space) -> Option<View<'a>> {
        let ring: Vec<PlanPlace> = shape.ring().iter().map(|p| (p.x as f64, p.y as f64)).collect();
        let least = |f: fn(&PlanPlace) -> f64| ring.iter().map(f).fold(f64::INFINITY, f64::min);
        let most = |f: fn(&PlanPlace) -> f64| ring.iter().map(f).fold(f64::NEG_INFINITY, f64::max);
        let low = (least(|p| p.0), least(|p| p.1));
        let (wide, deep) = (most(|p| p.0) - low.0, most(|p| p.1) - low.1);
        if !(wide > 0.0 && deep > 0.0) {
            return None;
        }
        let unit = (wide + BACK.0 * deep) / 6600.0;
        let behind =
            if shape.sides.iter().any(|s| s.finish == Finish::Step) { BACK.0 * PITCH.0 * RISES * unit } else { 0.0 };
        let before = shape.sides.iter().map(beyond).fold(0.0, f64::max) * unit;
        let across = wide + BACK.0 * deep + behind + before;
        let up = BACK.1 * (deep + before) + 1100.0 * unit;
        let k = (space.width / across).min(space.height / up);
        Some(View { shape, run, ring, low, wide, deep, k, unit })
    }

    fn at(&self, (x, y): PlanPlace, z: f64) -> Spot {
        spot((x + BACK.0 * y) * self.k, -(BACK.1 * y + z) * self.k)
    }

    fn face(&self, sheet: &mut Drawing, ring: &[PlanPlace], z: f64, ink: Ink) {
        let ring: Vec<Spot> = ring.iter().map(|p| self.at(*p, z)).collect();
        if ring.len() > 2 {
            sheet.area(vec![ring], Some(ink), Some(pen(Ink::Black, 0.5)));
        }
    }

    fn upright(&self, sheet: &mut Drawing, (a, b): (PlanPlace, PlanPlace), (foot, top): (f64, f64), ink: Ink) {
        let ring = vec![self.at(a, foot), self.at(b, foot), self.at(b, top), self.at(a, top)];
        sheet.area(vec![ring], Some(ink), Some(pen(Ink::Black, 0.5)));
    }

    /// A slab: the sides that face the reader, those behind first, then its face.
    fn slab(&self, sheet: &mut Drawing, ring: &[PlanPlace], (foot, top): (f64, f64), [face, side]: [Ink; 2]) {
        let mut sides: Vec<(PlanPlace, PlanPlace)> = sides(ring).filter(|&(a, b)| is_seen(a, b)).collect();
        sides.sort_by(|a, b| (b.0.1 + b.1.1).total_cmp(&(a.0.1 + a.1.1)));
        sides.into_iter().for_each(|ends| self.upright(sheet, ends, (foot, top), side));
        self.face(sheet, ring, top, face);
    }

    /// What of a ring lies right of where a layer begins.
    fn from(&self, ring: &[PlanPlace], share: f64) -> Vec<Vec<PlanPlace>> {
        let begins = self.low.0 + share * self.wide;
        clipped(ring, (1.0, -LEAN), begins - LEAN * self.low.1)
    }

    fn roof(&self, sheet: &mut Drawing, layers: &[PeeledLayer]) {
        let walls = |side: &&Side| matches!(side.finish, Finish::Wall | Finish::Step);
        for side in self.shape.sides.iter().filter(walls) {
            let (a, b) = ends(side);
            match side.finish {
                _ if !is_seen(b, a) => {}
                Finish::Step => self.slope(sheet, (a, b)),
                _ => self.wall(sheet, (a, b), if side.coped.is_some() { LOW_WALL } else { 680.0 }),
            }
        }
        let mut z = 0.0;
        let mut under = None;
        for (n, layer) in layers.iter().enumerate() {
            let top = z + layer.look.thick() * self.unit;
            let share = begin(n, layers.len());
            let parts = self.from(&self.ring, share);
            match layer.look {
                LayerLook::Joists => self.joists(sheet, (z, top), begin(1, layers.len())),
                LayerLook::Trims => self.edges(sheet, share, (z, z), None),
                look => parts.iter().for_each(|ring| self.slab(sheet, ring, (z, top), look.inks())),
            }
            if layer.look == LayerLook::Boards {
                parts.iter().for_each(|ring| self.joints(sheet, ring, top));
            }
            if layer.look == LayerLook::Laminate {
                under = Some((share, top));
            }
            z = top;
        }
        let (share, laminate) = under.unwrap_or((0.0, z));
        let coat = coated(layers);
        self.edges(sheet, share, (laminate, z), Some(coat));
        self.openings(sheet, layers, z);
        for side in self.shape.sides.iter().filter(|side| beyond(side) > 0.0) {
            self.before(sheet, side, (share, coat), laminate);
        }
    }

    /// What stands before the roof, towards the reader: a box gutter, lined where there is laminate, and the low wall.
    fn before(&self, sheet: &mut Drawing, side: &Side, (share, coat): (f64, Ink), lip: f64) {
        let u = self.unit;
        let (foot, near) = (-230.0 * u, ends(side));
        let mut inner = near;
        if side.finish == Finish::Gutter {
            let bare = LayerLook::Boards.inks();
            inner = inset(near.0, near.1, -GUTTER * u);
            self.face(sheet, &[near.0, inner.0, inner.1, near.1], foot, bare[0]);
            self.upright(sheet, near, (foot, lip), bare[1]);
            if let Some((a, b)) = self.right_of(near.0, near.1, share) {
                let far = inset(a, b, -GUTTER * u);
                self.face(sheet, &[a, far.0, far.1, b], foot, coat);
                self.upright(sheet, (a, b), (foot, lip), Ink::Grey(0.5));
            }
        }
        let outer = inset(inner.0, inner.1, -WALL * u);
        let ring = [inner.0, outer.0, outer.1, inner.1];
        self.slab(sheet, &ring, (foot - 110.0 * u, foot), [Ink::Grey(0.8), Ink::Grey(0.93)]);
        let top = LOW_WALL * u;
        let broken = dashes(Ink::Grey(0.45), 0.5, 2.0, 1.5);
        let ring: Vec<Spot> = ring.iter().chain([&inner.0]).map(|p| self.at(*p, top)).collect();
        sheet.line(&ring, broken);
        for (p, from) in [(outer.0, foot), (outer.1, foot)] {
            sheet.line(&[self.at(p, from), self.at(p, top)], broken);
        }
    }

    /// A wall behind the roof, in courses.
    fn wall(&self, sheet: &mut Drawing, (a, b): (PlanPlace, PlanPlace), tall: f64) {
        let (foot, top) = (-60.0 * self.unit, tall * self.unit);
        self.upright(sheet, (a, b), (foot, top), Ink::Grey(0.93));
        for course in 1..9 {
            let z = foot + (top - foot) * f64::from(course) / 9.0;
            sheet.line(&[self.at(a, z), self.at(b, z)], pen(Ink::Grey(0.75), 0.3));
        }
    }

    /// A roof that rises behind this one, in courses.
    fn slope(&self, sheet: &mut Drawing, ends: (PlanPlace, PlanPlace)) {
        let top = RISES * self.unit;
        self.sloped(sheet, ends, 0.0, (0.0, top), Ink::Grey(0.93));
        for course in 1..6 {
            let up = self.up_slope(ends, 0.0, top * f64::from(course) / 6.0);
            sheet.line(&up, pen(Ink::Grey(0.75), 0.3));
        }
    }

    /// A line along a slope that begins at an edge, so far up it.
    fn up_slope(&self, (a, b): (PlanPlace, PlanPlace), foot: f64, up: f64) -> [Spot; 2] {
        let (a, b) = inset(a, b, -up * PITCH.0);
        [a, b].map(|p| self.at(p, foot + up * PITCH.1))
    }

    fn sloped(&self, sheet: &mut Drawing, ends: (PlanPlace, PlanPlace), foot: f64, (from, to): (f64, f64), ink: Ink) {
        let [a, b] = self.up_slope(ends, foot, from);
        let [d, c] = self.up_slope(ends, foot, to);
        sheet.area(vec![vec![a, b, c, d]], Some(ink), Some(pen(Ink::Black, 0.5)));
    }

    /// Joists where nothing lies on them yet, the fascia round the others.
    fn joists(&self, sheet: &mut Drawing, (foot, top): (f64, f64), covered: f64) {
        let [face, side] = LayerLook::Joists.inks();
        self.slab(sheet, &self.ring, (foot - 110.0 * self.unit, foot), [Ink::White, Ink::Grey(0.97)]);
        let (pitch, thick) = (420.0 * self.unit.max(0.35), 70.0 * self.unit.max(0.35));
        let (across, begins, end) = match self.run {
            JoistRun::FrontToBack => ((1.0, 0.0), self.low.0, self.low.0 + covered * self.wide + LEAN * self.deep),
            JoistRun::LeftToRight => ((0.0, 1.0), self.low.1, self.low.1 + self.deep),
        };
        let joist = |n: usize| {
            let near = begins + pitch * n as f64;
            let from_near = clipped(&self.ring, across, near);
            let to_far = |ring: Vec<PlanPlace>| clipped(&ring, (-across.0, -across.1), -(near + thick));
            from_near.into_iter().flat_map(to_far).filter(|ring| ring.len() > 2).collect::<Vec<_>>()
        };
        let count = ((end - begins) / pitch).ceil() as usize + 1;
        for ring in (0..count).rev().flat_map(joist) {
            self.slab(sheet, &ring, (foot, top), [face, side]);
        }
        for closed in self.from(&self.ring, covered) {
            self.slab(sheet, &closed, (foot, top), [Ink::White, Ink::Grey(0.97)]);
        }
    }

    /// The long joints of boards, across the joists.
    fn joints(&self, sheet: &mut Drawing, ring: &[PlanPlace], z: f64) {
        let turned = |(x, y): PlanPlace| match self.run {
            JoistRun::FrontToBack => (x, y),
            JoistRun::LeftToRight => (y, x),
        };
        let ring: Vec<PlanPlace> = ring.iter().map(|p| turned(*p)).collect();
        let far = ring.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
        let mut at = turned(self.low).1 + 590.0;
        while at < far {
            let mut cuts: Vec<f64> = sides(&ring).filter_map(|(a, b)| crossing(a, b, at)).collect();
            cuts.sort_by(f64::total_cmp);
            for ends in cuts.chunks_exact(2) {
                let line = [ends[0], ends[1]].map(|along| self.at(turned((along, at)), z));
                sheet.line(&line, pen(Ink::Grey(0.45), 0.35));
            }
            at += 590.0;
        }
    }

    /// The edges right of a share, bare or in their coat, as they are finished: a drip hangs over, a raised edge stands up, the roof
    /// goes up a wall.
    fn edges(&self, sheet: &mut Drawing, share: f64, (laminate, top): (f64, f64), coat: Option<Ink>) {
        let u = self.unit;
        let ink = coat.unwrap_or(BARE);
        let mut seen: Vec<&Side> = self.shape.sides.iter().collect();
        seen.sort_by_key(|side| std::cmp::Reverse(side.from.y + side.to.y));
        for side in seen {
            let (a, b) = ends(side);
            let Some((a, b)) = self.right_of(a, b, share) else { continue };
            let faces = is_seen(a, b);
            match side.finish {
                Finish::Drip if faces => self.upright(sheet, (a, b), (laminate - 130.0 * u, top), DRIP),
                Finish::Raised => {
                    let inner = inset(a, b, 80.0 * u);
                    let ring = [a, b, inner.1, inner.0];
                    let inks = [ink, Ink::Grey(0.97)];
                    self.slab(sheet, &ring, (top - 40.0 * u, top + 75.0 * u), inks);
                }
                Finish::Step if is_seen(b, a) => self.sloped(sheet, (a, b), top, (0.0, 200.0 * u), ink),
                Finish::Wall if is_seen(b, a) => {
                    self.upright(sheet, (a, b), (top, top + 150.0 * u), ink);
                    if coat.is_some() && side.coped.is_none() {
                        self.upright(sheet, (a, b), (top + 105.0 * u, top + 230.0 * u), Ink::Grey(0.6));
                    }
                }
                _ => {}
            }
        }
    }

    /// What of an edge lies where there is laminate.
    fn right_of(&self, a: PlanPlace, b: PlanPlace, share: f64) -> Option<(PlanPlace, PlanPlace)> {
        let begins = self.low.0 + share * self.wide - LEAN * self.low.1;
        let over = |p: PlanPlace| p.0 - LEAN * p.1 - begins;
        let (at, bt) = (over(a), over(b));
        let cut = |t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        match (at >= 0.0, bt >= 0.0) {
            (true, true) => Some((a, b)),
            (false, false) => None,
            (true, false) => Some((a, cut(at / (at - bt)))),
            (false, true) => Some((cut(at / (at - bt)), b)),
        }
    }

    /// What stands in the roof, that at the back first: rooflights on their kerbs, chimneys, pipes.
    fn openings(&self, sheet: &mut Drawing, layers: &[PeeledLayer], z: f64) {
        let ring_of =
            |hole: &HoleShape| -> Vec<PlanPlace> { hole.ring.iter().map(|p| (p.x as f64, p.y as f64)).collect() };
        let mut holes: Vec<(Vec<PlanPlace>, &HoleShape)> = self.shape.holes.iter().map(|h| (ring_of(h), h)).collect();
        let front = |ring: &[PlanPlace]| ring.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
        holes.sort_by(|a, b| front(&b.0).total_cmp(&front(&a.0)));
        for (ring, hole) in holes {
            match hole.finish {
                _ if hole.round => self.pipe(sheet, &ring, (self.shown_at(layers, middle_of(&ring)), z)),
                Finish::Wall => self.chimney(sheet, &ring, z),
                _ => self.rooflight(sheet, &ring, z),
            }
        }
    }

    fn rooflight(&self, sheet: &mut Drawing, ring: &[PlanPlace], z: f64) {
        let u = self.unit;
        let top = z + 170.0 * u;
        self.slab(sheet, ring, (z - 30.0 * u, top), [Ink::White, Ink::Grey(0.56)]);
        let (x, y) = middle_of(ring);
        let pane: Vec<PlanPlace> = ring.iter().map(|p| (x + (p.0 - x) * 0.78, y + (p.1 - y) * 0.78)).collect();
        self.face(sheet, &pane, top, Ink::AccentTint(0.88));
    }

    /// In courses, as a wall, and lower than one, so that it hides little.
    fn chimney(&self, sheet: &mut Drawing, ring: &[PlanPlace], z: f64) {
        let (foot, top) = (z - 30.0 * self.unit, z + 420.0 * self.unit);
        self.slab(sheet, ring, (foot, top), [Ink::Grey(0.8), Ink::Grey(0.93)]);
        for (a, b) in sides(ring).filter(|&(a, b)| is_seen(a, b)) {
            for course in 1..6 {
                let z = foot + (top - foot) * f64::from(course) / 6.0;
                sheet.line(&[self.at(a, z), self.at(b, z)], pen(Ink::Grey(0.75), 0.3));
            }
        }
    }

    /// How high the layer lies that is shown at a place.
    fn shown_at(&self, layers: &[PeeledLayer], (x, y): PlanPlace) -> f64 {
        let share = (x - self.low.0 - LEAN * (y - self.low.1)) / self.wide;
        let shown = layers.iter().enumerate().take_while(|(n, _)| begin(*n, layers.len()) <= share);
        shown.map(|(_, layer)| layer.look.thick() * self.unit).sum()
    }

    /// A pipe, from what is shown round it to where it ends over the finished roof at `z`.
    fn pipe(&self, sheet: &mut Drawing, ring: &[PlanPlace], (foot, z): (f64, f64)) {
        let top = z + 260.0 * self.unit;
        let (x, y) = middle_of(ring);
        let half = ring.iter().map(|p| p.0 - x).fold(0.0, f64::max);
        self.upright(sheet, ((x - half, y), (x + half, y)), (foot, top), Ink::White);
        self.face(sheet, ring, top, Ink::Grey(0.8));
    }

    /// The names of the layers in a row under the front, each with a line to its layer; in one text where they have no room, and
    /// by numbers on the layers where a line would cross what is no part of them.
    fn names(&self, sheet: &mut Drawing, layers: &[PeeledLayer]) {
        let (low, high) = sheet.bounds();
        let wide = high.x - low.x;
        let widths: Vec<f64> = layers.iter().map(|layer| text_width(&layer.words, NOTE) + 7.0).collect();
        let foot = high.y + 19.0;
        let in_one_text = |sheet: &mut Drawing| {
            written(sheet, &format!("From the left: {}.", names(layers).join(", ")), (low.x, high.y), wide);
        };
        if widths.iter().sum::<f64>() > wide {
            return in_one_text(sheet);
        }
        let mut left = low.x;
        let mut rest: f64 = widths.iter().sum();
        let mut leaders = Vec::new();
        for (seen, width) in self.seen_layers(layers).iter().zip(&widths) {
            let part = self.part(sheet, seen);
            // As near under its layer as those on both sides leave room for.
            let x = (part.x - width / 2.0).min(high.x - rest).max(left);
            leaders.push((part, spot(x + width / 2.0, foot)));
            left = x + width;
            rest -= width;
        }
        let before = self.shape.sides.iter().any(|side| beyond(side) > 0.0);
        let has_face =
            |l: &&PeeledLayer| matches!(l.look, LayerLook::Boards | LayerLook::Laminate | LayerLook::Topcoat(_));
        let faces: Vec<Ink> = layers.iter().filter(has_face).map(|l| l.look.inks()[0]).collect();
        let over =
            |(layer, (part, name)): (&PeeledLayer, &(Spot, Spot))| crosses_a_face(sheet, &faces, layer, (*part, *name));
        if before || layers.iter().zip(&leaders).any(over) {
            if !self.numbers(sheet, layers) {
                return in_one_text(sheet);
            }
            let said = layers.iter().enumerate().map(|(n, layer)| format!("{} {}", n + 1, layer.words));
            let (low, high) = sheet.bounds();
            written(sheet, &said.collect::<Vec<_>>().join(",  "), (low.x, high.y), wide);
            return;
        }
        for (layer, (part, name)) in layers.iter().zip(leaders) {
            sheet.line(&[part, spot(name.x, name.y - 8.0)], pen(Ink::Black, NAME_LEADER));
            sheet.circle(part, 1.0, Some(Ink::Black), None);
            sheet.words(name, &layer.words, NOTE, false, Anchor::Middle);
        }
    }

    /// A ringed number on each layer; that of trims, which are narrow, beside them. Says whether there is room for them all: else
    /// there is none.
    fn numbers(&self, sheet: &mut Drawing, layers: &[PeeledLayer]) -> bool {
        let seen_layers = self.seen_layers(layers);
        let places: Vec<(Spot, Spot)> = seen_layers.iter().map(|seen| self.number_place(sheet, seen)).collect();
        let near = |(a, b): (Spot, Spot)| (a.x - b.x).abs() < 3.0 * RING && (a.y - b.y).abs() < 2.0 * RING;
        let each = || places.iter().enumerate();
        if each().any(|(n, (_, a))| each().any(|(m, (_, b))| n < m && near((*a, *b)))) {
            return false;
        }
        for (n, (part, at)) in places.into_iter().enumerate() {
            if part != at {
                sheet.line(&[part, at], pen(Ink::Black, NAME_LEADER));
                sheet.circle(part, 1.0, Some(Ink::Black), None);
            }
            ringed_part(sheet, at, &(n + 1).to_string());
        }
        true
    }

    /// What a number is of, and where it stands.
    fn number_place(&self, sheet: &Drawing, seen: &SeenLayer) -> (Spot, Spot) {
        if seen.look == LayerLook::Trims {
            let part = self.part(sheet, seen);
            // What hangs over an edge in front is numbered below it, what stands up behind above it.
            let hangs = sheet.ink_at(part) == Some(DRIP);
            return (part, spot(part.x, part.y + if hangs { 1.0 } else { -1.0 } * 2.0 * RING));
        }
        let joists = [LayerLook::Joists.inks()[0], LayerLook::Joists.inks()[1], Ink::White];
        let inks: &[Ink] = if seen.look == LayerLook::Joists { &joists } else { &seen.look.inks()[..1] };
        let is_own = |ink: Option<Ink>| ink.is_some_and(|ink| inks.contains(&ink));
        let clear = |at: &Spot| {
            let mut round = (0..8).map(|n| (std::f64::consts::TAU * f64::from(n) / 8.0).sin_cos());
            round.all(|(x, y)| is_own(sheet.ink_at(spot(at.x + (RING + 1.0) * x, at.y + (RING + 1.0) * y))))
        };
        // From the middle outwards, back and across.
        let out = |n: i32| f64::from(if n % 2 == 0 { n / 2 } else { -n.div_euclid(2) - 1 }) / f64::from(TRIES);
        let at = |back: f64, across: f64| {
            let (from, to) = seen.shares;
            let (share, y) = (f64::midpoint(from, to) + across * (to - from), self.low.1 + (0.5 + back) * self.deep);
            self.at((self.low.0 + share * self.wide + LEAN * (y - self.low.1), y), seen.heights.1)
        };
        let found = (0..TRIES).find_map(|back| {
            let row = sheet.inks_along(at(out(back), 0.0).y);
            let mut places = (0..TRIES).map(|across| at(out(back), out(across)));
            places.find(|at| is_own(row.at(at.x)) && clear(at))
        });
        let found = found.unwrap_or_else(|| self.part(sheet, seen));
        (found, found)
    }

    /// Each layer with where it is seen.
    fn seen_layers(&self, layers: &[PeeledLayer]) -> Vec<SeenLayer> {
        let mut z = 0.0;
        let seen = layers.iter().enumerate().map(|(n, layer)| {
            let foot = z;
            z += layer.look.thick() * self.unit;
            let shares = (begin(n, layers.len()), begin(n + 1, layers.len()));
            SeenLayer { look: layer.look, shares, heights: (foot, z) }
        });
        seen.collect()
    }
}

/// A layer where it is seen: from and to which share of the roof's width, and between which heights.
struct SeenLayer {
    look: LayerLook,
    shares: (f64, f64),
    heights: (f64, f64),
}

/// A text under a drawing, in lines no longer than it is wide.
fn written(sheet: &mut Drawing, text: &str, (left, foot): (f64, f64), wide: f64) {
    for (row, line) in folded(text, wide, NOTE).iter().enumerate() {
        sheet.words(spot(left, foot + 11.0 + 10.0 * row as f64), line, NOTE, false, Anchor::Start);
    }
}

/// Width of the lines from the names of layers, pt.
pub const NAME_LEADER: f64 = 0.4;

/// Whether a line from a layer to its name runs over the face of another one on its way.
fn crosses_a_face(sheet: &Drawing, faces: &[Ink], of: &PeeledLayer, (part, name): (Spot, Spot)) -> bool {
    let own = of.look.inks()[0];
    let on_the_way = (1..TRIES).map(|n| along(part, name, f64::from(n) / f64::from(TRIES)));
    on_the_way
        .filter_map(|at| sheet.ink_at(at))
        .any(|ink| faces.contains(&ink) && (of.look == LayerLook::Trims || ink != own))
}

impl View<'_> {
    /// Where the line from a layer's name ends: on what is seen of it, as near to the front and to its middle as may be.
    fn part(&self, sheet: &Drawing, seen: &SeenLayer) -> Spot {
        let &SeenLayer { look, shares: (from, to), heights: (z, top) } = seen;
        let middle = f64::midpoint(from, to);
        let far = |n: i32| f64::from(n) / f64::from(TRIES);
        let across = |n: i32| middle + (to - from) * 0.5 * far(n);
        let shares = (0..TRIES).flat_map(|n| [across(n), across(-n)]);
        let shares: &[f64] = &shares.collect::<Vec<f64>>();
        let inks: &[Ink] = if look == LayerLook::Trims { &TRIM_INKS } else { &look.inks()[..1] };
        // Trims hang over an edge in front, or stand up before a wall behind.
        let trims = [z - 65.0 * self.unit, z + 75.0 * self.unit];
        let heights: &[f64] = if look == LayerLook::Trims { &trims } else { &[top] };
        let at = |share: f64, y: f64, height: f64| {
            self.at((self.low.0 + share * self.wide + LEAN * (y - self.low.1), y), height)
        };
        let is_own = |ink: Option<Ink>| ink.is_some_and(|ink| inks.contains(&ink));
        let depths = (0..TRIES).map(|n| self.low.1 + self.deep * far(n));
        let depths: &[f64] = &depths.collect::<Vec<f64>>();
        let rows = heights.iter().flat_map(|height| depths.iter().map(move |y| (*height, *y)));
        let mut found = rows.filter_map(|(height, y)| {
            let level = at(middle, y, height).y;
            let along = |by: f64| LazyCell::new(move || sheet.inks_along(level + by));
            let (row, above, below) = (sheet.inks_along(level), along(-DOT), along(DOT));
            let mut places = shares.iter().map(|share| at(*share, y, height));
            places.find(|&at| {
                [0.0, DOT, -DOT].iter().all(|by| is_own(row.at(at.x + by)))
                    && is_own(above.at(at.x))
                    && is_own(below.at(at.x))
            })
        });
        found.next().unwrap_or_else(|| at(middle, self.low.1, heights[0]))
    }
}

/// Places that are tried back and across for the end of a name's line, and how far round it its layer is seen, pt.
const TRIES: i32 = 40;
const DOT: f64 = 1.0;

/// What a drip and other edges are drawn in before there is laminate.
const TRIM_INKS: [Ink; 2] = [DRIP, BARE];
const DRIP: Ink = Ink::Grey(0.25);

/// Where a layer begins, as a share of the roof's width; past the last, the roof's end.
fn begin(n: usize, of: usize) -> f64 {
    match n {
        0 => 0.0,
        n if n >= of => 1.0,
        n => (n as f64) * 0.66 / (of as f64 - 1.0).max(1.0),
    }
}

fn sides(ring: &[PlanPlace]) -> impl Iterator<Item = (PlanPlace, PlanPlace)> {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]))
}

fn middle_of(ring: &[PlanPlace]) -> PlanPlace {
    let count = ring.len().max(1) as f64;
    (ring.iter().map(|p| p.0).sum::<f64>() / count, ring.iter().map(|p| p.1).sum::<f64>() / count)
}

fn ends(side: &Side) -> (PlanPlace, PlanPlace) {
    ((side.from.x as f64, side.from.y as f64), (side.to.x as f64, side.to.y as f64))
}

/// Whether the outer face of a side, the roof on its left, is turned to the reader.
fn is_seen(a: PlanPlace, b: PlanPlace) -> bool {
    let out = (b.1 - a.1, a.0 - b.0);
    out.1 - BACK.0 * out.0 < -1e-6
}

/// How far what stands before a roof goes out from one of its sides, in units of the drawing: a low wall, with a box gutter
/// before it or not.
fn beyond(side: &Side) -> f64 {
    let (a, b) = ends(side);
    match side.finish {
        _ if !is_seen(a, b) => 0.0,
        Finish::Gutter => GUTTER + WALL,
        _ if side.coped.is_some() => WALL,
        _ => 0.0,
    }
}

/// A side moved inwards.
fn inset(a: PlanPlace, b: PlanPlace, by: f64) -> (PlanPlace, PlanPlace) {
    let long = (b.0 - a.0).hypot(b.1 - a.1).max(1e-9);
    let inwards = (-(b.1 - a.1) / long * by, (b.0 - a.0) / long * by);
    ((a.0 + inwards.0, a.1 + inwards.1), (b.0 + inwards.0, b.1 + inwards.1))
}

/// What of a ring lies where `x · along.0 + y · along.1` is at least `least`, those parts first that lie farther back: an outline
/// that is not convex may be parted (Weiler and Atherton 1977, by one line).
fn clipped(ring: &[PlanPlace], along: (f64, f64), least: f64) -> Vec<Vec<PlanPlace>> {
    let over = |p: PlanPlace| p.0 * along.0 + p.1 * along.1 - least;
    let n = ring.len();
    let enters = |i: usize| over(ring[(i + n - 1) % n]) < 0.0 && over(ring[i]) >= 0.0;
    let Some(start) = (0..n).find(|&i| enters(i)) else {
        return if ring.iter().all(|p| over(*p) >= 0.0) { vec![ring.to_vec()] } else { Vec::new() };
    };
    // Each way across what is kept, from the line to the line.
    let mut ways: Vec<Vec<PlanPlace>> = Vec::new();
    for i in (start..start + n).map(|i| i % n) {
        let (a, b) = (ring[(i + n - 1) % n], ring[i]);
        let (at, bt) = (over(a), over(b));
        let t = at / (at - bt);
        let cut = (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        match (at >= 0.0, bt >= 0.0) {
            (false, true) => ways.push(vec![cut, b]),
            (true, false) => ways.iter_mut().last().into_iter().for_each(|way| way.push(cut)),
            (true, true) => ways.iter_mut().last().into_iter().for_each(|way| way.push(b)),
            (false, false) => {}
        }
    }
    let mut parts = joined_along(ways, |p| p.1 * along.0 - p.0 * along.1);
    let back = |ring: &[PlanPlace]| ring.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
    parts.sort_by(|a, b| back(b).total_cmp(&back(a)));
    parts
}

/// Joins ways that begin and end on a line to rings: along it every second stretch between their ends lies inside.
fn joined_along(mut ways: Vec<Vec<PlanPlace>>, place: impl Fn(&PlanPlace) -> f64) -> Vec<Vec<PlanPlace>> {
    let ends = |ways: &[Vec<PlanPlace>]| {
        let of = |(i, way): (usize, &Vec<PlanPlace>)| {
            [(way.first(), false), (way.last(), true)].map(|(p, ends)| (p.map_or(0.0, &place), ends, i))
        };
        let mut ends: Vec<(f64, bool, usize)> = ways.iter().enumerate().flat_map(of).collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        ends
    };
    let mut parts = Vec::new();
    loop {
        // Two ways that meet across an inner stretch become one; one whose own ends do is a ring.
        let pairs: Vec<[(f64, bool, usize); 2]> = ends(&ways).chunks_exact(2).map(|two| [two[0], two[1]]).collect();
        let Some(pair) = pairs.into_iter().find(|[a, b]| a.1 != b.1) else { return parts };
        let (ending, beginning) = if pair[0].1 { (pair[0].2, pair[1].2) } else { (pair[1].2, pair[0].2) };
        let next = if ending == beginning { Vec::new() } else { std::mem::take(&mut ways[beginning]) };
        ways[ending].extend(next);
        let done = if ending == beginning { ways.swap_remove(ending) } else { ways.swap_remove(beginning) };
        parts.extend(Some(done).filter(|ring| !ring.is_empty()));
    }
}

/// Where a side crosses a line across, so far back.
fn crossing(a: PlanPlace, b: PlanPlace, y: f64) -> Option<f64> {
    ((a.1 > y) != (b.1 > y)).then(|| a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0))
}
