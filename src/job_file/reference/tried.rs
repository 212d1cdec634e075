//! One value tried by the reader itself, before any file is written.
//!
//! Given a key and what somebody wrote for it; gives what the reader would say of it in a job file: nothing, or fault and
//! cure. So whoever asks for a value judges it as the file is judged.

use super::FileKind;
use crate::job_file::raw::firm::RawFirm;
use crate::job_file::raw::found::RawFound;
use crate::job_file::raw::homes;
use crate::job_file::raw::job::RawJob;
use crate::job_file::raw::prices::RawPrices;
use crate::job_file::raw::record::RawRecord;
use crate::job_file::raw::stock::RawStock;
use crate::job_file::read::form::Form;
use crate::job_file::read::guard;
use crate::job_file::read::places::Places;
use crate::job_file::read::reading::{FromFile, Reader, Word};
use crate::job_file::read::suggest;
use crate::job_file::read::tree::Tree;
use crate::model::problem::Source;
use crate::model::{Length, Level, Problem, SettingPath, Whereabouts};

/// Tries a value behind a key, such as `roofs.outline.walk.go`.
///
/// # Errors
/// What the reader says of it.
pub(crate) fn tried(file: FileKind, key: &'static str, value: &str) -> Result<(), Box<Problem>> {
    let steps: Vec<&'static str> = key.split('.').collect();
    let Some((tree, path)) = nested(&file.form(), &steps, value, SettingPath::default()) else { return Ok(()) };
    let places = Places::of_tree(&tree)?;
    let problems = match file {
        FileKind::Job => said::<RawJob>(&places, Source::Job),
        FileKind::Firm => said::<RawFirm>(&places, Source::Firm),
        FileKind::Prices => said::<RawPrices>(&places, Source::Prices(0)),
        FileKind::Stock => said::<RawStock>(&places, Source::Stock),
        FileKind::Found => said::<RawFound>(&places, Source::Job),
        FileKind::Record => said::<RawRecord>(&places, Source::Record),
    };
    let here = Whereabouts::from(&path);
    match problems.into_iter().find(|problem| problem.place == here && problem.level == Level::Fault) {
        Some(problem) => Err(Box::new(problem)),
        None => Ok(()),
    }
}

fn said<T: FromFile>(places: &Places, source: Source) -> Vec<Problem> {
    Reader::new(places, source, homes::of).read::<T>().1
}

/// A file that says this one thing, and the path of it.
fn nested(form: &Form, steps: &[&'static str], value: &str, path: SettingPath) -> Option<(Tree, SettingPath)> {
    let (first, rest) = match steps {
        [] => (None, steps),
        [first, rest @ ..] => (Some(*first), rest),
    };
    match (form, first) {
        (Form::List(each), _) => {
            let (tree, path) = nested(each, steps, value, path.entry(0))?;
            Some((Tree::List(vec![tree]), path))
        }
        (Form::Either(all), _) => all.iter().find_map(|form| nested(form, steps, value, path.clone())),
        (Form::ByWork(new, old, works), _) => nested(new, steps, value, path.clone()).or_else(|| {
            let (tree, path) = nested(old, steps, value, path)?;
            let Tree::Group(mut settings) = tree else { return None };
            settings.insert(0, ("work".to_owned(), Tree::Text((*works.first()?).to_owned())));
            Some((Tree::Group(settings), path))
        }),
        (Form::Value(..), None) => Some((Tree::Text(value.to_owned()), path)),
        (Form::Group(group), Some(first)) => {
            let key = group.keys.iter().find(|key| key.key == first)?;
            let (tree, path) = nested(&key.form, rest, value, path.key(first))?;
            Some((Tree::Group(vec![(first.to_owned(), tree)]), path))
        }
        (Form::ByName(each), Some(first)) => {
            // The names are the writer's own, or those of the questions that are always asked.
            let (name, rest) = if matches!(**each, Form::Value(..)) { (first, rest) } else { (ANY_NAME, steps) };
            let (tree, path) = nested(each, rest, value, path.key(name))?;
            Some((Tree::Group(vec![(name.to_owned(), tree)]), path))
        }
        _ => None,
    }
}

const ANY_NAME: &str = "front";

/// The word of a list that is near to one that is not in it.
pub(crate) fn near_word(said: &str, words: &[String]) -> Option<String> {
    suggest::nearest(said, &words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// A length as a file gives it.
pub(crate) fn length_of(said: &str) -> Option<Length> {
    Length::parse(said).ok()
}

/// Whether a text is a file that can be parsed.
///
/// # Errors
/// The first fault.
pub(crate) fn is_readable(text: &str) -> Result<(), Box<Problem>> {
    let text = guard::text(text.as_bytes())?;
    let (_, problems) = Places::of(&text)?;
    match problems.into_iter().find(|problem| problem.level == Level::Fault) {
        Some(problem) => Err(Box::new(problem)),
        None => Ok(()),
    }
}

/// The settings of a text that has a value behind each key, in their order; none of one that cannot be parsed.
pub(crate) fn pairs_of(text: &str) -> Vec<(String, String)> {
    let Ok(text) = guard::text(text.as_bytes()) else { return Vec::new() };
    let Ok((places, _)) = Places::of(&text) else { return Vec::new() };
    match places.tree(0) {
        Tree::Group(settings) => settings
            .into_iter()
            .filter_map(|(key, value)| match value {
                Tree::Text(words) => Some((key, words)),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// A group of a text, and its settings.
pub(crate) type NamedPairs = (String, Vec<(String, String)>);

/// The groups of a text whose settings have one value each; nothing of an empty text. One that is left empty says nothing.
///
/// # Errors
/// What keeps it from being read: another group than these, a value that is a group or a list.
pub(crate) fn groups_of(text: &str, names: &[&str]) -> Result<Vec<NamedPairs>, Box<Problem>> {
    if text.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with('#')) {
        return Ok(Vec::new());
    }
    let text = guard::text(text.as_bytes())?;
    let (places, problems) = Places::of(&text)?;
    if let Some(problem) = problems.into_iter().find(|problem| problem.level == Level::Fault) {
        return Err(Box::new(problem));
    }
    let mut groups = Vec::new();
    for &group in places.children(0) {
        let name = places.name(group);
        let other = |path: SettingPath, fault: String, cure: String| Err(Box::new(Problem::fault(path, fault, cure)));
        if !names.contains(&name.as_str()) {
            let fault = format!("`{name}` is not a group of this file");
            return other(places.path(group), fault, format!("it has {}", suggest::words(names, "and")));
        }
        let mut pairs = Vec::new();
        for &setting in places.children(group) {
            match (places.key(setting), places.tree(setting)) {
                (Some(key), Tree::Text(words)) => pairs.push((key.to_owned(), words)),
                (Some(key), Tree::Empty) => pairs.push((key.to_owned(), String::new())),
                _ => {
                    let fault = format!("under `{name}` a line has one name and one value");
                    return other(places.path(setting), fault, "write `name: value`".to_owned());
                }
            }
        }
        groups.push((name, pairs));
    }
    Ok(groups)
}

/// The articles of a price book, each as its settings that have one value.
pub(crate) fn articles_of(text: &str) -> Vec<Vec<(String, String)>> {
    let Ok((places, _)) = Places::of(text) else { return Vec::new() };
    let tree = places.tree(0);
    let Some(Tree::List(articles)) = tree.get("articles") else { return Vec::new() };
    let settings = |article: &Tree| match article {
        Tree::Group(settings) => settings
            .iter()
            .filter_map(|(key, value)| match value {
                Tree::Text(words) => Some((key.clone(), words.clone())),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    };
    articles.iter().map(settings).collect()
}
