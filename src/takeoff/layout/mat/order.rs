//! The order in which the strips of one layer are laid, so that nobody is trapped behind wet laminate.
//!
//! Given the pieces, which of them lap, and the places where one can stand; gives the order. It is worked backwards:
//! from the last piece laid one leaves over nothing but itself, from each piece before it over itself and what is laid
//! later. Every place to stand on a piece must lead off. What is bare only grows that way, so a piece that can come next
//! can come next for good: where none can, no other order would have done, and the answer says which piece has no way.
//! An upper piece is never laid before the lower one that it laps over, unless the crew would be trapped: then the lap
//! is tucked, and the answer says so.

use super::places::StandingPlaces;
use std::cmp::Reverse;

/// One piece, as far as the order cares.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LayingNode {
    /// Pieces that lie beside it for a good part of its length, or go on where it ends.
    pub laps: Vec<usize>,
    /// Pieces that lap over it, because they lie further up the fall.
    pub under: Vec<usize>,
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
    /// Pieces that are left over a strip of bare deck too narrow to walk along.
    pub squeezed: Vec<usize>,
    /// Pieces from which no bare deck leads off. Whoever leaves over one of them has the way that it is given.
    pub cut_off: Vec<usize>,
}

impl Sequence {
    /// How bad it is, the worst first: pieces cut off, pieces left with a squeeze, laps that are tucked.
    pub fn badness(&self) -> (usize, usize, usize) {
        (self.cut_off.len(), self.squeezed.len(), self.tucked.len())
    }
}

/// Finds the order. `narrow` gives the places of one who squeezes by; it is asked for only where nobody can walk.
pub fn sequence(nodes: &[LayingNode], wide: StandingPlaces, narrow: impl FnOnce() -> StandingPlaces) -> Sequence {
    let mut left: Vec<usize> = (0..nodes.len()).collect();
    left.sort_by_key(|&i| (nodes[i].wish, Reverse(i)));
    let mut narrow = Some(narrow);
    let mut back = Backwards {
        nodes,
        bare: vec![false; nodes.len()],
        wide: StandingGround::new(wide),
        narrow: None,
        left,
        found: Sequence::default(),
    };
    while !back.left.is_empty() {
        let at = back.at_ease().unwrap_or_else(|| {
            if let Some(narrow) = narrow.take() {
                back.look_for_a_squeeze(narrow());
            }
            back.hard_pressed()
        });
        back.take(at);
    }
    back.found.order.reverse();
    back.found
}

/// How far the work backwards has come.
struct Backwards<'a> {
    nodes: &'a [LayingNode],
    /// Pieces that are laid later: bare still.
    bare: Vec<bool>,
    wide: StandingGround,
    narrow: Option<StandingGround>,
    /// Pieces that are not placed yet, as wished.
    left: Vec<usize>,
    found: Sequence,
}

impl Backwards<'_> {
    /// Where in `left` the next piece stands that nobody is trapped by; a lap is tucked where it must be.
    fn at_ease(&mut self) -> Option<usize> {
        if let Some(at) = self.first(|s, i| s.over_laid(i) && s.leads_off(i)) {
            return Some(at);
        }
        let at = self.first(|s, i| s.stands(i) && s.leads_off(i)).or_else(|| self.first(Self::leads_off))?;
        self.found.tucked.push(self.left[at]);
        Some(at)
    }

    /// The same where no piece leads off: one that is left by a squeeze, else one that needs a way of its own.
    fn hard_pressed(&mut self) -> usize {
        let squeezed =
            self.first(|s, i| s.over_laid(i) && s.squeezes_off(i)).or_else(|| self.first(Self::squeezes_off));
        let at = squeezed.or_else(|| self.first(Self::stands)).unwrap_or(0);
        let i = self.left[at];
        match (self.stands(i), squeezed) {
            (true, Some(_)) => self.found.squeezed.push(i),
            (true, None) => self.found.cut_off.push(i),
            (false, _) => {}
        }
        if !self.over_laid(i) {
            self.found.tucked.push(i);
        }
        for ground in std::iter::once(&mut self.wide).chain(&mut self.narrow) {
            ground.give_way_off(i);
        }
        at
    }

    fn look_for_a_squeeze(&mut self, narrow: StandingPlaces) {
        let mut ground = StandingGround::new(narrow);
        self.found.cut_off.iter().chain(&self.found.squeezed).for_each(|&i| ground.give_way_off(i));
        let laid_later: Vec<usize> = (0..self.bare.len()).filter(|&i| self.bare[i]).collect();
        ground.grow(&laid_later, &self.bare);
        self.narrow = Some(ground);
    }

    fn first(&self, wanted: impl Fn(&Self, usize) -> bool) -> Option<usize> {
        self.left.iter().position(|&i| wanted(self, i))
    }

    fn over_laid(&self, i: usize) -> bool {
        self.nodes[i].under.iter().all(|&u| self.bare[u])
    }

    fn stands(&self, i: usize) -> bool {
        self.wide.stands(i)
    }

    /// Whether one gets off from everywhere on a piece. One without room to stand, a mere return up a wall say, is laid
    /// together with one beside it.
    fn leads_off(&self, i: usize) -> bool {
        if self.stands(i) {
            return self.wide.leads_off(i, &[i], &self.bare);
        }
        let together = |m: usize| self.stands(m) && self.wide.leads_off(m, &[i, m], &self.bare);
        self.nodes[i].laps.iter().any(|&m| self.bare[m] || together(m))
    }

    /// Whether one squeezes off from everywhere on a piece; from one without room to stand, whether one does from any
    /// of it.
    fn squeezes_off(&self, i: usize) -> bool {
        self.narrow.as_ref().is_some_and(|n| match self.stands(i) {
            true => n.leads_off(i, &[i], &self.bare),
            false => !n.newly_joined(&[i], &self.bare).is_empty(),
        })
    }

    fn take(&mut self, at: usize) {
        let i = self.left.remove(at);
        self.bare[i] = true;
        for ground in std::iter::once(&mut self.wide).chain(&mut self.narrow) {
            ground.grow(&[i], &self.bare);
        }
        self.found.order.push(i);
    }
}

/// The places to stand, and which of them bare deck joins to the way off.
struct StandingGround {
    walk: StandingPlaces,
    joined: Vec<bool>,
}

impl StandingGround {
    fn new(walk: StandingPlaces) -> StandingGround {
        StandingGround { joined: vec![false; walk.places.len()], walk }
    }

    fn stands(&self, i: usize) -> bool {
        !self.walk.own[i].is_empty()
    }

    /// Whether one gets off from everywhere on piece `i` where `more` is bare as well.
    fn leads_off(&self, i: usize, more: &[usize], bare: &[bool]) -> bool {
        let new = self.newly_joined(more, bare);
        self.walk.own[i].iter().all(|&p| self.joined[p] || new.contains(&p))
    }

    /// Whoever stands on piece `i` has a way off from now on.
    fn give_way_off(&mut self, i: usize) {
        for &p in &self.walk.own[i] {
            self.walk.places[p].leaves = true;
        }
    }

    fn grow(&mut self, more: &[usize], bare: &[bool]) {
        for p in self.newly_joined(more, bare) {
            self.joined[p] = true;
        }
    }

    /// The places that are joined to the way off as soon as `more` is bare.
    fn newly_joined(&self, more: &[usize], bare: &[bool]) -> Vec<usize> {
        let places = &self.walk.places;
        let open = |p: usize| !self.joined[p] && places[p].needs.iter().all(|n| bare[*n] || more.contains(n));
        let begins = |p: usize| open(p) && (places[p].leaves || places[p].next.iter().any(|&q| self.joined[q]));
        let over = more.iter().flat_map(|&i| &self.walk.over[i]).copied();
        let mut seen = vec![false; places.len()];
        let mut found: Vec<usize> = over.filter(|&p| begins(p) && !std::mem::replace(&mut seen[p], true)).collect();
        let mut done = 0;
        while let Some(&p) = found.get(done) {
            found.extend(places[p].next.iter().filter(|&&q| open(q) && !std::mem::replace(&mut seen[q], true)));
            done += 1;
        }
        found
    }
}
