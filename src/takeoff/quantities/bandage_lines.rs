//! The bandage's lines of the take-off, and the need for each width.
//!
//! Given the pieces as laid; gives one line a width and roof with the rules by which its pieces are cut, and, where rolls
//! end in the work, the laps that this takes over all roofs.

use super::line::{Line, Need, Step, Unit, shares};
use super::working::{formula, line, measured, number, rounded_up, rule, sum};
use crate::model::{Finish, Length, LineId, Products, Role, Rules};
use crate::takeoff::layout::bandage::boxes;
use crate::takeoff::layout::box_gutter::GutterBandage;
use crate::takeoff::layout::junctions::{mitre_allowance, trim_name};
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{BandageOver, RoofLayout};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// `bandage.<width>.length` of every roof, one line a width; `bandage.<width>.laps` over all roofs, where rolls end in
/// the work; and the need for each width.
/// `old` holds the lines of roofs whose laminate stays: their bandage comes off the same rolls.
pub fn lines(laid: &[RoofLayout], old: &[Line], rules: &Rules, products: &Products) -> (Vec<Line>, Vec<Need>) {
    let of_patch = |l: &Line| match l.id {
        LineId::BandageLength(mm) => Some(Length::mm(mm.into())),
        _ => None,
    };
    let widths: BTreeSet<Length> = laid
        .iter()
        .flat_map(|r| r.bandage.iter().map(|p| p.width).chain(in_gutters(r).map(|p| p.width)))
        .chain(laid.iter().filter(|r| r.old_joints(rules) > Decimal::ZERO).map(|_| rules.bandage_joint))
        .chain(old.iter().filter_map(of_patch))
        .collect();
    let mut lines: Vec<Line> =
        laid.iter().flat_map(|r| widths.iter().filter_map(|&w| length_line(r, w, rules, products))).collect();
    let patched: Vec<Line> = old.iter().filter(|l| of_patch(l).is_some()).cloned().collect();
    let all = [lines.as_slice(), &patched].concat();
    let work = if laid.is_empty() { WorkKind::PatchLaminate } else { WorkKind::Bandage };
    let laps: Vec<Line> = widths.iter().filter_map(|&w| roll_laps(&all, w, work, rules, products)).collect();
    lines.extend(laps);
    let need = |&w: &Length| {
        let of = lines.iter().chain(&patched);
        let of: Vec<&Line> = of.filter(|l| [id(w), laps_id(w)].contains(&l.id)).collect();
        let cut = shares(of.iter().copied().filter(|l| l.roof.is_some()));
        Some(Need::of(Role::Bandage(millimetres(w)), &of)?.shared(cut))
    };
    let needs = widths.iter().filter_map(need).collect();
    (lines, needs)
}

/// A width as its role and its ids name it.
fn millimetres(width: Length) -> u32 {
    u32::try_from(width.as_mm()).unwrap_or(u32::MAX)
}

const fn work_of(id: LineId) -> (LineId, WorkKind) {
    (id, WorkKind::Bandage)
}

fn laps_id(width: Length) -> LineId {
    LineId::BandageLaps(millimetres(width))
}

/// What the laps take where one roll ends in a piece and the next goes on: n rolls with n − 1 laps hold what n rolls
/// hold, less those laps. Of several lengths the shortest is counted on, which has the most ends. The line is left out
/// where one roll does.
fn roll_laps(lines: &[Line], width: Length, work: WorkKind, rules: &Rules, products: &Products) -> Option<Line> {
    let cut: Vec<Decimal> = lines.iter().filter(|l| l.id == id(width)).map(|l| l.quantity).collect();
    let known = products.bandages.get(&millimetres(width)).and_then(|rolls| rolls.first().copied());
    let roll = known.unwrap_or(rules.bandage_roll).metres();
    let (all, lap) = (cut.iter().copied().sum::<Decimal>(), rules.bandage_lap.metres());
    if all <= roll || roll <= lap {
        return None;
    }
    let m = |d: Decimal| number(d, Unit::Metre);
    let rolls = (all - lap) / (roll - lap);
    let ends = rolls.ceil() - Decimal::ONE;
    let mut working = vec![sum("all pieces as cut", &cut, Unit::Metre)];
    working.push(match known {
        Some(_) => measured("length of the shortest roll in the price book", roll, Unit::Metre),
        None => rule("bandage_roll", rules.bandage_roll),
    });
    working.extend([
        rule("bandage_lap", rules.bandage_lap),
        formula(format!("({} − {}) ÷ ({} − {})", m(all), m(lap), m(roll), m(lap)), rolls, Unit::Each),
        rounded_up("whole rolls", rolls, Unit::Each),
        formula(format!("({} − 1) × {}", rolls.ceil().normalize(), m(lap)), ends * lap, Unit::Metre),
        Step::Note("one lap where each roll but the last ends".into()),
    ]);
    line((laps_id(width), work), format!("Laps of bandage {width} wide where a roll ends"), None, Unit::Metre, working)
}

fn id(width: Length) -> LineId {
    LineId::BandageLength(millimetres(width))
}

fn length_line(roof: &RoofLayout, width: Length, rules: &Rules, products: &Products) -> Option<Line> {
    let mut working = vec![rule("bandage_lap", rules.bandage_lap)];
    let mut totals = Vec::new();
    for covers in [
        BandageOver::BoardJoint,
        BandageOver::Flange,
        BandageOver::TrimLap,
        BandageOver::Corner,
        BandageOver::Sill,
        BandageOver::Parapet,
    ] {
        let of = roof.bandage.iter().filter(|p| p.width == width && p.covers == covers);
        let mut lengths: Vec<Decimal> = of.map(|p| p.length.metres()).collect();
        if lengths.is_empty() {
            continue;
        }
        lengths.sort_by(|a, b| b.cmp(a));
        working.extend(reason(covers, rules));
        if covers == BandageOver::Flange {
            working.extend(flanges(&roof.shape, rules, products));
        }
        working.push(measured(format!("pieces over {}", words(covers)), lengths.len().into(), Unit::Each));
        working.push(sum(words(covers), &lengths, Unit::Metre));
        totals.push(lengths.iter().copied().sum());
    }
    if width == rules.bandage_joint {
        let (steps, joints) = old_joints(roof, rules);
        working.extend(steps);
        totals.extend(joints);
    }
    let mut lining: Vec<Decimal> = in_gutters(roof).filter(|p| p.width == width).map(|p| p.length.metres()).collect();
    if !lining.is_empty() {
        lining.sort_by(|a, b| b.cmp(a));
        working
            .push(note("in a box gutter over the lip, every arris and every joint, longer by the end lap at each end"));
        working.push(sum("box gutter", &lining, Unit::Metre));
        totals.push(lining.iter().copied().sum());
    }
    if totals.len() > 1 {
        working.push(sum("all", &totals, Unit::Metre));
    }
    line(work_of(id(width)), format!("Bandage {width} wide"), Some(&roof.shape.name), Unit::Metre, working)
}

/// The joints of old boards that the laminate lies on; nothing where it lies on none.
fn old_joints(roof: &RoofLayout, rules: &Rules) -> (Vec<Step>, Option<Decimal>) {
    let joints = roof.old_joints(rules);
    let Some(area) = roof.old_boards.map(|area| area.square_metres()).filter(|_| joints > Decimal::ZERO) else {
        return (Vec::new(), None);
    };
    let each = rules.kept_joints.normalize();
    let steps = vec![
        rule("bandage_joint", rules.bandage_joint),
        measured("kept deck", area, Unit::SquareMetre),
        rule("kept_joints", format!("{each} m/m2")),
        formula(format!("{} × {each} m/m2", number(area, Unit::SquareMetre)), joints, Unit::Metre),
        note("nobody has measured the joints of the old boards: measure them once the deck is bare"),
    ];
    (steps, Some(joints))
}

fn note(words: &str) -> Step {
    Step::Note(words.into())
}

/// The bandage of a roof's box gutters.
fn in_gutters(roof: &RoofLayout) -> impl Iterator<Item = &GutterBandage> {
    roof.box_gutters.iter().flat_map(|g| &g.bandage)
}

fn words(covers: BandageOver) -> &'static str {
    match covers {
        BandageOver::BoardJoint => "board joints",
        BandageOver::Flange => "trim flanges",
        BandageOver::TrimLap => "trim laps",
        BandageOver::Corner => "corners",
        BandageOver::Sill => "corners of deck and wall under door sills",
        BandageOver::Parapet => "parapets",
    }
}

/// How wide the flange of each trim on the roof is, and where that is known from.
fn flanges(shape: &RoofShape, rules: &Rules, products: &Products) -> Vec<Step> {
    let sides = shape.sides.iter().map(|s| s.finish);
    let finishes: BTreeSet<Finish> =
        sides.chain(boxes(shape).map(|(_, h)| h.finish)).filter(|f| f.has_trim()).collect();
    let (sold, unsold): (Vec<Finish>, Vec<Finish>) =
        finishes.iter().partition(|f| products.profiles.get(f).is_some_and(|p| p.flange.is_some()));
    let wide = |f: &Finish| format!("{} {}", trim_name(*f), mitre_allowance(*f, products, rules));
    let all = |of: &[Finish]| of.iter().map(wide).collect::<Vec<_>>().join(", ");
    let mut steps = Vec::new();
    if !sold.is_empty() {
        steps.push(Step::Note(format!("width of the flange by the price book: {}", all(&sold))));
    }
    if !unsold.is_empty() {
        steps.push(rule("mitre_allowance", rules.mitre_allowance));
        steps
            .push(Step::Note(format!("width of the flange by that rule, as no price book gives it: {}", all(&unsold))));
    }
    steps
}

/// The rules by which pieces of one kind are cut.
fn reason(covers: BandageOver, rules: &Rules) -> Vec<Step> {
    match covers {
        BandageOver::BoardJoint => vec![
            rule("bandage_joint", rules.bandage_joint),
            note("as long as the joint, and longer by the end lap at each end that lies on another joint"),
        ],
        BandageOver::Flange => vec![
            rule("bandage_trim", rules.bandage_trim),
            note(
                "as long as the run; at an inner corner longer by the width of the flange it meets and the end lap; where two stretches of one edge meet, the first longer by the end lap",
            ),
        ],
        BandageOver::TrimLap => {
            let girths = Finish::ALL.iter().filter(|f| f.has_trim());
            let each: Vec<String> = girths.map(|&f| format!("{} {}", f.word(), rules.topcoat_girth.of(f))).collect();
            vec![rule("topcoat_girth", each.join(", ")), note("each lap is covered across the whole face of the trim")]
        }
        BandageOver::Corner => vec![rule("corner_patch", rules.corner_patch)],
        BandageOver::Sill => {
            vec![
                rule("bandage_trim", rules.bandage_trim),
                note("as long as the sill, and longer by the end lap at each end"),
            ]
        }
        BandageOver::Parapet => vec![note(
            "on the inner arris, on the outer trim's flange, on every joint of the lining, on mitred corners, across free ends and where a top meets a higher wall",
        )],
    }
}
