//! A gutter under a drip edge, as far as its flow can be checked.
//!
//! Given what the file says of it; gives shape, size and detail, and every key that a gutter of this shape still needs.
//! In short form (`half-round 112 mm`) nothing more is demanded: what cannot be checked is told by the check itself.

use crate::checks::rainwater;
use crate::job_file::raw::checks::{RawGutter, RawGutterDetail, RawGutterOutlet};
use crate::job_file::read::reading::Slot;
use crate::model::gutter::{GutterDetail, OutletDetail, OutletPlace};
use crate::model::shape::Gutter;
use crate::model::{Area, Length, Problem, SettingPath};
use rust_decimal::Decimal;

/// The gutter of an edge; `path` is that of the gutter.
pub(crate) fn gutter(raw: Slot<RawGutter>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Gutter> {
    match raw.take()? {
        RawGutter::Short(gutter) => Some(gutter),
        RawGutter::Long(raw) => long(*raw, path, found),
    }
}

fn long(raw: RawGutterDetail, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Gutter> {
    over_nothing(&raw, path, found);
    let bad = [raw.area.is_bad(), raw.depth.is_bad(), raw.depth_factor.is_bad(), raw.shape_factor.is_bad()];
    let unsure = bad.contains(&true) || raw.carries.is_bad();
    let (shape, size) = (raw.shape.take()?, raw.size.take()?);
    let (place, outlet) = raw.outlet.take().map_or((OutletPlace::End, None), |o| outlet(o, path, found));
    let positive = |l: Option<Length>| l.filter(|l| *l > Length::ZERO);
    let detail = GutterDetail {
        path: path.to_owned(),
        shape,
        size,
        area: raw.area.take().map(|a| a.0).filter(|a| *a > Area::ZERO),
        depth: positive(raw.depth.take()),
        length: positive(raw.length.take()),
        outlet_place: place,
        outlet,
        depth_factor: raw.depth_factor.take().filter(|f| *f > Decimal::ZERO),
        shape_factor: raw.shape_factor.take().filter(|f| *f > Decimal::ZERO),
        stated: raw.carries.take(),
    };
    if !unsure {
        let told = |p: &Problem| found.iter().any(|f| f.place == p.place);
        let missing: Vec<Problem> = rainwater::missing(&detail).into_iter().filter(|p| !told(p)).collect();
        found.extend(missing);
    }
    Some(Gutter { shape: shape.word().to_owned(), size, detail: Some(detail) })
}

/// Sizes and factors of nothing.
fn over_nothing(raw: &RawGutterDetail, path: &SettingPath, found: &mut Vec<Problem>) {
    let zero = |l: &Slot<Length>| l.given() == Some(&Length::ZERO);
    let none = |d: &Slot<Decimal>| d.given().is_some_and(Decimal::is_zero);
    let wrong = [
        ("size", zero(&raw.size), "measure the width at the top"),
        (
            "area",
            raw.area.given().is_some_and(|a| a.0 == Area::ZERO),
            "write the cross-section of the data sheet: `area: 5600 mm2`",
        ),
        ("depth", zero(&raw.depth), "measure from the bottom to where it would spill over"),
        ("length", zero(&raw.length), "measure it, or take `length` out: it is as long as its edge then"),
        ("depth_factor", none(&raw.depth_factor), "read F_d off the chart of BS EN 12056-3"),
        ("shape_factor", none(&raw.shape_factor), "read F_s off the chart of BS EN 12056-3; a rectangle has 1"),
    ];
    for (key, _, cure) in wrong.into_iter().filter(|(_, wrong, _)| *wrong) {
        found.push(Problem::fault(path.key(key), format!("the gutter's `{key}` cannot be nothing"), cure));
    }
}

/// Where the outlet stands, and its detail where its size is known.
fn outlet(raw: RawGutterOutlet, path: &SettingPath, found: &mut Vec<Problem>) -> (OutletPlace, Option<OutletDetail>) {
    let place = raw.at.or_taken(OutletPlace::End, || {
        found.push(Problem::assumed(
            path.keys(["outlet", "at"]),
            "where the gutter's outlet stands is not said: at one end is taken, which is on the safe side",
            "add `at: end`, or `at: middle`",
        ));
    });
    let sized = !raw.size.is_missing();
    if !sized && (!raw.head.is_missing() || !raw.strainer.is_missing()) {
        let fault = "an outlet's `head` and `strainer` say nothing without its size";
        found.push(Problem::fault(path.keys(["outlet", "size"]), fault, "add, for example, `size: 63 mm`"));
    }
    let Some(diameter) = raw.size.take() else { return (place, None) };
    if diameter == Length::ZERO {
        let fault = "an outlet cannot be nothing across";
        found.push(Problem::fault(path.keys(["outlet", "size"]), fault, "measure its diameter at the top"));
    }
    let strainer = raw.strainer.take().is_some_and(|s| s.0);
    (place, Some(OutletDetail { diameter, head: raw.head.take(), strainer }))
}
