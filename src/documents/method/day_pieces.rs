//! What of a roof that is opened in parts belongs to a day: the works that are done at its edges, openings and corners, and the
//! pieces of deck, insulation and trim that are fixed with its strips.
//!
//! Given a day and what was worked; answers by where things lie on the tape by which strips are counted. A piece goes on with the
//! first part of the roof that it reaches into, and stays whole: a trim, a batten or edge timber that hung over is fixed on with the next
//! part; but what lies over the deck is sawn off at the day's line, and its rest is laid with the next part. A roof that is opened and closed at once has no parts: all of it is
//! its day's.

use super::super::{WholeJob, wording};
use super::stop_words::timbers_along;
use crate::model::{Finish, Point};
use crate::programme::{Stop, lining_lies};
use crate::takeoff::layout::bandage::place_of;
use crate::takeoff::layout::mat::tape::{Stretch, StripTape};
use crate::takeoff::layout::{RoofLayout, RunPlace, TrimPiece};
use crate::takeoff::quantities::trim_lines::treatments_of;
use crate::works::{Operation, Place, Work, WorkKind};

/// A roof that is opened in parts, on a day that opens one of them.
struct DividedRoof<'a> {
    layout: &'a RoofLayout,
    tape: StripTape,
    /// Its days' parts, in their order.
    stops: Vec<&'a Stop>,
}

/// How a piece that stays whole belongs to a day.
#[derive(Debug, Clone, Copy)]
enum FixedAs {
    /// It is begun: the day opens the first part that it reaches into.
    Begun,
    /// It hung over the line of an earlier day, and goes on over what the day opens.
    Rest,
}

/// What belongs to a day.
pub(super) struct DayPieces<'a> {
    day: u32,
    worked: &'a WholeJob<'a>,
    divided: Vec<DividedRoof<'a>>,
}

impl<'a> DayPieces<'a> {
    pub(super) fn of(day: u32, worked: &'a WholeJob<'a>) -> DayPieces<'a> {
        let divided = |layout: &'a RoofLayout| {
            let stops: Vec<&Stop> = worked.programme.stops.iter().filter(|s| s.roof == layout.shape.name).collect();
            let is_today = stops.iter().any(|stop| stop.is_on(day));
            (stops.len() > 1 && is_today).then(|| DividedRoof { layout, tape: StripTape::of(layout), stops })
        };
        DayPieces { day, worked, divided: worked.take_off.roofs.iter().filter_map(divided).collect() }
    }

    /// Whether some of a kind of work is done on the day on a roof, by its name.
    pub(super) fn has(&self, kind: WorkKind, roof: &str) -> bool {
        let Some(of) = self.divided.iter().find(|of| of.layout.shape.name == roof) else { return true };
        let treatments = treatments_of(kind);
        if !treatments.is_empty() {
            let corners = of.layout.junctions.iter().filter(|j| treatments.contains(&j.treatment));
            return corners.map(|corner| of.tape.stretch(&[corner.at])).any(|at| of.is_open(at, self.day));
        }
        if kind == WorkKind::LadderPoint {
            let trims = of.trims(self.day, self.worked, FixedAs::Begun);
            return trims.iter().any(|(place, _)| matches!(place, RunPlace::Ladder { .. }));
        }
        let on_gutter =
            matches!(kind, WorkKind::GutterBoards | WorkKind::GutterLining | WorkKind::RoofOutlet | WorkKind::Overflow);
        let on_parapet = |work: &Work| {
            let side = if let Place::Edge(_, side) = work.place { of.layout.shape.sides.get(side) } else { None };
            side.is_some_and(|side| side.finish == Finish::Gutter)
        };
        let mut alone = of.stops.iter().filter(|stop| stop.box_gutters).peekable();
        let lines_first = alone.peek().is_some();
        if lines_first {
            let is_alone = alone.any(|stop| stop.is_on(self.day));
            if kind == WorkKind::FlashingOff && is_alone {
                // The parapet is bare before the gutter is lined up it.
                return self.works_of(kind, roof).into_iter().any(on_parapet);
            }
            if on_gutter || is_alone {
                // Before the roof behind it only what comes off for the gutter is done beside it.
                return is_alone && (on_gutter || is_before_the_deck(kind));
            }
        }
        let at = |work: &Work| match work.place {
            Place::Edge(_, side) => of.layout.shape.sides.get(side).map(|side| vec![side.from, side.to]),
            Place::Hole(_, hole) => of.layout.shape.holes.get(hole).map(|hole| hole.ring.clone()),
            _ => None,
        };
        let done_before = |work: &Work| lines_first && kind == WorkKind::FlashingOff && on_parapet(work);
        let works = self.works_of(kind, roof);
        let left: Vec<&Work> = works.iter().copied().filter(|work| !done_before(work)).collect();
        if left.is_empty() && !works.is_empty() {
            return false;
        }
        let places: Vec<Option<Vec<Point>>> = left.into_iter().map(at).collect();
        let is_today = |ring: &Vec<Point>| {
            let stretch = of.tape.stretch(ring);
            // The foot of a collar lies on all of the boards round its pipe.
            let is_last = || of.stops.iter().rfind(|stop| of.meets(stop, stretch)).is_some_and(|s| s.is_on(self.day));
            if kind == WorkKind::PipeCollar { is_last() } else { of.is_open(stretch, self.day) }
        };
        places.is_empty() || places.iter().any(|place| place.as_ref().is_none_or(is_today))
    }

    /// The works of a kind on a roof, by its name.
    fn works_of(&self, kind: WorkKind, roof: &str) -> Vec<&'a Work> {
        let of_it = |work: &&Work| work.kind == kind && work.place.name_of(self.worked.job) == Some(roof);
        self.worked.take_off.works.iter().filter(of_it).collect()
    }

    /// The boards and trims of an operation on the day, on roofs that are opened in parts: `boards 1, 2 and 5`, `D1, W1, L1 and L2`.
    pub(super) fn pieces(&self, operation: Operation) -> Option<String> {
        let of_roof = |of: &DividedRoof<'_>| {
            let marks = match operation {
                Operation::Deck => of.boards(self.day),
                Operation::Trims => {
                    let trims = of.trims(self.day, self.worked, FixedAs::Begun).into_iter().map(|(_, mark)| mark);
                    trims.chain(of.linings(self.day, FixedAs::Begun)).collect()
                }
                _ => Vec::new(),
            };
            let boards = if operation == Operation::Deck { "boards " } else { "" };
            let today = (!marks.is_empty()).then(|| format!("{boards}{}", wording::list(&marks)));
            let over = (operation == Operation::Insulate).then(|| of.over_deck(self.day)).flatten();
            let rest = of.rest(operation, self.day, self.worked).map(|rest| format!("the rest of {rest}"));
            let words: Vec<String> = [today, over, rest].into_iter().flatten().collect();
            (!words.is_empty()).then(|| self.named(of, &words.join("; ")))
        };
        let all: Vec<String> = self.divided.iter().filter_map(of_roof).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }

    /// With the roof's name, where there are several.
    fn named(&self, of: &DividedRoof<'_>, pieces: &str) -> String {
        let several = self.worked.job.roofs.len() > 1;
        if several { format!("{}: {pieces}", of.layout.shape.name) } else { pieces.to_owned() }
    }
}

/// The day that opens the first of some sides of a roof; none where no day stops at a line.
pub(super) fn day_of_sides(sides: &[usize], layout: &RoofLayout, worked: &WholeJob<'_>) -> Option<u32> {
    let stops: Vec<&Stop> = worked.programme.stops.iter().filter(|s| s.roof == layout.shape.name).collect();
    let divided = DividedRoof { layout, tape: StripTape::of(layout), stops };
    let at = sides.iter().filter_map(|side| layout.shape.sides.get(*side));
    let stretches: Vec<Stretch> = at.map(|side| divided.tape.stretch(&[side.from, side.to])).collect();
    let met = |stop: &&&Stop| stop.whole_roof || stretches.iter().any(|at| divided.meets(stop, *at));
    divided.stops.iter().find(met).map(|stop| stop.first_day)
}

impl DividedRoof<'_> {
    /// Whether a stretch is met by what a day opens.
    fn is_open(&self, stretch: Stretch, day: u32) -> bool {
        self.stops.iter().filter(|stop| stop.is_on(day)).any(|stop| self.meets(stop, stretch))
    }

    /// Whether a piece is fixed on a day: with the first part that it reaches into.
    fn is_fixed(&self, stretch: Stretch, day: u32) -> bool {
        self.stops.iter().find(|stop| self.meets(stop, stretch)).is_some_and(|stop| stop.is_on(day))
    }

    fn meets(&self, stop: &Stop, (from, to): Stretch) -> bool {
        stop.opens.iter().map(|(a, b)| (a.as_mm(), b.as_mm())).any(|(a, b)| match from == to {
            // What lies along a line belongs to the part above it, and along the last edge to that below.
            true => a <= from && (from < b || from == b && b == self.tape.whole()),
            false => from < b && a < to,
        })
    }

    fn boards(&self, day: u32) -> Vec<String> {
        let pieces = self.layout.deck.iter().flat_map(|deck| &deck.pieces);
        self.marks(pieces.map(|p| (&p.mark, &p.rings)), day)
    }

    /// `F1, F2 and T1; the rest of F3`: what is laid over the deck on the day, and what was sawn off at an earlier line.
    fn over_deck(&self, day: u32) -> Option<String> {
        let over = self.layout.over.as_ref()?;
        let insulation = over.insulation.pieces.iter().map(|p| (&p.mark, &p.rings));
        let boards = over.overlay.iter().flat_map(|deck| &deck.pieces).map(|p| (&p.mark, &p.rings));
        let lies = |rings: &[Vec<Point>]| rings.first().map(|ring| self.tape.stretch(ring));
        let today = insulation.chain(boards).filter_map(|(mark, rings)| Some((mark, lies(rings)?)));
        let today = today.filter(|(_, stretch)| self.is_open(*stretch, day));
        let (new, rest): (Vec<_>, Vec<_>) = today.partition(|(_, stretch)| self.is_fixed(*stretch, day));
        let names = |pieces: Vec<(&String, Stretch)>| {
            let marks: Vec<String> = pieces.into_iter().map(|(mark, _)| mark.clone()).collect();
            (!marks.is_empty()).then(|| wording::list(&marks))
        };
        let words = [names(new), names(rest).map(|rest| format!("the rest of {rest}"))];
        let words: Vec<String> = words.into_iter().flatten().collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    fn marks<'p>(&self, pieces: impl Iterator<Item = (&'p String, &'p Vec<Vec<Point>>)>, day: u32) -> Vec<String> {
        let today =
            pieces.filter(|(_, rings)| rings.first().is_some_and(|ring| self.is_fixed(self.tape.stretch(ring), day)));
        today.map(|(mark, _)| mark.clone()).collect()
    }

    /// What hung over the line of an earlier day and is fixed on: `R1 and R4`, `the battens (right, left)`.
    fn rest(&self, operation: Operation, day: u32, worked: &WholeJob<'_>) -> Option<String> {
        let before = || self.stops.iter().filter(|stop| stop.first_day < day);
        let along = |past: fn(&Stop) -> &Vec<usize>| -> Vec<&str> {
            // Their pieces have no marks: what hung over is told of the last line before.
            let sides = before().next_back().map(|stop| past(stop)).into_iter().flatten();
            let sides = sides.map(|side| &self.layout.shape.sides[*side]);
            let today = sides.filter(|side| self.is_open(self.tape.stretch(&[side.from, side.to]), day));
            today.map(|side| side.label.as_str()).collect()
        };
        let battens = || ("the battens", along(|stop| &stop.battens_past));
        let all: Vec<String> = match operation {
            Operation::Prepare if self.layout.over.is_none() => timbers_along([battens(), ("", Vec::new())]),
            Operation::Insulate => {
                let timber = ("the edge timber", along(|stop| &stop.timber_past));
                let on_timber = if self.layout.over.is_some() { battens() } else { ("", Vec::new()) };
                timbers_along([timber, on_timber])
            }
            Operation::Trims => {
                let hung =
                    |mark: &String| before().any(|s| s.trims_past.contains(mark) || s.parapets_past.contains(mark));
                let trims = self.trims(day, worked, FixedAs::Rest).into_iter().map(|(_, mark)| mark);
                trims.chain(self.linings(day, FixedAs::Rest)).filter(hung).collect()
            }
            _ => Vec::new(),
        };
        (!all.is_empty()).then(|| wording::list(&all))
    }

    fn is_fixed_as(&self, fixed: FixedAs, stretch: Stretch, day: u32) -> bool {
        match fixed {
            FixedAs::Begun => self.is_fixed(stretch, day),
            FixedAs::Rest => self.is_open(stretch, day) && !self.is_fixed(stretch, day),
        }
    }

    fn trims(&self, day: u32, worked: &WholeJob<'_>, fixed: FixedAs) -> Vec<(RunPlace, String)> {
        let shape = &self.layout.shape;
        let runs = worked.take_off.profiles.iter().flat_map(|plan| &plan.runs);
        let mut marks = Vec::new();
        for run in runs {
            let Some((from, to, _)) = place_of(shape, run.place) else { continue };
            let lies = |p: &TrimPiece| self.tape.stretch_along((from, to), run.leg + p.at, p.length);
            let today = run.pieces.iter().filter(|p| self.is_fixed_as(fixed, lies(p), day));
            marks.extend(today.map(|p| (run.place, p.mark.clone())));
        }
        marks
    }

    /// The boards of linings that go onto parapets on the day.
    fn linings(&self, day: u32, fixed: FixedAs) -> Vec<String> {
        let boards = self.layout.parapets.iter().flat_map(|lining| lining.boards.iter().map(move |b| (lining.side, b)));
        let today = boards
            .filter(|(side, board)| self.is_fixed_as(fixed, lining_lies(self.layout, &self.tape, *side, board), day));
        today.map(|(_, board)| board.mark.clone()).collect()
    }
}

fn is_before_the_deck(kind: WorkKind) -> bool {
    kind.operation() == Operation::Strip && kind != WorkKind::FlashingOff
}
