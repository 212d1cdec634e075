//! How many packs of each article were ordered for a job and for what was agreed since, as its record counts them.
//!
//! Given what is kept of a job; gives the packs by their codes. They are those of the order that was issued last, at the books of that
//! day, else of the job as accepted; what was taken from the van instead counts as ordered, since it was used as well.

use super::kept::Kept;
use super::snapshot;
use super::varied_goods;
use crate::cli::work::{PricedJob, Stopped};
use crate::documents::DocumentKind;
use crate::pricing::OrderLine;

/// Packs of one article.
#[derive(Debug, Clone)]
pub(crate) struct PacksOrdered {
    /// Its code.
    pub(crate) code: String,
    /// What it is, in the words of the price book.
    pub(crate) description: String,
    /// What a pack is.
    pub(crate) pack: String,
    /// How many.
    pub(crate) ordered: u64,
    /// A spare that nobody needs for certain.
    pub(crate) optional: bool,
}

/// The packs of a job and of its variations.
///
/// # Errors
/// What cannot be read or worked any more.
pub(crate) fn ordered(kept: &Kept, reference: &str, planned: &PricedJob) -> Result<Vec<PacksOrdered>, Stopped> {
    let own = kept.last(reference, DocumentKind::Order).map(snapshot::work_as_bought).transpose()?;
    let besides = varied_goods::last_of_each(kept, reference).into_iter().map(snapshot::work_as_bought);
    let besides: Vec<PricedJob> = besides.collect::<Result<_, _>>()?;
    let mut all: Vec<PacksOrdered> = Vec::new();
    let orders = std::iter::once(own.as_ref().unwrap_or(planned)).chain(&besides).flat_map(|job| &job.pricing.orders);
    for line in orders.flat_map(|order| &order.lines) {
        match all.iter_mut().find(|packs| packs.code == line.code && packs.optional == line.optional) {
            Some(packs) => packs.ordered += line.quantity,
            None => all.push(PacksOrdered::of(line)),
        }
    }
    Ok(all)
}

impl PacksOrdered {
    fn of(line: &OrderLine) -> PacksOrdered {
        PacksOrdered {
            code: line.code.clone(),
            description: line.description.clone(),
            pack: line.pack.clone(),
            ordered: line.quantity,
            optional: line.optional,
        }
    }
}
