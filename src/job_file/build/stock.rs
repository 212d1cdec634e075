//! What stands in the van, from a stock list as written.
//!
//! Given a raw list; gives it with its places. What a job takes of it is judged where the needs are known.

use super::measured::too_many;
use super::prices;
use crate::job_file::raw::stock::{RawStock, RawVanLine};
use crate::model::quantity::Unit;
use crate::model::van::{VanLine, VanStock};
use crate::model::{Problem, SettingPath, limits};

/// Builds the list.
pub(crate) fn stock(raw: RawStock, found: &mut Vec<Problem>) -> VanStock {
    let mut listed = raw.van.take().unwrap_or_default();
    if too_many(listed.len(), limits::VAN_LINES, ["van"], found) {
        listed.clear();
    }
    let mut lines = Vec::new();
    for (n, raw) in listed.into_iter().enumerate() {
        let path = SettingPath::from(["van"]).entry(n);
        lines.extend(raw.take().and_then(|raw| line(raw, path, found)));
    }
    let after = raw.after.take().map(|jobs| jobs.0).unwrap_or_default();
    VanStock { counted: raw.counted.take(), after, lines }
}

fn line(raw: RawVanLine, path: SettingPath, found: &mut Vec<Problem>) -> Option<VanLine> {
    let role = prices::role(&raw.role.given()?.0, &path, found)?;
    let unit = role.unit();
    if role.facts().sized && raw.size.is_missing() {
        let fault = format!("`{role}` comes in sizes, and this line does not say which");
        found.push(Problem::fault(path.key("size"), fault, format!("add its `size`: {}", role.facts().about)));
        return None;
    }
    let written = raw.amount.given()?;
    if !written.unit.is_empty() && written.unit != unit.to_string() {
        let fault = format!("`{role}` is counted in {unit}, not in {}", written.unit);
        let cure = format!("write, for example, `amount: {} {unit}`", written.amount.normalize());
        found.push(Problem::fault(path.key("amount"), fault, cure));
        return None;
    }
    if unit == Unit::Each && !written.amount.fract().is_zero() {
        let fault = format!("{} pieces of `{role}`: a part of one is not counted", written.amount.normalize());
        found.push(Problem::fault(
            path.key("amount"),
            fault,
            "write how many whole ones there are, such as `amount: 2`",
        ));
        return None;
    }
    Some(VanLine {
        size: raw.size.given().copied(),
        amount: written.amount,
        role,
        batch: raw.batch.take().map(|t| t.0),
        use_by: raw.use_by.take(),
        kept_for: raw.kept_for.take().map(|t| t.0),
        note: raw.note.take().map(|t| t.0),
        path,
    })
}
