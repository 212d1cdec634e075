//! Fields of all documents as whoever types into them finds them: long enough for what they ask, alike in the size of their
//! type, and in tables whose rows have as many cells each.

use crate::command::{scratch, wetout};
use crate::demo::{self, KINDS};
use crate::issued::{desk_of, done};
use crate::support::asked;
use lopdf::{Dictionary, Document, Object, decode_text_string};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use wetout::documents::Overrides;
use wetout::documents::method;
use wetout::documents::words::Words;
use wetout::pages::fitting;
use wetout::pages::page::{NodeRole, Paper};

/// A date as a viewer writes it out, `Wednesday 13 January 2027` in type of 9 pt, is so long, pt.
const LONG_DATE: f64 = 122.0;
/// A name in the same type, pt.
const NAME: f64 = 100.0;

/// One field of a document.
struct Field {
    name: String,
    width: f64,
    height: f64,
    dictionary: Dictionary,
}

impl Field {
    fn is(&self, kind: &[u8]) -> bool {
        self.dictionary.get(b"FT").and_then(Object::as_name).is_ok_and(|name| name == kind)
    }

    fn has_several_lines(&self) -> bool {
        self.dictionary.get(b"Ff").and_then(Object::as_i64).is_ok_and(|flags| flags & (1 << 12) != 0)
    }

    /// The size of its type, pt; 0 where it fills its box.
    fn size(&self) -> f64 {
        let look = self.dictionary.get(b"DA").unwrap().as_str().unwrap();
        String::from_utf8_lossy(look).split(' ').nth(1).unwrap().parse().unwrap()
    }

    /// What it asks for, without what it stands under.
    fn asks(&self) -> &str {
        self.name.rsplit(": ").next().unwrap()
    }

    fn asks_for_a_date(&self) -> bool {
        let asked = self.asks().to_lowercase();
        let words = ["date", "from", "delivery day", "entered by us"];
        asked.starts_with("date,")
            || asked.ends_with(" on")
            || asked.ends_with("until")
            || asked.ends_with(" date")
            || words.iter().any(|word| asked == *word || asked.starts_with("delivery day of"))
    }
}

fn fields(bytes: &[u8]) -> Vec<Field> {
    let file = Document::load_mem(bytes).unwrap();
    let form =
        file.catalog().unwrap().get(b"AcroForm").map(|form| file.dereference(form).unwrap().1.as_dict().unwrap());
    let Ok(form) = form else { return Vec::new() };
    let one = |id: &Object| {
        let dictionary = file.dereference(id).unwrap().1.as_dict().unwrap().clone();
        let name = decode_text_string(dictionary.get(b"T").unwrap()).unwrap();
        let corners = dictionary.get(b"Rect").unwrap().as_array().unwrap();
        let at = |n: usize| f64::from(corners[n].as_float().unwrap());
        Field { name, width: at(2) - at(0), height: at(3) - at(1), dictionary }
    };
    form.get(b"Fields").unwrap().as_array().unwrap().iter().map(one).collect()
}

fn big_job(name: &str) -> demo::Demo {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs").join(name);
    demo::work(&asked(&fs::read_to_string(file).unwrap()))
}

/// The documents of all demo jobs, of the big ones, of a deal, and the survey form, each with its fields.
fn all() -> &'static BTreeMap<String, Vec<Field>> {
    static ALL: OnceLock<BTreeMap<String, Vec<Field>>> = OnceLock::new();
    ALL.get_or_init(read_all)
}

fn read_all() -> BTreeMap<String, Vec<Field>> {
    let mut all = BTreeMap::new();
    let demos = demo::names().into_iter().map(|name| (name.clone(), demo::work(&demo::request(&name))));
    let big =
        ["twelve-roofs", "long-names", "tiny-roof"].map(|name| (name.to_owned(), big_job(&format!("{name}.yaml"))));
    for (name, job) in demos.chain(big) {
        for kind in KINDS {
            for made in job.make(kind).into_iter().filter(|made| made.name.ends_with(".pdf")) {
                all.insert(format!("{name}/{}", made.name), fields(&made.bytes));
            }
        }
    }
    let mut kept = |name: &str, path: &Path| {
        all.insert(name.to_owned(), fields(&fs::read(path).unwrap()));
    };
    for (name, signed) in [("kitchen-extension", &["R. Okafor"][..]), ("neighbours", &["J. Ashdown", "P. Lisle"])] {
        let desk = desk_of(&format!("fields-{name}"), name);
        let names: Vec<&str> = signed.iter().flat_map(|one| ["--name", *one]).collect();
        done(&desk, &["issue", "JOB", "quote"]);
        done(&desk, &[&["accept", "JOB", "--on", "2026-12-02"], &names[..]].concat());
        let out = desk.join("out");
        let _ = fs::remove_file(desk.join("k/record.yaml"));
        done(&desk, &["handover", "JOB", "--draft", "--out", out.to_str().unwrap()]);
        kept(&format!("{name}/handover"), &out.join("handover.pdf"));
        if name == "kitchen-extension" {
            done(
                &desk,
                &[
                    "variation",
                    "JOB",
                    desk.join("k/found.yaml").to_str().unwrap(),
                    "--on",
                    "2027-01-18",
                    "--draft",
                    "--out",
                    out.to_str().unwrap(),
                ],
            );
            kept(&format!("{name}/variation"), &out.join("variation.pdf"));
        }
    }
    let folder = scratch("fields-survey");
    let made = wetout(&["survey", "--out", folder.to_str().unwrap()]);
    assert!(made.status.success());
    kept("survey", &folder.join("survey.pdf"));
    all
}

/// Each faulty field of any document, told.
fn told(faulty: impl Fn(&Field) -> bool) -> Vec<String> {
    let all = all();
    assert!(all.len() > 25 && all.values().map(Vec::len).sum::<usize>() > 800);
    let of = |(document, fields): (&String, &Vec<Field>)| {
        let tell = |field: &Field| format!("{document}: {}, {:.0} × {:.0} pt", field.name, field.width, field.height);
        fields.iter().filter(|field| faulty(field)).map(tell).collect::<Vec<_>>()
    };
    all.iter().flat_map(of).collect()
}

#[test]
fn a_date_written_out_and_a_name_stand_on_their_lines() {
    let short = told(|field| {
        let named = ["Handed over by", "Customer's signature", "Customer’s signature"].contains(&field.asks());
        field.is(b"Tx") && (field.asks_for_a_date() && field.width < LONG_DATE || named && field.width < NAME)
    });
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// As on the page: what is heard of a field has the apostrophes of print, and some names of fields have one.
#[test]
fn what_a_field_is_called_has_the_quotation_marks_of_print() {
    let called = |field: &Field, key: &[u8]| decode_text_string(field.dictionary.get(key).unwrap()).unwrap();
    assert_eq!(told(|field| [&b"TU"[..], b"Contents"].iter().any(|key| called(field, key).contains('\''))), [""; 0]);
    assert!(told(|field| called(field, b"TU").contains('’')).len() > 10);
    // Whose day a day is: no field asks for nothing but a date, unless what it stands under says so.
    assert_eq!(told(|field| field.name == "Date"), [""; 0]);
}

#[test]
fn what_is_typed_is_alike_in_size_and_a_paragraph_is_not_as_large_as_its_box_allows() {
    let uneven = told(|field| match field.has_several_lines() {
        true => !(8.0..=9.0).contains(&field.size()),
        false => field.is(b"Tx") && (field.size() != 0.0 || !(9.0..=15.1).contains(&field.height)),
    });
    assert!(uneven.is_empty(), "{}", uneven.join("\n"));
}

#[test]
fn every_field_of_a_paragraph_holds_one() {
    // A letter is some half as wide as its type is high.
    let lines = |field: &Field| (155.0 * 0.53 * field.size() / field.width).ceil();
    let full = told(|field| field.has_several_lines() && lines(field) * 1.36 * field.size() > field.height);
    assert!(full.is_empty(), "{}", full.join("\n"));
}

#[test]
fn a_time_or_a_moisture_of_a_day_has_its_room() {
    let narrow = told(|field| field.name.contains("Day ") && field.is(b"Tx") && field.width < 27.9);
    assert!(narrow.is_empty(), "{}", narrow.join("\n"));
    let of_days = told(|field| field.name.contains("Day ") && field.is(b"Tx"));
    assert!(of_days.iter().any(|field| field.starts_with("twelve-roofs/")), "{of_days:?}");
}

/// Cells of each row of each table, one that spans several columns counted as so many.
fn rows(paper: &Paper) -> BTreeMap<usize, Vec<usize>> {
    let mut of_row: BTreeMap<usize, usize> = BTreeMap::new();
    for node in &paper.nodes {
        let columns = match &node.role {
            NodeRole::HeadingCell { span, .. } => *span,
            NodeRole::Cell { .. } => 1,
            _ => continue,
        };
        *of_row.entry(node.parent).or_default() += columns;
    }
    let mut of_table: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (row, columns) in of_row {
        let mut above = paper.nodes[row].parent;
        while paper.nodes[above].role != NodeRole::Table {
            above = paper.nodes[above].parent;
        }
        of_table.entry(above).or_default().push(columns);
    }
    of_table
}

#[test]
fn all_rows_of_a_table_of_days_have_as_many_cells() {
    let words = Words::new(&Overrides::default()).unwrap();
    for name in ["twelve-roofs.yaml", "tiny-beside-large.yaml"] {
        let paper = fitting::lay_out(&method::document(&big_job(name).worked(), &words).unwrap()).unwrap();
        let tables = rows(&paper);
        assert!(tables.len() > 5, "{name}");
        for (table, columns) in tables {
            assert!(columns.iter().all(|count| *count == columns[0]), "{name}, table {table}: {columns:?}");
        }
    }
}

/// In a list that is dropped down many viewers take none but its own words.
#[test]
fn a_list_of_the_survey_takes_its_own_words_alone_and_can_be_emptied() {
    let all = all();
    let form = &all["survey"];
    let lists: Vec<&Field> = form.iter().filter(|field| field.is(b"Ch")).collect();
    assert!(lists.len() > 10, "{}", lists.len());
    for field in lists {
        assert_eq!(field.dictionary.get(b"Ff").unwrap().as_i64().unwrap(), 1 << 17, "{}", field.name);
        let choices = field.dictionary.get(b"Opt").unwrap().as_array().unwrap();
        assert_eq!(decode_text_string(&choices[0]).unwrap(), "", "{}", field.name);
    }
    for name in ["Roof 1: Fall", "Roof 1: Old boards, mm", "Roof 1, side A: gutter under it"] {
        assert!(form.iter().any(|field| field.name == name && field.is(b"Tx")), "{name}");
    }
}

/// A line printed where nothing can be typed is taken for a field that does not work.
#[test]
fn a_draft_of_the_handover_asks_for_its_days_in_fields() {
    let all = all();
    let handover = &all["kitchen-extension/handover"];
    for asked in ["Finished on", "Handed over on"] {
        assert!(handover.iter().any(|field| field.asks() == asked), "{asked}");
    }
}

/// A viewer writes a letter that the fields' font has a code for, and leaves a field without a look for any other.
#[test]
fn the_font_of_fields_has_the_letters_of_welsh_polish_and_romanian_names() {
    let made = demo::work(&demo::request("balcony")).make(wetout::documents::DocumentKind::Quote);
    let file = Document::load_mem(&made[0].bytes).unwrap();
    let follow = |dictionary: &Dictionary, key: &[u8]| {
        file.dereference(dictionary.get(key).unwrap()).unwrap().1.as_dict().unwrap().clone()
    };
    let form = follow(file.catalog().unwrap(), b"AcroForm");
    let font = follow(&follow(&follow(&form, b"DR"), b"Font"), b"Field");
    let (_, table) = file.dereference(font.get(b"ToUnicode").unwrap()).unwrap();
    let table = String::from_utf8(table.as_stream().unwrap().decompressed_content().unwrap()).unwrap();
    let widths = font.get(b"Widths").unwrap().as_array().unwrap();
    let first = font.get(b"FirstChar").unwrap().as_i64().unwrap();
    for letter in "Zoë Müller £ € ŵŷŴŶ Łukasz Żółć ąęńśź Ștefan Țurcanu ăț".chars() {
        let told = format!("> <{:04X}>", u32::from(letter));
        let line = table.lines().find(|line| line.ends_with(&told)).unwrap_or_else(|| panic!("{letter} in {table}"));
        let code = i64::from_str_radix(&line[1..3], 16).unwrap();
        assert!(widths[(code - first) as usize].as_i64().unwrap() > 100, "{letter}");
        assert!(![9, 10, 13].contains(&code), "{letter} has the code of an end of a line");
    }
    // Codes of its own ask for no encoding (ISO 19005-3, 6.2.11.6).
    assert!(!font.has(b"Encoding"));
    let flags = follow(&font, b"FontDescriptor").get(b"Flags").unwrap().as_i64().unwrap();
    assert_eq!(flags & (4 | 32), 4);
}
