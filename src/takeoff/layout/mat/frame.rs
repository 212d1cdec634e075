//! The frame in which strips are laid: along the strips, and across them.
//!
//! Given the way up the fall; turns points of the roof's plan into the frame and back. A point in the frame keeps its
//! place along the strip in `x` and its place across the strips in `y`, in whole millimetres: exact where the low edge
//! lies along an axis of the plan, else to the nearest millimetre.

use crate::geometry::region::{Polygon, Region};
use crate::model::Point;
use crate::takeoff::layout::shape::Direction;

/// Two directions square to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripFrame {
    along: Direction,
    across: Direction,
    /// Whether the strips run up the fall, and not along the low edge.
    pub up_the_fall: bool,
}

impl StripFrame {
    /// Strips along the low edge, counted up the fall.
    pub fn along_low_edge(uphill: Direction) -> StripFrame {
        StripFrame { along: right_of(uphill), across: uphill, up_the_fall: false }
    }

    /// Strips up the fall, counted from the left of someone who looks up it.
    pub fn up_the_fall(uphill: Direction) -> StripFrame {
        StripFrame { along: uphill, across: right_of(uphill), up_the_fall: true }
    }

    /// A point of the plan in the frame.
    pub fn place(&self, p: Point) -> Point {
        let (x, y) = (p.x as f64, p.y as f64);
        rounded(self.along.x * x + self.along.y * y, self.across.x * x + self.across.y * y)
    }

    /// A point of the frame on the plan.
    pub fn back(&self, p: Point) -> Point {
        let (a, c) = (p.x as f64, p.y as f64);
        rounded(self.along.x * a + self.across.x * c, self.along.y * a + self.across.y * c)
    }

    /// A region of the plan in the frame.
    pub fn place_region(&self, region: &Region) -> Region {
        let ring = |r: &Vec<Point>| r.iter().map(|&p| self.place(p)).collect::<Vec<_>>();
        let rings: Vec<Vec<Point>> = region.polygons().iter().flat_map(|p: &Polygon| p.iter().map(ring)).collect();
        Region::of_rings(rings.iter().map(Vec::as_slice))
    }

    /// The four corners on the plan of a rectangle in the frame.
    pub fn rectangle(&self, least: Point, most: Point) -> Vec<Point> {
        [least, Point::new(most.x, least.y), most, Point::new(least.x, most.y)].map(|p| self.back(p)).to_vec()
    }
}

fn right_of(uphill: Direction) -> Direction {
    Direction { x: uphill.y, y: -uphill.x }
}

fn rounded(x: f64, y: f64) -> Point {
    Point::new(x.round() as i64, y.round() as i64)
}
