//! The firm, one question at a time: who it is, what it costs, how it sells; and its merchant.
//!
//! Given lines; gives the text of a firm file with every rule at its usual value, and the head of a price book. What was left
//! open is a gap, and stands as a remark where its setting belongs.

use super::draft::{Draft, Gap};
use super::kept;
use super::talk::{BACK, OPEN, TakenLine, Talk, WHY};
use crate::job_file::reference::{Explained, FileKind, all, pairs_of, tried};
use crate::job_file::scalar;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// What is said first.
pub const FIRM_FIRST: &str = "\
The firm file, one question after the other. An empty line takes what stands in [brackets], or leaves the question open; `?`
explains it, `<` goes back, `-` leaves it open. Every answer is kept at once. Nothing here is advice on law, tax or insurance.
";

/// The firm file of the demo: its rules, each with its usual value and what it is for, are every firm's to begin with.
const DEMO: &str = include_str!("../../jobs/firm.yaml");
/// Where its rules begin.
const RULES_FROM: &str = "# Every rule that the program uses";

/// A question: its name, the key it answers, what is usual, the unit that a bare number takes, and the question that must be
/// answered with this word before (any word where it is empty).
struct FirmQuestion {
    name: &'static str,
    file: FileKind,
    key: &'static str,
    usual: &'static str,
    unit: &'static str,
    behind: Option<(&'static str, &'static str)>,
}

const fn asked(name: &'static str, key: &'static str, usual: &'static str, unit: &'static str) -> FirmQuestion {
    FirmQuestion { name, file: FileKind::Firm, key, usual, unit, behind: None }
}

const fn behind(question: FirmQuestion, name: &'static str, word: &'static str) -> FirmQuestion {
    FirmQuestion { behind: Some((name, word)), ..question }
}

const fn of_merchant(name: &'static str, key: &'static str) -> FirmQuestion {
    FirmQuestion { name, file: FileKind::Prices, key, usual: "", unit: "", behind: None }
}

const NAME: &str = "The firm's name";
const ADDRESS: &str = "Its address, lines parted by commas";
const PHONE: &str = "Telephone";
const EMAIL: &str = "Email";
const LEGAL: &str = "Trading status and company number, as printed";
const REGISTERED: &str = "Registered for VAT? yes or no";
const VAT_NUMBER: &str = "VAT number";
const RATE: &str = "Rate of VAT, %";
const LEADS: &str = "Who leads on site";
const LEADS_HOUR: &str = "What an hour of theirs costs you, £";
const SECOND: &str = "Who else works on site; empty: nobody";
const SECOND_HOUR: &str = "What an hour of the second costs you, £";
const TRAVEL: &str = "Travel for a day on site, £";
const OVERHEAD: &str = "Overhead, % of what a job costs directly";
const MARGIN: &str = "Margin, % of the price";
const SKIP: &str = "A skip, hired and taken away, £";
const SKIP_VOLUME: &str = "What a skip holds, m3";
const SCAFFOLD: &str = "Scaffold, where a job gives no sum, £";
const MINIMUM: &str = "The least that a job is sold for, £";
const DEPOSIT: &str = "Deposit when a quote is accepted, %; empty: none";
const DAYS: &str = "In how many days an invoice is to be paid";
const YEARS: &str = "Years of your guarantee";
const GUARANTEE: &str = "What it holds for, and what not";
const BANK: &str = "The account that customers pay into, its name; empty: none";
const SORT_CODE: &str = "Its sort code";
const ACCOUNT: &str = "Its number";
const MERCHANT: &str = "Your merchant's name";
const MERCHANT_ACCOUNT: &str = "Your account there";
const DELIVERY: &str = "What a delivery costs, £";

static QUESTIONS: [FirmQuestion; 29] = [
    asked(NAME, "firm.name", "", ""),
    asked(ADDRESS, "firm.address", "", ""),
    asked(PHONE, "firm.phone", "", ""),
    asked(EMAIL, "firm.email", "", ""),
    asked(LEGAL, "firm.legal", "", ""),
    asked(REGISTERED, "money.vat.registered", "", ""),
    behind(asked(VAT_NUMBER, "firm.vat_number", "", ""), REGISTERED, "yes"),
    asked(RATE, "money.vat.rate", "20 %", "%"),
    asked(LEADS, "people.name", "", ""),
    asked(LEADS_HOUR, "people.hour", "", ""),
    asked(SECOND, "people.name", "", ""),
    behind(asked(SECOND_HOUR, "people.hour", "", ""), SECOND, ""),
    asked(TRAVEL, "money.travel_day", "", ""),
    asked(OVERHEAD, "money.overhead", "12 %", "%"),
    asked(MARGIN, "money.margin", "25 %", "%"),
    asked(SKIP, "money.skip", "", ""),
    asked(SKIP_VOLUME, "money.skip_volume", "4.6 m3", "m3"),
    asked(SCAFFOLD, "money.scaffold", "", ""),
    asked(MINIMUM, "money.minimum_charge", "", ""),
    asked(DEPOSIT, "money.stages.part", "", "%"),
    asked(DAYS, "money.payment_days", "14", ""),
    asked(YEARS, "guarantee.years", "", ""),
    asked(GUARANTEE, "guarantee.words", "", ""),
    asked(BANK, "bank.name", "", ""),
    behind(asked(SORT_CODE, "bank.sort_code", "", ""), BANK, ""),
    behind(asked(ACCOUNT, "bank.account", "", ""), BANK, ""),
    of_merchant(MERCHANT, "merchant.name"),
    of_merchant(MERCHANT_ACCOUNT, "merchant.account"),
    of_merchant(DELIVERY, "merchant.delivery"),
];

/// What a firm file cannot do without.
const NEEDED: [&str; 15] = [
    NAME,
    ADDRESS,
    REGISTERED,
    LEADS,
    LEADS_HOUR,
    TRAVEL,
    OVERHEAD,
    MARGIN,
    SKIP,
    SKIP_VOLUME,
    SCAFFOLD,
    YEARS,
    GUARANTEE,
    SECOND_HOUR,
    RATE,
];

/// A firm that is being talked through.
pub struct FirmTalk {
    said: BTreeMap<&'static str, String>,
    asked: Vec<usize>,
}

impl FirmTalk {
    /// Begins, or goes on behind what was kept of an earlier sitting.
    pub fn new(kept: &str) -> FirmTalk {
        let mut said = BTreeMap::new();
        for (name, words) in pairs_of(kept) {
            if let Some(question) = QUESTIONS.iter().find(|question| question.name == name) {
                said.insert(question.name, words);
            }
        }
        let mut talk = FirmTalk { said, asked: Vec::new() };
        let last = QUESTIONS.iter().rposition(|question| talk.said.contains_key(question.name));
        let mut next = talk.next_from(0);
        while let Some(place) = next.filter(|place| last.is_some_and(|last| *place <= last)) {
            talk.asked.push(place);
            next = talk.next_from(place + 1);
        }
        talk.asked.push(next.unwrap_or(QUESTIONS.len()));
        talk
    }

    fn next_from(&self, place: usize) -> Option<usize> {
        let matters = |question: &FirmQuestion| match question.behind {
            None => true,
            Some((before, "")) => self.said.contains_key(before),
            Some((before, word)) => self.said.get(before).is_some_and(|said| said == word),
        };
        (place..QUESTIONS.len()).find(|&place| matters(&QUESTIONS[place]))
    }

    fn go_on(&mut self) {
        let place = self.asked.last().copied().unwrap_or_default();
        self.asked.push(self.next_from(place + 1).unwrap_or(QUESTIONS.len()));
    }

    fn usual(&self, question: &FirmQuestion) -> Option<String> {
        let usual = || Some(question.usual.to_owned()).filter(|usual| !usual.is_empty());
        self.said.get(question.name).cloned().or_else(usual)
    }

    fn answer(&mut self, question: &'static FirmQuestion, words: &str) -> TakenLine {
        let bare = words.chars().all(|c| c.is_ascii_digit() || c == '.') && !question.unit.is_empty();
        let words = if bare { format!("{words} {}", question.unit) } else { words.trim_start_matches('£').to_owned() };
        if let Err(problem) = tried(question.file, question.key, &words) {
            return TakenLine { words: format!("  {}; {}\n", problem.fault, problem.cure), changed: false };
        }
        self.said.insert(question.name, words);
        self.go_on();
        TakenLine { words: String::new(), changed: true }
    }

    fn explained(question: &FirmQuestion) -> String {
        let keys = all(question.file);
        let Some(key): Option<&Explained> = keys.iter().find(|key| key.name() == question.key) else {
            return String::new();
        };
        let mut text = format!("    {}\n", key.purpose);
        if !key.changes.is_empty() {
            let _ = writeln!(text, "    It decides: {}.", key.changes);
        }
        if let Some(limit) = key.limit {
            let _ = writeln!(text, "    It lies {}.", limit.words());
        }
        if !key.example.is_empty() {
            let _ = writeln!(text, "    For example {}.", key.example);
        }
        text
    }

    // ---- The files --------------------------------------------------------------------------------------------------------

    /// The text of the firm file.
    pub fn firm_file(&self) -> Draft {
        let mut gaps = Vec::new();
        let mut open = |name: &'static str, key: &str| -> Option<String> {
            let said = self.said.get(name).cloned();
            if said.is_none() && NEEDED.contains(&name) {
                let question = QUESTIONS.iter().find(|question| question.name == name);
                let example = question.and_then(|question| written(question, key));
                let cure = example.map_or(String::new(), |example| format!("for example `{example}`"));
                gaps.push(Gap { page: None, name: name.to_owned(), said: None, fault: String::new(), cure });
            }
            said
        };
        let mut text = String::new();
        let mut put = |indent: usize, key: &str, value: Option<String>| {
            let _ = match value {
                _ if key.is_empty() => writeln!(text),
                Some(value) if value.is_empty() => writeln!(text, "{:indent$}{key}:", ""),
                Some(value) => writeln!(text, "{:indent$}{key}: {value}", ""),
                None => writeln!(text, "{:indent$}# {key}: to be filled in, where it is needed", ""),
            };
        };
        let quoted = |value: Option<String>| value.map(|value| scalar(&value));
        let lines = |value: Option<String>| {
            value.map(|lines| {
                let lines: Vec<String> = lines.split(',').map(|line| scalar(line.trim())).collect();
                format!("[{}]", lines.join(", "))
            })
        };
        put(0, "firm", Some(String::new()));
        put(2, "name", quoted(open(NAME, "name")));
        put(2, "address", lines(open(ADDRESS, "address")));
        for (name, key) in [(PHONE, "phone"), (EMAIL, "email"), (LEGAL, "legal"), (VAT_NUMBER, "vat_number")] {
            put(2, key, quoted(open(name, key)));
        }
        put(0, "", None);
        put(0, "guarantee", Some(String::new()));
        put(2, "years", open(YEARS, "years"));
        put(2, "words", quoted(open(GUARANTEE, "words")));
        let person = |name: Option<String>, role: &str, hour: Option<String>| {
            let hour = hour.map_or(String::new(), |hour| format!(", hour: {hour}"));
            name.map(|name| format!("{{name: {}, role: {role}{hour}}}", scalar(&name)))
        };
        let leads = person(open(LEADS, "name"), "installer", open(LEADS_HOUR, "hour"));
        let second = self.said.contains_key(SECOND).then(|| open(SECOND_HOUR, "hour")).flatten();
        let second = person(open(SECOND, "name"), "mate", second);
        let people: Vec<String> = leads.into_iter().chain(second).collect();
        put(0, "", None);
        put(0, "people", (!people.is_empty()).then(|| format!("[{}]", people.join(", "))));
        if let Some(bank) = open(BANK, "name") {
            let [code, number] = [(SORT_CODE, "sort_code"), (ACCOUNT, "account")].map(|(name, key)| open(name, key));
            let parts = [("sort_code", code), ("account", number)];
            let parts: String =
                parts.into_iter().filter_map(|(k, v)| Some(format!(", {k}: {}", scalar(&v?)))).collect();
            put(0, "", None);
            put(0, "bank", Some(format!("{{name: {}{parts}}}", scalar(&bank))));
        }
        put(0, "", None);
        put(0, "money", Some(String::new()));
        put(2, "travel_day", open(TRAVEL, "travel_day"));
        put(2, "overhead", open(OVERHEAD, "overhead"));
        put(2, "margin", open(MARGIN, "margin"));
        let registered = open(REGISTERED, "registered");
        let rate = open(RATE, "rate").map_or(String::new(), |rate| format!(", rate: {rate}"));
        put(2, "vat", registered.map(|registered| format!("{{registered: {registered}{rate}}}")));
        for (name, key) in [
            (SKIP, "skip"),
            (SKIP_VOLUME, "skip_volume"),
            (SCAFFOLD, "scaffold"),
            (MINIMUM, "minimum_charge"),
            (DAYS, "payment_days"),
        ] {
            put(2, key, open(name, key));
        }
        let deposit =
            open(DEPOSIT, "stages").map(|part| format!("{{when: \"Deposit, when you accept\", part: {part}}}, "));
        put(2, "stages", Some(format!("[{}{{when: On completion, part: rest}}]", deposit.unwrap_or_default())));
        let rules = DEMO.find(RULES_FROM).map_or("", |at| &DEMO[at..]);
        let mut head = String::from(FIRM_HEAD);
        if !gaps.is_empty() {
            head.push_str("#\n# Still to be filled in; nothing is priced without it:\n");
        }
        for gap in &gaps {
            let _ = writeln!(head, "# - {gap}");
        }
        Draft { text: format!("{head}\n{text}{FIRM_BESIDES}\n{rules}"), gaps, empty: Vec::new() }
    }

    /// The head of the price book.
    pub fn book_head(&self, today: &str) -> String {
        let mut text = String::from("merchant:\n");
        let name = self.said.get(MERCHANT).map_or("still to be filled in".to_owned(), |name| scalar(name));
        let _ = writeln!(text, "  name: {name}");
        if let Some(account) = self.said.get(MERCHANT_ACCOUNT) {
            let _ = writeln!(text, "  account: {}", scalar(account));
        }
        let unknown = "0 # what a delivery costs; 0 until you know";
        let _ = writeln!(text, "  delivery: {}", self.said.get(DELIVERY).map_or(unknown, String::as_str));
        let _ = writeln!(text, "\ndated: {today}\n");
        text
    }
}

/// How an answer could stand in the file: the group that it opens, where it opens one, else its own line.
fn written(question: &FirmQuestion, key: &str) -> Option<String> {
    let keys = all(question.file);
    let of_group = match question.name {
        REGISTERED => Some("vat: {registered: yes, rate: 20 %}"),
        LEADS => Some("people: [{name: A. Roofer, role: installer, hour: 28.00}]"),
        _ => None,
    };
    let example = keys.iter().find(|k| k.name() == question.key).map(|k| k.example.as_str());
    let line = || example.filter(|example| !example.is_empty()).map(|example| format!("{key}: {example}"));
    of_group.map(str::to_owned).or_else(line)
}

const FIRM_HEAD: &str = "\
# The firm: who it is, what it costs, how it sells, and the rules by which it lays roofs. `wetout help KEY` tells each key.
# Nothing here is advice on law, tax or insurance.
";

const FIRM_BESIDES: &str = "
# What can stand here besides: terms, exclusions, needs, payment (lines printed in the quote), holidays, weather_watch, mail,
# coverings, tips, surfaces, lift; under money contingency, least_margin, access, rot_rates. `wetout help firm` lists every key.
";

impl Talk for FirmTalk {
    fn prompt(&self) -> Option<String> {
        let question = QUESTIONS.get(*self.asked.last()?)?;
        let usual = self.usual(question).map_or(String::new(), |usual| format!(" [{usual}]"));
        Some(format!("  {}{usual}: ", question.name))
    }

    fn take(&mut self, line: &str) -> TakenLine {
        let said = |words: &str, changed| TakenLine { words: words.to_owned(), changed };
        let Some(question) = self.asked.last().and_then(|&place| QUESTIONS.get(place)) else {
            return said("", false);
        };
        match (line.trim(), self.usual(question)) {
            (BACK, _) if self.asked.len() > 1 => {
                self.asked.pop();
                said("", false)
            }
            (BACK, _) => said("  this is the first question\n", false),
            (WHY, _) => said(&FirmTalk::explained(question), false),
            (OPEN, _) | ("", None) => {
                self.said.remove(question.name);
                self.go_on();
                said("", true)
            }
            ("", Some(usual)) => self.answer(question, &usual),
            (words, _) => self.answer(question, words),
        }
    }

    fn kept(&self) -> String {
        kept::written(self.said.iter().map(|(name, words)| (*name, words.as_str())))
    }
}
