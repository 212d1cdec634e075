//! What is lifted: the heaviest pack of the orders against the filter, and what the orders weigh.
//!
//! Given the orders as they are bought; gives the findings of `takeoff::loads` on their packs. A pack whose mass no book
//! gives cannot be judged, and is counted.

use super::{Order, OrderLine};
use crate::checks::finding::Finding;
use crate::checks::loads::{self, LiftWay};
use crate::model::Mass;
use crate::model::lift::{Lift, Package};
use rust_decimal::Decimal;

/// The heaviest lift of all orders, and their drops and loads; empty where no pack has a mass.
pub(super) fn findings(orders: &[Order], lift: Option<&Lift>) -> Vec<Finding> {
    let usual = Lift::default();
    let lift = lift.unwrap_or(&usual);
    let needed: Vec<&OrderLine> = orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional).collect();
    let packages: Vec<Package> = needed.iter().filter_map(|l| package(l)).collect();
    let way = LiftWay { zones: &lift.zones, reach: lift.reach, column: lift.column };
    let unknown = needed.len() - packages.len();
    let heaviest = loads::heaviest_lift(&packages, way);
    let loads = loads::loads(&packages, way, lift.payload).map(|f| without(f, unknown));
    heaviest.into_iter().chain(loads).collect()
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
