//! From sent to signed, through the program as it is used: letters that are never used twice, files that are never written
//! over, answers read off returned PDFs, and the register that comes of it.

use crate::command::{scratch, wetout};
use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::thread;
use std::time::Duration;

/// A folder with the demo firm and price book, and the kitchen in `k`.
pub fn desk(name: &str) -> PathBuf {
    desk_of(name, "kitchen-extension")
}

/// The same with another demo job.
pub fn desk_of(name: &str, job: &str) -> PathBuf {
    let folder = scratch(name);
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(jobs.join(file), folder.join(file)).unwrap();
    }
    fs::create_dir(folder.join("k")).unwrap();
    for entry in fs::read_dir(jobs.join(job)).unwrap().map(Result::unwrap) {
        if entry.path().is_file() {
            fs::copy(entry.path(), folder.join("k").join(entry.file_name())).unwrap();
        }
    }
    folder
}

pub fn run(desk: &Path, arguments: &[&str]) -> Output {
    let job = desk.join("k");
    let place = |word: &&str| if **word == *"JOB" { job.to_str().unwrap().to_owned() } else { (*word).to_owned() };
    let arguments: Vec<String> = arguments.iter().map(place).collect();
    wetout(&arguments.iter().map(String::as_str).collect::<Vec<_>>())
}

/// What a run that ends with 0 prints.
pub fn done(desk: &Path, arguments: &[&str]) -> String {
    let output = run(desk, arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

/// What a run that ends otherwise says.
pub fn refused(desk: &Path, arguments: &[&str], code: i32) -> String {
    let output = run(desk, arguments);
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stderr)
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

pub fn kept(desk: &Path) -> Vec<String> {
    let entries = fs::read_dir(desk.join("k/issued")).into_iter().flatten();
    let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// A job copied with its reference would give orders and invoices of one number: it is told wherever several jobs are looked at, and
/// nothing is issued under a reference under which a job beside it has issued papers.
#[test]
fn two_jobs_of_one_reference_are_told_and_the_second_issues_nothing() {
    let desk = desk("one-reference");
    let copy = desk.join("copy");
    fs::create_dir(&copy).unwrap();
    fs::copy(desk.join("k/job.yaml"), copy.join("job.yaml")).unwrap();
    for command in ["check", "list"] {
        let told = wetout(&[command, desk.to_str().unwrap()]);
        assert_eq!(told.status.code(), Some(0), "{}", text(&told.stderr));
        let told = text(&told.stderr);
        assert!(told.contains("its reference 26-041 is that of") && told.contains("its own `reference`"), "{told}");
    }
    done(&desk, &["issue", "JOB", "quote"]);
    let again = wetout(&["issue", copy.to_str().unwrap(), "quote"]);
    assert_eq!(again.status.code(), Some(2), "{}", text(&again.stdout));
    assert!(text(&again.stderr).contains("26-041 is the reference of the job in `k` beside this one"));
    assert!(!copy.join("issued").exists());
    done(&desk, &["issue", "JOB", "order"]);
    let own = fs::read_to_string(copy.join("job.yaml")).unwrap().replace("reference: 26-041", "reference: 26-042");
    fs::write(copy.join("job.yaml"), own).unwrap();
    assert_eq!(wetout(&["issue", copy.to_str().unwrap(), "quote"]).status.code(), Some(0));
    assert!(!text(&wetout(&["check", desk.to_str().unwrap()]).stderr).contains("is that of"));
}

pub fn words_of_pages(pdf: &Path) -> Vec<String> {
    let mut pdf = Document::load(pdf).unwrap();
    pdf.get_pages().into_values().for_each(|page| show_in_arrays(&mut pdf, page));
    pdf.get_pages().keys().map(|page| pdf.extract_text(&[*page]).unwrap()).collect()
}

/// The reader of text ends its words at an array of strings alone: every string becomes one.
fn show_in_arrays(pdf: &mut Document, page: ObjectId) {
    let mut content = Content::decode(&pdf.get_page_content(page)).unwrap();
    for shown in content.operations.iter_mut().filter(|operation| operation.operator == "Tj") {
        *shown = Operation::new("TJ", vec![Object::Array(std::mem::take(&mut shown.operands))]);
    }
    pdf.change_page_content(page, content.encode().unwrap()).unwrap();
}

#[test]
fn a_draft_says_so_on_every_page_and_a_revision_says_its_letter() {
    let desk = desk("issue-marks");
    let out = desk.join("out");
    done(&desk, &["make", "JOB", "--out", out.to_str().unwrap()]);
    done(&desk, &["issue", "JOB", "quote"]);
    for name in ["quote.pdf", "order.pdf", "method.pdf"] {
        for page in words_of_pages(&out.join(name)) {
            assert!(page.contains("Draft, not issued") && !page.contains("Revision A"), "{name}: {page}");
        }
    }
    for page in words_of_pages(&desk.join("k/issued/26-041-A/quote.pdf")) {
        assert!(page.contains("Revision A") && !page.contains("Draft"), "{page}");
    }
}

#[test]
fn what_is_issued_is_frozen_whole_and_nothing_new_is_issued_of_what_did_not_change() {
    let desk = desk("issue-frozen");
    done(&desk, &["issue", "JOB", "quote"]);
    let folder = desk.join("k/issued/26-041-A");
    for name in
        ["quote.pdf", "manifest.json", "inputs/firm/firm.yaml", "inputs/firm/logo.png", "inputs/prices/1-prices.yaml"]
    {
        assert!(fs::metadata(folder.join(name)).unwrap().permissions().readonly(), "{name}");
    }
    assert_eq!(fs::read(folder.join("inputs/job/job.yaml")).unwrap(), fs::read(desk.join("k/job.yaml")).unwrap());
    assert!(done(&desk, &["issue", "JOB", "quote"]).contains("nothing new is issued"));
    assert_eq!(kept(&desk), ["26-041-A"]);
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    fs::write(desk.join("k/job.yaml"), job.replace("valid_days: 30", "valid_days: 20")).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    assert_eq!(kept(&desk), ["26-041-A", "26-041-B", "26-041-C"]);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 3, "{checked}");
    let changes = done(&desk, &["compare", "JOB", "A", "C"]);
    assert!(changes.contains("price stands until: 25 December 2026 becomes 15 December 2026"), "{changes}");
    assert!(changes.contains("Quantities\n  nothing changed"), "{changes}");
    assert!(changes.contains("no longer: “Price stands until: 25 December 2026”"), "{changes}");
    // What costs the same is no other sum, and what is not done costs nothing: the words tell.
    assert!(!changes.contains("fascia") && !changes.contains("rooflight stays"), "{changes}");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let other = [
        ("Fixing of the new fascia board", "New barge board at the side"),
        ("The rooflight stays in place and is sealed into the new roof.", "You clean the rooflight."),
    ];
    assert!(other.iter().all(|(from, _)| job.contains(from)));
    fs::write(desk.join("k/job.yaml"), other.iter().fold(job, |job, (from, to)| job.replace(from, to))).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    let changes = done(&desk, &["compare", "JOB", "C", "D"]);
    assert!(changes.contains("Scope\n  nothing changed") && changes.contains("Money\n  nothing changed"), "{changes}");
    let (_, words) = changes.split_once("Words of the quote\n").unwrap();
    for said in
        ["no longer: “For your job: The rooflight stays in place", "now: “For your job: You clean the rooflight.”"]
    {
        assert!(words.contains(said), "{said}: {words}");
    }
    assert!(
        words.contains("Fixing of the new fascia board") && words.contains("New barge board at the side"),
        "{words}"
    );
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    assert!(
        done(&desk, &["compare", "JOB", "D", "E"])
            .ends_with("Words of the quote\n  nothing changed beside sums of money\n")
    );
    let into = folder.to_str().unwrap();
    assert!(refused(&desk, &["quote", "JOB", "--out", into], 2).contains("holds what was issued"));
}

#[test]
fn a_stray_file_takes_no_letter_and_no_number_that_a_job_comes_to() {
    let desk = desk("issue-stray");
    done(&desk, &["issue", "JOB", "quote"]);
    // Words and a letter that is long gone by are no revisions of the synchroniser's making.
    for stray in ["26-041-plan.pdf", "26-041-LETTER.txt", "26-041-zzzzzz"] {
        fs::write(desk.join("k/issued").join(stray), "").unwrap();
    }
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    assert!(desk.join("k/issued/26-041-B/quote.pdf").is_file(), "{:?}", kept(&desk));
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    fs::write(desk.join("k/issued/26-041-invoice-99999999999 (copy).pdf"), "").unwrap();
    let told = refused(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"], 2);
    assert!(told.contains("99999999999 (copy).pdf") && told.contains("above 9999: take it away"), "{told}");
    fs::write(desk.join("k/issued/26-041-ZZ"), "").unwrap();
    let told = refused(&desk, &["issue", "JOB", "quote", "--again"], 2);
    assert!(told.contains("no letter after that") && told.contains("another reference"), "{told}");
}

#[test]
fn a_file_that_was_altered_is_told_by_its_name() {
    let desk = desk("issue-altered");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["issue", "JOB", "method"]);
    let folder = desk.join("k/issued/26-041-A");
    let firm = folder.join("inputs/firm/firm.yaml");
    let was = fs::read(&firm).unwrap();
    fs::remove_file(&firm).unwrap();
    fs::write(&firm, [was, b"# later\n".to_vec()].concat()).unwrap();
    fs::write(folder.join("note.txt"), "x").unwrap();
    let output = run(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(
        said.contains("inputs/firm/firm.yaml was altered") && said.contains("note.txt was put there since"),
        "{said}"
    );
    assert!(said.contains("26-041-B: as issued, and made again byte for byte"), "{said}");
}

#[test]
fn runs_at_once_and_runs_that_are_killed_use_no_letter_twice_and_leave_nothing_half_there() {
    let desk = desk("issue-at-once");
    let command = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
        command.args(["issue", desk.join("k").to_str().unwrap(), "quote", "--again"]);
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        command
    };
    let runs: Vec<_> = (0..4).map(|_| command().spawn().unwrap()).collect();
    runs.into_iter().for_each(|mut run| assert!(run.wait().unwrap().success()));
    assert_eq!(kept(&desk), ["26-041-A", "26-041-B", "26-041-C", "26-041-D"]);
    for n in 0..30 {
        let mut run = command().spawn().unwrap();
        thread::sleep(Duration::from_millis(5 + 17 * n));
        let _ = run.kill();
        run.wait().unwrap();
    }
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    let names = kept(&desk);
    assert!(names.iter().all(|name| name.starts_with("26-041-")), "left over: {names:?}");
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), names.len(), "{checked}");
}

#[test]
fn what_is_accepted_by_hand_is_priced_together_and_drives_the_order() {
    let desk = desk("accept-by-hand");
    let accept = ["accept", "JOB", "--options", "1,2", "--on", "2026-12-02", "--name", "R. Okafor"];
    assert!(refused(&desk, &accept, 2).contains("no quote of this job was issued yet"));
    done(&desk, &["issue", "JOB", "quote"]);
    let late = ["accept", "JOB", "--options", "1", "--on", "2027-02-01", "--name", "R. Okafor"];
    assert!(refused(&desk, &late, 2).contains("the price stood until 25 December 2026"));
    assert!(
        refused(&desk, &["accept", "JOB", "--options", "9", "--on", "2026-12-02", "--name", "X"], 2)
            .contains("no box 9")
    );
    let both_colours = ["accept", "JOB", "--options", "2,3", "--on", "2026-12-02", "--name", "X"];
    let told = refused(&desk, &both_colours, 2);
    assert!(told.contains("“Topcoat in green” cannot be had together with “Topcoat in brick red”"), "{told}");
    assert_eq!(kept(&desk), ["26-041-A"]);
    let said = done(&desk, &accept);
    let quote = words_of_pages(&desk.join("k/issued/26-041-A/quote.pdf")).join(" ");
    assert!(quote.contains("6,434.74") && said.contains("total    6434.74"), "{said}");
    // The engine's own price of a job with both changes made.
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let both = desk.join("both.yaml");
    fs::write(&both, job.replace("mat: 450", "mat: 600").replace("dark grey", "green")).unwrap();
    let price = done(&desk, &["price", both.to_str().unwrap(), "--json"]);
    let price: serde_json::Value = serde_json::from_str(&price).unwrap();
    let total = price["total"].as_str().unwrap();
    assert!(said.contains(&format!("total    {total}")), "{said}, not {total}");
    let accepted = desk.join("k/issued/26-041-A-accepted/accepted.yaml");
    let again: serde_json::Value =
        serde_json::from_str(&done(&desk, &["price", accepted.to_str().unwrap(), "--json"])).unwrap();
    assert_eq!(again["total"].as_str(), Some(total));
    let out = desk.join("out");
    let order = run(&desk, &["order", "JOB", "--out", out.to_str().unwrap()]);
    assert!(
        text(&order.stderr).contains("made from what was accepted on 2026-12-02, revision A"),
        "{}",
        text(&order.stderr)
    );
    assert!(fs::read_to_string(out.join("order.csv")).unwrap().contains("600"));
    // Ordered on the day of the acceptance, not of the quote, unless another is said.
    let page = |folder: &Path| words_of_pages(&folder.join("order.pdf")).join(" ");
    assert!(page(&out).contains("2 December 2026") && !page(&out).contains("25 November"), "{}", page(&out));
    done(&desk, &["order", "JOB", "--date", "2026-12-09", "--out", out.to_str().unwrap()]);
    assert!(page(&out).contains("9 December 2026"), "{}", page(&out));
    assert!(refused(&desk, &accept, 2).contains("was accepted on 2026-12-02 already"));
    // For the materials the time runs from their delivery, and the later of the two ends is counted (Consumer Contracts
    // Regulations 2013, regulation 30): 15 January 2027 and 14 days.
    let told = refused(&desk, &["withdraw", "JOB", "--on", "2027-01-30"], 2);
    let days = "accepted on 2 December 2026, the last of the goods come on 15 January 2027: the later day counts";
    assert!(told.contains("to cancel ended on 29 January 2027") && told.contains(days), "{told}");
    assert!(done(&desk, &["withdraw", "JOB", "--on", "2027-01-29"]).contains("paid back by 12 February 2027"));
    // Nothing is ordered or built by what was taken back, until another quote is out.
    for document in ["order", "method"] {
        let told = refused(&desk, &["issue", "JOB", document], 2);
        assert!(told.contains("revision A of 26-041 was taken back on 2027-01-29"), "{told}");
    }
    assert!(refused(&desk, &["mail", "JOB", "order"], 2).contains("nothing is ordered or built by it"));
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    done(&desk, &["issue", "JOB", "order"]);
}

/// A customer that accounts for the VAT is a business: it has no time to cancel, and no start is warned of for that.
#[test]
fn a_business_has_no_time_to_cancel() {
    let desk = desk("business");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    assert!(done(&desk, &["check", "JOB"]).contains("in which the customer may cancel"));
    let business = "customer:\n  vat_number: GB 000 0000 00\n  reverse_charge: yes\n";
    fs::write(desk.join("k/job.yaml"), job.replacen("customer:\n", business, 1)).unwrap();
    assert!(!done(&desk, &["check", "JOB"]).contains("in which the customer may cancel"));
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    let told = refused(&desk, &["withdraw", "JOB", "--on", "2026-12-03"], 2);
    assert!(told.contains("the customer is a business, for which no time to cancel runs"), "{told}");
    let told = done(&desk, &["withdraw", "JOB", "--on", "2026-12-03", "--even-so", "agreed by telephone"]);
    assert!(told.contains("What is paid back is as you agree with the customer"), "{told}");
}

#[test]
fn what_is_declined_was_quoted_before() {
    let desk = desk("declined-before");
    done(&desk, &["issue", "JOB", "quote"]);
    let told = refused(&desk, &["decline", "JOB", "--on", "2026-11-01"], 2);
    assert!(told.contains("the quote is of 2026-11-25, later than that"), "{told}");
    assert_eq!(kept(&desk), ["26-041-A"]);
}

/// By hand: 30 % of the price instead of the firm's share moves the first payment and the last.
#[test]
fn payments_and_what_is_kept_back_are_compared() {
    let desk = desk("payments");
    done(&desk, &["issue", "JOB", "quote"]);
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    assert!(firm.contains("part: 25 %"), "the first payment of the firm");
    fs::write(desk.join("firm.yaml"), firm.replacen("part: 25 %", "part: 30 %", 1)).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    let changes = done(&desk, &["compare", "JOB", "A", "B"]);
    let (money, _) = changes.split_once("Days").unwrap_or((&changes, ""));
    assert!(money.contains("payment “") && money.contains("more") && money.contains("less"), "{changes}");
}

/// Of answers that contradict one another and come at once, one is recorded.
#[test]
fn of_contrary_answers_at_once_one_is_recorded() {
    for n in 0..5 {
        let desk = desk(&format!("contrary-{n}"));
        done(&desk, &["issue", "JOB", "quote"]);
        let job = desk.join("k").to_str().unwrap().to_owned();
        let command = |words: &[&str]| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
            command.arg(words[0]).arg(&job).args(&words[1..]);
            command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
        };
        let runs = [
            command(&["accept", "--on", "2026-12-02", "--name", "R. Okafor"]),
            command(&["decline", "--on", "2026-12-02"]),
            command(&["decline", "--on", "2026-12-03"]),
        ];
        let good = runs.into_iter().map(|mut run| run.wait().unwrap().success()).filter(|good| *good).count();
        assert_eq!((good, kept(&desk).len()), (1, 2), "{:?}", kept(&desk));
    }
}

fn state(desk: &Path, today: &str) -> (String, String) {
    let list = done(desk, &["list", "JOB", "--json", "--today", today]);
    let list: serde_json::Value = serde_json::from_str(&list).unwrap();
    let job = &list["jobs"][0];
    (job["state"].as_str().unwrap().to_owned(), job["due"].as_str().unwrap_or("none").to_owned())
}

#[test]
fn the_register_is_read_off_the_folders() {
    let desk = desk("register");
    assert_eq!(state(&desk, "2026-11-26").0, "draft");
    done(&desk, &["issue", "JOB", "quote"]);
    assert_eq!(state(&desk, "2026-11-26"), ("sent".into(), "2026-12-02".into()));
    assert_eq!(state(&desk, "2026-12-26"), ("lapsed".into(), "2026-12-25".into()));
    done(&desk, &["decline", "JOB", "--on", "2026-12-03", "--because", "too dear"]);
    assert_eq!(state(&desk, "2026-12-04"), ("declined".into(), "none".into()));
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-05", "--name", "R. Okafor"]);
    assert_eq!(
        state(&desk, "2026-12-06"),
        ("accepted".into(), "2026-12-05".into()),
        "the first payment is due at once"
    );
    done(&desk, &["issue", "JOB", "order"]);
    assert_eq!(state(&desk, "2026-12-06"), ("ordered".into(), "2026-12-05".into()));
    assert!(done(&desk, &["list", "JOB", "--state", "draft", "--today", "2026-12-06"]).contains("0 jobs"));
}

/// The issued quote with something done to it, written as another file.
fn returned(desk: &Path, change: impl Fn(&mut Document)) -> PathBuf {
    let mut pdf = Document::load(desk.join("k/issued/26-041-A/quote.pdf")).unwrap();
    change(&mut pdf);
    let place = desk.join("signed.pdf");
    pdf.save(&place).unwrap();
    place
}

pub fn fill(pdf: &mut Document, name: &str, value: Object) {
    let field = |object: &Object| object.as_dict().ok().filter(|d| d.has(b"FT")).cloned();
    let is = |d: &Dictionary| d.get(b"T").is_ok_and(|t| lopdf::decode_text_string(t).unwrap() == name);
    let id = *pdf.objects.iter().find(|(_, o)| field(o).is_some_and(|d| is(&d))).unwrap().0;
    let field = pdf.get_dictionary_mut(id).unwrap();
    if matches!(value, Object::Name(_)) {
        field.set("AS", value.clone());
    }
    field.set("V", value);
}

fn signed(pdf: &mut Document) {
    fill(pdf, "Acceptance: Name", Object::string_literal("R. Okafor"));
    fill(pdf, "Acceptance: Date", Object::string_literal("Wed 2nd Dec 2026"));
    fill(pdf, "Tick 2", "Yes".into());
    fill(pdf, "Tick 5", "Yes".into());
}

#[test]
fn a_signed_quote_is_read_and_recorded() {
    let desk = desk("accept-file");
    done(&desk, &["issue", "JOB", "quote"]);
    let file = returned(&desk, signed);
    let said = done(&desk, &["accept", "JOB", file.to_str().unwrap()]);
    for words in [
        "as answered on 2026-12-02 by R. Okafor",
        "recorded as accepted",
        "chosen   Topcoat in green",
        "said     I have read the page",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("chosen   Heavier"), "{said}");
    let kept = desk.join("k/issued/26-041-A-accepted");
    assert_eq!(fs::read(kept.join("signed.pdf")).unwrap(), fs::read(file).unwrap());
    assert!(fs::read_to_string(kept.join("accepted.yaml")).unwrap().contains("green"));
}

#[test]
fn a_returned_quote_that_was_altered_or_is_hostile_is_not_taken() {
    let desk = desk("accept-hostile");
    done(&desk, &["issue", "JOB", "quote"]);
    let refuses = |code: i32, words: &str, change: &dyn Fn(&mut Document)| {
        let file = returned(&desk, |pdf| {
            signed(pdf);
            change(pdf);
        });
        let said = refused(&desk, &["accept", "JOB", file.to_str().unwrap()], code);
        assert!(said.contains(words), "{words}: {said}");
    };
    refuses(2, "page 1 of the file is not as it was issued", &|pdf| {
        let page = pdf.get_pages()[&1];
        let marks = pdf.get_page_content(page);
        let fewer = marks.len() - 40;
        pdf.change_page_content(page, marks[..fewer].to_vec()).unwrap();
    });
    refuses(2, "page 1 of the file has more on it", &|pdf| {
        let page = pdf.get_pages()[&1];
        let marks = pdf.get_page_content(page);
        pdf.change_page_content(page, [marks, b" 0 0 9 9 re f".to_vec()].concat()).unwrap();
    });
    refuses(2, "it holds a script", &|pdf| {
        let script = dictionary! {"S" => "JavaScript", "JS" => Object::string_literal("app.alert(1)")};
        let script = pdf.add_object(script);
        pdf.catalog_mut().unwrap().set("OpenAction", script);
    });
    refuses(2, "something that is done by itself", &|pdf| {
        let page = pdf.get_pages()[&1];
        let call = dictionary! {"S" => "URI", "URI" => Object::string_literal("https://example.com/")};
        pdf.get_dictionary_mut(page).unwrap().set("AA", dictionary! {"O" => call});
    });
    refuses(2, "something that is done by itself", &|pdf| {
        let call = dictionary! {"S" => "URI", "URI" => Object::string_literal("https://example.com/")};
        let call = pdf.add_object(call);
        pdf.catalog_mut().unwrap().set("OpenAction", call);
    });
    refuses(2, "a program to start", &|pdf| {
        pdf.add_object(dictionary! {"S" => "Launch", "F" => Object::string_literal("x.exe")});
    });
    refuses(2, "another file", &|pdf| {
        pdf.add_object(dictionary! {"Type" => "Filespec", "EF" => dictionary! {}});
    });
    refuses(2, "its fields were taken out of it", &|pdf| {
        for page in pdf.get_pages().into_values().collect::<Vec<_>>() {
            pdf.get_dictionary_mut(page).unwrap().remove(b"Annots");
        }
    });
    refuses(2, "the field `Acceptance: Name` does not stand where it stood", &|pdf| {
        let name =
            |d: &Dictionary| d.get(b"T").is_ok_and(|t| lopdf::decode_text_string(t).unwrap() == "Acceptance: Name");
        let id = *pdf.objects.iter().find(|(_, o)| o.as_dict().is_ok_and(name)).unwrap().0;
        pdf.get_dictionary_mut(id).unwrap().set("Rect", vec![0.into(), 0.into(), 500.into(), 700.into()]);
    });
    refuses(2, "is ticked by its value and not by its look", &|pdf| {
        let name = |d: &Dictionary| d.get(b"T").is_ok_and(|t| lopdf::decode_text_string(t).unwrap() == "Tick 2");
        let id = *pdf.objects.iter().find(|(_, o)| o.as_dict().is_ok_and(name)).unwrap().0;
        pdf.get_dictionary_mut(id).unwrap().set("AS", "Off");
    });
    let file = desk.join("signed.pdf");
    let deep = format!("%PDF-1.7\n1 0 obj\n{}\nendobj\n", "[".repeat(200_000));
    for (bytes, words) in [
        (b"PK\x03\x04".to_vec(), "it is not a PDF"),
        (b"%PDF-1.7\ntrailer <</Encrypt 1 0 R>>".to_vec(), "it is encrypted"),
        (deep.into_bytes(), "it is broken"),
        ([b"%PDF-1.7\n".to_vec(), vec![b' '; 20_000_001]].concat(), "it is larger than 20 MB"),
    ] {
        fs::write(&file, bytes).unwrap();
        let said = refused(&desk, &["accept", "JOB", file.to_str().unwrap()], 2);
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(kept(&desk), ["26-041-A"]);
}
