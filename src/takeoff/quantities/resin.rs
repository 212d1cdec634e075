//! Resin, topcoat and catalyst to order: what a roof takes, not what a laboratory laminate holds.
//!
//! Given the roofs as laid out, the rules and the catalyst's density; gives a line for each thing that takes resin,
//! with every allowance a line of its own, and the needs over all roofs. The bandage is taken to weigh what the roof's
//! mat weighs by the square metre. Mat takes resin where it is laid, laps twice, and not where it is cut out. A deck that is kept counts as bare board: nothing else may be laminated on.
//!
//! The physics of a laminate stands here too, free of voids:
//! ISO 12215-5, densities of glass 2.56 and of cured polyester 1.2 g/cm³ (from memory; the thickness formula follows
//! from them: `1/2.56 + (1 − ψ)/(1.2 ψ) = (2.56/ψ − 1.36)/3.072`).

use super::discs::discs;
use super::line::{Line, Need, Share, Step, Unit, pooled_work, shares};
use super::working::{formula, line, measured, number, result, rule, sum};
use crate::geometry::segment::distance;
use crate::model::surface::Aggregate;
use crate::model::{Finish, Length, LineId, Products, Role, Roof, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::RoofShape;
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

// ---- Physics -----------------------------------------------------------------------------------------------------

/// Resin in a laminate, in the unit of the glass (kg/m² or kg): `w (1 − ψ)/ψ`. `fraction` is the mass fraction of
/// glass, over 0 and at most 1.
pub fn resin_for_glass(glass: Decimal, fraction: Decimal) -> Decimal {
    glass * (Decimal::ONE - fraction) / fraction
}

/// Millilitres of catalyst for some resin: a dose in % **by mass**, and the catalyst's density in g/ml.
pub fn catalyst_ml(resin_kg: Decimal, percent: Decimal, density: Decimal) -> Decimal {
    resin_kg * percent / Decimal::ONE_HUNDRED * Decimal::ONE_THOUSAND / density
}

// ---- Lines -------------------------------------------------------------------------------------------------------

/// Ids of the lines that ask for laminating resin.
pub const RESIN: [LineId; 5] =
    [LineId::LaminateResin, LineId::BandageResin, LineId::SealResin, LineId::BucketResin, LineId::BoxResin];

/// Ids of the lines that ask for topcoat.
pub(super) const TOPCOAT: [LineId; 4] =
    [LineId::TopcoatMass, LineId::SurfaceTopcoat, LineId::BucketTopcoat, LineId::BoxTopcoat];

/// All lines of resin, topcoat and catalyst, and what must be bought. `laid[i]` is `roofs[i]`; `mats` holds the lines of
/// the layers of mat, `old` those of roofs whose laminate stays, which take catalyst with the others.
pub fn lines(
    roofs: &[Roof],
    laid: &[RoofLayout],
    (mats, old): (&[Line], &[Line]),
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let by_roof: Vec<Vec<Line>> = roofs.iter().zip(laid).map(|(roof, l)| roof_lines(roof, l, rules)).collect();
    let topcoat = topcoat_needs(roofs, &by_roof);
    let mut lines: Vec<Line> = by_roof.into_iter().flatten().collect();
    let mut needs: Vec<Need> = resin_need(&lines, mats).into_iter().collect();
    needs.extend(topcoat);
    needs.extend(aggregate_needs(roofs, &lines));
    let discs: Vec<&Line> = lines.iter().filter(|l| l.id == LineId::SurfaceDiscs).collect();
    needs.extend(Need::of(Role::AbrasiveDisc, &discs));
    let wet = old.iter().filter(|l| RESIN.contains(&l.id) || TOPCOAT.contains(&l.id));
    let all: Vec<Line> = lines.iter().chain(wet).cloned().collect();
    let work = if laid.is_empty() { pooled_work(old) } else { WorkKind::FirstLayer };
    let catalyst = catalyst(&all, work, rules, products.catalyst_density);
    let wet = all.iter().filter(|l| !matches!(l.id, LineId::SurfaceAggregate | LineId::SurfaceDiscs));
    let all = by_layer(shares(wet), mats);
    needs.extend(catalyst.as_ref().and_then(|l| Some(Need::of(Role::Catalyst, &[l])?.shared(all))));
    lines.extend(catalyst);
    (lines, needs)
}

/// Laminating resin of some lines, every allowance included, kg.
pub fn resin_total(lines: &[Line]) -> Decimal {
    total(lines, &RESIN)
}

/// Topcoat of some lines, every allowance included, kg.
pub fn topcoat_total(lines: &[Line]) -> Decimal {
    total(lines, &TOPCOAT)
}

fn total(lines: &[Line], ids: &[LineId]) -> Decimal {
    lines.iter().filter(|l| ids.contains(&l.id)).map(|l| l.quantity).sum()
}

fn roof_lines(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<Line> {
    let name = Some(layout.shape.name.as_str());
    let kg = |id: LineId, item: &str, working| line((id, work_of(id)), item, name, Unit::Kilogram, working);
    let resin: Vec<Line> = [
        kg(RESIN[0], "Resin for the laminate", laminate(layout, rules)),
        kg(RESIN[1], "Resin for the bandage", bandage(layout, rules)),
        kg(RESIN[2], "Resin to seal the bare deck", seal(layout, rules)),
        kg(RESIN[4], "Resin for the box gutter", lining(layout, rules)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let topcoat = kg(TOPCOAT[0], &format!("Topcoat, {}", roof.topcoat.colour), topcoat(roof, layout, rules));
    let spilt = kg(RESIN[3], "Resin left in buckets and rollers", bucket(&resin, rules));
    let aggregate = roof.topcoat.finish.aggregate.as_ref();
    let second = aggregate.and_then(|a| {
        kg(TOPCOAT[1], &format!("Topcoat, {}, second coat", roof.topcoat.colour), second_coat(a, &layout.shape, rules))
    });
    let grains = aggregate.and_then(|a| {
        kg(LineId::SurfaceAggregate, &format!("Aggregate, {}", a.grade), broadcast(a, &layout.shape, rules))
    });
    let worn = aggregate.and_then(|_| {
        let flat = layout.shape.area.square_metres();
        let flat = [formula(number(flat, Unit::SquareMetre), flat, Unit::SquareMetre)];
        let working = discs("disc_abraded", rules.disc_abraded, &flat);
        line((LineId::SurfaceDiscs, WorkKind::SlipResistant), "Abrasive discs", name, Unit::Each, working)
    });
    let in_gutter = format!("Topcoat, {}, box gutter", roof.topcoat.colour);
    let lining = kg(TOPCOAT[3], &in_gutter, lining_topcoat(layout, rules));
    let topcoat: Vec<Line> = topcoat.into_iter().chain(second).chain(lining).collect();
    let spilt_topcoat = kg(TOPCOAT[2], "Topcoat left in buckets and rollers", bucket(&topcoat, rules));
    resin.into_iter().chain(spilt).chain(topcoat).chain(spilt_topcoat).chain(grains).chain(worn).collect()
}

fn laminate(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let net: Decimal = layout.mat.pieces.iter().map(|p| p.net.square_metres()).sum();
    let cut: Decimal = layout.mat.pieces.iter().map(|p| (p.length * p.width).square_metres()).sum();
    let mut steps = Vec::new();
    if cut > net {
        steps.push(measured("mat, all layers as cut off the roll", cut, Unit::SquareMetre));
        steps.push(measured("of it cut out at walls, courts and openings", cut - net, Unit::SquareMetre));
    }
    steps.extend(wetted("mat, all layers as laid", net, layout.mat.weight, rules));
    steps
}

fn bandage(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let mut by_width: BTreeMap<Length, Decimal> = BTreeMap::new();
    let in_gutters = layout.box_gutters.iter().flat_map(|g| &g.bandage).map(|b| (b.width, b.length.metres()));
    let placed = layout.bandage.iter().map(|b| (b.width, b.length.metres()));
    let old = layout.old_boards.map(|_| (rules.bandage_joint, layout.old_joints(rules)));
    for (width, length) in placed.chain(in_gutters).chain(old) {
        *by_width.entry(width).or_default() += length;
    }
    let mut steps = Vec::new();
    let mut areas = Vec::new();
    for (width, l) in by_width.into_iter().filter(|(_, l)| *l > Decimal::ZERO) {
        let w = width.metres();
        areas.push(w * l);
        let text = format!("{} × {}", number(l, Unit::Metre), number(w, Unit::Metre));
        steps.push(formula(text, w * l, Unit::SquareMetre));
    }
    steps.push(Step::Note("bandage is taken to weigh by the square metre what the roof's mat weighs".into()));
    steps.extend(wetted("bandage", areas.iter().sum(), layout.mat.weight, rules));
    steps
}

/// Area × mat weight × (1 − g)/g.
pub(super) fn wetted(what: &str, area: Decimal, weight: u32, rules: &Rules) -> Vec<Step> {
    let weight = Decimal::new(i64::from(weight), 3);
    let (glass, g) = (area * weight, rules.glass_fraction);
    vec![
        measured(what, area, Unit::SquareMetre),
        formula(format!("{} × {} kg/m2", number(area, Unit::SquareMetre), weight.normalize()), glass, Unit::Kilogram),
        rule("glass_fraction", g.normalize()),
        formula(
            format!("{} × (1 − {g}) ÷ {g}", number(glass, Unit::Kilogram), g = g.normalize()),
            resin_for_glass(glass, g),
            Unit::Kilogram,
        ),
    ]
}

/// The lining of box gutters, and what their bare boards take up.
fn lining(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    if layout.box_gutters.is_empty() {
        return Vec::new();
    }
    let size = |length: Length, width: Length| length.metres() * width.metres();
    let mats = layout.box_gutters.iter().flat_map(|g| &g.mat);
    let boards = layout.box_gutters.iter().flat_map(|g| &g.boards);
    let area: Decimal = mats.map(|p| size(p.length, p.width)).sum();
    let faces: Decimal = boards.map(|b| size(b.length, b.width)).sum();
    let soak = rules.deck_soak.normalize();
    let mut steps = wetted("mat in the box gutter", area, layout.mat.weight, rules);
    let wet = result(&steps);
    steps.extend([
        measured("its boards", faces, Unit::SquareMetre),
        rule("deck_soak", format!("{soak} kg/m2")),
        formula(format!("{} × {soak} kg/m2", number(faces, Unit::SquareMetre)), faces * soak, Unit::Kilogram),
        sum("", &[wet, faces * soak], Unit::Kilogram),
    ]);
    steps
}

/// Topcoat of the lining: its girth over its length.
fn lining_topcoat(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let areas: Vec<Decimal> = layout.box_gutters.iter().map(|g| g.girth.metres() * g.long.metres()).collect();
    if areas.is_empty() {
        return Vec::new();
    }
    let rate = rules.topcoat_rate.normalize();
    let all = sum("girth of the lining by its length", &areas, Unit::SquareMetre);
    let covered = result(std::slice::from_ref(&all));
    let text = format!("{} × {rate} kg/m2", number(covered, Unit::SquareMetre));
    vec![all, rule("topcoat_rate", format!("{rate} kg/m2")), formula(text, covered * rate, Unit::Kilogram)]
}

fn seal(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let kept = layout.old_boards.is_some();
    let area = layout.old_boards.unwrap_or_else(|| layout.shape.deck_region(rules).area()).square_metres();
    let soak = rules.deck_soak.normalize();
    let mut steps = vec![
        measured(if kept { "kept deck" } else { "bare boards" }, area, Unit::SquareMetre),
        rule("deck_soak", format!("{soak} kg/m2")),
        formula(format!("{} × {soak} kg/m2", number(area, Unit::SquareMetre)), area * soak, Unit::Kilogram),
    ];
    if kept {
        steps.push(Step::Note(
            "a kept deck counts as bare board: never laminate onto felt, bitumen or wet board".into(),
        ));
    }
    let linings: Vec<Decimal> =
        layout.parapets.iter().flat_map(|l| &l.boards).map(|b| b.length.metres() * b.width.metres() * soak).collect();
    if !linings.is_empty() {
        let boards: Decimal = linings.iter().sum();
        steps.push(measured("the boards of parapets take up as much by the square metre", boards, Unit::Kilogram));
        steps.push(sum("", &[area * soak, boards], Unit::Kilogram));
    }
    steps
}

fn topcoat(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let area = layout.shape.area.square_metres();
    let mut steps = vec![measured("roof, on plan", area, Unit::SquareMetre)];
    let mut areas = vec![area];
    for (finish, run) in runs(&layout.shape) {
        let (girth, run) = (rules.topcoat_girth.of(finish).metres(), run.metres());
        if girth > Decimal::ZERO {
            steps.push(measured(format!("{} run", finish.word()), run, Unit::Metre));
            steps.push(rule("topcoat_girth", format!("{} {}", finish.word(), rules.topcoat_girth.of(finish))));
            let text = format!("{} × {}", number(run, Unit::Metre), number(girth, Unit::Metre));
            steps.push(formula(text, run * girth, Unit::SquareMetre));
            areas.push(run * girth);
        }
    }
    for side in layout.shape.sides.iter().filter(|s| s.sill.is_some()) {
        let (run, up) = (side.run.metres(), side.carried.max(rules.topcoat_girth.wall).metres());
        steps.push(measured(format!("door sill at {}", side.label), run, Unit::Metre));
        let text = format!("{} × {}", number(run, Unit::Metre), number(up, Unit::Metre));
        steps.push(formula(text, run * up, Unit::SquareMetre));
        areas.push(run * up);
    }
    for (side, wall) in layout.shape.sides.iter().filter_map(|s| Some((s, s.coped?))) {
        let (long, face) = (wall.long.metres(), (wall.carried() + rules.topcoat_girth.drip).metres());
        steps.push(measured(format!("parapet at {}, along its outer edge", side.label), long, Unit::Metre));
        steps.push(measured("up its face, over its top and down its outer trim", face, Unit::Metre));
        let text = format!("{} × {}", number(long, Unit::Metre), number(face, Unit::Metre));
        steps.push(formula(text, long * face, Unit::SquareMetre));
        areas.push(long * face);
    }
    let all = sum("roof and trim faces", &areas, Unit::SquareMetre);
    let covered = result(std::slice::from_ref(&all));
    let rate = rules.topcoat_rate.normalize();
    steps.push(all);
    steps.push(rule("topcoat_rate", format!("{rate} kg/m2")));
    steps.push(formula(
        format!("{} × {rate} kg/m2", number(covered, Unit::SquareMetre)),
        covered * rate,
        Unit::Kilogram,
    ));
    let topcoat = &roof.topcoat;
    steps.push(Step::Note(format!(
        "{}, {}: ask for one batch number for the whole order",
        topcoat.colour, topcoat.finish.key
    )));
    steps
}

/// The second coat, on the flat of the roof alone: nobody walks on the trims' faces.
fn second_coat(aggregate: &Aggregate, shape: &RoofShape, rules: &Rules) -> Vec<Step> {
    let (area, share) = (shape.area.square_metres(), aggregate.figures(rules).topcoat.normalize());
    let rate = rules.topcoat_rate.normalize();
    let mass = area * rate * share / Decimal::ONE_HUNDRED;
    let mut steps =
        vec![measured("roof, on plan", area, Unit::SquareMetre), rule("topcoat_rate", format!("{rate} kg/m2"))];
    steps.push(figure(aggregate, "aggregate_topcoat", format!("{share} % of topcoat_rate")));
    let text = format!("{} × {rate} kg/m2 × {share} ÷ 100", number(area, Unit::SquareMetre));
    steps.push(formula(text, mass, Unit::Kilogram));
    steps
}

fn broadcast(aggregate: &Aggregate, shape: &RoofShape, rules: &Rules) -> Vec<Step> {
    let (area, rate) = (shape.area.square_metres(), aggregate.figures(rules).rate.normalize());
    vec![
        measured("roof, on plan", area, Unit::SquareMetre),
        figure(aggregate, "aggregate_rate", format!("{rate} kg/m2")),
        formula(format!("{} × {rate} kg/m2", number(area, Unit::SquareMetre)), area * rate, Unit::Kilogram),
        Step::Note("broadcast until no wet topcoat shows; what lies loose is swept off and not used again".into()),
    ]
}

/// A figure of a surface: the rule by its name, or the firm's own.
pub(super) fn figure(aggregate: &Aggregate, name: &'static str, value: String) -> Step {
    match aggregate.own {
        None => rule(name, value),
        Some(_) => Step::Note(format!("the firm's own figure for this surface: {value}")),
    }
}

/// The run of each finish, round the outline and round its holes; a pipe has none.
fn runs(shape: &RoofShape) -> BTreeMap<Finish, Length> {
    let mut runs: BTreeMap<Finish, Length> = BTreeMap::new();
    for side in shape.sides.iter().filter(|s| s.sill.is_none() && s.coped.is_none()) {
        *runs.entry(side.finish).or_default() += side.run;
    }
    for hole in shape.holes.iter().filter(|h| !h.round) {
        let round = (0..hole.ring.len()).map(|i| distance(hole.ring[i], hole.ring[(i + 1) % hole.ring.len()]));
        *runs.entry(hole.finish).or_default() += round.sum();
    }
    runs
}

/// The allowance for what stays in the bucket, on some lines of one roof.
pub(super) fn bucket(lines: &[Line], rules: &Rules) -> Vec<Step> {
    let masses: Vec<Decimal> = lines.iter().map(|l| l.quantity).collect();
    let loss = rules.bucket_loss.normalize();
    let mut steps: Vec<Step> = lines.iter().map(|l| measured(l.id.to_string(), l.quantity, Unit::Kilogram)).collect();
    let all: Decimal = masses.iter().sum();
    if masses.len() > 1 {
        steps.push(sum("", &masses, Unit::Kilogram));
    }
    steps.push(rule("bucket_loss", format!("{loss} %")));
    steps.push(formula(
        format!("{} × {loss} ÷ 100", number(all, Unit::Kilogram)),
        all * loss / Decimal::ONE_HUNDRED,
        Unit::Kilogram,
    ));
    steps
}

/// Catalyst over all roofs.
fn catalyst(lines: &[Line], work: WorkKind, rules: &Rules, density: Decimal) -> Option<Line> {
    let (resin, topcoat) = (resin_total(lines), topcoat_total(lines));
    let all = resin + topcoat;
    let (dose, density) = (rules.catalyst_to_order.normalize(), density.normalize());
    let mass = all * dose / Decimal::ONE_HUNDRED;
    let working = vec![
        measured("all resin, what stays in the bucket included", resin, Unit::Kilogram),
        measured("all topcoat, what stays in the bucket included", topcoat, Unit::Kilogram),
        sum("", &[resin, topcoat], Unit::Kilogram),
        rule("catalyst_to_order", format!("{dose} % by mass")),
        formula(format!("{} × {dose} ÷ 100", number(all, Unit::Kilogram)), mass, Unit::Kilogram),
        formula(
            format!("{} × 1000 ÷ {density} g/ml", number(mass, Unit::Kilogram)),
            catalyst_ml(all, dose, density),
            Unit::Millilitre,
        ),
        Step::Note("this is what is ordered; the mix card and the data sheet say what is used on the day".into()),
    ];
    line((LineId::CatalystVolume, work), "Catalyst", None, Unit::Millilitre, working)
}

// ---- Needs -------------------------------------------------------------------------------------------------------

fn resin_need(lines: &[Line], mats: &[Line]) -> Option<Need> {
    let of: Vec<&Line> = lines.iter().filter(|l| RESIN.contains(&l.id)).collect();
    let need = Need::of(Role::Resin, &of)?;
    let shares = by_layer(need.shares.clone(), mats);
    Some(need.shared(shares))
}

/// The work of a line of resin or topcoat; what the laminate takes is shared over its layers by [`by_layer`].
const fn work_of(id: LineId) -> WorkKind {
    match id {
        LineId::BandageResin => WorkKind::Bandage,
        LineId::BoxResin | LineId::BoxTopcoat => WorkKind::GutterLining,
        LineId::TopcoatMass | LineId::BucketTopcoat => WorkKind::Topcoat,
        LineId::SurfaceTopcoat | LineId::SurfaceAggregate => WorkKind::SlipResistant,
        _ => WorkKind::FirstLayer,
    }
}

/// What stands for a roof's laminate, shared over its layers by their area.
fn by_layer(shares: Vec<Share>, mats: &[Line]) -> Vec<Share> {
    let part = |share: &Share, id: LineId| -> Decimal {
        let of_roof = || mats.iter().filter(|l| l.roof == share.roof);
        let area =
            |is: &dyn Fn(LineId) -> bool| -> Decimal { of_roof().filter(|l| is(l.id)).map(|l| l.quantity).sum() };
        let all = area(&|id| matches!(id, LineId::MatFirst | LineId::MatFurther));
        if all.is_zero() { Decimal::ZERO } else { share.weight * area(&|i| i == id) / all }
    };
    let split = |share: Share| -> Vec<Share> {
        if share.work != WorkKind::FirstLayer {
            return vec![share];
        }
        let further = part(&share, LineId::MatFurther);
        let over = Share { work: WorkKind::FurtherLayers, weight: further, ..share.clone() };
        let first = Share { weight: share.weight - further, ..share };
        [first, over].into_iter().filter(|s| s.weight > Decimal::ZERO).collect()
    };
    shares.into_iter().flat_map(split).collect()
}

/// Topcoat by colour, from the lines of each roof.
fn topcoat_needs(roofs: &[Roof], by_roof: &[Vec<Line>]) -> Vec<Need> {
    let mut colours: BTreeMap<String, Vec<&Line>> = BTreeMap::new();
    for (roof, lines) in roofs.iter().zip(by_roof) {
        let topcoat = lines.iter().filter(|l| TOPCOAT.contains(&l.id));
        colours.entry(role_word(&roof.topcoat.colour)).or_default().extend(topcoat);
    }
    colours.into_iter().filter_map(|(colour, lines)| Need::of(Role::Topcoat(colour), &lines)).collect()
}

/// Aggregate by role, from the lines of each roof.
fn aggregate_needs(roofs: &[Roof], lines: &[Line]) -> Vec<Need> {
    let mut roles: BTreeMap<Role, Vec<&Line>> = BTreeMap::new();
    for roof in roofs {
        let Some(aggregate) = &roof.topcoat.finish.aggregate else { continue };
        let of_roof = |l: &&Line| l.id == LineId::SurfaceAggregate && l.roof.as_ref() == Some(&roof.name);
        roles.entry(aggregate.role.clone()).or_default().extend(lines.iter().filter(of_roof));
    }
    roles.into_iter().filter_map(|(role, lines)| Need::of(role, &lines)).collect()
}

/// A colour as roles write it: lower case, words joined by hyphens.
pub(super) fn role_word(colour: &str) -> String {
    colour.to_lowercase().split_whitespace().collect::<Vec<_>>().join("-")
}
