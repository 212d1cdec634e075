//! A job as it was when something was issued: every file that was read, to be kept and to be worked again.
//!
//! Given a priced job; gives the files to keep. Given a frozen folder; gives the job of that day, from the kept files alone.
//! The firm's own fonts are kept by their digests: they are looked for where the firm has its fonts now, and only the very
//! same ones are taken.

use super::kept::{Frozen, Kept, unread};
use super::manifest::{Inputs, KeptFile, date_of, day};
use super::varied_goods;
use crate::cli::own::Own;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::DocumentKind;
use crate::job_file::{self, Loaded, Request, StockFrom};
use crate::model::firm::Picture;
use crate::model::picture::Unfetched;
use crate::model::problem::Source;
use crate::model::van::VanStock;
use std::fs;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;
use time::Date;

/// SnapshotFiles with their names in the frozen folder.
pub(crate) type SnapshotFiles = Vec<(String, Vec<u8>)>;

/// The files that a job was worked from, and which is which.
///
/// # Errors
/// What is wrong with the firm's own files.
pub(crate) fn of(loaded: &Loaded, date: Option<Date>) -> Result<(SnapshotFiles, Inputs), Stopped> {
    let own = work::own_of(loaded)?;
    let mut files = SnapshotFiles::new();
    let mut inputs = Inputs { date: date.map(day), fonts: fonts(&own), ..Inputs::default() };
    for read in &loaded.read {
        let name =
            Path::new(&read.name).file_name().map_or_else(|| "job.yaml".into(), |n| n.to_string_lossy().into_owned());
        let name = match read.source {
            Source::Job => format!("inputs/job/{name}"),
            Source::Firm => format!("inputs/firm/{name}"),
            Source::Prices(n) => format!("inputs/prices/{}-{name}", n + 1),
            Source::Stock => format!("inputs/stock/{name}"),
            Source::List(_) => format!("inputs/prices/{}", plain(&read.name)),
            Source::Own(_) | Source::Record => continue,
        };
        match read.source {
            Source::Job => inputs.job.clone_from(&name),
            Source::Firm => inputs.firm.clone_from(&name),
            Source::Stock => inputs.stock = Some(name.clone()),
            Source::Prices(_) => inputs.prices.push(name.clone()),
            Source::List(_) | Source::Own(_) | Source::Record => {}
        }
        files.push((name, read.bytes.clone()));
    }
    let logo = loaded.firm.iter().filter_map(|firm| firm.logo.as_ref());
    let logo = logo.map(|logo| (format!("inputs/firm/{}", plain(&logo.name)), fetched(logo)));
    let photos = loaded.photos.iter().map(|p| (format!("inputs/job/{}", plain(&p.file)), fetched(&p.picture)));
    let templates = own.read.iter().map(|(name, bytes)| (format!("inputs/firm/templates/{name}"), Ok(bytes.clone())));
    for (name, bytes) in logo.chain(photos).chain(templates) {
        let bytes = bytes?;
        if !files.iter().any(|(there, _)| *there == name) {
            files.push((name, bytes));
        }
    }
    Ok((files, inputs))
}

/// The bytes of a picture.
pub(crate) fn fetched(picture: &Picture) -> Result<Vec<u8>, Stopped> {
    let told = |(fault, cure): Unfetched| Stopped::Usage(format!("the picture {} {fault}; {cure}", picture.name));
    Ok(Arc::unwrap_or_clone(picture.bytes.whole().map_err(told)?))
}

fn fonts(own: &Own) -> Vec<KeptFile> {
    own.overrides.fonts.iter().map(|font| KeptFile::of(&font.name, &font.bytes)).collect()
}

/// A name without steps that lead nowhere: `./before.jpg` is `before.jpg`.
pub(crate) fn plain(name: &str) -> String {
    let parts = Path::new(name).components().filter(|part| matches!(part, Component::Normal(_)));
    parts.map(|part| part.as_os_str().to_string_lossy().into_owned()).collect::<Vec<_>>().join("/")
}

/// Works the job of a frozen folder again, and puts it under its letter.
///
/// # Errors
/// What cannot be read or worked any more.
pub(crate) fn work_again(frozen: &Frozen) -> Result<PricedJob, Stopped> {
    worked(frozen, read_again(frozen)?)
}

/// The same for its figures alone, which are those of any fonts and words.
///
/// # Errors
/// As [`work_again`], but for the fonts.
pub(crate) fn figures_again(frozen: &Frozen) -> Result<PricedJob, Stopped> {
    worked(frozen, without_words(frozen)?)
}

/// The same, as if nothing of it stood in the van.
///
/// # Errors
/// As [`figures_again`].
pub(crate) fn work_as_bought(frozen: &Frozen) -> Result<PricedJob, Stopped> {
    worked(frozen, Loaded { stock: VanStock::default(), ..without_words(frozen)? })
}

fn without_words(frozen: &Frozen) -> Result<Loaded, Stopped> {
    Ok(Loaded { overrides: None, own_fonts: None, ..kept_job(frozen)? })
}

fn worked(frozen: &Frozen, loaded: Loaded) -> Result<PricedJob, Stopped> {
    let mut priced = work::price_laid(work::lay_out_loaded(loaded)?)?;
    if let Some(varied) = frozen.manifest.paper().and_then(|paper| paper.varied.as_ref()) {
        priced = varied_goods::again(frozen, varied, priced)?;
    }
    priced.revision = Some(frozen.manifest.revision.clone());
    Ok(priced)
}

/// The job of the last order that was issued of a reference, worked again, `None` where none was; and those of the orders for its
/// variations.
///
/// # Errors
/// What cannot be read or worked any more.
pub(crate) fn ordered(job_folder: &Path, reference: &str) -> Result<(Option<PricedJob>, Vec<PricedJob>), Stopped> {
    let kept = Kept::beside(job_folder).map_err(|error| unread(job_folder, &error))?;
    let own = kept.last(reference, DocumentKind::Order).map(figures_again).transpose()?;
    let besides = varied_goods::last_of_each(&kept, reference).into_iter().map(figures_again);
    Ok((own, besides.collect::<Result<_, _>>()?))
}

/// Reads the job of a frozen folder again, with the firm's own words and fonts of that day.
///
/// # Errors
/// What cannot be read any more.
pub(crate) fn read_again(frozen: &Frozen) -> Result<Loaded, Stopped> {
    let inputs = inputs(frozen)?;
    let mut loaded = kept_job(frozen)?;
    loaded.own_fonts = None;
    if !inputs.fonts.is_empty() {
        loaded.own_fonts = fonts_now(&frozen.folder);
    }
    if fonts(&work::own_of(&loaded)?) != inputs.fonts {
        let names: Vec<&str> = inputs.fonts.iter().map(|font| font.name.as_str()).collect();
        return Err(Stopped::Usage(format!(
            "{}: it was printed in {}, and those very fonts do not stand next to the firm file any more",
            frozen.folder.display(),
            names.join(", ")
        )));
    }
    Ok(loaded)
}

/// The job of a frozen folder, with the list of the van as its document was made from it.
fn kept_job(frozen: &Frozen) -> Result<Loaded, Stopped> {
    let job = frozen.folder.join(&inputs(frozen)?.job);
    let bytes = fs::read(&job).map_err(|error| unread(&job, &error))?;
    let mut loaded = load(frozen, bytes)?;
    if let Some(paper) = frozen.manifest.paper() {
        loaded.stock = varied_goods::without(&loaded.stock, &paper.taken);
    }
    Ok(loaded)
}

/// Reads a job in the place of the one that is kept in a frozen folder, beside the same files.
///
/// # Errors
/// Everything that is wrong with it.
pub(crate) fn load(frozen: &Frozen, bytes: Vec<u8>) -> Result<Loaded, Stopped> {
    load_from(frozen, inputs(frozen)?, bytes)
}

/// Reads a job beside some of the files that are kept in a frozen folder.
///
/// # Errors
/// Everything that is wrong with it.
pub(crate) fn load_from(frozen: &Frozen, inputs: &Inputs, bytes: Vec<u8>) -> Result<Loaded, Stopped> {
    let place = |name: &str| frozen.folder.join(name);
    let job = place(&inputs.job);
    let request = Request {
        name: job.display().to_string(),
        bytes,
        folder: job.parent().map(Path::to_path_buf).unwrap_or_default(),
        firm: Some(place(&inputs.firm)),
        prices: inputs.prices.iter().map(|name| place(name)).collect(),
        date: inputs.date.as_deref().and_then(date_of),
        without_options: false,
        // Never one that stands above the frozen folder today.
        stock: inputs.stock.as_ref().map_or(StockFrom::Nowhere, |name| StockFrom::File(place(name))),
        as_will_be: None,
    };
    job_file::load(&request).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))
}

fn inputs(frozen: &Frozen) -> Result<&Inputs, Stopped> {
    let none = || Stopped::Usage(format!("{} holds no document", frozen.folder.display()));
    frozen.manifest.inputs().ok_or_else(none)
}

/// The fonts of the firm of today.
fn fonts_now(folder: &Path) -> Option<PathBuf> {
    let whole = fs::canonicalize(folder).ok()?;
    // Above the frozen folder, so that what is kept in it is not taken for the firm of today.
    let firm = whole.ancestors().skip(1).find(|f| f.join("firm.yaml").is_file())?;
    Some(firm.join("fonts")).filter(|fonts| fonts.is_dir())
}
