//! Lengths shared out: short pieces of a run are made longer at the cost of its long ones, with the lengths bought as
//! they are.
//!
//! Given a plan and, for each run, how long a piece should be; changes the plan where the lengths bought have room. A
//! short piece grows where it lies, moves to another length, or has room made for it: another piece moves away, or
//! another run is parted elsewhere. The longest offcut is spared where that makes no difference, and never put first.

use super::runs::{RunCut, RunPlan};
use crate::model::Length;
use std::collections::BTreeMap;

/// Makes short pieces of joined runs as long as wished (or as an even share of their run, where that is less), as far
/// as the lengths bought have room. No piece that gives becomes shorter than its run's `kept`.
pub fn share_out(plan: &mut RunPlan, wished: &[Length], kept: &[Length], kerf: Length) {
    let mut sharing = Sharing::new(plan, wished, kept, kerf);
    for run in 0..sharing.plan.runs.len() {
        let pieces = &sharing.plan.runs[run];
        let mut short: Vec<usize> = (0..pieces.len()).filter(|&p| pieces[p].length < sharing.least[run]).collect();
        short.sort_by_key(|&p| (pieces[p].length, p));
        for piece in short {
            sharing.lengthen(run, piece);
        }
    }
    sharing.finish();
}

/// A piece: its run and its number there.
type CutPiece = (usize, usize);

/// A run that is parted elsewhere: this piece gives what that one takes.
type Parting = (CutPiece, CutPiece);

/// A plan whose lengths are being shared out.
struct Sharing<'a> {
    plan: &'a mut RunPlan,
    /// What each piece of a run should have at least.
    least: Vec<Length>,
    /// What each piece of a run keeps that gives to another.
    kept: Vec<Length>,
    kerf: Length,
    /// What is in each length.
    held: Vec<Vec<CutPiece>>,
    /// What the pieces of each length could grow by.
    room: Vec<Length>,
}

impl<'a> Sharing<'a> {
    fn new(plan: &'a mut RunPlan, wished: &[Length], kept: &[Length], kerf: Length) -> Sharing<'a> {
        let even = |(pieces, &wish): (&Vec<RunCut>, &Length)| {
            let all: Length = pieces.iter().map(|p| p.length).sum();
            if pieces.len() < 2 { Length::ZERO } else { wish.min(Length::mm(all.as_mm() / pieces.len() as i64)) }
        };
        let least = plan.runs.iter().zip(wished).map(even).collect();
        let kept = plan.runs.iter().zip(kept).map(even).collect();
        let held: Vec<Vec<CutPiece>> = plan.bars.iter().map(|b| b.cuts.clone()).collect();
        let mut sharing = Sharing { plan, least, kept, kerf, held, room: Vec::new() };
        sharing.room = (0..sharing.held.len()).map(|bar| sharing.room_in(bar)).collect();
        sharing
    }

    fn room_in(&self, bar: usize) -> Length {
        let used: Length = self.held[bar].iter().map(|&p| self.length(p) + self.kerf).sum();
        self.plan.bars[bar].stock + self.kerf - used
    }

    fn length(&self, (run, piece): CutPiece) -> Length {
        self.plan.runs[run][piece].length
    }

    fn bar(&self, (run, piece): CutPiece) -> usize {
        self.plan.runs[run][piece].bar
    }

    fn grow(&mut self, piece: CutPiece, by: Length) {
        let bar = self.bar(piece);
        self.plan.runs[piece.0][piece.1].length += by;
        self.room[bar] -= by;
    }

    fn move_to(&mut self, piece: CutPiece, bar: usize) {
        let (from, size) = (self.bar(piece), self.length(piece) + self.kerf);
        self.held[from].retain(|&p| p != piece);
        self.held[bar].push(piece);
        self.plan.runs[piece.0][piece.1].bar = bar;
        self.room[from] += size;
        self.room[bar] -= size;
    }

    fn lengthen(&mut self, run: usize, piece: usize) {
        let short = (run, piece);
        let more = self.least[run] - self.length(short);
        if more <= Length::ZERO {
            return;
        }
        let givers = self.givers(short, more);
        if givers.iter().map(|g| g.1).sum::<Length>() < more {
            return;
        }
        let longest = (0..self.room.len()).max_by_key(|&b| (self.room[b], std::cmp::Reverse(b)));
        let spared = [longest, None];
        if spared.into_iter().any(|spared| self.make_room(short, more, &givers, spared)) {
            for (giver, by) in givers {
                self.grow((run, giver), -by);
            }
            self.grow(short, more);
        }
    }

    /// Which pieces of the run give how much: those of the same length first, whose room it then is, then the longest.
    fn givers(&self, short: CutPiece, mut more: Length) -> Vec<(usize, Length)> {
        let run = short.0;
        let mut others: Vec<usize> = (0..self.plan.runs[run].len()).filter(|&p| p != short.1).collect();
        let beside = |p: usize| self.bar((run, p)) == self.bar(short);
        others.sort_by_key(|&p| (!beside(p), -self.length((run, p)), p));
        let mut givers = Vec::new();
        for p in others {
            let by = more.min(self.length((run, p)) - self.kept[run]);
            if by > Length::ZERO {
                givers.push((p, by));
                more -= by;
            }
        }
        givers
    }

    /// Makes room for a short piece to grow, and takes nothing from the length that is spared; says whether it could.
    fn make_room(&mut self, short: CutPiece, more: Length, givers: &[(usize, Length)], spared: Option<usize>) -> bool {
        let bar = self.bar(short);
        let beside = givers.iter().filter(|g| self.bar((short.0, g.0)) == bar);
        let takes = more - beside.map(|g| g.1).sum::<Length>();
        let wanted = takes - self.room[bar];
        if wanted <= Length::ZERO && (takes <= Length::ZERO || spared != Some(bar)) {
            return true;
        }
        if self.held[bar].len() == 1 {
            return false;
        }
        if let Some(to) = self.tightest(self.length(short) + more + self.kerf, bar, spared) {
            self.move_to(short, to);
            return true;
        }
        if wanted <= Length::ZERO {
            return false;
        }
        let moves = |&&p: &&CutPiece| p.0 != short.0 && self.length(p) + self.kerf >= wanted;
        let others: Vec<CutPiece> = self.held[bar].iter().filter(moves).copied().collect();
        for other in others {
            if let Some(to) = self.tightest(self.length(other) + self.kerf, bar, spared) {
                self.move_to(other, to);
                return true;
            }
        }
        self.part_elsewhere(bar, wanted, short.0, spared)
    }

    /// The length with least room that takes so much.
    fn tightest(&self, size: Length, not: usize, spared: Option<usize>) -> Option<usize> {
        let takes = |&b: &usize| b != not && Some(b) != spared && self.room[b] >= size;
        (0..self.room.len()).filter(takes).min_by_key(|&b| (self.room[b], b))
    }

    /// Parts other runs elsewhere, one after another, until a length with room is reached.
    fn part_elsewhere(&mut self, bar: usize, wanted: Length, not: usize, spared: Option<usize>) -> bool {
        let mut came: BTreeMap<usize, Option<Parting>> = BTreeMap::from([(bar, None)]);
        let mut next = vec![bar];
        while let Some(from) = next.pop() {
            for parting in self.partings(from, wanted, not) {
                let to = self.bar(parting.1);
                if came.contains_key(&to) {
                    continue;
                }
                came.insert(to, Some(parting));
                if Some(to) != spared && self.room[to] >= wanted {
                    self.part_along(&came, to, wanted);
                    return true;
                }
                next.insert(0, to);
            }
        }
        false
    }

    /// Every way in which one piece of a length gives so much to another of its run.
    fn partings(&self, bar: usize, wanted: Length, not: usize) -> Vec<Parting> {
        let gives = |p: &&CutPiece| p.0 != not && self.length(**p) - wanted >= self.kept[p.0];
        let of = |&giver: &CutPiece| {
            let run = &self.plan.runs[giver.0];
            (0..run.len()).filter(move |&p| run[p].bar != bar).map(move |p| (giver, (giver.0, p)))
        };
        self.held[bar].iter().filter(gives).flat_map(of).collect()
    }

    fn part_along(&mut self, came: &BTreeMap<usize, Option<Parting>>, mut bar: usize, by: Length) {
        while let Some(&Some((giver, taker))) = came.get(&bar) {
            bar = self.bar(giver);
            self.grow(giver, -by);
            self.grow(taker, by);
        }
    }

    fn finish(self) {
        let (plan, kerf) = (self.plan, self.kerf);
        for (bar, (mut held, room)) in self.held.into_iter().zip(self.room).enumerate() {
            held.sort_by_key(|&(run, piece)| (run, -plan.runs[run][piece].length, piece));
            plan.bars[bar].cuts = held;
            plan.bars[bar].offcut = (room - kerf).max(Length::ZERO);
        }
    }
}
