//! Stages: how the total is paid.
//!
//! Given the total and the parts that the firm asks for; gives payments that add up to the total to the penny. The
//! last stage takes the remainder, also where the parts are all per cent and come to 100.

use super::Stage;
use super::money::Money;
use super::terms::{StagePart, StageRule};
use crate::model::Problem;
use crate::model::problem::Source;
use rust_decimal::Decimal;

/// Where the stages were written, for problems.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StagesFrom {
    /// In the firm file.
    Firm,
    /// In the job file, instead of the firm's.
    Job,
}

impl StagesFrom {
    fn problem(self, fault: String, cure: &str) -> Problem {
        match self {
            StagesFrom::Firm => Problem::fault(["money", "stages"], fault, cure).within(Source::Firm),
            StagesFrom::Job => Problem::fault(["quote", "stages"], fault, cure),
        }
    }
}

/// The payments of a total. One payment on completion where no stages are given.
///
/// # Errors
/// Parts that come to more or less than the total, a part below nothing, or two remainders.
pub fn stages(total: Money, rules: &[StageRule], written: StagesFrom) -> Result<Vec<Stage>, Vec<Problem>> {
    if rules.is_empty() {
        return Ok(vec![Stage { label: "On completion".into(), amount: total, due: None }]);
    }
    let faults = faults(rules);
    if !faults.is_empty() {
        let cure = "let one stage at most take the remainder, and write every other as a per cent or a sum";
        return Err(faults.into_iter().map(|f| written.problem(f, cure)).collect());
    }
    let amounts: Vec<Option<Money>> = rules.iter().map(|r| amount(r.part, total)).collect();
    let amounts = settle(total, rules, amounts).map_err(|fault| {
        vec![written.problem(fault, "let the stages come to the whole, or let the last one take the remainder")]
    })?;
    Ok(rules.iter().zip(amounts).map(|(r, amount)| Stage { label: r.label.clone(), amount, due: None }).collect())
}

fn faults(rules: &[StageRule]) -> Vec<String> {
    let below = |part| match part {
        StagePart::Percent(p) => p < Decimal::ZERO,
        StagePart::Sum(s) => s < Money::ZERO,
        StagePart::Remainder => false,
    };
    let below = rules.iter().filter(|r| below(r.part)).map(|r| format!("the stage `{}` is less than nothing", r.label));
    let whole = |part| matches!(part, StagePart::Percent(p) if p > Decimal::ONE_HUNDRED);
    let over =
        rules.iter().filter(|r| whole(r.part)).map(|r| format!("the stage `{}` is more than the whole", r.label));
    let many = rules.iter().filter(|r| r.part == StagePart::Remainder).count();
    below.chain(over).chain((many > 1).then(|| format!("{many} stages take the remainder"))).collect()
}

fn amount(part: StagePart, total: Money) -> Option<Money> {
    match part {
        StagePart::Percent(p) => Some(total.percent(p).to_penny()),
        StagePart::Sum(s) => Some(s.to_penny()),
        StagePart::Remainder => None,
    }
}

/// Fills in the remainder; gives the fault where the parts do not come to the total.
fn settle(total: Money, rules: &[StageRule], amounts: Vec<Option<Money>>) -> Result<Vec<Money>, String> {
    let percents = rules.iter().map(|r| if let StagePart::Percent(p) = r.part { Some(p) } else { None });
    let percent: Decimal = percents.clone().flatten().sum();
    if percent > Decimal::ONE_HUNDRED {
        return Err(format!("the stages come to {} % of the total", percent.normalize()));
    }
    let all_percent = percents.clone().all(|p| p.is_some());
    let whole = all_percent && percent == Decimal::ONE_HUNDRED;
    let taker = amounts.iter().position(Option::is_none).or(whole.then(|| amounts.len() - 1));
    let known: Money = amounts.iter().enumerate().filter(|(i, _)| Some(*i) != taker).filter_map(|(_, a)| *a).sum();
    let left = total - known;
    match taker {
        _ if left < Money::ZERO => Err(format!("the stages come to {known} and the total is {total}")),
        None if left > Money::ZERO && all_percent => {
            Err(format!("the stages come to {} % of the total", percent.normalize()))
        }
        None if left > Money::ZERO => Err(format!("the stages come to {known} and the total is {total}")),
        _ => Ok(amounts
            .into_iter()
            .map(|a| a.unwrap_or(left))
            .enumerate()
            .map(|(i, a)| if Some(i) == taker { left } else { a })
            .collect()),
    }
}
