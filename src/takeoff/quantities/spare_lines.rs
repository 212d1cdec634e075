//! The line of the boards that are bought over what is laid, for one that is spoilt or comes broken.
//!
//! Given the needs of the layout; gives one line and a need more for each kind of board. The spare is of the job, not of a
//! roof: a board that is left over on one roof serves on the next.

use super::line::{Line, Need, Share, Step, Unit, pool};
use super::working::{counted, line, measured, rule, sum};
use crate::model::products::Board;
use crate::model::{Length, LineId, Role, Rules};
use crate::takeoff::layout::{BoardPiece, DeckLayout, RoofLayout};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The line `boards.spare` and its needs; nothing where no boards are laid, or none is to spare. Where what is left of one board gives the
/// largest piece of its kind again, that is one of the spares.
pub fn spare_boards(
    needs: &[Need],
    laid: &[RoofLayout],
    boards: &BTreeMap<String, Board>,
    rules: &Rules,
) -> (Vec<Line>, Vec<Need>) {
    let kinds: Vec<Need> = pool(needs.iter().filter(|n| matches!(n.role, Role::Board(_)) && !n.optional).cloned());
    let rests: Vec<bool> = kinds.iter().map(|kind| rest_is_enough(kind, laid, boards, rules)).collect();
    let spares = |rest: bool| Decimal::from(rules.spare_boards.saturating_sub(u32::from(rest)));
    let mut working: Vec<_> =
        kinds.iter().map(|n| measured(format!("{}, laid", n.role), n.quantity, Unit::Each)).collect();
    working.push(rule("spare_boards", counted(rules.spare_boards as usize, "board", "boards")));
    let told =
        |kind: &Need| Step::Note(format!("{}: what is left of a board gives the largest piece again", kind.role));
    working.extend(kinds.iter().zip(&rests).filter(|(_, rest)| **rest).map(|(kind, _)| told(kind)));
    working.push(sum("", &rests.iter().map(|&rest| spares(rest)).collect::<Vec<_>>(), Unit::Each));
    let work = kinds.first().and_then(|n| n.shares.first()).map_or(WorkKind::NewDeck, |share| share.work);
    let spare = line((LineId::BoardsSpare, work), "Spare boards, one spoilt or broken", None, Unit::Each, working);
    let need = |(of, rest): (Need, bool)| {
        let quantity = spares(rest);
        let need = Need { quantity, lines: vec![LineId::BoardsSpare], shares: shared(&of), ..of };
        (quantity > Decimal::ZERO).then_some(need)
    };
    let needs = kinds.into_iter().zip(rests).filter_map(need).collect();
    (spare.into_iter().collect(), needs)
}

/// Whether all boards of a kind lie on decks and insulation, and an end as wide as a board is left of one that is as long as the longest
/// piece.
fn rest_is_enough(kind: &Need, laid: &[RoofLayout], boards: &BTreeMap<String, Board>, rules: &Rules) -> bool {
    let Role::Board(key) = &kind.role else { return false };
    let decks = laid.iter().flat_map(|l| l.deck.iter().chain(l.over.iter().filter_map(|over| over.overlay.as_ref())));
    let decks: Vec<&DeckLayout> = decks.filter(|deck| deck.board == *key).collect();
    let on_decks: usize = decks.iter().map(|deck| deck.boards).sum();
    let Some(board) = boards.get(key).filter(|_| Decimal::from(on_decks as u64) == kind.quantity) else { return false };
    let pieces = || decks.iter().flat_map(|deck| &deck.pieces);
    let end = |piece: &BoardPiece| Length::mm(piece.on_board.x) + piece.length;
    let left = |deck: &&DeckLayout| {
        let taken = |b: usize| deck.pieces.iter().filter(|p| p.board == b).map(end).max().unwrap_or(board.length);
        (0..deck.boards).map(|b| board.length - taken(b)).max()
    };
    let longest = pieces().map(|piece| piece.length).max();
    longest.zip(decks.iter().filter_map(left).max()).is_some_and(|(longest, left)| left >= longest + rules.board_kerf)
}

/// The spare is for the works and roofs for which the boards are laid, in the same parts of one board.
fn shared(of: &Need) -> Vec<Share> {
    let all: Decimal = of.shares.iter().map(|s| s.weight).sum();
    let part = |s: &Share| Share { weight: if all.is_zero() { s.weight } else { s.weight / all }, ..s.clone() };
    of.shares.iter().map(part).collect()
}
