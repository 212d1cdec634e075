//! A merchant's list as a price book: each row matched to what the program asks for.
//!
//! Given the rows of a list; gives articles, each with how sure it is. A row is matched by its words against what every role is
//! and how the demo's price book describes it, then by its sizes and by what its pack holds in the unit of the role. What is not
//! sure is never sold, unless somebody has said what it is: it stands as a remark with what it may be.

use super::list_columns::{MerchantList, MerchantRow};
use crate::job_file::reference::{FileKind, articles_of, tried};
use crate::job_file::scalar;
use crate::model::quantity::Unit;
use crate::model::role::{ROLES, Role};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// The price book of the demo: how such things are described.
const DEMO: &str = include_str!("../../jobs/prices.yaml");
/// A row is sure where so much of what it says speaks for one role, and so much more than for any other.
const SURE: f64 = 0.5;
const CLEARER: f64 = 0.12;
/// A role is worth a guess where so much speaks for it, and so many are guessed.
const GUESSED: f64 = 0.25;
const GUESSES: usize = 3;
/// The answer that a row is of nothing that is sold here.
pub const NONE_OF_THESE: &str = "none";

/// What came of a list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MatchedList {
    /// The lines of the price book below `articles:`.
    pub lines: Vec<String>,
    /// How many rows are sold.
    pub sure: usize,
    /// Rows that are not sure.
    pub unsure: Vec<UnsureRow>,
    /// Roles of the demo's price book that nothing of the list serves.
    pub unserved: Vec<String>,
}

/// A row that is not sure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnsureRow {
    /// The row.
    pub row: MerchantRow,
    /// Why.
    pub why: String,
    /// What it may be, the likeliest first: roles where a price book is begun, else codes of its articles.
    pub guesses: Vec<String>,
}

impl UnsureRow {
    /// Where it stands, what it says, and why it is not sure.
    pub fn told(&self) -> String {
        let named = if self.row.description.is_empty() { &self.row.code } else { &self.row.description };
        format!("{}: {named}: {}", self.row.place, self.why)
    }
}

/// Matches the rows of a list to roles; `said` is what somebody said of rows by their keys: a role, or that it is none.
pub fn matched(list: &MerchantList, said: &BTreeMap<String, String>) -> MatchedList {
    let known = Vocabularies::new();
    let mut matched = MatchedList::default();
    let mut served = BTreeSet::new();
    for row in &list.rows {
        match known.article(row, said.get(row.key()).map(String::as_str)) {
            Ok((role, line)) => {
                served.insert(family(&role));
                matched.sure += 1;
                matched.lines.push(format!("  - {line}"));
            }
            Err((why, guesses)) => {
                let unsure = UnsureRow { row: row.clone(), why, guesses };
                matched.lines.push(format!("  # {}", unsure.told()));
                matched.unsure.push(unsure);
            }
        }
    }
    let asked = articles_of(DEMO).into_iter().filter_map(|article| article.into_iter().find(|(key, _)| key == "role"));
    let asked: BTreeSet<String> = asked.map(|(_, role)| family(&role)).filter(|family| family != "own").collect();
    matched.unserved = asked.difference(&served).cloned().collect();
    matched
}

/// The articles of the demo's price book as remarks: what to look for at a merchant's.
pub fn template() -> Vec<String> {
    let lines = DEMO.lines().skip_while(|line| !line.starts_with("articles:")).skip(1);
    let commented = |line: &str| match line.trim_start() {
        "" => String::new(),
        words if words.starts_with('#') => format!("  {words}"),
        words => format!("  # {words}"),
    };
    lines.map(commented).collect()
}

/// The roles that a row may be said to have, each with what it is.
pub fn role_names() -> BTreeMap<String, String> {
    let sold = ROLES.iter().filter(|facts| facts.word != "own.*");
    sold.map(|facts| (family(facts.word.trim_end_matches(".*")), facts.about.to_owned())).collect()
}

/// A role without what tells one of its family from another.
fn family(role: &str) -> String {
    let known = ROLES.iter().find(|facts| facts.word == role);
    let head = || role.split('.').next().unwrap_or(role).to_owned();
    known.map_or_else(head, |facts| facts.word.to_owned())
}

// ---- Matching ------------------------------------------------------------------------------------------------------------

/// The words by which each role is known, and how telling each word is.
pub(super) struct Vocabularies {
    roles: Vec<String>,
    /// Of each word how telling it is, and the roles that it speaks for.
    words: BTreeMap<String, (f64, Vec<usize>)>,
}

/// Why a row is not sure, and which roles it may have.
type NotSure = (String, Vec<String>);

impl Vocabularies {
    pub(super) fn new() -> Vocabularies {
        let mut roles: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for facts in ROLES.iter().filter(|facts| facts.word != "own.*") {
            let words = roles.entry(family(facts.word.trim_end_matches(".*"))).or_default();
            words.extend(words_of(facts.word));
            words.extend(words_of(facts.about));
        }
        for article in articles_of(DEMO) {
            let of =
                |key: &str| article.iter().find(|(k, _)| k == key).map(|(_, words)| words.as_str()).unwrap_or_default();
            if let Some(words) = roles.get_mut(&family(of("role"))) {
                words.extend(words_of(of("description")));
            }
        }
        let count = roles.len() as f64;
        let mut words: BTreeMap<String, (f64, Vec<usize>)> = BTreeMap::new();
        for (n, of_role) in roles.values().enumerate() {
            of_role.iter().for_each(|word| words.entry(word.clone()).or_default().1.push(n));
        }
        words.values_mut().for_each(|(weight, of)| *weight = (count / of.len() as f64).ln());
        Vocabularies { roles: roles.into_keys().collect(), words }
    }

    /// How much of what a text says speaks for each role, the most first.
    fn scores(&self, text: &str) -> Vec<(f64, &str)> {
        let mut scores = vec![0.0; self.roles.len()];
        let mut whole: f64 = 0.0;
        for (weight, roles) in words_of(text).iter().filter_map(|word| self.words.get(word)) {
            whole += weight;
            roles.iter().for_each(|role| scores[*role] += weight);
        }
        let whole = whole.max(1.0);
        let mut scores: Vec<(f64, &str)> =
            scores.into_iter().map(|score: f64| score / whole).zip(self.roles.iter().map(String::as_str)).collect();
        scores.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
        scores
    }

    /// The role of a row and its line in the price book; or why it is not sure. `said` is what somebody said that it is.
    pub(super) fn article(&self, row: &MerchantRow, said: Option<&str>) -> Result<(String, String), NotSure> {
        match said {
            Some(NONE_OF_THESE) => return Err(("it was said to be none of what is asked for".to_owned(), Vec::new())),
            Some(role) => return line_of(role, row).map_err(|why| (why, vec![role.to_owned()])),
            None => {}
        }
        let scores = self.scores(&row.description);
        let [(best, role), (second, other), ..] = scores.as_slice() else {
            return Err(("nothing is known".to_owned(), Vec::new()));
        };
        let guesses = scores.iter().take(GUESSES).filter(|(score, _)| *score >= GUESSED).map(|(_, r)| (*r).to_owned());
        if *best < SURE {
            return Err(("none of what the program asks for is described so".to_owned(), guesses.collect()));
        }
        if best - second < CLEARER {
            return Err((format!("it may be `{role}` or `{other}`"), guesses.collect()));
        }
        line_of(role, row).map_err(|why| (why, vec![(*role).to_owned()]))
    }
}

/// The whole role of a row that is of this family, and its line in the price book; or what it does not say.
fn line_of(family: &str, row: &MerchantRow) -> Result<(String, String), String> {
    let words = format!("{} {}", row.description, row.pack).to_lowercase();
    let (role, sizes) = sized(family, &words)?;
    let Some(parsed) = Role::parse(&role) else { return Err(format!("`{role}` is not sold so")) };
    let unit = ROLES[parsed.place()].unit;
    let holds = held(unit, &words, &row.pack)
        .ok_or_else(|| format!("it looks like `{role}`, and what a pack holds is not said"))?;
    if !is_price(&row.price) {
        return Err(format!("it looks like `{role}`, and `{}` is no price", row.price));
    }
    let pack = if row.pack.is_empty() { "each" } else { &row.pack };
    let mut line = format!("{{role: {role}, code: {}, description: {}", scalar(row.key()), scalar(&row.description));
    let _ = write!(line, ", pack: {}, holds: {holds}, price: {}", scalar(pack), row.price);
    let mass: String = row.mass.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
    if !mass.is_empty() && tried(FileKind::Prices, "articles.mass", &format!("{mass} kg")).is_ok() {
        let _ = write!(line, ", mass: {mass} kg");
    }
    Ok((role, format!("{line}{sizes}}}")))
}

/// Whether a price book takes it for a price.
pub(super) fn is_price(price: &str) -> bool {
    !price.is_empty() && tried(FileKind::Prices, "articles.price", price).is_ok()
}

/// The words of a text that tell something, in the singular.
pub(super) fn words_of(text: &str) -> BTreeSet<String> {
    const SAY_NOTHING: [&str; 22] = [
        "the", "and", "for", "with", "its", "per", "that", "under", "over", "into", "what", "which", "from", "their",
        "each", "pack", "box", "roll", "sheet", "cut", "one", "old",
    ];
    let lower = text.to_lowercase();
    let parts = lower.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 2);
    let plain = |word: &str| if word.len() > 3 { word.trim_end_matches('s').to_owned() } else { word.to_owned() };
    parts.filter(|word| !SAY_NOTHING.contains(word)).map(plain).collect()
}

/// A number and the letters behind it, such as 450 and `g`; each of them.
pub(super) fn measures(words: &str) -> Vec<(f64, String)> {
    let signs: Vec<char> = words.chars().collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < signs.len() {
        if !signs[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let start = at;
        while at < signs.len() && (signs[at].is_ascii_digit() || signs[at] == '.') {
            at += 1;
        }
        let number: String = signs[start..at].iter().collect();
        let mut behind = at;
        while behind < signs.len() && signs[behind] == ' ' {
            behind += 1;
        }
        let unit: String = signs[behind..].iter().take_while(|c| c.is_alphabetic() || matches!(c, '²' | '2')).collect();
        if let Ok(number) = number.trim_end_matches('.').parse() {
            found.push((number, unit));
        }
    }
    found
}

/// The numbers that are joined by a sign of times, in mm: `2400 x 590 x 18`.
fn dimensions(words: &str) -> Vec<f64> {
    let plain = words.replace(['×', '*'], "x").replace("mm x", " x").replace("m x", " x");
    let plain = plain.replace(" x", "x").replace("x ", "x");
    let chains = plain.split(|c: char| !(c.is_ascii_digit() || c == 'x' || c == '.'));
    let numbers = |chain: &str| chain.split('x').map(|n| n.parse::<f64>().ok()).collect::<Option<Vec<f64>>>();
    chains.filter_map(numbers).filter(|numbers| numbers.len() > 1).max_by_key(Vec::len).unwrap_or_default()
}

/// The whole role of a family, and the sizes that an article of it needs.
fn sized(family: &str, words: &str) -> Result<(String, String), String> {
    let all = measures(words);
    let of = |unit: &str| all.iter().find(|(_, u)| u == unit).map(|(n, _)| *n);
    let mm = || of("mm").ok_or_else(|| format!("it looks like `{family}`, and no size in mm is said"));
    let length = || of("m").or(of("mm").filter(|mm| *mm >= 1000.0).map(|mm| mm / 1000.0));
    let is = |word: &str| words.contains(word);
    match family {
        "mat" => {
            let weight = of("g").or(of("gsm")).or(of("gm")).ok_or("it looks like mat, and its weight is not said")?;
            let wide = of("mm").filter(|mm| *mm >= 300.0).map_or(String::new(), |mm| format!(", width: {mm} mm"));
            Ok((format!("mat.{weight}"), wide))
        }
        "bandage" => Ok((format!("bandage.{}", mm()?), String::new())),
        "topcoat" => {
            let colour =
                COLOURS.iter().find(|colour| is(colour)).ok_or("it looks like topcoat, and its colour is not known")?;
            Ok((format!("topcoat.{}", colour.replace(' ', "-")), String::new()))
        }
        "board" => {
            let sides = dimensions(words);
            let thick = sides.iter().copied().chain(of("mm")).find(|n| (6.0..=50.0).contains(n));
            let mut long: Vec<f64> = sides.into_iter().filter(|n| *n > 100.0).collect();
            long.sort_by(|a, b| b.total_cmp(a));
            let (Some(thick), [length, width, ..]) = (thick, long.as_slice()) else {
                return Err("it looks like a board, and its length, width and thickness are not all said".to_owned());
            };
            let tongued = is("tongue") || is("t&g") || is("t and g");
            let kind = if is("osb") {
                "osb3"
            } else if is("ply") {
                "ply"
            } else {
                "board"
            };
            let (key, edge) = if tongued { ("", "tongued") } else { ("-square", "square") };
            let key = format!("board.{kind}-{thick}{}", if thick < 15.0 { "" } else { key });
            Ok((key, format!(", length: {length} mm, width: {width} mm, thickness: {thick} mm, edge: {edge}")))
        }
        "insulation" => Err("it looks like insulation: write its thickness, size and conductivity by hand".to_owned()),
        "aggregate" => Ok((format!("aggregate.{}", if is("coarse") { "coarse" } else { "fine" }), String::new())),
        "tile" => {
            let kind = ["plain", "interlocking", "slate"].into_iter().find(|kind| is(kind));
            Ok((format!("tile.{}", kind.ok_or("it looks like a tile, and which is not said")?), String::new()))
        }
        "sawn" => match (dimensions(words).as_slice(), length()) {
            ([a, b, ..], Some(length)) => {
                let (thin, wide) = if a < b { (a, b) } else { (b, a) };
                Ok((format!("sawn.{thin}x{wide}"), format!(", longest: {length} m, length: {length} m")))
            }
            _ => Err("it looks like sawn timber, and its section and length are not both said".to_owned()),
        },
        "trim.drip" | "trim.raised" | "trim.wall" | "trim.kerb" => {
            let length = length().ok_or_else(|| format!("it looks like `{family}`, and its length is not said"))?;
            Ok((family.to_owned(), format!(", longest: {length} m, length: {length} m")))
        }
        "timber.edge" | "collar.pipe" | "outlet.roof" | "bracket.gutter" | "chute.overflow" | "dpc"
        | "capping.metal" | "capping.bracket" | "capping.end" | "capping.corner" | "hanger" | "fixings.old-deck" => {
            Ok((family.to_owned(), format!(", size: {} mm", mm()?)))
        }
        // The board itself is described in the same words as what pins it.
        "fixings.fascia" if !["pin", "nail", "screw"].into_iter().any(is) => {
            Err("it looks like a fascia or soffit board: a job names one as goods of its own".to_owned())
        }
        "fixings.fascia" => Ok((family.to_owned(), format!(", size: {} mm", mm()?))),
        "sheet.night" => match dimensions(&words.replace('m', "")).as_slice() {
            [a, b, ..] => {
                let (width, length) = if a < b { (a, b) } else { (b, a) };
                Ok((family.to_owned(), format!(", length: {length} m, width: {width} m")))
            }
            _ => Err("it looks like a sheet for the night, and its two sides are not said".to_owned()),
        },
        _ => Ok((family.to_owned(), String::new())),
    }
}

/// Colours of topcoat, the longer name first.
const COLOURS: [&str; 10] =
    ["dark grey", "light grey", "brick red", "grey", "green", "black", "white", "brown", "terracotta", "blue"];

/// What a pack holds in the unit of its role; where nothing is said of what is counted, it is one.
fn held(unit: Unit, words: &str, pack: &str) -> Option<String> {
    said_to_hold(unit, words, pack).or_else(|| (unit == Unit::Each).then(|| "1".to_owned()))
}

/// What a pack is said to hold in the unit of its role.
pub(super) fn said_to_hold(unit: Unit, words: &str, pack: &str) -> Option<String> {
    let all = measures(words);
    let of = |units: &[&str], most: f64| {
        all.iter().rev().find(|(n, u)| units.contains(&u.as_str()) && *n <= most).map(|(n, _)| *n)
    };
    match unit {
        Unit::Metre => {
            let by_the_metre = || ["m", "metre", "per metre"].contains(&pack.to_lowercase().as_str()).then_some(1.0);
            of(&["m", "mtr", "metre", "metres"], 1000.0).or_else(by_the_metre).map(|n| format!("{n} m"))
        }
        Unit::SquareMetre => {
            let area = || match dimensions(&words.replace('m', "")).as_slice() {
                // Sides of a hundred and more are in millimetres.
                [a, b, ..] if *a >= 100.0 && *b >= 100.0 => Some((a * b / 10_000.0).round() / 100.0),
                [a, b, ..] => Some(a * b),
                _ => None,
            };
            of(&["m2", "m²", "sqm"], 10_000.0).or_else(area).map(|n| format!("{n} m2"))
        }
        Unit::Kilogram => of(&["kg", "kilo", "kilos"], 2000.0).map(|n| format!("{n} kg")),
        Unit::Millilitre => {
            let litres = || of(&["l", "ltr", "litre", "litres"], 100.0).map(|n| n * 1000.0);
            of(&["ml"], 100_000.0).or_else(litres).map(|n| format!("{n} ml"))
        }
        Unit::Litre => {
            let small = || of(&["ml"], 100_000.0).map(|n| n / 1000.0);
            of(&["l", "ltr", "litre", "litres"], 1000.0).or_else(small).map(|n| format!("{n} l"))
        }
        _ => {
            let counted = ["box of ", "pack of ", "bag of ", "tub of ", "set of "].iter().find_map(|lead| {
                let rest = &words[words.find(lead)? + lead.len()..];
                let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
                digits.parse::<u32>().ok()
            });
            counted.map(|n| n.to_string())
        }
    }
}
