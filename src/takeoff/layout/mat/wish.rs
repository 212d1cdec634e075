//! Which pieces are better laid last.
//!
//! Given a piece in the frame and the side where the crew leaves; gives its rank. Along the low edge: the highest strip
//! last, and in a strip the piece furthest from the way off first; of those that lie along it, from the left end to the
//! right. Up the fall: strips that reach the way off last, from the left, after all on the right of it, after all on the left of it,
//! each from the far end inwards.

use super::StripCut;
use super::frame::StripFrame;
use crate::geometry::region::Bounds;
use crate::model::Point;

/// The rank of a piece: the lowest is laid last. The way off runs from one point of the frame to another.
pub(crate) fn wish(frame: &StripFrame, way_off: (Point, Point), cut: &StripCut, lies: &Bounds) -> (i64, i64, i64) {
    let (from, to) = way_off;
    if !frame.up_the_fall {
        let (middle, left, right) = ((cut.from + cut.to) / 2, from.x.min(to.x), from.x.max(to.x));
        return (-(cut.strip as i64), (left - middle).max(middle - right).max(0), -cut.from);
    }
    let (low, high) = (from.y.min(to.y), from.y.max(to.y));
    let (left, right) = (low - lies.most.y, lies.least.y - high);
    match () {
        () if left > 0 => (2, left, -cut.from),
        () if right > 0 => (1, right, -cut.from),
        () => (0, -lies.most.y, -cut.from),
    }
}
