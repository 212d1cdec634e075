//! The reference of the files: every key, with what it is for, how it is written, its limits, what is taken without it.
//!
//! Given nothing; gives it from the reader's own types ([`Form`]) and tables (rules, limits, words of the trade), to which the
//! tables of this folder add no more than sentences and examples. A key without its sentence does not compile.

mod firm;
mod found;
mod job;
mod prices;
mod record;
mod roof;
mod stock;
mod told;
mod tried;
mod words;

pub(crate) use tried::{articles_of, groups_of, is_readable, length_of, near_word, pairs_of, tried};

pub(crate) use words::{limits_of, names_of, usual_words};

use super::raw::firm::RawFirm;
use super::raw::found::RawFound;
use super::raw::job::RawJob;
use super::raw::prices::RawPrices;
use super::raw::record::RawRecord;
use super::raw::rules;
use super::raw::stock::RawStock;
use super::read::form::{Formed, KeyForm};
use super::read::scalars::YesNo;
use super::read::suggest;
use crate::model::Rules;
use crate::model::limits::Number;
use crate::model::shape::FOUR_SIDES;
use told::Told;

pub(crate) use super::raw::rules::{ALLOWS_OVER, forms as rule_forms};
pub(crate) use super::read::form::{Form, GroupForm, UnitWord, Writing};

/// What the one key of the rules that is no rule is for.
pub(crate) const ALLOWS_OVER_PURPOSE: &str = "Whether the data sheet of your resin allows more catalyst than 2.5 %.";

/// One of the files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FileKind {
    /// A job.
    Job,
    /// The firm.
    Firm,
    /// A price book.
    Prices,
    /// What was found on site.
    Found,
    /// What happened on site.
    Record,
    /// The list of what stands in the van.
    Stock,
}

impl FileKind {
    /// All of them.
    pub(crate) const ALL: [FileKind; 6] =
        [FileKind::Job, FileKind::Firm, FileKind::Prices, FileKind::Stock, FileKind::Found, FileKind::Record];

    /// The word by which it is asked for.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            FileKind::Job => "job",
            FileKind::Firm => "firm",
            FileKind::Prices => "prices",
            FileKind::Found => "found",
            FileKind::Record => "record",
            FileKind::Stock => "stock",
        }
    }

    /// What it is.
    pub(crate) const fn about(self) -> &'static str {
        match self {
            FileKind::Job => "the job file (job.yaml): who, where, and each roof as it was measured",
            FileKind::Firm => {
                "the firm file (firm.yaml): who you are, what things cost you, and the rules you lay roofs by"
            }
            FileKind::Prices => "a price book (prices.yaml): what one merchant sells, and for how much",
            FileKind::Found => {
                "what was found on site (found.yaml), for `wetout variation`: each thing, and what it takes"
            }
            FileKind::Record => {
                "the record of the work (record.yaml, beside the job): what happened on site, for the handover"
            }
            FileKind::Stock => "the stock list (stock.yaml): what stands in the van, left over from earlier jobs",
        }
    }

    /// What it may say.
    pub(crate) fn form(self) -> Form {
        match self {
            FileKind::Job => RawJob::form(),
            FileKind::Firm => RawFirm::form(),
            FileKind::Prices => RawPrices::form(),
            FileKind::Found => RawFound::form(),
            FileKind::Record => RawRecord::form(),
            FileKind::Stock => RawStock::form(),
        }
    }
}

/// A key, with all that is known of it.
#[derive(Debug, Clone)]
pub(crate) struct Explained {
    /// The file that it stands in.
    pub file: FileKind,
    /// The keys that lead to it, itself the last.
    pub path: Vec<&'static str>,
    /// What it is for.
    pub purpose: String,
    /// What it changes.
    pub changes: &'static str,
    /// What is taken where it is left out; nothing where it is needed.
    pub without: String,
    /// An example of what stands behind it.
    pub example: String,
    /// Whether its group needs it.
    pub needed: bool,
    /// How it is written.
    pub form: Form,
    /// The limits of its number.
    pub limit: Option<Number>,
    /// Words that may stand there beside others.
    pub usual: Vec<String>,
}

impl Explained {
    /// Its keys, as they are asked for: `roofs.edges.gutter`.
    pub(crate) fn name(&self) -> String {
        self.path.join(".")
    }

    /// Whether it is asked for by these keys, or by the last of them.
    pub(crate) fn is_called(&self, asked: &[&str]) -> bool {
        self.path.ends_with(asked)
    }
}

/// What is told of a key of a group.
pub(crate) fn told(group: &str, key: &str) -> Option<&'static Told> {
    let tables = [job::of, roof::of, firm::of, prices::of, stock::of, found::of, record::of];
    tables.iter().find_map(|of| of(group))?.iter().find(|told| told.key == key)
}

/// An example of what stands behind a key: its own, or the reader's.
pub(crate) fn example(group: &str, key: &KeyForm) -> String {
    let own = told(group, key.key).map_or("", |told| told.example);
    if own.is_empty() { key.needed.unwrap_or_default().to_owned() } else { own.to_owned() }
}

/// Every key of a file, each group's before those below.
pub(crate) fn all(file: FileKind) -> Vec<Explained> {
    let mut keys = Keys { file, found: Vec::new() };
    keys.below(&file.form(), &[]);
    keys.found
}

/// The group of a roof that holds its edges by their names.
const EDGES: &str = "edges";

/// The keys that are asked for by some of them: `edges.gutter`; those of one file, where it is named first. An edge's own name
/// asks for the group that describes it.
pub(crate) fn asked(words: &str) -> Vec<Explained> {
    let plain = words.trim().trim_end_matches(':').replace("[]", "");
    let steps: Vec<&str> =
        plain.split(['.', '/', ' ']).filter(|s| !s.is_empty() && s.parse::<u32>().is_err()).collect();
    if steps.is_empty() {
        return Vec::new();
    }
    let everywhere = || FileKind::ALL.into_iter().flat_map(all);
    let mut found: Vec<Explained> = everywhere().filter(|key| key.is_called(&steps)).collect();
    if let [.., name] = steps.as_slice()
        && FOUR_SIDES.contains(name)
    {
        // An edge of that name is described under it.
        let mut above = steps[..steps.len() - 1].to_vec();
        if above.last() != Some(&EDGES) {
            above.push(EDGES);
        }
        found.extend(everywhere().filter(|key| key.is_called(&above)));
    }
    match FileKind::ALL.into_iter().find(|file| file.word() == steps[0]) {
        Some(file) if found.is_empty() => {
            everywhere().filter(|key| key.file == file && key.is_called(&steps[1..])).collect()
        }
        _ => found,
    }
}

/// The keys that may have been meant, the nearest first.
pub(crate) fn near(words: &str) -> Vec<String> {
    let last = words.rsplit(['.', '/', ' ']).next().unwrap_or(words);
    let mut known: Vec<Explained> = FileKind::ALL.into_iter().flat_map(all).collect();
    let mut found = holding(last, &known);
    while found.len() < NEAR {
        let ends: Vec<&str> = known.iter().filter_map(|key| key.path.last().copied()).collect();
        let Some(nearest) = suggest::nearest(last, &ends) else { break };
        let (of_name, others): (Vec<Explained>, Vec<Explained>) =
            known.into_iter().partition(|key| key.path.last() == Some(&nearest.as_str()));
        for name in of_name.iter().map(Explained::name) {
            if !found.contains(&name) {
                found.push(name);
            }
        }
        known = others;
    }
    found.truncate(NEAR);
    found
}

/// The keys of whose name the word is a part: those that begin with it, those of which another word begins with it, and those
/// that hold it anywhere. A word of one or two letters is a part of too many.
fn holding(word: &str, known: &[Explained]) -> Vec<String> {
    let word = word.to_lowercase().replace('-', "_");
    let place = |key: &Explained| {
        let last = key.path.last()?;
        match last.find(&word)? {
            0 => Some(0),
            _ if last.contains(&format!("_{word}")) => Some(1),
            _ => Some(2),
        }
    };
    let mut placed: Vec<(u8, String)> = match word.chars().count() {
        0..=2 => Vec::new(),
        _ => known.iter().filter_map(|key| Some((place(key)?, key.name()))).collect(),
    };
    placed.sort_by_key(|(place, _)| *place);
    let mut found: Vec<String> = Vec::new();
    for (_, name) in placed {
        if !found.contains(&name) {
            found.push(name);
        }
    }
    found
}

/// So many keys are named beside a misspelt one.
const NEAR: usize = 4;

/// The keys of a file as they are gathered.
struct Keys {
    file: FileKind,
    found: Vec<Explained>,
}

impl Keys {
    /// Gathers the keys below a place.
    fn below(&mut self, form: &Form, path: &[&'static str]) {
        match form {
            Form::Group(group) => group.keys.iter().for_each(|key| self.key(group, key, path)),
            Form::List(each) | Form::ByName(each) => self.below(each, path),
            Form::Either(all) => all.iter().for_each(|form| self.below(form, path)),
            Form::ByWork(new, old, _) => {
                self.below(new, path);
                self.below(old, path);
            }
            Form::Rules => self.rules(path),
            Form::Value(..) | Form::Change | Form::Refused => {}
        }
    }

    /// Gathers a key of a group, and those below it.
    fn key(&mut self, group: &GroupForm, key: &KeyForm, path: &[&'static str]) {
        let Some(told) = told(group.name, key.key) else { return };
        let here = [path, &[key.key]].concat();
        self.keep(Explained {
            file: self.file,
            path: here.clone(),
            purpose: told.purpose.to_owned(),
            changes: told.changes,
            without: told.without.to_owned(),
            example: example(group.name, key),
            needed: key.needed.is_some(),
            form: key.form.clone(),
            limit: limits_of(group.name, key),
            usual: usual_words(group.name, key.key),
        });
        if let (Form::ByName(each), Some(names)) = (&key.form, names_of(group.name, key.key)) {
            for (name, words) in names {
                self.keep(Explained {
                    file: self.file,
                    path: [&here[..], &[name]].concat(),
                    purpose: match self.file {
                        FileKind::Job => format!("Whether the price is to include: {words}."),
                        FileKind::Firm | FileKind::Prices | FileKind::Stock | FileKind::Found => {
                            format!("What you charge for {words}.")
                        }
                        FileKind::Record if key.key == "hours" => format!("Hours that this took: {words}."),
                        FileKind::Record => format!("{}.", crate::model::words::capital(words)),
                    },
                    changes: told.changes,
                    without: told.without.to_owned(),
                    example: match (self.file, here.last()) {
                        (FileKind::Record, Some(&"hours")) => "6.5 h".to_owned(),
                        (FileKind::Job | FileKind::Record, _) => "yes".to_owned(),
                        (FileKind::Firm | FileKind::Prices | FileKind::Stock | FileKind::Found, _) => {
                            "65.00".to_owned()
                        }
                    },
                    needed: false,
                    form: (**each).clone(),
                    limit: key.limit,
                    usual: Vec::new(),
                });
            }
        }
        self.below(&key.form, &here);
    }

    /// Gathers the rules.
    fn rules(&mut self, path: &[&'static str]) {
        for (rule, (_, _, what)) in rules::forms().iter().zip(Rules::ABOUT) {
            let here = [path, &[rule.name]].concat();
            self.keep(Explained {
                file: self.file,
                path: here.clone(),
                purpose: match rule.name.starts_with("hours_") {
                    true => format!("Hours for this: {what}."),
                    false => format!("{}.", crate::model::words::capital(what)),
                },
                changes: "",
                without: rule.usual.clone(),
                example: rule.usual.clone(),
                needed: false,
                form: rule.form.clone(),
                limit: rule.limit,
                usual: Vec::new(),
            });
            self.below(&rule.form, &here);
        }
        self.keep(Explained {
            file: self.file,
            path: [path, &[ALLOWS_OVER]].concat(),
            purpose: ALLOWS_OVER_PURPOSE.to_owned(),
            changes: "",
            without: "no".to_owned(),
            example: "yes".to_owned(),
            needed: false,
            form: YesNo::form(),
            limit: None,
            usual: Vec::new(),
        });
    }

    /// Keeps a key; one of a roof that stays is told of where a new one has none of its name.
    fn keep(&mut self, key: Explained) {
        if !self.found.iter().any(|known| known.path == key.path) {
            self.found.push(key);
        }
    }
}
