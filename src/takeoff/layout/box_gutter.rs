//! Box gutters: boarded beyond an edge and lined with the roof's laminate.
//!
//! Given a roof's shape and the gutter of an edge; gives its boards, bearers, fillets, bandage and mat, each with its place
//! along the edge. The edge is the gutter's lip: what is measured of the roof ends there, and the gutter lies beyond it,
//! against a parapet. Its sole falls to the outlet from both ends, so that it is shallowest at the end that is further
//! from it. The lining is laid before the roof's own mat, which laps down into it over the lip. Where the wall at an end is covered,
//! it goes to that wall's top and no further: the top is not yet ready when the gutter is lined. A strip over the top closes it with the
//! roof's mat beside it.

use super::shape::RoofShape;
use crate::cutting::Proof;
use crate::cutting::boards::{OutOfBoards, saw_boards};
use crate::geometry::whole::div_ceil;
use crate::model::products::{Board, MatRoll};
use crate::model::shape::BoxGutter;
use crate::model::{Edge, Finish, Length, Problem, Products, Roof, Rules};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// A part of the gutter that is boarded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GutterPart {
    /// Its bottom.
    Sole,
    /// Its side under the roof's edge.
    NearCheek,
    /// Its side against the parapet, carried up above the roof.
    FarCheek,
    /// What closes it where the edge starts.
    StartEnd,
    /// What closes it where the edge ends.
    FarEnd,
}

impl GutterPart {
    /// What the crew calls it.
    pub const fn word(self) -> &'static str {
        match self {
            GutterPart::Sole => "sole",
            GutterPart::NearCheek => "roof side",
            GutterPart::FarCheek => "parapet side",
            GutterPart::StartEnd | GutterPart::FarEnd => "end",
        }
    }
}

/// One board of a gutter, the rectangle that it is cut from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GutterBoard {
    /// The number written on it.
    pub mark: String,
    /// Of which part.
    pub part: GutterPart,
    /// Where it begins, from the edge's start.
    pub at: Length,
    /// Along the gutter; across it for an end.
    pub length: Length,
    /// Across it: the width of the sole, the greatest height of a side.
    pub width: Length,
    /// Which board it is cut from, counting from 0.
    pub board: usize,
}

/// One bearer under the sole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bearer {
    /// Its middle, from the edge's start.
    pub at: Length,
    /// From the deck's top down to the sole's top there.
    pub down: Length,
}

/// One strip of bandage in a gutter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GutterBandage {
    /// Its width.
    pub width: Length,
    /// Its length as cut.
    pub length: Length,
    /// It covers a joint between boards; else an arris.
    pub joint: bool,
}

/// One piece of the lining.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GutterMat {
    /// The number written on it.
    pub mark: String,
    /// Layer, from 0.
    pub layer: usize,
    /// Strip across the girth, from 0 at the roof's edge.
    pub strip: usize,
    /// Where it begins along the lining, which starts at the top of the end where the edge starts.
    pub at: Length,
    /// As cut, along the gutter.
    pub length: Length,
    /// As cut, across it.
    pub width: Length,
    /// The order in which it is laid, from 1.
    pub order: usize,
    /// It closes the lining over the top of the covered wall at an end, 0 where the edge starts; its length lies along that wall.
    pub over: Option<usize>,
}

/// A box gutter as it is laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxGutterLayout {
    /// Index of the side that is its lip.
    pub side: usize,
    /// Its length: the side's run.
    pub run: Length,
    /// Clear width of its sole.
    pub width: Length,
    /// Depth at the start of the edge, at the outlet and at the end of the edge.
    pub depths: [Length; 3],
    /// How far the lining goes above the deck's top at the parapet and at the ends.
    pub up: Length,
    /// The outlet's middle, from the edge's start.
    pub outlet_at: Length,
    /// The key of its boards.
    pub board: String,
    /// Its boards.
    pub boards: Vec<GutterBoard>,
    /// Whole boards that they are cut from.
    pub bought: usize,
    /// These boards, and what no sawing can do with less.
    pub proof: Proof,
    /// Fixings of the boards.
    pub fixings: usize,
    /// Bearers under the sole.
    pub bearers: Vec<Bearer>,
    /// How long each bearer is: the sole's width and both sides, which stand on it, so that its ends lie on the ledgers.
    pub bearer: Length,
    /// How far apart the roof's joists are, whose ends the ledger on the roof's side is screwed to.
    pub joists: Length,
    /// Fillets in its inner corners, as cut.
    pub fillets: Vec<Length>,
    /// Bandage.
    pub bandage: Vec<GutterBandage>,
    /// From the lip down, across the sole and up the parapet side, where it is deepest.
    pub girth: Length,
    /// Length of the lining, both ends turned up, over the tops of covered walls too.
    pub long: Length,
    /// The lining, in the order of laying; then what closes it over the tops of covered walls.
    pub mat: Vec<GutterMat>,
}

impl BoxGutterLayout {
    /// Whether it is built in the place of an old one.
    pub fn replaces_old(&self, roof: &Roof) -> bool {
        roof.outline.edges.get(self.side).is_some_and(Edge::has_old_gutter)
    }

    /// How far across it the old roof is stripped: the lining and boards of an old gutter, else what lies over the new one's width.
    pub fn stripped(&self, roof: &Roof) -> Length {
        if self.replaces_old(roof) { self.girth } else { self.width }
    }
}

/// The least and the greatest depth of a gutter: at its shallow end and at its outlet.
impl BoxGutterLayout {
    /// The two ledgers that its bearers lie on, one on the joists' ends and one on the parapet, in pieces no longer than what is sold.
    pub fn ledgers(&self, longest: Length) -> Vec<Length> {
        let pieces = self.run.pieces_of(longest).max(1);
        let end = |n: i64| self.run.as_mm() * n / pieces;
        let one = (0..pieces).map(|n| Length::mm(end(n + 1) - end(n)));
        one.clone().chain(one).collect()
    }

    /// The depth at the end that is furthest from the outlet.
    pub fn shallow(&self) -> Length {
        self.depths[0].min(self.depths[2])
    }

    /// The depth at the outlet.
    pub fn deep(&self) -> Length {
        self.depths[1]
    }

    /// The depth so far from the edge's start.
    pub fn depth_at(&self, at: Length) -> Length {
        depth(self.depths, self.outlet_at, self.run, at)
    }
}

/// Which board each piece is cut from. Pieces and boards are counted larger by a kerf: what lies side by side then takes what the cuts
/// between take too.
pub(crate) fn out_of_boards(pieces: &[(Length, Length)], board: &Board, rules: &Rules) -> OutOfBoards {
    let kerf = rules.board_kerf;
    let with_cuts: Vec<(Length, Length)> = pieces.iter().map(|&(l, w)| (l + kerf, w + kerf)).collect();
    saw_boards(&with_cuts, (board.length + kerf, board.width + kerf))
}

/// The box gutters of a roof, in the order of its sides.
///
/// # Errors
/// What cannot be boarded, with what would do instead.
pub fn lay(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    products: &Products,
    roll: &MatRoll,
) -> Result<Vec<BoxGutterLayout>, Vec<Problem>> {
    let (mut laid, mut problems) = (Vec::new(), Vec::new());
    for (side, edge) in roof.outline.edges.iter().enumerate() {
        let Some(gutter) = edge.box_gutter.as_ref().filter(|_| edge.finish == Finish::Gutter) else { continue };
        let run = shape.sides.get(side).map_or(edge.length, |s| s.run);
        let mut trough = Trough::of(gutter, run, ends_up(shape, side, rules), rules);
        trough.over_tops = over_tops(shape, side, rules);
        match board_of(gutter, roof, products).and_then(|board| {
            let faults = trough.too_wide(gutter, board);
            if faults.is_empty() { Ok(board) } else { Err(faults) }
        }) {
            Ok(board) => laid.push(trough.laid(side, board, (roof, rules, roll))),
            Err(more) => problems.extend(more),
        }
    }
    if problems.is_empty() { Ok(laid) } else { Err(problems) }
}

/// What the measured gutter of an edge lacks before it can be laid: asked when a job is read.
pub fn faults(edge: &Edge) -> Vec<Problem> {
    let Some(gutter) = &edge.box_gutter else { return Vec::new() };
    let outlet = &gutter.outlet;
    let half = Length::mm((outlet.size.as_mm() + 1) / 2);
    let mut found = Vec::new();
    if outlet.at < half || outlet.at + half > edge.length {
        found.push(Problem::fault(
            gutter.path.keys(["outlet", "at"]),
            format!("the outlet at {} does not lie within the gutter, which is {} long", outlet.at, edge.length),
            format!("measure its middle from where the edge starts: from {half} to {} here", edge.length - half),
        ));
    }
    if outlet.size > gutter.width {
        found.push(Problem::fault(
            gutter.path.keys(["outlet", "size"]),
            format!("an outlet of {} does not go into a sole {} wide", outlet.size, gutter.width),
            "make the gutter wider, or the outlet smaller",
        ));
    }
    found
}

fn board_of<'a>(gutter: &BoxGutter, roof: &Roof, products: &'a Products) -> Result<&'a Board, Vec<Problem>> {
    let Some(key) = gutter.board.as_ref().or(roof.deck.board.as_ref()) else {
        return Err(vec![Problem::fault(
            gutter.path.key("board"),
            "the deck is kept, so that nothing says what the gutter is boarded with",
            "add, for example, `board: osb3-18`",
        )]);
    };
    products.boards.get(key).ok_or_else(|| {
        vec![Problem::fault(
            gutter.path.key("board"),
            format!("no price book says how large the board {key} is"),
            format!("add an article with `role: board.{key}` and its length, width and thickness"),
        )]
    })
}

/// A gutter by its sizes alone.
struct Trough {
    run: Length,
    width: Length,
    outlet_at: Length,
    /// At the start, at the outlet, at the end.
    depths: [Length; 3],
    up: Length,
    /// How far its boards and its lining go up at the start and at the end, above the deck's top.
    ends_up: [(Length, Length); 2],
    /// The strip over the top of the covered wall at either end: along that wall, and across its top.
    over_tops: [Option<(Length, Length)>; 2],
}

/// What closes the lining over the tops of covered walls that stand at a gutter's ends: it laps the end's lining below, and the mat of
/// the roof beside it.
fn over_tops(shape: &RoofShape, side: usize, rules: &Rules) -> [Option<(Length, Length)>; 2] {
    let n = shape.sides.len().max(1);
    let strip = |other: usize, end: usize| {
        let wall = shape.sides.get(other)?.coped?;
        Some((wall.longer[end] + rules.mat_lap, wall.carried() - wall.high + rules.mat_lap))
    };
    [strip((side + n - 1) % n, 1), strip((side + 1) % n, 0)]
}

/// How far the boards and the lining of a gutter's ends go above the deck's top: as at the parapet, or, where the wall at
/// an end is covered, the boards to its top and the lining over that.
fn ends_up(shape: &RoofShape, side: usize, rules: &Rules) -> [(Length, Length); 2] {
    let n = shape.sides.len().max(1);
    let wall = |other: usize| shape.sides.get(other).and_then(|s| s.coped);
    let up = rules.mat_return.wall;
    [(side + n - 1) % n, (side + 1) % n].map(|other| wall(other).map_or((up, up), |w| (w.high, w.carried())))
}

impl Trough {
    fn of(gutter: &BoxGutter, run: Length, ends_up: [(Length, Length); 2], rules: &Rules) -> Trough {
        let at = gutter.outlet.at.min(run);
        let (before, after) = (at, run - at);
        // Each depth is the measured one, the next millimetre up: a cheek that follows them is nowhere short.
        let furthest = before.max(after);
        let falls = |over: Length| {
            let fall = gutter.fall.run;
            let mm = if fall > Decimal::ZERO { Decimal::from(over.as_mm()) / fall } else { Decimal::ZERO };
            gutter.depth + Length::mm(mm.ceil().to_i64().unwrap_or(0))
        };
        let depths = [falls(furthest - before), falls(furthest), falls(furthest - after)];
        Trough {
            run,
            width: gutter.width,
            outlet_at: at,
            depths,
            up: rules.mat_return.wall,
            ends_up,
            over_tops: [None; 2],
        }
    }

    fn depth(&self, at: Length) -> Length {
        depth(self.depths, self.outlet_at, self.run, at)
    }

    /// The greatest depth of a stretch.
    fn deepest(&self, from: Length, to: Length) -> Length {
        match from <= self.outlet_at && self.outlet_at <= to {
            true => self.depths[1],
            false => self.depth(from).max(self.depth(to)),
        }
    }

    /// Parts that no board is wide enough for.
    fn too_wide(&self, gutter: &BoxGutter, board: &Board) -> Vec<Problem> {
        let high = self.depths[1] + self.up;
        let mut found = Vec::new();
        if self.width > board.width {
            let fault = format!("a sole {} wide is wider than the board {}, {}", self.width, board.key, board.width);
            let cure = "make the gutter narrower, or name a wider board: `board: …`";
            found.push(Problem::fault(gutter.path.key("width"), fault, cure));
        }
        if high > board.width.max(board.length) || high > board.width {
            let fault = format!(
                "its parapet side is {high} high at the outlet ({} deep, {} above the roof), more than the board {} is \
                 wide, {}",
                self.depths[1], self.up, board.key, board.width
            );
            let cure =
                "make it shallower or its fall flatter, set the outlet nearer to the middle, or name a wider board";
            found.push(Problem::fault(gutter.path.key("depth"), fault, cure));
        }
        let ends = [self.depths[0] + self.ends_up[0].0, self.depths[2] + self.ends_up[1].0];
        if let Some(high) = ends.into_iter().max().filter(|end| *end > board.width && *end > high) {
            let fault = format!("an end goes {high} up, more than the board {} is wide, {}", board.key, board.width);
            let cure = "the wall there is covered, so that the end goes to its top: name a wider board";
            found.push(Problem::fault(gutter.path.key("board"), fault, cure));
        }
        if self.width > board.length {
            let fault = format!("an end {} wide is longer than the board {}", self.width, board.key);
            found.push(Problem::fault(gutter.path.key("width"), fault, "name a longer board"));
        }
        found
    }

    fn laid(&self, side: usize, board: &Board, (roof, rules, roll): (&Roof, &Rules, &MatRoll)) -> BoxGutterLayout {
        let mut boards = self.boards(board, rules);
        let sizes: Vec<(Length, Length)> = boards.iter().map(|b| (b.length, b.width)).collect();
        let OutOfBoards { of, boards: bought, proof } = out_of_boards(&sizes, board, rules);
        boards.iter_mut().zip(of).for_each(|(piece, whole)| piece.board = whole);
        let edges = |b: &GutterBoard| 2 * b.length.places(rules.deck_edge_fixing);
        let girth = self.depths[1] * 2 + self.width + self.up;
        let long = self.run + self.depths[0] + self.depths[2] + self.ends_up[0].1 + self.ends_up[1].1;
        BoxGutterLayout {
            side,
            run: self.run,
            width: self.width,
            depths: self.depths,
            up: self.up,
            outlet_at: self.outlet_at,
            board: board.key.clone(),
            fixings: boards.iter().map(|b| usize::try_from(edges(b)).unwrap_or(0)).sum(),
            bandage: self.bandage(&boards, rules),
            bearers: self.bearers(&boards, rules),
            bearer: self.width + board.thickness * 2,
            joists: roof.joists.spacing,
            boards,
            bought,
            proof,
            fillets: self.fillets(rules),
            girth,
            long,
            mat: self.mat((girth, self.lined()), (roof, rules, roll)),
        }
    }

    /// How long the lining is, from the top of the boards of one end to that of the other.
    fn lined(&self) -> Length {
        self.run + self.depths[0] + self.depths[2] + self.ends_up[0].0 + self.ends_up[1].0
    }

    fn boards(&self, board: &Board, rules: &Rules) -> Vec<GutterBoard> {
        let mut made = Vec::new();
        let mut add = |part: GutterPart, at: Length, length: Length, width: Length| {
            made.push(GutterBoard { mark: String::new(), part, at, length, width, board: 0 });
        };
        let sole = stretches(self.run, board.length);
        let sides = off_the_sole(&sole, board.length, rules.gutter_bearer);
        for part in [GutterPart::Sole, GutterPart::NearCheek, GutterPart::FarCheek] {
            for &(from, to) in if part == GutterPart::Sole { &sole } else { &sides } {
                let width = match part {
                    GutterPart::Sole => self.width,
                    GutterPart::NearCheek => self.deepest(from, to),
                    _ => self.deepest(from, to) + self.up,
                };
                add(part, from, to - from, width);
            }
        }
        // An end is cut with its width along the board.
        add(GutterPart::StartEnd, Length::ZERO, self.width, self.depths[0] + self.ends_up[0].0);
        add(GutterPart::FarEnd, self.run, self.width, self.depths[2] + self.ends_up[1].0);
        made
    }

    /// One under each end of the sole and each of its joints, which would open in the air, and evenly between.
    fn bearers(&self, boards: &[GutterBoard], rules: &Rules) -> Vec<Bearer> {
        let sole = boards.iter().filter(|b| b.part == GutterPart::Sole);
        let between = sole.flat_map(|b| {
            let spaces = b.length.pieces_of(rules.gutter_bearer).max(1);
            (0..spaces).map(move |n| b.at + Length::mm(b.length.as_mm() * n / spaces))
        });
        between.chain([self.run]).map(|at| Bearer { at, down: self.depth(at) }).collect()
    }

    /// Along both sides of the sole, across it at both ends, and up the four corners; each is longer by its mitres.
    fn fillets(&self, rules: &Rules) -> Vec<Length> {
        let [start, _, end] = self.depths;
        let corners = [start, start + self.up, end, end + self.up];
        let all = [self.run, self.run, self.width, self.width].into_iter().chain(corners);
        all.map(|l| l + rules.gutter_fillet * 2).collect()
    }

    /// Over the lip, along both sides of the sole, across it at both ends, up the four corners, and over every joint.
    fn bandage(&self, boards: &[GutterBoard], rules: &Rules) -> Vec<GutterBandage> {
        let [start, _, end] = self.depths;
        let arrises =
            [self.run, self.run, self.run, self.width, self.width, start, start + self.up, end, end + self.up];
        let lap = rules.bandage_lap;
        let arris =
            |length: Length| GutterBandage { width: rules.bandage_trim, length: length + lap * 2, joint: false };
        let joint = |b: &GutterBoard| {
            let across = if b.part == GutterPart::Sole { b.width } else { self.depth(b.at) + self.above(b.part) };
            GutterBandage { width: rules.bandage_joint, length: across + lap, joint: true }
        };
        let inner = boards.iter().filter(|b| b.at > Length::ZERO && b.at < self.run);
        arrises.into_iter().map(arris).chain(inner.map(joint)).collect()
    }

    fn above(&self, part: GutterPart) -> Length {
        if part == GutterPart::FarCheek { self.up } else { Length::ZERO }
    }

    /// Strips along the gutter, each over the one nearer to the parapet where one is not wide enough; pieces from the
    /// outlet outwards, so that each laps over the lower one.
    fn mat(&self, (girth, long): (Length, Length), (roof, rules, roll): (&Roof, &Rules, &MatRoll)) -> Vec<GutterMat> {
        let shortest = roll.rolls.first().copied().unwrap_or(rules.mat_longest);
        let (most, stagger) = (rules.mat_longest.min(shortest), rules.mat_stagger);
        let widths = lapped(girth, roll.width, rules.mat_lap, rules.mat_narrowest);
        let outlet = self.depths[0] + self.ends_up[0].0 + self.outlet_at;
        let far = |&(at, length): &(Length, Length)| {
            let middle = at + Length::mm(length.as_mm() / 2);
            ((middle - outlet).as_mm().abs(), at)
        };
        let mut lengths = lapped(long, most, rules.mat_end_lap, rules.mat_shortest);
        let mut made = Vec::new();
        let layers = usize::try_from(rules.gutter_layers.max(roof.laminate.layers)).unwrap_or(1);
        for layer in 0..layers {
            if layer > 0 {
                lengths = off_joints(&lengths, (long, most), (rules.mat_end_lap, rules.mat_shortest), stagger);
            }
            let mut along = lengths.clone();
            along.sort_by_key(far);
            for (strip, &(_, width)) in widths.iter().enumerate().rev() {
                for &(at, length) in &along {
                    let order = made.len() + 1;
                    made.push(GutterMat { mark: String::new(), layer, strip, at, length, width, order, over: None });
                }
            }
        }
        for (layer, end) in (0..layers).flat_map(|layer| (0..2).map(move |end| (layer, end))) {
            let Some((along_wall, across)) = self.over_tops[end] else { continue };
            let at = if end == 0 { Length::ZERO } else { long };
            for (strip, (_, width)) in
                lapped(across, roll.width, rules.mat_lap, rules.mat_narrowest).into_iter().enumerate()
            {
                let (order, over) = (made.len() + 1, Some(end));
                made.push(GutterMat { mark: String::new(), layer, strip, at, length: along_wall, width, order, over });
            }
        }
        made
    }
}

/// The depth so far from the start of a gutter that is so deep at its start, its outlet and its end; up to a whole
/// millimetre.
fn depth(depths: [Length; 3], outlet: Length, run: Length, at: Length) -> Length {
    let [start, deep, end] = depths.map(Length::as_mm);
    let (x, out, run) = (at.as_mm(), outlet.as_mm(), run.as_mm());
    let between = |from: i64, part: i64, whole: i64| from + div_ceil((deep - from) * part, whole.max(1));
    Length::mm(if x <= out { between(start, x, out) } else { between(end, run - x, run - out) })
}

/// No board of a gutter is cut shorter, where its run has room.
const SHORT: Length = Length::mm(300);

/// A run in whole boards and what is left; a last piece shorter than 300 mm takes half of the one before it.
pub fn stretches(run: Length, board: Length) -> Vec<(Length, Length)> {
    let pieces = run.pieces_of(board).max(1);
    let rest = run - board * (pieces - 1);
    let shared = Length::mm((board + rest).as_mm() / 2);
    let joint = |n: i64| match n {
        n if n == pieces => run,
        n if n == pieces - 1 && pieces > 1 && rest < SHORT => board * (pieces - 2) + shared,
        n => board * n,
    };
    (0..pieces).map(|n| (joint(n), joint(n + 1))).collect()
}

/// The stretches of a gutter's sides: in as few boards as keep their joints a bearer's space off the sole's, so that no crack
/// runs up from one into the next.
fn off_the_sole(sole: &[(Length, Length)], board: Length, apart: Length) -> Vec<(Length, Length)> {
    let Some(run) = sole.last().map(|s| s.1).filter(|_| sole.len() > 1) else { return sole.to_vec() };
    let pieces: Vec<(Length, Length)> = sole.iter().map(|&(from, to)| (from, to - from)).collect();
    let off = off_joints(&pieces, (run, board), (Length::ZERO, SHORT), apart);
    off.into_iter().map(|(at, length)| (at, at + length)).collect()
}

/// A length in pieces of at most so much that lap, each by where it begins and how long it is; the last takes from the
/// one before it where it would be shorter than `least`.
fn lapped(whole: Length, most: Length, lap: Length, least: Length) -> Vec<(Length, Length)> {
    if whole <= most || most <= lap {
        return vec![(Length::ZERO, whole)];
    }
    let pieces = (whole - lap).pieces_of(most - lap);
    let last = whole + lap * (pieces - 1) - most * (pieces - 1);
    let given = (least - last).max(Length::ZERO).min(most - lap * 2).max(Length::ZERO);
    let mut at = Length::ZERO;
    let mut made = Vec::new();
    for n in 0..pieces {
        let length = match n {
            n if n == pieces - 1 => last + given,
            n if n == pieces - 2 => most - given,
            _ => most,
        };
        made.push((at, length));
        at += length - lap;
    }
    made
}

/// The next layer over pieces of a lining: its first piece shorter by as little as keeps every joint off those beneath, with
/// the fewest pieces; the same again where no length does.
fn off_joints(
    below: &[(Length, Length)],
    (whole, most): (Length, Length),
    (lap, least): (Length, Length),
    stagger: Length,
) -> Vec<(Length, Length)> {
    const STEP: usize = 10;
    let joints = |pieces: &[(Length, Length)]| -> Vec<i64> { pieces.iter().skip(1).map(|p| p.0.as_mm()).collect() };
    let under = joints(below);
    let clear = |pieces: &Vec<(Length, Length)>| {
        let near = |at: &i64| under.iter().any(|u| (at - u).abs() < stagger.as_mm());
        !joints(pieces).iter().any(near) && pieces.iter().all(|p| p.1 >= least)
    };
    let from = |first: i64| {
        let first = Length::mm(first);
        let rest = lapped(whole - first + lap, most, lap, least).into_iter();
        std::iter::once((Length::ZERO, first)).chain(rest.map(|(at, l)| (at + first - lap, l))).collect::<Vec<_>>()
    };
    let firsts = (least.as_mm()..=most.min(whole - lap).as_mm()).rev().step_by(STEP).map(from);
    // Of those with as few pieces the first, whose first piece is the longest.
    firsts.filter(clear).min_by_key(Vec::len).unwrap_or_else(|| below.to_vec())
}
