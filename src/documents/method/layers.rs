//! What lies on what, drawn before the deck is laid: for those who look rather than read.
//!
//! Given what was worked; gives a drawing for each build-up, of the largest roof that has it.

use super::super::WholeJob;
use super::super::drawings::Space;
use super::super::drawings::peeled::{self, LayerLook, PeeledLayer};
use crate::model::Roof;
use crate::model::shape::DeckAction;
use crate::pages::block::Figure;
use crate::takeoff::layout::RoofLayout;

/// What such a drawing takes beside another drawing, and by itself, pt.
const LAYERS: Space = Space::new(240.0, 128.0);
const ALONE: Space = Space::new(480.0, 150.0);

/// The drawings, those of the largest roofs first; `beside` other drawings or by themselves.
pub(super) fn layers(worked: &WholeJob<'_>, beside: bool) -> Vec<Figure> {
    let mut roofs: Vec<&RoofLayout> = worked.take_off.roofs.iter().collect();
    roofs.sort_by_key(|r| std::cmp::Reverse(r.shape.area));
    let mut built: Vec<(Vec<PeeledLayer>, &RoofLayout, &Roof)> = Vec::new();
    for layout in roofs {
        let Some(roof) = worked.job.roofs.get(layout.shape.index) else { continue };
        let of_roof = layers_of(roof);
        if !built.iter().any(|(layers, ..)| *layers == of_roof) {
            built.push((of_roof, layout, roof));
        }
    }
    let space = if beside || built.len() > 1 { LAYERS } else { ALONE };
    let drawn = |(layers, layout, roof): &(Vec<PeeledLayer>, &RoofLayout, &Roof)| {
        let caption = format!("{}, its layers drawn back. Not to scale.", layout.shape.name);
        Some(Figure { caption, ..peeled::draw(&layout.shape, roof.joists.run, layers, space)? })
    };
    built.iter().filter_map(drawn).collect()
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
        layer("topcoat", LayerLook::Topcoat),
    ]);
    layers
}
