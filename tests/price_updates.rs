//! A merchant's new list beside the price book: what it changes, what is asked, what is written and what never is; lists as merchants
//! send them, as CSV and as workbooks, and such as would harm.

use crate::command::scratch;
use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use serde_json::Value;
use std::fs;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::thread;
use std::time::{Duration, Instant};
use zip::write::SimpleFileOptions;

/// A price book with what a book may have: remarks, blanks, quotes, several spellings.
const BOOK: &str = "\
# Prices of Coldharbour, in our own order.
merchant: {name: Coldharbour Roofing Supplies, delivery: 45.00}
dated: 2026-11-02   # their November list

articles:
  # Resin first
  - {role: resin, code: LR-20, description: Laminating resin, pack: 20 kg drum, holds: 20 kg, price: 89.00, mass: 21.5 kg} # the good one
  - {role: resin, code: LR-10, description: Laminating resin, pack: 10 kg drum, holds: 10 kg, price: '49.00'}

  - role: trim.drip
    code: \"TD 300\"
    description: Drip trim
    pack: 3 m length
    holds: 1
    price:    11.85     # a length
    length: 3.0 m
    longest: 3.0 m
  - {role: acetone, code: AC-5, description: Acetone, pack: 5 l can, holds: 5 l, price: 16.80}
  - {role: mat.450, code: M450-33, description: Chopped strand mat 450 g/m², pack: roll of 33 m, holds: 33 m, price: 49.50, width: 1000 mm}
  - {role: brush, code: BR-75, description: \"Laminating brush, 75 mm\", pack: each, holds: 1, price: 1.90}
  - {role: bucket, code: BU-10, description: \"Mixing bucket, 10 l\", pack: each, holds: 1, price: 2.40}
  - {role: gloves, code: GL-50, description: \"Nitrile gloves, box of 50 pairs\", pack: box of 50 pairs, holds: 50, price: 11.50, breaks: [{from: 10, price: 10.90}]}
  - {role: bandage.75, code: B75, description: Bandage 75 mm, pack: roll of 75 m, holds: 75 m, price: 13.90}
  - {role: nails.clout, code: CL-15, description: \"Clout nails 15 mm, galvanised\", pack: 1 kg box of about 900, holds: 900, price: 7.25}
";

/// The list of December as it comes: lines above the headings, its own words, thousands of other things left out.
pub const LIST: &str = "\
Coldharbour Roofing Supplies Ltd;;;;\n\
Trade price list December 2026;;;;\n\
\n\
Product code;Product;Unit;Trade price £;RRP inc VAT\n\
RESIN AND MAT;;;;\n\
LR-20;Laminating resin;20 kg drum;£94.50;140.00\n\
LR-10;Laminating resin;9 kg drum;£49.00;80.00\n\
td300;Drip trim white;3 m length;11.40;18.00\n\
AC-5;Acetone;5 l can;168.00;25.00\n\
M450-33;Chopped strand mat 450 g/m2;roll of 33 m;49.5;70.00\n\
GL-50;Nitrile gloves, box of 50 pairs;box of 50 pairs;12.10;18.00\n\
X-1;Laminating brush, 75 mm;each;1.95;3.00\n\
X-2;Bandage for joints 75 mm;roll of 75 m;14.20;22.00\n\
BU-10;Mixing bucket, 10 l;each;call us;5.00\n\
CL-15;Garden gnome;each;7.10;9.00\n\
N-9;Bandage 150 mm;roll of 75 m;25.80;40.00\n\
G-7;Galvanised watering can;each;8.00;12.00\n";

struct Desk(PathBuf);

impl Desk {
    fn new(name: &str) -> Desk {
        let folder = scratch(name);
        fs::write(folder.join("prices.yaml"), BOOK).unwrap();
        fs::write(folder.join("december.csv"), LIST).unwrap();
        Desk(folder)
    }

    fn begun(&self, words: &[&str]) -> Child {
        Command::new(env!("CARGO_BIN_EXE_wetout"))
            .args(["prices", "update"])
            .args(words)
            .current_dir(&self.0)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    }

    fn typed(&self, words: &[&str], lines: &str) -> Output {
        let mut child = self.begun(words);
        // What asks nothing closes its input at once.
        let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
        child.wait_with_output().unwrap()
    }

    /// What is said where all is well.
    fn said(&self, words: &[&str]) -> String {
        let done = self.typed(words, "");
        assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()), "{words:?}");
        text(&done.stdout)
    }

    fn refused(&self, words: &[&str], code: i32) -> String {
        let done = self.typed(words, "");
        assert_eq!((done.status.code(), text(&done.stdout)), (Some(code), String::new()), "{}", text(&done.stderr));
        text(&done.stderr)
    }

    fn json(&self, words: &[&str]) -> Value {
        serde_json::from_str(&self.said(&[words, &["--json"]].concat())).unwrap()
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(&self.0)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter(|name| !name.ends_with(".csv") && !name.ends_with(".xlsx"))
            .collect();
        names.sort();
        names
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn column(list: &Value, key: &str) -> Vec<String> {
    list.as_array().unwrap().iter().map(|row| row[key].as_str().unwrap().to_owned()).collect()
}

/// A point written as a comma, and no quotes round it, parts a price in two cells: neither is taken for the price.
#[test]
fn a_price_in_two_cells_is_not_taken() {
    let desk = Desk::new("two-cells");
    let list = |price: &str| format!("Code,Description,Pack,Price\nAC-5,Acetone,5 l can,{price}\n");
    fs::write(desk.0.join("right.csv"), list("17.25")).unwrap();
    fs::write(desk.0.join("wrong.csv"), list("17,25")).unwrap();
    let right = desk.json(&["right.csv"]);
    assert_eq!(right["changes"].as_array().unwrap().len(), 1, "{right}");
    assert_eq!(right["no_price"].as_array().unwrap().len(), 0, "{right}");
    let wrong = desk.json(&["wrong.csv"]);
    assert_eq!(wrong["no_price"].as_array().unwrap().len(), 1, "{wrong}");
    assert_eq!(wrong["changes"].as_array().unwrap().len(), 0, "{wrong}");
}

#[test]
fn a_list_is_told_against_the_book_and_nothing_is_written() {
    let desk = Desk::new("prices-told");
    let told = desk.said(&["december.csv"]);
    for words in [
        "prices of",
        "3 prices rose",
        "LR-20  Laminating resin",
        "89.00  94.50  +5.50  +6.2",
        "GL-50",
        "1 price fell",
        "11.85  11.40  -0.45  -3.8",
        "1 price moved so much that a slip is likely",
        "taken with --take CODE: AC-5",
        "1 price stays as they are",
        "line 14: BU-10: `call us`",
        "GL-50 has lower prices from so many packs on",
        "its pack holds 9 kg, and that of `LR-10` in the price book 10 kg",
        "line 15: CL-15, Garden gnome: under that code the price book has “Clout nails 15 mm, galvanised”",
        "line 13: X-2, Bandage for joints 75 mm: it is described nearly as `B75` is, and under another code; it may be `B75`",
        "line 16: {role: bandage.150, code: N-9",
        "1 row is of other things",
        "1 article has another code in the list",
        "BR-75: X-1 in the list",
        "nothing is written; --write puts the new prices into prices.yaml",
    ] {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    // What moved most stands first.
    assert!(told.find("LR-20").unwrap() < told.find("GL-50").unwrap(), "{told}");
    assert_eq!(desk.names(), ["prices.yaml"]);
    assert_eq!(desk.read("prices.yaml"), BOOK);
    let json = desk.json(&["december.csv", "--dated", "2026-12-01"]);
    assert_eq!(column(&json["changes"], "code"), ["LR-20", "TD 300", "BR-75", "GL-50"]);
    assert_eq!(column(&json["slips"], "code"), ["AC-5"]);
    assert_eq!(column(&json["unsure"], "code"), ["LR-10", "X-2", "CL-15"]);
    assert_eq!(json["changes"][0]["percent"], 6.2);
    assert_eq!((&json["dated"]["after"], &json["written"]), (&"2026-12-01".into(), &false.into()));
    assert_eq!(json["columns"]["price"], "Trade price £");
}

#[test]
fn only_prices_and_the_day_are_written_and_the_book_before_stays() {
    let desk = Desk::new("prices-written");
    let told = desk.said(&["december.csv", "--write", "--dated", "2026-12-01", "--take", "AC-5"]);
    assert!(told.contains("wrote prices.yaml; as it was it is kept as ./prices.before-2026-11-02.yaml"), "{told}");
    // Every other sign of the file is where it was.
    let wanted = BOOK
        .replace("dated: 2026-11-02", "dated: 2026-12-01")
        .replace("89.00", "94.50")
        .replace("11.85", "11.40")
        .replace("11.50", "12.10")
        .replace("price: 1.90", "price: 1.95")
        .replace("16.80", "168.00");
    assert_eq!(desk.read("prices.yaml"), wanted);
    assert_eq!(desk.read("prices.before-2026-11-02.yaml"), BOOK);
    assert_eq!(desk.names(), ["prices.before-2026-11-02.yaml", "prices.list.yaml", "prices.yaml"]);
    // The same again changes nothing.
    let again = desk.said(&["december.csv", "--write", "--dated", "2026-12-01"]);
    assert!(again.contains("prices.yaml stays as it is") && again.contains("no price that can be read"), "{again}");
    assert_eq!(desk.read("prices.yaml"), wanted);
    assert_eq!(desk.names().len(), 3);
    // A list that is older than the book is taken only where that is meant.
    let older = ["december.csv", "--write", "--dated", "2026-10-01"];
    let said = desk.refused(&older, 2);
    assert!(said.contains("the list is of 2026-10-01") && said.contains("the prices of 2026-12-01 already"), "{said}");
    assert_eq!(desk.read("prices.yaml"), wanted);
    desk.said(&[&older[..], &["--older"]].concat());
    // With the marks of another system at its lines, and at its beginning.
    let windows = format!("\u{feff}{}", BOOK.replace('\n', "\r\n"));
    fs::write(desk.0.join("prices.yaml"), &windows).unwrap();
    desk.said(&["december.csv", "--write", "--dated", "2026-12-01", "--take", "AC-5"]);
    assert_eq!(desk.read("prices.yaml"), format!("\u{feff}{}", wanted.replace('\n', "\r\n")));
    assert_eq!(desk.read("prices.before-2026-11-02-2.yaml"), windows);
}

#[test]
fn a_price_that_another_refers_to_is_refused_and_not_changed_unseen() {
    let desk = Desk::new("prices-referred");
    let shared = BOOK.replace("price: 89.00", "price: &p 89.00").replace("price: '49.00'", "price: *p");
    fs::write(desk.0.join("prices.yaml"), &shared).unwrap();
    let told = desk.refused(&["december.csv", "--write"], 1);
    assert!(
        told.contains("prices.yaml:") && told.contains("by reference") && told.contains("write the value out"),
        "{told}"
    );
    assert_eq!(desk.read("prices.yaml"), shared);
    assert_eq!(desk.names(), ["prices.yaml"]);
}

#[test]
fn what_is_not_sure_is_asked_once_and_remembered() {
    let desk = Desk::new("prices-asked");
    let words = ["december.csv", "--write", "--ask", "--dated", "2026-12-01"];
    // A row, then broken off: what was said is kept, and the book is not.
    let broken = desk.typed(&words, "?\n1\nstop\n");
    let told = text(&broken.stdout);
    assert_eq!(broken.status.code(), Some(1), "{told}{}", text(&broken.stderr));
    assert!(
        told.contains("line 7: LR-10, Laminating resin, 9 kg drum, 49.00") && told.contains("`?` is none"),
        "{told}"
    );
    assert!(told.contains("   1  LR-10: Laminating resin, 10 kg drum, 49.00") && told.contains("broken off"), "{told}");
    assert_eq!(desk.read("prices.yaml"), BOOK);
    // It goes on with the next: the bandage is ours, by its code; the gnome is none of ours; the price of acetone is no slip.
    let done = desk.typed(&words, "B75\n-\nyes\n");
    let told = text(&done.stdout);
    assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()), "{told}");
    assert!(!told.contains("9 kg drum, 49.00\n") && told.contains("16.80 before, 168.00 in line 9 (+900 %)"), "{told}");
    let book = desk.read("prices.yaml");
    assert!(
        book.contains("price: 14.20}") && book.contains("price: 168.00}") && book.contains("price: 7.25}"),
        "{book}"
    );
    let kept = desk.read("prices.list.yaml");
    for line in ["  price: \"Trade price £\"", "  code: Product code", "  LR-10: LR-10", "  X-2: B75", "  CL-15: none"]
    {
        assert!(kept.lines().any(|l| l == line), "{line}: {kept}");
    }
    // Nothing of it is asked again.
    let json = desk.json(&["december.csv"]);
    assert_eq!(json["unsure"], Value::Array(Vec::new()));
    assert_eq!(desk.typed(&words, "").status.code(), Some(0));
    // What somebody writes into that file and cannot be read is told in its place.
    fs::write(desk.0.join("prices.list.yaml"), kept.replace("  price:", "  prize:")).unwrap();
    let told = desk.refused(&["december.csv"], 1);
    assert!(told.contains("prices.list.yaml:") && told.contains("`prize` is not a column"), "{told}");
    fs::write(desk.0.join("prices.list.yaml"), "rows: [a]\n").unwrap();
    assert!(desk.refused(&["december.csv"], 1).contains("one name and one value"));
}

/// Killed while it reads, asks or writes, at any moment: the book is the old one or the new one, and where it is the new one the old one
/// lies beside it; the next run clears away what is left of dead ones.
#[test]
fn an_update_that_is_killed_leaves_the_book_old_or_new_and_the_next_run_ends_it() {
    const KEPT: &str = "prices.before-2026-11-02.yaml";
    const ANSWERS: &str = "1\nB75\n-\nyes\n";
    let plain = ["december.csv", "--write", "--dated", "2026-12-01"];
    let asked = [&plain[..], &["--ask"]].concat();
    let runs = [(&plain[..], ""), (&asked, ANSWERS)];
    // What each gives, and what is remembered of it, where nothing disturbs it.
    let undisturbed = runs.map(|(words, lines)| {
        let desk = Desk::new("prices-kill-whole");
        let begun = Instant::now();
        assert_eq!(desk.typed(words, lines).status.code(), Some(0));
        (desk.read("prices.yaml"), desk.read("prices.list.yaml"), begun.elapsed().as_micros() as u64)
    });
    assert!(undisturbed[0].0 != BOOK && undisturbed[1].0 != undisturbed[0].0);
    let desk = Desk::new("prices-kill");
    let mut chance = TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]);
    let kills: usize = std::env::var("WETOUT_KILLS").map_or(40, |n| n.parse().unwrap());
    let (mut killed, mut halfway) = (0, 0);
    for n in 0..kills {
        let ((words, lines), (new, list, whole_run)) = (runs[n % 2], &undisturbed[n % 2]);
        let before = desk.names();
        let mut child = desk.begun(words);
        let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
        if n % 4 < 2 {
            thread::sleep(Duration::from_micros(chance.next_u64() % whole_run));
        } else {
            while desk.names() == before && child.try_wait().unwrap().is_none() {
                thread::sleep(Duration::from_micros(50));
            }
            thread::sleep(Duration::from_micros(chance.next_u64() % 8000));
        }
        let _ = child.kill();
        killed += usize::from(!child.wait_with_output().unwrap().status.success());
        let when = format!("kill {n}, {words:?}: {:?}", desk.names());
        let book = desk.read("prices.yaml");
        assert!(book == BOOK || book == *new, "{when}: {book}");
        let kept = fs::read_to_string(desk.0.join(KEPT)).ok();
        assert!(kept.as_deref().map_or(book == BOOK, |kept| kept == BOOK), "{when}: {kept:?}");
        // Answers are kept one by one: each time the beginning of all, and nothing torn.
        if desk.names().iter().any(|name| name == "prices.list.yaml") {
            let remembered = desk.read("prices.list.yaml");
            assert!(
                remembered.ends_with('\n') && remembered.lines().all(|l| list.lines().any(|w| w == l)),
                "{when}: {remembered}"
            );
        }
        halfway += usize::from(desk.names().iter().any(|name| name.starts_with(".wetout-")));
        // As it was, but for what the dead run left of its own.
        fs::write(desk.0.join("prices.yaml"), BOOK).unwrap();
        for name in [KEPT, "prices.list.yaml"] {
            let _ = fs::remove_file(desk.0.join(name));
        }
    }
    assert!(killed > kills / 2, "only {killed} of {kills} runs were still alive when they were killed");
    assert!(halfway > 0, "no run was killed while it wrote");
    assert_eq!(desk.typed(&plain, "").status.code(), Some(0));
    assert_eq!((desk.read("prices.yaml"), desk.read(KEPT)), (undisturbed[0].0.clone(), BOOK.to_owned()));
    assert_eq!(desk.names(), [KEPT, "prices.list.yaml", "prices.yaml"]);
}

/// Whoever is stopped between two questions has lost no answer.
#[test]
fn an_update_that_is_killed_between_two_questions_goes_on_with_the_second() {
    let desk = Desk::new("prices-kill-asked");
    let words = ["december.csv", "--write", "--ask", "--dated", "2026-12-01"];
    let mut child = desk.begun(&words);
    let mut lines = child.stdin.take().unwrap();
    lines.write_all(b"1\n").unwrap();
    let begun = Instant::now();
    let kept = |name: &str| fs::read_to_string(desk.0.join(name)).is_ok_and(|text| text.contains("  LR-10: LR-10\n"));
    while !kept("prices.list.yaml") {
        assert!(begun.elapsed() < Duration::from_secs(60) && child.try_wait().unwrap().is_none());
        thread::sleep(Duration::from_millis(1));
    }
    child.kill().unwrap();
    assert!(!child.wait_with_output().unwrap().status.success());
    drop(lines);
    assert_eq!(desk.read("prices.yaml"), BOOK);
    let done = desk.typed(&words, "B75\n-\nyes\n");
    let told = text(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{told}{}", text(&done.stderr));
    assert!(!told.contains("line 7: LR-10"), "it is asked again: {told}");
    assert!(desk.read("prices.yaml").contains("price: 14.20}"));
    assert_eq!(desk.names(), ["prices.before-2026-11-02.yaml", "prices.list.yaml", "prices.yaml"]);
}

#[test]
fn columns_that_are_not_plain_are_asked_named_and_remembered() {
    let desk = Desk::new("prices-columns");
    let odd = "Artikel,What it is,Tier 1 price,Tier 2 price\nLR-20,Laminating resin 20 kg drum,95.00,91.00\n";
    fs::write(desk.0.join("odd.csv"), odd).unwrap();
    let told = desk.refused(&["odd.csv"], 2);
    assert!(
        told.contains("which column is the price is not plain") && told.contains("--column price=HEADING"),
        "{told}"
    );
    assert!(told.contains("Tier 1 price, Tier 2 price") && told.contains("line 1"), "{told}");
    assert!(desk.refused(&["odd.csv", "--column", "prize=Tier 1 price"], 2).contains("names no column"));
    assert!(desk.refused(&["odd.csv", "--column", "price=Tier 3"], 2).contains("no column is headed `Tier 3`"));
    // Asked, where somebody answers.
    let asked = desk.typed(&["odd.csv", "--write", "--ask", "--dated", "2026-12-01"], "9\n2\nWhat it is\n");
    let told = text(&asked.stdout);
    assert!(told.contains("`9` is none of them") && told.contains("Which of them is the description?"), "{told}");
    assert_eq!(asked.status.code(), Some(0), "{told}{}", text(&asked.stderr));
    let kept = desk.read("prices.list.yaml");
    assert!(kept.contains("price: Tier 2 price") && kept.contains("description: What it is"), "{kept}");
    // Without a code it is known by its words; the next list needs nothing.
    let next = odd.replace("91.00", "92.50");
    fs::write(desk.0.join("next.csv"), next).unwrap();
    let json = desk.json(&["next.csv"]);
    assert_eq!(
        (&json["changes"][0]["after"], &json["changes"][0]["known_by"]),
        (&"92.50".into(), &"words".into()),
        "{json}"
    );
    // A heading that is gone is told, not guessed at.
    fs::write(desk.0.join("gone.csv"), odd.replace("Tier 2 price", "Price B")).unwrap();
    assert!(desk.refused(&["gone.csv"], 2).contains("no column is headed `Tier 2 price`"));
}

#[test]
fn every_article_of_the_demo_is_found_by_its_code_and_none_doubted() {
    // The demo's price book as its merchant would list it, every price a tenth higher.
    let desk = Desk::new("prices-demo");
    fs::copy(concat!(env!("CARGO_MANIFEST_DIR"), "/jobs/prices.yaml"), desk.0.join("prices.yaml")).unwrap();
    let book: serde_yaml::Value = serde_yaml::from_str(&desk.read("prices.yaml")).unwrap();
    let articles = book["articles"].as_sequence().unwrap();
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(["Code", "Description", "Pack size", "Net price"]).unwrap();
    for article in articles {
        let of = |key: &str| article[key].as_str().unwrap_or_default().to_owned();
        let price = format!("{:.2}", article["price"].as_f64().unwrap() * 1.1);
        // Merchants have their own way of writing a pack.
        table.write_record([of("code"), of("description"), of("pack").to_uppercase(), price]).unwrap();
    }
    fs::write(desk.0.join("december.csv"), table.into_inner().unwrap()).unwrap();
    let json = desk.json(&["december.csv"]);
    let changed = json["changes"].as_array().unwrap();
    assert_eq!((changed.len(), &json["unsure"]), (articles.len(), &Value::Array(Vec::new())), "{json}");
    assert!(changed.iter().all(|change| change["known_by"] == "code"));
    // Without codes most are found by what they are, and none is taken for another.
    let text: String =
        desk.read("december.csv").lines().map(|l| format!("{}\n", l.split_once(',').unwrap().1)).collect();
    fs::write(desk.0.join("words.csv"), text).unwrap();
    let json = desk.json(&["words.csv"]);
    let found = json["changes"].as_array().unwrap();
    let prices = |code: &str| changed.iter().find(|change| change["code"] == code).unwrap()["after"].clone();
    let wrong: Vec<&Value> = found.iter().filter(|c| c["after"] != prices(c["code"].as_str().unwrap())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(found.len() * 10 > articles.len() * 9, "{} of {}: {:#}", found.len(), articles.len(), json["unsure"]);
}

#[test]
fn quotes_that_wait_and_drafts_are_priced_with_the_new_list() {
    let desk = Desk::new("prices-jobs");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    for file in ["firm.yaml", "logo.png", "prices.yaml"] {
        fs::copy(demo.join(file), desk.0.join(file)).unwrap();
    }
    for job in ["bay", "dormer", "balcony"] {
        fs::create_dir(desk.0.join(job)).unwrap();
        for entry in fs::read_dir(demo.join(job)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                fs::copy(&path, desk.0.join(job).join(path.file_name().unwrap())).unwrap();
            }
        }
    }
    let run = |words: &[&str]| {
        let done = Command::new(env!("CARGO_BIN_EXE_wetout")).args(words).current_dir(&desk.0).output().unwrap();
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", text(&done.stderr));
        text(&done.stdout)
    };
    run(&["issue", "bay", "quote"]);
    run(&["issue", "dormer", "quote"]);
    run(&["decline", "dormer", "--on", "2026-12-02", "--because", "too dear"]);
    let total = |job: &str| {
        let json: Value = serde_json::from_str(&run(&["price", job, "--json"])).unwrap();
        json["total"].as_str().unwrap().to_owned()
    };
    let before = [total("balcony"), total("bay")];
    fs::write(
        desk.0.join("december.csv"),
        "Code,Description,Price\nresin-laminating-20kg,Laminating resin,99.00\n\
              resin-laminating-10kg,Laminating resin,58.00\nresin-laminating-5kg,Laminating resin,31.00\n",
    )
    .unwrap();
    let json = desk.json(&["december.csv"]);
    let jobs = json["jobs"].as_array().unwrap();
    // What was declined is no longer open.
    assert_eq!(column(&json["jobs"], "job").len(), 2, "{json}");
    let of = |name: &str| jobs.iter().find(|job| job["job"].as_str().unwrap().contains(name)).unwrap();
    assert!(of("balcony")["quote"].is_null() && of("bay")["quote"]["revision"] == "A", "{json}");
    assert_eq!([&of("balcony")["sums"]["total"], &of("bay")["sums"]["total"]], [&before[0], &before[1]]);
    let told = desk.said(&["december.csv"]);
    assert!(told.contains("revision A") && told.contains("draft") && told.contains("with the list"), "{told}");
    // What it was told to come to is what it comes to, once the prices are in the book.
    desk.said(&["december.csv", "--write", "--dated", "2026-11-28"]);
    let after = [total("balcony"), total("bay")];
    assert_eq!(
        [&of("balcony")["sums"]["total_with_list"], &of("bay")["sums"]["total_with_list"]],
        [&after[0], &after[1]]
    );
    assert!(after != before, "{after:?}");
}

#[test]
fn of_several_books_one_is_named_and_what_lies_beside_it_is_no_book() {
    let desk = Desk::new("prices-several");
    fs::create_dir(desk.0.join("prices")).unwrap();
    fs::rename(desk.0.join("prices.yaml"), desk.0.join("prices/coldharbour.yaml")).unwrap();
    let other = BOOK.replace("Coldharbour", "Dock Road").replace("89.00", "88.00");
    fs::write(desk.0.join("prices/dock-road.yaml"), other).unwrap();
    let told = desk.refused(&["december.csv"], 2);
    assert!(told.contains("there are 2 price books") && told.contains("dock-road.yaml"), "{told}");
    desk.said(&["december.csv", "--prices", "prices/coldharbour.yaml", "--write", "--dated", "2026-12-01"]);
    let names = |folder: &str| fs::read_dir(desk.0.join(folder)).unwrap().count();
    assert_eq!(names("prices"), 4, "two books, one as it was, and what is remembered");
    // Still two: the others are read by nobody.
    assert!(desk.refused(&["december.csv"], 2).contains("there are 2 price books"));
    fs::remove_dir_all(desk.0.join("prices")).unwrap();
    assert!(desk.refused(&["december.csv"], 2).contains("there is no prices.yaml"));
}

#[test]
fn a_price_book_is_begun_from_a_list_with_what_somebody_says_of_its_rows() {
    let desk = Desk::new("prices-begun");
    let list = "Art no;What;Pack;Tier 1 price;Tier 2 price\n\
                A1;Acetone;5 l can;17.00;16.80\n\
                A9;Topcoat resin in sunset;20 kg tub;120.00;118.00\n\
                B7;Laminating brush and roller for resin;each;3.10;2.90\n\
                C1;Garden gnome;each;3.00;2.50\n";
    fs::write(desk.0.join("list.csv"), list).unwrap();
    fs::create_dir(desk.0.join("firm")).unwrap();
    // Nothing of the firm is told: its file has gaps, which are another matter.
    let open = "-\n".repeat(40);
    let run = |words: &[&str], lines: &str| {
        let mut child = Command::new(env!("CARGO_BIN_EXE_wetout"))
            .args(["new", "--firm", "firm", "--prices", "list.csv"])
            .args(words)
            .current_dir(&desk.0)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
        let done = child.wait_with_output().unwrap();
        (done.status.code(), text(&done.stdout) + &text(&done.stderr))
    };
    let (code, told) = run(&[], &open);
    assert!(code == Some(2) && told.contains("which column is the"), "{told}");
    let named = ["--column", "price=Tier 2 price", "--column", "description=What", "--column", "code=Art no"];
    // Broken off at the rows: no book is written, and what was said is kept.
    let asking = [&named[..], &["--ask"]].concat();
    let (code, told) = run(&asking, &"-\n".repeat(26));
    assert!(code == Some(1) && told.contains("broken off"), "{told}");
    assert!(!desk.0.join("firm/prices.yaml").exists());
    let (code, told) = run(&asking, &("-\n".repeat(25) + "brush\n-\n"));
    assert!(code == Some(0) && !told.contains("Garden gnome, each"), "{told}");
    let book = desk.read("firm/prices.yaml");
    assert!(book.contains("{role: brush, code: B7,") && book.contains("price: 2.90"), "{book}");
    assert!(book.contains("{role: acetone, code: A1,") && book.contains("price: 16.80"), "{book}");
    let kept = desk.read("firm/prices.list.yaml");
    assert!(kept.contains("  price: Tier 2 price") && !kept.contains("brush"), "{kept}");
    // The merchant's next list needs no word more.
    fs::write(desk.0.join("next.csv"), list.replace("2.90", "3.05")).unwrap();
    let json = desk.json(&["next.csv", "--prices", "firm/prices.yaml"]);
    assert_eq!(column(&json["changes"], "code"), ["B7"], "{json}");
}

// ---- Workbooks -------------------------------------------------------------------------------------------------------------

/// The parts of a workbook.
pub type Parts = Vec<(String, Vec<u8>)>;

/// A workbook of such sheets, each with its name and its rows.
pub fn workbook(sheets: &[(&str, String)]) -> Vec<u8> {
    packed(&parts_of(sheets))
}

/// Parts packed as one file.
pub fn packed(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut book = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        book.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
        book.write_all(bytes).unwrap();
    }
    book.finish().unwrap().into_inner()
}

const XML: &str = "<?xml version=\"1.0\"?>";
const OPEN: &str = "http://schemas.openxmlformats.org";

/// The parts of a workbook of such sheets, by ECMA-376 part 1: what a spreadsheet writes, in few words.
pub fn parts_of(sheets: &[(&str, String)]) -> Parts {
    let kind = format!("{OPEN}/officeDocument/2006/relationships");
    let main = format!("{OPEN}/spreadsheetml/2006/main");
    let relations =
        |all: &str| format!("{XML}<Relationships xmlns=\"{OPEN}/package/2006/relationships\">{all}</Relationships>");
    let one = |id: usize, of: &str, target: &str| {
        format!("<Relationship Id=\"rId{id}\" Type=\"{kind}/{of}\" Target=\"{target}\"/>")
    };
    let numbered = || sheets.iter().zip(1..);
    let of_sheets: String = numbered().map(|(_, n)| one(n, "worksheet", &format!("worksheets/sheet{n}.xml"))).collect();
    let shared = one(sheets.len() + 1, "sharedStrings", "sharedStrings.xml");
    let named: String =
        numbered().map(|((name, _), n)| format!("<sheet name=\"{name}\" sheetId=\"{n}\" r:id=\"rId{n}\"/>")).collect();
    let mut parts = vec![
        (
            "[Content_Types].xml".to_owned(),
            format!(
                "{XML}<Types xmlns=\"{OPEN}/package/2006/content-types\"><Default Extension=\"xml\" \
                 ContentType=\"application/xml\"/></Types>"
            ),
        ),
        ("_rels/.rels".to_owned(), relations(&one(1, "officeDocument", "xl/workbook.xml"))),
        ("xl/_rels/workbook.xml.rels".to_owned(), relations(&(of_sheets + &shared))),
        (
            "xl/workbook.xml".to_owned(),
            format!("{XML}<workbook xmlns=\"{main}\" xmlns:r=\"{kind}\"><sheets>{named}</sheets></workbook>"),
        ),
        (
            "xl/sharedStrings.xml".to_owned(),
            format!("{XML}<sst xmlns=\"{main}\"><si><t>Description</t></si><si><r><t>Resin</t></r></si></sst>"),
        ),
    ];
    parts.extend(numbered().map(|((_, rows), n)| {
        let sheet = format!("{XML}<worksheet xmlns=\"{main}\"><sheetData>{rows}</sheetData></worksheet>");
        (format!("xl/worksheets/sheet{n}.xml"), sheet)
    }));
    parts.into_iter().map(|(name, text)| (name, text.into_bytes())).collect()
}

/// A row of a sheet: numbers as numbers, all else as text.
pub fn sheet_row(number: usize, cells: &[&str]) -> String {
    let cell = |(cell, column): (&&str, u8)| {
        let at = format!("{}{number}", char::from(b'A' + column));
        match cell.parse::<f64>() {
            Ok(_) => format!("<c r=\"{at}\"><v>{cell}</v></c>"),
            Err(_) => format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{cell}</t></is></c>"),
        }
    };
    let cells: String = cells.iter().zip(0..).map(cell).collect();
    format!("<row r=\"{number}\">{cells}</row>")
}

#[test]
fn a_workbook_of_several_sheets_is_read_as_a_spreadsheet_shows_it() {
    let desk = Desk::new("prices-workbook");
    let resins = [
        sheet_row(1, &["Coldharbour Roofing Supplies, December"]),
        sheet_row(3, &["Code", "Description", "Pack", "Price"]),
        // As a sheet works it out: 108 less an eighth, and a little over.
        sheet_row(4, &["LR-20", "Laminating resin", "20 kg drum", "94.500000000000014"]),
        sheet_row(5, &["AC-5", "Acetone", "5 l can", "17.3475"]),
    ];
    let trims = [sheet_row(1, &["Description", "Price", "Code"]), sheet_row(2, &["Drip trim", "12", "TD 300"])];
    let notes = sheet_row(1, &["Prices hold until the end of March."]);
    let book = workbook(&[("Resins", resins.concat()), ("Trims", trims.concat()), ("Notes", notes)]);
    fs::write(desk.0.join("december.xlsx"), &book).unwrap();
    let json = desk.json(&["december.xlsx"]);
    let changes: Vec<(String, String, String)> = json["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| ["code", "place", "after"].map(|key| c[key].as_str().unwrap().to_owned()).into())
        .collect();
    let wanted =
        [("LR-20", "Resins, row 4", "94.50"), ("TD 300", "Trims, row 2", "12.00"), ("AC-5", "Resins, row 5", "17.35")];
    assert_eq!(changes, wanted.map(|(a, b, c)| (a.to_owned(), b.to_owned(), c.to_owned())), "{json}");
}

#[test]
fn a_list_that_would_harm_is_refused_with_a_cure() {
    let desk = Desk::new("prices-harmful");
    let refuses = |name: &str, bytes: &[u8], fault: &str| {
        fs::write(desk.0.join(name), bytes).unwrap();
        let told = desk.refused(&[name], 2);
        assert!(told.contains(&format!("{name} is not read: ")) && told.contains(fault), "{told}");
        assert!(told.contains("; "), "no cure: {told}");
        fs::remove_file(desk.0.join(name)).unwrap();
    };
    refuses("empty.csv", b"", "there is nothing in it");
    refuses("latin.csv", b"Code,Description,Price\nA,Resin \xa35,1.00\n", "not text in UTF-8 from its line 2 on");
    refuses("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a workbook of the old kind");
    refuses("list.pdf", b"%PDF-1.7", "it is a PDF");
    refuses("broken.xlsx", b"PK\x03\x04 and nothing behind it", "not an XLSX workbook that can be read");
    let quoted = format!("Code,Description,Price\nA,\"Resin,1.00\n{}", "B,Resin,2.00\n".repeat(400));
    refuses("quote.csv", quoted.as_bytes(), "a cell in line 2 holds more than 2000 letters");
    let long = format!("Code,Description,Price\n{}", "A,Resin,1.00\n".repeat(100_001));
    refuses("long.csv", long.as_bytes(), "more than 100000 lines");
    refuses("large.csv", &vec![b'a'; 20_000_001], "larger than 20 MB");
    // A hundred megabytes of blanks pack into a hundred kilobytes.
    let blanks = workbook(&[("Bomb", " ".repeat(100_000_000))]);
    assert!(blanks.len() < 200_000, "{}", blanks.len());
    refuses("bomb.xlsx", &blanks, "more than 40 MB of the cells of a workbook, unpacked");
    let sheets: Vec<(String, String)> = (0..60).map(|n| (format!("S{n}"), String::new())).collect();
    let sheets: Vec<(&str, String)> = sheets.iter().map(|(name, rows)| (name.as_str(), rows.clone())).collect();
    refuses("sheets.xlsx", &workbook(&sheets), "more than 50 sheets");
    // A cell at the far end of a sheet is one cell, not ten thousand million.
    let far = "<row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row>";
    let rows = [sheet_row(1, &["Code", "Description", "Price"]), sheet_row(2, &["LR-20", "Laminating resin", "94.50"])];
    fs::write(desk.0.join("far.xlsx"), workbook(&[("Far", rows.concat() + far)])).unwrap();
    assert_eq!(column(&desk.json(&["far.xlsx"])["changes"], "code"), ["LR-20"]);
    assert_eq!(desk.read("prices.yaml"), BOOK);
}
