//! Pictures without loss as a PDF holds them before they are packed.
//!
//! Given pixels; gives the samples that pack shortest of three ways: one byte a pixel where the colours are few or all grey, and
//! rows as differences from what stands beside and above (ISO 32000-1, 7.4.4.4) where those pack shorter, as those of photographs
//! and of slopes do. What is drawn in even colours packs shorter as it is.

use crate::pages::image::{Plain, number_of};
use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::collections::BTreeMap;
use std::io::Write;
use std::sync::{Arc, Mutex};

/// What the samples of a plane mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Samples {
    /// Grey, a byte a pixel.
    Grey,
    /// Red, green and blue, a byte each.
    Mixed,
    /// A colour's place in a list of them, a byte a pixel; the list in threes of bytes.
    Numbered(Vec<u8>),
}

/// The samples of a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Plane {
    /// What they mean.
    pub samples: Samples,
    /// Row by row; where `predicted`, each row begins with the number of its filter.
    pub bytes: Vec<u8>,
    /// Whether rows are differences.
    pub predicted: bool,
}

/// The samples of what was asked for last, by its pixels: a firm's logo stands in every document.
static LAST: Mutex<Option<(Arc<Vec<u8>>, Plane)>> = Mutex::new(None);

/// The colours of a picture so many pixels wide.
pub(super) fn of_colours(plain: &Plain, width: u32) -> Plane {
    let last = || LAST.lock().unwrap_or_else(|e| e.into_inner());
    if let Some((_, plane)) = last().as_ref().filter(|(pixels, _)| *pixels == plain.rgb) {
        return plane.clone();
    }
    let plane = judged(plain, width);
    *last() = Some((plain.rgb.clone(), plane.clone()));
    plane
}

fn judged(plain: &Plain, width: u32) -> Plane {
    let pixels = plain.rgb.as_chunks::<3>().0;
    if pixels.iter().all(|[red, green, blue]| red == green && green == blue) {
        return of_grey(pixels.iter().map(|pixel| pixel[0]).collect(), width);
    }
    match plain.colours() {
        Some(colours) => numbered(plain, &colours),
        None => shorter(plain.rgb.to_vec(), width as usize, Samples::Mixed),
    }
}

/// A plane of grey, or of how opaque each pixel is.
pub(super) fn of_grey(bytes: Vec<u8>, width: u32) -> Plane {
    shorter(bytes, width as usize, Samples::Grey)
}

fn numbered(plain: &Plain, colours: &[[u8; 3]]) -> Plane {
    let places: BTreeMap<u32, u8> = colours.iter().map(|colour| number_of(*colour)).zip(0..=u8::MAX).collect();
    let mut last = ([0; 3], places.get(&0).copied().unwrap_or(0));
    let place = |pixel: &[u8; 3]| {
        if last.0 != *pixel {
            last = (*pixel, places.get(&number_of(*pixel)).copied().unwrap_or(0));
        }
        last.1
    };
    let bytes = plain.rgb.as_chunks::<3>().0.iter().map(place).collect();
    Plane { samples: Samples::Numbered(colours.concat()), bytes, predicted: false }
}

/// The rows as they are, or as differences: whichever of some of them packs shorter.
fn shorter(bytes: Vec<u8>, width: usize, samples: Samples) -> Plane {
    let pixel = if samples == Samples::Mixed { 3 } else { 1 };
    let row = (width * pixel).max(1);
    let (mut as_they_are, mut differences) = (Vec::new(), Vec::new());
    for tried in tried_rows(bytes.len() / row) {
        as_they_are.extend(&bytes[tried.start * row..tried.end * row]);
        predicted(&bytes, row, pixel, tried, &mut differences);
    }
    if packed_length(&differences) >= packed_length(&as_they_are) {
        return Plane { samples, bytes, predicted: false };
    }
    let mut all = Vec::with_capacity(bytes.len() + bytes.len() / row);
    predicted(&bytes, row, pixel, 0..bytes.len() / row, &mut all);
    Plane { samples, bytes: all, predicted: true }
}

/// Rows that stand for a picture's: three bands of it, or all.
fn tried_rows(rows: usize) -> Vec<std::ops::Range<usize>> {
    const BAND: usize = 12;
    if rows <= 3 * BAND {
        return std::iter::once(0..rows).collect();
    }
    let band = |sixth: usize| rows * sixth / 6 - BAND / 2;
    [1, 3, 5].map(|sixth| band(sixth)..band(sixth) + BAND).to_vec()
}

fn packed_length(bytes: &[u8]) -> usize {
    let mut packer = ZlibEncoder::new(Vec::new(), Compression::fast());
    match packer.write_all(bytes) {
        Ok(()) => packer.finish().map_or(usize::MAX, |packed| packed.len()),
        Err(_) => usize::MAX,
    }
}

/// Adds rows as differences, each by the filter whose differences add up to least (PNG, third edition, 12.7), after its number.
fn predicted(bytes: &[u8], row: usize, pixel: usize, rows: std::ops::Range<usize>, out: &mut Vec<u8>) {
    let above_first = vec![0; row];
    let mut filtered = vec![0; row];
    for place in rows {
        let here = &bytes[place * row..(place + 1) * row];
        let above = if place == 0 { &above_first[..] } else { &bytes[(place - 1) * row..place * row] };
        let start = out.len();
        let mut least = u64::MAX;
        for (number, filter) in (0..).zip(FILTERS) {
            let mut sum = 0;
            for at in 0..row {
                let (left, corner) = if at < pixel { (0, 0) } else { (here[at - pixel], above[at - pixel]) };
                let difference = here[at].wrapping_sub(filter(left, above[at], corner));
                sum += u64::from((difference as i8).unsigned_abs());
                filtered[at] = difference;
            }
            if sum < least {
                least = sum;
                out.truncate(start);
                out.push(number);
                out.extend(&filtered);
            }
        }
    }
}

/// What each filter expects of a sample, by those at its left, above it and above that at its left.
const FILTERS: [fn(u8, u8, u8) -> u8; 5] = [
    |_, _, _| 0,
    |left, _, _| left,
    |_, above, _| above,
    |left, above, _| ((u16::from(left) + u16::from(above)) / 2) as u8,
    nearest,
];

/// Of the three neighbours the one nearest to left + above - corner (PNG, third edition, 9.4).
fn nearest(left: u8, above: u8, corner: u8) -> u8 {
    let expected = i16::from(left) + i16::from(above) - i16::from(corner);
    let far = |neighbour: u8| (expected - i16::from(neighbour)).abs();
    match (far(left), far(above), far(corner)) {
        (a, b, c) if a <= b && a <= c => left,
        (_, b, c) if b <= c => above,
        _ => corner,
    }
}
