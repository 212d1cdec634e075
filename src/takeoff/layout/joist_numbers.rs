//! Joists by their numbers, and the pipes that land on one.
//!
//! Given a roof as it is laid; gives the number of a joist, counted from the front or from the left, the first being 1, and
//! each pipe and outlet in a new deck that a joist lies in the way of. Parts of a joist on one line have one number.

use super::{DeckLayout, RoofLayout};
use crate::geometry::segment::distance_to_segment;
use crate::model::shape::{DeckAction, JoistRun};
use crate::model::{Hole, HoleForm, Length, Point, Roof, SettingPath};
use std::collections::BTreeSet;

/// The number of the joist that lies at a place, or before it.
pub fn number_at(deck: &DeckLayout, run: JoistRun, at: Point) -> usize {
    let places: BTreeSet<i64> = deck.joists.iter().map(|(a, _)| across(*a, run)).collect();
    places.into_iter().take_while(|place| *place <= across(at, run)).count()
}

/// Where a joist lies across the way in which they run, mm.
pub(super) const fn across(at: Point, run: JoistRun) -> i64 {
    match run {
        JoistRun::FrontToBack => at.x,
        JoistRun::LeftToRight => at.y,
    }
}

/// A pipe or an outlet that lands on a joist.
pub struct OnJoist {
    /// Where it stands in the file.
    pub path: SettingPath,
    /// The pipe's name; nothing for an outlet.
    pub pipe: Option<String>,
    /// The number of the joist.
    pub joist: usize,
}

/// Each pipe and outlet in a new deck that a joist, as thick as what noggins are cut from, lies in the way of.
pub fn pipes_on_joists(roof: &Roof, layout: &RoofLayout) -> Vec<OnJoist> {
    let Some(deck) = layout.deck.as_ref().filter(|_| roof.deck.action == DeckAction::New) else { return Vec::new() };
    let pipe = |hole: &Hole| match hole.form {
        HoleForm::Round { at, diameter } => Some((hole.path.clone(), Some(hole.name.clone()), at, diameter)),
        HoleForm::Box { .. } => None,
    };
    let outlets = roof.outlets.iter().map(|o| (o.path.clone(), None, o.at, o.size));
    let met = |(path, pipe, at, size): (SettingPath, Option<String>, Point, Length)| {
        let room = (size + deck.noggin).as_mm() as f64 / 2.0;
        let away = |(a, b): &(Point, Point)| distance_to_segment(at, *a, *b);
        let nearest = deck.joists.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
        let joist = number_at(deck, roof.joists.run, nearest.0);
        (away(nearest) < room).then_some(OnJoist { path, pipe, joist })
    };
    roof.holes.iter().filter_map(pipe).chain(outlets).filter_map(met).collect()
}
