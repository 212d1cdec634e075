//! A merchant's list as a price book: columns by their headings, each row matched to what the program asks for.
//!
//! Given the text of a CSV; gives articles, each with how sure it is. A row is matched by its words against what every role is
//! and how the demo's price book describes it, then by its sizes and by what its pack holds in the unit of the role. What is not
//! sure is never sold: it stands as a remark with what it may be.

use crate::job_file::reference::{FileKind, articles_of, tried};
use crate::job_file::scalar;
use crate::model::limits;
use crate::model::quantity::Unit;
use crate::model::role::{ROLES, Role};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// The price book of the demo: how such things are described.
const DEMO: &str = include_str!("../../jobs/prices.yaml");
/// A row is sure where so much of what it says speaks for one role, and so much more than for any other.
const SURE: f64 = 0.5;
const CLEARER: f64 = 0.12;

/// What came of a list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MatchedList {
    /// The lines of the price book below `articles:`.
    pub lines: Vec<String>,
    /// How many rows are sold.
    pub sure: usize,
    /// Rows that are not sure: the line of the list, what it says, and why.
    pub unsure: Vec<String>,
    /// Roles of the demo's price book that nothing of the list serves.
    pub unserved: Vec<String>,
}

/// Why a list is not read.
type ListNotRead = (String, String);

/// Reads a list.
///
/// # Errors
/// No heading row that names a description and a price.
pub fn matched(text: &str) -> Result<MatchedList, ListNotRead> {
    let rows = rows_of(text);
    let Some((head, body)) = rows.split_first() else {
        return Err(("there is nothing in it".to_owned(), "name the merchant's list as CSV".to_owned()));
    };
    let columns = Columns::of(head)?;
    let known = Vocabularies::new();
    let mut list = MatchedList::default();
    let mut served = BTreeSet::new();
    for (row, number) in body.iter().take(limits::ARTICLES.most).zip(2..) {
        let Some(article) = columns.article(row) else { continue };
        match known.article(&article) {
            Ok((role, line)) => {
                served.insert(family(&role));
                list.sure += 1;
                list.lines.push(format!("  - {line}"));
            }
            Err(why) => {
                let said = format!("line {number}: {}: {why}", article.description);
                list.lines.push(format!("  # {}", said.replace('\n', " ")));
                list.unsure.push(said);
            }
        }
    }
    let asked = articles_of(DEMO).into_iter().filter_map(|article| article.into_iter().find(|(key, _)| key == "role"));
    let asked: BTreeSet<String> = asked.map(|(_, role)| family(&role)).filter(|family| family != "own").collect();
    list.unserved = asked.difference(&served).cloned().collect();
    Ok(list)
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

/// A role without what tells one of its family from another.
fn family(role: &str) -> String {
    let known = ROLES.iter().find(|facts| facts.word == role);
    let head = || role.split('.').next().unwrap_or(role).to_owned();
    known.map_or_else(head, |facts| facts.word.to_owned())
}

// ---- The list ------------------------------------------------------------------------------------------------------------

/// The rows of a CSV (RFC 4180), whichever sign parts its columns.
fn rows_of(text: &str) -> Vec<Vec<String>> {
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().next().unwrap_or_default();
    let parts = [',', ';', '\t'].into_iter().max_by_key(|sign| first.matches(*sign).count()).unwrap_or(',');
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            sign if sign == parts && !quoted => row.push(std::mem::take(&mut cell)),
            '\n' if !quoted => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            '\r' if !quoted => {}
            sign => cell.push(sign),
        }
    }
    row.push(cell);
    rows.push(row);
    rows.retain(|row| row.iter().any(|cell| !cell.trim().is_empty()));
    rows
}

/// Which column says what.
struct Columns {
    code: Option<usize>,
    description: usize,
    price: usize,
    pack: Option<usize>,
    mass: Option<usize>,
}

/// A row of the list.
struct MerchantRow {
    code: String,
    description: String,
    pack: String,
    price: String,
    mass: String,
}

impl Columns {
    fn of(head: &[String]) -> Result<Columns, ListNotRead> {
        // A price with VAT, or for somebody else, is none that the firm pays.
        const NOT_OURS: [&str; 6] = ["inc", "incl", "including", "gross", "retail", "rrp"];
        let column = |words: &[&str]| {
            let has = |heading: &String, word: &str| {
                heading.to_lowercase().split(|c: char| !c.is_alphanumeric()).any(|part| part == word)
            };
            let ours = |heading: &String| !NOT_OURS.iter().any(|word| has(heading, word));
            words.iter().find_map(|word| head.iter().position(|heading| has(heading, word) && ours(heading)))
        };
        let description = column(&["description", "product", "item", "name", "title"]);
        let price = column(&["price", "net", "trade", "cost", "each"]);
        let (Some(description), Some(price)) = (description, price) else {
            let cure = "its first row names the columns: code, description, pack, price, weight".to_owned();
            return Err(("no column is headed description, or none price".to_owned(), cure));
        };
        let beside = |found: Option<usize>| found.filter(|column| *column != description && *column != price);
        Ok(Columns {
            code: beside(column(&["code", "sku", "ref", "reference", "stock", "number", "item"])),
            description,
            price,
            pack: beside(column(&["pack", "size", "unit", "uom", "per", "quantity"])),
            mass: beside(column(&["weight", "mass", "kg"])),
        })
    }

    fn article(&self, row: &[String]) -> Option<MerchantRow> {
        let cell = |column: usize| row.get(column).map(|cell| cell.trim().to_owned()).unwrap_or_default();
        let of = |column: Option<usize>| column.map(cell).unwrap_or_default();
        let description: String = cell(self.description).chars().filter(|c| !c.is_control()).collect();
        (!description.is_empty()).then(|| MerchantRow {
            code: of(self.code),
            description,
            pack: of(self.pack),
            price: cell(self.price),
            mass: of(self.mass),
        })
    }
}

// ---- Matching ------------------------------------------------------------------------------------------------------------

/// The words by which each role is known, and how telling each word is.
struct Vocabularies {
    roles: BTreeMap<String, BTreeSet<String>>,
    weights: BTreeMap<String, f64>,
}

impl Vocabularies {
    fn new() -> Vocabularies {
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
        let mut weights: BTreeMap<String, f64> = BTreeMap::new();
        for word in roles.values().flatten() {
            *weights.entry(word.clone()).or_default() += 1.0;
        }
        weights.values_mut().for_each(|weight| *weight = (count / *weight).ln());
        Vocabularies { roles, weights }
    }

    /// The role of a row and its line in the price book; or why it is not sure.
    fn article(&self, row: &MerchantRow) -> Result<(String, String), String> {
        let said = words_of(&row.description);
        let weight = |word: &String| self.weights.get(word).copied().unwrap_or(0.0);
        let whole: f64 = said.iter().map(weight).sum();
        let mut scores: Vec<(f64, &String)> = self
            .roles
            .iter()
            .map(|(role, words)| (said.intersection(words).map(weight).sum::<f64>() / whole.max(1.0), role))
            .collect();
        scores.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
        let [(best, role), (second, other), ..] = scores.as_slice() else { return Err("nothing is known".to_owned()) };
        if *best < SURE {
            return Err("none of what the program asks for is described so".to_owned());
        }
        if best - second < CLEARER {
            return Err(format!("it may be `{role}` or `{other}`"));
        }
        let words = format!("{} {}", row.description, row.pack).to_lowercase();
        let (role, sizes) = sized(role, &words)?;
        let Some(parsed) = Role::parse(&role) else { return Err(format!("`{role}` is not sold so")) };
        let unit = ROLES[parsed.place()].unit;
        let holds = held(unit, &words, &row.pack)
            .ok_or_else(|| format!("it looks like `{role}`, and what a pack holds is not said"))?;
        let price = pounds(&row.price);
        if tried(FileKind::Prices, "articles.price", &price).is_err() {
            return Err(format!("it looks like `{role}`, and `{}` is no price", row.price));
        }
        let code = if row.code.is_empty() { &row.description } else { &row.code };
        let pack = if row.pack.is_empty() { "each" } else { &row.pack };
        let mut line = format!("{{role: {role}, code: {}, description: {}", scalar(code), scalar(&row.description));
        let _ = write!(line, ", pack: {}, holds: {holds}, price: {price}", scalar(pack));
        let mass: String = row.mass.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
        if tried(FileKind::Prices, "articles.mass", &format!("{mass} kg")).is_ok() && !mass.is_empty() {
            let _ = write!(line, ", mass: {mass} kg");
        }
        Ok((role, format!("{line}{sizes}}}")))
    }
}

/// A price in pounds and pence; a comma parts thousands alone. What is not clear stays as it is, and is no price.
fn pounds(said: &str) -> String {
    let plain = said.trim().trim_start_matches('£').trim();
    let (whole, pence) = plain.split_once('.').unwrap_or((plain, ""));
    let groups: Vec<&str> = whole.split(',').collect();
    let parted = groups.len() == 1 || groups[0].len() <= 3 && groups[1..].iter().all(|group| group.len() == 3);
    match (parted, pence) {
        (false, _) => plain.to_owned(),
        (true, "") => groups.concat(),
        (true, pence) => format!("{}.{pence:0<2}", groups.concat()),
    }
}

/// The words of a text that tell something, in the singular.
fn words_of(text: &str) -> BTreeSet<String> {
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
fn measures(words: &str) -> Vec<(f64, String)> {
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
        | "capping.metal" | "capping.bracket" | "capping.end" | "capping.corner" | "hanger" => {
            Ok((family.to_owned(), format!(", size: {} mm", mm()?)))
        }
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

/// What a pack holds in the unit of its role.
fn held(unit: Unit, words: &str, pack: &str) -> Option<String> {
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
            Some(counted.unwrap_or(1).to_string())
        }
    }
}
