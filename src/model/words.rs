//! What every layer needs that writes words.

/// The first letter as a capital.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A name as it stands within a sentence: beginning small, unless with a letter that stands for a word. `The gutter` becomes
/// `the gutter`; `PU adhesive`, `U-value` and `Approved Document H` stay.
pub fn within(words: &str) -> String {
    let mut letters = words.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if second.is_lowercase() && !words.starts_with("Approved Document") => {
            first.to_lowercase().chain(words.chars().skip(1)).collect()
        }
        _ => words.to_owned(),
    }
}

/// `1 board`, `3 boards`.
pub fn plural(n: usize, one: &str, many: &str) -> String {
    match n {
        1 => format!("1 {one}"),
        _ => format!("{n} {many}"),
    }
}

/// `one`, `one and two`, `one, two and three`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// The words of a text that may hold several e-mail addresses, with names beside them.
pub fn address_words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '<' | '>' | '(' | ')'))
}

/// Each text once, in the order of first mention.
pub fn once<T: PartialEq>(texts: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut seen = Vec::new();
    for text in texts {
        if !seen.contains(&text) {
            seen.push(text);
        }
    }
    seen
}

/// `at the front`, `on the left`, `at A`: where something of the edge of that name is.
pub fn at(label: &str) -> String {
    let on = ["left", "right"]
        .iter()
        .any(|side| label.strip_prefix(side).is_some_and(|n| n.is_empty() || n.starts_with(" (")));
    format!("{} {}", if on { "on" } else { "at" }, the(label))
}

/// `the front`; a name that a person or a letter begins, or that has its article already, stands as it is given.
pub fn the(label: &str) -> String {
    let own = |c: char| c.is_uppercase() || c.is_ascii_digit();
    let named = label.starts_with(own) || label.strip_prefix("side ").is_some_and(|n| n.starts_with(own));
    let told = ["the ", "our ", "your ", "next "].iter().any(|word| label.starts_with(word));
    if named || told { label.to_owned() } else { format!("the {label}") }
}
