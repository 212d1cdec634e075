//! A picture that can be placed: its pixels, or its file as it is.
//!
//! Given by `pictures`; placed on pages and written into the document. It is held as it was stored: turning it upright
//! is left to whoever draws it.

use crate::model::problem::Source;
use crate::model::whereabouts::SettingPath;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A picture that can be placed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Image {
    /// The file's name.
    pub name: String,
    /// Pixels across, as stored.
    pub width: u32,
    /// Pixels down, as stored.
    pub height: u32,
    /// EXIF orientation, 1 to 8: how the stored picture is turned to stand upright.
    pub orientation: u8,
    /// The pixels.
    pub pixels: Pixels,
    /// The file that asks for it.
    pub source: Source,
    /// The setting that asks for it.
    pub path: SettingPath,
}

/// The pixels of a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pixels {
    /// A JPEG file, whole; grey or colour.
    Jpeg {
        /// The file.
        bytes: Vec<u8>,
        /// Grey, not colour.
        grey: bool,
    },
    /// Red, green and blue, a byte each, row by row.
    Plain(Plain),
}

/// Pixels that are not packed, shared by all that show the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plain {
    /// The colours.
    pub rgb: Arc<Vec<u8>>,
    /// How opaque each pixel is, where not all of them are.
    pub opacity: Option<Arc<Vec<u8>>>,
}

/// The most colours that a byte tells apart.
const MOST_COLOURS: usize = 256;

impl Plain {
    /// The colours of a picture that has few enough for a byte to name each, in the order in which they are met.
    pub(crate) fn colours(&self) -> Option<Vec<[u8; 3]>> {
        let (mut known, mut colours) = (BTreeSet::new(), Vec::new());
        let mut last = None;
        for pixel in self.rgb.as_chunks::<3>().0 {
            if last == Some(*pixel) {
                continue;
            }
            last = Some(*pixel);
            if known.insert(number_of(*pixel)) {
                colours.push(*pixel);
            }
            if colours.len() > MOST_COLOURS {
                return None;
            }
        }
        Some(colours)
    }
}

/// A colour as a number, by which it is quicker found than by its bytes.
pub(crate) fn number_of([red, green, blue]: [u8; 3]) -> u32 {
    u32::from_be_bytes([0, red, green, blue])
}

impl Image {
    /// Width and height as it stands upright.
    pub fn upright(&self) -> (f64, f64) {
        let (width, height) = (f64::from(self.width), f64::from(self.height));
        if self.orientation >= 5 { (height, width) } else { (width, height) }
    }
}
