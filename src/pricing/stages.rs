//! Stages: how the total is paid.
//!
//! Given the total and the parts that the firm asks for; gives payments that add up to the total to the penny. The
//! last stage takes the remainder.

use super::Stage;
use super::money::Money;
use super::terms::{StagePart, StageRule};
use crate::model::Problem;
use crate::model::problem::Source;

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

/// The payments of a total. One payment on completion where no stages are given. That the last stage, and no other,
/// takes what is left and that the per cents come to 100 at most is judged where the stages are read.
///
/// # Errors
/// Stages that come to more than the total.
pub fn stages(total: Money, rules: &[StageRule], written: StagesFrom) -> Result<Vec<Stage>, Vec<Problem>> {
    let Some((rest, before)) = rules.split_last() else {
        return Ok(vec![Stage { label: "On completion".into(), amount: total, due: None }]);
    };
    let mut paid: Vec<Stage> = before.iter().map(|r| stage(r, amount(r.part, total))).collect();
    let known: Money = paid.iter().map(|s| s.amount).sum();
    if known > total {
        let fault = format!("the stages before the last come to {known} and the total is {total}");
        return Err(vec![written.problem(fault, "let them come to less, so that the last stage takes what is left")]);
    }
    paid.push(stage(rest, total - known));
    Ok(paid)
}

fn stage(rule: &StageRule, amount: Money) -> Stage {
    Stage { label: rule.label.clone(), amount, due: None }
}

fn amount(part: StagePart, total: Money) -> Money {
    match part {
        StagePart::Percent(p) => total.percent(p).to_penny(),
        StagePart::Sum(s) => s.to_penny(),
        StagePart::Remainder => Money::ZERO,
    }
}
