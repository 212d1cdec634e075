//! Patches in an old laminate: what is cut back and ground, the pieces of mat of each layer, the board let in beneath.
//!
//! Given a roof whose laminate stays, the rules and the sizes of what is sold; gives each patch piece by piece. Each layer
//! laps further over sound laminate than the one below, so that every layer has a hold of its own. A patch known by its area
//! alone is laid as a square: its laps cannot be told otherwise, and its side is rounded up.

use super::shape::{hole_ring, is_opening};
use crate::geometry::point::Point;
use crate::geometry::region::Region;
use crate::geometry::ring::ring_area;
use crate::geometry::whole::div_ceil;
use crate::model::old_roof::{LaminatePatch, OldSide};
use crate::model::products::MatRoll;
use crate::model::{Area, Finish, Hole, Length, OldRoof, Problem, Products, Rules, Warned};

/// One piece of mat in a patch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchMat {
    /// The number written on it: `P1.2`.
    pub mark: String,
    /// Layer, from 0.
    pub layer: usize,
    /// Length as cut, the longer side.
    pub length: Length,
    /// Width as cut.
    pub width: Length,
}

/// One piece of board let in under a patch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchBoard {
    /// Its longer side.
    pub length: Length,
    /// Its shorter side.
    pub width: Length,
    /// Which board it is cut from, counting from 0 over all patches of the roof.
    pub board: usize,
    /// Where it lies on that board: along it, and across it.
    pub on_board: Point,
    /// Its longer side lies across the board.
    pub turned: bool,
}

/// The board let in under a patch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchDeck {
    /// The board's key.
    pub board: String,
    /// The pieces.
    pub pieces: Vec<PatchBoard>,
    /// Its joints with the old deck all round, and those between its pieces: each on a noggin, each bandaged.
    pub joints: Length,
    /// So many of them lie between its pieces.
    pub inner_joints: i64,
    /// Nails or screws.
    pub fixings: i64,
}

/// One strip of bandage in a patch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PatchBandage {
    /// Its width.
    pub width: Length,
    /// Its length, end laps included.
    pub length: Length,
    /// How many end laps are in that.
    pub laps: i64,
    /// Over the joints of the board let in; otherwise along an edge.
    pub over_joints: bool,
}

/// One patch, laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchLayout {
    /// What is written on the plan: `P1`.
    pub mark: String,
    /// What the job calls it.
    pub name: Option<String>,
    /// The hole, along the front and up the roof.
    pub hole: (Length, Length),
    /// Its corner nearest the front-left corner, where its place is known.
    pub at: Option<Point>,
    /// Size of each layer, along the front and up the roof, the lowest first.
    pub layers: Vec<(Length, Length)>,
    /// What is ground, along the front and up the roof.
    pub ground: (Length, Length),
    /// The pieces of mat, in the order of laying.
    pub mat: Vec<PatchMat>,
    /// Bandage.
    pub bandage: Vec<PatchBandage>,
    /// The board let in, where the deck is rotten.
    pub deck: Option<PatchDeck>,
}

/// An opening that stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldOpening {
    /// Its name.
    pub name: String,
    /// Its ring.
    pub ring: Vec<Point>,
    /// What stands round it.
    pub finish: Finish,
    /// A pipe.
    pub round: bool,
}

impl OldOpening {
    /// Whether it is a rooflight or another opening that carries nobody, and neither pipe nor chimney.
    pub fn is_opening(&self) -> bool {
        is_opening(self.finish, self.round)
    }
}

/// A roof whose laminate stays, laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldRoofLayout {
    /// Its place among those of the job.
    pub index: usize,
    /// Its name.
    pub name: String,
    /// The corner points.
    pub corners: Vec<Point>,
    /// Its sides.
    pub sides: Vec<OldSide>,
    /// What stands in it.
    pub openings: Vec<OldOpening>,
    /// Its area on plan, net of every opening.
    pub area: Area,
    /// Mat of its patches, g/m².
    pub mat: u32,
    /// Its patches.
    pub patches: Vec<PatchLayout>,
}

impl PatchMat {
    /// Whether another piece is cut to the same size for the same layer.
    pub fn is_like(&self, other: &PatchMat) -> bool {
        (self.layer, self.length, self.width) == (other.layer, other.length, other.width)
    }
}

impl PatchLayout {
    /// Area of the mat as cut, all layers.
    pub fn mat_area(&self) -> Area {
        self.mat.iter().map(|p| p.length * p.width).sum()
    }

    /// What is ground besides, out over the trim, wall or kerb beside the patch: as long and wide as its bandage there.
    pub fn at_edge(&self) -> Option<(Length, Length)> {
        self.bandage.iter().find(|b| !b.over_joints).map(|b| (b.length, b.width))
    }

    /// The corners of a box of this size with its middle on the patch's, where its place is known.
    pub fn centred(&self, (width, depth): (Length, Length)) -> Option<(Point, Point)> {
        let at = self.at?;
        let (dx, dy) = ((width - self.hole.0).as_mm() / 2, (depth - self.hole.1).as_mm() / 2);
        let least = Point::new(at.x - dx, at.y - dy);
        Some((least, Point::new(least.x + width.as_mm(), least.y + depth.as_mm())))
    }
}

/// The square as large as an area, its side to the next whole millimetre.
pub fn square_of(area: Area) -> (Length, Length) {
    let mm2 = area.as_mm2().max(0);
    let root = mm2.isqrt();
    let side = Length::mm(if root * root < mm2 { root + 1 } else { root });
    (side, side)
}

// ---- What cannot be ----------------------------------------------------------------------------------------------

/// What is wrong with the patches of a roof: too large for it, across its edge or over an opening, over one another.
pub fn faults(roof: &OldRoof, rules: &Rules) -> Vec<Problem> {
    let surface = Region::of_ring(&roof.corners);
    let Some(bounds) = surface.bounds() else { return Vec::new() };
    let across = Length::mm(bounds.most.x - bounds.least.x);
    let up = Length::mm(bounds.most.y - bounds.least.y);
    let mut found = Vec::new();
    for patch in &roof.patches {
        if patch.width > across || patch.depth > up {
            let fault = format!(
                "a patch of {} × {} is larger than the roof, which is {across} × {up} at most",
                patch.width, patch.depth
            );
            found.push(Problem::fault(size_of(patch), fault, "check both lengths: along the front, then up the roof"));
            continue;
        }
        let round = (patch.width + patch.depth) * 2;
        if patch.at_edge > round {
            let fault = format!("{} of this patch run along an edge, and it measures {round} all round", patch.at_edge);
            let cure = "give the part of its outline that lies against a trim, a wall or a kerb";
            found.push(Problem::fault(patch.path.key("at_edge"), fault, cure));
        }
        found.extend(misplaced(patch, roof, &surface, rules));
    }
    found.extend(overlaps(&roof.patches));
    found.extend(more_than_the_roof(roof, &surface));
    found.extend(unlike_boards(&roof.patches));
    found
}

fn size_of(patch: &LaminatePatch) -> crate::model::SettingPath {
    patch.path.key(if patch.area.is_some() { "area" } else { "size" })
}

fn hole_box(patch: &LaminatePatch) -> Option<Region> {
    let at = patch.at?;
    Some(Region::of_box(at, Point::new(at.x + patch.width.as_mm(), at.y + patch.depth.as_mm())))
}

/// A patch that was measured into its place and cannot lie there.
fn misplaced(patch: &LaminatePatch, roof: &OldRoof, surface: &Region, rules: &Rules) -> Option<Problem> {
    let hole = hole_box(patch)?;
    let place = patch.path.key("at");
    let cure = "check `at` (its corner nearest the front left corner: along the front, then up the roof) and `size`";
    if !hole.subtract(surface).is_empty() {
        return Some(Problem::fault(place, "this patch reaches across the edge of the roof", cure));
    }
    let opening = roof.openings.iter().find(|o| !Region::of_ring(&hole_ring(&o.form)).intersect(&hole).is_empty());
    if let Some(opening) = opening {
        return Some(Problem::fault(place, format!("this patch reaches into `{}`", opening.name), cure));
    }
    let reach = reach(patch, rules);
    let at = patch.at?;
    let laid = |far: i64| {
        let least = Point::new(at.x - far, at.y - far);
        let most = Point::new(at.x + patch.width.as_mm() + far, at.y + patch.depth.as_mm() + far);
        Region::of_box(least, most)
    };
    let over = !laid(reach.as_mm()).subtract(surface).is_empty();
    let (fault, cure) = match patch.at_edge > Length::ZERO {
        false if over => (
            format!("the laps of this patch reach {reach} round it, past the edge of the roof"),
            "add `at_edge:` with the length of its outline that lies along the edge: it is bandaged there",
        ),
        true if !meets_an_edge(&laid(reach.as_mm() + 1), surface, roof) => (
            format!(
                "the laps of this patch reach {reach} round it and end short of every edge: its bandage there touches nothing"
            ),
            "measure `at` again, cut it back as far as the edge, or leave `at_edge` out",
        ),
        _ => return None,
    };
    Some(Problem::warning(Warned::PatchEdge, patch.path.key("at_edge"), fault, cure))
}

/// Whether what is laid comes to the edge of the roof, or to an opening.
fn meets_an_edge(laid: &Region, surface: &Region, roof: &OldRoof) -> bool {
    let meets = |opening: &Hole| !Region::of_ring(&hole_ring(&opening.form)).intersect(laid).is_empty();
    !laid.subtract(surface).is_empty() || roof.openings.iter().any(meets)
}

fn overlaps(patches: &[LaminatePatch]) -> Vec<Problem> {
    let mut found = Vec::new();
    for (n, later) in patches.iter().enumerate() {
        let Some(hole) = hole_box(later) else { continue };
        let before = patches[..n].iter().position(|p| hole_box(p).is_some_and(|b| !b.intersect(&hole).is_empty()));
        if let Some(before) = before {
            let fault = format!("this patch lies over patch {}", before + 1);
            found.push(Problem::fault(
                later.path.key("at"),
                fault,
                "make one patch of the two, or check `at` and `size`",
            ));
        }
    }
    found
}

/// Patches that together are more than there is.
fn more_than_the_roof(roof: &OldRoof, surface: &Region) -> Option<Problem> {
    let all: Area = roof.patches.iter().map(|p| p.width * p.depth).sum();
    let there = surface.area();
    (all >= there).then(|| {
        let fault = format!(
            "the patches come to {} m2, and the roof to {} m2: nothing of the old laminate stays",
            all.square_metres().normalize(),
            there.square_metres().normalize()
        );
        Problem::fault(roof.path.key("patches"), fault, "check their sizes, or price a new roof: `work: new`")
    })
}

/// Boards are cut for all patches of a roof together, out of one kind.
fn unlike_boards(patches: &[LaminatePatch]) -> Option<Problem> {
    let mut decks = patches.iter().filter_map(|p| Some((p, p.deck.as_ref()?)));
    let (_, first) = decks.next()?;
    let (patch, other) = decks.find(|(_, key)| *key != first)?;
    let fault = format!("this patch takes the board `{other}`, and another of the same roof `{first}`");
    Some(Problem::fault(patch.path.key("deck"), fault, "let in one kind of board on a roof, as thick as its old deck"))
}

// ---- As laid -----------------------------------------------------------------------------------------------------

/// Lays out a roof whose laminate stays.
pub fn lay_out(roof: &OldRoof, index: usize, rules: &Rules, products: &Products, roll: &MatRoll) -> OldRoofLayout {
    let openings: Vec<OldOpening> = roof
        .openings
        .iter()
        .map(|o| OldOpening {
            name: o.name.clone(),
            ring: hole_ring(&o.form),
            finish: o.finish,
            round: matches!(o.form, crate::model::HoleForm::Round { .. }),
        })
        .collect();
    let taken = Region::of_rings(openings.iter().map(|o| o.ring.as_slice()));
    let mut patches: Vec<PatchLayout> = roof.patches.iter().map(|p| lay_patch(p, rules, products, roll)).collect();
    cut_boards(&mut patches, rules, products);
    OldRoofLayout {
        index,
        name: roof.name.clone(),
        corners: roof.corners.clone(),
        sides: roof.sides.clone(),
        area: if openings.is_empty() {
            ring_area(&roof.corners)
        } else {
            Region::of_ring(&roof.corners).subtract(&taken).area()
        },
        openings,
        mat: roof.mat,
        patches,
    }
}

/// How far a layer, from 0, laps over sound laminate.
pub fn lap_of(layer: u32, rules: &Rules) -> Length {
    rules.patch_lap + rules.patch_step * i64::from(layer)
}

/// How far a patch reaches beyond its hole, ground and all.
fn reach(patch: &LaminatePatch, rules: &Rules) -> Length {
    lap_of(patch.layers.saturating_sub(1), rules) + rules.patch_ground
}

fn lay_patch(patch: &LaminatePatch, rules: &Rules, products: &Products, roll: &MatRoll) -> PatchLayout {
    let hole = (patch.width, patch.depth);
    let grown = |by: Length| (hole.0 + by * 2, hole.1 + by * 2);
    let layers: Vec<(Length, Length)> = (0..patch.layers).map(|layer| grown(lap_of(layer, rules))).collect();
    let mat: Vec<PatchMat> =
        layers.iter().enumerate().flat_map(|(layer, size)| pieces(layer, *size, rules, roll)).collect();
    let board = patch.deck.as_ref().and_then(|key| products.boards.get(key));
    let deck = board.map(|board| {
        let (along, across) = if hole.0 >= hole.1 { hole } else { (hole.1, hole.0) };
        let pieces: Vec<PatchBoard> = shared(along, board.length)
            .into_iter()
            .flat_map(|l| shared(across, board.width).into_iter().map(move |w| (l.max(w), l.min(w))))
            .map(|(length, width)| PatchBoard { length, width, board: 0, on_board: Point::new(0, 0), turned: false })
            .collect();
        let (columns, rows) = (along.pieces_of(board.length), across.pieces_of(board.width));
        let joints = (along + across) * 2 + across * (columns - 1) + along * (rows - 1);
        let inner_joints = columns + rows - 2;
        let fixings = pieces.iter().map(|p| fixings(p, rules)).sum();
        PatchDeck { board: board.key.clone(), pieces, joints, inner_joints, fixings }
    });
    PatchLayout {
        mark: String::new(),
        name: patch.name.clone(),
        hole,
        at: patch.at,
        layers,
        ground: grown(reach(patch, rules)),
        mat,
        bandage: bandage(patch, deck.as_ref(), rules),
        deck,
    }
}

/// Round each piece at the spacing of board ends, and over its face at that between.
fn fixings(piece: &PatchBoard, rules: &Rules) -> i64 {
    let round = ((piece.length + piece.width) * 2).pieces_of(rules.deck_edge_fixing);
    let inner = |side: Length| (side.pieces_of(rules.deck_field_fixing) - 1).max(0);
    round + inner(piece.length) * inner(piece.width)
}

/// A length in as few parts as none is longer than `most`, as equal as whole millimetres make them.
fn shared(length: Length, most: Length) -> Vec<Length> {
    let parts = length.pieces_of(most).max(1);
    (0..parts).map(|i| Length::mm(length.as_mm() * (i + 1) / parts - length.as_mm() * i / parts)).collect()
}

/// A layer in strips no wider than the roll and no longer than two people lay, lapped by the rules.
fn pieces(layer: usize, (a, b): (Length, Length), rules: &Rules, roll: &MatRoll) -> Vec<PatchMat> {
    let (long, short) = (a.max(b), a.min(b));
    let lengths = lapped(long, rules.mat_longest, rules.mat_end_lap);
    let widths = lapped(short, roll.width, rules.mat_lap);
    let piece = |length: Length, width: Length| PatchMat { mark: String::new(), layer, length, width };
    widths.iter().flat_map(|&w| lengths.iter().map(move |&l| piece(l, w))).collect()
}

/// A length in as few parts as none is longer than `most`, each lapping the next.
fn lapped(length: Length, most: Length, lap: Length) -> Vec<Length> {
    if length <= most || most <= lap {
        return vec![length];
    }
    let parts = (length - lap).pieces_of(most - lap);
    let part = Length::mm(div_ceil((length + lap * (parts - 1)).as_mm(), parts));
    vec![part; usize::try_from(parts).unwrap_or_default()]
}

fn bandage(patch: &LaminatePatch, deck: Option<&PatchDeck>, rules: &Rules) -> Vec<PatchBandage> {
    let strip = |width: Length, along: Length, laps: i64, over_joints: bool| PatchBandage {
        width,
        length: along + rules.bandage_lap * laps,
        laps,
        over_joints,
    };
    let over = deck.map(|d| strip(rules.bandage_joint, d.joints, 4 + 2 * d.inner_joints, true));
    let along = (patch.at_edge > Length::ZERO).then(|| strip(rules.bandage_trim, patch.at_edge, 2, false));
    over.into_iter().chain(along).collect()
}

/// A row of pieces across a board that is being cut: where it starts along the board, how long it is, how far it is filled.
struct PatchRow {
    start: i64,
    long: i64,
    filled: i64,
}

/// Finds a place for every piece on as few boards as the first that has room gives, the longest first. Every piece stands on
/// noggins all round, so that it may be turned.
fn cut_boards(patches: &mut [PatchLayout], rules: &Rules, products: &Products) {
    let decks = || patches.iter().filter_map(|p| p.deck.as_ref());
    let Some(board) = decks().next().and_then(|deck| products.boards.get(&deck.board)) else { return };
    let (along, across) = (board.length.as_mm(), board.width.as_mm());
    let decks = patches.iter_mut().filter_map(|p| p.deck.as_mut());
    let mut pieces: Vec<&mut PatchBoard> = decks.flat_map(|d| &mut d.pieces).collect();
    pieces.sort_by_key(|p| std::cmp::Reverse((p.length, p.width)));
    let mut boards: Vec<Vec<PatchRow>> = Vec::new();
    for piece in pieces {
        place(piece, (along, across), rules.board_kerf.as_mm(), &mut boards);
    }
}

/// Places one piece: in a row that has room, else in a new row, else on a new board.
fn place(piece: &mut PatchBoard, (along, across): (i64, i64), kerf: i64, boards: &mut Vec<Vec<PatchRow>>) {
    let (length, width) = (piece.length.as_mm(), piece.width.as_mm());
    // Turned where the longer side goes across the board: the row is then the shorter side long.
    let ways = [(true, width, length), (false, length, width)];
    for (n, rows) in boards.iter_mut().enumerate() {
        for (turned, row_long, row_wide) in ways.into_iter().filter(|w| w.2 <= across) {
            let open = rows.iter_mut().find(|r| r.long >= row_long && r.filled + kerf + row_wide <= across);
            if let Some(row) = open {
                (piece.board, piece.turned, piece.on_board) = (n, turned, Point::new(row.start, row.filled + kerf));
                row.filled += kerf + row_wide;
                return;
            }
            let start = rows.last().map_or(0, |r| r.start + r.long + kerf);
            if start + row_long <= along {
                (piece.board, piece.turned, piece.on_board) = (n, turned, Point::new(start, 0));
                rows.push(PatchRow { start, long: row_long, filled: row_wide });
                return;
            }
        }
    }
    let turned = length <= across;
    let (long, wide) = if turned { (width, length) } else { (length, width) };
    (piece.board, piece.turned, piece.on_board) = (boards.len(), turned, Point::new(0, 0));
    boards.push(vec![PatchRow { start: 0, long, filled: wide }]);
}
