//! Markdown becomes blocks: prose, and the places where finished blocks stand.
//!
//! Given a template's text and the blocks of each named place; gives the document's blocks. A fenced block says what it
//! is by its first word (`table price`, `note Before you start`, `ticks`); a line of three hyphens starts a new page.
//! HTML is never obeyed: it is shown as the text that it is.

use super::block::{Block, DayBoxes, DayRow, Field, FieldRoom, Span, Tone};
use crate::model::{Problem, Whereabouts};
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// The blocks of a text; `places` holds the blocks that a fence can name.
///
/// # Errors
/// Every fence that is not known, every place that does not exist (with the nearest that does), every field that cannot be
/// read.
pub fn blocks(text: &str, places: &BTreeMap<String, Vec<Block>>) -> Result<Vec<Block>, Vec<Astray>> {
    let faults = RefCell::default();
    let blocks = BlockReader { places, depth: 0, faults: &faults }.read(text);
    let faults = faults.into_inner();
    if faults.is_empty() { Ok(blocks) } else { Err(faults) }
}

/// What a text tells of, by the names of its marks, each as often as it stands there.
pub fn told(text: &str) -> impl Iterator<Item = &str> {
    // A sign that came in with a value has a backslash before it.
    text.match_indices('`').filter_map(|(at, _)| {
        let marked = text[at + 1..].strip_prefix(TELLS).filter(|_| !text[..at].ends_with(['\\', '`']))?;
        marked.split_once('`').map(|(name, _)| name.trim())
    })
}

/// What is wrong with a text, and the words of the text by which the place is found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Astray {
    /// The problem.
    pub problem: Box<Problem>,
    /// The words; empty where it is about no words in particular.
    pub words: String,
}

impl Astray {
    fn new(words: &str, fault: impl Into<String>, cure: impl Into<String>) -> Astray {
        Astray { problem: Problem::fault(Whereabouts::WholeFile, fault, cure).into(), words: words.to_owned() }
    }
}

/// The words of each footnote that a text defines, by name.
fn notes_of(text: &str) -> Result<BTreeMap<String, Vec<Span>>, Astray> {
    let mut notes = BTreeMap::new();
    let mut open: Option<(String, Building)> = None;
    for event in Parser::new_ext(text, Options::ENABLE_FOOTNOTES) {
        match (event, &mut open) {
            (Event::Start(Tag::FootnoteDefinition(name)), _) => open = Some((name.into_string(), Building::default())),
            (Event::End(TagEnd::FootnoteDefinition), _) => {
                notes.extend(open.take().map(|(name, words)| (name, words_of(&words.finish()))));
            }
            (event, Some((_, words))) => words.event(event)?,
            _ => {}
        }
    }
    Ok(notes)
}

/// Fences may stand in fences, and lists in lists, this deep.
const DEEPEST: usize = 8;
/// What a fence may be.
const FENCES: [&str; 19] = [
    "figure", "table", "box", "note", "hold", "caution", "ticks", "choose", "fields", "days", "keep", "sheet", "leaf",
    "card", "small", "columns", "beside", "balanced", "room",
];

struct BlockReader<'a> {
    places: &'a BTreeMap<String, Vec<Block>>,
    depth: usize,
    faults: &'a RefCell<Vec<Astray>>,
}

impl BlockReader<'_> {
    fn note(&self, fault: Astray) {
        let mut faults = self.faults.borrow_mut();
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }

    fn read(&self, text: &str) -> Vec<Block> {
        if self.depth > DEEPEST {
            self.note(Astray::new("", "fenced blocks stand in each other too deeply", "take some of them apart"));
            return Vec::new();
        }
        let mut page = Building::default();
        let mut fence: Option<(String, String)> = None;
        let notes = notes_of(text).unwrap_or_else(|fault| {
            self.note(fault);
            BTreeMap::new()
        });
        let mut in_note = false;
        for event in Parser::new_ext(text, Options::ENABLE_FOOTNOTES) {
            match (event, &mut fence) {
                (Event::Start(Tag::FootnoteDefinition(_)), None) => {
                    page.close_paragraph();
                    in_note = true;
                }
                (Event::End(TagEnd::FootnoteDefinition), None) => in_note = false,
                _ if in_note => {}
                (Event::FootnoteReference(name), None) => {
                    page.spans.extend(notes.get(&*name).map(|words| Span::note(words.clone())));
                }
                (Event::Start(Tag::CodeBlock(kind)), _) => {
                    page.close_paragraph();
                    let info = match kind {
                        CodeBlockKind::Fenced(info) => info.trim().to_owned(),
                        CodeBlockKind::Indented => String::new(),
                    };
                    fence = Some((info, String::new()));
                }
                (Event::End(TagEnd::CodeBlock), _) => {
                    if let Some((info, inner)) = fence.take() {
                        self.fence(&info, &inner).into_iter().for_each(|block| page.push(block));
                    }
                }
                (Event::Text(text), Some((_, inner))) => inner.push_str(&text),
                (event, _) => {
                    if let Err(fault) = page.event(event) {
                        self.note(fault);
                        break;
                    }
                }
            }
        }
        page.finish()
    }

    fn inner(&self, text: &str) -> Vec<Block> {
        BlockReader { depth: self.depth + 1, ..*self }.read(text)
    }

    fn parts(&self, text: &str) -> Vec<Vec<Block>> {
        split_columns(text).iter().map(|part| self.inner(part)).collect()
    }

    /// The blocks of a card or an operation, its name first where it has one.
    fn named(&self, name: &str, inner: &str) -> Vec<Block> {
        let name = (!name.is_empty()).then(|| Block::Named(name.to_owned()));
        name.into_iter().chain(self.inner(inner)).collect()
    }

    fn fence(&self, info: &str, inner: &str) -> Vec<Block> {
        let (kind, rest) = info.split_once(char::is_whitespace).unwrap_or((info, ""));
        let rest = rest.trim();
        let read = match kind {
            "figure" | "table" | "box" => self.place(kind, rest),
            "note" => Ok(self.callout(Tone::Note, rest, inner)),
            "hold" => Ok(self.callout(Tone::Hold, rest, inner)),
            "caution" => Ok(self.callout(Tone::Caution, rest, inner)),
            "ticks" => Ok(vec![Block::Ticks(ticks(&self.inner(inner)))]),
            "choose" => Ok(vec![Block::Choices(ticks(&self.inner(inner)))]),
            "fields" => Ok(vec![Block::Fields(self.fields(inner))]),
            "days" => self.days(rest, inner),
            "room" => percent(rest).map(|percent| vec![Block::Room(percent)]),
            "keep" => Ok(vec![Block::Keep(self.inner(inner))]),
            "sheet" => Ok(vec![Block::Sheet(self.inner(inner))]),
            "leaf" => Ok(vec![Block::Leaf(self.named(rest, inner))]),
            "card" => Ok(vec![Block::Card(self.named(rest, inner))]),
            "small" => Ok(vec![Block::Small(self.inner(inner))]),
            "columns" => Ok(vec![Block::Columns(self.parts(inner))]),
            "balanced" => Ok(vec![Block::Balanced(self.parts(inner))]),
            "beside" => self.place("figure", rest).map(|figure| vec![Block::Beside(vec![self.inner(inner), figure])]),
            "" => Ok(vec![Block::Paragraph(vec![Span::plain(inner.trim_end())])]),
            other => Err(unknown_fence(other, info)),
        };
        read.unwrap_or_else(|fault| {
            self.note(fault);
            Vec::new()
        })
    }

    fn fields(&self, inner: &str) -> Vec<Field> {
        let read = |line: &str| field(line).map_err(|fault| self.note(fault)).ok();
        inner.lines().filter(filled).filter_map(read).collect()
    }

    /// The days stand behind the fence's name; each line below is written down on each of them.
    fn days(&self, days: &str, inner: &str) -> Result<Vec<Block>, Astray> {
        let words = |text: &str| plain_words(text.trim());
        let days: Vec<String> = words(days).split(',').map(words).filter(|day| !day.is_empty()).collect();
        let rows: Vec<DayRow> = inner.lines().filter(filled).filter_map(day_row).collect();
        if days.is_empty() || rows.is_empty() {
            let fault = "the boxes of days cannot be read";
            let cure = "write `days Day 1, Day 2`, and below it a line for each thing that is written down on each of them: `Moisture %`, or `Initials | sign`";
            return Err(Astray::new(&format!("days {}", days.join(", ")), fault, cure));
        }
        Ok(vec![Block::Days(DayBoxes { days, rows })])
    }

    fn place(&self, kind: &str, name: &str) -> Result<Vec<Block>, Astray> {
        self.places.get(name).cloned().ok_or_else(|| {
            let nearest = nearest(name, self.places.keys().map(String::as_str));
            let cure = match nearest {
                Some(nearest) => format!("write `{kind} {nearest}`, or leave the block out"),
                None => "leave the block out: this document has no such places".to_owned(),
            };
            let asked = format!("{kind} {name}");
            let fault = format!("the text asks for `{asked}`, and there is no place of that name");
            Astray::new(&asked, fault, cure)
        })
    }

    fn callout(&self, tone: Tone, title: &str, inner: &str) -> Vec<Block> {
        vec![Block::Callout { tone, title: title.to_owned(), blocks: self.inner(inner) }]
    }
}

/// Words without their Markdown escapes.
fn plain_words(title: &str) -> String {
    let mut words = String::new();
    for event in Parser::new_ext(title, Options::empty()) {
        match event {
            Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) | Event::Html(text) => {
                words.push_str(&text)
            }
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            _ => {}
        }
    }
    if words.is_empty() { title.to_owned() } else { words }
}

fn percent(words: &str) -> Result<u8, Astray> {
    words.trim_end_matches('%').trim().parse().ok().filter(|n| *n <= 100).ok_or_else(|| {
        let fault = format!("the room `{words}` cannot be read");
        let cure = "write `room 40`: a new page unless 40 per cent of this one are free";
        Astray::new(&format!("room {words}"), fault, cure)
    })
}

fn filled(line: &&str) -> bool {
    !line.trim().is_empty()
}

fn unknown_fence(kind: &str, info: &str) -> Astray {
    let nearest = nearest(kind, FENCES.into_iter()).unwrap_or("note");
    let fault = format!("the text has a fenced block `{kind}`, which is not known");
    Astray::new(info, fault, format!("write `{nearest}`, or one of {}", FENCES.join(", ")))
}

fn nearest<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known.min_by_key(|other| strsim::damerau_levenshtein(name, other))
}

/// Parts between lines of three or more equals signs.
fn split_columns(text: &str) -> Vec<String> {
    let mut columns = vec![String::new()];
    for line in text.lines() {
        let parts = line.trim().len() >= 3 && line.trim().chars().all(|letter| letter == '=');
        match columns.last_mut() {
            Some(column) if !parts => {
                column.push_str(line);
                column.push('\n');
            }
            _ => columns.push(String::new()),
        }
    }
    columns
}

/// `Label | twelfths | tall`, or `sign` for a signature. An upright stroke that is escaped belongs to the label.
fn field(line: &str) -> Result<Field, Astray> {
    let parts: Vec<&str> = split_unescaped(line).into_iter().map(str::trim).collect();
    let wrong = || {
        let fault = format!("the field `{}` cannot be read", line.trim());
        let cure = "write `Label | 6`, `Label | 6 | tall` or, for a signature, `Label | 6 | sign`; the number is its share of the row in twelfths";
        Astray::new(line, fault, cure)
    };
    let (label, twelfths, room) = match parts.as_slice() {
        [label] => (label, "12", FieldRoom::Line),
        [label, twelfths] => (label, *twelfths, FieldRoom::Line),
        [label, twelfths, "tall"] => (label, *twelfths, FieldRoom::Tall),
        [label, twelfths, "sign"] => (label, *twelfths, FieldRoom::Signature),
        _ => return Err(wrong()),
    };
    let twelfths = twelfths.parse().ok().filter(|share| (1..=12).contains(share)).ok_or_else(wrong)?;
    Ok(Field { label: plain_words(label), twelfths, room })
}

/// What is written down on each day: `Label`, or `Label | sign` where it is signed for.
fn day_row(line: &str) -> Option<DayRow> {
    match split_unescaped(line).into_iter().map(str::trim).collect::<Vec<_>>().as_slice() {
        [label] => Some(DayRow { words: plain_words(label), signed: false }),
        [label, "sign"] => Some(DayRow { words: plain_words(label), signed: true }),
        _ => None,
    }
}

/// Parts between upright strokes that no backslash stands before.
fn split_unescaped(line: &str) -> Vec<&str> {
    let (mut parts, mut start, mut escaped) = (Vec::new(), 0, false);
    for (at, letter) in line.char_indices() {
        if letter == '|' && !escaped {
            parts.push(&line[start..at]);
            start = at + 1;
        }
        escaped = letter == '\\' && !escaped;
    }
    parts.push(&line[start..]);
    parts
}

/// The words of each item of the lists among some blocks, and of each paragraph between them.
fn ticks(blocks: &[Block]) -> Vec<Vec<Span>> {
    blocks
        .iter()
        .flat_map(|block| match block {
            Block::List { items, .. } | Block::ListFrom { items, .. } => {
                items.iter().map(|item| words_of(item)).collect()
            }
            Block::Paragraph(spans) => vec![spans.clone()],
            _ => Vec::new(),
        })
        .collect()
}

fn words_of(blocks: &[Block]) -> Vec<Span> {
    let mut words: Vec<Span> = Vec::new();
    for block in blocks {
        let part = match block {
            Block::Paragraph(spans) => spans.clone(),
            Block::List { items, .. } | Block::ListFrom { items, .. } => {
                items.iter().flat_map(|item| words_of(item)).collect()
            }
            _ => Vec::new(),
        };
        if !words.is_empty() && !part.is_empty() {
            words.push(Span::plain("\n"));
        }
        words.extend(part);
    }
    words
}

/// What a mark between backticks begins with: `` `work firrings` `` marks the words after it.
const TELLS: &str = "work ";

/// A list that is being read.
struct OpenList {
    /// Number of the first item; `None` for bullets.
    first: Option<u64>,
    items: Vec<Vec<Block>>,
}

impl OpenList {
    fn close(self) -> Block {
        match self.first {
            None => Block::List { ordered: false, items: self.items },
            Some(0 | 1) => Block::List { ordered: true, items: self.items },
            Some(first) => Block::ListFrom { first: usize::try_from(first).unwrap_or(1), items: self.items },
        }
    }
}

/// Blocks that are being built.
#[derive(Default)]
struct Building {
    done: Vec<Block>,
    lists: Vec<OpenList>,
    spans: Vec<Span>,
    /// An inline run is open: a paragraph, a heading, or bare words in an item.
    heading: Option<u8>,
    bold: usize,
    italic: usize,
    links: Vec<String>,
}

impl Building {
    fn event(&mut self, event: Event<'_>) -> Result<(), Astray> {
        match event {
            Event::Start(tag) => self.start(tag)?,
            Event::End(tag) => self.end(tag),
            Event::Code(text) if text.starts_with(TELLS) => self.tells(text[TELLS.len()..].trim()),
            Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) | Event::Html(text) => self.text(&text),
            Event::SoftBreak => self.text(" "),
            Event::HardBreak => self.text("\n"),
            Event::Rule => {
                self.close_paragraph();
                self.push(Block::PageBreak);
            }
            _ => {}
        }
        Ok(())
    }

    fn start(&mut self, tag: Tag<'_>) -> Result<(), Astray> {
        match tag {
            Tag::Emphasis => self.italic += 1,
            Tag::Strong => self.bold += 1,
            Tag::Link { dest_url, .. } => self.links.push(dest_url.into_string()),
            Tag::Image { dest_url, .. } => {
                let fault = format!("the text has a picture ({dest_url}), which Markdown cannot place here");
                return Err(Astray::new(&dest_url, fault, "use a fenced block `figure NAME` for a picture of the job"));
            }
            Tag::Heading { level, .. } => {
                self.close_paragraph();
                self.heading = Some(depth_of(level));
            }
            Tag::List(first) => {
                self.close_paragraph();
                if self.lists.len() >= DEEPEST {
                    return Err(Astray::new("", "lists stand in each other too deeply", "take some of them apart"));
                }
                self.lists.push(OpenList { first, items: Vec::new() });
            }
            Tag::Item => {
                if let Some(list) = self.lists.last_mut() {
                    list.items.push(Vec::new());
                }
            }
            _ => self.close_paragraph(),
        }
        Ok(())
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Emphasis => self.italic -= 1,
            TagEnd::Strong => self.bold -= 1,
            TagEnd::Link => {
                self.links.pop();
            }
            TagEnd::List(_) => {
                self.close_paragraph();
                if let Some(list) = self.lists.pop() {
                    self.push(list.close());
                }
            }
            _ => self.close_paragraph(),
        }
    }

    fn text(&mut self, text: &str) {
        let span = Span {
            text: text.to_owned(),
            bold: self.bold > 0,
            italic: self.italic > 0,
            link: self.links.last().filter(|target| !target.is_empty()).cloned(),
            ..Span::default()
        };
        match self.spans.last_mut() {
            // What stands before a mark's own words is the space that parts it from them.
            Some(last) if last.text.is_empty() && !last.tells.is_empty() => {
                let tells = std::mem::take(&mut last.tells);
                *last = Span { text: span.text.trim_start().to_owned(), tells, ..span };
            }
            Some(last)
                if last.note.is_empty()
                    && (last.bold, last.italic, &last.link) == (span.bold, span.italic, &span.link) =>
            {
                last.text.push_str(text);
            }
            _ => self.spans.push(span),
        }
    }

    /// Marks the words that follow: they tell of something that is looked for by this name.
    fn tells(&mut self, name: &str) {
        match self.spans.last_mut() {
            Some(last) if last.text.is_empty() => last.tells.push(name.to_owned()),
            _ => self.spans.push(Span { tells: vec![name.to_owned()], ..Span::default() }),
        }
    }

    fn close_paragraph(&mut self) {
        let mut spans = std::mem::take(&mut self.spans);
        if let Some(last) = spans.last_mut() {
            last.text.truncate(last.text.trim_end_matches('\n').len());
        }
        let heading = self.heading.take();
        if spans.is_empty() {
            return;
        }
        self.push(match heading {
            Some(level) => Block::Heading { level, text: spans },
            None => Block::Paragraph(spans),
        });
    }

    fn push(&mut self, block: Block) {
        let item = self.lists.last_mut().and_then(|list| list.items.last_mut());
        item.unwrap_or(&mut self.done).push(block);
    }

    fn finish(mut self) -> Vec<Block> {
        self.close_paragraph();
        self.done
    }
}

/// Headings deeper than the third level count as the third.
fn depth_of(level: HeadingLevel) -> u8 {
    (level as u8).min(3)
}
