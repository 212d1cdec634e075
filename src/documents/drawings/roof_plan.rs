//! The roof plan: the outline to scale with every edge named, measured and finished, the fall, and what stands in it.
//!
//! Given a roof's layout and what was measured; gives a figure. The householder's plan leaves out what is only for
//! the site, the crew's way off, and before the work the ladder point too.

use super::deck_plan::around;
use super::dimensions;
use super::drawing::{Drawing, Quad, Way, go, part, pen, spot, text_width};
use super::labels::{self, EdgeLabel};
use super::lines::{self, EdgeSign};
use super::one_key::KeyParts;
use super::plan_scale::{self, PlanScale, TriedPlan, TriedPlans, fitted};
use super::{LABEL_SIZE, LEAST_SIZE, Space};
use crate::documents::wording;
use crate::model::shape::Overflow;
use crate::model::{Finish, HoleForm, Length, Roof};
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, Mark, Scene, Spot};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::{HoleShape, RoofShape, runs_back};

/// For whom a plan is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Audience {
    /// The householder, before the work and after it.
    Householder,
    /// The crew.
    Site,
}

/// Draws the plan of one roof.
pub fn draw(layout: &RoofLayout, roof: &Roof, reader: Audience, space: Space) -> Figure {
    draw_once(layout, roof, reader, (&TriedPlans::default(), space))
}

/// The same of a roof that is drawn in several spaces, each of its plans for the same reader and as fully.
pub fn draw_once(layout: &RoofLayout, roof: &Roof, reader: Audience, (tried, space): (&TriedPlans, Space)) -> Figure {
    let plan = RoofPlan {
        shape: &layout.shape,
        roof,
        reader,
        leaves_at: layout.leaves_at(),
        ladder: layout.leaves_over_a_ladder(),
        sizes_alone: space.sizes_alone,
    };
    let scene = fitted(space, &layout.shape, |frame| {
        let (mut sheet, notes) = tried.of(layout.shape.index, frame, || plan.sheet(frame));
        plan.foot(&mut sheet, frame, space, &notes);
        sheet
    });
    Figure { caption: plan.caption(&scene), scene, alt: plan.alternative() }
}

struct RoofPlan<'a> {
    shape: &'a RoofShape,
    roof: &'a Roof,
    reader: Audience,
    /// Where along the way off lies what is laid last.
    leaves_at: Option<f64>,
    /// The same of the ladder point over which it leaves.
    ladder: Option<f64>,
    /// Whether edges are named and measured alone.
    sizes_alone: bool,
}

/// The key of plans whose edges are named and measured alone, at 1 to so much, no wider than that, pt.
pub fn key_of_all(parts: KeyParts, of: f64, width: f64) -> Figure {
    let mut sheet = Drawing::default();
    let signs = parts.among(&known_signs());
    plan_scale::key_alone(&mut sheet, PlanScale { of }, width, &signs);
    let said: Vec<&str> = signs.into_iter().map(lines::key_words).collect();
    let mut scene = sheet.finish();
    scene.scale = Some(of);
    Figure {
        scene: scene.into(),
        caption: String::new(),
        alt: format!("Key of the plans, at {}: {}.", PlanScale { of }.words(), said.join("; ")),
    }
}

/// What the key of the plan of a roof says.
pub fn key(layout: &RoofLayout, roof: &Roof) -> KeyParts {
    RoofPlan { shape: &layout.shape, roof, reader: Audience::Site, leaves_at: None, ladder: None, sizes_alone: false }
        .key()
}

/// Every sign of an edge that the key explains, in the order of fixing; walls that a roof is carried over last.
fn known_signs() -> Vec<EdgeSign> {
    Finish::ALL.into_iter().map(EdgeSign::Of).chain([EdgeSign::LowWall]).collect()
}

impl RoofPlan<'_> {
    /// The plan without its foot, and what is to be said there.
    fn sheet(&self, frame: PlanScale) -> TriedPlan {
        let mut sheet = Drawing::default();
        let ring = frame.ring(&self.shape.ring());
        self.ground(&mut sheet, frame, &ring);
        for side in &self.shape.sides {
            lines::edge(&mut sheet, frame.at(side.from), frame.at(side.to), EdgeSign::of(side));
        }
        let mut notes = Vec::new();
        let edges: Vec<(Spot, Spot)> = self.shape.sides.iter().map(|s| (frame.at(s.from), frame.at(s.to))).collect();
        let offsets =
            dimensions::offsets(&edges, if self.sizes_alone { dimensions::CLOSE } else { dimensions::DIMENSION });
        let measured = || (0..edges.len()).filter(|i| !self.is_told_across(*i));
        let of = |i: usize| (edges[i], offsets[i]);
        let (lines, far): (Vec<(Spot, Spot)>, Vec<f64>) = measured().map(of).unzip();
        dimensions::draw(&mut sheet, &lines, &far);
        self.shape.holes.iter().for_each(|hole| self.hole(&mut sheet, &frame.ring(&hole.ring), hole));
        self.site_marks(&mut sheet, frame, &mut notes);
        self.hole_words(&mut sheet, frame, &mut notes);
        let unplaced = labels::place(&mut sheet, &ring, &self.labels(frame, &offsets));
        self.letters(&mut sheet, frame, &unplaced, &mut notes);
        self.fall(&mut sheet, frame, &ring, &mut notes);
        if !self.sizes_alone {
            self.name(&mut sheet, &ring);
        }
        (sheet, notes)
    }

    fn ground(&self, sheet: &mut Drawing, frame: PlanScale, ring: &[Spot]) {
        let mut rings = vec![ring.to_vec()];
        rings.extend(self.shape.holes.iter().map(|h| frame.ring(&h.ring)));
        sheet.area(rings, Some(Ink::AccentTint(0.88)), None);
    }

    /// What is said of an edge: its name and length, what it is, its gutter.
    fn edge_words(&self, i: usize) -> Vec<String> {
        let side = &self.shape.sides[i];
        let mut words = vec![format!("{} {}", wording::capital(&side.label), wording::metres(side.run))];
        if self.sizes_alone {
            return words;
        }
        if !(side.is_plain_wall() && side.label.eq_ignore_ascii_case("wall")) {
            words.push(lines::plain_words(EdgeSign::of(side)).to_owned());
        }
        let gutter = self.roof.outline.edges.get(i).and_then(|e| e.gutter.as_ref());
        words.extend(gutter.filter(|_| side.finish == Finish::Drip).map(|g| format!("gutter {}", g.words())));
        words
    }

    fn labels(&self, frame: PlanScale, offsets: &[f64]) -> Vec<EdgeLabel> {
        let label = |i: usize| {
            let side = &self.shape.sides[i];
            let (from, to) = (frame.at(side.from), frame.at(side.to));
            EdgeLabel { from, to, parts: self.edge_words(i), off: offsets[i].abs() + 2.5, inside: offsets[i] < 0.0 }
        };
        (0..self.shape.sides.len()).filter(|i| !self.is_told_across(*i)).map(label).collect()
    }

    /// Whether a side is as long as the one across from it, which tells the length of both: of a rectangle the front and the right
    /// side, where edges are named and measured alone.
    fn is_told_across(&self, i: usize) -> bool {
        let sides = &self.shape.sides;
        let is_rectangle = sides.len() == 4 && (0..2).all(|n| sides[n].run == sides[n + 2].run);
        let across = |name: &str| sides.iter().any(|side| side.label == name);
        let told = matches!(
            (sides[i].label.as_str(), across("front"), across("right")),
            ("back", true, _) | ("left", _, true)
        );
        self.sizes_alone && is_rectangle && told
    }

    /// Labels that found no place stand in the key, under a letter at their edge.
    fn letters(&self, sheet: &mut Drawing, frame: PlanScale, unplaced: &[usize], notes: &mut Vec<String>) {
        for (n, &i) in unplaced.iter().enumerate() {
            let letter = letter(n);
            let side = &self.shape.sides[i];
            let (a, b) = (frame.at(side.from), frame.at(side.to));
            let inward = Way::between(a, b).right().back();
            let ground = |at: &Spot| Quad::about(*at, Way { x: 1.0, y: 0.0 }, 12.0, 12.0);
            let places = [8.0, 13.0, 18.0, -13.0, -18.0, -24.0].into_iter();
            let places = places.flat_map(|far| [0.5, 0.3, 0.7, 0.15, 0.85].map(|t| go(part(a, b, t), inward, far)));
            let clear = |at: &Spot| sheet.is_free(&ground(at)) && sheet.is_bare(&ground(at));
            let mut places = places.filter(clear);
            let at = places.next().unwrap_or_else(|| labels::clear_near(sheet, part(a, b, 0.5), (12.0, 12.0)).0);
            sheet.circle(at, 5.6, Some(Ink::White), Some(pen(Ink::Black, 0.6)));
            sheet.words(spot(at.x, at.y + 2.8), &letter, LABEL_SIZE, true, Anchor::Middle);
            sheet.take(Quad::about(at, Way { x: 1.0, y: 0.0 }, 11.0, 11.0));
            notes.push(format!("{letter}: {}.", self.edge_words(i).join(", ")));
        }
    }

    fn hole_words(&self, sheet: &mut Drawing, frame: PlanScale, notes: &mut Vec<String>) {
        let mut small = Vec::new();
        let rings: Vec<Vec<Spot>> = self.shape.holes.iter().map(|hole| frame.ring(&hole.ring)).collect();
        for (i, hole) in self.shape.holes.iter().enumerate() {
            let ring = &rings[i];
            let lines = [(wording::capital(&hole.name), true), (hole_size(hole), false)];
            let middle = labels::middle_of(ring);
            if ![LABEL_SIZE, LEAST_SIZE].iter().any(|size| labels::put_inside(sheet, ring, middle, &lines, *size)) {
                small.push((i, lines));
            }
        }
        self.shape.holes.iter().for_each(|hole| sheet.take(around(&frame.ring(&hole.ring), 3.0)));
        for (i, lines) in small {
            self.beside(sheet, frame, (&rings, i), &lines);
        }
        notes.extend(hole_notes(self.shape));
    }

    fn hole(&self, sheet: &mut Drawing, ring: &[Spot], hole: &HoleShape) {
        sheet.area(vec![ring.to_vec()], Some(Ink::White), Some(pen(Ink::Black, 0.8)));
        if hole.round {
            return;
        }
        for i in 0..ring.len() {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            match hole.finish {
                Finish::Wall => sheet.line(&[a, b], pen(Ink::Black, 2.2)),
                finish => lines::edge(sheet, a, b, EdgeSign::Of(finish)),
            }
        }
        if ring.len() == 4 && hole.finish == Finish::Wall {
            sheet.line(&[ring[0], ring[2]], pen(Ink::Grey(0.6), 0.5));
        }
    }

    /// The words of a hole that is too small to hold them, beside it.
    fn beside(&self, sheet: &mut Drawing, frame: PlanScale, hole: (&[Vec<Spot>], usize), lines: &[(String, bool)]) {
        let outline = frame.ring(&self.shape.ring());
        let ring = &hole.0[hole.1];
        let wanted = labels::middle_of(ring);
        // The size stands in the key as well: of more than two openings the name is enough.
        let lines = if self.shape.holes.len() > 2 { &lines[..1] } else { lines };
        let parted = labels::in_two(&lines[0].0).map(|parts| parts.map(|part| (part, true)));
        let put = labels::put_near(sheet, &outline, hole, lines, LABEL_SIZE)
            || labels::put_near(sheet, &outline, hole, &lines[..1], LABEL_SIZE)
            || parted.is_some_and(|parts| labels::put_near(sheet, &outline, hole, &parts, LABEL_SIZE))
            || labels::point_at_if_clear(sheet, ring, &lines[0].0)
            || labels::put_inside(sheet, &outline, wanted, lines, LABEL_SIZE);
        if !put {
            labels::point_at(sheet, ring, &lines[0].0);
        }
    }

    fn fall(&self, sheet: &mut Drawing, frame: PlanScale, ring: &[Spot], notes: &mut Vec<String>) {
        let down = frame.way(self.shape.uphill).back();
        let words = self.fall_in_words();
        let wide = text_width(&words, 8.0) + 4.0;
        for long in [80.0, 60.0, 44.0] {
            let quad = |p: Spot| Quad::about(p, down, f64::max(long, wide) + 6.0, 20.0);
            let mut places = labels::nearest_first(labels::grid(ring), labels::middle_of(ring));
            let bare = |p: &Spot| sheet.is_free(&quad(*p)) && sheet.is_bare(&quad(*p));
            let free = |p: &Spot| bare(p) && labels::stands_inside(&quad(*p), ring);
            if let Some(p) = places.find(free) {
                self.arrow(sheet, p, down, long, &words);
                sheet.take(quad(p));
                return;
            }
        }
        if !self.sizes_alone {
            notes.push(self.fall_towards());
        }
    }

    /// What stands at the arrow: a fall that nobody measured is none of a figure.
    fn fall_in_words(&self) -> String {
        match (self.roof.fall.known(), self.reader) {
            (Some(fall), _) => format!("fall {fall}"),
            (None, Audience::Site) => "fall: measure".to_owned(),
            (None, _) => "fall as it is".to_owned(),
        }
    }

    fn fall_towards(&self) -> String {
        let steep = self.roof.fall.known().map_or(String::new(), |fall| format!(" {fall}"));
        format!("The roof falls{steep} towards the edge \u{201c}{}\u{201d}.", self.roof.falls_to)
    }

    fn arrow(&self, sheet: &mut Drawing, middle: Spot, down: Way, long: f64, words: &str) {
        let turn = down.text_turn();
        let reading = Way { x: turn.to_radians().cos(), y: -turn.to_radians().sin() };
        let line = go(middle, reading.right(), 4.0);
        let (tail, tip) = (go(line, down, -long / 2.0), go(line, down, long / 2.0));
        sheet.line(&[tail, go(tip, down, -6.0)], pen(Ink::Black, 1.0));
        sheet.tip(tip, down, 8.0, Ink::Black);
        sheet.write(go(middle, reading.right(), -2.0), words, 8.0, false, Anchor::Middle, turn, false);
    }

    /// Its name and area in it, where they stand clear of its edges; caption and heading have both.
    fn name(&self, sheet: &mut Drawing, ring: &[Spot]) {
        let area = (wording::square_metres(self.shape.area), false);
        let whole = vec![(self.shape.name.clone(), true), area.clone()];
        // Between openings with names of their own, a name in two lines would stand too near to one of them.
        let parted = labels::in_two(&self.shape.name).filter(|_| self.shape.holes.is_empty());
        let parted = parted.map(|[a, b]| vec![(a, true), (b, true), area]);
        let ways: Vec<&Vec<(String, bool)>> = std::iter::once(&whole).chain(&parted).collect();
        let tries = [9.0, 8.0].into_iter().flat_map(|size| ways.iter().map(move |lines| (lines, size)));
        let middle = labels::middle_of(ring);
        let (low, high) = labels::box_of(ring);
        let has_room = |lines: &[(String, bool)], size: f64| high.y - low.y > 1.25 * size * lines.len() as f64 + 6.0;
        tries
            .into_iter()
            .filter(|(lines, size)| has_room(lines, *size))
            .any(|(lines, size)| labels::put_inside(sheet, ring, middle, lines, size));
    }

    /// Outlets and overflows; where more is told than sizes, ladder points, and for the crew the way off.
    fn site_marks(&self, sheet: &mut Drawing, frame: PlanScale, notes: &mut Vec<String>) {
        for outlet in &self.roof.outlets {
            let at = frame.at(outlet.at);
            let radius = frame.pt(outlet.size.as_mm() as f64 / 2.0).max(3.0);
            sheet.circle(at, radius, Some(Ink::White), Some(pen(Ink::Black, 1.0)));
            sheet.circle(at, radius / 2.5, Some(Ink::Black), None);
            sheet.take(Quad::about(at, Way { x: 1.0, y: 0.0 }, 2.0 * radius, 2.0 * radius));
        }
        for (i, edge) in self.roof.outline.edges.iter().enumerate().take(self.shape.sides.len()) {
            if let Some(gutter) = &edge.box_gutter {
                self.sole_outlet(sheet, frame, i, gutter.outlet.at);
            }
        }
        notes.extend(self.outlets_note());
        for (i, edge) in self.roof.outline.edges.iter().enumerate().take(self.shape.sides.len()) {
            if let Some(overflow) = edge.overflow {
                self.overflow(sheet, frame, i, overflow);
                notes.push(format!(
                    "Gap with an arrow: the overflow {}, {} × {}.",
                    wording::at(&edge.label()),
                    overflow.width.as_mm(),
                    overflow.height
                ));
            }
        }
        if self.sizes_alone {
            return;
        }
        for (i, edge) in self.roof.outline.edges.iter().enumerate().take(self.shape.sides.len()) {
            if let Some(at) = edge.ladder_point {
                self.ladder(sheet, frame, i, at.as_mm() as f64);
                notes.push(format!(
                    "Ladder point on {}, its middle {} from {}.",
                    edge.label(),
                    wording::metres(at),
                    self.shape.start_of(i)
                ));
            }
        }
        if self.reader == Audience::Site {
            self.way_off(sheet, frame, notes);
        }
    }

    /// What the ringed dots are.
    fn outlets_note(&self) -> Option<String> {
        let in_gutters = self.roof.outline.edges.iter().filter_map(|e| e.box_gutter.as_ref()).map(|g| g.outlet.size);
        let all = self.roof.outlets.iter().map(|o| o.size).chain(in_gutters);
        let sizes: Vec<String> = all.map(|size| size.to_string()).collect();
        match &sizes[..] {
            [] => None,
            [size] => Some(format!("The ringed dot is the outlet, {size} across.")),
            [size, others @ ..] if others.iter().all(|o| o == size) => {
                Some(format!("The ringed dots are the outlets, each {size} across."))
            }
            _ => Some(format!("The ringed dots are the outlets, {} across.", wording::list(&sizes))),
        }
    }

    /// A ringed dot in the trough beyond an edge.
    fn sole_outlet(&self, sheet: &mut Drawing, frame: PlanScale, side: usize, at: Length) {
        let side = &self.shape.sides[side];
        let (a, b) = (frame.at(side.from), frame.at(side.to));
        let along = Way::between(a, b);
        let middle = go(go(a, along, frame.pt(at.as_mm() as f64)), along.right(), 3.0);
        sheet.circle(middle, 2.8, Some(Ink::White), Some(pen(Ink::Black, 1.0)));
        sheet.circle(middle, 1.1, Some(Ink::Black), None);
        sheet.take(Quad::about(middle, along, 7.0, 7.0));
    }

    /// A white gap in the edge's line, and an arrow that leaves through it.
    fn overflow(&self, sheet: &mut Drawing, frame: PlanScale, index: usize, overflow: Overflow) {
        let side = &self.shape.sides[index];
        let (a, b) = (frame.at(side.from), frame.at(side.to));
        let along = Way::between(a, b);
        let out = along.right();
        // Through the parapet beyond a box gutter, else through the edge. Past a gutter the arrow ends before the line of sizes.
        let over_gutter = side.finish == Finish::Gutter;
        let beyond = if over_gutter { lines::TROUGH } else { 0.0 };
        let (behind, jamb, head) = if over_gutter { (-3.0, 3.0, 6.5) } else { (-7.0, 4.0, 8.0) };
        let middle = go(go(a, along, frame.pt(overflow.at.as_mm() as f64)), out, beyond);
        let half = (frame.pt(overflow.width.as_mm() as f64) / 2.0).max(3.0);
        sheet.line(&[go(middle, along, -half), go(middle, along, half)], pen(Ink::White, 4.0));
        for side in [go(middle, along, -half), go(middle, along, half)] {
            sheet.line(&[go(side, out, -jamb), go(side, out, jamb)], pen(Ink::Black, 1.0));
        }
        sheet.line(&[go(middle, out, behind), go(middle, out, head - 5.0)], pen(Ink::Black, 1.0));
        sheet.tip(go(middle, out, head), out, 6.0, Ink::Black);
        sheet.take(Quad::about(middle, out, 2.0 * head, 2.0 * half + 2.0));
    }

    fn ladder(&self, sheet: &mut Drawing, frame: PlanScale, side: usize, at: f64) {
        let side = &self.shape.sides[side];
        let (a, b) = (frame.at(side.from), frame.at(side.to));
        let along = Way::between(a, b);
        let foot = go(a, along, frame.pt(at));
        let inward = along.right().back();
        let (left, right) = (go(foot, along, -4.0), go(foot, along, 4.0));
        for rail in [left, right] {
            sheet.line(&[rail, go(rail, inward, 14.0)], pen(Ink::Black, 1.0));
        }
        for rung in [3.0, 7.0, 11.0] {
            sheet.line(&[go(left, inward, rung), go(right, inward, rung)], pen(Ink::Black, 0.8));
        }
        sheet.take(Quad::about(go(foot, inward, 7.0), along, 10.0, 15.0));
    }

    fn way_off(&self, sheet: &mut Drawing, frame: PlanScale, notes: &mut Vec<String>) {
        let Some(side) = self.shape.sides.get(self.shape.way_off) else { return };
        let (a, b) = (frame.at(side.from), frame.at(side.to));
        let out = Way::between(a, b).right();
        // Over a ladder point it leads to the sign of the ladder.
        let at = |t: f64| go(part(a, b, t), out, if self.ladder == Some(t) { -17.0 } else { -3.0 });
        let ground = |t: &f64| Quad::about(go(at(*t), out, -9.0), out, 20.0, 9.0);
        // Past an opening or a ladder that stands at the same place.
        let clear = |t: &f64| sheet.is_free(&ground(t)) && sheet.is_bare(&ground(t));
        // At the end that is laid last, where there is one.
        let mut places = [0.62, 0.38, 0.8, 0.2, 0.5];
        if let Some(last) = self.leaves_at {
            places.sort_by(|a, b| (a - last).abs().total_cmp(&(b - last).abs()));
        }
        let t = self.ladder.into_iter().chain(places).find(clear).unwrap_or(places[0]);
        let foot = at(t);
        sheet.line(&[go(foot, out, -18.0), go(foot, out, -6.0)], pen(Ink::Black, 3.0));
        sheet.tip(foot, out, 9.0, Ink::Black);
        sheet.take(ground(&t));
        notes.push(format!("Thick arrow: the crew\u{2019}s way off, {}.", wording::at(&side.label)));
    }

    fn foot(&self, sheet: &mut Drawing, frame: PlanScale, space: Space, notes: &[String]) {
        let mut notes = notes.to_vec();
        if self.shape.moved {
            notes.push("All sizes are to the outside of the edge battens, worked from sizes to the fascia.".to_owned());
        }
        let edges = self.roof.outline.edges.iter().map(|edge| (edge, runs_back(edge, self.roof)));
        notes.extend(edges.filter(|(_, back)| *back > Length::ZERO).map(|(edge, back)| {
            format!(
                "The roof runs on {back} past the old one {}, to where it meets the slope.",
                wording::at(&edge.label())
            )
        }));
        match self.sizes_alone {
            true => plan_scale::notes(sheet, space, &notes),
            false => plan_scale::foot(sheet, frame, space, &space.key.parts(self.key()).among(&known_signs()), &notes),
        }
    }

    /// What stands at the edges of this roof, each once, in the order of fixing; walls that it is carried over last.
    fn key(&self) -> KeyParts {
        let holes = self.shape.holes.iter().filter(|h| !h.round).map(|h| EdgeSign::Of(h.finish));
        let all: Vec<EdgeSign> = self.shape.sides.iter().map(EdgeSign::of).chain(holes).collect();
        KeyParts::of(known_signs().iter().map(|sign| all.contains(sign)))
    }

    /// The area stands in the caption where the plan has no room for it.
    fn caption(&self, scene: &Scene) -> String {
        let area = wording::square_metres(self.shape.area);
        let said = scene.marks.iter().any(|mark| matches!(mark, Mark::Text { text, .. } if *text == area));
        match said {
            true => format!("{}: plan, to scale.", self.shape.name),
            false => format!("{}, {area}: plan, to scale.", self.shape.name),
        }
    }

    fn alternative(&self) -> String {
        let side = |s: &crate::takeoff::layout::shape::Side| {
            format!("{} {}, {}", s.label, wording::metres(s.run), lines::plain_words(EdgeSign::of(s)))
        };
        let sides: Vec<String> = self.shape.sides.iter().map(side).collect();
        let holes = self.shape.holes.iter().map(|h| format!(" {}: {}.", wording::capital(&h.name), hole_size(h)));
        format!(
            "Plan of {}, {}. Edges in order: {}. {}{}",
            self.shape.name,
            wording::square_metres(self.shape.area),
            sides.join("; "),
            self.fall_towards(),
            holes.collect::<String>()
        )
    }
}

/// `A`, `B` … `Z`, `A1` …
fn letter(n: usize) -> String {
    let c = char::from(b'A' + (n % 26) as u8);
    if n < 26 { c.to_string() } else { format!("{c}{}", n / 26) }
}

/// The size of a hole in words: `1.00 × 1.00 m`, `110 mm across`.
pub fn hole_size(hole: &HoleShape) -> String {
    match &hole.form {
        HoleForm::Box { width, depth, .. } => wording::metres_by(*width, *depth),
        HoleForm::Round { diameter, .. } => format!("{diameter} across"),
    }
}

/// More openings than this are told in one paragraph, by their sizes alone.
const MANY: usize = 4;

/// What the key says of the openings: a line each, or, of many, one text that names the corner once.
fn hole_notes(shape: &RoofShape) -> Vec<String> {
    let name = |hole: &HoleShape| wording::capital(&hole.name);
    if shape.holes.len() <= MANY {
        let line = |h: &HoleShape| format!("{}: {}, {}.", name(h), hole_size(h), hole_place(h, shape));
        return shape.holes.iter().map(line).collect();
    }
    let short = |hole: &HoleShape| {
        let middle = if hole.round { ", middle" } else { "" };
        let [right, up] = from_corner(hole, shape);
        format!("{} {}{middle} at {right}, {up}", name(hole), hole_size(hole))
    };
    let all: Vec<String> = shape.holes.iter().map(short).collect();
    vec![format!("Openings, from the front left corner to the right, then up: {}.", all.join("; "))]
}

/// Where a hole lies, in words.
fn hole_place(hole: &HoleShape, shape: &RoofShape) -> String {
    let middle = if hole.round { "its middle " } else { "" };
    let [right, up] = from_corner(hole, shape);
    format!("{middle}{right} to the right of and {up} up from the front left corner")
}

/// How far a hole lies to the right of and up from the corner from which the sizes of the plan count: where those are to the
/// battens, it is the battens' corner, not the fascia's.
fn from_corner(hole: &HoleShape, shape: &RoofShape) -> [String; 2] {
    let (HoleForm::Box { at, .. } | HoleForm::Round { at, .. }) = &hole.form;
    let corner = shape.sides.first().map_or(*at, |side| side.from);
    [at.x - corner.x, at.y - corner.y].map(|mm| wording::metres(Length::mm(mm)))
}
