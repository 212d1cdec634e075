//! Bytes that nobody would write: templates, fonts, pictures, returned PDFs, survey forms, merchants' lists and every file that
//! is written by hand, changed at random byte by byte and read as the program reads them. The judge: no panic that leaves `pages::border`, no more than a second of work, no more
//! than 256 MB, and every message with its place and its cure.
//!
//! Each kind is worked in processes of its own, so that even an abort is noticed, and what a process keeps until it ends (a
//! font) goes with it. A file whose outcome was not seen before is changed further. It runs for some seconds;
//! `WETOUT_FUZZ_SECONDS=3600 cargo test fuzz_bytes:: -- --nocapture` runs for as long as you say, over all kinds;
//! `WETOUT_FUZZ_SEED` from elsewhere, `WETOUT_FUZZ_KIND=png` one kind alone. The bytes of an execution that failed stand in the
//! folder that the message names.

#![allow(clippy::print_stdout, reason = "how many runs there were is told to whoever asks with --nocapture")]

use crate::command::scratch;
use crate::demo::{self, Demo};
use crate::fuzz::{Chance, MOST_MEMORY, MOST_WORK, number_of};
use crate::photographs;
use crate::price_updates::{LIST, Parts, packed, parts_of, sheet_row};
use crate::support::lean_to;
use jpeg_encoder::{ColorType, Encoder};
use lopdf::{Document as Pdf, Object, ObjectId};
use rustix::time::{ClockId, clock_gettime};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;
use wetout::documents::words::TEMPLATES;
use wetout::documents::{DocumentKind, Overrides, check, make};
use wetout::job_file::{
    Request, SourceText, Sources, WrittenArticle, load, load_book, load_found, load_record, load_stock, office, render,
    written_articles,
};
use wetout::model::Problem;
use wetout::pages::block::{Block, Document, Span};
use wetout::pages::fitting;
use wetout::pages::own_fonts::{FontFile, NEEDED, fonts};
use wetout::pdf::{print, print_in, returned};
use wetout::survey::{BookArticle, KnownHeadings, ListFile, ListReading, Lists, SurveyAnswers, beside_book, matched};

/// Seconds of work over all kinds, where nothing else is asked for.
const USUAL_SECONDS: u64 = 20;
/// The longest input that changes grow to.
const LONGEST: usize = 1_500_000;
/// Outcomes that are remembered, each with the bytes that came to it first.
const MOST_OUTCOMES: usize = 300;
/// A process that holds so many kB is ended, and another one goes on: fonts are kept until a process ends.
const FULL: u64 = 500 * 1024;

/// Of so many executions one takes the whole way, to a document that is written; the others go as far as laying it out.
const WRITTEN_EACH: u64 = 16;

/// A kind of bytes that others make.
struct Kind {
    name: &'static str,
    /// From which all begins.
    seeds: fn() -> Vec<Vec<u8>>,
    /// Words of its format, put in anywhere.
    words: &'static [&'static [u8]],
    /// Makes changed bytes whole again, so that more is read than a sum that is wrong.
    mend: fn(&mut [u8], &mut Chance),
    /// Reads the bytes that began as this seed; what came of it, in words that are the same for what is alike.
    read: fn(&mut Desk, usize, &[u8]) -> String,
}

#[rustfmt::skip] // words of a format stand side by side
const KINDS: [Kind; 11] = [
    Kind {
        name: "templates",
        seeds: || TEMPLATES[..MADE].iter().map(|(_, text)| text.as_bytes().to_vec()).collect(),
        words: &[
            b"{{ ",
            b" }}",
            b"{% if ",
            b" %}",
            b"{% for x in ",
            b"{% endfor %}",
            b"{% endif %}",
            b"{% else %}",
            b"{#",
            b"#}",
            b"{% include \"quote.md\" %}",
            b"{{ x }}",
            b"```table prices\n```\n",
            b"````sheet\n",
            b"````\n",
            b"```keep\n",
            b"# ",
            b"- ",
            b"1. ",
            b"> ",
            b"| a | b |\n|---|---|\n",
            b"---\n",
            b"![a](b)",
            b"[a](b)",
            b"`work deck`",
            b"\n\n",
            b"&#x1F600;",
            b"<b>",
            b"\\",
            b"*",
            b"**",
            b"room 40",
            b"\xe2\x80\xae",
            b"    ",
        ],
        mend: |_, _| {},
        read: read_template,
    },
    Kind {
        name: "fonts",
        seeds: || FONT_NAMES.map(|(_, file)| fs::read(Path::new("fonts").join(file)).unwrap()).to_vec(),
        words: &[b"glyf", b"loca", b"cmap", b"GPOS", b"kern", b"CFF ", b"fvar", b"ttcf", b"wOFF", b"wOF2", b"OTTO"],
        mend: |_, _| {},
        read: read_font,
    },
    Kind {
        name: "png",
        seeds: pngs,
        words: &[
            b"IHDR", b"IDAT", b"PLTE", b"tRNS", b"eXIf", b"iCCP", b"zTXt", b"acTL", b"fdAT", b"IEND", b"gAMA", b"sBIT",
        ],
        mend: sum_chunks,
        read: read_picture,
    },
    Kind {
        name: "jpeg",
        seeds: jpegs,
        words: &[
            b"\xff\xd8",
            b"\xff\xd9",
            b"\xff\xda",
            b"\xff\xc0",
            b"\xff\xc2",
            b"\xff\xc4",
            b"\xff\xdb",
            b"\xff\xdd\0\x04\0\x01",
            b"\xff\xd0",
            b"\xff\xe1",
            b"\xff\xee\0\x0eAdobe",
            b"\xff\xff",
            b"Exif\0\0MM\0*",
            b"\xff\0",
        ],
        mend: |_, _| {},
        read: read_picture,
    },
    Kind {
        name: "returned",
        seeds: quotes,
        words: &[
            b"<<",
            b">>",
            b"[",
            b"]",
            b"(",
            b")",
            b" obj\n",
            b"endobj\n",
            b"stream\n",
            b"endstream",
            b"/Parent 1 0 R",
            b"/Kids",
            b"/Length 99999999",
            b"/Filter/FlateDecode",
            b"/DecodeParms<</Predictor 15/Columns 65535>>",
            b"/Type/ObjStm",
            b"/N 99999",
            b"/First 0",
            b"/W[1 2 2]",
            b"/Prev 10",
            b"xref\n",
            b"trailer",
            b"startxref",
            b"/Encrypt",
            b"/V",
            b"/AS/Off",
            b" 0 R",
            b"/Contents",
            b"/Annots",
            b"/Fields",
            b"[[[[[[[[[[[[[[[[",
            b"<</A<</A<</A<</A",
            b"/LZWDecode",
            b"/ASCII85Decode",
        ],
        mend: |_, _| {},
        read: read_returned,
    },
    Kind {
        name: "files",
        seeds: || FILES.map(|file| fs::read(file).unwrap()).to_vec(),
        words: &[
            b"\xef\xbb\xbf",
            b"\r",
            b"\r\n",
            b"\t",
            b"\0",
            b"\xff\xfe",
            b"\xc2\x85",
            b"\xe2\x80\xa8",
            b": ",
            b"- ",
            b"? ",
            b"&a ",
            b"*a",
            b"<<: ",
            b"{",
            b"}",
            b"[",
            b"]",
            b"!!binary ",
            b"!",
            b"|",
            b">",
            b"%YAML 9",
            b"---\n",
            b"...\n",
            b"\"",
            b"'",
            b"#",
            b"    ",
            b"[[[[[[[[[[[[[[[[",
            b"\\u0000",
        ],
        mend: |_, _| {},
        read: read_file,
    },
    Kind {
        name: "merchants-lists",
        seeds: merchants_lists,
        words: &[
            b"\xef\xbb\xbf", b"\r\n", b"\r", b"\n\n\n", b"\"", b"\"\"", b",", b";", b"\t", b"\0", b"\xa3", b"price", b"description",
            b"Code", b"inc VAT", b"1,234.50", b"-1", b"1e9", b"0.00", b"99999999999999999999", b"\xe2\x80\xae", b"2400 x 590 x 18 mm",
            b"450 g/m2", b"20 kg", b"box of 99999999999", b"x x x x", b"1.1.1.1",
        ],
        mend: |_, _| {},
        read: |desk, _, bytes| read_merchants(desk, bytes),
    },
    // The parts of a workbook, each changed and packed anew, and the whole as it is packed.
    Kind {
        name: "xlsx",
        seeds: || {
            let parts = list_parts();
            let whole = packed(&parts);
            parts.into_iter().map(|(_, bytes)| bytes).chain([whole]).collect()
        },
        words: &[
            b"<c r=\"A1\">", b"<c r=\"XFD1048576\" t=\"s\"><v>9</v></c>", b"<v>1e308</v>", b"<row r=\"1048576\">", b"</row>", b"<si><t>",
            b"t=\"inlineStr\"", b"t=\"e\"", b"t=\"b\"", b"&amp;", b"&#x202e;", b"&a;", b"<!DOCTYPE a [<!ENTITY a \"aaaa\">]>",
            b"<dimension ref=\"A1:XFD1048576\"/>", b"Target=\"/xl/../../x\"", b"r:id=\"rId9\"", b"xml:space=\"preserve\"", b"PK\x01\x02",
            b"PK\x03\x04", b"PK\x05\x06", b"<f>1+1</f>", b"<![CDATA[", b"<a><a><a><a>",
        ],
        mend: |_, _| {},
        read: |desk, seed, bytes| {
            let mut parts = list_parts();
            match parts.get_mut(seed) {
                Some((_, part)) => {
                    *part = bytes.to_vec();
                    read_merchants(desk, &packed(&parts))
                }
                None => read_merchants(desk, bytes),
            }
        },
    },
    Kind { name: "lists", seeds: lists, words: &CELLS, mend: |_, _| {}, read: read_list },
    Kind {
        name: "beside",
        seeds: || BESIDE.map(|(file, _)| fs::read(file).unwrap()).to_vec(),
        words: &[
            b"\xef\xbb\xbf", b"\r", b"\r\n", b"\t", b"\0", b": ", b"- ", b"? ", b"&a ", b"*a", b"{", b"}", b"[", b"]", b"!", b"|",
            b">", b"---\n", b"\"", b"'", b"#", b"    ", b"[[[[[[[[[[[[[[[[", b"99999999999999999999999999999", b"0001-01-01",
            b"9999-12-31", b"-", b" %", b" m", b" m2", b" h", b"none", b"~",
        ],
        mend: |_, _| {},
        read: read_beside,
    },
    Kind {
        name: "forms",
        seeds: forms,
        words: &[
            b"/V", b"(5.2 m)", b"(99999 m)", b"/Yes", b"/Off", b"/AS", b"/T", b"(Roof 1, side A: length)", b"/Kids[1 0 R]", b"/Parent 1 0 R",
            b"/FT/Tx", b"/FT/Btn", b"/FT/Ch", b"/Ff 131072", b"<<", b">>", b"[", b"]", b"(", b")", b"\\", b"<FEFF0041>", b"/Fields",
        ],
        mend: |_, _| {},
        read: read_form,
    },
];

/// What a table of a merchant may hold.
const CELLS: [&[u8]; 24] = [
    b",",
    b";",
    b"\t",
    b"\"",
    b"\"\"",
    b"\r",
    b"\r\n",
    b"\n",
    b"\xef\xbb\xbf",
    b"\xff",
    b"\xc2\xa3",
    b"1,234.50",
    b"99999999999999999999",
    b"-1",
    b"resin",
    b"mat.450",
    b"osb-18-tongued",
    b"code",
    b"price",
    b"description",
    b"2400 x 590 x 18 mm",
    b"\0",
    b"1e400",
    b"\xe2\x80\xae",
];

/// Reads the bytes of one such file; what came of it.
type ReadBeside = fn(&Desk, &[u8]) -> String;

/// Files of which each serves a job beside it, and an earlier job that a new one begins with.
const BESIDE: [(&str, ReadBeside); 4] = [
    ("jobs/patch-and-coat/stock.yaml", read_stock),
    ("jobs/kitchen-extension/record.yaml", read_record),
    ("jobs/kitchen-extension/found.yaml", read_found),
    ("jobs/dormer/job.yaml", read_earlier),
];

/// Lists of merchants, which say no roles.
const NEW_LISTS: [&str; 2] = [
    "Code,Description,Unit,Price,Weight\nA1,\"OSB3 18 mm tongue and groove 2400 x 590 mm\",board,£15.40,14 kg\n\
     A2,Polyester roofing resin 20 kg,tin,\"1,088.00\",21\nA3,Chopped strand mat 450 g 33 kg roll,roll,82.5,\nA4,Drip trim 3 m,each,9.60,2\n",
    "sku;item;pack;net price\n1;Catalyst 1 litre;bottle;11.20\n2;Topcoat dark grey 20 kg;tin;96\n3;Bandage 75 mm x 66 m;roll;7,10\n",
];

/// A workbook with what sheets have: words, numbers, words told apart from their sheet, a formula, nothing.
fn list_parts() -> Parts {
    let shared = "<row r=\"4\"><c r=\"A4\" t=\"s\"><v>1</v></c><c r=\"B4\"><f>2*3</f><v>6</v></c><c r=\"C4\" t=\"b\"><v>1</v></c></row>";
    let rows = [
        sheet_row(1, &["Code", "Description", "Pack", "Price"]),
        sheet_row(2, &["resin-laminating-20kg", "Laminating resin", "20 kg drum", "94.5"]),
        sheet_row(3, &["A-1", "Bandage 75 mm", "roll of 75 m", "14.2000001"]),
    ];
    parts_of(&[("List", rows.concat() + shared), ("Notes", String::new())])
}

/// Of the templates, those that make the quote, the order and the method statement.
const MADE: usize = 10;
/// Fonts, each by the name for its style and the file that it begins as.
const FONT_NAMES: [(&str, &str); 4] = [
    ("math.ttf", "NotoSansMath-Regular.ttf"),
    ("symbols.ttf", "NotoSansSymbols2-Regular.ttf"),
    ("symbols.ttf", "NotoSansMath-Regular.ttf"),
    ("regular.ttf", "NotoSans-Regular.ttf"),
];
const FILES: [&str; 3] = ["jobs/kitchen-extension/job.yaml", "jobs/firm.yaml", "jobs/prices.yaml"];

/// What reading goes by: the folder, and a job for the templates.
struct Desk<'a> {
    folder: &'a Path,
    demo: Demo,
    lists: Lists,
    /// Documents are written too, not only laid out.
    written: bool,
}

impl Desk<'_> {
    fn new(folder: &Path) -> Desk<'_> {
        fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
        fs::write(folder.join("prices.yaml"), LISTED).unwrap();
        let office = office(&Request { folder: "jobs/bay".into(), ..Request::default() }).unwrap();
        Desk { folder, demo: demo::work(&demo::request("dormer")), lists: Lists::of(&office), written: true }
    }
}

// ---- Seeds ---------------------------------------------------------------------------------------------------------

/// A slope of colours, a few pixels large.
fn slope(width: u32, height: u32, samples: usize) -> Vec<u8> {
    (0..width * height).flat_map(|n| (0..samples).map(move |s| (n * 5 + s as u32 * 60) as u8)).collect()
}

fn pngs() -> Vec<Vec<u8>> {
    use png::{BitDepth, ColorType};
    let kinds = [
        (ColorType::Rgb, BitDepth::Eight, 3),
        (ColorType::Rgba, BitDepth::Eight, 4),
        (ColorType::Grayscale, BitDepth::Sixteen, 2),
        (ColorType::Indexed, BitDepth::Eight, 1),
    ];
    let one = |(colour, depth, samples)| {
        let mut info = png::Info::with_size(24, 18);
        (info.color_type, info.bit_depth) = (colour, depth);
        info.palette = (colour == ColorType::Indexed).then(|| slope(256, 1, 3).into());
        info.trns = (colour == ColorType::Indexed).then(|| slope(256, 1, 1).into());
        info.exif_metadata = Some(photographs::tiff(6).into());
        let mut bytes = Vec::new();
        let mut writer = png::Encoder::with_info(&mut bytes, info).unwrap().write_header().unwrap();
        writer.write_image_data(&slope(24, 18, samples)).unwrap();
        writer.finish().unwrap();
        bytes
    };
    let mut all: Vec<Vec<u8>> = kinds.into_iter().map(one).collect();
    // Said to be interlaced: what it holds is then too little, and the reader finds out.
    let mut interlaced = all[0].clone();
    interlaced[28] = 1;
    all.push(interlaced);
    all.push(fs::read("jobs/logo.png").unwrap());
    all
}

fn jpegs() -> Vec<Vec<u8>> {
    let mut all = vec![
        photographs::encoded(&slope(48, 32, 3), 48, 32, ColorType::Rgb, 6),
        photographs::encoded(&slope(48, 32, 1), 48, 32, ColorType::Luma, 1),
    ];
    for (gradual, restarts) in [(true, None), (false, Some(2))] {
        let mut bytes = Vec::new();
        let mut encoder = Encoder::new(&mut bytes, 80);
        encoder.set_progressive(gradual);
        restarts.into_iter().for_each(|n| encoder.set_restart_interval(n));
        encoder.encode(&slope(40, 40, 3), 40, 40, ColorType::Rgb).unwrap();
        all.push(bytes);
    }
    all
}

/// The quote as it is issued, and as another program stores it.
fn quotes() -> Vec<Vec<u8>> {
    let ours = demo::work(&demo::request("dormer")).make(DocumentKind::Quote).remove(0).bytes;
    let mut plain = Pdf::load_mem(&ours).unwrap();
    plain.decompress();
    // Without its fonts and its colour profile, so that most changes meet what is read.
    let large: Vec<ObjectId> = plain.objects.iter().filter(|(_, o)| length(o) > 20_000).map(|(id, _)| *id).collect();
    for id in large {
        plain.objects.get_mut(&id).unwrap().as_stream_mut().unwrap().set_plain_content(b"small".to_vec());
    }
    let mut stored = Vec::new();
    plain.save_to(&mut stored).unwrap();
    vec![ours, stored]
}

/// A price book whose prices stand in a list, and the list as merchants save it.
const LISTED: &str = "\
merchant: {name: Coldharbour Roofing Supplies (invented), delivery: 45.00}
dated: 2026-11-02
list: {file: list.csv, role: Use, holds: Content}
articles:
  - {role: resin, code: R20, description: Resin, pack: tin, holds: 20 kg, mass: 21 kg}
  - {role: catalyst, code: C1, description: Catalyst, pack: bottle, holds: 1000 ml, mass: 1.2 kg}
";

fn lists() -> Vec<Vec<u8>> {
    let plain = "code,description,pack,Content,price,Use\nR20,\"Resin, 20 kg\",tin,20 kg,£88.00,\nC1,Catalyst,bottle,,\"1,011.20\",\n\
                 Z1,Vent,each,1,2.50,own.vent\nZ2,Cowl,each,1,7.50,own.cowl\n";
    let saved = format!("\u{feff}{}", plain.replace(',', ";").replace('\n', "\r\n"));
    let tabbed = plain.replace("\"Resin, 20 kg\"", "Resin").replace("\"1,011.20\"", "11.20").replace(',', "\t");
    [plain.to_owned(), saved, tabbed].map(String::into_bytes).to_vec()
}

/// The demo's list, one with odd rows, and lists from which a price book is begun.
fn merchants_lists() -> Vec<Vec<u8>> {
    let demo = fs::read("jobs/december.csv").unwrap();
    [vec![demo, LIST.as_bytes().to_vec()], NEW_LISTS.map(|list| list.as_bytes().to_vec()).to_vec()].concat()
}

/// A survey form with an answer in every field, without fonts, so that most changes meet what is read.
fn forms() -> Vec<Vec<u8>> {
    let office = office(&Request { folder: "jobs/bay".into(), ..Request::default() }).unwrap();
    let paper = wetout::survey::document(&Lists::of(&office), None, 1, time::macros::date!(2026 - 11 - 25));
    let mut form = Pdf::load_mem(&print(&paper).unwrap()).unwrap();
    form.decompress();
    for object in form.objects.values_mut() {
        match object {
            Object::Stream(stream) if stream.content.len() > 2000 => stream.set_plain_content(b"q Q".to_vec()),
            Object::Dictionary(field) if field.has(b"T") => field.set("V", Object::string_literal("5.2 m")),
            _ => {}
        }
    }
    let mut stored = Vec::new();
    form.save_to(&mut stored).unwrap();
    vec![stored]
}

fn length(object: &Object) -> usize {
    object.as_stream().map_or(0, |stream| stream.content.len())
}

// ---- Changes -------------------------------------------------------------------------------------------------------

/// Changes bytes in one place.
fn change(bytes: &mut Vec<u8>, others: &[Vec<u8>], words: &[&[u8]], chance: &mut Chance) {
    let at = chance.below(bytes.len() + 1);
    let length = match chance.below(4) {
        0 => 1 + chance.below(4),
        1 => 1 + chance.below(40),
        2 => 1 + chance.below(600),
        _ => 1 + chance.below(bytes.len() + 1),
    };
    let end = (at + length).min(bytes.len());
    match chance.below(12) {
        0 | 1 if at < bytes.len() => bytes[at] ^= 1 << chance.below(8),
        2 if at < bytes.len() => bytes[at] = *chance.pick(&[0, 1, 2, 0x7f, 0x80, 0xfe, 0xff, b'0', b'9', b' ', b'\n']),
        // A number of two or four bytes that is small, large or just past some border.
        3 | 4 => {
            let number: u32 =
                *chance.pick(&[0, 1, 2, 16, 255, 256, 0x7fff, 0x8000, 0xffff, 0x1_0000, 0x7fff_ffff, u32::MAX]);
            let four = if chance.below(2) == 0 { number.to_be_bytes() } else { number.to_le_bytes() };
            let part = if chance.below(2) == 0 { &four[..] } else { &four[2..] };
            let room = bytes.len().saturating_sub(at).min(part.len());
            bytes[at..at + room].copy_from_slice(&part[..room]);
        }
        5 => drop(bytes.drain(at..end)),
        6 => {
            let part = bytes[at..end].to_vec();
            let times = *chance.pick(&[1, 1, 2, 20, 300]);
            let room = (LONGEST - bytes.len().min(LONGEST)) / part.len().max(1);
            bytes.splice(at..at, part.repeat(times.min(room)));
        }
        7 => {
            let other = chance.pick(others);
            let from = chance.below(other.len() + 1);
            let part = other[from..(from + length).min(other.len())].to_vec();
            let over = if chance.below(2) == 0 { at..end } else { at..at };
            bytes.splice(over, part);
        }
        8 | 9 => {
            let word = chance.pick(words).to_vec();
            let times = *chance.pick(&[1, 1, 1, 1, 50, 4000]);
            let over = if chance.below(2) == 0 { at..(at + word.len()).min(bytes.len()) } else { at..at };
            bytes.splice(over, word.repeat(times));
        }
        10 => bytes.truncate(at),
        // A figure for another, where figures are written out.
        _ => {
            let figures: Vec<usize> = (0..bytes.len()).filter(|n| bytes[*n].is_ascii_digit()).collect();
            if !figures.is_empty() {
                let at = *chance.pick(&figures);
                bytes[at] = b'0' + chance.below(10) as u8;
            }
        }
    }
    bytes.truncate(LONGEST);
}

/// The sums of a PNG's chunks as they should be (PNG, third edition, annex D), most of the time.
fn sum_chunks(bytes: &mut [u8], chance: &mut Chance) {
    if chance.below(4) == 0 {
        return;
    }
    let mut at = 8;
    while let Some(head) = bytes.get(at..at + 8) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let end = at + 8 + length;
        if end + 4 > bytes.len() {
            return;
        }
        let mut sum = u32::MAX;
        for &byte in &bytes[at + 4..end] {
            sum ^= u32::from(byte);
            (0..8).for_each(|_| sum = (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg()));
        }
        bytes[end..end + 4].copy_from_slice(&(!sum).to_be_bytes());
        at = end + 4;
    }
}

/// A PDF with one of its objects in the place of another, or with bytes of a stream changed, stored anew: what no change of
/// bytes reaches behind the packing.
fn change_objects(bytes: &[u8], words: &[&[u8]], chance: &mut Chance) -> Option<Vec<u8>> {
    let mut pdf = wetout::pages::border::reading(|| Pdf::load_mem(bytes).ok()).flatten()?;
    for _ in 0..=chance.below(3) {
        let ids: Vec<ObjectId> = pdf.objects.keys().copied().collect();
        if ids.is_empty() {
            return None;
        }
        let (one, other) = (*chance.pick(&ids), *chance.pick(&ids));
        let taken = pdf.objects[&other].clone();
        let object = pdf.objects.get_mut(&one)?;
        match (chance.below(5), object) {
            (0, object) => *object = taken,
            (1, object) => *object = Object::Reference(other),
            (_, Object::Stream(stream)) => {
                let mut plain = stream.get_plain_content_with_limit(200_000).ok()?;
                change(&mut plain, &[b"q 1 0 0 1 0 0 cm /F1 Tf Q".to_vec()], words, chance);
                stream.set_plain_content(plain);
            }
            (n, Object::Dictionary(dictionary)) => {
                let keys: Vec<Vec<u8>> = dictionary.iter().map(|(key, _)| key.clone()).collect();
                if keys.is_empty() {
                    continue;
                }
                let value = match n {
                    2 => Object::Reference(other),
                    3 => Object::Array(vec![Object::Reference(one); 3]),
                    _ => Object::Integer(i64::MAX),
                };
                dictionary.set(chance.pick(&keys).clone(), value);
            }
            (_, object) => *object = Object::Array(vec![taken, Object::Null, Object::Reference(one)]),
        }
    }
    let mut stored = Vec::new();
    wetout::pages::border::reading(|| pdf.save_to(&mut stored).is_ok())?;
    Some(stored)
}

// ---- Reading -------------------------------------------------------------------------------------------------------

/// What problems say, without their figures; each must have its place and its cure.
fn said(problems: &[Problem], sources: &Sources) -> String {
    for problem in problems {
        assert!(!problem.fault.is_empty() && !problem.cure.is_empty(), "{problem:?}");
        let shown = render(std::slice::from_ref(problem), sources, false);
        assert!(shown.contains("--> ") && shown.contains("= help: "), "{shown}");
    }
    let faults: BTreeSet<String> = problems.iter().map(|p| plain(&p.fault)).collect();
    faults.into_iter().collect::<Vec<_>>().join("; ")
}

/// Words without figures and without what stands in quotation marks.
fn plain(words: &str) -> String {
    let outside: Vec<&str> = words.split('`').step_by(2).collect();
    outside.join("_").chars().filter(|c| c.is_ascii_alphabetic() || matches!(c, ' ' | '_')).take(120).collect()
}

fn sources_of(desk: &Desk, own: Vec<SourceText>) -> Sources {
    Sources { own, ..desk.demo.loaded.sources.clone() }
}

fn read_template(desk: &mut Desk, seed: usize, bytes: &[u8]) -> String {
    let name = TEMPLATES[seed].0;
    // As `cli::own` takes it.
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n").replace('\r', "\n");
    let kind = match name {
        "order.md" => DocumentKind::Order,
        name if name.starts_with("method") => DocumentKind::Method,
        _ => DocumentKind::Quote,
    };
    let own = Overrides { templates: vec![(name.into(), text.clone())], ..Overrides::default() };
    let worked = desk.demo.worked();
    let done = match desk.written {
        true => make(kind, &worked, &own).map(|made| format!("made {name} {}", made[0].bytes.len() / 4096)),
        false => check(&[kind], &worked, &own, []).remove(0).map(|untold| format!("laid {name} {}", untold.len())),
    };
    match done {
        Ok(outcome) => outcome,
        Err(problems) => said(&problems, &sources_of(desk, vec![SourceText::new(name.into(), text)])),
    }
}

fn read_font(desk: &mut Desk, seed: usize, bytes: &[u8]) -> String {
    let name = FONT_NAMES[seed].0;
    match fonts(&[FontFile { name: name.into(), bytes: bytes.to_vec() }], 0) {
        Ok(own) => {
            let all: String = (' '..'~').chain(NEEDED.chars()).collect();
            let blocks = vec![Block::Paragraph(vec![Span::plain(all.clone()), Span::bold(all)])];
            let document = Document { blocks, ..photographs::document(Vec::new()) };
            if desk.written {
                let made = print_in(own, &document);
                return format!("{name} set {} {}", own.for_fields().bytes.len() / 512, made.unwrap().len() / 2048);
            }
            format!("{name} laid on {}", fitting::lay_out_in(own, &document).unwrap().pages.len())
        }
        Err(problems) => said(&problems, &sources_of(desk, vec![SourceText::new(name.into(), String::new())])),
    }
}

fn read_picture(desk: &mut Desk, _: usize, bytes: &[u8]) -> String {
    let document = photographs::document(bytes.to_vec());
    let done = match desk.written {
        true => print(&document).map(|made| format!("shown {}", made.len() / 256)),
        false => fitting::lay_out(&document).map(|paper| format!("laid on {}", paper.pages.len())),
    };
    match done {
        Ok(outcome) => outcome,
        Err(problems) => said(&problems, &sources_of(desk, Vec::new())),
    }
}

fn read_returned(_: &mut Desk, _: usize, bytes: &[u8]) -> String {
    match returned::read(bytes) {
        Ok(read) => {
            let notes: usize = read.pages.iter().map(|page| page.notes.len()).sum();
            format!("{} pages, {} fields, {notes} notes", read.pages.len(), read.fields.len())
        }
        Err((fault, cure)) => {
            assert!(!fault.is_empty() && !cure.is_empty(), "{fault}; {cure}");
            plain(&fault)
        }
    }
}

/// A merchant's list, put beside the demo's price book and made one.
fn read_merchants(_: &mut Desk, bytes: &[u8]) -> String {
    let known = KnownHeadings::new();
    let list = match ListFile::of(bytes).and_then(|file| file.rows(&known)) {
        Ok(ListReading::Read(list)) => list,
        Ok(ListReading::Open(open)) => return format!("open {} {}", open.key, open.headings.len().min(3)),
        Err((fault, cure)) => {
            assert!(!fault.is_empty() && !cure.is_empty(), "`{fault}`; `{cure}`");
            return plain(&fault);
        }
    };
    static ARTICLES: OnceLock<Vec<BookArticle>> = OnceLock::new();
    let articles = ARTICLES.get_or_init(|| {
        let book = load_book(Path::new("jobs/prices.yaml")).unwrap();
        let known = |a: WrittenArticle| BookArticle {
            role: a.role,
            code: a.code,
            description: a.description,
            pack: a.pack,
            holds: a.holds,
        };
        written_articles(&book.source).into_iter().map(known).collect()
    });
    let found = beside_book(&list.rows, articles, &Default::default());
    let made = matched(&list, &Default::default());
    assert!(found.priced.len() + found.gone.len() == articles.len());
    assert!(made.sure + made.unsure.len() == list.rows.len());
    format!("read {} {} {}", list.headings.len(), found.priced.len() / 20, found.unsure.len().min(5))
}

fn read_file(desk: &mut Desk, seed: usize, bytes: &[u8]) -> String {
    let files: Vec<Vec<u8>> =
        (0..FILES.len()).map(|n| if n == seed { bytes.to_vec() } else { fs::read(FILES[n]).unwrap() }).collect();
    let place = |n: usize| desk.folder.join(["job.yaml", "firm.yaml", "prices.yaml"][n]);
    (1..FILES.len()).for_each(|n| fs::write(place(n), &files[n]).unwrap());
    let request = Request {
        name: "job.yaml".into(),
        bytes: files[0].clone(),
        folder: desk.folder.into(),
        firm: Some(place(1)),
        prices: vec![place(2)],
        ..Request::default()
    };
    match load(&request) {
        Ok(loaded) => format!("read {}", said(&loaded.notices, &loaded.sources)),
        Err(failure) => said(&failure.problems, &failure.sources),
    }
}

/// A list beside its price book, for a job of the most plain kind.
fn read_list(desk: &mut Desk, _: usize, bytes: &[u8]) -> String {
    fs::write(desk.folder.join("list.csv"), bytes).unwrap();
    let mut files = Request { prices: vec![desk.folder.join("prices.yaml")], ..Request::default() };
    files.folder = "tests/bad_jobs/nowhere".into();
    files.firm = Some("jobs/firm.yaml".into());
    if desk.written {
        let asks = "order_lines:\n  - {item: vent, article: own.vent, count: 1}\n";
        files = Request { name: "job.yaml".into(), bytes: lean_to("", "", asks).into_bytes(), ..files };
        return match load(&files) {
            Ok(loaded) => format!("read {}", said(&loaded.notices, &loaded.sources)),
            Err(failure) => said(&failure.problems, &failure.sources),
        };
    }
    files.firm = None;
    match office(&files) {
        Ok(office) => format!("{} articles", office.books.iter().map(|book| book.articles.len()).sum::<usize>()),
        Err(failure) => said(&failure.problems, &failure.sources),
    }
}

fn read_beside(desk: &mut Desk, seed: usize, bytes: &[u8]) -> String {
    BESIDE[seed].1(desk, bytes)
}

fn read_stock(desk: &Desk, bytes: &[u8]) -> String {
    let path = desk.folder.join("stock.yaml");
    fs::write(&path, bytes).unwrap();
    match load_stock(&path) {
        Ok(_) => "a stock list".into(),
        Err(failure) => said(&failure.problems, &failure.sources),
    }
}

fn read_record(desk: &Desk, bytes: &[u8]) -> String {
    let path = desk.folder.join("record.yaml");
    fs::write(&path, bytes).unwrap();
    match load_record(&path) {
        Ok(_) => "a record".into(),
        Err(failure) => said(&failure.problems, &failure.sources),
    }
}

fn read_found(_: &Desk, bytes: &[u8]) -> String {
    match load_found("found.yaml".into(), bytes) {
        Ok(_) => "found".into(),
        Err(failure) => said(&failure.problems, &failure.sources),
    }
}

/// As `wetout new FOLDER --from JOB` takes it.
fn read_earlier(desk: &Desk, bytes: &[u8]) -> String {
    let Ok(text) = std::str::from_utf8(bytes) else { return "no text".into() };
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    match wetout::survey::anew::anew(&text, &SurveyAnswers::default(), &desk.lists) {
        Ok(draft) => format!("begun with {} gaps", draft.gaps.len()),
        Err((fault, cure)) => {
            assert!(!fault.is_empty() && !cure.is_empty(), "{fault}; {cure}");
            plain(&fault)
        }
    }
}

fn read_form(desk: &mut Desk, _: usize, bytes: &[u8]) -> String {
    match wetout::survey::read(bytes) {
        Ok((answers, roofs)) => {
            let gaps =
                if desk.written { wetout::survey::job_text(&answers, roofs, &desk.lists, &[]).gaps.len() } else { 0 };
            format!("{roofs} roofs, {} answers, {gaps} gaps", answers.said.len())
        }
        Err((fault, cure)) => {
            assert!(!fault.is_empty() && !cure.is_empty(), "{fault}; {cure}");
            plain(&fault)
        }
    }
}

// ---- The judge -----------------------------------------------------------------------------------------------------

/// What this process has worked.
fn worked() -> Duration {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    Duration::new(now.tv_sec.try_into().unwrap(), now.tv_nsec.try_into().unwrap())
}

/// A line of what the system says of this process, in kB; 0 where it does not say.
fn memory(line: &str) -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|found| found.strip_prefix(line));
    line.and_then(|l| l.split_whitespace().next()?.parse().ok()).unwrap_or(0)
}

/// Counts the most that this process has held from here on (proc(5), clear_refs); gives what it holds now, in kB.
fn memory_from_now() -> u64 {
    let _ = fs::write("/proc/self/clear_refs", "5");
    memory("VmRSS:")
}

/// Reads the bytes; what came of it, and how long this process worked.
fn timed(kind: &Kind, desk: &mut Desk, seed: usize, bytes: &[u8]) -> (String, Duration) {
    let begun = worked();
    BEGAN.store(begun.as_millis().max(1) as u64, Ordering::Relaxed);
    let outcome = (kind.read)(desk, seed, bytes);
    BEGAN.store(0, Ordering::Relaxed);
    (outcome, worked() - begun)
}

/// When the execution that runs began, in ms of work of this process; 0 while none runs.
static BEGAN: AtomicU64 = AtomicU64::new(0);

/// Ends the process where an execution does not end.
fn watch() {
    loop {
        std::thread::sleep(Duration::from_millis(100));
        let began = BEGAN.load(Ordering::Relaxed);
        if began > 0 && worked().saturating_sub(Duration::from_millis(began)) > 3 * MOST_WORK {
            println!("an execution does not end");
            std::process::exit(9);
        }
    }
}

#[test]
#[ignore = "the work of the test below, in a process of its own"]
fn a_worker() {
    let Ok(folder) = std::env::var("WETOUT_FUZZ_FOLDER") else { return };
    let folder = Path::new(&folder);
    let name = std::env::var("WETOUT_FUZZ_KIND").unwrap();
    let kind = KINDS.iter().find(|kind| kind.name == name).unwrap();
    let limit = Duration::from_millis(number_of("WETOUT_FUZZ_MS", 3000));
    let mut chance = Chance(number_of("WETOUT_FUZZ_SEED", 20_261_127));
    let mut desk = Desk::new(folder);
    let seeds = (kind.seeds)();
    let mut corpus: Vec<(usize, Vec<u8>)> = seeds.iter().cloned().enumerate().collect();
    let mut outcomes = BTreeSet::new();
    for (n, seed) in seeds.iter().enumerate() {
        outcomes.insert((kind.read)(&mut desk, n, seed));
    }
    let mut held = memory_from_now();
    std::thread::spawn(watch);
    let (mut runs, mut longest, mut most) = (0_u64, Duration::ZERO, 0);
    let whole = worked();
    while worked() - whole < limit && held < FULL {
        let (seed, mut bytes) = chance.pick(&corpus).clone();
        if matches!(kind.name, "returned" | "forms") && chance.below(3) == 0 {
            bytes = change_objects(&bytes, kind.words, &mut chance).unwrap_or(bytes);
        } else {
            (0..=chance.below(5)).for_each(|_| change(&mut bytes, &seeds, kind.words, &mut chance));
        }
        (kind.mend)(&mut bytes, &mut chance);
        fs::write(folder.join("bytes"), &bytes).unwrap();
        fs::write(folder.join("seed"), seed.to_string()).unwrap();
        desk.written = runs.is_multiple_of(WRITTEN_EACH);
        let (outcome, spent) = timed(kind, &mut desk, seed, &bytes);
        let mut taken = memory("VmHWM:").saturating_sub(held);
        // What went before has its part in it: counted once more, for this one alone.
        if taken > MOST_MEMORY / 4 {
            held = memory_from_now();
            timed(kind, &mut desk, seed, &bytes);
            taken = memory("VmHWM:").saturating_sub(held);
            held = memory_from_now();
        }
        (longest, most, runs) = (longest.max(spent), most.max(taken), runs + 1);
        assert!(spent < MOST_WORK, "run {runs} took {spent:?}");
        assert!(taken < MOST_MEMORY, "run {runs} took {taken} kB");
        if outcomes.len() < MOST_OUTCOMES && outcomes.insert(outcome) {
            corpus.push((seed, bytes));
        }
    }
    println!("WORKED {runs} {} {} {longest:?} {most}", (worked() - whole).as_millis(), outcomes.len());
}

/// What the workers of a kind came to.
#[derive(Default)]
struct Tally {
    runs: u64,
    millis: u64,
    outcomes: u64,
    longest: String,
    most: u64,
}

/// Works one kind for so long; what it came to, or where the bytes of the execution stand that failed, and what was said.
fn work(kind: &Kind, millis: u64, seed: u64) -> Result<Tally, String> {
    let mut tally = Tally::default();
    while tally.millis < millis {
        let folder = scratch(&format!("fuzz-bytes-{}", kind.name));
        let mut worker = Command::new(std::env::current_exe().unwrap());
        worker.args(["fuzz_bytes::a_worker", "--exact", "--ignored", "--nocapture"]);
        worker.env("WETOUT_FUZZ_FOLDER", &folder).env("WETOUT_FUZZ_KIND", kind.name);
        // Not too long each, so that the next one begins with other chances.
        worker.env("WETOUT_FUZZ_MS", (millis - tally.millis).min(30_000).to_string());
        worker.env("WETOUT_FUZZ_SEED", (seed + tally.runs).to_string());
        let output = worker.stdin(Stdio::null()).output().unwrap();
        let told = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
        let line = told.lines().find_map(|line| line.split_once("WORKED ")).map(|(_, rest)| rest.to_owned());
        let Some(line) = line.filter(|_| output.status.success()) else {
            return Err(format!("{}: the bytes stand in {} ({}):\n{told}", kind.name, folder.display(), output.status));
        };
        let words: Vec<&str> = line.split(' ').collect();
        let number = |n: usize| words[n].parse::<u64>().unwrap();
        tally.runs += number(0);
        tally.millis += number(1).max(1);
        tally.outcomes = tally.outcomes.max(number(2));
        tally.most = tally.most.max(number(4));
        tally.longest = words[3].to_owned();
    }
    Ok(tally)
}

#[test]
fn no_bytes_break_the_program() {
    let seconds = number_of("WETOUT_FUZZ_SECONDS", USUAL_SECONDS);
    let seed = number_of("WETOUT_FUZZ_SEED", 20_261_127);
    let only = std::env::var("WETOUT_FUZZ_KIND").ok();
    let kinds: Vec<&Kind> = KINDS.iter().filter(|kind| only.as_ref().is_none_or(|name| name == kind.name)).collect();
    let mut failed = Vec::new();
    for kind in &kinds {
        match work(kind, seconds * 1000 / kinds.len() as u64, seed) {
            Ok(Tally { runs, millis, outcomes, longest, most }) => println!(
                "{}: {runs} runs in {millis} ms of work, {outcomes} outcomes; the longest of the last took {longest}; {most} kB at most",
                kind.name
            ),
            Err(said) => failed.push(said),
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n\n"));
}

/// The bytes of an execution that failed, once more: `WETOUT_FUZZ_BYTES=FOLDER WETOUT_FUZZ_KIND=png`.
#[test]
#[ignore = "for whoever looks for a fault"]
fn once_more() {
    let Ok(folder) = std::env::var("WETOUT_FUZZ_BYTES") else { return };
    let folder = Path::new(&folder);
    let name = std::env::var("WETOUT_FUZZ_KIND").unwrap();
    let kind = KINDS.iter().find(|kind| kind.name == name).unwrap();
    let seed = fs::read_to_string(folder.join("seed")).unwrap().parse().unwrap();
    let place = scratch("fuzz-once-more");
    let mut desk = Desk::new(&place);
    let begun = worked();
    println!("{} in {:?}", (kind.read)(&mut desk, seed, &fs::read(folder.join("bytes")).unwrap()), worked() - begun);
}
