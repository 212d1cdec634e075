//! Files that nobody would write: job, firm file and price book changed at random in their structure, and files as long as they may
//! be, a roof, an opening, an article or an option repeated to the most that is read; read and worked through every layer. The judge: no panic, no more than a second of work, no more than 256 MB, every problem with its place and
//! its cure, and no absurd price without a warning that says so (`judge_price`).
//!
//! The work is done in a process of its own, so that its memory is its own and even an abort is noticed. It runs for some
//! seconds; `WETOUT_FUZZ_SECONDS=3600 cargo test --release fuzz::` runs for as long as you say, `WETOUT_FUZZ_SEED` from elsewhere.
//! The files of an execution that failed stand in the folder that the message names.

#![allow(clippy::print_stdout, reason = "how many runs there were is told to whoever asks with --nocapture")]

use crate::command::scratch;
use crate::cpu_time::CpuTime;
use crate::demo::KINDS;
use granit_parser::{Event, Parser};
use serde_yaml::{Mapping, Value};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use wetout::documents::{Overrides, WholeJob, check, describe};
use wetout::estimate::{Office, estimate, lay_out, price_options};
use wetout::geometry::point::Point;
use wetout::geometry::ring::twice_signed_area;
use wetout::job_file::{Loaded, Request, Sources, load, render};
use wetout::model::{Problem, Warned, limits};
use wetout::pricing::Pricing;

/// Most memory of one execution, in kB.
pub const MOST_MEMORY: u64 = 256 * 1024;
/// Most work of one execution. What is not optimised takes some twenty times as long.
pub const MOST_WORK: Duration = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 1 });
/// Of long files what takes longer than this is told.
const MOST_TOLD: Duration = Duration::from_secs(if cfg!(debug_assertions) { 2 } else { 1 });
/// Seconds of work, where nothing else is asked for.
const USUAL_SECONDS: u64 = 15;

/// Chance that is the same on every machine (Knuth's multiplier for 64 bits).
pub struct Chance(pub u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 ^ (self.0 >> 32)) >> 8
    }

    pub fn below(&mut self, most: usize) -> usize {
        (self.next() % most.max(1) as u64) as usize
    }

    pub fn pick<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// What stands at some place in the place of what should.
const STRANGE: [&str; 40] = [
    "0",
    "-1",
    "1",
    "0.000001",
    "999999999999",
    "1e9",
    "0 mm",
    "1 mm",
    "10 mm",
    "99999 mm",
    "100 m",
    "25 m",
    "-3 m",
    "0.1 m",
    "1:1",
    "1:80",
    "1:1000",
    "0 %",
    "90 %",
    "100 %",
    "14 %",
    "yes",
    "no",
    "none",
    "others",
    "all",
    "nothing",
    "2026-02-30",
    "2072-01-18",
    "5 C to 12 C",
    "",
    "~",
    "x",
    "é漢\u{202e}",
    "wall",
    "gutter",
    "drip",
    "step",
    "left",
    "79228162514264337593543950335",
];

/// A place in a file, by the steps that lead to it.
type Steps = Vec<usize>;

fn child(value: &Value, n: usize) -> Option<&Value> {
    match value {
        Value::Sequence(list) => list.get(n),
        Value::Mapping(group) => group.values().nth(n),
        _ => None,
    }
}

fn child_mut(value: &mut Value, n: usize) -> Option<&mut Value> {
    match value {
        Value::Sequence(list) => list.get_mut(n),
        Value::Mapping(group) => group.values_mut().nth(n),
        _ => None,
    }
}

fn at<'v>(value: &'v Value, steps: &[usize]) -> Option<&'v Value> {
    steps.iter().try_fold(value, |here, n| child(here, *n))
}

fn at_mut<'v>(value: &'v mut Value, steps: &[usize]) -> Option<&'v mut Value> {
    steps.iter().try_fold(value, |here, n| child_mut(here, *n))
}

/// Every place of a file.
fn places(value: &Value) -> Vec<Steps> {
    let mut found = vec![Vec::new()];
    let mut next = 0;
    while let Some(here) = found.get(next).cloned() {
        next += 1;
        let count = match at(value, &here) {
            Some(Value::Sequence(list)) => list.len(),
            Some(Value::Mapping(group)) => group.len(),
            _ => 0,
        };
        found.extend((0..count).map(|n| [here.as_slice(), &[n]].concat()));
    }
    found
}

/// Changes a file in one place.
fn change(file: &mut Value, others: &[Value], chance: &mut Chance) {
    let all = places(file);
    let steps = chance.pick(&all[1..]).clone();
    let kind = chance.below(10);
    let other = {
        let from = chance.pick(others);
        let from_places = places(from);
        at(from, chance.pick(&from_places).as_slice()).cloned().unwrap_or(Value::Null)
    };
    let Some((last, above)) = steps.split_last() else { return };
    match kind {
        // A single value for another, or for something strange.
        0..=4 => {
            let leaves: Vec<&Steps> = all.iter().filter(|s| at(file, s).is_some_and(is_leaf)).collect();
            let steps = (*chance.pick(&leaves)).clone();
            let strange = match chance.below(3) {
                0 => other_leaf(others, chance),
                1 => scaled(at(file, &steps), chance),
                _ => Value::String((*chance.pick(&STRANGE)).to_owned()),
            };
            if let Some(here) = at_mut(file, &steps) {
                *here = strange;
            }
        }
        // A part of another file.
        5 => {
            if let Some(here) = at_mut(file, &steps) {
                *here = other;
            }
        }
        // Gone.
        6 | 7 => match at_mut(file, above) {
            Some(Value::Sequence(list)) => drop(list.remove(*last)),
            Some(Value::Mapping(group)) => {
                let key = group.keys().nth(*last).cloned().unwrap_or_default();
                group.remove(&key);
            }
            _ => {}
        },
        // Twice, or many times.
        8 => {
            if let Some(Value::Sequence(list)) = at_mut(file, above) {
                let times = *chance.pick(&[1, 2, 30, 120]);
                let one = list[*last].clone();
                list.extend(std::iter::repeat_n(one, times));
            }
        }
        // Under another name.
        _ => {
            if let Some(Value::Mapping(group)) = at_mut(file, above) {
                let names: Vec<Value> = group.keys().cloned().collect();
                let renamed: Mapping = group
                    .iter()
                    .enumerate()
                    .map(|(n, (k, v))| (if n == *last { chance.pick(&names).clone() } else { k.clone() }, v.clone()))
                    .collect();
                *group = renamed;
            }
        }
    }
}

fn is_leaf(value: &Value) -> bool {
    !matches!(value, Value::Sequence(_) | Value::Mapping(_))
}

fn other_leaf(others: &[Value], chance: &mut Chance) -> Value {
    let from = chance.pick(others);
    let all = places(from);
    let leaves: Vec<&Steps> = all.iter().filter(|s| at(from, s).is_some_and(is_leaf)).collect();
    at(from, chance.pick(&leaves).as_slice()).cloned().unwrap_or_default()
}

/// A number with its point somewhere else, its unit as it was.
fn scaled(value: Option<&Value>, chance: &mut Chance) -> Value {
    let text = match value {
        Some(Value::String(text)) => text.clone(),
        Some(Value::Number(n)) => n.to_string(),
        _ => String::new(),
    };
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let Ok(number) = text[..end].parse::<f64>() else { return Value::String(text) };
    let by = *chance.pick(&[0.0, 0.001, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, 1000.0, -1.0]);
    Value::String(format!("{}{}", number * by, &text[end..]))
}

/// A line of a file twice or not at all, a sign for another: what no structure shows.
fn change_text(text: &mut String, chance: &mut Chance) {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let n = chance.below(lines.len());
    match chance.below(4) {
        0 => lines.insert(n, lines[n].clone()),
        1 => drop(lines.remove(n)),
        2 => lines[n] = lines[n].replacen(' ', chance.pick::<&str>(&["", "\t", "  ", "\u{a0}"]), 1),
        _ => {
            let signs = ["*a", "&a ", "{", "[", "\"", "'", "#", ":", "- ", "\u{0}", "%", "!", "|", ">"];
            let at = chance.below(lines[n].chars().count() + 1);
            let byte = lines[n].char_indices().nth(at).map_or(lines[n].len(), |(b, _)| b);
            lines[n].insert_str(byte, chance.pick::<&str>(&signs));
        }
    }
    *text = lines.join("\n");
}

/// One time in so many files are made long.
const LONG_FILES: usize = 12;

/// Repeats a roof, an opening, an article or an option, each under a name of its own, up to the most that is read.
fn multiply([job, _, prices]: &mut [Value; 3], chance: &mut Chance) {
    match chance.below(4) {
        0 => {
            let most = *chance.pick(&[20, 50, limits::ROOFS.most]);
            repeat(list_of(job, "roofs"), most, "name", chance, |roof, n| {
                // Unlike, so that no two are laid as one.
                if let Some(Value::String(depth)) = below(roof, &["outline", "rectangle", "depth"]) {
                    let metres: f64 = depth.trim_end_matches(" m").parse().unwrap_or(3.0);
                    *depth = format!("{:.3} m", metres + 0.007 * n as f64);
                }
            });
        }
        1 => many_openings(job, *chance.pick(&[20, 50, limits::HOLES.most])),
        2 => {
            let most = *chance.pick(&[400, 1_000, 2_800]);
            repeat(list_of(prices, "articles"), most, "code", chance, |article, n| {
                let by = 1.0 + 0.000_7 * n as f64;
                for key in ["holds", "price"] {
                    if let Some(Value::String(size)) = below(article, &[key]) {
                        let end = size.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(size.len());
                        let number = size[..end].parse::<f64>().unwrap_or(1.0);
                        *size = format!("{:.2}{}", number * by, &size[end..]);
                    }
                }
            });
        }
        _ => {
            let colour =
                |n: usize| format!("{{name: Colour {n}, change: {{roofs: {{all: {{laminate: {{mat: 600}}}}}}}}}}");
            let usual = as_written(&format!("[{}]", colour(0)));
            if let Value::Mapping(job) = job {
                job.entry("options".into()).or_insert(usual);
            }
            repeat(list_of(job, "options"), limits::OPTIONS.most, "name", chance, |_, _| {});
        }
    }
}

/// A place by the keys that lead to it.
fn below<'v>(value: &'v mut Value, keys: &[&str]) -> Option<&'v mut Value> {
    keys.iter().try_fold(value, |here, key| here.get_mut(*key))
}

/// The list under a key; an empty one where there is none.
fn list_of<'v>(file: &'v mut Value, key: &str) -> Option<&'v mut Vec<Value>> {
    file.get_mut(key).and_then(Value::as_sequence_mut)
}

/// Repeats one of a list until there are so many, each with another name and changed by its number.
fn repeat(
    list: Option<&mut Vec<Value>>,
    most: usize,
    named: &str,
    chance: &mut Chance,
    change: impl Fn(&mut Value, usize),
) {
    let Some(list) = list.filter(|list| !list.is_empty()) else { return };
    let one = chance.pick(list).clone();
    for n in list.len()..most {
        let mut next = one.clone();
        if let Some(name) = below(&mut next, &[named]) {
            *name = Value::String(format!("more {n}"));
        }
        change(&mut next, n);
        list.push(next);
    }
}

/// A rectangle is made as large as a hall, with so many kerbed rooflights in rows on it.
fn many_openings(job: &mut Value, count: usize) {
    let Some(roof) = list_of(job, "roofs").and_then(|roofs| roofs.first_mut()) else { return };
    let Some(size) = below(roof, &["outline", "rectangle"]) else { return };
    *size = as_written("{width: 40 m, depth: 25 m}");
    let opening = |n: usize| {
        let (across, up) = (0.9 + 3.1 * (n % 12) as f64, 0.9 + 2.6 * (n / 12) as f64);
        format!("{{name: rooflight {n}, at: [{across:.2} m, {up:.2} m], size: [0.6 m, 0.5 m], finish: kerb}}")
    };
    let openings: Vec<String> = (0..count).map(opening).collect();
    if let Value::Mapping(roof) = roof {
        roof.insert("holes".into(), as_written(&format!("[{}]", openings.join(", "))));
    }
}

/// A file with every single value as the text that was written: a price of `9.60` is not one of `9.6`.
fn as_written(text: &str) -> Value {
    let mut open: Vec<(Value, Option<Value>)> = vec![(Value::Sequence(Vec::new()), None)];
    let put = |open: &mut Vec<(Value, Option<Value>)>, value: Value| match open.last_mut() {
        Some((Value::Sequence(list), _)) => list.push(value),
        Some((Value::Mapping(group), key)) => match key.take() {
            Some(key) => drop(group.insert(key, value)),
            None => *key = Some(value),
        },
        _ => unreachable!("only lists and groups are open"),
    };
    for event in Parser::new_from_str(text) {
        match event.unwrap().0 {
            Event::Scalar(said, ..) => put(&mut open, Value::String(said.into_owned())),
            Event::SequenceStart(..) => open.push((Value::Sequence(Vec::new()), None)),
            Event::MappingStart(..) => open.push((Value::Mapping(Mapping::new()), None)),
            Event::SequenceEnd | Event::MappingEnd => {
                let (whole, _) = open.pop().unwrap();
                put(&mut open, whole);
            }
            Event::Alias(_) => panic!("the files that all begins from have no references"),
            _ => {}
        }
    }
    child(&open[0].0, 0).unwrap().clone()
}

/// The jobs from which all begins.
fn seeds() -> Vec<Value> {
    let mut files: Vec<_> = crate::demo::names().iter().map(|n| Path::new("jobs").join(n).join("job.yaml")).collect();
    let small = fs::read_dir("tests/jobs_for_sweep").unwrap().map(|e| e.unwrap().path());
    files.extend(small.filter(|f| f.extension().is_some_and(|e| e == "yaml")));
    files.sort();
    let read = |file: &std::path::PathBuf| as_written(&fs::read_to_string(file).unwrap());
    files.iter().map(read).collect()
}

/// What a price is judged by.
#[derive(Clone, Copy)]
struct PriceSeen {
    net: f64,
    total: f64,
    profit: f64,
    /// Of all roofs as they were measured, m²; of those that are laid anew.
    area: [f64; 2],
}

impl PriceSeen {
    fn of(loaded: &Loaded, pricing: &Pricing) -> PriceSeen {
        let pounds = |money: wetout::pricing::Money| money.as_pounds().to_string().parse::<f64>().unwrap();
        let area = |corners: &[Point]| twice_signed_area(corners).abs() as f64 / 2e6;
        let laid: f64 = loaded.job.roofs.iter().map(|roof| area(&roof.outline.corners)).sum();
        let kept: f64 = loaded.job.old_roofs.iter().map(|roof| area(&roof.corners)).sum();
        let [net, total, profit] = [pricing.net, pricing.total, pricing.profit].map(pounds);
        PriceSeen { net, total, profit, area: [laid + kept, laid] }
    }
}

/// Prices that are absurd, and the warning that each must bring: work that is sold for less than it costs; a total of more than
/// a hundred times the usual one at more than ten times the usual price of a square metre; a twentieth of that price and less.
/// Usual is the middle one of the jobs from which all begins.
fn judge_price(seen: PriceSeen, usual: PriceSeen, problems: &[Problem]) {
    let warned = |kind: Warned| problems.iter().any(|p| p.warned == Some(kind));
    let each = |price: PriceSeen| price.net / price.area[0];
    assert!(seen.profit >= 0.0 || warned(Warned::Margin), "sold below cost and nothing said: {}", seen.profit);
    assert!(seen.total >= seen.net && seen.net >= 0.0, "a total of {} with a net of {}", seen.total, seen.net);
    let dear = seen.total > 100.0 * usual.total && each(seen) > 10.0 * each(usual);
    let cheap = seen.area[1] > 0.0 && each(seen) < each(usual) / 20.0;
    let told = || format!("{} for {} m², usual {} for {}", seen.net, seen.area[0], usual.net, usual.area[0]);
    assert!(!(dear || cheap) || warned(Warned::UnlikelyPrice), "{}", told());
}

/// The usual price: the middle total, and the middle price of a square metre.
fn usual() -> PriceSeen {
    let price = |name: &String| {
        let demo = crate::demo::work(&crate::demo::request(name));
        PriceSeen::of(&demo.loaded, &demo.pricing)
    };
    let mut all: Vec<PriceSeen> = crate::demo::names().iter().map(price).collect();
    let middle = all.len() / 2;
    all.sort_by(|a, b| a.total.total_cmp(&b.total));
    let total = all[middle].total;
    all.sort_by(|a, b| (a.net / a.area[0]).total_cmp(&(b.net / b.area[0])));
    PriceSeen { total, ..all[middle] }
}

/// The longest that anything has taken of what is done one after the other: a command does the first and one of the others.
struct LongestPart(CpuTime, Duration);

impl LongestPart {
    fn begin() -> LongestPart {
        LongestPart(CpuTime::begin(), Duration::ZERO)
    }

    fn end(&mut self) {
        self.1 = self.1.max(self.0.spent());
        self.0 = CpuTime::begin();
    }
}

/// Reads the files and works the job through every layer, as far as it goes; every problem on the way, and the price.
fn worked(request: &Request, part: &mut LongestPart) -> (Vec<Problem>, Sources, Option<PriceSeen>) {
    let loaded = match load(request) {
        Ok(loaded) => loaded,
        Err(failure) => return (failure.problems, failure.sources, None),
    };
    let sources = loaded.sources.clone();
    let laid = match lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)) {
        Ok(laid) => laid,
        Err(problems) => return (problems, sources, None),
    };
    let (Some(firm), Some(terms)) = (&loaded.firm, &loaded.terms) else { return (Vec::new(), sources, None) };
    let (rules, products, books) = (&loaded.rules, &loaded.products, &loaded.books);
    let office = Office { rules, products, books, terms, holidays: &firm.holidays };
    let estimated = match estimate(&loaded.job, &loaded.job_money, &laid, office) {
        Ok(estimated) => estimated,
        Err(problems) => return (problems, sources, None),
    };
    let laid_out = (&loaded.job, &laid.take_off);
    let priced = match price_options(&estimated.pricing, laid_out, loaded.choices(), office, &[]) {
        Ok(priced) => priced,
        Err(problems) => return (problems, sources, None),
    };
    let pricing = estimated.pricing.with_options(priced.options, priced.totals);
    let whole = WholeJob {
        job: &loaded.job,
        firm,
        rules,
        products,
        terms,
        take_off: &laid.take_off,
        findings: &laid.checked.findings,
        programme: &estimated.programme,
        pricing: &pricing,
        photos: &loaded.photos,
        date: loaded.job.prepared,
        standing: wetout::documents::IssueStanding::Draft,
        varied: None,
    };
    part.end();
    let checked = check(&KINDS, &whole, &Overrides::default(), loaded.sources.texts());
    part.end();
    for (kind, checked) in KINDS.into_iter().zip(&checked) {
        let laid = describe(kind, &whole, &Overrides::default());
        part.end();
        assert_eq!(checked.as_ref().err(), laid.as_ref().err(), "{kind:?}: checked, and laid on pages");
    }
    let found = checked.into_iter().map(|checked| checked.unwrap_or_else(|problems| problems));
    let notices = loaded.notices.iter().chain(laid.notices()).chain(&pricing.notices).cloned();
    let problems = notices.chain(found.flatten()).collect();
    (problems, sources, Some(PriceSeen::of(&loaded, &pricing)))
}

/// The most memory that this process has had, in kB; 0 where the system does not say.
fn most_memory() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|l| l.split_whitespace().next()?.parse().ok()).unwrap_or(0)
}

pub fn number_of(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |n| n.parse().unwrap())
}

#[test]
#[ignore = "the work of the test below, in a process of its own"]
fn a_worker() {
    let Ok(folder) = std::env::var("WETOUT_FUZZ_FOLDER") else { return };
    let folder = Path::new(&folder);
    let kept = std::env::var("WETOUT_FUZZ_KEEP").ok().map(std::path::PathBuf::from);
    let seconds = number_of("WETOUT_FUZZ_SECONDS", USUAL_SECONDS);
    let mut chance = Chance(number_of("WETOUT_FUZZ_SEED", 20_261_127));
    let jobs = seeds();
    let of = |file: &str| as_written(&fs::read_to_string(file).unwrap());
    let (firm, prices) = (of("jobs/firm.yaml"), of("jobs/prices.yaml"));
    fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
    let names = ["job.yaml", "firm.yaml", "prices.yaml"];
    let usual = usual();
    let (mut runs, mut stood, mut longest) = (0_u64, 0_u64, Duration::ZERO);
    let whole = CpuTime::begin();
    while whole.spent() < Duration::from_secs(seconds) {
        let mut files = [chance.pick(&jobs).clone(), firm.clone(), prices.clone()];
        let is_long = chance.below(LONG_FILES) == 0;
        let changes = if is_long { chance.below(2) } else { 1 + chance.below(4) };
        for _ in 0..changes {
            // The job is changed as often as the two others together.
            let n = [0, 0, 1, 2][chance.below(4)];
            let others = if n == 0 { jobs.as_slice() } else { &[firm.clone(), prices.clone()] };
            change(&mut files[n], others, &mut chance);
        }
        if is_long {
            multiply(&mut files, &mut chance);
        }
        let mut texts = files.map(|file| serde_yaml::to_string(&file).unwrap());
        if !is_long && chance.below(5) == 0 {
            let n = chance.below(3);
            change_text(&mut texts[n], &mut chance);
        }
        names.iter().zip(&texts).for_each(|(name, text)| fs::write(folder.join(name), text).unwrap());
        let request = Request {
            name: "job.yaml".into(),
            bytes: texts[0].clone().into_bytes(),
            folder: folder.into(),
            firm: Some(folder.join("firm.yaml")),
            prices: vec![folder.join("prices.yaml")],
            date: None,
            without_options: false,
            stock: Default::default(),
            as_will_be: None,
        };
        let begun = CpuTime::begin();
        let mut part = LongestPart::begin();
        let (problems, sources, price) = worked(&request, &mut part);
        part.end();
        // What is long is held to the time of what one command does; all else to that of all of them.
        let spent = if is_long { part.1 } else { begun.spent() };
        if is_long && spent > MOST_TOLD {
            println!("run {runs}: {spent:?}, {} kB", most_memory());
        }
        if let Some(kept) = &kept
            && spent > MOST_TOLD.min(Duration::from_millis(500))
        {
            let of_run = kept.join(format!("{:05}-ms-run-{runs}", spent.as_millis()));
            fs::create_dir_all(&of_run).unwrap();
            for name in names.iter().chain(&["logo.png"]) {
                fs::copy(folder.join(name), of_run.join(name)).unwrap();
            }
        }
        longest = longest.max(spent);
        if let Some(price) = price {
            judge_price(price, usual, &problems);
        }
        assert!(spent < MOST_WORK, "run {runs} took {spent:?}");
        assert!(most_memory() < MOST_MEMORY, "run {runs} took {} kB", most_memory());
        for problem in &problems {
            assert!(!problem.fault.is_empty() && !problem.cure.is_empty(), "run {runs}: {problem:?}");
            let shown = render(std::slice::from_ref(problem), &sources, false);
            assert!(shown.contains("--> ") && shown.contains("= help: "), "run {runs}: {shown}");
        }
        stood += u64::from(problems.iter().all(|p| p.level != wetout::model::Level::Fault));
        runs += 1;
    }
    println!("{runs} runs, {stood} jobs of them stood; the longest took {longest:?}; {} kB at most", most_memory());
}

#[test]
fn no_file_breaks_the_program() {
    let folder = scratch("fuzz");
    let mut worker = Command::new(std::env::current_exe().unwrap());
    worker.args(["fuzz::a_worker", "--exact", "--ignored", "--nocapture"]).env("WETOUT_FUZZ_FOLDER", &folder);
    let output = worker.stdin(Stdio::null()).output().unwrap();
    let said = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success() && said.contains(" runs, "), "the files stand in {}:\n{said}", folder.display());
    println!("{said}");
}
