//! How heavy the packs are to lift, and in how many drops they come.
//!
//! Given the packs; gives the heaviest lift against the filter of the guidance, and the drops. The filter is no safe limit,
//! and no weight is ever called safe here.

use super::finding::{Finding, Subject, Verdict, figure, formula, measured};
use crate::facts::FACTS;
use crate::model::Mass;
use crate::model::lift::{FilterColumn, Package, Reach, Zone, filter};
use crate::model::words::once;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::LazyLock;

static FILTER_CAUTION: LazyLock<String> = LazyLock::new(|| {
    format!(
        "A filter, not a safe limit. It holds for steady footing and up to about {}; a ladder is no place to carry loads.",
        FACTS.lift_rate
    )
});

/// The smallest filter of the heights that a lift crosses; every height counts where none is named.
pub fn filter_across(zones: &[Zone], reach: Reach, column: FilterColumn) -> (Zone, Mass) {
    let crossed = if zones.is_empty() { &Zone::ALL } else { zones };
    let each = crossed.iter().map(|&z| (z, filter(z, reach, column)));
    each.min_by_key(|(_, mass)| *mass).unwrap_or((Zone::AboveShoulder, filter(Zone::AboveShoulder, reach, column)))
}

/// How the packs are lifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LiftWay<'a> {
    /// Heights that the hands pass through; empty: all of them.
    pub zones: &'a [Zone],
    /// Close or at arm's length.
    pub reach: Reach,
    /// Whose column.
    pub column: FilterColumn,
}

/// Checks the heaviest pack against the filter; `None` where nothing is lifted. Inside the filter passes; over it a
/// proper assessment is wanted, and never more than that is said.
pub fn heaviest_lift(packages: &[Package], way: LiftWay<'_>) -> Option<Finding> {
    let lifted = || packages.iter().filter(|p| p.count > 0);
    let heaviest = lifted().max_by_key(|p| p.mass)?;
    let (zone, allowed) = filter_across(way.zones, way.reach, way.column);
    let named = |p: &Package| {
        let (name, wide) = in_short(&p.what);
        // Rolls of several widths are told apart.
        let other = |o: &Package| in_short(&o.what).0 == name && in_short(&o.what).1 != wide;
        let told = wide.filter(|_| lifted().any(|o| o.mass > allowed && other(o)));
        format!("{name}{}, {} kg", told.map_or_else(String::new, |w| format!(" {w}")), kilograms(p.mass))
    };
    // Topcoats of several colours read alike.
    let over = once(lifted().filter(|p| p.mass > allowed).map(named));
    let most = named(heaviest);
    let others: Vec<&str> = over.iter().map(String::as_str).filter(|told| *told != most).collect();
    let answer = if over.is_empty() {
        "Within the filter, which is no safe limit: watch posture, footing and how often.".to_owned()
    } else {
        let too = match others.as_slice() {
            [] => String::new(),
            all => format!("Over {} kg too: {}. ", kilograms(allowed), all.join("; ")),
        };
        format!("{too}Two people, a smaller pack, a hoist or a boarded scaffold.")
    };
    Some(Finding {
        id: "lift.heaviest".into(),
        kind: Subject::Lift,
        roof: None,
        subject: "heaviest lift".into(),
        verdict: if over.is_empty() { Verdict::Pass } else { Verdict::Refer },
        statement: format!(
            "Heaviest single lift: {}; the filter {} is {} kg. {answer}",
            most,
            zone.words(),
            kilograms(allowed)
        ),
        design: format!("filter {} kg, the smallest of the heights that the lift crosses", kilograms(allowed)),
        source: "HSE leaflet INDG143, revision 4 (2020), figures from memory".into(),
        caution: FILTER_CAUTION.as_str(),
        working: lifted().map(lift_step).collect(),
    })
}

/// A description up to its first comma, and how wide the thing is where that is said: the working gives it whole.
fn in_short(what: &str) -> (&str, Option<&str>) {
    let mut parts = what.split(',').map(str::trim);
    (parts.next().unwrap_or(what), parts.find(|part| part.ends_with(" wide")))
}

fn lift_step(package: &Package) -> Step {
    let text = format!("{} × {} of {} kg", package.count, package.what, kilograms(package.mass));
    formula(text, package.mass.as_kg() * Decimal::from(package.count), Unit::Kilogram)
}

fn kilograms(mass: Mass) -> String {
    figure(mass.as_kg(), 1)
}

/// What the whole order weighs.
pub fn order_weight(packages: &[Package]) -> Mass {
    packages.iter().map(|p| p.mass * Decimal::from(p.count)).sum()
}

/// In what the orders come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Vehicle<'a> {
    /// What it takes at once.
    pub payload: Mass,
    /// Each merchant and the drops of its order; `None` where one pack alone is too heavy. See [`drops`].
    pub drops: &'a [(&'a str, Option<usize>)],
}

/// How the orders come up: in how many drops of what the vehicle or hoist takes at once, where that is known, and in how
/// many loads of the filter a person would carry them. `None` where nothing is lifted.
pub fn loads(packages: &[Package], way: LiftWay<'_>, vehicle: Option<Vehicle<'_>>) -> Option<Finding> {
    let weight = order_weight(packages);
    let lifted = || packages.iter().filter(|p| p.count > 0);
    lifted().next()?;
    let (_, filter) = filter_across(way.zones, way.reach, way.column);
    let by_hand: Vec<Package> = lifted().filter(|p| p.mass <= filter).cloned().collect();
    let heavy: u32 = lifted().filter(|p| p.mass > filter).map(|p| p.count).sum();
    let loads = drops(&by_hand, filter).unwrap_or_default();
    let payload = vehicle.map(|v| v.payload);
    let (verdict, vehicle) = vehicle.map_or((Verdict::Pass, String::new()), by_vehicle);
    let mut working: Vec<Step> = lifted().map(lift_step).collect();
    working.push(formula("all together", weight.as_kg(), Unit::Kilogram));
    working.push(measured("filter of what one person carries", filter.as_kg(), Unit::Kilogram));
    working
        .extend(payload.map(|most| measured("what the vehicle or hoist takes at once", most.as_kg(), Unit::Kilogram)));
    Some(Finding {
        id: "lift.loads".into(),
        kind: Subject::Lift,
        roof: None,
        subject: "deliveries and loads".into(),
        verdict,
        statement: format!(
            "The order weighs {} kg.{vehicle} By hand it is at least {} of up to {} kg{}.",
            figure(weight.as_kg(), 0),
            counted(loads, "load"),
            kilograms(filter),
            match heavy {
                0 => String::new(),
                n => format!(", and {} heavier than that, for two people or a hoist", counted(n as usize, "pack")),
            }
        ),
        design: match payload {
            Some(most) => format!("{} kg at once by vehicle or hoist; no pack is split", kilograms(most)),
            None => "what one person carries at once; what the vehicle takes is not given".into(),
        },
        source: "first-fit decreasing; filter of HSE leaflet INDG143, revision 4 (2020), figures from memory".into(),
        caution: "Never load a vehicle, a hoist or a scaffold beyond its plate. Spread what is set down on the roof.",
        working,
    })
}

fn by_vehicle(vehicle: Vehicle<'_>) -> (Verdict, String) {
    let most = kilograms(vehicle.payload);
    let all: Option<usize> = vehicle.drops.iter().map(|(_, drops)| *drops).sum();
    let each = || {
        let from = |(merchant, drops): &(&str, Option<usize>)| format!("{} from {merchant}", drops.unwrap_or_default());
        vehicle.drops.iter().map(from).collect::<Vec<_>>().join(", ")
    };
    match (all, vehicle.drops.len()) {
        (None, _) => (Verdict::Fail, format!(" One pack alone is heavier than the {most} kg that are taken at once.")),
        (Some(1), _) => (Verdict::Pass, format!(" It comes in one delivery of at most {most} kg.")),
        (Some(n), 1) => (Verdict::Refer, format!(" At {most} kg at once it comes in {n} deliveries: order it so.")),
        (Some(n), merchants) if n == merchants => {
            (Verdict::Pass, format!(" It comes in one delivery of at most {most} kg from each merchant: {}.", each()))
        }
        (Some(n), _) => {
            (Verdict::Refer, format!(" At {most} kg at once it comes in {n} deliveries ({}): order it so.", each()))
        }
    }
}

fn counted(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// In how few drops an order comes when a vehicle or hoist carries so much: no pack is split, so a plain division does not
/// do; packs go, heaviest first, into the first drop with room (first-fit decreasing: at most 11/9 of the fewest, plus
/// 6/9; Dósa 2007). `None` where one pack alone is too heavy. Drops that are filled alike are kept as one, so that the
/// work grows with the kinds of pack and not with their number.
pub fn drops(packages: &[Package], payload: Mass) -> Option<usize> {
    let mut kinds: Vec<(Decimal, usize)> =
        packages.iter().filter(|p| p.mass > Mass::ZERO).map(|p| (p.mass.as_kg(), p.count as usize)).collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(*kind));
    let mut filled: Vec<Alike> = Vec::new();
    for (pack, count) in kinds.into_iter().filter(|kind| kind.1 > 0) {
        if pack > payload.as_kg() {
            return None;
        }
        let mut left = count;
        let mut next: Vec<Alike> = Vec::with_capacity(filled.len() + 2);
        for alike in filled {
            alike.take(pack, &mut left, &mut next);
        }
        Alike { room: payload.as_kg(), drops: left }.take(pack, &mut left, &mut next);
        // Those that nothing came into.
        next.retain(|alike| alike.room < payload.as_kg());
        filled = next;
    }
    Some(filled.iter().map(|alike| alike.drops).sum())
}

/// Which of each kind of pack come in which drop, counted from 1: packs go, in their order, one drop after the other, or, where that
/// takes more than `most`, into the first with room, so that what comes first in the list comes early; those of a kind that weigh less
/// than a tenth of a drop into one, where all still takes no more. `None` where it takes more, or one pack alone is too heavy.
pub fn in_drops(packages: &[Package], payload: Mass, most: usize) -> Option<Vec<Vec<(usize, u32)>>> {
    let ways = [(true, true), (false, true), (true, false), (false, false)];
    let filled = |(together, in_turn)| fill_drops(packages, payload, most, DropFilling { together, in_turn });
    ways.into_iter().find_map(filled)
}

/// How drops are filled.
#[derive(Clone, Copy)]
struct DropFilling {
    /// Light packs of a kind stay together.
    together: bool,
    /// None goes into a drop before the one that the last went into.
    in_turn: bool,
}

fn fill_drops(packages: &[Package], payload: Mass, most: usize, how: DropFilling) -> Option<Vec<Vec<(usize, u32)>>> {
    let mut rooms = vec![payload.as_kg(); most];
    let mut turn = 0;
    let placed = |package: &Package| {
        let (pack, mut left) = (package.mass.as_kg(), package.count);
        let mut parts = Vec::new();
        let all = pack * Decimal::from(left);
        let fits = |room: &Decimal| *room >= all;
        let whole =
            rooms[turn..].iter().position(fits).filter(|_| how.together && all * Decimal::TEN <= payload.as_kg());
        for (room, drop) in rooms.iter_mut().zip(1..).skip(turn + whole.unwrap_or_default()) {
            let fit = if pack.is_zero() { left } else { left.min(u32::try_from(holds(*room, pack)).unwrap_or(left)) };
            if fit > 0 {
                *room -= pack * Decimal::from(fit);
                left -= fit;
                parts.push((drop, fit));
            }
        }
        turn = parts.last().map(|(drop, _)| drop - 1).filter(|_| how.in_turn).unwrap_or(turn);
        (left == 0).then_some(parts)
    };
    packages.iter().map(placed).collect()
}

/// Drops, one after the other, in which the same is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Alike {
    /// What each still takes, kg.
    room: Decimal,
    /// How many.
    drops: usize,
}

impl Alike {
    /// Puts as many packs of one mass into them as there are, each into the first with room; then come those that are full of
    /// them, the one in which the last lie, and those that take none.
    fn take(self, pack: Decimal, left: &mut usize, then: &mut Vec<Alike>) {
        if *left == 0 || self.room < pack {
            return then.push(self);
        }
        let each = holds(self.room, pack).min(*left);
        let full = (*left / each).min(self.drops);
        *left -= full * each;
        let rest = if full < self.drops { std::mem::take(left) } else { 0 };
        let with = |packs: usize| self.room - pack * Decimal::from(packs);
        let parts = [
            Alike { room: with(each), drops: full },
            Alike { room: with(rest), drops: usize::from(rest > 0) },
            Alike { room: self.room, drops: self.drops - full - usize::from(rest > 0) },
        ];
        then.extend(parts.into_iter().filter(|alike| alike.drops > 0));
    }
}

/// How many packs of one mass a room holds, kg; exact where the quotient was rounded.
fn holds(room: Decimal, pack: Decimal) -> usize {
    let about = (room / pack).floor();
    let fits = |n: Decimal| n * pack <= room;
    let exact = [about + Decimal::ONE, about].into_iter().find(|&n| fits(n)).unwrap_or(about - Decimal::ONE);
    exact.to_usize().unwrap_or(usize::MAX)
}
