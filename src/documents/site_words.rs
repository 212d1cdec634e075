//! The words for what the engine found out about a job: corners, cuts, the lie of the mat, the weather, the days.
//!
//! Given facts and the firm's words; gives running text. What the engine gives is typed; every sentence stands in a
//! template of its own, so that a firm can say it in another way. Each template is filled once for each fact, with all
//! names that any of its cases uses: a misspelt name is found by the first fact, whichever it is.

use super::wording;
use super::words::{Vocabulary, Words};
use crate::model::{Finish, Length, Problem};
use crate::pages::block::Span;
use crate::programme::gel::GelBasis;
use crate::programme::weather::{Check, WeatherReading, WeatherReason};
use crate::programme::{LayerStrips, SiteWarning};
use crate::takeoff::layout::junctions::trim_name;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{CornerFigures, EndCut, Junction, MatNote, Treatment, WhyUpTheFall, junctions};
use rust_decimal::Decimal;

/// What is done at a corner of a roof.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn corner(words: &Words, shape: &RoofShape, junction: &Junction) -> Result<Vec<Span>, Vec<Problem>> {
    let opening = junction.hole.and_then(|h| shape.holes.get(h));
    let of_hole = opening.map(|hole| [(hole.finish, hole.name.as_str()); 2]);
    let [ends, starts] = of_hole.unwrap_or_else(|| {
        let (ends, starts) = junctions::sides_at(shape, junction.corner);
        [(ends.finish, ends.label.as_str()), (starts.finish, starts.label.as_str())]
    });
    let with = |finish: Finish| [ends, starts].into_iter().find(|e| e.0 == finish).map(|e| e.1);
    let at = |finish: Finish| with(finish).map(wording::at);
    let stopped = [ends, starts].into_iter().find(|e| e.0.has_trim());
    let CornerFigures { back, gutter, longer: [first, second], .. } = &junction.figures;
    let alike = first == second || !ends.0.has_trim() || !starts.0.has_trim();
    let apart = |length: &Length| (!alike).then(|| length.to_string());
    let mut v = Vocabulary::default();
    treatment(&mut v, Some(junction.treatment), junction.figures.degrees);
    let left = match junction.treatment {
        Treatment::Notch => starts.0 == Finish::Drip,
        other => other == Treatment::ClosureLeft,
    };
    v.yes("left", left)
        .maybe("opening", opening.map(|hole| &hole.name))
        .text("ends", ends.1)
        .text("starts", starts.1)
        .text("the_ends", wording::the(ends.1))
        .text("the_starts", wording::the(starts.1))
        .text("at_ends", wording::at(ends.1))
        .text("at_starts", wording::at(starts.1))
        .text("ends_trim", trim_name(ends.0))
        .text("starts_trim", trim_name(starts.0))
        .yes("at_gutter", [ends.0, starts.0].contains(&Finish::Gutter))
        .yes("same_trim", ends.0 == starts.0)
        .yes("one_trim", ends.0.has_trim() != starts.0.has_trim())
        .maybe("drip_edge", with(Finish::Drip))
        .maybe("at_drip", at(Finish::Drip))
        .maybe("raised_edge", with(Finish::Raised))
        .maybe("at_raised", at(Finish::Raised))
        .maybe("wall_edge", with(Finish::Wall))
        .maybe("stopped", stopped.map(|e| e.1))
        .maybe("at_stopped", stopped.map(|e| wording::at(e.1)))
        .maybe("stopped_trim", stopped.map(|e| trim_name(e.0)))
        .maybe("back", something(*back))
        .maybe("gutter", gutter.as_ref().map(|(shape, size)| format!("{shape} {size}")))
        .maybe("longer", something(*first.max(second)).filter(|_| alike))
        .maybe("longer_ends", apart(first))
        .maybe("longer_starts", apart(second));
    words.sentence("corner.md", &v)
}

/// What is done at the end of a piece of trim.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn cut(words: &Words, cut: &EndCut) -> Result<Vec<Span>, Vec<Problem>> {
    let mut v = Vocabulary::default();
    v.yes("over_lap", *cut == EndCut::OverLap).yes("under_lap", *cut == EndCut::UnderLap);
    match cut {
        EndCut::Square | EndCut::OverLap | EndCut::UnderLap => {
            treatment(&mut v, None, Decimal::from(90));
            v.yes("left", false);
            met(&mut v, None, None, Length::ZERO);
        }
        EndCut::Corner { treatment: how, own, other, other_label, degrees, longer } => {
            treatment(&mut v, Some(*how), *degrees);
            v.yes("left", *how == Treatment::ClosureLeft);
            met(&mut v, Some(*own), Some((*other, other_label)), *longer);
        }
    }
    words.sentence("cut.md", &v)
}

fn met(v: &mut Vocabulary, own: Option<Finish>, other: Option<(Finish, &str)>, longer: Length) {
    v.yes("on_drip", own == Some(Finish::Drip))
        .yes("on_wall", own == Some(Finish::Wall))
        .yes("at_gutter", other.is_some_and(|o| o.0 == Finish::Gutter))
        .maybe("other", other.map(|o| o.1))
        .maybe("at_other", other.map(|o| wording::at(o.1)))
        .maybe("other_trim", other.map(|o| trim_name(o.0)))
        .maybe("longer", something(longer));
}

/// The names by which a template asks how a corner is made.
fn treatment(v: &mut Vocabulary, how: Option<Treatment>, degrees: Decimal) {
    use Treatment::{ClosureLeft, ClosureRight, Notch, PreformedExternal, PreformedInternal};
    let is = |all: &[Treatment]| how.is_some_and(|t| all.contains(&t));
    v.yes("closure", is(&[ClosureLeft, ClosureRight]))
        .yes("notch", is(&[Notch]))
        .yes("preformed", is(&[PreformedExternal, PreformedInternal]))
        .yes("external", is(&[PreformedExternal]))
        .yes("mitre", is(&[Treatment::Mitre]))
        .yes("butt", is(&[Treatment::Butt]))
        .yes("carried_up", is(&[Treatment::CarriedUp]))
        .yes("straight", is(&[Treatment::Straight]))
        .yes("at_sill", is(&[Treatment::AtSill]))
        .text("degrees", degrees.to_string())
        .yes("square", degrees == Decimal::from(90))
        .yes("half_square", degrees == Decimal::from(45));
}

fn something(length: Length) -> Option<String> {
    (length != Length::ZERO).then(|| length.to_string())
}

/// How a list of boards to cut is read, as Markdown: whether any are cut, and whether any are laid whole.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn board_list(words: &Words, cuts: bool, wholes: bool) -> Result<String, Vec<Problem>> {
    let mut v = Vocabulary::default();
    v.yes("cuts", cuts).yes("wholes", wholes);
    line(words, "board-list.md", &v)
}

/// A note on the mat, as Markdown.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn mat_note(words: &Words, note: &MatNote) -> Result<String, Vec<Problem>> {
    line(words, "mat-note.md", &mat_facts(note))
}

/// A strip that is laid straight after the one below it, since nobody can stand on it.
pub struct LaidAfter {
    /// Its roof, where there are several.
    pub roof: Option<String>,
    /// It.
    pub mark: String,
    /// The one below.
    pub after: String,
}

impl LaidAfter {
    fn in_words(&self) -> String {
        let of = self.roof.as_ref().map_or_else(String::new, |roof| format!(" of {roof}"));
        format!("strip {}{of} after {}", self.mark, self.after)
    }
}

/// What is said of all of them in one note, as Markdown; whether they are reached from a door too.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn laid_after(words: &Words, all: &[LaidAfter], indoors: bool) -> Result<Option<String>, Vec<Problem>> {
    let Some(first) = all.first() else { return Ok(None) };
    let mut v = mat_facts(&MatNote::Together { mark: first.mark.clone(), with: first.after.clone() });
    v.text("laid_after", wording::list(&all.iter().map(LaidAfter::in_words).collect::<Vec<_>>()))
        .yes("one_after", all.len() == 1)
        .yes("indoors", indoors);
    line(words, "mat-note.md", &v).map(Some)
}

/// What the template of a note asks.
fn mat_facts(note: &MatNote) -> Vocabulary {
    use MatNote::{
        AlongLowEdge, CutOff, Metres, Narrow, NarrowerForStrips, NarrowerOffJoints, NarrowerToLeave, NearJoints,
    };
    use MatNote::{FurtherLayers, InnerCorner, OneStrip, Rolls, Squeezed, Together, Tucked, UpTheFall, Upstand};
    let metres = |length: Length| format!("{} m", length.metres().normalize());
    let (mut lap, mut by, mut offset, mut way_off, mut mark) = (None, None, None, None, None);
    let (mut near, mut rolls, mut needed, mut fewest, mut bought) = (Vec::new(), None, None, None, None);
    let mut one_strip = false;
    let (mut rest_too_short, mut least_width, mut with, mut marks) = (false, None, None, Vec::new());
    match note {
        AlongLowEdge { way_off: side, lap: over } | UpTheFall { way_off: side, lap: over, .. } => {
            (way_off, lap) = (Some(side), Some(over.to_string()));
        }
        OneStrip { way_off: side } => (one_strip, way_off) = (true, Some(side)),
        NarrowerForStrips { by: width, least: narrowest } => {
            (by, least_width) = (Some(width.to_string()), Some(narrowest.to_string()));
        }
        NarrowerToLeave { by: width } => by = Some(width.to_string()),
        NarrowerOffJoints { by: width, offset: off } => (by, offset) = (Some(width.to_string()), Some(off.to_string())),
        NearJoints { strips, offset: off } => {
            near = strips.iter().map(|k| format!("{k} and {}", k + 1)).collect();
            offset = Some(off.to_string());
        }
        Tucked { mark: piece } | Squeezed { mark: piece } => mark = Some(piece),
        Together { mark: piece, with: other } => (mark, with) = (Some(piece), Some(other)),
        Narrow { marks: pieces, least: narrowest } => {
            (marks, least_width) = (pieces.clone(), Some(narrowest.to_string()));
        }
        CutOff { mark: piece, way_off: side } => (mark, way_off) = (Some(piece), Some(side)),
        Rolls { rolls: n, needed: length, fewest: least, strips } => {
            one_strip = *strips == 1;
            (rolls, needed, fewest) = (Some(*n), Some(metres(*length)), Some(least.to_string()));
            rest_too_short = n > least;
        }
        Metres { bought: whole, needed: length, fewest: least, strips } => {
            one_strip = *strips == 1;
            (bought, needed, fewest) = (Some(metres(*whole)), Some(metres(*length)), Some(metres(*least)));
            rest_too_short = whole > least;
        }
        FurtherLayers | InnerCorner | Upstand => {}
    }
    let mut v = Vocabulary::default();
    v.yes("along_low_edge", matches!(note, AlongLowEdge { .. } | OneStrip { .. }))
        .yes("up_the_fall", matches!(note, UpTheFall { .. }))
        .yes("but_cut_off", matches!(note, UpTheFall { why: WhyUpTheFall::CutOff, .. }))
        .yes("but_squeezed", matches!(note, UpTheFall { why: WhyUpTheFall::Squeezed, .. }))
        .yes("but_tucked", matches!(note, UpTheFall { why: WhyUpTheFall::Tucked, .. }))
        .yes("narrower_for_strips", matches!(note, NarrowerForStrips { .. }))
        .yes("together", with.is_some())
        .yes("narrow", !marks.is_empty())
        .yes("one_piece", marks.len() == 1)
        .text("marks", marks.join(", "))
        .maybe("laid_after", with.zip(mark).map(|(with, mark)| format!("strip {mark} after {with}")))
        .yes("one_after", true)
        .yes("indoors", false)
        .maybe("least", least_width)
        .yes("narrower_to_leave", matches!(note, NarrowerToLeave { .. }))
        .yes("narrower_off_joints", matches!(note, NarrowerOffJoints { .. }))
        .yes("near_joints", matches!(note, NearJoints { .. }))
        .yes("further_layers", matches!(note, FurtherLayers))
        .yes("inner_corner", matches!(note, InnerCorner))
        .yes("upstand", matches!(note, Upstand))
        .yes("tucked", matches!(note, Tucked { .. }))
        .yes("squeezed", matches!(note, Squeezed { .. }))
        .yes("cut_off", matches!(note, CutOff { .. }))
        .yes("one_lap", near.len() == 1)
        .yes("one_roll", rolls == Some(1))
        .yes("rest_too_short", rest_too_short)
        .yes("one_strip", one_strip)
        .maybe("leaves", way_off.map(|side| wording::at(side)))
        .maybe("way_off", way_off.map(|side| wording::the(side)))
        .maybe("lap", lap)
        .maybe("by", by)
        .maybe("offset", offset)
        .text("near", near.join(", "))
        .maybe("mark", mark)
        .maybe("rolls", rolls.map(|n| n.to_string()))
        .maybe("needed", needed)
        .maybe("fewest", fewest)
        .maybe("bought", bought);
    v
}

/// What the crew must hear beforehand, each as Markdown, once; strips of one roof that stay open are told together.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn warnings<'a>(
    words: &Words,
    all: impl IntoIterator<Item = &'a SiteWarning>,
) -> Result<Vec<String>, Vec<Problem>> {
    let mut told: Vec<SiteWarning> = Vec::new();
    for warning in all {
        match (told.last_mut(), warning) {
            (
                Some(SiteWarning::StaysOpen { roof: before, strips, .. }),
                SiteWarning::StaysOpen { roof, strips: more, .. },
            ) if before == roof => more.iter().for_each(|of_layer| add(strips, of_layer)),
            (_, warning) => told.push(warning.clone()),
        }
    }
    let lines = told.iter().map(|one| warning(words, one)).collect::<Result<Vec<_>, _>>()?;
    Ok(wording::once(lines))
}

/// Adds strips of a layer to those that are there.
fn add(strips: &mut Vec<LayerStrips>, more: &LayerStrips) {
    match strips.iter_mut().find(|there| there.layer == more.layer) {
        Some(there) => there.names.extend(more.names.iter().cloned()),
        None => strips.push(more.clone()),
    }
}

/// Whether what [`strips`] says begins with more than one.
pub fn are_several(all: &[LayerStrips]) -> bool {
    all.first().is_some_and(|lowest| lowest.names.len() > 1)
}

/// Strips of every layer, without the word: `1 and 2, in the second layer 5 and 6`.
pub fn strips(all: &[LayerStrips]) -> String {
    let of_layer = |strips: &LayerStrips| {
        let names = in_a_row(&strips.names).unwrap_or_else(|| wording::list(&strips.names));
        match strips.layer {
            0 => names,
            1 => format!("in the second layer {names}"),
            2 => format!("in the third layer {names}"),
            layer => format!("in layer {} {names}", layer + 1),
        }
    };
    all.iter().map(of_layer).collect::<Vec<_>>().join(", ")
}

/// `1 to 10`: many strips whose numbers follow one another.
fn in_a_row(names: &[String]) -> Option<String> {
    let numbers: Vec<usize> = names.iter().map(|name| name.parse().ok()).collect::<Option<_>>()?;
    let [first, .., last] = numbers.as_slice() else { return None };
    let follow = numbers.windows(2).all(|pair| pair[1] == pair[0] + 1);
    (follow && numbers.len() > 3).then(|| format!("{first} to {last}"))
}

/// One of them, as Markdown.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn warning(words: &Words, warning: &SiteWarning) -> Result<String, Vec<Problem>> {
    use SiteWarning::{
        NoDose, OpenByStrips, OpenOvernight, SecondVisit, StaleLaminate, StartMoved, StaysOpen, Weather,
    };
    let check = if let Weather(check) = warning { Some(check) } else { None };
    let reason = check.map(|c| weather_reason(words, c)).transpose()?;
    let dose = if let NoDose(outside) = warning { Some(outside) } else { None };
    let open = if let StaysOpen { roof, strips, .. } = warning { Some((roof, strips)) } else { None };
    let again = if let SecondVisit { day, below, last } = warning { Some((below, *last, *day)) } else { None };
    let (from, to) = if let StartMoved { from, to } = warning { (Some(from), Some(to)) } else { (None, None) };
    let age = if let StaleLaminate { hours, most, days } = warning { Some((hours, most, days)) } else { None };
    let mut v = Vocabulary::default();
    v.yes("weather", check.is_some())
        .yes("no_dose", dose.is_some())
        .yes("open_overnight", *warning == OpenOvernight)
        .yes("stays_open", open.is_some())
        .yes("stop", *warning == OpenByStrips)
        .yes("second_visit", again.is_some())
        .yes("last", again.is_some_and(|(_, last, _)| last))
        .yes("start_moved", from.is_some())
        .maybe("measured", check.map(|c| wording::capital(c.measured.words())))
        .maybe("verdict", check.map(|c| c.verdict.word()))
        .filled("reason", reason.as_deref().unwrap_or_default())
        .maybe("table_from", dose.map(|d| wording::number(d.from)))
        .maybe("table_to", dose.map(|d| wording::number(d.to)))
        .maybe("at", dose.map(|d| wording::number(d.at)))
        .maybe("roof", open.map(|(roof, _)| roof))
        .maybe("strip", open.map(|(_, of_roof)| strips(of_roof)).filter(|words| !words.is_empty()))
        .yes("several_strips", open.is_some_and(|(_, of_roof)| are_several(of_roof)))
        .maybe("below", again.map(|(t, ..)| wording::number(*t)))
        .maybe("topcoat_day", again.map(|(.., day)| day.to_string()))
        .maybe("start_from", from.map(ToString::to_string))
        .maybe("start_to", to.map(ToString::to_string))
        .maybe("stale_days", age.map(|a| days_in_words(a.2)))
        .maybe("hours", age.map(|a| wording::number(*a.0)))
        .maybe("most", age.map(|a| wording::number(*a.1)));
    line(words, "site-warning.md", &v)
}

/// `day 5`, `days 5 and 7`.
pub fn days_in_words(days: &[u32]) -> String {
    let word = if days.len() == 1 { "day" } else { "days" };
    format!("{word} {}", wording::list(&days.iter().map(u32::to_string).collect::<Vec<_>>()))
}

/// Why the weather is judged as it is, as Markdown, without a full stop.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn weather_reason(words: &Words, check: &Check) -> Result<String, Vec<Problem>> {
    line(words, WEATHER_REASON, &weather_facts(check))
}

/// The same as running text.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn weather_answer(words: &Words, check: &Check) -> Result<Vec<Span>, Vec<Problem>> {
    words.sentence(WEATHER_REASON, &weather_facts(check))
}

/// The weather of a day as its card says it, as Markdown; none where the limits beside it say as much.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn weather_on_card(words: &Words, check: &Check) -> Result<Option<String>, Vec<Problem>> {
    let mut v = weather_facts(check);
    let reason = weather_reason(words, check)?;
    v.text("measured", wording::capital(check.measured.words()))
        .text("verdict", check.verdict.word())
        .filled("reason", &reason);
    Ok(Some(line(words, "card-weather.md", &v)?).filter(|words| !words.is_empty()))
}

const WEATHER_REASON: &str = "weather-reason.md";

fn weather_facts(check: &Check) -> Vocabulary {
    use WeatherReason::{
        AboveDewPoint, Cool, DampBelow, NearAllDay, NearBelow, NearDewPoint, NeverNear, Over, PartOfDay,
    };
    use WeatherReason::{NoDewPoint, NoSuchHumidity, NotStated, SurfaceNotStated, Under, Within};
    let reason = check.reason;
    let (mut limit, mut least, mut margin, mut above, mut dew) = (None, None, None, None, None);
    let (mut begin, mut end) = (None, None);
    match reason {
        Under { limit: l } | Over { limit: l } | Cool { limit: l } => limit = Some(l),
        SurfaceNotStated { least: l } => least = Some(wording::number(l)),
        NearDewPoint { above: a, dew_point, margin: m, least: l } => {
            (above, dew, margin, least) =
                (Some(a), Some(wording::number(dew_point)), Some(m), Some(wording::number(l)));
        }
        AboveDewPoint { above: a, dew_point } => (above, dew) = (Some(a), Some(wording::number(dew_point))),
        NeverNear { dew_point, margin: m } => (dew, margin) = (Some(wording::number(dew_point)), Some(m)),
        NearBelow { dew_point, margin: m, least: l, air } => {
            (dew, margin, least) = (Some(wording::number(dew_point)), Some(m), Some(wording::number(l)));
            begin = Some(air);
        }
        NearAllDay { dew_point, margin: m, least: l } => {
            (dew, margin, least) = (Some(wording::number(dew_point)), Some(m), Some(wording::number(l)));
        }
        DampBelow { air, limit: l } => (begin, limit) = (Some(air), Some(l)),
        PartOfDay { from, to } => (begin, end) = (from, to),
        NotStated | NoDewPoint | NoSuchHumidity | Within => {}
    }
    let mut v = Vocabulary::default();
    v.yes("not_stated", reason == NotStated)
        .yes("surface_not_stated", matches!(reason, SurfaceNotStated { .. }))
        .yes("no_dew_point", reason == NoDewPoint)
        .yes("no_such_humidity", reason == NoSuchHumidity)
        .yes("near_dew_point", matches!(reason, NearDewPoint { .. }))
        .yes("above_dew_point", matches!(reason, AboveDewPoint { .. }))
        .yes("never_near", matches!(reason, NeverNear { .. }))
        .yes("near_below", matches!(reason, NearBelow { .. }))
        .yes("near_all_day", matches!(reason, NearAllDay { .. }))
        .yes("damp_below", matches!(reason, DampBelow { .. }))
        .yes("part_of_day", matches!(reason, PartOfDay { .. }))
        .yes("below_it", above.is_some_and(|a| a < Decimal::ZERO))
        .yes("under", matches!(reason, Under { .. }))
        .yes("over", matches!(reason, Over { .. }))
        .yes("cool", matches!(reason, Cool { .. }))
        .yes("air", check.measured == WeatherReading::Air)
        .yes("night", check.measured == WeatherReading::Night)
        .yes("humidity", check.measured == WeatherReading::Humidity)
        .yes("moisture", check.measured == WeatherReading::Moisture)
        .maybe("limit", limit.map(wording::number))
        .maybe("least", least)
        .maybe("margin", margin.map(wording::number))
        .maybe("apart", above.map(|a| wording::number(a.abs())))
        .maybe("dew_point", dew)
        .maybe("from", begin.map(wording::number))
        .maybe("to", end.map(wording::number));
    v
}

/// What a gel time rests on, as Markdown, without a full stop.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn gel_basis(words: &Words, basis: GelBasis) -> Result<String, Vec<Problem>> {
    let rule = if let GelBasis::RuleOfThumb { at_20, dose } = basis { Some((at_20, dose)) } else { None };
    let mut v = Vocabulary::default();
    v.yes("rule_of_thumb", rule.is_some())
        .yes("nearest_point", basis == GelBasis::NearestPoint)
        .maybe("at_20", rule.map(|r| wording::number(r.0)))
        .maybe("dose", rule.map(|r| wording::number(r.1)));
    line(words, "gel-basis.md", &v)
}

/// The Markdown of one line.
fn line(words: &Words, template: &str, v: &Vocabulary) -> Result<String, Vec<Problem>> {
    Ok(words.fill(template, v)?.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Running text without its looks: what a drawing is called for those who cannot see it.
pub fn plain(spans: &[Span]) -> String {
    spans.iter().map(|span| span.text.as_str()).collect()
}
