//! Many jobs at once: told in their order, the broken ones last, those that have not changed left as they are, in memory that does
//! not grow with their number.

use crate::command::scratch;
use crate::photographs::photograph;
use crate::support::lean_to;
#[cfg(unix)]
use rustix::process::{Pid, Signal, kill_process};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::thread;
use std::time::Duration;

/// A folder with the demo firm, its price book and small jobs at these places.
fn filed(name: &str, jobs: &[String]) -> PathBuf {
    let folder = scratch(name);
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs").join(file), folder.join(file)).unwrap();
    }
    for (n, job) in jobs.iter().enumerate() {
        fs::create_dir_all(folder.join(job)).unwrap();
        let text = lean_to("", "", "").replace("26-905", &format!("26-{n:04}"));
        fs::write(folder.join(job).join("job.yaml"), text).unwrap();
    }
    folder
}

fn begun(folder: &Path, arguments: &[&str]) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command.spawn().unwrap()
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    begun(folder, arguments).wait_with_output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// The last line that says how many were made.
fn tally(output: &Output) -> String {
    out(output).lines().find(|line| line.contains(" jobs made")).unwrap_or_default().to_owned()
}

/// How many jobs below a folder have a record of what they were made from.
fn made(folder: &Path) -> usize {
    // What a run writes aside comes and goes.
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let one = |entry: fs::DirEntry| match entry.file_type().is_ok_and(|kind| kind.is_dir()) {
        true => made(&entry.path()),
        false => usize::from(entry.file_name() == ".wetout-made" && !entry.path().to_string_lossy().contains("/new/")),
    };
    entries.map(one).sum()
}

/// The most memory that a process has held so far, in kB, where the system tells.
fn peak(process: u32) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.trim().parse().ok())
}

/// Waits for the end of a process; gives what it said, and the most memory that it had held when `begun` of its jobs were made
/// and when it was last seen.
fn watched(child: Child, folder: &Path, begun: usize) -> (Output, Option<(u64, u64)>) {
    let id = child.id();
    let ended = thread::spawn(move || child.wait_with_output().unwrap());
    let (mut first, mut last) = (None, None);
    while !ended.is_finished() {
        last = peak(id).or(last);
        if first.is_none() && made(folder) >= begun {
            first = last;
        }
        thread::sleep(Duration::from_millis(40));
    }
    (ended.join().unwrap(), first.zip(last))
}

const JOBS: usize = 150;

/// A fault of the firm file, and prices that are old, are those of every job, and told once.
#[test]
fn what_is_the_same_for_every_job_is_told_once() {
    let jobs = ["a", "b", "c"].map(str::to_owned);
    let folder = filed("many-once", &jobs);
    let old = err(&run(&folder, &["make", ".", "--date", "2027-06-01"]));
    assert_eq!(old.matches("(old-prices)").count(), 1, "{old}");
    assert_eq!(old.matches("1 of these is told above").count(), 2, "{old}");
    // Looked at alone, a job is told all of it; of several, it is told with the first, and how many jobs it concerns with the last.
    let checked = |jobs: &[&str]| out(&run(&folder, &[&["check"], jobs, &["--date", "2027-06-01"]].concat()));
    let alone = checked(&["b"]);
    assert_eq!((alone.matches("(old-prices)").count(), alone.contains("told above")), (1, false), "{alone}");
    let all = checked(&["."]);
    assert_eq!(all.matches("= help: ask the merchant for today's prices").count(), 1, "{all}");
    assert_eq!(all.matches("2 of these are told above").count(), 2, "the prices, and unpaid hours: {all}");
    let (_, several) = all.split_once("\nTold once above, and so for several jobs\n\n").unwrap();
    assert_eq!(several.matches(": 3 of 3 jobs\n").count(), 2, "{all}");
    assert!(several.contains("\nprices.yaml: the prices of ") && several.contains(" (old-prices): 3 of"), "{all}");
    // What another job has in other figures is the same: its unpaid hours.
    let place = folder.join("c/job.yaml");
    let job = fs::read_to_string(&place).unwrap();
    fs::copy("jobs/bay/job.yaml", &place).unwrap();
    let other = checked(&["."]);
    fs::write(place, job).unwrap();
    assert_eq!(other.matches("2 of these are told above").count(), 2, "{other}");
    let hours = other.lines().filter(|line| line.contains("are paid, work, set-up and waiting together"));
    let ends: Vec<bool> = hours.map(|l| l.ends_with(": 3 of 3 jobs, the figures are those of the first")).collect();
    assert_eq!(ends, [false, true], "{other}");
    // A job that knows of it is none of those that it concerns.
    let place = folder.join("b/job.yaml");
    let job = fs::read_to_string(&place).unwrap();
    fs::write(&place, format!("{job}silence: [{{warning: old-prices, because: known}}]\n")).unwrap();
    let other = checked(&["."]);
    assert!(other.contains(" (old-prices): 2 of 3 jobs\n"), "{other}");
    fs::write(place, job).unwrap();
    let firm = fs::read_to_string(folder.join("firm.yaml")).unwrap();
    fs::write(folder.join("firm.yaml"), firm.replace("\npeople:", "\npeeple:")).unwrap();
    for command in ["make", "check"] {
        let done = run(&folder, &[command, "."]);
        let told = err(&done);
        assert_eq!(done.status.code(), Some(1), "{told}");
        assert_eq!(told.matches("did you mean `people`?").count(), 1, "{command}: {told}");
        assert_eq!(told.matches("1 of these is told above").count(), 2, "{command}: {told}");
    }
    // What is wrong with each job itself is told of each.
    fs::write(folder.join("firm.yaml"), firm).unwrap();
    for job in &jobs {
        fs::write(folder.join(job).join("job.yaml"), "title: Shed\n").unwrap();
    }
    let told = err(&run(&folder, &["check", "."]));
    assert!(jobs.iter().all(|job| told.contains(&format!("{job}/job.yaml"))) && !told.contains("told above"), "{told}");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_run_that_is_killed_is_gone_on_with_and_the_broken_jobs_are_told_last() {
    let places: Vec<String> = (0..JOBS)
        .map(|n| match n % 3 {
            0 => format!("{n:03}"),
            1 => format!("2026/{n:03}"),
            _ => format!("2026/autumn/north/{n:03}"),
        })
        .collect();
    let folder = filed("many-killed", &places);
    for broken in ["050-broken", "2026/010-other-name", "2026/autumn/050-no-photograph"] {
        fs::create_dir_all(folder.join(broken)).unwrap();
    }
    fs::write(folder.join("050-broken/job.yaml"), "title: nothing else\n").unwrap();
    fs::write(folder.join("2026/010-other-name/job.yml"), lean_to("", "", "")).unwrap();
    let unseen = lean_to("", "", "photos: [{file: gone.jpg}]\n");
    fs::write(folder.join("2026/autumn/050-no-photograph/job.yaml"), unseen).unwrap();
    fs::create_dir_all(folder.join("notes/2025/letters")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("..", folder.join("2026/ring")).unwrap();

    let mut child = begun(&folder, &["make", "."]);
    while made(&folder) < JOBS / 2 && child.try_wait().unwrap().is_none() {
        thread::sleep(Duration::from_millis(5));
    }
    child.kill().unwrap();
    let before = child.wait_with_output().unwrap();
    assert!(!before.status.success() && !out(&before).contains("jobs made"), "it was not killed: {}", out(&before));

    let at_first = made(&folder);
    assert!((JOBS / 2..JOBS).contains(&at_first), "{at_first}");
    let (done, memory) = watched(begun(&folder, &["make", "."]), &folder, at_first + 10);
    assert_eq!(done.status.code(), Some(2), "{}", err(&done));
    // Of those whose documents were being exchanged the record does not count.
    let kept: usize = tally(&done).split("; ").nth(1).and_then(|part| part.split(' ').next()?.parse().ok()).unwrap();
    assert!((at_first - 4..=at_first).contains(&kept), "{kept} of {at_first}");
    let left = JOBS - kept;
    let said = format!("{left} of {} jobs made; {kept} as they were, since nothing has changed", JOBS + 3);
    assert!(tally(&done).starts_with(&said) && tally(&done).ends_with("; 3 not made"), "{}", tally(&done));
    if let Some((first, last)) = memory {
        assert!(last < 120_000, "{last} kB");
        assert!(last < first + first / 3, "{first} kB once ten were made, {last} kB at the end");
    }

    // In the order of the jobs, whichever was ready first; what was passed over before all of them.
    let told: Vec<String> =
        out(&done).lines().filter_map(|line| Some(line.split_once(": ")?.0.to_owned())).skip(1).collect();
    let mut sorted = told.clone();
    sorted.sort_by_key(|place| PathBuf::from(place).parent().map(Path::to_path_buf));
    assert!(told.len() == left + 3, "{told:?}");
    let stable: Vec<&String> = told.iter().filter(|place| place.ends_with("job.yaml")).collect();
    assert!(stable.is_sorted_by_key(|place| PathBuf::from(place.as_str())), "{told:?}");
    assert!(out(&done).starts_with("passed over ./notes: there is no job.yaml in it\n"), "{}", out(&done));
    let faults = err(&done);
    for words in [
        "a job needs `reference`",
        "2026/010-other-name/job.yml is not read: call it job.yaml",
        "there is no photograph `gone.jpg` in the job's folder",
    ] {
        assert_eq!(faults.matches(words).count(), 1, "{words}: {faults}");
    }

    let again = run(&folder, &["make", "."]);
    let none = format!("0 of {} jobs made; {JOBS} as they were", JOBS + 3);
    assert!(again.status.code() == Some(2) && tally(&again).starts_with(&none), "{}", tally(&again));
    assert_eq!(err(&again), faults);

    let checked = run(&folder, &["check", "2026/autumn"]);
    assert_eq!(checked.status.code(), Some(1), "{}", err(&checked));
    let heads: Vec<String> =
        out(&checked).lines().filter(|line| line.contains("nothing stops it")).map(str::to_owned).collect();
    assert!(heads.len() == JOBS / 3 && heads.is_sorted(), "{} heads", heads.len());
}

/// Runs `make` over all jobs of a folder; gives which of them were made.
fn made_now(folder: &Path, more: &[&str]) -> Vec<String> {
    let done = run(folder, &[&["make", "a", "b"], more].concat());
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let told = out(&done);
    let names = told.lines().filter_map(|line| line.split_once("/job.yaml: quote.pdf"));
    names.map(|(name, _)| name.to_owned()).collect()
}

#[test]
fn a_job_is_made_again_where_anything_that_it_is_made_from_has_changed_and_only_then() {
    let folder = filed("many-changed", &["a".into(), "b".into()]);
    let write = |name: &str, text: &str| fs::write(folder.join(name), text).unwrap();
    let read = |name: &str| fs::read_to_string(folder.join(name)).unwrap();
    let both = ["a", "b"];
    let nobody: [&str; 0] = [];
    assert_eq!(made_now(&folder, &[]), both);
    assert_eq!(made_now(&folder, &[]), nobody);
    assert_eq!(made_now(&folder, &["--anew"]), both);
    assert_eq!(made_now(&folder, &[]), nobody);

    // The job, with a photograph; the photograph itself.
    fs::write(folder.join("a/roof.jpg"), photograph(1, 300)).unwrap();
    write("a/job.yaml", &format!("{}photos: [{{file: roof.jpg}}]\n", read("a/job.yaml")));
    assert_eq!(made_now(&folder, &[]), ["a"]);
    assert_eq!(made_now(&folder, &[]), nobody);
    fs::write(folder.join("a/roof.jpg"), photograph(3, 300)).unwrap();
    assert_eq!(made_now(&folder, &[]), ["a"]);

    // What both share: firm file, price book, logo, a template, a nearer firm file.
    write("firm.yaml", &format!("{}# a note\n", read("firm.yaml")));
    assert_eq!(made_now(&folder, &[]), both);
    write("prices.yaml", &format!("{}# a note\n", read("prices.yaml")));
    assert_eq!(made_now(&folder, &[]), both);
    let mut logo = fs::read(folder.join("logo.png")).unwrap();
    logo.extend(b"behind the end");
    fs::write(folder.join("logo.png"), logo).unwrap();
    assert_eq!(made_now(&folder, &[]), both);
    fs::create_dir(folder.join("templates")).unwrap();
    write("templates/weather-reason.md", "");
    fs::remove_file(folder.join("templates/weather-reason.md")).unwrap();
    assert_eq!(made_now(&folder, &[]), nobody);
    write("templates/cancelling.md", "# Your right to cancel\n\nIn other words.\n");
    assert_eq!(made_now(&folder, &[]), both);
    write("b/firm.yaml", &read("firm.yaml").replace("logo: logo.png", ""));
    assert_eq!(made_now(&folder, &[]), ["b"]);

    // Another day, and the documents themselves.
    assert_eq!(made_now(&folder, &["--date", "2026-11-26"]), both);
    assert_eq!(made_now(&folder, &["--date", "2026-11-26"]), nobody);
    assert_eq!(made_now(&folder, &[]), both);
    fs::remove_file(folder.join("a/out/order.csv")).unwrap();
    assert_eq!(made_now(&folder, &[]), ["a"]);
    write("b/out/quote.pdf", "spoilt");
    assert_eq!(made_now(&folder, &[]), ["b"]);
    assert!(fs::read(folder.join("b/out/quote.pdf")).unwrap().starts_with(b"%PDF-"));
    // A run that was stopped while it exchanged documents is put in order.
    write("a/out/unfinished-documents.txt", "waiting in .wetout-00000000000000a1\n");
    assert_eq!(made_now(&folder, &[]), ["a"]);
    assert!(!folder.join("a/out/unfinished-documents.txt").exists());

    // What was accepted takes the place of the job for order and method statement.
    for arguments in [&["issue", "b", "quote"][..], &["accept", "b", "--on", "2026-12-01", "--name", "A. Householder"]]
    {
        let done = run(&folder, arguments);
        assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    }
    assert_eq!(made_now(&folder, &[]), ["b"]);
    assert_eq!(made_now(&folder, &[]), nobody);
}

#[test]
fn the_same_job_named_twice_is_one_and_jobs_of_one_name_in_different_folders_are_two() {
    let folder = filed("many-named", &["north/smith".into(), "south/smith".into()]);
    let done = run(&folder, &["make", "north/smith", "./north/smith", "north/../north/smith/job.yaml"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    assert!(out(&done).contains("price with VAT") && !out(&done).contains("jobs made"), "{}", out(&done));
    let done = run(&folder, &["make", ".", "--out", "all"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    for place in ["all/north/smith/quote.pdf", "all/south/smith/quote.pdf"] {
        assert!(folder.join(place).is_file(), "{place}");
    }
    let done = run(&folder, &["make", ".", "--out", "all"]);
    assert!(tally(&done).starts_with("0 of 2 jobs made; 2 as they were"), "{}", out(&done));
}

#[cfg(target_os = "linux")]
#[test]
fn a_run_whose_words_do_not_arrive_is_broken_off_and_says_what_is_left() {
    let places: Vec<String> = (0..90).map(|n| format!("{n:02}")).collect();
    let folder = filed("many-lost", &places);
    let lost = |arguments: &[&str]| {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        let done = command.args(arguments).current_dir(&folder).stdout(full).output().unwrap();
        assert_eq!(done.status.code(), Some(3));
        err(&done)
    };
    let said = lost(&["make", "."]);
    // How many were made beside the one that could not be told is by chance: they are told, until telling fails.
    let told = said.split_once("broken off after ").and_then(|(_, rest)| rest.split_once(" of 90 jobs: "));
    let (told, left) = told.unwrap();
    let (left, rest) = left.split_once(" are left, from ./").unwrap();
    assert_eq!(told.parse::<usize>().unwrap() + left.parse::<usize>().unwrap(), 90);
    assert!(
        rest.starts_with(&format!("{told:0>2}/job.yaml on. Run the same again: what is made is not made twice")),
        "{said}"
    );
    let said = lost(&["make", ".", "--anew"]);
    assert!(
        said.contains("from ./01/job.yaml on. Run it again without --anew: what is made is not made twice"),
        "{said}"
    );
    assert!(made(&folder) < 80, "{}", made(&folder));
}

#[cfg(unix)]
#[test]
fn a_run_that_ctrl_c_ends_writes_what_is_begun_and_says_what_is_left() {
    let places: Vec<String> = (0..JOBS).map(|n| format!("{n:03}")).collect();
    let folder = filed("many-ended", &places);
    let mut child = begun(&folder, &["make", "."]);
    while made(&folder) < 10 && child.try_wait().unwrap().is_none() {
        thread::sleep(Duration::from_millis(5));
    }
    kill_process(Pid::from_child(&child), Signal::INT).unwrap();
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(130), "{}", err(&ended));
    let written = made(&folder);
    assert!((10..JOBS).contains(&written), "{written}");
    // All that is written is told, and what is told to be left is the rest.
    assert!(tally(&ended).starts_with(&format!("{written} of {JOBS} jobs made")), "{}", tally(&ended));
    let left = format!(
        "broken off after {written} of {JOBS} jobs: {} are left, from ./{written:03}/job.yaml on",
        JOBS - written
    );
    assert!(err(&ended).contains(&left), "{left}: {}", err(&ended));
    let again = run(&folder, &["make", "."]);
    let said = format!("{} of {JOBS} jobs made; {written} as they were", JOBS - written);
    assert!(tally(&again).starts_with(&said), "{}", tally(&again));
    fs::remove_dir_all(folder).unwrap();
}

#[cfg(target_os = "linux")]
#[test]
fn hundreds_of_large_photographs_are_held_one_at_a_time() {
    let places: Vec<String> = (0..4).map(|n| n.to_string()).collect();
    let folder = filed("many-photographs", &places);
    // Small to decode, large to read: 2.6 MB of what a camera wrote beside the picture.
    let plain = photograph(1, 300);
    let note = [&[0xff, 0xed, 0xff, 0xff][..], &[7; 0xfffd]].concat();
    let large = [&plain[..2], &note.repeat(40), &plain[2..]].concat();
    let entries: String = (0..100).map(|n| format!("  - {{file: {n}.jpg, caption: Place {n}}}\n")).collect();
    fs::write(folder.join("large.jpg"), &large).unwrap();
    for job in &places {
        let file = folder.join(job).join("job.yaml");
        fs::write(&file, format!("{}photos:\n{entries}", fs::read_to_string(&file).unwrap())).unwrap();
        (0..100).for_each(|n| fs::hard_link(folder.join("large.jpg"), folder.join(format!("{job}/{n}.jpg"))).unwrap());
    }
    let (done, memory) = watched(begun(&folder, &["make", "."]), &folder, 1);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let (_, last) = memory.unwrap();
    assert!(last < 150_000, "{last} kB for 4 jobs of 100 photographs, 260 MB each");
    let quotes: BTreeMap<usize, ()> =
        places.iter().map(|job| (fs::read(folder.join(job).join("out/quote.pdf")).unwrap().len(), ())).collect();
    assert!(quotes.keys().all(|&bytes| bytes > 100_000), "{quotes:?}");
}
