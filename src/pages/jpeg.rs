//! A JPEG file looked at before it is decoded or put into a document: its size, how it stands, and what it is made of.
//!
//! Given the bytes of a file; gives its measures and the bare picture, in which nothing is left of what a camera or a program
//! wrote beside it: place, time, owner, thumbnails, notes, and whatever follows its end (ISO/IEC 10918-1, annex B). The
//! picture itself stays as it is, bit for bit.

use super::border::PictureFault;
use crate::model::limits;

/// Why a file is no JPEG that can be read to its end.
pub(super) const BROKEN: PictureFault = ("is broken or cut short", "save or copy it again");
/// Why a picture is not decoded.
pub(super) const LARGE: PictureFault = ("has too many pixels", "save it smaller; 2,000 pixels across are plenty");
const PASSES: PictureFault =
    ("is stored in more passes than any camera or program makes", "open it and save it anew, as an ordinary JPEG");

/// What was seen.
pub(super) struct Looked {
    /// Pixels across and down, as stored.
    pub size: (u32, u32),
    /// Grey, not colour.
    pub grey: bool,
    /// EXIF orientation, 1 to 8.
    pub orientation: u8,
    /// The file without what is beside the picture.
    pub bare: Vec<u8>,
}

/// Looks at a file.
///
/// # Errors
/// Broken, cut short, too large, of a kind that few programs show.
pub(super) fn look(bytes: &[u8]) -> Result<Looked, PictureFault> {
    let mut orientation = 1;
    let mut frame: Option<(u32, u32, bool)> = None;
    let mut gradual = false;
    let mut passes = 0_usize;
    let mut bare = vec![0xff, 0xd8];
    let mut at = 2;
    loop {
        if ends(bytes, at) {
            bare.extend([0xff, 0xd9]);
            break;
        }
        let (marker, body, next) = segment(bytes, at).ok_or(BROKEN)?;
        match marker {
            0xc0..=0xc2 => {
                frame = Some(frame_of(body)?);
                gradual |= marker == 0xc2;
            }
            0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                return Err(("is a kind of JPEG that few programs show", "save it as an ordinary JPEG"));
            }
            0xe1 => orientation = exif_orientation(body).unwrap_or(orientation),
            _ => {}
        }
        keep(&mut bare, marker, body);
        at = next;
        if marker == 0xda {
            passes += 1;
            let (width, height, _) = frame.ok_or(BROKEN)?;
            bounded((width, height), gradual, passes)?;
            let end = at + coded(&bytes[at..]).ok_or(BROKEN)?;
            bare.extend(&bytes[at..end]);
            at = end;
        }
    }
    let (width, height, grey) = frame.filter(|_| passes > 0).ok_or(BROKEN)?;
    Ok(Looked { size: (width, height), grey, orientation, bare })
}

/// Size and orientation, by as much of a file as comes before its first scan.
///
/// # Errors
/// What comes before it is not all there, or of a kind that is not shown.
pub(super) fn size(bytes: &[u8]) -> Result<((u32, u32), u8), PictureFault> {
    let (mut at, mut orientation, mut frame) = (2, 1, None);
    loop {
        let (marker, body, next) = segment(bytes, at).ok_or(BROKEN)?;
        match marker {
            0xc0..=0xc2 => frame = Some(frame_of(body)?),
            0xe1 => orientation = exif_orientation(body).unwrap_or(orientation),
            0xda => return frame.map(|(width, height, _)| ((width, height), orientation)).ok_or(BROKEN),
            _ => {}
        }
        at = next;
    }
}

/// Whether a picture is small enough: in pixels, and in the work that its passes are.
fn bounded((width, height): (u32, u32), gradual: bool, passes: usize) -> Result<(), PictureFault> {
    let pixels = width as usize * height as usize;
    let most = if gradual { limits::PASSES_PIXELS } else { limits::PIXELS };
    if pixels > most.most * 1_000_000 {
        return Err(LARGE);
    }
    let work = pixels.saturating_mul(passes);
    if passes > limits::PASSES.most || work > limits::PASSES_WORK.most * 1_000_000 {
        return Err(PASSES);
    }
    Ok(())
}

/// Keeps a segment that the picture cannot do without: tables, frames, scans, the interval of restarts, and what says which
/// colours its planes are.
fn keep(bare: &mut Vec<u8>, marker: u8, body: &[u8]) {
    let body = match marker {
        0xc0..=0xc2 | 0xc4 | 0xda | 0xdb | 0xdd => body.to_vec(),
        // Without a thumbnail, and without anything behind it.
        0xe0 if body.starts_with(b"JFIF\0") && body.len() >= 14 => [&body[..12], &[0, 0]].concat(),
        0xee if body.starts_with(b"Adobe") && body.len() >= 12 => body[..12].to_vec(),
        _ => return,
    };
    let length = u16::try_from(body.len() + 2).unwrap_or(u16::MAX);
    bare.extend([0xff, marker]);
    bare.extend(length.to_be_bytes());
    bare.extend(body);
}

/// How many bytes of coded picture follow, up to the next marker that is not part of it.
fn coded(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        at += bytes.get(at..)?.iter().position(|&byte| byte == 0xff)?;
        match bytes.get(at + 1)? {
            // A byte of the picture, or a restart.
            0x00 | 0xd0..=0xd7 => at += 2,
            0xff => at += 1,
            _ => return Some(at),
        }
    }
}

/// Whether the picture ends at a place.
fn ends(bytes: &[u8], at: usize) -> bool {
    let rest = bytes.get(at..).unwrap_or_default();
    let fill = rest.iter().take_while(|&&byte| byte == 0xff).count();
    fill > 0 && rest.get(fill) == Some(&0xd9)
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

fn frame_of(segment: &[u8]) -> Result<(u32, u32, bool), PictureFault> {
    let &[depth, h1, h0, w1, w0, colours, ..] = segment else { return Err(BROKEN) };
    let (width, height) = (u16::from_be_bytes([w1, w0]), u16::from_be_bytes([h1, h0]));
    match (depth, colours) {
        _ if width == 0 || height == 0 => Err(BROKEN),
        (8, 1 | 3) => Ok((u32::from(width), u32::from(height), colours == 1)),
        (8, 4) => Err(("is in print colours (CMYK)", "save it as an ordinary RGB picture")),
        _ => Err(("has a depth of colour that few programs show", "save it as an ordinary JPEG")),
    }
}

fn exif_orientation(segment: &[u8]) -> Option<u8> {
    tiff_orientation(segment.strip_prefix(b"Exif\0\0")?)
}

/// Tag 0x0112 of the first directory (Exif 2.3, 4.6.4 A).
pub(super) fn tiff_orientation(tiff: &[u8]) -> Option<u8> {
    let little = tiff.starts_with(b"II");
    let two = |at: usize| -> Option<u16> {
        let pair = [*tiff.get(at)?, *tiff.get(at.checked_add(1)?)?];
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
