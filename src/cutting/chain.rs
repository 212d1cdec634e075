//! How a group of runs is cut from its lengths, piece by piece.
//!
//! Given the members of a group and the lengths that it may use; gives every piece with its length and where it is
//! cut from. A run of `k` pieces has `k - 1` lengths of its own, and what is left of it goes into a shared length. A
//! rest that is shorter than the shortest piece is made longer by taking from one of the run's own lengths, which then
//! has room for the next run: so the runs of a group hang together like a chain.

use super::instance::Cuttable;

/// A run as the chain sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Member {
    /// All its pieces together, laps included.
    pub total: i64,
    /// How many pieces it needs.
    pub pieces: i64,
    /// How many laps it may have beyond those it needs.
    pub spare_laps: i64,
}

/// The rules of cutting, in millimetres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CutRules {
    pub lap: i64,
    pub shortest: i64,
    pub kerf: i64,
    pub longest_stock: i64,
}

/// The lengths that a group uses beyond the full ones that its runs need anyway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SharedLengths {
    /// How many extra laps, each of which brings another shared length.
    pub extra: i64,
    /// Lengths shorter than the longest that take the place of full ones.
    pub short: Vec<i64>,
}

impl SharedLengths {
    /// How many lengths of their own the runs of a group must have, so that every short length finds a place.
    pub(super) fn own_needed(&self) -> i64 {
        (self.short.len() as i64 - 1 - self.extra).max(0)
    }
}

/// One length as cut: its stock and the pieces `(member, length)`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CutBar {
    pub stock: i64,
    pub pieces: Vec<(usize, i64)>,
}

impl CutBar {
    fn new(stock: i64) -> CutBar {
        CutBar { stock, pieces: Vec::new() }
    }

    /// What can still be cut from it as one piece.
    fn room(&self, kerf: i64) -> i64 {
        let used: i64 = self.pieces.iter().map(|p| p.1 + kerf).sum();
        self.stock - used
    }
}

/// How many arrangements are tried before the question is left open.
const MOST_TRIES: usize = 120;

impl Member {
    /// What is left of the run after full lengths for all pieces but one.
    pub(super) fn rest(&self, rules: &CutRules) -> i64 {
        self.total - (self.pieces - 1) * rules.longest_stock
    }

    /// Whether its rest is too short to be a piece.
    pub(super) fn is_small(&self, rules: &CutRules) -> bool {
        self.pieces > 1 && self.rest(rules) < rules.shortest
    }
}

/// Whether a group can be cut: `No` only where it is certain.
pub(crate) fn can_be_cut(members: &[Member], kind: &SharedLengths, rules: &CutRules) -> Cuttable {
    if is_plain(members, kind, rules) {
        return Cuttable::Yes;
    }
    if kind.extra == 0 && kind.short.is_empty() && is_overfull(members, rules) {
        return Cuttable::No;
    }
    match arrange(members, kind, rules) {
        Some(_) => Cuttable::Yes,
        None => Cuttable::Unknown,
    }
}

/// Every rest goes into one shared length as it is.
fn is_plain(members: &[Member], kind: &SharedLengths, rules: &CutRules) -> bool {
    kind.extra == 0 && kind.short.len() <= 1 && members.iter().all(|m| !m.is_small(rules))
}

/// Of the runs of a group two at least lie at an end of the chain, with one piece in a shared length; where that piece
/// would be too short it must be as long as the shortest, so that at best the longest short rests are made longer.
fn is_overfull(members: &[Member], rules: &CutRules) -> bool {
    let normal = members.iter().filter(|m| !m.is_small(rules)).count();
    let mut small: Vec<i64> = members.iter().filter(|m| m.is_small(rules)).map(|m| m.rest(rules)).collect();
    small.sort_unstable_by(|a, b| b.cmp(a));
    let ends = match members.len() {
        1 => small.len(),
        _ => 2usize.saturating_sub(normal),
    };
    let made_longer: i64 = small.iter().take(ends).map(|r| rules.shortest - r).sum();
    // a lap that is not needed costs its own length, and lets a chain close to a ring that has no ends
    let lost = match members.iter().any(|m| m.spare_laps > 0) {
        true => made_longer.min(rules.lap + rules.kerf),
        false => made_longer,
    };
    let rests: i64 = members.iter().map(|m| m.rest(rules) + rules.kerf).sum();
    rests + lost > rules.longest_stock + rules.kerf
}

/// Cuts a group; `None` when no way was found.
pub(crate) fn arrange(members: &[Member], kind: &SharedLengths, rules: &CutRules) -> Option<Vec<CutBar>> {
    let mut tries = 0;
    for order in orders(members, rules) {
        for places in short_places(members, kind) {
            tries += 1;
            if let Some(bars) = Pour::new(members, kind, rules, &places).and_then(|p| p.run(&order)) {
                return Some(bars);
            }
            if tries >= MOST_TRIES {
                return None;
            }
        }
    }
    None
}

/// Orders to try: a long rest at the start, short rests in the middle, other rests at the end; then others.
fn orders(members: &[Member], rules: &CutRules) -> Vec<Vec<usize>> {
    let mut by_rest: Vec<usize> = (0..members.len()).collect();
    by_rest.sort_by_key(|&m| (-members[m].rest(rules), m));
    let (small, normal): (Vec<usize>, Vec<usize>) = by_rest.iter().partition(|&&m| members[m].is_small(rules));
    let (first, others) = normal.split_at(normal.len().min(1));
    let mut all = vec![[first, &small[..], others].concat()];
    if let [one] = others {
        all.push([&[*one], &small[..], first].concat());
    }
    all.push(by_rest.clone());
    all.push(by_rest.iter().rev().copied().collect());
    if members.len() <= 5 {
        all.extend(permutations(&by_rest));
    } else {
        all.extend((1..members.len()).map(|k| [&by_rest[k..], &by_rest[..k]].concat()));
    }
    all
}

fn permutations(of: &[usize]) -> Vec<Vec<usize>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for k in 0..of.len() {
        let rest: Vec<usize> = of.iter().enumerate().filter(|(i, _)| *i != k).map(|(_, m)| *m).collect();
        all.extend(permutations(&rest).into_iter().map(|mut p| {
            p.insert(0, of[k]);
            p
        }));
    }
    all
}

/// Where each short length goes: a shared length, or one of a member's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ShortPlace {
    Shared(usize),
    Own(usize),
}

/// Every way of giving the short lengths a place, the last shared length first.
fn short_places(members: &[Member], kind: &SharedLengths) -> Vec<Vec<ShortPlace>> {
    let shared = (0..=kind.extra as usize).rev().map(ShortPlace::Shared);
    let own = (0..members.len()).filter(|&m| members[m].pieces > 1).map(ShortPlace::Own);
    let places: Vec<ShortPlace> = shared.chain(own).collect();
    let mut all: Vec<Vec<ShortPlace>> = vec![Vec::new()];
    for _ in &kind.short {
        let longer = |chosen: &Vec<ShortPlace>| {
            let mut next = Vec::new();
            for &place in places.iter().filter(|&&p| has_room(chosen, p, members)) {
                next.push([chosen.as_slice(), &[place]].concat());
            }
            next
        };
        all = all.iter().flat_map(longer).take(MOST_TRIES).collect();
    }
    all
}

fn has_room(chosen: &[ShortPlace], place: ShortPlace, members: &[Member]) -> bool {
    let taken = chosen.iter().filter(|&&c| c == place).count() as i64;
    match place {
        ShortPlace::Shared(_) => taken == 0,
        ShortPlace::Own(m) => taken < members[m].pieces - 1,
    }
}

/// A group being cut.
struct Pour<'a> {
    members: &'a [Member],
    rules: &'a CutRules,
    /// Shared lengths still unopened, the next one last.
    shared: Vec<i64>,
    /// Own lengths of each member.
    own: Vec<Vec<i64>>,
    current: CutBar,
    done: Vec<CutBar>,
}

impl<'a> Pour<'a> {
    fn new(
        members: &'a [Member],
        kind: &SharedLengths,
        rules: &'a CutRules,
        places: &[ShortPlace],
    ) -> Option<Pour<'a>> {
        let mut shared = vec![rules.longest_stock; kind.extra as usize + 1];
        let mut own: Vec<Vec<i64>> =
            members.iter().map(|m| vec![rules.longest_stock; (m.pieces - 1) as usize]).collect();
        let mut given = vec![0; members.len()];
        for (&place, &short) in places.iter().zip(&kind.short) {
            match place {
                ShortPlace::Shared(s) => shared[s] = short,
                ShortPlace::Own(m) => {
                    own[m][given[m]] = short;
                    given[m] += 1;
                }
            }
        }
        shared.reverse();
        let current = CutBar::new(shared.pop()?);
        Some(Pour { members, rules, shared, own, current, done: Vec::new() })
    }

    fn run(mut self, order: &[usize]) -> Option<Vec<CutBar>> {
        for &member in order {
            self.place(member)?;
        }
        self.close(CutBar::new(0));
        self.done.retain(|b| !b.pieces.is_empty());
        Some(self.done)
    }

    fn place(&mut self, member: usize) -> Option<()> {
        let own = std::mem::take(&mut self.own[member]);
        let rest = self.members[member].total - own.iter().sum::<i64>();
        match rest < self.rules.shortest && !own.is_empty() {
            true => self.place_small(member, own, rest),
            false => {
                self.place_own(member, own)?;
                self.place_rest(member, rest)
            }
        }
    }

    fn place_own(&mut self, member: usize, own: Vec<i64>) -> Option<()> {
        for stock in own {
            if stock < self.rules.shortest {
                return None;
            }
            self.done.push(CutBar { stock, pieces: vec![(member, stock)] });
        }
        Some(())
    }

    /// A rest too short to be a piece: one piece from what is left of the shared length, one from the run's own.
    fn place_small(&mut self, member: usize, mut own: Vec<i64>, rest: i64) -> Option<()> {
        let stock = own.pop()?;
        self.place_own(member, own)?;
        let (least, both) = (self.rules.shortest, stock + rest);
        let room = self.current.room(self.rules.kerf);
        let first = match self.current.pieces.is_empty() {
            true => least,
            false => room.min(both - least),
        };
        if first < least || first > room || both - first > stock || both - first < least {
            return None;
        }
        self.current.pieces.push((member, first));
        let next = CutBar { stock, pieces: vec![(member, both - first)] };
        if next.room(self.rules.kerf) > self.current.room(self.rules.kerf) {
            self.close(next);
        } else {
            self.done.push(next);
        }
        Some(())
    }

    /// A rest into the shared length, split by an extra lap where it does not fit and may be split.
    fn place_rest(&mut self, member: usize, mut rest: i64) -> Option<()> {
        let (least, lap) = (self.rules.shortest, self.rules.lap);
        let mut laps = self.members[member].spare_laps;
        loop {
            let room = self.current.room(self.rules.kerf);
            if rest <= room {
                self.current.pieces.push((member, rest));
                return Some(());
            }
            let first = room.min(rest + lap - least);
            if laps > 0 && first >= least {
                self.current.pieces.push((member, first));
                rest += lap - first;
                laps -= 1;
            }
            let stock = self.shared.pop()?;
            self.close(CutBar::new(stock));
        }
    }

    fn close(&mut self, next: CutBar) {
        let full = std::mem::replace(&mut self.current, next);
        self.done.push(full);
    }
}
