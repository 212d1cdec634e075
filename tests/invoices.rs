//! From accepted to paid, through the program as it is used: numbers that follow one another, sums that come to the accepted
//! price to the penny, what the law wants on an invoice, payments that are recorded once, and the register at every step.

use crate::issued::{desk_of, done, kept, refused, run, text, words_of_pages};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;
use wetout::pricing::Money;
use wetout::pricing::invoicing::{InvoiceSums, parts};
use wetout::pricing::stages::{StagesFrom, stages};
use wetout::pricing::terms::{StagePart, StageRule};

/// A demo job in `k`, its quote issued and accepted.
fn accepted(name: &str, job: &str) -> PathBuf {
    let desk = desk_of(name, job);
    accept(&desk);
    desk
}

fn accept(desk: &Path) {
    done(desk, &["issue", "JOB", "quote"]);
    done(desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "A. Householder"]);
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn pounds(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

/// The manifest of a frozen folder.
fn manifest(desk: &Path, folder: &str) -> Value {
    json(&fs::read_to_string(desk.join("k/issued").join(folder).join("manifest.json")).unwrap())
}

/// The words of a frozen document, its lines run together.
fn words(desk: &Path, file: &str) -> String {
    let all = words_of_pages(&desk.join("k/issued").join(file)).join(" ");
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the register says of the job: state, what is next, when, what was paid.
fn row(desk: &Path, today: &str) -> [String; 4] {
    let list = json(&done(desk, &["list", "JOB", "--json", "--today", today]));
    let job = &list["jobs"][0];
    ["state", "next", "due", "paid"].map(|key| job[key].as_str().unwrap_or("none").to_owned())
}

fn account(desk: &Path) -> Value {
    json(&done(desk, &["account", "JOB", "--json", "--today", "2027-03-01"]))
}

/// The price of the job as accepted.
fn price(desk: &Path) -> Value {
    let job = desk.join("k/issued/26-041-A-accepted/accepted.yaml");
    json(&done(desk, &["price", job.to_str().unwrap(), "--json"]))
}

// ---- The whole deal -----------------------------------------------------------------------------------------------------

#[test]
fn the_kitchen_is_played_from_accepted_to_paid_and_the_register_tells_each_step() {
    let desk = accepted("deal-kitchen", "kitchen-extension");
    let (total, stage) = (pounds(&price(&desk)["total"]), |n: usize| pounds(&price(&desk)["stages"][n]["amount"]));
    let (first, second) = (stage(0), stage(1));
    assert_eq!(first + second, total);
    let row_is = |today: &str, state: &str, next: &str, due: &str, paid: &str| {
        assert_eq!(row(&desk, today), [state, next, due, paid].map(str::to_owned), "on {today}");
    };
    row_is("2026-12-03", "accepted", "send the invoice for stage 1", "2026-12-02", "none");
    let said = done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    assert!(said.contains("request for payment 26-041-INV-1"), "asked for before any work: {said}");
    row_is("2026-12-03", "invoiced", &format!("{first} to be paid for 26-041-INV-1"), "2026-12-17", "0.00");
    row_is("2026-12-18", "invoiced", &format!("ask for {first}, overdue for 26-041-INV-1"), "2026-12-17", "0.00");
    let said = done(&desk, &["receipt", "JOB", "26-041-INV-1", "--paid", "1000", "--on", "2026-12-18"]);
    let rest = (first - Decimal::from(1000)).to_string();
    assert!(said.contains(&format!("a part: {rest} of 26-041-INV-1 is still to be paid")), "{said}");
    // Regulation 14 wants the extent of what is paid for; of a part of a request it is told in pounds.
    let part = words(&desk, "26-041-receipt-1/receipt.pdf");
    let extent = total.to_string();
    let extent = format!("£1,000.00 of the price, £{},{}", &extent[..extent.len() - 6], &extent[extent.len() - 6..]);
    assert!(part.contains(&extent) && !part.contains("% of the price"), "{extent}: {part}");
    let said = done(&desk, &["receipt", "JOB", "1", "--paid", &rest, "--on", "2026-12-19", "--by", "cheque"]);
    assert!(said.contains("26-041-INV-1 is paid") && said.contains("invoice for VAT"), "{said}");
    row_is("2026-12-19", "invoiced", "issue the order and send it", "2027-01-08", &first.to_string());
    done(&desk, &["issue", "JOB", "order"]);
    done(&desk, &["issue", "JOB", "method"]);
    row_is("2027-01-10", "invoiced", "begin on site", "2027-01-18", &first.to_string());
    let [_, next, ended, _] = row(&desk, "2027-01-19");
    assert_eq!(next, "send the invoice for stage 2");
    assert!(ended.as_str() > "2027-01-18", "{ended}");
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    assert!(said.contains("VAT invoice 26-041-INV-2") && said.contains("left to be invoiced: 0.00"), "{said}");
    row_is("2027-01-23", "invoiced", "hand the roof over", &ended, &first.to_string());
    done(&desk, &["receipt", "JOB", "2", "--paid", &second.to_string(), "--on", "2027-02-01"]);
    row_is("2027-03-01", "paid", "hand the roof over", &ended, &total.to_string());
    // What HMRC is owed: the two receipts for the request, and the invoice; together the accepted VAT to the penny.
    let sums = |folder: &str, holds: &str| manifest(&desk, folder)[holds]["sums"].clone();
    let taxed =
        [sums("26-041-receipt-1", "paid"), sums("26-041-receipt-2", "paid"), sums("26-041-invoice-2", "invoiced")];
    for (key, all) in
        [("net", &price(&desk)["net"]), ("vat", &price(&desk)["vat"][0]["vat"]), ("total", &price(&desk)["total"])]
    {
        assert_eq!(taxed.iter().map(|s| pounds(&s[key])).sum::<Decimal>(), pounds(all), "{key}");
    }
    let account = account(&desk);
    assert_eq!((pounds(&account["balance"]), pounds(&account["left_to_invoice"])), (Decimal::ZERO, Decimal::ZERO));
    assert_eq!(account["entries"].as_array().unwrap().len(), 5);
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 8, "{checked}");
}

/// Every stage of the garage, invoiced and paid in turn; what each invoice says of those before it and of what is left.
/// What is to be undone after a withdrawal is what was done: nothing where nothing was paid and ordered. 14 days to pay back:
/// regulation 34(4) and (5) of the Consumer Contracts Regulations 2013, SI 2013/3134.
#[test]
fn a_withdrawn_job_says_what_is_to_be_paid_back_and_stopped() {
    let withdrawn = |name: &str, steps: &[&[&str]]| {
        let desk = accepted(name, "kitchen-extension");
        steps.iter().for_each(|step| drop(done(&desk, step)));
        done(&desk, &["withdraw", "JOB", "--on", "2026-12-12"]);
        row(&desk, "2026-12-13")
    };
    let invoice = ["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"];
    let receipt = ["receipt", "JOB", "1", "--paid", "500.00", "--on", "2026-12-09"];
    let order = ["issue", "JOB", "order"];
    assert_eq!(withdrawn("withdrawn", &[]), ["withdrawn", "nothing", "none", "none"]);
    assert_eq!(withdrawn("withdrawn-asked", &[&invoice]), ["withdrawn", "nothing", "none", "0.00"]);
    let both = withdrawn("withdrawn-paid", &[&invoice, &receipt, &order]);
    assert_eq!(both, ["withdrawn", "pay back 500.00, and stop the order", "2026-12-26", "500.00"]);
}

#[test]
fn the_garage_is_invoiced_stage_by_stage() {
    let desk = accepted("deal-garage", "garage-utility");
    let (reference, stages) = {
        let account = account(&desk);
        let reference = account["reference"].as_str().unwrap().to_owned();
        let job = desk.join(format!("k/issued/{reference}-A-accepted/accepted.yaml"));
        let price = json(&done(&desk, &["price", job.to_str().unwrap(), "--json"]));
        (reference, price["stages"].as_array().unwrap().clone())
    };
    let mut left: Decimal = stages.iter().map(|s| pounds(&s["amount"])).sum();
    for (n, stage) in (1..).zip(&stages) {
        let amount = pounds(&stage["amount"]);
        let on = format!("2027-05-{:02}", n * 2);
        done(&desk, &["invoice", "JOB", "--stage", &n.to_string(), "--on", &on]);
        left -= amount;
        let kept = manifest(&desk, &format!("{reference}-invoice-{n}"))["invoiced"].clone();
        assert_eq!((pounds(&kept["sums"]["total"]), pounds(&kept["left"])), (amount, left));
        assert_eq!(kept["number"], format!("{reference}-INV-{n}"));
        let page = words(&desk, &format!("{reference}-invoice-{n}/invoice.pdf"));
        for before in 1..n {
            assert!(page.contains(&format!("Asked for before: {reference}-INV-{before}")), "{page}");
        }
        done(&desk, &["receipt", "JOB", &n.to_string(), "--paid", &amount.to_string(), "--on", &on]);
    }
    assert_eq!((left, row(&desk, "2027-06-01")[0].as_str()), (Decimal::ZERO, "paid"));
}

/// What the firm changes in its stages and prices after the acceptance changes no deal that was made.
#[test]
fn a_deal_is_invoiced_as_it_was_accepted() {
    let desk = accepted("deal-fixed", "kitchen-extension");
    let first = pounds(&price(&desk)["stages"][0]["amount"]);
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    fs::write(desk.join("firm.yaml"), firm.replace("part: 25 %", "part: 60 %").replace("00000000}", "00000001}"))
        .unwrap();
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    assert_eq!(pounds(&manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"]["total"]), first);
    assert!(words(&desk, "26-041-invoice-1/invoice.pdf").contains("00000001"), "the account is today's");
    assert!(
        done(&desk, &["issue", "--check", "JOB"]).contains("26-041-invoice-1: as issued, and made again byte for byte")
    );
}

// ---- What an invoice must show --------------------------------------------------------------------------------------------

/// The particulars of an invoice for VAT: VAT Regulations 1995 (SI 1995/2518), regulation 14(1), as revised and as read at
/// legislation.gov.uk; the same list stands in VAT Notice 700, section 16.3 (from memory). No cash discount is offered (j), no
/// margin scheme applies (n).
#[test]
fn an_invoice_of_a_registered_firm_shows_what_the_law_wants() {
    let desk = accepted("invoice-law", "kitchen-extension");
    done(
        &desk,
        &[
            "invoice",
            "JOB",
            "--stage",
            "2",
            "--on",
            "2027-01-25",
            "--tax-point",
            "2027-01-22",
            "--even-so",
            "no deposit",
        ],
    );
    let page = words(&desk, "26-041-invoice-1/invoice.pdf");
    let sums = manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"].clone();
    let printed = |key: &str| {
        let plain = sums[key].as_str().unwrap();
        let (thousands, rest) = plain.split_at(plain.len() - 6);
        format!("£{thousands}{}{rest}", if thousands.is_empty() { "" } else { "," })
    };
    let vat = pounds(&sums["vat"]);
    assert!((pounds(&sums["net"]) * Decimal::new(20, 2) - vat).abs() <= Decimal::new(1, 2), "{sums}");
    let exact = (pounds(&sums["net"]) * Decimal::new(20, 2)).round_dp(2);
    let rounded = if exact == vat { "" } else { ", rounded so that all payments come to the price" };
    for (particular, shown) in [
        ("a: a sequential number", "26-041-INV-1".to_owned()),
        ("b: the time of the supply", "Tax point 22 January 2027".to_owned()),
        ("c: the date of issue", "Date 25 January 2027".to_owned()),
        ("d: name of the supplier", "Harrow & Teal Flat Roofs".to_owned()),
        ("d: address of the supplier", "Unit 3 Example Yard, Mill Lane, Anytown, ZZ9 9ZZ".to_owned()),
        ("d: registration number of the supplier", "GB 000 0000 00".to_owned()),
        ("e: name of the customer", "Mrs R. Okafor".to_owned()),
        ("e: address of the customer", "14 Sallow Close".to_owned()),
        ("g: description", "Glass-fibre flat roof, Kitchen extension, at 14 Sallow Close".to_owned()),
        ("h: extent of the services", "75% of the price".to_owned()),
        ("h: rate of VAT", "20%".to_owned()),
        ("h, i: amount without VAT", printed("net")),
        ("i: total without VAT", format!("Total without VAT {}", printed("net"))),
        ("l: total of VAT in sterling", format!("VAT at 20% on {}{rounded} £{vat}", printed("net"))),
        ("the total to pay", printed("total")),
    ] {
        assert!(page.contains(&shown), "{particular}: {shown} is not in {page}");
    }
}

#[test]
fn what_is_open_of_the_stage_before_is_told_on_the_next_invoice() {
    let desk = accepted("invoice-open", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let total = pounds(&manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"]["total"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "100", "--on", "2026-12-09"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-20"]);
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    let open = total - Decimal::ONE_HUNDRED;
    let told = page.split("Still open of what was asked for before").nth(1).unwrap_or_else(|| panic!("{page}"));
    let told = told.trim_start().trim_start_matches('£').replace(',', "");
    assert!(told.starts_with(&open.to_string()), "{open}: {told}");
    // The sum that is owed in all, and since when a part of it is overdue.
    let all = open + pounds(&manifest(&desk, "26-041-invoice-2")["invoiced"]["sums"]["total"]);
    let beside = page.replace(',', "");
    let beside = beside.split("In all you owe us £").nth(1).unwrap_or_else(|| panic!("{page}"));
    let told = format!("{all}: £{open} of what we asked for before was due on 17 December 2026.");
    assert!(beside.starts_with(&told), "{told}: {beside}");
    assert!(!words(&desk, "26-041-invoice-1/invoice.pdf").contains("In all you owe"), "nothing was asked for before");
    // The law wants the day of issue and the tax point on an invoice for VAT; a receipt has the day on which it is written too.
    assert!(page.contains("Date, tax point 20 January 2027"), "{page}");
    let receipt = words(&desk, "26-041-receipt-1/receipt.pdf");
    assert!(receipt.contains("Date 9 December 2026") && receipt.contains("Tax point 9 December 2026"), "{receipt}");
    done(&desk, &["receipt", "JOB", "1", "--paid", "72.65", "--on", "2027-01-21", "--dated", "2027-01-23"]);
    let receipt = words(&desk, "26-041-receipt-2/receipt.pdf");
    for shown in ["Date 23 January 2027", "Paid on 21 January 2027", "Tax point 21 January 2027"] {
        assert!(receipt.contains(shown), "{shown}: {receipt}");
    }
    let early = ["receipt", "JOB", "1", "--paid", "50", "--on", "2027-01-25", "--dated", "2027-01-23"];
    assert!(refused(&desk, &early, 2).contains("a receipt of 2027-01-23 cannot tell of a payment of 2027-01-25"));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert!(checked.contains("26-041-receipt-2: as issued, and made again byte for byte"), "{checked}");
}

/// HMRC manual VATTOS9165, as read: a request for payment makes no tax point "provided it is not a VAT invoice", which is said
/// by marking it so. The receipt then shows what regulation 14 wants, with the day of the payment as the tax point.
#[test]
fn what_is_asked_for_in_advance_is_no_invoice_for_vat_and_its_receipt_is_one() {
    let desk = accepted("invoice-request", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let page = words(&desk, "26-041-invoice-1/invoice.pdf");
    assert_eq!(page.matches("This is not a VAT invoice").count(), 1, "{page}");
    assert!(!page.contains("GB 000 0000 00") && !page.contains("VAT at 20%"), "{page}");
    let total = pounds(&manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"]["total"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", &(total + Decimal::TEN).to_string(), "--on", "2026-12-09"]);
    let page = words(&desk, "26-041-receipt-1/receipt.pdf");
    let paid = manifest(&desk, "26-041-receipt-1")["paid"].clone();
    for shown in
        ["Receipt and VAT invoice", "26-041-REC-1", "GB 000 0000 00", "Tax point 9 December 2026", "VAT at 20% on"]
    {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(page.contains("£10.00 of this payment is more than 26-041-INV-1 came to"), "{page}");
    assert_eq!((pounds(&paid["over"]), pounds(&paid["sums"]["total"])), (Decimal::TEN, total));
    // A firm that wants an invoice for VAT all the same has one.
    let desk = accepted("invoice-advance", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03", "--vat-invoice"]);
    assert!(words(&desk, "26-041-invoice-1/invoice.pdf").contains("VAT at 20% on"));
}

#[test]
fn a_firm_that_is_not_registered_shows_no_vat() {
    let desk = desk_of("invoice-unregistered", "kitchen-extension");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let firm = firm.replace("vat: {registered: yes", "vat: {registered: no").replace("  vat_number: GB", "  # GB");
    fs::write(desk.join("firm.yaml"), firm).unwrap();
    accept(&desk);
    let refusal = refused(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03", "--vat-invoice"], 2);
    assert!(refusal.contains("not registered for VAT issues no invoice for VAT"), "{refusal}");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let page = words(&desk, "26-041-invoice-1/invoice.pdf");
    assert!(page.contains("Invoice 26-041-INV-1") && page.contains("is not registered for VAT"), "{page}");
    assert!(!page.contains("VAT number") && !page.contains("VAT at") && !page.contains("VAT included"), "{page}");
    let total = manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"]["total"].clone();
    done(&desk, &["receipt", "JOB", "1", "--paid", total.as_str().unwrap(), "--on", "2026-12-09"]);
    assert!(!words(&desk, "26-041-receipt-1/receipt.pdf").contains("VAT at"));
}

/// HMRC manual VATREVCON37100, as read: the invoice holds the reference "reverse charge", makes clear that the customer is to
/// account for the VAT, and states its amount, "but [it] should not be included in the amount shown as total VAT charged". 10,000
/// at 20 % leave 2,000 to the customer: a published example (cloudbookkeeper.co.uk, "Domestic reverse charge").
#[test]
fn a_customer_that_accounts_for_the_vat_is_charged_none_and_told_how_much_it_is() {
    let desk = desk_of("invoice-reverse", "kitchen-extension");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let job = job.replace("  phone: 01632 960182", "  phone: 01632 960182\n  reverse_charge: yes");
    fs::write(desk.join("k/job.yaml"), &job).unwrap();
    assert!(refused(&desk, &["price", "JOB"], 1).contains("its number is missing"));
    let job = job.replace("reverse_charge: yes", "reverse_charge: yes\n  vat_number: GB 999 9999 73");
    fs::write(desk.join("k/job.yaml"), format!("{job}\nprice: {{agreed: 10000.00}}\n")).unwrap();
    accept(&desk);
    let quote = words(&desk, "26-041-A/quote.pdf");
    for shown in [
        "Reverse charge: customer to pay the VAT to HMRC",
        "£2,000.00, for you to account for to HMRC",
        "GB 999 9999 73",
    ] {
        assert!(quote.contains(shown), "{shown}: {quote}");
    }
    assert!(!quote.contains("VAT included"), "{quote}");
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-25", "--even-so", "no deposit"]);
    let sums = manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"].clone();
    let expected = [("net", 750_000), ("vat", 0), ("vat_by_customer", 150_000), ("total", 750_000)];
    assert!(expected.iter().all(|(key, pence)| pounds(&sums[key]) == Decimal::new(*pence, 2)), "{sums}");
    let page = words(&desk, "26-041-invoice-1/invoice.pdf");
    for shown in [
        "Reverse charge: customer to pay the VAT to HMRC",
        "VAT at 20%, for you to account for to HMRC: £1,500.00",
        "Total VAT charged £0.00",
        "Their VAT number GB 999 9999 73",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-25"]);
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let firm = firm.replace("vat: {registered: yes", "vat: {registered: no").replace("  vat_number: GB", "  # GB");
    fs::write(desk.join("firm.yaml"), firm).unwrap();
    let said = refused(&desk, &["price", "JOB"], 1);
    assert!(
        said.contains("the firm is not registered for VAT, so there is none that the customer could account for"),
        "{said}"
    );
}

// ---- Numbers --------------------------------------------------------------------------------------------------------------

#[test]
fn a_draft_takes_no_number_and_a_stage_is_invoiced_once() {
    let desk = accepted("invoice-once", "kitchen-extension");
    let out = desk.join("out");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03", "--draft", "--out", out.to_str().unwrap()]);
    let draft = words_of_pages(&out.join("invoice.pdf")).join(" ");
    assert!(
        draft.contains("Draft, not issued") && draft.contains("Draft, no number") && !draft.contains("INV"),
        "{draft}"
    );
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
    for (words, why) in [
        (&["invoice", "JOB", "--on", "2026-12-03"][..], "say which stage is invoiced"),
        (&["invoice", "JOB", "--stage", "3", "--on", "2026-12-03"], "there is no stage 3"),
        (&["invoice", "JOB", "--stage", "0", "--on", "2026-12-03"], "there is no stage 0"),
        (&["invoice", "JOB", "--stage", "1", "--on", "2026-12-01"], "accepted only on 2026-12-02"),
    ] {
        let said = refused(&desk, words, 2);
        assert!(said.contains(why), "{words:?}: {said}");
    }
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let again = refused(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-04"], 2);
    assert!(again.contains("stage 1 was invoiced on 2026-12-03 as 26-041-INV-1"), "{again}");
    let earlier = refused(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2026-12-02"], 2);
    assert!(earlier.contains("numbers follow one another in time"), "{earlier}");
    for file in ["invoice.pdf", "manifest.json", "inputs/firm/firm.yaml", "inputs/job/accepted.yaml"] {
        let place = desk.join("k/issued/26-041-invoice-1").join(file);
        assert!(fs::metadata(place).unwrap().permissions().readonly(), "{file}");
    }
    let desk = desk_of("invoice-too-early", "kitchen-extension");
    assert!(refused(&desk, &["invoice", "JOB", "--stage", "1"], 2).contains("no quote of 26-041 is accepted"));
}

/// Deposit £1,572.65, of which £1,000 is paid, then the second stage, taken back before anything of it is paid. Its VAT of
/// £786.32 is 20% of £3,931.62: all payments come to the price without a penny more.
#[test]
fn a_credit_note_says_what_is_still_open_and_that_nothing_is_paid_back() {
    let desk = accepted("invoice-credit-open", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "1000", "--on", "2026-12-09"]);
    // A request that is not paid bears no VAT yet: neither on the invoice that comes after it, nor for HMRC.
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    assert!(
        said.contains("572.65 of 26-041-INV-1, a request for payment, is not paid: VAT on it is not in this invoice and falls due when it is paid\n"),
        "{said}"
    );
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    for shown in [
        "VAT on what we asked for in advance",
        "£572.65 of 26-041-INV-1 is still to be paid. That was a request for payment",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    done(&desk, &["invoice", "JOB", "--credit", "26-041-INV-2", "--because", "too early", "--on", "2027-01-22"]);
    let page = words(&desk, "26-041-invoice-3/credit.pdf");
    assert!(!page.contains("VAT on what we asked for in advance"), "{page}");
    for shown in [
        "Nothing is paid back: it was not paid.",
        "Still open of what was asked for before £572.65",
        "VAT at 20% on £3,931.62 £786.32",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
}

#[test]
fn a_credited_stage_is_invoiced_anew_under_the_next_number() {
    let desk = accepted("invoice-credit", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22", "--even-so", "no deposit"]);
    let invoiced = manifest(&desk, "26-041-invoice-1")["invoiced"].clone();
    let credit = ["invoice", "JOB", "--credit", "26-041-INV-1", "--because", "wrong address", "--on", "2027-01-23"];
    let said = done(&desk, &credit);
    assert!(said.contains("credit note 26-041-INV-2: 26-041-INV-1 of"), "{said}");
    let credited = manifest(&desk, "26-041-invoice-2")["invoiced"].clone();
    assert_eq!(credited["sums"], invoiced["sums"]);
    let page = words(&desk, "26-041-invoice-2/credit.pdf");
    assert!(!page.contains("No longer asked for"), "{page}");
    for shown in [
        "Credit note 26-041-INV-2",
        "cancels 26-041-INV-1 of 22 January 2027 in full. The reason: Wrong address. A new invoice follows for what is then to be paid.",
        "What is credited",
        "VAT at 20% on",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    assert!(refused(&desk, &credit, 2).contains("26-041-INV-1 was credited on 2027-01-23 by 26-041-INV-2"));
    assert!(
        refused(&desk, &["receipt", "JOB", "1", "--paid", "5", "--on", "2027-01-24"], 2).contains("was credited by")
    );
    assert_eq!(pounds(&account(&desk)["balance"]), Decimal::ZERO);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-23", "--even-so", "no deposit"]);
    let anew = manifest(&desk, "26-041-invoice-3")["invoiced"].clone();
    assert_eq!((&anew["sums"], anew["number"].as_str()), (&invoiced["sums"], Some("26-041-INV-3")));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 4, "{checked}");
}

/// Nothing was ordered and nothing is handed over: what the customer owes comes first all the same.
#[test]
fn what_is_overdue_is_told_before_all_else_with_its_sum() {
    let desk = accepted("list-overdue", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let of_one = "ask for 1572.65, overdue for 26-041-INV-1";
    assert_eq!(row(&desk, "2027-01-20")[1..3], [of_one, "2026-12-17"].map(str::to_owned));
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    let of_both = "ask for 6290.59, overdue for 26-041-INV-1 and 26-041-INV-2";
    assert_eq!(row(&desk, "2027-03-01")[1..3], [of_both, "2026-12-17"].map(str::to_owned));
    done(&desk, &["receipt", "JOB", "1", "--paid", "6290.59", "--on", "2027-03-02"]);
    let [state, next, ..] = row(&desk, "2027-03-03");
    assert_eq!((state.as_str(), next.as_str()), ("paid", "hand the roof over"), "no guarantee is given yet");
}

#[test]
fn a_payment_is_recorded_once() {
    let desk = accepted("receipt-once", "kitchen-extension");
    let none = refused(&desk, &["receipt", "JOB", "1", "--paid", "5", "--on", "2026-12-04"], 2);
    assert!(none.contains("nothing of 26-041 is invoiced yet"), "{none}");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let paid = ["receipt", "JOB", "1", "--paid", "500.00", "--on", "2026-12-04"];
    done(&desk, &paid);
    assert!(refused(&desk, &paid, 2).contains("recorded as 26-041-REC-1 already"));
    done(&desk, &[&paid[..], &["--again"]].concat());
    assert!(
        refused(&desk, &["receipt", "JOB", "7", "--paid", "5", "--on", "2026-12-04"], 2).contains("has no invoice 7")
    );
    assert!(
        refused(&desk, &["receipt", "JOB", "1", "--paid", "5", "--on", "2026-12-01"], 2).contains("later than that")
    );
    for amount in ["0", "-5", "1e3", "12.345", "ten", "99999999"] {
        let said = refused(&desk, &["receipt", "JOB", "1", &format!("--paid={amount}"), "--on", "2026-12-05"], 2);
        assert!(
            said.contains("write the amount in pounds") || said.contains("a payment lies between"),
            "{amount}: {said}"
        );
    }
    let account = account(&desk);
    assert_eq!(pounds(&account["paid"]), Decimal::from(1000));
    assert_eq!(pounds(&account["overdue"]), pounds(&account["balance"]));
    let out = desk.join("out");
    let told = done(&desk, &["account", "JOB", "--today", "2026-12-05", "--out", out.to_str().unwrap()]);
    assert!(told.contains("to be paid by 2026-12-17\n") && told.contains("still to be invoiced"), "{told}");
    let page = words_of_pages(&out.join("account.pdf")).join(" ");
    assert!(page.contains("26-041-REC-2, paid for 26-041-INV-1"), "{page}");
    assert!(page.contains("Sort code") && page.contains("Account number"), "what is owed has an account: {page}");
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        page.contains("Reference 26-041-INV-1") && page.contains("Please pay with the reference 26-041-INV-1"),
        "{page}"
    );
}

/// What the schemas of OASIS say of the form is tried in `tests/outside/ubl.py`.
#[test]
fn an_invoice_goes_to_a_computer_too_and_a_request_does_not() {
    let desk = accepted("invoice-ubl", "kitchen-extension");
    let request = refused(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03", "--ubl"], 2);
    assert!(request.contains("a request for payment is no invoice"), "{request}");
    refused(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-19", "--ubl", "--draft"], 2);
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
    let said = done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-19", "--ubl"]);
    assert!(said.contains("26-041-invoice-1/invoice.xml"), "{said}");
    done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "a < b", "--on", "2027-01-19", "--ubl"]);
    let issued = desk.join("k/issued");
    let xml = |file: &str| fs::read_to_string(issued.join(file)).unwrap();
    let (invoice, credit) = (xml("26-041-invoice-1/invoice.xml"), xml("26-041-invoice-2/credit.xml"));
    let total = manifest(&desk, "26-041-invoice-1")["invoiced"]["sums"]["total"].as_str().unwrap().to_owned();
    assert!(
        invoice.contains(&format!("<cbc:PayableAmount currencyID=\"GBP\">{total}</cbc:PayableAmount>")),
        "{invoice}"
    );
    assert!(credit.contains("<CreditNote ") && credit.contains("a &lt; b"), "{credit}");
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 3, "{checked}");
    // Without it there is none.
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22", "--even-so", "no deposit"]);
    assert!(!issued.join("26-041-invoice-3/invoice.xml").exists());
}

fn begun(desk: &Path, words: &[&str]) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.arg(words[0]).arg(desk.join("k")).args(&words[1..]);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

#[test]
fn runs_at_once_take_numbers_that_follow_one_another_and_no_stage_twice() {
    let desk = accepted("invoice-at-once", "kitchen-extension");
    let stages = ["1", "2", "1", "2"]
        .map(|n| begun(&desk, &["invoice", "--stage", n, "--on", "2026-12-03", "--even-so", "both"]));
    let good = stages.into_iter().map(|mut run| run.wait().unwrap().success()).filter(|good| *good).count();
    assert_eq!(good, 2);
    let numbers: Vec<String> = kept(&desk).into_iter().filter(|name| name.contains("invoice")).collect();
    assert_eq!(numbers, ["26-041-invoice-1", "26-041-invoice-2"]);
    let paid =
        [1, 2, 3].map(|pence| begun(&desk, &["receipt", "1", "--paid", &format!("1.0{pence}"), "--on", "2026-12-04"]));
    paid.into_iter().for_each(|mut run| assert!(run.wait().unwrap().success()));
    assert_eq!(kept(&desk).iter().filter(|name| name.contains("receipt")).count(), 3);
    let account = account(&desk);
    assert_eq!(pounds(&account["paid"]), Decimal::new(306, 2));
}

#[test]
fn a_run_that_is_killed_leaves_no_half_invoice_and_no_gap() {
    let desk = accepted("invoice-killed", "kitchen-extension");
    for n in 0..12 {
        let mut run = begun(&desk, &["invoice", "--stage", "1", "--on", "2026-12-03"]);
        thread::sleep(Duration::from_millis(20 + 60 * n));
        let _ = run.kill();
        run.wait().unwrap();
    }
    let _ = run(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2026-12-03"]);
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted", "26-041-invoice-1", "26-041-invoice-2"]);
    assert_eq!(done(&desk, &["issue", "--check", "JOB"]).matches("made again byte for byte").count(), 3);
}

#[test]
fn an_invoice_that_was_altered_or_taken_away_is_told() {
    let desk = accepted("invoice-altered", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2026-12-03"]);
    let issued = desk.join("k/issued");
    let pdf = issued.join("26-041-invoice-2/invoice.pdf");
    let was = fs::read(&pdf).unwrap();
    fs::remove_file(&pdf).unwrap();
    fs::write(&pdf, [was, b"%".to_vec()].concat()).unwrap();
    fs::rename(issued.join("26-041-invoice-1"), desk.join("elsewhere")).unwrap();
    let output = run(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(
        said.contains("invoice.pdf was altered") && said.contains("26-041-invoice-1 was there when this was issued"),
        "{said}"
    );
}

/// 6,290.59 in 25 %, a third and the rest. 3,000.00 comes off after the first payment of 1,572.65: of the 3,290.59 that is then
/// agreed 1,717.94 is left, which is less than the second stage and all of the third.
#[test]
fn what_comes_off_the_price_is_taken_from_the_stages_to_come_from_the_last_backwards() {
    let desk = desk_of("invoice-made-smaller", "kitchen-extension");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let rest = "    - {when: On completion, part: rest}";
    let third = format!("    - {{when: When the laminate is on, part: 33.33 %}}\n{rest}");
    fs::write(desk.join("firm.yaml"), firm.replace(rest, &third)).unwrap();
    accept(&desk);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "1572.65", "--on", "2026-12-09"]);
    let less = desk.join("less.yaml");
    fs::write(&less, "found:\n  - {what: The back half stays as it is, omit: 2500.00}\n").unwrap();
    done(&desk, &["variation", "JOB", less.to_str().unwrap(), "--on", "2027-01-18"]);
    done(&desk, &["variation", "JOB", "--agreed", "1", "--on", "2027-01-18", "--name", "R. Okafor"]);
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-20"]);
    for shown in ["1717.94 for stage 2 of 3", "with variation order 26-041-VAR-1 of -3000.00", "invoiced: 0.00"] {
        assert!(said.contains(shown), "{shown}: {said}");
    }
    let said = refused(&desk, &["invoice", "JOB", "--stage", "3", "--on", "2027-01-22"], 2);
    assert!(said.contains("all of the 3290.59 that is agreed was asked for: nothing is left"), "{said}");
    done(&desk, &["receipt", "JOB", "2", "--paid", "1717.94", "--on", "2027-01-25"]);
    assert_eq!(row(&desk, "2027-01-26")[..2], ["paid", "hand the roof over"].map(str::to_owned));
}

// ---- Money that goes over ----------------------------------------------------------------------------------------------------

/// What of VAT stands on the receipts and invoices of these folders.
fn vat_on(desk: &Path, folders: &[(&str, &str)]) -> Decimal {
    let one = |(folder, key): &(&str, &str)| {
        let record = manifest(desk, folder)[*key].clone();
        let also = record["also"].as_array().cloned().unwrap_or_default();
        also.iter().map(|also| pounds(&also["sums"]["vat"])).sum::<Decimal>() + pounds(&record["sums"]["vat"])
    };
    folders.iter().map(one).sum()
}

/// Both stages, 1,572.65 and 4,717.94, are asked for in advance and paid in one: the receipt is the invoice for the VAT of both,
/// which is a sixth of the price of 6,290.59.
#[test]
fn a_payment_that_pays_two_requests_bears_the_vat_of_both() {
    let desk = accepted("over-two-requests", "kitchen-extension");
    for stage in ["1", "2"] {
        done(&desk, &["invoice", "JOB", "--stage", stage, "--on", "2026-12-03"]);
    }
    let said = done(&desk, &["receipt", "JOB", "1", "--paid", "6000.00", "--on", "2026-12-10"]);
    assert!(
        said.contains("26-041-INV-1 is paid\na part: 290.59 of 26-041-INV-2 is still to be paid\n")
            && !said.contains("credit"),
        "{said}"
    );
    let page = words(&desk, "26-041-receipt-1/receipt.pdf");
    for shown in [
        "26-041-INV-1 is paid in full. £290.59 is still to be paid for 26-041-INV-2.",
        "26-041-INV-2 asked for £4,717.94",
        "Paid on 10 December 2026 − £4,427.35",
        "VAT at 20% on £5,000.00 £1,000.00",
        "26-041-INV-1 and 26-041-INV-2, the requests for it, were not VAT invoices",
        "Please pay the rest, £290.59, with the reference 26-041-INV-2.",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let over = done(&desk, &["receipt", "JOB", "2", "--paid", "290.59", "--on", "2026-12-11"]);
    assert!(over.contains("26-041-INV-2 is paid\n"), "{over}");
    let vat = vat_on(&desk, &[("26-041-receipt-1", "paid"), ("26-041-receipt-2", "paid")]);
    assert_eq!(vat, pounds(&price(&desk)["vat"][0]["vat"]));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 5, "{checked}");
}

/// 1,000 too much is paid in advance. What is asked for next takes it off, in every place where it says what is to be paid.
#[test]
fn what_stands_to_the_customers_credit_is_taken_off_what_is_asked_for_next() {
    let overpaid = |name: &str| {
        let desk = accepted(name, "kitchen-extension");
        done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
        done(&desk, &["receipt", "JOB", "1", "--paid", "2572.65", "--on", "2026-12-09"]);
        desk
    };
    let desk = overpaid("over-invoice");
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22", "--ubl"]);
    assert!(said.contains("1000.00 of it stood to the customer's credit: 3717.94 is to be paid\n"), "{said}");
    assert!(!said.contains("receipt"), "it is an invoice for VAT itself: {said}");
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    for shown in [
        "VAT included. £1,000.00 that stood to your credit is taken off.",
        "Total, VAT included £4,717.94",
        "To your credit, from what you have paid − £1,000.00",
        "To pay now £3,717.94",
        "Amount £3,717.94",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    let xml = fs::read_to_string(desk.join("k/issued/26-041-invoice-2/invoice.xml")).unwrap();
    assert!(xml.contains(">1000.00</cbc:PrepaidAmount>") && xml.contains(">3717.94</cbc:PayableAmount>"), "{xml}");
    done(&desk, &["mail", "JOB", "invoice", "--to", "a@home.example", "--today", "2027-01-22"]);
    let mail = fs::read_dir(desk.join("k/out")).unwrap().next().unwrap().unwrap().path();
    let mail = fs::read_to_string(mail).unwrap().replace("=\r\n", "");
    assert!(mail.contains("stood to your credit"), "{mail}");
    let told = done(&desk, &["account", "JOB", "--today", "2027-01-23", "--out", desk.join("o").to_str().unwrap()]);
    assert!(told.contains("open: 3717.94 of 26-041-INV-2"), "{told}");

    // A request has no VAT: the receipt for what pays it comes at once, and all together bear the VAT of the price.
    let desk = overpaid("over-request");
    let said = done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2026-12-10"]);
    assert!(said.contains("is set against 26-041-INV-2 on 2026-12-10: receipt 26-041-REC-2\n"), "{said}");
    let page = words(&desk, "26-041-invoice-2/invoice.pdf");
    assert!(
        page.contains("To pay now £3,717.94")
            && page.contains("For the £1,000.00 that stood to your credit we send it now."),
        "{page}"
    );
    let page = words(&desk, "26-041-receipt-2/receipt.pdf");
    for shown in [
        "Set against what we have asked for £1,000.00",
        "Tax point 10 December 2026",
        "VAT at 20% on £833.33 £166.67",
        "Paid by what stood to your credit",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
    done(&desk, &["receipt", "JOB", "2", "--paid", "3717.94", "--on", "2026-12-14"]);
    let papers = ["26-041-receipt-1", "26-041-receipt-2", "26-041-receipt-3"].map(|folder| (folder, "paid"));
    assert_eq!(vat_on(&desk, &papers), pounds(&price(&desk)["vat"][0]["vat"]));
    let account = account(&desk);
    assert_eq!((pounds(&account["balance"]), pounds(&account["paid"])), (Decimal::ZERO, Decimal::new(629_059, 2)));
    assert_eq!(account["entries"].as_array().unwrap().len(), 4, "no new money: {account}");
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("made again byte for byte").count(), 6, "{checked}");
}

/// The price is 6,290.59, and 1,572.65 of it is asked for.
#[test]
fn a_payment_that_is_hardly_meant_is_asked_about() {
    let desk = accepted("receipt-slip", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let pay = |sum: &str, on: &str| ["receipt", "JOB", "1", "--paid", sum, "--on", on].map(str::to_owned);
    let refused = |words: [String; 7]| refused(&desk, &words.each_ref().map(String::as_str), 2);
    let said = refused(pay("15465.80", "2026-12-10"));
    assert!(said.contains("15465.80 is more than the 6290.59 that is left to pay of the whole price"), "{said}");
    let said = refused(pay("1572.65", "2027-12-10"));
    assert!(said.contains("26-041-INV-1 was to be paid by 2026-12-17, long before that day"), "{said}");
    assert!(!kept(&desk).iter().any(|name| name.contains("receipt")));
    let words = pay("6290.60", "2026-12-10");
    let words = words.iter().map(String::as_str).chain(["--even-so", "a penny too much"]);
    done(&desk, &words.collect::<Vec<_>>());
    assert_eq!(manifest(&desk, "26-041-receipt-1")["paid"]["even_so"], "a penny too much");
}

/// 700 is paid for an invoice for VAT that is credited, and a request takes its place.
#[test]
fn what_was_paid_for_a_credited_invoice_has_its_vat_on_a_receipt_of_the_request_that_takes_its_place() {
    let desk = accepted("over-credited", "kitchen-extension");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03", "--vat-invoice"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "700", "--on", "2026-12-04"]);
    done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "not yet", "--on", "2026-12-05"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-05"]);
    assert_eq!(vat_on(&desk, &[("26-041-receipt-2", "paid")]), Decimal::new(11_667, 2));
    done(&desk, &["receipt", "JOB", "3", "--paid", "872.65", "--on", "2026-12-06"]);
    let of_both = vat_on(&desk, &[("26-041-receipt-2", "paid"), ("26-041-receipt-3", "paid")]);
    assert_eq!(of_both, pounds(&manifest(&desk, "26-041-invoice-3")["invoiced"]["sums"]["vat"]));
}

// ---- Pennies --------------------------------------------------------------------------------------------------------------

/// Numbers that look random, the same in every run (Knuth's linear congruential generator, MMIX).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// Any accepted price in any stages: net, VAT and total of the stages are those of the price, nothing is below nothing, and no
/// stage bears more than a penny and a half more or less of VAT than its amount would alone. So do receipts for parts of a stage.
#[test]
fn stages_and_part_payments_come_to_the_price_to_the_penny() {
    let mut dice = Dice(41);
    // Half a penny for each end of the stage, and half for the VAT of the whole.
    let most = Money::pounds(Decimal::new(15, 3));
    for _ in 0..20_000 {
        let net = Money::pence(dice.below(3_000_000) as i64 + 1);
        let rate = Decimal::from([0_u32, 5, 20][dice.below(3) as usize]);
        let vat = net.percent(rate).to_penny();
        let charged = dice.below(4) > 0;
        let (vat, by_customer) = if charged { (vat, Money::ZERO) } else { (Money::ZERO, vat) };
        let whole = InvoiceSums { net, vat, by_customer, total: net + vat };
        let count = dice.below(6) + 1;
        let rule = |part| StageRule { label: "x".into(), part, after: None };
        let mut rules: Vec<StageRule> =
            (1..count).map(|_| rule(StagePart::Percent(Decimal::new(dice.below(1900) as i64, 2)))).collect();
        rules.push(rule(StagePart::Remainder));
        let amounts: Vec<Money> =
            stages(whole.total, &rules, StagesFrom::Job).unwrap().into_iter().map(|stage| stage.amount).collect();
        let shares = parts(whole, &amounts);
        assert_eq!(shares.iter().copied().fold(InvoiceSums::default(), InvoiceSums::with), whole);
        for (share, amount) in shares.iter().zip(&amounts) {
            assert!(
                !share.is_below_nothing() && share.total == *amount && share.net + share.vat == share.total,
                "{share:?}"
            );
            let alone = Money::pounds(share.total.as_pounds() * rate / (Decimal::ONE_HUNDRED + rate));
            let off = share.vat - if charged { alone } else { Money::ZERO };
            assert!(off <= most && -off <= most, "{share:?} of {whole:?}");
            // Paid in three parts.
            let first = share.total.percent(Decimal::from(dice.below(101))).to_penny();
            let second = (share.total - first).percent(Decimal::from(dice.below(101))).to_penny();
            let paid = parts(*share, &[first, second, share.total - first - second]);
            assert_eq!(paid.into_iter().fold(InvoiceSums::default(), InvoiceSums::with), *share);
        }
    }
}
