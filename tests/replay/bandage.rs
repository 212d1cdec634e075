//! Bandage on trims, replayed: every flange, every lap and every corner has its piece.
//!
//! Given the roofs as laid out and the trims; gives the faults found. The board joints are looked at beside the mat.

use wetout::model::{Finish, Length, Point, Products, Rules};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::shape::Turn;
use wetout::takeoff::layout::{BandageOver, BandagePiece, Junction, RoofLayout, RunPlace, Treatment};

/// Rounding to whole millimetres moves a skew end by less than this.
const SLACK: f64 = 2.0;

/// Everything that is wrong with the bandage on the trims of a job.
pub fn faults(take_off: &TakeOff, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    for (index, roof) in take_off.roofs.iter().enumerate() {
        flanges(roof, rules, products, &mut found);
        corners(roof, rules, &mut found);
        let laps: usize = take_off
            .profiles
            .iter()
            .flat_map(|p| &p.runs)
            .filter(|r| roof_of(r.place) == index)
            .map(|r| r.laps.len())
            .sum();
        let patched = of(roof, BandageOver::TrimLap).count();
        if patched != laps {
            found.push(format!("{}: {laps} trim laps and bandage on {patched}", roof.shape.name));
        }
        let on_trims = |p: &&BandagePiece| !matches!(p.covers, BandageOver::BoardJoint | BandageOver::Parapet);
        for p in roof.bandage.iter().filter(on_trims).filter(|p| p.width != rules.bandage_trim) {
            found.push(format!("{}: a bandage {} wide on a trim", roof.shape.name, p.width));
        }
    }
    found
}

fn roof_of(place: RunPlace) -> usize {
    match place {
        RunPlace::Side { roof, .. }
        | RunPlace::Hole { roof, .. }
        | RunPlace::Ladder { roof, .. }
        | RunPlace::Parapet { roof, .. } => roof,
    }
}

fn of(roof: &RoofLayout, covers: BandageOver) -> impl Iterator<Item = &BandagePiece> {
    roof.bandage.iter().filter(move |p| p.covers == covers)
}

/// Along every side with a trim, and every side of a kerb or chimney, lies a piece at least as long as it.
fn flanges(roof: &RoofLayout, rules: &Rules, products: &Products, found: &mut Vec<String>) {
    let shape = &roof.shape;
    let wide = |finish: Finish| {
        let sold = products.profiles.get(&finish).and_then(|p| p.flange);
        sold.unwrap_or(rules.mitre_allowance).as_mm() as f64
    };
    for s in shape.sides.iter().filter(|s| s.has_trim()) {
        if !of(roof, BandageOver::Flange).any(|p| runs_along(p, (s.from, s.to), s.run, wide(s.finish))) {
            found.push(format!("{}, {}: the flange has no bandage", shape.name, s.label));
        }
    }
    for s in shape.sides.iter().filter(|s| s.finish == Finish::Step) {
        if !of(roof, BandageOver::BoardJoint).any(|p| runs_along(p, (s.from, s.to), s.run, 0.0)) {
            found.push(format!("{}, {}: no bandage where the deck meets the slope", shape.name, s.label));
        }
    }
    for s in shape.sides.iter().filter(|s| s.is_under_low_sill()) {
        let run = s.run + rules.bandage_lap * 2;
        if !of(roof, BandageOver::Sill).any(|p| runs_along(p, (s.from, s.to), run, 0.0)) {
            found.push(format!("{}, {}: no bandage under the door sill", shape.name, s.label));
        }
    }
    for h in shape.holes.iter().filter(|h| !h.round && h.finish.has_trim()) {
        for (i, &from) in h.ring.iter().enumerate() {
            let to = h.ring[(i + 1) % h.ring.len()];
            let run = Length::mm(length(from, to).round() as i64);
            if !of(roof, BandageOver::Flange).any(|p| runs_along(p, (from, to), run, wide(h.finish))) {
                found.push(format!("{}, {}, side {}: the flange has no bandage", shape.name, h.name, i + 1));
            }
        }
    }
}

fn length(a: Point, b: Point) -> f64 {
    ((b.x - a.x) as f64).hypot((b.y - a.y) as f64)
}

/// Whether a piece lies along a line, beside it by the flange, and reaches from end to end of it.
fn runs_along(piece: &BandagePiece, (from, to): (Point, Point), run: Length, flange: f64) -> bool {
    let whole = length(from, to);
    let (ux, uy) = ((to.x - from.x) as f64 / whole, (to.y - from.y) as f64 / whole);
    let place = |p: Point| {
        let (dx, dy) = ((p.x - from.x) as f64, (p.y - from.y) as f64);
        (dx * ux + dy * uy, dx * uy - dy * ux)
    };
    let (a, b) = (place(piece.from), place(piece.to));
    let beside = |p: (f64, f64)| (p.1.abs() - flange).abs() <= SLACK;
    let reaches = a.0.min(b.0) <= SLACK && a.0.max(b.0) >= whole - SLACK;
    beside(a) && beside(b) && reaches && piece.length.as_mm() as f64 >= run.as_mm() as f64 - SLACK
}

/// Every corner has its patch.
fn corners(roof: &RoofLayout, rules: &Rules, found: &mut Vec<String>) {
    let straight = |j: &Junction| {
        let in_line = roof.shape.corners.get(j.corner).map(|c| c.turn) == Some(Turn::Straight);
        j.hole.is_none() && in_line && j.treatment != Treatment::AtSill
    };
    for j in roof.junctions.iter().filter(|j| j.treatment != Treatment::Straight && !straight(j)) {
        let patch = |p: &&BandagePiece| length(p.from, j.at).min(length(p.to, j.at)) <= SLACK;
        match of(roof, BandageOver::Corner).find(patch) {
            None => found.push(format!("{}: the corner at {:?} has no patch", roof.shape.name, j.at)),
            Some(p) if p.length != rules.corner_patch => {
                found.push(format!("{}: a patch of {} at {:?}", roof.shape.name, p.length, j.at));
            }
            Some(_) => {}
        }
    }
}
