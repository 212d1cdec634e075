//! The words: templates with the firm's own over the built-in ones, filled with finished text.
//!
//! Given templates and a vocabulary of named values; gives Markdown. Every text in the vocabulary is escaped when it is
//! put in, so that nothing a user typed can change a document, whatever the template does with it. A name that a
//! template uses and the vocabulary lacks is a problem, even inside an `if`, where the template engine would let it pass.

use super::overrides::Overrides;
use super::template_signs;
use crate::facts;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Problem, Whereabouts};
use crate::pages::block::{Block, Span};
use crate::pages::fonts::Fonts;
use crate::pages::{markdown, template_place};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use tera::{Context, ErrorKind, Tera};

/// The built-in templates, by name.
pub const TEMPLATES: &[(&str, &str)] = &[
    ("quote.md", include_str!("../../templates/quote.md")),
    ("quote-page-one.md", include_str!("../../templates/quote-page-one.md")),
    ("quote-roof.md", include_str!("../../templates/quote-roof.md")),
    ("quote-old-roof.md", include_str!("../../templates/quote-old-roof.md")),
    ("statutory.md", include_str!("../../templates/statutory.md")),
    ("cancelling.md", include_str!("../../templates/cancelling.md")),
    ("guarantee-start.md", include_str!("../../templates/guarantee-start.md")),
    ("guarantee-claim.md", include_str!("../../templates/guarantee-claim.md")),
    ("order.md", include_str!("../../templates/order.md")),
    ("method.md", include_str!("../../templates/method.md")),
    ("method-crew.md", include_str!("../../templates/method-crew.md")),
    ("method-cards.md", include_str!("../../templates/method-cards.md")),
    ("method-pots.md", include_str!("../../templates/method-pots.md")),
    ("method-office.md", include_str!("../../templates/method-office.md")),
    ("day-card.md", include_str!("../../templates/day-card.md")),
    ("method-old-roof.md", include_str!("../../templates/method-old-roof.md")),
    ("first-hold.md", include_str!("../../templates/first-hold.md")),
    ("in-the-way.md", include_str!("../../templates/in-the-way.md")),
    ("at-the-line.md", include_str!("../../templates/at-the-line.md")),
    ("night-sheet.md", include_str!("../../templates/night-sheet.md")),
    ("tiles-off.md", include_str!("../../templates/tiles-off.md")),
    ("tiles-by-others.md", include_str!("../../templates/tiles-by-others.md")),
    ("coping-off.md", include_str!("../../templates/coping-off.md")),
    ("coping-by-others.md", include_str!("../../templates/coping-by-others.md")),
    ("corner.md", include_str!("../../templates/corner.md")),
    ("cut.md", include_str!("../../templates/cut.md")),
    ("board-list.md", include_str!("../../templates/board-list.md")),
    ("mat-note.md", include_str!("../../templates/mat-note.md")),
    ("site-warning.md", include_str!("../../templates/site-warning.md")),
    ("card-weather.md", include_str!("../../templates/card-weather.md")),
    ("weather-reason.md", include_str!("../../templates/weather-reason.md")),
    ("gel-basis.md", include_str!("../../templates/gel-basis.md")),
    ("standing.md", include_str!("../../templates/standing.md")),
    ("invoice.md", include_str!("../../templates/invoice.md")),
    ("receipt.md", include_str!("../../templates/receipt.md")),
    ("paid-back.md", include_str!("../../templates/paid-back.md")),
    ("variation.md", include_str!("../../templates/variation.md")),
    ("account.md", include_str!("../../templates/account.md")),
    ("handover.md", include_str!("../../templates/handover.md")),
    ("mail-quote.md", include_str!("../../templates/mail-quote.md")),
    ("mail-invoice.md", include_str!("../../templates/mail-invoice.md")),
    ("mail-receipt.md", include_str!("../../templates/mail-receipt.md")),
    ("mail-paid-back.md", include_str!("../../templates/mail-paid-back.md")),
    ("mail-variation.md", include_str!("../../templates/mail-variation.md")),
    ("mail-account.md", include_str!("../../templates/mail-account.md")),
    ("mail-handover.md", include_str!("../../templates/mail-handover.md")),
    ("mail-order.md", include_str!("../../templates/mail-order.md")),
];

/// The templates that give a whole document, or a message.
const DOCUMENTS: [&str; 18] = [
    "quote.md",
    "order.md",
    "method.md",
    "day-card.md",
    "invoice.md",
    "receipt.md",
    "paid-back.md",
    "variation.md",
    "account.md",
    "handover.md",
    "mail-quote.md",
    "mail-order.md",
    "mail-invoice.md",
    "mail-receipt.md",
    "mail-paid-back.md",
    "mail-variation.md",
    "mail-account.md",
    "mail-handover.md",
];

/// The words of all documents, ready to be filled.
pub struct Words {
    /// All templates, the firm's own among them; none where the firm has no own, and each is read when it is filled.
    tera: Option<Tera>,
    own: BTreeMap<String, OwnTemplate>,
    noted: RefCell<Vec<Problem>>,
    fonts: Fonts,
}

/// A template of the firm: its place among the firm's own files, and its text.
struct OwnTemplate {
    number: usize,
    text: String,
}

impl Words {
    /// Takes the built-in templates and the firm's own, which stand in for those of the same name.
    ///
    /// # Errors
    /// Every template of the firm whose name no document uses, or whose text cannot be read as a template.
    pub fn new(overrides: &Overrides) -> Result<Words, Vec<Problem>> {
        let mut tera = if overrides.templates.is_empty() { None } else { Some(all_built_in()?.clone()) };
        let mut problems = Vec::new();
        let mut own = BTreeMap::new();
        for (number, (name, text)) in overrides.templates.iter().enumerate() {
            if !TEMPLATES.iter().any(|(known, _)| known == name) {
                problems.push(unknown_template(name).within(Source::Own(number)));
            } else if let Some(Err(e)) = tera.as_mut().map(|tera| tera.add_raw_template(name, text)) {
                problems.extend(unreadable(name, text, &e).into_iter().map(|p| p.within(Source::Own(number))));
            } else {
                let title = format!("your template `{name}`");
                let beyond = template_signs::beyond(&title, text);
                problems.extend(beyond.into_iter().map(|p| p.within(Source::Own(number))));
            }
            own.insert(name.clone(), OwnTemplate { number, text: text.clone() });
        }
        match problems.is_empty() {
            true => Ok(Words { tera, own, noted: RefCell::default(), fonts: Fonts::default() }),
            false => Err(problems),
        }
    }

    /// The same words, to be set in other fonts than the built-in ones.
    #[must_use]
    pub fn set_in(self, fonts: Fonts) -> Words {
        Words { fonts, ..self }
    }

    /// The fonts that they are set in: what fits a page is measured in them.
    pub const fn fonts(&self) -> Fonts {
        self.fonts
    }

    /// The blocks of a document: its template filled and read, its named places filled with finished blocks.
    ///
    /// # Errors
    /// Everything that is wrong with the templates filled so far, all at once, each in its place.
    pub fn blocks(
        &self,
        template: &str,
        vocabulary: &Vocabulary,
        places: &BTreeMap<String, Vec<Block>>,
    ) -> Result<Vec<Block>, Vec<Problem>> {
        let text = self.fill(template, vocabulary)?;
        if text.trim().is_empty() && DOCUMENTS.contains(&template) && self.noted.borrow().is_empty() {
            let fault = format!("{} gives no words at all: its document would be blank", self.title(template));
            let cure = "write its words, or take the file away to use the built-in ones";
            self.note(Problem::fault(Whereabouts::WholeFile, fault, cure).within(self.source(template)));
        }
        let read = markdown::blocks(&text, places);
        for astray in read.as_ref().err().into_iter().flatten() {
            self.note(self.placed(
                template,
                |_| (*astray.problem).clone(),
                |text| template_place::of_words(text, &astray.words),
            ));
        }
        let most = limits::BLOCKS.most;
        if read.as_ref().is_ok_and(|blocks| Block::parts_of(blocks) > most) {
            let so_much = format!("more than {most} paragraphs, items and rows");
            self.note(match self.own.contains_key(template) {
                true => {
                    let fault = format!("{} gives {so_much}", self.title(template));
                    let cure = "take out what is not read; a document of a job has some hundred";
                    Problem::fault(Whereabouts::WholeFile, fault, cure).within(self.source(template))
                }
                false => beyond_reading(&so_much),
            });
        }
        let noted = self.noted.take();
        if noted.is_empty() { Ok(read.unwrap_or_default()) } else { Err(noted) }
    }

    /// The running text that a template gives: one paragraph, or nothing.
    ///
    /// # Errors
    /// As [`Words::blocks`]; more than one paragraph, a list, a fence or a heading.
    pub fn sentence(&self, template: &str, vocabulary: &Vocabulary) -> Result<Vec<Span>, Vec<Problem>> {
        match self.blocks(template, vocabulary, &BTreeMap::new())?.as_mut_slice() {
            [] => Ok(Vec::new()),
            [Block::Paragraph(spans)] => Ok(std::mem::take(spans)),
            _ => {
                let fault = format!("{} gives more than one paragraph of running text", self.title(template));
                let cure = "write the sentences of each case one after the other: no list, no heading, no empty line";
                Err(vec![Problem::fault(Whereabouts::WholeFile, fault, cure).within(self.source(template))])
            }
        }
    }

    /// Fills a template. A name that the vocabulary lacks is noted, and told by [`Words::blocks`] together with whatever
    /// else is wrong; here it counts as empty.
    ///
    /// # Errors
    /// What went wrong while filling it, with what was noted before.
    pub fn fill(&self, template: &str, vocabulary: &Vocabulary) -> Result<String, Vec<Problem>> {
        if let Some(problem) = self.too_much_work(template, vocabulary) {
            self.note(problem);
            return Err(self.noted.take());
        }
        let tera = match &self.tera {
            Some(tera) => tera,
            None => built_in(template)?,
        };
        let unknown = unknown_names(tera, template, vocabulary).map_err(|e| vec![broken(&self.title(template), &e)])?;
        let filled = match unknown.is_empty() {
            true => self.rendered(tera, template, &vocabulary.context),
            false => {
                let mut context = vocabulary.context.clone();
                unknown.iter().for_each(|name| context.insert(name.clone(), ""));
                for name in &unknown {
                    let problem = |title: &str| unknown_name(title, name, vocabulary);
                    self.note(self.placed(template, problem, |text| template_place::of_name(text, name)));
                }
                Ok(self.rendered(tera, template, &context).unwrap_or_default())
            }
        };
        filled.map_err(|problem| {
            self.note(*problem);
            self.noted.take()
        })
    }

    /// The text that a template gives, as long as it is no longer than [`LONGEST`].
    fn rendered(&self, tera: &Tera, template: &str, context: &Context) -> Result<String, Box<Problem>> {
        let mut written = TemplateOutput { text: Vec::new(), full: false };
        match tera.render_to(template, context, &mut written) {
            _ if written.full => Err(Box::new(self.placed(template, too_long, |_| None))),
            Ok(()) => Ok(String::from_utf8(written.text).unwrap_or_default()),
            Err(e) => Err(Box::new(self.unfilled(template, &e))),
        }
    }

    /// A template of the firm that would be filled for a long time, or that is filled into itself.
    fn too_much_work(&self, template: &str, vocabulary: &Vocabulary) -> Option<Problem> {
        let text_of = |name: &str| {
            let built_in = || TEMPLATES.iter().find(|(known, _)| *known == name).map(|(_, text)| *text);
            self.own.get(name).map(|own| own.text.as_str()).or_else(built_in)
        };
        let much = !self.own.is_empty()
            && template_signs::steps(template, &text_of, &vocabulary.names) > template_signs::MOST_STEPS;
        much.then(|| {
            let most = limits::TEMPLATE_STEPS.most;
            let fault =
                |title: &str| format!("{title} has loops inside loops that come to more than {most} million steps");
            let problem =
                |title: &str| Problem::fault(Whereabouts::WholeFile, fault(title), "take a loop out of the other");
            self.placed(template, problem, |text| template_place::of_name(text, "for"))
        })
    }

    fn note(&self, problem: Problem) {
        let mut noted = self.noted.borrow_mut();
        if !noted.contains(&problem) {
            noted.push(problem);
        }
    }

    /// A problem in its place in the firm's template, or in another of the firm's templates that is filled into it, whose
    /// title the problem's words are given.
    fn placed(
        &self,
        template: &str,
        problem: impl Fn(&str) -> Problem,
        find: impl Fn(&str) -> Option<Whereabouts>,
    ) -> Problem {
        let first = self.own.get_key_value(template).into_iter();
        let mut all = first.chain(self.own.iter().filter(|(name, _)| *name != template));
        let found = all.find_map(|(name, own)| find(&own.text).map(|place| (name.as_str(), own.number, place)));
        match found {
            Some((name, number, place)) => Problem { place, ..problem(&self.title(name)) }.within(Source::Own(number)),
            None => problem(&self.title(template)).within(self.source(template)),
        }
    }

    /// What went wrong while a template was filled, in its place.
    fn unfilled(&self, template: &str, error: &tera::Error) -> Problem {
        let ErrorKind::RenderingError(report) = error.kind() else {
            return broken(&self.title(template), error).within(self.source(template));
        };
        let fault = format!("{} cannot be filled here: {}", self.title(report.filename()), report.message());
        let problem = Problem::fault(Whereabouts::WholeFile, fault, CURE_OF_SIGNS);
        match self.own.get(report.filename()) {
            Some(own) => Problem { place: start_of(report), ..problem }.within(Source::Own(own.number)),
            None => problem.within(Source::Firm),
        }
    }

    /// Where a template stands: among the firm's own files, or inside the program.
    pub(super) fn source(&self, template: &str) -> Source {
        self.own.get(template).map_or(Source::Firm, |own| Source::Own(own.number))
    }

    fn title(&self, template: &str) -> String {
        match self.own.contains_key(template) {
            true => format!("your template `{template}`"),
            false => format!("the template `{template}`"),
        }
    }
}

/// The longest text that a template may give, bytes. A loop in a loop can be short and give text without end.
const LONGEST: usize = limits::TEMPLATE_TEXT.most * 1_000_000;

/// What a template has given so far.
struct TemplateOutput {
    text: Vec<u8>,
    full: bool,
}

impl std::io::Write for TemplateOutput {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.full |= self.text.len() + bytes.len() > LONGEST;
        if self.full {
            return Err(std::io::ErrorKind::StorageFull.into());
        }
        self.text.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

fn too_long(title: &str) -> Problem {
    let fault = format!("{title} gives a text of more than {} MB", LONGEST / 1_000_000);
    Problem::fault(Whereabouts::WholeFile, fault, "look for a loop inside a loop, and take one out")
}

/// Names that a template uses and the vocabulary lacks.
fn unknown_names(tera: &Tera, template: &str, vocabulary: &Vocabulary) -> tera::TeraResult<BTreeSet<String>> {
    let used = tera.get_template_variables(template)?;
    Ok(used.into_iter().filter(|name| !vocabulary.names.contains_key(*name)).map(str::to_owned).collect())
}

/// Templates as they were read, or why they could not be.
type ReadTemplates = OnceLock<Result<Tera, Vec<Problem>>>;

/// The built-in templates, read once in a process.
fn all_built_in() -> Result<&'static Tera, Vec<Problem>> {
    static READ: ReadTemplates = OnceLock::new();
    READ.get_or_init(|| read(TEMPLATES.iter().copied())).as_ref().map_err(Clone::clone)
}

/// One built-in template with those that are filled into it, read once in a process: an order needs few of them.
fn built_in(template: &str) -> Result<&'static Tera, Vec<Problem>> {
    static READ: [ReadTemplates; TEMPLATES.len()] = [const { OnceLock::new() }; TEMPLATES.len()];
    let Some(place) = TEMPLATES.iter().position(|(name, _)| *name == template) else { return all_built_in() };
    let with_parts = || {
        let mut needed = BTreeSet::new();
        add_with_parts(TEMPLATES[place], &mut needed);
        read(needed)
    };
    READ[place].get_or_init(with_parts).as_ref().map_err(Clone::clone)
}

/// Adds a built-in template and all that are filled into it.
fn add_with_parts(template: (&'static str, &'static str), needed: &mut BTreeSet<(&'static str, &'static str)>) {
    if needed.insert(template) {
        let parts = template.1.split("{% include \"").skip(1).filter_map(|rest| rest.split('"').next());
        let known = parts.filter_map(|part| TEMPLATES.iter().find(|(name, _)| *name == part));
        known.for_each(|&part| add_with_parts(part, needed));
    }
}

fn read(templates: impl IntoIterator<Item = (&'static str, &'static str)>) -> Result<Tera, Vec<Problem>> {
    let mut tera = Tera::new();
    match tera.add_raw_templates(templates) {
        Ok(()) => Ok(tera),
        Err(e) => Err(vec![broken("the built-in templates", &e)]),
    }
}

const CURE_OF_SIGNS: &str = "`{{ name }}` puts a text in, `{% if name %} … {% endif %}` asks whether it is there, `{% for line in names %} … \
     {% endfor %}` walks a list";

fn start_of(report: &tera::ReportError) -> Whereabouts {
    Whereabouts::Text { line: report.span().start_line, column: report.span().start_col + 1 }
}

/// Why a template cannot be read, in its place; several where it asks for several things that there are not.
fn unreadable(name: &str, text: &str, error: &tera::Error) -> Vec<Problem> {
    let title = format!("your template `{name}`");
    match error.kind() {
        ErrorKind::SyntaxError(report) => {
            let fault = format!("{title} cannot be used: {}", sentence(report.message()));
            vec![Problem::fault(start_of(report), fault, CURE_OF_SIGNS)]
        }
        ErrorKind::Msg(message) if message.contains("Unknown ") => unknown_signs(&title, text, message),
        _ => vec![broken(&title, error)],
    }
}

/// The filters, tests and templates that a text asks for and that there are not, read off the engine's message.
fn unknown_signs(title: &str, text: &str, message: &str) -> Vec<Problem> {
    let named = message.split("Unknown ").skip(1).filter_map(|part| {
        let (kind, rest) = part.split_once(" `")?;
        Some((kind, rest.split_once('`')?.0))
    });
    let mut problems: Vec<Problem> = Vec::new();
    for (kind, name) in named {
        let place = match kind {
            "template" => template_place::of_words(text, name),
            _ => template_place::of_name(text, name),
        };
        let fault = format!("{title} asks for the {kind} `{name}`, which there is not");
        let problem =
            Problem::fault(place.unwrap_or_default(), fault, "take it out: every text comes ready to be printed");
        if !problems.contains(&problem) {
            problems.push(problem);
        }
    }
    problems
}

/// The engine's words, beginning small, as they go on after a colon.
fn sentence(message: &str) -> String {
    let mut letters = message.trim_end_matches('.').chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

/// The refusal of a document in the program's own words that would hold too much.
pub fn beyond_reading(so_much: &str) -> Problem {
    let fault = format!("a document of this job would tell of {so_much}");
    let cure = "make several jobs of it, each with some of the roofs; or shorten its notes and lists";
    Problem::fault(Whereabouts::WholeFile, fault, cure)
}

fn broken(what: &str, error: &tera::Error) -> Problem {
    let mut reason = error.to_string();
    let mut source = std::error::Error::source(error);
    while let Some(inner) = source {
        reason = format!("{reason}: {inner}");
        source = inner.source();
    }
    Problem::fault(
        Whereabouts::WholeFile,
        format!("{what} cannot be used: {reason}"),
        "mend it, or take it away to use the built-in words",
    )
    .within(Source::Firm)
}

fn unknown_template(name: &str) -> Problem {
    let names: Vec<String> = TEMPLATES.iter().map(|(n, _)| format!("`{n}`")).collect();
    let near = TEMPLATES.iter().map(|(n, _)| *n).min_by_key(|n| strsim::damerau_levenshtein(n, name));
    let cure = match near {
        Some(near) if strsim::damerau_levenshtein(near, name) <= 1 => format!("did you mean `{near}`?"),
        _ => format!("name it after the one that it replaces: {}", super::wording::list(&names)),
    };
    Problem::fault(Whereabouts::WholeFile, format!("no document uses a template called `{name}`"), cure)
}

fn unknown_name(title: &str, name: &str, vocabulary: &Vocabulary) -> Problem {
    let near = vocabulary.names.keys().min_by_key(|known| (strsim::damerau_levenshtein(known, name), **known));
    let cure = match near {
        Some(near) if strsim::damerau_levenshtein(near, name) <= 3 => format!("did you mean `{near}`?"),
        _ => "use one of the names that the built-in template uses".to_owned(),
    };
    Problem::fault(Whereabouts::WholeFile, format!("{title} asks for `{name}`, which there is not"), cure)
}

/// Named values for one template. Every text is escaped as it is put in.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    context: Context,
    /// Every name, with the number of times that a loop over it turns: as many as a list has entries, or a text signs.
    names: BTreeMap<&'static str, usize>,
}

impl Vocabulary {
    /// A text.
    pub fn text(&mut self, name: &'static str, value: impl AsRef<str>) -> &mut Vocabulary {
        let text = escape(value.as_ref());
        self.put(name, &text, text.len())
    }

    /// A text that may be missing: then it is empty, which counts as `no` in an `if`.
    pub fn maybe(&mut self, name: &'static str, value: Option<impl AsRef<str>>) -> &mut Vocabulary {
        let text = value.map(|v| escape(v.as_ref())).unwrap_or_default();
        self.put(name, &text, text.len())
    }

    /// Several texts, to be walked with `for`.
    pub fn texts(&mut self, name: &'static str, values: &[impl AsRef<str>]) -> &mut Vocabulary {
        self.put(name, &values.iter().map(|v| escape(v.as_ref())).collect::<Vec<_>>(), values.len())
    }

    /// Yes or no.
    pub fn yes(&mut self, name: &'static str, value: bool) -> &mut Vocabulary {
        self.put(name, &value, 1)
    }

    /// Several lines of Markdown that came out of another template: their texts are escaped already.
    pub fn filled_lines(&mut self, name: &'static str, lines: &[String]) -> &mut Vocabulary {
        self.put(name, lines, lines.len())
    }

    /// The facts of safety and law, and the titles of their sources, each by its name.
    pub fn facts(&mut self) -> &mut Vocabulary {
        for fact in facts::ALL_FACTS {
            self.text(fact.name, fact.value);
        }
        for source in facts::ALL_SOURCES {
            self.text(source.name, source.title);
        }
        self
    }

    /// Markdown that came out of another template: its texts are escaped already.
    pub fn filled(&mut self, name: &'static str, markdown: &str) -> &mut Vocabulary {
        self.put(name, markdown, markdown.len())
    }

    /// The names, in order.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        self.names.keys().copied()
    }

    fn put<T: serde::Serialize + ?Sized>(&mut self, name: &'static str, value: &T, length: usize) -> &mut Vocabulary {
        self.context.insert(name, value);
        self.names.insert(name, length);
        self
    }
}

/// Text that comes out of Markdown exactly as it went in: every sign that Markdown could read is escaped, and all white
/// space, line ends included, becomes single spaces (CommonMark 0.31, section 2.4: any ASCII punctuation may be escaped).
/// Wide and unbroken spaces at its ends go, since bold type set close to them would not be seen as such (6.2).
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for word in text.trim().split([' ', '\t', '\n', '\r']).filter(|w| !w.is_empty()) {
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
