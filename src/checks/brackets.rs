//! Gutter brackets, which a price book sells by the gutter's size alone, and downpipes, whose size nobody measured.
//!
//! Given a roof; gives a warning for each gutter whose shape is not the usual one, half-round, for each that comes up
//! with the roof, and for each that may not hang there yet.

use crate::model::gutter::GutterShape;
use crate::model::shape::DeckAction;
use crate::model::{Edge, Job, Length, Problem, Roof, Rules};
use crate::takeoff::layout::RoofLayout;

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

/// One for each gutter of a roof that has nothing else that is old: new joists may have no gutter yet.
pub fn taken_to_hang(job: &Job, roof: &Roof) -> Vec<Problem> {
    let all_new = job.strip_of(roof).is_none() && roof.deck.action == DeckAction::New;
    let told = |edge: &Edge| {
        Problem::assumed(
            edge.path.key("gutter"),
            format!(
                "a gutter hangs at `{}` of {} already, though nothing is stripped there and the deck is new: it is taken down and \
                 put back",
                edge.label(),
                roof.name
            ),
            "leave `gutter` out where none hangs; a new one and its fitting are a line of `order_lines`",
        )
    };
    roof.outline.edges.iter().filter(|edge| all_new && edge.gutter.is_some()).map(told).collect()
}

/// One for each gutter that comes up with the roof by more than its downpipe gives.
pub fn raised(roof: &Roof, layout: &RoofLayout) -> Vec<Problem> {
    let told = |(i, by): &(usize, Length)| {
        let edge = roof.outline.edges.get(*i)?;
        Some(Problem::assumed(
            edge.path.key("gutter"),
            format!(
                "the gutter at `{}` comes up by {by} with the roof: one downpipe is lengthened for it",
                edge.label()
            ),
            "look at the pipe: its shape and size, how many there are, and whether it can be lengthened",
        ))
    };
    layout.gutters_raised.iter().filter_map(told).collect()
}
