//! `wetout watch` as it is used: files are saved as editors save them, and the program is listened to.

use crate::command::scratch;
use rustix::process::{Pid, Signal, kill_process};
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::thread;
use std::time::Duration;

/// Nothing takes so long, however busy the machine is.
const ENOUGH: Duration = Duration::from_secs(120);

/// A desk with the bay window's job on it.
fn desk(name: &str) -> PathBuf {
    let desk = scratch(name);
    fs::create_dir_all(desk.join("bay")).unwrap();
    for file in ["firm.yaml", "prices.yaml", "logo.png", "bay/job.yaml"] {
        fs::copy(Path::new("jobs").join(file), desk.join(file)).unwrap();
    }
    desk
}

/// The program while it watches.
struct Watching {
    child: Child,
    said: Receiver<String>,
    faults: Receiver<String>,
}

fn lines(from: impl Read + Send + 'static) -> Receiver<String> {
    let (tell, hear) = mpsc::channel();
    thread::spawn(move || {
        for line in BufReader::new(from).lines().map_while(Result::ok) {
            if tell.send(line).is_err() {
                return;
            }
        }
    });
    hear
}

/// What is said up to a line with these words.
fn until(hear: &Receiver<String>, words: &str) -> String {
    let mut text = String::new();
    loop {
        match hear.recv_timeout(ENOUGH) {
            Ok(line) => text += &format!("{line}\n"),
            Err(_) => panic!("`{words}` was never said, only:\n{text}"),
        }
        if text.lines().last().is_some_and(|line| line.contains(words)) {
            return text;
        }
    }
}

impl Watching {
    fn begin(desk: &Path, more: &[&str]) -> Watching {
        let mut child = Command::new(env!("CARGO_BIN_EXE_wetout"))
            .args(["watch", "bay"])
            .args(more)
            .current_dir(desk)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (said, faults) = (lines(child.stdout.take().unwrap()), lines(child.stderr.take().unwrap()));
        Watching { child, said, faults }
    }

    /// What is said until it waits for the next save.
    fn until_it_waits(&self) -> String {
        until(&self.said, "Ctrl-C ends")
    }

    fn interrupt(&self) {
        kill_process(Pid::from_child(&self.child), Signal::INT).unwrap();
    }

    /// Ends it as a person does; gives its exit code and what it said last.
    fn end(mut self) -> (Option<i32>, String) {
        self.interrupt();
        let code = self.child.wait().unwrap().code();
        (code, self.said.iter().collect::<Vec<_>>().join("\n"))
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn edit(file: &Path, from: &str, to: &str) -> String {
    let text = fs::read_to_string(file).unwrap();
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

/// As most editors do: the new text is written beside the old one and put in its place.
fn save_by_rename(file: &Path, text: &str) {
    let beside = file.with_extension("yaml.tmp~");
    fs::write(&beside, text).unwrap();
    fs::rename(beside, file).unwrap();
}

/// As others do: the file is emptied, and written a little later.
fn save_by_emptying(file: &Path, text: &str) {
    fs::write(file, "").unwrap();
    thread::sleep(Duration::from_millis(300));
    fs::write(file, text).unwrap();
}

/// As a few do: the old file is moved out of the way first.
fn save_by_moving_away(file: &Path, text: &str) {
    fs::rename(file, file.with_extension("yaml.bak")).unwrap();
    thread::sleep(Duration::from_millis(200));
    fs::write(file, text).unwrap();
}

fn documents(desk: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<(String, Vec<u8>)> = fs::read_dir(desk.join("bay/out"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(path).unwrap()))
        .collect();
    all.sort();
    all
}

fn names(desk: &Path) -> Vec<String> {
    documents(desk).into_iter().map(|(name, _)| name).collect()
}

const SET: [&str; 4] = ["method.pdf", "order.csv", "order.pdf", "quote.pdf"];

#[test]
fn a_save_is_told_by_what_it_changed_however_an_editor_saves() {
    let desk = desk("watch-saves");
    let job = desk.join("bay/job.yaml");
    let watching = Watching::begin(&desk, &[]);
    let first = watching.until_it_waits();
    assert!(first.contains("price with VAT 1953.26") && first.contains("wrote quote.pdf, order.pdf"), "{first}");
    assert!(first.ends_with("watching bay/job.yaml, firm.yaml, logo.png and prices.yaml; Ctrl-C ends\n"), "{first}");
    assert_eq!(names(&desk), SET);
    let first = documents(&desk);

    save_by_rename(&job, &edit(&job, "mat: 600", "mat: 450"));
    let lighter = watching.until_it_waits();
    assert!(lighter.contains("saved bay/job.yaml\n"), "{lighter}");
    for words in [
        "
Quantities
",
        "  mat.600: 2.75 m no longer
",
        "
Money
",
        "  total with VAT: 1953.26 becomes ",
        " less
",
    ] {
        assert!(lighter.contains(words), "{words}: {lighter}");
    }
    assert!(!lighter.contains("nothing changed"), "what did not change is not told: {lighter}");
    assert!(documents(&desk).iter().zip(&first).all(|(new, old)| new.1 != old.1));

    save_by_emptying(&job, &edit(&job, "mat: 450", "mat: 600"));
    let back = watching.until_it_waits();
    assert!(back.contains(" becomes 1953.26, ") && back.contains(" more\n"), "{back}");
    assert!(documents(&desk) == first, "the same job gives the same documents");

    save_by_moving_away(&job, &(fs::read_to_string(&job).unwrap() + "\n# a note to myself\n"));
    let same = watching.until_it_waits();
    assert!(same.contains("nothing changed in what is done, what is ordered, the price or the days\n"), "{same}");
    // None of that was taken for a fault on the way.
    let (code, last) = watching.end();
    assert_eq!((code, last.as_str()), (Some(0), "ended; the documents stand as they were last made"));
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn a_save_that_cannot_be_used_is_told_and_the_documents_stay() {
    let desk = desk("watch-faults");
    let job = desk.join("bay/job.yaml");
    let watching = Watching::begin(&desk, &[]);
    watching.until_it_waits();
    let made = documents(&desk);
    let good = fs::read_to_string(&job).unwrap();

    save_by_rename(&job, &good.replacen("finish: drip", "finish: dripp", 1));
    let told = watching.until_it_waits();
    assert!(told.contains("The documents stay as they were made before. Put this right and save again.\n"), "{told}");
    let fault = until(&watching.faults, "1 problem in");
    assert!(fault.contains("problem: ") && fault.contains("dripp") && fault.contains("bay/job.yaml:"), "{fault}");
    assert!(documents(&desk) == made);

    // A firm file that is taken away, and comes back: what is told afterwards is told against what was made last.
    fs::rename(desk.join("firm.yaml"), desk.join("firm.old")).unwrap();
    save_by_rename(&job, &good.replacen("mat: 600", "mat: 450", 1));
    watching.until_it_waits();
    until(&watching.faults, "firm.yaml");
    assert!(documents(&desk) == made);
    fs::rename(desk.join("firm.old"), desk.join("firm.yaml")).unwrap();
    let mended = watching.until_it_waits();
    assert!(
        mended.contains("saved ") && mended.contains("firm.yaml") && mended.contains("1953.26 becomes"),
        "{mended}"
    );
    assert!(documents(&desk) != made);
    drop(watching);
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn every_file_that_is_read_is_watched_and_no_other() {
    let desk = desk("watch-files");
    let job = desk.join("bay/job.yaml");
    let picture = fs::read("jobs/logo.png").unwrap();
    fs::write(desk.join("bay/before.png"), &picture).unwrap();
    let with_picture = fs::read_to_string(&job).unwrap() + "\nphotos:\n  - {file: before.png, caption: The bay}\n";
    fs::write(&job, with_picture).unwrap();
    let watching = Watching::begin(&desk, &[]);
    let first = watching.until_it_waits();
    assert!(first.contains("watching bay/before.png, bay/job.yaml, firm.yaml, logo.png and prices.yaml;"), "{first}");

    let made = documents(&desk);
    save_by_rename(&desk.join("prices.yaml"), &(fs::read_to_string(desk.join("prices.yaml")).unwrap() + "# \n"));
    assert!(watching.until_it_waits().contains("saved prices.yaml\n"));

    // A folder of the firm's own words that was not there before.
    fs::create_dir(desk.join("templates")).unwrap();
    fs::write(desk.join("templates/cancelling.md"), "# Cancelling\n\nOur own words.\n").unwrap();
    let own = watching.until_it_waits();
    assert!(own.contains("saved templates/cancelling.md\n"), "{own}");
    assert!(documents(&desk) != made);

    // What nobody reads is no save: the next that is told is the picture's.
    fs::write(desk.join("bay/notes.txt"), "Ring back.").unwrap();
    fs::write(desk.join("bay/other.yaml"), "title: Another job\n").unwrap();
    fs::write(desk.join("bay/before.png"), [&picture[..], b" "].concat()).unwrap();
    let pictured = watching.until_it_waits();
    assert!(pictured.contains("saved bay/before.png\n"), "{pictured}");
    drop(watching);
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn where_the_system_says_nothing_the_files_are_looked_at() {
    let desk = desk("watch-poll");
    let job = desk.join("bay/job.yaml");
    let watching = Watching::begin(&desk, &["--poll", "--out", "papers"]);
    let first = watching.until_it_waits();
    assert!(first.ends_with("prices.yaml, looked at every second; Ctrl-C ends\n"), "{first}");
    save_by_rename(&job, &edit(&job, "mat: 600", "mat: 450"));
    assert!(watching.until_it_waits().contains("1953.26 becomes"));
    save_by_emptying(&job, &edit(&job, "mat: 450", "mat: 600"));
    assert!(watching.until_it_waits().contains("becomes 1953.26"));
    assert!(desk.join("papers/quote.pdf").is_file() && !desk.join("bay/out").exists());
    assert_eq!(watching.end().0, Some(0));
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn ctrl_c_leaves_nothing_half_there_even_while_documents_are_made() {
    let desk = desk("watch-end");
    let job = desk.join("bay/job.yaml");
    let texts = [fs::read_to_string(&job).unwrap(), edit(&job, "mat: 600", "mat: 450")];
    for wait in [0, 20, 170, 230, 300, 400] {
        let watching = Watching::begin(&desk, &[]);
        watching.until_it_waits();
        save_by_rename(&job, &texts[usize::from(wait % 40 == 0)]);
        thread::sleep(Duration::from_millis(wait));
        let (code, last) = watching.end();
        assert_eq!(code, Some(0), "{wait}: {last}");
        assert_eq!(names(&desk), SET, "{wait}");
    }
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn what_cannot_be_watched_is_told_at_once() {
    for (job, words) in
        [("-", "name a job file or its folder"), ("jobs/no-such", "there is no job at"), ("jobs", "holds")]
    {
        let done = crate::command::wetout(&["watch", job]);
        let told = String::from_utf8(done.stderr).unwrap();
        assert!(done.status.code() == Some(2) && told.contains(words) && done.stdout.is_empty(), "{job}: {told}");
    }
}
