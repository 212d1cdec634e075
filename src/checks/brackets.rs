//! Gutter brackets, which a price book sells by the gutter's size alone.
//!
//! Given a roof; gives a warning for each gutter whose shape is not the usual one, half-round.

use crate::model::gutter::GutterShape;
use crate::model::{Edge, Problem, Roof, Rules};

/// One for each gutter that brackets of its own shape must be bought for.
pub fn notices(roof: &Roof, rules: &Rules) -> Vec<Problem> {
    let told = |edge: &Edge| {
        let gutter = edge.gutter.as_ref()?;
        let half_round =
            GutterShape::WORDS.iter().any(|(word, s)| *word == gutter.shape && *s == GutterShape::HalfRound);
        let bought = rules.bracket_spacing.as_mm() > 0 && !half_round;
        bought.then(|| {
            Problem::assumed(
                edge.path.key("gutter"),
                format!(
                    "brackets for the {} gutter at `{}` are ordered by its size, {}, whatever shape they are for",
                    gutter.shape,
                    edge.label(),
                    gutter.size
                ),
                "ask the merchant for brackets of that shape, or put the old ones back and take the brackets off the order",
            )
        })
    };
    roof.outline.edges.iter().filter_map(told).collect()
}
