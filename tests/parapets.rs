//! Walls of limited height that a roof is carried over: what is read, refused, laid, told and drawn.

use crate::clashes::figures;
use crate::demo;
use crate::edges::documents;
use crate::replay::gutters::come_out;
use crate::support::{asked, built_in_words, finding, laid_out, lean_to, mm};
use crate::works::every_job;
use std::collections::BTreeSet;
use wetout::checks::check;
use wetout::checks::finding::Verdict;
use wetout::documents::drawings::sections::{self, Build};
use wetout::documents::method::{self, MethodPart};
use wetout::job_file::{Request, load};
use wetout::model::job::By;
use wetout::model::{Cover, Finish, Flashing, Length, Level, Products, Rules};
use wetout::programme::pots::PotCoat;
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::shape::{CopedWall, WallEnd};
use wetout::takeoff::layout::{BandageOver, LiningBoard, MatPiece, OuterEdge, RunPlace};

/// The lean-to with such a coping at its back, 6 m long, and another at its right side, 3 m long.
fn with_walls(back: &str, right: &str) -> String {
    let walled = |of: &str| format!("{{finish: wall, {of}}}");
    let text = lean_to("", "", "").replace("{finish: wall, upstand: 600 mm, flashing: lead}", &walled(back));
    text.replacen("right: {finish: raised}", &format!("right: {}", walled(right)), 1)
}

fn coping(height: i64, width: i64, cover: &str, by: &str) -> String {
    format!(
        "coping: {{wall_height: {height} mm, wall_width: {width} mm, cover: {cover}, by: {by}, board: osb3-18-square}}"
    )
}

fn wall(take_off: &TakeOff, label: &str) -> CopedWall {
    take_off.roofs[0].shape.sides.iter().find(|s| s.label == label).unwrap().coped.unwrap()
}

fn quantity(take_off: &TakeOff, id: &str) -> String {
    let line = take_off.lines.iter().find(|l| l.id == id);
    line.map_or_else(|| "none".to_owned(), |l| l.quantity.normalize().to_string())
}

/// The back stands 75 mm up the fall, on 6 mm of toe and a board of 18: 349 less 99 are 250. At the right the roof lies 75
/// lower where it starts. Two walls of 215 at a square corner make each outer edge longer by 215; at its other end the
/// right wall stands free over the drip, and the back one over the raised edge at the left.
#[test]
fn a_wall_round_a_corner_is_as_long_as_its_outer_edge_and_as_high_as_the_roof_lies_low() {
    let (back, right) = (coping(349, 215, "stone", "us"), coping(349, 215, "metal", "us"));
    let take_off = laid_out(&with_walls(&back, &right)).1.take_off;
    let (b, r) = (wall(&take_off, "back"), wall(&take_off, "right"));
    assert_eq!([b.left, b.high, b.long].map(Length::as_mm), [250, 250, 6215]);
    assert_eq!([r.left, r.high, r.long].map(Length::as_mm), [250, 325, 3215]);
    assert_eq!((b.ends, r.ends), ([WallEnd::Turns, WallEnd::Free], [WallEnd::Free, WallEnd::Turns]));
    let carried: Vec<i64> = take_off.roofs[0].shape.sides.iter().map(|s| s.carried.as_mm()).collect();
    assert_eq!(carried, [0, 325 + 18 + 215, 250 + 18 + 215, 60]);
    // 6.215 + 3.215 along; 0.215 across each of two free ends.
    assert_eq!(quantity(&take_off, "parapet.run"), "9.43");
    let outer = |part| {
        let runs = take_off.profiles.iter().flat_map(|p| &p.runs);
        let of = runs.filter(|r| matches!(r.place, RunPlace::Parapet { part: p, .. } if p == part));
        of.map(|r| r.run.as_mm()).collect::<Vec<_>>()
    };
    assert_eq!(outer(OuterEdge::Along), [3215, 6215]);
    assert_eq!((outer(OuterEdge::AtStart), outer(OuterEdge::AtEnd)), (vec![215], vec![215]));
    // Stone at the back: 6.215 × 0.215 m at 0.30 kg/m² of primer and 24 kg/m² a bed.
    assert_eq!(quantity(&take_off, "parapet.primer"), "0.4008675");
    assert_eq!(quantity(&take_off, "coping.mortar"), "32.0694");
    assert_eq!(quantity(&take_off, "coping.dpc"), "6.415");
    // Metal at the right: 3.215 m, brackets at most 0.9 m apart, one free end, the corner is the back wall's.
    assert_eq!(quantity(&take_off, "capping.length"), "3.215");
    assert_eq!(
        (quantity(&take_off, "capping.brackets"), quantity(&take_off, "capping.ends")),
        ("5".into(), "1".into())
    );
    assert_eq!(quantity(&take_off, "seal.temporary"), "none");
    assert_eq!(quantity(&take_off, "flashing.length"), "none");
}

#[test]
fn walls_of_unlike_thickness_meet_where_their_outer_faces_cross() {
    let take_off = laid_out(&with_walls(&coping(349, 330, "stone", "us"), &coping(349, 215, "stone", "us"))).1.take_off;
    assert_eq!((wall(&take_off, "right").long, wall(&take_off, "back").long), (mm(3330), mm(6215)));
}

/// What a high wall beside it has to do with it: the top is turned up against it, and its flashing goes over the top.
#[test]
fn a_wall_that_ends_against_a_higher_one_is_turned_up_there_and_flashed_over() {
    let high = "upstand: 600 mm, flashing: lead";
    let take_off = laid_out(&with_walls(high, &coping(349, 215, "stone", "us"))).1.take_off;
    assert_eq!(wall(&take_off, "right").ends, [WallEnd::Free, WallEnd::Butts]);
    assert_eq!(wall(&take_off, "right").long, mm(3000));
    // 6 m in five pieces of 1.5 m lapped by 0.1 m: 6.4 m; over the top 0.233 m and a lap.
    assert_eq!(quantity(&take_off, "flashing.length"), "6.733");
    assert_eq!(quantity(&take_off, "seal.temporary"), "6");
    let strips = take_off.roofs[0].bandage.iter().filter(|b| b.covers == BandageOver::Parapet);
    // The arris, the outer flange, the joint of two boards of 2.44 m, the free end, the corner against the wall.
    assert_eq!(strips.count(), 5);
}

/// 249 less 99 are 150, as BS 6229 has it (the figure of the check at walls); a millimetre less is told.
#[test]
fn a_wall_at_the_least_height_passes_and_one_lower_is_told_to_installer_and_householder() {
    let told = |height: i64| {
        let text = with_walls(&coping(height, 215, "stone", "us"), "upstand: 600 mm, flashing: lead");
        let demo = demo::work(&asked(&text));
        let (_, laid) = laid_out(&text);
        let found = finding(&laid, "parapet.back").clone();
        assert!(documents(&demo)[0].contains(&found.statement), "{}", found.statement);
        let warned =
            laid.notices().any(|n| n.fault.contains("of the wall that the roof is carried over there is left"));
        (wall(&laid.take_off, "back").left.as_mm(), found.verdict, warned)
    };
    assert_eq!(told(249), (150, Verdict::Pass, false));
    assert_eq!(told(248), (149, Verdict::Fail, true));
}

#[test]
fn a_wall_that_cannot_be_made_is_refused_with_the_cure() {
    let refused = |text: &str| {
        let loaded = load(&asked(text)).unwrap();
        let problems = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, None).unwrap_err();
        problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let high = "upstand: 600 mm, flashing: lead";
    let with = |height: i64| with_walls(&coping(height, 215, "stone", "us"), high);
    laid_out(&with(199));
    let words = refused(&with(198));
    assert!(words.contains("99 mm of the wall is left") && words.contains("raised by a course"), "{words}");
    let words = refused(&with(1199).replace("board: osb3-18-square", "board: osb3-18"));
    assert!(words.contains("more than the board osb3-18 is wide") && words.contains("name a wider board"), "{words}");
    let words = refused(&with(349).replace("board: osb3-18-square", "board: nowhere"));
    assert!(words.contains("no price book says how large the board nowhere is"), "{words}");
    let overflow = ", overflow: {at: 1.2 m, width: 200 mm, height: 75 mm, above: 30 mm}";
    let with = |height: i64| with_walls(&(coping(height, 215, "stone", "us") + overflow), high);
    laid_out(&with(205));
    let words = refused(&with(203));
    assert!(words.contains("the overflow's top lies 105 mm above the roof"), "{words}");
}

#[test]
fn a_coping_takes_no_upstand_flashing_or_sill_beside_it_and_stands_on_a_wall() {
    let faults = |text: &str| -> Vec<String> {
        let problems = match load(&asked(text)) {
            Ok(loaded) => loaded.notices,
            Err(failed) => failed.problems,
        };
        problems.into_iter().filter(|p| p.level == Level::Fault).map(|p| p.fault).collect()
    };
    let high = "upstand: 600 mm, flashing: lead";
    let stone = coping(349, 215, "stone", "us");
    assert_eq!(faults(&with_walls(&stone, high)), [""; 0]);
    let found = faults(&with_walls(&format!("{stone}, upstand: 300 mm, flashing: lead, sill: 200 mm"), high));
    assert_eq!(found.len(), 3, "{found:?}");
    assert!(found[0].contains("`wall_height` says it") && found[2].contains("no door opens"), "{found:?}");
    let raised = lean_to("", "", "").replacen("{finish: raised}", &format!("{{finish: raised, {stone}}}"), 1);
    assert_eq!(faults(&raised), ["a coping covers a wall of limited height: at an edge with `finish: wall` only"]);
    let unsaid = faults(&with_walls("coping: {wall_height: 300 mm}", high));
    assert_eq!(unsaid.len(), 2, "{unsaid:?}");
}

#[test]
fn what_others_cover_is_told_waited_for_and_not_priced() {
    let high = "upstand: 600 mm, flashing: lead";
    let demo = demo::work(&asked(&with_walls(&coping(349, 215, "stone", "others"), high)));
    for id in ["coping.off", "coping.on", "coping.mortar", "coping.dpc"] {
        assert_eq!(quantity(&demo.take_off, id), "none", "{id}");
    }
    // The roof still goes over the top, levelled and primed, to its outer trim.
    assert_eq!(quantity(&demo.take_off, "parapet.run"), "6");
    assert_ne!(quantity(&demo.take_off, "parapet.mortar"), "none");
    let [quote, method] = documents(&demo);
    assert!(quote.contains("Others lift what lies on the wall before we start"), "{quote}");
    assert!(method.contains("Others lift what lies on the parapets"), "{method}");
    assert!(method.contains("no screw through it that is not sealed"), "{method}");
}

/// The tops of two walls measured alike from the old surface lie level; one 20 mm higher is still mitred, one 21 mm is not.
#[test]
fn covered_walls_whose_tops_do_not_meet_are_refused_with_the_difference_and_the_corner() {
    let job = |back: i64| with_walls(&coping(back, 215, "stone", "us"), &coping(349, 215, "stone", "us"));
    laid_out(&job(369));
    let loaded = load(&asked(&job(370))).unwrap();
    let problems = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded))
        .unwrap_err();
    let [one] = &problems[..] else { panic!("{problems:?}") };
    assert_eq!(one.place.to_string(), "roofs[0].edges.back.coping.wall_height");
    assert!(one.fault.contains("the walls at `right` and `back` differ by 21 mm at corner 3"), "{}", one.fault);
    assert!(one.cure.contains("the lower one raised"), "{}", one.cure);
}

/// The hole goes through what lines the wall: the wall is lined before, and nothing is laid over the chute's flange.
#[test]
fn a_parapet_is_lined_before_the_overflow_in_it_is_made() {
    let overflow = ", overflow: {at: 1.2 m, width: 200 mm, height: 75 mm, above: 30 mm}";
    let job = with_walls(&(coping(349, 215, "stone", "us") + overflow), "upstand: 600 mm, flashing: lead");
    let [_, method] = documents(&demo::work(&asked(&job)));
    let order = method.split("Fix in this order").nth(1).unwrap();
    let [lined, made] = ["Parapets lined", "Overflow: "].map(|words| order.find(words).unwrap());
    assert!(lined < made, "{order}");
    assert!(order.contains("hole is cut through the lining too, its flange goes on it"), "{order}");
}

/// A bead on a lining would keep the mat off it, which goes on up there; a box gutter's lining ends on the bare wall until that is
/// flashed, days later.
#[test]
fn the_seal_until_the_flashing_is_told_at_walls_and_at_the_gutter_and_not_on_a_lining() {
    let method = |job: &str| documents(&demo::work(&demo::request(job)))[1].clone();
    let parapet = method("parapet");
    let (before, lined) = parapet.split_once("Box gutter first: bandage").unwrap();
    let (_, fillet) = before.split_once("Fix in this order").unwrap();
    assert!(fillet.contains("Its top is sealed the same day, but not on a parapet"), "{fillet}");
    assert!(fillet.contains("lining: the laminate goes on up that."), "{fillet}");
    assert!(lined.contains("Its top there is sealed the same day, once hard, until the flashing is on."), "{lined}");
    let plain = method("kitchen-extension");
    assert!(plain.contains("Its top is sealed the same day."), "{plain}");
    assert_eq!(plain.matches("sealed the same day").count(), 1, "{plain}");
}

/// Walls all round hold water: it would leave over the lowest top, which is the covered wall's, not the fillet's.
#[test]
fn water_held_by_walls_leaves_over_the_top_of_the_one_that_is_covered() {
    let high = "{finish: wall, upstand: 600 mm, flashing: lead}";
    let stone = coping(349, 215, "stone", "us");
    let walls = lean_to("", "    outlet: {at: [3 m, 0.3 m], size: 75 mm, head: 35 mm}\n", "")
        .replace("{finish: raised}", &format!("{{finish: wall, {stone}}}"))
        .replace("back: {finish: wall, upstand: 600 mm, flashing: lead}", &format!("back: {{finish: wall, {stone}}}"))
        .replace("front: {finish: drip}", &format!("front: {high}"));
    let (_, laid) = laid_out(&walls);
    // At the front the fillet's laminate ends at 100 mm; once that is covered too, 325 mm are left there: 349 less 24.
    assert!(
        finding(&laid, "overflow").statement.contains("100 mm deep at the low side"),
        "{:?}",
        finding(&laid, "overflow")
    );
    let all = walls.replace(&format!("front: {high}"), &format!("front: {{finish: wall, {stone}}}"));
    let (_, laid) = laid_out(&all);
    assert!(
        finding(&laid, "overflow").statement.contains("325 mm deep at the low side"),
        "{:?}",
        finding(&laid, "overflow")
    );
}

#[test]
fn the_section_over_a_parapet_names_every_layer_that_is_bought_and_laid() {
    let rules = Rules::default();
    let build = Build { flashing: Flashing::Lead, ..Build::new(&rules, mm(18)) };
    let drawn = |cover: Cover, left: i64, by: By| {
        let coped = CopedWall {
            left: mm(left),
            high: mm(left),
            width: mm(215),
            lining: mm(11),
            cover,
            by,
            ends: [WallEnd::Free; 2],
            longer: [mm(0); 2],
            long: mm(3000),
        };
        let figure = sections::draw(Finish::Wall, Build { coped: Some(coped), ..build });
        assert!(figure.scene.width <= sections::ON_SITE && figure.scene.height <= 340.0, "{cover:?}");
        figure.alt
    };
    let stone = drawn(Cover::Stone, 233, By::Us);
    for part in [
        "coping stone bedded again",
        "mortar bed",
        "damp-proof course",
        "laminate up the lining",
        "primed",
        "wall fillet",
    ] {
        assert!(stone.contains(part), "{part}: {stone}");
    }
    assert!(
        stone.contains("lining 11 mm") && stone.contains("drip trim on adhesive") && stone.contains("on the arris")
    );
    let metal = drawn(Cover::Metal, 140, By::Others);
    assert!(metal.contains("metal capping over both faces, its fall to the roof, by others"), "{metal}");
    assert!(metal.contains("top board 11 mm") && metal.contains("bracket every 900 mm") && metal.contains("LESS than"));
    assert!(!metal.contains("primed") && !metal.contains("mortar"), "{metal}");
}

/// The demo behind a parapet: stones at the right, a metal capping at the left, a box gutter at the front.
#[test]
fn the_crew_reads_of_what_lies_over_the_ends_what_burns_and_when_the_deck_is_signed() {
    let job = demo::work(&demo::request("parapet"));
    let [quote, method] = documents(&job);
    // 215 mm and the lining of 11 lie under each piece, which laps 100.
    let leads = "; over the ends of the parapets at left and right, once those are covered, one more piece each, 326 mm long, its chase";
    assert_eq!(method.matches(leads).count(), 2, "two pieces at each of two walls are ordered: {method}");
    for told in ["Masonry primer.", "Wet mortar (cement).", "Primer, not cured, ", "Mortar, broken stone, "] {
        assert!(method.contains(told), "{told}: {method}");
    }
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    at("Box gutter built, deck dry, sound, swept: signed");
    // What lies over the tops of walls is there before the lead that goes over its ends.
    assert!(at("Metal capping:") < at("Chase the bed joint"), "{method}");
    // Each board of the linings stands in a list, with the board that it comes from.
    assert!(at("Linings to cut") < at("Taller end, mm"), "{method}");
    // What the customer promises to have is seen before anything is opened.
    for first in [
        "consent in writing, and any notice that is due, where the low walls at right and left are shared",
        "word in writing that the opening for the overflow may be cut",
        "outlet runs into, in its place",
    ] {
        assert!(at(first) < at("Edges guarded, ground below roped off"), "{method}");
    }
    assert!(method.contains("No more bare than is sheeted down tonight."), "{method}");
    // Each piece of the gutter's lining is told with the place at which it begins.
    let lining = &job.take_off.roofs[0].box_gutters[0].mat;
    assert!(lining.len() > 2 && lining.iter().any(|p| p.at > mm(0)), "{lining:?}");
    at("counted from the top of its end at the left.");
    // No end joint of the second layer lies within 300 mm of one beneath it.
    let along = || lining.iter().filter(|p| p.over.is_none());
    let joints = |layer: usize| along().filter(move |p| p.layer == layer && p.at > mm(0)).map(|p| p.at.as_mm());
    assert!(joints(1).count() > 0 && joints(1).all(|a| joints(0).all(|b| (a - b).abs() >= 300)), "{lining:?}");
    for p in along() {
        at(&format!("{}\n{}\n{}\n{} × {}", p.mark, p.layer + 1, p.at.as_mm(), p.length.as_mm(), p.width.as_mm()));
    }
    assert!(quote.contains("We set a new outlet into the gutter, join it"), "{quote}");
    assert_eq!(quote.matches("Leaves must be cleared").count(), 1, "{quote}");
    // A capping alone needs neither primer nor mortar; a wall that ends free has no lead over its end.
    let metal = lean_to("", "", "").replace(
        "{finish: wall, upstand: 600 mm, flashing: lead}",
        &format!("{{finish: wall, {}}}", coping(349, 215, "metal", "us")),
    );
    let bare = documents(&demo::worked(load(&asked(&metal)).unwrap()).unwrap())[1].clone();
    for no in ["Masonry primer", "Wet mortar", "Primer, not cured", "one more piece"] {
        assert!(!bare.contains(no), "{no}: {bare}");
    }
    assert!(bare.contains("Deck dry, sound, swept: signed"), "{bare}");
}

/// The tops of the walls at a gutter's ends are fresh mortar, or bare, when the gutter is lined: its lining ends at them, and strips over
/// the tops close it, layer by layer, on the day of the roof's strip beside them, when they are dry, lined and their outer trims are on.
#[test]
fn a_gutters_lining_is_closed_over_the_walls_at_its_ends_when_their_tops_are_ready() {
    let job = demo::work(&demo::request("parapet"));
    let (programme, roof) = (&job.programme, &job.take_off.roofs[0]);
    let gutter = &roof.box_gutters[0];
    let day_of =
        |mark: &str| programme.days.iter().find(|day| day.strips.iter().any(|s| s.mark == mark)).unwrap().number;
    let levelled = programme.days.iter().find(|day| day.work.iter().any(|(i, _)| programme.work[*i].levels_tops()));
    let (lined, closing): (Vec<_>, Vec<_>) = gutter.mat.iter().partition(|p| p.over.is_none());
    assert_eq!(lined.iter().map(|p| day_of(&p.mark)).collect::<Vec<_>>(), [1, 1, 1]);
    assert_eq!(levelled.unwrap().number, 1);
    // By hand: the end boards go as high as the walls, 226 mm lie over each top, and 50 mm lap; 300 mm of gutter between two boards of
    // 18 mm, and the lap onto the roof's mat.
    assert_eq!(
        closing.iter().map(|p| (p.layer, p.over)).collect::<Vec<_>>(),
        [(0, Some(0)), (0, Some(1)), (1, Some(0)), (1, Some(1))]
    );
    assert!(closing.iter().all(|p| (p.length, p.width) == (mm(386), mm(276))), "{closing:?}");
    let ends: i64 = roof.shape.sides.iter().filter_map(|side| side.coped).map(|wall| wall.high.as_mm()).sum();
    let along = gutter.run.as_mm() + gutter.depths[0].as_mm() + gutter.depths[2].as_mm() + ends;
    assert_eq!(lined.iter().filter(|p| p.layer == 0).map(|p| (p.at + p.length).as_mm()).max(), Some(along));
    let beside = day_of("1");
    assert!(beside > 1 && closing.iter().all(|p| day_of(&p.mark) == beside), "{:?}", programme.days);
    let [_, method] = documents(&job);
    for told in [
        "built and lined, at the ends to the wall tops and no further",
        "Day 2: The gutter’s lining is closed over the wall tops: G14, G15, G16 and G17.",
        "G14, G15, G16 and G17 over the tops come with the roof’s strip beside them",
        "G14\n1\n–\n386 × 276\nover the wall top where it begins",
    ] {
        assert!(method.contains(told), "{told}: {method}");
    }
}

/// Where a gutter is coated with strips of its roof, both are named on that day, and its pot is one of that day's.
#[test]
fn a_box_gutter_is_named_on_the_day_on_which_it_is_coated() {
    let parapet = crate::demo::work(&crate::demo::request("parapet"));
    let coat = parapet.programme.coats.iter().find(|coat| coat.box_gutters).unwrap();
    let [_, method] = documents(&parapet);
    let said = format!("day {}: the box gutter, strips 1 and 2; ", coat.day);
    assert!(method.contains(&said), "{said}: {method}");
    let plan = parapet.programme.pots.as_ref().unwrap();
    let of_gutter = plan.topcoat.iter().flat_map(|pot| &pot.parts).filter(|p| p.coat == Some(PotCoat::BoxGutter));
    assert!(of_gutter.map(|part| part.day).collect::<Vec<_>>() == [Some(coat.day)]);
}

/// A bare top is levelled with mortar: the office is told once for each such wall when that is taken to be dry, and the crew where
/// the laminate ends until it is. A top with a board takes none.
#[test]
fn mortar_that_must_harden_is_told_to_the_office_and_to_the_crew() {
    for (cover, walls) in [("stone", 1), ("metal", 0)] {
        let request = demo::request("parapet");
        let text =
            String::from_utf8(request.bytes.clone()).unwrap().replace("cover: stone", &format!("cover: {cover}"));
        let demo = demo::work(&Request { bytes: text.into_bytes(), ..request });
        let checked = check(&demo.loaded.job, &demo.take_off, &demo.loaded.rules, &demo.loaded.products);
        let told: Vec<String> = checked.notices.into_iter().map(|n| n.fault).filter(|f| f.contains("mortar")).collect();
        assert_eq!(told.len(), walls, "{told:?}");
        assert!(
            told.iter().all(|fault| fault.contains("on the right") && fault.contains("dry after 16 h")),
            "{told:?}"
        );
        let [_, method] = documents(&demo);
        assert_eq!(
            method.contains("Hard and dry before primer, 16 hours at least: until then the laminate ends at its inner"),
            walls > 0
        );
    }
}

/// The wall's top is level and the roof rises 1:40 along it: 2900 mm of it, 73 mm. The lining is cut to both heights.
#[test]
fn a_lining_along_the_fall_is_given_by_both_its_heights() {
    let job = demo::work(&demo::request("parapet"));
    let roof = &job.take_off.roofs[0];
    let lining = &roof.parapets[0];
    let faces: Vec<_> = lining.boards.iter().filter(|b| !b.top).collect();
    let heights = |b: &&LiningBoard| roof.lining_heights(lining.side, b);
    let least = faces.iter().filter_map(heights).map(|(_, least)| least).min().unwrap();
    assert_eq!(faces[0].width - least, mm(73));
    let [_, method] = documents(&job);
    // 2440 mm of the 2900 take 61 of the 73 mm; a board begins as high as the one before it ends.
    let told = [
        ("Right", "L1\nface\n2440\n324\n263\n1\nL2\nface\n460\n263\n251\n"),
        // Both walls come out of one board.
        ("Left", "L3\nface\n2440\n312\n251\n1\nL4\nface\n460\n324\n312\n1\n"),
    ];
    let (_, list) = method.split_once("Linings to cut").unwrap();
    for (side, cut) in told {
        let (_, of_side) = list.split_once(&format!("\n{side}\n")).unwrap_or_else(|| panic!("{side}: {list}"));
        assert!(of_side.trim_start().starts_with(cut), "{side}: {cut}: {of_side}");
    }
}

/// What a job waits for stands in the list of what the customer sees to, and is ticked with the acceptance; the walls' sizes are said
/// once, in a sentence, and each cover by itself.
#[test]
fn what_the_neighbour_and_the_engineer_must_say_first_is_asked_of_the_customer() {
    let [quote, _] = documents(&demo::work(&demo::request("parapet")));
    let waits = [
        "Your neighbour's consent in writing, and any notice that is due, where the low walls at right and left are shared",
        "An engineer's word in writing that the opening for the overflow may be cut",
        "The rainwater pipe that the new box gutter's outlet runs into, in its place",
    ];
    let straight = quote.replace('’', "'");
    let (_, after) = straight.split_once("What we need from you").unwrap();
    let (needs, accepted) = after.split_once("Acceptance").unwrap();
    for line in waits {
        assert!(needs.contains(&format!("{line}, before we start")), "{line}: {needs}");
    }
    // Whoever signs speaks for themselves, in one sentence.
    let signed = [
        "my neighbour's consent in writing, and any notice that is due, where the low walls at right and left are shared",
        "an engineer's word in writing that the opening for the overflow may be cut",
        "the rainwater pipe that the new box gutter's outlet runs into, in its place",
    ];
    let done = "I see to it that this is done before you start: ";
    assert!(accepted.contains(&format!("{done}{}.", signed.join("; "))), "{accepted}");
    assert!(
        quote.contains("In England and Wales the Party Wall etc. Act 1996 may want a notice from you first"),
        "{quote}"
    );
    assert!(straight.contains("it carries 9.342 l/s along its longer way to the outlet, 4.12 m"), "{straight}");
    assert!(
        quote.contains("Over the low walls (parapets): right and left. Each stands 251 mm above the new roof"),
        "{quote}"
    );
    assert!(quote.contains("Stones at the right.") && quote.contains("Metal at the left."), "{quote}");

    let [plain, _] = documents(&demo::work(&demo::request("kitchen-extension")));
    assert!(!plain.contains("before we start, in") && !plain.contains("done before you start"), "{plain}");
    assert!(!plain.contains("Party Wall"), "{plain}");
    let [two, _] = documents(&demo::work(&demo::request("neighbours")));
    let sizes = "he sizes of the timbers round the rooflight confirmed in writing by whoever answers for the structure (No. 14)";
    assert_eq!(two.matches(sizes).count(), 2, "{two}");
    // Scaffold that others put up, and joists that are to lie bare, are seen to with the rest.
    let [bay, _] = documents(&demo::work(&demo::request("bay")));
    let (_, accepted) = bay.split_once("Acceptance").unwrap();
    assert!(accepted.contains(&format!("{done}scaffold or edge protection up; any old covering off")), "{accepted}");
}

/// Wet cement burns: whoever orders mortar has it among what is hazardous, with a sheet asked for.
#[test]
fn mortar_is_ordered_as_what_burns_the_skin() {
    let job = demo::work(&demo::request("parapet"));
    let mortar = job.pricing.orders.iter().flat_map(|order| &order.lines).find(|line| line.role == "mortar").unwrap();
    assert!(mortar.hazard.as_ref().is_some_and(|hazard| hazard.contains("cement")), "{:?}", mortar.hazard);
}

/// A garage's roof, so wide and 6 m deep, between three low walls of 215 mm under stones, left over its drip.
fn between_walls(width: i64) -> String {
    let stone = coping(260, 215, "stone", "us");
    let more = "strip: {covering: felt, tip: skip}\nflashing: us\n\
                conditions: {air: 8 C to 14 C, humidity: 75 %, surface: 9 C}\n";
    lean_to("", "", more)
        .replace("width: 6.0 m, depth: 3.0 m", &format!("width: {width} mm, depth: 6.0 m"))
        .replace("{finish: wall, upstand: 600 mm, flashing: lead}", &format!("{{finish: wall, {stone}}}"))
        .replace("{finish: raised}", &format!("{{finish: wall, {stone}}}"))
        .replace("fall: 1:40", "fall: existing 1:60")
        .replace("{action: new, board: osb3-18}", "{action: overlay, board: osb3-11}")
}

/// Strips run up the fall. The last one lies on the top of the right
/// wall alone. That wall is opened, lined and trimmed with the last of the roof, and its water runs down onto the roof: so the strip is laid
/// on that day, after the one inside it and over it.
#[test]
fn a_strip_on_the_top_of_a_parapet_alone_is_laid_with_the_one_inside_it_and_over_it() {
    let mut found = 0;
    for width in [2900, 3000, 3050, 3100] {
        let text = between_walls(width);
        let job = demo::work(&asked(&text));
        let roof = &job.take_off.roofs[0];
        assert!(roof.mat.up_the_fall);
        let day_of = |piece: &MatPiece| {
            let lays = |day: &&wetout::programme::Day| day.strips.iter().any(|strip| strip.mark == piece.mark);
            job.programme.days.iter().find(lays).map(|day| day.number)
        };
        let is_beyond = |p: &MatPiece| p.ring.iter().all(|at| at.x <= 0) || p.ring.iter().all(|at| at.x >= width);
        for top in roof.mat.pieces.iter().filter(|p| is_beyond(p)) {
            found += 1;
            let inside = || roof.mat.pieces.iter().filter(|p| p.number.abs_diff(top.number) == 1);
            assert!(inside().all(|p| p.order < top.order), "{width}: {}", top.mark);
            assert_eq!(day_of(top), inside().map(day_of).max().unwrap(), "{width}: {}", top.mark);
        }
    }
    assert!(found > 0);
}

/// A roof behind a parapet, with house walls on its three other sides: one leaves over the parapet, on a board clear of its wet top, and
/// what is assumed names it. With an open side that is taken instead.
#[test]
fn a_roof_behind_a_parapet_is_left_over_it_before_a_house_wall_and_it_is_named() {
    let outlet = "    outlet: {at: [2.5 m, 0.20 m], size: 75 mm, head: 35 mm}\n";
    let wall = "{finish: wall, upstand: 600 mm, flashing: lead}";
    let behind = lean_to("", outlet, "")
        .replace("{finish: drip}", &format!("{{finish: wall, {}}}", coping(380, 215, "metal", "us")))
        .replace("{finish: raised}", wall);
    let taken = |text: &str| {
        let (loaded, laid) = laid_out(text);
        let shape = &laid.take_off.roofs[0].shape;
        let assumed = loaded.notices.iter().find(|n| n.fault.contains("where the crew leaves the roof is not said"));
        (shape.sides[shape.way_off].label.clone(), assumed.unwrap().fault.split_once(": ").unwrap().1.to_owned())
    };
    assert_eq!(taken(&behind), ("front".into(), "`front` is taken, over its parapet, since no edge is open".into()));
    let told = documents(&demo::work(&asked(&behind)))[1].clone();
    assert!(told.contains("over the parapet, on a board clear of its wet top"), "{told}");
    let open = behind.replace(&format!("left: {wall}"), "left: {finish: raised}");
    assert_eq!(taken(&open), ("left".into(), "`left` is taken, of its open edges the furthest up the fall".into()));
    let walls = behind.replace(&format!("{{finish: wall, {}}}", coping(380, 215, "metal", "us")), wall);
    assert_eq!(taken(&walls).1, "`back` is taken, the furthest up the fall, since no edge is open");
}

/// Eighteen marks stand round a roof of 3 × 6 m: its trims are drawn at 1:75 or larger, and the cut list goes to the next page.
#[test]
fn the_trims_of_a_long_narrow_roof_are_drawn_large_enough_for_their_marks() {
    let job = demo::work(&asked(&between_walls(3000)));
    let crew = method::part(MethodPart::Crew, &job.worked(), &built_in_words()).unwrap();
    let trims = figures(&crew).into_iter().find(|figure| figure.alt.starts_with("Trims")).unwrap();
    assert!(trims.scene.scale.unwrap() <= 75.0, "{:?}", trims.scene.scale);
}

/// The boards that pieces of some linings or of one gutter are sawn from, with what they are sawn out of.
struct SawnSet {
    what: String,
    pieces: Vec<(i64, i64)>,
    board: (i64, i64),
    bought: usize,
    proven: bool,
}

fn sawn_sets(name: &str, take_off: &TakeOff, products: &Products) -> Vec<SawnSet> {
    let size = |key: &str| (products.boards[key].length.as_mm(), products.boards[key].width.as_mm());
    let linings = || take_off.roofs.iter().flat_map(|roof| &roof.parapets);
    let kinds: BTreeSet<&str> = linings().map(|lining| lining.board.as_str()).collect();
    let mut sets: Vec<SawnSet> = Vec::new();
    for kind in kinds {
        let of = || linings().filter(|lining| lining.board == kind);
        sets.push(SawnSet {
            what: format!("{name}, linings of {kind}"),
            pieces: of().flat_map(|l| &l.boards).map(|b| (b.length.as_mm(), b.width.as_mm())).collect(),
            board: size(kind),
            bought: of().map(|lining| lining.opened).sum(),
            proven: of().all(|lining| lining.proof.is_proven()),
        });
    }
    let gutters = take_off.roofs.iter().flat_map(|roof| &roof.box_gutters);
    sets.extend(gutters.map(|gutter| SawnSet {
        what: format!("{name}, a gutter"),
        pieces: gutter.boards.iter().map(|b| (b.length.as_mm(), b.width.as_mm())).collect(),
        board: size(&gutter.board),
        bought: gutter.bought,
        proven: gutter.proof.is_proven(),
    }));
    sets
}

/// Whether pieces come out of so many boards: each is put on each board in turn.
fn come_out_of(set: &SawnSet, boards: usize, kerf: i64) -> bool {
    fn place(set: &SawnSet, kerf: i64, n: usize, on: &mut Vec<Vec<(i64, i64)>>) -> bool {
        let Some(&piece) = set.pieces.get(n) else { return true };
        (0..on.len()).any(|board| {
            // Boards with nothing on them are alike.
            if on[..board].iter().any(Vec::is_empty) {
                return false;
            }
            on[board].push(piece);
            let fits = come_out(&on[board], set.board.0, set.board.1, kerf) && place(set, kerf, n + 1, on);
            if !fits {
                on[board].pop();
            }
            fits
        })
    }
    place(set, kerf, 0, &mut vec![Vec::new(); boards])
}

/// Copings of several heights and thicknesses round two sides of a roof, and every job that lines a wall or boards a gutter: no sawing of
/// the pieces from edge to edge, however it is begun, takes a board fewer than are proven to be the fewest.
#[test]
fn boards_that_are_proven_to_be_the_fewest_are_the_fewest() {
    let mut sets: Vec<SawnSet> = Vec::new();
    let mut rules = Rules::default();
    for (name, job) in every_job() {
        sets.extend(sawn_sets(&name, &job.take_off, &job.loaded.products));
    }
    for (height, width) in [(249, 102), (269, 215), (289, 140), (309, 102), (349, 102), (389, 140), (429, 215)] {
        for (back, right) in [("stone", "stone"), ("metal", "stone"), ("stone", "metal")] {
            let text = with_walls(&coping(height, width, back, "us"), &coping(height, width, right, "us"));
            let (loaded, laid) = laid_out(&text);
            sets.extend(sawn_sets(&format!("{height} {width} {back} {right}"), &laid.take_off, &loaded.products));
            rules = loaded.rules;
        }
    }
    let kerf = rules.board_kerf.as_mm();
    let (mut tried, mut together) = (0, 0);
    for set in sets.iter().filter(|set| set.pieces.len() <= 8) {
        assert!(come_out_of(set, set.bought, kerf), "{}: {:?} out of {}", set.what, set.pieces, set.bought);
        assert!(set.proven, "{}: {:?} out of {}", set.what, set.pieces, set.bought);
        if set.bought > 1 {
            assert!(
                !come_out_of(set, set.bought - 1, kerf),
                "{}: {:?} out of {}",
                set.what,
                set.pieces,
                set.bought - 1
            );
            tried += 1;
        }
        together += 1;
    }
    assert!(tried > 10 && together > 15, "{tried} of {together}");
}
