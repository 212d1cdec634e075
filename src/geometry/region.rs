//! Areas of the roof as sets of polygons, with union, intersection and difference.
//!
//! Given rings in whole millimetres; gives regions whose corners are whole millimetres too: a point where two edges
//! cross is rounded to the nearest millimetre, so an area may differ from the exact one by half a millimetre along a
//! cut. The booleans are `i_overlay`'s.

use super::measure::Area;
use super::point::Point;
use super::ring::{PointPlace, place_in_ring, ring_area, sides, twice_signed_area};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::string::clip::{ClipRule, IntClip};
use std::cell::Cell;

/// One polygon: the outer ring anticlockwise, then the rings of its holes clockwise.
pub type Polygon = Vec<Vec<Point>>;

type Shapes = Vec<Vec<Vec<IntPoint<i32>>>>;

/// A set of polygons that do not overlap. May be empty.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Region {
    polygons: Vec<Polygon>,
}

/// A rectangle along the roof's axes that encloses something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// Lowest x and y.
    pub least: Point,
    /// Highest x and y.
    pub most: Point,
}

impl Region {
    /// Nothing.
    pub fn empty() -> Region {
        Region::default()
    }

    /// The inside of one ring, whichever way it is walked.
    pub fn of_ring(ring: &[Point]) -> Region {
        if ring.len() < 3 || twice_signed_area(ring) == 0 {
            return Region::empty();
        }
        combine(&[to_path(ring)], &[], OverlayRule::Subject)
    }

    /// A rectangle along the axes.
    pub fn of_box(least: Point, most: Point) -> Region {
        if least.x >= most.x || least.y >= most.y {
            return Region::empty();
        }
        let ring = vec![least, Point::new(most.x, least.y), most, Point::new(least.x, most.y)];
        Region { polygons: vec![vec![ring]] }
    }

    /// The union of several rings.
    pub fn of_rings<'a>(rings: impl IntoIterator<Item = &'a [Point]>) -> Region {
        let paths: Vec<_> = rings.into_iter().filter(|r| r.len() > 2).map(to_path).collect();
        combine(&paths, &[], OverlayRule::Subject)
    }

    /// Its polygons.
    pub fn polygons(&self) -> &[Polygon] {
        &self.polygons
    }

    /// Whether it has no area.
    pub fn is_empty(&self) -> bool {
        self.polygons.is_empty()
    }

    /// What both cover.
    pub fn intersect(&self, other: &Region) -> Region {
        // Most roofs and rows are rectangles.
        match (self.as_box(), other.as_box()) {
            (Some(one), Some(two)) => one.shared(&two),
            _ => self.with(other, OverlayRule::Intersect),
        }
    }

    /// The rectangle along the axes that it is, where it is one.
    fn as_box(&self) -> Option<Bounds> {
        let [polygon] = &self.polygons[..] else { return None };
        let [ring] = &polygon[..] else { return None };
        let &[a, b, c, d] = &ring[..] else { return None };
        let across = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
        let along = a.x == b.x && b.y == c.y && c.x == d.x && d.y == a.y;
        if across || along { self.bounds() } else { None }
    }

    /// What this covers and the other does not.
    pub fn subtract(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Difference)
    }

    /// The middles of all squares along the axes, reaching `half` to each side, that lie wholly inside it.
    pub fn shrunk(&self, half: i64) -> Region {
        let taken: Vec<Vec<Point>> =
            self.polygons.iter().flatten().flat_map(|r| sides(r)).map(|(a, b)| swept(a, b, half)).collect();
        self.subtract(&Region::of_rings(taken.iter().map(Vec::as_slice)))
    }

    fn with(&self, other: &Region, rule: OverlayRule) -> Region {
        combine(&self.paths(), &other.paths(), rule)
    }

    /// Its area, holes taken off.
    pub fn area(&self) -> Area {
        let net = |p: &Polygon| {
            let holes: Area = p[1..].iter().map(|r| ring_area(r)).sum();
            ring_area(&p[0]) - holes
        };
        self.polygons.iter().map(net).sum()
    }

    /// The rectangle that encloses it; `None` when it is empty.
    pub fn bounds(&self) -> Option<Bounds> {
        bounds_of(self.polygons.iter().flatten().flatten().copied())
    }

    /// The parts of a straight line that lie inside it, in order from `from`. A part along the boundary counts when
    /// `boundary` is true.
    pub fn clip_line(&self, from: Point, to: Point, boundary: bool) -> Vec<(Point, Point)> {
        if from == to || self.is_empty() {
            return Vec::new();
        }
        let rule = ClipRule { invert: false, boundary_included: boundary };
        let inside = self.paths().clip_line([to_int(from), to_int(to)], FillRule::NonZero, rule);
        let mut parts: Vec<(Point, Point)> = inside
            .iter()
            .flat_map(|path| path.windows(2).map(|w| (of_int(w[0]), of_int(w[1]))))
            .map(|(a, b)| if along(from, to, a) <= along(from, to, b) { (a, b) } else { (b, a) })
            .collect();
        parts.sort_by_key(|(a, _)| along(from, to, *a));
        join_touching(parts)
    }

    /// Whether a point lies inside or on the boundary.
    pub fn contains(&self, p: Point) -> bool {
        self.polygons.iter().any(|polygon| in_polygon(polygon, p))
    }

    fn paths(&self) -> Vec<Vec<IntPoint<i32>>> {
        self.polygons.iter().flatten().map(|r| to_path(r)).collect()
    }
}

impl Bounds {
    /// The rectangle that reaches `by` further on every side.
    pub fn grown(&self, by: i64) -> Bounds {
        Bounds {
            least: Point::new(self.least.x - by, self.least.y - by),
            most: Point::new(self.most.x + by, self.most.y + by),
        }
    }
}

impl Bounds {
    /// What two rectangles share, its ring from the corner on from which the booleans give it.
    fn shared(&self, other: &Bounds) -> Region {
        let least = Point::new(self.least.x.max(other.least.x), self.least.y.max(other.least.y));
        let most = Point::new(self.most.x.min(other.most.x), self.most.y.min(other.most.y));
        let mut shared = Region::of_box(least, most);
        shared.polygons.iter_mut().flatten().for_each(|ring| ring.rotate_right(1));
        shared
    }

    /// Whether two rectangles share a point.
    pub fn touches(&self, other: &Bounds) -> bool {
        let along = |a: (i64, i64), b: (i64, i64)| a.0 <= b.1 && b.0 <= a.1;
        along((self.least.x, self.most.x), (other.least.x, other.most.x))
            && along((self.least.y, self.most.y), (other.least.y, other.most.y))
    }
}

/// What a square that reaches `half` to each side of its middle covers, moved from `a` to `b`: six corners, anticlockwise.
fn swept(a: Point, b: Point, half: i64) -> Vec<Point> {
    let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
    let corner = |p: Point, x: i64, y: i64| Point::new(p.x + x * half, p.y + y * half);
    let (below, above) =
        if a.y <= b.y { (corner(a, 1, -1), corner(b, -1, 1)) } else { (corner(b, -1, -1), corner(a, 1, 1)) };
    vec![corner(a, -1, -1), below, corner(b, 1, -1), corner(b, 1, 1), above, corner(a, -1, 1)]
}

/// The rectangle that encloses some points.
pub fn bounds_of(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
    points.into_iter().fold(None, |b: Option<Bounds>, p| {
        let b = b.unwrap_or(Bounds { least: p, most: p });
        Some(Bounds {
            least: Point::new(b.least.x.min(p.x), b.least.y.min(p.y)),
            most: Point::new(b.most.x.max(p.x), b.most.y.max(p.y)),
        })
    })
}

thread_local! {
    static SIDES: Cell<usize> = const { Cell::new(0) };
}

/// How many sides of polygons this thread has put together with others, for whoever counts the work.
pub fn sides_combined() -> usize {
    SIDES.get()
}

fn combine(subject: &[Vec<IntPoint<i32>>], clip: &[Vec<IntPoint<i32>>], rule: OverlayRule) -> Region {
    SIDES.set(sides_combined() + subject.iter().chain(clip).map(Vec::len).sum::<usize>());
    let shapes = Overlay::from_subj_and_clip(subject, clip).overlay(rule, FillRule::NonZero);
    of_shapes(shapes)
}

fn of_shapes(shapes: Shapes) -> Region {
    let ring = |r: Vec<IntPoint<i32>>| r.into_iter().map(of_int).collect();
    let mut polygons: Vec<Polygon> = shapes.into_iter().map(|s| s.into_iter().map(ring).collect()).collect();
    polygons.retain(|p| p.first().is_some_and(|r: &Vec<Point>| r.len() > 2));
    Region { polygons }
}

fn to_int(p: Point) -> IntPoint<i32> {
    IntPoint { x: p.x as i32, y: p.y as i32 }
}

fn of_int(p: IntPoint<i32>) -> Point {
    Point::new(i64::from(p.x), i64::from(p.y))
}

fn to_path(ring: &[Point]) -> Vec<IntPoint<i32>> {
    ring.iter().copied().map(to_int).collect()
}

/// How far along `from → to` a point lies, times the line's length.
fn along(from: Point, to: Point, p: Point) -> i128 {
    (to.x - from.x) as i128 * (p.x - from.x) as i128 + (to.y - from.y) as i128 * (p.y - from.y) as i128
}

fn join_touching(parts: Vec<(Point, Point)>) -> Vec<(Point, Point)> {
    let mut joined: Vec<(Point, Point)> = Vec::new();
    for (a, b) in parts {
        match joined.last_mut() {
            Some(last) if last.1 == a => last.1 = b,
            _ => joined.push((a, b)),
        }
    }
    joined
}

fn in_polygon(polygon: &Polygon, p: Point) -> bool {
    let place = |ring: &Vec<Point>| place_in_ring(ring, p);
    match place(&polygon[0]) {
        PointPlace::Outside => false,
        PointPlace::Edge => true,
        PointPlace::Inside => polygon[1..].iter().all(|hole| place(hole) != PointPlace::Inside),
    }
}
