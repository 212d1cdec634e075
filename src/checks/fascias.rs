//! Old fascias that end below what is built on them (the edge timber of a warm roof, or firrings under a new deck), new ones that do
//! not reach up to it, and new ones whose pins nobody can count.
//!
//! Given the job and its layout; gives one notice for each roof with drip and raised edges at which firrings and new boards lift that
//! timber by more than the trim's batten hides, or at which firrings are deeper than the batten that hangs before them. How high an
//! old fascia stands is not known here: nothing that closes it is laid out. Where the job orders a new fascia for an edge, nothing is
//! asked of the old one, and the new one must reach from the foot of the joists, where their section is said, up to what is built on
//! them. Given the job's goods; gives one for each fascia or soffit board whose length no price book says.

use crate::model::goods::Goods;
use crate::model::products::{Board, Products};
use crate::model::words::list;
use crate::model::{Finish, Job, Length, Problem, Roof, Rules, Warned};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::raised_by;
use crate::takeoff::layout::shape::Side;
use crate::takeoff::quantities::goods_lines::pins_of;

/// What a batten on the face of the edge timber hides (common practice, no source).
const HIDDEN: Length = Length::mm(25);

/// So far an old fascia reaches past the joists: it covers the edges of the old boards (common practice, no source).
pub const OLD_EDGE: Length = Length::mm(25);

/// What is asked of the old fascias of each roof, and one notice for each new one that ends too low.
pub fn notices(job: &Job, take_off: &TakeOff, rules: &Rules, products: &Products) -> Vec<Problem> {
    let roofs = job.roofs.iter().zip(&take_off.roofs);
    let all: Vec<Fascias<'_>> =
        roofs.map(|(roof, layout)| Fascias::of((roof, layout), &job.goods, rules, products)).collect();
    let several = all.len() > 1;
    let left_low = all.iter().filter_map(|of| of.left_low(several));
    left_low.chain(all.iter().flat_map(Fascias::too_low)).collect()
}

/// The fascias along the edges of a roof.
#[derive(Clone, Copy)]
pub struct Fascias<'a> {
    roof: &'a Roof,
    layout: &'a RoofLayout,
    board: Option<&'a Board>,
    goods: &'a [Goods],
    rules: &'a Rules,
}

/// An edge, and how high something reaches there.
type AtEdge<'a> = (&'a Side, Length);

impl<'a> Fascias<'a> {
    /// Those of a roof and its layout, the job's goods beside it: new fascias are among them.
    pub fn of(
        (roof, layout): (&'a Roof, &'a RoofLayout),
        goods: &'a [Goods],
        rules: &'a Rules,
        products: &'a Products,
    ) -> Fascias<'a> {
        let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
        Fascias { roof, layout, board, goods, rules }
    }

    /// The edges at which a fascia may end below the edge timber, each with how far above the old roof it must reach.
    pub fn lifted(&self) -> Vec<AtEdge<'a>> {
        let open = open(self.layout).filter(|_| self.layout.over.is_some());
        let up = |side: &'a Side| {
            let (firring, thickness, _) = self.raised_by(side, self.board);
            (firring + thickness > HIDDEN).then_some((side, firring + thickness))
        };
        open.filter_map(up).collect()
    }

    /// The edges without such timber at which firrings are deeper than the batten before them, each with what it leaves bare above an
    /// old fascia that ends with the joists.
    pub fn bare_firrings(&self) -> Vec<AtEdge<'a>> {
        self.of_old(self.over_battens())
    }

    /// The edges at which edge timber may show above an old fascia that stays, each with how far up it stands.
    pub fn bare_timber(&self) -> Vec<AtEdge<'a>> {
        self.of_old(self.lifted())
    }

    fn over_battens(&self) -> Vec<AtEdge<'a>> {
        let open = open(self.layout).filter(|_| self.layout.over.is_none());
        let bare = open.map(|side| (side, self.raised_by(side, None).0 - self.rules.batten.width));
        bare.filter(|(_, bare)| *bare > OLD_EDGE).collect()
    }

    fn raised_by(&self, side: &Side, board: Option<&Board>) -> (Length, Length, Length) {
        raised_by(&self.layout.shape, self.roof, self.rules, board, (side.from, side.to))
    }

    /// Those of some edges whose old fascia stays.
    fn of_old(&self, edges: Vec<AtEdge<'a>>) -> Vec<AtEdge<'a>> {
        edges.into_iter().filter(|(side, _)| !self.goods.iter().any(|goods| self.goes_at(goods, side))).collect()
    }

    /// Whether goods are a new fascia for an edge: the words name it, or none of the roof's.
    fn goes_at(&self, goods: &Goods, side: &Side) -> bool {
        let of_roof = goods.roof.as_ref().is_none_or(|roof| *roof == self.layout.shape.name);
        let named = || self.layout.shape.sides.iter().any(|side| goods.names(&side.label));
        goods.is_fascia() && of_roof && (goods.names(&side.label) || !named())
    }

    /// What is asked of the old fascias, where they may end too low.
    fn left_low(&self, several: bool) -> Option<Problem> {
        let (warm, cold) = (self.bare_timber(), self.bare_firrings());
        let (edges, key) = if warm.is_empty() { (cold, "firrings") } else { (warm, "build_up") };
        let most = edges.iter().map(|(_, by)| *by).max()?;
        let at = names(&edges);
        let of = if several { format!(" of `{}`", self.layout.shape.name) } else { String::new() };
        let stands = match self.layout.over {
            Some(_) => format!("the edge timber stands up to {most} above the old roof"),
            None => format!("up to {most} of the firrings stand between the joists and the batten"),
        };
        let fault = format!(
            "at {at}{of} {stands}, and the old fascia is taken to reach up to it: to make up one that ends lower is in no price"
        );
        let cure = "look how high it stands; where it ends lower order a new one that reaches, under `order_lines` with its hours, \
                    or agree it as the quote says";
        Some(Problem::assumed(self.roof.path.key(key), fault, cure))
    }

    /// A warning for each new fascia that ends below what is built on it.
    fn too_low(&self) -> Vec<Problem> {
        let Some(joists) = self.roof.joists.section else { return Vec::new() };
        let lifted = self.roof.deck.lifted.unwrap_or_default();
        let warm = self.lifted().into_iter().map(|(side, up)| (side, joists.width + lifted + up - HIDDEN));
        let cold = self.over_battens().into_iter().map(|(side, bare)| (side, joists.width + bare));
        let wanted: Vec<AtEdge<'a>> = warm.chain(cold).collect();
        let low = |goods: &Goods| {
            let high = goods.height()?;
            let low = wanted.iter().filter(|(side, wanted)| *wanted > high && self.goes_at(goods, side));
            let low: Vec<AtEdge<'a>> = low.copied().collect();
            let most = low.iter().map(|(_, wanted)| *wanted).max()?;
            let fault = format!(
                "{} is {high} high, and at {} of `{}` it is {most} from the foot of the joists up to where it must reach",
                goods.name(),
                names(&low),
                self.layout.shape.name
            );
            let cure = "order one that is high enough, or say in its `item` along which edges it goes";
            Some(Problem::warning(Warned::LowFascia, goods.path.key("article"), fault, cure))
        };
        self.goods.iter().filter_map(low).collect()
    }
}

fn names(edges: &[AtEdge<'_>]) -> String {
    list(&edges.iter().map(|(side, _)| format!("`{}`", side.label)).collect::<Vec<_>>())
}

/// The boards that are pinned along their length, where that is not known.
pub fn unpinned(goods: &[Goods], rules: &Rules, products: &Products) -> Vec<Problem> {
    let told = |goods: &Goods| {
        let fault = format!("how long {} is no price book says, so that no pins are ordered for it", goods.name());
        let cure = "give its article in the price book the length that it is sold in, such as `longest: 5 m`";
        Problem::warning(Warned::Unpinned, goods.path.key("article"), fault, cure)
    };
    goods.iter().filter(|g| g.is_pinned() && pins_of(g, rules, products).is_none()).map(told).collect()
}

fn open(layout: &RoofLayout) -> impl Iterator<Item = &Side> {
    layout.shape.sides.iter().filter(|side| matches!(side.finish, Finish::Drip | Finish::Raised))
}
