//! What a firm's own template may say between its signs, and how much work it is to fill it.
//!
//! Given a template's text; gives every sign that a template of ours has no use for, in its place, and the number of steps that
//! filling it takes. The engine can count, cut, join and call; a template of ours fills in, asks and walks, so that its work
//! is known before it begins and its text grows no faster than what it prints.

use crate::model::limits;
use crate::model::{Problem, Whereabouts};
use std::collections::BTreeMap;

/// Most steps that it takes to fill a template: each sign counts as often as the loops around it turn.
pub(crate) const MOST_STEPS: u64 = limits::TEMPLATE_STEPS.most as u64 * 1_000_000;
/// How often a loop is taken to turn that walks something of which no length is known: a text, sign by sign.
const UNKNOWN: u64 = 10_000;
/// Of so many the first are told: where each stands is counted off from the beginning of the text.
const MOST_TOLD: usize = 100;
/// Deepest that templates are filled into one another.
const DEEPEST: usize = 8;

const KINDS: [&str; 7] = ["if", "elif", "else", "endif", "for", "endfor", "include"];
const WORDS: [&str; 9] = ["and", "or", "not", "in", "is", "if", "else", "true", "false"];

/// One sign of a template: what stands in it, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign<'t> {
    /// `{{ … }}`.
    Text(usize, &'t str),
    /// `{% … %}`.
    Order(usize, &'t str),
}

impl<'t> Sign<'t> {
    /// The first word and what follows it; nothing where a text is put in.
    fn order(self) -> (&'t str, &'t str) {
        let Sign::Order(_, inside) = self else { return ("", "") };
        let inside = inside.trim_matches(|c: char| c.is_whitespace() || c == '-');
        let end = inside.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(inside.len());
        (&inside[..end], inside[end..].trim())
    }
}

/// The signs of a template, in order; what is commented out is none.
fn signs(text: &str) -> impl Iterator<Item = Sign<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let opens = |two: &[u8]| matches!(two, b"{{" | b"{%" | b"{#");
            let start = at + text.as_bytes()[at..].windows(2).position(opens)?;
            let kind = text.as_bytes()[start + 1];
            let (from, close) = (
                start + 2,
                match kind {
                    b'{' => "}}",
                    b'%' => "%}",
                    _ => "#}",
                },
            );
            let end = end_of(&text[from..], close, kind != b'#').map_or(text.len(), |n| from + n);
            at = (end + 2).min(text.len());
            let inside = &text[from..end];
            match kind {
                b'{' => return Some(Sign::Text(from, inside)),
                b'%' => return Some(Sign::Order(from, inside)),
                _ => {}
            }
        }
    })
}

/// Where a sign closes; signs in quotation marks do not count.
fn end_of(text: &str, close: &str, quotes: bool) -> Option<usize> {
    let mut quote = None;
    for (at, c) in text.char_indices() {
        match (quote, c) {
            (Some(open), c) if open == c => quote = None,
            (None, '"' | '\'' | '`') if quotes => quote = Some(c),
            (None, _) if text[at..].starts_with(close) => return Some(at),
            _ => {}
        }
    }
    None
}

/// Everything between the signs of a template that is more than filling in, asking and walking.
pub(crate) fn beyond(title: &str, text: &str) -> Vec<Problem> {
    let mut found = Vec::new();
    for sign in signs(text) {
        let (start, inside) = match sign {
            Sign::Text(start, inside) | Sign::Order(start, inside) => (start, inside),
        };
        let (kind, rest) = sign.order();
        let wrong = match sign {
            Sign::Order(..) if !KINDS.contains(&kind) => Some((inside.find(kind).unwrap_or(0), kind.to_owned())),
            Sign::Order(..) if kind == "for" => (!walks(rest)).then(|| (0, rest.to_owned())),
            _ => more_than_a_name(inside),
        };
        if let Some((at, what)) = wrong {
            let fault = format!("{title} says `{what}` here, and a template only fills in, asks and walks");
            let cure = "`{{ name }}`, `{% if name and not other %} … {% endif %}` and `{% for line in names %} … \
                        {% endfor %}` are all that is wanted: every text comes ready to be printed";
            found.push(Problem::fault(Whereabouts::of_byte(text, start + at), fault, cure));
            if found.len() == MOST_TOLD {
                break;
            }
        }
    }
    found
}

/// Whether a loop is of the form `line in names`.
fn walks(rest: &str) -> bool {
    walked(rest).is_some()
}

/// What a loop walks.
fn walked(rest: &str) -> Option<&str> {
    let words: Vec<&str> = rest.split_whitespace().collect();
    let name = |word: &str| word.chars().all(|c| c.is_alphanumeric() || c == '_');
    match words.as_slice() {
        [each, "in", all] if name(each) && name(all) => Some(all),
        _ => None,
    }
}

/// The first thing in a sign that is neither a name, a word that joins, nor a comparison; with its place.
fn more_than_a_name(inside: &str) -> Option<(usize, String)> {
    let mut called = false;
    let mut at = 0;
    while let Some(c) = inside[at..].chars().next() {
        let rest = &inside[at..];
        let length = match c {
            '"' | '\'' | '`' => 1 + rest[1..].find(c).map_or(rest.len() - 1, |n| n + 1),
            c if c.is_alphanumeric() || c == '_' => {
                let end = rest.find(|c: char| !c.is_alphanumeric() && !matches!(c, '_' | '.')).unwrap_or(rest.len());
                called = !WORDS.contains(&&rest[..end]) && !KINDS.contains(&&rest[..end]);
                at += end;
                continue;
            }
            '=' | '!' | '<' | '>' | ')' => 1,
            '(' if !called => 1,
            // A hyphen at either end takes white space away.
            '-' if at == 0 || rest == "-" => 1,
            c if c.is_whitespace() => {
                at += c.len_utf8();
                continue;
            }
            _ => {
                let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
                return Some((at, rest[..end].to_owned()));
            }
        };
        called = false;
        at += length;
    }
    None
}

/// How many steps it takes to fill a template, with those that are filled into it. `text_of` gives the text of each, `length`
/// the length of each list.
pub(crate) fn steps<'t>(
    name: &str,
    text_of: &impl Fn(&str) -> Option<&'t str>,
    lengths: &BTreeMap<&'static str, usize>,
) -> u64 {
    steps_in(name, text_of, lengths, 0)
}

fn steps_in<'t>(
    name: &str,
    text_of: &impl Fn(&str) -> Option<&'t str>,
    lengths: &BTreeMap<&'static str, usize>,
    depth: usize,
) -> u64 {
    let Some(text) = text_of(name) else { return 1 };
    if depth > DEEPEST {
        return MOST_STEPS + 1;
    }
    let mut turns: Vec<u64> = vec![1];
    let mut steps = 0_u64;
    for sign in signs(text) {
        let now = turns.last().copied().unwrap_or(1);
        let (kind, rest) = sign.order();
        let own = match kind {
            "include" => steps_in(rest.trim_matches(['"', '\'', '`']), text_of, lengths, depth + 1),
            _ => 1,
        };
        steps = steps.saturating_add(now.saturating_mul(own));
        match kind {
            "for" => {
                let length = walked(rest).and_then(|all| lengths.get(all)).map_or(UNKNOWN, |n| *n as u64);
                turns.push(now.saturating_mul(length));
            }
            "endfor" if turns.len() > 1 => drop(turns.pop()),
            _ => {}
        }
        if steps > MOST_STEPS {
            break;
        }
    }
    steps
}
