//! Box gutters, held against the figures of the job alone: depths, boards, bearers, fillets, bandage and lining.
//!
//! Works every depth out anew from the measured gutter; of the layout it reads the pieces and nothing that was computed
//! from them.

use std::collections::BTreeSet;
use wetout::model::shape::BoxGutter;
use wetout::model::{Job, Length, Products, Rules};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::box_gutter::{BoxGutterLayout, GutterPart};

fn mm(length: Length) -> f64 {
    length.as_mm() as f64
}

/// A gutter as it was measured.
struct Measured<'a> {
    gutter: &'a BoxGutter,
    run: f64,
    up: f64,
    /// How far boards and lining go up at the start and at the end.
    ends: [f64; 2],
}

impl Measured<'_> {
    /// From the deck's top down to the sole, so far from the edge's start.
    fn depth(&self, x: f64) -> f64 {
        let fall: f64 = self.gutter.fall.run.to_string().parse().unwrap();
        let out = mm(self.gutter.outlet.at);
        let furthest = out.max(self.run - out);
        mm(self.gutter.depth) + (furthest - (x - out).abs()) / fall
    }

    fn deepest(&self, from: f64, to: f64) -> f64 {
        self.depth(mm(self.gutter.outlet.at).clamp(from, to))
    }

    /// The inner corners that a fillet lies in, and the arrises that are bandaged but for the lip.
    fn corners(&self) -> f64 {
        let (start, end) = (self.depth(0.0), self.depth(self.run));
        2.0 * self.run + 2.0 * mm(self.gutter.width) + 2.0 * (start + end + self.up)
    }
}

/// Everything that is wrong with the box gutters of a job.
pub fn faults(job: &Job, take_off: &TakeOff, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    for (roof, laid) in job.roofs.iter().zip(&take_off.roofs) {
        let measured = roof.outline.edges.iter().enumerate().filter_map(|(i, e)| Some((i, e.box_gutter.as_ref()?)));
        let measured: Vec<_> = measured.collect();
        if measured.len() != laid.box_gutters.len() {
            found.push(format!(
                "{}: {} box gutters measured, {} laid",
                roof.name,
                measured.len(),
                laid.box_gutters.len()
            ));
            continue;
        }
        for ((side, gutter), of) in measured.into_iter().zip(&laid.box_gutters) {
            let run = mm(laid.shape.sides[side].run);
            let up = mm(rules.mat_return.wall);
            let n = laid.shape.sides.len();
            // Where the wall at an end is covered, boards and lining go to its top, and a strip over that.
            let walls = [(side + n - 1) % n, (side + 1) % n].map(|wall| laid.shape.sides[wall].coped);
            let ends = walls.map(|wall| wall.map_or(up, |wall| mm(wall.high)));
            let it = Measured { gutter, run, up, ends };
            let layers = rules.gutter_layers.max(roof.laminate.layers);
            let roll = products.mats.get(&roof.laminate.mat).map_or(1000.0, |m| mm(m.width));
            let mut faults = boards(&it, of, rules, products);
            faults.extend(bearers(&it, of, rules, mm(products.boards[&of.board].length)));
            faults.extend(lining(&it, of, rules, layers, roll));
            for (end, wall) in walls.iter().enumerate() {
                let top = wall.map(|wall| (mm(wall.lining) + mm(wall.width), mm(wall.longer[1 - end])));
                faults.extend(over_top(of, (end, top), rules, layers));
            }
            let fillets: f64 = of.fillets.iter().map(|f| mm(*f)).sum();
            if fillets < it.corners() {
                faults.push(format!("fillets of {fillets} mm for {} mm of corners", it.corners()));
            }
            let arrises: f64 = of.bandage.iter().filter(|b| !b.joint).map(|b| mm(b.length)).sum();
            if arrises < it.corners() + run {
                faults.push(format!("bandage of {arrises} mm for {} mm of arrises", it.corners() + run));
            }
            found.extend(
                faults
                    .into_iter()
                    .map(|f| format!("{}, box gutter at {}: {f}", roof.name, laid.shape.sides[side].label)),
            );
        }
    }
    found
}

/// Every part is boarded from end to end, as high as it must be, out of boards that hold the pieces.
fn boards(it: &Measured, of: &BoxGutterLayout, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    let width = mm(it.gutter.width);
    for part in [GutterPart::Sole, GutterPart::NearCheek, GutterPart::FarCheek] {
        let mut pieces: Vec<_> = of.boards.iter().filter(|b| b.part == part).collect();
        pieces.sort_by_key(|b| b.at);
        let mut reached = 0.0;
        for b in &pieces {
            if mm(b.at) > reached {
                found.push(format!("{} is bare from {reached} to {}", part.word(), b.at));
            }
            reached = mm(b.at + b.length);
            let deep = it.deepest(mm(b.at), reached.min(it.run));
            let wanted = match part {
                GutterPart::Sole => width,
                GutterPart::NearCheek => deep,
                _ => deep + it.up,
            };
            if mm(b.width) < wanted - 1e-6 || mm(b.width) > wanted + 3.0 {
                found.push(format!("{} is {} across, not {wanted}", b.mark, b.width));
            }
        }
        if (reached - it.run).abs() > 1e-6 {
            found.push(format!("{} ends at {reached}, not {}", part.word(), it.run));
        }
    }
    let [start, end] = it.ends;
    for (part, deep) in [(GutterPart::StartEnd, it.depth(0.0) + start), (GutterPart::FarEnd, it.depth(it.run) + end)] {
        let closes = |b: &&_| {
            let b: &wetout::takeoff::layout::box_gutter::GutterBoard = b;
            b.part == part && mm(b.length) >= width && mm(b.width) >= deep
        };
        if of.boards.iter().filter(closes).count() != 1 {
            found.push(format!("{part:?} is not closed once"));
        }
    }
    let board = &products.boards[&of.board];
    for n in 0..of.bought {
        let mut pieces: Vec<(i64, i64)> =
            of.boards.iter().filter(|b| b.board == n).map(|b| (b.length.as_mm(), b.width.as_mm())).collect();
        if pieces.is_empty() {
            found.push(format!("nothing is cut from board {n}"));
        }
        pieces.sort_unstable_by(|a, b| b.cmp(a));
        if !come_out(&pieces, board.length.as_mm(), board.width.as_mm(), rules.board_kerf.as_mm()) {
            found.push(format!("{pieces:?} do not come out of one board"));
        }
    }
    if of.boards.iter().any(|b| b.board >= of.bought) {
        found.push("a piece is cut from a board that was not bought".into());
    }
    found
}

/// Whether pieces come out of a board with a cut between any two, every cut from edge to edge, whatever the order of the cuts.
pub fn come_out(pieces: &[(i64, i64)], length: i64, width: i64, kerf: i64) -> bool {
    let mut larger: Vec<(i64, i64)> = pieces.iter().map(|&(l, w)| (l + kerf, w + kerf)).collect();
    larger.sort_unstable_by(|a, b| b.cmp(a));
    sawn(&larger, length + kerf, width + kerf)
}

/// Every first cut that parts the pieces in two is tried, at every place where some of them end in a row.
fn sawn(pieces: &[(i64, i64)], length: i64, width: i64) -> bool {
    let area: i64 = pieces.iter().map(|p| p.0 * p.1).sum();
    if area > length * width || pieces.iter().any(|p| p.0 > length || p.1 > width) {
        return false;
    }
    if pieces.len() < 2
        || pieces.iter().map(|p| p.0).sum::<i64>() <= length
        || pieces.iter().map(|p| p.1).sum::<i64>() <= width
    {
        return true;
    }
    (0..1_usize << (pieces.len() - 1)).any(|chosen| {
        let is_first = |n: usize| n == 0 || chosen >> (n - 1) & 1 == 1;
        let part =
            |first: bool| (0..pieces.len()).filter(|n| is_first(*n) == first).map(|n| pieces[n]).collect::<Vec<_>>();
        let (a, b) = (part(true), part(false));
        let across = |at: i64| sawn(&a, at, width) && sawn(&b, length - at, width);
        let along = |at: i64| sawn(&a, length, at) && sawn(&b, length, width - at);
        !b.is_empty() && (rows(&a, |p| p.0).into_iter().any(across) || rows(&a, |p| p.1).into_iter().any(along))
    })
}

/// All lengths in which some of these stand in a row, and none of them sticks out.
fn rows(pieces: &[(i64, i64)], size: fn(&(i64, i64)) -> i64) -> BTreeSet<i64> {
    let longest = pieces.iter().map(size).max().unwrap_or(0);
    let mut sums = BTreeSet::from([0]);
    for piece in pieces {
        let longer: Vec<i64> = sums.iter().map(|sum| sum + size(piece)).collect();
        sums.extend(longer);
    }
    sums.split_off(&longest)
}

fn bearers(it: &Measured, of: &BoxGutterLayout, rules: &Rules, board: f64) -> Vec<String> {
    let mut found = Vec::new();
    let at: Vec<f64> = of.bearers.iter().map(|b| mm(b.at)).collect();
    let ends = at.first() == Some(&0.0) && at.last().is_some_and(|l| (l - it.run).abs() < 1e-6);
    if !ends || at.windows(2).any(|w| w[1] - w[0] > mm(rules.gutter_bearer) + 1.0) {
        found.push(format!("bearers stand at {at:?}"));
    }
    let joints = |part: GutterPart| {
        let of_part = of.boards.iter().filter(move |b| b.part == part && b.at > Length::ZERO);
        of_part.map(|b| mm(b.at)).collect::<Vec<f64>>()
    };
    let sole = joints(GutterPart::Sole);
    found.extend(sole.iter().filter(|j| !at.contains(j)).map(|j| format!("the sole's joint at {j} lies in the air")));
    let sides = [GutterPart::NearCheek, GutterPart::FarCheek].map(joints).concat();
    // A board that spans few bearers leaves no room for it.
    let sides = if board < 4.0 * mm(rules.gutter_bearer) { Vec::new() } else { sides };
    let near = |j: &&f64| sole.iter().any(|s| (**j - s).abs() < mm(rules.gutter_bearer));
    found.extend(sides.iter().filter(near).map(|j| format!("a side's joint at {j} stands on one of the sole's")));
    for b in &of.bearers {
        let down = it.depth(mm(b.at));
        if (mm(b.down) - down).abs() > 2.0 {
            found.push(format!("the bearer at {} lies {} down, not {down}", b.at, b.down));
        }
    }
    found
}

/// Each layer reaches over the whole girth and length with its laps; the parapet side is laid before the roof's, and of a
/// strip the piece over the outlet first.
fn lining(it: &Measured, of: &BoxGutterLayout, rules: &Rules, layers: u32, roll: f64) -> Vec<String> {
    let mut found = Vec::new();
    let (start, end) = (it.depth(0.0), it.depth(it.run));
    let deep = it.deepest(0.0, it.run);
    let girth = 2.0 * deep + mm(it.gutter.width) + it.up;
    let long = it.run + start + end + it.ends[0] + it.ends[1];
    let orders: Vec<usize> = of.mat.iter().map(|p| p.order).collect();
    if orders != (1..=of.mat.len()).collect::<Vec<_>>() {
        found.push(format!("laid in the order {orders:?}"));
    }
    for layer in 0..layers as usize {
        let pieces: Vec<_> = of.mat.iter().filter(|p| p.layer == layer && p.over.is_none()).collect();
        let strips = pieces.iter().map(|p| p.strip).max().map_or(0, |s| s + 1);
        let across: f64 = (0..strips).map(|s| pieces.iter().find(|p| p.strip == s).map_or(0.0, |p| mm(p.width))).sum();
        if across - mm(rules.mat_lap) * (strips as f64 - 1.0) < girth - 1e-6 {
            found.push(format!("layer {layer}: {strips} strips reach {across} of a girth of {girth}"));
        }
        for strip in 0..strips {
            let mut of_strip: Vec<_> = pieces.iter().filter(|p| p.strip == strip).collect();
            if of_strip.iter().any(|p| mm(p.width) > roll || p.length > rules.mat_longest) {
                found.push(format!("layer {layer}, strip {strip}: a piece larger than the roll or the rule allows"));
            }
            let first = of_strip.iter().min_by_key(|p| p.order).unwrap();
            let middle = |p: &wetout::takeoff::layout::box_gutter::GutterMat| mm(p.at) + mm(p.length) / 2.0;
            let outlet = start + it.ends[0] + mm(it.gutter.outlet.at);
            let nearest = of_strip.iter().map(|p| (middle(p) - outlet).abs()).fold(f64::INFINITY, f64::min);
            if (middle(first) - outlet).abs() > nearest + 3.0 {
                found.push(format!("layer {layer}, strip {strip}: {} is laid first, away from the outlet", first.mark));
            }
            of_strip.sort_by_key(|p| p.at);
            let mut reached = mm(rules.mat_end_lap);
            for p in &of_strip {
                if mm(p.at) > reached - mm(rules.mat_end_lap) + 1e-6 {
                    found.push(format!("layer {layer}, strip {strip}: {} laps too little", p.mark));
                }
                reached = mm(p.at + p.length);
            }
            if reached < long - 3.0 {
                found.push(format!("layer {layer}, strip {strip} ends at {reached} of {long}"));
            }
        }
        let last_outer = pieces.iter().filter(|p| p.strip + 1 == strips).map(|p| p.order).max();
        let first_inner = pieces.iter().filter(|p| p.strip == 0).map(|p| p.order).min();
        if strips > 1 && last_outer > first_inner {
            found.push(format!("layer {layer}: the roof's side is laid before the parapet's"));
        }
    }
    found
}

/// A strip of each layer over the top of a wall at an end, so far across and so far along it with its laps; none where the wall is not
/// covered.
fn over_top(of: &BoxGutterLayout, (end, top): (usize, Option<(f64, f64)>), rules: &Rules, layers: u32) -> Vec<String> {
    let lap = mm(rules.mat_lap);
    let of_layer = |layer: usize| {
        let pieces: Vec<_> = of.mat.iter().filter(|p| p.over == Some(end) && p.layer == layer).collect();
        let across: f64 = pieces.iter().map(|p| mm(p.width) - lap).sum();
        let along = pieces.iter().map(|p| mm(p.length) - lap).fold(f64::INFINITY, f64::min);
        let is_good = top.map_or(pieces.is_empty(), |(wide, long)| {
            across > wide - 1e-6 && across < wide + 2.0 && (along - long).abs() < 1e-6
        });
        (!is_good).then(|| format!("layer {layer}: {across} by {along} over the top {top:?} at end {end}"))
    };
    (0..layers as usize).filter_map(of_layer).collect()
}
