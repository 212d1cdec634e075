//! The boards that line parapets, as they are cut.
//!
//! Given what was worked; gives a table, grouped by wall. A face that follows the fall is told by both its heights.

use super::super::cells::{cell, group, left, plain, right, strong, wide};
use super::super::{WholeJob, wording};
use crate::pages::block::{Row, Table};
use crate::takeoff::layout::{LiningBoard, ParapetLining, RoofLayout};

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
    let of = |laid: &RoofLayout, lining: &ParapetLining| -> Vec<Row> {
        let side = laid.shape.sides.get(lining.side).map_or("", |s| s.label.as_str());
        let name = if roofs.len() > 1 { format!("{}, {side}", laid.shape.name) } else { wording::capital(side) };
        let row = |b: &LiningBoard| {
            let (most, least) = laid.lining_heights(lining.side, b).unwrap_or((b.width, b.width));
            let part = if b.top { "top" } else { "face" };
            let [long, most, least] = [b.length, most, least].map(|l| cell(l.as_mm().to_string()));
            plain(vec![strong(&*b.mark), cell(part), long, most, least, cell((b.board + 1).to_string())])
        };
        std::iter::once(group(name, width)).chain(lining.boards.iter().map(row)).collect()
    };
    let rows: Vec<Row> =
        roofs.iter().flat_map(|laid| laid.parapets.iter().flat_map(move |lining| of(laid, lining))).collect();
    (!rows.is_empty()).then_some(Table { columns, rows, header: true })
}
