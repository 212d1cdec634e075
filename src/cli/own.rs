//! The firm's own words and fonts: the files in `templates/` and `fonts/` next to the firm file.
//!
//! Given the two folders; gives what stands in them, or every file that cannot be read. What is neither a template (`.md`)
//! nor a font is left alone: a licence, a note, a copy kept under another name.

use crate::documents::Overrides;
use crate::job_file::{Loaded, SourceText};
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Problem, Whereabouts, refused};
use crate::pages::own_fonts::FontFile;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// How the names of templates end.
const TEMPLATE_ENDINGS: [&str; 1] = ["md"];
/// How the names of font files end.
pub(super) const FONT_ENDINGS: [&str; 6] = ["ttf", "otf", "ttc", "woff", "woff2", "otc"];

/// What was read, and the files for showing problems in their place.
#[derive(Default)]
pub(super) struct Own {
    /// Templates and fonts.
    pub overrides: Overrides,
    /// The templates byte for byte, by name.
    pub read: Vec<(String, Vec<u8>)>,
    /// The same files by name and text, the templates first.
    pub sources: Vec<SourceText>,
    /// Files that cannot be read.
    pub problems: Vec<Problem>,
}

/// Reads the firm's own templates and fonts.
pub(super) fn read(loaded: &Loaded) -> Own {
    read_in(loaded.overrides.as_deref(), loaded.own_fonts.as_deref())
}

/// The same from their folders, where there are any.
pub(super) fn read_in(templates: Option<&Path>, fonts: Option<&Path>) -> Own {
    let mut own = Own::default();
    for path in own.files(templates, &TEMPLATE_ENDINGS) {
        let bytes = own.bytes(&path, limits::TEMPLATE.most);
        own.read.extend(bytes.clone().map(|bytes| (name(&path), bytes)));
        let text = bytes.and_then(|bytes| match String::from_utf8(bytes) {
            Ok(text) => Some(text.trim_start_matches('\u{feff}').replace("\r\n", "\n").replace('\r', "\n")),
            Err(_) => own.tell("this template is not text in UTF-8", "save it anew as plain text in UTF-8"),
        });
        if text.as_ref().is_some_and(|text| text.trim().is_empty()) {
            own.tell::<()>("this template is empty", "write its words, or take the file away to use the built-in ones");
        }
        let text = text.unwrap_or_default();
        own.overrides.templates.push((name(&path), text.clone()));
        own.sources.push(SourceText::new(path.display().to_string(), text));
    }
    for path in own.files(fonts, &FONT_ENDINGS) {
        let bytes = own.bytes(&path, limits::FONT.most).unwrap_or_default();
        own.overrides.fonts.push(FontFile { name: name(&path), bytes });
        own.sources.push(SourceText::new(path.display().to_string(), String::new()));
    }
    own
}

/// The files that would be read, in their order.
///
/// # Errors
/// A folder that cannot be listed.
pub(super) fn files(templates: Option<&Path>, fonts: Option<&Path>) -> io::Result<Vec<PathBuf>> {
    let of = |folder: Option<&Path>, endings: &[&str]| folder.map_or_else(|| Ok(Vec::new()), |f| listed(f, endings));
    Ok([of(templates, &TEMPLATE_ENDINGS)?, of(fonts, &FONT_ENDINGS)?].concat())
}

impl Own {
    /// The files of a folder whose names end so, in order.
    fn files(&mut self, folder: Option<&Path>, endings: &[&str]) -> Vec<PathBuf> {
        let Some(folder) = folder else { return Vec::new() };
        match listed(folder, endings) {
            Ok(files) if files.len() <= limits::OWN_FILES.most => files,
            Ok(files) => {
                let (many, most) = (files.len(), limits::OWN_FILES.most);
                let fault = format!("there are {many} files in {}: more than {most} are not read", folder.display());
                let problem = Problem::fault(Whereabouts::WholeFile, fault, "keep those there that are used");
                self.problems.push(problem.within(Source::Firm));
                Vec::new()
            }
            Err(error) => {
                let (fault, cure) = refused::reading(&error);
                let fault = format!("the folder {} cannot be read: {fault}", folder.display());
                let problem = Problem::fault(Whereabouts::WholeFile, fault, cure);
                self.problems.push(problem.within(Source::Firm));
                Vec::new()
            }
        }
    }

    /// What a file holds, if that is no more than so many MB.
    fn bytes(&mut self, path: &Path, most: usize) -> Option<Vec<u8>> {
        let mut bytes = Vec::new();
        let room = most as u64 * 1_000_000;
        match File::open(path).and_then(|file| file.take(room + 1).read_to_end(&mut bytes)) {
            Ok(_) if bytes.len() as u64 <= room => Some(bytes),
            Ok(_) => self.tell(&format!("this file is larger than {most} MB"), "use a smaller one"),
            Err(error) => {
                let (fault, cure) = refused::reading(&error);
                self.tell(&format!("this file cannot be read: {fault}"), &cure)
            }
        }
    }

    /// Notes a problem of the file that is being read.
    fn tell<T>(&mut self, fault: &str, cure: &str) -> Option<T> {
        let here = Source::Own(self.sources.len());
        self.problems.push(Problem::fault(Whereabouts::WholeFile, fault, cure).within(here));
        None
    }
}

fn listed(folder: &Path, endings: &[&str]) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
        let hidden = name(&path).starts_with('.');
        if endings.contains(&ending.as_str()) && path.is_file() && !hidden {
            files.push(path);
        }
    }
    files.sort_unstable();
    Ok(files)
}

fn name(path: &Path) -> String {
    path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default()
}
