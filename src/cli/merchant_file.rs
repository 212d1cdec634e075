//! A merchant's list as it lies on the disk, and what is remembered of it beside the price book.
//!
//! Given a path and what was typed of its columns; gives its rows. Columns that nobody has named are asked for where somebody answers,
//! else told with what to type.

use super::talk;
use super::work::Stopped;
use crate::job_file::{SourceText, Sources};
use crate::model::{limits, refused};
use crate::survey::{
    ColumnTalk, KnownHeadings, LIST_COLUMNS, ListFile, ListMemory, ListReading, MerchantList, RowTalk,
};
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Reads the rows of a list; `None` where its columns were asked for and the talk was broken off.
///
/// # Errors
/// What keeps it from being read.
pub(super) fn rows(
    path: &Path,
    megabytes: usize,
    known: &KnownHeadings,
    asks: bool,
) -> Result<Option<MerchantList>, Stopped> {
    let wrong =
        |(fault, cure): (String, String)| Stopped::Usage(format!("{} is not read: {fault}; {cure}", path.display()));
    let file = ListFile::of(&bytes_of(path, megabytes).map_err(wrong)?).map_err(wrong)?;
    let mut known = known.clone();
    loop {
        match file.rows(&known).map_err(wrong)? {
            ListReading::Read(list) => return Ok(Some(list)),
            ListReading::Open(open) if asks => {
                let mut asked = ColumnTalk::new(&open);
                if !talk::lead(&mut asked, Path::new("."), "")? {
                    return Ok(None);
                }
                let Some(heading) = asked.chosen else { return Ok(None) };
                known.insert(open.key.to_owned(), heading);
            }
            ListReading::Open(open) => {
                let fault = format!("which column is the {} is not plain from its headings ({})", open.key, open.place);
                let shown: Vec<String> = open.headings.into_iter().take(20).collect();
                return Err(wrong((
                    fault,
                    format!("name it with --column {}=HEADING: {}", open.key, shown.join(", ")),
                )));
            }
        }
    }
}

fn bytes_of(path: &Path, megabytes: usize) -> Result<Vec<u8>, (String, String)> {
    let mut bytes = Vec::new();
    let room = megabytes as u64 * 1_000_000;
    let read = File::open(path).and_then(|file| file.take(room + 1).read_to_end(&mut bytes));
    read.map_err(|error| refused::reading(&error)).map(drop)?;
    match bytes.len() as u64 > room {
        true => Err((format!("it is larger than {megabytes} MB"), "take out what you do not buy".to_owned())),
        false => Ok(bytes),
    }
}

/// The headings that were typed, as `KEY=HEADING`, over those that are remembered.
///
/// # Errors
/// What is no key of a column.
pub(super) fn headings(typed: &[String], memory: &ListMemory) -> Result<KnownHeadings, Stopped> {
    let mut known = memory.columns.clone();
    for words in typed {
        let parts = words.split_once('=').map(|(key, heading)| (key.trim(), heading.trim()));
        let Some((key, heading)) = parts.filter(|(key, _)| LIST_COLUMNS.contains(key)) else {
            let keys = LIST_COLUMNS.join(", ");
            return Err(Stopped::Usage(format!(
                "`{words}` names no column: write --column price=\"Trade price\"; the columns are {keys}"
            )));
        };
        known.insert(key.to_owned(), heading.to_owned());
    }
    Ok(known)
}

/// The file in which it is remembered how the list of a book is read: `prices.list.yaml` beside `prices.yaml`.
pub(super) fn memory_file(book: &Path) -> PathBuf {
    let stem = book.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    book.with_file_name(format!("{stem}.list.yaml"))
}

/// What is remembered.
///
/// # Errors
/// What is wrong with that file.
pub(super) fn memory(file: &Path) -> Result<ListMemory, Stopped> {
    let room = limits::NEW_LIST.most as u64 * 1_000_000;
    let mut text = String::new();
    let unread = |error: &io::Error| {
        let (fault, cure) = refused::reading(error);
        Stopped::Usage(format!("could not read {}: {fault}; {cure}", file.display()))
    };
    match File::open(file).and_then(|file| file.take(room).read_to_string(&mut text)) {
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(ListMemory::default()),
        Err(error) => return Err(unread(&error)),
    }
    let text = text.trim_start_matches('\u{feff}').to_owned();
    ListMemory::read(&text).map_err(|problem| {
        let job = SourceText::outlined(file.display().to_string(), text);
        Stopped::Problems(vec![*problem], Box::new(Sources { job, ..Sources::default() }))
    })
}

/// Asks about rows; gives whether all were asked. What was said is kept at once beside the book.
///
/// # Errors
/// What cannot be kept.
pub(super) fn ask(rows: &mut RowTalk<'_>, file: &Path) -> Result<bool, Stopped> {
    let (folder, name) = beside(file);
    Ok(talk::lead(rows, &folder, &name)? && !rows.stopped)
}

/// A file as its folder and its name.
pub(super) fn beside(file: &Path) -> (PathBuf, String) {
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    (folder.to_path_buf(), file.file_name().unwrap_or_default().to_string_lossy().into_owned())
}

/// Whether a file stands there.
pub(super) fn is_there(file: &Path) -> bool {
    fs::symlink_metadata(file).is_ok()
}
