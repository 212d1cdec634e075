//! Notices that say one thing of several roofs or edges, as one.
//!
//! Given the notices of a job in their order; gives them with those put together that differ in nothing but the roof, the edge or
//! the opening that they are of, and in one figure. The first leads, in its own words and its own place; it names the others, each
//! with its figure, and has their places. Faults stay as they are: each is mended where it stands.

use crate::documents::wording;
use crate::model::problem::Source;
use crate::model::{Job, Level, Problem, SettingPath, Warned, Whereabouts};
use std::collections::BTreeMap;

/// What stands for the name of the roof in what notices have in common, for one of its parts, and for a figure.
const ROOF: &str = "\u{1}";
const PART: &str = "\u{2}";
const FIGURE: &str = "\u{3}";
/// What a figure is told with, where it stands behind it.
const UNITS: [&str; 9] = ["mm", "m", "m²", "kg", "g", "h", "°C", "days", "hours"];

/// A roof of the job with what it and its edges, openings and patches are called.
struct NamedRoof<'a> {
    path: &'a SettingPath,
    name: &'a str,
    /// The longest name first.
    parts: Vec<NamedPart<'a>>,
}

/// An edge, an opening or a patch.
struct NamedPart<'a> {
    path: &'a SettingPath,
    name: String,
    /// How notices name it.
    said: [String; 2],
}

impl<'a> NamedPart<'a> {
    fn of(path: &'a SettingPath, name: String) -> NamedPart<'a> {
        let said = [format!("`{name}`"), wording::at(&name)];
        NamedPart { path, name, said }
    }
}

/// What notices must have in common.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Sort {
    level: Level,
    source: Source,
    warned: Option<Warned>,
    cure: String,
    /// The fault without names and figures.
    words: Vec<String>,
}

/// What is a notice's own.
struct NoticeParts {
    roof: usize,
    names_roof: bool,
    /// The parts that its words name, in their order.
    parts: Vec<String>,
    /// The part that its place is in.
    part: Option<String>,
    /// Its words, with marks in place of names.
    words: Vec<String>,
}

/// The notices of a job, those of one sort together.
pub(super) fn of(notices: Vec<Problem>, job: &Job) -> Vec<Problem> {
    let roofs = named(job);
    let mut sorts: BTreeMap<Sort, Vec<usize>> = BTreeMap::new();
    let mut groups: Vec<Vec<(usize, NoticeParts)>> = Vec::new();
    let mut told: Vec<Option<usize>> = Vec::new();
    for (n, notice) in notices.iter().enumerate() {
        let Some((sort, own)) = sorted(notice, &roofs) else {
            told.push(None);
            continue;
        };
        let known = sorts.entry(sort).or_default();
        let group = known.iter().copied().find(|group| joins(&own, &groups[*group]));
        let group = group.unwrap_or_else(|| {
            groups.push(Vec::new());
            known.push(groups.len() - 1);
            groups.len() - 1
        });
        groups[group].push((n, own));
        told.push(Some(group));
    }
    let short = wording::without_what_all_say(&roofs.iter().map(|roof| roof.name).collect::<Vec<_>>());
    let one = |(n, group): (usize, &Option<usize>)| match group.map(|group| &groups[group]) {
        None => Some(notices[n].clone()),
        Some(group) if group[0].0 != n => None,
        Some(group) => Some(together(group, &notices, &short)),
    };
    told.iter().enumerate().filter_map(one).collect()
}

fn named(job: &Job) -> Vec<NamedRoof<'_>> {
    let new = job.roofs.iter().map(|roof| {
        let edges = roof.outline.edges.iter().map(|edge| NamedPart::of(&edge.path, edge.label()));
        let holes = roof.holes.iter().map(|hole| NamedPart::of(&hole.path, hole.name.clone()));
        NamedRoof { path: &roof.path, name: &roof.name, parts: edges.chain(holes).collect() }
    });
    let old = job.old_roofs.iter().map(|roof| {
        let patches = roof.patches.iter().filter_map(|patch| Some(NamedPart::of(&patch.path, patch.name.clone()?)));
        NamedRoof { path: &roof.path, name: &roof.name, parts: patches.collect() }
    });
    let mut roofs: Vec<NamedRoof<'_>> = new.chain(old).collect();
    roofs.sort_by(|a, b| a.path.cmp(b.path));
    for roof in &mut roofs {
        roof.parts.sort_by_key(|part| std::cmp::Reverse(part.name.len()));
    }
    roofs
}

/// Of which sort a notice is, and what in it is of its roof alone; none for a fault, and for what is of no one roof.
fn sorted(notice: &Problem, roofs: &[NamedRoof<'_>]) -> Option<(Sort, NoticeParts)> {
    let Whereabouts::Setting(place) = &notice.place else { return None };
    let is_in = |path: &SettingPath| place.steps().starts_with(path.steps());
    let roof = roofs.iter().position(|roof| is_in(roof.path))?;
    let named = &roofs[roof];
    let (words, parts) = marked(&notice.fault, named);
    let own = NoticeParts {
        roof,
        names_roof: words.contains(ROOF),
        parts,
        part: named
            .parts
            .iter()
            .filter(|part| is_in(part.path))
            .max_by_key(|part| part.path.steps().len())
            .map(|part| part.name.clone()),
        words: words.split(' ').map(str::to_owned).collect(),
    };
    let bare = |word: &String| if has_figure(word) { FIGURE.to_owned() } else { word.clone() };
    let sort = Sort {
        level: notice.level,
        source: notice.source,
        warned: notice.warned,
        cure: notice.cure.clone(),
        words: own.words.iter().map(bare).collect(),
    };
    (notice.level != Level::Fault && notice.about.is_none()).then_some((sort, own))
}

/// A fault with marks in place of the name of its roof and of the parts of it, and these parts.
fn marked(fault: &str, roof: &NamedRoof<'_>) -> (String, Vec<String>) {
    let mut out = String::with_capacity(fault.len());
    let (mut parts, mut rest) = (Vec::new(), fault);
    let ends = |rest: &str| !rest.starts_with(char::is_alphanumeric);
    while let Some(sign) = rest.chars().next() {
        let begins = !out.ends_with(char::is_alphanumeric);
        let behind = |name: &str| rest.strip_prefix(name).filter(|rest| begins && ends(rest));
        let part = roof.parts.iter().find_map(|NamedPart { name, said, .. }| {
            let behind = said.iter().find_map(|said| behind(said))?;
            Some((name, behind))
        });
        if let Some((name, behind)) = part {
            out.push_str(PART);
            parts.push(name.clone());
            rest = behind;
        } else if let Some(behind) = behind(roof.name) {
            out.push_str(ROOF);
            rest = behind;
        } else {
            out.push(sign);
            rest = &rest[sign.len_utf8()..];
        }
    }
    (out, parts)
}

fn has_figure(word: &str) -> bool {
    word.contains(|sign: char| sign.is_ascii_digit())
}

/// Whether a notice can be told with those of a group: no more than one figure differs in all of them, and each is of something else.
fn joins(own: &NoticeParts, group: &[(usize, NoticeParts)]) -> bool {
    let Some((_, first)) = group.first() else { return true };
    let all = || group.iter().map(|(_, other)| other).chain([own]);
    let differs = |n: &usize| all().any(|other| other.words[*n] != first.words[*n]);
    let is_of_same = |other: &NoticeParts| (other.roof, &other.parts, &other.part) == (own.roof, &own.parts, &own.part);
    (0..first.words.len()).filter(differs).count() <= 1 && !group.iter().any(|(_, other)| is_of_same(other))
}

/// A group as one notice: the first, with the names and places of the others.
fn together(group: &[(usize, NoticeParts)], notices: &[Problem], names: &[String]) -> Problem {
    let (n, first) = &group[0];
    let leads = notices[*n].clone();
    if group.len() == 1 {
        return leads;
    }
    let one_roof = group.iter().all(|(_, own)| own.roof == first.roof);
    let named = if one_roof { !first.parts.is_empty() } else { first.names_roof };
    let told: Vec<(usize, String)> = group
        .iter()
        .skip(usize::from(named))
        .map(|(_, own)| (own.roof, if one_roof { of_one_roof(own, group) } else { beside(own, first) }))
        .collect();
    let list = if one_roof {
        wording::list(&told.into_iter().map(|(_, own)| own).collect::<Vec<_>>())
    } else {
        let each = wording::once(told.iter().map(|(_, own)| own)).into_iter().map(|own| {
            let of = told.iter().filter(|(_, other)| other == own).map(|(roof, _)| names[*roof].clone());
            let roofs = wording::list_of_roofs(&of.collect::<Vec<_>>());
            if own.is_empty() { roofs } else { format!("{roofs} ({own})") }
        });
        each.collect::<Vec<_>>().join("; ")
    };
    let words = if named { "so for" } else { "this holds for" };
    let also = group[1..].iter().map(|(n, _)| notices[*n].place.clone()).collect();
    Problem { fault: format!("{}; {words} {list}", wording::unstopped(&leads.fault)), also, ..leads }
}

/// What one of several notices of one roof is of, with its figure where they differ: `` `back` (325 mm) ``.
fn of_one_roof(own: &NoticeParts, group: &[(usize, NoticeParts)]) -> String {
    let differs = |n: &usize| group.iter().any(|(_, other)| other.parts[*n] != own.parts[*n]);
    let parts = (0..own.parts.len()).filter(differs).map(|n| &own.parts[n]);
    let parts: Vec<String> = parts.map(quoted).collect();
    let parts = if parts.is_empty() { own.part.iter().map(quoted).collect() } else { parts };
    let figure = group.iter().find_map(|(_, other)| figure(own, other));
    match figure {
        Some(figure) => format!("{} ({figure})", wording::list(&parts)),
        None => wording::list(&parts),
    }
}

/// What a notice of one of several roofs says otherwise than the first: parts and figure.
fn beside(own: &NoticeParts, first: &NoticeParts) -> String {
    let in_words = own.parts.iter().zip(&first.parts).filter(|(own, first)| own != first).map(|(own, _)| own);
    let mut differs: Vec<String> = in_words.map(quoted).collect();
    if own.parts.is_empty() && own.part != first.part {
        differs.extend(own.part.iter().map(quoted));
    }
    differs.extend(figure(own, first));
    differs.join(", ")
}

fn quoted(name: &String) -> String {
    format!("`{name}`")
}

/// The figure that differs from another notice's, with its unit.
fn figure(own: &NoticeParts, other: &NoticeParts) -> Option<String> {
    let n = (0..own.words.len()).find(|n| own.words[*n] != other.words[*n])?;
    let bare = |word: &str| word.trim_matches(['(', ')', ',', ';', ':']).to_owned();
    let unit = own.words.get(n + 1).map(|word| bare(word)).filter(|word| UNITS.contains(&word.as_str()));
    Some([Some(bare(&own.words[n])), unit].into_iter().flatten().collect::<Vec<_>>().join(" "))
}
