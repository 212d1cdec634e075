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
    /// The rule; `None` where the thing itself has a figure of its own, which `own` names.
    name: Option<&'static str>,
    own: String,
    hours: Decimal,
    per: &'static str,
}

/// Every norm, in the order of the work.
fn norms(job: &Job, rules: &Rules) -> Vec<Norm> {
    use Ids::{Between, Is};
    use Operation as Op;
    let norm =
        |operation, ids, name, hours, per| Norm { operation, ids, name: Some(name), own: String::new(), hours, per };
    vec![
        strip(job, rules),
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
        norm(Op::Finish, Is("flashing.lead-free.length"), "hours_lead", rules.hours_lead, "h/m"),
        norm(Op::Finish, Is("gutter.length"), "hours_gutter", rules.hours_gutter, "h/m"),
    ]
}

/// An old covering comes off by its own norm where it has one.
fn strip(job: &Job, rules: &Rules) -> Norm {
    let own = job.strip.as_ref().and_then(|s| Some((s.covering.key.clone(), s.covering.hours?)));
    let (name, own, hours) = match own {
        Some((covering, hours)) => (None, format!("the figure of the covering `{covering}`"), hours),
        None => (Some("hours_strip"), String::new(), rules.hours_strip),
    };
    Norm { operation: Operation::Strip, ids: Ids::Is("roof.area"), name, own, hours, per: "h/m2" }
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
    let norms = norms(job, rules);
    let wanted = |op: &Operation| *op != Operation::Strip || job.strip.is_some();
    let mut all: Vec<Work> = ORDER.into_iter().filter(wanted).filter_map(|op| work(op, lines, &norms, rules)).collect();
    if let (Some(second), Some(at)) =
        (second_coat(job, lines, rules), all.iter().position(|w| w.operation == Operation::Topcoat))
    {
        all[at].wait_after = rules.cure_hours;
        all.insert(at + 1, second);
    }
    all
}

/// The second topcoat of the roofs whose surface is broadcast with aggregate, once the first is hard.
fn second_coat(job: &Job, lines: &[Line], rules: &Rules) -> Option<Work> {
    let mut working = Vec::new();
    let mut exact = Decimal::ZERO;
    for roof in &job.roofs {
        let Some(aggregate) = &roof.topcoat.finish.aggregate else { continue };
        let of_roof = |l: &&Line| l.id == "roof.area" && l.roof.as_ref() == Some(&roof.name);
        let area: Vec<Line> = lines.iter().filter(of_roof).cloned().collect();
        let (name, own) = match aggregate.own {
            None => (Some("hours_aggregate"), String::new()),
            Some(_) => (None, format!("the figure of the surface `{}`", roof.topcoat.finish.key)),
        };
        let (ids, hours) = (Ids::Is("roof.area"), aggregate.figures(rules).hours);
        let norm = Norm { operation: Operation::Topcoat, ids, name, own, hours, per: "h/m2" };
        exact += hours_by(&norm, &area, &mut working);
    }
    let hours = exact.round_dp(2);
    working.push(Step::Rounded { how: "to a hundredth of an hour".into(), result: hours, unit: Unit::Hour });
    let label = "Second topcoat with aggregate".to_owned();
    let work = Work { operation: Operation::Topcoat, label, hours, working, wait_after: Decimal::ZERO };
    (hours > Decimal::ZERO).then_some(work)
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
    let value = format!("{} {}", norm.hours.normalize(), norm.per);
    working.push(match norm.name {
        Some(name) => Step::Rule { name, value },
        None => Step::Note(format!("{value}, {}", norm.own)),
    });
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
    let flashed = has("flashing.length") || has("flashing.lead-free.length");
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
        Operation::Finish if flashed && has("gutter.length") => "Fit the flashing and refit the gutter",
        Operation::Finish if flashed => "Fit the flashing",
        Operation::Finish => "Refit the gutter",
    }
    .to_owned()
}
