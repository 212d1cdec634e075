//! Job, firm and price-book files: what is accepted, what is refused, and with which words.
//!
//! `tests/bad_jobs/` holds one file a fault, each with its exact message beside it (`.txt`). `firm-*` are firm files
//! and `prices-*` price books, read with a job that is good; `warn-*` are jobs that stand, with what `check` says of
//! them. After a change of words, `REWRITE_MESSAGES=1 cargo test --test all job_files::` writes the messages anew:
//! read every line of the difference before it is committed.

use std::path::{Path, PathBuf};
use wetout::job_file::{Failure, Loaded, Request, load, render};

const BAD: &str = "tests/bad_jobs";

/// A job as the command line gives it, with the demo firm and price book.
fn request(file: &Path) -> Request {
    Request {
        name: file.display().to_string(),
        bytes: std::fs::read(file).unwrap(),
        folder: file.parent().unwrap().to_path_buf(),
        firm: Some("jobs/firm.yaml".into()),
        prices: vec!["jobs/prices.yaml".into()],
    }
}

/// The request for one file of the folder of bad files.
fn bad_request(file: &Path) -> Request {
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let good = Path::new("jobs/kitchen-extension/job.yaml");
    match () {
        () if name.starts_with("firm-") => Request { firm: Some(file.into()), ..request(good) },
        () if name.starts_with("prices-") => Request { prices: vec![file.into()], ..request(good) },
        () => request(file),
    }
}

fn message(result: &Result<Loaded, Box<Failure>>) -> String {
    match result {
        Ok(loaded) => render(&loaded.notices, &loaded.sources, false),
        Err(failure) => render(&failure.problems, &failure.sources, false),
    }
}

#[test]
fn every_bad_file_is_told_in_exactly_the_words_beside_it() {
    let rewrite = std::env::var_os("REWRITE_MESSAGES").is_some();
    let mut files: Vec<PathBuf> = std::fs::read_dir(BAD).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "yaml"));
    files.sort();
    let mut wrong = Vec::new();
    for file in files {
        let result = load(&bad_request(&file));
        let stands = file.file_name().unwrap().to_string_lossy().starts_with("warn-");
        let (said, beside) = (message(&result), file.with_extension("txt"));
        if rewrite {
            std::fs::write(&beside, &said).unwrap();
        }
        if result.is_ok() != stands || std::fs::read_to_string(&beside).unwrap_or_default() != said {
            wrong.push(format!("== {} (loaded: {})\n{said}", file.display(), result.is_ok()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
