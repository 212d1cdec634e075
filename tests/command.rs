//! The program as it is used: arguments, output, exit codes. Everything that a test does not mention must be empty.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn project() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A new empty folder under the build folder, so that tests can write side by side.
pub fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

pub fn wetout(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetout"))
        .args(arguments)
        .current_dir(project())
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn with_input(arguments: &[&str], input: &[u8]) -> Output {
    use std::io::Write;
    let mut child = Command::new(env!("CARGO_BIN_EXE_wetout"))
        .args(arguments)
        .current_dir(project().join("jobs"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses early may close its input first.
    let _ = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn the_demo_job_gives_three_pdfs_and_a_csv_and_says_where() {
    let out = scratch("demo");
    let done = wetout(&["make", "jobs/kitchen-extension", "--out", out.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    for name in ["quote.pdf", "order.pdf", "method.pdf"] {
        let bytes = fs::read(out.join(name)).unwrap();
        assert!(bytes.starts_with(b"%PDF-") && bytes.len() > 5000, "{name}");
        assert!(text(&done.stdout).contains(name));
    }
    assert!(fs::read_to_string(out.join("order.csv")).unwrap().lines().count() > 10);
    let leftovers =
        fs::read_dir(&out).unwrap().filter(|e| e.as_ref().unwrap().path().extension().is_some_and(|x| x == "part"));
    assert_eq!(leftovers.count(), 0);
}

#[test]
fn a_job_alone_or_among_many_gives_the_same_bytes() {
    let (alone, many) = (scratch("alone"), scratch("many"));
    assert_eq!(wetout(&["make", "jobs/dormer", "--out", alone.to_str().unwrap()]).status.code(), Some(0));
    let all = wetout(&["make", "jobs", "--out", many.to_str().unwrap()]);
    assert_eq!(all.status.code(), Some(0), "{}", text(&all.stderr));
    for name in ["quote.pdf", "order.pdf", "order.csv", "method.pdf"] {
        let same = fs::read(alone.join(name)).unwrap() == fs::read(many.join("dormer").join(name)).unwrap();
        assert!(same, "{name} differs");
    }
}

#[test]
fn a_second_run_gives_the_same_bytes() {
    let (first, second) = (scratch("first"), scratch("second"));
    for out in [&first, &second] {
        assert_eq!(wetout(&["make", "jobs/garage-utility", "--out", out.to_str().unwrap()]).status.code(), Some(0));
    }
    for name in ["quote.pdf", "order.pdf", "order.csv", "method.pdf"] {
        assert!(fs::read(first.join(name)).unwrap() == fs::read(second.join(name)).unwrap(), "{name} differs");
    }
}

#[test]
fn the_date_of_the_documents_can_be_given() {
    let (a, b) = (scratch("date-a"), scratch("date-b"));
    for (out, date) in [(&a, "2027-01-05"), (&b, "2027-01-06")] {
        let done = wetout(&["quote", "jobs/kitchen-extension", "--date", date, "--out", out.to_str().unwrap()]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    }
    assert!(fs::read(a.join("quote.pdf")).unwrap() != fs::read(b.join("quote.pdf")).unwrap());
    let bad = wetout(&["quote", "jobs/kitchen-extension", "--date", "5/1/2027"]);
    assert_eq!(bad.status.code(), Some(2));
    assert!(text(&bad.stderr).contains("2026-11-25"));
}

#[test]
fn a_later_date_is_the_date_that_prices_and_days_are_judged_by() {
    let prices = wetout(&["check", "jobs/kitchen-extension", "--date", "2027-01-17"]);
    let plain = wetout(&["check", "jobs/kitchen-extension"]);
    assert!(!text(&plain.stderr).contains("days old") && !text(&plain.stdout).contains("days old"));
    let all = format!("{}{}", text(&prices.stdout), text(&prices.stderr));
    assert!(all.contains("days old"), "{all}");
    let late = wetout(&["check", "jobs/kitchen-extension", "--date", "2027-01-19"]);
    let late = format!("{}{}", text(&late.stdout), text(&late.stderr));
    assert!(late.contains("2027-01-18, lies before the date of the documents, 2027-01-19"), "{late}");
}

#[test]
fn a_job_comes_from_standard_input_and_a_document_goes_to_standard_output() {
    let job = fs::read(project().join("jobs/kitchen-extension/job.yaml")).unwrap();
    let done = with_input(&["quote", "-", "--out", "-"], &job);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(done.stdout.starts_with(b"%PDF-"));
}

#[test]
fn the_take_off_is_a_table_json_and_workings() {
    let table = wetout(&["takeoff", "jobs/kitchen-extension"]);
    assert_eq!(table.status.code(), Some(0), "{}", text(&table.stderr));
    assert!(text(&table.stdout).contains("trim.drip.lengths"));
    let json = wetout(&["takeoff", "jobs/kitchen-extension", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let lines = value["lines"].as_array().unwrap();
    assert!(lines.iter().all(|l| l["quantity"].as_f64().unwrap() > 0.0));
    let why = wetout(&["takeoff", "jobs/kitchen-extension", "--why", "deck.boards"]);
    assert!(text(&why.stdout).contains("rule"));
    let wrong = wetout(&["takeoff", "jobs/kitchen-extension", "--why", "deck.bords"]);
    assert_eq!((wrong.status.code(), text(&wrong.stdout)), (Some(2), String::new()));
    assert!(text(&wrong.stderr).contains("the nearest is `deck.boards`"));
}

#[test]
fn an_id_of_the_take_off_stands_once_a_roof_or_once_pooled() {
    for job in ["kitchen-extension", "garage-utility", "dormer"] {
        let json = wetout(&["takeoff", &format!("jobs/{job}"), "--json"]);
        let value: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
        let mut seen = std::collections::BTreeSet::new();
        for line in value["lines"].as_array().unwrap() {
            let (id, roof) = (line["id"].as_str().unwrap(), line["roof"].as_str());
            assert!(seen.insert((id.to_owned(), roof.map(str::to_owned))), "{job}: {id} twice");
            let pooled = seen.contains(&(id.to_owned(), None));
            assert!(!(pooled && seen.iter().any(|s| s.0 == id && s.1.is_some())), "{job}: {id} both ways");
        }
    }
}

#[test]
fn the_firms_own_view_shows_cost_margin_and_hours() {
    let table = wetout(&["price", "jobs/kitchen-extension"]);
    assert_eq!(table.status.code(), Some(0), "{}", text(&table.stderr));
    for word in ["Margin, of the price", "Markup, on the cost", "person-hours", "cost.labour"] {
        assert!(text(&table.stdout).contains(word), "{word}");
    }
    let json = wetout(&["price", "jobs/kitchen-extension", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(value["total"].as_str().unwrap().split_once('.').unwrap().1.len() == 2);
}

#[test]
fn what_cannot_be_used_ends_with_two_and_says_so() {
    for arguments in [&["make", "no/such/job"][..], &["make"], &["bake"], &["make", "jobs", "--out", "-"]] {
        let done = wetout(arguments);
        assert_eq!(done.status.code(), Some(2), "{arguments:?}");
        assert!(done.stdout.is_empty() && !done.stderr.is_empty(), "{arguments:?}");
    }
}

#[test]
fn a_job_with_problems_ends_with_one_and_writes_nothing() {
    let out = scratch("problems");
    let job = fs::read_to_string(project().join("jobs/kitchen-extension/job.yaml")).unwrap();
    let bad = with_input(&["make", "-", "--out", out.to_str().unwrap()], job.replace("width:", "widht:").as_bytes());
    assert_eq!((bad.status.code(), text(&bad.stdout)), (Some(1), String::new()));
    assert!(text(&bad.stderr).contains("width"), "{}", text(&bad.stderr));
    assert_eq!(fs::read_dir(&out).unwrap().count(), 0);
}

#[test]
fn one_bad_job_among_many_does_not_stop_the_others() {
    let folder = scratch("mixed");
    for name in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(project().join("jobs").join(name), folder.join(name)).unwrap();
    }
    for name in ["good", "bad"] {
        fs::create_dir(folder.join(name)).unwrap();
    }
    let job = fs::read_to_string(project().join("jobs/kitchen-extension/job.yaml")).unwrap();
    fs::write(folder.join("good/job.yaml"), &job).unwrap();
    fs::write(folder.join("bad/job.yaml"), "title: nothing else\n").unwrap();
    let done = wetout(&["make", folder.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(1));
    assert!(text(&done.stdout).contains("1 of 2 jobs made"));
    assert!(folder.join("good/out/quote.pdf").is_file() && !folder.join("bad/out").exists());
}

#[test]
fn a_folder_that_cannot_be_written_ends_with_three() {
    let out = scratch("blocked").join("file");
    fs::write(&out, "in the way").unwrap();
    let done = wetout(&["make", "jobs/kitchen-extension", "--out", out.to_str().unwrap()]);
    assert_eq!((done.status.code(), text(&done.stdout)), (Some(3), String::new()), "{}", text(&done.stderr));
    assert!(text(&done.stderr).contains("a file stands where a folder is needed"));
    assert_eq!(fs::read_to_string(&out).unwrap(), "in the way");
}

#[test]
fn without_a_firm_file_the_take_off_works_and_the_quote_says_what_is_missing() {
    let folder = scratch("no-firm");
    fs::copy(project().join("jobs/kitchen-extension/job.yaml"), folder.join("job.yaml")).unwrap();
    let place = folder.to_str().unwrap();
    let takeoff = wetout(&["takeoff", place]);
    assert_eq!(takeoff.status.code(), Some(0), "{}", text(&takeoff.stderr));
    let quote = wetout(&["quote", place]);
    assert_eq!(quote.status.code(), Some(1));
    assert!(text(&quote.stderr).contains("firm.yaml"), "{}", text(&quote.stderr));
}

#[test]
fn plain_output_carries_no_colour_codes() {
    let done = with_input(&["check", "-"], b"title: [\n");
    assert_eq!(done.status.code(), Some(1));
    assert!(!done.stderr.contains(&0x1b));
}

#[test]
fn every_money_figure_shows_its_working_by_its_id() {
    for (id, word) in [
        ("cost.labour", "an hour"),
        ("pack.resin", "left over"),
        ("price.made", "÷ (1 − 25 %)"),
        ("price.vat.20", "× 20 %"),
        ("stage.1", "part of the total"),
        ("offer.1", "not in the total"),
        ("option.1", "less the total without it"),
        ("price.cost", "Materials: "),
        ("price.profit", "− cost"),
        ("hours.deck", "hours_deck"),
        ("sheet.day", "travel"),
        ("sheet.break_even", "profit"),
        ("shift.trim_short", "second delivery"),
    ] {
        let why = wetout(&["price", "jobs/kitchen-extension", "--why", id]);
        assert_eq!(why.status.code(), Some(0), "{id}: {}", text(&why.stderr));
        assert!(text(&why.stdout).starts_with(&format!("{id}: ")) && text(&why.stdout).contains(word), "{id}");
    }
    for (words, id) in [
        ("resin", "pack.resin"),
        ("profit", "price.profit"),
        ("Labour", "cost.labour"),
        ("resin-laminating-20kg", "pack.resin"),
        ("trim-drip-3m", "pack.trim.drip.3000"),
    ] {
        let why = wetout(&["price", "jobs/kitchen-extension", "--why", words]);
        assert!(
            text(&why.stdout).starts_with(&format!("{id}: ")),
            "{words}: {}{}",
            text(&why.stdout),
            text(&why.stderr)
        );
    }
    let unknown = wetout(&["price", "jobs/kitchen-extension", "--why", "moon"]);
    let named = text(&unknown.stderr);
    assert!(
        named.contains("`price.total`") && named.contains("`hours.trims`") && named.contains("write its code"),
        "{named}"
    );
    // Whatever figure the table shows stands beside the name by which it is explained.
    let shown = text(&wetout(&["price", "jobs/kitchen-extension"]).stdout);
    for id in ["price.net", "price.profit", "price.vat.20", "price.total", "stage.1", "price.cost", "hours.laminate"] {
        assert!(shown.lines().any(|line| line.split_whitespace().next() == Some(id)), "{id}");
    }
    let wrong = wetout(&["price", "jobs/kitchen-extension", "--why", "sheet.dya"]);
    assert_eq!((wrong.status.code(), text(&wrong.stdout)), (Some(2), String::new()));
    assert!(text(&wrong.stderr).contains("the nearest is `sheet.day`"));
}

#[test]
fn every_id_of_the_json_can_be_asked_for() {
    let json = wetout(&["price", "jobs/garage-utility", "--json"]);
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let lists = [&value["costs"], &value["sums"], &value["sheet"]["figures"]];
    let ids: Vec<&str> = lists.iter().flat_map(|l| l.as_array().unwrap()).map(|c| c["id"].as_str().unwrap()).collect();
    assert!(ids.len() > 30, "{ids:?}");
    for id in ids.iter().step_by(7) {
        let why = wetout(&["price", "jobs/garage-utility", "--why", id]);
        assert_eq!(why.status.code(), Some(0), "{id}");
    }
}

#[test]
fn the_private_sheet_is_written_only_when_it_is_asked_for() {
    let (made, asked) = (scratch("not-private"), scratch("private"));
    assert_eq!(wetout(&["make", "jobs/bay", "--out", made.to_str().unwrap()]).status.code(), Some(0));
    let done = wetout(&["price", "jobs/bay", "--out", asked.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let names = |folder: &Path| -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    };
    assert_eq!(names(&made), ["method.pdf", "order.csv", "order.pdf", "quote.pdf"]);
    assert_eq!(names(&asked), ["private.pdf"]);
    assert_eq!(text(&done.stdout), format!("wrote {}\n", asked.join("private.pdf").display()));
    assert_eq!(wetout(&["price", "jobs/bay", "--out", "-"]).status.code(), Some(2));
    assert_eq!(wetout(&["price", "jobs/bay", "--json", "--out", "x"]).status.code(), Some(2));
}

#[test]
fn without_a_firm_file_check_says_that_only_sizes_are_known() {
    let folder = scratch("sizes-only");
    fs::copy(project().join("jobs/kitchen-extension/job.yaml"), folder.join("job.yaml")).unwrap();
    let done = wetout(&["check", folder.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let said = text(&done.stdout);
    assert!(said.contains("only its sizes are checked: no firm file was found"), "{said}");
    assert!(!said.contains("nothing stops it"), "{said}");
}

/// The demo kitchen in a folder of its own, with its firm, its price book and its job changed.
fn kitchen(name: &str, file: &str, from: &str, to: &str) -> PathBuf {
    let folder = scratch(name);
    for (at, file) in [("firm.yaml", "firm.yaml"), ("prices.yaml", "prices.yaml"), ("logo.png", "logo.png")] {
        fs::copy(project().join("jobs").join(at), folder.join(file)).unwrap();
    }
    fs::copy(project().join("jobs/kitchen-extension/job.yaml"), folder.join("job.yaml")).unwrap();
    let before = fs::read_to_string(folder.join(file)).unwrap();
    assert!(before.contains(from), "{from}");
    fs::write(folder.join(file), before.replace(from, to)).unwrap();
    folder
}

/// Marks of pieces are looked for by what is near them, once for a scale: a plan crowded with them is no cliff.
#[cfg(target_os = "linux")]
#[test]
fn the_trims_of_a_roof_with_many_openings_are_drawn_in_little_time() {
    let folder = kitchen("many-openings", "job.yaml", "width: 5.2 m, depth: 3.4 m", "width: 30 m, depth: 20 m");
    let job = fs::read_to_string(folder.join("job.yaml")).unwrap();
    let opening = |n: usize| {
        let (x, y) = (1500 + n % 10 * 2700, 1500 + n / 10 * 2200);
        format!("      - {{name: h{n}, at: [{x} mm, {y} mm], size: [0.6 m, 0.5 m], finish: kerb}}\n")
    };
    let (start, end) = (job.find("\noptions:").unwrap(), job.find("\nquote").unwrap());
    let mut many = String::new();
    for line in format!("{}{}", &job[..start], &job[end..]).split_inclusive('\n') {
        match line.trim_start() {
            l if l.starts_with("- {name: rooflight") => many.extend((0..40).map(opening)),
            l if l.starts_with("wall_above") => {}
            l if l.starts_with("back: {finish: wall") => many.push_str("      back: {finish: raised}\n"),
            l if l.starts_with("fall: 1:40") => many.push_str("    fall: existing 1:40\n"),
            _ => many.push_str(line),
        }
    }
    fs::write(folder.join("job.yaml"), many).unwrap();
    let mut bound = Command::new("sh");
    bound.args(["-c", "ulimit -t 5; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_wetout"), "method"]);
    let done = bound.arg(&folder).output().unwrap();
    assert_eq!(done.status.code(), Some(0), "{:?}: {}", done.status, text(&done.stderr));
}

#[test]
fn what_is_wrong_with_what_was_typed_steers_no_terminal() {
    for typed in [&["\u{202e}kcehc\u{1b}[2J"][..], &["issue", "j", "\u{202e}etouq\u{7}"], &["check", "--\u{2066}x"]] {
        let done = wetout(typed);
        let said = text(&done.stderr);
        assert_eq!(done.status.code(), Some(2), "{said}");
        assert!(!said.contains(['\u{202e}', '\u{2066}', '\u{1b}', '\u{7}']), "{said:?}");
        assert!(said.contains("\\u{20"), "{said}");
    }
}

#[test]
fn what_the_programme_remarks_reaches_check_and_a_fault_of_it_stops_the_documents() {
    let air = kitchen("cold", "job.yaml", "air: 5 C to 12 C", "air: 1 C to 4 C");
    let said = wetout(&["check", air.to_str().unwrap()]);
    assert!(text(&said.stdout).contains("catalyst"), "{}", text(&said.stdout));
    let light = kitchen("light", "prices.yaml", "density: 1.15", "density: 0.95");
    for command in ["check", "quote"] {
        let done = wetout(&[command, light.to_str().unwrap()]);
        assert_eq!((done.status.code(), text(&done.stdout)), (Some(1), String::new()), "{command}");
        assert!(text(&done.stderr).contains("a catalyst density of 0.95 g/ml"), "{}", text(&done.stderr));
    }
    assert!(!light.join("out").exists());
}

#[test]
fn an_option_that_cannot_be_priced_stops_the_job_and_is_named() {
    let mat = "role: mat.600";
    let folder = kitchen("no-such-mat", "prices.yaml", mat, "role: mat.300");
    let done = wetout(&["make", folder.to_str().unwrap()]);
    assert_eq!((done.status.code(), text(&done.stdout)), (Some(1), String::new()));
    let said = text(&done.stderr);
    assert!(said.contains("option `Heavier glass-fibre mat, 600 g/m²`: ") && said.contains("mat"), "{said}");
}

/// Told once, though three documents print it with other words around it, and not in the comment before it.
#[test]
fn a_character_that_cannot_be_printed_is_told_with_its_line_in_whichever_file_it_stands() {
    let changes = [
        ("job.yaml", "name: Mrs R. Okafor", "# 漢 was asked for\n  name: Mrs R. Okafor 漢"),
        ("firm.yaml", "Harrow & Teal Flat Roofs", "Harrow 漢 Teal Flat Roofs"),
        ("prices.yaml", "description: Drip trim", "description: Drip 漢 trim"),
    ];
    for (file, from, to) in changes {
        let folder = kitchen("no-such-sign", file, from, to);
        let lines = fs::read_to_string(folder.join(file)).unwrap();
        let line = lines.lines().position(|l| l.contains('漢') && !l.trim_start().starts_with('#')).unwrap() + 1;
        for command in ["check", "make"] {
            let done = wetout(&[command, folder.to_str().unwrap()]);
            let said = text(&done.stderr);
            assert_eq!((done.status.code(), text(&done.stdout)), (Some(1), String::new()), "{said}");
            assert_eq!(said.matches("cannot be printed").count(), 1, "{said}");
            assert!(said.contains(&format!("{file}:{line}:")), "{line} {said}");
        }
    }
    let folder = kitchen("no-such-sign-in-a-heading", "job.yaml", "reference: 26-041", "reference: 26-041");
    let words = fs::read_to_string(project().join("templates/quote.md")).unwrap() + "\n\n## 漢\n";
    fs::create_dir(folder.join("templates")).unwrap();
    fs::write(folder.join("templates/quote.md"), &words).unwrap();
    let said = text(&wetout(&["check", folder.to_str().unwrap()]).stderr);
    assert!(said.contains(&format!("quote.md:{}:4", words.lines().count())), "{said}");
}

#[test]
fn a_take_off_and_a_price_tell_the_warnings_of_the_files() {
    let folder = kitchen("warned", "job.yaml", "asbestos: no ", "asbestos: not known ");
    for command in ["takeoff", "price"] {
        let done = wetout(&[command, folder.to_str().unwrap()]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        assert!(text(&done.stderr).contains("asbestos"), "{command}: {}", text(&done.stderr));
    }
}

#[test]
fn an_order_for_a_computer_has_the_lines_that_are_ordered_and_a_held_one_is_not_written() {
    let folder = kitchen("ubl", "job.yaml", "title: Kitchen extension", "title: \"a < b & c\"");
    let (job, out) = (folder.to_str().unwrap(), folder.join("made"));
    let done = wetout(&["order", job, "--ubl", "--out", out.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(text(&done.stdout).contains("order.xml"));
    let xml = fs::read_to_string(out.join("order.xml")).unwrap();
    let table = fs::read_to_string(out.join("order.csv")).unwrap();
    let ordered = table.lines().skip(1).filter(|line| line.contains(",no,")).count();
    assert!(ordered > 10 && xml.matches("<cac:OrderLine>").count() == ordered, "{xml}");
    assert!(xml.contains("<cbc:ID>26-041-1</cbc:ID>") && xml.contains("a &lt; b &amp; c"), "{xml}");
    // Another run without it leaves none of an earlier order behind.
    wetout(&["order", job, "--out", out.to_str().unwrap()]);
    assert!(out.join("order.csv").exists() && !out.join("order.xml").exists());
    let poured = wetout(&["order", job, "--ubl", "--out", "-"]);
    assert_eq!((poured.status.code(), poured.stdout), (Some(2), Vec::new()));
    let held = kitchen("ubl-held", "job.yaml", "asbestos: no", "asbestos: not known");
    let done = wetout(&["order", held.to_str().unwrap(), "--ubl"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("is held until asbestos is settled") && !held.join("out").exists());
}

/// The demo price book as two merchants: one sells what is poured, the other the rest.
pub fn two_merchants() -> PathBuf {
    let folder = kitchen("two-merchants", "job.yaml", "reference: 26-041", "reference: 26-041");
    let book = fs::read_to_string(folder.join("prices.yaml")).unwrap();
    fs::remove_file(folder.join("prices.yaml")).unwrap();
    fs::create_dir(folder.join("prices")).unwrap();
    let poured = |line: &&str| ["role: resin", "role: topcoat", "role: catalyst"].iter().any(|r| line.contains(r));
    let (head, _) = book.split_once("articles:").unwrap();
    let second: Vec<&str> = book.lines().filter(poured).collect();
    let first: Vec<&str> = book.lines().filter(|line| !poured(line)).collect();
    let head = head.replace("Coldharbour Roofing Supplies", "Fenland Resins");
    fs::write(folder.join("prices/first.yaml"), first.join("\n")).unwrap();
    fs::write(folder.join("prices/second.yaml"), format!("{head}articles:\n{}\n", second.join("\n"))).unwrap();
    folder
}

#[test]
fn of_two_merchants_each_is_named_with_the_file_that_goes_to_it() {
    let folder = two_merchants();
    let out = folder.join("made");
    let done = wetout(&["make", folder.to_str().unwrap(), "--out", out.to_str().unwrap()]);
    let said = text(&done.stdout);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    assert!(
        said.contains("send order-1.pdf to Coldharbour Roofing Supplies (invented) and order-2.pdf to Fenland Resins"),
        "{said}"
    );
    let spoken = ["quote.pdf", "method.pdf", "order-1.pdf", "order-2.pdf"];
    assert!(spoken.iter().all(|name| said.contains(name) && out.join(name).exists()), "{said}");
    assert!(!said.contains("order.pdf"), "no such file was written: {said}");
}

#[test]
fn every_line_and_check_that_a_file_shows_is_found_on_standard_input_too() {
    let job = fs::read(project().join("jobs/kitchen-extension/job.yaml")).unwrap();
    for id in ["deck.boards", "weight.dead", "lift.heaviest", "lift.loads"] {
        let of_file = wetout(&["takeoff", "jobs/kitchen-extension", "--why", id]);
        let of_input = with_input(&["takeoff", "-", "--why", id], &job);
        assert_eq!(of_file.status.code(), Some(0), "{id}: {}", text(&of_file.stderr));
        assert_eq!(of_input.status.code(), Some(0), "{id}: {}", text(&of_input.stderr));
        assert!(!of_file.stdout.is_empty() && of_file.stdout == of_input.stdout, "{id}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_is_lost_ends_with_three_and_is_told_and_a_reader_that_goes_is_no_fault() {
    let to = |arguments: &[&str], out: Stdio| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        command.args(arguments).current_dir(project()).stdin(Stdio::null()).stdout(out).output().unwrap()
    };
    let full = || Stdio::from(fs::OpenOptions::new().write(true).open("/dev/full").unwrap());
    let out = scratch("lost");
    let folder = out.to_str().unwrap();
    let commands: [&[&str]; 12] = [
        &["--help"],
        &["--version"],
        &["check", "jobs/bay"],
        &["takeoff", "jobs/bay"],
        &["takeoff", "jobs/bay", "--json"],
        &["takeoff", "jobs/bay", "--why", "deck.boards"],
        &["works", "jobs/bay"],
        &["price", "jobs/bay"],
        &["price", "jobs/bay", "--json"],
        &["quote", "jobs/bay", "--out", "-"],
        &["make", "jobs/bay", "--out", folder],
        &["templates", "export", folder],
    ];
    for arguments in commands {
        let done = to(arguments, full());
        assert_eq!(done.status.code(), Some(3), "{arguments:?}");
        let said = text(&done.stderr);
        assert!(said.contains("not all of the output arrived: the disk is full; send it somewhere else"), "{said}");
        // A pipe that nobody reads.
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let done = to(arguments, writer.into());
        assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()), "{arguments:?}");
    }
}

/// The demo firm, its price book and job folders of these names.
fn job_folders(name: &str, jobs: &[&str]) -> PathBuf {
    let folder = scratch(name);
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(project().join("jobs").join(file), folder.join(file)).unwrap();
    }
    for job in jobs {
        fs::create_dir(folder.join(job)).unwrap();
        fs::copy(project().join("jobs/bay/job.yaml"), folder.join(job).join("job.yaml")).unwrap();
    }
    folder
}

#[cfg(unix)]
#[test]
fn a_job_that_is_called_otherwise_or_cannot_be_reached_is_told_and_the_others_are_made() {
    let folder = job_folders("reached", &["a", "b", "c"]);
    fs::rename(folder.join("b/job.yaml"), folder.join("b/job.yml")).unwrap();
    std::os::unix::fs::symlink("d", folder.join("d")).unwrap();
    std::os::unix::fs::symlink("nowhere", folder.join("e")).unwrap();
    fs::create_dir(folder.join("empty")).unwrap();
    let done = wetout(&["make", folder.to_str().unwrap()]);
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("b/job.yml is not read: call it job.yaml"), "{said}");
    assert!(said.contains(&format!("could not read {}: ", folder.join("d").display())), "{said}");
    assert_eq!(said.lines().count(), 2, "{said}");
    assert!(text(&done.stdout).contains("2 of 4 jobs made"), "{}", text(&done.stdout));
    assert!(folder.join("a/out/quote.pdf").is_file() && folder.join("c/out/quote.pdf").is_file());
    let alone = wetout(&["check", folder.join("b").to_str().unwrap()]);
    assert!(text(&alone.stderr).contains("b/job.yml is not read: call it job.yaml"), "{}", text(&alone.stderr));
    let far = "a".repeat(300);
    for (path, words) in [(far.as_str(), "its name is too long"), ("/dev/null", "neither a file nor a folder")] {
        let done = wetout(&["check", path]);
        let said = text(&done.stderr);
        assert!(done.status.code() == Some(2) && said.contains(words) && !said.contains("os error"), "{said}");
    }
}

#[test]
fn a_price_book_that_is_named_twice_or_copied_is_refused() {
    let folder = job_folders("twice", &["a"]);
    fs::copy(folder.join("prices.yaml"), folder.join("copy.yaml")).unwrap();
    let run = |again: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        command
            .args(["price", "a", "--prices", "prices.yaml", "--prices", again])
            .current_dir(&folder)
            .output()
            .unwrap()
    };
    for again in ["prices.yaml", "./prices.yaml", "copy.yaml"] {
        let done = run(again);
        let said = text(&done.stderr);
        assert_eq!((done.status.code(), text(&done.stdout)), (Some(1), String::new()), "{said}");
        assert!(said.contains("says the same as prices.yaml, word for word") && said.contains(again), "{said}");
    }
}

#[test]
fn lines_that_end_with_a_carriage_return_alone_are_lines() {
    for ending in ["\r", "\r\n"] {
        let folder = job_folders("returns", &["a"]);
        for file in ["a/job.yaml", "firm.yaml", "prices.yaml"] {
            let words = fs::read_to_string(folder.join(file)).unwrap();
            fs::write(folder.join(file), words.replace('\n', ending)).unwrap();
        }
        let plain = text(&wetout(&["price", "jobs/bay", "--json"]).stdout);
        let done = wetout(&["price", folder.join("a").to_str().unwrap(), "--json"]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        assert!(text(&done.stdout) == plain, "{ending:?}");
        let words = fs::read_to_string(folder.join("a/job.yaml")).unwrap();
        let line = words.split(ending).position(|line| line.starts_with("title:")).unwrap() + 1;
        fs::write(folder.join("a/job.yaml"), words.replace("title:", "titel:")).unwrap();
        let said = text(&wetout(&["check", folder.join("a").to_str().unwrap()]).stderr);
        assert!(said.contains(&format!("a/job.yaml:{line}:1")), "{line}: {said}");
    }
}

#[test]
fn what_is_poured_out_says_what_becomes_of_the_rest() {
    let done = wetout(&["order", "jobs/bay", "--out", "-"]);
    assert!(done.status.code() == Some(0) && done.stdout.starts_with(b"%PDF-"));
    assert_eq!(
        text(&done.stderr),
        "order.csv is attached to order.pdf; as a file of its own it is written with --out FOLDER\n"
    );
    let folder = two_merchants();
    let done = wetout(&["order", folder.to_str().unwrap(), "--out", "-"]);
    assert_eq!((done.status.code(), text(&done.stdout)), (Some(2), String::new()));
    assert!(text(&done.stderr).contains("order-1.pdf and order-2.pdf cannot share standard output"));
}

#[cfg(unix)]
#[test]
fn no_name_and_no_setting_steers_the_terminal() {
    let folder = job_folders("steering", &["a"]);
    let steering = folder.join("re\u{1b}[31md\u{1b}]0;x\u{7}\u{202e}lla\r");
    fs::rename(folder.join("a"), &steering).unwrap();
    for command in ["check", "make", "takeoff", "price"] {
        let done = wetout(&[command, steering.to_str().unwrap()]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        let all = format!("{}{}", text(&done.stdout), text(&done.stderr));
        assert!(all.chars().all(|c| !c.is_control() || c == '\n'), "{command}: {all:?}");
        assert!(!all.contains('\u{202e}'), "{command}: {all:?}");
    }
    let job = fs::read_to_string(steering.join("job.yaml")).unwrap();
    let title = job.lines().find(|line| line.starts_with("title:")).unwrap();
    fs::write(steering.join("job.yaml"), job.replace(title, "title: \"a \\e[31m red roof\"")).unwrap();
    let done = wetout(&["takeoff", steering.to_str().unwrap()]);
    assert_eq!((done.status.code(), text(&done.stdout)), (Some(1), String::new()));
    assert!(text(&done.stderr).contains("there is a control character (U+001B) in this text"));
}

#[test]
fn no_cell_of_the_order_is_a_formula_wherever_cells_are_parted() {
    for hostile in [
        "=1+1",
        "\u{200b}=1+1",
        "\u{feff}+1",
        "a;=1+1",
        "a; \u{2060}@x",
        "-1",
        "\u{a0}＝1",
        "a;b;-1;+1",
        "\u{fe0e}=1",
        "\u{fe0f}@x",
    ] {
        let folder = kitchen("formula", "prices.yaml", "description: Drip trim", "description: Drip trim");
        let book = fs::read_to_string(folder.join("prices.yaml")).unwrap();
        let written: String = hostile.chars().map(|c| format!("\\u{:04x}", u32::from(c))).collect();
        let (before, after) = book.split_once("description: Drip trim").unwrap();
        let end = after.find([',', '}']).unwrap();
        fs::write(folder.join("prices.yaml"), format!("{before}description: \"{written}\"{}", &after[end..])).unwrap();
        let done = wetout(&["order", folder.to_str().unwrap()]);
        if done.status.code() == Some(1) && text(&done.stderr).contains("cannot be printed") {
            continue;
        }
        assert_eq!(done.status.code(), Some(0), "{hostile:?}: {}", text(&done.stderr));
        let csv = fs::read_to_string(folder.join("out/order.csv")).unwrap();
        assert!(csv.replace('\'', "").contains(hostile), "{hostile:?}: {csv}");
        let unseen = |c: char| c.is_whitespace() || "\"\u{200b}\u{feff}\u{2060}\u{fe0e}\u{fe0f}".contains(c);
        for cell in csv.split([',', ';', '\n', '\r', '\t']) {
            assert!(!cell.trim_start_matches(unseen).starts_with(['=', '+', '-', '@', '＝']), "{hostile:?}: {cell:?}");
        }
    }
}

#[test]
fn the_parts_of_a_method_statement_stand_beside_it_and_a_day_that_is_not_there_is_refused() {
    let out = scratch("method-parts");
    let make = |more: &[&str]| {
        let mut typed = vec!["method", "jobs/kitchen-extension", "--out", out.to_str().unwrap()];
        typed.extend(more);
        wetout(&typed)
    };
    for more in [&[][..], &["--crew"], &["--office"], &["--day", "2"]] {
        let done = make(more);
        assert_eq!(done.status.code(), Some(0), "{more:?}: {}", text(&done.stderr));
    }
    for name in ["day-2.pdf", "method-crew.pdf", "method-office.pdf", "method.pdf"] {
        assert!(fs::read(out.join(name)).unwrap().starts_with(b"%PDF-"), "{name}");
    }
    for day in ["0", "99"] {
        let done = make(&["--day", day]);
        assert_eq!(done.status.code(), Some(2));
        let said = text(&done.stderr);
        assert!(said.contains(&format!("no day {day}")) && said.contains("takes 5 days"), "{said}");
    }
    assert_eq!(make(&["--crew", "--office"]).status.code(), Some(2));
}

#[test]
fn a_number_that_is_none_is_answered_with_one() {
    for (words, cure) in [
        (&["method", "jobs/bay", "--day", "x"][..], "write which one as a number, such as 2"),
        (&["invoice", "jobs/bay", "--stage", "one"], "write which one as a number, such as 2"),
        (&["receipt", "jobs/bay", "1", "--paid", "1,000", "--on", "2026-12-11"], "write it without a comma: 1000"),
        (&["receipt", "jobs/bay", "1", "--paid", "1,4", "--on", "2026-12-11"], "in pounds and pence, such as 1475.13"),
    ] {
        let done = wetout(words);
        assert_eq!((done.status.code(), text(&done.stdout)), (Some(2), String::new()), "{words:?}");
        let told = text(&done.stderr);
        assert!(told.contains(cure) && !told.contains("digit found"), "{words:?}: {told}");
    }
}

/// What an editor has saved as `firm.yaml.txt` was meant to be the firm file.
#[test]
fn a_file_of_the_office_under_another_name_is_told() {
    let desk = scratch("misnamed");
    let job = desk.join("porch");
    fs::create_dir(&job).unwrap();
    fs::copy("jobs/bay/job.yaml", job.join("job.yaml")).unwrap();
    fs::copy("jobs/logo.png", desk.join("logo.png")).unwrap();
    let told = || text(&wetout(&["check", job.to_str().unwrap()]).stderr);
    for (from, is, misnamed) in [
        ("jobs/firm.yaml", "firm.yaml", "firm.yaml.txt"),
        ("jobs/prices.yaml", "prices.yaml", "Prices.yml"),
        ("jobs/prices.yaml", "stock.yaml", "stock.yaml.txt"),
    ] {
        fs::copy(from, desk.join(misnamed)).unwrap();
        let said = told();
        assert!(said.contains(&format!("{misnamed} is not read")) && said.contains(&format!("call it {is}")), "{said}");
        fs::remove_file(desk.join(misnamed)).unwrap();
        assert!(!told().contains("is not read"));
        if is != "stock.yaml" {
            fs::copy(from, desk.join(is)).unwrap();
        }
    }
    fs::remove_dir_all(desk).unwrap();
}
