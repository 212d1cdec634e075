//! The boards that line parapets, as they are cut.
//!
//! Given what was worked; gives a table, grouped by wall. A face that follows the fall is told by both its heights.

use super::super::cells::{cell, group, left, plain, right, strong, wide};
use super::super::{WholeJob, wording};
use crate::pages::block::{Row, Table};
use crate::takeoff::layout::{LiningBoard, ParapetLining, RoofLayout};
use std::collections::BTreeMap;

/// The boards of every lining; nothing where no parapet is lined.
pub(super) fn table(worked: &WholeJob<'_>) -> Option<Table> {
    let roofs = &worked.take_off.roofs;
    let columns = vec![
        left("Piece"),
        wide("Part", 1),
        right("Length, mm"),
        right("Taller end, mm"),
        right("Shorter end, mm"),
        left("Board"),
    ];
    let width = columns.len();
    // Boards of one kind are numbered on from lining to lining.
    let mut opened: BTreeMap<&str, usize> = BTreeMap::new();
    let of = |laid: &RoofLayout, lining: &ParapetLining, before: usize| -> Vec<Row> {
        let side = laid.shape.sides.get(lining.side).map_or("", |s| s.label.as_str());
        let name = if roofs.len() > 1 { format!("{}, {side}", laid.shape.name) } else { wording::capital(side) };
        let row = |b: &LiningBoard| {
            let (most, least) = laid.lining_heights(lining.side, b).unwrap_or((b.width, b.width));
            let part = if b.top { "top" } else { "face" };
            let [long, most, least] = [b.length, most, least].map(|l| cell(l.as_mm().to_string()));
            plain(vec![strong(&*b.mark), cell(part), long, most, least, cell((before + b.board + 1).to_string())])
        };
        std::iter::once(group(name, width)).chain(lining.boards.iter().map(row)).collect()
    };
    let mut rows: Vec<Row> = Vec::new();
    for (laid, lining) in roofs.iter().flat_map(|laid| laid.parapets.iter().map(move |lining| (laid, lining))) {
        let before = opened.entry(lining.board.as_str()).or_default();
        rows.extend(of(laid, lining, *before));
        *before += lining.bought;
    }
    (!rows.is_empty()).then_some(Table { columns, rows, header: true })
}
