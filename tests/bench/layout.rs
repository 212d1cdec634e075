//! How long the layout takes: the demo jobs, a large roof with many corners and holes, and roofs of growing size.
//!
//! Aims, on one core of an ordinary machine: a demo job under 5 ms; 1,000 m² with 40 corners and 10 holes under 250 ms; 10,000 m²
//! under a second, and the mat's time growing no faster than its pieces by much.

#![allow(missing_docs, clippy::unwrap_used, reason = "criterion's macros write undocumented items; a bench may panic")]
#![allow(unreachable_pub, reason = "shared with the tests")]

#[path = "../demo.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod demo;
#[path = "../support.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod support;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use support::{at, mm, rectangle, roof, setting};
use wetout::job_file::Loaded;
use wetout::model::shape::DeckAction;
use wetout::model::{Finish, Hole, HoleForm, Job, Point, Roof, Rules};
use wetout::takeoff::take_off;

fn kitchen() -> Loaded {
    demo::work(&demo::request("kitchen-extension")).loaded
}

fn of_roofs(loaded: &Loaded, roofs: Vec<Roof>) -> Job {
    Job { roofs, wind_from: None, ..loaded.job.clone() }
}

/// About 1,000 m² under a back edge of 19 teeth: 40 corners; ten rooflights.
fn large() -> Roof {
    let (width, teeth) = (40_000, 19);
    let along = |i: i64| width - width * i / teeth;
    let depth = |i: i64| 25_000 + [0, 700, -450, 380, -820][(i % 5) as usize];
    let mut corners: Vec<(Point, &str, Finish)> =
        vec![(at(0, 0), "front", Finish::Drip), (at(width, 0), "right", Finish::Raised)];
    for i in 0..teeth {
        let finish = if i % 3 == 0 { Finish::Wall } else { Finish::Raised };
        corners.push((at(along(i), depth(i)), NAMES[2 * i as usize], finish));
        corners.push((at(along(i + 1), depth(i)), NAMES[2 * i as usize + 1], Finish::Raised));
    }
    let mut large = roof(&corners);
    large.holes = (0..10).map(rooflight).collect();
    large
}

const NAMES: [&str; 38] = [
    "a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l", "m", "n", "o", "p", "q", "r", "s", "t", "u", "v", "w",
    "x", "y", "z", "aa", "ab", "ac", "ad", "ae", "af", "ag", "ah", "ai", "aj", "ak", "al",
];

fn rooflight(i: i64) -> Hole {
    let place = at(2_300 + 7_450 * (i % 5), 5_200 + 11_130 * (i / 5));
    let form = HoleForm::Box { at: place, width: mm(1_000 + 150 * i), depth: mm(1_500) };
    Hole {
        path: setting(&format!("roofs[0].holes[{i}]")),
        ..support::hole(&format!("rooflight {i}"), form, Finish::Kerb)
    }
}

fn demo_jobs(c: &mut Criterion) {
    for name in demo::names() {
        let loaded = demo::work(&demo::request(&name)).loaded;
        c.bench_function(&format!("{name}: layout"), |b| {
            b.iter(|| take_off(black_box(&loaded.job), &loaded.rules, &loaded.products).unwrap());
        });
    }
}

fn large_roof(c: &mut Criterion) {
    let loaded = kitchen();
    let job = of_roofs(&loaded, vec![large()]);
    let laid = take_off(&job, &loaded.rules, &loaded.products).unwrap();
    assert_eq!((job.roofs[0].outline.corners.len(), laid.roofs[0].shape.holes.len()), (40, 10));
    c.bench_function("1,000 m2 with 40 corners and 10 holes: layout", |b| {
        b.iter(|| take_off(black_box(&job), &loaded.rules, &loaded.products).unwrap());
    });
}

fn growth(c: &mut Criterion) {
    let loaded = kitchen();
    let mut group = c.benchmark_group("rectangle of so many m2: layout");
    for (area, width, depth) in
        [(10, 4_000, 2_500), (100, 12_500, 8_000), (1_000, 40_000, 25_000), (10_000, 100_000, 100_000)]
    {
        let job = of_roofs(&loaded, vec![rectangle(width, depth)]);
        group.bench_with_input(BenchmarkId::from_parameter(area), &job, |b, job| {
            b.iter(|| take_off(black_box(job), &loaded.rules, &loaded.products).unwrap());
        });
    }
    group.finish();
}

/// Two layers of mat on a kept deck, so that little but the mat is laid: the order of laying above all. Short pieces make
/// many of them.
fn mat_growth(c: &mut Criterion) {
    let loaded = kitchen();
    let mut group = c.benchmark_group("mat, two layers on a kept deck, square of so many m: layout");
    for (side, longest) in [(25_000, 6_000), (50_000, 6_000), (100_000, 6_000), (80_000, 1_000)] {
        let mut roof = rectangle(side, side);
        (roof.deck.action, roof.deck.board, roof.laminate.layers) = (DeckAction::Keep, None, 2);
        roof.way_off = Some("front".into());
        let job = of_roofs(&loaded, vec![roof]);
        let rules = Rules { mat_longest: mm(longest), ..loaded.rules.clone() };
        group.bench_with_input(BenchmarkId::new(format!("pieces of {longest} mm"), side), &job, |b, job| {
            b.iter(|| take_off(black_box(job), &rules, &loaded.products).unwrap());
        });
    }
    group.finish();
}

fn config() -> Criterion {
    Criterion::default().sample_size(20)
}

criterion_group! { name = benches; config = config(); targets = demo_jobs, large_roof, growth, mat_growth }
criterion_main!(benches);
