//! The day chart: which operation stands on which day.
//!
//! Given the programme, or its timetable alone; gives a figure, or none where it has no days: in detail for the site, from
//! the timetable for the householder. It shows when, never how many hours.

use super::drawing::{Drawing, pen, spot, text_width};
use super::{LABEL_SIZE, Space};
use crate::documents::wording;
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink};
use crate::programme::timetable::{DayOnSite, Task, Timetable};
use crate::programme::{Day, Operation, Programme, WaitedFor, WhyBack};
use rust_decimal::prelude::ToPrimitive;

/// The part of a chart's width that its labels may take.
const LABELS: f64 = 0.85;
/// Height of a row, pt: close on the site's first page, which it shares with much else.
const CLOSE_ROW: f64 = 11.0;
const ROW: f64 = 15.0;
/// The room before a return visit, pt.
const GAP: f64 = 8.0;

/// Draws the chart for the site: every operation, in the order of each day.
pub fn draw(programme: &Programme, space: Space) -> Option<Figure> {
    let timetable = &programme.timetable();
    let rows = operations(timetable).into_iter();
    let rows =
        rows.map(|i| ChartRow { label: timetable.tasks[i].label.to_owned(), tasks: vec![i], on: None }).collect();
    figure(&Chart { timetable, rows, parts: Some(parts(programme)) }, space)
}

/// Draws the chart for the householder: what happens on which day, in a few plain rows.
pub fn draw_plain(timetable: &Timetable<'_>, space: Space) -> Option<Figure> {
    let worked = operations(timetable);
    let insulated = worked.iter().any(|i| timetable.tasks[*i].operation == Operation::Insulate);
    // What is fitted last by name, where the days have room beside it.
    let leaves_room = |words: &&str| text_width(words, LABEL_SIZE) <= LABELS * space.width;
    let row = |(first, last, label): &(Operation, Operation, &str)| {
        let within = |i: &usize| (*first..=*last).contains(&timetable.tasks[*i].operation);
        let tasks: Vec<usize> = worked.iter().copied().filter(within).collect();
        let strips = |task: &usize| timetable.tasks[*task].strips;
        let label = match first {
            Operation::Prepare => {
                deck_in_words(&tasks.iter().map(|i| &timetable.tasks[*i]).collect::<Vec<_>>(), insulated)
            }
            Operation::Finish => timetable.fitted_last.as_deref().filter(leaves_room).unwrap_or(label),
            Operation::Strip if !tasks.iter().any(strips) => {
                tasks.first().map_or(*label, |i| timetable.tasks[*i].label)
            }
            _ => label,
        };
        let before = (*first == Operation::Prepare).then(|| opening_row(timetable)).flatten();
        let fitted = tasks.iter().filter(|i| *first == Operation::Finish && timetable.tasks[**i].fits_goods);
        let goods: Vec<ChartRow> = fitted
            .map(|i| ChartRow { label: timetable.tasks[*i].label.to_owned(), tasks: vec![*i], on: None })
            .collect();
        let told: Vec<usize> = tasks.into_iter().filter(|i| goods.iter().all(|row| !row.tasks.contains(i))).collect();
        let own = (!told.is_empty()).then(|| ChartRow { label: label.to_owned(), tasks: told, on: None });
        before.into_iter().chain(own).chain(goods).collect::<Vec<_>>()
    };
    figure(&Chart { timetable, rows: STAGES.iter().flat_map(row).collect(), parts: None }, space)
}

/// The days on which joists are cut, with a hole under the roof until the kerb over it is closed.
fn opening_row(timetable: &Timetable<'_>) -> Option<ChartRow> {
    let on: Vec<u32> = timetable.days.iter().filter(|d| d.cuts_openings).map(|d| d.number).collect();
    let label = if timetable.builds_kerbs { "Opening cut, kerb built" } else { "Opening cut" };
    (!on.is_empty()).then(|| ChartRow { label: label.to_owned(), tasks: Vec::new(), on: Some(on) })
}

/// What is done between strip and trims: a deck is new only where boards are laid.
fn deck_in_words(tasks: &[&Task<'_>], insulated: bool) -> &'static str {
    let deck = tasks.iter().any(|task| task.lays_boards);
    match (deck, insulated) {
        (true, true) => "New boards and insulation",
        (true, false) => "New boards",
        (false, true) => "Insulation",
        (false, false) => "Edges made ready",
    }
}

/// The work as a householder sees it.
const STAGES: [(Operation, Operation, &str); 8] = [
    (Operation::Strip, Operation::Strip, "Old covering off"),
    (Operation::Prepare, Operation::Insulate, "New boards"),
    (Operation::Trims, Operation::Laminate, "Edges and glass fibre"),
    (Operation::Wash, Operation::Wash, "Washed"),
    (Operation::Repair, Operation::Repair, "Patches"),
    (Operation::Renew, Operation::Renew, "Rubbed down and wiped"),
    (Operation::Topcoat, Operation::Topcoat, "Topcoat"),
    (Operation::Finish, Operation::Finish, "Finish"),
];

fn figure(chart: &Chart<'_>, space: Space) -> Option<Figure> {
    let timetable = chart.timetable;
    if timetable.days.is_empty() {
        return None;
    }
    Some(Figure {
        scene: chart.sheet(space).finish().into(),
        caption: in_words(timetable),
        alt: timetable.days.iter().map(|d| day_in_words(timetable, d)).collect::<Vec<_>>().join(" "),
    })
}

/// What a chart shows, in whole sentences: they stand under it, or run on in a paragraph beside it.
pub fn in_words(timetable: &Timetable<'_>) -> String {
    let back: Vec<(u32, WhyBack)> =
        timetable.days.iter().filter_map(|d| Some((d.number, timetable.why_back(d.number)?))).collect();
    let again = match back.as_slice() {
        [] => String::new(),
        [(day, why)] => format!(" Day {day} is a return visit: {}.", days_between(timetable, *why)),
        many => {
            let days: Vec<String> = many.iter().map(|(day, _)| day.to_string()).collect();
            let before = |(day, why): &(u32, WhyBack)| format!("before day {day} {}", why_back(*why));
            let why = match many.iter().all(|(_, why)| *why == many[0].1) {
                true => why_back(many[0].1),
                false => wording::list(&many.iter().map(before).collect::<Vec<_>>()),
            };
            format!(" Days {} are return visits: {why}.", wording::list(&days))
        }
    };
    let waits: Vec<String> = timetable.waiting().map(|day| day.to_string()).collect();
    // Beside a return visit nobody asks why a day stands alone.
    let waits = match waits.as_slice() {
        _ if !again.is_empty() => String::new(),
        [] => String::new(),
        [day] => format!(" Day {day} begins once the topcoat is hard."),
        many => format!(" Days {} begin once the topcoat is hard.", wording::list(many)),
    };
    format!("The chart shows what is done on which day, not how long it takes; weather moves it.{again}{waits}")
}

/// Why a second visit does not follow at once, also where no dates show that days lie before it: in the cold the topcoat has to wait.
fn days_between(timetable: &Timetable<'_>, why: WhyBack) -> String {
    match timetable.days.iter().all(|day| day.date.is_none()) {
        true => format!("some days lie before it, in which {} and nothing else is done", waits_for(why)),
        false => why_back(why),
    }
}

/// What happens on days on which nobody is there.
const fn waits_for(why: WhyBack) -> &'static str {
    match why {
        WhyBack::Waited(WaitedFor::Mortar) => "the mortar dries",
        WhyBack::Waited(WaitedFor::Laminate) => "the glass fibre grows hard",
        WhyBack::Waited(WaitedFor::Trial) => "the trial coat grows hard",
        WhyBack::Waited(WaitedFor::Topcoat) => "the topcoat grows hard",
        WhyBack::DaysOff => "nobody works",
    }
}

/// Why the crew comes back on a day, in a few words: `the topcoat grows hard first`.
fn why_back(why: WhyBack) -> String {
    match why {
        WhyBack::DaysOff => "nobody works on the days before".to_owned(),
        WhyBack::Waited(_) => format!("{} first", waits_for(why)),
    }
}

/// `Day 1, 1 February 2027: strip, lay the deck.`
pub fn day_in_words(timetable: &Timetable<'_>, day: &DayOnSite) -> String {
    let date = day.date.map_or_else(String::new, |d| format!(", {}", wording::day_and_date(d)));
    let work: Vec<&str> = day.tasks.iter().filter_map(|i| timetable.tasks.get(*i)).map(|task| task.label).collect();
    let again = if timetable.is_return(day.number) { " (return visit)" } else { "" };
    let joined = work.iter().enumerate().map(|(i, w)| if i == 0 { wording::capital(w) } else { wording::within(w) });
    format!("Day {}{date}{again}: {}.", day.number, joined.collect::<Vec<_>>().join(", "))
}

/// `Mon 18 Jan`.
fn short_date(d: time::Date) -> String {
    format!("{} {}", &d.weekday().to_string()[..3], day_and_month(d))
}

/// `18 Jan`.
fn day_and_month(d: time::Date) -> String {
    format!("{} {}", d.day(), short_month(d))
}

/// `Jan`.
fn short_month(d: time::Date) -> String {
    d.month().to_string()[..3].to_owned()
}

/// A date in lines that a column of this width holds: `Mon 18 Jan`, `18 Jan`, or `18` over `Jan`; none where no line fits:
/// then weeks alone are dated.
fn date_in(d: time::Date, wide: f64) -> Vec<String> {
    match wide {
        w if w > 51.0 => vec![short_date(d)],
        w if w > 30.0 => vec![day_and_month(d)],
        w if w > 17.0 => vec![d.day().to_string(), short_month(d)],
        _ => Vec::new(),
    }
}

/// The operations that any day works on, in order.
fn operations(timetable: &Timetable<'_>) -> Vec<usize> {
    (0..timetable.tasks.len()).filter(|i| timetable.days.iter().any(|d| d.tasks.contains(i))).collect()
}

/// How much of each day its operations take, in the order of the day.
fn parts(programme: &Programme) -> Vec<Vec<f64>> {
    let of_day = |d: &Day| {
        let hours = d.work.iter().map(|(_, h)| h.to_f64());
        let all: f64 = hours.clone().flatten().sum();
        hours.map(|h| h.unwrap_or(0.0) / all.max(1e-9)).collect()
    };
    programme.days.iter().map(of_day).collect()
}

/// A row of the chart: the operations that it stands for.
struct ChartRow {
    label: String,
    tasks: Vec<usize>,
    /// The days that it stands for, where no operation of its own tells them.
    on: Option<Vec<u32>>,
}

/// How wide a day's column is, pt, as far as a chart is no wider for that than what leaves words room beside it.
const LEAST_DAY: f64 = 19.0;
const WIDEST_BESIDE: f64 = 266.0;

/// No more days than this share a number, however narrow their columns are.
const MOST_LEFT_UNNUMBERED: u32 = 30;

/// How long a bar is at least, pt.
const LEAST_BAR: f64 = 3.0;

struct Chart<'a> {
    timetable: &'a Timetable<'a>,
    rows: Vec<ChartRow>,
    /// How much of each day its operations take; `None`: whole days are filled.
    parts: Option<Vec<Vec<f64>>>,
}

impl Chart<'_> {
    fn sheet(&self, space: Space) -> Drawing {
        let labels = self.rows.iter().map(|r| text_width(&r.label, LABEL_SIZE)).fold(30.0, f64::max) + 10.0;
        let gaps: f64 = self.gaps().iter().sum();
        // Long names of rows leave a few days a bar each that is seen.
        let least = labels + 4.0 + gaps + LEAST_DAY * self.timetable.days.len() as f64;
        let space = Space { width: f64::max(space.width, least.min(WIDEST_BESIDE)), ..space };
        let wide = ((space.width - labels - 4.0 - gaps) / self.timetable.days.len() as f64).min(90.0);
        let mut left = labels - wide;
        let lefts: Vec<f64> = self
            .gaps()
            .into_iter()
            .map(|gap| {
                left += wide + gap;
                left
            })
            .collect();
        let mut sheet = Drawing::default();
        let step = self.numbered_step(wide);
        self.grid(&mut sheet, &lefts, wide, step == 1);
        self.weeks(&mut sheet, (&lefts, wide), space.width);
        for (d, day) in self.timetable.days.iter().enumerate() {
            let parts = self.parts.as_ref().map(|parts| parts[d].as_slice());
            let numbered = (day.number - 1) % step == 0;
            self.day(&mut sheet, (day, parts), lefts[d], wide, numbered);
        }
        sheet
    }

    /// The room before each day's column: some before a return visit, since days lie there.
    fn gaps(&self) -> Vec<f64> {
        let gap = |day: &DayOnSite| if self.timetable.is_return(day.number) { GAP } else { 0.0 };
        self.timetable.days.iter().map(gap).collect()
    }

    fn grid(&self, sheet: &mut Drawing, lefts: &[f64], wide: f64, all_numbered: bool) {
        let (right, foot) = (lefts.last().map_or(0.0, |left| left + wide), self.row() * self.rows.len() as f64);
        for (r, row) in self.rows.iter().enumerate() {
            let y = self.row() * r as f64;
            sheet.line(&[spot(0.0, y), spot(right, y)], pen(Ink::Grey(0.7), 0.4));
            sheet.words(
                spot(0.0, y + self.row() / 2.0 + 3.0),
                &wording::capital(&row.label),
                LABEL_SIZE,
                false,
                Anchor::Start,
            );
        }
        sheet.line(&[spot(0.0, foot), spot(right, foot)], pen(Ink::Grey(0.7), 0.4));
        let mut ends: Vec<f64> = lefts.iter().flat_map(|left| [*left, left + wide]).collect();
        ends.dedup_by(|b, a| (*b - *a).abs() < 0.1); // Where no days lie between, one day ends where the next begins.
        // Numbers that are wider than their columns stand over the lines.
        let top = if all_numbered { -self.row() } else { 0.0 };
        for x in ends {
            sheet.line(&[spot(x, top), spot(x, foot)], pen(Ink::Grey(0.7), 0.4));
        }
    }

    /// Where columns are too narrow for dates, that of the first day of each week, as far as one leaves room for the next and the chart
    /// for the last.
    fn weeks(&self, sheet: &mut Drawing, (lefts, wide): (&[f64], f64), most: f64) {
        let (mut week, mut free) = (None, 0.0);
        for (d, date) in self.timetable.days.iter().enumerate().filter_map(|(d, day)| Some((d, day.date?))) {
            let left = lefts[d];
            let (year, number, _) = date.to_iso_week_date();
            if date_in(date, wide).is_empty() && week != Some((year, number)) && left >= free {
                let words = day_and_month(date);
                let right = left + 2.0 + text_width(&words, LABEL_SIZE);
                if right > most {
                    // The date of a week of a day or two ends with the chart.
                    let end = lefts[lefts.len() - 1] + wide;
                    if end - text_width(&words, LABEL_SIZE) >= free {
                        sheet.words(spot(end, -self.row() - 2.0), &words, LABEL_SIZE, false, Anchor::End);
                    }
                    break;
                }
                sheet.line(&[spot(left, -self.row()), spot(left, -self.row() - 8.0)], pen(Ink::Grey(0.7), 0.4));
                sheet.words(spot(left + 2.0, -self.row() - 2.0), &words, LABEL_SIZE, false, Anchor::Start);
                free = right + 4.0;
            }
            week = Some((year, number));
        }
    }

    /// A day's heading and bars: each as long as its part of that day's work, one after the other.
    fn day(
        &self,
        sheet: &mut Drawing,
        (day, parts): (&DayOnSite, Option<&[f64]>),
        left: f64,
        wide: f64,
        numbered: bool,
    ) {
        for (up, words) in day.date.map_or_else(Vec::new, |date| date_in(date, wide)).iter().rev().enumerate() {
            let foot = -self.row() - 2.0 - 9.0 * up as f64;
            sheet.words(spot(left + wide / 2.0, foot), words, LABEL_SIZE, false, Anchor::Middle);
        }
        let heading = if wide > 34.0 { format!("Day {}", day.number) } else { day.number.to_string() };
        if numbered {
            sheet.words(spot(left + wide / 2.0, -4.5), &heading, LABEL_SIZE, true, Anchor::Middle);
        }
        let Some(parts) = parts else {
            let worked = |r: &ChartRow| match &r.on {
                Some(on) => on.contains(&day.number),
                None => day.tasks.iter().any(|i| r.tasks.contains(i)),
            };
            for (n, _) in self.rows.iter().enumerate().filter(|(_, r)| worked(r)) {
                self.bar(sheet, n, left + 3.0, left + wide - 3.0);
            }
            return;
        };
        let mut x = left;
        for (i, part) in day.tasks.iter().zip(parts) {
            let long = wide * part;
            if let Some(row) = self.rows.iter().position(|r| r.tasks.contains(i)) {
                // What takes minutes is seen all the same.
                let to = (x + long.max(LEAST_BAR)).min(left + wide);
                self.bar(sheet, row, x.min(to - LEAST_BAR), to);
            }
            x += long;
        }
    }

    /// Of how many days one has its number, so that each stands clear of the next.
    fn numbered_step(&self, wide: f64) -> u32 {
        let widest =
            self.timetable.days.iter().map(|day| text_width(&day.number.to_string(), LABEL_SIZE)).fold(0.0, f64::max);
        let room = |step: &u32| f64::from(*step) * wide >= widest + 1.5;
        (1..=MOST_LEFT_UNNUMBERED).find(room).unwrap_or(MOST_LEFT_UNNUMBERED)
    }

    fn bar(&self, sheet: &mut Drawing, row: usize, from: f64, to: f64) {
        let air = if self.is_plain() { 3.0 } else { 2.5 };
        let (top, foot) = (self.row() * row as f64 + air, self.row() * (row + 1) as f64 - air);
        let ring = vec![spot(from, top), spot(to, top), spot(to, foot), spot(from, foot)];
        sheet.area(vec![ring], Some(Ink::Accent), Some(pen(Ink::Black, 0.5)));
    }

    const fn is_plain(&self) -> bool {
        self.parts.is_none()
    }

    const fn row(&self) -> f64 {
        if self.is_plain() { ROW } else { CLOSE_ROW }
    }
}
