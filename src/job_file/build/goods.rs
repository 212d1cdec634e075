//! Goods for one job alone, from what stands under `order_lines`.
//!
//! Given the raw lines; gives the goods. What the firm buys names an article of the price books by its role; what the
//! customer supplies names none.

use super::measured::too_many;
use crate::job_file::raw::job::{RawOrderLine, SuppliedBy};
use crate::job_file::read::reading::{List, Slot};
use crate::job_file::read::suggest;
use crate::model::goods::{Goods, Promised, Supply};
use crate::model::{Problem, Role, SettingPath, Warned, limits};

/// The goods, in the order of the file, beside the extras of which one may be the fitting of some; `roofs` are the names of all roofs,
/// where they are known.
pub(super) fn goods(
    raw: List<RawOrderLine>,
    extras: &[Promised],
    roofs: Option<&[&str]>,
    found: &mut Vec<Problem>,
) -> Vec<Goods> {
    if too_many(raw.len(), limits::ORDER_LINES, ["order_lines"], found) {
        return Vec::new();
    }
    let path = |n| SettingPath::from(["order_lines"]).entry(n);
    let goods: Vec<Goods> =
        raw.into_iter().enumerate().filter_map(|(n, raw)| one(raw.take()?, path(n), roofs, found)).collect();
    found.extend(goods.iter().enumerate().filter_map(|(n, here)| again(here, &goods[..n])));
    let twice = |g: &&Goods| g.hours.is_some() && extras.iter().any(|extra| extra.fits(g));
    found.extend(goods.iter().filter(twice).map(fitted_twice));
    goods
}

/// The same article for the same place as before.
fn again(here: &Goods, before: &[Goods]) -> Option<Problem> {
    let same = |other: &Goods| (&other.item, &other.supply, &other.roof) == (&here.item, &here.supply, &here.roof);
    before.iter().any(same).then(|| {
        let fault = format!("{} stands here again, and counts again", here.title());
        let cure = "take one of the two out, or write how many there are in all as `count`";
        Problem::warning(Warned::Twice, here.path.clone(), fault, cure)
    })
}

fn fitted_twice(goods: &Goods) -> Problem {
    let fault = format!("fitting {} would be paid for twice: by these hours, and by the extra for it", goods.title());
    Problem::fault(goods.path.key("hours"), fault, "take `hours` out here, or the extra under `extras`")
}

fn one(raw: RawOrderLine, path: SettingPath, roofs: Option<&[&str]>, found: &mut Vec<Problem>) -> Option<Goods> {
    let supply = match (&raw.supply, &raw.article) {
        (Slot::Bad, _) | (_, Slot::Bad) => return None,
        (Slot::Given(SuppliedBy::Customer), Slot::Given(_)) => {
            let fault = "what the customer supplies is bought from no merchant";
            found.push(Problem::fault(path.key("article"), fault, "take `article` out here, or take `supply` out"));
            return None;
        }
        (Slot::Given(SuppliedBy::Customer), _) => Supply::Customer,
        (_, Slot::Given(word)) => Supply::Bought(own_role(&word.0, &path, found)?),
        (_, Slot::Missing) => {
            let cure = "add its role in the price book, such as `article: own.fascia-225`, or `supply: customer`";
            found.push(Problem::fault(path.key("article"), "which article is bought is not said", cure));
            return None;
        }
    };
    if raw.count.is_bad() {
        return None;
    }
    let count = raw.count.or_taken(1, || {
        found.push(Problem::assumed(
            path.key("count"),
            "how many are wanted is not said: one is taken",
            "add `count: 1`",
        ));
    });
    if raw.during.is_bad() || raw.hours.is_bad() || raw.roof.is_bad() {
        return None;
    }
    let roof = raw.roof.take().map(|name| name.0);
    if let (Some(name), Some(roofs)) = (&roof, roofs)
        && !roofs.contains(&name.as_str())
    {
        let fault = format!("`{name}` is no roof of this job");
        found.push(Problem::fault(path.key("roof"), fault, suggest::cure(name, roofs)));
        return None;
    }
    let (during, hours) = (raw.during.take(), raw.hours.take().map(|h| h.0));
    let goods = Goods { path, item: raw.item.take()?.0, count, supply, during, hours, roof };
    if goods.hours.is_some() && goods.fitted().is_none() {
        let fault = "what the customer supplies is fitted by others, who take none of our hours";
        let cure = "say when we fit it, such as `during: finish`, or take `hours` out";
        found.push(Problem::fault(goods.path.key("hours"), fault, cure));
        return None;
    }
    Some(goods)
}

/// The role of an article that is bought for one job: of the family `own.`, because what has a rule of its own is counted.
fn own_role(word: &str, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Role> {
    let role = Role::parse(word);
    if matches!(role, Some(Role::Own(_))) {
        return role;
    }
    let (fault, cure) = match role {
        Some(_) => (
            format!("`{word}` is counted by its own rules and stands on the order already"),
            "take the line out, or give the article a role of its own, such as `own.fascia-225`",
        ),
        None => (
            format!("`{word}` is no article for one job: its role begins with `own.`"),
            "write the role that the price book gives it, such as `article: own.fascia-225`",
        ),
    };
    found.push(Problem::fault(path.key("article"), fault, cure));
    None
}
