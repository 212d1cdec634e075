//! Where to stop at the end of each day on which some of a roof is opened.
//!
//! Given the sections that each day opens and closes; gives, for each day and each roof of it, the strips, the stretch
//! that a tape finds again, and the area that lies in it. The stretch ends where a strip of the lowest layer ends. The
//! areas of a roof's days come to the roof's own.

use super::sections::{OpenSection, openings_at};
use crate::model::{Area, Length, Point};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::bandage::place_of;
use crate::takeoff::layout::edge_cuts::{EdgeCuts, EdgeRun, RoofEdgeCuts};
use crate::takeoff::layout::mat::tape::{Stretch, StripTape, beyond, joined};
use crate::takeoff::layout::parapets::outer_edge;
use crate::takeoff::layout::{DeckLayout, LiningBoard, MatPiece, OuterEdge, RoofLayout, RunPlace, TrimPiece, TrimRun};
use std::collections::{BTreeMap, BTreeSet};

/// Strips of one layer of mat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayerStrips {
    /// The layer, from 0.
    pub layer: usize,
    /// Each by its number, or by the marks of its pieces where not all of them are meant.
    pub names: Vec<String>,
}

/// What is opened and closed of a roof on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// The first day of it: an earlier one where a strip takes more than a day.
    pub first_day: u32,
    /// The day on which it is closed.
    pub day: u32,
    /// The roof.
    pub roof: String,
    /// The strips of every layer that are laid, the lowest first; none where no mat was laid out.
    pub strips: Vec<LayerStrips>,
    /// From where to where it is opened, counted as `from_left` says; each ends at the edge of a strip or of the roof.
    pub opens: Vec<(Length, Length)>,
    /// The whole extent that way.
    pub extent: Length,
    /// Whether lengths are counted from the left of someone who looks up the fall, and not up from the low edge.
    pub from_left: bool,
    /// Where boards of the deck end that a line for stopping crosses, the furthest.
    pub boards_to: Vec<Length>,
    /// What lies neither closed nor under boards of the deck when it is closed, part by part: old roof, or bare joists.
    pub left: Vec<(Length, Length)>,
    /// The marks of trims along the edges and round openings that go on past such a line.
    pub trims_past: Vec<String>,
    /// The marks of outer edge trims and boards of linings that go on past it along a parapet.
    pub parapets_past: Vec<String>,
    /// The sides along which edge battens go on past it, and those along which edge timber does, by their places in the outline.
    pub battens_past: Vec<usize>,
    /// The same of edge timber round insulation.
    pub timber_past: Vec<usize>,
    /// The openings and pipes beside which it stops.
    pub openings: Vec<String>,
    /// The marks of what closes the lining of its box gutters over the tops of walls at their ends.
    pub gutter_ends: Vec<String>,
    /// Its box gutters alone are built and lined, and none of the roof is opened.
    pub box_gutters: bool,
    /// The roof is closed with it.
    pub whole_roof: bool,
    /// How much roof is opened.
    pub opened: Area,
    /// Boards of which a piece is laid by then, of those days before too.
    pub begun: BoardsBegun,
}

/// How many boards of a roof are begun by the end of a day, whole or cut.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct BoardsBegun {
    /// Of its deck.
    pub deck: usize,
    /// Of its insulation.
    pub insulation: usize,
    /// Of the board over that.
    pub over: usize,
}

impl Stop {
    /// Whether the roof is left half done at the end of the day, new beside old.
    pub const fn divides_roof(&self) -> bool {
        !self.whole_roof && !self.box_gutters
    }

    /// Whether a day opens or closes some of it.
    pub fn is_on(&self, day: u32) -> bool {
        (self.first_day..=self.day).contains(&day)
    }
}

/// The lines inside a roof at which its days end, each once, counted as its stops count.
pub fn lines_of(stops: &[Stop], roof: &str) -> Vec<Length> {
    let (mut closed, mut lines): (Vec<Stretch>, BTreeSet<Length>) = (Vec::new(), BTreeSet::new());
    for stop in stops.iter().filter(|stop| stop.roof == roof && stop.divides_roof()) {
        let opens: Vec<Stretch> = stop.opens.iter().map(|(from, to)| (from.as_mm(), to.as_mm())).collect();
        closed = joined(&closed, &opens);
        let ends = closed.iter().flat_map(|stretch| [stretch.0, stretch.1]).map(Length::mm);
        lines.extend(ends.filter(|end| *end > Length::ZERO && *end < stop.extent));
    }
    lines.into_iter().collect()
}

/// Sections that are opened on one day, or on several days running where they are too long for one.
pub(super) struct OpenGroup {
    pub first_day: u32,
    pub day: u32,
    pub sections: std::ops::Range<usize>,
}

/// Where to stop on each day, roof by roof. What is no wider than the gap of a deck at its walls is not left open.
pub(super) fn stops(groups: &[OpenGroup], sections: &[OpenSection], take_off: &TakeOff, gap: Length) -> Vec<Stop> {
    let mut before: BTreeMap<usize, (Vec<Stretch>, Area)> = BTreeMap::new();
    let mut stops = Vec::new();
    let runs = runs_of(take_off);
    for group in groups {
        for of_roof in sections[group.sections.clone()].chunk_by(|a, b| a.roof == b.roof) {
            // The sections of a roof lie one behind the other.
            let left = sections.get(group.sections.end).is_some_and(|next| next.roof == of_roof[0].roof);
            let so_far = before.entry(of_roof[0].roof).or_default();
            let (gutters, of_roof): (Vec<&OpenSection>, Vec<&OpenSection>) =
                of_roof.iter().partition(|s| s.box_gutters);
            match of_roof.is_empty() {
                true => stops.push(gutters_alone(group, gutters[0], take_off)),
                false => stops.push(stop((group, of_roof.as_slice(), !left), so_far, (take_off, &runs), gap)),
            }
        }
    }
    stops
}

fn gutters_alone(group: &OpenGroup, gutters: &OpenSection, take_off: &TakeOff) -> Stop {
    let roof = &take_off.roofs[gutters.roof];
    Stop {
        first_day: group.first_day,
        day: group.day,
        roof: gutters.name.clone(),
        strips: Vec::new(),
        opens: Vec::new(),
        extent: Length::mm(StripTape::of(roof).whole()),
        from_left: roof.mat.up_the_fall,
        boards_to: Vec::new(),
        left: Vec::new(),
        trims_past: Vec::new(),
        parapets_past: Vec::new(),
        battens_past: Vec::new(),
        timber_past: Vec::new(),
        openings: Vec::new(),
        gutter_ends: Vec::new(),
        box_gutters: true,
        whole_roof: false,
        opened: Area::ZERO,
        begun: BoardsBegun::default(),
    }
}

fn stop(
    (group, opened, whole_roof): (&OpenGroup, &[&OpenSection], bool),
    so_far: &mut (Vec<Stretch>, Area),
    (take_off, runs): (&TakeOff, &[Vec<&TrimRun>]),
    gap: Length,
) -> Stop {
    let roof = &take_off.roofs[opened[0].roof];
    let tape = StripTape::of(roof);
    let covers: Vec<Stretch> = opened.iter().fold(Vec::new(), |all, s| joined(&all, &s.covers));
    let opens = beyond(&covers, &so_far.0);
    let closed = joined(&so_far.0, &covers);
    // What crossings rounded to whole millimetres leave over is the last day's.
    let reached = if whole_roof { roof.shape.area } else { tape.area(roof, &closed) };
    let area = reached - so_far.1;
    // What lies over insulation is sawn off at the line.
    let decks = roof.deck.iter().filter(|_| !whole_roof);
    let boards = tape.boards_past(decks, &closed);
    let (trims_past, parapets_past) = goods_past(roof, &runs[opened[0].roof], &tape, &closed);
    let cuts = take_off.edge_cuts.get(opened[0].roof).filter(|_| !whole_roof);
    let timbers_past = |of: fn(&RoofEdgeCuts) -> &EdgeCuts| {
        cuts.map(|cuts| timbers_past(roof, of(cuts), &tape, &closed)).unwrap_or_default()
    };
    let (battens_past, timber_past) = (timbers_past(|cuts| &cuts.battens), timbers_past(|cuts| &cuts.timber));
    let openings = if whole_roof { Vec::new() } else { openings_at(roof, &tape, &closed) };
    let begun = boards_begun(roof, &tape, &closed);
    let left = if whole_roof { Vec::new() } else { tape.left(roof, &closed, gap) };
    *so_far = (closed, reached);
    Stop {
        first_day: group.first_day,
        day: group.day,
        roof: roof.shape.name.clone(),
        strips: strips(roof, opened.iter().copied()),
        opens: opens.into_iter().map(|(from, to)| (Length::mm(from), Length::mm(to))).collect(),
        extent: Length::mm(tape.whole()),
        from_left: roof.mat.up_the_fall,
        boards_to: boards.into_iter().map(Length::mm).collect(),
        left: left.into_iter().map(|(from, to)| (Length::mm(from), Length::mm(to))).collect(),
        trims_past,
        parapets_past,
        battens_past,
        timber_past,
        openings,
        gutter_ends: gutter_ends(roof, opened),
        box_gutters: false,
        whole_roof,
        opened: area,
        begun,
    }
}

/// The boards of which a piece reaches into what is closed.
fn boards_begun(roof: &RoofLayout, tape: &StripTape, closed: &[Stretch]) -> BoardsBegun {
    let begins = |rings: &[Vec<Point>]| {
        let lies = rings.first().map(|ring| tape.stretch(ring));
        lies.is_some_and(|lies| beyond(&[lies], closed) != [lies])
    };
    let of_deck = |deck: Option<&DeckLayout>| {
        let pieces = deck.into_iter().flat_map(|deck| &deck.pieces).filter(|piece| begins(&piece.rings));
        pieces.map(|piece| piece.board).collect::<BTreeSet<usize>>().len()
    };
    let over = roof.over.as_ref();
    let insulation = over.into_iter().flat_map(|over| &over.insulation.pieces).filter(|piece| begins(&piece.rings));
    BoardsBegun {
        deck: of_deck(roof.deck.as_ref()),
        insulation: insulation.map(|piece| piece.board).collect::<BTreeSet<usize>>().len(),
        over: of_deck(over.and_then(|over| over.overlay.as_ref())),
    }
}

fn gutter_ends(roof: &RoofLayout, opened: &[&OpenSection]) -> Vec<String> {
    let closing = roof.box_gutters.iter().flat_map(|g| &g.mat).filter(|piece| piece.over.is_some());
    let is_laid = |mark: &String| opened.iter().any(|section| section.marks.contains(mark));
    closing.map(|piece| piece.mark.clone()).filter(is_laid).collect()
}

/// The marks of what goes on past a line at which what is closed ends: trims along a roof's edges and round its openings; the
/// outer edge trims and the linings of its parapets.
fn goods_past(
    layout: &RoofLayout,
    runs: &[&TrimRun],
    tape: &StripTape,
    closed: &[Stretch],
) -> (Vec<String>, Vec<String>) {
    let crosses = |line: (Point, Point), at: Length, long: Length| goes_past(line, (at, long), tape, closed);
    let (mut trims, mut parapets) = (Vec::new(), Vec::new());
    for run in runs {
        let Some((from, to, _)) = place_of(&layout.shape, run.place) else { continue };
        let past = if matches!(run.place, RunPlace::Parapet { .. }) { &mut parapets } else { &mut trims };
        let goes_on = |p: &&TrimPiece| crosses((from, to), run.leg + p.at, p.length);
        past.extend(run.pieces.iter().filter(goes_on).map(|p| p.mark.clone()));
    }
    for lining in &layout.parapets {
        let goes_on = |b: &&LiningBoard| crosses(lining_line(layout, lining.side, b), b.at, b.length);
        parapets.extend(lining.boards.iter().filter(goes_on).map(|b| b.mark.clone()));
    }
    (trims, parapets)
}

/// The trims of each roof, in the order of the profiles. Ladder points stand on no deck.
fn runs_of(take_off: &TakeOff) -> Vec<Vec<&TrimRun>> {
    let mut of_roof = vec![Vec::new(); take_off.roofs.len()];
    for run in take_off.profiles.iter().flat_map(|plan| &plan.runs) {
        match run.place {
            RunPlace::Side { roof, .. } | RunPlace::Hole { roof, .. } | RunPlace::Parapet { roof, .. } => {
                of_roof[roof].push(run);
            }
            RunPlace::Ladder { .. } => {}
        }
    }
    of_roof
}

/// The line along which a board of a parapet's lining lies: its face on the side, its top along the outer edge.
fn lining_line(roof: &RoofLayout, side: usize, board: &LiningBoard) -> (Point, Point) {
    let outer = outer_edge(&roof.shape, side, OuterEdge::Along).filter(|_| board.top);
    let at = &roof.shape.sides[side];
    outer.unwrap_or((at.from, at.to))
}

/// Where on a roof's tape a board of the lining along one of its sides lies.
pub fn lining_lies(roof: &RoofLayout, tape: &StripTape, side: usize, board: &LiningBoard) -> Stretch {
    tape.stretch_along(lining_line(roof, side, board), board.at, board.length)
}

/// Whether what lies along a line from a place on goes on past a line at which what is closed ends.
fn goes_past(line: (Point, Point), (at, long): (Length, Length), tape: &StripTape, closed: &[Stretch]) -> bool {
    let stretch = tape.stretch_along(line, at, long);
    let inside = |line: i64| stretch.0 < line && line < stretch.1;
    closed.iter().any(|s| inside(s.0) || inside(s.1))
}

/// The sides along which a piece of edge batten or edge timber goes on past such a line.
fn timbers_past(roof: &RoofLayout, cuts: &EdgeCuts, tape: &StripTape, closed: &[Stretch]) -> Vec<usize> {
    let goes_on = |run: &&EdgeRun| {
        let side = &roof.shape.sides[run.side];
        run.pieces
            .iter()
            .scan(run.at, |at, piece| Some((std::mem::replace(at, *at + piece.length), piece.length)))
            .any(|place| goes_past((side.from, side.to), place, tape, closed))
    };
    let sides: BTreeSet<usize> = cuts.runs.iter().filter(goes_on).map(|run| run.side).collect();
    sides.into_iter().collect()
}

/// The strips of every layer of which pieces are laid with some sections.
pub(super) fn strips<'a>(roof: &RoofLayout, some: impl Iterator<Item = &'a OpenSection>) -> Vec<LayerStrips> {
    let laid: BTreeSet<&String> = some.flat_map(|s| &s.marks).collect();
    let mut by_strip: BTreeMap<(usize, usize), Vec<&MatPiece>> = BTreeMap::new();
    for piece in &roof.mat.pieces {
        by_strip.entry((piece.layer, piece.number)).or_default().push(piece);
    }
    let mut found: Vec<LayerStrips> = Vec::new();
    for ((layer, number), pieces) in by_strip {
        let mut names: Vec<String> = pieces.iter().map(|p| &p.mark).filter(|m| laid.contains(m)).cloned().collect();
        if names.is_empty() {
            continue;
        }
        if names.len() == pieces.len() {
            names = vec![number.to_string()];
        }
        match found.last_mut() {
            Some(of_layer) if of_layer.layer == layer => of_layer.names.extend(names),
            _ => found.push(LayerStrips { layer, names }),
        }
    }
    found
}
