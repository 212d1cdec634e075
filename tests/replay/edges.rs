//! Edges that have more to them than a finish, replayed: how far the mat goes there, what lies under tiles or slates.
//!
//! Given a roof as measured, as laid out and its lines; gives the faults found. Every figure is worked here from the roof
//! as measured, in plain numbers of its own.

use wetout::model::job::By;
use wetout::model::shape::DeckAction;
use wetout::model::{Edge, Finish, Length, PitchedCovering, Products, Roof, Rules};
use wetout::takeoff::Line;
use wetout::takeoff::layout::RoofLayout;
use wetout::takeoff::layout::falls::lift;
use wetout::takeoff::layout::shape::{Side, SillDetail};

/// Everything that is wrong with the edges of a roof.
pub fn faults(roof: &Roof, laid: &RoofLayout, lines: &[Line], rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    for (edge, side) in roof.outline.edges.iter().zip(&laid.shape.sides) {
        let left = edge.sill.map(|sill| sill - built_up(roof, laid, side, rules, products));
        let wanted = match (left, edge.under) {
            (Some(left), _) => left + rules.sill_turn,
            (None, Some(tiles)) => tiles.up + rules.fillet_over,
            (None, None) if edge.finish == Finish::Step => rules.mat_return.step + rules.fillet_over,
            (None, None) => rules.mat_return.of(edge.finish),
        };
        let fits = left.map(|left| (left, left >= rules.mat_return.wall));
        if side.sill.map(|s| (s.left, s.detail == SillDetail::Fillet)) != fits {
            found.push(format!("{}: under its sill {fits:?}, laid out {:?}", side.label, side.sill));
        }
        if left.is_some_and(|left| left < rules.least_sill) {
            found.push(format!("{}: too low a sill was laid out", side.label));
        }
        // What a wall that the roof is carried over takes is worked where those are replayed.
        if side.carried != wanted && edge.coping.is_none() {
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

/// What the roof grows by at a side: firring at its higher end, board, and what lies over the deck. By how much all
/// firrings are deeper for their toe is looked at where they are replayed.
pub fn built_up(roof: &Roof, laid: &RoofLayout, side: &Side, rules: &Rules, products: &Products) -> Length {
    // A new board takes the place of the old one that is lifted for it.
    let lifted = roof.deck.lifted.map_or(0, Length::as_mm);
    let board = roof.deck.board.as_ref().map_or(0, |key| products.boards[key].thickness.as_mm()) - lifted;
    let board = if roof.deck.action == DeckAction::Keep { 0 } else { board };
    let up = |p: wetout::model::Point| p.x as f64 * laid.shape.uphill.x + p.y as f64 * laid.shape.uphill.y;
    let low = laid.shape.sides.iter().map(|s| up(s.from)).fold(f64::MAX, f64::min);
    let firring = roof.firred().map_or(0, |(fall, _)| {
        let run: f64 = fall.run.to_string().parse().unwrap();
        let rise = ((up(side.from).max(up(side.to)) - low) / run - 1e-3).ceil().max(0.0) as i64;
        rise + lift(&laid.shape, roof, rules).as_mm()
    });
    let built = roof.build_up.as_ref().filter(|_| laid.over.is_some());
    let over = built.map_or(0.0, |b| {
        let mm = |sheet: &wetout::model::build_up::MaterialLayer| {
            sheet.thickness.as_mm().to_string().parse::<f64>().unwrap()
        };
        b.insulation.as_ref().map_or(0.0, |i| mm(&i.sheet)) + b.overlay.as_ref().map_or(0.0, mm)
    });
    Length::mm(board + firring + over.ceil() as i64)
}

/// What the lines of the tied edges should say.
fn under_tiles(roof: &Roof, laid: &RoofLayout, rules: &Rules) -> Vec<(&'static str, f64)> {
    let steps: Vec<(&Edge, &Side)> =
        roof.outline.edges.iter().zip(&laid.shape.sides).filter(|(e, _)| e.finish == Finish::Step).collect();
    let m = |l: wetout::model::Length| l.as_mm() as f64 / 1000.0;
    let up_to = |a: f64, b: f64| (a / b - 1e-9).ceil();
    let mut sums = [0.0; 11];
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
        // Slates lie two thick: the one above the last that is laid again was never lifted.
        add(10, if tiles.covering == PitchedCovering::Slates { pieces / courses } else { 0.0 });
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
        "tie.straps",
    ];
    let sills: f64 =
        laid.shape.sides.iter().zip(&roof.outline.edges).filter(|(_, e)| e.sill.is_some()).map(|(s, _)| m(s.run)).sum();
    let sealant = up_to(sills * 2.0, m(rules.chase_per_cartridge));
    ids.into_iter().zip(sums).chain([("sill.run", sills), ("sill.sealant", sealant)]).collect()
}
