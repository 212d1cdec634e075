//! What is done between the days that open a roof: strips are coated before their laminate is too old for its topcoat, and what is
//! fitted last follows on roofs that are coated.
//!
//! Given the sections in laying order, and day by day what was closed; gives what a further day takes on besides opening. So it is
//! planned only where one coat at the end would come too late.

use super::sections::OpenSection;
use super::stops::{LayerStrips, OpenGroup, strips};
use super::{Labour, LabourPart, Operation};
use crate::model::Area;
use crate::takeoff::TakeOff;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// What is coated of a roof on a day, where not all roofs are coated together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoatPart {
    /// The day.
    pub day: u32,
    /// The roof.
    pub roof: String,
    /// The strips, every layer of them; none where no mat was laid out.
    pub strips: Vec<LayerStrips>,
    /// The roof's box gutters are coated with them.
    pub box_gutters: bool,
    /// How much of the roof's mat is in them, of one.
    pub share: Decimal,
    /// How they stand to strips of the same roof that are laid on the day.
    pub beside: CoatBeside,
}

/// In which order a roof is coated and laid on a day that does both, so that nobody stands on what is wet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoatBeside {
    /// None of the roof is laid on the day, or all of it is coated after the wait.
    Nothing,
    /// Coated before: the way off lies past the day's strips, which are laid from bare deck or from outside the edge.
    BeforeStrips,
    /// Coated after: the day's strips are laid from the hard laminate, by which the crew leaves as it coats.
    AfterStrips,
}

/// What is fitted last on a roof on a day on which others are still opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishPart {
    /// The day.
    pub day: u32,
    /// The roof.
    pub roof: String,
}

/// A section that is closed.
struct Closed {
    /// Its day, counting from 1.
    day: u32,
    /// The hour by the clock from which it may be coated.
    hard: Decimal,
    /// The day on which it is coated, and the hour from which somebody may work on it.
    coated: Option<(u32, Decimal)>,
    beside: CoatBeside,
}

/// The sections that are closed so far, in their order, and what was done on them since.
pub(super) struct Closing<'a> {
    pub(super) sections: &'a [OpenSection],
    closed: Vec<Closed>,
    /// The day on which a roof is finished, by its place among those laid out.
    finished: BTreeMap<usize, u32>,
}

/// What a day takes on besides opening.
#[derive(Default)]
pub(super) struct Due {
    /// Sections that are coated.
    coats: BTreeSet<usize>,
    /// Roofs that are finished, by their place among those laid out.
    finish: BTreeSet<usize>,
}

impl Due {
    /// The coats alone.
    pub(super) fn without_finish(&self) -> Due {
        Due { coats: self.coats.clone(), finish: BTreeSet::new() }
    }
}

impl<'a> Closing<'a> {
    pub(super) fn new(sections: &'a [OpenSection]) -> Closing<'a> {
        Closing { sections, closed: Vec::new(), finished: BTreeMap::new() }
    }

    /// Takes down sections that were closed, hard at an hour by the clock.
    pub(super) fn close(&mut self, group: &OpenGroup, hard: Decimal) {
        self.closed.extend(group.sections.clone().map(|_| Closed {
            day: group.day,
            hard,
            coated: None,
            beside: CoatBeside::Nothing,
        }));
    }

    /// What must not wait for another day, at an hour by the clock. `is_late` says of a day of closing whether its laminate is too
    /// old on the next one: where any is, all that is hard is coated.
    pub(super) fn due(&self, now: Decimal, is_late: impl Fn(u32) -> bool) -> Due {
        let bare = || self.closed.iter().enumerate().filter(|(_, c)| c.coated.is_none());
        let coats = match bare().any(|(_, c)| is_late(c.day)) {
            true => bare().filter(|(_, c)| c.hard <= now).map(|(s, _)| s).collect(),
            false => BTreeSet::new(),
        };
        let ready = |roof: &usize| !self.finished.contains_key(roof) && self.is_coated(*roof, now);
        let finish = self.sections.iter().map(|s| s.roof).filter(ready).collect();
        Due { coats, finish }
    }

    /// Whether a roof is coated all over, and hard.
    fn is_coated(&self, roof: usize, now: Decimal) -> bool {
        let hard = |s: usize| self.closed.get(s).and_then(|c| c.coated).is_some_and(|(_, hard)| hard <= now);
        self.sections.iter().enumerate().filter(|(_, s)| s.roof == roof).all(|(s, _)| hard(s))
    }

    /// The hours of an operation in what is due.
    pub(super) fn hours(&self, labour: &Labour, due: &Due) -> Decimal {
        let part = |part: &LabourPart| {
            let name = part.roof.as_deref()?;
            let roof = self.sections.iter().find(|s| s.name == name)?.roof;
            match labour.operation {
                Operation::Topcoat if !labour.is_on_topcoat() => Some(part.hours * self.share(roof, &due.coats)),
                Operation::Finish if due.finish.contains(&roof) => Some(part.hours),
                _ => None,
            }
        };
        labour.parts.iter().filter_map(part).sum()
    }

    /// How much of a roof's mat is in some sections, of one.
    fn share(&self, roof: usize, some: &BTreeSet<usize>) -> Decimal {
        let of_roof = || self.sections.iter().enumerate().filter(|(_, s)| s.roof == roof);
        let all: Area = of_roof().map(|(_, s)| s.area).sum();
        let part: Area = of_roof().filter(|(s, _)| some.contains(s)).map(|(_, s)| s.area).sum();
        if all > Area::ZERO { part.square_metres() / all.square_metres() } else { Decimal::ONE }
    }

    /// What of it is coated last on a day that opens some sections: all of it where any is coated after strips of its roof and none before.
    pub(super) fn last(&self, due: &Due, opened: &[OpenSection]) -> Due {
        let after = self.after_strips(due, opened);
        let is_opened = |s: &&usize| opened.iter().any(|section| section.roof == self.sections[**s].roof);
        let before = due.coats.iter().filter(is_opened).any(|s| !after.coats.contains(s));
        match after.coats.is_empty() || before {
            true => after,
            false => Due { coats: due.coats.clone(), finish: BTreeSet::new() },
        }
    }

    /// What of it is coated after strips that are opened on the day: where the way off lies along what is coated.
    fn after_strips(&self, due: &Due, opened: &[OpenSection]) -> Due {
        let is_opened = |roof: usize| opened.iter().any(|s| s.roof == roof);
        let leaves = |roof: usize| due.coats.iter().map(|s| &self.sections[*s]).any(|s| s.roof == roof && s.at_way_off);
        let after = |s: &&usize| is_opened(self.sections[**s].roof) && leaves(self.sections[**s].roof);
        Due { coats: due.coats.iter().filter(after).copied().collect(), finish: BTreeSet::new() }
    }

    /// Takes down what was due as done on a day that opens some sections, its coats to be worked on from an hour by the clock.
    pub(super) fn did(&mut self, due: &Due, opened: &[OpenSection], (day, hard): (u32, Decimal)) {
        let after = self.after_strips(due, opened);
        for &section in &due.coats {
            let roof = self.sections[section].roof;
            let closed = &mut self.closed[section];
            closed.coated = Some((day, hard));
            closed.beside = match opened.iter().any(|s| s.roof == roof) {
                _ if after.coats.contains(&section) => CoatBeside::AfterStrips,
                true => CoatBeside::BeforeStrips,
                false => CoatBeside::Nothing,
            };
        }
        self.finished.extend(due.finish.iter().map(|roof| (*roof, day)));
    }

    /// Takes down that all the rest is coated on a day.
    pub(super) fn coat_rest(&mut self, day: u32) {
        for closed in self.closed.iter_mut().filter(|c| c.coated.is_none()) {
            closed.coated = Some((day, Decimal::ZERO));
        }
    }

    /// The days on which sections were closed and coated.
    pub(super) fn days(&self) -> impl Iterator<Item = (u32, u32)> {
        self.closed.iter().filter_map(|c| Some((c.day, c.coated?.0)))
    }

    /// What is coated on each day, roof by roof.
    pub(super) fn coats(&self, take_off: &TakeOff) -> Vec<CoatPart> {
        let mut by_day: BTreeMap<(u32, usize), BTreeSet<usize>> = BTreeMap::new();
        for (s, closed) in self.closed.iter().enumerate() {
            let Some((day, _)) = closed.coated else { continue };
            by_day.entry((day, self.sections[s].roof)).or_default().insert(s);
        }
        let part = |(&(day, roof), some): (&(u32, usize), &BTreeSet<usize>)| {
            let of_day: Vec<&OpenSection> = some.iter().map(|s| &self.sections[*s]).collect();
            CoatPart {
                day,
                roof: of_day[0].name.clone(),
                strips: strips(&take_off.roofs[roof], of_day.iter().copied()),
                box_gutters: of_day.iter().any(|section| section.box_gutters),
                share: self.share(roof, some),
                beside: some.iter().next().map_or(CoatBeside::Nothing, |s| self.closed[*s].beside),
            }
        };
        by_day.iter().map(part).collect()
    }

    /// What is fitted last, day by day, before the last coat.
    pub(super) fn finishes(&self, take_off: &TakeOff) -> Vec<FinishPart> {
        let part =
            |(roof, day): (&usize, &u32)| FinishPart { day: *day, roof: take_off.roofs[*roof].shape.name.clone() };
        self.finished.iter().map(part).collect()
    }
}
