//! What was found on site, from its file.
//!
//! Given the raw file; gives things with what each takes. Whether a rate, a board or an article is known is for the pricing.

use super::measured::too_many;
use crate::job_file::raw::found::{FoundQuantity, RawFound, RawTaken, RawThing};
use crate::job_file::read::reading::Slot;
use crate::job_file::read::suggest;
use crate::model::role::ROLES;
use crate::model::{Length, Problem, Role, SettingPath, limits};
use crate::pricing::variation::{FoundLine, FoundOnSite, FoundPart, TakenGoods};

/// What one thing can take.
const PARTS: [&str; 8] = ["rate", "article", "boards", "hours", "visits", "cost", "price", "omit"];

/// What was found; nothing where something is wrong with it.
pub(crate) fn found(raw: RawFound, told: &mut Vec<Problem>) -> Option<FoundOnSite> {
    let (days, note) = (raw.days, raw.note);
    let raw_things = raw.found.take()?;
    if raw_things.is_empty() {
        let fault = "nothing is found: a variation has at least one line";
        told.push(Problem::fault(
            ["found"],
            fault,
            "add one, as `- {what: Deck boards rotten at the outlet, boards: 3}`",
        ));
    }
    if too_many(raw_things.len(), limits::FOUND, ["found"], told) {
        return None;
    }
    let path = |n| SettingPath::from(["found"]).entry(n);
    let things = raw_things.into_iter().enumerate().filter_map(|(n, raw)| thing(raw.take()?, path(n), told));
    Some(FoundOnSite { lines: things.collect(), days: days.take(), note: note.take().map(|note| note.0) })
}

fn thing(raw: RawThing, path: SettingPath, told: &mut Vec<Problem>) -> Option<FoundLine> {
    let role = raw.article.given().and_then(|word| named(&word.0, &path, told));
    let mut fault =
        |key: &'static str, fault: String, cure: &str| told.push(Problem::fault(path.key(key), fault, cure));
    let (counted, quantity) = (!raw.rate.is_missing() || !raw.article.is_missing(), &raw.quantity);
    if !raw.rate.is_missing() && !raw.article.is_missing() {
        fault("article", "one quantity cannot be of a rate and of an article".to_owned(), "write two entries");
        return None;
    }
    if counted && quantity.is_missing() {
        let of = if raw.rate.is_missing() { "article" } else { "rate" };
        fault("quantity", format!("how much of the {of} is not said"), "add, for example, `quantity: 2.4 m`");
    }
    if !counted && !quantity.is_missing() {
        let fault_words = "a quantity needs the rate or the article that it is of".to_owned();
        fault(
            "quantity",
            fault_words,
            "add `rate:` with a rate of the quote, or `article:` with a role of the price book",
        );
    }
    if raw.boards.is_missing() && !raw.board.is_missing() {
        fault("board", "which board is said, and not how many".to_owned(), "add, for example, `boards: 3`");
    }
    if raw.article.is_missing() && !raw.size.is_missing() {
        fault("size", "a size needs the article that it is of".to_owned(), "add `article:`, or take `size` out");
    }
    let keys = [
        raw.rate.is_missing(),
        raw.article.is_missing(),
        raw.boards.is_missing(),
        raw.hours.is_missing(),
        raw.visits.is_missing(),
        raw.cost.is_missing(),
        raw.price.is_missing(),
        raw.omit.is_missing(),
    ];
    if keys.iter().all(|missing| *missing) {
        let cure = format!("add at least one of {}", suggest::words(&PARTS, "and"));
        fault("what", "what this costs is not said".to_owned(), &cure);
    }
    let (parts, what) = (parts(&raw, role), raw.what.take());
    let takes = raw.takes.take().unwrap_or_default();
    if too_many(takes.len(), limits::FOUND, path.key("takes"), told) {
        return None;
    }
    let at = |n| path.key("takes").entry(n);
    let takes = takes.into_iter().enumerate().filter_map(|(n, raw)| taken(raw.take()?, &at(n), told)).collect();
    Some(FoundLine { path, what: what?.0, parts, takes })
}

/// What a thing takes whose price is in its rate or its sum.
fn taken(raw: RawTaken, path: &SettingPath, told: &mut Vec<Problem>) -> Option<TakenGoods> {
    let role = named(&raw.article.take()?.0, path, told)?;
    let FoundQuantity { amount, unit } = raw.quantity.take()?;
    Some(TakenGoods { role, size: raw.size.take(), quantity: amount, unit })
}

/// The role of an article that is named under `article`.
fn named(word: &str, path: &SettingPath, told: &mut Vec<Problem>) -> Option<Role> {
    let role = Role::parse(word);
    if role.is_none() {
        let known: Vec<&str> = ROLES.iter().map(|role| role.word).collect();
        let cure = match suggest::nearest(word, &known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write the role that the price book gives it, such as `flashing.lead` or `own.cowl`".to_owned(),
        };
        told.push(Problem::fault(path.key("article"), format!("`{word}` is no role of an article"), &cure));
    }
    role
}

/// What a thing takes, in the order in which it is printed.
fn parts(raw: &RawThing, role: Option<Role>) -> Vec<FoundPart> {
    let quantity = |slot: &Slot<FoundQuantity>| slot.given().map(|q| (q.amount, q.unit.clone()));
    let mut parts = Vec::new();
    if let (Some(label), Some((quantity, unit))) = (raw.rate.given(), quantity(&raw.quantity)) {
        parts.push(FoundPart::Rate { label: label.0.clone(), quantity, unit });
    }
    if let Some(count) = raw.boards.given() {
        parts.push(FoundPart::Boards { count: *count, board: raw.board.given().map(|board| board.0.clone()) });
    }
    if let (Some(role), Some((quantity, unit))) = (role, quantity(&raw.quantity)) {
        let size: Option<Length> = raw.size.given().copied();
        parts.push(FoundPart::Article { role, size, quantity, unit });
    }
    parts.extend(raw.hours.given().map(|hours| FoundPart::Hours(hours.0)));
    parts.extend(raw.visits.given().map(|days| FoundPart::Visits(*days)));
    parts.extend(raw.cost.given().map(|sum| FoundPart::Cost(*sum)));
    parts.extend(raw.price.given().map(|sum| FoundPart::Price(*sum)));
    parts.extend(raw.omit.given().map(|sum| FoundPart::Omit(*sum)));
    parts
}
