//! Box gutters through a job file: what is refused, what is told, and what their checks say.

use crate::support::{asked, finding, laid_out, mm};
use wetout::checks::box_gutters::freeboard;
use wetout::checks::finding::Verdict;
use wetout::documents::DocumentKind;
use wetout::job_file::load;
use wetout::model::LineId;
use wetout::takeoff::layout::box_gutter::GutterPart;

const JOB: &str = include_str!("jobs_for_sweep/parapet.yaml");
const GUTTER: &str = "box_gutter: {width: 290 mm, depth: 120 mm, fall: 1:90, outlet: {at: 0.7 m, size: 75 mm, head: 50 mm, strainer: yes}, board: osb3-18, depth_factor: 0.8}";
const OVERFLOW: &str = "        overflow: {at: 2.0 m, width: 200 mm, height: 70 mm, above: 36 mm}\n";

fn refused(text: &str) -> Vec<String> {
    load(&asked(text)).unwrap_err().problems.iter().map(ToString::to_string).collect()
}

fn told(text: &str) -> Vec<String> {
    let (_, laid) = laid_out(text);
    laid.notices().map(ToString::to_string).collect()
}

/// BS EN 12056-3, table of freeboards, from memory: under 85 mm 25 mm, to 250 mm 0.3 of the depth, over that 75 mm.
#[test]
fn a_gutter_keeps_the_freeboard_of_the_standard() {
    for (depth, dry) in [(50, 25), (84, 25), (85, 26), (100, 30), (250, 75), (251, 75), (500, 75)] {
        assert_eq!(freeboard(mm(depth)), mm(dry), "{depth}");
    }
}

/// By hand: 4.4 × 1.8 m and half of 4 m² of wall shed (7.92 + 2.0) × 0.021, and 4.4 × 0.29 m of gutter 0.0268 l/s more:
/// 0.235 l/s. 120 mm less 36 of freeboard leave 84 mm of water: 0.9 × 3.48e-5 × 0.8 × (290 × 84)^1.25 = 7.623 l/s, level
/// and short: 3.7 m are 44 depths (BS EN 12056-3, from memory).
#[test]
fn a_box_gutter_is_judged_by_the_formula_of_every_other_gutter() {
    let (_, laid) = laid_out(JOB);
    let found = finding(&laid, "gutter.front");
    assert_eq!(found.verdict, Verdict::Pass);
    assert!(found.statement.contains("0.235 l/s comes"), "{}", found.statement);
    let carries: f64 = found.statement.split("it carries ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let by_hand = 0.9 * 3.48e-5 * 0.8 * (290.0_f64 * 84.0).powf(1.25);
    assert!((carries / by_hand - 1.0).abs() < 0.001, "{carries} {by_hand}");
    let without = JOB.replace(", depth_factor: 0.8}", "}");
    assert_eq!(finding(&laid_out(&without).1, "gutter.front").verdict, Verdict::Refer);
    assert!(told(&without).iter().any(|n| n.contains("box_gutter.depth_factor")), "{:?}", told(&without));
}

/// The sole lies 120 mm down at the far end, 3.7 m from the outlet, and falls 1:90: 41.1 mm more at the outlet, up to a
/// whole millimetre.
#[test]
fn the_sole_falls_to_the_outlet_from_both_ends() {
    let (_, laid) = laid_out(JOB);
    let gutter = &laid.take_off.roofs[1].box_gutters[0];
    assert_eq!(gutter.depths, [mm(154), mm(162), mm(120)]);
    assert_eq!(
        (gutter.depth_at(mm(700)), gutter.depth_at(mm(4400)), gutter.depth_at(mm(0))),
        (mm(162), mm(120), mm(154))
    );
}

#[test]
fn an_overflow_of_a_gutter_runs_before_the_roof_does() {
    let (_, laid) = laid_out(JOB);
    let found = finding(&laid, "gutter.front.overflow");
    // Its sill: 162 − 148 of fall + 36 above the sole there; 200 × h^1.5 ÷ 24000 reaches 0.235 l/s at 9.3 mm.
    assert!(found.verdict == Verdict::Pass && found.statement.contains("stands 60 mm deep at the outlet"), "{found:?}");
    let none = JOB.replace(OVERFLOW, "");
    assert_eq!(finding(&laid_out(&none).1, "gutter.front.overflow").verdict, Verdict::Refer);
    assert!(told(&none).iter().any(|n| n.contains("one outlet and no overflow")), "{:?}", told(&none));
    let high = JOB.replace("height: 70 mm, above: 36 mm", "height: 70 mm, above: 145 mm");
    let found = finding(&laid_out(&high).1, "gutter.front.overflow").clone();
    assert!(found.verdict == Verdict::Fail && found.statement.contains("runs back onto the roof"), "{found:?}");
}

/// Water stands no deeper at an outlet than to where it begins to leave by the overflow: 162 − 148 + 20 = 34 mm.
#[test]
fn the_outlet_of_a_gutter_is_judged_with_no_more_water_than_the_overflow_lets_stand() {
    for (job, water) in [(JOB.to_owned(), "50 mm"), (JOB.replace("above: 36 mm", "above: 20 mm"), "34 mm")] {
        let (_, laid) = laid_out(&job);
        let found = finding(&laid, "gutter.front.outlet");
        assert!(found.statement.contains(&format!("with {water} of water over it")), "{}", found.statement);
    }
}

#[test]
fn what_cannot_be_laid_is_refused_with_its_cure() {
    let with = |change: &str| JOB.replace(GUTTER, change);
    let missing = refused(&with("joints: lapped"));
    assert!(missing.iter().any(|p| p.contains("needs the box gutter's sizes")), "{missing:?}");
    let at = refused(&with(&GUTTER.replace("at: 0.7 m", "at: 4.39 m")));
    assert!(at[0].contains("does not lie within the gutter") && at[0].contains("from 38 mm to 4362 mm"), "{at:?}");
    let large =
        refused(&with(&GUTTER.replace("width: 290 mm", "width: 100 mm").replace("size: 75 mm", "size: 110 mm")));
    assert!(large[0].contains("does not go into a sole 100 mm wide"), "{large:?}");
    let at_wall = refused(&JOB.replace("        finish: gutter", "        finish: wall"));
    assert!(at_wall.iter().any(|p| p.contains("`finish: gutter`")), "{at_wall:?}");
    let (start, gutters) = JOB.split_once("  - name: Gutter roof").unwrap();
    let away =
        refused(&format!("{start}  - name: Gutter roof{}", gutters.replace("falls_to: front", "falls_to: back")));
    assert!(away.iter().any(|p| p.contains("does not fall to `front`")), "{away:?}");
    let turned =
        refused(&JOB.replace("      left: {finish: raised}", &format!("      left: {{finish: gutter, {GUTTER}}}")));
    assert!(turned.iter().any(|p| p.contains("not laid round a corner")), "{turned:?}");
}

#[test]
fn a_part_wider_than_its_board_is_refused_when_it_is_laid() {
    let text = JOB.replace("depth: 120 mm", "depth: 480 mm");
    let loaded = load(&asked(&text)).unwrap();
    let refused = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, None).unwrap_err();
    assert!(refused[0].to_string().contains("its parapet side is 622 mm high"), "{refused:?}");
}

/// The demo's sole is cut from boards of 2400 mm; its bearers stand 385 mm apart, and one stands under the joint. The sides' joints
/// keep a bearer's space from it, and the list says where each piece begins.
#[test]
fn a_joint_of_a_sole_lies_on_a_bearer_and_those_of_the_sides_keep_off_it() {
    let demo = crate::demo::work(&crate::demo::request("parapet"));
    let gutter = &demo.take_off.roofs[0].box_gutters[0];
    let joints = |part: GutterPart| -> Vec<i64> {
        let of_part = gutter.boards.iter().filter(|b| b.part == part && b.at > mm(0));
        of_part.map(|b| b.at.as_mm()).collect()
    };
    assert_eq!(joints(GutterPart::Sole), [2400]);
    assert!(gutter.bearers.iter().any(|b| b.at == mm(2400)), "{:?}", gutter.bearers);
    for part in [GutterPart::NearCheek, GutterPart::FarCheek] {
        let at = joints(part);
        assert!(!at.is_empty() && at.iter().all(|at| (at - 2400).abs() >= 400), "{at:?}");
    }
    let method = crate::falls::words(&demo, DocumentKind::Method);
    assert!(method.contains("A bearer stands under each joint of the sole."), "{method}");
}

/// By hand, for the demo's sole of 300 mm between sides of 18, 4.62 m long before joists 400 mm apart: bearers of 336 mm; a ledger on
/// the joists' ends with two screws at each of 13, and one on the parapet with a plug at each of 17 places 300 mm apart.
#[test]
fn the_bearers_of_a_box_gutter_lie_on_a_ledger_at_each_end() {
    let demo = crate::demo::work(&crate::demo::request("parapet"));
    let gutter = &demo.take_off.roofs[0].box_gutters[0];
    assert_eq!(gutter.bearer, mm(336));
    assert_eq!(gutter.ledgers(mm(4800)), [mm(4620), mm(4620)]);
    assert_eq!(gutter.ledgers(mm(3000)), [mm(2310); 4]);
    let quantity = |id: LineId| {
        let lines = demo.take_off.lines.iter().filter(|line| line.id == id);
        lines.map(|line| line.quantity.normalize().to_string()).collect::<Vec<_>>()
    };
    assert_eq!(quantity(LineId::BoxLedgers), ["9.24"]);
    assert_eq!(quantity(LineId::LedgerFixings), ["26"]);
    assert_eq!(quantity(LineId::LedgerPlugs), ["17"]);
    let method = crate::falls::words(&demo, DocumentKind::Method);
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    assert!(at("Ledgers: bearers lie on one at each end.") < at("from ledger to ledger"), "{method}");
    for part in ["ledger screwed to the joists’ ends: bearers lie on it", "ledger plugged to the parapet every 300 mm"]
    {
        at(part);
    }
    // What the crew sets is the bearer's own top, the sole's thickness below the sole's.
    let down = gutter.bearers[0].down;
    at(&format!(" 0 {} {} ", (down + mm(18)).as_mm(), down.as_mm()));
}

/// The demo's gutter is lined on day 1, before there is a deck: half of what lies over its lip would hang in the air.
#[test]
fn a_lip_is_bandaged_once_there_is_a_deck_behind_it() {
    let method = crate::falls::words(&crate::demo::work(&crate::demo::request("parapet")), DocumentKind::Method);
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    assert!(
        at("bandage every arris and every joint, but not the lip.") < at("The lip on the day of the strip beside it")
    );
    at("over the lip with the deck");
    assert!(!method.contains("bandage the lip, every arris"), "{method}");
}

/// The tops of the walls at its ends lie 335 mm above the roof at the gutter (the metal one has a board of 11), and the laminate is
/// turned 100 mm up the parapet there.
#[test]
fn a_parapet_no_higher_than_the_walls_that_run_into_it_is_told_to_the_office() {
    let warned = |upstand: &str| -> Vec<String> {
        let mut request = crate::demo::request("parapet");
        let text = String::from_utf8(request.bytes).unwrap();
        assert!(text.contains("upstand: 600 mm"));
        request.bytes = text.replace("upstand: 600 mm", upstand).into_bytes();
        let demo = crate::demo::work(&request);
        let all = wetout::checks::check(&demo.loaded.job, &demo.take_off, &demo.loaded.rules, &demo.loaded.products);
        all.notices.into_iter().map(|n| n.fault).filter(|f| f.contains("that run into it")).collect()
    };
    assert_eq!(warned("upstand: 600 mm"), [""; 0]);
    let low = warned("upstand: 300 mm");
    assert!(low.len() == 1 && low[0].contains("the laminate is turned 100 mm up it"), "{low:?}");
}

/// A gutter that is new has no pipe below its outlet: the customer reads that it is to be there, the crew that it looks.
#[test]
fn the_pipe_below_a_new_gutter_is_nobodys_unsaid() {
    for (new, told) in [("yes", true), ("no", false)] {
        let mut request = crate::demo::request("parapet");
        let text = String::from_utf8(request.bytes).unwrap();
        request.bytes = text.replacen("new: yes", &format!("new: {new}"), 1).into_bytes();
        let demo = crate::demo::work(&request);
        for (kind, words) in [
            (DocumentKind::Quote, "The rainwater pipe below the new box gutter"),
            (DocumentKind::Method, "No pipe there yet: ring"),
        ] {
            let pages = crate::falls::words(&demo, kind);
            assert_eq!(pages.contains(words), told, "{new}: {words}: {pages}");
        }
    }
}

/// A chute of 200 × 75 mm in a wall 215 mm thick, at 24 kg/m²: 0.55 × 0.215 × 24 = 2.838 kg.
#[test]
fn the_hole_of_an_overflow_is_told_and_its_mortar_counted() {
    let demo = crate::demo::work(&crate::demo::request("parapet"));
    let line = demo.take_off.lines.iter().find(|l| l.id == LineId::OverflowMortar).unwrap();
    assert_eq!(line.quantity.to_string().trim_end_matches('0'), "2.838");
    let method = crate::falls::words(&demo, DocumentKind::Method);
    for told in ["Drill its corners through", "Chute in on mortar", "on day 1, before the lining"] {
        assert!(method.contains(told), "{told}: {method}");
    }
}

/// Where nothing comes off, an old box gutter that would come out is in no price: whether there is one is asked.
#[test]
fn an_old_gutter_on_a_roof_of_which_nothing_comes_off_is_asked_for() {
    let asks = |text: &str| {
        let loaded = load(&asked(text)).unwrap();
        let told = loaded.notices.iter().filter(|p| p.fault.contains("whether an old box gutter comes out"));
        told.map(|p| (p.place.to_string(), p.cure.clone())).collect::<Vec<_>>()
    };
    let nothing = format!("strip: nothing\n{JOB}");
    let [(place, cure)] = asks(&nothing).try_into().unwrap();
    assert!(place.ends_with("box_gutter.new") && cure.contains("`new: yes`"), "{place}: {cure}");
    assert!(asks(&nothing.replace("depth_factor: 0.8}", "depth_factor: 0.8, new: yes}")).is_empty());
    assert!(asks(&format!("strip: {{covering: felt, tip: skip}}\n{JOB}")).is_empty());
}
