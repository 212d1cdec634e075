//! Reads settings off the file as serde streams them, and goes on after every problem.
//!
//! Given the places of a file and serde's stream over the same file, which both walk in step; gives raw values, each
//! missing, bad or given. The place is asked what stands there before serde is, so a wrong kind or a bad value becomes
//! a problem with its path instead of the end of the reading. Single values are always read as the text that was
//! written: `12.10` never becomes a floating-point number.

use super::places::{Places, YamlKind};
use super::suggest;
use crate::model::problem::Source;
use crate::model::{Level, Problem};
use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use std::cell::RefCell;
use std::fmt;
use std::marker::PhantomData;

/// Most problems that are kept of one file.
const MOST_KEPT: usize = 200;

/// A setting of the file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Slot<T> {
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
    pub fn given(&self) -> Option<&T> {
        match self {
            Slot::Given(v) => Some(v),
            _ => None,
        }
    }

    /// The value itself, if it is there and good.
    pub fn take(self) -> Option<T> {
        match self {
            Slot::Given(v) => Some(v),
            _ => None,
        }
    }

    /// Whether the file says nothing.
    pub fn is_missing(&self) -> bool {
        matches!(self, Slot::Missing)
    }

    /// Whether the file says something wrong.
    pub fn is_bad(&self) -> bool {
        matches!(self, Slot::Bad)
    }

    /// The value, or what is taken where the file says nothing. A bad value gives the same; its problem stands.
    pub fn or_taken(self, taken: T, tell: impl FnOnce()) -> T {
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
pub struct Wrong {
    /// What is wrong.
    pub fault: String,
    /// What to write instead.
    pub cure: String,
}

/// Shorthand for a wrong value.
pub fn wrong<T>(fault: impl Into<String>, cure: impl Into<String>) -> Result<T, Wrong> {
    Err(Wrong { fault: fault.into(), cure: cure.into() })
}

/// The problems of one file while it is read.
#[derive(Debug)]
pub struct Reader<'a> {
    /// The places of the file.
    pub places: &'a Places,
    /// Which file.
    pub source: Source,
    problems: RefCell<Vec<Problem>>,
}

impl<'a> Reader<'a> {
    /// A reader of one file.
    pub fn new(places: &'a Places, source: Source) -> Reader<'a> {
        Reader { places, source, problems: RefCell::new(Vec::new()) }
    }

    /// Whether so many problems were told that no more are kept.
    pub fn is_full(&self) -> bool {
        self.problems.borrow().len() >= MOST_KEPT
    }

    /// Reads the whole file as one value. A file that serde itself refuses gives one more problem.
    pub fn read<T: FromFile>(self, text: &str) -> (Slot<T>, Vec<Problem>) {
        let seed = Seed::<T>::at(At { reader: &self, node: 0 });
        let value = seed.deserialize(serde_yaml::Deserializer::from_str(text));
        let mut problems = self.problems.into_inner();
        match value {
            Ok(value) => (value, problems),
            Err(error) => {
                problems.push(refused(&error).within(self.source));
                (Slot::Bad, problems)
            }
        }
    }
}

fn refused(error: &serde_yaml::Error) -> Problem {
    let place = error.location().map(|l| format!("line {}, column {}", l.line(), l.column())).unwrap_or_default();
    Problem::fault(place, format!("this is not YAML that can be read: {error}"), "look at this line and the one above")
}

/// One place of a file that is being read.
#[derive(Debug, Clone, Copy)]
pub struct At<'a> {
    reader: &'a Reader<'a>,
    node: u32,
}

impl<'a> At<'a> {
    /// The entry that comes next.
    pub fn child(self, n: usize) -> At<'a> {
        At { reader: self.reader, node: self.reader.places.child(self.node, n) }
    }

    /// Whether no more problems are kept of this file.
    pub fn is_full(self) -> bool {
        self.reader.is_full()
    }

    /// What stands here.
    pub fn kind(self) -> YamlKind {
        self.reader.places.kind(self.node)
    }

    /// The name of the place: its key, or which entry of a list it is.
    pub fn name(self) -> String {
        self.reader.places.name(self.node)
    }

    /// The path of the place.
    pub fn path(self) -> String {
        self.reader.places.path(self.node)
    }

    /// Tells a fault of the value here.
    pub fn fault(self, fault: impl Into<String>, cure: impl Into<String>) {
        if self.reader.is_full() {
            return;
        }
        self.tell(Problem::fault(self.path(), fault, cure));
    }

    /// Tells a fault of a setting in the group here.
    pub fn fault_in(self, key: &str, fault: impl Into<String>, cure: impl Into<String>) {
        self.tell(Problem::fault(format!("{}.{key}", self.path()), fault, cure));
    }

    /// Tells that a key here is not known; gives the known key that was probably meant.
    pub fn unknown(self, key: &str, what: &str, known: &[&str]) -> Option<String> {
        if self.reader.is_full() {
            return None;
        }
        let key: String = key.chars().take(60).collect();
        let cure = match key.starts_with(|c: char| c.is_ascii_digit()) {
            true => "a comma parts settings here: write a number without one".to_owned(),
            false => suggest::cure(&key, known),
        };
        self.fault(format!("`{key}` is not a setting of {what}"), cure);
        suggest::nearest(&key, known)
    }

    /// Tells that a key is missing here.
    pub fn lacks(self, key: &str, what: &str, example: &str) {
        let path = match self.path() {
            above if above.is_empty() => key.to_owned(),
            above => format!("{above}.{key}"),
        };
        self.tell(Problem::fault(
            path,
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
    pub fn expects(self, kind: YamlKind, what: &str) -> bool {
        let found = self.kind();
        if found != kind {
            let what = if kind == YamlKind::Group { "a group of settings" } else { what };
            self.fault(
                format!("this should be {what}, not {}", kind_words(found)),
                match kind {
                    YamlKind::Group if self.node == 0 => "write `name: value` lines",
                    YamlKind::Group => "write `name: value` lines below it, each indented by two more spaces",
                    YamlKind::List => "write a list: `[one, two]`, or lines that begin with `- `",
                    YamlKind::Text | YamlKind::Empty => "write one value on the same line",
                },
            );
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
pub trait FromFile: Sized {
    /// Reads it; problems are told to the place.
    ///
    /// # Errors
    /// Only what serde itself cannot get past.
    fn read<'de, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<Self>, D::Error>;
}

/// A single value, read as the text that was written.
pub trait Word: Sized {
    /// What it is, in words: `a length`.
    const WHAT: &'static str;

    /// Reads the text.
    ///
    /// # Errors
    /// Fault and cure.
    fn parse(text: &str) -> Result<Self, Wrong>;
}

impl<T: Word> FromFile for T {
    fn read<'de, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<T>, D::Error> {
        scalar(at, from, T::WHAT, T::parse)
    }
}

/// Reads a single value from its text.
///
/// # Errors
/// Only what serde itself cannot get past.
pub fn scalar<'de, T, D: Deserializer<'de>>(
    at: At<'_>,
    from: D,
    what: &str,
    parse: impl FnOnce(&str) -> Result<T, Wrong>,
) -> Result<Slot<T>, D::Error> {
    if !at.expects(YamlKind::Text, what) {
        return skip(from);
    }
    let text = from.deserialize_str(AsWritten)?;
    Ok(match parse(text.trim()) {
        Ok(value) => Slot::Given(value),
        Err(w) => {
            at.fault(w.fault, w.cure);
            Slot::Bad
        }
    })
}

/// Passes over a value.
///
/// # Errors
/// Only what serde itself cannot get past.
pub fn skip<'de, T, D: Deserializer<'de>>(from: D) -> Result<Slot<T>, D::Error> {
    IgnoredAny::deserialize(from).map(|_| Slot::Bad)
}

/// Takes the text of a single value as it was written.
struct AsWritten;

impl Visitor<'_> for AsWritten {
    type Value = String;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a single value")
    }

    fn visit_str<E>(self, text: &str) -> Result<String, E> {
        Ok(text.to_owned())
    }
}

/// Reads a `T` at a place.
pub struct Seed<'a, T>(At<'a>, PhantomData<T>);

impl<'a, T> Seed<'a, T> {
    /// At that place.
    pub fn at(at: At<'a>) -> Seed<'a, T> {
        Seed(at, PhantomData)
    }
}

impl<'de, T: FromFile> DeserializeSeed<'de> for Seed<'_, T> {
    type Value = Slot<T>;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Slot<T>, D::Error> {
        match self.0.kind() {
            YamlKind::Empty => left_empty(self.0, from),
            _ => T::read(self.0, from),
        }
    }
}

/// Tells that nothing stands after a key, and passes over it.
///
/// # Errors
/// Only what serde itself cannot get past.
pub fn left_empty<'de, T, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<T>, D::Error> {
    let name = at.reader.places.name(at.node);
    at.fault(format!("`{name}` is left empty"), "write a value after it, or take the line out");
    skip(from)
}

/// A list of values.
pub type List<T> = Vec<Slot<T>>;

impl<T: FromFile> FromFile for List<T> {
    fn read<'de, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<Self>, D::Error> {
        if !at.expects(YamlKind::List, "a list") {
            return skip(from);
        }
        from.deserialize_seq(Entries(at, PhantomData)).map(Slot::Given)
    }
}

struct Entries<'a, T>(At<'a>, PhantomData<T>);

impl<'de, T: FromFile> Visitor<'de> for Entries<'_, T> {
    type Value = List<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<List<T>, A::Error> {
        let mut all = Vec::new();
        while let Some(entry) = seq.next_element_seed(Seed::at(self.0.child(all.len())))? {
            all.push(entry);
        }
        Ok(all)
    }
}

/// A group whose keys are the writer's own names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByName<T>(pub Vec<(String, Slot<T>)>);

impl<T: FromFile> FromFile for ByName<T> {
    fn read<'de, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<Self>, D::Error> {
        if !at.expects(YamlKind::Group, "a group of settings") {
            return skip(from);
        }
        from.deserialize_map(Group(at, PhantomData)).map(|all| Slot::Given(ByName(all)))
    }
}

struct Group<'a, T>(At<'a>, PhantomData<T>);

impl<'de, T: FromFile> Visitor<'de> for Group<'_, T> {
    type Value = Vec<(String, Slot<T>)>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a group of settings")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut all = Vec::new();
        while let Some(key) = map.next_key::<String>()? {
            let value = map.next_value_seed(Seed::at(self.0.child(all.len())))?;
            all.push((key, value));
        }
        Ok(all)
    }
}

/// Either one value or a list of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OneOrMany<T> {
    /// One.
    One(T),
    /// A list.
    Many(List<T>),
}

impl<T: FromFile> FromFile for OneOrMany<T> {
    fn read<'de, D: Deserializer<'de>>(at: At<'_>, from: D) -> Result<Slot<Self>, D::Error> {
        match at.kind() {
            YamlKind::List => {
                List::read(at, from).map(|s| s.take().map_or(Slot::Bad, |v| Slot::Given(OneOrMany::Many(v))))
            }
            _ => T::read(at, from).map(|s| s.take().map_or(Slot::Bad, |v| Slot::Given(OneOrMany::One(v)))),
        }
    }
}

/// Something whose shape is not looked into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Anything;

impl FromFile for Anything {
    fn read<'de, D: Deserializer<'de>>(_: At<'_>, from: D) -> Result<Slot<Self>, D::Error> {
        IgnoredAny::deserialize(from).map(|_| Slot::Given(Anything))
    }
}

/// Sorts problems by file and place, and drops what is told twice.
pub fn in_file_order(problems: &mut Vec<Problem>, offset: impl Fn(&Problem) -> usize) {
    problems.sort_by_cached_key(|p| (p.source, offset(p), p.level == Level::Assumed));
    problems.dedup();
}

/// Defines a group of settings: a struct of [`Slot`]s that reads itself and tells unknown and missing keys.
///
/// ```text
/// settings! {
///     /// An old covering.
///     pub struct RawStrip = "`strip`" {
///         covering: Text, needed "felt";
///         tip: Text;
///         layers: u32, within LAYERS;
///     }
/// }
/// ```
/// `within` names the limits of a number, in [`crate::model::limits`].
macro_rules! settings {
    ($(#[$about:meta])* pub struct $name:ident = $what:literal {
        $($(#[$doc:meta])* $field:ident: $type:ty $(, needed $example:literal)? $(, within $limit:ident)?;)*
    }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Default)]
        #[allow(missing_docs, reason = "each field is the key of the file with the same name")]
        pub struct $name {
            $($(#[$doc])* pub $field: $crate::job_file::read::reading::Slot<$type>,)*
        }

        impl $name {
            const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];
        }

        impl $crate::job_file::read::reading::FromFile for $name {
            fn read<'de, D: serde::de::Deserializer<'de>>(
                at: $crate::job_file::read::reading::At<'_>,
                from: D,
            ) -> Result<$crate::job_file::read::reading::Slot<Self>, D::Error> {
                use $crate::job_file::read::reading::{At, Slot, skip};

                struct Keys<'a>(At<'a>);

                impl<'de> serde::de::Visitor<'de> for Keys<'_> {
                    type Value = $name;

                    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                        f.write_str($what)
                    }

                    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<$name, A::Error> {
                        let mut read = $name::default();
                        let mut n = 0;
                        while let Some(key) = map.next_key::<String>()? {
                            let at = self.0.child(n);
                            n += 1;
                            match key.as_str() {
                                $(stringify!($field) => {
                                    read.$field = map.next_value_seed($crate::job_file::read::reading::seed!(at $(, $limit)?))?;
                                })*
                                _ => {
                                    let meant = at.unknown(&key, $what, $name::KEYS);
                                    match meant.as_deref() {
                                        $(Some(stringify!($field)) if read.$field.is_missing() => read.$field = Slot::Bad,)*
                                        _ => {}
                                    }
                                    map.next_value::<serde::de::IgnoredAny>()?;
                                }
                            }
                        }
                        $($(if read.$field.is_missing() {
                            self.0.lacks(stringify!($field), $what, $example);
                            read.$field = Slot::Bad;
                        })?)*
                        Ok(read)
                    }
                }

                if !at.expects($crate::job_file::read::places::YamlKind::Group, $what) {
                    return skip(from);
                }
                from.deserialize_map(Keys(at)).map(Slot::Given)
            }
        }
    };
}

pub(crate) use settings;

/// What reads a setting: within limits, where it has them.
macro_rules! seed {
    ($at:expr) => {
        $crate::job_file::read::reading::Seed::at($at)
    };
    ($at:expr, $limit:ident) => {
        $crate::job_file::read::amount::Within::at($at, &$crate::model::limits::$limit)
    };
}

pub(crate) use seed;
