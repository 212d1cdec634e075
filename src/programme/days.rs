//! Days on site: what is done on each, so that nothing stands open overnight.
//!
//! Given the operations and the strips of mat in laying order; gives days. A strip of roof that is opened in a day is
//! stripped, decked, trimmed and laminated on that day: the strips decide how much is opened, not the operations. The
//! topcoat waits for the cure, on the same day where it still fits, and comes on a second visit when it is cold.

use super::calendar;
use super::sections::{OpenSection, sections};
use super::stops::{OpenGroup, Stop, stops};
use super::{Day, Labour, Operation, SiteWarning};
use crate::model::{Area, Job, Rules};
use crate::takeoff::TakeOff;
use rust_decimal::Decimal;
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
    let mut site = SiteDays::new(rules, crew);
    let mut warnings = Vec::new();
    let sections = sections(take_off);
    let groups = close_each_day(&mut site, work, &sections, &mut warnings);
    let stops = stops(&groups, &sections, take_off);
    warnings.extend(stops.first().map(|_| SiteWarning::OpenByStrips));
    for (i, w) in work.iter().enumerate().filter(|(_, w)| is_on_old(w)) {
        site.fill(i, w.hours);
    }
    topcoat(&mut site, job, rules, work, &mut warnings);
    second_coat(&mut site, work);
    for (i, w) in work.iter().enumerate().filter(|(_, w)| w.operation > Operation::Topcoat) {
        site.fill(i, w.hours);
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
    /// Working days that pass before each day, besides the usual night.
    idle: Vec<u32>,
    crew: Decimal,
    setup: Decimal,
    capacity: Decimal,
    left: Decimal,
    visit: u32,
}

impl SiteDays {
    fn new(rules: &Rules, crew: u32) -> SiteDays {
        let crew = Decimal::from(crew.max(1));
        let setup = rules.hours_setup * crew;
        // A day without a working hour would never end the job.
        let capacity = (rules.day_hours * crew - setup).max(Decimal::ONE);
        SiteDays { days: Vec::new(), idle: Vec::new(), crew, setup, capacity, left: Decimal::ZERO, visit: 1 }
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

    /// Spends hours today, whatever is left of today.
    fn spend(&mut self, index: usize, hours: Decimal) {
        let Some(day) = self.days.last_mut() else { return };
        match day.work.iter_mut().find(|(i, _)| *i == index) {
            Some((_, h)) => *h += hours,
            None => day.work.push((index, hours)),
        }
        self.left = (self.left - hours).max(Decimal::ZERO);
    }

    /// Hours by the clock that are gone of the last day, set-up left out.
    fn elapsed(&self) -> Decimal {
        (self.capacity - self.left) / self.crew
    }

    /// The only day of a second visit is paid as half a day at least.
    fn fill_half_day(&mut self, rules: &Rules) {
        let half = rules.day_hours * self.crew / Decimal::TWO;
        let mut second = self.days.iter_mut().filter(|d| d.visit == 2);
        if let (Some(day), None) = (second.next(), second.next()) {
            day.standing = (half - day.paid_hours()).max(Decimal::ZERO);
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
    let share = |range: &std::ops::Range<usize>| -> Decimal {
        let part: Area = sections[range.clone()].iter().map(|s| s.area).sum();
        part.square_metres() / area.square_metres()
    };
    let fits = |range: &std::ops::Range<usize>| all * share(range) <= site.capacity;
    let ranges = group_in_order(sections.len(), fits);
    let mut spent = vec![Decimal::ZERO; work.len()];
    let mut groups = Vec::new();
    for range in ranges {
        let (last, too_long) = (range.end == sections.len(), all * share(&range) > site.capacity);
        site.new_day();
        let first_day = site.days.len() as u32;
        warnings.extend(too_long.then(|| stays_open(&sections[range.start])));
        for (i, w) in work.iter().enumerate().filter(|(_, w)| is_covering(w)) {
            let hours = if last { w.hours - spent[i] } else { (w.hours * share(&range)).trunc_with_scale(2) };
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

/// Neighbours in groups, each as large as `fits` allows but never empty.
fn group_in_order(n: usize, fits: impl Fn(&std::ops::Range<usize>) -> bool) -> Vec<std::ops::Range<usize>> {
    let mut groups: Vec<std::ops::Range<usize>> = Vec::new();
    for i in 0..n {
        match groups.last_mut() {
            Some(g) if fits(&(g.start..i + 1)) => g.end = i + 1,
            _ => groups.push(i..i + 1),
        }
    }
    groups
}

fn stays_open(section: &OpenSection) -> SiteWarning {
    SiteWarning::StaysOpen { roof: section.name.clone(), strip: section.mark.clone() }
}

// ---- Topcoat -------------------------------------------------------------------------------------------------------

/// The topcoat after its wait: today where all of it still fits, else on the next day, on a second visit when cold.
fn topcoat(site: &mut SiteDays, job: &Job, rules: &Rules, work: &[Labour], warnings: &mut Vec<SiteWarning>) {
    let Some(i) = work.iter().position(|w| w.operation == Operation::Topcoat) else { return };
    let wait = still_to_cure(work, site.crew);
    let cold = job.air().is_some_and(|air| air.low < rules.second_visit_below);
    let need = wait * site.crew + work[i].hours;
    if site.days.is_empty() {
        site.new_day();
        site.fill(i, work[i].hours);
        return;
    }
    if !cold && need <= site.left {
        if let Some(day) = site.days.last_mut() {
            day.standing += wait * site.crew;
        }
        site.left -= wait * site.crew;
    } else {
        if cold {
            site.visit = 2;
            warnings.push(SiteWarning::SecondVisit { below: rules.second_visit_below });
        }
        let night = Decimal::from(24) - site.elapsed();
        site.new_day();
        if let Some(idle) = site.idle.last_mut() {
            *idle = whole_days((wait - night).max(Decimal::ZERO));
        }
    }
    site.fill(i, work[i].hours);
}

/// The second coat of a surface with aggregate, once the first is hard: today where all of it still fits, else on the
/// next day.
fn second_coat(site: &mut SiteDays, work: &[Labour]) {
    let mut coats = work.iter().enumerate().filter(|(_, w)| w.operation == Operation::Topcoat);
    let (Some((_, first)), Some((i, second))) = (coats.next(), coats.next()) else { return };
    let standing = first.wait_after * site.crew;
    if standing + second.hours <= site.left {
        if let Some(day) = site.days.last_mut() {
            day.standing += standing;
        }
        site.left -= standing;
    } else {
        let night = Decimal::from(24) - site.elapsed();
        site.new_day();
        if let Some(idle) = site.idle.last_mut() {
            *idle = whole_days((first.wait_after - night).max(Decimal::ZERO));
        }
    }
    site.fill(i, second.hours);
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
        at = calendar::working_days_after(at, idle + u32::from(i > 0), holidays);
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
