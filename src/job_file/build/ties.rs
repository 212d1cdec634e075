//! A walk that is tied: distances measured across the roof fix its angles, and check its lengths.
//!
//! Given the legs and the ties; gives the corners to which all of them fit best, and tells what was adjusted, which
//! angles came of it, what nothing checks and what nothing determines. A turn without degrees (`turn: left`, or none)
//! is no more than a way to begin: its angle is found. A turn with its degrees (`left 90`) counts as measured.

use super::measured::{Measured, MeasuredSide, too_many};
use super::walk::{self, WalkStep};
use crate::geometry::network::{
    CornerSpot, Measurement, Sighting, Standing, adjusted, apart, misfit, standings, turn_at, undetermined,
};
use crate::geometry::ring::{first_crossing, twice_signed_area};
use crate::job_file::raw::job::{RawLeg, RawTie};
use crate::job_file::read::reading::List;
use crate::job_file::read::suggest::{self, listed};
use crate::model::limits;
use crate::model::shape::Misclosure;
use crate::model::{Length, Point, Problem, Rules, SettingPath, Warned};
use rust_decimal::prelude::ToPrimitive;
use std::f64::consts::PI;

/// Turns that may be left out: each is tried to the left and to the right.
const LEFT_OUT: usize = 6;

/// Measurements named in one message.
const NAMED: usize = 6;

/// A turn may be adjusted by this many of its standard errors before it counts as wrong.
const TURN_MISS: f64 = 3.0;

/// Two shapes that fit as well as each other, to within this sum of squares, cannot be told apart.
const ALIKE: f64 = 9.0;

/// A measurement of which the others fix less than this part is checked by nothing: a slip of 80 mm in it would hardly be
/// seen.
const CHECKED: f64 = 0.01;

/// A walk with what was measured of it.
struct Tied<'a> {
    steps: Vec<WalkStep>,
    measured: Vec<Measurement>,
    rules: &'a Rules,
}

/// Works out the corners. `path` is the outline's.
pub(crate) fn outline(
    raw: (List<RawLeg>, List<RawTie>),
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Measured> {
    let (walk_path, path) = (path.key("walk"), path.key("ties"));
    if too_many(raw.0.len(), limits::TIED_LEGS, &walk_path, found) || too_many(raw.1.len(), limits::TIES, &path, found)
    {
        return None;
    }
    let steps = walk::steps(raw.0, &walk_path, true, found)?;
    let measured = measurements(&steps, raw.1, &path, rules, found)?;
    let walk = Tied { steps, measured, rules };
    let corners = walk.fitted(&path, found)?;
    let all = standings(&corners, &walk.measured);
    let fits = walk.agrees(&corners, &all, &path, found);
    let fixed = walk.is_determined(&corners, &path, found);
    let turns = walk.turns_as_said(&corners, &walk_path, found);
    if !(fits && fixed && turns) {
        return None;
    }
    walk.tell_unchecked(&corners, &all, &path, found);
    walk.tell_angles(&corners, &path, found);
    let misclosure = walk.misclosure(&all);
    let sides = walk.steps.into_iter().map(|s| MeasuredSide { name: s.name, length: s.length }).collect();
    Some(Measured { corners, sides, misclosure })
}

/// Everything that was measured: the legs, the ties, and the turns with their degrees.
fn measurements(
    steps: &[WalkStep],
    ties: List<RawTie>,
    path: &SettingPath,
    rules: &Rules,
    found: &mut Vec<Problem>,
) -> Option<Vec<Measurement>> {
    let n = steps.len();
    let distance = |a, b, length: Length| {
        let mm = length.as_mm() as f64;
        Measurement { seen: Sighting::Distance(a, b, mm), spread: spread(mm, rules) }
    };
    let legs = steps.iter().enumerate().map(|(i, s)| Some(distance(i, (i + 1) % n, s.length)));
    let tie = |(k, raw): (usize, crate::job_file::read::reading::Slot<RawTie>)| {
        let (raw, path) = (raw.take()?, path.entry(k));
        let from = raw.from.take().and_then(|t| corner(&t.0, steps, &path.key("from"), found));
        let to = raw.to.take().and_then(|t| corner(&t.0, steps, &path.key("to"), found));
        let (from, to, is) = (from?, to?, raw.is.take()?);
        if from == to {
            found.push(Problem::fault(
                path.key("to"),
                "this tie ends at the corner where it starts",
                "name the corner at the other end of the tape",
            ));
            return None;
        }
        Some(distance(from, to, is))
    };
    let ties: Vec<Option<Measurement>> = ties.into_iter().enumerate().map(tie).collect();
    let sure = turn_spread(rules);
    let turns = steps.iter().enumerate().filter_map(|(i, s)| {
        let turn = s.turn.filter(|t| t.said)?.degrees.to_f64()?.to_radians();
        Some(Some(Measurement { seen: Sighting::Turn(i, turn), spread: sure }))
    });
    legs.chain(ties).chain(turns).collect()
}

/// The standard error of a taped length: errors of single metres add by squares.
fn spread(mm: f64, rules: &Rules) -> f64 {
    rules.tape_spread.as_mm() as f64 * (mm / 1000.0).sqrt()
}

/// The standard error of a turn, radians.
fn turn_spread(rules: &Rules) -> f64 {
    rules.turn_spread.to_f64().unwrap_or_default().to_radians()
}

/// The corner where two edges meet, as the file names it: `front/right`, either edge first.
fn corner(name: &str, steps: &[WalkStep], path: &SettingPath, found: &mut Vec<Problem>) -> Option<usize> {
    let n = steps.len();
    let is = |i: usize, text: &str| steps[i].name == text.trim();
    let meet = |i: usize, (a, b): (&str, &str)| {
        let before = (i + n - 1) % n;
        (is(before, a) && is(i, b)) || (is(before, b) && is(i, a))
    };
    let parted = name.match_indices('/').map(|(at, _)| (&name[..at], &name[at + 1..]));
    let corner = parted.clone().find_map(|pair| (0..n).find(|&i| meet(i, pair)));
    if corner.is_none() {
        let known: Vec<String> = (0..n).map(|i| corner_name(steps, i)).collect();
        let both = |(a, b): &(&str, &str)| (0..n).any(|i| is(i, a)) && (0..n).any(|i| is(i, b));
        let (fault, cure) = match parted.clone().find(both) {
            Some((a, b)) => (
                format!("`{}` and `{}` do not meet", a.trim(), b.trim()),
                format!("name two edges that meet: {}", suggest::words(&known, "or")),
            ),
            None => (
                format!("`{name}` is not a corner of the walk: a corner is called by the two edges that meet there"),
                suggest::cure(name, &known),
            ),
        };
        found.push(Problem::fault(path, fault, cure));
    }
    corner
}

fn corner_name(steps: &[WalkStep], i: usize) -> String {
    format!("{}/{}", steps[(i + steps.len() - 1) % steps.len()].name, steps[i].name)
}

impl Tied<'_> {
    /// The corners that fit best, from every way to begin.
    fn fitted(&self, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Vec<CornerSpot>> {
        let open: Vec<usize> = (1..self.steps.len()).filter(|&i| self.steps[i].turn.is_none()).collect();
        if open.len() > LEFT_OUT {
            found.push(Problem::fault(
                path,
                format!("{} turns of the walk are left out: more than {LEFT_OUT} are not found", open.len()),
                "write `turn: left` or `turn: right` where you know which way it goes; the angle is found",
            ));
            return None;
        }
        let rough = self.beginnings(&open).into_iter().filter_map(|turns| self.rough(&turns));
        let mut fits: Vec<(bool, f64, Vec<CornerSpot>)> = rough
            .map(|rough| adjusted(&rough, &self.measured))
            .filter(|corners| is_outline(corners))
            .map(|corners| (self.turned_otherwise(&corners).is_some(), misfit(&corners, &self.measured), corners))
            .collect();
        // Those that turn as the walk says come first.
        fits.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let Some((otherwise, least, best)) = fits.first().cloned() else {
            found.push(Problem::fault(
                path,
                "no outline has these lengths, ties and turns",
                "check which way each corner turns, and that each tie names the corners between which it was measured",
            ));
            return None;
        };
        let other = |(o, miss, corners): &(bool, f64, Vec<CornerSpot>)| {
            differ(corners, &best).filter(|_| *o == otherwise && miss - least < ALIKE)
        };
        if let Some(at) = fits.iter().find_map(other) {
            found.push(Problem::fault(
                path,
                format!("two shapes fit these lengths and ties; in one of them `{}` starts elsewhere", self.steps[at].name),
                "write every turn as `left` or `right`, with its degrees where the corner is far from square, or measure \
                 one more tie",
            ));
            return None;
        }
        Some(best)
    }

    /// The first corner that turns otherwise than the walk says.
    fn turned_otherwise(&self, corners: &[CornerSpot]) -> Option<usize> {
        let said = |i: usize| self.steps[i].turn.map(|t| t.degrees.is_sign_positive());
        (1..self.steps.len()).find(|&i| said(i).is_some_and(|left| (turn_at(corners, i) > 0.0) != left))
    }

    /// Ways to begin: turns that were said as they are, the others square or all alike, those left out either way.
    fn beginnings(&self, open: &[usize]) -> Vec<Vec<f64>> {
        let n = self.steps.len();
        let said = |i: usize| self.steps[i].turn.filter(|t| t.said).and_then(|t| t.degrees.to_f64());
        let bare = |i: usize| self.steps[i].turn.filter(|t| !t.said).map(|t| t.degrees.is_sign_positive());
        let fixed: f64 = (1..n).filter_map(said).sum();
        let mut all = Vec::new();
        for ways in 0..1_usize << (open.len() + 1) {
            // The corner where the walk began has no turn of its own.
            let open_way = |i: usize| open.iter().position(|&o| o == i).map_or(ways & 1, |k| ways >> (k + 1) & 1) == 0;
            let left = |i: usize| said(i).map(|t| t > 0.0).or(bare(i)).unwrap_or_else(|| open_way(i));
            let sign = |i: usize| if left(i) { 1.0 } else { -1.0 };
            let square: f64 = (1..n).filter(|&i| bare(i).is_some()).map(|i| 90.0 * sign(i)).sum();
            let parted = |rest: f64, among: &dyn Fn(usize) -> bool| {
                let over: f64 = (0..n).filter(|&i| among(i)).map(sign).sum();
                Some(rest / over).filter(|each| (15.0..165.0).contains(each))
            };
            let unsaid = |i: usize| said(i).is_none() && bare(i).is_none();
            if let Some(each) = parted(360.0 - fixed - square, &unsaid) {
                let turn = |i: usize| said(i).unwrap_or_else(|| sign(i) * if bare(i).is_some() { 90.0 } else { each });
                all.push((0..n).map(turn).collect());
            }
            if let Some(each) = parted(360.0 - fixed, &|i| said(i).is_none()) {
                all.push((0..n).map(|i| said(i).unwrap_or(sign(i) * each)).collect());
            }
        }
        all
    }

    /// A rough shape with these turns: closed by moving each corner by its share of the miss, the first leg along x.
    fn rough(&self, turns: &[f64]) -> Option<Vec<CornerSpot>> {
        let (mut heading, mut corners) = (0.0_f64, vec![(0.0, 0.0)]);
        for (step, turn) in self.steps.iter().zip(turns.iter().cycle().skip(1)) {
            let (x, y): CornerSpot = corners[corners.len() - 1];
            let go = step.length.as_mm() as f64;
            corners.push((x + go * heading.cos(), y + go * heading.sin()));
            heading += turn.to_radians();
        }
        let miss = corners.pop()?;
        let lengths: Vec<Length> = self.steps.iter().map(|s| s.length).collect();
        walk::spread(&mut corners, &lengths, miss);
        let (x, y) = corners[1];
        let first = x.hypot(y);
        let turned = |&(u, v): &CornerSpot| ((u * x + v * y) / first, (v * x - u * y) / first);
        (first > 1.0).then(|| corners.iter().map(turned).collect())
    }

    /// Whether no measurement is adjusted by more than it may be; else tells which looks wrong.
    fn agrees(&self, corners: &[CornerSpot], all: &[Standing], path: &SettingPath, found: &mut Vec<Problem>) -> bool {
        let over: Vec<usize> = (0..all.len()).filter(|&i| self.misses(i, all[i].moved)).collect();
        if over.is_empty() {
            return true;
        }
        let most = self.rules.misclosure;
        let turns = over.iter().any(|&i| matches!(self.measured[i].seen, Sighting::Turn(..)));
        let rule = match turns {
            true => format!(
                "`misclosure` allows {most} and `turn_spread` three times {}°",
                self.rules.turn_spread.normalize()
            ),
            false => format!("the rule `misclosure` allows {most}"),
        };
        let fault =
            format!("the lengths and ties do not agree: to make one shape of them {}; {rule}", self.told(all, &over));
        let wrong = self.suspects(corners, all);
        let cure = match wrong.is_empty() {
            true => "measure the lengths and ties again; no single one of them would settle it".to_owned(),
            false => format!("measure again; all the others would agree with {}", listed(&wrong, "or")),
        };
        found.push(Problem::fault(path, fault, cure));
        false
    }

    fn misses(&self, i: usize, moved: f64) -> bool {
        match self.measured[i].seen {
            Sighting::Distance(..) => moved.abs() > self.rules.misclosure.as_mm() as f64 + 0.5,
            Sighting::Turn(..) => moved.abs() > TURN_MISS * self.measured[i].spread,
        }
    }

    /// The single measurements without which all others agree, the likeliest to be wrong first, with what they would be.
    fn suspects(&self, corners: &[CornerSpot], all: &[Standing]) -> Vec<String> {
        let mut by_doubt: Vec<usize> = (0..all.len()).filter(|&i| all[i].unlikely > 0.0).collect();
        by_doubt.sort_by(|&a, &b| all[b].unlikely.total_cmp(&all[a].unlikely));
        let without = |&i: &usize| {
            let others: Vec<usize> = (0..all.len()).filter(|&k| k != i).collect();
            let rest: Vec<Measurement> = others.iter().map(|&k| self.measured[k]).collect();
            let fitted = adjusted(corners, &rest);
            let agree = standings(&fitted, &rest).iter().zip(&others).all(|(s, &k)| !self.misses(k, s.moved));
            agree.then(|| self.would_be(i, &fitted))
        };
        by_doubt.iter().take(NAMED).filter_map(without).take(3).collect()
    }

    /// A measurement as it would be between these corners: "`yard` at 2445 mm".
    fn would_be(&self, i: usize, corners: &[CornerSpot]) -> String {
        match self.measured[i].seen {
            Sighting::Distance(a, b, _) => format!("{} at {}", self.name(i), rounded(apart(corners, a, b))),
            Sighting::Turn(at, _) => format!("{} {}", self.name(i), turn_words(turn_at(corners, at))),
        }
    }

    /// A leg by its edge, a tie by its corners, a turn by the leg that it leads into.
    fn name(&self, i: usize) -> String {
        match self.measured[i].seen {
            Sighting::Distance(..) if i < self.steps.len() => format!("`{}`", self.steps[i].name),
            Sighting::Distance(a, b, _) => self.between(a, b),
            Sighting::Turn(at, _) => format!("the turn into `{}`", self.steps[at].name),
        }
    }

    fn between(&self, a: usize, b: usize) -> String {
        format!("`{}` to `{}`", corner_name(&self.steps, a), corner_name(&self.steps, b))
    }

    /// How these measurements are adjusted, the largest first for what they are.
    fn told(&self, all: &[Standing], which: &[usize]) -> String {
        let mut which = which.to_vec();
        let size = |i: usize| match self.measured[i].seen {
            Sighting::Distance(..) => all[i].moved.abs() / self.rules.misclosure.as_mm().max(1) as f64,
            Sighting::Turn(..) => all[i].moved.abs() / (TURN_MISS * self.measured[i].spread),
        };
        which.sort_by(|&a, &b| size(b).total_cmp(&size(a)));
        let more = which.len().saturating_sub(NAMED);
        let one = |&i: &usize| match self.measured[i].seen {
            Sighting::Distance(..) => {
                let way = if all[i].moved > 0.0 { "longer" } else { "shorter" };
                format!("{} is made {} {way}", self.name(i), rounded(all[i].moved.abs()))
            }
            Sighting::Turn(..) => {
                let way = if all[i].moved > 0.0 { "further left" } else { "further right" };
                format!("{} goes {:.1}° {way}", self.name(i), all[i].moved.abs().to_degrees())
            }
        };
        let mut parts: Vec<String> = which.iter().take(NAMED).map(one).collect();
        parts.extend((more > 0).then(|| format!("{more} more by less")));
        listed(&parts, "and")
    }

    /// Whether every distance of the shape is known; else tells which are not, and what would tell them.
    fn is_determined(&self, corners: &[CornerSpot], path: &SettingPath, found: &mut Vec<Problem>) -> bool {
        let tape = |mm: f64| spread(mm.max(1.0), self.rules);
        let mut with = self.measured.clone();
        let mut lacking = Vec::new();
        while let Some((a, b)) = undetermined(corners, &with, tape) {
            let mm = apart(corners, a, b);
            with.push(Measurement { seen: Sighting::Distance(a, b, mm), spread: tape(mm) });
            lacking.push(self.between(a, b));
            if lacking.len() == NAMED {
                break;
            }
        }
        if lacking.is_empty() {
            return true;
        }
        let fault = format!(
            "the lengths and ties do not fix the shape: nothing tells how far it is from {}",
            listed(&lacking, "and from")
        );
        let them = if lacking.len() == 1 { "it" } else { "them" };
        let cure = format!(
            "measure {them} and add {them} to `ties`; a corner whose angle you know can be written with its degrees \
             instead, such as `turn: left 90`"
        );
        found.push(Problem::fault(path, fault, cure));
        false
    }

    /// Whether every corner turns the way that the walk says.
    fn turns_as_said(&self, corners: &[CornerSpot], path: &SettingPath, found: &mut Vec<Problem>) -> bool {
        let wrong = self.turned_otherwise(corners);
        found.extend(wrong.map(|i| {
            Problem::fault(
                path.entry(i).key("turn"),
                format!("lengths and ties make this corner turn {}", turn_words(turn_at(corners, i))),
                "check which way it turns, and the lengths and ties that end there",
            )
        }));
        wrong.is_none()
    }

    /// A measurement that no other checks may be wrong without anybody's noticing.
    fn tell_unchecked(&self, corners: &[CornerSpot], all: &[Standing], path: &SettingPath, found: &mut Vec<Problem>) {
        let alone: Vec<String> = (0..all.len()).filter(|&i| all[i].checked < CHECKED).map(|i| self.name(i)).collect();
        if alone.is_empty() {
            return;
        }
        let what = match alone.len() == all.len() {
            true => "any of the lengths and ties".to_owned(),
            false if alone.len() > NAMED => format!("{} of the lengths and ties", alone.len()),
            false => listed(&alone, "and"),
        };
        let cure = match self.not_taped(corners) {
            Some((a, b)) => format!("measure also from {} and add it to `ties`", self.between(a, b)),
            None => "measure one of the ties twice and give both".to_owned(),
        };
        found.push(Problem::warning(
            Warned::UncheckedLength,
            path,
            format!("no other measurement would show a slip in {what}"),
            cure,
        ));
    }

    /// The two corners furthest apart between which nothing was measured.
    fn not_taped(&self, corners: &[CornerSpot]) -> Option<(usize, usize)> {
        let n = corners.len();
        let taped = |a: usize, b: usize| {
            let between =
                |m: &Measurement| matches!(m.seen, Sighting::Distance(p, q, _) if (p.min(q), p.max(q)) == (a, b));
            self.measured.iter().any(between)
        };
        let free = (0..n).flat_map(|a| (a + 1..n).map(move |b| (a, b))).filter(|&(a, b)| !taped(a, b));
        free.max_by(|&(a, b), &(c, d)| apart(corners, a, b).total_cmp(&apart(corners, c, d)))
    }

    /// The angles that were found where the walk gives none.
    fn tell_angles(&self, corners: &[CornerSpot], path: &SettingPath, found: &mut Vec<Problem>) {
        let unsaid = (0..self.steps.len()).filter(|&i| self.steps[i].turn.is_none_or(|t| !t.said));
        let angle = |i: usize| format!("`{}` {}", self.steps[i].name, turn_words(turn_at(corners, i)));
        let all: Vec<String> = unsaid.map(angle).collect();
        if all.is_empty() {
            return;
        }
        let fault = format!("the turns were found from lengths and ties: {}", listed(&all, "and"));
        found.push(Problem::assumed(
            path,
            fault,
            "measure again where this surprises you; a turn that you know better is written with its degrees",
        ));
    }

    /// What was adjusted by how much; nothing where no length moves by a millimetre and no turn by a tenth of a degree.
    fn misclosure(&self, all: &[Standing]) -> Option<Misclosure> {
        let seen = |&i: &usize| match self.measured[i].seen {
            Sighting::Distance(..) => all[i].moved.abs() >= 0.5,
            Sighting::Turn(..) => all[i].moved.abs().to_degrees() >= 0.05,
        };
        let moved: Vec<usize> = (0..all.len()).filter(seen).collect();
        let length = |&i: &usize| match self.measured[i].seen {
            Sighting::Distance(..) => all[i].moved.abs(),
            // By as much as the end of a side of a metre goes with it.
            Sighting::Turn(..) => all[i].moved.abs() * 1000.0,
        };
        let by = moved.iter().map(length).fold(0.0, f64::max);
        (!moved.is_empty()).then(|| Misclosure {
            check: "the ties".to_owned(),
            by: rounded(by),
            statement: format!("to make one shape of the lengths and ties {}", self.told(all, &moved)),
        })
    }
}

fn rounded(mm: f64) -> Length {
    Length::mm(mm.round() as i64)
}

/// `left 88.7°`.
fn turn_words(turn: f64) -> String {
    let side = if turn < 0.0 { "right" } else { "left" };
    format!("{side} {:.1}°", turn.abs().min(PI).to_degrees())
}

/// The first corner that lies elsewhere in another shape.
fn differ(one: &[CornerSpot], other: &[CornerSpot]) -> Option<usize> {
    one.iter().zip(other).position(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) > 10.0)
}

/// Whether corners are an outline walked anticlockwise that does not cross itself.
fn is_outline(corners: &[CornerSpot]) -> bool {
    let ring: Vec<Point> = corners.iter().map(|c| Point::new(c.0.round() as i64, c.1.round() as i64)).collect();
    corners.iter().all(|c| c.0.is_finite() && c.1.is_finite())
        && first_crossing(&ring).is_none()
        && twice_signed_area(&ring) > 0
}
