//! The firm's own sheet: profit by the day, what moves it most, and how much may go wrong before it is gone.
//!
//! Given a priced job and what it was priced with; gives figures with their working. The price is taken as agreed, so
//! whatever costs more comes off the profit. Each change is made alone, and only direct cost is counted: overhead and
//! contingency stay as they were planned.

use super::money::Money;
use super::terms::{ExtraSum, JobMoney, Terms};
use super::{LeftOver, OrderLine, PriceBook, Pricing, order};
use crate::model::job::Forced;
use crate::model::words::capital;
use crate::model::{Job, Role, Rules};
use crate::programme::Programme;
use crate::takeoff::Need;
use crate::works;
use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt;

/// What a job was priced with.
#[derive(Debug, Clone, Copy)]
pub struct Basis<'a> {
    /// The job.
    pub job: &'a Job,
    /// The firm's rules.
    pub rules: &'a Rules,
    /// What is needed.
    pub needs: &'a [Need],
    /// The programme.
    pub programme: &'a Programme,
    /// The price books.
    pub books: &'a [PriceBook],
    /// The firm's terms.
    pub terms: &'a Terms,
    /// The job's own sums.
    pub money: &'a JobMoney,
}

/// One thing that goes wrong, and what it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProfitShift {
    /// Stable id: `shift.day_lost`.
    pub id: &'static str,
    /// What happens.
    pub label: String,
    /// What it takes off the profit.
    pub cost: Money,
    /// How it was found.
    pub working: Vec<String>,
}

/// The sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrivateSheet {
    /// What one more day on site costs.
    pub day: Money,
    /// Profit for each day on site, to the penny.
    pub profit_a_day: Money,
    /// Profit for each person-hour that is paid, to the penny.
    pub profit_an_hour: Money,
    /// Days over before the profit is gone, down to a tenth; `None` where a day costs nothing.
    pub days_over: Option<Decimal>,
    /// The same where the contingency is not needed for anything else.
    pub days_over_with_contingency: Option<Decimal>,
    /// What moves the profit, most first.
    pub shifts: Vec<ProfitShift>,
    /// What is left of the packs of the order when the job is done.
    pub left_over: Vec<LeftOver>,
    /// What the job's own rules do to the cost: each by its name, and the cost by the firm's where it can be built so.
    pub own_rules: Vec<(&'static str, Option<Money>)>,
    /// Cost of the job.
    cost: Money,
    /// How the day and its parts were found.
    day_working: Vec<String>,
    profit: Money,
    days: usize,
    hours: Decimal,
}

/// Makes the sheet of a priced job.
pub fn sheet(pricing: &Pricing, basis: Basis<'_>) -> PrivateSheet {
    let (day, day_working) = a_day(basis);
    let (days, hours) = (basis.programme.days.len(), basis.programme.paid_hours());
    let over = |sum: Money| over(sum, day);
    let contingency = pricing.costs.iter().find(|c| c.id == "cost.contingency").map_or(Money::ZERO, |c| c.amount);
    PrivateSheet {
        day,
        profit_a_day: part(pricing.profit, Decimal::from(days)),
        profit_an_hour: part(pricing.profit, hours),
        days_over: over(pricing.profit),
        days_over_with_contingency: over(pricing.profit + contingency),
        shifts: shifts(pricing, basis, day),
        own_rules: Vec::new(),
        cost: pricing.cost,
        left_over: pricing.orders.iter().flat_map(super::Order::left_over).collect(),
        day_working,
        profit: pricing.profit,
        days,
        hours,
    }
}

fn part(sum: Money, of: Decimal) -> Money {
    if of.is_zero() { Money::ZERO } else { Money::pounds(sum.as_pounds() / of).to_penny() }
}

fn over(sum: Money, day: Money) -> Option<Decimal> {
    let days = |day: Decimal| (sum.as_pounds() / day).round_dp_with_strategy(1, RoundingStrategy::ToNegativeInfinity);
    (day > Money::ZERO).then(|| days(day.as_pounds()))
}

/// What one more day on site costs: the crew, the way there, and what is paid by the day.
fn a_day(basis: Basis<'_>) -> (Money, Vec<String>) {
    let Basis { job, rules, terms, money, .. } = basis;
    let person = |c: &super::terms::CrewRate| match c.day {
        Some(day) => (day, format!("{}: {day} a day", c.name)),
        None => {
            let sum = c.hour * rules.day_hours;
            (sum, format!("{}: {} h × {} an hour = {sum}", c.name, rules.day_hours.normalize(), c.hour))
        }
    };
    let hired = terms.access_day.iter().filter(|(question, _)| job.answer(*question) == Forced::Yes);
    let plant = money.extras.iter().filter(|e| e.kind.in_total()).filter_map(|e| match e.sum {
        ExtraSum::CostADay(sum) => Some((sum, format!("{}: {sum} a day", e.title()))),
        ExtraSum::Cost(_) | ExtraSum::Price(_) => None,
    });
    let parts: Vec<(Money, String)> = (terms.crew.iter().map(person))
        .chain([(terms.travel_day, format!("travel: {}", terms.travel_day))])
        .chain(hired.map(|(question, sum)| (*sum, format!("{}: {sum} a day", capital(question.words())))))
        .chain(plant)
        .collect();
    let sum: Money = parts.iter().map(|(m, _)| *m).sum();
    (sum.to_penny(), parts.into_iter().map(|(_, words)| words).collect())
}

// ---- What moves the profit -----------------------------------------------------------------------------------------

fn shifts(pricing: &Pricing, basis: Basis<'_>, day: Money) -> Vec<ProfitShift> {
    let lost = ProfitShift {
        id: "shift.day_lost",
        label: "One day lost to weather".into(),
        cost: day,
        working: vec![format!("the crew, the way there and what is hired by the day: {day}; see sheet.day")],
    };
    let all = [Some(lost), resin(pricing, basis), trim(pricing, basis, day), prices(pricing, basis), hours(basis)];
    let mut found: Vec<ProfitShift> = all.into_iter().chain([load(pricing, basis)]).flatten().collect();
    found.sort_by(|a, b| b.cost.cmp(&a.cost).then(a.id.cmp(b.id)));
    found
}

/// With the VAT that a firm cannot reclaim.
pub(super) fn paid(goods: Money, basis: Basis<'_>) -> Money {
    let Basis { job, terms, .. } = basis;
    match terms.vat.registered {
        true => goods.to_penny(),
        false => (goods + goods.percent(terms.rate_on(job.prepared))).to_penny(),
    }
}

/// A tenth more resin: bought again, in whole packs.
fn resin(pricing: &Pricing, basis: Basis<'_>) -> Option<ProfitShift> {
    let takes = |n: &&Need| n.role == Role::Resin && !n.optional;
    basis.needs.iter().find(takes)?;
    let more: Vec<Need> = basis.needs.iter().cloned().map(|n| if takes(&&n) { a_tenth_more(n) } else { n }).collect();
    let all = |orders: &[super::Order]| orders.iter().map(|o| o.total + o.delivery).sum::<Money>();
    let bought = |needs: &[Need]| all(&order::buy(needs, basis.books).orders);
    // What stands in the van is in the price as if it were bought.
    let (before, after) =
        (if pricing.van.taken.is_empty() { all(&pricing.orders) } else { bought(basis.needs) }, bought(&more));
    let words = match after == before {
        true => "the drums of the order hold that much already".to_owned(),
        false => format!("the order with delivery comes to {after} instead of {before}"),
    };
    // More can only cost less where it brings the order to what is delivered for less.
    let why = if after < before { "; delivery costs less then" } else { "" };
    let (label, cost) = (format!("A tenth more resin than planned{why}"), paid(after - before, basis));
    Some(ProfitShift { id: "shift.resin", label, cost, working: vec![words] })
}

fn a_tenth_more(need: Need) -> Need {
    Need { quantity: need.quantity * Decimal::new(11, 1), ..need }
}

/// One length of the dearest trim short: the length, a second delivery, and half a day.
fn trim(pricing: &Pricing, basis: Basis<'_>, day: Money) -> Option<ProfitShift> {
    let is_trim = |l: &&OrderLine| matches!(l.role, Role::Trim(_)) && !l.optional;
    let of_order = |o: &super::Order| {
        let dearest = o.lines.iter().filter(is_trim).max_by_key(|l| l.each)?;
        let delivery = o.merchant.delivery_of(dearest.each);
        Some((dearest.each, delivery, dearest.description.clone()))
    };
    let (each, delivery, what) = pricing.orders.iter().filter_map(of_order).max_by_key(|(each, ..)| *each)?;
    let half = part(day, Decimal::TWO);
    let words = format!("{what}: {each}; a second delivery: {delivery}; half a day: {half}");
    let cost = paid(each + delivery, basis) + half;
    Some(ProfitShift { id: "shift.trim_short", label: "One length of trim short".into(), cost, working: vec![words] })
}

fn prices(pricing: &Pricing, basis: Basis<'_>) -> Option<ProfitShift> {
    let goods: Money = pricing.orders.iter().map(|o| o.total).sum();
    let more = goods.percent(Decimal::TEN);
    let working = vec![format!("materials {goods} × 10 %")];
    let label = "Materials dearer by a tenth".into();
    (goods > Money::ZERO).then(|| ProfitShift { id: "shift.prices", label, cost: paid(more, basis), working })
}

/// A tenth more hours of work; whoever is paid by the day costs no more until a day is added.
fn hours(basis: Basis<'_>) -> Option<ProfitShift> {
    let Basis { terms, programme, .. } = basis;
    let more = programme.hours() / Decimal::TEN;
    let each = more / Decimal::from(terms.people());
    let by_hour: Vec<_> = terms.crew.iter().filter(|c| c.day.is_none()).collect();
    let cost: Money = by_hour.iter().map(|c| (c.hour * each).to_penny()).sum();
    let working = vec![format!(
        "{} person-hours more, shared over the crew; who is paid by the day costs no more until a day is added",
        more.round_dp(2).normalize()
    )];
    let label = "A tenth more hours of work, no day added".into();
    (cost > Money::ZERO).then_some(ProfitShift { id: "shift.hours", label, cost, working })
}

/// One load of old covering more than was counted, of the dearest kind.
fn load(pricing: &Pricing, basis: Basis<'_>) -> Option<ProfitShift> {
    pricing.costs.iter().find(|c| c.id == "cost.strip")?;
    let priced = works::carts(basis.job).into_iter().filter_map(|c| Some((c.tip, basis.terms.load(c.tip)?.cost)));
    let (tip, cost) = priced.max_by_key(|(_, cost)| *cost)?;
    let working = vec![format!("one {} at {cost}", tip.load.0)];
    Some(ProfitShift { id: "shift.load", label: format!("One {} more", tip.load.0), cost, working })
}

// ---- Figures with their working ------------------------------------------------------------------------------------

/// What a figure of the sheet is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SheetValue {
    /// Pounds.
    Money(Money),
    /// Days, in words.
    Days(String),
}

impl fmt::Display for SheetValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SheetValue::Money(sum) => sum.fmt(f),
            SheetValue::Days(words) => f.write_str(words),
        }
    }
}

/// A figure of the sheet with its working.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetFigure {
    /// Stable id for `price --why`.
    pub id: &'static str,
    /// What.
    pub label: String,
    /// The figure.
    pub value: SheetValue,
    /// How it was found.
    pub working: Vec<String>,
}

impl PrivateSheet {
    /// What the job's own rules add to the cost, one by one: each against the firm's, the others as they are.
    fn rules_in_words(&self) -> (Money, Vec<String>) {
        let words = |(name, by_firms): &(&str, Option<Money>)| match by_firms {
            Some(cost) => format!("{name}: {} with it, {cost} by the firm's rule: {}", self.cost, self.cost - *cost),
            None => format!("{name}: by the firm's rule the job cannot be built"),
        };
        let known = self.own_rules.iter().filter_map(|(_, by_firms)| Some(self.cost - (*by_firms)?));
        (known.sum(), self.own_rules.iter().map(words).collect())
    }

    /// Every figure of the sheet, in the order in which it is read.
    pub fn figures(&self) -> Vec<SheetFigure> {
        let figure =
            |id, label: &str, value: SheetValue, working| SheetFigure { id, label: label.into(), value, working };
        let days = |d: Option<Decimal>| {
            SheetValue::Days(d.map_or_else(|| "any number of days".into(), |d| format!("{d} days")))
        };
        let (profit, day) = (self.profit, self.day);
        let mut all = vec![
            figure(
                "sheet.profit_a_day",
                "Profit for a day on site",
                SheetValue::Money(self.profit_a_day),
                vec![format!("profit {profit} ÷ {} days on site", self.days)],
            ),
            figure(
                "sheet.profit_an_hour",
                "Profit for a paid person-hour",
                SheetValue::Money(self.profit_an_hour),
                vec![format!("profit {profit} ÷ {} person-hours", self.hours.normalize())],
            ),
            figure("sheet.day", "One more day on site", SheetValue::Money(day), self.day_working.clone()),
            figure(
                "sheet.break_even",
                "Over plan before the profit is gone",
                days(self.days_over),
                vec![format!("profit {profit} ÷ {day} for a day, down to a tenth")],
            ),
            figure(
                "sheet.break_even_contingency",
                "The same, the contingency spent on it too",
                days(self.days_over_with_contingency),
                vec![format!("profit {profit} and the contingency ÷ {day} for a day, down to a tenth")],
            ),
        ];
        if !self.own_rules.is_empty() {
            let (value, working) = self.rules_in_words();
            all.push(figure("sheet.rules", "Rules of this job alone, in cost", SheetValue::Money(value), working));
        }
        all.extend(self.shifts.iter().map(|s| figure(s.id, &s.label, SheetValue::Money(s.cost), s.working.clone())));
        all
    }
}
