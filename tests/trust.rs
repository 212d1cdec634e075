//! The page that says why the numbers can be trusted: its tables are those of the program, and nothing is missing on it.
//!
//! `WETOUT_WRITE_TRUST=1 cargo test --test all trust::` writes the tables of `tests/TRUST.md` anew: read the difference.

use crate::command::wetout;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use wetout::estimate::lay_out;
use wetout::facts::ALL_FACTS;
use wetout::job_file::{Loaded, Request, load, render};
use wetout::model::Rules;
use wetout::model::limits::in_unit;
use wetout::model::rules::Limits;
use wetout::takeoff::Step;

const PAGE: &str = "tests/TRUST.md";

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => found.extend(files_below(&path)),
            false => found.push(path),
        }
    }
    found.sort();
    found
}

/// Every job that the tests have and that stands.
fn jobs() -> Vec<Loaded> {
    let demo = files_below(Path::new("jobs")).into_iter().filter(|f| f.ends_with("job.yaml"));
    let others = ["tests/big_jobs", "tests/jobs_for_sweep"].into_iter().flat_map(|f| files_below(Path::new(f)));
    let read = |file: PathBuf| {
        let request = Request {
            name: file.display().to_string(),
            bytes: fs::read(&file).unwrap(),
            folder: file.parent().unwrap().to_path_buf(),
            firm: Some("jobs/firm.yaml".into()),
            prices: vec!["jobs/prices.yaml".into()],
            without_options: true,
            ..Request::default()
        };
        load(&request).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)))
    };
    demo.chain(others).map(read).collect()
}

/// What the workings of all jobs show.
#[derive(Default)]
struct Shown {
    /// The lines and checks that name a rule.
    rules: BTreeMap<&'static str, BTreeSet<String>>,
    /// The checks by kind and the first word of their id, with their sources.
    checks: BTreeMap<(String, String), BTreeSet<String>>,
}

fn shown() -> Shown {
    let mut shown = Shown::default();
    for loaded in jobs() {
        let laid = lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)).unwrap();
        let mut tell = |id: String, working: &[Step]| {
            for step in working {
                if let Step::Rule { name, .. } = step {
                    shown.rules.entry(name).or_default().insert(id.clone());
                }
            }
        };
        laid.take_off.lines.iter().for_each(|line| tell(line.id.to_string(), &line.working));
        for finding in &laid.checked.findings {
            let head = finding.id.split('.').next().unwrap().to_owned();
            tell(format!("check {head}"), &finding.working);
            let key = (finding.kind.word().to_owned(), head);
            shown.checks.entry(key).or_default().insert(finding.source.clone());
        }
    }
    let priced = wetout(&["price", "jobs/kitchen-extension", "--json"]);
    let priced: serde_json::Value = serde_json::from_slice(&priced.stdout).unwrap();
    for lift in priced["lifts"].as_array().unwrap() {
        let head = lift["id"].as_str().unwrap().split('.').next().unwrap().to_owned();
        let source = lift["source"].as_str().unwrap().to_owned();
        shown.checks.entry(("lift".into(), head)).or_default().insert(source);
    }
    shown
}

/// A row of a table; what parts columns is written otherwise inside of one.
fn row(cells: &[String]) -> String {
    let cells: Vec<String> = cells.iter().map(|cell| cell.replace('|', "/")).collect();
    format!("| {} |\n", cells.join(" | "))
}

fn checks(shown: &Shown) -> String {
    let rows = shown.checks.iter().map(|((kind, head), sources)| {
        let sources: Vec<&str> = sources.iter().map(String::as_str).collect();
        row(&[kind.clone(), format!("`{head}`"), sources.join("; ")])
    });
    format!("| about | check | source and edition |\n|---|---|---|\n{}", rows.collect::<String>())
}

fn facts() -> String {
    let rows = ALL_FACTS.iter().map(|fact| {
        row(&[
            format!("`{}`", fact.name),
            fact.value.to_owned(),
            fact.what.to_owned(),
            fact.source.title.to_owned(),
            fact.known.mark().to_owned(),
        ])
    });
    format!(
        "| fact | figure | what it is | source and edition | known |\n|---|---|---|---|---|\n{}",
        rows.collect::<String>()
    )
}

/// The rules of the demo firm file: each with its value, and the heading that it stands under.
fn shipped() -> BTreeMap<String, (String, String)> {
    let text = fs::read_to_string("jobs/firm.yaml").unwrap();
    let (_, rules) = text.split_once("\nrules:\n").unwrap();
    let (mut heading, mut found) = (String::new(), BTreeMap::new());
    let mut above_was_comment = false;
    for line in rules.lines() {
        if let Some(words) = line.strip_prefix("  # ") {
            // Only the first line of a remark is a heading, and only where a blank line or a group ends before it.
            if !above_was_comment {
                heading = words.to_owned();
            }
            above_was_comment = true;
            continue;
        }
        above_was_comment = false;
        let Some((name, rest)) =
            line.strip_prefix("  ").and_then(|l| l.split_once(':')).filter(|(n, _)| !n.contains(' '))
        else {
            continue;
        };
        let value = rest.split(" #").next().unwrap().trim();
        let value = if value.is_empty() { "a table" } else { value };
        found.insert(name.to_owned(), (value.to_owned(), heading.clone()));
    }
    found
}

/// Where the value of a rule comes from: said with its meaning, or with its heading; else what holds for all.
fn whence(what: &str, heading: &str) -> String {
    let signs = [
        "BS ",
        "EN ",
        "ISO ",
        "Approved Document",
        "from memory",
        "common practice",
        "rule of thumb",
        "practice varies",
        "no published source",
    ];
    let of = |text: &str| -> Option<String> {
        let inner = text.split('(').skip(1).filter_map(|rest| rest.split(')').next());
        inner.filter(|words| signs.iter().any(|sign| words.contains(sign))).last().map(str::to_owned)
    };
    of(what).or_else(|| of(heading)).unwrap_or_else(|| "common practice, no source".to_owned())
}

fn reach(limits: &Limits, unit: &str) -> String {
    match limits {
        Limits::Each(limit) => format!("{} to {}", in_unit(limit.least, unit), in_unit(limit.most, unit)),
        Limits::Section { thickness, width } => {
            format!("{} to {} × {} to {} mm", thickness.least, thickness.most, width.least, width.most)
        }
        Limits::Rows { dose, .. } => format!("doses of {} to {} %", dose.least, dose.most),
    }
}

/// Which files of the tests name a word.
fn naming(tests: &[(String, String)], name: &str) -> String {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let names = |text: &str| {
        text.match_indices(name)
            .any(|(at, _)| !text[..at].ends_with(is_word) && !text[at + name.len()..].starts_with(is_word))
    };
    let files: Vec<&str> = tests.iter().filter(|(_, text)| names(text)).map(|(file, _)| file.as_str()).collect();
    match files.as_slice() {
        [] => "turned in `works/sweep.rs`".to_owned(),
        [a, b, c, rest @ ..] if !rest.is_empty() => format!("`{a}`, `{b}`, `{c}` and {} more", rest.len()),
        few => few.iter().map(|file| format!("`{file}`")).collect::<Vec<_>>().join(", "),
    }
}

fn rules(shown: &Shown) -> String {
    let all = files_below(Path::new("tests")).into_iter().filter(|f| f.extension().is_some_and(|e| e == "rs"));
    let tests: Vec<(String, String)> = all
        .map(|f| (f.strip_prefix("tests").unwrap().display().to_string(), fs::read_to_string(&f).unwrap()))
        .filter(|(file, _)| file != "trust.rs")
        .collect();
    let shipped = shipped();
    let mut text = String::from(
        "| rule | as shipped | may be | what it is | where the value comes from | shown in the working of | named in |\n|---|---|---|---|---|---|---|\n",
    );
    for ((name, unit, what), limits) in Rules::ABOUT.iter().zip(Rules::LIMITS) {
        let (value, heading) = &shipped[*name];
        let plain = what.split(" (").next().unwrap();
        let lines: Vec<String> = shown.rules.get(name).into_iter().flatten().map(|id| format!("`{id}`")).collect();
        let lines = match lines.as_slice() {
            [] => "—".to_owned(),
            [a, b, c, rest @ ..] if !rest.is_empty() => format!("{a}, {b}, {c} and {} more", rest.len()),
            few => few.join(", "),
        };
        text += &row(&[
            format!("`{name}`"),
            value.clone(),
            reach(&limits.limits, unit),
            plain.to_owned(),
            whence(what, heading),
            lines,
            naming(&tests, name),
        ]);
    }
    text
}

/// The page with what stands between two marks replaced.
fn with_table(page: &str, mark: &str, table: &str) -> String {
    let (begin, end) = (format!("<!-- {mark} -->\n"), format!("<!-- end of {mark} -->"));
    let (before, rest) = page.split_once(&begin).unwrap();
    let (_, after) = rest.split_once(&end).unwrap();
    format!("{before}{begin}{table}{end}{after}")
}

#[test]
fn the_page_says_what_the_program_works_by() {
    let page = fs::read_to_string(PAGE).unwrap();
    let shown = shown();
    let tables = [("checks", checks(&shown)), ("rules", rules(&shown)), ("facts", facts())];
    let written = tables.iter().fold(page.clone(), |page, (mark, table)| with_table(&page, mark, table));
    if std::env::var_os("WETOUT_WRITE_TRUST").is_some() {
        fs::write(PAGE, &written).unwrap();
        return;
    }
    let lines = |text: &str| text.lines().map(str::to_owned).collect::<BTreeSet<_>>();
    let missing: Vec<String> = lines(&written).difference(&lines(&page)).cloned().collect();
    let too_many: Vec<String> = lines(&page).difference(&lines(&written)).cloned().collect();
    assert!(page == written, "missing on {PAGE}:\n{}\nsaid and not so:\n{}", missing.join("\n"), too_many.join("\n"));
}

#[test]
fn every_rule_and_fact_and_every_check_from_outside_stands_on_the_page() {
    let page = fs::read_to_string(PAGE).unwrap();
    let rules = Rules::ABOUT.iter().map(|(name, ..)| format!("\n| `{name}` | "));
    let facts = ALL_FACTS.iter().map(|fact| format!("\n| `{}` | {} | ", fact.name, fact.value));
    let outside =
        fs::read_dir("tests/outside").unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file());
    let outside = outside.map(|path| path.file_name().unwrap().to_str().unwrap().to_owned());
    let absent: Vec<String> = rules.chain(facts).chain(outside).filter(|words| !page.contains(words)).collect();
    assert!(absent.is_empty(), "{PAGE} says nothing of {absent:?}");
    // No rule without a word on where it comes from.
    let of_rules = page.split("<!-- rules -->").nth(1).unwrap().split("<!-- end of rules -->").next().unwrap();
    for line in of_rules.lines().skip(3) {
        let cells: Vec<&str> = line.split(" | ").collect();
        assert_eq!(cells.len(), 7, "{line}");
        assert!(cells[4].len() > 5 && cells[6].len() > 5, "{line}");
    }
    // The files of tests that the page names are there.
    for name in page.split('`').filter(|word| word.ends_with(".rs") && !word.contains(' ')) {
        assert!(Path::new("tests").join(name).is_file(), "{name} is no test");
    }
}

#[test]
fn a_rule_that_the_page_does_not_say_is_found() {
    let page = "before\n<!-- rules -->\n| `old` |\n<!-- end of rules -->\nbehind\n";
    assert_eq!(
        with_table(page, "rules", "| `new` |\n"),
        "before\n<!-- rules -->\n| `new` |\n<!-- end of rules -->\nbehind\n"
    );
    assert_eq!(whence("flattest fall that must be left (BS 6229)", ""), "BS 6229");
    assert_eq!(
        whence("worst U-value", "Heat (England, Approved Document L, from memory: check)"),
        "England, Approved Document L, from memory: check"
    );
    assert_eq!(whence("lost at each cut (snips: nothing)", "Trims"), "common practice, no source");
    let tests =
        [("a.rs".to_owned(), "rules.wall_gap_wide".to_owned()), ("b.rs".to_owned(), "rules.wall_gap".to_owned())];
    assert_eq!(naming(&tests, "wall_gap"), "`b.rs`");
}
