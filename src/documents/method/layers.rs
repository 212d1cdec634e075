//! What lies on what, drawn before the deck is laid: for those who look rather than read.
//!
//! Given what was worked; gives a drawing for each roof. Roofs that are alike in shape and in what they are built of share one.

use super::super::WholeJob;
use super::super::cells::in_rows;
use super::super::drawings::Space;
use super::super::drawings::peeled::{self, CoatTint, LayerLook, PeeledLayer};
use super::super::wording;
use crate::model::shape::{DeckAction, JoistRun};
use crate::model::{Finish, Point, Roof};
use crate::pages::block::{Block, Figure};
use crate::takeoff::layout::shape::RoofShape;

/// What such a drawing takes beside another drawing, by itself, and in a row of several, pt.
const LAYERS: Space = Space::new(240.0, 128.0);
const ALONE: Space = Space::new(480.0, 150.0);
const IN_A_ROW: Space = Space::new(112.0, 62.0);
/// So many have the names of their layers under them; more stand in rows of so many.
const NAMED: usize = 2;
const ACROSS: usize = 4;

/// What a roof is seen to be made of.
struct LookedAt<'a> {
    layers: Vec<PeeledLayer>,
    shape: &'a RoofShape,
    run: JoistRun,
    names: Vec<String>,
}

/// The drawings, in the order of the roofs: of few roofs figures with the names of their layers, to stand `beside` other drawings or by
/// themselves; of more, rows of small ones.
pub(super) fn layers(worked: &WholeJob<'_>, beside: bool) -> (Vec<Figure>, Vec<Block>) {
    let seen = looked_at(worked);
    if seen.len() > NAMED {
        return (Vec::new(), rows(&seen));
    }
    let space = if beside || seen.len() > 1 { LAYERS } else { ALONE };
    let drawn = |of: &LookedAt<'_>| {
        let caption = format!("{}, {} layers drawn back. Not to scale.", wording::list(&of.names), whose(&of.names));
        Some(Figure { caption, ..peeled::draw(of.shape, of.run, &of.layers, space)? })
    };
    (seen.iter().filter_map(drawn).collect(), Vec::new())
}

const fn whose(names: &[String]) -> &'static str {
    if names.len() > 1 { "their" } else { "its" }
}

/// Small drawings in rows: each says which layers it shows where the one before it shows others.
fn rows(seen: &[LookedAt<'_>]) -> Vec<Block> {
    let mut before: &[PeeledLayer] = &[];
    let drawn = seen.iter().filter_map(|of| {
        let figure = peeled::draw_small(of.shape, of.run, &of.layers, IN_A_ROW)?;
        let names = wording::list(&of.names);
        let caption = match of.layers == before {
            true => names,
            false => format!("{names}, from the left: {}", peeled::names(&of.layers).join(", ")),
        };
        before = &of.layers;
        Some(vec![Block::Figure(Figure { caption, ..figure })])
    });
    in_rows(ACROSS, drawn.collect())
}

/// Every roof, those alike once with the names of all.
fn looked_at<'a>(worked: &WholeJob<'a>) -> Vec<LookedAt<'a>> {
    let mut seen: Vec<LookedAt<'a>> = Vec::new();
    for layout in &worked.take_off.roofs {
        let Some(roof) = worked.job.roofs.get(layout.shape.index) else { continue };
        let (layers, shape, run) = (layers_of(roof), &layout.shape, roof.joists.run);
        let alike = |of: &&mut LookedAt<'_>| of.layers == layers && of.run == run && look(of.shape) == look(shape);
        match seen.iter_mut().find(alike) {
            Some(of) => of.names.push(shape.name.clone()),
            None => seen.push(LookedAt { layers, shape, run, names: vec![shape.name.clone()] }),
        }
    }
    seen
}

/// What of a roof's shape is seen: its sides with how they are finished, and what stands in it.
type SeenShape = (Vec<(Point, Finish, bool)>, Vec<(Vec<Point>, Finish)>);

fn look(shape: &RoofShape) -> SeenShape {
    let sides = shape.sides.iter().map(|side| (side.from, side.finish, side.coped.is_some()));
    let holes = shape.holes.iter().filter(|hole| !hole.round).map(|hole| (hole.ring.clone(), hole.finish));
    (sides.collect(), holes.collect())
}

/// The layers of a roof from below, as the crew lays them.
fn layers_of(roof: &Roof) -> Vec<PeeledLayer> {
    let layer = |words: &str, look: LayerLook| PeeledLayer { words: words.to_owned(), look };
    let mut layers = match roof.deck.action {
        DeckAction::New => vec![layer("joists", LayerLook::Joists), layer("deck", LayerLook::Boards)],
        DeckAction::Overlay => vec![layer("old deck", LayerLook::Boards), layer("overlay", LayerLook::Boards)],
        DeckAction::Keep => vec![layer("old deck", LayerLook::Boards)],
    };
    let build_up = roof.build_up.as_ref();
    if build_up.is_some_and(|b| b.insulation.is_some()) {
        layers.push(layer("insulation", LayerLook::Insulation));
    }
    if build_up.is_some_and(|b| b.overlay.is_some()) {
        layers.push(layer("board over it", LayerLook::Boards));
    }
    layers.extend([
        layer("trims", LayerLook::Trims),
        layer("laminate", LayerLook::Laminate),
        layer("topcoat", LayerLook::Topcoat(CoatTint::default())),
    ]);
    layers
}
