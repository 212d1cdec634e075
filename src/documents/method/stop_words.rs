//! Where to stop each day, in words.
//!
//! Given the stops of the programme; gives a table with a row for each roof of a day, on a card a line, with lengths that a tape finds,
//! and what else is to be heard of a day. A column in which no day has anything is left out.

use super::super::cells::{cell, plain, strong, wide};
use super::super::words::escape;
use super::super::{WholeJob, site_words, wording};
use crate::model::Length;
use crate::model::job::By;
use crate::pages::block::Table;
use crate::programme::{CoatBeside, CoatPart, Operation, Stop};
use crate::takeoff::layout::RoofLayout;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// What differs from day to day of where to stop: of some days, or of all.
pub(super) struct StopDays<'a> {
    worked: &'a WholeJob<'a>,
    stops: Vec<&'a Stop>,
    /// The day of whose card it is told.
    of_day: Option<u32>,
}

impl<'a> StopDays<'a> {
    /// Of every day.
    pub(super) fn all(worked: &'a WholeJob<'a>) -> StopDays<'a> {
        StopDays { worked, stops: worked.programme.stops.iter().collect(), of_day: None }
    }

    /// Of one day, for its card.
    pub(super) fn of_day(day: u32, worked: &'a WholeJob<'a>) -> StopDays<'a> {
        StopDays {
            worked,
            stops: worked.programme.stops.iter().filter(|stop| stop.is_on(day)).collect(),
            of_day: Some(day),
        }
    }

    /// A row for each roof of a day; none where nothing but box gutters is closed.
    pub(super) fn table(&self) -> Option<Table> {
        if self.stops.iter().all(|stop| stop.box_gutters) {
            return None;
        }
        let several = self.worked.job.roofs.len() > 1;
        let row = |stop: &&Stop| {
            [
                wording::on_a_line(&days_of(stop)),
                if several { wording::on_a_line(&self.worked.short_name(&stop.roof)) } else { String::new() },
                wording::on_a_line(&site_words::strips(&stop.strips)),
                laminated(stop),
                boards(stop),
                past(stop, self.worked),
                self.night_step(stop).unwrap_or_default(),
            ]
        };
        let rows: Vec<[String; 7]> = self.stops.iter().map(row).collect();
        let is_told = |column: &usize| rows.iter().any(|row| !row[*column].is_empty());
        let told: Vec<usize> = (0..HEADINGS.len()).filter(is_told).collect();
        let columns = told.iter().map(|&column| wide(HEADINGS[column].0, HEADINGS[column].1));
        let words = |row: &[String; 7], column: usize| match row[column].as_str() {
            "" => cell("–"),
            words if column == 0 || column == 3 => strong(words),
            words => cell(words),
        };
        let cells = rows.iter().map(|row| plain(told.iter().map(|&column| words(row, column)).collect()));
        Some(Table { columns: columns.collect(), rows: cells.collect(), header: true })
    }

    /// A line for each roof of a day, as Markdown: `**Laminate 1.00 m to 1.95 m up, 4.1 m²**; boards reach 2.36 m`. A box gutter that is
    /// closed alone is told by its note.
    pub(super) fn lines(&self) -> Vec<String> {
        let several = self.worked.job.roofs.len() > 1;
        // How far a sheet would hang is told of the sheet, where there is one line.
        let steps = |stop: &Stop| self.night_step(stop).filter(|_| self.stops.len() > 1);
        let words = |stop: &&Stop| {
            // What takes more than a day is laid on the last of them: before, there are boards alone.
            let what = match self.of_day.is_some_and(|day| day < stop.day) {
                true => format!("boards from {}, no laminate today", stretches(stop)),
                false => format!("laminate {}", laminated(stop)),
            };
            let what = if several { format!("{}: {what}", stop.roof) } else { wording::capital(&what) };
            let old = self.worked.job.roofs.iter().find(|roof| roof.name == stop.roof);
            let off = old.and_then(|roof| self.worked.job.strip_of(roof)).map_or("", |_| ", the old edge off as far");
            let told = [
                Some(boards(stop)).filter(|words| !words.is_empty()).map(|to| format!("boards reach {to}")),
                steps(stop).map(|step| format!("night step {step}")),
                Some(past(stop, self.worked))
                    .filter(|words| !words.is_empty())
                    .map(|past| format!("past the line, whole and propped{off}: {past}")),
            ];
            let told: String = told.into_iter().flatten().map(|words| format!("; {}", escape(&words))).collect();
            format!("**{}**{told}.", escape(&what))
        };
        self.stops.iter().filter(|stop| !stop.box_gutters).map(words).collect()
    }

    /// How far what lies beyond the line lies below the new roof that night, where a sheet laid down there would hold the rain.
    fn night_step(&self, stop: &Stop) -> Option<String> {
        let programme = self.worked.programme;
        let mut of_stop = programme.nights.iter().filter(|night| night.is_after(stop, self.worked.job));
        of_stop.find(|night| night.is_step()).map(|night| night.step.to_string())
    }

    /// What else is to be heard, as Markdown, with its days before it but on a card: what is alike on several days is said once.
    pub(super) fn notes(&self) -> Vec<String> {
        let several = self.worked.job.roofs.len() > 1;
        let mut all: Vec<(String, Vec<String>)> = Vec::new();
        for &stop in &self.stops {
            let of_stop = notes_of(stop, self.worked).into_iter().map(|note| (days_of(stop), note));
            // Days off are told on the card of the day before them alone.
            let is_told = |off: &DaysOff| self.of_day.is_none_or(|today| today == off.day);
            let off = over_days_off(stop, self.worked).into_iter().filter(is_told);
            for (days, note) in of_stop.chain(off.map(|off| (off.day.to_string(), off.words()))) {
                let note = if several { format!("{}: {note}", stop.roof) } else { wording::capital(&note) };
                match all.iter_mut().find(|(known, _)| *known == note) {
                    Some((_, of)) => of.push(days),
                    None => all.push((note, vec![days])),
                }
            }
        }
        let told = |(note, of): (String, Vec<String>)| match self.of_day {
            Some(_) => escape(&format!("{note}.")),
            None => {
                let days = wording::once(of);
                let word = if days.len() > 1 || days.iter().any(|days| days.contains(' ')) { "Days" } else { "Day" };
                format!("**{word} {}:** {}.", wording::list(&days), escape(&note))
            }
        };
        all.into_iter().map(told).collect()
    }
}

/// What the columns are headed, and how wide they are beside one another.
const HEADINGS: [(&str, u8); 7] = [
    ("Day", 2),
    ("Roof", 5),
    ("Strips", 3),
    ("Laminate to", 6),
    ("Boards reach", 3),
    ("Past the line", 6),
    ("Night step", 3),
];

/// `1`, `2 to 4`: the days of one line.
fn days_of(stop: &Stop) -> String {
    from_to(&(stop.first_day..=stop.day).collect::<Vec<_>>())
}

/// `5`, `5 and 6`, `5 to 7`.
fn from_to(days: &[u32]) -> String {
    match days {
        [] => String::new(),
        [one] => one.to_string(),
        [first, second] => format!("{first} and {second}"),
        [first, .., last] => format!("{first} to {last}"),
    }
}

/// What is coated on each day, and on which day what is fitted last follows, where not all roofs are coated together.
pub(super) struct ByDay {
    /// `day 5: Roof 1 all over; Roof 2, strips 1 and 2`.
    pub coats: Vec<String>,
    /// `day 6: Roof 1`.
    pub finishes: Vec<String>,
}

/// A line for each day on which something is coated, and for each on which something is fitted last where any is before the last coat.
pub(super) fn by_day(worked: &WholeJob<'_>) -> ByDay {
    let programme = worked.programme;
    // Old laminates have a sheet of their own.
    let is_new = |part: &&CoatPart| worked.job.roofs.iter().any(|roof| roof.name == part.roof);
    let coats: Vec<CoatPart> = programme.coats.iter().filter(is_new).cloned().collect();
    let coats = coats.chunk_by(|a, b| a.day == b.day);
    let coats = coats.map(|of_day| format!("day {}: {}", of_day[0].day, coated_where(of_day, worked)));
    let mut days: Vec<u32> = programme.finishes.iter().map(|f| f.day).collect();
    days.sort_unstable();
    days.dedup();
    let done = |day: u32| finished_on(day, worked).iter().map(|roof| worked.short_name(roof)).collect::<Vec<_>>();
    let finishes = days.iter().map(|&day| format!("day {day}: {}", wording::list_of_roofs(&done(day))));
    let finishes = finishes.chain(finished_after(days.last().copied(), worked));
    ByDay { coats: coats.collect(), finishes: finishes.collect() }
}

/// `day 36: Roof 12`: the roofs on which what is fitted last waits for the last coat, where others are done by a day before it.
fn finished_after(before: Option<u32>, worked: &WholeJob<'_>) -> Option<String> {
    let (before, programme) = (before?, worked.programme);
    let names = worked.job.roofs.iter().map(|roof| &roof.name);
    let rest = names.filter(|name| programme.finishes.iter().all(|part| part.roof != **name));
    let rest: Vec<String> = rest.map(|name| worked.short_name(name)).collect();
    let fits = |i: usize| programme.work[i].operation == Operation::Finish;
    let days = programme.days.iter().filter(|day| day.number > before && day.work.iter().any(|(i, _)| fits(*i)));
    let days: Vec<u32> = days.map(|day| day.number).collect();
    let word = if days.len() == 1 { "day" } else { "days" };
    let told = || format!("{word} {}: {}", from_to(&days), wording::list_of_roofs(&rest));
    (!days.is_empty() && !rest.is_empty()).then(told)
}

/// The roofs on which what is fitted last is done on a day before the last coat.
pub(super) fn finished_on(day: u32, worked: &WholeJob<'_>) -> Vec<String> {
    worked.programme.finishes.iter().filter(|f| f.day == day).map(|f| f.roof.clone()).collect()
}

/// What is coated on one day: `strips 1 and 2`, `Roof 1 all over; Roof 2, strips 1 and 2`.
pub(super) fn coated(of_day: &[CoatPart], worked: &WholeJob<'_>) -> String {
    let words = |part: &CoatPart| {
        let when = match part.beside {
            CoatBeside::AfterStrips => " (after the day’s strips)",
            CoatBeside::BeforeStrips => " (before the day’s strips)",
            CoatBeside::Nothing => "",
        };
        format!("{}{when}", coated_on_roof(part, worked))
    };
    of_day.iter().map(words).collect::<Vec<_>>().join("; ")
}

/// The same without when, where the steps that follow name the days on which strips come before or after it.
fn coated_where(of_day: &[CoatPart], worked: &WholeJob<'_>) -> String {
    of_day.iter().map(|part| coated_on_roof(part, worked)).collect::<Vec<_>>().join("; ")
}

/// `Hall, strips 1 and 2`, with the roof's name where there are several.
fn coated_on_roof(part: &CoatPart, worked: &WholeJob<'_>) -> String {
    let several = worked.job.roof_names().count() > 1;
    match coated_of_roof(part) {
        None if several => format!("{} all over", part.roof),
        None => "all over".to_owned(),
        Some(strips) if several => format!("{}, {strips}", part.roof),
        Some(strips) => strips,
    }
}

/// What a coat is laid on, `the box gutter, strips 1 and 2`; none where it is all over the roof.
fn coated_of_roof(part: &CoatPart) -> Option<String> {
    let gutter = part.box_gutters.then(|| "the box gutter".to_owned());
    let parts: Vec<String> = gutter.into_iter().chain(coated_strips(part)).collect();
    (part.share != Decimal::ONE && !parts.is_empty()).then(|| parts.join(", "))
}

/// The strips of a coat, `strips 1 and 2`; none where it is all over the roof, or on none of its strips.
pub(super) fn coated_strips(part: &CoatPart) -> Option<String> {
    let word = if site_words::are_several(&part.strips) { "strips" } else { "strip" };
    let is_in_parts = part.share != Decimal::ONE && !part.strips.is_empty();
    is_in_parts.then(|| format!("{word} {}", site_words::strips(&part.strips)))
}

/// `Old roof off over it, all copings off, tops under stones levelled`: what is done before a box gutter is built; nothing on bare joists.
fn gutter_opens(stop: &Stop, worked: &WholeJob<'_>) -> Option<String> {
    let roof = worked.job.roofs.iter().find(|roof| roof.name == stop.roof)?;
    let copings = roof.outline.edges.iter().filter_map(|e| e.coping.as_ref()).any(|coping| coping.by == By::Us);
    let levels = worked.take_off.works.has(WorkKind::LevelTops);
    let off = match (copings, levels) {
        (true, true) => Some("all copings off"),
        (true, false) => Some("copings off at its ends"),
        (false, _) => None,
    };
    let old = worked.job.strip_of(roof).map(|_| "old roof off over it");
    let all = [old, off, levels.then_some("tops under stones levelled")];
    let all: Vec<&str> = all.into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// What is built where box gutters are lined alone, and how the old roof is kept from running in behind.
fn gutters_alone(stop: &Stop, worked: &WholeJob<'_>) -> String {
    let first = gutter_opens(stop, worked).map(|first| format!("first {first}; then it is ")).unwrap_or_default();
    let to_tops = if covers_tops(stop, worked) { ", at the ends to the wall tops and no further" } else { "" };
    let roof = worked.job.roofs.iter().find(|roof| roof.name == stop.roof);
    let above = match roof.and_then(|roof| worked.job.strip_of(roof)) {
        Some(_) => "upper edge sealed down on the old covering, or tucked under it",
        None => "upper edge battened down on the joists",
    };
    format!(
        "the box gutter alone: {first}built and lined{to_tops}. For the night a sheet over its lip: {above}; lower edge hanging into \
         the gutter, outlet clear"
    )
}

/// What is laminated: `low edge to 1.00 m up, 4.2 m²`.
fn laminated(stop: &Stop) -> String {
    if stop.box_gutters {
        return "the box gutter alone".to_owned();
    }
    let area = wording::square_metres(stop.opened);
    let opens_all = stop.opens == [(Length::ZERO, stop.extent)];
    if stop.whole_roof && (opens_all || stop.strips.is_empty()) {
        return format!("the whole roof, {area}");
    }
    let closed = if stop.whole_roof { ": the whole roof is closed" } else { "" };
    format!("{}, {area}{closed}", stretches(stop))
}

/// From where to where it is opened: `low edge to 1.00 m up`.
fn stretches(stop: &Stop) -> String {
    stop.opens.iter().map(|s| stretch(stop, *s)).collect::<Vec<_>>().join(", ")
}

/// What goes on past the line, trims and linings by their marks, timber by its sides.
fn past(stop: &Stop, worked: &WholeJob<'_>) -> String {
    let timbers = timbers_along(
        [("battens", &stop.battens_past), ("edge timber", &stop.timber_past)]
            .map(|(what, sides)| (what, sides_named(sides, stop, worked))),
    );
    match [stop.trims_past.as_slice(), &stop.parapets_past, &timbers].concat() {
        marks if marks.is_empty() => String::new(),
        marks => wording::list(&marks),
    }
}

/// What is to be heard of a line besides.
fn notes_of(stop: &Stop, worked: &WholeJob<'_>) -> Vec<String> {
    if stop.box_gutters {
        return vec![gutters_alone(stop, worked)];
    }
    let tops = (!stop.gutter_ends.is_empty())
        .then(|| format!("the gutter’s lining is closed over the wall tops: {}", wording::list(&stop.gutter_ends)));
    let roof = roof_of(stop, worked);
    let is_pipe =
        |name: &&String| roof.is_some_and(|roof| roof.shape.holes.iter().any(|h| h.round && h.name == **name));
    let (pipes, openings): (Vec<&String>, Vec<&String>) = stop.openings.iter().partition(is_pipe);
    [tops, at_openings(&openings), at_pipes(&pipes)].into_iter().flatten().collect()
}

/// The roof on which a line lies.
fn roof_of<'a>(stop: &Stop, worked: &WholeJob<'a>) -> Option<&'a RoofLayout> {
    worked.take_off.roofs.iter().find(|roof| roof.shape.name == stop.roof)
}

/// Whether the lining of a roof's box gutters is closed over the tops of walls at their ends.
fn covers_tops(stop: &Stop, worked: &WholeJob<'_>) -> bool {
    let roof = roof_of(stop, worked);
    roof.is_some_and(|roof| roof.box_gutters.iter().flat_map(|g| &g.mat).any(|piece| piece.over.is_some()))
}

fn sides_named<'a>(sides: &[usize], stop: &Stop, worked: &'a WholeJob<'_>) -> Vec<&'a str> {
    let roof = roof_of(stop, worked);
    roof.map(|roof| sides.iter().map(|side| roof.shape.sides[*side].label.as_str()).collect()).unwrap_or_default()
}

/// `battens (right, left)`; where two kinds lie along the same sides `battens`, `edge timber (right, left)`.
pub(super) fn timbers_along(kinds: [(&str, Vec<&str>); 2]) -> Vec<String> {
    let [(_, first), (_, second)] = &kinds;
    let named_once = first == second;
    let words = |(n, (what, sides)): (usize, &(&str, Vec<&str>))| {
        let at = if named_once && n == 0 { String::new() } else { format!(" ({})", sides.join(", ")) };
        (!sides.is_empty()).then(|| format!("{what}{at}"))
    };
    kinds.iter().enumerate().filter_map(words).collect()
}

/// `the line stops at the rooflight: the sheet goes over it, not up to it`.
fn at_openings(openings: &[&String]) -> Option<String> {
    let them = if openings.len() == 1 { "it" } else { "them" };
    let at = wording::list(&openings.iter().map(|name| format!("the {name}")).collect::<Vec<_>>());
    (!openings.is_empty()).then(|| format!("the line stops at {at}: the sheet goes over {them}, not up to {them}"))
}

/// The same of what stands up through the roof and carries air: a sheet over it would be a tent, and would shut it.
fn at_pipes(pipes: &[&String]) -> Option<String> {
    let it = if pipes.len() == 1 { "it" } else { "each" };
    let at = wording::list(&pipes.iter().map(|name| format!("the {name}")).collect::<Vec<_>>());
    (!pipes.is_empty()).then(|| {
        format!("the line stops at {at}: the sheet goes round {it}, slit from its edge, lapped and taped to {it} all round; {it} stays open at its top")
    })
}

/// Days on which nobody works while some of a roof is open.
struct DaysOff {
    /// The day of the programme before them.
    day: u32,
    /// What lies open: the bare deck of a strip that is not laid yet, else the roof.
    what: &'static str,
    /// `Monday 22 February 2027`: when work goes on.
    until: String,
}

impl DaysOff {
    /// `the roof lies under its sheet until Monday 22 February 2027: agree who looks after that`.
    fn words(&self) -> String {
        format!("the {} lies under its sheet until {}: agree who looks after that", self.what, self.until)
    }
}

/// The days off from the first day of a stop until the next one of its roof goes on, or it is closed.
fn over_days_off(stop: &Stop, worked: &WholeJob<'_>) -> Vec<DaysOff> {
    if stop.box_gutters {
        return Vec::new();
    }
    let programme = worked.programme;
    let goes_on = |next: &&Stop| next.roof == stop.roof && next.first_day > stop.day;
    let next = programme.stops.iter().find(goes_on).filter(|_| !stop.whole_roof);
    let end = next.map_or(stop.day, |next| next.first_day);
    let on = |number: u32| programme.days.get(number as usize - 1).and_then(|day| day.date);
    let off = |day: u32| {
        let (_, next) = on(day).zip(on(day + 1)).filter(|(today, next)| (*next - *today).whole_days() > 1)?;
        let what = if day < stop.day { "bare deck" } else { "roof" };
        Some(DaysOff { day, what, until: wording::day_and_date(next) })
    };
    (stop.first_day..end).filter_map(off).collect()
}

/// Until when a roof that is open lies under its sheet, where days off follow a day.
pub(super) fn days_off_after(day: u32, worked: &WholeJob<'_>) -> Option<String> {
    let mut off = worked.programme.stops.iter().flat_map(|stop| over_days_off(stop, worked));
    off.find(|off| off.day == day).map(|off| off.until)
}

/// `1.00 m to 1.95 m up`.
fn stretch(stop: &Stop, (from, to): (Length, Length)) -> String {
    let (begins, ends) = if stop.from_left { ("left end", "right end") } else { ("low edge", "high edge") };
    let counted = if stop.from_left { "from the left" } else { "up" };
    let (at_start, at_end) = (from == Length::ZERO, to == stop.extent);
    let (a, b) = (wording::metres(from), wording::metres(to));
    match (at_start, at_end) {
        (true, true) => format!("{begins} to {ends}"),
        (true, false) => format!("{begins} to {b} {counted}"),
        (false, true) => format!("{a} {counted} to {ends}"),
        (false, false) => format!("{a} to {b} {counted}"),
    }
}

/// How far the boards go that cross the line: `1.20 m`; `4.45 m to high edge`, where some of them end before others.
fn boards(stop: &Stop) -> String {
    let end = |to: Length| match to {
        Length::ZERO if stop.from_left => "left end".to_owned(),
        Length::ZERO => "low edge".to_owned(),
        to if to == stop.extent && stop.from_left => "right end".to_owned(),
        to if to == stop.extent => "high edge".to_owned(),
        to => wording::metres(to),
    };
    let reach = |to: &Length| match least_reach(stop, *to) {
        Some(least) => format!("{} to {}", end(least), end(*to)),
        None => end(*to),
    };
    let ends: Vec<String> = stop.boards_to.iter().map(reach).collect();
    wording::list(&ends)
}

/// Where the boards beside the furthest of a line end before it, and old roof or bare joists lie beyond them.
fn least_reach(stop: &Stop, to: Length) -> Option<Length> {
    const ROUNDED: Length = Length::mm(10);
    let beside = |(from, end): &&(Length, Length)| *from + ROUNDED < to && to <= *end + ROUNDED;
    let upwards = stop.left.iter().filter(beside).map(|(from, _)| *from).min();
    let before = |(from, end): &&(Length, Length)| *from <= to + ROUNDED && to + ROUNDED < *end;
    let is_above = |at: Length| stop.opens.iter().any(|(_, line)| *line <= at + ROUNDED);
    let downwards = || stop.left.iter().filter(before).map(|(_, end)| *end).max();
    match upwards {
        Some(least) if is_above(least) => Some(least),
        _ => downwards().filter(|least| !is_above(*least)),
    }
}

/// Whether boards that cross a line go on to an edge of their roof.
pub(super) fn reach_an_edge(stop: &Stop) -> bool {
    stop.boards_to.iter().any(|to| *to == Length::ZERO || *to == stop.extent)
}
