//! How much work a document is: plans that are drawn and layouts that are made for it, counted, so that what is done twice shows
//! whatever the machine.

use crate::demo;
use crate::support::{asked, laid_out};
use std::fs;
use wetout::documents::drawings::plan_scale;
use wetout::documents::{DocumentKind, Overrides, describe};
use wetout::geometry::region::sides_combined;
use wetout::job_file::load;
use wetout::model::{Job, Roof, limits};
use wetout::pages::fitting;
use wetout::takeoff::layout::RoofLayout;
use wetout::takeoff::take_off;

/// Where to stop at the end of a day is worked out from the boards at that line, not from all that were laid before: four times the
/// roof, with four times the days, is no more than four times the work.
#[test]
fn stops_of_a_large_roof_are_worked_out_in_step_with_its_size() {
    let edges = "front: {finish: drip}, right: {finish: raised}, back: {finish: raised}, left: {finish: raised}";
    let combined = |width: u32| {
        let text = one_roof(
            &format!("rectangle: {{width: {width} m, depth: 12 m}}"),
            edges,
            "strip: {covering: felt, tip: skip}",
        );
        let before = sides_combined();
        let (_, laid) = laid_out(&text);
        (sides_combined() - before, laid.programme.unwrap().days.len())
    };
    let ((few, few_days), (many, many_days)) = (combined(20), combined(80));
    assert!(many_days > 2 * few_days && few_days > 1, "{few_days}, {many_days}");
    assert!(many < 3 * few, "{few}, {many}");
}

/// Roofs that are the same but for their names are laid out once, and as each of them alone: boards, insulation and mat of a warm
/// roof that has an opening and a walk of six sides. One that differs, if only in its mat, is laid out by itself.
#[test]
fn roofs_that_are_the_same_are_laid_out_once_and_as_each_alone() {
    let text = fs::read_to_string("jobs/garage-utility/job.yaml").unwrap();
    let loaded = load(&asked(&text)).unwrap();
    let laid = |names: &[&str]| {
        let named = |name: &&str| Roof { name: (*name).to_owned(), ..loaded.job.roofs[0].clone() };
        let mut job = loaded.job.clone();
        job.roofs = names.iter().map(named).collect();
        job
    };
    let counted = |job: &Job| {
        let before = sides_combined();
        let take_off = take_off(job, &loaded.rules, &loaded.products).unwrap();
        (sides_combined() - before, take_off)
    };
    let (alone_sides, alone) = counted(&laid(&["Roof 4"]));
    let four = laid(&["Roof 1", "Roof 2", "Roof 3", "Roof 4"]);
    let (sides, together) = counted(&four);
    // Pieces are numbered through all roofs.
    let kept = |roof: &RoofLayout| {
        let mut over = roof.over.clone();
        let insulation = over.iter_mut().flat_map(|over| &mut over.insulation.pieces).map(|piece| &mut piece.mark);
        insulation.for_each(String::clear);
        let overlay = over.iter_mut().filter_map(|over| over.overlay.as_mut());
        overlay.flat_map(|overlay| &mut overlay.pieces).for_each(|piece| piece.mark.clear());
        (roof.deck.clone(), over, roof.mat.clone())
    };
    assert!(together.roofs.iter().all(|roof| kept(roof) == kept(&alone.roofs[0])));
    assert!(alone.roofs[0].over.is_some() && sides < 3 * alone_sides, "{alone_sides}, {sides}");
    let mut unlike = four.clone();
    unlike.roofs[3].laminate.layers += 1;
    let (_, unlike) = counted(&unlike);
    assert!(unlike.roofs[3].mat.pieces.len() > together.roofs[3].mat.pieces.len());
    assert!(kept(&unlike.roofs[2]) == kept(&together.roofs[2]));
}

/// A rectangle as large as a hall with so many rooflights in rows; an outline of so many steps.
fn hall(rooflights: usize) -> String {
    let opening = |n: usize| {
        let (across, up) = (0.9 + 3.1 * (n % 12) as f64, 0.9 + 2.6 * (n / 12) as f64);
        format!("{{name: rooflight {n}, at: [{across:.2} m, {up:.2} m], size: [0.6 m, 0.5 m], finish: kerb}}")
    };
    let openings: Vec<String> = (0..rooflights).map(opening).collect();
    let edges = "front: {finish: drip}, right: {finish: raised}, back: {finish: raised}, left: {finish: raised}";
    one_roof("rectangle: {width: 40 m, depth: 25 m}", edges, &format!("holes: [{}]", openings.join(", ")))
}

fn steps(legs: usize) -> String {
    let count = legs / 2 - 1;
    let turn = |n: usize| if n == 0 { "" } else { "turn: right, " };
    let step = |n: usize| format!("{{edge: f{n}, {}go: 0.4 m}}, {{edge: s{n}, turn: left, go: 0.4 m}}, ", turn(n));
    let long = 0.4 * count as f64;
    let back = format!("{{edge: back, turn: left, go: {long:.1} m}}, {{edge: left, turn: left, go: {long:.1} m}}");
    let walk: String = (0..count).map(step).collect();
    let edges: String = (0..count).map(|n| format!("f{n}: {{finish: drip}}, s{n}: {{finish: raised}}, ")).collect();
    let edges = format!("{edges}back: {{finish: raised}}, left: {{finish: raised}}");
    one_roof(&format!("walk: [{walk}{back}]"), &edges, "falls_to: f0")
}

fn one_roof(outline: &str, edges: &str, more: &str) -> String {
    format!(
        "reference: 26-931\ntitle: Counted\nprepared: 2026-11-25\ncustomer: {{name: A. Householder, address: [1 Example Street, \
         Anytown]}}\nasbestos: no\nroofs:\n  - name: Main roof\n    outline: {{{outline}}}\n    edges: {{{edges}}}\n    {more}\n    \
         fall: existing 1:40\n    joists: {{run: front to back, spacing: 400 mm}}\n    deck: {{action: new, board: osb3-18}}\n    \
         laminate: {{mat: 450, layers: 1}}\n    topcoat: {{colour: dark grey, finish: smooth}}\n"
    )
}

/// For the foot of its first page a plan is drawn at each scale at most once for each width that it may have there.
#[test]
fn a_quote_draws_its_plan_a_few_times_however_much_stands_in_it() {
    for (name, text) in
        [("a hall", hall(limits::HOLES.most)), ("steps", steps(limits::LEGS.most)), ("a porch", steps(8))]
    {
        let job = demo::work(&asked(&text));
        let before = plan_scale::plans_drawn();
        describe(DocumentKind::Quote, &job.worked(), &Overrides::default()).unwrap();
        let drawn = plan_scale::plans_drawn() - before;
        assert!((1..=MOST_PLANS).contains(&drawn), "{name}: {drawn}");
    }
}

/// A statement of so many roofs that nobody would read it is refused, in words of roofs, before one of them is drawn.
#[test]
fn a_statement_of_too_many_roofs_is_refused_before_any_is_drawn() {
    let mut loaded = load(&asked(&fs::read_to_string("jobs/garage-utility/job.yaml").unwrap())).unwrap();
    let named = |n: usize| Roof { name: format!("Garage {n}"), ..loaded.job.roofs[0].clone() };
    loaded.job.roofs = (1..=limits::ROOFS.most).map(named).collect();
    let job = demo::worked(loaded).unwrap();
    let before = plan_scale::plans_drawn();
    let told = describe(DocumentKind::Method, &job.worked(), &Overrides::default()).unwrap_err();
    assert_eq!(plan_scale::plans_drawn(), before);
    let [told] = &told[..] else { panic!("{told:#?}") };
    let most = format!("more than {} are not told in one", limits::TOLD.most);
    assert!(told.fault.contains(&most) && told.cure.contains("each with some of the roofs"), "{told}");
    assert!(describe(DocumentKind::Order, &job.worked(), &Overrides::default()).is_ok());
}

/// Plans that a quote of one roof draws at most.
const MOST_PLANS: usize = 18;
/// Layouts that are measured or made at most: for a quote that is set closer so that page one has room for the plan, for a long one, and
/// for one that stands on its pages nearly as it is.
const MOST_LAYOUTS: [(&str, usize); 3] = [
    ("jobs/kitchen-extension/job.yaml", 16),
    ("tests/big_jobs/long-names.yaml", 40),
    ("tests/big_jobs/twelve-roofs.yaml", 7),
];

/// A quote that is set closer is sought in its setting once: what was found is not sought again when it is made.
#[test]
fn a_long_quote_is_laid_out_a_few_times() {
    for (file, most) in MOST_LAYOUTS {
        let job = demo::work(&asked(&fs::read_to_string(file).unwrap()));
        let before = fitting::layouts();
        describe(DocumentKind::Quote, &job.worked(), &Overrides::default()).unwrap();
        let laid = fitting::layouts() - before;
        assert!((1..=most).contains(&laid), "{file}: {laid}");
    }
}
