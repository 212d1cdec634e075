//! Person-hours: the lines of the take-off, times the firm's norms, in the order of the work.
//!
//! Given the works of the job and the lines; gives each operation with its hours, shared over the works and roofs that
//! they are spent on, and its working. The norms stand in the table of faces: a work without hours says there why.

use super::{Labour, LabourPart};
use crate::model::{Job, Rules};
use crate::takeoff::{Line, Step, Unit};
use crate::works::{Norm, Operation, WorkKind, Works};
use rust_decimal::Decimal;

/// The operations that take time, in the order of the work.
pub(super) fn operations(job: &Job, works: &Works, lines: &[Line], rules: &Rules) -> Vec<Labour> {
    let kinds = works.kinds();
    let second = |kind: &WorkKind| *kind == WorkKind::Surface;
    let mut all = Vec::new();
    for operation in Operation::ALL {
        let of = kinds.iter().copied().filter(|k| k.operation() == operation);
        let (later, first): (Vec<WorkKind>, Vec<WorkKind>) = of.partition(second);
        let first = labour(job, operation, &first, lines, rules);
        let later = labour(job, operation, &later, lines, rules);
        let wait = if later.is_some() { rules.cure_hours } else { Decimal::ZERO };
        all.extend(first.map(|l| Labour { wait_after: l.wait_after.max(wait), ..l }));
        all.extend(later);
    }
    all
}

fn labour(job: &Job, operation: Operation, kinds: &[WorkKind], lines: &[Line], rules: &Rules) -> Option<Labour> {
    let (mut working, mut parts, mut exact) = (Vec::new(), Vec::new(), Decimal::ZERO);
    for &kind in kinds {
        for norm in kind.faces().hours.get().unwrap_or_default() {
            let lines: Vec<&Line> = lines.iter().filter(|l| l.work_of(kind) && (norm.of)(l.id)).collect();
            let each = |l: &&Line| own(job, kind, l).unwrap_or_else(|| Rate::of(norm, rules));
            for alike in lines.chunk_by(|a, b| each(a) == each(b)) {
                let rate = each(&alike[0]);
                exact += hours_by(&rate, norm.per, alike, &mut working);
                parts.extend(alike.iter().filter_map(|l| part(kind, rate.hours, l)));
            }
        }
    }
    let hours = exact.round_dp(2);
    working.push(Step::Rounded { how: "to a hundredth of an hour".into(), result: hours, unit: Unit::Hour });
    let wait_after = if operation == Operation::Laminate { rules.cure_hours } else { Decimal::ZERO };
    let label = label(operation, kinds).to_owned();
    (hours > Decimal::ZERO).then_some(Labour { operation, label, hours, parts, working, wait_after })
}

/// Hours for a unit of a line, and where the figure stands.
#[derive(PartialEq, Eq)]
struct Rate {
    hours: Decimal,
    /// The rule; `None` where the thing itself has a figure, which `own` names.
    rule: Option<&'static str>,
    own: String,
}

impl Rate {
    fn of(norm: &Norm, rules: &Rules) -> Rate {
        Rate { hours: (norm.hours)(rules), rule: Some(norm.rule), own: String::new() }
    }
}

/// The figure that an old covering or a surface has of its own, in the place of the firm's norm.
fn own(job: &Job, kind: WorkKind, line: &Line) -> Option<Rate> {
    let (hours, own) = match kind {
        WorkKind::Strip => {
            let covering = &job.strip.as_ref()?.covering;
            (covering.hours?, format!("the figure of the covering `{}`", covering.key))
        }
        WorkKind::Surface => {
            let surface = &job.roofs.iter().find(|r| Some(&r.name) == line.roof.as_ref())?.topcoat.finish;
            let figures = surface.aggregate.as_ref()?.own?;
            (figures.hours, format!("the figure of the surface `{}`", surface.key))
        }
        _ => return None,
    };
    Some(Rate { hours, rule: None, own })
}

fn part(work: WorkKind, each: Decimal, line: &Line) -> Option<LabourPart> {
    let hours = line.quantity * each;
    (hours > Decimal::ZERO).then(|| LabourPart { work, roof: line.roof.clone(), hours })
}

/// Hours of one norm, with the steps that lead to them.
fn hours_by(rate: &Rate, per: &str, lines: &[&Line], working: &mut Vec<Step>) -> Decimal {
    let (quantity, each) = (lines.iter().map(|l| l.quantity).sum::<Decimal>(), rate.hours);
    let hours = quantity * each;
    if hours.is_zero() {
        return Decimal::ZERO;
    }
    working.extend(lines.iter().map(|l| Step::Measured { what: named(l), value: l.quantity, unit: l.unit }));
    let value = format!("{} {per}", each.normalize());
    working.push(match rate.rule {
        Some(name) => Step::Rule { name, value },
        None => Step::Note(format!("{value}, {}", rate.own)),
    });
    working.push(Step::Formula {
        formula: format!("{} {} × {} {}", quantity.round_dp(3).normalize(), lines[0].unit, each.normalize(), per),
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
        Operation::Topcoat if has(WorkKind::Surface) => "Second topcoat with aggregate",
        Operation::Topcoat => "Topcoat",
        Operation::Finish if has(WorkKind::Flashing) && has(WorkKind::GutterOn) => {
            "Fit the flashing and refit the gutter"
        }
        Operation::Finish if has(WorkKind::Flashing) => "Fit the flashing",
        Operation::Finish => "Refit the gutter",
    }
}
