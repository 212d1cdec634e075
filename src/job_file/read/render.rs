//! Problems as they are shown: the place, the line with a caret, what is wrong and what to write instead.
//!
//! Given problems and the texts of the files; gives text, plain unless colour is wanted. Only the one line that is
//! meant is shown, however long the file is.

use crate::job_file::loaded::{SourceText, Sources};
use crate::model::problem::Source;
use crate::model::words::{list, plural};
use crate::model::{Level, Problem, Whereabouts};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level as Shown, Origin, Renderer, Snippet};
use std::collections::BTreeSet;
use std::ops::Range;

/// Most of a line that is shown behind the place, in bytes.
const WIDEST: usize = 160;
/// A place further along its line than this, in bytes, is named but not shown.
const FURTHEST: usize = 1000;

/// The problems, one below the other, then how many there are.
pub fn render(problems: &[Problem], sources: &Sources, colour: bool) -> String {
    let mut text = render_each(problems, sources, colour);
    if !problems.is_empty() {
        text.push_str(&counted(problems, sources));
        text.push('\n');
    }
    text
}

/// The problems, one below the other.
pub fn render_each(problems: &[Problem], sources: &Sources, colour: bool) -> String {
    let renderer = match colour {
        true => Renderer::styled(),
        false => Renderer::plain(),
    }
    .decor_style(DecorStyle::Ascii);
    problems.iter().map(|problem| format!("{}\n\n", renderer.render(&[group(problem, sources)]))).collect()
}

/// The file that a problem is in.
pub(crate) fn source_of(sources: &Sources, source: Source) -> Option<&SourceText> {
    match source {
        Source::Job => Some(&sources.job),
        Source::Firm => sources.firm.as_ref(),
        Source::Prices(n) => sources.prices.get(n),
        Source::Stock => sources.stock.as_ref(),
        Source::List(n) => sources.lists.iter().find(|list| list.0 == n).map(|list| &list.1),
        Source::Own(n) => sources.own.get(n),
        Source::Record => sources.record.as_ref(),
    }
}

/// The name of the file that a problem is in.
pub fn name_of(sources: &Sources, source: Source) -> Option<&str> {
    Some(source_of(sources, source)?.name.as_str())
}

/// The bytes that a problem points to; `None` where it is about the file as a whole.
pub(crate) fn target(problem: &Problem, file: &SourceText) -> Option<Range<usize>> {
    bytes_at(&problem.place, &problem.fault, file)
}

/// The bytes of a place, where a problem with this fault points to it.
fn bytes_at(place: &Whereabouts, fault: &str, file: &SourceText) -> Option<Range<usize>> {
    match place {
        Whereabouts::WholeFile => None,
        Whereabouts::Setting(path) => file.places.as_ref()?.find(path, fault),
        Whereabouts::Text { line, column } => Some(byte_of(&file.text, *line, *column)),
    }
}

/// Gives each problem that is about a character the place where the character stands, if it stands in one of the files as
/// it is and not in a comment.
pub fn find_characters(problems: &mut [Problem], sources: &Sources) {
    for problem in problems.iter_mut().filter(|problem| problem.place == Whereabouts::WholeFile) {
        let place = problem.about.and_then(|character| place_of(character, sources));
        if let Some((source, line, column)) = place {
            problem.source = source;
            problem.place = Whereabouts::Text { line, column };
        }
    }
}

/// File, line and column of a character, both from 1.
fn place_of(character: char, sources: &Sources) -> Option<(Source, usize, usize)> {
    let prices = (0..sources.prices.len()).map(Source::Prices);
    let own = (0..sources.own.len()).map(Source::Own);
    let shared = [Source::Job, Source::Record, Source::Firm];
    shared.into_iter().chain(prices).chain([Source::Stock]).chain(own).find_map(|source| {
        // In a template, `#` begins a heading.
        let comments = !matches!(source, Source::Own(_));
        source_of(sources, source)?.text.lines().enumerate().find_map(|(line, words)| {
            let at = words.find(character).filter(|_| !(comments && words.trim_start().starts_with('#')))?;
            Some((source, line + 1, words[..at].chars().count() + 1))
        })
    })
}

/// Where a line starts, counted from 1; the end where there is none. Line ends are counted a stretch at a time: a list may have a
/// million lines with nothing on them, and problems in hundreds of others.
fn start_of(text: &str, line: usize) -> usize {
    const STRETCH: usize = 4096;
    let ends = |bytes: &[u8]| bytes.iter().filter(|b| **b == b'\n').count();
    let (mut before, mut at) = (line.saturating_sub(1), 0);
    for stretch in text.as_bytes().chunks(STRETCH) {
        let here = ends(stretch);
        if here >= before {
            break;
        }
        before -= here;
        at += stretch.len();
    }
    let rest = &text.as_bytes()[at..];
    let mut found = rest.iter().enumerate().filter(|(_, b)| **b == b'\n').map(|(n, _)| at + n + 1);
    match before {
        0 => at,
        n => found.nth(n - 1).unwrap_or(text.len()),
    }
}

fn byte_of(text: &str, line: usize, column: usize) -> Range<usize> {
    let start = start_of(text, line);
    let rest = text[start..].lines().next().unwrap_or_default();
    let at = rest.char_indices().nth(column.saturating_sub(1)).map_or(rest.len(), |(i, _)| i);
    let word = rest[at..].find([' ', ':', ',']).filter(|n| *n > 0).unwrap_or(rest.len() - at);
    start + at..start + at + word
}

fn group<'a>(problem: &'a Problem, sources: &'a Sources) -> Group<'a> {
    let level = match problem.level {
        Level::Fault => Shown::ERROR.with_name("problem"),
        Level::Warning => Shown::WARNING,
        Level::Assumed => Shown::INFO.with_name("assumed"),
        Level::Silenced => Shown::NOTE.with_name("silenced"),
    };
    let title = level.primary_title(fault_named(problem));
    let help = Shown::HELP.message(problem.cure.as_str());
    let Some(source) = source_of(sources, problem.source) else {
        return Group::with_title(title).element(help);
    };
    let Some(at) = target(problem, source).filter(|_| !source.text.is_empty()) else {
        return Group::with_title(title).element(Origin::path(source.name.as_str())).element(help);
    };
    let (line, number, span) = line_at(&source.text, at);
    let shown = if span.start > FURTHEST {
        let column = line[..span.start].chars().count() + 1;
        Group::with_title(title).element(Origin::path(source.name.as_str()).line(number).char_column(column))
    } else {
        let snippet = Snippet::source(line).line_start(number).path(source.name.as_str());
        Group::with_title(title).element(snippet.annotation(AnnotationKind::Primary.span(span)))
    };
    match other_lines(problem, source, number) {
        Some(lines) => shown.element(Shown::NOTE.message(lines)).element(help),
        None => shown.element(help),
    }
}

/// `also at lines 45 and 67`: where else a problem stands than in the line that is shown.
fn other_lines(problem: &Problem, file: &SourceText, shown: usize) -> Option<String> {
    let line = |place: &Whereabouts| Some(line_at(&file.text, bytes_at(place, &problem.fault, file)?).1);
    let lines: BTreeSet<usize> = problem.also.iter().filter_map(line).filter(|n| *n != shown).collect();
    let numbers: Vec<String> = lines.iter().map(usize::to_string).collect();
    let word = if numbers.len() == 1 { "line" } else { "lines" };
    (!numbers.is_empty()).then(|| format!("also at {word} {}", list(&numbers)))
}

/// The fault; of a warning that may be silenced, with the name that silences it.
pub fn fault_named(problem: &Problem) -> String {
    match problem.warned.filter(|warned| warned.may_be_silenced()) {
        Some(warned) => format!("{} ({})", problem.fault, warned.name()),
        None => problem.fault.clone(),
    }
}

/// The line that holds the start of a span, its number, and the span within it.
fn line_at(text: &str, at: Range<usize>) -> (&str, usize, Range<usize>) {
    let start = text[..at.start].rfind('\n').map_or(0, |n| n + 1);
    let end = text[start..].find('\n').map_or(text.len(), |n| start + n);
    let number = text.as_bytes()[..start].iter().filter(|b| **b == b'\n').count() + 1;
    let line = text[start..end].trim_end();
    let from = (at.start - start).min(line.len());
    let to = (at.end.max(at.start + 1) - start).clamp(from, line.len().max(from));
    let cut = cut(line, from);
    (&line[..cut.max(to.min(cut))], number, from.min(cut)..to.min(cut))
}

/// Where a long line is cut off: behind the span's start, on a character.
fn cut(line: &str, from: usize) -> usize {
    let mut at = (from + WIDEST).min(line.len());
    while !line.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// `3 problems and 1 warning in jobs/x/job.yaml`.
pub fn counted(problems: &[Problem], sources: &Sources) -> String {
    let mut files: Vec<Source> = problems.iter().map(|p| p.source).collect();
    files.sort_unstable();
    files.dedup();
    let lines: Vec<String> = files.iter().map(|file| count_in(problems, *file, sources)).collect();
    lines.join("\n")
}

fn count_in(problems: &[Problem], file: Source, sources: &Sources) -> String {
    let of = |level| problems.iter().filter(|p| p.source == file && p.level == level).count();
    let kinds = [
        (of(Level::Fault), "problem", "problems"),
        (of(Level::Warning), "warning", "warnings"),
        (of(Level::Assumed), "assumption", "assumptions"),
        (of(Level::Silenced), "silenced warning", "silenced warnings"),
    ];
    let said: Vec<String> = kinds.iter().filter(|k| k.0 > 0).map(|(n, one, many)| plural(*n, one, many)).collect();
    let name = match source_of(sources, file) {
        Some(source) => source.name.clone(),
        None if file == Source::Firm => "the firm file".to_owned(),
        None => "a file".to_owned(),
    };
    format!("{} in {name}", crate::job_file::read::suggest::listed(&said, "and"))
}
