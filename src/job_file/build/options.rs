//! Options: the job as its file says it, with a small change made, read as any job is.
//!
//! Given the outline of a job that stands and its list of options; gives one changed job each, and every problem that the
//! change brings, told in the option's place. Groups are merged setting by setting. A list of things (extras, roofs,
//! holes, notes, exclusions) is added to the job's; what is to be left out is named under `without`. Any other value is
//! replaced, and so is a list that is one value: a point, a size, a walk, the stretches of an edge, the payments. Where
//! the job has a list and the option a group, the keys are the names of the list's entries: `roofs: {Main roof: …}`.

use super::job;
use super::roof::RoofSupplies;
use crate::job_file::raw::homes;
use crate::job_file::raw::job::{RawJob, RawOption};
use crate::job_file::read::places::Places;
use crate::job_file::read::reading::{List, Reader, Slot};
use crate::job_file::read::suggest;
use crate::job_file::read::tree::Tree;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Job, Level, Problem, SettingPath, Whereabouts};
use crate::pricing::options::told;
use crate::pricing::{Alternative, ChangedWords};
use std::path::Path;

/// What makes the job this job: no option changes it.
const FIXED: [&str; 7] = ["reference", "title", "prepared", "customer", "options", "photos", "rules"];
/// The keys by which entries of a list are named.
const NAMES: [&str; 3] = ["name", "edge", "item"];
/// The lists whose entries are things of their own: an option adds to them.
const ADDED_TO: [&str; 5] = ["extras", "roofs", "holes", "notes", "exclusions"];
/// Every entry of a list.
const EVERY: &str = "all";

/// Reads the options of a job that stands. `base` is the job without them and `before` are the problems of the job without them.
pub(crate) fn read(
    places: &Places,
    raw: &List<RawOption>,
    stock: RoofSupplies<'_>,
    folder: &Path,
    (base, before): (&Job, &[Problem]),
) -> (Vec<Alternative>, Vec<Problem>) {
    let mut found = Vec::new();
    let most = limits::OPTIONS.most;
    if raw.len() > most {
        let fault = format!("{} options are more than a quote can hold", raw.len());
        found.push(Problem::fault(["options"], fault, format!("keep the {most} that matter")));
        return (Vec::new(), found);
    }
    let tree = places.tree(0);
    let mut alternatives: Vec<Alternative> = Vec::new();
    for (n, raw) in raw.iter().enumerate() {
        let Some((raw, label)) = raw.given().and_then(|r| Some((r, &r.name.given()?.0))) else { continue };
        if alternatives.iter().any(|a| a.label == *label) {
            let fault = format!("another option is called `{label}` already");
            found.push(Problem::fault(
                SettingPath::from(["options"]).entry(n).key("name"),
                fault,
                "give every option its own name",
            ));
            continue;
        }
        let reading = Reading { n, label, stock, folder, before };
        if let Some((job, places)) = reading.changed(&tree, &mut found) {
            let show = raw.show.given().copied().unwrap_or_default();
            let words = ChangedWords::between(base, &job.job);
            let (label, job::BuiltJob { job, money, .. }) = (label.clone(), job);
            alternatives.push(Alternative { label, show, job, money, words, places });
        }
    }
    (alternatives, found)
}

/// Tells every option that neither changes a setting nor leaves anything out, whatever else is wrong with the job.
pub(crate) fn without_change(raw: &List<RawOption>) -> Vec<Problem> {
    let empty = |option: &RawOption| match &option.change {
        Slot::Missing => option.without.is_missing(),
        Slot::Given(change) => !change.0,
        Slot::Bad => false,
    };
    let bare = raw.iter().enumerate().filter_map(|(n, o)| Some((n, o.given().filter(|o| empty(o))?)));
    let told = bare.map(|(n, option)| {
        let whose = option.name.given().map_or_else(String::new, |name| format!("option `{}`: ", name.0));
        Problem::fault(
            SettingPath::from(["options"]).entry(n).key("change"),
            format!("{whose}an option needs the settings that it changes"),
            "write them as in the job, for example `change: {roofs: {Main roof: {laminate: {mat: 600}}}}`, or name what \
             it leaves out, as `without: {extras: [Paint the fascia]}`",
        )
    });
    told.collect()
}

/// One option while it is read.
struct Reading<'a> {
    n: usize,
    label: &'a str,
    stock: RoofSupplies<'a>,
    folder: &'a Path,
    before: &'a [Problem],
}

impl Reading<'_> {
    /// The job with the change made, and where its changed settings stand in the file.
    fn changed(
        &self,
        tree: &Tree,
        found: &mut Vec<Problem>,
    ) -> Option<(job::BuiltJob, Vec<(SettingPath, SettingPath)>)> {
        let (changed, merge) = with_change(tree, tree, self.n);
        let left_out = part_of(tree, self.n, "without");
        let Merge { places, faults } = merge;
        if !faults.is_empty() {
            found.extend(
                faults.into_iter().map(|p| Problem { fault: format!("option `{}`: {}", self.label, p.fault), ..p }),
            );
            return None;
        }
        let (built, problems) = self.build(&changed);
        let new = problems.into_iter().filter(|p| p.level != Level::Assumed && !self.was_told(p, left_out.is_some()));
        found.extend(new.map(|p| told(self.label, &places, p)));
        Some((built?, places))
    }

    /// Whether the job without the option has the problem too. Where entries are left out, those behind them have moved up.
    fn was_told(&self, problem: &Problem, moved: bool) -> bool {
        let alike = |b: &Problem| (&b.fault, &b.cure) == (&problem.fault, &problem.cure);
        let same = |b: &Problem| {
            alike(b)
                && match (&b.place, &problem.place) {
                    (Whereabouts::Setting(of), Whereabouts::Setting(here)) => of.has_keys_of(here),
                    (of, here) => of == here,
                }
        };
        self.before.contains(problem) || (moved && self.before.iter().any(same))
    }

    /// Reads the changed job as any job is read.
    fn build(&self, changed: &Tree) -> (Option<job::BuiltJob>, Vec<Problem>) {
        let places = match Places::of_tree(changed) {
            Ok(places) => places,
            Err(problem) => return (None, vec![*problem]),
        };
        let (raw, mut problems): (Slot<RawJob>, _) = Reader::new(&places, Source::Job, homes::of).read();
        let built = raw.take().and_then(|raw| job::job(raw, self.stock, self.folder, &mut problems));
        (built, problems)
    }
}

/// A job with the change of one of its options made, and what was done. The option is read off the job as it is `written`; the
/// change is made `onto` that or onto what another option has made of it.
fn with_change(written: &Tree, onto: &Tree, n: usize) -> (Tree, Merge) {
    let option = SettingPath::from(["options"]).entry(n);
    let (whole, without) = (option.key("change"), option.key("without"));
    let (change, left_out) = (part_of(written, n, "change"), part_of(written, n, "without"));
    let at = if change.is_none() && left_out.is_some() { without.clone() } else { whole.clone() };
    let mut merge = Merge { places: vec![(SettingPath::default(), at)], faults: Vec::new() };
    let mut changed = onto.clone();
    if let Tree::Group(settings) = &mut changed {
        settings.retain(|(key, _)| key != "options");
        if let Some(Tree::Group(names)) = left_out {
            merge.leave_out(settings, names, &without);
        }
        match change {
            Some(Tree::Group(change)) if !change.is_empty() => {
                merge.refuse_fixed(change, &whole);
                merge.group(settings, change, &SettingPath::default(), &whole);
            }
            // One with neither was told before: see `without_change`.
            _ => {}
        }
    }
    (changed, merge)
}

/// A job with the changes of some of its options made, one after the other, and without options.
pub(super) fn with_changes(written: &Tree, chosen: &[usize]) -> Result<Tree, Vec<Problem>> {
    let (mut job, mut faults) = (written.clone(), Vec::new());
    for &n in chosen {
        let (changed, merge) = with_change(written, &job, n);
        job = changed;
        faults.extend(merge.faults);
    }
    if let Tree::Group(settings) = &mut job {
        settings.retain(|(key, _)| key != "options");
    }
    if faults.is_empty() { Ok(job) } else { Err(faults) }
}

fn part_of<'a>(tree: &'a Tree, n: usize, key: &str) -> Option<&'a Tree> {
    let Tree::List(options) = tree.get("options")? else { return None };
    options.get(n)?.get(key)
}

// ---- Making the change ---------------------------------------------------------------------------------------------

/// A change while it is made: where each changed setting stands in the job and in the file, and what is wrong.
struct Merge {
    places: Vec<(SettingPath, SettingPath)>,
    faults: Vec<Problem>,
}

impl Merge {
    fn refuse_fixed(&mut self, change: &[(String, Tree)], whole: &SettingPath) {
        for (key, _) in change.iter().filter(|(key, _)| FIXED.contains(&key.as_str())) {
            let fault = format!("an option cannot change `{key}`");
            let cure = "take it out: an option changes what is built, not whose job it is";
            self.faults.push(Problem::fault(whole.key(key.clone()), fault, cure));
        }
    }

    fn group(
        &mut self,
        settings: &mut Vec<(String, Tree)>,
        change: &[(String, Tree)],
        job: &SettingPath,
        file: &SettingPath,
    ) {
        for (key, value) in change {
            let (job, file) = (job.key(key.clone()), file.key(key.clone()));
            match settings.iter_mut().find(|(k, _)| k == key) {
                Some((_, setting)) => self.setting(setting, value, job, file),
                None => {
                    settings.push((key.clone(), value.clone()));
                    self.places.push((job, file));
                }
            }
        }
    }

    fn setting(&mut self, setting: &mut Tree, change: &Tree, job: SettingPath, file: SettingPath) {
        if let (Tree::List(entries), Tree::List(more)) = (&mut *setting, change)
            && job.last_key().is_some_and(|key| ADDED_TO.contains(&key))
        {
            return self.add(entries, more, &job, &file);
        }
        self.places.push((job.clone(), file.clone()));
        match (setting, change) {
            (Tree::Group(settings), Tree::Group(change)) => self.group(settings, change, &job, &file),
            (Tree::List(entries), Tree::Group(change)) => self.entries(entries, change, &job, &file),
            (setting, change) => *setting = change.clone(),
        }
    }

    /// Adds entries to a list of the job. One with the name of an entry that is there already is refused: it would stand
    /// there twice.
    fn add(&mut self, entries: &mut Vec<Tree>, more: &[Tree], job: &SettingPath, file: &SettingPath) {
        for (i, entry) in more.iter().enumerate() {
            let (job, file) = (job.entry(entries.len()), file.entry(i));
            if let Some(name) = entry.name().filter(|name| entries.iter().any(|e| e.name() == Some(*name))) {
                let fault = format!("`{name}` is in the job already, and a list of an option is added to the job's");
                let cure = format!("to change it, write its settings below its name, as `{{{name}: {{…}}}}`");
                self.faults.push(Problem::fault(file.clone(), fault, cure));
            }
            self.places.push((job, file));
            entries.push(entry.clone());
        }
    }

    /// Takes what is named out of the job's lists. Holes are looked for on every roof.
    fn leave_out(&mut self, settings: &mut [(String, Tree)], names: &[(String, Tree)], file: &SettingPath) {
        for (key, names) in names {
            let Tree::List(names) = names else { continue };
            for (i, name) in names.iter().enumerate() {
                let Tree::Text(name) = name else { continue };
                let (mut hit, mut known) = (false, Vec::new());
                for list in lists(settings, key) {
                    known.extend(list.iter().filter_map(|e| e.name().map(str::to_owned)));
                    let before = list.len();
                    list.retain(|entry| entry.name() != Some(name));
                    hit |= list.len() < before;
                }
                if !hit {
                    let fault = format!("`{name}` is not in the `{key}` of the job");
                    let cure = match known.is_empty() {
                        true => format!("take it out: the job has no `{key}`"),
                        false => suggest::cure(name, &known),
                    };
                    self.faults.push(Problem::fault(file.key(key.clone()).entry(i), fault, cure));
                }
            }
        }
    }

    /// Changes the entries of a list that are named.
    fn entries(&mut self, entries: &mut [Tree], change: &[(String, Tree)], job: &SettingPath, file: &SettingPath) {
        for (name, value) in change {
            let file = file.key(name.clone());
            let named = |entry: &Tree| NAMES.iter().any(|k| entry.get(k) == Some(&Tree::Text(name.clone())));
            let mut hit = false;
            for (i, entry) in entries.iter_mut().enumerate() {
                if name == EVERY || named(entry) {
                    hit = true;
                    self.setting(entry, value, job.entry(i), file.clone());
                }
            }
            if !hit {
                let fault = format!("`{name}` is not the name of anything in `{job}`");
                self.faults.push(Problem::fault(file, fault, suggest::cure(name, &names(entries))));
            }
        }
    }
}

/// What the entries of a list are called, and the word for all of them.
fn names(entries: &[Tree]) -> Vec<String> {
    let name = |entry: &Tree| match NAMES.iter().find_map(|k| entry.get(k)) {
        Some(Tree::Text(name)) => Some(name.clone()),
        _ => None,
    };
    entries.iter().filter_map(name).chain([EVERY.to_owned()]).collect()
}

/// The lists of the job that a key of `without` names.
fn lists<'a>(settings: &'a mut [(String, Tree)], key: &str) -> Vec<&'a mut Vec<Tree>> {
    let above = match key {
        "holes" => "roofs",
        "notes" | "exclusions" => "quote",
        _ => return settings.iter_mut().filter(|(k, _)| k == key).filter_map(|(_, v)| v.list_mut()).collect(),
    };
    let Some((_, above)) = settings.iter_mut().find(|(k, _)| k == above) else { return Vec::new() };
    let groups = match above {
        Tree::List(roofs) => roofs.iter_mut().collect(),
        other => vec![other],
    };
    groups.into_iter().filter_map(|group| group.get_mut(key)?.list_mut()).collect()
}

impl Tree {
    /// What an entry of a list is called: by its name, or by its own text.
    fn name(&self) -> Option<&str> {
        match self {
            Tree::Text(text) => Some(text),
            Tree::Group(_) => NAMES.iter().find_map(|key| match self.get(key) {
                Some(Tree::Text(name)) => Some(name.as_str()),
                _ => None,
            }),
            Tree::Empty | Tree::List(_) => None,
        }
    }

    fn list_mut(&mut self) -> Option<&mut Vec<Tree>> {
        if let Tree::List(entries) = self { Some(entries) } else { None }
    }

    fn get_mut(&mut self, key: &str) -> Option<&mut Tree> {
        let Tree::Group(settings) = self else { return None };
        settings.iter_mut().find(|(k, _)| k == key).map(|(_, v)| v)
    }
}
