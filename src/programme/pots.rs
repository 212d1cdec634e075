//! Pots: how much resin is mixed at once, and which strips each pot lays.
//!
//! Given the gel time, the crew's laying rate and the strips in laying order; gives numbered pots with kilograms of
//! resin and millilitres of catalyst. A pot lays whole strips where it can; a strip that is too heavy for one pot is
//! shared evenly among several. No pot goes from one day, roof, layer or coat to another. The shortest gel time of the stated
//! temperatures counts, and the catalyst is given for every row of the card that they touch: on the day the thermometer
//! says which.

use super::between::CoatPart;
use super::dose::{dose, is_worked_in, row_at, touches};
use super::gel::{self, GelTime};
use super::{Day, MixDose};
use crate::model::limits::{self, Most};
use crate::model::problem::Source;
use crate::model::rules::Dose;
use crate::model::{Area, LineId, Mass, Problem, Range, Rules};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::MatPiece;
use crate::takeoff::layout::box_gutter::GutterMat;
use crate::takeoff::layout::patches::{OldRoofLayout, PatchLayout};
use crate::takeoff::quantities::line::Line;
use crate::takeoff::quantities::resin::RESIN;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// What part of a strip a pot lays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PotPart {
    /// The roof.
    pub roof: String,
    /// The strip's mark on the mat drawing.
    pub mark: String,
    /// Which share of it, counting from 1: (1, 2) is the first of two.
    pub share: (u32, u32),
    /// The mark is a patch's in an old laminate, with its layer: `P1, layer 2`.
    pub patch: bool,
    /// Of the topcoat, which coat it is; of mat, none.
    pub coat: Option<PotCoat>,
    /// The day on which it is laid, where not all is laid, or coated, on the same.
    pub day: Option<u32>,
}

/// Which coat of topcoat a pot lays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotCoat {
    /// The only one on the roof.
    Only,
    /// The one below that with aggregate.
    First,
    /// The one into which aggregate is strewn.
    Strewn,
    /// That of a box gutter.
    BoxGutter,
    /// The square metre of an old laminate that is coated first.
    Trial,
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
    /// Catalyst, to the nearest ml, for each of [`PotPlan::doses`].
    pub catalyst_ml: Vec<Decimal>,
}

impl Pot {
    /// The day on which it is laid, where not all is laid, or coated, on the same.
    pub fn day(&self) -> Option<u32> {
        self.parts.iter().find_map(|part| part.day)
    }

    /// Whether it is for a square metre of an old laminate that is coated first.
    pub fn is_trial(&self) -> bool {
        self.parts.iter().any(|part| part.coat == Some(PotCoat::Trial))
    }
}

/// What the pots take in one row of the card that the stated temperatures touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PotDose {
    /// From this air temperature, °C.
    pub from: Decimal,
    /// To this one.
    pub to: Decimal,
    /// The laminate's dose.
    pub laminate: MixDose,
    /// The topcoat's dose.
    pub topcoat: MixDose,
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
    /// The doses of every row that the temperatures touch, the coldest first.
    pub doses: Vec<PotDose>,
    /// Pots for the mat, in laying order.
    pub pots: Vec<Pot>,
    /// Resin of all pots for the mat.
    pub resin: Mass,
    /// Laminating resin that the take-off asks for, with what bare boards, bandage and buckets take.
    pub ordered: Mass,
    /// Pots for the topcoat.
    pub topcoat: Vec<Pot>,
}

/// Plans the pots; `None` where the catalyst table has no dose for any stated temperature, where the density is not a
/// catalyst's, or where the rules leave no pot at all or more than anybody mixes ([`problem`] tells it). `days` say when each strip is laid,
/// `coated` what is coated when, where not all roofs are coated together.
pub fn plan(
    take_off: &TakeOff,
    rules: &Rules,
    density: Decimal,
    air: Option<Range>,
    days: &[Day],
    coated: &[CoatPart],
) -> Option<PotPlan> {
    let rows = touched(rules, air);
    let (temperature, gel) = shortest(rules, &rows)?;
    let (size, why) = size(rules, &gel);
    if size <= Mass::ZERO || density <= Decimal::ONE {
        return None;
    }
    let doses: Vec<PotDose> = rows.iter().map(|(row, _)| pot_dose(row, density)).collect();
    let (strips, coats) = (strips(take_off, rules, days), topcoat(take_off, coated));
    if count(&strips, size) + count(&coats, size) > Decimal::from(limits::POTS.most) {
        return None;
    }
    let pots = group(strips, size, &doses.iter().map(|d| d.laminate).collect::<Vec<_>>());
    Some(PotPlan {
        temperature,
        assumed: air.is_none(),
        gel,
        size,
        why,
        resin: pots.iter().map(|p| p.resin).sum(),
        pots,
        ordered: resin_lines(take_off),
        topcoat: group(coats, size, &doses.iter().map(|d| d.topcoat).collect::<Vec<_>>()),
        doses,
    })
}

fn pot_dose(row: &Dose, density: Decimal) -> PotDose {
    let (laminate, topcoat) = (dose(row.laminate, density), dose(row.topcoat, density));
    PotDose { from: row.from, to: row.to, laminate, topcoat }
}

/// At most so many pots: shares of a part that is over the size, one for every other part.
fn count(portions: &[Portion], size: Mass) -> Decimal {
    portions.iter().map(|p| (p.mass.as_kg() / size.as_kg()).ceil().max(Decimal::ONE)).sum()
}

/// Tells a job whose pots nobody could mix.
pub fn problem(take_off: &TakeOff, rules: &Rules, air: Option<Range>) -> Option<Problem> {
    let (_, gel) = shortest(rules, &touched(rules, air))?;
    let (size, why) = size(rules, &gel);
    let Most { what, most } = limits::POTS;
    let fault = if size <= Mass::ZERO {
        "no pot can be laid within its gel time".to_owned()
    } else {
        let pots = count(&strips(take_off, rules, &[]), size) + count(&topcoat(take_off, &[]), size);
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

/// The rows of the table that the stated temperatures touch, 20 °C where none was stated, each with what its pot is worked
/// for: all of the row up to its warm end, as on the mix card, so that the pot is the smallest of those that the card names.
/// What lies outside the table has no row, and is told where it is looked at; a row that the firm's limits forbid is none.
fn touched(rules: &Rules, air: Option<Range>) -> Vec<(Dose, Range)> {
    let air = air.unwrap_or(Range::exactly(Decimal::from(20)));
    let last = rules.catalyst.len().saturating_sub(1);
    let rows = rules.catalyst.iter().enumerate().filter(|(i, row)| touches(row, *i == last, air));
    let allowed = rows.map(|(_, row)| row).filter(|row| is_worked_in(rules, row));
    allowed.map(|row| (*row, Range { low: air.low.max(row.from), high: row.to })).collect()
}

/// Where in these rows the resin gels soonest: at an end of the row, where the dose changes, or at one of the data sheet's
/// temperatures.
fn shortest(rules: &Rules, rows: &[(Dose, Range)]) -> Option<(Decimal, GelTime)> {
    let at = |(row, part): &(Dose, Range)| {
        let points = rules.gel_points.iter().map(|p| p.temperature).filter(|t| part.low < *t && *t < part.high);
        let looked_at: Vec<Decimal> = [part.low, part.high].into_iter().chain(points).collect();
        let row = *row;
        looked_at.into_iter().map(move |t| (t, gel_at(rules, t, &row)))
    };
    rows.iter().flat_map(at).min_by(|a, b| a.1.minutes.cmp(&b.1.minutes).then(b.0.cmp(&a.0)))
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

/// Added to the layers of a box gutter's lining, so that no pot goes from it to the roof's.
const LINING: usize = 1 << 16;

/// Resin that a piece of mat takes: area as laid × weight × (1 − g)/g, with g the glass by mass.
fn resin_of(area: Area, weight: u32, rules: &Rules) -> Mass {
    let glass = area.square_metres() * Decimal::from(weight) / Decimal::ONE_THOUSAND;
    Mass::kg(glass * (Decimal::ONE - rules.glass_fraction) / rules.glass_fraction.max(Decimal::new(1, 2)))
}

/// Something that pots lay.
struct Portion {
    part: PotPart,
    mass: Mass,
    /// The roof and the layer, or the coat.
    stage: (usize, usize),
    /// It is laid together with the portion before it, out of one pot where that holds both.
    together: bool,
}

/// A roof's layer, or coat, of one day: no pot goes from one to another.
type Bed = ((usize, usize), Option<u32>);

impl Portion {
    fn bed(&self) -> Bed {
        (self.stage, self.part.day)
    }
}

/// The strips in the order of laying, day by day: of each roof first those that line its box gutters.
fn strips(take_off: &TakeOff, rules: &Rules, days: &[Day]) -> Vec<Portion> {
    let strips = days.iter().flat_map(|day| day.strips.iter().map(move |s| ((&*s.roof, &*s.mark), day.number)));
    let of_strip: BTreeMap<(&str, &str), u32> = strips.collect();
    let of_roof = |(i, roof): (usize, &crate::takeoff::layout::RoofLayout)| {
        let part = |mark: &str| PotPart {
            roof: roof.shape.name.clone(),
            mark: mark.to_owned(),
            share: (1, 1),
            patch: false,
            coat: None,
            day: of_strip.get(&(&*roof.shape.name, mark)).copied(),
        };
        let lining = |p: &GutterMat| Portion {
            part: part(&p.mark),
            mass: resin_of(p.length * p.width, roof.mat.weight, rules),
            stage: (i, LINING + p.layer),
            together: false,
        };
        let mut pieces: Vec<&MatPiece> = roof.mat.pieces.iter().collect();
        pieces.sort_by_key(|p| p.order);
        let portion = |p: &MatPiece| Portion {
            part: part(&p.mark),
            mass: resin_of(p.net, roof.mat.weight, rules),
            stage: (i, p.layer),
            together: p.together.is_some(),
        };
        let lined = roof.box_gutters.iter().flat_map(|g| &g.mat).map(lining);
        lined.chain(pieces.into_iter().map(portion)).collect::<Vec<_>>()
    };
    let mut laid: Vec<Portion> = take_off.roofs.iter().enumerate().flat_map(of_roof).collect();
    laid.sort_by_key(|portion| portion.part.day);
    let laid = laid.into_iter();
    laid.chain(take_off.old_roofs.iter().flat_map(|roof| patches(roof, take_off.roofs.len(), rules))).collect()
}

/// The patches of an old laminate, layer upon layer, so that what was laid first is hard enough for the next.
fn patches(roof: &OldRoofLayout, after: usize, rules: &Rules) -> Vec<Portion> {
    let layers = roof.patches.iter().map(|p| p.layers.len()).max().unwrap_or(0);
    let of_layer = |layer: usize| {
        let portion = move |p: &PatchLayout| {
            let area: Area = p.mat.iter().filter(|m| m.layer == layer).map(|m| m.length * m.width).sum();
            let mark = format!("{}, layer {}", p.mark, layer + 1);
            let part = PotPart { roof: roof.name.clone(), mark, share: (1, 1), patch: true, coat: None, day: None };
            let stage = (after + roof.index, layer);
            (area > Area::ZERO).then(|| Portion { part, mass: resin_of(area, roof.mat, rules), stage, together: false })
        };
        roof.patches.iter().filter_map(portion)
    };
    (0..layers).flat_map(of_layer).collect()
}

/// The coats in the order of mixing: day by day where not all roofs are coated together.
fn topcoat(take_off: &TakeOff, coated: &[CoatPart]) -> Vec<Portion> {
    let lines = take_off
        .lines
        .iter()
        .filter(|l| matches!(l.id, LineId::TopcoatMass | LineId::SurfaceTopcoat | LineId::BoxTopcoat));
    let strewn = |line: &Line| take_off.lines.iter().any(|l| l.id == LineId::SurfaceTopcoat && l.roof == line.roof);
    let coat = |line: &Line| match line.id {
        LineId::SurfaceTopcoat => PotCoat::Strewn,
        LineId::BoxTopcoat => PotCoat::BoxGutter,
        _ if strewn(line) => PotCoat::First,
        _ => PotCoat::Only,
    };
    let portion = |(i, line): (usize, &Line), day: Option<u32>, quantity: Decimal| Portion {
        part: PotPart {
            roof: line.roof.clone().unwrap_or_default(),
            mark: String::new(),
            share: (1, 1),
            patch: false,
            coat: Some(coat(line)),
            day,
        },
        mass: Mass::kg(quantity),
        stage: (i, 0),
        together: false,
    };
    let of_line = |at: (usize, &Line)| {
        let line = at.1;
        let of_roof: Vec<&CoatPart> = coated.iter().filter(|c| line.roof.as_ref() == Some(&c.roof)).collect();
        match (line.id, of_roof.as_slice()) {
            (LineId::TopcoatMass, []) => with_trial(portion(at, None, line.quantity), take_off),
            (LineId::TopcoatMass, [all]) => with_trial(portion(at, Some(all.day), line.quantity), take_off),
            (LineId::SurfaceTopcoat, _) | (_, []) => vec![portion(at, None, line.quantity)],
            (LineId::BoxTopcoat, parts) => {
                let with = parts.iter().find(|part| part.box_gutters);
                vec![portion(at, with.map(|part| part.day), line.quantity)]
            }
            (_, [before @ .., last]) => {
                let each: Vec<Decimal> = before.iter().map(|c| (line.quantity * c.share).round_dp(6)).collect();
                // The last takes what is left, so that they add up.
                let rest = (last, line.quantity - each.iter().sum::<Decimal>());
                let parts = before.iter().zip(each).chain([rest]);
                let parts = parts.filter(|(_, quantity)| *quantity > Decimal::ZERO);
                parts.map(|(c, quantity)| portion(at, Some(c.day), quantity)).collect()
            }
        }
    };
    let mut portions: Vec<Portion> = lines.enumerate().flat_map(of_line).collect();
    // A box gutter is coated before the roof behind it is wet.
    let place = |roof: &str| take_off.roofs.iter().position(|r| r.shape.name == roof).unwrap_or(usize::MAX);
    // Every trial is hard before anything is coated on the day of its roof.
    let after = |p: &Portion| {
        let (trial, gutter) = (p.part.coat == Some(PotCoat::Trial), p.part.coat == Some(PotCoat::BoxGutter));
        let of_roof = || coated.iter().find(|c| trial && c.roof == p.part.roof).map(|c| c.day);
        (p.part.day.or_else(of_roof).unwrap_or(u32::MAX), !trial, place(&p.part.roof), !gutter)
    };
    portions.sort_by_key(after);
    portions
}

/// A roof's coat, parted where a square metre of an old laminate goes first: that has a pot of its own, on an earlier day.
fn with_trial(coat: Portion, take_off: &TakeOff) -> Vec<Portion> {
    let Some(first) = trial_of(coat.mass.as_kg(), &coat.part.roof, take_off) else { return vec![coat] };
    let trial = Portion {
        part: PotPart { coat: Some(PotCoat::Trial), day: None, ..coat.part.clone() },
        mass: Mass::kg(first),
        stage: (coat.stage.0, 1),
        together: false,
    };
    let rest = Mass::kg(coat.mass.as_kg() - first);
    vec![trial, Portion { mass: rest, ..coat }]
}

/// What of the topcoat of a roof goes on the square metre that is coated first, kg.
pub fn trial_of(coat: Decimal, roof: &str, take_off: &TakeOff) -> Option<Decimal> {
    let of_roof = |id: LineId| {
        let line = take_off.lines.iter().find(|l| l.id == id && l.roof.as_deref() == Some(roof));
        line.map(|l| l.quantity)
    };
    let face = of_roof(LineId::RecoatFace).filter(|face| *face > Decimal::ONE)?;
    Some((coat * of_roof(LineId::RecoatTrials)?.min(face) / face).round_dp(6))
}

/// Laminating resin over all lines of the take-off.
fn resin_lines(take_off: &TakeOff) -> Mass {
    take_off.lines.iter().filter(|l| RESIN.contains(&l.id)).map(|l| Mass::kg(l.quantity)).sum()
}

/// Whole portions to a pot in their order, as many as it holds; one over the size is shared evenly. What is laid together
/// goes into one pot where it fits.
fn group(portions: Vec<Portion>, size: Mass, doses: &[MixDose]) -> Vec<Pot> {
    let mut pots: Vec<Pot> = Vec::new();
    // That of the pot that is open, if one is.
    let mut open: Option<Bed> = None;
    for unit in units(portions, size) {
        let mass: Mass = unit.iter().map(|p| p.mass).sum();
        let Some(first) = unit.first() else { continue };
        let bed = first.bed();
        let shares = (mass.as_kg() / size.as_kg()).ceil().max(Decimal::ONE);
        let n = u32::try_from(shares).unwrap_or(u32::MAX);
        match pots.last_mut().filter(|p| open == Some(bed) && n == 1 && p.resin + mass <= size) {
            Some(pot) => {
                pot.parts.extend(unit.into_iter().map(|p| p.part));
                pot.resin += mass;
            }
            None => pots.extend((1..=n).map(|i| Pot {
                number: 0,
                parts: unit.iter().map(|p| PotPart { share: (i, n), ..p.part.clone() }).collect(),
                resin: share_of(mass, i, n),
                catalyst_ml: Vec::new(),
            })),
        }
        open = (n == 1).then_some(bed);
    }
    for (pot, number) in pots.iter_mut().zip(1..) {
        pot.number = number;
        pot.catalyst_ml = doses.iter().map(|dose| (pot.resin.as_kg() * dose.ml_per_kg).round()).collect();
    }
    pots
}

/// Portions one by one, those laid together as one where a pot holds them.
fn units(portions: Vec<Portion>, size: Mass) -> Vec<Vec<Portion>> {
    let mut units: Vec<Vec<Portion>> = Vec::new();
    for portion in portions {
        let fits = |unit: &&mut Vec<Portion>| {
            let mass: Mass = unit.iter().map(|p| p.mass).sum();
            portion.together && mass + portion.mass <= size && unit.iter().all(|p| p.bed() == portion.bed())
        };
        match units.last_mut().filter(fits) {
            Some(unit) => unit.push(portion),
            None => units.push(vec![portion]),
        }
    }
    units
}

/// Share `i` of `n`; the last takes what is left, so that the shares add up.
fn share_of(mass: Mass, i: u32, n: u32) -> Mass {
    let each = (mass.as_kg() / Decimal::from(n)).round_dp(6);
    match i == n {
        true => Mass::kg(mass.as_kg() - each * Decimal::from(n - 1)),
        false => Mass::kg(each),
    }
}
