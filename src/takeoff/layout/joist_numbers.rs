//! Joists by their numbers, the pipes that land on one, and the kerbs that stand half on one.
//!
//! Given a roof as it is laid; gives the number of a joist, counted from the front or from the left, the first being 1,
//! each pipe and outlet in a new deck that a joist lies in the way of, and each firring that a kerb lies in the way of.
//! Parts of a joist on one line have one number.

use super::{DeckLayout, RoofLayout};
use crate::geometry::region::{Bounds, bounds_of};
use crate::geometry::segment::distance_to_segment;
use crate::model::shape::{DeckAction, JoistRun};
use crate::model::{Finish, Hole, HoleForm, Length, Point, Roof, SettingPath};
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

/// A firring beside an opening whose kerb stands on part of its joist: what the kerb takes of its breadth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BesideKerb {
    /// The opening, counted from 0.
    pub hole: usize,
    /// The number of the joist.
    pub joist: usize,
    /// Whether the firring packs up a timber beside that joist.
    pub packs: bool,
    /// So much of the firring's breadth is cut away.
    pub cut: Length,
    /// From here along the joist, from the front or from the left.
    pub from: Length,
    /// To here.
    pub to: Length,
}

/// Each firring that runs past an opening so near that its kerb stands on the same timber. Joists are taken to be as thick
/// as what noggins are cut from.
pub fn firrings_beside_kerbs(roof: &Roof, layout: &RoofLayout) -> Vec<BesideKerb> {
    let Some(deck) = &layout.deck else { return Vec::new() };
    let (run, t) = (roof.joists.run, deck.noggin.as_mm());
    let turned = |p: Point| match run {
        JoistRun::FrontToBack => p,
        JoistRun::LeftToRight => Point::new(p.y, p.x),
    };
    let mut found: Vec<BesideKerb> = Vec::new();
    for (hole, laid) in layout.shape.holes.iter().enumerate().filter(|(_, h)| h.finish == Finish::Kerb && !h.round) {
        let Some(Bounds { least, most }) = bounds_of(laid.ring.iter().map(|&p| turned(p))) else { continue };
        for firring in &layout.firrings {
            let (a, b) = (turned(firring.from), turned(firring.to));
            let (from, to) = (a.y.min(b.y).max(least.y), a.y.max(b.y).min(most.y));
            // Twice what of it lies under the kerb: half a joist's breadth is no whole number.
            let twice = match a.x {
                u if u <= least.x => 2 * (u - least.x) + t,
                u if u >= most.x => 2 * (most.x - u) + t,
                _ => 0,
            };
            if a.x != b.x || from >= to || twice <= 0 {
                continue;
            }
            let cut = Length::mm((twice + 1) / 2);
            let (from, to) = (Length::mm(from), Length::mm(to));
            let joist = number_at(deck, run, firring.from);
            let packs = firring.packs.is_some();
            match found.iter_mut().find(|f| (f.hole, f.joist, f.packs) == (hole, joist, packs)) {
                Some(other) => (other.from, other.to) = (other.from.min(from), other.to.max(to)),
                None => found.push(BesideKerb { hole, joist, packs, cut, from, to }),
            }
        }
    }
    found
}
