//! The outline as it is laid out: moved edges, corners, gaps, areas and lines clipped to a region.

use crate::support::{self, at, mm, rectangle, roof, setting};
use wetout::geometry::region::Region;
use wetout::geometry::segment::distance;
use wetout::model::shape::MeasuredTo;
use wetout::model::{Area, Finish, Hole, HoleForm, Rules};
use wetout::takeoff::layout::holes;
use wetout::takeoff::layout::shape::{Turn, lay_out};

fn rules() -> Rules {
    Rules::default()
}

#[test]
fn a_rectangle_measured_to_its_battens_is_laid_out_as_it_was_measured() {
    let shape = lay_out(&rectangle(5200, 3400), 0, &rules()).unwrap();
    assert_eq!(shape.area, Area::mm2(5200 * 3400));
    assert!(shape.corners.iter().all(|c| c.turn == Turn::External && (c.inside - 90.0).abs() < 1e-9));
    assert_eq!((shape.low_sides.as_slice(), shape.way_off), ([0].as_slice(), 1));
    assert_eq!((shape.uphill.x, shape.uphill.y), (0.0, 1.0));
}

/// Nobody says where the crew leaves: never at the wall while an edge is open that a ladder stands at, and of those as far up the
/// fall as may be. By a ladder point before any other; through a door before a wall.
#[test]
fn where_nothing_is_said_the_crew_leaves_over_an_open_edge() {
    use Finish::{Drip, Raised, Wall};
    let leaves = |roof: &wetout::model::Roof| {
        let shape = lay_out(roof, 0, &rules()).unwrap();
        shape.sides[shape.way_off].label.clone()
    };
    let of = |width, depth, finishes: [Finish; 4]| {
        let mut roof = rectangle(width, depth);
        roof.outline.edges.iter_mut().zip(finishes).for_each(|(edge, finish)| edge.finish = finish);
        roof
    };
    assert_eq!(leaves(&of(5200, 3400, [Drip, Raised, Wall, Raised])), "right");
    assert_eq!(leaves(&of(5200, 3400, [Drip, Wall, Wall, Raised])), "left");
    assert_eq!(leaves(&of(5200, 3400, [Drip, Raised, Raised, Wall])), "back");
    assert_eq!(leaves(&of(5200, 3400, [Drip, Wall, Wall, Wall])), "front");
    // Half a metre of verge is too short for a ladder.
    assert_eq!(leaves(&of(900, 500, [Drip, Raised, Wall, Raised])), "front");
    let mut climbed = of(5200, 3400, [Drip, Raised, Wall, Raised]);
    climbed.outline.edges[0].ladder_point = Some(mm(1200));
    assert_eq!(leaves(&climbed), "front");
    let mut walled = of(5200, 3400, [Wall, Wall, Wall, Wall]);
    assert_eq!(leaves(&walled), "back");
    walled.outline.edges[3].sill = Some(mm(160));
    assert_eq!(leaves(&walled), "left");
    walled.way_off = Some("right".into());
    assert_eq!(leaves(&walled), "right");
}

/// The porch of a doormat's size says nothing of it: the sheet sends nobody to the wall.
#[test]
fn the_sheet_of_a_roof_of_which_nothing_is_said_leaves_at_its_open_edge() {
    let porch = crate::demo::work(&support::asked(include_str!("big_jobs/tiny-roof.yaml")));
    let told = crate::edges::documents(&porch)[1].clone();
    assert!(told.contains("at the front") && !told.contains("by a ladder at its"), "{told}");
}

#[test]
fn measured_to_the_fascia_drip_moves_two_battens_raised_one_and_the_wall_stays() {
    let mut r = rectangle(5200, 3400);
    r.measured_to = MeasuredTo::Fascia;
    let shape = lay_out(&r, 0, &rules()).unwrap();
    assert_eq!(shape.ring(), [at(-25, -50), at(5225, -50), at(5225, 3400), at(-25, 3400)]);
    let runs: Vec<i64> = shape.sides.iter().map(|s| s.run.as_mm()).collect();
    assert_eq!(runs, [5250, 3450, 5250, 3450]);
    assert_eq!(shape.area, Area::mm2(5250 * 3450));
}

/// By hand: a back of 5200, the first 2000 of it (walked from the right) a wall that stays and the rest raised, which moves
/// out by one batten of 25: the outline steps by 25 there, and the wall's run grows by 25 at the right as the rest's does at the
/// left. 5250 × 3450 and the 3225 of the raised stretch × 25.
#[test]
fn stretches_of_one_line_that_move_by_unlike_amounts_leave_a_step() {
    let mut r = rectangle(5200, 3400);
    let edges = &mut r.outline.edges;
    let mut rest = edges[2].clone();
    (edges[2].length, edges[2].stretch) = (mm(2000), Some(1));
    (rest.length, rest.stretch, rest.finish) = (mm(3200), Some(2), Finish::Raised);
    edges.insert(3, rest);
    r.outline.corners.insert(3, at(3200, 3400));
    r.measured_to = MeasuredTo::Fascia;
    let shape = lay_out(&r, 0, &rules()).unwrap();
    let back = [at(5225, 3400), at(3200, 3400), at(3200, 3425), at(-25, 3425)];
    assert_eq!(shape.ring()[..], [[at(-25, -50), at(5225, -50)].as_slice(), &back].concat());
    assert_eq!(shape.sides.iter().map(|s| s.run.as_mm()).collect::<Vec<_>>(), [5250, 3450, 2025, 3225, 3475]);
    assert_eq!((shape.corners[3].turn, shape.corners[3].inside.round()), (Turn::Straight, 180.0));
    assert_eq!(shape.area, Area::mm2(5250 * 3450 + 3225 * 25));
}

#[test]
fn the_deck_stops_short_of_the_wall_and_of_a_chimney_but_runs_under_a_kerb() {
    let mut r = rectangle(5000, 3000);
    let hole = |name: &str, x, finish| {
        support::hole(name, HoleForm::Box { at: at(x, 1000), width: mm(600), depth: mm(500) }, finish)
    };
    r.holes = vec![hole("chimney", 1000, Finish::Wall), hole("rooflight", 3000, Finish::Kerb)];
    let deck = lay_out(&r, 0, &rules()).unwrap().deck_region(&rules());
    let expected = 5000 * (3000 - 25) - 650 * 550 - 600 * 500;
    assert_eq!(deck.area(), Area::mm2(expected));
}

/// A pipe of 110 mm and 10 mm of gap all round: a circle of 130 mm is left out, to the corners of the ring that stands for it.
#[test]
fn the_deck_stops_short_of_a_pipe_all_round() {
    let mut r = rectangle(2000, 2000);
    let form = HoleForm::Round { at: at(1000, 1000), diameter: mm(110) };
    r.holes = vec![support::hole("pipe", form, Finish::Kerb)];
    let deck = lay_out(&r, 0, &rules()).unwrap().deck_region(&rules());
    let left_out = (2000 * 1975 - deck.area().as_mm2()) as f64;
    let circle = std::f64::consts::PI * 65.0 * 65.0;
    assert!((left_out - circle).abs() < 150.0, "{left_out}");
}

#[test]
fn the_gap_of_two_walls_at_an_inner_corner_leaves_no_sliver() {
    let shape = lay_out(
        &roof(&[
            (at(0, 0), "front", Finish::Drip),
            (at(4000, 0), "right", Finish::Raised),
            (at(4000, 3000), "back", Finish::Wall),
            (at(2000, 3000), "return", Finish::Wall),
            (at(2000, 2000), "inner", Finish::Wall),
            (at(0, 2000), "left", Finish::Raised),
        ]),
        0,
        &rules(),
    )
    .unwrap();
    assert_eq!(shape.corners[4].turn, Turn::Internal);
    let deck = shape.deck_region(&rules());
    assert!(!deck.contains(at(2010, 1990)));
    assert!(deck.contains(at(2026, 1974)));
}

#[test]
fn a_pipe_takes_its_circle_off_the_area() {
    let mut r = rectangle(2000, 2000);
    let form = HoleForm::Round { at: at(1000, 1000), diameter: mm(110) };
    r.holes = vec![support::hole("pipe", form, Finish::Kerb)];
    let area = lay_out(&r, 0, &rules()).unwrap().area.as_mm2() as f64;
    let circle = std::f64::consts::PI * 55.0 * 55.0;
    assert!((4.0e6 - area - circle).abs() < 100.0, "{area}");
}

#[test]
fn a_hole_across_the_edge_and_two_holes_that_overlap_are_both_reported() {
    let r = rectangle(2000, 2000);
    let hole = |name: &str, x| Hole {
        path: setting(&format!("roofs[0].holes.{name}")),
        ..support::hole(name, HoleForm::Box { at: at(x, 500), width: mm(600), depth: mm(600) }, Finish::Kerb)
    };
    let mut found = Vec::new();
    holes::apart(&hole("first", 200), &hole("second", 700), &mut found);
    holes::inside(&hole("third", 1600), "the third", &r.outline, &mut found);
    let faults: Vec<&str> = found.iter().map(|p| p.fault.as_str()).collect();
    assert_eq!(
        faults,
        ["the holes `first` and `second` overlap or touch", "the third reaches across the edge `right`"]
    );
}

#[test]
fn a_line_is_clipped_to_the_roof_round_its_hole() {
    let region = Region::of_box(at(0, 0), at(1000, 1000)).subtract(&Region::of_box(at(400, 400), at(600, 600)));
    let parts = region.clip_line(at(1200, 500), at(-200, 500), false);
    assert_eq!(parts, [(at(1000, 500), at(600, 500)), (at(400, 500), at(0, 500))]);
    assert!(region.clip_line(at(0, 0), at(1000, 0), false).is_empty());
    assert_eq!(region.clip_line(at(0, 0), at(1000, 0), true), [(at(0, 0), at(1000, 0))]);
}

/// Squares of 300 on a square of 1000: their middles fill 700 × 700. Round a box of 200 they keep 150 off: 500 × 500 less.
/// On a triangle with two sides of 1000 a square of 200 touches the slanting side with its corner: x + y ≤ 800, x and y at
/// least 100, which leaves a triangle with sides of 600.
/// What two rectangles share is found without the booleans: here they find it, by what is left of one without the other.
#[test]
fn what_rectangles_share_is_what_the_booleans_find() {
    let steps = [-700, 0, 250, 400, 1000, 1300];
    let corners = || steps.iter().flat_map(|&x| steps.iter().map(move |&y| at(x, y)));
    let boxes: Vec<Region> = corners().map(|least| Region::of_box(least, at(least.x + 650, least.y + 420))).collect();
    let mut met = 0;
    for (one, other) in boxes.iter().flat_map(|one| boxes.iter().map(move |other| (one, other))) {
        let shared = one.intersect(other);
        assert_eq!(shared, one.subtract(&one.subtract(other)), "{one:?} and {other:?}");
        met += usize::from(!shared.is_empty());
    }
    assert!(met > boxes.len(), "some meet");
}

#[test]
fn a_region_is_shrunk_to_the_middles_of_the_squares_that_lie_on_it() {
    let square = Region::of_box(at(0, 0), at(1000, 1000));
    assert_eq!(square.shrunk(150).area(), Area::mm2(700 * 700));
    let with_hole = square.subtract(&Region::of_box(at(400, 400), at(600, 600)));
    assert_eq!(with_hole.shrunk(150).area(), Area::mm2(700 * 700 - 500 * 500));
    for ring in [[at(0, 0), at(1000, 0), at(0, 1000)], [at(0, 0), at(1000, 0), at(1000, 1000)]] {
        assert_eq!(Region::of_ring(&ring).shrunk(100).area(), Area::mm2(600 * 600 / 2));
    }
    assert!(Region::of_box(at(0, 0), at(1000, 290)).shrunk(150).is_empty());
}

/// Heron of Alexandria, Metrica I.8: the area of a triangle from its sides. A 3–4–5 and a 13–14–15 triangle have
/// areas 6 and 84 exactly.
#[test]
fn ring_areas_agree_with_herons_formula() {
    for (ring, area) in [
        (vec![at(0, 0), at(4000, 0), at(0, 3000)], 6_000_000),
        (vec![at(0, 0), at(14_000, 0), at(5000, 12_000)], 84_000_000),
    ] {
        let s: Vec<f64> = (0..3).map(|i| distance(ring[i], ring[(i + 1) % 3]).as_mm() as f64).collect();
        let half = s.iter().sum::<f64>() / 2.0;
        let heron = (half * (half - s[0]) * (half - s[1]) * (half - s[2])).sqrt();
        assert_eq!(Region::of_ring(&ring).area(), Area::mm2(area));
        assert!((heron - area as f64).abs() < 1.0);
    }
}

/// Two hundred random roofs with holes, and boards laid over them, as shapely 2 (PyPI) measures them:
/// `tests/outside/regions.py` makes the vectors. A slanting cut may lose half a millimetre to rounding at each crossing.
#[test]
fn areas_and_clipped_boards_agree_with_a_general_purpose_geometry_library() {
    let roofs: serde_json::Value = serde_json::from_str(include_str!("outside/regions.json")).unwrap();
    let number = |v: &serde_json::Value| v.as_f64().unwrap();
    let corner = |v: &serde_json::Value, i: usize| at(v[i].as_i64().unwrap(), v[i + 1].as_i64().unwrap());
    let mut compared = 0;
    for roof in roofs.as_array().unwrap() {
        let ring: Vec<_> = roof["ring"].as_array().unwrap().iter().map(|p| corner(p, 0)).collect();
        let holes = roof["holes"].as_array().unwrap();
        let net =
            holes.iter().fold(Region::of_ring(&ring), |r, h| r.subtract(&Region::of_box(corner(h, 0), corner(h, 2))));
        assert!((net.area().as_mm2() as f64 - number(&roof["area"])).abs() <= 1.0, "{roof}");
        for board in roof["boards"].as_array().unwrap() {
            let b = &board["box"];
            let cut = net.intersect(&Region::of_box(corner(b, 0), corner(b, 2)));
            let difference = (cut.area().as_mm2() as f64 - number(&board["area"])).abs();
            assert!(difference <= 2500.0, "{board}: {difference} mm2 apart");
            compared += 1;
        }
    }
    assert_eq!((roofs.as_array().unwrap().len(), compared), (200, 1200));
}
