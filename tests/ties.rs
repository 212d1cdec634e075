//! Walks that are tied: the shape that lengths and ties fix, what is told of them, and what is refused.
//!
//! Given job files with a walk and distances from corner to corner; compared with a general-purpose solver, with outlines
//! that were measured exactly, and with what Bowditch, Gauss and Pythagoras say.

use crate::replay::roofs::{self, Dice};
use crate::support::asked;
use std::fmt::Write;
use wetout::job_file::{Loaded, load};
use wetout::model::{Level, Point, Problem};

/// A leg: its turn, empty where it is left out, and its length in mm.
type Leg<'a> = (&'a str, i64);

/// The name of an edge.
fn edge(i: usize) -> String {
    format!("side {}", i + 1)
}

/// The corner where edge `i` begins, as the file names it.
fn corner(i: usize, n: usize) -> String {
    format!("{}/{}", edge((i + n - 1) % n), edge(i))
}

/// A job on a tied walk: water drips off every edge, so that any may lie low.
fn tied(legs: &[Leg<'_>], ties: &[(usize, usize, i64)]) -> String {
    let n = legs.len();
    let mut text = String::from(
        "reference: 26-930\ntitle: Lean-to\nprepared: 2026-11-25\nasbestos: no\n\
         customer: {name: A. Householder, address: [1 Example Street, Anytown]}\n\
         roofs:\n  - name: Lean-to\n    outline:\n      walk:\n",
    );
    for (i, (turn, go)) in legs.iter().enumerate() {
        let turn = if turn.is_empty() { String::new() } else { format!("turn: {turn}, ") };
        writeln!(text, "        - {{edge: {}, {turn}go: {go} mm}}", edge(i)).unwrap();
    }
    text.push_str("      ties:\n");
    for &(from, to, is) in ties {
        writeln!(text, "        - {{from: {}, to: {}, is: {is} mm}}", corner(from, n), corner(to, n)).unwrap();
    }
    text.push_str("    edges:\n");
    for i in 0..n {
        writeln!(text, "      {}: {{finish: drip}}", edge(i)).unwrap();
    }
    text.push_str(
        "    falls_to: side 1\n    deck: {action: new, board: osb3-18}\n    laminate: {mat: 450, layers: 1}\n    \
         topcoat: {colour: dark grey, finish: smooth}\n",
    );
    text
}

fn read(text: &str) -> Result<Loaded, Vec<Problem>> {
    load(&asked(text)).map_err(|f| f.problems)
}

/// The corners of a job that is taken.
fn corners(text: &str) -> Vec<Point> {
    read(text).unwrap_or_else(|found| panic!("{found:#?}\n{text}")).job.roofs.remove(0).outline.corners
}

/// The faults of a job that is refused.
fn faults(text: &str) -> Vec<Problem> {
    let mut found = read(text).expect_err("it is taken");
    found.retain(|p| p.level == Level::Fault);
    found
}

fn far(a: Point, b: Point) -> f64 {
    ((a.x - b.x) as f64).hypot((a.y - b.y) as f64)
}

/// Sixty outlines with ties and turns that err, as scipy's `least_squares` (PyPI) solves them: `tests/outside/ties.py` makes
/// the vectors. Our corners are whole millimetres.
#[test]
fn tied_walks_agree_with_a_general_purpose_least_squares_solver() {
    let cases: serde_json::Value = serde_json::from_str(include_str!("outside/ties.json")).unwrap();
    let whole = |v: &serde_json::Value| v.as_i64().unwrap();
    let mut told = 0;
    for case in cases.as_array().unwrap() {
        let legs: Vec<Leg<'_>> = (case["legs"].as_array().unwrap().iter())
            .map(|leg| (leg["turn"].as_str().unwrap_or_default(), whole(&leg["go"])))
            .collect();
        let ties: Vec<_> = (case["ties"].as_array().unwrap().iter())
            .map(|t| (whole(&t["from"]) as usize, whole(&t["to"]) as usize, whole(&t["is"])))
            .collect();
        let roof = read(&tied(&legs, &ties)).unwrap_or_else(|f| panic!("{case}: {f:#?}")).job.roofs.remove(0);
        for (ours, theirs) in roof.outline.corners.iter().zip(case["corners"].as_array().unwrap()) {
            let apart =
                [(ours.x, &theirs[0]), (ours.y, &theirs[1])].map(|(o, t)| (o as f64 - t.as_f64().unwrap()).abs());
            assert!(apart.iter().all(|a| *a <= 0.51), "{case}: {ours:?}");
        }
        let moved = case["moved"].as_array().unwrap().iter().map(|m| m.as_f64().unwrap().abs());
        let most = moved.chain(turned_by(case)).fold(0.0, f64::max);
        if let Some(missed) = roof.misclosure {
            assert!((missed.by.as_mm() as f64 - most).abs() <= 0.51, "{case}: {missed:?}");
            told += 1;
        }
    }
    assert!(told >= 50, "{told}");
}

/// By how much each turn of a case was moved, as the millimetres that the end of a side of a metre goes with it.
fn turned_by(case: &serde_json::Value) -> Vec<f64> {
    let corners: Vec<(f64, f64)> = (case["corners"].as_array().unwrap().iter())
        .map(|c| (c[0].as_f64().unwrap(), c[1].as_f64().unwrap()))
        .collect();
    let along = |n: usize| {
        let (from, to) = (corners[n % corners.len()], corners[(n + 1) % corners.len()]);
        (to.1 - from.1).atan2(to.0 - from.0).to_degrees()
    };
    let turns =
        case["legs"].as_array().unwrap().iter().enumerate().filter_map(|(n, leg)| Some((n, leg["turn"].as_str()?)));
    let by = turns.filter_map(|(n, said)| {
        // A bare `left` or `right` was not measured.
        let (way, angle) = said.split_once(' ')?;
        let angle: f64 = angle.parse().unwrap();
        let is = along(n) - along(n - 1);
        let off = is - if way == "left" { angle } else { -angle };
        // A whole turn more or less is the same way.
        Some(((off + 540.0).rem_euclid(360.0) - 180.0).to_radians().abs() * 1000.0)
    });
    by.collect()
}

/// A true outline of four to eight corners, out of square: a rectangle, an L, a U or a bay.
fn out_of_square(dice: &mut Dice) -> Vec<(f64, f64)> {
    let (w, d) = (dice.size(2500, 9000), dice.size(2000, 6000));
    let (a, b) = (w * dice.size(25, 45) / 100, d * dice.size(25, 60) / 100);
    let square = match dice.below(5) {
        0 => vec![(0, 0), (w, 0), (w, d), (0, d)],
        1 => vec![(0, 0), (a, 0), (a, b), (w, b), (w, d), (0, d)],
        2 => vec![(0, 0), (w, 0), (w, d), (a, d), (a, b), (0, b)],
        3 => vec![(0, 0), (a, 0), (a, b), (w - a / 2, b), (w - a / 2, 0), (w, 0), (w, d), (0, d)],
        _ => vec![(0, 0), (w, 0), (w + a / 2, b), (w, d), (0, d)],
    };
    let out = w.min(d) / 14;
    let mut moved = |v: i64| (v + dice.size(-out, out)) as f64;
    square.into_iter().map(|(x, y)| (moved(x), moved(y))).collect()
}

fn apart(p: &[(f64, f64)], a: usize, b: usize) -> f64 {
    (p[a].0 - p[b].0).hypot(p[a].1 - p[b].1)
}

/// Which way an outline turns at a corner, without degrees.
fn way(p: &[(f64, f64)], i: usize) -> &'static str {
    let n = p.len();
    let ((ax, ay), (bx, by), (cx, cy)) = (p[(i + n - 1) % n], p[i], p[(i + 1) % n]);
    if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) > 0.0 { "left" } else { "right" }
}

/// The job of an outline that was measured to the millimetre between every two corners. `turn` gives each turn.
fn measured(p: &[(f64, f64)], turn: impl Fn(usize) -> &'static str) -> String {
    let n = p.len();
    let mm = |a, b| apart(p, a, b).round() as i64;
    let legs: Vec<Leg<'_>> = (0..n).map(|i| (if i == 0 { "" } else { turn(i) }, mm(i, (i + 1) % n))).collect();
    let ties: Vec<_> = (0..n)
        .flat_map(|a| (a + 2..n).map(move |b| (a, b)))
        .filter(|&(a, b)| (a, b) != (0, n - 1))
        .map(|(a, b)| (a, b, mm(a, b)))
        .collect();
    tied(&legs, &ties)
}

/// Whatever is out of square comes back as it is, to the millimetre; so does what a mirror shows of it, and the same
/// outline walked from another corner; and so does one whose turns are left out, two of them.
#[test]
fn random_outlines_measured_exactly_come_back_to_the_millimetre() {
    let count = roofs::count(40);
    let run = |seed: u64| -> Vec<String> {
        let mut dice = Dice::new(seed);
        let p = out_of_square(&mut dice);
        let mirrored: Vec<_> = p.iter().rev().map(|&(x, y)| (-x, y)).collect();
        let by = 1 + dice.below(p.len() - 1);
        let turned: Vec<_> = (0..p.len()).map(|i| p[(i + by) % p.len()]).collect();
        let open = [1 + dice.below(p.len() - 1), 1 + dice.below(p.len() - 1)];
        let mut found = Vec::new();
        for (what, p, open) in
            [("as it is", &p, [0, 0]), ("mirrored", &mirrored, [0, 0]), ("turned", &turned, [0, 0]), ("open", &p, open)]
        {
            let text = measured(p, |i| if open.contains(&i) { "" } else { way(p, i) });
            let ours = match read(&text) {
                Ok(mut loaded) => loaded.job.roofs.remove(0).outline.corners,
                Err(refused) => {
                    found.push(format!("{what}: {refused:?}"));
                    continue;
                }
            };
            for a in 0..p.len() {
                for b in a + 1..p.len() {
                    let off = (far(ours[a], ours[b]) - apart(p, a, b)).abs();
                    found.extend((off > 2.0).then(|| format!("{what}: {a} to {b} is {off:.2} mm off")));
                }
            }
        }
        found
    };
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, run), count);
}

/// A quadrilateral and the walk round it with both diagonals are one adjustment: the variance of a length is
/// proportional to it in both.
#[test]
fn a_walk_of_four_with_both_diagonals_is_the_quadrilateral() {
    let legs = [("", 5200), ("left", 3420), ("left", 5180), ("left", 3400)];
    let walk = tied(&legs, &[(0, 2, 6222), (1, 3, 6205)]);
    let (before, after) = walk.split_once("      walk:\n").unwrap();
    let (_, after) = after.split_once("    edges:\n").unwrap();
    let sides = "front: 5.20 m, right: 3.42 m, back: 5.18 m, left: 3.40 m, diagonal: 6.222 m, other_diagonal: 6.205 m";
    let mut quadrilateral = format!("{before}      quadrilateral: {{{sides}}}\n    edges:\n{after}");
    for (i, name) in ["front", "right", "back", "left"].iter().enumerate() {
        quadrilateral = quadrilateral.replace(&edge(i), name);
    }
    let (ours, theirs) = (corners(&walk), corners(&quadrilateral));
    assert!(ours.iter().zip(&theirs).all(|(a, b)| far(*a, *b) < 1.5), "{ours:?} {theirs:?}");
}

/// An L: 3000 along the front, 2000 up, 2500 to the right, 1500 up, 5500 back, 3500 down. Pythagoras gives its ties:
/// side 1/side 2 to side 4/side 5 is √(2500² + 3500²) = 4301, and so on.
const L: [Leg<'_>; 6] = [("", 3000), ("left", 2000), ("right", 2500), ("left", 1500), ("left", 5500), ("left", 3500)];

/// From the front left to every corner that is not beside it, and one more.
const L_TIES: [(usize, usize, i64); 5] = [(0, 2, 3606), (0, 3, 5852), (0, 4, 6519), (1, 4, 4301), (2, 5, 3354)];

#[test]
fn a_square_l_is_found_square_from_lengths_and_ties_alone() {
    let found = read(&tied(&L, &L_TIES)).unwrap();
    let at = |x, y| Point::new(x, y);
    let square = [at(0, 0), at(3000, 0), at(3000, 2000), at(5500, 2000), at(5500, 3500), at(0, 3500)];
    let ours = &found.job.roofs[0].outline.corners;
    assert!(ours.iter().zip(square).all(|(a, b)| far(*a, b) < 1.5), "{ours:?}");
    let told = found.notices.iter().find(|p| p.fault.starts_with("the turns were found")).unwrap();
    assert!(told.fault.contains("`side 3` right 90.0°") && told.fault.contains("`side 1` left 90.0°"), "{told}");
    // Runs keep the lengths that were measured.
    assert!(found.job.roofs[0].outline.edges.iter().zip(L).all(|(edge, leg)| edge.length.as_mm() == leg.1));
}

/// An L out of square by some degrees, from three ties: by hand, as triangles. The front is 3000 long, side 2 is 2000 long
/// and leans out so that the tie across the two is 3700: by the law of cosines the angle between them is
/// acos((3000² + 2000² − 3700²) ÷ (2 · 3000 · 2000)) = 93.3°, a turn of 86.7°.
#[test]
fn an_angle_is_found_where_the_corner_is_out_of_square() {
    let true_corners =
        [(0.0, 0.0), (3000.0, 0.0), (3115.0, 1996.7), (5600.0, 2060.0), (5480.0, 3560.0), (-40.0, 3440.0)];
    let text = measured(&true_corners, |i| way(&true_corners, i));
    let found = read(&text).unwrap();
    let told = found.notices.iter().find(|p| p.fault.starts_with("the turns were found")).unwrap();
    assert!(told.fault.contains("`side 2` left 86.7°"), "{told}");
}

#[test]
fn what_is_not_determined_is_told_with_what_would_tell_it() {
    // Six lengths and one tie of an L: two more are needed, or degrees.
    let found = faults(&tied(&L, &L_TIES[..1]));
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].fault.starts_with("the lengths and ties do not fix the shape: nothing tells how far it is from"));
    assert!(found[0].fault.matches(" and from ").count() == 1, "two measurements tell: {}", found[0]);
    assert_eq!(found[0].place.to_string(), "roofs[0].outline.ties");
    // Given what was asked for, the shape is fixed; so it is with three corners known to be square.
    let asked: Vec<(usize, usize)> = (found[0].fault.split("from ").skip(1))
        .map(|pair| {
            let named = |c: &str| (0..6).find(|&i| c.contains(&format!("`{}`", corner(i, 6)))).unwrap();
            let (a, b) = pair.split_once(" to ").unwrap();
            (named(a), named(b))
        })
        .collect();
    let square = [(0, 0), (3000, 0), (3000, 2000), (5500, 2000), (5500, 3500), (0, 3500)]
        .map(|(x, y)| (f64::from(x), f64::from(y)));
    let mut ties = vec![L_TIES[0]];
    ties.extend(asked.iter().map(|&(a, b)| (a, b, apart(&square, a, b).round() as i64)));
    assert!(read(&tied(&L, &ties)).is_ok(), "{asked:?}");
    let mut known = L;
    known[3].0 = "left 90";
    known[4].0 = "left 90";
    assert!(read(&tied(&known, &L_TIES[..1])).is_ok());
}

#[test]
fn a_measurement_that_disagrees_with_all_others_is_named_with_what_it_would_be() {
    let mut ties = L_TIES.to_vec();
    ties.push((1, 5, 4610));
    ties.push((1, 3, 3202));
    ties[2].2 += 100; // 6619 for 6519
    let found = faults(&tied(&L, &ties));
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].fault.starts_with("the lengths and ties do not agree: to make one shape of them"), "{}", found[0]);
    let (_, settled) = found[0].cure.split_once("all the others would agree with ").unwrap();
    assert!(settled.starts_with("`side 6/side 1` to `side 4/side 5` at 65"), "{}", found[0]);
}

#[test]
fn a_few_millimetres_are_shared_out_and_told_largest_first() {
    let mut ties = L_TIES.to_vec();
    ties[1].2 += 8;
    let found = read(&tied(&L, &ties)).unwrap();
    let missed = found.job.roofs[0].misclosure.clone().unwrap();
    assert_eq!(missed.check, "the ties");
    assert!((1..=8).contains(&missed.by.as_mm()), "{missed:?}");
    let sizes: Vec<i64> = missed
        .statement
        .split("is made ")
        .skip(1)
        .map(|part| part.split_once(" mm").unwrap().0.parse().unwrap())
        .collect();
    assert!(sizes.len() > 1 && sizes.is_sorted_by(|a, b| a >= b), "{missed:?}");
    assert_eq!(sizes[0], missed.by.as_mm());
}

#[test]
fn what_no_other_measurement_checks_is_told() {
    let warned = |ties: &[(usize, usize, i64)]| {
        let found = read(&tied(&L, ties)).unwrap();
        found.notices.into_iter().find(|p| p.fault.starts_with("no other measurement would show a slip"))
    };
    let just = warned(&L_TIES[..3]).unwrap();
    assert!(
        just.fault.ends_with("any of the lengths and ties") && just.cure.starts_with("measure also from `side "),
        "{just}"
    );
    let mut all = L_TIES.to_vec();
    all.extend([(1, 5, 4610), (1, 3, 3202), (3, 5, 5701), (2, 4, 2915)]);
    assert!(warned(&all).is_none());
}

#[test]
fn corners_that_are_none_and_ties_without_a_walk_are_refused_with_a_cure() {
    let good = tied(&L, &L_TIES);
    let told = |from: &str, to: &str, fault: &str, cure: &str| {
        let found = faults(&good.replacen(from, to, 1));
        assert!(found.iter().any(|p| p.fault.contains(fault) && p.cure.contains(cure)), "{to}: {found:#?}");
    };
    told("from: side 6/side 1", "from: side 6/sid 1", "is not a corner of the walk", "did you mean `side 6/side 1`?");
    told("from: side 6/side 1", "from: side 1/side 4", "`side 1` and `side 4` do not meet", "name two edges that meet");
    told(
        "from: side 6/side 1, to: side 2/side 3",
        "from: side 6/side 1, to: side 1/side 6",
        "ends at the corner where it starts",
        "other end",
    );
    // Either edge may be named first.
    assert!(read(&good.replace("side 6/side 1", "side 1/side 6")).is_ok());
    let (before, after) = good.split_once("      walk:\n").unwrap();
    let rectangle = format!(
        "{before}      rectangle: {{width: 3 m, depth: 2 m}}\n{}",
        &after[after.find("      ties:").unwrap()..]
    );
    let found = faults(&rectangle);
    assert!(found.iter().any(|p| p.fault == "ties belong to a walk"), "{found:#?}");
}

#[test]
fn a_turn_to_the_other_side_than_the_walk_says_is_told() {
    let mut wrong = L;
    (wrong[2].0, wrong[3].0) = ("left", "right");
    let mut ties = L_TIES.to_vec();
    ties.extend([(1, 5, 4610), (1, 3, 3202), (3, 5, 5701), (2, 4, 2915)]);
    let found = faults(&tied(&wrong, &ties));
    assert!(!found.is_empty() && found.iter().all(|p| p.fault.len() > 10 && p.cure.len() > 10), "{found:#?}");
    let several = faults(&tied(&[("", 900); 9], &[(0, 3, 1800)]));
    assert!(several[0].fault.contains("8 turns of the walk are left out"), "{several:#?}");
}
