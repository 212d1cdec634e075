//! An earlier job as the start of another: its roofs and choices, without its people, its place and its days.
//!
//! Given the text of a job file and what is known of the new one; gives the text of another. Who, where, when, asbestos and
//! what was agreed belong to the earlier job alone: they are asked anew, and nothing of them is copied. What is kept is copied
//! as it was written, comments and all.

use super::draft::{Draft, Gap};
use super::job_text::JobWriter;
use super::lists::Lists;
use super::question::{Ask, SurveyAnswers, What};
use crate::job_file::reference::is_readable;
use std::fmt::Write as _;

/// Why an earlier job is not taken, and what to do.
pub type JobNotTaken = (String, String);

/// Settings of a job that go with its roofs to another.
const KEPT: [&str; 11] =
    ["title", "roofs", "strip", "flashing", "roof_class", "lift", "extras", "order_lines", "options", "rules", "quote"];

/// The text of another job.
///
/// # Errors
/// Why the earlier one cannot be taken.
pub fn anew(earlier: &str, answers: &SurveyAnswers, lists: &Lists) -> Result<Draft, JobNotTaken> {
    is_readable(earlier).map_err(|problem| (problem.fault.clone(), problem.cure.clone()))?;
    let blocks = blocks_of(earlier);
    if !blocks.iter().any(|block| block.key == "roofs") {
        let fault = "there are no roofs at its left margin: it is no job, or is written in one line".to_owned();
        return Err((fault, "name a job file; one that is written in braces is copied by hand".to_owned()));
    }
    let titled = answers.words(Ask { roof: 0, item: 0, what: What::Title }).is_some();
    let mut writer = JobWriter::new(answers, lists, 1);
    writer.who_and_where(titled || !blocks.iter().any(|block| block.key == "title"));
    let Draft { mut text, mut gaps, empty } =
        writer.finished("# A job that begins with the roofs of an earlier one.\n");
    text.push('\n');
    for block in blocks.iter().filter(|block| KEPT.contains(&block.key.as_str()) && !(titled && block.key == "title")) {
        let mut within: Option<usize> = None;
        for (line, place) in block.lines.iter().zip(block.first..) {
            let indent = line.len() - line.trim_start().len();
            if within.is_some_and(|above| indent > above && !line.trim().is_empty()) {
                continue; // What goes on below a setting that was left out.
            }
            within = None;
            match OF_A_ROOF.iter().find(|key| line.trim_start().starts_with(&format!("{key}:"))) {
                Some(key) => {
                    let _ = writeln!(text, "{:indent$}# {key}: to be answered anew for this roof", "");
                    gaps.push(left_out(key, place));
                    within = Some(indent);
                }
                None => {
                    let _ = writeln!(text, "{line}");
                    gaps.extend(OF_A_ROOF.iter().filter(|key| mentions(line, key)).map(|key| to_look_at(key, place)));
                }
            }
        }
    }
    let gone: Vec<&str> = blocks.iter().map(|block| block.key.as_str()).filter(|key| !KEPT.contains(key)).collect();
    let _ = writeln!(text, "\n# Not copied from the earlier job: {}.", gone.join(", "));
    match is_readable(&text) {
        Ok(()) => Ok(Draft { text, gaps, empty }),
        Err(_) => Err((
            "its lines cannot be parted by their settings".to_owned(),
            "copy the file by hand, and change reference, dates, customer and site".to_owned(),
        )),
    }
}

/// Settings of a roof that hold for its place alone.
const OF_A_ROOF: [&str; 2] = ["asbestos", "conditions"];

/// Whether a line says such a setting among others.
fn mentions(line: &str, key: &str) -> bool {
    let said = line.split(" #").next().unwrap_or_default();
    [format!("{{{key}:"), format!(" {key}:"), format!(",{key}:")].iter().any(|words| said.contains(words.as_str()))
}

fn left_out(key: &str, line: usize) -> Gap {
    let cure = "answer it anew for this roof".to_owned();
    Gap { page: None, name: format!("{key}, line {line} of the earlier job"), said: None, fault: String::new(), cure }
}

fn to_look_at(key: &str, line: usize) -> Gap {
    Gap {
        page: None,
        name: format!("{key}, line {line} of the earlier job"),
        said: None,
        fault: String::new(),
        cure: "it was copied with what stands beside it: change it".to_owned(),
    }
}

/// A setting at the left margin with its lines, the comments above it among them.
struct JobBlock {
    key: String,
    first: usize,
    lines: Vec<String>,
}

fn blocks_of(text: &str) -> Vec<JobBlock> {
    let mut blocks: Vec<JobBlock> = Vec::new();
    let mut above: Vec<String> = Vec::new();
    for (line, number) in text.lines().zip(1..) {
        let begins = line.starts_with(|c: char| c.is_alphabetic() || c == '"' || c == '\'');
        match (begins, line.split_once(':'), blocks.last_mut()) {
            (true, Some((key, _)), _) => {
                let key = key.trim_matches(['"', '\'']).to_owned();
                let mut lines: Vec<String> = if blocks.is_empty() { Vec::new() } else { std::mem::take(&mut above) };
                let first = number - lines.len();
                lines.push(line.to_owned());
                above.clear();
                blocks.push(JobBlock { key, first, lines });
            }
            _ if line.starts_with('#') || line.trim().is_empty() => above.push(line.to_owned()),
            (_, _, Some(block)) => {
                block.lines.append(&mut above);
                block.lines.push(line.to_owned());
            }
            (_, _, None) => above.push(line.to_owned()),
        }
    }
    blocks
}
