//! The goods of a variation in the place of a job's own order, and the orders for variations that were frozen.
//!
//! Given a priced job and what is kept of such an order; gives the job with it. Whoever makes a frozen order again and whoever
//! makes a new one read it here.

use super::kept::{Frozen, Kept, unread};
use super::manifest::{TakenRecord, VariedOrderRecord};
use crate::cli::work::{PricedJob, Stopped};
use crate::job_file;
use crate::model::Job;
use crate::model::van::{VanLine, VanStock};
use crate::pricing::variation::FoundOnSite;
use rust_decimal::Decimal;
use std::fs;

/// The board of a job's deck, where all its roofs have one.
pub(crate) fn common_board(job: &Job) -> Option<&str> {
    let mut boards: Vec<&str> = job.roofs.iter().filter_map(|roof| roof.deck.board.as_deref()).collect();
    boards.sort_unstable();
    boards.dedup();
    if let [only] = boards[..] { Some(only) } else { None }
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
    let board = common_board(&priced.laid.loaded.job);
    let goods = found.clone().sized_by(&priced.laid.layout.take_off.needs).goods(board, record.rate_boards);
    if goods.is_empty() {
        return Err(Stopped::Usage(format!(
            "{} names no goods: boards, articles and what stands under `takes` are ordered; what is done at another rate or a cost you buy yourself",
            record.number
        )));
    }
    let van = without(&priced.laid.loaded.stock, &record.taken);
    priced.order_besides(&record.number, &goods, &van, record.until.map(|day| day.0))?;
    Ok(priced)
}

/// The list without what other orders of the job take.
pub(crate) fn without(van: &VanStock, taken: &[TakenRecord]) -> VanStock {
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

pub(crate) fn is_of(at: &Frozen, number: &str) -> bool {
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
    fn is_of(&self, line: &VanLine) -> bool {
        self.role == line.role.to_string()
            && self.size == line.size.map(|size| size.as_mm())
            && self.batch == line.batch
            && self.use_by.map(|day| day.0) == line.use_by
    }
}
