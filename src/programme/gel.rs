//! Gel time: how long catalysed resin stays workable.
//!
//! Given the data sheet's points where the firm has them, else the time at 20 °C; gives minutes at a temperature and
//! dose, and says when they rest on the rule of thumb. Nothing is read off beyond the data sheet's points: past them
//! the nearest point is carried on by the rule of thumb, and marked so.

use crate::model::Rules;
use crate::model::rules::GelPoint;
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// A gel time and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GelTime {
    /// Minutes, to a hundredth.
    pub minutes: Decimal,
    /// It rests on the rule of thumb (good to about 30 %), not on the data sheet alone.
    pub rule_of_thumb: bool,
    /// How it was found.
    pub basis: GelBasis,
}

/// What a gel time was found from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GelBasis {
    /// The rule of thumb alone.
    RuleOfThumb {
        /// Minutes at 20 °C.
        at_20: Decimal,
        /// The dose that they were seen with, % by mass.
        dose: Decimal,
    },
    /// The data sheet, between its points.
    DataSheet,
    /// The data sheet's nearest point, carried on by the rule of thumb.
    NearestPoint,
}

/// How much longer than at 20 °C a resin takes to gel: it halves for each 10 °C (Arrhenius rule of thumb, from memory;
/// within about 30 % between 5 and 30 °C). 2.828 at 5 °C, 2 at 10 °C, 0.5 at 30 °C.
pub fn factor(temperature: Decimal) -> Decimal {
    rounded(thumb(20.0, number(temperature)), 6)
}

fn thumb(from: f64, to: f64) -> f64 {
    2f64.powf((from - to) / 10.0)
}

fn number(d: Decimal) -> f64 {
    d.to_f64().unwrap_or(0.0)
}

fn rounded(x: f64, places: u32) -> Decimal {
    Decimal::from_f64(x).unwrap_or_default().round_dp(places)
}

/// Gel time at a temperature (°C) and dose (% by mass). `dose_at_20` is the dose that `gel_at_20` was seen with: gel
/// time goes inversely with the dose (from memory, between 1 and 2 %).
pub fn gel_time(rules: &Rules, temperature: Decimal, dose: Decimal, dose_at_20: Decimal) -> GelTime {
    match rules.gel_points.is_empty() {
        true => from_rule(rules, temperature, dose, dose_at_20),
        false => from_points(&rules.gel_points, temperature, dose),
    }
}

fn from_rule(rules: &Rules, temperature: Decimal, dose: Decimal, dose_at_20: Decimal) -> GelTime {
    let (t, at_20) = (number(temperature), number(rules.gel_at_20));
    let minutes = at_20 * thumb(20.0, t) * number(dose_at_20) / number(dose).max(f64::MIN_POSITIVE);
    GelTime {
        minutes: rounded(minutes, 2),
        rule_of_thumb: true,
        basis: GelBasis::RuleOfThumb { at_20: rules.gel_at_20, dose: dose_at_20 },
    }
}

/// Between points: straight in the logarithm of the time, by the logarithm of the dose and by the temperature.
fn from_points(points: &[GelPoint], temperature: Decimal, dose: Decimal) -> GelTime {
    let mut carried = false;
    let mut curve: Vec<(f64, f64)> =
        temperatures(points).into_iter().map(|t| (number(t), at_dose(points, t, number(dose), &mut carried))).collect();
    curve.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (t, first, last) = (number(temperature), curve[0], curve[curve.len() - 1]);
    carried |= t < first.0 || t > last.0;
    let log = match t {
        t if t <= first.0 => first.1 + thumb(first.0, t).ln(),
        t if t >= last.0 => last.1 + thumb(last.0, t).ln(),
        t => between(&curve, t),
    };
    let basis = if carried { GelBasis::NearestPoint } else { GelBasis::DataSheet };
    GelTime { minutes: rounded(log.exp(), 2), rule_of_thumb: carried, basis }
}

fn temperatures(points: &[GelPoint]) -> Vec<Decimal> {
    let mut all: Vec<Decimal> = points.iter().map(|p| p.temperature).collect();
    all.sort();
    all.dedup();
    all
}

/// Logarithm of the minutes at one of the data sheet's temperatures and any dose.
fn at_dose(points: &[GelPoint], temperature: Decimal, dose: f64, carried: &mut bool) -> f64 {
    let here = points.iter().filter(|p| p.temperature == temperature);
    let mut curve: Vec<(f64, f64)> = here.map(|p| (number(p.dose).ln(), number(p.minutes).ln())).collect();
    curve.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (d, first, last) = (dose.ln(), curve[0], curve[curve.len() - 1]);
    *carried |= d < first.0 - 1e-12 || d > last.0 + 1e-12;
    match d {
        d if d <= first.0 => first.1 + (first.0 - d),
        d if d >= last.0 => last.1 + (last.0 - d),
        d => between(&curve, d),
    }
}

/// Straight interpolation in a curve that is sorted by its first value and reaches past `x` on both sides.
fn between(curve: &[(f64, f64)], x: f64) -> f64 {
    let i = curve.partition_point(|p| p.0 < x).clamp(1, curve.len() - 1);
    let ((x0, y0), (x1, y1)) = (curve[i - 1], curve[i]);
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}
