//! A drawing as a file of its own, in SVG (W3C, Scalable Vector Graphics 1.1).
//!
//! Given a figure, the firm's accent and the fonts; gives the text of a file whose size on paper is the drawing's, so that a plan
//! printed at 100 % is true to its scale. Text stays text: it is found, read out and changed as such. A machine that lacks the
//! face sets it in another, in the width that it has here.

use super::block::{Figure, Span};
use super::scene::{Anchor, Ink, Mark, Pen, RgbShares, Spot, readable};
use super::text::{Faults, shape};
use crate::model::firm::Accent;
use svg::node::Value;
use svg::node::element::path::Data;
use svg::node::element::{Circle, Description, Element, Path, Polyline, Rectangle, Text, Title};
use svg::{Document, Node};

/// The file's text. Letters that no font has are noted among the faults.
pub fn of(figure: &Figure, accent: Accent, faults: &mut Faults) -> String {
    let (width, height) = (hundredths(figure.scene.width), hundredths(figure.scene.height));
    let mut file = Document::new()
        .set("width", format!("{}mm", millimetres(figure.scene.width)))
        .set("height", format!("{}mm", millimetres(figure.scene.height)))
        .set("viewBox", (0, 0, width, height))
        .set("role", "img")
        .set("font-family", families(faults))
        .add(Title::new(figure.caption.as_str()))
        .add(Description::new().add(svg::node::Text::new(figure.alt.as_str())));
    let accent = readable(accent);
    for mark in &figure.scene.marks {
        drawn(mark, accent, faults).into_iter().for_each(|element| file.append(element));
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{file}\n")
}

/// One mark, with the ground behind it where it has one.
fn drawn(mark: &Mark, accent: RgbShares, faults: &mut Faults) -> Vec<Element> {
    match mark {
        Mark::Line { spots, pen } => {
            let points: Vec<String> =
                spots.iter().map(|s| format!("{},{}", hundredths(s.x), hundredths(s.y))).collect();
            let line = Polyline::new().set("points", points.join(" "));
            vec![inked(line.into(), None, Some(*pen), accent)]
        }
        Mark::Area { rings, fill, pen } => {
            let path = Path::new().set("d", outline(rings)).set("fill-rule", "evenodd");
            vec![inked(path.into(), *fill, *pen, accent)]
        }
        Mark::Circle { at, radius, fill, pen } => {
            let (x, y) = (hundredths(at.x), hundredths(at.y));
            let circle = Circle::new().set("cx", x).set("cy", y).set("r", hundredths(*radius));
            vec![inked(circle.into(), *fill, *pen, accent)]
        }
        Mark::Text { at, text, size, bold, ink, anchor, turn, ground } => {
            let width = shape(&[Span::plain(text.as_str())], *bold, faults).single(*size, *ink, 0.0, 0.0).width;
            let words = words(*at, text, *size, width)
                .set("font-weight", if *bold { "bold" } else { "normal" })
                .set("text-anchor", anchored(*anchor))
                .set("fill", hex(*ink, accent));
            let ground = ground.then(|| ground_of(*at, *size, width, *anchor));
            ground.into_iter().map(Element::from).chain([words.into()]).map(|e| turned(e, *at, *turn)).collect()
        }
    }
}

fn words(at: Spot, text: &str, size: f64, width: f64) -> Text {
    Text::new(text)
        .set("x", hundredths(at.x))
        .set("y", hundredths(at.y))
        .set("font-size", hundredths(size))
        .set("textLength", hundredths(width))
        .set("lengthAdjust", "spacingAndGlyphs")
}

/// A white ground behind words, an eighth of their size wider.
fn ground_of(at: Spot, size: f64, width: f64, anchor: Anchor) -> Rectangle {
    let edge = 0.12 * size;
    let left = match anchor {
        Anchor::Start => at.x,
        Anchor::Middle => at.x - width / 2.0,
        Anchor::End => at.x - width,
    };
    Rectangle::new()
        .set("x", hundredths(left - edge))
        .set("y", hundredths(at.y - 0.76 * size - edge))
        .set("width", hundredths(width + 2.0 * edge))
        .set("height", hundredths(0.96 * size + 2.0 * edge))
        .set("fill", "#ffffff")
}

fn turned(mut element: Element, at: Spot, turn: f64) -> Element {
    if turn != 0.0 {
        let turn = format!("rotate({} {} {})", hundredths(-turn), hundredths(at.x), hundredths(at.y));
        element.assign("transform", turn);
    }
    element
}

fn anchored(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    }
}

fn outline(rings: &[Vec<Spot>]) -> Data {
    rings.iter().filter(|ring| ring.len() > 1).fold(Data::new(), |path, ring| {
        let corner = |s: &Spot| (hundredths(s.x), hundredths(s.y));
        let path = path.move_to(corner(&ring[0]));
        ring[1..].iter().fold(path, |path, spot| path.line_to(corner(spot))).close()
    })
}

fn inked(mut element: Element, fill: Option<Ink>, pen: Option<Pen>, accent: RgbShares) -> Element {
    element.assign("fill", fill.map_or("none".to_owned(), |ink| hex(ink, accent)));
    if let Some(Pen { ink, width, dash }) = pen {
        element.assign("stroke", hex(ink, accent));
        element.assign("stroke-width", hundredths(width));
        if let Some((dash, gap)) = dash {
            element.assign("stroke-dasharray", format!("{} {}", hundredths(dash), hundredths(gap)));
        }
    }
    element
}

fn hex(ink: Ink, accent: RgbShares) -> String {
    let [r, g, b] = ink.shares(accent).map(|part| (part * 255.0).round() as u8);
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// The face of the text, then what stands in for it.
fn families(faults: &Faults) -> Value {
    format!("'{}', sans-serif", faults.fonts.family()).into()
}

fn hundredths(value: f64) -> f32 {
    ((value * 100.0).round() / 100.0) as f32
}

/// Of points of 1/72 inch.
fn millimetres(points: f64) -> f32 {
    hundredths(points * 25.4 / 72.0)
}
