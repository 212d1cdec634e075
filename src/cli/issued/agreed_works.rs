//! What was agreed after the acceptance, as works: what each signed variation order adds and what it leaves out.
//!
//! Given what is kept; reads the file of what was found again that was frozen with each order. What waits for its signature, or was
//! refused, is no work.

use super::kept::{IssuedVariation, Kept, VariationState, unread};
use crate::cli::work::Stopped;
use crate::documents::variation::how_much;
use crate::documents::wording::{goods, plural};
use crate::job_file;
use crate::model::words::within;
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
            done: done.into_iter().filter(|line| !is_visit(line)).map(|line| thing(line, terms)).collect(),
            left_out: left_out.into_iter().map(|line| line.what.clone()).collect(),
        }))
    };
    agreed(kept, reference, revision).into_iter().filter_map(|varied| one(varied).transpose()).collect()
}

/// A day on which the crew came besides: nothing is built of it.
fn is_visit(line: &FoundLine) -> bool {
    line.parts.iter().all(|part| matches!(part, FoundPart::Visits(_)))
}

/// A thing, with how much of it was built in: what it was worth is no word of that. What was found is no deed: where a rate or
/// boards say what was done, that stands first.
fn thing(line: &FoundLine, terms: &Terms) -> String {
    let (deeds, amounts): (Vec<&FoundPart>, Vec<&FoundPart>) = line.parts.iter().partition(|part| is_deed(part, line));
    let words = |parts: Vec<&FoundPart>| parts.into_iter().filter_map(|part| amount(part, terms)).collect::<Vec<_>>();
    let named = |part: &&FoundPart| match part {
        FoundPart::Rate { label, .. } => Some(format!("{label}, {}", amount(part, terms)?)),
        FoundPart::Boards { count, .. } => Some(plural(*count as usize, "new board", "new boards")),
        _ => None,
    };
    let deeds: Vec<String> = deeds.iter().filter_map(named).collect();
    let found =
        if deeds.is_empty() { line.what.clone() } else { format!("{}: {}", deeds.join(", "), within(&line.what)) };
    let amounts = words(amounts);
    if amounts.is_empty() { found } else { format!("{found}: {}", amounts.join(", ")) }
}

/// Whether a part says what was done, which the installer's words do not say already.
fn is_deed(part: &FoundPart, line: &FoundLine) -> bool {
    match part {
        FoundPart::Rate { label, .. } => !line.what.to_lowercase().contains(&label.to_lowercase()),
        FoundPart::Boards { .. } => true,
        _ => false,
    }
}

fn amount(part: &FoundPart, terms: &Terms) -> Option<String> {
    let (quantity, unit) = match part {
        FoundPart::Rate { label, quantity, .. } => {
            let rate = terms.rot_rates.iter().find(|rate| rate.label == *label)?;
            (*quantity, FoundUnit::Named(rate.unit.clone()))
        }
        FoundPart::Boards { count, .. } => ((*count).into(), FoundUnit::Boards),
        // Without its name it would read as the size of what was done.
        FoundPart::Article { role, size, quantity, .. } => {
            let size = size.map(|size| format!(", {size}")).unwrap_or_default();
            let much = how_much(*quantity, &FoundUnit::Named(role.unit().to_string()));
            return Some(format!("{}{size}, {much}", goods(role, None)));
        }
        FoundPart::Hours(_) | FoundPart::Visits(_) | FoundPart::Cost(_) | FoundPart::Price(_) | FoundPart::Omit(_) => {
            return None;
        }
    };
    Some(how_much(quantity, &unit))
}
