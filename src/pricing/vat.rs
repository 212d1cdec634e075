//! VAT: on the printed lines, by rate, rounded by the method that the firm names.
//!
//! Given lines and a method; gives VAT by rate. A rate is never chosen here: each line brings its own. Three lines of
//! 10.03 at 20 % come to 6.02, 6.01, 6.03 or 6.01 by the four methods, so the method is always named beside the sum.

use super::money::{Money, share_out};
use super::terms::VatRounding;
use super::{PriceLine, VatLine};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// VAT at each rate, highest rate first. An invoice trader may choose any of the methods and must keep to it (VAT
/// Notice 700, section 17.5, as read in HMRC manual VATREC12010).
pub fn by_rate(lines: &[PriceLine], rounding: VatRounding) -> Vec<VatLine> {
    let mut rates: BTreeMap<Decimal, Vec<Money>> = BTreeMap::new();
    for line in lines {
        rates.entry(line.vat_rate.normalize()).or_default().push(line.net);
    }
    rates.into_iter().rev().map(|(rate, nets)| at_rate(rate, &nets, rounding)).collect()
}

fn at_rate(rate: Decimal, nets: &[Money], rounding: VatRounding) -> VatLine {
    let net: Money = nets.iter().copied().sum();
    let vat = match rounding {
        VatRounding::TotalNearest => net.percent(rate).to_penny(),
        VatRounding::TotalDown => net.percent(rate).down_to_penny(),
        VatRounding::LineNearest => nets.iter().map(|n| n.percent(rate).to_penny()).sum(),
        VatRounding::LineTenthDown => {
            nets.iter().map(|n| n.percent(rate).down_to_tenth()).sum::<Money>().down_to_penny()
        }
    };
    VatLine { rate, net, vat }
}

/// Lines with their VAT, shared out to the penny so that they add up to the total; none where a line takes something off.
pub fn with_vat(lines: &[PriceLine], vat: &[VatLine]) -> Vec<Money> {
    let mut all: Vec<Money> = lines.iter().map(|line| line.net).collect();
    if all.iter().any(|net| *net < Money::ZERO) {
        return Vec::new();
    }
    for rate in vat {
        let of_rate: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].vat_rate == rate.rate).collect();
        let nets: Vec<Decimal> = of_rate.iter().map(|i| lines[*i].net.as_pounds()).collect();
        for (i, share) in of_rate.into_iter().zip(share_out(rate.vat, &nets)) {
            all[i] += share;
        }
    }
    all
}

/// The method in words.
pub const fn method(rounding: VatRounding) -> &'static str {
    match rounding {
        VatRounding::TotalNearest => "on the total of each rate, to the nearest penny, halves up",
        VatRounding::TotalDown => "on the total of each rate, down to a whole penny",
        VatRounding::LineNearest => "on each line, to the nearest penny, halves up",
        VatRounding::LineTenthDown => "on each line, down to a tenth of a penny, and their sum down to a whole penny",
    }
}
