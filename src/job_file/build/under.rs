//! The edge where a roof goes in under the tiles or slates of a roof above.
//!
//! Given what the file says of it; gives how it is tied in, with every key that was not given and what is taken instead.
//! Courses that do not lay bare what laminate and underlay need are refused: nobody can tuck an underlay in under a course
//! that stays where it is.

use crate::job_file::raw::job::{RawEdge, RawUnder};
use crate::job_file::read::reading::Slot;
use crate::model::job::By;
use crate::model::limits;
use crate::model::products::Board;
use crate::model::{Finish, Length, Outline, PitchedCovering, Point, Problem, Roof, Rules, SettingPath, UnderTiles};
use crate::takeoff::layout::falls::raised_by;
use crate::takeoff::layout::shape;

/// How an edge is tied in; `None` at any other finish. `path` is that of the edge, `label` what it is called.
pub(crate) fn under(
    raw: &mut RawEdge,
    finish: Finish,
    label: &str,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<UnderTiles> {
    let raw = std::mem::take(&mut raw.under);
    if finish != Finish::Step || raw.is_bad() {
        return None;
    }
    let path = path.key("under");
    let raw = raw.or_taken(RawUnder::default(), || {});
    let asked = Asked { path: &path, label };
    let covering = asked.covering(&raw.covering, found);
    let (gauge, cover) = asked.sizes(&raw, covering, found);
    let by = asked.by(raw.by, found);
    let up = raw.up.take().unwrap_or(rules.mat_return.step);
    let pitch = raw.pitch.take().map(|p| p.0);
    if let Some(pitch) = pitch.filter(|p| !limits::TILE_PITCH.limit.holds((*p).into())) {
        found.push(Problem::fault(
            path.key("pitch"),
            format!("a pitch of {pitch}° carries no tiles or slates"),
            format!("measure it again: {}, {}", limits::TILE_PITCH.words(), limits::TILE_PITCH.why),
        ));
    }
    let courses = raw.courses.take().unwrap_or(UNCOUNTED);
    let tiles = UnderTiles { covering, gauge, cover, pitch, up, courses, rises: [Length::ZERO; 2], by };
    found.extend(too_few(&tiles, label, &path, rules));
    Some(tiles)
}

/// Stands for courses that the file leaves to be counted, until the roof is known.
const UNCOUNTED: u32 = 0;

/// A fault where fewer courses are said than must come off.
fn too_few(tiles: &UnderTiles, label: &str, path: &SettingPath, rules: &Rules) -> Option<Problem> {
    let needed = tiles.courses_needed((rules.underlay_lap, rules.courses_over));
    let (courses, gauge, up) = (tiles.courses, tiles.gauge, tiles.up);
    let higher = match tiles.further_up() {
        further if further > Length::ZERO => format!("the deck comes up {}, {further} of the slope, ", tiles.rise()),
        _ => String::new(),
    };
    (courses != UNCOUNTED && courses < needed).then(|| {
        Problem::fault(
            path.key("courses"),
            format!(
                "{courses} courses at a gauge of {gauge} do not lay bare what is needed at `{label}`: {higher}laminate {up} up \
                 the slope, underlay {} over its top edge",
                rules.underlay_lap
            ),
            format!("write `courses: {needed}`, or take it out and they are counted"),
        )
    })
}

/// Tells every edge under tiles how much higher the new deck meets the slope, and counts the courses that must come off for it.
/// Old boards that are lifted count, and so are known by now.
pub(crate) fn risen(roof: &mut Roof, board: Option<&Board>, rules: &Rules, found: &mut Vec<Problem>) {
    if roof.outline.edges.iter().all(|edge| edge.under.is_none()) {
        return;
    }
    let rises = settled(roof, board, rules);
    for (edge, rises) in roof.outline.edges.iter_mut().zip(rises) {
        let (label, path) = (edge.label(), edge.path.key("under"));
        let Some(tiles) = &mut edge.under else { continue };
        let told = too_few(tiles, &label, &path, rules).is_some();
        tiles.rises = rises;
        found.extend(too_few(tiles, &label, &path, rules).filter(|_| !told));
        if tiles.courses == UNCOUNTED {
            tiles.courses = tiles.courses_needed((rules.underlay_lap, rules.courses_over));
        }
        if tiles.pitch.is_none() {
            found.push(Problem::assumed(
                path.key("pitch"),
                format!("the pitch of the roof above `{label}` is not said: {}", unmeasured(tiles)),
                "measure it and add `pitch: 35°` under `under`",
            ));
        }
    }
}

/// How much higher the deck meets the slope at each edge: where it is carried back to there it has come up a little more.
fn settled(roof: &Roof, board: Option<&Board>, rules: &Rules) -> Vec<[Length; 2]> {
    let mut carried = roof.clone();
    let mut rises = vec![[Length::ZERO; 2]; roof.outline.edges.len()];
    for _ in 0..MOST_ROUNDS {
        let found = rises_of(&carried, board, rules);
        if found == rises {
            break;
        }
        for (edge, rises) in carried.outline.edges.iter_mut().zip(&found) {
            edge.under = edge.under.map(|tiles| UnderTiles { rises: *rises, ..tiles });
        }
        rises = found;
    }
    rises
}

/// A deck that is carried back comes up by its fall over so much: on any slope that carries tiles the rounds end long before.
const MOST_ROUNDS: usize = 40;

fn rises_of(roof: &Roof, board: Option<&Board>, rules: &Rules) -> Vec<[Length; 2]> {
    // An outline that no longer closes is told when the roof is laid out.
    let shape = shape::lay_out(roof, 0, rules).ok();
    let at_ends = |i: usize| {
        let (shape, side) = shape.as_ref().and_then(|shape| Some((shape, shape.sides.get(i)?)))?;
        let rise = |at: Point| {
            let (firring, thickness, over) = raised_by(shape, roof, rules, board, (at, at));
            (firring + thickness + over).max(Length::ZERO)
        };
        Some([side.from, side.to].map(rise))
    };
    (0..roof.outline.edges.len()).map(|i| at_ends(i).unwrap_or_default()).collect()
}

/// What becomes of a pitch that nobody measured.
fn unmeasured(tiles: &UnderTiles) -> String {
    let unchecked = "whether the laminate ends high enough is left unchecked";
    match tiles.rise() > Length::ZERO {
        true => format!(
            "{unchecked}, and for the {} that the deck comes up {}° is taken",
            tiles.rise(),
            UnderTiles::TAKEN_PITCH
        ),
        false => unchecked.to_owned(),
    }
}

/// An edge of which something is asked by name.
struct Asked<'a> {
    path: &'a SettingPath,
    label: &'a str,
}

impl Asked<'_> {
    fn covering(&self, raw: &Slot<PitchedCovering>, found: &mut Vec<Problem>) -> PitchedCovering {
        if raw.is_missing() {
            found.push(Problem::assumed(
                self.path.key("covering"),
                format!(
                    "what lies on the roof above `{}` is not said: plain tiles are taken, the most work",
                    self.label
                ),
                "add `under: {covering: slates}`, or `plain tiles`, or `interlocking tiles`",
            ));
        }
        raw.given().copied().unwrap_or(PitchedCovering::PlainTiles)
    }

    /// Gauge and cover, measured or the usual ones.
    fn sizes(&self, raw: &RawUnder, covering: PitchedCovering, found: &mut Vec<Problem>) -> (Length, Length) {
        let (gauge, cover) = (covering.gauge(), covering.cover());
        let mut missing = |missing: bool, key: &'static str, what: &str, usual: Length| {
            if missing && raw.covering.given().is_some() {
                let words = covering.words();
                found.push(Problem::assumed(
                    self.path.key(key),
                    format!("the {what} of the {words} above `{}` was not measured: {usual} is taken", self.label),
                    format!("measure it and add `{key}: {usual}`"),
                ));
            }
        };
        missing(raw.gauge.is_missing(), "gauge", "gauge (from one batten to the next)", gauge);
        missing(raw.cover.is_missing(), "cover", "cover (how wide one of them shows)", cover);
        (raw.gauge.given().copied().unwrap_or(gauge), raw.cover.given().copied().unwrap_or(cover))
    }

    fn by(&self, raw: Slot<By>, found: &mut Vec<Problem>) -> By {
        raw.or_taken(By::Us, || {
            found.push(Problem::assumed(
                self.path.key("by"),
                format!(
                    "who lifts the tiles or slates above `{}` and lays them again is not said: the firm is taken to do it",
                    self.label
                ),
                "add `by: us`, or `by: others`",
            ));
        })
    }
}

/// Gives every edge under tiles the pitch of the roof above where that was told for its rain.
pub(crate) fn pitches(outline: &mut Outline, roof_above: Option<u32>) {
    for tiles in outline.edges.iter_mut().filter_map(|edge| edge.under.as_mut()) {
        tiles.pitch = tiles.pitch.or(roof_above);
    }
}
