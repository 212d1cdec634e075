//! What was issued, by mail, through the program as it is used: drafts that hold the very files, that go to nobody but the one party
//! that they are for, and messages that are handed over once. A general-purpose library reads the same drafts in
//! `tests/outside/mail.py`.

use crate::command::two_merchants;
use crate::issued::{desk, done, kept, refused, run, text};
use crate::mail_server::{Fails, MailServer};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

const PASSWORD: &str = "a secret of this test";
/// RFC 4616: nothing, the user and the password, each after a zero, in base64.
const LOGIN: &str = "AG9mZmljZUBoYXJyb3ctdGVhbC5leGFtcGxlAGEgc2VjcmV0IG9mIHRoaXMgdGVzdA==";

// ---- Reading a message ------------------------------------------------------------------------------------------------

/// The fields of a head, unfolded, by their names in small letters; each name once.
fn fields(head: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for line in head.replace("\r\n ", " ").split("\r\n").filter(|line| !line.is_empty()) {
        let (name, value) = line.split_once(": ").unwrap_or_else(|| panic!("no field: {line:?}"));
        assert!(found.insert(name.to_lowercase(), value.to_owned()).is_none(), "{name} stands there twice");
    }
    found
}

fn head_of(message: &[u8]) -> BTreeMap<String, String> {
    fields(text(message).split_once("\r\n\r\n").unwrap().0)
}

/// The files that a message carries, by their names.
fn attached(message: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let message = text(message);
    let mut found = BTreeMap::new();
    for part in message.split("\r\n--part-2-").skip(1).filter(|part| part.contains("Content-Disposition: attachment")) {
        let (head, body) = part.split_once("\r\n").unwrap().1.split_once("\r\n\r\n").unwrap();
        let head = fields(head);
        let name = head["content-disposition"].split('"').nth(1).unwrap().to_owned();
        assert_eq!(head["content-transfer-encoding"], "base64");
        found.insert(name, from_base64(body.split("\r\n--part").next().unwrap()));
    }
    found
}

/// RFC 4648, section 4.
fn from_base64(text: &str) -> Vec<u8> {
    const SIGNS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let (mut bits, mut held, mut out) = (0_u32, 0, Vec::new());
    for sign in text.bytes().filter(|b| !b.is_ascii_whitespace() && *b != b'=') {
        bits = (bits << 6) | SIGNS.iter().position(|s| *s == sign).unwrap() as u32;
        held += 6;
        if held >= 8 {
            held -= 8;
            out.push((bits >> held) as u8);
            bits &= (1 << held) - 1;
        }
    }
    out
}

/// The draft of a document, which was issued before.
fn draft(desk: &Path, document: &str, more: &[&str]) -> Vec<u8> {
    let out = desk.join("drafts");
    let words = ["mail", "JOB", document, "--out", out.to_str().unwrap(), "--today", "2026-12-02"];
    let said = done(desk, &[&words[..], more].concat());
    let place = said.lines().find_map(|line| line.strip_prefix("wrote ")).unwrap();
    assert!(said.contains("send it from there"), "{said}");
    fs::read(place).unwrap()
}

fn replace(file: &Path, changes: &[(&str, &str)]) {
    let mut text = fs::read_to_string(file).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    fs::write(file, text).unwrap();
}

// ---- Drafts -----------------------------------------------------------------------------------------------------------

#[test]
fn a_draft_holds_the_very_files_that_were_issued() {
    let desk = desk("mail-draft");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["issue", "JOB", "order"]);
    for (document, letter, to, subject, files) in [
        ("quote", "A", "r.okafor@home.example", "Your quote 26-041: Kitchen extension", &["quote.pdf"][..]),
        (
            "order",
            "B",
            "orders@coldharbour.example",
            "Order 26-041-1 from Harrow & Teal Flat Roofs",
            &["order.pdf", "order.csv"],
        ),
    ] {
        let message = draft(&desk, document, &[]);
        let head = head_of(&message);
        assert!(head["from"].ends_with(" <office@harrow-teal.example>"), "{head:?}");
        assert_eq!((head["to"].as_str(), head["subject"].as_str()), (to, subject));
        // RFC 5322, 3.3.
        assert_eq!(head["date"], "Wed, 02 Dec 2026 12:00:00 +0000");
        assert_eq!(head["x-unsent"], "1");
        assert!(head["message-id"].ends_with("@harrow-teal.example>") && head["message-id"].len() == 54, "{head:?}");
        let carried = attached(&message);
        let frozen = desk.join(format!("k/issued/26-041-{letter}"));
        assert_eq!(carried.len(), files.len(), "{:?}", carried.keys());
        for file in files {
            let name = format!("26-041-{letter} {file}");
            assert!(carried[&name] == fs::read(frozen.join(file)).unwrap(), "{name} is not what was issued");
        }
        // RFC 5322, 2.1.1: no line over 998 octets, each ended by CRLF.
        let whole = text(&message);
        assert!(whole.split("\r\n").all(|line| line.len() <= 998 && !line.contains(['\r', '\n'])));
        assert!(message == draft(&desk, document, &[]), "the same draft has the same bytes");
    }
    let id = |message: Vec<u8>| head_of(&message)["message-id"].clone();
    assert_ne!(id(draft(&desk, "quote", &[])), id(draft(&desk, "quote", &["--to", "both@home.example"])));
}

#[test]
fn the_words_are_those_of_the_quote_and_of_the_firms_own_template() {
    let desk = desk("mail-words");
    done(&desk, &["issue", "JOB", "quote"]);
    let said = text(&draft(&desk, "quote", &[]));
    let plain = said.split("Content-Type: text/plain").nth(1).unwrap();
    for words in ["Dear Mrs Okafor", "14 Sallow Close", "revision A", "6,290.59", "25 December 2026"] {
        assert!(plain.contains(words), "{words}: {plain}");
    }
    fs::create_dir(desk.join("templates")).unwrap();
    fs::write(desk.join("templates/mail-quote.md"), "# Roof {{ job_reference }}\n\nHere it is, {{ customer_name }}.\n")
        .unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    let own = draft(&desk, "quote", &[]);
    assert_eq!(head_of(&own)["subject"], "Roof 26-041");
    assert!(text(&own).contains("Here it is, Mrs R. Okafor."));
}

#[test]
fn an_order_never_goes_to_the_customer_nor_a_quote_to_a_merchant() {
    let desk = desk("mail-wrong-party");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["issue", "JOB", "order"]);
    let out = desk.join("drafts");
    let wrong = |document: &str, to: &str| {
        let words = ["mail", "JOB", document, "--to", to, "--out", out.to_str().unwrap()];
        let said = refused(&desk, &words, 2);
        assert!(said.contains("never goes to"), "{to}: {said}");
        assert!(!out.exists(), "{to}: something was written");
    };
    for to in [
        "r.okafor@home.example",
        "R.Okafor@HOME.example",
        "r.okafor+roof@home.example",
        "Yard <r.okafor@home.example>",
        "\"Orders, Coldharbour\" <R.OKAFOR+x+y@Home.Example>",
        " r.okafor@home.example ",
        "\"r.okafor\"@home.example",
    ] {
        wrong("order", to);
    }
    for to in
        ["orders@coldharbour.example", "Orders+quotes@Coldharbour.EXAMPLE", "Mrs Okafor <orders@coldharbour.example>"]
    {
        wrong("quote", to);
    }
    // In the files themselves, as they are printed: an address of the customer among other words, and one that came to be the
    // merchant's after the quote was issued.
    replace(
        &desk.join("k/job.yaml"),
        &[("r.okafor@home.example", "at home R.OKAFOR+a@home.example or yard@home.example")],
    );
    wrong("order", "yard@home.example");
    replace(&desk.join("prices.yaml"), &[("orders@coldharbour.example", "r.okafor@home.example")]);
    let said = refused(&desk, &["mail", "JOB", "quote", "--out", out.to_str().unwrap()], 2);
    assert!(said.contains("a quote never goes to a merchant") && !out.exists(), "{said}");
    done(&desk, &["issue", "JOB", "order"]);
    let said = refused(&desk, &["mail", "JOB", "order", "--out", out.to_str().unwrap()], 2);
    assert!(said.contains("an order never goes to the customer") && !out.exists(), "{said}");
}

#[test]
fn nothing_that_is_written_in_a_file_or_typed_puts_a_field_into_the_head() {
    let desk = desk("mail-injection");
    replace(
        &desk.join("firm.yaml"),
        &[("name: Harrow & Teal Flat Roofs #", "name: \"Zoë's \\\"Roofs\\\"\\nBcc: all@fens.example\" #")],
    );
    replace(
        &desk.join("k/job.yaml"),
        &[
            ("title: Kitchen extension", "title: \"Kitchen\\n\\nBcc: all@fens.example\\n ärger\""),
            ("name: Mrs R. Okafor", "name: \"R. Okafor\\nX-Own: 1\""),
        ],
    );
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["issue", "JOB", "order"]);
    let usual = ["content-type", "date", "from", "message-id", "mime-version", "subject", "to", "x-unsent"];
    for document in ["quote", "order"] {
        let head = head_of(&draft(&desk, document, &[]));
        assert_eq!(head.keys().map(String::as_str).collect::<Vec<_>>(), usual, "{document}");
    }
    let out = desk.join("none");
    for to in [
        "a@home.example\r\nBcc: b@home.example",
        "A\r\nBcc: b@home.example <a@home.example>\r\n",
        "a@home.example, b@home.example",
        "a@home.example>\r\nRCPT TO:<b@home.example",
        "\"a\r\nb\"@home.example",
        "a b@home.example",
        "nobody",
        "zoë@home.example",
        "@",
    ] {
        let output = run(&desk, &["mail", "JOB", "quote", "--to", to, "--out", out.to_str().unwrap()]);
        let said = text(&output.stderr);
        let harmless = output.status.code() == Some(0) && {
            let message = fs::read(out.join("26-041-A-quote.eml")).unwrap();
            fs::remove_dir_all(&out).unwrap();
            head_of(&message).keys().eq(usual) && !text(&message).contains("b@home.example")
        };
        assert!(harmless || said.contains("is no address that mail can be sent to") && !out.exists(), "{to:?}: {said}");
    }
    // No line of a head is too long, whatever is written.
    replace(&desk.join("k/job.yaml"), &[("title: \"Kitchen", &format!("title: \"{}", "x".repeat(3000)))]);
    replace(&desk.join("firm.yaml"), &[("Zoë's", &"ß".repeat(2000))]);
    done(&desk, &["issue", "JOB", "quote"]);
    let message = text(&draft(&desk, "quote", &[]));
    assert!(message.split("\r\n").all(|line| line.len() <= 998));
}

#[test]
fn what_is_not_as_it_was_issued_or_has_no_address_is_refused_and_nothing_is_written() {
    let desk = desk("mail-refused");
    let out = desk.join("drafts");
    let refuses = |more: &[&str], words: &str| {
        let said = refused(&desk, &[&["mail", "JOB"], more, &["--out", out.to_str().unwrap()]].concat(), 2);
        assert!(said.contains(words), "{words}: {said}");
        assert!(!out.exists());
    };
    refuses(&["quote"], "no quote of this job was issued yet: `wetout issue JOB quote`");
    replace(&desk.join("k/job.yaml"), &[("  email: r.okafor@home.example\n", "")]);
    done(&desk, &["issue", "JOB", "quote"]);
    refuses(&["quote"], "there is no address of the customer: write `email:` under `customer` in the job");
    refuses(&["quote", "--revision", "C"], "no quote was issued as revision C");
    refuses(&["order"], "no order of this job was issued yet");
    let issued = desk.join("k/issued");
    let into = issued.join("26-041-A");
    assert!(refused(&desk, &["mail", "JOB", "quote", "--out", into.to_str().unwrap()], 2).contains("what was issued"));
    replace(&desk.join("firm.yaml"), &[("  email: office@harrow-teal.example\n", "")]);
    done(&desk, &["issue", "JOB", "quote"]);
    refuses(&["quote", "--to", "a@home.example"], "there is no address of the firm: write `email:` under `firm`");
    let older = ["mail", "JOB", "quote", "--revision", "a", "--to", "a@home.example", "--out", out.to_str().unwrap()];
    let told = run(&desk, &older);
    assert!(text(&told.stderr).contains("revision B of the quote has taken the place of A"), "{}", text(&told.stderr));
    assert!(told.status.success());
    fs::remove_dir_all(&out).unwrap();
    let pdf = issued.join("26-041-A/quote.pdf");
    let was = fs::read(&pdf).unwrap();
    fs::remove_file(&pdf).unwrap();
    fs::write(&pdf, [was, b"\n".to_vec()].concat()).unwrap();
    refuses(&["quote", "--revision", "A", "--to", "a@home.example"], "quote.pdf was altered; issue it anew");
}

// ---- Sending ----------------------------------------------------------------------------------------------------------

/// The demo firm's mail goes to a server on this computer.
fn by(server: &MailServer, desk: &Path) {
    replace(
        &desk.join("firm.yaml"),
        &[(
            "server: smtp.harrow-teal.example, port: 587, security: starttls",
            &format!("server: 127.0.0.1, port: {}, security: none", server.port),
        )],
    );
}

fn command(job: &Path, words: &[&str], password: Option<&str>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.arg("mail").arg(job).args(words).env_remove("WETOUT_MAIL_PASSWORD").stdin(Stdio::null());
    command.envs(password.map(|password| ("WETOUT_MAIL_PASSWORD", password)));
    command
}

fn send(desk: &Path, words: &[&str]) -> Output {
    command(&desk.join("k"), &[words, &["--send", "--today", "2026-12-02"]].concat(), Some(PASSWORD)).output().unwrap()
}

fn sent(desk: &Path, words: &[&str]) -> String {
    let output = send(desk, words);
    assert_eq!(output.status.code(), Some(0), "{words:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

fn not_sent(desk: &Path, words: &[&str]) -> String {
    let output = send(desk, words);
    assert_eq!(output.status.code(), Some(2), "{words:?}: {}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stderr)
}

fn listed(desk: &Path) -> serde_json::Value {
    let list = done(desk, &["list", "JOB", "--json", "--today", "2026-12-03"]);
    serde_json::from_str::<serde_json::Value>(&list).unwrap()["jobs"][0].clone()
}

#[test]
fn a_quote_is_sent_once_and_recorded() {
    let (desk, server) = (desk("mail-send"), MailServer::start(Fails::Nowhere));
    by(&server, &desk);
    done(&desk, &["issue", "JOB", "quote"]);
    let said = sent(&desk, &["quote"]);
    for words in [
        "from     Harrow & Teal Flat Roofs <office@harrow-teal.example>",
        "to       r.okafor@home.example",
        "subject  Your quote 26-041: Kitchen extension",
        "with     26-041-A quote.pdf",
        "\nsent\n",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let taken = server.taken();
    assert_eq!((taken.len(), taken[0].login.as_str()), (1, LOGIN));
    assert_eq!(
        (taken[0].from.as_str(), &taken[0].to[..]),
        ("office@harrow-teal.example", &["r.okafor@home.example".to_owned()][..])
    );
    let issued = desk.join("k/issued");
    assert!(attached(&taken[0].message)["26-041-A quote.pdf"] == fs::read(issued.join("26-041-A/quote.pdf")).unwrap());
    assert!(!head_of(&taken[0].message).contains_key("x-unsent"));
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-mail-1", "26-041-A-mail-1-sent"]);
    assert!(fs::read(issued.join("26-041-A-mail-1/message.eml")).unwrap() == taken[0].message, "recorded as it went");
    let record: serde_json::Value =
        serde_json::from_slice(&fs::read(issued.join("26-041-A-mail-1-sent/manifest.json")).unwrap()).unwrap();
    let record = &record["mail"];
    assert_eq!((record["state"].as_str(), record["at"].as_str()), (Some("sent"), Some("2026-12-02T12:00:00Z")));
    assert_eq!(record["message_id"].as_str(), Some(head_of(&taken[0].message)["message-id"].as_str()));
    assert!(record["said"].as_str().unwrap().contains("taken as number 7") && !record.to_string().contains(PASSWORD));
    assert_eq!(listed(&desk)["dates"]["mailed"], "2026-12-02");
    assert_eq!(listed(&desk)["due"], "2026-12-09", "they are asked a week after it was sent");
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("as recorded").count(), 2, "{checked}");
    // Once more: nobody is even connected to.
    let said = sent(&desk, &["quote"]);
    assert!(said.contains("was sent to r.okafor@home.example on 2026-12-02 already, and is not sent again"), "{said}");
    let by_another_spelling = sent(&desk, &["quote", "--to", "R.Okafor+x@HOME.example"]);
    assert!(by_another_spelling.contains("is not sent again"), "{by_another_spelling}");
    assert_eq!((server.connections(), kept(&desk).len()), (1, 3));
    // To somebody else, and again to the same: each is one message more, and no program takes it for the first.
    assert!(
        sent(&desk, &["quote", "--to", "r.okafor@home.example", "--to", "son@home.example"]).contains("to       son@")
    );
    sent(&desk, &["quote", "--again"]);
    let taken = server.taken();
    assert_eq!(taken[1].to, ["son@home.example"]);
    let ids: Vec<String> = taken.iter().map(|t| head_of(&t.message)["message-id"].clone()).collect();
    assert!(ids.len() == 3 && ids[0] != ids[1] && ids[0] != ids[2], "{ids:?}");
    // What was sent stands in nobody's way: the quote is answered, and the next is revision B.
    done(&desk, &["accept", "JOB", "--on", "2026-12-03", "--name", "R. Okafor"]);
    done(&desk, &["issue", "JOB", "order"]);
    sent(&desk, &["order"]);
    assert_eq!(server.taken()[3].to, ["orders@coldharbour.example"]);
    assert_eq!(listed(&desk)["dates"]["order_mailed"], "2026-12-02");
    assert!(kept(&desk).contains(&"26-041-B-mail-1-sent".to_owned()), "{:?}", kept(&desk));
}

#[test]
fn a_message_whose_answer_is_lost_is_not_sent_a_second_time_by_itself() {
    let (desk, server) = (desk("mail-lost"), MailServer::start(Fails::AtAnswer));
    by(&server, &desk);
    done(&desk, &["issue", "JOB", "quote"]);
    let said = not_sent(&desk, &["quote"]);
    assert!(said.contains("it may have arrived") && said.contains("--again"), "{said}");
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-mail-1"]);
    assert_eq!(listed(&desk)["dates"]["mail_begun"], "2026-12-02");
    server.fail(Fails::Nowhere);
    for words in [&["quote"][..], &["quote", "--to", "Rose <R.OKAFOR+q@home.example>"], &["quote", "--dry-run"]] {
        let said = not_sent(&desk, words);
        assert!(
            said.contains("quote to") && said.contains("begun on 2026-12-02") && said.contains("--again"),
            "{said}"
        );
    }
    assert_eq!((server.connections(), server.taken().len()), (1, 1), "nobody is asked a second time");
    sent(&desk, &["quote", "--again"]);
    let taken = server.taken();
    assert!(taken[0] == taken[1], "what may have arrived has the same id, so that both are shown as one");
    assert_eq!(kept(&desk), ["26-041-A", "26-041-A-mail-1", "26-041-A-mail-2", "26-041-A-mail-2-sent"]);
    assert_eq!(listed(&desk)["dates"]["mailed"], "2026-12-02");
    assert!(sent(&desk, &["quote"]).contains("is not sent again"));
}

#[test]
fn what_the_server_refuses_is_told_with_its_cure_and_can_be_sent_again() {
    let (desk, server) = (desk("mail-fails"), MailServer::start(Fails::Nowhere));
    by(&server, &desk);
    done(&desk, &["issue", "JOB", "quote"]);
    for (fails, words, cure) in [
        (Fails::AtGreeting, "there is no connection to 127.0.0.1", "check that this computer is online"),
        (Fails::AtLogin, "does not let office@harrow-teal.example in", "the password in WETOUT_MAIL_PASSWORD"),
        (Fails::AtSender, "does not take mail from office@harrow-teal.example", "check `from` and `user`"),
        (Fails::ForNow, "at the moment: it says “451 4.3.2 come back later”", "try again in a quarter of an hour"),
        (
            Fails::AtRecipient,
            "does not take mail to r.okafor@home.example: it says “550 5.1.1 nobody of that name”",
            "`--to`",
        ),
    ] {
        server.fail(fails);
        let said = not_sent(&desk, &["quote"]);
        assert!(
            said.contains("the quote was not sent: ") && said.contains(words) && said.contains(cure),
            "{fails:?}: {said}"
        );
        assert_eq!(kept(&desk), ["26-041-A"], "{fails:?}");
    }
    // From here on it was begun, and what is known to have been refused is recorded as that.
    for (n, fails) in [(1, Fails::AtData), (2, Fails::AtMessage)] {
        server.fail(fails);
        let said = not_sent(&desk, &["quote"]);
        assert!(said.contains("the quote was not sent: "), "{fails:?}: {said}");
        assert!(kept(&desk).contains(&format!("26-041-A-mail-{n}-refused")), "{fails:?}: {:?}", kept(&desk));
    }
    assert!(server.taken().is_empty());
    server.fail(Fails::Nowhere);
    sent(&desk, &["quote"]);
    assert_eq!(server.taken().len(), 1);
}

#[test]
fn a_trial_connects_to_nobody_and_writes_nothing() {
    let (desk, server) = (desk("mail-trial"), MailServer::start(Fails::Nowhere));
    by(&server, &desk);
    done(&desk, &["issue", "JOB", "quote"]);
    let said = sent(&desk, &["quote", "--dry-run"]);
    assert!(
        said.contains("to       r.okafor@home.example") && said.contains("nothing was sent: this was a trial"),
        "{said}"
    );
    let bare = command(&desk.join("k"), &["quote", "--send", "--dry-run"], None).output().unwrap();
    assert!(text(&bare.stdout).contains("WETOUT_MAIL_PASSWORD is not set yet"));
    let bare = command(&desk.join("k"), &["quote", "--send"], None).output().unwrap();
    assert_eq!(bare.status.code(), Some(2));
    assert!(text(&bare.stderr).contains("set the environment variable WETOUT_MAIL_PASSWORD"));
    assert_eq!((server.connections(), kept(&desk)), (0, vec!["26-041-A".to_owned()]));
    assert!(!desk.join("k/out").exists());
    for words in [&["quote", "--dry-run"][..], &["quote", "--again"], &["quote", "--send", "--out", "x"]] {
        assert_eq!(command(&desk.join("k"), words, None).output().unwrap().status.code(), Some(2), "{words:?}");
    }
}

#[test]
fn of_runs_at_once_one_sends() {
    let (desk, server) = (desk("mail-at-once"), MailServer::start(Fails::Nowhere));
    by(&server, &desk);
    done(&desk, &["issue", "JOB", "quote"]);
    let start = || {
        let mut command = command(&desk.join("k"), &["quote", "--send"], Some(PASSWORD));
        command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
    };
    let runs: Vec<_> = (0..5).map(|_| start()).collect();
    for mut run in runs {
        run.wait().unwrap();
    }
    assert_eq!((server.taken().len(), kept(&desk).len()), (1, 3), "{:?}", kept(&desk));
}

#[test]
fn each_merchant_gets_his_own_order_and_a_second_try_reaches_only_those_that_were_missed() {
    let (folder, server) = (two_merchants(), MailServer::start(Fails::Nowhere));
    by(&server, &folder);
    replace(&folder.join("prices/second.yaml"), &[("orders@coldharbour.example", "desk@fens.example")]);
    let job = folder.to_str().unwrap();
    done(&folder, &["issue", job, "order"]);
    assert!(folder.join("issued/26-041-A/order-2.pdf").exists());
    let mail = |words: &[&str]| {
        let words = [&["order", "--send", "--today", "2026-12-02"], words].concat();
        let output = command(&folder, &words, Some(PASSWORD)).output().unwrap();
        (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
    };
    let (code, _, said) = mail(&["--to", "a@fens.example"]);
    assert!(code == 2 && said.contains("each order goes to its own merchant"), "{said}");
    let (code, said, wrong) = mail(&["--to", "Desk@Fens.example"]);
    assert!(code == 0 && said.contains("26-041-A order-2.pdf and 26-041-A order-2.csv"), "{said}{wrong}");
    let (code, said, wrong) = mail(&[]);
    assert!(
        code == 0 && said.contains("the order-2 was sent to desk@fens.example on 2026-12-02 already"),
        "{said}{wrong}"
    );
    let taken = server.taken();
    let to: Vec<&str> = taken.iter().map(|t| t.to[0].as_str()).collect();
    assert_eq!(to, ["desk@fens.example", "orders@coldharbour.example"]);
    let names = |n: usize| attached(&taken[n].message).into_keys().collect::<Vec<_>>();
    assert_eq!(names(0), ["26-041-A order-2.csv", "26-041-A order-2.pdf"]);
    assert_eq!(names(1), ["26-041-A order-1.csv", "26-041-A order-1.pdf"]);
}

// ---- Invoices and handovers ---------------------------------------------------------------------------------------------

/// The kitchen, accepted, its first stage invoiced and credited, invoiced anew, and handed over.
fn played(name: &str) -> std::path::PathBuf {
    let desk = desk(name);
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["invoice", "JOB", "--credit", "1", "--because", "wrong address", "--on", "2026-12-04"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-05"]);
    done(&desk, &["receipt", "JOB", "3", "--paid", "1000", "--on", "2026-12-09"]);
    fs::write(desk.join("found.yaml"), "found:\n  - {what: A second layer of felt, hours: 5}\n").unwrap();
    let found = desk.join("found.yaml");
    done(&desk, &["variation", "JOB", found.to_str().unwrap(), "--on", "2027-01-19"]);
    done(&desk, &["handover", "JOB", "--on", "2027-01-22"]);
    desk
}

#[test]
fn invoices_and_handovers_go_to_the_customer_with_the_very_files_that_were_frozen() {
    let desk = played("mail-invoices");
    for (words, folder, subject, file) in [
        (&["invoice"][..], "26-041-invoice-3", "Request for payment 26-041-INV-3: Kitchen extension", "invoice.pdf"),
        (
            &["invoice", "--number", "1"],
            "26-041-invoice-1",
            "Request for payment 26-041-INV-1: Kitchen extension",
            "invoice.pdf",
        ),
        (
            &["invoice", "--number", "26-041-inv-2"],
            "26-041-invoice-2",
            "Credit note 26-041-INV-2: Kitchen extension",
            "credit.pdf",
        ),
        (&["receipt"], "26-041-receipt-1", "Receipt and VAT invoice 26-041-REC-1: Kitchen extension", "receipt.pdf"),
        (&["variation"], "26-041-variation-1", "Variation order 26-041-VAR-1: Kitchen extension", "variation.pdf"),
        (&["handover"], "26-041-handover-1", "Your roof is finished: Kitchen extension", "handover.pdf"),
    ] {
        let message = draft(&desk, words[0], &words[1..]);
        let head = head_of(&message);
        assert_eq!((head["to"].as_str(), head["subject"].as_str()), ("r.okafor@home.example", subject));
        let carried = attached(&message);
        assert_eq!(carried.len(), 1, "{:?}", carried.keys());
        let name = format!("{folder} {file}");
        assert!(carried[&name] == fs::read(desk.join("k/issued").join(folder).join(file)).unwrap(), "{name}");
        assert!(desk.join(format!("drafts/{folder}.eml")).is_file());
        assert!(message == draft(&desk, words[0], &words[1..]), "the same draft has the same bytes");
    }
    let plain = |words: &[&str]| {
        let said = text(&draft(&desk, words[0], &words[1..]));
        let plain = said.split("Content-Type: text/plain").nth(1).unwrap().split("\r\n--").next().unwrap().to_owned();
        plain.replace("=\r\n", "").split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let invoice = plain(&["invoice"]);
    for words in ["1,572.65", "19 December 2026", "26-041-INV-3", "not a VAT invoice", "ring us before you pay"] {
        assert!(invoice.contains(words), "{words}: {invoice}");
    }
    let receipt = plain(&["receipt"]);
    for words in [
        "1,000.00 for 26-041-INV-3",
        "It is the VAT invoice for this payment",
        "572.65 of 26-041-INV-3 is still to be paid.",
    ] {
        assert!(receipt.contains(words), "{words}: {receipt}");
    }
    let credit = plain(&["invoice", "--number", "2"]);
    assert!(credit.contains("cancels 26-041-INV-1") && credit.contains("Wrong address."), "{credit}");
    let variation = plain(&["variation", "--number", "1"]);
    for words in
        ["our variation order 26-041-VAR-1", "It adds", "217.62 to the price, VAT included", "send the page back"]
    {
        assert!(variation.contains(words), "{words}: {variation}");
    }
    let handover = plain(&["handover"]);
    for words in ["finished on Friday 22 January 2027", "The full skip is fetched", "guarantee certificate"] {
        assert!(handover.contains(words), "{words}: {handover}");
    }
}

#[test]
fn an_invoice_or_a_handover_never_goes_to_a_merchant_nor_what_is_not_there_to_anybody() {
    let desk = played("mail-invoice-wrong");
    let out = desk.join("drafts");
    let refuses = |more: &[&str], words: &str| {
        let said = refused(&desk, &[&["mail", "JOB"], more, &["--out", out.to_str().unwrap()]].concat(), 2);
        assert!(said.contains(words) && !out.exists(), "{words}: {said}");
    };
    for (document, named) in [
        ("invoice", "an invoice"),
        ("receipt", "a receipt"),
        ("variation", "a variation order"),
        ("handover", "a handover"),
    ] {
        for to in ["orders@coldharbour.example", "Mrs Okafor <Orders+x@Coldharbour.EXAMPLE>"] {
            refuses(&[document, "--to", to], &format!("{named} never goes to a merchant"));
        }
        refuses(&[document, "--revision", "A"], &format!("say which {document} with `--number`"));
    }
    refuses(
        &["invoice", "--number", "9"],
        "there is no invoice 9 of this job; there is 26-041-INV-1, 26-041-INV-2 and 26-041-INV-3",
    );
    refuses(&["handover", "--number", "2"], "there is no handover 2 of this job; there is 26-041-HAN-1");
    refuses(&["quote", "--number", "1"], "say which quote with `--revision`");
    // The customer's address of today is meant, and it must not be the merchant's.
    replace(&desk.join("k/job.yaml"), &[("r.okafor@home.example", "rose@new.example")]);
    assert_eq!(head_of(&draft(&desk, "invoice", &[]))["to"], "rose@new.example");
    fs::remove_dir_all(&out).unwrap();
    replace(&desk.join("prices.yaml"), &[("orders@coldharbour.example", "rose@new.example")]);
    refuses(&["handover"], "a handover never goes to a merchant");
    let pdf = desk.join("k/issued/26-041-handover-1/handover.pdf");
    fs::remove_file(&pdf).unwrap();
    refuses(&["handover", "--to", "a@home.example"], "handover.pdf is gone");
    let early = crate::issued::desk("mail-invoice-early");
    done(&early, &["issue", "JOB", "quote"]);
    for (document, cure) in [
        ("invoice", "`wetout invoice JOB --stage 1`"),
        ("receipt", "`wetout receipt JOB 1 --paid"),
        ("variation", "`wetout variation JOB found.yaml`"),
        ("handover", "`wetout handover JOB`"),
    ] {
        let said = refused(&early, &["mail", "JOB", document], 2);
        assert!(said.contains(&format!("there is no {document} of this job yet")) && said.contains(cure), "{said}");
    }
}

/// Each frozen folder has messages of its own: an invoice that was sent is no quote that was sent.
#[test]
fn an_invoice_and_a_handover_are_sent_once_each_and_recorded_beside_themselves() {
    let (desk, server) = (played("mail-invoice-send"), MailServer::start(Fails::Nowhere));
    by(&server, &desk);
    for words in [&["invoice", "--number", "1"][..], &["invoice"], &["receipt"], &["variation"], &["handover"]] {
        let said = sent(&desk, words);
        assert!(said.contains("to       r.okafor@home.example") && said.contains("\nsent\n"), "{said}");
        let again = sent(&desk, words);
        assert!(again.contains("already, and is not sent again"), "{again}");
    }
    assert_eq!(server.taken().len(), 5);
    let ids: std::collections::BTreeSet<String> =
        server.taken().iter().map(|t| head_of(&t.message)["message-id"].clone()).collect();
    assert_eq!(ids.len(), 5);
    let folders = kept(&desk);
    for name in [
        "26-041-invoice-1-mail-1-sent",
        "26-041-invoice-3-mail-1-sent",
        "26-041-receipt-1-mail-1-sent",
        "26-041-variation-1-mail-1-sent",
        "26-041-handover-1-mail-1-sent",
    ] {
        assert!(folders.contains(&name.to_owned()), "{name}: {folders:?}");
    }
    let dates = &listed(&desk)["dates"];
    assert_eq!((&dates["invoice_mailed"], &dates["handover_mailed"]), (&"2026-12-02".into(), &"2026-12-02".into()));
    assert_eq!((&dates["variation_mailed"], &dates["receipt_mailed"]), (&"2026-12-02".into(), &"2026-12-02".into()));
    assert!(dates.get("mailed").is_none(), "the quote was never sent: {dates}");
    // Numbers go on as if nothing had been sent.
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-23"]);
    assert!(kept(&desk).contains(&"26-041-invoice-4".to_owned()));
    let checked = done(&desk, &["issue", "--check", "JOB"]);
    assert_eq!(checked.matches("as recorded").count(), 11, "{checked}");
    server.fail(Fails::AtAnswer);
    assert!(not_sent(&desk, &["invoice"]).contains("it may have arrived"));
    assert!(not_sent(&desk, &["invoice"]).contains("--again"));
}

#[test]
fn an_invoice_says_in_the_firms_own_words_what_it_is() {
    let desk = desk("mail-invoice-words");
    fs::create_dir(desk.join("templates")).unwrap();
    fs::write(desk.join("templates/mail-invoice.md"), "# Bill {{ number }}\n\nPay {{ total }} by {{ due }}.\n")
        .unwrap();
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-23", "--even-so", "no deposit"]);
    let message = draft(&desk, "invoice", &[]);
    assert_eq!(head_of(&message)["subject"], "Bill 26-041-INV-1");
    assert!(text(&message).contains("by 6 February 2027."));
}

#[test]
fn no_password_stands_in_a_file_and_nothing_goes_to_another_computer_in_the_clear() {
    let desk = desk("mail-settings");
    let usual =
        "mail: {server: smtp.harrow-teal.example, port: 587, security: starttls, user: office@harrow-teal.example}";
    let mut was = usual.to_owned();
    for (mail, words) in [
        ("mail: {server: smtp.harrow-teal.example, password: x}", "WETOUT_MAIL_PASSWORD"),
        ("mail: {server: smtp.harrow-teal.example, security: none}", "in the clear, for anybody on the way to read"),
        ("mail: {server: 192.0.2.7, security: none}", "in the clear"),
        ("mail: {server: localhost.example, security: none}", "in the clear"),
        ("mail: {server: \"smtp.harrow-teal.example:587\"}", "is not the name of a server"),
        ("mail: {server: \"smtp://harrow-teal.example\"}", "is not the name of a server"),
        ("mail: {server: smtp.harrow-teal.example, port: 70000}", "it lies between 1 and 65535"),
        ("mail: {server: smtp.harrow-teal.example, security: ssl}", "did you mean `tls`?"),
        ("mail: {user: office@harrow-teal.example}", "`mail` needs `server`"),
    ] {
        replace(&desk.join("firm.yaml"), &[(&was, mail)]);
        let said = refused(&desk, &["check", "JOB"], 1);
        assert!(said.contains(words), "{mail}: {said}");
        was = mail.to_owned();
    }
    replace(&desk.join("firm.yaml"), &[(&was, "")]);
    done(&desk, &["issue", "JOB", "quote"]);
    assert!(
        refused(&desk, &["mail", "JOB", "quote", "--send"], 2).contains("`mail: {server: smtp.example.com, user: …}`")
    );
}
