//! What is lifted: the heaviest pack of the orders against the filter, and what the orders weigh.
//!
//! Given the orders as they are bought; gives the findings of `takeoff::loads` on their packs. A pack whose mass no book
//! gives cannot be judged, and is counted.

use super::{Order, OrderLine};
use crate::model::Mass;
use crate::model::lift::{Lift, Package};
use crate::takeoff::Finding;
use crate::takeoff::finding::figure;
use crate::takeoff::loads::{self, LiftWay};
use rust_decimal::Decimal;

/// The heaviest lift of all orders; empty where no pack has a mass.
pub(super) fn findings(orders: &[Order], lift: Option<&Lift>) -> Vec<Finding> {
    let usual = Lift::default();
    let lift = lift.unwrap_or(&usual);
    let needed: Vec<&OrderLine> = orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional).collect();
    let packages: Vec<Package> = needed.iter().filter_map(|l| package(l)).collect();
    let way = LiftWay { zones: &lift.zones, reach: lift.reach, column: lift.column };
    let unknown = needed.len() - packages.len();
    let weight = loads::order_weight(&packages);
    loads::heaviest_lift(&packages, way).map(|f| with_order(f, weight, unknown)).into_iter().collect()
}

fn package(line: &OrderLine) -> Option<Package> {
    let count = u32::try_from(line.quantity).ok().filter(|n| *n > 0)?;
    let mass = Mass::kg(line.mass?.as_kg() / Decimal::from(count));
    Some(Package { what: format!("{}, {}", line.description, line.pack), mass, count })
}

fn with_order(finding: Finding, weight: Mass, unknown: usize) -> Finding {
    let without = match unknown {
        0 => String::new(),
        1 => ", one article without a weight not counted".to_owned(),
        n => format!(", {n} articles without a weight not counted"),
    };
    let statement = format!("{} The whole order weighs {} kg{without}.", finding.statement, figure(weight.as_kg(), 0));
    Finding { statement, ..finding }
}
