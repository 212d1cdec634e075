//! What may stand at each place of a file, as data: for whoever explains the files instead of reading them.
//!
//! Given by the same types that read the file ([`Formed`]), so that a reference cannot say anything else than the reader
//! does. Nothing of it is made while a job is read.

use crate::model::limits::{Limit, Number};
use rust_decimal::Decimal;

/// How a single value is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Writing {
    /// Any text.
    Text,
    /// One of these words.
    Words(Vec<&'static str>),
    /// Year, month and day.
    Date,
    /// A number with one of its units.
    Number(Vec<UnitWord>),
    /// A number with one of its units, or from one to another: `5 C to 12 C`.
    Range(Vec<UnitWord>),
    /// Pounds, with pence in two digits or none.
    Money,
    /// One in how much: `1:40`.
    Fall,
    /// Thickness and width of a timber: `25 × 50 mm`.
    Section {
        /// Its thickness.
        thickness: Limit,
        /// Its width.
        width: Limit,
    },
    /// Anything else: a regular expression, and an example.
    Pattern(String, &'static str),
    /// One of several.
    Either(Vec<Writing>),
}

/// A unit as it may stand behind a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct UnitWord {
    /// The word; nothing for a bare number.
    pub word: String,
    /// One of it in the unit of the limits.
    pub each: Decimal,
    /// So many places after the point at most.
    pub places: Option<u32>,
}

/// A unit.
pub(crate) fn unit(word: &str, each: Decimal, places: Option<u32>) -> UnitWord {
    UnitWord { word: word.to_owned(), each, places }
}

impl Writing {
    /// A number with one of these units, each of which is the unit of its limits.
    pub(crate) fn number(units: &[&str]) -> Writing {
        Writing::Number(same(units))
    }

    /// A range in one of these units.
    pub(crate) fn range(units: &[&str]) -> Writing {
        Writing::Range(same(units))
    }

    /// Digits alone.
    pub(crate) fn whole() -> Writing {
        Writing::Number(vec![unit("", Decimal::ONE, Some(0))])
    }
}

fn same(units: &[&str]) -> Vec<UnitWord> {
    units.iter().map(|word| unit(word, Decimal::ONE, None)).collect()
}

/// What may stand at a place.
#[derive(Debug, Clone)]
pub(crate) enum Form {
    /// A single value, with what it is in words.
    Value(&'static str, Writing),
    /// A group of settings.
    Group(Box<GroupForm>),
    /// A list.
    List(Box<Form>),
    /// A group whose keys are the writer's own names.
    ByName(Box<Form>),
    /// One of several, each of another kind.
    Either(Vec<Form>),
    /// The first, but where the word of the key says otherwise the second: a roof, and one whose laminate stays.
    ByWork(Box<Form>, Box<Form>, Vec<&'static str>),
    /// The rules.
    Rules,
    /// Settings of the job, as they change.
    Change,
    /// Nothing: the setting belongs to another kind of roof.
    Refused,
}

/// A group of settings.
#[derive(Debug, Clone)]
pub(crate) struct GroupForm {
    /// The name of its type, by which its explanations are found.
    pub name: &'static str,
    /// Its keys, in their order.
    pub keys: Vec<KeyForm>,
    /// What may stand in its place as one value.
    pub short: Option<Box<Form>>,
}

/// A key of a group.
#[derive(Debug, Clone)]
pub(crate) struct KeyForm {
    /// The key.
    pub key: &'static str,
    /// What stands behind it.
    pub form: Form,
    /// An example, where the group needs it.
    pub needed: Option<&'static str>,
    /// The limits of its numbers.
    pub limit: Option<Number>,
}

/// What can say how it is written.
pub(crate) trait Formed {
    /// How.
    fn form() -> Form;
}

/// The limits of a setting, where it has them.
macro_rules! limit_of {
    () => {
        None
    };
    ($limit:ident) => {
        Some($crate::model::limits::$limit)
    };
}

pub(crate) use limit_of;
