//! Edges that have more to them than a finish: a roof that goes in under tiles or slates.

use crate::demo::{self, Demo};
use crate::drawings::text_of;
use crate::support::{asked, laid_out, lean_to, mm};
use wetout::documents::drawings::sections::{self, Build};
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::documents::{Overrides, method, quote};
use wetout::geometry::slope;
use wetout::job_file::load;
use wetout::model::{Finish, Flashing, Length, Level, PitchedCovering, Problem, Rules, UnderTiles};
use wetout::takeoff::TakeOff;
use wetout::works::{Doer, WorkKind};

/// The lean-to of the tests, 6 m along the back, tied in there as `under` says.
fn tied(under: &str) -> String {
    let text = lean_to("", "", "");
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
fn documents(demo: &Demo) -> [String; 2] {
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
    let [quote, method] = documents(&others);
    assert!(quote.contains("Others lift 4 courses of slates at the back") && !quote.contains("new ones"), "{quote}");
    assert!(method.contains("Others lift tiles or slates: 4 courses of slates at the back."), "{method}");
    assert!(method.contains("whoever lifts tiles or slates") && !method.contains("back in their order"), "{method}");
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

/// As far up the slope as the edge says, and no other edge otherwise.
#[test]
fn the_mat_goes_as_far_up_the_slope_as_the_edge_says() {
    let carried = |text: &str| -> Vec<i64> {
        let take_off = laid_out(text).1.take_off;
        take_off.roofs[0].shape.sides.iter().map(|s| s.carried.as_mm()).collect()
    };
    let rule = Rules::default().mat_return;
    let usual = [rule.drip, rule.raised, rule.step, rule.raised].map(Length::as_mm);
    assert_eq!(carried(&tied(SLATES)), usual);
    let further = carried(&tied(&SLATES.replace("by: us", "up: 450 mm, by: us")));
    assert_eq!(further, [usual[0], usual[1], 450, usual[3]]);
}

/// From the rafters up: board, fillet, laminate, underlay, battens, slates; nothing lies on bare rafters.
#[test]
fn the_section_under_tiles_shows_every_layer_between_rafters_and_tiles() {
    let rules = Rules::default();
    let build = Build {
        rules: &rules,
        board: mm(18),
        over: None,
        gutter: None,
        upstand: None,
        flashing: Flashing::Lead,
        under: None,
    };
    for covering in PitchedCovering::ALL {
        let (gauge, cover) = (covering.gauge(), covering.cover());
        let by = wetout::model::job::By::Us;
        let under = UnderTiles { covering, gauge, cover, pitch: Some(40), up: mm(350), courses: 6, by };
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
        assert!(figure.scene.width <= 460.0 && figure.scene.height <= 156.0, "{}", covering.words());
    }
}
