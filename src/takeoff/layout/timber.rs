//! New timber round openings as it is laid and as it is cut: plain values.
//!
//! Made by `openings`; read by lines, drawings and the cut list. Pieces are in the plan's own coordinates, lengths as cut.

use super::shape::RoofShape;
use crate::cutting::{Demand, Proof, RUN_EFFORT, StockLength, StockPlan, cost_in_words, cut_stock};
use crate::geometry::region::{Bounds, bounds_of};
use crate::model::products::Stock;
use crate::model::{Length, Point, Section};
use std::collections::BTreeMap;

/// What a new timber is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TimberKind {
    /// A side of a kerb.
    Kerb,
    /// Across the joists, at an end of the opening: the ends of cut joists hang on it.
    Trimmer,
    /// Along the joists, at a side of the opening that no joist lies under.
    Side,
    /// A joist laid against one that trimmers hang on.
    Doubling,
    /// A joist set along an edge that had none.
    EdgeJoist,
}

impl TimberKind {
    /// What the crew calls it.
    pub const fn words(self) -> &'static str {
        match self {
            TimberKind::Kerb => "kerb",
            TimberKind::Trimmer => "trimmer",
            TimberKind::Side => "side of the opening",
            TimberKind::Doubling => "doubled joist",
            TimberKind::EdgeJoist => "joist along the edge",
        }
    }
}

/// One piece.
///
/// Its [`OpeningTimber::place`] names what it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpeningTimber {
    /// What it is.
    pub kind: TimberKind,
    /// The hole that it is for, counted from 0; of a joist along an edge the side.
    pub hole: usize,
    /// Its section.
    pub section: Section,
    /// One end of its centre-line.
    pub from: Point,
    /// The other; as it lies within the outline.
    pub to: Point,
    /// Length as cut.
    pub length: Length,
}

impl OpeningTimber {
    /// What it is for: an opening by its name, or an edge by its own.
    pub fn place<'a>(&self, shape: &'a RoofShape) -> &'a str {
        let named = match self.kind {
            TimberKind::EdgeJoist => {
                shape.edge_joists.iter().find(|joist| joist.side == self.hole).map(|joist| joist.label.as_str())
            }
            _ => shape.holes.get(self.hole).map(|hole| hole.name.as_str()),
        };
        named.unwrap_or_default()
    }
}

/// The new timber of a roof's openings, and of its edges.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OpeningTimbers {
    /// The pieces, opening by opening.
    pub pieces: Vec<OpeningTimber>,
    /// Joist hangers by the thickness that they take.
    pub hangers: BTreeMap<Length, usize>,
    /// Joints between timbers that lie side by side, by their length.
    pub joints: BTreeMap<Length, usize>,
    /// How deep the timber of each new kerb is once it is ripped, or as it is sold where that is nearly it: the hole, the
    /// depth. So much of it at least stands above the finished roof at its higher side as the laminate is carried up.
    pub kerbs: Vec<(usize, Length)>,
    /// Kerbs that are there and stay.
    pub kept: Vec<KeptKerb>,
}

/// A kerb that is there and stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptKerb {
    /// Its hole.
    pub hole: usize,
    /// How much the finished roof comes up round it at its higher side.
    pub rise: Length,
    /// How high it stands above the old roof, where that was measured.
    pub stands: Option<Length>,
}

impl KeptKerb {
    /// What is left of it above the finished roof, where that is less than the laminate goes `up` it.
    pub fn lacks(&self, up: Length) -> Option<Length> {
        self.stands.map(|stands| stands - self.rise).filter(|left| *left < up)
    }

    /// How far up it the laminate goes that goes `up` where there is room.
    pub fn carried(&self, up: Length) -> Length {
        self.lacks(up).unwrap_or(up)
    }
}

impl OpeningTimbers {
    /// The pieces round openings that are, or are not, a kerb's.
    pub fn of_kerbs(&self, kerbs: bool) -> impl Iterator<Item = &OpeningTimber> {
        let round = self.pieces.iter().filter(|p| p.kind != TimberKind::EdgeJoist);
        round.filter(move |p| (p.kind == TimberKind::Kerb) == kerbs)
    }

    /// The joists that are set along edges.
    pub fn edge_joists(&self) -> impl Iterator<Item = &OpeningTimber> {
        self.pieces.iter().filter(|p| p.kind == TimberKind::EdgeJoist)
    }

    /// Whether the timber of a new kerb that is so deep stays as it is sold, and is not ripped.
    pub fn is_as_sold(&self, &(hole, depth): &(usize, Length)) -> bool {
        self.of_kerbs(true).any(|p| p.hole == hole && p.section.width == depth)
    }

    /// Those that lie outside an opening and next to it, where the edge of the boards wants to bear on them.
    pub fn under_boards(&self, shape: &RoofShape) -> impl Iterator<Item = &OpeningTimber> {
        let next_to = |p: &&OpeningTimber| {
            let Some(Bounds { least, most }) = shape.holes.get(p.hole).and_then(|h| bounds_of(h.ring.iter().copied()))
            else {
                return false;
            };
            let middle = Point::new((p.from.x + p.to.x) / 2, (p.from.y + p.to.y) / 2);
            let out = [least.x - middle.x, middle.x - most.x, least.y - middle.y, middle.y - most.y];
            (1..=p.section.thickness.as_mm()).contains(&out.into_iter().max().unwrap_or_default())
        };
        let hung = self.pieces.iter().filter(|p| matches!(p.kind, TimberKind::Trimmer | TimberKind::Side));
        hung.filter(next_to)
    }
}

/// One length of timber, and what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimberBar {
    /// As bought.
    pub stock: Length,
    /// What is cut from it, longest first: the roof, and the piece.
    pub pieces: Vec<(usize, OpeningTimber)>,
}

/// What the timbers of one section are cut from, over all roofs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimberPlan {
    /// Whether the proof counts pence (else millimetres bought).
    pub in_pence: bool,
    /// The section.
    pub section: Section,
    /// The lengths to buy.
    pub bars: Vec<TimberBar>,
    /// Proof that no lengths cost less, or the gap.
    pub proof: Proof,
}

impl TimberPlan {
    /// What a plan costs, in the measure of the proof.
    pub fn cost_in_words(&self, figure: i64) -> String {
        timber_cost(figure, self.in_pence)
    }
}

/// What timber costs, in pence or in millimetres bought, as its proof counts.
pub fn timber_cost(figure: i64, in_pence: bool) -> String {
    if in_pence { cost_in_words(figure, true) } else { Length::mm(figure).to_string() }
}

/// A plan of fixed pieces, and whether its proof counts pence (else millimetres bought).
pub(crate) struct TimberCut {
    pub in_pence: bool,
    pub plan: StockPlan,
}

/// What the pieces are cut from at the least cost: in pence where every length sold has a price, else in millimetres
/// bought. `None` where they cannot be cut from these.
pub(crate) fn cut_from(demands: &[Demand], sold: &[Stock], kerf: Length) -> Option<TimberCut> {
    let in_pence = sold.iter().all(|s| s.pence.is_some_and(|p| p > 0));
    let cost = |s: &Stock| s.pence.filter(|_| in_pence).unwrap_or(s.length.as_mm().unsigned_abs());
    let stock: Option<Vec<StockLength>> = sold
        .iter()
        .map(|s| Some(StockLength { length: s.length, cost: u32::try_from(cost(s)).ok().filter(|&c| c > 0)? }))
        .collect();
    Some(TimberCut { in_pence, plan: cut_stock(demands, &stock?, kerf, RUN_EFFORT).ok()? })
}
