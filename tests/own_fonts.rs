//! The firm's own fonts: found by their names, looked at before anything is written, and used in every document.

use crate::demo;
use crate::templates::firm_folder;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use wetout::documents::{DocumentKind, Overrides, describe, make};
use wetout::model::Problem;
use wetout::model::problem::Source;
use wetout::pages::border::reading;
use wetout::pages::fonts::{FACES, Face, Style};
use wetout::pages::own_fonts::{FontFile, NEEDED, fonts};

fn bundled(name: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts").join(name)).unwrap()
}

fn file(name: &str, bytes: Vec<u8>) -> FontFile {
    FontFile { name: name.into(), bytes }
}

fn faults(files: &[FontFile]) -> Vec<Problem> {
    fonts(files, 3).unwrap_err()
}

/// Place and length of a table in a font file (OpenType 1.9, table directory).
fn table(font: &[u8], tag: &[u8]) -> (usize, usize, usize) {
    let count = usize::from(u16::from_be_bytes([font[4], font[5]]));
    let entry = (0..count).map(|n| 12 + n * 16).find(|&at| &font[at..at + 4] == tag).unwrap();
    let number = |at: usize| u32::from_be_bytes(font[at..at + 4].try_into().unwrap()) as usize;
    (entry, number(entry + 8), number(entry + 12))
}

/// The bundled italic with another tag in place of one of its tables'.
fn renamed(tag: &[u8], other: &[u8]) -> Vec<u8> {
    let mut font = bundled("NotoSans-Italic.ttf");
    let (entry, ..) = table(&font, tag);
    font[entry..entry + 4].copy_from_slice(other);
    font
}

/// The bundled italic with other embedding rights.
fn with_rights(rights: u16) -> Vec<u8> {
    let mut font = bundled("NotoSans-Italic.ttf");
    let (_, at, _) = table(&font, b"OS/2");
    font[at + 8..at + 10].copy_from_slice(&rights.to_be_bytes());
    font
}

#[test]
fn a_font_is_taken_for_the_style_that_its_name_ends_in() {
    let italic = || bundled("NotoSans-Italic.ttf");
    for (name, face) in [
        ("regular.ttf", Face::Regular),
        ("Some Sans Regular.TTF", Face::Regular),
        ("bold.ttf", Face::Bold),
        ("SomeSans-Bold.ttf", Face::Bold),
        ("italic.ttf", Face::Italic),
        ("some_sans_italic.ttf", Face::Italic),
    ] {
        let found = fonts(&[file(name, italic())], 0).unwrap();
        let own: Vec<Face> = FACES.into_iter().filter(|&face| found.is_own(face)).collect();
        assert_eq!(own, [face], "{name}");
    }
    for name in
        ["SomeSans-BoldItalic.ttf", "SomeSans-Light.ttf", "SomeSans-LightItalic.ttf", "SomeSans-ExtraBold.ttf", "a.ttf"]
    {
        let said = faults(&[file(name, italic())]);
        assert!(said[0].fault.contains("does not say which style") && said[0].cure.contains("regular.ttf"), "{said:?}");
    }
}

#[test]
fn text_is_set_in_the_firms_own_font() {
    let own = fonts(&[file("regular.ttf", bundled("NotoSans-Italic.ttf"))], 0).unwrap();
    let built_in = wetout::pages::fonts::Fonts::default();
    let regular = own.glyph(Style::default(), 'a').unwrap();
    assert_eq!(regular.face, Face::Regular);
    assert_eq!(regular.advance, built_in.glyph(Style { italic: true, bold: false }, 'a').unwrap().advance);
    assert_ne!(regular.advance, built_in.glyph(Style::default(), 'a').unwrap().advance);
}

#[test]
fn every_fault_of_every_font_is_told_at_once_each_in_its_file() {
    let problems = faults(&[
        file("regular.ttf", b"not a font at all".to_vec()),
        file("bold.ttf", renamed(b"glyf", b"CFF ")),
        file("italic.ttf", renamed(b"GSUB", b"fvar")),
        file("nothing.ttf", Vec::new()),
        file("math.ttf", bundled("NotoSans-Bold.ttf")[..2000].to_vec()),
        file("symbols.ttf", with_rights(0x0002)),
    ]);
    let said: Vec<(Source, &str)> = problems.iter().map(|p| (p.source, p.fault.as_str())).collect();
    assert_eq!(
        said,
        [
            (Source::Own(3), "the font `regular.ttf` is no font, or is broken"),
            (Source::Own(4), "the font `bold.ttf` has no TrueType outlines, and PDFs of this kind need them"),
            (Source::Own(5), "the font `italic.ttf` is a variable font: one file for many weights"),
            (Source::Own(6), "the name of the font `nothing.ttf` does not say which style it is for"),
            (Source::Own(7), "the font `math.ttf` is no font, or is broken"),
            (Source::Own(8), "the font `symbols.ttf` says that it may not be put into documents, or not in part"),
        ]
    );
}

#[test]
fn rights_that_allow_embedding_are_enough_and_those_that_forbid_cutting_down_are_not() {
    for rights in [0x0000, 0x0004, 0x0008, 0x0006] {
        assert!(fonts(&[file("regular.ttf", with_rights(rights))], 0).is_ok(), "{rights:#x}");
    }
    for rights in [0x0002, 0x0102, 0x0100, 0x0108] {
        assert!(fonts(&[file("regular.ttf", with_rights(rights))], 0).is_err(), "{rights:#x}");
    }
}

#[test]
fn two_fonts_for_one_style_are_refused() {
    let both = [file("A-Bold.ttf", bundled("NotoSans-Bold.ttf")), file("bold.ttf", bundled("NotoSans-Bold.ttf"))];
    assert_eq!(faults(&both)[0].fault, "`A-Bold.ttf` and `bold.ttf` are both for bold text");
}

#[test]
fn a_font_that_lacks_what_the_documents_need_is_told_with_the_characters() {
    let problems = faults(&[file("regular.ttf", bundled("NotoSansSymbols2-Regular.ttf"))]);
    let fault = &problems[0].fault;
    assert!(fault.starts_with("the font `regular.ttf` lacks ") && fault.contains("“!” (U+0021)"), "{fault}");
    assert!(fault.contains(" more"), "a long list is cut: {fault}");
    let problems = faults(&[file("symbols.ttf", bundled("NotoSans-Bold.ttf"))]);
    assert!(problems[0].fault.contains("“☐” (U+2610)"), "{problems:?}");
}

#[test]
fn a_broken_font_never_stops_the_program() {
    let whole = bundled("NotoSansSymbols2-Regular.ttf");
    let mut state = 7_u64;
    for _ in 0..120 {
        let mut font = whole.clone();
        for _ in 0..12 {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let at = (state >> 33) as usize % font.len();
            font[at] ^= (state >> 20) as u8;
        }
        let _ = fonts(&[file("symbols.ttf", font)], 0);
    }
}

/// Every character that a demo document prints beyond ASCII stands in the list of what an own font must have, except those
/// that the job or the firm typed.
#[test]
fn the_list_of_needed_characters_is_what_the_documents_print() {
    for name in demo::names() {
        let demo = demo::work(&demo::request(&name));
        for kind in demo::KINDS {
            let told = describe(kind, &demo.worked(), &Overrides::default()).unwrap();
            let typed = format!("{}{}", demo.loaded.sources.job.text, demo.loaded.sources.firm.as_ref().unwrap().text);
            let strange: Vec<char> =
                told.chars().filter(|c| !c.is_ascii() && !NEEDED.contains(*c) && !typed.contains(*c)).collect();
            assert!(strange.is_empty(), "{name} {kind:?} prints {strange:?}");
        }
    }
}

fn with_fonts(name: &str, files: &[(&str, Vec<u8>)]) -> PathBuf {
    let folder = firm_folder(name);
    fs::create_dir(folder.join("fonts")).unwrap();
    fs::write(folder.join("fonts/OFL.txt"), "a licence is no font and is left alone").unwrap();
    files.iter().for_each(|(name, bytes)| fs::write(folder.join("fonts").join(name), bytes).unwrap());
    folder
}

fn run(folder: &Path, command: &str) -> (Option<i32>, String) {
    let mut wetout = Command::new(env!("CARGO_BIN_EXE_wetout"));
    let done = wetout.args([command, folder.join("job.yaml").to_str().unwrap()]).output().unwrap();
    (done.status.code(), String::from_utf8(done.stderr).unwrap())
}

#[test]
fn fonts_next_to_the_firm_file_are_used_in_every_document() {
    // The bundled bold under another name of its own, so that it can be told from the built-in one.
    let bold = bundled("NotoSans-Bold.ttf");
    let folder = with_fonts("own-fonts", &[("regular.ttf", bold)]);
    let (code, said) = run(&folder, "make");
    assert_eq!(code, Some(0), "{said}");
    for name in ["quote.pdf", "order.pdf", "method.pdf"] {
        let pdf = lopdf::Document::load(folder.join("out").join(name)).unwrap();
        let names: Vec<String> = pdf
            .objects
            .values()
            .filter_map(|object| object.as_dict().ok()?.get(b"BaseFont").ok()?.as_name().ok())
            .map(|name| String::from_utf8_lossy(name).into_owned())
            .collect();
        assert!(names.iter().any(|name| name.ends_with("+NotoSans-Bold")), "{names:?}");
        assert!(!names.iter().any(|name| name.ends_with("+NotoSans-Regular")), "{name}: {names:?}");
    }
}

/// The plan in the foot of a quote's first page is as large as the page leaves room for in the type that it is set in: in a bold one
/// the words beside it go over more lines, and it stands beside none of them.
#[test]
fn page_one_is_measured_in_the_firms_own_type() {
    let skew = fs::read_to_string("tests/jobs_for_sweep/skew.yaml").unwrap();
    let job = demo::work(&crate::support::asked(&skew));
    let own = Overrides { fonts: vec![file("regular.ttf", bundled("NotoSans-Bold.ttf"))], ..Overrides::default() };
    let told = describe(DocumentKind::Quote, &job.worked(), &own).unwrap();
    let (one, after) = told.split_once("page 2 of").unwrap();
    let plan = one.lines().find(|line| line.contains("Plan of Skew porch")).unwrap();
    let wide: f64 = plan.split(" × ").next().unwrap().split_whitespace().last().unwrap().parse().unwrap();
    // 2.0 m at 1:25 are 226.8 pt, and at 1:50 half of that.
    assert!(wide > 226.7, "{plan}");
    assert!(after.lines().take(8).any(|line| line.ends_with("What we will do")), "{}", &after[..400]);
}

#[test]
fn a_font_that_cannot_be_used_is_told_in_its_file_before_anything_is_written() {
    let folder =
        with_fonts("no-fonts", &[("bold.ttf", b"no font".to_vec()), ("italic.ttf", renamed(b"glyf", b"CFF "))]);
    for command in ["make", "check"] {
        let (code, said) = run(&folder, command);
        assert_eq!(code, Some(1), "{said}");
        for (file, fault) in [("bold.ttf", "is no font, or is broken"), ("italic.ttf", "has no TrueType outlines")] {
            assert!(said.contains(&format!("fonts/{file}")) && said.contains(fault), "{said}");
        }
        assert!(!folder.join("out").exists());
    }
}

#[test]
fn a_character_that_an_own_font_lacks_is_a_problem_that_names_it() {
    let demo = {
        let mut demo = demo::work(&demo::request("dormer"));
        demo.loaded.job.title = "Roof 漢".into();
        demo
    };
    let own = Overrides { fonts: vec![file("regular.ttf", bundled("NotoSans-Italic.ttf"))], ..Overrides::default() };
    let problems = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(
        problems[0].fault.contains("“漢” (U+6F22)") && problems[0].cure.contains("fonts of your own"),
        "{problems:?}"
    );
}

/// The bundled italic in which the outline of the first large glyph runs out of the numbers that a font can hold.
fn running_over() -> Vec<u8> {
    let mut font = bundled("NotoSans-Italic.ttf");
    let (_, head, _) = table(&font, b"head");
    let (_, glyf, _) = table(&font, b"glyf");
    let (_, loca, length) = table(&font, b"loca");
    let long = font[head + 51] == 1;
    let number = |font: &[u8], n: usize| match long {
        true => u32::from_be_bytes(font[loca + n * 4..loca + n * 4 + 4].try_into().unwrap()) as usize,
        false => usize::from(u16::from_be_bytes(font[loca + n * 2..loca + n * 2 + 2].try_into().unwrap())) * 2,
    };
    let count = length / if long { 4 } else { 2 } - 1;
    let simple = |font: &[u8], n: usize| font[glyf + number(font, n)] < 0x80;
    let large = (20..count).find(|&n| number(&font, n + 1) - number(&font, n) > 60 && simple(&font, n)).unwrap();
    let at = glyf + number(&font, large);
    // One contour of two points, no instructions, both far to the right of the one before (OpenType 1.9, glyf).
    font[at..at + 2].copy_from_slice(&[0, 1]);
    let points = [0, 1, 0, 0, 0x01, 0x01, 0x75, 0x30, 0x75, 0x30, 0, 0, 0, 0];
    font[at + 10..at + 10 + points.len()].copy_from_slice(&points);
    font
}

#[test]
fn a_font_that_runs_over_is_used_or_refused_and_one_of_too_many_tables_is_refused() {
    let over = fonts(&[file("italic.ttf", running_over())], 3);
    assert!(over.is_ok() || over.err().unwrap()[0].fault == "the font `italic.ttf` is no font, or is broken");
    let mut tables = bundled("NotoSans-Italic.ttf");
    tables[4..6].copy_from_slice(&[0, 101]);
    let problems = faults(&[file("italic.ttf", tables)]);
    assert_eq!(problems[0].fault, "the font `italic.ttf` is no font, or is broken");
    assert!(problems[0].source == Source::Own(3) && !problems[0].cure.is_empty());
}

#[test]
fn what_panics_behind_the_border_is_nothing_and_what_does_not_is_given() {
    let stops = |at: usize| move || [1_u8, 2, 3][std::hint::black_box(at)];
    assert_eq!((reading(stops(1)), reading(stops(3)), reading(stops(2))), (Some(2), None, Some(3)));
    let outside = std::panic::catch_unwind(|| reading(|| 1).map(|one| one / std::hint::black_box(0)));
    assert!(outside.is_err(), "outside of the border a panic stays one");
}
