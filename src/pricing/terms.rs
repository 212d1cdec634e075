//! The firm's money terms, and the sums that one job brings with it.
//!
//! Given by the firm file and the job file; no defaults hide in the arithmetic.

use super::money::Money;
use crate::model::Mass;
use crate::programme::Operation;
use rust_decimal::Decimal;

/// How the price is made from the cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Price = cost ÷ (1 − margin). Per cent of the price.
    Margin(Decimal),
    /// Price = cost × (1 + markup). Per cent of the cost.
    Markup(Decimal),
}

/// How VAT is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum VatRounding {
    /// On each rate's total, to the nearest penny, halves up.
    #[default]
    TotalNearest,
    /// On each rate's total, down to a whole penny (Notice 700, 17.5).
    TotalDown,
    /// On each line, to the nearest penny.
    LineNearest,
}

/// Whether the firm charges VAT, and how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Vat {
    /// Registered or not.
    pub registered: bool,
    /// The stated rate, %.
    pub rate: Decimal,
    /// How it is rounded.
    pub rounding: VatRounding,
}

/// One person's rate.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CrewRate {
    /// Who.
    pub name: String,
    /// What an hour costs the firm.
    pub hour: Money,
    /// What a day on site costs, where the person is paid by whole days; it then stands instead of the hours.
    pub day: Option<Money>,
}

/// A payment as the firm asks for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageRule {
    /// When.
    pub label: String,
    /// % of the total, or a sum, or the remainder (the last stage).
    pub part: StagePart,
    /// The operation after which it is due, where it is tied to one: its last day gives the date.
    pub after: Option<Operation>,
}

/// How much of the price a stage takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StagePart {
    /// % of the total with VAT, to the nearest penny.
    Percent(Decimal),
    /// A sum.
    Sum(Money),
    /// What is left.
    Remainder,
}

/// The firm's terms.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Terms {
    /// The crew, at least one.
    pub crew: Vec<CrewRate>,
    /// Travel for a day on site.
    pub travel_day: Money,
    /// Overhead, % of direct cost.
    pub overhead: Decimal,
    /// Contingency, % of direct cost.
    pub contingency: Decimal,
    /// Margin or markup.
    pub target: Target,
    /// VAT.
    pub vat: Vat,
    /// A skip, each.
    pub skip: Money,
    /// What a skip holds, m³.
    pub skip_volume: Decimal,
    /// Loose volume of old covering, m³ for each m² of roof.
    pub strip_volume: Decimal,
    /// The most that a skip may weigh full, where the hirer says.
    pub skip_mass: Option<Mass>,
    /// Mass of old covering on each m² of roof, for [`Terms::skip_mass`].
    pub strip_mass: Option<Mass>,
    /// Scaffold or edge protection where the job says yes without a sum.
    pub scaffold: Money,
    /// Every other forced answer that says yes without a sum, by name.
    pub access: Vec<(String, Money)>,
    /// What an access answer costs for each day on site (parking, hire), by name; on top of its sum where it has both.
    pub access_day: Vec<(String, Money)>,
    /// No job is sold for less, without VAT.
    pub minimum_charge: Option<Money>,
    /// The total that the householder pays is rounded to a whole number of these (1, 5, 10 pounds); to the penny where
    /// it is not said.
    pub round_total_to: Option<Money>,
    /// Stages.
    pub stages: Vec<StageRule>,
    /// Unit rates agreed beforehand for rot: label, unit, rate without VAT.
    pub rot_rates: Vec<(String, String, Money)>,
}

/// An extra of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Extra {
    /// What.
    pub label: String,
    /// What it costs the firm, or what it is sold for.
    pub sum: ExtraSum,
}

/// Whether the sum is a cost or a selling price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExtraSum {
    /// A cost: overhead and margin go on top.
    Cost(Money),
    /// A selling price without VAT.
    Price(Money),
}

/// A rate of VAT that one job claims instead of the firm's, with its reason. Never taken without one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClaimedRate {
    /// %.
    pub rate: Decimal,
    /// A key of [`VAT_REASONS`].
    pub reason: String,
}

/// Reasons for a rate other than the standard one: key, rate in %, and what must be so. From memory of VAT Notice 708
/// (the empty house: HMRC manual VCONST07100). Insulation in a replaced roof is not among them: the roof is one
/// standard-rated supply ([2020] UKFTT 506 (TC), head-note).
pub const VAT_REASONS: [(&str, u32, &str); 3] = [
    ("new dwelling", 0, "a dwelling that is being built"),
    ("empty two years", 5, "a dwelling that nobody has lived in for two years or more"),
    ("conversion", 5, "work that changes the number of dwellings"),
];

/// The sums in one job file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JobMoney {
    /// Sums given for forced answers, by name.
    pub access: Vec<(String, Money)>,
    /// Extras.
    pub extras: Vec<Extra>,
    /// Stages that replace the firm's.
    pub stages: Option<Vec<StageRule>>,
    /// A rate of VAT with its reason, for the whole job.
    pub vat: Option<ClaimedRate>,
}
