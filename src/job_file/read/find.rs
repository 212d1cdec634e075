//! Finds the firm file and the price books of a job.
//!
//! Given the job's folder and what was named; gives paths. Unless a file was named, the nearest one going upward from
//! the job counts: `firm.yaml`; `prices.yaml`, or every `prices/*.yaml` in the order of their names, but what is kept beside a book.

use std::path::{Component, Path, PathBuf};

/// The nearest `firm.yaml` going upward.
pub(crate) fn firm(folder: &Path) -> Option<PathBuf> {
    upward(folder).map(|f| f.join("firm.yaml")).find(|f| f.is_file())
}

/// The nearest price books going upward; none where there are none.
pub(crate) fn prices(folder: &Path) -> Vec<PathBuf> {
    upward(folder).map(|f| books_in(&f)).find(|b| !b.is_empty()).unwrap_or_default()
}

/// The nearest `stock.yaml` going upward.
pub(crate) fn stock(folder: &Path) -> Option<PathBuf> {
    upward(folder).map(|f| f.join("stock.yaml")).find(|f| f.is_file())
}

/// The nearest file going upward that was surely meant to be one of these (`firm`, `prices`, `stock`), and is called as an editor or a
/// system likes it: `firm.yaml.txt`, `Firm.yml`.
pub(crate) fn misnamed(folder: &Path, stem: &str) -> Option<PathBuf> {
    let endings = [".yaml", ".yml", ".yaml.txt", ".yml.txt", ".yaml.yaml"];
    let is = |path: &PathBuf| {
        let name = path.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
        name.strip_prefix(stem).is_some_and(|ending| endings.contains(&ending)) && path.is_file()
    };
    upward(folder).find_map(|folder| {
        let here = if folder.as_os_str().is_empty() { Path::new(".") } else { &folder };
        let entries = std::fs::read_dir(here).into_iter().flatten().filter_map(|e| Some(e.ok()?.file_name()));
        entries.map(|name| folder.join(name)).filter(is).min()
    })
}

fn books_in(folder: &Path) -> Vec<PathBuf> {
    let single = folder.join("prices.yaml");
    if single.is_file() {
        return vec![single];
    }
    let Ok(entries) = std::fs::read_dir(folder.join("prices")) else { return Vec::new() };
    let paths = entries.filter_map(|e| Some(e.ok()?.path()));
    let mut books: Vec<PathBuf> = paths.filter(|p| p.extension().is_some_and(|e| e == "yaml") && p.is_file()).collect();
    books.retain(|book| !is_of_a_book(book));
    books.sort_unstable();
    let copies: Vec<PathBuf> = books.iter().flat_map(|book| copies_of(book)).collect();
    books.retain(|book| !copies.contains(book));
    books
}

/// What stands beside a price book and is none: `coldharbour.list.yaml`, what is remembered of its merchant's list, and
/// `coldharbour.before-2026-11-02.yaml`, the book as it was.
fn is_of_a_book(path: &Path) -> bool {
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    stem.ends_with(".list") || stem.contains(".before-")
}

/// Whether two paths lead to one file.
pub(crate) fn is_same(a: &Path, b: &Path) -> bool {
    let whole = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    a == b || whole(a) == whole(b)
}

/// Copies of a file that a synchroniser has left beside it: `job (conflicted copy 2026-11-27).yaml`.
pub(crate) fn copies_of(file: &Path) -> Vec<PathBuf> {
    let (Some(stem), Some(ending)) = (file.file_stem(), file.extension()) else { return Vec::new() };
    let folder = folder_of(file);
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { &folder };
    let stem = stem.to_string_lossy().to_lowercase();
    let is = |path: &PathBuf| {
        let name = path.file_stem().map(|s| s.to_string_lossy().to_lowercase()).unwrap_or_default();
        let more = name.strip_prefix(&stem).unwrap_or_default();
        more.contains("conflict") && path.extension() == Some(ending)
    };
    let entries = std::fs::read_dir(folder).into_iter().flatten().filter_map(|e| Some(e.ok()?.path()));
    let mut copies: Vec<PathBuf> =
        entries.filter(is).map(|copy| folder_of(file).join(copy.file_name().unwrap_or_default())).collect();
    copies.sort_unstable();
    copies
}

/// The folder and those above it, up to the root. Below the current folder they stay relative, for short names in
/// messages. A folder that goes up by itself (`../other`) is resolved first.
fn upward(folder: &Path) -> impl Iterator<Item = PathBuf> {
    // The folder of a bare file name is the current one.
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let goes_up = folder.components().any(|c| c == Component::ParentDir);
    let whole = if goes_up { folder.canonicalize() } else { std::path::absolute(folder) };
    let whole = whole.unwrap_or_else(|_| folder.to_path_buf());
    let here = std::env::current_dir().ok().filter(|_| folder.is_relative());
    let near = move |path: &Path| match here.as_ref().and_then(|h| path.strip_prefix(h).ok()) {
        Some(short) => short.to_path_buf(),
        None => path.to_path_buf(),
    };
    whole.ancestors().map(near).collect::<Vec<_>>().into_iter()
}

/// How a file is called in messages.
pub(crate) fn name(path: &Path) -> String {
    path.display().to_string()
}

/// The folder that a file stands in.
pub(crate) fn folder_of(path: &Path) -> PathBuf {
    path.parent().map(Path::to_path_buf).unwrap_or_default()
}
