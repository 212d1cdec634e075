//! Pricing: packs, costs, margin, VAT, stages. The only arithmetic with money.
//!
//! Given needs, hours, price books and the firm's terms; gives order lines and a price. Every sum is exact `Decimal`,
//! every rounding has a name, and printed lines always add up to the printed total.

pub mod account;
mod agreed;
pub mod book;
mod checks;
mod costs;
pub mod invoicing;
mod lifts;
pub mod merchants;
pub mod money;
pub mod offers;
pub mod options;
mod order;
pub mod packs;
pub mod private_sheet;
pub mod sale;
pub mod stages;
pub mod terms;
mod van;
pub mod variation;
mod varied_order;
pub mod vat;

pub use book::{Article, Merchant, PriceBook};
pub use lifts::{Loads, loads_of};
pub use money::Money;
pub use offers::{Offer, RotRate};
pub use options::{Alternative, ChangedWords, OptionPrice, OptionTotals};
pub use terms::{JobMoney, Terms};

use crate::checks::finding::Finding;
use crate::model::{Job, Length, Level, LineId, Mass, Problem, Role, Rules};
use crate::programme::Programme;
use crate::takeoff::quantities::line::Share;
use crate::takeoff::{Need, Unit};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use time::Date;

/// One line of the materials order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderLine {
    /// Group on the picker's walk: `Boards and timber`, `Trims`, …
    pub group: &'static str,
    /// The role that it serves.
    pub role: Role,
    /// The works that it is bought for.
    pub shares: Vec<Share>,
    /// The size, where the role comes in sizes.
    pub size: Option<Length>,
    /// The merchant's own code.
    pub code: String,
    /// The merchant's own description.
    pub description: String,
    /// The pack: `3 m length`, `20 kg drum`.
    pub pack: String,
    /// How many packs.
    pub quantity: u64,
    /// What one pack holds, in `unit`.
    pub holds: Decimal,
    /// What is needed in all of this role, in `unit`.
    pub need: Decimal,
    /// The unit.
    pub unit: Unit,
    /// Price of a pack, without VAT.
    pub each: Money,
    /// Price of the line, without VAT.
    pub total: Money,
    /// Mass of the line, where the book gives it or the layout tells it, up to the next 0.1 kg.
    pub mass: Option<Mass>,
    /// Longest dimension of a pack, where the book gives it.
    pub longest: Option<Length>,
    /// Hazard words of the book: `flammable liquid`.
    pub hazard: Option<String>,
    /// Offered, not needed: not in the totals.
    pub optional: bool,
}

/// One merchant's order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// Who sells.
    pub merchant: Merchant,
    /// The lines, in the order of groups.
    pub lines: Vec<OrderLine>,
    /// Materials without VAT, options left out.
    pub total: Money,
    /// Delivery charge.
    pub delivery: Money,
    /// Mass of all that has one.
    pub mass: Mass,
    /// Lines that give no mass, so that the total is "at least".
    pub lines_without_mass: usize,
    /// The longest item.
    pub longest: Option<Length>,
    /// In how many drops it comes.
    pub drops: Drops,
}

/// In how many drops an order comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Drops {
    /// What the vehicle takes at once is not given: one is asked for.
    #[default]
    Unknown,
    /// So many, at least one.
    Known(usize),
    /// One pack alone is heavier than what is taken at once.
    TooHeavy,
}

impl Drops {
    /// How many, where that is known.
    pub const fn count(self) -> Option<usize> {
        match self {
            Drops::Known(n) => Some(n),
            Drops::Unknown | Drops::TooHeavy => None,
        }
    }

    /// Whether there are more than one.
    pub fn several(self) -> bool {
        self.count().is_some_and(|n| n > 1)
    }
}

/// What is bought over a need, because packs are whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOver {
    /// The role.
    pub role: Role,
    /// The size, where the role comes in sizes.
    pub size: Option<Length>,
    /// How much, in `unit`.
    pub quantity: Decimal,
    /// The unit.
    pub unit: Unit,
}

/// Something that is taken from the van and not bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FromVan {
    /// The role.
    pub role: Role,
    /// The size, where the stock list gives one.
    pub size: Option<Length>,
    /// The unit.
    pub unit: Unit,
    /// How much, in `unit`.
    pub quantity: Decimal,
    /// The batch, where the stock list gives it.
    pub batch: Option<String>,
    /// The last day on which it may be used, where the stock list gives it.
    pub use_by: Option<Date>,
    /// The lines of the take-off that ask for it.
    pub lines: Vec<LineId>,
    /// The works that it is for.
    pub shares: Vec<Share>,
}

/// Something in the van that is past its use-by on the day for which it would be wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PastInVan {
    /// The role.
    pub role: Role,
    /// The size, where the stock list gives one.
    pub size: Option<Length>,
    /// The batch, where the stock list gives it.
    pub batch: Option<String>,
    /// The last day on which it might have been used.
    pub use_by: Date,
}

/// What a job takes from the van.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct VanUse {
    /// The day by which it was judged; none where nothing is taken.
    pub day: Option<Date>,
    /// What is taken.
    pub taken: Vec<FromVan>,
    /// What the job would ask for and what is too old for it: it stays in the van.
    pub past: Vec<PastInVan>,
    /// What is paid less for goods and delivery. It is in no price and in no profit.
    pub saved: Money,
}

/// What the whole order would cost at one merchant alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtOneMerchant {
    /// Who.
    pub merchant: String,
    /// Goods and delivery, without VAT; `None` where it does not sell everything.
    pub total: Option<Money>,
    /// The roles that it does not sell.
    pub missing: Vec<String>,
}

/// One line of the firm's own cost sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cost {
    /// Stable id for `price --why`: `cost.labour`, `cost.materials`.
    pub id: String,
    /// What.
    pub label: String,
    /// Without VAT.
    pub amount: Money,
    /// How it was found, line by line.
    pub working: Vec<String>,
}

/// What one work on one roof costs and is sold for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkMoney {
    /// The work.
    pub work: WorkKind,
    /// The roof's name; `None` where it is for the job as a whole.
    pub roof: Option<String>,
    /// Which extra, where it is one.
    pub extra: Option<String>,
    /// Person-hours, unrounded; setting up and waiting not included.
    pub hours: Decimal,
    /// Its cost, what all works share included; all of them add up to [`Pricing::cost`].
    pub cost: Money,
    /// Its price without VAT; all of them add up to [`Pricing::net`].
    pub price: Money,
}

/// One line of the price that the householder sees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceLine {
    /// What.
    pub label: String,
    /// Without VAT.
    pub net: Money,
    /// VAT rate in per cent.
    pub vat_rate: Decimal,
}

/// VAT at one rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VatLine {
    /// Per cent.
    pub rate: Decimal,
    /// On this much.
    pub net: Money,
    /// So much.
    pub vat: Money,
}

/// One payment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stage {
    /// When: `Deposit, when you accept`.
    pub label: String,
    /// How much, VAT included.
    pub amount: Money,
    /// The day of the programme on which it falls due, where the stage is tied to an operation and the job has a start.
    pub due: Option<Date>,
}

/// The price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pricing {
    /// The orders, one a merchant; what stands in the van is not on them.
    pub orders: Vec<Order>,
    /// What is taken from the van; the costs are those of a job for which all of it is bought.
    pub van: VanUse,
    /// The firm's own costs.
    pub costs: Vec<Cost>,
    /// Sum of the costs.
    pub cost: Money,
    /// Cost and price of each work on each roof.
    pub works: Vec<WorkMoney>,
    /// How the price was made from the cost: `margin 25%`.
    pub rule: String,
    /// Price less cost, overhead included in the cost. Extras that are sold at a stated price stand outside, because
    /// their cost is not known.
    pub profit: Money,
    /// Profit as a part of the price, %.
    pub margin: Decimal,
    /// Profit as a part of the cost, %.
    pub markup: Decimal,
    /// What the householder sees; adds up to `net`.
    pub lines: Vec<PriceLine>,
    /// The same with VAT, where each roof has a line; adds up to `total`.
    pub with_vat: Vec<Money>,
    /// Without VAT.
    pub net: Money,
    /// VAT by rate.
    pub vat: Vec<VatLine>,
    /// VAT by rate that is not charged, because the customer accounts for it.
    pub vat_by_customer: Vec<VatLine>,
    /// How VAT was rounded, by name.
    pub vat_method: String,
    /// Why the rate is not the firm's, in words: `a dwelling that nobody has lived in for two years or more`.
    pub vat_reason: Option<String>,
    /// With VAT.
    pub total: Money,
    /// What the total would be had nothing been agreed of it.
    pub asked: Money,
    /// Payments; add up to `total`.
    pub stages: Vec<Stage>,
    /// What the customer keeps back of each payment.
    pub retention: Option<terms::Retention>,
    /// The heaviest pack against the filter for lifting, and what the orders weigh.
    pub lifts: Vec<Finding>,
    /// Warnings.
    pub notices: Vec<Problem>,
    /// The same order at each merchant alone, in the order of the price books.
    pub at_one_merchant: Vec<AtOneMerchant>,
    /// Every other sum with its working: `pack.resin`, `price.net`, `price.vat.20`, `price.total`, `stage.1`, `offer.1`,
    /// `option.1`,
    /// `option.1+2`.
    pub sums: Vec<Cost>,
    /// Extras beside the price: optional, or provisional. In no total.
    pub offers: Vec<Offer>,
    /// What the extras that are a part of the price are for.
    pub extras: Vec<String>,
    /// Rates for rot that is found when the roof is open. In no total.
    pub rot_rates: Vec<RotRate>,
    /// Alternatives of the whole job, with their totals; see [`crate::estimate::price_options`].
    pub options: Vec<OptionPrice>,
    /// What they come to together.
    pub option_totals: OptionTotals,
}

impl Pricing {
    /// A cost or a sum by its id, with its working.
    pub fn why(&self, id: &str) -> Option<&Cost> {
        self.costs.iter().chain(&self.sums).find(|c| c.id == id)
    }

    /// Every id that [`Pricing::why`] knows.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.costs.iter().chain(&self.sums).map(|c| c.id.as_str())
    }
}

/// Prices a job.
///
/// # Errors
/// Every need that no price book covers, and every term that cannot be met, all at once.
pub fn price(
    job: &Job,
    rules: &Rules,
    needs: &[Need],
    programme: &Programme,
    books: &[PriceBook],
    terms: &Terms,
    job_money: &JobMoney,
) -> Result<Pricing, Vec<Problem>> {
    let mut faults = checks::faults(job, books, terms, job_money);
    faults.extend(order::missing(job, needs, books));
    faults.extend(costs::without_sum(job, terms, job_money));
    if faults.is_empty() {
        faults = order::too_many_packs(needs, books);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut bought = order::buy(needs, books);
    let built = costs::build(job, programme, &bought.orders, terms, job_money);
    let sold = sale::sell(job, programme, &built, terms, job_money);
    let unsound: Vec<Problem> = sold.notices.iter().filter(|p| p.level == Level::Fault).cloned().collect();
    if !unsound.is_empty() {
        return Err(unsound);
    }
    let stages = stages_of(sold.total, programme, terms, job_money)?;
    let mut notices = checks::warnings(job, rules, programme, books, terms, job_money);
    notices.extend(bought.notices.into_iter().chain(built.notices).chain(sold.notices));
    notices.extend(checks::untold_dangers(&bought.orders, books));
    notices.extend(checks::unlikely(job, sold.net));
    let mut sums = bought.workings;
    sums.extend(sold.sums);
    let rate = sale::charged_rate(job, programme, terms, job_money).unwrap_or_default();
    let (offers, workings): (Vec<Offer>, Vec<Cost>) =
        offers::offers(job_money, programme.days.len(), terms, rate).into_iter().unzip();
    sums.extend(workings);
    sums.extend(stages.iter().zip(1..).map(|(s, n)| stage_sum(s, n, sold.total)));
    lifts::count_drops(&mut bought.orders, job.lift.as_ref());
    let lifts = lifts::findings(&bought.orders, job.lift.as_ref());
    Ok(Pricing {
        lifts,
        orders: bought.orders,
        van: VanUse::default(),
        cost: built.cost,
        costs: built.costs,
        works: sold.works,
        rule: sold.rule,
        profit: sold.profit,
        margin: sold.margin,
        markup: sold.markup,
        lines: sold.lines,
        with_vat: sold.with_vat,
        net: sold.net,
        vat: sold.vat,
        vat_by_customer: sold.vat_by_customer,
        vat_method: sold.vat_method,
        vat_reason: sold.vat_reason,
        total: sold.total,
        asked: sold.asked,
        stages,
        notices,
        at_one_merchant: bought.at_one,
        sums,
        offers,
        extras: job_money.extras.iter().filter(|e| e.kind.in_total()).map(terms::Extra::title).collect(),
        retention: job_money.retention.or(terms.retention).filter(|kept| kept.rate > Decimal::ZERO),
        rot_rates: offers::rot_rates(job, terms, rate),
        options: Vec::new(),
        option_totals: OptionTotals::NoOption,
    })
}

/// The payments, with their dates where a stage is tied to an operation and the job has a start.
fn stages_of(
    total: Money,
    programme: &Programme,
    terms: &Terms,
    job_money: &JobMoney,
) -> Result<Vec<Stage>, Vec<Problem>> {
    let (rules, written) = match &job_money.stages {
        Some(own) => (own, stages::StagesFrom::Job),
        None => (&terms.stages, stages::StagesFrom::Firm),
    };
    let mut stages = stages::stages(total, rules, written)?;
    for (stage, rule) in stages.iter_mut().zip(rules) {
        stage.due = rule.after.and_then(|operation| programme.last_day_of(operation)?.date);
    }
    Ok(stages)
}

fn stage_sum(stage: &Stage, n: usize, total: Money) -> Cost {
    let working = vec![format!("part of the total of {total}; the last stage takes the remainder")];
    Cost { id: format!("stage.{n}"), label: stage.label.clone(), amount: stage.amount, working }
}
