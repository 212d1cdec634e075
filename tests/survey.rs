//! The survey form, and jobs that begin with one: printed, filled in, read back; and jobs that begin with an earlier one or
//! with what was typed.

use crate::command::{scratch, wetout};
use crate::whole_pages::texts;
use lopdf::{Dictionary, Document, Object, decode_text_string};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;
use wetout::job_file::{Loaded, Request, load, office, render};
use wetout::model::{Access, Finish};
use wetout::survey::{
    Ask, ListFile, ListReading, Lists, MOST_ROOFS, MatchedList, SurveyAnswers, UnsureRow, job_text, questions,
};

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn done(arguments: &[&str]) -> String {
    let done = wetout(arguments);
    assert_eq!(done.status.code(), Some(0), "{arguments:?}: {}", said(&done.stderr));
    said(&done.stdout)
}

fn refused(done: &Output) -> String {
    assert_eq!(done.status.code(), Some(2), "{}{}", said(&done.stdout), said(&done.stderr));
    said(&done.stderr)
}

/// The demo firm and its price book.
const OFFICE: [&str; 4] = ["--firm", "jobs/firm.yaml", "--prices", "jobs/prices.yaml"];

fn request(text: &str) -> Request {
    Request {
        name: "job.yaml".into(),
        bytes: text.as_bytes().to_vec(),
        folder: "tests/bad_jobs/nowhere".into(),
        firm: Some("jobs/firm.yaml".into()),
        prices: vec!["jobs/prices.yaml".into()],
        ..Request::default()
    }
}

fn lists() -> Lists {
    Lists::of(&office(&request("")).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false))))
}

/// A form for so many roofs.
fn form(name: &str, roofs: u8) -> (PathBuf, Document) {
    let folder = scratch(name);
    let out = folder.to_str().unwrap();
    done(&[&["survey", "--roofs", &roofs.to_string(), "--out", out][..], &OFFICE].concat());
    let path = folder.join("survey.pdf");
    let form = Document::load(&path).unwrap();
    (folder, form)
}

/// The fields of a form by name.
fn fields(form: &Document) -> BTreeMap<String, Dictionary> {
    let is_field = |object: &Object| object.as_dict().ok().filter(|d| d.has(b"FT")).cloned();
    let name = |field: &Dictionary| decode_text_string(field.get(b"T").unwrap()).unwrap();
    form.objects.values().filter_map(is_field).map(|field| (name(&field), field)).collect()
}

fn fill(form: &mut Document, name: &str, value: &str) {
    let named = |object: &Object| {
        let field = object.as_dict().ok()?;
        (field.has(b"FT") && decode_text_string(field.get(b"T").ok()?).ok()? == name).then_some(())
    };
    let id =
        *form.objects.iter().find(|(_, object)| named(object).is_some()).unwrap_or_else(|| panic!("no `{name}`")).0;
    let field = form.get_dictionary_mut(id).unwrap();
    match field.get(b"FT").and_then(Object::as_name).unwrap() {
        b"Btn" => {
            field.set("V", Object::Name(value.into()));
            field.set("AS", Object::Name(value.into()));
        }
        _ => {
            let units = || [0xfe, 0xff].into_iter().chain(value.encode_utf16().flat_map(u16::to_be_bytes)).collect();
            let bytes: Vec<u8> = if value.is_ascii() { value.into() } else { units() };
            field.set("V", Object::String(bytes, lopdf::StringFormat::Literal));
        }
    }
}

// ---- The form ------------------------------------------------------------------------------------------------------------

#[test]
fn the_form_has_a_field_for_every_question_that_says_what_is_asked_and_of_what() {
    for roofs in 1..=MOST_ROOFS {
        let (folder, form) = form(&format!("form-{roofs}"), roofs);
        assert_eq!(form.get_pages().len(), 3 * usize::from(roofs) + 2, "a front page, three pages a roof, a last page");
        let fields = fields(&form);
        for (name, field) in &fields {
            let told = |key: &[u8]| decode_text_string(field.get(key).unwrap()).unwrap();
            let heard = name.replace('\'', "’");
            assert_eq!([told(b"TU"), told(b"Contents")], [heard.clone(), heard], "whoever hears it hears whose it is");
        }
        for question in questions(roofs) {
            let of = |name: &&String| **name == question.name || name.starts_with(&format!("{}, ", question.name));
            assert!(fields.keys().any(|name| of(&name)), "no field for {}", question.name);
        }
        assert!(!fields.keys().any(|name| name.starts_with(&format!("Roof {}", roofs + 1))));
        fs::remove_dir_all(folder).unwrap();
    }
    let done = wetout(&["survey", "--roofs", "5", "--out", "-"]);
    assert_eq!(done.status.code(), Some(2));
}

/// What is read on a ladder is no smaller than this, pt; common practice, no source.
const LEAST_ON_THE_FORM: f64 = 8.0;

#[test]
fn no_word_of_the_form_is_small() {
    let form = wetout::survey::document(&lists(), None, 2, time::macros::date!(2026 - 11 - 25));
    let paper = wetout::pages::fitting::lay_out(&form).unwrap();
    let marks = paper.pages.iter().flat_map(|page| &page.marks);
    let texts = marks.filter_map(|mark| match &mark.item {
        wetout::pages::page::Item::Text(text) => Some((text.size, text.words())),
        _ => None,
    });
    let small: Vec<_> = texts.filter(|(size, _)| *size < LEAST_ON_THE_FORM).collect();
    assert!(small.is_empty(), "{small:?}");
}

/// Pages that lie loose on a roof can be told apart by what is written at their heads.
#[test]
fn every_later_page_of_the_form_has_room_for_whose_roof_it_is() {
    let form = wetout::survey::document(&lists(), None, 2, time::macros::date!(2026 - 11 - 25));
    let paper = wetout::pages::fitting::lay_out(&form).unwrap();
    for (number, page) in paper.pages.iter().enumerate() {
        let words: Vec<String> = texts(page).map(|text| text.words()).collect();
        let head = words.iter().any(|words| words.contains("Whose roof, where:"));
        assert_eq!(head, number > 0, "page {}: {words:?}", number + 1);
    }
}

#[test]
fn the_form_says_how_an_inner_corner_and_a_bay_are_written_and_that_old_boards_are_an_example() {
    let form = wetout::survey::document(&lists(), None, 1, time::macros::date!(2026 - 11 - 25));
    let told = wetout::pages::listing::describe(&wetout::pages::fitting::lay_out(&form).unwrap());
    for said in
        ["wetout new FOLDER --from survey.pdf", "left 45", "for example 18", "Fall, as 1:40", "Each further roof"]
    {
        assert!(told.contains(said), "{said}: {told}");
    }
}

/// What can be written at gutters and flashings stands once, on the page where they are written, and no heading speaks of what is not there.
#[test]
fn what_can_be_chosen_stands_once_on_the_form() {
    let form = wetout::survey::document(&lists(), None, 1, time::macros::date!(2026 - 11 - 25));
    let paper = wetout::pages::fitting::lay_out(&form).unwrap();
    let told = wetout::pages::listing::describe(&paper);
    for once in ["Gutter under it: ", "Flashing of the wall: "] {
        assert_eq!(told.matches(once).count(), 1, "{once}: {told}");
    }
    assert!(!told.contains("gutters and flashings"), "{told}");
    assert_eq!(paper.pages.len(), 5);
}

#[test]
fn what_can_be_chosen_is_what_the_tables_have() {
    let (folder, form) = form("tables", 1);
    let fields = fields(&form);
    let ticked = |question: &str| -> BTreeSet<String> {
        let after = |name: &String| name.strip_prefix(&format!("{question}, ")).map(str::to_owned);
        fields.keys().filter_map(after).collect()
    };
    let words = |all: &[&str]| all.iter().map(|word| (*word).to_owned()).collect::<BTreeSet<_>>();
    let edges = Finish::ALL.iter().map(|finish| finish.word()).filter(|word| *word != "kerb");
    assert_eq!(ticked("Roof 1, side H: finish"), edges.map(str::to_owned).collect());
    assert_eq!(ticked("Roof 1, opening 2: finish"), words(&["kerb", "wall"]));
    assert_eq!(ticked("Roof 1: Deck"), words(&["new", "overlay", "keep"]));
    for access in Access::all() {
        // The sum has a field of its own, called alike.
        assert_eq!(ticked(&format!("In the price: {}", access.words())), words(&["yes", "no", "at £"]));
    }
    let listed = |name: &str| -> Vec<String> {
        let options = fields[name].get(b"Opt").unwrap().as_array().unwrap();
        options.iter().map(|option| decode_text_string(option).unwrap()).collect()
    };
    // The firm's own covering and the price book's colours, boards and mats.
    assert!(listed("Roof 1: Old covering").contains(&"clay tiles".to_owned()));
    assert_eq!(listed("Roof 1: Old covering")[..2], ["", "nothing"], "an answer can be taken back");
    assert!(listed("Roof 1: Colour of the topcoat").contains(&"brick red".to_owned()));
    assert!(listed("Roof 1: Board").contains(&"osb3-18".to_owned()));
    let flags = |name: &str| fields[name].get(b"Ff").unwrap().as_i64().unwrap() >> 17;
    assert_eq!(flags("Roof 1: Falls to side"), 1, "a list");
    let kind = |name: &str| fields[name].get(b"FT").unwrap().as_name().unwrap();
    assert_eq!(kind("Roof 1: Fall"), b"Tx", "words of one's own: in a list many programs take none");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_form_that_may_be_filled_in_is_not_written_over() {
    let (folder, _) = form("kept-form", 1);
    let path = folder.join("survey.pdf");
    fs::write(&path, "mine").unwrap();
    let words = refused(&wetout(&["survey", "--out", folder.to_str().unwrap()]));
    assert!(words.contains("may be filled in"), "{words}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    fs::remove_dir_all(folder).unwrap();
}

// ---- Filled in -----------------------------------------------------------------------------------------------------------

/// A garage of eight sides, as an installer writes it; everything is invented. The sides go round a court at the back.
const WRITTEN: &[(&str, &str)] = &[
    ("Reference", "26-095"),
    ("What the job is", "Garage round a court"),
    ("Surveyed on", "25 Nov 2026"),
    ("Customer's name", "A. Householder"),
    ("Customer's address", "1 Example Street\nAnytown"),
    ("Was it built before 2000?", "no"),
    ("Asbestos in covering, soffit, gutter or lining?", "no"),
    ("Roof 1: Name of the roof", "Garage"),
    ("Roof 1: Measured to", "battens"),
    ("Roof 1, side A: length, m", "6"),
    ("Roof 1, side A: finish", "drip"),
    ("Roof 1, side B: length, m", "4"),
    ("Roof 1, side B: finish", "raised"),
    ("Roof 1, side C: length, m", "2"),
    ("Roof 1, side C: finish", "wall"),
    ("Roof 1, side C: height free at the wall, mm", "600"),
    ("Roof 1, side D: length, m", "2"),
    ("Roof 1, side D: finish", "raised"),
    ("Roof 1, side E: corner before it", "right"),
    ("Roof 1, side E: length, m", "2"),
    ("Roof 1, side E: finish", "raised"),
    ("Roof 1, side F: corner before it", "right"),
    ("Roof 1, side F: length, m", "2"),
    ("Roof 1, side F: finish", "raised"),
    ("Roof 1, side G: length, m", "2"),
    ("Roof 1, side G: finish", "raised"),
    ("Roof 1, side H: length, m", "4"),
    ("Roof 1, side H: finish", "raised"),
    ("Roof 1: Falls to side", "A"),
    ("Roof 1: Fall", "1:40"),
    ("Roof 1: Joists run", "front to back"),
    ("Roof 1: Joist spacing, mm", "400"),
    ("Roof 1: Deck", "new"),
    ("Roof 1: Board", "osb3-18"),
    ("Roof 1: Mat, g/m²", "450"),
    ("Roof 1: Colour of the topcoat", "dark grey"),
    ("Roof 1: Old covering", "felt"),
    ("Roof 1: It leaves by", "skip"),
    ("Roof 1: Old boards, mm", "none"),
];

fn asks() -> BTreeMap<String, Ask> {
    questions(1).into_iter().map(|question| (question.name, question.ask)).collect()
}

fn answers(written: &[(&str, &str)]) -> SurveyAnswers {
    let asks = asks();
    let mut answers = SurveyAnswers::default();
    for (name, words) in written {
        answers.say(*asks.get(*name).unwrap_or_else(|| panic!("no question `{name}`")), words);
    }
    answers
}

/// What a job file says, or what is wrong with it.
fn read(text: &str) -> Result<Loaded, String> {
    load(&request(text)).map_err(|f| render(&f.problems, &f.sources, false))
}

/// All of a job that its file decides.
fn job_of(text: &str) -> Result<String, String> {
    let loaded = read(text)?;
    Ok(format!("{:?} {:?}", loaded.job, loaded.job_money))
}

#[test]
fn a_form_filled_in_by_hand_becomes_a_job_that_is_laid_out() {
    let (folder, mut form) = form("filled", 2);
    for (name, words) in WRITTEN {
        match fields(&form).contains_key(*name) {
            true => fill(&mut form, name, words),
            false => fill(&mut form, &format!("{name}, {words}"), "Yes"),
        }
    }
    let filled = folder.join("filled.pdf");
    form.save(&filled).unwrap();
    let job = folder.join("k");
    let words = [&["new", job.to_str().unwrap(), "--from", filled.to_str().unwrap()][..], &OFFICE].concat();
    let told = done(&words);
    assert!(told.contains("page 1, “In the price: parking” is missing") && !told.contains("not read"), "{told}");
    let text = fs::read_to_string(job.join("job.yaml")).unwrap();
    let mut paged = answers(WRITTEN);
    // By hand or off the form: the same job, but for the pages that a form has.
    let by_hand = job_text(&paged, 1, &lists(), &[]).text;
    let plain = |text: &str| text.lines().filter(|l| !l.trim_start().starts_with('#')).collect::<Vec<_>>().join("\n");
    assert_eq!(plain(&text), plain(&by_hand));
    let loaded = read(&text).unwrap();
    assert_eq!(loaded.job.roofs.len(), 1, "a page that was left empty is no roof");
    assert_eq!(loaded.job.roofs[0].outline.edges.len(), 8);
    assert_eq!(loaded.job.customer.address, ["1 Example Street", "Anytown"]);
    wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, None).unwrap();
    // A job that is there is never written over.
    let again = refused(&wetout(&words));
    assert!(again.contains("is there already"), "{again}");
    assert_eq!(fs::read_to_string(job.join("job.yaml")).unwrap(), text);
    paged.say(asks()["Roof 1: Fall"], "");
    assert!(job_text(&paged, 1, &lists(), &[]).gaps.iter().any(|gap| gap.name == "Roof 1: Fall"));
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_choice_is_read_however_a_program_stores_it() {
    let (folder, empty) = form("stored", 1);
    let read_as = |store: &dyn Fn(&mut Dictionary)| {
        let mut form = empty.clone();
        fill(&mut form, "Roof 1: Name of the roof", "Main");
        let is = |object: &Object| {
            let field = object.as_dict().ok()?;
            (decode_text_string(field.get(b"T").ok()?).ok()? == "Roof 1: It leaves by").then_some(())
        };
        let id = *form.objects.iter().find(|(_, object)| is(object).is_some()).unwrap().0;
        store(form.get_dictionary_mut(id).unwrap());
        let mut bytes = Vec::new();
        form.save_to(&mut bytes).unwrap();
        let (answers, roofs) = wetout::survey::read(&bytes).unwrap();
        assert_eq!(roofs, 1);
        answers.said.get(&asks()["Roof 1: It leaves by"]).cloned()
    };
    let van = Some(wetout::survey::SurveySaid::Words("van".into()));
    let text = |words: &str| Object::string_literal(words);
    assert_eq!(read_as(&|field| field.set("V", text("van"))), van);
    assert_eq!(read_as(&|field| field.set("V", vec![text("van")])), van);
    // The first place of a list is that of no answer.
    assert_eq!(read_as(&|field| field.set("I", vec![2.into()])), van, "by its place in the list alone");
    assert_eq!(read_as(&|field| field.set("I", vec![0.into()])), None, "what was taken back");
    assert_eq!(read_as(&|field| field.set("V", text(""))), None, "what was taken back");
    assert_eq!(read_as(&|field| field.set("I", vec![99.into()])), None);
    let several = read_as(&|field| field.set("V", vec![text("van"), text("skip")]));
    assert_eq!(several, Some(wetout::survey::SurveySaid::Contradictory));
    fs::remove_dir_all(folder).unwrap();
}

/// What a roof whose laminate stays says otherwise than [`WRITTEN`].
const STAYS: &[(&str, &str)] = &[
    ("Roof 1: What is done", "repair and topcoat"),
    ("Roof 1: Measured to", ""),
    ("Roof 1, side C: height free at the wall, mm", ""),
    ("Roof 1: Falls to side", ""),
    ("Roof 1: Fall", ""),
    ("Roof 1: Joists run", ""),
    ("Roof 1: Joist spacing, mm", ""),
    ("Roof 1: First joist, from the front left, mm", ""),
    ("Roof 1: Last joist, from the front left, mm", ""),
    ("Roof 1: Deck", ""),
    ("Roof 1: Board", ""),
    ("Roof 1: Old covering", ""),
    ("Roof 1: It leaves by", ""),
    ("Roof 1: Old boards, mm", ""),
    ("Roof 1: Faces of the trims", "leave"),
    ("Roof 1: The abraded face", "wipe"),
];

/// What must be said besides for an answer to stand; and the answer.
fn with_answer(name: &str) -> (Vec<(String, String)>, String) {
    let own =
        |pairs: &[(&str, &str)]| pairs.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect::<Vec<_>>();
    let besides = |of: &str, all: &[(&str, &str)]| -> Vec<(String, String)> {
        all.iter()
            .map(|(label, words)| (format!("{of}{label}"), (*words).to_owned()))
            .filter(|(other, _)| other != name)
            .collect()
    };
    let given = |of: &str, all: &[(&str, &str)], more: &[(&str, &str)]| -> (Vec<(String, String)>, String) {
        let label = name.strip_prefix(of).unwrap();
        let words = all.iter().find(|(own, _)| *own == label).unwrap().1;
        ([own(more), besides(of, all)].concat(), words.to_owned())
    };
    let of = name.split_once(": ").map_or("", |(of, _)| of);
    let prefix = format!("{of}: ");
    match of.split(' ').nth(2) {
        Some("tie") => {
            let all: &[(&str, &str)] = match of.ends_with('1') {
                true => &[("from corner", "AH"), ("to corner", "b-c"), ("distance, m", "7.216")],
                false => &[("from corner", "A/B"), ("to corner", "G/H"), ("distance, m", "7.216")],
            };
            // Corners that were measured square, which the tie moves.
            let turns = ["B", "C", "D", "E", "F", "G", "H"].map(|side| {
                let turn = if matches!(side, "E" | "F") { "right 90" } else { "left 90" };
                (format!("Roof 1, side {side}: corner before it"), turn)
            });
            let turns: Vec<(&str, &str)> = turns.iter().map(|(name, turn)| (name.as_str(), *turn)).collect();
            return given(&prefix, all, &turns);
        }
        Some("opening") => {
            let n = if of.ends_with('1') { "0.8" } else { "4.8" };
            if name.ends_with("pipe, mm across") {
                return (
                    besides(
                        &prefix,
                        &[
                            ("what it is", "soil pipe"),
                            ("along the front to it, m", n),
                            ("up the roof to it, m", "1.2"),
                        ],
                    ),
                    "110".into(),
                );
            }
            // A kerb is a new one, of timber, or stands there and is so high.
            let high = ("old kerb, mm high", "210");
            let kerb = if name.ends_with(high.0) { high } else { ("timber of its kerb", "47 × 220 mm") };
            let all: &[(&str, &str)] = &[
                ("what it is", "rooflight"),
                ("finish", "kerb"),
                ("along the front to it, m", n),
                ("up the roof to it, m", "1"),
                ("its width, m", "0.6"),
                ("its depth, m", "0.9"),
                kerb,
                ("joists round it", "47x147"),
            ];
            return given(&prefix, all, &[]);
        }
        Some("patch") => {
            let (x, y) = [("0.5", "0.5"), ("3", "0.5"), ("0.5", "2.5"), ("4.8", "3")]
                [usize::from(of.as_bytes()[of.len() - 1] - b'1')];
            let all: &[(&str, &str)] = &[
                ("what and where", "soft place"),
                ("along the front to it, m", x),
                ("up the roof to it, m", y),
                ("its width, m", "0.5"),
                ("its depth, m", "0.4"),
                ("along a trim or wall, m", "0.3"),
                ("layers", "3"),
                ("board let in", "osb3-18"),
            ];
            // The first is there for each: a repair has one patch at least.
            let first = [("Roof 1, patch 1: its width, m", "0.5"), ("Roof 1, patch 1: its depth, m", "0.4")];
            let first = if of.ends_with('1') { &[][..] } else { &first[..] };
            return given(&prefix, all, &[STAYS, first].concat());
        }
        Some("outlet") => {
            let all: &[(&str, &str)] = &[
                ("along the front, m", if of.ends_with('1') { "1.5" } else { "4.5" }),
                ("up the roof, m", "0.3"),
                ("pipe, mm across", "75"),
                ("water over it, mm", "35"),
                ("leaf guard", "yes"),
            ];
            return given(&prefix, all, &[]);
        }
        Some("door") => {
            let all: &[(&str, &str)] = &[
                ("in side", "C"),
                ("from its start, m", "0.4"),
                ("width, m", "0.9"),
                ("sill over old roof, mm", "300"),
            ];
            return given(&prefix, all, &[]);
        }
        _ => {}
    }
    let coping: &[(&str, &str)] = &[
        ("Low wall to be covered, side", "C"),
        ("Its height, mm", "330"),
        ("Its thickness, mm", "215"),
        ("Covered with", "stone"),
        ("Lifted and laid by", "others"),
        ("Board on its face", "osb3-11"),
    ];
    let tiles: &[(&str, &str)] = &[
        ("Roof above a step", "slates"),
        ("Gauge, mm", "210"),
        ("Tile cover width, mm", "260"),
        ("Pitch, °", "35"),
        ("Tiles off by", "others"),
    ];
    let gutter: &[(&str, &str)] = &[
        ("Box gutter: width, mm", "300"),
        ("Depth, mm", "130"),
        ("Its fall", "80"),
        ("Its outlet at, m", "0.5"),
        ("Outlet, mm", "75"),
        ("Water over it, mm", "60"),
        ("Board of the box gutter", "osb3-18-square"),
    ];
    let overflow: &[(&str, &str)] = &[
        ("Overflow through side", "C"),
        ("Middle at, m", "1.2"),
        ("Clear width, mm", "200"),
        ("Clear height, mm", "75"),
        ("Sill over roof, mm", "30"),
    ];
    let above: &[(&str, &str)] = &[("Pitched roof that drains onto it, m²", "12"), ("How steep it is, °", "35")];
    let warm: &[(&str, &str)] = &[
        ("Insulated as", "warm"),
        ("For the Regulations it is", "renovated"),
        ("U-value now, W/m²K", "0.8"),
        ("Ceiling below", "plasterboard"),
        ("Ceiling thickness, mm", "12.5"),
        ("Ceiling's lambda, W/mK", "0.21"),
        ("Joist width, mm", "47"),
        ("Joist depth, mm", "170"),
        ("Vapour layer, roll width, m", "2"),
        ("Roll length, m", "25"),
        ("Insulation over the deck", "pir-160"),
        ("Board over it", "osb3-18"),
    ];
    let cold: &[(&str, &str)] = &[
        ("Insulated as", "cold"),
        ("For the Regulations it is", "renovated"),
        ("Joist width, mm", "47"),
        ("Joist depth, mm", "170"),
        ("Between the joists lies", "mineral wool"),
        ("Insulation thickness, mm", "100"),
        ("Its lambda, W/mK", "0.035"),
        ("Void over it, mm", "60"),
        ("Gap that airs it, mm", "25"),
    ];
    let ladder: &[(&str, &str)] = &[("Ladder point at side", "B"), ("Its middle at, m", "1.2")];
    let roof = name.strip_prefix("Roof 1: ");
    let among = |all: &[(&str, &str)]| roof.is_some_and(|label| all.iter().any(|(own, _)| *own == label));
    if among(coping) {
        return given("Roof 1: ", coping, &[]);
    }
    if among(tiles) {
        return given(
            "Roof 1: ",
            tiles,
            &[("Roof 1, side C: finish", "step"), ("Roof 1, side C: height free at the wall, mm", "")],
        );
    }
    if among(gutter) {
        return given("Roof 1: ", gutter, &[("Roof 1, side A: finish", "gutter")]);
    }
    if among(ladder) {
        return given("Roof 1: ", ladder, &[]);
    }
    if among(overflow) {
        return given("Roof 1: ", overflow, &[]);
    }
    if among(above) {
        return given("Roof 1: ", above, &[]);
    }
    if among(warm) {
        return given("Roof 1: ", warm, &[]);
    }
    if among(cold) {
        return given("Roof 1: ", cold, &[]);
    }
    if let Some(side) = name.strip_suffix(": height free at the wall, mm") {
        let wall = own(&[(&format!("{side}: finish"), "wall")]);
        // Water that cannot leave over side A leaves by an outlet.
        let outlet = own(&[
            ("Roof 1, outlet 1: along the front, m", "1.5"),
            ("Roof 1, outlet 1: up the roof, m", "0.3"),
            ("Roof 1, outlet 1: pipe, mm across", "75"),
        ]);
        return ([wall, outlet].concat(), "550".into());
    }
    if let Some(side) = name.strip_suffix(": flashing of the wall") {
        let wall = (format!("{side}: finish"), "wall".into());
        let outlet = own(&[
            ("Roof 1, outlet 1: along the front, m", "1.5"),
            ("Roof 1, outlet 1: up the roof, m", "0.3"),
            ("Roof 1, outlet 1: pipe, mm across", "75"),
        ]);
        return ([vec![wall], outlet].concat(), "lead-free".into());
    }
    if let Some(side) = name.strip_suffix(": gutter under it") {
        let bare = (format!("{side}: height free at the wall, mm"), String::new());
        return (vec![(format!("{side}: finish"), "drip".into()), bare], "half-round 112".into());
    }
    if name.ends_with(": finish") {
        let bare = own(&[("Roof 1, side C: height free at the wall, mm", "")]);
        if !name.contains("side A") {
            return (bare, "drip".into());
        }
        let sizes = gutter.iter().map(|(label, words)| (format!("Roof 1: {label}"), (*words).to_owned()));
        return (bare.into_iter().chain(sizes).collect(), "gutter".into());
    }
    if name.contains("corner before it") {
        let right = ["side E", "side F"].iter().any(|side| name.contains(side));
        return (Vec::new(), if right { "right 89.95" } else { "left 89.95" }.into());
    }
    if name.ends_with(": length, m") {
        let long = answers(WRITTEN).words(asks()[name]).unwrap().to_owned();
        return (Vec::new(), format!("{long}.004"));
    }
    if let Some(extra) = name.strip_suffix(": it costs us, £").or(name.strip_suffix(": sold for, £")) {
        return (vec![(format!("{extra}: what"), "fascia".into())], "£96.40".into());
    }
    if name.starts_with("Extra ") {
        let extra = &name[..7];
        let all: &[(&str, &str)] =
            &[("what", "fascia"), ("sold for, £", "85.00"), ("offered with a box to tick", "yes")];
        let label = name[7..].trim_start_matches(": ");
        let words = all.iter().find(|(own, _)| *own == label).unwrap().1;
        let rest = all.iter().filter(|(own, _)| *own != label && *own != "offered with a box to tick");
        return (rest.map(|(own, words)| (format!("{extra}: {own}"), (*words).to_owned())).collect(), words.to_owned());
    }
    let words = match name {
        "Reference" => "26-096",
        "What the job is" => "Another garage",
        "Surveyed on" => "2026-11-24",
        "Wanted from" => "1.3.2027",
        "Customer's name" => "Zoë O'Neill: \"the house\" # 2",
        "Customer's address" => "2 Example Street, Anytown",
        "Customer's telephone" => "01632 960000",
        "Customer's e-mail" => "a.householder@home.example",
        "Address of the work, if another" => "3 Example Street\r\nAnytown",
        "Height of the eaves, m" => "2.45",
        "Nearest boundary, m" => "0.9",
        "Way in: gate, steps, parking" => "side gate, 900 mm: [narrow]",
        "Nearest hospital with an emergency department" => "Anytown General",
        "For the delivery" => "hand off at the gate",
        "Was it built before 2000?" | "Asbestos in covering, soffit, gutter or lining?" => "not known",
        "Who cuts the flashing in?" => "others",
        "Roof 1: Name of the roof" => "Porch",
        "Roof 1: Measured to" => "fascia",
        "Roof 1: Falls to side" => "h",
        "Roof 1: Fall" => "existing 1:60",
        "Roof 1: Firrings by" => "others",
        "Roof 1: Way off at side" => "side D",
        "Roof 1: Joists run" => "left to right",
        "Roof 1: Joist spacing, mm" => "0.6 m",
        "Roof 1: First joist, from the front left, mm" => "250",
        "Roof 1: Last joist, from the front left, mm" => "5.98 m",
        "Roof 1: Deck" => "overlay",
        "Roof 1: Board" => "osb3-11",
        "Roof 1: Mat, g/m²" => "600",
        "Roof 1: Layers" => "2",
        "Roof 1: Colour of the topcoat" => "Green",
        "Roof 1: Surface" => "slip-resistant",
        "Roof 1: Old covering" => "asphalt",
        "Roof 1: It leaves by" => "van",
        "Roof 1: Old boards, mm" => "18",
        "Roof 1: House wall above, m²" => "13.5",
        "Roof 1: Photos, numbers" => "412-414, 420",
        "Notes" => "Rot at the outlet.\nThe neighbour has a key.",
        "The roof was shown by" => "Mr A. Householder",
        "Surveyed by" => "Morgan Teal",
        "Roof 1: What is done" => "repair and topcoat",
        "Roof 1: Faces of the trims" => "topcoat",
        "Roof 1: The abraded face" => "prime",
        name if name.ends_with("at £") => "120.00",
        name if name.starts_with("In the price: ") => "yes",
        other => panic!("no answer for `{other}`"),
    };
    let coated = [STAYS, &[("Roof 1: What is done", "topcoat"), ("Roof 1: Mat, g/m²", "")]].concat();
    let patch = [("Roof 1, patch 1: its width, m", "0.5"), ("Roof 1, patch 1: its depth, m", "0.4")];
    let repaired = [&STAYS[1..], &patch].concat();
    let besides: &[(&str, &str)] = match name {
        "Roof 1: Falls to side" => &[("Roof 1, side D: finish", "drip"), ("Roof 1, side H: finish", "drip")],
        "Roof 1: Board" => &[("Roof 1: Deck", "overlay")],
        "Roof 1: Last joist, from the front left, mm" => &[("Roof 1: First joist, from the front left, mm", "250")],
        "Roof 1: What is done" => &repaired,
        "Roof 1: Faces of the trims" | "Roof 1: The abraded face" => &coated,
        _ => &[],
    };
    (own(besides), words.into())
}

#[test]
fn every_answer_of_the_form_changes_the_job() {
    let (asks, lists) = (asks(), lists());
    // These stand in the file as remarks: no key of a job takes them.
    let remarks = ["Notes", "The roof was shown by", "Surveyed by", "Roof 1: Photos, numbers"];
    let mut faults = Vec::new();
    let mut known: BTreeMap<String, Result<String, String>> = BTreeMap::new();
    for (name, ask) in &asks {
        let (besides, words) = with_answer(name);
        let mut before = answers(WRITTEN);
        besides.iter().for_each(|(other, words)| before.say(asks[other], words));
        let mut after = before.clone();
        after.say(*ask, &words);
        let [without, with] = [&before, &after].map(|answers| job_text(answers, 1, &lists, &[]));
        if with.gaps.iter().any(|gap| gap.name == *name) {
            faults.push(format!("{name}: `{words}` was not read: {:?}", with.gaps));
            continue;
        }
        if remarks.contains(&name.as_str()) {
            if without.text == with.text || job_of(&without.text) != job_of(&with.text) {
                faults.push(format!("{name} is no remark"));
            }
            continue;
        }
        let before = known.entry(without.text.clone()).or_insert_with(|| job_of(&without.text)).clone();
        match (before, job_of(&with.text)) {
            (_, Err(fault)) => faults.push(format!("{name}: `{words}`: {fault}")),
            (Ok(without), Ok(with)) if without == with => faults.push(format!("{name}: `{words}` changes nothing")),
            _ => {}
        }
    }
    assert!(faults.is_empty(), "{} of {}:\n{}", faults.len(), asks.len(), faults.join("\n"));
}

#[test]
fn photographs_that_lie_in_the_folder_are_named() {
    let mut answers = answers(WRITTEN);
    answers.say(asks()["Roof 1: Photos, numbers"], "412-413 420");
    let there = ["IMG_0412.jpg", "IMG_0413.JPG", "other-7.png"].map(str::to_owned);
    let text = job_text(&answers, 1, &lists(), &there).text;
    assert!(text.contains("- {file: IMG_0412.jpg, caption: Garage}"), "{text}");
    assert!(text.contains("- {file: IMG_0413.JPG, caption: Garage}") && !text.contains("other-7"), "{text}");
    assert!(text.contains("# photographs Garage: 412-413 420"), "420 is not there: {text}");
}

// ---- What is missing or cannot be read -------------------------------------------------------------------------------------

#[test]
fn what_is_missing_is_listed_by_its_place_on_the_form() {
    let (folder, mut form) = form("missing", 1);
    fill(&mut form, "Roof 1: Name of the roof", "Main roof");
    let filled = folder.join("filled.pdf");
    form.save(&filled).unwrap();
    let job = folder.join("k");
    let told = done(&[&["new", job.to_str().unwrap(), "--from", filled.to_str().unwrap()][..], &OFFICE].concat());
    let text = fs::read_to_string(job.join("job.yaml")).unwrap();
    let (head, body) = text.split_once("\n\n").unwrap();
    for line in [
        "page 1, “Reference” is missing: for example `reference: 26-041`",
        "page 1, “Customer's address” is missing",
        "page 1, “Asbestos in covering, soffit, gutter or lining?” is missing: `asbestos`, one of yes, no, not known",
        "page 1, “In the price: parking” is missing: `parking`, one of yes, no",
        "page 2, “Roof 1, side A: length, m” is missing",
        "page 2, “Roof 1, side D: finish” is missing: `finish`, one of drip, raised, wall, step, gutter",
        "page 2, “Roof 1: Falls to side” is missing: `falls_to`, one of front, right, back, left",
        "page 2, “Roof 1: Mat, g/m²” is missing",
    ] {
        assert!(told.contains(line) && head.contains(line) && body.contains(line), "{line}: {told}{text}");
    }
    // Below the remark stands the line that only wants its mark taken away.
    for line in [
        "\n# asbestos: not known\n",
        "\n    # falls_to: front\n",
        "\n    # fall: 1:40\n",
        "\n    # joists: {run: front to back, spacing: 400 mm}\n",
        "\n    # measured_to: battens\n",
    ] {
        assert!(body.contains(line), "{line}: {body}");
    }
    // What may be left empty is not asked for.
    for free in ["email", "hospital", "Notes", "tie 1", "door 1", "Extra"] {
        assert!(!told.contains(free), "{free}: {told}");
    }
    // It is a file that can be read: what is missing is told setting by setting.
    let done = wetout(&[&["check", job.to_str().unwrap()][..], &OFFICE].concat());
    let told = said(&done.stderr);
    assert_eq!(done.status.code(), Some(1));
    assert!(told.contains("a job needs `reference`") && !told.contains("not YAML"), "{told}");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn what_cannot_be_read_is_told_and_never_written() {
    let asks = asks();
    for (name, words, fault) in [
        ("Roof 1, side A: length, m", "5.2.1", "was not read"),
        ("Roof 1, side A: length, m", "17 ft", "feet and inches"),
        ("Roof 1, side A: length, m", "5200", "longer than any roof"),
        ("Roof 1, side A: length, m", "5,2", "there is a comma"),
        ("Roof 1, side B: finish", "drop", "did you mean `drip`?"),
        ("Roof 1, side E: corner before it", "upward", "is not a turn"),
        ("Roof 1: Falls to side", "Z", "is not a side"),
        ("Roof 1: Joist spacing, mm", "often", "is not a length"),
        ("Roof 1: Old covering", "felts", "did you mean `felt`?"),
        ("Roof 1: Fall", "steep", "is not a fall"),
        ("Roof 1: Layers", "77", "it lies between"),
        ("Roof 1: What is done", "paint", "it is one of new, repair"),
        ("Roof 1: Joist depth, mm", "12 m", "it lies between"),
        ("Roof 1: Insulated as", "wram", "did you mean `warm`?"),
        ("Roof 1: Insulation over the deck", "pir-999", "it is one of pir-100"),
        ("Roof 1: U-value now, W/m²K", "poor", "was not read"),
        ("Roof 1: Clear width, mm", "20 m", "it lies between"),
        ("Surveyed on", "yesterday", "is not a day"),
        ("In the price: parking, at £", "lots", "is not an answer here"),
        ("Customer's name", "A\u{7}B", "control character"),
    ] {
        let mut answers = answers(WRITTEN);
        answers.pages.insert(asks[name], 7);
        answers.say(asks[name], words);
        let draft = job_text(&answers, 1, &lists(), &[]);
        let gap = draft.gaps.iter().find(|gap| gap.name == name).unwrap_or_else(|| panic!("{name}: {words}"));
        let told = gap.to_string();
        assert!(told.starts_with(&format!("page 7, “{name}”: “")) && told.contains(fault), "{told}");
        let place = draft.text.split("\n\n").skip(1).collect::<String>();
        assert!(place.contains(&told), "{told}: {}", draft.text);
        let values = draft.text.lines().filter(|l| !l.trim_start().starts_with('#')).collect::<String>();
        assert!(!values.contains(words), "{name}: {values}");
    }
    // Of answers that cannot stand together.
    for (pairs, fault) in [
        (
            &[
                ("Roof 1, tie 1: from corner", "A/C"),
                ("Roof 1, tie 1: to corner", "B/C"),
                ("Roof 1, tie 1: distance, m", "5"),
            ][..],
            "do not meet",
        ),
        (&[("Roof 1: Pitch, °", "35")], "no side of this roof is finished `step`"),
        (&[("In the price: parking", "no"), ("In the price: parking, at £", "18.00")], "take one of the two"),
        (&[("Roof 1, patch 2: its width, m", "0.4")], "it is asked of an old laminate that stays"),
        (&[("Roof 1: What is done", "repair")], "nothing of it is done where the old laminate stays"),
        (&[("Roof 1: What is done", "topcoat")], "a roof that is only topcoated takes no mat"),
        (&[("Roof 1: Insulated as", "warm")], "“Roof 1: Insulation over the deck” is missing"),
        (
            &[
                ("Roof 1: Overflow through side", "C"),
                ("Roof 1, door 1: in side", "C"),
                ("Roof 1, door 1: from its start, m", "0.4"),
                ("Roof 1, door 1: width, m", "0.9"),
                ("Roof 1, door 1: sill over old roof, mm", "300"),
                ("Roof 1: Middle at, m", "1.6"),
            ],
            "there is a door in this side",
        ),
        (
            &[
                ("Roof 1, door 1: in side", "C"),
                ("Roof 1, door 1: from its start, m", "1.5"),
                ("Roof 1, door 1: width, m", "0.9"),
                ("Roof 1, door 1: sill over old roof, mm", "200"),
            ],
            "does not lie within its side",
        ),
        (
            &[("Roof 1: Way off at side", "H"), ("Roof 1, side H: length, m", ""), ("Roof 1, side H: finish", "")],
            "has no length",
        ),
    ] {
        let mut answers = answers(WRITTEN);
        pairs.iter().for_each(|(name, words)| answers.say(asks[*name], words));
        let draft = job_text(&answers, 1, &lists(), &[]);
        assert!(draft.gaps.iter().any(|gap| gap.to_string().contains(fault)), "{fault}: {:?}", draft.gaps);
    }
}

#[test]
fn two_boxes_ticked_and_fields_of_others_are_told() {
    let (folder, mut form) = form("two", 1);
    fill(&mut form, "Roof 1, side A: finish, drip", "Yes");
    fill(&mut form, "Roof 1, side A: finish, wall", "Yes");
    fill(&mut form, "Roof 1, side B: finish, wall", "Yes");
    let mut bytes = Vec::new();
    form.save_to(&mut bytes).unwrap();
    let (answers, _) = wetout::survey::read(&bytes).unwrap();
    let draft = job_text(&answers, 1, &lists(), &[]);
    assert!(
        draft.text.contains("“Roof 1, side A: finish”: “drip, wall” was not read: several are ticked"),
        "{}",
        draft.text
    );
    // A field of another edition of the form is told with what stands in it.
    let field = *form.objects.iter().find(|(_, o)| o.as_dict().is_ok_and(|d| d.has(b"FT"))).unwrap().0;
    let field = form.get_dictionary_mut(field).unwrap();
    field.set("T", Object::string_literal("Shoe size"));
    field.set("FT", Object::Name("Tx".into()));
    field.set("V", Object::string_literal("43\n# x: y"));
    let mut bytes = Vec::new();
    form.save_to(&mut bytes).unwrap();
    let (answers, _) = wetout::survey::read(&bytes).unwrap();
    let text = job_text(&answers, 1, &lists(), &[]).text;
    assert!(text.contains("“Shoe size”, which this program does not ask: 43 # x: y"), "{text}");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn nothing_that_was_written_can_change_the_file_round_it() {
    let asks = asks();
    for words in [
        "x\n  evil: yes",
        "a: b, c}",
        "\"quoted\" # no comment",
        "- item",
        "{a: b}",
        "null",
        "yes",
        "'",
        "&a *b",
        "% d",
    ] {
        let mut answers = answers(WRITTEN);
        for name in ["Reference", "What the job is", "Customer's name", "Roof 1: Name of the roof", "Notes"] {
            answers.say(asks[name], words);
        }
        let text = job_text(&answers, 1, &lists(), &[]).text;
        match read(&text) {
            Ok(loaded) => {
                assert_eq!(
                    (loaded.job.title.as_str(), loaded.job.customer.name.as_str()),
                    (words.trim(), words.trim())
                );
                assert_eq!(loaded.job.roofs[0].name, words.trim());
            }
            Err(fault) => {
                let torn = ["evil", "not YAML", "colon", "quote", "bracket", "indented"];
                assert!(!torn.iter().any(|word| fault.contains(word)), "{words}: {fault}");
            }
        }
    }
}

// ---- From an earlier job, and from what was typed --------------------------------------------------------------------------

fn lines_of(job: &Path) -> serde_json::Value {
    let told = done(&[&["takeoff", job.to_str().unwrap(), "--json"][..], &OFFICE].concat());
    serde_json::from_str::<serde_json::Value>(&told).unwrap()["lines"].clone()
}

#[test]
fn an_earlier_job_gives_its_roofs_and_none_of_its_people() {
    let folder = scratch("earlier");
    for entry in fs::read_dir("jobs").unwrap() {
        let earlier = entry.unwrap().path();
        if !earlier.join("job.yaml").is_file() {
            continue;
        }
        let job = folder.join(earlier.file_name().unwrap());
        let from = ["new", job.to_str().unwrap(), "--from", earlier.to_str().unwrap(), "--reference", "26-199"];
        let people = ["--customer", "B. Householder", "--address", "9 Example Street, Anytown"];
        let told = done(&[&from[..], &people, &OFFICE].concat());
        assert!(told.contains("“Asbestos in covering"), "asbestos is asked anew: {told}");
        let text = fs::read_to_string(job.join("job.yaml")).unwrap();
        let old = read(&fs::read_to_string(earlier.join("job.yaml")).unwrap()).unwrap().job;
        for gone in [&old.customer.name, &old.reference].into_iter().chain(old.customer.phone.as_ref()) {
            assert!(!text.contains(gone.as_str()), "{gone}: {text}");
        }
        let new = read(&text).unwrap().job;
        assert_eq!((new.reference.as_str(), new.customer.name.as_str()), ("26-199", "B. Householder"));
        assert_eq!(new.title, old.title);
        assert_eq!(lines_of(&job), lines_of(&earlier), "{}", earlier.display());
    }
    let bad = folder.join("bad.yaml");
    for (text, words) in [("title: x\n", "no roofs"), ("a: [\n", "is not closed"), ("{roofs: []}\n", "no roofs")] {
        fs::write(&bad, text).unwrap();
        let done = wetout(&["new", folder.join("b").to_str().unwrap(), "--from", bad.to_str().unwrap()]);
        assert!(refused(&done).contains(words), "{words}: {}", said(&done.stderr));
        assert!(!folder.join("b").exists());
    }
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_job_is_begun_by_what_is_typed() {
    let folder = scratch("typed");
    let new = |name: &str, words: &[&str]| {
        let job = folder.join(name);
        let told = done(&[&["new", job.to_str().unwrap()][..], words, &OFFICE].concat());
        (told, fs::read_to_string(job.join("job.yaml")).unwrap())
    };
    let (told, text) = new(
        "shed",
        &[
            "--customer",
            "J. Smith",
            "--rectangle",
            "4.2x2.4m",
            "--edge",
            "front=drip",
            "--edge",
            "back=wall",
            "--date",
            "2026-12-01",
        ],
    );
    assert!(text.contains("rectangle: {width: 4.2 m, depth: 2.4m}") && text.contains("prepared: 2026-12-01"), "{text}");
    assert!(
        text.contains("front: {finish: drip}") && told.contains("“Roof 1, side B: finish” is missing"),
        "{told}{text}"
    );
    // The lines of the remarks can be used as they stand.
    assert!(text.contains("is missing: for example `upstand: 260 mm`\n      back: {finish: wall}"), "{text}");
    let plain: String = text
        .lines()
        .map(|line| match line.trim_start().strip_prefix("# ") {
            Some(setting) if setting.starts_with("falls_to: ") || setting.starts_with("joists: ") => {
                format!("    {setting}\n")
            }
            _ => format!("{line}\n"),
        })
        .collect();
    assert!(plain.contains("\n    falls_to: front\n") && plain.contains("\n    joists: {run: "), "{plain}");
    let told = read(&plain).err().unwrap();
    assert!(!told.contains("`falls_to`") && !told.contains("`joists`"), "{told}");
    let (_, text) = new(
        "bay",
        &[
            "--side",
            "3.1 m drip",
            "--side",
            "left 2 m raised",
            "--side",
            "left 45 1 m raised",
            "--answer",
            "roof 1: fall=1:60",
        ],
    );
    assert!(text.contains("- {edge: side C, turn: left 45, go: 1 m} # C") && text.contains("fall: 1:60"), "{text}");
    let refuses = |words: &[&str], fault: &str| {
        let job = folder.join("none");
        let done = wetout(&[&["new", job.to_str().unwrap()][..], words].concat());
        assert!(refused(&done).contains(fault), "{words:?}: {}", said(&done.stderr));
        assert!(!job.exists());
    };
    refuses(&["--rectangle", "4.2"], "is not a rectangle");
    refuses(&["--rectangle", "4x2m", "--edge", "top=drip"], "is not a side of a rectangle");
    refuses(&["--side", "drip"], "is not a side");
    refuses(&["--answer", "Shoe size=43"], "is not a question");
    refuses(&["--from", "no-such-file.pdf"], "could not read");
    refuses(&["--from", "jobs/logo.png"], "neither a PDF nor text");
    fs::remove_dir_all(folder).unwrap();
}

// ---- Talked through at a terminal -------------------------------------------------------------------------------------------

/// What the program says when these lines are typed.
fn talked(arguments: &[&str], lines: &str) -> Output {
    use std::io::Write;
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_wetout"))
        .args(arguments)
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    // A talk that is at its end closes its input.
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    child.wait_with_output().unwrap()
}

/// The kitchen as it is typed, a line a question; `usual` takes what stands in brackets.
const TYPED: &[&str] = &[
    "26-097",
    "Kitchen",
    "", // today
    "Mrs R. Okafor",
    "14 Sallow Close, Anytown",
    "?",
    "01632 960182",
    "",     // email
    "",     // the same address
    "high", // not a length
    "2.6",
    "1.2",
    "side gate",
    "", // hospital
    "", // start
    "", // delivery
    "yes",
    "no",
    "", // us
    "yes",
    "no",
    "18.00",
    "no",
    "no",
    "no",
    "no",
    "", // Main roof
    "", // new
    "", // battens
    "5.2",
    "drip",
    "half-round 112",
    "3.4",
    "", // left
    "wall",
    "<", // the height at that wall is not asked for after all
    "raised",
    "5.2",
    "",
    "wall",
    "260",
    "", // lead
    "", // 3.4 m closes it
    "",
    "raised",
    "", // no tie
    "", // falls to A
    "",
    "",
    "", // way off
    "",
    "",
    "", // the first joist lies at the corner
    "", // and the last where the spacing ends
    "",
    "osb3-18",
    "",
    "",
    "dark grey",
    "",
    "felt",
    "skip",
    "18", // old boards
    "rooflight",
    "kerb",
    "1.8",
    "1.1",
    "1",
    "1",
    "", // the kerb is there
    "", // and so are its trimmers
    "", // how high it stands is looked at later
    "", // no other opening
    "", // no outlet
    "", // no door
    "", // no low wall
    "", // no overflow
    "", // no ladder point
    "13.5",
    "", // no roof above
    "", // insulation is not gone into
    "", // photographs
    "", // no other roof
    "", // no extra
    "Rot at the outlet.",
    "",
    "",
];

#[test]
fn a_job_is_talked_through_goes_back_and_goes_on_where_it_was_broken_off() {
    let folder = scratch("talk");
    let job = folder.join("k");
    let words = [&["new", job.to_str().unwrap()][..], &OFFICE].concat();
    let lines = |part: &[&str]| part.iter().map(|line| format!("{line}\n")).collect::<String>();
    // Broken off behind the first sides, and again where it had come to.
    let (first, rest) = TYPED.split_at(35);
    let broken = talked(&words, &lines(first));
    let told = said(&broken.stdout);
    assert_eq!(broken.status.code(), Some(1), "{told}{}", said(&broken.stderr));
    assert!(told.contains("broken off; `wetout new") && !job.join("job.yaml").exists(), "{told}");
    assert!(
        told.contains("    The telephone number of the customer.") && told.contains("`high` is not a length"),
        "{told}"
    );
    assert!(told.contains("still to go to the start: 5.2 m to the left"), "{told}");
    let kept = fs::read_to_string(job.join("survey-answers.yaml")).unwrap();
    assert!(kept.contains("5.2") && kept.contains("Mrs R. Okafor"), "{kept}");
    let again = talked(&words, "");
    assert!(said(&again.stdout).contains("It goes on where it was broken off"), "{}", said(&again.stdout));
    assert_eq!(fs::read_to_string(job.join("survey-answers.yaml")).unwrap(), kept);
    let done = talked(&words, &lines(rest));
    let told = said(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{told}{}", said(&done.stderr));
    // The fourth side is proposed, and closes it.
    assert!(told.contains("side D: length, m; empty: that was the last side [3.4 m]: "), "{told}");
    assert!(told.contains("closed, 17.68 m²"), "{told}");
    assert!(!told.contains("side E") && !told.contains("still to be seen to"), "{told}");
    assert!(!job.join("survey-answers.yaml").exists(), "what was kept is done with");
    let text = fs::read_to_string(job.join("job.yaml")).unwrap();
    let loaded = read(&text).unwrap();
    let edges: Vec<&str> = loaded.job.roofs[0].outline.edges.iter().map(|edge| edge.finish.word()).collect();
    assert_eq!(edges, ["drip", "raised", "wall", "raised"], "{text}");
    assert!(text.contains("parking: 18.00") && text.contains("gutter: half-round 112 mm"), "{text}");
    assert!(text.contains("# notes: Rot at the outlet."), "{text}");
    wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, None).unwrap();
    fs::remove_dir_all(folder).unwrap();
}

/// What a firm answers, a line a question.
const FIRM: &str = "Example Roofing\n1 Example Yard, Anytown\n01632 960000\noffice@example-roofing.example\n\nyes\nGB 000 0000 00\n\n\
                    A. Roofer\n27.50\nB. Mate\n19\n32\n\n120\n25\n285\n\n480\n850\n25\n\n20\nLetting water in.\n\
                    Example Roofing Ltd\n00-00-00\n00000000\nExample Merchant\n\n45\n";

/// What cannot be written is found out before anybody has answered anything; nobody is let off as root: a file stands in the way.
#[test]
fn a_folder_that_cannot_be_written_is_told_before_the_first_question() {
    let folder = scratch("talk-unwritable");
    fs::write(folder.join("file"), "kept").unwrap();
    let file = folder.join("file");
    let below = folder.join("file/okafor/kitchen");
    let long = folder.join("x".repeat(300));
    for (place, fault) in [(&file, "a file stands"), (&below, "a file stands"), (&long, "name is too long")] {
        let place = place.to_str().unwrap();
        for words in [&["new", place][..], &["new", "--firm", place]] {
            let done = talked(words, "26-097\nKitchen\n");
            let told = said(&done.stderr);
            assert!(!done.status.success() && said(&done.stdout).is_empty(), "{words:?}: {}", said(&done.stdout));
            let cure = ["choose a", "name the folder"].iter().any(|cure| told.contains(cure));
            assert!(cure && (told.contains(fault) || told.contains("is a file")), "{words:?}: {told}");
        }
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), "kept");
    // Whoever only looks in leaves no folder behind.
    let fresh = folder.join("a/b");
    assert_eq!(talked(&["new", fresh.to_str().unwrap()], "").status.code(), Some(1));
    assert!(!folder.join("a").exists());
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_firm_is_talked_through_and_prices_the_demo_job() {
    let folder = scratch("firm-talk");
    let home = folder.join("f");
    let broken = talked(&["new", "--firm", home.to_str().unwrap()], "Example Roofing\n");
    assert_eq!(broken.status.code(), Some(1), "{}", said(&broken.stderr));
    let done = talked(&["new", "--firm", home.to_str().unwrap()], FIRM.split_once('\n').unwrap().1);
    let told = said(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{told}{}", said(&done.stderr));
    assert!(told.contains("`120 %` is not") || told.contains("it lies between 0 % and 90 %"), "{told}");
    assert!(!told.contains("still to be filled in"), "{told}");
    let firm = home.join("firm.yaml");
    let text = fs::read_to_string(&firm).unwrap();
    // The rules are all there, each as it is in the demo.
    assert!(text.contains("\nrules:\n") && text.contains("trim_lap: 50 mm"), "{text}");
    let priced =
        wetout(&["price", "jobs/kitchen-extension", "--firm", firm.to_str().unwrap(), "--prices", "jobs/prices.yaml"]);
    assert_eq!(priced.status.code(), Some(0), "{}", said(&priced.stderr));
    // The book is a template: nothing in it is sold until somebody has put prices in.
    let book = fs::read_to_string(home.join("prices.yaml")).unwrap();
    assert!(book.contains("name: Example Merchant") && book.contains("articles: []"), "{book}");
    assert!(book.lines().filter(|line| line.starts_with("  # - {role: ")).count() > 50, "{book}");
    let again = refused(&talked(&["new", "--firm", home.to_str().unwrap()], FIRM));
    assert!(again.contains("is there already"), "{again}");
    fs::remove_dir_all(folder).unwrap();
}

/// What was left open is shown as it is written, and written so the file is read.
#[test]
fn a_firm_that_leaves_its_vat_open_reads_how_it_is_written() {
    let folder = scratch("firm-vat");
    let home = folder.join("f");
    let done = talked(&["new", "--firm", home.to_str().unwrap()], &FIRM.replace("\nyes\nGB 000 0000 00\n", "\n-\n"));
    assert_eq!(done.status.code(), Some(0), "{}", said(&done.stderr));
    let line = "for example `vat: {registered: yes, rate: 20 %}`";
    let (firm, told) = (home.join("firm.yaml"), said(&done.stdout));
    let text = fs::read_to_string(&firm).unwrap();
    assert!(told.contains(line) && text.contains(line), "{told}{text}");
    let mended = text.replace("# vat: to be filled in, where it is needed", "vat: {registered: yes, rate: 20 %}");
    assert_ne!(mended, text);
    let mended = mended.replacen("\nfirm:\n", "\nfirm:\n  vat_number: GB 000 0000 00\n", 1);
    fs::write(&firm, mended).unwrap();
    let words = ["price", "jobs/kitchen-extension", "--firm", firm.to_str().unwrap(), "--prices", "jobs/prices.yaml"];
    let priced = wetout(&words);
    assert_eq!(priced.status.code(), Some(0), "{}", said(&priced.stderr));
    fs::remove_dir_all(folder).unwrap();
}

/// A list matched with nothing said of it.
fn matched_list(text: &str) -> MatchedList {
    match ListFile::of(text.as_bytes()).unwrap().rows(&Default::default()) {
        Ok(ListReading::Read(list)) => wetout::survey::matched(&list, &Default::default()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_merchants_list_becomes_a_price_book_as_far_as_it_is_sure() {
    let list = "Code;Product;Pack;Net price;Weight kg\n\
                A1;Chopped strand mat 450 g/m2;roll of 33 m;\"49.50\";15\n\
                A2;CSM chopped strand mat 450g;Roll 66m;92.00;30\n\
                A3;\"OSB/3 board, tongued and grooved, 2400 x 590 x 18 mm\";board;15.40;16.6\n\
                A4;Topcoat resin dark grey;20 kg tub;118.00;21\n\
                A5;Drip trim 3 m;each;11.85;1.9\n\
                A6;Galvanised clout nails 15 mm;box of 900;£7.25;1\n\
                A7;Garden gnome;each;3.00;2\n\
                A8;Acetone;5 l can;16.8;4.1\n\
                A9;Topcoat resin in sunset;20 kg tub;118.00;21\n\
                B1;Bandage 75 mm;roll of 75 m;call us;2.6\n\
                B2;Bandage 75 mm;roll of 75 m;\"13,90\";2.6\n\
                B3;Treated graded timber 47 x 147 mm;3.6 m length;\"1,012.10\";11.2\n";
    let matched = matched_list(list);
    let line = |code: &str| matched.lines.iter().find(|line| line.contains(&format!("code: {code},"))).cloned();
    for (code, words) in [
        ("A1", "holds: 33 m, price: 49.50, mass: 15 kg"),
        ("A2", "role: mat.450, code: A2"),
        ("A2", "holds: 66 m, price: 92.00, mass: 30 kg"),
        ("A3", "role: board.osb3-18, code: A3"),
        ("A3", "length: 2400 mm, width: 590 mm, thickness: 18 mm, edge: tongued"),
        ("A4", "role: topcoat.dark-grey"),
        ("A4", "holds: 20 kg, price: 118.00"),
        ("A5", "role: trim.drip"),
        ("A5", "length: 3 m"),
        ("A6", "role: nails.clout"),
        ("A6", "holds: 900, price: 7.25"),
        ("A8", "role: acetone"),
        ("A8", "holds: 5 l, price: 16.80"),
        ("B3", "role: sawn.47x147, code: B3"),
        ("B3", "price: 1012.10, mass: 11.2 kg, longest: 3.6 m, length: 3.6 m"),
    ] {
        assert!(line(code).is_some_and(|line| line.contains(words)), "{code} {words}: {matched:#?}");
    }
    for (number, words) in [(8, "Garden gnome"), (10, "it may be"), (11, "is no price"), (12, "`13,90` is no price")] {
        let told = matched.unsure.iter().map(UnsureRow::told).find(|row| row.starts_with(&format!("line {number}:")));
        assert!(told.is_some_and(|row| row.contains(words)), "{words}: {matched:#?}");
    }
    assert!(matched.unserved.contains(&"resin".to_owned()) && !matched.unserved.contains(&"acetone".to_owned()));
    let gross = "description,price inc VAT,price ex VAT\nAcetone 5 l can,20.16,16.80\n";
    assert!(matched_list(gross).lines[0].contains("price: 16.80"));
    let read = |text: &str| ListFile::of(text.as_bytes()).unwrap().rows(&Default::default());
    assert!(matches!(read("a,b\n1,2\n"), Ok(ListReading::Open(_))) && read("").is_err());
}

#[test]
fn the_demos_price_book_written_as_a_list_is_known_again() {
    // Of what the demo sells, described in its own words, nothing is taken for something else.
    let book = fs::read_to_string("jobs/prices.yaml").unwrap();
    let of = |line: &str, key: &str| {
        let from = line.find(&format!("{key}: "))? + key.len() + 2;
        let rest = &line[from..];
        let words = match rest.strip_prefix('"') {
            Some(quoted) => quoted.split('"').next()?,
            None => rest.split([',', '}']).next()?,
        };
        Some(words.to_owned())
    };
    let (mut list, mut roles) = ("code,description,pack,price\n".to_owned(), BTreeMap::new());
    for line in book.lines().filter(|line| line.starts_with("  - {role: ")) {
        let [role, code, about, pack, price] =
            ["role", "code", "description", "pack", "price"].map(|key| of(line, key).unwrap_or_default());
        list += &format!("{code},\"{about}\",\"{pack}\",{price}\n");
        roles.insert(code, role);
    }
    let matched = matched_list(&list);
    let mut faults = Vec::new();
    for line in matched.lines.iter().filter(|line| line.starts_with("  - ")) {
        let (role, code) = (of(line, "role").unwrap(), of(line, "code").unwrap());
        if roles[&code] != role {
            faults.push(format!("{code}: {role}, not {}", roles[&code]));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(matched.sure * 2 > roles.len(), "{} of {}: {:#?}", matched.sure, roles.len(), matched.unsure);
}
