//! The boards of an old deck that a new one takes the place of, and roofs that water leaves by an outlet alone: what is
//! read, priced and told.

use crate::demo::{self, Demo};
use crate::edges::documents;
use crate::falls::words;
use crate::support::{asked, lean_to};
use wetout::documents::DocumentKind;
use wetout::job_file::load;
use wetout::model::{Level, LineId, Warned};
use wetout::works::WorkKind;

const STRIP: &str = "strip: {covering: felt, tip: skip}\n";
const LIFTED: &str = "strip: {covering: felt, tip: skip, boards: 18 mm}\n";

fn problems(text: &str) -> Vec<(String, String)> {
    let problems = match load(&asked(text)) {
        Ok(loaded) => loaded.notices,
        Err(failed) => failed.problems,
    };
    problems.into_iter().filter(|p| p.fault.contains("boards")).map(|p| (p.fault, p.cure)).collect()
}

/// A stripped roof's old box gutter comes out with it, as much as the new one is lined: told, timed and carted. Where none
/// was there, what lies over the new one's width comes off, on the day on which it is built.
#[test]
fn an_old_box_gutter_is_stripped_with_its_roof() {
    let job = |new: &str| {
        let mut request = demo::request("parapet");
        let text = String::from_utf8(request.bytes).unwrap();
        assert!(text.contains("new: yes"));
        request.bytes = text.replacen("new: yes", &format!("new: {new}"), 1).into_bytes();
        demo::work(&request)
    };
    let (with, without) = (job("no"), job("yes"));
    let stripped = |d: &Demo, id| d.take_off.lines.iter().find(|l| l.id == id).unwrap().quantity;
    let gutter = &with.take_off.roofs[0].box_gutters[0];
    let roof = with.take_off.roofs[0].shape.area.square_metres();
    for id in [LineId::StripArea, LineId::StripBoards] {
        assert_eq!(stripped(&with, id) - roof, gutter.run.metres() * gutter.girth.metres());
        assert_eq!(stripped(&without, id) - roof, gutter.run.metres() * gutter.width.metres());
    }
    let method = words(&without, DocumentKind::Method);
    for told in [
        "The box gutter alone: first old roof off over it, all copings off, tops under stones levelled; then it is built and \
         lined, at the ends to the wall tops",
        "the deck’s top, which will stand over the bare joists: front 24 mm;",
    ] {
        assert!(method.contains(told), "{told}: {method}");
    }
    assert!(with.programme.hours() > without.programme.hours());
    for kind in [DocumentKind::Quote, DocumentKind::Method] {
        let old = "old box gutter";
        assert!(words(&with, kind).contains(old) && !words(&without, kind).contains(old), "{kind:?}");
    }
}

/// Felt lies on boards and on nothing else: of a new deck under it they want an answer. Sheets of metal may lie on purlins, and what a firm
/// names itself on anything: there the job takes it that there are none, and says so.
#[test]
fn boards_that_nobody_spoke_of_want_an_answer_where_the_covering_cannot_lie_without() {
    let of = |covering: &str| {
        let text = lean_to("", "", &STRIP.replace("felt", covering));
        let found = load(&asked(&text)).unwrap().notices.into_iter().filter(|p| p.fault.contains("boards"));
        found.map(|p| (p.level, p.warned)).collect::<Vec<_>>()
    };
    for covering in ["felt", "felt and chippings", "asphalt", "glass fibre", "single ply", "lead", "zinc", "copper"] {
        assert_eq!(of(covering), [(Level::Warning, Some(Warned::OldBoards))], "{covering}");
    }
    for covering in ["metal sheet", "clay tiles"] {
        assert_eq!(of(covering), [(Level::Assumed, None)], "{covering}");
    }
}

/// No demo job leaves it to the first day on site what lies under its old covering.
#[test]
fn the_demo_jobs_say_what_becomes_of_their_old_boards() {
    for name in demo::names() {
        let loaded = load(&demo::request(&name)).unwrap();
        let unsaid = |p: &wetout::model::Problem| p.fault.contains("old boards") || p.warned == Some(Warned::OldBoards);
        assert!(!loaded.notices.iter().any(unsaid), "{name}");
    }
}

/// 18 m² of boards 18 mm thick: 0.324 m³, half as much again as they lie loose, 650 kg/m³ (both common practice, no source).
#[test]
fn old_boards_are_lifted_by_their_own_norm_and_go_the_way_of_the_covering() {
    let job = |strip: &str| demo::work(&asked(&lean_to("", "", strip)));
    let (without, with) = (job(STRIP), job(LIFTED));
    let area = with.take_off.lines.iter().find(|l| l.id == LineId::StripBoards).unwrap().quantity;
    assert!(without.take_off.lines.iter().all(|l| l.id != LineId::StripBoards));
    let hours = |demo: &Demo| -> rust_decimal::Decimal {
        let parts = demo.programme.work.iter().flat_map(|w| &w.parts);
        parts.filter(|p| p.work == WorkKind::StripBoards).map(|p| p.hours).sum()
    };
    assert_eq!(hours(&with), area * with.loaded.rules.hours_strip_boards);
    assert!(hours(&without).is_zero() && !hours(&with).is_zero());
    let [boards] = &with.programme.old_boards[..] else { panic!("one roof") };
    assert_eq!(boards.solid() * rust_decimal::Decimal::new(15, 1), boards.volume());
    assert_eq!(boards.solid() * rust_decimal::Decimal::from(650), boards.mass().as_kg());
    assert_eq!(boards.solid(), area * rust_decimal::Decimal::new(18, 3));
    let skip = with.pricing.costs.iter().find(|c| c.id == "cost.strip").unwrap();
    assert!(skip.working.iter().any(|line| line.contains("old boards 18 mm + 50 % (old_board_loose)")), "{skip:?}");
}

#[test]
fn quote_and_crew_are_told_of_old_boards_only_where_they_are_lifted() {
    let told = |strip: &str| documents(&demo::work(&asked(&lean_to("", "", strip))));
    let [quote, method] = told(LIFTED);
    assert!(quote.contains("The old boards go the same way, down to the joists"), "{quote}");
    assert!(method.contains("Lift the old boards too"), "{method}");
    assert!(method.contains("Old boards of the deck"), "{method}");
    let unsaid = "Lifting and taking away old boards under the covering: where there are any, we ask you first";
    assert!(!quote.contains(unsaid) && !method.contains("Old boards are not in the price"));
    let [quote, method] = told(STRIP);
    assert!(
        quote.contains("Old boards under it are not in this price: where they must come up, we ask you first"),
        "{quote}"
    );
    assert!(quote.contains(unsaid) && method.contains("Old boards are not in the price: ring."), "{quote}\n{method}");
    assert!(!method.contains("Lift the old boards") && !method.contains("Old boards of"));
    let [quote, method] = told(&STRIP.replace("skip}", "skip, boards: none}"));
    assert!(!quote.contains("old boards") && !method.contains("Old boards"));
    let (fault, cure) = problems(&lean_to("", "", STRIP)).remove(0);
    assert!(fault.contains("the old felt lies on boards of which nothing is said"), "{fault}");
    // Each of the three that may be so has its cure: lifted, none there, left under the new ones.
    for way in ["`boards: 18 mm`", "`boards: none`", "`deck: {action: overlay, …}`"] {
        assert!(cure.contains(way), "{way}: {cure}");
    }
}

#[test]
fn what_becomes_of_old_boards_is_asked_once_and_refused_where_the_deck_stays() {
    assert!(problems(&lean_to("", "", STRIP))[0].0.contains("of which nothing is said"));
    for said in ["boards: 18 mm", "boards: none"] {
        assert_eq!(problems(&lean_to("", "", &STRIP.replace("skip}", &format!("skip, {said}}}")))), []);
    }
    for deck in ["{action: keep}", "{action: overlay, board: osb3-18}"] {
        let text = lean_to("", "", LIFTED).replace("{action: new, board: osb3-18}", deck);
        let [(fault, cure)] = &problems(&text)[..] else { panic!("{:?}", problems(&text)) };
        assert!(fault.contains("stays: its boards cannot be lifted") && cure.contains("take `boards` out"), "{fault}");
        assert!(load(&asked(&text)).is_err());
    }
}

/// The lean-to with a raised edge in place of its drip, and an outlet.
fn without_drip(gutter: &str) -> String {
    let outlet = "    outlet: {at: [3.0 m, 0.3 m], size: 75 mm, head: 35 mm}\n";
    lean_to("", outlet, STRIP).replace(
        "front: {finish: drip}",
        &format!(
            "front: {{finish: raised{gutter}, overflow: {{at: 3.0 m, width: 200 mm, height: 75 mm, above: 30 mm}}}}"
        ),
    )
}

#[test]
fn a_roof_that_drains_by_its_outlet_alone_is_told_of_no_drip_and_no_gutter() {
    let demo = demo::work(&asked(&without_drip("")));
    let [quote, method] = documents(&demo);
    for word in ["the drip", "drip edge", "Drip hangs", "until it reaches the gutter", "into the gutter,"] {
        for (name, text) in [("quote", &quote), ("method statement", &method)] {
            assert!(!text.contains(word), "{name}: {word}");
        }
    }
    assert!(quote.contains("until it reaches the outlet"), "{quote}");
    assert!(method.contains("it leaves by the outlet, and nowhere else"), "{method}");
}

/// The fall is across the front, 3.0 m to the outlet at each side: 1:80 wants 37 mm there, more than may stand.
#[test]
fn a_side_that_runs_level_to_its_outlet_is_told_to_the_householder_and_to_the_crew() {
    let demo = demo::work(&asked(&without_drip("")));
    assert!(demo.findings.iter().any(|f| f.id == "level.front"), "{:?}", demo.findings);
    let [quote, method] = documents(&demo);
    assert!(quote.contains("after rain water may stand"), "{quote}");
    assert!(
        method.contains("goes down into it. The roof falls to front and runs level along it, up to 3 m to the outlet"),
        "{method}"
    );
    assert!(method.contains("Water test: no pond but along the level side, the outlet takes it"), "{method}");
    // Of a roof that drains over its edge nothing of the kind is said.
    let [_, method] = documents(&demo::work(&asked(&lean_to("", "", STRIP))));
    assert!(!method.contains("runs level") && method.contains("Water test: no pond, no drip"), "{method}");
}
