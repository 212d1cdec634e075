//! Words that may stand behind a key besides any others, and names that a group of names may have.
//!
//! Given a group and its key; gives the words from the tables of the trade, of products and of roles. A firm or a price book
//! may add to them, so that none of these lists is closed but the questions of `access`.

use crate::job_file::read::form::KeyForm;
use crate::model::limits::{JOIST_SPACING, Number, TILE_PITCH};
use crate::model::role::ROLES;
use crate::model::trade::Keyed;
use crate::model::{Access, Products, Trade};
use crate::works::{RoofCheck, WorkKind};

/// The usual words behind a key; none where it has none.
pub(crate) fn usual_words(group: &str, key: &str) -> Vec<String> {
    let boards = || Products::default().boards.into_keys().collect();
    match (group, key) {
        ("RawStrip", "covering") => keys(&Trade::default().coverings),
        ("RawStrip", "tip") => keys(&Trade::default().tips),
        ("RawTopcoat", "finish") => keys(&Trade::default().surfaces),
        ("RawDeck" | "RawCoping" | "RawBoxGutter", "board") | ("RawPatch", "deck") | ("RawBuildUp", "overlay") => {
            boards()
        }
        ("RawLaminate", "mat") => Products::default().mats.keys().map(u32::to_string).collect(),
        ("RawArticle", "role") => {
            ROLES.iter().filter(|role| !role.word.ends_with('*')).map(|role| role.word.to_owned()).collect()
        }
        _ => Vec::new(),
    }
}

fn keys<T: Keyed>(all: &[T]) -> Vec<String> {
    all.iter().map(|entry| entry.key().to_owned()).collect()
}

/// The limits of a key: those that it is read within, or those that its builder holds it to.
pub(crate) fn limits_of(group: &str, key: &KeyForm) -> Option<Number> {
    key.limit.or(match (group, key.key) {
        ("RawJoists", "spacing") => Some(JOIST_SPACING),
        ("RawUnder", "pitch") => Some(TILE_PITCH),
        _ => None,
    })
}

/// The names of a group of names, where they are closed, each with its words.
pub(crate) fn names_of(group: &str, key: &str) -> Option<Vec<(&'static str, &'static str)>> {
    let of_firm = |a: &Access| !matches!(a, Access::Scaffold | Access::MinimumCharge);
    let named = |a: Access| (a.key(), a.words());
    match (group, key) {
        ("RawRecord", "checks") => Some(RoofCheck::ALL.iter().map(|check| (check.key(), check.words())).collect()),
        ("RawRecord", "hours") => Some(WorkKind::ALL.iter().map(|kind| (kind.key(), kind.name())).collect()),
        ("RawJob", "access") => Some(Access::all().map(named).collect()),
        ("RawMoney", "access" | "access_day") => Some(Access::all().filter(of_firm).map(named).collect()),
        _ => None,
    }
}
