//! Which options can be had together: words that several share, of which one is taken, and what an option needs.
//!
//! Given what each option says of the others; gives what each needs in turn, which exclude one another and every set that
//! can be had. Sets hold the places of options in the list, in its order.

use crate::job_file::raw::job::RawOption;
use crate::job_file::read::reading::{OneOrMany, Slot};
use crate::job_file::read::scalars::PrintedText;
use crate::job_file::read::suggest;
use crate::model::{Problem, SettingPath, words};
use std::collections::BTreeSet;

/// What one option says of the others: each word with its place.
#[derive(Debug, Clone)]
pub(super) struct Said<'a> {
    /// Its place in the file.
    pub n: usize,
    /// Its name.
    pub label: &'a str,
    one_of: Vec<(&'a str, SettingPath)>,
    needs: Vec<(&'a str, SettingPath)>,
}

impl<'a> Said<'a> {
    /// What the option says that is the `n`th of the file.
    pub(super) fn by(n: usize, label: &'a str, raw: &'a RawOption) -> Said<'a> {
        let option = SettingPath::from(["options"]).entry(n);
        Said {
            n,
            label,
            one_of: named(&raw.one_of, &option.key("one_of")),
            needs: named(&raw.needs, &option.key("needs")),
        }
    }
}

/// One word or several, each with its place.
fn named<'a>(said: &'a Slot<OneOrMany<PrintedText>>, path: &SettingPath) -> Vec<(&'a str, SettingPath)> {
    match said.given() {
        None => Vec::new(),
        Some(OneOrMany::One(word)) => vec![(word.0.as_str(), path.clone())],
        Some(OneOrMany::Many(all)) => {
            let given = all.iter().enumerate().filter_map(|(i, word)| Some((i, word.given()?)));
            given.map(|(i, word)| (word.0.as_str(), path.entry(i))).collect()
        }
    }
}

/// How options hang together.
#[derive(Debug, Clone, Default)]
pub(super) struct Relations {
    /// What each needs, what that needs included.
    pub needs: Vec<BTreeSet<usize>>,
    /// What each excludes.
    pub excludes: Vec<BTreeSet<usize>>,
}

/// Reads how options hang together; `None` where they cannot.
pub(super) fn relations(said: &[Said<'_>], found: &mut Vec<Problem>) -> Option<Relations> {
    let before = found.len();
    let direct: Vec<BTreeSet<usize>> = said.iter().map(|option| needed(option, said, found)).collect();
    let needs: Vec<BTreeSet<usize>> = (0..said.len()).map(|n| reached(n, &direct)).collect();
    tell_circles(said, &needs, found);
    let excludes = (0..said.len()).map(|n| excluded(n, said, found)).collect();
    let relations = Relations { needs, excludes };
    if found.len() == before {
        tell_what_excludes_its_needs(said, &relations, found);
    }
    (found.len() == before).then_some(relations)
}

/// The options that one names under `needs`.
fn needed(option: &Said<'_>, said: &[Said<'_>], found: &mut Vec<Problem>) -> BTreeSet<usize> {
    let mut all = BTreeSet::new();
    for (name, path) in &option.needs {
        match said.iter().position(|other| other.label == *name) {
            Some(n) => {
                all.insert(n);
            }
            None => {
                let others: Vec<&str> = said.iter().map(|o| o.label).filter(|label| *label != option.label).collect();
                let fault = format!("option `{}`: there is no option `{name}` that it could need", option.label);
                found.push(Problem::fault(path, fault, suggest::cure(name, &others)));
            }
        }
    }
    all
}

/// All that is reached from `n` by what is needed.
fn reached(n: usize, direct: &[BTreeSet<usize>]) -> BTreeSet<usize> {
    let (mut all, mut next) = (BTreeSet::new(), vec![n]);
    while let Some(at) = next.pop() {
        next.extend(direct.get(at).into_iter().flatten().copied().filter(|need| all.insert(*need)));
    }
    all
}

/// Options that need one another in a ring, each ring once.
fn tell_circles(said: &[Said<'_>], needs: &[BTreeSet<usize>], found: &mut Vec<Problem>) {
    let reaches = |a: usize, b: usize| needs.get(a).is_some_and(|all| all.contains(&b));
    for (n, option) in said.iter().enumerate().filter(|(n, _)| reaches(*n, *n)) {
        let ring: Vec<usize> = (0..said.len()).filter(|m| reaches(n, *m) && reaches(*m, n)).collect();
        if ring.first() != Some(&n) {
            continue;
        }
        let labels: Vec<String> = ring.iter().filter_map(|m| Some(format!("`{}`", said.get(*m)?.label))).collect();
        let fault = match labels.as_slice() {
            [one] => format!("option {one} needs itself"),
            many => format!("options {} need one another: none of them can be taken first", words::list(many)),
        };
        let path = SettingPath::from(["options"]).entry(option.n).key("needs");
        found.push(Problem::fault(path, fault, "take one `needs` of the circle out, or make one option of them"));
    }
}

/// The options that share a word of `one_of` with one.
fn excluded(n: usize, said: &[Said<'_>], found: &mut Vec<Problem>) -> BTreeSet<usize> {
    let mut all = BTreeSet::new();
    let Some(option) = said.get(n) else { return all };
    for (word, path) in &option.one_of {
        let others = said.iter().enumerate().filter(|(m, _)| *m != n);
        let sharing = others.clone().filter(|(_, other)| other.one_of.iter().any(|(theirs, _)| theirs == word));
        let before = all.len();
        all.extend(sharing.map(|(m, _)| m));
        if all.len() == before && !others.clone().any(|(_, o)| o.one_of.iter().any(|(theirs, _)| theirs == word)) {
            let known: Vec<&str> = others.flat_map(|(_, other)| other.one_of.iter().map(|(word, _)| *word)).collect();
            let fault = format!("option `{}`: no other option has `one_of: {word}`", option.label);
            let cure = match suggest::nearest(word, &known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "write the same word in every option of which only one can be taken".to_owned(),
            };
            found.push(Problem::fault(path, fault, cure));
        }
    }
    all
}

/// Options that cannot be had at all: what they need cannot be had together, or not with them.
fn tell_what_excludes_its_needs(said: &[Said<'_>], relations: &Relations, found: &mut Vec<Problem>) {
    for (n, option) in said.iter().enumerate() {
        let taken = relations.with_needs(&[n]);
        let Some((a, b)) = relations.excluding(&taken) else { continue };
        let name = |m: usize| said.get(m).map_or("", |o| o.label);
        let fault = match (a == n, b == n) {
            (true, _) => format!("option `{}` needs `{}`, and only one of the two can be taken", option.label, name(b)),
            (_, true) => format!("option `{}` needs `{}`, and only one of the two can be taken", option.label, name(a)),
            _ => format!(
                "option `{}` needs `{}` and `{}`, of which only one can be taken",
                option.label,
                name(a),
                name(b)
            ),
        };
        let path = SettingPath::from(["options"]).entry(option.n).key("needs");
        found.push(Problem::fault(
            path,
            fault,
            "take the one out of `needs`, or the word that they share out of `one_of`",
        ));
    }
}

impl Relations {
    /// Options with all that they need.
    pub(super) fn with_needs(&self, options: &[usize]) -> BTreeSet<usize> {
        let needs = options.iter().filter_map(|n| self.needs.get(*n)).flatten();
        options.iter().chain(needs).copied().collect()
    }

    /// Two of a set that exclude one another.
    pub(super) fn excluding(&self, set: &BTreeSet<usize>) -> Option<(usize, usize)> {
        set.iter().find_map(|a| Some((*a, *self.excludes.get(*a)?.intersection(set).next()?)))
    }

    /// That two options cannot be had together.
    pub(super) fn exclude(&mut self, a: usize, b: usize) {
        for (from, to) in [(a, b), (b, a)] {
            if let Some(all) = self.excludes.get_mut(from) {
                all.insert(to);
            }
        }
    }

    /// A set in an order in which each comes after what it needs: otherwise that of the list, or the other way round.
    pub(super) fn in_order(&self, set: &BTreeSet<usize>, backwards: bool) -> Vec<usize> {
        let (mut left, mut order): (Vec<usize>, Vec<usize>) = (set.iter().copied().collect(), Vec::new());
        if backwards {
            left.reverse();
        }
        let ready = |n: usize, done: &[usize]| {
            self.needs.get(n).into_iter().flatten().all(|need| done.contains(need) || !set.contains(need))
        };
        while let Some(at) = left.iter().position(|n| ready(*n, &order)) {
            order.push(left.remove(at));
        }
        order
    }

    /// Every set that can be had, the empty one first; `None` where there are more than `most`.
    pub(super) fn permitted(&self, most: usize) -> Option<Vec<Vec<usize>>> {
        let mut sets: Vec<BTreeSet<usize>> = vec![BTreeSet::new()];
        for n in self.in_order(&(0..self.needs.len()).collect(), false) {
            let fits = |set: &&BTreeSet<usize>| {
                self.needs.get(n).is_some_and(|needs| needs.is_subset(set))
                    && self.excludes.get(n).is_some_and(|excludes| excludes.is_disjoint(set))
            };
            let with = |set: &BTreeSet<usize>| set.iter().copied().chain([n]).collect();
            let more: Vec<BTreeSet<usize>> = sets.iter().filter(fits).map(with).collect();
            sets.extend(more);
            if sets.len() > most {
                return None;
            }
        }
        let mut sets: Vec<Vec<usize>> = sets.into_iter().map(|set| set.into_iter().collect()).collect();
        sets.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
        Some(sets)
    }
}
