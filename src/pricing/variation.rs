//! What was found on site after the quote was accepted, sold at the firm's rates.
//!
//! Given what was found and the rates of the accepted quote; gives lines whose rate times quantity is their amount to the penny,
//! and what they come to. A cost bears contingency, overhead and the job's margin as every cost of the job does; a rate that was
//! agreed beforehand and a stated price bear none of them again. Only what must be bought is charged in whole packs.

use super::book::{Article, PriceBook};
use super::invoicing::InvoiceSums;
use super::money::Money;
use super::offers::vat_on;
use super::packs;
use super::sale::selling_price;
use super::terms::{AgreedRate, BOARD_UNITS, PriceTarget, Terms};
use super::{PriceLine, order, vat};
use crate::model::limits::{self, Most};
use crate::model::words::list;
use crate::model::{Length, Problem, Products, Role, Rules, SettingPath};
use crate::takeoff::{Need, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use time::Date;

/// What was found on site.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FoundOnSite {
    /// Each thing, in the order of the file.
    pub lines: Vec<FoundLine>,
    /// Working days more on site, where they are said.
    pub days: Option<u32>,
    /// What the customer is told of it besides.
    pub note: Option<String>,
}

/// One thing that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundLine {
    /// Where it stands in the file.
    pub path: SettingPath,
    /// What, in the installer's words.
    pub what: String,
    /// What it takes, at least one.
    pub parts: Vec<FoundPart>,
    /// Goods that it takes besides, whose price is in those parts: ordered, never charged.
    pub takes: Vec<TakenGoods>,
}

/// Goods whose price is in a rate or a sum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenGoods {
    /// Their role.
    pub role: Role,
    /// Their size, where they come in sizes.
    pub size: Option<Length>,
    /// How much, in the role's unit.
    pub quantity: Decimal,
    /// The unit as it was written; empty where it is not.
    pub unit: String,
}

/// What a thing that was found takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FoundPart {
    /// So much at a rate that was agreed beforehand.
    Rate {
        /// The rate's name in the firm file.
        label: String,
        /// How much.
        quantity: Decimal,
        /// In which unit; empty where it is not said.
        unit: String,
    },
    /// Deck boards, bought and laid.
    Boards {
        /// How many.
        count: u32,
        /// Which, where it is not the job's own.
        board: Option<String>,
    },
    /// Hours of one person.
    Hours(Decimal),
    /// Something of the price books.
    Article {
        /// Its role.
        role: Role,
        /// Its size, where it comes in sizes.
        size: Option<Length>,
        /// How much, in the role's unit.
        quantity: Decimal,
        /// The unit as it was written; empty where it is not.
        unit: String,
    },
    /// Days on which the crew comes besides: travel, setting up and clearing.
    Visits(u32),
    /// What somebody else charges for it.
    Cost(Money),
    /// What it is sold for.
    Price(Money),
    /// What no longer has to be paid.
    Omit(Money),
}

impl FoundPart {
    /// Its key.
    const fn key(&self) -> &'static str {
        match self {
            FoundPart::Rate { .. } => "rate",
            FoundPart::Boards { .. } => "boards",
            FoundPart::Hours(_) => "hours",
            FoundPart::Article { .. } => "article",
            FoundPart::Visits(_) => "visits",
            FoundPart::Cost(_) => "cost",
            FoundPart::Price(_) => "price",
            FoundPart::Omit(_) => "omit",
        }
    }

    /// What tells it from the other parts of one thing.
    fn words(&self) -> String {
        match self {
            FoundPart::Rate { label, .. } => label.clone(),
            FoundPart::Boards { .. } => "boards, laid".to_owned(),
            FoundPart::Hours(_) => "labour".to_owned(),
            FoundPart::Article { .. } => "materials".to_owned(),
            FoundPart::Visits(_) => "travel, setting up and clearing".to_owned(),
            FoundPart::Cost(_) => "bought in".to_owned(),
            FoundPart::Price(_) => "fixed price".to_owned(),
            FoundPart::Omit(_) => "left out".to_owned(),
        }
    }
}

/// What it is priced by.
#[derive(Debug, Clone, Copy)]
pub struct VariationBasis<'a> {
    /// The firm's terms, as they were when the job was quoted.
    pub terms: &'a Terms,
    /// What is earned on a cost: the job's own target, or the firm's.
    pub target: PriceTarget,
    /// The rules of the job.
    pub rules: &'a Rules,
    /// The board of the job's deck, where all its roofs have one.
    pub board: Option<&'a str>,
    /// Sizes of what is sold today.
    pub products: &'a Products,
    /// The price books of today.
    pub books: &'a [PriceBook],
    /// The rate of VAT of the accepted price, %.
    pub vat_rate: Decimal,
    /// The customer accounts for the VAT.
    pub by_customer: bool,
    /// The day of the variation.
    pub on: Date,
}

/// Of what a line counts its quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FoundUnit {
    /// Hours of one person.
    Hours,
    /// Boards.
    Boards,
    /// Visits of the crew.
    Visits,
    /// In the unit of an agreed rate.
    Named(String),
    /// Packs, as they are sold.
    Packs(String),
    /// A sum, for all of it.
    Sum,
}

/// One line of a variation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VariationLine {
    /// What.
    pub what: String,
    /// How much.
    pub quantity: Decimal,
    /// Of what.
    pub unit: FoundUnit,
    /// What one is sold for, without VAT.
    pub rate: Money,
    /// The same with VAT, as the quote has its rates; nothing of a sum, nor where the customer pays us none.
    pub rate_with_vat: Option<Money>,
    /// Rate times quantity, without VAT.
    pub amount: Money,
}

/// A variation with its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VariationPrice {
    /// The lines.
    pub lines: Vec<VariationLine>,
    /// What they come to; below nothing where more is left out than added.
    pub sums: InvoiceSums,
    /// Hours of one person that the lines count.
    pub hours: Decimal,
    /// What of the delivery of its goods no line charges: that of boards which a rate of the quote has in it.
    pub delivery: Money,
    /// Boards are sold by their cost, though the quote has rates: none of them says that it charges boards.
    pub boards_by_cost: bool,
    /// Deck boards that the lines take which are sold at a rate for boards.
    pub rate_boards: u32,
}

/// Prices what was found.
///
/// # Errors
/// Everything that cannot be priced, all at once.
pub fn price(found: &FoundOnSite, basis: VariationBasis<'_>) -> Result<VariationPrice, Vec<Problem>> {
    let (mut lines, mut faults, mut hours) = (Vec::new(), Vec::new(), Decimal::ZERO);
    for line in &found.lines {
        for (n, taken) in line.takes.iter().enumerate() {
            let TakenGoods { role, size, quantity, unit } = taken;
            if let Err(Unpriced { key, fault, cure }) = basis.article(role, *size, *quantity, unit) {
                let (at, key) = (line.path.key("takes").entry(n), if key.is_empty() { "article" } else { key });
                faults.push(Problem::fault(at.key(key), fault, cure));
            }
        }
        for part in &line.parts {
            let rate = match part {
                FoundPart::Rate { label, .. } => Some(label),
                FoundPart::Boards { .. } => basis.board_rate().map(|rate| &rate.label),
                _ => None,
            };
            let what = match (line.parts.len(), rate) {
                // What was found is not yet what is done about it: the rate's name says that.
                (1, Some(label)) if !line.what.to_lowercase().contains(&label.to_lowercase()) => {
                    format!("{} ({label})", line.what)
                }
                // A day more on site is paid by its hours too: what this line has of it is said.
                (1, _) if matches!(part, FoundPart::Visits(_)) && !line.what.contains("setting up") => {
                    format!("{} ({})", line.what, part.words())
                }
                (1, _) => line.what.clone(),
                (_, Some(label)) => format!("{}: {label}", line.what),
                _ => format!("{}: {}", line.what, part.words()),
            };
            match basis.sold(part) {
                Ok(sold) => {
                    hours += sold.hours;
                    let one = |SoldRow { quantity, unit, rate, goods }| VariationLine {
                        what: goods
                            .filter(|_| line.parts.len() > 1)
                            .map_or_else(|| what.clone(), |goods| format!("{}: {goods}", line.what)),
                        quantity,
                        rate_with_vat: Some(basis.with_vat(&line.what, rate))
                            .filter(|_| unit != FoundUnit::Sum)
                            .flatten(),
                        unit,
                        rate,
                        amount: (rate * quantity).to_penny(),
                    };
                    lines.extend(sold.rows.into_iter().map(one));
                }
                Err(Unpriced { key, fault, cure }) => faults.push(Problem::fault(line.path.key(key), fault, cure)),
            }
        }
    }
    match faults.is_empty() {
        true => {
            let (charged, delivery) = basis.delivery(found);
            lines.extend(basis.delivery_line(charged));
            let (boards_by_cost, rate_boards) = (basis.sells_boards_by_cost(found), basis.rate_boards(found));
            Ok(VariationPrice { sums: basis.sums(&lines), lines, hours, delivery, boards_by_cost, rate_boards })
        }
        false => Err(faults),
    }
}

/// What a part is sold for: so much of a unit at a rate, once or more often.
struct SoldPart {
    rows: Vec<SoldRow>,
    hours: Decimal,
}

struct SoldRow {
    quantity: Decimal,
    unit: FoundUnit,
    rate: Money,
    /// What is bought, as the merchant calls it.
    goods: Option<String>,
}

impl SoldPart {
    fn one(quantity: Decimal, unit: FoundUnit, rate: Money) -> SoldPart {
        SoldPart { rows: vec![SoldRow { quantity, unit, rate, goods: None }], hours: Decimal::ZERO }
    }
}

/// Why a part has no price.
struct Unpriced {
    key: &'static str,
    fault: String,
    cure: String,
}

fn unpriced<T>(key: &'static str, fault: impl Into<String>, cure: impl Into<String>) -> Result<T, Unpriced> {
    Err(Unpriced { key, fault: fault.into(), cure: cure.into() })
}

impl<'a> VariationBasis<'a> {
    fn sold(&self, part: &FoundPart) -> Result<SoldPart, Unpriced> {
        let sold = match part {
            FoundPart::Rate { label, quantity, unit } => self.at_rate(label, *quantity, unit),
            FoundPart::Boards { count, board } => self.boards(*count, board.as_deref()),
            FoundPart::Hours(hours) => {
                let rate = self.sold_for(self.hour());
                Ok(SoldPart { hours: *hours, ..SoldPart::one(*hours, FoundUnit::Hours, rate) })
            }
            FoundPart::Article { role, size, quantity, unit } => self.article(role, *size, *quantity, unit),
            FoundPart::Visits(days) => {
                let people = Decimal::from(self.terms.people());
                let cost = self.terms.travel_day + self.hour() * (self.rules.hours_setup * people);
                Ok(SoldPart::one(Decimal::from(*days), FoundUnit::Visits, self.sold_for(cost)))
            }
            FoundPart::Cost(cost) => Ok(SoldPart::one(Decimal::ONE, FoundUnit::Sum, self.sold_for(*cost))),
            FoundPart::Price(price) => Ok(SoldPart::one(Decimal::ONE, FoundUnit::Sum, price.to_penny())),
            FoundPart::Omit(price) => Ok(SoldPart::one(Decimal::ONE, FoundUnit::Sum, -price.to_penny())),
        };
        sold.map_err(
            |unpriced| if unpriced.key.is_empty() { Unpriced { key: part.key(), ..unpriced } } else { unpriced },
        )
    }

    /// What a cost is sold for, with what every cost of the job bears.
    fn sold_for(&self, cost: Money) -> Money {
        let top = self.terms.contingency + self.terms.overhead;
        selling_price((cost + cost.percent(top)).to_penny(), self.target)
    }

    /// What an hour of one person costs the firm, in the mean of the crew.
    fn hour(&self) -> Money {
        let of_day = |day: Money| Money::pounds(day.as_pounds() / self.rules.day_hours);
        let all: Money = self.terms.crew.iter().map(|person| person.day.map_or(person.hour, of_day)).sum();
        Money::pounds(all.as_pounds() / Decimal::from(self.terms.people()))
    }

    /// What something bought costs; a firm that is not registered for VAT pays it and cannot reclaim it.
    fn bought_for(&self, cost: Money) -> Money {
        if self.terms.vat.registered { cost } else { cost + cost.percent(self.terms.rate_on(self.on)) }
    }

    fn at_rate(&self, label: &str, quantity: Decimal, unit: &str) -> Result<SoldPart, Unpriced> {
        let rates = &self.terms.rot_rates;
        let Some(AgreedRate { unit: of, rate, .. }) = rates.iter().find(|rate| rate.label == label) else {
            let names: Vec<String> = rates.iter().map(|rate| format!("`{}` ({})", rate.label, rate.unit)).collect();
            let fault = format!("`{label}` is no rate of the quote that was accepted");
            return match names.is_empty() {
                true => unpriced("rate", fault, "it names none: give `hours`, `cost` or `price` in its place"),
                false => unpriced("rate", fault, format!("what was agreed beforehand: {}", list(&names))),
            };
        };
        if !unit.is_empty() && unit != of.replace('²', "2") {
            let fault = format!("`{label}` is agreed for each {of}, not for each {unit}");
            return unpriced("quantity", fault, format!("measure it in {of}: `quantity: 2.4 {of}`"));
        }
        Ok(SoldPart::one(quantity, FoundUnit::Named(of.clone()), rate.to_penny()))
    }

    fn boards(&self, count: u32, board: Option<&str>) -> Result<SoldPart, Unpriced> {
        let Some(key) = board.or(self.board) else {
            return unpriced("board", "the job's roofs have no board in common", "say which: `board: osb3-18`");
        };
        let Some(size) = self.products.boards.get(key) else {
            let known: Vec<String> = self.products.boards.keys().map(|key| format!("`{key}`")).collect();
            let cure = format!("the boards are {}", list(&known));
            return unpriced("board", format!("no price book sells a board `{key}`"), cure);
        };
        let number = Decimal::from(count);
        let area = (size.length * size.width).square_metres();
        let norm = area * self.rules.hours_deck;
        // What the customer agreed to beforehand is for materials and labour, whatever the boards cost today.
        if let Some(rate) = self.board_rate() {
            let [by_area, _] = BOARD_UNITS;
            let quantity = if by_area.contains(&rate.unit.as_str()) { (area * number).round_dp(2) } else { number };
            let sold = SoldPart::one(quantity, FoundUnit::Named(rate.unit.clone()), rate.rate.to_penny());
            return Ok(SoldPart { hours: norm * number, ..sold });
        }
        let packs = self.packs(&Role::Board(key.to_owned()), None, number)?;
        let goods: Money = packs.iter().map(|(article, n)| article.price_of(*n) * Decimal::from(*n)).sum();
        let each = self.bought_for(Money::pounds(goods.as_pounds() / number)) + self.hour() * norm;
        Ok(SoldPart { hours: norm * number, ..SoldPart::one(number, FoundUnit::Boards, self.sold_for(each)) })
    }

    /// What the delivery of its goods costs, as they would be ordered today: what of it is charged, and what is not, because the
    /// quote says of a rate for boards that materials are in it. Nothing where a line speaks of a delivery.
    fn delivery(&self, found: &FoundOnSite) -> (Money, Money) {
        let is_told = |line: &FoundLine| line.what.to_lowercase().contains("deliver");
        if found.lines.iter().any(is_told) {
            return (Money::ZERO, Money::ZERO);
        }
        let costs = |goods: Vec<Need>| order::buy(&goods, self.books).orders.iter().map(|o| o.delivery).sum::<Money>();
        let all = costs(found.goods(self.board, self.rate_boards(found)));
        let mut by_cost = found.clone();
        let is_by_cost = |part: &FoundPart| !matches!(part, FoundPart::Boards { .. }) || self.board_rate().is_none();
        for line in &mut by_cost.lines {
            line.parts.retain(is_by_cost);
            line.takes.clear();
        }
        let charged = all.min(costs(by_cost.goods(self.board, 0)));
        (charged, all - charged)
    }

    /// The line that charges a delivery.
    fn delivery_line(&self, cost: Money) -> Option<VariationLine> {
        let amount = self.sold_for(self.bought_for(cost));
        (cost > Money::ZERO).then(|| VariationLine {
            what: "Delivery of these materials".to_owned(),
            quantity: Decimal::ONE,
            unit: FoundUnit::Sum,
            rate: amount,
            rate_with_vat: None,
            amount,
        })
    }

    /// How many whole boards of the job's own the parts take that name a rate for boards; none where its roofs have none in common.
    fn rate_boards(&self, found: &FoundOnSite) -> u32 {
        let Some(size) = self.board.and_then(|key| self.products.boards.get(key)) else { return 0 };
        let each = (size.length * size.width).square_metres();
        let boards = |part: &FoundPart| {
            let FoundPart::Rate { label, quantity, .. } = part else { return None };
            let rate = self.terms.rot_rates.iter().find(|rate| rate.label == *label && rate.charges_boards())?;
            let [by_area, _] = BOARD_UNITS;
            let number = if by_area.contains(&rate.unit.as_str()) { quantity.checked_div(each)? } else { *quantity };
            number.ceil().to_u32()
        };
        found.lines.iter().flat_map(|line| &line.parts).filter_map(boards).sum()
    }

    /// The rate of the quote that charges boards.
    fn board_rate(&self) -> Option<&'a AgreedRate> {
        self.terms.rot_rates.iter().find(|rate| rate.charges_boards())
    }

    /// Boards were found that no rate of the quote charges, though it has some.
    fn sells_boards_by_cost(&self, found: &FoundOnSite) -> bool {
        let is_boards = |part: &FoundPart| matches!(part, FoundPart::Boards { .. });
        !self.terms.rot_rates.is_empty()
            && self.board_rate().is_none()
            && found.lines.iter().flat_map(|line| &line.parts).any(is_boards)
    }

    fn article(&self, role: &Role, size: Option<Length>, quantity: Decimal, unit: &str) -> Result<SoldPart, Unpriced> {
        let of = role.unit();
        if !unit.is_empty() && unit != of.to_string() {
            let fault = format!("`{role}` is bought in {of}, not in {unit}");
            return unpriced(
                "quantity",
                fault,
                format!("write, for example, `quantity: {} {of}`", quantity.normalize()),
            );
        }
        if of == Unit::Each && !quantity.fract().is_zero() {
            let fault = format!("nobody sells {} of `{role}`", quantity.normalize());
            return unpriced("quantity", fault, "write a whole number, such as `quantity: 2`");
        }
        let packs = self.packs(role, size, quantity)?;
        let row = |(article, n): (&Article, u64)| {
            let rate = self.sold_for(self.bought_for(article.price_of(n)));
            let (unit, goods) = (FoundUnit::Packs(article.pack.clone()), Some(article.description.clone()));
            SoldRow { quantity: Decimal::from(n), unit, rate, goods }
        };
        Ok(SoldPart { rows: packs.into_iter().map(row).collect(), hours: Decimal::ZERO })
    }

    /// The cheapest packs that hold so much, at the merchant that sells them cheapest.
    fn packs(&self, role: &Role, size: Option<Length>, quantity: Decimal) -> Result<Vec<(&'a Article, u64)>, Unpriced> {
        let all = || self.books.iter().flat_map(|book| &book.articles).filter(|a| a.role == *role);
        let mut sizes: Vec<Length> = all().filter_map(|a| a.size).collect();
        sizes.sort();
        sizes.dedup();
        if size.is_none() && sizes.len() > 1 {
            let sizes: Vec<String> = sizes.iter().map(|size| format!("`size: {size}`")).collect();
            let cure = format!("add one of {}", list(&sizes));
            return unpriced("size", format!("`{role}` is sold in several sizes"), cure);
        }
        let serves = |a: &&Article| a.role == *role && (size.is_none() || a.size == size) && a.holds > Decimal::ZERO;
        let Most { what, most } = limits::PACKS;
        let too_many = |a: &Article| quantity.checked_div(a.holds).unwrap_or(Decimal::MAX) > Decimal::from(most);
        if all().filter(serves).any(too_many) {
            return unpriced(
                "quantity",
                format!("that takes more than {most} {what}"),
                "check the figure and its unit",
            );
        }
        let of_book = |book: &'a PriceBook| {
            let serving: Vec<&Article> = book.articles.iter().filter(serves).collect();
            let plan = packs::cheapest(quantity, &serving)?;
            let taken = serving.into_iter().zip(plan.counts).filter(|(_, n)| *n > 0);
            Some((plan.cost, taken.collect::<Vec<_>>()))
        };
        match self.books.iter().filter_map(of_book).min_by_key(|(cost, _)| *cost) {
            Some((_, packs)) => Ok(packs),
            None => {
                let of_size = size.map(|size| format!(" of {size}")).unwrap_or_default();
                let fault = format!("no price book sells `{role}`{of_size}");
                unpriced("", fault, "add it to the price book, or write what it costs you as `cost:`")
            }
        }
    }

    /// A rate with VAT, as the quote's rates have it; nothing where the customer pays us none.
    fn with_vat(&self, label: &str, rate: Money) -> Option<Money> {
        let pays = self.terms.vat.registered && !self.by_customer;
        pays.then(|| rate + vat_on(label, rate, self.terms, self.vat_rate))
    }

    fn sums(&self, lines: &[VariationLine]) -> InvoiceSums {
        let priced =
            |line: &VariationLine| PriceLine { label: line.what.clone(), net: line.amount, vat_rate: self.vat_rate };
        let priced: Vec<PriceLine> = lines.iter().map(priced).collect();
        let net: Money = priced.iter().map(|line| line.net).sum();
        let due: Money = match self.terms.vat.registered {
            true => vat::by_rate(&priced, self.terms.vat.rounding).iter().map(|line| line.vat).sum(),
            false => Money::ZERO,
        };
        let (vat, by_customer) = if self.by_customer { (Money::ZERO, due) } else { (due, Money::ZERO) };
        InvoiceSums { net, vat, by_customer, total: net + vat }
    }
}
