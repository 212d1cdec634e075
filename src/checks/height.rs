//! Eaves that no access tower reaches.
//!
//! Given the job; gives a warning where its eaves lie higher than a mobile tower may stand outdoors, and no sum for a scaffold stands in
//! the job: a point in the wrong place, or access that nobody has priced. The firm’s own figures for a scaffold do not grow with its
//! height.

use crate::facts::FACTS;
use crate::model::job::Forced;
use crate::model::{Access, Job, Length, Problem, Warned};
use rust_decimal::prelude::ToPrimitive;

/// The warning, where the eaves lie so high.
pub fn notice(job: &Job) -> Option<Problem> {
    let most = Length::mm(FACTS.tower_outdoors.number().to_i64()? * 1000);
    let eaves = job.site.eaves_height.filter(|eaves| *eaves > most)?;
    (job.answer(Access::Scaffold) != Forced::Sum).then(|| {
        let fault = format!(
            "the eaves are said to lie {} m up: a mobile tower stands no higher than {} outdoors, and no scaffold of that height is priced",
            eaves.metres().normalize(),
            FACTS.tower_outdoors.value
        );
        let cure = "look where the point stands, or have a scaffold quoted and write its sum, `scaffold: 2400.00` under `access`";
        Problem::warning(Warned::Height, ["site", "eaves_height"], fault, cure)
    })
}
