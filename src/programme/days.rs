//! Days on site: what is done on each, so that nothing stands open overnight.
//!
//! Given the operations and the strips of mat in laying order; gives days. A strip of roof that is opened in a day is
//! stripped, decked, trimmed and laminated on that day: the strips decide how much is opened, not the operations. The
//! topcoat waits for the cure, on the same day where it still fits, and comes on a second visit when it is cold.

use super::between::{Closing, CoatPart, Due, FinishPart};
use super::calendar;
use super::sections::{OpenSection, sections};
use super::spread::{Opened, Spread};
use super::stops::{OpenGroup, Stop, stops};
use super::timetable::{self, WaitedFor};
use super::{Day, Labour, Operation, SiteWarning};
use crate::model::job::By;
use crate::model::{Area, Job, Length, Rules};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::RoofLayout;
use crate::works::WorkKind;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cell::LazyCell;
use std::collections::BTreeSet;
use std::ops::Range;
use time::Date;

/// The days, where to stop on those that open some of a roof, and what the crew must know.
pub(super) struct Planned {
    pub days: Vec<Day>,
    pub stops: Vec<Stop>,
    /// What is coated on each day; nothing where all is coated together.
    pub coats: Vec<CoatPart>,
    /// What is fitted last before the last coat.
    pub finishes: Vec<FinishPart>,
    pub warnings: Vec<SiteWarning>,
    /// How many days more these are than with one coat when all is laid.
    pub more_for_coats: usize,
    /// For how many parts of operations a share of a day was worked out.
    pub worked_out: usize,
}

impl Planned {
    /// The days, but the last, that hold topcoat alone.
    pub(super) fn coat_days<'a>(&'a self, work: &'a [Labour]) -> impl Iterator<Item = u32> + 'a {
        let coats =
            |day: &&Day| !day.work.is_empty() && day.work.iter().all(|(i, _)| work[*i].operation == Operation::Topcoat);
        let before = self.days.len().saturating_sub(1);
        self.days[..before].iter().filter(coats).map(|day| day.number)
    }
}

/// What the days are planned from.
pub(super) struct Planning<'a> {
    pub job: &'a Job,
    pub take_off: &'a TakeOff,
    pub rules: &'a Rules,
    pub crew: u32,
    pub holidays: &'a [Date],
    pub work: &'a [Labour],
}

/// Plans the days: with one coat when all is laid, or, where that comes too late for what was laid first, with coats between. No day
/// ends at an opening, nor a week inside a roof, where that takes no day more.
pub(super) fn plan(planning: &Planning<'_>) -> Planned {
    let sections = sections(planning.take_off);
    let spread = Spread::of(&sections, planning.work, planning.take_off);
    let drafted = |coats_between: bool| {
        let days = |fair_stops: bool| planning.days(&spread, How { coats_between, fair_stops });
        let fair = days(true);
        // Where nothing is opened day by day there is no stop to choose, nor where no plan does with fewer days.
        if fair.groups.is_empty() || fair.site.days.len() <= planning.fewest_days(&fair.site) {
            return fair;
        }
        let full = days(false);
        if fair.site.days.len() <= full.site.days.len() { fair } else { full }
    };
    let together = drafted(false);
    let is_stale = |w: &SiteWarning| matches!(w, SiteWarning::StaleLaminate { .. });
    let fewest = together.site.days.len();
    let comes_late = !together.groups.is_empty() && together.later.iter().any(is_stale);
    let chosen = match comes_late {
        true => drafted(true),
        false => together,
    };
    let more_for_coats = chosen.site.days.len().saturating_sub(fewest);
    Planned { more_for_coats, worked_out: spread.worked_out(), ..planning.planned(chosen, &sections) }
}

/// How days are planned.
#[derive(Clone, Copy)]
struct How {
    /// Strips are coated on days that open others.
    coats_between: bool,
    /// A day stops short of where stopping is bad, if it can.
    fair_stops: bool,
}

/// Days planned one way.
struct DraftedDays<'a> {
    how: How,
    site: SiteDays<'a>,
    closing: Closing<'a>,
    groups: Vec<OpenGroup>,
    /// What the crew must know of the roofs that are opened, and of what comes later.
    opening: Vec<SiteWarning>,
    later: Vec<SiteWarning>,
}

impl Planning<'_> {
    fn days<'a>(&'a self, spread: &'a Spread<'a>, how: How) -> DraftedDays<'a> {
        let Planning { rules, work, .. } = *self;
        let mut site = SiteDays::new(self);
        let mut closing = Closing::new(spread);
        let (mut opening, mut later) = (Vec::new(), Vec::new());
        let mut spent = Spent::new(work);
        let groups = self.close_each_day((&mut site, spread), &mut closing, &mut spent, how, &mut opening);
        for (i, w) in work.iter().enumerate().filter(|(_, w)| is_on_old(w)) {
            site.fill(i, w.hours);
        }
        let mut coats = Vec::new();
        for (i, w) in work.iter().enumerate().filter(|(_, w)| w.operation == Operation::Topcoat) {
            let rest = w.hours - spent.on(i);
            match coats.is_empty() {
                true => topcoat(&mut site, rules, work, (i, rest), &mut closing, &mut later),
                false => on_topcoat(&mut site, work, (i, rest), &coats, w.is_on_topcoat()),
            }
            coats.push(Coat { index: i, hard: site.clock() + w.wait_after });
        }
        let last = work.iter().enumerate().filter(|(_, w)| w.operation > Operation::Topcoat);
        let last: Vec<(usize, Decimal)> = last.map(|(i, w)| (i, w.hours - spent.on(i))).collect();
        let mut site = site.finished(work, &last, &coats);
        site.fill_half_day(rules);
        later.extend(start_moved(&site));
        later.extend(stale_laminate(&site, rules, work, &closing));
        DraftedDays { how, site, closing, groups, opening, later }
    }

    /// How many days no plan does without: all of them filled.
    fn fewest_days(&self, site: &SiteDays<'_>) -> usize {
        // Hours are spent by the hundredth.
        let slack = Decimal::new(5, 2) * Decimal::from(self.work.len());
        let all: Decimal = self.work.iter().map(|w| w.hours).sum();
        ((all - slack) / site.capacity).ceil().to_usize().unwrap_or(0)
    }

    /// The days as they were chosen, with where to stop on each.
    fn planned(&self, draft: DraftedDays<'_>, sections: &[OpenSection]) -> Planned {
        let DraftedDays { how, site, closing, groups, opening: mut warnings, later } = draft;
        let stops = stops(&groups, sections, self.take_off, self.rules.wall_gap);
        warnings.extend(stops.iter().filter(|stop| stop.first_day < stop.day).map(stays_open));
        // Where a part lies open overnight, no line may say that nothing does.
        let closed = !stops.is_empty() && stops.iter().all(|stop| stop.first_day == stop.day);
        warnings.extend(closed.then_some(SiteWarning::OpenByStrips));
        warnings.extend(later);
        Planned {
            days: site.days,
            stops,
            coats: if how.coats_between { closing.coats(self.take_off) } else { Vec::new() },
            finishes: closing.finishes(self.take_off),
            warnings,
            more_for_coats: 0,
            worked_out: 0,
        }
    }
}

// ---- Filling days --------------------------------------------------------------------------------------------------

/// The days so far, and what is left of the last one.
#[derive(Clone)]
struct SiteDays<'a> {
    days: Vec<Day>,
    /// Days that pass besides the usual nights before each day and those before it.
    idle: Vec<i64>,
    crew: Decimal,
    setup: Decimal,
    capacity: Decimal,
    left: Decimal,
    visit: u32,
    /// Nothing hardens while the crew waits for it.
    cold: bool,
    /// When the first may be, and when nobody works.
    start: Option<Date>,
    holidays: &'a [Date],
}

impl<'a> SiteDays<'a> {
    fn new(planning: &'a Planning<'_>) -> SiteDays<'a> {
        let Planning { job, rules, holidays, .. } = *planning;
        let crew = Decimal::from(planning.crew.max(1));
        let cold = job.air().is_some_and(|air| air.low < rules.second_visit_below);
        let setup = rules.hours_setup * crew;
        // A day without a working hour would never end the job.
        let capacity = (rules.day_hours * crew - setup).max(Decimal::ONE);
        SiteDays {
            days: Vec::new(),
            idle: Vec::new(),
            crew,
            setup,
            capacity,
            left: Decimal::ZERO,
            visit: 1,
            cold,
            start: job.start,
            holidays,
        }
    }

    /// Begins a day, so many days after the next one.
    fn new_day(&mut self, idle: u32) {
        let number = self.days.len() as u32 + 1;
        let date = self.next_date(idle);
        self.days.push(Day { number, date, visit: self.visit, setup: self.setup, ..Day::default() });
        self.idle.push(self.idle.last().unwrap_or(&0) + i64::from(idle));
        self.left = self.capacity;
    }

    /// The date of the next day, so many days later than it could be.
    fn next_date(&self, idle: u32) -> Option<Date> {
        let from = match self.days.last() {
            Some(day) => day.date?.saturating_add(time::Duration::days(i64::from(idle) + 1)),
            None => self.start?.saturating_add(time::Duration::days(i64::from(idle))),
        };
        Some(calendar::on_or_after(from, self.holidays))
    }

    /// Whether nobody works on the day after the last, where the job has a start.
    fn is_before_a_gap(&self) -> bool {
        let today = self.days.last().and_then(|day| day.date);
        today.zip(self.next_date(0)).is_some_and(|(today, next)| (next - today).whole_days() > 1)
    }

    /// Days by the calendar from the first to day `number`, weekends among them where the job has a start.
    fn by_calendar(&self, number: u32) -> i64 {
        let passed = || self.idle[..self.idle.len().min(number as usize)].last().copied().unwrap_or_default();
        let at = |number: u32| self.days.get(number as usize - 1).and_then(|day| day.date);
        match at(1).zip(at(number).or_else(|| self.next_date(0))) {
            Some((first, date)) => (date - first).whole_days(),
            None => i64::from(number) - 1 + passed(),
        }
    }

    /// Hours from a day to a later one, the next at the latest.
    fn hours_between(&self, from: u32, to: u32) -> Decimal {
        Decimal::from((self.by_calendar(to) - self.by_calendar(from)) * 24)
    }

    /// Spends hours on a piece of work, over as many days as it takes.
    fn fill(&mut self, index: usize, hours: Decimal) {
        let mut rest = hours;
        while rest > Decimal::ZERO {
            if self.left <= Decimal::ZERO {
                self.new_day(0);
            }
            let spent = rest.min(self.left);
            self.spend(index, spent);
            rest -= spent;
        }
    }

    /// Spends hours on a piece of work that is not left half done over night, where a day holds all of it.
    fn fill_whole(&mut self, index: usize, hours: Decimal) {
        if self.left < hours && hours <= self.capacity {
            self.new_day(0);
        }
        self.fill(index, hours);
    }

    /// Spends hours today, whatever is left of today. What takes none of it is not done on it.
    fn spend(&mut self, index: usize, hours: Decimal) {
        if hours.is_zero() {
            return;
        }
        let Some(day) = self.days.last_mut() else { return };
        match day.work.iter_mut().find(|(i, _)| *i == index) {
            Some((_, h)) => *h += hours,
            None => day.work.push((index, hours)),
        }
        self.left = (self.left - hours).max(Decimal::ZERO);
    }

    /// Hours by the clock from the start of the first day to the start of the day after the last.
    fn next_start(&self) -> Decimal {
        let idle = Decimal::from(self.idle.last().copied().unwrap_or_default());
        (Decimal::from(self.days.len()) + idle) * Decimal::from(24)
    }

    /// Hours by the clock from the start of the first day until now, set-up left out. There is a day.
    fn clock(&self) -> Decimal {
        self.next_start() - Decimal::from(24) + (self.capacity - self.left) / self.crew
    }

    /// Begins a day, as many after the last as bring it past an hour by the clock, at which something is hard or dry.
    fn next_day(&mut self, past: Decimal, waited_for: WaitedFor) {
        let wait = (past - self.next_start()).max(Decimal::ZERO);
        let idle = whole_days(wait);
        self.new_day(idle);
        // A night that passes anyway is no reason for days off between two dates.
        let is_why = idle > 0 || self.start.is_none();
        if let Some(day) = self.days.last_mut().filter(|_| is_why) {
            day.waited_for = Some(waited_for);
        }
    }

    /// Waits for what is hard at an hour by the clock: today where all of the work still fits, and it is not so cold that
    /// nothing hardens meanwhile, else until another day.
    fn wait(&mut self, hard: Decimal, hours: Decimal, waited_for: WaitedFor) {
        let standing = (hard - self.clock()).max(Decimal::ZERO) * self.crew;
        if self.cold || standing + hours > self.left {
            return self.next_day(hard, waited_for);
        }
        if let Some(day) = self.days.last_mut() {
            day.standing += standing;
        }
        self.left -= standing;
    }

    /// A second visit is paid as half a day at least. What follows on the next working day is no other visit.
    fn fill_half_day(&mut self, rules: &Rules) {
        let mut pairs = self.days.iter().zip(self.days.iter().skip(1));
        if !pairs.any(|(before, day)| day.visit == 2 && timetable::comes_back(before, day)) {
            return;
        }
        let half = rules.day_hours * self.crew / Decimal::TWO;
        let paid: Decimal = self.days.iter().filter(|d| d.visit == 2).map(Day::paid_hours).sum();
        if let Some(day) = self.days.last_mut().filter(|d| d.visit == 2) {
            day.standing += (half - paid).max(Decimal::ZERO);
        }
    }
}

impl<'a> SiteDays<'a> {
    /// With what is fitted last. A gutter goes up under a hard topcoat where the crew is there after it anyway; where that would take
    /// another day, or be waited for, on the day of the coat.
    fn finished(self, work: &[Labour], last: &[(usize, Decimal)], coats: &[Coat]) -> SiteDays<'a> {
        let planned = |gutter_waits: bool| {
            let mut site = self.clone();
            for &(i, hours) in last {
                let waits = work[i].is_on_topcoat() || gutter_waits && work[i].refits_gutter();
                on_topcoat(&mut site, work, (i, hours), coats, waits);
            }
            site
        };
        let (beside, after) = (planned(false), planned(true));
        let costs = |site: &SiteDays<'_>| (site.days.len(), site.days.iter().map(Day::paid_hours).sum::<Decimal>());
        let (few, many) = (costs(&beside), costs(&after));
        if many.0 > few.0 || many.1 > few.1 { beside } else { after }
    }
}

// ---- Opening and closing -------------------------------------------------------------------------------------------

fn is_covering(w: &Labour) -> bool {
    w.operation <= Operation::Laminate && !must_dry(w)
}

/// Mortar that must dry before anything is laid over it.
fn must_dry(w: &Labour) -> bool {
    w.levels_tops() && w.wait_after > Decimal::ZERO
}

/// Work on old laminates: nothing is open over night but a patch, and no patch is.
fn is_on_old(w: &Labour) -> bool {
    matches!(w.operation, Operation::Wash | Operation::Repair | Operation::Renew)
}

/// How long what was laid last must still cure when the topcoat could begin, and what that is: an old laminate is cleaned meanwhile.
fn still_to_cure(work: &[Labour], crew: Decimal) -> (Decimal, WaitedFor) {
    let before: Vec<&Labour> = work.iter().filter(|w| w.operation < Operation::Topcoat && !must_dry(w)).collect();
    let Some(at) = before.iter().rposition(|w| w.wait_after > Decimal::ZERO) else {
        return (Decimal::ZERO, WaitedFor::Laminate);
    };
    let meanwhile: Decimal = before[at + 1..].iter().map(|w| w.hours / crew).sum();
    let laid = if before[at].operation == Operation::Renew { WaitedFor::Trial } else { WaitedFor::Laminate };
    ((before[at].wait_after - meanwhile).max(Decimal::ZERO), laid)
}

impl Planning<'_> {
    /// Opens and closes section after section; as many a day as can be closed on it, besides what must not wait.
    fn close_each_day(
        &self,
        (site, spread): (&mut SiteDays<'_>, &Spread<'_>),
        closing: &mut Closing<'_>,
        spent: &mut Spent,
        how: How,
        warnings: &mut Vec<SiteWarning>,
    ) -> Vec<OpenGroup> {
        let (work, sections) = (self.work, closing.sections);
        let covering = || work.iter().enumerate().filter(|(_, w)| is_covering(w));
        let all: Decimal = covering().map(|(_, w)| w.hours).sum();
        let mut dry = self.level_tops(site);
        let opens = work.iter().any(|w| matches!(w.operation, Operation::Strip | Operation::Deck));
        let area: Area = sections.iter().map(|s| s.area).sum();
        if !opens || area == Area::ZERO || all <= site.capacity {
            if let Some(hour) = dry {
                site.next_day(hour, WaitedFor::Mortar);
            }
            let first = site.days.len().max(1);
            for (i, w) in covering() {
                site.fill(i, w.hours);
            }
            warnings.extend((opens && site.days.len() > first).then_some(SiteWarning::OpenOvernight));
            return Vec::new();
        }
        let shares = Shares { spread, job: self.job, laid: &self.take_off.roofs };
        let hours_of = |range: &Range<usize>| covering().map(|each| shares.hours(each, range)).sum::<Decimal>();
        let wait = |op| work.iter().filter(|w| w.operation == op).map(|w| w.wait_after).max().unwrap_or_default();
        let (mut groups, mut at): (Vec<OpenGroup>, usize) = (Vec::new(), 0);
        // What lies beside no mortar is opened on the day of the mortar, where there is time.
        let mut beside = dry.map_or(0, |_| self.before_mortar(sections));
        while at < sections.len() {
            let most = match (std::mem::take(&mut beside), dry) {
                (0, Some(hour)) => {
                    site.next_day(hour, WaitedFor::Mortar);
                    dry = None;
                    sections.len()
                }
                (0, None) => {
                    site.new_day(0);
                    sections.len()
                }
                (first, _) => first,
            };
            let rest = || hours_of(&(at..sections.len()));
            let mut due = match how.coats_between && !self.coats_the_rest_today(site, spread, spent, rest) {
                true => self.due(site, closing),
                false => Due::default(),
            };
            let besides_of = |due: &Due| -> Vec<(usize, Decimal)> {
                let each = work.iter().enumerate().map(|(i, w)| (i, closing.hours((i, w), due)));
                each.filter(|(_, h)| !h.is_zero()).collect()
            };
            let fit_beside = |due: &Due| -> Vec<usize> {
                let room = site.left - besides_of(due).iter().map(|(_, hours)| *hours).sum::<Decimal>();
                (at + 1..=most).take_while(|end| hours_of(&(at..*end)) <= room).collect()
            };
            let over_weekend = site.is_before_a_gap();
            let is_fair = |end: &&usize| {
                let last = &sections[**end - 1];
                !last.stops_at_opening && (last.last || !over_weekend)
            };
            let mut fit = fit_beside(&due);
            // What is fitted last can wait for a day with room beside it: none is spent on it alone that could open a roof well.
            if fit.is_empty() {
                let later = due.without_finish();
                let fit_later = fit_beside(&later);
                if fit_later.iter().any(|end| is_fair(&end)) {
                    (due, fit) = (later, fit_later);
                }
            }
            let mut besides = besides_of(&due);
            let fair = fit.iter().rfind(is_fair).filter(|_| how.fair_stops);
            let fitting = fair.or(fit.last()).copied();
            if fitting.is_none() && dry.is_some() {
                continue;
            }
            let (first_day, mut opened) = (site.days.len() as u32, &sections[at..at]);
            // What is too long for a day is begun on one that takes on nothing else.
            if let Some(end) = fitting.or_else(|| besides.is_empty().then_some(at + 1)) {
                let (last, too_long) = (end == sections.len(), fitting.is_none());
                opened = &sections[at..end];
                let coated_last = closing.last(&due, opened);
                for (i, w) in covering() {
                    // What is done by the end of the day less what was done before: no hundredth is left for a day that has none of it.
                    let done = if last { w.hours } else { shares.hours((i, w), &(0..end)) };
                    let hours = spent.until(i, done);
                    if w.operation == Operation::Laminate {
                        // Nobody reaches what lies below strips that are wet, nor stands on what is coated to lay others.
                        self.coat(site, spent, &mut besides, |each| closing.hours(each, &coated_last));
                    }
                    match too_long {
                        true if w.operation == Operation::Laminate => site.fill_whole(i, hours),
                        true => site.fill(i, hours),
                        false => site.spend(i, hours),
                    }
                }
                if let Some(day) = site.days.last_mut() {
                    day.strips = sections[at..end].iter().flat_map(OpenSection::day_strips).collect();
                }
                let group = OpenGroup { first_day, day: site.days.len() as u32, sections: at..end };
                closing.close(&group, site.clock() + wait(Operation::Laminate));
                groups.push(group);
                at = end;
            }
            for (i, hours) in besides {
                let hours = spent.more(i, hours);
                // What was counted on for today stays today's, whatever hundredths the strips took.
                if opened.is_empty() { site.fill(i, hours) } else { site.spend(i, hours) }
            }
            closing.did(&due, opened, (site.days.len() as u32, site.clock() + wait(Operation::Topcoat)));
        }
        groups
    }

    /// Levels the tops of parapets on the first day; gives the hour by the clock at which their mortar is dry.
    fn level_tops(&self, site: &mut SiteDays<'_>) -> Option<Decimal> {
        let (index, labour) = self.work.iter().enumerate().find(|(_, w)| must_dry(w))?;
        site.fill(index, labour.hours);
        Some(site.clock() + labour.wait_after)
    }

    /// How many of the first sections are laid over no mortar: box gutters, and roofs beside whose parapets none is spread.
    fn before_mortar(&self, sections: &[OpenSection]) -> usize {
        let levelled = |s: &OpenSection| self.take_off.works.has_on(WorkKind::LevelTops, s.roof);
        sections.iter().take_while(|s| s.box_gutters || !levelled(s)).count()
    }

    /// Coats what is due today, of what a day takes on besides opening, but for what is coated later in it.
    fn coat(
        &self,
        site: &mut SiteDays<'_>,
        spent: &mut Spent,
        besides: &mut [(usize, Decimal)],
        later: impl Fn((usize, &Labour)) -> Decimal,
    ) {
        for (i, hours) in besides.iter_mut().filter(|(i, _)| self.work[*i].operation == Operation::Topcoat) {
            let later = later((*i, &self.work[*i]));
            site.fill(*i, spent.more(*i, *hours - later));
            *hours = later;
        }
    }

    /// Whether all that is left is closed today and coated after the wait: then nothing is coated before.
    fn coats_the_rest_today(
        &self,
        site: &SiteDays<'_>,
        spread: &Spread<'_>,
        spent: &Spent,
        rest: impl Fn() -> Decimal,
    ) -> bool {
        let is_coat = |i: usize, w: &Labour| w.operation == Operation::Topcoat && !spread.labour_of(i).on_topcoat;
        let coats = self.work.iter().enumerate().filter(|(i, w)| is_coat(*i, w));
        let coats: Decimal = coats.map(|(i, w)| w.hours - spent.on(i)).sum();
        let standing = still_to_cure(self.work, site.crew).0 * site.crew;
        // What is left to open is not added up as long as the coats alone take more than a day.
        !site.cold && standing + coats <= site.capacity && rest() + standing + coats <= site.capacity
    }

    /// What today takes on besides opening: coats that would come too late on the next day, and what follows on roofs that are coated.
    fn due(&self, site: &SiteDays<'_>, closing: &Closing<'_>) -> Due {
        let next = site.days.len() as u32 + 1;
        closing.due(site.clock(), |day| site.hours_between(day, next) > self.rules.recoat_hours)
    }
}

/// Hours that days hold of each operation.
struct Spent(Vec<(Decimal, Decimal)>);

impl Spent {
    fn new(work: &[Labour]) -> Spent {
        Spent(vec![(Decimal::ZERO, Decimal::ZERO); work.len()])
    }

    /// To a hundredth.
    fn on(&self, index: usize) -> Decimal {
        self.0[index].1
    }

    /// What must still be spent for so many hours in all: hundredths add up, whatever the days between.
    fn until(&mut self, index: usize, exact: Decimal) -> Decimal {
        let done = exact.round_dp(2);
        done - std::mem::replace(&mut self.0[index], (exact, done)).1
    }

    fn more(&mut self, index: usize, exact: Decimal) -> Decimal {
        self.until(index, self.0[index].0 + exact)
    }
}

/// How much of a roof's work falls to some of its sections: as much as of the boards that begin in them until it is decked, as much as
/// of its insulation that is laid in them, then as much as of the mat on it. A box gutter is built and lined, and what lets its water out, with the first section of its roof; what is
/// stripped over it, and the copings at its ends, come off with it. Work of no roof is spread over all; goods for the job are fitted
/// with the first of them.
struct Shares<'a> {
    spread: &'a Spread<'a>,
    job: &'a Job,
    laid: &'a [RoofLayout],
}

impl Shares<'_> {
    /// How much of what comes off a roof comes off over its box gutters, of one.
    fn off_box_gutters(&self, kind: WorkKind, roof: Option<usize>) -> Decimal {
        let of = roof.and_then(|roof| self.job.roofs.get(roof).zip(self.laid.get(roof)));
        let Some((roof, laid)) = of.filter(|(_, laid)| !laid.box_gutters.is_empty()) else { return Decimal::ZERO };
        let (over, all) = match kind {
            WorkKind::Strip | WorkKind::StripBoards => {
                let over: Area = laid.box_gutters.iter().map(|gutter| gutter.run * gutter.stripped(roof)).sum();
                (over.square_metres(), (over + laid.shape.area).square_metres())
            }
            WorkKind::CopingOff => {
                let walls = || laid.shape.sides.iter().filter_map(|side| side.coped).filter(|wall| wall.by == By::Us);
                let past: Length = walls().map(|wall| wall.past_gutters()).sum();
                (past.metres(), walls().map(|wall| wall.long).sum::<Length>().metres())
            }
            _ => return Decimal::ZERO,
        };
        if all > Decimal::ZERO { over / all } else { Decimal::ZERO }
    }

    /// Whether a work is done on a box gutter: an outlet is, on a roof that has one.
    fn is_of_box_gutter(&self, kind: WorkKind, roof: Option<usize>) -> bool {
        match kind {
            WorkKind::GutterBoards | WorkKind::GutterLining | WorkKind::Overflow => true,
            WorkKind::RoofOutlet => roof.is_some_and(|roof| !self.laid[roof].box_gutters.is_empty()),
            _ => false,
        }
    }

    /// The hours of an operation, given by its place, in some sections.
    fn hours(&self, (index, labour): (usize, &Labour), range: &Range<usize>) -> Decimal {
        let (spread, of) = (self.spread, self.spread.labour_of(index));
        let measure = |opened: Opened| opened.until(labour.operation);
        let part = |some: Opened, all: Opened| measure(some).square_metres() / measure(all).square_metres();
        let everywhere = LazyCell::new(|| part(spread.opened(range), spread.all()));
        let share = |roof: Option<(usize, &Range<usize>)>| match roof.map(|(roof, here)| (here, spread.all_of(roof))) {
            Some((here, all)) if measure(all) > Area::ZERO => part(spread.opened(here), all),
            _ => *everywhere,
        };
        let is_plain = |roof| measure(spread.all_of(roof)) > Area::ZERO && self.laid[roof].box_gutters.is_empty();
        let hours = |p: usize| {
            let (part, roof) = (&labour.parts[p], of.roofs[p]);
            let all = roof.map_or(0..0, |roof| spread.sections_of(roof));
            let from = range.start.max(all.start);
            let here = from..range.end.min(all.end).max(from);
            // Nearly all that is done by the end of a day is of roofs that are closed.
            if here == all && roof.is_some_and(is_plain) {
                return part.hours;
            }
            spread.work_out();
            match part.work {
                kind if kind == WorkKind::OwnGoods || self.is_of_box_gutter(kind, roof) => {
                    part.hours * Decimal::from(u8::from(range.contains(&all.start)))
                }
                kind => {
                    let over = self.off_box_gutters(kind, roof);
                    let gutter = spread.sections[here.clone()].iter().any(|s| s.box_gutters);
                    let (over, rest) = (over * Decimal::from(u8::from(gutter)), Decimal::ONE - over);
                    part.hours * (over + rest * share(roof.map(|roof| (roof, &here))))
                }
            }
        };
        spread.parts(index, spread.roofs_in(range)).into_iter().map(hours).sum()
    }
}

fn stays_open(stop: &Stop) -> SiteWarning {
    let Stop { first_day, day, .. } = *stop;
    SiteWarning::StaysOpen { first_day, day, roof: stop.roof.clone(), strips: stop.strips.clone() }
}

// ---- Topcoat -------------------------------------------------------------------------------------------------------

/// A coat of topcoat, and the hour by the clock from which somebody may work on it.
struct Coat {
    index: usize,
    hard: Decimal,
}

/// The topcoat, or what is left of it, after the wait for the laminate; on a second visit when cold.
fn topcoat(
    site: &mut SiteDays<'_>,
    rules: &Rules,
    work: &[Labour],
    (index, hours): (usize, Decimal),
    closing: &mut Closing<'_>,
    warnings: &mut Vec<SiteWarning>,
) {
    if site.days.is_empty() {
        site.new_day(0);
    } else {
        if site.cold {
            site.visit = 2;
        }
        let (hours_left, waited_for) = still_to_cure(work, site.crew);
        site.wait(site.clock() + hours_left, hours, waited_for);
        if site.cold {
            let (day, last) = (site.days.len() as u32, hours < work[index].hours);
            warnings.push(SiteWarning::SecondVisit { day, below: rules.second_visit_below, last });
        }
    }
    closing.coat_rest(site.days.len() as u32);
    site.fill(index, hours);
}

/// What comes after a coat of topcoat. What is done on one waits until the last on any of its roofs is hard.
fn on_topcoat(site: &mut SiteDays<'_>, work: &[Labour], (index, hours): (usize, Decimal), coats: &[Coat], waits: bool) {
    if hours.is_zero() {
        return;
    }
    let labour = &work[index];
    let under = coats.iter().filter(|coat| waits && labour.shares_roof(&work[coat.index]));
    if let Some(hard) = under.map(|coat| coat.hard).max().filter(|hard| *hard > site.clock()) {
        site.wait(hard, hours, WaitedFor::Topcoat);
    }
    site.fill(index, hours);
}

/// Whole days that so many hours take.
fn whole_days(hours: Decimal) -> u32 {
    u32::try_from((hours / Decimal::from(24)).ceil()).unwrap_or(u32::MAX)
}

// ---- Dates ---------------------------------------------------------------------------------------------------------

/// Says so where the start had to move.
fn start_moved(site: &SiteDays<'_>) -> Option<SiteWarning> {
    let (from, to) = (site.start?, site.days.first()?.date?);
    (from != to).then_some(SiteWarning::StartMoved { from, to })
}

/// Warns where a laminate is too old when its topcoat comes.
fn stale_laminate(site: &SiteDays<'_>, rules: &Rules, work: &[Labour], closing: &Closing<'_>) -> Option<SiteWarning> {
    let on = |op| site.days.iter().find(|d| d.work.iter().any(|(i, _)| work[*i].operation == op)).map(|d| d.number);
    let together = || Some((on(Operation::Laminate)?, on(Operation::Topcoat)?));
    let by_section: Vec<(u32, u32)> = closing.days().collect();
    let coats = if by_section.is_empty() { together().into_iter().collect() } else { by_section };
    let aged: Vec<(Decimal, u32)> = coats.into_iter().map(|(laid, on)| (site.hours_between(laid, on), on)).collect();
    let (hours, most) = (aged.iter().map(|(age, _)| *age).max()?, rules.recoat_hours);
    let days: BTreeSet<u32> = aged.iter().filter(|(age, _)| *age > most).map(|(_, on)| *on).collect();
    (hours > most).then(|| SiteWarning::StaleLaminate { hours, most, days: days.into_iter().collect() })
}
