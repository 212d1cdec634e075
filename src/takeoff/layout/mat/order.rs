//! The order in which the strips of one layer are laid, so that nobody is trapped behind wet laminate.
//!
//! Given the pieces, which of them lap, and the places where one can stand; gives the order. It is worked backwards:
//! from the last piece laid one leaves over nothing but itself, from each piece before it over itself and what is laid
//! later. Every place to stand on a piece must lead off. What is bare only grows that way, so a piece that can come next
//! can come next for good: where none can, no other order would have done, and the answer says which piece has no way.
//! An upper piece is never laid before the lower one that it laps over, unless the crew would be trapped: then the lap
//! is tucked, and the answer says so.

use super::places::StandingPlaces;
use std::cell::RefCell;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// One piece, as far as the order cares.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LayingNode {
    /// Pieces that lie beside it for a good part of its length, or go on where it ends.
    pub laps: Vec<usize>,
    /// Pieces that it meets in a lap too short for that.
    pub meets: Vec<usize>,
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
    /// Pieces without room to stand, behind mat that is wet: each with the piece that is laid just before it, from which
    /// it is reached.
    pub together: Vec<(usize, usize)>,
}

impl Sequence {
    /// How bad it is, the worst first: pieces cut off, pieces left with a squeeze, laps that are tucked.
    pub fn badness(&self) -> (usize, usize, usize) {
        (self.cut_off.len(), self.squeezed.len(), self.tucked.len())
    }
}

/// Finds the order. `narrow` gives the places of one who squeezes by; it is asked for only where nobody can walk.
pub fn sequence(nodes: &[LayingNode], wide: StandingPlaces, narrow: impl FnOnce() -> StandingPlaces) -> Sequence {
    let mut narrow = Some(narrow);
    let mut back = Backwards::new(nodes, wide);
    while !back.left.is_empty() {
        let i = back.follows_its_partner().or_else(|| back.at_ease()).unwrap_or_else(|| {
            if let Some(narrow) = narrow.take() {
                back.look_for_a_squeeze(narrow());
            }
            back.hard_pressed()
        });
        back.take(i);
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
    /// Pieces from the one that is best laid last to the one that is best laid first.
    wished: Vec<usize>,
    /// Where each piece stands in `wished`.
    rank: Vec<usize>,
    /// Ranks of the pieces that are not placed yet.
    left: BTreeSet<usize>,
    /// Of those, the ones that may lead off. What did not is looked at again once something beside it has changed.
    maybe: Maybe,
    /// For each piece, how many that lap over it are not placed yet.
    to_be_laid_over: Vec<usize>,
    /// For each piece, those that it laps over.
    over: Vec<Vec<usize>>,
    /// The piece placed last, and the one that is laid just before it, because the two are laid together.
    partner: Option<(usize, usize)>,
    found: Sequence,
}

/// Ranks of pieces that may lead off.
#[derive(Default)]
struct Maybe {
    /// Everything that laps over them is placed.
    over_laid: BTreeSet<usize>,
    /// Something that laps over them is not.
    waiting: BTreeSet<usize>,
}

impl<'a> Backwards<'a> {
    fn new(nodes: &'a [LayingNode], wide: StandingPlaces) -> Backwards<'a> {
        let mut wished: Vec<usize> = (0..nodes.len()).collect();
        wished.sort_by_key(|&i| (nodes[i].wish, Reverse(i)));
        let mut rank = vec![0; nodes.len()];
        wished.iter().enumerate().for_each(|(at, &i)| rank[i] = at);
        let mut over = vec![Vec::new(); nodes.len()];
        nodes.iter().enumerate().for_each(|(i, n)| n.under.iter().for_each(|&u| over[u].push(i)));
        let mut back = Backwards {
            nodes,
            bare: vec![false; nodes.len()],
            wide: StandingGround::new(wide),
            narrow: None,
            wished,
            rank,
            left: (0..nodes.len()).collect(),
            maybe: Maybe::default(),
            to_be_laid_over: nodes.iter().map(|n| n.under.len()).collect(),
            over,
            partner: None,
            found: Sequence::default(),
        };
        back.wake_all();
        back
    }

    /// The piece that is laid just before the one placed last, which is reached from it.
    fn follows_its_partner(&mut self) -> Option<usize> {
        let (i, partner) = self.partner.take()?;
        self.found.together.push((i, partner));
        match self.leads_off(partner) {
            true if !self.over_laid(partner) => self.found.tucked.push(partner),
            true => {}
            false => self.leaves_hard_pressed(partner),
        }
        Some(partner)
    }

    /// The next piece that nobody is trapped by; a lap is tucked where it must be.
    fn at_ease(&mut self) -> Option<usize> {
        let next = self
            .first_that_leads_off(|m| &mut m.over_laid, Self::tucks_no_partner)
            .or_else(|| self.first_that_leads_off(|m| &mut m.over_laid, |_, _| true));
        if next.is_some() {
            return next;
        }
        let i = self
            .first_that_leads_off(|m| &mut m.waiting, Self::stands)
            .or_else(|| self.first_that_leads_off(|m| &mut m.waiting, |_, _| true))?;
        self.found.tucked.push(i);
        Some(i)
    }

    /// The first piece of a set that leads off; those before it that do not leave the set.
    fn first_that_leads_off(
        &mut self,
        set: fn(&mut Maybe) -> &mut BTreeSet<usize>,
        wanted: impl Fn(&Self, usize) -> bool,
    ) -> Option<usize> {
        let mut from = 0;
        while let Some(&at) = set(&mut self.maybe).range(from..).next() {
            let i = self.wished[at];
            if wanted(self, i) {
                if self.leads_off(i) {
                    return Some(i);
                }
                set(&mut self.maybe).remove(&at);
            }
            from = at + 1;
        }
        None
    }

    /// The same where no piece leads off: one that is left by a squeeze, else one that needs a way of its own.
    fn hard_pressed(&mut self) -> usize {
        let squeezed =
            self.first(|s, i| s.over_laid(i) && s.squeezes_off(i)).or_else(|| self.first(Self::squeezes_off));
        let any = || self.left.first().map_or(0, |&at| self.wished[at]);
        let i = squeezed.or_else(|| self.first(Self::stands)).unwrap_or_else(any);
        self.leaves_hard_pressed(i);
        i
    }

    /// Says how a piece is left that leads off nowhere, and lets whoever stands on it leave.
    fn leaves_hard_pressed(&mut self, i: usize) {
        match (self.stands(i), self.squeezes_off(i)) {
            (true, true) => self.found.squeezed.push(i),
            (true, false) => self.found.cut_off.push(i),
            (false, _) => {}
        }
        if !self.over_laid(i) {
            self.found.tucked.push(i);
        }
        for ground in std::iter::once(&mut self.wide).chain(&mut self.narrow) {
            ground.give_way_off(i);
        }
        self.wake_all();
    }

    fn look_for_a_squeeze(&mut self, narrow: StandingPlaces) {
        let mut ground = StandingGround::new(narrow);
        self.found.cut_off.iter().chain(&self.found.squeezed).for_each(|&i| ground.give_way_off(i));
        let laid_later: Vec<usize> = (0..self.bare.len()).filter(|&i| self.bare[i]).collect();
        ground.grow(&laid_later, &self.bare);
        self.narrow = Some(ground);
    }

    fn first(&self, wanted: impl Fn(&Self, usize) -> bool) -> Option<usize> {
        self.left.iter().map(|&at| self.wished[at]).find(|&i| wanted(self, i))
    }

    fn over_laid(&self, i: usize) -> bool {
        self.to_be_laid_over[i] == 0
    }

    fn stands(&self, i: usize) -> bool {
        self.wide.stands(i)
    }

    /// Whether one gets off from everywhere on a piece. One without room to stand, a mere return up a wall say, is laid
    /// from one beside it that is bare still, or together with one.
    fn leads_off(&self, i: usize) -> bool {
        if self.stands(i) {
            return self.wide.leads_off(i, &[i], &self.bare);
        }
        self.reached_from_bare(i) || self.laid_together_with(i).is_some()
    }

    /// Whether a piece without room to stand lies beside one that is bare still, on which one stands.
    fn reached_from_bare(&self, i: usize) -> bool {
        self.nodes[i].laps.iter().any(|&m| self.bare[m] && self.stands(m))
    }

    /// The piece beside one without room to stand from which it is laid, just after: of those that lead off, one whose
    /// upper neighbours are placed, and of these the one that is best laid last.
    fn laid_together_with(&self, i: usize) -> Option<usize> {
        let leads = |m: usize| !self.bare[m] && self.stands(m) && self.wide.leads_off(m, &[i, m], &self.bare);
        let over_laid = |m: usize| self.nodes[m].under.iter().all(|&u| u == i || self.bare[u]);
        let best = |&m: &usize| (!over_laid(m), self.rank[m]);
        self.nodes[i].laps.iter().copied().filter(|&m| leads(m)).min_by_key(best)
    }

    /// Whether what is laid together with a piece, if anything is, has all that laps over it placed by then.
    fn tucks_no_partner(&self, i: usize) -> bool {
        let over_laid = |m: usize| self.nodes[m].under.iter().all(|&u| u == i || self.bare[u]);
        self.stands(i) || self.reached_from_bare(i) || self.laid_together_with(i).is_none_or(over_laid)
    }

    /// The piece to stand on beside one without room to stand, where none leads off; where none lies well beside it, one
    /// that it meets in a short lap, unless such a one is bare still.
    fn any_beside(&self, i: usize) -> Option<usize> {
        let wet = |m: &usize| !self.bare[*m] && self.stands(*m);
        let best = |m: &usize| self.rank[*m];
        let meets = || self.nodes[i].meets.iter().copied();
        let from_bare = || meets().any(|m| self.bare[m] && self.stands(m));
        let beside = self.nodes[i].laps.iter().copied().filter(wet).min_by_key(best);
        beside.or_else(|| if from_bare() { None } else { meets().filter(wet).min_by_key(best) })
    }

    /// Whether one squeezes off from everywhere on a piece; from one without room to stand, whether one does from any
    /// of it.
    fn squeezes_off(&self, i: usize) -> bool {
        self.narrow.as_ref().is_some_and(|n| match self.stands(i) {
            true => n.leads_off(i, &[i], &self.bare),
            false => !n.newly_joined(&[i], &self.bare).is_empty(),
        })
    }

    fn take(&mut self, i: usize) {
        if !self.stands(i) && !self.reached_from_bare(i) {
            self.partner = self.laid_together_with(i).or_else(|| self.any_beside(i)).map(|m| (i, m));
        }
        self.left.remove(&self.rank[i]);
        self.maybe.over_laid.remove(&self.rank[i]);
        self.maybe.waiting.remove(&self.rank[i]);
        self.bare[i] = true;
        self.over[i].iter().for_each(|&u| self.to_be_laid_over[u] -= 1);
        if let Some(narrow) = &mut self.narrow {
            narrow.grow(&[i], &self.bare);
        }
        let joined = self.wide.grow(&[i], &self.bare);
        match self.wide.has_pocket(i, &self.bare) {
            true => self.wake_all(),
            false => self.wake_around(i, &joined),
        }
        self.found.order.push(i);
    }

    /// After a piece is placed: only those beside it, or beside a place that is joined to the way off since, may lead
    /// off now that did not before. A way over bare deck that is joined to nothing is not among them: see `has_pocket`.
    fn wake_around(&mut self, i: usize, joined: &[usize]) {
        let walk = &self.wide.walk;
        let near = walk.over[i].iter().chain(joined.iter().flat_map(|&p| &walk.places[p].next));
        let mut woken: Vec<usize> = near.flat_map(|&p| walk.places[p].needs.iter().copied()).chain([i]).collect();
        woken.extend(&self.over[i]);
        woken.sort_unstable();
        woken.dedup();
        for m in woken {
            self.wake(m);
            self.nodes[m].laps.iter().for_each(|&l| self.wake(l));
        }
    }

    fn wake_all(&mut self) {
        let left: Vec<usize> = self.left.iter().map(|&at| self.wished[at]).collect();
        left.into_iter().for_each(|i| self.wake(i));
    }

    fn wake(&mut self, i: usize) {
        if self.bare[i] {
            return;
        }
        let at = self.rank[i];
        if self.over_laid(i) {
            self.maybe.waiting.remove(&at);
            self.maybe.over_laid.insert(at);
        } else {
            self.maybe.waiting.insert(at);
        }
    }
}

/// The places to stand, and which of them bare deck joins to the way off.
struct StandingGround {
    walk: StandingPlaces,
    joined: Vec<bool>,
    /// When each place was last seen, by the number of the look round: nothing is wiped between two.
    seen: RefCell<(u32, Vec<u32>)>,
}

impl StandingGround {
    fn new(walk: StandingPlaces) -> StandingGround {
        let places = walk.places.len();
        StandingGround { joined: vec![false; places], walk, seen: RefCell::new((0, vec![0; places])) }
    }

    fn stands(&self, i: usize) -> bool {
        !self.walk.own[i].is_empty()
    }

    /// Whether one gets off from everywhere on piece `i` where `more` is bare as well.
    fn leads_off(&self, i: usize, more: &[usize], bare: &[bool]) -> bool {
        if self.walk.own[i].iter().all(|&p| self.joined[p]) {
            return true;
        }
        let new = self.newly_joined(more, bare);
        self.walk.own[i].iter().all(|&p| self.joined[p] || new.contains(&p))
    }

    /// Whoever stands on piece `i` has a way off from now on.
    fn give_way_off(&mut self, i: usize) {
        for &p in &self.walk.own[i] {
            self.walk.places[p].leaves = true;
        }
    }

    /// Joins what the bare pieces `more` join to the way off; gives it.
    fn grow(&mut self, more: &[usize], bare: &[bool]) -> Vec<usize> {
        let new = self.newly_joined(more, bare);
        new.iter().for_each(|&p| self.joined[p] = true);
        new
    }

    /// Whether there is bare deck on piece `i` from which no bare deck leads off.
    fn has_pocket(&self, i: usize, bare: &[bool]) -> bool {
        let over = self.walk.over[i].iter().filter(|&&p| !self.joined[p]);
        over.copied().any(|p| self.walk.places[p].needs.iter().all(|&n| bare[n]))
    }

    /// The places that are joined to the way off as soon as `more` is bare.
    fn newly_joined(&self, more: &[usize], bare: &[bool]) -> Vec<usize> {
        let places = &self.walk.places;
        let open = |p: usize| !self.joined[p] && places[p].needs.iter().all(|n| bare[*n] || more.contains(n));
        let begins = |p: usize| open(p) && (places[p].leaves || places[p].next.iter().any(|&q| self.joined[q]));
        let (round, seen) = &mut *self.seen.borrow_mut();
        *round += 1;
        let mut unseen = |p: usize| std::mem::replace(&mut seen[p], *round) != *round;
        let over = more.iter().flat_map(|&i| &self.walk.over[i]).copied();
        let mut found: Vec<usize> = over.filter(|&p| begins(p) && unseen(p)).collect();
        let mut done = 0;
        while let Some(&p) = found.get(done) {
            found.extend(places[p].next.iter().filter(|&&q| open(q) && unseen(q)));
            done += 1;
        }
        found
    }
}
