//! What goes wrong around the program while a deal is made: it is killed, the disk is full, a folder cannot be written, two people
//! type at once, the clock is wrong, folders are moved, a synchroniser has been there.
//!
//! Every command is run as a process. Mounts are made in a name space of their own, which ends with the process; where that is not
//! allowed the test says so and judges nothing.

#![allow(
    clippy::print_stdout,
    reason = "how many runs were killed, and what could not be tried, is told to whoever asks with --nocapture"
)]

use crate::command::scratch;
use crate::handover::filled;
use crate::issued::{desk_of, done, kept, refused, run, text};
use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Every file below a folder, hidden ones too, by its name from there.
type Below = BTreeMap<String, Vec<u8>>;

fn below(folder: &Path) -> Below {
    let mut found = Below::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(here) = folders.pop() {
        for entry in fs::read_dir(&here).into_iter().flatten().map(Result::unwrap) {
            let path = entry.path();
            match entry.file_type().unwrap().is_dir() {
                true => folders.push(path),
                false => {
                    let name = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
                    // A file may go while a dead run's folder is looked at; none does while nothing runs.
                    found.insert(name, fs::read(&path).unwrap());
                }
            }
        }
    }
    found
}

fn copy(from: &Path, to: &Path) {
    let _ = fs::remove_dir_all(to);
    for (name, bytes) in below(from) {
        let place = to.join(name);
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        fs::write(place, bytes).unwrap();
    }
}

/// What a run leaves that nobody should see: hidden folders, locks, notices.
fn left_over(desk: &Path) -> Vec<String> {
    let odd = |name: &&String| name.contains(".wetout-") || name.contains("unfinished-documents");
    let mut found: Vec<String> = below(desk).keys().filter(odd).cloned().collect();
    let mut folders = vec![desk.to_path_buf()];
    while let Some(here) = folders.pop() {
        for path in fs::read_dir(&here).into_iter().flatten().map(|e| e.unwrap().path()).filter(|p| p.is_dir()) {
            if path.file_name().unwrap().to_str().unwrap().starts_with(".wetout-") {
                found.push(path.display().to_string());
            }
            folders.push(path);
        }
    }
    found
}

/// Whether every frozen folder of a desk holds what its manifest says, to the byte.
fn judge_frozen(desk: &Path, when: &str) {
    for name in kept(desk).into_iter().filter(|name| !name.starts_with('.')) {
        let folder = desk.join("k/issued").join(&name);
        let manifest =
            fs::read(folder.join("manifest.json")).unwrap_or_else(|_| panic!("{when}: {name} is half there"));
        let manifest: Value =
            serde_json::from_slice(&manifest).unwrap_or_else(|_| panic!("{when}: {name} is half written"));
        for file in manifest["files"].as_array().unwrap() {
            let bytes = fs::read(folder.join(file["name"].as_str().unwrap())).unwrap();
            let digest: String = Sha256::digest(&bytes).iter().map(|b| format!("{b:02x}")).collect();
            assert_eq!(file["sha256"].as_str(), Some(digest.as_str()), "{when}: {name}");
        }
    }
}

// ---- A deal, step by step --------------------------------------------------------------------------------------------

/// A step of a deal: what is typed, and what says that it is done already.
struct DealStep {
    words: &'static [&'static str],
    already: &'static str,
}

/// What was found on site: goods and hours. Its path is that from where the tests are run.
const FOUND: &str = "tests/found/lead.yaml";

/// From a bare job to what stands in the van once it is done; every day is given.
const STEPS: [DealStep; 12] = [
    DealStep { words: &["issue", "JOB", "quote"], already: "nothing new is issued" },
    DealStep { words: &["mail", "JOB", "quote", "--today", "2026-12-01"], already: "wrote" },
    DealStep {
        words: &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"],
        already: "was accepted on 2026-12-02 already",
    },
    DealStep { words: &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"], already: "stage 1 " },
    DealStep { words: &["receipt", "JOB", "1", "--paid", "20.00", "--on", "2026-12-09"], already: "is recorded as" },
    DealStep { words: &["issue", "JOB", "order"], already: "nothing new is issued" },
    DealStep { words: &["mail", "JOB", "order", "--today", "2026-12-10"], already: "wrote" },
    DealStep { words: &["variation", "JOB", FOUND, "--on", "2027-04-12"], already: "nothing new is issued" },
    DealStep {
        words: &["variation", "JOB", "--agreed", "1", "--on", "2027-04-12", "--name", "R. Okafor"],
        already: "was agreed on 2027-04-12",
    },
    DealStep { words: &["issue", "JOB", "order", "--variation", "1"], already: "nothing that the order is made from" },
    DealStep { words: &["handover", "JOB", "--on", "2027-04-13"], already: "nothing new is issued" },
    DealStep {
        words: &["stock", "--after", "JOB", "--write", "--today", "2027-04-13"],
        already: "stands under `after`",
    },
];

/// The whole deal played once: the desk before each step, and after the last.
struct Played {
    desks: Vec<PathBuf>,
}

/// The patched roof with a stock list beside the firm file.
fn played(name: &str) -> Played {
    let bare = desk_of(name, "patch-and-coat");
    fs::rename(bare.join("k/stock.yaml"), bare.join("stock.yaml")).unwrap();
    record_of(&bare, name);
    let mut desks = vec![bare];
    for (n, step) in STEPS.iter().enumerate() {
        let next = scratch(&format!("{name}-{n}"));
        copy(desks.last().unwrap(), &next);
        done(&next, step.words);
        assert_eq!(left_over(&next), [""; 0]);
        desks.push(next);
    }
    Played { desks }
}

/// Writes the record of the roof beside it: the one that is printed once the variation is agreed, filled in.
fn record_of(bare: &Path, name: &str) {
    let desk = scratch(&format!("{name}-record"));
    copy(bare, &desk);
    let agreed = STEPS.iter().position(|step| step.words.contains(&"--agreed")).unwrap();
    let needed = STEPS[..=agreed].iter().filter(|step| ["accept", "variation"].contains(&step.words[0]));
    done(&desk, STEPS[0].words);
    needed.for_each(|step| drop(done(&desk, step.words)));
    let form = done(&desk, &["handover", "JOB", "--form"]);
    fs::write(bare.join("k/record.yaml"), filled(&form, "2027-04-13")).unwrap();
    fs::remove_dir_all(desk).unwrap();
}

impl Played {
    fn end(self) {
        self.desks.iter().for_each(|desk| fs::remove_dir_all(desk).unwrap());
    }
}

fn command(desk: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    let job = desk.join("k").to_str().unwrap().to_owned();
    command.args(words.iter().map(|word| if *word == "JOB" { job.clone() } else { (*word).to_owned() }));
    command.current_dir(env!("CARGO_MANIFEST_DIR"));
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// What is on the desk is what was before the step, what is after it, or something of both, but no file of neither.
fn judge_between(desk: &Path, before: &Below, after: &Below, when: &str) {
    for (name, bytes) in
        below(desk).iter().filter(|(name, _)| !name.contains(".wetout-") && !name.contains("unfinished"))
    {
        let known = before.get(name).is_some_and(|b| b == bytes) || after.get(name).is_some_and(|b| b == bytes);
        assert!(known, "{when}: {name} is neither as before nor as after");
    }
    for name in before.keys() {
        assert!(desk.join(name).exists(), "{when}: {name} is lost");
    }
    judge_frozen(desk, when);
}

/// The same step again: it works, or says that it is done; then the desk is as it would be had nothing happened.
fn once_more(desk: &Path, step: &DealStep, after: &Below, when: &str) {
    let again = run(desk, step.words);
    let told = text(&again.stdout) + &text(&again.stderr);
    let good = again.status.code() == Some(0) || again.status.code() == Some(2) && told.contains(step.already);
    assert!(good, "{when}: {:?}: {told}", again.status.code());
    assert_eq!(left_over(desk), [""; 0], "{when}: {told}");
    let now = below(desk);
    assert_eq!(now.keys().collect::<Vec<_>>(), after.keys().collect::<Vec<_>>(), "{when}: {told}");
    let other: Vec<&String> =
        now.iter().filter(|(name, bytes)| after[*name] != **bytes).map(|(name, _)| name).collect();
    assert!(other.is_empty(), "{when}: other than undisturbed: {other:?}");
}

#[test]
fn a_deal_whose_steps_are_killed_at_any_moment_loses_nothing_and_goes_on() {
    let kills: usize = std::env::var("WETOUT_KILLS").map_or(60, |n| n.parse().unwrap());
    let deal = played("killed");
    let states: Vec<Below> = deal.desks.iter().map(|desk| below(desk)).collect();
    let mut chance = TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]);
    let desk = scratch("killed-desk");
    let (mut killed, mut began, mut wrote) = (0, 0, 0);
    let mut whole: Vec<Duration> = Vec::new();
    for n in 0..kills {
        let at = n % STEPS.len();
        let (step, before, after) = (&STEPS[at], &states[at], &states[at + 1]);
        copy(&deal.desks[at], &desk);
        if whole.len() == at {
            let begun = Instant::now();
            assert_eq!(command(&desk, step.words).status().unwrap().code(), Some(0));
            whole.push(begun.elapsed());
            copy(&deal.desks[at], &desk);
        }
        let mut child = command(&desk, step.words).spawn().unwrap();
        if (n / STEPS.len()).is_multiple_of(3) {
            thread::sleep(Duration::from_micros(chance.next_u64() % (whole[at].as_micros() as u64).max(1)));
        } else {
            // Until it begins to write, and a little on.
            while names_of(&desk) == names_in(before) && child.try_wait().unwrap().is_none() {
                thread::sleep(Duration::from_micros(50));
            }
            thread::sleep(Duration::from_micros(chance.next_u64() % 3000));
        }
        let _ = child.kill();
        killed += usize::from(!child.wait().unwrap().success());
        let when = format!("kill {n}, {}", step.words.join(" "));
        judge_between(&desk, before, after, &when);
        let now = names_of(&desk);
        began += usize::from(now != names_in(before));
        wrote += usize::from(names_in(after).iter().all(|name| now.contains(name)));
        once_more(&desk, step, after, &when);
        if n % 20 == 0 {
            let checked = run(&desk, &["issue", "--check", "JOB"]);
            assert_eq!(checked.status.code(), Some(0), "{when}: {}", text(&checked.stdout));
        }
    }
    assert!(killed > kills / 3, "only {killed} of {kills} runs were still alive when they were killed");
    println!(
        "{kills} runs, {killed} killed, {began} of them when something was on the disk, {wrote} when all of it was"
    );
    fs::remove_dir_all(desk).unwrap();
    deal.end();
}

/// A run that was stopped after its list was there and before it had tidied up: the next one refuses, and tidies.
#[test]
fn what_a_stopped_run_left_is_swept_though_the_step_is_done() {
    let deal = played("done");
    let desk = deal.desks.last().unwrap();
    fs::create_dir_all(desk.join(".wetout-00000000000000a1/new")).unwrap();
    fs::write(desk.join(".wetout-00000000000000a1/new/stock.yaml"), "half").unwrap();
    fs::write(desk.join(".wetout-lock"), "").unwrap();
    let again = run(desk, STEPS.last().unwrap().words);
    assert_eq!(again.status.code(), Some(2), "{}", text(&again.stderr));
    assert_eq!(left_over(desk), [""; 0]);
    deal.end();
}

/// The names that are looked at to see whether a run has begun to write.
fn names_of(desk: &Path) -> Vec<String> {
    let mut names = Vec::new();
    for folder in ["", "k", "k/issued", "k/out"] {
        let entries = fs::read_dir(desk.join(folder)).into_iter().flatten().filter_map(Result::ok);
        names.extend(entries.map(|e| format!("{folder}/{}", e.file_name().to_str().unwrap())));
    }
    names.sort();
    names
}

/// The same of a desk that was written down.
fn names_in(files: &Below) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in files.keys() {
        let parts: Vec<&str> = name.split('/').collect();
        for (depth, folder) in [(0, ""), (1, "k"), (2, "k/issued"), (2, "k/out")] {
            if parts[..depth.min(parts.len())].join("/") == folder && parts.len() > depth {
                names.push(format!("{folder}/{}", parts[depth]));
            }
        }
    }
    names.sort();
    names.dedup();
    names
}

// ---- Disks -----------------------------------------------------------------------------------------------------------

/// Runs a script in a name space of its own, where it may mount things; `None` where this machine does not let it.
fn mounted(script: &str, arguments: &[&str]) -> Option<Output> {
    for way in [&["-m"][..], &["-r", "-m"]] {
        let mut trial = Command::new("unshare");
        trial.args(way).args(["sh", "-c", "mount -t tmpfs -o size=64k tmpfs /mnt"]);
        let may = trial.stdin(Stdio::null()).output().is_ok_and(|output| output.status.success());
        if may {
            let mut all = Command::new("unshare");
            all.args(way).args(["sh", "-c", script, "sh"]).args(arguments).env("WETOUT", env!("CARGO_BIN_EXE_wetout"));
            return Some(all.stdin(Stdio::null()).output().unwrap());
        }
    }
    println!("not tried: this machine lets nobody mount anything here");
    None
}

/// On a disk with so little room left: the step fails and changes nothing, or is done whole; with room again it is done.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_changes_nothing_and_with_room_on_it_the_deal_goes_on() {
    /// A desk on a small disk, filled but for some room; how the step ended, what stands there then, and once there is room.
    const SCRIPT: &str = r#"
        set -e
        desk=$1; room=$2; out=$3; shift 3
        mount -t tmpfs -o size=4m tmpfs /mnt
        cp -a "$desk/." /mnt/
        dd if=/dev/zero of=/mnt/filling bs=1k count=4096 2>/dev/null || true
        size=$(stat -c %s /mnt/filling)
        truncate -s $((size - room * 1024)) /mnt/filling
        code=0; "$WETOUT" "$@" >"$out/said" 2>&1 </dev/null || code=$?
        echo $code >"$out/code"
        mkdir "$out/full"; (cd /mnt && tar cf - --exclude=./filling .) | (cd "$out/full" && tar xf -)
        rm /mnt/filling
        code=0; "$WETOUT" "$@" >"$out/said-again" 2>&1 </dev/null || code=$?
        echo $code >"$out/code-again"
        mkdir "$out/again"; (cd /mnt && tar cf - .) | (cd "$out/again" && tar xf -)
    "#;
    let deal = played("full");
    let (mut refusals, mut tried) = (0, 0);
    for (at, step) in STEPS.iter().enumerate() {
        let (before, after) = (below(&deal.desks[at]), below(&deal.desks[at + 1]));
        for room in ["0", "8", "60"] {
            let out = scratch("full-out");
            let mut arguments = vec![deal.desks[at].to_str().unwrap(), room, out.to_str().unwrap()];
            arguments.extend(step.words.iter().map(|word| if *word == "JOB" { "/mnt/k" } else { *word }));
            let Some(output) = mounted(SCRIPT, &arguments) else { return };
            assert!(output.status.success(), "{}", text(&output.stderr));
            let told = |name: &str| fs::read_to_string(out.join(name)).unwrap();
            let when = format!("{} with {room} kB: {}", step.words.join(" "), told("said"));
            tried += 1;
            if told("code").trim() == "3" {
                refusals += 1;
                assert!(told("said").contains("the disk is full; make room on it, or choose another folder"), "{when}");
                assert!(
                    told("said").contains("Nothing that was there has changed") || step.words[0] == "stock",
                    "{when}"
                );
                assert_eq!(left_over(&out.join("full")), [""; 0], "{when}");
                assert!(below(&out.join("full")) == before || step.words[0] == "stock", "{when}");
            } else {
                assert_eq!(told("code").trim(), "0", "{when}");
            }
            judge_between(&out.join("full"), &before, &after, &when);
            let good = told("code-again").trim() == "0" || told("said-again").contains(step.already);
            assert!(good, "{when}: {}", told("said-again"));
            assert!(below(&out.join("again")) == after && left_over(&out.join("again")).is_empty(), "{when}");
            fs::remove_dir_all(out).unwrap();
        }
    }
    assert!(refusals >= STEPS.len() && refusals < tried, "{refusals} of {tried} did not fit");
    deal.end();
}

/// A job on a disk that cannot be written: what only reads works, what writes says so.
#[cfg(target_os = "linux")]
#[test]
fn a_job_that_can_only_be_read_is_listed_checked_and_priced_and_refuses_the_rest_in_words() {
    const SCRIPT: &str = r#"
        set -e
        desk=$1; out=$2; shift 2
        mount --bind "$desk" /mnt
        mount -o remount,ro,bind /mnt
        code=0; "$WETOUT" "$@" >"$out/said" 2>&1 </dev/null || code=$?
        echo $code >"$out/code"
    "#;
    let deal = played("read-only");
    let try_it = |desk: &Path, words: &[&str]| -> Option<(String, String)> {
        let out = scratch("read-only-out");
        let before = below(desk);
        let mut arguments = vec![desk.to_str().unwrap(), out.to_str().unwrap()];
        arguments.extend(words.iter().map(|word| if *word == "JOB" { "/mnt/k" } else { *word }));
        let output = mounted(SCRIPT, &arguments)?;
        if !output.status.success() {
            println!("not tried: nothing can be mounted read-only here: {}", text(&output.stderr));
            return None;
        }
        assert!(below(desk) == before);
        let told = |name: &str| fs::read_to_string(out.join(name)).unwrap();
        Some((told("code").trim().to_owned(), told("said")))
    };
    for (at, step) in STEPS.iter().enumerate() {
        let Some((code, said)) = try_it(&deal.desks[at], step.words) else { return };
        assert_eq!(code, "3", "{:?}: {said}", step.words);
        assert!(
            said.contains("nothing can be written to this disk; choose another folder"),
            "{:?}: {said}",
            step.words
        );
    }
    let last = deal.desks.last().unwrap();
    for words in [
        &["list", "JOB", "--today", "2026-12-20"][..],
        &["issue", "--check", "JOB"],
        &["price", "JOB"],
        &["stock", "JOB", "--today", "2027-01-01"],
        &["compare", "JOB", "A", "B"],
        &["account", "JOB", "--json", "--today", "2026-12-20"],
    ] {
        let (code, said) = try_it(last, words).unwrap();
        assert_eq!(code, "0", "{words:?}: {said}");
    }
    deal.end();
}

// ---- Two at once -----------------------------------------------------------------------------------------------------

/// The same step typed by two people at once, or two steps: one does it, the other does nothing or says why; no number is used twice.
#[test]
fn of_two_runs_at_once_no_number_is_used_twice_and_nothing_is_done_twice() {
    let deal = played("at-once");
    let desk = scratch("at-once-desk");
    for (at, step) in STEPS.iter().enumerate() {
        let after = below(&deal.desks[at + 1]);
        for turn in 0..4 {
            copy(&deal.desks[at], &desk);
            let both = [0, 1].map(|_| {
                let mut one = command(&desk, step.words);
                one.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
            });
            let ends = both.map(|child| child.wait_with_output().unwrap());
            let good = ends.iter().filter(|end| end.status.code() == Some(0)).count();
            let said = ends.map(|end| text(&end.stdout) + &text(&end.stderr)).join("\n");
            assert!(good >= 1, "{:?}, turn {turn}: {said}", step.words);
            judge_frozen(&desk, &said);
            assert_eq!(left_over(&desk), [""; 0], "{said}");
            let now = below(&desk);
            assert!(
                now == after,
                "{:?}, turn {turn}: {said}: {:?}",
                step.words,
                now.keys().filter(|k| !after.contains_key(*k)).collect::<Vec<_>>()
            );
        }
    }
    // Numbers of different kinds, taken at once.
    copy(&deal.desks[3], &desk);
    let steps = [
        &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"][..],
        &["issue", "JOB", "order"],
        &["issue", "JOB", "method"],
    ];
    let runs = steps.map(|words| command(&desk, words).spawn().unwrap());
    for mut run in runs {
        assert_eq!(run.wait().unwrap().code(), Some(0));
    }
    assert_eq!(kept(&desk), ["26-066-A", "26-066-A-accepted", "26-066-B", "26-066-C", "26-066-invoice-1"]);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 4, "{checked}");
    fs::remove_dir_all(desk).unwrap();
    deal.end();
}

// ---- Clocks and places -----------------------------------------------------------------------------------------------

/// A day before anything was issued, or long after: every command answers, and none is confused.
#[test]
fn a_clock_that_is_wrong_confuses_nothing() {
    let deal = played("clock");
    let desk = deal.desks.last().unwrap();
    for today in ["2000-01-01", "2026-11-01", "2099-12-31"] {
        for words in [
            &["list", "JOB", "--today", today][..],
            &["account", "JOB", "--json", "--today", today],
            &["stock", "JOB", "--today", today],
            &["mail", "JOB", "quote", "--today", today],
        ] {
            let output = run(desk, words);
            assert_eq!(output.status.code(), Some(0), "{words:?}: {}", text(&output.stderr));
        }
    }
    // What the law or the order of things does not allow is refused with its reason, and records nothing.
    let before = kept(desk);
    for (words, why) in [
        (&["invoice", "JOB", "--stage", "2", "--on", "2026-12-01"][..], "2026-12-0"),
        (&["receipt", "JOB", "1", "--paid", "21.00", "--on", "2026-12-01"], "2026-12-0"),
        (&["withdraw", "JOB", "--on", "2026-12-01"], "2026-12-02"),
    ] {
        let told = refused(desk, words, 2);
        assert!(told.contains(why), "{words:?}: {told}");
    }
    assert_eq!(kept(desk), before);
    deal.end();
}

#[test]
fn a_job_that_is_moved_takes_all_of_its_deal_along() {
    let deal = played("moved");
    let desk = deal.desks.last().unwrap().clone();
    let list = |job: &Path| -> Value {
        let output = crate::command::wetout(&["list", job.to_str().unwrap(), "--json", "--today", "2026-12-20"]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let mut list: Value = serde_json::from_slice(&output.stdout).unwrap();
        list["jobs"][0]["job"].take();
        list["jobs"].take()
    };
    let state = list(&desk.join("k"));
    let check = |job: &Path| {
        let output = crate::command::wetout(&["issue", "--check", job.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
        assert_eq!(text(&output.stdout).matches("made again byte for byte").count(), 7, "{}", text(&output.stdout));
    };
    // Deeper, under another name, and then away from the firm file.
    let elsewhere = scratch("moved-away");
    let mut place = desk.join("k");
    for next in [desk.join("2027/April/Studio roof"), desk.join("done"), elsewhere.join("k")] {
        fs::create_dir_all(next.parent().unwrap()).unwrap();
        fs::rename(&place, &next).unwrap();
        place = next;
        check(&place);
        assert_eq!(list(&place), state, "{}", place.display());
    }
    // What needs the firm of today says what is missing, and where it is again the deal goes on.
    let job = place.to_str().unwrap().to_owned();
    let invoice = ["invoice", &job, "--stage", "2", "--on", "2027-04-14"];
    let output = crate::command::wetout(&invoice);
    assert_ne!(output.status.code(), Some(0));
    assert!(text(&output.stderr).contains("firm"), "{}", text(&output.stderr));
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(desk.join(file), elsewhere.join(file)).unwrap();
    }
    let output = crate::command::wetout(&invoice);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("26-066-INV-2"), "{}", text(&output.stdout));
    fs::remove_dir_all(elsewhere).unwrap();
    deal.end();
}

// ---- What a synchroniser and a file manager leave --------------------------------------------------------------------

#[test]
fn what_a_synchroniser_leaves_is_no_revision_and_is_told() {
    let deal = played("synchronised");
    let desk = deal.desks.last().unwrap();
    let issued = desk.join("k/issued");
    let state = done(desk, &["list", "JOB", "--json", "--today", "2026-12-20"]);
    // A copy of a revision, an invoice and a receipt under other names; one in small letters; a folder whose manifest is not here.
    for (of, name) in [
        ("26-066-A", "26-066-A (conflicted copy 2026-12-05)"),
        ("26-066-invoice-1", "26-066-invoice-1 2"),
        ("26-066-receipt-1", "26-066-receipt-1-LAPTOP"),
        ("26-066-B", "26-066-b"),
    ] {
        copy(&issued.join(of), &issued.join(name));
    }
    fs::create_dir_all(issued.join("26-066-D")).unwrap();
    fs::write(issued.join("26-066-D/.manifest.json.placeholder"), "").unwrap();
    fs::write(issued.join(".26-066-E.placeholder"), "").unwrap();
    for (name, bytes) in
        [("desktop.ini", "[x]"), ("Thumbs.db", "x"), (".hidden", "x"), ("notes (conflicted copy).txt", "x")]
    {
        fs::write(issued.join(name), bytes).unwrap();
        fs::write(issued.join("26-066-A").join(name), bytes).unwrap();
    }
    fs::remove_file(issued.join("26-066-A/notes (conflicted copy).txt")).unwrap();
    let told = run(desk, &["list", "JOB", "--json", "--today", "2026-12-20"]);
    assert_eq!(told.status.code(), Some(1));
    let same = |text: &str| -> Value {
        let mut list: Value = serde_json::from_str(text).unwrap();
        list["jobs"][0]["faults"].take();
        list
    };
    assert_eq!(same(&text(&told.stdout)), same(&state), "nothing of it counts");
    let said = text(&told.stderr);
    for name in [
        "26-066-A (conflicted copy 2026-12-05) is not read: it has not the name under which it was frozen",
        "26-066-invoice-1 2 is not read",
        "26-066-receipt-1-LAPTOP is not read",
        "26-066-b is not read",
        "26-066-D cannot be read: its manifest.json is gone, broken, or not on this disk",
        ".26-066-E.placeholder stands for something that is not on this disk",
    ] {
        assert!(said.contains(name), "{name}: {said}");
    }
    assert!(!said.contains("desktop.ini") && !said.contains("Thumbs.db"), "{said}");
    let checked = run(desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.status.code(), Some(1));
    let checked = text(&checked.stdout);
    assert_eq!(checked.matches("made again byte for byte").count(), 7, "{checked}");
    assert!(!checked.contains("ALTERED"), "{checked}");
    assert!(checked.contains("notes (conflicted copy).txt was put there since: it is no revision"), "{checked}");
    // No letter and no number is used again, and what is sent is what was issued.
    assert!(done(desk, &["issue", "JOB", "quote", "--again"]).contains("as revision F"));
    let paid = done(desk, &["receipt", "JOB", "1", "--paid", "21.00", "--on", "2026-12-11"]);
    assert!(paid.contains("26-066-REC-2"), "{paid}");
    done(desk, &["mail", "JOB", "quote", "--revision", "A", "--today", "2026-12-12"]);
    deal.end();
}

#[test]
fn a_conflicted_copy_of_a_file_is_not_read_and_told() {
    let desk = desk_of("conflicted", "bay");
    let price = done(&desk, &["price", "JOB"]);
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    fs::write(desk.join("k/job (conflicted copy 2026-11-27).yaml"), job.replace("26-050", "26-999")).unwrap();
    fs::write(desk.join("firm.sync-conflict-20261127-101010-AAAA.yaml"), "x").unwrap();
    let book = fs::read_to_string(desk.join("prices.yaml")).unwrap();
    fs::create_dir(desk.join("prices")).unwrap();
    fs::remove_file(desk.join("prices.yaml")).unwrap();
    fs::write(desk.join("prices/coldharbour.yaml"), &book).unwrap();
    let cheaper = book.replace("price: 89.00", "price: 8.00");
    fs::write(desk.join("prices/coldharbour (A. Harrow's conflicted copy 2026-11-27).yaml"), cheaper).unwrap();
    let output = run(&desk, &["price", "JOB"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert_eq!(text(&output.stdout), price);
    let said = text(&output.stderr);
    assert_eq!(said.matches("as a synchroniser leaves it, and is not read (conflicted-copy)").count(), 3, "{said}");
    for name in ["job (conflicted copy 2026-11-27).yaml", "firm.sync-conflict", "A. Harrow's conflicted copy"] {
        assert!(said.contains(name), "{name}: {said}");
    }
}
