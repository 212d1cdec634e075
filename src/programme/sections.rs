//! Parts of a roof that are opened and closed in one go, and where the edge of each lies.
//!
//! Given the mat as it is laid; gives its strips in laying order, each of all layers, with the stretch across the strips
//! that its lowest layer covers. Lengths are counted from the low edge, or, where strips run up the fall, from the left
//! of someone who looks up it: from the corner that lies furthest that way.

use super::DayStrip;
use crate::geometry::interval::{Stretch, joined, uncovered};
use crate::geometry::region::{Region, bounds_of};
use crate::model::{Area, Point};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::mat::frame::StripFrame;
use crate::takeoff::layout::{DeckLayout, MatPiece, RoofLayout};

/// A part of a roof that is opened and closed in one go: a strip of mat, all of its layers and pieces.
pub(super) struct OpenSection {
    /// The roof, by its place among those laid out.
    pub roof: usize,
    /// Its name.
    pub name: String,
    /// The mark of the last piece of its lowest layer.
    pub mark: String,
    /// The marks of all of its pieces, of every layer.
    pub marks: Vec<String>,
    /// Mat as it is cut, of every layer.
    pub area: Area,
    /// The strips of the lowest layer, from 0.
    pub strips: Vec<usize>,
    /// What they cover across the strips, mm.
    pub covers: Vec<Stretch>,
}

impl OpenSection {
    pub(super) fn day_strips(&self) -> impl Iterator<Item = DayStrip> {
        self.marks.iter().map(|mark| DayStrip { roof: self.name.clone(), mark: mark.clone() })
    }

    fn take(&mut self, piece: &MatPiece) {
        self.marks.push(piece.mark.clone());
        self.area += piece.length * piece.width;
    }
}

/// The strips in laying order; one section a roof where no mat was laid out, one in all where there is no roof.
pub(super) fn sections(take_off: &TakeOff) -> Vec<OpenSection> {
    take_off.roofs.iter().enumerate().flat_map(|(i, roof)| roof_sections(i, roof)).collect()
}

fn roof_sections(index: usize, roof: &RoofLayout) -> Vec<OpenSection> {
    let across = Across::of(roof);
    let empty = || OpenSection {
        roof: index,
        name: roof.shape.name.clone(),
        mark: String::new(),
        marks: Vec::new(),
        area: Area::ZERO,
        strips: Vec::new(),
        covers: Vec::new(),
    };
    let mut found: Vec<OpenSection> = Vec::new();
    for piece in roof.mat.pieces.iter().filter(|p| p.layer == 0) {
        let at = found.iter().position(|s| s.strips.contains(&piece.strip));
        // A strip that is laid together with one before it is closed with it.
        let last = found.len().checked_sub(1).filter(|_| piece.together.is_some());
        let at = at.or(last).unwrap_or_else(|| {
            found.push(empty());
            found.len() - 1
        });
        let section = &mut found[at];
        section.take(piece);
        section.mark = piece.mark.clone();
        section.covers.push(across.stretch(&piece.ring));
        if !section.strips.contains(&piece.strip) {
            section.strips.push(piece.strip);
        }
    }
    if found.is_empty() {
        return vec![OpenSection { area: roof.shape.area, ..empty() }];
    }
    upper_layers(&mut found, &roof.mat.pieces, &across);
    found
}

/// A piece of an upper layer is laid as soon as all that it lies on is.
fn upper_layers(sections: &mut [OpenSection], pieces: &[MatPiece], across: &Across) {
    let mut closed: Vec<Vec<Stretch>> = Vec::new();
    for section in sections.iter() {
        let before = closed.last().cloned().unwrap_or_default();
        closed.push(joined([before, section.covers.clone()].concat()));
    }
    let mut before = 0;
    for piece in pieces.iter().filter(|p| p.layer > 0) {
        let lies = across.stretch(&piece.ring);
        let carried = closed.iter().position(|c| uncovered(lies, c).is_empty()).unwrap_or(sections.len() - 1);
        before = if piece.together.is_some() { carried.max(before) } else { carried };
        sections[before].take(piece);
    }
}

/// Places across the strips of one roof.
pub(super) struct Across {
    frame: StripFrame,
    /// Where its outline begins and ends, mm in the frame.
    ends: Stretch,
}

impl Across {
    pub(super) fn of(roof: &RoofLayout) -> Across {
        let uphill = roof.shape.uphill;
        let up_the_fall = roof.mat.up_the_fall;
        let frame = if up_the_fall { StripFrame::up_the_fall(uphill) } else { StripFrame::along_low_edge(uphill) };
        let corners = roof.shape.ring().into_iter().map(|p| frame.place(p).y);
        let ends = corners.fold((i64::MAX, i64::MIN), |(low, high), y| (low.min(y), high.max(y)));
        Across { frame, ends }
    }

    /// From where the outline begins to where it ends, mm.
    pub(super) fn whole(&self) -> i64 {
        self.ends.1 - self.ends.0
    }

    /// The stretch of a ring, mm from where the outline begins; what goes past the outline is left out.
    pub(super) fn stretch(&self, ring: &[Point]) -> Stretch {
        let places = ring.iter().map(|&p| self.frame.place(p).y.clamp(self.ends.0, self.ends.1) - self.ends.0);
        places.fold((i64::MAX, i64::MIN), |(low, high), y| (low.min(y), high.max(y)))
    }

    /// How much of the roof's surface lies in some stretches that do not overlap.
    pub(super) fn area(&self, surface: &Region, stretches: &[Stretch]) -> Area {
        let framed = self.frame.place_region(surface);
        let Some(extent) = bounds_of(framed.polygons().iter().flatten().flatten().copied()) else { return Area::ZERO };
        let corner = |x: i64, y: i64| Point::new(x, self.ends.0 + y);
        let slice = |s: &Stretch| Region::of_box(corner(extent.least.x, s.0), corner(extent.most.x, s.1));
        stretches.iter().map(|s| framed.intersect(&slice(s)).area()).sum()
    }

    /// How far boards go on past the lines at which some stretches end inside the roof: the furthest of each.
    pub(super) fn boards_past(&self, deck: &DeckLayout, stretches: &[Stretch]) -> Vec<i64> {
        let boards: Vec<Stretch> =
            deck.pieces.iter().filter_map(|p| p.rings.first()).map(|ring| self.stretch(ring)).collect();
        let crossed = |line: i64| boards.iter().filter(move |b| b.0 < line && line < b.1);
        let past = |s: &Stretch| {
            let up = crossed(s.1).map(|b| b.1).max().filter(|reach| uncovered((s.1, *reach), stretches) != []);
            let down = crossed(s.0).map(|b| b.0).min().filter(|reach| uncovered((*reach, s.0), stretches) != []);
            [down, up].into_iter().flatten()
        };
        stretches.iter().flat_map(past).collect()
    }
}
