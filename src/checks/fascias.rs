//! Old fascias that end below what is built on them (the edge timber of a warm roof, or firrings under a new deck), and new ones whose
//! pins nobody can count.
//!
//! Given a roof and its layout; gives one notice for those of its drip and raised edges at which firrings and new boards lift that timber
//! by more than the trim's batten hides, or at which firrings are deeper than the batten that hangs before them. How high an old
//! fascia stands is not known here: nothing that closes it is laid out. Given the job's goods; gives one for each fascia or soffit
//! board whose length no price book says.

use crate::model::goods::Goods;
use crate::model::products::{Board, Products};
use crate::model::words::list;
use crate::model::{Finish, Length, Problem, Roof, Rules, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::raised_by;
use crate::takeoff::layout::shape::Side;
use crate::takeoff::quantities::goods_lines::pins_of;

/// What a batten on the face of the edge timber hides (common practice, no source).
const HIDDEN: Length = Length::mm(25);

/// So far an old fascia reaches past the joists: it covers the edges of the old boards (common practice, no source).
pub const OLD_EDGE: Length = Length::mm(25);

/// The notice, where there are such edges.
pub fn left_low(roof: &Roof, layout: &RoofLayout, rules: &Rules, board: Option<&Board>) -> Option<Problem> {
    let (lifted, bare) = (lifted(roof, layout, rules, board), bare_firrings(roof, layout, rules));
    let most = |all: &[(String, Length)]| all.iter().map(|(_, by)| *by).max();
    let names =
        |all: Vec<(String, Length)>| list(&all.into_iter().map(|(name, _)| format!("`{name}`")).collect::<Vec<_>>());
    let (key, fault) = match (most(&lifted), most(&bare)) {
        (Some(most), _) => (
            "build_up",
            format!(
                "at {} the edge timber stands up to {most} above the old roof, and the fascia is taken to reach up to it",
                names(lifted)
            ),
        ),
        (None, Some(most)) => (
            "firrings",
            format!(
                "at {} up to {most} of the firrings stand between the joists and the batten, and the fascia is taken to reach up \
                 to it",
                names(bare)
            ),
        ),
        (None, None) => return None,
    };
    let cure = "look how high it stands; where it ends lower put what closes it under `order_lines`, with its hours";
    Some(Problem::assumed(roof.path.key(key), fault, cure))
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

/// The edges at which an old fascia may end below the edge timber, each with how far above the old roof it must reach.
pub fn lifted(roof: &Roof, layout: &RoofLayout, rules: &Rules, board: Option<&Board>) -> Vec<(String, Length)> {
    let lifted = open(layout).filter(|_| layout.over.is_some()).filter_map(|side| {
        let (firring, thickness, _) = raised_by(&layout.shape, roof, rules, board, (side.from, side.to));
        (firring + thickness > HIDDEN).then(|| (side.label.clone(), firring + thickness))
    });
    lifted.collect()
}

/// The edges without such timber at which firrings are deeper than the batten before them, each with what it leaves bare above a
/// fascia that ends with the joists.
pub fn bare_firrings(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<(String, Length)> {
    let bare = open(layout).filter(|_| layout.over.is_none()).filter_map(|side| {
        let (firring, ..) = raised_by(&layout.shape, roof, rules, None, (side.from, side.to));
        let bare = firring - rules.batten.width;
        (bare > OLD_EDGE).then(|| (side.label.clone(), bare))
    });
    bare.collect()
}

fn open(layout: &RoofLayout) -> impl Iterator<Item = &Side> {
    layout.shape.sides.iter().filter(|side| matches!(side.finish, Finish::Drip | Finish::Raised))
}
