//! Rooflights, hatches, chimneys, pipes and outlets: their form and place.
//!
//! Given what the file says; gives holes that lie inside the outline and clear of each other
//! (`takeoff::layout::holes`), or the problems. A pipe has no finish: it carries a collar.

use super::measured::too_many;
use crate::job_file::raw::job::{RawHole, RawOutlet};
use crate::job_file::read::reading::{List, OneOrMany, Slot};
use crate::job_file::read::scalars::TimberSaid;
use crate::model::limits;
use crate::model::shape::{NewTimber, Outlet};
use crate::model::{Finish, Hole, HoleForm, Length, Outline, Point, Problem, Section, SettingPath, Warned};
use crate::takeoff::layout::holes as placed;

/// The holes of a roof, checked against its outline and each other. `path` is that of the roof.
pub(crate) fn holes(
    raw: List<RawHole>,
    outline: Option<&Outline>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Vec<Hole>> {
    if too_many(raw.len(), limits::HOLES, path.key("holes"), found) {
        return None;
    }
    let read: Vec<Option<Hole>> =
        raw.into_iter().enumerate().map(|(n, raw)| hole(raw.take()?, &path.key("holes").entry(n), found)).collect();
    let good: Vec<&Hole> = read.iter().flatten().collect();
    if let Some(outline) = outline {
        good.iter().for_each(|h| placed::inside(h, &format!("the hole `{}`", h.name), outline, found));
    }
    for (n, hole) in good.iter().enumerate() {
        for before in &good[..n] {
            placed::apart(before, hole, found);
        }
        if good[..n].iter().any(|before| before.name == hole.name) {
            let fault = format!("another hole of this roof is called `{}` already", hole.name);
            let cure = "give every hole its own name, such as `left rooflight`";
            found.push(Problem::fault(hole.path.key("name"), fault, cure));
        }
    }
    read.into_iter().collect()
}

fn hole(raw: RawHole, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Hole> {
    let at = raw.at.take().and_then(|l| pair(l, &path.key("at"), found));
    let name = raw.name.take().map(|t| t.0);
    let form = match (raw.size, raw.round) {
        (Slot::Missing, Slot::Missing) => {
            let cure = "add `size: [1.0 m, 1.0 m]`, or `round: 110 mm` for a pipe";
            found.push(Problem::fault(path.key("size"), "a hole needs `size` or `round`", cure));
            None
        }
        (Slot::Given(_), Slot::Given(_)) => {
            found.push(Problem::fault(path.key("round"), "this hole has `size` and `round`", "keep one of the two"));
            None
        }
        (Slot::Given(size), _) => pair(size, &path.key("size"), found)
            .and_then(|(width, depth)| Some(HoleForm::Box { at: point(at?), width, depth })),
        (_, Slot::Given(diameter)) => Some(HoleForm::Round { at: point(at?), diameter }),
        _ => None,
    };
    let finish = hole_finish(raw.finish, form.as_ref(), path, found);
    let trimmers_said = !raw.trimmers.is_missing();
    let timber = NewTimber {
        trimmers_said,
        kerb: timber(raw.kerb, (form.as_ref(), finish), path.key("kerb"), found),
        trimmers: timber(raw.trimmers, (form.as_ref(), finish), path.key("trimmers"), found),
    };
    let upstand = old_kerb(raw.upstand, (form.as_ref(), finish), timber, path.key("upstand"), found);
    if let (Some(HoleForm::Box { width, depth, .. }), Some(Finish::Kerb)) = (&form, finish) {
        small((*width).min(*depth), timber.kerb, path, found);
    }
    Some(Hole { name: name?, path: path.to_owned(), form: form?, finish: finish?, timber, upstand })
}

/// No rooflight or hatch is smaller within its kerb (common practice, no source).
const SMALL: Length = Length::mm(250);

/// Tells a kerbed opening through which nobody could look: within a new kerb there is none, round an old one it is doubtful.
fn small(side: Length, kerb: Option<Section>, path: &SettingPath, found: &mut Vec<Problem>) {
    let clear = kerb.map(|kerb| side - kerb.thickness - kerb.thickness);
    let cure = "check the figures and their units: `size` is measured to the outside of the kerb, and a pipe is `round: 110 mm`";
    match clear {
        Some(clear) if clear < SMALL => {
            let left = if clear > Length::ZERO { clear.to_string() } else { "nothing".to_owned() };
            let fault = format!("of {side}, the new kerb leaves {left} clear: no rooflight or hatch is that small");
            found.push(Problem::fault(path.key("size"), fault, cure));
        }
        None if side < SMALL => {
            let fault = format!("a rooflight or a hatch is hardly {side} wide over its kerb");
            found.push(Problem::warning(Warned::SmallSize, path.key("size"), fault, cure));
        }
        _ => {}
    }
}

/// How high the kerb that is there stands, of an opening that has one.
fn old_kerb(
    raw: Slot<Length>,
    (form, finish): (Option<&HoleForm>, Option<Finish>),
    timber: NewTimber,
    path: SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    let high = raw.take()?;
    let (fault, cure) = if timber.kerb.is_some() {
        ("a new kerb is as high as the roof wants it", "take it out, or write `kerb: existing`")
    } else if matches!(form, Some(HoleForm::Round { .. })) || finish == Some(Finish::Wall) {
        (
            "this is the height of an old kerb, and no kerb stands here",
            "take it out, or write `size` and `finish: kerb`",
        )
    } else {
        return Some(high);
    };
    found.push(Problem::fault(path, fault, cure));
    None
}

/// The section of new timber, where that is said, of an opening that has a kerb.
fn timber(
    raw: Slot<TimberSaid>,
    (form, finish): (Option<&HoleForm>, Option<Finish>),
    path: SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Section> {
    let section = raw.take()?.0?;
    if matches!(form, Some(HoleForm::Round { .. })) || finish == Some(Finish::Wall) {
        let fault = "a kerb and trimmers are built round a rooflight or a hatch: this hole is none";
        found.push(Problem::fault(path, fault, "take it out, or write `size` and `finish: kerb`"));
        return None;
    }
    let limits = [(section.thickness, limits::TIMBER_THICKNESS), (section.width, limits::TIMBER_WIDTH)];
    let beyond = limits.into_iter().find(|(side, limits)| !limits.limit.holds(side.as_mm().into()));
    if let Some((side, limits)) = beyond {
        let cure = "write thickness and depth as they are sold, such as `47 × 170 mm`";
        found.push(Problem::fault(path, format!("{side} is not {}: it lies {}", limits.what, limits.words()), cure));
        return None;
    }
    Some(section)
}

fn hole_finish(
    raw: Slot<Finish>,
    form: Option<&HoleForm>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Finish> {
    let round = matches!(form, Some(HoleForm::Round { .. }));
    let fault = match raw {
        Slot::Bad => return None,
        Slot::Missing if round || form.is_none() => return Some(Finish::Kerb),
        Slot::Missing => "a hole needs `finish`".to_owned(),
        Slot::Given(Finish::Kerb) => return Some(Finish::Kerb),
        Slot::Given(Finish::Wall) if !round => return Some(Finish::Wall),
        Slot::Given(_) if round => "a pipe carries a collar, no trim".to_owned(),
        Slot::Given(other) => format!("no {} trim stands round a hole", other.word()),
    };
    let cure = match round {
        true => "take `finish` out",
        false => "write `finish: kerb` for a rooflight or hatch, `finish: wall` for a chimney",
    };
    found.push(Problem::fault(path.key("finish"), fault, cure));
    None
}

/// Two lengths: along the front, then up the roof.
pub(crate) fn pair(list: List<Length>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<(Length, Length)> {
    let [x, y] = &list[..] else {
        let fault = format!("this should be two lengths, not {}", list.len());
        found.push(Problem::fault(
            path,
            fault,
            "write `[1.8 m, 1.1 m]`: along the front from the left, then up the roof",
        ));
        return None;
    };
    Some((*x.given()?, *y.given()?))
}

/// The point of two lengths.
pub(crate) fn point((x, y): (Length, Length)) -> Point {
    Point::new(x.as_mm(), y.as_mm())
}

/// The outlets of a roof, whether the file gives one or a list: each inside the outline, clear of the others.
pub(crate) fn outlets(
    one: Slot<OneOrMany<RawOutlet>>,
    list: Slot<OneOrMany<RawOutlet>>,
    outline: Option<&Outline>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Vec<Outlet> {
    if !one.is_missing() && !list.is_missing() {
        let cure = "keep one of the two: `outlets: [{at: […], size: 75 mm}, …]` takes them all";
        found.push(Problem::fault(path.key("outlet"), "this roof has `outlet` and `outlets`", cure));
        return Vec::new();
    }
    let (path, given) = match one.is_missing() {
        true => (path.key("outlets"), list),
        false => (path.key("outlet"), one),
    };
    let read: Vec<Option<Outlet>> = match given.take() {
        None => Vec::new(),
        Some(OneOrMany::One(raw)) => vec![outlet(raw, outline, path, found)],
        Some(OneOrMany::Many(list)) => {
            if list.is_empty() {
                found.push(Problem::fault(&path, "this list of outlets is empty", "give an outlet, or take it out"));
            }
            if too_many(list.len(), limits::OUTLETS, &path, found) {
                return Vec::new();
            }
            let each = list.into_iter().enumerate();
            each.map(|(n, raw)| outlet(raw.take()?, outline, path.entry(n), found)).collect()
        }
    };
    let good: Vec<Outlet> = read.into_iter().flatten().collect();
    for (n, later) in good.iter().enumerate() {
        if good[..n].iter().any(|before| placed::outlets_meet(before, later)) {
            let fault = "this outlet stands in or against another";
            found.push(Problem::fault(later.path.key("at"), fault, "check `at` and the size of both"));
        }
    }
    good
}

/// One outlet, which must stand inside the outline. `path` is its own.
fn outlet(raw: RawOutlet, outline: Option<&Outline>, path: SettingPath, found: &mut Vec<Problem>) -> Option<Outlet> {
    let at = raw.at.take().and_then(|l| pair(l, &path.key("at"), found));
    let size = raw.size.given().copied();
    let head = raw.head.take();
    let strainer = raw.strainer.take().is_some_and(|s| s.0);
    let outlet = Outlet { path, at: point(at?), size: size?, head, strainer };
    let hole = Hole {
        name: "outlet".to_owned(),
        path: outlet.path.clone(),
        form: HoleForm::Round { at: outlet.at, diameter: outlet.size },
        finish: Finish::Kerb,
        timber: NewTimber::default(),
        upstand: None,
    };
    if let Some(outline) = outline {
        placed::inside(&hole, "the outlet", outline, found);
    }
    Some(outlet)
}
