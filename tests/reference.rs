//! What explains the files, `help` and `schema`, held against what reads them: no key without its sentence, no sentence without
//! a key, limits and defaults as the tables have them, and the schemas of the demo files as the program writes them.
//!
//! What a general-purpose validator and an editor's server make of the schemas is tried in `tests/outside/schema.py` and
//! `editor.mjs`.

use crate::command::wetout;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use wetout::model::Rules;
use wetout::model::limits::in_unit;
use wetout::model::rules::Limits;

fn said(arguments: &[&str]) -> String {
    let done = wetout(arguments);
    assert_eq!(done.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
    assert!(done.stderr.is_empty());
    String::from_utf8(done.stdout).unwrap()
}

fn schema(file: &str) -> Value {
    serde_json::from_str(&said(&["schema", file])).unwrap()
}

/// The groups of the reader, by name, each with its keys, off the source of the reader; without those that are known only to
/// be refused.
fn groups_of_the_reader() -> BTreeMap<String, BTreeSet<String>> {
    let mut found = BTreeMap::new();
    for file in ["job", "checks", "firm", "found", "prices", "record", "retention", "rules", "stock"] {
        let text = fs::read_to_string(format!("src/job_file/raw/{file}.rs")).unwrap();
        for part in text.split("settings! {").skip(1) {
            let (head, rest) = part.split_once(" = \"").unwrap();
            let name = head.rsplit(' ').next().unwrap().trim_start_matches("Raw").to_owned();
            let body = rest.split_once("{\n").unwrap().1.split_once("\n    }\n").unwrap().0;
            let keys = body
                .lines()
                .filter(|line| !line.contains("RoofOnly") && !line.contains("NeverWritten"))
                .filter_map(|line| line.trim().split_once(": "));
            found.insert(name, keys.map(|(key, _)| key.to_owned()).collect());
        }
    }
    found
}

#[test]
fn every_key_that_is_read_stands_in_a_schema_and_none_that_is_not() {
    let mut told: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for file in ["job", "firm", "prices", "stock", "found", "record"] {
        let schema = schema(file);
        for (name, group) in schema["$defs"].as_object().unwrap() {
            let keys = group["properties"].as_object().unwrap();
            for (key, one) in keys {
                assert!(
                    one["description"].as_str().is_some_and(|d| d.len() > 8),
                    "{file}: {name}.{key} has no sentence"
                );
            }
            told.insert(name.clone(), keys.keys().cloned().collect());
        }
    }
    let rules: BTreeSet<String> =
        Rules::ABOUT.iter().map(|r| r.0.to_owned()).chain(["data_sheet_allows_over".to_owned()]).collect();
    assert_eq!(told.remove("Rules"), Some(rules));
    let mut read = groups_of_the_reader();
    // Tables of rules stand where the rule stands, with the limits of that rule.
    for table in ["ByFinish", "Dose", "GelPoint"] {
        read.remove(table).unwrap();
    }
    assert!(read.len() > 45);
    assert_eq!(told, read);
}

#[test]
fn the_schemas_beside_the_demo_files_are_those_that_the_program_writes() {
    for file in ["job", "firm", "prices", "stock", "found", "record"] {
        let there = fs::read_to_string(format!("jobs/schema/{file}.json")).unwrap();
        assert!(there == said(&["schema", file]), "write it anew: wetout schema {file} > jobs/schema/{file}.json");
    }
    let jobs = fs::read_dir("jobs").unwrap().map(|e| e.unwrap().path().join("job.yaml")).filter(|p| p.is_file());
    let jobs: Vec<_> = jobs.map(|p| (p, "../schema/job.json")).collect();
    assert!(jobs.len() > 5);
    let found =
        ["bay", "kitchen-extension"].map(|job| (format!("jobs/{job}/found.yaml").into(), "../schema/found.json"));
    let others = [
        ("jobs/firm.yaml".into(), "schema/firm.json"),
        ("jobs/prices.yaml".into(), "schema/prices.json"),
        ("jobs/kitchen-extension/record.yaml".into(), "../schema/record.json"),
        ("jobs/patch-and-coat/stock.yaml".into(), "../schema/stock.json"),
    ];
    let others = others.into_iter().chain(found);
    for (path, schema) in jobs.into_iter().chain(others) {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with(&format!("# yaml-language-server: $schema={schema}\n")), "{}", path.display());
        assert!(path.parent().unwrap().join(schema).is_file());
    }
}

/// The page with every key is the program's own, whole, and its tables are tables.
#[test]
fn the_page_of_all_keys_is_the_one_that_the_program_writes_and_lacks_none() {
    let page = said(&["help", "--page"]);
    let there = fs::read_to_string("jobs/schema/KEYS.md").unwrap();
    assert!(there == page, "write it anew: wetout help --page > jobs/schema/KEYS.md");
    let (mut told, mut group) = (BTreeSet::new(), String::new());
    for line in page.lines() {
        if let Some(heading) = line.strip_prefix("### ") {
            group = heading.strip_prefix('`').map_or_else(String::new, |name| name.replace('`', "."));
        }
        if let Some(row) = line.strip_prefix("| `") {
            assert_eq!(row.replace("\\|", "").matches('|').count(), 5, "{line}");
            told.insert(format!("{group}{}", row.split('`').next().unwrap()));
        }
    }
    for file in ["job", "firm", "prices", "stock", "found", "record"] {
        // What is both a command and a file is told as both; the keys stand last.
        let listed = said(&["help", file]);
        let keys = listed.rsplit_once(&format!("({file}.yaml")).map_or(&*listed, |(_, keys)| keys);
        let keys = keys.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next());
        assert_eq!(keys.filter(|key| !told.contains(*key)).collect::<Vec<_>>(), Vec::<&str>::new(), "{file}");
    }
    assert!(told.len() > 500, "{}", told.len());
    // Short before long, both there.
    let gutter = page.lines().find(|line| line.starts_with("| `gutter`") && line.contains("half-round")).unwrap();
    let (short, long) = (gutter.find("half-round 112 mm").unwrap(), gutter.find("a group: shape").unwrap());
    assert!(short < long, "{gutter}");
}

#[test]
fn help_tells_every_key_of_a_file_and_each_by_itself() {
    for (file, some) in [
        ("job", &["roofs.edges.gutter", "roofs.patches.at_edge", "access.scaffold", "quote.stages.after"][..]),
        ("firm", &["money.vat.rate", "rules.mat_return.wall", "rules.data_sheet_allows_over", "money.access.parking"]),
        ("prices", &["articles.breaks.from", "merchant.lead_days"]),
        ("found", &["found.rate", "found.boards", "days"]),
        ("record", &["weather.humidity", "checks.deck", "hours.new_deck", "batches.topcoat"]),
        ("stock", &["van.use_by", "van.kept_for"]),
    ] {
        // What is both a command and a file is told as both.
        let all = said(&["help", file]);
        let all = all.rsplit_once(&format!("({file}.yaml)")).map_or(&*all, |(_, keys)| keys);
        for line in all.lines().filter(|l| l.starts_with("  ")) {
            let words = line.split_whitespace().filter(|w| *w != "*").count();
            assert!(words > 2 && line.ends_with('.'), "{file}: no sentence: {line}");
        }
        for key in some {
            assert!(all.lines().any(|l| l.trim_start().split(' ').next() == Some(key)), "{file}: {key}");
            let page = said(&["help", key]);
            assert!(page.contains(key) && page.contains("Write ") && page.contains("Example "), "{page}");
        }
    }
}

/// The limits of each rule and its default, as the demo firm file, which a test holds to the defaults, has it.
#[test]
fn help_tells_the_limits_and_the_default_of_every_rule_as_the_tables_have_them() {
    let firm = fs::read_to_string("jobs/firm.yaml").unwrap();
    let schema = schema("firm");
    for rule in Rules::LIMITS {
        let line = firm.lines().find_map(|l| l.strip_prefix(&format!("  {}: ", rule.name))).unwrap_or_default();
        let usual = line.split(" # ").next().unwrap().trim();
        let page = said(&["help", &format!("rules.{}", rule.name)]);
        if !usual.is_empty() && !usual.starts_with(['{', '[', '#']) {
            let shown = page.lines().find_map(|l| l.trim().strip_prefix("Usual ")).unwrap().trim();
            let same = |text: &str| text.replace("0 ", " ").replace(".0", "");
            let bare = shown.strip_suffix(&format!(" {}", rule.unit)).unwrap_or(shown);
            let alike = shown == usual || bare == usual || same(shown) == same(usual);
            assert!(alike, "{}: {shown} is not {usual}", rule.name);
        }
        let one = &schema["$defs"]["Rules"]["properties"][rule.name];
        if let (Limits::Each(limit), true) = (rule.limits, one["type"] != "object") {
            let words = format!("between {} and {}", in_unit(limit.least, rule.unit), in_unit(limit.most, rule.unit));
            assert!(page.contains(&words), "{}: {words}\n{page}", rule.name);
        }
    }
}

#[test]
fn a_misspelt_key_is_answered_with_those_near_it_and_a_command_with_its_help() {
    let done = wetout(&["help", "edges.guter"]);
    assert_eq!(done.status.code(), Some(2));
    let told = String::from_utf8(done.stderr).unwrap();
    assert!(told.contains("`edges.guter` is not a key") && told.contains("`wetout help roofs.edges.gutter`"), "{told}");
    let none = String::from_utf8(wetout(&["help", "qqqqqq"]).stderr).unwrap();
    assert!(none.contains("`wetout help` lists the groups"), "{none}");
    assert!(said(&["help", "make"]).contains("Usage: wetout make"));
    let alone = said(&["help"]);
    assert!(alone.contains("  roofs *") && alone.contains("  money *") && alone.contains("  articles *"), "{alone}");
    let several = said(&["help", "name"]);
    assert!(several.contains("stands in") && several.contains("customer.name"), "{several}");
    let file = String::from_utf8(wetout(&["schema", "jobs"]).stderr).unwrap();
    assert!(file.contains("possible values: job, firm, prices, found, record, stock"), "{file}");
}
