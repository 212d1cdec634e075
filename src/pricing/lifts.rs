//! What is lifted: the heaviest pack of the orders against the filter, and what the orders weigh.
//!
//! Given the orders as they are bought; gives their drops and the findings of `checks::loads` on their packs. A pack whose mass no book
//! gives cannot be judged, and is counted.

use super::{Drops, Order, OrderLine};
use crate::checks::finding::Finding;
use crate::checks::loads::{self, LiftWay, Vehicle};
use crate::model::lift::{Lift, Package};
use crate::model::role::RoleGroup;
use crate::model::{Mass, Role};
use rust_decimal::Decimal;

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

/// In which drops, counted from 1, the packs of each line of an order come, where it comes in several: what is used first comes
/// first. `None` where one will do, or where packs in that order take a drop more.
pub fn by_drop(order: &Order, lift: Option<&Lift>) -> Option<Vec<Vec<(usize, u32)>>> {
    let most = order.drops.count().filter(|n| *n > 1)?;
    let mut lines: Vec<usize> = (0..order.lines.len()).filter(|n| !order.lines[*n].optional).collect();
    lines.sort_by_key(|n| {
        let OrderLine { group, role, .. } = &order.lines[*n];
        // Firrings and noggins are fixed before a board is laid.
        (NEEDED.iter().position(|needed| needed.words() == *group), matches!(role, Role::Board(_)))
    });
    let weightless = |line: &OrderLine| {
        let count = u32::try_from(line.quantity).unwrap_or(u32::MAX);
        Package { what: line.description.clone(), mass: Mass::ZERO, count }
    };
    let pack = |n: &usize| package(&order.lines[*n]).unwrap_or_else(|| weightless(&order.lines[*n]));
    let packs: Vec<Package> = lines.iter().map(pack).collect();
    let found = loads::in_drops(&packs, lift?.payload?, most)?;
    let mut all = vec![Vec::new(); order.lines.len()];
    for (line, parts) in lines.into_iter().zip(found) {
        all[line] = parts;
    }
    Some(all)
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
