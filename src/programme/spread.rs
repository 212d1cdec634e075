//! Where the hours of each operation fall, so that a day looks only at the roofs that it opens, coats or finishes.
//!
//! Given the operations and the sections in laying order; gives the parts of each operation by their roofs, the sections of each roof,
//! and what any run of sections opens. All of it is made once for a job. Hours are always added in the order of the parts, so that a
//! sum of decimals is the same however few of them are looked at.

use super::sections::OpenSection;
use super::{Labour, Operation};
use crate::model::Area;
use crate::takeoff::TakeOff;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::Range;

/// Where the hours of a job's operations fall.
pub(super) struct Spread<'a> {
    pub(super) sections: &'a [OpenSection],
    /// The sections of each roof, which lie one behind the other.
    of_roof: Vec<Range<usize>>,
    /// What the first sections open, by their number.
    until: Vec<Opened>,
    labours: Vec<LabourSpread>,
    /// Parts whose share of a day was worked out so far.
    worked_out: Cell<usize>,
}

/// Where the hours of an operation fall.
pub(super) struct LabourSpread {
    /// The roof of each part, by its place among those laid out; none for what is done on none of them.
    pub(super) roofs: Vec<Option<usize>>,
    /// It is done on the topcoat.
    pub(super) on_topcoat: bool,
    /// The parts of each roof.
    of_roof: Vec<Vec<usize>>,
    /// The parts that are done on no roof, or that are shared out as if they were.
    anywhere: Vec<usize>,
}

impl<'a> Spread<'a> {
    pub(super) fn of(sections: &'a [OpenSection], work: &[Labour], take_off: &TakeOff) -> Spread<'a> {
        let mut of_roof = vec![0..0; take_off.roofs.len()];
        let mut until = vec![Opened::default()];
        let mut so_far = Opened::default();
        for (s, section) in sections.iter().enumerate() {
            so_far.add(section);
            until.push(so_far);
            let span: &mut Range<usize> = &mut of_roof[section.roof];
            *span = if span.start == span.end { s..s + 1 } else { span.start..s + 1 };
        }
        let by_name: BTreeMap<&str, usize> =
            take_off.roofs.iter().enumerate().map(|(r, roof)| (roof.shape.name.as_str(), r)).collect();
        let mut spread = Spread { sections, of_roof, until, labours: Vec::new(), worked_out: Cell::new(0) };
        spread.labours = work.iter().map(|labour| spread.labour(labour, &by_name)).collect();
        spread
    }

    fn labour(&self, labour: &Labour, by_name: &BTreeMap<&str, usize>) -> LabourSpread {
        let roofs: Vec<Option<usize>> = labour.parts.iter().map(|p| by_name.get(p.roof.as_deref()?).copied()).collect();
        let (mut of_roof, mut anywhere) = (vec![Vec::new(); self.of_roof.len()], Vec::new());
        for (part, roof) in roofs.iter().enumerate() {
            match roof.filter(|roof| self.all_of(*roof).until(labour.operation) > Area::ZERO) {
                Some(roof) => of_roof[roof].push(part),
                None => anywhere.push(part),
            }
        }
        LabourSpread { roofs, on_topcoat: labour.is_on_topcoat(), of_roof, anywhere }
    }

    pub(super) fn labour_of(&self, index: usize) -> &LabourSpread {
        &self.labours[index]
    }

    /// The sections of a roof.
    pub(super) fn sections_of(&self, roof: usize) -> Range<usize> {
        self.of_roof[roof].clone()
    }

    /// How many sections each roof has.
    pub(super) fn lengths(&self) -> Vec<usize> {
        self.of_roof.iter().map(Range::len).collect()
    }

    /// What some sections open.
    pub(super) fn opened(&self, range: &Range<usize>) -> Opened {
        self.until[range.end].less(self.until[range.start])
    }

    /// What all sections of a roof open.
    pub(super) fn all_of(&self, roof: usize) -> Opened {
        self.opened(&self.of_roof[roof])
    }

    /// What all sections open.
    pub(super) fn all(&self) -> Opened {
        self.opened(&(0..self.sections.len()))
    }

    /// The parts of an operation on some roofs, and those that are done on none, in their order.
    pub(super) fn parts(&self, index: usize, roofs: impl Iterator<Item = usize>) -> Vec<usize> {
        let labour = &self.labours[index];
        let mut parts: Vec<usize> =
            roofs.flat_map(|roof| &labour.of_roof[roof]).chain(&labour.anywhere).copied().collect();
        parts.sort_unstable();
        parts
    }

    /// The roofs of which some sections are.
    pub(super) fn roofs_in(&self, range: &Range<usize>) -> Range<usize> {
        match self.sections[range.clone()] {
            [] => 0..0,
            [ref one] => one.roof..one.roof + 1,
            [ref first, .., ref last] => first.roof..last.roof + 1,
        }
    }

    /// Counts a part whose share is worked out.
    pub(super) fn work_out(&self) {
        self.worked_out.set(self.worked_out.get() + 1);
    }

    /// For how many parts that was done so far.
    pub(super) fn worked_out(&self) -> usize {
        self.worked_out.get()
    }
}

/// What some sections open, by its boards, by its insulation and by its mat.
#[derive(Clone, Copy, Default)]
pub(super) struct Opened {
    boards: Area,
    insulated: Area,
    mat: Area,
}

impl Opened {
    fn add(&mut self, section: &OpenSection) {
        self.boards += section.opened;
        self.insulated += section.insulated;
        self.mat += section.area;
    }

    fn less(self, other: Opened) -> Opened {
        Opened {
            boards: self.boards - other.boards,
            insulated: self.insulated - other.insulated,
            mat: self.mat - other.mat,
        }
    }

    pub(super) fn mat(self) -> Area {
        self.mat
    }

    /// By what an operation is shared out.
    pub(super) fn until(self, operation: Operation) -> Area {
        match operation {
            Operation::Insulate => self.insulated,
            early if early < Operation::Insulate => self.boards,
            _ => self.mat,
        }
    }
}
