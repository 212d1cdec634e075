//! The checks as tables: what was looked at and the answer; the rule and its source stand at the foot of the page.
//!
//! Given findings; gives a table for one reader. Empty checks give no rows, so that a document may ask first.

use super::cells::{cell, plain, strong, wide};
use super::said_once::FEW_ROOFS;
use super::wording;
use crate::checks::finding::Finding;
use crate::checks::finding::{Subject, Verdict};
use crate::checks::walls;
use crate::pages::block::{Block, Span, Table};
use rust_decimal::Decimal;

/// Those of all findings that are of these kinds, in their order.
pub fn of<'a>(all: impl IntoIterator<Item = &'a Finding>, kinds: &[Subject]) -> Vec<&'a Finding> {
    all.into_iter().filter(|f| kinds.contains(&f.kind)).collect()
}

/// Each wall, sill and parapet that ends lower above the finished roof than it should.
pub fn too_low(all: &[Finding]) -> impl Iterator<Item = &Finding> {
    all.iter().filter(|f| f.verdict == Verdict::Fail && walls::is_upstand(f))
}

/// What was found of each of them, to which the householder must agree. Where there are `many` roofs each is named.
pub fn low_upstands(all: &[Finding], many: bool) -> Vec<String> {
    let words = |f: &Finding| {
        let first = f.statement.split_once(". ").map_or(f.statement.as_str(), |(first, _)| first);
        let roof = f.roof.as_ref().filter(|_| many).map_or_else(String::new, |name| format!("{name}: "));
        format!("{roof}{}", first.trim_end_matches('.'))
    };
    too_low(all).map(words).collect()
}

/// What was checked and the answer, with a note of where it comes from. Where there are `many` roofs each is named.
pub fn table(findings: &[&Finding], many: bool) -> Table {
    let row = |f: &&Finding| plain(vec![strong(looked_at(f, many)), answer(f)]);
    let columns = vec![wide("What we\u{a0}checked", 1), wide("Answer", 4)];
    let told = places_together(findings);
    Table { columns, rows: told.iter().map(|f| row(&f)).collect(), header: true }
}

/// The same as a list, for a reader who goes through it once.
pub fn list(findings: &[&Finding], many: bool) -> Block {
    let items = lines(findings, many).into_iter().map(|line| vec![Block::Paragraph(line)]).collect();
    Block::List { ordered: false, items }
}

/// The same as lines of text; what was found alike of several roofs is said once, with what differs of each.
pub fn lines(findings: &[&Finding], many: bool) -> Vec<Vec<Span>> {
    let of = |f: &Finding| (f.subject.clone(), f.verdict, f.design.clone(), f.source.clone(), f.caution);
    let alike = |a: &Finding, b: &Finding| many && a.roof.is_some() && b.roof.is_some() && of(a) == of(b);
    let told = places_together(findings);
    let mut all: Vec<Vec<&Finding>> = Vec::new();
    for finding in &told {
        match all.iter_mut().find(|group| alike(group[0], finding)) {
            Some(group) => group.push(finding),
            None => all.push(vec![finding]),
        }
    }
    let mut told: Vec<Vec<Span>> = Vec::new();
    for together in in_runs(all, many) {
        told.extend(match together.as_slice() {
            [first, _, ..] if first.roof == together[1].roof => vec![of_one_roof(&together, many)],
            of_roofs => told_of(of_roofs, many),
        });
    }
    told
}

/// The groups, of which those that follow one another with one finding each of the same roof and kind of part, answered alike by one
/// rule, are one: `outlet 1` and `outlet 2`.
fn in_runs<'a>(groups: Vec<Vec<&'a Finding>>, many: bool) -> Vec<Vec<&'a Finding>> {
    let part = |f: &'a Finding| f.subject.split(' ').next().unwrap_or_default();
    let of = |f: &'a Finding| (f.roof.as_deref().filter(|_| many), part(f), f.verdict, &f.design, &f.source, f.caution);
    let mut runs: Vec<(bool, Vec<&Finding>)> = Vec::new();
    for group in groups {
        match (runs.last_mut(), group.as_slice()) {
            (Some((true, run)), [one]) if of(run[0]) == of(one) => run.push(one),
            _ => runs.push((group.len() == 1, group)),
        }
    }
    runs.into_iter().map(|(_, run)| run).collect()
}

/// What was found of several parts of one roof, in one line: once where only figures differ, in the order of the parts.
fn of_one_roof(findings: &[&Finding], many: bool) -> Vec<Span> {
    let subjects: Vec<String> = findings.iter().map(|f| f.subject.clone()).collect();
    let title = match findings[0].roof.as_ref().filter(|_| many) {
        Some(roof) => format!("{roof}: {}", wording::list(&subjects)),
        None => wording::capital(&wording::list(&subjects)),
    };
    let told: Vec<(String, String)> =
        subjects.into_iter().zip(findings.iter().map(|f| for_readers(&f.statement))).collect();
    let words =
        from_to(&told).unwrap_or_else(|| told.into_iter().map(|(_, words)| words).collect::<Vec<_>>().join(" "));
    titled(title, answer_in(findings[0], words))
}

/// The same findings, where what was found alike at several places of one roof is one: `Parapets on the right and on the left`.
fn places_together(findings: &[&Finding]) -> Vec<Finding> {
    let mut all: Vec<Vec<&Finding>> = Vec::new();
    for &finding in findings {
        match all.iter_mut().find(|group| differ_in_place(group[0], finding)) {
            Some(group) => group.push(finding),
            None => all.push(vec![finding]),
        }
    }
    all.iter().filter_map(|group| at_places(group)).collect()
}

/// What stands where: `parapet` and `on the right`.
fn noun_and_place(finding: &Finding) -> Option<(&str, &str)> {
    finding.subject.split_once(' ').filter(|(_, place)| place.starts_with("on the ") || place.starts_with("at the "))
}

/// Whether two findings of one roof say the same of two places.
fn differ_in_place(a: &Finding, b: &Finding) -> bool {
    let of = |f: &Finding| (f.roof.clone(), f.verdict, f.design.clone(), f.source.clone(), f.caution);
    let of_place = |f: &Finding| {
        let (noun, place) = noun_and_place(f)?;
        f.statement.contains(place).then(|| (noun.to_owned(), f.statement.replacen(place, "#", 1)))
    };
    of(a) == of(b) && of_place(a).is_some() && of_place(a) == of_place(b)
}

/// One finding of those that say the same of several places: `the wall on the right, like that on the left, stands`.
fn at_places(group: &[&Finding]) -> Option<Finding> {
    let (&first, others) = group.split_first()?;
    let Some((noun, place)) = noun_and_place(first).filter(|_| !others.is_empty()) else { return Some(first.clone()) };
    let places: Vec<String> =
        group.iter().filter_map(|f| noun_and_place(f)).map(|(_, place)| place.to_owned()).collect();
    let like = if others.len() == 1 { "like that" } else { "like those" };
    let like = format!("{place}, {like} {}", wording::list(&places[1..]));
    let (before, after) = first.statement.split_once(place).unwrap_or((&first.statement, ""));
    let comma = if after.starts_with([',', '.', ';', ':']) { "" } else { "," };
    Some(Finding {
        subject: format!("{noun}s {}", wording::list(&places)),
        statement: format!("{before}{like}{comma}{after}"),
        ..first.clone()
    })
}

/// What was found alike of some roofs: in one line, or in one for all that is worded alike.
fn told_of(findings: &[&Finding], many: bool) -> Vec<Vec<Span>> {
    let Some(line) = told_together(findings, in_common) else {
        let mut worded: Vec<(String, Vec<&Finding>)> = Vec::new();
        for &finding in findings {
            let words = without_figures(&finding.statement);
            match worded.iter_mut().find(|(known, _)| *known == words) {
                Some((_, group)) => group.push(finding),
                None => worded.push((words, vec![finding])),
            }
        }
        let each = |f: &&Finding| titled(looked_at(f, many), answer(f));
        let told = worded.iter().flat_map(|(_, group)| match told_together(group, from_to) {
            Some(line) => vec![line],
            None => group.iter().map(each).collect(),
        });
        return told.collect();
    };
    vec![line]
}

/// What was found of several roofs in one line, as one sentence is made of those of each.
fn told_together(findings: &[&Finding], made: impl Fn(&[(String, String)]) -> Option<String>) -> Option<Vec<Span>> {
    let [first, _, ..] = findings else { return None };
    let names: Vec<&str> = findings.iter().map(|f| f.roof.as_deref().unwrap_or_default()).collect();
    let names = wording::without_what_all_say(&names);
    let told: Vec<(String, String)> =
        names.into_iter().zip(findings.iter().map(|f| for_readers(&f.statement))).collect();
    Some(titled(wording::capital(&first.subject), answer_in(first, made(&told)?)))
}

/// The words of a statement, of which those with figures are all one.
fn without_figures(statement: &str) -> String {
    let words = statement.split(' ').map(|word| if has_figure(word) { "#" } else { word });
    words.collect::<Vec<_>>().join(" ")
}

fn has_figure(word: &str) -> bool {
    word.contains(|sign: char| sign.is_ascii_digit())
}

/// Some sentences, each of a roof, that differ in figures alone: once, with the figures of each of a few roofs, or each figure from the
/// least to the most of many. None where what differs is no number.
fn from_to(told: &[(String, String)]) -> Option<String> {
    let words: Vec<Vec<&str>> = told.iter().map(|(_, words)| words.split(' ').collect()).collect();
    let (first, rest) = words.split_first()?;
    let differs = |n: usize| rest.iter().any(|w| w.get(n) != first.get(n));
    let names: Vec<String> = told.iter().map(|(name, _)| name.clone()).collect();
    let few = told.len() <= FEW_ROOFS;
    if !(0..first.len()).any(differs) {
        return Some(format!("{} This holds for {}.", first.join(" "), wording::list_of_roofs(&names)));
    }
    let ranged = |n: usize| {
        let all = words.iter().map(|words| words.get(n).and_then(|word| figure(word)));
        let all: Vec<(Decimal, &str)> = all.collect::<Option<_>>()?;
        let (least, most) = (all.iter().min()?.0, all.iter().max()?.0);
        let places = all.iter().map(|(figure, _)| figure.scale()).max()? as usize;
        let ranged = match few {
            true => wording::list(&all.iter().map(|(figure, _)| format!("{figure:.places$}")).collect::<Vec<_>>()),
            false => format!("{least:.places$} to {most:.places$}"),
        };
        Some(first[n].replace(figure(first[n])?.1, &ranged))
    };
    let word = |n: usize| if differs(n) { ranged(n) } else { Some(first[n].to_owned()) };
    let said: Vec<String> = (0..first.len()).map(word).collect::<Option<_>>()?;
    let of = wording::list_of_roofs(&names);
    let said = said.join(" ");
    Some(if few { format!("{of}, in this order. {said}") } else { format!("{of}, from the least to the most. {said}") })
}

/// The number that a word is but for brackets and points round it.
fn figure(word: &str) -> Option<(Decimal, &str)> {
    let bare = word.trim_matches(['(', ')', ',', ';', ':']).trim_end_matches('.');
    Some((bare.parse().ok()?, bare))
}

fn titled(title: String, answer: Vec<Span>) -> Vec<Span> {
    [vec![Span::bold(format!("{title}: "))], answer].concat()
}

/// Some sentences, each of a roof, as one: what they begin and end with alike is said once, and between them what each says for
/// itself, from the first word that differs on, whole clauses. None where they begin or end otherwise.
fn in_common(told: &[(String, String)]) -> Option<String> {
    let words: Vec<Vec<&str>> = told.iter().map(|(_, words)| words.split(' ').collect()).collect();
    let (first, rest) = words.split_first()?;
    let least = words.iter().map(Vec::len).min()?;
    let begun = (0..least).take_while(|&n| rest.iter().all(|w| w[n] == first[n])).count();
    let ended = (0..least - begun)
        .take_while(|&n| rest.iter().all(|w| w[w.len() - 1 - n] == first[first.len() - 1 - n]))
        .count();
    // A clause is not parted: what is said of each goes on to its end.
    let tail = &first[first.len() - ended..];
    let clause = tail.iter().position(|word| word.ends_with([',', '.', ';'])).map_or(0, |place| place + 1);
    let ended = ended - clause;
    if begun < LEAST_IN_COMMON || ended < LEAST_IN_COMMON {
        return None;
    }
    let own = |(name, words): (&str, &Vec<&str>)| {
        let own = words[begun..words.len() - ended].join(" ");
        format!("{} for {name}", own.trim_end_matches([',', '.', ';']))
    };
    let each: Vec<String> = told.iter().map(|(name, _)| name.as_str()).zip(&words).map(own).collect();
    let end = first[first.len() - ended..].join(" ");
    let stop = if end.starts_with(char::is_uppercase) { '.' } else { ';' };
    Some(format!("{} {}{stop} {end}", first[..begun].join(" "), each.join("; ")))
}

/// So many words are alike at the beginning and at the end of what is said together.
const LEAST_IN_COMMON: usize = 3;

fn looked_at(f: &Finding, many: bool) -> String {
    match f.roof.as_ref().filter(|_| many) {
        Some(roof) => format!("{roof}: {}", f.subject),
        None => wording::capital(&f.subject),
    }
}

fn answer(f: &Finding) -> Vec<Span> {
    answer_in(f, for_readers(&f.statement))
}

/// The answer in these words.
fn answer_in(f: &Finding, words: String) -> Vec<Span> {
    let rule = format!("{}: {}.", wording::capital(&for_readers(&f.design)), for_readers(&published(&f.source)));
    let verdict = Span::bold(format!("{}. ", in_words(f.verdict)));
    vec![verdict, Span::plain(words), Span::note(cell(rule))]
}

/// A source as a customer reads it: what is published, without how we know it.
fn published(source: &str) -> String {
    let known = [", cells from memory", ", figures from memory", ", from memory"];
    known.iter().fold(source.to_owned(), |words, known| words.replace(known, ""))
}

/// The verdict as somebody reads it who does not know the word.
const fn in_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "Good",
        Verdict::Fail => "Not good enough",
        Verdict::Refer => "To be settled",
    }
}

/// A finding's words as they are printed: units with their raised figures.
fn for_readers(words: &str) -> String {
    words.replace("m2", "m²").replace("m3", "m³")
}

/// The cautions of these findings, each once.
pub fn cautions(findings: &[&Finding]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for finding in findings {
        if !all.iter().any(|c| c == finding.caution) {
            all.push(finding.caution.to_owned());
        }
    }
    all
}
