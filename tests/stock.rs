//! What stands in the van, from the stock list to the orders: what is counted, what it saves, whom it is told, what is kept of it.
//!
//! The never-short replay of random jobs with random vans stands in `replay/van.rs`.

use crate::demo::{Demo, work};
use crate::drawings::text_of;
use crate::issued::{desk_of, done, refused, run, text};
use crate::replay::van;
use crate::support::{asked, built_in_words, lean_to};
use rust_decimal::Decimal;
use std::fs;
use std::path::Path;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::{order, quote};
use wetout::job_file::{Request, StockFrom, load};
use wetout::model::{Level, Problem, Warned};
use wetout::pricing::Money;
use wetout::pricing::private_sheet::Basis;

/// The lean-to, which starts on 1 March 2027, with a van that holds these lines.
fn job(name: &str, lines: &str) -> Demo {
    work(&request(name, lines, &lean_to("", "", "start: 2027-03-01\n")))
}

fn request(name: &str, lines: &str, text: &str) -> Request {
    let list = crate::command::scratch(name).join("stock.yaml");
    let lines: String = lines.lines().map(|line| format!("  - {{{}}}\n", line.trim())).collect();
    fs::write(&list, format!("counted: 2026-11-20\nvan:\n{lines}")).unwrap();
    Request { stock: StockFrom::File(list), ..asked(text) }
}

fn pounds(sum: &str) -> Money {
    Money::pounds(sum.parse().unwrap())
}

/// What is taken: role and amount.
fn taken(demo: &Demo) -> Vec<(String, String)> {
    demo.pricing.van.taken.iter().map(|t| (t.role.to_string(), t.quantity.normalize().to_string())).collect()
}

fn of(role: &str, amount: &str) -> (String, String) {
    (role.to_owned(), amount.to_owned())
}

/// What is said of the list.
fn said(demo: &Demo, level: Level) -> Vec<&Problem> {
    demo.pricing
        .notices
        .iter()
        .filter(|p| p.level == level && p.source == wetout::model::problem::Source::Stock)
        .collect()
}

fn packs(demo: &Demo, role: &str) -> Vec<(String, u64)> {
    let lines = demo.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| l.role == role && !l.optional);
    lines.map(|l| (l.code.clone(), l.quantity)).collect()
}

fn faults(demo: &Demo) -> Vec<String> {
    let loaded = &demo.loaded;
    let basis = Basis {
        job: &loaded.job,
        rules: &loaded.rules,
        needs: &demo.take_off.needs,
        programme: &demo.programme,
        books: &loaded.books,
        terms: loaded.terms.as_ref().unwrap(),
        money: &loaded.job_money,
    };
    let without = work(&Request { stock: StockFrom::Nowhere, ..asked(&loaded.sources.job.text) });
    van::faults(basis, &demo.take_off, &loaded.stock, (&without.pricing, &demo.pricing), &loaded.products)
}

/// By hand, from the demo price book: 39.36 kg of resin are two drums of 20 kg at 89.00. With 12 kg in the van 27.36 are bought: a
/// drum of 20 and one of 10 kg at 49.00, which is 40.00 less. A drip trim less is 11.85, a roll of mat 49.50. The goods still come to
/// more than 900, so that the delivery stays free: 101.35 in all. The price has not moved by a penny.
#[test]
fn what_stands_in_the_van_is_not_bought_and_the_price_stays() {
    let plain = job("stock-none", "role: own.fascia-225, amount: 4");
    assert_eq!(plain.pricing.van, Default::default());
    let lines = "role: resin, amount: 12 kg, batch: LR-1, use_by: 2027-06-01\nrole: trim.drip, size: 3.0 m, amount: 1\n\
                 role: mat.450, amount: 33 m";
    let with = job("stock-some", lines);
    assert_eq!(taken(&with), [of("trim.drip", "1"), of("mat.450", "24.5964"), of("resin", "12")]);
    assert_eq!(with.pricing.van.saved, pounds("101.35"));
    assert_eq!(packs(&plain, "resin"), [("resin-laminating-20kg".to_owned(), 2)]);
    let drums = [("resin-laminating-20kg".to_owned(), 1), ("resin-laminating-10kg".to_owned(), 1)];
    assert_eq!(packs(&with, "resin"), drums);
    assert_eq!((packs(&plain, "trim.drip")[0].1, packs(&with, "trim.drip")[0].1), (3, 2));
    assert_eq!(packs(&with, "mat.450"), []);
    assert_eq!(faults(&with), [""; 0]);
    for (before, after) in [
        (plain.pricing.net, with.pricing.net),
        (plain.pricing.total, with.pricing.total),
        (plain.pricing.cost, with.pricing.cost),
        (plain.pricing.profit, with.pricing.profit),
    ] {
        assert_eq!(before, after);
    }
    let quoted = |demo: &Demo| text_of(&quote::document(&QuoteView::of(&demo.worked()), &built_in_words()).unwrap());
    assert_eq!(quoted(&plain), quoted(&with));
    // What is left of the packs is what they hold over what is bought of it; what was in the van is not among it.
    let left: Vec<_> = with.pricing.orders.iter().flat_map(|o| o.left_over()).filter(|l| l.role == "resin").collect();
    assert_eq!(left[0].quantity, "2.642994375".parse().unwrap());
    // Why, of each and of all.
    let why = |id: &str| with.pricing.why(id).unwrap_or_else(|| panic!("no {id}")).working.join("\n");
    assert!(why("van.resin").contains("12 kg stand in the van, batch LR-1, use by 2027-06-01"), "{}", why("van.resin"));
    assert!(why("van.resin").contains("27.357 kg are bought"), "{}", why("van.resin"));
    assert_eq!(with.pricing.why("van.resin").unwrap().amount, pounds("40.00"));
    assert_eq!(with.pricing.why("van.saved").unwrap().amount, pounds("101.35"));
    assert!(
        why("pack.resin").starts_with("39.357 kg are needed; 12 kg stand in the van: see van.resin\n27.357 kg for")
    );
    assert!(why("pack.mat.450").contains("all of it, 24.596 m stand in the van"), "{}", why("pack.mat.450"));
    assert!(why("cost.materials").ends_with("as if all of it were bought; the van saves 101.35: see van.saved"));
}

#[test]
fn what_is_past_its_use_by_on_the_last_day_on_site_is_not_counted_and_told() {
    let last = job("stock-day", "role: brush, amount: 1").programme.days.iter().filter_map(|d| d.date).max().unwrap();
    let list = |day: time::Date| format!("role: resin, amount: 20 kg, use_by: {day}");
    let good = job("stock-good", &list(last));
    assert_eq!(taken(&good), [of("resin", "20")]);
    assert!(said(&good, Level::Warning).is_empty());
    let past = job("stock-past", &list(last.previous_day().unwrap()));
    assert_eq!(taken(&past), []);
    let told = said(&past, Level::Warning);
    assert_eq!((told.len(), told[0].warned), (1, Some(Warned::UseBy)));
    assert!(told[0].fault.starts_with("20 kg of resin is past its use-by"), "{}", told[0].fault);
    assert_eq!(told[0].place.to_string(), "van[0].use_by");
    // The crew that loads the van hears of it too.
    let crew = |demo: &Demo| text_of(&wetout::documents::method::document(&demo.worked(), &built_in_words()).unwrap());
    let stays = format!("too old by then: laminating resin (use by {}).", {
        let day = last.previous_day().unwrap();
        format!("{} {} {}", day.day(), day.month(), day.year())
    });
    let heard = |demo: &Demo| crew(demo).split_whitespace().collect::<Vec<_>>().join(" ").contains(&stays);
    assert!(heard(&past) && !heard(&good), "{stays}");
    // What nobody asks for is not told of.
    let unasked = job("stock-unasked", "role: topcoat.green, amount: 5 kg, use_by: 2020-01-01");
    assert!(said(&unasked, Level::Warning).is_empty());
    // What must be used first is.
    let two = job(
        "stock-two",
        "role: resin, amount: 30 kg, batch: NEW, use_by: 2027-12-01\nrole: resin, amount: 9 kg, batch: OLD, use_by: 2027-04-01",
    );
    let batches: Vec<_> =
        two.pricing.van.taken.iter().map(|t| (t.batch.as_deref().unwrap(), t.quantity.to_string())).collect();
    assert_eq!(batches, [("OLD", "9".to_owned()), ("NEW", "30".to_owned())]);
    assert_eq!(faults(&two), [""; 0]);
    // A job without a start is judged by its date, and that is told.
    let text = lean_to("", "", "");
    let unknown = work(&request("stock-unknown", "role: resin, amount: 20 kg, use_by: 2026-11-25", &text));
    assert_eq!(taken(&unknown), [of("resin", "20")]);
    assert!(unknown.pricing.notices.iter().any(|p| p.fault.contains("judged by its date, 2026-11-25")));
}

#[test]
fn a_topcoat_is_taken_of_one_batch_that_is_enough_or_not_at_all() {
    let two = "role: topcoat.dark-grey, amount: 12 kg, batch: A\nrole: topcoat.dark-grey, amount: 12 kg, batch: B";
    let short = job("stock-topcoat", two);
    assert_eq!(taken(&short), []);
    assert!(said(&short, Level::Assumed)[0].fault.contains("no one batch of topcoat.dark-grey in the van is enough"));
    // Two tins without a batch may be of two.
    assert_eq!(taken(&job("stock-unmarked", &two.replace(", batch: A", "").replace(", batch: B", ""))), []);
    let same = job("stock-same", &two.replace("batch: B", "batch: A"));
    assert_eq!(taken(&same), [of("topcoat.dark-grey", "12"), of("topcoat.dark-grey", "0.1275")]);
    assert_eq!((packs(&same, "topcoat.dark-grey"), same.pricing.van.saved), (vec![], pounds("103.50")));
    assert_eq!(faults(&same), [""; 0]);
}

/// The lean-to takes 19.80 m of bandage of 150 mm; where a part of a roll ends one lap of 50 mm is lost.
#[test]
fn of_what_is_cut_to_length_only_what_surely_serves_is_counted() {
    for (line, counts) in [
        ("role: mat.450, amount: 30 m", None),
        ("role: mat.450, amount: 70 m", Some("24.5964")),
        ("role: bandage.150, amount: 19.8 m", None),
        ("role: bandage.150, amount: 19.85 m", Some("19.8")),
        ("role: batten.edge, amount: 4.7 m", None),
        ("role: batten.edge, amount: 9.7 m", Some("9.6")),
        ("role: timber.firring, amount: 100 m", None),
        ("role: timber.noggin, amount: 14.4 m", None),
        ("role: timber.noggin, size: 3.6 m, amount: 14.4 m", Some("14.4")),
        ("role: trim.drip, size: 2.5 m, amount: 9", None),
        ("role: resin, amount: 20 kg, kept_for: 26-906", None),
        ("role: resin, amount: 20 kg, kept_for: 26-905", Some("20")),
    ] {
        let demo = job("stock-lengths", line);
        let found: Vec<String> = taken(&demo).into_iter().map(|(_, amount)| amount).collect();
        assert_eq!(found, counts.iter().map(|c| (*c).to_owned()).collect::<Vec<_>>(), "{line}");
        assert_eq!(faults(&demo), [""; 0], "{line}");
    }
    let told =
        |line: &str| said(&job("stock-told", line), Level::Assumed).iter().map(|p| p.fault.clone()).collect::<Vec<_>>();
    assert!(told("role: mat.450, amount: 70 m")[0].starts_with("4 m of mat.450 is not counted: it is cut to length"));
    assert!(told("role: timber.firring, amount: 9 m")[0].contains("firrings are cut for one job"));
    assert!(told("role: timber.noggin, amount: 14.4 m")[0].contains("its size is not said, and 3600 mm is asked for"));
}

/// A trim for 11.85 less, and the order is no longer delivered free, which costs 45.00: it stays in the van. So does what saves no pack.
#[test]
fn what_would_cost_more_or_saves_nothing_stays_in_the_van() {
    let folder = crate::command::scratch("stock-free");
    let book = fs::read_to_string("jobs/prices.yaml").unwrap();
    let start = "start: 2027-03-01\n";
    let all = work(&asked(&lean_to("", "", start)));
    let goods: Decimal =
        all.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional).map(|l| l.total.as_pounds()).sum();
    let from = format!("free_delivery_from: {:.2}", goods - Decimal::new(25, 1));
    let dearer = book.replace("free_delivery_from: 900.00", &from);
    assert_ne!(book, dearer);
    fs::write(folder.join("prices.yaml"), dearer).unwrap();
    let of = |lines: &str| {
        let text = lean_to("", "", start);
        work(&Request { prices: vec![folder.join("prices.yaml")], ..request("stock-free-list", lines, &text) })
    };
    let trim = "role: trim.drip, size: 3.0 m, amount: 1";
    assert_eq!((taken(&of(trim)), of(trim).pricing.van.saved), (vec![], Money::ZERO));
    // With the resin it is worth it: 89.00 and 11.85 less, 45.00 more.
    let both = of(&format!("{trim}\nrole: resin, amount: 20 kg"));
    assert_eq!((taken(&both).len(), both.pricing.van.saved), (2, pounds("55.85")));
    assert_eq!(faults(&both).len(), 0);
    // Half a box of gloves saves no box of one that is needed whole.
    assert_eq!(taken(&job("stock-gloves", "role: gloves, amount: 3")), []);
}

#[test]
fn the_merchant_reads_nothing_of_the_van_nor_of_what_is_left_over() {
    let with = job("stock-page", "role: resin, amount: 12 kg, batch: LR-1");
    let worked = with.worked();
    let [view] = &OrderView::all(&worked)[..] else { panic!("one order") };
    let page = text_of(&order::document(view, &built_in_words()).unwrap()).to_lowercase();
    for word in ["the van", "left over", "to keep", "lr-1", "is spoilt", "our own"] {
        assert!(!page.contains(word), "{word}: {page}");
    }
    let sheet = wetout::pricing::private_sheet::sheet(
        &with.pricing,
        Basis {
            job: &with.loaded.job,
            rules: &with.loaded.rules,
            needs: &with.take_off.needs,
            programme: &with.programme,
            books: &with.loaded.books,
            terms: with.loaded.terms.as_ref().unwrap(),
            money: &with.loaded.job_money,
        },
    );
    let private = wetout::documents::private::describe(&worked, &sheet).unwrap();
    for words in [
        "Taken from the van",
        "LR-1",
        "12.0 kg",
        "Saved (van.saved)",
        "£40.00",
        "Left over: stock to keep",
        "if none is spoilt",
    ] {
        assert!(private.contains(words), "{words}: {private}");
    }
    let method = wetout::documents::method::document(&worked, &built_in_words()).unwrap();
    let method = text_of(&method).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        method.contains("From the van, and not in the delivery: laminating resin, 12 kg (batch LR-1)."),
        "{method}"
    );
}

// ---- Through the program ---------------------------------------------------------------------------------------------

/// A desk with the patched roof in `k` and a van beside the firm file.
fn desk(name: &str, lines: &str) -> std::path::PathBuf {
    let desk = desk_of(name, "patch-and-coat");
    fs::remove_file(desk.join("k/stock.yaml")).unwrap();
    fs::write(desk.join("stock.yaml"), format!("counted: 2026-11-20\nvan:\n{lines}")).unwrap();
    desk
}

const RESIN: &str = "  - {role: resin, amount: 7 kg, batch: LR-1, use_by: 2027-06-30, note: \"half \\\"full\\\"\"}\n";

#[test]
fn the_program_finds_the_list_and_tells_the_firm() {
    let desk = desk("stock-desk", RESIN);
    let price = done(&desk, &["price", "JOB"]);
    assert!(price.contains("taken from the van") && price.contains("Saved by the van (van.saved): 27.50."), "{price}");
    let why = done(&desk, &["takeoff", "JOB", "--why", "bucket.resin"]);
    assert!(
        why.contains("in the van 4.79 kg of resin (batch LR-1, use by 2027-06-30) are taken and not bought"),
        "{why}"
    );
    assert!(done(&desk, &["price", "JOB", "--why", "van.resin"]).contains("0 kg are bought"));
    let json: serde_json::Value = serde_json::from_str(&done(&desk, &["price", "JOB", "--json"])).unwrap();
    assert_eq!(
        (json["van"]["saved"].as_str(), json["van"]["taken"][0]["batch"].as_str()),
        (Some("27.50"), Some("LR-1"))
    );
    assert!(done(&desk, &["works", "JOB", "--json"]).contains("\"resin from the van\""));
    let verbose = run(&desk, &["price", "JOB", "-v"]);
    assert!(text(&verbose.stderr).contains("and stock list "), "{}", text(&verbose.stderr));
    // Another list that is named, and a nearer one.
    fs::write(desk.join("other.yaml"), "counted: 2026-11-20\nvan: []\n").unwrap();
    let other = desk.join("other.yaml");
    assert!(!done(&desk, &["price", "JOB", "--stock", other.to_str().unwrap()]).contains("taken from the van"));
    fs::copy(&other, desk.join("k/stock.yaml")).unwrap();
    assert!(!done(&desk, &["price", "JOB"]).contains("taken from the van"));
    fs::write(desk.join("k/stock.yaml"), "counted: 2026-11-20\nvan: [{role: resine, amount: 3}]\n").unwrap();
    let wrong = refused(&desk, &["order", "JOB"], 1);
    assert!(wrong.contains("stock.yaml:2:14") && wrong.contains("did you mean `resin`?"), "{wrong}");
}

#[test]
fn an_order_of_which_all_stands_in_the_van_is_none() {
    let needs = "timber.noggin, size: 3.6 m\nbandage.75\nbandage.150\ndisc.abrasive\nfixings.deck\nfixings.framing\ncleaner\nacetone\nsheet.floor\n\
                 board.osb3-18\nresin\ntopcoat.light-grey\nmat.450\ncatalyst\nsleeve.roller\nbrush\nbucket\ncup.catalyst\ngloves\npreservative\nsheet.night, size: 5 m";
    let lines: String = needs.lines().map(|role| format!("  - {{role: {role}, amount: 9900, batch: Z}}\n")).collect();
    let desk = desk("stock-all", &lines);
    let told = refused(&desk, &["order", "JOB"], 2);
    assert!(told.contains("nothing is to be ordered: all that this job takes stands in the van"), "{told}");
    assert!(refused(&desk, &["issue", "JOB", "order"], 2).contains("nothing is to be ordered"));
    assert!(!desk.join("k/issued").exists() && !desk.join("k/out").exists());
    // The other documents are made, and an order of an earlier run does not stay.
    fs::create_dir(desk.join("k/out")).unwrap();
    fs::write(desk.join("k/out/order.pdf"), "earlier").unwrap();
    done(&desk, &["make", "JOB"]);
    assert!(desk.join("k/out/quote.pdf").exists() && !desk.join("k/out/order.pdf").exists());
}

/// What was issued is made again from the list of that day, whatever stands in the van, or above the job, today.
#[test]
fn what_was_issued_keeps_the_list_that_it_was_made_from() {
    let desk = desk("stock-issued", RESIN);
    done(&desk, &["issue", "JOB", "quote"]);
    let told = done(&desk, &["issue", "JOB", "order"]);
    assert!(told.contains("Write `kept_for: 26-066` behind that in the stock list"), "{told}");
    let order = desk.join("k/issued/26-066-B");
    assert_eq!(
        fs::read_to_string(order.join("inputs/stock/stock.yaml")).unwrap(),
        fs::read_to_string(desk.join("stock.yaml")).unwrap()
    );
    assert!(!desk.join("k/issued/26-066-A/inputs/stock").exists(), "a quote is the same whatever stands in the van");
    let csv = fs::read_to_string(order.join("order.csv")).unwrap();
    assert!(!csv.contains("resin-laminating"), "{csv}");
    for now in ["counted: 2026-11-20\nvan: []\n", "broken: [\n"] {
        fs::write(desk.join("stock.yaml"), now).unwrap();
        let checked = done(&desk, &["issue", "--check", "JOB"]);
        assert_eq!(checked.matches("made again byte for byte").count(), 2, "{checked}");
    }
    // Nothing of a quote has changed; of an order it has.
    assert!(done(&desk, &["issue", "JOB", "quote"]).contains("nothing new is issued"));
    fs::remove_file(desk.join("stock.yaml")).unwrap();
    assert!(done(&desk, &["issue", "JOB", "order"]).contains("issued the order as revision C"));
    assert!(done(&desk, &["issue", "--check", "JOB"]).matches("made again byte for byte").count() == 3);
    let mailed = done(&desk, &["mail", "JOB", "order", "--revision", "B", "--today", "2026-12-01"]);
    assert!(mailed.contains("wrote"), "{mailed}");
}

#[test]
fn the_list_is_told_with_what_is_past_its_use_by() {
    let lines = format!("{RESIN}  - {{role: trim.drip, size: 3.0 m, amount: 2, kept_for: 26-070}}\n");
    let desk = desk("stock-listed", &lines);
    let before = done(&desk, &["stock", "JOB", "--today", "2027-06-30"]);
    assert!(
        before.contains("counted on 2026-11-20") && before.contains("trim.drip, 3000 mm") && !before.contains("PAST")
    );
    let after = done(&desk, &["stock", "JOB", "--today", "2027-07-01"]);
    assert!(after.contains("2027-06-30 PAST") && after.contains("1 line is past the use-by on 2027-07-01"), "{after}");
    let json: serde_json::Value =
        serde_json::from_str(&done(&desk, &["stock", "JOB", "--today", "2027-07-01", "--json"])).unwrap();
    assert_eq!((&json["van"][0]["past"], &json["van"][1]["past"]), (&true.into(), &false.into()));
    assert_eq!(json["van"][1]["kept_for"], "26-070");
    fs::remove_file(desk.join("stock.yaml")).unwrap();
    let none = refused(&desk, &["stock", "JOB"], 2);
    assert!(none.contains("there is no stock.yaml") && none.contains("wetout help stock"), "{none}");
}

/// By hand: 7 − 4.79 = 2.20 kg of the batch stay; of what is bought e.g. a bottle of 500 ml of catalyst for 398.68 leaves 101 ml.
#[test]
fn a_job_leaves_a_list_that_is_read_again_and_is_taken_off_once() {
    let lines = format!(
        "{RESIN}  - {{role: trim.drip, size: 3.0 m, amount: 2, kept_for: 26-070}}\n  - {{role: brush, amount: 2}}\n"
    );
    let desk = desk("stock-after", &lines);
    let was = fs::read_to_string(desk.join("stock.yaml")).unwrap();
    let new = done(&desk, &["stock", "--after", "JOB", "--today", "2027-04-13"]);
    assert!(new.contains("by the job as it stands: no order of it was issued"), "{new}");
    assert_eq!(fs::read_to_string(desk.join("stock.yaml")).unwrap(), was, "it is text, and nothing is written");
    assert!(
        new.contains(
            "  - {role: resin, amount: 2.2 kg, batch: \"LR-1\", use_by: 2027-06-30, note: \"half \\\"full\\\"\"}\n"
        ),
        "{new}"
    );
    assert!(new.contains("  - {role: trim.drip, size: 3000 mm, amount: 2 each, kept_for: \"26-070\"}\n"), "{new}");
    assert!(!new.contains("role: brush"), "both are used up: {new}");
    assert!(new.contains("  - {role: catalyst, amount: 101 ml} # from 26-066"), "{new}");
    // By the order, once that was issued, though the list was changed since.
    done(&desk, &["issue", "JOB", "order"]);
    fs::write(
        desk.join("stock.yaml"),
        was.replace("amount: 7 kg", "amount: 6 kg").replace("  - {role: brush, amount: 2}\n", ""),
    )
    .unwrap();
    let new = done(&desk, &["stock", "--after", "JOB", "--today", "2027-04-13"]);
    assert!(new.contains("by its order, revision A") && new.contains("role: resin, amount: 1.2 kg"), "{new}");
    assert!(new.contains("# 2 each of brush was to be taken and did not stand in the list before."), "{new}");
    let before = fs::read_to_string(desk.join("stock.yaml")).unwrap();
    let told = done(&desk, &["stock", "--after", "JOB", "--today", "2027-04-13", "--write"]);
    assert!(told.contains("stock-before-26-066.yaml"), "{told}");
    assert_eq!(fs::read_to_string(desk.join("stock.yaml")).unwrap(), new);
    assert_eq!(fs::read_to_string(desk.join("stock-before-26-066.yaml")).unwrap(), before);
    let listed = done(&desk, &["stock", "JOB", "--today", "2027-04-13"]);
    assert!(listed.contains("half \"full\"") && listed.contains("101"), "{listed}");
    let again = refused(&desk, &["stock", "--after", "JOB"], 2);
    assert!(again.contains("26-066 stands under `after`"), "{again}");
}

/// No order counts on what is left of a length of trim: it is told beside the list, length by length as in the layout that is written
/// for other programs.
#[test]
fn offcuts_of_trims_are_told_with_the_list() {
    let desk = desk_of("stock-offcuts", "kitchen-extension");
    let list = done(&desk, &["stock", "--after", "JOB", "--today", "2027-04-13"]);
    let told = list.lines().find(|line| line.starts_with("# Offcuts of 450 mm and more by the cut plan")).unwrap();
    let layout: serde_json::Value = serde_json::from_str(&done(&desk, &["takeoff", "JOB", "--json"])).unwrap();
    let (mut long, mut short) = (0, 0);
    for trim in layout["layout"]["trims"].as_array().unwrap() {
        let bars = trim["bars"].as_array().unwrap().iter();
        let mut offcuts: Vec<i64> = bars.map(|bar| bar["offcut"].as_i64().unwrap()).collect();
        offcuts.sort_unstable_by(|a, b| b.cmp(a));
        let kept: Vec<String> = offcuts.iter().filter(|mm| **mm >= 450).map(|mm| format!("{mm} mm")).collect();
        (long, short) = (long + kept.len(), short + offcuts.len() - kept.len());
        let words = format!("trim.{} {}", trim["finish"].as_str().unwrap(), kept.join(", "));
        assert!(kept.is_empty() || told.contains(&words), "{words}: {told}");
    }
    assert!(long > 0 && short > 0, "{told}");
    assert_eq!(told.matches(" mm").count(), long + 1, "none besides: {told}");
    fs::write(desk.join("stock.yaml"), &list).unwrap();
    done(&desk, &["stock", "JOB", "--today", "2027-04-13"]);
}

#[test]
fn the_list_of_the_demo_is_read_and_shows_what_it_says() {
    let demo = work(&crate::demo::request("patch-and-coat"));
    let roles: Vec<String> = demo.pricing.van.taken.iter().map(|t| t.role.to_string()).collect();
    assert_eq!(roles, ["bandage.150", "acetone", "resin", "brush"]);
    assert_eq!(demo.pricing.van.saved, pounds("73.90"));
    let told: Vec<_> = demo.pricing.notices.iter().filter(|p| p.warned == Some(Warned::UseBy)).collect();
    assert_eq!(told.len(), 1);
    assert!(Path::new("jobs/patch-and-coat/stock.yaml").exists());
}

#[test]
fn a_list_too_long_to_be_a_van_is_refused() {
    let lines = "role: brush, amount: 1\n".repeat(501);
    let failure = load(&request("stock-long", &lines, &lean_to("", "", ""))).unwrap_err();
    assert!(failure.problems.iter().any(|p| p.fault.contains("501 lines of stock")), "{:?}", failure.problems);
}
