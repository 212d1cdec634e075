//! Screws of a warm roof that end before the timber that they hold in.
//!
//! Given a roof, the rules and what is sold; gives a warning where the longest screw of the price books goes through what lies over
//! the joists and firrings and no longer holds in them. Where no book says how long its screws are nothing is known.

use crate::model::{Problem, Products, Roof, Rules, Warned};
use crate::takeoff::layout::over_deck::screwed_through;

/// The warning, where the longest that is sold is too short.
pub fn too_short(roof: &Roof, rules: &Rules, products: &Products) -> Option<Problem> {
    let build_up = roof.warm()?;
    let thick = screwed_through(roof, rules)?;
    let (needs, longest) = (thick + rules.timber_bite, products.overlay_screw_through(thick, rules)?);
    (longest < needs).then(|| {
        Problem::warning(
            Warned::ShortScrews,
            build_up.path.key("insulation"),
            format!(
                "the screws through the insulation must be {needs} long, {thick} to the timber under the deck and {} into it: the \
                 longest in the price book is {longest}",
                rules.timber_bite
            ),
            format!("add an article with `role: fixings.overlay` and `size: {needs}` or more to the price book"),
        )
    })
}
