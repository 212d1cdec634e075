//! The lines of the take-off for trims, and what must be bought for them.
//!
//! Given the plans and the junctions; gives runs, lengths, laps, corner pieces, closures, nails and adhesive, each
//! with a working that adds up. Lengths, laps and adhesive are pooled over all roofs; the rest stands roof by roof.

use super::line::{Line, Need, Share, Step, Unit};
use super::working::{by_stock, count, counted, formula, line, measured, proven, sum};
use crate::cutting::cost_in_words;
use crate::geometry::whole::div_ceil;
use crate::model::{Finish, Length, LineId, Products, Role, Rules};
use crate::rule;
use crate::takeoff::layout::junctions::trim_name;
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{Junction, ProfilePlan, RunPlace, Treatment, TrimRun};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

/// The trims' lines and needs. `junctions` holds the junctions of each roof, in the order of `shapes`; `gaps` the gaps under
/// door sills that a batten closes, since it is bedded in the same adhesive.
pub fn trim_lines(
    shapes: &[RoofShape],
    plans: &[ProfilePlan],
    junctions: &[Vec<Junction>],
    gaps: &[Length],
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let mut lines = Vec::new();
    for plan in plans {
        lines.extend(shapes.iter().filter_map(|s| run_line(s, plan)));
        lines.extend([lengths_line(plan, rules), laps_line(plan, rules)].into_iter().flatten());
    }
    for (shape, junctions) in shapes.iter().zip(junctions) {
        lines.extend(corner_lines(shape, junctions, plans, rules, products));
    }
    lines.extend(shapes.iter().filter_map(|s| nails_line(s, plans, rules)));
    let dabs: Vec<Line> = shapes.iter().filter_map(|s| dabs_line(s, plans, rules)).collect();
    lines.extend(dabs.iter().cloned());
    lines.extend(adhesive_line(plans, junctions, (&dabs, gaps), rules));
    let needs = needs(&lines, shapes, plans);
    (lines, needs)
}

fn roof_of(place: RunPlace) -> usize {
    match place {
        RunPlace::Side { roof, .. }
        | RunPlace::Hole { roof, .. }
        | RunPlace::Ladder { roof, .. }
        | RunPlace::Parapet { roof, .. } => roof,
    }
}

const fn is_ladder(place: RunPlace) -> bool {
    matches!(place, RunPlace::Ladder { .. })
}

/// Whether it stands on the outer edge of a wall: its run is that of the wall, and screws hold it instead of nails.
const fn is_outer_edge(place: RunPlace) -> bool {
    matches!(place, RunPlace::Parapet { .. })
}

/// A length as the workings write it: `5.2 m`.
fn metres(l: Length) -> String {
    format!("{} m", l.metres().normalize())
}

/// The trim's name and what of it, as a line begins: `Drip trim, run`.
fn item(finish: Finish, of_it: &str) -> String {
    let name = trim_name(finish);
    format!("{}{}, {of_it}", name[..1].to_uppercase(), &name[1..])
}

// ---- Runs, lengths, laps -----------------------------------------------------------------------------------------

/// The work that fixes a trim.
const fn trim_work(finish: Finish) -> WorkKind {
    match finish {
        Finish::Drip => WorkKind::DripTrim,
        Finish::Raised => WorkKind::RaisedTrim,
        Finish::Wall => WorkKind::WallFillet,
        Finish::Kerb => WorkKind::KerbUpstand,
        Finish::Step => WorkKind::TieIn,
        Finish::Gutter => WorkKind::GutterLining,
    }
}

/// Wall fillets that stand round chimneys alone belong to those.
fn run_work(runs: &[&TrimRun], finish: Finish) -> WorkKind {
    let round = runs.iter().all(|r| matches!(r.place, RunPlace::Hole { .. }));
    if !runs.is_empty() && runs.iter().all(|r| is_outer_edge(r.place)) {
        return WorkKind::Parapet;
    }
    if finish == Finish::Wall && round { WorkKind::ChimneyUpstand } else { trim_work(finish) }
}

/// The same of all that a plan cuts, on whichever roof.
fn plan_work(plan: &ProfilePlan) -> WorkKind {
    run_work(&plan.runs.iter().filter(|r| !is_ladder(r.place)).collect::<Vec<_>>(), plan.finish)
}

fn run_line(shape: &RoofShape, plan: &ProfilePlan) -> Option<Line> {
    let own = |r: &&TrimRun| roof_of(r.place) == shape.index && !is_ladder(r.place) && !is_outer_edge(r.place);
    let runs: Vec<&TrimRun> = plan.runs.iter().filter(own).collect();
    let total: Length = runs.iter().map(|r| r.run).sum();
    let mut working: Vec<Step> = runs
        .iter()
        .map(|r| Step::Measured { what: r.label.clone(), value: r.run.metres(), unit: Unit::Metre })
        .collect();
    let sum: Vec<String> = runs.iter().map(|r| metres(r.run)).collect();
    working.push(formula(sum.join(" + "), total.metres(), Unit::Metre));
    (total > Length::ZERO).then(|| Line {
        id: LineId::TrimRun(plan.finish),
        work: run_work(&runs, plan.finish),
        item: item(plan.finish, "run"),
        roof: Some(shape.name.clone()),
        quantity: total.metres(),
        unit: Unit::Metre,
        working,
    })
}

fn lengths_line(plan: &ProfilePlan, rules: &Rules) -> Option<Line> {
    let bought = count(plan.bars.len());
    let mut working: Vec<Step> = plan.runs.iter().map(|r| run_step(r, rules)).collect();
    working.extend([
        Step::Rule { name: "trim_lap", value: rules.trim_lap.to_string() },
        Step::Rule { name: "shortest_piece", value: rules.shortest_piece.to_string() },
        Step::Rule { name: "least_trim", value: rules.least_trim.to_string() },
        Step::Rule { name: "extra_laps", value: rules.extra_laps.to_string() },
        Step::Rule { name: "kerf", value: rules.kerf.to_string() },
    ]);
    working.push(Step::Note(proof_words(plan)));
    let left = plan.bars.iter().map(|b| b.offcut).max().unwrap_or(Length::ZERO);
    working.push(Step::Note(format!("the longest offcut left is {left}{}", sample_words(plan, rules))));
    let lengths = by_stock(plan.bars.iter().map(|b| b.stock));
    working.extend(lengths.iter().map(|(l, n)| Step::Measured {
        what: format!("stock lengths of {} in the cut plan", metres(*l)),
        value: count(*n),
        unit: Unit::Each,
    }));
    let each: Vec<String> = lengths.values().map(usize::to_string).collect();
    working.push(formula(each.join(" + "), bought, Unit::Each));
    (!plan.bars.is_empty()).then(|| Line {
        id: LineId::TrimLengths(plan.finish),
        work: plan_work(plan),
        item: item(plan.finish, "lengths"),
        roof: None,
        quantity: bought,
        unit: Unit::Each,
        working,
    })
}

/// A run with its mitres and laps: what its pieces add up to.
fn run_step(run: &TrimRun, rules: &Rules) -> Step {
    let all: Length = run.pieces.iter().map(|p| p.length).sum();
    let mitres = run.start_allowance + run.end_allowance;
    let mut made_of = metres(run.run);
    if mitres > Length::ZERO {
        made_of += &format!(" + {}", metres(mitres));
    }
    if !run.laps.is_empty() {
        made_of += &format!(" + {} × {}", run.laps.len(), metres(rules.trim_lap));
    }
    let pieces: Vec<String> = run.pieces.iter().map(|p| p.length.as_mm().to_string()).collect();
    let more = match (mitres > Length::ZERO, run.laps.is_empty()) {
        (false, true) => "run",
        (true, true) => "run and mitres",
        (false, false) => "run and laps",
        (true, false) => "run, mitres and laps",
    };
    formula(format!("{}, {more}, cut as {} mm: {made_of}", run.label, pieces.join(" + ")), all.metres(), Unit::Metre)
}

fn proof_words(plan: &ProfilePlan) -> String {
    proven(&plan.proof, |figure| cost_in_words(figure, plan.in_pence))
}

fn sample_words(plan: &ProfilePlan, rules: &Rules) -> String {
    match plan.bars.iter().any(|b| b.sample) {
        true => format!(", after a sample of {} for the dry fit", rules.sample),
        false => "; none is long enough for a sample for the dry fit".into(),
    }
}

fn laps_line(plan: &ProfilePlan, rules: &Rules) -> Option<Line> {
    let joined: Vec<&TrimRun> = plan.runs.iter().filter(|r| !r.laps.is_empty()).collect();
    let laps = joined.iter().map(|r| r.laps.len()).sum();
    let mut working: Vec<Step> = joined
        .iter()
        .map(|r| Step::Measured {
            what: format!("{}: pieces", r.label),
            value: count(r.pieces.len()),
            unit: Unit::Each,
        })
        .collect();
    working.push(Step::Rule { name: "trim_lap", value: rules.trim_lap.to_string() });
    let crowded = joined.iter().flat_map(|r| &r.laps).filter(|l| !l.clear_of_corners).count();
    if crowded > 0 {
        let words = counted(crowded, "joint comes", "joints come");
        let least = rule!(rules, joint_from_corner);
        working.push(Step::Note(format!(
            "{words} nearer to a corner or to another joint than {least}; the lengths allow no better"
        )));
    }
    let sum: Vec<String> = joined.iter().map(|r| format!("({} − 1)", r.pieces.len())).collect();
    working.push(formula(sum.join(" + "), count(laps), Unit::Each));
    (laps > 0).then(|| Line {
        id: LineId::TrimLaps(plan.finish),
        work: plan_work(plan),
        item: item(plan.finish, "lap joints"),
        roof: None,
        quantity: count(laps),
        unit: Unit::Each,
        working,
    })
}

// ---- Corner pieces and closures ----------------------------------------------------------------------------------

fn corner_lines(
    shape: &RoofShape,
    junctions: &[Junction],
    plans: &[ProfilePlan],
    rules: &Rules,
    products: &Products,
) -> Vec<Line> {
    use Treatment::{ClosureLeft, ClosureRight, PreformedExternal, PreformedInternal};
    let corner = |id, item, which| {
        let id = (id, WorkKind::PreformedCorners);
        piece_line(shape, junctions, id, item, &[which], &corner_rules(rules))
    };
    let mut lines = vec![
        corner(LineId::CornerExternal, "Preformed external corner", PreformedExternal),
        corner(LineId::CornerInternal, "Preformed internal corner", PreformedInternal),
    ];
    if products.closures {
        let closure = |id, item, which| piece_line(shape, junctions, (id, WorkKind::Closures), item, &[which], &[]);
        lines.push(closure(LineId::ClosureLeft, "Left-hand closure, drip to raised edge", ClosureLeft));
        lines.push(closure(LineId::ClosureRight, "Right-hand closure, drip to raised edge", ClosureRight));
    }
    let cut = (LineId::CornerCut, WorkKind::CutCorners);
    lines.push(piece_line(
        shape,
        junctions,
        cut,
        "Corner mitred, butted or notched",
        treatments_of(WorkKind::CutCorners),
        &[],
    ));
    lines.extend(upstands(shape));
    lines.push(ladder_points(shape, plans));
    lines.into_iter().flatten().collect()
}

/// The treatments of corners that a kind of work makes; none of any other kind.
pub const fn treatments_of(kind: WorkKind) -> &'static [Treatment] {
    use Treatment::{AtSill, Butt, ClosureLeft, ClosureRight, Mitre, Notch, PreformedExternal, PreformedInternal};
    match kind {
        WorkKind::Closures => &[ClosureLeft, ClosureRight],
        WorkKind::PreformedCorners => &[PreformedExternal, PreformedInternal],
        WorkKind::CutCorners => &[Mitre, Butt, Notch, AtSill],
        _ => &[],
    }
}

fn corner_rules(rules: &Rules) -> [Step; 2] {
    [
        Step::Rule { name: "corner_from", value: format!("{} degrees", rules.corner_from) },
        Step::Rule { name: "corner_to", value: format!("{} degrees", rules.corner_to) },
    ]
}

fn piece_line(
    shape: &RoofShape,
    junctions: &[Junction],
    (id, work): (LineId, WorkKind),
    item: &str,
    which: &[Treatment],
    rules: &[Step],
) -> Option<Line> {
    let at: Vec<String> = (junctions.iter())
        .filter(|j| which.contains(&j.treatment) && j.hole.is_none())
        .map(|j| corner_words(shape, j.corner))
        .collect();
    let mut working: Vec<Step> = rules.to_vec();
    working.extend(at.iter().map(|w| Step::Measured { what: w.clone(), value: Decimal::ONE, unit: Unit::Each }));
    working.push(formula(vec!["1"; at.len()].join(" + "), count(at.len()), Unit::Each));
    (!at.is_empty()).then(|| Line {
        id,
        work,
        item: item.into(),
        roof: Some(shape.name.clone()),
        quantity: count(at.len()),
        unit: Unit::Each,
        working,
    })
}

/// Kerbs and chimneys that the roof is carried up: each with its four corners.
fn upstands(shape: &RoofShape) -> [Option<Line>; 2] {
    let of = |finish: Finish, id, work, item: &str| {
        let holes = shape.holes.iter().filter(|h| h.finish == finish && !h.round);
        let mut working: Vec<Step> = holes.map(|h| measured(h.name.clone(), Decimal::ONE, Unit::Each)).collect();
        working.push(sum("", &vec![Decimal::ONE; working.len()], Unit::Each));
        line((id, work), item, Some(&shape.name), Unit::Each, working)
    };
    [
        of(Finish::Kerb, LineId::KerbCount, WorkKind::KerbUpstand, "Kerbs"),
        of(Finish::Wall, LineId::ChimneyCount, WorkKind::ChimneyUpstand, "Chimneys"),
    ]
}

fn ladder_points(shape: &RoofShape, plans: &[ProfilePlan]) -> Option<Line> {
    let points = plans.iter().flat_map(|p| &p.runs).filter(|r| is_ladder(r.place) && roof_of(r.place) == shape.index);
    let mut working: Vec<Step> = points.map(|r| measured(r.label.clone(), Decimal::ONE, Unit::Each)).collect();
    working.push(sum("", &vec![Decimal::ONE; working.len()], Unit::Each));
    line((LineId::LadderPoints, WorkKind::LadderPoint), "Ladder points", Some(&shape.name), Unit::Each, working)
}

fn corner_words(shape: &RoofShape, corner: usize) -> String {
    let (ends, starts) = crate::takeoff::layout::junctions::sides_at(shape, corner);
    format!("corner of {} and {}", ends.label, starts.label)
}

// ---- Nails -------------------------------------------------------------------------------------------------------

/// Clout nails along a piece: spaced at most so far, with one at each end.
pub fn nails_along(length: Length, spacing: Length) -> usize {
    (div_ceil(length.as_mm(), spacing.as_mm().max(1)) + 1).max(0) as usize
}

fn nails_line(shape: &RoofShape, plans: &[ProfilePlan], rules: &Rules) -> Option<Line> {
    let mut working = vec![Step::Rule { name: "nail_spacing", value: rules.nail_spacing.to_string() }];
    let (mut total, mut parts) = (0, Vec::new());
    for plan in plans {
        for (length, pieces) in nailed(shape, plan) {
            let nails = pieces * nails_along(length, rules.nail_spacing);
            let counted = counted(pieces, "piece", "pieces");
            working.push(formula(
                format!(
                    "{}, {counted} of {length}: {pieces} × (⌈{} ÷ {}⌉ + 1)",
                    trim_name(plan.finish),
                    length.as_mm(),
                    rules.nail_spacing.as_mm()
                ),
                count(nails),
                Unit::Each,
            ));
            parts.push(nails.to_string());
            total += nails;
        }
    }
    if plans.iter().any(|p| p.finish == Finish::Wall) {
        working
            .push(Step::Note("the wall fillet is nailed through its flange; its leg is bonded, never nailed".into()));
    }
    if plans.iter().flat_map(|p| &p.runs).any(|r| is_ladder(r.place)) {
        working.push(Step::Note("ladder points are bonded, not nailed".into()));
    }
    if plans.iter().flat_map(|p| &p.runs).any(|r| is_outer_edge(r.place)) {
        working.push(Step::Note("outer edge trims of parapets are screwed into plugs (parapet.fixings)".into()));
    }
    working.push(formula(parts.join(" + "), count(total), Unit::Each));
    (total > 0).then(|| Line {
        id: LineId::NailsClout,
        work: fixed_work(shape, plans),
        item: "Galvanised clout nails for trims".into(),
        roof: Some(shape.name.clone()),
        quantity: count(total),
        unit: Unit::Each,
        working,
    })
}

/// What nails and dabs on a roof count as: the work of its first trim. They are shared over all trims by their run.
fn fixed_work(shape: &RoofShape, plans: &[ProfilePlan]) -> WorkKind {
    let of_roof = |p: &ProfilePlan| -> Vec<TrimRun> {
        p.runs.iter().filter(|r| roof_of(r.place) == shape.index && !is_ladder(r.place)).cloned().collect()
    };
    let first = plans.iter().map(|p| (p.finish, of_roof(p))).find(|(_, runs)| !runs.is_empty());
    first.map_or(WorkKind::DripTrim, |(finish, runs)| run_work(&runs.iter().collect::<Vec<_>>(), finish))
}

/// The nailed pieces of a roof: how many of each length, longest first.
fn nailed(shape: &RoofShape, plan: &ProfilePlan) -> Vec<(Length, usize)> {
    pieces_of(shape, plan, |place| !is_ladder(place) && !is_outer_edge(place))
}

/// Its pieces in such places: how many of each length, longest first.
fn pieces_of(shape: &RoofShape, plan: &ProfilePlan, which: fn(RunPlace) -> bool) -> Vec<(Length, usize)> {
    let mut all: BTreeMap<Length, usize> = BTreeMap::new();
    let runs = plan.runs.iter().filter(|r| roof_of(r.place) == shape.index && which(r.place));
    for piece in runs.flat_map(|r| &r.pieces) {
        *all.entry(piece.length).or_default() += 1;
    }
    all.into_iter().rev().collect()
}

// ---- Adhesive ----------------------------------------------------------------------------------------------------

/// A bead of adhesive: what for, how often, how long each.
struct Bead {
    what: String,
    times: usize,
    each: Length,
}

/// Dabs under the trims, spaced along each piece as nails are; ladder points are bonded along their edges instead.
fn dabs_line(shape: &RoofShape, plans: &[ProfilePlan], rules: &Rules) -> Option<Line> {
    let rows = rules.dab_rows as usize;
    let mut working = vec![
        Step::Rule { name: "dab_spacing", value: rules.dab_spacing.to_string() },
        Step::Rule { name: "dab_rows", value: rows.to_string() },
    ];
    let mut parts = Vec::new();
    for plan in plans {
        for (length, pieces) in pieces_of(shape, plan, |place| !is_ladder(place)) {
            let dabs = rows * pieces * nails_along(length, rules.dab_spacing);
            let counted = counted(pieces, "piece", "pieces");
            working.push(formula(
                format!(
                    "{}, {counted} of {length}: {rows} × {pieces} × (⌈{} ÷ {}⌉ + 1)",
                    trim_name(plan.finish),
                    length.as_mm(),
                    rules.dab_spacing.as_mm()
                ),
                count(dabs),
                Unit::Each,
            ));
            parts.push(dabs);
        }
    }
    let total = parts.iter().sum();
    let sum: Vec<String> = parts.iter().map(usize::to_string).collect();
    working.push(formula(sum.join(" + "), count(total), Unit::Each));
    (total > 0).then(|| Line {
        id: LineId::AdhesiveDabs,
        work: fixed_work(shape, plans),
        item: "Dabs of adhesive under the trims".into(),
        roof: Some(shape.name.clone()),
        quantity: count(total),
        unit: Unit::Each,
        working,
    })
}

fn adhesive_line(
    plans: &[ProfilePlan],
    junctions: &[Vec<Junction>],
    (dabs, gaps): (&[Line], &[Length]),
    rules: &Rules,
) -> Option<Line> {
    let gap = |&each: &Length| Bead { what: "batten under a door sill, two beads".into(), times: 2, each };
    let dabs = dabs.iter().map(|l| l.quantity).sum::<Decimal>().to_usize().unwrap_or(0);
    let under = Bead { what: "dabs under the trims (adhesive.dabs)".into(), times: dabs, each: rules.dab_bead };
    let beads: Vec<Bead> = plans
        .iter()
        .flat_map(|p| profile_beads(p, rules))
        .chain(piece_beads(junctions, rules))
        .chain([under])
        .chain(gaps.iter().map(gap))
        .filter(|b| b.times > 0 && b.each > Length::ZERO)
        .collect();
    let total: Length = beads.iter().map(|b| b.each * b.times as i64).sum();
    let mut working: Vec<Step> = beads.iter().map(bead_step).collect();
    let sum: Vec<String> = beads.iter().map(|b| metres(b.each * b.times as i64)).collect();
    working.push(formula(sum.join(" + "), total.metres(), Unit::Metre));
    if dabs > 0 {
        working.push(Step::Rule { name: "dab_bead", value: rules.dab_bead.to_string() });
    }
    let per = rules.bead_per_cartridge;
    working.push(Step::Rule { name: "bead_per_cartridge", value: per.to_string() });
    let exact = total.metres() / per.metres();
    working.push(formula(format!("{} ÷ {} each", metres(total), metres(per)), exact, Unit::Each));
    let whole = Decimal::from(total.pieces_of(per));
    working.push(Step::Rounded { how: "up to whole cartridges".into(), result: whole, unit: Unit::Each });
    let ordered = whole + Decimal::ONE;
    working.push(formula(format!("{whole} + 1"), ordered, Unit::Each));
    working.push(Step::Note("one more, so that none is short".into()));
    (total > Length::ZERO).then(|| Line {
        id: LineId::AdhesiveCartridges,
        work: plans.first().map_or(WorkKind::DripTrim, plan_work),
        item: "Cartridges of adhesive".into(),
        roof: None,
        quantity: ordered,
        unit: Unit::Each,
        working,
    })
}

fn bead_step(bead: &Bead) -> Step {
    let all = bead.each * bead.times as i64;
    formula(format!("{}: {} × {}", bead.what, bead.times, metres(bead.each)), all.metres(), Unit::Metre)
}

/// Laps across the girth; the legs of fillets along their run; both edges of ladder points.
fn profile_beads(plan: &ProfilePlan, rules: &Rules) -> Vec<Bead> {
    let name = trim_name(plan.finish);
    let laps = plan.runs.iter().map(|r| r.laps.len()).sum();
    let mut beads = vec![Bead {
        what: format!("{name}, laps across the girth"),
        times: laps,
        each: rules.topcoat_girth.of(plan.finish),
    }];
    for run in &plan.runs {
        match plan.finish {
            _ if is_ladder(run.place) => {
                beads.push(Bead { what: format!("{}, both edges", run.label), times: 2, each: run.run });
            }
            Finish::Wall | Finish::Kerb => {
                beads.push(Bead { what: format!("{}, leg of the {name}", run.label), times: 1, each: run.run });
            }
            _ => {}
        }
    }
    beads
}

/// A corner piece or a closure is bonded over two trims, across the girth of each.
fn piece_beads(junctions: &[Vec<Junction>], rules: &Rules) -> Vec<Bead> {
    let times = |of: &[Treatment]| junctions.iter().flatten().filter(|j| of.contains(&j.treatment)).count();
    let corners = times(&[Treatment::PreformedExternal, Treatment::PreformedInternal]);
    let closures = times(&[Treatment::ClosureLeft, Treatment::ClosureRight]);
    vec![
        Bead {
            what: "corner pieces, over both raised edge trims".into(),
            times: corners,
            each: rules.topcoat_girth.raised * 2,
        },
        Bead {
            what: "closures, over the drip and the raised edge trim".into(),
            times: closures,
            each: rules.topcoat_girth.drip + rules.topcoat_girth.raised,
        },
    ]
}

// ---- Needs -------------------------------------------------------------------------------------------------------

/// Lines that are bought as they stand.
const BOUGHT: [(LineId, Role); 6] = [
    (LineId::CornerExternal, Role::CornerExternal),
    (LineId::CornerInternal, Role::CornerInternal),
    (LineId::ClosureLeft, Role::ClosureLeft),
    (LineId::ClosureRight, Role::ClosureRight),
    (LineId::NailsClout, Role::CloutNails),
    (LineId::AdhesiveCartridges, Role::Adhesive),
];

fn needs(lines: &[Line], shapes: &[RoofShape], plans: &[ProfilePlan]) -> Vec<Need> {
    let mut needs: Vec<Need> = plans.iter().flat_map(|plan| trim_needs(plan, shapes)).collect();
    let all_runs = || plans.iter().flat_map(|plan| run_shares(plan, shapes));
    for (id, role) in BOUGHT {
        let of: Vec<&Line> = lines.iter().filter(|l| l.id == id).collect();
        let Some(need) = Need::of(role, &of) else { continue };
        needs.push(match id {
            LineId::NailsClout => {
                let nailed = |s: &Share| !matches!(s.work, WorkKind::LadderPoint | WorkKind::Parapet);
                need.shared(all_runs().filter(nailed).collect())
            }
            LineId::AdhesiveCartridges => need.shared(all_runs().collect()),
            _ => need,
        });
    }
    needs
}

/// The runs of a profile, each with its work and its roof.
fn run_shares(plan: &ProfilePlan, shapes: &[RoofShape]) -> Vec<Share> {
    let share = |r: &TrimRun| Share {
        work: match r.place {
            RunPlace::Ladder { .. } => WorkKind::LadderPoint,
            RunPlace::Hole { .. } if plan.finish == Finish::Wall => WorkKind::ChimneyUpstand,
            RunPlace::Parapet { .. } => WorkKind::Parapet,
            _ => trim_work(plan.finish),
        },
        roof: shapes.iter().find(|s| s.index == roof_of(r.place)).map(|s| s.name.clone()),
        weight: r.run.metres(),
    };
    plan.runs.iter().map(share).collect()
}

/// The stock lengths of a profile, and a spare one where little is left over.
fn trim_needs(plan: &ProfilePlan, shapes: &[RoofShape]) -> Vec<Need> {
    let need = |size: Length, n: usize, optional: bool| Need {
        role: Role::Trim(plan.finish),
        size: Some(size),
        quantity: count(n),
        lines: vec![LineId::TrimLengths(plan.finish)],
        shares: run_shares(plan, shapes),
        optional,
        weighs: None,
    };
    let lengths = by_stock(plan.bars.iter().map(|b| b.stock));
    let mut needs: Vec<Need> = lengths.iter().map(|(&size, &n)| need(size, n, false)).collect();
    if let (true, Some(longest)) = (plan.offer_spare, lengths.keys().next_back()) {
        needs.push(need(*longest, 1, true));
    }
    needs
}
