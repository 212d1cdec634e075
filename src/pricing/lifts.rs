//! What is lifted: the heaviest pack of the orders against the filter, and what the orders weigh.
//!
//! Given the orders as they are bought; gives their drops and the findings of `checks::loads` on their packs. A pack whose mass no book
//! gives cannot be judged, and is counted.

use super::{Drops, Order, OrderLine};
use crate::checks::finding::Finding;
use crate::checks::loads::{self, LiftWay, Vehicle};
use crate::model::Mass;
use crate::model::lift::{Lift, Package};
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
