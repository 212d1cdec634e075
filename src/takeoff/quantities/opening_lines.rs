//! The lines of new timber round openings: kerbs, trimmers, hangers, screws, and the lengths to buy.
//!
//! Given the pieces of each roof and what they are cut from; gives lines and needs. Screws stand along each kerb and along
//! each joint of timbers that lie side by side, there in two rows.

use super::line::{Line, Need, Share, Step, Unit};
use super::working::{by_stock, count, formula, line, measured, proven, rule, sum};
use crate::model::{Length, LineId, Role, Rules};
use crate::rule;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::timber::{OpeningTimber, OpeningTimbers, TimberKind, TimberPlan};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Lines and needs of one roof's openings; what comes to nothing is left out.
pub fn opening_lines(roof: &RoofLayout, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let (of, name) = (&roof.openings, Some(roof.shape.name.as_str()));
    let hole = |i: usize| roof.shape.holes.get(i).map_or("", |h| h.name.as_str());
    let joists: Vec<&OpeningTimber> = of.edge_joists().collect();
    let trimmers: Vec<&OpeningTimber> = of.of_kerbs(false).collect();
    let kerbs: Vec<&OpeningTimber> = of.of_kerbs(true).collect();
    let lengths = |pieces: &[&OpeningTimber]| {
        let mut steps: Vec<Step> = pieces
            .chunk_by(|a, b| (a.kind, a.hole, a.length) == (b.kind, b.hole, b.length))
            .map(|same| {
                let what = format!(
                    "{}, {}, {} of {}",
                    same[0].place(&roof.shape),
                    same[0].kind.words(),
                    same[0].section,
                    same[0].length
                );
                measured(what, count(same.len()), Unit::Each)
            })
            .collect();
        steps.push(sum("", &pieces.iter().map(|p| p.length.metres()).collect::<Vec<_>>(), Unit::Metre));
        steps
    };
    let mut long = vec![
        rule("trimmer_plies", format!("{} each", rules.trimmer_plies)),
        rule("joist_bearing", rules.joist_bearing),
    ];
    long.extend(lengths(&trimmers));
    let ripped = |kerb: &(usize, Length)| {
        let (&(i, depth), up) = (kerb, rules.mat_return.kerb);
        let words = if of.is_as_sold(kerb) {
            format!(
                "{}, kerb as sold: {up} above the finished roof + {} of firrings, boards and what lies over them, at most {} \
                 of it too much",
                hole(i),
                depth - up,
                rule!(rules, kerb_rip)
            )
        } else {
            format!(
                "{}, kerb ripped to: {up} above the finished roof + {} of firrings, boards and what lies over them",
                hole(i),
                depth - up
            )
        };
        measured(words, depth.metres(), Unit::Metre)
    };
    let mut stand = vec![rule("mat_return", format!("kerb {}", rules.mat_return.kerb))];
    stand.extend(of.kerbs.iter().map(ripped));
    stand.extend(lengths(&kerbs));
    let of_trimmers = |id, item, unit, working| line((id, WorkKind::Trimmers), item, name, unit, working);
    let of_kerbs = |id, item, unit, working| line((id, WorkKind::NewKerb), item, name, unit, working);
    let along_edges = |id, item, unit, working| line((id, WorkKind::EdgeJoists), item, name, unit, working);
    let mut set = vec![
        rule("joist_bearing", rules.joist_bearing),
        Step::Note(
            "along every edge that runs with the joists and has none, from end to end, and into the walls there".into(),
        ),
    ];
    set.extend(lengths(&joists));
    let all = [
        along_edges(LineId::EdgeJoists, "Joists along edges", Unit::Metre, set),
        along_edges(
            LineId::EdgeJoistFixings,
            "Screws for joists along edges",
            Unit::Each,
            super::noggin_lines::end_screws("joists", joists.len(), rules),
        ),
        of_trimmers(LineId::TrimmerLength, "Trimmers and doubled joists", Unit::Metre, long),
        of_trimmers(LineId::TrimmerHangers, "Joist hangers", Unit::Each, hangers(of)),
        of_trimmers(LineId::HangerNails, "Nails for joist hangers", Unit::Each, hanger_nails(of, rules)),
        of_trimmers(LineId::TrimmerFixings, "Screws for doubled timbers", Unit::Each, joined(of, rules)),
        of_kerbs(LineId::KerbTimber, "Kerb timber", Unit::Metre, stand),
        of_kerbs(LineId::KerbFixings, "Screws for kerbs", Unit::Each, fixed(of, rules)),
    ];
    let lines: Vec<Line> = all.into_iter().flatten().collect();
    let screws: Vec<&Line> =
        lines.iter().filter(|l| matches!(l.id, LineId::TrimmerFixings | LineId::KerbFixings)).collect();
    let mut needs: Vec<Need> = Need::of(Role::TimberFixings, &screws).into_iter().collect();
    let nails = lines.iter().find(|l| l.id == LineId::HangerNails);
    let ends = lines.iter().find(|l| l.id == LineId::EdgeJoistFixings);
    needs.extend(ends.and_then(|l| Need::of(Role::FramingFixings, &[l])));
    needs.extend(nails.and_then(|l| Need::of(Role::HangerNails, &[l])));
    let share = Share { work: WorkKind::Trimmers, roof: name.map(str::to_owned), weight: Decimal::ONE };
    needs.extend(of.hangers.iter().map(|(&thickness, &n)| Need {
        role: Role::Hanger,
        size: Some(thickness),
        quantity: count(n),
        lines: vec![LineId::TrimmerHangers],
        shares: vec![share.clone()],
        optional: false,
        weighs: None,
    }));
    (lines, needs)
}

fn hangers(of: &OpeningTimbers) -> Vec<Step> {
    let mut steps: Vec<Step> = of
        .hangers
        .iter()
        .map(|(thickness, &n)| measured(format!("hangers for {thickness}"), count(n), Unit::Each))
        .collect();
    steps.push(Step::Note(
        "one at each end of what hangs on a joist, several side by side in one, and one at each end of a joist that is cut"
            .into(),
    ));
    steps.push(sum("", &of.hangers.values().map(|&n| count(n)).collect::<Vec<_>>(), Unit::Each));
    steps
}

/// One in every hole.
fn hanger_nails(of: &OpeningTimbers, rules: &Rules) -> Vec<Step> {
    let n: usize = of.hangers.values().sum();
    if n == 0 {
        return Vec::new();
    }
    let nails = count(n) * Decimal::from(rules.hanger_nails);
    let text = formula(format!("{n} × {}", rules.hanger_nails), nails, Unit::Each);
    vec![measured("hangers", count(n), Unit::Each), rule("hanger_nails", rules.hanger_nails), text]
}

/// Two rows along each joint between timbers that lie side by side.
fn joined(of: &OpeningTimbers, rules: &Rules) -> Vec<Step> {
    let (mut steps, mut terms) = (vec![rule("timber_fixing", rules.timber_fixing)], Vec::new());
    for (length, &n) in &of.joints {
        let row = length.places(rules.timber_fixing);
        let screws = count(n) * Decimal::from(2 * row);
        steps.push(formula(format!("joints of {length}, two rows: {n} × 2 × {row}"), screws, Unit::Each));
        terms.push(screws);
    }
    steps.push(sum("", &terms, Unit::Each));
    steps
}

/// Along each side of a kerb, down into what it stands on, and two in each of its corners.
fn fixed(of: &OpeningTimbers, rules: &Rules) -> Vec<Step> {
    let (mut steps, mut terms) = (vec![rule("timber_fixing", rules.timber_fixing)], Vec::new());
    for kerb in of.of_kerbs(true) {
        let screws = Decimal::from(kerb.length.places(rules.timber_fixing));
        steps.push(measured(format!("screws along {}", kerb.length), screws, Unit::Each));
        terms.push(screws);
    }
    let corners = of.kerbs.len() * 4;
    terms.push(count(corners * 2));
    steps.push(formula(format!("two in each corner: {corners} × 2"), count(corners * 2), Unit::Each));
    steps.push(sum("", &terms, Unit::Each));
    steps
}

/// The lengths to buy, over all roofs, and the needs for them.
pub fn bought_lines(plans: &[TimberPlan], laid: &[RoofLayout], rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let (mut steps, mut terms, mut needs) = (vec![rule("kerf", rules.kerf)], Vec::new(), Vec::new());
    let mut work = WorkKind::NewKerb;
    for plan in plans {
        let shares = shares(plan, laid);
        for kind in [WorkKind::EdgeJoists, WorkKind::Trimmers] {
            if shares.iter().any(|s| s.work == kind) {
                work = kind;
            }
        }
        steps.push(Step::Note(format!(
            "{}: {}",
            plan.section,
            proven(&plan.proof, |figure| plan.cost_in_words(figure))
        )));
        for (length, n) in by_stock(plan.bars.iter().map(|b| b.stock)) {
            steps.push(measured(format!("{} in lengths of {length}", plan.section), count(n), Unit::Each));
            terms.push(count(n));
            needs.push(Need {
                role: Role::Sawn(plan.section),
                size: Some(length),
                quantity: count(n),
                lines: vec![LineId::SawnLengths],
                shares: shares.clone(),
                optional: false,
                weighs: None,
            });
        }
    }
    steps.push(sum("", &terms, Unit::Each));
    let on_edges =
        plans.iter().flat_map(|p| &p.bars).flat_map(|b| &b.pieces).any(|p| p.1.kind == TimberKind::EdgeJoist);
    let item = if on_edges { "Lengths for new joists, trimmers and kerbs" } else { "Lengths for kerbs and trimmers" };
    let line = line((LineId::SawnLengths, work), item, None, Unit::Each, steps);
    (line.into_iter().collect(), needs)
}

/// What each work takes of a section, by length.
fn shares(plan: &TimberPlan, laid: &[RoofLayout]) -> Vec<Share> {
    let work = |kind: TimberKind| match kind {
        TimberKind::Trimmer | TimberKind::Side | TimberKind::Doubling => WorkKind::Trimmers,
        TimberKind::Kerb => WorkKind::NewKerb,
        TimberKind::EdgeJoist => WorkKind::EdgeJoists,
    };
    let mut by: BTreeMap<(usize, WorkKind), Length> = BTreeMap::new();
    for (roof, piece) in plan.bars.iter().flat_map(|b| &b.pieces) {
        *by.entry((*roof, work(piece.kind))).or_default() += piece.length;
    }
    let share = |((roof, work), length): ((usize, WorkKind), Length)| Share {
        work,
        roof: laid.get(roof).map(|l| l.shape.name.clone()),
        weight: length.metres(),
    };
    by.into_iter().map(share).collect()
}
