//! U-values, limits, cold roofs, and insulation laid out, against worked examples and another way of working them.

use crate::support::{self, at, finding, laid_out, lean_to, mm, rectangle, roof, setting};
use proptest::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use wetout::checks::cold_roof;
use wetout::checks::finding::Verdict;
use wetout::checks::warm_roof::{
    Combined, Course, Existing, Screws, Stack, Transmittance, air_layer, combine, improvement, judge, laminate_sheet,
    screw_correction, stack, warnings,
};
use wetout::geometry::region::Region;
use wetout::model::build_up::{
    BuildUp, Conductivity, InsulationBoard, JoistDetail, MaterialLayer, RoofKind, ThermalWork, Thickness, VapourLayer,
};
use wetout::model::products::Screw;
use wetout::model::shape::{JoistRun, LaminateChoice};
use wetout::model::{Area, Finish, HoleForm, Length, Point, Problem, Roof, Rules};
use wetout::takeoff::layout::InsulationLayout;
use wetout::takeoff::layout::insulation::{lay_boards_off, lay_vapour};
use wetout::takeoff::layout::joist_ends::joist_ends;
use wetout::takeoff::layout::shape::{RoofShape, lay_out};
use wetout::takeoff::quantities::insulation_lines::lines;
use wetout::takeoff::quantities::line::{Step, Unit};

fn rules() -> Rules {
    Rules::default()
}

fn dec(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn sheet(name: &str, thickness: &str, conductivity: &str) -> MaterialLayer {
    MaterialLayer {
        name: name.into(),
        thickness: Thickness::mm(dec(thickness)),
        conductivity: Conductivity::new(dec(conductivity)).unwrap(),
    }
}

fn board(thickness: &str) -> InsulationBoard {
    InsulationBoard {
        key: format!("pir-{thickness}"),
        sheet: sheet("rigid foam", thickness, "0.022"),
        length: mm(2400),
        width: mm(1200),
        density: Some(dec("32")),
    }
}

/// Plasterboard, void, 18 mm board, insulation, 18 mm board, 3 mm laminate.
fn warm(insulation: &str) -> BuildUp {
    BuildUp {
        path: setting("roofs[0].build_up"),
        kind: RoofKind::Warm,
        work: ThermalWork::Renovated,
        ceiling: vec![sheet("plasterboard", "12.5", "0.21")],
        joists: JoistDetail {
            breadth: mm(47),
            depth: mm(150),
            fraction: None,
            conductivity: Conductivity::TIMBER,
            between: None,
        },
        deck: sheet("OSB", "18", "0.13"),
        vapour: Some(VapourLayer { roll_width: mm(2000), roll_length: mm(25_000) }),
        insulation: Some(board(insulation)),
        overlay: Some(sheet("OSB", "18", "0.13")),
        covering: sheet("laminate", "3", "0.25"),
        void: None,
        vent_gap: None,
        existing: None,
    }
}

/// The same with 100 mm of wool filling joists 100 mm deep.
fn hybrid() -> BuildUp {
    let mut build_up = warm("100");
    build_up.joists.depth = mm(100);
    build_up.joists.between = Some(sheet("wool", "100", "0.038"));
    build_up
}

fn cold() -> BuildUp {
    let mut build_up = hybrid();
    build_up.joists.depth = mm(150);
    build_up.kind = RoofKind::Cold;
    (build_up.insulation, build_up.overlay, build_up.vapour) = (None, None, None);
    (build_up.void, build_up.vent_gap) = (Some(mm(50)), Some(mm(25)));
    build_up
}

fn worked(build_up: &BuildUp) -> Combined {
    combine(&stack(build_up, mm(400)).unwrap())
}

fn float(value: Decimal) -> f64 {
    value.to_f64().unwrap()
}

fn close(found: Decimal, expected: &str) {
    // Half a unit of the last place that the worked example prints.
    assert!((found - dec(expected)).abs() <= dec("0.00005"), "{found} is not {expected}");
}

/// Worked example A, by calculator from the resistances of EN ISO 6946 and the conductivities of EN ISO 10456 (both
/// from memory).
#[test]
fn a_warm_roof_without_bridging_lets_through_what_the_worked_example_says() {
    for (insulation, r, u) in [
        ("100", "5.1939", "0.1925"),
        ("120", "6.1030", "0.1639"),
        ("130", "6.5575", "0.1525"),
        ("140", "7.0121", "0.1426"),
        ("150", "7.4666", "0.1339"),
    ] {
        let found = worked(&warm(insulation));
        close(found.total, r);
        close(found.transmittance.as_w_per_m2k(), u);
        assert_eq!((found.upper, found.ratio), (found.lower, Decimal::ONE));
    }
}

/// Worked example B: wool between joists, foam above; share of timber 47 ÷ 400 = 0.1175.
#[test]
fn a_bridged_roof_lets_through_what_the_combined_method_says() {
    let stack = stack(&hybrid(), mm(400)).unwrap();
    assert_eq!(stack.timber, dec("0.1175"));
    let section = |pick: fn(&Course) -> Decimal| dec("0.14") + stack.courses.iter().map(pick).sum::<Decimal>();
    close(section(|c| c.clear), "7.6655");
    close(section(|c| c.timber), "5.8031");
    let found = combine(&stack);
    for (value, expected) in [
        (found.upper, "7.3869"),
        (found.lower, "7.0827"),
        (found.total, "7.2348"),
        (found.transmittance.as_w_per_m2k(), "0.1382"),
    ] {
        close(value, expected);
    }
    assert!((found.ratio - dec("1.043")).abs() < dec("0.0005") && found.holds());
}

/// Worked example D: the timber-framed wall that the guidance documents have carried for years (inputs from memory;
/// its printed answer may add a correction for air gaps, which is not made here).
#[test]
fn the_classic_timber_framed_wall_comes_out_as_worked() {
    let plain =
        |name: &str, thickness: &str, conductivity: &str| Course::of_sheet(&sheet(name, thickness, conductivity));
    let wall = Stack {
        inside: dec("0.13"),
        outside: dec("0.04"),
        timber: dec("0.15"),
        courses: vec![
            plain("brick", "102", "0.77"),
            Course::whole("cavity", dec("0.18"), "air"),
            plain("plywood", "12", "0.13"),
            Course::bridged(&sheet("wool", "140", "0.038"), Conductivity::TIMBER),
            plain("plasterboard", "12.5", "0.25"),
        ],
    };
    let found = combine(&wall);
    for (value, expected) in [
        (found.upper, "3.5037"),
        (found.lower, "3.3275"),
        (found.total, "3.4156"),
        (found.transmittance.as_w_per_m2k(), "0.2928"),
    ] {
        close(value, expected);
    }
    assert_eq!(found.transmittance.reported(), dec("0.29"));
}

/// Sixty build-ups as a network of resistances solved by numpy (`tests/outside/heat.py`).
#[test]
fn the_combined_method_agrees_with_a_network_of_resistances() {
    let cases: serde_json::Value = serde_json::from_str(include_str!("outside/heat.json")).unwrap();
    let number = |v: &serde_json::Value| dec(v.as_str().unwrap());
    for case in cases.as_array().unwrap() {
        let courses = case["layers"].as_array().unwrap().iter().map(|l| Course {
            name: String::new(),
            clear: number(&l[0]),
            timber: number(&l[1]),
            reason: String::new(),
        });
        let found = combine(&Stack {
            inside: number(&case["inside"]),
            outside: number(&case["outside"]),
            timber: number(&case["timber"]),
            courses: courses.collect(),
        });
        for (value, key) in [(found.upper, "upper"), (found.lower, "lower"), (found.transmittance.as_w_per_m2k(), "u")]
        {
            let expected = case[key].as_f64().unwrap();
            assert!((float(value) / expected - 1.0).abs() < 1e-9, "{key}: {value} {expected}");
        }
    }
    assert_eq!(cases.as_array().unwrap().len(), 60);
}

/// Worked examples A, B and D again as networks of resistances, solved in fractions (`tests/outside/worked.py`).
#[test]
fn the_worked_examples_of_heat_come_out_again_by_another_road() {
    let again: serde_json::Value = serde_json::from_str(include_str!("outside/worked.json")).unwrap();
    let agrees = |found: &Combined, row: &serde_json::Value| {
        for (value, key) in [(found.upper, "upper"), (found.lower, "lower"), (found.transmittance.as_w_per_m2k(), "u")]
        {
            let expected = row[key].as_f64().unwrap();
            assert!((float(value) / expected - 1.0).abs() < 1e-12, "{key}: {value} {row}");
        }
    };
    let rows = again["warm"].as_array().unwrap();
    assert_eq!(rows.len(), 5);
    for row in rows {
        agrees(&worked(&warm(row["foam"].as_str().unwrap())), row);
    }
    agrees(&worked(&hybrid()), &again["hybrid"]);
}

/// Approved Document L volume 1, 2021 (from memory): 0.16 renovated, 0.15 new. Compared before rounding.
#[test]
fn a_roof_that_meets_the_limit_only_once_rounded_fails_and_both_figures_are_shown() {
    let judged = |insulation: &str, work| {
        let mut build_up = warm(insulation);
        build_up.work = work;
        judge(&build_up, mm(400), Screws::None, &rules()).unwrap()
    };
    let close_call = judged("120", ThermalWork::Renovated);
    assert_eq!(close_call.verdict, Verdict::Fail);
    assert_eq!(
        close_call.statement,
        "U-value 0.1639 W/m2K before rounding, 0.16 as reported; the limit for a renovated flat roof is 0.16: it meets \
         the limit only once rounded, which is not counted as meeting it. 130 mm of the same insulation would."
    );
    assert_eq!(judged("130", ThermalWork::Renovated).verdict, Verdict::Pass);
    let new = judged("130", ThermalWork::NewElement);
    assert_eq!(new.verdict, Verdict::Fail);
    assert!(new.statement.contains("0.1525 W/m2K before rounding, 0.15 as reported"), "{}", new.statement);
    assert_eq!(judged("140", ThermalWork::NewElement).verdict, Verdict::Pass);
    assert!(new.source.contains("2021") && new.source.contains("England") && new.caution.contains("newer edition"));
}

#[test]
fn a_u_value_is_reported_to_two_figures_halves_up() {
    for (u, reported) in [("0.1639", "0.16"), ("0.155", "0.16"), ("0.1549", "0.15"), ("1.25", "1.3"), ("0.999", "1.00")]
    {
        assert_eq!(Transmittance::new(dec(u)).reported(), dec(reported));
    }
}

#[test]
fn timber_that_bridges_too_much_is_referred() {
    // Metal-like bridging: nothing but the joists stands in the heat's way beside thick foam between them.
    let mut build_up = cold();
    build_up.joists.depth = mm(300);
    build_up.joists.between = Some(sheet("foam", "300", "0.005"));
    build_up.joists.fraction = Some(dec("0.2"));
    build_up.joists.conductivity = Conductivity::new(dec("2")).unwrap();
    let found = worked(&build_up);
    assert!(!found.holds(), "{}", found.ratio);
    assert_eq!(judge(&build_up, mm(400), Screws::None, &rules()).unwrap().verdict, Verdict::Refer);
}

/// EN ISO 6946, table of closed air layers, heat going up (from memory).
#[test]
fn closed_air_layers_have_the_resistance_of_the_table() {
    for (thickness, r) in
        [(0, "0"), (5, "0.11"), (6, "0.12"), (7, "0.13"), (10, "0.15"), (15, "0.16"), (25, "0.16"), (300, "0.16")]
    {
        assert_eq!(air_layer(mm(thickness)), dec(r), "{thickness} mm");
    }
}

/// A vented void: layers above it are left out and the outside surface counts as inside (EN ISO 6946, from memory).
#[test]
fn a_cold_roof_counts_nothing_above_its_vented_void() {
    let found = stack(&cold(), mm(400)).unwrap();
    let names: Vec<&str> = found.courses.iter().map(|c| c.name.as_str()).collect();
    assert_eq!((names.as_slice(), found.outside), (["plasterboard", "wool"].as_slice(), dec("0.10")));
}

#[test]
fn a_void_left_over_the_insulation_of_a_warm_roof_is_air_beside_timber() {
    let mut build_up = hybrid();
    build_up.joists.depth = mm(150);
    let found = stack(&build_up, mm(400)).unwrap();
    let void = &found.courses[2];
    assert_eq!((void.clear, void.timber), (dec("0.16"), dec("0.05") / dec("0.13")));
}

#[test]
fn a_build_up_that_cannot_be_is_refused_with_all_its_faults() {
    let mut build_up = warm("120");
    build_up.insulation = None;
    build_up.joists.between = Some(sheet("wool", "200", "0.038"));
    build_up.joists.fraction = Some(Decimal::ONE);
    let paths: Vec<String> = stack(&build_up, mm(400)).unwrap_err().into_iter().map(|p| p.place.to_string()).collect();
    assert_eq!(paths, ["insulation", "joists.between", "joists.fraction"].map(|k| format!("roofs[0].build_up.{k}")));
    assert_eq!(Conductivity::new(Decimal::ZERO), None);
}

#[test]
fn a_missing_vapour_layer_and_insulation_in_two_places_are_warned_of() {
    assert_eq!(warnings(&warm("120")), []);
    let mut build_up = hybrid();
    build_up.vapour = None;
    assert_eq!(warnings(&build_up).len(), 2);
}

/// Thickness of 450 g/m² at a quarter glass: 1.301 mm (ISO 12215-5, from memory).
#[test]
fn the_laminate_is_as_thick_as_the_formula_says() {
    let found = laminate_sheet(LaminateChoice { mat: 450, layers: 1 }, &rules());
    assert_eq!(found.thickness.as_mm(), dec("1.301"));
}

/// Approved Document L volume 1, 2021 (from memory): threshold 0.35, over half of the roof or a quarter of the
/// envelope.
#[test]
fn an_existing_roof_is_to_be_improved_when_it_is_poor_and_enough_of_it_is_renovated() {
    let verdict = |u: &str, roof: i64, envelope: Option<i64>| {
        let existing = Existing {
            transmittance: Transmittance::new(dec(u)),
            of_roof: roof.into(),
            of_envelope: envelope.map(Decimal::from),
        };
        improvement(&existing, &rules()).verdict
    };
    assert_eq!(verdict("0.36", 100, None), Verdict::Refer);
    assert_eq!(verdict("0.35", 100, None), Verdict::Pass);
    assert_eq!(verdict("0.36", 50, Some(25)), Verdict::Pass);
    assert_eq!(verdict("0.36", 50, Some(26)), Verdict::Refer);
}

#[test]
fn insulation_leaves_the_vat_alone_and_says_so() {
    let finding = judge(&warm("130"), mm(400), Screws::None, &rules()).unwrap();
    let said = |s: &Step| matches!(s, Step::Note(text) if text.contains("does not change the VAT"));
    assert!(finding.working.iter().any(said));
}

// Cold roofs.

fn shape(roof: &Roof) -> RoofShape {
    lay_out(roof, 0, &rules()).unwrap()
}

/// BS 5250 (from memory): void of 50 mm, continuous gaps of 25 mm at two opposite sides.
#[test]
fn a_cold_roof_against_a_wall_has_no_second_vent_path() {
    let shape = shape(&rectangle(5000, 3000));
    let check = |build_up: &BuildUp, joists| cold_roof::check(build_up, &shape, joists, &rules()).unwrap();
    let shut = check(&cold(), JoistRun::FrontToBack);
    assert_eq!(shut.finding.verdict, Verdict::Refer);
    assert_eq!(shut.warnings.len(), 1);
    assert_eq!(shut.warnings[0].place.to_string(), "roofs[0].edges.back");
    let open = check(&cold(), JoistRun::LeftToRight);
    assert_eq!((open.finding.verdict, open.warnings.len()), (Verdict::Pass, 0));
    let vent = |run| joist_ends(&shape, run).open.iter().map(|s| s.run).sum::<Length>();
    assert_eq!((vent(JoistRun::FrontToBack), vent(JoistRun::LeftToRight)), (mm(5000), mm(6000)));
    assert!(cold_roof::check(&warm("120"), &shape, JoistRun::FrontToBack, &rules()).is_none());
}

#[test]
fn a_void_or_a_gap_that_is_too_small_or_unknown_fails() {
    let shape = shape(&rectangle(5000, 3000));
    let statement = |void: Option<i64>, gap: Option<i64>| {
        let mut build_up = cold();
        (build_up.void, build_up.vent_gap) = (void.map(mm), gap.map(mm));
        let found = cold_roof::check(&build_up, &shape, JoistRun::LeftToRight, &rules()).unwrap().finding;
        assert_eq!(found.verdict, Verdict::Fail);
        found.statement
    };
    assert_eq!(statement(Some(49), Some(25)), "The void over the insulation is 49 mm; at least 50 mm is wanted.");
    assert_eq!(statement(Some(50), None), "The gap at the sides is not known; at least 25 mm is wanted: measure it.");
}

// Insulation boards and vapour layer.

fn l_shape() -> Roof {
    roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(6000, 0), "right", Finish::Raised),
        (at(6000, 2500), "return", Finish::Wall),
        (at(3400, 2500), "inner", Finish::Wall),
        (at(3400, 4700), "back", Finish::Wall),
        (at(0, 4700), "left", Finish::Raised),
    ])
}

fn with_rooflight(mut roof: Roof) -> Roof {
    let form = HoleForm::Box { at: at(1100, 900), width: mm(1000), depth: mm(800) };
    roof.holes = vec![support::hole("rooflight", form, Finish::Kerb)];
    roof
}

/// Checks a layout from its pieces alone: they cover the roof once, no board gives more than it has, no piece is
/// longer or wider than a board.
fn check_layout(roof: &Roof, board: &InsulationBoard) -> InsulationLayout {
    let shape = shape(roof);
    let layout = lay_boards_off(&shape, board, &[], &rules());
    let region = |rings: &[Vec<Point>]| Region::of_rings(rings.iter().map(Vec::as_slice));
    let mut area = Area::ZERO;
    let mut used = vec![0; layout.boards];
    for piece in &layout.pieces {
        let own = region(&piece.rings);
        area += own.area();
        used[piece.board] += (piece.length * piece.width).as_mm2();
        assert!(piece.length <= board.length && piece.width <= board.width, "{piece:?}");
    }
    let covered = Region::of_rings(layout.pieces.iter().flat_map(|p| &p.rings).map(Vec::as_slice));
    let slack = 3000 * layout.pieces.len() as i64;
    assert!((covered.area().as_mm2() - shape.area.as_mm2()).abs() <= slack, "the pieces leave a hole");
    assert!((area.as_mm2() - shape.area.as_mm2()).abs() <= slack, "pieces overlap");
    let whole = (board.length * board.width).as_mm2();
    assert!(used.iter().all(|u| (1..=whole).contains(u)), "{used:?}");
    assert!(layout.proof.found >= layout.proof.bound);
    layout
}

#[test]
fn insulation_covers_rectangles_and_l_shapes_with_holes_once() {
    let plain = check_layout(&rectangle(4800, 2400), &board("120"));
    assert_eq!((plain.boards, plain.proof.bound), (4, 4));
    check_layout(&rectangle(5200, 3400), &board("120"));
    check_layout(&l_shape(), &board("120"));
    check_layout(&with_rooflight(l_shape()), &board("120"));
}

#[test]
fn end_joints_of_neighbouring_rows_are_staggered() {
    let layout = check_layout(&rectangle(5200, 3400), &board("120"));
    assert_eq!(layout.close_joints, 0);
    let ends = |row: usize| {
        let row = layout.pieces.iter().filter(move |p| p.row == row);
        let right = |p: &wetout::takeoff::layout::InsulationPiece| p.rings[0].iter().map(|q| q.x).max().unwrap();
        row.map(right).filter(|x| *x < 5200).collect::<Vec<i64>>()
    };
    for row in 0..2 {
        for below in ends(row) {
            assert!(ends(row + 1).iter().all(|above| (above - below).abs() >= 300), "row {row}: {below}");
        }
    }
    assert!(layout.pieces.iter().all(|p| p.length >= mm(300)));
}

#[test]
fn rows_start_at_the_low_edge_whichever_side_that_is() {
    for (edge, along_x, row_zero) in [("front", true, (0, 1200)), ("back", true, (2200, 3400))] {
        let mut r = rectangle(5200, 3400);
        r.falls_to = edge.into();
        let layout = check_layout(&r, &board("120"));
        assert_eq!(layout.along_x, along_x);
        let ys: Vec<i64> =
            layout.pieces.iter().filter(|p| p.row == 0).flat_map(|p| p.rings[0].iter().map(|q| q.y)).collect();
        assert_eq!((*ys.iter().min().unwrap(), *ys.iter().max().unwrap()), row_zero, "{edge}");
    }
    let mut r = rectangle(5200, 3400);
    r.falls_to = "right".into();
    assert!(!check_layout(&r, &board("120")).along_x);
}

/// By hand: 5.2 × 3.4 m, insulation 120 mm, upturn 120 + 50 = 170 mm all round; rolls of 2 m lapped 150 mm:
/// (3400 + 340 − 150) ÷ 1850 = 1.94, two strips of 5200 + 340 = 5540 mm.
#[test]
fn the_vapour_layer_is_cut_in_lapped_strips_with_its_upturns() {
    let shape = shape(&rectangle(5200, 3400));
    let layer = |roll_length| VapourLayer { roll_width: mm(2000), roll_length: mm(roll_length) };
    let lengths = |roll| {
        let strips = lay_vapour(&shape, &layer(roll), &board("120"), &rules());
        strips.into_iter().map(|s| s.length.as_mm()).collect::<Vec<_>>()
    };
    assert_eq!(lengths(25_000), [5540, 5540]);
    // A roll of 4 m: 4000 + 1690 with a lap of 150.
    assert_eq!(lengths(4000), [5690, 5690]);
}

#[test]
fn insulation_lines_and_needs_carry_their_quantities_to_the_order() {
    let roof = rectangle(5200, 3400);
    let shape = shape(&roof);
    let layout = lay_boards_off(&shape, &board("120"), &[], &rules());
    let layer = VapourLayer { roll_width: mm(2000), roll_length: mm(25_000) };
    let vapour = lay_vapour(&shape, &layer, &board("120"), &rules());
    let (lines, needs) = lines(&shape, &layout, &board("120"), &vapour, &rules());
    let line = |id: &str| lines.iter().find(|l| l.id == id).unwrap();
    assert_eq!(line("insulation.area").quantity, dec("17.68"));
    assert_eq!(line("insulation.boards").quantity, Decimal::from(layout.boards));
    assert_eq!((line("vapour.area").quantity, line("vapour.area").unit), (dec("22.16"), Unit::SquareMetre));
    for line in &lines {
        assert!(
            matches!(line.working.last(), Some(Step::Formula { result, .. }) if *result == line.quantity),
            "{}",
            line.id
        );
    }
    let last = |id: &str| match line(id).working.last() {
        Some(Step::Formula { formula, .. }) => formula.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(last("insulation.area"), "17.68 m2 − 0 m2");
    assert_eq!(last("vapour.area"), "5.54 m × 2 m + 5.54 m × 2 m");
    let roles: Vec<(String, Decimal)> = needs.iter().map(|n| (n.role.to_string(), n.quantity)).collect();
    // One lap between two strips of 5.54 m, and 5.2 + 3.4 + 5.2 + 3.4 m round the roof.
    assert_eq!(last("vapour.tape"), "5.54 m + 17.2 m");
    let tape = ("tape.vapour".into(), dec("22.74"));
    assert_eq!(roles, [("insulation.pir-120".into(), layout.boards.into()), ("vapour".into(), dec("22.16")), tape]);
}

/// So many cases, the same ones every time.
fn fixed(seed: u64, cases: u32) -> ProptestConfig {
    let rng_seed = proptest::test_runner::RngSeed::Fixed(seed);
    ProptestConfig { rng_seed, failure_persistence: None, ..ProptestConfig::with_cases(cases) }
}

proptest! {
    #![proptest_config(fixed(6946, 48))]

    #[test]
    fn thicker_insulation_lets_less_heat_through(thickness in 20_i64..300, more in 1_i64..50, wool in 10_i64..100) {
        let u = |t: i64| {
            let mut build_up = hybrid();
            build_up.joists.between = Some(sheet("wool", &wool.to_string(), "0.038"));
            build_up.insulation = Some(board(&t.to_string()));
            worked(&build_up).transmittance
        };
        prop_assert!(u(thickness + more) < u(thickness));
    }

    #[test]
    fn the_true_resistance_is_never_above_the_upper_limit(share in 0_i64..60, wool in 20_i64..100) {
        let mut build_up = hybrid();
        build_up.joists.fraction = Some(Decimal::new(share, 2));
        build_up.joists.between = Some(sheet("wool", &wool.to_string(), "0.038"));
        let found = worked(&build_up);
        prop_assert!(found.lower <= found.total && found.total <= found.upper);
    }

    #[test]
    fn boards_cover_any_quadrilateral_once(
        width in 900_i64..8000,
        depth in 900_i64..6000,
        skew in -400_i64..400,
        length in 1200_i64..2500,
    ) {
        let roof = roof(&[
            (at(0, 0), "front", Finish::Drip),
            (at(width, 0), "right", Finish::Raised),
            (at(width - skew, depth), "back", Finish::Wall),
            (at(skew, depth - skew), "left", Finish::Raised),
        ]);
        let mut own = board("120");
        own.length = Length::mm(length);
        own.width = mm(600);
        check_layout(&roof, &own);
    }
}

// Through a job file.

const LAYERS: &str = "      ceiling: [{name: plasterboard, thickness: 12.5 mm, lambda: 0.21}]\n      \
                      joists: {breadth: 47 mm, depth: 150 mm}\n      \
                      vapour: {roll_width: 2 m, roll_length: 25 m}\n      overlay: osb3-18\n";

fn insulated(kind: &str, work: &str, thickness: &str) -> String {
    let board = format!(
        "      insulation: {{board: {kind}, thickness: {thickness}, lambda: 0.022, length: 2400 mm, width: 1200 mm}}\n"
    );
    lean_to("", &format!("    build_up:\n      kind: warm\n      work: {work}\n{LAYERS}{board}"), "")
}

/// A job laid out with a price book that does not say what its screws are.
fn without_screws(text: &str) -> wetout::estimate::LaidOut {
    let (mut loaded, _) = laid_out(text);
    loaded.products.overlay_screw = None;
    wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)).unwrap()
}

/// EN ISO 6946:2017, annex F (from memory): α λ A n ÷ d × (R₁ ÷ R)². By calculator, 492 screws of 4.8 mm on 25.85 m²
/// through 140 mm of 0.022: carbon steel (50 W/mK, EN ISO 10456, from memory) 0.0812, austenitic (17) 0.0276.
#[test]
fn screws_through_the_insulation_add_what_the_annex_says() {
    for (lambda, added) in [("50", 0.0812), ("17", 0.0276)] {
        let screw =
            Screw { diameter: Thickness::mm(dec("4.8")), conductivity: Conductivity::new(dec(lambda)).unwrap() };
        let per_m2 = dec("492") / dec("25.851113");
        let found = screw_correction(screw, per_m2, &sheet("foam", "140", "0.022"), dec("7.005287"));
        assert!((float(found) - added).abs() < 0.00005, "{lambda}: {found}");
    }
}

/// The count is the layout's, thickness and metal are the price book's: worked again in floating point.
#[test]
fn the_screws_of_the_layout_and_the_price_book_stand_in_the_u_value() {
    let text = insulated("pir-140", "renovated", "140 mm");
    let (_, laid) = laid_out(&text);
    let quantity =
        |id: &str| float(laid.take_off.lines.iter().filter(|l| l.id == id).map(|l| l.quantity).sum::<Decimal>());
    let found = finding(&laid, "heat.u");
    let clear = 1.0 / (0.1 + 0.0125 / 0.21 + 0.16 + 0.018 / 0.13 * 2.0 + 0.14 / 0.022 + 0.001_301 / 0.25 + 0.04);
    let section = std::f64::consts::PI * 0.0048_f64.powi(2) / 4.0;
    let screws = 0.8 * 17.0 * section * quantity("overlay.fixings") / quantity("roof.area") / 0.14;
    let share: f64 = 0.14 / 0.022 * clear;
    let u = clear + screws * share.powi(2);
    assert!(found.statement.starts_with(&format!("U-value {u:.4} W/m2K before rounding")), "{u}: {}", found.statement);
    assert_eq!(found.verdict, Verdict::Fail, "good without them, not good enough with them");
    let unknown = without_screws(&text);
    assert_eq!(finding(&unknown, "heat.u").verdict, Verdict::Refer);
    assert!(unknown.notices().any(|n| n.cure.contains("diameter: 4.8 mm")), "how to say it is told");
}

/// Worked example A (by hand from EN ISO 6946): with 120 mm U is 0.164, with 140 mm 0.143. The laminate
/// is what one layer of 450 comes to rather than 3 mm: a difference under 0.001.
#[test]
fn the_worked_example_of_a_warm_roof_holds_from_job_file_to_verdict() {
    for (board, thickness, work, verdict, reported) in [
        ("pir-120", "120 mm", "renovated", Verdict::Fail, "0.16 as reported"),
        ("pir-140", "140 mm", "renovated", Verdict::Refer, "0.14 as reported"),
        ("pir-140", "140 mm", "new", Verdict::Refer, "0.14 as reported"),
    ] {
        let laid = without_screws(&insulated(board, work, thickness));
        let found = finding(&laid, "heat.u");
        assert_eq!(found.verdict, verdict, "{}", found.statement);
        assert!(found.statement.contains(reported), "{}", found.statement);
        let warned = laid.notices().any(|n| n.place.to_string() == "roofs[0].build_up.insulation");
        assert_eq!(warned, verdict == Verdict::Fail);
    }
}

/// Worked example B (combined method of EN ISO 6946, from memory): 100 mm of wool between joists 47 at 400, 100 mm of
/// foam over the deck: U 0.1382 with 3 mm of laminate. Laid with one layer of 450 it is 1.301 mm, which an independent
/// working puts at 0.1384 (`tests/outside/worked.py`).
#[test]
fn the_worked_example_of_a_bridged_roof_holds_from_job_file_to_verdict() {
    let again: serde_json::Value = serde_json::from_str(include_str!("outside/worked.json")).unwrap();
    let text = insulated("pir-100", "renovated", "100 mm").replace(
        "joists: {breadth: 47 mm, depth: 150 mm}",
        "joists: {breadth: 47 mm, depth: 100 mm, between: {name: wool, thickness: 100 mm, lambda: 0.038 W/mK}}",
    );
    let laid = without_screws(&text);
    let found = finding(&laid, "heat.u");
    assert_eq!(found.verdict, Verdict::Refer, "screws that nobody knows never make it good");
    assert!(
        found.statement.starts_with("U-value 0.1384 W/m2K before rounding, 0.14 as reported"),
        "{}",
        found.statement
    );
    let results: Vec<f64> = found
        .working
        .iter()
        .filter_map(|s| if let Step::Formula { result, .. } = s { Some(float(*result)) } else { None })
        .collect();
    for key in ["upper", "lower", "u"] {
        let expected = again["hybrid_as_laid"][key].as_f64().unwrap();
        assert!(results.iter().any(|r| (r - expected).abs() < 1e-6), "{key} {expected}: {results:?}");
    }
    let told = |path: &str| laid.notices().any(|n| n.place.to_string() == format!("roofs[0].build_up.{path}"));
    assert!(told("joists.between"), "insulation in two places is warned of");
    // A share of timber that is given counts instead of breadth ÷ spacing.
    let more = text.replace("depth: 100 mm, between", "depth: 100 mm, fraction: 0.15, between");
    assert_ne!(finding(&without_screws(&more), "heat.u").statement, found.statement);
}

#[test]
fn an_existing_roof_that_lets_too_much_through_is_to_be_improved() {
    let with = |existing: &str| {
        let text = insulated("pir-140", "renovated", "140 mm");
        let text = text.replace("      ceiling:", &format!("      existing: {existing}\n      ceiling:"));
        let found = finding(&laid_out(&text).1, "heat.improvement").clone();
        (found.verdict, found.statement)
    };
    let (verdict, statement) = with("{u_value: 1.4 W/m2K}");
    assert_eq!(verdict, Verdict::Refer, "all of the roof is taken to be renovated where nothing is said");
    assert!(statement.contains("1.4 W/m2K, worse than 0.35"), "{statement}");
    assert_eq!(with("{u_value: 1.4 W/m2K, of_roof: 40 %, of_envelope: 10 %}").0, Verdict::Pass);
    assert_eq!(with("{u_value: 1.4 W/m2K, of_roof: 40 %, of_envelope: 26 %}").0, Verdict::Refer);
    assert_eq!(with("{u_value: 0.3, of_roof: 100 %}").0, Verdict::Pass);
    let (_, plain) = laid_out(&insulated("pir-140", "renovated", "140 mm"));
    assert!(
        plain.checked.findings.iter().all(|f| f.id != "heat.improvement"),
        "nothing is said of a roof that nobody knows"
    );
}

/// Joints of a layer over joints of the layer beneath, worked again from the placed pieces.
fn over_joints(upper: &[(Point, Point)], lower: &[(Point, Point)], apart: i64) -> i64 {
    let along_x = |(a, b): &(Point, Point)| a.y == b.y;
    let mut total = 0;
    for u in upper {
        let (from, to) =
            if along_x(u) { (u.0.x.min(u.1.x), u.0.x.max(u.1.x)) } else { (u.0.y.min(u.1.y), u.0.y.max(u.1.y)) };
        total += (from..to)
            .filter(|at| {
                lower.iter().filter(|l| along_x(l) == along_x(u)).any(|l| match along_x(u) {
                    true => (l.0.y - u.0.y).abs() < apart && l.0.x.min(l.1.x) <= *at && *at < l.0.x.max(l.1.x),
                    false => (l.0.x - u.0.x).abs() < apart && l.0.y.min(l.1.y) <= *at && *at < l.0.y.max(l.1.y),
                })
            })
            .count() as i64;
    }
    total
}

#[test]
fn joints_of_insulation_and_of_the_board_over_it_keep_off_those_beneath() {
    for (width, depth) in [("6.0 m", "3.0 m"), ("5.2 m", "3.4 m"), ("7.3 m", "4.1 m")] {
        let text = insulated("pir-140", "renovated", "140 mm")
            .replace("width: 6.0 m, depth: 3.0 m", &format!("width: {width}, depth: {depth}"));
        let (_, laid) = laid_out(&text);
        let roof = &laid.take_off.roofs[0];
        let over = roof.over.as_ref().unwrap();
        let joints =
            |d: &wetout::takeoff::layout::DeckLayout| d.joints.iter().map(|j| (j.from, j.to)).collect::<Vec<_>>();
        let (deck, overlay) = (joints(roof.deck.as_ref().unwrap()), joints(over.overlay.as_ref().unwrap()));
        let around: Vec<_> = deck.iter().chain(&overlay).copied().collect();
        assert_eq!(over_joints(&over.insulation.joints, &around, 100), over.insulation.near.as_mm(), "{width}");
        assert_eq!(over_joints(&overlay, &deck, 100), over.overlay_near.as_mm(), "{width}");
        let plain = lay_boards_off(&roof.shape, roof_board(&text).as_ref(), &[], &rules());
        assert!(over.insulation.near.as_mm() <= over_joints(&plain.joints, &around, 100), "{width}");
        assert!(over.insulation.boards <= plain.boards + rules().stagger_boards as usize, "{width}");
        // Laid as the deck is, every joint of the board would lie over one of the deck's: now hardly a tenth does.
        let all = over_joints(&deck, &deck, 100);
        assert!(over.overlay_near.as_mm() * 10 < all, "{width}: {} of {all} mm", over.overlay_near);
        let marks: Vec<&str> = over.insulation.pieces.iter().map(|p| p.mark.as_str()).take(2).collect();
        assert_eq!(marks, ["F1", "F2"]);
        assert!(over.overlay.as_ref().unwrap().pieces.iter().all(|p| p.mark.starts_with('T')));
        assert_eq!(over.overlay.as_ref().unwrap().noggins, [], "it lies on insulation");
    }
}

/// Foam of 140 mm is lowered over a pipe, and over no kerb: what would lie all round one is parted at its two sides, and comes
/// from the board that it came from.
#[test]
fn no_insulation_board_lies_all_round_a_rooflight() {
    let hole = |x: i64, y: i64, hole: &str| format!("    holes: [{{name: h, at: [{x} mm, {y} mm], {hole}}}]\n");
    let pieces = |hole: &str| {
        let text = insulated("pir-140", "renovated", "140 mm").replace("    falls_to", &format!("{hole}    falls_to"));
        // As they come, with no joint beneath to keep off: rows of 1200 mm from the front.
        lay_boards_off(&laid_out(&text).1.take_off.roofs[0].shape, roof_board(&text).as_ref(), &[], &rules())
    };
    let mut parted = 0;
    for (x, y) in [(600, 400), (700, 1600), (3000, 400), (3800, 1600), (2600, 500), (1100, 1700)] {
        let laid = pieces(&hole(x, y, "size: [400 mm, 400 mm], finish: kerb, upstand: 400 mm"));
        assert!(laid.pieces.iter().all(|p| p.rings.len() == 1), "{x} {y}: {:?}", laid.pieces);
        let area: i64 = laid.pieces.iter().map(|p| wetout::geometry::ring::ring_area(&p.rings[0]).as_mm2()).sum();
        assert_eq!(area, 18_000_000 - 160_000, "{x} {y}");
        // The strips at the front and at the back of one are of the board of what lies at its sides.
        let between = laid.pieces.iter().filter(|p| p.rings[0].iter().all(|q| (x..=x + 400).contains(&q.x)));
        for strip in between {
            let beside = laid.pieces.iter().filter(|p| p.row == strip.row && p.board == strip.board).count();
            assert!(beside > 2, "{x} {y}: {strip:?}");
            parted += 1;
        }
    }
    assert!(parted > 0);
    let piped = pieces(&hole(1000, 600, "round: 110 mm"));
    assert!(piped.pieces.iter().any(|p| p.rings.len() == 2), "{:?}", piped.pieces);
}

/// A line between two rows that would miss the back of this kerb by 5 mm, and leave a notch so deep in a board: the first row is
/// ripped by as much more, and the line meets it.
#[test]
fn a_row_over_the_insulation_is_not_notched_by_a_hair() {
    let holes = "    holes:\n      - {name: rooflight, at: [1.2 m, 2.2 m], size: [1.0 m, 1.0 m], finish: kerb, upstand: 450 mm}\n      \
                 - {name: flue, at: [5.6 m, 3.9 m], round: 110 mm}\n    measured_to: fascia\n";
    let text = insulated("pir-140", "renovated", "140 mm")
        .replace("width: 6.0 m, depth: 3.0 m", "width: 6.4 m, depth: 5.2 m")
        .replace("    falls_to", &format!("{holes}    falls_to"));
    let over = laid_out(&text).1.take_off.roofs[0].over.clone().unwrap().overlay.unwrap();
    for piece in &over.pieces {
        let places = || piece.rings.iter().flatten().map(|p| p.y);
        let (low, high) = (places().min().unwrap(), places().max().unwrap());
        let hair = |y: i64| (1..=20).contains(&(y - low)) || (1..=20).contains(&(high - y));
        // Sides along the row: the rounding round the flue has none so long.
        let along = |ring: &Vec<Point>| {
            let sides: Vec<_> = wetout::geometry::ring::sides(ring).collect();
            sides.into_iter().any(|(a, b)| a.y == b.y && (a.x - b.x).abs() >= 50 && hair(a.y))
        };
        assert!(!piece.rings.iter().any(along), "{}: {:?}", piece.mark, piece.rings);
    }
}

fn roof_board(text: &str) -> Box<InsulationBoard> {
    let (loaded, _) = laid_out(text);
    Box::new(loaded.job.roofs[0].build_up.as_ref().unwrap().insulation.clone().unwrap())
}

#[test]
fn insulation_over_a_joint_can_be_had_for_no_board_more_or_for_one() {
    let text =
        insulated("pir-140", "renovated", "140 mm").replace("width: 6.0 m, depth: 3.0 m", "width: 7.3 m, depth: 4.1 m");
    let (loaded, laid) = laid_out(&text);
    let roof = &laid.take_off.roofs[0];
    let joints: Vec<_> = roof.deck.as_ref().unwrap().joints.iter().map(|j| (j.from, j.to)).collect();
    let board = loaded.job.roofs[0].build_up.as_ref().unwrap().insulation.as_ref().unwrap();
    let with = |stagger_boards| lay_boards_off(&roof.shape, board, &joints, &Rules { stagger_boards, ..rules() });
    let (none, one) = (with(0), with(1));
    assert_eq!(none.boards, lay_boards_off(&roof.shape, board, &[], &rules()).boards);
    assert!(one.boards <= none.boards + 1 && one.near <= none.near);
}

/// By hand: a lean-to of 6.0 × 3.0 m has 6 m of drip and twice 3 m of raised edge; the wall has none.
#[test]
fn edge_timber_as_high_as_the_insulation_is_ordered_for_the_open_edges() {
    let (_, laid) = laid_out(&insulated("pir-140", "renovated", "140 mm"));
    let line = laid.take_off.lines.iter().find(|l| l.id == "edge.timber").unwrap();
    assert_eq!(line.quantity, dec("12"));
    let need = laid.take_off.needs.iter().find(|n| n.role == "timber.edge").unwrap();
    // Five in a hundred are lost in offcuts.
    assert_eq!((need.size, need.quantity), (Some(mm(140)), dec("12.6")));
    let (_, none) = laid_out(&format!("{}rules: {{batten_waste: 0 %}}\n", insulated("pir-140", "renovated", "140 mm")));
    assert_eq!(none.take_off.needs.iter().find(|n| n.role == "timber.edge").unwrap().quantity, dec("12"));
}

#[test]
fn the_hours_of_a_warm_roof_are_in_the_days_and_in_the_price() {
    let demo = |text: &str| crate::demo::work(&crate::support::asked(text));
    let (plain, warm) = (demo(&lean_to("", "", "")), demo(&insulated("pir-140", "renovated", "140 mm")));
    let work = warm.programme.work.iter().find(|w| w.operation == wetout::programme::Operation::Insulate).unwrap();
    assert_eq!(work.label, "Lay the vapour layer, the insulation and the board over it");
    // 22.43 m² of sheet × 0.04 + 18 m² × 0.12 + 17.85 m² × 0.25 + (12 m of timber, and its battens) × 0.08, by the firm's own norms.
    let line = |id: &str| warm.take_off.lines.iter().find(|l| l.id == id).unwrap().quantity;
    let hours = line("vapour.area") * dec("0.04")
        + line("insulation.area") * dec("0.12")
        + line("overlay.area") * dec("0.25")
        + (dec("12") + line("batten.length")) * dec("0.08");
    assert_eq!(work.hours, hours.round_dp(2));
    assert!(
        warm.programme
            .days
            .iter()
            .any(|d| d.work.iter().any(|(i, _)| warm.programme.work[*i].operation == work.operation))
    );
    let labour = |d: &crate::demo::Demo| d.pricing.costs.iter().find(|c| c.id == "cost.labour").unwrap().amount;
    assert!(labour(&warm) > labour(&plain));
    assert!(warm.pricing.lines.iter().any(|l| l.label == "New timber deck and insulation"));
    assert!(plain.pricing.lines.iter().any(|l| l.label == "New timber deck"));
}

#[test]
fn insulation_vapour_layer_and_the_board_over_them_are_laid_out_and_ordered() {
    let (loaded, laid) = laid_out(&insulated("pir-140", "renovated", "140 mm"));
    let over = laid.take_off.roofs[0].over.as_ref().unwrap();
    let area: i64 = over.insulation.pieces.iter().map(|p| (p.length * p.width).as_mm2()).sum();
    assert_eq!(area, 18_000_000, "a rectangle is covered once");
    let line = |id: &str| laid.take_off.lines.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("no {id}"));
    assert_eq!(line("insulation.area").quantity, dec("18"));
    assert_eq!(line("overlay.boards").quantity, Decimal::from(over.overlay.as_ref().unwrap().boards));
    let need = |role: &str| laid.take_off.needs.iter().find(|n| n.role == role).unwrap_or_else(|| panic!("no {role}"));
    assert_eq!(need("insulation.pir-140").quantity, Decimal::from(over.insulation.boards));
    assert!(need("vapour").quantity > dec("18"));
    let boards = line("deck.boards").quantity + line("overlay.boards").quantity + line("boards.spare").quantity;
    assert_eq!(need("board.osb3-18").quantity, boards, "both decks are bought");
    let sold = |role: &str| loaded.books[0].articles.iter().any(|a| a.role == role);
    assert!(["insulation.pir-140", "vapour", "fixings.overlay", "vent.strip"].into_iter().all(sold));
}

#[test]
fn the_upstand_that_is_left_counts_the_insulation() {
    let text = insulated("pir-140", "renovated", "140 mm");
    let low = |text: &str| {
        let (_, laid) = laid_out(text);
        laid.notices().find(|n| n.place.to_string() == "roofs[0].edges.back.upstand").cloned()
    };
    assert_eq!(low(&text), None);
    // 390 less 75 of firring and 6 of its toe, 18 of board, 158 over it: 133.
    let told = low(&text.replace("upstand: 600 mm", "upstand: 390 mm")).unwrap();
    assert!(told.fault.contains("133 mm") && told.fault.contains("158 mm of insulation"), "{told}");
    assert_eq!(low(&lean_to("", "", "").replace("upstand: 600 mm", "upstand: 390 mm")), None);
}

#[test]
fn a_cold_roof_asks_for_vents_and_warns_where_its_joists_end_at_the_wall() {
    let cold = "    build_up:\n      kind: cold\n      work: renovated\n      void: 50 mm\n      vent_gap: 25 mm\n      \
                joists: {breadth: 47 mm, depth: 200 mm, between: {name: wool, thickness: 150 mm, lambda: 0.038}}\n";
    let (_, laid) = laid_out(&lean_to("", cold, ""));
    assert_eq!(finding(&laid, "air.vent").verdict, Verdict::Refer);
    assert!(laid.notices().any(|n| n.fault.contains("no second vent path")));
    let vent = laid.take_off.needs.iter().find(|n| n.role == "vent.strip").unwrap();
    assert_eq!((vent.quantity, vent.unit()), (dec("6"), Unit::Metre));
}

#[test]
fn insulation_never_changes_the_rate_of_vat() {
    let rates = |text: &str| {
        let demo = crate::demo::work(&crate::support::asked(text));
        demo.pricing.vat.iter().map(|v| v.rate).collect::<Vec<_>>()
    };
    let plain = rates(&lean_to("", "", ""));
    assert_eq!(plain, [dec("20")]);
    assert_eq!(rates(&insulated("pir-140", "renovated", "140 mm")), plain);
}

// In the documents.

fn page(kind: wetout::documents::DocumentKind, text: &str) -> String {
    let demo = crate::demo::work(&crate::support::asked(text));
    wetout::documents::describe(kind, &demo.worked(), &wetout::documents::Overrides::default()).unwrap()
}

#[test]
fn the_method_statement_takes_vapour_layer_insulation_and_board_in_the_order_of_the_work() {
    use wetout::documents::DocumentKind;
    let warm = page(DocumentKind::Method, &insulated("pir-140", "renovated", "140 mm"));
    let place = |words: &str| warm.find(words).unwrap_or_else(|| panic!("no {words}"));
    let order = [
        "Deck dry, sound, swept: signed",
        "Insulation: vapour layer",
        "Snap the joists",
        "Vapour layer sealed, insulation tight",
        "Insulation to cut",
        "Boards over the insulation to cut",
        "Cut list checked against the roof",
    ];
    assert!(order.iter().map(|w| place(w)).is_sorted());
    for words in ["through 176 mm", "Insulation offcuts", "17 06 04", "Never laminate", "F1", "T1"] {
        place(words);
    }
    let plain = page(DocumentKind::Method, &lean_to("", "", ""));
    assert!(!plain.contains("Insulation to cut") && !plain.contains("17 06 04"));
}

/// 18 of board, 160 of insulation and 18 of deck are 196: of 240 mm 44 are left. The garage's firrings are up to 147 deep: there the screw
/// ends in the firring, and what lies over it hangs on the firring's screws, as near to one another as those above.
#[test]
fn screws_of_a_warm_roof_hold_in_timber_and_firrings_hold_what_lies_on_them() {
    use wetout::documents::DocumentKind;
    let demo = crate::demo::work(&crate::demo::request("garage-utility"));
    let need = demo.take_off.needs.iter().find(|n| n.role == "fixings.overlay").unwrap();
    assert_eq!(need.size, Some(mm(240)));
    let firrings = &demo.take_off.roofs[0].firrings;
    assert!(firrings.iter().any(|f| f.high_depth > mm(44)));
    let apart = |most: i64| -> Decimal {
        firrings
            .iter()
            .map(|f| Decimal::from(f.length.as_mm() / most + i64::from(f.length.as_mm() % most > 0) + 1))
            .sum()
    };
    let screws = demo.take_off.lines.iter().find(|l| l.id == "firring.fixings").unwrap();
    assert_eq!(screws.quantity, apart(300));
    let method = crate::falls::words(&demo, DocumentKind::Method);
    for told in [
        "Screws of 240 mm reach through 196 mm and 35 mm or more into the timber under the deck: joist, or firring where",
        "Screw through into firring or joist: every 150 mm",
        "Screw every 300 mm or as the screws",
        "What lies over insulation hangs on these screws: each well into the joist",
        "through the deck into the firring, joist or noggin under its edge; not into the fascia",
    ] {
        assert!(method.contains(told), "{told}: {method}");
    }
    let quote = crate::falls::words(&demo, DocumentKind::Quote);
    assert!(quote.contains("screwed through into the timber of the roof") && !quote.contains("through to the joists"));
    // With the fall in the joists there are none: the screws go into the joists.
    let text = insulated("pir-140", "renovated", "140 mm").replace("fall: 1:40", "fall: existing 1:40");
    let plain = page(DocumentKind::Method, &text);
    assert!(plain.contains("35 mm or more into the joists") && !plain.contains("hangs on these screws"), "{plain}");
}

/// 196 and 50 are more than the longest screw that is sold.
#[test]
fn a_screw_that_ends_before_the_timber_is_warned_of() {
    let told = |rules: &str| -> Vec<String> {
        let request = crate::demo::request("garage-utility");
        let mut text = String::from_utf8(request.bytes.clone()).unwrap();
        text.push_str(rules);
        let loaded =
            wetout::job_file::load(&wetout::job_file::Request { bytes: text.into_bytes(), ..request }).unwrap();
        let laid = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded))
            .unwrap();
        let short = laid.notices().filter(|n| n.warned == Some(wetout::model::Warned::ShortScrews));
        short.map(|n| format!("{}; {}", n.fault, n.cure)).collect()
    };
    assert_eq!(told(""), [""; 0]);
    let [short] = <[String; 1]>::try_from(told("\nrules: {timber_bite: 50 mm}\n")).unwrap();
    assert!(
        short.contains("must be 246 mm long") && short.contains("the longest in the price book is 240 mm"),
        "{short}"
    );
    assert!(short.contains("`size: 246 mm` or more"), "{short}");
}

/// By hand: 140 of insulation, 18 of board and 18 of deck, as nobody says how thick old boards are, and under them 6 of firring at its toe and 81 at its high end, 3 m
/// at 1:40 and the toe; no firrings where the fall is there; 11 of board more over an old deck.
#[test]
fn the_customer_is_told_how_much_higher_the_roof_becomes_at_either_side() {
    let told = |text: &str, words: &str| {
        let demo = crate::demo::work(&crate::support::asked(text));
        let quote = wetout::documents::views::QuoteView::of(&demo.worked());
        let plain = wetout::documents::words::Words::new(&Default::default()).unwrap();
        let quote = crate::drawings::text_of(&wetout::documents::quote::document(&quote, &plain).unwrap());
        assert!(quote.contains(words), "{words}: {quote}");
    };
    let firred = insulated("pir-140", "renovated", "140 mm");
    told(&firred, "The roof becomes about 182 mm higher at its low side and 257 mm at its high side.");
    let there = firred.replace("fall: 1:40", "fall: existing 1:40");
    told(&there, "The roof becomes about 176 mm higher.");
    told(&there.replace("new, board: osb3-18", "overlay, board: osb3-11"), "The roof becomes about 169 mm higher.");
}

/// The plain chart: a row for each stage of the work, a whole cell for each day on which something of it is done.
#[test]
fn the_day_chart_of_the_quote_is_plainer_than_that_of_the_site() {
    use wetout::documents::drawings::{Space, day_chart};
    use wetout::pages::scene::Mark;
    let demo = crate::demo::work(&crate::support::asked(&insulated("pir-140", "renovated", "140 mm")));
    let drawn = |figure: wetout::pages::block::Figure| {
        let words: Vec<String> = figure
            .scene
            .marks
            .iter()
            .filter_map(|m| if let Mark::Text { text, .. } = m { Some(text.clone()) } else { None })
            .collect();
        let bars = figure.scene.marks.iter().filter(|m| matches!(m, Mark::Area { .. })).count();
        (words, bars)
    };
    let (plain, bars) = drawn(day_chart::draw_plain(&demo.programme.timetable(), Space::HALF_PAGE).unwrap());
    let (site, site_bars) = drawn(day_chart::draw(&demo.programme, Space::HALF_PAGE).unwrap());
    let rows = ["New boards and insulation", "Edges and glass fibre", "Topcoat", "Fit the flashing"];
    assert!(rows.iter().all(|r| plain.iter().any(|w| w == r)), "{plain:?}");
    assert!(!plain.iter().any(|w| w == "Old covering off"), "nothing is stripped");
    assert!(site.iter().any(|w| w == "Lay the deck") && !plain.iter().any(|w| w == "Lay the deck"));
    assert!(bars > 0 && bars < site_bars, "{bars} {site_bars}");
}

#[test]
fn the_householder_reads_what_was_checked_by_named_rules_and_what_that_means() {
    use wetout::documents::DocumentKind;
    let text = insulated("pir-120", "renovated", "120 mm");
    // Words as they stand on the page, lines joined: a name may be parted between two of them.
    let joined = |page: String| -> String {
        let words = page
            .lines()
            .filter_map(|l| l.split_once("  ").map(|_| l.split_whitespace().skip(4).collect::<Vec<_>>().join(" ")));
        words.collect::<Vec<_>>().join(" ")
    };
    let quote = joined(page(DocumentKind::Quote, &text));
    for words in [
        "Approved Document L, volume 1",
        "Not good enough",
        "no certificate",
        "The chart shows what is done on which day",
    ] {
        assert!(quote.contains(words), "{words}: {quote}");
    }
    for kind in [DocumentKind::Quote, DocumentKind::Method, DocumentKind::Order] {
        let pages = page(kind, &text);
        assert!(!pages.contains("m2K"), "{kind:?}");
    }
    // That a figure was recalled and not looked up is told to whoever asks how it was found; a customer reads what is published.
    assert!(!quote.contains("from memory"), "{quote}");
    assert!(finding(&laid_out(&text).1, "heat.u").source.contains("from memory"));
}

/// Firrings and boards lift the edge timber of the garage above its old fascias: most at the back, where firrings are deepest. The
/// office is told once, and the crew rings where one ends lower.
#[test]
fn a_fascia_that_ends_below_the_edge_timber_is_told() {
    let garage = crate::demo::work(&crate::demo::request("garage-utility"));
    let of = |demo: &crate::demo::Demo| -> Vec<String> {
        let loaded = &demo.loaded;
        let found = wetout::checks::check(&loaded.job, &demo.take_off, &loaded.rules, &loaded.products);
        found.notices.into_iter().map(|n| n.fault).filter(|f| f.contains("fascia is taken")).collect()
    };
    let told = of(&garage);
    let deepest = garage.take_off.roofs[0].firrings.iter().map(|f| f.high_depth).max().unwrap();
    // The last joist lies 325 mm inside the back edge: there the roof is 8 mm higher yet. The board of 18 mm on it takes the place of an
    // old one as thick, which comes up.
    let most: i64 = told[0].split("up to ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(told.len() == 1 && told[0].contains("`back`"), "{told:?}");
    assert_eq!((deepest.as_mm(), most), (142, 150), "{told:?}");
    let bay = crate::demo::work(&crate::demo::request("bay"));
    assert_eq!(of(&bay), [""; 0]);
    let method = crate::falls::words(&garage, wetout::documents::DocumentKind::Method);
    assert!(method.contains("One that ends lower: ring, it is not left open"), "{method}");
    assert!(
        method.contains(&format!("and {most} mm at the utility side and at the back. One that ends lower")),
        "{method}"
    );
}

/// On bare joists firrings stand behind the battens: of 81 mm at the back of 3 m at 1:40, on a toe of 6 mm, a batten of 50 mm hides
/// its own height. Office, householder and crew are told what is left; a roof whose fall is there has none.
#[test]
fn firrings_that_stay_bare_above_an_old_fascia_are_told() {
    let text = crate::support::lean_to("", "", "");
    let demo = crate::demo::work(&crate::support::asked(&text));
    let found = wetout::checks::check(&demo.loaded.job, &demo.take_off, &demo.loaded.rules, &demo.loaded.products);
    let told: Vec<String> =
        found.notices.into_iter().map(|n| n.fault).filter(|f| f.contains("fascia is taken")).collect();
    assert!(
        told.len() == 1 && told[0].starts_with("at `right` and `left` up to 31 mm of the firrings stand"),
        "{told:?}"
    );
    let [quote, method] = crate::edges::documents(&demo);
    assert!(
        quote.contains(
            "Where its top is level with the joists, the new tapered timber shows above it: closing that gap is not in \
             the price."
        ),
        "{quote}"
    );
    assert!(method.contains("at most: 31 mm on the right and on the left. Ring before you go on"), "{method}");
    let there = crate::demo::work(&crate::support::asked(&text.replace("fall: 1:40", "fall: existing 1:40")));
    let [quote, method] = crate::edges::documents(&there);
    assert!(!quote.contains("shows above it") && !method.contains("firrings show between"), "{quote}");
}

/// Of a new fascia that the job orders nothing is asked: at the edges that its words name, at all where they name none. It must reach
/// from the foot of the joists to what is built on them. By hand: joists of 195 mm and 31 mm of bare firrings are 226 mm, over the 225 of
/// the board by a hair; joists of 170 mm are not.
#[test]
fn a_new_fascia_takes_the_place_of_the_question_and_must_be_high_enough() {
    let work = |item: &str, joists: &str| {
        let lines = format!("order_lines:\n  - {{item: {item}, article: own.fascia-225, count: 3, during: prepare}}\n");
        let text = crate::support::lean_to("", "", &lines);
        let text = text.replace("spacing: 400 mm}", &format!("spacing: 400 mm{joists}}}"));
        crate::demo::work(&crate::support::asked(&text))
    };
    let told = |demo: &crate::demo::Demo| -> Vec<String> {
        let found = wetout::checks::check(&demo.loaded.job, &demo.take_off, &demo.loaded.rules, &demo.loaded.products);
        found.notices.into_iter().map(|n| n.fault).filter(|f| f.contains("fascia")).collect()
    };
    for (item, asked) in [
        ("white fascia board", None),
        ("white fascia board along right and left", None),
        ("white fascia board along the front", Some("at `right` and `left` up to 31 mm")),
        ("white fascia board on the left", Some("at `right` up to 31 mm")),
    ] {
        let demo = work(item, "");
        let found = told(&demo);
        assert_eq!(found.len(), usize::from(asked.is_some()), "{item}: {found:?}");
        assert!(asked.is_none_or(|words| found[0].starts_with(words)), "{item}: {found:?}");
        let [quote, method] = crate::edges::documents(&demo);
        assert_eq!(quote.contains("the new tapered timber shows above it"), asked.is_some(), "{item}: {quote}");
        assert_eq!(method.contains("firrings show between it and the batten"), asked.is_some(), "{item}: {method}");
    }
    let low = |item: &str, depth: &str| told(&work(item, &format!(", section: 47 x {depth} mm")));
    assert_eq!(low("white fascia board", "170"), [""; 0]);
    let found = low("white fascia board", "195");
    let words = "is 225 mm high, and at `right` and `left` of `Lean-to` it is 226 mm from the foot of the joists";
    assert!(found.len() == 1 && found[0].contains(words), "{found:?}");
    let found = low("white fascia board on the left", "195");
    assert!(found.iter().any(|f| f.contains("at `left` of `Lean-to` it is 226 mm")), "{found:?}");
}

/// A kept deck has no boards further back, where what is laid over it meets the slope: the crew hears that none are on the load.
#[test]
fn a_kept_deck_is_not_carried_on_under_tiles() {
    let under = "{finish: step, under: {covering: slates, gauge: 200 mm, cover: 250 mm, pitch: 35°, by: us}}";
    let text = insulated("pir-140", "renovated", "140 mm").replace("{action: new, board: osb3-18}", "{action: keep}");
    let text = text.replace("fall: 1:40", "fall: existing 1:40") + "strip: {covering: felt, tip: skip, boards: none}\n";
    let demo = crate::demo::work(&crate::support::asked(
        &text.replace("{finish: wall, upstand: 600 mm, flashing: lead}", under),
    ));
    assert_eq!(demo.take_off.roofs[0].shape.area, Area::mm2(18_000_000));
    let [_, method] = crate::edges::documents(&demo);
    assert!(method.contains("No boards are on the load for that: old ones as far, or ring."), "{method}");
    assert!(!method.contains("The plans go to there"), "{method}");
}

/// Vapour layer and insulation over old felt that stays are not laid out: where nothing is stripped the boards are taken to be bare,
/// and whoever writes the job is told so.
#[test]
fn a_warm_roof_of_which_nothing_is_stripped_is_taken_to_have_bare_boards() {
    let told = |strip: &str, deck: &str| {
        let text = insulated("pir-140", "renovated", "140 mm").replace("{action: new, board: osb3-18}", deck);
        let text = text.replace("fall: 1:40", "fall: existing 1:40") + "strip: " + strip + "\n";
        let (_, laid) = laid_out(&text);
        let of = |n: &&Problem| n.place.to_string() == "roofs[0].strip" && n.fault.contains("taken to be bare");
        laid.notices().filter(of).count()
    };
    let (stays, new) = ("{action: keep}", "{action: new, board: osb3-18}");
    assert_eq!(told("nothing", stays), 1);
    assert_eq!((told("{covering: felt, tip: skip, boards: none}", stays), told("nothing", new)), (0, 0));
}

/// What is cut out of an insulation board stands in its list, as in that of the deck: here at a corner of the L.
#[test]
fn the_list_of_insulation_tells_what_is_cut_out_of_a_board() {
    let demo = crate::demo::work(&crate::demo::request("garage-utility"));
    let words = crate::falls::words(&demo, wetout::documents::DocumentKind::Method);
    assert!(words.contains("2400 × 1200 less 125 × 800 at front right"), "{words}");
    // Where a piece is cut out between the ends of a board, it is measured from one: its ring says from where.
    let over = demo.take_off.roofs[0].over.as_ref().unwrap();
    let mut seen = 0;
    for piece in &over.insulation.pieces {
        let ring = &piece.rings[0];
        let (left, right) = (ring.iter().map(|p| p.x).min().unwrap(), ring.iter().map(|p| p.x).max().unwrap());
        let within: Vec<i64> = ring.iter().map(|p| p.x).filter(|x| left < *x && *x < right).collect();
        if let (8, Some(from), Some(to)) = (ring.len(), within.iter().min(), within.iter().max()) {
            let (long, at) = (to - from, from - left);
            let cut = format!("{} × {} less {long} × ", piece.length.as_mm(), piece.width.as_mm());
            let mut rows =
                words.split(&cut).skip(1).map(|rest| rest.split_whitespace().take(6).collect::<Vec<_>>().join(" "));
            assert!(rows.any(|row| row.contains(&format!(", {at} from left"))), "{at}: {words}");
            seen += 1;
        }
    }
    assert!(seen > 1, "{seen}");
}
