//! The day card: one day of the programme on one page, to be carried in a pocket. What is done, where to stop, what is
//! mixed, in which weather, who signs.
//!
//! Given what was worked and a day of its programme; gives a document of one page. A pot of the list that lays strips of
//! two days is named on both, and each card says so.

use super::super::cells::{cell, left, right, row, strong, wide};
use super::super::letterhead::{self, Title};
use super::super::words::{Vocabulary, Words};
use super::super::{WholeJob, site_words, told, wording};
use super::CREW_SIZE;
use super::crew::{self, PotsOf};
use super::day_boxes::gutters_lined_alone;
use super::day_pieces::DayPieces;
use super::open_slopes::open_slopes;
use super::stop_words::{StopDays, coated, days_off_after, finished_on};
use super::vocabulary::{
    at_the_line, beside_on_card, colours, gutters_down_on, night_cover, row_of_card, same_day_wait, strips_in_words,
    vocabulary, weight,
};
use crate::model::goods::During;
use crate::model::{Mass, Problem};
use crate::pages::block::{Block, Document, Fitting, Letterhead, Row, RowKind, Span, Table};
use crate::programme::pots::{Pot, PotDose, PotPlan};
use crate::programme::{
    CoatBeside, CoatPart, Day, DayStrip, Labour, LabourPart, Night, SiteWarning, Stop, WaitedFor, WhyBack,
};
use crate::works::{Operation, WorkKind};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The smallest type in which a card of much may be set to stand on its page, pt.
const LEAST_SIZE: f64 = 8.0;
/// What ends a job, on the card of its last day.
const ENDS: &str =
    "water test, clear away, photographs: the list “Hand over” of the crew’s set; edges guarded until it is signed";
/// How a door's sill ends.
const SILLS: &str = "sealant under each as the step says, its drip groove open, water poured against it: dry within";
/// As many pots as a card lists one by one.
const POTS: usize = 6;

/// Makes the card of a day.
///
/// # Errors
/// Whatever is wrong with the templates.
pub fn document(day: &Day, worked: &WholeJob<'_>, words: &Words) -> Result<Document, Vec<Problem>> {
    let card = DayCard { day, worked, pieces: DayPieces::of(day.number, worked) };
    let mut v = vocabulary(worked, words)?;
    card.vocabulary(&mut v, words)?;
    let blocks = with_short_names(words.blocks("day-card.md", &v, &card.places())?, worked);
    let title = Title {
        kind: "Day card",
        reference: format!("Site {}", worked.job.reference),
        subject: format!("What is done on day {} at {}", day.number, worked.job.title),
        text_size: CREW_SIZE,
        fitting: Fitting::PocketCardFrom(LEAST_SIZE),
    };
    let firm = &worked.firm.party;
    let told = [firm.phone.clone(), Some(title.reference.clone())].into_iter().flatten().collect::<Vec<_>>();
    let head = Letterhead { logo: None, name: firm.name.clone(), lines: vec![told.join(" · ")] };
    let document = letterhead::standing_document(worked.parties(), title, blocks, words)?;
    Ok(Document { letterhead: head, ..document })
}

/// The same blocks with the names of several roofs without the words that all of them end with: a card is small.
fn with_short_names(blocks: Vec<Block>, worked: &WholeJob<'_>) -> Vec<Block> {
    let names: Vec<&str> = worked.job.roof_names().map(String::as_str).collect();
    let short = wording::without_what_all_say(&names);
    let shorten = |mut span: Span| {
        for (name, short) in names.iter().zip(&short).filter(|(name, short)| **name != **short) {
            span.text = span.text.replace(name, short);
        }
        span
    };
    let all = |spans: Vec<Span>| spans.into_iter().map(shorten).collect();
    blocks.into_iter().map(|block| block.with_spans(&all)).collect()
}

/// What a work is done to, without the verb: `edge battens` of `fix edge battens`.
fn last_words(work: &str) -> &str {
    work.split_once(' ').map_or(work, |(_, of)| of)
}

/// The works of an operation that its label does not name.
fn named(label: &str, kinds: &[WorkKind]) -> Option<String> {
    let label = label.to_lowercase();
    // By its end, by its beginning, or by its long words: the insulation of "lay insulation over the deck".
    let long = |name: &'static str| name.split(' ').filter(|word| word.len() > 5);
    let is_said = |kind: &&WorkKind| {
        let name = kind.name();
        label.contains(last_words(name))
            || label.split(", ").any(|said| name.starts_with(said))
            || long(name).next().is_some() && long(name).all(|word| label.contains(word))
    };
    let names: Vec<&str> = kinds.iter().filter(|kind| !is_said(kind)).map(|kind| kind.name()).collect();
    (kinds.len() > 1 && !names.is_empty()).then(|| names.join(", "))
}

/// A row with room for who checks before and who signs after: the work, and what is of it today.
fn to_sign(what: &str, of_it: &str) -> Row {
    let told = match of_it {
        "" => strong(what),
        of_it => vec![Span::bold(format!("{what}: ")), Span::plain(of_it)],
    };
    row(RowKind::ToFill, vec![told, cell("\u{a0}"), cell("\u{a0}")])
}

/// The roofs on which something is fitted last, where not all of the job get it: `No. 14`; of several works each with its roofs,
/// `the cover flashing: No. 14`.
fn on_some_roofs(labour: &Labour, worked: &WholeJob<'_>) -> String {
    let all = worked.job.roof_names().count();
    let kinds = wording::once(labour.parts.iter().map(|part| part.work));
    let words = |kind: &WorkKind| {
        let of_kind = labour.parts.iter().filter(|part| part.work == *kind);
        // On the others it was done before, each roof with its coat.
        let is_left = |roof: &String| worked.programme.finishes.iter().all(|f| f.roof != *roof);
        let roofs = wording::once(of_kind.filter_map(|part| part.roof.clone()).filter(is_left));
        let is_said = || roofs.iter().all(|roof| labour.label.contains(roof.as_str()));
        let on_some = !roofs.is_empty() && roofs.len() < all && !is_said();
        let what = if kinds.len() > 1 { format!("{}: ", last_words(kind.name())) } else { String::new() };
        on_some.then(|| format!("{what}{}", wording::list(&roofs)))
    };
    kinds.iter().filter_map(words).collect::<Vec<_>>().join("; ")
}

/// Why nobody was there on the days before, in a few words.
const fn why_back(why: WhyBack) -> &'static str {
    match why {
        WhyBack::Waited(WaitedFor::Mortar) => "the mortar had to dry",
        WhyBack::Waited(WaitedFor::Laminate) => "the laminate had to grow hard",
        WhyBack::Waited(WaitedFor::Trial) => "the trial coat had to grow hard",
        WhyBack::Waited(WaitedFor::Topcoat) => "the topcoat had to grow hard",
        WhyBack::DaysOff => "nobody works on the days before it",
    }
}

struct DayCard<'a> {
    day: &'a Day,
    worked: &'a WholeJob<'a>,
    pieces: DayPieces<'a>,
}

impl DayCard<'_> {
    fn vocabulary(&self, v: &mut Vocabulary, words: &Words) -> Result<(), Vec<Problem>> {
        let (day, programme) = (self.day, self.worked.programme);
        let heard = programme.warnings.iter().filter(|w| self.hears(w));
        let (weather, others): (Vec<_>, Vec<_>) = heard.partition(|w| matches!(w, SiteWarning::Weather(_)));
        let warnings = site_words::warnings(words, others)?;
        let checks =
            weather.into_iter().filter_map(|w| if let SiteWarning::Weather(check) = w { Some(check) } else { None });
        let weather = checks.map(|check| site_words::weather_on_card(words, check)).collect::<Result<Vec<_>, _>>()?;
        let stops = StopDays::of_day(day.number, self.worked);
        let opens = self.does(|o| matches!(o, Operation::Strip | Operation::Deck));
        v.text("day_number", day.number.to_string())
            .text("day_count", programme.days.len().to_string())
            .text("day_colours", wording::capital(&colours(self.worked)))
            .maybe("day_date", day.date.map(wording::day_and_date))
            .maybe("day_again", programme.timetable().why_back(day.number).map(why_back))
            .yes("day_stops", self.stops().next().is_some())
            .filled_lines("day_stop_lines", &stops.lines())
            .filled_lines("day_stop_notes", &stops.notes())
            .yes("day_gutters_alone", self.stops().any(|stop| stop.box_gutters))
            .yes("day_sheets", self.is_left_open())
            .yes("day_coats_below", self.coats_below_open())
            .yes("day_coats_after", self.coats_beside(CoatBeside::AfterStrips))
            .yes("day_coats_before", self.coats_beside(CoatBeside::BeforeStrips))
            .yes("day_opens", opens)
            .yes("day_cuts_back", self.does(|o| o == Operation::Repair))
            .yes("day_slope_open", open_slopes(self.worked).contains(&self.day.number))
            .yes("day_kerb_open", self.kerb_lies_open())
            .maybe("day_off_until", days_off_after(day.number, self.worked))
            .text("day_gutters", wording::list(&gutters_down_on(self.day.number, self.worked)))
            .yes("day_mixes", self.mixes())
            .yes("day_grains", self.strews_grains())
            .texts("day_doses", &self.doses())
            .maybe("in_charge", crew::in_charge(self.worked))
            .yes("in_charge_watches", self.leader_watches())
            .maybe("day_small_pots", self.small_pots().map(|what| wording::capital(&what)))
            .yes("day_seals", self.seals_boards())
            .yes("day_pinholes", self.fills_pinholes())
            .yes("day_topcoats", self.does(|o| o == Operation::Topcoat))
            .yes("day_pots", !self.pots().is_empty())
            .maybe("day_resin", self.resin().map(|mass| wording::kilograms(mass.as_kg())))
            .filled_lines("day_weather", &weather.into_iter().flatten().collect::<Vec<_>>())
            .filled_lines("day_warnings", &warnings);
        self.night(v);
        told::works(v, &self.worked.take_off.works, None);
        Ok(())
    }

    /// Whether who is in charge watches the forecast too.
    fn leader_watches(&self) -> bool {
        let firm = self.worked.firm;
        firm.people.first().is_some_and(|leader| firm.weather_watch.as_ref() == Some(&leader.name))
    }

    /// How the roofs lie that are left open at the end of the day, and what is done at their lines: what the whole job has is said of
    /// this day alone.
    fn night(&self, v: &mut Vocabulary) {
        let (job, programme) = (self.worked.job, self.worked.programme);
        let open: Vec<&Stop> = self.stops().filter(|stop| self.leaves_open(stop)).collect();
        let after = |night: &Night| open.iter().any(|stop| night.is_after(stop, job));
        let has_old = |stop: &&Stop| job.roofs.iter().any(|r| r.name == stop.roof && job.strip_of(r).is_some());
        let leaves_old = programme.nights.iter().any(|night| after(night) && night.leaves_old);
        let is_begun = |stop: &&&Stop| self.day.number < stop.day;
        night_cover(v, self.worked, after);
        at_the_line(v, self.worked, &open);
        v.yes("night_deck_bare", open.iter().any(|stop| is_begun(&stop)))
            .yes("stops_strip", leaves_old || open.iter().filter(is_begun).any(has_old))
            .yes("stops_bare", !open.iter().all(has_old))
            .maybe("sawn_screws", None::<&str>)
            .yes("night_soft", self.leaves_soft())
            .yes("on_card", true);
    }

    /// Whether laminate or topcoat may be soft when the sheet goes over it: of today, or of the day before in the cold, or where it
    /// takes longer than a night anyway.
    fn leaves_soft(&self) -> bool {
        let WholeJob { job, programme, rules, .. } = *self.worked;
        let wets = |day: &Day| {
            let lays = |work: &Labour| matches!(work.operation, Operation::Laminate | Operation::Topcoat);
            gutters_lined_alone(day, self.worked).next().is_some() || programme.works_on(day).any(lays)
        };
        let is_cold = job.air().is_none_or(|air| air.low < rules.second_visit_below);
        let nights = |day: &Day| match self.day.date.zip(day.date) {
            Some((today, then)) => (today - then).whole_days(),
            None => i64::from(self.day.number) - i64::from(day.number),
        };
        let is_soft = |day: &&Day| {
            let nights = nights(day);
            nights == 0 || is_cold && nights == 1 || Decimal::from(24 * nights) < rules.cure_hours
        };
        programme.days.iter().filter(|day| day.number <= self.day.number).filter(is_soft).any(wets)
    }

    /// Whether a new kerb may stand without its cover when the day ends: from the first day that opens its roof to that before the last.
    /// Not by its hours: they are worked with those of other roofs too.
    fn kerb_lies_open(&self) -> bool {
        let WholeJob { job, take_off, programme, .. } = self.worked;
        let kerbs = take_off.works.iter().filter(|work| work.kind == WorkKind::NewKerb);
        let opened = |roof: &str| {
            let of_roof = programme.stops.iter().filter(|stop| stop.roof == roof);
            of_roof.map(|stop| stop.first_day).min().unwrap_or(1)
        };
        let is_cut = |roof: &str| opened(roof) <= self.day.number;
        !self.is_last() && kerbs.filter_map(|work| work.place.name_of(job)).any(is_cut)
    }

    /// Whether bandage is laid: along the deck, in a box gutter that is lined alone, or round a patch.
    fn bandages(&self) -> bool {
        let patches = || self.worked.take_off.old_roofs.iter().flat_map(|roof| &roof.patches);
        let repairs = self.does(|o| o == Operation::Repair) && patches().any(|patch| !patch.bandage.is_empty());
        repairs || self.does(|o| o == Operation::Bandage) || self.lines_gutter_alone()
    }

    /// Whether bare boards are sealed: each just ahead of the mat on it, in the hole of a patch too.
    fn seals_boards(&self) -> bool {
        let lays = self.does(|o| matches!(o, Operation::Laminate | Operation::Repair)) || self.lines_gutter_alone();
        lays && self.worked.rules.deck_soak > Decimal::ZERO
    }

    fn lines_gutter_alone(&self) -> bool {
        gutters_lined_alone(self.day, self.worked).next().is_some()
    }

    /// The operations of the day, in their order.
    fn operations(&self) -> impl Iterator<Item = &Labour> {
        self.worked.programme.works_on(self.day)
    }

    fn does(&self, is: impl Fn(Operation) -> bool) -> bool {
        self.operations().any(|work| is(work.operation))
    }

    fn is_last(&self) -> bool {
        self.day.number as usize == self.worked.programme.days.len()
    }

    /// Whether resin or topcoat is mixed.
    fn mixes(&self) -> bool {
        self.does(Operation::mixes) || !self.pots().is_empty()
    }

    /// What the crew hears of the programme's warnings on this day.
    fn hears(&self, warning: &SiteWarning) -> bool {
        let opens = self.does(|o| matches!(o, Operation::Strip | Operation::Deck));
        match warning {
            SiteWarning::Weather(_) | SiteWarning::NoDose(_) => self.mixes(),
            SiteWarning::OpenOvernight => opens,
            SiteWarning::StaysOpen { first_day, day, .. } => (*first_day..*day).contains(&self.day.number),
            SiteWarning::StaleLaminate { days, .. } => days.contains(&self.day.number),
            SiteWarning::OpenByStrips | SiteWarning::SecondVisit { .. } | SiteWarning::StartMoved { .. } => false,
        }
    }

    /// What of the roofs is opened or closed on the day.
    fn stops(&self) -> impl Iterator<Item = &Stop> {
        self.worked.programme.stops.iter().filter(|stop| stop.is_on(self.day.number))
    }

    /// Whether some of a roof that is opened on the day lies open at its end.
    fn is_left_open(&self) -> bool {
        self.stops().any(|stop| self.leaves_open(stop))
    }

    fn leaves_open(&self, stop: &Stop) -> bool {
        stop.divides_roof() || self.day.number < stop.day
    }

    /// Whether a roof is coated of which some lies open still.
    fn coats_below_open(&self) -> bool {
        let (programme, today) = (self.worked.programme, self.day.number);
        let lies_open = |roof: &str| {
            let of_roof = || programme.stops.iter().filter(|stop| stop.roof == roof);
            of_roof().any(|stop| stop.day <= today && stop.divides_roof()) && of_roof().any(|stop| stop.day > today)
        };
        programme.coats.iter().any(|coat| coat.day == today && lies_open(&coat.roof))
    }

    /// Whether a roof is coated in that order with strips that are laid on it.
    fn coats_beside(&self, beside: CoatBeside) -> bool {
        self.worked.programme.coats.iter().any(|coat| coat.day == self.day.number && coat.beside == beside)
    }

    fn places(&self) -> BTreeMap<String, Vec<Block>> {
        let all = [("day-works", vec![Block::Table(self.works())]), ("day-pots", self.pot_list())];
        all.into_iter().map(|(name, blocks)| (name.to_owned(), blocks)).collect()
    }

    /// Each operation with its works, and where it is signed before and after. What is done beside the roof stands where it comes in the
    /// order of the work: with firrings and battens before them, with the boards after them, else last.
    fn works(&self) -> Table {
        let beside = |during: During| self.beside(during).into_iter();
        let upto = |from: Option<Operation>, to: Option<Operation>| {
            let is_in = move |labour: &Labour| {
                from.is_none_or(|from| from <= labour.operation) && to.is_none_or(|to| labour.operation < to)
            };
            let work = self.worked.programme.work.iter().enumerate().filter(move |(_, labour)| is_in(labour));
            work.flat_map(move |(i, labour)| self.rows_of(i, labour))
        };
        let has_door = self.worked.take_off.roofs.iter().any(|roof| roof.shape.has_a_door());
        let rows = upto(None, Some(Operation::Prepare))
            .chain(beside(During::Prepare))
            .chain(upto(Some(Operation::Prepare), Some(Operation::Insulate)))
            .chain(beside(During::Deck))
            .chain(upto(Some(Operation::Insulate), None))
            .chain(beside(During::Finish))
            .chain((self.is_last() && has_door).then(|| to_sign("Door sills", SILLS)))
            .chain(self.is_last().then(|| to_sign("Hand over", ENDS)));
        let columns = vec![wide("What is done", 1), left("Checked before"), left("Signed, time")];
        Table { columns, rows: rows.collect(), header: true }
    }

    /// The rows of an operation: of the bandage two where a box gutter is lined alone while another roof is laid.
    fn rows_of(&self, i: usize, labour: &Labour) -> Vec<Row> {
        let gutter = (labour.operation == Operation::Bandage).then(|| self.bandaged_gutters()).flatten();
        gutter.into_iter().chain(self.row_of(i, labour)).collect()
    }

    /// The bandage of the box gutters that are lined alone on the day: it has no hours of its own.
    fn bandaged_gutters(&self) -> Option<Row> {
        let roofs: Vec<String> = gutters_lined_alone(self.day, self.worked).map(|stop| stop.roof.clone()).collect();
        let of = if self.worked.job.roofs.len() > 1 { format!(" of {}", wording::list(&roofs)) } else { String::new() };
        let of_it = format!("the box gutter{of}: arrises and joints, not the lip");
        (!roofs.is_empty()).then(|| to_sign("Bandage joints and corners", &of_it))
    }

    /// The roofs that are bandaged on a day on which a box gutter of another is.
    fn beside_gutters(&self, labour: &Labour) -> Option<String> {
        let mut gutters = gutters_lined_alone(self.day, self.worked).peekable();
        gutters.peek().filter(|_| labour.operation == Operation::Bandage)?;
        let with_gutter: Vec<&str> = gutters.map(|stop| stop.roof.as_str()).collect();
        let roofs = self.day.strips.iter().map(|strip| strip.roof.clone());
        let others = wording::once(roofs.filter(|roof| !with_gutter.contains(&roof.as_str())));
        (!others.is_empty()).then(|| wording::list(&others))
    }

    /// The lips of box gutters that were lined alone: bandaged on the day that lays the first of the deck behind them.
    fn lips(&self, labour: &Labour) -> Option<String> {
        let all = &self.worked.programme.stops;
        let is_first = |stop: &&Stop| {
            let own = || all.iter().filter(|other| other.roof == stop.roof);
            let is_none_before = own().all(|other| other.box_gutters || other.first_day >= stop.first_day);
            !stop.box_gutters && own().any(|other| other.box_gutters) && is_none_before
        };
        let roofs: Vec<String> = self.stops().filter(is_first).map(|stop| stop.roof.clone()).collect();
        let of = if self.worked.job.roofs.len() > 1 { format!(" of {}", wording::list(&roofs)) } else { String::new() };
        (labour.operation == Operation::Bandage && !roofs.is_empty()).then(|| format!("the lip of the box gutter{of}"))
    }

    /// The strips laid on the day, roof by roof: `strips 2 and 3, in the second layer 5`.
    fn strips(&self) -> String {
        let several = self.worked.job.roofs.len() > 1;
        let words = |of_roof: &[DayStrip]| {
            let roof = &of_roof[0].roof;
            let marks: Vec<String> = of_roof.iter().map(|s| s.mark.clone()).collect();
            let by_layers = |stop: &&Stop| {
                let of_stop: Vec<&String> = stop.strips.iter().flat_map(|layer| &layer.names).collect();
                stop.roof == *roof && of_stop.len() == marks.len() && marks.iter().all(|mark| of_stop.contains(&mark))
            };
            let Some(stop) = self.stops().find(by_layers) else { return strips_in_words(roof, &marks, self.worked) };
            let word = if site_words::are_several(&stop.strips) { "strips" } else { "strip" };
            let roof = if several { format!("{roof}, ") } else { String::new() };
            format!("{roof}{word} {}", site_words::strips(&stop.strips))
        };
        let all: Vec<String> = self.day.strips.chunk_by(|a, b| a.roof == b.roof).map(words).collect();
        all.join("; ")
    }

    fn row_of(&self, i: usize, labour: &Labour) -> Option<Row> {
        let pieces = self.pieces.pieces(labour.operation);
        // What is left of a board over insulation may take less than a hundredth of an hour.
        let is_rest = labour.operation == Operation::Insulate && pieces.is_some();
        if !is_rest && !self.day.work.iter().any(|(index, _)| *index == i) {
            return None;
        }
        let kinds = self.kinds(i, labour)?;
        let finished = finished_on(self.day.number, self.worked);
        let is_on = |roof: &str| labour.operation != Operation::Finish || self.is_finished(&finished, roof);
        let label = labour.label_of(&kinds, is_on);
        let wait = same_day_wait(self.day, i, self.worked);
        let (beside, lips) = (self.beside_gutters(labour), self.lips(labour));
        let strips = (labour.operation == Operation::Laminate).then(|| self.strips()).filter(|words| !words.is_empty());
        let of_it = [named(&label, &kinds), strips, self.part_of(labour), beside, lips, pieces, wait];
        let of_it: Vec<String> = of_it.into_iter().flatten().collect();
        Some(to_sign(&label, &of_it.join("; ")))
    }

    /// What is fitted and done beside the roof on the day, where it has no hours, and so no row, of its own.
    fn beside(&self, during: During) -> Option<Row> {
        let all = beside_on_card(during, self.day.number, self.worked);
        (!all.is_empty()).then(|| to_sign("Besides, as promised", &all.join("; ")))
    }

    /// The works of an operation on the roofs of the day, and on the parts of them that it opens; none where all of them are another
    /// day's.
    fn kinds(&self, index: usize, labour: &Labour) -> Option<Vec<WorkKind>> {
        let of_stops = self.stops().map(|stop| &stop.roof);
        let roofs: Vec<&str> = self.day.strips.iter().map(|s| &s.roof).chain(of_stops).map(String::as_str).collect();
        let covers = labour.operation <= Operation::Laminate && !roofs.is_empty();
        let finished = finished_on(self.day.number, self.worked);
        let here = |part: &&LabourPart| match part.roof.as_deref() {
            Some(roof) if covers => {
                roofs.contains(&roof)
                    && (self.pieces.has(part.work, roof) || self.is_last_chance(index, part.work, roof))
            }
            Some(roof) if labour.operation == Operation::Finish => self.is_finished(&finished, roof),
            _ => true,
        };
        let kinds = wording::once(labour.parts.iter().filter(here).map(|part| part.work));
        (labour.parts.is_empty() || !kinds.is_empty()).then_some(kinds)
    }

    /// Whether something is fitted last on a roof on the day: where roofs are named, those alone, else all that had no day of their own.
    fn is_finished(&self, named: &[String], roof: &str) -> bool {
        match named.is_empty() {
            true => self.worked.programme.finishes.iter().all(|part| part.roof != roof),
            false => named.iter().any(|name| name == roof),
        }
    }

    /// Whether the day is the last on which an operation is worked, and some of it is done on a part of the roof that only a later day
    /// opens: boards may reach under the tiles a day before the strips do.
    fn is_last_chance(&self, index: usize, kind: WorkKind, roof: &str) -> bool {
        let (programme, today) = (self.worked.programme, self.day.number);
        let worked_on = |day: &Day| day.work.iter().any(|(i, _)| *i == index);
        let is_last = !programme.days.iter().any(|day| day.number > today && worked_on(day));
        let opened = |day: u32| programme.stops.iter().any(|stop| stop.roof == roof && stop.is_on(day));
        let before = (1..today).filter(|day| opened(*day)).any(|day| DayPieces::of(day, self.worked).has(kind, roof));
        is_last && self.day.work.iter().any(|(i, _)| *i == index) && !before
    }

    /// The strips that are coated on the day, or the roofs on which something is fitted last, where not all are done together.
    fn part_of(&self, labour: &Labour) -> Option<String> {
        let words = match labour.operation {
            Operation::Topcoat if !labour.is_on_topcoat() => {
                let of_day = self.worked.programme.coats.iter().filter(|coat| coat.day == self.day.number);
                coated(&of_day.cloned().collect::<Vec<_>>(), self.worked)
            }
            Operation::Finish => match finished_on(self.day.number, self.worked) {
                roofs if roofs.is_empty() => on_some_roofs(labour, self.worked),
                roofs => {
                    let is_of = |roof: &String| labour.parts.iter().any(|part| part.roof.as_ref() == Some(roof));
                    let of_it = roofs.into_iter().filter(|roof| labour.parts.is_empty() || is_of(roof));
                    wording::list(&of_it.collect::<Vec<_>>())
                }
            },
            _ => return None,
        };
        (!words.is_empty()).then_some(words)
    }

    /// Whether aggregate is strewn on the day.
    fn strews_grains(&self) -> bool {
        let strewn = |work: WorkKind| matches!(work, WorkKind::SlipResistant | WorkKind::GripAnew);
        self.operations().any(|work| work.parts.iter().any(|part| strewn(part.work)))
    }

    fn plan(&self) -> Option<&PotPlan> {
        self.worked.programme.pots.as_ref()
    }

    /// The pots of the day: for the mat those that lay one of its strips, all where no strips divide the days.
    fn pots(&self) -> Vec<&Pot> {
        let [mat, coat] = self.mat_and_coat();
        mat.into_iter().chain(coat).collect()
    }

    fn mat_and_coat(&self) -> [Vec<&Pot>; 2] {
        let Some(plan) = self.plan() else { return [Vec::new(), Vec::new()] };
        let mat = plan.pots.iter().filter(|pot| self.lays(pot));
        let coat = plan.topcoat.iter().filter(|pot| crew::coats_on(pot, self.day, self.worked));
        [mat.collect(), coat.collect()]
    }

    fn lays(&self, pot: &Pot) -> bool {
        crew::lays_on(pot, self.day, self.worked)
    }

    fn resin(&self) -> Option<Mass> {
        let [mat, _] = self.mat_and_coat();
        (!mat.is_empty()).then(|| mat.into_iter().map(|pot| pot.resin).sum())
    }

    /// What is of the mat and of the topcoat, in the order of the day: what was laid before is coated before more is laid, but where the
    /// crew leaves by it; what is laid on the day is coated after it.
    fn in_order<T>(&self, mat: T, coat: T) -> [T; 2] {
        let coats = self.worked.programme.coats.iter().filter(|coat| coat.day == self.day.number);
        let is_of = |coat: &CoatPart, strip: &DayStrip| {
            let names = || coat.strips.iter().flat_map(|layer| &layer.names);
            coat.roof == strip.roof && (names().next().is_none() || names().any(|name| *name == strip.mark))
        };
        let laid_today = |coat: &CoatPart| self.day.strips.iter().any(|strip| is_of(coat, strip));
        let later = |coat: &CoatPart| laid_today(coat) || coat.beside == CoatBeside::AfterStrips;
        let before = coats.clone().next().is_some() && !coats.clone().any(later);
        if before { [coat, mat] } else { [mat, coat] }
    }

    /// The pots one by one where they are few, else as runs of their numbers.
    fn pot_list(&self) -> Vec<Block> {
        let Some(plan) = self.plan() else { return Vec::new() };
        let [mat, coat] = self.mat_and_coat().map(|pots| pots.into_iter().cloned().collect::<Vec<Pot>>());
        let rows = crew::pot_rows(&mat, self.worked, "strip").len() + crew::pot_rows(&coat, self.worked, "part").len();
        if rows <= POTS {
            return crew::pot_table(plan, self.in_order(PotsOf::Mat(&mat), PotsOf::Topcoat(&coat)), self.worked);
        }
        let run = |what: &str, pots: &[Pot]| -> Option<Row> {
            let (first, last) = (pots.first()?, pots.last()?);
            let all: Mass = pots.iter().map(|pot| pot.resin).sum();
            let numbers = format!("{} to {} of the pot list", first.number, last.number);
            Some(row(RowKind::Plain, vec![strong(what), cell(numbers), strong(weight(all))]))
        };
        let rows = self.in_order(run("Laminate", &mat), run("Topcoat", &coat)).into_iter().flatten().collect();
        let columns = vec![left("What"), wide("Pots", 1), right("In all")];
        vec![Block::Table(Table { columns, rows, header: true })]
    }

    /// How much catalyst goes into a kilogram of what is mixed today, for the rows of the card that the day's air may touch:
    /// `1 kg of resin: 21.7 ml at 5 to 10 °C, 17.4 ml at 10 to 15 °C`.
    fn doses(&self) -> Vec<String> {
        let plan = || self.plan().into_iter().flat_map(|plan| &plan.doses);
        let of = |what: &str, dose: fn(&PotDose) -> Decimal| {
            let each = plan().map(|d| format!("{} ml at {}", wording::rounded(dose(d), 1), row_of_card(d)));
            format!("1 kg of {what}: {}", each.collect::<Vec<_>>().join(", "))
        };
        let (resin, coat) = (self.mixes_resin(), self.mixes_topcoat());
        if resin && coat && plan().all(|d| d.laminate.ml_per_kg == d.topcoat.ml_per_kg) {
            return vec![of("resin or topcoat", |d| d.laminate.ml_per_kg)];
        }
        let resin = resin.then(|| of("resin", |d| d.laminate.ml_per_kg));
        let coat = coat.then(|| of("topcoat", |d| d.topcoat.ml_per_kg));
        resin.into_iter().chain(coat).collect()
    }

    /// Whether resin is mixed: for mat, for bandage, for patches; where nothing tells, it is.
    fn mixes_resin(&self) -> bool {
        let [mat, _] = self.mat_and_coat();
        let wets = |o: Operation| matches!(o, Operation::Bandage | Operation::Laminate | Operation::Repair);
        !mat.is_empty() || self.does(wets) || !self.mixes_topcoat()
    }

    /// Whether topcoat is mixed: for a coat, or by the dab for the pinholes of an old laminate.
    fn mixes_topcoat(&self) -> bool {
        let [_, coat] = self.mat_and_coat();
        !coat.is_empty() || self.does(|o| o == Operation::Topcoat) || self.fills_pinholes()
    }

    fn fills_pinholes(&self) -> bool {
        self.does(|o| o == Operation::Renew)
    }

    /// What small pots are mixed for besides the listed ones, before them and beside them: `Bandage and bare boards`.
    fn small_pots(&self) -> Option<String> {
        let all = [(self.bandages(), "bandage"), (self.seals_boards(), "bare boards")];
        let named: Vec<String> = all.into_iter().filter(|(is, _)| *is).map(|(_, name)| name.to_owned()).collect();
        (!named.is_empty()).then(|| wording::list(&named))
    }
}
