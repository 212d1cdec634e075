//! Walls that the roof is carried over, replayed: heights, ends, lining, outer trims, bandage and what covers them.
//!
//! Given the roofs as measured and as laid out, and the lines; gives the faults found. Every figure is worked here from the
//! job as measured, in plain numbers of its own: of the layout it reads the sides, the pieces and the lines.

use super::edges::built_up;
use std::collections::BTreeSet;
use wetout::model::job::By;
use wetout::model::{Coping, Cover, Edge, Finish, Job, Length, Products, Roof, Rules};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::shape::{RoofShape, Turn};
use wetout::takeoff::layout::{BandageOver, OuterEdge, RoofLayout, RunPlace};

fn mm(length: Length) -> f64 {
    length.as_mm() as f64
}

/// A wall as it was measured, at side `i`.
struct Measured<'a> {
    i: usize,
    coping: &'a Coping,
    left: f64,
    high: f64,
    lining: f64,
    /// By how much its outer edge is longer at its start and at its end; `None` where it ends in the open.
    longer: [Option<f64>; 2],
    /// Whether it ends there against something higher, or passes a gutter on the way to it.
    against: [bool; 2],
    past: [f64; 2],
    run: f64,
}

impl Measured<'_> {
    fn long(&self) -> f64 {
        self.run + self.longer.iter().map(|l| l.unwrap_or(0.0)).sum::<f64>()
    }

    fn carried(&self) -> f64 {
        self.high + self.lining + mm(self.coping.width)
    }

    fn free_ends(&self) -> usize {
        self.longer.iter().filter(|l| l.is_none()).count()
    }
}

fn all<'a>(roof: &'a Roof, laid: &RoofLayout, rules: &Rules, products: &Products) -> Vec<Measured<'a>> {
    let (edges, shape) = (&roof.outline.edges, &laid.shape);
    let n = edges.len();
    let of = |(i, edge): (usize, &'a Edge)| {
        let coping = edge.coping.as_ref()?;
        let side = &shape.sides[i];
        let key = coping.board.as_ref().or(roof.deck.board.as_ref()).unwrap();
        let left = edge.upstand.unwrap() - built_up(roof, laid, side, rules, products);
        let up = |p: wetout::model::Point| p.x as f64 * shape.uphill.x + p.y as f64 * shape.uphill.y;
        let low = shape.sides.iter().map(|s| up(s.from)).fold(f64::MAX, f64::min);
        let fall = roof.fall.known().map_or(f64::INFINITY, |f| f.run.to_string().parse().unwrap());
        let rise = |p| ((up(p) - low) / fall - 1e-3).ceil().max(0.0);
        let ends = [(i, (i + n - 1) % n), ((i + 1) % n, (i + 1) % n)];
        let met = ends.map(|(corner, other)| end(roof, shape, coping, (corner, other), products));
        Some(Measured {
            i,
            coping,
            left: mm(left),
            high: mm(left) + (rise(side.from) - rise(side.to)).abs(),
            lining: mm(products.boards[key].thickness),
            longer: met.map(|m| m.0),
            against: met.map(|m| m.1),
            past: met.map(|m| m.2),
            run: mm(side.run),
        })
    };
    edges.iter().enumerate().filter_map(of).collect()
}

/// How much longer, whether against something higher, how far past a gutter. The corner of two walls is where the lines of
/// their outer faces cross, found from two points on each.
fn end(
    roof: &Roof,
    shape: &RoofShape,
    coping: &Coping,
    (corner, other): (usize, usize),
    products: &Products,
) -> (Option<f64>, bool, f64) {
    let edge = &roof.outline.edges[other];
    let at = &shape.corners[corner];
    if let Some(next) = &edge.coping {
        if at.turn == Turn::Straight {
            return (Some(0.0), false, 0.0);
        }
        // The first wall lies along x and ends at the origin, the roof above it; the next goes off at the angle inside.
        let a = (180.0 - at.inside).to_radians();
        let (w, v) = (mm(coping.width), mm(next.width));
        // A point of the next wall's outer face: v square to its way (cos a, sin a), on its right.
        let (px, py) = (v * a.sin(), -v * a.cos());
        let t = (-w - py) / a.sin();
        return (Some((px + t * a.cos()).ceil()), false, 0.0);
    }
    match edge.finish {
        Finish::Drip | Finish::Raised => (None, false, 0.0),
        Finish::Gutter => {
            let gutter = edge.box_gutter.as_ref().unwrap();
            let board = &products.boards[gutter.board.as_ref().or(roof.deck.board.as_ref()).unwrap()];
            let past = mm(gutter.width) + 2.0 * mm(board.thickness);
            (Some(past), true, past)
        }
        Finish::Wall | Finish::Step | Finish::Kerb => (Some(0.0), true, 0.0),
    }
}

/// Everything that is wrong with the walls that the roofs of a job are carried over.
pub fn faults(job: &Job, take_off: &TakeOff, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    for (index, (roof, laid)) in job.roofs.iter().zip(&take_off.roofs).enumerate() {
        let walls = all(roof, laid, rules, products);
        let mut told: Vec<String> = walls.iter().flat_map(|w| shape(w, laid)).collect();
        told.extend(walls.iter().flat_map(|w| lining(w, roof, laid)));
        told.extend(walls.iter().flat_map(|w| trims(w, index, take_off)));
        told.extend(bandage(&walls, laid, rules, products));
        told.extend(lines(&walls, index, roof, laid, take_off, rules));
        if laid.shape.sides.iter().filter(|s| s.coped.is_some()).count() != walls.len() {
            told.push("a wall is covered that was not measured, or the other way round".into());
        }
        found.extend(told.into_iter().map(|f| format!("{}: {f}", roof.name)));
    }
    found.extend(out_of_boards(take_off, rules, products));
    found
}

fn shape(w: &Measured, laid: &RoofLayout) -> Vec<String> {
    let side = &laid.shape.sides[w.i];
    let Some(wall) = side.coped else { return vec![format!("{} is not covered", side.label)] };
    let figures = [
        ("left", mm(wall.left), w.left),
        ("high", mm(wall.high), w.high),
        ("long", mm(wall.long), w.long()),
        ("carried", mm(side.carried), w.carried()),
    ];
    let wrong = figures.into_iter().filter(|(_, told, worked)| (told - worked).abs() > 1e-6);
    wrong.map(|(what, told, worked)| format!("parapet at {}: {what} {told}, worked {worked}", side.label)).collect()
}

/// Face and, under metal, top are boarded from end to end.
fn lining(w: &Measured, roof: &Roof, laid: &RoofLayout) -> Vec<String> {
    let mut found = Vec::new();
    let label = &laid.shape.sides[w.i].label;
    let Some(of) = laid.parapets.iter().find(|l| l.side == w.i) else { return vec![format!("{label} has no lining")] };
    let key = w.coping.board.as_ref().or(roof.deck.board.as_ref()).unwrap();
    if of.board != *key {
        found.push(format!("{label} is lined with {}", of.board));
    }
    let across = mm(w.coping.width) + w.lining;
    let tops = if w.coping.cover == Cover::Metal { w.long() } else { 0.0 };
    for (top, whole, width) in [(false, w.run, w.high), (true, tops, across)] {
        let mut pieces: Vec<_> = of.boards.iter().filter(|b| b.top == top).collect();
        pieces.sort_by_key(|b| b.at);
        let mut reached = 0.0;
        for b in pieces {
            if mm(b.at) > reached || (mm(b.width) - width).abs() > 1e-6 {
                found.push(format!("{label}: {} begins at {} and is {} wide", b.mark, b.at, b.width));
            }
            reached = mm(b.at + b.length);
        }
        if (reached - whole).abs() > 1e-6 {
            found.push(format!("{label}: the lining ends at {reached}, not {whole}"));
        }
    }
    found
}

/// The linings of all roofs out of boards of one kind: each board that is bought holds its pieces, and they are begun one after another.
fn out_of_boards(take_off: &TakeOff, rules: &Rules, products: &Products) -> Vec<String> {
    let linings = || take_off.roofs.iter().flat_map(|roof| &roof.parapets);
    let kinds: BTreeSet<&str> = linings().map(|lining| lining.board.as_str()).collect();
    let mut found = Vec::new();
    for kind in kinds {
        let of = || linings().filter(|lining| lining.board == kind);
        let bought: usize = of().map(|lining| lining.opened).sum();
        let board = &products.boards[kind];
        let size = (board.length.as_mm(), board.width.as_mm());
        let mut begun = 0;
        for lining in of() {
            begun += lining.opened;
            if lining.boards.iter().any(|b| b.board >= begun) {
                found.push(format!("a piece is cut from a board of {kind} that was not begun: {lining:?}"));
            }
        }
        for n in 0..bought {
            let all = of().flat_map(|lining| &lining.boards).filter(|b| b.board == n);
            let pieces: Vec<(i64, i64)> = all.map(|b| (b.length.as_mm(), b.width.as_mm())).collect();
            if pieces.is_empty() || !super::gutters::come_out(&pieces, size.0, size.1, rules.board_kerf.as_mm()) {
                found.push(format!("{pieces:?} do not come out of board {n} of {kind}"));
            }
        }
    }
    found
}

/// One run along the outer edge as long as that, one across each end in the open as long as the wall is thick.
fn trims(w: &Measured, index: usize, take_off: &TakeOff) -> Vec<String> {
    let runs: Vec<(Finish, OuterEdge, f64)> = take_off
        .profiles
        .iter()
        .flat_map(|p| p.runs.iter().map(move |r| (p.finish, r)))
        .filter_map(|(finish, r)| match r.place {
            RunPlace::Parapet { roof, side, part } if (roof, side) == (index, w.i) => Some((finish, part, mm(r.run))),
            _ => None,
        })
        .collect();
    let of = |part| runs.iter().filter(|r| r.1 == part).map(|r| r.2).collect::<Vec<f64>>();
    let mut wanted = vec![(OuterEdge::Along, vec![w.long()])];
    for (part, end) in [(OuterEdge::AtStart, 0), (OuterEdge::AtEnd, 1)] {
        let free = w.longer[end].is_none();
        wanted.push((part, if free { vec![mm(w.coping.width)] } else { Vec::new() }));
    }
    let mut found: Vec<String> = wanted
        .into_iter()
        .filter(|(part, lengths)| of(*part) != *lengths)
        .map(|(part, lengths)| format!("outer trim {part:?}: {:?}, wanted {lengths:?}", of(part)))
        .collect();
    if runs.iter().any(|r| r.0 != Finish::Drip) {
        found.push("another trim than the drip stands on an outer edge".into());
    }
    found
}

/// The pieces come to the lengths that must be covered, and none is shorter than what it lies over.
fn bandage(walls: &[Measured], laid: &RoofLayout, rules: &Rules, products: &Products) -> Vec<String> {
    let flange = products.profiles.get(&Finish::Drip).and_then(|p| p.flange).unwrap_or(rules.mitre_allowance);
    let (lap, wide) = (mm(rules.bandage_lap), mm(rules.bandage_trim));
    let mut wanted: Vec<f64> = Vec::new();
    for w in walls {
        let across = w.lining + mm(w.coping.width);
        wanted.push(w.run + w.past[0] + w.past[1] + lap);
        wanted.push(w.long() + lap);
        let joints = laid.parapets.iter().filter(|l| l.side == w.i).flat_map(|l| &l.boards).filter(|b| mm(b.at) > 0.0);
        wanted.extend(joints.map(|b| if b.top { across } else { w.high }).map(|l| l + lap));
        let ends = (0..2).filter(|&e| w.longer[e].is_none() || w.against[e]);
        wanted.extend(ends.map(|_| across + 2.0 * lap));
        let n = laid.shape.sides.len();
        let turns =
            laid.shape.corners[w.i].turn != Turn::Straight && walls.iter().any(|other| other.i == (w.i + n - 1) % n);
        if turns {
            wanted.push(w.longer[0].unwrap().hypot(across).ceil() + lap);
            let strips = (w.longer[0].unwrap().max(0.0) / (wide - lap.min((wide / 2.0).floor()))).ceil() as usize;
            wanted.extend(std::iter::repeat_n(across + lap, strips));
        }
    }
    let mut laid_out: Vec<f64> =
        laid.bandage.iter().filter(|p| p.covers == BandageOver::Parapet).map(|p| mm(p.length)).collect();
    let sorted = |of: &mut Vec<f64>| of.sort_by(f64::total_cmp);
    sorted(&mut wanted);
    sorted(&mut laid_out);
    let mut found = Vec::new();
    if wanted != laid_out {
        found.push(format!("bandage on parapets {laid_out:?}, wanted {wanted:?}"));
    }
    for p in laid.bandage.iter().filter(|p| p.covers == BandageOver::Parapet) {
        let over = ((p.to.x - p.from.x) as f64).hypot((p.to.y - p.from.y) as f64);
        if over > mm(p.length) + 2.0 || mm(flange) <= 0.0 {
            found.push(format!("a bandage of {} over {over:.0} mm of a parapet", p.length));
        }
    }
    found
}

/// What the lines should say.
fn lines(
    walls: &[Measured],
    index: usize,
    roof: &Roof,
    laid: &RoofLayout,
    take_off: &TakeOff,
    rules: &Rules,
) -> Vec<String> {
    let number = |d: rust_decimal::Decimal| d.to_string().parse::<f64>().unwrap();
    let sum = |keep: &dyn Fn(&Measured) -> bool, each: &dyn Fn(&Measured) -> f64| {
        walls.iter().filter(|w| keep(w)).map(each).sum::<f64>()
    };
    let metre = |w: &Measured| w.long() / 1000.0;
    let top = |w: &Measured| w.long() * mm(w.coping.width) / 1e6;
    let n = laid.shape.sides.len();
    let corner = |w: &Measured| {
        let before = walls.iter().any(|other| other.i == (w.i + n - 1) % n);
        f64::from(u8::from(before && laid.shape.corners[w.i].turn != Turn::Straight))
    };
    let ours = |w: &Measured| w.coping.by == By::Us;
    let stone = |w: &Measured| w.coping.cover == Cover::Stone;
    let metal = |w: &Measured| ours(w) && !stone(w);
    let brackets = |w: &Measured| (w.long() / mm(rules.capping_bracket)).ceil() + 1.0;
    let screws = |l: Length| (mm(l) / mm(rules.masonry_fixing)).ceil() + 1.0;
    let boards: f64 = laid.parapets.iter().flat_map(|l| &l.boards).map(|b| 2.0 * screws(b.length)).sum();
    let outer = take_off.profiles.iter().flat_map(|p| &p.runs);
    let outer = outer.filter(|r| matches!(r.place, RunPlace::Parapet { roof, .. } if roof == index));
    let trims: f64 = outer.flat_map(|r| &r.pieces).map(|p| screws(p.length)).sum();
    let wanted = [
        ("coping.off", sum(&ours, &metre)),
        ("coping.on", sum(&ours, &metre)),
        ("parapet.run", sum(&|_| true, &metre)),
        ("parapet.fixings", boards + trims),
        ("parapet.primer", sum(&stone, &top) * number(rules.masonry_primer_rate)),
        ("parapet.mortar", sum(&stone, &top) * number(rules.mortar_rate)),
        ("coping.mortar", sum(&|w| ours(w) && stone(w), &top) * number(rules.mortar_rate)),
        ("coping.dpc", sum(&|w| ours(w) && stone(w), &|w| metre(w) + (1.0 + corner(w)) * mm(rules.dpc_lap) / 1000.0)),
        ("capping.length", sum(&metal, &metre)),
        ("capping.brackets", sum(&metal, &brackets)),
        ("capping.fixings", 2.0 * sum(&metal, &brackets)),
        ("capping.ends", sum(&metal, &|w| w.free_ends() as f64 + w.against.iter().filter(|a| **a).count() as f64)),
        ("capping.corners", sum(&metal, &corner)),
    ];
    let told = |id: &str| {
        let of = take_off.lines.iter().filter(|l| l.id == id && l.roof.as_ref() == Some(&roof.name));
        of.map(|l| number(l.quantity)).sum::<f64>()
    };
    let wrong = wanted.into_iter().filter(|(id, worked)| (told(id) - worked).abs() > 1e-6);
    wrong.map(|(id, worked)| format!("{id} is {}, worked again {worked}", told(id))).collect()
}
