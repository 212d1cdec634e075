//! What a customer keeps back, as firm file and job file write it.

use crate::job_file::read::form::Writing;
use crate::job_file::read::reading::{Word, Wrong, wrong};
use crate::job_file::read::scalars::Percent;
use crate::job_file::read::settings::settings;
use crate::model::limits;
use crate::pricing::terms::{HeldUntil, Retention};
use time::Date;

settings! {
    /// What the customer keeps back of each payment.
    pub(crate) struct RawRetention = "`retention`" {
        rate: Percent, needed "5 %", within RETENTION;
        until: HeldUntil, needed "6 months";
    }
}

impl Word for HeldUntil {
    const WHAT: &'static str = "until when it is kept back";
    fn parse(text: &str) -> Result<HeldUntil, Wrong> {
        let months = text.strip_suffix("months").or_else(|| text.strip_suffix("month")).map(str::trim);
        let Some(months) = months else {
            return <Date as Word>::parse(text).map(HeldUntil::Day).map_err(|w| Wrong {
                cure: format!("{}, or months after the last day on site, such as `6 months`", w.cure),
                ..w
            });
        };
        let limit = limits::RETENTION_MONTHS;
        match months.parse::<u32>() {
            Ok(months) if limit.limit.holds(months.into()) => Ok(HeldUntil::Months(months)),
            Ok(_) => wrong(format!("it is kept back for {text}; that lies {}", limit.words()), "check the figure"),
            Err(_) => wrong(format!("`{text}` is not a number of months"), "write a whole number, such as `6 months`"),
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![Writing::Pattern(r"\d{1,2} months?".to_owned(), "6 months"), Writing::Date])
    }
}

impl RawRetention {
    /// What is kept back, where both is said well.
    pub(crate) fn built(self) -> Option<Retention> {
        Some(Retention { rate: self.rate.take()?.0, until: self.until.take()? })
    }
}
