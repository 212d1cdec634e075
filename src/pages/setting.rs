//! How text is set and where: the measure, the size, the colour, the space around.
//!
//! Given nothing of a document; gives the values that the flow, the blocks and the tables share. Sizes are in points,
//! leading is a share of the size.

use super::fonts::{ASCENT, DESCENT};
use super::piece::{Piece, Tie};
use super::scene::{Ink, Pen};
use super::text::Fit;

/// Where blocks stand across the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// Left edge, pt.
    pub x: f64,
    /// Width, pt.
    pub width: f64,
}

impl Measure {
    /// The same, with space taken off the left.
    pub fn indented(self, by: f64) -> Measure {
        Measure { x: self.x + by, width: (self.width - by).max(1.0) }
    }
}

/// How a text is set.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// Type size, pt.
    pub size: f64,
    /// Height of a line as a share of the size.
    pub leading: f64,
    /// Colour.
    pub ink: Ink,
    /// Bold throughout.
    pub bold: bool,
    /// How lines are chosen.
    pub fit: Fit,
}

/// Grey of lesser words; its contrast with white is above 5 : 1.
pub const GREY: Ink = Ink::Grey(0.38);

/// Grey of hairlines.
pub const HAIR: Pen = Pen { ink: Ink::Grey(0.75), width: 0.4, dash: None };

/// Where the baseline of a line stands below its top.
pub fn baseline(setting: Setting) -> f64 {
    setting.size * ((setting.leading - ASCENT - DESCENT) / 2.0 + ASCENT)
}

/// Space above the first and below the last of some pieces.
pub fn space(pieces: &mut [Piece], above: f64, below: f64) {
    if let Some(first) = pieces.first_mut() {
        first.above = above;
    }
    if let Some(last) = pieces.last_mut() {
        last.below = below;
    }
}

/// The first two and the last two lines of a paragraph are not parted.
pub fn hold_ends(lines: &mut [Piece]) {
    let count = lines.len();
    if count > 1 {
        lines[0].tie = Tie::Firm;
        lines[count - 2].tie = Tie::Firm;
    }
}

/// How a heading is set.
pub fn heading_setting(level: u8, size: f64, pocket: bool) -> Setting {
    let (share, ink) = match level {
        1 if pocket => (1.5, Ink::Black),
        1 => (2.0, Ink::Black),
        2 if pocket => (1.15, Ink::Accent),
        2 => (1.4, Ink::Accent),
        _ => (1.12, Ink::Black),
    };
    Setting { size: size * share, leading: 1.22, ink, bold: true, fit: Fit::Balanced }
}
