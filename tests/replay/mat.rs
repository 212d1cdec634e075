//! Mat and bandage, checked on random roofs by geometry of their own: points and half-planes, no booleans.
//!
//! Every point of the surface and its returns lies under each layer; pieces overlap by their laps and no more; the
//! upper lies over the lower; no piece is too long; the crew is never trapped; every board joint is bandaged.

use super::roofs::{self, Dice, Wish, random_roof};
use super::trapped::{self, Said};
use crate::support::{at, mm};
use wetout::cutting::Proof;
use wetout::model::products::MatRoll;
use wetout::model::shape::HoleForm;
use wetout::model::{Length, Point, Products, Rules};
use wetout::takeoff::layout::bandage::lay_bandage;
use wetout::takeoff::layout::mat::lay_mat;
use wetout::takeoff::layout::shape::{RoofShape, lay_out};
use wetout::takeoff::layout::{BandageOver, BandagePiece, DeckJoint, DeckLayout, MatLayout, MatNote, MatPiece};

// ---- The checker's own geometry ----------------------------------------------------------------------------------

type V = (f64, f64);

fn v(p: Point) -> V {
    (p.x as f64, p.y as f64)
}

fn dot(a: V, b: V) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

fn minus(a: V, b: V) -> V {
    (a.0 - b.0, a.1 - b.1)
}

fn plus(a: V, b: V, by: f64) -> V {
    (a.0 + b.0 * by, a.1 + b.1 * by)
}

fn unit(a: V) -> V {
    let l = a.0.hypot(a.1);
    (a.0 / l, a.1 / l)
}

/// Even-odd crossing rule.
fn inside(ring: &[V], p: V) -> bool {
    let mut odd = false;
    for i in 0..ring.len() {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        if (a.1 > p.1) != (b.1 > p.1) && p.0 < a.0 + (p.1 - a.1) / (b.1 - a.1) * (b.0 - a.0) {
            odd = !odd;
        }
    }
    odd
}

/// A side with what is carried over it: start, direction, length, outward direction, return.
struct Border {
    from: V,
    along: V,
    length: f64,
    out: V,
    over: f64,
}

/// What must be covered, as a test on points.
struct Wanted {
    ring: Vec<V>,
    borders: Vec<Border>,
    /// Bare middles of holes: least and most corner.
    bare: Vec<(V, V)>,
    up: V,
    right: V,
    low: f64,
    high: f64,
    left: f64,
    most_right: f64,
    /// How much further it may be carried down, up, left and right.
    give: [f64; 4],
}

impl Wanted {
    fn of(shape: &RoofShape) -> Wanted {
        let ring: Vec<V> = shape.sides.iter().map(|s| v(s.from)).collect();
        let borders: Vec<Border> = shape
            .sides
            .iter()
            .map(|s| {
                let along = unit(minus(v(s.to), v(s.from)));
                let length = dot(minus(v(s.to), v(s.from)), along);
                let over = s.carried.as_mm() as f64;
                Border { from: v(s.from), along, length, out: (along.1, -along.0), over }
            })
            .collect();
        let bare = shape.holes.iter().filter_map(|h| bare_middle(&h.form, h.carried)).collect();
        let up = (shape.uphill.x, shape.uphill.y);
        let right = (up.1, -up.0);
        let reach = |way: V| reach(&borders, way);
        let [down, above, left, most_right] = [(-up.0, -up.1), up, (-right.0, -right.1), right].map(reach);
        let give = [down, above, left, most_right].map(|(least, most)| most - least);
        let (low, high, left, most_right) = (-down.0, above.0, -left.0, most_right.0);
        Wanted { ring, borders, bare, up, right, low, high, left, most_right, give }
    }

    fn holds(&self, p: V) -> bool {
        let (a, c) = (dot(p, self.right), dot(p, self.up));
        let framed = (self.left..=self.most_right).contains(&a) && (self.low..=self.high).contains(&c);
        let over = |b: &Border| {
            let d = minus(p, b.from);
            (0.0..=b.length).contains(&dot(d, b.along)) && (0.0..=b.over).contains(&dot(d, b.out))
        };
        let bare = self.bare.iter().any(|(l, m)| p.0 > l.0 && p.0 < m.0 && p.1 > l.1 && p.1 < m.1);
        framed && !bare && (inside(&self.ring, p) || self.borders.iter().any(over))
    }

    /// Whether the point and all within `r` of it must be covered.
    fn holds_well(&self, p: V, r: f64) -> bool {
        [(0.0, 0.0), (r, 0.0), (-r, 0.0), (0.0, r), (0.0, -r)].iter().all(|d| self.holds((p.0 + d.0, p.1 + d.1)))
    }
}

fn bare_middle(form: &HoleForm, over: Length) -> Option<(V, V)> {
    let HoleForm::Box { at: p, width, depth } = form else { return None };
    let r = over.as_mm() as f64;
    let (x, y) = v(*p);
    let (w, d) = (width.as_mm() as f64, depth.as_mm() as f64);
    (w > 2.0 * r && d > 2.0 * r).then_some(((x + r, y + r), (x + w - r, y + d - r)))
}

/// How far the mat is carried in a direction, at the least and at the most: past every side that faces it by its return;
/// past a lone corner by what the returns of its two sides reach. A side lies across where it is less than a hundredth
/// of its length askew; of one so nearly askew that rounding decides, either may be. A side that lies back from the
/// furthest line by no more than that may be reached past from where it lies, or from that line.
fn reach(borders: &[Border], way: V) -> (f64, f64) {
    let end = |b: &Border| plus(b.from, b.along, b.length);
    let ends = |b: &Border| [dot(b.from, way), dot(end(b), way)];
    let (low, high) = (|b: &Border| ends(b)[0].min(ends(b)[1]), |b: &Border| ends(b)[0].max(ends(b)[1]));
    let most = borders.iter().map(high).fold(f64::MIN, f64::max);
    let past = |give: f64, lined_up: bool| {
        let askew = |b: &Border| (b.length / 100.0).max(2.0) + give;
        let on = |b: &&Border| most - low(b) <= askew(b);
        let across = borders.iter().filter(|b| dot(b.out, way) > 0.0 && high(b) - low(b) <= askew(b));
        let reached = across.map(|b| if lined_up && on(&b) { most } else { high(b) } + b.over).fold(most, f64::max);
        if borders.iter().any(|b| on(&b)) { reached } else { reached.max(past_corner(borders, way, most)) }
    };
    let all = [(-SLACK, false), (-SLACK, true), (SLACK, false), (SLACK, true)].map(|(give, up)| past(give, up));
    (all.into_iter().fold(f64::MAX, f64::min), all.into_iter().fold(f64::MIN, f64::max))
}

fn past_corner(borders: &[Border], way: V, most: f64) -> f64 {
    let end = |b: &Border| plus(b.from, b.along, b.length);
    let tips = borders.iter().flat_map(|b| {
        let touching = dot(b.from, way).max(dot(end(b), way)) > most - 1.5;
        let by = if touching { b.over } else { 0.0 };
        [dot(plus(b.from, b.out, by), way), dot(plus(end(b), b.out, by), way)]
    });
    tips.fold(most, f64::max)
}

/// A piece of mat as a rectangle: its corner, its two directions and sizes.
struct Laid<'a> {
    piece: &'a MatPiece,
    from: V,
    along: V,
    across: V,
    length: f64,
    width: f64,
}

impl<'a> Laid<'a> {
    fn of(piece: &'a MatPiece, frame: (V, V)) -> Laid<'a> {
        let corners: Vec<V> = piece.ring.iter().map(|&p| v(p)).collect();
        let (along, across) = frame;
        Laid {
            piece,
            from: corners[0],
            along,
            across,
            length: piece.length.as_mm() as f64,
            width: piece.width.as_mm() as f64,
        }
    }

    fn holds(&self, p: V, slack: f64) -> bool {
        let d = minus(p, self.from);
        let (a, c) = (dot(d, self.along), dot(d, self.across));
        a >= -slack && a <= self.length + slack && c >= -slack && c <= self.width + slack
    }

    /// Overlap with another piece, along and across.
    fn overlap(&self, o: &Laid) -> (f64, f64) {
        let d = minus(o.from, self.from);
        let (a, c) = (dot(d, self.along), dot(d, self.across));
        (self.length.min(a + o.length) - a.max(0.0), self.width.min(c + o.width) - c.max(0.0))
    }
}

// ---- The checks --------------------------------------------------------------------------------------------------

/// Rounding to whole millimetres moves a skew corner by less than this.
const SLACK: f64 = 2.0;
/// Where two pieces share no more than this they do not lap, whichever lies on top, mm: no water is led by it.
const WATER: f64 = 10.0;

struct Check<'a> {
    shape: &'a RoofShape,
    rules: &'a Rules,
    wanted: Wanted,
    up_the_fall: bool,
    layout: &'a MatLayout,
}

/// Every fault of a layout, in words; none when it is sound.
pub fn faults(shape: &RoofShape, layout: &MatLayout, rules: &Rules, seed: u64) -> Vec<String> {
    let wanted = Wanted::of(shape);
    let first = &layout.pieces[0].ring;
    let across = minus(v(first[3]), v(first[0]));
    let up_the_fall = dot(across, wanted.up).abs() < dot(across, wanted.right).abs();
    let frame = if up_the_fall { (wanted.up, wanted.right) } else { (wanted.right, wanted.up) };
    let check = Check { shape, rules, wanted, up_the_fall, layout };
    let layers = layout.pieces.iter().map(|p| p.layer).max().unwrap_or(0) + 1;
    let mut found = check.order_numbers();
    for layer in 0..layers {
        let laid: Vec<Laid> = layout.pieces.iter().filter(|p| p.layer == layer).map(|p| Laid::of(p, frame)).collect();
        found.extend(check.covered(&laid, &mut Dice(seed)));
        found.extend(check.lapped(&laid));
        found.extend(check.laps_kept(&laid, &mut Dice(seed ^ 77)));
        found.extend(check.never_traps(&laid));
        found.extend(check.slivers(&laid));
        found.extend(check.net_areas(&laid, &mut Dice(seed ^ 99)));
        if layer == 0 {
            found.extend(check.strip_count(&laid));
        }
    }
    found
}

impl Check<'_> {
    fn order_numbers(&self) -> Vec<String> {
        let right = self.layout.pieces.iter().enumerate().all(|(i, p)| p.order == i + 1);
        let mut marks: Vec<&str> = self.layout.pieces.iter().map(|p| p.mark.as_str()).collect();
        marks.sort_unstable();
        marks.dedup();
        let mut found = Vec::new();
        if !right {
            found.push("orders do not count from 1".to_string());
        }
        if marks.len() != self.layout.pieces.len() {
            found.push("two pieces carry one mark".to_string());
        }
        let area: i64 = self.layout.pieces.iter().map(|p| p.length.as_mm() * p.width.as_mm()).sum();
        if self.layout.roll.as_mm() * 1000 < area {
            found.push("less roll than mat".to_string());
        }
        found
    }

    /// Every point that must be covered is.
    fn covered(&self, laid: &[Laid], dice: &mut Dice) -> Vec<String> {
        let mut points: Vec<V> = Vec::new();
        let w = &self.wanted;
        for _ in 0..100 {
            let (a, c) = (dice.between(w.left, w.most_right), dice.between(w.low, w.high));
            points.push(plus(plus((0.0, 0.0), w.right, a), w.up, c));
        }
        for b in &w.borders {
            for _ in 0..4 {
                let on = plus(b.from, b.along, dice.between(0.0, b.length));
                points.push(plus(on, b.out, b.over - SLACK - 1.0));
                points.push(plus(on, b.out, dice.between(-50.0, b.over.max(0.1))));
            }
        }
        for h in &self.shape.holes {
            for _ in 0..8 {
                let c = v(h.ring[dice.below(h.ring.len())]);
                points.push((c.0 + dice.between(-200.0, 200.0), c.1 + dice.between(-200.0, 200.0)));
            }
        }
        points.retain(|&p| w.holds_well(p, SLACK));
        let bare = points.into_iter().filter(|&p| !laid.iter().any(|l| l.holds(p, 0.0)));
        bare.take(1).map(|p| format!("bare at {p:?}")).collect()
    }

    /// Pieces overlap by their laps and no more; none is too long or too wide; upper over lower.
    fn lapped(&self, laid: &[Laid]) -> Vec<String> {
        let (side, end) = (self.rules.mat_lap.as_mm() as f64, self.rules.mat_end_lap.as_mm() as f64);
        let mut found = Vec::new();
        for (i, a) in laid.iter().enumerate() {
            if a.piece.length > self.rules.mat_longest || a.piece.width > mm(1000) {
                found.push(format!("{} is too large", a.piece.mark));
            }
            for b in &laid[i + 1..] {
                let (along, across) = a.overlap(b);
                if along < SLACK || across < SLACK {
                    continue;
                }
                let same = a.piece.strip == b.piece.strip;
                let next = a.piece.strip.abs_diff(b.piece.strip) == 1;
                if !(same && along <= end + SLACK || next && across <= side + SLACK) {
                    found.push(format!("{} and {} overlap by {along:.0} × {across:.0}", a.piece.mark, b.piece.mark));
                }
                if along.min(across) > WATER {
                    found.extend(self.wrong_way_up(a, b));
                }
            }
        }
        found
    }

    /// The later piece lies over the earlier one: a lap that runs across the fall must have the upper piece later,
    /// unless the lower is said to be tucked under.
    fn wrong_way_up(&self, a: &Laid, b: &Laid) -> Option<String> {
        let across_the_fall = (a.piece.strip != b.piece.strip) != self.up_the_fall;
        let height =
            |l: &Laid| dot(plus(plus(l.from, l.along, l.length / 2.0), l.across, l.width / 2.0), self.wanted.up);
        let (upper, lower) = if height(a) > height(b) { (a.piece, b.piece) } else { (b.piece, a.piece) };
        let tucked = self.layout.notes.contains(&MatNote::Tucked { mark: lower.mark.clone() });
        (across_the_fall && upper.order < lower.order && !tucked && self.meet_on_roof(a, b))
            .then(|| format!("{} is laid over {}, which lies above it", lower.mark, upper.mark))
    }

    /// Whether two rectangles overlap on the roof itself, and not only in what is cut away.
    fn meet_on_roof(&self, a: &Laid, b: &Laid) -> bool {
        let mut dice = Dice(5);
        let points = (0..200)
            .map(|_| plus(plus(a.from, a.along, dice.between(0.0, a.length)), a.across, dice.between(0.0, a.width)));
        points.filter(|&p| b.holds(p, 0.0)).any(|p| self.wanted.holds_well(p, SLACK))
    }

    /// Where the roof goes on past a piece's edge, another piece overlaps it by the lap.
    fn laps_kept(&self, laid: &[Laid], dice: &mut Dice) -> Vec<String> {
        let mut found = Vec::new();
        for l in laid {
            for _ in 0..6 {
                let (a, c) = (dice.between(0.0, l.length), dice.between(0.0, l.width));
                let end = self.rules.mat_end_lap.as_mm() as f64 - SLACK;
                let side = self.rules.mat_lap.as_mm() as f64 - SLACK;
                let spot = |a: f64, c: f64| plus(plus(l.from, l.along, a), l.across, c);
                for (beyond, within) in [
                    (spot(l.length + 4.0, c), spot(l.length - end, c)),
                    (spot(-4.0, c), spot(end, c)),
                    (spot(a, l.width + 4.0), spot(a, l.width - side)),
                    (spot(a, -4.0), spot(a, side)),
                ] {
                    let goes_on = self.wanted.holds_well(beyond, SLACK) && self.wanted.holds_well(within, SLACK);
                    // The line between must not leave the roof (round a court's corner).
                    let middle = plus(within, minus(beyond, within), 0.5);
                    let goes_on = goes_on && self.wanted.holds_well(middle, SLACK);
                    if goes_on && laid.iter().filter(|o| o.holds(within, 0.5)).count() < 2 {
                        found.push(format!("{} is not lapped at {within:?}", l.piece.mark));
                    }
                }
            }
        }
        found
    }

    /// No piece of several is a sliver, nor an end of a joined strip too short, unless the layout says so; on a plain
    /// rectangle there is always a way without, but where the rule asks for wider strips than the usual.
    fn slivers(&self, laid: &[Laid]) -> Vec<String> {
        let least = self.rules.mat_narrowest.as_mm() as f64;
        let usual = Rules::default().mat_narrowest.as_mm() as f64;
        let strips = laid.iter().map(|l| l.piece.strip).max().unwrap_or(0) + 1;
        let told = |l: &Laid| {
            let named = |note: &MatNote| match note {
                MatNote::Narrow { marks, .. } => marks.contains(&l.piece.mark),
                _ => false,
            };
            self.layout.notes.iter().any(named)
        };
        let plain = self.shape.holes.is_empty() && self.wanted.borders.len() == 4 && {
            let square =
                |b: &Border| dot(b.along, self.wanted.up).abs() < 1e-9 || dot(b.along, self.wanted.right).abs() < 1e-9;
            self.wanted.borders.iter().all(square)
        };
        let mut found = Vec::new();
        for l in laid.iter().filter(|l| strips > 1 && l.width < least) {
            if plain && least <= usual || !told(l) {
                found.push(format!("{} is {:.0} wide", l.piece.mark, l.width));
            }
        }
        for (i, a) in laid.iter().enumerate() {
            let joined = |b: &Laid| b.piece.strip == a.piece.strip && a.overlap(b).0 > SLACK && a.overlap(b).1 > SLACK;
            let short = a.length + SLACK < self.rules.mat_shortest.as_mm() as f64;
            if short && laid.iter().enumerate().any(|(j, b)| j != i && joined(b)) {
                found.push(format!("{} is an end piece {:.0} long", a.piece.mark, a.length));
            }
        }
        found
    }

    /// What is said to be laid of the pieces is as much as lies under points, one by chance in each cell of a grid, to 1 %;
    /// where a coarse grid doubts it, by a fine one.
    fn net_areas(&self, laid: &[Laid], dice: &mut Dice) -> Vec<String> {
        let doubted = self.net_areas_by(24, laid, dice);
        if doubted.is_empty() { doubted } else { self.net_areas_by(150, laid, dice) }
    }

    fn net_areas_by(&self, fine: i32, laid: &[Laid], dice: &mut Dice) -> Vec<String> {
        let mut part = |l: &Laid| {
            let mut at = |i: i32, size: f64| (f64::from(i) + dice.between(0.0, 1.0)) / f64::from(fine) * size;
            let cells = (0..fine).flat_map(|i| (0..fine).map(move |j| (i, j)));
            let spots = cells.map(|(i, j)| plus(plus(l.from, l.along, at(i, l.length)), l.across, at(j, l.width)));
            let on = spots.filter(|&p| self.wanted.holds(p)).count();
            on as f64 / f64::from(fine * fine) * l.length * l.width
        };
        let (said, counted, whole) = laid.iter().fold((0.0, 0.0, 0.0), |(s, c, w), l| {
            (s + l.piece.net.as_mm2() as f64, c + part(l), w + l.length * l.width)
        });
        let off = (said - counted).abs() > 0.01 * whole + 2e4;
        if off { vec![format!("{said:.0} mm² are said to be laid, and {counted:.0} are")] } else { Vec::new() }
    }

    /// ⌈(W − lap) ÷ (roll − lap)⌉ in the first layer, to the millimetre that rounding may cost on a skew roof.
    fn strip_count(&self, laid: &[Laid]) -> Vec<String> {
        let w = &self.wanted;
        let [down, above, left, right] = w.give;
        let (width, give) =
            if self.up_the_fall { (w.most_right - w.left, left + right) } else { (w.high - w.low, down + above) };
        let (lap, step) = (self.rules.mat_lap.as_mm() as f64, 1000.0 - self.rules.mat_lap.as_mm() as f64);
        let count = |width: f64| ((width - lap) / step).ceil().max(1.0) as usize;
        let counted = laid.iter().map(|l| l.piece.strip + 1).max().unwrap_or(0);
        let right = counted >= count(width - SLACK) && counted <= count(width + give + SLACK);
        if right { Vec::new() } else { vec![format!("{counted} strips over {width:.0}")] }
    }

    /// Nobody is trapped, and where the layout says that the way is narrow or missing, it is.
    fn never_traps(&self, laid: &[Laid]) -> Vec<String> {
        let w = &self.wanted;
        let place = |p: V| (dot(p, w.right), dot(p, w.up));
        let piece = |l: &Laid| {
            let (a, b) = (place(l.from), place(plus(plus(l.from, l.along, l.length), l.across, l.width)));
            trapped::Piece {
                mark: l.piece.mark.clone(),
                order: l.piece.order,
                least: (a.0.min(b.0), a.1.min(b.1)),
                most: (a.0.max(b.0), a.1.max(b.1)),
                said: self.said(&l.piece.mark),
                together: l.piece.together.clone().filter(|with| self.told_together(&l.piece.mark, with)),
            }
        };
        trapped::faults(&trapped::Site::of(self.shape), &laid.iter().map(piece).collect::<Vec<_>>())
    }

    fn told_together(&self, mark: &str, with: &str) -> bool {
        self.layout.notes.contains(&MatNote::Together { mark: mark.to_owned(), with: with.to_owned() })
    }

    fn said(&self, mark: &str) -> Said {
        let told = |is: fn(&MatNote) -> Option<&String>| self.layout.notes.iter().filter_map(is).any(|m| m == mark);
        match (told(squeezed), told(cut_off)) {
            (_, true) => Said::CutOff,
            (true, _) => Said::Squeezed,
            _ => Said::Nothing,
        }
    }
}

/// The mark of a piece that is said to be left by a squeeze.
fn squeezed(note: &MatNote) -> Option<&String> {
    if let MatNote::Squeezed { mark } = note { Some(mark) } else { None }
}

/// The mark of a piece that is said to be cut off.
fn cut_off(note: &MatNote) -> Option<&String> {
    if let MatNote::CutOff { mark, .. } = note { Some(mark) } else { None }
}

/// Board joints without bandage over them, in words.
pub fn bare_joints(deck: &DeckLayout, pieces: &[BandagePiece], rules: &Rules) -> Vec<String> {
    let over: Vec<&BandagePiece> = pieces.iter().filter(|p| p.covers == BandageOver::BoardJoint).collect();
    let covered = |p: V| {
        over.iter().any(|b| {
            let along = unit(minus(v(b.to), v(b.from)));
            let (d, length) = (minus(p, v(b.from)), dot(minus(v(b.to), v(b.from)), along));
            let beside = dot(d, (along.1, -along.0)).abs();
            (-SLACK..=length + SLACK).contains(&dot(d, along)) && beside <= SLACK
        })
    };
    let mut found = Vec::new();
    for j in &deck.joints {
        let spots = (0..=8).map(|k| plus(v(j.from), minus(v(j.to), v(j.from)), f64::from(k) / 8.0));
        found.extend(spots.filter(|&p| !covered(p)).take(1).map(|p| format!("board joint bare at {p:?}")));
    }
    for p in &over {
        let length = minus(v(p.to), v(p.from));
        let drawn = length.0.hypot(length.1);
        if p.width != rules.bandage_joint || (drawn - p.length.as_mm() as f64).abs() > SLACK {
            found.push(format!("a bandage of {} is drawn {drawn:.0} long", p.length));
        }
    }
    found
}

// ---- Random roofs ------------------------------------------------------------------------------------------------

/// A deck by hand: rows 590 mm apart across the plan, end joints every 2400 mm, staggered; clipped to the outline by
/// halving, which is not how the layout does it.
fn deck(shape: &RoofShape) -> DeckLayout {
    let ring: Vec<V> = shape.sides.iter().map(|s| v(s.from)).collect();
    let (lx, ly) = ring.iter().fold((f64::MAX, f64::MAX), |m, p| (m.0.min(p.0), m.1.min(p.1)));
    let (mx, my) = ring.iter().fold((f64::MIN, f64::MIN), |m, p| (m.0.max(p.0), m.1.max(p.1)));
    let on = |p: V| {
        inside(&ring, p) && !shape.holes.iter().any(|h| inside(&h.ring.iter().map(|&q| v(q)).collect::<Vec<_>>(), p))
    };
    let mut joints = Vec::new();
    let mut row = ly + 590.0;
    let mut k = 0;
    while row < my {
        let mut x = lx + 5.0;
        while x < mx {
            let start = x;
            while x < mx && on((x, row)) {
                x += 200.0;
            }
            if x - start >= 400.0 {
                let (from, to) = (at(start as i64, row as i64), at(x as i64 - 200, row as i64));
                joints.push(DeckJoint { from, to, end_joint: false });
            }
            x += 200.0;
        }
        let mut x = lx + 1200.0 * f64::from(1 + k % 2);
        while x < mx {
            if on((x, row)) && on((x, row - 300.0)) && on((x, row - 590.0)) {
                let (from, to) = (at(x as i64, (row - 590.0) as i64), at(x as i64, row as i64));
                joints.push(DeckJoint { from, to, end_joint: true });
            }
            x += 2400.0;
        }
        row += 590.0;
        k += 1;
    }
    DeckLayout {
        board: "osb3-18".into(),
        pieces: Vec::new(),
        joints,
        noggins: Vec::new(),
        blocks: 0,
        noggin: Length::mm(47),
        boards: 0,
        cuts: 0,
        fixings: 0,
        edge_fixings: 0,
        old_deck_fixings: 0,
        joists: Vec::new(),
        proof: Proof { found: 0, bound: 0, reason: String::new() },
        along_x: true,
    }
}

pub fn roll_1000() -> MatRoll {
    MatRoll { weight: 450, width: mm(1000), rolls: Vec::new() }
}

/// Lays one random roof and gives every fault found.
pub fn replay(seed: u64) -> Vec<String> {
    let roof = random_roof(&mut Dice::new(seed), Wish { turned: true, clear: 500 });
    let rules = Rules::default();
    let shape = lay_out(&roof, 0, &rules).unwrap();
    let deck = deck(&shape);
    let (layout, problems) = lay_mat(&shape, &roof, Some(&deck), &rules, &roll_1000()).unwrap();
    let bandage = lay_bandage(&shape, Some(&deck), &[], &[], &rules, &Products::default());
    let mut found = faults(&shape, &layout, &rules, seed);
    // A crew that cannot get off is told to the installer before he starts, and to the men on the roof.
    let cut_off = layout.notes.iter().filter_map(cut_off).count();
    if problems.len() != cut_off.min(1) {
        found.push(format!("{cut_off} pieces are said to be cut off, and {} warnings given", problems.len()));
    }
    found.extend(
        problems.iter().filter(|p| !p.fault.contains("cannot be left over bare deck")).map(ToString::to_string),
    );
    found.extend(bare_joints(&deck, &bandage, &rules));
    found
}

/// Two thousand; `WETOUT_ROOFS=100000` asks for more.
#[test]
fn random_roofs_are_covered_lapped_and_never_trap_the_crew() {
    let count = roofs::count(2000);
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, replay), count);
}

/// Roofs on which a hole or a court narrows a piece, or bare deck runs out, so that the order is hard to find.
#[test]
fn roofs_that_are_hard_to_leave_are_laid_in_order_or_said_to_be() {
    for seed in [28, 551, 725, 894, 965, 986, 1302, 1396, 1649, 4114, 9627, 10_616, 17_084] {
        assert_eq!(replay(seed), Vec::<String>::new(), "seed {seed}");
    }
}

/// A layout that cries wolf is as wrong as one that keeps silent.
#[test]
fn the_checker_sees_a_note_without_need_and_a_missing_one() {
    let rules = Rules { fillet_over: Length::ZERO, ..Rules::default() };
    let lay = |seed: u64| {
        let roof = random_roof(&mut Dice::new(seed), Wish { turned: true, clear: 500 });
        let shape = lay_out(&roof, 0, &rules).unwrap();
        let (layout, _) = lay_mat(&shape, &roof, None, &rules, &roll_1000()).unwrap();
        (shape, layout)
    };
    let roof = crate::support::rectangle(5200, 3400);
    let shape = lay_out(&roof, 0, &rules).unwrap();
    let (mut sound, _) = lay_mat(&shape, &roof, None, &rules, &roll_1000()).unwrap();
    let mark = "2".to_owned();
    let needless = [MatNote::Squeezed { mark: mark.clone() }, MatNote::CutOff { mark, way_off: "back".to_owned() }];
    for note in needless {
        sound.notes.push(note);
        let found = faults(&shape, &sound, &rules, 1).join("; ");
        assert!(found.contains("2 is said to be hard to leave, though"), "{found}");
        sound.notes.pop();
    }
    // Seed 30 must be squeezed off, seed 1302 has a piece that nobody gets off.
    type Told = fn(&MatNote) -> Option<&String>;
    let hard: [(u64, Told); 2] = [(30, squeezed), (1302, cut_off)];
    for (seed, told) in hard {
        let (shape, mut layout) = lay(seed);
        assert_eq!(faults(&shape, &layout, &rules, seed), Vec::<String>::new());
        assert!(layout.notes.iter().any(|n| told(n).is_some()), "{:?}", layout.notes);
        layout.notes.retain(|n| told(n).is_none());
        assert!(faults(&shape, &layout, &rules, seed).join("; ").contains("traps the crew"));
    }
    let (shape, mut layout) = lay(1302);
    for note in &mut layout.notes {
        if let Some(mark) = cut_off(note).cloned() {
            *note = MatNote::Squeezed { mark };
        }
    }
    assert!(faults(&shape, &layout, &rules, 1).join("; ").contains("though it is said to be left by a squeeze"));
}

/// Points about which something is broken on purpose: the checker must see each.
#[test]
fn the_checker_sees_a_missing_strip_a_lost_lap_a_long_piece_and_a_trapped_crew() {
    let roof = wetout::model::Roof { way_off: Some("back".into()), ..crate::support::rectangle(5200, 3400) };
    let rules = Rules::default();
    let shape = lay_out(&roof, 0, &rules).unwrap();
    let (sound, _) = lay_mat(&shape, &roof, None, &rules, &roll_1000()).unwrap();
    assert_eq!(faults(&shape, &sound, &rules, 1), Vec::<String>::new());
    type Break = fn(&mut MatLayout);
    let breaking: [(&str, Break); 4] = [
        ("bare at", |m| drop(m.pieces.remove(1))),
        ("is not lapped", |m| m.pieces[2].ring.iter_mut().for_each(|p| p.y += 40)),
        ("is too large", |m| m.pieces[0].length = mm(6100)),
        ("traps the crew", |m| {
            let last = m.pieces.len() - 1;
            m.pieces.swap(0, last);
            m.pieces.iter_mut().enumerate().for_each(|(i, p)| p.order = i + 1);
        }),
    ];
    for (words, break_it) in breaking {
        let mut broken = sound.clone();
        break_it(&mut broken);
        let found = faults(&shape, &broken, &rules, 1).join("; ");
        assert!(found.contains(words), "{words}: {found}");
    }
}

#[test]
fn the_checker_sees_a_strip_behind_wet_mat_a_sliver_a_scrap_and_a_wrong_area() {
    let lay = |(width, depth): (i64, i64), rules: &Rules| {
        let roof = crate::support::rectangle(width, depth);
        let shape = lay_out(&roof, 0, rules).unwrap();
        let (layout, _) = lay_mat(&shape, &roof, None, rules, &roll_1000()).unwrap();
        (shape, layout)
    };
    let rules = Rules::default();
    let told = |shape: &RoofShape, layout: &MatLayout| faults(shape, layout, &rules, 1).join("; ");
    let (shape, sound) = lay((5200, 2150), &rules);
    assert_eq!(told(&shape, &sound), "");
    let mut silent = sound.clone();
    silent.notes.retain(|n| !matches!(n, MatNote::Together { mark, .. } if mark == "3"));
    assert!(told(&shape, &silent).contains("3 lies behind wet mat"), "{}", told(&shape, &silent));
    let mut needless = sound.clone();
    needless.pieces[1].together = Some("1".into());
    needless.notes.push(MatNote::Together { mark: "2".into(), with: "1".into() });
    assert!(told(&shape, &needless).contains("2 has room to stand"), "{}", told(&shape, &needless));
    let mut gross = sound;
    gross.pieces[0].net = gross.pieces[0].net + gross.pieces[1].net;
    assert!(told(&shape, &gross).contains("are said to be laid"), "{}", told(&shape, &gross));
    let (shape, sliver) = lay((5200, 2860), &Rules { mat_narrowest: mm(50), ..Rules::default() });
    assert!(told(&shape, &sliver).contains("4 is 110 wide"), "{}", told(&shape, &sliver));
    let (shape, scrap) = lay((6000, 1800), &Rules { mat_shortest: mm(100), ..Rules::default() });
    assert!(told(&shape, &scrap).contains("is an end piece"), "{}", told(&shape, &scrap));
}
