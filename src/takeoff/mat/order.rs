//! The order in which the strips of one layer are laid, so that nobody is trapped behind wet laminate.
//!
//! Given the pieces, which of them lap, and which reach the way off; gives the order. It is worked backwards: the last
//! piece reaches the way off, and each piece before it meets one that is laid later, so that there is always bare deck
//! between the crew and the way off. An upper piece is never laid before the lower one that it laps over, unless the
//! crew would be trapped: then the lap is tucked, and the answer says so.

use std::cmp::Reverse;

/// One piece, as far as the order cares.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Node {
    /// Pieces to which one can step from it with ease, over the roof's own surface.
    pub meets: Vec<usize>,
    /// All pieces that lie beside it, or go on where it ends.
    pub laps: Vec<usize>,
    /// Pieces that lap over it, because they lie further up the fall.
    pub under: Vec<usize>,
    /// Whether one can leave the roof from it.
    pub exit: bool,
    /// Whether there is room to stand on it beside its laps. A piece without, a mere return up a wall say, is laid
    /// together with one beside it.
    pub standing: bool,
    /// Whether its neighbours are left over it: it can be walked along, or it is all that lies between them and the
    /// way off.
    pub passage: bool,
    /// The wish for its place in the order: the lowest is laid last.
    pub wish: (i64, i64, i64),
}

/// An order of laying.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sequence {
    /// Pieces in the order in which they are laid.
    pub order: Vec<usize>,
    /// Pieces laid after an upper one that should lap over them: they are tucked under it.
    pub tucked: Vec<usize>,
    /// Pieces that are left over a bare strip too narrow to walk along with ease.
    pub squeezed: Vec<usize>,
    /// Pieces that no bare deck joins to the way off; they are laid first.
    pub cut_off: Vec<usize>,
}

impl Sequence {
    /// Whether every lap sheds water without tucking and nobody is trapped.
    pub fn is_clean(&self) -> bool {
        self.badness() == (0, 0, 0)
    }

    /// How bad it is, the worst first: pieces cut off, pieces left with a squeeze, laps that are tucked.
    pub fn badness(&self) -> (usize, usize, usize) {
        (self.cut_off.len(), self.squeezed.len(), self.tucked.len())
    }
}

/// Finds the order.
pub fn sequence(nodes: &[Node]) -> Sequence {
    let mut left: Vec<usize> = (0..nodes.len()).collect();
    left.sort_by_key(|&i| (nodes[i].wish, Reverse(i)));
    let mut placed = vec![false; nodes.len()];
    let mut found = Sequence::default();
    while !left.is_empty() {
        let leads_off = |m: usize| placed[m] && nodes[m].passage;
        let walked_off = |i: usize| nodes[i].exit || nodes[i].meets.iter().any(|&m| leads_off(m));
        let beside = |i: usize| nodes[i].laps.iter().any(|&m| placed[m] || walked_off(m));
        let reached = |i: &usize| walked_off(*i) || (!nodes[*i].standing && beside(*i));
        let over_laid = |i: &usize| nodes[*i].under.iter().all(|&u| placed[u]);
        let squeezed = |i: &usize| nodes[*i].laps.iter().any(|&m| placed[m]);
        let first = |wanted: &dyn Fn(&usize) -> bool| left.iter().position(wanted);
        let at = if let Some(at) = first(&|i| reached(i) && over_laid(i)) {
            at
        } else if let Some(at) = first(&|i| reached(i) && nodes[*i].standing).or_else(|| first(&reached)) {
            found.tucked.push(left[at]);
            at
        } else if let Some(at) = first(&|i| squeezed(i) && over_laid(i)).or_else(|| first(&squeezed)) {
            found.squeezed.push(left[at]);
            if !over_laid(&left[at]) {
                found.tucked.push(left[at]);
            }
            at
        } else {
            found.cut_off.push(left[0]);
            0
        };
        let i = left.remove(at);
        placed[i] = true;
        found.order.push(i);
    }
    found.order.reverse();
    found
}
