//! The demo jobs taken through every layer in-process, for goldens and benchmarks.

use std::fs;
use std::path::{Path, PathBuf};
use wetout::checks::finding::Finding;
use wetout::documents::{DocumentKind, Finished, Overrides, WholeJob, make};
use wetout::estimate::{Crew, Estimate, LaidOut, Office, estimate, lay_out, price_options};
use wetout::job_file::load;
use wetout::job_file::{Loaded, Request};
use wetout::model::Problem;
use wetout::pricing::Pricing;
use wetout::pricing::private_sheet::Basis;
use wetout::programme::Programme;
use wetout::takeoff::TakeOff;

/// The three documents.
pub const KINDS: [DocumentKind; 3] = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];

/// A demo job, worked.
pub struct Demo {
    /// What was read.
    pub loaded: Loaded,
    /// The layout.
    pub take_off: TakeOff,
    /// What the checks found in it.
    pub findings: Vec<Finding>,
    /// The programme.
    pub programme: Programme,
    /// The price.
    pub pricing: Pricing,
}

/// The folders of the demo jobs, by name.
pub fn names() -> Vec<String> {
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    let folders = fs::read_dir(jobs).unwrap().map(|e| e.unwrap().path());
    let mut names: Vec<String> = folders
        .filter(|f| f.join("job.yaml").is_file())
        .map(|f| f.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    names.sort();
    names
}

/// What `load` is asked for a demo job.
pub fn request(name: &str) -> Request {
    let folder: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs").join(name);
    let bytes = fs::read(folder.join("job.yaml")).unwrap();
    Request { name: format!("jobs/{name}/job.yaml"), bytes, folder, ..Request::default() }
}

/// Takes a demo job through every layer.
pub fn work(request: &Request) -> Demo {
    let loaded = load(request).unwrap_or_else(|f| panic!("{:#?}", f.problems));
    worked(loaded).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// Takes what was loaded through every layer.
///
/// # Errors
/// What refuses it.
pub fn worked(loaded: Loaded) -> Result<Demo, Vec<Problem>> {
    let laid = lay_out(&loaded.job, &loaded.rules, &loaded.products, crew(&loaded))?;
    let terms = loaded.terms.as_ref().unwrap();
    let holidays = &loaded.firm.as_ref().unwrap().holidays;
    let office = Office { rules: &loaded.rules, products: &loaded.products, books: &loaded.books, terms, holidays };
    let Estimate { programme, pricing } = estimate(&loaded.job, &loaded.job_money, &laid, office)?;
    let priced = price_options(&pricing, (&loaded.job, &laid.take_off), loaded.choices(), office, &[])?;
    let (needs, money) = (&laid.take_off.needs, &loaded.job_money);
    let (job, rules, books) = (&loaded.job, &loaded.rules, &loaded.books);
    let basis = Basis { job, rules, needs, programme: &programme, books, terms, money };
    let pricing = pricing.with_options(priced.options, priced.totals).with_van(&loaded.stock, basis);
    let LaidOut { take_off, checked, .. } = laid;
    let findings = checked.findings;
    Ok(Demo { loaded, take_off, findings, programme, pricing })
}

impl Demo {
    /// What the documents speak of.
    pub fn worked(&self) -> WholeJob<'_> {
        WholeJob {
            job: &self.loaded.job,
            firm: self.loaded.firm.as_ref().unwrap(),
            rules: &self.loaded.rules,
            products: &self.loaded.products,
            terms: self.loaded.terms.as_ref().unwrap(),
            take_off: &self.take_off,
            findings: &self.findings,
            programme: &self.programme,
            pricing: &self.pricing,
            photos: &self.loaded.photos,
            date: self.loaded.job.prepared,
            standing: wetout::documents::IssueStanding::Draft,
            varied: None,
        }
    }

    /// One document.
    pub fn make(&self, kind: DocumentKind) -> Vec<Finished> {
        make(kind, &self.worked(), &Overrides::default()).unwrap()
    }
}

/// Who works for the firm of a job.
pub fn crew(loaded: &Loaded) -> Option<Crew<'_>> {
    Crew::of(loaded.firm.as_ref(), loaded.terms.as_ref())
}
