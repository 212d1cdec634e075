//! Edges that have more to them than a finish, replayed: how far the mat goes there, what lies under tiles or slates.
//!
//! Given a roof as measured, as laid out and its lines; gives the faults found. Every figure is worked here from the roof
//! as measured, in plain numbers of its own.

use wetout::model::job::By;
use wetout::model::{Edge, Finish, Roof, Rules};
use wetout::takeoff::Line;
use wetout::takeoff::layout::RoofLayout;
use wetout::takeoff::layout::shape::Side;

/// Everything that is wrong with the edges of a roof.
pub fn faults(roof: &Roof, laid: &RoofLayout, lines: &[Line], rules: &Rules) -> Vec<String> {
    let mut found = Vec::new();
    for (edge, side) in roof.outline.edges.iter().zip(&laid.shape.sides) {
        let wanted = edge.under.map_or(rules.mat_return.of(edge.finish), |tiles| tiles.up);
        if side.carried != wanted {
            found.push(format!("{}: the mat is carried {}, wanted {wanted}", side.label, side.carried));
        }
    }
    for (id, wanted) in under_tiles(roof, laid, rules) {
        let of = |l: &&Line| l.id == id && l.roof.as_ref() == Some(&laid.shape.name);
        let told: f64 = lines.iter().filter(of).map(|l| l.quantity.to_string().parse::<f64>().unwrap()).sum();
        if (told - wanted).abs() > 1e-6 {
            found.push(format!("{}: {id} is {told}, worked again {wanted}", laid.shape.name));
        }
    }
    found
}

/// What the lines of the tied edges should say.
fn under_tiles(roof: &Roof, laid: &RoofLayout, rules: &Rules) -> Vec<(&'static str, f64)> {
    let steps: Vec<(&Edge, &Side)> =
        roof.outline.edges.iter().zip(&laid.shape.sides).filter(|(e, _)| e.finish == Finish::Step).collect();
    let m = |l: wetout::model::Length| l.as_mm() as f64 / 1000.0;
    let up_to = |a: f64, b: f64| (a / b - 1e-9).ceil();
    let mut sums = [0.0; 10];
    for (edge, side) in steps {
        let (run, up) = (m(side.run), edge.under.map_or(m(rules.mat_return.step), |t| m(t.up)));
        let rafters = up_to(run, m(rules.rafter_spacing)) + 1.0;
        let mut add = |n: usize, more: f64| sums[n] += more;
        add(0, run);
        add(1, run * up);
        add(2, rafters * (up_to(up, m(rules.deck_edge_fixing)) + 2.0));
        add(3, run);
        let Some(tiles) = edge.under.filter(|t| t.by == By::Us) else { continue };
        let courses = f64::from(tiles.courses);
        let pieces = courses * up_to(run, m(tiles.cover));
        let share: f64 = rules.tiles_broken.to_string().parse().unwrap();
        add(4, run * courses);
        add(5, run * (up + m(rules.underlay_lap)));
        add(6, run * courses);
        add(7, rafters * courses);
        add(8, pieces * f64::from(rules.tile_nails));
        add(9, up_to(pieces * share, 100.0));
    }
    let ids = [
        "tie.run",
        "tie.board",
        "tie.fixings",
        "tie.fillet",
        "tie.courses",
        "tie.underlay",
        "tie.battens",
        "tie.batten.nails",
        "tie.nails",
        "tie.tiles",
    ];
    ids.into_iter().zip(sums).collect()
}
