//! `help`: what each key of the files is for, and what the commands do.
//!
//! Given some keys as the installer types them (`edges.gutter`); gives what is known of each, or the keys that are near. Alone
//! it lists the groups.

use super::arguments::Arguments;
use super::work::Stopped;
use super::{Outcome, terminal};
use crate::job_file::reference::{Explained, FileKind, Form, UnitWord, Writing, all, asked, near};
use clap::CommandFactory;
use std::fmt::Write as _;

/// So many keys of one name are told of in full.
const FEW: usize = 3;

/// Tells what was asked for.
///
/// # Errors
/// A key that there is not, and what the system refused.
pub(super) fn help(words: &[String]) -> Result<Outcome, Stopped> {
    let words = words.join(" ");
    let text = match words.trim() {
        "" => overview(),
        words => match (command(words), FileKind::ALL.into_iter().find(|file| file.word() == words)) {
            (Some(text), Some(file)) => format!("{text}\n\n{}", keys_of(file)),
            (Some(text), None) => text,
            (None, Some(file)) => keys_of(file),
            (None, None) => key(words)?,
        },
    };
    terminal::say(&text)?;
    Ok(Outcome::Done)
}

/// What a command does.
fn command(words: &str) -> Option<String> {
    let mut found = Arguments::command();
    for word in words.split_whitespace() {
        found = found.find_subcommand_mut(word)?.clone();
    }
    Some(found.bin_name(format!("wetout {words}")).render_long_help().to_string())
}

/// The groups of the files.
fn overview() -> String {
    let mut text = String::from(
        "What can be asked: `wetout help KEY` for a key of your files (`help edges.gutter`, `help rules.nail_spacing`), `wetout \
         help COMMAND` for a command (`help make`), `wetout help job`, `firm`, `prices`, `stock`, `found` or `record` for every \
         key of a file.\n",
    );
    for file in FileKind::ALL {
        let _ = write!(text, "\n{}\n", file.about());
        for key in all(file).iter().filter(|key| key.path.len() == 1) {
            line(&mut text, key, 22);
        }
    }
    text
}

/// Every key of a file but the rules one by one.
fn keys_of(file: FileKind) -> String {
    let mut text = format!("{}\n", file.about());
    for key in all(file)
        .iter()
        .filter(|key| file == FileKind::Firm || key.path.first() != Some(&"rules") || key.path.len() == 1)
    {
        if key.path.len() == 1 {
            text.push('\n');
        }
        line(&mut text, key, 44);
    }
    let _ = write!(text, "\n`*` is needed where its group stands. `wetout help KEY` tells all of one.\n");
    text
}

fn line(text: &mut String, key: &Explained, width: usize) {
    let name = format!("{}{}", key.name(), if key.needed { " *" } else { "" });
    let _ = writeln!(text, "  {name:<width$} {}", key.purpose);
}

/// What is known of the keys that are meant.
fn key(words: &str) -> Result<String, Stopped> {
    let found = asked(words);
    if found.is_empty() {
        let near: Vec<String> = near(words).iter().map(|name| format!("`wetout help {name}`")).collect();
        let cure = match near.is_empty() {
            true => "`wetout help` lists the groups".to_owned(),
            false => format!("near it: {}", near.join(", ")),
        };
        return Err(Stopped::Usage(format!("`{words}` is not a key of any of your files; {cure}")));
    }
    let mut pages: Vec<(&Explained, Vec<&str>)> = Vec::new();
    for key in &found {
        match pages.iter_mut().find(|(known, _)| known.path == key.path && known.purpose == key.purpose) {
            Some((_, places)) => places.push(place(key.file)),
            None => pages.push((key, vec![place(key.file)])),
        }
    }
    if pages.len() > FEW {
        let mut text = format!("`{words}` stands in {} places:\n\n", pages.len());
        pages.iter().for_each(|(key, _)| line(&mut text, key, 44));
        let _ = writeln!(text, "\nName the group before it, as in `wetout help {}`.", found[0].name());
        return Ok(text);
    }
    let pages: Vec<String> = pages.iter().map(|(key, places)| page(key, places)).collect();
    Ok(pages.join("\n"))
}

/// All that is known of a key.
fn page(key: &Explained, places: &[&str]) -> String {
    let mut text = format!("{} ({})\n  {}\n\n", key.name(), places.join(", "), key.purpose);
    let mut told = |what: &str, words: String| {
        if !words.is_empty() {
            let _ = writeln!(text, "  {what:<10} {words}");
        }
    };
    told("Write", written(&key.form));
    told("Words", key.usual.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", "));
    told("Limits", limits(key));
    told(if key.path.contains(&"rules") { "Usual" } else { "Left out" }, key.without.clone());
    told("Needed", if key.needed { "yes".to_owned() } else { String::new() });
    told("Changes", key.changes.to_owned());
    if let Some(name) = key.path.last().filter(|_| !key.example.is_empty()) {
        told("Example", format!("{name}: {}", key.example));
    }
    let below = all(key.file)
        .into_iter()
        .filter(|other| other.path.len() == key.path.len() + 1 && other.path.starts_with(&key.path));
    let below: Vec<Explained> = below.collect();
    if !below.is_empty() {
        let _ = writeln!(text, "\n  Below it:");
        below.iter().for_each(|key| line(&mut text, key, 44));
    }
    text
}

/// The limits of its number, and why.
pub(super) fn limits(key: &Explained) -> String {
    let why = |why: &str| if why.is_empty() { String::new() } else { format!(": {why}") };
    key.limit.map_or_else(String::new, |limit| format!("{}{}", limit.words(), why(limit.why)))
}

fn place(file: FileKind) -> &'static str {
    match file {
        FileKind::Job => "job file",
        FileKind::Firm => "firm file",
        FileKind::Prices => "price book",
        FileKind::Found => "what was found",
        FileKind::Record => "record of the work",
        FileKind::Stock => "stock list",
    }
}

/// How a value is written, in words; the short form before the long one.
pub(super) fn written(form: &Form) -> String {
    match form {
        Form::Value(_, writing @ (Writing::Words(_) | Writing::Text)) => in_words(writing),
        Form::Value(what, writing) => format!("{what}: {}", in_words(writing)),
        Form::Group(group) => {
            let keys: Vec<&str> =
                group.keys.iter().filter(|key| !matches!(key.form, Form::Refused)).map(|key| key.key).collect();
            let long = format!("a group: {}", keys.join(", "));
            group.short.as_ref().map_or(long.clone(), |short| format!("{}; or {long}", written(short)))
        }
        Form::List(each) => match &**each {
            Form::Value(_, writing) => format!("a list of: {}", in_words(writing)),
            _ => "a list of groups".to_owned(),
        },
        Form::ByName(each) => format!("a line for each name: {}", written(each)),
        Form::Either(all) => all.iter().map(written).collect::<Vec<_>>().join("; or "),
        Form::ByWork(new, _, _) => written(new),
        Form::Rules => "a group of rules".to_owned(),
        Form::Change => "a group of settings, as they stand in the job".to_owned(),
        Form::Refused => String::new(),
    }
}

fn in_words(writing: &Writing) -> String {
    let units = |units: &[UnitWord]| {
        let mut words: Vec<String> =
            units.iter().filter(|u| !u.word.is_empty()).map(|u| format!("`{}`", u.word)).collect();
        words.dedup();
        words.join(", ")
    };
    match writing {
        Writing::Text => "text".to_owned(),
        Writing::Words(words) => words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", "),
        Writing::Date => "year, month and day: `2026-11-25`".to_owned(),
        Writing::Number(all) if all.iter().all(|unit| unit.word.is_empty()) => "a number".to_owned(),
        Writing::Number(all) if all.iter().any(|unit| unit.word.is_empty()) => {
            format!("a number, bare or with {}", units(all))
        }
        Writing::Number(all) => format!("a number with its unit: {}", units(all)),
        Writing::Range(all) => format!("a number with its unit, or from one to another: {}", units(all)),
        Writing::Money => "pounds, with pence in two digits: `45.00`".to_owned(),
        Writing::Fall => "one in how much: `1:40`".to_owned(),
        Writing::Section { .. } => "thickness and width: `25 × 50 mm`".to_owned(),
        Writing::Pattern(_, example) => format!("such as `{example}`"),
        Writing::Either(all) => all.iter().map(in_words).collect::<Vec<_>>().join("; or "),
    }
}
