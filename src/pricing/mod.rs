//! Pricing: packs, costs, margin, VAT, stages. The only arithmetic with money.
//!
//! Given needs, hours, price books and the firm's terms; gives order lines and a price. Every sum is exact `Decimal`,
//! every rounding has a name, and printed lines always add up to the printed total.

pub mod book;
pub mod money;
pub mod terms;

pub use book::{Article, Merchant, PriceBook};
pub use money::Money;
pub use terms::{JobMoney, Terms};

use crate::model::{Job, Length, Mass, Problem, Rules};
use crate::programme::Programme;
use crate::takeoff::{Need, Unit};
use rust_decimal::Decimal;

/// One line of the materials order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderLine {
    /// Group on the picker's walk: `Boards and timber`, `Trims`, …
    pub group: &'static str,
    /// The role that it serves.
    pub role: String,
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
    /// Mass of the line, where the book gives it.
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
}

/// The price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pricing {
    /// The orders, one a merchant.
    pub orders: Vec<Order>,
    /// The firm's own costs.
    pub costs: Vec<Cost>,
    /// Sum of the costs.
    pub cost: Money,
    /// How the price was made from the cost: `margin 25 %`.
    pub rule: String,
    /// Price less cost, overhead included in the cost.
    pub profit: Money,
    /// Profit as a part of the price, %.
    pub margin: Decimal,
    /// Profit as a part of the cost, %.
    pub markup: Decimal,
    /// What the householder sees; adds up to `net`.
    pub lines: Vec<PriceLine>,
    /// Without VAT.
    pub net: Money,
    /// VAT by rate.
    pub vat: Vec<VatLine>,
    /// How VAT was rounded, by name.
    pub vat_method: String,
    /// With VAT.
    pub total: Money,
    /// Payments; add up to `total`.
    pub stages: Vec<Stage>,
    /// Warnings.
    pub notices: Vec<Problem>,
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
    let _ = (job, rules, needs, programme, books, terms, job_money);
    Err(Vec::new())
}
