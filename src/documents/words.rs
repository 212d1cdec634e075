//! The words: templates with the firm's own over the built-in ones, filled with finished text.
//!
//! Given templates and a vocabulary of named values; gives Markdown. Every text in the vocabulary is escaped when it is
//! put in, so that nothing a user typed can change a document, whatever the template does with it. A name that a
//! template uses and the vocabulary lacks is a problem, even inside an `if`, where the template engine would let it pass.

use super::Overrides;
use crate::model::Problem;
use crate::model::problem::Source;
use std::collections::BTreeSet;
use tera::{Context, Tera};

/// The built-in templates, by name.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("quote.md", include_str!("../../templates/quote.md")),
    ("quote-roof.md", include_str!("../../templates/quote-roof.md")),
    ("statutory.md", include_str!("../../templates/statutory.md")),
    ("order.md", include_str!("../../templates/order.md")),
    ("method.md", include_str!("../../templates/method.md")),
    ("safety.md", include_str!("../../templates/safety.md")),
];

/// The words of all documents, ready to be filled.
pub struct Words {
    tera: Tera,
    own: BTreeSet<String>,
}

impl Words {
    /// Takes the built-in templates and the firm's own, which stand in for those of the same name.
    ///
    /// # Errors
    /// A template of the firm whose name no document uses, or whose text cannot be read as a template.
    pub fn new(overrides: &Overrides) -> Result<Words, Vec<Problem>> {
        let mut tera = Tera::new();
        tera.add_raw_templates(TEMPLATES.iter().copied()).map_err(|e| vec![broken("the built-in templates", &e)])?;
        let mut problems = Vec::new();
        for (name, text) in &overrides.templates {
            if !TEMPLATES.iter().any(|(known, _)| known == name) {
                problems.push(unknown_template(name));
            } else if let Err(e) = tera.add_raw_template(name, text) {
                problems.push(broken(&format!("your template `{name}`"), &e));
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Words { tera, own: overrides.templates.iter().map(|(name, _)| name.clone()).collect() })
    }

    /// Fills a template.
    ///
    /// # Errors
    /// Every name in it that the vocabulary lacks; or what went wrong while filling it.
    pub fn fill(&self, template: &str, vocabulary: &Vocabulary) -> Result<String, Vec<Problem>> {
        let unknown = self.unknown_names(template, vocabulary)?;
        if !unknown.is_empty() {
            return Err(unknown);
        }
        self.tera.render(template, &vocabulary.context).map_err(|e| vec![broken(&self.title(template), &e)])
    }

    /// Names that a template uses and the vocabulary lacks, each as a problem.
    fn unknown_names(&self, template: &str, vocabulary: &Vocabulary) -> Result<Vec<Problem>, Vec<Problem>> {
        let used = self.tera.get_template_variables(template).map_err(|e| vec![broken(template, &e)])?;
        let used: BTreeSet<&str> = used.into_iter().collect();
        let unknown = used.into_iter().filter(|name| !vocabulary.names.contains(*name));
        Ok(unknown.map(|name| unknown_name(&self.title(template), name, vocabulary)).collect())
    }

    fn title(&self, template: &str) -> String {
        match self.own.contains(template) {
            true => format!("your template `{template}`"),
            false => format!("the template `{template}`"),
        }
    }
}

fn broken(what: &str, error: &tera::Error) -> Problem {
    let mut reason = error.to_string();
    let mut source = std::error::Error::source(error);
    while let Some(inner) = source {
        reason = format!("{reason}: {inner}");
        source = inner.source();
    }
    Problem::fault("", format!("{what} cannot be used: {reason}"), "mend it, or take it away to use the built-in words")
        .within(Source::Firm)
}

fn unknown_template(name: &str) -> Problem {
    let names: Vec<String> = TEMPLATES.iter().map(|(n, _)| format!("`{n}`")).collect();
    let cure = format!("name it after the one that it replaces: {}", super::wording::list(&names));
    Problem::fault("", format!("no document uses a template called `{name}`"), cure).within(Source::Firm)
}

fn unknown_name(title: &str, name: &str, vocabulary: &Vocabulary) -> Problem {
    let near = vocabulary.names.iter().min_by_key(|known| (strsim::damerau_levenshtein(known, name), **known));
    let cure = match near {
        Some(near) if strsim::damerau_levenshtein(near, name) <= 3 => format!("did you mean `{near}`?"),
        _ => "use one of the names that the built-in template uses".to_owned(),
    };
    Problem::fault("", format!("{title} asks for `{name}`, which there is not"), cure).within(Source::Firm)
}

/// Named values for one template. Every text is escaped as it is put in.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    context: Context,
    names: BTreeSet<&'static str>,
}

impl Vocabulary {
    /// A text.
    pub fn text(&mut self, name: &'static str, value: impl AsRef<str>) -> &mut Vocabulary {
        self.put(name, &escape(value.as_ref()))
    }

    /// A text that may be missing: then it is empty, which counts as `no` in an `if`.
    pub fn maybe(&mut self, name: &'static str, value: Option<impl AsRef<str>>) -> &mut Vocabulary {
        self.put(name, &value.map(|v| escape(v.as_ref())).unwrap_or_default())
    }

    /// Several texts, to be walked with `for`.
    pub fn texts(&mut self, name: &'static str, values: &[impl AsRef<str>]) -> &mut Vocabulary {
        self.put(name, &values.iter().map(|v| escape(v.as_ref())).collect::<Vec<_>>())
    }

    /// Yes or no.
    pub fn yes(&mut self, name: &'static str, value: bool) -> &mut Vocabulary {
        self.put(name, &value)
    }

    /// Markdown that came out of another template: its texts are escaped already.
    pub fn filled(&mut self, name: &'static str, markdown: &str) -> &mut Vocabulary {
        self.put(name, markdown)
    }

    /// The names, in order.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        self.names.iter().copied()
    }

    fn put<T: serde::Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> &mut Vocabulary {
        self.context.insert(name, value);
        self.names.insert(name);
        self
    }
}

/// Text that comes out of Markdown exactly as it went in: every sign that Markdown could read is escaped, and all white
/// space, line ends included, becomes single spaces (CommonMark 0.31, section 2.4: any ASCII punctuation may be escaped).
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for word in text.split([' ', '\t', '\n', '\r']).filter(|w| !w.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        for c in word.chars() {
            if c.is_ascii_punctuation() {
                out.push('\\');
            }
            out.push(c);
        }
    }
    out
}
