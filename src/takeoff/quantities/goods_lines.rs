//! The lines of goods that are bought for this job alone.
//!
//! Given the job; gives a line and a need for each that the firm buys. Nothing is worked out: as many as the job file says.

use super::line::{Line, Need, Unit};
use super::working::{count, line, measured, sum};
use crate::model::words::capital;
use crate::model::{Job, LineId};
use crate::works::WorkKind;

/// Lines and needs; nothing of what the customer supplies.
pub fn lines(job: &Job) -> (Vec<Line>, Vec<Need>) {
    let (mut lines, mut needs) = (Vec::new(), Vec::new());
    for goods in &job.goods {
        let Some(role) = goods.bought() else { continue };
        let many = count(goods.count as usize);
        let working = vec![
            measured(format!("{}, as the job file says ({})", goods.item, goods.path), many, Unit::Each),
            sum("", &[many], Unit::Each),
        ];
        let id = (LineId::GoodsCount, WorkKind::OwnGoods);
        let made = line(id, capital(&goods.item), goods.roof.as_deref(), Unit::Each, working);
        needs.extend(made.as_ref().and_then(|l| Need::of(role.clone(), &[l])));
        lines.extend(made);
    }
    (lines, needs)
}
