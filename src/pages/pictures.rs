//! Pictures from files: PNG is decoded, JPEG goes into the document as it is coded unless it is too large for its place.
//!
//! Given a file as it was read, and later its size on paper; gives an [`Image`] or a problem that names the file and the
//! setting that asks for it. Place, time and whatever else a camera wrote never goes in; EXIF orientation is honoured by turning the picture on the page, scaled down or not. Only so
//! many pixels are held as paper can show: a PNG is averaged row by row, a JPEG is decoded small.

use super::border::{self, PictureFault};
use super::image::{Image, Pixels, Plain};
use super::jpeg::{self, BROKEN, LARGE, Looked, tiff_orientation};
use super::page::{Item, Page, Rectangle};
use crate::model::firm::Picture;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Problem, SettingPath};
use jpeg_encoder::{ColorType, Encoder};
use std::sync::{Arc, Mutex};

/// More pixels than this along a side are averaged down: 300 to the inch over the width of the text is about 2,000.
const MOST_PIXELS: u32 = 2_000;
/// What a JPEG may take while it is decoded, in bytes.
const DECODING: usize = 256 << 20;
/// Pixels to the inch that a picture is scaled down to: what an office printer can show.
const PRINTED: f64 = 220.0;
/// A picture stays as it is until it has this many times the pixels a side that its place can show.
const SPARE: f64 = 1.5;
/// Quality of a JPEG that is packed anew, of 100.
const QUALITY: u8 = 85;

/// Reads a picture.
///
/// # Errors
/// A problem that names the file: neither PNG nor JPEG, broken, cut short, too large, or in print colours.
pub fn read(picture: &Picture) -> Result<Image, Problem> {
    let bytes = &picture.bytes;
    let read = if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        read_png_again(bytes)
    } else if bytes.starts_with(&[0xff, 0xd8]) {
        read_jpeg(bytes)
    } else {
        Err(("is neither a PNG nor a JPEG", "save it as PNG or JPEG"))
    };
    match read {
        Ok(image) => {
            Ok(Image { name: picture.name.clone(), source: picture.source, path: picture.path.clone(), ..image })
        }
        Err(fault) => Err(told(&picture.name, picture.source, &picture.path, fault)),
    }
}

fn told(name: &str, source: Source, path: &SettingPath, (fault, cure): PictureFault) -> Problem {
    Problem::fault(path, format!("the picture {name} {fault}"), cure).within(source)
}

/// Scales every picture down to what its place on the page can show. A JPEG is decoded here even if it stays as it is: what
/// cannot be shown is a problem.
pub fn fit_all(pages: &mut [Page], problems: &mut Vec<Problem>) {
    for mark in pages.iter_mut().flat_map(|page| &mut page.marks) {
        let Item::Picture { area, image } = &mut mark.item else { continue };
        match border::reading(|| fitted(image, *area)).unwrap_or(Err(BROKEN)) {
            Ok(None) => {}
            Ok(Some(smaller)) => *image = Arc::new(smaller),
            Err(fault) => problems.push(told(&image.name, image.source, &image.path, fault)),
        }
    }
}

/// A picture for a place; `None` where it stays as it is.
fn fitted(image: &Image, area: Rectangle) -> Result<Option<Image>, PictureFault> {
    let (across, down) = if image.orientation >= 5 { (area.height, area.width) } else { (area.width, area.height) };
    let pixels = |points: f64, most: u32| ((points / 72.0 * PRINTED).ceil() as u32).clamp(1, most);
    let wanted = (pixels(across, image.width), pixels(down, image.height));
    let large = f64::from(image.width) > SPARE * f64::from(wanted.0);
    let pixels = match &image.pixels {
        Pixels::Jpeg { bytes, grey } => smaller_jpeg(bytes, *grey, wanted, large)?,
        Pixels::Plain(plain) if large => {
            Some(Pixels::Plain(smaller_plain(plain.clone(), (image.width, image.height), wanted)))
        }
        Pixels::Plain(_) => None,
    };
    Ok(pixels.map(|pixels| Image { width: wanted.0, height: wanted.1, pixels, ..image.clone() }))
}

fn smaller_plain(plain: Plain, size: (u32, u32), wanted: (u32, u32)) -> Plain {
    type Asked = (Plain, (u32, u32), (u32, u32));
    static LAST: Last<Asked, Plain> = Last::new();
    LAST.of((plain, size, wanted), |(plain, size, wanted)| Plain {
        rgb: Arc::new(scaled(&plain.rgb, *size, 3, *wanted)),
        opacity: plain.opacity.as_ref().map(|plane| Arc::new(scaled(plane, *size, 1, *wanted))),
    })
}

/// A JPEG with fewer pixels; `None` where it is small enough, in pixels or in bytes.
fn smaller_jpeg(bytes: &[u8], grey: bool, wanted: (u32, u32), large: bool) -> Result<Option<Pixels>, PictureFault> {
    let mut decoder = jpeg_decoder::Decoder::new(bytes);
    decoder.set_max_decoding_buffer_size(DECODING);
    let least = |pixels: u32| u16::try_from(if large { pixels } else { u32::from(u16::MAX) }).unwrap_or(u16::MAX);
    let (width, height) = decoder.scale(least(wanted.0), least(wanted.1)).map_err(|_| BROKEN)?;
    let decoded = decoder.decode().map_err(|_| BROKEN)?;
    if !large {
        return Ok(None);
    }
    let (samples, kind) = if grey { (1, ColorType::Luma) } else { (3, ColorType::Rgb) };
    let size = (u32::from(width), u32::from(height));
    if decoded.len() != size.0 as usize * size.1 as usize * samples {
        return Err(BROKEN);
    }
    let plane = scaled(&decoded, size, samples, wanted);
    let (width, height) = (u16::try_from(wanted.0).map_err(|_| LARGE)?, u16::try_from(wanted.1).map_err(|_| LARGE)?);
    let mut packed = Vec::new();
    Encoder::new(&mut packed, QUALITY).encode(&plane, width, height, kind).map_err(|_| BROKEN)?;
    Ok((packed.len() < bytes.len()).then_some(Pixels::Jpeg { bytes: packed, grey }))
}

/// Each pixel of the smaller picture is the mean of those that lie under it, parts of pixels counted as parts (in whole
/// numbers, so that the same picture gives the same bytes everywhere). A side that is no larger stays as it is.
fn scaled(plane: &[u8], size: (u32, u32), samples: usize, wanted: (u32, u32)) -> Vec<u8> {
    let (width, height) = (size.0 as usize, size.1 as usize);
    let mut rows = Vec::with_capacity(width * samples * wanted.1 as usize);
    shrink(plane, height, width * samples, wanted.1 as usize, &mut rows);
    let mut out = Vec::with_capacity(wanted.0 as usize * samples * wanted.1 as usize);
    rows.chunks_exact(width * samples).for_each(|row| shrink(row, width, samples, wanted.0 as usize, &mut out));
    out
}

/// Shrinks `count` groups of samples to `wanted` groups. No side has more than 65,535 groups, so no sum is too large: the shares
/// of a new group add up to `count`. That is why the sums are not watched one by one.
fn shrink(groups: &[u8], count: usize, samples: usize, wanted: usize, out: &mut Vec<u8>) {
    if wanted >= count {
        out.extend_from_slice(groups);
        return;
    }
    let half = count as u32 / 2;
    let mut sums = vec![0_u32; samples];
    for place in 0..wanted {
        // In units of 1/wanted of an old group, the new one reaches from `place · count` to `(place + 1) · count`.
        let (from, to) = (place * count, (place + 1) * count);
        sums.fill(0);
        let (first, last) = (from / wanted, to.div_ceil(wanted));
        for (group, old) in (first..last).zip(groups[first * samples..last * samples].chunks_exact(samples)) {
            let share = (to.min((group + 1) * wanted) - from.max(group * wanted)) as u32;
            for (sum, &value) in sums.iter_mut().zip(old) {
                *sum = sum.wrapping_add(share.wrapping_mul(u32::from(value)));
            }
        }
        out.extend(sums.iter().map(|sum| (sum.wrapping_add(half) / count as u32) as u8));
    }
}

/// What came of the last work of a kind, for the next one like it: a firm's logo stands in every document, and each document
/// may be laid out several times.
struct Last<K, V>(Mutex<Option<(K, V)>>);

impl<K: PartialEq, V: Clone> Last<K, V> {
    const fn new() -> Last<K, V> {
        Last(Mutex::new(None))
    }

    fn of(&self, asked: K, work: impl FnOnce(&K) -> V) -> V {
        let mut last = self.0.lock().unwrap_or_else(|e| e.into_inner());
        match &*last {
            Some((same, outcome)) if *same == asked => outcome.clone(),
            _ => {
                let outcome = work(&asked);
                last.insert((asked, outcome)).1.clone()
            }
        }
    }
}

fn read_png_again(bytes: &[u8]) -> Result<Image, PictureFault> {
    static LAST: Last<Vec<u8>, Result<Image, PictureFault>> = Last::new();
    LAST.of(bytes.to_vec(), |bytes| border::reading(|| read_png(bytes)).unwrap_or(Err(BROKEN)))
}

fn read_png(bytes: &[u8]) -> Result<Image, PictureFault> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    // Texts and profiles may be packed without end, and are not asked for.
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::STRIP_16);
    let mut reader = decoder.read_info().map_err(|_| BROKEN)?;
    let (width, height) = reader.info().size();
    let interlaced = reader.info().interlaced;
    let most = if interlaced { limits::PIXELS_AT_ONCE } else { limits::PIXELS };
    if u64::from(width) * u64::from(height) > most.most as u64 * 1_000_000 {
        return Err(LARGE);
    }
    let orientation = reader.info().exif_metadata.as_ref().and_then(|tiff| tiff_orientation(tiff)).unwrap_or(1);
    let samples = reader.output_color_type().0.samples();
    let mut average = Averaging::new(width, height, samples);
    if interlaced {
        let mut buffer = vec![0; reader.output_buffer_size().ok_or(LARGE)?];
        let frame = reader.next_frame(&mut buffer).map_err(|_| BROKEN)?;
        buffer[..frame.buffer_size()].chunks_exact(width as usize * samples).for_each(|row| average.row(row));
    } else {
        while let Some(row) = reader.next_row().map_err(|_| BROKEN)? {
            average.row(row.data());
        }
    }
    reader.finish().map_err(|_| BROKEN)?;
    let (width, height, plane) = average.finish().ok_or(BROKEN)?;
    let (rgb, opacity) = if samples == 3 { (plane, None) } else { separate(&plane, samples) };
    let pixels = Pixels::Plain(Plain { rgb: Arc::new(rgb), opacity: opacity.map(Arc::new) });
    Ok(unnamed(width, height, orientation, pixels))
}

/// A picture whose name and place are not known here.
fn unnamed(width: u32, height: u32, orientation: u8, pixels: Pixels) -> Image {
    Image {
        name: String::new(),
        width,
        height,
        orientation,
        pixels,
        source: Source::default(),
        path: SettingPath::default(),
    }
}

/// Colours and opacity from samples of 1 (grey), 2 (grey, opacity) or 4 (colour, opacity) bytes.
fn separate(buffer: &[u8], samples: usize) -> (Vec<u8>, Option<Vec<u8>>) {
    let colours = |pixel: &[u8]| if samples < 3 { [pixel[0]; 3] } else { [pixel[0], pixel[1], pixel[2]] };
    let rgb = buffer.chunks_exact(samples).flat_map(colours).collect();
    let opacity: Option<Vec<u8>> =
        samples.is_multiple_of(2).then(|| buffer.chunks_exact(samples).map(|pixel| pixel[samples - 1]).collect());
    (rgb, opacity.filter(|values| values.iter().any(|&value| value != 255)))
}

/// Averages squares of `factor` pixels a side, row by row, until no side has more than [`MOST_PIXELS`]. Squares at the far
/// edges are cut to what there is.
struct Averaging {
    samples: usize,
    factor: usize,
    width: usize,
    /// Width and height of the outcome.
    small: (usize, usize),
    sums: Vec<u32>,
    rows: usize,
    out: Vec<u8>,
}

impl Averaging {
    fn new(width: u32, height: u32, samples: usize) -> Averaging {
        let factor = width.max(height).div_ceil(MOST_PIXELS).max(1);
        let small = (width.div_ceil(factor) as usize, height.div_ceil(factor) as usize);
        let sums = vec![0; small.0 * samples];
        Averaging {
            samples,
            factor: factor as usize,
            width: width as usize,
            small,
            sums,
            rows: 0,
            out: Vec::with_capacity(small.0 * small.1 * samples),
        }
    }

    fn row(&mut self, row: &[u8]) {
        if self.factor == 1 {
            self.out.extend(row);
            return;
        }
        for (column, pixel) in row.chunks_exact(self.samples).enumerate() {
            let at = column / self.factor * self.samples;
            self.sums[at..at + self.samples].iter_mut().zip(pixel).for_each(|(sum, &value)| *sum += u32::from(value));
        }
        self.rows += 1;
        if self.rows == self.factor {
            self.flush();
        }
    }

    fn flush(&mut self) {
        for column in 0..self.small.0 {
            let columns = self.factor.min(self.width - column * self.factor);
            let count = (columns * self.rows).max(1) as u32;
            let sums = &mut self.sums[column * self.samples..(column + 1) * self.samples];
            self.out.extend(sums.iter().map(|sum| (sum / count) as u8));
            sums.fill(0);
        }
        self.rows = 0;
    }

    /// Width, height and samples; `None` where rows were missing.
    fn finish(mut self) -> Option<(u32, u32, Vec<u8>)> {
        if self.rows > 0 {
            self.flush();
        }
        let whole = self.out.len() == self.small.0 * self.small.1 * self.samples;
        whole.then_some((self.small.0 as u32, self.small.1 as u32, self.out))
    }
}

fn read_jpeg(bytes: &[u8]) -> Result<Image, PictureFault> {
    let Looked { size: (width, height), grey, orientation, bare } = jpeg::look(bytes)?;
    Ok(unnamed(width, height, orientation, Pixels::Jpeg { bytes: bare, grey }))
}
