//! Placed pages become a PDF: the only file that names printpdf.
//!
//! Given placed pages; gives the bytes of the finished file. Every mark that means something is written between marks
//! of its node, in reading order; what printpdf cannot say (tags, outline, links, fields, profile) is left to
//! `finish`.

use super::block::Document;
use super::finish::{self, Content, Hot, Target};
use super::fonts::{FACES, Face, Subset};
use super::page::{Area, HEIGHT, Item, Paper, Placed, Run, Text, WIDTH};
use super::pictures::{Image, Pixels};
use super::scene::{Anchor, Ink, Mark, Pen, Scene, Spot};
use printpdf::{
    Color, CurTransMat, DictItem, ExternalStream, ExternalXObject, FontId, FontMetrics, Line, LineDashPattern,
    LinePoint, Op, PaintMode, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Point, Polygon,
    PolygonRing, Pt, Px, Rgb, TextItem, TextMatrix, WindingOrder, XObject, XObjectId, XObjectTransform,
};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The finished file.
pub fn write(document: &Document, paper: &Paper) -> Vec<u8> {
    let mut pdf = PdfDocument::new("");
    for (face, characters) in characters_of(paper) {
        pdf.resources.fonts.map.insert(font_id(face), PdfFont::new(font(paper.fonts.cut_down(face, &characters))));
    }
    let mut writer = Writer::new(paper, accent_of(document));
    for (number, page) in paper.pages.iter().enumerate() {
        writer.page(number, &page.marks);
        let ops = std::mem::take(&mut writer.ops);
        pdf.pages.push(PdfPage::new(Pt(WIDTH as f32).into(), Pt(HEIGHT as f32).into(), ops));
    }
    for (number, image) in writer.images.iter().enumerate() {
        pdf.resources.xobjects.map.insert(image_id(number), XObject::External(picture(image)));
    }
    let lopdf = pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new());
    finish::finish(lopdf, document, paper, &writer.contents, &writer.hots)
}

/// Which characters are printed in which face.
fn characters_of(paper: &Paper) -> BTreeMap<Face, BTreeSet<char>> {
    let mut found: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    let mut note = |text: &Text| {
        for run in &text.runs {
            let characters = found.entry(run.face).or_default();
            characters.extend(run.parts.iter().flat_map(|(part, _)| part.chars()));
        }
    };
    for mark in paper.pages.iter().flat_map(|page| &page.marks) {
        match &mark.item {
            Item::Text(text) => note(text),
            Item::Drawing { texts, .. } => texts.iter().for_each(|(_, text)| note(text)),
            Item::Rule { .. } | Item::Panel { .. } | Item::Picture { .. } | Item::Field { .. } => {}
        }
    }
    found
}

fn font_id(face: Face) -> FontId {
    let place = FACES.iter().position(|&other| other == face).unwrap_or_default();
    FontId(format!("F{place}"))
}

fn image_id(number: usize) -> XObjectId {
    XObjectId(format!("P{number}"))
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
    let (bytes, colours, filter, opacity) = match &image.pixels {
        Pixels::Jpeg { bytes, grey } => {
            (bytes, if *grey { "DeviceGray" } else { "DeviceRGB" }, Some("DCTDecode"), None)
        }
        Pixels::Plain { rgb, opacity } => (rgb, "DeviceRGB", None, opacity.as_ref()),
    };
    let mut stream = plane(image, bytes, colours);
    if let Some(filter) = filter {
        stream.dict.insert("Filter".into(), name(filter));
    }
    if let Some(opacity) = opacity {
        stream.dict.insert("SMask".into(), DictItem::Stream { stream: plane(image, opacity, "DeviceGray") });
    }
    let pixels = |count: u32| Some(Px(count as usize));
    ExternalXObject { stream, width: pixels(image.width), height: pixels(image.height), dpi: None }
}

fn plane(image: &Image, bytes: &[u8], colours: &str) -> ExternalStream {
    let dict = BTreeMap::from([
        ("Type".into(), name("XObject")),
        ("Subtype".into(), name("Image")),
        ("Width".into(), DictItem::Int(i64::from(image.width))),
        ("Height".into(), DictItem::Int(i64::from(image.height))),
        ("BitsPerComponent".into(), DictItem::Int(8)),
        ("ColorSpace".into(), name(colours)),
    ]);
    ExternalStream { dict, content: bytes.to_vec(), compress: false }
}

fn name(text: &str) -> DictItem {
    DictItem::Name(text.as_bytes().to_vec())
}

type Tone = [f32; 3];

/// The firm's accent, darkened until it reads on white: a contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3).
fn accent_of(document: &Document) -> Tone {
    let mut tone = document.accent.rgb.map(|byte| f64::from(byte) / 255.0);
    while 1.05 / (luminance(tone) + 0.05) < 4.5 {
        tone = tone.map(|part| part * 0.96);
    }
    tone.map(|part| part as f32)
}

/// Relative luminance, 0 to 1 (WCAG 2.1).
fn luminance(tone: [f64; 3]) -> f64 {
    let linear = |part: f64| if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) };
    0.2126 * linear(tone[0]) + 0.7152 * linear(tone[1]) + 0.0722 * linear(tone[2])
}

/// Hundredths of a point are finer than any printer.
fn round(value: f64) -> f32 {
    ((value * 100.0).round() / 100.0) as f32
}

/// Colours keep two decimals.
fn mix(ink: Ink, accent: Tone) -> Tone {
    let tone = match ink {
        Ink::Black => [0.0; 3],
        Ink::White => [1.0; 3],
        Ink::Grey(share) => [share as f32; 3],
        Ink::Accent => accent,
        Ink::AccentTint(share) => accent.map(|part| part + (1.0 - part) * share as f32),
    };
    tone.map(|part| (part.clamp(0.0, 1.0) * 1000.0).round() / 1000.0)
}

struct Writer<'a> {
    paper: &'a Paper,
    accent: Tone,
    ops: Vec<Op>,
    contents: Vec<Content>,
    hots: Vec<Hot>,
    images: Vec<Arc<Image>>,
    fill: Option<Tone>,
    stroke: Option<Tone>,
    width: Option<f32>,
    dash: Option<(f32, f32)>,
}

impl<'a> Writer<'a> {
    fn new(paper: &'a Paper, accent: Tone) -> Writer<'a> {
        Writer {
            paper,
            accent,
            ops: Vec::new(),
            contents: Vec::new(),
            hots: Vec::new(),
            images: Vec::new(),
            fill: None,
            stroke: None,
            width: None,
            dash: None,
        }
    }

    fn page(&mut self, number: usize, marks: &[Placed]) {
        (self.fill, self.stroke, self.width, self.dash) = (None, None, None, None);
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
                self.ops.push(Op::EndMarkedContent);
            }
            rest = &rest[same..];
        }
    }

    /// Opens marks of one owner. Words that are decoration say that they are repeated from page to page (ISO 32000-1,
    /// 14.8.2.2.2).
    fn begin(&mut self, page: usize, marks: &[Placed], next: &mut i64) {
        let Some(node) = marks[0].owner else {
            let repeated = marks.iter().any(|mark| matches!(mark.item, Item::Text(_)));
            self.ops.push(if repeated {
                let map = BTreeMap::from([("Type".to_owned(), name("Pagination"))]);
                let properties = DictItem::Dict { map };
                Op::BeginMarkedContentWithProperties { tag: "Artifact".into(), properties }
            } else {
                Op::BeginMarkedContent { tag: "Artifact".into() }
            });
            return;
        };
        let number = *next;
        *next += 1;
        self.contents.push(Content { page, number, node });
        let map = BTreeMap::from([("MCID".to_owned(), DictItem::Int(number))]);
        let tag = finish::tag(&self.paper.nodes[node].role).to_owned();
        self.ops.push(Op::BeginMarkedContentWithProperties { tag, properties: DictItem::Dict { map } });
    }

    fn mark(&mut self, page: usize, mark: &Placed) {
        match &mark.item {
            Item::Text(text) => {
                self.text(text);
                if let (Some(link), Some(node)) = (&text.link, mark.owner) {
                    let area =
                        Area { x: text.x, y: text.y - 0.8 * text.size, width: text.width, height: 1.1 * text.size };
                    self.hots.push(Hot { page, area, node, target: Target::Link(link.clone()) });
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
            Item::Field { area, label, tick } => {
                if let Some(node) = mark.owner {
                    let target = if *tick { Target::Tick(label.clone()) } else { Target::Field(label.clone()) };
                    self.hots.push(Hot { page, area: *area, node, target });
                }
            }
        }
    }

    fn text(&mut self, text: &Text) {
        if text.runs.is_empty() {
            return;
        }
        self.set_fill(text.ink);
        self.ops.push(Op::StartTextSection);
        let (x, y) = (round(text.x), round(HEIGHT - text.y));
        if text.turn == 0.0 {
            self.ops.push(Op::SetTextCursor { pos: Point { x: Pt(x), y: Pt(y) } });
        } else {
            let (sin, cos) = text.turn.to_radians().sin_cos();
            let fine = |value: f64| ((value * 1e5).round() / 1e5) as f32;
            let matrix = TextMatrix::Raw([fine(cos), fine(sin), fine(-sin), fine(cos), x, y]);
            self.ops.push(Op::SetTextMatrix { matrix });
        }
        for run in &text.runs {
            let font = PdfFontHandle::External(font_id(run.face));
            self.ops.push(Op::SetFont { font, size: Pt(round(text.size)) });
            self.ops.push(Op::ShowText { items: show(run) });
        }
        self.ops.push(Op::EndTextSection);
    }

    fn underline(&mut self, text: &Text) {
        let y = text.y + 0.13 * text.size;
        self.line(&[(text.x, y), (text.x + text.width, y)], Pen { ink: text.ink, width: 0.5, dash: None });
    }

    fn drawing(&mut self, area: Area, scale: f64, scene: &Scene, texts: &[(usize, Text)]) {
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

    fn picture(&mut self, area: Area, image: &Arc<Image>) {
        let number = self.images.iter().position(|known| known == image).unwrap_or_else(|| {
            self.images.push(Arc::clone(image));
            self.images.len() - 1
        });
        let [a, b, c, d, e, f] = turned(image.orientation);
        let (width, height) = (area.width, area.height);
        let (left, bottom) = (area.x, HEIGHT - area.y - area.height);
        let matrix = [a * width, b * height, c * width, d * height, e * width + left, f * height + bottom].map(round);
        self.ops.push(Op::SaveGraphicsState);
        self.ops.push(Op::SetTransformationMatrix { matrix: CurTransMat::Raw(matrix) });
        let transform = XObjectTransform { no_auto_scale: true, ..XObjectTransform::default() };
        self.ops.push(Op::UseXobject { id: image_id(number), transform });
        self.ops.push(Op::RestoreGraphicsState);
    }

    fn line(&mut self, spots: &[(f64, f64)], pen: Pen) {
        if spots.len() < 2 {
            return;
        }
        self.set_pen(pen);
        let points = spots.iter().map(|&spot| point(spot, false)).collect();
        self.ops.push(Op::DrawLine { line: Line { points, is_closed: false } });
    }

    /// Rings of corners and curve handles, filled by the even–odd rule.
    fn rings(&mut self, rings: Vec<Vec<LinePoint>>, fill: Option<Ink>, pen: Option<Pen>) {
        let mode = match (fill, pen) {
            (Some(_), Some(_)) => PaintMode::FillStroke,
            (Some(_), None) => PaintMode::Fill,
            (None, Some(_)) => PaintMode::Stroke,
            (None, None) => return,
        };
        if let Some(ink) = fill {
            self.set_fill(ink);
        }
        if let Some(pen) = pen {
            self.set_pen(pen);
        }
        let several = rings.len() > 1;
        let close = |mut points: Vec<LinePoint>| {
            if several && let Some(first) = points.first().cloned() {
                points.push(first);
            }
            PolygonRing { points }
        };
        let rings = rings.into_iter().filter(|ring| ring.len() > 1).map(close).collect();
        let polygon = Polygon { rings, mode, winding_order: WindingOrder::EvenOdd };
        self.ops.push(Op::DrawPolygon { polygon });
    }

    fn set_fill(&mut self, ink: Ink) {
        let tone = mix(ink, self.accent);
        if self.fill.replace(tone) != Some(tone) {
            self.ops.push(Op::SetFillColor { col: colour(tone) });
        }
    }

    fn set_pen(&mut self, pen: Pen) {
        let tone = mix(pen.ink, self.accent);
        if self.stroke.replace(tone) != Some(tone) {
            self.ops.push(Op::SetOutlineColor { col: colour(tone) });
        }
        let width = round(pen.width);
        if self.width.replace(width) != Some(width) {
            self.ops.push(Op::SetOutlineThickness { pt: Pt(width) });
        }
        let dash = pen.dash.map(|(dash, gap)| (round(dash), round(gap)));
        if self.dash != dash {
            self.dash = dash;
            let pattern = dash.into_iter().flat_map(|(dash, gap)| [dash, gap]).collect();
            self.ops.push(Op::SetLineDashPattern { dash: LineDashPattern { offset: 0.0, pattern } });
        }
    }
}

fn colour([r, g, b]: Tone) -> Color {
    Color::Rgb(Rgb { r, g, b, icc_profile: None })
}

fn point((x, y): (f64, f64), bezier: bool) -> LinePoint {
    LinePoint { p: Point { x: Pt(round(x)), y: Pt(round(HEIGHT - y)) }, bezier }
}

fn corner(spot: (f64, f64)) -> LinePoint {
    point(spot, false)
}

/// A circle as four cubic curves; the handle's share of the radius is 4/3 (√2 − 1).
fn circle((x, y): (f64, f64), radius: f64) -> Vec<LinePoint> {
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

fn show(run: &Run) -> Vec<TextItem> {
    let mut items = Vec::with_capacity(run.parts.len() * 2);
    for (text, shift) in &run.parts {
        items.push(TextItem::Text(text.clone()));
        if *shift != 0 {
            items.push(TextItem::Offset(-(*shift as f32)));
        }
    }
    items
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
fn ground_of(text: &Text) -> Vec<LinePoint> {
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
