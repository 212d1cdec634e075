//! Finishing: what the page writer cannot say about a PDF.
//!
//! Given the raw file and what each mark means; gives the bytes: tags, outline, links, fields, metadata, colour
//! profile, attachments. At the end every object gets a number by its place in the document, so that the bytes depend
//! on the document alone.

use super::marks::{Annotation, AnnotationAction, MarkedContent};
use super::object_streams;
use super::syntax::{real, rectangle, spoken, words};
use super::tree::{self, TagTree};
use crate::pages::block::{Attachment, Document as Source};
use crate::pages::colour::srgb_profile;
use crate::pages::fonts::{CodedFace, Face, Fonts};
use crate::pages::page::{Entry, HEIGHT, Paper, Rectangle, Taking};
use crate::pages::pointers::heading_of;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};
use std::collections::{BTreeMap, BTreeSet};

/// A font whose characters are reached by their codes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodedFont {
    /// By what name pages know it.
    pub name: &'static str,
    /// The face.
    pub face: Face,
    /// What is printed in it.
    pub characters: BTreeSet<char>,
}

/// The name of the font that fields are filled in with.
const FIELD_FONT: &str = "Field";
/// How a field is filled in: as large as its box allows (ISO 32000-1, 12.7.3.3: size 0), in black.
const FIELD_LOOK: &str = "/Field 0 Tf 0 g";
/// Sizes of type in a field of several lines, pt: the first in which a short paragraph stands whole is taken. As large as the
/// box allows is no measure there, since programs count their lines and draw them by different heights.
const SIZES_OF_LINES: [f64; 3] = [9.0, 8.5, 8.0];
/// A short paragraph, in letters; how wide a letter is and how high a line, as shares of the size of type.
const PARAGRAPH: f64 = 155.0;
const LETTER: f64 = 0.53;
const LEADING: f64 = 1.37;
/// A field of several lines (ISO 32000-1, table 228).
const SEVERAL_LINES: i64 = 1 << 12;
/// A list that is dropped down (ISO 32000-1, table 230).
const DROPPED_DOWN: i64 = 1 << 17;
/// A font whose letters stand under codes of its own, and one of Latin letters (ISO 32000-1, table 123).
const SYMBOLIC: i64 = 1 << 2;
const NONSYMBOLIC: i64 = 1 << 5;
/// A font that slants.
const ITALIC: i64 = 1 << 6;

/// What made the file, for its metadata.
const MAKER: &str = concat!("wetout ", env!("CARGO_PKG_VERSION"));

/// Finishes a file.
pub fn finish(
    file: Document,
    source: &Source,
    paper: &Paper,
    fonts: &[CodedFont],
    contents: &[MarkedContent],
    annotations: &[Annotation],
) -> Vec<u8> {
    let pages: Vec<ObjectId> = file.get_pages().into_values().take(paper.pages.len()).collect();
    let mut finisher = Finisher { file, pages };
    let annotation_ids = finisher.annotations(annotations, &paper.outline);
    let tree = finisher.tree(paper, contents, annotations, &annotation_ids);
    let fields = finisher.form(annotations, &annotation_ids, &paper.fonts);
    finisher.resources(fonts, &paper.fonts, fields.as_ref().map(|(_, font)| *font));
    let outline = finisher.outline(&paper.outline);
    let mut catalog = dictionary! {
        "Type" => "Catalog",
        "Pages" => finisher.pages_node(),
        "Lang" => Object::string_literal("en-GB"),
        "MarkInfo" => dictionary! { "Marked" => true },
        "StructTreeRoot" => tree.root,
        "ViewerPreferences" => dictionary! { "DisplayDocTitle" => true },
        "Metadata" => finisher.metadata(source),
        "OutputIntents" => finisher.intent(),
    };
    finisher.attach(&source.attachments, &date_of(source), &mut catalog);
    for (key, value) in [("Outlines", outline), ("AcroForm", fields.map(|(form, _)| form))] {
        if let Some(value) = value {
            catalog.set(key, value);
        }
    }
    finisher.close(source, catalog, tree)
}

struct Finisher {
    file: Document,
    pages: Vec<ObjectId>,
}

impl Finisher {
    /// The list of pages, without what stands behind the document's own.
    fn pages_node(&mut self) -> Object {
        let parent = self.pages.first().and_then(|&page| self.file.get_dictionary(page).ok()?.get(b"Parent").ok());
        let Some(parent) = parent.and_then(|parent| parent.as_reference().ok()) else { return Object::Null };
        let kids: Vec<Object> = self.pages.iter().map(|&page| page.into()).collect();
        self.set(parent, "Count", kids.len() as i64);
        self.set(parent, "Kids", kids);
        parent.into()
    }

    fn set(&mut self, id: ObjectId, key: &str, value: impl Into<Object>) {
        if let Ok(dictionary) = self.file.get_dictionary_mut(id) {
            dictionary.set(key, value);
        }
    }

    /// The annotations, each on its page.
    fn annotations(&mut self, annotations: &[Annotation], outline: &[Entry]) -> Vec<ObjectId> {
        let mut names = BTreeMap::new();
        let made: Vec<ObjectId> = annotations
            .iter()
            .map(|annotation| {
                let dictionary = match &annotation.target {
                    AnnotationAction::Link(address) => match heading_of(address, outline) {
                        Some(heading) => self.link_to(annotation, heading),
                        None => link(annotation, address),
                    },
                    AnnotationAction::Field { label, taking: Taking::Tick } => {
                        self.tick(annotation, label, &unique("Tick", &mut names))
                    }
                    AnnotationAction::Field { label, taking: Taking::NamedTick } => {
                        self.tick(annotation, label, &unique(label, &mut names))
                    }
                    AnnotationAction::Field { label, taking: Taking::OneOf(choices) } => {
                        self.choice(annotation, label, &unique(label, &mut names), choices)
                    }
                    AnnotationAction::Field { label, taking } => {
                        self.widget(annotation, label, &unique(label, &mut names), *taking == Taking::Lines)
                    }
                };
                self.file.add_object(dictionary)
            })
            .collect();
        for (number, page) in self.pages.clone().into_iter().enumerate() {
            let mine = annotations.iter().zip(&made).filter(|(annotation, _)| annotation.page == number);
            let mine: Vec<Object> = mine.map(|(_, &id)| id.into()).collect();
            if let Ok(dictionary) = self.file.get_dictionary_mut(page) {
                // The boxes of what is trimmed and shown are the sheet's own where none is given (ISO 32000-1, table 30).
                for key in [&b"Annots"[..], b"TrimBox", b"CropBox"] {
                    dictionary.remove(key);
                }
            }
            if !mine.is_empty() {
                self.set(page, "Annots", mine);
            }
            self.set(page, "Tabs", "S");
        }
        made
    }

    /// A list to choose from (ISO 32000-1, 12.7.4.4), dropped down. It begins with nothing, by which an answer is taken back.
    fn choice(&mut self, annotation: &Annotation, label: &str, name: &str, choices: &[String]) -> Dictionary {
        let mut field = self.widget(annotation, label, name, false);
        let listed: Vec<Object> = [""].into_iter().chain(choices.iter().map(String::as_str)).map(words).collect();
        field.set("FT", "Ch");
        field.set("Ff", DROPPED_DOWN);
        field.set("Opt", listed);
        field
    }

    fn widget(&mut self, annotation: &Annotation, label: &str, name: &str, lines: bool) -> Dictionary {
        let appearance = self.appearance(annotation.area, String::new());
        dictionary! {
            "Type" => "Annot",
            "Subtype" => "Widget",
            "FT" => "Tx",
            "Ff" => if lines { SEVERAL_LINES } else { 0 },
            "T" => words(name),
            "TU" => spoken(label),
            "Contents" => spoken(label),
            "DA" => Object::string_literal(if lines { look_of_lines(annotation.area) } else { FIELD_LOOK.to_owned() }),
            "Rect" => rectangle(annotation.area),
            "F" => 4,
            "P" => self.pages[annotation.page],
            "AP" => dictionary! { "N" => appearance },
        }
    }

    /// What a field looks like, drawn by these operators from its lower left corner. Each has its own, though many are alike:
    /// a program that fills a field may write over what the field had.
    fn appearance(&mut self, area: Rectangle, drawn: String) -> ObjectId {
        let bounds: Vec<Object> = [0.0, 0.0, area.width, area.height].map(real).to_vec();
        self.file.add_object(Stream::new(dictionary! { "Subtype" => "Form", "BBox" => bounds }, drawn.into_bytes()))
    }

    /// A check box (ISO 32000-1, 12.7.4.2.3); the page itself shows its empty box, so that what is not ticked needs no look.
    fn tick(&mut self, annotation: &Annotation, label: &str, name: &str) -> Dictionary {
        let side = annotation.area.width;
        let [left, low, right, foot, top] = [0.2, 0.5, 0.85, 0.2, 0.85].map(|share| format!("{:.2}", share * side));
        let middle = format!("{:.2}", 0.42 * side);
        let mark = format!("1.4 w 1 J 1 j 0 G {left} {low} m {middle} {foot} l {right} {top} l S");
        let on = self.appearance(annotation.area, mark);
        dictionary! {
            "Type" => "Annot",
            "Subtype" => "Widget",
            "FT" => "Btn",
            "T" => words(name),
            "TU" => spoken(label),
            "Contents" => spoken(label),
            "Rect" => rectangle(annotation.area),
            "F" => 4,
            "P" => self.pages[annotation.page],
            "V" => "Off",
            "AS" => "Off",
            "MK" => dictionary! { "CA" => Object::string_literal("4") },
            "AP" => dictionary! { "N" => dictionary! { "Yes" => on } },
        }
    }

    /// The form and the font that it is filled in with; `None` where there is no field.
    fn form(
        &mut self,
        annotations: &[Annotation],
        annotation_ids: &[ObjectId],
        fonts: &Fonts,
    ) -> Option<(Object, ObjectId)> {
        let fields = annotations
            .iter()
            .zip(annotation_ids)
            .filter(|(annotation, _)| !matches!(annotation.target, AnnotationAction::Link(_)));
        let fields: Vec<Object> = fields.map(|(_, &id)| id.into()).collect();
        if fields.is_empty() {
            return None;
        }
        let face = self.coded_font(fonts.for_fields());
        let resources = dictionary! { "Font" => dictionary! { FIELD_FONT => face } };
        let look = Object::string_literal(FIELD_LOOK);
        Some((dictionary! { "Fields" => fields, "DR" => resources, "DA" => look }.into(), face))
    }

    /// What all pages draw with, once. What fields are filled in with is the whole of the upright face: its words are
    /// printed with it too, so that it stands in the file once.
    fn resources(&mut self, coded: &[CodedFont], fonts: &Fonts, of_fields: Option<ObjectId>) {
        let Some(&first) = self.pages.first() else { return };
        let resources = |file: &Document| file.get_dictionary(first)?.get(b"Resources")?.as_reference();
        let Ok(resources) = resources(&self.file) else { return };
        let part = |file: &Document, key: &[u8]| {
            let part = file.get_dictionary(resources)?.get(key)?.as_reference()?;
            file.get_dictionary(part).cloned()
        };
        let [mut faces, pictures] = [&b"Font"[..], b"XObject"].map(|key| part(&self.file, key).unwrap_or_default());
        for font in coded {
            let id = match of_fields {
                Some(id) if font.face == Face::Regular => id,
                _ => self.coded_font(&fonts.by_codes(font.face, &font.characters)),
            };
            faces.set(font.name, id);
        }
        let parts = [("Font", faces), ("XObject", pictures)].into_iter().filter(|(_, part)| !part.is_empty());
        let parts: Dictionary = parts.map(|(key, part)| (key, Object::from(part))).collect();
        self.file.set_object(resources, parts);
        for page in self.pages.clone() {
            self.set(page, "Resources", resources);
        }
    }

    /// A font that is reached by codes, embedded as every font of the file is (ISO 19005-3, 6.2.11.4.1), so that a filled
    /// document is still one to keep. Codes of WinAnsiEncoding say which letters they are (6.2.11.7.2); those of a font with codes of its
    /// own are told by a table.
    fn coded_font(&mut self, face: &CodedFace) -> ObjectId {
        let measures = face.measures;
        let file = Stream::new(dictionary! { "Length1" => face.bytes.len() as i64 }, face.bytes.clone());
        let file = self.file.add_object(file);
        let thousandths = |units: i16| i64::from(units) * 1000 / i64::from(measures.units);
        let bounds: Vec<Object> = measures.bounds.map(|units| thousandths(units).into()).to_vec();
        let slant = measures.degrees();
        let kind = if face.letters.is_some() { SYMBOLIC } else { NONSYMBOLIC };
        let descriptor = self.file.add_object(dictionary! {
            "Type" => "FontDescriptor",
            "FontName" => face.name.as_str(),
            "Flags" => if slant == 0 { kind } else { kind | ITALIC },
            "FontBBox" => bounds,
            "ItalicAngle" => slant,
            "Ascent" => thousandths(measures.ascent),
            "Descent" => thousandths(measures.descent),
            "CapHeight" => thousandths(measures.ascent),
            "StemV" => 50 + (i64::from(measures.weight) / 65).pow(2),
            "FontFile2" => file,
        });
        let widths: Vec<Object> = face.widths.iter().map(|&width| i64::from(width).into()).collect();
        let mut font = dictionary! {
            "Type" => "Font",
            "Subtype" => "TrueType",
            "BaseFont" => face.name.as_str(),
            "FirstChar" => i64::from(face.first),
            "LastChar" => i64::from(face.first) + face.widths.len() as i64 - 1,
            "Widths" => widths,
            "FontDescriptor" => descriptor,
        };
        match &face.letters {
            None => font.set("Encoding", "WinAnsiEncoding"),
            Some(letters) => {
                let table = Stream::new(Dictionary::new(), table_to_letters(letters).into_bytes());
                font.set("ToUnicode", self.file.add_object(table));
            }
        }
        self.file.add_object(font)
    }

    /// The tree of tags, with what pages and annotations say of it.
    fn tree(
        &mut self,
        paper: &Paper,
        contents: &[MarkedContent],
        annotations: &[Annotation],
        annotation_ids: &[ObjectId],
    ) -> TagTree {
        let pages = self.pages.clone();
        let file = &mut self.file;
        let tree = tree::of(paper, contents, annotations, (&pages, annotation_ids), || file.new_object_id());
        for (number, &page) in pages.iter().enumerate() {
            self.set(page, "StructParents", number as i64);
        }
        for (number, &annotation) in annotation_ids.iter().enumerate() {
            self.set(annotation, "StructParent", (pages.len() + number) as i64);
        }
        tree
    }

    /// Where a heading stands, as a destination: its page, and a little above it.
    fn place_of(&self, entry: &Entry) -> Object {
        let above = real(HEIGHT - entry.y + 6.0);
        vec![self.pages[entry.page].into(), "XYZ".into(), real(0.0), above, Object::Null].into()
    }

    /// A link to a heading of the document.
    fn link_to(&self, annotation: &Annotation, heading: &Entry) -> Dictionary {
        let said = format!("{}, page {}", heading.title, heading.page + 1);
        let mut link = link_at(annotation, &said);
        link.set("Dest", self.place_of(heading));
        link
    }

    /// The outline, nested by level; `None` where there is no heading.
    fn outline(&mut self, entries: &[Entry]) -> Option<Object> {
        if entries.is_empty() {
            return None;
        }
        let root = self.file.new_object_id();
        let ids: Vec<ObjectId> = entries.iter().map(|_| self.file.new_object_id()).collect();
        let parents = parents_by_level(entries);
        let of = |parent: Option<usize>| -> Vec<usize> {
            (0..entries.len()).filter(|&entry| parents[entry] == parent).collect()
        };
        for (place, entry) in entries.iter().enumerate() {
            let siblings = of(parents[place]);
            let at = siblings.iter().position(|&other| other == place).unwrap_or_default();
            let mut item = dictionary! {
                "Title" => spoken(&entry.title),
                "Parent" => parents[place].map_or(root, |parent| ids[parent]),
                "Dest" => self.place_of(entry),
            };
            if at > 0 {
                item.set("Prev", ids[siblings[at - 1]]);
            }
            if let Some(&next) = siblings.get(at + 1) {
                item.set("Next", ids[next]);
            }
            set_ends(&mut item, &of(Some(place)), &ids);
            self.file.set_object(ids[place], item);
        }
        let mut top = dictionary! { "Type" => "Outlines" };
        set_ends(&mut top, &of(None), &ids);
        top.set("Count", entries.len() as i64);
        self.file.set_object(root, top);
        Some(root.into())
    }

    fn metadata(&mut self, source: &Source) -> ObjectId {
        let dict = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
        let stream = Stream::new(dict, xmp(source).into_bytes()).with_compression(false);
        self.file.add_object(stream)
    }

    fn intent(&mut self) -> Object {
        let profile = Stream::new(dictionary! { "N" => 3 }, srgb_profile().to_vec());
        let profile = self.file.add_object(profile);
        let name = Object::string_literal("sRGB IEC61966-2.1");
        let intent = self.file.add_object(dictionary! {
            "Type" => "OutputIntent",
            "S" => "GTS_PDFA1",
            "OutputConditionIdentifier" => name.clone(),
            "Info" => name,
            "DestOutputProfile" => profile,
        });
        vec![intent.into()].into()
    }

    fn attach(&mut self, attachments: &[Attachment], date: &str, catalog: &mut Dictionary) {
        if attachments.is_empty() {
            return;
        }
        let mut by_name: Vec<(&str, ObjectId)> = Vec::new();
        for attachment in attachments {
            let parameters = dictionary! {
                "Size" => attachment.bytes.len() as i64,
                "ModDate" => Object::string_literal(date),
            };
            let dict =
                dictionary! { "Type" => "EmbeddedFile", "Subtype" => attachment.mime.as_str(), "Params" => parameters };
            let embedded = self.file.add_object(Stream::new(dict, attachment.bytes.clone()));
            let specification = dictionary! {
                "Type" => "Filespec",
                "F" => words(&attachment.name),
                "UF" => words(&attachment.name),
                "Desc" => words(&attachment.description),
                "AFRelationship" => "Data",
                "EF" => dictionary! { "F" => embedded, "UF" => embedded },
            };
            by_name.push((attachment.name.as_str(), self.file.add_object(specification)));
        }
        let associated: Vec<Object> = by_name.iter().map(|&(_, id)| id.into()).collect();
        by_name.sort_unstable();
        let names: Vec<Object> = by_name.into_iter().flat_map(|(name, id)| [words(name), id.into()]).collect();
        catalog.set("Names", dictionary! { "EmbeddedFiles" => dictionary! { "Names" => names } });
        catalog.set("AF", associated);
    }

    /// Sets catalog and information, numbers all objects anew, compresses and writes.
    fn close(mut self, source: &Source, catalog: Dictionary, tree: TagTree) -> Vec<u8> {
        let root = self.file.add_object(catalog);
        let information = self.file.add_object(information(source));
        object_streams::write(self.file, tree.elements, root, information)
    }
}

fn link(annotation: &Annotation, address: &str) -> Dictionary {
    let mut link = link_at(annotation, address);
    let target = Object::string_literal(plain_address(address));
    link.set("A", dictionary! { "S" => "URI", "URI" => target });
    link
}

/// A link that opens nothing yet, with what is said of it.
fn link_at(annotation: &Annotation, said: &str) -> Dictionary {
    dictionary! {
        "Type" => "Annot",
        "Subtype" => "Link",
        "Rect" => rectangle(annotation.area),
        "Border" => vec![0.into(), 0.into(), 0.into()],
        "F" => 4,
        "Contents" => words(said),
    }
}

/// An address in ASCII: every other byte is written as `%` and two hexadecimal digits (RFC 3986, 2.1).
fn plain_address(address: &str) -> String {
    let byte = |byte: u8| if byte.is_ascii_graphic() { char::from(byte).to_string() } else { format!("%{byte:02X}") };
    address.bytes().map(byte).collect()
}

/// The table that tells the letter of each code (ISO 32000-1, 9.10.3). A hundred lines at most stand together there.
fn table_to_letters(letters: &BTreeMap<u8, char>) -> String {
    let mut table = String::from(concat!(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n",
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n",
        "1 begincodespacerange\n<00> <FF>\nendcodespacerange\n",
    ));
    let lines: Vec<String> =
        letters.iter().map(|(code, letter)| format!("<{code:02X}> <{:04X}>\n", u32::from(*letter))).collect();
    for part in lines.chunks(100) {
        table.push_str(&format!("{} beginbfchar\n{}endbfchar\n", part.len(), part.concat()));
    }
    table + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
}

/// How a field of several lines is filled in.
fn look_of_lines(area: Rectangle) -> String {
    let holds = |size: &f64| (PARAGRAPH * LETTER * size / area.width).ceil() * LEADING * size <= area.height;
    let [.., least] = SIZES_OF_LINES;
    let size = SIZES_OF_LINES.into_iter().find(holds).unwrap_or(least);
    format!("/{FIELD_FONT} {size} Tf 0 g")
}

/// A field's name: its label, numbered where it comes again. Full stops would part a name into levels.
fn unique(label: &str, names: &mut BTreeMap<String, usize>) -> String {
    let label = label.replace('.', " ");
    let label = if label.trim().is_empty() { "field".to_owned() } else { label };
    let count = names.entry(label.clone()).or_default();
    *count += 1;
    if *count == 1 { label } else { format!("{label} {count}") }
}

/// The heading above each heading.
fn parents_by_level(entries: &[Entry]) -> Vec<Option<usize>> {
    let mut above: Vec<usize> = Vec::new();
    let mut parents = Vec::with_capacity(entries.len());
    for (place, entry) in entries.iter().enumerate() {
        while above.last().is_some_and(|&other| entries[other].level >= entry.level) {
            above.pop();
        }
        parents.push(above.last().copied());
        above.push(place);
    }
    parents
}

fn set_ends(item: &mut Dictionary, children: &[usize], ids: &[ObjectId]) {
    if let (Some(&first), Some(&last)) = (children.first(), children.last()) {
        item.set("First", ids[first]);
        item.set("Last", ids[last]);
        item.set("Count", children.len() as i64);
    }
}

fn date_of(source: &Source) -> String {
    let date = source.date;
    format!("D:{:04}{:02}{:02}000000Z", date.year(), u8::from(date.month()), date.day())
}

fn information(source: &Source) -> Dictionary {
    let date = Object::string_literal(date_of(source));
    dictionary! {
        "Title" => words(&source.title),
        "Author" => words(&source.author),
        "Subject" => words(&source.subject),
        "Creator" => words(MAKER),
        "Producer" => words(MAKER),
        "CreationDate" => date.clone(),
        "ModDate" => date,
    }
}

/// Text for XML; control characters cannot stand in it.
fn escaped(text: &str) -> String {
    let text: String = text.chars().filter(|letter| !letter.is_control()).collect();
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// The metadata packet (ISO 16684-1); it says what the information dictionary says.
fn xmp(source: &Source) -> String {
    let date = source.date;
    let date = format!("{:04}-{:02}-{:02}T00:00:00Z", date.year(), u8::from(date.month()), date.day());
    let [title, author, subject] = [&source.title, &source.author, &source.subject].map(|text| escaped(text));
    let alternative = |text: &str| format!("<rdf:Alt><rdf:li xml:lang=\"x-default\">{text}</rdf:li></rdf:Alt>");
    [
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n",
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n",
        "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\"",
        " xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\"",
        " xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\" xmlns:pdfuaid=\"http://www.aiim.org/pdfua/ns/id/\">\n",
        "<dc:format>application/pdf</dc:format>\n",
        &format!("<dc:title>{}</dc:title>\n", alternative(&title)),
        &format!("<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>\n"),
        &format!("<dc:description>{}</dc:description>\n", alternative(&subject)),
        "<dc:language><rdf:Bag><rdf:li>en-GB</rdf:li></rdf:Bag></dc:language>\n",
        &format!("<xmp:CreatorTool>{MAKER}</xmp:CreatorTool><pdf:Producer>{MAKER}</pdf:Producer>\n"),
        &format!("<xmp:CreateDate>{date}</xmp:CreateDate><xmp:ModifyDate>{date}</xmp:ModifyDate>\n"),
        "<pdfaid:part>3</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance><pdfuaid:part>1</pdfuaid:part>\n",
        "</rdf:Description>\n",
        UA_SCHEMA,
        "</rdf:RDF></x:xmpmeta>\n<?xpacket end=\"w\"?>",
    ]
    .concat()
}

/// PDF/A asks that the name space of PDF/UA be described (ISO 19005-3, 6.6.2.3).
const UA_SCHEMA: &str = concat!(
    "<rdf:Description rdf:about=\"\" xmlns:pdfaExtension=\"http://www.aiim.org/pdfa/ns/extension/\"",
    " xmlns:pdfaSchema=\"http://www.aiim.org/pdfa/ns/schema#\"",
    " xmlns:pdfaProperty=\"http://www.aiim.org/pdfa/ns/property#\"><pdfaExtension:schemas><rdf:Bag>",
    "<rdf:li rdf:parseType=\"Resource\"><pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>",
    "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>",
    "<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix><pdfaSchema:property><rdf:Seq>",
    "<rdf:li rdf:parseType=\"Resource\"><pdfaProperty:name>part</pdfaProperty:name>",
    "<pdfaProperty:valueType>Integer</pdfaProperty:valueType>",
    "<pdfaProperty:category>internal</pdfaProperty:category>",
    "<pdfaProperty:description>Part of ISO 14289</pdfaProperty:description></rdf:li>",
    "</rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>\n",
);
