//! Days on site: what is done on each, so that nothing stands open overnight.
//!
//! Given the operations and the strips of mat in laying order; gives days. A strip of roof that is opened in a day is
//! stripped, decked, trimmed and laminated on that day: the strips decide how much is opened, not the operations. The
//! topcoat waits for the cure, on the same day where it still fits, and comes on a second visit when it is cold.

use super::calendar;
use super::sections::{OpenSection, sections};
use super::stops::{OpenGroup, Stop, stops};
use super::{Day, Labour, LabourPart, Operation, SiteWarning};
use crate::model::{Area, Job, Rules};
use crate::takeoff::TakeOff;
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::ops::Range;
use time::Date;

/// The days, where to stop on those that open some of a roof, and what the crew must know.
pub(super) struct Planned {
    pub days: Vec<Day>,
    pub stops: Vec<Stop>,
    pub warnings: Vec<SiteWarning>,
}

/// Plans the days of `work`.
pub(super) fn plan(
    job: &Job,
    take_off: &TakeOff,
    rules: &Rules,
    crew: u32,
    holidays: &[Date],
    work: &[Labour],
) -> Planned {
    let cold = job.air().is_some_and(|air| air.low < rules.second_visit_below);
    let mut site = SiteDays::new(rules, crew, cold);
    let mut warnings = Vec::new();
    let sections = sections(take_off);
    let groups = close_each_day(&mut site, work, &sections, take_off, &mut warnings);
    let stops = stops(&groups, &sections, take_off);
    warnings.extend(stops.iter().filter(|stop| stop.first_day < stop.day).map(stays_open));
    warnings.extend(stops.first().map(|_| SiteWarning::OpenByStrips));
    for (i, w) in work.iter().enumerate().filter(|(_, w)| is_on_old(w)) {
        site.fill(i, w.hours);
    }
    let mut coats = Vec::new();
    for (i, w) in work.iter().enumerate().filter(|(_, w)| w.operation == Operation::Topcoat) {
        match coats.is_empty() {
            true => topcoat(&mut site, rules, work, i, &mut warnings),
            false => on_topcoat(&mut site, work, i, &coats),
        }
        coats.push(Coat { index: i, hard: site.clock() + w.wait_after });
    }
    for (i, _) in work.iter().enumerate().filter(|(_, w)| w.operation > Operation::Topcoat) {
        on_topcoat(&mut site, work, i, &coats);
    }
    site.fill_half_day(rules);
    warnings.extend(date(&mut site, job.start, holidays));
    warnings.extend(stale_laminate(&site, rules, work));
    Planned { days: site.days, stops, warnings }
}

// ---- Filling days --------------------------------------------------------------------------------------------------

/// The days so far, and what is left of the last one.
struct SiteDays {
    days: Vec<Day>,
    /// Days that pass before each day, besides the usual night.
    idle: Vec<u32>,
    crew: Decimal,
    setup: Decimal,
    capacity: Decimal,
    left: Decimal,
    visit: u32,
    /// Nothing hardens while the crew waits for it.
    cold: bool,
}

impl SiteDays {
    fn new(rules: &Rules, crew: u32, cold: bool) -> SiteDays {
        let crew = Decimal::from(crew.max(1));
        let setup = rules.hours_setup * crew;
        // A day without a working hour would never end the job.
        let capacity = (rules.day_hours * crew - setup).max(Decimal::ONE);
        SiteDays { days: Vec::new(), idle: Vec::new(), crew, setup, capacity, left: Decimal::ZERO, visit: 1, cold }
    }

    fn new_day(&mut self) {
        let number = self.days.len() as u32 + 1;
        let day = Day { number, visit: self.visit, setup: self.setup, ..Day::default() };
        self.days.push(day);
        self.idle.push(0);
        self.left = self.capacity;
    }

    /// Spends hours on a piece of work, over as many days as it takes.
    fn fill(&mut self, index: usize, hours: Decimal) {
        let mut rest = hours;
        while rest > Decimal::ZERO {
            if self.left <= Decimal::ZERO {
                self.new_day();
            }
            let spent = rest.min(self.left);
            self.spend(index, spent);
            rest -= spent;
        }
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
        let idle: Decimal = self.idle.iter().map(|days| Decimal::from(*days)).sum();
        (Decimal::from(self.days.len()) + idle) * Decimal::from(24)
    }

    /// Hours by the clock from the start of the first day until now, set-up left out. There is a day.
    fn clock(&self) -> Decimal {
        self.next_start() - Decimal::from(24) + (self.capacity - self.left) / self.crew
    }

    /// Begins a day, as many after the last as bring it past an hour by the clock.
    fn next_day(&mut self, past: Decimal) {
        let wait = (past - self.next_start()).max(Decimal::ZERO);
        self.new_day();
        if let Some(idle) = self.idle.last_mut() {
            *idle = whole_days(wait);
        }
    }

    /// Waits for what is hard at an hour by the clock: today where all of the work still fits, and it is not so cold that
    /// nothing hardens meanwhile, else until another day.
    fn wait(&mut self, hard: Decimal, hours: Decimal) {
        let standing = (hard - self.clock()).max(Decimal::ZERO) * self.crew;
        if self.cold || standing + hours > self.left {
            return self.next_day(hard);
        }
        if let Some(day) = self.days.last_mut() {
            day.standing += standing;
        }
        self.left -= standing;
    }

    /// A second visit is paid as half a day at least.
    fn fill_half_day(&mut self, rules: &Rules) {
        let half = rules.day_hours * self.crew / Decimal::TWO;
        let paid: Decimal = self.days.iter().filter(|d| d.visit == 2).map(Day::paid_hours).sum();
        if let Some(day) = self.days.last_mut().filter(|d| d.visit == 2) {
            day.standing += (half - paid).max(Decimal::ZERO);
        }
    }
}

// ---- Opening and closing -------------------------------------------------------------------------------------------

fn is_covering(w: &Labour) -> bool {
    w.operation <= Operation::Laminate
}

/// Work on old laminates: nothing is open over night but a patch, and no patch is.
fn is_on_old(w: &Labour) -> bool {
    matches!(w.operation, Operation::Repair | Operation::Renew)
}

/// How long what was laid last must still cure when the topcoat could begin: an old laminate is cleaned meanwhile.
fn still_to_cure(work: &[Labour], crew: Decimal) -> Decimal {
    let before: Vec<&Labour> = work.iter().filter(|w| w.operation < Operation::Topcoat).collect();
    let Some(at) = before.iter().rposition(|w| w.wait_after > Decimal::ZERO) else { return Decimal::ZERO };
    let meanwhile: Decimal = before[at + 1..].iter().map(|w| w.hours / crew).sum();
    (before[at].wait_after - meanwhile).max(Decimal::ZERO)
}

/// Opens and closes section after section; as many a day as can be closed on it.
fn close_each_day(
    site: &mut SiteDays,
    work: &[Labour],
    sections: &[OpenSection],
    take_off: &TakeOff,
    warnings: &mut Vec<SiteWarning>,
) -> Vec<OpenGroup> {
    let all: Decimal = work.iter().filter(|w| is_covering(w)).map(|w| w.hours).sum();
    let opens = work.iter().any(|w| matches!(w.operation, Operation::Strip | Operation::Deck));
    let area: Area = sections.iter().map(|s| s.area).sum();
    if !opens || area == Area::ZERO || all <= site.capacity {
        for (i, w) in work.iter().enumerate().filter(|(_, w)| is_covering(w)) {
            site.fill(i, w.hours);
        }
        warnings.extend((opens && site.days.len() > 1).then_some(SiteWarning::OpenOvernight));
        return Vec::new();
    }
    let shares = Shares::of(sections, take_off);
    let covering = || work.iter().filter(|w| is_covering(w));
    let hours_of = |range: &Range<usize>| covering().map(|w| shares.hours(w, range)).sum::<Decimal>();
    let fits = |range: &Range<usize>| hours_of(range) <= site.capacity;
    let ranges = group_in_order(sections.len(), fits);
    let mut spent = vec![Decimal::ZERO; work.len()];
    let mut groups = Vec::new();
    for range in ranges {
        let (last, too_long) = (range.end == sections.len(), hours_of(&range) > site.capacity);
        site.new_day();
        let first_day = site.days.len() as u32;
        for (i, w) in work.iter().enumerate().filter(|(_, w)| is_covering(w)) {
            // What is done by the end of the day less what was done before: no hundredth is left for a day that has none of it.
            let done = if last { w.hours } else { shares.hours(w, &(0..range.end)).round_dp(2) };
            let hours = done - spent[i];
            spent[i] += hours;
            if too_long { site.fill(i, hours) } else { site.spend(i, hours) }
        }
        if let Some(day) = site.days.last_mut() {
            day.strips = sections[range.clone()].iter().flat_map(OpenSection::day_strips).collect();
        }
        groups.push(OpenGroup { first_day, day: site.days.len() as u32, sections: range });
    }
    groups
}

/// How much of a roof's work falls to some of its sections: as much as of the mat on it. Work of no roof is spread over all; goods
/// for the job are fitted with the first of them.
struct Shares<'a> {
    sections: &'a [OpenSection],
    all: Area,
    by_roof: BTreeMap<&'a str, Area>,
}

impl<'a> Shares<'a> {
    fn of(sections: &'a [OpenSection], take_off: &'a TakeOff) -> Shares<'a> {
        let mut by_roof: BTreeMap<&str, Area> = BTreeMap::new();
        for section in sections {
            *by_roof.entry(&take_off.roofs[section.roof].shape.name).or_default() += section.area;
        }
        Shares { sections, all: sections.iter().map(|s| s.area).sum(), by_roof }
    }

    /// The hours of an operation in some sections.
    fn hours(&self, labour: &Labour, range: &Range<usize>) -> Decimal {
        let of = &self.sections[range.clone()];
        let part = |area: Area, all: Area| area.square_metres() / all.square_metres();
        let everywhere = part(of.iter().map(|s| s.area).sum(), self.all);
        let share = |roof: Option<&str>| match roof.and_then(|name| Some((name, *self.by_roof.get(name)?))) {
            Some((name, all)) if all > Area::ZERO => {
                part(of.iter().filter(|s| s.name == name).map(|s| s.area).sum(), all)
            }
            _ => everywhere,
        };
        let part = |p: &LabourPart| match p.work {
            WorkKind::OwnGoods => p.hours * if range.start == 0 { Decimal::ONE } else { Decimal::ZERO },
            _ => p.hours * share(p.roof.as_deref()),
        };
        labour.parts.iter().map(part).sum()
    }
}

/// Neighbours in groups, each as large as `fits` allows but never empty.
fn group_in_order(n: usize, fits: impl Fn(&Range<usize>) -> bool) -> Vec<Range<usize>> {
    let mut groups: Vec<Range<usize>> = Vec::new();
    for i in 0..n {
        match groups.last_mut() {
            Some(g) if fits(&(g.start..i + 1)) => g.end = i + 1,
            _ => groups.push(i..i + 1),
        }
    }
    groups
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

/// The topcoat after the wait for the laminate; on a second visit when cold.
fn topcoat(site: &mut SiteDays, rules: &Rules, work: &[Labour], index: usize, warnings: &mut Vec<SiteWarning>) {
    if site.days.is_empty() {
        site.new_day();
    } else {
        if site.cold {
            site.visit = 2;
            warnings.push(SiteWarning::SecondVisit { below: rules.second_visit_below });
        }
        site.wait(site.clock() + still_to_cure(work, site.crew), work[index].hours);
    }
    site.fill(index, work[index].hours);
}

/// What comes after a coat of topcoat. What is done on one waits until the last on any of its roofs is hard.
fn on_topcoat(site: &mut SiteDays, work: &[Labour], index: usize, coats: &[Coat]) {
    let labour = &work[index];
    let under = coats.iter().filter(|coat| labour.is_on_topcoat() && labour.shares_roof(&work[coat.index]));
    if let Some(hard) = under.map(|coat| coat.hard).max().filter(|hard| *hard > site.clock()) {
        site.wait(hard, labour.hours);
    }
    site.fill(index, labour.hours);
}

/// Whole days that so many hours take.
fn whole_days(hours: Decimal) -> u32 {
    u32::try_from((hours / Decimal::from(24)).ceil()).unwrap_or(u32::MAX)
}

// ---- Dates ---------------------------------------------------------------------------------------------------------

/// Puts dates to the days; says so where the start had to move.
fn date(site: &mut SiteDays, start: Option<Date>, holidays: &[Date]) -> Option<SiteWarning> {
    let start = start?;
    let first = calendar::on_or_after(start, holidays);
    let mut at = first;
    for (i, (day, idle)) in site.days.iter_mut().zip(&site.idle).enumerate() {
        let from = at.saturating_add(time::Duration::days(i64::from(*idle) + i64::from(i > 0)));
        at = calendar::on_or_after(from, holidays);
        day.date = Some(at);
    }
    (first != start).then_some(SiteWarning::StartMoved { from: start, to: first })
}

/// Warns where the first laminate is too old when its topcoat comes.
fn stale_laminate(site: &SiteDays, rules: &Rules, work: &[Labour]) -> Option<SiteWarning> {
    let on = |op| site.days.iter().find(|d| d.work.iter().any(|(i, _)| work[*i].operation == op));
    let (laid, coated) = (on(Operation::Laminate)?, on(Operation::Topcoat)?);
    let days = match (laid.date, coated.date) {
        (Some(a), Some(b)) => (b - a).whole_days(),
        _ => i64::from(coated.number) - i64::from(laid.number),
    };
    let hours = Decimal::from(days * 24);
    (hours > rules.recoat_hours).then_some(SiteWarning::StaleLaminate { hours, most: rules.recoat_hours })
}
