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
    ("height", &["upstand", "eaves_height"]),
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
    ("ssl", &["tls"]),
    ("tel", &["phone"]),
    ("telephone", &["phone"]),
    ("type", &["finish", "covering", "kind"]),
    ("wage", &["hour"]),
];

/// How a group is written by whoever wrote one value in its place: a key that the group has, whether the value is a figure, and the
/// group with the value put in.
const IN_ONE_VALUE: &[(&str, bool, &str)] = &[
    ("spacing", true, "{run: front to back, spacing: @}"),
    ("spacing", false, "{run: @, spacing: 400 mm}"),
    ("board", false, "{action: @, board: osb3-18}"),
    ("layers", true, "{mat: @, layers: 1}"),
    ("colour", false, "{colour: @, finish: smooth}"),
    ("gauge", false, "{covering: @, gauge: 200 mm, cover: 250 mm, pitch: 35°, by: us}"),
    ("tip", false, "{covering: @, tip: skip}"),
    ("humidity", true, "{air: @, humidity: 75 %, surface: 9 C}"),
    ("registered", false, "{registered: @, rate: 20 %}"),
    ("registered", true, "{registered: yes, rate: @}"),
];

/// A group with what was written in its place put in.
pub(crate) fn in_one_value(value: &str, known: &[&str]) -> Option<String> {
    let value = value.trim();
    if value.is_empty() || value.chars().count() > 40 || value.contains([',', ':', '{', '}', '[', ']', '#']) {
        return None;
    }
    let is_figure = value.starts_with(|c: char| c.is_ascii_digit());
    let (.., group) = IN_ONE_VALUE.iter().find(|(key, figure, _)| known.contains(key) && *figure == is_figure)?;
    let kept = if value == "keep" { "{action: @}" } else { group };
    Some(kept.replace('@', value))
}

/// A list of two lengths that were written as one: `900 x 900 mm`.
pub(crate) fn two_in_one_value(value: &str) -> Option<String> {
    let (first, second) = ["×", "x", "X", "*", "by"].iter().find_map(|sign| value.split_once(sign))?;
    let (first, second) = (first.trim(), second.trim());
    let figures = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    let unit = second.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ');
    if !figures(first) || !figures(second) || !["mm", "cm", "m"].contains(&unit) {
        return None;
    }
    let bare = first.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    Some(if bare { format!("[{first} {unit}, {second}]") } else { format!("[{first}, {second}]") })
}

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
    let within: Vec<&S> = known.iter().filter(|k| k.as_ref().split([' ', '-']).any(|part| part == word)).collect();
    match nearest(word, known) {
        // `grey` is nearer to `dark grey` than to `green`, whatever its letters say.
        _ if within.len() > 1 => format!("which is meant: {}?", words(&within, "or")),
        _ if within.len() == 1 => format!("did you mean `{}`?", within[0].as_ref()),
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "take it out".to_owned(),
        None => format!("what can stand here: {}", words(known, "and")),
    }
}

/// The nearest known word, if it is near enough (Damerau–Levenshtein distance; a third of the word may differ, two
/// letters at least, one where it has four; Jaro–Winkler similarity decides between equals).
pub(crate) fn nearest<S: AsRef<str>>(word: &str, known: &[S]) -> Option<String> {
    let keys: Vec<&str> = known.iter().map(AsRef::as_ref).collect();
    if let Some(called) = called(word, &keys) {
        return Some(called.to_owned());
    }
    let word = plain(word);
    let letters = word.chars().count();
    let most = if letters > 4 { 2.max(letters / 3) } else { 1 };
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
