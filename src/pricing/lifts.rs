//! What is lifted: the heaviest pack of the orders against the filter, and what the orders weigh.
//!
//! Given the orders as they are bought; gives their drops, which packs come in which, and the findings of `checks::loads` on their packs.
//! A pack whose mass no book gives cannot be judged, and is counted.

use super::{Drops, Order, OrderLine};
use crate::checks::finding::Finding;
use crate::checks::loads::{self, LiftWay, Vehicle};
use crate::model::lift::{Lift, Package};
use crate::model::role::RoleGroup;
use crate::model::{Mass, Role};
use crate::programme::{BoardsBegun, Day, LabourPart, Programme, Stop};
use crate::takeoff::quantities::line::Share;
use crate::works::{Operation, WorkKind};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// In how many drops each order comes, where it is known what the vehicle takes; the order and the method statement
/// both read it here.
pub(super) fn count_drops(orders: &mut [Order], lift: Option<&Lift>) {
    let Some(payload) = lift.and_then(|l| l.payload) else { return };
    for order in orders {
        let packages: Vec<Package> = needed(order).filter_map(package).collect();
        // Goods without a weight come in one drop at least.
        order.drops = match loads::drops(&packages, payload) {
            Some(n) => Drops::Known(n.max(1)),
            None => Drops::TooHeavy,
        };
    }
}

/// The loads of an order that comes in several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loads {
    /// Of each line, in which loads, counted from 1, so many packs come.
    pub of_lines: Vec<Vec<(usize, u32)>>,
    /// Of each load the day on site, counted from 1, that wants the first of its packs.
    pub wanted: Vec<u32>,
}

/// Which packs of an order come in which load, where it comes in several: what a day wants comes in a load before it, of one day's goods
/// what is used first, so that resin comes late. `None` where one load will do, or where packs in that order take one more.
pub fn loads_of(order: &Order, lift: Option<&Lift>, programme: &Programme) -> Option<Loads> {
    let most = order.drops.count().filter(|n| *n > 1)?;
    let payload = lift?.payload?;
    let needed = order.lines.iter().enumerate().filter(|(_, line)| !line.optional);
    let mut days = DaysWanted { programme, known: BTreeMap::new() };
    let mut batches: Vec<Batch> = needed.flat_map(|(n, line)| batches(n, line, payload, &mut days)).collect();
    batches.sort_by_key(|batch| {
        let OrderLine { group, role, .. } = &order.lines[batch.line];
        // Firrings and noggins are fixed before a board is laid.
        (batch.day, NEEDED.iter().position(|needed| needed.words() == *group), matches!(role, Role::Board(_)))
    });
    let packs: Vec<Package> = batches.iter().map(|batch| batch.package(&order.lines[batch.line])).collect();
    let found = loads::in_drops(&packs, payload, most)?;
    let mut all = Loads { of_lines: vec![Vec::new(); order.lines.len()], wanted: vec![u32::MAX; most] };
    for (batch, parts) in batches.iter().zip(found) {
        for (load, packs) in parts {
            all.wanted[load - 1] = all.wanted[load - 1].min(batch.day);
            let line = &mut all.of_lines[batch.line];
            match line.iter_mut().find(|(other, _)| *other == load) {
                Some((_, count)) => *count += packs,
                None => line.push((load, packs)),
            }
        }
    }
    all.of_lines.iter_mut().for_each(|line| line.sort_unstable());
    // A load that nothing came into is wanted with the others.
    all.wanted.iter_mut().filter(|day| **day == u32::MAX).for_each(|day| *day = 1);
    Some(all)
}

/// Packs of one line that one day wants before any later one does.
struct Batch {
    line: usize,
    day: u32,
    packs: u32,
}

impl Batch {
    fn package(&self, line: &OrderLine) -> Package {
        let mass = package(line).map_or(Mass::ZERO, |all| all.mass);
        Package { what: line.description.clone(), mass, count: self.packs }
    }
}

/// The packs of a line, day by day.
fn batches<'a>(n: usize, line: &'a OrderLine, payload: Mass, days: &mut DaysWanted<'a>) -> Vec<Batch> {
    let count = u32::try_from(line.quantity).unwrap_or(u32::MAX);
    let mut by_day: BTreeMap<u32, Decimal> = BTreeMap::new();
    for share in &line.shares {
        for (day, part) in days.of(share, follows(line)) {
            *by_day.entry(*day).or_default() += *part * share.weight;
        }
    }
    let (first, all) = (by_day.keys().next().copied().unwrap_or(1), by_day.values().sum::<Decimal>());
    // What weighs little is not parted, unless it must be fresh.
    let is_light = line.mass.is_none_or(|mass| mass.as_kg() * Decimal::TEN <= payload.as_kg());
    let to_spare = match follows(line) {
        Follows::Roofs if !is_light => 1,
        Follows::Days => 0,
        _ => return vec![Batch { line: n, day: first, packs: count }],
    };
    let (mut so_far, mut before) = (Decimal::ZERO, 0);
    let mut parted = Vec::new();
    for (day, weight) in by_day {
        so_far += weight;
        let part = if so_far >= all { Decimal::ONE } else { so_far / all };
        let want = (part * Decimal::from(count)).ceil() + Decimal::from(to_spare);
        let upto = u32::try_from(want).unwrap_or(u32::MAX).min(count);
        if upto > before {
            parted.push(Batch { line: n, day, packs: upto - before });
            before = upto;
        }
    }
    parted
}

/// How goods follow the days.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Follows {
    /// All of them are there on the first day that takes any: they are cut by one plan over all roofs, or are small.
    First,
    /// What a roof takes is there on its first day, and one pack over: what is left of one may be used on the next roof. Its boards are
    /// there on the days that begin them.
    Roofs,
    /// What a day takes is there on that day: they keep badly.
    Days,
}

fn follows(line: &OrderLine) -> Follows {
    match line.role {
        Role::Board(_) | Role::Insulation(_) | Role::Mat(_) => Follows::Roofs,
        _ if line.group == RoleGroup::ResinAndTopcoat.words() => Follows::Days,
        _ => Follows::First,
    }
}

/// What is for a work on a roof, or on the whole job, and how it follows the days.
type WantedFor<'a> = (WorkKind, Option<&'a str>, Follows);

/// Which days want what is for the works on the roofs, each found once.
struct DaysWanted<'a> {
    programme: &'a Programme,
    known: BTreeMap<WantedFor<'a>, Vec<(u32, Decimal)>>,
}

impl<'a> DaysWanted<'a> {
    fn of(&mut self, share: &'a Share, follows: Follows) -> &[(u32, Decimal)] {
        let place = (share.work, share.roof.as_deref(), follows);
        self.known.entry(place).or_insert_with(|| wanted(share, follows, self.programme))
    }
}

/// The days that want some of what is for one work on one roof, with the part of it: the days that open the roof where it is opened by
/// days, else the first on which the work is done.
fn wanted(share: &Share, follows: Follows, programme: &Programme) -> Vec<(u32, Decimal)> {
    let whole = |day: u32| vec![(day, Decimal::ONE)];
    if share.work.operation() < Operation::Topcoat {
        let opened: Vec<&Stop> =
            programme.stops.iter().filter(|stop| Some(&stop.roof) == share.roof.as_ref()).collect();
        let all: Decimal = opened.iter().map(|stop| stop.opened.square_metres()).sum();
        match opened.iter().map(|stop| stop.first_day).min() {
            Some(_) if follows == Follows::Days && !all.is_zero() => {
                return opened.iter().map(|stop| (stop.first_day, stop.opened.square_metres() / all)).collect();
            }
            Some(first) => return by_boards(share.work, follows, &opened).unwrap_or_else(|| whole(first)),
            None => {}
        }
    }
    let is_it = |part: &LabourPart| {
        part.work == share.work && (part.roof.is_none() || share.roof.is_none() || part.roof == share.roof)
    };
    let does = |day: &&Day| programme.works_on(day).any(|work| work.parts.iter().any(is_it));
    // What no hours are booked for is there from the start.
    whole(programme.days.iter().find(does).map_or(1, |day| day.number))
}

/// The days that begin boards of a roof, each with its part of them.
fn by_boards(work: WorkKind, follows: Follows, opened: &[&Stop]) -> Option<Vec<(u32, Decimal)>> {
    let count: fn(&BoardsBegun) -> usize = match work {
        WorkKind::NewDeck | WorkKind::OverlayDeck => |begun| begun.deck,
        WorkKind::Insulation => |begun| begun.insulation,
        WorkKind::BoardOver => |begun| begun.over,
        _ => return None,
    };
    let opened = || opened.iter().filter(|stop| follows == Follows::Roofs && !stop.box_gutters);
    let all = opened().map(|stop| count(&stop.begun)).max().filter(|all| *all > 0)?;
    let parts = opened().scan(0, |before, stop| {
        let new = count(&stop.begun).saturating_sub(*before);
        *before += new;
        Some((stop.first_day, Decimal::from(new) / Decimal::from(all)))
    });
    Some(parts.filter(|(_, part)| !part.is_zero()).collect())
}

/// Groups in the order in which a roof takes them: tools, sheets and fixings are wanted with the first boards.
const NEEDED: [RoleGroup; 9] = [
    RoleGroup::ToolsAndSundries,
    RoleGroup::FixingsAndAdhesive,
    RoleGroup::BoardsAndTimber,
    RoleGroup::Trims,
    RoleGroup::ForThisJob,
    RoleGroup::MatAndBandage,
    RoleGroup::ResinAndTopcoat,
    RoleGroup::FlashingsAndDrainage,
    RoleGroup::MortarAndDpc,
];

/// The heaviest lift of all orders, and their drops and loads; empty where no pack has a mass.
pub(super) fn findings(orders: &[Order], lift: Option<&Lift>) -> Vec<Finding> {
    let usual = Lift::default();
    let lift = lift.unwrap_or(&usual);
    let needed: Vec<&OrderLine> = orders.iter().flat_map(needed).collect();
    let packages: Vec<Package> = needed.iter().filter_map(|l| package(l)).collect();
    let way = LiftWay { zones: &lift.zones, reach: lift.reach, column: lift.column };
    let unknown = needed.len() - packages.len();
    let heaviest = loads::heaviest_lift(&packages, way);
    let drops: Vec<(&str, Option<usize>)> =
        orders.iter().map(|o| (o.merchant.name.as_str(), o.drops.count())).collect();
    let vehicle = lift.payload.map(|payload| Vehicle { payload, drops: &drops });
    let loads = loads::loads(&packages, way, vehicle).map(|f| without(f, unknown));
    heaviest.into_iter().chain(loads).collect()
}

fn needed(order: &Order) -> impl Iterator<Item = &OrderLine> {
    order.lines.iter().filter(|l| !l.optional)
}

fn package(line: &OrderLine) -> Option<Package> {
    let count = u32::try_from(line.quantity).ok().filter(|n| *n > 0)?;
    let mass = Mass::kg(line.mass?.as_kg() / Decimal::from(count));
    Some(Package { what: format!("{}, {}", line.description, line.pack), mass, count })
}

fn without(finding: Finding, unknown: usize) -> Finding {
    let words = match unknown {
        0 => return finding,
        1 => "One article without a weight is not counted.".to_owned(),
        n => format!("{n} articles without a weight are not counted."),
    };
    Finding { statement: format!("{} {words}", finding.statement), ..finding }
}
