//! Edges that have more to them than a finish: a roof that goes in under tiles or slates, a door sill in a wall.

use crate::clashes;
use crate::demo::{self, Demo, request, work};
use crate::drawings::text_of;
use crate::support::{asked, laid_out, lean_to, mm};
use wetout::checks::finding::Verdict;
use wetout::documents::DocumentKind;
use wetout::documents::drawings::Space;
use wetout::documents::drawings::drawing::{apart, inside, part};
use wetout::documents::drawings::peeled::{self, CoatTint, LayerLook, PeeledLayer};
use wetout::documents::drawings::roof_plan::{self, Audience};
use wetout::documents::drawings::sections::{self, Build};
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::documents::{Overrides, method, quote};
use wetout::geometry::slope;
use wetout::job_file::load;
use wetout::model::shape::JoistRun;
use wetout::model::{Finish, Flashing, Length, Level, PitchedCovering, Problem, Rules, UnderTiles};
use wetout::pages::block::Figure;
use wetout::pages::fitting;
use wetout::pages::page::Item;
use wetout::pages::scene::{Ink, Mark, Spot};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::shape::{Side, Sill, SillDetail};
use wetout::takeoff::layout::{BandageOver, BandagePiece, RoofLayout, Treatment};
use wetout::works::{Doer, WorkKind};

/// The lean-to of the tests, 6 m along the back, tied in there as `under` says; its fall is there, so that it comes up by its
/// board alone.
fn tied(under: &str) -> String {
    let text = lean_to("", "", "").replace("fall: 1:40", "fall: existing 1:40");
    text.replace("{finish: wall, upstand: 600 mm, flashing: lead}", &format!("{{finish: step{under}}}"))
}

const SLATES: &str = ", under: {covering: slates, gauge: 200 mm, cover: 250 mm, pitch: 35°, by: us}";

fn quantity(take_off: &TakeOff, id: &str) -> String {
    let line = take_off.lines.iter().find(|l| l.id == id);
    line.map_or_else(|| "none".to_owned(), |l| l.quantity.normalize().to_string())
}

fn told(text: &str) -> Vec<Problem> {
    match load(&asked(text)) {
        Ok(loaded) => loaded.notices,
        Err(failed) => failed.problems,
    }
}

/// Every word of the quote and of the method statement.
pub fn documents(demo: &Demo) -> [String; 2] {
    let words = Words::new(&Overrides::default()).unwrap();
    let worked = demo.worked();
    let quote = quote::document(&QuoteView::of(&worked), &words).unwrap();
    let method = method::document(&worked, &words).unwrap();
    [text_of(&quote), text_of(&method)]
}

/// Makers' tables and BS 5534, from memory: 60 plain tiles at a gauge of 100 mm, 10 large interlocking tiles and 20
/// slates of 500 × 250 mm at a head lap of 100 mm to the square metre.
#[test]
fn the_usual_gauges_and_covers_give_the_pieces_that_a_square_metre_takes() {
    for (covering, each) in PitchedCovering::ALL.into_iter().zip([60.0, 10.0, 20.0]) {
        let area = covering.gauge().as_mm() as f64 * covering.cover().as_mm() as f64 / 1e6;
        assert!((1.0 / area / each - 1.0).abs() < 0.04, "{}: {} to the square metre", covering.words(), 1.0 / area);
    }
}

/// Half of its length at 30 degrees, 0.7071 of it at 45; 150 mm straight up is 300 mm along at 30 degrees.
#[test]
fn a_slope_rises_by_the_sine_of_its_pitch() {
    assert_eq!([30, 45, 90].map(|p| slope::rise(mm(300), p).as_mm()), [150, 212, 300]);
    assert_eq!([30, 45, 90].map(|p| slope::along(mm(150), p).as_mm()), [300, 213, 150]);
}

/// Worked by hand for 6 m under slates: 300 mm of laminate and 150 of underlay are 2.25 gauges, so 3 courses and one
/// more; 24 slates to the course; rafters at 0, 0.6 … 6.0 m.
#[test]
fn an_edge_under_slates_takes_what_is_worked_by_hand() {
    let take_off = laid_out(&tied(SLATES)).1.take_off;
    let lines = [
        ("tie.run", "6"),
        ("tie.board", "1.8"),
        ("tie.fixings", "44"),
        ("tie.fillet", "6"),
        ("tie.courses", "24"),
        ("tie.underlay", "2.7"),
        ("tie.battens", "24"),
        ("tie.batten.nails", "44"),
        ("tie.nails", "192"),
        ("tie.straps", "24"),
        ("tie.tiles", "10"),
    ];
    for (id, wanted) in lines {
        assert_eq!(quantity(&take_off, id), wanted, "{id}");
    }
    let need = |role: &str| take_off.needs.iter().find(|n| n.role == role).map(|n| n.quantity.normalize().to_string());
    assert_eq!(need("tile.slate").as_deref(), Some("10"));
    assert_eq!((need("tile.plain"), need("flashing.lead")), (None, None));
}

#[test]
fn tiles_that_others_lift_take_no_hour_and_no_tile_and_the_crew_waits_for_them() {
    let (ours, others) = (tied(SLATES), tied(&SLATES.replace("by: us", "by: others")));
    let [ours, others] = [ours, others].map(|text| demo::work(&asked(&text)));
    for id in ["tie.courses", "tie.underlay", "tie.battens", "tie.nails", "tie.tiles"] {
        assert_eq!(quantity(&others.take_off, id), "none", "{id}");
    }
    for id in ["tie.run", "tie.board", "tie.fillet", "tie.fixings", "mat.area"] {
        assert_eq!(quantity(&others.take_off, id), quantity(&ours.take_off, id), "{id}");
    }
    let by = |demo: &Demo, kind: WorkKind| demo.take_off.works.iter().find(|w| w.kind == kind).map(|w| w.by);
    for kind in [WorkKind::TilesOff, WorkKind::TilesBack] {
        assert_eq!((by(&ours, kind), by(&others, kind)), (Some(Doer::Us), Some(Doer::Others)));
    }
    assert!(others.pricing.total < ours.pricing.total);
    let [quote, method] = documents(&ours);
    assert!(quote.contains("We lift 4 courses of slates at the back."), "{quote}");
    assert!(quote.contains("10 new ones are in the price"), "{quote}");
    assert!(method.contains("Tiles or slates above: 4 courses of slates at the back."), "{method}");
    assert!(method.contains("Tiles or slates back in their order"), "{method}");
    assert!(method.contains("Top slates hang on straps nailed between the two below"), "{method}");
    assert!(method.contains("slate ripper"), "{method}");
    let bought = ours.pricing.orders.iter().flat_map(|o| &o.lines);
    let straps = bought.filter(|o| o.role == "tie.strap");
    let straps = straps.map(|o| rust_decimal::Decimal::from(o.quantity) * o.holds);
    assert!(straps.sum::<rust_decimal::Decimal>() >= 24.into());
    let [quote, method] = documents(&others);
    assert!(quote.contains("Others lift 4 courses of slates at the back") && !quote.contains("new ones"), "{quote}");
    assert!(method.contains("Others lift tiles or slates: 4 courses of slates at the back."), "{method}");
    assert!(method.contains("whoever lifts tiles or slates") && !method.contains("back in their order"), "{method}");
}

/// By hand, for 3 m at 1:40 on a toe of 6 mm with boards of 18 mm: 99 mm higher at the back, and 103 mm where it is carried on to the slope,
/// 148 mm (103 ÷ 0.7002, rounded up) further back, which is 180 mm (÷ 0.5736) up it: 180 + 300 + 150 mm are 3.2 gauges, so 4 courses and one more. Boards,
/// mat and edges reach as far as that; the old roof ends where it was measured.
#[test]
fn a_deck_that_comes_up_is_laid_out_to_where_it_meets_the_slope_and_lifts_the_courses_that_lie_there() {
    let firred = tied(SLATES).replace("fall: existing 1:40", "fall: 1:40");
    let (_, laid) = laid_out(&firred);
    assert_eq!(quantity(&laid.take_off, "tie.courses"), "30");
    assert_eq!(quantity(&laid.take_off, "tie.straps"), "24");
    assert_eq!(quantity(&laid.take_off, "roof.area"), "18.888", "6 × 3.148");
    assert_eq!(quantity(&laid.take_off, "deck.area"), "18.888");
    assert_eq!(quantity(&laid.take_off, "trim.raised.run"), "6.296");
    let taken = laid.notices().find(|n| n.fault.contains("measured to the end of the old deck")).unwrap();
    assert!(
        taken.fault.contains("the deck comes up 103 mm: it meets the slope 180 mm further up and 148 mm further back"),
        "{taken}"
    );
    let few = told(&firred.replace("by: us", "courses: 4, by: us"));
    let fault = few.iter().find(|p| p.level == Level::Fault).unwrap();
    assert!(fault.fault.contains("the deck comes up 103 mm, 180 mm of the slope"), "{fault}");
    assert!(fault.cure.contains("`courses: 5`"), "{fault}");
    let demo = demo::work(&asked(&firred));
    let [quote, method] = documents(&demo);
    assert!(quote.contains("We lift 5 courses of slates at the back."), "{quote}");
    assert!(quote.contains("The roof runs on 148 mm past the old one at the back"), "{quote}");
    assert!(method.contains("103 mm higher than the old deck, so it meets the slope 148 mm further back"), "{method}");
    assert!(method.contains("The plans go to there: firrings and boards run on past the old deck"), "{method}");
    let drawn = |demo: &Demo| {
        let words = Words::new(&Overrides::default()).unwrap();
        let method = method::document(&demo.worked(), &words).unwrap();
        crate::clashes::figures(&method)
            .iter()
            .any(|f| f.alt.contains("rafters below: the deck runs 148 mm further back"))
    };
    assert!(drawn(&demo));
    // One that comes up by its board alone is within what a fillet takes up, and is neither told nor carried on.
    let (_, flat) = laid_out(&tied(SLATES));
    assert!(!flat.notices().any(|n| n.fault.contains("measured to the end of the old deck")));
    assert_eq!(quantity(&flat.take_off, "roof.area"), "18");
    let unmeasured = told(&firred.replace(", pitch: 35°", ""));
    let pitch = unmeasured.iter().find(|p| p.fault.contains("the pitch of the roof above")).unwrap();
    assert!(pitch.fault.contains("for the 103 mm that the deck comes up 35° is taken"), "{pitch}");
}

/// By hand: of the 99 mm the old boards that are lifted take 18, which leave 81 at the back; carried on to where it meets the slope of
/// 35°, 141 and 116 mm further back, the deck comes up by a fortieth of that more.
#[test]
fn old_boards_that_are_lifted_do_not_raise_the_deck_under_tiles() {
    let of = |boards: &str| {
        let text = tied(SLATES).replace("fall: existing 1:40", "fall: 1:40");
        let loaded = load(&asked(&format!("{text}strip: {{covering: felt, tip: skip{boards}}}\n"))).unwrap();
        loaded.job.roofs[0].outline.edges[2].under.unwrap().rise()
    };
    assert_eq!([", boards: none", ", boards: 18 mm", ", boards: 25 mm"].map(of), [103, 84, 77].map(mm));
}

/// By hand, up the left side at 1:40 with a board 18 mm thick on a toe of 6 mm: 24 mm at the front, 99 at the back, of which 35 and
/// 142 mm are level at 35 degrees (÷ 0.7002).
#[test]
fn a_side_up_the_fall_comes_up_by_what_each_of_its_ends_does() {
    let text = lean_to("", "", "").replace("left: {finish: raised}", &format!("left: {{finish: step{SLATES}}}"));
    let (_, laid) = laid_out(&text);
    let taken = laid.notices().find(|n| n.fault.contains("is taken to be measured to there")).unwrap();
    assert!(
        taken.fault.starts_with(
            "at `left` the deck comes up 99 mm at the back and 24 mm at the front: it meets the slope 173 mm and 42 mm further \
             up and 142 mm and 35 mm further back"
        ),
        "{}",
        taken.fault
    );
    assert!(
        taken
            .cure
            .contains("move the corners of that edge in `outline` out by 142 mm at the back and 35 mm at the front"),
        "{}",
        taken.cure
    );
    let [_, method] = documents(&demo::work(&asked(&text)));
    let told = "left: higher than the old deck by 99 mm at the back and 24 mm at the front, so it meets the slope 142 mm and \
                35 mm further back";
    assert!(method.contains(told), "{method}");
}

#[test]
fn courses_that_lay_too_little_bare_are_refused_and_the_cure_is_taken() {
    let few = tied(&SLATES.replace("by: us", "courses: 3, by: us"));
    let problems = told(&few);
    let fault = problems.iter().find(|p| p.level == Level::Fault).unwrap();
    assert!(
        fault.fault.starts_with("3 courses at a gauge of 200 mm do not lay bare what is needed at `back`"),
        "{fault}"
    );
    assert!(fault.cure.contains("`courses: 4`"), "{fault}");
    assert!(load(&asked(&few.replace("courses: 3", "courses: 4"))).is_ok());
}

/// BS 6229 asks for 150 mm (as the check of a wall has it): 300 mm up a slope of 25 degrees is 126 mm.
#[test]
fn laminate_that_ends_too_low_on_a_flat_pitch_is_told_and_the_cure_is_high_enough() {
    let low = |text: &str| {
        let (_, laid) = laid_out(text);
        laid.notices().find(|n| n.fault.contains("the laminate ends")).map(|n| (n.fault.clone(), n.cure.clone()))
    };
    let flat = tied(&SLATES.replace("35°", "25°"));
    let (fault, cure) = low(&flat).unwrap();
    assert!(fault.contains("at the back the laminate ends 126 mm above the flat roof"), "{fault}");
    assert!(cure.contains("`up: 360 mm`"), "{cure}");
    assert_eq!(low(&flat.replace("by: us", "up: 360 mm, by: us")), None);
    assert_eq!(low(&tied(SLATES)), None);
}

#[test]
fn what_is_not_said_of_the_tiles_is_asked_for_by_name() {
    let asked_for = |under: &str| -> Vec<String> {
        let keys = ["covering", "gauge", "cover", "pitch", "by"];
        let told = told(&tied(under));
        let at = |key: &str| {
            told.iter().any(|p| p.level == Level::Assumed && p.to_string().contains(&format!("under.{key}:")))
        };
        keys.into_iter().filter(|key| at(key)).map(str::to_owned).collect()
    };
    assert_eq!(asked_for(""), ["covering", "pitch", "by"]);
    assert_eq!(asked_for(", under: {covering: slates}"), ["gauge", "cover", "pitch", "by"]);
    assert_eq!(asked_for(SLATES), [""; 0]);
    // The pitch that was given for the rain of the roof above serves here too.
    let rain = tied(", under: {covering: slates}")
        .replace("    falls_to", "    roof_above: {area: 8 m2, pitch: 30°}\n    falls_to");
    let loaded = load(&asked(&rain)).unwrap();
    assert_eq!(loaded.job.roofs[0].outline.edges[2].under.unwrap().pitch, Some(30));
}

/// As far up the slope as the edge says and over its fillet, and no other edge otherwise.
#[test]
fn the_mat_goes_as_far_up_the_slope_as_the_edge_says() {
    let carried = |text: &str| -> Vec<i64> {
        let take_off = laid_out(text).1.take_off;
        take_off.roofs[0].shape.sides.iter().map(|s| s.carried.as_mm()).collect()
    };
    let rule = Rules::default().mat_return;
    let usual = [rule.drip, rule.raised, rule.step + mm(50), rule.raised].map(Length::as_mm);
    assert_eq!(carried(&tied(SLATES)), usual);
    let further = carried(&tied(&SLATES.replace("by: us", "up: 450 mm, by: us")));
    assert_eq!(further, [usual[0], usual[1], 500, usual[3]]);
}

/// From the rafters up: board, fillet, laminate, underlay, battens, slates; nothing lies on bare rafters.
#[test]
fn the_section_under_tiles_shows_every_layer_between_rafters_and_tiles() {
    let rules = Rules::default();
    let build = Build { flashing: Flashing::Lead, ..Build::new(&rules, mm(18)) };
    for covering in PitchedCovering::ALL {
        let (gauge, cover) = (covering.gauge(), covering.cover());
        let by = wetout::model::job::By::Us;
        let under =
            UnderTiles { covering, gauge, cover, pitch: Some(40), up: mm(350), courses: 6, rises: [mm(0); 2], by };
        let figure = sections::draw(Finish::Step, Build { under: Some(under), ..build });
        let parts = [
            "rafters of the roof above",
            "board 350 mm up the slope, screwed to the rafters",
            "tilting fillet, under the laminate",
            "laminate carried 350 mm up the slope, over the fillet",
            "underlay, down over the laminate",
            covering.words(),
        ];
        for part in parts {
            assert!(figure.alt.contains(part), "{part}: {}", figure.alt);
        }
        assert!(figure.scene.width <= sections::ON_SITE && figure.scene.height <= 340.0, "{}", covering.words());
    }
}

// ---- Door sills -----------------------------------------------------------------------------------------------------

/// The lean-to with a door of 1.8 m in its back wall, its sill so high over the old roof. The back stands 75 mm up the
/// fall, and the board is 18 mm thick.
fn with_door(sill: i64) -> String {
    let wall = "{finish: wall, upstand: 600 mm, flashing: lead}";
    let door = format!(
        "[{{go: 2.0 m, finish: wall, upstand: 600 mm, flashing: lead}}, {{go: 1.8 m, finish: wall, sill: {sill} mm}}, {wall}]"
    );
    lean_to("", "", "").replace(wall, &door)
}

fn sill_side(take_off: &TakeOff) -> &Side {
    take_off.roofs[0].shape.sides.iter().find(|s| s.label == "back (2)").unwrap()
}

/// 249 mm less 75, the toe of 6 and 18 are 150, as BS 6229 has it at a wall (the figure of the existing check); a millimetre less is told.
#[test]
fn a_sill_at_the_least_height_passes_and_one_lower_is_told_to_installer_and_householder() {
    let told = |sill: i64| {
        let demo = demo::work(&asked(&with_door(sill)));
        let (_, laid) = laid_out(&with_door(sill));
        let warned = laid.notices().any(|n| n.fault.contains("under the door sill there is left"));
        let found = demo.findings.iter().find(|f| f.id == "sill.back-2").unwrap().clone();
        assert!(documents(&demo)[0].contains(&found.statement), "{}", found.statement);
        (sill_side(&demo.take_off).sill.unwrap().left.as_mm(), found.verdict, warned)
    };
    assert_eq!(told(249), (150, Verdict::Pass, false));
    assert_eq!(told(248), (149, Verdict::Fail, true));
}

#[test]
fn the_fillet_runs_on_under_a_sill_that_it_fits_under_and_the_flashing_stops_beside_it() {
    let (door, wall) = (laid_out(&with_door(249)).1.take_off, laid_out(&lean_to("", "", "")).1.take_off);
    for id in ["trim.wall.run", "trim.wall.lengths", "deck.area"] {
        assert_eq!(quantity(&door, id), quantity(&wall, id), "{id}");
    }
    assert_eq!(quantity(&door, "seal.temporary"), "4.2");
    // 2.0 and 2.2 m, each turned 25 mm into the wall beside the door, in pieces of 1.5 m lapped by 100 mm: one lap each.
    assert_eq!(
        (quantity(&door, "flashing.length"), quantity(&door, "sill.run")),
        ("4.45".to_owned(), "1.8".to_owned())
    );
    assert_eq!((sill_side(&door).carried.as_mm(), sill_side(&door).has_trim()), (190, true));
    assert!(door.roofs[0].bandage.iter().all(|b| b.covers != BandageOver::Sill));
    assert!(door.roofs[0].junctions.iter().all(|j| j.treatment != Treatment::AtSill));
}

/// 186 mm less 99 are 87: less than the fillet's 100.
#[test]
fn a_fillet_that_does_not_fit_stops_on_both_sides_and_bandage_takes_its_place() {
    let demo = demo::work(&asked(&with_door(186)));
    let roof = &demo.take_off.roofs[0];
    assert_eq!(sill_side(&demo.take_off).sill, Some(Sill { left: mm(87), detail: SillDetail::Low }));
    assert_eq!(quantity(&demo.take_off, "trim.wall.run"), "4.2");
    let stops: Vec<_> = roof.junctions.iter().filter(|j| j.treatment == Treatment::AtSill).map(|j| j.at).collect();
    let side = sill_side(&demo.take_off);
    assert_eq!(stops, [side.from, side.to]);
    let under: Vec<_> =
        roof.bandage.iter().filter(|b| b.covers == BandageOver::Sill).map(|b| b.length.as_mm()).collect();
    assert_eq!(under, [1900]);
    for at in stops {
        assert!(roof.bandage.iter().any(|b| b.covers == BandageOver::Corner && b.from == at), "no patch at {at:?}");
    }
    let runs: Vec<_> =
        demo.take_off.profiles.iter().filter(|p| p.finish == Finish::Wall).flat_map(|p| &p.runs).collect();
    assert_eq!(runs.iter().map(|r| r.run.as_mm()).collect::<Vec<_>>(), [2000, 2200]);
    let [quote, method] = documents(&demo);
    assert!(quote.contains("Under the door: back (2) (1.80 m wide, 87 mm under the sill)."), "{quote}");
    assert!(quote.contains("The flashing stops on both sides of it."), "{quote}");
    assert!(quote.contains("Against the wall: back (1) (2.00 m) and back (3) (2.20 m)."), "{quote}");
    assert!(
        method.contains("no fillet fits") && method.contains("Stop the wall fillet square at the side of"),
        "{method}"
    );
    assert!(method.contains("under the door sill at the back (2): agreed in writing, seen."), "{method}");
    assert!(method.contains("Wall fillet along back (1) and back (3)."), "{method}");
}

/// The fillet runs on under the sill, in lengths of up to 3 m over stretches of 2.0, 1.8 and 2.2 m: none of its pieces comes to
/// all three.
#[test]
fn a_piece_of_trim_is_listed_by_the_stretches_that_it_touches() {
    let demo = demo::work(&asked(&with_door(249)));
    let [_, method] = documents(&demo);
    let list = method.split("Wall fillet trim: ").nth(1).unwrap();
    assert!(list.contains("Back (1) and back (2)") && list.contains("back (3)"), "{list}");
    assert!(!list.contains("\nBack (1), back (2) and back (3)\nmitre"), "{list}");
    let pieces: Vec<&str> = list.lines().filter(|line| line.starts_with("Back (")).collect();
    assert!(pieces.len() > 1, "{pieces:?}");
}

/// Two beads are bought, a metre of each for a metre of sill: the section draws both.
#[test]
fn the_section_under_a_sill_draws_both_beads() {
    for sill in [186, 249] {
        let demo = demo::work(&asked(&with_door(sill)));
        let bead = |m: &&Mark| matches!(m, Mark::Circle { radius, fill: Some(Ink::Black), .. } if *radius > 2.0);
        let mut sections = 0;
        for (_, document) in clashes::documents(&demo) {
            for figure in clashes::figures(&document).iter().filter(|f| f.alt.starts_with("Section under a door sill"))
            {
                sections += 1;
                assert_eq!(figure.scene.marks.iter().filter(bead).count(), 2, "{sill}");
                assert!(figure.alt.contains("sealant, two beads"), "{}", figure.alt);
            }
        }
        assert!(sections > 0, "{sill}");
    }
}

/// Both plans show where the door opens: no wall is hatched between its jambs, and the edge says what it lies under.
#[test]
fn the_door_is_a_gap_in_the_wall_on_both_plans() {
    let demo = demo::work(&demo::request("balcony"));
    let (layout, roof) = (&demo.take_off.roofs[0], &demo.loaded.job.roofs[0]);
    let doors: Vec<&Side> = layout.shape.sides.iter().filter(|side| side.sill.is_some()).collect();
    assert_eq!(doors.len(), 1);
    for reader in [Audience::Householder, Audience::Site] {
        let scene = roof_plan::draw(layout, roof, reader, Space::HALF_PAGE).scene;
        let mm = scene.scale.unwrap() * 25.4 / 72.0;
        let Some(Mark::Area { rings, .. }) = scene.marks.first() else { panic!("no ground") };
        let on_paper: &[Spot] = &rings[0];
        let place = layout.shape.ring().iter().position(|p| *p == doors[0].from).unwrap();
        let (a, b) = (on_paper[place], on_paper[(place + 1) % on_paper.len()]);
        assert!(((b.x - a.x).hypot(b.y - a.y) * mm - doors[0].run.as_mm() as f64).abs() < 1.0);
        let (left, right) = (a.x.min(b.x), a.x.max(b.x));
        let hatched = |m: &&Mark| match m {
            Mark::Line { spots, pen } if pen.ink == Ink::Grey(0.25) => {
                spots.iter().all(|s| s.x > left + 0.5 && s.x < right - 0.5 && (s.y - a.y).abs() < 7.0)
            }
            _ => false,
        };
        assert_eq!(scene.marks.iter().filter(hatched).count(), 0, "{reader:?}");
        let jamb = |m: &&Mark| match m {
            Mark::Line { spots, pen } if pen.width == 1.2 => (spots[0].x - spots[1].x).abs() < 0.01,
            _ => false,
        };
        assert_eq!(scene.marks.iter().filter(jamb).count(), 2, "{reader:?}");
        let says = |m: &Mark| matches!(m, Mark::Text { text, .. } if text.contains("under the door"));
        assert!(scene.marks.iter().any(says), "{reader:?}");
    }
}

#[test]
fn a_sill_that_leaves_too_little_is_refused_with_the_cure() {
    let refused = |text: &str| {
        let loaded = load(&asked(text)).unwrap();
        let problems = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, None).unwrap_err();
        problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let words = refused(&with_door(173));
    assert!(words.contains("under the door sill at `back (2)` 74 mm is left of 173 mm"), "{words}");
    assert!(words.contains("have the sill raised") && words.contains("less than 75 mm"), "{words}");
    assert!(load(&asked(&with_door(174))).is_ok());
    laid_out(&with_door(174));
    // A low sill from corner to corner leaves the fillet nowhere to stop.
    let whole =
        lean_to("", "", "").replace("{finish: wall, upstand: 600 mm, flashing: lead}", "{finish: wall, sill: 180 mm}");
    let words = refused(&whole);
    assert!(
        words.contains("there is no wall beside it to stop it on") && words.contains("a stretch of its own"),
        "{words}"
    );
    laid_out(&whole.replace("180 mm", "243 mm"));
}

#[test]
fn a_sill_takes_no_upstand_and_no_flashing_of_its_own_and_stands_in_a_wall() {
    let faults = |text: &str| -> Vec<String> {
        told(text).into_iter().filter(|p| p.level == Level::Fault).map(|p| p.fault).collect()
    };
    let both = with_door(249).replace("sill: 249 mm", "sill: 249 mm, upstand: 300 mm, flashing: lead");
    let found = faults(&both);
    assert!(found.len() == 2 && found[0].contains("`sill` says how high that is"), "{found:?}");
    assert!(found[1].contains("it stops at both sides"), "{found:?}");
    let raised = lean_to("", "", "").replacen("{finish: raised}", "{finish: raised, sill: 200 mm}", 1);
    assert_eq!(faults(&raised), ["a door sill stands over a stretch of wall only"]);
    assert_eq!(faults(&with_door(249)), [""; 0]);
}

/// The mat goes up to the sill and in under it, the wall on either side keeps its own return.
#[test]
fn the_mat_goes_up_to_the_sill_and_in_under_it() {
    let take_off = laid_out(&with_door(219)).1.take_off;
    let carried: Vec<i64> = take_off.roofs[0].shape.sides.iter().map(|s| s.carried.as_mm()).collect();
    assert_eq!(carried, [0, 60, 100, 160, 100, 60]);
    let reach = take_off.roofs[0].mat.pieces.iter().flat_map(|p| &p.ring).map(|p| p.y).max();
    assert_eq!(reach, Some(3000 + 160));
}

#[test]
fn the_section_under_a_sill_says_what_is_left_and_what_stands_there() {
    let rules = Rules::default();
    let build = Build { flashing: Flashing::Lead, ..Build::new(&rules, mm(18)) };
    let drawn = |left: i64, detail: SillDetail| {
        sections::draw(Finish::Wall, Build { sill: Some(Sill { left: mm(left), detail }), ..build }).alt
    };
    let (high, low) = (drawn(165, SillDetail::Fillet), drawn(90, SillDetail::Low));
    assert!(high.contains("Section under a door sill") && high.contains("wall fillet runs on"), "{high}");
    assert!(high.contains("165 mm left under the sill; at least 150 mm is asked for"), "{high}");
    assert!(
        low.contains("no fillet fits") && low.contains("LESS than the 150 mm that is asked for, as agreed in writing"),
        "{low}"
    );
    assert!(!low.contains("flashing") && low.contains("40 mm in under it"), "{low}");
}

/// The dormer sells the moving of its aerials and slates that are in the way; it has no skip.
#[test]
fn the_crew_has_a_step_for_each_thing_that_is_sold_beside_the_roof_and_hears_of_no_skip() {
    let dormer = demo::work(&demo::request("dormer"));
    let method = documents(&dormer)[1].clone();
    let steps = ["Aerials, dishes down first: place and aim", "Tiles or slates in the way lifted whole"];
    for step in steps {
        assert_eq!(method.matches(step).count(), 1, "{step}: {method}");
    }
    assert!(method.contains("permits and licences for the road;") && !method.contains("the skip;"), "{method}");
    for tool in ["night sheet, hammer, roof ladder", "camera, hammer, roof ladder", "hammer, gun, string, roof ladder"]
    {
        assert!(method.contains(tool), "{tool}: {method}");
    }
    let plain = documents(&demo::worked(load(&asked(&lean_to("", "", ""))).unwrap()).unwrap())[1].clone();
    for absent in ["Aerials, dishes", "Tiles or slates", "roof ladder", "Prop the joists"] {
        assert!(!plain.contains(absent), "{absent}: {plain}");
    }
    let trimmed = documents(&demo::work(&demo::request("neighbours")))[1].clone();
    assert!(
        trimmed.contains("drill and driver, hammer, boards to stand on, preservative and brush, props."),
        "{trimmed}"
    );
}

/// The mat of a tied edge goes over both faces of its fillet: 50 mm more than the board under it is wide. Where that board meets
/// the deck lies bandage, as on any joint, and the section names it.
#[test]
fn the_mat_of_a_tied_edge_goes_over_its_fillet_and_bandage_over_the_joint_before_it() {
    let demo = work(&request("dormer"));
    let roof = &demo.take_off.roofs[0];
    let (n, side) = roof.shape.sides.iter().enumerate().find(|(_, s)| s.finish == Finish::Step).unwrap();
    let up = demo.loaded.job.roofs[0].outline.edges[n].under.unwrap().up;
    assert_eq!(side.carried, up + mm(50));
    let board = demo.take_off.lines.iter().find(|l| l.id == "tie.board").unwrap();
    assert_eq!(board.quantity, side.run.metres() * up.metres());
    let over = |p: &&BandagePiece| {
        p.covers == BandageOver::BoardJoint && (p.from, p.to) == (side.from, side.to) && p.length == side.run
    };
    assert_eq!(roof.bandage.iter().filter(over).map(|p| p.width).collect::<Vec<_>>(), [mm(75)]);
    let pages = crate::falls::words(&demo, DocumentKind::Method);
    assert!(pages.contains("bandage 75 mm on the joint"), "the section names it");
}

/// A batten on loose underlay holds no slates: where none may be nailed it is bedded on the laminate, before the underlay comes over it.
#[test]
fn a_batten_that_is_not_nailed_lies_under_the_underlay_and_not_on_it() {
    let method = documents(&demo::work(&demo::request("dormer")))[1].clone();
    let place = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    let order = [
        "no nail goes through the laminate",
        "bedded in adhesive on the laminate, abraded and wiped",
        "before the underlay is drawn down over it",
        "New battens to the old gauge on it, nailed to every rafter",
    ];
    assert!(order.map(place).is_sorted(), "{method}");
}

/// Behind an edge that goes in under slates rises a roof, not a wall: what stands behind it leans back.
#[test]
fn what_stands_behind_a_tied_edge_is_drawn_as_a_roof() {
    let behind = |name: &str| -> Vec<bool> {
        let demo = work(&request(name));
        let layers = [PeeledLayer { look: LayerLook::Laminate, words: "laminate".into() }];
        let run = demo.loaded.job.roofs[0].joists.run;
        let scene = peeled::draw(&demo.take_off.roofs[0].shape, run, &layers, Space::HALF_PAGE).unwrap().scene;
        let leans = |mark: &Mark| match mark {
            Mark::Area { rings, fill: Some(Ink::Grey(grey)), .. } if *grey == 0.93 => {
                Some((rings[0][0].x - rings[0][3].x).abs() > 3.0)
            }
            _ => None,
        };
        scene.marks.iter().filter_map(leans).collect()
    };
    assert_eq!((behind("dormer"), behind("kitchen-extension")), (vec![true], vec![false]));
}

/// What stands in a roof stands in its drawing: a chimney in courses, its top and its two faces that are seen; a pipe; no pane
/// of glass where no rooflight is.
#[test]
fn a_chimney_and_a_pipe_stand_in_the_roof_that_is_drawn_back() {
    let holes = "    holes:\n      - {name: chimney, at: [2.0 m, 1.0 m], size: [0.45 m, 0.45 m], finish: wall}\n      \
                 - {name: soil pipe, at: [4.5 m, 1.5 m], round: 110 mm}\n";
    let inks = |roof: &str| -> [usize; 3] {
        let (loaded, laid) = laid_out(&lean_to("", roof, ""));
        let layers = [PeeledLayer { look: LayerLook::Laminate, words: "laminate".into() }];
        let run = loaded.job.roofs[0].joists.run;
        let scene = peeled::draw(&laid.take_off.roofs[0].shape, run, &layers, Space::HALF_PAGE).unwrap().scene;
        [Ink::Grey(0.8), Ink::Grey(0.93), Ink::AccentTint(0.88)].map(|ink| {
            let is = |m: &&Mark| matches!(m, Mark::Area { fill: Some(of), .. } if *of == ink);
            scene.marks.iter().filter(is).count()
        })
    };
    // The wall behind is one face in that grey.
    assert_eq!((inks(""), inks(holes)), ([0, 1, 0], [2, 3, 0]));
}

const PEELED: [LayerLook; 4] =
    [LayerLook::Joists, LayerLook::Boards, LayerLook::Laminate, LayerLook::Topcoat(CoatTint::DarkGrey)];

fn drawn_back(roof: &RoofLayout, run: JoistRun) -> wetout::pages::scene::Scene {
    let layers = PEELED.map(|look| PeeledLayer { look, words: format!("{look:?}") });
    peeled::draw(&roof.shape, run, &layers, Space::HALF_PAGE).unwrap().scene.as_ref().clone()
}

/// A pipe comes up through every layer: where they are drawn back it is seen from the joists up, elsewhere from the topcoat.
#[test]
fn a_pipe_reaches_down_to_the_layer_that_is_shown_round_it() {
    let tall = |at: &str| -> f64 {
        let hole = format!("    holes:\n      - {{name: soil pipe, at: [{at}, 1.5 m], round: 110 mm}}\n");
        let (loaded, laid) = laid_out(&lean_to("", &hole, ""));
        let scene = drawn_back(&laid.take_off.roofs[0], loaded.job.roofs[0].joists.run);
        let side = |m: &Mark| match m {
            Mark::Area { rings, fill: Some(Ink::White), .. } => {
                let ys = || rings[0].iter().map(|s| s.y);
                Some(ys().fold(f64::MIN, f64::max) - ys().fold(f64::MAX, f64::min))
            }
            _ => None,
        };
        scene.marks.iter().rev().find_map(side).unwrap()
    };
    let [joists, boards, topcoat] = [tall("0.6 m"), tall("2.2 m"), tall("5.4 m")];
    assert!(joists > boards && boards > topcoat, "{joists} {boards} {topcoat}");
}

/// The line at which a layer begins may part a bent roof in two: no side of the layer is drawn along that line, between them.
#[test]
fn no_layer_is_drawn_between_the_parts_of_a_bent_roof() {
    let demo = work(&request("garage-utility"));
    let scene = drawn_back(&demo.take_off.roofs[0], demo.loaded.job.roofs[0].joists.run);
    let sides = scene.marks.iter().filter_map(|m| match m {
        Mark::Area { rings, fill: Some(Ink::AccentTint(tint)), .. } if *tint == 0.45 => Some(&rings[0]),
        _ => None,
    });
    // Of the cut: 0.12 to the right for each to the back, and on paper 0.42 more to the right and 0.40 up.
    let along_cut = |ring: &&Vec<Spot>| {
        let (x, y) = (ring[1].x - ring[0].x, ring[0].y - ring[1].y);
        (x * 0.40 - y * 0.54).abs() < 0.02 && x.abs() > 0.5
    };
    let sides: Vec<&Vec<Spot>> = sides.collect();
    assert!(sides.len() > 1 && !sides.iter().any(along_cut), "{sides:?}");
}

/// Boards lie across the joists: where those run from left to right, the long joints run back, and slant on paper.
#[test]
fn boards_are_drawn_across_the_joists_of_the_roof() {
    let slanting = |name: &str| -> Vec<bool> {
        let demo = work(&request(name));
        let layers = [PeeledLayer { look: LayerLook::Boards, words: "deck".into() }];
        let run = demo.loaded.job.roofs[0].joists.run;
        let scene = peeled::draw(&demo.take_off.roofs[0].shape, run, &layers, Space::HALF_PAGE).unwrap().scene;
        let joint = |mark: &Mark| match mark {
            Mark::Line { spots, pen } if pen.ink == Ink::Grey(0.45) => Some((spots[0].y - spots[1].y).abs() > 1.0),
            _ => None,
        };
        scene.marks.iter().filter_map(joint).collect()
    };
    let (garage, kitchen) = (slanting("garage-utility"), slanting("kitchen-extension"));
    assert!(garage.len() > 3 && garage.iter().all(|slants| *slants), "{garage:?}");
    assert!(kitchen.len() > 3 && !kitchen.iter().any(|slants| *slants), "{kitchen:?}");
}

/// What stands in front of a roof hides nothing of its layers: the low wall is cut down, and goes on up in broken lines.
#[test]
fn a_low_wall_before_a_roof_is_cut_down_and_goes_on_up_in_broken_lines() {
    let broken = |name: &str| -> usize {
        let job = work(&request(name));
        let documents = clashes::documents(&job);
        let drawn = |document| clashes::figures(document).into_iter().filter(|f| f.alt.contains("layers drawn back"));
        let lines = documents.iter().map(|(what, document)| {
            let [figure] = drawn(document).collect::<Vec<_>>()[..] else { panic!("{name}, {what}") };
            let is_broken = |m: &&Mark| matches!(m, Mark::Line { pen, .. } if pen.dash.is_some());
            figure.scene.marks.iter().filter(is_broken).count()
        });
        lines.sum()
    };
    // Of the wall beyond the gutter and of that on the right the top and two ends, in the quote and on site.
    assert_eq!((broken("parapet"), broken("kitchen-extension")), (12, 0));
}

/// A job of `tests/big_jobs` as it stands there.
fn big_job(file: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs");
    std::fs::read_to_string(folder.join(file)).unwrap()
}

/// On the first page of a quote each roof is drawn back: a few each by itself, many in one drawing.
#[test]
fn page_one_of_a_quote_has_each_of_a_few_roofs_drawn_back() {
    let twelve = big_job("twelve-roofs.yaml");
    let (four, rest) = twelve.split_once("  - name: Roof 5").unwrap();
    let four = format!("{four}\n{}", &rest[rest.find("strip:").unwrap()..]);
    let alike = four.replace("brick red", "dark grey").replace("green", "dark grey").replace("mat: 600", "mat: 450");
    let jobs = [
        (work(&request("parapet")), vec!["Rear roof"]),
        (work(&request("garage-utility")), vec!["Garage and utility"]),
        (work(&request("neighbours")), vec!["No. 12", "No. 14"]),
        (work(&asked(&big_job("tiny-beside-large.yaml"))), vec!["Hall", "Porch"]),
        (work(&asked(&alike)), vec!["Roof 1 ", "Roof 2 ", "Roof 3 ", "Roof 4 "]),
        (work(&asked(&four)), vec!["Roof 1 ", "Roof 2 ", "Roof 3 ", "Roof 4 "]),
        (work(&asked(&twelve)), vec!["Roof 1, Roof 2,"]),
    ];
    for (job, names) in jobs {
        let [(_, quote), _] = clashes::documents(&job);
        let paper = fitting::lay_out(&quote).unwrap();
        // Those of many roofs may stand at the head of the next page, below what was chosen.
        let first = if job.take_off.roofs.len() > 3 { 2 } else { 1 };
        let marks = || paper.pages[..first].iter().flat_map(|page| &page.marks).map(|mark| &mark.item);
        let drawn = clashes::figures(&quote).into_iter().filter(|f| f.alt.contains("layers drawn back"));
        let is_there =
            |figure: &&Figure| marks().any(|m| matches!(m, Item::Drawing { scene, .. } if *scene == figure.scene));
        let drawn: Vec<&Figure> = drawn.filter(is_there).collect();
        assert_eq!(drawn.len(), names.len(), "{names:?}");
        for (figure, name) in drawn.iter().zip(&names) {
            assert!(figure.alt.starts_with(name), "{name}: {}", figure.alt);
            let many = name.contains(", ");
            let named = figure.caption.starts_with(name) || many && figure.caption.starts_with("From the left: joists");
            assert_eq!(named, job.take_off.roofs.len() > 1, "{name}: {}", figure.caption);
            let under = |m: &&Mark| matches!(m, Mark::Text { text, .. } if text.starts_with("Roof "));
            let under = figure.scene.marks.iter().filter(under).count();
            assert_eq!(under, if many { job.take_off.roofs.len() } else { 0 }, "{name}: a name under each");
        }
        let last = marks().any(|m| matches!(m, Item::Text(text) if text.words().contains("list further on")));
        assert!(last, "{names:?}: what stands under the drawings leaves the page");
    }
}

/// No ladder leans on an edge that lies under slates: the crew leaves over them.
#[test]
fn a_roof_that_is_left_under_slates_is_left_by_a_roof_ladder_or_the_scaffold() {
    let method = |name: &str| crate::falls::words(&work(&request(name)), DocumentKind::Method);
    let dormer = method("dormer");
    assert!(dormer.contains("at the back, by a roof ladder hooked over the ridge, or the scaffold"), "{dormer}");
    assert!(!method("kitchen-extension").contains("hooked over the ridge, or the scaffold"));
}

/// Wet bandage does not bridge the gap of 25 mm between boards and wall: under the balcony's door, 1.80 m wide, where no fillet
/// fits, a batten closes it, bought with the edge battens; where a fillet fits it bridges the gap.
#[test]
fn the_gap_under_a_low_door_sill_is_closed_before_it_is_bandaged() {
    let job = |sill: &str| {
        let mut request = demo::request("balcony");
        let text = String::from_utf8(request.bytes).unwrap();
        let from = text.find("sill: ").unwrap();
        let to = from + text[from..].find('}').unwrap();
        request.bytes = format!("{}sill: {sill}{}", &text[..from], &text[to..]).into_bytes();
        demo::work(&request)
    };
    let batten = |d: &Demo| {
        d.take_off
            .lines
            .iter()
            .find(|l| l.id == wetout::model::LineId::SillGap)
            .map(|l| l.quantity.normalize().to_string())
    };
    let (low, high) = (job("132 mm"), job("300 mm"));
    assert_eq!((batten(&low).as_deref(), batten(&high)), (Some("1.8"), None));
    let bought = |d: &Demo| -> rust_decimal::Decimal {
        let of = d.take_off.needs.iter().filter(|n| n.role == wetout::model::Role::EdgeBatten);
        of.map(|n| n.quantity).sum()
    };
    assert_eq!((bought(&low) - bought(&high)).to_string().trim_end_matches('0'), "1.8");
    let method = |d: &Demo| crate::falls::words(d, DocumentKind::Method);
    let told = "Close the gap there first, bandage does not bridge it: 1.80 m of edge batten";
    assert!(method(&low).contains(told), "{}", method(&low));
    assert!(!method(&high).contains("Close the gap"));
}

/// No line from a layer's name crosses the face of another layer, and none what stands before the roof: there, and where trims are seen
/// behind alone, numbers stand on the layers.
#[test]
fn no_line_from_a_layers_name_crosses_another_layer_or_a_gutter() {
    let faces = [Ink::Grey(0.88), Ink::AccentTint(0.68), Ink::Grey(0.62)];
    let (mut led, mut numbered) = (0, 0);
    for name in demo::names() {
        let job = work(&request(&name));
        let low_wall = |mark: &Mark| matches!(mark, Mark::Line { pen, .. } if pen.dash.is_some());
        for (what, document) in clashes::documents(&job) {
            let drawn = clashes::figures(&document).into_iter().filter(|f| f.alt.contains("layers drawn back"));
            for scene in drawn.map(|figure| &figure.scene) {
                let seen = |at: Spot| {
                    let areas = scene.marks.iter().rev().filter_map(|mark| match mark {
                        Mark::Area { rings, fill: Some(fill), .. } => Some((rings, *fill)),
                        _ => None,
                    });
                    areas.into_iter().find(|(rings, _)| rings.iter().any(|r| inside(r, at))).map(|(_, fill)| fill)
                };
                let before = scene.marks.iter().any(low_wall);
                for mark in &scene.marks {
                    let Mark::Line { spots, pen } = mark else { continue };
                    let ([from, to], true) = (spots.as_slice(), pen.width == peeled::NAME_LEADER) else { continue };
                    let way = (1..60).map(|n| part(*from, *to, f64::from(n) / 60.0));
                    let crossed = way.filter_map(seen).find(|ink| faces.contains(ink) && seen(*from) != Some(*ink));
                    assert_eq!(crossed, None, "{name}, {what}");
                    assert!(
                        !before || apart(*from, *to) < 15.0,
                        "{name}, {what}: a line crosses what stands before the roof"
                    );
                    led += 1;
                }
                let ringed = |mark: &&Mark| matches!(mark, Mark::Circle { radius, .. } if *radius > 4.0);
                numbered += usize::from(scene.marks.iter().filter(ringed).count() > 2);
            }
        }
    }
    assert!(led > 20 && numbered >= 2, "{led}, {numbered}");
}

/// Of two roofs of which one lets its water down onto the other: the lower comes first, its wall has no flashing but the drip over it. Asked
/// where the job says otherwise, and told to crew and customer once it is so.
#[test]
fn the_lower_of_two_levels_comes_first_and_the_drip_above_covers_its_wall() {
    let text = lean_to("", "    roof_above: {area: 10.1 m2, pitch: 2°}\n", "");
    let (head, roof) = text.split_once("roofs:\n").unwrap();
    let lower = roof.replace("Lean-to", "Lower").replace("flashing: lead", "flashing: none");
    let upper = roof.replace("Lean-to", "Upper").replace("    roof_above: {area: 10.1 m2, pitch: 2°}\n", "");
    let lower = lower.replace("{finish: drip}", "{finish: drip, gutter: half-round 112 mm}");
    let job = |roofs: [&str; 2]| format!("{head}roofs:\n{}", roofs.concat());
    let asked_of = |text: &str| {
        let (_, laid) = laid_out(text);
        let told = laid.notices().find(|n| n.warned == Some(wetout::model::Warned::Levels)).cloned();
        told.map(|n| (n.fault, n.cure))
    };
    let (fault, cure) = asked_of(&job([&upper, &lower])).unwrap();
    assert!(
        fault.starts_with("`front` of `Upper` has no gutter, and `Lower` takes the water of a flat roof above it"),
        "{fault}"
    );
    assert!(
        cure.starts_with("write `Lower` before `Upper`: roofs are opened in the order of the file; where"),
        "{cure}"
    );
    let flashed = lower.replace("flashing: none", "flashing: lead");
    let (_, cure) = asked_of(&job([&flashed, &upper])).unwrap();
    assert!(cure.starts_with("write `flashing: none` at that wall, which the drip covers"), "{cure}");
    assert_eq!(asked_of(&job([&lower, &upper])), None);
    assert_eq!(asked_of(&job([&lower, &lower.replace("name: Lower", "name: Other")])), None, "its drip has a gutter");

    let crew = |text: &str| documents(&crate::demo::work(&asked(text)));
    let [quote, method] = crew(&job([&lower, &upper]));
    assert!(method.contains("Two levels: back of Lower, over which the drip of Upper (front) stands."), "{method}");
    assert!(quote.contains("onto Lower below, over the upstand of its wall"), "{quote}");
    let [quote, method] = crew(&job([&upper, &lower]));
    assert!(!method.contains("Two levels") && !quote.contains("onto Lower below"), "{method}");
}
