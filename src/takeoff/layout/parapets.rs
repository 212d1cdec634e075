//! Walls of limited height that the roof is carried over: how they end, and the boards that line them.
//!
//! Given a roof, its shape and the boards that are sold; gives each such side its wall, with the faults of those that
//! cannot be made, and the lining as it is cut. The wall is measured to its masonry's top: the laminate goes up its face
//! over a lining, across its top and onto the outer edge trim. The top is longer than the roof's edge where the wall turns
//! a corner, or passes the end of a box gutter; there the gutter's own lining goes up to it, and a strip of its own over it.

use super::box_gutter::{out_of_boards, stretches};
use super::falls::{height, upstand_left};
use super::shape::{CopedWall, Direction, RoofShape, Turn, WallEnd, inward};
use super::{BandageOver, BandagePiece, LiningBoard, OuterEdge, ParapetLining, RoofLayout};
use crate::cutting::Proof;
use crate::cutting::boards::OutOfBoards;
use crate::geometry::segment::distance;
use crate::model::products::Board;
use crate::model::{Coping, Cover, Finish, Length, Point, Problem, Products, Roof, Rules};
use std::collections::BTreeMap;

// ---- The wall along its side -------------------------------------------------------------------------------------

/// Gives each side with a coping its wall; the faults of those that cannot be made.
pub fn place(shape: &mut RoofShape, roof: &Roof, rules: &Rules, products: &Products) -> Vec<Problem> {
    let deck = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let (mut problems, mut walls) = (Vec::new(), Vec::new());
    for (i, edge) in roof.outline.edges.iter().enumerate() {
        let Some(coping) = &edge.coping else { continue };
        let Some(left) = upstand_left(shape, roof, rules, deck, i) else { continue };
        match lining_of(coping, roof, products, shape, i) {
            Ok(board) => {
                let wall = wall(shape, roof, i, (coping, left), board, products);
                problems.extend(faults(shape, roof, i, &wall, board, rules));
                walls.push((i, wall));
            }
            Err(problem) => problems.push(problem),
        }
    }
    problems.extend(unlike_tops(shape, roof, &walls));
    for (i, wall) in walls {
        shape.sides[i].carried = wall.carried();
        shape.sides[i].coped = Some(wall);
    }
    problems
}

fn lining_of<'a>(
    coping: &Coping,
    roof: &Roof,
    products: &'a Products,
    shape: &RoofShape,
    i: usize,
) -> Result<&'a Board, Problem> {
    let path = shape.sides[i].path.keys(["coping", "board"]);
    let Some(key) = coping.board.as_ref().or(roof.deck.board.as_ref()) else {
        return Err(Problem::fault(
            path,
            "the deck is kept, so that nothing says what the wall is lined with",
            "add, for example, `board: osb3-11` under `coping`",
        ));
    };
    products.boards.get(key).ok_or_else(|| {
        Problem::fault(
            path,
            format!("no price book says how large the board {key} is"),
            format!("add an article with `role: board.{key}` and its length, width and thickness"),
        )
    })
}

fn wall(
    shape: &RoofShape,
    roof: &Roof,
    i: usize,
    (coping, left): (&Coping, Length),
    board: &Board,
    products: &Products,
) -> CopedWall {
    let side = &shape.sides[i];
    let n = shape.sides.len();
    let slope = (height(shape, roof, side.from) - height(shape, roof, side.to)).as_mm().abs();
    let (starts, ends) = ((i, (i + n - 1) % n), ((i + 1) % n, (i + 1) % n));
    let met = [starts, ends].map(|(corner, other)| met(shape, roof, (corner, other), coping.width, products));
    CopedWall {
        left,
        high: left + Length::mm(slope),
        width: coping.width,
        lining: board.thickness,
        cover: coping.cover,
        by: coping.by,
        ends: met.map(|(end, _)| end),
        longer: met.map(|(_, longer)| longer),
        long: side.run + met[0].1 + met[1].1,
    }
}

/// How a wall so thick ends at a corner where it meets side `other`, and by how much its outer edge is longer for it.
fn met(
    shape: &RoofShape,
    roof: &Roof,
    (corner, other): (usize, usize),
    width: Length,
    products: &Products,
) -> (WallEnd, Length) {
    let (edge, at) = (&roof.outline.edges[other], &shape.corners[corner]);
    match (&edge.coping, edge.finish) {
        (Some(_), _) if at.turn == Turn::Straight => (WallEnd::GoesOn, Length::ZERO),
        (Some(next), _) => (WallEnd::Turns, round_the_corner(width, next.width, at.inside)),
        (None, Finish::Gutter) => (WallEnd::PastGutter, gutter_across(edge, roof, products)),
        (None, Finish::Drip | Finish::Raised) => (WallEnd::Free, Length::ZERO),
        (None, Finish::Wall | Finish::Step | Finish::Kerb) => (WallEnd::Butts, Length::ZERO),
    }
}

/// From the corner of the roof to where the outer edges of two walls meet, along the first of them. `inside` is the angle
/// in the roof, degrees. With walls of one thickness it is `w tan((180 − inside)/2)`.
fn round_the_corner(width: Length, next: Length, inside: f64) -> Length {
    let turn = (180.0 - inside).to_radians();
    let along = (next.as_mm() as f64 - width.as_mm() as f64 * turn.cos()) / turn.sin();
    Length::mm(along.ceil() as i64)
}

/// How wide a box gutter is from its lip to the parapet beyond.
fn gutter_across(edge: &crate::model::Edge, roof: &Roof, products: &Products) -> Length {
    let Some(gutter) = &edge.box_gutter else { return Length::ZERO };
    let key = gutter.board.as_ref().or(roof.deck.board.as_ref());
    let board = key.and_then(|key| products.boards.get(key)).map_or(Length::ZERO, |b| b.thickness);
    gutter.width + board * 2
}

/// Two tops meet in a mitre, or one goes on in the other, where they lie as high as each other but for this much, which
/// mortar and the outer trim take up (common practice, no source).
const TOPS_ALIKE: Length = Length::mm(20);

/// Walls whose tops meet at different heights: neither mitre nor bandage goes from one to the other.
fn unlike_tops(shape: &RoofShape, roof: &Roof, walls: &[(usize, CopedWall)]) -> Vec<Problem> {
    let top = |i: usize, wall: &CopedWall| {
        let side = &shape.sides[i];
        height(shape, roof, side.from).max(height(shape, roof, side.to)) + wall.left
    };
    let n = shape.sides.len();
    let meets = |(i, wall): &(usize, CopedWall)| {
        let (next, other) = walls.iter().find(|(next, _)| *next == (i + 1) % n)?;
        let by = Length::mm((top(*i, wall) - top(*next, other)).as_mm().abs());
        let (side, beside) = (&shape.sides[*i], &shape.sides[*next]);
        (by > TOPS_ALIKE).then(|| {
            Problem::fault(
                beside.path.keys(["coping", "wall_height"]),
                format!(
                    "the tops of the walls at `{}` and `{}` differ by {by} at corner {}, where they meet: they cannot be mitred",
                    side.label,
                    beside.label,
                    next + 1
                ),
                "measure both again from the same level; where they do differ, have the lower one raised or the higher \
                 one taken down before the roof is laid",
            )
        })
    };
    walls.iter().filter_map(meets).collect()
}

fn faults(shape: &RoofShape, roof: &Roof, i: usize, wall: &CopedWall, board: &Board, rules: &Rules) -> Vec<Problem> {
    let (side, edge) = (&shape.sides[i], &roof.outline.edges[i]);
    let path = side.path.key("coping");
    let mut found = Vec::new();
    if wall.left < rules.mat_return.wall {
        found.push(Problem::fault(
            path.key("wall_height"),
            format!(
                "at `{}` {} of the wall is left once the roof is built up, and the fillet goes {} up it",
                side.label, wall.left, rules.mat_return.wall
            ),
            "build up less there, or have the wall raised by a course before the roof is laid",
        ));
    }
    if wall.high > board.width {
        found.push(Problem::fault(
            path.key("board"),
            format!(
                "the wall at `{}` stands {} above the finished roof where that lies lowest, more than the board {} is wide, {}",
                side.label, wall.high, board.key, board.width
            ),
            "name a wider board under `coping`: `board: …`",
        ));
    }
    if wall.cover == Cover::Metal && wall.across() > board.width {
        found.push(Problem::fault(
            path.key("wall_width"),
            format!("its top is {} across with the lining, more than the board {} is wide", wall.across(), board.key),
            "name a wider board under `coping`: `board: …`",
        ));
    }
    if wall.long <= Length::ZERO {
        found.push(Problem::fault(
            path.key("wall_width"),
            format!("the wall at `{}` is thicker than its outer edge is long between two inner corners", side.label),
            "check its thickness and the length of the edge",
        ));
    }
    let over_top = edge.overflow.filter(|o| o.above + o.height > wall.left);
    found.extend(over_top.map(|o| {
        Problem::fault(
            side.path.key("overflow"),
            format!(
                "the overflow's top lies {} above the roof, and the wall that it goes through ends at {}",
                o.above + o.height,
                wall.left
            ),
            "set it lower, or make it lower and wider",
        )
    }));
    found
}

// ---- Places ------------------------------------------------------------------------------------------------------

/// Where a stretch of the outer edge trim lies on plan, in walking order; `None` where there is none.
pub fn outer_edge(shape: &RoofShape, side: usize, part: OuterEdge) -> Option<(Point, Point)> {
    let at = shape.sides.get(side)?;
    let wall = at.coped?;
    let (along, in_) = (Direction::along(at.from, at.to), inward(at.from, at.to));
    let place = |p: Point, on: Length, out: Length| {
        let (a, o) = (on.as_mm() as f64, out.as_mm() as f64);
        let (x, y) = (p.x as f64 + along.x * a - in_.x * o, p.y as f64 + along.y * a - in_.y * o);
        Point::new(x.round() as i64, y.round() as i64)
    };
    let (start, end) = (place(at.from, -wall.longer[0], wall.width), place(at.to, wall.longer[1], wall.width));
    match part {
        OuterEdge::Along => Some((start, end)),
        OuterEdge::AtStart => (wall.ends[0] == WallEnd::Free).then_some((at.from, start)),
        OuterEdge::AtEnd => (wall.ends[1] == WallEnd::Free).then_some((end, at.to)),
    }
}

/// How long that stretch is.
pub fn outer_run(wall: &CopedWall, part: OuterEdge) -> Option<Length> {
    match part {
        OuterEdge::Along => Some(wall.long),
        OuterEdge::AtStart => (wall.ends[0] == WallEnd::Free).then_some(wall.width),
        OuterEdge::AtEnd => (wall.ends[1] == WallEnd::Free).then_some(wall.width),
    }
}

// ---- Lining ------------------------------------------------------------------------------------------------------

/// The linings of a roof's covered walls, in the order of its sides, before they are sawn out of boards.
pub fn linings(shape: &RoofShape, roof: &Roof, products: &Products) -> Vec<ParapetLining> {
    let mut laid = Vec::new();
    for (i, edge) in roof.outline.edges.iter().enumerate() {
        let (Some(wall), Some(coping)) = (shape.sides.get(i).and_then(|s| s.coped), &edge.coping) else { continue };
        let Ok(board) = lining_of(coping, roof, products, shape, i) else { continue };
        laid.push(lining(shape, i, &wall, board));
    }
    laid
}

fn lining(shape: &RoofShape, side: usize, wall: &CopedWall, board: &Board) -> ParapetLining {
    let mut boards = Vec::new();
    let mut add = |top: bool, whole: Length, width: Length| {
        for (from, to) in stretches(whole, board.length) {
            boards.push(LiningBoard { mark: String::new(), top, at: from, length: to - from, width, board: 0 });
        }
    };
    add(false, shape.sides[side].run, wall.high);
    if wall.cover == Cover::Metal {
        add(true, wall.long, wall.across());
    }
    let proof = Proof { found: 0, bound: 0, reason: String::new() };
    ParapetLining { side, board: board.key.clone(), boards, opened: 0, proof }
}

/// Saws the linings of all roofs out of boards: those of one kind together where that takes fewer, else wall by wall. Boards of a kind
/// are numbered on from lining to lining, as they are opened.
pub fn saw(laid: &mut [RoofLayout], rules: &Rules, products: &Products) {
    let mut linings: BTreeMap<String, Vec<&mut ParapetLining>> = BTreeMap::new();
    for lining in laid.iter_mut().flat_map(|roof| &mut roof.parapets) {
        linings.entry(lining.board.clone()).or_default().push(lining);
    }
    for (key, mut of) in linings {
        let Some(board) = products.boards.get(&key) else { continue };
        let sizes = |lining: &ParapetLining| lining.boards.iter().map(|b| (b.length, b.width)).collect::<Vec<_>>();
        let each: Vec<OutOfBoards> = of.iter().map(|lining| out_of_boards(&sizes(lining), board, rules)).collect();
        let all: Vec<(Length, Length)> = of.iter().flat_map(|lining| sizes(lining)).collect();
        let together = out_of_boards(&all, board, rules);
        let apart: usize = each.iter().map(|lining| lining.boards).sum();
        let numbers: Vec<usize> = if together.boards < apart {
            together.of
        } else {
            let before = each.iter().scan(0, |opened, lining| Some(std::mem::replace(opened, *opened + lining.boards)));
            before.zip(&each).flat_map(|(before, lining)| lining.of.iter().map(move |board| before + board)).collect()
        };
        let found = apart.min(together.boards) as i64;
        let proof = Proof { found, ..together.proof };
        let (mut opened, mut numbers) = (0, numbers.into_iter());
        for lining in &mut of {
            lining.boards.iter_mut().zip(&mut numbers).for_each(|(piece, board)| piece.board = board);
            let last = lining.boards.iter().map(|piece| piece.board + 1).max().unwrap_or(0);
            lining.opened = last.saturating_sub(opened);
            opened = opened.max(last);
            lining.proof = proof.clone();
        }
    }
}

// ---- Bandage -----------------------------------------------------------------------------------------------------

/// The bandage of the covered walls of a roof: over the inner arris and every joint of the lining, over the outer trim's
/// flange, over the mitre of two tops, across free ends, and in the corner where a top meets a higher wall. `flange` is the
/// width of the outer trim's.
pub fn bandage(shape: &RoofShape, linings: &[ParapetLining], flange: Length, rules: &Rules) -> Vec<BandagePiece> {
    let mut made = Vec::new();
    for (i, side) in shape.sides.iter().enumerate() {
        let Some(wall) = side.coped else { continue };
        let (along, in_) = (Direction::along(side.from, side.to), inward(side.from, side.to));
        // As the laminate is laid flat on plan: so far along the side from its start, so far out from it.
        let place = |on: Length, out: Length| {
            let (a, o) = (on.as_mm() as f64, out.as_mm() as f64);
            let (x, y) = (side.from.x as f64 + along.x * a - in_.x * o, side.from.y as f64 + along.y * a - in_.y * o);
            Point::new(x.round() as i64, y.round() as i64)
        };
        let (lap, top) = (rules.bandage_lap, wall.high);
        // A piece is as much longer at either end as it laps.
        let mut add = |width: Length, from: (Length, Length), to: (Length, Length), length: Length| {
            let (a, b) = (place(from.0, from.1), place(to.0, to.1));
            let (way, over) = (Direction::along(a, b), distance(a, b));
            let more = (length - over).as_mm() as f64 / 2.0;
            let moved = |p: Point, by: f64| {
                Point::new((p.x as f64 + way.x * by).round() as i64, (p.y as f64 + way.y * by).round() as i64)
            };
            let (from, to) = (moved(a, -more), moved(b, more));
            made.push(BandagePiece { width, from, to, length, covers: BandageOver::Parapet });
        };
        let past = |i: usize| if wall.ends[i] == WallEnd::PastGutter { wall.longer[i] } else { Length::ZERO };
        add(rules.bandage_trim, (-past(0), top), (side.run + past(1), top), wall.arris(side.run) + lap);
        let edge = wall.carried() - flange;
        add(rules.bandage_trim, (-wall.longer[0], edge), (side.run + wall.longer[1], edge), wall.long + lap);
        let joints = linings.iter().filter(|l| l.side == i).flat_map(|l| &l.boards).filter(|b| b.at > Length::ZERO);
        for b in joints {
            let (from, to) = if b.top { (top, wall.carried()) } else { (Length::ZERO, top) };
            let at = if b.top { b.at - wall.longer[0] } else { b.at };
            add(rules.bandage_joint, (at, from), (at, to), to - from + lap);
        }
        for (end, at) in [(0, -wall.longer[0]), (1, side.run + wall.longer[1])] {
            // The mitre of two tops is made once, by the wall that starts there; it is as long as the corner's diagonal.
            let mitre = wall.ends[end] == WallEnd::Turns && end == 0;
            if mitre {
                let long = diagonal(wall.longer[0], wall.across()) + lap;
                add(rules.bandage_trim, (Length::ZERO, top), (at, wall.carried()), long);
                // What of the corner no strip of mat reaches is covered in widths of bandage, one over the next by the lap
                // of its ends, by half of a bandage that is no wider than twice that.
                let step = rules.bandage_trim - lap.min(Length::mm(rules.bandage_trim.as_mm() / 2));
                let strips = if wall.longer[0] > Length::ZERO { wall.longer[0].pieces_of(step) } else { 0 };
                for n in 0..strips {
                    let at = -step * n;
                    add(rules.bandage_trim, (at, top), (at, wall.carried()), wall.across() + lap);
                }
            }
            if wall.ends[end] == WallEnd::Free || wall.ends[end].is_against_a_wall() {
                add(rules.bandage_trim, (at, top), (at, wall.carried()), wall.across() + lap * 2);
            }
        }
    }
    made
}

fn diagonal(along: Length, across: Length) -> Length {
    Length::mm((along.as_mm() as f64).hypot(across.as_mm() as f64).ceil() as i64)
}
