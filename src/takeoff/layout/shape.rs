//! The roof as it is laid out: the outline moved to the trims' backs, corners and their angles, holes, heights.
//!
//! Given a measured roof and the rules; gives the polygon on which everything else is placed. Walls do not move when
//! sizes were measured to the fascia; drip and raised edges do. Where stretches of one line move by unlike amounts the
//! outline steps between them, by no more than the battens: such a step is no side and takes no trim.

use crate::geometry::region::Region;
use crate::geometry::ring;
use crate::geometry::segment::distance;
use crate::model::job::By;
use crate::model::rules::Rules;
use crate::model::shape::{DeckAction, MeasuredTo};
use crate::model::words;
use crate::model::{
    Area, Cover, Edge, Finish, Hole, HoleForm, Length, Outline, Point, Problem, Roof, Section, SettingPath, UnderTiles,
};
use std::cmp::Ordering;
use std::f64::consts::PI;
use std::sync::OnceLock;

/// Which way the outline turns at a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Convex.
    External,
    /// Reflex.
    Internal,
    /// Two stretches of one straight edge.
    Straight,
}

/// A corner between two sides.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// Where.
    pub at: Point,
    /// External, internal or straight.
    pub turn: Turn,
    /// The angle inside the roof, degrees: 90 at a square external corner, 270 at an internal one.
    pub inside: f64,
}

/// A door sill over a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sill {
    /// From the finished roof to the underside of the sill.
    pub left: Length,
    /// What is made under it.
    pub detail: SillDetail,
}

/// What is made under a door sill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SillDetail {
    /// The wall fillet runs on under it.
    Fillet,
    /// No fillet fits: bandage in the corner of deck and wall.
    Low,
}

/// What meets the end of a covered wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WallEnd {
    /// The next covered wall round a corner: both tops meet in a mitre.
    Turns,
    /// The next covered stretch of the same line.
    GoesOn,
    /// A wall that goes higher: the laminate is turned up against it.
    Butts,
    /// A box gutter, at whose end it goes on to the parapet beyond, which goes higher.
    PastGutter,
    /// Nothing: it ends in the open, and the outer trim is returned across it.
    Free,
}

impl WallEnd {
    /// Whether the laminate is turned up there against something higher.
    pub const fn is_against_a_wall(self) -> bool {
        matches!(self, WallEnd::Butts | WallEnd::PastGutter)
    }
}

/// A covered wall along a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CopedWall {
    /// From the finished roof to the top of its masonry, where the roof stands highest.
    pub left: Length,
    /// The same where the roof lies lowest.
    pub high: Length,
    /// Its thickness.
    pub width: Length,
    /// Thickness of its lining.
    pub lining: Length,
    /// What covers it.
    pub cover: Cover,
    /// Who lifts what lies on it and covers it again.
    pub by: By,
    /// How it ends where the side starts, and where it ends.
    pub ends: [WallEnd; 2],
    /// By how much its outer edge is longer than the side at each of them; less than nothing at an inner corner.
    pub longer: [Length; 2],
    /// Its top, along the outer edge.
    pub long: Length,
}

impl CopedWall {
    /// How far the laminate goes: up the highest of its face and across its top.
    pub fn carried(&self) -> Length {
        self.high + self.lining + self.width
    }

    /// Across its top, the lining's edge with it.
    pub fn across(&self) -> Length {
        self.lining + self.width
    }

    /// Along its inner arris: the side, and what of the wall passes a box gutter.
    pub fn arris(&self, run: Length) -> Length {
        run + self.past_gutters()
    }

    /// What of it passes the ends of box gutters.
    pub fn past_gutters(&self) -> Length {
        let past = |i: usize| if self.ends[i] == WallEnd::PastGutter { self.longer[i] } else { Length::ZERO };
        past(0) + past(1)
    }
}

/// A side: one edge (or stretch) of the outline as laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Side {
    /// Its label: `back`, `back (2)`.
    pub label: String,
    /// Path in the job file, for problems.
    pub path: SettingPath,
    /// Start, in walking order.
    pub from: Point,
    /// End.
    pub to: Point,
    /// The run: measured length, moved out where it was measured to the fascia.
    pub run: Length,
    /// The finish.
    pub finish: Finish,
    /// How far the mat is carried over it, or up what stands there.
    pub carried: Length,
    /// The door sill over it, once it is known how the roof is built up.
    pub sill: Option<Sill>,
    /// The wall that the roof is carried over there, once it is known how the roof is built up.
    pub coped: Option<CopedWall>,
    /// Where the middle of a ladder point stands, from the start.
    pub ladder: Option<Length>,
}

impl Side {
    /// Where it begins, for a man who stands in front of the roof: sizes along it count from there.
    pub fn begins_at(&self) -> &'static str {
        seen_from_the_front(self.from, self.to)
    }

    /// Where it ends, for the same man.
    pub fn ends_at(&self) -> &'static str {
        seen_from_the_front(self.to, self.from)
    }

    /// Whether a wall stands there that a flashing is cut into: no door opens in it, and the roof is not carried over it.
    pub fn is_plain_wall(&self) -> bool {
        self.finish == Finish::Wall && self.sill.is_none() && self.coped.is_none()
    }

    /// Whether a flashing may be cut in over it: at a plain wall, or at the parapet beyond a box gutter.
    pub fn may_be_flashed(&self) -> bool {
        self.finish == Finish::Gutter || self.is_plain_wall()
    }

    /// Whether a trim stands there: no fillet fits under a low door sill.
    pub fn has_trim(&self) -> bool {
        self.finish.has_trim() && !self.is_under_low_sill()
    }

    /// Whether it lies under a door sill that no fillet fits under.
    pub fn is_under_low_sill(&self) -> bool {
        self.sill.is_some_and(|sill| sill.detail == SillDetail::Low)
    }
}

/// The point that lies so far along a line from where it begins.
pub fn point_along(from: Point, to: Point, length: Length) -> Point {
    let along = Direction::along(from, to);
    let by = length.as_mm() as f64;
    let move_on = |from: i64, part: f64| (from as f64 + part * by).round() as i64;
    Point::new(move_on(from.x, along.x), move_on(from.y, along.y))
}

/// At which end of a line it begins, for a man who stands in front of the roof.
impl RoofShape {
    /// Where a side begins, in words: as a man in front of the roof sees it, or by the side that it meets there where another is
    /// called so.
    pub fn start_of(&self, side: usize) -> String {
        let n = self.sides.len();
        let (seen, met) = (self.sides[side].begins_at(), &self.sides[(side + n - 1) % n].label);
        let is_another = self.sides.iter().any(|s| words::the(&s.label) == seen && s.label != *met);
        if is_another { words::the(met) } else { seen.to_owned() }
    }
}

fn seen_from_the_front(from: Point, to: Point) -> &'static str {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    match (dx.abs() >= dy.abs(), dx >= 0, dy >= 0) {
        (true, true, _) => "the left",
        (true, false, _) => "the right",
        (false, _, true) => "the front",
        (false, _, false) => "the back",
    }
}

/// A hole as laid out: its ring runs anticlockwise as seen from above, like the outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoleShape {
    /// Its name.
    pub name: String,
    /// Path in the job file.
    pub path: SettingPath,
    /// Its form as given.
    pub form: HoleForm,
    /// Its outline to the outside of the kerb (a pipe: a polygon that encloses the circle's area).
    pub ring: Vec<Point>,
    /// `Kerb` or `Wall`.
    pub finish: Finish,
    /// A pipe takes a collar, not a trim.
    pub round: bool,
    /// How far the mat is carried up it: by the rule, and up an old kerb no further than is left of it.
    pub carried: Length,
}

impl HoleShape {
    /// Whether it is a rooflight, a hatch or another opening that carries nobody, and neither pipe nor chimney.
    pub fn is_opening(&self) -> bool {
        is_opening(self.finish, self.round)
    }
}

/// Whether what has such a finish round it, and is round or not, is an opening that carries nobody: neither pipe nor chimney.
pub fn is_opening(finish: Finish, round: bool) -> bool {
    finish == Finish::Kerb && !round
}

/// A unit direction on plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Along x.
    pub x: f64,
    /// Along y.
    pub y: f64,
}

impl Direction {
    /// From one point to another.
    pub fn along(from: Point, to: Point) -> Direction {
        let left = inward(from, to);
        Direction { x: left.y, y: -left.x }
    }

    /// How far it goes in another direction: 1 where the two are one, 0 where they are square to each other.
    pub fn dot(self, other: Direction) -> f64 {
        self.x * other.x + self.y * other.y
    }
}

/// A roof as laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct RoofShape {
    /// Its name.
    pub name: String,
    /// Its place in the job.
    pub index: usize,
    /// The sides in walking order, anticlockwise; `sides[i]` is edge `i` of the measured outline.
    pub sides: Vec<Side>,
    /// `corners[i]` is where `sides[i]` starts.
    pub corners: Vec<Corner>,
    /// Holes.
    pub holes: Vec<HoleShape>,
    /// Up the fall, away from the low edge, square to it.
    pub uphill: Direction,
    /// Sides that lie on the low line, by index.
    pub low_sides: Vec<usize>,
    /// The side where the crew leaves, by index.
    pub way_off: usize,
    /// Net area on plan: holes taken off.
    pub area: Area,
    /// Whether drip and raised edges were moved out from the fascia.
    pub moved: bool,
    /// Joists that are set along edges with none.
    pub edge_joists: Vec<EdgeJoist>,
    /// Centre-lines of its joists, sought once: see [`super::deck::joist_lines`].
    pub joists: Sought<Vec<(Point, Point)>>,
}

/// A joist that is set along an edge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EdgeJoist {
    /// The side that it lies along, the first where there are several.
    pub side: usize,
    /// What the edges that it lies along are called.
    pub label: String,
    /// Whether it goes on past their end.
    pub past: bool,
    /// Its section.
    pub section: Section,
    /// One end of its centre-line within the outline.
    pub from: Point,
    /// The other.
    pub to: Point,
}

/// What follows from all the rest of a value and is sought where it is first asked for. Two values that are alike in the rest are
/// alike.
#[derive(Debug, Clone)]
pub struct Sought<T>(OnceLock<T>);

impl<T> Sought<T> {
    /// Gives it; at the first time by seeking it.
    pub fn or_seek(&self, seek: impl FnOnce() -> T) -> &T {
        self.0.get_or_init(seek)
    }
}

impl<T> Default for Sought<T> {
    fn default() -> Sought<T> {
        Sought(OnceLock::new())
    }
}

impl<T> PartialEq for Sought<T> {
    fn eq(&self, _: &Sought<T>) -> bool {
        true
    }
}

/// Lays out the shape of roof `index` of the job.
///
/// # Errors
/// An outline that no longer closes once its edges are moved out to their battens.
pub fn lay_out(roof: &Roof, index: usize, rules: &Rules) -> Result<RoofShape, Vec<Problem>> {
    let (moved, outline) = (roof.measured_to == MeasuredTo::Fascia, &roof.outline);
    let goes_on = outline.edges.iter().any(|edge| runs_back(edge, roof) > Length::ZERO);
    let sides = if moved || goes_on { move_out(roof, rules)? } else { as_measured(outline, rules) };
    let holes: Vec<HoleShape> = roof.holes.iter().map(|hole| hole_shape(hole, rules)).collect();
    let low = outline.edges.iter().position(|e| e.name == roof.falls_to).unwrap_or(0);
    let uphill = inward(sides[low].from, sides[low].to);
    Ok(RoofShape {
        name: roof.name.clone(),
        index,
        corners: (0..sides.len()).map(|i| corner(&outline.edges, &sides, i)).collect(),
        area: net_area(&ring_of(&sides), &holes),
        low_sides: low_sides(&sides, uphill),
        way_off: way_off(roof, outline, &sides, uphill),
        sides,
        holes,
        uphill,
        moved,
        edge_joists: Vec::new(),
        joists: Sought::default(),
    })
}

impl RoofShape {
    /// The outline's corner points, anticlockwise; at a step between stretches of one line both of its ends.
    pub fn ring(&self) -> Vec<Point> {
        ring_of(&self.sides)
    }

    /// The roof surface: inside the outline, holes taken off.
    pub fn surface(&self) -> Region {
        Region::of_ring(&self.ring()).subtract(&self.hole_region())
    }

    /// All holes together.
    pub fn hole_region(&self) -> Region {
        Region::of_rings(self.holes.iter().map(|h| h.ring.as_slice()))
    }

    /// Whether a door opens over one of its sides.
    pub fn has_a_door(&self) -> bool {
        self.sides.iter().any(|side| side.sill.is_some())
    }

    /// Whether the crew leaves it by a door.
    pub fn is_left_by_a_door(&self) -> bool {
        self.sides.get(self.way_off).is_some_and(|side| side.sill.is_some())
    }

    /// Where new boards lie: the surface, less the gap at walls and chimneys and round pipes.
    pub fn deck_region(&self, rules: &Rules) -> Region {
        let gaps: Vec<Vec<Point>> = (0..self.sides.len())
            .filter(|&i| self.sides[i].finish == Finish::Wall)
            .map(|i| self.wall_strip(i, rules.wall_gap))
            .collect();
        let round_holes = self.holes.iter().map(|h| h.with_gap(rules)).collect::<Vec<_>>();
        let taken = Region::of_rings(gaps.iter().chain(&round_holes).map(Vec::as_slice));
        Region::of_ring(&self.ring()).subtract(&taken)
    }

    /// How far up the fall a point lies above the low line, in plan millimetres.
    pub fn up_from_low(&self, p: Point) -> f64 {
        up(self.uphill, p) - self.low_level()
    }

    /// The low line, in millimetres along `uphill` from the origin.
    pub fn low_level(&self) -> f64 {
        self.sides.iter().map(|s| up(self.uphill, s.from)).fold(f64::INFINITY, f64::min)
    }

    /// The strip of the given depth along the inside of a wall, carried past a reflex corner where the next side is
    /// a wall too, so that no sliver is left there.
    fn wall_strip(&self, i: usize, depth: Length) -> Vec<Point> {
        let n = self.sides.len();
        let wall = &self.sides[i];
        let past = |corner: usize, neighbour: usize| {
            let reflex = self.corners[corner].turn == Turn::Internal;
            let both = self.sides[neighbour].finish == Finish::Wall;
            if reflex && both { depth.as_mm() as f64 } else { 0.0 }
        };
        let (before, after) = (past(i, (i + n - 1) % n), past((i + 1) % n, (i + 1) % n));
        strip(wall.from, wall.to, depth, before, after)
    }
}

impl HoleShape {
    /// Both ends of a side of its ring.
    pub fn side(&self, side: usize) -> Option<(Point, Point)> {
        (side < self.ring.len()).then(|| ring::side(&self.ring, side))
    }

    /// Its ring with the deck's gap round it: a chimney and a pipe stand clear of the boards, a kerb does not.
    fn with_gap(&self, rules: &Rules) -> Vec<Point> {
        match (&self.form, self.finish) {
            (HoleForm::Round { at, diameter }, _) => circle(*at, *diameter + rules.pipe_gap * 2),
            (HoleForm::Box { at, width, depth }, Finish::Wall) => {
                let gap = rules.wall_gap.as_mm();
                let least = Point::new(at.x - gap, at.y - gap);
                rectangle(least, *width + rules.wall_gap * 2, *depth + rules.wall_gap * 2)
            }
            _ => self.ring.clone(),
        }
    }
}

fn as_measured(outline: &Outline, rules: &Rules) -> Vec<Side> {
    let places = outline.corners.iter().enumerate().map(|(i, &from)| (from, outline.end_of(i)));
    outline.edges.iter().zip(places).map(|(edge, place)| side(edge, place, edge.length, rules)).collect()
}

/// The mat goes as far as the rule says for the finish; up a slope under tiles as far as that edge says itself. Over the tilting
/// fillet it takes more than straight up the slope.
fn side(edge: &Edge, (from, to): (Point, Point), run: Length, rules: &Rules) -> Side {
    let over = if edge.finish == Finish::Step { rules.fillet_over } else { Length::ZERO };
    let carried = edge.under.map_or(rules.mat_return.of(edge.finish), |tiles| tiles.up) + over;
    Side {
        label: edge.label(),
        path: edge.path.clone(),
        from,
        to,
        run,
        finish: edge.finish,
        carried,
        sill: None,
        coped: None,
        ladder: edge.ladder_point,
    }
}

/// Where the sides start, and where one ends beside the start of the next.
fn ring_of(sides: &[Side]) -> Vec<Point> {
    let before = sides.iter().cycle().skip(sides.len().saturating_sub(1));
    let points = |(before, side): (&Side, &Side)| [(before.to != side.from).then_some(before.to), Some(side.from)];
    before.zip(sides).flat_map(points).flatten().collect()
}

fn corner(edges: &[Edge], sides: &[Side], i: usize) -> Corner {
    let n = sides.len();
    let before = (i + n - 1) % n;
    let (a, b, c) = (sides[before].from, sides[i].from, sides[i].to);
    // At a step the side before ends a little aside.
    let (x, y) = (b.x - sides[before].to.x, b.y - sides[before].to.y);
    let inside = inside_angle(Point::new(a.x + x, a.y + y), b, c);
    let straight = n > 3 && edges[before].name == edges[i].name;
    let turn = match () {
        () if straight => Turn::Straight,
        () if inside < 180.0 => Turn::External,
        () => Turn::Internal,
    };
    Corner { at: b, turn, inside }
}

/// The angle on the left of `a → b → c` at `b`, degrees, from 0 to 360.
pub fn inside_angle(a: Point, b: Point, c: Point) -> f64 {
    let (ux, uy) = ((a.x - b.x) as f64, (a.y - b.y) as f64);
    let (vx, vy) = ((c.x - b.x) as f64, (c.y - b.y) as f64);
    let left = (ux * vy - uy * vx).atan2(ux * vx + uy * vy).to_degrees();
    (360.0 - left) % 360.0
}

/// The unit direction to the left of `from → to`: into the roof when the outline is walked anticlockwise.
pub fn inward(from: Point, to: Point) -> Direction {
    let (dx, dy) = ((to.x - from.x) as f64, (to.y - from.y) as f64);
    let length = dx.hypot(dy);
    Direction { x: -dy / length + 0.0, y: dx / length + 0.0 }
}

fn up(uphill: Direction, p: Point) -> f64 {
    uphill.x * p.x as f64 + uphill.y * p.y as f64
}

/// Sides both of whose ends lie on the low line, to within the millimetre that rounding may cost.
fn low_sides(sides: &[Side], uphill: Direction) -> Vec<usize> {
    let low = sides.iter().map(|s| up(uphill, s.from)).fold(f64::INFINITY, f64::min);
    let on = |p: Point| up(uphill, p) - low < 1.5;
    (0..sides.len()).filter(|&i| on(sides[i].from) && on(sides[i].to)).collect()
}

/// A ladder, and whoever steps onto it, has room along a side of this length.
const LADDER_ROOM: Length = Length::mm(600);

/// The side that was named, of several stretches of that name the one with a door. Else of the sides that are best left by, the
/// one whose middle lies furthest up the fall: strips then lie along the low edge, and the last one ends there.
fn way_off(roof: &Roof, outline: &Outline, sides: &[Side], uphill: Direction) -> usize {
    let named = roof.way_off.as_ref().and_then(|name| {
        let is_named = |e: &Edge| &e.name == name;
        let door = outline.edges.iter().position(|e| is_named(e) && e.sill.is_some());
        door.or_else(|| outline.edges.iter().position(is_named))
    });
    let height = |i: usize| up(uphill, sides[i].from) + up(uphill, sides[i].to);
    let ease = |i: usize| EaseOfLeaving::of(&outline.edges[i], sides[i].run);
    named.unwrap_or_else(|| {
        let better = |i: usize, best: usize| match ease(i).cmp(&ease(best)) {
            Ordering::Equal => height(i) > height(best) + 1e-6,
            other => other == Ordering::Greater,
        };
        (1..sides.len()).fold(0, |best, i| if better(i, best) { i } else { best })
    })
}

/// How well a side is left by, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EaseOfLeaving {
    /// A wall or a roof above stands there: one goes round its end.
    Closed,
    /// Over a parapet, on a board.
    OverParapet,
    /// Through a door.
    Door,
    /// Nothing stands in the way of a ladder.
    Open,
    /// A ladder point.
    LadderPoint,
}

impl EaseOfLeaving {
    /// Of an edge of so long a run.
    pub fn of(edge: &Edge, run: Length) -> EaseOfLeaving {
        let open = matches!(edge.finish, Finish::Drip | Finish::Raised);
        match () {
            () if open && edge.ladder_point.is_some() => EaseOfLeaving::LadderPoint,
            () if open && run >= LADDER_ROOM => EaseOfLeaving::Open,
            () if edge.sill.is_some() => EaseOfLeaving::Door,
            () if edge.coping.is_some() && run >= LADDER_ROOM => EaseOfLeaving::OverParapet,
            () => EaseOfLeaving::Closed,
        }
    }
}

fn net_area(ring: &[Point], holes: &[HoleShape]) -> Area {
    let taken = Region::of_rings(holes.iter().map(|h| h.ring.as_slice()));
    Region::of_ring(ring).subtract(&taken).area()
}

fn hole_shape(hole: &Hole, rules: &Rules) -> HoleShape {
    let (ring, round) = (hole_ring(&hole.form), matches!(hole.form, HoleForm::Round { .. }));
    HoleShape {
        name: hole.name.clone(),
        path: hole.path.clone(),
        form: hole.form.clone(),
        ring,
        finish: hole.finish,
        round,
        carried: rules.mat_return.of(hole.finish),
    }
}

/// The corners of a hole, anticlockwise.
pub fn hole_ring(form: &HoleForm) -> Vec<Point> {
    match *form {
        HoleForm::Box { at, width, depth } => rectangle(at, width, depth),
        HoleForm::Round { at, diameter } => circle(at, diameter),
    }
}

fn rectangle(at: Point, width: Length, depth: Length) -> Vec<Point> {
    let (w, d) = (width.as_mm(), depth.as_mm());
    vec![at, Point::new(at.x + w, at.y), Point::new(at.x + w, at.y + d), Point::new(at.x, at.y + d)]
}

/// A circle as a polygon of 32 corners with the circle's own area, before its corners are rounded.
fn circle(at: Point, diameter: Length) -> Vec<Point> {
    const CORNERS: u32 = 32;
    let step = 2.0 * PI / f64::from(CORNERS);
    // Area of a regular polygon: n/2 · r² · sin(2π/n).
    let radius = diameter.as_mm() as f64 / 2.0 * (step / step.sin()).sqrt();
    let point = |k: u32| {
        let angle = step * f64::from(k);
        let (x, y) = (radius * angle.cos(), radius * angle.sin());
        Point::new(at.x + x.round() as i64, at.y + y.round() as i64)
    };
    (0..CORNERS).map(point).collect()
}

/// The strip of `depth` to the left of `from → to`, lengthened by `before` and `after` at its ends.
fn strip(from: Point, to: Point, depth: Length, before: f64, after: f64) -> Vec<Point> {
    let n = inward(from, to);
    let along = Direction::along(from, to);
    let depth = depth.as_mm() as f64;
    let place = |p: Point, forward: f64, left: f64| {
        let x = p.x as f64 + along.x * forward + n.x * left;
        let y = p.y as f64 + along.y * forward + n.y * left;
        Point::new(x.round() as i64, y.round() as i64)
    };
    vec![place(from, -before, 0.0), place(to, after, 0.0), place(to, after, depth), place(from, -before, depth)]
}

/// How many layers of batten an edge stands on.
pub(crate) const fn batten_layers(finish: Finish, rules: &Rules) -> u32 {
    match finish {
        Finish::Drip => rules.drip_battens,
        Finish::Raised => rules.raised_battens,
        Finish::Wall | Finish::Kerb | Finish::Step | Finish::Gutter => 0,
    }
}

/// How far an edge moves out when sizes were taken to the fascia.
pub(crate) fn batten_depth(finish: Finish, rules: &Rules) -> Length {
    rules.batten.thickness * i64::from(batten_layers(finish, rules))
}

/// How far a roof runs on past the end of its old deck at an edge under tiles, where the new deck comes up and meets their slope further
/// back: sizes are taken on the old one. None where no boards are laid that could lie there, nor where its ends come up unlike: that side
/// lies askew, and only its corners say where.
pub fn runs_back(edge: &Edge, roof: &Roof) -> Length {
    let comes_up = |tiles: &UnderTiles| tiles.rise() > UnderTiles::SLIGHT_RISE && tiles.rises_alike();
    let tiles = edge.under.filter(|tiles| comes_up(tiles) && roof.deck.action != DeckAction::Keep);
    tiles.map_or(Length::ZERO, |tiles| tiles.further_back())
}

/// The sides with drip and raised edges moved out by their battens, where sizes go to the fascia, and edges under tiles to where the new deck
/// meets the slope. A run grows by what its edge grows.
fn move_out(roof: &Roof, rules: &Rules) -> Result<Vec<Side>, Vec<Problem>> {
    let old = &roof.outline;
    let n = old.corners.len();
    let to_fascia = roof.measured_to == MeasuredTo::Fascia;
    let battens = |i: usize| if to_fascia { batten_depth(old.edges[i].finish, rules) } else { Length::ZERO };
    let out = |i: usize| (battens(i) + runs_back(&old.edges[i], roof)).as_mm() as f64;
    let corners: Vec<(Point, Point)> = (0..n)
        .map(|i| {
            let before = (i + n - 1) % n;
            moved_corner(old, before, i, out(before), out(i))
        })
        .collect();
    let moved = |(i, edge): (usize, &Edge)| {
        let place = (corners[i].1, corners[(i + 1) % n].0);
        let was = distance(old.corners[i], old.end_of(i));
        side(edge, place, edge.length + distance(place.0, place.1) - was, rules)
    };
    let sides: Vec<Side> = old.edges.iter().enumerate().map(moved).collect();
    let ring = ring_of(&sides);
    let edges = vec![old.edges[0].clone(); ring.len()];
    Outline::new(ring, edges).map(|_| sides).map_err(|_| {
        let fault = match to_fascia {
            true => Problem::fault(
                roof.path.key("measured_to"),
                "moved out to the battens, the outline crosses itself",
                "measure to the outside of the battens and write `measured_to: battens`",
            ),
            false => Problem::fault(
                roof.path.key("outline"),
                "carried back to where the new deck meets the slope above, the outline crosses itself",
                "measure the roof beside that edge again, or lay it as two roofs",
            ),
        };
        vec![fault]
    })
}

/// Where one edge ends and the next starts once each is moved out: one point where they meet; two, with a step between,
/// where they are in line.
fn moved_corner(o: &Outline, before: usize, after: usize, out_before: f64, out_after: f64) -> (Point, Point) {
    let (a, b, c) = (o.corners[before], o.corners[after], o.end_of(after));
    let (n, m) = (inward(a, b), inward(b, c));
    let cross = n.x * m.y - n.y * m.x;
    let place = |x: f64, y: f64| Point::new((b.x as f64 + x).round() as i64, (b.y as f64 + y).round() as i64);
    if cross.abs() < 1e-3 {
        return (place(-n.x * out_before, -n.y * out_before), place(-m.x * out_after, -m.y * out_after));
    }
    // The point v from the corner with v·n = −out_before and v·m = −out_after.
    let x = (-out_before * m.y + out_after * n.y) / cross;
    let y = (-out_after * n.x + out_before * m.x) / cross;
    (place(x, y), place(x, y))
}
