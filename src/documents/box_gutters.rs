//! Box gutters on the site sheet: how deep each bearer lies, what the boards are cut to, what the lining is cut to.
//!
//! Given what was worked; gives tables and lines. Every gutter is named by its edge, and by its roof where there are
//! several.

use super::cells::{cell, centre, group, left, plain, right, strong, wide};
use super::{WholeJob, wording};
use crate::model::Length;
use crate::model::shape::DeckAction;
use crate::pages::block::{Block, Row, Table};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::box_gutter::{BoxGutterLayout, GutterBoard, GutterMat, GutterPart};
use crate::takeoff::layout::falls::raised_by;

/// Bearers stand side by side in so many pairs of columns.
const ABREAST: usize = 4;
/// Boards stand side by side in so many.
const PIECES_ABREAST: usize = 2;

/// How far the top of each bearer, on which the sole lies, is below the deck's, from the start of the edge on, in mm.
pub fn bearers(worked: &WholeJob<'_>) -> Vec<Block> {
    let of_gutter = |g: &BoxGutterLayout| -> Vec<Row> {
        let sole = worked.products.boards.get(&g.board).map_or(Length::ZERO, |board| board.thickness);
        let depth = g.bearers.len().div_ceil(ABREAST);
        let at = |i: usize| match g.bearers.get(i) {
            Some(b) => [strong(b.at.as_mm().to_string()), cell((b.down + sole).as_mm().to_string())],
            None => [Vec::new(), Vec::new()],
        };
        (0..depth).map(|i| plain((0..ABREAST).flat_map(|part| at(part * depth + i)).collect())).collect()
    };
    let columns = (0..ABREAST).flat_map(|_| [right("At, mm"), right("Down to it, mm")]).collect();
    table(worked, columns, of_gutter)
}

/// The boards of every gutter, each by its mark, its part and the rectangle that it is cut from.
pub fn boards(worked: &WholeJob<'_>) -> Vec<Block> {
    let of_gutter = |g: &BoxGutterLayout| -> Vec<Row> {
        let cells = |b: &GutterBoard| {
            let size = format!("{} × {}", b.length.as_mm(), b.width.as_mm());
            let at = b.at.as_mm().to_string();
            [strong(&*b.mark), cell(b.part.word()), cell(at), cell(size), cell((b.board + 1).to_string())]
        };
        let depth = g.boards.len().div_ceil(PIECES_ABREAST);
        let at = |i: usize| g.boards.get(i).map_or_else(|| [const { Vec::new() }; 5], cells);
        (0..depth).map(|i| plain((0..PIECES_ABREAST).flat_map(|part| at(part * depth + i)).collect())).collect()
    };
    let columns = || [left("Piece"), wide("Part", 1), right("At, mm"), left("Size, mm"), left("Board")];
    table(worked, (0..PIECES_ABREAST).flat_map(|_| columns()).collect(), of_gutter)
}

fn table(
    worked: &WholeJob<'_>,
    columns: Vec<crate::pages::block::Column>,
    of_gutter: impl Fn(&BoxGutterLayout) -> Vec<Row>,
) -> Vec<Block> {
    let width = columns.len();
    let rows: Vec<Row> = all(worked)
        .flat_map(|(_, name, g)| std::iter::once(group(wording::capital(&name), width)).chain(of_gutter(g)))
        .collect();
    if rows.is_empty() { Vec::new() } else { vec![Block::Table(Table { columns, rows, header: true })] }
}

/// The pieces of each gutter's lining in the order of laying, each with a box to tick once it is cut.
pub fn mats(worked: &WholeJob<'_>) -> Vec<Block> {
    let of_gutter = |g: &BoxGutterLayout| -> Vec<Row> {
        let cells = |p: &GutterMat| {
            let size = format!("{} × {}", p.length.as_mm(), p.width.as_mm());
            let at = if p.over.is_some() { "–".to_owned() } else { p.at.as_mm().to_string() };
            let side = match (p.over, p.strip) {
                (Some(0), _) => "over the wall top where it begins",
                (Some(_), _) => "over the wall top at its far end",
                (None, 0) if g.mat.iter().all(|other| other.over.is_some() || other.strip == 0) => "from lip to top",
                (None, 0) => "roof side",
                (None, _) => "parapet side",
            };
            plain(vec![strong(&*p.mark), cell((p.layer + 1).to_string()), cell(at), cell(size), cell(side), cell("☐")])
        };
        g.mat.iter().map(cells).collect()
    };
    let columns =
        vec![left("Strip"), right("Layer"), right("At, mm"), wide("Cut, mm", 1), wide("Across", 2), centre("Cut")];
    table(worked, columns, of_gutter)
}

/// Whether a gutter's sole is of several boards.
pub fn jointed(worked: &WholeJob<'_>) -> bool {
    let joint = |b: &GutterBoard| b.part == GutterPart::Sole && b.at > Length::ZERO;
    all(worked).any(|(_, _, g)| g.boards.iter().any(joint))
}

/// `L7 and L8`: what closes the linings over the tops of walls at their ends.
pub fn over_tops(worked: &WholeJob<'_>) -> Option<String> {
    let pieces = all(worked).flat_map(|(_, _, g)| &g.mat).filter(|piece| piece.over.is_some());
    let marks: Vec<String> = pieces.map(|piece| piece.mark.clone()).collect();
    (!marks.is_empty()).then(|| wording::list(&marks))
}

/// `front 24 mm`: how high the lip of each gutter stands over bare joists; before the deck is there, its bearers are set by that.
pub fn lips(worked: &WholeJob<'_>) -> Vec<String> {
    let lip = |(laid, name, g): (&RoofLayout, String, &BoxGutterLayout)| {
        let roof = worked.job.roofs.get(laid.shape.index).filter(|roof| roof.deck.action == DeckAction::New)?;
        let (side, board) = (laid.shape.sides.get(g.side)?, worked.products.boards.get(roof.deck.board.as_ref()?));
        let (firring, thickness, over) = raised_by(&laid.shape, roof, worked.rules, board, (side.from, side.to));
        Some(format!("{name} {}", firring + thickness + over + roof.deck.lifted.unwrap_or_default()))
    };
    all(worked).filter_map(lip).collect()
}

/// Every gutter with its name.
fn all<'a>(worked: &'a WholeJob<'_>) -> impl Iterator<Item = (&'a RoofLayout, String, &'a BoxGutterLayout)> {
    let many = worked.take_off.roofs.len() > 1;
    let named = move |roof: &'a RoofLayout, g: &'a BoxGutterLayout| {
        let edge = roof.shape.sides.get(g.side).map_or("", |s| s.label.as_str());
        let name = if many { format!("{}, {edge}", roof.shape.name) } else { edge.to_owned() };
        (roof, name, g)
    };
    worked.take_off.roofs.iter().flat_map(move |r| r.box_gutters.iter().map(move |g| named(r, g)))
}
