//! The order for what a variation adds: its goods alone, less what stands in the van and no earlier order of the job takes.
//!
//! Given a job that was priced as accepted, and a variation that was agreed; gives the same job with that order in the place of its
//! own, and what is kept of it, from which it is made again.

use super::accepted::SourceOfWork;
use super::agreed_works;
use super::deal;
use super::kept::{Frozen, IssuedVariation, Kept, VariationState, unread};
use super::manifest::{KeptDay, KeptMoney, KeptNumber, TakenRecord, VariationRecord, VariedOrderRecord};
use super::snapshot;
use super::varied_goods::{applied, is_of, last_of_each, without};
use crate::cli::arguments::Files;
use crate::cli::jobs::JobSource;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::DocumentKind;
use crate::job_file::Loaded;
use crate::pricing::FromVan;
use crate::pricing::Money;
use crate::pricing::variation::{FoundOnSite, FoundPart};
use std::fs;

/// A job with the order for a variation, and what is kept of it.
pub(crate) struct VariedOrder {
    /// The job.
    pub(crate) priced: PricedJob,
    /// What is kept.
    pub(crate) record: VariedOrderRecord,
    /// The file of what was found, under the name under which it is kept.
    pub(crate) found: (String, Vec<u8>),
    /// What is to be said of it.
    pub(crate) said: String,
}

/// Takes the goods of a variation for those of a job.
///
/// # Errors
/// It is not agreed, names no goods, or these cannot be ordered.
pub(crate) fn of(priced: PricedJob, kept: &Kept, typed: &str) -> Result<VariedOrder, Stopped> {
    let reference = priced.laid.loaded.job.reference.clone();
    let varied = wanted(kept, &reference, typed)?;
    let number = varied.record.number.clone();
    refuse_not_agreed(varied)?;
    let place = varied.at.folder.join(&varied.record.found);
    let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
    let found = agreed_works::found(varied)?;
    let mut record = VariedOrderRecord {
        number: number.clone(),
        found: varied.record.found.clone(),
        rate_boards: varied.record.rate_boards,
        until: varied.record.finish.map(|day| KeptDay(day.0)),
        taken: taken_before(kept, &reference, &number, &priced)?,
        goods: KeptMoney(Money::ZERO),
    };
    let priced = applied(priced, &record, &found)?;
    let (goods, delivery) = sums(&priced);
    record.goods = KeptMoney(goods + delivery);
    let said = format!(
        "variation order {number}: goods {goods}, delivery {delivery}, without VAT; what its lines say besides (hours, costs, rates \
         without `takes`) is not ordered\n"
    );
    Ok(VariedOrder { priced, found: (record.found.clone(), bytes), record, said })
}

/// The same for a draft: a job that was named, and the file that says what of it was accepted.
///
/// # Errors
/// As [`of`].
pub(crate) fn order_for_variation(
    named: &JobSource,
    accepted: &JobSource,
    (files, typed): (&Files, &str),
) -> Result<VariedOrder, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = super::accepted::reference(named, &kept, files)?;
    let files = dated(files, (&kept, &reference, typed))?;
    of(work::price_without_options(accepted, &files)?, &kept, typed)
}

/// The order is of the day on which the variation was agreed, where no other is said: the job's own date lies before the work.
///
/// # Errors
/// There is no such variation.
pub(crate) fn dated(files: &Files, (kept, reference, typed): (&Kept, &str, &str)) -> Result<Files, Stopped> {
    let VariationState::Agreed(answer) = wanted(kept, reference, typed)?.answer else { return Ok(files.clone()) };
    Ok(Files { date: files.date.or(Some(answer.on.0)), ..files.clone() })
}

fn wanted<'a>(kept: &'a Kept, reference: &'a str, typed: &str) -> Result<IssuedVariation<'a>, Stopped> {
    let nothing = || {
        Stopped::Usage(format!(
            "no quote of {reference} is accepted, so no variation of it is agreed and nothing is ordered for one"
        ))
    };
    let (at, _) = kept.accepted(reference).ok_or_else(nothing)?;
    deal::variation(kept, reference, &at.manifest.revision, typed)
}

/// What is paid for the goods, and for their delivery.
fn sums(priced: &PricedJob) -> (Money, Money) {
    let orders = || priced.pricing.orders.iter();
    (orders().map(|order| order.total).sum(), orders().map(|order| order.delivery).sum())
}

fn refuse_not_agreed(varied: IssuedVariation<'_>) -> Result<(), Stopped> {
    let number = &varied.record.number;
    let why = match varied.answer {
        VariationState::Agreed(_) => return Ok(()),
        VariationState::Waiting => "waits for its signature: nothing is ordered for it until it is agreed to",
        VariationState::Refused(_) => "was refused: nothing is ordered for it",
    };
    Err(Stopped::Usage(format!("{number} {why}")))
}

/// Whether a variation names goods that are ordered.
pub(crate) fn has_goods(record: &VariationRecord, found: &FoundOnSite) -> bool {
    let is_bought = |part: &FoundPart| matches!(part, FoundPart::Boards { .. } | FoundPart::Article { .. });
    let takes = || found.lines.iter().any(|line| !line.takes.is_empty());
    record.rate_boards > 0 || takes() || found.lines.iter().flat_map(|line| &line.parts).any(is_bought)
}

/// What the other orders of the job take from the van: the last that was issued, else as the job stands today, and that of every
/// other variation. Nothing where the list was made for the time after the job already.
fn taken_before(kept: &Kept, reference: &str, number: &str, priced: &PricedJob) -> Result<Vec<TakenRecord>, Stopped> {
    if priced.laid.loaded.stock.after.iter().any(|done| done == reference) {
        return Ok(Vec::new());
    }
    let mut taken: Vec<FromVan> = match kept.last(reference, DocumentKind::Order) {
        Some(own) => snapshot::figures_again(own)?.pricing.van.taken,
        None => priced.pricing.van.taken.clone(),
    };
    taken.extend(taken_for(last_of_each(kept, reference).into_iter().filter(|at| !is_of(at, number)))?);
    Ok(taken.iter().map(TakenRecord::of).collect())
}

fn taken_for<'a>(orders: impl Iterator<Item = &'a Frozen>) -> Result<Vec<FromVan>, Stopped> {
    let one = |at| Ok(snapshot::figures_again(at)?.pricing.van.taken);
    let taken: Vec<Vec<FromVan>> = orders.map(one).collect::<Result<_, Stopped>>()?;
    Ok(taken.concat())
}

// ---- The job's own order beside it -----------------------------------------------------------------------------------

/// What the orders for a job's variations take from the van. Nothing where the list was made for the time after the job already.
///
/// # Errors
/// What cannot be read or worked any more.
pub(crate) fn taken_by_variations(kept: &Kept, loaded: &Loaded) -> Result<Vec<TakenRecord>, Stopped> {
    let reference = &loaded.job.reference;
    if loaded.stock.lines.is_empty() || loaded.stock.after.contains(reference) {
        return Ok(Vec::new());
    }
    Ok(taken_for(last_of_each(kept, reference).into_iter())?.iter().map(TakenRecord::of).collect())
}

/// The same job, where that does not stand in the van.
///
/// # Errors
/// As [`work::price_laid`].
pub(crate) fn without_taken(priced: PricedJob, taken: &[TakenRecord]) -> Result<PricedJob, Stopped> {
    let mut laid = priced.laid;
    laid.loaded.stock = without(&laid.loaded.stock, taken);
    work::price_laid(laid)
}

/// A job as its own order and its method statement are made from it: what the orders for its variations take from the van does
/// not stand there.
///
/// # Errors
/// Everything that is wrong with the job, or with what is kept of it.
pub(crate) fn for_work(named: &JobSource, from: &SourceOfWork, files: &Files) -> Result<PricedJob, Stopped> {
    let priced = work::price_without_options(&from.job, &from.dated(files))?;
    if priced.laid.loaded.stock.lines.is_empty() {
        return Ok(priced);
    }
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let taken = taken_by_variations(&kept, &priced.laid.loaded)?;
    if taken.is_empty() { Ok(priced) } else { without_taken(priced, &taken) }
}

impl TakenRecord {
    fn of(taken: &FromVan) -> TakenRecord {
        TakenRecord {
            role: taken.role.to_string(),
            size: taken.size.map(|size| size.as_mm()),
            batch: taken.batch.clone(),
            use_by: taken.use_by.map(KeptDay),
            quantity: KeptNumber(taken.quantity),
        }
    }
}
