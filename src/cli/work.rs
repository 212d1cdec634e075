//! One job taken as far as a command needs it: read, laid out, priced, set.
//!
//! Given a job that was named; gives the values of each layer, or why it stopped. The only place that strings the
//! layers together.

use super::arguments::{Files, Output};
use super::jobs::Named;
use crate::documents::{self, Finished, Kind, Overrides, Worked};
use crate::job_file::{self, Loaded, Sources};
use crate::model::{Firm, Problem};
use crate::pricing::{self, Pricing, Terms};
use crate::programme::{self, Programme};
use crate::records::WriteFault;
use crate::takeoff::{self, TakeOff};
use std::path::Path;
use std::thread;
use time::Date;

/// Why a job went no further.
#[derive(Debug)]
pub enum Stopped {
    /// What was typed cannot be used.
    Usage(String),
    /// The job has problems.
    Problems(Vec<Problem>, Box<Sources>),
    /// A file could not be written.
    Unwritten(WriteFault),
}

/// A job that has been laid out.
pub struct Laid {
    /// What was read.
    pub loaded: Loaded,
    /// The layout.
    pub take_off: TakeOff,
}

/// A job that has been priced.
pub struct Priced {
    /// The job as laid out.
    pub laid: Laid,
    /// The firm.
    pub firm: Firm,
    /// Its terms.
    pub terms: Terms,
    /// The programme.
    pub programme: Programme,
    /// The price.
    pub pricing: Pricing,
}

/// Reads a job and lays it out. Sizes only: no firm file and no price are needed.
///
/// # Errors
/// Everything that is wrong with the files or the roof.
pub fn lay_out(named: &Named, files: &Files) -> Result<Laid, Stopped> {
    let request = named.request(files.firm.as_ref(), &files.prices).map_err(Stopped::Usage)?;
    let loaded = job_file::load(&request).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))?;
    match takeoff::take_off(&loaded.job, &loaded.rules, &loaded.products) {
        Ok(take_off) => Ok(Laid { loaded, take_off }),
        Err(problems) => Err(stop(problems, &loaded)),
    }
}

/// Reads a job, lays it out and prices it.
///
/// # Errors
/// Everything that is wrong with the files, the roof or the price books.
pub fn price(named: &Named, files: &Files) -> Result<Priced, Stopped> {
    let laid = lay_out(named, files)?;
    let Loaded { job, rules, products, books, job_money, .. } = &laid.loaded;
    let (Some(firm), Some(terms)) = (laid.loaded.firm.clone(), laid.loaded.terms.clone()) else {
        return Err(stop(vec![no_firm()], &laid.loaded));
    };
    let crew = u32::try_from(terms.crew.len()).unwrap_or(u32::MAX).max(1);
    let programme = programme::plan(job, &laid.take_off, rules, products.catalyst_density, crew, &firm.holidays);
    let priced = pricing::price(job, rules, &laid.take_off.needs, &programme, books, &terms, job_money);
    match priced {
        Ok(pricing) => Ok(Priced { laid, firm, terms, programme, pricing }),
        Err(problems) => Err(stop(problems, &laid.loaded)),
    }
}

fn no_firm() -> Problem {
    Problem::fault(
        "",
        "no firm file was found, and a price needs the firm's rates and terms",
        "put firm.yaml beside the job or in a folder above it, or name one with --firm",
    )
}

fn stop(problems: Vec<Problem>, loaded: &Loaded) -> Stopped {
    Stopped::Problems(problems, Box::new(loaded.sources.clone()))
}

impl Priced {
    /// Makes documents, side by side.
    ///
    /// # Errors
    /// Everything that keeps any of them from being made: no document is half made.
    pub fn documents(&self, kinds: &[Kind], date: Option<Date>) -> Result<Vec<Finished>, Stopped> {
        let overrides = self.overrides()?;
        let worked = self.worked(date);
        let (worked, overrides) = (&worked, &overrides);
        let made: Vec<_> = thread::scope(|scope| {
            let start = |&kind: &Kind| scope.spawn(move || documents::make(kind, worked, overrides));
            let threads: Vec<_> = kinds.iter().map(start).collect();
            threads.into_iter().map(|t| t.join().expect("a document never panics")).collect()
        });
        let (mut finished, mut problems) = (Vec::new(), Vec::new());
        for one in made {
            match one {
                Ok(files) => finished.extend(files),
                Err(more) => problems.extend(more.into_iter().filter(|p| !problems.contains(p)).collect::<Vec<_>>()),
            }
        }
        if problems.is_empty() { Ok(finished) } else { Err(stop(problems, &self.laid.loaded)) }
    }

    fn worked(&self, date: Option<Date>) -> Worked<'_> {
        let Loaded { job, rules, products, .. } = &self.laid.loaded;
        Worked {
            job,
            firm: &self.firm,
            rules,
            products,
            terms: &self.terms,
            take_off: &self.laid.take_off,
            programme: &self.programme,
            pricing: &self.pricing,
            photos: &self.laid.loaded.photos,
            date: date.unwrap_or(job.prepared),
        }
    }

    fn overrides(&self) -> Result<Overrides, Stopped> {
        let Some(folder) = &self.laid.loaded.overrides else {
            return Ok(Overrides::default());
        };
        read_templates(folder).map_err(|e| {
            let fault = format!("the firm's templates in {} cannot be read: {e}", folder.display());
            stop(vec![Problem::fault("", fault, "check the folder, or take it away")], &self.laid.loaded)
        })
    }

    /// Every notice of every layer, in order.
    pub fn notices(&self) -> Vec<Problem> {
        let Laid { loaded, take_off } = &self.laid;
        [&loaded.notices, &take_off.notices, &self.pricing.notices].into_iter().flatten().cloned().collect()
    }
}

fn read_templates(folder: &Path) -> std::io::Result<Overrides> {
    let mut templates = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|e| e == "md") {
            let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
            templates.push((name, std::fs::read_to_string(&path)?));
        }
    }
    templates.sort();
    Ok(Overrides { templates })
}

/// The folder for a job's documents: what was asked for (a folder of its own in it, when there are many), or `out`.
pub fn out_folder(named: &Named, output: &Output, many: bool) -> std::path::PathBuf {
    match &output.out {
        Some(out) if many => out.join(named.short_name()),
        Some(out) => out.clone(),
        None => named.out_folder(),
    }
}
