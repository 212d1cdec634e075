//! What is done at each corner, by the two finishes that meet and the angle between them.
//!
//! Given a roof as laid out; gives for every corner of the outline, and of every hole that takes a trim, its treatment
//! and an instruction for the man with the snips. A pair that is not in the table is refused, never guessed. Left and
//! right are as seen from the ground, facing the drip: the outline is walked anticlockwise, so that the drip runs
//! from the left hand to the right.

use super::shape::{Corner, RoofShape, Side, Turn};
use super::{Junction, Treatment};
use crate::geometry::ring::around;
use crate::model::{Finish, Length, Point, Problem, Products, Roof, Rules, SettingPath};
use rust_decimal::prelude::ToPrimitive;

/// The junctions of one roof: its outline's corners, then the corners of its holes.
///
/// # Errors
/// Every pair of edges that no rule of the trade covers.
pub fn junctions(
    shape: &RoofShape,
    roof: &Roof,
    products: &Products,
    rules: &Rules,
) -> Result<Vec<Junction>, Vec<Problem>> {
    let (mut all, mut problems) = (Vec::new(), Vec::new());
    for corner in 0..shape.corners.len() {
        let (ends, starts) = sides_at(shape, corner);
        let turn = &shape.corners[corner];
        match treatment(ends.finish, starts.finish, turn, products, rules) {
            Some(treatment) => {
                let instruction = instruction(roof, (ends, starts), turn, treatment, products, rules);
                let (roof, hole, at) = (shape.index, None, turn.at);
                all.push(Junction { roof, hole, corner, at, treatment, instruction });
            }
            None => {
                problems.push(no_junction((&ends.label, ends.finish), (&starts.label, starts.finish), &starts.path))
            }
        }
    }
    all.extend(hole_junctions(shape, products, rules));
    if problems.is_empty() { Ok(all) } else { Err(problems) }
}

/// The side that ends at a corner and the side that starts there.
pub(crate) fn sides_at(shape: &RoofShape, corner: usize) -> (&Side, &Side) {
    let n = shape.sides.len();
    (&shape.sides[(corner + n - 1) % n], &shape.sides[corner])
}

/// The table of the trade (common practice, no source): the finish that ends, the finish that starts, in walking
/// order. `None` where the trade has no rule for the pair.
pub fn treatment(
    ends: Finish,
    starts: Finish,
    corner: &Corner,
    products: &Products,
    rules: &Rules,
) -> Option<Treatment> {
    use Finish::{Drip, Kerb, Raised, Step, Wall};
    let straight = corner.turn == Turn::Straight;
    is_made(ends, starts).then(|| match (ends, starts) {
        (Step, _) | (_, Step) => Treatment::CarriedUp,
        (Kerb, Kerb) | (Drip, Drip) | (Raised, Raised) | (Wall, Wall) if straight => Treatment::Straight,
        (Drip, Raised) | (Raised, Drip) | (Drip, Wall) | (Wall, Drip) | (Raised, Wall) | (Wall, Raised) if straight => {
            Treatment::Straight
        }
        (Drip, Raised) if products.closures => Treatment::ClosureRight,
        (Raised, Drip) if products.closures => Treatment::ClosureLeft,
        (Drip, Raised) | (Raised, Drip) => Treatment::Notch,
        (Raised, Raised) => preformed(corner, rules).unwrap_or(Treatment::Mitre),
        (Drip, Wall) | (Wall, Drip) | (Raised, Wall) | (Wall, Raised) => Treatment::Butt,
        (Drip, Drip) | (Wall, Wall) | (Kerb, _) | (_, Kerb) => Treatment::Mitre,
    })
}

/// A preformed corner piece, where the angle between the two edges lies within the rule's.
fn preformed(corner: &Corner, rules: &Rules) -> Option<Treatment> {
    let external = corner.turn == Turn::External;
    let angle = if external { corner.inside } else { 360.0 - corner.inside };
    let within = |d: rust_decimal::Decimal| d.to_f64().unwrap_or(90.0);
    let stands = angle >= within(rules.corner_from) - 1e-6 && angle <= within(rules.corner_to) + 1e-6;
    stands.then_some(if external { Treatment::PreformedExternal } else { Treatment::PreformedInternal })
}

/// How much longer a piece is cut where it meets a reflex corner without a preformed piece: the width of its flange
/// on the roof where the price book gives it.
pub fn mitre_allowance(finish: Finish, products: &Products, rules: &Rules) -> Length {
    products.profiles.get(&finish).and_then(|p| p.flange).unwrap_or(rules.mitre_allowance)
}

/// What the trade calls the trim of a finish.
pub fn trim_name(finish: Finish) -> &'static str {
    match finish {
        Finish::Drip => "drip trim",
        Finish::Raised => "raised edge trim",
        Finish::Wall => "wall fillet",
        Finish::Kerb => "angle fillet",
        Finish::Step => "laminate",
    }
}

/// Whether two finishes that meet are in the table.
pub fn is_made(ends: Finish, starts: Finish) -> bool {
    match (ends, starts) {
        (Finish::Step, _) | (_, Finish::Step) | (Finish::Kerb, Finish::Kerb) => true,
        (Finish::Kerb, _) | (_, Finish::Kerb) => false,
        (Finish::Drip | Finish::Raised | Finish::Wall, Finish::Drip | Finish::Raised | Finish::Wall) => true,
    }
}

/// A pair that is not in the table: the edge that ends, the one that starts, each with its label, and the path of the
/// one that starts. Told when a job is read, with everything else that is wrong there.
pub fn no_junction((ends, from): (&str, Finish), (starts, to): (&str, Finish), path: &SettingPath) -> Problem {
    let (from, to) = (from.word(), to.word());
    Problem::fault(
        path.key("finish"),
        format!("`{ends}` ({from}) meets `{starts}` ({to}), and there is no junction for {from} and {to}"),
        "a kerb stands round a hole; at the edge of a roof write drip, raised, wall or step",
    )
}

fn hole_junctions(shape: &RoofShape, products: &Products, rules: &Rules) -> Vec<Junction> {
    let mut all = Vec::new();
    for (h, hole) in shape.holes.iter().enumerate().filter(|(_, h)| !h.round && h.finish.has_trim()) {
        let allowance = mitre_allowance(hole.finish, products, rules);
        let name = trim_name(hole.finish);
        for (corner, &at) in hole.ring.iter().enumerate() {
            let half = half_angle(&hole.ring, corner);
            let instruction = format!(
                "Mitre the {name} at {half}° on both sides of this corner of the {}; each is cut {allowance} longer for it.",
                hole.name
            );
            let (roof, hole) = (shape.index, Some(h));
            all.push(Junction { roof, hole, corner, at, treatment: Treatment::Mitre, instruction });
        }
    }
    all
}

/// Half the angle inside a ring at a corner, to the degree.
fn half_angle(ring: &[Point], corner: usize) -> i64 {
    let (a, b, c) = around(ring, corner);
    let towards = |p: Point| ((p.y - b.y) as f64).atan2((p.x - b.x) as f64);
    let angle = (towards(a) - towards(c)).rem_euclid(std::f64::consts::TAU).to_degrees();
    (angle / 2.0).round() as i64
}

/// The words for a corner of the outline.
fn instruction(
    roof: &Roof,
    sides: (&Side, &Side),
    corner: &Corner,
    treatment: Treatment,
    products: &Products,
    rules: &Rules,
) -> String {
    let (ends, starts) = sides;
    let words = match treatment {
        Treatment::ClosureLeft => closure("left", ends, starts),
        Treatment::ClosureRight => closure("right", ends, starts),
        Treatment::Notch => notch(roof, ends, starts, rules),
        Treatment::PreformedExternal => preformed_words("external", products.corner_external_leg),
        Treatment::PreformedInternal => preformed_words("internal", products.corner_internal_leg),
        Treatment::Mitre => mitre(ends, starts, corner),
        Treatment::Butt => butt(ends, starts, corner),
        Treatment::CarriedUp => carried_up(ends, starts),
        Treatment::Straight => straight(ends, starts),
    };
    let longer = reflex_allowances(sides, corner, treatment, products, rules);
    match longer.is_empty() {
        true => words,
        false => format!("{words} {longer}"),
    }
}

fn closure(hand: &str, ends: &Side, starts: &Side) -> String {
    let (drip, raised) = if ends.finish == Finish::Drip { (ends, starts) } else { (starts, ends) };
    format!(
        "Fit the {hand}-hand closure over the drip trim of {} and the raised edge trim of {}, both cut square.",
        drip.label, raised.label
    )
}

fn notch(roof: &Roof, ends: &Side, starts: &Side, rules: &Rules) -> String {
    let (drip, raised, hand) = match ends.finish {
        Finish::Drip => (ends, starts, "right"),
        _ => (starts, ends, "left"),
    };
    let gutter = roof.outline.edges.iter().find(|e| e.path == drip.path).and_then(|e| e.gutter.as_ref());
    let size = gutter.map_or(String::new(), |g| format!(" ({} {})", g.shape, g.size));
    format!(
        "Notch the face of the drip trim of {} back by {} at its {hand}-hand end to clear the gutter's stop end{size}; close the raised edge trim of {} over it.",
        drip.label, rules.stop_end_notch, raised.label
    )
}

fn preformed_words(which: &str, leg: Length) -> String {
    match leg == Length::ZERO {
        true => format!("Bond the preformed {which} corner on adhesive over both raised edge trims, cut square."),
        false => format!(
            "Bond the preformed {which} corner on adhesive; both raised edge trims stop {leg} short of the corner, cut square."
        ),
    }
}

fn mitre(ends: &Side, starts: &Side, corner: &Corner) -> String {
    let half = mitre_angle(corner);
    format!("Mitre the {} of {} and of {} at {half}°.", trim_name(ends.finish), ends.label, starts.label)
}

/// The angle of a mitre to the trim's length: half the angle between the two, to the degree.
pub fn mitre_angle(corner: &Corner) -> i64 {
    let degrees = (corner.inside / 2.0).round() as i64;
    if degrees > 90 { 180 - degrees } else { degrees }
}

/// How a trim is cut that ends against another: square, or at the angle between the two.
pub fn butt_cut(corner: &Corner) -> String {
    let degrees = corner.inside.rem_euclid(180.0).round() as i64;
    match degrees.min(180 - degrees) {
        90 => "square".into(),
        slant => format!("at {slant}° to its length"),
    }
}

fn butt(ends: &Side, starts: &Side, corner: &Corner) -> String {
    let (wall, other) = if ends.finish == Finish::Wall { (ends, starts) } else { (starts, ends) };
    let cut = butt_cut(corner);
    match other.finish {
        Finish::Raised => format!(
            "Run the wall fillet of {} flush to the roof's edge; offer up the raised edge trim of {}, mark it against the fillet and butt cut it{}.",
            wall.label,
            other.label,
            if cut == "square" { String::new() } else { format!(" {cut}") }
        ),
        _ => format!("Run the drip trim of {} into the wall fillet of {}, cut {cut}.", other.label, wall.label),
    }
}

fn carried_up(ends: &Side, starts: &Side) -> String {
    let other = if ends.finish == Finish::Step { starts } else { ends };
    match other.finish.has_trim() {
        true => format!(
            "Stop the {} of {} square at the step; carry the laminate up.",
            trim_name(other.finish),
            other.label
        ),
        false => "No trim meets here; carry the laminate up on both edges.".into(),
    }
}

fn straight(ends: &Side, starts: &Side) -> String {
    match ends.finish == starts.finish {
        true => format!("The {} runs straight on; no joint is made here.", trim_name(ends.finish)),
        false => format!(
            "Cut the {} of {} and the {} of {} square and butt them on adhesive.",
            trim_name(ends.finish),
            ends.label,
            trim_name(starts.finish),
            starts.label
        ),
    }
}

/// Whether a piece that meets this corner is cut longer.
pub fn takes_allowance(corner: &Corner, treatment: Treatment) -> bool {
    corner.turn == Turn::Internal
        && !matches!(treatment, Treatment::PreformedInternal | Treatment::PreformedExternal | Treatment::Straight)
}

fn reflex_allowances(
    sides: (&Side, &Side),
    corner: &Corner,
    treatment: Treatment,
    products: &Products,
    rules: &Rules,
) -> String {
    if !takes_allowance(corner, treatment) {
        return String::new();
    }
    let allowance = |s: &Side| mitre_allowance(s.finish, products, rules);
    let trims: Vec<&Side> = [sides.0, sides.1].into_iter().filter(|s| s.finish.has_trim()).collect();
    match trims[..] {
        [a, b] if allowance(a) == allowance(b) => format!("Inner corner: each is cut {} longer.", allowance(a)),
        [a, b] => {
            let part = |s: &Side| format!("the {} of {} is cut {} longer", trim_name(s.finish), s.label, allowance(s));
            format!("Inner corner: {}, {}.", part(a), part(b))
        }
        [a] => format!("Inner corner: it is cut {} longer.", allowance(a)),
        _ => String::new(),
    }
}
