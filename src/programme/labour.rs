//! Person-hours: the lines of the take-off, times the firm's norms, in the order of the work.
//!
//! Given the works of the job and the lines; gives each operation with its hours, shared over the works and roofs that
//! they are spent on, and its working. The norms stand in the table of faces: a work without hours says there why.

use super::{Labour, LabourPart};
use crate::model::Rules;
use crate::takeoff::{Line, Step, Unit};
use crate::works::{Norm, Operation, WorkKind, Works};
use rust_decimal::Decimal;

/// The operations that take time, in the order of the work.
pub(super) fn operations(works: &Works, lines: &[Line], rules: &Rules) -> Vec<Labour> {
    let kinds = works.kinds();
    let of = |operation: Operation| {
        let kinds: Vec<WorkKind> = kinds.iter().copied().filter(|k| k.operation() == operation).collect();
        labour(operation, &kinds, lines, rules)
    };
    Operation::ALL.into_iter().filter_map(of).collect()
}

fn labour(operation: Operation, kinds: &[WorkKind], lines: &[Line], rules: &Rules) -> Option<Labour> {
    let (mut working, mut parts, mut exact) = (Vec::new(), Vec::new(), Decimal::ZERO);
    for &kind in kinds {
        for norm in kind.faces().hours.get().unwrap_or_default() {
            let lines: Vec<&Line> = lines.iter().filter(|l| l.work_of(kind) && (norm.of)(l.id)).collect();
            exact += hours_by(norm, &lines, rules, &mut working);
            parts.extend(lines.iter().filter_map(|l| part(kind, norm, l, rules)));
        }
    }
    let hours = exact.round_dp(2);
    working.push(Step::Rounded { how: "to a hundredth of an hour".into(), result: hours, unit: Unit::Hour });
    let wait_after = if operation == Operation::Laminate { rules.cure_hours } else { Decimal::ZERO };
    let label = label(operation, kinds).to_owned();
    (hours > Decimal::ZERO).then_some(Labour { operation, label, hours, parts, working, wait_after })
}

fn part(work: WorkKind, norm: &Norm, line: &Line, rules: &Rules) -> Option<LabourPart> {
    let hours = line.quantity * (norm.hours)(rules);
    (hours > Decimal::ZERO).then(|| LabourPart { work, roof: line.roof.clone(), hours })
}

/// Hours of one norm, with the steps that lead to them.
fn hours_by(norm: &Norm, lines: &[&Line], rules: &Rules, working: &mut Vec<Step>) -> Decimal {
    let (quantity, each) = (lines.iter().map(|l| l.quantity).sum::<Decimal>(), (norm.hours)(rules));
    let hours = quantity * each;
    if hours.is_zero() {
        return Decimal::ZERO;
    }
    working.extend(lines.iter().map(|l| Step::Measured { what: named(l), value: l.quantity, unit: l.unit }));
    working.push(Step::Rule { name: norm.rule, value: format!("{} {}", each.normalize(), norm.per) });
    working.push(Step::Formula {
        formula: format!("{} {} × {} {}", quantity.round_dp(3).normalize(), lines[0].unit, each.normalize(), norm.per),
        result: hours,
        unit: Unit::Hour,
    });
    hours
}

fn named(line: &Line) -> String {
    match &line.roof {
        Some(roof) => format!("{}, {roof}", line.id),
        None => line.id.to_string(),
    }
}

/// What an operation is called on this job.
fn label(operation: Operation, kinds: &[WorkKind]) -> &'static str {
    let has = |kind: WorkKind| kinds.contains(&kind);
    match operation {
        Operation::Strip => "Strip the old covering",
        Operation::Prepare if has(WorkKind::Firrings) && has(WorkKind::EdgeBattens) => "Fix firrings and edge battens",
        Operation::Prepare if has(WorkKind::Firrings) => "Fix firrings",
        Operation::Prepare => "Fix edge battens",
        Operation::Deck if has(WorkKind::NewDeck) || has(WorkKind::OverlayDeck) => "Lay the deck",
        Operation::Deck => "Fit the vents",
        Operation::Insulate if has(WorkKind::VapourLayer) => {
            "Lay the vapour layer, the insulation and the board over it"
        }
        Operation::Insulate => "Lay the insulation and the board over it",
        Operation::Trims => "Fix the trims and make the corners",
        Operation::Bandage => "Bandage joints, flanges and corners",
        Operation::Laminate => "Lay the mat and resin",
        Operation::Topcoat => "Topcoat",
        Operation::Finish if has(WorkKind::Flashing) && has(WorkKind::GutterOn) => {
            "Fit the flashing and refit the gutter"
        }
        Operation::Finish if has(WorkKind::Flashing) => "Fit the flashing",
        Operation::Finish => "Refit the gutter",
    }
}
