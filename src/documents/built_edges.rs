//! The edges as they are built: a section for each finish of a job, side by side where they are drawn for that.
//!
//! Given what was worked; gives drawings, for the crew that builds them and for the householder who has them.

use super::drawings::sections::{self, Build, CutIn, NewKerb};
use super::whole_job::WholeJob;
use crate::model::build_up::{BuildUp, MaterialLayer};
use crate::model::job::By;
use crate::model::shape::{DeckAction, HoleForm};
use crate::model::{Finish, Hole, Length, Roof, UnderTiles};
use crate::pages::block::{Block, Figure};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::{self, upstand_left};
use crate::takeoff::layout::flashings::{FlashedPlace, WallFlashing};
use crate::takeoff::layout::shape::{CopedWall, Side, Sill};
use rust_decimal::prelude::ToPrimitive;

/// A section for each finish on this job, each of the first roof that has it, for a page of that width, pt.
pub fn edge_sections(worked: &WholeJob<'_>, width: f64) -> Vec<Figure> {
    let shown = |f: Finish| -> Vec<Build<'_>> {
        match f {
            Finish::Wall => walls(worked),
            Finish::Step => ways_under(worked),
            Finish::Gutter => box_gutter(worked).into_iter().collect(),
            Finish::Kerb => kerb(worked).into_iter().collect(),
            Finish::Drip | Finish::Raised => at_edge(worked, f).into_iter().collect(),
        }
    };
    let all = |f| shown(f).into_iter().map(move |build| (f, build));
    sections::draw_all(&Finish::ALL.into_iter().flat_map(all).collect::<Vec<_>>(), width)
}

/// What every section of a roof is drawn from: its boards, its insulation, its old deck; its name where another is built up
/// otherwise.
fn of_roof<'a>(worked: &WholeJob<'a>, i: usize) -> Build<'a> {
    let roofs = &worked.job.roofs;
    let alike = |roof: &Roof| built_up(worked, roof) == built_up(worked, &roofs[i]);
    let (board, over, deck) = built_up(worked, &roofs[i]);
    Build {
        name: (!roofs.iter().all(alike)).then_some(roofs[i].name.as_str()),
        deck,
        over,
        ..Build::new(worked.rules, board)
    }
}

/// Thickness of the board that is laid, thicknesses over it in a warm roof, and what becomes of the old deck.
type BuiltUp = (Length, Option<(Length, Length)>, DeckAction);

fn built_up(worked: &WholeJob<'_>, roof: &Roof) -> BuiltUp {
    let board = roof.deck.board.as_ref().and_then(|key| worked.products.boards.get(key));
    let thickness = board.map_or(Length::mm(18), |b| b.thickness);
    (thickness, roof.build_up.as_ref().and_then(layers_over), roof.deck.action)
}

/// Each roof with its layout and its index.
fn roofs<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = (usize, &'a Roof, &'a RoofLayout)> {
    worked.job.roofs.iter().zip(&worked.take_off.roofs).enumerate().map(|(i, (roof, laid))| (i, roof, laid))
}

/// At the first drip edge over a gutter, else at the first of that finish.
fn at_edge<'a>(worked: &WholeJob<'a>, finish: Finish) -> Option<Build<'a>> {
    let first = |over_gutter: bool| {
        let of = |(i, roof, _): (usize, &'a Roof, &RoofLayout)| {
            let mut edges = roof.outline.edges.iter().enumerate().filter(|(_, e)| e.finish == finish);
            let (side, edge) = edges.find(|(_, e)| !over_gutter || e.gutter.is_some())?;
            Some(Build { gutter: edge.gutter.as_ref(), firrings: firrings(worked, i, side), ..of_roof(worked, i) })
        };
        roofs(worked).find_map(of)
    };
    first(true).or_else(|| first(false))
}

/// Through the first box gutter.
fn box_gutter<'a>(worked: &WholeJob<'a>) -> Option<Build<'a>> {
    let of = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        let gutter = laid.box_gutters.first()?;
        let cut = laid.flashings.iter().find(|f| f.place == FlashedPlace::Side(gutter.side));
        let outlet = roof.outline.edges.get(gutter.side).and_then(|e| e.box_gutter.as_ref()).map(|g| g.outlet.size);
        let firrings = firrings(worked, i, gutter.side);
        let build = Build { box_gutter: Some(gutter), outlet, firrings, ..of_one(worked, i) };
        Some(cut.map_or(build, |cut| flashed(worked, roof, build, cut)))
    };
    roofs(worked).find_map(of)
}

/// At the first kerb: its timber where it is built new, how far it stands above the roof, and what it stands on.
fn kerb<'a>(worked: &WholeJob<'a>) -> Option<Build<'a>> {
    let on_kerb = |h: &Hole| h.finish == Finish::Kerb && !matches!(h.form, HoleForm::Round { .. });
    let of = |i: usize, hole: &'a Hole| Build { opening: Some(hole.name.as_str()), ..of_one(worked, i) };
    let new = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        let &(hole, depth) = laid.openings.kerbs.first()?;
        let hole = roof.holes.get(hole)?;
        let kerb = NewKerb { section: hole.timber.kerb?, depth, trimmers: hole.timber.trimmers };
        Some(Build { kerb: Some(kerb), ..of(i, hole) })
    };
    let old = || roofs(worked).find_map(|(i, roof, _)| Some(of(i, roof.holes.iter().find(|h| on_kerb(h))?)));
    roofs(worked).find_map(new).or_else(old)
}

/// The same of a section whose heights or sizes are of one roof: its name, where there are several.
fn of_one<'a>(worked: &WholeJob<'a>, i: usize) -> Build<'a> {
    let roofs = &worked.job.roofs;
    Build { name: (roofs.len() > 1).then_some(roofs[i].name.as_str()), ..of_roof(worked, i) }
}

/// At a plain wall or chimney, under door sills, over parapets.
fn walls<'a>(worked: &WholeJob<'a>) -> Vec<Build<'a>> {
    let at = |i: usize, is: &dyn Fn(&Side) -> bool| {
        let side = worked.take_off.roofs.get(i).and_then(|laid| laid.shape.sides.iter().position(is));
        side.and_then(|side| firrings(worked, i, side))
    };
    let sills = sills_once(worked).into_iter().map(|(i, sill)| {
        let firrings = at(i, &|side| side.sill == Some(sill));
        Build { sill: Some(sill), firrings, ..of_one(worked, i) }
    });
    let coped = walls_once(worked).into_iter().map(|(i, wall)| {
        let firrings = at(i, &|side| side.coped == Some(wall));
        Build { coped: Some(wall), firrings, ..of_one(worked, i) }
    });
    plain_wall(worked).into_iter().chain(sills).chain(coped).collect()
}

/// The first stretch of wall that a flashing is cut into, by us where there is one; else the first that nothing is cut into.
fn plain_wall<'a>(worked: &WholeJob<'a>) -> Option<Build<'a>> {
    let shows = |laid: &RoofLayout, cut: &WallFlashing| match cut.place {
        FlashedPlace::Side(i) => laid.shape.sides[i].is_plain_wall(),
        FlashedPlace::Hole(_) => true,
    };
    let cut_in = |by: By| {
        let of = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
            let cut = laid.flashings.iter().find(|cut| shows(laid, cut))?;
            let firrings = match cut.place {
                FlashedPlace::Side(side) => firrings(worked, i, side),
                FlashedPlace::Hole(_) => None,
            };
            let build = Build { firrings, ..of_one(worked, i) };
            (worked.job.flashing_of(roof) == by).then(|| flashed(worked, roof, build, cut))
        };
        roofs(worked).find_map(of)
    };
    let bare = |(i, roof, laid): (usize, &Roof, &RoofLayout)| {
        let chimney = || laid.shape.holes.iter().any(|h| h.finish == Finish::Wall && !h.round);
        let side = laid.shape.sides.iter().position(Side::is_plain_wall);
        (side.is_some() || chimney()).then(|| {
            let board = roof.deck.board.as_ref().and_then(|kind| worked.products.boards.get(kind));
            let upstand = side.and_then(|side| upstand_left(&laid.shape, roof, worked.rules, board, side));
            Build { upstand, firrings: side.and_then(|side| firrings(worked, i, side)), ..of_one(worked, i) }
        })
    };
    cut_in(By::Us).or_else(|| cut_in(By::Others)).or_else(|| roofs(worked).find_map(bare))
}

/// The same with its flashing; its strip is told where we bring it.
fn flashed<'a>(worked: &WholeJob<'a>, roof: &Roof, build: Build<'a>, cut: &WallFlashing) -> Build<'a> {
    let ours = worked.job.flashing_of(roof) == By::Us;
    let cut_in = CutIn { chase: cut.chase, needs: cut.width, strip: cut.sold.filter(|_| ours) };
    Build { flashing: cut.kind, cut_in: Some(cut_in), ..build }
}

/// How deep the firrings on the joists are along a side of a roof, at least and at most; none where there are none.
fn firrings(worked: &WholeJob<'_>, i: usize, side: usize) -> Option<(Length, Length)> {
    let (roof, laid) = (worked.job.roofs.get(i)?, worked.take_off.roofs.get(i)?);
    roof.firred()?;
    let side = laid.shape.sides.get(side)?;
    let lift = falls::lift(&laid.shape, roof, worked.rules);
    let [a, b] = [side.from, side.to].map(|end| falls::height(&laid.shape, roof, end) + lift);
    let most = a.max(b);
    (most > Length::ZERO && most >= worked.rules.firring_toe).then_some((a.min(b), most))
}

/// The walls that the roof is carried over, those alike once, each with its roof: what meets their ends is not drawn.
fn walls_once(worked: &WholeJob<'_>) -> Vec<(usize, CopedWall)> {
    let alike = |a: &CopedWall, b: &CopedWall| {
        (a.left, a.width, a.lining, a.cover, a.by) == (b.left, b.width, b.lining, b.cover, b.by)
    };
    let mut walls: Vec<(usize, CopedWall)> = Vec::new();
    for (i, _, laid) in roofs(worked) {
        for wall in laid.shape.sides.iter().filter_map(|s| s.coped) {
            if !walls.iter().any(|(_, drawn)| alike(drawn, &wall)) {
                walls.push((i, wall));
            }
        }
    }
    walls
}

/// The door sills, those alike once, each with its roof.
fn sills_once(worked: &WholeJob<'_>) -> Vec<(usize, Sill)> {
    let mut sills: Vec<(usize, Sill)> = Vec::new();
    for (i, _, laid) in roofs(worked) {
        for sill in laid.shape.sides.iter().filter_map(|s| s.sill) {
            if !sills.iter().any(|(_, drawn)| *drawn == sill) {
                sills.push((i, sill));
            }
        }
    }
    sills
}

/// How steps are tied in, each way once, whoever lifts the tiles.
fn ways_under<'a>(worked: &WholeJob<'a>) -> Vec<Build<'a>> {
    let mut ways: Vec<Build<'a>> = Vec::new();
    for (i, roof, _) in roofs(worked) {
        for (side, edge) in roof.outline.edges.iter().enumerate().filter(|(_, e)| e.finish == Finish::Step) {
            let under = edge.under.map(|tiles| UnderTiles { by: By::Us, ..tiles });
            if !ways.iter().any(|way| way.under == under) {
                ways.push(Build { under, firrings: firrings(worked, i, side), ..of_roof(worked, i) });
            }
        }
    }
    ways
}

/// Thicknesses of the insulation and of the board over it, to the nearest millimetre.
fn layers_over(build_up: &BuildUp) -> Option<(Length, Length)> {
    let mm = |sheet: &MaterialLayer| sheet.thickness.as_mm().round().to_i64().map(Length::mm);
    Some((mm(&build_up.insulation.as_ref()?.sheet)?, mm(build_up.overlay.as_ref()?)?))
}

/// Sections side by side in two columns, each where the columns are shorter, where they are drawn for that; a wider one
/// alone. Where both columns end at about one height, and more than one comes after them, a page may end too.
pub fn in_pairs(all: Vec<Figure>) -> Vec<Block> {
    let narrow = |figure: &Figure| figure.scene.width <= sections::HALF.width;
    let (paired, alone): (Vec<Figure>, Vec<Figure>) = all.into_iter().partition(narrow);
    let mut blocks = Vec::new();
    let (mut columns, mut heights) = (vec![Vec::new(); 2], [0.0_f64; 2]);
    for (after, figure) in (0..paired.len()).rev().zip(paired) {
        let shorter = usize::from(heights[1] < heights[0]);
        let height = figure.scene.height + CAPTION;
        let even = (after > 0 || !alone.is_empty()) && (heights[0] - heights[1]).abs() < EVEN;
        if heights[shorter] > 0.0 && (even || heights[shorter] + height > TALLEST) {
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
/// Columns whose ends lie nearer to one another than that are even, pt.
const EVEN: f64 = 10.0;
