//! How long a demo job takes: read, laid out, priced, and made into three PDFs, in one process.

#![allow(missing_docs, clippy::unwrap_used, reason = "criterion's macros write undocumented items; a bench may panic")]
#![allow(unreachable_pub, reason = "shared with the tests")]

#[path = "../demo.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod demo;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use mimalloc::MiMalloc;
use std::hint::black_box;

/// As the program has it.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn whole_job(c: &mut Criterion) {
    for name in demo::names() {
        let request = demo::request(&name);
        c.bench_function(&format!("{name}: job to three PDFs"), |b| {
            b.iter_batched(
                || request.clone(),
                |request| {
                    let demo = demo::work(&request);
                    wetout::documents::side_by_side(&demo::KINDS, |kind| black_box(demo.make(kind)))
                },
                BatchSize::SmallInput,
            );
        });
    }
}

fn steps(c: &mut Criterion) {
    let request = demo::request("kitchen-extension");
    c.bench_function("read a job, a firm and a price book", |b| {
        b.iter(|| wetout::job_file::load(black_box(&request)).unwrap());
    });
    let demo = demo::work(&request);
    let loaded = &demo.loaded;
    c.bench_function("lay a roof out", |b| {
        b.iter(|| wetout::takeoff::take_off(black_box(&loaded.job), &loaded.rules, &loaded.products).unwrap());
    });
    c.bench_function("three documents of a priced job, side by side", |b| {
        b.iter(|| wetout::documents::side_by_side(&demo::KINDS, |kind| black_box(demo.make(kind))));
    });
    for kind in demo::KINDS {
        c.bench_function(&format!("{kind:?} of a priced job"), |b| b.iter(|| demo.make(black_box(kind))));
    }
}

criterion_group!(benches, whole_job, steps);
criterion_main!(benches);
