//! New timber round openings on the site sheet: what it is cut from, and what hangs on what.
//!
//! Given what was worked; gives a table and lines. Every piece is named by its opening, and by its roof where there are
//! several.

use super::WholeJob;
use super::cells::{cell, left, plain, strong, wide};
use super::kerb_goods::{is_for, named};
use super::wording;
use super::words::Vocabulary;
use crate::geometry::region::{Bounds, bounds_of};
use crate::geometry::segment::distance;
use crate::model::shape::JoistRun;
use crate::model::{Length, Roof, Section};
use crate::pages::block::{Block, Row, Table};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::joist_numbers::{BesideKerb, OnJoist, firrings_beside_kerbs, pipes_on_joists};
use crate::takeoff::layout::shape::HoleShape;
use crate::takeoff::layout::timber::{KeptKerb, OpeningTimber, TimberBar, TimberKind};
use std::collections::{BTreeMap, BTreeSet};

/// What the templates may say of new timber.
pub fn vocabulary(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    let roofs = &worked.take_off.roofs;
    let several = roofs.len() > 1;
    let names = |kerbs: bool| -> Vec<String> {
        roofs
            .iter()
            .flat_map(|r| r.built_openings(kerbs).into_iter().map(move |name| named(&name, several.then_some(r))))
            .collect()
    };
    let timber = |kerbs: bool| -> Vec<String> {
        let all: BTreeSet<Section> = roofs.iter().flat_map(|r| r.openings.of_kerbs(kerbs)).map(|p| p.section).collect();
        all.iter().map(Section::to_string).collect()
    };
    let mut hangers: BTreeMap<Length, usize> = BTreeMap::new();
    for (&thickness, n) in roofs.iter().flat_map(|r| &r.openings.hangers) {
        *hangers.entry(thickness).or_default() += n;
    }
    let hangers: Vec<String> = hangers.iter().map(|(thickness, n)| format!("{n} for {thickness}")).collect();
    v.text("fragile", wording::list(&fragile(roofs, several)))
        .texts("pipes_on_joists", &on_joists(worked, several))
        .text("trimmed", wording::list(&names(false)))
        .text("trimmed_first", wording::capital(&wording::list(&names(false))))
        .text("trimmer_timber", wording::list(&timber(false)))
        .text("edge_joists", wording::list(&edge_joists(roofs, several)))
        .text("edge_joist_timber", wording::list(&edge_joist_timber(roofs)))
        .text("trimmer_plies", worked.rules.trimmer_plies.to_string())
        .text("trimmer_hangers", wording::list(&hangers))
        .text("joist_bearing", worked.rules.joist_bearing.to_string())
        .text("joists_less", joists_less(worked, several))
        .text("timber_fixing", worked.rules.timber_fixing.to_string())
        .text("new_kerbs", wording::list(&names(true)))
        .text("kerb_timber", wording::list(&timber(true)))
        .texts("kerb_goods", &kerb_goods(worked, several))
        .texts("kerb_depths", &kerb_depths(roofs, several))
        .texts("beside_kerbs", &beside_kerbs(worked, several))
        .texts("sides_inside", &sides_inside(worked, several))
        .text("kept_kerbs", wording::list(&kept(roofs, several)))
        .texts("kept_heights", &kept_heights(worked, several));
}

/// `soil pipe stands on joist 14 from the front`: the pipes and outlets that land on a joist.
fn on_joists(worked: &WholeJob<'_>, several: bool) -> Vec<String> {
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let words = |met: OnJoist| {
            let pipe = met.pipe.unwrap_or_else(|| "outlet".to_owned());
            let pipe = named(&pipe, several.then_some(laid));
            format!("{pipe} stands on joist {} {}", met.joist, wording::counted_from(roof.joists.run))
        };
        pipes_on_joists(roof, laid).into_iter().map(words).collect()
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).flat_map(of).collect()
}

/// `24 mm off the one on joist 4, 900 to 1800 mm from the front (rooflight of No. 14)`: firrings where a kerb stands on their joist.
fn beside_kerbs(worked: &WholeJob<'_>, several: bool) -> Vec<String> {
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let words = |b: BesideKerb| {
            let what = if b.packs { "the packing beside joist" } else { "the one on joist" };
            let (from, to, counted) = (b.from.as_mm(), b.to.as_mm(), wording::along_joists(roof.joists.run));
            let opening = hole_of_roof(laid, b.hole, several);
            format!("{} off {what} {}, {from} to {to} mm {counted} ({opening})", b.cut, b.joist)
        };
        firrings_beside_kerbs(roof, laid).into_iter().map(words).collect()
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).flat_map(of).collect()
}

/// `24 mm (rooflight of No. 14)`: how far the timber at a side of an opening stands inside the kerb that bears on it.
fn sides_inside(worked: &WholeJob<'_>, several: bool) -> Vec<String> {
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let inside = |(n, hole): (usize, &HoleShape)| {
            let Bounds { least, most } = bounds_of(hole.ring.iter().copied())?;
            let kerb = roof.holes.get(n)?.timber.kerb?.thickness.as_mm();
            let of = |p: &OpeningTimber| {
                let at = match roof.joists.run {
                    JoistRun::FrontToBack => (p.from.x - least.x).min(most.x - p.from.x),
                    JoistRun::LeftToRight => (p.from.y - least.y).min(most.y - p.from.y),
                };
                (2 * at + p.section.thickness.as_mm() + 1) / 2 - kerb
            };
            let sides = laid.openings.pieces.iter().filter(|p| p.kind == TimberKind::Side && p.hole == n);
            let most = sides.map(of).max().filter(|out| *out > 1)?;
            Some(format!("{} ({})", Length::mm(most), hole_of_roof(laid, n, several)))
        };
        laid.shape.holes.iter().enumerate().filter_map(inside).collect()
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).flat_map(of).collect()
}

/// `the hatch (from the customer)`: what stands on each new kerb, and where it comes from.
fn kerb_goods(worked: &WholeJob<'_>, several: bool) -> Vec<String> {
    let goods = &worked.job.goods;
    let of = |r: &RoofLayout, opening: String| {
        let bought = goods.iter().any(|g| g.bought().is_some() && is_for(g, &opening));
        let from = if bought { "merchant" } else { "customer" };
        format!("the {} (from the {from})", of_roof(&opening, several.then_some(r)))
    };
    let roofs = worked.take_off.roofs.iter();
    roofs.flat_map(|r| r.built_openings(true).into_iter().map(move |opening| of(r, opening))).collect()
}

/// The edges along which joists are set, with their roof where there are several.
fn edge_joists(roofs: &[RoofLayout], several: bool) -> Vec<String> {
    let of =
        |r: &RoofLayout| r.joists_set().into_iter().map(|side| named(&side, several.then_some(r))).collect::<Vec<_>>();
    roofs.iter().flat_map(of).collect()
}

/// What the joists of the cut list are still longer by at an open edge: nobody measures how thick a fascia is. Where the roof was
/// measured to its battens they stand before the fascia, and so count with it.
fn joists_less(worked: &WholeJob<'_>, several: bool) -> String {
    let is_open = |r: &&RoofLayout| {
        let mut joists =
            r.openings.pieces.iter().filter(|p| matches!(p.kind, TimberKind::Doubling | TimberKind::EdgeJoist));
        let in_walls = worked.rules.joist_bearing * 2;
        joists.any(|p| p.length < distance(p.from, p.to) + in_walls)
    };
    let (moved, measured): (Vec<&RoofLayout>, Vec<&RoofLayout>) =
        worked.take_off.roofs.iter().filter(is_open).partition(|r| r.shape.moved);
    let names: Vec<String> = measured.iter().map(|r| r.shape.name.clone()).collect();
    match (moved.is_empty(), measured.is_empty()) {
        (true, true) => String::new(),
        (false, true) => "the fascia".to_owned(),
        (false, false) if several => format!("the fascia, and the battens too ({})", wording::list(&names)),
        _ => "battens and fascia".to_owned(),
    }
}

fn edge_joist_timber(roofs: &[RoofLayout]) -> Vec<String> {
    let all: BTreeSet<Section> = roofs.iter().flat_map(|r| r.openings.edge_joists()).map(|p| p.section).collect();
    all.iter().map(Section::to_string).collect()
}

/// An opening by its place among its roof's, and that roof where there are several.
fn hole_named(r: &RoofLayout, hole: usize, several: bool) -> String {
    named(r.shape.holes.get(hole).map_or("", |h| h.name.as_str()), several.then_some(r))
}

/// The same where it stands in brackets, or before others.
fn hole_of_roof(r: &RoofLayout, hole: usize, several: bool) -> String {
    of_roof(r.shape.holes.get(hole).map_or("", |h| h.name.as_str()), several.then_some(r))
}

/// `rooflight of No. 14`: brackets in brackets are hard to read.
fn of_roof(opening: &str, roof: Option<&RoofLayout>) -> String {
    roof.map_or_else(|| opening.to_owned(), |r| format!("{opening} of {}", r.shape.name))
}

/// The rooflights and hatches that are there, which carry nobody; one that is still to be cut guards nobody by a tick.
fn fragile(roofs: &[RoofLayout], several: bool) -> Vec<String> {
    let openings = |r: &RoofLayout| {
        let cut = r.built_openings(false);
        let holes = r.shape.holes.iter().enumerate();
        let holes = holes.filter(|(_, hole)| hole.is_opening() && !cut.contains(&hole.name));
        holes.map(|(n, _)| hole_named(r, n, several)).collect::<Vec<_>>()
    };
    roofs.iter().flat_map(openings).collect()
}

/// The openings whose kerb is there and stays.
fn kept(roofs: &[RoofLayout], several: bool) -> Vec<String> {
    roofs.iter().flat_map(|r| r.openings.kept.iter().map(move |kept| hole_named(r, kept.hole, several))).collect()
}

/// `rooflight: 328 mm (the roof comes up 178 mm)`: how high the old kerb must stand above the old roof; one that was measured lower
/// as high as it stands: `rooflight: 200 mm, as measured (the roof comes up 99 mm: 101 mm left)`.
fn kept_heights(worked: &WholeJob<'_>, several: bool) -> Vec<String> {
    let up = worked.rules.mat_return.kerb;
    let of = |r: &RoofLayout, kept: &KeptKerb| {
        let (name, rise) = (hole_named(r, kept.hole, several), kept.rise);
        match kept.lacks(up) {
            Some(left) => format!("{name} {}, as measured (the roof comes up {rise}: {left} left)", left + rise),
            None => format!("{name} {} (the roof comes up {rise})", rise + up),
        }
    };
    worked.take_off.roofs.iter().flat_map(|r| r.openings.kept.iter().map(move |k| of(r, k))).collect()
}

/// `ripped to 215 mm`, `as sold, 220 mm`; with `(rooflight)` where there are several: how deep the timber of each kerb is.
fn kerb_depths(roofs: &[RoofLayout], several: bool) -> Vec<String> {
    let kerbs: usize = roofs.iter().map(|r| r.openings.kerbs.len()).sum();
    let of = |r: &RoofLayout, kerb: &(usize, Length)| {
        let &(hole, depth) = kerb;
        let name = r.shape.holes.get(hole).map_or("", |h| h.name.as_str());
        let depth =
            if r.openings.is_as_sold(kerb) { format!("as sold, {depth}") } else { format!("ripped to {depth}") };
        match kerbs {
            1 => depth,
            _ => format!("{depth} ({})", of_roof(name, several.then_some(r))),
        }
    };
    roofs.iter().flat_map(|r| r.openings.kerbs.iter().map(move |k| of(r, k))).collect()
}

/// What is cut from lengths of timber that are cut alike: of each of them where there are several.
fn of_each(lengths: usize, cut: &str) -> String {
    if lengths > 1 { format!("each: {cut}") } else { cut.to_owned() }
}

/// Every length of timber, and what is cut from it, those cut alike in one row.
pub fn cuts(worked: &WholeJob<'_>) -> Vec<Block> {
    let roofs = &worked.take_off.roofs;
    let many = roofs.iter().flat_map(|r| &r.shape.holes).count() > 1;
    let piece = |&(roof, p): &(usize, OpeningTimber)| {
        let of = roofs.get(roof).map_or("", |r| p.place(&r.shape));
        let what = if (many && p.kind != TimberKind::Doubling) || p.kind == TimberKind::EdgeJoist {
            format!("{}, {of}", p.kind.words())
        } else {
            p.kind.words().into()
        };
        (what, p.length.as_mm())
    };
    let cut = |bar: &TimberBar| {
        let pieces: Vec<(String, i64)> = bar.pieces.iter().map(piece).collect();
        let alike = pieces.chunk_by(|a, b| a == b);
        alike
            .map(|same| match same.len() {
                1 => format!("{} ({})", same[0].1, same[0].0),
                n => format!("{n} × {} ({})", same[0].1, same[0].0),
            })
            .collect::<Vec<_>>()
            .join(" + ")
    };
    let mut rows: Vec<Row> = Vec::new();
    for plan in &worked.take_off.timbers {
        let bars: Vec<(String, String)> = plan.bars.iter().map(|b| (b.stock.to_string(), cut(b))).collect();
        let same = bars.chunk_by(|a, b| a == b);
        rows.extend(same.map(|same| {
            let (stock, cut) = &same[0];
            plain(vec![
                strong(plan.section.to_string()),
                cell(format!("{} × {stock}", same.len())),
                cell(of_each(same.len(), cut)),
            ])
        }));
    }
    let columns = vec![left("Timber"), left("From"), wide("Cut, mm", 1)];
    if rows.is_empty() { Vec::new() } else { vec![Block::Table(Table { columns, rows, header: true })] }
}
