//! What stands on new kerbs: whose it is, and how it is named.
//!
//! Given openings and the job's goods; gives names of openings, with that of their roof where there are several.

use crate::model::goods::Goods;
use crate::takeoff::layout::RoofLayout;

/// Whether goods of the job are what stands on an opening's kerb: they are called by its name.
pub(super) fn is_for(goods: &Goods, opening: &str) -> bool {
    goods.stands_on(opening)
}

/// Whether goods of the job are what stands on a new kerb of a roof.
pub(super) fn is_on_new(goods: &Goods, roof: &RoofLayout) -> bool {
    roof.built_openings(true).iter().any(|opening| is_for(goods, opening))
}

/// The openings on new kerbs for which nothing in the job says who supplies what stands on them.
pub(super) fn unsupplied(layouts: &[&RoofLayout], goods: &[Goods]) -> Vec<String> {
    let several = layouts.len() > 1;
    let of = |r: &RoofLayout| -> Vec<String> {
        let all = r.built_openings(true).into_iter();
        let lacking = all.filter(|opening| !goods.iter().any(|g| is_for(g, opening)));
        lacking.map(|opening| named(&opening, several.then_some(r))).collect()
    };
    layouts.iter().flat_map(|r| of(r)).collect()
}

/// An opening by its name, and that of its roof where it is given.
pub(super) fn named(opening: &str, roof: Option<&RoofLayout>) -> String {
    roof.map_or_else(|| opening.to_owned(), |r| format!("{opening} ({})", r.shape.name))
}
