//! Addresses for electronic mail: printed as they are written, several in one text where a firm has them.
//!
//! Given what the file says; gives a warning where nothing in it can be one, before a document is sent there.

use crate::job_file::read::reading::Slot;
use crate::job_file::read::scalars::PrintedText;
use crate::model::words::address_words;
use crate::model::{Problem, SettingPath, Warned};

/// A warning where no word of the text is an address: a name, `@`, and a place with a point in it.
pub(super) fn unlikely(written: &Slot<PrintedText>, path: SettingPath) -> Option<Problem> {
    let text = &written.given()?.0;
    let mut words = address_words(text);
    let is_address = |word: &str| {
        let Some((name, place)) = word.rsplit_once('@') else { return false };
        let point = place.find('.').is_some_and(|at| at > 0);
        !name.is_empty() && !name.contains('@') && point && !place.ends_with('.')
    };
    (!words.any(is_address)).then(|| {
        let fault = format!("`{}` is no e-mail address", text.chars().take(60).collect::<String>());
        Problem::warning(Warned::EmailAddress, path, fault, "write it as `name@place.example`, or leave it out")
    })
}
