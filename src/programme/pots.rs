//! Pots: how much resin is mixed at once, and which strips each pot lays.
//!
//! Given the gel time, the crew's laying rate and the strips in laying order; gives numbered pots with kilograms of
//! resin and millilitres of catalyst. A pot lays whole strips where it can; a strip that is too heavy for one pot is
//! shared evenly among several. The shortest gel time of the stated temperatures counts.

use super::MixDose;
use super::dose::{dose, row_at};
use super::gel::{self, GelTime};
use crate::model::limits::{self, Most};
use crate::model::problem::Source;
use crate::model::rules::Dose;
use crate::model::{Area, LineId, Mass, Problem, Range, Rules};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::MatPiece;
use crate::takeoff::quantities::resin::RESIN;
use rust_decimal::Decimal;

/// What part of a strip a pot lays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotPart {
    /// The roof.
    pub roof: String,
    /// The strip's mark on the mat drawing.
    pub mark: String,
    /// Which share of it, counting from 1: (1, 2) is the first of two.
    pub share: (u32, u32),
}

/// One pot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pot {
    /// Counting from 1, in the order of mixing.
    pub number: u32,
    /// What it lays.
    pub parts: Vec<PotPart>,
    /// Resin.
    pub resin: Mass,
    /// Catalyst, to the nearest ml.
    pub catalyst_ml: Decimal,
}

/// The pots of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotPlan {
    /// The air temperature that it is worked for, °C: the one with the shortest gel time.
    pub temperature: Decimal,
    /// No temperature was stated: 20 °C was taken.
    pub assumed: bool,
    /// Gel time there.
    pub gel: GelTime,
    /// The most that is mixed at once.
    pub size: Mass,
    /// Where the size comes from.
    pub why: String,
    /// The laminate's dose there.
    pub dose: MixDose,
    /// The topcoat's dose there.
    pub topcoat_dose: MixDose,
    /// Pots for the mat, in laying order.
    pub pots: Vec<Pot>,
    /// Resin of all pots for the mat.
    pub resin: Mass,
    /// Laminating resin that the take-off asks for, with what bare boards, bandage and buckets take.
    pub ordered: Mass,
    /// Pots for the topcoat.
    pub topcoat: Vec<Pot>,
}

/// Plans the pots; `None` where the catalyst table has no dose for the stated temperature, where the density is not a
/// catalyst's, or where the rules leave no pot at all or more than anybody mixes ([`problem`] tells it).
pub fn plan(take_off: &TakeOff, rules: &Rules, density: Decimal, air: Option<Range>) -> Option<PotPlan> {
    let twenty = Decimal::from(20);
    let (temperature, row, gel) = shortest(rules, air.unwrap_or(Range::exactly(twenty)))?;
    let (size, why) = size(rules, &gel);
    if size <= Mass::ZERO || density <= Decimal::ONE {
        return None;
    }
    let (laminate, topcoat_dose) = (dose(row.laminate, density), dose(row.topcoat, density));
    let (strips, coats) = (strips(take_off, rules), topcoat(take_off));
    if count(&strips, size) + count(&coats, size) > Decimal::from(limits::POTS.most) {
        return None;
    }
    let pots = group(strips, size, laminate);
    Some(PotPlan {
        temperature,
        assumed: air.is_none(),
        gel,
        size,
        why,
        dose: laminate,
        topcoat_dose,
        resin: pots.iter().map(|p| p.resin).sum(),
        pots,
        ordered: resin_lines(take_off),
        topcoat: group(coats, size, topcoat_dose),
    })
}

/// At most so many pots: shares of a part that is over the size, one for every other part.
fn count(parts: &[(PotPart, Mass)], size: Mass) -> Decimal {
    parts.iter().map(|(_, mass)| (mass.as_kg() / size.as_kg()).ceil().max(Decimal::ONE)).sum()
}

/// Tells a job whose pots nobody could mix.
pub fn problem(take_off: &TakeOff, rules: &Rules, air: Option<Range>) -> Option<Problem> {
    let (_, _, gel) = shortest(rules, air.unwrap_or(Range::exactly(Decimal::from(20))))?;
    let (size, why) = size(rules, &gel);
    let Most { what, most } = limits::POTS;
    let fault = if size <= Mass::ZERO {
        "no pot can be laid within its gel time".to_owned()
    } else {
        let pots = count(&strips(take_off, rules), size) + count(&topcoat(take_off), size);
        (pots > Decimal::from(most)).then(|| {
            format!(
                "the job takes about {} {what} of {} kg: more than {most}",
                pots.normalize(),
                size.as_kg().normalize()
            )
        })?
    };
    let cure = format!("correct `laying_rate`, `pot_margin`, `max_pot` or the gel times: {why}");
    Some(Problem::fault(["rules", "laying_rate"], fault, cure).within(Source::Firm))
}

/// The end of the range where the resin gels soonest, with its row of the table.
fn shortest(rules: &Rules, air: Range) -> Option<(Decimal, Dose, GelTime)> {
    let at = |t| {
        let row = *row_at(&rules.catalyst, t)?;
        Some((t, row, gel_at(rules, t, &row)))
    };
    let (low, high) = (at(air.low)?, at(air.high)?);
    Some(if low.2.minutes < high.2.minutes { low } else { high })
}

fn gel_at(rules: &Rules, temperature: Decimal, row: &Dose) -> GelTime {
    let at_20 = row_at(&rules.catalyst, Decimal::from(20)).map_or(row.laminate, |r| r.laminate);
    gel::gel_time(rules, temperature, row.laminate, at_20)
}

/// The largest pot of a row of the catalyst table: at its warm end, where resin gels soonest.
pub(super) fn largest(rules: &Rules, row: &Dose) -> Mass {
    size(rules, &gel_at(rules, row.to, row)).0
}

/// The most that is mixed at once: what the crew lays in a part of the gel time, never over the largest pot. To a
/// hundredth of a kilogram, down.
fn size(rules: &Rules, gel: &GelTime) -> (Mass, String) {
    let laid = rules.laying_rate * gel.minutes * rules.pot_margin / Decimal::ONE_HUNDRED;
    let words = format!(
        "laying_rate {} kg/min × {} min × pot_margin {} % = {} kg",
        rules.laying_rate.normalize(),
        gel.minutes.round_dp(1).normalize(),
        rules.pot_margin.normalize(),
        laid.round_dp(2).normalize()
    );
    match laid < rules.max_pot {
        true => (Mass::kg(laid.trunc_with_scale(2)), words),
        false => {
            (Mass::kg(rules.max_pot), format!("max_pot {} kg; {words} would allow more", rules.max_pot.normalize()))
        }
    }
}

/// Resin that a piece of mat takes: area × weight × (1 − g)/g, with g the glass by mass.
fn resin_of(piece: &MatPiece, weight: u32, rules: &Rules) -> Mass {
    let area: Area = piece.length * piece.width;
    let glass = area.square_metres() * Decimal::from(weight) / Decimal::ONE_THOUSAND;
    Mass::kg(glass * (Decimal::ONE - rules.glass_fraction) / rules.glass_fraction.max(Decimal::new(1, 2)))
}

fn strips(take_off: &TakeOff, rules: &Rules) -> Vec<(PotPart, Mass)> {
    let of_roof = |roof: &'_ crate::takeoff::layout::RoofLayout| {
        let mut pieces: Vec<&MatPiece> = roof.mat.pieces.iter().collect();
        pieces.sort_by_key(|p| p.order);
        let part = |p: &MatPiece| PotPart { roof: roof.shape.name.clone(), mark: p.mark.clone(), share: (1, 1) };
        pieces.into_iter().map(|p| (part(p), resin_of(p, roof.mat.weight, rules))).collect::<Vec<_>>()
    };
    take_off.roofs.iter().flat_map(of_roof).collect()
}

fn topcoat(take_off: &TakeOff) -> Vec<(PotPart, Mass)> {
    let lines = take_off.lines.iter().filter(|l| matches!(l.id, LineId::TopcoatMass | LineId::SurfaceTopcoat));
    let part =
        |roof: &Option<String>| PotPart { roof: roof.clone().unwrap_or_default(), mark: String::new(), share: (1, 1) };
    lines.map(|l| (part(&l.roof), Mass::kg(l.quantity))).collect()
}

/// Laminating resin over all lines of the take-off.
fn resin_lines(take_off: &TakeOff) -> Mass {
    take_off.lines.iter().filter(|l| RESIN.contains(&l.id)).map(|l| Mass::kg(l.quantity)).sum()
}

/// Whole parts to a pot in their order, as many as it holds; a part over the size is shared evenly.
fn group(parts: Vec<(PotPart, Mass)>, size: Mass, dose: MixDose) -> Vec<Pot> {
    let mut pots: Vec<Pot> = Vec::new();
    let mut open = false;
    for (part, mass) in parts {
        let shares = (mass.as_kg() / size.as_kg()).ceil().max(Decimal::ONE);
        let n = u32::try_from(shares).unwrap_or(u32::MAX);
        match pots.last_mut().filter(|p| open && n == 1 && p.resin + mass <= size) {
            Some(pot) => {
                pot.parts.push(part);
                pot.resin += mass;
            }
            None => pots.extend((1..=n).map(|i| Pot {
                number: 0,
                parts: vec![PotPart { share: (i, n), ..part.clone() }],
                resin: share_of(mass, i, n),
                catalyst_ml: Decimal::ZERO,
            })),
        }
        open = n == 1;
    }
    for (pot, number) in pots.iter_mut().zip(1..) {
        pot.number = number;
        pot.catalyst_ml = (pot.resin.as_kg() * dose.ml_per_kg).round();
    }
    pots
}

/// Share `i` of `n`; the last takes what is left, so that the shares add up.
fn share_of(mass: Mass, i: u32, n: u32) -> Mass {
    let each = (mass.as_kg() / Decimal::from(n)).round_dp(6);
    match i == n {
        true => Mass::kg(mass.as_kg() - each * Decimal::from(n - 1)),
        false => Mass::kg(each),
    }
}
