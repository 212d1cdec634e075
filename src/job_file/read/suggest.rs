//! What the writer may have meant: the nearest known word.
//!
//! Given a word and the words that are known; gives the cure for the message. Where nothing is near, all are listed.

/// What a key is often called, and its name here. A word stands for the first of its keys that is known where it was written.
const CALLED: &[(&str, &[&str])] = &[
    ("client", &["customer"]),
    ("color", &["colour"]),
    ("daily_rate", &["day"]),
    ("date", &["prepared"]),
    ("day_rate", &["day"]),
    ("gradient", &["fall"]),
    ("guttering", &["gutter"]),
    ("hourly_rate", &["hour"]),
    ("job_number", &["reference"]),
    ("length", &["depth", "go"]),
    ("material", &["board"]),
    ("mobile", &["phone"]),
    ("openings", &["holes"]),
    ("pitch", &["fall"]),
    ("position", &["at"]),
    ("rate", &["hour"]),
    ("rooflights", &["holes"]),
    ("shape", &["outline"]),
    ("sides", &["edges"]),
    ("slope", &["fall"]),
    ("tel", &["phone"]),
    ("telephone", &["phone"]),
    ("type", &["finish", "covering", "kind"]),
    ("wage", &["hour"]),
];

/// The known key that a word is another word for.
pub(crate) fn called<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = plain(word);
    let (_, keys) = CALLED.iter().find(|(called, _)| *called == word)?;
    keys.iter().find_map(|key| known.iter().find(|k| *k == key).copied())
}

/// Whether a word is a known one but for one letter.
pub(crate) fn is_slip(word: &str, known: &[&str]) -> bool {
    let word = plain(word);
    word.chars().count() > 3 && known.iter().any(|k| strsim::damerau_levenshtein(&word, k) == 1)
}

/// `did you mean …?`, or the list of what can stand here.
pub(crate) fn cure<S: AsRef<str>>(word: &str, known: &[S]) -> String {
    match nearest(word, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "take it out".to_owned(),
        None => format!("what can stand here: {}", words(known, "and")),
    }
}

/// The nearest known word, if it is near enough (Damerau–Levenshtein distance; a third of the word may differ;
/// Jaro–Winkler similarity decides between equals).
pub(crate) fn nearest<S: AsRef<str>>(word: &str, known: &[S]) -> Option<String> {
    let keys: Vec<&str> = known.iter().map(AsRef::as_ref).collect();
    if let Some(called) = called(word, &keys) {
        return Some(called.to_owned());
    }
    let word = plain(word);
    let most = 2.max(word.chars().count() / 3);
    let distance = |k: &S| strsim::damerau_levenshtein(&word, &plain(k.as_ref()));
    let near = known.iter().map(|k| (distance(k), k)).filter(|(d, k)| *d <= most && *d < k.as_ref().chars().count());
    let alike = |k: &S| strsim::jaro_winkler(&word, &plain(k.as_ref()));
    let nearer = |a: &(usize, &S), b: &(usize, &S)| a.0.cmp(&b.0).then(alike(b.1).total_cmp(&alike(a.1)));
    near.min_by(nearer).map(|(_, k)| k.as_ref().to_owned())
}

/// The start of a word, lower case, with spaces and hyphens as the file's keys have them.
fn plain(word: &str) -> String {
    word.chars().take(60).map(|c| if c == '-' || c == ' ' { '_' } else { c.to_ascii_lowercase() }).collect()
}

/// What was meant where a comma in a number parts settings: `2` and `4 m` are 2.4 m, `1` and `600 mm` 1600 mm.
pub(crate) fn parted_by_comma(before: &str, behind: &str) -> Option<String> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let at = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
    let (part, unit) = (&behind[..at], behind[at..].trim());
    let point = if part.len() == 3 && unit != "m" { "" } else { "." };
    let space = if unit.is_empty() { "" } else { " " };
    (digits(before) && digits(part)).then(|| format!("{before}{point}{part}{space}{unit}"))
}

/// `a, b and c`, each in backticks.
pub(crate) fn words<S: AsRef<str>>(all: &[S], joint: &str) -> String {
    let quoted: Vec<String> = all.iter().map(|w| format!("`{}`", w.as_ref())).collect();
    listed(&quoted, joint)
}

/// `a, b and c`.
pub(crate) fn listed(all: &[String], joint: &str) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {joint} {last}", first.join(", ")),
    }
}
