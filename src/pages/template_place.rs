//! Where something stands in a template's text: the line and the column that a problem points to.
//!
//! Given a text and a word; gives a place in the form that `job_file::render` turns into a line and a caret. A name counts
//! only inside `{{ … }}` or `{% … %}`, and only as a whole word: the same letters in the prose are no use of it.

/// `line 3, column 7`, both from 1, columns in characters.
pub fn path(text: &str, byte: usize) -> String {
    let before = &text[..byte];
    let line = before.matches('\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    line_and_column(line, before[start..].chars().count())
}

/// A place from a line counted from 1 and a column counted from 0.
pub fn line_and_column(line: usize, column: usize) -> String {
    format!("line {line}, column {}", column + 1)
}

/// Where a name is first used.
pub fn of_name(text: &str, name: &str) -> Option<String> {
    tags(text).find_map(|(start, tag)| word(tag, name).map(|at| path(text, start + at)))
}

/// Where some words first stand: as a whole line or the head of a fenced block, else anywhere.
pub fn of_words(text: &str, words: &str) -> Option<String> {
    let words = words.trim();
    let head = |line: &str| line.trim().trim_start_matches(['`', '~']).trim() == words;
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if head(line) && !words.is_empty() {
            return line.find(words).map(|at| path(text, start + at));
        }
        start += line.len();
    }
    text.find(words).filter(|_| !words.is_empty()).map(|at| path(text, at))
}

/// The insides of the template's signs, each with its first byte.
fn tags(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let start = [text[at..].find("{{"), text[at..].find("{%")].into_iter().flatten().min()? + at + 2;
        let end = [text[start..].find("}}"), text[start..].find("%}")].into_iter().flatten().min();
        let end = end.map_or(text.len(), |n| start + n);
        at = end;
        Some((start, &text[start..end]))
    })
}

/// The first byte of a whole word that is neither in quotation marks nor behind a full stop.
fn word(tag: &str, name: &str) -> Option<usize> {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    tag.match_indices(name).map(|(at, _)| at).find(|&at| {
        let (before, after) = (&tag[..at], &tag[at + name.len()..]);
        let alone = !before.ends_with(|c| part(c) || c == '.') && !after.starts_with(part);
        let quoted = ['"', '\''].iter().any(|&quote| before.matches(quote).count() % 2 == 1);
        alone && !quoted
    })
}
