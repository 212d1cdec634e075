//! The edges as they are built: a section for each finish of a job, side by side where they are drawn for that.
//!
//! Given what was worked; gives drawings, for the crew that builds them and for the householder who has them.

use super::drawings::sections::{self, Build, NewKerb};
use super::whole_job::WholeJob;
use crate::model::build_up::{BuildUp, MaterialLayer};
use crate::model::job::By;
use crate::model::shape::HoleForm;
use crate::model::{Finish, Flashing, Length, Roof, UnderTiles};
use crate::pages::block::{Block, Figure};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::upstand_left;
use crate::takeoff::layout::shape::{CopedWall, Side, Sill};
use rust_decimal::prelude::ToPrimitive;

/// A section for each finish on this job, from its own first edge, for a page of that width, pt.
pub fn edge_sections(worked: &WholeJob<'_>, width: f64) -> Vec<Figure> {
    let board = worked.job.roofs.iter().find_map(|r| r.deck.board.as_ref()).and_then(|k| worked.products.boards.get(k));
    let board = board.map_or(Length::mm(18), |b| b.thickness);
    let over = worked.job.roofs.iter().find_map(|r| r.build_up.as_ref()).and_then(layers_over);
    let shown = |f: Finish| {
        let edge = worked.job.roofs.iter().flat_map(|r| &r.outline.edges).find(|e| e.finish == f);
        let hole = worked
            .job
            .roofs
            .iter()
            .flat_map(|r| &r.holes)
            .any(|h| h.finish == f && !matches!(h.form, HoleForm::Round { .. }));
        (edge.is_some() || hole).then(|| {
            let gutter = edge.and_then(|e| e.gutter.as_ref());
            let (upstand, flashing) = (first_upstand(worked), drawn_flashing(worked));
            let box_gutter = worked.take_off.roofs.iter().flat_map(|r| &r.box_gutters).next();
            let rules = worked.rules;
            let build = Build {
                rules,
                board,
                over,
                gutter,
                box_gutter,
                upstand,
                flashing,
                under: None,
                sill: None,
                coped: None,
                kerb: new_kerb(worked),
            };
            match f {
                Finish::Wall => {
                    let sills = sills_once(worked).into_iter().map(|sill| Build { sill: Some(sill), ..build });
                    let plain = (hole || has_plain_wall(worked)).then_some(build);
                    let walls = walls_once(worked).into_iter().map(|wall| Build { coped: Some(wall), ..build });
                    plain.into_iter().chain(sills).chain(walls).collect()
                }
                Finish::Step => ways_under(worked).into_iter().map(|under| Build { under, ..build }).collect(),
                _ => vec![build],
            }
        })
    };
    let all = |f| shown(f).into_iter().flatten().map(move |build| (f, build));
    sections::draw_all(&Finish::ALL.into_iter().flat_map(all).collect::<Vec<_>>(), width)
}

/// The first kerb that is built new: its timber, how far it stands above the roof, and what it stands on.
fn new_kerb(worked: &WholeJob<'_>) -> Option<NewKerb> {
    let of = |(roof, laid): (&Roof, &RoofLayout)| {
        let &(hole, depth) = laid.openings.kerbs.first()?;
        let timber = roof.holes.get(hole)?.timber;
        Some(NewKerb { section: timber.kerb?, depth, trimmers: timber.trimmers })
    };
    worked.job.roofs.iter().zip(&worked.take_off.roofs).find_map(of)
}

/// Whether there is a stretch of wall that no door stands in and that the roof is not carried over.
fn has_plain_wall(worked: &WholeJob<'_>) -> bool {
    worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).any(Side::is_plain_wall)
}

/// The walls that the roof is carried over, those alike once: what meets their ends is not drawn.
fn walls_once(worked: &WholeJob<'_>) -> Vec<CopedWall> {
    let alike = |a: &CopedWall, b: &CopedWall| {
        (a.left, a.width, a.lining, a.cover, a.by) == (b.left, b.width, b.lining, b.cover, b.by)
    };
    let mut walls: Vec<CopedWall> = Vec::new();
    for wall in worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.coped) {
        if !walls.iter().any(|drawn| alike(drawn, &wall)) {
            walls.push(wall);
        }
    }
    walls
}

/// The door sills, those alike once.
fn sills_once(worked: &WholeJob<'_>) -> Vec<Sill> {
    let mut sills: Vec<Sill> = Vec::new();
    for sill in worked.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter_map(|s| s.sill) {
        if !sills.contains(&sill) {
            sills.push(sill);
        }
    }
    sills
}

/// How steps are tied in, each way once, whoever lifts the tiles.
fn ways_under(worked: &WholeJob<'_>) -> Vec<Option<UnderTiles>> {
    let steps = worked.job.roofs.iter().flat_map(|r| &r.outline.edges).filter(|e| e.finish == Finish::Step);
    let mut ways: Vec<Option<UnderTiles>> = Vec::new();
    for under in steps.map(|e| e.under.map(|tiles| UnderTiles { by: By::Us, ..tiles })) {
        if !ways.contains(&under) {
            ways.push(under);
        }
    }
    ways
}

/// The flashing that the section at a wall shows: the first that is cut in, else none.
fn drawn_flashing(worked: &WholeJob<'_>) -> Flashing {
    let roofs = &worked.job.roofs;
    let cut_in = |kind: &Flashing| kind.is_cut_in() && roofs.iter().any(|r| r.is_flashed_with(*kind));
    Flashing::ALL.into_iter().find(cut_in).unwrap_or(Flashing::None)
}

/// What is left above the finished roof of the upstand at the first wall.
fn first_upstand(worked: &WholeJob<'_>) -> Option<Length> {
    let first = |laid: &RoofLayout| laid.shape.sides.iter().position(Side::is_plain_wall);
    let laid = worked.job.roofs.iter().zip(&worked.take_off.roofs);
    let found = laid.filter_map(|(r, laid)| Some((r, laid, first(laid)?))).next();
    let (roof, laid, edge) = found?;
    let board = roof.deck.board.as_ref().and_then(|kind| worked.products.boards.get(kind));
    upstand_left(&laid.shape, roof, worked.rules, board, edge)
}

/// Thicknesses of the insulation and of the board over it, to the nearest millimetre.
fn layers_over(build_up: &BuildUp) -> Option<(Length, Length)> {
    let mm = |sheet: &MaterialLayer| sheet.thickness.as_mm().round().to_i64().map(Length::mm);
    Some((mm(&build_up.insulation.as_ref()?.sheet)?, mm(build_up.overlay.as_ref()?)?))
}

/// Sections side by side in two columns, each where the columns are shorter, where they are drawn for that; a wider one
/// alone.
pub fn in_pairs(all: Vec<Figure>) -> Vec<Block> {
    let narrow = |figure: &Figure| figure.scene.width <= sections::HALF.width;
    let (paired, alone): (Vec<Figure>, Vec<Figure>) = all.into_iter().partition(narrow);
    let mut blocks = Vec::new();
    let (mut columns, mut heights) = (vec![Vec::new(); 2], [0.0_f64; 2]);
    for figure in paired {
        let shorter = usize::from(heights[1] < heights[0]);
        let height = figure.scene.height + CAPTION;
        if heights[shorter] > 0.0 && heights[shorter] + height > TALLEST {
            blocks.push(Block::Columns(std::mem::replace(&mut columns, vec![Vec::new(); 2])));
            heights = [0.0; 2];
        }
        let shorter = if heights == [0.0; 2] { 0 } else { shorter };
        heights[shorter] += height;
        columns[shorter].push(Block::Figure(figure));
    }
    if heights[0] > 0.0 {
        blocks.push(Block::Columns(columns));
    }
    blocks.into_iter().chain(alone.into_iter().map(Block::Figure)).collect()
}

/// What a caption and the space round a section take, and how tall a column of sections may be, pt.
const CAPTION: f64 = 30.0;
const TALLEST: f64 = 430.0;
