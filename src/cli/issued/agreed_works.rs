//! What was agreed after the acceptance, as works: what each signed variation order adds and what it leaves out.
//!
//! Given what is kept; reads the file of what was found again that was frozen with each order. What waits for its signature, or was
//! refused, is no work.

use super::kept::{IssuedVariation, Kept, VariationState, unread};
use crate::cli::work::Stopped;
use crate::documents::variation::how_much;
use crate::job_file;
use crate::pricing::Terms;
use crate::pricing::variation::{FoundLine, FoundOnSite, FoundPart, FoundUnit};
use crate::works::VariedWork;
use std::fs;

/// The variation orders of a revision that were agreed, in their order.
pub(crate) fn agreed<'a>(kept: &'a Kept, reference: &'a str, revision: &'a str) -> Vec<IssuedVariation<'a>> {
    let mut all = kept.variations(reference, revision);
    all.retain(|varied| matches!(varied.answer, VariationState::Agreed(_)));
    all
}

/// What was found, as it is kept with its order.
///
/// # Errors
/// What cannot be read any more.
pub(crate) fn found(varied: IssuedVariation<'_>) -> Result<FoundOnSite, Stopped> {
    let place = varied.at.folder.join(&varied.record.found);
    let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
    let (found, _) = job_file::load_found(place.display().to_string(), &bytes)
        .map_err(|failure| Stopped::Problems(failure.problems, Box::new(failure.sources)))?;
    Ok(found)
}

/// What was agreed, as it is handed over; the terms are those of the accepted quote.
///
/// # Errors
/// What cannot be read any more.
pub(crate) fn works(kept: &Kept, reference: &str, revision: &str, terms: &Terms) -> Result<Vec<VariedWork>, Stopped> {
    let one = |varied: IssuedVariation<'_>| {
        let VariationState::Agreed(answer) = varied.answer else { return Ok(None) };
        let found = found(varied)?;
        let is_left_out = |line: &&FoundLine| line.parts.iter().all(|part| matches!(part, FoundPart::Omit(_)));
        let (left_out, done): (Vec<_>, Vec<_>) = found.lines.iter().partition(is_left_out);
        Ok(Some(VariedWork {
            sequence: varied.record.sequence,
            number: varied.record.number.clone(),
            on: answer.on.0,
            done: done.into_iter().map(|line| thing(line, terms)).collect(),
            left_out: left_out.into_iter().map(|line| line.what.clone()).collect(),
        }))
    };
    agreed(kept, reference, revision).into_iter().filter_map(|varied| one(varied).transpose()).collect()
}

/// A thing, with how much of it was built in: what it was worth is no word of that.
fn thing(line: &FoundLine, terms: &Terms) -> String {
    let amounts: Vec<String> = line.parts.iter().filter_map(|part| amount(part, terms)).collect();
    match amounts.is_empty() {
        true => line.what.clone(),
        false => format!("{}: {}", line.what, amounts.join(", ")),
    }
}

fn amount(part: &FoundPart, terms: &Terms) -> Option<String> {
    let (quantity, unit) = match part {
        FoundPart::Rate { label, quantity, .. } => {
            let (_, unit, _) = terms.rot_rates.iter().find(|(known, ..)| known == label)?;
            (*quantity, FoundUnit::Named(unit.clone()))
        }
        FoundPart::Boards { count, .. } => ((*count).into(), FoundUnit::Boards),
        FoundPart::Article { role, quantity, .. } => (*quantity, FoundUnit::Named(role.unit().to_string())),
        FoundPart::Hours(_) | FoundPart::Visits(_) | FoundPart::Cost(_) | FoundPart::Price(_) | FoundPart::Omit(_) => {
            return None;
        }
    };
    Some(how_much(quantity, &unit))
}
