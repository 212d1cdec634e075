//! Person-hours: the lines of the take-off, times the firm's norms, in the order of the work.
//!
//! Given the works of the job and the lines; gives each operation with its hours, shared over the works and roofs that
//! they are spent on, and its working. The norms stand in the table of faces: a work without hours says there why.

use super::{Labour, LabourPart};
use crate::model::goods::{During, Goods};
use crate::model::words::{capital, list, within};
use crate::model::{Job, LineId, Rules};
use crate::takeoff::{Line, Step, Unit};
use crate::works::{Norm, Operation, WorkKind, Works};
use rust_decimal::Decimal;

/// The operations that take time, in the order of the work. What is done on the topcoat stands by itself behind what is not:
/// the second coat with aggregate, and what is fitted last from the roof. Where the tops of parapets are levelled with mortar, that and
/// the lifting of copings stand by themselves before all else, since the roof waits for the mortar.
pub(super) fn operations(job: &Job, works: &Works, lines: &[Line], rules: &Rules) -> Vec<Labour> {
    let kinds = works.kinds();
    let of = |operation: Operation, is: &dyn Fn(WorkKind) -> bool| {
        let kinds = kinds.iter().copied().filter(|&k| k.operation() == operation && is(k));
        labour(operation, &kinds.collect::<Vec<_>>(), lines, &Norms { job, rules })
    };
    let levels = kinds.contains(&WorkKind::LevelTops);
    let is_levelling = |k: WorkKind| levels && matches!(k, WorkKind::CopingOff | WorkKind::LevelTops);
    let all = |operation| {
        let before = of(operation, &is_levelling);
        let then = of(operation, &|k| !is_levelling(k) && !k.is_on_topcoat());
        [before, then, of(operation, &WorkKind::is_on_topcoat), goods(operation, job)]
    };
    Operation::ALL.into_iter().flat_map(all).flatten().collect()
}

/// Goods for this job that are fitted with an operation, where their lines say how long that takes.
fn goods(operation: Operation, job: &Job) -> Option<Labour> {
    let with = |during: During| match during {
        During::Prepare => Operation::Prepare,
        During::Deck => Operation::Deck,
        During::Finish => Operation::Finish,
    };
    let fitted = || job.goods.iter().filter(|g| g.fitted().map(with) == Some(operation));
    let each = || fitted().filter_map(|g| Some((g, g.hours?)));
    let step = |(g, hours): (&Goods, Decimal)| Step::Measured {
        what: format!("fitting {}, as the job file says ({})", g.title(), g.path),
        value: hours,
        unit: Unit::Hour,
    };
    let hours: Decimal = each().map(|(_, hours)| hours).sum();
    let names: Vec<String> = each().map(|(g, _)| format!("fit {}", within(g.name()))).collect();
    let parts =
        each().map(|(g, hours)| LabourPart { work: WorkKind::OwnGoods, roof: g.roof.clone(), hours, gutters: 0 });
    (hours > Decimal::ZERO).then(|| Labour {
        operation,
        label: capital(&list(&names)),
        strips: false,
        lays_boards: false,
        hours,
        parts: parts.collect(),
        working: each().map(step).collect(),
        wait_after: Decimal::ZERO,
    })
}

/// What is fitted last, all of it in words.
pub(super) fn fitted_last(work: &[Labour]) -> Option<String> {
    let last = work.iter().filter(|w| w.operation == Operation::Finish);
    let parts: Vec<&LabourPart> = last.flat_map(|w| &w.parts).collect();
    let kinds: Vec<WorkKind> = parts.iter().map(|part| part.work).collect();
    (!kinds.is_empty()).then(|| finish(&kinds, parts.iter().map(|part| part.gutters).sum()))
}

/// The firm's norms, and the figures that a covering or a surface of the job brings of its own.
struct Norms<'a> {
    job: &'a Job,
    rules: &'a Rules,
}

impl Norms<'_> {
    /// Hours for each unit of a line, and how the working names them.
    fn of(&self, kind: WorkKind, norm: &Norm, line: &Line) -> (Decimal, Step) {
        let value = |hours: Decimal| format!("{} {}", hours.normalize(), norm.per);
        match self.own(kind, line) {
            Some((hours, whose)) => (hours, Step::Note(format!("{}, {whose}", value(hours)))),
            None => {
                let hours = (norm.hours)(self.rules);
                (hours, Step::Rule { name: norm.rule, value: value(hours) })
            }
        }
    }

    fn own(&self, kind: WorkKind, line: &Line) -> Option<(Decimal, String)> {
        match kind {
            WorkKind::Strip => {
                let roof = self.job.roofs.iter().find(|r| line.roof.as_ref() == Some(&r.name))?;
                let covering = &self.job.strip_of(roof)?.covering;
                Some((covering.hours?, format!("the figure of the covering `{}`", covering.key)))
            }
            WorkKind::SlipResistant | WorkKind::GripAnew => {
                let finish = &self.job.topcoat_of(line.roof.as_ref()?)?.finish;
                let own = finish.aggregate.as_ref()?.own?;
                Some((own.hours, format!("the figure of the surface `{}`", finish.key)))
            }
            _ => None,
        }
    }
}

fn labour(operation: Operation, kinds: &[WorkKind], lines: &[Line], norms: &Norms<'_>) -> Option<Labour> {
    let (mut working, mut parts, mut exact) = (Vec::new(), Vec::new(), Decimal::ZERO);
    for &kind in kinds {
        for norm in kind.faces().hours.get().unwrap_or_default() {
            let lines: Vec<&Line> = lines.iter().filter(|l| l.work_of(kind) && (norm.of)(l.id)).collect();
            let lines: Vec<&Line> = lines.into_iter().filter(|l| is_done(kind, l, norms.job)).collect();
            for same in lines.chunk_by(|a, b| norms.of(kind, norm, a) == norms.of(kind, norm, b)) {
                let (each, named) = norms.of(kind, norm, same[0]);
                exact += hours_by(norm, same, each, named, &mut working);
                parts.extend(same.iter().filter_map(|l| part(kind, l, each, norms.job)));
            }
        }
    }
    let hours = exact.round_dp(2);
    working.push(Step::Rounded { how: "to a hundredth of an hour".into(), result: hours, unit: Unit::Hour });
    let wait_after = wait_after(operation, &parts, lines, norms.rules);
    let label = label(operation, kinds, parts.iter().map(|part| part.gutters).sum());
    let (strips, lays_boards) = (strips(kinds), lays_boards(kinds));
    (hours > Decimal::ZERO).then_some(Labour {
        operation,
        label,
        strips,
        lays_boards,
        hours,
        parts,
        working,
        wait_after,
    })
}

/// How long nobody may go on where it was done, nor lay or coat anything on it.
fn wait_after(operation: Operation, parts: &[LabourPart], lines: &[Line], rules: &Rules) -> Decimal {
    // What is coated first as a trial is hard before the rest is coated.
    let tried = || lines.iter().any(|l| l.id == LineId::RecoatTrials) && rules.hours_trial > Decimal::ZERO;
    match operation {
        Operation::Strip if parts.iter().any(|p| p.work == WorkKind::LevelTops) => rules.mortar_hours.into(),
        Operation::Laminate | Operation::Repair => rules.cure_hours,
        Operation::Renew if tried() => rules.cure_hours,
        // Aggregate takes warmth from the coat that holds it.
        Operation::Topcoat if parts.iter().any(|p| p.work.is_on_topcoat()) => rules.walk_on_hours.into(),
        Operation::Topcoat => rules.cure_hours,
        _ => Decimal::ZERO,
    }
}

/// Whether a work that is counted by its roof's area is done on that roof.
pub(super) fn is_done(kind: WorkKind, line: &Line, job: &Job) -> bool {
    let roof = || job.roofs.iter().find(|r| line.roof.as_ref() == Some(&r.name));
    kind != WorkKind::SlipResistant || roof().is_some_and(|r| r.topcoat.finish.aggregate.is_some())
}

fn part(work: WorkKind, line: &Line, each: Decimal, job: &Job) -> Option<LabourPart> {
    let hours = line.quantity * each;
    // Once a roof: its downpipes take hours of their own.
    let is_gutter = work == WorkKind::GutterOn && line.id == LineId::GutterLength;
    let gutters = if is_gutter { job.gutters_on(line.roof.as_deref()) } else { 0 };
    (hours > Decimal::ZERO).then(|| LabourPart { work, roof: line.roof.clone(), hours, gutters })
}

/// Hours of one norm, with the steps that lead to them.
fn hours_by(norm: &Norm, lines: &[&Line], each: Decimal, named_by: Step, working: &mut Vec<Step>) -> Decimal {
    let quantity: Decimal = lines.iter().map(|l| l.quantity).sum();
    let hours = quantity * each;
    if hours.is_zero() {
        return Decimal::ZERO;
    }
    working.extend(lines.iter().map(|l| Step::Measured { what: named(l), value: l.quantity, unit: l.unit }));
    working.push(named_by);
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

/// Whether an old covering, or old boards, are among what is taken off.
fn strips(kinds: &[WorkKind]) -> bool {
    kinds.iter().any(|kind| matches!(kind, WorkKind::Strip | WorkKind::StripBoards))
}

/// Whether boards are laid on joists or on an old deck.
fn lays_boards(kinds: &[WorkKind]) -> bool {
    kinds.iter().any(|kind| matches!(kind, WorkKind::NewDeck | WorkKind::OverlayDeck))
}

/// What an operation is called on this job, with so many gutters.
pub(super) fn label(operation: Operation, kinds: &[WorkKind], gutters: usize) -> String {
    let has = |kind: WorkKind| kinds.contains(&kind);
    let words = match operation {
        Operation::Strip if has(WorkKind::LevelTops) => match has(WorkKind::CopingOff) {
            true => "Lift the copings, level the tops",
            false => "Level the tops of the parapets",
        },
        Operation::Strip => off(strips(kinds), has(WorkKind::TilesOff), has(WorkKind::CopingOff)),
        Operation::Prepare => return prepare(kinds),
        Operation::Deck if lays_boards(kinds) && has(WorkKind::GutterBoards) => "Build the box gutter, lay the deck",
        Operation::Deck if lays_boards(kinds) => "Lay the deck",
        Operation::Deck if has(WorkKind::GutterBoards) => "Build the box gutter",
        Operation::Deck => "Fit the vents",
        Operation::Insulate if has(WorkKind::VapourLayer) => {
            "Lay the vapour layer, the insulation and the board over it"
        }
        Operation::Insulate => "Lay the insulation and the board over it",
        Operation::Trims if has(WorkKind::Parapet) => "Line the parapets, fix the trims and make the corners",
        Operation::Trims => "Fix the trims and make the corners",
        Operation::Bandage => "Bandage joints, flanges and corners",
        Operation::Laminate => "Lay the mat and resin",
        Operation::Wash => "Wash the old laminate",
        Operation::Repair => "Cut back and lay the patches",
        Operation::Renew if has(WorkKind::PrimeOld) => "Abrade, wipe and prime the old laminate",
        Operation::Renew => "Abrade and wipe the old laminate",
        Operation::Topcoat if has(WorkKind::SlipResistant) || has(WorkKind::GripAnew) => {
            "Second topcoat with aggregate"
        }
        Operation::Topcoat => "Topcoat",
        Operation::Finish => return finish(kinds, gutters),
    };
    words.to_owned()
}

/// What is made ready under the deck: all that its hours are for.
fn prepare(kinds: &[WorkKind]) -> String {
    const FIXED: [(WorkKind, &str); 4] = [
        (WorkKind::EdgeJoists, "joists along edges"),
        (WorkKind::Firrings, "firrings"),
        (WorkKind::NewKerb, "kerbs"),
        (WorkKind::EdgeBattens, "edge battens"),
    ];
    let fixed: Vec<String> =
        FIXED.iter().filter(|(kind, _)| kinds.contains(kind)).map(|(_, words)| (*words).to_owned()).collect();
    let fixed = if fixed.is_empty() { String::new() } else { format!("fix {}", list(&fixed)) };
    match (kinds.contains(&WorkKind::Trimmers), fixed.is_empty()) {
        (true, true) => "Trim the openings".to_owned(),
        (true, false) => format!("Trim the openings, {fixed}"),
        (false, true) => "Prepare".to_owned(),
        (false, false) => capital(&fixed),
    }
}

/// What is fitted last, in the order of the work.
fn finish(kinds: &[WorkKind], gutters: usize) -> String {
    let last = [
        (WorkKind::Flashing, "fit the flashing"),
        (WorkKind::CopingOn, "cover the parapets"),
        (WorkKind::TilesBack, "lay tiles or slates again"),
        (WorkKind::GutterOn, WorkKind::GutterOn.name_for(gutters)),
    ];
    let done: Vec<String> =
        last.iter().filter(|(kind, _)| kinds.contains(kind)).map(|(_, words)| (*words).to_owned()).collect();
    capital(&if done.is_empty() { "finish and clear up".to_owned() } else { list(&done) })
}

const fn off(covering: bool, tiles: bool, copings: bool) -> &'static str {
    match (covering, tiles, copings) {
        (true, true, _) => "Lift tiles or slates and strip the old covering",
        (true, false, _) => "Strip the old covering",
        (false, true, _) => "Lift tiles or slates",
        (false, false, true) => "Lift the copings",
        (false, false, false) => "Take down the gutter",
    }
}
