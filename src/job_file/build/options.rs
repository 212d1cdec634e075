//! Options: the job as its file says it, with a small change made, read as any job is.
//!
//! Given the outline of a job that stands and its list of options; gives one changed job each, and every problem that the
//! change brings, told in the option's place. Groups are merged setting by setting. A list of things (extras, roofs,
//! holes, notes, exclusions) is added to the job's; what is to be left out is named under `without`. Any other value is
//! replaced, and so is a list that is one value: a point, a size, a walk, the stretches of an edge, the payments. Where
//! the job has a list and the option a group, the keys are the names of the list's entries: `roofs: {Main roof: …}`. Options
//! that are taken together are made one after the other; two that would not come to the same the other way round exclude
//! one another.

use super::job;
use super::roof::RoofSupplies;
use super::together::{self, Relations, Said};
use crate::job_file::raw::homes;
use crate::job_file::raw::job::{RawJob, RawOption};
use crate::job_file::read::places::Places;
use crate::job_file::read::reading::{List, Reader, Slot};
use crate::job_file::read::suggest;
use crate::job_file::read::tree::Tree;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Job, Level, Problem, SettingPath, Warned, Whereabouts};
use crate::pricing::options::{self, Combination, Show, Together, told};
use crate::pricing::{Alternative, ChangedWords};
use std::collections::BTreeSet;
use std::path::Path;

/// What makes the job this job: no option changes it.
const FIXED: [&str; 7] = ["reference", "title", "prepared", "customer", "options", "photos", "rules"];
/// The keys by which entries of a list are named.
const NAMES: [&str; 3] = ["name", "edge", "item"];
/// The lists whose entries are things of their own: an option adds to them.
const ADDED_TO: [&str; 6] = ["extras", "order_lines", "roofs", "holes", "notes", "exclusions"];
/// Every entry of a list.
const EVERY: &str = "all";

/// The options of a job, and which of them can be had together.
#[derive(Debug, Default)]
pub(crate) struct ReadOptions {
    /// The options.
    pub options: Vec<Alternative>,
    /// Which can be had together.
    pub together: Together,
}

/// Reads the options of a job that stands. `base` is the job without them and `before` are the problems of the job without them.
pub(crate) fn read(
    places: &Places,
    raw: &List<RawOption>,
    stock: RoofSupplies<'_>,
    folder: &Path,
    (base, before): (&Job, &[Problem]),
) -> (ReadOptions, Vec<Problem>) {
    let mut found = Vec::new();
    let most = limits::OPTIONS.most;
    if raw.len() > most {
        let fault = format!("{} options are more than a quote can hold", raw.len());
        found.push(Problem::fault(["options"], fault, format!("keep the {most} that matter")));
        return (ReadOptions::default(), found);
    }
    let tree = places.tree(0);
    let named = named(raw, &mut found);
    let said: Vec<Said<'_>> = named.iter().map(|(n, label, raw)| Said::by(*n, label, raw)).collect();
    let shown = shown(&named, &mut found);
    let Some(relations) = together::relations(&said, &mut found) else { return (ReadOptions::default(), found) };
    let unchanged = without_options(&tree);
    let mut reading =
        Reading { said: &said, relations, tree: &tree, unchanged, stock, folder, before, alone: Vec::new() };
    let mut options = Vec::new();
    for (n, said) in said.iter().enumerate() {
        let taken = reading.relations.with_needs(&[n]);
        if let Some(ChangedJob { built, places, is_idle, .. }) = reading.changed(&taken, Some(n), &mut found) {
            // One that names no change at all is a problem already.
            let names_change = named.get(n).is_some_and(|(.., raw)| !is_empty(raw));
            found.extend((names_change && is_idle).then(|| idle(said)));
            let words = ChangedWords::between(base, &built.job);
            let (label, job::BuiltJob { job, money, .. }) = (said.label.to_owned(), built);
            let needs = reading.relations.needs.get(n).into_iter().flatten().copied().collect();
            let show = shown;
            options.push(Alternative { label, show, job, money, words, places, needs, excludes: Vec::new() });
        }
    }
    if options.len() < said.len() || found.iter().any(|p| p.level == Level::Fault) {
        return (ReadOptions { options, together: Together::default() }, found);
    }
    reading.exclude_what_clashes(&mut found);
    for (option, excludes) in options.iter_mut().zip(&reading.relations.excludes) {
        option.excludes = excludes.iter().copied().collect();
    }
    let together = reading.together(&mut found);
    let listed = !together.permitted.is_empty() && together.permitted.len() <= limits::TOTALS.most;
    if !listed && shown == Show::Total {
        options.iter_mut().for_each(|option| option.show = Show::Difference);
        let fault = format!(
            "the options can be had together in more than {} ways: each is shown by what it adds, not by a total",
            limits::TOTALS.most
        );
        found.push(Problem::assumed(
            ["options"],
            fault,
            "let those exclude one another of which only one makes sense: `one_of: colour`",
        ));
    }
    (ReadOptions { options, together }, found)
}

/// The options that have a name of their own: their place in the file, the name and what is written.
fn named<'a>(raw: &'a List<RawOption>, found: &mut Vec<Problem>) -> Vec<(usize, &'a str, &'a RawOption)> {
    let mut named: Vec<(usize, &str, &RawOption)> = Vec::new();
    for (n, raw) in raw.iter().enumerate() {
        let Some((raw, label)) = raw.given().and_then(|r| Some((r, r.name.given()?.0.as_str()))) else { continue };
        if named.iter().any(|(_, other, _)| *other == label) {
            let fault = format!("another option is called `{label}` already");
            found.push(Problem::fault(
                SettingPath::from(["options"]).entry(n).key("name"),
                fault,
                "give every option its own name",
            ));
            continue;
        }
        named.push((n, label, raw));
    }
    named
}

/// How all options of a quote are shown: as the first says that says it.
fn shown(named: &[(usize, &str, &RawOption)], found: &mut Vec<Problem>) -> Show {
    let mut said = named.iter().filter_map(|(n, label, raw)| Some((*n, *label, *raw.show.given()?)));
    let Some((_, first, show)) = said.next() else { return Show::default() };
    for (n, label, _) in said.filter(|(_, _, other)| *other != show) {
        let fault = format!("option `{label}` is shown otherwise than `{first}`, and a quote shows all of them alike");
        let path = SettingPath::from(["options"]).entry(n).key("show");
        found.push(Problem::fault(path, fault, "write `show` in one option: it holds for all"));
    }
    show
}

/// Tells every option that neither changes a setting nor leaves anything out, whatever else is wrong with the job.
pub(crate) fn without_change(raw: &List<RawOption>) -> Vec<Problem> {
    let bare = raw.iter().enumerate().filter_map(|(n, o)| Some((n, o.given().filter(|o| is_empty(o))?)));
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

/// Whether an option names neither a setting nor anything to leave out.
fn is_empty(option: &RawOption) -> bool {
    match &option.change {
        Slot::Missing => option.without.is_missing(),
        Slot::Given(change) => !change.0,
        Slot::Bad => false,
    }
}

/// The file without its options, and without its photographs: no option changes one, each is read once, with the job.
fn without_options(tree: &Tree) -> Tree {
    match tree {
        Tree::Group(settings) => {
            let kept = settings.iter().filter(|(key, _)| key != "options" && key != "photos");
            Tree::Group(kept.cloned().collect())
        }
        other => other.clone(),
    }
}

/// An option that leaves the job as it is.
fn idle(said: &Said<'_>) -> Problem {
    let fault = format!("option `{}` writes what the job says already: it changes nothing", said.label);
    let path = SettingPath::from(["options"]).entry(said.n).key("change");
    Problem::warning(Warned::IdleOption, path, fault, "change something, or take the option out")
}

/// Options while they are read.
struct Reading<'a> {
    said: &'a [Said<'a>],
    relations: Relations,
    tree: &'a Tree,
    /// The file without any option.
    unchanged: Tree,
    stock: RoofSupplies<'a>,
    folder: &'a Path,
    before: &'a [Problem],
    /// What was told of single options: fault and cure.
    alone: Vec<(String, String)>,
}

/// A job with changes made, whose it is, and where its changed settings stand in the file.
struct ChangedJob {
    whose: String,
    built: job::BuiltJob,
    places: Vec<(SettingPath, SettingPath)>,
    /// It says what the job says without them.
    is_idle: bool,
}

impl Reading<'_> {
    /// The job with options taken. `own` is the one that is read for itself, where it is not several together.
    fn changed(&mut self, taken: &BTreeSet<usize>, own: Option<usize>, found: &mut Vec<Problem>) -> Option<ChangedJob> {
        let labels: Vec<&str> = taken.iter().filter_map(|n| Some(self.said.get(*n)?.label)).collect();
        let whose = match own.and_then(|n| self.said.get(n)) {
            Some(one) => options::whose(&[one.label]),
            None => options::whose(&labels),
        };
        let (changed, Merge { mut places, faults }) = self.merged(&self.relations.in_order(taken, false));
        // A problem that no changed setting leads to is told at the option that is read.
        places.rotate_right(1);
        if !faults.is_empty() {
            found.extend(faults.into_iter().map(|p| Problem { fault: format!("{whose}: {}", p.fault), ..p }));
            return None;
        }
        let (built, problems) = self.build(&changed);
        let left_out = taken.iter().any(|n| self.part(*n, "without").is_some());
        for problem in problems.into_iter().filter(|p| p.level != Level::Assumed) {
            let raw = (problem.fault.clone(), problem.cure.clone());
            if self.was_told(&problem, left_out) || own.is_none() && self.alone.contains(&raw) {
                continue;
            }
            let told = told(&whose, &places, problem);
            match own {
                Some(_) => {
                    self.alone.push(raw);
                    found.push(told);
                }
                None => found.push(apart(told)),
            }
        }
        Some(ChangedJob { whose, built: built?, places, is_idle: changed == self.unchanged })
    }

    /// The file with the changes of some options made, one after the other.
    fn merged(&self, order: &[usize]) -> (Tree, Merge) {
        let mut merge = Merge { places: Vec::new(), faults: Vec::new() };
        let mut changed = self.unchanged.clone();
        if let Tree::Group(settings) = &mut changed {
            for &option in order {
                let n = self.said.get(option).map_or(option, |said| said.n);
                make_change(self.tree, n, settings, &mut merge);
            }
        }
        (changed, merge)
    }

    fn part(&self, option: usize, key: &str) -> Option<&Tree> {
        part_of(self.tree, self.said.get(option)?.n, key)
    }

    /// Options that change one setting otherwise, or of which one leaves out what the other changes, exclude one another
    /// whether they say so or not: what comes of both would hang on which was made first.
    fn exclude_what_clashes(&mut self, found: &mut Vec<Problem>) {
        let all = self.said.len();
        let mut pairs: Vec<(usize, usize)> = (0..all).flat_map(|a| (a + 1..all).map(move |b| (a, b))).collect();
        pairs.sort_by_key(|(a, b)| self.relations.with_needs(&[*a, *b]).len());
        for (a, b) in pairs {
            let set = self.relations.with_needs(&[a, b]);
            let needed = |n: usize, of: usize| self.relations.needs.get(of).is_some_and(|needs| needs.contains(&n));
            if needed(a, b) || needed(b, a) || self.relations.excluding(&set).is_some() {
                continue;
            }
            let (one, first) = self.merged(&self.relations.in_order(&set, false));
            let (other, last) = self.merged(&self.relations.in_order(&set, true));
            if first.faults.is_empty() && last.faults.is_empty() && one.in_any_order() == other.in_any_order() {
                continue;
            }
            self.relations.exclude(a, b);
            let (Some(a), Some(b)) = (self.said.get(a), self.said.get(b)) else { continue };
            let fault =
                format!("options `{}` and `{}` change the same thing: one or the other is taken", a.label, b.label);
            let path = SettingPath::from(["options"]).entry(b.n);
            let cure = "say so in both, with a word of your own: `one_of: colour`";
            found.push(Problem::assumed(path, fault, cure));
        }
    }

    /// Every set that can be had, as far as they are priced, and what an option needs.
    fn together(&mut self, found: &mut Vec<Problem>) -> Together {
        let permitted = self.relations.permitted(limits::COMBINATIONS.most).unwrap_or_default();
        let all = 0..self.said.len();
        let single: BTreeSet<Vec<usize>> =
            all.clone().map(|n| self.relations.with_needs(&[n]).into_iter().collect()).collect();
        let needed = all.filter_map(|n| Some(self.relations.needs.get(n)?.iter().copied().collect::<Vec<_>>()));
        let mut sets: Vec<Vec<usize>> = permitted.iter().cloned().chain(needed).collect();
        sets.sort();
        sets.dedup();
        sets.retain(|set| !set.is_empty() && !single.contains(set));
        let combined = sets.into_iter().filter_map(|taken| {
            let ChangedJob { whose, built, places, .. } =
                self.changed(&taken.iter().copied().collect(), None, found)?;
            Some(Combination { taken, whose, job: built.job, money: built.money, places })
        });
        let combined = combined.collect();
        Together { permitted, combined }
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

/// A job with the changes of some of its options made, one after the other in the order given, and without options.
pub(super) fn with_changes(written: &Tree, chosen: &[usize]) -> Result<Tree, Vec<Problem>> {
    let mut merge = Merge { places: Vec::new(), faults: Vec::new() };
    let mut job = written.clone();
    if let Tree::Group(settings) = &mut job {
        settings.retain(|(key, _)| key != "options");
        chosen.iter().for_each(|&n| make_change(written, n, settings, &mut merge));
    }
    if merge.faults.is_empty() { Ok(job) } else { Err(merge.faults) }
}

/// Makes the change of one option, which is read off the job as it is `written`.
fn make_change(written: &Tree, n: usize, settings: &mut Vec<(String, Tree)>, merge: &mut Merge) {
    let path = SettingPath::from(["options"]).entry(n);
    let (whole, without) = (path.key("change"), path.key("without"));
    let (change, left_out) = (part_of(written, n, "change"), part_of(written, n, "without"));
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
    let at = if change.is_none() && left_out.is_some() { without } else { whole };
    merge.places.push((SettingPath::default(), at));
}

/// A problem that only several options together have, with what else would cure it.
fn apart(problem: Problem) -> Problem {
    let cure = format!("{}; or let only one of them be taken: the same word under `one_of` in both", problem.cure);
    Problem { cure, ..problem }
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
        "holes" | "patches" => "roofs",
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

    /// The same with the entries sorted of the lists that options add to: what was added first does not matter.
    fn in_any_order(&self) -> Tree {
        match self {
            Tree::Empty | Tree::Text(_) => self.clone(),
            Tree::List(entries) => Tree::List(entries.iter().map(Tree::in_any_order).collect()),
            Tree::Group(settings) => {
                let sorted = settings.iter().map(|(key, value)| match value.in_any_order() {
                    Tree::List(mut entries) if ADDED_TO.contains(&key.as_str()) => {
                        entries.sort_by_cached_key(|entry| format!("{entry:?}"));
                        (key.clone(), Tree::List(entries))
                    }
                    value => (key.clone(), value),
                });
                let mut sorted: Vec<(String, Tree)> = sorted.collect();
                sorted.sort_by(|a, b| a.0.cmp(&b.0));
                Tree::Group(sorted)
            }
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
