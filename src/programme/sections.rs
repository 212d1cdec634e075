//! Parts of a roof that are opened and closed in one go, and where the edge of each lies.
//!
//! Given the mat as it is laid; gives its strips in laying order, each of all layers, with the stretch across the strips
//! that its lowest layer covers. Lengths are counted from the low edge, or, where strips run up the fall, from the left
//! of someone who looks up it: from the corner that lies furthest that way.

use super::DayStrip;
use crate::model::Area;
use crate::takeoff::TakeOff;
use crate::takeoff::layout::mat::tape::{Stretch, StripTape, beyond, joined};
use crate::takeoff::layout::shape::HoleShape;
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
    /// Boards of the deck that begin in it: so much is stripped, packed and decked with it, and more than its mat where boards go on
    /// past it. Its mat where no boards are laid.
    pub opened: Area,
    /// What of the roof's insulation lies in it: what lies over the deck is sawn off where the day ends. Its mat where none is laid.
    pub insulated: Area,
    /// The strips of the lowest layer, from 0.
    pub strips: Vec<usize>,
    /// What they cover across the strips, mm.
    pub covers: Vec<Stretch>,
    /// It is the roof's box gutters, and none of the roof.
    pub box_gutters: bool,
    /// The roof is closed with it.
    pub last: bool,
    /// The edge by which the crew leaves the roof lies along it.
    pub at_way_off: bool,
    /// Who stops after it stops at an opening or a pipe, where no sheet lies flat and a kerb's corner is half laid.
    pub stops_at_opening: bool,
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
        opened: Area::ZERO,
        insulated: Area::ZERO,
        strips: Vec::new(),
        covers: Vec::new(),
        box_gutters: false,
        last: false,
        at_way_off: false,
        stops_at_opening: false,
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
    opened_by_boards(&mut found, roof, &tape);
    insulated_to_the_line(&mut found, roof, &tape);
    stopping_places(&mut found, roof, &tape);
    ways_off(&mut found, roof, &tape);
    close_gutters(&mut found, roof, &tape);
    let linings = roof.box_gutters.iter().flat_map(|g| &g.mat).filter(|p| p.over.is_none()).map(|p| p.mark.clone());
    let gutters = OpenSection { marks: linings.collect(), box_gutters: true, ..empty() };
    let gutters = (!roof.box_gutters.is_empty()).then_some(gutters);
    gutters.into_iter().chain(found).collect()
}

/// What closes the lining of a box gutter over the top of a wall at its end is laid with the roof beside it: that top is lined, levelled
/// and dry by then, and its outer trim on.
fn close_gutters(sections: &mut [OpenSection], roof: &RoofLayout, tape: &StripTape) {
    for (gutter, piece) in roof.box_gutters.iter().flat_map(|g| g.mat.iter().map(move |piece| (g, piece))) {
        let Some(end) = piece.over else { continue };
        let Some(lip) = roof.shape.sides.get(gutter.side) else { continue };
        let (at, _) = tape.stretch(&[if end == 0 { lip.from } else { lip.to }]);
        let beside = |s: &OpenSection| s.covers.iter().any(|(from, to)| (*from..=*to).contains(&at));
        let first = sections.iter().position(beside).unwrap_or(0);
        sections[first].marks.push(piece.mark.clone());
    }
}

/// So much of an edge lets somebody off.
const STEP_OFF: i64 = 300;

/// Which sections the edge lies along by which the crew leaves.
fn ways_off(sections: &mut [OpenSection], roof: &RoofLayout, tape: &StripTape) {
    let Some(side) = roof.shape.sides.get(roof.shape.way_off) else { return };
    let (from, to) = tape.stretch(&[side.from, side.to]);
    let least = STEP_OFF.min(to - from);
    let lies_along = |(a, b): &Stretch| (*b).min(to) - (*a).max(from) >= least;
    sections.iter_mut().for_each(|section| section.at_way_off = section.covers.iter().any(lies_along));
}

/// A line for stopping that keeps this far from an opening leaves room for what its bandage and laminate lie on.
const CLEAR_OF_OPENINGS: i64 = 150;

/// Which sections close the roof, and after which a day would end at an opening.
fn stopping_places(sections: &mut [OpenSection], roof: &RoofLayout, tape: &StripTape) {
    let mut closed: Vec<Stretch> = Vec::new();
    let count = sections.len();
    for (n, section) in sections.iter_mut().enumerate() {
        closed = joined(&closed, &section.covers);
        section.last = n + 1 == count;
        section.stops_at_opening = !section.last && !openings_at(roof, tape, &closed).is_empty();
    }
}

/// The openings and pipes beside which what is closed ends inside the roof, by their names.
pub(super) fn openings_at(roof: &RoofLayout, tape: &StripTape, closed: &[Stretch]) -> Vec<String> {
    let lines = || closed.iter().flat_map(|s| [s.0, s.1]).filter(|line| (1..tape.whole()).contains(line));
    let is_met = |hole: &&HoleShape| {
        let (from, to) = tape.stretch(&hole.ring);
        lines().any(|line| from - CLEAR_OF_OPENINGS < line && line < to + CLEAR_OF_OPENINGS)
    };
    roof.shape.holes.iter().filter(is_met).map(|hole| hole.name.clone()).collect()
}

/// What lies over the deck is laid as far as the strips of each section go.
fn insulated_to_the_line(sections: &mut [OpenSection], roof: &RoofLayout, tape: &StripTape) {
    let mut closed: Vec<Stretch> = Vec::new();
    for section in sections {
        section.insulated = match roof.over.is_some() && !section.covers.is_empty() {
            true => tape.area(roof, &beyond(&section.covers, &closed)),
            false => section.area,
        };
        closed = joined(&closed, &section.covers);
    }
}

/// A board of the deck is laid with the first section that it reaches into.
fn opened_by_boards(sections: &mut [OpenSection], roof: &RoofLayout, tape: &StripTape) {
    let boards: Vec<_> = roof.deck.iter().flat_map(|deck| &deck.pieces).collect();
    if boards.is_empty() {
        sections.iter_mut().for_each(|s| s.opened = s.area);
        return;
    }
    for board in boards {
        let lies = board.rings.first().map(|ring| tape.stretch(ring));
        let reaches = |s: &OpenSection| lies.is_some_and(|lies| beyond(&[lies], &s.covers) != [lies]);
        let first = sections.iter().position(reaches).unwrap_or(sections.len() - 1);
        sections[first].opened += board.length * board.width;
    }
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
