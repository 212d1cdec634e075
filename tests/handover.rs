//! The finished roof handed over, through the program as it is used: what the record must say, what the householder reads, what
//! is guaranteed and from which day, what is kept, and how the register goes on.

use crate::issued::{desk_of, done, kept, refused, text, words_of_pages};
use crate::photographs::encoded;
use jpeg_encoder::ColorType;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use time::macros::date;
use wetout::job_file::load_record;
use wetout::model::firm::GuaranteeTerms;
use wetout::model::problem::Source;
use wetout::works::check::OF_THE_SITE;
use wetout::works::{RoofCheck, WorkKind};

/// A demo job in `k`, its quote issued and accepted.
fn accepted(name: &str, job: &str) -> PathBuf {
    let desk = desk_of(name, job);
    match job {
        "neighbours" => {
            done(&desk, &["issue", "JOB", "quote"]);
            let both = ["--name", "J. Ashdown", "--name", "P. Lisle"];
            done(&desk, &[&["accept", "JOB", "--on", "2026-12-02"], &both[..]].concat());
        }
        _ => accept(&desk),
    }
    desk
}

fn accept(desk: &Path) {
    done(desk, &["issue", "JOB", "quote"]);
    done(desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "A. Householder"]);
}

/// The kitchen, accepted; its record stands beside it.
fn kitchen(name: &str) -> PathBuf {
    accepted(name, "kitchen-extension")
}

fn change(file: &Path, changes: &[(&str, &str)]) {
    let mut text = fs::read_to_string(file).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    fs::write(file, text).unwrap();
}

fn record(desk: &Path, changes: &[(&str, &str)]) {
    change(&desk.join("k/record.yaml"), changes);
}

/// The words of a document, its lines run together.
fn words(pdf: &Path) -> String {
    words_of_pages(pdf).join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn frozen(desk: &Path, number: u32) -> String {
    words(&desk.join(format!("k/issued/26-041-handover-{number}/handover.pdf")))
}

fn holds(page: &str, all: &[&str]) {
    for shown in all {
        assert!(page.contains(shown), "{shown} is not in {page}");
    }
}

/// What the register says of the job: state, what is next, when.
fn row(desk: &Path, today: &str) -> [String; 3] {
    let list: Value = serde_json::from_str(&done(desk, &["list", "JOB", "--json", "--today", today])).unwrap();
    ["state", "next", "due"].map(|key| list["jobs"][0][key].as_str().unwrap_or("none").to_owned())
}

fn pay_all(desk: &Path, on: &str) {
    for stage in ["1", "2"] {
        done(desk, &["invoice", "JOB", "--stage", stage, "--on", on]);
        let manifest = desk.join(format!("k/issued/26-041-invoice-{stage}/manifest.json"));
        let manifest: Value = serde_json::from_str(&fs::read_to_string(manifest).unwrap()).unwrap();
        let total = manifest["invoiced"]["sums"]["total"].as_str().unwrap().to_owned();
        done(desk, &["receipt", "JOB", stage, "--paid", &total, "--on", on]);
    }
}

const HAND_OVER: [&str; 4] = ["handover", "JOB", "--on", "2027-01-22"];

// ---- The whole deal -----------------------------------------------------------------------------------------------------

#[test]
fn the_kitchen_is_handed_over_and_the_register_goes_on_to_the_final_invoice() {
    let desk = kitchen("handover-kitchen");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "1572.65", "--on", "2026-12-09"]);
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    let said = done(&desk, &HAND_OVER);
    holds(&said, &["handed over as 26-041-HAN-1 on 2027-01-22", "guaranteed for 20 years, to 2047-01-22", "--stage 2"]);
    let [state, next, due] = row(&desk, "2027-01-23");
    assert_eq!(
        (state.as_str(), next.as_str(), due.as_str()),
        ("done", "send the final invoice, for stage 2", "2027-01-22")
    );
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-23"]);
    let [state, next, due] = row(&desk, "2027-01-24");
    assert!(next.ends_with("to be paid for 26-041-INV-2"), "{next}");
    assert_eq!((state.as_str(), due.as_str()), ("invoiced", "2027-02-06"));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains("26-041-handover-1: as issued, and made again byte for byte"), "{checked}");
    holds(
        &frozen(&desk, 1),
        &[
            "Your roof is finished: Kitchen extension",
            "26-041-HAN-1",
            "Guaranteed until 22 January 2047",
            "Friday 22 January 2027",
            "26-041 revision A",
            "Two joists rotten, doubled with your word of 18 January.",
            "B-44712, B-44713",
            "7 to 9 °C",
            "The full skip is fetched by 25 January.",
            "It goes with the house, if the new owner writes to us within 60 days of moving in.",
            "within 14 days of seeing that something is wrong",
            "comes on top of them and takes nothing away from them",
            "Where more than 50% of a roof is renewed, Building Control is usually told. Who tells them was agreed before the work \
             began.",
            "Told by",
            "Certificate number",
            "A fall from a low roof can kill",
            "The ladder stands at the ladder point, tied: on the left, 0.60 m from the back",
            "On the left, 0.60 m from the back",
            "1 layer of 450 g/m² mat",
            "New 18 mm boards on the joists",
            "16.7 m² on plan",
            // What keeps its edges dry, for whoever works on them one day.
            "Flashing Lead flashing 180 mm wide at back",
            "Gutter Half-round 112 mm at front",
            // What the price left out was not built: the quote says of the same gap that it is not in it.
            "fascia; a gap over one that ends with the joists is not part of this work",
            "If the house changes hands",
            "New owner",
            "Registered in England and Wales, registered office Unit 3 Example Yard",
        ],
    );
    for page in words_of_pages(&desk.join("k/issued/26-041-handover-1/handover.pdf")) {
        assert!(page.contains("26-041-HAN-1") && !page.contains("Draft"), "{page}");
    }
}

/// Paid in full and never handed over, or handed over and paid: the state is what is left to do.
#[test]
fn a_roof_that_is_handed_over_and_paid_is_paid() {
    let desk = kitchen("handover-paid");
    pay_all(&desk, "2027-01-25");
    assert_eq!(row(&desk, "2027-02-01")[0], "paid");
    done(&desk, &["handover", "JOB", "--on", "2027-01-26"]);
    assert_eq!(row(&desk, "2027-02-01"), ["paid", "nothing", "none"].map(str::to_owned));
}

#[test]
fn once_the_days_on_site_are_over_the_register_asks_for_the_handover() {
    let desk = kitchen("handover-next");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "1572.65", "--on", "2026-12-09"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-21"]);
    let [state, next, _] = row(&desk, "2027-01-22");
    assert_eq!((state.as_str(), next.as_str()), ("invoiced", "hand the roof over"));
}

// ---- What was agreed since -----------------------------------------------------------------------------------------------

/// The customer knows before signing what the certificate says once the roof is done, in the same words.
#[test]
fn the_terms_of_the_guarantee_stand_in_the_quote_as_in_the_certificate() {
    for (from, begins) in [
        ("completion", "the day on which the work is finished"),
        ("handover", "the day on which the roof is handed over"),
        ("payment", "the day on which the last of the price is paid"),
    ] {
        let desk = desk_of(&format!("handover-terms-{from}"), "kitchen-extension");
        change(&desk.join("firm.yaml"), &[("from: completion", &format!("from: {from}"))]);
        accept(&desk);
        done(&desk, &HAND_OVER);
        for page in [words(&desk.join("k/issued/26-041-A/quote.pdf")), frozen(&desk, 1)] {
            let said = [
                begins,
                "Anything fixed through the roof, or any repair or coating of it, by others without our consent.",
                "Leaves or rubbish left in the way of the water, or anything heavy or hot stood on the roof.",
                "Ring or write to us within 14 days of seeing that something is wrong",
                "It goes with the house, if the new owner writes to us within 60 days of moving in.",
            ];
            holds(&page, &said);
        }
    }
    // A firm that gives none prints none of its terms.
    let desk = desk_of("handover-terms-none", "kitchen-extension");
    change(&desk.join("firm.yaml"), &[("  years: 20", "  years: 0")]);
    done(&desk, &["issue", "JOB", "quote"]);
    assert!(!words(&desk.join("k/issued/26-041-A/quote.pdf")).contains("The certificate that comes with the roof"));
}

/// Two things done besides, one left out; and an order that nobody signed, which is no part of it.
#[test]
fn what_was_agreed_since_is_checked_guaranteed_and_told_with_the_roof() {
    let desk = kitchen("handover-varied");
    let file = desk.join("more.yaml");
    let more = "found:\n  - {what: Deck boards soft at the eaves, boards: 2}\n  - {what: Lead further up, article: flashing.lead, size: 180 mm, quantity: 3 m, hours: 1}\n  - {what: One day more on site, visits: 1}\n  - {what: Two joists rotten, rate: joist replaced or doubled, quantity: 4.6 m}\n  - {what: No hoist, omit: 50.00}\n";
    fs::write(&file, more).unwrap();
    let file = file.to_str().unwrap();
    let found = ["variation", "JOB", file, "--on", "2027-01-18"];
    done(&desk, &found);
    done(&desk, &[found.as_slice(), &["--again"]].concat());
    done(&desk, &["variation", "JOB", "--agreed", "1", "--on", "2027-01-19", "--name", "R. Okafor"]);
    let said = refused(&desk, &HAND_OVER, 1);
    holds(&said, &["variation order 26-041-VAR-1 adds came out", "add `1: yes` under `variations`", "1 problem in"]);
    holds(
        &done(&desk, &["handover", "JOB", "--form"]),
        &[
            "variations:",
            "\n  1: … # 26-041-VAR-1: 2 new boards: deck boards soft at the eaves; Lead further up: lead for the cover flashing, 180 mm, 3 m; joist replaced or doubled, 4.6 m: two joists rotten\n",
        ],
    );
    record(&desk, &[("left:", "variations: {2: yes}\nleft:")]);
    let said = refused(&desk, &HAND_OVER, 1);
    holds(&said, &["there is no variation `2` of this job that was agreed", "what was agreed since is 26-041-VAR-1"]);
    record(&desk, &[("{2: yes}", "{1: no}")]);
    holds(&refused(&desk, &HAND_OVER, 1), &["write `1: {passed: no, words: what is done about it"]);
    record(&desk, &[("{1: no}", "{26-041-VAR-1: {passed: no, words: A third board on Monday}}")]);
    let said = done(&desk, &HAND_OVER);
    let told = ["with variation order 26-041-VAR-1", "26-041-VAR-2 waits for its signature", "1 check has not passed"];
    holds(&said, &told);
    let page = frozen(&desk, 1);
    let shown = [
        "and in variation order 26-041-VAR-1 (agreed on 19 January 2027)",
        "Variation order 26-041-VAR-1: all of it done as agreed Not passed A third board on Monday.",
        "Varied by 26-041-VAR-1",
        "26-041-VAR-1 (agreed on 19 January 2027) belongs to this work: the guarantee holds for it",
        "Variation order 26-041-VAR-1 , agreed on 19 January 2027, done besides what stands above: • 2 new boards: deck boards soft at the eaves \
         • Lead further up: lead for the cover flashing, 180 mm, 3 m • Joist replaced or doubled, 4.6 m: two joists rotten • Left out: No hoist",
    ];
    holds(&page, &shown);
    assert!(!page.contains("VAR-2"), "{page}");
    // Once the other is signed too, it is handed over anew, and both are made again from what is kept.
    assert!(done(&desk, &HAND_OVER).contains("nothing has changed"));
    done(&desk, &["variation", "JOB", "--agreed", "2", "--on", "2027-01-22", "--name", "R. Okafor"]);
    record(&desk, &[("on Monday}}", "on Monday}, 2: yes}")]);
    done(&desk, &HAND_OVER);
    assert!(frozen(&desk, 2).contains(
        "variation orders 26-041-VAR-1 (agreed on 19 January 2027) and 26-041-VAR-2 (agreed on 22 January 2027)"
    ));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("-handover-").count(), 2, "{checked}");
    assert_eq!(checked.matches("made again byte for byte").count(), 5, "{checked}");
}

// ---- What the record must say --------------------------------------------------------------------------------------------

#[test]
fn all_that_is_missing_is_told_by_its_place_at_once_and_nothing_is_written() {
    let desk = kitchen("handover-missing");
    record(
        &desk,
        &[("finished: 2027-01-22\n", ""), ("  mat: R-0920\n", ""), ("  deck: yes\n", ""), ("  cleared: yes\n", "")],
    );
    let said = refused(&desk, &HAND_OVER, 1);
    holds(
        &said,
        &[
            "the record does not say on which day the work was finished",
            "add, for example, `finished: 2027-01-21`",
            "from which batch the glass-fibre mat was",
            "Deck dry, sound and swept",
            "add `deck: yes` under `checks`",
            "Roof and ground swept",
            "4 problems in",
            "record.yaml:",
        ],
    );
    fs::write(desk.join("k/record.yaml"), "left: []\n").unwrap();
    let said = refused(&desk, &HAND_OVER, 1);
    holds(
        &said,
        &["the record has no weather log", "batch the resin", "catalyst", "topcoat", "Water run over the roof"],
    );
    fs::remove_file(desk.join("k/record.yaml")).unwrap();
    let said = refused(&desk, &HAND_OVER, 2);
    holds(&said, &["record.yaml: write into it what happened on site", "--form", "--draft", "wetout help record"]);
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
}

#[test]
fn what_the_record_says_wrongly_is_told_with_its_line_and_its_cure() {
    let desk = kitchen("handover-wrong");
    let was = fs::read_to_string(desk.join("k/record.yaml")).unwrap();
    for (from, to, told) in [
        ("  deck: yes", "  dek: yes", &["there is no check `dek`", "did you mean `deck`?"][..]),
        ("  deck: yes", "  deck: maybe", &["`maybe` is not"]),
        ("  deck: yes", "  deck: {passed: no}", &["nothing says what is done about it", "deck: {passed: no, words:"]),
        ("  deck: yes", "  deck: yes\n  sills: yes", &["nothing of this job is checked by `sills`", "--form"]),
        ("  strip: 3.5 h", "  strip: 3.5", &["`3.5` has no unit", "write `3.5 h`"]),
        ("  strip: 3.5 h", "  strip: 95000 h", &["it lies between 0 h and 2000 h"]),
        ("  strip: 3.5 h", "  stripp: 3.5 h", &["there is no work `stripp`", "did you mean `strip`?"]),
        ("  strip: 3.5 h", "  recoat: 3.5 h", &["`recoat` is no work of this job"]),
        ("air: 8 C", "air: 800 C", &["800 C"]),
        ("day: 2027-01-19", "day: 2027-01-29", &["this day lies after 2027-01-22"]),
        ("day: 2027-01-19", "day: 2017-01-19", &["more than a year before 2027-01-22", "check the year"]),
        ("finished: 2027-01-22", "finished: 21/01/2027", &["write year, month and day: `2027-01-21`"]),
        (
            "finished: 2027-01-22",
            "finnished: 2027-01-22",
            &["`finnished` is not a setting", "did you mean `finished`?"],
        ),
        (
            "finished: 2027-01-22",
            "finished: 2027-01-22\nphotos: [{file: gone.jpg}]",
            &["there is no photograph `gone.jpg`"],
        ),
    ] {
        assert!(was.contains(from), "{from}");
        fs::write(desk.join("k/record.yaml"), was.replacen(from, to, 1)).unwrap();
        let said = refused(&desk, &HAND_OVER, 1);
        assert!(told.iter().all(|words| said.contains(words)) && said.contains("record.yaml:"), "{to}: {said}");
    }
    fs::write(desk.join("k/record.yaml"), fs::read(desk.join("k/job.yaml")).unwrap()).unwrap();
    assert!(refused(&desk, &HAND_OVER, 1).contains("this is a job, not a record of the work"));
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
}

/// However a record is damaged, it is read or its faults are told, each with its cure.
#[test]
fn no_damage_to_a_record_makes_the_reader_fall_over() {
    let whole = fs::read_to_string("jobs/kitchen-extension/record.yaml").unwrap();
    let folder = crate::command::scratch("handover-damage");
    let place = folder.join("record.yaml");
    let (mut read, mut told) = (0, 0);
    let starts: Vec<usize> = whole.char_indices().map(|(at, _)| at).step_by(13).collect();
    for (n, at) in starts.into_iter().enumerate() {
        let put = ["", "{", "- ", "\n", ": ", "9999999999999999999999 ", "&a *a", "\t", "é", "!!binary "][n % 10];
        let end = ((at + n % 7).min(whole.len())..).find(|end| whole.is_char_boundary(*end)).unwrap();
        fs::write(&place, format!("{}{put}{}", &whole[..at], &whole[end..])).unwrap();
        match load_record(&place) {
            Ok(_) => read += 1,
            Err(failure) => {
                told += 1;
                assert!(
                    failure.problems.iter().all(|p| !p.cure.is_empty() && p.source == Source::Record),
                    "{failure:?}"
                );
            }
        }
    }
    assert!(read > 20 && told > 20, "{read} read, {told} told");
}

#[test]
fn a_job_that_nobody_accepted_is_not_handed_over() {
    let desk = desk_of("handover-early", "kitchen-extension");
    let said = refused(&desk, &HAND_OVER, 2);
    holds(&said, &["no quote of 26-041 is accepted, so there is nothing to hand over", "`wetout accept`"]);
    assert!(refused(&desk, &["handover", "JOB", "--draft"], 2).contains("`wetout accept`"));
    done(&desk, &["issue", "JOB", "quote"]);
    assert!(refused(&desk, &HAND_OVER, 2).contains("`wetout accept`"));
}

/// The printed record, filled in: all was done by that day, and every check passed.
pub fn filled(form: &str, day: &str) -> String {
    let weather = format!("day: {day}, air: 15 C, humidity: 60 %, surface: 16 C");
    let form = form
        .replace("finished: …", &format!("finished: {day}"))
        .replace("day: …, air: … C, humidity: … %, surface: … C, words: …", &weather)
        .replace("… h", "2.5 h");
    let (mut part, mut text) = ("", String::new());
    for line in form.lines() {
        if !line.starts_with([' ', '#']) {
            part = line.split(':').next().unwrap();
        }
        let answer = match part {
            "checks" | "variations" => ": yes",
            "packs" => ": 1",
            _ => ": X-1",
        };
        text += &format!("{}\n", line.replace(": …", answer));
    }
    text
}

/// The printed record is read once its gaps are filled, and has every check that the job is asked for and no other.
#[test]
fn the_form_that_is_printed_is_the_record_that_is_wanted() {
    for job in ["kitchen-extension", "patch-and-coat", "parapet", "garage-utility", "dormer"] {
        let desk = accepted(&format!("handover-form-{job}"), job);
        let form = done(&desk, &["handover", "JOB", "--form"]);
        let filled = filled(&form, "2027-06-30");
        fs::write(desk.join("k/record.yaml"), &filled).unwrap();
        let said = done(&desk, &["handover", "JOB", "--on", "2027-07-01"]);
        assert!(said.contains("handed over as"), "{job}: {said}\n{filled}");
    }
}

// ---- Drafts ---------------------------------------------------------------------------------------------------------------

/// The form as it is printed says nothing yet: a draft of it is that of no record. What is filled in stands in the draft.
#[test]
fn a_form_that_is_not_filled_in_is_no_fault_of_a_draft() {
    let desk = kitchen("handover-draft-form");
    let form = done(&desk, &["handover", "JOB", "--form"]);
    let out = desk.join("out");
    let drafted = |record: &str| {
        fs::write(desk.join("k/record.yaml"), record).unwrap();
        done(&desk, &["handover", "JOB", "--draft", "--out", out.to_str().unwrap()]);
        words(&out.join("handover.pdf"))
    };
    let bare = drafted(&form);
    holds(&bare, &["Draft, no number", "Batch number"]);
    let begun = drafted(&form.replacen("resin: …", "resin: B-7731", 1));
    assert!(begun.contains("B-7731") && !bare.contains("B-7731"), "{begun}");
    assert!(!begun.contains('…'), "{begun}");
    assert!(refused(&desk, &HAND_OVER, 1).contains("problems in"), "nothing is handed over by it");
}

#[test]
fn a_draft_has_lines_to_fill_in_for_all_that_is_not_said_and_takes_no_number() {
    let desk = kitchen("handover-draft");
    fs::remove_file(desk.join("k/record.yaml")).unwrap();
    let out = desk.join("out");
    let said = done(&desk, &["handover", "JOB", "--draft", "--out", out.to_str().unwrap()]);
    assert!(said.contains("things are missing in the record"), "{said}");
    let page = words(&out.join("handover.pdf"));
    holds(
        &page,
        &["Draft, not issued", "Draft, no number", "Guaranteed for", "Deck dry, sound and swept", "Batch number"],
    );
    assert!(!page.contains("-HAN-") && !page.contains("Passed"), "{page}");
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
    fs::write(desk.join("k/record.yaml"), "checks: {deck: yes}\nfinished: 2027-01-22\n").unwrap();
    done(&desk, &["handover", "JOB", "--draft", "--on", "2027-01-22", "--out", out.to_str().unwrap()]);
    let page = words(&out.join("handover.pdf"));
    holds(
        &page,
        &["Deck dry, sound and swept: no board moves, no nail stands up Passed", "Guaranteed until 22 January 2047"],
    );
    let into = desk.join("k/issued");
    assert!(
        refused(&desk, &["handover", "JOB", "--draft", "--on", "2027-01-22", "--out", into.to_str().unwrap()], 2)
            .contains("holds what was issued")
    );
    assert!(refused(&desk, &["handover", "JOB", "--out", out.to_str().unwrap()], 2).contains("add `--draft`"));
}

#[test]
fn every_demo_job_can_be_handed_over() {
    for job in ["balcony", "bay", "dormer", "garage-utility", "neighbours", "parapet", "patch-and-coat"] {
        let desk = accepted(&format!("handover-demo-{job}"), job);
        let out = desk.join("out");
        done(&desk, &["handover", "JOB", "--draft", "--out", out.to_str().unwrap()]);
        let (page, pages) = (words(&out.join("handover.pdf")), words_of_pages(&out.join("handover.pdf")));
        holds(&page, &["Completion record", "Guarantee certificate", "Looking after your roof", "What was built"]);
        // Who signed the quote signs for what is handed over.
        let both = "Received by Mrs J. Ashdown (No. 12) Received by Mr P. Lisle (No. 14)";
        // Two who sign do so beside one another, and plans of two roofs stand so.
        assert!(pages.len() <= 9 && (job != "neighbours" || pages.len() <= 8), "{job}: {} pages", pages.len());
        assert_eq!(page.contains(both), job == "neighbours", "{job}: {page}");
        let given = "Given to Mrs J. Ashdown (No. 12) and Mr P. Lisle";
        assert_eq!(page.contains(given), job == "neighbours", "{job}: {page}");
        // Of what does not bear a person the care speaks twice, by its name: to who walks there, and to who works there. The
        // garage's soil pipe is no second one.
        let opening = ["garage-utility", "neighbours", "patch-and-coat"].contains(&job);
        assert_eq!(page.contains("sit or lean on the rooflight: it does not bear a person"), opening, "{job}: {page}");
        assert_eq!(page.contains("The rooflight bears nobody"), opening, "{job}: {page}");
        assert_eq!(page.contains("The rooflight: nothing lodged against its kerb"), opening, "{job}: {page}");
        assert!(!page.contains("ooflights and hatches") && !page.contains("rooflight or hatch"), "{job}: {page}");
        // Of the class in fire a certificate alone speaks: the bay's is known.
        assert_eq!(page.contains("The certificate says BROOF(t4), which is allowed."), job == "bay", "{job}: {page}");
    }
}

/// Of several that bear nobody the care names none.
#[test]
fn of_a_rooflight_and_a_hatch_the_care_speaks_of_both() {
    let desk = desk_of("handover-hatch", "garage-utility");
    let hatch = "      - {name: hatch, at: [1.8 m, 3.8 m], size: [0.9 m, 0.9 m], finish: kerb}\n";
    let pipe = "      - {name: soil pipe,";
    change(&desk.join("k/job.yaml"), &[(pipe, &format!("{hatch}{pipe}"))]);
    accept(&desk);
    let out = desk.join("out");
    done(&desk, &["handover", "JOB", "--draft", "--out", out.to_str().unwrap()]);
    holds(
        &words(&out.join("handover.pdf")),
        &[
            "Rooflights and hatches: nothing lodged against a kerb",
            "sit or lean on a rooflight or hatch: it does not bear a person",
            "Rooflights and hatches bear nobody",
            "whoever works beside one covers it",
        ],
    );
}

// ---- What is guaranteed ---------------------------------------------------------------------------------------------------

#[test]
fn no_guarantee_is_dated_before_the_completion() {
    let desk = kitchen("handover-days");
    let said = refused(&desk, &["handover", "JOB", "--on", "2027-01-20"], 1);
    holds(&said, &["no guarantee is dated before the completion", "finished: 2027-01-22"]);
    record(
        &desk,
        &[
            ("2027-01-22", "2026-11-30"),
            ("2027-01-21", "2026-11-30"),
            ("2027-01-19", "2026-11-29"),
            ("2027-01-20", "2026-11-29"),
        ],
    );
    assert!(refused(&desk, &HAND_OVER, 1).contains("before the quote was accepted on 2026-12-02"));
    assert!(
        refused(&desk, &["handover", "JOB", "--date", "2027-01-22"], 2)
            .contains("say the day of the handover with `--on`")
    );
}

#[test]
fn the_guarantee_is_the_one_that_was_accepted_and_the_firm_is_todays() {
    let desk = kitchen("handover-terms");
    change(
        &desk.join("firm.yaml"),
        &[
            ("  years: 20\n", "  years: 2\n"),
            ("It goes with the house, if", "It ends when the house is sold, unless"),
            ("phone: 01632 960114", "phone: 01632 960199"),
        ],
    );
    done(&desk, &HAND_OVER);
    let page = frozen(&desk, 1);
    let passes = "It goes with the house, if the new owner";
    holds(&page, &["20 years", passes, "01632 960199", "Guaranteed until 22 January 2047"]);
    assert!(!page.contains("It ends when the house is sold") && !page.contains("01632 960114"), "{page}");
    assert!(
        done(&desk, &["issue", "--check", "JOB"])
            .contains("26-041-handover-1: as issued, and made again byte for byte")
    );
}

#[test]
fn it_begins_on_the_day_that_the_firm_says() {
    let of = |name: &str, from: &str, paid: Option<&str>| {
        let desk = desk_of(name, "kitchen-extension");
        change(&desk.join("firm.yaml"), &[("from: completion", from)]);
        accept(&desk);
        paid.into_iter().for_each(|on| pay_all(&desk, on));
        done(&desk, &["handover", "JOB", "--on", "2027-01-29"]);
        frozen(&desk, 1)
    };
    holds(
        &of("handover-from-1", "from: handover", None),
        &["Guaranteed until 29 January 2047", "Runs from 29 January 2027"],
    );
    let open = of("handover-from-2", "from: payment", None);
    holds(&open, &["Guaranteed for", "from the day on which the last of the price is paid"]);
    assert!(!open.contains("January 2047"), "{open}");
    holds(&of("handover-from-3", "from: payment", Some("2027-01-25")), &["Runs from 25 January 2027"]);
    // Paid in advance, it begins with the completion all the same.
    holds(&of("handover-from-4", "from: payment", Some("2026-12-20")), &["Runs from 22 January 2027"]);
}

/// A period in years ends with the anniversary of the day from which it runs; of 29 February in a year that has none, with 28
/// February (the corresponding date rule, Dodds v Walker [1981] 1 WLR 1027; from memory).
#[test]
fn a_guarantee_ends_on_its_anniversary() {
    assert_eq!(GuaranteeTerms::last_day(date!(2027 - 01 - 21), 20), date!(2047 - 01 - 21));
    assert_eq!(GuaranteeTerms::last_day(date!(2028 - 02 - 29), 20), date!(2048 - 02 - 29));
    assert_eq!(GuaranteeTerms::last_day(date!(2028 - 02 - 29), 5), date!(2033 - 02 - 28));
}

#[test]
fn a_repair_is_guaranteed_for_what_was_done_alone() {
    let desk = accepted("handover-repair", "patch-and-coat");
    let out = desk.join("out");
    fs::write(desk.join("k/record.yaml"), "finished: 2027-05-20\n").unwrap();
    done(&desk, &["handover", "JOB", "--draft", "--on", "2027-05-20", "--out", out.to_str().unwrap()]);
    let page = words(&out.join("handover.pdf"));
    holds(
        &page,
        &["5 years", "20 May 2032", "for what we have laid and coated alone", "Patches hard: no hollow sound"],
    );
    assert!(!page.contains("20 years"), "{page}");
}

#[test]
fn a_firm_that_guarantees_nothing_says_so() {
    let desk = desk_of("handover-none", "kitchen-extension");
    change(&desk.join("firm.yaml"), &[("  years: 20\n", "  years: 0\n")]);
    accept(&desk);
    done(&desk, &HAND_OVER);
    let page = frozen(&desk, 1);
    holds(&page, &["We give no guarantee of our own", "Your rights in law"]);
    assert!(!page.contains("What ends it") && !page.contains("Guaranteed until"), "{page}");
}

// ---- What is shown --------------------------------------------------------------------------------------------------------

#[test]
fn a_check_that_did_not_pass_is_shown_with_what_is_done_about_it() {
    let desk = kitchen("handover-not-passed");
    record(
        &desk,
        &[("  flashing: yes", "  flashing: {passed: no, words: lead is short by 300 mm and comes on 29 January}")],
    );
    let said = done(&desk, &HAND_OVER);
    assert!(said.contains("1 check has not passed"), "{said}");
    holds(
        &frozen(&desk, 1),
        &["Not passed", "Lead is short by 300 mm and comes on 29 January.", "It stays ours to put right."],
    );
}

/// The figures are the firm's own limits: air from 5 °C, humidity to 85 %, the surface 3 °C over the dew point.
#[test]
fn weather_in_which_nothing_should_have_been_laid_is_told_to_the_firm() {
    let desk = kitchen("handover-weather");
    assert!(!done(&desk, &HAND_OVER).contains("the log of"));
    record(&desk, &[("air: 9 C, humidity: 68 %, surface: 10 C", "air: 2 C, humidity: 95 %, surface: 2 C")]);
    let said = done(&desk, &HAND_OVER);
    holds(
        &said,
        &[
            "the log of 2027-01-21: air temperature 2 °C; the limit is 5 to 30 °C",
            "humidity 95 %; the limit is at most 85 %",
            "surface 2 °C; the limit is dew point and 3 °C",
        ],
    );
    holds(&frozen(&desk, 2), &["21 January 2027 2 °C 95% 2 °C"]);
}

#[test]
fn photographs_are_shown_and_kept_and_the_document_is_made_again_from_them() {
    let desk = kitchen("handover-photos");
    for (name, grey) in [("deck.jpg", 90_u8), ("roof.jpg", 160)] {
        let pixels = [grey, grey, grey].repeat(90 * 60);
        fs::write(desk.join("k").join(name), encoded(&pixels, 90, 60, ColorType::Rgb, 1)).unwrap();
    }
    record(
        &desk,
        &[(
            "finished: 2027-01-22",
            "finished: 2027-01-22\nphotos: [{file: deck.jpg, caption: The new deck}, {file: roof.jpg}]",
        )],
    );
    done(&desk, &HAND_OVER);
    holds(&frozen(&desk, 1), &["Photographs", "The new deck"]);
    let folder = desk.join("k/issued/26-041-handover-1");
    for file in [
        "inputs/record/record.yaml",
        "inputs/record/deck.jpg",
        "inputs/record/roof.jpg",
        "inputs/accepted/firm/firm.yaml",
    ] {
        assert!(fs::metadata(folder.join(file)).unwrap().permissions().readonly(), "{file}");
    }
    fs::remove_file(desk.join("k/deck.jpg")).unwrap();
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains("26-041-handover-1: as issued, and made again byte for byte"), "{checked}");
    assert!(
        refused(&desk, &["handover", "JOB", "--on", "2027-01-22", "--again"], 1)
            .contains("there is no photograph `deck.jpg`")
    );
}

/// Two jobs in one folder have a record each.
#[test]
fn a_job_file_of_another_name_has_a_record_of_that_name() {
    let desk = desk_of("handover-named", "kitchen-extension");
    let job = desk.join("k/smith.yaml");
    fs::rename(desk.join("k/job.yaml"), &job).unwrap();
    let job = job.to_str().unwrap();
    done(&desk, &["issue", job, "quote"]);
    done(&desk, &["accept", job, "--on", "2026-12-02", "--name", "A. Householder"]);
    let said = refused(&desk, &["handover", job, "--on", "2027-01-22"], 2);
    assert!(said.contains("smith-record.yaml: write into it"), "{said}");
    fs::rename(desk.join("k/record.yaml"), desk.join("k/smith-record.yaml")).unwrap();
    done(&desk, &["handover", job, "--on", "2027-01-22"]);
    done(&desk, &["actuals", job]);
    assert!(
        done(&desk, &["issue", "--check", job]).contains("26-041-handover-1: as issued, and made again byte for byte")
    );
}

#[test]
fn the_firms_own_words_are_used_and_kept() {
    let desk = kitchen("handover-own");
    fs::create_dir(desk.join("templates")).unwrap();
    fs::write(desk.join("templates/handover.md"), "# Done: {{ job_title }}\n\n```table checks\n```\n").unwrap();
    done(&desk, &HAND_OVER);
    holds(&frozen(&desk, 1), &["Done: Kitchen extension", "Passed"]);
    fs::write(desk.join("templates/handover.md"), "# Done {{ nobody }}\n").unwrap();
    let said = refused(&desk, &["handover", "JOB", "--on", "2027-01-22", "--again"], 1);
    assert!(said.contains("handover.md:1:") && said.contains("asks for `nobody`"), "{said}");
    assert!(
        done(&desk, &["issue", "--check", "JOB"])
            .contains("26-041-handover-1: as issued, and made again byte for byte")
    );
}

#[test]
fn nothing_new_is_handed_over_of_what_did_not_change() {
    let desk = kitchen("handover-again");
    done(&desk, &HAND_OVER);
    let said = done(&desk, &["handover", "JOB", "--on", "2027-01-25"]);
    assert!(said.contains("nothing has changed since 26-041-HAN-1 was handed over on 2027-01-22"), "{said}");
    record(&desk, &[("The full skip is fetched by 25 January", "The full skip is fetched by 27 January")]);
    done(&desk, &["handover", "JOB", "--on", "2027-01-25"]);
    done(&desk, &["handover", "JOB", "--on", "2027-01-25", "--again"]);
    let folders = ["26-041-A", "26-041-A-accepted", "26-041-handover-1", "26-041-handover-2", "26-041-handover-3"];
    assert_eq!(kept(&desk), folders);
    let manifest: Value =
        serde_json::from_str(&fs::read_to_string(desk.join("k/issued/26-041-handover-2/manifest.json")).unwrap())
            .unwrap();
    assert_eq!(manifest["before"]["name"], "26-041-handover-1");
    assert_eq!(manifest["handover"]["number"], "26-041-HAN-2");
    // The next letter is that of the quotes, whatever else is kept.
    change(&desk.join("k/job.yaml"), &[("valid_days: 30", "valid_days: 20")]);
    assert!(done(&desk, &["issue", "JOB", "quote"]).contains("as revision B"));
}

/// Goods for this job alone and extras are named where they are checked, and the goods where it says what was built.
#[test]
fn goods_and_extras_are_named_in_the_record() {
    let desk = kitchen("handover-goods");
    record(&desk, &[]);
    done(&desk, &HAND_OVER);
    let page = frozen(&desk, 1);
    for shown in [
        "whole and right: 2 × length of new fascia board",
        "are done: Fixing of the new fascia board",
        "Besides 2 × length of new fascia board, white, along the front",
        // Beside the plan: the table and the care name it too.
        "Ladder point on left, its middle",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
}

#[test]
fn the_householder_reads_no_cost_and_no_hour() {
    let desk = kitchen("handover-private");
    record(&desk, &[("  strip: 3.5 h", "  strip: 91.25 h"), ("20kg: 1.75", "20kg: 77.5")]);
    done(&desk, &HAND_OVER);
    let page = frozen(&desk, 1);
    for private in ["91.25", "77.5", "27.50", "£", "margin", "Coldharbour"] {
        assert!(!page.contains(private), "{private}: {page}");
    }
}

// ---- The checks -----------------------------------------------------------------------------------------------------------

/// What somebody signs on the site's sheets of each work is told to the householder, once, unless it is of the site alone.
#[test]
fn every_work_that_is_checked_belongs_to_one_check() {
    let mut keys = BTreeSet::new();
    for check in RoofCheck::ALL {
        assert!(keys.insert(check.key()) && !check.words().ends_with('.'), "{check:?}");
        assert!(check.key().bytes().all(|b| b.is_ascii_lowercase() || b == b'_'), "{check:?}");
        for kind in check.of_works() {
            assert!(kind.faces().check.get().is_some(), "nobody signs {kind}");
        }
    }
    for kind in WorkKind::ALL {
        let checks: Vec<_> = RoofCheck::ALL.iter().filter(|check| check.of_works().contains(kind)).collect();
        let of_the_site = OF_THE_SITE.contains(kind);
        assert_eq!(checks.len(), usize::from(!of_the_site), "{kind}: {checks:?}");
    }
}

/// Two runs at once take one number each, or one of them finds that nothing has changed.
#[test]
fn of_two_runs_at_once_one_hands_over() {
    let desk = kitchen("handover-at-once");
    let job = desk.join("k");
    let start = || {
        std::process::Command::new(env!("CARGO_BIN_EXE_wetout"))
            .args(["handover", job.to_str().unwrap(), "--on", "2027-01-22"])
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap()
    };
    let runs: Vec<_> = (0..3).map(|_| start()).collect();
    let said: Vec<String> = runs.into_iter().map(|run| text(&run.wait_with_output().unwrap().stdout)).collect();
    assert_eq!(said.iter().filter(|words| words.contains("handed over as")).count(), 1, "{said:?}");
    assert_eq!(said.iter().filter(|words| words.contains("nothing has changed")).count(), 2, "{said:?}");
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted", "26-041-handover-1"]);
}
