//! The line of the boards that are bought over what is laid, for one that is spoilt or comes broken.
//!
//! Given the needs of the layout; gives one line and a need more for each kind of board. The spare is of the job, not of a
//! roof: a board that is left over on one roof serves on the next.

use super::line::{Line, Need, Share, Unit, pool};
use super::working::{counted, line, measured, rule, sum};
use crate::model::{LineId, Role, Rules};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The line `boards.spare` and its needs; nothing where no boards are laid, or none is to spare.
pub fn spare_boards(needs: &[Need], rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let kinds: Vec<Need> = pool(needs.iter().filter(|n| matches!(n.role, Role::Board(_)) && !n.optional).cloned());
    let each = Decimal::from(rules.spare_boards);
    let mut working: Vec<_> =
        kinds.iter().map(|n| measured(format!("{}, laid", n.role), n.quantity, Unit::Each)).collect();
    working.push(rule("spare_boards", counted(rules.spare_boards as usize, "board", "boards")));
    working.push(sum("", &vec![each; kinds.len()], Unit::Each));
    let work = kinds.first().and_then(|n| n.shares.first()).map_or(WorkKind::NewDeck, |share| share.work);
    let spare = line((LineId::BoardsSpare, work), "Spare boards, one spoilt or broken", None, Unit::Each, working);
    let need = |of: Need| Need { quantity: each, lines: vec![LineId::BoardsSpare], shares: shared(&of), ..of };
    let needs = kinds.into_iter().filter(|_| spare.is_some()).map(need).collect();
    (spare.into_iter().collect(), needs)
}

/// The spare is for the works and roofs for which the boards are laid, in the same parts of one board.
fn shared(of: &Need) -> Vec<Share> {
    let all: Decimal = of.shares.iter().map(|s| s.weight).sum();
    let part = |s: &Share| Share { weight: if all.is_zero() { s.weight } else { s.weight / all }, ..s.clone() };
    of.shares.iter().map(part).collect()
}
