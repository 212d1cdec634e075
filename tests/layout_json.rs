//! The JSON of the take-off against its schema: every key that the schema states is written, and no other.
//!
//! The values are judged outside, by a general validator and from the JSON alone: `tests/outside/layout.py`.

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

const SCHEMA: &str = include_str!("../src/cli/takeoff.schema.json");

/// Jobs that have everything between them.
const JOBS: [&str; 10] = [
    "jobs/kitchen-extension",
    "jobs/garage-utility",
    "jobs/bay",
    "jobs/dormer",
    "jobs/balcony",
    "jobs/neighbours",
    "jobs/parapet",
    "tests/jobs_for_sweep/parapet.yaml",
    "jobs/patch-and-coat",
    "tests/jobs_for_sweep/old.yaml",
];

fn take_off(job: &str) -> Value {
    let out = Command::new(env!("CARGO_BIN_EXE_wetout")).args(["takeoff", job, "--json"]).output().unwrap();
    serde_json::from_slice(&out.stdout).unwrap()
}

/// Every key that the schema states, with its path; a list's items stand under `[]`.
fn stated(schema: &Value, root: &Value, path: &str, keys: &mut BTreeSet<String>) {
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.rsplit('/').next().unwrap();
        return stated(&root["$defs"][name], root, path, keys);
    }
    for (key, below) in schema["properties"].as_object().into_iter().flatten() {
        let path = format!("{path}.{key}");
        stated(below, root, &path, keys);
        keys.insert(path);
    }
    if schema["items"].is_object() {
        stated(&schema["items"], root, &format!("{path}[]"), keys);
    }
    schema["anyOf"].as_array().into_iter().flatten().for_each(|s| stated(s, root, path, keys));
}

/// Every key that is written, likewise; the steps of workings are of many forms and left out.
fn written(value: &Value, path: &str, keys: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, below) in map {
                let path = format!("{path}.{key}");
                if key != "working" {
                    written(below, &path, keys);
                }
                keys.insert(path);
            }
        }
        Value::Array(items) => items.iter().for_each(|i| written(i, &format!("{path}[]"), keys)),
        _ => {}
    }
}

#[test]
fn every_key_of_the_schema_is_written_and_no_other() {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    let (mut should, mut does) = (BTreeSet::new(), BTreeSet::new());
    stated(&schema, &schema, "", &mut should);
    JOBS.iter().for_each(|job| written(&take_off(job), "", &mut does));
    // a deck's keys serve the board over the insulation too, which needs no noggins
    should.retain(|key| !key.starts_with(".layout.roofs[].over_deck.overlay.noggins[]"));
    let missing: Vec<_> = should.difference(&does).collect();
    let unknown: Vec<_> = does.difference(&should).collect();
    assert!(missing.is_empty() && unknown.is_empty(), "not written: {missing:?}; not stated: {unknown:?}");
    assert!(should.len() > 150, "{} keys", should.len());
}

#[test]
fn every_key_of_the_schema_says_what_it_means() {
    fn bare(schema: &Value, path: &str, found: &mut Vec<String>) {
        for (key, below) in schema["properties"].as_object().into_iter().flatten() {
            let path = format!("{path}.{key}");
            let told = below["description"].is_string() || below["$ref"].is_string();
            if !told {
                found.push(path.clone());
            }
            bare(below, &path, found);
            bare(&below["items"], &path, found);
            below["anyOf"].as_array().into_iter().flatten().for_each(|s| bare(s, &path, found));
        }
    }
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut found = Vec::new();
    bare(&schema, "", &mut found);
    schema["$defs"].as_object().unwrap().values().for_each(|d| bare(d, "$defs", &mut found));
    assert!(found.is_empty(), "{found:?}");
}

/// Places are whole millimetres on the roof: the front of the kitchen is cut as its trims lie.
#[test]
fn a_piece_of_trim_stands_where_it_lies() {
    let kitchen = take_off("jobs/kitchen-extension");
    let drip = kitchen["layout"]["trims"].as_array().unwrap().iter().find(|t| t["finish"] == "drip").unwrap();
    let pieces = drip["runs"][0]["pieces"].as_array().unwrap();
    let lengths: Vec<i64> = pieces.iter().map(|p| p["length"].as_i64().unwrap()).collect();
    let ends: Vec<i64> = pieces.iter().map(|p| p["to"][0].as_i64().unwrap() - p["from"][0].as_i64().unwrap()).collect();
    assert_eq!(lengths, ends);
    assert_eq!((&pieces[0]["start"], &pieces[pieces.len() - 1]["end"]), (&"corner".into(), &"corner".into()));
}
