//! Replays the cut plan of the trims with nothing but a tape measure: takes the bought lengths, cuts the listed pieces,
//! lays them along the edges, and says what does not fit.

use std::collections::BTreeMap;
use wetout::model::{Finish, Length, Rules};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::shape::{Side, Turn};
use wetout::takeoff::layout::{Bar, ProfilePlan, RunPlace, TrimPiece, TrimRun};

/// Everything that is wrong with the cut plan.
pub fn faults(take_off: &TakeOff, rules: &Rules) -> Vec<String> {
    let mut faults = Vec::new();
    for plan in &take_off.profiles {
        let lengths = cut(plan, rules, &mut faults);
        for run in &plan.runs {
            lay(run, plan, &lengths, rules, &mut faults);
        }
        no_short_end_without_need(plan, take_off, rules, &mut faults);
    }
    every_edge_is_served(take_off, &mut faults);
    faults
}

/// Cuts every bar, and gives the pieces that came out, by mark.
fn cut(plan: &ProfilePlan, rules: &Rules, faults: &mut Vec<String>) -> BTreeMap<String, Length> {
    let wanted: BTreeMap<&str, (Length, usize)> =
        plan.runs.iter().flat_map(|r| &r.pieces).map(|p| (p.mark.as_str(), (p.length, p.bar))).collect();
    let mut out = BTreeMap::new();
    for (i, bar) in plan.bars.iter().enumerate() {
        let mut left = left_after(bar, rules);
        for mark in &bar.cuts {
            match wanted.get(mark.as_str()) {
                Some((length, from)) if *from == i => {
                    left -= *length;
                    if out.insert(mark.clone(), *length).is_some() {
                        faults.push(format!("{mark} is cut twice"));
                    }
                }
                Some((_, from)) => faults.push(format!("{mark} is cut from bar {i} and listed from bar {from}")),
                None => faults.push(format!("{mark} is cut from bar {i} and laid nowhere")),
            }
        }
        // A piece that comes out of the very end of a length needs no cut there: of its kerf is lost what is left.
        if left.as_mm() < 0 && left + rules.kerf >= Length::ZERO {
            left = Length::ZERO;
        }
        if left.as_mm() < 0 {
            faults.push(format!("bar {i} of {} is cut {} short", plan.finish.word(), -left));
        } else if left != bar.offcut {
            faults.push(format!("bar {i} of {} leaves {left}, listed {}", plan.finish.word(), bar.offcut));
        }
    }
    out
}

/// What a bar has for its pieces: its length less the sample, and a kerf for every cut.
fn left_after(bar: &Bar, rules: &Rules) -> Length {
    let cuts = bar.cuts.len() as i64 + i64::from(bar.sample);
    let sample = if bar.sample { rules.sample } else { Length::ZERO };
    bar.stock - sample - rules.kerf * cuts
}

/// A piece of a joined run shorter than `least_trim` stays only where its length has no room, and is told.
fn no_short_end_without_need(plan: &ProfilePlan, take_off: &TakeOff, rules: &Rules, faults: &mut Vec<String>) {
    for run in plan.runs.iter().filter(|r| r.pieces.len() > 1) {
        let all: Length = run.pieces.iter().map(|p| p.length).sum();
        let shared_out = all >= rules.least_trim * run.pieces.len() as i64;
        for piece in run.pieces.iter().filter(|p| p.length < rules.least_trim) {
            let words = format!("{} of {}", piece.mark, piece.length);
            if !take_off.notices.iter().any(|n| n.fault.contains(&words)) {
                faults.push(format!("{}: {words} is short and nothing says so", run.label));
            }
            let bar = &plan.bars[piece.bar];
            if shared_out && !bar.sample && bar.offcut >= rules.least_trim - piece.length {
                faults.push(format!("{}: {words} is short, and {} of its length are left", run.label, bar.offcut));
            }
        }
    }
}

/// Lays the pieces of one run end to end, each over the next by the lap.
fn lay(run: &TrimRun, plan: &ProfilePlan, cut: &BTreeMap<String, Length>, rules: &Rules, faults: &mut Vec<String>) {
    let label = &run.label;
    // A ladder point lies anywhere along its side; any other run starts at the corner.
    let ladder = matches!(run.place, RunPlace::Ladder { .. });
    let first = run.pieces.first().map_or(Length::ZERO, |p| p.at);
    let start = if ladder { first } else { -run.start_allowance };
    let end = if ladder { first } else { Length::ZERO } + run.run + run.end_allowance;
    let longest = plan.bars.iter().map(|b| b.stock).max().unwrap_or_default();
    let mut reached: Option<Length> = None;
    for piece in &run.pieces {
        let length = cut.get(&piece.mark).copied().unwrap_or_default();
        let expected = reached.map_or(start, |r| r - rules.trim_lap);
        if piece.at != expected {
            faults.push(format!("{label}: {} lies at {}, should lie at {expected}", piece.mark, piece.at));
        }
        if length > longest {
            faults.push(format!("{label}: {} is longer than any length sold", piece.mark));
        }
        let short_run = end - start < rules.shortest_piece;
        if length < rules.shortest_piece && !short_run {
            faults.push(format!("{label}: {} is only {length}", piece.mark));
        }
        reached = Some(piece.at + length);
    }
    if reached != Some(end) {
        faults.push(format!("{label}: the pieces reach {reached:?}, the run ends at {end}"));
    }
    if run.laps.len() + 1 != run.pieces.len() {
        faults.push(format!("{label}: {} pieces and {} laps", run.pieces.len(), run.laps.len()));
    }
}

/// Every side of every roof and every side of every kerb or chimney that takes a trim has exactly one run of its length.
fn every_edge_is_served(take_off: &TakeOff, faults: &mut Vec<String>) {
    let mut runs: BTreeMap<RunPlace, Length> = BTreeMap::new();
    for plan in &take_off.profiles {
        for run in &plan.runs {
            if runs.insert(run.place, run.run).is_some() {
                faults.push(format!("{} has two runs", run.label));
            }
            if side_at(take_off, run.place).is_some_and(|s| s.is_under_low_sill()) {
                faults.push(format!("{} stands under a sill that it does not fit under", run.label));
            }
            if finish_at(take_off, run.place) != Some(plan.finish) {
                faults.push(format!("{}: the {} trim does not belong there", run.label, plan.finish.word()));
            }
        }
    }
    for (roof, layout) in take_off.roofs.iter().enumerate() {
        let sides = &layout.shape.sides;
        let goes_on = |i: usize| {
            let next = (i + 1) % sides.len();
            let alike = sides[next].finish == sides[i].finish && sides[next].has_trim() == sides[i].has_trim();
            layout.shape.corners[next].turn == Turn::Straight && alike
        };
        for (side, s) in sides.iter().enumerate().filter(|(_, s)| s.has_trim()) {
            // Stretches of one straight edge and one finish are one run, which starts at the first of them.
            let mut whole = s.run;
            let mut last = side;
            while goes_on(last) {
                last = (last + 1) % sides.len();
                whole += sides[last].run;
            }
            let before = (side + sides.len() - 1) % sides.len();
            match runs.get(&RunPlace::Side { roof, side }) {
                None if goes_on(before) => {}
                None => faults.push(format!("{} has no trim", s.label)),
                Some(run) if *run > whole => faults.push(format!("{}: a run of {run} on {whole}", s.label)),
                Some(_) => {}
            }
        }
        let ladders = take_off.profiles.iter().flat_map(|p| &p.runs).filter_map(|r| match r.place {
            RunPlace::Ladder { roof: of, side } if of == roof => Some((r, &layout.shape.sides[side])),
            _ => None,
        });
        for (run, s) in ladders {
            let within = |p: &TrimPiece| p.at >= Length::ZERO && p.at + p.length <= s.run;
            if run.pieces.len() != 1 || !run.pieces.iter().all(within) {
                faults.push(format!("{} does not lie on its edge in one piece", run.label));
            }
        }
        for (hole, h) in layout.shape.holes.iter().enumerate().filter(|(_, h)| !h.round) {
            for side in 0..h.ring.len() {
                if !runs.contains_key(&RunPlace::Hole { roof, hole, side }) {
                    faults.push(format!("{}: side {side} has no trim", h.name));
                }
            }
        }
    }
}

fn side_at(take_off: &TakeOff, place: RunPlace) -> Option<&Side> {
    match place {
        RunPlace::Side { roof, side } | RunPlace::Ladder { roof, side } => {
            take_off.roofs.get(roof)?.shape.sides.get(side)
        }
        RunPlace::Hole { .. } | RunPlace::Parapet { .. } => None,
    }
}

fn finish_at(take_off: &TakeOff, place: RunPlace) -> Option<Finish> {
    match place {
        RunPlace::Side { roof, side } | RunPlace::Ladder { roof, side } => {
            Some(take_off.roofs.get(roof)?.shape.sides.get(side)?.finish)
        }
        RunPlace::Parapet { .. } => Some(Finish::Drip),
        RunPlace::Hole { roof, hole, .. } => Some(take_off.roofs.get(roof)?.shape.holes.get(hole)?.finish),
    }
}
