//! A whole job: every layer's value, as the documents are made from.
//!
//! Given finished values; gives them together. Only what is for the firm itself or for the site is made from it: the
//! quote and the order see no more than `views` shows them.

use super::letterhead::Parties;
use super::standing::IssueStanding;
use super::wording;
use crate::checks::finding::Finding;
use crate::model::{Firm, Job, LineId, Photo, Products, Role, Rules};
use crate::pricing::{Loads, Order, Pricing, Terms, loads_of};
use crate::programme::{Programme, calendar};
use crate::takeoff::TakeOff;
use time::Date;

/// Everything that is known of a job. The method statement and the firm's own sheet read it whole; the quote and the order
/// are given what their reader may see of it, by [`views`](super::views).
#[derive(Debug, Clone, Copy)]
pub struct WholeJob<'a> {
    /// The job.
    pub job: &'a Job,
    /// The firm.
    pub firm: &'a Firm,
    /// Its rules.
    pub rules: &'a Rules,
    /// Sizes of products.
    pub products: &'a Products,
    /// Its terms.
    pub terms: &'a Terms,
    /// The layout.
    pub take_off: &'a TakeOff,
    /// What the checks found in it.
    pub findings: &'a [Finding],
    /// The programme.
    pub programme: &'a Programme,
    /// The price.
    pub pricing: &'a Pricing,
    /// Photographs for the householder, in their order.
    pub photos: &'a [Photo],
    /// The date printed.
    pub date: Date,
    /// Whether the documents are issued.
    pub standing: IssueStanding<'a>,
    /// The variation for whose goods alone the orders are.
    pub varied: Option<&'a str>,
}

impl<'a> WholeJob<'a> {
    /// How many boards of each kind are ordered over what is laid. Board let in under a patch is cut out of whole ones, and
    /// none is ordered over those.
    pub fn spare_boards(&self) -> u32 {
        let spare = self.take_off.lines.iter().any(|l| l.id == LineId::BoardsSpare);
        if spare { self.rules.spare_boards } else { 0 }
    }

    /// The kinds of which such a board is ordered, where not all have one: of the others what is left of one serves again.
    pub fn spare_board_kinds(&self) -> Vec<String> {
        let boards = self.take_off.needs.iter().filter(|n| matches!(n.role, Role::Board(_)) && !n.optional);
        let (spare, none): (Vec<_>, Vec<_>) = boards.partition(|n| n.lines.contains(&LineId::BoardsSpare));
        let some_only = spare.into_iter().filter(|_| !none.is_empty());
        some_only.map(|n| wording::goods(&n.role, n.size)).collect()
    }

    /// A roof's name without the words that the names of all of them end with.
    pub fn short_name(&self, roof: &str) -> String {
        let names: Vec<&str> = self.job.roof_names().map(String::as_str).collect();
        let short = names.iter().position(|name| *name == roof);
        short.map_or_else(|| roof.to_owned(), |place| wording::without_what_others_say(&names, place))
    }

    /// The first day on site: the stated one, or the first after it on which somebody works.
    pub fn first_day(&self) -> Option<Date> {
        self.programme.days.first().and_then(|d| d.date).or(self.job.start)
    }

    /// Which packs of an order come in which load, where it comes in several.
    pub fn loads(&self, order: &Order) -> Option<Loads> {
        loads_of(order, self.job.lift.as_ref(), self.programme)
    }

    /// The day on site that wants the first goods of each load, with its date; empty where all are wanted on one.
    pub fn load_days(&self, loads: &Loads) -> Vec<(u32, Option<Date>)> {
        if loads.wanted.iter().all(|day| *day == loads.wanted[0]) {
            return Vec::new();
        }
        let date = |day: &u32| self.programme.days.iter().find(|d| d.number == *day).and_then(|d| d.date);
        loads.wanted.iter().map(|day| (*day, date(day))).collect()
    }

    /// Whether some loads come on days of the work, so that the last of them is there only once it has begun.
    pub fn loads_by_days(&self) -> bool {
        let mut loads = self.pricing.orders.iter().filter_map(|order| self.loads(order));
        self.job.delivery.latest.is_none() && loads.any(|loads| !self.load_days(&loads).is_empty())
    }

    /// The last day on which goods come, where one is known.
    pub fn goods_come(&self) -> Option<Date> {
        let holidays = &self.firm.holidays;
        let come = calendar::goods_come(&self.job.delivery, self.first_day(), holidays)?;
        let loads = self.pricing.orders.iter().filter_map(|order| self.loads(order));
        let wanted = loads.flat_map(|loads| self.load_days(&loads)).filter_map(|(_, date)| date).max();
        let last = wanted.filter(|_| self.job.delivery.latest.is_none());
        Some(last.map_or(come, |day| come.max(calendar::last_before(day, holidays))))
    }

    /// Who writes to whom.
    pub fn parties(&self) -> Parties<'a> {
        let job = self.job;
        Parties {
            firm: self.firm,
            customer: &job.customer,
            site: &job.site.address,
            title: &job.title,
            reference: &job.reference,
            date: self.date,
            first_day: self.first_day(),
            standing: self.standing,
        }
    }
}
