//! What is done at each corner, by the two finishes that meet and the angle between them.
//!
//! Given a roof as laid out; gives for every corner of the outline, and of every hole that takes a trim, its treatment
//! and its figures; the words for the man with the snips stand in a template. A pair that is not in the table is refused,
//! never guessed. Left and right are as seen from the ground, facing the drip: the outline is walked anticlockwise, so
//! that the drip runs from the left hand to the right.

use super::shape::{Corner, RoofShape, Side, Turn};
use super::{CornerFigures, Junction, Treatment};
use crate::geometry::ring::around;
use crate::model::{Finish, Length, Point, Problem, Products, Roof, Rules, SettingPath};
use rust_decimal::Decimal;
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
        match treatment_between(ends, starts, turn, products, rules) {
            Some(treatment) => {
                let figures = figures(roof, (ends, starts), turn, treatment, products, rules);
                let (roof, hole, at) = (shape.index, None, turn.at);
                all.push(Junction { roof, hole, corner, at, treatment, figures });
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

/// What is done between two sides: a fillet that stops at a door sill, else what the table says of their finishes.
pub(crate) fn treatment_between(
    ends: &Side,
    starts: &Side,
    corner: &Corner,
    products: &Products,
    rules: &Rules,
) -> Option<Treatment> {
    let stops = ends.is_under_low_sill() != starts.is_under_low_sill();
    match stops && ends.finish == starts.finish {
        true => Some(Treatment::AtSill),
        false => treatment(ends.finish, starts.finish, corner, products, rules),
    }
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
    use Finish::{Drip, Gutter, Kerb, Raised, Step, Wall};
    let straight = corner.turn == Turn::Straight;
    is_made(ends, starts).then(|| match (ends, starts) {
        (Step | Gutter, _) | (_, Step | Gutter) => Treatment::CarriedUp,
        (Kerb, Kerb) | (Drip, Drip) | (Raised, Raised) | (Wall, Wall) if straight => Treatment::Straight,
        (Drip, Raised) | (Raised, Drip) | (Drip, Wall) | (Wall, Drip) | (Raised, Wall) | (Wall, Raised) if straight => {
            Treatment::Straight
        }
        // A closure shuts the end of a drip to a raised edge that goes back from it; from an inner corner it comes forward.
        (Drip, Raised) | (Raised, Drip) if corner.turn == Turn::Internal => Treatment::Mitre,
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
        Finish::Step | Finish::Gutter => "laminate",
    }
}

/// Whether two finishes that meet are in the table.
pub fn is_made(ends: Finish, starts: Finish) -> bool {
    match (ends, starts) {
        (Finish::Gutter, Finish::Gutter) => false,
        (Finish::Step, _) | (_, Finish::Step) | (Finish::Kerb, Finish::Kerb) => true,
        (Finish::Kerb, _) | (_, Finish::Kerb) => false,
        (Finish::Gutter, _) | (_, Finish::Gutter) => true,
        (Finish::Drip | Finish::Raised | Finish::Wall, Finish::Drip | Finish::Raised | Finish::Wall) => true,
    }
}

/// A pair that is not in the table: the edge that ends, the one that starts, each with its label, and the path of the
/// one that starts. Told when a job is read, with everything else that is wrong there.
pub fn no_junction((ends, from): (&str, Finish), (starts, to): (&str, Finish), path: &SettingPath) -> Problem {
    if (from, to) == (Finish::Gutter, Finish::Gutter) {
        return Problem::fault(
            path.key("finish"),
            format!(
                "the box gutter at `{ends}` meets the one at `{starts}`, and a box gutter is not laid round a corner"
            ),
            "let one of the two edges end in a wall or a raised edge, with the roof falling to the other",
        );
    }
    let (from, to) = (from.word(), to.word());
    Problem::fault(
        path.key("finish"),
        format!("`{ends}` ({from}) meets `{starts}` ({to}), and there is no junction for {from} and {to}"),
        "a kerb stands round a hole; at the edge of a roof write drip, raised, wall, gutter or step",
    )
}

fn hole_junctions(shape: &RoofShape, products: &Products, rules: &Rules) -> Vec<Junction> {
    let mut all = Vec::new();
    for (h, hole) in shape.holes.iter().enumerate().filter(|(_, h)| !h.round && h.finish.has_trim()) {
        let longer = [mitre_allowance(hole.finish, products, rules); 2];
        for (corner, &at) in hole.ring.iter().enumerate() {
            let figures = CornerFigures { degrees: half_angle(&hole.ring, corner), longer, ..CornerFigures::default() };
            let (roof, hole) = (shape.index, Some(h));
            all.push(Junction { roof, hole, corner, at, treatment: Treatment::Mitre, figures });
        }
    }
    all
}

/// Half the angle inside a ring at a corner, to half a degree.
fn half_angle(ring: &[Point], corner: usize) -> Decimal {
    let (a, b, c) = around(ring, corner);
    let towards = |p: Point| ((p.y - b.y) as f64).atan2((p.x - b.x) as f64);
    let angle = (towards(a) - towards(c)).rem_euclid(std::f64::consts::TAU).to_degrees();
    to_half_a_degree(angle / 2.0)
}

/// The figures of a corner of the outline.
fn figures(
    roof: &Roof,
    (ends, starts): (&Side, &Side),
    corner: &Corner,
    treatment: Treatment,
    products: &Products,
    rules: &Rules,
) -> CornerFigures {
    let drip = if ends.finish == Finish::Drip { ends } else { starts };
    let gutter = || roof.outline.edges.iter().find(|e| e.path == drip.path)?.gutter.as_ref();
    let notched = treatment == Treatment::Notch;
    let longer = |side: &Side| match side.has_trim() && takes_allowance(corner, treatment) {
        true => mitre_allowance(side.finish, products, rules),
        false => Length::ZERO,
    };
    CornerFigures {
        degrees: cut_angle(treatment, corner),
        back: match treatment {
            Treatment::Notch => rules.stop_end_notch,
            Treatment::PreformedExternal => products.corner_external_leg,
            Treatment::PreformedInternal => products.corner_internal_leg,
            _ => Length::ZERO,
        },
        gutter: gutter().filter(|_| notched).map(|g| (g.shape.clone(), g.size)),
        longer: [longer(ends), longer(starts)],
    }
}

/// The angle of the cut to the trim's length, to half a degree: half the corner for a mitre; the corner for a trim that ends
/// against another.
pub fn cut_angle(treatment: Treatment, corner: &Corner) -> Decimal {
    let half_turn = Decimal::from(180);
    let folded = |degrees: Decimal| degrees.min(half_turn - degrees);
    match treatment {
        Treatment::Mitre => folded(to_half_a_degree(corner.inside / 2.0)),
        Treatment::Butt => folded(to_half_a_degree(corner.inside.rem_euclid(180.0))),
        _ => Decimal::from(90),
    }
}

/// An angle as it can be set on a bevel: 67.5 where two trims meet at 135 degrees.
pub fn to_half_a_degree(degrees: f64) -> Decimal {
    Decimal::new((degrees * 2.0).round() as i64 * 5, 1).normalize()
}

/// Whether a piece that meets this corner is cut longer.
pub fn takes_allowance(corner: &Corner, treatment: Treatment) -> bool {
    corner.turn == Turn::Internal
        && !matches!(treatment, Treatment::PreformedInternal | Treatment::PreformedExternal | Treatment::Straight)
}
