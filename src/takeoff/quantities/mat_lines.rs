//! Lines of the roof's area and its mat, and the roll that must be bought.
//!
//! Given the roofs as laid out; gives `roof.area` and `mat.area` for each roof, and `mat.<weight>.length`, the metres of
//! roll of each weight over all roofs. Where rolls of a known length cannot be used up to their ends, as much more is
//! asked for as makes sure that every strip comes whole out of whichever rolls are bought.

use super::box_gutter_lines;
use super::line::{Line, Need, Step, Unit, shares};
use super::working::{at_least, formula, line, measured, number, result, rule, sum};
use crate::cutting::rolls::{OutOfRolls, RollPlan, least_roll};
use crate::geometry::ring::ring_area;
use crate::geometry::whole::div_ceil;
use crate::model::products::MatRoll;
use crate::model::words::plural;
use crate::model::{Finish, Length, LineId, Point, Products, Role, Rules};
use crate::rule;
use crate::takeoff::layout::patches::OldRoofLayout;
use crate::takeoff::layout::shape::{RoofShape, Side};
use crate::takeoff::layout::{MatNote, MatPiece, RoofLayout, WhyUpTheFall};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// `roof.area` and `mat.area` of every roof, and the need for mat, that of the patches in old laminates included.
pub fn lines(
    laid: &[RoofLayout],
    (old, patches): (&[OldRoofLayout], &[Line]),
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let areas = laid.iter().filter_map(|r| roof_area(&r.shape));
    let mats = laid.iter().filter_map(|r| mat_area(r, rules, &roll_of(products, r.mat.weight)));
    let layers = laid.iter().flat_map(|r| [MatLayer::First, MatLayer::Further].map(|l| layer_area(r, l)));
    let linings = laid.iter().filter_map(box_gutter_lines::lining);
    let mut lines: Vec<Line> = areas.chain(mats).chain(layers.flatten()).chain(linings).collect();
    let (lengths, needs) = lengths((laid, old), (&lines, patches), rules, products);
    lines.extend(lengths);
    (lines, needs)
}

/// The roll of a weight; a roll 1 m wide of no known length where no book sells that weight.
pub fn roll_of(products: &Products, weight: u32) -> MatRoll {
    let usual = || MatRoll { weight, width: Length::mm(1000), rolls: Vec::new() };
    products.mats.get(&weight).cloned().unwrap_or_else(usual)
}

fn roof_area(shape: &RoofShape) -> Option<Line> {
    let gross = ring_area(&shape.ring()).square_metres();
    let mut working = vec![measured("inside the outline, on plan", gross, Unit::SquareMetre)];
    let mut text = number(gross, Unit::SquareMetre);
    let mut net = gross;
    for hole in &shape.holes {
        let area = ring_area(&hole.ring).square_metres();
        working.push(measured(format!("{}, to the outside", hole.name), area, Unit::SquareMetre));
        text += &format!(" − {}", number(area, Unit::SquareMetre));
        net -= area;
    }
    working.push(formula(text, net, Unit::SquareMetre));
    working.push(Step::Note(
        "on plan, net of every hole; a fall of 1:40 would add 3 parts in 10,000 and is left out".into(),
    ));
    line((LineId::RoofArea, WorkKind::FirstLayer), "Roof area", Some(&shape.name), Unit::SquareMetre, working)
}

fn mat_area(roof: &RoofLayout, rules: &Rules, roll: &MatRoll) -> Option<Line> {
    let mut working = vec![
        measured("width of the roll", roll.width.metres(), Unit::Metre),
        rule("mat_lap", rules.mat_lap),
        rule("mat_end_lap", rules.mat_end_lap),
        rule("mat_longest", rules.mat_longest),
        rule("mat_narrowest", rules.mat_narrowest),
        rule("mat_shortest", rules.mat_shortest),
    ];
    working.extend(returns(roof, rules));
    working.extend(own_returns(roof, rules));
    let layers = roof.mat.pieces.iter().map(|p| p.layer).max().map_or(0, |l| l + 1);
    let mut areas = Vec::new();
    for layer in 0..layers {
        let mut pieces: Vec<&MatPiece> = roof.mat.pieces.iter().filter(|p| p.layer == layer).collect();
        pieces.sort_by_key(|p| (p.strip, p.mark.len(), &p.mark));
        working.extend(strip_count(layer, &pieces, roll, rules));
        for same in pieces.chunk_by(|a, b| (a.length, a.width) == (b.length, b.width)) {
            let step = pieces_step(same);
            areas.push(result(std::slice::from_ref(&step)));
            working.push(step);
        }
    }
    working.push(sum("all strips as cut", &areas, Unit::SquareMetre));
    working.extend(roof.mat.notes.iter().filter_map(reason));
    line(
        (LineId::MatArea, WorkKind::FirstLayer),
        format!("Mat {} g/m2, as cut", roof.mat.weight),
        Some(&roof.shape.name),
        Unit::SquareMetre,
        working,
    )
}

/// The first layer of mat, or those over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum MatLayer {
    First,
    Further,
}

/// The strips of the first layer, or of the further ones, as cut: what the norm for laying is multiplied by.
fn layer_area(roof: &RoofLayout, layer: MatLayer) -> Option<Line> {
    let (id, work, item) = match layer {
        MatLayer::First => (LineId::MatFirst, WorkKind::FirstLayer, "first layer"),
        MatLayer::Further => (LineId::MatFurther, WorkKind::FurtherLayers, "further layers"),
    };
    let of = |p: &&MatPiece| (p.layer == 0) == (layer == MatLayer::First);
    let areas: Vec<Decimal> = roof.mat.pieces.iter().filter(of).map(|p| p.length.metres() * p.width.metres()).collect();
    let working = vec![sum("strips as cut", &areas, Unit::SquareMetre)];
    let item = format!("Mat {} g/m2, {item}", roof.mat.weight);
    line((id, work), item, Some(&roof.shape.name), Unit::SquareMetre, working)
}

/// One step for the returns that this roof has by the rule.
fn returns(roof: &RoofLayout, rules: &Rules) -> Option<Step> {
    let mut finishes: Vec<_> = roof.shape.sides.iter().map(|s| s.finish).collect();
    finishes.extend(roof.shape.holes.iter().filter(|h| !h.round).map(|h| h.finish));
    finishes.sort();
    finishes.dedup();
    let each = finishes.iter().map(|&f| format!("{} {}", f.word(), rules.mat_return.of(f)));
    (!finishes.is_empty()).then(|| rule("mat_return", each.collect::<Vec<_>>().join(", ")))
}

/// Where the mat is carried otherwise than the rule says.
fn own_returns<'a>(roof: &'a RoofLayout, rules: &'a Rules) -> impl Iterator<Item = Step> + 'a {
    let own = roof.shape.sides.iter().filter(|s| s.carried != rules.mat_return.of(s.finish));
    let over = |s: &Side| match s.finish {
        Finish::Step => format!(", {} of it to go over the fillet", rule!(rules, fillet_over)),
        _ => String::new(),
    };
    let low = roof.shape.holes.iter().filter(|h| !h.round && h.carried != rules.mat_return.of(h.finish));
    own.map(move |s| Step::Note(format!("at {} it is carried {}{}", s.label, s.carried, over(s)))).chain(
        low.map(|h| Step::Note(format!("up {} it is carried {}: no more is left of its kerb", h.name, h.carried))),
    )
}

/// Why the mat is so much; what only the crew needs is left out.
fn reason(note: &MatNote) -> Option<Step> {
    let m = |length: &Length| format!("{} m", length.metres().normalize());
    let words = match note {
        MatNote::AlongLowEdge { .. } => "strips lie along the low edge".to_owned(),
        MatNote::OneStrip { .. } => "one strip".to_owned(),
        MatNote::UpTheFall { way_off, why, .. } => match why {
            WhyUpTheFall::AtLowEdge => format!("strips run up the fall: the crew leaves at {way_off}"),
            WhyUpTheFall::CutOff | WhyUpTheFall::Squeezed => {
                format!("strips run up the fall: along the low edge wet mat lies in the way to {way_off}")
            }
            WhyUpTheFall::Tucked => "strips run up the fall: along the low edge a lap would be tucked under".to_owned(),
        },
        MatNote::NarrowerForStrips { by, least } => {
            format!("the first strip is {by} narrower, so that no strip is narrower than {least}")
        }
        MatNote::NarrowerToLeave { by } => format!("the first strip is {by} narrower, for a way off over bare deck"),
        MatNote::NarrowerOffJoints { by, offset } => {
            format!("the first strip is {by} narrower, so that laps keep {offset} off the deck's joints")
        }
        MatNote::NearJoints { strips, offset } => {
            let between: Vec<String> = strips.iter().map(|k| format!("{k} and {}", k + 1)).collect();
            format!("within {offset} of a deck joint, and dearer otherwise: laps between strips {}", between.join(", "))
        }
        MatNote::Rolls { rolls, needed, fewest, .. } if rolls > fewest => {
            format!("{} fill {rolls} rolls, not {fewest}: what is left of a roll is too short", m(needed))
        }
        MatNote::Rolls { rolls, .. } => format!("whole out of {}", plural(*rolls, "roll", "rolls")),
        MatNote::Metres { bought, needed, fewest, .. } if bought > fewest => {
            format!("{} take {} of roll, not {}: what is left of a roll is too short", m(needed), m(bought), m(fewest))
        }
        MatNote::Metres { bought, .. } => format!("whole out of {} of roll", m(bought)),
        _ => return None,
    };
    Some(Step::Note(words))
}

/// How the number of strips follows from the width; only the count where rounding on a skew roof hides it.
fn strip_count(layer: usize, pieces: &[&MatPiece], roll: &MatRoll, rules: &Rules) -> Vec<Step> {
    let Some(width) = across(pieces) else { return Vec::new() };
    let counted = pieces.iter().map(|p| p.strip).max().map_or(0, |k| k as i64 + 1);
    let narrower = if counted > 1 { first_narrower(pieces, roll) } else { 0 };
    let (lap, step) = (rules.mat_lap.as_mm(), (roll.width - rules.mat_lap).as_mm());
    let name = format!("layer {}", layer + 1);
    if div_ceil(width + narrower - lap, step).max(1) != counted {
        return vec![measured(format!("{name}: strips"), counted.into(), Unit::Each)];
    }
    let m = |mm: i64| number(Length::mm(mm).metres(), Unit::Metre);
    let more = if narrower > 0 { format!(" + {}", m(narrower)) } else { String::new() };
    let text = format!("{name}: ({}{more} − {}) ÷ ({} − {})", m(width), m(lap), m(roll.width.as_mm()), m(lap));
    let exact = Decimal::from(width + narrower - lap) / Decimal::from(step);
    let mut steps =
        vec![measured(format!("{name}: width to cover, returns included"), Length::mm(width).metres(), Unit::Metre)];
    if narrower > 0 {
        steps.push(measured(format!("{name}: first strip narrower by"), Length::mm(narrower).metres(), Unit::Metre));
    }
    steps.push(formula(text, exact, Unit::Each));
    steps.push(Step::Rounded { how: "up to whole strips".into(), result: counted.into(), unit: Unit::Each });
    steps
}

fn pieces_step(same: &[&MatPiece]) -> Step {
    let (first, last) = (same[0], same[same.len() - 1]);
    let area = first.length.metres() * first.width.metres() * Decimal::from(same.len());
    let sides =
        format!("{} × {}", number(first.length.metres(), Unit::Metre), number(first.width.metres(), Unit::Metre));
    let text = match same.len() {
        1 => format!("strip {}: {sides}", first.mark),
        n => format!("strips {} to {}: {n} × {sides}", first.mark, last.mark),
    };
    formula(text, area, Unit::SquareMetre)
}

/// How far all pieces of a layer reach across the strips, mm.
fn across(pieces: &[&MatPiece]) -> Option<i64> {
    let levels = levels(pieces)?;
    let (low, high) = (min_of(levels.iter().map(|l| l.0)), max_of(levels.iter().map(|l| l.1)));
    Some((high - low).round() as i64)
}

/// How much narrower than the roll the first strip is: it reaches its band's end wherever the roof goes on.
fn first_narrower(pieces: &[&MatPiece], roll: &MatRoll) -> i64 {
    let levels = levels(pieces).unwrap_or_default();
    let first = pieces.iter().zip(&levels).filter(|(p, _)| p.strip == 0).map(|(_, l)| *l);
    let (low, high) = (min_of(levels.iter().map(|l| l.0)), max_of(first.map(|l| l.1)));
    (roll.width.as_mm() - (high - low).round() as i64).max(0)
}

fn min_of(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::INFINITY, f64::min)
}

fn max_of(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::NEG_INFINITY, f64::max)
}

/// Where each piece starts and ends across the strips; measured square to the longest piece, which is the truest.
fn levels(pieces: &[&MatPiece]) -> Option<Vec<(f64, f64)>> {
    let truest = pieces.iter().max_by_key(|p| p.length)?;
    let (a, b) = (truest.ring[0], truest.ring[1]);
    let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
    let length = dx.hypot(dy);
    let c = truest.ring[3];
    let way = if (c.x - a.x) as f64 * -dy + (c.y - a.y) as f64 * dx < 0.0 { -1.0 } else { 1.0 };
    let level = |p: Point| way * (p.x as f64 * -dy + p.y as f64 * dx) / length;
    Some(pieces.iter().map(|p| (level(p.ring[0]), level(p.ring[3]))).collect())
}

/// Roll of each weight, over all roofs: the line and the need.
fn lengths(
    (laid, old): (&[RoofLayout], &[OldRoofLayout]),
    (layers, patches): (&[Line], &[Line]),
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let mut weights: BTreeMap<u32, Vec<(Length, Length)>> = BTreeMap::new();
    for roof in laid.iter().filter(|r| !r.mat.pieces.is_empty()) {
        weights.entry(roof.mat.weight).or_default().extend(cut_sizes(roof));
    }
    for roof in old.iter().filter(|r| !r.patches.is_empty()) {
        let pieces = roof.patches.iter().flat_map(|p| &p.mat).map(|p| (p.length, p.width));
        weights.entry(roof.mat).or_default().extend(pieces);
    }
    let work = if laid.is_empty() { WorkKind::PatchLaminate } else { WorkKind::FirstLayer };
    let lines: Vec<(u32, Line)> = weights
        .into_iter()
        .filter_map(|(weight, sizes)| {
            Some((weight, length_line((weight, work), &sizes, rules, &roll_of(products, weight))?))
        })
        .collect();
    let of_weight = |weight: u32| {
        let is = move |l: &&Line| {
            let on = laid.iter().any(|r| l.roof.as_ref() == Some(&r.shape.name) && r.mat.weight == weight);
            on && matches!(l.id, LineId::MatFirst | LineId::MatFurther | LineId::BoxLining)
        };
        let patched = move |l: &&Line| {
            let on = old.iter().any(|r| l.roof.as_ref() == Some(&r.name) && r.mat == weight);
            on && l.id == LineId::PatchMat
        };
        shares(layers.iter().filter(is).chain(patches.iter().filter(patched)))
    };
    let need = |(weight, line): &(u32, Line)| Some(Need::of(Role::Mat(*weight), &[line])?.shared(of_weight(*weight)));
    let needs = lines.iter().filter_map(need).collect();
    (lines.into_iter().map(|(_, line)| line).collect(), needs)
}

/// Length and width of every piece that a roof takes off the roll, the lining of its box gutters included.
pub fn cut_sizes(roof: &RoofLayout) -> impl Iterator<Item = (Length, Length)> {
    let lining = roof.box_gutters.iter().flat_map(|g| &g.mat).map(|p| (p.length, p.width));
    roof.mat.pieces.iter().map(|p| (p.length, p.width)).chain(lining)
}

/// What is cut off the roll; where the rolls sold leave ends too short to use, as much more as makes up for them.
fn length_line(
    (weight, work): (u32, WorkKind),
    sizes: &[(Length, Length)],
    rules: &Rules,
    roll: &MatRoll,
) -> Option<Line> {
    let out_of_rolls = OutOfRolls::of(sizes, roll.width, &roll.rolls);
    let shared = sizes.len() - out_of_rolls.cuts.len();
    let mut metres: Vec<Decimal> = out_of_rolls.cuts.iter().map(|c| c.length.metres()).collect();
    metres.sort_unstable_by(|a, b| b.cmp(a));
    let mut working = vec![
        measured("strips of all layers", sizes.len().into(), Unit::Each),
        measured("of them cut from the waste beside others", shared.into(), Unit::Each),
        sum("cut off the roll", &metres, Unit::Metre),
    ];
    let total = out_of_rolls.taken();
    working.push(Step::Note(waste_words(total, least_roll(sizes, roll.width))));
    let with_spare = spare(total, rules, &mut working);
    if let Some(plan) = &out_of_rolls.plan {
        working.push(Step::Note(rolls_words(plan)));
        if Length::mm(plan.proof.found).metres() < with_spare {
            working.push(Step::Note("the strips alone: the spare asks for more than those rolls hold".into()));
        }
        if plan.enough.metres() > with_spare {
            working.push(at_least(plan.enough.metres(), with_spare, Unit::Metre));
            working.push(Step::Note("so much that every strip comes whole out of whichever rolls are bought".into()));
        }
    }
    let id = (LineId::MatLength(weight), work);
    line(id, format!("Mat {weight} g/m2, off the roll"), None, Unit::Metre, working)
}

/// What the strips take and the spare over it, m; what is over in the rolls that they come out of counts as spare.
fn spare(total: Length, rules: &Rules, working: &mut Vec<Step>) -> Decimal {
    let (taken, share) = (total.metres(), rules.spare_mat.normalize());
    let with_spare = taken * (Decimal::ONE_HUNDRED + share) / Decimal::ONE_HUNDRED;
    if share > Decimal::ZERO {
        working.push(rule("spare_mat", format!("{share} %")));
        let text = format!("{} × (100 + {share}) ÷ 100", number(taken, Unit::Metre));
        working.push(formula(text, with_spare, Unit::Metre));
    }
    with_spare
}

fn waste_words(total: Length, least: Length) -> String {
    match total - least {
        gap if gap <= Length::ZERO => "proven: no way of cutting takes less roll".into(),
        gap => format!("not proven: no way of cutting takes less than {} of roll; the gap is {gap}", least),
    }
}

/// The rolls of the cut plan and how good it is.
fn rolls_words(plan: &RollPlan) -> String {
    let each = plan.rolls.chunk_by(|a, b| a.length == b.length);
    let rolls: Vec<String> =
        each.map(|same| format!("{} of {}", same.len(), number(same[0].length.metres(), Unit::Metre))).collect();
    let m = |mm: i64| number(Length::mm(mm).metres(), Unit::Metre);
    let proof = &plan.proof;
    let proven = match proof.is_proven() {
        true => format!("proven: no rolls of fewer metres do; {}", proof.reason),
        false => format!("not proven: no rolls of fewer than {} do; {}", m(proof.bound), proof.reason),
    };
    format!("whole out of rolls: {}, together {}; {proven}", rolls.join(" and "), m(proof.found))
}
