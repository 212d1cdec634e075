//! Where to stop each day, in words.
//!
//! Given the stops of the programme; gives a line a day, with every roof of that day and lengths that a tape finds.

use super::super::{WholeJob, site_words, wording};
use crate::model::Length;
use crate::model::job::By;
use crate::programme::{CoatBeside, CoatPart, Stop};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The days of one line, from the first to the last, and the line.
pub(super) struct StopLine {
    /// The first day of it.
    pub first_day: u32,
    /// The last.
    pub day: u32,
    /// `Day 1: strip 1, from the low edge to 1.00 m up (4.2 m²).`
    pub words: String,
}

/// A line for each day on which some of a roof is opened.
pub(super) fn stop_lines(worked: &WholeJob<'_>) -> Vec<StopLine> {
    let several = worked.job.roofs.len() > 1;
    let line = |of_day: &[Stop]| {
        let (first_day, day) = (of_day[0].first_day, of_day[0].day);
        let days = match day - first_day {
            0 => format!("Day {day}"),
            1 => format!("Days {first_day} and {day}"),
            _ => format!("Days {first_day} to {day}"),
        };
        let roofs: Vec<String> = of_day.iter().map(|s| on_roof(s, several, worked)).collect();
        StopLine { first_day, day, words: format!("{days}: {}.", roofs.join("; ")) }
    };
    worked.programme.stops.chunk_by(|a, b| a.day == b.day).map(line).collect()
}

/// What is coated on each day, and on which day what is fitted last follows, where not all roofs are coated together.
pub(super) struct ByDay {
    /// `day 5: Roof 1 all over; Roof 2, strips 1 and 2`.
    pub coats: Vec<String>,
    /// `day 6: Roof 1`.
    pub finishes: Vec<String>,
}

/// A line for each day on which something is coated, and for each on which something is fitted last before the last coat.
pub(super) fn by_day(worked: &WholeJob<'_>) -> ByDay {
    let programme = worked.programme;
    let coats = programme.coats.chunk_by(|a, b| a.day == b.day);
    let coats = coats.map(|of_day| format!("day {}: {}", of_day[0].day, coated(of_day, worked)));
    let mut days: Vec<u32> = programme.finishes.iter().map(|f| f.day).collect();
    days.sort_unstable();
    days.dedup();
    let finishes = days.into_iter().map(|day| format!("day {day}: {}", wording::list(&finished_on(day, worked))));
    ByDay { coats: coats.collect(), finishes: finishes.collect() }
}

/// The roofs on which what is fitted last is done on a day before the last coat.
pub(super) fn finished_on(day: u32, worked: &WholeJob<'_>) -> Vec<String> {
    worked.programme.finishes.iter().filter(|f| f.day == day).map(|f| f.roof.clone()).collect()
}

/// What is coated on one day: `strips 1 and 2`, `Roof 1 all over; Roof 2, strips 1 and 2`.
pub(super) fn coated(of_day: &[CoatPart], worked: &WholeJob<'_>) -> String {
    let several = worked.job.roofs.len() > 1;
    let words = |part: &CoatPart| {
        let what = match coated_of_roof(part) {
            None if several => format!("{} all over", part.roof),
            None => "all over".to_owned(),
            Some(strips) if several => format!("{}, {strips}", part.roof),
            Some(strips) => strips,
        };
        let after = if part.beside == CoatBeside::AfterStrips { " (after the day’s strips)" } else { "" };
        format!("{what}{after}")
    };
    of_day.iter().map(words).collect::<Vec<_>>().join("; ")
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

/// `old roof off over it, copings off at its ends, `: what comes off before a box gutter is built; nothing on bare joists.
fn gutter_opens(stop: &Stop, worked: &WholeJob<'_>) -> String {
    let Some(roof) = worked.job.roofs.iter().find(|roof| roof.name == stop.roof) else { return String::new() };
    let copings = roof.outline.edges.iter().filter_map(|e| e.coping.as_ref()).any(|coping| coping.by == By::Us);
    let old = if worked.job.strip_of(roof).is_some() { "old roof off over it, " } else { "" };
    let levels = worked.take_off.works.has(WorkKind::LevelTops);
    let off = match (copings, levels) {
        (true, true) => "all copings off, ",
        (true, false) => "copings off at its ends, ",
        (false, _) => "",
    };
    format!("{old}{off}{}", if levels { "tops under stones levelled, " } else { "" })
}

fn on_roof(stop: &Stop, several: bool, worked: &WholeJob<'_>) -> String {
    let area = wording::square_metres(stop.opened);
    let named = |words: String| if several { format!("{}, {words}", stop.roof) } else { words };
    if stop.box_gutters {
        let off = gutter_opens(stop, worked);
        let to_tops = if covers_tops(stop, worked) { ", at the ends to the wall tops and no further" } else { "" };
        return named(format!("the box gutter alone: {off}built and lined{to_tops}; sheet it up onto the old roof"));
    }
    let opens_all = stop.opens == [(Length::ZERO, stop.extent)];
    let tops = match stop.gutter_ends.as_slice() {
        [] => String::new(),
        marks => format!("; the gutter’s lining closed over the wall tops: {}", wording::list(marks)),
    };
    if stop.whole_roof && (opens_all || stop.strips.is_empty()) {
        return named(format!("the whole roof is closed ({area}){tops}"));
    }
    let word = if site_words::are_several(&stop.strips) { "strips" } else { "strip" };
    let stretches: Vec<String> = stop.opens.iter().map(|s| stretch(stop, *s)).collect();
    let strips = format!("{word} {}", site_words::strips(&stop.strips));
    let lies = [&[strips], stretches.as_slice()].concat().join(", ");
    let closed = if stop.whole_roof { ": the whole roof is closed" } else { "" };
    let timbers = [("battens", &stop.battens_past), ("edge timber", &stop.timber_past)];
    let timbers = timbers.into_iter().filter_map(|(what, sides)| along(what, sides, stop, worked)).collect::<Vec<_>>();
    let past = match [stop.trims_past.as_slice(), &stop.parapets_past, &timbers].concat() {
        marks if marks.is_empty() => String::new(),
        marks => format!("; past it: {}", wording::list(&marks)),
    };
    named(format!(
        "{lies}{closed} ({area}){tops}{}{past}{}{}",
        boards(stop),
        at_openings(stop),
        over_days_off(stop, worked)
    ))
}

/// Whether the lining of a roof's box gutters is closed over the tops of walls at their ends.
fn covers_tops(stop: &Stop, worked: &WholeJob<'_>) -> bool {
    let roof = worked.take_off.roofs.iter().find(|roof| roof.shape.name == stop.roof);
    roof.is_some_and(|roof| roof.box_gutters.iter().flat_map(|g| &g.mat).any(|piece| piece.over.is_some()))
}

/// `battens (right, left)`.
fn along(what: &str, sides: &[usize], stop: &Stop, worked: &WholeJob<'_>) -> Option<String> {
    let roof = worked.take_off.roofs.iter().find(|roof| roof.shape.name == stop.roof)?;
    let names: Vec<&str> = sides.iter().map(|side| roof.shape.sides[*side].label.as_str()).collect();
    (!names.is_empty()).then(|| format!("{what} ({})", names.join(", ")))
}

/// `; it stops at the rooflight: the sheet goes over it, not up to it`.
fn at_openings(stop: &Stop) -> String {
    let them = if stop.openings.len() == 1 { "it" } else { "them" };
    let names: Vec<String> = stop.openings.iter().map(|name| format!("the {name}")).collect();
    match names.as_slice() {
        [] => String::new(),
        names => format!("; it stops at {}: the sheet goes over {them}, not up to {them}", wording::list(names)),
    }
}

/// `; the roof lies under its sheet until Monday 22 February: agree who looks after that`, where nobody works on the next day.
fn over_days_off(stop: &Stop, worked: &WholeJob<'_>) -> String {
    let on = |number: u32| worked.programme.days.get(number as usize - 1).and_then(|day| day.date);
    let lies = |what: &str, today: u32, next: u32| {
        let (_, next) = on(today).zip(on(next)).filter(|(today, next)| (*next - *today).whole_days() > 1)?;
        let until = wording::day_and_date(next);
        Some(format!("; the {what} lies under its sheet until {until}: agree who looks after that"))
    };
    let begun = || (stop.first_day..stop.day).find_map(|day| lies("bare deck", day, day + 1));
    let half_done = || {
        let goes_on = |next: &&Stop| next.roof == stop.roof && next.first_day > stop.day;
        let next = worked.programme.stops.iter().find(goes_on).filter(|_| !stop.whole_roof)?;
        lies("roof", stop.day, next.first_day)
    };
    begun().or_else(half_done).unwrap_or_default()
}

/// `from 1.00 m to 1.95 m up`.
fn stretch(stop: &Stop, (from, to): (Length, Length)) -> String {
    let (begins, ends) =
        if stop.from_left { ("the left end", "the right end") } else { ("the low edge", "the high edge") };
    let counted = if stop.from_left { "from the left" } else { "up" };
    let (at_start, at_end) = (from == Length::ZERO, to == stop.extent);
    let (a, b) = (wording::metres(from), wording::metres(to));
    match (at_start, at_end) {
        (true, true) => format!("from {begins} to {ends}"),
        (true, false) => format!("from {begins} to {b} {counted}"),
        (false, true) => format!("from {a} {counted} to {ends}"),
        (false, false) => format!("from {a} to {b} {counted}"),
    }
}

/// `; the boards at the line reach 1.20 m`; where they go on to an edge, that all the roof as far as there is open.
fn boards(stop: &Stop) -> String {
    let end = |to: &Length| match *to {
        Length::ZERO if stop.from_left => "the left end".to_owned(),
        Length::ZERO => "the low edge".to_owned(),
        to if to == stop.extent && stop.from_left => "the right end".to_owned(),
        to if to == stop.extent => "the high edge".to_owned(),
        to => wording::metres(to),
    };
    let ends: Vec<String> = stop.boards_to.iter().map(end).collect();
    let to_an_edge = stop.boards_to.iter().any(|to| *to == Length::ZERO || *to == stop.extent);
    let open = if to_an_edge { ", so the roof is open as far: sheet all of it" } else { "" };
    match ends.as_slice() {
        [] => String::new(),
        ends => format!("; the boards at the line reach {}{open}", wording::list(ends)),
    }
}
