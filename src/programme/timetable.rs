//! The timetable: what happens on which day. It is the programme without its hours.
//!
//! Given the programme; gives its days with the operations that stand on each, for whoever must not read how long an
//! operation takes. What a day is paid, set up or stood through is not here either.

use super::{Day, Programme, calendar};
use crate::works::{Operation, WorkKind};
use time::Date;

/// One operation, by its name alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Task<'a> {
    /// Which.
    pub operation: Operation,
    /// In words: `Lay the deck`.
    pub label: &'a str,
    /// Whether an old covering, or old boards, come off with it.
    pub strips: bool,
    /// Whether boards are laid with it, on joists or on an old deck.
    pub lays_boards: bool,
    /// Whether it is done on a topcoat, once that is hard.
    pub on_topcoat: bool,
    /// Whether it fits goods of this job alone, and nothing else.
    pub fits_goods: bool,
}

/// One day on site: when it is and what is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayOnSite {
    /// Counting from 1.
    pub number: u32,
    /// The date, where the job has a start.
    pub date: Option<Date>,
    /// Which visit the day belongs to.
    pub visit: u32,
    /// What had to be hard or dry before it, where it is later for that.
    pub waited_for: Option<WaitedFor>,
    /// Index into [`Timetable::tasks`], in the order of the work.
    pub tasks: Vec<usize>,
    /// Whether joists are cut for an opening on it.
    pub cuts_openings: bool,
}

/// What has to be hard or dry before the work goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitedFor {
    /// Mortar on the tops of walls.
    Mortar,
    /// What was laminated last.
    Laminate,
    /// The square metre of an old laminate that is coated first.
    Trial,
    /// The topcoat, before anything is laid or fixed on it.
    Topcoat,
}

/// Why the crew comes back after days on which nobody was there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyBack {
    /// Something had to be hard or dry.
    Waited(WaitedFor),
    /// Nobody works on the days between.
    DaysOff,
}

/// What happens on which day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timetable<'a> {
    /// The operations of the job, in their order.
    pub tasks: Vec<Task<'a>>,
    /// What is fitted last, all of it in words.
    pub fitted_last: Option<String>,
    /// Whether openings that are cut get a kerb.
    pub builds_kerbs: bool,
    /// The days.
    pub days: Vec<DayOnSite>,
}

impl Timetable<'_> {
    /// The days on which nothing is done but what waits until the topcoat under it is hard.
    pub fn waiting(&self) -> impl Iterator<Item = u32> {
        let waits = |d: &&DayOnSite| !d.tasks.is_empty() && d.tasks.iter().all(|i| self.tasks[*i].on_topcoat);
        self.days.iter().filter(waits).map(|d| d.number)
    }

    /// Whether the crew comes back on a day, after working days on which nobody was there; without dates, where the second
    /// visit begins.
    pub fn is_return(&self, day: u32) -> bool {
        let Some((before, this)) = self.days.iter().zip(self.days.iter().skip(1)).find(|(_, d)| d.number == day) else {
            return false;
        };
        is_another_visit((before.date, before.visit), (this.date, this.visit))
    }

    /// Why the crew comes back on a day; none where it does not.
    pub fn why_back(&self, day: u32) -> Option<WhyBack> {
        let this = self.days.iter().find(|d| d.number == day).filter(|_| self.is_return(day))?;
        Some(this.waited_for.map_or(WhyBack::DaysOff, WhyBack::Waited))
    }
}

/// Whether the crew comes back on a day after the one before it.
pub(super) fn comes_back(before: &Day, day: &Day) -> bool {
    is_another_visit((before.date, before.visit), (day.date, day.visit))
}

/// Whether working days lie between two days; without dates, whether they are of two visits.
fn is_another_visit((last, before): (Option<Date>, u32), (now, visit): (Option<Date>, u32)) -> bool {
    let Some((last, now)) = last.zip(now) else { return visit > before };
    let between = std::iter::successors(last.next_day(), |d| d.next_day()).take_while(|d| *d < now);
    between.into_iter().any(|d| calendar::is_working_day(d, &[]))
}

impl Programme {
    /// The roofs on which there is a work that takes hours.
    fn roofs_with(&self, work: WorkKind) -> impl Iterator<Item = &str> {
        let parts = self.work.iter().flat_map(|w| &w.parts);
        parts.filter(move |part| part.work == work).filter_map(|part| part.roof.as_deref())
    }

    /// The days on which joists are cut for openings: of each roof with one, the first on which it is opened.
    fn cutting_days(&self) -> Vec<u32> {
        let prepares = |d: &&Day| self.is_worked_on(Operation::Prepare, d);
        let opens = |d: &Day, roof: &str| d.strips.is_empty() || d.strips.iter().any(|strip| strip.roof == roof);
        let first = |roof: &str| self.days.iter().filter(prepares).find(|d| opens(d, roof)).map(|d| d.number);
        self.roofs_with(WorkKind::Trimmers).filter_map(first).collect()
    }

    /// The programme without its hours.
    pub fn timetable(&self) -> Timetable<'_> {
        let cutting = self.cutting_days();
        Timetable {
            tasks: self
                .work
                .iter()
                .map(|w| Task {
                    operation: w.operation,
                    label: &w.label,
                    strips: w.strips,
                    lays_boards: w.lays_boards,
                    fits_goods: w.parts.iter().all(|part| part.work == WorkKind::OwnGoods),
                    on_topcoat: w.is_on_topcoat() || w.refits_gutter() && !self.refits_gutter_under_wet_coat(),
                })
                .collect(),
            fitted_last: self.fitted_last(),
            builds_kerbs: self.roofs_with(WorkKind::NewKerb).next().is_some(),
            days: self
                .days
                .iter()
                .map(|d| DayOnSite {
                    number: d.number,
                    date: d.date,
                    visit: d.visit,
                    waited_for: d.waited_for,
                    tasks: d.work.iter().map(|(i, _)| *i).collect(),
                    cuts_openings: cutting.contains(&d.number),
                })
                .collect(),
        }
    }
}
