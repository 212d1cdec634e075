//! Whether payments make sense: together they are the whole price, and no more.
//!
//! Given the stages of the firm or of one job; gives the problems. The last stage takes the remainder, so that pennies
//! never go astray.

use crate::model::{Problem, SettingPath};
use crate::pricing::terms::{StagePart, StageRule};
use rust_decimal::Decimal;

/// Tells what is wrong with a list of stages.
pub(crate) fn check(stages: &[StageRule], path: &SettingPath, found: &mut Vec<Problem>) {
    let mut tell = |path: SettingPath, fault: String, cure: &str| found.push(Problem::fault(path, fault, cure));
    if stages.is_empty() {
        tell(
            path.clone(),
            "there is no stage in this list".into(),
            "write at least `{when: On completion, part: rest}`",
        );
        return;
    }
    for (n, stage) in stages.iter().enumerate() {
        let last = n + 1 == stages.len();
        if (stage.part == StagePart::Remainder) != last {
            let fault = match last {
                true => "the last stage must take what is left",
                false => "only the last stage can take what is left",
            };
            tell(path.entry(n).key("part"), fault.into(), "write `part: rest` at the last stage, and only there");
        }
    }
    let percent: Decimal =
        stages.iter().map(|s| if let StagePart::Percent(p) = s.part { p } else { Decimal::ZERO }).sum();
    if percent > Decimal::ONE_HUNDRED {
        tell(
            path.clone(),
            format!("the stages add up to {} %, more than the price", percent.normalize()),
            "make them 100 % or less",
        );
    }
}
