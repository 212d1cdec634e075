//! The trim plan: every piece of trim with its mark and length, the laps, and the corners by number.
//!
//! Given the profiles' plans and a roof's layout; gives a figure. At a lap the black triangle stands on the piece that
//! lies on top.

use super::drawing::{Drawing, Quad, Way, apart, go, pen, spot};
use super::labels::{self, EdgeLabel};
use super::one_key::{KeyParts, PlanKey};
use super::plan_scale::{self, PlanScale, TriedPlan, TriedPlans, fitted};
use super::{LABEL_SIZE, LEAST_SIZE, Space};
use crate::documents::wording;
use crate::model::{Finish, Length, Point};
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, Spot};
use crate::takeoff::layout::parapets;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{Junction, LapOver, ProfilePlan, RoofLayout, RunPlace, Treatment, TrimRun};

/// Draws the trims of one roof.
pub fn draw(profiles: &[ProfilePlan], layout: &RoofLayout, tried: &TriedPlans, space: Space) -> Figure {
    let plan = TrimPlan { profiles, layout, tried };
    let name = &layout.shape.name;
    let count = plan.runs().map(|(_, r)| r.pieces.len()).sum();
    Figure {
        scene: fitted(space, &layout.shape, |frame| plan.sheet(frame, space)),
        caption: match space.key {
            PlanKey::Own => format!("{name}: trims. {MARKS}"),
            _ => format!("{name}: trims."),
        },
        alt: format!(
            "Trims of {name}: {} on the edges and round the openings. The cut list and the list of corners say the same in words.",
            wording::plural(count, "piece", "pieces")
        ),
    }
}

/// The corners that are numbered, in order: all but the joins of one straight edge.
pub fn numbered(layout: &RoofLayout) -> Vec<&Junction> {
    layout.junctions.iter().filter(|j| j.treatment != Treatment::Straight).collect()
}

struct TrimPlan<'a> {
    profiles: &'a [ProfilePlan],
    layout: &'a RoofLayout,
    tried: &'a TriedPlans,
}

/// Distance from the edge to the nearer side of a trim's band, and the band's width, pt.
const BAND: (f64, f64) = (3.0, 5.0);
/// From an edge to the names of pieces on the roof, and to the edge's own name beyond those of its pieces, pt.
const OFF_LINE: f64 = 3.0;
const NAMES: f64 = 25.5;

impl TrimPlan<'_> {
    fn shape(&self) -> &RoofShape {
        &self.layout.shape
    }

    fn runs(&self) -> impl Iterator<Item = (Finish, &TrimRun)> {
        let here = self.shape().index;
        self.profiles.iter().flat_map(|p| p.runs.iter().map(move |r| (p.finish, r))).filter(move |(_, r)| {
            match r.place {
                RunPlace::Side { roof, .. }
                | RunPlace::Hole { roof, .. }
                | RunPlace::Ladder { roof, .. }
                | RunPlace::Parapet { roof, .. } => roof == here,
            }
        })
    }

    /// Where a run begins, the way it goes, and how far out its band lies.
    fn line(&self, run: &TrimRun) -> Option<(Point, Point, f64)> {
        let side = |i: usize| self.shape().sides.get(i).map(|s| (s.from, s.to));
        match run.place {
            RunPlace::Side { side: i, .. } => Some((side(i)?.0, side(self.last_side(i, run))?.1, BAND.0)),
            RunPlace::Hole { hole, side, .. } => {
                let ring = &self.shape().holes.get(hole)?.ring;
                Some((*ring.get(side)?, ring[(side + 1) % ring.len()], BAND.0))
            }
            RunPlace::Parapet { side, part, .. } => {
                parapets::outer_edge(self.shape(), side, part).map(|(a, b)| (a, b, BAND.0 + BAND.1 + 2.0))
            }
            RunPlace::Ladder { side: i, .. } => side(i).map(|(a, b)| (a, b, BAND.0 + BAND.1 + 2.0)),
        }
    }

    /// The side at which a run along the outline ends that begins at a side: stretches of one line carry it on.
    fn last_side(&self, first: usize, run: &TrimRun) -> usize {
        let sides = &self.shape().sides;
        let end = run.leg + run.run;
        let mut reached = Length::ZERO;
        let carried = (first..first + sides.len()).map(|i| i % sides.len());
        let mut beyond = carried.skip_while(|&i| {
            reached += sides[i].run;
            reached < end
        });
        beyond.next().unwrap_or(first)
    }

    fn sheet(&self, frame: PlanScale, space: Space) -> Drawing {
        let (mut sheet, lost) = self.tried.of(self.shape().index, frame, || self.plan(frame));
        self.foot(&mut sheet, frame, space, &lost);
        sheet
    }

    fn plan(&self, frame: PlanScale) -> TriedPlan {
        let mut sheet = Drawing::default();
        let ring = frame.ring(&self.shape().ring());
        sheet.area(vec![ring.clone()], Some(Ink::Grey(0.96)), Some(pen(Ink::Black, 0.6)));
        self.troughs(&mut sheet, frame);
        for hole in &self.shape().holes {
            sheet.area(vec![frame.ring(&hole.ring)], Some(Ink::White), Some(pen(Ink::Black, 0.6)));
        }
        let mut outside = Vec::new();
        let mut round: Vec<Vec<EdgeLabel>> = vec![Vec::new(); self.shape().holes.len()];
        for (finish, run) in self.runs() {
            if let Some(place) = self.line(run) {
                let labels = self.run(&mut sheet, frame, finish, run, place);
                match run.place {
                    RunPlace::Hole { hole, .. } => round[hole].extend(labels),
                    _ => outside.extend(labels),
                }
            }
        }
        self.corner_numbers(&mut sheet, frame, &ring);
        let mut lost = self.holes(&mut sheet, frame, &ring, &round);
        lost.extend(self.names(&mut sheet, frame, &ring, &outside));
        (sheet, lost)
    }

    /// Box gutters beyond the outline, as wide as they are: the trims of a parapet go on past them.
    fn troughs(&self, sheet: &mut Drawing, frame: PlanScale) {
        for gutter in &self.layout.box_gutters {
            let Some(side) = self.shape().sides.get(gutter.side) else { continue };
            let (a, b) = (frame.at(side.from), frame.at(side.to));
            let (out, wide) = (Way::between(a, b).right(), frame.pt(gutter.width.as_mm() as f64));
            let ring = vec![a, b, go(b, out, wide), go(a, out, wide)];
            sheet.area(vec![ring.clone()], Some(Ink::White), Some(pen(Ink::Grey(0.45), 0.5)));
            labels::put_inside(sheet, &ring, labels::middle_of(&ring), &[("box gutter".to_owned(), false)], LEAST_SIZE);
        }
    }

    /// The bands of one run; gives labels for pieces along the outline.
    fn run(
        &self,
        sheet: &mut Drawing,
        frame: PlanScale,
        finish: Finish,
        run: &TrimRun,
        (from, to, off): (Point, Point, f64),
    ) -> Vec<EdgeLabel> {
        let (a, b) = (frame.at(from), frame.at(to));
        let along = Way::between(a, b);
        let on = |mm: i64| go(a, along, frame.pt(mm as f64).clamp(0.0, apart(a, b)));
        let mut labels = Vec::new();
        let slants = self.slants(frame, run);
        for piece in &run.pieces {
            let at = run.leg + piece.at;
            let (p, q) = (on(at.as_mm()), on((at + piece.length).as_mm()));
            let ends = [(p, a, slants[0]), (q, b, slants[1])];
            let slants = ends.map(|(end, corner, slant)| if apart(end, corner) < 0.5 { slant } else { 0.0 });
            band(sheet, [p, q], slants, off, finish);
            let middle = go(super::drawing::part(p, q, 0.5), along.right(), off + BAND.1 / 2.0);
            sheet.take(Quad::about(middle, along, apart(p, q), BAND.1));
            // Beyond the fillet of a parapet lies the trim on its outer edge: its own name stands on the roof.
            let inside = matches!(run.place, RunPlace::Side { side, .. } if self.parapet(frame, side) > 0.0);
            let label = EdgeLabel {
                from: p,
                to: q,
                parts: vec![format!("{} {}", piece.mark, piece.length.as_mm())],
                off: if inside { OFF_LINE } else { off + BAND.1 + 4.0 },
                inside,
            };
            labels.push(label);
        }
        for lap in &run.laps {
            lap_mark(sheet, on((run.leg + lap.at).as_mm()), along, off, lap.over);
        }
        labels
    }

    /// How far a band is cut back at either end of its side for each point that it lies from the edge: at an inner corner two
    /// bands meet in a mitre, which keeps one from crossing the other.
    fn slants(&self, frame: PlanScale, run: &TrimRun) -> [f64; 2] {
        let (side, last) = match run.place {
            RunPlace::Side { side, .. } => (side, self.last_side(side, run)),
            RunPlace::Ladder { side, .. } => (side, side),
            RunPlace::Hole { .. } | RunPlace::Parapet { .. } => return [0.0; 2],
        };
        let sides = &self.shape().sides;
        let count = sides.len();
        let way = |i: usize| {
            let side = &sides[i % count];
            Way::between(frame.at(side.from), frame.at(side.to))
        };
        // The tangent of half the turn, from its sine and cosine; 0 at an outer corner.
        let slant = |a: Way, b: Way| {
            let (sine, cosine) = (a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y);
            if sine > 1e-6 { (sine / (1.0 + cosine)).min(3.0) } else { 0.0 }
        };
        [slant(way(side + count - 1), way(side)), slant(way(last), way(last + 1))]
    }

    /// A ringed number at every corner: inside the outline, and round an opening beyond its bands.
    fn corner_numbers(&self, sheet: &mut Drawing, frame: PlanScale, ring: &[Spot]) {
        for (n, junction) in numbered(self.layout).into_iter().enumerate() {
            let corner = frame.at(junction.at);
            let hole = junction.hole.and_then(|h| self.shape().holes.get(h)).map(|hole| frame.ring(&hole.ring));
            let of = hole.as_deref().unwrap_or(ring);
            // A step between stretches of one line is a point more in the ring.
            let place = of.iter().position(|p| *p == corner).unwrap_or(junction.corner);
            let way = bisector(of, place, corner);
            let (way, far) = if hole.is_some() { (way.back(), 17.0) } else { (way, 13.0) };
            let along = Way::between(corner, of[(place + 1) % of.len()]);
            // On a narrow roof the next number would stand on this one: it moves along its edge, then further in.
            let at = |(out, step): (f64, f64)| go(go(corner, way, far + out), along, 14.0 * step);
            let steps = [0.0, 1.0, 2.0, 3.0, -1.0, -2.0];
            let places = [0.0, 8.0, 16.0, 24.0].into_iter().flat_map(|out| steps.map(|step| (out, step)));
            let free = |place: &(f64, f64)| {
                let ground = Quad::about(at(*place), Way { x: 1.0, y: 0.0 }, 13.0, 13.0);
                let leads = *place == (0.0, 0.0) || !sheet.crosses_words(corner, at(*place));
                leads && sheet.is_free(&ground) && sheet.is_bare(&ground)
            };
            let found = places.into_iter().find(free);
            let spot = found.map_or_else(|| labels::clear_near(sheet, corner, (13.0, 13.0)).0, at);
            if found != Some((0.0, 0.0)) {
                sheet.line(&[corner, go(spot, Way::between(spot, corner), 6.0)], pen(Ink::Grey(0.45), 0.4));
            }
            ringed(sheet, spot, &(n + 1).to_string());
        }
    }

    /// Piece labels outside the outline, then the edges' own names beyond them.
    fn names(&self, sheet: &mut Drawing, frame: PlanScale, ring: &[Spot], pieces: &[EdgeLabel]) -> Vec<String> {
        let lost = put_labels(sheet, (ring, None), pieces);
        super::deck_plan::edge_names(sheet, frame, self.shape(), ring, |i, _| NAMES + self.parapet(frame, i));
        lost
    }

    /// How much farther out the trim on the outer edge of a parapet lies than that of a plain edge, pt.
    fn parapet(&self, frame: PlanScale, side: usize) -> f64 {
        let coped = self.shape().sides.get(side).and_then(|side| side.coped);
        coped.map_or(0.0, |wall| frame.pt(wall.width.as_mm() as f64) + BAND.1 + 2.0)
    }

    /// Round an opening each piece has its mark beside it, and the opening its name inside, or beside it where it is small.
    fn holes(&self, sheet: &mut Drawing, frame: PlanScale, outline: &[Spot], round: &[Vec<EdgeLabel>]) -> Vec<String> {
        let rings: Vec<Vec<Spot>> = self.shape().holes.iter().map(|hole| frame.ring(&hole.ring)).collect();
        let mut lost = Vec::new();
        for (ring, pieces) in rings.iter().zip(round) {
            lost.extend(put_labels(sheet, (ring, Some(outline)), pieces));
        }
        for (i, (ring, hole)) in rings.iter().zip(&self.shape().holes).enumerate() {
            let name = [(wording::capital(&hole.name), true)];
            let middle = labels::middle_of(ring);
            let put = labels::put_inside(sheet, ring, middle, &name, 8.0)
                || labels::put_near(sheet, outline, (&rings, i), &name, 8.0)
                || labels::point_at_if_clear(sheet, ring, &name[0].0)
                || labels::put_inside(sheet, outline, middle, &name, 8.0);
            if !put {
                labels::point_at(sheet, ring, &name[0].0);
            }
        }
        lost
    }

    /// What the key says: of laps, where there are any, and of the finishes that are drawn here.
    fn key(&self) -> KeyParts {
        let laps = self.runs().any(|(_, run)| !run.laps.is_empty());
        let drawn = |f: Finish| self.runs().any(|(finish, _)| finish == f);
        KeyParts::of([true, laps].into_iter().chain(Finish::ALL.into_iter().map(drawn)))
    }

    fn foot(&self, sheet: &mut Drawing, frame: PlanScale, space: Space, lost: &[String]) {
        let mut notes = notes(space.key.parts(self.key()));
        if let PlanKey::OfAll(_) = space.key {
            notes.insert(0, MARKS.to_owned());
        }
        if !lost.is_empty() {
            notes.push(format!("No room at the edge for {}.", wording::list(lost)));
        }
        plan_scale::foot(sheet, frame, space, &[], &notes);
    }
}

/// What a plan alone says in its caption, and the key of several once.
const MARKS: &str = "Marks as on the cut list; ringed numbers as in the list of corners.";

/// What the key says in words, then in shades.
const KEY: [&str; 2] = [
    "Mark, then cut length in mm. Seen from above; lengths may run under a lap or into a mitre.",
    "Black triangle: the piece on that side lies on top at the lap.",
];

/// The key of the plan of a roof's trims.
pub fn key(profiles: &[ProfilePlan], layout: &RoofLayout) -> KeyParts {
    TrimPlan { profiles, layout, tried: &TriedPlans::default() }.key()
}

/// The lines of a key, the last as `Shading: drip black, raised edge white.`
fn notes(said: KeyParts) -> Vec<String> {
    let all = [None; KEY.len()].into_iter().chain(Finish::ALL.into_iter().map(Some)).collect::<Vec<_>>();
    let shades: Vec<&str> = said.among(&all).into_iter().flatten().map(shade).collect();
    let shading = (!shades.is_empty()).then(|| format!("Shading: {}.", shades.join(", ")));
    said.among(&KEY).into_iter().map(str::to_owned).chain(shading).collect()
}

/// Puts the labels of pieces beside them, or at the end of a line; gives back those for which no place was clear.
fn put_labels(sheet: &mut Drawing, ring: (&[Spot], Option<&[Spot]>), pieces: &[EdgeLabel]) -> Vec<String> {
    let mut lost = Vec::new();
    for i in labels::place_on(sheet, ring, pieces) {
        let label = &pieces[i];
        let out = Way::between(label.from, label.to).right();
        let on = |spot: Spot| go(spot, out, label.off - 4.0 - BAND.1 / 2.0);
        if !labels::point_at_if_clear(sheet, &[on(label.from), on(label.to)], &label.parts[0]) {
            lost.push(label.parts[0].clone());
        }
    }
    lost
}

/// What a finish's band is told by.
const fn shade(finish: Finish) -> &'static str {
    match finish {
        Finish::Drip => "drip black",
        Finish::Wall => "wall fillet dark grey",
        Finish::Raised => "raised edge white",
        Finish::Kerb => "kerb fillet light grey",
        Finish::Step => "step white",
        Finish::Gutter => "box gutter white",
    }
}

/// One piece as a band beside its edge, told apart by lightness; its ends may be cut back.
fn band(sheet: &mut Drawing, [p, q]: [Spot; 2], [first, last]: [f64; 2], off: f64, finish: Finish) {
    let fill = match finish {
        Finish::Drip => Ink::Black,
        Finish::Wall => Ink::Grey(0.45),
        Finish::Raised | Finish::Step | Finish::Gutter => Ink::White,
        Finish::Kerb => Ink::Grey(0.78),
    };
    let along = Way::between(p, q);
    let from = |d: f64| go(go(p, along.right(), d), along, first * d);
    let to = |d: f64| go(go(q, along.right(), d), along.back(), last * d);
    let ring = vec![from(off), to(off), to(off + BAND.1), from(off + BAND.1)];
    sheet.area(vec![ring], Some(fill), Some(pen(Ink::Black, 0.7)));
}

/// A stroke across the band, with a triangle on the side of the piece that lies on top.
fn lap_mark(sheet: &mut Drawing, at: Spot, along: Way, off: f64, over: LapOver) {
    let out = along.right();
    sheet.line(&[go(at, out, off - 2.0), go(at, out, off + BAND.1 + 2.0)], pen(Ink::Black, 1.4));
    let side = match over {
        LapOver::Earlier => along.back(),
        LapOver::Later => along,
    };
    let foot = go(go(at, out, off + BAND.1 / 2.0), side, 1.5);
    sheet.circle(go(foot, side, 3.5), 4.2, Some(Ink::White), None);
    sheet.tip(go(foot, side, 7.0), side, 7.0, Ink::Black);
}

/// A number in a ring.
pub fn ringed(sheet: &mut Drawing, at: Spot, number: &str) {
    sheet.circle(at, 6.0, Some(Ink::White), Some(pen(Ink::Black, 0.8)));
    sheet.words(spot(at.x, at.y + 2.8), number, LABEL_SIZE, true, Anchor::Middle);
    sheet.take(Quad::about(at, Way { x: 1.0, y: 0.0 }, 13.0, 13.0));
}

/// The way from a corner of a ring into it, along the bisector.
fn bisector(ring: &[Spot], corner: usize, at: Spot) -> Way {
    let n = ring.len();
    let (before, after) = (ring[(corner + n - 1) % n], ring[(corner + 1) % n]);
    let a = Way::between(before, at).right().back();
    let b = Way::between(at, after).right().back();
    Way::between(spot(0.0, 0.0), spot(a.x + b.x, a.y + b.y))
}
