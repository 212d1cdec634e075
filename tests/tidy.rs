//! The house rules, read off the source itself: layers look one way, modules say what they are, one file names
//! printpdf, one file prints, one layer writes files.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What each layer may use. `cli` may use everything.
const LAYERS: [(&str, &[&str]); 15] = [
    ("geometry", &[]),
    ("model", &["geometry"]),
    ("cutting", &["geometry", "model"]),
    ("works", &["model"]),
    ("takeoff", &["model", "geometry", "cutting", "works"]),
    ("checks", &["model", "geometry", "takeoff"]),
    ("programme", &["model", "takeoff", "works"]),
    ("safety", &["model", "takeoff", "works"]),
    ("pricing", &["model", "geometry", "takeoff", "checks", "programme", "works"]),
    ("job_file", &["model", "takeoff", "checks", "programme", "pricing"]),
    ("estimate", &["model", "takeoff", "checks", "programme", "pricing"]),
    ("pages", &["model", "pdf"]),
    ("pdf", &["model", "pages"]),
    (
        "documents",
        &["model", "geometry", "cutting", "works", "takeoff", "checks", "programme", "safety", "pricing", "pages"],
    ),
    ("records", &["model"]),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder, with its path from the root of the project.
fn sources(folder: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root().join(folder)];
    while let Some(here) = folders.pop() {
        for entry in fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path.strip_prefix(root()).unwrap().display().to_string();
                found.insert(name, fs::read_to_string(&path).unwrap());
            }
        }
    }
    found
}

fn layer_of(file: &str) -> Option<&str> {
    let inside = file.strip_prefix("src/")?;
    inside.split_once('/').map(|(layer, _)| layer).or(inside.strip_suffix(".rs"))
}

/// The layers that a file names after `crate::`.
fn layers_used(text: &str) -> Vec<&str> {
    let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
    let names = code.flat_map(|line| line.split("crate::").skip(1));
    names.map(|rest| rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap()).collect()
}

#[test]
fn every_layer_looks_one_way() {
    let known: Vec<&str> = LAYERS.iter().map(|l| l.0).chain(["cli"]).collect();
    let mut faults = Vec::new();
    for (file, text) in sources("src") {
        let Some((layer, allowed)) = LAYERS.iter().find(|(name, _)| layer_of(&file) == Some(name)) else {
            continue;
        };
        for used in layers_used(&text) {
            if known.contains(&used) && used != *layer && !allowed.contains(&used) {
                faults.push(format!("{file} uses crate::{used}"));
            }
        }
    }
    assert!(faults.is_empty(), "layers look back:\n{}", faults.join("\n"));
}

#[test]
fn the_check_of_layers_can_fail() {
    assert_eq!(
        layers_used("use crate::pricing::Money;\n// crate::cli\nlet x = crate::model::Job;"),
        ["pricing", "model"]
    );
    assert_eq!(layer_of("src/takeoff/deck.rs"), Some("takeoff"));
    assert_eq!(layer_of("src/lib.rs"), Some("lib"));
}

#[test]
fn every_module_opens_with_what_it_is() {
    let bare: Vec<String> = ["src", "tests"]
        .iter()
        .flat_map(|folder| sources(folder))
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(file, _)| file)
        .collect();
    assert!(bare.is_empty(), "no `//!` at the top of:\n{}", bare.join("\n"));
}

#[test]
fn only_one_file_names_printpdf_one_prints_and_one_layer_writes_files() {
    for (word, home) in [
        ("printpdf::", "src/pdf/writer.rs"),
        ("io::stdout()", "src/cli/terminal.rs"),
        ("io::stderr()", "src/cli/terminal.rs"),
        ("File::create", "src/records/"),
        ("fs::write", "src/records/"),
        ("OffsetDateTime::now", "src/cli/"),
        ("SystemTime::now", "src/cli/"),
        ("HashMap", "nowhere: its order changes from run to run"),
        ("HashSet", "nowhere: its order changes from run to run"),
    ] {
        let strangers: Vec<String> = sources("src")
            .into_iter()
            .filter(|(file, text)| text.contains(word) && !file.starts_with(home))
            .map(|(file, _)| file)
            .collect();
        assert!(strangers.is_empty(), "`{word}` belongs in {home}, and stands in {strangers:?}");
    }
}

#[test]
fn the_model_knows_no_file_format_and_no_money() {
    for (file, text) in sources("src/model") {
        for word in ["serde", "Money", "std::fs", "std::path"] {
            let used = text.lines().any(|l| !l.trim_start().starts_with("//") && l.contains(word));
            assert!(!used, "{file} names {word}");
        }
    }
}

#[test]
fn no_module_is_named_for_nothing_in_particular() {
    for file in sources("src").keys().chain(sources("tests").keys()) {
        let stem = Path::new(file).file_stem().unwrap().to_str().unwrap();
        assert!(!["util", "utils", "helpers", "common", "misc"].contains(&stem), "{file}: name it for what it holds");
    }
}

#[test]
fn the_top_level_holds_what_the_project_says_and_nothing_else() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "templates",
        "fonts",
        "tests",
        "jobs",
        "target",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name} does not belong at the top level");
    }
}
