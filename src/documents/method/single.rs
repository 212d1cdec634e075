//! What a job has one of where most have several: one strip of mat, one board, one wall. The templates speak of it in the singular.
//!
//! Given what was laid out; gives a yes or a no for each.

use super::super::WholeJob;
use super::super::drawings::insulation_plan::is_whole;
use super::super::site_words;
use super::super::words::{Vocabulary, Words};
use super::deck_words::{cut_boards, whole_insulation};
use crate::model::{Finish, Problem, Role};
use crate::takeoff::layout::{DeckLayout, RoofLayout};
use std::collections::BTreeSet;

/// # Errors
/// Whatever is wrong with a template.
pub(super) fn vocabulary(v: &mut Vocabulary, worked: &WholeJob<'_>, words: &Words) -> Result<(), Vec<Problem>> {
    let (roofs, old) = (&worked.take_off.roofs, &worked.take_off.old_roofs);
    let of_all = |count: fn(&RoofLayout) -> usize| roofs.iter().map(count).sum::<usize>();
    let sides = |finish: Finish| {
        let of = move |roof: &RoofLayout| roof.shape.sides.iter().filter(move |side| side.finish == finish).count();
        roofs.iter().map(of).sum::<usize>()
    };
    let chimneys = of_all(|roof| roof.shape.holes.iter().filter(|hole| hole.finish == Finish::Wall).count());
    let strips = of_all(strips_of);
    let patches: usize = old.iter().map(|roof| roof.patches.len()).sum();
    let bought = worked.take_off.needs.iter().filter(|need| !need.optional);
    let boards: BTreeSet<&Role> = bought.map(|need| &need.role).filter(|role| matches!(role, Role::Board(_))).collect();
    let decks = || roofs.iter().filter_map(|roof| roof.deck.as_ref());
    let overlays = || roofs.iter().filter_map(|roof| roof.over.as_ref()?.overlay.as_ref());
    let insulation = |whole: bool| {
        let of = |roof: &RoofLayout| {
            let size = whole_insulation(worked, roof)?;
            Some(roof.over.as_ref()?.insulation.pieces.iter().any(|piece| is_whole(piece, size) == whole))
        };
        roofs.iter().filter_map(of).any(|any| any)
    };
    let of_boards = |decks: Vec<&DeckLayout>| {
        let cuts = decks.iter().any(|deck| cut_boards(deck).next().is_some());
        let wholes = decks.iter().any(|deck| deck.pieces.iter().any(|piece| piece.whole));
        site_words::board_list(words, cuts, wholes)
    };
    v.yes("one_strip", strips == 1)
        .yes("one_laid", if roofs.is_empty() { patches == 1 } else { strips == 1 })
        .yes("one_board", of_all(|roof| roof.deck.as_ref().map_or(0, |deck| deck.pieces.len())) == 1)
        .yes("one_deck", of_all(|roof| usize::from(roof.deck.is_some())) == 1)
        .yes("one_board_kind", boards.len() == 1)
        .filled("deck_list", &of_boards(decks().collect())?)
        .filled("overlay_list", &of_boards(overlays().collect())?)
        .filled("insulation_list", &site_words::board_list(words, insulation(false), insulation(true))?)
        .yes("one_spare_board", worked.rules.spare_boards == 1)
        .yes("one_wall", sides(Finish::Wall) + chimneys == 1)
        .yes("one_drip", sides(Finish::Drip) == 1)
        .yes("one_raised", sides(Finish::Raised) == 1);
    Ok(())
}

/// Strips of mat of a roof and of its box gutters, in all layers.
fn strips_of(roof: &RoofLayout) -> usize {
    roof.mat.pieces.len() + roof.box_gutters.iter().map(|gutter| gutter.mat.len()).sum::<usize>()
}
