//! `schema`: what each of the files may say, as JSON Schema (draft 2020-12), for editors and for other programs.
//!
//! Given which file; gives its schema, made from the same tables as the reader. Limits of what carries a unit stand as
//! patterns; a bare number has them as numbers, and as a pattern for one in quotes. What the reader judges from several
//! settings together is beyond a schema: `check` has the last word.

use super::patterns;
use crate::job_file::reference::{
    ALLOWS_OVER, ALLOWS_OVER_PURPOSE, FileKind, Form, GroupForm, UnitWord, Writing, example, limits_of, names_of,
    rule_forms, told, usual_words,
};
use crate::model::Rules;
use crate::model::limits::{Limit, Number};
use crate::model::words::capital;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;
use serde_json::ser::{PrettyFormatter, Serializer};
use serde_json::{Map, Value, json};

/// The schema of a file.
pub(super) fn of(file: FileKind) -> String {
    let mut parts = Parts::default();
    let root = parts.form(&file.form(), None);
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": capital(file.about()),
    });
    put_all(&mut schema, root);
    put(&mut schema, "$defs", Value::Object(parts.groups));
    printed(&schema)
}

/// A schema as it stands in a file: a step of one space, since it is deep and wide.
fn printed(schema: &Value) -> String {
    let mut bytes = Vec::new();
    let mut out = Serializer::with_formatter(&mut bytes, PrettyFormatter::with_indent(b" "));
    // A value in memory cannot fail to be written there.
    let written = schema.serialize(&mut out);
    debug_assert!(written.is_ok());
    bytes.push(b'\n');
    String::from_utf8_lossy(&bytes).into_owned()
}

fn put(schema: &mut Value, key: &str, value: Value) {
    if let Value::Object(map) = schema {
        map.insert(key.to_owned(), value);
    }
}

fn put_all(schema: &mut Value, more: Value) {
    if let (Value::Object(map), Value::Object(more)) = (schema, more) {
        map.extend(more);
    }
}

/// The groups that were met so far.
#[derive(Default)]
struct Parts {
    groups: Map<String, Value>,
}

impl Parts {
    /// What may stand at a place.
    fn form(&mut self, form: &Form, limit: Option<Number>) -> Value {
        match form {
            Form::Value(_, writing) => value(writing, limit),
            Form::Group(group) => self.group(group),
            Form::List(each) => json!({"type": "array", "items": self.form(each, limit)}),
            Form::ByName(each) => json!({"type": "object", "additionalProperties": self.form(each, limit)}),
            Form::Either(all) => {
                let all: Vec<Value> = all.iter().map(|form| self.form(form, limit)).collect();
                json!({"oneOf": all.into_iter().flat_map(flat).collect::<Vec<_>>()})
            }
            Form::ByWork(new, old, words) => json!({
                "if": {"type": "object", "properties": {"work": {"enum": words}}, "required": ["work"]},
                "then": self.form(old, limit),
                "else": self.form(new, limit),
            }),
            Form::Rules => self.rules(),
            Form::Change => json!({"type": "object"}),
            Form::Refused => json!(false),
        }
    }

    /// A group, with the form of one value in its place.
    fn group(&mut self, group: &GroupForm) -> Value {
        let name = group.name.trim_start_matches("Raw").to_owned();
        if !self.groups.contains_key(&name) {
            self.groups.insert(name.clone(), Value::Null);
            let made = self.object(group);
            self.groups.insert(name.clone(), made);
        }
        let long = json!({"$ref": format!("#/$defs/{name}")});
        match &group.short {
            Some(short) => {
                let mut all = flat(self.form(short, None));
                all.push(long);
                json!({"oneOf": all})
            }
            None => long,
        }
    }

    /// The keys of a group.
    fn object(&mut self, group: &GroupForm) -> Value {
        let mut keys = Map::new();
        for key in group.keys.iter().filter(|key| !matches!(key.form, Form::Refused)) {
            let limit = limits_of(group.name, key);
            let mut schema = match (&key.form, names_of(group.name, key.key)) {
                (Form::ByName(each), Some(names)) => self.named(each, limit, &names),
                _ => with_usual(self.form(&key.form, limit), &usual_words(group.name, key.key)),
            };
            if let Some(told) = told(group.name, key.key) {
                put(&mut schema, "description", described(told.purpose, told.without, limit));
            }
            put_example(&mut schema, &example(group.name, key));
            keys.insert(key.key.to_owned(), schema);
        }
        let needed: Vec<&str> = group.keys.iter().filter(|key| key.needed.is_some()).map(|key| key.key).collect();
        json!({"type": "object", "properties": keys, "required": needed, "additionalProperties": false})
    }

    /// A group of names that are known.
    fn named(&mut self, each: &Form, limit: Option<Number>, names: &[(&str, &str)]) -> Value {
        let mut keys = Map::new();
        for (name, words) in names {
            let mut schema = self.form(each, limit);
            put(&mut schema, "description", format!("{}.", capital(words)).into());
            keys.insert((*name).to_owned(), schema);
        }
        json!({"type": "object", "properties": keys, "additionalProperties": false})
    }

    /// The rules, each with its default.
    fn rules(&mut self) -> Value {
        if !self.groups.contains_key("Rules") {
            let mut keys = Map::new();
            for (rule, (_, unit, what)) in rule_forms().iter().zip(Rules::ABOUT) {
                // Tables have limits of their own, so each is a group of its own.
                let mut own = Parts::default();
                let mut schema = match &rule.form {
                    Form::Group(group) => own.object(group),
                    Form::List(each) => match &**each {
                        Form::Group(group) => json!({"type": "array", "items": own.object(group)}),
                        other => json!({"type": "array", "items": own.form(other, rule.limit)}),
                    },
                    other => own.form(other, rule.limit),
                };
                let purpose = format!("{}.", capital(what));
                put(&mut schema, "description", described(&purpose, &rule.usual, rule.limit));
                let unit = if rule.usual.contains(' ') || unit.is_empty() { String::new() } else { format!(" {unit}") };
                put_example(&mut schema, &rule.usual);
                put(&mut schema, "title", format!("{}: {}{unit}", rule.name, rule.usual).into());
                keys.insert(rule.name.to_owned(), schema);
            }
            let mut allows = json!({"enum": ["yes", "no"]});
            put(&mut allows, "description", ALLOWS_OVER_PURPOSE.into());
            keys.insert(ALLOWS_OVER.to_owned(), allows);
            let all = json!({"type": "object", "properties": keys, "additionalProperties": false});
            self.groups.insert("Rules".to_owned(), all);
        }
        json!({"$ref": "#/$defs/Rules"})
    }
}

/// The choices of a `oneOf`, or the one thing that it is.
fn flat(schema: Value) -> Vec<Value> {
    match schema {
        Value::Object(mut map) if map.len() == 1 && map.contains_key("oneOf") => match map.remove("oneOf") {
            Some(Value::Array(all)) => all,
            other => other.into_iter().collect(),
        },
        other => vec![other],
    }
}

/// Words that may stand beside any others.
fn with_usual(schema: Value, words: &[String]) -> Value {
    let number = schema.get("type").is_some_and(|t| t.to_string().contains("integer"));
    match words {
        [] => schema,
        // A number is completed from its examples, and stays held to its limits.
        _ if number => schema,
        _ => json!({"anyOf": [{"enum": words}, schema]}),
    }
}

/// The sentence of a key, what is taken without it, and its limits.
fn described(purpose: &str, without: &str, limit: Option<Number>) -> Value {
    let mut words = purpose.to_owned();
    if let Some(limit) = limit {
        let why = if limit.why.is_empty() { String::new() } else { format!(": {}", limit.why) };
        words.push_str(&format!(" {}{why}.", capital(&limit.words())));
    }
    if !without.is_empty() {
        words.push_str(&format!(" Left out: {without}."));
    }
    words.into()
}

fn put_example(schema: &mut Value, text: &str) {
    if !text.is_empty()
        && !text.contains('…')
        && let Ok(found) = serde_yaml::from_str::<Value>(text)
    {
        put(schema, "examples", json!([found]));
    }
}

/// A single value.
fn value(writing: &Writing, number: Option<Number>) -> Value {
    let limit = number.map(|n| n.limit);
    match writing {
        Writing::Text => json!({"type": ["string", "number", "boolean"], "minLength": 1}),
        Writing::Words(words) => json!({"enum": words}),
        Writing::Date => json!({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}),
        Writing::Number(units) => numbers(units, limit),
        Writing::Range(units) => text(&patterns::range(units, limit)),
        Writing::Money => bare(&patterns::money(limit), limit, "number"),
        Writing::Fall => text(&patterns::fall(limit)),
        Writing::Section { thickness, width } => text(&patterns::section(*thickness, *width)),
        Writing::Pattern(pattern, _) => text(pattern),
        Writing::Either(all) => {
            json!({"oneOf": all.iter().map(|one| value(one, number.filter(|n| limits(one, n)))).collect::<Vec<_>>()})
        }
    }
}

/// Whether the limits of a setting are those of this way to write it: a percentage is not limited in pounds.
fn limits(writing: &Writing, number: &Number) -> bool {
    match writing {
        Writing::Number(units) => {
            number.unit != "pounds" && units.iter().all(|unit| unit.word != "%" || number.unit == "%")
        }
        _ => true,
    }
}

fn text(pattern: &str) -> Value {
    json!({"type": "string", "pattern": patterns::whole(pattern)})
}

/// Numbers with their units; without one they may stand bare.
fn numbers(units: &[UnitWord], limit: Option<Limit>) -> Value {
    let pattern = patterns::with_units(units, limit);
    match units.iter().find(|unit| unit.word.is_empty()) {
        Some(unit) => bare(&pattern, limit, if unit.places == Some(0) { "integer" } else { "number" }),
        None => text(&pattern),
    }
}

/// A number that may stand bare, as YAML has it, or in quotes.
fn bare(pattern: &str, limit: Option<Limit>, kind: &str) -> Value {
    let mut schema = json!({"type": [kind, "string"], "pattern": patterns::whole(pattern), "minimum": 0});
    if let Some(limit) = limit {
        put(&mut schema, "minimum", figure(limit.least));
        put(&mut schema, "maximum", figure(limit.most));
    }
    schema
}

fn figure(value: Decimal) -> Value {
    match value.normalize() {
        whole if whole.is_integer() => json!(whole.to_i64()),
        other => json!(other.to_f64()),
    }
}
