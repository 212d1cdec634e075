//! What a customer keeps back of each payment: told in the quote, parted from every invoice, asked for in its time, to the penny.

use crate::issued::{desk_of, done, refused, words_of_pages};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use time::macros::date;
use wetout::pricing::Money;
use wetout::pricing::invoicing::InvoiceSums;
use wetout::pricing::terms::HeldUntil;

/// The kitchen with something added to its job file, its quote issued and accepted.
fn accepted(name: &str, more: &str) -> PathBuf {
    let desk = desk_of(name, "kitchen-extension");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    fs::write(desk.join("k/job.yaml"), format!("{job}{more}\n")).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "A. Householder"]);
    desk
}

const FIVE: &str = "price: {retention: {rate: 5 %, until: 6 months}}";

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn pounds(value: &Value) -> Decimal {
    value.as_str().unwrap_or_else(|| panic!("{value} is no sum")).parse().unwrap()
}

fn invoice(desk: &Path, n: u32) -> Value {
    let place = desk.join(format!("k/issued/26-041-invoice-{n}/manifest.json"));
    json(&fs::read_to_string(place).unwrap())["invoiced"].clone()
}

fn words(desk: &Path, file: &str) -> String {
    let all = words_of_pages(&desk.join("k/issued").join(file)).join(" ");
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn account(desk: &Path) -> Value {
    json(&done(desk, &["account", "JOB", "--json", "--today", "2027-03-01"]))
}

fn row(desk: &Path, today: &str) -> [String; 3] {
    let list = json(&done(desk, &["list", "JOB", "--json", "--today", today]));
    ["state", "next", "due"].map(|key| list["jobs"][0][key].as_str().unwrap_or("none").to_owned())
}

fn pence(pence: i64) -> Decimal {
    Decimal::new(pence, 2)
}

/// 6,290.59 in two stages of 1,572.65 and 4,717.94: 5 % are 78.63 and 235.90, together 314.53. The work ends on 22 January 2027.
#[test]
fn a_part_of_each_payment_is_kept_back_and_asked_for_in_its_time() {
    let desk = accepted("retention-whole", FIVE);
    let quote = words(&desk, "26-041-A/quote.pdf");
    assert!(
        quote.contains("You keep back 5% of each payment until 6 months after the last day of the work."),
        "{quote}"
    );
    // What is asked for is what the quote says, on its first page and in its table.
    for shown in [
        "The first payment is £1,494.02.",
        "£1,572.65 − £78.63 £1,494.02",
        "All payments £6,290.59 − £314.53 £5,976.06",
    ] {
        assert!(quote.contains(shown), "{shown}: {quote}");
    }
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    let none = refused(&desk, &["invoice", "JOB", "--retention", "--on", "2027-01-20"], 2);
    assert!(none.contains("nothing was kept back yet"), "{none}");
    let said = done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-20"]);
    assert!(
        said.contains("1494.02 for stage 1") && said.contains("78.63 more is kept back until 2027-07-22"),
        "{said}"
    );
    assert!(said.contains(&format!("left to be invoiced: {}", pence(629_059 - 149_402))), "{said}");
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    let last = invoice(&desk, 2);
    assert_eq!(
        (pounds(&last["sums"]["total"]), pounds(&last["kept_back"]["sums"]["total"])),
        (pence(448_204), pence(23_590))
    );
    assert_eq!(pounds(&last["left"]), pence(31_453));
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    for shown in [
        "75% of the price",
        "Kept back by you until 22 July 2027 5% of that 20% − £196.58",
        "To pay, VAT included £4,482.04",
        "Still to be asked for £314.53",
        "Of that you keep back until 22 July 2027 £314.53",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    // The VAT of an invoice is that of what it asks for.
    let (net, vat) = (pounds(&last["sums"]["net"]), pounds(&last["sums"]["vat"]));
    assert!((net * Decimal::new(20, 2) - vat).abs() <= pence(2), "{last}");
    for (number, paid) in [("1", "1494.02"), ("2", "4482.04")] {
        done(&desk, &["receipt", "JOB", number, "--paid", paid, "--on", "2027-01-29"]);
    }
    done(&desk, &["handover", "JOB", "--on", "2027-01-29"]);
    let now = account(&desk);
    assert_eq!((pounds(&now["balance"]), pounds(&now["kept_back"]["sum"])), (Decimal::ZERO, pence(31_453)));
    assert_eq!(now["kept_back"]["until"], "2027-07-22");
    assert_eq!(row(&desk, "2027-03-01"), ["invoiced", "send the invoice for 314.53 that was kept back", "2027-07-22"]);
    let out = desk.join("out");
    let told = done(&desk, &["account", "JOB", "--today", "2027-03-01", "--out", out.to_str().unwrap()]);
    assert!(told.contains("kept back by the customer: 314.53, until 2027-07-22"), "{told}");
    assert!(words_of_pages(&out.join("account.pdf")).join(" ").contains("You keep back £314.53 until 22 July 2027."));

    let early = refused(&desk, &["invoice", "JOB", "--retention", "--on", "2027-07-21"], 2);
    assert!(early.contains("keeps 314.53 back until 2027-07-22; `--even-so"), "{early}");
    let said = done(&desk, &["invoice", "JOB", "--retention", "--on", "2027-07-23"]);
    assert!(said.contains("VAT invoice 26-041-INV-3: 314.53") && said.contains("left to be invoiced: 0.00"), "{said}");
    let page = words(&desk, "26-041-invoice-3/invoice.pdf");
    for shown in [
        "What you have kept back of 26-041-INV-1 and 26-041-INV-2, of the price of our quotation 26-041 revision A, accepted on 2 December 2026",
        "all of it",
        "£314.53",
        "VAT at 20% on £262.10",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(
        refused(&desk, &["invoice", "JOB", "--retention", "--on", "2027-07-23"], 2).contains("all of it was invoiced")
    );
    done(&desk, &["receipt", "JOB", "3", "--paid", "314.53", "--on", "2027-07-30"]);
    assert_eq!(row(&desk, "2027-08-01")[..2], ["paid", "nothing"].map(str::to_owned));
    let price = json(&done(
        &desk,
        &["price", desk.join("k/issued/26-041-A-accepted/accepted.yaml").to_str().unwrap(), "--json"],
    ));
    for (key, all) in [("net", &price["net"]), ("vat", &price["vat"][0]["vat"]), ("total", &price["total"])] {
        assert_eq!((1..=3).map(|n| pounds(&invoice(&desk, n)["sums"][key])).sum::<Decimal>(), pounds(all), "{key}");
    }
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 10, "{checked}");
}

#[test]
fn what_is_credited_is_kept_back_no_longer_and_a_variation_bears_its_part() {
    let desk = accepted("retention-credit", FIVE);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-20"]);
    done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "wrong name", "--on", "2027-01-20"]);
    assert_eq!(account(&desk)["kept_back"], Value::Null);
    assert!(words(&desk, "26-041-invoice-2/credit.pdf").contains("Credited £1,494.02"));
    let file = desk.join("more.yaml");
    fs::write(&file, "found:\n  - {what: New cowl, price: 100.00}\n").unwrap();
    done(&desk, &["variation", "JOB", file.to_str().unwrap(), "--on", "2027-01-20"]);
    done(&desk, &["variation", "JOB", "--agreed", "1", "--on", "2027-01-20", "--name", "R."]);
    done(&desk, &["invoice", "JOB", "--variation", "1", "--on", "2027-01-20"]);
    assert_eq!(pounds(&invoice(&desk, 3)["sums"]["total"]), pence(11_400));
    let early = ["invoice", "JOB", "--retention", "--on", "2027-01-21", "--even-so", "agreed by telephone"];
    done(&desk, &early);
    assert_eq!(invoice(&desk, 4)["even_so"], "agreed by telephone");
    assert_eq!(pounds(&invoice(&desk, 4)["sums"]["total"]), pence(600));
    // What was released and credited is kept back again.
    done(&desk, &["invoice", "JOB", "--credit", "4", "--because", "too early", "--on", "2027-01-21"]);
    assert_eq!(pounds(&account(&desk)["kept_back"]["sum"]), pence(600));
    for stage in ["1", "2"] {
        done(&desk, &["invoice", "JOB", "--stage", stage, "--on", "2027-01-22"]);
    }
    done(&desk, &["invoice", "JOB", "--retention", "--on", "2027-07-23"]);
    assert_eq!(pounds(&account(&desk)["left_to_invoice"]), Decimal::ZERO);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 10, "{checked}");
}

#[test]
fn the_firms_retention_holds_where_a_job_says_nothing_else() {
    let desk = desk_of("retention-firm", "kitchen-extension");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let firm = firm.replace("  payment_days: 14", "  payment_days: 14\n  retention: {rate: 3 %, until: 2027-12-01}");
    fs::write(desk.join("firm.yaml"), firm).unwrap();
    done(&desk, &["quote", "JOB"]);
    let quote = || words_of_pages(&desk.join("k/out/quote.pdf")).join(" ");
    assert!(
        quote()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("You keep back 3% of each payment until 1 December 2027."),
        "{}",
        quote()
    );
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    fs::write(desk.join("k/job.yaml"), format!("{job}price: {{retention: {{rate: 0 %, until: 1 month}}}}\n")).unwrap();
    done(&desk, &["quote", "JOB"]);
    assert!(!quote().contains("keep back"), "{}", quote());
    for (written, fault) in [
        ("{rate: 5 %}", "needs `until`"),
        ("{rate: 40 %, until: 6 months}", "it lies between 0 % and 20 %"),
        ("{rate: 5 %, until: 60 months}", "that lies between 1 month and 36 months"),
        ("{rate: 5 %, until: summer}", "`6 months`"),
        ("{rate: 5 %, until: 1.5 months}", "is not a number of months"),
        ("5 %", "this should be a group of settings"),
    ] {
        fs::write(desk.join("k/job.yaml"), format!("{job}price: {{retention: {written}}}\n")).unwrap();
        let said = refused(&desk, &["check", "JOB"], 1);
        assert!(said.contains(fault), "{written}: {said}");
    }
    let other = accepted("retention-none", "");
    done(&other, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-20"]);
    let said = refused(&other, &["invoice", "JOB", "--retention", "--on", "2027-01-20"], 2);
    assert!(said.contains("accepted without a retention"), "{said}");
}

#[test]
fn months_end_with_their_last_day() {
    for (months, end, day) in [
        (6, date!(2027 - 01 - 21), date!(2027 - 07 - 21)),
        (1, date!(2027 - 01 - 31), date!(2027 - 02 - 28)),
        (1, date!(2028 - 01 - 31), date!(2028 - 02 - 29)),
        (12, date!(2028 - 02 - 29), date!(2029 - 02 - 28)),
        (1, date!(2026 - 12 - 15), date!(2027 - 01 - 15)),
        (36, date!(2026 - 12 - 31), date!(2029 - 12 - 31)),
    ] {
        assert_eq!(HeldUntil::Months(months).day(end), day, "{months} after {end}");
    }
    assert_eq!(HeldUntil::Day(date!(2027 - 05 - 01)).day(date!(2027 - 01 - 01)), date!(2027 - 05 - 01));
}

/// Whatever is kept back of whatever is invoiced, the two parts are the whole, and neither is below nothing.
#[test]
fn what_is_kept_back_and_what_is_asked_for_are_the_whole() {
    for net in [0, 1, 2, 3, 7, 19, 99, 12_345, 370_841, 9_999_999] {
        for (rate, percent) in [(0, 5), (5, 5), (20, 5), (20, 3), (20, 20), (20, 0)] {
            let net = Money::pence(net);
            let vat = net.percent(rate.into()).to_penny();
            let whole = InvoiceSums { net, vat, by_customer: Money::ZERO, total: net + vat };
            let kept = whole.kept_back(percent.into());
            let asked = whole.without(kept);
            assert_eq!(asked.with(kept), whole);
            assert!(!kept.is_below_nothing() && !asked.is_below_nothing(), "{whole:?} at {percent} %: {kept:?}");
            assert_eq!(kept.net + kept.vat, kept.total);
            let exact = whole.total.as_pounds() * Decimal::from(percent) / Decimal::ONE_HUNDRED;
            assert!((kept.total.as_pounds() - exact).abs() <= Decimal::new(5, 3), "{kept:?}");
        }
    }
    assert_eq!(
        InvoiceSums { total: -Money::pence(5), ..InvoiceSums::default() }.kept_back(5.into()),
        InvoiceSums::default()
    );
}
