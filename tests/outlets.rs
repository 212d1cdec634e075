//! Outlets and overflows: how the rain is shared among them, what they take, and what is told of water that stays.

use crate::edges::documents;
use crate::support::{asked, finding, laid_out, lean_to, mm};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use wetout::checks::catchment::nearest;
use wetout::checks::finding::Verdict;
use wetout::checks::outlets::overflow_capacity;
use wetout::documents::handover::check_words;
use wetout::estimate::LaidOut;
use wetout::geometry::ring::ring_area;
use wetout::job_file::load;
use wetout::model::gutter::{FlowRate, OutletDetail};
use wetout::model::{Area, Level, Point};
use wetout::takeoff::layout::shape::RoofShape;
use wetout::works::RoofCheck;

/// The first roof of the job alone.
fn parapet() -> String {
    let text = include_str!("jobs_for_sweep/parapet.yaml");
    text.split("  - name: Gutter roof").next().unwrap().to_owned()
}

fn litres(flow: FlowRate) -> f64 {
    flow.as_litres_per_second().to_f64().unwrap()
}

/// What is told of a job, each warning as place and words.
fn told(text: &str) -> Vec<String> {
    let (_, laid) = laid_out(text);
    laid.notices().map(ToString::to_string).collect()
}

fn refused(text: &str) -> Vec<String> {
    load(&asked(text)).unwrap_err().problems.iter().map(ToString::to_string).collect()
}

fn shape_of(laid: &LaidOut) -> &RoofShape {
    &laid.take_off.roofs[0].shape
}

/// The formula of BS EN 12056-3 (`L h^1.5 ÷ 24000`, from memory) beside two things that are not it: the theory of a
/// broad-crested weir, `(2/3)^1.5 √g b h^1.5` (critical depth on the crest, any textbook of hydraulics), which no real
/// opening exceeds; and the standard's own formula of a round outlet, whose rim is a weir as long as it is round.
#[test]
fn an_overflow_takes_what_a_weir_takes() {
    for (width, head) in [(100, 25), (200, 40), (200, 75), (600, 150)] {
        let taken = litres(overflow_capacity(mm(width), mm(head)));
        let (b, h) = (width as f64 / 1000.0, head as f64 / 1000.0);
        let theory = (2.0_f64 / 3.0).powf(1.5) * 9.81_f64.sqrt() * b * h.powf(1.5) * 1000.0;
        assert!(taken < theory && taken > 0.7 * theory, "{width} × {head}: {taken} of {theory} l/s");
        let rim = OutletDetail { diameter: mm(width), head: None, strainer: false };
        if head * 2 <= width {
            let round = litres(wetout::checks::rainwater::outlet_capacity(&rim, mm(head)).0);
            let as_long = litres(overflow_capacity(mm((width as f64 * std::f64::consts::PI) as i64), mm(head)));
            assert!((round / as_long - 1.0).abs() < 0.03, "{round} and {as_long} l/s");
        }
    }
    assert_eq!(overflow_capacity(mm(200), mm(0)), FlowRate::default());
}

/// The quote says that water may stand along the parapet's level side, and the crew's sheet with it.
#[test]
fn the_completion_record_says_of_a_level_side_what_the_quote_says() {
    let checked = |job: &str| check_words(RoofCheck::Water, &laid_out(job).1.checked.findings);
    assert!(checked(&parapet()).ends_with("no pond but along the level side, no drip"), "{}", checked(&parapet()));
    assert!(checked(&lean_to("", "", "")).ends_with("no pond, no drip"));
}

/// 4.2 × 2.2 m with outlets 0.6 and 3.0 m from the left: the line half-way lies at 1.8 m.
#[test]
fn each_outlet_takes_what_lies_nearest_to_it_across_the_fall() {
    let (loaded, laid) = laid_out(&parapet());
    let shape = shape_of(&laid);
    let places: Vec<Point> = loaded.job.roofs[0].outlets.iter().map(|o| o.at).collect();
    let shares = nearest(shape, &places);
    assert_eq!(shares, [Area::mm2(1800 * 2200), Area::mm2(2400 * 2200)]);
    let beside = nearest(shape, &[Point::new(1000, 200), Point::new(1000, 900)]);
    assert_eq!(beside.iter().copied().sum::<Area>(), ring_area(&shape.ring()));
    assert_eq!(beside[0], beside[1]);
    // 9.24 m2 × 0.021 l/s (Approved Document H3, from memory), parted as the areas are.
    let flows = ["outlet.1", "outlet.2"].map(|id| finding(&laid, id).statement.clone());
    assert!(flows[0].starts_with("0.083 l/s comes") && flows[1].starts_with("0.111 l/s comes"), "{flows:?}");
    // 75 mm with 35 mm over it: D h^1.5 ÷ 7500 = 75 × 207.06 ÷ 7500 = 2.071 l/s (BS EN 12056-3, from memory).
    assert!(flows.iter().all(|f| f.contains("it takes 2.071 l/s: it copes")), "{flows:?}");
}

#[test]
fn one_outlet_takes_the_whole_roof_and_is_read_alone_or_in_a_list() {
    let outlet = "{at: [3.0 m, 0.2 m], size: 75 mm, head: 35 mm}";
    let one = laid_out(&lean_to("", &format!("    outlet: {outlet}\n"), "")).1;
    let listed = laid_out(&lean_to("", &format!("    outlets: [{outlet}]\n"), "")).1;
    let (a, b) = (finding(&one, "outlet"), finding(&listed, "outlet"));
    assert_eq!(a, b);
    // 18.0 m2 × 0.021 l/s.
    assert!(a.statement.starts_with("0.378 l/s comes"), "{}", a.statement);
    let both = refused(&lean_to("", &format!("    outlet: {outlet}\n    outlets: [{outlet}]\n"), ""));
    assert!(both[0].contains("this roof has `outlet` and `outlets`"), "{both:?}");
    let twice = refused(&lean_to("", &format!("    outlets: [{outlet}, {outlet}]\n"), ""));
    assert!(twice[0].contains("roofs[0].outlets[1].at") && twice[0].contains("against another"), "{twice:?}");
}

/// By hand: 9.24 × 0.021 = 0.194 l/s; 200 × h^1.5 ÷ 24000 reaches it at h = 8.16 mm, so at 9 mm; the sill lies 30 mm up.
#[test]
fn an_overflow_is_held_to_the_whole_of_the_rain_and_to_what_stands_round_the_roof() {
    let (_, laid) = laid_out(&parapet());
    let found = finding(&laid, "overflow");
    assert_eq!(found.verdict, Verdict::Pass, "{}", found.statement);
    assert!(found.statement.contains("takes 0.194 l/s once the water stands 39 mm deep"), "{}", found.statement);
    assert!(found.statement.contains("weighs 39 kg on each m2"), "{}", found.statement);
    // The fillet is 100 mm high; a sill above it would let the water in behind it.
    let high = parapet().replace("above: 30 mm", "above: 95 mm");
    let found = finding(&laid_out(&high).1, "overflow").clone();
    assert!(found.verdict == Verdict::Fail && found.statement.contains("the laminate ends at 100 mm"), "{found:?}");
    assert!(told(&high).iter().any(|n| n.contains("roofs[0].edges.front.overflow")), "{:?}", told(&high));
    let small = parapet().replace("width: 200 mm, height: 75 mm", "width: 50 mm, height: 25 mm")
        + "    wall_above: {area: 90 m2}\n";
    let found = finding(&laid_out(&small).1, "overflow").clone();
    // 50 × 25^1.5 ÷ 24000 = 0.26 l/s; half of 90 m2 of wall alone brings 0.945.
    assert!(found.verdict == Verdict::Fail && found.statement.contains("it takes 0.260 l/s"), "{found:?}");
}

#[test]
fn a_roof_that_holds_water_is_told_where_it_has_no_overflow_and_where_nothing_falls_to_its_outlets() {
    let without = parapet().replace(", overflow: {at: 2.2 m, width: 200 mm, height: 75 mm, above: 30 mm}", "");
    assert_eq!(finding(&laid_out(&without).1, "overflow").verdict, Verdict::Refer);
    assert!(told(&without).iter().any(|n| n.contains("it has no overflow")), "{:?}", told(&without));
    // The right-hand corner lies 1.22 m from the nearest outlet: 15 mm at 1:80.
    let level = told(&parapet());
    let level: Vec<_> = level.iter().filter(|n| n.contains("nothing falls along `front`")).collect();
    assert!(level.len() == 1 && level[0].contains("up to 1.2 m away") && level[0].contains("15 mm thick"), "{level:?}");
    let near =
        parapet().replace("at: [3.0 m, 0.2 m]", "at: [3.6 m, 0.2 m]").replace("[0.6 m, 0.2 m]", "[0.6 m, 0.1 m]");
    let both = near.replace("    outlets:\n", "    outlets:\n      - {at: [2.1 m, 0.2 m], size: 75 mm, head: 35 mm}\n");
    assert!(!told(&both).iter().any(|n| n.contains("nothing falls along")), "{:?}", told(&both));
    let up = parapet().replace("0.2 m], size", "0.9 m], size");
    assert!(told(&up).iter().any(|n| n.contains("below it 23 mm of water stay")), "{:?}", told(&up));
    // A roof whose drip lies along its low side needs none.
    let drained = told(&lean_to("", "    outlet: {at: [3.0 m, 0.2 m], size: 75 mm}\n", ""));
    assert!(!drained.iter().any(|n| n.contains("overflow")), "{drained:?}");
}

/// The lean-to with raised edges all round, its outlet at such a place.
fn raised_round(at: &str, overflow: &str) -> String {
    lean_to("", &format!("    outlet: {{at: [{at}], size: 75 mm, head: 35 mm}}\n"), "")
        .replace("front: {finish: drip}", &format!("front: {{finish: raised{overflow}}}"))
}

/// By hand at 1:40: the raised edge's laminate ends 60 mm up; 2.3 m up the fall an outlet stands 58 mm up, 2.4 m up 60 mm.
#[test]
fn an_outlet_above_where_the_water_runs_off_is_refused_and_one_below_is_told_with_what_stays() {
    let faults = |text: &str| {
        let (_, laid) = laid_out(text);
        laid.notices().filter(|p| p.level == Level::Fault).map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(faults(&raised_round("3.0 m, 2.3 m", "")), Vec::<String>::new());
    let off = faults(&raised_round("3.0 m, 2.4 m", ""));
    assert_eq!(off.len(), 1, "{off:?}");
    assert!(off[0].contains("it stands 60 mm above the low side, and at 60 mm the water runs off over the laminate"));
    assert!(off[0].contains("roofs[0].outlet.at") && off[0].contains("are the two figures swapped?"), "{off:?}");
    // An overflow takes the water before it comes to an outlet above its sill.
    let overflow = ", overflow: {at: 1.0 m, width: 200 mm, height: 30 mm, above: 25 mm}";
    assert_eq!(faults(&raised_round("3.0 m, 0.8 m", overflow)), Vec::<String>::new());
    let off = faults(&raised_round("3.0 m, 1.0 m", overflow));
    assert!(
        off.len() == 1 && off[0].contains("at 25 mm the water runs off through the overflow at the front"),
        "{off:?}"
    );
    // What stays below an outlet up the fall is read by the customer, who is not told that it is well.
    let up = laid_out(&raised_round("3.0 m, 0.8 m", "")).1;
    let found = finding(&up, "outlet");
    assert_eq!(found.verdict, Verdict::Refer);
    assert!(found.statement.ends_with("below it up to 20 mm of water stay on the roof."), "{}", found.statement);
    assert_eq!(finding(&laid_out(&raised_round("3.0 m, 0.2 m", "")).1, "outlet").verdict, Verdict::Pass);
}

/// Joists every 400 mm from the left: one stands at 2.80 m, the eighth.
#[test]
fn an_outlet_on_a_joist_is_named_once() {
    let [_, method] = documents(&crate::demo::work(&asked(&raised_round("2.8 m, 0.2 m", ""))));
    assert!(method.contains("By the plan the outlet stands on joist 8 from the left"), "{method}");
}

/// A foot some 50 mm round an outlet of 75 mm and a flange of 100 mm lie clear of one another from 150 mm on; less than 50 mm of
/// board holds no trim. At a wall pipes stand as near as their brackets hold them.
#[test]
fn a_pipe_or_an_outlet_near_an_edge_is_told_and_one_on_its_last_board_is_refused() {
    let near = |text: &str| {
        let notices = load(&asked(text)).unwrap().notices;
        notices.iter().map(ToString::to_string).find(|n| n.contains("mm from `"))
    };
    assert_eq!(near(&raised_round("3.0 m, 188 mm", "")), None);
    let foot = near(&raised_round("3.0 m, 187 mm", "")).unwrap();
    assert!(foot.contains("the outlet stands 149 mm from `front`: its foot lies on the flange"), "{foot}");
    assert!(near(&raised_round("3.0 m, 88 mm", "")).is_some());
    let off = refused(&raised_round("3.0 m, 87 mm", ""));
    assert!(off[0].contains("the outlet stands 49 mm from `front`: no board is left"), "{off:?}");
    let pipe = |at: &str| lean_to("", &format!("    holes: [{{name: flue, at: [{at}], round: 110 mm}}]\n"), "");
    let off = refused(&pipe("70 mm, 1.0 m"));
    assert!(off[0].contains("roofs[0].holes[0].at") && off[0].contains("15 mm from `left`: no board"), "{off:?}");
    assert!(near(&pipe("3.0 m, 2.9 m")).unwrap().contains("the hole `flue` stands 45 mm from `back`"));
    assert_eq!(near(&pipe("3.0 m, 1.5 m")), None);
}

/// A raised edge ends 60 mm up, where its laminate does; a sill 30 mm up leaves 30 mm for an opening.
#[test]
fn an_overflow_through_a_raised_edge_fits_it_and_waits_for_no_engineer() {
    let job = |height: i64| {
        let overflow = format!(", overflow: {{at: 1.0 m, width: 200 mm, height: {height} mm, above: 30 mm}}");
        raised_round("3.0 m, 0.2 m", &overflow)
    };
    assert_eq!(finding(&laid_out(&job(30)).1, "overflow").verdict, Verdict::Pass);
    let (_, high) = laid_out(&job(31));
    let found = finding(&high, "overflow");
    assert_eq!(found.verdict, Verdict::Fail);
    assert!(
        found.statement.contains("at the front lies 61 mm above the roof, and the raised edge there ends at 60 mm")
    );
    assert!(high.notices().any(|n| n.cure.contains("no more than 30 mm high")), "{:?}", told(&job(31)));
    let [quote, method] = documents(&crate::demo::work(&asked(&job(30))));
    assert!(!quote.contains("may be cut"), "{quote}");
    let order =
        method.split("offer them up at a corner").nth(1).unwrap().split("How to fix each length").next().unwrap();
    assert!(order.contains("edge timber notched down to the sill"), "{order}");
    for words in ["ngineer", "masonry", "mortar", "Rubble"] {
        assert!(!order.contains(words), "{words}: {order}");
    }
    let [quote, method] = documents(&crate::demo::work(&asked(&parapet())));
    assert!(quote.contains("An engineer must say first that it may be cut"), "{quote}");
    assert!(method.contains("masonry above it hangs") && !method.contains("notched"), "{method}");
}

#[test]
fn an_overflow_stands_where_there_is_something_to_go_through() {
    let at_drip = refused(&lean_to(", overflow: {at: 1.0 m, width: 200 mm, height: 75 mm, above: 30 mm}", "", ""));
    assert!(at_drip.iter().any(|p| p.contains("through a parapet or an upstand")), "{at_drip:?}");
    let outside = refused(&parapet().replace("at: 2.2 m, width", "at: 4.15 m, width"));
    assert!(
        outside[0].contains("does not lie within the edge") && outside[0].contains("from 100 mm to 4100 mm"),
        "{outside:?}"
    );
}

#[test]
fn each_outlet_and_each_overflow_is_bought_in_its_size_and_takes_its_hours() {
    let demo = crate::demo::work(&asked(&parapet()));
    let line = |id: &str| demo.take_off.lines.iter().find(|l| l.id == id).unwrap().quantity;
    assert_eq!((line("roof.outlets"), line("roof.overflows")), (Decimal::TWO, Decimal::ONE));
    let bought = |role: &str| {
        let lines = demo.pricing.orders.iter().flat_map(|o| &o.lines);
        lines.filter(|l| l.role == role).map(|l| (l.quantity, l.size)).collect::<Vec<_>>()
    };
    assert_eq!(bought("outlet.roof"), [(2, Some(mm(75)))]);
    assert_eq!(bought("chute.overflow"), [(1, Some(mm(200)))]);
}
