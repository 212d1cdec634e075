//! Person-hours: the lines of the take-off, times the firm's norms, in the order of the work.
//!
//! Given lines by their ids; gives one piece of work an operation, with its working. A line that is not there counts
//! for nothing, and an operation without hours is left out.

use super::{Operation, Work};
use crate::model::{Job, Rules};
use crate::takeoff::{Line, Step, Unit};
use rust_decimal::Decimal;

/// Which lines a norm is multiplied by.
enum Ids {
    /// The line of this id.
    Is(&'static str),
    /// Every line whose id begins and ends so.
    Between(&'static str, &'static str),
}

impl Ids {
    fn holds(&self, id: &str) -> bool {
        match self {
            Ids::Is(name) => id == *name,
            Ids::Between(head, tail) => {
                id.len() > head.len() + tail.len() && id.starts_with(head) && id.ends_with(tail)
            }
        }
    }
}

/// A norm of the firm: so many hours a unit of some lines.
struct Norm {
    operation: Operation,
    ids: Ids,
    name: &'static str,
    hours: Decimal,
    per: &'static str,
}

/// Every norm, in the order of the work.
fn norms(rules: &Rules) -> Vec<Norm> {
    use Ids::{Between, Is};
    use Operation as Op;
    let norm = |operation, ids, name, hours, per| Norm { operation, ids, name, hours, per };
    vec![
        norm(Op::Strip, Is("roof.area"), "hours_strip", rules.hours_strip, "h/m2"),
        norm(Op::Prepare, Is("firring.length"), "hours_firrings", rules.hours_firrings, "h/m"),
        norm(Op::Prepare, Is("batten.length"), "hours_battens", rules.hours_battens, "h/m"),
        norm(Op::Deck, Is("deck.area"), "hours_deck", rules.hours_deck, "h/m2"),
        norm(Op::Insulate, Is("vapour.area"), "hours_vapour", rules.hours_vapour, "h/m2"),
        norm(Op::Insulate, Is("insulation.area"), "hours_insulation", rules.hours_insulation, "h/m2"),
        norm(Op::Insulate, Is("edge.timber"), "hours_battens", rules.hours_battens, "h/m"),
        norm(Op::Insulate, Is("overlay.area"), "hours_overlay", rules.hours_overlay, "h/m2"),
        norm(Op::Trims, Between("trim.", ".run"), "hours_trim", rules.hours_trim, "h/m"),
        norm(Op::Trims, Is("corner.external"), "hours_corner", rules.hours_corner, "h each"),
        norm(Op::Trims, Is("corner.internal"), "hours_corner", rules.hours_corner, "h each"),
        norm(Op::Trims, Is("kerb.count"), "hours_kerb", rules.hours_kerb, "h each"),
        norm(Op::Bandage, Between("bandage.", ".length"), "hours_bandage", rules.hours_bandage, "h/m"),
        norm(Op::Laminate, Is("mat.area"), "hours_laminate", rules.hours_laminate, "h/m2 a layer"),
        norm(Op::Topcoat, Is("roof.area"), "hours_topcoat", rules.hours_topcoat, "h/m2"),
        norm(Op::Finish, Is("flashing.length"), "hours_lead", rules.hours_lead, "h/m"),
        norm(Op::Finish, Is("gutter.length"), "hours_gutter", rules.hours_gutter, "h/m"),
    ]
}

const ORDER: [Operation; 9] = [
    Operation::Strip,
    Operation::Prepare,
    Operation::Deck,
    Operation::Insulate,
    Operation::Trims,
    Operation::Bandage,
    Operation::Laminate,
    Operation::Topcoat,
    Operation::Finish,
];

/// The operations that take time, in the order of the work.
pub(super) fn operations(job: &Job, lines: &[Line], rules: &Rules) -> Vec<Work> {
    let norms = norms(rules);
    let wanted = |op: &Operation| *op != Operation::Strip || job.strip.is_some();
    ORDER.into_iter().filter(wanted).filter_map(|op| work(op, lines, &norms, rules)).collect()
}

fn work(operation: Operation, lines: &[Line], norms: &[Norm], rules: &Rules) -> Option<Work> {
    let mut working = Vec::new();
    let norms = norms.iter().filter(|n| n.operation == operation);
    let exact: Decimal = norms.map(|n| hours_by(n, lines, &mut working)).sum();
    let hours = exact.round_dp(2);
    working.push(Step::Rounded { how: "to a hundredth of an hour".into(), result: hours, unit: Unit::Hour });
    let wait_after = if operation == Operation::Laminate { rules.cure_hours } else { Decimal::ZERO };
    (hours > Decimal::ZERO).then(|| Work { operation, label: label(operation, lines), hours, working, wait_after })
}

/// Hours of one norm, with the steps that lead to them.
fn hours_by(norm: &Norm, lines: &[Line], working: &mut Vec<Step>) -> Decimal {
    let lines: Vec<&Line> = lines.iter().filter(|l| norm.ids.holds(&l.id)).collect();
    let quantity: Decimal = lines.iter().map(|l| l.quantity).sum();
    let hours = quantity * norm.hours;
    if hours.is_zero() {
        return Decimal::ZERO;
    }
    working.extend(lines.iter().map(|l| Step::Measured { what: named(l), value: l.quantity, unit: l.unit }));
    working.push(Step::Rule { name: norm.name, value: format!("{} {}", norm.hours.normalize(), norm.per) });
    working.push(Step::Formula {
        formula: format!(
            "{} {} × {} {}",
            quantity.round_dp(3).normalize(),
            lines[0].unit,
            norm.hours.normalize(),
            norm.per
        ),
        result: hours,
        unit: Unit::Hour,
    });
    hours
}

fn named(line: &Line) -> String {
    match &line.roof {
        Some(roof) => format!("{}, {roof}", line.id),
        None => line.id.clone(),
    }
}

fn label(operation: Operation, lines: &[Line]) -> String {
    let has = |id: &str| lines.iter().any(|l| l.id == id && l.quantity > Decimal::ZERO);
    match operation {
        Operation::Strip => "Strip the old covering",
        Operation::Prepare if has("firring.length") && has("batten.length") => "Fix firrings and edge battens",
        Operation::Prepare if has("firring.length") => "Fix firrings",
        Operation::Prepare => "Fix edge battens",
        Operation::Deck => "Lay the deck",
        Operation::Insulate if has("vapour.area") => "Lay the vapour layer, the insulation and the board over it",
        Operation::Insulate => "Lay the insulation and the board over it",
        Operation::Trims => "Fix the trims and make the corners",
        Operation::Bandage => "Bandage joints, flanges and corners",
        Operation::Laminate => "Lay the mat and resin",
        Operation::Topcoat => "Topcoat",
        Operation::Finish if has("flashing.length") && has("gutter.length") => "Fit the flashing and refit the gutter",
        Operation::Finish if has("flashing.length") => "Fit the flashing",
        Operation::Finish => "Refit the gutter",
    }
    .to_owned()
}
