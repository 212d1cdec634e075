//! The programme: the order of work, its hours, its hold points and waits, and the mix card.
//!
//! Given the take-off, the firm's norms and the job's conditions; gives operations with hours, days with what is done
//! in each, whether the weather allows it, and how much catalyst goes into each pot. No prices. Days follow the strips
//! of mat: no more of a roof is opened in a day than can be laminated on it.

pub mod actuals;
pub mod bank_holidays;
mod between;
pub mod calendar;
mod days;
pub mod dose;
pub mod gel;
pub mod labour;
pub mod mix;
pub mod pots;
mod sections;
mod spread;
mod stops;
pub mod timetable;
mod warning;
pub mod weather;

pub use self::between::{CoatBeside, CoatPart, FinishPart};
pub use self::stops::{BoardsBegun, LayerStrips, Stop, lines_of, lining_lies};
pub use self::timetable::{Timetable, WaitedFor, WhyBack};
pub use self::warning::SiteWarning;

use self::bank_holidays::bank_holiday;
use crate::model::job::Conditions;
use crate::model::limits::{self, Most};
use crate::model::problem::Source;
use crate::model::words::{list, plural};
use crate::model::{Area, Finish, Job, Length, Mass, Problem, Roof, Rules, Warned};
use crate::takeoff::layout::mat::tape::{Stretch, StripTape, joined};
use crate::takeoff::layout::{RoofLayout, falls, over_deck};
use crate::takeoff::{Step, TakeOff};
pub use crate::works::Operation;
use crate::works::WorkKind;
use rust_decimal::Decimal;
use time::{Date, Weekday};

/// Hours that one work takes on one roof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabourPart {
    /// The work.
    pub work: WorkKind,
    /// The roof's name.
    pub roof: Option<String>,
    /// Person-hours, unrounded.
    pub hours: Decimal,
    /// How many gutters are put back with it.
    pub gutters: usize,
}

/// One operation with its hours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Labour {
    /// Which.
    pub operation: Operation,
    /// In words: `Lay the deck`.
    pub label: String,
    /// Whether an old covering, or old boards, come off with it.
    pub strips: bool,
    /// Whether boards are laid with it, on joists or on an old deck.
    pub lays_boards: bool,
    /// Person-hours.
    pub hours: Decimal,
    /// What they are spent on.
    pub parts: Vec<LabourPart>,
    /// Where the hours come from.
    pub working: Vec<Step>,
    /// Hours that must pass after it before anybody may work on what was laid or coated.
    pub wait_after: Decimal,
}

impl Labour {
    /// Whether it is done on the topcoat of a roof. Goods that are fitted last wait until it is hard.
    pub fn is_on_topcoat(&self) -> bool {
        let goods = |part: &LabourPart| part.work == WorkKind::OwnGoods && self.operation == Operation::Finish;
        self.parts.iter().any(|part| part.work.is_on_topcoat() || goods(part))
    }

    /// What it is called on a day on which only some of its works are done, or on some roofs alone.
    pub fn label_of(&self, kinds: &[WorkKind], is_on: impl Fn(&str) -> bool) -> String {
        let done = |part: &&LabourPart| kinds.contains(&part.work) && part.roof.as_deref().is_none_or(&is_on);
        let of_all = self.parts.iter().all(|part| kinds.contains(&part.work));
        let gutters: usize = self.parts.iter().filter(done).map(|part| part.gutters).sum();
        let all_gutters = self.parts.iter().map(|part| part.gutters).sum::<usize>();
        if of_all && (gutters > 1) == (all_gutters > 1) {
            return self.label.clone();
        }
        labour::label(self.operation, kinds, gutters)
    }

    /// Whether gutters are put back with it.
    pub fn refits_gutter(&self) -> bool {
        self.parts.iter().any(|part| part.work == WorkKind::GutterOn)
    }

    /// Whether the tops of parapets are levelled with it, and mortar hardens after it.
    pub fn levels_tops(&self) -> bool {
        self.parts.iter().any(|part| part.work == WorkKind::LevelTops)
    }

    /// Whether some of it is done on a roof on which some of the other is.
    pub fn shares_roof(&self, other: &Labour) -> bool {
        let same = |a: &LabourPart, b: &LabourPart| a.roof.is_none() || b.roof.is_none() || a.roof == b.roof;
        self.parts.iter().any(|a| other.parts.iter().any(|b| same(a, b)))
    }

    /// What its hours are spent on, each to a hundredth of an hour, so that they add up to them.
    pub fn settled_parts(&self) -> impl Iterator<Item = (&LabourPart, Decimal)> {
        let mut so_far = Decimal::ZERO;
        self.parts.iter().map(move |part| {
            let before = so_far.round_dp(2);
            so_far += part.hours;
            (part, so_far.round_dp(2) - before)
        })
    }
}

/// One day on site.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Day {
    /// Counting from 1.
    pub number: u32,
    /// The date, where the job has a start.
    pub date: Option<Date>,
    /// Index into `Programme::work`, with the person-hours spent on it that day.
    pub work: Vec<(usize, Decimal)>,
    /// The strips of mat that are opened and closed on it, in laying order; none where no strips divide the days.
    pub strips: Vec<DayStrip>,
    /// Which visit the day belongs to: 2 where the topcoat comes on its own.
    pub visit: u32,
    /// What had to be hard or dry before it, where it is later for that.
    pub waited_for: Option<WaitedFor>,
    /// Person-hours to set up and clear.
    pub setup: Decimal,
    /// Person-hours that are paid though nothing is done: the wait for the cure, the rest of a half day.
    pub standing: Decimal,
}

/// A strip of mat by its roof and its mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayStrip {
    /// The roof.
    pub roof: String,
    /// The mark, as the mat plan has it.
    pub mark: String,
}

impl Day {
    /// Person-hours that are paid: the work, the set-up and what is stood through.
    pub fn paid_hours(&self) -> Decimal {
        self.work.iter().map(|(_, h)| *h).sum::<Decimal>() + self.setup + self.standing
    }
}

/// One row of the mix card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixRow {
    /// From this air temperature, °C.
    pub from: Decimal,
    /// To this one.
    pub to: Decimal,
    /// Laminate: % by mass, ml per kg.
    pub laminate: MixDose,
    /// Topcoat: % by mass, ml per kg.
    pub topcoat: MixDose,
    /// The largest pot that is laid in time at the warm end of the row.
    pub pot: Mass,
    /// Catalyst for such a pot of resin, to the nearest ml.
    pub laminate_pot_ml: Decimal,
    /// Catalyst for such a pot of topcoat, to the nearest ml.
    pub topcoat_pot_ml: Decimal,
    /// Whether the job's stated temperature lies in this row.
    pub today: bool,
}

/// A dose of catalyst: by mass and by volume. The millilitres are always fewer than the grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MixDose {
    /// % of the resin's mass.
    pub percent: Decimal,
    /// Millilitres for each kilogram of resin.
    pub ml_per_kg: Decimal,
}

/// The programme.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Programme {
    /// People in the crew.
    pub crew: u32,
    /// Operations in order.
    pub work: Vec<Labour>,
    /// Days.
    pub days: Vec<Day>,
    /// Person-hours that the days hold: each a working day of the whole crew, and longer where more is done on it.
    pub held_hours: Decimal,
    /// The mix card.
    pub mix: Vec<MixRow>,
    /// Warnings for the site: cold, hot, near the dew point, where to stop.
    pub warnings: Vec<SiteWarning>,
    /// Whether the laminate may be laid in the stated weather, and why.
    pub weather: weather::WeatherAnswer,
    /// How warm the surface must be, by air temperature and humidity, for the crew to read on the day.
    pub least_surfaces: Vec<weather::LeastSurfaces>,
    /// The pots; `None` where no dose is known for the stated temperature.
    pub pots: Option<pots::PotPlan>,
    /// What is opened of each roof on each day, where not all is on one.
    pub stops: Vec<Stop>,
    /// What is coated of each roof on each day, the last coat too; none where all roofs are coated together.
    pub coats: Vec<CoatPart>,
    /// What is fitted last before the last coat.
    pub finishes: Vec<FinishPart>,
    /// The roofs whose old covering comes off, by their place in the job: their area, holes taken off.
    pub stripped: Vec<(usize, Area)>,
    /// How long the edges are that one can fall over: all but those at a wall or under another roof.
    pub open_edges: Length,
    /// The roofs whose old boards come off.
    pub old_boards: Vec<OldBoardsOff>,
    /// How each roof lies on the nights on which it is left half done, in the order of the days.
    pub nights: Vec<Night>,
    /// What is wrong with the firm's tables, or does not fit the job.
    pub notices: Vec<Problem>,
    /// For how many parts of operations a share of a day was worked out until the days were planned: what that takes grows as the job does.
    pub worked_out: usize,
}

/// How a roof lies on the nights from the day on which some of it is opened until more of it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Night {
    /// The roof, by its place in the job.
    pub roof: usize,
    /// The first day on which that of it is opened, and that on which it is closed.
    pub days: (u32, u32),
    /// How far what lies beyond the day's line lies below the new roof: the old roof, or the bare deck where no old roof is left.
    pub step: Length,
    /// Whether old roof is left beyond the boards.
    pub leaves_old: bool,
    /// Whether firrings go on past where the boards of the day end: sawn through there where old roof is left, else whole.
    pub firrings_past: bool,
}

impl Night {
    /// Whether it comes after what a stop tells.
    pub fn is_after(&self, stop: &Stop, job: &Job) -> bool {
        self.days == (stop.first_day, stop.day) && job.roofs.get(self.roof).is_some_and(|roof| roof.name == stop.roof)
    }

    /// Whether a sheet laid down over the step would hold the rain.
    pub fn is_step(&self) -> bool {
        self.step > LOW_STEP
    }
}

impl Programme {
    /// All person-hours of the operations, without set-up.
    pub fn hours(&self) -> Decimal {
        self.work.iter().map(|w| w.hours).sum()
    }

    /// What is fitted last, all of it in words: `Fit the flashing and refit the gutter`.
    pub fn fitted_last(&self) -> Option<String> {
        labour::fitted_last(&self.work)
    }

    /// What is worked on a day, in its order.
    pub fn works_on(&self, day: &Day) -> impl Iterator<Item = &Labour> {
        day.work.iter().filter_map(|(i, _)| self.work.get(*i))
    }

    /// Whether an operation is worked at on a day.
    pub fn is_worked_on(&self, operation: Operation, day: &Day) -> bool {
        self.works_on(day).any(|work| work.operation == operation)
    }

    /// The last day on which an operation is worked at.
    pub fn last_day_of(&self, operation: Operation) -> Option<&Day> {
        self.days.iter().rfind(|day| self.is_worked_on(operation, day))
    }

    /// Whether a gutter is put back on a day on which what is over it is coated: not where its roof was finished before.
    pub fn refits_gutter_under_wet_coat(&self) -> bool {
        let coats = |day: &Day| self.is_worked_on(Operation::Topcoat, day);
        let hard = |day: &Day| self.finishes.iter().any(|part| part.day == day.number);
        self.days.iter().any(|day| coats(day) && self.works_on(day).any(Labour::refits_gutter) && !hard(day))
    }

    /// Person-hours of the days in which nothing is done and nothing is waited for.
    pub fn unpaid_hours(&self) -> Decimal {
        (self.held_hours - self.paid_hours()).max(Decimal::ZERO)
    }

    /// In how many weeks, from Monday to Sunday, the days lie, and those between; five days a week where none has a date.
    pub fn weeks(&self) -> u32 {
        let monday = |date: Date| date.to_julian_day() - i32::from(date.weekday().number_days_from_monday());
        let mut dates = self.days.iter().filter_map(|day| day.date);
        match (dates.next(), dates.next_back()) {
            (Some(first), last) => ((monday(last.unwrap_or(first)) - monday(first)) / 7 + 1).unsigned_abs(),
            (None, _) => (self.days.len() as u32).div_ceil(5),
        }
    }

    /// All person-hours that are paid, set-up and waiting included.
    pub fn paid_hours(&self) -> Decimal {
        self.days.iter().map(Day::paid_hours).sum()
    }
}

/// Plans the work of a job that was laid out. `crew` is the number of people, at least one; nobody works on weekends
/// and `holidays`.
pub fn plan(
    job: &Job,
    take_off: &TakeOff,
    rules: &Rules,
    catalyst_density: Decimal,
    crew: u32,
    holidays: &[Date],
) -> Programme {
    let air = job.air();
    let work = labour::operations(job, &take_off.works, &take_off.lines, rules);
    let planned = days::plan(&days::Planning { job, take_off, rules, crew, holidays, work: &work });
    let weather = weather_of(job, rules);
    let mut notices = mix::problems(rules, air);
    notices.extend(pots::problem(take_off, rules, air));
    notices.extend(weather::stops(&weather));
    notices.extend(too_long(planned.days.len()));
    notices.extend(planned.warnings.iter().find_map(too_old));
    notices.extend(coat_days(&planned, &work, rules));
    notices.extend(day_off(job, &planned.days));
    let nights = nights(job, take_off, &planned.stops, rules);
    notices.extend(night_steps(job, &nights));
    Programme {
        crew: crew.max(1),
        warnings: site_warnings(&weather, mix::outside(rules, air), planned.warnings),
        mix: mix::card(rules, catalyst_density, air),
        pots: pots::plan(take_off, rules, catalyst_density, air, &planned.days, &planned.coats),
        least_surfaces: weather::least_surfaces(rules),
        stripped: stripped(take_off),
        open_edges: open_edges(take_off),
        old_boards: old_boards(job, take_off, rules),
        work,
        held_hours: held(&planned.days, rules.day_hours * Decimal::from(crew.max(1))),
        days: planned.days,
        stops: planned.stops,
        coats: planned.coats,
        finishes: planned.finishes,
        worked_out: planned.worked_out,
        weather,
        nights,
        notices,
    }
}

/// Person-hours that the days hold.
fn held(days: &[Day], whole: Decimal) -> Decimal {
    days.iter().map(|day| day.paid_hours().max(whole)).sum()
}

/// Tells that a laminate must be abraded before its topcoat, which is in no norm.
fn too_old(warning: &SiteWarning) -> Option<Problem> {
    let SiteWarning::StaleLaminate { hours, most, .. } = warning else { return None };
    let fault = format!(
        "a laminate is {hours} hours old when its topcoat comes, over the {most} that it may be (recoat_hours): it is abraded \
         and wiped before, and neither hours nor discs for that are in the price"
    );
    let cure = "add an extra for it; or give `recoat_hours` of the resin's data sheet";
    Some(Problem::warning(Warned::OldLaminate, ["extras"], fault, cure))
}

/// Tells of days on which strips are coated and nothing else is done, because their laminate may not wait for the last coat: where one
/// coat at the end would take fewer days.
fn coat_days(planned: &days::Planned, work: &[Labour], rules: &Rules) -> Option<Problem> {
    let days: Vec<String> = planned.coat_days(work).map(|day| day.to_string()).collect();
    let more = planned.more_for_coats;
    if more == 0 || days.is_empty() {
        return None;
    }
    let (which, are) = if days.len() == 1 { ("day", "is") } else { ("days", "are") };
    let fault = format!(
        "{which} {} {are} for topcoat alone, since no laminate may wait longer than {} hours for it (recoat_hours)",
        list(&days),
        rules.recoat_hours
    );
    let cure = format!(
        "take a resin whose laminate may wait longer and give its `recoat_hours`, have what is too old abraded before one coat at \
         the end, or bring a larger crew; one coat at the end takes {} less",
        plural(more, "day", "days")
    );
    Some(Problem::warning(Warned::OldLaminate, ["roofs"], fault, cure))
}

/// A sheet that is laid down over a step no higher than this holds no rain that matters.
const LOW_STEP: Length = Length::mm(30);

/// What [`Programme::nights`] holds. Old roof, or bare joists, are left beyond the boards of a day; the new roof stands over them by deck
/// and firrings where those boards end, and at the line, where what lies over the deck of a warm roof is sawn off, by all of it. Where
/// none is left, that is what stands over the bare deck: so it is while what is left is boarded and not yet closed.
fn nights(job: &Job, take_off: &TakeOff, stops: &[Stop], rules: &Rules) -> Vec<Night> {
    let mut all: Vec<Night> = take_off.roofs.iter().flat_map(|laid| nights_of(laid, job, stops, rules)).collect();
    all.sort_by_key(|night| night.days);
    all
}

fn nights_of(laid: &RoofLayout, job: &Job, stops: &[Stop], rules: &Rules) -> Vec<Night> {
    let index = laid.shape.index;
    let Some(roof) = job.roofs.get(index) else { return Vec::new() };
    let tape = StripTape::of(laid);
    let (mut closed, mut found): (Vec<Stretch>, Vec<Night>) = (Vec::new(), Vec::new());
    for stop in stops.iter().filter(|s| s.roof == roof.name && !s.box_gutters) {
        let is_first = closed.is_empty();
        let opens: Vec<Stretch> = stop.opens.iter().map(|(from, to)| (from.as_mm(), to.as_mm())).collect();
        closed = joined(&closed, &opens);
        if !stop.divides_roof() && stop.first_day == stop.day {
            continue;
        }
        // Where the deck is laid to the high edge, what lies over it is sawn off at the line all the same.
        let step = match (stop.left.is_empty(), stop.divides_roof() || !is_first) {
            (false, _) => step_at(stop, &closed, (roof, laid), rules),
            (true, true) => over_deck::height(roof),
            (true, false) => Length::ZERO,
        };
        let ends = stop.left.iter().flat_map(|s| [s.0.as_mm(), s.1.as_mm()]);
        let goes_on = |at: Stretch| ends.clone().any(|end| at.0 < end && end < at.1);
        found.push(Night {
            roof: index,
            days: (stop.first_day, stop.day),
            step,
            leaves_old: !stop.left.is_empty() && job.strip_of(roof).is_some(),
            firrings_past: laid.firrings.iter().any(|f| goes_on(tape.stretch(&[f.from, f.to]))),
        });
    }
    found
}

/// How far the new roof stands over the old one at most when a day ends.
fn step_at(stop: &Stop, closed: &[Stretch], (roof, laid): (&Roof, &RoofLayout), rules: &Rules) -> Length {
    let deck = |up: i64| laid.deck_rise + falls::firring_at(&laid.shape, roof, rules, Length::mm(up));
    let over = over_deck::height(roof);
    if stop.from_left {
        // The line runs up the fall, to the highest corner.
        let up = laid.shape.corners.iter().map(|c| laid.shape.up_from_low(c.at).round() as i64).max();
        return deck(up.unwrap_or_default()) + over;
    }
    let inside = |line: &i64| (1..stop.extent.as_mm()).contains(line);
    let lines = closed.iter().flat_map(|s| [s.0, s.1]).filter(inside).map(|line| deck(line) + over);
    let ends = stop.boards_to.iter().map(|at| deck(at.as_mm()));
    lines.chain(ends).max().unwrap_or_default()
}

/// Tells of each roof on which a sheet laid down would hold the rain: the crew copes with it, so that there is nothing to decide.
fn night_steps(job: &Job, nights: &[Night]) -> Vec<Problem> {
    let told = |(i, roof): (usize, &Roof)| {
        let most = nights.iter().filter(|night| night.roof == i && night.is_step()).map(|night| night.step).max()?;
        let fault = format!(
            "it is laid over several days, and at a day's line what lies beyond is up to {most} below the new roof: the sheet for \
             the night is carried over timbers, as the method statement says"
        );
        let cure = "bring a larger crew where fewer nights should stay open";
        Some(Problem::assumed(roof.path.key("deck"), fault, cure))
    };
    job.roofs.iter().enumerate().filter_map(told).collect()
}

/// Tells of a start on a day on which nobody works, or else of the first day of the work that is a bank holiday.
fn day_off(job: &Job, days: &[Day]) -> Option<Problem> {
    let told = |fault: String, cure: String| Problem::warning(Warned::DayOff, ["start"], fault, cure);
    let (start, first) = (job.start?, days.first()?.date?);
    if start != first {
        let what = match start.weekday() {
            day @ (Weekday::Saturday | Weekday::Sunday) => format!("a {day}"),
            _ => "one of the firm's `holidays`".to_owned(),
        };
        let fault = format!(
            "the start, {start}, is {what}: nobody works, and the work is planned from {} {first}",
            first.weekday()
        );
        return Some(told(fault, format!("write the day on which you begin, `start: {first}`")));
    }
    let (day, date, name) = days.iter().find_map(|day| Some((day.number, day.date?, bank_holiday(day.date?)?)))?;
    let what = if day == 1 { format!("the start, {date},") } else { format!("day {day} of the work, {date},") };
    let fault = format!("{what} is {name} in England and Wales: merchants and tips are shut, neighbours at home");
    let cure = format!("begin on another day; or add {date} to `holidays` of the firm file, if nobody works then");
    Some(told(fault, cure))
}

/// Tells a job that nobody would plan day by day.
fn too_long(days: usize) -> Option<Problem> {
    let Most { what, most } = limits::DAYS;
    (days > most).then(|| {
        let fault = format!("the job takes {days} {what}: more than {most} are not planned");
        Problem::fault(["rules"], fault, "check `day_hours` and the norms that begin with `hours_`, or split the job")
            .within(Source::Firm)
    })
}

/// The answer for the weather of every roof: one where they have the same, else the gravest with the checks of each.
fn weather_of(job: &Job, rules: &Rules) -> weather::WeatherAnswer {
    let mut each: Vec<(Conditions, Vec<String>)> = Vec::new();
    for roof in &job.roofs {
        let stated = job.conditions_of(roof);
        match each.iter_mut().find(|(other, _)| *other == stated) {
            Some((_, roofs)) => roofs.push(roof.name.clone()),
            None => each.push((stated, vec![roof.name.clone()])),
        }
    }
    for roof in &job.old_roofs {
        match each.iter_mut().find(|(other, _)| *other == job.conditions) {
            Some((_, roofs)) => roofs.push(roof.name.clone()),
            None => each.push((job.conditions.clone(), vec![roof.name.clone()])),
        }
    }
    match &each[..] {
        [] => weather::judge(&job.conditions, rules),
        [(all, _)] => weather::judge(all, rules),
        _ => {
            weather::together(each.into_iter().map(|(stated, roofs)| (weather::judge(&stated, rules), roofs)).collect())
        }
    }
}

fn stripped(take_off: &TakeOff) -> Vec<(usize, Area)> {
    let on = |r: &&crate::takeoff::layout::RoofLayout| take_off.works.has_on(WorkKind::Strip, r.shape.index);
    take_off.roofs.iter().filter(on).map(|r| (r.shape.index, r.shape.area)).collect()
}

/// The edges of all roofs that one can fall over. What nobody has said of the side of an old roof counts as open.
fn open_edges(take_off: &TakeOff) -> Length {
    let is_open = |finish: Finish| matches!(finish, Finish::Drip | Finish::Raised | Finish::Gutter);
    let new = take_off.roofs.iter().flat_map(|roof| &roof.shape.sides);
    let new = new.filter(|side| is_open(side.finish) || side.coped.is_some()).map(|side| side.run);
    let old = take_off.old_roofs.iter().flat_map(|roof| &roof.sides);
    let old = old.filter(|side| side.finish.is_none_or(is_open)).map(|side| side.length);
    new.chain(old).sum()
}

/// The boards of an old deck, as they are tipped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldBoardsOff {
    /// The roof, by its place in the job.
    pub roof: usize,
    /// The area that they come off.
    pub area: Area,
    /// Their thickness.
    pub thickness: Length,
    /// How much more they fill than their own volume, %.
    pub loose: Decimal,
    /// Their density, kg/m³.
    pub density: Decimal,
}

impl OldBoardsOff {
    /// Their own volume, m³: area × thickness.
    pub fn solid(&self) -> Decimal {
        self.area.square_metres() * self.thickness.metres()
    }

    /// What they fill of a skip, m³.
    pub fn volume(&self) -> Decimal {
        self.solid() * (Decimal::ONE_HUNDRED + self.loose) / Decimal::ONE_HUNDRED
    }

    /// What they weigh.
    pub fn mass(&self) -> Mass {
        Mass::kg(self.solid() * self.density)
    }
}

fn old_boards(job: &Job, take_off: &TakeOff, rules: &Rules) -> Vec<OldBoardsOff> {
    let of = |r: &crate::takeoff::layout::RoofLayout| {
        let roof = r.shape.index;
        let thickness = job.strip_of(job.roofs.get(roof)?)?.boards_off()?;
        Some(OldBoardsOff {
            roof,
            area: r.shape.area,
            thickness,
            loose: rules.old_board_loose,
            density: rules.old_board_density,
        })
    };
    take_off.roofs.iter().filter_map(of).collect()
}

/// What the crew must hear first: stops and cautions of the weather, doses outside the table, then the days' warnings.
fn site_warnings(
    weather: &weather::WeatherAnswer,
    no_dose: Option<mix::Outside>,
    days: Vec<SiteWarning>,
) -> Vec<SiteWarning> {
    use weather::WeatherVerdict;
    let told = weather
        .checks
        .iter()
        .filter(|c| matches!(c.verdict, WeatherVerdict::Stop | WeatherVerdict::While | WeatherVerdict::Care));
    let told = told.cloned().map(SiteWarning::Weather);
    told.chain(no_dose.map(SiteWarning::NoDose)).chain(days).collect()
}
