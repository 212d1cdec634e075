//! Reads settings off the outline of a file, and goes on after every problem.
//!
//! Given the places of a file; gives raw values, each missing, bad or given. A wrong kind or a bad value becomes a problem
//! with its path and never ends the reading. Single values are always read as the text that was written: `12.10` never
//! becomes a floating-point number, and `no` stays a word.

use super::form::{Form, Formed, Writing};
use super::places::{Places, YamlKind};
use super::suggest;
use crate::model::problem::Source;
use crate::model::{Level, Problem, SettingPath};
use std::cell::RefCell;

/// So few keys are listed beside the home of one that is in the wrong place.
const FEW: usize = 8;

/// Most problems that are kept of one file.
const MOST_KEPT: usize = 200;

/// A setting of the file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) enum Slot<T> {
    /// Not in the file.
    #[default]
    Missing,
    /// In the file, but wrong; the problem has been told.
    Bad,
    /// In the file.
    Given(T),
}

impl<T> Slot<T> {
    /// The value, if it is there and good.
    pub(crate) fn given(&self) -> Option<&T> {
        match self {
            Slot::Given(v) => Some(v),
            _ => None,
        }
    }

    /// The value itself, if it is there and good.
    pub(crate) fn take(self) -> Option<T> {
        match self {
            Slot::Given(v) => Some(v),
            _ => None,
        }
    }

    /// Whether the file says nothing.
    pub(crate) fn is_missing(&self) -> bool {
        matches!(self, Slot::Missing)
    }

    /// Whether the file says something wrong.
    pub(crate) fn is_bad(&self) -> bool {
        matches!(self, Slot::Bad)
    }

    /// The value, or what is taken where the file says nothing. A bad value gives the same; its problem stands.
    pub(crate) fn or_taken(self, taken: T, tell: impl FnOnce()) -> T {
        match self {
            Slot::Given(v) => v,
            Slot::Bad => taken,
            Slot::Missing => {
                tell();
                taken
            }
        }
    }
}

/// What is wrong with one value, in words: fault and cure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wrong {
    /// What is wrong.
    pub fault: String,
    /// What to write instead.
    pub cure: String,
}

/// Shorthand for a wrong value.
pub(crate) fn wrong<T>(fault: impl Into<String>, cure: impl Into<String>) -> Result<T, Wrong> {
    Err(Wrong { fault: fault.into(), cure: cure.into() })
}

/// The problems of one file while it is read.
#[derive(Debug)]
pub(crate) struct Reader<'a> {
    /// The places of the file.
    pub places: &'a Places,
    /// Which file.
    pub source: Source,
    /// In which groups of any file a key stands, in words.
    homes: fn(&str) -> Vec<&'static str>,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> Reader<'a> {
    /// A reader of one file.
    pub(crate) fn new(places: &'a Places, source: Source, homes: fn(&str) -> Vec<&'static str>) -> Reader<'a> {
        Reader { places, source, homes, problems: RefCell::new(Vec::new()) }
    }

    /// Whether so many problems were told that no more are kept.
    pub(crate) fn is_full(&self) -> bool {
        self.problems.borrow().len() >= MOST_KEPT
    }

    /// Reads the whole file as one value.
    pub(crate) fn read<T: FromFile>(self) -> (Slot<T>, Vec<Problem>) {
        let value = setting(At { reader: &self, node: 0 });
        (value, self.problems.into_inner())
    }
}

/// One place of a file that is being read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At<'a> {
    reader: &'a Reader<'a>,
    node: u32,
}

impl<'a> At<'a> {
    /// The places of a list or group, in their order.
    pub(crate) fn entries(self) -> impl Iterator<Item = At<'a>> {
        self.reader.places.children(self.node).iter().map(move |&node| At { reader: self.reader, node })
    }

    /// The key; nothing for an entry of a list.
    pub(crate) fn key(self) -> &'a str {
        self.reader.places.key(self.node).unwrap_or_default()
    }

    /// Whether its key stands in the same group before it.
    pub(crate) fn is_again(self) -> bool {
        self.reader.places.is_again(self.node)
    }

    /// Whether no more problems are kept of this file.
    pub(crate) fn is_full(self) -> bool {
        self.reader.is_full()
    }

    /// What a single value says.
    pub(crate) fn text(self) -> &'a str {
        self.reader.places.text(self.node)
    }

    /// What stands here.
    pub(crate) fn kind(self) -> YamlKind {
        self.reader.places.kind(self.node)
    }

    /// The name of the place: its key, or which entry of a list it is.
    pub(crate) fn name(self) -> String {
        self.reader.places.name(self.node)
    }

    /// What the words call it: its key, or of a point and a size which of its two lengths it is.
    pub(crate) fn called(self) -> String {
        match self.reader.places.entry_of(self.node) {
            Some((key @ ("at" | "size"), 0)) => format!("`{key}` along the front"),
            Some((key @ ("at" | "size"), 1)) => format!("`{key}` up the roof"),
            Some((key, n)) => format!("entry {} of `{key}`", n + 1),
            None => format!("`{}`", self.name()),
        }
    }

    /// The path of the place.
    pub(crate) fn path(self) -> SettingPath {
        self.reader.places.path(self.node)
    }

    /// Tells a fault of the value here.
    pub(crate) fn fault(self, fault: impl Into<String>, cure: impl Into<String>) {
        if self.reader.is_full() {
            return;
        }
        self.tell(Problem::fault(self.path(), fault, cure));
    }

    /// Tells a fault of a setting in the group here.
    pub(crate) fn fault_in(self, key: &'static str, fault: impl Into<String>, cure: impl Into<String>) {
        self.tell(Problem::fault(self.path().key(key), fault, cure));
    }

    /// Tells that a key here is not known; gives the known key that was probably meant.
    pub(crate) fn unknown(self, key: &str, what: &str, known: &[&str]) -> Option<String> {
        if self.reader.is_full() {
            return None;
        }
        let key: String = key.chars().take(60).collect();
        let homes = (self.reader.homes)(&key);
        let before = self.reader.places.before(self.node).map(|node| self.reader.places.text(node));
        let meant = before.and_then(|before| suggest::parted_by_comma(before, &key));
        if meant.is_some() {
            // What stands before the comma was told as a value of its own: both have one cause.
            let before = self.reader.places.before(self.node).map(|node| self.reader.places.path(node));
            let is = |p: &Problem| before.as_ref().is_some_and(|path| p.place == path.clone().into());
            self.reader.problems.borrow_mut().retain(|p| !is(p));
        }
        let called = suggest::called(&key, known);
        let cure = match &homes[..] {
            _ if key.starts_with(|c: char| c.is_ascii_digit()) => match meant {
                Some(meant) => format!("a comma parts settings here: write `{meant}`"),
                None => "a comma parts settings here: write a number without one".to_owned(),
            },
            [_, _, _, ..] if called.is_none() => {
                "it is a setting of several smaller groups: move it into the one that is meant, or take it out"
                    .to_owned()
            }
            // As it is written it is a setting of another group, and one of these but for a letter.
            [one] if called.is_none() && suggest::is_slip(&key, known) && self.kind() == YamlKind::Text => {
                format!("it stands in {one}: move it there; or {}", suggest::cure(&key, known))
            }
            _ if called.is_some() || suggest::is_slip(&key, known) => match (called, self.kind()) {
                (Some(called), YamlKind::Text) if self.text().chars().count() < 40 => {
                    format!("write `{called}: {}`", self.text().trim())
                }
                _ => suggest::cure(&key, known),
            },
            [..] if known.len() <= FEW && !homes.is_empty() && homes.len() <= 2 => {
                let home = suggest::listed(&homes.iter().map(|h| (*h).to_owned()).collect::<Vec<_>>(), "and in");
                format!("it stands in {home}; {}", suggest::cure(&key, known))
            }
            [one] => format!("it stands in {one}: move it there, or take it out"),
            [one, other] => format!("it stands in {one} and in {other}: move it there, or take it out"),
            _ => suggest::cure(&key, known),
        };
        self.fault(format!("`{key}` is not a setting of {what}"), cure);
        suggest::nearest(&key, known)
    }

    /// Tells that a key is missing here.
    pub(crate) fn lacks(self, key: &'static str, what: &str, example: &str) {
        self.tell(Problem::fault(
            self.path().key(key),
            format!("{what} needs `{key}`"),
            format!("add, for example, `{key}: {example}`"),
        ));
    }

    fn tell(self, problem: Problem) {
        if !self.reader.is_full() {
            self.reader.problems.borrow_mut().push(problem.within(self.reader.source));
        }
    }

    /// Whether this kind stands here; otherwise the problem is told.
    pub(crate) fn expects(self, kind: YamlKind, what: &str) -> bool {
        self.expects_with(kind, what, &[])
    }

    /// Whether a group stands here; tells what can stand in it where none does.
    pub(crate) fn expects_settings(self, known: &[&str]) -> bool {
        self.expects_with(YamlKind::Group, "a group of settings", known)
    }

    fn expects_with(self, kind: YamlKind, what: &str, known: &[&str]) -> bool {
        let found = self.kind();
        if found != kind {
            let what = if kind == YamlKind::Group { "a group of settings" } else { what };
            let cure = match kind {
                YamlKind::Group if found == YamlKind::Text && suggest::in_one_value(self.text(), known).is_some() => {
                    format!("write `{}`", suggest::in_one_value(self.text(), known).unwrap_or_default())
                }
                YamlKind::List if found == YamlKind::Text && suggest::two_in_one_value(self.text()).is_some() => {
                    format!("write `{}`", suggest::two_in_one_value(self.text()).unwrap_or_default())
                }
                YamlKind::Group if found == YamlKind::Text && known.contains(&"name") && known.len() <= FEW => {
                    let others: Vec<&str> = known.iter().copied().filter(|key| *key != "name").collect();
                    let name: String = self.text().chars().take(40).collect();
                    format!(
                        "write `name: {name}` below it, indented by two more spaces, and beside it {} as there is need",
                        suggest::words(&others, "and")
                    )
                }
                YamlKind::Group if self.node != 0 && !known.is_empty() && known.len() <= FEW => {
                    format!("write {} below it, a line each, indented by two more spaces", suggest::words(known, "and"))
                }
                YamlKind::Group if self.node == 0 => "write `name: value` lines".to_owned(),
                YamlKind::Group => "write `name: value` lines below it, each indented by two more spaces".to_owned(),
                YamlKind::List => "write a list: `[one, two]`, or lines that begin with `- `".to_owned(),
                YamlKind::Text | YamlKind::Empty => "write one value on the same line".to_owned(),
            };
            self.fault(format!("this should be {what}, not {}", kind_words(found)), cure);
        }
        found == kind
    }
}

fn kind_words(kind: YamlKind) -> &'static str {
    match kind {
        YamlKind::Text => "a single value",
        YamlKind::Empty => "nothing",
        YamlKind::List => "a list",
        YamlKind::Group => "a group of settings",
    }
}

/// Something that can be read off a file.
pub(crate) trait FromFile: Sized {
    /// Reads it; problems are told to the place.
    fn read(at: At<'_>) -> Slot<Self>;
}

/// Reads a setting; one that is left empty is told.
pub(crate) fn setting<T: FromFile>(at: At<'_>) -> Slot<T> {
    if is_left_empty(at) { Slot::Bad } else { T::read(at) }
}

/// Whether nothing stands after a key, which is then told.
pub(crate) fn is_left_empty(at: At<'_>) -> bool {
    let empty = at.kind() == YamlKind::Empty;
    if empty {
        let name = at.reader.places.name(at.node);
        at.fault(format!("`{name}` is left empty"), "write a value after it, or take the line out");
    }
    empty
}

/// A single value, read as the text that was written.
pub(crate) trait Word: Sized {
    /// What it is, in words: `a length`.
    const WHAT: &'static str;

    /// Reads the text.
    ///
    /// # Errors
    /// Fault and cure.
    fn parse(text: &str) -> Result<Self, Wrong>;

    /// How it is written.
    fn writing() -> Writing;
}

impl<T: Word> Formed for T {
    fn form() -> Form {
        Form::Value(T::WHAT, T::writing())
    }
}

impl<T: Word> FromFile for T {
    fn read(at: At<'_>) -> Slot<T> {
        scalar(at, T::WHAT, T::parse)
    }
}

/// Reads a single value from its text.
pub(crate) fn scalar<T>(at: At<'_>, what: &str, parse: impl FnOnce(&str) -> Result<T, Wrong>) -> Slot<T> {
    if !at.expects(YamlKind::Text, what) {
        return Slot::Bad;
    }
    match parse(at.text().trim()) {
        Ok(value) => Slot::Given(value),
        Err(w) => {
            at.fault(w.fault, w.cure);
            Slot::Bad
        }
    }
}

/// A list of values.
pub(crate) type List<T> = Vec<Slot<T>>;

impl<T: FromFile> FromFile for List<T> {
    fn read(at: At<'_>) -> Slot<Self> {
        match at.expects(YamlKind::List, "a list") {
            true => Slot::Given(at.entries().map(setting).collect()),
            false => Slot::Bad,
        }
    }
}

impl<T: Formed> Formed for List<T> {
    fn form() -> Form {
        Form::List(Box::new(T::form()))
    }
}

/// A group whose keys are the writer's own names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ByName<T>(pub Vec<(String, Slot<T>)>);

impl<T: FromFile> FromFile for ByName<T> {
    fn read(at: At<'_>) -> Slot<Self> {
        match at.expects(YamlKind::Group, "a group of settings") {
            true => Slot::Given(ByName(at.entries().map(|at| (at.key().to_owned(), setting(at))).collect())),
            false => Slot::Bad,
        }
    }
}

impl<T: Formed> Formed for ByName<T> {
    fn form() -> Form {
        Form::ByName(Box::new(T::form()))
    }
}

/// Either one value or a list of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum OneOrMany<T> {
    /// One.
    One(T),
    /// A list.
    Many(List<T>),
}

impl<T: FromFile> FromFile for OneOrMany<T> {
    fn read(at: At<'_>) -> Slot<Self> {
        let read = match at.kind() {
            YamlKind::List => List::read(at).take().map(OneOrMany::Many),
            _ => T::read(at).take().map(OneOrMany::One),
        };
        read.map_or(Slot::Bad, Slot::Given)
    }
}

impl<T: Formed> Formed for OneOrMany<T> {
    fn form() -> Form {
        Form::Either(vec![T::form(), Form::List(Box::new(T::form()))])
    }
}

/// Something that is read elsewhere: whether it is a group with settings in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Unread(pub bool);

impl FromFile for Unread {
    fn read(at: At<'_>) -> Slot<Self> {
        Slot::Given(Unread(at.kind() == YamlKind::Group && at.entries().next().is_some()))
    }
}

impl Formed for Unread {
    fn form() -> Form {
        Form::Change
    }
}

/// Sorts problems by file and place, and drops what is told twice.
pub(crate) fn in_file_order(problems: &mut Vec<Problem>, offset: impl Fn(&Problem) -> usize) {
    problems.sort_by_cached_key(|p| (p.source, offset(p), p.level == Level::Assumed));
    problems.dedup();
}
