//! A PDF that comes back: its pages to compare, its fields to read.
//!
//! Given bytes that somebody else has had in hand; gives each page's digest and what was filled in, or why the file is not
//! read. Whatever acts by itself (a script, a program to start, a file inside, a form that is sent off) is refused, whether it
//! would do harm or not: a page with an answer on it needs none. A digest is of what a page shows: its marks, and the fonts
//! and pictures that they name. How the file stores them, and what is laid over the page to be filled in, is no part of it.

use crate::model::limits;
use crate::pages::border;
use lopdf::{Dictionary, Document, LoadOptions, Object, ObjectId, Stream, decode_text_string};
use sha2::{Digest as _, Sha256};
use std::collections::{BTreeMap, BTreeSet};

/// Why a file is not read, and what to do instead.
pub type NotTaken = (String, &'static str);

const BY_HAND: &str = "look at it with your own eyes, and record what it says with `--options`, `--on` and `--name`";

/// The most that one bundle of objects may hold, and how many of them there may be.
const BUNDLE: usize = 2_000_000;
const BUNDLES: usize = 100;
/// The most that all pages and fonts may hold, unpacked.
const UNPACKED: usize = 100_000_000;
const MOST_OBJECTS: usize = 100_000;
const MOST_PAGES: usize = 500;
/// How far up a chain of parents is followed.
const MOST_PARENTS: usize = 20;

/// What a returned file shows.
#[derive(Debug, Clone, PartialEq)]
pub struct ReturnedPdf {
    /// Its pages, in order.
    pub pages: Vec<ReturnedPage>,
    /// Its fields, in the order of the pages.
    pub fields: Vec<ReturnedField>,
}

/// One page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReturnedPage {
    /// The digest of what it shows, in hexadecimal.
    pub digest: String,
    /// Its marks, as a program that draws them reads them.
    pub marks: Vec<u8>,
    /// Kinds of what was laid over it beside fields and links: `Ink`, `FreeText`, `Stamp`.
    pub notes: Vec<String>,
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub struct ReturnedField {
    /// Its name.
    pub name: String,
    /// What is to be written there, or is said by ticking it.
    pub label: String,
    /// The page, from 0.
    pub page: usize,
    /// Where it stands on the page.
    pub area: [f32; 4],
    /// What was filled in.
    pub answer: FieldAnswer,
}

/// What was filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FieldAnswer {
    /// Words; may be empty.
    Text(String),
    /// A box, ticked or not.
    Tick(bool),
    /// A box whose value says one thing and whose look another.
    Contradictory,
}

/// Reads a returned file.
///
/// # Errors
/// Why it is not read.
pub fn read(bytes: &[u8]) -> Result<ReturnedPdf, NotTaken> {
    let most = limits::RETURNED.most;
    if bytes.len() > most * 1_000_000 {
        return Err(refused(&format!("it is larger than {most} MB")));
    }
    if !bytes.get(..bytes.len().min(1024)).is_some_and(|head| holds(head, b"%PDF-")) {
        return Err(("it is not a PDF".into(), BY_HAND));
    }
    if holds(bytes, b"/Encrypt") {
        return Err(refused("it is encrypted"));
    }
    if bytes.windows(7).filter(|w| w == b"/ObjStm").count() > BUNDLES {
        return Err(refused("it is stored in more bundles than any such file needs"));
    }
    let read = border::reading(|| {
        let options = LoadOptions { max_decompressed_size: Some(BUNDLE), ..LoadOptions::default() };
        let file = Document::load_mem_with_options(bytes, options).map_err(|_| broken())?;
        Reading { file: &file, known: BTreeMap::new(), room: UNPACKED }.whole()
    });
    read.unwrap_or_else(|| Err(broken()))
}

fn broken() -> NotTaken {
    refused("it is broken, or is stored in a way that cannot be read")
}

fn refused(why: &str) -> NotTaken {
    (why.to_owned(), BY_HAND)
}

fn holds(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|w| w == words)
}

/// What is being read.
struct Reading<'a> {
    file: &'a Document,
    /// The digests of objects; `None` of those that are being worked out.
    known: BTreeMap<ObjectId, Option<[u8; 32]>>,
    /// Bytes that may still be unpacked.
    room: usize,
}

impl Reading<'_> {
    fn whole(&mut self) -> Result<ReturnedPdf, NotTaken> {
        if self.file.is_encrypted() || self.file.was_encrypted() {
            return Err(refused("it is encrypted"));
        }
        if self.file.objects.len() > MOST_OBJECTS {
            return Err(refused("it holds more than any such file needs"));
        }
        if let Some(what) =
            self.file.objects.values().chain([&Object::Dictionary(self.file.trailer.clone())]).find_map(acts)
        {
            return Err(refused(&format!("it holds {what}")));
        }
        let opened = self.file.catalog().ok().and_then(|catalog| catalog.get(b"OpenAction").ok());
        // To stand at a page when it is opened does nothing.
        let goes = |action: &Dictionary| action.get(b"S").and_then(Object::as_name).is_ok_and(|kind| kind == b"GoTo");
        if opened.is_some_and(|action| self.follow(action).as_dict().is_ok_and(|action| !goes(action))) {
            return Err(refused(&format!("it holds {WHEN_OPENED}")));
        }
        let ids: Vec<ObjectId> = self.file.page_iter().take(MOST_PAGES + 1).collect();
        if ids.is_empty() || ids.len() > MOST_PAGES {
            return Err(refused("it has no pages, or more than any such file"));
        }
        let (mut pages, mut fields) = (Vec::new(), Vec::new());
        for (number, &id) in ids.iter().enumerate() {
            let page = self.file.get_dictionary(id).map_err(|_| broken())?;
            let (notes, found) = self.laid_over(page, number);
            fields.extend(found);
            let marks = self.marks(page)?;
            let digest = self.digest_of_page(page, &marks)?;
            pages.push(ReturnedPage { digest, marks, notes });
        }
        Ok(ReturnedPdf { pages, fields })
    }

    fn follow<'b>(&'b self, object: &'b Object) -> &'b Object {
        self.file.dereference(object).map_or(&Object::Null, |(_, found)| found)
    }

    /// A setting of a dictionary or, where it has none, of those above it.
    fn inherited<'b>(&'b self, dictionary: &'b Dictionary, key: &[u8]) -> Option<&'b Object> {
        let mut here = dictionary;
        for _ in 0..MOST_PARENTS {
            if let Ok(value) = here.get(key) {
                return Some(self.follow(value));
            }
            here = self.follow(here.get(b"Parent").ok()?).as_dict().ok()?;
        }
        None
    }

    // ---- What stands on a page -----------------------------------------------------------------------------------

    /// Marks, one stream behind the other, without the blanks at their end: programs that store them add some.
    fn marks(&mut self, page: &Dictionary) -> Result<Vec<u8>, NotTaken> {
        let Ok(contents) = page.get(b"Contents") else { return Ok(Vec::new()) };
        let streams: Vec<Object> = match self.follow(contents) {
            Object::Array(parts) => parts.iter().map(|part| self.follow(part).clone()).collect(),
            one => vec![one.clone()],
        };
        let mut marks = Vec::new();
        for stream in streams.iter().filter_map(|s| s.as_stream().ok()) {
            marks.extend(self.unpacked(stream)?);
            marks.truncate(marks.trim_ascii_end().len());
            marks.push(b'\n');
        }
        Ok(marks)
    }

    fn unpacked(&mut self, stream: &Stream) -> Result<Vec<u8>, NotTaken> {
        let plain = stream.get_plain_content_with_limit(self.room);
        let bytes = match plain {
            Ok(bytes) => bytes,
            // A picture stays as it is packed.
            Err(_) if stream.content.len() <= self.room && is_picture(stream) => stream.content.clone(),
            Err(_) => return Err(refused("it unpacks to more than any such file needs, or not at all")),
        };
        self.room -= bytes.len().min(self.room);
        Ok(bytes)
    }

    fn digest_of_page(&mut self, page: &Dictionary, marks: &[u8]) -> Result<String, NotTaken> {
        let mut sum = Sha256::new();
        sum.update(marks.len().to_be_bytes());
        sum.update(marks);
        for key in ["MediaBox", "CropBox", "Rotate", "UserUnit"] {
            let value = self.inherited(page, key.as_bytes()).cloned().unwrap_or(Object::Null);
            // What is said anew is what held already: no turn, and nothing cut off.
            let usual = matches!(&value, Object::Integer(0 | 1))
                || key == "CropBox" && self.inherited(page, b"MediaBox") == Some(&value);
            let digest = self.digest(if usual { &Object::Null } else { &value })?;
            sum.update(digest);
        }
        let used = names_in(marks);
        let resources = self.inherited(page, b"Resources").and_then(|r| r.as_dict().ok()).cloned().unwrap_or_default();
        for kind in ["ColorSpace", "ExtGState", "Font", "Pattern", "Properties", "Shading", "XObject"] {
            let Ok(group) = resources.get(kind.as_bytes()) else { continue };
            let Ok(group) = self.follow(group).as_dict().cloned() else { continue };
            let mut named: Vec<(&Vec<u8>, &Object)> = group.iter().filter(|(name, _)| used.contains(*name)).collect();
            named.sort_by_key(|(name, _)| *name);
            for (name, object) in named {
                sum.update(kind);
                sum.update(name);
                sum.update(self.digest(object)?);
            }
        }
        Ok(hexadecimal(&sum.finalize()))
    }

    /// The digest of an object and of all that it leads to; in which order and under which numbers they are stored is no part
    /// of it.
    fn digest(&mut self, object: &Object) -> Result<[u8; 32], NotTaken> {
        let mut sum = Sha256::new();
        match object {
            Object::Reference(id) => return self.digest_of(*id),
            Object::Null => sum.update(b"null"),
            Object::Boolean(yes) => sum.update([b'b', u8::from(*yes)]),
            Object::Integer(n) => sum.update(format!("n{n}")),
            Object::Real(n) if n.fract() == 0.0 => sum.update(format!("n{n:.0}")),
            Object::Real(n) => sum.update(format!("n{n:.2}")),
            Object::Name(name) => sum.update([b"/".as_slice(), name].concat()),
            Object::String(text, _) => sum.update([b"(".as_slice(), text].concat()),
            Object::Array(entries) => {
                sum.update(b"[");
                for entry in entries {
                    sum.update(self.digest(entry)?);
                }
            }
            Object::Dictionary(dictionary) => sum.update(self.digest_of_settings(dictionary)?),
            Object::Stream(stream) => {
                sum.update(self.digest_of_settings(&stream.dict)?);
                let bytes = self.unpacked(stream)?;
                sum.update(bytes.trim_ascii_end());
            }
        }
        Ok(sum.finalize().into())
    }

    fn digest_of(&mut self, id: ObjectId) -> Result<[u8; 32], NotTaken> {
        match self.known.get(&id) {
            Some(Some(known)) => return Ok(*known),
            Some(None) => return Ok([0; 32]),
            None => {}
        }
        self.known.insert(id, None);
        let object = self.file.objects.get(&id).cloned().unwrap_or(Object::Null);
        let digest = self.digest(&object)?;
        self.known.insert(id, Some(digest));
        Ok(digest)
    }

    fn digest_of_settings(&mut self, dictionary: &Dictionary) -> Result<[u8; 32], NotTaken> {
        let mut settings: Vec<(&Vec<u8>, &Object)> =
            dictionary.iter().filter(|(key, _)| !OF_STORAGE.contains(&key.as_slice())).collect();
        settings.sort_by_key(|(key, _)| *key);
        let mut sum = Sha256::new();
        for (key, value) in settings {
            sum.update(key);
            sum.update(self.digest(value)?);
        }
        Ok(sum.finalize().into())
    }

    // ---- What is laid over a page ---------------------------------------------------------------------------------

    fn laid_over(&self, page: &Dictionary, number: usize) -> (Vec<String>, Vec<ReturnedField>) {
        let (mut notes, mut fields) = (Vec::new(), Vec::new());
        let all = page.get(b"Annots").ok().map(|all| self.follow(all));
        for one in all.and_then(|all| all.as_array().ok()).into_iter().flatten() {
            let Ok(one) = self.follow(one).as_dict() else { continue };
            match one.get(b"Subtype").and_then(Object::as_name).unwrap_or_default() {
                b"Widget" => fields.extend(self.field(one, number)),
                b"Link" | b"Popup" => {}
                other => notes.push(String::from_utf8_lossy(other).into_owned()),
            }
        }
        (notes, fields)
    }

    fn field(&self, widget: &Dictionary, page: usize) -> Option<ReturnedField> {
        let text = |key: &[u8]| self.inherited(widget, key).and_then(words_of);
        let corners = self.follow(widget.get(b"Rect").ok()?).as_array().ok()?;
        let corners: Vec<f32> = corners.iter().filter_map(|n| self.follow(n).as_float().ok()).collect();
        let name = self.name(widget);
        let answer = match self.inherited(widget, b"FT").and_then(|kind| kind.as_name().ok()) {
            Some(b"Btn") => {
                let on = |key: &[u8]| self.inherited(widget, key).and_then(|v| v.as_name().ok()).map(|v| v != b"Off");
                match (on(b"V"), on(b"AS")) {
                    (Some(value), Some(look)) if value != look => FieldAnswer::Contradictory,
                    (value, look) => FieldAnswer::Tick(value.or(look).unwrap_or(false)),
                }
            }
            Some(b"Ch") => self.chosen(widget),
            _ => FieldAnswer::Text(text(b"V").unwrap_or_default()),
        };
        let label = text(b"TU").unwrap_or_default();
        Some(ReturnedField { name, label, page, area: corners.try_into().ok()?, answer })
    }

    /// What is taken from a list: its words, or its place in the list where a program stores that alone (ISO 32000-1, table 231).
    fn chosen(&self, widget: &Dictionary) -> FieldAnswer {
        let words = |object: &Object| words_of(self.follow(object));
        let value = self.inherited(widget, b"V").unwrap_or(&Object::Null);
        if let Object::Array(several) = value {
            return match several.as_slice() {
                [] => FieldAnswer::Text(String::new()),
                [one] => FieldAnswer::Text(words(one).unwrap_or_default()),
                _ => FieldAnswer::Contradictory,
            };
        }
        let said = words(value).unwrap_or_default();
        let placed = || {
            let [place] = self.inherited(widget, b"I")?.as_array().ok()?.as_slice() else { return None };
            let place = usize::try_from(self.follow(place).as_i64().ok()?).ok()?;
            match self.follow(self.inherited(widget, b"Opt")?.as_array().ok()?.get(place)?) {
                Object::Array(pair) => words(pair.first()?),
                one => words(one),
            }
        };
        FieldAnswer::Text(if said.is_empty() { placed().unwrap_or_default() } else { said })
    }

    /// A field's own name behind those of the fields that it belongs to (ISO 32000-1, 12.7.3.2).
    fn name(&self, widget: &Dictionary) -> String {
        let mut names = Vec::new();
        let mut here = Some(widget);
        for _ in 0..MOST_PARENTS {
            let Some(field) = here else { break };
            names.extend(field.get(b"T").ok().and_then(|name| decode_text_string(self.follow(name)).ok()));
            here = field.get(b"Parent").ok().and_then(|parent| self.follow(parent).as_dict().ok());
        }
        names.reverse();
        names.join(".")
    }
}

/// Settings that say how something is stored, or where else it is told of.
const OF_STORAGE: [&[u8]; 13] = [
    b"Length",
    b"Filter",
    b"DecodeParms",
    b"DL",
    b"Parent",
    b"StructParent",
    b"StructParents",
    b"Metadata",
    b"PieceInfo",
    b"LastModified",
    b"Type",
    b"Name",
    b"P",
];

/// The words of a text string. Where it is in letters of one byte, the ends of its lines are no letters of that encoding
/// (ISO 32000-1, annex D) and stand all the same in what was typed.
fn words_of(object: &Object) -> Option<String> {
    let Object::String(bytes, format) = object else { return decode_text_string(object).ok() };
    if bytes.starts_with(&[0xfe, 0xff]) || bytes.starts_with(&[0xef, 0xbb, 0xbf]) {
        return decode_text_string(object).ok();
    }
    let line = |part: &[u8]| decode_text_string(&Object::String(part.to_vec(), *format)).ok();
    let lines: Option<Vec<String>> = bytes.split(|b| matches!(b, b'\n' | b'\r')).map(line).collect();
    Some(lines?.join("\n"))
}

fn is_picture(stream: &Stream) -> bool {
    let packed = stream.filters().unwrap_or_default();
    packed.iter().any(|filter| matches!(*filter, b"DCTDecode" | b"JPXDecode"))
}

/// The names that the marks of a page use.
fn names_in(marks: &[u8]) -> BTreeSet<Vec<u8>> {
    let ends = |b: &u8| b.is_ascii_whitespace() || b"()<>[]{}/%".contains(b);
    let behind = marks.split(|b| *b == b'/').skip(1);
    behind.map(|rest| rest[..rest.iter().position(ends).unwrap_or(rest.len())].to_vec()).collect()
}

/// What in an object acts by itself, in words.
fn acts(object: &Object) -> Option<&'static str> {
    match object {
        Object::Array(entries) => entries.iter().find_map(acts),
        Object::Dictionary(dictionary) => acts_in(dictionary),
        Object::Stream(stream) => acts_in(&stream.dict),
        _ => None,
    }
}

fn acts_in(dictionary: &Dictionary) -> Option<&'static str> {
    let key = |key: &[u8]| match key {
        b"JS" | b"JavaScript" => Some(SCRIPT),
        b"EmbeddedFiles" | b"EmbeddedFile" | b"EF" => Some(INSIDE),
        b"XFA" => Some("a form of another kind (XFA), which shows what the pages do not"),
        b"RichMedia" | b"RichMediaContent" => Some("sound, film or a model"),
        _ => None,
    };
    let action = |value: &Object| match value.as_name().unwrap_or_default() {
        b"JavaScript" => Some(SCRIPT),
        b"Launch" => Some("a program to start"),
        b"SubmitForm" | b"ImportData" => Some("an order to send or fetch what is filled in"),
        b"GoToE" | b"GoToR" => Some("a way into another file"),
        b"Rendition" | b"Movie" | b"Sound" => Some("sound, film or a model"),
        b"EmbeddedFile" => Some(INSIDE),
        _ => None,
    };
    // Fonts and the like may bear any name, these two among them.
    let may_act = dictionary.has(b"FT")
        || [b"Type".as_slice(), b"Subtype"]
            .iter()
            .filter_map(|kind| dictionary.get(kind).ok()?.as_name().ok())
            .any(|kind| matches!(kind, b"Catalog" | b"Page" | b"Pages" | b"Annot" | b"Widget" | b"Link" | b"Screen"));
    if may_act && dictionary.has(b"AA") {
        return Some(WHEN_OPENED);
    }
    dictionary.iter().find_map(|(name, value)| {
        let named = if matches!(name.as_slice(), b"S" | b"Type" | b"Subtype") { action(value) } else { None };
        key(name).or(named).or_else(|| acts(value))
    })
}

const WHEN_OPENED: &str = "something that is done by itself when a page is opened or a field left";
const SCRIPT: &str = "a script";
const INSIDE: &str = "another file";

/// Bytes as figures and letters, two for each.
pub fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
