//! The deal of every demo job, played through the program from the draft to the last payment, with the roof handed over and each
//! paper mailed: the register at each step, the money to the penny, and every paper that was kept made again byte for byte.

use crate::demo;
use crate::handover::filled;
use crate::issued::run;
use crate::issued::{desk_of, done, kept, text};
use rust_decimal::Decimal;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

fn pounds(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

/// The state of the job, and what is next.
fn stands(desk: &Path, today: &str) -> (String, String) {
    let list = json(&done(desk, &["list", "JOB", "--json", "--today", today]));
    let word = |key: &str| list["jobs"][0][key].as_str().unwrap_or("nothing").to_owned();
    (word("state"), word("next"))
}

fn account(desk: &Path) -> Value {
    json(&done(desk, &["account", "JOB", "--json", "--today", "2027-06-01"]))
}

/// Nothing is left that waits to be swept up, and every kept paper can be made again.
fn all_is_in_order(desk: &Path, papers: usize) {
    let odd: Vec<String> = kept(desk).into_iter().filter(|name| name.starts_with('.')).collect();
    assert_eq!(odd, Vec::<String>::new());
    let said = done(desk, &["issue", "--check", "JOB"]);
    assert_eq!(said.matches("made again byte for byte").count(), papers, "{said}");
}

#[test]
fn every_demo_job_is_played_from_draft_to_paid() {
    for job in demo::names() {
        let desk = desk_of(&format!("deal-{job}"), &job);
        let in_state = |today: &str, state: &str| {
            let (stands, next) = stands(&desk, today);
            assert_eq!(stands, state, "{job} on {today}: {next}");
            next
        };
        let next = in_state("2026-11-28", "draft");
        assert!(next.contains("quote"), "{job}: {next}");
        done(&desk, &["issue", "JOB", "quote"]);
        in_state("2026-11-28", "sent");
        // A draft of a message for each paper that goes out: an order to its merchant, all else to the householder.
        let drafts = || fs::read_dir(desk.join("k/out")).map_or(0, |drafts| drafts.count());
        let mail = |what: &str, today: &str| {
            let before = drafts();
            let to = ["--to", "a@home.example"];
            let to = if what == "order" { &[][..] } else { &to[..] };
            done(&desk, &[&["mail", "JOB", what, "--today", today], to].concat());
            assert_eq!(drafts(), before + 1, "{job}: {what}");
        };
        mail("quote", "2026-11-28");
        let second = if job == "neighbours" { &["--name", "B. Householder"][..] } else { &[] };
        done(&desk, &[&["accept", "JOB", "--on", "2026-12-02", "--name", "A. Householder"], second].concat());
        in_state("2026-12-02", "accepted");

        let price = desk.join(format!("k/issued/{}-accepted/accepted.yaml", kept(&desk)[0]));
        let price = json(&done(&desk, &["price", price.to_str().unwrap(), "--json"]));
        let total = pounds(&price["total"]);
        let stages: Vec<Decimal> =
            price["stages"].as_array().unwrap().iter().map(|stage| pounds(&stage["amount"])).collect();
        assert_eq!(stages.iter().sum::<Decimal>(), total, "{job}");

        let order = run(&desk, &["issue", "JOB", "order"]);
        assert!(order.status.success(), "{job}: {}", text(&order.stderr));
        mail("order", "2026-12-03");
        done(&desk, &["issue", "JOB", "method"]);
        in_state("2026-12-03", "ordered");

        // Something is found on site, priced, signed, and asked for with the last stage.
        let found = desk.join("k/found.yaml");
        fs::write(&found, "found:\n  - {what: A cable in the way is moved, cost: 65.00}\n").unwrap();
        done(&desk, &["variation", "JOB", found.to_str().unwrap(), "--on", "2027-01-20"]);
        mail("variation", "2027-01-20");
        assert!(in_state("2027-01-20", "on site").contains("signed"), "{job}");
        let agreed = ["variation", "JOB", "--agreed", "1", "--on", "2027-01-20", "--name", "A. Householder"];
        done(&desk, &[&agreed[..], second].concat());
        in_state("2027-01-20", "on site");
        let change = pounds(&account(&desk)["changes"][0]["amount"]);
        assert!(change > Decimal::from(65), "{job}: {change}");
        // The record is the job's own, or the one that is printed, filled in.
        let record = desk.join("k/record.yaml");
        let written = match fs::read_to_string(&record) {
            Ok(own) => own + "\nvariations: {1: yes}\n",
            Err(_) => filled(&done(&desk, &["handover", "JOB", "--form"]), "2027-01-30"),
        };
        fs::write(&record, written).unwrap();
        done(&desk, &["handover", "JOB", "--on", "2027-01-31"]);
        in_state("2027-01-31", "done");
        mail("handover", "2027-01-31");

        let mut paid = Decimal::ZERO;
        for (amount, n) in stages.iter().zip(1..) {
            let is_last = n == stages.len();
            let amount = amount + if is_last { change } else { Decimal::ZERO };
            let (number, day) = (n.to_string(), format!("2027-02-{:02}", n * 3));
            done(&desk, &["invoice", "JOB", "--stage", &number, "--on", &day]);
            let asked = in_state(&day, if is_last { "invoiced" } else { "done" });
            // What should have been asked for by then comes first.
            let other = asked.ends_with(&format!("for stage {}", n + 1));
            assert!(asked.contains(&format!("{amount} to be paid")) || other, "{job}: {asked}");
            mail("invoice", &day);
            if is_last {
                mail("account", &day);
            }
            assert_eq!(pounds(&account(&desk)["balance"]), amount, "{job}");
            // In two parts: what is open is told after the first.
            let part = (amount / Decimal::from(3)).round_dp(2);
            let said = done(&desk, &["receipt", "JOB", &number, "--paid", &part.to_string(), "--on", &day]);
            assert!(said.contains(&format!("a part: {} of", amount - part)), "{job}: {said}");
            paid += part;
            assert_eq!(pounds(&account(&desk)["paid"]), paid, "{job}");
            done(&desk, &["receipt", "JOB", &number, "--paid", &(amount - part).to_string(), "--on", &day]);
            paid += amount - part;
        }
        assert_eq!(in_state("2027-03-01", "paid"), "nothing", "{job}");
        let account = account(&desk);
        assert_eq!((pounds(&account["paid"]), pounds(&account["balance"])), (total + change, Decimal::ZERO), "{job}");
        // The quote, the order and the method statement; the variation; the handover; an invoice and two receipts for each stage; the
        // account that was sent.
        all_is_in_order(&desk, 6 + 3 * stages.len());
    }
}
