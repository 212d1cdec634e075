//! What is not parted at the end of a line: an e-mail address, a reference, a figure and its unit, a date, a postcode, a title
//! or an initial and the name after it.
//!
//! Given words as they stand between blanks; says whether one may be broken and whether two may. It only asks: text that
//! does not fit on one line is still broken, first where it would have been broken without these rules.

/// Units that stay with their figure.
const UNITS: [&str; 27] = [
    "mm", "cm", "m", "km", "m²", "m³", "kg", "kg/m²", "g", "g/m²", "mg/m³", "ppm", "ml", "ml/kg", "l", "l/m²", "l/s",
    "%", "°C", "°", "×", "litres", "V", "W", "W/m²K", "W/mK", "kN/m²",
];

/// What is counted, as one and as several: it stays with its number.
const COUNTED: [&str; 48] = [
    "batten", "battens", "board", "boards", "coat", "coats", "corner", "corners", "day", "days", "drop", "drops",
    "hour", "hours", "joist", "joists", "layer", "layers", "length", "lengths", "load", "loads", "minute", "minutes",
    "month", "months", "pack", "packs", "page", "pages", "patch", "patches", "people", "person", "piece", "pieces",
    "place", "places", "pot", "pots", "roof", "roofs", "strip", "strips", "week", "weeks", "year", "years",
];

/// Words that stay with the number that follows them.
const NUMBERED: [&str; 16] = [
    "Act",
    "BS",
    "Document",
    "EN",
    "Flat",
    "ISO",
    "No.",
    "Part",
    "Regulations",
    "Schedule",
    "Table",
    "Unit",
    "about",
    "page",
    "section",
    "volume",
];

/// Words that stay with the letter that follows them: `revision A`, `Approved Document H`.
const LETTERED: [&str; 3] = ["Document", "Part", "revision"];

/// How people are addressed: it stays with the name that follows.
const TITLES: [&str; 7] = ["Dr", "Miss", "Mr", "Mrs", "Ms", "Mx", "Prof"];

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Whether a word is read as one: an address on the net, what has a figure and a hyphen or stroke in it (`26-041-B`),
/// a unit with a stroke, and what begins with a single letter and a hyphen (`e-mail`, `U-value`).
pub fn is_one(word: &str) -> bool {
    let word = bare(word);
    let address = word.contains('@') || word.contains("://") || word.starts_with("www.");
    let figure = word.contains(|c: char| c.is_ascii_digit());
    let lettered = word.chars().nth(1) == Some('-');
    address || (word.contains(['-', '–', '/']) && (figure || lettered || UNITS.contains(&word)))
}

/// Whether a sign is one without which no word is read as one ([`is_one`]).
pub fn may_be_one(sign: char) -> bool {
    matches!(sign, '@' | '/' | '-' | '–' | 'w')
}

/// Whether a sign is one without which, in either of them, no two words stay on one line ([`stay`]), but for names and for a
/// letter of its own after its word.
pub fn may_stay(sign: char) -> bool {
    sign.is_ascii_digit() || sign == '×'
}

/// Whether two words that follow each other stay on one line.
pub fn stay(before: &str, after: &str) -> bool {
    let (before, end) = (before.trim_start_matches(OPENING), bare(after));
    let figure = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    let ends_in_figure = before.ends_with(|c: char| c.is_ascii_digit());
    let number = figure(before) && ends_in_figure;
    (ends_in_figure && UNITS.contains(&end))
        || (number && (COUNTED.contains(&end) || end == "working"))
        || (number && after == "to")
        || (before == "to" && figure(end))
        || (before.ends_with('×') && figure(end))
        || (end == "×" && UNITS.contains(&before))
        || (NUMBERED.contains(&before) && end.contains(|c: char| c.is_ascii_digit()))
        || (LETTERED.contains(&before) && end.len() == 1 && end.bytes().all(|c| c.is_ascii_uppercase()))
        || is_name(before, end)
        || is_date(before, end)
        || is_telephone(before, end)
        || is_waste_code(before, end)
        || is_postcode(before, end)
}

const OPENING: [char; 5] = ['(', '[', '“', '‘', '"'];

/// A word without the signs that stand before and after words.
fn bare(word: &str) -> &str {
    word.trim_start_matches(OPENING).trim_end_matches(['.', ',', ';', ':', '!', '?', ')', ']', '”', '’', '"'])
}

/// `Mr P.`, `P. Lisle`: a title or an initial, and what is written with a capital after it.
fn is_name(before: &str, after: &str) -> bool {
    let capital = |word: &str| word.starts_with(|c: char| c.is_uppercase());
    let initial = || matches!(before.as_bytes(), [letter, b'.'] if letter.is_ascii_uppercase());
    capital(after) && (TITLES.contains(&before.trim_end_matches('.')) || initial())
}

/// `25 December`, `December 2026`.
fn is_date(before: &str, after: &str) -> bool {
    let day = |word: &str| (1..=2).contains(&word.len()) && all_figures(word);
    let year = |word: &str| word.len() == 4 && all_figures(word);
    (day(before) && MONTHS.contains(&after)) || (MONTHS.contains(&before) && year(after))
}

/// Two groups of a telephone number, or of another long number: `01632 960114`, `000 0000`.
fn is_telephone(before: &str, after: &str) -> bool {
    let before = before.trim_start_matches('+').trim_end_matches(')');
    before.len() >= 2
        && after.len() >= 2
        && before.len() + after.len() >= 6
        && all_figures(before)
        && all_figures(after)
}

/// Two pairs of figures of a code of waste, a star behind the last: `17 02`, `02 04*`.
fn is_waste_code(before: &str, after: &str) -> bool {
    let pair = |word: &str| word.len() == 2 && all_figures(word);
    pair(before) && pair(after.trim_end_matches('*'))
}

/// The two halves of a British postcode: `ZZ9 9ZZ`, `ZZ9A 9ZZ`.
fn is_postcode(before: &str, after: &str) -> bool {
    let capital = |c: &u8| c.is_ascii_uppercase();
    let outward = matches!(before.len(), 2..=4) && before.bytes().all(|c| capital(&c) || c.is_ascii_digit());
    let begun = before.as_bytes().first().is_some_and(capital) && before.bytes().any(|c| c.is_ascii_digit());
    outward
        && begun
        && matches!(after.as_bytes(), [figure, a, b] if figure.is_ascii_digit() && capital(a) && capital(b))
}

fn all_figures(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|c| c.is_ascii_digit())
}
