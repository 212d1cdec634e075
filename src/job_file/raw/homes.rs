//! Where each key of the files stands, for one that was written in the wrong place.
//!
//! Given a key; gives the groups that have it, in words. A key of more groups than can be named helps nobody, and the
//! reader then says what can stand where it was found.

use super::{checks, firm, found, job, prices, record, rules, stock};
use crate::model::Rules;

/// The groups, in words, and their keys.
const GROUPS: &[(&str, &[&str])] = &[
    ("the job file, at its left margin", job::RawJob::KEYS),
    ("`customer`", job::RawCustomer::KEYS),
    ("`site`", job::RawSite::KEYS),
    ("`conditions`", job::RawConditions::KEYS),
    ("a roof", job::RawRoof::KEYS),
    ("`outline` of a roof", job::RawOutline::KEYS),
    ("an edge of a roof", job::RawEdge::KEYS),
    ("`box_gutter` of an edge", job::RawBoxGutter::KEYS),
    ("`overflow` of an edge", job::RawOverflow::KEYS),
    ("`under` of an edge", job::RawUnder::KEYS),
    ("`holes` of a roof", job::RawHole::KEYS),
    ("`joists` of a roof", job::RawJoists::KEYS),
    ("`deck` of a roof", job::RawDeck::KEYS),
    ("`laminate` of a roof", job::RawLaminate::KEYS),
    ("`topcoat` of a roof", job::RawTopcoat::KEYS),
    ("`strip`", job::RawStrip::KEYS),
    ("`delivery`", job::RawDelivery::KEYS),
    ("`extras`", job::RawExtra::KEYS),
    ("`order_lines`", job::RawOrderLine::KEYS),
    ("`silence` of the job", job::RawSilence::KEYS),
    ("`quote` of the job", job::RawQuote::KEYS),
    ("`price` of the job", job::RawPrice::KEYS),
    ("`gutter` of an edge", checks::RawGutterDetail::KEYS),
    ("`build_up` of a roof", checks::RawBuildUp::KEYS),
    ("`lift`", checks::RawLift::KEYS),
    ("the firm file, at its left margin", firm::RawFirm::KEYS),
    ("`firm` of the firm file", firm::RawParty::KEYS),
    ("`bank` of the firm file", firm::RawBank::KEYS),
    ("`mail` of the firm file", firm::RawMail::KEYS),
    ("`people` of the firm file", firm::RawPerson::KEYS),
    ("`money` of the firm file", firm::RawMoney::KEYS),
    ("the price book, at its left margin", prices::RawPrices::KEYS),
    ("`merchant` of the price book", prices::RawMerchant::KEYS),
    ("`list` of the price book", &["file"]),
    ("`articles` of the price book", prices::RawArticle::KEYS),
    ("the record of the work, at its left margin", record::RawRecord::KEYS),
    ("`weather` of the record", record::RawLoggedWeather::KEYS),
    ("`batches` of the record", record::RawBatches::KEYS),
    ("the stock list, at its left margin", stock::RawStock::KEYS),
    ("`van` of the stock list", stock::RawVanLine::KEYS),
];

/// The groups that have a key.
pub(crate) fn of(key: &str) -> Vec<&'static str> {
    let groups = GROUPS.iter().filter(|(_, keys)| keys.contains(&key)).map(|(words, _)| *words);
    let rule = key == rules::ALLOWS_OVER || Rules::ABOUT.iter().any(|(name, ..)| *name == key);
    groups.chain(rule.then_some("`rules` of the firm file or of the job")).collect()
}

/// The file of what was found on site, in words.
pub(crate) const FOUND: &str = "what was found on site";

/// What kind of file it is that has these keys at its left margin: one that has keys of none of the others.
pub(crate) fn file_of<'a>(keys: impl Iterator<Item = &'a str> + Clone) -> Option<&'static str> {
    let kinds = [
        (FOUND, found::RawFound::KEYS),
        ("a job", job::RawJob::KEYS),
        ("a firm file", firm::RawFirm::KEYS),
        ("a price book", prices::RawPrices::KEYS),
        ("a record of the work", record::RawRecord::KEYS),
        ("a stock list", stock::RawStock::KEYS),
    ];
    let count = |known: &[&str]| keys.clone().filter(|key| known.contains(key)).count();
    let best = kinds.into_iter().map(|(words, known)| (count(known), words)).max_by_key(|(n, _)| *n)?;
    (best.0 >= 2).then_some(best.1)
}
