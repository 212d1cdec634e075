//! Where along the edge of its way off the crew stands last.

use super::RoofLayout;
use super::shape::Direction;
use crate::model::Point;

impl RoofLayout {
    /// The middle of the piece of mat that is laid last, along the edge of the way off: 0 where that edge begins, 1 where it ends.
    /// Half where nothing is laid.
    fn left_at(&self) -> f64 {
        let last = self.mat.pieces.iter().max_by_key(|p| (p.layer, p.number)).map(|p| p.ring.as_slice());
        let side = self.shape.sides.get(self.shape.way_off);
        let Some((side, last)) = side.zip(last).filter(|(_, last)| !last.is_empty()) else { return 0.5 };
        let toward = Direction::along(side.from, side.to);
        let place = |p: &Point| (p.x - side.from.x) as f64 * toward.x + (p.y - side.from.y) as f64 * toward.y;
        last.iter().map(place).sum::<f64>() / last.len() as f64 / side.run.as_mm().max(1) as f64
    }

    /// Whether the piece that is laid last lies at the beginning of the edge of the way off (`Some(true)`), at its end, or along all of it.
    pub fn left_at_the_beginning(&self) -> Option<bool> {
        match self.left_at() {
            at if at < 0.4 => Some(true),
            at if at > 0.6 => Some(false),
            _ => None,
        }
    }
}
