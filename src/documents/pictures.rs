//! Pictures from files: PNG is decoded, JPEG goes into the document byte for byte.
//!
//! Given a file as it was read; gives an [`Image`] or a problem that names the file. A JPEG's EXIF orientation is
//! honoured by turning it on the page; a PNG with more pixels than paper can show is averaged down.

use crate::model::Problem;
use crate::model::firm::Picture;

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
    Plain {
        /// The colours.
        rgb: Vec<u8>,
        /// How opaque each pixel is, where not all of them are.
        opacity: Option<Vec<u8>>,
    },
}

impl Image {
    /// Width and height as it stands upright.
    pub fn upright(&self) -> (f64, f64) {
        let (width, height) = (f64::from(self.width), f64::from(self.height));
        if self.orientation >= 5 { (height, width) } else { (width, height) }
    }
}

/// More pixels than this along a side are averaged down: 300 to the inch over the width of the text is about 2,000.
const MOST_PIXELS: u32 = 2_000;
/// A picture with more pixels than this is refused.
const TOO_MANY: u64 = 60_000_000;

/// Reads a picture.
///
/// # Errors
/// A problem that names the file: neither PNG nor JPEG, broken, cut short, too large, or in print colours.
pub fn read(picture: &Picture) -> Result<Image, Problem> {
    let bytes = &picture.bytes;
    let read = if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        read_png(bytes)
    } else if bytes.starts_with(&[0xff, 0xd8]) {
        read_jpeg(bytes)
    } else {
        Err(("is neither a PNG nor a JPEG", "save it as PNG or JPEG"))
    };
    match read {
        Ok(image) => Ok(Image { name: picture.name.clone(), ..image }),
        Err((fault, cure)) => Err(Problem::fault("", format!("the picture {} {fault}", picture.name), cure)),
    }
}

type Fault = (&'static str, &'static str);

const BROKEN: Fault = ("is broken or cut short", "save or copy it again");
const LARGE: Fault = ("has too many pixels", "save it smaller; 2,000 pixels across are plenty");

fn read_png(bytes: &[u8]) -> Result<Image, Fault> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::STRIP_16);
    let mut reader = decoder.read_info().map_err(|_| BROKEN)?;
    let (width, height) = reader.info().size();
    if u64::from(width) * u64::from(height) > TOO_MANY {
        return Err(LARGE);
    }
    let mut buffer = vec![0; reader.output_buffer_size().ok_or(LARGE)?];
    let frame = reader.next_frame(&mut buffer).map_err(|_| BROKEN)?;
    buffer.truncate(frame.buffer_size());
    reader.finish().map_err(|_| BROKEN)?;
    let (rgb, opacity) = separate(&buffer, frame.color_type.samples());
    Ok(average_down(width, height, rgb, opacity))
}

/// Colours and opacity from samples of 1 (grey), 2 (grey, opacity), 3 (colour) or 4 (colour, opacity) bytes.
fn separate(buffer: &[u8], samples: usize) -> (Vec<u8>, Option<Vec<u8>>) {
    let colours = |pixel: &[u8]| if samples < 3 { [pixel[0]; 3] } else { [pixel[0], pixel[1], pixel[2]] };
    let rgb = buffer.chunks_exact(samples).flat_map(colours).collect();
    let opacity: Option<Vec<u8>> =
        samples.is_multiple_of(2).then(|| buffer.chunks_exact(samples).map(|pixel| pixel[samples - 1]).collect());
    (rgb, opacity.filter(|values| values.iter().any(|&value| value != 255)))
}

fn average_down(width: u32, height: u32, rgb: Vec<u8>, opacity: Option<Vec<u8>>) -> Image {
    let factor = width.max(height).div_ceil(MOST_PIXELS).max(1);
    let (small_width, small_height) = ((width / factor).max(1), (height / factor).max(1));
    let shrink = |plane: Vec<u8>, samples: usize| match factor {
        1 => plane,
        _ => averaged(&plane, width as usize, samples, factor as usize, (small_width as usize, small_height as usize)),
    };
    let pixels = Pixels::Plain { rgb: shrink(rgb, 3), opacity: opacity.map(|plane| shrink(plane, 1)) };
    Image { name: String::new(), width: small_width, height: small_height, orientation: 1, pixels }
}

/// Averages squares of `factor` pixels a side. The picture is longer than `factor` one way; a thinner side has its
/// squares cut to what there is.
fn averaged(plane: &[u8], width: usize, samples: usize, factor: usize, small: (usize, usize)) -> Vec<u8> {
    let height = plane.len() / samples / width;
    let mut out = Vec::with_capacity(small.0 * small.1 * samples);
    for row in 0..small.1 {
        for column in 0..small.0 {
            for sample in 0..samples {
                let rows = row * factor..((row + 1) * factor).min(height);
                let columns = column * factor..((column + 1) * factor).min(width);
                let count = rows.len() * columns.len();
                let at = |y: usize, x: usize| usize::from(plane[(y * width + x) * samples + sample]);
                let sum: usize = rows.map(|y| columns.clone().map(|x| at(y, x)).sum::<usize>()).sum();
                out.push((sum / count.max(1)) as u8);
            }
        }
    }
    out
}

fn read_jpeg(bytes: &[u8]) -> Result<Image, Fault> {
    let mut orientation = 1;
    let mut size = None;
    let mut at = 2;
    loop {
        let (marker, segment, next) = segment(bytes, at).ok_or(BROKEN)?;
        match marker {
            0xc0..=0xc2 => size = Some(frame_size(segment)?),
            0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                return Err(("is a kind of JPEG that few programs show", "save it as an ordinary JPEG"));
            }
            0xe1 => orientation = exif_orientation(segment).unwrap_or(orientation),
            0xda => break,
            _ => {}
        }
        at = next;
    }
    let ends = bytes[at..].windows(2).any(|pair| pair == [0xff, 0xd9]);
    let (width, height, grey) = size.filter(|_| ends).ok_or(BROKEN)?;
    let pixels = Pixels::Jpeg { bytes: bytes.to_vec(), grey };
    Ok(Image { name: String::new(), width, height, orientation, pixels })
}

/// Marker, body and end of the segment at a place.
fn segment(bytes: &[u8], mut at: usize) -> Option<(u8, &[u8], usize)> {
    if *bytes.get(at)? != 0xff {
        return None;
    }
    while *bytes.get(at)? == 0xff {
        at += 1;
    }
    let marker = bytes[at];
    let length = usize::from(u16::from_be_bytes([*bytes.get(at + 1)?, *bytes.get(at + 2)?]));
    let body = bytes.get(at + 3..at + 1 + length)?;
    Some((marker, body, at + 1 + length))
}

fn frame_size(segment: &[u8]) -> Result<(u32, u32, bool), Fault> {
    let &[depth, h1, h0, w1, w0, colours, ..] = segment else { return Err(BROKEN) };
    let (width, height) = (u16::from_be_bytes([w1, w0]), u16::from_be_bytes([h1, h0]));
    match (depth, colours) {
        _ if width == 0 || height == 0 => Err(BROKEN),
        (8, 1 | 3) => Ok((u32::from(width), u32::from(height), colours == 1)),
        (8, 4) => Err(("is in print colours (CMYK)", "save it as an ordinary RGB picture")),
        _ => Err(("has a depth of colour that few programs show", "save it as an ordinary JPEG")),
    }
}

/// Tag 0x0112 of the first directory (Exif 2.3, 4.6.4 A).
fn exif_orientation(segment: &[u8]) -> Option<u8> {
    let tiff = segment.strip_prefix(b"Exif\0\0")?;
    let little = tiff.starts_with(b"II");
    let two = |at: usize| -> Option<u16> {
        let pair = [*tiff.get(at)?, *tiff.get(at + 1)?];
        Some(if little { u16::from_le_bytes(pair) } else { u16::from_be_bytes(pair) })
    };
    let four = |at: usize| -> Option<usize> {
        let (first, second) = (usize::from(two(at)?), usize::from(two(at + 2)?));
        Some(if little { second << 16 | first } else { first << 16 | second })
    };
    let directory = four(4)?;
    let entry = (0..usize::from(two(directory)?))
        .map(|number| directory + 2 + number * 12)
        .find(|&at| two(at) == Some(0x0112))?;
    u8::try_from(two(entry + 8)?).ok().filter(|value| (1..=8).contains(value))
}
