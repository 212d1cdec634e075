//! What is done between the days that open a roof: strips are coated before their laminate is too old for its topcoat, and what is
//! fitted last follows on roofs that are coated.
//!
//! Given the sections in laying order, and day by day what was closed; gives what a further day takes on besides opening. So it is
//! planned only where one coat at the end would come too late.

use super::sections::OpenSection;
use super::spread::Spread;
use super::stops::{LayerStrips, OpenGroup, strips};
use super::{Labour, Operation};
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
    spread: &'a Spread<'a>,
    closed: Vec<Closed>,
    /// Those of them that are not coated.
    bare: BTreeSet<usize>,
    /// How many sections of each roof are not coated.
    left: Vec<usize>,
    /// The roofs that are coated all over and not finished, and the hour by the clock from which all of it is hard.
    coated: BTreeMap<usize, Decimal>,
    /// The day on which a roof is finished, by its place among those laid out.
    finished: BTreeMap<usize, u32>,
    /// The day on which all the rest is coated, old laminates among it.
    rest: Option<u32>,
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
    pub(super) fn new(spread: &'a Spread<'a>) -> Closing<'a> {
        Closing {
            sections: spread.sections,
            spread,
            closed: Vec::new(),
            bare: BTreeSet::new(),
            left: spread.lengths(),
            coated: BTreeMap::new(),
            finished: BTreeMap::new(),
            rest: None,
        }
    }

    /// Takes down sections that were closed, hard at an hour by the clock.
    pub(super) fn close(&mut self, group: &OpenGroup, hard: Decimal) {
        self.bare.extend(group.sections.clone());
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
        // They were closed in their order: the first that is bare is the oldest.
        let oldest = self.bare.first().map(|s| self.closed[*s].day);
        let coats = match oldest.is_some_and(is_late) {
            true => self.bare.iter().filter(|s| self.closed[**s].hard <= now).copied().collect(),
            false => BTreeSet::new(),
        };
        let finish = self.coated.iter().filter(|(_, hard)| **hard <= now).map(|(roof, _)| *roof).collect();
        Due { coats, finish }
    }

    /// The hours of an operation, given by its place, in what is due.
    pub(super) fn hours(&self, (index, labour): (usize, &Labour), due: &Due) -> Decimal {
        let spread = self.spread.labour_of(index);
        let roofs: BTreeSet<usize> = match labour.operation {
            Operation::Topcoat if !spread.on_topcoat => due.coats.iter().map(|s| self.sections[*s].roof).collect(),
            Operation::Finish => due.finish.clone(),
            _ => return Decimal::ZERO,
        };
        let part = |part: usize| {
            let (roof, hours) = (spread.roofs[part]?, labour.parts[part].hours);
            self.spread.work_out();
            match labour.operation {
                Operation::Topcoat => Some(hours * self.share(roof, &due.coats)),
                _ => due.finish.contains(&roof).then_some(hours),
            }
        };
        self.spread.parts(index, roofs.into_iter()).into_iter().filter_map(part).sum()
    }

    /// How much of a roof's mat is in some sections, of one.
    fn share(&self, roof: usize, some: &BTreeSet<usize>) -> Decimal {
        let all = self.spread.all_of(roof).mat();
        let part: Area = some.range(self.spread.sections_of(roof)).map(|s| self.sections[*s].area).sum();
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
        let at_way_off = due.coats.iter().map(|s| &self.sections[*s]).filter(|s| s.at_way_off);
        let left_by: BTreeSet<usize> = at_way_off.map(|s| s.roof).collect();
        let after = |s: &&usize| is_opened(self.sections[**s].roof) && left_by.contains(&self.sections[**s].roof);
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
            self.bare.remove(&section);
            self.left[roof] -= 1;
            if self.left[roof] == 0 {
                let of_roof = &self.closed[self.spread.sections_of(roof)];
                let last = of_roof.iter().filter_map(|c| c.coated).map(|(_, hard)| hard).max();
                self.coated.insert(roof, last.unwrap_or(hard));
            }
        }
        self.coated.retain(|roof, _| !due.finish.contains(roof));
        self.finished.extend(due.finish.iter().map(|roof| (*roof, day)));
    }

    /// Takes down that all the rest is coated on a day.
    pub(super) fn coat_rest(&mut self, day: u32) {
        self.rest = Some(day);
        for section in std::mem::take(&mut self.bare) {
            self.closed[section].coated = Some((day, Decimal::ZERO));
        }
    }

    /// The days on which sections were closed and coated.
    pub(super) fn days(&self) -> impl Iterator<Item = (u32, u32)> {
        self.closed.iter().filter_map(|c| Some((c.day, c.coated?.0)))
    }

    /// What is coated on each day, roof by roof: old laminates with the rest of all.
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
        let old = self.rest.into_iter().flat_map(|day| {
            take_off.old_roofs.iter().map(move |roof| CoatPart {
                day,
                roof: roof.name.clone(),
                strips: Vec::new(),
                box_gutters: false,
                share: Decimal::ONE,
                beside: CoatBeside::Nothing,
            })
        });
        by_day.iter().map(part).chain(old).collect()
    }

    /// What is fitted last, day by day, before the last coat.
    pub(super) fn finishes(&self, take_off: &TakeOff) -> Vec<FinishPart> {
        let part =
            |(roof, day): (&usize, &u32)| FinishPart { day: *day, roof: take_off.roofs[*roof].shape.name.clone() };
        self.finished.iter().map(part).collect()
    }
}
