//! Parts of a roof that are opened and closed in one go, and where the edge of each lies.
//!
//! Given the mat as it is laid; gives its strips in laying order, each of all layers, with the stretch across the strips
//! that its lowest layer covers. Lengths are counted from the low edge, or, where strips run up the fall, from the left
//! of someone who looks up it: from the corner that lies furthest that way.

use super::DayStrip;
use crate::model::Area;
use crate::takeoff::TakeOff;
use crate::takeoff::layout::mat::tape::{Stretch, StripTape, beyond, joined};
use crate::takeoff::layout::{MatPiece, RoofLayout};

/// A part of a roof that is opened and closed in one go: a strip of mat, all of its layers and pieces; or, before the first of them, the
/// roof's box gutters.
pub(super) struct OpenSection {
    /// The roof, by its place among those laid out.
    pub roof: usize,
    /// Its name.
    pub name: String,
    /// The marks of all of its pieces, of every layer.
    pub marks: Vec<String>,
    /// Mat as it is cut, of every layer.
    pub area: Area,
    /// The strips of the lowest layer, from 0.
    pub strips: Vec<usize>,
    /// What they cover across the strips, mm.
    pub covers: Vec<Stretch>,
    /// It is the roof's box gutters, and none of the roof.
    pub box_gutters: bool,
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
    let tape = StripTape::of(roof);
    let empty = || OpenSection {
        roof: index,
        name: roof.shape.name.clone(),
        marks: Vec::new(),
        area: Area::ZERO,
        strips: Vec::new(),
        covers: Vec::new(),
        box_gutters: false,
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
        section.covers.push(tape.stretch(&piece.ring));
        if !section.strips.contains(&piece.strip) {
            section.strips.push(piece.strip);
        }
    }
    match found.is_empty() {
        true => found.push(OpenSection { area: roof.shape.area, ..empty() }),
        false => upper_layers(&mut found, &roof.mat.pieces, &tape),
    }
    let linings = roof.box_gutters.iter().flat_map(|g| &g.mat).map(|p| p.mark.clone());
    let gutters = OpenSection { marks: linings.collect(), box_gutters: true, ..empty() };
    let gutters = (!roof.box_gutters.is_empty()).then_some(gutters);
    gutters.into_iter().chain(found).collect()
}

/// A piece of an upper layer is laid as soon as all that it lies on is.
fn upper_layers(sections: &mut [OpenSection], pieces: &[MatPiece], tape: &StripTape) {
    let mut closed: Vec<Vec<Stretch>> = Vec::new();
    for section in sections.iter() {
        let before = closed.last().cloned().unwrap_or_default();
        closed.push(joined(&before, &section.covers));
    }
    let mut before = 0;
    for piece in pieces.iter().filter(|p| p.layer > 0) {
        let lies = tape.stretch(&piece.ring);
        let carried = closed.iter().position(|c| beyond(&[lies], c).is_empty()).unwrap_or(sections.len() - 1);
        before = if piece.together.is_some() { carried.max(before) } else { carried };
        sections[before].take(piece);
    }
}
