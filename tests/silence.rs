//! Warnings that a job silences: listed in `check` with their reason, told by nothing else, and never what people can come to
//! harm by.

use crate::command::{scratch, wetout};
use crate::support::lean_to;
use std::collections::BTreeSet;
use std::fs;
use wetout::model::Warned;

/// What a command prints of a job: standard output, standard error.
fn printed(name: &str, command: &str, job: &str) -> (String, String) {
    let folder = scratch(name);
    let file = folder.join("job.yaml");
    fs::write(&file, job).unwrap();
    let done = wetout(&[command, file.to_str().unwrap(), "--firm", "jobs/firm.yaml", "--prices", "jobs/prices.yaml"]);
    fs::remove_dir_all(&folder).unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(done.stdout), text(done.stderr))
}

fn flat(silence: &str) -> String {
    lean_to("", "", silence).replace("fall: 1:40", "fall: 1:100")
}

const TOO_FLAT: &str = "a fall of 1:100 is flatter than 1:80 (fall)";

#[test]
fn a_warning_carries_the_name_that_silences_it_and_is_then_listed_with_its_reason() {
    let (loud, _) = printed("silence-none", "check", &flat(""));
    assert!(loud.contains(&format!("warning: {TOO_FLAT}")), "{loud}");
    let job = flat("silence: [{warning: fall, because: agreed in writing on 20 November}]\n");
    let (listed, _) = printed("silence-fall", "check", &job);
    assert!(listed.contains(&format!("silenced: {TOO_FLAT}")), "{listed}");
    assert!(listed.contains("= help: agreed in writing on 20 November"), "{listed}");
    assert!(listed.contains("1 silenced warning in") && !listed.contains("warning: "), "{listed}");
    for (command, name) in [("takeoff", "silence-takeoff"), ("price", "silence-price")] {
        let (_, loud) = printed(name, command, &flat(""));
        let (_, quiet) = printed(name, command, &job);
        assert!(loud.contains(TOO_FLAT) && !quiet.contains("a fall of"), "{command}: {quiet}");
    }
}

#[test]
fn a_silence_by_which_nothing_is_silenced_is_told() {
    let (told, _) =
        printed("silence-unmet", "check", &lean_to("", "", "silence: [{warning: fall, because: it is agreed}]\n"));
    assert!(told.contains("warning: there is no warning `fall` in this job"), "{told}");
}

#[test]
fn a_warning_that_an_option_brings_is_silenced_with_the_others() {
    let option = "options: [{name: Flatter, change: {roofs: {all: {fall: 1:120}}}}]\n";
    let (loud, _) = printed("silence-option", "check", &lean_to("", "", option));
    assert!(loud.contains("warning: option `Flatter`: a fall of 1:120"), "{loud}");
    let silenced = format!("{option}silence: [{{warning: fall, because: it is agreed}}]\n");
    let (quiet, _) = printed("silence-option", "check", &lean_to("", "", &silenced));
    assert!(quiet.contains("silenced: option `Flatter`: a fall of 1:120") && !quiet.contains("warning: "), "{quiet}");
}

#[test]
fn every_warning_has_a_name_of_its_own_and_those_of_safety_stay_loud() {
    let names: BTreeSet<&str> = Warned::ALL.iter().map(|w| w.name()).collect();
    assert_eq!(names.len(), Warned::ALL.len());
    let plain = |name: &str| name.chars().all(|c| c.is_ascii_lowercase() || c == '-');
    assert!(names.iter().all(|name| plain(name)));
    for warned in [Warned::Asbestos, Warned::Catalyst, Warned::Fire] {
        assert!(!warned.may_be_silenced(), "{}", warned.name());
    }
}
