//! Offers: extras that stand beside the price, because the householder may tick them or their size is not known yet.
//!
//! Given the job's extras and the firm's terms; gives each offer's price with VAT. An offer bears the same overhead,
//! contingency and target as the work, so that taking it never lowers the margin. None is part of the total. The rates
//! for rot stand beside the price too; they are selling rates as the firm states them, and only VAT goes on top.

use super::money::Money;
use super::sale::selling_price;
use super::terms::{AgreedRate, Extra, ExtraKind, JobMoney, Terms};
use super::{Cost, PriceLine, vat};
use crate::model::Job;
use rust_decimal::Decimal;

/// An extra with its price, outside the total.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// What.
    pub label: String,
    /// Optional, or provisional.
    pub kind: ExtraKind,
    /// Without VAT.
    pub net: Money,
    /// VAT on it.
    pub vat: Money,
    /// With VAT.
    pub total: Money,
}

/// What a unit of rotten timber costs to replace, agreed before anybody has seen it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RotRate {
    /// What.
    pub label: String,
    /// Of what: `m`, `m2`.
    pub unit: String,
    /// For one unit, with VAT.
    pub total: Money,
}

/// The firm's rates for rot at a rate of VAT. Where all old boards come off, new ones are in the price already.
pub(super) fn rot_rates(job: &Job, terms: &Terms, rate: Decimal) -> Vec<RotRate> {
    let of = |AgreedRate { label, unit, rate: net, .. }: &AgreedRate| {
        let total = *net + vat_on(label, *net, terms, rate);
        RotRate { label: label.clone(), unit: unit.clone(), total }
    };
    terms.rot_rates.iter().filter(|rate| job.old_boards_stay() || !rate.charges_boards()).map(of).collect()
}

/// VAT on one sum; none where the firm is not registered.
pub(super) fn vat_on(label: &str, net: Money, terms: &Terms, rate: Decimal) -> Money {
    let line = PriceLine { label: label.to_owned(), net, vat_rate: rate };
    let taxed = if terms.vat.registered { vat::by_rate(&[line], terms.vat.rounding) } else { Vec::new() };
    taxed.iter().map(|v| v.vat).sum()
}

/// The offers of a job at a rate of VAT, each with its working.
pub(super) fn offers(money: &JobMoney, days: usize, terms: &Terms, rate: Decimal) -> Vec<(Offer, Cost)> {
    let beside = money.extras.iter().filter(|e| !e.kind.in_total());
    beside.enumerate().map(|(i, extra)| offer(i + 1, extra, days, terms, rate)).collect()
}

fn offer(n: usize, extra: &Extra, days: usize, terms: &Terms, rate: Decimal) -> (Offer, Cost) {
    let (net, mut working) = sold_for(extra, days, terms);
    let label = extra.label.clone();
    let vat = vat_on(&label, net, terms, rate);
    let total = net + vat;
    working.push(format!("{net} and VAT of {vat} = {total}; not in the total of the job"));
    let offer = Offer { label: label.clone(), kind: extra.kind, net, vat, total };
    (offer, Cost { id: format!("offer.{n}"), label, amount: total, working })
}

/// What an extra is sold for without VAT.
fn sold_for(extra: &Extra, days: usize, terms: &Terms) -> (Money, Vec<String>) {
    let Some((cost, found)) = extra.sum.cost_over(days) else {
        let price = extra.sum.stated();
        return (price.to_penny(), vec![format!("the job file's price: {price}")]);
    };
    let top = terms.contingency + terms.overhead;
    let borne = (cost + cost.percent(top)).to_penny();
    let net = selling_price(borne, terms.target);
    let words = format!("cost {cost} with contingency and overhead of {} % = {borne}", top.normalize());
    (net, vec![found, words, format!("{} on it = {net}", super::sale::words(terms.target))])
}
