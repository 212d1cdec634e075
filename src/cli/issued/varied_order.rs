//! The order for what a variation adds: its goods alone, less what stands in the van and no earlier order of the job takes.
//!
//! Given a job that was priced as accepted, and a variation that was agreed; gives the same job with that order in the place of its
//! own, and what is kept of it, from which it is made again.

use super::agreed_works;
use super::kept::{Frozen, IssuedVariation, Kept, VariationState, unread};
use super::manifest::{KeptDay, KeptMoney, KeptNumber, TakenRecord, VariedOrderRecord};
use super::snapshot;
use super::{deal, variation};
use crate::cli::arguments::Files;
use crate::cli::jobs::JobSource;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::DocumentKind;
use crate::job_file;
use crate::model::van::VanStock;
use crate::pricing::FromVan;
use crate::pricing::Money;
use crate::pricing::variation::{FoundOnSite, FoundPart};
use rust_decimal::Decimal;
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
        until: varied.record.finish.map(|day| KeptDay(day.0)),
        taken: taken_before(kept, &reference, &number, &priced)?,
        goods: KeptMoney(Money::ZERO),
    };
    let priced = applied(priced, &record, &found)?;
    let (goods, delivery) = sums(&priced);
    record.goods = KeptMoney(goods + delivery);
    let said = format!(
        "variation order {number}: goods {goods}, delivery {delivery}, without VAT; what its lines say besides (hours, rates, costs) \
         is not ordered\n"
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
pub(crate) fn has_goods(found: &FoundOnSite) -> bool {
    let is_bought = |part: &FoundPart| matches!(part, FoundPart::Boards { .. } | FoundPart::Article { .. });
    found.lines.iter().flat_map(|line| &line.parts).any(is_bought)
}

/// The job with the order for a variation in the place of its own.
///
/// # Errors
/// It names no goods, or these cannot be ordered.
pub(crate) fn applied(
    mut priced: PricedJob,
    record: &VariedOrderRecord,
    found: &FoundOnSite,
) -> Result<PricedJob, Stopped> {
    let board = variation::common_board(&priced.laid.loaded.job);
    let goods = found.goods(board);
    if goods.is_empty() {
        return Err(Stopped::Usage(format!(
            "{} names no goods: boards and articles are ordered; what is done at a rate or a cost you buy yourself",
            record.number
        )));
    }
    let van = without(&priced.laid.loaded.stock, &record.taken);
    priced.order_besides(&record.number, &goods, &van, record.until.map(|day| day.0))?;
    Ok(priced)
}

/// The list without what earlier orders of the job take.
fn without(van: &VanStock, taken: &[TakenRecord]) -> VanStock {
    let mut left = van.clone();
    for taken in taken {
        let mut rest = taken.quantity.0;
        for line in left.lines.iter_mut().filter(|line| taken.is_of(line)) {
            let part = rest.min(line.amount);
            (line.amount, rest) = (line.amount - part, rest - part);
        }
    }
    left.lines.retain(|line| line.amount > Decimal::ZERO);
    left
}

/// What the other orders of the job take from the van: the last that was issued, else as the job stands today, and that of every
/// other variation. Nothing where the list was made for the time after the job already.
fn taken_before(kept: &Kept, reference: &str, number: &str, priced: &PricedJob) -> Result<Vec<TakenRecord>, Stopped> {
    if priced.laid.loaded.stock.after.iter().any(|done| done == reference) {
        return Ok(Vec::new());
    }
    let mut taken: Vec<FromVan> = match kept.last(reference, DocumentKind::Order) {
        Some(own) => snapshot::work_again(own)?.pricing.van.taken,
        None => priced.pricing.van.taken.clone(),
    };
    for other in last_of_each(kept, reference).into_iter().filter(|at| !is_of(at, number)) {
        taken.extend(snapshot::work_again(other)?.pricing.van.taken);
    }
    Ok(taken.iter().map(TakenRecord::of).collect())
}

fn is_of(at: &Frozen, number: &str) -> bool {
    at.manifest.paper().and_then(|paper| paper.varied.as_ref()).is_some_and(|varied| varied.number == number)
}

/// The last order that was issued for each variation, in the order of their letters.
pub(crate) fn last_of_each<'a>(kept: &'a Kept, reference: &'a str) -> Vec<&'a Frozen> {
    let mut last: Vec<(&str, &Frozen)> = Vec::new();
    for at in kept.of(reference) {
        let Some(varied) = at.manifest.paper().and_then(|paper| paper.varied.as_ref()) else { continue };
        last.retain(|(number, _)| *number != varied.number);
        last.push((&varied.number, at));
    }
    last.into_iter().map(|(_, at)| at).collect()
}

/// The last order that was issued for a variation.
pub(crate) fn last_for<'a>(kept: &'a Kept, reference: &'a str, number: &str) -> Option<&'a Frozen> {
    kept.of(reference).rfind(|at| is_of(at, number))
}

/// The job of a frozen order for a variation, made from what is kept.
///
/// # Errors
/// What cannot be read or worked any more.
pub(crate) fn again(frozen: &Frozen, record: &VariedOrderRecord, priced: PricedJob) -> Result<PricedJob, Stopped> {
    let place = frozen.folder.join(&record.found);
    let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
    let (found, _) = job_file::load_found(place.display().to_string(), &bytes)
        .map_err(|failure| Stopped::Problems(failure.problems, Box::new(failure.sources)))?;
    applied(priced, record, &found)
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

    fn is_of(&self, line: &crate::model::van::VanLine) -> bool {
        self.role == line.role.to_string()
            && self.size == line.size.map(|size| size.as_mm())
            && self.batch == line.batch
            && self.use_by.map(|day| day.0) == line.use_by
    }
}
