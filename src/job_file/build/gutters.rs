//! A gutter under a drip edge, as far as its flow can be checked.
//!
//! Given what the file says of it; gives shape, size and detail, and every key that a gutter of this shape still needs.
//! In short form (`half-round 112 mm`) nothing more is demanded: what cannot be checked is told by the check itself.

use crate::checks::rainwater;
use crate::job_file::raw::checks::{RawGutter, RawGutterDetail, RawGutterOutlet};
use crate::job_file::raw::job::{RawBoxGutter, RawSoleOutlet};
use crate::job_file::read::reading::Slot;
use crate::model::gutter::{GutterDetail, OutletDetail, OutletPlace};
use crate::model::shape::Gutter;
use crate::model::shape::{BoxGutter, SoleOutlet};
use crate::model::{Problem, SettingPath};

/// The gutter of an edge; `path` is that of the gutter.
pub(crate) fn gutter(raw: Slot<RawGutter>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Gutter> {
    match raw.take()? {
        RawGutter::Short(gutter) => Some(*gutter),
        RawGutter::Long(raw) => long(*raw, path, found),
    }
}

fn long(raw: RawGutterDetail, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Gutter> {
    let bad = [raw.area.is_bad(), raw.depth.is_bad(), raw.depth_factor.is_bad(), raw.shape_factor.is_bad()];
    let unsure = bad.contains(&true) || raw.carries.is_bad();
    let (shape, size) = (raw.shape.take()?, raw.size.take()?);
    let (place, outlets, outlet) = raw.outlet.take().map_or((OutletPlace::End, 1, None), |o| outlet(o, path, found));
    let detail = GutterDetail {
        path: path.to_owned(),
        shape,
        size,
        area: raw.area.take().map(|a| a.0),
        depth: raw.depth.take(),
        length: raw.length.take(),
        outlet_place: place,
        outlets,
        outlet,
        depth_factor: raw.depth_factor.take(),
        shape_factor: raw.shape_factor.take(),
        stated: raw.carries.take(),
    };
    if !unsure {
        let told = |p: &Problem| found.iter().any(|f| f.place == p.place);
        let missing: Vec<Problem> = rainwater::missing(&detail).into_iter().filter(|p| !told(p)).collect();
        found.extend(missing);
    }
    Some(Gutter { shape: shape.word().to_owned(), size, detail: Some(detail) })
}

/// Where the outlets stand, how many there are, and what one is like where its size is known.
fn outlet(
    raw: RawGutterOutlet,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> (OutletPlace, u32, Option<OutletDetail>) {
    let outlets = raw.count.take().unwrap_or(1);
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
    let Some(diameter) = raw.size.take() else { return (place, outlets, None) };
    let strainer = raw.strainer.take().is_some_and(|s| s.0);
    (place, outlets, Some(OutletDetail { diameter, head: raw.head.take(), strainer }))
}

/// A box gutter; `None` where a size is missing, which has been told.
pub(crate) fn box_gutter(raw: RawBoxGutter, path: &SettingPath) -> Option<BoxGutter> {
    let outlet = raw.outlet.take().and_then(sole_outlet);
    let board = raw.board.take().map(|b| b.0);
    let (width, depth, fall) = (raw.width.take(), raw.depth.take(), raw.fall.take());
    let (width, depth, fall, outlet) = (width?, depth?, fall?, outlet?);
    let (depth_factor, new) = (raw.depth_factor.take(), raw.new.take().is_some_and(|new| new.0));
    Some(BoxGutter { path: path.clone(), width, depth, fall, outlet, new, board, depth_factor })
}

fn sole_outlet(raw: RawSoleOutlet) -> Option<SoleOutlet> {
    let strainer = raw.strainer.take().is_some_and(|s| s.0);
    Some(SoleOutlet { at: raw.at.take()?, size: raw.size.take()?, head: raw.head.take(), strainer })
}
