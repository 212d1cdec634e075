//! New timber round openings, replayed: kerbs, trimmers, doubled joists, hangers, and what they are cut from.
//!
//! Given the roofs as measured and as laid out; gives the faults found. It walks round each opening in steps and asks what lies
//! under the kerb and under the edge of the boards there, and it counts hangers from the ends of the pieces.

use super::deck::to_segment;
use std::collections::BTreeMap;
use wetout::model::shape::{JoistRun, MeasuredTo};
use wetout::model::{Finish, HoleForm, Job, Length, Roof, Rules, Section};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::RoofLayout;
use wetout::takeoff::layout::timber::{OpeningTimber, TimberKind};

type Pt = (f64, f64);

fn mm(length: Length) -> f64 {
    length.as_mm() as f64
}

/// The rectangle that a piece covers on plan.
fn covers(piece: &OpeningTimber, p: Pt) -> bool {
    let half = mm(piece.section.thickness) / 2.0 + 1.0;
    let (a, b) = ((piece.from.x as f64, piece.from.y as f64), (piece.to.x as f64, piece.to.y as f64));
    let (low, high) = ((a.0.min(b.0), a.1.min(b.1)), (a.0.max(b.0), a.1.max(b.1)));
    let out = if a.0 == b.0 { (half, 1.0) } else { (1.0, half) };
    (low.0 - out.0..=high.0 + out.0).contains(&p.0) && (low.1 - out.1..=high.1 + out.1).contains(&p.1)
}

/// Everything that is wrong with the new timber of a job.
pub fn faults(job: &Job, take_off: &TakeOff, rules: &Rules) -> Vec<String> {
    let mut found = Vec::new();
    for (roof, laid) in job.roofs.iter().zip(&take_off.roofs) {
        for n in 0..roof.holes.len() {
            found.extend(kerb(roof, laid, n, rules));
            found.extend(trimmed(roof, laid, n, rules));
        }
        found.extend(hangers(roof, laid));
    }
    found.extend(cut(take_off));
    found
}

/// Left, low, right, high of an opening.
fn sides(roof: &Roof, n: usize) -> Option<[f64; 4]> {
    let HoleForm::Box { at, width, depth } = &roof.holes[n].form else { return None };
    let (x, y) = (at.x as f64, at.y as f64);
    Some([x, y, x + mm(*width), y + mm(*depth)])
}

/// The same in the deck's axes: u across the joists, v along them.
fn across(roof: &Roof, n: usize) -> Option<[f64; 4]> {
    let [left, low, right, high] = sides(roof, n)?;
    Some(if roof.joists.run == JoistRun::LeftToRight { [low, left, high, right] } else { [left, low, right, high] })
}

/// A kerb is closed all round, by pieces that do not lie in one another, and no deeper than its timber.
fn kerb(roof: &Roof, laid: &RoofLayout, n: usize, rules: &Rules) -> Vec<String> {
    let pieces: Vec<&OpeningTimber> =
        laid.openings.pieces.iter().filter(|p| p.hole == n && p.kind == TimberKind::Kerb).collect();
    let name = &roof.holes[n].name;
    let Some(section) = roof.holes[n].timber.kerb else {
        return pieces.first().map(|_| format!("{name}: a kerb that nobody asked for")).into_iter().collect();
    };
    let mut found = Vec::new();
    let [left, low, right, high] = sides(roof, n).unwrap();
    let t = mm(section.thickness);
    let (w, d) = (right - left, high - low);
    let ring = w * d - (w - 2.0 * t) * (d - 2.0 * t);
    let timber: f64 = pieces.iter().map(|p| mm(p.length) * t).sum();
    if (ring - timber).abs() > 1.0 {
        found.push(format!("{name}: {timber} mm² of kerb on {ring} mm²"));
    }
    let places = round([left + t / 2.0, low + t / 2.0, right - t / 2.0, high - t / 2.0]);
    found.extend(
        places.into_iter().find(|p| !pieces.iter().any(|k| covers(k, *p))).map(|p| format!("{name}: no kerb at {p:?}")),
    );
    let deep = laid.openings.kerbs.iter().find(|k| k.0 == n).map(|k| k.1).unwrap_or_default();
    if deep < section.width && section.width - deep <= rules.kerb_rip {
        found.push(format!("{name}: a kerb of {section} is ripped by {}", section.width - deep));
    }
    if deep > section.width || deep < rules.mat_return.kerb {
        found.push(format!("{name}: a kerb {deep} deep out of {section}"));
    }
    found
}

/// Places on the four sides of a box, 10 mm apart.
fn round([left, low, right, high]: [f64; 4]) -> Vec<Pt> {
    let along = |a: Pt, b: Pt| {
        let steps = ((b.0 - a.0).abs().max((b.1 - a.1).abs()) / 10.0).ceil().max(1.0) as usize;
        (0..=steps).map(move |i| {
            let part = i as f64 / steps as f64;
            (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part)
        })
    };
    let corners = [(left, low), (right, low), (right, high), (left, high)];
    (0..4).flat_map(|i| along(corners[i], corners[(i + 1) % 4])).collect()
}

/// Joists as the layout draws them, their u and stretch on v: u across the joists.
fn joists(roof: &Roof, laid: &RoofLayout) -> Vec<(f64, f64, f64)> {
    let deck = laid.deck.as_ref();
    let turned = |p: wetout::model::Point| match roof.joists.run {
        JoistRun::FrontToBack => (p.x as f64, p.y as f64),
        JoistRun::LeftToRight => (p.y as f64, p.x as f64),
    };
    let lines = deck.into_iter().flat_map(|d| &d.joists);
    lines.map(|(a, b)| (turned(*a), turned(*b))).map(|(a, b)| (a.0, a.1.min(b.1), a.1.max(b.1))).collect()
}

/// How far behind the edge of the deck a joist ends there: where sizes go to the fascia, by the battens of an open edge.
fn battens_at(roof: &Roof, laid: &RoofLayout, end: Pt, rules: &Rules) -> f64 {
    let layers = |finish: Finish| match finish {
        Finish::Drip => rules.drip_battens,
        Finish::Raised => rules.raised_battens,
        _ => 0,
    };
    let to_fascia = roof.measured_to == MeasuredTo::Fascia;
    let at = |p: wetout::model::Point| (p.x as f64, p.y as f64);
    let met = laid.shape.sides.iter().filter(|s| to_fascia && to_segment(end, (at(s.from), at(s.to))) <= 2.0);
    met.map(|side| mm(rules.batten.thickness) * f64::from(layers(side.finish))).fold(0.0, f64::max)
}

/// All round an opening that is trimmed, the kerb and the edge of the boards lie on timber; what hangs, hangs on joists that are
/// doubled.
fn trimmed(roof: &Roof, laid: &RoofLayout, n: usize, rules: &Rules) -> Vec<String> {
    let mine = |p: &&OpeningTimber| p.kind != TimberKind::Kerb;
    let all: Vec<&OpeningTimber> = laid.openings.pieces.iter().filter(mine).collect();
    let name = &roof.holes[n].name;
    let Some(section) = roof.holes[n].timber.trimmers else { return Vec::new() };
    let mut found = Vec::new();
    let t = mm(section.thickness);
    let swap = roof.joists.run == JoistRun::LeftToRight;
    let on_plan = |(u, v): Pt| if swap { (v, u) } else { (u, v) };
    let [u0, v0, u1, v1] = across(roof, n).unwrap();
    let joists = joists(roof, laid);
    // A joist carries what lies over it or within its own breadth of it.
    let on_joist = |u: f64| joists.iter().any(|j| (j.0 - u).abs() <= t / 2.0 + 1.0 && j.1 <= v0 && j.2 >= v1);
    let bears = |p: Pt| all.iter().any(|k| covers(k, on_plan(p))) || on_joist(p.0);
    for v in [v0 + t / 2.0, v0 - t / 2.0, v1 - t / 2.0, v1 + t / 2.0] {
        let places = round([u0, v, u1, v]);
        found.extend(places.into_iter().find(|p| !bears(*p)).map(|p| format!("{name}: nothing bears at {p:?}")));
    }
    // Along the joists: under the kerb or at its outer face, and under the edge of the boards, within half a joist's breadth.
    for (u, inwards) in [(u0, 1.0), (u1, -1.0)] {
        // The kerb itself bears over its whole breadth.
        let breadth = roof.holes[n].timber.kerb.map_or(0.0, |kerb| mm(kerb.thickness)).max(t);
        let hollow = [0.05, 0.35, 0.65, 0.95].into_iter().find_map(|part| {
            let across = u + inwards * breadth.min(t) * part;
            round([across, v0 + t, across, v1 - t]).into_iter().find(|p| !bears(*p))
        });
        found.extend(hollow.map(|p| format!("{name}: the kerb stands on nothing at {p:?}")));
        let near = |p: Pt| (-2..=2).any(|k| bears((p.0 + f64::from(k) * t / 4.0, p.1)));
        let kerb = round([u + inwards * t / 4.0, v0 + t, u + inwards * t / 4.0, v1 - t]);
        found
            .extend(kerb.into_iter().find(|p| !near(*p)).map(|p| format!("{name}: no timber under the side at {p:?}")));
    }
    // The boards lie on firrings, not on the timber under them: all round there is one up to their underside.
    if roof.firred_by_us().is_some() {
        let carried = |p: Pt| super::falls::carried(&laid.shape, roof, &laid.firrings, on_plan(p), t);
        let across = [v0 - t / 2.0, v1 + t / 2.0].map(|v| round([u0, v, u1, v]));
        let beside = [(u0, -1.0), (u1, 1.0)].map(|(u, out)| {
            let places = round([u, v0 + t, u, v1 - t]).into_iter();
            places.filter(|p| !(0..=6).any(|k| carried((p.0 + out * f64::from(k) * t / 4.0, p.1)))).collect::<Vec<_>>()
        });
        let bare = across.into_iter().flatten().filter(|p| !carried(*p)).chain(beside.into_iter().flatten()).next();
        found.extend(bare.map(|p| format!("{name}: no packing under the boards at {p:?}")));
    }
    let plies = f64::from(rules.trimmer_plies);
    let trimmers: Vec<&&OpeningTimber> = all.iter().filter(|p| p.hole == n && p.kind == TimberKind::Trimmer).collect();
    if trimmers.len() as f64 != 2.0 * plies {
        found.push(format!("{name}: {} trimmers", trimmers.len()));
    }
    for trimmer in trimmers {
        let of = |p: wetout::model::Point| if swap { p.y as f64 } else { p.x as f64 };
        for (end, out) in [(of(trimmer.from).min(of(trimmer.to)), -1.0), (of(trimmer.from).max(of(trimmer.to)), 1.0)] {
            let Some(joist) =
                joists.iter().find(|j| ((j.0 - end) * out - t / 2.0).abs() <= 1.0 && j.1 <= v0 && j.2 >= v1)
            else {
                found.push(format!("{name}: a trimmer ends at {end}, where no joist is"));
                continue;
            };
            let short: f64 =
                [joist.1, joist.2].map(|v| battens_at(roof, laid, on_plan((joist.0, v)), rules)).iter().sum();
            let doubled = |p: &&&OpeningTimber| {
                let far = (of(p.from) - joist.0) * out;
                p.kind == TimberKind::Doubling
                    && far > 0.0
                    && far <= (plies - 1.0) * t + 1.0
                    && mm(p.length) >= joist.2 - joist.1 - short
            };
            let beside = all.iter().filter(doubled).count() as f64;
            if beside != plies - 1.0 {
                found.push(format!("{name}: the joist at {} is doubled {beside} times", joist.0));
            }
        }
    }
    found
}

/// Hangers, counted from the pieces: those that lie against one another share one at each end; a joist that ends at an opening
/// that is trimmed hangs in one.
fn hangers(roof: &Roof, laid: &RoofLayout) -> Vec<String> {
    let mut wanted: BTreeMap<Length, usize> = BTreeMap::new();
    let hung: Vec<&OpeningTimber> =
        laid.openings.pieces.iter().filter(|p| matches!(p.kind, TimberKind::Trimmer | TimberKind::Side)).collect();
    let mut taken = vec![false; hung.len()];
    for i in 0..hung.len() {
        if taken[i] {
            continue;
        }
        let t = hung[i].section.thickness;
        let mut group = vec![i];
        let mut next = 0;
        while next < group.len() {
            let a = hung[group[next]];
            for (j, b) in hung.iter().enumerate() {
                let apart = ((a.from.x - b.from.x).abs(), (a.from.y - b.from.y).abs());
                let side_by_side = apart == (t.as_mm(), 0) || apart == (0, t.as_mm());
                if !group.contains(&j) && b.kind == a.kind && b.hole == a.hole && b.length == a.length && side_by_side {
                    group.push(j);
                }
            }
            next += 1;
        }
        group.iter().for_each(|&g| taken[g] = true);
        *wanted.entry(t * group.len() as i64).or_default() += 2;
    }
    let joists = joists(roof, laid);
    for n in 0..roof.holes.len() {
        let Some(section) = roof.holes[n].timber.trimmers else { continue };
        let [u0, v0, u1, v1] = across(roof, n).unwrap();
        let tails = joists.iter().filter(|j| u0 < j.0 && j.0 < u1 && (j.2 == v0 || j.1 == v1)).count();
        if tails > 0 {
            *wanted.entry(section.thickness).or_default() += tails;
        }
    }
    if wanted == laid.openings.hangers {
        return Vec::new();
    }
    vec![format!("{}: hangers {:?} where {wanted:?} hang", roof.name, laid.openings.hangers)]
}

/// Every piece comes out of one length, and no length gives more than it has.
fn cut(take_off: &TakeOff) -> Vec<String> {
    let mut found = Vec::new();
    let mut laid: BTreeMap<(Section, Length), i64> = BTreeMap::new();
    for piece in take_off.roofs.iter().flat_map(|r| &r.openings.pieces) {
        *laid.entry((piece.section, piece.length)).or_default() += 1;
    }
    for plan in &take_off.timbers {
        for bar in &plan.bars {
            let taken: i64 = bar.pieces.iter().map(|p| p.1.length.as_mm()).sum();
            if taken > bar.stock.as_mm() {
                found.push(format!("{taken} mm of {} out of {}", plan.section, bar.stock));
            }
            for (_, piece) in &bar.pieces {
                *laid.entry((plan.section, piece.length)).or_default() -= 1;
            }
        }
    }
    found
        .extend(laid.into_iter().filter(|(_, n)| *n != 0).map(|(what, n)| format!("{what:?}: {n} more laid than cut")));
    found
}
