//! Where something stands in a template's text: the line and the column that a problem points to.
//!
//! Given a text and a word; gives a place that `job_file::render` turns into a line and a caret. A name counts
//! only inside `{{ … }}` or `{% … %}`, and only as a whole word: the same letters in the prose are no use of it.

use crate::model::Whereabouts;

/// Where a name is first used.
pub fn of_name(text: &str, name: &str) -> Option<Whereabouts> {
    tags(text).find_map(|(start, tag)| word(tag, name).map(|at| Whereabouts::of_byte(text, start + at)))
}

/// Where some words first stand: as a whole line or the head of a fenced block, else anywhere.
pub fn of_words(text: &str, words: &str) -> Option<Whereabouts> {
    let words = words.trim();
    let head = |line: &str| line.trim().trim_start_matches(['`', '~']).trim() == words;
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if head(line) && !words.is_empty() {
            return line.find(words).map(|at| Whereabouts::of_byte(text, start + at));
        }
        start += line.len();
    }
    text.find(words).filter(|_| !words.is_empty()).map(|at| Whereabouts::of_byte(text, at))
}

/// The insides of the template's signs, each with its first byte.
fn tags(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let first = |from: usize, sought: fn(&[u8]) -> bool| text.as_bytes()[from..].windows(2).position(sought);
        let start = at + first(at, |two| matches!(two, b"{{" | b"{%"))? + 2;
        let end = first(start, |two| matches!(two, b"}}" | b"%}")).map_or(text.len(), |n| start + n);
        at = end;
        Some((start, &text[start..end]))
    })
}

/// The first byte of a whole word that is neither in quotation marks nor behind a full stop.
fn word(tag: &str, name: &str) -> Option<usize> {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    let (mut read, mut open) = (0, [false; 2]);
    tag.match_indices(name).map(|(at, _)| at).find(|&at| {
        for (open, quote) in open.iter_mut().zip(['"', '\'']) {
            *open ^= tag[read..at].matches(quote).count() % 2 == 1;
        }
        read = at;
        let (before, after) = (&tag[..at], &tag[at + name.len()..]);
        let alone = !before.ends_with(|c| part(c) || c == '.') && !after.starts_with(part);
        alone && open == [false; 2]
    })
}
