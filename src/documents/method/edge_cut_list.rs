//! To what edge battens and edge timber are cut: in words for few roofs, as a table where nobody would find his roof in them.
//!
//! Given what was worked; gives the pieces side by side and layer by layer, in the order of cutting. A layer whose joints would lie on
//! those of the one before is laid from the other end.

use super::super::cells::{cell, left, plain, strong, wide};
use super::super::{WholeJob, wording};
use crate::model::Length;
use crate::pages::block::{Row, Span, Table};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::edge_cuts::{EdgeCuts, EdgeRun, RoofEdgeCuts};
use std::collections::BTreeMap;

/// Edge battens, or edge timber.
pub(super) type OfRoof = fn(&RoofEdgeCuts) -> &EdgeCuts;

/// The pieces of so many roofs, and of so many sides of one, stand in words.
const FEW_ROOFS: usize = 2;
const FEW_SIDES: usize = 4;

/// Whether what is cut for the roofs stands in a table.
pub(super) fn is_listed(worked: &WholeJob<'_>, of: OfRoof) -> bool {
    let sides = |cuts: &EdgeCuts| cuts.runs.chunk_by(|a, b| a.side == b.side).count();
    cut(worked, of).count() > FEW_ROOFS || cut(worked, of).any(|(.., cuts)| sides(cuts) > FEW_SIDES)
}

/// `Main roof, from 3.6 m: front 3600 + 1600; right 2000 + 1400`, with the roof's name where there are several; nothing where a table
/// says it.
pub(super) fn in_words(worked: &WholeJob<'_>, of: OfRoof) -> Vec<String> {
    let several = worked.take_off.roofs.len() > 1;
    let line = |(laid, stock, cuts): (&RoofLayout, Length, &EdgeCuts)| {
        let sides: Vec<String> = sides(laid, cuts, worked).iter().map(|(side, of)| format!("{side} {of}")).collect();
        let name = if several { format!("{}, from", worked.short_name(&laid.shape.name)) } else { "from".to_owned() };
        format!("{name} {}: {}", wording::metres(stock), sides.join("; "))
    };
    if is_listed(worked, of) { Vec::new() } else { cut(worked, of).map(line).collect() }
}

/// The same as a table, a row a roof; of a roof alone a row a side.
pub(super) fn table(worked: &WholeJob<'_>, of: OfRoof) -> Option<Table> {
    let one = cut(worked, of).next().filter(|_| worked.take_off.roofs.len() == 1);
    if let Some((laid, stock, cuts)) = one.filter(|_| is_listed(worked, of)) {
        let row = |(side, of): (String, String)| plain(vec![strong(wording::capital(&side)), cell(of)]);
        let columns = vec![left("Edge"), wide(&format!("Pieces, mm, from {}", wording::metres(stock)), 1)];
        return Some(Table { columns, rows: sides(laid, cuts, worked).into_iter().map(row).collect(), header: true });
    }
    let row = |(laid, stock, cuts): (&RoofLayout, Length, &EdgeCuts)| -> Row {
        let sides = sides(laid, cuts, worked);
        let last = sides.len().saturating_sub(1);
        let side = |(i, (side, of)): (usize, &(String, String))| {
            let end = if i == last { "" } else { "; " };
            // No line ends between a side and its first piece.
            [Span::bold(side.as_str()), Span::plain(format!("\u{a0}{of}{end}"))]
        };
        let pieces = sides.iter().enumerate().flat_map(side).collect();
        plain(vec![strong(worked.short_name(&laid.shape.name)), cell(wording::metres(stock)), pieces])
    };
    is_listed(worked, of).then(|| Table {
        columns: vec![left("Roof"), left("From"), wide("Pieces, mm", 1)],
        rows: cut(worked, of).map(row).collect(),
        header: true,
    })
}

/// Edge timber and the battens on its face in one table, a row a side, of a roof alone: they are cut and fixed one after the other.
pub(super) fn timber_with_battens(worked: &WholeJob<'_>) -> Option<Table> {
    let [laid] = worked.take_off.roofs.as_slice() else { return None };
    laid.over.as_ref()?;
    let of = |of: OfRoof| cut(worked, of).next().filter(|_| is_listed(worked, of));
    let (_, long, timber) = of(|cuts| &cuts.timber)?;
    let (_, long_battens, battens) = of(|cuts| &cuts.battens)?;
    let by_side = |cuts: &EdgeCuts| {
        let numbers = cuts.runs.chunk_by(|a, b| a.side == b.side).map(|of_side| of_side[0].side);
        numbers.zip(sides(laid, cuts, worked)).collect::<BTreeMap<usize, (String, String)>>()
    };
    let (timber, mut battens) = (by_side(timber), by_side(battens));
    let mut rows: BTreeMap<usize, [String; 3]> = BTreeMap::new();
    for (side, (label, pieces)) in timber {
        let of_battens = battens.remove(&side).map(|(_, pieces)| pieces).unwrap_or_default();
        rows.insert(side, [label, pieces, of_battens]);
    }
    rows.extend(battens.into_iter().map(|(side, (label, pieces))| (side, [label, String::new(), pieces])));
    let row = |[label, timber, battens]: [String; 3]| {
        plain(vec![strong(wording::capital(&label)), cell(timber), cell(battens)])
    };
    let from = |what: &str, long: Length| wide(&format!("{what}, mm, from {}", wording::metres(long)), 1);
    Some(Table {
        columns: vec![left("Edge"), from("Edge timber", long), from("Battens", long_battens)],
        rows: rows.into_values().map(row).collect(),
        header: true,
    })
}

/// The roofs for which something is cut from lengths of one size, with that size.
fn cut<'a>(
    worked: &WholeJob<'a>,
    of: OfRoof,
) -> impl Iterator<Item = (&'a RoofLayout, Length, &'a EdgeCuts)> + use<'a> {
    let cuts = worked.take_off.roofs.iter().zip(worked.take_off.edge_cuts.iter().map(of));
    cuts.filter_map(|(laid, cuts)| Some((laid, cuts.stock.filter(|_| !cuts.runs.is_empty())?, cuts)))
}

/// Each side with the pieces of its layers: `3600 + 1600, 2000 + 3200`.
fn sides(laid: &RoofLayout, cuts: &EdgeCuts, worked: &WholeJob<'_>) -> Vec<(String, String)> {
    let side = |layers: &[EdgeRun]| {
        let mut below: Vec<Length> = Vec::new();
        let layer = |run: &EdgeRun| {
            let pieces: Vec<String> = run.pieces.iter().map(|piece| piece.length.as_mm().to_string()).collect();
            let (joints, turned) = turned_off(&below, run, worked.rules.batten_fixing);
            below = joints;
            format!("{}{}", pieces.join(" + "), if turned { " from the other end" } else { "" })
        };
        let of_side: Vec<String> = layers.iter().map(layer).collect();
        (laid.shape.sides[layers[0].side].label.clone(), of_side.join(", "))
    };
    cuts.runs.chunk_by(|a, b| a.side == b.side).map(side).collect()
}

/// Where the joints of a layer lie, and whether it is laid from the other end: where they would lie nearer than `apart` to one of the
/// layer below, and do not so.
fn turned_off(below: &[Length], run: &EdgeRun, apart: Length) -> (Vec<Length>, bool) {
    let whole: Length = run.pieces.iter().map(|piece| piece.length).sum();
    let ends = run.pieces.iter().scan(Length::ZERO, |at, piece| {
        *at += piece.length;
        Some(*at)
    });
    let joints: Vec<Length> = ends.filter(|end| *end < whole).collect();
    let turned: Vec<Length> = joints.iter().map(|joint| whole - *joint).collect();
    let near = |all: &[Length]| all.iter().any(|a| below.iter().any(|b| (*a - *b).as_mm().abs() < apart.as_mm()));
    if near(&joints) && !near(&turned) { (turned, true) } else { (joints, false) }
}
