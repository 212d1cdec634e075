//! A whole job: every layer's value, as the documents are made from.
//!
//! Given finished values; gives them together. Only what is for the firm itself or for the site is made from it: the
//! quote and the order see no more than `views` shows them.

use super::letterhead::Parties;
use super::standing::IssueStanding;
use crate::checks::finding::Finding;
use crate::model::{Firm, Job, LineId, Photo, Products, Rules};
use crate::pricing::{Pricing, Terms};
use crate::programme::Programme;
use crate::takeoff::TakeOff;
use time::Date;

/// Everything that is known of a job. The method statement and the firm's own sheet read it whole; the quote and the order
/// are given what their reader may see of it, by [`views`](super::views).
#[derive(Debug, Clone, Copy)]
pub struct WholeJob<'a> {
    /// The job.
    pub job: &'a Job,
    /// The firm.
    pub firm: &'a Firm,
    /// Its rules.
    pub rules: &'a Rules,
    /// Sizes of products.
    pub products: &'a Products,
    /// Its terms.
    pub terms: &'a Terms,
    /// The layout.
    pub take_off: &'a TakeOff,
    /// What the checks found in it.
    pub findings: &'a [Finding],
    /// The programme.
    pub programme: &'a Programme,
    /// The price.
    pub pricing: &'a Pricing,
    /// Photographs for the householder, in their order.
    pub photos: &'a [Photo],
    /// The date printed.
    pub date: Date,
    /// Whether the documents are issued.
    pub standing: IssueStanding<'a>,
    /// The variation for whose goods alone the orders are.
    pub varied: Option<&'a str>,
}

impl<'a> WholeJob<'a> {
    /// How many boards of each kind are ordered over what is laid. Board let in under a patch is cut out of whole ones, and
    /// none is ordered over those.
    pub fn spare_boards(&self) -> u32 {
        let spare = self.take_off.lines.iter().any(|l| l.id == LineId::BoardsSpare);
        if spare { self.rules.spare_boards } else { 0 }
    }

    /// The first day on site: the stated one, or the first after it on which somebody works.
    pub fn first_day(&self) -> Option<Date> {
        self.programme.days.first().and_then(|d| d.date).or(self.job.start)
    }

    /// Who writes to whom.
    pub fn parties(&self) -> Parties<'a> {
        let job = self.job;
        Parties {
            firm: self.firm,
            customer: &job.customer,
            site: &job.site.address,
            title: &job.title,
            reference: &job.reference,
            date: self.date,
            first_day: self.first_day(),
            standing: self.standing,
        }
    }
}
