//! The firm's money terms, and the sums that one job brings with it.
//!
//! Given by the firm file and the job file; no defaults hide in the arithmetic.

use super::money::Money;
use crate::model::covering::Covering;
use crate::model::tipping::{SKIP, Tipping, VAN};
use crate::model::{Access, Mass, SettingPath};
use crate::programme::Operation;
use rust_decimal::Decimal;
use time::{Date, Month};

/// How the price is made from the cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PriceTarget {
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
    /// On each line, down to a tenth of a penny; their sum down to a whole penny (Notice 700, 17.5.1, from memory).
    LineTenthDown,
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

/// A rate of VAT that stands from a day on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RateFrom {
    /// The first day.
    pub from: Date,
    /// %.
    pub rate: Decimal,
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

/// What the customer keeps back of each payment until the work has stood its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Retention {
    /// How much of each payment, %.
    pub rate: Decimal,
    /// Until when.
    pub until: HeldUntil,
}

impl Retention {
    /// What is kept back of a payment, to the penny.
    pub fn of(self, payment: Money) -> Money {
        payment.percent(self.rate).to_penny()
    }
}

/// Until when something is kept back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldUntil {
    /// So many months after the last day on site.
    Months(u32),
    /// Until a day.
    Day(Date),
}

impl HeldUntil {
    /// The day on which it falls due, where the work ends on a day. A month that has no such day ends it with its last.
    pub fn day(self, end: Date) -> Date {
        let months = match self {
            HeldUntil::Day(day) => return day,
            HeldUntil::Months(months) => months,
        };
        let all = i64::from(end.year()) * 12 + i64::from(u8::from(end.month())) - 1 + i64::from(months);
        let (year, month) = (i32::try_from(all / 12).unwrap_or(end.year()), (all % 12) as u8 + 1);
        let month = Month::try_from(month).unwrap_or(end.month());
        (1..=end.day()).rev().find_map(|day| Date::from_calendar_date(year, month, day).ok()).unwrap_or(end)
    }
}

/// What one load of old covering costs and holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Load {
    /// The key of the way to tip.
    pub key: String,
    /// What it costs, there and tipped.
    pub cost: Money,
    /// What it holds, m³.
    pub holds: Decimal,
    /// What it may weigh, where that is said.
    pub bears: Option<Mass>,
    /// Where the firm file says all that.
    pub places: LoadPlaces,
}

/// The settings of the firm file that say what a load costs and holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoadPlaces {
    /// Of [`Load::cost`].
    pub cost: SettingPath,
    /// Of [`Load::holds`].
    pub holds: SettingPath,
    /// Of [`Load::bears`].
    pub bears: SettingPath,
}

impl Load {
    /// A skip, as `money` prices it.
    pub fn skip(cost: Money, holds: Decimal, bears: Option<Mass>) -> Load {
        let places = ["skip", "skip_volume", "skip_mass"].map(|key| ["money", key].into());
        Load::at(SKIP, cost, holds, bears, places)
    }

    /// A load of the firm's own van, as `money` prices it.
    pub fn van(cost: Money, holds: Decimal, bears: Option<Mass>) -> Load {
        let places = ["van_load", "van_volume", "van_mass"].map(|key| ["money", key].into());
        Load::at(VAN, cost, holds, bears, places)
    }

    /// A load of the firm's own list of tips, entry `n`.
    pub fn of_list(n: usize, key: &str, cost: Money, holds: Decimal, bears: Option<Mass>) -> Load {
        let tip = SettingPath::from(["tips"]).entry(n);
        Load::at(key, cost, holds, bears, ["cost", "holds", "bears"].map(|setting| tip.key(setting)))
    }

    fn at(key: &str, cost: Money, holds: Decimal, bears: Option<Mass>, places: [SettingPath; 3]) -> Load {
        let [cost_at, holds_at, bears_at] = places;
        let places = LoadPlaces { cost: cost_at, holds: holds_at, bears: bears_at };
        Load { key: key.to_owned(), cost, holds, bears, places }
    }
}

/// What a scaffold or edge protection costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScaffoldPrice {
    /// Before the first metre.
    pub once: Money,
    /// A metre of the edge that it stands at, with its first week.
    pub metre: Money,
    /// A metre for each week after the first.
    pub week: Money,
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
    pub target: PriceTarget,
    /// Below this margin a price is warned of, % of the price.
    pub least_margin: Option<Decimal>,
    /// VAT.
    pub vat: Vat,
    /// Rates that stand instead of [`Vat::rate`] from a day on, earliest first.
    pub vat_rates: Vec<RateFrom>,
    /// What each way to tip costs and holds, by its key.
    pub loads: Vec<Load>,
    /// Loose volume of old covering, m³ for each m² of roof, where the firm gives one for every covering.
    pub strip_volume: Option<Decimal>,
    /// Mass of old covering on each m² of roof, where the firm gives one for every covering.
    pub strip_mass: Option<Mass>,
    /// Scaffold or edge protection where the job says yes without a sum.
    pub scaffold: ScaffoldPrice,
    /// Every other forced answer that says yes without a sum, by name.
    pub access: Vec<(Access, Money)>,
    /// What an access answer costs for each day on site (parking, hire), by name; on top of its sum where it has both.
    pub access_day: Vec<(Access, Money)>,
    /// No job is sold for less, without VAT.
    pub minimum_charge: Option<Money>,
    /// The total that the householder pays is rounded to a whole number of these (1, 5, 10 pounds); to the penny where
    /// it is not said.
    pub round_total_to: Option<Money>,
    /// Stages.
    pub stages: Vec<StageRule>,
    /// What customers keep back of each payment, where a job says nothing else.
    pub retention: Option<Retention>,
    /// Unit rates agreed beforehand for rot.
    pub rot_rates: Vec<AgreedRate>,
}

/// A rate that the customer agrees to with the quote, before anybody has seen what it is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgreedRate {
    /// What is done.
    pub label: String,
    /// Of what: `m`, `m2`.
    pub unit: String,
    /// For one unit, without VAT.
    pub rate: Money,
    /// What of a variation it charges besides what names it.
    pub charges: Option<RateCharges>,
}

impl AgreedRate {
    /// Whether the boards of a variation are sold at it.
    pub fn charges_boards(&self) -> bool {
        self.charges == Some(RateCharges::Boards)
    }
}

/// What a rate charges by its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RateCharges {
    /// The boards that a variation counts.
    Boards,
}

/// Units by the square metre, and by the piece, in which boards can be charged.
pub const BOARD_UNITS: [&[&str]; 2] = [&["m2", "m²"], &["each", "board"]];

impl Terms {
    /// What a load costs and holds; `None` where the firm does not say.
    pub fn load(&self, tip: &Tipping) -> Option<&Load> {
        self.loads.iter().find(|l| l.key == tip.key)
    }

    /// Loose volume of an old covering, m³/m²: the firm's own entry, else the firm's one figure, else the table's.
    pub fn volume_of(&self, covering: &Covering) -> Decimal {
        self.strip_volume.filter(|_| !covering.own).unwrap_or(covering.volume)
    }

    /// Mass of an old covering on 1 m², by the same order.
    pub fn mass_of(&self, covering: &Covering) -> Mass {
        self.strip_mass.filter(|_| !covering.own).unwrap_or(covering.mass)
    }

    /// The firm's rate of VAT on a day, %.
    pub fn rate_on(&self, day: Date) -> Decimal {
        self.vat_rates.iter().rfind(|r| r.from <= day).map_or(self.vat.rate, |r| r.rate)
    }

    /// People in the crew, at least one.
    pub fn people(&self) -> u32 {
        u32::try_from(self.crew.len()).unwrap_or(u32::MAX).max(1)
    }
}

/// How an extra stands in the price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ExtraKind {
    /// A part of the price.
    #[default]
    Fixed,
    /// Offered with a box to tick; in no total.
    Optional,
    /// A sum set aside for work whose size is not known yet; in no total.
    Provisional,
    /// The same, and a part of the price.
    ProvisionalInTotal,
}

impl ExtraKind {
    /// Whether the extra is a part of the price.
    pub const fn in_total(self) -> bool {
        matches!(self, ExtraKind::Fixed | ExtraKind::ProvisionalInTotal)
    }
}

/// An extra of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Extra {
    /// What.
    pub label: String,
    /// What it costs the firm, or what it is sold for.
    pub sum: ExtraSum,
    /// How it stands in the price.
    pub kind: ExtraKind,
}

/// What stands behind the name of an extra that is a provisional sum.
pub const PROVISIONAL: &str = " (provisional sum)";

impl Extra {
    /// Its line in the price; a provisional sum says so.
    pub fn title(&self) -> String {
        match self.kind {
            ExtraKind::Provisional | ExtraKind::ProvisionalInTotal => format!("{}{PROVISIONAL}", self.label),
            ExtraKind::Fixed | ExtraKind::Optional => self.label.clone(),
        }
    }
}

/// Whether the sum is a cost or a selling price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExtraSum {
    /// A cost: overhead and margin go on top.
    Cost(Money),
    /// A cost for each day on site, such as plant on hire.
    CostADay(Money),
    /// A selling price without VAT.
    Price(Money),
}

impl ExtraSum {
    /// The sum as it stands in the file.
    pub fn stated(self) -> Money {
        match self {
            ExtraSum::Cost(m) | ExtraSum::CostADay(m) | ExtraSum::Price(m) => m,
        }
    }

    /// What it costs over so many days on site, and how that was found; `None` where only its price is given.
    pub fn cost_over(self, days: usize) -> Option<(Money, String)> {
        match self {
            ExtraSum::Cost(cost) => Some((cost, format!("the job file's cost: {cost}"))),
            ExtraSum::CostADay(cost) => {
                Some((cost * Decimal::from(days), format!("{days} × {cost} for a day on site, from the job file")))
            }
            ExtraSum::Price(_) => None,
        }
    }
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
/// standard-rated supply (\[2020\] UKFTT 506 (TC), head-note).
pub const VAT_REASONS: [(&str, u32, &str); 3] = [
    ("new dwelling", 0, "a dwelling that is being built"),
    ("empty two years", 5, "a dwelling that nobody has lived in for two years or more"),
    ("conversion", 5, "work that changes the number of dwellings"),
];

/// How the price is parted into lines for the householder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LinesBy {
    /// Strip, deck, covering, finish.
    #[default]
    Part,
    /// A line for each roof, and what belongs to none of them.
    Roof,
}

/// A price that is not what cost and target come to, because it was agreed so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Agreement {
    /// What was agreed.
    pub price: AgreedPrice,
    /// Why, in words that the quote may print.
    pub because: Option<String>,
    /// Whether the quote shows it as a line of its own; hidden in the lines where not.
    pub shown: bool,
}

/// What was agreed of a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AgreedPrice {
    /// So many per cent off the price without VAT, which is as many off the total.
    PercentOff(Decimal),
    /// A sum off the total that the householder pays; below nothing where more is paid.
    SumOff(Money),
    /// The total that the householder pays.
    Total(Money),
}

/// The sums in one job file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JobMoney {
    /// Sums given for forced answers.
    pub access: Vec<(Access, Money)>,
    /// Extras.
    pub extras: Vec<Extra>,
    /// Stages that replace the firm's.
    pub stages: Option<Vec<StageRule>>,
    /// A rate of VAT with its reason, for the whole job.
    pub vat: Option<ClaimedRate>,
    /// How the price is parted into lines.
    pub lines_by: LinesBy,
    /// A margin or markup of its own, instead of the firm's.
    pub target: Option<PriceTarget>,
    /// What was agreed of the price.
    pub agreement: Option<Agreement>,
    /// What this customer keeps back of each payment.
    pub retention: Option<Retention>,
}
