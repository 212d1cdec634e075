//! What the parser stumbled over, in the words of whoever typed the file.
//!
//! Given the text and the parser's error; gives the problem: its place, what is wrong there and what to type. The same error has
//! several causes, so the line and the one above it are looked at. Spaces that only look like spaces are looked for first: a
//! parser takes them for letters, and blames something else.

use super::guard::DEEPEST;
use crate::model::words::plural;
use crate::model::{Problem, Whereabouts};
use granit_parser::{ErrorKind, ScanError};

/// A cure shows a value in quotes up to so many letters.
const SHOWN: usize = 60;

/// The fault and the cure.
type FaultWords = (String, String);

/// FaultWords for what the parser could not read.
pub(super) fn unreadable(text: &str, error: &ScanError) -> Box<Problem> {
    let at = error.marker().byte_offset().unwrap_or(0).min(text.len());
    if let Some(odd) = odd_space_near(text, at) {
        return odd_space(text, odd);
    }
    let here = Stumble { text, at };
    let (fault, cure) = match error.kind() {
        ErrorKind::RecursionLimitExceeded => told(too_deep()),
        ErrorKind::DirectiveDisallowed => {
            told(("a line that begins with `%` is not used here", "take the line out, or put the value in quotes"))
        }
        ErrorKind::UnknownAnchor => {
            told(("a value cannot begin with `*`: YAML takes it for a reference", "put the value in quotes"))
        }
        _ if here.lacks_a_space() => {
            told(("there is no space after the colon here", "write `name: value`, with a space after the colon"))
        }
        kind => {
            here.of_layout(kind).or_else(|| of_brackets(kind)).or_else(|| here.of_value(kind)).unwrap_or_else(|| {
                told((
                    format!("this is not YAML that can be read: {kind}"),
                    "look at this line and the one above: indentation, a missing colon or space, quotes, brackets",
                ))
            })
        }
    };
    Box::new(Problem::fault(Whereabouts::of_byte(text, at), fault, cure))
}

fn told((fault, cure): (impl Into<String>, impl Into<String>)) -> FaultWords {
    (fault.into(), cure.into())
}

// ---- Spaces that are none ----------------------------------------------------------------------------------------------

/// A sign that looks like a space, or like nothing, and is neither a space nor a tab to YAML.
fn is_odd_space(c: char) -> bool {
    c.is_whitespace() && !c.is_ascii() || matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}')
}

/// The problem of an odd space.
pub(super) fn odd_space(text: &str, at: usize) -> Box<Problem> {
    let found = text[at..].chars().next().unwrap_or_default();
    let number = u32::from(found);
    let fault = match found {
        '\u{a0}' | '\u{202f}' | '\u{2007}' => {
            format!("the space here is one that does not break (U+{number:04X}), as web pages and PDFs have it")
        }
        _ => format!("what stands here looks like a space and is none (U+{number:04X})"),
    };
    let cure = match text[..at].rsplit('\n').next().unwrap_or_default().trim().is_empty() {
        true => "delete the line's beginning up to its first letter, and type as many ordinary spaces",
        false => "delete it and type an ordinary space; a value in quotes may hold it",
    };
    Box::new(Problem::fault(Whereabouts::of_byte(text, at), fault, cure))
}

/// The first odd space that holds a line up, in the line that the parser stumbled over, the one above and the one below.
fn odd_space_near(text: &str, at: usize) -> Option<usize> {
    let number = text[..at].matches('\n').count();
    let mut start = 0;
    for (n, line) in text.split_inclusive('\n').enumerate().take(number + 2) {
        if n + 1 >= number
            && let Some(odd) = odd_space_of(line)
        {
            return Some(start + odd);
        }
        start += line.len();
    }
    None
}

/// Where a line has an odd space in its indentation, behind a `-` or behind the colon of its name.
fn odd_space_of(line: &str) -> Option<usize> {
    let blank = |c: char| c == ' ' || c == '-';
    let first = line.len() - line.trim_start_matches(blank).len();
    let rest = &line[first..];
    if line.trim().is_empty() || rest.starts_with('#') {
        return None;
    }
    if rest.starts_with(is_odd_space) {
        return Some(first);
    }
    let name = rest.find(|c: char| !c.is_alphanumeric() && c != '_')?;
    let behind = rest[name..].strip_prefix(':')?;
    (name > 0 && behind.starts_with(is_odd_space)).then_some(first + name + 1)
}

/// Where an odd space stands at the beginning of a key, where the parser took it for a letter.
pub(super) fn odd_space_in_key(text: &str, at: usize) -> Option<usize> {
    let key = text.get(at..)?;
    let dash = if key.starts_with('-') { 1 } else { 0 };
    key[dash..].starts_with(is_odd_space).then_some(at + dash)
}

/// Where an odd space behind a colon made one value of a name and what stands behind it; the value begins at this byte.
pub(super) fn odd_space_in_value(text: &str, at: usize) -> Option<usize> {
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let begins = text[start..at].chars().all(|c| c == ' ');
    let line = text.get(start..)?.lines().next()?;
    odd_space_of(line).filter(|_| begins).map(|odd| start + odd)
}

// ---- One cause after the other -----------------------------------------------------------------------------------------

/// Where the parser stumbled.
struct Stumble<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Stumble<'t> {
    fn start(&self) -> usize {
        self.text[..self.at].rfind('\n').map_or(0, |n| n + 1)
    }

    /// The line.
    fn line(&self) -> &'t str {
        self.text[self.start()..].lines().next().unwrap_or_default()
    }

    /// What stands before it in its line.
    fn before(&self) -> &'t str {
        &self.text[self.start()..self.at]
    }

    /// The nearest line above that says something.
    fn above(&self) -> Option<&'t str> {
        let says = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
        self.text[..self.start()].lines().rev().find(says)
    }

    fn first(&self) -> char {
        self.text[self.at..].chars().next().unwrap_or_default()
    }

    /// Whether the line is of the form `name:value`.
    fn lacks_a_space(&self) -> bool {
        let line = self.line().trim_start_matches([' ', '-']);
        let word = name_length(line);
        word > 0 && line[word..].starts_with(':') && line[word + 1..].starts_with(|c: char| !c.is_whitespace())
    }

    /// A line that begins where nothing above it does, lacks its colon, or goes on behind its value.
    fn of_layout(&self, kind: &ErrorKind) -> Option<FaultWords> {
        match kind {
            ErrorKind::MappingValueNotAllowed => Some(self.colon()),
            ErrorKind::SimpleKeyExpected => Some(told(no_colon("this line"))),
            ErrorKind::ExpectedBlockMappingKey if self.before().trim_end().ends_with('-') => Some(told((
                "an entry of a list stands where a name should",
                "write the name of the list on a line above its entries, as in `roofs:`, or take the `-` out",
            ))),
            ErrorKind::ExpectedBlockMappingKey | ErrorKind::ExpectedBlockSequenceEntry => {
                Some(match self.before().trim().is_empty() {
                    true => self.out_of_line(),
                    false => behind("the value"),
                })
            }
            ErrorKind::InvalidIndentation | ErrorKind::ExpectedDocumentStart => Some(self.out_of_line()),
            ErrorKind::CommentInterceptedScalar => Some(told((
                "the line below is indented further than this one, as if it went on behind the comment",
                "indent it as the other settings of its group",
            ))),
            _ => None,
        }
    }

    /// A colon where no name can stand before it.
    fn colon(&self) -> FaultWords {
        let line = self.line().trim_start_matches([' ', '-']);
        let name = name_length(line);
        let behind = self.before().trim_start_matches([' ', '-']).get(name + 1..).map(str::trim);
        if name > 0 && line[name..].starts_with(": ") && behind.is_some_and(|value| !value.is_empty()) {
            let value = line[name + 1..].split(" #").next().unwrap_or_default().trim();
            let plain = value.len() <= SHOWN && !value.contains(['"', '\\']);
            let shown = if plain { format!(": `{}: \"{value}\"`", &line[..name]) } else { String::new() };
            return (
                "there is a second colon in this value".to_owned(),
                format!("put the whole value in quotes{shown}"),
            );
        }
        match self.above() {
            Some(above) if !above.contains(": ") && !above.trim_end().ends_with(':') => {
                told(no_colon("the line above"))
            }
            _ => self.out_of_line(),
        }
    }

    fn out_of_line(&self) -> FaultWords {
        let by =
            |n: usize| if n == 0 { "not at all".to_owned() } else { format!("by {}", plural(n, "space", "spaces")) };
        let indent = |line: &str| line.len() - line.trim_start_matches(' ').len();
        let fault = match indent(self.line()) {
            0 => "this line is not indented, which fits nothing above it".to_owned(),
            n => format!("this line is indented {}, which fits nothing above it", by(n)),
        };
        let above = self.above().map(|line| (line, line.len() - line.trim_start_matches([' ', '-']).len()));
        let named = above.and_then(|(line, at)| {
            let name = name_length(&line[at..]);
            (name > 0).then(|| format!(": {}, if it belongs with `{}`", by(at), &line[at..at + name]))
        });
        (fault, format!("indent it as the other settings of its group{}", named.unwrap_or_default()))
    }

    /// A value that begins or ends as none can.
    fn of_value(&self, kind: &ErrorKind) -> Option<FaultWords> {
        let quotes = "put the value in quotes";
        Some(match kind {
            ErrorKind::UnexpectedCharacter { character } => {
                told((format!("a value cannot begin with `{character}`"), quotes))
            }
            ErrorKind::MappingKeyNotAllowed
            | ErrorKind::InvalidBlockScalarHeader
            | ErrorKind::PlainScalarStartsWithDashFlowIndicator => {
                told((format!("a value cannot begin with `{}`", self.first()), quotes))
            }
            ErrorKind::UnexpectedEofBlockMapping if self.first() == ',' => {
                told(("a value cannot begin with `,`", quotes))
            }
            ErrorKind::BlockSequenceEntryNotAllowed => told((
                "a list with `-` cannot begin behind a name on its line",
                "write each entry on a line of its own below, or all of them as `[one, another]`",
            )),
            ErrorKind::UnclosedQuotedScalar => told((
                format!("the quote `{}` that opens here is not closed", self.first()),
                "close it behind the value",
            )),
            ErrorKind::InvalidTrailingDoubleQuotedScalar => behind("the closing quote"),
            ErrorKind::InvalidTrailingSingleQuotedScalar => told((
                "something stands behind the closing quote",
                "put all of the value in quotes: in double ones where it holds an apostrophe",
            )),
            ErrorKind::UnknownQuotedScalarEscape | ErrorKind::InvalidQuotedScalarHexEscape => told((
                "a backslash in double quotes has a meaning of its own",
                "write it twice, or put the value in single quotes",
            )),
            ErrorKind::TabInPlainScalar
            | ErrorKind::TabNotAllowed
            | ErrorKind::TabInIndentation
            | ErrorKind::TabInBlockIndentation => {
                told(("there is a tab here or in the line below", "type spaces in its place"))
            }
            _ => return None,
        })
    }
}

fn no_colon(which: &str) -> (String, &'static str) {
    (format!("there is no colon in {which}"), "write `name: value`, with a space after the colon")
}

fn behind(what: &str) -> FaultWords {
    (
        format!("something stands behind {what} here"),
        "take it out, or put it and what stands before it in one pair of quotes".to_owned(),
    )
}

/// Brackets that do not match, and what stands between them.
fn of_brackets(kind: &ErrorKind) -> Option<FaultWords> {
    let closed_by = |open: char| if open == '[' { ']' } else { '}' };
    let between = "between two entries there is a comma, behind the last the closing bracket; a value with a comma or a colon is put \
                   in quotes";
    Some(match kind {
        ErrorKind::MismatchedFlowCollectionEnd { open, close } => told((
            format!("the bracket `{open}` that opens here is closed by `{close}`"),
            format!("close it with `{}` behind its last entry", closed_by(*open)),
        )),
        ErrorKind::UnclosedFlowCollection { open } => told((
            format!("the bracket `{open}` that opens here is not closed"),
            format!("close it with `{}` behind its last entry", closed_by(*open)),
        )),
        ErrorKind::MisplacedFlowCollectionEnd => told(("this bracket closes none that is open", "take it out")),
        ErrorKind::ExpectedFlowMappingSeparator => told(("a comma or the closing `}` is missing before this", between)),
        ErrorKind::ExpectedFlowSequenceSeparator | ErrorKind::InvalidColonPlacement => {
            told(("a comma or the closing `]` is missing before this", between))
        }
        ErrorKind::BlockEntryInFlowCollection => told((
            "a line with `-` stands within a bracket that was opened above and is not closed",
            "close that bracket, with `]` or `}`",
        )),
        _ => return None,
    })
}

/// How many bytes of the line are the name that it begins with.
fn name_length(line: &str) -> usize {
    line.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(0)
}

/// Nested deeper than anybody writes.
pub(super) fn too_deep() -> (String, &'static str) {
    (format!("settings are nested more than {DEEPEST} deep here"), "take the extra brackets or indentation out")
}
