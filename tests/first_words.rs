//! What the program says before any job is typed: what to do first, help with examples, completions, the manual page; and how
//! much it says besides what was asked for.

use crate::command::{scratch, wetout};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn said(arguments: &[&str]) -> String {
    let done = wetout(arguments);
    assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()), "{arguments:?}");
    text(&done.stdout)
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The demo jobs in a folder of their own, in which documents may be written.
fn copy_of_jobs(name: &str) -> std::path::PathBuf {
    fn copy(from: &Path, to: &Path) {
        fs::create_dir_all(to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            let there = to.join(path.file_name().unwrap());
            match path.is_dir() {
                true if path.ends_with("out") => {}
                true => copy(&path, &there),
                false => drop(fs::copy(&path, &there).unwrap()),
            }
        }
    }
    let folder = scratch(name);
    copy(Path::new("jobs"), &folder.join("jobs"));
    folder
}

fn typed(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetout")).args(arguments).current_dir(folder).output().unwrap()
}

const COMMANDS: [&str; 23] = [
    "check",
    "licences",
    "takeoff",
    "works",
    "price",
    "quote",
    "order",
    "method",
    "make",
    "issue",
    "accept",
    "withdraw",
    "decline",
    "list",
    "compare",
    "mail",
    "invoice",
    "receipt",
    "account",
    "templates",
    "help",
    "completions",
    "man",
];

/// The commands of a text, without what a shell does with their output and without the words behind them.
fn commands(text: &str) -> Vec<Vec<String>> {
    let after = |line: &str| line.find("wetout ").map(|at| line[at..].to_owned());
    let lines = text.lines().filter(|l| l.starts_with("  ")).filter_map(after);
    lines
        .map(|line| line.split("  ").next().unwrap_or_default().split(" >").next().unwrap_or_default().to_owned())
        .map(|line| words(&line).into_iter().skip(1).collect())
        .collect()
}

/// The words of a command as a shell parts them: what stands between quotes is one.
fn words(line: &str) -> Vec<String> {
    let mut quoted = false;
    let parts = line.trim().split(|c: char| {
        quoted ^= c == '"';
        c.is_whitespace() && !quoted
    });
    parts.map(|word| word.replace('"', "")).collect()
}

#[test]
fn alone_it_says_what_to_do_first() {
    let first = said(&[]);
    assert!(first.contains("What to do first:") && first.contains("wetout help edges") && first.lines().count() < 15);
    assert_eq!(commands(&first).len(), 3, "{first}");
}

#[test]
fn every_command_of_the_examples_can_be_typed() {
    let mut texts = vec![said(&[]), said(&["--help"])];
    texts.extend(COMMANDS.map(|command| said(&["help", command])));
    let folder = copy_of_jobs("examples");
    // What is invoiced was accepted before.
    let accept = ["accept", "jobs/bay", "--on", "2026-12-02", "--name", "A. Householder"];
    for words in [&["issue", "jobs/bay", "quote"][..], &accept] {
        let done = typed(&folder, words);
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", text(&done.stderr));
    }
    // Quotes that were sent already, one of them twice; what is said of a signed PDF is tried where there is one.
    let job = folder.join("jobs/kitchen-extension/job.yaml");
    let sent_twice = fs::read_to_string(&job).unwrap();
    for (text, name) in
        [(sent_twice.replace("valid_days: 30", "valid_days: 20"), "kitchen-extension"), (sent_twice, "dormer")]
    {
        fs::write(&job, text).unwrap();
        let sent = typed(&folder, &["issue", &format!("jobs/{name}"), "quote"]);
        assert_eq!(sent.status.code(), Some(0), "{name}: {sent:?}");
    }
    let mut tried = 0;
    for command in texts.iter().flat_map(|text| commands(text)) {
        if command.iter().any(|word| {
            word.contains("my-jobs") || word.starts_with('[') || word.starts_with('<') || word == "signed.pdf"
        }) {
            continue;
        }
        let words: Vec<&str> = command.iter().map(String::as_str).collect();
        let done = typed(&folder, &words);
        assert_eq!(done.status.code(), Some(0), "{command:?}: {}", text(&done.stderr));
        tried += 1;
    }
    assert!(tried >= 24, "{tried}");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_shell_completes_every_command_and_the_manual_names_it() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = said(&["completions", shell]);
        let absent: Vec<&&str> = COMMANDS.iter().filter(|command| !script.contains(**command)).collect();
        assert!(absent.is_empty(), "{shell}: {absent:?}");
    }
    let page = said(&["man"]);
    assert!(page.contains(".TH wetout 1") && page.contains(".SH DESCRIPTION"), "{}", &page[..400.min(page.len())]);
    let absent: Vec<&&str> =
        COMMANDS.iter().filter(|command| !page.contains(&format!("wetout\\-{command}(1)"))).collect();
    assert!(absent.is_empty(), "{absent:?}");
    let done = wetout(&["completions", "tortoise"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("possible values: bash"));
}

#[test]
fn it_says_as_much_as_is_wanted() {
    let folder = copy_of_jobs("loudness");
    // The balcony has a warning.
    let usual = typed(&folder, &["quote", "jobs/balcony"]);
    assert!(text(&usual.stdout).contains("quote.pdf") && text(&usual.stderr).contains("warning: "));
    let quiet = typed(&folder, &["quote", "jobs/balcony", "--quiet"]);
    assert_eq!(
        (quiet.status.code(), text(&quiet.stdout), text(&quiet.stderr)),
        (Some(0), String::new(), String::new())
    );
    let verbose = text(&typed(&folder, &["quote", "jobs/balcony", "-v"]).stderr);
    assert!(
        verbose
            .starts_with("read jobs/balcony/job.yaml with firm file jobs/firm.yaml and price book jobs/prices.yaml\n"),
        "{verbose}"
    );
    assert!(verbose.contains("warning: ") && verbose.contains("assumed: "), "{verbose}");
    let both = typed(&folder, &["quote", "jobs/balcony", "-q", "-v"]);
    assert_eq!(both.status.code(), Some(2));
    // What was asked for and what is wrong is told all the same.
    assert!(text(&typed(&folder, &["takeoff", "jobs/bay", "-q"]).stdout).lines().count() > 10);
    fs::write(folder.join("jobs/bay/job.yaml"), "title: Bay\n").unwrap();
    let wrong = typed(&folder, &["make", "jobs/bay", "-q"]);
    assert!(wrong.status.code() == Some(1) && text(&wrong.stderr).contains("problem: "));
    fs::remove_dir_all(folder).unwrap();
}
