//! The line of the firrings that make a fall.
//!
//! Given the firrings as laid; gives their length and the need for it, with the number of each size.

use super::line::{Line, Need, Step, Unit};
use super::working::{formula, line, rule};
use crate::geometry::segment::distance;
use crate::model::words::plural;
use crate::model::{Length, LineId, Role, Roof, Rules};
use crate::rule;
use crate::takeoff::layout::falls::{firring_screws, lift, without_firring};
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{Firring, firring_joints, firring_kinds};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The line `firring.length` and its need; nothing where there are no firrings.
pub fn fall_lines(shape: &RoofShape, roof: &Roof, rules: &Rules, firrings: &[Firring]) -> (Vec<Line>, Vec<Need>) {
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
    let bought = [(Role::Firring, &timber), (Role::FramingFixings, &screws)];
    let needs = bought.into_iter().filter_map(|(role, line)| Need::of(role, &[line.as_ref()?])).collect();
    (timber.into_iter().chain(screws).collect(), needs)
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
