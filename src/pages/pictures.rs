//! Pictures from files: PNG is decoded, JPEG goes into the document as it is coded unless it is too large for its place.
//!
//! Given a picture and how large it stands on paper; gives an [`Image`] or a problem that names the file and the setting that
//! asks for it. Place, time and whatever else a camera wrote never goes in; EXIF orientation is honoured by turning the picture
//! on the page, scaled down or not. A picture is read and decoded once for its document and held no larger than its place on
//! paper can show: a PNG is averaged row by row, a JPEG is decoded small. A PNG that is a photograph goes in as JPEG where that is
//! shorter.

use super::border::{self, PictureFault};
use super::image::{Image, Pixels, Plain};
use super::jpeg::{self, BROKEN, LARGE, Looked, tiff_orientation};
use super::page::{HEIGHT, WIDTH};
use crate::model::firm::Picture;
use crate::model::limits;
use crate::model::picture::{PictureBytes, Unfetched};
use crate::model::problem::Source;
use crate::model::{Problem, SettingPath};
use flate2::Compression;
use flate2::write::ZlibEncoder;
use jpeg_encoder::{ColorType, Encoder};
use std::io::Write;
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
/// A photograph that is packed without loss into fewer bytes than this stays so.
const SMALL: usize = 100_000;
/// A logo of few colours that takes no more bytes than this before it is packed goes in with all its pixels.
const DRAWN: usize = 3_000_000;
/// How much of a file is read for its size alone; where that does not tell, all of it.
const BEGINNING: usize = 256 << 10;
/// A document in other type gives a picture another place: within this part of it the same pixels serve.
const AS_LARGE: f64 = 0.15;

/// What a picture is shown for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ShownAs {
    /// A photograph, in which a slight loss is not seen.
    Photograph,
    /// A drawn mark, every line of which is.
    Logo,
}

/// The pictures of a document, each read once however often it is laid out.
#[derive(Debug, Default)]
pub(super) struct Gallery {
    /// No more is read than how large they are.
    sizes_only: bool,
    shown: Vec<ShownPicture>,
}

/// A picture that was read.
#[derive(Debug)]
struct ShownPicture {
    picture: Picture,
    upright: (f64, f64),
    /// How large it stands on paper, pt.
    place: (f64, f64),
    image: Arc<Image>,
}

impl Gallery {
    /// One that reads no more of its pictures than their sizes.
    pub(super) fn of_sizes() -> Gallery {
        Gallery { sizes_only: true, shown: Vec::new() }
    }

    /// A picture for its place, with the width and height at which it stands there; `place` gives these, in pt, of its width and
    /// height in pixels.
    ///
    /// # Errors
    /// A problem that names the file: not to be read, neither PNG nor JPEG, broken, cut short, too large, or in print colours.
    pub(super) fn show(
        &mut self,
        picture: &Picture,
        shown_as: ShownAs,
        place: impl Fn((f64, f64)) -> (f64, f64),
    ) -> Result<(Arc<Image>, (f64, f64)), Problem> {
        let known = self.shown.iter().position(|shown| shown.picture == *picture);
        if let Some(shown) = known.and_then(|n| self.shown.get(n)) {
            let wanted = place(shown.upright);
            if (wanted.0 - shown.place.0).abs() <= AS_LARGE * shown.place.0 {
                return Ok((Arc::clone(&shown.image), wanted));
            }
        }
        let read = if self.sizes_only { sized(&picture.bytes) } else { read(&picture.bytes, shown_as, &place) };
        let (image, upright) = read.map_err(|fault| told(picture, fault))?;
        let named = Image { name: picture.name.clone(), source: picture.source, path: picture.path.clone(), ..image };
        let (image, wanted) = (Arc::new(named), place(upright));
        let shown = ShownPicture { picture: picture.clone(), upright, place: wanted, image: Arc::clone(&image) };
        match known.and_then(|n| self.shown.get_mut(n)) {
            Some(before) => *before = shown,
            None => self.shown.push(shown),
        }
        Ok((image, wanted))
    }
}

/// What keeps a logo and photographs from being shown, each read once as it is for a page.
pub fn unfit<'a>(logo: Option<&Picture>, photographs: impl IntoIterator<Item = &'a Picture>) -> Vec<Problem> {
    let place = |(width, height): (f64, f64)| {
        let scale = (WIDTH / width).min(HEIGHT / height);
        (width * scale, height * scale)
    };
    let logo = logo.map(|picture| (picture, ShownAs::Logo));
    let all = logo.into_iter().chain(photographs.into_iter().map(|picture| (picture, ShownAs::Photograph)));
    all.filter_map(|(picture, shown_as)| Gallery::default().show(picture, shown_as, place).err()).collect()
}

/// Why a picture cannot be shown: its bytes are not to be had, or they are no picture.
enum NotShown {
    Unfetched(Unfetched),
    Fault(PictureFault),
}

impl From<PictureFault> for NotShown {
    fn from(fault: PictureFault) -> NotShown {
        NotShown::Fault(fault)
    }
}

impl From<Unfetched> for NotShown {
    fn from(unfetched: Unfetched) -> NotShown {
        NotShown::Unfetched(unfetched)
    }
}

fn told(picture: &Picture, not_shown: NotShown) -> Problem {
    let (fault, cure) = match not_shown {
        NotShown::Unfetched(told) => told,
        NotShown::Fault((fault, cure)) => (fault.to_owned(), cure.to_owned()),
    };
    Problem::fault(&picture.path, format!("the picture {} {fault}", picture.name), cure).within(picture.source)
}

/// A picture without its pixels, and its upright size.
fn sized(bytes: &PictureBytes) -> Result<(Image, (f64, f64)), NotShown> {
    let image = match size_of(&bytes.beginning(BEGINNING)?) {
        Ok(image) => image,
        Err(_) => size_of(&bytes.whole()?)?,
    };
    let upright = image.upright();
    Ok((image, upright))
}

/// How large a picture is and how it stands, by the beginning of its file.
fn size_of(bytes: &[u8]) -> Result<Image, PictureFault> {
    let nothing = Pixels::Plain(Plain { rgb: Arc::default(), opacity: None });
    let ((width, height), orientation) = match PictureKind::of(bytes)? {
        PictureKind::Png => border::reading(|| png_size(bytes)).unwrap_or(Err(BROKEN))?,
        PictureKind::Jpeg => jpeg::size(bytes)?,
    };
    Ok(unnamed(width, height, orientation, nothing))
}

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PictureKind {
    Png,
    Jpeg,
}

impl PictureKind {
    fn of(bytes: &[u8]) -> Result<PictureKind, PictureFault> {
        match bytes {
            _ if bytes.starts_with(b"\x89PNG\r\n\x1a\n") => Ok(PictureKind::Png),
            _ if bytes.starts_with(&[0xff, 0xd8]) => Ok(PictureKind::Jpeg),
            _ => Err(("is neither a PNG nor a JPEG", "save it as PNG or JPEG")),
        }
    }
}

/// Reads a picture for its place; gives its upright size as it was stored too.
fn read(
    bytes: &PictureBytes,
    shown_as: ShownAs,
    place: &dyn Fn((f64, f64)) -> (f64, f64),
) -> Result<(Image, (f64, f64)), NotShown> {
    let whole = bytes.whole()?;
    match PictureKind::of(&whole)? {
        PictureKind::Png => {
            let (size, orientation) = border::reading(|| png_size(&whole)).unwrap_or(Err(BROKEN))?;
            let upright = upright(size, orientation);
            let place = place(upright);
            let image = match bytes {
                PictureBytes::Held(_) => {
                    LAST.of((whole, shown_as, place), size, |(bytes, ..)| png(bytes, shown_as, place))
                }
                PictureBytes::Stored(_) => png(&whole, shown_as, place),
            };
            Ok((image?, upright))
        }
        PictureKind::Jpeg => {
            let Looked { size, grey, orientation, bare } = jpeg::look(&whole)?;
            drop(whole);
            let upright = upright(size, orientation);
            let image = border::reading(|| fitted_jpeg(bare, grey, (size, orientation), place(upright)));
            Ok((image.unwrap_or(Err(BROKEN))?, upright))
        }
    }
}

/// Width and height of a picture as it stands upright.
fn upright((width, height): (u32, u32), orientation: u8) -> (f64, f64) {
    let (width, height) = (f64::from(width), f64::from(height));
    if orientation >= 5 { (height, width) } else { (width, height) }
}

/// The pixels, across and down as stored, that a place can show, and whether the picture has so many more that it is scaled.
fn shown((width, height): (u32, u32), orientation: u8, place: (f64, f64)) -> ((u32, u32), bool) {
    let (across, down) = if orientation >= 5 { (place.1, place.0) } else { place };
    let pixels = |points: f64, most: u32| ((points / 72.0 * PRINTED).ceil() as u32).clamp(1, most.max(1));
    let wanted = (pixels(across, width), pixels(down, height));
    (wanted, f64::from(width) > SPARE * f64::from(wanted.0))
}

fn fitted_jpeg(
    bare: Vec<u8>,
    grey: bool,
    (size, orientation): ((u32, u32), u8),
    place: (f64, f64),
) -> Result<Image, PictureFault> {
    let (wanted, large) = shown(size, orientation, place);
    Ok(match smaller_jpeg(&bare, grey, wanted, large)? {
        Some(smaller) => unnamed(wanted.0, wanted.1, orientation, smaller),
        None => unnamed(size.0, size.1, orientation, Pixels::Jpeg { bytes: bare, grey }),
    })
}

fn png(bytes: &[u8], shown_as: ShownAs, place: (f64, f64)) -> Result<Image, PictureFault> {
    border::reading(|| {
        let (size, orientation, plain) = read_png(bytes)?;
        let (wanted, large) = shown(size, orientation, place);
        let drawn = large && is_drawn(shown_as, &plain);
        let (size, plain) = if large && !drawn { (wanted, smaller_plain(&plain, size, wanted)) } else { (size, plain) };
        let packed = if shown_as == ShownAs::Photograph { as_jpeg(&plain, size) } else { None };
        Ok(unnamed(size.0, size.1, orientation, packed.unwrap_or(Pixels::Plain(plain))))
    })
    .unwrap_or(Err(BROKEN))
}

/// Whether all dots of a picture are kept. The mean of two colours is a third: what is drawn in few of them packs shorter as it is.
fn is_drawn(shown_as: ShownAs, plain: &Plain) -> bool {
    shown_as == ShownAs::Logo && plain.rgb.len() <= DRAWN && plain.colours().is_some()
}

fn smaller_plain(plain: &Plain, size: (u32, u32), wanted: (u32, u32)) -> Plain {
    Plain {
        rgb: Arc::new(scaled(&plain.rgb, size, 3, wanted)),
        opacity: plain.opacity.as_ref().map(|plane| Arc::new(scaled(plane, size, 1, wanted))),
    }
}

/// An opaque picture as JPEG, where it is large and that is shorter than without loss. What is drawn packs short without.
fn as_jpeg(plain: &Plain, (width, height): (u32, u32)) -> Option<Pixels> {
    if plain.opacity.is_some() || plain.rgb.len() < SMALL {
        return None;
    }
    let mut lossless = ZlibEncoder::new(Vec::new(), Compression::fast());
    lossless.write_all(&plain.rgb).ok()?;
    let lossless = lossless.finish().ok()?.len();
    let mut bytes = Vec::new();
    let (width, height) = (u16::try_from(width).ok()?, u16::try_from(height).ok()?);
    if lossless >= SMALL {
        Encoder::new(&mut bytes, QUALITY).encode(&plain.rgb, width, height, ColorType::Rgb).ok()?;
    }
    (!bytes.is_empty() && bytes.len() < lossless).then_some(Pixels::Jpeg { bytes, grey: false })
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

/// A picture that was asked for: its bytes, what it is shown for, and how large it stands.
type AskedPicture = (Arc<Vec<u8>>, ShownAs, (f64, f64));

/// What came of the last pictures that are held: a firm's logo stands in every document of every job.
static LAST: Last = Last(Mutex::new(Vec::new()));

/// So many are remembered: a logo is of another size on each kind of document.
const REMEMBERED: usize = 4;

type ReadPicture = Result<Image, PictureFault>;

struct Last(Mutex<Vec<(AskedPicture, ReadPicture)>>);

impl Last {
    fn of(
        &self,
        asked: AskedPicture,
        size: (u32, u32),
        work: impl FnOnce(&AskedPicture) -> ReadPicture,
    ) -> ReadPicture {
        let mut last = self.0.lock().unwrap_or_else(|e| e.into_inner());
        let same = |a: &AskedPicture| a.1 == asked.1 && (Arc::ptr_eq(&a.0, &asked.0) || a.0 == asked.0);
        if let Some((_, outcome)) = last.iter().find(|(before, _)| same(before) && before.2 == asked.2) {
            return outcome.clone();
        }
        // What goes in as it was drawn is the same in every place.
        let drawn = |image: &Image| match &image.pixels {
            Pixels::Plain(plain) => (image.width, image.height) == size && is_drawn(asked.1, plain),
            Pixels::Jpeg { .. } => false,
        };
        let mut known = last.iter().filter(|(before, _)| same(before)).filter_map(|(_, outcome)| outcome.as_ref().ok());
        if let Some(image) = known.find(|image| drawn(image)) {
            return Ok(image.clone());
        }
        let outcome = work(&asked);
        if last.len() >= REMEMBERED {
            drop(last.remove(0));
        }
        last.push((asked, outcome.clone()));
        outcome
    }
}

/// A PNG that is about to be decoded: texts and profiles may be packed without end, and are not asked for.
fn png_reader(bytes: &[u8]) -> Result<png::Reader<std::io::Cursor<&[u8]>>, PictureFault> {
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::STRIP_16);
    let reader = decoder.read_info().map_err(|_| BROKEN)?;
    let (width, height) = reader.info().size();
    let most = if reader.info().interlaced { limits::PIXELS_AT_ONCE } else { limits::PIXELS };
    if u64::from(width) * u64::from(height) > most.most as u64 * 1_000_000 {
        return Err(LARGE);
    }
    Ok(reader)
}

fn orientation_of(info: &png::Info<'_>) -> u8 {
    info.exif_metadata.as_ref().and_then(|tiff| tiff_orientation(tiff)).unwrap_or(1)
}

/// Size and orientation.
fn png_size(bytes: &[u8]) -> Result<((u32, u32), u8), PictureFault> {
    let reader = png_reader(bytes)?;
    Ok((reader.info().size(), orientation_of(reader.info())))
}

/// The pixels of a PNG, averaged to no more than [`MOST_PIXELS`] a side; with their size, and how they stand.
fn read_png(bytes: &[u8]) -> Result<((u32, u32), u8, Plain), PictureFault> {
    let mut reader = png_reader(bytes)?;
    let (width, height) = reader.info().size();
    let orientation = orientation_of(reader.info());
    let samples = reader.output_color_type().0.samples();
    let mut average = Averaging::new(width, height, samples);
    if reader.info().interlaced {
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
    Ok(((width, height), orientation, Plain { rgb: Arc::new(rgb), opacity: opacity.map(Arc::new) }))
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
