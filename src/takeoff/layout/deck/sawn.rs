//! Boards over insulation that are sawn through where a day's work ends.
//!
//! Given a roof as it is laid and the lines on its tape at which its days end; gives how many more screws its boards take in two parts
//! than whole. Where joists cross the line, each part of a board has a screw at the cut on each of them; where joists lie along it, the
//! board is sawn over the first at it or past it, with a row on both sides of the cut in the place of the one that it would have there.
//! Both rows are as far apart as on any joist: the board goes on past the cut, and hangs nowhere over.

use super::frame::DeckFrame;
use super::support::crossings;
use crate::geometry::region::bounds_of;
use crate::model::{Length, Point, Roof, Rules};
use crate::takeoff::layout::mat::tape::StripTape;
use crate::takeoff::layout::{BoardPiece, RoofLayout};

/// How many more screws the board over the insulation takes; none where there is no such board.
pub(crate) fn screws_at(layout: &RoofLayout, roof: &Roof, lines: &[Length], rules: &Rules) -> usize {
    let Some(overlay) = layout.over.as_ref().and_then(|over| over.overlay.as_ref()) else { return 0 };
    let cut = Cut { frame: DeckFrame::of(&layout.shape, roof), tape: StripTape::of(layout), rules };
    let more = |line: &Length| overlay.pieces.iter().map(|piece| cut.more(piece, line.as_mm())).sum::<i64>();
    usize::try_from(lines.iter().map(more).sum::<i64>()).unwrap_or(0)
}

struct Cut<'a> {
    frame: DeckFrame,
    tape: StripTape,
    rules: &'a Rules,
}

impl Cut<'_> {
    /// How many more screws a piece takes that is sawn through at a line; none where it ends at it, or before or past it.
    fn more(&self, piece: &BoardPiece, line: i64) -> i64 {
        let Some(ring) = piece.rings.first() else { return 0 };
        let (from, to) = self.tape.stretch(ring);
        if line <= from || to <= line {
            return 0;
        }
        let inside = |ring: &Vec<Point>| ring.iter().map(|&p| self.frame.inside(p)).collect::<Vec<Point>>();
        let rings: Vec<Vec<Point>> = piece.rings.iter().map(inside).collect();
        let Some(bounds) = bounds_of(rings.iter().flatten().copied()) else { return 0 };
        let joists = self.frame.timbers_between(bounds.least.x, bounds.most.x);
        match self.joists_cross() {
            true => joists.into_iter().map(|joist| self.on_joist(&rings, joist, line)).sum(),
            false => self.over_joist(&rings, (bounds.least, bounds.most), line),
        }
    }

    /// Where on the tape a place in the deck's own axes lies.
    fn at(&self, along: i64, across: i64) -> i64 {
        self.tape.place(self.frame.outside(Point::new(along, across)))
    }

    fn joists_cross(&self) -> bool {
        const METRE: i64 = 1000;
        (self.at(0, METRE) - self.at(0, 0)).abs() * 2 > METRE
    }

    /// On one joist, which the line crosses.
    fn on_joist(&self, rings: &[Vec<Point>], joist: i64, line: i64) -> i64 {
        let screws = |long: i64| Length::mm(long).places(self.rules.deck_field_fixing);
        let stretches = crossings(rings, joist).into_iter();
        let more = stretches.map(|(a, b)| {
            let (low, high) = (self.at(joist, a), self.at(joist, b));
            if line <= low.min(high) || low.max(high) <= line {
                return 0;
            }
            let upto = (b - a) * (line - low) / (high - low);
            screws(upto) + screws(b - a - upto) - screws(b - a)
        });
        more.sum()
    }

    /// Over the first joist along the line that lies at it or past it, so that no laminate ends beyond the board; none where that is
    /// the one on which the piece ends.
    fn over_joist(&self, rings: &[Vec<Point>], (least, most): (Point, Point), line: i64) -> i64 {
        let middle = |joist: i64| self.at(joist, i64::midpoint(least.y, most.y));
        let joists = self.frame.timbers_between(least.x - 1, most.x + 1);
        let past = joists.into_iter().filter(|&joist| middle(joist) >= line).min_by_key(|&joist| middle(joist));
        let inside = past.filter(|joist| least.x < *joist && *joist < most.x);
        let row = |(a, b): (i64, i64)| Length::mm(b - a).places(self.rules.deck_field_fixing);
        inside.map_or(0, |joist| crossings(rings, joist).into_iter().map(row).sum())
    }
}
