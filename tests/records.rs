//! Documents on the disk: all of one run or all of another, whatever happens to the program, and never another's file.

#![allow(clippy::print_stdout, reason = "how many runs were killed is told to whoever asks with --nocapture")]

use crate::command::scratch;
use proptest::test_runner::{RngAlgorithm, TestRng};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Every file of a folder that a user sees, by name.
type Seen = BTreeMap<String, Vec<u8>>;

const NOTICE: &str = "unfinished-documents.txt";
const JOBS: [&str; 2] = ["bay", "dormer"];

fn make(job: &str, out: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.args(["make", &format!("jobs/{job}"), "--out"]).arg(out).current_dir(env!("CARGO_MANIFEST_DIR"));
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
    command
}

fn done(mut command: Command) -> Output {
    command.output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn seen(folder: &Path) -> Seen {
    let shown = names(folder).into_iter().filter(|name| !name.starts_with('.'));
    shown.map(|name| (name.clone(), fs::read(folder.join(name)).unwrap())).collect()
}

/// What each job gives when nothing disturbs it.
fn undisturbed(name: &str) -> [Seen; 2] {
    JOBS.map(|job| {
        let out = scratch(&format!("{name}-{job}"));
        assert_eq!(done(make(job, &out)).status.code(), Some(0));
        seen(&out)
    })
}

/// Looks at a folder as a reader would: the documents of one run alone, and all of them unless a notice says otherwise. Gives
/// whether it does.
fn judge(folder: &Path, runs: &[Seen; 2], when: &str) -> bool {
    let mut here = seen(folder);
    let told = here.remove(NOTICE).is_some();
    let of_one = |run: &Seen| here.iter().all(|(name, bytes)| run.get(name) == Some(bytes));
    let whole = runs.contains(&here);
    let run = runs.iter().any(of_one);
    assert!(run, "{when}: documents of two runs, or half written: {:?}", here.keys());
    assert!(whole || told, "{when}: documents are missing, and nothing says so: {:?}", here.keys());
    told
}

#[test]
fn a_run_that_is_killed_at_any_moment_leaves_the_documents_of_one_run_and_the_next_puts_all_in_order() {
    let kills: u64 = std::env::var("WETOUT_KILLS").map_or(60, |n| n.parse().unwrap());
    let runs = undisturbed("kill-whole");
    let out = scratch("kill");
    let begun = Instant::now();
    assert_eq!(done(make(JOBS[0], &out)).status.code(), Some(0));
    let whole_run = begun.elapsed();
    let mut chance = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut below = |most: u64| rand_below(&mut chance, most);
    let (mut killed, mut told) = (0, 0);
    for n in 0..kills {
        let mut child = make(JOBS[n as usize % 2], &out).stderr(Stdio::null()).spawn().unwrap();
        if n % 3 == 0 {
            thread::sleep(Duration::from_micros(below(whole_run.as_micros() as u64)));
        } else {
            // Most of a run is work on which nothing on the disk depends: wait until it begins to write.
            let before = names(&out);
            while names(&out) == before && child.try_wait().unwrap().is_none() {
                thread::sleep(Duration::from_micros(50));
            }
            thread::sleep(Duration::from_micros(below(3000)));
        }
        let _ = child.kill();
        killed += u64::from(!child.wait().unwrap().success());
        told += u64::from(judge(&out, &runs, &format!("kill {n}")));
    }
    assert!(killed > kills / 2, "only {killed} of {kills} runs were still alive when they were killed");
    assert_eq!(done(make(JOBS[0], &out)).status.code(), Some(0));
    assert!(seen(&out) == runs[0] && names(&out).len() == runs[0].len(), "left over: {:?}", names(&out));
    if kills > 60 {
        println!("{kills} runs, {killed} killed, {told} of them while documents were exchanged");
    }
}

fn rand_below(chance: &mut TestRng, most: u64) -> u64 {
    use proptest::prelude::Rng;
    chance.next_u64() % most.max(1)
}

#[test]
fn two_runs_at_once_leave_the_documents_of_one() {
    let runs = undisturbed("at-once-whole");
    let out = scratch("at-once");
    for turn in 0..12 {
        let both = JOBS.map(|job| make(job, &out).spawn().unwrap());
        for child in both {
            let output = child.wait_with_output().unwrap();
            assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        }
        assert!(!judge(&out, &runs, &format!("turn {turn}")));
        assert_eq!(names(&out).len(), 4, "{:?}", names(&out));
    }
}

#[test]
fn what_a_dead_run_left_is_swept_and_what_it_had_begun_is_ended() {
    let [dead, other] = undisturbed("swept-whole");
    let out = scratch("swept");
    for (name, bytes) in &other {
        fs::write(out.join(name), bytes).unwrap();
    }
    // It was killed before it had written all of its files,
    fs::create_dir_all(out.join(".wetout-00000000000000a1/new")).unwrap();
    fs::write(out.join(".wetout-00000000000000a1/new/quote.pdf"), "half").unwrap();
    // and another when the first of its files had come and the others had not.
    let aside = out.join(".wetout-00000000000000b2");
    fs::create_dir_all(aside.join("new")).unwrap();
    fs::create_dir_all(aside.join("old")).unwrap();
    for (name, bytes) in &dead {
        fs::rename(out.join(name), aside.join("old").join(name)).unwrap();
        fs::write(aside.join("new").join(name), bytes).unwrap();
    }
    fs::rename(aside.join("new/method.pdf"), out.join("method.pdf")).unwrap();
    fs::write(out.join("order-2.pdf"), "of an order to two merchants").unwrap();
    fs::write(out.join(NOTICE), "…\nwaiting in .wetout-00000000000000b2\ngoes order-2.pdf\ngoes ../../x\n").unwrap();
    fs::write(out.join(".wetout-lock"), "").unwrap();
    // The next run writes one document.
    let mut quote = Command::new(env!("CARGO_BIN_EXE_wetout"));
    quote.args(["quote", "jobs/dormer", "--out"]).arg(&out).current_dir(env!("CARGO_MANIFEST_DIR"));
    let output = done(quote);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    let here = seen(&out);
    assert_eq!(names(&out), ["method.pdf", "order.csv", "order.pdf", "quote.pdf"]);
    assert!(["method.pdf", "order.csv", "order.pdf"].iter().all(|name| here[*name] == dead[*name]));
    assert!(here["quote.pdf"] == other["quote.pdf"]);
}

#[test]
fn an_order_to_two_merchants_does_not_stay_beside_the_order_to_one() {
    let out = scratch("superseded");
    for name in ["order-1.pdf", "order-2.csv", "order-x.pdf", "order-1.pdf.bak", "notes.txt", "private.pdf"] {
        fs::write(out.join(name), "earlier").unwrap();
    }
    let mut made = make("bay", &out);
    made.stdout(Stdio::piped());
    let output = done(made);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert_eq!(
        names(&out),
        [
            "method.pdf",
            "notes.txt",
            "order-1.pdf.bak",
            "order-x.pdf",
            "order.csv",
            "order.pdf",
            "private.pdf",
            "quote.pdf"
        ]
    );
    let words = String::from_utf8(output.stdout).unwrap();
    assert!(words.contains("took away order-1.pdf, order-2.csv of an earlier run"), "{words}");
}

/// A folder outside, with a file that nobody may touch.
fn treasure(name: &str) -> (PathBuf, PathBuf) {
    let folder = scratch(name);
    let file = folder.join("treasure");
    fs::write(&file, "mine").unwrap();
    (folder, file)
}

#[cfg(unix)]
#[test]
fn no_link_that_somebody_planted_is_followed() {
    use std::os::unix::fs::symlink;
    let (elsewhere, file) = treasure("planted-elsewhere");
    let out = scratch("planted");
    for name in ["quote.pdf", "order.csv", NOTICE, ".wetout-lock"] {
        symlink(&file, out.join(name)).unwrap();
    }
    symlink(elsewhere.join("new"), out.join("method.pdf")).unwrap();
    symlink(&elsewhere, out.join(".wetout-00000000000000c3")).unwrap();
    let aside = out.join(".wetout-00000000000000d4");
    fs::create_dir(&aside).unwrap();
    symlink(&elsewhere, aside.join("new")).unwrap();
    symlink(&elsewhere, aside.join("old")).unwrap();
    for turn in 0..2 {
        let output = done(make("bay", &out));
        assert_eq!(output.status.code(), Some(0), "{turn}: {}", said(&output));
        assert_eq!(names(&elsewhere), ["treasure"]);
        assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
        for name in ["quote.pdf", "order.pdf", "order.csv", "method.pdf"] {
            assert!(fs::symlink_metadata(out.join(name)).unwrap().is_file(), "{name}");
        }
        // Once more, with a notice that points to the links.
        let _ = fs::create_dir(&aside);
        let _ = symlink(&elsewhere, aside.join("new"));
        let _ = symlink(&elsewhere, aside.join("old"));
        fs::write(out.join(NOTICE), "waiting in .wetout-00000000000000d4\n").unwrap();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_that_does_not_fit_and_a_folder_that_cannot_be_written_change_nothing() {
    let runs = undisturbed("unfit-whole");
    let out = scratch("unfit");
    assert_eq!(done(make(JOBS[0], &out)).status.code(), Some(0));
    // No file may grow beyond 30,000 bytes or so: the first of the set fails half way.
    let mut small = Command::new("sh");
    small.args(["-c", "trap '' XFSZ; ulimit -f 50; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_wetout"), "make"]);
    small.args(["jobs/dormer", "--out"]).arg(&out).current_dir(env!("CARGO_MANIFEST_DIR"));
    let output = done(small);
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
    assert!(
        said(&output).contains("it is larger than this system lets a file be; choose a folder on another disk with")
    );
    assert!(said(&output).contains("Nothing that was there has changed"), "{}", said(&output));
    assert!(seen(&out) == runs[0] && names(&out).len() == 4, "{:?}", names(&out));
    // Nobody, not even the system's keeper, makes a folder there.
    let output = done(make("bay", Path::new("/sys/wetout-documents/new")));
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output).contains("choose another folder with --out"), "{}", said(&output));
}

#[test]
fn a_folder_in_the_place_of_a_document_stays_and_an_unused_folder_goes() {
    let out = scratch("in-the-way");
    fs::create_dir(out.join("method.pdf")).unwrap();
    let output = done(make("bay", &out));
    assert_eq!(output.status.code(), Some(3));
    assert!(said(&output).contains("a folder stands where a file is needed; take it away"), "{}", said(&output));
    assert_eq!(names(&out), ["method.pdf"]);
}

#[test]
fn jobs_whose_folders_differ_in_large_and_small_letters_alone_are_refused() {
    let folder = scratch("letters");
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs").join(file), folder.join(file)).unwrap();
    }
    for name in ["one/Bay", "two/bay"] {
        fs::create_dir_all(folder.join(name)).unwrap();
        let job = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs/bay/job.yaml");
        fs::copy(job, folder.join(name).join("job.yaml")).unwrap();
    }
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        command.args(arguments).current_dir(&folder);
        done(command)
    };
    let output = run(&["make", "one/Bay", "two/bay", "--out", "all"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("would both write to all/bay"), "{}", said(&output));
    assert!(!folder.join("all").exists() && !folder.join("one/Bay/out").exists());
}
