//! What a price book that is to change does to prices that customers may still ask for: quotes that wait for an answer, and drafts.
//!
//! Given a folder, a book and its bytes as they will be; gives each job that buys by that book, its price now and with the new prices.

use super::arguments::Files;
use super::issued::{self, QuoteStanding};
use super::jobs::{self, JobSource};
use super::many::{self, Next};
use super::work::{self, PricedJob, Stopped};
use crate::job_file::{self, Request};
use crate::model::Level;
use crate::pricing::Money;
use std::path::Path;
use time::Date;

/// A job whose price the new prices may change.
#[derive(Debug, Clone)]
pub(super) struct OpenJob {
    /// The job.
    pub job: String,
    /// Its reference.
    pub reference: String,
    /// Its quote that waits for an answer; none of a draft.
    pub quote: Option<WaitingQuote>,
    /// Its total and what it costs, now and with the new prices; or why it cannot be priced.
    pub sums: Result<JobSums, String>,
}

/// A quote that waits for an answer.
#[derive(Debug, Clone)]
pub(super) struct WaitingQuote {
    /// Its letter.
    pub revision: String,
    /// Its total as it was printed.
    pub total: String,
    /// Until when it stands.
    pub until: Option<Date>,
}

/// What a job comes to.
#[derive(Debug, Clone, Copy)]
pub(super) struct JobSums {
    /// The total with VAT.
    pub total: (Money, Money),
    /// What it costs the firm.
    pub cost: (Money, Money),
}

/// The open jobs of a folder that buy by a book, in their order.
///
/// # Errors
/// What is kept beside a job cannot be read.
pub(super) fn of(folder: &Path, book: &Path, new: &[u8]) -> Result<Vec<OpenJob>, Stopped> {
    // A folder without jobs has none that are open.
    let Ok(jobs) = jobs::find(&[folder.to_owned()]) else { return Ok(Vec::new()) };
    let mut found = Vec::new();
    let each = |job: &JobSource| one(job, book, new);
    many::in_order(&jobs, each, |_, job: Result<Option<OpenJob>, Stopped>| {
        found.extend(job?);
        Ok::<Next, Stopped>(Next::GoOn)
    })?;
    Ok(found)
}

fn one(job: &JobSource, book: &Path, new: &[u8]) -> Result<Option<OpenJob>, Stopped> {
    if !job_file::nearest_prices(&job.folder()).iter().any(|other| job_file::is_same_file(other, book)) {
        return Ok(None);
    }
    let Ok(request) = job.request(&Files::default()) else { return Ok(None) };
    let request = Request { without_options: true, ..request };
    let now = work::price_asked(&request);
    let reference = match &now {
        Ok(priced) => priced.laid.loaded.job.reference.clone(),
        Err(_) => String::new(),
    };
    let quote = match issued::quote_standing(job, &reference)? {
        QuoteStanding::Answered => return Ok(None),
        QuoteStanding::Draft => None,
        QuoteStanding::Waits(revision, total, until) => Some(WaitingQuote { revision, total, until }),
    };
    let sums = now.and_then(|now| {
        let as_will_be = Some((book.to_owned(), new.to_vec()));
        let then = work::price_asked(&Request { as_will_be, ..request })?;
        let cost = |priced: &PricedJob| priced.pricing.cost;
        Ok(JobSums { total: (now.pricing.total, then.pricing.total), cost: (cost(&now), cost(&then)) })
    });
    let sums = sums.map_err(|stopped| why(&stopped));
    Ok(Some(OpenJob { job: job.label(), reference, quote, sums }))
}

/// The first of what keeps a job from being priced.
fn why(stopped: &Stopped) -> String {
    match stopped {
        Stopped::Problems(problems, _) => {
            let fault = problems.iter().find(|problem| problem.level == Level::Fault);
            fault.map_or_else(String::new, |problem| problem.fault.clone())
        }
        Stopped::Usage(words) => words.clone(),
        Stopped::Unwritten(..) | Stopped::Lost(_) => String::new(),
    }
}
