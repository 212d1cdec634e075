//! The line of the firrings that make a fall.
//!
//! Given the firrings as laid; gives their length and the need for it, with the number of each size, and what they weigh: by the depth
//! to which they are cut, never less than the price book says of a metre.

use super::line::{Line, Need, Step, Unit};
use super::working::{at_least, formula, line, rule, sum};
use crate::geometry::segment::distance;
use crate::model::words::plural;
use crate::model::{Length, LineId, Products, Role, Roof, Rules};
use crate::rule;
use crate::takeoff::layout::falls::{firring_screws, lift, without_firring};
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{Firring, firring_joints, firring_kinds};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The line `firring.length` and its need; nothing where there are no firrings.
pub fn fall_lines(
    shape: &RoofShape,
    roof: &Roof,
    (rules, products): (&Rules, &Products),
    firrings: &[Firring],
) -> (Vec<Line>, Vec<Need>) {
    let Some(fall) = roof.firred_by_us().filter(|_| !firrings.is_empty()) else {
        return (Vec::new(), Vec::new());
    };
    let sizes = firring_kinds(firrings);
    let total: Length = firrings.iter().map(|f| f.length).sum();
    let size = |(&[length, low, high], &n): (&[Length; 3], &usize)| Step::Measured {
        what: match low == high {
            true => format!("level firrings {length} long, {low} deep"),
            false => format!("firrings {length} long, {low} deep at the low end, {high} at the high end"),
        },
        value: n.into(),
        unit: Unit::Each,
    };
    let mut working = vec![Step::Note(format!("the fall is {fall}: depth = distance up the fall ÷ {}", fall.run))];
    working.push(Step::Rule { name: "firring_group", value: rules.firring_group.to_string() });
    working.push(Step::Rule { name: "firring_step", value: rules.firring_step.to_string() });
    if firrings.iter().any(|f| f.length >= rules.firring_least && distance(f.from, f.to) < rules.firring_least) {
        working.push(Step::Rule { name: "firring_least", value: rules.firring_least.to_string() });
    }
    working.extend(sizes.iter().map(size));
    let lift = lift(shape, roof, rules);
    if lift > Length::ZERO {
        working.push(Step::Note(format!(
            "all are {lift} deeper than that, so that none is thinner than {} at its low end",
            rule!(rules, firring_toe)
        )));
    }
    let joints = firring_joints(firrings);
    if joints > 0 {
        working.push(Step::Note(format!(
            "{}, because none so long is sold: the parts butt on the joist, which bears them all along",
            plural(joints, "joint", "joints")
        )));
    }
    let packing = firrings.iter().filter(|f| f.packs.is_some()).count();
    if packing > 0 {
        working.push(Step::Note(format!(
            "{} on the timber round openings, which is hung level with the joists",
            plural(packing, "of them lies", "of them lie")
        )));
    }
    let least = firrings.iter().map(|f| f.low_depth).min().unwrap_or_default();
    working.push(Step::Note(format!(
        "the least depth is {least}, at the lowest end; depths are rounded up to whole millimetres"
    )));
    let packed = without_firring(shape, roof, rules).iter().filter(|f| f.high_depth > Length::ZERO).count();
    if packed > 0 {
        working.push(Step::Note(format!(
            "{} less than {} and {} none: packed up on site",
            plural(packed, "joist wants", "joists want"),
            rule!(rules, firring_toe),
            if packed == 1 { "takes" } else { "take" }
        )));
    }
    let terms: Vec<String> = sizes.iter().map(|([l, ..], n)| format!("{n} × {} m", l.metres())).collect();
    working.push(Step::Formula { formula: terms.join(" + "), result: total.metres(), unit: Unit::Metre });
    let of = |id, item: &str, unit, working| line((id, WorkKind::Firrings), item, Some(&shape.name), unit, working);
    let timber = of(LineId::FirringLength, "Firrings", Unit::Metre, working);
    let screws = of(LineId::FirringFixings, "Screws for firrings", Unit::Each, screws(&sizes, roof, rules));
    let mass = of(LineId::FirringMass, "What the firrings weigh", Unit::Kilogram, mass(&sizes, total, rules, products));
    let need = |role, line: &Option<Line>| Need::of(role, &[line.as_ref()?]);
    let cut = need(Role::Firring, &timber).map(|need| need.weighing(mass.iter().map(|m| m.quantity).sum()));
    let needs = cut.into_iter().chain(need(Role::FramingFixings, &screws)).collect();
    (timber.into_iter().chain(mass).chain(screws).collect(), needs)
}

/// Their volume at the mean depth of each, as wood: a metre of one 200 mm deep weighs four times one of 50 mm.
fn mass(sizes: &BTreeMap<[Length; 3], usize>, total: Length, rules: &Rules, products: &Products) -> Vec<Step> {
    let (width, density) = (rules.firring_width, rules.timber_density);
    let mut steps = vec![rule("firring_width", width), rule("timber_density", format!("{density} kg/m3"))];
    let mut terms: Vec<Decimal> = Vec::new();
    for (&[length, low, high], &n) in sizes {
        let depths = low + high;
        let kg = Decimal::from(n) * length.metres() * width.metres() * depths.metres() / Decimal::TWO * density;
        let text = format!(
            "firrings {length} long, {low} to {high} deep: {n} × {} m × {} m × {} m ÷ 2 × {density} kg/m3",
            length.metres(),
            width.metres(),
            depths.metres()
        );
        steps.push(formula(text, kg, Unit::Kilogram));
        terms.push(kg);
    }
    if terms.len() > 1 {
        steps.push(sum("", &terms, Unit::Kilogram));
    }
    let kg: Decimal = terms.iter().sum();
    if let Some(each) = products.mass_of(&Role::Firring, None) {
        let by_book = each * total.metres();
        if by_book > kg {
            steps.push(Step::Note(format!("the price book says {} kg of a metre, which is more", each.normalize())));
            steps.push(at_least(by_book, kg, Unit::Kilogram));
        }
    }
    steps
}

/// Along each firring into its joist: straight down where it is thin, through its sides in turn where it is deep.
fn screws(sizes: &BTreeMap<[Length; 3], usize>, roof: &Roof, rules: &Rules) -> Vec<Step> {
    let apart = firring_screws(roof, rules);
    let mut steps = vec![rule("firring_fixing", rules.firring_fixing)];
    if apart < rules.firring_fixing {
        steps.push(rule("deck_field_fixing", rules.deck_field_fixing));
        steps.push(Step::Note("what lies over the deck is screwed into them: no further apart than its screws".into()));
    }
    let mut terms: Vec<Decimal> = Vec::new();
    for (&[length, ..], &n) in sizes {
        let (n, each) = (Decimal::from(n), Decimal::from(length.places(apart)));
        terms.push(n * each);
        steps.push(formula(format!("firrings {length} long: {n} × {each}"), n * each, Unit::Each));
    }
    if terms.len() > 1 {
        let text: Vec<String> = terms.iter().map(ToString::to_string).collect();
        steps.push(formula(text.join(" + "), terms.iter().sum(), Unit::Each));
    }
    steps
}
