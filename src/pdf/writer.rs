//! Placed pages become a PDF: the only file that names printpdf.
//!
//! Given placed pages; gives the bytes of the finished file. Every mark that means something is written between marks
//! of its node, in reading order; what printpdf cannot say (tags, outline, links, fields, profile) is left to
//! `finish`.

use super::finish::{self, CodedFont};
use super::marks::{Annotation, AnnotationAction, MarkedContent};
use super::operators::{Operators, Paint, PathPoint};
use super::planes::{self, Plane, Samples};
use super::tree;
use crate::pages::block::Document;
use crate::pages::fonts::{FACES, Face, Subset, code_of};
use crate::pages::image::{Image, Pixels, Plain};
use crate::pages::page::{FaceRun, HEIGHT, Item, Paper, Placed, Rectangle, Text, WIDTH};
use crate::pages::scene::{Anchor, Ink, Mark, Pen, RgbShares, Scene, Spot, readable};
use lopdf::Document as RawDocument;
use printpdf::{
    DictItem, ExternalStream, ExternalXObject, FontId, FontMetrics, Op, ParsedFont, PdfDocument, PdfFont,
    PdfFontHandle, PdfPage, PdfSaveOptions, Pt, Px, TextItem, XObject, XObjectId,
};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The finished file.
pub fn write(document: &Document, paper: &Paper) -> Vec<u8> {
    let mut pdf = PdfDocument::new("");
    let mut writer = Writer::new(paper, readable(document.accent));
    let mut specimen = Vec::new();
    let mut coded = Vec::new();
    for (face, characters) in characters_of(paper) {
        let (by_code, others): (BTreeSet<char>, BTreeSet<char>) =
            characters.into_iter().partition(|&c| Reached::of(code_of(face, c)) == Reached::ByCode);
        if !by_code.is_empty() {
            coded.push(CodedFont { name: font_name(face, Reached::ByCode), face, characters: by_code });
        }
        if others.is_empty() {
            continue;
        }
        let subset = paper.fonts.cut_down(face, &others);
        specimen.extend(specimen_of(face, &subset));
        writer.glyphs[face as usize] = Glyphs::of(&subset);
        pdf.resources.fonts.map.insert(font_id(face), PdfFont::new(font(subset)));
    }
    let mut drawn = Vec::with_capacity(paper.pages.len());
    let sheet = |ops| PdfPage::new(Pt(WIDTH as f32).into(), Pt(HEIGHT as f32).into(), ops);
    for (number, page) in paper.pages.iter().enumerate() {
        writer.page(number, &page.marks);
        drawn.push(std::mem::take(&mut writer.out).into_bytes());
        pdf.pages.push(sheet(Vec::new()));
    }
    pdf.pages.push(sheet(specimen));
    for (number, image) in writer.images.iter().enumerate() {
        pdf.resources.xobjects.map.insert(image_id(number), XObject::External(picture(image)));
    }
    let options = PdfSaveOptions { secure: false, ..PdfSaveOptions::default() };
    let mut raw = pdf.to_lopdf_document(&options, &mut Vec::new());
    put_on_pages(&mut raw, drawn);
    finish::finish(raw, document, paper, &coded, &writer.contents, &writer.annotations)
}

/// Puts onto each page what is drawn there: printpdf was given the pages empty.
fn put_on_pages(raw: &mut RawDocument, drawn: Vec<Vec<u8>>) {
    for (page, content) in raw.get_pages().into_values().zip(drawn) {
        let place = raw.get_dictionary(page).and_then(|page| page.get(b"Contents")?.as_reference());
        let stream = place.and_then(|place| raw.get_object_mut(place)?.as_stream_mut());
        stream.expect("each page has one stream of its own").set_content(content);
    }
}

/// Which characters are printed in which face.
fn characters_of(paper: &Paper) -> BTreeMap<Face, BTreeSet<char>> {
    let mut found: BTreeMap<Face, Characters> = BTreeMap::new();
    let mut note = |text: &Text| {
        for run in &text.runs {
            let characters = found.entry(run.face).or_default();
            run.text.chars().for_each(|c| characters.note(c));
        }
    };
    for mark in paper.pages.iter().flat_map(|page| &page.marks) {
        match &mark.item {
            Item::Text(text) => note(text),
            Item::Drawing { texts, .. } => texts.iter().for_each(|(_, text)| note(text)),
            Item::Rule { .. } | Item::Panel { .. } | Item::Picture { .. } | Item::Field { .. } => {}
        }
    }
    found.into_iter().map(|(face, characters)| (face, characters.found)).collect()
}

/// Characters that were met; of ASCII it is seen at once whether one is new.
#[derive(Default)]
struct Characters {
    ascii: u128,
    found: BTreeSet<char>,
}

impl Characters {
    fn note(&mut self, c: char) {
        let bit = if c.is_ascii() { 1 << u32::from(c) } else { 0 };
        if bit == 0 || self.ascii & bit == 0 {
            self.ascii |= bit;
            self.found.insert(c);
        }
    }
}

/// How a font's glyphs are named on a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reached {
    /// By codes of Windows' code page 1252, a byte each: nearly all that is printed. `finish` puts these fonts into the file.
    ByCode,
    /// By their numbers in the font, two bytes each: every other sign. printpdf puts these fonts into the file.
    ByNumber,
}

impl Reached {
    fn of(code: Option<u8>) -> Reached {
        if code.is_some() { Reached::ByCode } else { Reached::ByNumber }
    }
}

fn font_id(face: Face) -> FontId {
    FontId(font_name(face, Reached::ByNumber).to_owned())
}

fn font_name(face: Face, reached: Reached) -> &'static str {
    match reached {
        Reached::ByCode => ["F0", "F1", "F2", "F3", "F4"][face as usize],
        Reached::ByNumber => ["G0", "G1", "G2", "G3", "G4"][face as usize],
    }
}

fn image_id(number: usize) -> XObjectId {
    XObjectId(format!("P{number}"))
}

/// Shows every character of a face once. A face goes into the file with the characters that printpdf itself turns into
/// glyphs; the pages show glyphs by number, in half the bytes. `finish` leaves the page with the specimens out.
fn specimen_of(face: Face, subset: &Subset) -> [Op; 4] {
    let font = PdfFontHandle::External(font_id(face));
    let items = vec![TextItem::Text(subset.glyphs.keys().collect())];
    [Op::StartTextSection, Op::SetFont { font, size: Pt(1.0) }, Op::ShowText { items }, Op::EndTextSection]
}

/// The numbers of a cut-down face's glyphs.
#[derive(Default)]
struct Glyphs {
    /// Of characters below [`COMMON`], by their code.
    common: Vec<u16>,
    all: BTreeMap<char, u16>,
}

/// Characters below this are looked up by place.
const COMMON: usize = 0x180;

impl Glyphs {
    fn of(subset: &Subset) -> Glyphs {
        let all = subset.glyphs.clone();
        let common = (0..COMMON as u32).filter_map(char::from_u32).map(|c| all.get(&c).copied().unwrap_or(0)).collect();
        Glyphs { common, all }
    }

    fn number(&self, character: char) -> u16 {
        let common = self.common.get(character as usize).copied();
        common.unwrap_or_else(|| self.all.get(&character).copied().unwrap_or(0))
    }
}

fn font(subset: Subset) -> ParsedFont {
    let characters = subset.glyphs.iter().map(|(&character, &id)| (u32::from(character), id)).collect();
    let measures = subset.measures;
    let metrics = FontMetrics { ascent: measures.ascent, descent: measures.descent };
    let name = Some(subset.name);
    let mut font =
        ParsedFont::with_glyph_data(subset.bytes, 0, name, characters, subset.widths, measures.units, metrics);
    let pdf = &mut font.pdf_font_metrics;
    [pdf.x_min, pdf.y_min, pdf.x_max, pdf.y_max] = measures.bounds;
    (pdf.caret_slope_rise, pdf.caret_slope_run) = measures.slant;
    pdf.us_weight_class = measures.weight;
    font
}

/// A picture as it goes into the file; a JPEG is not touched.
fn picture(image: &Image) -> ExternalXObject {
    let mut stream = match &image.pixels {
        Pixels::Jpeg { bytes, grey } => {
            let samples = if *grey { Samples::Grey } else { Samples::Mixed };
            let mut stream = plane(image, Plane { samples, bytes: bytes.clone(), predicted: false });
            stream.dict.insert("Filter".into(), name("DCTDecode"));
            stream
        }
        Pixels::Plain(plain) => plane(image, planes::of_colours(plain, image.width)),
    };
    if let Pixels::Plain(Plain { opacity: Some(opacity), .. }) = &image.pixels {
        let opacity = plane(image, planes::of_grey(opacity.to_vec(), image.width));
        stream.dict.insert("SMask".into(), DictItem::Stream { stream: opacity });
    }
    let pixels = |count: u32| Some(Px(count as usize));
    ExternalXObject { stream, width: pixels(image.width), height: pixels(image.height), dpi: None }
}

fn plane(image: &Image, plane: Plane) -> ExternalStream {
    let count = if plane.samples == Samples::Mixed { 3 } else { 1 };
    let colours = match plane.samples {
        Samples::Grey => name("DeviceGray"),
        Samples::Mixed => name("DeviceRGB"),
        Samples::Numbered(list) => {
            let last = DictItem::Int(list.len() as i64 / 3 - 1);
            let list = DictItem::String { data: list, literal: false };
            DictItem::Array(vec![name("Indexed"), name("DeviceRGB"), last, list])
        }
    };
    let mut dict = BTreeMap::from([
        ("Type".into(), name("XObject")),
        ("Subtype".into(), name("Image")),
        ("Width".into(), DictItem::Int(i64::from(image.width))),
        ("Height".into(), DictItem::Int(i64::from(image.height))),
        ("BitsPerComponent".into(), DictItem::Int(8)),
        ("ColorSpace".into(), colours),
    ]);
    if plane.predicted {
        // Each row says which filter it has (ISO 32000-1, table 8: 10 to 15 are alike to a reader).
        let columns = DictItem::Int(i64::from(image.width));
        let parms = [("Predictor", DictItem::Int(15)), ("Colors", DictItem::Int(count)), ("Columns", columns)];
        let map = parms.map(|(key, value)| (key.to_owned(), value)).into();
        dict.insert("DecodeParms".into(), DictItem::Dict { map });
    }
    ExternalStream { dict, content: plane.bytes, compress: false }
}

fn name(text: &str) -> DictItem {
    DictItem::Name(text.as_bytes().to_vec())
}

/// Hundredths of a point are finer than any printer.
fn round(value: f64) -> f32 {
    points(hundredths(value))
}

fn hundredths(value: f64) -> i64 {
    (value * 100.0).round() as i64
}

fn points(hundredths: i64) -> f32 {
    (hundredths as f64 / 100.0) as f32
}

struct Writer<'a> {
    paper: &'a Paper,
    /// By face.
    glyphs: [Glyphs; FACES.len()],
    accent: RgbShares,
    out: Operators,
    contents: Vec<MarkedContent>,
    annotations: Vec<Annotation>,
    images: Vec<Arc<Image>>,
    fill: Option<RgbShares>,
    stroke: Option<RgbShares>,
    width: Option<f32>,
    dash: Option<(f32, f32)>,
    font: Option<(Face, Reached, f32)>,
    /// Where the last line of text began, in hundredths of a point, while a text object is begun.
    cursor: Option<(i64, i64)>,
}

impl<'a> Writer<'a> {
    fn new(paper: &'a Paper, accent: RgbShares) -> Writer<'a> {
        Writer {
            paper,
            glyphs: Default::default(),
            accent,
            out: Operators::default(),
            contents: Vec::new(),
            annotations: Vec::new(),
            images: Vec::new(),
            fill: None,
            stroke: None,
            width: None,
            dash: None,
            font: None,
            cursor: None,
        }
    }

    fn page(&mut self, number: usize, marks: &[Placed]) {
        (self.fill, self.stroke, self.width, self.dash, self.font) = (None, None, None, None, None);
        let mut next = 0;
        let mut rest = marks;
        while let Some(first) = rest.first() {
            let same = rest.iter().take_while(|mark| mark.owner == first.owner).count();
            let drawn = rest[..same].iter().any(|mark| !matches!(mark.item, Item::Field { .. }));
            if drawn {
                self.begin(number, &rest[..same], &mut next);
            }
            rest[..same].iter().for_each(|mark| self.mark(number, mark));
            if drawn {
                self.out.put(&[], "EMC");
            }
            rest = &rest[same..];
        }
        self.end_text();
    }

    /// Opens marks of one owner. Words that are decoration say that they are repeated from page to page (ISO 32000-1,
    /// 14.8.2.2.2).
    fn begin(&mut self, page: usize, marks: &[Placed], next: &mut i64) {
        let Some(node) = marks[0].owner else {
            match marks.iter().any(|mark| matches!(mark.item, Item::Text(_))) {
                true => self.out.marked("Artifact", "Type", "/Pagination"),
                false => self.out.named("Artifact", &[], "BMC"),
            }
            return;
        };
        let number = *next;
        *next += 1;
        self.contents.push(MarkedContent { page, number, node });
        self.out.marked_as(tree::tag(&self.paper.nodes[node].role), number);
    }

    fn mark(&mut self, page: usize, mark: &Placed) {
        match &mark.item {
            Item::Text(text) => {
                self.text(text);
                if let (Some(link), Some(node)) = (&text.link, mark.owner) {
                    let area = Rectangle {
                        x: text.x,
                        y: text.y - 0.8 * text.size,
                        width: text.width,
                        height: 1.1 * text.size,
                    };
                    self.annotations.push(Annotation {
                        page,
                        area,
                        node,
                        target: AnnotationAction::Link(link.clone()),
                    });
                    self.underline(text);
                }
            }
            Item::Rule { from, to, pen } => self.line(&[*from, *to], *pen),
            Item::Panel { area, fill, pen } => {
                let (right, bottom) = (area.x + area.width, area.y + area.height);
                let ring = vec![(area.x, area.y), (right, area.y), (right, bottom), (area.x, bottom)];
                self.rings(vec![ring.into_iter().map(corner).collect()], *fill, *pen);
            }
            Item::Drawing { area, scale, scene, texts } => self.drawing(*area, *scale, scene, texts),
            Item::Picture { area, image } => self.picture(*area, image),
            Item::Field { area, label, taking } => {
                if let Some(node) = mark.owner {
                    let target = AnnotationAction::Field { label: label.clone(), taking: taking.clone() };
                    self.annotations.push(Annotation { page, area: *area, node, target });
                }
            }
        }
    }

    /// Sets a line of text. Lines that follow one another stand in one text object, each a step from the one before; so a
    /// page of text takes fewer and more regular bytes.
    fn text(&mut self, text: &Text) {
        if text.runs.is_empty() {
            return;
        }
        self.set_fill(text.ink);
        let (x, y) = (hundredths(text.x), hundredths(HEIGHT - text.y));
        if text.turn == 0.0 {
            let (from_x, from_y) = self.cursor.unwrap_or_else(|| {
                self.out.put(&[], "BT");
                (0, 0)
            });
            self.cursor = Some((x, y));
            self.out.put(&[points(x - from_x), points(y - from_y)], "Td");
        } else {
            self.end_text();
            self.out.put(&[], "BT");
            let (sin, cos) = text.turn.to_radians().sin_cos();
            let fine = |value: f64| ((value * 1e5).round() / 1e5) as f32;
            self.out.put(&[fine(cos), fine(sin), fine(-sin), fine(cos), points(x), points(y)], "Tm");
        }
        for run in &text.runs {
            self.show(run, round(text.size));
        }
        if text.turn != 0.0 {
            self.out.put(&[], "ET");
        }
    }

    /// Shows glyphs with shifts between them (ISO 32000-1, 9.4.3), in one font where all of them have codes, as nearly all have.
    fn show(&mut self, run: &FaceRun, size: f32) {
        let mut codes = Vec::with_capacity(run.text.len());
        let mut letters = run.text.chars().map(|letter| (letter, code_of(run.face, letter))).peekable();
        let (mut shifts, mut from) = (run.shifts.as_slice(), 0);
        while let Some(&(_, first)) = letters.peek() {
            let reached = Reached::of(first);
            let mut to = from;
            codes.clear();
            while let Some((letter, code)) = letters.next_if(|&(_, code)| Reached::of(code) == reached) {
                match code {
                    Some(code) => codes.push(code),
                    None => codes.extend(self.glyphs[run.face as usize].number(letter).to_be_bytes()),
                }
                to += 1;
            }
            let (here, behind) = shifts.split_at(shifts.partition_point(|&(letters, _)| letters <= to));
            self.set_font(run.face, reached, size);
            let bytes = codes.len() / (to - from);
            let ends = here.iter().map(|&(letters, shift)| (bytes * (letters - from), -shift));
            let mut start = 0;
            let parts = ends.chain([(codes.len(), 0)]);
            self.out.show(parts.map(|(end, shift)| (&codes[std::mem::replace(&mut start, end)..end], shift)));
            (shifts, from) = (behind, to);
        }
    }

    fn set_font(&mut self, face: Face, reached: Reached, size: f32) {
        if self.font.replace((face, reached, size)) != Some((face, reached, size)) {
            self.out.named(font_name(face, reached), &[size], "Tf");
        }
    }

    /// Ends the text object, if one is begun: nothing else may be drawn in it.
    fn end_text(&mut self) {
        if self.cursor.take().is_some() {
            self.out.put(&[], "ET");
        }
    }

    fn underline(&mut self, text: &Text) {
        let y = text.y + 0.13 * text.size;
        self.line(&[(text.x, y), (text.x + text.width, y)], Pen { ink: text.ink, width: 0.5, dash: None });
    }

    fn drawing(&mut self, area: Rectangle, scale: f64, scene: &Scene, texts: &[(usize, Text)]) {
        let on_page = |spot: &Spot| (area.x + spot.x * scale, area.y + spot.y * scale);
        let scaled =
            |pen: Pen| Pen { width: pen.width * scale, dash: pen.dash.map(|(a, b)| (a * scale, b * scale)), ..pen };
        let mut words = texts.iter().peekable();
        for (place, mark) in scene.marks.iter().enumerate() {
            match mark {
                Mark::Line { spots, pen } => {
                    let spots: Vec<(f64, f64)> = spots.iter().map(on_page).collect();
                    self.line(&spots, scaled(*pen));
                }
                Mark::Area { rings, fill, pen } => {
                    let rings = rings.iter().map(|ring| ring.iter().map(on_page).map(corner).collect()).collect();
                    self.rings(rings, *fill, pen.map(scaled));
                }
                Mark::Circle { at, radius, fill, pen } => {
                    self.rings(vec![circle(on_page(at), radius * scale)], *fill, pen.map(scaled));
                }
                Mark::Text { at, anchor, turn, ground, .. } => {
                    let Some((_, text)) = words.next_if(|(number, _)| *number == place) else { continue };
                    let text = stand(text, on_page(at), scale, *anchor, *turn);
                    if *ground {
                        self.rings(vec![ground_of(&text)], Some(Ink::White), None);
                    }
                    self.text(&text);
                }
            }
        }
    }

    fn picture(&mut self, area: Rectangle, image: &Arc<Image>) {
        let number = self.images.iter().position(|known| known == image).unwrap_or_else(|| {
            self.images.push(Arc::clone(image));
            self.images.len() - 1
        });
        let [a, b, c, d, e, f] = turned(image.orientation);
        let (width, height) = (area.width, area.height);
        let (left, bottom) = (area.x, HEIGHT - area.y - area.height);
        let matrix = [a * width, b * height, c * width, d * height, e * width + left, f * height + bottom].map(round);
        self.end_text();
        self.out.put(&[], "q");
        self.out.put(&matrix, "cm");
        self.out.put(&[], "q");
        self.out.put(&[1.0, 0.0, 0.0, 1.0, 0.0, 0.0], "cm");
        self.out.named(&image_id(number).0, &[], "Do");
        self.out.put(&[], "Q");
        self.out.put(&[], "Q");
    }

    fn line(&mut self, spots: &[(f64, f64)], pen: Pen) {
        if spots.len() < 2 {
            return;
        }
        self.end_text();
        self.set_pen(pen);
        let points: Vec<PathPoint> = spots.iter().map(|&spot| point(spot, false)).collect();
        self.out.open_line(&points);
    }

    /// Rings of corners and curve handles, filled by the even–odd rule.
    fn rings(&mut self, rings: Vec<Vec<PathPoint>>, fill: Option<Ink>, pen: Option<Pen>) {
        let paint = match (fill, pen) {
            (Some(_), Some(_)) => Paint::FillStroke,
            (Some(_), None) => Paint::Fill,
            (None, Some(_)) => Paint::Stroke,
            (None, None) => return,
        };
        self.end_text();
        if let Some(ink) = fill {
            self.set_fill(ink);
        }
        if let Some(pen) = pen {
            self.set_pen(pen);
        }
        if let [ring] = rings.as_slice()
            && let Some(area) = upright(ring)
        {
            self.out.rectangle(area, paint);
            return;
        }
        let several = rings.len() > 1;
        let close = |mut points: Vec<PathPoint>| {
            if several && let Some(first) = points.first().copied() {
                points.push(first);
            }
            points
        };
        let rings: Vec<Vec<PathPoint>> = rings.into_iter().filter(|ring| ring.len() > 1).map(close).collect();
        if !rings.is_empty() {
            self.out.rings(&rings, paint);
        }
    }

    fn set_fill(&mut self, ink: Ink) {
        let tone = ink.shares(self.accent);
        if self.fill.replace(tone) != Some(tone) {
            colour(&mut self.out, tone, ["g", "rg"]);
        }
    }

    fn set_pen(&mut self, pen: Pen) {
        let tone = pen.ink.shares(self.accent);
        if self.stroke.replace(tone) != Some(tone) {
            colour(&mut self.out, tone, ["G", "RG"]);
        }
        let width = round(pen.width);
        if self.width.replace(width) != Some(width) {
            self.out.put(&[width], "w");
        }
        let dash = pen.dash.map(|(dash, gap)| (round(dash), round(gap)));
        if self.dash != dash {
            self.dash = dash;
            let pattern: Vec<f32> = dash.into_iter().flat_map(|(dash, gap)| [dash, gap]).collect();
            self.out.dashes(&pattern);
        }
    }
}

/// A tone of grey takes one number.
fn colour(out: &mut Operators, [r, g, b]: RgbShares, [grey, mixed]: [&str; 2]) {
    if r == g && g == b { out.put(&[r], grey) } else { out.put(&[r, g, b], mixed) }
}

/// A place on a line, to a tenth of a point (1/720 of an inch): as fine as a printer's dots, in fewer bytes.
fn point((x, y): (f64, f64), handle: bool) -> PathPoint {
    let tenths = |value: f64| points((value * 10.0).round() as i64 * 10);
    PathPoint { x: tenths(x), y: tenths(HEIGHT - y), handle }
}

fn corner(spot: (f64, f64)) -> PathPoint {
    point(spot, false)
}

/// A ring as a rectangle, where it is one with upright sides: a corner and two sides take half the bytes of four corners.
fn upright(ring: &[PathPoint]) -> Option<[f32; 4]> {
    let [a, b, c, d] = ring else { return None };
    if ring.iter().any(|point| point.handle) {
        return None;
    }
    let standing = a.x == b.x && b.y == c.y && c.x == d.x && d.y == a.y;
    let lying = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
    let side = |from: f32, to: f32| round(f64::from(to) - f64::from(from));
    (standing || lying).then(|| [a.x, a.y, side(a.x, c.x), side(a.y, c.y)])
}

/// A circle as four cubic curves; the handle's share of the radius is 4/3 (√2 − 1).
fn circle((x, y): (f64, f64), radius: f64) -> Vec<PathPoint> {
    let handle = radius * 0.552_284_75;
    let quarter = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)];
    let at = |(dx, dy): (f64, f64)| (x + dx * radius, y + dy * radius);
    let mut points = vec![corner(at(quarter[0]))];
    for pair in quarter.windows(2) {
        let ((ax, ay), (bx, by)) = (at(pair[0]), at(pair[1]));
        points.push(point((ax + pair[1].0 * handle, ay + pair[1].1 * handle), true));
        points.push(point((bx + pair[0].0 * handle, by + pair[0].1 * handle), true));
        points.push(corner((bx, by)));
    }
    points
}

/// A drawing's text on the page: scaled, and moved along its own direction to stand as its anchor says.
fn stand(text: &Text, (x, y): (f64, f64), scale: f64, anchor: Anchor, turn: f64) -> Text {
    let width = text.width * scale;
    let back = width
        * match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
    let (sin, cos) = turn.to_radians().sin_cos();
    Text { x: x - back * cos, y: y + back * sin, size: text.size * scale, width, turn, ..text.clone() }
}

/// A white ground behind a text, turned with it.
fn ground_of(text: &Text) -> Vec<PathPoint> {
    let (sin, cos) = text.turn.to_radians().sin_cos();
    let edge = 0.12 * text.size;
    let (top, bottom) = (-0.76 * text.size - edge, 0.2 * text.size + edge);
    let corners = [(-edge, top), (text.width + edge, top), (text.width + edge, bottom), (-edge, bottom)];
    corners.map(|(along, down)| corner((text.x + along * cos + down * sin, text.y - along * sin + down * cos))).to_vec()
}

/// The matrix that stands a unit picture upright by its EXIF orientation (Exif 2.3, 4.6.4 A), inside the unit square.
fn turned(orientation: u8) -> [f64; 6] {
    match orientation {
        2 => [-1.0, 0.0, 0.0, 1.0, 1.0, 0.0],
        3 => [-1.0, 0.0, 0.0, -1.0, 1.0, 1.0],
        4 => [1.0, 0.0, 0.0, -1.0, 0.0, 1.0],
        5 => [0.0, -1.0, -1.0, 0.0, 1.0, 1.0],
        6 => [0.0, -1.0, 1.0, 0.0, 0.0, 1.0],
        7 => [0.0, 1.0, 1.0, 0.0, 0.0, 0.0],
        8 => [0.0, 1.0, -1.0, 0.0, 1.0, 0.0],
        _ => [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
    }
}
