//! What was found on site after the acceptance: priced at the firm's rates, signed, invoiced to the penny with all else, told in the
//! register and in the account, refused with place, fault and cure where it cannot be meant.

use crate::issued::{desk_of, done, fill, kept, refused, run, text, words_of_pages};
use lopdf::{Document, Object};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// The kitchen in `k`, its quote issued and accepted.
fn accepted(name: &str) -> PathBuf {
    let desk = desk_of(name, "kitchen-extension");
    accept(&desk);
    desk
}

fn accept(desk: &Path) {
    done(desk, &["issue", "JOB", "quote"]);
    done(desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "A. Householder"]);
}

/// A file of what was found; gives its path.
fn found(desk: &Path, name: &str, text: &str) -> String {
    let path = desk.join(name);
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn pounds(value: &Value) -> Decimal {
    value.as_str().unwrap_or_else(|| panic!("{value} is no sum")).parse().unwrap()
}

fn manifest(desk: &Path, folder: &str) -> Value {
    json(&fs::read_to_string(desk.join("k/issued").join(folder).join("manifest.json")).unwrap())
}

fn words(desk: &Path, file: &str) -> String {
    let all = words_of_pages(&desk.join("k/issued").join(file)).join(" ");
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the register says of the job: state, what is next, when, its total.
fn row(desk: &Path, today: &str) -> [String; 4] {
    let list = json(&done(desk, &["list", "JOB", "--json", "--today", today]));
    let job = &list["jobs"][0];
    ["state", "next", "due", "total"].map(|key| job[key].as_str().unwrap_or("none").to_owned())
}

fn account(desk: &Path) -> Value {
    json(&done(desk, &["account", "JOB", "--json", "--today", "2027-03-01"]))
}

fn sum(desk: &Path, folder: &str, holds: &str, key: &str) -> Decimal {
    pounds(&manifest(desk, folder)[holds]["sums"][key])
}

const HOURS: &str = "found:\n  - {what: A second layer of felt, hours: 5}\n";
const LESS: &str = "found:\n  - {what: No hoist, omit: 50.00}\n";

fn agree(desk: &Path, number: &str, on: &str) -> String {
    done(desk, &["variation", "JOB", "--agreed", number, "--on", on, "--name", "R. Okafor"])
}

// ---- The whole way --------------------------------------------------------------------------------------------------------

#[test]
fn what_is_found_is_priced_signed_and_invoiced_with_the_last_stage() {
    let desk = accepted("variation-whole");
    let file = desk.join("k/found.yaml");
    let file = file.to_str().unwrap();
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["issue", "JOB", "order"]);
    let quoted: Decimal = row(&desk, "2026-12-04")[3].parse().unwrap();
    let out = desk.join("out");
    let draft = ["variation", "JOB", file, "--on", "2027-01-19", "--draft", "--out", out.to_str().unwrap()];
    let said = done(&desk, &draft);
    assert!(said.contains("A draft takes no number"), "{said}");
    // The merchant brings a second order for 45.00, which stands in a line of its own.
    assert!(
        said.contains("Delivery of these materials") && !said.contains("is in no line")
            // What its rates take is named, and ordered.
            && !said.contains("Sold by a rate, and on no order")
            && !said.contains("The quote lays every deck anew")
            && !said.contains("Boards are sold by their cost"),
        "{said}"
    );
    let page = words_of_pages(&out.join("variation.pdf")).join(" ");
    assert!(
        page.contains("Draft, not issued") && page.contains("Draft, no number") && !page.contains("VAR-"),
        "{page}"
    );
    assert!(kept(&desk).iter().all(|name| !name.contains("variation")));
    assert_eq!(row(&desk, "2027-01-17")[0], "invoiced", "the work begins on 18 January");
    assert_eq!(row(&desk, "2027-01-18")[0], "on site");

    let said = done(&desk, &["variation", "JOB", file, "--on", "2027-01-19"]);
    assert!(said.contains("issued variation order 26-041-VAR-1"), "{said}");
    assert!(said.contains("1 working day more on site, expected to end on 2027-01-25"), "{said}");
    let record = manifest(&desk, "26-041-variation-1")["varied"].clone();
    let total = pounds(&record["sums"]["total"]);
    let [state, next, due, shown] = row(&desk, "2027-01-19");
    assert_eq!(
        (state.as_str(), next, due.as_str(), shown),
        (
            "on site",
            format!("have variation order 26-041-VAR-1 of {total} signed; ask for 1572.65, overdue for 26-041-INV-1"),
            "2026-12-17",
            quoted.to_string()
        )
    );
    let waits = account(&desk);
    assert_eq!((waits["waiting"][0]["number"].as_str(), pounds(&waits["total"])), (Some("26-041-VAR-1"), quoted));

    let said = agree(&desk, "1", "2027-01-20");
    assert!(said.contains(&format!("the price is now {}", quoted + total)), "{said}");
    assert_eq!(row(&desk, "2027-01-20")[0], "on site");
    assert_eq!(row(&desk, "2027-01-20")[3], (quoted + total).to_string());
    let now = account(&desk);
    assert_eq!((pounds(&now["total"]), pounds(&now["changes"][0]["amount"])), (quoted + total, total));
    assert_eq!(now["waiting"], json("[]"));

    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    assert!(said.contains(&format!("with variation order 26-041-VAR-1 of {total}")), "{said}");
    assert!(said.contains("left to be invoiced: 0.00"), "{said}");
    let last = manifest(&desk, "26-041-invoice-2")["invoiced"].clone();
    let first = manifest(&desk, "26-041-invoice-1")["invoiced"].clone();
    let price = json(&done(
        &desk,
        &["price", desk.join("k/issued/26-041-A-accepted/accepted.yaml").to_str().unwrap(), "--json"],
    ));
    for (key, of_price) in [("net", &price["net"]), ("vat", &price["vat"][0]["vat"]), ("total", &price["total"])] {
        let both = pounds(&first["sums"][key]) + pounds(&last["sums"][key]);
        assert_eq!(both, pounds(of_price) + pounds(&record["sums"][key]), "{key}");
    }
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    for shown in [
        "Variation order 26-041-VAR-1, agreed on 20 January 2027: Two rotten joists beside the rooflight, doubled (joist replaced or doubled), and 7 more items",
        "all of it",
        "Check the account number with us by telephone first.",
        "75% of the price",
        "Variation order 26-041-VAR-1, agreed on 20 January 2027 £",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    for (number, invoice) in [("1", &first), ("2", &last)] {
        let paid = invoice["sums"]["total"].as_str().unwrap();
        done(&desk, &["receipt", "JOB", number, "--paid", paid, "--on", "2027-01-29"]);
    }
    assert_eq!(row(&desk, "2027-03-01")[..2], ["paid", "hand the roof over"].map(str::to_owned));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 7, "{checked}");
    assert!(checked.contains("26-041-variation-1: as issued, and made again byte for byte"), "{checked}");
    assert!(checked.contains("26-041-variation-1-agreed: as recorded"), "{checked}");
}

/// The firm's figures, worked by hand: an hour of the crew costs (27.50 + 19.00) ÷ 2 = 23.25; contingency of 3 % and overhead of 14 %
/// go on a cost, and it is sold at a margin of 25 %. An agreed rate and a price are what they are.
#[test]
fn each_line_is_sold_at_the_firms_rates() {
    let desk = accepted("variation-rates");
    let file = desk.join("k/found.yaml");
    done(&desk, &["variation", "JOB", file.to_str().unwrap(), "--on", "2027-01-19"]);
    let record = manifest(&desk, "26-041-variation-1")["varied"].clone();
    let lines: Vec<[&str; 4]> = record["lines"].as_array().unwrap().iter().map(line).collect();
    fn line(line: &Value) -> [&str; 4] {
        ["what", "quantity", "rate", "amount"].map(|key| line[key].as_str().unwrap_or_default())
    }
    // 4.6 × 38.00
    assert_eq!(
        lines[0],
        ["Two rotten joists beside the rooflight, doubled (joist replaced or doubled)", "4.6 m", "38.00", "174.80"]
    );
    // 3.4 × 31.00
    assert_eq!(
        lines[1],
        ["Fascia of the right verge, rotten behind the old felt (fascia board replaced)", "3.4 m", "31.00", "105.40"]
    );
    // 23.25 × 1.17 = 27.20; ÷ 0.75 = 36.27
    assert_eq!(lines[2], ["A second layer of felt under the first, stripped and bagged", "5 h", "36.27", "181.35"]);
    // A roll of 3 m, 180 mm wide, at 41.00: × 1.17 = 47.97; ÷ 0.75 = 63.96
    assert_eq!(
        lines[3],
        [
            "Wall above cut back further for the flashing: Lead sheet for flashing, 180 mm wide",
            "1 × roll of 3 m",
            "63.96",
            "63.96"
        ]
    );
    assert_eq!(lines[4][1..], ["1.5 h", "36.27", "54.41"]);
    // 65.00 × 1.17 = 76.05; ÷ 0.75 = 101.40
    assert_eq!(lines[5][1..], ["lump sum", "", "101.40"]);
    // 32.00 + 0.75 h × 2 × 23.25 = 66.875; × 1.17 = 78.24; ÷ 0.75 = 104.32
    assert_eq!(
        lines[6],
        ["One more visit to the site (travel, setting up and clearing)", "1 visit", "104.32", "104.32"]
    );
    // 45.00 × 1.17 = 52.65; ÷ 0.75 = 70.20
    assert_eq!(lines[7], ["Delivery of these materials", "lump sum", "", "70.20"]);
    let net: Decimal = record["lines"].as_array().unwrap().iter().map(|line| pounds(&line["amount"])).sum();
    assert_eq!(net, Decimal::new(85_584, 2));
    assert_eq!(pounds(&record["sums"]["net"]), net);
    // 855.84 × 20 % = 171.17
    assert_eq!(
        (pounds(&record["sums"]["vat"]), pounds(&record["sums"]["total"])),
        (Decimal::new(17_117, 2), Decimal::new(102_701, 2))
    );
    let page = words(&desk, "26-041-variation-1/variation.pdf");
    for shown in [
        "Variation order 26-041-VAR-1",
        "changes quotation 26-041, revision A, which you accepted on 2 December 2026",
        "Two rotten joists beside the rooflight, doubled (joist replaced or doubled) 4.6 m £38.00 £45.60 £174.80",
        "VAT at 20% on £855.84 £171.17",
        "Materials and labour for each thing are in its rate, or have a line of their own. Nothing is added to it afterwards.",
        "£1,027.01",
        "Price accepted £6,290.59",
        "New price with VAT £7,317.60",
        "More on site 1 working day",
        "Without this order finished Friday 22 January 2027",
        "If you tick below finished Monday 25 January 2027",
        // Signed on its own day, and begun when its 14 days are over, or later where its materials come late.
        "If you do not begun Wednesday 3 February 2027 at the earliest",
        "You pay it with the last payment of the quotation, or on an invoice of its own once it is done.",
        "I agree to this variation order 26-041-VAR-1 of 19 January 2027 for £1,027.01",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    // What the firm pays is nobody's business.
    for hidden in ["27.50", "19.00", "23.25", "15.40", "41.00", "65.00", "76.05"] {
        assert!(!page.contains(hidden), "{hidden}: {page}");
    }
}

/// Which rate charges boards is known by its kind, and not by its words; where none does they are sold by their cost.
#[test]
fn boards_are_sold_at_the_rate_that_charges_them() {
    let boards = |name: &str, change: (&str, &str)| {
        let desk = desk_of(name, "kitchen-extension");
        let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
        assert!(firm.contains(change.0), "{}", change.0);
        fs::write(desk.join("firm.yaml"), firm.replace(change.0, change.1)).unwrap();
        accept(&desk);
        let file = found(&desk, "boards.yaml", "found:\n  - {what: Boards soft, boards: 2}\n");
        let said = done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"]);
        let varied = manifest(&desk, "26-041-variation-1")["varied"].clone();
        let line =
            ["what", "quantity", "rate", "amount"].map(|key| varied["lines"][0][key].as_str().unwrap().to_owned());
        (said, line)
    };
    let kind = "deck board replaced, unit: m2, rate: 46.00, charges: boards";
    let (said, line) =
        boards("variation-board-each", (kind, "sheet made good, unit: each, rate: 65.00, charges: boards"));
    assert_eq!(line, ["Boards soft (sheet made good)", "2", "65.00", "130.00"]);
    assert!(!said.contains("by their cost"), "{said}");
    // 2 × 2.4 × 0.59 = 2.832 m²
    let (said, line) = boards("variation-board-area", (kind, kind));
    assert_eq!(line, ["Boards soft (deck board replaced)", "2.83 m²", "46.00", "130.18"]);
    assert!(
        said.contains("The quote lays every deck anew: see that the boards of this variation are not among those.")
    );
    let (said, line) = boards("variation-board-cost", (kind, "deck board replaced, unit: m2, rate: 46.00"));
    // 15.40 + 2.4 × 0.59 × 0.30 h × 23.25 = 25.2766; × 1.17 = 29.57; ÷ 0.75 = 39.43
    assert_eq!(line, ["Boards soft", "2 boards", "39.43", "78.86"]);
    assert!(said.contains("Boards are sold by their cost: none of the quote's rates says `charges: boards`"), "{said}");
}

/// What a rate for boards takes is on the order, in whole boards: 3 m² ÷ (2.4 × 0.59 m) = 2.1, so 3. What other rates take is not.
#[test]
fn boards_that_a_rate_takes_are_ordered() {
    let desk = accepted("variation-rate-boards");
    let text = "found:\n  - {what: Boards soft by the old outlet, rate: deck board replaced, quantity: 3 m2}\n  - {what: Joist split, \
                rate: joist replaced or doubled, quantity: 2 m}\n";
    let said = done(&desk, &["variation", "JOB", &found(&desk, "rates.yaml", text), "--on", "2027-01-19"]);
    assert!(
        said.contains("on no order: joist replaced or doubled, 2. Buy what that takes, or say it under `takes`"),
        "{said}"
    );
    // The quote's rate says that materials are included: what brings them is charged by no line.
    assert!(
        said.contains("Delivery of what its rates take, 45.00, is in no line: the quote says of its rates"),
        "{said}"
    );
    agree(&desk, "1", "2027-01-20");
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-20"]);
    assert_eq!(row(&desk, "2027-01-21")[1], "order what variation order 26-041-VAR-1 adds");
    done(&desk, &["issue", "JOB", "order", "--variation", "1"]);
    let letter = account(&desk)["goods"][0]["order"].as_str().unwrap().to_owned();
    let (besides, _) = ordered(&desk, &letter);
    assert_eq!(bought(&besides, "board.osb3-18"), Decimal::from(3), "{besides:?}");
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains(&format!("26-041-{letter}: as issued, and made again byte for byte")), "{checked}");
    // Of a rate that is for no boards nothing is ordered.
    let text = "found:\n  - {what: Joist split, rate: joist replaced or doubled, quantity: 2 m}\n";
    done(&desk, &["variation", "JOB", &found(&desk, "joist.yaml", text), "--on", "2027-01-21"]);
    agree(&desk, "2", "2027-01-21");
    assert!(refused(&desk, &["issue", "JOB", "order", "--variation", "2"], 2).contains("VAR-2 names no goods"));
}

/// What stands under `takes` is bought and charged by nothing but its rate: the demo's variation sells a joist and a fascia, and its order
/// brings both beside the lead, in the packs of the price book.
#[test]
fn what_is_sold_with_its_materials_in_a_rate_is_ordered_and_charged_once() {
    let desk = accepted("variation-takes");
    let file = desk.join("k/found.yaml");
    let with = fs::read_to_string(&file).unwrap();
    let said = done(&desk, &["variation", "JOB", file.to_str().unwrap(), "--on", "2027-01-19"]);
    assert!(!said.contains("on no order"), "{said}");
    agree(&desk, "1", "2027-01-19");
    done(&desk, &["issue", "JOB", "order"]);
    let said = done(&desk, &["issue", "JOB", "order", "--variation", "1"]);
    assert!(said.contains("rates without `takes`"), "{said}");
    let (besides, _) = ordered(&desk, "C");
    let mut packs: Vec<(&str, Decimal)> = besides.iter().map(|(code, n)| (code.as_str(), *n)).collect();
    packs.sort_unstable();
    let one = Decimal::ONE;
    assert_eq!(packs, [("fascia-white-225-5m", one), ("lead-180-3m", one), ("sawn-47x147-4m8", one)]);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains("26-041-C: as issued, and made again byte for byte"), "{checked}");
    // Without them the lines and the price are the same, and the order is short of both.
    let bare: String = with.lines().filter(|line| !line.contains("takes:")).map(|line| format!("{line}\n")).collect();
    let said = done(&desk, &["variation", "JOB", &found(&desk, "bare.yaml", &bare), "--on", "2027-01-20"]);
    assert!(said.contains("on no order: joist replaced or doubled, 4.6; fascia board replaced, 3.4."), "{said}");
    let sums = |n: u32| manifest(&desk, &format!("26-041-variation-{n}"))["varied"]["sums"].clone();
    assert_eq!(sums(1), sums(2));
}

/// Labour, agreed rates and margin are those of the accepted quote; what is bought costs what it costs today.
#[test]
fn what_was_agreed_stands_and_what_is_bought_is_bought_today() {
    let desk = accepted("variation-then-and-now");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let firm = firm.replace("unit: m, rate: 38.00", "unit: m, rate: 58.00").replace("margin: 25 %", "margin: 40 %");
    fs::write(desk.join("firm.yaml"), firm).unwrap();
    let prices = fs::read_to_string(desk.join("prices.yaml")).unwrap();
    fs::write(desk.join("prices.yaml"), prices.replace("holds: 3 m, price: 41.00", "holds: 3 m, price: 82.00"))
        .unwrap();
    let file = desk.join("k/found.yaml");
    done(&desk, &["variation", "JOB", file.to_str().unwrap(), "--on", "2027-01-19"]);
    let lines = manifest(&desk, "26-041-variation-1")["varied"]["lines"].clone();
    assert_eq!((lines[0]["rate"].as_str(), lines[2]["rate"].as_str()), (Some("38.00"), Some("36.27")));
    // 79.00 for the roll of 6 m is now the cheaper way to 3 m: × 1.17 = 92.43; ÷ 0.75 = 123.24
    assert_eq!((lines[3]["quantity"].as_str(), lines[3]["rate"].as_str()), (Some("1 × roll of 6 m"), Some("123.24")));
}

// ---- Answers --------------------------------------------------------------------------------------------------------------

#[test]
fn a_variation_is_answered_once_and_only_an_agreed_one_counts() {
    let desk = accepted("variation-answers");
    let file = found(&desk, "more.yaml", HOURS);
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"]);
    let twice = ["variation", "JOB", &file, "--on", "2027-01-20"];
    let said = refused(&desk, &twice, 2);
    assert!(said.contains("26-041-VAR-1 of 2027-01-19 was issued already for the very same, and waits"), "{said}");
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19", "--again"]);
    let total = account(&desk)["total"].clone();
    let no = ["variation", "JOB", "--refused", "26-041-VAR-1", "--on", "2027-01-20", "--because", "too dear"];
    done(&desk, &no);
    assert_eq!(account(&desk)["total"], total);
    for (words, why) in [
        (&no[..], "26-041-VAR-1 was refused on 2027-01-20"),
        (&["variation", "JOB", "--agreed", "1", "--on", "2027-01-21", "--name", "R."][..], "issue it anew"),
        (
            &["variation", "JOB", "--agreed", "2", "--on", "2027-01-18", "--name", "R."],
            "is of 2027-01-19, later than that",
        ),
        (
            &["variation", "JOB", "--agreed", "7", "--on", "2027-01-20", "--name", "R."],
            "has no variation 7; there is 26-041-VAR-1",
        ),
        (&["variation", "JOB", "--agreed", "2", "--on", "2027-01-20", "--name", " "], "say who agrees"),
        (&["invoice", "JOB", "--variation", "2", "--on", "2027-01-20"], "26-041-VAR-2 is not agreed"),
        (&["variation", "JOB", &file, "--on", "2027-01-18"], "numbers follow one another in time"),
        (&["variation", "JOB", &file, "--on", "2026-12-01"], "accepted only on 2026-12-02"),
        (&["variation", "JOB"], "required arguments"),
        (&["variation", "JOB", "--agreed", "2", "--on", "2027-01-20"], "--name"),
        (&["variation", "JOB", &file, "--agreed", "2", "--on", "2027-01-20", "--name", "R."], "cannot be used with"),
    ] {
        let said = refused(&desk, words, 2);
        assert!(said.contains(why), "{words:?}: {said}");
    }
    agree(&desk, "2", "2027-01-20");
    assert!(
        refused(&desk, &["variation", "JOB", "--refused", "2", "--on", "2027-01-21"], 2)
            .contains("was agreed on 2027-01-20")
    );
    assert_eq!(
        kept(&desk)[2..],
        ["26-041-variation-1", "26-041-variation-1-refused", "26-041-variation-2", "26-041-variation-2-agreed"]
    );
    // What was altered since is not agreed to; and the chain is looked at.
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-21"]);
    let pdf = desk.join("k/issued/26-041-variation-3/variation.pdf");
    let was = fs::read(&pdf).unwrap();
    fs::remove_file(&pdf).unwrap();
    fs::write(&pdf, [was, b"%".to_vec()].concat()).unwrap();
    let said = refused(&desk, &["variation", "JOB", "--agreed", "3", "--on", "2027-01-21", "--name", "R."], 2);
    assert!(said.contains("what was issued is not as it was"), "{said}");
    assert!(text(&run(&desk, &["issue", "--check", "JOB"]).stdout).contains("variation.pdf was altered"));
    let early = desk_of("variation-too-early", "kitchen-extension");
    assert!(refused(&early, &["variation", "JOB", &file], 2).contains("no quote of 26-041 is accepted"));
}

// ---- Invoices -------------------------------------------------------------------------------------------------------------

#[test]
fn a_variation_is_invoiced_at_once_credited_and_invoiced_anew() {
    let desk = accepted("variation-at-once");
    let file = found(&desk, "more.yaml", HOURS);
    let stages: Decimal = pounds(&account(&desk)["total"]);
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"]);
    agree(&desk, "1", "2027-01-20");
    let early = refused(&desk, &["invoice", "JOB", "--variation", "1", "--on", "2027-01-19"], 2);
    assert!(early.contains("26-041-VAR-1 was agreed only on 2027-01-20"), "{early}");
    let said = done(&desk, &["invoice", "JOB", "--variation", "1", "--on", "2027-01-20"]);
    assert!(said.contains("VAT invoice 26-041-INV-1: 217.62 for Variation order 26-041-VAR-1"), "{said}");
    assert!(said.contains(&format!("left to be invoiced: {stages}")), "{said}");
    let page = words(&desk, "26-041-invoice-1/invoice.pdf");
    for shown in [
        "Variation order 26-041-VAR-1, agreed on 20 January 2027: A second layer of felt",
        "in addition to our quotation 26-041 revision A",
        "VAT at 20% on £181.35 £36.27",
        "£217.62",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let again = ["invoice", "JOB", "--variation", "26-041-VAR-1", "--on", "2027-01-20"];
    assert!(refused(&desk, &again, 2).contains("was invoiced on 2027-01-20 with 26-041-INV-1"));
    done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "wrong name", "--on", "2027-01-20"]);
    assert!(words(&desk, "26-041-invoice-2/credit.pdf").contains("cancels 26-041-INV-1"));
    done(&desk, &again);
    assert_eq!(sum(&desk, "26-041-invoice-3", "invoiced", "total"), Decimal::new(21_762, 2));
    // It is not in the last stage a second time.
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-21"]);
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    assert!(!said.contains("with variation order") && said.contains("left to be invoiced: 0.00"), "{said}");
    let all = ["26-041-invoice-4", "26-041-invoice-5"].map(|folder| sum(&desk, folder, "invoiced", "total"));
    assert_eq!(all.iter().sum::<Decimal>(), stages);
    done(&desk, &["receipt", "JOB", "3", "--paid", "217.62", "--on", "2027-01-29"]);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 8, "{checked}");
}

#[test]
fn what_is_agreed_after_the_last_invoice_is_asked_for_and_what_falls_away_is_credited() {
    let desk = accepted("variation-late");
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    for stage in ["1", "2"] {
        done(&desk, &["invoice", "JOB", "--stage", stage, "--on", "2027-01-22"]);
    }
    done(&desk, &["handover", "JOB", "--on", "2027-01-22"]);
    let (more, less) = (found(&desk, "more.yaml", HOURS), found(&desk, "less.yaml", LESS));
    done(&desk, &["variation", "JOB", &more, "--on", "2027-01-22"]);
    agree(&desk, "1", "2027-01-22");
    assert_eq!(
        row(&desk, "2027-01-23")[..2],
        ["done", "send the invoice for variation order 26-041-VAR-1"].map(str::to_owned)
    );
    done(&desk, &["invoice", "JOB", "--variation", "1", "--on", "2027-01-23"]);
    assert_eq!(row(&desk, "2027-01-23")[0], "invoiced");
    done(&desk, &["variation", "JOB", &less, "--on", "2027-01-23"]);
    let page = words(&desk, "26-041-variation-2/variation.pdf");
    assert!(page.contains("Comes off the price") && page.contains("which takes £60.00 off the price"), "{page}");
    agree(&desk, "2", "2027-01-23");
    let said = refused(&desk, &["invoice", "JOB", "--variation", "2", "--on", "2027-01-23"], 2);
    assert!(said.contains("26-041-VAR-2 takes 60.00 off the price"), "{said}");
    assert_eq!(row(&desk, "2027-01-23")[1], "credit 26-041-INV-2 and send it anew: 26-041-VAR-2 takes 60.00 off");
    done(&desk, &["invoice", "JOB", "--credit", "2", "--because", "less was done", "--on", "2027-01-24"]);
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-24"]);
    assert!(said.contains("with variation order 26-041-VAR-2 of -60.00"), "{said}");
    let was = sum(&desk, "26-041-invoice-2", "invoiced", "total");
    assert_eq!(was - sum(&desk, "26-041-invoice-5", "invoiced", "total"), Decimal::from(60));
    assert_eq!(pounds(&account(&desk)["left_to_invoice"]), Decimal::ZERO);
    let whole = found(&desk, "whole.yaml", "found:\n  - {what: All of it, omit: 9000.00}\n");
    assert!(refused(&desk, &["variation", "JOB", &whole, "--on", "2027-01-25"], 2).contains("takes more off than"));
}

/// A firm that is not registered shows no VAT and bears what it pays on materials; a customer that accounts for the VAT is told
/// how much it is. 3 m of lead at 34.50 cost 41.40 with VAT: × 1.17 = 48.44; ÷ 0.75 = 64.59.
/// Their delivery at 45.00 costs 54.00 with VAT: × 1.17 = 63.18; ÷ 0.75 = 84.24; together 148.83.
#[test]
fn vat_is_treated_as_that_of_the_quote() {
    let lead = "found:\n  - {what: More lead, article: flashing.lead, size: 150 mm, quantity: 3 m}\n";
    let desk = desk_of("variation-unregistered", "kitchen-extension");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let firm = firm.replace("vat: {registered: yes", "vat: {registered: no").replace("  vat_number: GB", "  # GB");
    fs::write(desk.join("firm.yaml"), firm).unwrap();
    accept(&desk);
    done(&desk, &["variation", "JOB", &found(&desk, "lead.yaml", lead), "--on", "2027-01-19"]);
    assert_eq!(sum(&desk, "26-041-variation-1", "varied", "total"), Decimal::new(14_883, 2));
    let page = words(&desk, "26-041-variation-1/variation.pdf");
    assert!(
        page.contains("is not registered for VAT") && !page.contains("VAT included") && !page.contains("VAT at"),
        "{page}"
    );

    let desk = desk_of("variation-reverse", "kitchen-extension");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let own = "  phone: 01632 960182\n  reverse_charge: yes\n  vat_number: GB 999 9999 73";
    fs::write(desk.join("k/job.yaml"), job.replace("  phone: 01632 960182", own)).unwrap();
    accept(&desk);
    let file = found(&desk, "more.yaml", "found:\n  - {what: New cowl, price: 100.00}\n");
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"]);
    let sums = manifest(&desk, "26-041-variation-1")["varied"]["sums"].clone();
    let expected = [("net", 10_000), ("vat", 0), ("vat_by_customer", 2_000), ("total", 10_000)];
    assert!(expected.iter().all(|(key, pence)| pounds(&sums[key]) == Decimal::new(*pence, 2)), "{sums}");
    let page = words(&desk, "26-041-variation-1/variation.pdf");
    for shown in ["VAT at 20%, reverse charge: £20.00, for you to account for to HMRC", "GB 999 9999 73"] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(!page.contains("right to cancel"), "a business has none: {page}");
    agree(&desk, "1", "2027-01-19");
    done(&desk, &["invoice", "JOB", "--variation", "1", "--on", "2027-01-20"]);
    assert_eq!(sum(&desk, "26-041-invoice-1", "invoiced", "vat_by_customer"), Decimal::from(20));
}

/// Who signed the quote besides the customer signs what changes it.
#[test]
fn a_variation_is_signed_by_all_who_sign() {
    let desk = desk_of("variation-two-sign", "kitchen-extension");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let own = "  phone: 01632 960182\n  also_signs: [Mr B. Okafor]";
    fs::write(desk.join("k/job.yaml"), job.replace("  phone: 01632 960182", own)).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor", "--name", "B. Okafor"]);
    done(&desk, &["variation", "JOB", &found(&desk, "hours.yaml", HOURS), "--on", "2027-01-19"]);
    let page = words(&desk, "26-041-variation-1/variation.pdf");
    assert!(
        page.contains("Each of us agrees to this")
            && page.contains("We ask you expressly to begin")
            && page.contains("Signature of Mr B. Okafor"),
        "{page}"
    );
    let customer = &job[job.find("  name: ").unwrap() + 8..];
    let customer = customer.lines().next().unwrap();
    assert!(page.contains(&format!("Signature of {customer}")), "{customer}: {page}");
}

// ---- Days -----------------------------------------------------------------------------------------------------------------

/// What the hours take of the crew's days, over what the last day has left: two people work sixteen hours a day.
#[test]
fn hours_become_days_of_the_crew() {
    let desk = accepted("variation-days");
    let first = "found:\n  - {what: Much, hours: 100}\n";
    done(&desk, &["variation", "JOB", &found(&desk, "much.yaml", first), "--on", "2027-01-19"]);
    let record = manifest(&desk, "26-041-variation-1")["varied"].clone();
    let days = record["days"].as_u64().unwrap();
    assert!((6..=7).contains(&days), "100 h of two people with less than a day to spare: {record}");
    // One hour more fits in what is left of the days that the first brought, once that is agreed.
    agree(&desk, "1", "2027-01-19");
    let one = found(&desk, "one.yaml", "found:\n  - {what: Little, hours: 1 h}\n");
    done(&desk, &["variation", "JOB", &one, "--on", "2027-01-19"]);
    let record = manifest(&desk, "26-041-variation-2")["varied"].clone();
    assert_eq!((record["days"].as_u64(), &record["finish"]), (Some(0), &record["finish_before"]));
    let page = words(&desk, "26-041-variation-2/variation.pdf");
    // The finish is told once, as it stays what it was.
    let finish = "More on site none If you tick below finished Monday 1 February 2027, as before If you do not begun Wednesday 3 February 2027";
    assert!(page.contains(finish) && !page.contains("Without this order"), "{page}");
    // What is said stands.
    let said = found(&desk, "said.yaml", "found:\n  - {what: Little, hours: 1}\ndays: 3\n");
    done(&desk, &["variation", "JOB", &said, "--on", "2027-01-19"]);
    assert_eq!(manifest(&desk, "26-041-variation-3")["varied"]["days"].as_u64(), Some(3));
}

// ---- What cannot be meant ---------------------------------------------------------------------------------------------------

#[test]
fn what_cannot_be_meant_is_told_in_its_place_with_its_cure() {
    let desk = accepted("variation-wrong");
    for (entry, fault, cure) in [
        ("{what: x}", "what this costs is not said", "add at least one of `rate`"),
        ("{hours: 2}", "needs `what`", "Deck boards rotten"),
        (
            "{what: x, rate: joist replaced, quantity: 2 m}",
            "is no rate of the quote that was accepted",
            "`joist replaced or doubled` (m)",
        ),
        ("{what: x, rate: joist replaced or doubled}", "how much of the rate is not said", "`quantity: 2.4 m`"),
        (
            "{what: x, rate: joist replaced or doubled, quantity: 2 m2}",
            "is agreed for each m, not for each m2",
            "measure it in m",
        ),
        (
            "{what: x, rate: deck board replaced, article: resin, quantity: 2}",
            "one quantity cannot be of a rate and of an article",
            "two entries",
        ),
        ("{what: x, quantity: 2}", "a quantity needs the rate or the article", "add `rate:`"),
        ("{what: x, article: resine, quantity: 2 kg}", "`resine` is no role of an article", "did you mean `resin`?"),
        ("{what: x, article: own.nothing, quantity: 2}", "no price book sells `own.nothing`", "`cost:`"),
        ("{what: x, article: resin, quantity: 2 m}", "`resin` is bought in kg, not in m", "`quantity: 2 kg`"),
        ("{what: x, article: collar.pipe, quantity: 1.5}", "nobody sells 1.5 of `collar.pipe`", "whole number"),
        ("{what: x, article: flashing.lead-free, quantity: 2 m}", "is sold in several sizes", "`size: 150 mm`"),
        ("{what: x, boards: 2, board: osb9}", "no price book sells a board `osb9`", "the boards are"),
        ("{what: x, price: 5.00, takes: [{article: resine, quantity: 2 kg}]}", "no role of an article", "`resin`?"),
        (
            "{what: x, price: 5.00, takes: [{article: own.nothing, quantity: 2}]}",
            "no price book sells `own.nothing`",
            "`cost:`",
        ),
        (
            "{what: x, price: 5.00, takes: [{article: resin, quantity: 2 m}]}",
            "is bought in kg, not in m",
            "`quantity: 2 kg`",
        ),
        ("{what: x, price: 5.00, takes: [{article: resin}]}", "needs `quantity`", ""),
        ("{what: x, takes: [{article: resin, quantity: 2 kg}]}", "what this costs is not said", "`rate`"),
        ("{what: x, board: osb3-18, hours: 1}", "which board is said, and not how many", "`boards: 3`"),
        ("{what: x, size: 100 mm, hours: 1}", "a size needs the article", "take `size` out"),
        ("{what: x, hours: 5000}", "it lies between 0.01 h and 1000 h", "a job of its own"),
        ("{what: x, price: -5.00}", "less than nothing", ""),
        ("{what: x, cost: 5.5}", "not an amount of money", "`5.50`"),
        ("{what: x, hour: 2}", "`hour` is not a setting", "did you mean `hours`?"),
        ("{what: x, boards: 2000}", "it lies between", ""),
    ] {
        let file = found(&desk, "wrong.yaml", &format!("found:\n  - {entry}\n"));
        let said = refused(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"], 1);
        assert!(said.contains("wrong.yaml:2:") && said.contains(fault) && said.contains(cure), "{entry}: {said}");
    }
    for (text, fault) in [
        ("found: []\n", "nothing is found"),
        ("found: soft boards\n", "this should be a list"),
        ("days: 2\n", "needs `found`"),
        ("found:\n  - {what: x, price: 1.00}\ndays: 400\n", "it lies between 0 days and 60 days"),
        ("reference: 1\ntitle: x\nroofs: []\n", "this is a job, not what was found on site"),
        ("found: [\n", ""),
    ] {
        let said = refused(&desk, &["variation", "JOB", &found(&desk, "wrong.yaml", text), "--on", "2027-01-19"], 1);
        assert!(said.contains("wrong.yaml") && said.contains(fault), "{text}: {said}");
    }
    let many: String = (0..41).map(|n| format!("  - {{what: thing {n}, price: 1.00}}\n")).collect();
    let said = refused(&desk, &["variation", "JOB", &found(&desk, "many.yaml", &format!("found:\n{many}"))], 1);
    assert!(said.contains("more than 40 are not read"), "{said}");
    assert!(refused(&desk, &["variation", "JOB", "nowhere.yaml"], 2).contains("could not read nowhere.yaml"));
    let as_job = found(&desk, "found.yaml", "found: []\ndays: 2\n");
    assert!(refused(&desk, &["check", &as_job], 1).contains("this is what was found on site, not a job"));
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
}

// ---- Numbers --------------------------------------------------------------------------------------------------------------

fn begun(desk: &Path, words: &[&str]) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.arg(words[0]).arg(desk.join("k")).args(&words[1..]);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

#[test]
fn runs_at_once_take_numbers_that_follow_one_another_and_one_answer_each() {
    let desk = accepted("variation-runs");
    let file = found(&desk, "more.yaml", HOURS);
    let runs = [1, 2, 3].map(|_| begun(&desk, &["variation", &file, "--on", "2027-01-19", "--again"]));
    runs.into_iter().for_each(|mut run| assert!(run.wait().unwrap().success()));
    assert_eq!(kept(&desk)[2..], [1, 2, 3].map(|n| format!("26-041-variation-{n}")));
    let answers = ["--agreed", "--refused"].map(|word| {
        let name = ["--name", "R."];
        let words = ["variation", word, "2", "--on", "2027-01-20"];
        begun(&desk, &if word == "--agreed" { [&words[..], &name].concat() } else { words.to_vec() })
    });
    let good = answers.into_iter().map(|mut run| run.wait().unwrap().success()).filter(|good| *good).count();
    assert_eq!(good, 1);
    assert_eq!(kept(&desk).iter().filter(|name| name.starts_with("26-041-variation-2-")).count(), 1);
}

/// A quote that was accepted anew is varied anew: what was agreed of the one before it is no part of it.
#[test]
fn another_acceptance_leaves_the_variations_of_the_one_before() {
    let desk = accepted("variation-anew");
    done(&desk, &["variation", "JOB", &found(&desk, "more.yaml", HOURS), "--on", "2027-01-19"]);
    agree(&desk, "1", "2027-01-19");
    let with = pounds(&account(&desk)["total"]);
    done(&desk, &["issue", "JOB", "quote", "--again"]);
    let even_so = ["--even-so", "it takes the place of A"];
    done(&desk, &[&["accept", "JOB", "--on", "2026-12-10", "--name", "A. Householder"][..], &even_so].concat());
    let account = account(&desk);
    assert_eq!((with - pounds(&account["total"]), account["changes"].clone()), (Decimal::new(21_762, 2), json("[]")));
    done(&desk, &["variation", "JOB", &found(&desk, "more.yaml", HOURS), "--on", "2027-01-20"]);
    assert!(kept(&desk).contains(&"26-041-variation-2".to_owned()), "a number is never used twice");
}

// ---- The signed page ------------------------------------------------------------------------------------------------------

/// An issued order with something done to it, written as another file.
fn returned(desk: &Path, sequence: u32, change: impl Fn(&mut Document)) -> String {
    let mut pdf = Document::load(desk.join(format!("k/issued/26-041-variation-{sequence}/variation.pdf"))).unwrap();
    change(&mut pdf);
    let place = desk.join("back.pdf");
    pdf.save(&place).unwrap();
    place.to_str().unwrap().to_owned()
}

/// The customer may cancel what is agreed at home as they may the quote, and asks by a tick that it is begun before.
#[test]
fn an_order_that_adds_says_how_it_can_be_cancelled_and_begun_at_once() {
    let desk = accepted("variation-cancel");
    done(&desk, &["variation", "JOB", &found(&desk, "hours.yaml", HOURS), "--on", "2027-01-19"]);
    let page = words(&desk, "26-041-variation-1/variation.pdf");
    for shown in [
        "under “Your right to cancel” holds for this order too",
        "you have 14 days from then to cancel it",
        "I ask you expressly to begin this at once",
        "once all of it is done I can no longer cancel it",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let file = returned(&desk, 1, |pdf| {
        signed(pdf);
        fill(pdf, "Tick", "Yes".into());
    });
    let said = done(&desk, &["variation", "JOB", "--signed", &file]);
    assert!(said.contains("  said     I ask you expressly to begin this at once"), "{said}");
    let answer = manifest(&desk, "26-041-variation-1-agreed")["agreed"].clone();
    assert_eq!(answer["consents"].as_array().map(Vec::len), Some(1), "{answer}");
    // Nothing is begun by an order that takes work off.
    done(&desk, &["variation", "JOB", &found(&desk, "less.yaml", LESS), "--on", "2027-01-21"]);
    let page = words(&desk, "26-041-variation-2/variation.pdf");
    assert!(!page.contains("right to cancel") && !page.contains("begin this at once"), "{page}");
}

fn signed(pdf: &mut Document) {
    fill(pdf, "Agreed: Name", Object::string_literal("R. Okafor"));
    fill(pdf, "Agreed: Date", Object::string_literal("Wed 20th Jan 2027"));
}

#[test]
fn a_signed_order_that_comes_back_is_read_and_recorded() {
    let desk = accepted("variation-signed");
    for _ in 0..2 {
        done(&desk, &["variation", "JOB", &found(&desk, "more.yaml", HOURS), "--on", "2027-01-19", "--again"]);
    }
    let file = returned(&desk, 1, signed);
    let said = done(&desk, &["variation", "JOB", "--signed", &file]);
    for shown in
        ["variation order 26-041-VAR-1, stored anew", "as answered on 2027-01-20 by R. Okafor", "was agreed on"]
    {
        assert!(said.contains(shown), "{shown}: {said}");
    }
    let answer = manifest(&desk, "26-041-variation-1-agreed")["agreed"].clone();
    let read = ["number", "on", "name", "file"].map(|key| answer[key].as_str().unwrap());
    assert_eq!(read, ["26-041-VAR-1", "2027-01-20", "R. Okafor", "back.pdf"]);
    let frozen = desk.join("k/issued/26-041-variation-1-agreed/signed.pdf");
    assert_eq!(fs::read(frozen).unwrap(), fs::read(&file).unwrap());
    assert!(
        refused(&desk, &["variation", "JOB", "--signed", &file], 2).contains("26-041-VAR-1 was agreed on 2027-01-20")
    );
    // What is typed stands before what is written; of two orders the page says which it is.
    let file = returned(&desk, 2, |pdf| fill(pdf, "Agreed: Name", Object::string_literal("R. Okafor")));
    assert!(refused(&desk, &["variation", "JOB", "--signed", &file], 2).contains("no date is written in it"));
    let early = refused(&desk, &["variation", "JOB", "--signed", &file, "--on", "2027-01-18"], 2);
    assert!(early.contains("26-041-VAR-2 is of 2027-01-19, later than that"), "{early}");
    done(&desk, &["variation", "JOB", "--signed", &file, "--on", "2027-01-21", "--name", "Mrs Okafor"]);
    let answer = manifest(&desk, "26-041-variation-2-agreed")["agreed"].clone();
    assert_eq!(["on", "name"].map(|key| answer[key].as_str().unwrap()), ["2027-01-21", "Mrs Okafor"]);
    assert!(!done(&desk, &["issue", "--check", "JOB"]).contains("ALTERED"));
}

#[test]
fn an_order_that_comes_back_altered_or_hostile_is_not_taken() {
    let desk = accepted("variation-hostile");
    done(&desk, &["variation", "JOB", &found(&desk, "more.yaml", HOURS), "--on", "2027-01-19"]);
    let refuses = |words: &str, change: &dyn Fn(&mut Document)| {
        let file = returned(&desk, 1, |pdf| {
            signed(pdf);
            change(pdf);
        });
        let said = refused(&desk, &["variation", "JOB", "--signed", &file], 2);
        assert!(said.contains(words) && !said.contains("--options"), "{words}: {said}");
    };
    let marked = |more: &'static [u8]| {
        move |pdf: &mut Document| {
            let page = pdf.get_pages()[&1];
            let marks = pdf.get_page_content(page);
            pdf.change_page_content(page, [marks, more.to_vec()].concat()).unwrap();
        }
    };
    refuses("none of its pages is a page of a variation order", &marked(b" 0 0 9 9 re f"));
    refuses("it holds a script", &|pdf| {
        let script = lopdf::dictionary! {"S" => "JavaScript", "JS" => Object::string_literal("app.alert(1)")};
        let script = pdf.add_object(script);
        pdf.catalog_mut().unwrap().set("OpenAction", script);
    });
    refuses("laid over page 1", &|pdf| {
        let note = lopdf::dictionary! {"Type" => "Annot", "Subtype" => "FreeText", "Contents" => Object::string_literal("5.00"),
        "Rect" => vec![100.into(), 500.into(), 200.into(), 520.into()]};
        let note = pdf.add_object(note);
        let page = pdf.get_pages()[&1];
        let page = pdf.get_dictionary_mut(page).unwrap();
        page.get_mut(b"Annots").unwrap().as_array_mut().unwrap().push(note.into());
    });
    refuses("its fields were taken out of it", &|pdf| {
        let page = pdf.get_pages()[&1];
        pdf.get_dictionary_mut(page).unwrap().remove(b"Annots");
    });
    let file = desk.join("back.pdf");
    fs::write(&file, b"PK\x03\x04").unwrap();
    let said = refused(&desk, &["variation", "JOB", "--signed", file.to_str().unwrap()], 2);
    assert!(said.contains("it is not a PDF") && said.contains("`--agreed`, `--on` and `--name`"), "{said}");
    // A draft bears no number, and nobody knows what was agreed by it; a quote agrees to no order.
    let more = found(&desk, "more.yaml", HOURS);
    let out = desk.join("out");
    done(&desk, &["variation", "JOB", &more, "--on", "2027-01-19", "--draft", "--out", out.to_str().unwrap()]);
    for other in [out.join("variation.pdf"), desk.join("k/issued/26-041-A/quote.pdf")] {
        let said = refused(&desk, &["variation", "JOB", "--signed", other.to_str().unwrap()], 2);
        assert!(said.contains("none of its pages is a page of a variation order"), "{said}");
    }
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted", "26-041-variation-1"]);
    // What speaks against it is recorded with the reason for which it holds even so.
    let file = returned(&desk, 1, |pdf| {
        signed(pdf);
        let note = lopdf::dictionary! {"Type" => "Annot", "Subtype" => "FreeText",
        "Rect" => vec![100.into(), 500.into(), 200.into(), 520.into()]};
        let note = pdf.add_object(note);
        let page = pdf.get_pages()[&1];
        let page = pdf.get_dictionary_mut(page).unwrap();
        page.get_mut(b"Annots").unwrap().as_array_mut().unwrap().push(note.into());
    });
    done(&desk, &["variation", "JOB", "--signed", &file, "--even-so", "a greeting"]);
    let answer = manifest(&desk, "26-041-variation-1-agreed")["agreed"].clone();
    assert_eq!(answer["even_so"].as_str(), Some("a greeting"));
    assert!(answer["warned"][0].as_str().unwrap().contains("laid over page 1"), "{answer}");
}

// ---- What it adds to the order ----------------------------------------------------------------------------------------------

/// Packs by their codes, with the weight of all, off the CSV of an order that was issued.
fn ordered(desk: &Path, letter: &str) -> (Vec<(String, Decimal)>, Decimal) {
    let csv = fs::read_to_string(desk.join(format!("k/issued/26-041-{letter}/order.csv"))).unwrap();
    let (head, lines) = lines_of(&csv);
    let weight = place_in(&head, "weight_kg");
    let mass = lines.iter().map(|line| line[weight].parse::<Decimal>().unwrap_or_default()).sum();
    (packs_in(&csv), mass)
}

fn packs_in(csv: &str) -> Vec<(String, Decimal)> {
    let (head, lines) = lines_of(csv);
    let (code, quantity) = (place_in(&head, "code"), place_in(&head, "quantity"));
    lines.iter().map(|line| (line[code].clone(), line[quantity].parse().unwrap())).collect()
}

/// The headings, and the lines of what is ordered for certain.
fn lines_of(csv: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut lines = csv.trim_start_matches('\u{feff}').lines().map(cells);
    let head = lines.next().unwrap();
    let optional = place_in(&head, "optional");
    let lines = lines.filter(|line| line[optional] == "no").collect();
    (head, lines)
}

fn place_in(head: &[String], name: &str) -> usize {
    head.iter().position(|cell| cell == name).unwrap()
}

/// The cells of a row, those in quotation marks with their commas (RFC 4180).
fn cells(row: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in row.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            c => cells.last_mut().unwrap().push(c),
        }
    }
    cells
}

/// What the price book says of an article: its role, what a pack holds, its price, its mass.
fn article(code: &str) -> (String, Decimal, Decimal, Decimal) {
    let book = fs::read_to_string("jobs/prices.yaml").unwrap();
    let line = book.lines().find(|line| line.contains(&format!("code: {code},"))).unwrap();
    let after = |key: &str| line.split(&format!("{key}: ")).nth(1).map(|rest| rest.split([',', '}']).next().unwrap());
    let number = |text: &str| text.split(' ').next().unwrap().parse::<Decimal>().unwrap();
    let of = |key| number(after(key).unwrap());
    (after("role").unwrap().to_owned(), of("holds"), of("price"), after("mass").map_or(Decimal::ZERO, number))
}

fn bought(packs: &[(String, Decimal)], role: &str) -> Decimal {
    let of_role = packs.iter().map(|(code, n)| (article(code), *n)).filter(|((of, ..), _)| of == role);
    of_role.map(|((_, holds, ..), n)| holds * n).sum()
}

fn needed(takeoff: &Value, role: &str) -> Decimal {
    let of_role =
        takeoff["needs"].as_array().unwrap().iter().filter(|need| need["role"] == role && need["optional"] == false);
    of_role.map(|need| need["quantity"].to_string().parse::<Decimal>().unwrap()).sum()
}

/// Counted by packs and price book: the two orders and the van together hold what the job and the variation take, and hardly more.
/// What the job's own order takes from the van is not there for the other.
#[test]
fn what_a_variation_adds_is_ordered_by_itself_and_never_short() {
    let desk = accepted("variation-order");
    let van = "counted: 2026-11-20\nvan:\n  - {role: resin, amount: 12 kg, batch: B-1, use_by: 2027-06-30}\n  \
               - {role: collar.pipe, size: 110 mm, amount: 1}\n  - {role: flashing.lead, size: 180 mm, amount: 3 m}\n";
    fs::write(desk.join("k/stock.yaml"), van).unwrap();
    done(&desk, &["issue", "JOB", "order"]);
    let more = [("resin", "23.5 kg", "23.5"), ("collar.pipe", "3", "3"), ("flashing.lead", "7 m", "7")];
    let lines: Vec<String> = more
        .iter()
        .map(|(role, quantity, _)| {
            let size = if *role == "flashing.lead" { ", size: 180 mm" } else { "" };
            format!("  - {{what: more {role}, article: {role}{size}, quantity: {quantity}, hours: 1}}\n")
        })
        .collect();
    let text =
        format!("found:\n{}  - {{what: soft boards, boards: 3}}\n  - {{what: a cable, cost: 65.00}}\n", lines.concat());
    let order = ["issue", "JOB", "order", "--variation", "1"];
    assert!(refused(&desk, &order, 2).contains("has no variation yet"));
    done(&desk, &["variation", "JOB", &found(&desk, "more.yaml", &text), "--on", "2027-01-19"]);
    assert!(refused(&desk, &order, 2).contains("26-041-VAR-1 waits for its signature: nothing is ordered for it"));
    agree(&desk, "1", "2027-01-20");
    done(&desk, &["issue", "JOB", "method"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-20"]);
    assert_eq!(row(&desk, "2027-01-21")[1], "order what variation order 26-041-VAR-1 adds");
    assert_eq!(account(&desk)["goods"][0]["cost"], Value::Null);
    done(&desk, &order);
    assert_ne!(row(&desk, "2027-01-21")[1], "order what variation order 26-041-VAR-1 adds");

    let job = desk.join("k/issued/26-041-A-accepted/accepted.yaml");
    let takeoff = json(&done(&desk, &["takeoff", job.to_str().unwrap(), "--json"]));
    let ((own, _), (besides, mass)) = (ordered(&desk, "B"), ordered(&desk, "D"));
    for ((role, _, adds), (in_van, most)) in more.iter().zip([(12, 10), (1, 0), (3, 6)]) {
        let need = needed(&takeoff, role) + adds.parse::<Decimal>().unwrap();
        let there = bought(&own, role) + bought(&besides, role) + Decimal::from(in_van);
        assert!(there >= need && there <= need + Decimal::from(most), "{role}: {there} for {need}; {besides:?}");
    }
    assert_eq!(bought(&besides, "board.osb3-18"), Decimal::from(3));
    // Each line up to the next 0.1 kg.
    let up = |kg: Decimal| (kg * Decimal::TEN).ceil() / Decimal::TEN;
    assert_eq!(besides.iter().map(|(code, n)| up(article(code).3 * n)).sum::<Decimal>(), mass);
    let record = manifest(&desk, "26-041-D")["issued"]["varied"].clone();
    let taken: Vec<&str> = record["taken"].as_array().unwrap().iter().map(|t| t["role"].as_str().unwrap()).collect();
    assert!(taken.contains(&"resin"), "the job's own order takes resin from the van: {record}");
    let goods: Decimal = besides.iter().map(|(code, n)| article(code).2 * n).sum();
    let delivery = pounds(&record["goods"]) - goods;
    assert!(delivery == Decimal::ZERO || delivery == Decimal::from(45), "{delivery}");
    let shown = account(&desk)["goods"][0].clone();
    assert_eq!((pounds(&shown["cost"]), shown["order"].as_str()), (goods + delivery, Some("D")));

    let page = words(&desk, "26-041-D/order.pdf");
    for shown in [
        "Materials order 26-041-VAR-1-1",
        "An order besides the first for this site",
        "for variation order 26-041-VAR-1. The first one stands as it was",
        "As soon as you have it: the work goes on; please ring to agree the day",
        "20 January 2027",
        "Variation 1, revision D",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(!page.contains("Revision"), "no order for this variation came before: {page}");
    // The record is filled in for both, article by article, what stands in the van among it: it is used as well.
    let form = done(&desk, &["handover", "JOB", "--form"]);
    let packs: Vec<(String, Decimal)> = form
        .lines()
        .skip_while(|line| !line.starts_with("packs:"))
        .filter_map(|line| line.trim().split_once(": … # "))
        .map(|(code, rest)| (code.to_owned(), rest.split(' ').next().unwrap().parse().unwrap()))
        .collect();
    for (role, quantity, _) in more {
        let need = needed(&takeoff, role) + quantity.split(' ').next().unwrap().parse::<Decimal>().unwrap();
        assert!(bought(&packs, role) >= need, "{role}: {need}: {form}");
    }
    assert!(packs.iter().any(|(code, _)| article(code).0 == "collar.pipe"), "{form}");
    assert_eq!(bought(&packs, "board.osb3-18"), bought(&own, "board.osb3-18") + Decimal::from(3));
    assert!(done(&desk, &order).contains("nothing that the order is made from has changed since revision D"));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains("26-041-D: as issued, and made again byte for byte"), "{checked}");
    // What is left is that of both orders, and what they take is gone from the list.
    let list = done(&desk, &["stock", "--after", "JOB"]);
    assert!(!list.contains("collar.pipe") && !list.contains("B-1"), "{list}");
    let left: Decimal = list
        .lines()
        .filter(|line| line.contains("role: resin,"))
        .map(|line| line.split("amount: ").nth(1).unwrap().split(' ').next().unwrap().parse::<Decimal>().unwrap())
        .sum();
    let resin = bought(&own, "resin") + bought(&besides, "resin") + Decimal::from(12);
    let spare = resin - needed(&takeoff, "resin") - Decimal::new(235, 1);
    assert!((left - spare).abs() <= Decimal::new(2, 2), "{left} left, {spare} counted: {list}");
}

/// The list came after the job's order, and the order for a variation takes from it: when the job's own is issued anew, or drafted, that
/// is gone. Counted by packs: both orders and the van hold what job and variation take.
#[test]
fn what_the_order_for_a_variation_takes_from_the_van_is_not_there_for_the_jobs_own() {
    let desk = accepted("variation-order-van");
    done(&desk, &["issue", "JOB", "order"]);
    let van = "counted: 2026-11-20\nvan:\n  - {role: resin, amount: 12 kg, batch: B-1, use_by: 2027-06-30}\n";
    fs::write(desk.join("k/stock.yaml"), van).unwrap();
    let more = found(&desk, "more.yaml", "found:\n  - {what: more resin, article: resin, quantity: 23.5 kg}\n");
    done(&desk, &["variation", "JOB", &more, "--on", "2027-01-19"]);
    // As long as nothing is ordered for it, the job's own order may take it.
    done(&desk, &["order", "JOB"]);
    let drafted = |desk: &Path| packs_in(&fs::read_to_string(desk.join("k/out/order.csv")).unwrap());
    assert!(bought(&drafted(&desk), "resin") < bought(&ordered(&desk, "B").0, "resin"));
    agree(&desk, "1", "2027-01-20");
    done(&desk, &["issue", "JOB", "order", "--variation", "1"]);
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    let (first, besides, own) = (ordered(&desk, "B").0, ordered(&desk, "C").0, ordered(&desk, "D").0);
    let job = desk.join("k/issued/26-041-A-accepted/accepted.yaml");
    let takeoff = json(&done(&desk, &["takeoff", job.to_str().unwrap(), "--json"]));
    let need = needed(&takeoff, "resin") + Decimal::new(235, 1);
    let there = bought(&own, "resin") + bought(&besides, "resin") + Decimal::from(12);
    assert!(
        bought(&besides, "resin") < Decimal::new(235, 1) && there >= need,
        "{there} for {need}: {own:?}, {besides:?}"
    );
    assert_eq!(own, first);
    for letter in ["D", "E"] {
        let taken = manifest(&desk, &format!("26-041-{letter}"))["issued"]["taken"].clone();
        let one = json(r#"[{"role": "resin", "batch": "B-1", "use_by": "2027-06-30", "quantity": "12"}]"#);
        assert_eq!(taken, one, "{letter}");
    }
    done(&desk, &["order", "JOB"]);
    assert_eq!(drafted(&desk), first);
    assert!(done(&desk, &["issue", "JOB", "order"]).contains("has changed since revision D"));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    for letter in ["C", "D", "E"] {
        assert!(checked.contains(&format!("26-041-{letter}: as issued, and made again byte for byte")), "{checked}");
    }
    let list = done(&desk, &["stock", "--after", "JOB"]);
    assert!(!list.contains("B-1") && !list.contains("was to be taken"), "{list}");
}

#[test]
fn only_goods_of_an_agreed_variation_are_ordered_and_the_first_order_stays_as_it_was() {
    let desk = accepted("variation-order-none");
    done(&desk, &["issue", "JOB", "order"]);
    let file = found(&desk, "more.yaml", HOURS);
    done(&desk, &["variation", "JOB", &file, "--on", "2027-01-19"]);
    agree(&desk, "1", "2027-01-19");
    let none = refused(&desk, &["issue", "JOB", "order", "--variation", "1"], 2);
    assert!(none.contains("26-041-VAR-1 names no goods"), "{none}");
    let lead = found(
        &desk,
        "lead.yaml",
        "found:\n  - {what: More lead, article: flashing.lead, size: 180 mm, quantity: 3 m}\n",
    );
    done(&desk, &["variation", "JOB", &lead, "--on", "2027-01-19"]);
    done(&desk, &["variation", "JOB", "--refused", "2", "--on", "2027-01-20"]);
    let order = ["order", "JOB", "--variation", "2"];
    assert!(refused(&desk, &order, 2).contains("26-041-VAR-2 was refused: nothing is ordered for it"));
    done(&desk, &["variation", "JOB", &lead, "--on", "2027-01-20"]);
    agree(&desk, "3", "2027-01-20");
    done(&desk, &["order", "JOB", "--variation", "3"]);
    assert!(desk.join("k/out/26-041-VAR-3/order.csv").is_file() && !desk.join("k/out/order.csv").exists());
    let quote = refused(&desk, &["issue", "JOB", "quote", "--variation", "3"], 2);
    assert!(quote.contains("`--variation` goes with an order"), "{quote}");
    // The job's own order is looked at for itself: it has not changed, and is sent and taken off the van as before.
    done(&desk, &["issue", "JOB", "order", "--variation", "3"]);
    assert!(done(&desk, &["issue", "JOB", "order"]).contains("has changed since revision B"));
    let out = desk.join("drafts");
    let said = done(&desk, &["mail", "JOB", "order", "--out", out.to_str().unwrap()]);
    assert!(said.contains("Order 26-041-VAR-3-1 from"), "{said}");
    let said = run(&desk, &["mail", "JOB", "order", "--revision", "B", "--out", out.to_str().unwrap()]);
    assert!(said.status.success() && !text(&said.stderr).contains("has taken the place"), "{}", text(&said.stderr));
}

/// An article that the books sell in several sizes is that of the job's own layout where the file does not say which: the kitchen's
/// wall takes lead of one width. Sold and ordered alike.
#[test]
fn an_article_without_a_size_is_that_of_the_jobs_own_layout() {
    let desk = accepted("variation-size");
    let job = desk.join("k/issued/26-041-A-accepted/accepted.yaml");
    let takeoff = json(&done(&desk, &["takeoff", job.to_str().unwrap(), "--json"]));
    let needs = takeoff["needs"].as_array().unwrap().iter();
    let lead: Vec<&Value> = needs.filter(|need| need["role"] == "flashing.lead").map(|need| &need["size"]).collect();
    let [size] = lead[..] else { panic!("lead of one width: {lead:?}") };
    let size = size.as_str().map_or_else(|| size.to_string(), str::to_owned);
    let size = size.trim_end_matches(" mm");
    let file = |size: &str| format!("found:\n  - {{what: More lead, article: flashing.lead{size}, quantity: 3 m}}\n");
    let issue = |name: &str, size: &str| {
        done(&desk, &["variation", "JOB", &found(&desk, name, &file(size)), "--on", "2027-01-19"]);
    };
    issue("said.yaml", &format!(", size: {size} mm"));
    issue("unsaid.yaml", "");
    let [said, unsaid] = [1, 2].map(|n| sum(&desk, &format!("26-041-variation-{n}"), "varied", "total"));
    assert_eq!(said, unsaid);
    agree(&desk, "2", "2027-01-20");
    done(&desk, &["order", "JOB", "--variation", "2"]);
    let csv = fs::read_to_string(desk.join("k/out/26-041-VAR-2/order.csv")).unwrap();
    assert!(csv.contains(&format!("lead-{size}-3m")), "{csv}");
}
