//! The firrings, replayed: has every joist, at every place, timber as high as the fall asks for, never less and no more than
//! the rules allow?
//!
//! Given a roof and its firrings; gives the faults found. Joists, heights and what is cut off are worked here anew, in
//! floating point, from the roof's outline alone.

use super::roofs::{self, Dice, Wish, random_roof};
use crate::support::mm;
use rust_decimal::prelude::ToPrimitive;
use wetout::model::shape::JoistRun;
use wetout::model::{Length, Point, Roof, Rules};
use wetout::takeoff::layout::Firring;
use wetout::takeoff::layout::falls::firrings;
use wetout::takeoff::layout::shape::{RoofShape, lay_out};

type Pt = (f64, f64);

fn pt(p: Point) -> Pt {
    (p.x as f64, p.y as f64)
}

fn apart(a: Pt, b: Pt) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Which way is up the fall: square to the edge that the roof falls to, into the roof. The first edge runs along it.
struct Slope {
    up: Pt,
    low: f64,
    run: f64,
}

impl Slope {
    fn of(shape: &RoofShape, roof: &Roof) -> Slope {
        let at = roof.outline.edges.iter().position(|e| e.name == roof.falls_to).unwrap();
        let (a, b) = (pt(roof.outline.corners[at]), pt(roof.outline.end_of(at)));
        let long = apart(a, b);
        let up = (-(b.1 - a.1) / long, (b.0 - a.0) / long);
        let along = |p: Pt| p.0 * up.0 + p.1 * up.1;
        let low = shape.ring().into_iter().map(|p| along(pt(p))).fold(f64::INFINITY, f64::min);
        Slope { up, low, run: roof.fall.known().unwrap().run.to_f64().unwrap() }
    }

    /// How high the roof lies there above its low line, mm.
    fn height(&self, p: Pt) -> f64 {
        (p.0 * self.up.0 + p.1 * self.up.1 - self.low) / self.run
    }
}

/// How deep a firring is at a distance from its high end, where what is too long is cut off at the thin end.
fn depth(f: &Firring, from_high: f64) -> f64 {
    let (low, high) = (f.low_depth.as_mm() as f64, f.high_depth.as_mm() as f64);
    high - (high - low) * from_high / f.length.as_mm().max(1) as f64
}

/// Whether firrings carry the boards there, as high as the fall asks for, each as wide as `wide`.
pub fn carried(shape: &RoofShape, roof: &Roof, laid: &[Firring], p: Pt, wide: f64) -> bool {
    let slope = Slope::of(shape, roof);
    let bears = |f: &Firring| {
        let (a, b) = (pt(f.from), pt(f.to));
        let long = apart(a, b);
        let along = if long > 0.0 { ((p.0 - a.0) * (b.0 - a.0) + (p.1 - a.1) * (b.1 - a.1)) / long } else { 0.0 };
        let high = depth(f, long - along.clamp(0.0, long));
        to_line(p, a, b) <= wide / 2.0 + 1.0 && high >= slope.height(p) - wide / 2.0 / slope.run - 1.0
    };
    laid.iter().any(bears)
}

/// Everything that is wrong with a roof's firrings.
pub fn faults(shape: &RoofShape, roof: &Roof, rules: &Rules, laid: &[Firring], longest: Option<Length>) -> Vec<String> {
    let slope = Slope::of(shape, roof);
    let toe = rules.firring_toe.as_mm() as f64;
    let tapers = laid.iter().any(|f| f.high_depth - f.low_depth > rules.firring_step);
    let lift = laid.iter().map(|f| f.low_depth.as_mm() as f64 - slope.height(pt(f.from))).fold(f64::INFINITY, f64::min);
    let lift = if tapers { lift.max(0.0) } else { 0.0 };
    // What a size may be over: its step, its surplus of length at its own slope, and a millimetre of each rounding.
    let surplus = (rules.firring_group + rules.firring_least).as_mm() as f64;
    let over = |f: &Firring| {
        let rise = (f.high_depth - f.low_depth).as_mm() as f64;
        match f.high_depth - f.low_depth > rules.firring_step {
            true => (rules.firring_step.as_mm() + 3) as f64 + surplus / slope.run + lift,
            // One that is as good as level is as deep as its joist asks: a millimetre of rounding, another of its size.
            false => 2.0 + rise.min(1.0) * (1.0 + surplus / slope.run) + lift,
        }
    };
    let mut found = Vec::new();
    for f in laid {
        let (a, b) = (pt(f.from), pt(f.to));
        let long = apart(a, b);
        if longest.is_some_and(|most| f.length > most) {
            found.push(format!("a firring of {} is longer than what is sold", f.length));
        }
        if f.part.1 == 1 && f.length < rules.firring_least {
            found.push(format!("a firring of {} is shorter than is ordered", f.length));
        }
        if (f.length.as_mm() as f64) < long - 1.0 {
            found.push(format!("a firring of {} lies on {long:.0} mm of joist", f.length));
        }
        if f.low_depth.min(f.high_depth) < rules.firring_toe {
            found.push(format!("a firring of {} to {} is thinner than its toe", f.low_depth, f.high_depth));
        }
        for k in 0..=20 {
            let along = long * f64::from(k) / 20.0;
            let at = (a.0 + (b.0 - a.0) * along / long.max(1.0), a.1 + (b.1 - a.1) * along / long.max(1.0));
            let (has, wants) = (depth(f, long - along), slope.height(at));
            if has < wants - 0.01 {
                found.push(format!("at {at:.0?} there is {has:.2} mm of timber, and the fall asks for {wants:.2}"));
            }
            if has > wants + over(f) {
                found.push(format!("at {at:.0?} there is {has:.2} mm of timber, {:.2} over", has - wants));
            }
        }
    }
    found.extend(bare(shape, roof, &slope, laid, toe));
    found.truncate(5);
    found
}

/// Places of joists inside the roof that have no firring though the fall asks for one.
fn bare(shape: &RoofShape, roof: &Roof, slope: &Slope, laid: &[Firring], toe: f64) -> Vec<String> {
    let along_y = roof.joists.run == JoistRun::FrontToBack;
    let turned = |p: Pt| if along_y { p } else { (p.1, p.0) };
    let ring: Vec<Pt> = shape.ring().into_iter().map(|p| turned(pt(p))).collect();
    let holes: Vec<Vec<Pt>> =
        shape.holes.iter().filter(|h| !h.round).map(|h| h.ring.iter().map(|&p| turned(pt(p))).collect()).collect();
    let origin = turned(pt(roof.outline.corners[0])).0 + roof.joists.first.as_mm() as f64;
    let spacing = roof.joists.spacing.as_mm() as f64;
    let (least, most) = ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.0), b.max(p.0)));
    let mut found = Vec::new();
    let mut k = ((least - origin) / spacing).floor();
    while origin + k * spacing <= most {
        let x = origin + k * spacing;
        k += 1.0;
        let (low, high) = ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.1), b.max(p.1)));
        let mut y = low + 37.0;
        while y < high {
            let p = (x, y);
            y += 61.0;
            // Beside an edge of the roof or of an opening a millimetre decides: those places are not asked.
            let near = |d: f64| {
                inside(&ring, (x - d, p.1))
                    && inside(&ring, (x + d, p.1))
                    && inside(&ring, (x, p.1 - d))
                    && inside(&ring, (x, p.1 + d))
            };
            if !near(4.0) || holes.iter().any(|h| inside(h, p) || near_ring(h, p, 4.0)) {
                continue;
            }
            let on = turned(p);
            // A stump no longer than a joist is thick is none: nothing lies on it.
            let reach = |way: f64| {
                let at = |d: &u32| (x, p.1 + way * f64::from(*d));
                (1..=60).take_while(|d| inside(&ring, at(d)) && !holes.iter().any(|h| inside(h, at(d)))).count()
            };
            if reach(1.0) + reach(-1.0) <= 52 {
                continue;
            }
            let carried = laid.iter().any(|f| to_line(on, pt(f.from), pt(f.to)) < 2.0);
            if !carried && slope.height(on) >= toe {
                found.push(format!("at {on:.0?} the fall asks for {:.1} mm and there is no firring", slope.height(on)));
            }
        }
    }
    found
}

fn inside(ring: &[Pt], p: Pt) -> bool {
    let n = ring.len();
    let crossed = (0..n).filter(|&i| {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        (a.1 <= p.1) != (b.1 <= p.1) && a.0 + (p.1 - a.1) * (b.0 - a.0) / (b.1 - a.1) <= p.0
    });
    crossed.count() % 2 == 1
}

fn near_ring(ring: &[Pt], p: Pt, by: f64) -> bool {
    let n = ring.len();
    (0..n).any(|i| to_line(p, ring[i], ring[(i + 1) % n]) < by)
}

fn to_line(p: Pt, a: Pt, b: Pt) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    let t = if square > 0.0 { (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    apart(p, (a.0 + t * dx, a.1 + t * dy))
}

fn replayed(seed: u64) -> Vec<String> {
    let mut dice = Dice::new(seed);
    let roof = random_roof(&mut dice, Wish { turned: false, clear: 20 });
    let rules = Rules { firring_toe: mm(dice.one_of(&[0, 6, 6, 12])), ..Rules::default() };
    let longest = dice.one_of(&[None, None, Some(mm(4800)), Some(mm(2400))]);
    let shape = lay_out(&roof, 0, &rules).unwrap();
    faults(&shape, &roof, &rules, &firrings(&shape, &roof, &rules, longest), longest)
}

#[test]
fn random_roofs_have_timber_of_the_height_that_their_fall_asks_for_on_every_joist() {
    let count = roofs::count(if cfg!(debug_assertions) { 400 } else { 2000 });
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, replayed), count);
}

/// A sound roof is spoilt in one way at a time, and each way is named.
#[test]
fn the_replay_of_firrings_sees_what_is_spoilt() {
    let roof = crate::support::rectangle(5200, 7400);
    let rules = Rules::default();
    let shape = lay_out(&roof, 0, &rules).unwrap();
    let longest = Some(mm(4800));
    let sound = firrings(&shape, &roof, &rules, longest);
    let see = |spoil: &dyn Fn(&mut Vec<Firring>)| {
        let mut laid = sound.clone();
        spoil(&mut laid);
        faults(&shape, &roof, &rules, &laid, longest).join("; ")
    };
    assert_eq!(see(&|_| ()), "");
    assert_eq!(sound.len(), 28, "14 joists, each of two parts");
    for (words, spoil) in [
        ("there is no firring", (|l| l.truncate(3)) as fn(&mut Vec<Firring>)),
        ("the fall asks for", |l| l[5].high_depth -= mm(12)),
        ("over", |l| l[5].high_depth += mm(40)),
        ("is longer than what is sold", |l| l[0].length = mm(4801)),
        ("thinner than its toe", |l| l[0].low_depth = mm(5)),
        ("of joist", |l| l[0].length = mm(3600)),
    ] {
        assert!(see(&spoil).contains(words), "{words}: {}", see(&spoil));
    }
}
