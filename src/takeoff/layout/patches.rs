//! Patches in an old laminate: what is cut back and ground, the pieces of mat of each layer, the board let in beneath.
//!
//! Given a roof whose laminate stays, the rules and the sizes of what is sold; gives each patch piece by piece. Each layer
//! laps further over sound laminate than the one below, so that every layer has a hold of its own. What would lie past the
//! edge of the roof or in an opening is not there, and is neither ground nor laid. A patch known by its area alone is laid as a
//! square: its laps cannot be told otherwise, and its side is rounded up.

use super::shape::{hole_ring, is_opening};
use super::timber::cut_from;
use crate::cutting::Demand;
use crate::geometry::point::Point;
use crate::geometry::region::{Bounds, Region, bounds_of};
use crate::geometry::ring::ring_area;
use crate::geometry::ring::side;
use crate::geometry::segment::distance;
use crate::geometry::whole::div_ceil;
use crate::model::old_roof::{LaminatePatch, OldSide, OldTrim, PatchEdge};
use crate::model::products::{MatRoll, Profile};
use crate::model::{Area, Finish, Hole, Length, OldRoof, Problem, Products, Rules, Warned};
use std::collections::BTreeMap;

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

/// What is laid or ground of a patch, as far as there is roof: how large it is, what that comes to, and where it lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchFace {
    /// Along the front and up the roof; of a patch along an edge, along that edge and in from it.
    pub size: (Length, Length),
    /// What of that is roof.
    pub area: Area,
    /// Its corners, where its place is known.
    pub ring: Option<Vec<Point>>,
}

/// An edge along a patch, made good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatchTrim {
    /// Where it lies and what becomes of its trim.
    pub edge: PatchEdge,
    /// The edge's name.
    pub side: String,
    /// How much of it.
    pub run: Length,
    /// How far the mat is carried up or over it.
    pub up: Length,
    /// The pieces of a new trim, laps included; of one that is bedded again its length.
    pub pieces: Vec<Length>,
    /// Lap joints: with the trim that stays, and between the pieces.
    pub laps: i64,
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
    /// Its corner nearest the front-left corner, where that was measured.
    pub at: Option<Point>,
    /// The corners of the hole, where its place is known.
    pub ring: Option<Vec<Point>>,
    /// The edge that it lies along.
    pub trim: Option<PatchTrim>,
    /// Size of each layer on the roof, the lowest first; up or over an edge it goes besides.
    pub layers: Vec<(Length, Length)>,
    /// What is ground on the roof.
    pub ground: PatchFace,
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
    /// The stock lengths that new trims along them are cut from, by finish; the longest first.
    pub trims: BTreeMap<Finish, Vec<Length>>,
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

    /// What is ground besides, out over the trim, wall or kerb beside the patch: as far as its mat goes there, and at least
    /// as its bandage does.
    pub fn at_edge(&self) -> Option<(Length, Length)> {
        let bandage = self.bandage.iter().find(|b| !b.over_joints)?;
        Some(match &self.trim {
            Some(trim) => (self.ground.size.0.max(bandage.length), trim.up.max(bandage.width)),
            None => (bandage.length, bandage.width),
        })
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
        // Along an edge it is judged by that edge.
        if patch.edge.is_none() && (patch.width > across || patch.depth > up) {
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
    found.extend(overlaps(roof));
    found.extend(more_than_the_roof(roof, &surface));
    found.extend(unlike_boards(&roof.patches));
    found
}

fn size_of(patch: &LaminatePatch) -> crate::model::SettingPath {
    patch.path.key(if patch.area.is_some() { "area" } else { "size" })
}

fn hole_box(patch: &LaminatePatch, roof: &OldRoof) -> Option<Region> {
    let ring = PatchFrame::of(patch, &roof.corners)?.ring((0, 0), (patch.width.as_mm(), patch.depth.as_mm()));
    Some(Region::of_ring(&ring))
}

/// A patch that was measured into its place and cannot lie there.
fn misplaced(patch: &LaminatePatch, roof: &OldRoof, surface: &Region, rules: &Rules) -> Option<Problem> {
    let hole = hole_box(patch, roof)?;
    if let Some(edge) = patch.edge {
        return misplaced_at_edge(patch, edge, roof, &hole, surface);
    }
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

/// A patch along an edge that reaches past its end, or into what stands in the roof.
fn misplaced_at_edge(
    patch: &LaminatePatch,
    edge: PatchEdge,
    roof: &OldRoof,
    hole: &Region,
    surface: &Region,
) -> Option<Problem> {
    let side = roof.sides.get(edge.side)?;
    if edge.from + patch.width > side.length {
        let fault = format!(
            "this patch begins {} along `{}` and is {} long, and that edge is {} long",
            edge.from, side.name, patch.width, side.length
        );
        let cure = "check `from` (from where the edge starts) and `size` (along the edge, then in from it)";
        return Some(Problem::fault(patch.path.key("from"), fault, cure));
    }
    let opening = roof.openings.iter().find(|o| !Region::of_ring(&hole_ring(&o.form)).intersect(hole).is_empty());
    let cure = "check `size`: along the edge, then in from it";
    if let Some(opening) = opening {
        return Some(Problem::fault(size_of(patch), format!("this patch reaches into `{}`", opening.name), cure));
    }
    // Corners of a roof that is out of square lie on whole millimetres.
    let off = hole.subtract(surface).area().as_mm2() > 2 * (patch.width + patch.depth).as_mm();
    off.then(|| Problem::fault(size_of(patch), "this patch reaches across the edge of the roof", cure))
}

/// Whether what is laid comes to the edge of the roof, or to an opening.
fn meets_an_edge(laid: &Region, surface: &Region, roof: &OldRoof) -> bool {
    let meets = |opening: &Hole| !Region::of_ring(&hole_ring(&opening.form)).intersect(laid).is_empty();
    !laid.subtract(surface).is_empty() || roof.openings.iter().any(meets)
}

fn overlaps(roof: &OldRoof) -> Vec<Problem> {
    let patches = &roof.patches;
    let holes: Vec<Option<Region>> = patches.iter().map(|p| hole_box(p, roof)).collect();
    let over = |a: &Region, b: &Region| !a.intersect(b).is_empty();
    let mut found = Vec::new();
    for (n, later) in patches.iter().enumerate() {
        let Some(hole) = &holes[n] else { continue };
        if let Some(before) = holes[..n].iter().position(|b| b.as_ref().is_some_and(|b| over(b, hole))) {
            let fault = format!("this patch lies over patch {}", before + 1);
            found.push(Problem::fault(
                later.path.key(if later.edge.is_some() { "from" } else { "at" }),
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
    let surface = Region::of_ring(&roof.corners).subtract(&taken);
    let mut patches: Vec<PatchLayout> =
        roof.patches.iter().map(|p| lay_patch(p, (roof, &surface), rules, products, roll)).collect();
    cut_boards(&mut patches, rules, products);
    let trims = cut_trims(&patches, rules, products);
    OldRoofLayout {
        index,
        name: roof.name.clone(),
        corners: roof.corners.clone(),
        sides: roof.sides.clone(),
        area: if openings.is_empty() { ring_area(&roof.corners) } else { surface.area() },
        openings,
        mat: roof.mat,
        patches,
        trims,
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

/// Where a patch lies: its corner, the way along it, and how long that is.
struct PatchFrame {
    origin: Point,
    along: (i64, i64),
    long: i64,
}

impl PatchFrame {
    /// That of a patch whose place is known.
    fn of(patch: &LaminatePatch, corners: &[Point]) -> Option<PatchFrame> {
        let Some(edge) = patch.edge else {
            return Some(PatchFrame { origin: patch.at?, along: (1, 0), long: 1 });
        };
        let (start, end) = side(corners, edge.side);
        let along = (end.x - start.x, end.y - start.y);
        let whole = PatchFrame { origin: start, along, long: distance(start, end).as_mm().max(1) };
        Some(PatchFrame { origin: whole.at(edge.from.as_mm(), 0), ..whole })
    }

    /// So far along it and so far in, to the nearest millimetre.
    fn at(&self, along: i64, inward: i64) -> Point {
        let ((dx, dy), long) = (self.along, self.long);
        let nearest = |n: i64| (2 * n + long).div_euclid(2 * long);
        Point::new(self.origin.x + nearest(dx * along - dy * inward), self.origin.y + nearest(dy * along + dx * inward))
    }

    /// How far along it and how far in a point lies, to the nearest millimetre.
    fn place_of(&self, p: Point) -> Point {
        let ((dx, dy), long) = (self.along, self.long);
        let (x, y) = (p.x - self.origin.x, p.y - self.origin.y);
        let nearest = |n: i64| (2 * n + long).div_euclid(2 * long);
        Point::new(nearest(x * dx + y * dy), nearest(y * dx - x * dy))
    }

    /// The corners of a box, anticlockwise.
    fn ring(&self, least: (i64, i64), most: (i64, i64)) -> Vec<Point> {
        let corners = [least, (most.0, least.1), most, (least.0, most.1)];
        corners.map(|(along, inward)| self.at(along, inward)).to_vec()
    }

    /// What of a box is roof: the smallest box round it, and its area.
    fn face(&self, least: (i64, i64), most: (i64, i64), surface: &Region) -> PatchFace {
        let there = Region::of_ring(&self.ring(least, most)).intersect(surface);
        let points = there.polygons().iter().flatten().flatten().map(|p| self.place_of(*p));
        let Some(Bounds { least: from, most: to }) = bounds_of(points) else {
            return PatchFace { size: (Length::ZERO, Length::ZERO), area: Area::ZERO, ring: None };
        };
        let from = (from.x.max(least.0), from.y.max(least.1));
        let to = (to.x.min(most.0), to.y.min(most.1));
        let size = (Length::mm(to.0 - from.0), Length::mm(to.1 - from.1));
        // A slanting box has its corners on whole millimetres: it is no larger than its sides say.
        let area = there.area().min(size.0 * size.1);
        PatchFace { size, area, ring: Some(self.ring(from, to)) }
    }
}

/// What of a patch that reaches so far beyond its hole is roof. Of one whose place is not known no more than the roof is long
/// and wide.
fn face(patch: &LaminatePatch, by: Length, (roof, surface): (&OldRoof, &Region)) -> PatchFace {
    let by = by.as_mm();
    if let Some(frame) = PatchFrame::of(patch, &roof.corners) {
        return frame.face((-by, -by), (patch.width.as_mm() + by, patch.depth.as_mm() + by), surface);
    }
    let most = bounds_of(roof.corners.iter().copied());
    let no_more = |side: Length, most: i64| Length::mm((side.as_mm() + 2 * by).min(most));
    let size = most.map_or((patch.width, patch.depth), |Bounds { least, most }| {
        (no_more(patch.width, most.x - least.x), no_more(patch.depth, most.y - least.y))
    });
    PatchFace { size, area: size.0 * size.1, ring: None }
}

/// The edge along a patch: how far the mat goes up it, and the pieces of its trim.
fn edge_of(patch: &LaminatePatch, edge: PatchEdge, roof: &OldRoof, rules: &Rules, products: &Products) -> PatchTrim {
    let (name, long) = roof.sides.get(edge.side).map_or((String::new(), patch.width), |s| (s.name.clone(), s.length));
    // Where it begins or ends at a corner, no old trim goes on.
    let ends = i64::from(edge.from > Length::ZERO) + i64::from(edge.from + patch.width < long);
    let (pieces, laps) = match edge.trim {
        OldTrim::Stays => (Vec::new(), 0),
        OldTrim::Bedded => (vec![patch.width], 0),
        OldTrim::Renewed => {
            let longest = products.profiles.get(&edge.finish).and_then(longest_of).unwrap_or(patch.width);
            let pieces = lapped(patch.width + rules.trim_lap * ends, longest, rules.trim_lap);
            let joints = ends + i64::try_from(pieces.len()).unwrap_or(1) - 1;
            (pieces, joints)
        }
    };
    let up = rules.mat_return.of(edge.finish);
    PatchTrim { edge, side: name, run: patch.width, up, pieces, laps }
}

fn longest_of(profile: &Profile) -> Option<Length> {
    profile.stock.iter().map(|s| s.length).max()
}

/// The stock lengths that new trims are cut from, by finish.
fn cut_trims(patches: &[PatchLayout], rules: &Rules, products: &Products) -> BTreeMap<Finish, Vec<Length>> {
    let mut by_finish: BTreeMap<Finish, Vec<Demand>> = BTreeMap::new();
    for trim in patches.iter().filter_map(|p| p.trim.as_ref()).filter(|t| t.edge.trim == OldTrim::Renewed) {
        let each = trim.pieces.iter().map(|&length| Demand { length, count: 1 });
        by_finish.entry(trim.edge.finish).or_default().extend(each);
    }
    let bought = |(finish, demands): (Finish, Vec<Demand>)| {
        let sold = &products.profiles.get(&finish)?.stock;
        let plan = cut_from(&demands, sold, rules.kerf)?.plan;
        let bars = plan.patterns.iter().flat_map(|p| (0..p.times).map(|_| sold[p.stock].length));
        let mut bars: Vec<Length> = bars.collect();
        bars.sort_unstable_by(|a, b| b.cmp(a));
        Some((finish, bars))
    };
    by_finish.into_iter().filter_map(bought).collect()
}

fn lay_patch(
    patch: &LaminatePatch,
    on: (&OldRoof, &Region),
    rules: &Rules,
    products: &Products,
    roll: &MatRoll,
) -> PatchLayout {
    let hole = (patch.width, patch.depth);
    let trim = patch.edge.map(|edge| edge_of(patch, edge, on.0, rules, products));
    let up = trim.as_ref().map_or(Length::ZERO, |t| t.up);
    let layers: Vec<(Length, Length)> =
        (0..patch.layers).map(|layer| face(patch, lap_of(layer, rules), on).size).collect();
    let mat: Vec<PatchMat> =
        layers.iter().enumerate().flat_map(|(layer, size)| pieces(layer, (size.0, size.1 + up), rules, roll)).collect();
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
        ring: PatchFrame::of(patch, &on.0.corners).map(|f| f.ring((0, 0), (hole.0.as_mm(), hole.1.as_mm()))),
        layers,
        ground: face(patch, reach(patch, rules), on),
        mat,
        bandage: bandage(patch, deck.as_ref(), trim.as_ref(), rules),
        trim,
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

fn bandage(
    patch: &LaminatePatch,
    deck: Option<&PatchDeck>,
    trim: Option<&PatchTrim>,
    rules: &Rules,
) -> Vec<PatchBandage> {
    let strip = |width: Length, along: Length, laps: i64, over_joints: bool| PatchBandage {
        width,
        length: along + rules.bandage_lap * laps,
        laps,
        over_joints,
    };
    let over = deck.map(|d| strip(rules.bandage_joint, d.joints, 4 + 2 * d.inner_joints, true));
    // Along the edge, and over each lap of a new trim from its back across its face and flange.
    let along = (patch.at_edge > Length::ZERO).then(|| strip(rules.bandage_trim, patch.at_edge, 2, false));
    let laps = trim
        .into_iter()
        .flat_map(|t| (0..t.laps).map(|_| strip(rules.bandage_trim, rules.topcoat_girth.of(t.edge.finish), 0, false)));
    over.into_iter().chain(along).chain(laps).collect()
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
