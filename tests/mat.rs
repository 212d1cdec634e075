//! Mat and bandage worked by hand.

use crate::support::{self, at, mm, rectangle, roof};
use wetout::cutting::Proof;
use wetout::cutting::rolls::{cut_roll, rolls_for};
use wetout::model::products::MatRoll;
use wetout::model::{Finish, Hole, HoleForm, Length, Point, Products, Roof, Rules};
use wetout::takeoff::layout::CornerFigures;
use wetout::takeoff::layout::bandage::lay_bandage;
use wetout::takeoff::layout::mat::lay_mat;
use wetout::takeoff::layout::shape::lay_out;
use wetout::takeoff::layout::{
    BandageOver, BandagePiece, DeckJoint, DeckLayout, Junction, Lap, LapOver, MatLayout, MatPiece, ProfilePlan,
    RunPlace, Treatment, TrimRun,
};

fn roll() -> MatRoll {
    MatRoll { weight: 450, width: mm(1000), rolls: Vec::new() }
}

fn lay(roof: &Roof) -> MatLayout {
    lay_on(roof, None)
}

fn lay_on(roof: &Roof, deck: Option<&DeckLayout>) -> MatLayout {
    let rules = Rules::default();
    let shape = lay_out(roof, 0, &rules).unwrap();
    let (layout, problems) = lay_mat(&shape, roof, deck, &rules, &roll()).unwrap();
    assert_eq!(problems, []);
    layout
}

fn sizes(layout: &MatLayout) -> Vec<(i64, i64)> {
    layout.pieces.iter().map(|p| (p.length.as_mm(), p.width.as_mm())).collect()
}

fn marks(layout: &MatLayout) -> Vec<&str> {
    layout.pieces.iter().map(|p| p.mark.as_str()).collect()
}

/// Least and most corner on the plan.
fn extent(p: &MatPiece) -> (Point, Point) {
    let (x, y) = (p.ring.iter().map(|p| p.x), p.ring.iter().map(|p| p.y));
    (at(x.clone().min().unwrap(), y.clone().min().unwrap()), at(x.max().unwrap(), y.max().unwrap()))
}

fn deck(joints: &[(Point, Point)]) -> DeckLayout {
    DeckLayout {
        board: "osb3-18".into(),
        pieces: Vec::new(),
        joints: joints.iter().map(|&(from, to)| DeckJoint { from, to, end_joint: from.x == to.x }).collect(),
        noggins: Vec::new(),
        blocks: 0,
        noggin: mm(47),
        boards: 0,
        cuts: 0,
        fixings: 0,
        edge_fixings: 0,
        old_deck_fixings: 0,
        joists: Vec::new(),
        proof: Proof { found: 0, bound: 0, reason: String::new() },
        along_x: true,
    }
}

fn box_hole(x: i64, y: i64, width: i64, depth: i64, finish: Finish) -> Hole {
    let form = HoleForm::Box { at: at(x, y), width: mm(width), depth: mm(depth) };
    support::hole("rooflight", form, finish)
}

/// A roof 5.2 m wide and 3.4 m deep: drip in front (return 0), raised sides (60), wall at the back (100).
/// Width across the strips 3400 + 0 + 100 = 3500; ⌈(3500 − 50) ÷ 950⌉ = ⌈3.63⌉ = 4 strips; the last is
/// 3500 − 3 × 950 = 650 wide. Each is 5200 + 2 × 60 = 5320 long; four lengths of roll are 21.28 m.
#[test]
fn a_plain_roof_takes_three_strips_and_a_narrow_one() {
    let layout = lay(&rectangle(5200, 3400));
    assert_eq!(sizes(&layout), [(5320, 1000), (5320, 1000), (5320, 1000), (5320, 650)]);
    assert_eq!(marks(&layout), ["1", "2", "3", "4"]);
    assert_eq!(layout.pieces[0].ring, [at(-60, 0), at(5260, 0), at(5260, 1000), at(-60, 1000)]);
    assert_eq!(layout.pieces[3].ring, [at(-60, 2850), at(5260, 2850), at(5260, 3500), at(-60, 3500)]);
    assert_eq!(layout.roll, mm(21_280));
}

/// ⌈(W − lap) ÷ (roll − lap)⌉ in whole millimetres: arithmetic. 2900 is the trap: (2900 − 50) ÷ 950 is exactly 3.
#[test]
fn the_number_of_strips_is_exact_where_they_just_fit() {
    for (width, strips) in [(3000, 4), (2850, 3), (2900, 3), (2901, 4), (1000, 1), (1001, 2), (400, 1)] {
        let layout = lay(&rectangle(3000, width - 100));
        assert_eq!(layout.pieces.len(), strips, "{width}");
    }
}

#[test]
fn the_same_roof_falling_to_any_side_takes_the_same_strips() {
    let plain = lay(&rectangle(5200, 3400));
    let corners = [at(0, 0), at(5200, 0), at(5200, 3400), at(0, 3400)];
    let edges = [("front", Finish::Drip), ("right", Finish::Raised), ("back", Finish::Wall), ("left", Finish::Raised)];
    let quarter = |p: Point| at(-p.y, p.x);
    let mut ring = corners;
    for _ in 0..4 {
        let turned: Vec<(Point, &str, Finish)> = ring.iter().zip(edges).map(|(&p, (n, f))| (p, n, f)).collect();
        let layout = lay(&roof(&turned));
        assert_eq!(sizes(&layout), sizes(&plain));
        ring = ring.map(quarter);
    }
}

/// A court 2 m wide runs down from the back between two arms: above it every strip is in two parts.
#[test]
fn a_strip_is_in_two_parts_where_the_outline_is() {
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(6000, 0), "right", Finish::Raised),
        (at(6000, 2900), "back right", Finish::Raised),
        (at(4000, 2900), "court right", Finish::Raised),
        (at(4000, 950), "court", Finish::Raised),
        (at(2000, 950), "court left", Finish::Raised),
        (at(2000, 2900), "back left", Finish::Raised),
        (at(0, 2900), "left", Finish::Raised),
    ]);
    r.way_off = Some("front".into());
    let across = lay(&r);
    assert!(support::notes_told(&across)[0].starts_with("Strips run up the fall"), "{:?}", across.notes);
    // Looked at with its low side at the right, the strips up the fall cross the court: four columns, two of them cut.
    let low: Vec<(i64, i64)> = sizes(&across);
    assert_eq!(low.iter().filter(|s| s.0 == 2960).count(), 6, "{low:?}");
    assert!(low.iter().any(|s| s.0 == 950 + 60), "{low:?}");
}

#[test]
fn a_rooflight_right_across_a_strip_parts_it_and_each_end_is_turned_up_the_kerb() {
    let mut r = rectangle(5200, 3400);
    r.holes = vec![box_hole(2000, 700, 1200, 1500, Finish::Kerb)];
    let layout = lay(&r);
    let second: Vec<(Point, Point)> = layout.pieces.iter().filter(|p| p.strip == 1).map(extent).collect();
    // Strip 2 lies from 950 to 1950, inside the hole's 700 to 2200; each part goes 150 up the kerb.
    assert_eq!(second.len(), 2);
    assert!(second.contains(&(at(-60, 950), at(2150, 1950))), "{second:?}");
    assert!(second.contains(&(at(3050, 950), at(5260, 1950))), "{second:?}");
    assert_eq!(layout.pieces.iter().filter(|p| p.strip == 0).count(), 1);
}

#[test]
fn a_pipe_does_not_part_a_strip() {
    let mut r = rectangle(3000, 900);
    let form = HoleForm::Round { at: at(1500, 500), diameter: mm(110) };
    r.holes = vec![support::hole("pipe", form, Finish::Kerb)];
    assert_eq!(sizes(&lay(&r)), [(3120, 1000)]);
}

/// 9000 + 2 × 60 = 9120 is over 6000, so two pieces: 9120 + 50 = 9170 of mat a strip.
#[test]
fn long_strips_are_joined_and_neighbouring_joints_are_staggered() {
    let layout = lay(&rectangle(9000, 3400));
    let mut joints: Vec<(usize, i64)> = Vec::new();
    for strip in 0..4 {
        let mut of: Vec<(Point, Point)> = layout.pieces.iter().filter(|p| p.strip == strip).map(extent).collect();
        of.sort();
        assert_eq!(of.len(), 2);
        assert_eq!(of[0].1.x - of[1].0.x, 50);
        joints.push((strip, of[1].0.x));
        let total: i64 = layout.pieces.iter().filter(|p| p.strip == strip).map(|p| p.length.as_mm()).sum();
        assert_eq!(total, 9170);
    }
    assert!(joints.windows(2).all(|w| (w[0].1 - w[1].1).abs() >= 300), "{joints:?}");
    assert!(layout.pieces.iter().all(|p| p.length <= mm(6000)));
}

/// 11 830 + 2 × 60 = 11 950 comes out of exactly two pieces of 6000, which leaves no choice of the joint: every other
/// strip takes a third piece.
#[test]
fn where_the_fewest_pieces_cannot_be_staggered_every_other_strip_takes_one_more() {
    let layout = lay(&rectangle(11_830, 1800));
    let count = |strip| layout.pieces.iter().filter(|p| p.strip == strip).count();
    assert_eq!((count(0), count(1)), (2, 3));
}

/// Pitch 950: the second layer's first strip is 1000 − 475 = 525 wide, so that its laps lie half a strip off, and 25 less, so
/// that its last is 200 and not 175. The first layer's last strip (650) and the second's narrow ones are cut side by side
/// where they fit.
#[test]
fn the_second_layer_lies_half_a_strip_off_the_first() {
    let mut r = rectangle(5200, 3400);
    r.laminate.layers = 2;
    let layout = lay(&r);
    let laps = |layer: usize| -> Vec<i64> {
        layout.pieces.iter().filter(|p| p.layer == layer && p.strip > 0).map(|p| extent(p).0.y).collect()
    };
    assert_eq!(laps(0), [950, 1900, 2850]);
    assert_eq!(laps(1), [450, 1400, 2350, 3300]);
    let widths: Vec<i64> = layout.pieces.iter().filter(|p| p.layer == 1).map(|p| p.width.as_mm()).collect();
    assert_eq!(widths, [500, 1000, 1000, 1000, 200]);
    assert_eq!(layout.pieces.iter().map(|p| p.order).collect::<Vec<_>>(), (1..=9).collect::<Vec<_>>());
    // Full-width strips: 3 + 3. Narrow ones: 650 + 200 share a width, 500 takes its own: 8 × 5.32 m.
    assert_eq!(layout.roll, mm(8 * 5320));
}

/// W = 2860 + 100 = 2960: four strips, the last 2960 − 3 × 950 = 110 wide. The first is cut 90 narrower, and the last is 200.
#[test]
fn a_last_strip_that_would_be_a_sliver_is_made_up_for_by_the_first() {
    let layout = lay(&rectangle(5200, 2860));
    assert_eq!(sizes(&layout), [(5320, 910), (5320, 1000), (5320, 1000), (5320, 200)]);
    let note = "The first strip is cut 90 mm narrower, so that no strip is narrower than 200 mm.";
    assert!(support::notes_told(&layout).iter().any(|n| n == note), "{:?}", layout.notes);
    // A roof that is no wider than a sliver has one strip, and nothing to be told.
    assert!(!support::notes_told(&lay(&rectangle(5200, 60))).iter().any(|n| n.contains("narrower")));
}

/// The sides meet the laps at two levels, 60 apart: the lower one in strip 2, the upper one in strip 3 unless the laps move.
#[test]
fn a_sliver_on_an_arm_of_the_roof_moves_the_laps_too() {
    let r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(6000, 0), "right", Finish::Drip),
        (at(6000, 2000), "yard", Finish::Drip),
        (at(3000, 2000), "side", Finish::Drip),
        (at(3000, 3500), "back", Finish::Drip),
        (at(0, 3500), "left", Finish::Drip),
    ]);
    // Laps at 950, 1900, 2850: the right arm would end in a piece of 2000 − 1900 = 100.
    let layout = lay(&r);
    assert!(layout.pieces.iter().all(|p| p.width >= mm(200)), "{:?}", sizes(&layout));
    assert_eq!(layout.pieces.iter().map(|p| p.strip).max(), Some(3));
}

/// 6000 + 2 × 60 = 6120 of mat is more than a piece of 6000: the second is 500 and not 170.
#[test]
fn returns_that_pass_the_longest_piece_leave_no_scrap_at_the_end() {
    let layout = lay(&rectangle(6000, 1800));
    let mut lengths: Vec<i64> = layout.pieces.iter().map(|p| p.length.as_mm()).collect();
    lengths.sort_unstable();
    assert!(lengths[0] >= 500, "{lengths:?}");
    assert_eq!(layout.pieces.len(), 4);
    let rules = Rules { mat_shortest: mm(100), ..Rules::default() };
    let shape = lay_out(&rectangle(6000, 1800), 0, &rules).unwrap();
    let (scrap, _) = lay_mat(&shape, &rectangle(6000, 1800), None, &rules, &roll()).unwrap();
    assert!(scrap.pieces.iter().any(|p| p.length < mm(200)), "{:?}", sizes(&scrap));
}

/// W = 2150 + 100 = 2250: the last strip is 350 wide, 100 of it up the wall and 50 over the one below. Nobody stands on the
/// 200 that are left.
#[test]
fn a_last_strip_without_room_to_stand_is_laid_together_with_the_one_before() {
    let layout = lay(&rectangle(5200, 2150));
    assert_eq!(layout.pieces[2].together.as_deref(), Some("2"));
    assert!(
        support::notes_told(&layout).iter().any(|n| n.contains("strip 3 after 2, out of the pots")),
        "{:?}",
        layout.notes
    );
    // With 100 more there is room.
    assert!(lay(&rectangle(5200, 2300)).pieces.iter().all(|p| p.together.is_none()));
}

/// The last strip is in two pieces, and its joint lies off that of the strip below, so that one of these lies under both: it
/// is laid after the other pair in the work backwards, and nothing is tucked.
#[test]
fn a_narrow_last_strip_in_two_pieces_is_laid_pair_by_pair_and_none_is_tucked() {
    let mut r = rectangle(5950, 980);
    r.way_off = Some("back".into());
    let layout = lay(&r);
    let order: Vec<(&str, Option<&str>)> =
        layout.pieces.iter().map(|p| (p.mark.as_str(), p.together.as_deref())).collect();
    assert_eq!(layout.pieces.len(), 4, "{order:?}");
    assert_eq!(order.iter().filter(|(_, with)| with.is_some()).count(), 2, "{order:?}");
    let told = support::notes_told(&layout);
    assert!(!told.iter().any(|n| n.contains("tuck")), "{told:?}");
    assert!(told[0].starts_with("Strips lie along the low edge"), "{told:?}");
}

/// The court, the chimney and the slanting tip are cut out of the strips, and take no resin.
#[test]
fn what_is_cut_out_at_an_opening_is_not_laid() {
    let mut r = rectangle(5200, 3400);
    r.holes = vec![box_hole(2000, 300, 1200, 500, Finish::Wall)];
    let layout = lay(&r);
    let (cut, net) =
        layout.pieces.iter().fold((0, 0), |(c, n), p| (c + (p.length * p.width).as_mm2(), n + p.net.as_mm2()));
    // The chimney stands in strip 1 alone; the mat goes 100 up each of its sides: 1000 × 300 stay bare, and so do the
    // two corners at the back, where neither return reaches: 60 × 100 each.
    assert_eq!(cut - net, 1000 * 300 + 2 * 60 * 100);
}

/// A joint at 1000 lies in the first lap (950 to 1000). Shifting the strips down by 100 puts the lap at 850 to 900, the
/// whole offset clear; the last strip grows by 100 and no strip is added.
#[test]
fn the_first_strip_is_narrowed_to_keep_a_lap_off_a_deck_joint() {
    let layout = lay_on(&rectangle(5200, 3400), Some(&deck(&[(at(0, 1000), at(5200, 1000))])));
    assert_eq!(sizes(&layout), [(5320, 900), (5320, 1000), (5320, 1000), (5320, 750)]);
    assert_eq!(layout.roll, mm(21_280));
    assert!(support::notes_told(&layout).iter().any(|n| n.contains("100 mm narrower")), "{:?}", layout.notes);
}

#[test]
fn what_cannot_be_kept_off_a_deck_joint_is_said() {
    let rows: Vec<(Point, Point)> = (1..35).map(|k| (at(0, 100 * k), at(5200, 100 * k))).collect();
    let layout = lay_on(&rectangle(5200, 3400), Some(&deck(&rows)));
    assert_eq!(sizes(&layout)[0], (5320, 1000));
    let note = "The laps between strips 1 and 2, 2 and 3, 3 and 4 lie within 100 mm of a deck joint: \
                no width of the first strip avoids it without buying more.";
    assert!(support::notes_told(&layout).iter().any(|n| n == note), "{:?}", layout.notes);
}

#[test]
fn joints_across_the_strips_do_not_move_them() {
    let layout = lay_on(&rectangle(5200, 3400), Some(&deck(&[(at(1000, 0), at(1000, 3400))])));
    assert_eq!(sizes(&layout)[0], (5320, 1000));
}

/// Width across the strips 5200 + 2 × 60 = 5320: ⌈5270 ÷ 950⌉ = 6 strips, each 3400 + 100 long.
#[test]
fn a_crew_that_leaves_at_the_low_edge_lays_strips_up_the_fall() {
    let mut r = rectangle(5200, 3400);
    r.way_off = Some("front".into());
    let layout = lay(&r);
    assert_eq!(sizes(&layout), [(3500, 1000), (3500, 1000), (3500, 1000), (3500, 1000), (3500, 1000), (3500, 570)]);
    assert_eq!(marks(&layout), ["1", "2", "3", "4", "5", "6"]);
    assert_eq!(extent(&layout.pieces[0]), (at(-60, 0), at(940, 3500)));
    assert!(support::notes_told(&layout)[0].contains("because the crew leaves at the front"), "{:?}", layout.notes);
}

/// Of twelve roofs that are left on the right or at the back one alone has strips up the fall: the side is no reason for that.
#[test]
fn strips_up_the_fall_have_their_own_reason_where_nobody_leaves_at_the_low_edge() {
    let job = crate::demo::work(&support::asked(include_str!("big_jobs/twelve-roofs.yaml")));
    let up: Vec<_> = job.take_off.roofs.iter().filter(|roof| roof.mat.up_the_fall).collect();
    assert!(!up.is_empty());
    for roof in up {
        let note = &support::notes_told(&roof.mat)[0];
        assert!(!roof.shape.low_sides.contains(&roof.shape.way_off), "{}", roof.shape.name);
        assert!(note.starts_with("Strips run up the fall: along the low edge"), "{note}");
    }
}

/// Two stretches at the low edge, the way off at the left one: the strip furthest from it comes first.
#[test]
fn the_strip_furthest_from_the_way_off_comes_first() {
    let mut r = roof(&[
        (at(0, 0), "door", Finish::Drip),
        (at(1500, 0), "front", Finish::Drip),
        (at(6000, 0), "right", Finish::Raised),
        (at(6000, 3000), "back", Finish::Wall),
        (at(0, 3000), "left", Finish::Raised),
    ]);
    r.way_off = Some("door".into());
    let layout = lay(&r);
    let starts: Vec<i64> = layout.pieces.iter().map(|p| extent(p).0.x).collect();
    assert_eq!(starts[..4], [5640, 4690, 3740, 2790]);
    assert!(starts[4..].iter().all(|&x| x < 1900), "{starts:?}");
}

/// Deeper than one piece can be laid: on the last column the lower piece is laid last and tucked under the upper one.
#[test]
fn the_last_piece_at_the_low_edge_is_tucked_under_the_one_above() {
    let mut r = rectangle(2800, 8000);
    r.way_off = Some("front".into());
    let layout = lay(&r);
    let last = layout.pieces.last().unwrap();
    assert_eq!(extent(last).0.y, 0);
    let told = support::notes_told(&layout);
    let tucked: Vec<&String> = told.iter().filter(|n| n.contains("tuck")).collect();
    assert_eq!(tucked.len(), 1, "{:?}", layout.notes);
    assert!(tucked[0].starts_with(&format!("Piece {} ", last.mark)));
}

#[test]
fn rolls_of_a_known_length_bound_the_pieces_and_are_counted() {
    let r = rectangle(5200, 3400);
    let rules = Rules::default();
    let shape = lay_out(&r, 0, &rules).unwrap();
    let with = |rolls: &[i64]| {
        let roll = MatRoll { rolls: rolls.iter().map(|&l| mm(l)).collect(), ..roll() };
        lay_mat(&shape, &r, None, &rules, &roll).unwrap().0
    };
    assert_eq!(support::notes_told(&with(&[30_000])).last().unwrap(), "All pieces come whole out of one roll.");
    // 8 m rolls give one strip of 5.32 m each: four, though 21.28 m would be in three.
    let short = with(&[8000]);
    let note = "The strips take 4 rolls, though 21.28 m would be in 3: what is left of a roll is too short.";
    assert_eq!(support::notes_told(&short).last().unwrap(), note);
    // Two lengths are sold: 24 m is in 24 m, as one roll or as three, whichever is cheaper.
    let either = with(&[8000, 24_000]);
    assert_eq!(support::notes_told(&either).last().unwrap(), "Each piece comes whole out of a roll.");
    // Rolls of 8 m and 9 m give one strip each: 32 m, though three of 8 m would hold the metres.
    let note =
        "The strips take rolls of 32 m together, though 21.28 m would be in 24 m: what is left of a roll is too short.";
    assert_eq!(support::notes_told(&with(&[8000, 9000])).last().unwrap(), note);
    assert!(with(&[3000]).pieces.iter().all(|p| p.length <= mm(3000)));
}

#[test]
fn a_roll_too_narrow_and_a_strip_too_short_are_both_reported() {
    let r = rectangle(5200, 3400);
    let rules = Rules { mat_longest: mm(100), ..Rules::default() };
    let shape = lay_out(&r, 0, &rules).unwrap();
    let narrow = MatRoll { width: mm(150), ..roll() };
    let problems = lay_mat(&shape, &r, None, &rules, &narrow).unwrap_err();
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "roofs[0].laminate.mat: a roll 150 mm wide leaves too little beside laps of 50 mm; correct the mat's width in \
             the price book, or `mat_lap` in the firm's rules",
            "roofs[0].laminate.mat: a strip of at most 100 mm cannot be joined with laps of 50 mm; correct `mat_longest` or \
             `mat_end_lap` in the firm's rules, or the roll's length in the price book",
        ]
    );
}

#[test]
fn narrow_pieces_share_a_width_of_roll_side_by_side_and_end_to_end() {
    let piece = |length, width| (mm(length), mm(width));
    let cuts = cut_roll(&[piece(2000, 300), piece(5000, 1000), piece(4000, 600), piece(1900, 350)], mm(1000));
    let lengths: Vec<Length> = cuts.iter().map(|c| c.length).collect();
    // 1000 alone; beside 600 of 4000 lie 300 of 2000 and, at its end, nothing wider than 300: 350 lies beside on 400 left.
    assert_eq!(lengths, [mm(5000), mm(4000), mm(1900)]);
    let snug = cut_roll(&[piece(4000, 600), piece(2000, 400), piece(2000, 350)], mm(1000));
    assert_eq!(snug.iter().map(|c| c.length).collect::<Vec<_>>(), [mm(4000)]);
}

#[test]
fn the_last_roll_is_the_shortest_that_will_do() {
    let plan = rolls_for(&[mm(5000), mm(5000), mm(5000)], &[mm(6000), mm(10_000)]).unwrap();
    assert_eq!(plan.rolls.iter().map(|r| r.length).collect::<Vec<_>>(), [mm(10_000), mm(6000)]);
    assert!(plan.proof.is_proven() && plan.proof.found == 16_000, "{:?}", plan.proof);
    assert_eq!(rolls_for(&[mm(5000)], &[]), None);
    assert_eq!(rolls_for(&[mm(5000)], &[mm(4000)]), None);
}

/// First fit, longest first, would open a third roll: 4 + 3 leaves 1 m idle. 4 + 2 + 2 and 3 + 3 + 2 are full.
#[test]
fn strips_come_out_of_the_fewest_metres_of_roll() {
    let cuts = [4000, 3000, 3000, 2000, 2000, 2000].map(mm);
    let plan = rolls_for(&cuts, &[mm(8000)]).unwrap();
    assert_eq!(plan.rolls.iter().map(|r| r.used.as_mm()).collect::<Vec<_>>(), [8000, 8000]);
    assert_eq!((plan.proof.found, plan.proof.bound, plan.enough), (16_000, 16_000, mm(16_000)));
}

/// Six strips of 11 m are 66 m: two rolls of 33 m hold three each, and one of 66 m holds all, so 66 m asked for is enough
/// whichever is cheaper. Six of 12 m are 72 m: 33 + 66 m holds 2 + 4 and three of 33 m hold 2 each. Four of 10 m are
/// 40 m, which buys two rolls of 25 m, and they hold two each.
#[test]
fn so_much_is_asked_for_that_any_rolls_that_cover_it_hold_every_strip() {
    let enough = |n: usize, cut: i64, rolls: &[i64]| {
        let rolls: Vec<Length> = rolls.iter().map(|&r| mm(r)).collect();
        rolls_for(&vec![mm(cut); n], &rolls).unwrap().enough.as_mm()
    };
    assert_eq!(enough(6, 11_000, &[33_000, 66_000]), 66_000);
    assert_eq!(enough(6, 12_000, &[33_000, 66_000]), 72_000);
    assert_eq!(enough(4, 10_000, &[25_000]), 40_000);
    // Three of 9 m in rolls of 15 m: one a roll. 27 m would buy two rolls; 45 m buys the third.
    assert_eq!(enough(3, 9000, &[15_000]), 45_000);
    // Two rolls of 15 m cover 27 m and do not hold them, nor do two of 16 m: three rolls, the shortest 45 m.
    assert_eq!(enough(3, 9000, &[15_000, 16_000]), 45_000);
}

/// Three strips 1 m wide take their length; two of 0.4 m lie side by side, and the area of all says so.
#[test]
fn no_cutting_takes_less_roll_than_its_widest_pieces_or_its_area() {
    use wetout::cutting::rolls::least_roll;
    let wide = [(mm(5000), mm(1000)), (mm(5000), mm(600)), (mm(3000), mm(400))];
    assert_eq!(least_roll(&wide, mm(1000)), mm(10_000));
    assert_eq!(least_roll(&[(mm(5000), mm(400)), (mm(5000), mm(500))], mm(1000)), mm(4500));
}

// ---- Where the crew goes ------------------------------------------------------------------------------------------

/// One strip 960 wide (900 and the return of 60), with a rooflight 1000 wide that leaves `gap` behind it and less in
/// front; the crew leaves at the right.
fn past_a_rooflight(gap: i64) -> (MatLayout, Vec<String>) {
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(4000, 0), "right", Finish::Raised),
        (at(4000, 900), "back", Finish::Raised),
        (at(0, 900), "left", Finish::Raised),
    ]);
    r.way_off = Some("right".into());
    r.holes = vec![box_hole(1500, 20, 1000, 880 - gap, Finish::Kerb)];
    let rules = Rules::default();
    let shape = lay_out(&r, 0, &rules).unwrap();
    let (layout, problems) = lay_mat(&shape, &r, None, &rules, &roll()).unwrap();
    (layout, problems.iter().map(ToString::to_string).collect())
}

fn is_left_by_a_squeeze(layout: &MatLayout) -> bool {
    support::notes_told(layout).iter().any(|n| n.contains("is left over a narrow strip of bare deck"))
}

/// One piece, and two places to stand on it. Three hundred millimetres are room to walk, a millimetre of rounding
/// aside; two hundred are not: who works on the left squeezes by. Common practice, no source.
#[test]
fn a_piece_that_a_rooflight_narrows_is_walked_past_where_there_is_room_and_else_the_sheet_says_so() {
    let (roomy, problems) = past_a_rooflight(300);
    assert_eq!((marks(&roomy), problems.len()), (vec!["1"], 0));
    assert!(!is_left_by_a_squeeze(&roomy), "{:?}", roomy.notes);
    let (tight, problems) = past_a_rooflight(200);
    assert_eq!((marks(&tight), problems.len()), (vec!["1"], 0));
    let note = "Piece 1 is left over a narrow strip of bare deck: see the way clear before it is laid.";
    assert!(support::notes_told(&tight).iter().any(|n| n == note), "{:?}", tight.notes);
}

/// Nobody gets past where 50 mm are left: the warning comes before the job, the note on the day.
#[test]
fn a_part_that_no_bare_deck_joins_to_the_way_off_is_told_before_and_on_the_sheet() {
    let (layout, problems) = past_a_rooflight(50);
    assert_eq!(
        problems,
        [
            "roofs[0].edges.right: part of Main roof cannot be left over bare deck towards right; give the crew a second \
             way off there, such as a ladder or a board over the kerb"
        ]
    );
    let note = "Piece 1 cannot be left over bare deck towards the right: have a ladder there, or a board over the kerb, before \
                it is laid.";
    assert!(support::notes_told(&layout).iter().any(|n| n == note), "{:?}", layout.notes);
}

/// Strip 2 lies from 950 to 1950, inside two rooflights from 700 to 2200: it is in three parts, each with its own place to
/// stand. All are laid before strip 3, over which the crew leaves, though it leaves at the right.
#[test]
fn parts_of_a_strip_are_left_over_the_strip_that_joins_them() {
    let mut r = rectangle(8000, 3400);
    r.way_off = Some("right".into());
    r.holes = vec![box_hole(2000, 700, 1000, 1500, Finish::Kerb), box_hole(5000, 700, 1000, 1500, Finish::Kerb)];
    let layout = lay(&r);
    assert!(!is_left_by_a_squeeze(&layout), "{:?}", layout.notes);
    let orders = |strip| layout.pieces.iter().filter(|p| p.strip == strip).map(|p| p.order).collect::<Vec<_>>();
    assert_eq!(orders(1).len(), 3);
    assert!(orders(1).iter().max() < orders(2).iter().min(), "{:?}", marks(&layout));
}

/// A step's return is 300 up the slope above and 50 over its fillet: 3400 + 350 = 3750, ⌈3700 ÷ 950⌉ = 4 strips, the last
/// 3750 − 2850 = 900.
#[test]
fn the_mat_is_carried_300_up_a_step_and_over_its_fillet() {
    let mut r = rectangle(5200, 3400);
    r.outline.edges[2].finish = Finish::Step;
    assert_eq!(sizes(&lay(&r)), [(5320, 1000), (5320, 1000), (5320, 1000), (5320, 900)]);
}

/// The front is square to the fall; the left corner dips 200 below it. The first strip starts there, and three strips and a
/// fourth cover 200 + 3000 + 100 = 3300: ⌈3250 ÷ 950⌉ = 4.
#[test]
fn strips_start_at_the_lowest_line_that_touches_the_outline() {
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(5000, 0), "right", Finish::Raised),
        (at(5000, 3000), "back", Finish::Wall),
        (at(-400, 3000), "left", Finish::Raised),
        (at(-400, -200), "corner", Finish::Drip),
    ]);
    r.way_off = Some("back".into());
    let layout = lay(&r);
    let lows: Vec<i64> =
        (0..4).map(|k| layout.pieces.iter().find(|p| p.strip == k).map(|p| extent(p).0.y).unwrap()).collect();
    assert_eq!(lows, [-200, 750, 1700, 2650]);
}

/// The third layer lies a quarter of a strip off the first, the fourth three quarters: 950 ÷ 4 = 237, 950 × 3 ÷ 4 = 712. The
/// second lies 25 more than a half off it, so that its last strip is 200 wide.
#[test]
fn four_layers_have_no_lap_over_another() {
    let mut r = rectangle(5200, 3400);
    r.laminate.layers = 4;
    let layout = lay(&r);
    let first_lap =
        |layer| layout.pieces.iter().find(|p| p.layer == layer && p.strip == 1).map(|p| extent(p).0.y).unwrap();
    assert_eq!([0, 1, 2, 3].map(first_lap), [950, 450, 713, 238]);
}

/// Two hundred random roofs, and the rectangles that strips along the low edge and strips up the fall must cover, as
/// shapely 2 (PyPI) finds them: `tests/outside/mat_strips.py` makes the vectors. A slanting cut may be rounded the other
/// way, by 2 mm at most.
#[test]
fn every_strip_covers_what_a_general_purpose_geometry_library_says_lies_in_it() {
    let roofs: serde_json::Value = serde_json::from_str(include_str!("outside/mat_strips.json")).unwrap();
    let whole = |v: &serde_json::Value| v.as_i64().unwrap();
    let finish = |v: &serde_json::Value| *Finish::ALL.iter().find(|f| f.word() == v.as_str().unwrap()).unwrap();
    let (mut along, mut up, mut parts) = (0, 0, 0);
    for (n, given) in roofs.as_array().unwrap().iter().enumerate() {
        let names: Vec<String> = (0..20).map(|i| format!("e{i}")).collect();
        let ring = given["ring"].as_array().unwrap().iter().zip(given["finishes"].as_array().unwrap());
        let corners: Vec<(Point, &str, Finish)> = ring
            .enumerate()
            .map(|(i, (p, f))| (at(whole(&p[0]), whole(&p[1])), names[i].as_str(), finish(f)))
            .collect();
        let mut r = roof(&corners);
        for h in given["holes"].as_array().unwrap() {
            let (x, y) = (whole(&h[0]), whole(&h[1]));
            r.holes.push(box_hole(x, y, whole(&h[2]) - x, whole(&h[3]) - y, finish(&h[4])));
        }
        // The least width is a rule of ours, and not the library's.
        let rules = Rules { mat_narrowest: mm(50), fillet_over: Length::ZERO, ..Rules::default() };
        let layout = lay_mat(&lay_out(&r, 0, &rules).unwrap(), &r, None, &rules, &roll()).unwrap().0;
        if support::notes_told(&layout).iter().any(|n| n.contains("narrower")) {
            continue;
        }
        let is_up = support::notes_told(&layout)[0].starts_with("Strips run up the fall");
        *(if is_up { &mut up } else { &mut along }) += 1;
        let expected = given[if is_up { "up" } else { "along" }].as_array().unwrap();
        for (strip, wanted) in expected.iter().enumerate() {
            let found = parts_of(&layout, strip, is_up);
            let wanted: Vec<[i64; 4]> =
                wanted.as_array().unwrap().iter().map(|p| [0, 1, 2, 3].map(|i| whole(&p[i]))).collect();
            let near = |(a, b): (&[i64; 4], &[i64; 4])| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= 2);
            let same = found.len() == wanted.len() && found.iter().zip(&wanted).all(near);
            assert!(same, "roof {n}, strip {strip}: {found:?}, not {wanted:?}");
            parts += wanted.len();
        }
        assert_eq!(layout.pieces.iter().map(|p| p.strip).max().unwrap() + 1, expected.len(), "roof {n}");
    }
    assert!(along + up >= 190 && up >= 10 && parts >= 1500, "{along} along, {up} up, {parts} parts");
}

/// The rectangles of one strip along and across it, its end laps closed.
fn parts_of(layout: &MatLayout, strip: usize, is_up: bool) -> Vec<[i64; 4]> {
    let turned = |p: Point| if is_up { at(p.y, p.x) } else { p };
    let mut found: Vec<[i64; 4]> = layout
        .pieces
        .iter()
        .filter(|p| p.strip == strip)
        .map(extent)
        .map(|(a, b)| (turned(a), turned(b)))
        .map(|(a, b)| [a.x, a.y, b.x, b.y])
        .collect();
    found.sort_unstable();
    let mut closed: Vec<[i64; 4]> = Vec::new();
    for p in found {
        match closed.last_mut() {
            Some(last) if p[0] < last[2] => last[2] = p[2],
            _ => closed.push(p),
        }
    }
    closed
}

// ---- Bandage -----------------------------------------------------------------------------------------------------

fn bandage(roof: &Roof, deck: Option<&DeckLayout>, plans: &[ProfilePlan], junctions: &[Junction]) -> Vec<BandagePiece> {
    let rules = Rules::default();
    lay_bandage(&lay_out(roof, 0, &rules).unwrap(), deck, plans, junctions, &rules, &Products::default())
}

fn lengths(pieces: &[BandagePiece], covers: BandageOver) -> Vec<i64> {
    pieces.iter().filter(|p| p.covers == covers).map(|p| p.length.as_mm()).collect()
}

/// Flanges corner to corner: 5200 + 3400 + 5200 + 3400; a patch of 300 at each of four corners.
#[test]
fn every_flange_and_every_corner_of_a_plain_roof_is_bandaged() {
    let pieces = bandage(&rectangle(5200, 3400), None, &[], &[]);
    assert_eq!(lengths(&pieces, BandageOver::Flange), [5200, 3400, 5200, 3400]);
    assert_eq!(lengths(&pieces, BandageOver::Corner), [300; 4]);
    assert!(pieces.iter().all(|p| p.width == mm(150)));
    assert_eq!((pieces[0].from, pieces[0].to), (at(0, 100), at(5200, 100)));
}

/// Rows at 590 and 1180 run out at the deck's edge: no more than the joint. The end joint between them lies on both:
/// 590 + 2 × 50. A row joint that comes in two touching lengths is one piece.
#[test]
fn a_board_joint_that_ends_on_another_is_lapped_over_it() {
    let joints = [
        (at(0, 590), at(2400, 590)),
        (at(2400, 590), at(5200, 590)),
        (at(0, 1180), at(5200, 1180)),
        (at(2400, 590), at(2400, 1180)),
    ];
    let pieces = bandage(&rectangle(5200, 3400), Some(&deck(&joints)), &[], &[]);
    let mut found = lengths(&pieces, BandageOver::BoardJoint);
    found.sort_unstable();
    assert_eq!(found, [690, 5200, 5200]);
    let end = pieces.iter().find(|p| p.length == mm(690)).unwrap();
    assert_eq!((end.from, end.to, end.width), (at(2400, 540), at(2400, 1230), mm(75)));
}

/// Round a kerb of 1000 × 600 each flange's inner edge is 100 longer at both ends, and 50 more laps it: + 300 each.
#[test]
fn a_kerb_takes_longer_pieces_and_four_patches_and_a_pipe_takes_none() {
    let mut r = rectangle(5200, 3400);
    let form = HoleForm::Round { at: at(4500, 2500), diameter: mm(110) };
    let pipe = support::hole("pipe", form, Finish::Kerb);
    r.holes = vec![box_hole(1800, 1100, 1000, 600, Finish::Kerb), pipe];
    let pieces = bandage(&r, None, &[], &[]);
    assert_eq!(lengths(&pieces, BandageOver::Flange)[4..], [1300, 900, 1300, 900]);
    assert_eq!(lengths(&pieces, BandageOver::Corner), [300; 8]);
    // The front flange of the kerb lies 100 in front of it.
    assert_eq!((pieces[4].from, pieces[4].to), (at(1650, 1000), at(2950, 1000)));
}

/// An L: at the inner corner both flanges are 100 + 50 longer.
#[test]
fn flanges_at_an_inner_corner_are_longer_and_a_step_has_none() {
    let r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(5000, 0), "right", Finish::Raised),
        (at(5000, 2000), "inner back", Finish::Wall),
        (at(3000, 2000), "inner right", Finish::Wall),
        (at(3000, 4000), "back", Finish::Step),
        (at(0, 4000), "left", Finish::Raised),
    ]);
    let pieces = bandage(&r, None, &[], &[]);
    assert_eq!(lengths(&pieces, BandageOver::Flange), [5000, 2000, 2150, 2150, 4000]);
    assert_eq!(lengths(&pieces, BandageOver::Corner).len(), 6);
}

/// Flanges of 80 (kerb), 90 (raised) and 110 (wall): each lies by its own width inside its edge, and at an inner corner
/// its inner edge is longer by the width of the one it meets.
#[test]
fn flanges_lie_where_the_price_books_trims_end() {
    let mut products = Products::default();
    for (finish, wide) in [(Finish::Kerb, 80), (Finish::Raised, 90), (Finish::Wall, 110)] {
        products.profiles.get_mut(&finish).unwrap().flange = Some(mm(wide));
    }
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(5000, 0), "right", Finish::Raised),
        (at(5000, 2000), "inner back", Finish::Raised),
        (at(3000, 2000), "inner right", Finish::Wall),
        (at(3000, 4000), "back", Finish::Wall),
        (at(0, 4000), "left", Finish::Raised),
    ]);
    r.holes = vec![box_hole(1000, 1000, 1000, 600, Finish::Kerb)];
    let rules = Rules::default();
    let pieces = lay_bandage(&lay_out(&r, 0, &rules).unwrap(), None, &[], &[], &rules, &products);
    let ends: Vec<_> = pieces.iter().take(7).map(|p| (p.from, p.to)).collect();
    assert_eq!(ends[0], (at(0, 100), at(5000, 100)), "no width of the drip's flange is given: the rule's 100");
    assert_eq!(ends[2], (at(5000, 1910), at(3000 - 110 - 50, 1910)), "90 in; longer by the wall's 110 and the lap");
    assert_eq!(
        ends[3],
        (at(2890, 2000 - 90 - 50), at(2890, 4000)),
        "110 in; longer by the raised edge's 90 and the lap"
    );
    assert_eq!(ends[6], (at(870, 920), at(2130, 920)), "80 in front of the kerb; 80 and the lap at both ends");
    assert_eq!(lengths(&pieces, BandageOver::Flange)[2..4], [2160, 2140]);
}

#[test]
fn stretches_of_one_edge_lap_and_take_no_patch() {
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(5000, 0), "right", Finish::Raised),
        (at(5000, 3000), "back", Finish::Wall),
        (at(2000, 3000), "back", Finish::Raised),
        (at(0, 3000), "left", Finish::Raised),
    ]);
    r.way_off = None;
    let pieces = bandage(&r, None, &[], &[]);
    assert_eq!(lengths(&pieces, BandageOver::Flange), [5000, 3000, 3050, 2000, 3000]);
    assert_eq!(lengths(&pieces, BandageOver::Corner).len(), 4);
}

#[test]
fn a_corner_that_a_junction_calls_straight_takes_no_patch() {
    let junction = Junction {
        roof: 0,
        hole: None,
        corner: 1,
        at: at(5200, 0),
        treatment: Treatment::Straight,
        figures: CornerFigures::default(),
    };
    let pieces = bandage(&rectangle(5200, 3400), None, &[], &[junction]);
    assert_eq!(lengths(&pieces, BandageOver::Corner).len(), 3);
}

/// Across the face of the trim: 150 for a drip, 200 for a raised edge. A run of another roof is left alone.
#[test]
fn every_trim_lap_is_bandaged_across_the_trim() {
    let lap = Lap { at: mm(2600), length: mm(50), over: LapOver::Later, clear_of_corners: true };
    let run = |place| TrimRun {
        leg: mm(0),
        place,
        label: String::new(),
        run: mm(5200),
        start_allowance: mm(0),
        end_allowance: mm(0),
        pieces: Vec::new(),
        laps: vec![lap],
    };
    let plan = |finish, runs| ProfilePlan {
        finish,
        in_pence: false,
        runs,
        bars: Vec::new(),
        proof: Proof { found: 0, bound: 0, reason: String::new() },
        offer_spare: false,
    };
    let plans = [
        plan(Finish::Drip, vec![run(RunPlace::Side { roof: 0, side: 0 }), run(RunPlace::Side { roof: 1, side: 0 })]),
        plan(Finish::Raised, vec![run(RunPlace::Side { roof: 0, side: 1 })]),
    ];
    let pieces = bandage(&rectangle(5200, 3400), None, &plans, &[]);
    assert_eq!(lengths(&pieces, BandageOver::TrimLap), [150, 200]);
    let first = pieces.iter().find(|p| p.covers == BandageOver::TrimLap).unwrap();
    assert_eq!((first.from, first.to), (at(2600, 0), at(2600, 150)));
}

/// A strip of three pieces below a wall is laid from one end to the other, not from both ends to its middle.
#[test]
fn the_pieces_of_a_long_strip_are_laid_from_one_end_to_the_other() {
    let hall = crate::demo::work(&support::asked(include_str!("big_jobs/tiny-beside-large.yaml")));
    let mat = &hall.take_off.roofs[0].mat;
    let middle = |p: &MatPiece| p.ring.iter().map(|q| q.x).sum::<i64>() / p.ring.len() as i64;
    let mut of_three = 0;
    for strip in 0..=mat.pieces.iter().map(|p| p.strip).max().unwrap() {
        let laid: Vec<i64> = mat.pieces.iter().filter(|p| p.strip == strip).map(middle).collect();
        assert!(laid.is_sorted(), "strip {strip}: {laid:?}");
        of_three += usize::from(laid.len() == 3);
    }
    assert!(of_three > 5, "{of_three}");
}

/// The garage's strips come out of a roll of 33 m and its spare does not: both are told, where more is bought than the strips take.
#[test]
fn a_spare_that_asks_for_another_roll_is_told_beside_the_rolls_of_the_strips() {
    let told = |name: &str| -> bool {
        let take_off = crate::demo::work(&crate::demo::request(name)).take_off;
        let mats = take_off.lines.iter().filter(|l| matches!(l.id, wetout::model::LineId::MatLength(_)));
        mats.flat_map(|l| &l.working).any(|step| format!("{step:?}").contains("the spare asks for more"))
    };
    assert!(told("garage-utility") && !told("kitchen-extension"));
}
