//! A drawing as plain vector marks, at its size on paper.
//!
//! Given by the drawings; read by the page engine. Points (1/72 inch), origin at the top left, y downwards.

use crate::model::firm::Accent;

/// A place on the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// From the left, pt.
    pub x: f64,
    /// From the top, pt.
    pub y: f64,
}

/// Tints that read in black and white and to the colour-blind: by lightness first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ink {
    /// Black.
    Black,
    /// Grey; 0 is black, 1 is white.
    Grey(f64),
    /// The firm's accent.
    Accent,
    /// The accent mixed with white; 0 is the accent, 1 is white.
    AccentTint(f64),
    /// White.
    White,
    /// A colour of its own: red, green and blue, each 0 to 1.
    Mixed(RgbShares),
}

impl Ink {
    /// How light it is, 0 to 1, whatever the accent: what a grey print shows of it.
    pub const fn lightness(self) -> f64 {
        match self {
            Ink::Black => 0.0,
            Ink::White => 1.0,
            Ink::Grey(share) => share,
            Ink::Accent => 0.3,
            Ink::AccentTint(share) => 0.3 + 0.7 * share,
            // How light each is beside the others: ITU-R BT.601, from memory.
            Ink::Mixed([red, green, blue]) => 0.299 * red as f64 + 0.587 * green as f64 + 0.114 * blue as f64,
        }
    }

    /// How much red, green and blue it has beside the document's accent, to a thousandth.
    pub fn shares(self, accent: RgbShares) -> RgbShares {
        let tone = match self {
            Ink::Black => [0.0; 3],
            Ink::White => [1.0; 3],
            Ink::Grey(share) => [share as f32; 3],
            Ink::Accent => accent,
            Ink::AccentTint(share) => accent.map(|part| part + (1.0 - part) * share as f32),
            Ink::Mixed(shares) => shares,
        };
        tone.map(|part| (part.clamp(0.0, 1.0) * 1000.0).round() / 1000.0)
    }
}

/// Red, green and blue, each 0 to 1.
pub type RgbShares = [f32; 3];

/// The firm's accent, darkened until it reads on white: a contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3).
pub fn readable(accent: Accent) -> RgbShares {
    let mut tone = accent.rgb.map(|byte| f64::from(byte) / 255.0);
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

/// A pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub ink: Ink,
    /// Width, pt.
    pub width: f64,
    /// Dash and gap in pt; `None` is a full line.
    pub dash: Option<(f64, f64)>,
}

/// Where text stands against its spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Starts there.
    Start,
    /// Centred there.
    Middle,
    /// Ends there.
    End,
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line through spots.
    Line {
        /// The spots.
        spots: Vec<Spot>,
        /// The pen.
        pen: Pen,
    },
    /// An area, with holes by the even–odd rule.
    Area {
        /// Rings.
        rings: Vec<Vec<Spot>>,
        /// Fill.
        fill: Option<Ink>,
        /// Outline.
        pen: Option<Pen>,
    },
    /// A circle.
    Circle {
        /// Centre.
        at: Spot,
        /// Radius, pt.
        radius: f64,
        /// Fill.
        fill: Option<Ink>,
        /// Outline.
        pen: Option<Pen>,
    },
    /// Text on one line; its baseline passes through the spot.
    Text {
        /// Where.
        at: Spot,
        /// What.
        text: String,
        /// Size, pt.
        size: f64,
        /// Bold.
        bold: bool,
        /// Colour.
        ink: Ink,
        /// Where it stands against the spot.
        anchor: Anchor,
        /// Turned anticlockwise about the spot, degrees.
        turn: f64,
        /// A white ground behind it, so that lines do not run through the letters.
        ground: bool,
    },
}

/// A drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scene {
    /// Width, pt.
    pub width: f64,
    /// Height, pt.
    pub height: f64,
    /// Marks, from back to front.
    pub marks: Vec<Mark>,
    /// Lengths on it are 1 to this of what they show; `None` where it is drawn to no scale.
    pub scale: Option<f64>,
}
