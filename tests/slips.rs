//! The slips of a hand: a thousand demo files with a key left out, misspelt or in the wrong place, a wrong unit or another kind of
//! value. Each is refused with its line, its fault and a cure, or the change is harmless; where the cure can be typed as it
//! stands, typing it makes the file good.
//!
//! The dice are fixed, so that every run makes the same slips.

use crate::command::scratch;
use crate::fuzz::Chance;
use granit_parser::{Event, Parser};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::ops::Range;
use std::path::PathBuf;
use wetout::job_file::{Failure, Request, load, render};
use wetout::model::{Level, Problem, Whereabouts};

const SLIPS: usize = 1000;

/// One key with its value, as it stands in a file.
#[derive(Debug, Clone)]
struct Setting {
    key: Range<usize>,
    value: Range<usize>,
    /// Whether the value is one word or figure.
    single: bool,
    /// Whether it stands between brackets.
    flow: bool,
}

/// The settings of a file, in its order.
fn settings(text: &str) -> Vec<Setting> {
    let mut all: Vec<Setting> = Vec::new();
    // For each open group or list: whether it is a group, stands between brackets, the key that waits for its value, the setting
    // that it is the value of.
    type Open = (bool, bool, Option<Range<usize>>, Option<usize>);
    let mut open: Vec<Open> = Vec::new();
    for event in Parser::new_from_str(text) {
        let (event, span) = event.unwrap();
        let at = span.byte_range().unwrap_or(0..0);
        let begun = match &event {
            Event::Scalar(..) => false,
            Event::MappingStart(..) | Event::SequenceStart(..) => true,
            Event::MappingEnd | Event::SequenceEnd => {
                if let Some((_, _, _, Some(of))) = open.pop() {
                    all[of].value.end = at.end;
                }
                continue;
            }
            _ => continue,
        };
        let mut of = None;
        if let Some((true, flow, waiting, _)) = open.last_mut() {
            match waiting.take() {
                None => *waiting = Some(at.clone()),
                Some(key) => {
                    of = Some(all.len());
                    all.push(Setting { key, value: at.clone(), single: !begun, flow: *flow });
                }
            }
        }
        if begun {
            let bracket = text[at.start..].starts_with(['{', '[']);
            open.push((matches!(event, Event::MappingStart(..)), bracket, None, of));
        }
    }
    all
}

/// What was done to a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Slip {
    LeftOut,
    Misspelt,
    Misplaced,
    WrongUnit,
    OtherKind,
}

const EVERY: [Slip; 5] = [Slip::LeftOut, Slip::Misspelt, Slip::Misplaced, Slip::WrongUnit, Slip::OtherKind];

/// The text with this setting taken out; none where it begins an entry of a list.
fn without(text: &str, one: &Setting) -> Option<String> {
    if one.flow {
        let (before, behind) = (&text[..one.key.start], &text[one.value.end..]);
        return Some(match behind.strip_prefix(", ") {
            Some(behind) => format!("{before}{behind}"),
            None => format!("{}{behind}", before.strip_suffix(", ").unwrap_or(before)),
        });
    }
    let start = text[..one.key.start].rfind('\n').map_or(0, |n| n + 1);
    let indent = one.key.start - start;
    if !text[start..one.key.start].trim().is_empty() {
        return None;
    }
    let deeper = |line: &&str| {
        let own = line.len() - line.trim_start().len();
        line.trim().is_empty()
            || line.trim_start().starts_with('#')
            || own > indent
            || (own == indent && line.trim_start().starts_with("- "))
    };
    let mut lines = text[start..].split_inclusive('\n');
    let first = lines.next()?.len();
    let end = start + first + lines.take_while(deeper).map(str::len).sum::<usize>();
    Some(format!("{}{}", &text[..start], &text[end..]))
}

fn put(text: &str, at: &Range<usize>, new: &str) -> String {
    format!("{}{new}{}", &text[..at.start], &text[at.end..])
}

/// A slip with this setting; none where it cannot be made.
fn slipped(text: &str, one: &Setting, slip: Slip, dice: &mut Chance) -> Option<String> {
    let (key, value) = (&text[one.key.clone()], &text[one.value.clone()]);
    match slip {
        Slip::LeftOut => without(text, one),
        Slip::Misspelt => Some(put(text, &one.key, &misspelt(key, dice)?)),
        Slip::Misplaced => {
            let plain = one.single && !value.contains(['\n', '&', '*']);
            plain.then(|| without(text, one).map(|rest| format!("{key}: {value}\n{rest}"))).flatten()
        }
        Slip::WrongUnit => Some(put(text, &one.value, &wrong_unit(value, dice)?)),
        Slip::OtherKind => {
            let simple = one.single && !value.is_empty() && !value.contains(['\n', '&', '*', '|', '>']);
            let new = match dice.below(2) {
                _ if !simple => return (value.starts_with(['{', '['])).then(|| put(text, &one.value, "plenty")),
                0 => format!("{{is: {value}}}"),
                _ => format!("[[{value}]]"),
            };
            Some(put(text, &one.value, &new))
        }
    }
}

fn misspelt(key: &str, dice: &mut Chance) -> Option<String> {
    let mut letters: Vec<char> = key.chars().collect();
    if letters.len() < 4 || !key.chars().all(|c| c.is_ascii_lowercase() || c == '_') {
        return None;
    }
    let at = 1 + dice.below(letters.len() - 2);
    match dice.below(3) {
        0 => letters.swap(at, at + 1),
        1 => drop(letters.remove(at)),
        _ => letters.insert(at, letters[at]),
    }
    let new: String = letters.into_iter().collect();
    (new != key).then_some(new)
}

fn wrong_unit(value: &str, dice: &mut Chance) -> Option<String> {
    let (figure, unit) = value.split_once(' ')?;
    let figures = figure.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if !figures || !["mm", "m", "kg", "m2", "m3", "h", "%", "C"].contains(&unit) {
        return None;
    }
    Some(match dice.below(4) {
        0 => figure.to_owned(),
        // A foot is 304.8 mm (international yard and pound agreement of 1959, from memory).
        1 if unit == "m" => format!("{:.3} ft", figure.parse::<f64>().ok()? / 0.3048),
        2 => format!("{figure} lb"),
        _ if figure.contains('.') => format!("\"{} {unit}\"", figure.replace('.', ",")),
        _ => format!("{figure} {unit}s"),
    })
}

// ---- Reading -----------------------------------------------------------------------------------------------------------

/// The demo files, copied to where one of them can be changed.
struct Desk {
    folder: PathBuf,
    files: Vec<(String, String)>,
}

impl Desk {
    fn laid() -> Desk {
        let folder = scratch("slips");
        let mut files = Vec::new();
        for name in ["firm", "prices"] {
            files.push((name.to_owned(), fs::read_to_string(format!("jobs/{name}.yaml")).unwrap()));
        }
        fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
        let mut jobs: Vec<PathBuf> =
            fs::read_dir("jobs").unwrap().map(|e| e.unwrap().path().join("job.yaml")).collect();
        jobs.retain(|file| file.is_file());
        jobs.sort();
        for job in jobs {
            files.push((job.to_str().unwrap().to_owned(), fs::read_to_string(&job).unwrap()));
        }
        Desk { folder, files }
    }

    /// Reads everything with this file changed; gives what it says.
    fn read(&self, which: usize, text: &str) -> Result<String, Box<Failure>> {
        let written = |n: usize, name: &str| {
            let path = self.folder.join(name);
            fs::write(&path, if which == n { text } else { &self.files[n].1 }).unwrap();
            path
        };
        let (firm, prices) = (written(0, "firm.yaml"), written(1, "prices.yaml"));
        // A firm file and a price book are read with the first of the jobs.
        let job = which.max(2);
        let bytes = if which == job { text } else { &self.files[job].1 };
        load(&Request {
            name: "job.yaml".into(),
            bytes: bytes.as_bytes().to_vec(),
            folder: PathBuf::from(&self.files[job].0).parent().unwrap().to_path_buf(),
            firm: Some(firm),
            prices: vec![prices],
            date: None,
            without_options: false,
            stock: Default::default(),
            as_will_be: None,
        })
        .map(|read| format!("{:?}{:?}{:?}{:?}", read.job, read.job_money, read.books, read.terms))
    }
}

/// Where a problem stands in its file, as it is shown to whoever reads it: bytes of the text.
fn shown(problem: &Problem, failure: &Failure, text: &str) -> Option<Range<usize>> {
    let told = render(std::slice::from_ref(problem), &failure.sources, false);
    let place = told.lines().find_map(|line| line.trim_start().strip_prefix("--> "))?;
    let mut parts = place.rsplitn(3, ':');
    let (column, line) = (parts.next()?.parse::<usize>().ok()?, parts.next()?.parse::<usize>().ok()?);
    let carets = told.lines().find_map(|l| l.trim_start().strip_prefix('|').filter(|l| l.contains('^')))?;
    let wide = carets.chars().filter(|c| *c == '^').count();
    let start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let of_line = text[start..].lines().next()?;
    let byte = |n: usize| of_line.char_indices().nth(n).map_or(of_line.len(), |(i, _)| i);
    Some(start + byte(column - 1)..start + byte(column - 1 + wide))
}

/// What a cure says to type: each of its readings; nothing where it only shows an example or a kind.
fn to_type(cure: &str) -> Vec<String> {
    let said = ["did you mean ", "write ", "round it: "].iter().find_map(|start| cure.strip_prefix(start));
    let Some(said) = said.filter(|said| said.starts_with('`')) else { return Vec::new() };
    // What holds a key is an example, or a list of keys.
    let all: Vec<String> = said.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    if cure.contains(" below it") || all.iter().any(|one| one.contains(':')) { Vec::new() } else { all }
}

// ---- The judge ---------------------------------------------------------------------------------------------------------

/// How the slips of one kind went.
#[derive(Debug, Default)]
struct Tally {
    made: usize,
    harmless: usize,
    cured: usize,
}

/// What is wrong with the answer to a slip; counts it.
fn judged(desk: &Desk, which: usize, text: &str, key: &str, slip: Slip, tally: &mut Tally) -> Result<(), String> {
    tally.made += 1;
    let original = &desk.files[which].1;
    let failure = match desk.read(which, text) {
        Err(failure) => failure,
        Ok(said) => {
            tally.harmless += 1;
            let may = match slip {
                _ if desk.read(which, original).is_ok_and(|before| before == said) => true,
                Slip::LeftOut | Slip::OtherKind => true,
                Slip::Misplaced => settings(original).iter().any(|s| original[s.key.clone()] == *key),
                Slip::Misspelt | Slip::WrongUnit => false,
            };
            return if may { Ok(()) } else { Err("it was accepted".into()) };
        }
    };
    let faults: Vec<&Problem> = failure.problems.iter().filter(|p| p.level == Level::Fault).collect();
    let bare = |p: &&&Problem| p.fault.is_empty() || p.cure.is_empty();
    if let Some(bare) = faults.iter().find(bare) {
        return Err(format!("without words: {bare:?}"));
    }
    let unplaced = |p: &&&Problem| p.place != Whereabouts::WholeFile && shown(p, &failure, text).is_none();
    if let Some(p) = faults.iter().find(unplaced) {
        let told = render(&[(**p).clone()], &failure.sources, false);
        if !told.contains("--> ") {
            return Err(format!("without a place: {told}"));
        }
    }
    let changed = changed_line(original, text);
    let line = |p: &Problem| shown(p, &failure, text).map(|at| text[..at.start].matches('\n').count());
    // What is left of a group may be nothing: that is told at the group, a line before.
    let about = |p: &&Problem| line(p).is_some_and(|n| n == changed || n + 1 == changed) || p.to_string().contains(key);
    if !faults.iter().any(about) {
        return Err(format!("told elsewhere: {}", render(&failure.problems, &failure.sources, false)));
    }
    let mut tried = Vec::new();
    for problem in &faults {
        let Some(at) = shown(problem, &failure, text) else { continue };
        tried.extend(to_type(&problem.cure).into_iter().map(|new| put(text, &at, &new)));
    }
    if tried.is_empty() {
        return Ok(());
    }
    match tried.iter().any(|cured| desk.read(which, cured).is_ok()) {
        true => tally.cured += 1,
        false if faults.len() == 1 => {
            return Err(format!("the cure does not help: {}", render(&failure.problems, &failure.sources, false)));
        }
        false => {}
    }
    Ok(())
}

/// The first line in which two texts differ.
fn changed_line(before: &str, after: &str) -> usize {
    before.lines().zip(after.lines()).take_while(|(a, b)| a == b).count()
}

#[test]
fn a_thousand_slips_are_each_told_with_line_fault_and_cure_and_typing_the_cure_mends_them() {
    let desk = Desk::laid();
    for (which, (name, text)) in desk.files.iter().enumerate() {
        assert!(desk.read(which, text).is_ok(), "{name}");
    }
    let all: Vec<Vec<Setting>> = desk.files.iter().map(|(_, text)| settings(text)).collect();
    let mut dice = Chance(2_026);
    let (mut tallies, mut wrong) = (BTreeMap::<Slip, Tally>::new(), Vec::<String>::new());
    let mut seen = BTreeSet::<(usize, String)>::new();
    while seen.len() < SLIPS {
        let slip = *dice.pick(&EVERY);
        let which = dice.below(desk.files.len());
        let (name, text) = &desk.files[which];
        let one = dice.pick(&all[which]).clone();
        let Some(changed) = slipped(text, &one, slip, &mut dice) else { continue };
        if !seen.insert((which, changed.clone())) {
            continue;
        }
        let key = &text[one.key.clone()];
        if let Err(why) = judged(&desk, which, &changed, key, slip, tallies.entry(slip).or_default()) {
            wrong.push(format!("{name}: {slip:?} of `{key}`: {why}"));
        }
    }
    fs::remove_dir_all(&desk.folder).unwrap();
    assert!(wrong.is_empty(), "{} of {SLIPS}:\n{}\n{tallies:?}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
    let of = |slip: Slip| &tallies[&slip];
    assert!(tallies.values().all(|t| t.made > SLIPS / 25), "{tallies:?}");
    assert!(of(Slip::Misspelt).cured * 10 > of(Slip::Misspelt).made * 8, "{tallies:?}");
    // What no unit of length has behind it is answered with an example, which is not typed.
    assert!(of(Slip::WrongUnit).cured * 3 > of(Slip::WrongUnit).made, "{tallies:?}");
}
