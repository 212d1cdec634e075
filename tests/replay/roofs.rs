//! Random roofs from a seed, for the deck, the mat and whole jobs alike: rectangles, crooked ones, L, U, T, crosses and
//! bays, tiny and huge, with holes of all kinds and any finish on every edge but the low one.

use crate::support::{self, at, mm, roof, setting};
use wetout::geometry::region::Region;
use wetout::model::shape::JoistRun;
use wetout::model::{Finish, Hole, HoleForm, Outline, Point, Roof, Rules};
use wetout::takeoff::layout::shape::{HoleShape, lay_out};

/// xorshift64* (Vigna 2016), so that a seed gives the same roofs everywhere.
#[derive(Clone)]
pub struct Dice(pub u64);

impl Dice {
    /// The dice of the seed's roof: neighbouring seeds start far apart.
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// From 0 to less than `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() >> 33) as usize % n
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (self.next() >> 11) as f64 / (1u64 << 53) as f64 * (high - low)
    }

    /// From `low` to `high`, both included.
    pub fn size(&mut self, low: i64, high: i64) -> i64 {
        low + self.below((high - low) as usize + 1) as i64
    }

    pub fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}

/// What is wanted of a random roof.
#[derive(Clone, Copy)]
pub struct Wish {
    /// Turned on the plan by any angle; else its low edge lies along x.
    pub turned: bool,
    /// Holes other than pipes keep so far off the edges and one another: 500 mm leaves the crew a way past.
    pub clear: i64,
}

const FINISHES: [Finish; 4] = [Finish::Raised, Finish::Wall, Finish::Drip, Finish::Step];

const NAMES: [&str; 12] = ["low", "e1", "e2", "e3", "e4", "e5", "e6", "e7", "e8", "e9", "e10", "e11"];

/// An outline with its low edge first, along y = 0.
fn outline(dice: &mut Dice) -> Vec<(i64, i64)> {
    let scale = [1, 1, 1, 1, 1, 1, 1, 2, 2, 6][dice.below(10)];
    let (w, d) = (dice.size(600, 9000) * scale, dice.size(500, 6000) * scale);
    let (x1, x2) = (w * 3 / 10, w * 7 / 10);
    let (y1, y2) = (d * 4 / 10, d * 6 / 10);
    match dice.below(11) {
        0 | 1 => vec![(0, 0), (w, 0), (w, d), (0, d)],
        2 => vec![(0, 0), (w, 0), (w + dice.size(-80, 80), d), (dice.size(-80, 80), d + dice.size(-60, 60))],
        3 => vec![(0, 0), (w, 0), (w, y1), (x1, y1), (x1, d), (0, d)],
        4 => vec![(0, 0), (x2, 0), (x2, y1), (w, y1), (w, d), (0, d)],
        5 => vec![(0, 0), (w, 0), (w, d), (x2, d), (x2, y1), (x1, y1), (x1, d), (0, d)],
        6 => vec![(0, 0), (x1, 0), (x1, y2), (x2, y2), (x2, 0), (w, 0), (w, d), (0, d)],
        7 => {
            let bay = (w / 4).min(d / 2);
            vec![(bay, 0), (w - bay, 0), (w, bay), (w, d), (0, d), (0, bay)]
        }
        8 => vec![(0, 0), (w, 0), (w, y1), (x2, y1), (x2, d), (x1, d), (x1, y1), (0, y1)],
        9 => {
            let (a, b) = (w * dice.size(20, 40) / 100, d * dice.size(30, 70) / 100);
            vec![(0, 0), (w, 0), (w, d), (w - a, d), (w - a, b), (a, b), (a, d), (0, d)]
        }
        _ => {
            let (a, b) = (w / 4, d * dice.size(20, 45) / 100);
            vec![(a, 0), (w - a, 0), (w - a, b), (w, b), (w, d), (0, d), (0, b), (a, b)]
        }
    }
}

/// A random roof that can be laid out. It falls to its first edge, a drip.
pub fn random_roof(dice: &mut Dice, wish: Wish) -> Roof {
    let points = outline(dice);
    let angle = match dice.below(6) {
        _ if !wish.turned => 0.0,
        n @ 0..4 => n as f64 * std::f64::consts::FRAC_PI_2,
        _ => dice.between(0.0, 6.0),
    };
    let turned = |(x, y): (i64, i64)| {
        let (x, y) = (x as f64, y as f64);
        at((x * angle.cos() - y * angle.sin()).round() as i64, (x * angle.sin() + y * angle.cos()).round() as i64)
    };
    let corners: Vec<(Point, &str, Finish)> = points
        .iter()
        .enumerate()
        .map(|(i, &p)| (turned(p), NAMES[i], if i == 0 { Finish::Drip } else { dice.one_of(&FINISHES) }))
        .collect();
    let mut roof = roof(&corners);
    roof.laminate.layers = 1 + (dice.below(4) / 3) as u32;
    if dice.below(3) > 0 {
        roof.way_off = Some(NAMES[dice.below(points.len())].into());
    }
    roof.joists.run = dice.one_of(&[JoistRun::FrontToBack, JoistRun::LeftToRight]);
    roof.joists.spacing = mm(dice.one_of(&[300, 400, 400, 450, 600]));
    roof.joists.first = mm(if dice.below(3) == 0 { dice.size(0, roof.joists.spacing.as_mm()) } else { 0 });
    for n in 0..dice.below(4) {
        add_hole(&mut roof, dice, n, wish.clear);
    }
    roof
}

/// The roof as a mirror shows it, left for right. Its first corner stays its first.
pub fn mirrored(roof: &Roof) -> Roof {
    let flip = |p: Point| at(-p.x, p.y);
    let mut corners: Vec<Point> = roof.outline.corners.iter().map(|&p| flip(p)).collect();
    corners[1..].reverse();
    let edges = roof.outline.edges.iter().rev().cloned().collect();
    let mut out = Roof { outline: Outline::new(corners, edges).unwrap(), ..roof.clone() };
    for h in &mut out.holes {
        match &mut h.form {
            HoleForm::Box { at: low, width, .. } => *low = at(-low.x - width.as_mm(), low.y),
            HoleForm::Round { at: middle, .. } => *middle = flip(*middle),
        }
    }
    if roof.joists.run == JoistRun::FrontToBack {
        out.joists.first = mm((-roof.joists.first.as_mm()).rem_euclid(roof.joists.spacing.as_mm()));
    }
    out
}

/// The roof turned by a right angle, anticlockwise, with all that lies on it.
pub fn quarter_turned(roof: &Roof) -> Roof {
    let turn = |p: Point| at(-p.y, p.x);
    let corners = roof.outline.corners.iter().map(|&p| turn(p)).collect();
    let mut out = Roof { outline: Outline::new(corners, roof.outline.edges.clone()).unwrap(), ..roof.clone() };
    for h in &mut out.holes {
        match &mut h.form {
            HoleForm::Box { at: low, width, depth } => {
                *low = at(-low.y - depth.as_mm(), low.x);
                std::mem::swap(width, depth);
            }
            HoleForm::Round { at: middle, .. } => *middle = turn(*middle),
        }
    }
    let back = mm((-roof.joists.first.as_mm()).rem_euclid(roof.joists.spacing.as_mm()));
    (out.joists.run, out.joists.first) = match roof.joists.run {
        JoistRun::FrontToBack => (JoistRun::LeftToRight, roof.joists.first),
        JoistRun::LeftToRight => (JoistRun::FrontToBack, back),
    };
    out
}

/// Tries a hole, and keeps it where the roof takes it, so far clear of its edges.
fn add_hole(roof: &mut Roof, dice: &mut Dice, n: usize, clear: i64) {
    let c = &roof.outline.corners;
    let (a, b) = (c[dice.below(c.len())], c[dice.below(c.len())]);
    let middle = at((a.x + b.x) / 2 + dice.size(-900, 900), (a.y + b.y) / 2 + dice.size(-900, 900));
    let (width, depth) = (dice.size(200, 2200), dice.size(200, 2200));
    let across = dice.one_of(&[50, 110, 160]);
    let round = dice.below(4) == 0;
    let form = |clear: i64| match round {
        true => HoleForm::Round { at: middle, diameter: mm(across + 2 * clear) },
        false => HoleForm::Box {
            at: at(middle.x - clear, middle.y - clear),
            width: mm(width + 2 * clear),
            depth: mm(depth + 2 * clear),
        },
    };
    let finish = if n.is_multiple_of(2) { Finish::Kerb } else { Finish::Wall };
    let hole = |form| Hole {
        path: setting(&format!("roofs[0].holes[{n}]")),
        ..support::hole(&format!("hole {n}"), form, finish)
    };
    let mut tried = roof.clone();
    tried.holes.push(hole(form(clear)));
    if last_hole_fits(&tried) {
        roof.holes.push(hole(form(0)));
    }
}

/// Whether the last hole lies inside the outline and clear of the others, as the reader of job files asks.
fn last_hole_fits(roof: &Roof) -> bool {
    let Ok(shape) = lay_out(roof, 0, &Rules::default()) else { return false };
    let (last, others) = shape.holes.split_last().unwrap();
    let (hole, outline) = (Region::of_ring(&last.ring), Region::of_ring(&shape.ring()));
    let apart = |other: &HoleShape| hole.intersect(&Region::of_ring(&other.ring)).is_empty();
    hole.subtract(&outline).is_empty() && others.iter().all(apart)
}

/// Seeds at which something is wrong, in order, each with what. The work is shared over what cores there are.
pub fn wrong(seeds: std::ops::Range<u64>, replay: impl Fn(u64) -> Vec<String> + Sync) -> Vec<String> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    let replay = &replay;
    let seen: Vec<Vec<(u64, Vec<String>)>> = std::thread::scope(|scope| {
        let work = |k: u64| {
            let mine = seeds.clone().skip(k as usize).step_by(threads as usize);
            scope.spawn(move || mine.map(|seed| (seed, replay(seed))).filter(|(_, found)| !found.is_empty()).collect())
        };
        let running: Vec<_> = (0..threads).map(work).collect();
        running.into_iter().map(|t| t.join().unwrap()).collect()
    });
    let mut all: Vec<(u64, Vec<String>)> = seen.into_iter().flatten().collect();
    all.sort();
    all.into_iter().map(|(seed, found)| format!("seed {seed}: {}", found.join("; "))).collect()
}

/// How many roofs or jobs are replayed: `WETOUT_ROOFS`, else the usual number.
pub fn count(usual: u64) -> u64 {
    std::env::var("WETOUT_ROOFS").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// Fails with the seeds at which something is wrong.
pub fn assert_none_wrong(wrong: &[String], count: u64) {
    assert!(wrong.is_empty(), "{} of {count} are wrong\n{}", wrong.len(), wrong[..wrong.len().min(60)].join("\n"));
}
