//! Tests of trims: runs, junctions, laps, marks, lines and needs, on roofs put together by hand.

use crate::support::{self, laid_out, lean_to, setting};
use rust_decimal::Decimal;
use wetout::cutting::{Joining, RunCut, RunPlan, RunWanted, SoldLength, cut_runs, share_out};
use wetout::documents::drawings::corners::{self, Drawn};
use wetout::documents::site_words;
use wetout::model::job::By;
use wetout::model::products::Stock;
use wetout::model::shape::{DeckAction, DeckChoice, Gutter, Joints, JoistRun, Joists, LaminateChoice, TopcoatChoice};
use wetout::model::{
    Area, Edge, Fall, Finish, Hole, HoleForm, Job, Length, Outline, Point, Problem, Products, Roof, RoofFall, Rules,
};
use wetout::pages::scene::{Mark, Spot};
use wetout::takeoff::layout::junctions::junctions;
use wetout::takeoff::layout::shape::{Corner, Direction, HoleShape, RoofShape, Side, Turn};
use wetout::takeoff::layout::trims::{TrimJob, plan_trims};
use wetout::takeoff::layout::{BandageOver, Junction, LapOver, ProfilePlan, RunPlace, Treatment, TrimRun};
use wetout::takeoff::quantities::line::{Line, Need, Step};
use wetout::takeoff::quantities::trim_lines::{nails_along, trim_lines};
use wetout::takeoff::{TakeOff, take_off};

use Finish::{Drip, Kerb, Raised, Step as AtStep, Wall};

const fn mm(n: i64) -> Length {
    Length::mm(n)
}

// ---- Roofs by hand -----------------------------------------------------------------------------------------------

/// A roof of corner points, each with the name and finish of the edge that starts there; it falls to y = 0.
fn roof(name: &str, index: usize, ring: &[(i64, i64, &str, Finish)]) -> (RoofShape, Roof) {
    let n = ring.len();
    let at = |i: usize| Point::new(ring[i % n].0, ring[i % n].1);
    let path = |i: usize| format!("roofs[{index}].edges.{}", ring[i].2);
    let length = |i: usize| {
        let (a, b) = (at(i), at(i + 1));
        mm((((b.x - a.x).pow(2) + (b.y - a.y).pow(2)) as f64).sqrt().round() as i64)
    };
    let sides = (0..n).map(|i| Side {
        label: ring[i].2.into(),
        path: setting(&path(i)),
        from: at(i),
        to: at(i + 1),
        run: length(i),
        finish: ring[i].3,
        carried: mm(0),
        sill: None,
        coped: None,
        ladder: None,
    });
    let edges = (0..n).map(|i| Edge {
        name: ring[i].2.into(),
        stretch: None,
        path: setting(&path(i)),
        length: length(i),
        finish: ring[i].3,
        joints: Joints::Lapped,
        gutter: None,
        upstand: None,
        flashing: None,
        ladder_point: None,
        overflow: None,
        box_gutter: None,
        sill: None,
        coping: None,
        under: None,
    });
    let shape = RoofShape {
        name: name.into(),
        index,
        sides: sides.collect(),
        corners: (0..n).map(|i| corner(at(i + n - 1), at(i), at(i + 1))).collect(),
        holes: Vec::new(),
        uphill: Direction { x: 0.0, y: 1.0 },
        low_sides: vec![0],
        way_off: 0,
        area: Area::mm2(0),
        moved: false,
        edge_joists: Vec::new(),
        joists: Default::default(),
    };
    let outline = Outline::new((0..n).map(at).collect(), edges.collect()).unwrap();
    (shape, measured(name, index, outline))
}

fn measured(name: &str, index: usize, outline: Outline) -> Roof {
    Roof {
        name: name.into(),
        path: setting(&format!("roofs[{index}]")),
        outline,
        falls_to: "front".into(),
        fall: RoofFall::Firred(Fall { run: Decimal::from(40) }, By::Us),
        holes: Vec::<Hole>::new(),
        joists: Joists { run: JoistRun::FrontToBack, spacing: mm(400), first: mm(0), last: None, section: None },
        measured_to: Default::default(),
        way_off: None,
        deck: DeckChoice { action: DeckAction::New, board: Some("osb3-18".into()), lifted: None },
        laminate: LaminateChoice { mat: 450, layers: 1 },
        topcoat: TopcoatChoice { colour: "dark grey".into(), finish: crate::support::surface("smooth") },
        wall_above: None,
        roof_above: None,
        build_up: None,
        outlets: Vec::new(),
        own: Default::default(),
        misclosure: None,
    }
}

fn corner(before: Point, at: Point, after: Point) -> Corner {
    let towards = |p: Point| ((p.y - at.y) as f64).atan2((p.x - at.x) as f64);
    let inside = (towards(before) - towards(after)).rem_euclid(std::f64::consts::TAU).to_degrees();
    let turn = match inside {
        a if (a - 180.0).abs() < 0.5 => Turn::Straight,
        a if a < 180.0 => Turn::External,
        _ => Turn::Internal,
    };
    Corner { at, turn, inside }
}

fn rectangle(width: i64, depth: i64, finishes: [Finish; 4]) -> (RoofShape, Roof) {
    let [front, right, back, left] = finishes;
    roof(
        "Main roof",
        0,
        &[(0, 0, "front", front), (width, 0, "right", right), (width, depth, "back", back), (0, depth, "left", left)],
    )
}

fn kitchen() -> (RoofShape, Roof) {
    rectangle(5200, 3400, [Drip, Raised, Wall, Raised])
}

/// A garage and utility: an L whose inner corner lies between two raised edges.
fn l_shape(inner: [Finish; 2]) -> (RoofShape, Roof) {
    roof(
        "Garage",
        0,
        &[
            (0, 0, "front", Drip),
            (6000, 0, "right", Raised),
            (6000, 2500, "return", inner[0]),
            (3000, 2500, "inner", inner[1]),
            (3000, 5000, "back", Wall),
            (0, 5000, "left", Raised),
        ],
    )
}

fn with_hole(mut shape: RoofShape, name: &str, finish: Finish, at: (i64, i64), size: (i64, i64)) -> RoofShape {
    let (x, y) = at;
    let corner = [(x, y), (x + size.0, y), (x + size.0, y + size.1), (x, y + size.1)];
    shape.holes.push(HoleShape {
        name: name.into(),
        path: setting(&format!("roofs[0].holes[{}]", shape.holes.len())),
        form: HoleForm::Box { at: Point::new(x, y), width: mm(size.0), depth: mm(size.1) },
        ring: corner.map(|(x, y)| Point::new(x, y)).into(),
        finish,
        round: false,
        carried: Rules::default().mat_return.of(finish),
    });
    shape
}

fn pipe(mut shape: RoofShape) -> RoofShape {
    shape = with_hole(shape, "soil pipe", Kerb, (1000, 1000), (110, 110));
    shape.holes.last_mut().unwrap().round = true;
    shape
}

struct Planned {
    plans: Vec<ProfilePlan>,
    notices: Vec<Problem>,
    shapes: Vec<RoofShape>,
    junctions: Vec<Vec<Junction>>,
    lines: Vec<Line>,
    needs: Vec<Need>,
}

fn planned(roofs: &[(RoofShape, Roof)], wind: Option<&str>, rules: &Rules, products: &Products) -> Planned {
    let shapes: Vec<RoofShape> = roofs.iter().map(|r| r.0.clone()).collect();
    let models: Vec<Roof> = roofs.iter().map(|r| r.1.clone()).collect();
    let job = TrimJob { shapes: &shapes, roofs: &models, wind_from: wind, rules, products };
    let (plans, notices) = plan_trims(&job).unwrap();
    let junctions: Vec<Vec<Junction>> = roofs.iter().map(|(s, r)| junctions(s, r, products, rules).unwrap()).collect();
    let (lines, needs) = trim_lines(&shapes, &plans, &junctions, &[], rules, products);
    plans.iter().for_each(|p| replay(p, rules));
    lines.iter().for_each(adds_up);
    Planned { plans, notices, shapes, junctions, lines, needs }
}

fn usual(roofs: &[(RoofShape, Roof)]) -> Planned {
    planned(roofs, None, &Rules::default(), &Products::default())
}

impl Planned {
    /// What the crew reads of a corner of the first roof.
    fn told_at(&self, corner: usize) -> String {
        support::corner_told(&self.shapes[0], &self.junctions[0][corner])
    }

    fn runs(&self, finish: Finish) -> &[TrimRun] {
        self.plans.iter().find(|p| p.finish == finish).map_or(&[], |p| &p.runs)
    }

    fn line(&self, id: &str) -> &Line {
        self.lines.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("no line {id}"))
    }

    fn quantity(&self, id: &str) -> Decimal {
        self.lines.iter().filter(|l| l.id == id).map(|l| l.quantity).sum()
    }
}

fn number(n: i64, scale: u32) -> Decimal {
    Decimal::new(n, scale)
}

/// Lays a plan again from its bars: every piece cut once, no length overfull, every run covered from end to end with
/// its laps, marks used once.
fn replay(plan: &ProfilePlan, rules: &Rules) {
    let mut cut: Vec<&str> = plan.bars.iter().flat_map(|b| &b.cuts).map(String::as_str).collect();
    cut.sort_unstable();
    let mut marks: Vec<&str> = plan.runs.iter().flat_map(|r| &r.pieces).map(|p| p.mark.as_str()).collect();
    marks.sort_unstable();
    assert_eq!(cut, marks);
    marks.dedup();
    assert_eq!(cut.len(), marks.len(), "a mark is used twice");
    for (b, bar) in plan.bars.iter().enumerate() {
        let pieces = plan.runs.iter().flat_map(|r| &r.pieces).filter(|p| p.bar == b);
        let used: Length = pieces.map(|p| p.length + rules.kerf).sum();
        let sample = if bar.sample { rules.sample + rules.kerf } else { Length::ZERO };
        assert_eq!(bar.offcut, (bar.stock - used - sample).max(Length::ZERO), "{bar:?}");
        assert!(used - rules.kerf <= bar.stock);
    }
    plan.runs.iter().for_each(|r| replay_run(r, rules));
}

fn replay_run(run: &TrimRun, rules: &Rules) {
    let offset = if matches!(run.place, RunPlace::Ladder { .. }) { run.pieces[0].at } else { Length::ZERO };
    let mut end = offset - run.start_allowance;
    for (n, piece) in run.pieces.iter().enumerate() {
        assert_eq!(piece.at, if n == 0 { end } else { end - rules.trim_lap });
        if n > 0 {
            let middle = piece.at + mm(rules.trim_lap.as_mm() / 2);
            assert_eq!(run.laps[n - 1].at, middle);
        }
        end = piece.at + piece.length;
    }
    assert_eq!(end, offset + run.run + run.end_allowance);
    assert_eq!(run.laps.len() + 1, run.pieces.len());
}

/// The working of a line leads to its quantity.
fn adds_up(line: &Line) {
    let mut results = line.working.iter().filter_map(|s| match s {
        Step::Formula { result, unit, .. } | Step::Rounded { result, unit, .. } => Some((*result, *unit)),
        _ => None,
    });
    assert_eq!(results.next_back(), Some((line.quantity, line.unit)), "{line:?}");
    let measured: Decimal = line
        .working
        .iter()
        .filter_map(|s| if let Step::Measured { value, .. } = s { Some(*value) } else { None })
        .sum();
    let id = line.id.to_string();
    if id.ends_with(".run") || id.starts_with("corner.") || id.starts_with("closure.") {
        assert_eq!(measured, line.quantity, "{line:?}");
    }
    assert!(line.quantity > Decimal::ZERO, "a zero line is left out: {line:?}");
}

// ---- The cut plan ------------------------------------------------------------------------------------------------

/// The kitchen's sides fall to the front: its left side is walked from the wall down, and its whole length still begins below,
/// so that the short piece that butts to the wall's fillet comes last on both.
#[test]
fn a_run_along_the_fall_begins_with_its_long_pieces_at_the_low_end() {
    let demo = crate::demo::work(&crate::demo::request("kitchen-extension"));
    let shape = &demo.take_off.roofs[0].shape;
    let raised = demo.take_off.profiles.iter().find(|p| p.finish == Finish::Raised).unwrap();
    let lengths = |label: &str| -> Vec<Length> {
        let side = shape.sides.iter().position(|s| s.label == label).unwrap();
        let run = raised.runs.iter().find(|r| r.place == RunPlace::Side { roof: 0, side }).unwrap();
        run.pieces.iter().map(|p| p.length).collect()
    };
    let (right, left) = (lengths("right"), lengths("left"));
    assert!(right.len() > 1 && right[0] > right[1], "{right:?}");
    assert!(left.len() > 1 && left[0] < left[1], "{left:?}");
}

/// Worked by hand: drip 5.2 m in two pieces, wall 5.2 m in two, sides 3.4 m twice from three lengths.
#[test]
fn a_kitchen_extension_takes_two_drip_two_wall_and_three_raised() {
    let job = usual(&[kitchen()]);
    assert_eq!(job.plans.iter().map(|p| p.finish).collect::<Vec<_>>(), [Drip, Wall, Raised]);
    assert_eq!(job.quantity("trim.drip.lengths"), number(2, 0));
    assert_eq!(job.quantity("trim.wall.lengths"), number(2, 0));
    assert_eq!(job.quantity("trim.raised.lengths"), number(3, 0));
    assert_eq!(job.quantity("trim.raised.laps"), number(2, 0));
    assert_eq!(job.quantity("trim.drip.run"), number(52, 1));
    assert_eq!(job.quantity("trim.raised.run"), number(68, 1));
    assert!(job.plans.iter().all(|p| p.proof.is_proven()) && job.notices.is_empty());
    let marks: Vec<&str> = job.runs(Raised).iter().flat_map(|r| &r.pieces).map(|p| p.mark.as_str()).collect();
    assert_eq!(marks, ["R1", "R2", "R3", "R4"]);
}

#[test]
fn offcuts_are_pooled_over_roofs() {
    let porch = roof(
        "Porch",
        1,
        &[(0, 0, "front", Drip), (2000, 0, "right", Raised), (2000, 1200, "back", Wall), (0, 1200, "left", Raised)],
    );
    let job = usual(&[rectangle(3900, 3400, [Drip, Raised, Wall, Raised]), porch]);
    // 3900 leaves 2050 of its second length, enough for the porch's 2000.
    assert_eq!(job.quantity("trim.drip.lengths"), number(2, 0));
    assert_eq!(job.lines.iter().filter(|l| l.id == "trim.drip.run").count(), 2);
    assert!(job.line("trim.drip.lengths").roof.is_none());
    let marks: Vec<&str> = job.runs(Drip).iter().flat_map(|r| &r.pieces).map(|p| p.mark.as_str()).collect();
    assert_eq!(marks, ["D1", "D2", "D3"]);
}

#[test]
fn kerb_and_chimney_sides_are_cut_longer_for_their_mitres() {
    let (shape, model) = kitchen();
    let shape = with_hole(shape, "rooflight", Kerb, (1800, 1100), (1000, 1000));
    let shape = with_hole(shape, "chimney", Wall, (4000, 1500), (500, 600));
    let job = usual(&[(pipe(shape), model)]);
    let kerb = job.runs(Kerb);
    assert_eq!(kerb.len(), 4, "a pipe takes a collar");
    assert!(kerb.iter().all(|r| r.run == mm(1000) && r.pieces[0].length == mm(1200) && r.pieces[0].at == mm(-100)));
    assert_eq!(job.quantity("trim.kerb.run"), number(4, 0));
    assert_eq!(job.runs(Wall).iter().filter(|r| matches!(r.place, RunPlace::Hole { .. })).count(), 4);
    assert_eq!(job.quantity("trim.wall.run"), number(52 + 22, 1));
}

#[test]
fn the_price_books_flange_is_the_mitre_allowance() {
    let (shape, model) = kitchen();
    let shape = with_hole(shape, "rooflight", Kerb, (1800, 1100), (1000, 1000));
    let mut products = Products::default();
    products.profiles.get_mut(&Kerb).unwrap().flange = Some(mm(85));
    let job = planned(&[(shape, model)], None, &Rules::default(), &products);
    assert!(job.runs(Kerb).iter().all(|r| r.start_allowance == mm(85) && r.end_allowance == mm(85)));
}

#[test]
fn preformed_corners_take_off_their_legs_and_no_mitre_is_allowed_there() {
    let products = Products { corner_external_leg: mm(150), corner_internal_leg: mm(120), ..Products::default() };
    let job = planned(&[l_shape([Raised, Raised])], None, &Rules::default(), &products);
    let run = |label: &str| job.runs(Raised).iter().find(|r| r.label.ends_with(label)).unwrap();
    assert_eq!(run("right").run, mm(2500 - 150));
    assert_eq!(run("return").run, mm(3000 - 150 - 120));
    assert_eq!(run("inner").run, mm(2500 - 120));
    assert_eq!(run("inner").start_allowance, Length::ZERO);
    assert_eq!(job.quantity("corner.external"), number(1, 0));
    assert_eq!(job.quantity("corner.internal"), number(1, 0));
    assert_eq!(support::cut_told(&run("return").pieces[0].end_cut), "square, into the internal corner piece");
}

#[test]
fn a_mitred_inner_corner_takes_more_of_both_trims() {
    let job = usual(&[l_shape([Wall, Wall])]);
    let run = |label: &str| job.runs(Wall).iter().find(|r| r.label.ends_with(label)).unwrap();
    assert_eq!((run("return").end_allowance, run("inner").start_allowance), (mm(100), mm(100)));
    assert_eq!((run("return").start_allowance, run("inner").end_allowance), (mm(0), mm(0)));
    assert_eq!(job.quantity("trim.wall.run"), number(30 + 25 + 30, 1));
    assert_eq!(support::cut_told(&run("inner").pieces[0].start_cut), "mitre at 45°; 100 mm allowed");
}

#[test]
fn legs_longer_than_the_edge_are_refused() {
    let (shape, model) = roof(
        "Bay",
        0,
        &[(0, 0, "front", Drip), (2000, 0, "right", Raised), (2000, 200, "back", Raised), (0, 200, "left", Raised)],
    );
    let products = Products { corner_external_leg: mm(250), ..Products::default() };
    let problems = refused(&shape, &model, &products);
    assert_eq!(
        problems[0].to_string(),
        "roofs[0].edges.right: the corner pieces at both ends of right take 250 mm, and the edge is only 200 mm long; \
         check the edge's length, or the legs of the corner pieces in the price book"
    );
}

fn refused(shape: &RoofShape, model: &Roof, products: &Products) -> Vec<Problem> {
    let (shapes, roofs) = (vec![shape.clone()], vec![model.clone()]);
    let rules = Rules::default();
    plan_trims(&TrimJob { shapes: &shapes, roofs: &roofs, wind_from: None, rules: &rules, products }).unwrap_err()
}

#[test]
fn a_run_without_joints_longer_than_the_stock_is_refused_by_name() {
    let (shape, mut model) = kitchen();
    model.outline.edges[0].joints = Joints::None;
    assert_eq!(
        refused(&shape, &model, &Products::default())[0].to_string(),
        "roofs[0].edges.front: Main roof, front takes one piece of 5200 mm that may not be joined, and the longest drip \
         trim sold is 3000 mm; allow joints there, or add a longer length of trim.drip to the price book"
    );
}

#[test]
fn every_trim_that_cannot_be_had_is_named_at_once() {
    let (shape, model) = kitchen();
    let mut products = Products::default();
    products.profiles.remove(&Wall);
    products.profiles.get_mut(&Raised).unwrap().stock = vec![Stock { length: mm(250), pence: None }];
    let problems = refused(&shape, &model, &products);
    let words: Vec<String> = problems.iter().map(|p| format!("{}: {}", p.place, p.fault)).collect();
    let short = |edge: &str| {
        format!(
            "roofs[0].edges.{edge}: Main roof, {edge} is 3400 mm long and must be joined, but from lengths of 250 mm no pieces of 300 mm or more can be had"
        )
    };
    assert_eq!(
        words,
        [
            "roofs[0].edges.back: Main roof, back needs wall fillet, and no price book sells it".into(),
            short("right"),
            short("left")
        ]
    );
}

#[test]
fn stretches_of_one_edge_with_one_finish_are_one_run() {
    let ring = [
        (0, 0, "front", Drip),
        (5000, 0, "right", Raised),
        (5000, 3000, "back", Wall),
        (3000, 3000, "back (2)", Wall),
        (1000, 3000, "back (3)", Raised),
        (0, 3000, "left", Raised),
    ];
    let job = usual(&[roof("Main roof", 0, &ring)]);
    assert_eq!(job.runs(Wall).len(), 1);
    assert_eq!(job.runs(Wall)[0].label, "Main roof, back and back (2)");
    assert_eq!(job.runs(Wall)[0].run, mm(4000));
    assert_eq!(
        support::cut_told(&job.runs(Wall)[0].pieces.last().unwrap().end_cut),
        "square, against the raised edge trim at the back (3)"
    );
    assert_eq!(job.junctions[0][3].treatment, Treatment::Straight);
    assert_eq!(job.told_at(3), "The wall fillet runs straight on; no joint is made here.");
}

#[test]
fn a_stretch_that_carries_on_over_the_first_corner_is_one_run() {
    let ring = [
        (2000, 0, "front (2)", Drip),
        (5000, 0, "right", Raised),
        (5000, 3000, "back", Wall),
        (0, 3000, "left", Raised),
        (0, 0, "front", Drip),
    ];
    let job = usual(&[roof("Main roof", 0, &ring)]);
    assert_eq!(job.runs(Drip).len(), 1);
    assert_eq!((job.runs(Drip)[0].run, job.runs(Drip)[0].place), (mm(5000), RunPlace::Side { roof: 0, side: 4 }));
}

#[test]
fn a_ladder_point_is_a_length_of_its_own_and_no_part_of_the_run() {
    let (shape, mut model) = rectangle(2900, 2900, [Drip, Raised, Wall, Raised]);
    model.outline.edges[3].ladder_point = Some(mm(1200));
    let job = usual(&[(shape, model)]);
    assert_eq!(job.quantity("trim.raised.run"), number(58, 1));
    assert_eq!(job.quantity("trim.raised.lengths"), number(3, 0));
    let ladder = job.runs(Raised).last().unwrap();
    assert_eq!(ladder.place, RunPlace::Ladder { roof: 0, side: 3 });
    assert_eq!(
        (ladder.pieces[0].mark.as_str(), ladder.pieces[0].length, ladder.pieces[0].at),
        ("LP1", mm(1000), mm(700))
    );
}

#[test]
fn a_ladder_point_on_a_wall_is_refused() {
    let (shape, mut model) = kitchen();
    model.outline.edges[2].ladder_point = Some(mm(1200));
    let problems = refused(&shape, &model, &Products::default());
    assert_eq!(problems[0].place.to_string(), "roofs[0].edges.back.ladder_point");
    assert_eq!(problems[0].fault, "back is finished wall, and a ladder point stands on a drip or a raised edge");
}

#[test]
fn a_short_offcut_gives_the_sample_and_a_tight_plan_is_offered_a_spare() {
    let job = usual(&[rectangle(2800, 3000, [Drip, Raised, Wall, Raised])]);
    let drip = &job.plans[0];
    assert!(drip.bars[0].sample && drip.bars[0].offcut == mm(50) && drip.offer_spare);
    let raised = job.plans.iter().find(|p| p.finish == Raised).unwrap();
    assert!(raised.bars.iter().all(|b| !b.sample), "no length is bought for a sample");
    let spare: Vec<&Need> = job.needs.iter().filter(|n| n.optional).collect();
    assert_eq!(spare.iter().map(|n| n.role.to_string()).collect::<Vec<_>>(), ["trim.drip", "trim.wall", "trim.raised"]);
    assert!(spare.iter().all(|n| n.size == Some(mm(3000)) && n.quantity == Decimal::ONE));
    assert!(!usual(&[kitchen()]).needs.iter().any(|n| n.optional), "enough is left over");
}

// ---- Laps --------------------------------------------------------------------------------------------------------

#[test]
fn the_upper_piece_laps_over_the_lower() {
    let job = usual(&[kitchen()]);
    let over = |finish, label: &str| job.runs(finish).iter().find(|r| r.label.ends_with(label)).unwrap().laps[0].over;
    assert_eq!(over(Raised, "right"), LapOver::Later, "walked upwards");
    assert_eq!(over(Raised, "left"), LapOver::Earlier, "walked downwards");
    assert_eq!(over(Drip, "front"), LapOver::Later, "level");
}

#[test]
fn on_a_level_edge_laps_face_away_from_the_wind() {
    let over = |wind| {
        let job = planned(&[kitchen()], Some(wind), &Rules::default(), &Products::default());
        (job.runs(Drip)[0].laps[0].over, job.runs(Wall)[0].laps[0].over, job.runs(Raised)[0].laps[0].over)
    };
    assert_eq!(over("left"), (LapOver::Earlier, LapOver::Later, LapOver::Later));
    assert_eq!(over("right"), (LapOver::Later, LapOver::Earlier, LapOver::Later));
    assert_eq!(over("front"), (LapOver::Later, LapOver::Later, LapOver::Later));
}

#[test]
fn joints_keep_away_from_corners_where_they_can() {
    // 6.0 m takes 3000, 2800 and 300: the 300 takes what it needs from the longest. Where pieces may not be so long, it
    // crowds one joint at an end; in the middle it would crowd both.
    let job = usual(&[rectangle(6000, 2900, [Drip, Raised, Wall, Raised])]);
    let run = &job.runs(Drip)[0];
    let lengths: Vec<i64> = run.pieces.iter().map(|p| p.length.as_mm()).collect();
    assert_eq!(lengths, [2850, 2800, 450]);
    assert_eq!(run.laps.iter().map(|l| l.clear_of_corners).collect::<Vec<_>>(), [true, true]);
    for plan in &job.plans {
        for run in &plan.runs {
            for (n, lap) in run.laps.iter().enumerate() {
                let before = n.checked_sub(1).map_or(mm(0), |b| run.laps[b].at);
                let after = run.laps.get(n + 1).map_or(run.run, |l| l.at);
                let clear = lap.at - before >= mm(300) && after - lap.at >= mm(300);
                assert_eq!(lap.clear_of_corners, clear);
            }
        }
    }
}

#[test]
fn a_joint_too_near_a_corner_is_moved_where_the_lengths_have_room() {
    // 3.26 m is 3000 and 310, with the joint 285 mm from the corner. The 310 comes from a length that has room, so 40 mm
    // move over and the joint keeps its 300 mm, a lap's length allowed.
    let porch = |index, width| {
        let name = if index == 1 { "Porch" } else { "Bay" };
        roof(
            name,
            index,
            &[(0, 0, "front", Drip), (width, 0, "right", Raised), (width, 900, "back", Wall), (0, 900, "left", Raised)],
        )
    };
    let roofs = [rectangle(3260, 2900, [Drip, Raised, Wall, Raised]), porch(1, 2500), porch(2, 2000)];
    let rules = Rules { least_trim: mm(300), ..Rules::default() };
    let job = planned(&roofs, None, &rules, &Products::default());
    let front = &job.runs(Drip)[0];
    let lengths: Vec<i64> = front.pieces.iter().map(|p| p.length.as_mm()).collect();
    assert_eq!(lengths, [2960, 350]);
    assert!(front.laps[0].clear_of_corners);
    let left: Vec<i64> = job.plans[0].bars.iter().map(|b| b.offcut.as_mm()).collect();
    assert_eq!(left, [40, 150 - 150, 1000]);
}

// ---- Junctions ---------------------------------------------------------------------------------------------------

fn treatments(roof: &(RoofShape, Roof), products: &Products) -> Vec<Treatment> {
    let all = junctions(&roof.0, &roof.1, products, &Rules::default()).unwrap();
    all.iter().map(|j| j.treatment).collect()
}

/// A roof that leans by 78.5 degrees: its two corners at the wall are 78.5 and 101.5, and both cuts are set to one angle.
#[test]
fn one_lean_is_cut_at_one_angle_at_both_ends_of_a_wall() {
    let front = [(0, 0, "front", Drip), (4000, 0, "right", Raised)];
    let back = [(4610, 3000, "back", Wall), (610, 3000, "left", Raised)];
    let (shape, roof) = roof("Leaning", 0, &[front, back].concat());
    let all = junctions(&shape, &roof, &Products::default(), &Rules::default()).unwrap();
    let butted: Vec<Decimal> =
        all.iter().filter(|j| j.treatment == Treatment::Butt).map(|j| j.figures.degrees).collect();
    assert_eq!(butted, [Decimal::new(785, 1); 2]);
}

#[test]
fn closures_are_handed_as_seen_from_the_ground() {
    use Treatment::{Butt, ClosureLeft, ClosureRight, Notch};
    assert_eq!(treatments(&kitchen(), &Products::default()), [ClosureLeft, ClosureRight, Butt, Butt]);
    let none = Products { closures: false, ..Products::default() };
    assert_eq!(treatments(&kitchen(), &none), [Notch, Notch, Butt, Butt]);
    let job = usual(&[kitchen()]);
    assert_eq!((job.quantity("closure.left"), job.quantity("closure.right")), (Decimal::ONE, Decimal::ONE));
    assert_eq!(
        job.told_at(1),
        "Fit the right-hand closure over the drip trim at the front and the \
         raised edge trim on the right, both cut square."
    );
}

/// The table of the trade, both ways round: common practice, no source.
#[test]
fn each_pair_of_finishes_has_its_treatment() {
    use Treatment::{Butt, CarriedUp, ClosureLeft, ClosureRight, Mitre, PreformedExternal};
    let table = [
        (Drip, Raised, ClosureRight),
        (Raised, Drip, ClosureLeft),
        (Drip, Drip, Mitre),
        (Drip, Wall, Butt),
        (Wall, Drip, Butt),
        (Raised, Raised, PreformedExternal),
        (Raised, Wall, Butt),
        (Wall, Raised, Butt),
        (Wall, Wall, Mitre),
        (AtStep, Drip, CarriedUp),
        (Wall, AtStep, CarriedUp),
        (AtStep, Raised, CarriedUp),
        (Kerb, Kerb, Mitre),
    ];
    for (ends, starts, treatment) in table {
        let others = if starts == Kerb { Kerb } else { AtStep };
        let roof = rectangle(4000, 3000, [ends, starts, others, others]);
        assert_eq!(treatments(&roof, &Products::default())[1], treatment, "{ends:?} then {starts:?}");
    }
}

/// A closure shuts the end of a drip to a raised edge that goes back from it. At an inner corner the raised edge comes
/// forward, so that no closure of either hand fits: both are mitred and longer, and a patch closes the end.
#[test]
fn no_closure_is_bought_for_an_inner_corner() {
    use Treatment::{ClosureLeft, ClosureRight, Mitre};
    let l_shape = roof(
        "Wing",
        0,
        &[
            (0, 0, "front", Drip),
            (2000, 0, "side", Raised),
            (2000, 1500, "yard", Drip),
            (5000, 1500, "right", Raised),
            (5000, 4000, "back", Wall),
            (0, 4000, "left", Raised),
        ],
    );
    let made = treatments(&l_shape, &Products::default());
    assert_eq!(made[..4], [ClosureLeft, ClosureRight, Mitre, ClosureRight]);
    let job = usual(&[l_shape]);
    assert_eq!((job.quantity("closure.left"), job.quantity("closure.right")), (Decimal::ONE, Decimal::TWO));
    assert_eq!(
        job.told_at(2),
        "No closure fits an inner corner: mitre the drip trim at the yard and the raised edge trim at the side at 45°, and \
         close the open end of the raised edge over the drip with a patch. Inner corner: each is cut 100 mm longer."
    );
}

#[test]
fn a_pair_that_is_not_in_the_table_is_refused_with_both_edges() {
    let (shape, model) = rectangle(4000, 3000, [Drip, Kerb, Wall, Raised]);
    let problems = junctions(&shape, &model, &Products::default(), &Rules::default()).unwrap_err();
    assert_eq!(problems.len(), 2, "every pair at once");
    assert_eq!(
        problems[0].to_string(),
        "roofs[0].edges.right.finish: `front` (drip) meets `right` (kerb), and there is no junction for drip and kerb; a \
         kerb stands round a hole; at the edge of a roof write drip, raised, wall, gutter or step"
    );
}

#[test]
fn preformed_corners_stand_from_80_to_100_degrees_only() {
    let bay = roof(
        "Bay",
        0,
        &[
            (0, 0, "front", Drip),
            (4000, 0, "right", Raised),
            (4000, 2000, "slant", Raised),
            (3000, 3000, "back", Raised),
            (0, 3000, "left", Raised),
        ],
    );
    use Treatment::{Mitre, PreformedExternal};
    assert_eq!(treatments(&bay, &Products::default())[2..], [Mitre, Mitre, PreformedExternal]);
    let job = usual(&[bay]);
    assert_eq!(job.told_at(2), "Mitre both raised edge trims at 67.5° to their length.");
    assert_eq!(job.quantity("corner.external"), Decimal::ONE);
}

#[test]
fn inner_corners_say_how_much_longer_the_trims_are_cut() {
    let job = usual(&[l_shape([Wall, Wall])]);
    assert_eq!(job.told_at(3), "Mitre both wall fillets at 45°. Inner corner: each is cut 100 mm longer.");
    let (shape, model) = kitchen();
    let job = usual(&[(with_hole(shape, "rooflight", Kerb, (1800, 1100), (1000, 1000)), model)]);
    assert_eq!(job.junctions[0].len(), 8);
    assert_eq!(
        job.told_at(4),
        "Mitre the angle fillet at 45° on both sides of this corner of the rooflight; each is cut 100 mm longer for it."
    );
}

// ---- The table on whole jobs, with pictures and patches ---------------------------------------------------------------

/// A roof laid out in a job of its own, and its corners as the method statement shows them.
fn job_of(roof: &Roof, products: &Products) -> (TakeOff, Vec<Drawn>) {
    let (loaded, _) = laid_out(&lean_to("", "", ""));
    let job = Job { roofs: vec![roof.clone()], ..loaded.job };
    let take_off = take_off(&job, &Rules::default(), products).unwrap();
    let layout = &take_off.roofs[0];
    let words = support::built_in_words();
    let drawn = corners::draw(layout, |j| site_words::corner(&words, &layout.shape, j)).unwrap();
    (take_off, drawn)
}

/// The corner where two edges meet, as it is shown: its instruction, having looked at the place, the picture (with the
/// ring of the patch in it) and the patch of bandage.
fn corner_shown(roof: &Roof, products: &Products, ends: &str, starts: &str) -> String {
    let (take_off, drawn) = job_of(roof, products);
    let layout = &take_off.roofs[0];
    let meets = |d: &&Drawn| {
        d.figure.alt.contains(&format!(", {ends} (")) && d.figure.alt.contains(&format!("meets {starts} ("))
    };
    let found = drawn.iter().find(meets).unwrap_or_else(|| panic!("{ends} and {starts} are not shown"));
    let told = site_words::plain(&found.instruction);
    let junction = layout.junctions.iter().find(|j| support::corner_told(&layout.shape, j) == told).unwrap();
    let ring = |m: &Mark| matches!(m, Mark::Circle { pen: Some(p), .. } if p.dash.is_some());
    assert!(found.figure.scene.marks.iter().any(ring), "{ends} and {starts}: no ring for the patch");
    let cut = found.figure.scene.marks.iter().filter(|m| matches!(m, Mark::Line { .. } | Mark::Area { .. })).count();
    assert!(cut > 2, "{ends} and {starts}: nothing is drawn");
    let near = |p: Point| (p.x - junction.at.x).abs() <= 2 && (p.y - junction.at.y).abs() <= 2;
    let patch = layout.bandage.iter().find(|b| b.covers == BandageOver::Corner && near(b.from)).unwrap();
    assert_eq!((patch.width, patch.length), (mm(150), mm(300)), "{ends} and {starts}: the patch");
    told
}

/// However whoever surveyed it calls a side, the crew reads where it is.
#[test]
fn a_corner_names_its_sides_as_they_are_spoken_of() {
    let p = support::at;
    let roof = support::roof(&[
        (p(0, 0), "the lane", Drip),
        (p(4000, 0), "Mrs Lee's side", Raised),
        (p(4000, 3000), "side C", Wall),
        (p(0, 3000), "left", Raised),
    ]);
    let shown = |ends: &str, starts: &str| corner_shown(&roof, &Products::default(), ends, starts);
    assert!(
        shown("the lane", "Mrs Lee's side")
            .contains("over the drip trim at the lane and the raised edge trim at Mrs Lee's side, both cut square")
    );
    assert!(
        shown("side C", "left")
            .starts_with("Run the wall fillet flush to the roof's edge; offer up the raised edge trim on the left,")
    );
}

/// The words give the angle of the cut to the trim's length; the picture has the same.
#[test]
fn a_trim_is_drawn_cut_at_the_angle_that_its_words_say() {
    let words = support::built_in_words();
    let (mut slanting, mut all) = (0, 0);
    for (job, demo) in crate::works::every_job() {
        for layout in &demo.take_off.roofs {
            let drawn = corners::draw(layout, |j| site_words::corner(&words, &layout.shape, j)).unwrap();
            let sides = &layout.shape.sides;
            for butted in layout.junctions.iter().filter(|j| j.treatment == Treatment::Butt) {
                let before = &sides[(butted.corner + sides.len() - 1) % sides.len()];
                let told = support::corner_told(&layout.shape, butted);
                let names = format!(", {} ({}) meets ", before.label, before.finish.word());
                let shown = |d: &&Drawn| site_words::plain(&d.instruction) == told && d.figure.alt.contains(&names);
                let corner = drawn.iter().find(shown).unwrap_or_else(|| panic!("{job}: {told}"));
                let lines = |wide: f64| -> Vec<[Spot; 2]> {
                    let line = |m: &Mark| match m {
                        Mark::Line { spots, pen } if pen.width == wide => Some([spots[0], spots[1]]),
                        _ => None,
                    };
                    corner.figure.scene.marks.iter().filter_map(line).collect()
                };
                let turned = |[a, b]: [Spot; 2]| (b.y - a.y).atan2(b.x - a.x).to_degrees();
                let outer = lines(1.6)[usize::from(before.finish == Wall)];
                let between = (turned(lines(2.4)[0]) - turned(outer)).rem_euclid(180.0);
                let degrees = between.min(180.0 - between).round() as i64;
                let told_degrees = butted.figures.degrees;
                assert!(
                    (Decimal::from(degrees) - told_degrees).abs() <= Decimal::ONE,
                    "{job}: {told} Drawn: {degrees}"
                );
                slanting += usize::from(told_degrees < Decimal::from(80));
                all += 1;
            }
        }
    }
    assert!(slanting > 1 && all > 20, "{slanting} of {all}");
}

/// Row by row the table of the trade (common practice, no source). Angles by hand: a mitre halves the angle between the
/// edges (135° gives 67.5°, 90° and 270° give 45°); a trim that ends at a wall under 45° is cut at 45°.
#[test]
fn every_row_of_the_junction_table_has_a_place_an_instruction_a_picture_and_a_patch() {
    let sold = Products::default();
    let mut plain = support::rectangle(5200, 3400);
    plain.outline.edges[0].gutter = Some(Gutter { shape: "half-round".into(), size: mm(112), detail: None });
    let shown = |ends: &str, starts: &str| corner_shown(&plain, &sold, ends, starts);
    assert_eq!(
        shown("front", "right"),
        "Fit the right-hand closure over the drip trim at the front and the raised \
         edge trim on the right, both cut square."
    );
    assert_eq!(
        shown("right", "back"),
        "Run the wall fillet flush to the roof's edge; offer up the raised edge trim on the right, mark it against the \
         fillet and butt cut it."
    );
    let none = Products { closures: false, ..Products::default() };
    assert_eq!(
        corner_shown(&plain, &none, "left", "front"),
        "Notch back the face of the drip trim at the front by 50 mm at its left-hand end to clear the \
         gutter's stop end (half-round 112 mm); close the raised edge trim on the left over it."
    );
    assert!(corner_shown(&plain, &none, "front", "right").contains("at its right-hand end"));

    let p = support::at;
    let bay = bay_window();
    let shown = |ends: &str, starts: &str| corner_shown(&bay, &sold, ends, starts);
    assert_eq!(shown("front", "right bay"), "Mitre both drip trims at 67.5° to their length.");
    assert_eq!(
        shown("right bay", "wall"),
        "Run the drip trim at the right bay into the wall fillet, cut at 45° to its length."
    );

    let l = support::roof(&[
        (p(0, 0), "front", Drip),
        (p(6000, 0), "right", Raised),
        (p(6000, 2500), "return", Raised),
        (p(3000, 2500), "inner", Raised),
        (p(3000, 5000), "back", AtStep),
        (p(0, 5000), "left", Wall),
    ]);
    let shown = |ends: &str, starts: &str| corner_shown(&l, &sold, ends, starts);
    let bond =
        |which: &str| format!("Bond the preformed {which} corner on adhesive over both raised edge trims, cut square.");
    assert_eq!(shown("right", "return"), bond("external"));
    assert_eq!(shown("return", "inner"), bond("internal"));
    assert_eq!(
        shown("inner", "back"),
        "Stop the raised edge trim at the inner at the step, cut square; carry the laminate up."
    );
    assert_eq!(
        shown("back", "left"),
        "Stop the wall fillet on the left at the step, cut square; carry the laminate up."
    );

    let gutter = support::roof(&[
        (p(0, 0), "front", Finish::Gutter),
        (p(3000, 0), "right", Wall),
        (p(3000, 2000), "back", Wall),
        (p(0, 2000), "left", Raised),
    ]);
    let shown = |ends: &str, starts: &str| corner_shown(&gutter, &sold, ends, starts);
    let lip = |what: &str| {
        format!("Stop the {what} at the lip of the box gutter, cut square; the laminate goes down over it.")
    };
    assert_eq!(shown("front", "right"), lip("wall fillet on the right"));
    assert_eq!(shown("left", "front"), lip("raised edge trim on the left"));

    let mut walls = l.clone();
    for i in [2, 3, 4] {
        walls.outline.edges[i].finish = Wall;
    }
    walls.holes.push(support::hole(
        "rooflight",
        HoleForm::Box { at: p(1000, 1000), width: mm(800), depth: mm(800) },
        Kerb,
    ));
    let shown = |ends: &str, starts: &str| corner_shown(&walls, &sold, ends, starts);
    assert_eq!(shown("return", "inner"), "Mitre both wall fillets at 45°. Inner corner: each is cut 100 mm longer.");
    assert_eq!(shown("inner", "back"), "Mitre both wall fillets at 45°.");
    assert_eq!(
        shown("rooflight", "rooflight"),
        "Mitre the angle fillet at 45° on both sides of this corner of the rooflight; each is cut 100 mm longer for it."
    );
}

/// A bay of three drip edges at 135° against a wall.
fn bay_window() -> Roof {
    let p = support::at;
    support::roof(&[
        (p(0, 0), "front", Drip),
        (p(1400, 0), "right bay", Drip),
        (p(2036, 636), "wall", Wall),
        (p(-636, 636), "left bay", Drip),
    ])
}

/// What the cut list says at the ends of the pieces: the same angles, and the millimetres that are allowed.
#[test]
fn the_cut_list_tells_the_angle_and_the_allowance_of_every_end() {
    let bay = bay_window();
    let (take_off, _) = job_of(&bay, &Products::default());
    let ends = |finish, label: &str| {
        let runs = take_off.profiles.iter().filter(|q| q.finish == finish).flat_map(|q| &q.runs);
        let run = runs.into_iter().find(|r| r.label.ends_with(label)).unwrap();
        (support::cut_told(&run.pieces[0].start_cut), support::cut_told(&run.pieces.last().unwrap().end_cut))
    };
    let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
    assert_eq!(ends(Drip, ", front"), pair("mitre at 67.5° to its length", "mitre at 67.5° to its length"));
    assert_eq!(
        ends(Drip, "right bay"),
        pair("mitre at 67.5° to its length", "at 45° to its length, into the wall fillet")
    );
    let flush = "at 45° to its length, flush with the roof's edge";
    assert_eq!(ends(Wall, "wall"), pair(flush, flush));
}

// ---- Nails, adhesive, needs --------------------------------------------------------------------------------------

/// Clout nails at 120 to 150 mm: common practice, no source.
#[test]
fn nails_stand_at_both_ends_and_no_further_apart_than_the_rule() {
    assert_eq!(nails_along(mm(3000), mm(150)), 21);
    assert_eq!(nails_along(mm(3000), mm(120)), 26);
    assert_eq!(nails_along(mm(3001), mm(150)), 22);
    assert_eq!(nails_along(mm(300), mm(150)), 3);
}

#[test]
fn nails_are_counted_piece_by_piece() {
    // Drip and wall 3000 and 2250 each, raised 3000 and 450 twice: 21 + 16, 21 + 16, 2 × (21 + 4).
    let job = usual(&[kitchen()]);
    assert_eq!(job.quantity("nails.clout"), number(37 + 37 + 50, 0));
    let (shape, mut model) = kitchen();
    model.outline.edges[3].ladder_point = Some(mm(1200));
    assert_eq!(usual(&[(shape, model)]).quantity("nails.clout"), number(124, 0), "ladder points are bonded");
}

/// By hand: 5.2 m of drip and of wall fillet are cut in two, 3.4 m of raised edge is cut in two, twice, each with a lap
/// of 50 mm. Laps 1 × 150 (drip), 1 × 150 (wall), 2 × 200 (raised); fillet leg 5200; two closures of 150 + 200: 6.6 m.
#[test]
fn adhesive_is_counted_bead_by_bead_and_one_cartridge_more() {
    let none = Rules { dab_rows: 0, ..Rules::default() };
    let job = planned(&[kitchen()], None, &none, &Products::default());
    let line = job.line("adhesive.cartridges");
    assert_eq!(line.quantity, number(2, 0));
    assert!(job.lines.iter().all(|l| l.id != "adhesive.dabs"));
    let metres = |line: &Line| {
        let mut metres = line.working.iter().filter_map(|s| match s {
            Step::Formula { result, unit: wetout::takeoff::Unit::Metre, .. } => Some(*result),
            _ => None,
        });
        metres.next_back().unwrap()
    };
    assert_eq!(metres(line), number(66, 1));
    let rules = Rules { bead_per_cartridge: mm(6599), ..none };
    let job = planned(&[kitchen()], None, &rules, &Products::default());
    assert_eq!(job.quantity("adhesive.cartridges"), number(3, 0));
}

/// By hand: a dab at each end of a piece and every 300 mm at most. Every piece of n mm takes ⌈n ÷ 300⌉ + 1; each dab
/// takes 150 mm of bead, on top of the 6.6 m of the beads.
#[test]
fn dabs_are_a_line_of_their_own_and_have_their_share_of_the_cartridges() {
    let job = usual(&[kitchen()]);
    let pieces = job.plans.iter().flat_map(|p| &p.runs).flat_map(|r| &r.pieces).map(|p| p.length.as_mm());
    let by_hand: i64 = pieces.map(|l| (l + 299) / 300 + 1).sum();
    let dabs = job.line("adhesive.dabs");
    assert_eq!((dabs.quantity, dabs.roof.as_deref()), (number(by_hand, 0), Some("Main roof")));
    let bead = number(66, 1) + dabs.quantity * number(15, 2);
    let exact = (bead / number(10, 0)).ceil() + Decimal::ONE;
    assert_eq!(job.quantity("adhesive.cartridges"), exact);
    let face = Rules { dab_rows: 2, ..Rules::default() };
    let both = planned(&[kitchen()], None, &face, &Products::default());
    assert_eq!(both.quantity("adhesive.dabs"), number(2 * by_hand, 0));
    assert!(both.quantity("adhesive.cartridges") > exact);
    let need = both.needs.iter().find(|n| n.role == "adhesive").unwrap();
    assert_eq!(need.quantity, both.quantity("adhesive.cartridges"));
}

#[test]
fn every_need_has_its_lines_and_trims_their_stock_length() {
    let job = usual(&[kitchen()]);
    for need in &job.needs {
        assert!(need.lines.iter().all(|id| job.lines.iter().any(|l| l.id == *id)), "{need:?}");
        let known = wetout::model::role::ROLES.iter().any(|r| need.role == r.word && r.unit == need.unit());
        assert!(known, "{need:?}");
        assert_eq!(need.size.is_some(), need.role.to_string().starts_with("trim."));
    }
    let nails = job.needs.iter().find(|n| n.role == "nails.clout").unwrap();
    assert_eq!(nails.quantity, job.quantity("nails.clout"));
}

#[test]
fn several_stock_lengths_with_prices_are_bought_at_the_least_cost() {
    let mut products = Products::default();
    let stock = [(2500, 1000), (3000, 1500)].map(|(l, p)| Stock { length: mm(l), pence: Some(p) });
    products.profiles.get_mut(&Drip).unwrap().stock = stock.into();
    let job = planned(&[rectangle(4500, 2000, [Drip, Raised, Wall, Raised])], None, &Rules::default(), &products);
    let drip: Vec<&Need> = job.needs.iter().filter(|n| n.role == "trim.drip" && !n.optional).collect();
    assert_eq!(drip.iter().map(|n| (n.size, n.quantity)).collect::<Vec<_>>(), [(Some(mm(2500)), number(2, 0))]);
    assert_eq!(job.plans[0].proof.found, 2000);
}

// ---- Large roofs -------------------------------------------------------------------------------------------------

/// A roof of about 1,000 m² with 40 corners and 10 rooflights and chimneys: steps up one side and down the other.
fn large_roof() -> (RoofShape, Roof) {
    let names: Vec<String> = (0..40).map(|n| format!("edge {n}")).collect();
    let mut ring: Vec<(i64, i64)> = vec![(0, 0), (40_000, 0)];
    for n in 0..9 {
        let (x, y) = (40_000 - 1830 * n, 2310 * (n + 1) + 37 * n * n);
        ring.extend([(x, y), (x - 1830, y)]);
    }
    let top = 28_430;
    ring.extend([(23_530, top), (16_470, top)]);
    for n in (0..9).rev() {
        let (x, y) = (1830 * n, 2190 * (n + 1) + 41 * n * n);
        ring.extend([(x + 1830, y), (x, y)]);
    }
    let finish = |n: usize| match n {
        0 => Drip,
        1..=17 | 33..=39 => Raised,
        _ => Wall,
    };
    let named: Vec<(i64, i64, &str, Finish)> =
        ring.iter().enumerate().map(|(n, &(x, y))| (x, y, names[n].as_str(), finish(n))).collect();
    let (mut shape, model) = roof("Hall", 0, &named);
    for n in 0..10 {
        let (name, finish) = if n % 3 == 0 { ("chimney", Wall) } else { ("rooflight", Kerb) };
        shape = with_hole(shape, name, finish, (17_000 + 600 * n, 2000 + 2300 * n), (900 + 70 * n, 1100 + 90 * n));
    }
    (shape, model)
}

#[test]
fn a_large_roof_is_planned_with_proof() {
    let (shape, model) = large_roof();
    assert_eq!((shape.sides.len(), shape.holes.len()), (40, 10));
    let job = usual(&[(shape, model)]);
    assert!(job.plans.iter().all(|p| p.proof.is_proven()), "{:?}", job.notices);
    let runs: usize = job.plans.iter().map(|p| p.runs.len()).sum();
    assert_eq!(runs, 80);
}

// ---- No sliver ---------------------------------------------------------------------------------------------------

/// The raised edges of a roof, each as cut.
fn raised_cuts(planned: &Planned) -> Vec<Vec<i64>> {
    let of = |run: &TrimRun| run.pieces.iter().map(|p| p.length.as_mm()).collect();
    planned.runs(Raised).iter().map(of).collect()
}

#[test]
fn a_short_end_takes_from_the_long_piece_of_its_run() {
    // 3150 and the lap are 3000 and 200, or 2900 and 300 by shortest_piece; an offcut gives it more
    let planned = usual(&[rectangle(5200, 3150, [Drip, Raised, Wall, Raised])]);
    for cut in raised_cuts(&planned) {
        assert!(cut.iter().all(|&p| p >= 450), "{cut:?}");
        assert_eq!(cut.iter().sum::<i64>(), 3200);
    }
    assert!(planned.notices.is_empty(), "{:?}", planned.notices);
}

#[test]
fn a_short_end_that_cannot_be_longer_is_told() {
    // six runs of 3450: six rests of 500 fill one length of 3000, and 600 for each would take another
    let rules = Rules { least_trim: mm(600), ..Rules::default() };
    let roof = |n| {
        let (mut shape, mut model) = rectangle(5200, 3450, [Drip, Raised, Wall, Raised]);
        (shape.index, shape.name, model.name) = (n, format!("Roof {n}"), format!("Roof {n}"));
        (shape, model)
    };
    let planned = planned(&[roof(0), roof(1), roof(2)], None, &rules, &Products::default());
    assert_eq!(planned.plans.iter().find(|p| p.finish == Raised).unwrap().bars.len(), 7);
    let short = raised_cuts(&planned).iter().filter(|c| c.iter().any(|&p| p < 600)).count();
    let told = planned.notices.iter().filter(|n| n.fault.contains("least_trim (600 mm)")).count();
    assert!(short > 0 && told == short, "{short} short, {told} told: {:?}", planned.notices);
}

/// Room is made where a short piece lies: another piece of the same length moves away.
#[test]
fn lengths_are_shared_out_without_buying_more() {
    let mut seed = 2_026_u64;
    let mut dice = |low: i64, high: i64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + ((seed >> 33) as i64) % (high - low + 1)
    };
    let (mut before, mut after) = (0, 0);
    for _ in 0..60 {
        let wanted: Vec<RunWanted> =
            (0..dice(1, 12)).map(|_| RunWanted { length: mm(dice(400, 9000)), single: false }).collect();
        let sold = [SoldLength { length: mm(3000), pence: None }];
        let kerf = mm(dice(0, 1) * 3);
        let joining = Joining { lap: mm(50), shortest: mm(300), extra_laps: 0, kerf };
        let plan = cut_runs(&wanted, &sold, &joining, 5_000_000).unwrap();
        let mut shared = plan.clone();
        let wished = vec![mm(450); wanted.len()];
        share_out(&mut shared, &wished, &wished, kerf);
        let short =
            |p: &RunPlan| p.runs.iter().filter(|r| r.len() > 1).flatten().filter(|c| c.length < mm(450)).count();
        assert!(short(&shared) <= short(&plan), "{plan:?}\n{shared:?}");
        before += short(&plan);
        after += short(&shared);
        assert_eq!(shared.bars.len(), plan.bars.len());
        for (was, is) in plan.runs.iter().zip(&shared.runs) {
            let all = |r: &[RunCut]| r.iter().map(|c| c.length).sum::<Length>();
            assert_eq!((was.len(), all(was)), (is.len(), all(is)));
        }
        for (b, bar) in shared.bars.iter().enumerate() {
            let load: Length = bar.cuts.iter().map(|&(r, p)| shared.runs[r][p].length).sum();
            let n = bar.cuts.len() as i64;
            assert!(n > 0 && load + kerf * (n - 1) <= bar.stock, "{bar:?}");
            assert_eq!(bar.offcut, (bar.stock - load - kerf * n).max(Length::ZERO));
            assert!(bar.cuts.iter().all(|&(r, p)| shared.runs[r][p].bar == b));
        }
    }
    assert!(after * 10 <= before, "{before} short pieces before, {after} after");
}

/// Who cuts down the list cuts first what is fixed first: no length of the last roof stands before one of the first.
#[test]
fn lengths_are_listed_in_the_order_in_which_their_first_pieces_are_fixed() {
    let twelve = crate::demo::work(&crate::support::asked(include_str!("big_jobs/twelve-roofs.yaml")));
    let mut listed = 0;
    for plan in &twelve.take_off.profiles {
        let fixed: Vec<&str> = plan.runs.iter().flat_map(|r| &r.pieces).map(|p| p.mark.as_str()).collect();
        let place = |mark: &String| fixed.iter().position(|m| m == mark).unwrap();
        let stocks: Vec<Length> = plan.bars.iter().map(|bar| bar.stock).collect();
        assert!(stocks.is_sorted_by(|a, b| a >= b), "{stocks:?}");
        for same in plan.bars.chunk_by(|a, b| a.stock == b.stock) {
            let first: Vec<usize> = same.iter().map(|bar| place(&bar.cuts[0])).collect();
            assert!(same.iter().all(|bar| bar.cuts.iter().map(place).is_sorted()));
            assert!(first.is_sorted(), "{:?}: {first:?}", plan.finish);
            listed += first.len();
        }
    }
    assert!(listed > 60, "{listed}");
}

/// An edge that begins at the yard, in the middle of an L, is not measured from the front, which is another edge. What is told is where
/// the end of the piece on top lies: R3 begins there, and laps over R2 by 50 mm. By hand: 25 mm before the lap's middle at 2950.
#[test]
fn a_lap_is_measured_from_the_corner_at_which_its_edge_begins() {
    let garage = crate::demo::work(&crate::demo::request("garage-utility"));
    let shape = &garage.take_off.roofs[0].shape;
    let told: Vec<(&str, String)> =
        shape.sides.iter().enumerate().map(|(i, side)| (side.label.as_str(), shape.start_of(i))).collect();
    assert!(told.contains(&("utility side", "the yard".to_owned())), "{told:?}");
    assert!(
        told.contains(&("garage side", "the front".to_owned())) && told.contains(&("front", "the left".to_owned()))
    );
    let run =
        garage.take_off.profiles.iter().flat_map(|p| &p.runs).find(|r| r.label.ends_with("utility side")).unwrap();
    let [_, method] = crate::edges::documents(&garage);
    let [lap] = run.laps[..] else { panic!("{:?}", run.laps) };
    assert_eq!((lap.over, lap.length.as_mm()), (LapOver::Later, 50));
    let end = lap.at + run.leg - Length::mm(25);
    assert_eq!(end.as_mm(), 2925);
    // In the table of laps: the edge, the piece on top, the one under it, the lap, the end of the one on top.
    let told = format!("{end} from the yard");
    assert!(method.contains(&told), "{told}: {method}");
    assert!(!method.contains("2950 mm from the yard"), "{method}");
}

/// The bay's edge against the house is called `wall`: at its corners stands that word, not `wall: wall`; any other name stands before
/// its finish.
#[test]
fn a_side_that_is_called_as_it_is_finished_is_named_once_at_its_corners() {
    let words = support::built_in_words();
    let texts = |name: &str| -> Vec<String> {
        let demo = crate::demo::work(&crate::demo::request(name));
        let layout = &demo.take_off.roofs[0];
        let drawn = corners::draw(layout, |j| site_words::corner(&words, &layout.shape, j)).unwrap();
        let marks = drawn.iter().flat_map(|d| d.figure.scene.marks.iter());
        marks.filter_map(|m| if let Mark::Text { text, .. } = m { Some(text.clone()) } else { None }).collect()
    };
    let bay = texts("bay");
    assert!(
        bay.iter().any(|text| text.contains("wall")) && bay.iter().all(|text| !text.contains("wall: wall")),
        "{bay:?}"
    );
    assert!(texts("kitchen-extension").iter().any(|text| text.contains("back: wall")));
}

/// A roof with strips up the fall is opened and closed from one end to the other: what is fixed later lies on top, whichever end is the
/// first and wherever the wind comes from.
#[test]
fn along_a_level_edge_a_piece_is_laid_over_the_one_that_is_there() {
    let text = include_str!("big_jobs/twelve-roofs.yaml");
    let (job, windy) = (text.to_owned(), format!("{text}\nwind_from: left\n"));
    let mut seen = 0;
    for text in [job, windy] {
        let job = crate::demo::work(&crate::support::asked(&text));
        for roof in job.take_off.roofs.iter().filter(|roof| roof.mat.up_the_fall) {
            let first = roof.mat.pieces.iter().find(|piece| piece.order == 1).unwrap();
            let x = |points: &[wetout::model::Point]| points.iter().map(|p| p.x).sum::<i64>() / points.len() as i64;
            let from_left = x(&first.ring) < x(&roof.shape.ring());
            for run in job.take_off.profiles.iter().flat_map(|plan| &plan.runs) {
                let RunPlace::Side { roof: of, side } = run.place else { continue };
                let side = &roof.shape.sides[if of == roof.shape.index { side } else { continue }];
                if side.from.y != side.to.y {
                    continue;
                }
                let later_is_right = side.to.x > side.from.x;
                let over = if later_is_right == from_left { LapOver::Later } else { LapOver::Earlier };
                for (n, lap) in run.laps.iter().enumerate() {
                    assert_eq!(lap.over, over, "{}, lap {n}", run.label);
                    let on_top =
                        |cut: &wetout::takeoff::layout::EndCut| *cut == wetout::takeoff::layout::EndCut::OverLap;
                    assert_eq!(on_top(&run.pieces[n].end_cut), over == LapOver::Earlier, "{}", run.label);
                    assert_eq!(on_top(&run.pieces[n + 1].start_cut), over == LapOver::Later, "{}", run.label);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 4, "{seen}");
}
