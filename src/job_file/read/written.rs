//! How a single value is written into a file, so that it is read back as the same text.
//!
//! Given any text; gives it plain or in double quotes.

use std::fmt::Write as _;

/// A value that is read back as the same text: as it is where nothing in it could be taken for a sign, else in double quotes
/// (YAML 1.2, 5.7 and 7.3.1).
pub(crate) fn scalar(words: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '.' | '/' | '_' | '-' | '%' | '°');
    let begins = words.starts_with(char::is_alphanumeric) && !words.ends_with(' ');
    if begins && words.chars().all(plain) && words != "null" {
        return words.to_owned();
    }
    let mut quoted = String::from("\"");
    for c in words.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted + "\""
}
