//! `templates export`: the built-in templates as files, for the firm to edit.
//!
//! Given a folder; writes each template that is not there yet, and says which were left as they are.

use super::make::refuse_kept;
use super::work::Stopped;
use super::{Outcome, terminal};
use crate::documents::words::TEMPLATES;
use crate::records;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Writes the built-in templates.
///
/// # Errors
/// A file that could not be written.
pub(super) fn export(folder: &Path) -> Result<Outcome, Stopped> {
    refuse_kept(folder)?;
    let files = TEMPLATES.iter().map(|(name, text)| (*name, text.as_bytes()));
    let written = records::write_new(folder, files).map_err(|fault| Stopped::Unwritten(fault, "after `export`"))?;
    terminal::note(&told(folder, &written.places, &written.kept))?;
    Ok(Outcome::Done)
}

fn told(folder: &Path, written: &[PathBuf], kept: &[PathBuf]) -> String {
    let mut text = String::new();
    for path in written {
        let _ = writeln!(text, "wrote {}", path.display());
    }
    for path in kept {
        let _ = writeln!(text, "left as it is {}", path.display());
    }
    if !written.is_empty() {
        let name = folder.file_name().is_some_and(|n| n == "templates");
        let place =
            if name { "it stands beside firm.yaml" } else { "it is called `templates` and stands beside firm.yaml" };
        let _ = writeln!(text, "\nThe documents use them once {place}. Delete those that you do not change.");
    }
    text
}
