//! The placed pieces: boards, trims, bandage and mat, each with its place on the roof.
//!
//! Plain values that the layout makes and the lines, drawings, cut list and labour read. All coordinates are whole
//! millimetres on the roof's own plan.

pub mod bandage;
pub mod blocking;
pub mod box_gutter;
pub mod deck;
pub mod edge_cuts;
pub mod falls;
pub mod flashings;
pub mod gutter_runs;
pub mod holes;
pub mod insulation;
pub mod joist_ends;
pub mod joist_numbers;
pub mod junctions;
pub(crate) mod lap_order;
pub mod marks;
pub mod mat;
pub mod noggins;
pub mod openings;
pub mod over_deck;
pub mod parapets;
pub mod patches;
pub mod shape;
pub mod sills;
pub mod stagger;
pub mod timber;
pub mod trims;

use self::box_gutter::BoxGutterLayout;
use self::shape::{RoofShape, point_along};
use self::timber::{OpeningTimbers, TimberKind};
use crate::cutting::Proof;
use crate::geometry::ring;
use crate::geometry::segment::distance_to_segment;
use crate::model::words::once;
use crate::model::{Area, Finish, Length, Point, Rules};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

// ---- Trims -------------------------------------------------------------------------------------------------------

/// Where a run of trim lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RunPlace {
    /// Along side `side` of roof `roof`.
    Side {
        /// Index of the roof.
        roof: usize,
        /// Index of the side.
        side: usize,
    },
    /// Along side `side` of the ring of hole `hole` of roof `roof`.
    Hole {
        /// Index of the roof.
        roof: usize,
        /// Index of the hole.
        hole: usize,
        /// Index of the side of its ring.
        side: usize,
    },
    /// Along the outer edge of the covered wall at side `side` of roof `roof`.
    Parapet {
        /// Index of the roof.
        roof: usize,
        /// Index of the side.
        side: usize,
        /// Which stretch of it.
        part: OuterEdge,
    },
    /// A ladder point on side `side` of roof `roof`.
    Ladder {
        /// Index of the roof.
        roof: usize,
        /// Index of the side.
        side: usize,
    },
}

/// A stretch of the outer edge trim of a covered wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OuterEdge {
    /// Along the wall.
    Along,
    /// Across its free end where the side starts.
    AtStart,
    /// Across its free end where the side ends.
    AtEnd,
}

impl OuterEdge {
    /// Every stretch.
    pub const ALL: [OuterEdge; 3] = [OuterEdge::AtStart, OuterEdge::Along, OuterEdge::AtEnd];
}

/// Which piece lies on top at a lap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LapOver {
    /// The piece that comes first in walking order lies on top.
    Earlier,
    /// The piece that comes later lies on top.
    Later,
}

/// A lap joint between neighbouring pieces of one run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lap {
    /// Middle of the lap from the run's start, mm.
    pub at: Length,
    /// Length of the lap.
    pub length: Length,
    /// Which piece lies on top.
    pub over: LapOver,
    /// Whether it keeps the rule's distance from corners.
    pub clear_of_corners: bool,
}

/// One piece of trim as cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrimPiece {
    /// The mark written on it: `D1`, `R3`. Unique in the job.
    pub mark: String,
    /// Cut length, with laps and mitre allowances.
    pub length: Length,
    /// Where its start lies along the run, from the run's start (negative where a mitre allowance reaches past it). A
    /// ladder point's lies along its side, from the side's start.
    pub at: Length,
    /// Which stock length it is cut from: index into `ProfilePlan::bars`.
    pub bar: usize,
    /// What is done at its start, in walking order.
    pub start_cut: EndCut,
    /// What is done at its end.
    pub end_cut: EndCut,
}

/// What is done at one end of a piece of trim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EndCut {
    /// Cut square; nothing meets it.
    Square,
    /// Cut square and laid over the next piece of its run.
    OverLap,
    /// Cut square and laid under the next piece of its run.
    UnderLap,
    /// Made to what meets it at a corner.
    Corner {
        /// How the corner is made.
        treatment: Treatment,
        /// The finish of the edge that the piece is on.
        own: Finish,
        /// The finish of the edge that it meets.
        other: Finish,
        /// What that edge is called.
        other_label: String,
        /// Angle of the cut to the trim's length, degrees: 90 is square.
        degrees: Decimal,
        /// How much longer the piece is for it; nothing at most corners.
        longer: Length,
    },
}

/// One run of trim: an edge, a side of a kerb, or a ladder point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrimRun {
    /// Where.
    pub place: RunPlace,
    /// What it is called: `Main roof, back`.
    pub label: String,
    /// The run, corner to corner, less the legs of corner pieces.
    pub run: Length,
    /// How far from the start of its edge the run begins: the leg of a corner piece. A ladder point's places count from
    /// the edge itself.
    pub leg: Length,
    /// More at the start, for a mitre.
    pub start_allowance: Length,
    /// More at the end, for a mitre.
    pub end_allowance: Length,
    /// Pieces in walking order.
    pub pieces: Vec<TrimPiece>,
    /// Laps between them: one fewer than the pieces.
    pub laps: Vec<Lap>,
}

/// One stock length as it is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// Its length.
    pub stock: Length,
    /// Marks of the pieces cut from it, in cutting order.
    pub cuts: Vec<String>,
    /// What is left.
    pub offcut: Length,
    /// Whether a sample for the dry fit is cut from what is left (already taken off `offcut`).
    pub sample: bool,
}

/// Everything of one profile, over all roofs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProfilePlan {
    /// The finish that it serves.
    pub finish: Finish,
    /// The runs.
    pub runs: Vec<TrimRun>,
    /// The stock lengths bought, each with its cuts.
    pub bars: Vec<Bar>,
    /// The proof counts pence, not lengths.
    pub in_pence: bool,
    /// Proof that no fewer will do.
    pub proof: Proof,
    /// A spare length is offered, because little is left over.
    pub offer_spare: bool,
}

/// What is done at one corner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Junction {
    /// Index of the roof.
    pub roof: usize,
    /// Index of the hole, where it is a corner of a hole.
    pub hole: Option<usize>,
    /// The corner: `corners[corner]` of the roof, or of the hole's ring.
    pub corner: usize,
    /// Where.
    pub at: Point,
    /// Which treatment.
    pub treatment: Treatment,
    /// What the man who cuts must know.
    pub figures: CornerFigures,
}

/// The figures of one corner.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CornerFigures {
    /// Angle of the mitre, or of the trim that ends against the other, to its length, degrees: 90 is square.
    pub degrees: Decimal,
    /// How far the drip's face is notched back, or both raised edge trims stop short of a corner piece.
    pub back: Length,
    /// Shape and size of the gutter whose stop end a notch must clear.
    pub gutter: Option<(String, Length)>,
    /// How much longer the trim of the edge that ends here is cut, and of the edge that starts here.
    pub longer: [Length; 2],
}

/// How a corner is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Treatment {
    /// A handed closure piece at drip–raised. Left or right as seen from the ground, facing the drip.
    ClosureLeft,
    /// The other hand.
    ClosureRight,
    /// The drip is notched at the gutter's stop end and the raised edge closes over it.
    Notch,
    /// A preformed external corner.
    PreformedExternal,
    /// A preformed internal corner.
    PreformedInternal,
    /// Both trims are mitred.
    Mitre,
    /// One trim is cut square to the other.
    Butt,
    /// The laminate is carried up; no trim meets.
    CarriedUp,
    /// Two stretches of one straight edge meet.
    Straight,
    /// A wall fillet stops square at the side of a door sill that it does not fit under.
    AtSill,
}

// ---- Deck --------------------------------------------------------------------------------------------------------

/// One piece of board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardPiece {
    /// The number written on it.
    pub mark: String,
    /// Row, from 0 at the low edge.
    pub row: usize,
    /// The piece as it lies, cut to the outline and holes: one ring, then the rings of any holes in it.
    pub rings: Vec<Vec<Point>>,
    /// Size of the rectangle it is cut from, along the board.
    pub length: Length,
    /// Size of the rectangle it is cut from, across the board.
    pub width: Length,
    /// Which board it is cut from, counting from 0.
    pub board: usize,
    /// Where that rectangle lies on its board before it is cut: x along the board from its left end (from its near end
    /// where the rows run up the page), y across it from the edge that is laid first.
    pub on_board: Point,
    /// Whether it is a whole board, uncut.
    pub whole: bool,
}

/// A joint between two boards inside the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeckJoint {
    /// One end.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// An end joint on a joist (`true`) or a long joint between rows (`false`).
    pub end_joint: bool,
}

/// The deck as it is laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeckLayout {
    /// The board's key.
    pub board: String,
    /// The pieces in laying order.
    pub pieces: Vec<BoardPiece>,
    /// Joints inside the deck, each once.
    pub joints: Vec<DeckJoint>,
    /// Noggins, by centre-line.
    pub noggins: Vec<(Point, Point)>,
    /// How many of them, the last, are blocking between deep firrings.
    pub blocks: usize,
    /// How thick their timber is: what is seen of it from above.
    pub noggin: Length,
    /// Boards bought.
    pub boards: usize,
    /// Cuts made.
    pub cuts: usize,
    /// Nails or screws.
    pub fixings: usize,
    /// Those of them at board ends and edges; the others stand on joists under the boards.
    pub edge_fixings: usize,
    /// Screws of an overlay's edges that no joist carries: into the old boards, and not through them.
    pub old_deck_fixings: usize,
    /// Centre-lines of the joists inside the outline, for the drawing.
    pub joists: Vec<(Point, Point)>,
    /// Proof that no fewer boards will do, or the gap.
    pub proof: Proof,
    /// Whether the rows run along x (`true`) or along y.
    pub along_x: bool,
}

// ---- Bandage and mat ----------------------------------------------------------------------------------------------

/// One piece of bandage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BandagePiece {
    /// Its width.
    pub width: Length,
    /// Start of its centre-line.
    pub from: Point,
    /// End of its centre-line.
    pub to: Point,
    /// Length as cut.
    pub length: Length,
    /// What it covers.
    pub covers: BandageOver,
}

/// What a bandage covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BandageOver {
    /// A joint between boards.
    BoardJoint,
    /// A trim's flange where it meets the deck.
    Flange,
    /// A lap in a trim.
    TrimLap,
    /// A corner.
    Corner,
    /// The corner of deck and wall under a low door sill, where no fillet stands.
    Sill,
    /// An arris, a joint, a flange or an end of a wall that the roof is carried over.
    Parapet,
}

/// One piece of a mat strip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MatPiece {
    /// The number written on the drawing: `1`, `2a`.
    pub mark: String,
    /// Layer, from 0.
    pub layer: usize,
    /// Strip, from 0 at the low edge, or at the left where strips run up the fall.
    pub strip: usize,
    /// The number of that strip on the drawing: a layer's go on from those of the one below.
    pub number: usize,
    /// The rectangle as cut, four corners on plan before it is turned up or over at the edges.
    pub ring: Vec<Point>,
    /// Length as cut.
    pub length: Length,
    /// Width as cut: the roll's width, or less for the last strip.
    pub width: Length,
    /// What of it is laid: net of what is cut out at walls, courts and openings.
    pub net: Area,
    /// The order in which it is laid, from 1.
    pub order: usize,
    /// The mark of the piece before it in that order, where the two are laid together: there is no room to stand on this
    /// one, and nothing beside it is bare any more.
    pub together: Option<String>,
}

/// The mat as it is laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MatLayout {
    /// g/m².
    pub weight: u32,
    /// The pieces, in laying order.
    pub pieces: Vec<MatPiece>,
    /// Metres of roll that they take.
    pub roll: Length,
    /// Whether the strips run up the fall, and not along the low edge.
    pub up_the_fall: bool,
    /// How the strips lie and why, and what could not be had (a lap off a deck joint); the first tells the direction.
    pub notes: Vec<MatNote>,
}

/// What is worse with strips along the low edge than with strips up the fall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyUpTheFall {
    /// The crew leaves at the low edge.
    AtLowEdge,
    /// Wet mat cuts a man off from the way off.
    CutOff,
    /// He would have to squeeze past wet mat.
    Squeezed,
    /// A lap has to be tucked under.
    Tucked,
}

/// What is to be known of a mat: how its strips lie and why, what needs care, how it comes out of the rolls.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MatNote {
    /// Strips lie along the low edge.
    AlongLowEdge {
        /// The side where the crew leaves.
        way_off: String,
        /// How far a strip laps over the one below.
        lap: Length,
    },
    /// There is but one strip.
    OneStrip {
        /// The side where the crew leaves.
        way_off: String,
    },
    /// Strips run up the fall.
    UpTheFall {
        /// The side where the crew leaves.
        way_off: String,
        /// Why they do not lie along the low edge.
        why: WhyUpTheFall,
        /// How far a strip laps over the one before.
        lap: Length,
    },
    /// The first strip is cut narrower, so that no strip is too narrow.
    NarrowerForStrips {
        /// By so much.
        by: Length,
        /// What a strip should have at least.
        least: Length,
    },
    /// The first strip is cut narrower, so that the crew leaves over bare deck.
    NarrowerToLeave {
        /// By so much.
        by: Length,
    },
    /// The first strip is cut narrower, so that laps keep off the deck's joints.
    NarrowerOffJoints {
        /// By so much.
        by: Length,
        /// So far off.
        offset: Length,
    },
    /// Laps that lie near a joint of the deck, since no width of the first strip avoids it without buying more.
    NearJoints {
        /// The strip below each such lap, counted from 1.
        strips: Vec<usize>,
        /// How far off they should be.
        offset: Length,
    },
    /// There are further layers.
    FurtherLayers,
    /// There is an inner corner: the mat is slit there.
    InnerCorner,
    /// A kerb or chimney stands in the roof.
    Upstand,
    /// A piece is laid after the one above it, and tucked under it.
    Tucked {
        /// Which.
        mark: String,
    },
    /// A piece is left over a narrow strip of bare deck.
    Squeezed {
        /// Which.
        mark: String,
    },
    /// A piece cannot be left over bare deck.
    CutOff {
        /// Which.
        mark: String,
        /// The side where the crew leaves.
        way_off: String,
    },
    /// A piece on which nobody can stand is laid together with the one from which it is reached.
    Together {
        /// Which.
        mark: String,
        /// The other.
        with: String,
    },
    /// Pieces that are too narrow, since no place of the laps makes up for it without another strip.
    Narrow {
        /// Which.
        marks: Vec<String>,
        /// What they should have at least.
        least: Length,
    },
    /// What the strips take where rolls of one length are sold.
    Rolls {
        /// Rolls out of which every strip comes whole.
        rolls: usize,
        /// The length that the strips take.
        needed: Length,
        /// Rolls that hold as many metres.
        fewest: usize,
        /// How many strips there are.
        strips: usize,
    },
    /// What the strips take where rolls of several lengths are sold.
    Metres {
        /// Metres of roll out of which every strip comes whole.
        bought: Length,
        /// The length that the strips take.
        needed: Length,
        /// The fewest metres in rolls that hold as many.
        fewest: Length,
        /// How many strips there are.
        strips: usize,
    },
}

/// One firring, or one part of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Firring {
    /// Low end.
    pub from: Point,
    /// High end.
    pub to: Point,
    /// Length along the joist.
    pub length: Length,
    /// Depth at the low end.
    pub low_depth: Length,
    /// Depth at the high end.
    pub high_depth: Length,
    /// Which part of its joist's it is, from the low end, and of how many: one that is longer than what is sold is jointed.
    pub part: (usize, usize),
    /// What it packs up beside an opening: the opening, counted from 0, and which of its timbers. `None` on a joist.
    pub packs: Option<(usize, TimberKind)>,
}

/// Joints between parts of firrings.
pub fn firring_joints<'a>(firrings: impl IntoIterator<Item = &'a Firring>) -> usize {
    firrings.into_iter().filter(|f| f.part.0 > 1).count()
}

/// Firrings that are alike: length, depth at the low end, depth at the high end; and how many there are of them.
pub fn firring_kinds<'a>(firrings: impl IntoIterator<Item = &'a Firring>) -> BTreeMap<[Length; 3], usize> {
    let mut kinds = BTreeMap::new();
    for f in firrings {
        *kinds.entry([f.length, f.low_depth, f.high_depth]).or_default() += 1;
    }
    kinds
}

/// One board of a lining, the rectangle that it is cut from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiningBoard {
    /// The number written on it.
    pub mark: String,
    /// On the wall's top; else on its face.
    pub top: bool,
    /// Where it begins, from the side's start, or from the start of the outer edge.
    pub at: Length,
    /// Along the wall.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Which board of its kind it is cut from, counting from 0 over all roofs.
    pub board: usize,
}

/// The lining of a covered wall as it is cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParapetLining {
    /// Index of the side.
    pub side: usize,
    /// The key of its boards.
    pub board: String,
    /// Its boards.
    pub boards: Vec<LiningBoard>,
    /// Whole boards that are begun for it; others of its pieces come out of boards that were begun for a lining before.
    pub opened: usize,
    /// The boards of all linings of this kind in the job, and what no sawing can do with less.
    pub proof: Proof,
}

/// So far, mm, the middle of a ladder stands at most from a strip that it reaches.
pub const HALF_A_LADDER: f64 = 500.0;

/// One roof, laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct RoofLayout {
    /// Its shape.
    pub shape: RoofShape,
    /// Height of each corner of the outline above the low line, mm, in the order of `shape.corners`.
    pub heights: Vec<Length>,
    /// How much higher the boards of its deck alone make it.
    pub deck_rise: Length,
    /// Firrings, where a new deck needs a fall made.
    pub firrings: Vec<Firring>,
    /// The deck; `None` when the old one is kept.
    pub deck: Option<DeckLayout>,
    /// The old boards that the laminate lies on; `None` where other boards are laid or lie over them.
    pub old_boards: Option<Area>,
    /// New timber round its openings.
    pub openings: OpeningTimbers,
    /// What a warm roof has over its deck.
    pub over: Option<OverDeck>,
    /// Junctions of its corners and its holes' corners.
    pub junctions: Vec<Junction>,
    /// Bandage.
    pub bandage: Vec<BandagePiece>,
    /// Mat.
    pub mat: MatLayout,
    /// Box gutters, in the order of their sides.
    pub box_gutters: Vec<BoxGutterLayout>,
    /// The linings of walls that the roof is carried over, in the order of their sides.
    pub parapets: Vec<ParapetLining>,
    /// The sides whose gutter comes up by more than its downpipe gives, each with how far.
    pub gutters_raised: Vec<(usize, Length)>,
    /// The cover flashings, along its sides and round its chimneys, whoever cuts them in.
    pub flashings: Vec<flashings::WallFlashing>,
}

impl DeckLayout {
    /// Blocking between deep firrings, among its noggins.
    pub fn blocking(&self) -> &[(Point, Point)] {
        &self.noggins[self.noggins.len().saturating_sub(self.blocks)..]
    }
}

impl RoofLayout {
    /// Joints of old boards that are bandaged, m: nobody has measured them, so they are reckoned by the square metre.
    pub fn old_joints(&self, rules: &Rules) -> Decimal {
        self.old_boards.map_or(Decimal::ZERO, |area| area.square_metres() * rules.kept_joints)
    }

    /// How far along the side by which the crew leaves, as a share of it from its start, the strip that is laid last has its
    /// middle. Where that lies along all of it, the end of a wall over which one leaves: one where no parapet stands, else the
    /// end of the side; none where one leaves by a door, or over an open edge.
    pub fn leaves_at(&self) -> Option<f64> {
        let (side, at, n) =
            (self.shape.sides.get(self.shape.way_off)?, self.shape.way_off, self.shape.sides.len().max(1));
        let coped = |i: usize| self.shape.sides.get(i).is_some_and(|s| s.coped.is_some());
        let over_a_wall = matches!(side.finish, Finish::Wall | Finish::Gutter) && side.coped.is_none();
        let start_alone = coped((at + 1) % n) && !coped((at + n - 1) % n);
        let end = if start_alone { 0.1 } else { 0.9 };
        let end = Some(end).filter(|_| over_a_wall && !self.shape.is_left_by_a_door());
        let last = self.mat.pieces.iter().max_by_key(|p| (p.layer, p.number))?;
        let toward = shape::Direction::along(side.from, side.to);
        let place = |p: &Point| (p.x - side.from.x) as f64 * toward.x + (p.y - side.from.y) as f64 * toward.y;
        let middle = last.ring.iter().map(place).sum::<f64>() / last.ring.len().max(1) as f64;
        Some(middle / side.run.as_mm().max(1) as f64).filter(|at| !(0.4..=0.6).contains(at)).or(end)
    }

    /// The same of the ladder point over which the crew leaves: one on that side which the last strip reaches.
    pub fn leaves_over_a_ladder(&self) -> Option<f64> {
        let side = self.shape.sides.get(self.shape.way_off)?;
        let (ladder, last) = (side.ladder?, self.mat.pieces.iter().max_by_key(|p| (p.layer, p.number))?);
        let middle = point_along(side.from, side.to, ladder);
        let reached = ring::sides(&last.ring).any(|(a, b)| distance_to_segment(middle, a, b) <= HALF_A_LADDER);
        reached.then(|| ladder.as_mm() as f64 / side.run.as_mm().max(1) as f64)
    }

    /// How high a board of a wall's lining is at most and at least, at its own two ends: the wall's top is level, and the roof
    /// rises along it. None of a top board, or where the fall is not known.
    pub fn lining_heights(&self, side: usize, board: &LiningBoard) -> Option<(Length, Length)> {
        let (of, wall) = (self.shape.sides.get(side)?, self.shape.sides.get(side)?.coped?);
        let next = (side + 1) % self.shape.sides.len().max(1);
        let (start, end) = (self.heights.get(side)?.as_mm(), self.heights.get(next)?.as_mm());
        let run = of.run.as_mm().max(1);
        let rise = |at: Length| (start + (end - start) * at.as_mm() / run) - start.min(end);
        let [a, b] = [board.at, board.at + board.length].map(rise);
        (!board.top).then(|| (wall.high - Length::mm(a.min(b)), wall.high - Length::mm(a.max(b))))
    }

    /// The sides under a door where no fillet bridges the gap between the boards and the wall.
    pub fn sill_gaps(&self, rules: &Rules) -> impl Iterator<Item = &shape::Side> {
        let open = self.deck.is_some() && rules.wall_gap > Length::ZERO;
        self.shape.sides.iter().filter(move |s| open && s.is_under_low_sill())
    }

    /// The edges along which joists are set, by their labels, each once; of one that goes on past its edge that is said.
    pub fn joists_set(&self) -> Vec<String> {
        let words = |joist: &shape::EdgeJoist| match joist.past {
            true => format!("{} (on past its end, as those beside it)", joist.label),
            false => joist.label.clone(),
        };
        once(self.shape.edge_joists.iter().map(words))
    }

    /// The openings whose kerb is built new, or (`kerbs` is not set) that are cut into the joists, by their names.
    pub fn built_openings(&self, kerbs: bool) -> Vec<String> {
        let mut holes: Vec<usize> = self.openings.of_kerbs(kerbs).map(|p| p.hole).collect();
        holes.dedup();
        holes.into_iter().filter_map(|i| self.shape.holes.get(i)).map(|h| h.name.clone()).collect()
    }
}

/// What is laid over the deck.
#[derive(Debug, Clone, PartialEq)]
pub struct OverDeck {
    /// The insulation boards.
    pub insulation: InsulationLayout,
    /// The vapour layer; empty where there is none.
    pub vapour: Vec<VapourStrip>,
    /// The board over the insulation. Its pieces are marked with a T, the insulation's with an F, so that no pile on the
    /// ground is taken for another.
    pub overlay: Option<DeckLayout>,
    /// How much of the joints of the board over the insulation lies too near to one of the deck's.
    pub overlay_near: Length,
    /// How many more screws it takes where it is sawn through at lines at which days end; none before the days are planned.
    pub sawn_screws: usize,
}

/// One piece of insulation board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InsulationPiece {
    /// The number written on it.
    pub mark: String,
    /// Row, from 0 at the low edge.
    pub row: usize,
    /// The piece as it lies: rings as in a region's polygons, one after another.
    pub rings: Vec<Vec<Point>>,
    /// Size of the rectangle it is cut from, along the row.
    pub length: Length,
    /// Size of the rectangle it is cut from, across the row.
    pub width: Length,
    /// Which board it is cut from, counting from 0.
    pub board: usize,
}

/// The insulation as it is laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InsulationLayout {
    /// The board's key.
    pub board: String,
    /// The pieces, in laying order.
    pub pieces: Vec<InsulationPiece>,
    /// Boards bought.
    pub boards: usize,
    /// End joints that stand closer to one of the next row than the rule wants, because the outline leaves no choice.
    pub close_joints: usize,
    /// Joints between the boards, each once.
    pub joints: Vec<Joint>,
    /// How much of them lies too near to a joint of the layer beneath or above.
    pub near: Length,
    /// No plan can do with fewer boards than the bound: the area divided by a board's.
    pub proof: Proof,
    /// Whether the rows run along x.
    pub along_x: bool,
}

/// One strip of the vapour layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VapourStrip {
    /// Length as cut, with its upturns and end laps.
    pub length: Length,
    /// Width of the roll.
    pub width: Length,
    /// End laps in it.
    pub laps: i64,
}

/// A joint, from one end to the other.
pub type Joint = (Point, Point);
