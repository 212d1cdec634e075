//! Every demo job at three seams: the take-off as text, the placed pages as text, and facts of each PDF.
//!
//! The goldens stand in `tests/goldens/<job>/`. To write them anew after a change that was meant, run
//! `WETOUT_WRITE_GOLDENS=1 cargo test goldens` and read the difference before committing it.

use crate::demo::{self, Demo, KINDS};
use lopdf::Document;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use wetout::documents::{DocumentKind, Overrides, describe};
use wetout::takeoff::{Line, Step};

fn place(job: &str, name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/goldens").join(job).join(name)
}

/// Compares with the golden, or writes it when asked to.
fn compare(job: &str, name: &str, now: &str, faults: &mut Vec<String>) {
    let place = place(job, name);
    if std::env::var_os("WETOUT_WRITE_GOLDENS").is_some() {
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        fs::write(&place, now).unwrap();
        return;
    }
    let golden = fs::read_to_string(&place).unwrap_or_default();
    if let Some(at) = first_difference(&golden, now) {
        faults.push(format!("{job}/{name}: {at}"));
    }
}

fn first_difference(golden: &str, now: &str) -> Option<String> {
    let lines = golden.lines().map(Some).chain(std::iter::repeat(None));
    let pairs = lines.zip(now.lines().map(Some).chain([None]));
    let differs = pairs.enumerate().find(|(_, (a, b))| a != b);
    let longer = golden.lines().count() > now.lines().count();
    match differs {
        Some((n, (was, is))) => Some(format!("line {}\n  was {was:?}\n  is  {is:?}", n + 1)),
        None if longer => Some("the golden goes on".into()),
        None => None,
    }
}

fn for_every_demo(name: &str, text: impl Fn(&Demo) -> String) {
    let mut faults = Vec::new();
    for job in demo::names() {
        compare(&job, name, &text(&demo::work(&demo::request(&job))), &mut faults);
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_take_off_of_every_demo_job_is_as_it_was() {
    for_every_demo("takeoff.txt", |demo| demo.take_off.lines.iter().map(line_text).collect());
}

fn line_text(line: &Line) -> String {
    let mut text = format!(
        "{} [{}] {} {}\n",
        line.id,
        line.roof.as_deref().unwrap_or("all"),
        line.quantity.normalize(),
        line.unit
    );
    for step in &line.working {
        let _ = match step {
            Step::Measured { what, value, unit } => writeln!(text, "  {what}: {} {unit}", value.normalize()),
            Step::Rule { name, value } => writeln!(text, "  rule {name}: {value}"),
            Step::Formula { formula, result, unit } => writeln!(text, "  {formula} = {} {unit}", result.normalize()),
            Step::Rounded { how, result, unit } => writeln!(text, "  {how}: {} {unit}", result.normalize()),
            Step::Note(note) => writeln!(text, "  {note}"),
        };
    }
    text
}

#[test]
fn the_pages_of_every_quote_are_as_they_were() {
    for_every_demo("quote.txt", |demo| pages(demo, DocumentKind::Quote));
}

#[test]
fn the_pages_of_every_order_are_as_they_were() {
    for_every_demo("order.txt", |demo| pages(demo, DocumentKind::Order));
}

#[test]
fn the_pages_of_every_method_statement_are_as_they_were() {
    for_every_demo("method.txt", |demo| pages(demo, DocumentKind::Method));
}

fn pages(demo: &Demo, kind: DocumentKind) -> String {
    describe(kind, &demo.worked(), &Overrides::default()).unwrap()
}

#[test]
fn the_facts_of_every_pdf_are_as_they_were() {
    for_every_demo("pdf.txt", |demo| {
        KINDS.iter().flat_map(|&kind| demo.make(kind)).map(|f| facts(&f.name, &f.bytes)).collect()
    });
}

/// What a reader of the file relies on: pages, version, title, language, tags, fonts, attachments.
fn facts(name: &str, bytes: &[u8]) -> String {
    if !name.ends_with(".pdf") {
        return format!("{name}: {} lines\n", bytes.iter().filter(|b| **b == b'\n').count());
    }
    let pdf = Document::load_mem(bytes).unwrap();
    let root = pdf.catalog().unwrap();
    let has = |key: &[u8]| if root.has(key) { "yes" } else { "no" };
    let mut fonts: Vec<String> = pdf
        .objects
        .values()
        .filter_map(|o| o.as_dict().ok())
        .filter_map(|d| d.get(b"BaseFont").and_then(|n| n.as_name()).ok())
        .map(|n| String::from_utf8_lossy(n).split('+').next_back().unwrap().to_owned())
        .collect();
    fonts.sort();
    fonts.dedup();
    format!(
        "{name}: {} pages, PDF {}, tagged {}, outline {}, metadata {}, attachments {}, fonts {}\n",
        pdf.get_pages().len(),
        pdf.version,
        has(b"StructTreeRoot"),
        has(b"Outlines"),
        has(b"Metadata"),
        has(b"AF"),
        fonts.join(" ")
    )
}

#[test]
fn no_document_is_heavy() {
    for job in demo::names() {
        let demo = demo::work(&demo::request(&job));
        for file in KINDS.iter().flat_map(|&kind| demo.make(kind)) {
            assert!(file.bytes.len() < 250_000, "{job}/{}: {} bytes", file.name, file.bytes.len());
        }
    }
}
