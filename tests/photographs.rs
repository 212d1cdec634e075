//! Photographs on paper: upright whichever way the camera was held, no larger than paper can show, and refused in their
//! place when they cannot be shown.

use crate::cpu_time::CpuTime;
use crate::support::setting;
use crate::templates::firm_folder;
use jpeg_encoder::{ColorType, Encoder};
use lopdf::Document as Pdf;
use std::fs;
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use wetout::model::firm::{Accent, Picture};
use wetout::model::picture::{PictureBytes, PictureStore, Unfetched};
use wetout::model::problem::Source;
use wetout::pages::block::{Block, Document, Fitting, Letterhead};
use wetout::pages::fitting;
use wetout::pages::image::{Image, Pixels};
use wetout::pages::page::Item;

/// A JPEG of these pixels with an EXIF orientation.
pub fn encoded(pixels: &[u8], width: u16, height: u16, kind: ColorType, orientation: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 90);
    let mut exif = b"Exif\0\0".to_vec();
    exif.extend(tiff(orientation));
    encoder.add_app_segment(1, exif).unwrap();
    encoder.encode(pixels, width, height, kind).unwrap();
    bytes
}

/// A TIFF directory with an orientation alone (Exif 2.3, 4.6.4 A), the last byte first.
pub fn tiff(orientation: u8) -> Vec<u8> {
    let mut bytes = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    bytes.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    bytes
}

/// The scene in front of the camera, three wide and two high: red, green, blue above, white, black, yellow below.
const SCENE: [[[u8; 3]; 3]; 2] =
    [[[220, 20, 20], [20, 200, 20], [20, 20, 220]], [[250, 250, 250], [10, 10, 10], [240, 230, 20]]];

/// The place in the scene of each place in the file, by what the orientation says of the file's first row and column
/// (Exif 2.3, 4.6.4 A: 1 row at the top, column at the left; 2 top, right; 3 bottom, right; 4 bottom, left; 5 left, top;
/// 6 right, top; 7 right, bottom; 8 left, bottom). All from 0 to 1.
fn in_scene(orientation: u8, row: f64, column: f64) -> (f64, f64) {
    match orientation {
        1 => (row, column),
        2 => (row, 1.0 - column),
        3 => (1.0 - row, 1.0 - column),
        4 => (1.0 - row, column),
        5 => (column, row),
        6 => (column, 1.0 - row),
        7 => (1.0 - column, 1.0 - row),
        _ => (1.0 - column, row),
    }
}

/// What a camera stores that was held so: `long` pixels along the scene's longer side.
fn stored(orientation: u8, long: u16) -> (u16, u16, Vec<u8>) {
    let short = long / 3 * 2;
    let (width, height) = if orientation >= 5 { (short, long) } else { (long, short) };
    let mut pixels = Vec::new();
    for row in 0..height {
        for column in 0..width {
            let middle = |n: u16, of: u16| (f64::from(n) + 0.5) / f64::from(of);
            let (down, across) = in_scene(orientation, middle(row, height), middle(column, width));
            pixels.extend(SCENE[(down * 2.0) as usize][(across * 3.0) as usize]);
        }
    }
    (width, height, pixels)
}

/// A photograph of the scene.
pub fn photograph(orientation: u8, long: u16) -> Vec<u8> {
    let (width, height, pixels) = stored(orientation, long);
    encoded(&pixels, width, height, ColorType::Rgb, orientation)
}

fn png_of(orientation: u8, long: u16) -> Vec<u8> {
    let (width, height, pixels) = stored(orientation, long);
    let mut info = png::Info::with_size(u32::from(width), u32::from(height));
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    info.exif_metadata = Some(tiff(orientation).into());
    let mut bytes = Vec::new();
    let mut writer = png::Encoder::with_info(&mut bytes, info).unwrap().write_header().unwrap();
    writer.write_image_data(&pixels).unwrap();
    writer.finish().unwrap();
    bytes
}

pub fn document(bytes: Vec<u8>) -> Document {
    document_of(vec![bytes.into()])
}

/// A document that shows these pictures.
fn document_of(all: Vec<PictureBytes>) -> Document {
    let shown = |(n, bytes): (usize, PictureBytes)| {
        let path = setting(&format!("photos[{n}].file"));
        let picture = Picture { name: "roof.jpg".into(), bytes, source: Source::Job, path };
        let photo = Block::Photo { picture, caption: "The roof".into(), alt: "The roof".into() };
        Block::Columns(vec![vec![photo], Vec::new()])
    };
    Document {
        title: "Photographs".into(),
        author: "Fernhill Roofing".into(),
        subject: "A roof".into(),
        date: time::macros::date!(2026 - 11 - 25),
        reference: "26-041".into(),
        by_hand: String::new(),
        footer: "Fernhill Roofing".into(),
        standing: String::new(),
        letterhead: Letterhead { logo: None, name: "Fernhill Roofing".into(), lines: Vec::new() },
        accent: Accent { rgb: [20, 90, 110] },
        text_size: 10.0,
        blocks: all.into_iter().enumerate().map(shown).collect(),
        attachments: Vec::new(),
        closer: None,
        fitting: Fitting::AsSet,
    }
}

/// The picture as it stands on the page, and its place.
fn placed(bytes: Vec<u8>) -> (Image, f64, f64) {
    let paper = fitting::lay_out(&document(bytes)).unwrap();
    let marks = paper.pages.into_iter().flat_map(|page| page.marks);
    let mut found = marks.filter_map(|mark| match mark.item {
        Item::Picture { area, image } => Some(((*image).clone(), area.width, area.height)),
        _ => None,
    });
    found.next().unwrap()
}

fn decoded(image: &Image) -> Vec<u8> {
    match &image.pixels {
        Pixels::Plain(plain) => plain.rgb.to_vec(),
        Pixels::Jpeg { bytes, .. } => jpeg_decoder::Decoder::new(bytes.as_slice()).decode().unwrap(),
    }
}

/// The matrix by which the PDF's first picture is placed.
fn matrix(bytes: Vec<u8>) -> [f64; 6] {
    let pdf = Pdf::load_mem(&wetout::pdf::print(&document(bytes)).unwrap()).unwrap();
    let content = lopdf::content::Content::decode(&pdf.get_page_content(pdf.get_pages()[&1])).unwrap();
    let before = content.operations.iter().take_while(|o| o.operator != "Do").filter(|o| o.operator == "cm");
    let parts = |o: &lopdf::content::Operation| o.operands.iter().map(|n| f64::from(n.as_float().unwrap())).collect();
    let matrices: Vec<Vec<f64>> = before.map(parts).collect();
    let placing: Vec<&Vec<f64>> = matrices.iter().filter(|m| *m != &[1.0, 0.0, 0.0, 1.0, 0.0, 0.0]).collect();
    assert_eq!(placing.len(), 1, "{matrices:?}");
    placing[0].clone().try_into().unwrap()
}

/// Where the file's colours come to stand on the page: the colour at the middle of each sixth of the picture's place.
fn seen(image: &Image, [a, b, c, d, e, f]: [f64; 6]) -> Vec<[u8; 3]> {
    let pixels = decoded(image);
    // The picture's own square has its origin at the bottom left (ISO 32000-1, 8.9.5.1): turn the page back into it.
    let (left, right) = (e.min(e + a + c), e.max(e + a + c));
    let (bottom, top) = (f.min(f + b + d), f.max(f + b + d));
    let det = a * d - b * c;
    let mut colours = Vec::new();
    for (down, across) in [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2)] {
        let x = left + (f64::from(across) + 0.5) / 3.0 * (right - left) - e;
        let y = top - (f64::from(down) + 0.5) / 2.0 * (top - bottom) - f;
        let (u, v) = ((d * x - c * y) / det, (a * y - b * x) / det);
        let column = (u * f64::from(image.width)) as usize;
        let row = ((1.0 - v) * f64::from(image.height)) as usize;
        let at = (row * image.width as usize + column) * 3;
        colours.push([pixels[at], pixels[at + 1], pixels[at + 2]]);
    }
    colours
}

fn assert_upright(bytes: Vec<u8>, what: &str) {
    let (image, width, height) = placed(bytes.clone());
    assert!((width / height - 1.5).abs() < 0.02, "{what}: {width} × {height}");
    let seen = seen(&image, matrix(bytes));
    for (seen, wanted) in seen.iter().zip(SCENE.iter().flatten()) {
        let near = seen.iter().zip(wanted).all(|(&a, &b)| a.abs_diff(b) < 24);
        assert!(near, "{what}: {seen:?} where {wanted:?} should be");
    }
}

#[test]
fn a_small_photograph_stands_upright_whichever_way_the_camera_was_held_and_keeps_its_picture_bit_for_bit() {
    for orientation in 1..=8 {
        let bytes = photograph(orientation, 240);
        assert_upright(bytes.clone(), &format!("orientation {orientation}"));
        let Pixels::Jpeg { bytes: kept, .. } = placed(bytes.clone()).0.pixels else { panic!("a JPEG stays a JPEG") };
        assert!(kept.ends_with(coded(&bytes)) && !coded(&bytes).is_empty(), "orientation {orientation}");
    }
}

#[test]
fn a_large_photograph_is_scaled_to_220_dots_an_inch_and_stands_upright_too() {
    for orientation in 1..=8 {
        let bytes = photograph(orientation, 1500);
        assert_upright(bytes.clone(), &format!("orientation {orientation}"));
        let (image, width, _) = placed(bytes.clone());
        let across = if orientation >= 5 { image.height } else { image.width };
        let dots = f64::from(across) / (width / 72.0);
        assert!((219.0..223.0).contains(&dots), "orientation {orientation}: {dots} dots an inch");
        let Pixels::Jpeg { bytes: packed, .. } = &image.pixels else { panic!("a JPEG stays a JPEG") };
        assert!(packed.len() < bytes.len() / 2 && packed.starts_with(&[0xff, 0xd8]), "{} bytes", packed.len());
    }
}

#[test]
fn a_png_stands_upright_too_and_is_scaled_down() {
    for orientation in 1..=8 {
        assert_upright(png_of(orientation, 240), &format!("small, orientation {orientation}"));
        let large = png_of(orientation, 1500);
        assert_upright(large.clone(), &format!("large, orientation {orientation}"));
        let (image, width, _) = placed(large);
        let across = if orientation >= 5 { image.height } else { image.width };
        assert!(f64::from(across) / (width / 72.0) < 223.0);
    }
}

#[test]
fn a_grey_photograph_stays_grey_and_even_colour_stays_even() {
    let pixels = vec![97; 1800 * 1200];
    let (image, ..) = placed(encoded(&pixels, 1800, 1200, ColorType::Luma, 1));
    assert!(matches!(image.pixels, Pixels::Jpeg { grey: true, .. }));
    assert_eq!(decoded(&image).len(), (image.width * image.height) as usize);
    assert!(decoded(&image).iter().all(|value| value.abs_diff(97) <= 1));
}

/// A PNG whose columns are black and white in turn.
fn striped(width: u32) -> Vec<u8> {
    let pixels: Vec<u8> =
        (0..width * 20).flat_map(|n| if (n % width).is_multiple_of(2) { [255; 3] } else { [0; 3] }).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, 20);
    encoder.set_color(png::ColorType::Rgb);
    encoder.write_header().unwrap().write_image_data(&pixels).unwrap();
    bytes
}

#[test]
fn fine_lines_are_averaged_and_not_skipped() {
    // Averaged they are grey everywhere; picked point by point they would be black and white.
    for width in [1899, 4001, 12_000] {
        let (image, ..) = placed(striped(width));
        assert!((650..760).contains(&image.width), "{}", image.width);
        let odd: Vec<u8> = decoded(&image).into_iter().filter(|value| value.abs_diff(127) > 60).collect();
        assert!(odd.is_empty(), "{} pixels of {width} are not grey: {:?}", odd.len(), &odd[..3]);
    }
}

/// The coded picture of a baseline JPEG, from its scan to its end.
fn coded(bytes: &[u8]) -> &[u8] {
    let scan = bytes.windows(2).position(|pair| pair == [0xff, 0xda]).unwrap();
    let end = bytes.windows(2).rposition(|pair| pair == [0xff, 0xd9]).unwrap() + 2;
    &bytes[scan..end]
}

/// A segment of a JPEG (ISO/IEC 10918-1, B.1.1.4).
fn jpeg_segment(marker: u8, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len() + 2).unwrap().to_be_bytes();
    [&[0xff, marker], &length[..], body].concat()
}

const SECRETS: [&str; 6] = ["LATITUDE", "CAMERANUMBER", "XMPPACKET", "PROFILE", "A COMMENT", "BEHINDTHEEND"];

/// A photograph in which a camera wrote where it stood, and programs wrote more, before the picture, in it and behind it.
fn telling(orientation: u8, long: u16) -> Vec<u8> {
    let plain = photograph(orientation, long);
    let mut exif = b"Exif\0\0".to_vec();
    exif.extend(tiff(orientation));
    exif.extend(b"LATITUDE 52.1234 CAMERANUMBER 0042");
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x>XMPPACKET</x>";
    let beside = [
        jpeg_segment(0xe1, &exif),
        jpeg_segment(0xe1, xmp),
        jpeg_segment(0xe2, b"ICC_PROFILE\0\x01\x01PROFILE"),
        jpeg_segment(0xed, b"Photoshop 3.0\0LATITUDE"),
        jpeg_segment(0xfe, b"A COMMENT"),
    ];
    [&plain[..2], &beside.concat(), &plain[2..], b"BEHINDTHEEND"].concat()
}

#[test]
fn nothing_that_a_camera_wrote_beside_the_picture_reaches_a_document() {
    let holds = |bytes: &[u8], secret: &str| bytes.windows(secret.len()).any(|part| part == secret.as_bytes());
    for long in [240, 1500] {
        for orientation in [1, 6] {
            let bytes = telling(orientation, long);
            assert!(SECRETS.iter().all(|secret| holds(&bytes, secret)));
            assert_upright(bytes.clone(), &format!("{long}, orientation {orientation}"));
            let Pixels::Jpeg { bytes: kept, .. } = placed(bytes.clone()).0.pixels else { panic!("a JPEG stays one") };
            assert!(kept.len() < bytes.len() && !holds(&kept, "Exif"));
            // What is embedded stands in the document as it is.
            let paper = wetout::pdf::print(&document(bytes)).unwrap();
            assert!(paper.windows(64).any(|part| part == &kept[..64]));
            for secret in SECRETS {
                assert!(!holds(&kept, secret) && !holds(&paper, secret), "{long}, {orientation}: {secret}");
            }
        }
    }
    let mut info = png::Info::with_size(2, 1);
    info.color_type = png::ColorType::Rgb;
    info.exif_metadata = Some([tiff(1), b"LATITUDE".to_vec()].concat().into());
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::with_info(&mut bytes, info).unwrap();
    encoder.add_text_chunk("Comment".into(), "A COMMENT".into()).unwrap();
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[9; 6]).unwrap();
    writer.finish().unwrap();
    let paper = wetout::pdf::print(&document(bytes)).unwrap();
    assert!(SECRETS.iter().all(|secret| !holds(&paper, secret)));
}

#[test]
fn a_jpeg_in_more_passes_than_anything_makes_is_refused_before_it_is_decoded() {
    let plain = photograph(1, 240);
    let scan = plain.windows(2).position(|pair| pair == [0xff, 0xda]).unwrap();
    let (head, pass) = (&plain[..scan], &coded(&plain)[..coded(&plain).len() - 2]);
    let of_passes = |n: usize| [head, &pass.repeat(n), &[0xff, 0xd9]].concat();
    let begun = CpuTime::begin();
    let problems = wetout::pdf::print(&document(of_passes(5000))).unwrap_err();
    assert!(problems[0].fault.contains("is stored in more passes than any camera or program makes"), "{problems:?}");
    assert!(begun.spent() < std::time::Duration::from_secs(1), "{:?}", begun.spent());
    // Of many pixels, fewer passes are too much work.
    let mut large = of_passes(12);
    let frame = large.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    large[frame + 5..frame + 9].copy_from_slice(&[0x1a, 0, 0x1a, 0]);
    let problems = wetout::pdf::print(&document(large)).unwrap_err();
    assert!(problems[0].fault.contains("more passes"), "{problems:?}");
}

#[test]
fn the_same_photograph_gives_the_same_bytes() {
    let print = || wetout::pdf::print(&document(photograph(6, 1500))).unwrap();
    assert!(print() == print());
}

#[test]
fn what_does_not_decode_is_told_with_the_setting_that_asks_for_it() {
    let mut broken = photograph(1, 300);
    let tables = broken.windows(2).position(|pair| pair == [0xff, 0xc4]).unwrap();
    broken[tables + 5..tables + 21].fill(0xff);
    for bytes in [broken, photograph(1, 300)[..400].to_vec(), b"GIF89a".to_vec()] {
        let problems = wetout::pdf::print(&document(bytes)).unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert_eq!((problems[0].source, problems[0].place.to_string().as_str()), (Source::Job, "photos[0].file"));
        assert!(problems[0].fault.contains("roof.jpg"), "{problems:?}");
    }
}

#[test]
fn a_picture_of_too_many_pixels_is_refused_before_it_is_decoded() {
    let mut jpeg = photograph(1, 240);
    let frame = jpeg.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].fill(0xff);
    let mut png = png_of(1, 240);
    png[16..24].copy_from_slice(&[0, 0, 0x80, 0, 0, 0, 0x80, 0]);
    let mut sum = flate2::Crc::new();
    sum.update(&png[12..29]);
    png[29..33].copy_from_slice(&sum.sum().to_be_bytes());
    for bytes in [jpeg, png] {
        let problems = wetout::pdf::print(&document(bytes)).unwrap_err();
        assert!(problems[0].fault.contains("too many pixels"), "{problems:?}");
    }
}

#[test]
fn a_photograph_of_a_job_that_cannot_be_shown_is_told_with_its_line_before_anything_is_written() {
    let folder = firm_folder("broken-photo");
    let job = fs::read_to_string(folder.join("job.yaml")).unwrap();
    let lines = job.lines().count();
    fs::write(
        folder.join("job.yaml"),
        format!("{}\nphotos:\n  - {{file: roof.jpg, caption: Before}}\n", job.trim_end()),
    )
    .unwrap();
    let run = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        command.args(["make", folder.join("job.yaml").to_str().unwrap()]).output().unwrap()
    };
    fs::write(folder.join("roof.jpg"), photograph(3, 600)).unwrap();
    let done = run();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    fs::remove_dir_all(folder.join("out")).unwrap();
    fs::write(folder.join("roof.jpg"), &photograph(3, 600)[..3000]).unwrap();
    let done = run();
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(
        said.contains(&format!("job.yaml:{}:", lines + 2)) && said.contains("the picture roof.jpg is broken"),
        "{said}"
    );
    assert!(!folder.join("out").exists());
}

/// A job with a photograph of this name; gives what the program says of it.
fn said_of_photograph(folder: &std::path::Path, name: &str) -> (Option<i32>, String) {
    let job = fs::read_to_string(folder.join("plain.yaml")).unwrap();
    fs::write(folder.join("job.yaml"), format!("{}\nphotos:\n  - {{file: '{name}'}}\n", job.trim_end())).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    let done = command.args(["quote", folder.join("job.yaml").to_str().unwrap()]).output().unwrap();
    (done.status.code(), String::from_utf8(done.stderr).unwrap())
}

#[cfg(unix)]
#[test]
fn a_picture_outside_of_the_folder_of_its_file_is_not_read_by_whatever_way_it_is_named() {
    use std::os::unix::fs::symlink;
    let outside = crate::command::scratch("photographs-outside");
    let folder = firm_folder("photographs-inside");
    fs::copy(folder.join("job.yaml"), folder.join("plain.yaml")).unwrap();
    for place in [outside.join("roof.jpg"), folder.join("roof.jpg")] {
        fs::write(place, photograph(1, 240)).unwrap();
    }
    fs::create_dir(folder.join("sub")).unwrap();
    symlink(outside.join("roof.jpg"), folder.join("link.jpg")).unwrap();
    symlink(&outside, folder.join("away")).unwrap();
    symlink("../roof.jpg", folder.join("sub/inside.jpg")).unwrap();
    let whole = outside.join("roof.jpg").display().to_string();
    let up = format!("../{}/roof.jpg", outside.file_name().unwrap().to_str().unwrap());
    let out_and_in = format!("../{}/roof.jpg", folder.file_name().unwrap().to_str().unwrap());
    for name in ["link.jpg", "away/roof.jpg", &whole, &up, &out_and_in, "sub/../../x.jpg"] {
        let (code, said) = said_of_photograph(&folder, name);
        assert_eq!(code, Some(1), "{name}: {said}");
        assert!(
            said.contains("lies outside of the folder of this file") && said.contains("job.yaml:"),
            "{name}: {said}"
        );
    }
    for name in ["roof.jpg", "./roof.jpg", "sub/inside.jpg"] {
        assert_eq!(said_of_photograph(&folder, name).0, Some(0), "{name}");
    }
    let firm = fs::read_to_string(folder.join("firm.yaml")).unwrap();
    fs::write(folder.join("firm.yaml"), firm.replace("logo: logo.png", &format!("logo: {up}"))).unwrap();
    let (code, said) = said_of_photograph(&folder, "roof.jpg");
    assert!(code == Some(1) && said.contains("lies outside") && said.contains("firm.yaml:"), "{said}");
}

#[cfg(unix)]
#[test]
fn only_plain_files_of_a_sensible_size_are_read() {
    let folder = firm_folder("photographs-plain");
    fs::copy(folder.join("job.yaml"), folder.join("plain.yaml")).unwrap();
    fs::create_dir(folder.join("folder.jpg")).unwrap();
    fs::File::create(folder.join("huge.jpg")).unwrap().set_len(3 << 30).unwrap();
    assert!(Command::new("mkfifo").arg(folder.join("pipe.jpg")).status().unwrap().success());
    let cases = [("folder.jpg", "is not a file"), ("pipe.jpg", "is not a file"), ("huge.jpg", "is larger than 30 MB")];
    for (name, words) in cases {
        let (code, said) = said_of_photograph(&folder, name);
        assert!(code == Some(1) && said.contains(&format!("the photograph `{name}` {words}")), "{said}");
        assert!(!said.contains("os error"), "{said}");
    }
    // Eleven of the largest are more than all may be.
    let each: String = (0..11).map(|n| format!("  - {{file: {n}.jpg}}\n")).collect();
    let job = fs::read_to_string(folder.join("plain.yaml")).unwrap();
    fs::write(folder.join("job.yaml"), format!("{}\nphotos:\n{each}", job.trim_end())).unwrap();
    (0..11).for_each(|n| fs::File::create(folder.join(format!("{n}.jpg"))).unwrap().set_len(29_999_999).unwrap());
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    let done = command.args(["quote", folder.join("job.yaml").to_str().unwrap()]).output().unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(said.matches("up to this one, the photographs come to more than 300 MB").count(), 1, "{said}");
}

/// Counts how often a picture is read, whole and in part.
#[derive(Debug, Default)]
struct CountedPicture {
    bytes: Vec<u8>,
    whole: AtomicUsize,
    beginnings: AtomicUsize,
}

impl PictureStore for CountedPicture {
    fn fetch(&self, most: Option<usize>) -> Result<Vec<u8>, Unfetched> {
        let count = if most.is_some() { &self.beginnings } else { &self.whole };
        count.fetch_add(1, Ordering::Relaxed);
        Ok(self.bytes[..most.unwrap_or(usize::MAX).min(self.bytes.len())].to_vec())
    }
}

/// Pictures that count how often they are read, and a document that shows them with words that make it be laid out in several
/// sizes of type.
fn counted(all: Vec<Vec<u8>>) -> (Vec<Arc<CountedPicture>>, Document) {
    let stores: Vec<Arc<CountedPicture>> =
        all.into_iter().map(|bytes| Arc::new(CountedPicture { bytes, ..CountedPicture::default() })).collect();
    let bytes = stores.iter().map(|store| PictureBytes::Stored(store.clone())).collect();
    (stores, document_of(bytes))
}

#[test]
fn a_picture_is_read_once_for_its_document_however_often_that_is_laid_out_and_not_at_all_for_its_size() {
    let (stores, mut document) = counted(vec![photograph(6, 1500), png_of(1, 1500), photograph(1, 300)]);
    let words = |n: usize| Block::Paragraph(vec![wetout::pages::block::Span::plain("A line of words. ".repeat(n))]);
    // A page with a line or two on it: other sizes of type are tried.
    let mut sizes = 0;
    for lines in (60..90).step_by(6) {
        let before = document.blocks.len();
        document.blocks.extend((0..lines).map(|_| words(3)));
        let paper = fitting::lay_out(&document).unwrap();
        sizes += paper.pages.len();
        document.blocks.truncate(before);
        for store in &stores {
            assert_eq!(store.whole.swap(0, Ordering::Relaxed), 1, "{lines} lines");
            assert_eq!(store.beginnings.load(Ordering::Relaxed), 0);
        }
    }
    assert!(sizes > 5);
    let whole = fitting::lay_out(&document).unwrap();
    let sized = fitting::lay_out_sizes(Default::default(), &document).unwrap();
    for store in &stores {
        assert_eq!((store.whole.load(Ordering::Relaxed), store.beginnings.load(Ordering::Relaxed)), (1, 1));
    }
    let places = |paper: &wetout::pages::page::Paper| -> Vec<String> {
        let marks = paper.pages.iter().flat_map(|page| &page.marks);
        marks.filter(|mark| matches!(mark.item, Item::Picture { .. })).map(place_of).collect()
    };
    assert_eq!(places(&whole), places(&sized));
    assert_eq!(places(&whole).len(), 3);
}

fn place_of(mark: &wetout::pages::page::Placed) -> String {
    match &mark.item {
        Item::Picture { area, .. } => format!("{area:?}"),
        _ => String::new(),
    }
}

/// Even noise on a slope: nothing that packs short without loss.
fn noisy_png(width: u32, height: u32, transparent: bool) -> Vec<u8> {
    let mut state = 7_u32;
    let mut noise = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 27) as u8
    };
    let samples = if transparent { 4 } else { 3 };
    let pixels: Vec<u8> = (0..width * height)
        .flat_map(|n| {
            (0..samples)
                .map(|s| if s == 3 { 200 } else { (n % width * 200 / width) as u8 + noise() })
                .collect::<Vec<u8>>()
        })
        .collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(if transparent { png::ColorType::Rgba } else { png::ColorType::Rgb });
    encoder.write_header().unwrap().write_image_data(&pixels).unwrap();
    bytes
}

#[test]
fn an_opaque_png_photograph_goes_in_as_jpeg_and_what_is_drawn_or_transparent_does_not() {
    let (image, ..) = placed(noisy_png(1600, 1200, false));
    let Pixels::Jpeg { bytes, .. } = &image.pixels else { panic!("a photograph packs shorter as JPEG") };
    assert!(bytes.len() < 200_000, "{}", bytes.len());
    assert_eq!(decoded(&image).len(), (image.width * image.height * 3) as usize);
    for drawn in [noisy_png(1600, 1200, true), noisy_png(120, 90, false), striped(12_000)] {
        assert!(matches!(placed(drawn).0.pixels, Pixels::Plain(_)));
    }
}

/// A PNG of what a function says of each pixel: red, green, blue, opacity.
fn drawn_png(width: u32, height: u32, pixel: impl Fn(u32, u32) -> [u8; 4]) -> Vec<u8> {
    let pixels: Vec<u8> =
        (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).flat_map(|(x, y)| pixel(x, y)).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.write_header().unwrap().write_image_data(&pixels).unwrap();
    bytes
}

/// The first picture of a PDF that is no opacity of another: its dictionary, and its samples as lopdf unpacks them.
fn stored_picture(pdf: &Pdf) -> (lopdf::Dictionary, Vec<u8>) {
    let streams = pdf.objects.values().filter_map(|object| object.as_stream().ok());
    let image =
        |s: &&lopdf::Stream| s.dict.get(b"Subtype").and_then(lopdf::Object::as_name).is_ok_and(|n| n == b"Image");
    let mut pictures = streams.filter(image);
    let opacity = |s: &&lopdf::Stream| s.dict.has(b"SMask");
    let found = pictures.clone().find(opacity).or_else(|| pictures.next()).unwrap();
    (found.dict.clone(), found.decompressed_content().unwrap())
}

#[test]
fn what_goes_in_without_loss_comes_out_as_it_was_and_packs_short() {
    let colour = |x: u32, y: u32| [(x / 2) as u8, (y / 2) as u8, ((x + y) / 4) as u8, 255];
    let slope = |x: u32, y: u32| {
        let [r, g, b, _] = colour(x, y);
        [r, g, b, if x < 9 { 0 } else { 255 }]
    };
    let flat =
        |x: u32, y: u32| if (x / 40 + y / 40).is_multiple_of(2) { [20, 90, 110, 255] } else { [255, 255, 255, 255] };
    let grey =
        |x: u32, y: u32| [((x + y) / 4) as u8; 3].into_iter().chain([255]).collect::<Vec<u8>>().try_into().unwrap();
    let noise = |x: u32, y: u32| {
        let n = (x.wrapping_mul(374_761_393) ^ y.wrapping_mul(668_265_263)).wrapping_mul(1_274_126_177);
        [(n >> 8) as u8, (n >> 16) as u8, (n >> 24) as u8, 255]
    };
    type Pixel<'a> = &'a dyn Fn(u32, u32) -> [u8; 4];
    let kinds: [(&str, Pixel<'_>, &[u8], bool, usize); 5] = [
        ("a slope of colour", &colour, b"DeviceRGB", true, 60),
        ("a slope with clear pixels", &slope, b"DeviceRGB", true, 60),
        ("two colours", &flat, b"Indexed", false, 60),
        ("a slope of grey", &grey, b"DeviceGray", true, 60),
        ("noise", &noise, b"DeviceRGB", false, 1),
    ];
    for (what, pixel, space, predicted, times) in kinds {
        let (width, height) = (180, 150);
        let bytes = wetout::pdf::print(&document(drawn_png(width, height, pixel))).unwrap();
        let pdf = Pdf::load_mem(&bytes).unwrap();
        let (dict, samples) = stored_picture(&pdf);
        let colours = dict.get(b"ColorSpace").unwrap();
        let list = colours.as_array().ok();
        let name = list.map_or(colours, |list| &list[0]).as_name().unwrap();
        assert_eq!(name, space, "{what}");
        assert_eq!(dict.has(b"DecodeParms"), predicted, "{what}");
        let named = list.map(|list| list[3].as_str().unwrap());
        let all = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        for (n, (x, y)) in all.enumerate() {
            let seen = match (name, named) {
                (b"DeviceGray", _) => &[samples[n]; 3][..],
                (_, Some(list)) => &list[3 * samples[n] as usize..][..3],
                _ => &samples[3 * n..][..3],
            };
            assert_eq!(seen, &pixel(x, y)[..3], "{what} at {x}, {y}");
        }
        let stored = dict.get(b"Length").unwrap().as_i64().unwrap() as usize;
        assert!(stored * times < (width * height * 3) as usize + 400 * times, "{what}: {stored}");
    }
}

#[test]
fn what_shows_no_photograph_reads_none() {
    let folder = firm_folder("photographs-unread");
    let job = fs::read_to_string(folder.join("job.yaml")).unwrap();
    let photos = "photos: [{file: broken.jpg}]\n";
    fs::write(folder.join("job.yaml"), format!("{}\n{photos}", job.trim_end())).unwrap();
    // Its size can be told, and it cannot be shown.
    let whole = photograph(1, 300);
    fs::write(folder.join("broken.jpg"), &whole[..whole.len() / 2]).unwrap();
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        let done = command.args(arguments).arg(folder.join("job.yaml")).output().unwrap();
        (done.status.code(), String::from_utf8(done.stderr).unwrap())
    };
    for command in ["takeoff", "price", "works", "order", "method"] {
        assert_eq!(run(&[command]).0, Some(0), "{command}: {}", run(&[command]).1);
    }
    for command in ["quote", "make", "check"] {
        let (code, said) = run(&[command]);
        assert!(code == Some(1) && said.contains("the picture broken.jpg is broken or cut short"), "{command}: {said}");
    }
    // That it is there, and no larger than it may be, is seen by all.
    fs::remove_file(folder.join("broken.jpg")).unwrap();
    let (code, said) = run(&["takeoff"]);
    assert!(code == Some(1) && said.contains("there is no photograph `broken.jpg`"), "{said}");
}
