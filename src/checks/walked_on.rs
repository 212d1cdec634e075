//! What has to be asked of a roof that is finished to be walked on: what it bears, and what keeps people on it.
//!
//! Given a roof; gives one finding where its topcoat is broadcast against slipping, and nothing else. It never answers: what
//! the joists bear is for an engineer, how the edges are guarded for Building Control, and neither is in the price.

use super::finding::{CAUTION, Finding, Subject, Verdict, figure};
use crate::model::Roof;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// Floor load of a balcony or a roof that people use, kN/m² (BS EN 1991-1-1 with its UK annex: as the rooms that give
/// access to it, and for a dwelling 1.5 at the least; from memory).
const LEAST_LOAD: Decimal = Decimal::from_parts(15, 0, 0, false, 1);

/// A kilonewton on Earth, kg.
const KILOGRAMS: Decimal = Decimal::from_parts(102, 0, 0, false, 0);

/// The questions of a roof with a surface against slipping.
pub(super) fn check(roof: &Roof) -> Option<Finding> {
    let surface = &roof.topcoat.finish;
    surface.aggregate.as_ref()?;
    let bears = LEAST_LOAD * KILOGRAMS;
    let statement = format!(
        "A {} roof invites people onto it. Whether its joists bear them is for a structural engineer to say; whether its \
         edges need guarding, and how high, and whether it may be used as a terrace at all, is for Building Control and \
         the planning authority. None of that is answered or priced here.",
        surface.words
    );
    let working = vec![
        Step::Measured {
            what: "least load of people in a dwelling, each m2".into(),
            value: bears,
            unit: Unit::Kilogram,
        },
        Step::Note(format!("{} kN/m2 (BS EN 1991-1-1 with its UK annex, from memory)", figure(LEAST_LOAD, 2))),
    ];
    Some(Finding {
        id: "use".into(),
        kind: Subject::Use,
        roof: None,
        subject: "use by people".into(),
        verdict: Verdict::Refer,
        statement,
        design: format!("at least {} kN/m2, and guarded edges", figure(LEAST_LOAD, 2)),
        source: "BS EN 1991-1-1 and Approved Document K, from memory".into(),
        caution: CAUTION,
        working,
    })
}
