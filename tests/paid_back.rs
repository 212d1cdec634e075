//! What goes back: a receipt that was recorded wrongly, money that is paid back, the VAT of an advance that is no longer asked for, and
//! the account of a job that was cancelled. Every paper has a number of its own, and what was sent stays as it was.

use crate::issued::{desk_of, done, fill, kept, refused, run, text, words_of_pages};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

/// The kitchen, accepted; its price of 6,290.59 is asked for in stages of 1,572.65 and 4,717.94.
fn accepted(name: &str) -> PathBuf {
    let desk = desk_of(name, "kitchen-extension");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    desk
}

/// The same, with so much paid of the first stage, which was asked for in advance.
fn paid(name: &str, sum: &str) -> PathBuf {
    let desk = accepted(name);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", sum, "--on", "2026-12-09"]);
    desk
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn pounds(value: &Value) -> Decimal {
    value.as_str().unwrap_or_else(|| panic!("{value}")).parse().unwrap()
}

fn pence(pence: i64) -> Decimal {
    Decimal::new(pence, 2)
}

fn account(desk: &Path) -> Value {
    json(&done(desk, &["account", "JOB", "--json", "--today", "2027-03-01"]))
}

/// What was paid, and what is owed.
fn paid_and_owed(desk: &Path) -> (Decimal, Decimal) {
    let account = account(desk);
    (pounds(&account["paid"]), pounds(&account["balance"]))
}

fn manifest(desk: &Path, folder: &str) -> Value {
    json(&fs::read_to_string(desk.join("k/issued").join(folder).join("manifest.json")).unwrap())
}

/// The VAT of all papers of the job: invoices and receipts that are one, less credit notes for either.
fn vat_of_all(desk: &Path) -> Decimal {
    let vat = |sums: &Value| pounds(&sums["vat"]);
    let one = |folder: String| {
        let manifest = manifest(desk, &folder);
        let (invoice, receipt, back) = (&manifest["invoiced"], &manifest["paid"], &manifest["back"]);
        let also = receipt["also"].as_array().cloned().unwrap_or_default();
        let credited = back["parts"].as_array().cloned().unwrap_or_default();
        let taxed = |paid: &Value| if paid["vat_invoice"] == true { vat(&paid["sums"]) } else { Decimal::ZERO };
        let sign = if invoice["credits"].is_null() { Decimal::ONE } else { -Decimal::ONE };
        let of_invoice = match invoice["form"].as_str() {
            Some("VAT invoice") => sign * vat(&invoice["sums"]),
            _ => Decimal::ZERO,
        };
        let received = taxed(receipt) + also.iter().map(taxed).sum::<Decimal>();
        of_invoice + received - credited.iter().map(taxed).sum::<Decimal>()
    };
    kept(desk).into_iter().filter(|name| !name.contains("-A")).map(one).sum()
}

fn words(desk: &Path, file: &str) -> String {
    let all = words_of_pages(&desk.join("k/issued").join(file)).join(" ");
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Takes a receipt back that was typed wrongly.
fn cancel(number: &str) -> [&str; 8] {
    ["receipt", "JOB", "--cancel", number, "--because", "typed wrongly", "--on", "2026-12-10"]
}

fn shows(page: &str, all: &[&str]) {
    for shown in all {
        assert!(page.contains(shown), "{shown}: {page}");
    }
}

/// What is next of the job, and when.
fn next(desk: &Path, today: &str) -> [String; 3] {
    let list = json(&done(desk, &["list", "JOB", "--json", "--today", today]));
    ["next", "due", "paid"].map(|key| list["jobs"][0][key].as_str().unwrap_or("none").to_owned())
}

fn all_is_made_again(desk: &Path, papers: usize) {
    let said = done(desk, &["issue", "--check", "JOB"]);
    assert_eq!(said.matches("made again byte for byte").count(), papers, "{said}");
}

/// 1,000.00 was typed for 100.00: the receipt, which is an invoice for VAT of 166.67, is credited under the next number.
#[test]
fn a_receipt_that_was_recorded_wrongly_is_taken_back_with_its_vat() {
    let desk = paid("back-slip", "1000.00");
    let before = fs::read(desk.join("k/issued/26-041-receipt-1/receipt.pdf")).unwrap();
    assert_eq!(vat_of_all(&desk), pence(16_667));
    let said = refused(&desk, &["receipt", "JOB", "--cancel", "1", "--on", "2026-12-10"], 2);
    assert!(said.contains("--because"), "{said}");
    let said = done(&desk, &cancel("1"));
    shows(
        &said,
        &[
            "took back 26-041-REC-1 as 26-041-REC-2: 1000.00 was not paid by it",
            "It is the credit note for its VAT of 166.67",
            "1572.65 of 26-041-INV-1 is still to be paid",
        ],
    );
    shows(
        &words(&desk, "26-041-receipt-2/paid-back.pdf"),
        &[
            "Receipt taken back and VAT credit note 26-041-REC-2",
            "Takes back 26-041-REC-1 of 9 December 2026",
            "26-041-REC-1 was written in error and holds no longer",
            "The reason: Typed wrongly.",
            "GB 000 0000 00",
            "VAT at 20% on £833.33 £166.67",
            "Still to be paid £1,572.65",
        ],
    );
    assert_eq!((paid_and_owed(&desk), vat_of_all(&desk)), ((Decimal::ZERO, pence(157_265)), Decimal::ZERO));
    let twice = refused(&desk, &cancel("REC-1"), 2);
    assert!(twice.contains("has no receipt REC-1; there is 26-041-REC-1 and 26-041-REC-2"), "{twice}");
    let twice = refused(&desk, &cancel("26-041-rec-1"), 2);
    assert!(twice.contains("26-041-REC-1 was taken back on 2026-12-10 by 26-041-REC-2"), "{twice}");
    // The right sum of the very same day: nothing of it is recorded any more.
    done(&desk, &["receipt", "JOB", "1", "--paid", "100.00", "--on", "2026-12-09"]);
    assert_eq!((paid_and_owed(&desk), vat_of_all(&desk)), ((pence(10_000), pence(147_265)), pence(1_667)));
    let kinds: Vec<String> =
        account(&desk)["entries"].as_array().unwrap().iter().map(|e| e["kind"].to_string()).collect();
    assert_eq!(kinds, ["\"invoice\"", "\"payment\"", "\"payment\"", "\"taken back\""]);
    let out = desk.join("o");
    done(&desk, &["account", "JOB", "--today", "2026-12-12", "--out", out.to_str().unwrap()]);
    let page = words_of_pages(&out.join("account.pdf")).join(" ");
    assert!(page.contains("26-041-REC-2, takes back 26-041-REC-1"), "{page}");
    done(&desk, &["mail", "JOB", "receipt", "--number", "2", "--to", "a@home.example", "--today", "2026-12-10"]);
    let mail = fs::read_to_string(desk.join("k/out/26-041-receipt-2.eml")).unwrap();
    assert!(mail.contains("VAT credit note 26-041-REC-2"), "{mail}");
    // What was sent stays as it was: the quote, the request, two receipts and what takes one back.
    assert_eq!(fs::read(desk.join("k/issued/26-041-receipt-1/receipt.pdf")).unwrap(), before);
    all_is_made_again(&desk, 5);
}

/// 100.00 too much: no VAT is on it, and none is credited.
#[test]
fn what_stands_to_a_customers_credit_is_paid_back_and_no_more() {
    let desk = paid("back-over", "1672.65");
    let vat = vat_of_all(&desk);
    let more = refused(&desk, &["receipt", "JOB", "--back", "100.01", "--on", "2026-12-11"], 2);
    assert!(more.contains("100.00 stands to the customer's credit, and no more can be paid back"), "{more}");
    let said = done(&desk, &["receipt", "JOB", "--back", "40.00", "--on", "2026-12-11", "--by", "cheque"]);
    shows(
        &said,
        &["recorded 40.00 as paid back on 2026-12-11 as 26-041-REC-2", "60.00 stands to the customer's credit"],
    );
    let same = refused(&desk, &["receipt", "JOB", "--back", "40.00", "--on", "2026-12-11"], 2);
    assert!(same.contains("recorded as 26-041-REC-2 already"), "{same}");
    done(&desk, &["receipt", "JOB", "--back", "60.00", "--on", "2026-12-12"]);
    shows(
        &words(&desk, "26-041-receipt-2/paid-back.pdf"),
        &["Refund 26-041-REC-2", "Paid back to you £40.00", "Paid by cheque", "£60.00 stands to your credit."],
    );
    assert_eq!((paid_and_owed(&desk), vat_of_all(&desk)), ((pence(157_265), Decimal::ZERO), vat));
    // The next invoice takes nothing off, for nothing is left.
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    assert_eq!(paid_and_owed(&desk).1, pence(471_794));
    // A receipt of which something was paid back holds until that is taken back.
    let cancel = ["receipt", "JOB", "--cancel", "1", "--because", "no money came", "--on", "2027-01-23"];
    let said = refused(&desk, &cancel, 2);
    assert!(said.contains("100.00 of it was paid back since: take that refund back first"), "{said}");
    for number in ["2", "3"] {
        done(&desk, &["receipt", "JOB", "--cancel", number, "--because", "never sent", "--on", "2027-01-23"]);
    }
    let page = words(&desk, "26-041-receipt-5/paid-back.pdf");
    shows(&page, &["Refund taken back 26-041-REC-5", "Not paid back to you £60.00"]);
    done(&desk, &cancel);
    assert_eq!(paid_and_owed(&desk), (Decimal::ZERO, pence(629_059)));
    assert_eq!(vat_of_all(&desk), pounds(&manifest(&desk, "26-041-invoice-2")["invoiced"]["sums"]["vat"]));
    all_is_made_again(&desk, 9);
}

/// The request is taken back, and so is the VAT of what was paid for it; asked for anew, it gets both again.
#[test]
fn a_request_that_was_paid_is_credited_with_the_vat_of_its_receipts() {
    let desk = paid("back-request", "1000.00");
    let vat = vat_of_all(&desk);
    let said = done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "put off", "--on", "2026-12-12"]);
    assert!(
        said.contains("VAT of 166.67 on 1000.00 that was paid in advance is credited to 26-041-REC-1 as 26-041-REC-2"),
        "{said}"
    );
    shows(
        &words(&desk, "26-041-receipt-2/paid-back.pdf"),
        &[
            "VAT credit note 26-041-REC-2",
            "Credits VAT of 26-041-REC-1 of 9 December 2026",
            "What you paid in advance for 26-041-INV-1 is no longer asked for under that number.",
            "£1,000.00 paid for 26-041-INV-1",
            "VAT at 20% on £833.33 £166.67",
            "£1,000.00 stands to your credit.",
        ],
    );
    assert_eq!((vat_of_all(&desk), paid_and_owed(&desk)), (Decimal::ZERO, (pence(100_000), pence(-100_000))));
    let said = done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-14"]);
    assert!(said.contains("is set against 26-041-INV-3 on 2026-12-14: receipt 26-041-REC-3"), "{said}");
    assert_eq!((vat_of_all(&desk), paid_and_owed(&desk).1), (vat, pence(57_265)));
    // The money never came: what it was set against has no VAT either.
    let said = refused(&desk, &["receipt", "JOB", "--cancel", "3", "--because", "x", "--on", "2026-12-15"], 2);
    assert!(said.contains("26-041-receipt-3 holds no money"), "{said}");
    done(&desk, &["receipt", "JOB", "--cancel", "1", "--because", "the cheque bounced", "--on", "2026-12-15"]);
    assert_eq!((vat_of_all(&desk), paid_and_owed(&desk)), (Decimal::ZERO, (Decimal::ZERO, pence(157_265))));
    all_is_made_again(&desk, 9);
}

/// Paid back within 14 days: regulation 34 of the Consumer Contracts Regulations 2013 (SI 2013/3134).
#[test]
fn a_job_that_was_cancelled_is_settled_to_the_last_penny() {
    let desk = paid("back-cancelled", "1000.00");
    let said = done(&desk, &["withdraw", "JOB", "--on", "2026-12-12", "--name", "R. Okafor"]);
    shows(
        &said,
        &[
            "credit note 26-041-INV-2: 26-041-INV-1 of 1572.65 is taken back",
            "VAT of 166.67 on 1000.00 that was paid in advance is credited",
            "1000.00 stands to the customer's credit",
            "to be paid back by 26 December 2026",
        ],
    );
    shows(
        &words(&desk, "26-041-invoice-2/credit.pdf"),
        &[
            "The reason: The contract was cancelled on 12 December 2026.",
            "Cancelled on 12 December 2026 − £6,290.59",
            "Still to be asked for £0.00",
        ],
    );
    assert!(!words(&desk, "26-041-invoice-2/credit.pdf").contains("A new invoice follows"));
    assert_eq!(vat_of_all(&desk), Decimal::ZERO);
    let stands = account(&desk);
    assert_eq!(
        (stands["cancelled"].as_str(), stands["pay_back_by"].as_str()),
        (Some("2026-12-12"), Some("2026-12-26"))
    );
    assert_eq!((pounds(&stands["total"]), pounds(&stands["left_to_invoice"])), (Decimal::ZERO, Decimal::ZERO));
    assert_eq!(next(&desk, "2026-12-13"), ["pay back 1000.00", "2026-12-26", "1000.00"].map(str::to_owned));
    let out = desk.join("o");
    let told = done(&desk, &["account", "JOB", "--today", "2026-12-13", "--out", out.to_str().unwrap()]);
    assert!(told.contains("to be paid back to the customer by 2026-12-26 at the latest: 1000.00\n"), "{told}");
    let page = words_of_pages(&out.join("account.pdf")).join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
    shows(
        &page,
        &[
            "To be paid back to you £1,000.00",
            "All of it, cancelled on 12 December 2026",
            "We pay it back by 26 December 2026 at the latest",
        ],
    );
    for words in [
        &["invoice", "JOB", "--stage", "2", "--on", "2026-12-13"][..],
        &["variation", "JOB", "--agreed", "1", "--on", "2026-12-13", "--name", "R."],
    ] {
        refused(&desk, words, 2);
    }
    // Regulation 36: the customer pays for what was done at an express request alone.
    let done_until_then = ["invoice", "JOB", "--done", "240.00", "--on", "2026-12-13"];
    let said = refused(&desk, &done_until_then, 2);
    assert!(said.contains("no express request to begin before the time for cancelling is over is recorded"), "{said}");
    let said = refused(&desk, &["invoice", "JOB", "--done", "6290.60", "--on", "2026-12-13"], 2);
    assert!(said.contains("6290.60 is more than the whole of what was agreed, 6290.59"), "{said}");
    done(&desk, &[&done_until_then[..], &["--even-so", "asked for by letter"]].concat());
    shows(
        &words(&desk, "26-041-invoice-3/invoice.pdf"),
        &[
            "VAT invoice 26-041-INV-3",
            "What was done and supplied until the contract was cancelled on 12 December 2026, of the price of our quotation",
            "VAT at 20% on £200.00 £40.00",
            "There is nothing to pay: £240.00 stood to your credit, and covers it.",
            "This one − £240.00 Still to be asked for £0.00",
        ],
    );
    assert_eq!((vat_of_all(&desk), paid_and_owed(&desk).1), (pence(4_000), pence(-76_000)));
    let again = refused(&desk, &["invoice", "JOB", "--done", "10.00", "--on", "2026-12-13"], 2);
    assert!(again.contains("26-041-INV-3 of 2026-12-13 still stands: credit it first"), "{again}");
    assert_eq!(next(&desk, "2026-12-14")[0], "pay back 760.00");
    done(&desk, &["receipt", "JOB", "--back", "760.00", "--on", "2026-12-15"]);
    assert_eq!(next(&desk, "2027-03-01"), ["nothing", "none", "240.00"].map(str::to_owned));
    assert_eq!(paid_and_owed(&desk), (pence(24_000), Decimal::ZERO));
    all_is_made_again(&desk, 7);
}

/// A firm that cannot do the work is bound by no time for cancelling, and keeps nothing.
#[test]
fn a_firm_that_takes_a_job_back_pays_all_of_it_back() {
    let desk = paid("back-by-firm", "500.00");
    let late = refused(&desk, &["withdraw", "JOB", "--on", "2027-03-30"], 2);
    assert!(late.contains("to cancel ended on"), "{late}");
    done(&desk, &["withdraw", "JOB", "--on", "2027-03-30", "--by-firm", "--because", "no crew"]);
    let said = refused(&desk, &["invoice", "JOB", "--done", "100.00", "--on", "2027-03-30"], 2);
    assert!(said.contains("it was you who took it back"), "{said}");
    assert_eq!(next(&desk, "2027-03-31")[..2], ["pay back 500.00", "2027-04-13"].map(str::to_owned));
}

#[test]
fn a_stage_is_asked_for_out_of_its_turn_only_for_a_reason() {
    let desk = accepted("turn");
    let early = ["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"];
    let said = refused(&desk, &early, 2);
    shows(&said, &["comes before stage 2 and is not asked for yet: `wetout invoice JOB --stage 1`", "--even-so"]);
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-accepted"]);
    done(&desk, &[&early[..], &["--even-so", "no deposit was wanted"]].concat());
    assert_eq!(manifest(&desk, "26-041-invoice-1")["invoiced"]["even_so"], "no deposit was wanted");
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2027-01-22"]);
}

/// Each of two who sign owes the whole of the price.
#[test]
fn an_answer_that_one_of_two_has_signed_is_recorded_only_for_a_reason() {
    let desk = desk_of("two-sign", "kitchen-extension");
    let job = fs::read_to_string(desk.join("k/job.yaml")).unwrap();
    let own = "  phone: 01632 960182\n  also_signs: [Mr B. Okafor]";
    fs::write(desk.join("k/job.yaml"), job.replace("  phone: 01632 960182", own)).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    let one = ["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"];
    let said = refused(&desk, &one, 2);
    assert!(said.contains("Mrs R. Okafor and Mr B. Okafor sign it, and R. Okafor alone is named"), "{said}");
    done(&desk, &[&one[..], &["--name", "B. Okafor"]].concat());
    assert_eq!(manifest(&desk, "26-041-A-accepted")["accepted"]["name"], "R. Okafor and B. Okafor");
    let found = desk.join("found.yaml");
    fs::write(&found, "found:\n  - {what: A cable in the way is moved, cost: 65.00}\n").unwrap();
    done(&desk, &["variation", "JOB", found.to_str().unwrap(), "--on", "2027-01-20"]);
    let one = ["variation", "JOB", "--agreed", "1", "--on", "2027-01-20", "--name", "R. Okafor"];
    let said = refused(&desk, &one, 2);
    assert!(said.contains("R. Okafor alone is named"), "{said}");
    done(&desk, &[&one[..], &["--even-so", "he is away, and has written"]].concat());
    let agreed = manifest(&desk, "26-041-variation-1-agreed")["agreed"].clone();
    assert_eq!(
        (agreed["name"].as_str(), agreed["even_so"].as_str()),
        (Some("R. Okafor"), Some("he is away, and has written"))
    );
}

/// Each of several dates the signature of their own: who has not is told, and the last day counts.
#[test]
fn a_signed_quote_says_which_of_two_have_signed_it() {
    let desk = desk_of("two-sign-file", "neighbours");
    done(&desk, &["issue", "JOB", "quote"]);
    let quote = desk.join("k/issued").join(&kept(&desk)[0]).join("quote.pdf");
    let file = desk.join("signed.pdf");
    let mut pdf = lopdf::Document::load(quote).unwrap();
    let mut sign = |name: &str, day: &str| {
        fill(&mut pdf, &format!("Acceptance: Date, {name}"), lopdf::Object::string_literal(day));
        pdf.save(&file).unwrap();
    };
    sign("Mr P  Lisle (No  14)", "2 December 2026");
    let said = refused_after_telling(&desk, &["accept", "JOB", file.to_str().unwrap()]);
    assert!(
        said.contains(
            "Mrs J. Ashdown (No. 12) and Mr P. Lisle (No. 14) sign it, and Mr P. Lisle (No. 14) alone is named"
        ),
        "{said}"
    );
    sign("Mrs J  Ashdown (No  12)", "4 December 2026");
    let said = done(&desk, &["accept", "JOB", file.to_str().unwrap()]);
    assert!(said.contains("as answered on 2026-12-04 by Mrs J. Ashdown (No. 12) and Mr P. Lisle (No. 14)"), "{said}");
}

/// What is said of a file is told before it is refused.
fn refused_after_telling(desk: &Path, words: &[&str]) -> String {
    let output = run(desk, words);
    assert_eq!(output.status.code(), Some(2), "{words:?}");
    text(&output.stderr)
}

/// The price is made with the rate of the day on which the work ends, 25 % from the turn of the year. A deposit that is paid before has
/// its tax point then: nothing is invoiced at a rate that does not hold.
#[test]
fn a_deposit_that_is_paid_at_another_rate_of_vat_is_asked_about() {
    let desk = desk_of("rate-rises", "kitchen-extension");
    let firm = fs::read_to_string(desk.join("firm.yaml")).unwrap();
    let rises = "rounding: total nearest, rates: [{from: 2027-01-01, rate: 25 %}]}";
    assert!(firm.contains("rounding: total nearest}"));
    fs::write(desk.join("firm.yaml"), firm.replace("rounding: total nearest}", rises)).unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    let paid = ["receipt", "JOB", "1", "--paid", "500.00", "--on", "2026-12-09"];
    let said = refused(&desk, &paid, 2);
    assert!(
        said.contains("your rate of VAT on 2026-12-09 is 20 %") && said.contains("at the 25 % of the accepted price"),
        "{said}"
    );
    done(&desk, &["receipt", "JOB", "1", "--paid", "500.00", "--on", "2027-01-04"]);
    done(&desk, &[&paid[..], &["--even-so", "agreed by letter"]].concat());
}

/// What is sent of an account is kept as it was sent: the same day and the same account are one paper, another day is another.
#[test]
fn an_account_is_mailed_and_kept_as_it_was_sent() {
    let desk = paid("mail-account", "1000.00");
    let to = ["--to", "a@home.example", "--today"];
    let mail = |day: &str| done(&desk, &[&["mail", "JOB", "account"], &to[..], &[day]].concat());
    let said = mail("2026-12-20");
    assert!(said.contains("26-041-account-1/account.pdf") && said.contains("26-041-account-1.eml"), "{said}");
    mail("2026-12-20");
    let statements = || kept(&desk).into_iter().filter(|name| name.contains("account")).count();
    assert_eq!(statements(), 1);
    let letter = fs::read_to_string(desk.join("k/out/26-041-account-1.eml")).unwrap().replace("=\r\n", "");
    shows(
        &letter,
        &["Subject: Statement of account 26-041", "572.65 of it is overdue", "26-041-account-1 account.pdf"],
    );
    let page = words(&desk, "26-041-account-1/account.pdf");
    shows(&page, &["572.65 is overdue", "26-041-REC-1, paid for 26-041-INV-1"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "572.65", "--on", "2026-12-21"]);
    mail("2026-12-21");
    assert_eq!((statements(), words(&desk, "26-041-account-1/account.pdf")), (2, page));
    all_is_made_again(&desk, 6);
    let merchant = fs::read_to_string(desk.join("prices.yaml")).unwrap();
    let merchant = merchant.lines().find_map(|line| line.trim().strip_prefix("email: ")).map(str::to_owned);
    if let Some(merchant) = merchant {
        let theirs = refused(&desk, &["mail", "JOB", "account", "--to", &merchant, "--today", "2026-12-21"], 2);
        assert!(theirs.contains("a statement of account never goes to a merchant"), "{theirs}");
    }
    let desk = desk_of("mail-account-none", "kitchen-extension");
    let none = refused(&desk, &["mail", "JOB", "account"], 2);
    assert!(none.contains("no quote of 26-041 is accepted"), "{none}");
}
