//! To whom a message goes, and to whom it never goes.
//!
//! Given addresses as they were written; gives mailboxes of the one form that mail is sent to, or says why not. Two addresses are
//! one box whatever their large and small letters, the name beside them, and the tag behind a `+`: an order that reached the
//! customer by such a way round would show what the merchant is paid.

use crate::cli::work::Stopped;
use crate::model::words::address_words;
use lettre::Address;
use lettre::message::Mailbox;

/// The longest name beside an address: no line of a head may be longer than 998 octets (RFC 5322, 2.1.1).
const LONGEST_NAME: usize = 120;

/// The mailbox of an address as it is written: `a@b.example`, or `A. Name <a@b.example>`.
///
/// # Errors
/// What is no address of one box.
pub(crate) fn mailbox(written: &str) -> Result<Mailbox, Stopped> {
    let (name, address) = match written.trim().strip_suffix('>').and_then(|w| w.rsplit_once('<')) {
        Some((name, address)) => (Some(name.trim().trim_matches('"')).filter(|name| !name.is_empty()), address),
        None => (None, written.trim()),
    };
    let fit = address.is_ascii() && !address.contains(|c: char| c.is_control() || c.is_whitespace());
    let parsed = fit.then(|| address.parse::<Address>().ok()).flatten().ok_or_else(|| {
        Stopped::Usage(format!("`{written}` is no address that mail can be sent to; write one, as name@place.example"))
    })?;
    Ok(Mailbox::new(name.map(one_line), parsed))
}

/// The same with a name beside it.
///
/// # Errors
/// As [`mailbox`].
pub(crate) fn named(name: &str, written: &str) -> Result<Mailbox, Stopped> {
    Ok(Mailbox::new(Some(one_line(name)), mailbox(written)?.email))
}

/// A text as it stands in the head of a message: on one line, and no longer than a head can hold.
pub(crate) fn one_line(text: &str) -> String {
    let words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || c.is_control()).filter(|w| !w.is_empty()).collect();
    let line = words.join(" ");
    match line.chars().count() > LONGEST_NAME {
        true => line.chars().take(LONGEST_NAME).chain(['…']).collect(),
        false => line,
    }
}

/// What makes an address one box.
pub(crate) fn box_of(address: &str) -> String {
    let lower = address.to_lowercase();
    let Some((local, domain)) = lower.rsplit_once('@') else { return lower };
    let local = local.trim_matches('"');
    let untagged = local.split('+').next().filter(|rest| !rest.is_empty()).unwrap_or(local);
    format!("{untagged}@{}", domain.trim_end_matches('.'))
}

/// Every box that a text names: a file may say `office@x.example or yard@x.example` where it is only printed.
pub(crate) fn boxes_in(text: &str) -> Vec<String> {
    address_words(text)
        .filter(|part| part.contains('@'))
        .map(|part| box_of(part.trim_matches(['.', '"', ':'])))
        .collect()
}
