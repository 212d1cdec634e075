//! The deck and the falls: boards on joists, joints, noggins, fixings, heights and firrings, against work done by hand.

use crate::demo;
use crate::edges::documents;
use crate::falls::words;
use crate::replay::deck::{board, faults};
use crate::replay::roofs::{Dice, Wish, random_roof};
use crate::support::{self, asked, at, laid_out, lean_to, mm, rectangle, roof, setting};
use rust_decimal::Decimal;
use wetout::checks::boards::deck_notices;
use wetout::checks::falls::{low_upstands, steepness};
use wetout::documents::DocumentKind;
use wetout::documents::drawings::drawing::text_box;
use wetout::documents::drawings::firrings::{alike, draw};
use wetout::geometry::segment::distance;
use wetout::job_file::load;
use wetout::model::job::By;
use wetout::model::products::{Board, BoardEdge};
use wetout::model::shape::{DeckAction, JoistRun, MeasuredTo};
use wetout::model::{
    Fall, Finish, Hole, HoleForm, Length, Level, LineId, Point, Problem, Products, Role, Roof, RoofFall, Rules,
};
use wetout::pages::scene::Mark;
use wetout::takeoff::layout::DeckLayout;
use wetout::takeoff::layout::deck::{joist_lines, lay_deck};
use wetout::takeoff::layout::falls::{firrings, heights};
use wetout::takeoff::layout::shape::{RoofShape, lay_out};
use wetout::takeoff::quantities::deck_lines::deck_lines;
use wetout::takeoff::quantities::fall_lines::fall_lines;
use wetout::takeoff::quantities::line::{Line, Need, Step, Unit};

fn rules() -> Rules {
    Rules::default()
}

/// Rules by which a firring may taper to nothing, for work by hand; [`crate::falls`] has those with a toe.
fn feathered() -> Rules {
    Rules { firring_toe: mm(0), ..rules() }
}

/// Rules by which a fall of 1:80 may be designed.
fn loose() -> Rules {
    Rules { design_fall: 80.into(), ..rules() }
}

fn tongued() -> Board {
    board(2400, 590, BoardEdge::TongueAndGroove)
}

fn square() -> Board {
    board(2440, 1220, BoardEdge::Square)
}

fn sold(boards: &[Board]) -> Products {
    let boards = boards.iter().zip(["first", "second"]);
    let named = |(board, key): (&Board, &str)| (key.to_owned(), Board { key: key.to_owned(), ..board.clone() });
    Products { boards: boards.map(named).collect(), ..Products::default() }
}

fn shape(roof: &Roof) -> RoofShape {
    lay_out(roof, 0, &rules()).unwrap()
}

/// Lays the deck and has it replayed.
fn laid(roof: &Roof, board: &Board) -> DeckLayout {
    let shape = shape(roof);
    let deck = lay_deck(&shape, roof, &rules(), board).unwrap();
    let wrong = faults(&shape, roof, &rules(), board, &deck);
    assert!(wrong.is_empty(), "{wrong:#?}");
    deck
}

fn lines(roof: &Roof, board: &Board) -> (Vec<Line>, Vec<Need>) {
    deck_lines(&shape(roof), roof, &rules(), board, &laid(roof, board), &Products::default())
}

fn problems(roof: &Roof, board: &Board) -> Vec<Problem> {
    lay_deck(&shape(roof), roof, &rules(), board).unwrap_err()
}

fn hole(form: HoleForm, finish: Finish) -> Hole {
    support::hole("hole", form, finish)
}

/// All four edges raised: no gap anywhere.
fn flush(width: i64, depth: i64) -> Roof {
    let r = Finish::Raised;
    roof(&[
        (at(0, 0), "front", r),
        (at(width, 0), "right", r),
        (at(width, depth), "back", r),
        (at(0, depth), "left", r),
    ])
}

// ---- Boards ------------------------------------------------------------------------------------------------------

/// Worked by hand: 5.2 × 3.4 m, wall at the back, boards 2400 × 590 tongued, joists at 400.
/// The deck is 5200 × (3400 − 25) = 5200 × 3375: five rows of 590 and one ripped to 3375 − 2950 = 425. A row is 13 joist
/// spaces and a board is 6. Every row keeps a groove or is 590 wide, so no two pieces come out of one length of board:
/// 6 × 13 = 78 spaces, and 78 ÷ 6 = 13 boards at the least. 13 will do: two rows of 6 + 4 + 3 and one of 6 + 3 + 2 + 2
/// use six boards and a half (6, 6, 6, 4 + 2, 4 + 2, 3 + 3, 3), twice over. Long joints: 5 × 5.2 = 26.0 m. The sides lie
/// on joists (0 and 5200 = 13 × 400); front and back take a noggin in each of 13 spaces: 2 × 5.2 = 10.4 m.
#[test]
fn a_kitchen_extension_of_5200_by_3400_takes_13_boards_as_worked_by_hand() {
    let r = rectangle(5200, 3400);
    let deck = laid(&r, &tongued());
    assert_eq!((deck.boards, deck.proof.bound, deck.proof.is_proven()), (13, 13, true));
    let widths: Vec<i64> = (0..6).map(|row| deck.pieces.iter().find(|p| p.row == row).unwrap().width.as_mm()).collect();
    assert_eq!(widths, [590, 590, 590, 590, 590, 425]);
    let long: i64 = deck.joints.iter().filter(|j| !j.end_joint).map(|j| distance(j.from, j.to).as_mm()).sum();
    assert_eq!(long, 26_000);
    let ends = deck.joints.iter().filter(|j| j.end_joint).count();
    assert_eq!(ends, deck.pieces.len() - 6);
    assert_eq!(deck.noggins.len(), 26);
    assert_eq!(deck.noggins.iter().map(|n| distance(n.0, n.1).as_mm()).sum::<i64>(), 10_400);
    assert_eq!(deck.joists.len(), 14);
}

/// By hand: one piece 1200 × 590 on joists at 0, 400, 800, 1200. Field: two joists × (590 ÷ 300 → 2, + 1) = 6. Ends:
/// two × (590 ÷ 150 → 4, + 1) = 10. Front and back: two × (1200 ÷ 150 = 8, + 1) = 18. In all 34.
#[test]
fn one_board_on_four_joists_takes_34_fixings() {
    let deck = laid(&flush(1200, 590), &tongued());
    assert_eq!((deck.pieces.len(), deck.boards, deck.joints.len()), (1, 1, 0));
    assert_eq!((deck.edge_fixings, deck.fixings), (28, 34));
}

/// By hand, boards 2400 × 590 on joists at 400: a row of 1300 cannot be divided into two pieces of 800, so three rows take
/// three boards; two rows of 1198 come out of one and two of 1200 do not, for the saw takes 3 mm; two rows of 4800 (2400 + 2400 and 1200 + 2400 + 1200) take four.
#[test]
fn decks_whose_fewest_boards_are_plain_to_see_are_proven_to_take_them() {
    for (width, depth, boards) in
        [(1300, 3 * 590, 3), (1198, 2 * 590, 1), (1200, 2 * 590, 2), (2400, 4 * 590, 4), (4800, 2 * 590, 4)]
    {
        let deck = laid(&flush(width, depth), &tongued());
        assert_eq!((deck.boards, deck.proof.is_proven()), (boards, true), "{width} by {depth}");
    }
}

#[test]
fn rows_start_at_the_low_edge_whichever_it_is() {
    let mut r = rectangle(5200, 3400);
    let first = |r: &Roof| laid(r, &tongued()).pieces[0].rings[0].iter().map(|p| p.y).min().unwrap();
    assert_eq!(first(&r), 0);
    r.falls_to = "back".into();
    assert_eq!(first(&r), 3375 - 590);
}

#[test]
fn where_joists_run_across_the_fall_rows_start_at_the_left_looking_up_it() {
    let mut r = rectangle(5200, 3400);
    r.joists.run = JoistRun::LeftToRight;
    let first = |r: &Roof| laid(r, &tongued()).pieces[0].rings[0].iter().map(|p| p.x).min().unwrap();
    assert_eq!(first(&r), 0);
    // Looking up the fall from the back, the left hand points to the roof's right.
    r.falls_to = "back".into();
    assert_eq!(first(&r), 5200 - 590);
    assert!(!laid(&r, &tongued()).along_x);
}

#[test]
fn the_last_row_is_ripped_from_the_side_that_meets_no_board() {
    let deck = laid(&rectangle(5200, 3400), &tongued());
    let last: Vec<_> = deck.pieces.iter().filter(|p| p.row == 5).collect();
    assert!(last.iter().all(|p| p.on_board.y == 0 && p.width == mm(425)));
    let boards: std::collections::BTreeSet<usize> = last.iter().map(|p| p.board).collect();
    let lengths: i64 = last.iter().map(|p| p.length.as_mm()).sum();
    assert!(boards.len() as i64 * 2400 >= lengths, "no board has two grooves");
}

#[test]
fn a_square_edged_board_gives_two_strips_for_the_last_row() {
    // 2440 deep is two rows of 1220, and 500 more: two strips of 500 come out of one width.
    let deck = laid(&flush(2400, 2940), &square());
    assert_eq!((deck.boards, deck.proof.is_proven()), (3, true));
    let deck = laid(&flush(4800, 2940), &square());
    let strips: Vec<_> = deck.pieces.iter().filter(|p| p.row == 2).collect();
    assert!(strips.iter().all(|p| p.width == mm(500)));
    assert!(deck.boards <= 6, "{}", deck.boards);
}

#[test]
fn square_edges_have_noggins_under_long_joints_and_tongues_do_not() {
    let metres =
        |b: &Board| laid(&flush(2400, 1220 * 2), b).noggins.iter().map(|n| distance(n.0, n.1).as_mm()).sum::<i64>();
    assert_eq!(metres(&square()), 3 * 2400);
    assert_eq!(metres(&tongued()), 2 * 2400);
}

#[test]
fn an_overlay_is_laid_on_the_joists_but_takes_no_noggins() {
    let mut r = rectangle(5200, 3400);
    r.deck.action = DeckAction::Overlay;
    let (over, new) = (laid(&r, &square()), laid(&rectangle(5200, 3400), &square()));
    assert!(over.noggins.is_empty() && over.fixings < new.fixings);
    // Where no joist lies under an edge, it is screwed into the old boards as often as into a noggin.
    let (screwed, nailed) = (laid(&r, &tongued()), laid(&rectangle(5200, 3400), &tongued()));
    assert_eq!(screwed.edge_fixings + screwed.old_deck_fixings, nailed.edge_fixings);
    assert!(screwed.old_deck_fixings > 0 && nailed.old_deck_fixings == 0);
    assert_eq!((over.boards, &over.joints), (new.boards, &new.joints));
}

#[test]
fn a_long_slot_within_a_row_parts_the_boards_beside_it() {
    let mut r = flush(7200, 1770);
    // Within the second row (590 to 1180), over more than two joist spaces on either side of any joint.
    let form = HoleForm::Box { at: at(1000, 780), width: mm(5400), depth: mm(200) };
    r.holes.push(hole(form, Finish::Kerb));
    let deck = laid(&r, &tongued());
    let row: Vec<_> = deck.pieces.iter().filter(|p| p.row == 1).collect();
    let ends = deck.joints.iter().filter(|j| j.end_joint && j.from.y.min(j.to.y) == 590).count();
    assert!(row.len() > ends + 1, "{} pieces, {ends} joints below the slot", row.len());
    assert!(row.iter().any(|p| p.width == mm(190)) && row.iter().any(|p| p.width == mm(200)));
}

/// 2700 is six spaces of 450, of which 2400 fills five and a third. Where no board that is sold ends on the joists there is nothing to
/// choose: the working alone says it.
#[test]
fn boards_that_do_not_end_on_a_joist_are_cut_back_and_it_is_said_where_another_one_does() {
    let mut r = rectangle(9000, 3400);
    r.joists.spacing = mm(450);
    let deck = laid(&r, &tongued());
    assert!(deck.pieces.iter().all(|p| p.length <= mm(2400)));
    let notices = |others: &[Board]| deck_notices((&r, &deck), &rules(), &tongued(), &sold(others));
    let told = notices(&[tongued(), board(2700, 600, BoardEdge::TongueAndGroove)]);
    assert_eq!(told[0].fault, "boards 2400 mm long do not end on joists 450 mm apart: 150 mm is cut off each");
    assert!(told[0].cure.starts_with("choose `second`, 2700 mm long, which ends on them"), "{}", told[0].cure);
    assert_eq!(notices(&[tongued(), square()]), []);
    let (lines, _) = lines(&r, &tongued());
    let boards = lines.iter().find(|l| l.id == "deck.boards").unwrap();
    assert!(boards.working.contains(&Step::Note("boards are cut back by 150 mm to end on a joist".into())));
}

#[test]
fn measured_to_the_fascia_joists_still_lie_from_the_measured_corner() {
    let mut r = rectangle(5200, 3400);
    r.measured_to = MeasuredTo::Fascia;
    let deck = laid(&r, &tongued());
    assert_eq!(deck.pieces[0].rings[0].iter().min(), Some(&at(-25, -50)));
    assert!(deck.joints.iter().filter(|j| j.end_joint).all(|j| j.from.x % 400 == 0));
}

#[test]
fn an_odd_first_joist_moves_every_joint() {
    let mut r = rectangle(5200, 3400);
    r.joists.first = mm(150);
    let deck = laid(&r, &tongued());
    assert!(deck.joints.iter().filter(|j| j.end_joint).all(|j| j.from.x % 400 == 150));
    assert_eq!(deck.joists.first().unwrap().0, at(150, 0));
}

#[test]
fn a_rooflight_interrupts_joists_and_takes_noggins_and_a_pipe_does_neither() {
    let mut r = rectangle(5200, 3400);
    let plain = laid(&r, &tongued());
    r.holes.push(hole(HoleForm::Round { at: at(2600, 1500), diameter: mm(110) }, Finish::Kerb));
    let pipe = laid(&r, &tongued());
    assert_eq!((pipe.noggins.len(), pipe.joists.len()), (plain.noggins.len(), plain.joists.len()));
    r.holes = vec![hole(HoleForm::Box { at: at(1900, 1100), width: mm(1000), depth: mm(1000) }, Finish::Kerb)];
    let light = laid(&r, &tongued());
    // Joists at 2000, 2400 and 2800 are cut in two; each side of the hole has timber: 1900, 2000, 2400, 2800, 2900 make
    // four noggins at the low and at the high side. Its left and right sides lie 100 from a joist: one each.
    assert_eq!(light.joists.len(), plain.joists.len() + 3);
    assert_eq!(light.noggins.len(), plain.noggins.len() + 4 + 4 + 2);
}

#[test]
fn a_deck_is_the_same_every_time() {
    let r = rectangle(7340, 5120);
    assert_eq!(laid(&r, &tongued()), laid(&r, &tongued()));
}

// ---- The first row -----------------------------------------------------------------------------------------------

/// How wide the rows are, in laying order; every piece of these decks is as wide as its row.
fn row_widths(deck: &DeckLayout) -> Vec<i64> {
    let rows = deck.pieces.iter().map(|p| p.row).max().unwrap() + 1;
    (0..rows).map(|row| deck.pieces.iter().filter(|p| p.row == row).map(|p| p.width.as_mm()).max().unwrap()).collect()
}

/// By hand: 611 deep is one row of 590 and 21 more. Nobody can nail 21 mm, so the first row is ripped to half of 611, and the
/// last is as wide: either takes a board of its own. From 690 deep on the last row has its 100 mm without. With square edges,
/// 1241 deep, the last row comes out of what the first leaves, and is no wider than it must be.
#[test]
fn the_first_row_is_ripped_until_the_last_is_as_wide_or_wide_enough() {
    for (depth, b, widths) in [
        (611, tongued(), [305, 306]),
        (689, tongued(), [344, 345]),
        (690, tongued(), [590, 100]),
        (1241, square(), [1141, 100]),
    ] {
        let deck = laid(&flush(2400, depth), &b);
        assert_eq!(row_widths(&deck), widths, "{depth}");
        assert_eq!((deck.boards, deck.proof.is_proven()), (2, true), "{depth}");
    }
}

/// Ripped along the low edge, a tongued board keeps the side that the second row meets: 590 − 305 = 285 comes off first.
#[test]
fn a_ripped_first_row_keeps_the_tongue_for_the_second() {
    let deck = laid(&flush(4800, 611), &tongued());
    assert!(deck.pieces.iter().filter(|p| p.row == 0).all(|p| p.on_board.y == 285 && p.width == mm(305)));
    assert!(deck.pieces.iter().filter(|p| p.row == 1).all(|p| p.on_board.y == 0 && p.width == mm(306)));
    let (lines, _) = lines(&flush(4800, 611), &tongued());
    let boards = lines.iter().find(|l| l.id == "deck.boards").unwrap();
    let said = "the first row is ripped to 305 mm along its outer edge, so that no row is narrower than the rule";
    assert!(boards.working.contains(&Step::Note(said.into())));
    assert!(deck_notices((&flush(4800, 611), &deck), &rules(), &tongued(), &sold(&[tongued()])).is_empty());
}

/// By hand: an L whose lower arm ends at 1220, 40 past the second row's end at 1180, and whose upper arm ends at 1580. With a
/// first row of 400 the lines lie at 400 and 990: 230 are left on the lower arm and a whole board on the upper.
#[test]
fn a_strip_on_the_lower_arm_of_an_l_is_kept_wide_too() {
    let r = Finish::Raised;
    let l = roof(&[
        (at(0, 0), "front", r),
        (at(4800, 0), "right", r),
        (at(4800, 1220), "return", r),
        (at(2400, 1220), "inner", r),
        (at(2400, 1580), "back", r),
        (at(0, 1580), "left", r),
    ]);
    let deck = laid(&l, &tongued());
    let lines: std::collections::BTreeSet<i64> =
        deck.joints.iter().filter(|j| !j.end_joint).map(|j| j.from.y).collect();
    assert_eq!(lines.into_iter().collect::<Vec<_>>(), [400, 990]);
}

/// A back edge out of square, from 615 to 605: at its narrow end as much is left as the first row has, 605 − 302.
#[test]
fn a_back_edge_out_of_square_is_measured_where_it_is_narrowest() {
    let r = Finish::Raised;
    let skew =
        roof(&[(at(0, 0), "front", r), (at(4800, 0), "right", r), (at(4800, 605), "back", r), (at(0, 615), "left", r)]);
    let deck = laid(&skew, &tongued());
    assert!(deck.joints.iter().filter(|j| !j.end_joint).all(|j| j.from.y == 302));
}

/// Where the rule asks for more than two rows can give (400 of 611), the last is made as wide as it can be and it is said.
#[test]
fn a_narrow_last_row_that_no_first_row_can_help_is_told() {
    let rules = Rules { narrowest_row: mm(400), ..rules() };
    let r = flush(2400, 611);
    let deck = lay_deck(&shape(&r), &r, &rules, &tongued()).unwrap();
    assert_eq!(row_widths(&deck), [400, 211]);
    let notices = deck_notices((&r, &deck), &rules, &tongued(), &sold(&[tongued()]));
    assert_eq!(notices[0].fault, "the last row of boards is only 211 mm wide");
}

// ---- Slivers -----------------------------------------------------------------------------------------------------

/// By hand: joists at 600 from 0, rows 2474 long. A whole board of 2400 leaves 74; 1200 and 1274 serve, in turn with 600 and
/// 1874 or 1800 and 674.
#[test]
fn a_row_is_shared_out_rather_than_ended_in_a_sliver() {
    let mut r = flush(2474, 1180);
    r.joists.spacing = mm(600);
    let ends = |deck: &DeckLayout| deck.pieces.iter().map(|p| p.length.as_mm()).min().unwrap();
    let deck = laid(&r, &tongued());
    assert!(ends(&deck) >= 600, "{}", ends(&deck));
    r.joists.first = mm(337);
    let deck = laid(&r, &tongued());
    assert!(ends(&deck) >= 300, "{}", ends(&deck));
}

/// By hand: a rooflight from 0 to 610 up the roof, with boards of 590: above the line at 590 there stand 20 beside it, and
/// between 3 m of rooflight and the line nothing else holds a strip. With the first row ripped to 510 the line is 100 below
/// its top.
#[test]
fn the_first_row_leaves_no_small_piece_beside_a_long_rooflight() {
    let mut r = flush(4800, 2600);
    r.holes = vec![hole(HoleForm::Box { at: at(100, 600), width: mm(4600), depth: mm(600) }, Finish::Kerb)];
    let deck = laid(&r, &tongued());
    let small: Vec<_> = deck.pieces.iter().filter(|p| p.length.min(p.width) < mm(100)).map(|p| &p.mark).collect();
    assert_eq!(small, Vec::<&String>::new());
}

// ---- What carries the edges --------------------------------------------------------------------------------------

/// By hand: 1260 wide on joists at 0, 400, 800 and 1200. Front and back: three spaces of 400, and 60 past the last joist,
/// which nobody cuts a noggin for. The right edge lies 60 from a joist and has timber of its own: 2 × 1.2 + 0.59 = 2.99.
#[test]
fn a_stretch_too_short_for_a_noggin_is_carried_by_the_joist_beside_it() {
    let metres = |rules: &Rules| {
        let r = flush(1260, 590);
        let deck = lay_deck(&shape(&r), &r, rules, &tongued()).unwrap();
        let (lines, _) = deck_lines(&shape(&r), &r, rules, &tongued(), &deck, &Products::default());
        let line = lines.iter().find(|l| l.id == "deck.noggins").unwrap().clone();
        adds_up(&line);
        line
    };
    let line = metres(&rules());
    assert_eq!(line.quantity.normalize().to_string(), "2.99");
    let said = "2 short stretches of edge, up to 60 mm long, take none (shortest_noggin 100 mm): the joist or noggin \
                beside them carries them";
    assert!(line.working.contains(&Step::Note(said.into())), "{:#?}", line.working);
    let every = Rules { shortest_noggin: mm(50), ..rules() };
    assert_eq!(metres(&every).quantity.normalize().to_string(), "3.11");
}

/// By hand: the first joist at 385 of 400, along the front. The one that would lie at −15 is not there, so the front edge
/// takes timber of its own, 1200 long; the back edge lies on the joist at 785. Left and right: 385 and 400 each.
#[test]
fn a_joist_that_would_lie_outside_the_roof_carries_nothing() {
    let mut r = flush(1200, 785);
    r.joists.run = JoistRun::LeftToRight;
    r.joists.first = mm(385);
    let deck = laid(&r, &tongued());
    let mut noggins: Vec<i64> = deck.noggins.iter().map(|n| distance(n.0, n.1).as_mm()).collect();
    noggins.sort_unstable();
    assert_eq!(noggins, [385, 385, 400, 400, 1200]);
}

/// Measured to the fascia, the front drip was moved out by two battens of 25 mm: the joist along the fascia carries the
/// boards there, and no noggin lies where it does.
#[test]
fn a_joist_along_the_fascia_carries_the_edge_that_its_battens_move_out() {
    let mut r = flush(1200, 800);
    r.outline.edges[0].finish = Finish::Drip;
    r.measured_to = MeasuredTo::Fascia;
    r.joists.run = JoistRun::LeftToRight;
    let deck = laid(&r, &tongued());
    assert!(deck.pieces.iter().flat_map(|p| &p.rings[0]).any(|p| p.y == -50));
    assert!(deck.noggins.iter().all(|n| n.0.x == n.1.x), "{:?}", deck.noggins);
    r.joists.first = mm(120);
    assert!(laid(&r, &tongued()).noggins.iter().any(|n| n.0.y == -50 && n.1.y == -50));
}

/// Joists at 400 from the left and a roof 5.75 m wide: the last stands at 5.6, and nothing lies under the right edge until the
/// job says so.
#[test]
fn an_edge_along_the_joists_with_none_under_it_is_told_with_how_far_the_nearest_is() {
    let told = |width: &str, joists: &str| -> Vec<String> {
        let text = lean_to("", "", "").replace("width: 6.0 m", width).replace("spacing: 400 mm", joists);
        let (_, laid) = laid_out(&text);
        laid.checked
            .notices
            .iter()
            .filter(|n| n.fault.contains("no joist lies along"))
            .map(ToString::to_string)
            .collect()
    };
    let told_of = told("width: 5.75 m", "spacing: 400 mm");
    assert!(
        matches!(&told_of[..], [one] if one.contains("along `right` of Lean-to, the nearest 150 mm")),
        "{told_of:?}"
    );
    assert_eq!(told("width: 5.75 m", "spacing: 400 mm, last: 5.75 m"), [""; 0]);
    assert_eq!(told("width: 6.0 m", "spacing: 400 mm"), [""; 0]);
}

/// The crew is told of the edge that hangs on nothing before it lays a board, whatever the office was warned of.
#[test]
fn an_edge_with_no_joist_under_it_is_a_tick_before_the_deck() {
    let told = |width: &str| {
        let text = lean_to("", "", "").replace("width: 6.0 m", width);
        words(&demo::work(&asked(&text)), DocumentKind::Method)
    };
    let hold = "No joist at the edge: right. One set along it, or ring";
    let method = told("width: 5.75 m");
    assert!(method.contains(hold) && method.find(hold) < method.find("Fix the noggins"), "{method}");
    assert!(!told("width: 6.0 m").contains("No joist at the edge"));
}

/// What is alike of many roofs is told once, with the roofs that it is told of: no sentence names each of twelve.
#[test]
fn what_the_edges_of_many_roofs_have_alike_is_told_once() {
    let text = std::fs::read_to_string("tests/big_jobs/twelve-roofs.yaml").unwrap();
    let method = words(&demo::work(&asked(&text)), DocumentKind::Method);
    assert!(method.contains("No joist at the edge: right, on all but Roof 3. One set along it"), "{method}");
    let bare = "on the right, at the back and on the left: Roof 3, 64 mm; Roof 5, 48 mm; Roof 7, 33 mm; on the right and on the left: \
                Roof 8, 72 mm; Roof 10, 56 mm; Roof 12, 41 mm.";
    assert!(method.contains(bare), "{method}");
}

/// By hand: joists at 0, 400, … 5600 under 5.75 m. Where their section is known one is set along the right edge, 3.0 m and what
/// it bears in the wall at its back end (100 mm), from whole lengths; nothing there is a noggin any more.
#[test]
fn a_joist_is_set_along_an_edge_that_has_none_where_their_section_is_known() {
    let job = |section: &str| {
        let text = lean_to("", "", "").replace("width: 6.0 m", "width: 5.75 m");
        demo::work(&asked(&text.replace("spacing: 400 mm", &format!("spacing: 400 mm{section}"))))
    };
    let (set, bare) = (job(", section: 47 × 147 mm"), job(""));
    let metres = |d: &demo::Demo, id: &str| {
        d.take_off.lines.iter().find(|l| l.id == id).map(|l| l.quantity.normalize().to_string())
    };
    assert_eq!((metres(&set, "edge.joists").as_deref(), metres(&bare, "edge.joists")), (Some("3.1"), None));
    let deck = set.take_off.roofs[0].deck.as_ref().unwrap();
    assert!(deck.joists.iter().any(|j| (j.0.x, j.1.x) == (5750 - 24, 5750 - 24)), "{:?}", deck.joists);
    assert!(deck.noggins.iter().all(|n| n.0.x != n.1.x), "{:?}", deck.noggins);
    assert!(set.pricing.orders.iter().flat_map(|o| &o.lines).any(|l| l.role == "sawn.47x147" && l.quantity > 0));
    assert!(set.programme.hours() > bare.programme.hours() && set.pricing.total > bare.pricing.total);
    let [quote, method] = documents(&set);
    assert!(quote.contains("New joist along an edge: right."), "{quote}");
    assert!(method.contains("Set a joist along the edge: right.") && method.contains("47 × 147 mm"), "{method}");
    assert!(!method.contains("No joist at the edge"), "{method}");
    let [quote, method] = documents(&bare);
    assert!(!quote.contains("New joist along") && method.contains("No joist at the edge: right"), "{method}");
    // Under a deck that stays none can be set: it is told, as before.
    let stays = lean_to("", "", "strip: {covering: felt, tip: skip}\n")
        .replace("width: 6.0 m", "width: 5.75 m")
        .replace("spacing: 400 mm", "spacing: 400 mm, section: 47 × 147 mm")
        .replace("{action: new, board: osb3-18}", "{action: overlay, board: osb3-18}");
    assert_eq!(metres(&demo::work(&asked(&stays)), "edge.joists"), None);
}

/// The edge joists of a lean-to 4.4 m wide whose joists of 47 × 147 mm run along the back, and each one's ends.
fn set_along(text: &str) -> (demo::Demo, Vec<(Point, Point, i64)>) {
    let text = text
        .replace("run: front to back, spacing: 400 mm", "run: left to right, spacing: 400 mm, section: 47 × 147 mm");
    let set = demo::work(&asked(&text));
    let pieces = &set.take_off.roofs[0].openings;
    let ends = pieces.edge_joists().map(|p| (p.from.min(p.to), p.from.max(p.to), p.length.as_mm())).collect();
    (set, ends)
}

/// By hand: the back stands 200 mm beyond the last joist. Whatever stretches it is measured in, doors or not, and be they all too
/// short for one of their own, it takes one joist from end to end, its middle 24 mm from the wall.
#[test]
fn a_wall_with_doors_takes_one_joist_from_end_to_end() {
    let wall = "back: {finish: wall, upstand: 600 mm, flashing: lead}";
    let job = lean_to("", "", "").replace("width: 6.0 m", "width: 4.4 m");
    assert!(job.contains(wall));
    let doors = "back: [{go: 0.6 m, finish: wall, upstand: 600 mm, flashing: lead}, {go: 1.5 m, finish: wall, sill: 300 mm}, \
                 {finish: wall, upstand: 600 mm, flashing: lead}]";
    let short = "back: [{go: 0.9 m, finish: wall, upstand: 600 mm, flashing: lead}, {go: 0.9 m, finish: wall, sill: 300 mm}, \
                 {go: 0.9 m, finish: wall, upstand: 600 mm, flashing: lead}, {go: 0.9 m, finish: wall, sill: 300 mm}, \
                 {finish: wall, upstand: 600 mm, flashing: lead}]";
    for back in [wall, doors, short] {
        let (set, ends) = set_along(&job.replace(wall, back));
        assert_eq!(ends, [(at(0, 2976), at(4400, 2976), 4400)], "{back}");
        let deck = set.take_off.roofs[0].deck.as_ref().unwrap();
        assert!(deck.noggins.iter().all(|n| n.0.y != n.1.y), "{back}: {:?}", deck.noggins);
        let [quote, method] = documents(&set);
        assert!(quote.contains("New joist along an edge: back."), "{quote}");
        assert!(method.contains("Set a joist along the edge: back."), "{method}");
        // Where nobody says how deep they are, each stretch is told that has none.
        let bare = job.replace(wall, back).replace("run: front to back", "run: left to right");
        let told = load(&asked(&bare)).map(|_| laid_out(&bare).1).unwrap();
        let told = told.notices().filter(|n| n.fault.starts_with("no joist lies along `back")).count();
        assert_eq!(told, back.matches("finish").count(), "{back}");
    }
}

/// By hand, joists at 0, 400, … 2800 up an L: the wall of the house at 1900 has none, and where it ends the roof goes on. The joist
/// goes on too, to the right edge with those beside it; that of the back is 1600 long and bears 100 mm in the wall at its left end.
#[test]
fn a_joist_along_part_of_a_roof_goes_on_to_where_the_others_end() {
    let walk = "outline:\n      walk:\n        - {edge: front, go: 4.4 m}\n        - {edge: right, turn: left, go: 3.0 m}\n        \
                - {edge: back, turn: left, go: 1.6 m}\n        - {edge: inner, turn: left, go: 1.1 m}\n        \
                - {edge: house, turn: right, go: 2.8 m}\n        - {edge: left, turn: left, go: 1.9 m}";
    let wall = "{finish: wall, upstand: 600 mm, flashing: lead}";
    let job = lean_to("", "", "").replace("outline: {rectangle: {width: 6.0 m, depth: 3.0 m}}", walk).replace(
        "left: {finish: raised}",
        &format!("left: {{finish: raised}}\n      inner: {wall}\n      house: {wall}"),
    );
    let (set, mut ends) = set_along(&job);
    ends.sort_unstable();
    assert_eq!(ends, [(at(0, 1876), at(4400, 1876), 4400), (at(2800, 2976), at(4400, 2976), 1700)]);
    let [quote, method] = documents(&set);
    let along = "back and house (on past its end, as those beside it)";
    assert!(quote.contains(&format!("New joist along an edge: {along}.")), "{quote}");
    assert!(method.contains(&format!("Set a joist along the edge: {along}.")), "{method}");
}

/// By hand: 3000 mm to the fascia and 100 in the wall. Two layers of drip batten stand before the fascia: no joist reaches there.
#[test]
fn a_joist_that_is_cut_ends_at_the_fascia_and_not_at_the_battens() {
    let job = |measured: &str| {
        let text = lean_to("", &format!("    measured_to: {measured}\n"), "").replace("width: 6.0 m", "width: 5.75 m");
        let set = demo::work(&asked(&text.replace("spacing: 400 mm", "spacing: 400 mm, section: 47 × 147 mm")));
        let joist = *set.take_off.roofs[0].openings.edge_joists().next().unwrap();
        (joist.length.as_mm(), distance(joist.from, joist.to).as_mm(), words(&set, DocumentKind::Method))
    };
    let (cut, lies, method) = job("fascia");
    assert_eq!((cut, lies), (3100, 3050));
    assert!(method.contains("A joist that ends at an open edge: less the fascia, as found."), "{method}");
    let (cut, lies, method) = job("battens");
    assert_eq!((cut, lies), (3100, 3000));
    assert!(method.contains("A joist that ends at an open edge: less battens and fascia, as found."), "{method}");
}

/// By hand: a rooflight from 1500 to 2200 across joists at 1200, 1600, 2000 and 2400. Its ends take noggins from 1200 to 2400,
/// one a space, its sides one each between them.
#[test]
fn noggins_beside_an_opening_reach_from_timber_to_timber() {
    let mut r = flush(4000, 3000);
    r.holes.push(hole(HoleForm::Box { at: at(1500, 1000), width: mm(700), depth: mm(700) }, Finish::Kerb));
    let deck = laid(&r, &tongued());
    let round = |n: &&(Point, Point)| (1000..=1700).contains(&n.0.y) && (1000..=1700).contains(&n.1.y);
    let mut noggins: Vec<_> = deck.noggins.iter().filter(round).map(|n| (n.0.min(n.1), n.0.max(n.1))).collect();
    noggins.sort_unstable();
    let mut by_hand = vec![(at(1500, 1000), at(1500, 1700)), (at(2200, 1000), at(2200, 1700))];
    by_hand.extend([1000, 1700].into_iter().flat_map(|y| [1200, 1600, 2000].map(|x| (at(x, y), at(x + 400, y)))));
    by_hand.sort_unstable();
    assert_eq!(noggins, by_hand);
}

/// How far a point lies from a straight line, mm.
fn off(p: Point, (a, b): (Point, Point)) -> f64 {
    let (dx, dy) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
    let (px, py) = ((p.x - a.x) as f64, (p.y - a.y) as f64);
    let t = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    (px - t * dx).hypot(py - t * dy)
}

/// The longest stretch of the deck's edges that lies on no noggin and on no joist, mm, to 10 mm.
fn longest_bare(roof: &Roof, deck: &DeckLayout) -> i64 {
    let shape = shape(roof);
    let rules = rules();
    let along_joist = |a: Point, b: Point| {
        let near = |p: Point| deck.joists.iter().any(|&j| off(p, j) <= rules.wall_gap.as_mm() as f64 + 1.0);
        near(a) && near(b) && if deck.along_x { (b.x - a.x).abs() <= 50 } else { (b.y - a.y).abs() <= 50 }
    };
    let at_pipe = |p: Point| {
        let reach = |d: Length| (d.as_mm() / 2 + rules.pipe_gap.as_mm() + 3) as f64;
        shape.holes.iter().any(|h| match h.form {
            HoleForm::Round { at, diameter } => off(p, (at, Point::new(at.x + 1, at.y))) <= reach(diameter),
            HoleForm::Box { .. } => false,
        })
    };
    let carried = |p: Point| {
        deck.noggins.iter().any(|&n| off(p, n) <= 2.0) || deck.joists.iter().any(|&j| off(p, j) <= 6.0) || at_pipe(p)
    };
    let region = shape.deck_region(&rules);
    let rings = region.polygons().iter().flatten();
    let edges = rings.flat_map(|r| (0..r.len()).map(move |i| (r[i], r[(i + 1) % r.len()])));
    edges
        .filter(|&(a, b)| !along_joist(a, b))
        .map(|(a, b)| {
            let steps = distance(a, b).as_mm() / 10;
            let on = |k: i64| Point::new(a.x + (b.x - a.x) * k / steps.max(1), a.y + (b.y - a.y) * k / steps.max(1));
            let (mut bare, mut longest) = (0, 0);
            for k in 0..=steps {
                bare = if carried(on(k)) { 0 } else { bare + 1 };
                longest = longest.max(bare);
            }
            (longest - 1).max(0) * 10
        })
        .max()
        .unwrap_or(0)
}

/// On random roofs no stretch of edge as long as the rule is left without timber.
#[test]
fn every_edge_of_random_decks_lies_on_timber_but_for_stretches_below_the_rule() {
    for seed in 0..60 {
        let mut dice = Dice::new(seed);
        let roof = random_roof(&mut dice, Wish { turned: false, clear: 20 });
        let b = if seed % 3 == 0 { square() } else { tongued() };
        let deck = lay_deck(&shape(&roof), &roof, &rules(), &b).unwrap();
        let bare = longest_bare(&roof, &deck);
        assert!(bare < rules().shortest_noggin.as_mm() + 20, "roof {seed}: {bare} mm of edge lie on nothing\n{roof:?}");
        let short = deck.noggins.iter().map(|n| distance(n.0, n.1)).min();
        assert!(short.is_none_or(|s| s >= rules().shortest_noggin), "roof {seed}: a noggin of {short:?}");
    }
}

// ---- What stops a deck -------------------------------------------------------------------------------------------

#[test]
fn joists_too_far_apart_for_the_board_are_a_problem_with_a_cure() {
    let mut r = rectangle(5200, 3400);
    r.joists.spacing = mm(1250);
    let p = &problems(&r, &tongued())[0];
    assert_eq!(p.place.to_string(), "roofs[0].joists.spacing");
    assert_eq!(
        p.fault,
        "with joists 1250 mm apart, the board board (2400 mm long) reaches over one joist space only; every board must \
         span at least 2"
    );
    assert_eq!(p.cure, "check the spacing, choose a board at least 2500 mm long, or add joists between these");
    r.joists.spacing = mm(3000);
    assert!(problems(&r, &tongued())[0].fault.contains("does not reach from one joist to the next"));
}

#[test]
fn a_roof_no_longer_than_a_board_needs_no_joint_and_so_no_joist_to_carry_one() {
    let mut r = flush(2000, 600);
    r.joists.spacing = mm(1300);
    assert_eq!(laid(&r, &tongued()).joints.iter().filter(|j| j.end_joint).count(), 0);
}

#[test]
fn a_board_without_a_size_is_refused() {
    let p = &problems(&rectangle(5200, 3400), &Board { length: mm(0), ..tongued() });
    assert_eq!((p.len(), p[0].place.to_string().as_str()), (1, "roofs[0].deck.board"));
}

#[test]
fn a_deck_that_is_kept_has_no_boards_to_lay() {
    let text = lean_to("", "", "").replace("deck: {action: new, board: osb3-18}", "deck: {action: keep}");
    let laid = laid_out(&text).1;
    assert!(laid.take_off.roofs[0].deck.is_none());
    assert!(!laid.take_off.needs.iter().any(|n| matches!(n.role, Role::Board(_) | Role::Noggin | Role::Firring)));
}

// ---- Lines -------------------------------------------------------------------------------------------------------

/// The last formula gives the quantity, and where it is a sum, a difference or a sum of products, it comes to that.
fn adds_up(line: &Line) {
    let formula = line.working.iter().rev().find_map(|s| match s {
        Step::Formula { formula, result, .. } => Some((formula, *result)),
        _ => None,
    });
    let (formula, result) = formula.unwrap();
    assert_eq!(result, line.quantity, "{}", line.id);
    let (mut sum, mut sign, mut product) = (Decimal::ZERO, Decimal::ONE, Decimal::ONE);
    for word in formula.split(' ') {
        match word {
            "+" | "−" => {
                sum += sign * product;
                product = Decimal::ONE;
                sign = if word == "+" { Decimal::ONE } else { -Decimal::ONE };
            }
            "×" | "m" | "m2" | "pieces" | "piece" => {}
            number => product *= number.parse::<Decimal>().unwrap_or_else(|_| panic!("{number} in {formula}")),
        }
    }
    assert_eq!(sum + sign * product, result, "{formula}");
}

/// More than 1,500 boards: the proof may not go as deep as the boards are many.
#[test]
fn a_very_large_roof_is_laid_within_a_small_stack() {
    let lay = || {
        let r = flush(66_000, 66_000);
        lay_deck(&shape(&r), &r, &rules(), &tongued()).unwrap().boards
    };
    let boards = std::thread::Builder::new().stack_size(1_500_000).spawn(lay).unwrap().join().unwrap();
    assert!(boards >= 66 * 66 * 1_000_000 / (2400 * 590), "{boards}");
}

#[test]
fn boards_over_an_old_deck_take_screws_of_their_own_and_no_nails() {
    let mut over = rectangle(5200, 3400);
    over.deck.action = DeckAction::Overlay;
    let (lines, needs) = lines(&over, &tongued());
    let screws = lines.iter().find(|l| l.id == "deck.fixings").unwrap();
    assert_eq!(screws.item, "Screws for boards over the old deck");
    let bought: Vec<_> = needs.iter().filter(|n| n.role.to_string().starts_with("fixings.")).collect();
    let [through, into] = &bought[..] else { panic!("{bought:?}") };
    assert_eq!((through.role.to_string(), through.quantity), ("fixings.over-deck".into(), screws.quantity));
    let edges = lines.iter().find(|l| l.id == "deck.old.fixings").unwrap();
    assert_eq!((into.role.to_string(), into.quantity), ("fixings.old-deck".into(), edges.quantity));
}

/// Front and back lie across the joists, 6 m each in three rows of boards. 18 mm of old boards under 11 mm take a screw of 29 mm
/// at most, and 20 mm hold in them at least: of 25 and 35 mm the shorter. Under 18 mm it is the longer.
#[test]
fn an_overlays_edges_are_screwed_into_the_old_boards_and_not_through_them() {
    let job = |board: &str, more: &str| {
        let over = format!("{{action: overlay, board: {board}}}");
        asked(
            &lean_to("", "", &format!("strip: {{covering: felt, tip: skip}}\n{more}"))
                .replace("{action: new, board: osb3-18}", &over),
        )
    };
    for (board, screw) in [("osb3-11", 25), ("osb3-18", 35)] {
        let demo = demo::work(&job(board, ""));
        let need = demo.take_off.needs.iter().find(|n| n.role == "fixings.old-deck").unwrap();
        assert_eq!(need.size, Some(mm(screw)));
        let bought = demo.pricing.orders.iter().flat_map(|o| &o.lines).find(|l| l.role == "fixings.old-deck").unwrap();
        assert_eq!(bought.code, format!("screw-{screw}-box"));
        let method = words(&demo, DocumentKind::Method);
        let told = format!("40 mm from the edge, with the {screw} mm screws and none longer");
        assert!(method.contains(&told) && method.contains("Old boards thinner than 18 mm"), "{method}");
        assert!(method.contains(&format!("Screws {screw} mm into the old boards")), "{method}");
    }
    // 11 mm on 12 mm: 25 mm would come out below, and nothing shorter is sold.
    let refused = demo::worked(load(&job("osb3-11", "rules: {old_deck: 12 mm}\n")).unwrap()).err().unwrap();
    assert!(refused.iter().any(|p| p.fault.contains("fixings.old-deck") && p.fault.contains("20 mm")), "{refused:#?}");
}

/// By hand: 4.8 × 1.83 m in sheets of 2440 × 1220: a row of two, and 4.8 m of half a sheet's width. Two such halves come out
/// of a sheet only where the saw takes nothing.
#[test]
fn two_halves_of_a_board_leave_no_room_for_the_saw() {
    let boards = |kerf: i64| {
        let (r, rules) = (flush(4800, 1830), Rules { board_kerf: mm(kerf), ..rules() });
        let deck = lay_deck(&shape(&r), &r, &rules, &square()).unwrap();
        assert_eq!(faults(&shape(&r), &r, &rules, &square(), &deck), Vec::<String>::new());
        (deck.boards, deck.proof.is_proven())
    };
    assert_eq!((boards(3), boards(0)), ((4, true), (3, true)));
}

#[test]
fn every_line_of_the_deck_adds_up_and_is_asked_for_by_a_need() {
    for (r, b) in [(rectangle(5200, 3400), tongued()), (rectangle(7340, 5120), square()), (flush(600, 600), tongued())]
    {
        let (lines, needs) = lines(&r, &b);
        lines.iter().for_each(adds_up);
        for (id, role) in [("deck.boards", "board.board"), ("deck.fixings", "fixings.deck")] {
            let line = lines.iter().find(|l| l.id == id).unwrap();
            let need = needs.iter().find(|n| n.role == role).unwrap();
            assert_eq!((need.quantity, need.unit(), &need.lines), (line.quantity, line.unit, &vec![line.id]));
        }
        assert!(lines.iter().all(|l| l.roof.as_deref() == Some("Main roof") && !l.quantity.is_zero()));
    }
}

#[test]
fn the_lines_of_a_known_deck_are_these() {
    let (lines, _) = lines(&rectangle(5200, 3400), &tongued());
    let q = |id: &str| lines.iter().find(|l| l.id == id).map(|l| (l.quantity.normalize().to_string(), l.unit));
    assert_eq!(q("deck.area"), Some(("17.55".into(), Unit::SquareMetre)));
    assert_eq!(q("deck.boards"), Some(("13".into(), Unit::Each)));
    assert_eq!(q("deck.noggins"), Some(("10.4".into(), Unit::Metre)));
}

#[test]
fn a_deck_in_one_piece_has_no_line_for_joints() {
    let (lines, _) = lines(&flush(1200, 590), &tongued());
    let ids: Vec<String> = lines.iter().map(|l| l.id.to_string()).collect();
    assert_eq!(ids, ["deck.area", "deck.boards", "deck.noggins", "noggin.fixings", "deck.fixings"]);
}

/// 18 mm at 650 kg/m³: 2440 × 1220 weighs 34.83 kg, 2400 × 600 weighs 16.85 kg (volume × density, EN ISO 10456, from
/// memory). HSE INDG143, from memory: filters of 25 kg for men and 16 kg for women close to the body.
#[test]
fn a_large_board_is_over_the_lifting_filter_and_a_tongued_one_is_not() {
    let kg = |b: &Board| b.mass_by(&rules()).as_kg().round_dp(2).to_string();
    assert_eq!(kg(&square()), "34.83");
    assert_eq!(kg(&board(2400, 600, BoardEdge::TongueAndGroove)), "16.85");
    let r = rectangle(4800, 3400);
    let notices = deck_notices((&r, &laid(&r, &square())), &rules(), &square(), &sold(&[square()]));
    assert_eq!((notices[0].level, notices[0].place.to_string().as_str()), (Level::Warning, "roofs[0].deck.board"));
    assert!(
        notices[0].fault.starts_with("one board weighs about 34.8 kg, over the 25 kg lifting filter of HSE INDG143")
    );
    assert!(deck_notices((&r, &laid(&r, &tongued())), &rules(), &tongued(), &sold(&[tongued()])).is_empty());
}

// ---- Falls -------------------------------------------------------------------------------------------------------

/// Firring rise = span ÷ fall: 2, 3, 4 and 5 m at 1:40 are 50, 75, 100 and 125 mm; at 1:80 they are 25, 37.5, 50 and
/// 62.5 mm (arithmetic; the design fall of 1:40 is BS 6229's). Whole millimetres are rounded up.
#[test]
fn firrings_rise_by_the_span_over_the_fall() {
    for (fall, span, rise) in [
        (40, 2000, 50),
        (40, 3000, 75),
        (40, 4000, 100),
        (40, 5000, 125),
        (80, 2000, 25),
        (80, 3000, 38),
        (80, 4000, 50),
        (80, 5000, 63),
        (60, 4000, 67),
    ] {
        let mut r = flush(4000, span);
        r.fall = RoofFall::Firred(Fall { run: fall.into() }, By::Us);
        let s = shape(&r);
        let all = firrings(&s, &r, &feathered(), None);
        assert_eq!(all.len(), 11);
        assert!(all.iter().all(|f| (f.low_depth, f.high_depth, f.length) == (mm(0), mm(rise), mm(span))));
        assert_eq!(heights(&s, &r), [mm(0), mm(0), mm(rise), mm(rise)]);
    }
}

/// By hand, 1:40: an L of 6.0 × 5.0 m falls to its left edge, so a corner stands x ÷ 40 high: 6000 gives 150, 3000 gives
/// 75. Falling to the front it stands y ÷ 40 high: 2500 gives 62.5, rounded up to 63, and 5000 gives 125.
#[test]
fn every_corner_of_an_l_stands_as_high_as_its_distance_up_the_fall_says() {
    let r = Finish::Raised;
    let mut l = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(6000, 0), "right", r),
        (at(6000, 2500), "return", r),
        (at(3000, 2500), "inner", r),
        (at(3000, 5000), "back", r),
        (at(0, 5000), "left", Finish::Drip),
    ]);
    assert_eq!(heights(&shape(&l), &l), [0, 0, 63, 63, 125, 125].map(mm));
    l.falls_to = "left".into();
    assert_eq!(heights(&shape(&l), &l), [0, 150, 150, 75, 75, 0].map(mm));
}

/// By hand: battens stand 50 mm outside the fascia at the drip, so the low line lies at −50 and the wall at 3400 stands
/// 3450 ÷ 40 = 86.25, rounded up to 87 mm.
#[test]
fn heights_of_a_roof_measured_to_the_fascia_start_at_the_battens() {
    let mut r = rectangle(5200, 3400);
    r.measured_to = MeasuredTo::Fascia;
    assert_eq!(heights(&shape(&r), &r), [0, 0, 87, 87].map(mm));
}

/// A rooflight from 1100 to 2100 up the fall cuts three joists in two. By hand, 1:40: below it 1100 long from 0 to
/// 1100 ÷ 40 = 27.5, so 28; above it 1300 long from 2100 ÷ 40 = 52.5, so 53, to 3400 ÷ 40 = 85.
fn firred_round_a_rooflight() -> Roof {
    let mut r = rectangle(5200, 3400);
    r.holes = vec![hole(HoleForm::Box { at: at(1900, 1100), width: mm(1000), depth: mm(1000) }, Finish::Kerb)];
    r
}

/// 11 joists run through and three are cut: 11 × 3.4 + 3 × 1.3 + 3 × 1.1 = 44.6 m.
#[test]
fn firrings_below_and_above_a_rooflight_have_their_own_depths() {
    let r = firred_round_a_rooflight();
    let all = firrings(&shape(&r), &r, &feathered(), None);
    let kinds: Vec<([i64; 3], usize)> = alike(&all);
    assert_eq!(kinds, [([3400, 0, 85], 11), ([1300, 53, 85], 3), ([1100, 0, 28], 3)]);
    let (lines, needs) = fall_lines(&shape(&r), &r, (&feathered(), &Products::default()), &all);
    adds_up(&lines[0]);
    assert_eq!((lines[0].quantity, needs[0].quantity), (Decimal::new(446, 1), Decimal::new(446, 1)));
    // 0.047 m × 500 kg/m3 × half of (11 × 3.4 × 0.085 + 3 × 1.3 × 0.138 + 3 × 1.1 × 0.028) m2 = 44.8 kg: a metre weighs just under a kilogram.
    let half = (11 * 34 * 85 + 3 * 13 * 138 + 3 * 11 * 28) as i64;
    assert_eq!((lines[1].id, lines[1].quantity), (LineId::FirringMass, Decimal::new(half * 47 * 5, 5) / Decimal::TWO));
    assert_eq!(needs[0].weighs, Some(lines[1].quantity / lines[0].quantity));
}

/// The drawing: lengths at one scale, depths at another that it states, each kind with its count and its sizes.
#[test]
fn each_kind_of_firring_is_drawn_from_the_side_with_its_length_both_depths_and_count() {
    let loaded = crate::support::laid_out(&crate::support::lean_to("", "", ""));
    let job = wetout::model::Job { roofs: vec![firred_round_a_rooflight()], ..loaded.0.job };
    let laid = wetout::takeoff::take_off(&job, &feathered(), &Products::default()).unwrap();
    let figures = draw(&laid.roofs[..1]);
    assert_eq!(figures.len(), 1);
    let scene = &figures[0].scene;
    assert!(scene.width <= 470.0 && scene.height <= 340.0, "{} × {}", scene.width, scene.height);
    let texts: Vec<&str> = scene
        .marks
        .iter()
        .filter_map(|m| if let Mark::Text { text, .. } = m { Some(text.as_str()) } else { None })
        .collect();
    let wanted = ["11 of", "0", "85", "3400", "3 of", "53", "85", "1300", "3 of", "0", "28", "1100"];
    assert_eq!(texts[..12], wanted);
    // 3400 mm at 1:75 take 128.5 pt; 85 mm at 1:20 take 12.0 pt: nearly four times as deep.
    let note = texts[12..].join(" ");
    assert!(
        note.starts_with("Low end on the left. Lengths at 1:75; depths are drawn 3.75 times as deep as they are."),
        "{note}"
    );
    let sides: Vec<(f64, f64, f64)> = scene
        .marks
        .iter()
        .filter_map(|m| if let Mark::Area { rings, .. } = m { Some(&rings[0]) } else { None })
        .map(|r| (r[1].x - r[0].x, r[0].y - r[3].y, r[1].y - r[2].y))
        .collect();
    let pt = |mm: f64, of: f64| mm * 72.0 / 25.4 / of;
    for (side, (length, low, high)) in
        sides.iter().zip([(3400.0, 0.0, 85.0), (1300.0, 53.0, 85.0), (1100.0, 0.0, 28.0)])
    {
        let wanted = (pt(length, 75.0), pt(low, 20.0), pt(high, 20.0));
        let apart = (side.0 - wanted.0).abs() + (side.1 - wanted.1).abs() + (side.2 - wanted.2).abs();
        assert!(apart < 1e-6, "{side:?} for {wanted:?}");
    }
    let boxes: Vec<_> = scene.marks.iter().filter_map(text_box).collect();
    for (i, a) in boxes.iter().enumerate() {
        assert!(boxes[..i].iter().all(|b| !a.overlaps(b)), "two texts overlap");
    }
    assert_eq!(
        figures[0].alt,
        "Firrings of Main roof from the side: 11 of 3400 mm, 0 mm deep at the low end and 85 mm at the high end; 3 of 1300 \
         mm, 53 mm deep at the low end and 85 mm at the high end; 3 of 1100 mm, 0 mm deep at the low end and 28 mm at the \
         high end."
    );
}

/// Joists across the fall of 4.0 m take ten level firrings, each of its own depth, 10 mm apart: a list, not drawings.
#[test]
fn level_firrings_are_a_list_and_no_drawing() {
    let loaded = crate::support::laid_out(&crate::support::lean_to("", "", ""));
    let mut r = rectangle(5200, 4000);
    r.joists.run = JoistRun::LeftToRight;
    let job = wetout::model::Job { roofs: vec![r], ..loaded.0.job };
    let laid = wetout::takeoff::take_off(&job, &feathered(), &Products::default()).unwrap();
    assert!(draw(&laid.roofs[..1]).is_empty());
    let sizes = alike(&laid.roofs[0].firrings);
    let wanted: Vec<([i64; 3], usize)> = (1..=10).rev().map(|k| ([5200, 10 * k, 10 * k], 1)).collect();
    assert_eq!(sizes, wanted);
}

/// By hand: depths of skew firrings go on over several drawings, six kinds on each, all at one scale.
#[test]
fn many_kinds_of_tapered_firring_go_on_over_several_drawings() {
    let loaded = crate::support::laid_out(&crate::support::lean_to("", "", ""));
    let r = Finish::Raised;
    // Eleven joists, from 1000 to 3000 long by steps of 200.
    let skew = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(4000, 0), "right", r),
        (at(4000, 3000), "back", r),
        (at(0, 1000), "left", r),
    ]);
    let job = wetout::model::Job { roofs: vec![skew], ..loaded.0.job };
    let laid = wetout::takeoff::take_off(&job, &feathered(), &Products::default()).unwrap();
    let captions: Vec<String> = draw(&laid.roofs[..1]).into_iter().map(|f| f.caption).collect();
    assert_eq!(
        captions,
        [
            "Main roof: 6 firrings to cut, drawing 1 of 2. Thick end high.",
            "Main roof: 5 firrings to cut, drawing 2 of 2. Thick end high."
        ]
    );
}

#[test]
fn joists_across_the_fall_take_level_firrings_in_steps() {
    let mut r = flush(4000, 2000);
    r.joists.run = JoistRun::LeftToRight;
    let all = firrings(&shape(&r), &r, &feathered(), None);
    let depths: Vec<(i64, i64)> = all.iter().map(|f| (f.low_depth.as_mm(), f.high_depth.as_mm())).collect();
    assert_eq!(depths, [(10, 10), (20, 20), (30, 30), (40, 40), (50, 50)]);
    let (lines, needs) = fall_lines(&shape(&r), &r, (&feathered(), &Products::default()), &all);
    adds_up(&lines[0]);
    assert_eq!((lines[0].id, lines[0].quantity), (LineId::FirringLength, Decimal::from(20)));
    assert_eq!((&needs[0].role, needs[0].quantity), (&Role::Firring, Decimal::from(20)));
}

/// By hand: a back out of square from 3000 to 3100 over 4000 has eleven joists 10 mm apart in length. From the longest, six
/// lie within 50 mm (3100 to 3050) and five are left (3040 to 3000); 3100 ÷ 40 = 77.5 and 3040 ÷ 40 = 76. With no rule
/// each is a size of its own.
#[test]
fn firrings_that_differ_by_less_than_the_rules_are_of_one_size_the_largest() {
    let r = Finish::Raised;
    let skew = roof(&[
        (at(0, 0), "front", r),
        (at(4000, 0), "right", r),
        (at(4000, 3100), "back", r),
        (at(0, 3000), "left", r),
    ]);
    let of = |rules: &Rules| alike(&firrings(&shape(&skew), &skew, rules, None));
    assert_eq!(of(&feathered()), [([3100, 0, 78], 6), ([3040, 0, 76], 5)]);
    let each = Rules { firring_group: mm(0), firring_step: mm(0), ..feathered() };
    assert_eq!(of(&each).len(), 11);
    // 75 to 78 deep: with 1 mm of depth to a size, 78 and 77 are one and 76 and 75 another.
    let by_depth = Rules { firring_group: mm(100), firring_step: mm(1), ..feathered() };
    assert_eq!(of(&by_depth).iter().map(|k| k.0[2]).collect::<Vec<_>>(), [78, 76]);
}

/// By hand: under the bay's left side a joist is 236 mm long, 16 deep at its low end and 22 at the wall. Gone on to 300 mm at 1:40
/// it falls by 64 ÷ 40 = 1.6 more, which leaves 15 at least. On the right the next would be 36 mm long, and is none.
#[test]
fn no_firring_is_ordered_shorter_than_the_rule() {
    let bay = |rules: &str| {
        let request = crate::demo::request("bay");
        let text = String::from_utf8(request.bytes.clone()).unwrap() + rules;
        let demo = crate::demo::work(&wetout::job_file::Request { bytes: text.into_bytes(), ..request });
        alike(&demo.take_off.roofs[0].firrings)
    };
    assert_eq!(bay(""), [([636, 6, 22], 4), ([436, 11, 22], 1), ([300, 15, 22], 1)]);
    let as_they_lie = [([636, 6, 22], 4), ([436, 11, 22], 1), ([236, 16, 22], 1)];
    assert_eq!(bay("rules: {firring_least: 0 mm}\n"), as_they_lie);
}

/// By hand, joists across a fall of 1:40 at 400 from 200: 200 ÷ 40 = 5 is less than the rule's 6, so that joist is packed; the
/// others take 15, 25, 35 and 45.
#[test]
fn a_joist_that_wants_less_than_a_firring_takes_is_packed_and_it_is_said() {
    let mut r = flush(4000, 2000);
    r.joists.run = JoistRun::LeftToRight;
    r.joists.first = mm(200);
    let depths = |rules: &Rules| -> Vec<i64> {
        firrings(&shape(&r), &r, rules, None).iter().map(|f| f.high_depth.as_mm()).collect()
    };
    assert_eq!(depths(&rules()), [15, 25, 35, 45]);
    assert_eq!(depths(&Rules { firring_toe: mm(0), ..rules() }), [5, 15, 25, 35, 45]);
    let (lines, _) =
        fall_lines(&shape(&r), &r, (&rules(), &Products::default()), &firrings(&shape(&r), &r, &rules(), None));
    let said = "1 joist wants less than firring_toe 6 mm and takes none: packed up on site";
    assert!(lines[0].working.contains(&Step::Note(said.into())), "{:?}", lines[0].working);
}

/// An edge a millimetre askew has one joist along it, not two halves, nor one counted twice.
#[test]
fn a_joist_beside_an_edge_that_is_hardly_askew_is_one_joist() {
    let r = Finish::Raised;
    for (low, high) in [(-1, 0), (0, -1), (1, 0), (0, 1), (-2, 0), (2, 0)] {
        let skew = roof(&[
            (at(low, 0), "front", r),
            (at(4000 + low, 0), "right", r),
            (at(4000 + high, 3000), "back", r),
            (at(high, 3000), "left", r),
        ]);
        let places: Vec<i64> = joist_lines(&shape(&skew), &skew).iter().map(|(a, _)| a.x).collect();
        let mut once = places.clone();
        once.dedup();
        assert_eq!(places, once, "{low} {high}");
    }
}

#[test]
fn a_firring_runs_up_the_fall_whichever_way_that_is() {
    let mut r = flush(4000, 2000);
    r.falls_to = "back".into();
    let all = firrings(&shape(&r), &r, &feathered(), None);
    assert!(all.iter().all(|f| f.from.y == 2000 && f.to.y == 0 && f.high_depth == mm(50)));
}

#[test]
fn a_deck_that_stays_or_is_covered_takes_no_firrings() {
    let mut r = flush(4000, 2000);
    for action in [DeckAction::Overlay, DeckAction::Keep] {
        r.deck.action = action;
        assert!(firrings(&shape(&r), &r, &rules(), None).is_empty());
        assert!(fall_lines(&shape(&r), &r, (&rules(), &Products::default()), &[]).0.is_empty());
    }
    assert_eq!(joist_lines(&shape(&r), &r).len(), 11);
}

/// BS 6229 (from memory): at least 1:80 left, at least 150 mm of upstand above the finished roof.
#[test]
fn a_flat_fall_and_an_upstand_that_the_build_up_eats_are_warned_of() {
    let mut r = rectangle(5200, 3400);
    let b = &Products::default().boards["osb3-18"];
    r.outline.edges[2].upstand = Some(mm(253));
    assert!(low_upstands(&shape(&r), &r, &feathered(), Some(b)).is_empty());
    r.outline.edges[2].upstand = Some(mm(252));
    let notices = low_upstands(&shape(&r), &r, &feathered(), Some(b));
    assert_eq!(notices[0].place.to_string(), "roofs[0].edges.back.upstand");
    assert_eq!(
        notices[0].fault,
        "at the back the upstand comes to 149 mm (252 mm surveyed less 85 mm of firring and 18 mm of board); BS 6229 asks \
         for 150 mm above the finished roof"
    );
    r.deck.action = DeckAction::Overlay;
    assert!(low_upstands(&shape(&r), &r, &feathered(), Some(b)).is_empty());
    let firred = |run: i64| RoofFall::Firred(Fall { run: run.into() }, By::Us);
    let fault = |run: i64| steepness(firred(run), &loose(), &setting("roofs[0]")).map(|p| p.fault);
    assert_eq!(fault(80), None, "1:80 itself will do");
    assert_eq!(fault(81).unwrap(), "a fall of 1:81 is flatter than 1:80");
    assert_eq!(fault(6), None);
    assert!(fault(5).unwrap().contains("steeper than 10 degrees"));
}

/// The doormat of a roof is one board; the garage has many.
#[test]
fn a_deck_without_a_joint_has_no_step_for_joints() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/big_jobs/tiny-roof.yaml");
    let tiny = demo::worked(load(&support::asked(&std::fs::read_to_string(file).unwrap())).unwrap()).unwrap();
    let (tiny, garage) = (documents(&tiny), documents(&demo::work(&demo::request("garage-utility"))));
    for words in [
        "Neighbouring rows at least one joist apart",
        "Offcuts start later rows",
        "Mark the joints' line",
        "No step at joints",
        "Two end joints in line",
        "Keep laps off board joints",
    ] {
        assert!(!tiny[1].contains(words), "{words}: {}", tiny[1]);
        assert!(garage[1].contains(words) || garage[1].contains(&words.replace('\'', "’")), "{words}");
    }
}
