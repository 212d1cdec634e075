//! Lines of mat, bandage, resin, topcoat, catalyst and sundries: quantities worked by hand, and workings that add up.

use crate::replay::workings;
use crate::support::{self, at, laid_out, lean_to, mm, rectangle, roof};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
use wetout::model::job::By;
use wetout::model::role::ROLES;
use wetout::model::shape::{DeckAction, Gutter, MeasuredTo, Outlet};
use wetout::model::{Finish, Flashing, HoleForm, Job, Length, LineId, Point, Products, Role, Roof, Rules};
use wetout::takeoff::layout::shape::{RoofShape, Side};
use wetout::takeoff::layout::{BandageOver, BandagePiece, RoofLayout};
use wetout::takeoff::layout::{bandage, flashings, mat, over_deck, shape};
use wetout::takeoff::quantities::resin::{catalyst_ml, resin_for_glass};
use wetout::takeoff::quantities::{bandage_lines, mat_lines, resin, sundries};
use wetout::takeoff::{Line, Need, Step, Unit};
use wetout::works;

fn dec(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// Lays a roof with no deck and no trim laps, so that everything follows from the outline.
fn layout(roof: &Roof, index: usize, rules: &Rules) -> RoofLayout {
    let shape = shape::lay_out(roof, index, rules).unwrap();
    let products = Products::default();
    let (mat, _) = mat::lay_mat(&shape, roof, None, rules, &products.mats[&roof.laminate.mat]).unwrap();
    let bandage = bandage::lay_bandage(&shape, None, &[], &[], rules, &Products::default());
    RoofLayout {
        flashings: flashings::flashings(roof, &shape, rules, &products),
        old_boards: over_deck::old_boards(&shape, roof),
        openings: Default::default(),
        shape,
        heights: Vec::new(),
        deck_rise: Length::ZERO,
        gutters_raised: Vec::new(),
        firrings: Vec::new(),
        deck: None,
        over: None,
        box_gutters: Vec::new(),
        parapets: Vec::new(),
        junctions: Vec::new(),
        bandage,
        mat,
    }
}

/// Every line of the roofs, and every need.
fn all(roofs: &[Roof], rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let laid: Vec<RoofLayout> = roofs.iter().enumerate().map(|(i, r)| layout(r, i, rules)).collect();
    let products = Products::default();
    let (mut lines, mut needs) = mat_lines::lines(&laid, (&[], &[]), rules, &products);
    let (wet, wanted) = resin::lines(roofs, &laid, (&lines, &[]), rules, &products);
    needs.extend(wanted);
    let before = [lines.as_slice(), wet.as_slice()].concat();
    let works = works::of(&job_of(roofs, By::Us));
    for (more, wanted) in [
        bandage_lines::lines(&laid, &[], rules, &products),
        sundries::lines(roofs, (&laid, &uncut(roofs.len())), &works, &before, rules, &products),
    ] {
        lines.extend(more);
        needs.extend(wanted);
    }
    lines.extend(wet);
    (lines, needs)
}

/// A job on these roofs.
fn job_of(roofs: &[Roof], flashing: By) -> Job {
    Job { roofs: roofs.to_vec(), flashing, ..laid_out(&lean_to("", "", "")).0.job }
}

fn quantity(lines: &[Line], id: &str) -> Decimal {
    let found: Vec<&Line> = lines.iter().filter(|l| l.id == id).collect();
    assert_eq!(found.len(), 1, "{id} stands {} times", found.len());
    found[0].quantity
}

/// A kitchen extension with a rooflight and a pipe, lead at the wall and a gutter in front.
fn kitchen() -> Roof {
    let mut r = rectangle(5200, 3400);
    r.outline.edges[0].gutter = Some(Gutter { shape: "half-round".into(), size: mm(112), detail: None });
    r.outline.edges[2].flashing = Some(Flashing::Lead);
    let form = HoleForm::Box { at: at(1800, 1100), width: mm(1000), depth: mm(600) };
    let pipe = HoleForm::Round { at: at(4500, 2500), diameter: mm(110) };
    r.holes = vec![support::hole("rooflight", form, Finish::Kerb), support::hole("soil pipe", pipe, Finish::Kerb)];
    r
}

fn garage() -> Roof {
    let mut r = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(6000, 0), "right", Finish::Wall),
        (at(6000, 3000), "inner", Finish::Raised),
        (at(3000, 3000), "return", Finish::Wall),
        (at(3000, 5000), "back", Finish::Step),
        (at(0, 5000), "left", Finish::Raised),
    ]);
    r.name = "Garage".into();
    r.laminate.layers = 2;
    r.topcoat.colour = "Light  Grey".into();
    r.deck.action = DeckAction::Keep;
    r
}

// ---- Physics -----------------------------------------------------------------------------------------------------

/// Resin in kg/m² for mat of 225 to 900 g/m² at four mass fractions of glass, free of voids:
/// worked from ISO 12215-5's formula (from memory), rounded to a thousandth.
/// Roofs whose edge timber is cut to any length.
fn uncut(roofs: usize) -> Vec<wetout::takeoff::layout::edge_cuts::RoofEdgeCuts> {
    vec![Default::default(); roofs]
}

#[test]
fn resin_of_a_laminate_agrees_with_the_table() {
    let fractions = [dec("0.25"), dec("0.30"), Decimal::ONE / dec("3"), dec("0.35")];
    let table = [
        ("0.225", ["0.675", "0.525", "0.450", "0.418"]),
        ("0.300", ["0.900", "0.700", "0.600", "0.557"]),
        ("0.450", ["1.350", "1.050", "0.900", "0.836"]),
        ("0.600", ["1.800", "1.400", "1.200", "1.114"]),
        ("0.900", ["2.700", "2.100", "1.800", "1.671"]),
    ];
    let near = |a: Decimal, b: &str| (a - dec(b)).abs() <= dec("0.0006");
    for (glass, row) in table {
        for (fraction, cell) in fractions.iter().zip(row) {
            assert!(near(resin_for_glass(dec(glass), *fraction), cell), "{glass} at {fraction}");
        }
    }
}

/// Millilitres at 1.10, 1.13, 1.15 and 1.18 g/ml: mass ÷ density, arithmetic, rounded to a tenth. Always fewer
/// millilitres than grams.
#[test]
fn catalyst_by_mass_gives_the_millilitres_of_the_table() {
    let table = [
        ("1", "2", "20", ["18.2", "17.7", "17.4", "16.9"]),
        ("5", "1.5", "75", ["68.2", "66.4", "65.2", "63.6"]),
        ("10", "1", "100", ["90.9", "88.5", "87.0", "84.7"]),
        ("10", "2", "200", ["181.8", "177.0", "173.9", "169.5"]),
        ("20", "2", "400", ["363.6", "354.0", "347.8", "339.0"]),
        ("25", "1", "250", ["227.3", "221.2", "217.4", "211.9"]),
    ];
    for (kg, percent, grams, row) in table {
        for (density, ml) in ["1.10", "1.13", "1.15", "1.18"].into_iter().zip(row) {
            let found = catalyst_ml(dec(kg), dec(percent), dec(density));
            assert!((found - dec(ml)).abs() <= dec("0.05"), "{kg} kg at {percent} %: {found}");
            assert!(found < dec(grams));
        }
    }
}

// ---- Quantities --------------------------------------------------------------------------------------------------

/// 5.2 × 3.4 m, drip in front, raised sides, wall behind, 18 mm deck, one layer of 450:
/// - strips 3 × 5.32 × 1.00 + 5.32 × 0.65 = 19.418 m²; less two corners of 0.06 × 0.1 at the back, where no return reaches,
///   19.406 m² are laid; × 0.45 × 3 = 26.1981 kg of resin
/// - 4 × 5.32 = 21.28 m of roll, and 3 % spare: 21.9184 m
/// - bandage 17.2 m of flanges + 4 × 0.3 of patches = 18.4 m, × 0.15 = 2.76 m²; × 0.45 × 3 = 3.726 kg
/// - bare deck 5.2 × (3.4 − 0.025) = 17.55 m² × 0.15 = 2.6325 kg
/// - in the bucket 5 % of 32.5566 = 1.62783 kg
/// - topcoat 17.68 + 5.2 × 0.15 + 6.8 × 0.2 + 5.2 × 0.15 = 20.6 m² × 0.55 = 11.33 kg; 5 % is 0.5665 kg
/// - for the night: 7.2 × 5.4 m with its margin, which one sheet of 8 × 6 m covers; of 4 × 5 m it would take four
/// - catalyst (32.5566 + 1.62783 + 11.33 + 0.5665) × 2.5 % = 1.15202325 kg, ÷ 1.15 = 1001.7593… ml
#[test]
fn a_plain_roof_takes_what_was_worked_by_hand() {
    let (lines, needs) = all(&[rectangle(5200, 3400)], &Rules::default());
    for (id, expected) in [
        ("roof.area", "17.68"),
        ("mat.area", "19.418"),
        ("bandage.150.length", "18.4"),
        ("laminate.resin", "26.1981"),
        ("bandage.resin", "3.726"),
        ("seal.resin", "2.6325"),
        ("bucket.resin", "1.62783"),
        ("topcoat.mass", "11.33"),
        ("bucket.topcoat", "0.5665"),
        ("batten.length", "17.2"),
        ("batten.waste", "0.86"),
        ("seal.temporary", "5.2"),
        ("sheet.night", "48"),
        ("sheet.floor", "24"),
        ("acetone", "5"),
        ("roller.sleeves", "3"),
        ("brushes", "2"),
        ("buckets", "3"),
        ("catalyst.cups", "1"),
        ("gloves", "4"),
    ] {
        assert_eq!(quantity(&lines, id), dec(expected), "{id}");
    }
    assert_eq!(quantity(&lines, "catalyst.volume").round_dp(4), dec("1001.7593"));
    let need = |role: &str| needs.iter().find(|n| n.role == role).unwrap_or_else(|| panic!("{role}")).quantity;
    assert_eq!(need("mat.450"), dec("21.9184"));
    assert_eq!(need("bandage.150"), dec("18.4"));
    assert_eq!(need("resin"), dec("34.18443"));
    assert_eq!(need("topcoat.dark-grey"), dec("11.8965"));
    assert_eq!(need("batten.edge"), dec("18.06"));
    for id in ["gutter.brackets", "pipe.collars", "flashing.length"] {
        assert!(lines.iter().all(|l| l.id != id), "{id} is nothing and is left out");
    }
}

/// Lead along 5.2 m in pieces of at most 1.5 m with laps of 0.1 m: ⌈5.1 ÷ 1.4⌉ = 4 pieces, 5.2 + 3 × 0.1 = 5.5 m.
/// Brackets along 5.2 m at 1 m at most: ⌈5.2⌉ + 1 = 7.
#[test]
fn lead_brackets_and_collars_are_counted_where_there_are_any() {
    let (lines, needs) = all(&[kitchen()], &Rules::default());
    assert_eq!(quantity(&lines, "flashing.length"), dec("5.5"));
    assert_eq!(quantity(&lines, "gutter.brackets"), dec("7"));
    assert_eq!(quantity(&lines, "pipe.collars"), dec("1"));
    assert!(needs.iter().any(|n| n.role == "flashing.lead" && n.quantity == dec("5.5")));
    // 17.68 − 1.0 × 0.6 − the pipe (a polygon of the circle's area to the nearest millimetre).
    let area = quantity(&lines, "roof.area");
    assert!((area - dec("17.0705")).abs() < dec("0.0001"), "{area}");
}

/// By hand: a chimney of 600 × 1500 mm. A side of 600 laps the next at its corner: 0.6 + 0.1 = 0.7 m in one piece. A side
/// of 1500 reaches 1.6 m, two pieces of at most 1.5 m with one lap: 1.7 m. Twice each: 4.8 m, beside 5.5 m at the wall.
#[test]
fn a_chimney_is_flashed_with_lead_on_every_side() {
    let mut r = kitchen();
    let form = HoleForm::Box { at: at(3000, 1000), width: mm(600), depth: mm(1500) };
    r.holes = vec![support::hole("chimney", form, Finish::Wall)];
    let (lines, needs) = all(&[r.clone()], &Rules::default());
    assert_eq!(quantity(&lines, "flashing.length"), dec("10.3"));
    assert_eq!(workings::faults(&lines), Vec::<String>::new());
    assert!(needs.iter().any(|n| n.role == "flashing.lead" && n.quantity == dec("10.3")));
    r.outline.edges[2].flashing = None;
    let (lines, needs) = all(&[r], &Rules::default());
    assert_eq!(quantity(&lines, "flashing.length"), dec("4.8"));
    assert!(needs.iter().any(|n| n.role == "flashing.lead"));
}

/// A roof that drains through an outlet needs the outlet.
#[test]
fn an_outlet_in_the_roof_is_a_line_and_is_bought() {
    let mut r = rectangle(5200, 3400);
    let path = r.path.key("outlet");
    r.outlets = vec![Outlet { path, at: at(2600, 300), size: mm(75), head: None, strainer: true }];
    let (lines, needs) = all(&[r, garage()], &Rules::default());
    assert_eq!(quantity(&lines, "roof.outlets"), dec("1"));
    assert!(needs.iter().any(|n| n.role == "outlet.roof" && n.quantity == dec("1")));
}

/// Measured to the fascia the battens are lines all the same, on the moved outline: the front grows by one batten a side
/// to 5.25 m, the sides by two to 3.45 m: 5.25 × 2 layers + 2 × 3.45 × 1 = 17.4 m.
#[test]
fn battens_of_a_roof_measured_to_the_fascia_follow_the_moved_edges() {
    let mut r = rectangle(5200, 3400);
    r.measured_to = MeasuredTo::Fascia;
    assert_eq!(quantity(&all(&[r], &Rules::default()).0, "batten.length"), dec("17.4"));
}

#[test]
fn lead_by_others_is_no_line() {
    let rules = Rules::default();
    let laid = [layout(&kitchen(), 0, &rules)];
    let works = works::of(&job_of(&[kitchen()], By::Others));
    let (lines, _) = sundries::lines(&[kitchen()], (&laid, &uncut(1)), &works, &[], &rules, &Products::default());
    assert!(lines.iter().all(|l| l.id != "flashing.length"));
}

#[test]
fn a_wall_is_flashed_with_its_own_metal_and_a_chimney_with_that_of_the_walls() {
    let rules = Rules::default();
    let mut r = kitchen();
    r.outline.edges[2].flashing = Some(Flashing::LeadFree);
    let laid = [layout(&r, 0, &rules)];
    let works = works::of(&job_of(&[r.clone()], By::Us));
    let (lines, needs) = sundries::lines(&[r], (&laid, &uncut(1)), &works, &[], &rules, &Products::default());
    assert_eq!(quantity(&lines, "flashing.lead-free.length"), dec("5.5"));
    assert!(needs.iter().all(|n| n.role != "flashing.lead"));
    assert!(needs.iter().any(|n| n.role == "flashing.lead-free" && n.quantity == dec("5.5")));
}

/// A kept deck is sealed over its whole surface, 24 m² × 0.15; a new one stops 25 mm short of its walls.
#[test]
fn a_kept_deck_soaks_over_its_whole_surface() {
    let (lines, _) = all(&[garage()], &Rules::default());
    assert_eq!(quantity(&lines, "seal.resin"), dec("3.6"));
}

/// Joints of old boards that are laminated on are bandaged as those of a new deck: 24 m² × 2.1 m/m² = 50.4 m of 75, which
/// takes 50.4 × 0.075 m² × 0.45 kg/m² × 3 of resin; none where a board lies over them, or where another deck is laid.
#[test]
fn the_joints_of_a_kept_deck_are_bandaged_by_the_square_metre() {
    let bare = Rules { kept_joints: Decimal::ZERO, ..Rules::default() };
    let (lines, needs) = all(&[garage()], &Rules::default());
    let (without, none) = all(&[garage()], &bare);
    // The back is tied in under tiles: 3 m of bandage over the joint with the board up the slope, which is new.
    assert_eq!(quantity(&lines, "bandage.75.length"), dec("53.4"));
    assert!(needs.iter().any(|n| n.role == "bandage.75" && n.quantity == dec("53.4")));
    assert_eq!(quantity(&without, "bandage.75.length"), dec("3"));
    assert!(none.iter().any(|n| n.role == "bandage.75" && n.quantity == dec("3")));
    let resin = |of: &[Line]| quantity(of, "bandage.resin");
    assert_eq!(resin(&lines) - resin(&without), dec("5.103"));
    let mut new = garage();
    new.deck.action = DeckAction::New;
    assert_eq!(quantity(&all(&[new], &Rules::default()).0, "bandage.75.length"), dec("3"));
}

/// Two widths are two lines, and two needs: 12 × 0.69 + 5.2 = 13.48 m of 75; 18.4 + 0.15 = 18.55 m of 150.
#[test]
fn bandage_is_one_line_a_width_with_its_kinds_added_up() {
    let rules = Rules::default();
    let mut laid = layout(&rectangle(5200, 3400), 0, &rules);
    let piece = |width, length, covers| BandagePiece {
        width: mm(width),
        from: at(0, 0),
        to: at(length, 0),
        length: mm(length),
        covers,
    };
    laid.bandage.extend((0..12).map(|_| piece(75, 690, BandageOver::BoardJoint)));
    laid.bandage.push(piece(75, 5200, BandageOver::BoardJoint));
    laid.bandage.push(piece(150, 150, BandageOver::TrimLap));
    let (lines, needs) = bandage_lines::lines(&[laid], &[], &rules, &Products::default());
    assert_eq!(quantity(&lines, "bandage.75.length"), dec("13.48"));
    assert_eq!(quantity(&lines, "bandage.150.length"), dec("18.55"));
    assert_eq!(needs.iter().map(|n| n.role.to_string()).collect::<Vec<_>>(), ["bandage.75", "bandage.150"]);
    let sums: Vec<&str> = lines[1]
        .working
        .iter()
        .filter_map(|s| if let Step::Formula { formula, .. } = s { Some(formula.as_str()) } else { None })
        .collect();
    assert_eq!(sums.last(), Some(&"all: 17.2 m + 0.15 m + 1.2 m"));
    for (formula, result) in lines
        .iter()
        .flat_map(|l| &l.working)
        .filter_map(|s| if let Step::Formula { formula, result, .. } = s { Some((formula, result)) } else { None })
    {
        assert_eq!(workings::work(formula), Ok(*result), "{formula}");
    }
}

/// By hand: 12 × 12.5 + 0.1 = 150.1 m of 75. Two rolls of 75 m with one lap of 50 mm hold 149.95 m, so three are opened,
/// with two laps: 0.1 m, and 150.2 m are asked for. Of 150 mm wide 18.4 m come out of one roll, with no lap.
#[test]
fn where_a_roll_of_bandage_ends_the_lap_is_bought_too() {
    let rules = Rules::default();
    let pieces = |each: i64, more: i64| {
        let mut laid = layout(&rectangle(5200, 3400), 0, &rules);
        let piece = |length| BandagePiece {
            width: mm(75),
            from: at(0, 0),
            to: at(length, 0),
            length: mm(length),
            covers: BandageOver::BoardJoint,
        };
        laid.bandage.extend((0..12).map(|_| piece(each)));
        laid.bandage.push(piece(more));
        [laid]
    };
    let mut products = Products::default();
    products.bandages.insert(75, vec![mm(75_000), mm(100_000)]);
    let (lines, needs) = bandage_lines::lines(&pieces(12_500, 100), &[], &rules, &products);
    assert_eq!(quantity(&lines, "bandage.75.laps"), dec("0.1"));
    assert_eq!((needs[0].quantity, needs[0].lines.len()), (dec("150.2"), 2));
    assert_eq!((needs[1].quantity, needs[1].lines.len()), (dec("18.4"), 1));
    assert_eq!(workings::faults(&lines), Vec::<String>::new());
    // 149.95 m are two rolls and one lap to the millimetre; one roll's worth needs no lap at all.
    let (lines, needs) = bandage_lines::lines(&pieces(12_490, 70), &[], &rules, &products);
    assert_eq!(quantity(&lines, "bandage.75.laps"), dec("0.05"));
    assert_eq!(needs[0].quantity, dec("150"));
    let (lines, _) = bandage_lines::lines(&pieces(6245, 60), &[], &rules, &products);
    assert!(lines.iter().all(|l| l.id != "bandage.75.laps"));
    // Where no price book says how long a roll is, the rule does.
    let short = Rules { bandage_roll: mm(50_000), ..rules.clone() };
    let (lines, _) = bandage_lines::lines(&pieces(12_500, 100), &[], &short, &Products::default());
    assert_eq!(quantity(&lines, "bandage.75.laps"), dec("0.15"));
}

#[test]
fn two_roofs_have_their_own_lines_and_share_what_is_pooled() {
    let (lines, needs) = all(&[kitchen(), garage()], &Rules::default());
    let mut seen: BTreeMap<LineId, BTreeSet<Option<&str>>> = BTreeMap::new();
    for l in &lines {
        assert!(seen.entry(l.id).or_default().insert(l.roof.as_deref()), "{} stands twice", l.id);
        assert!(l.quantity > Decimal::ZERO, "{}", l.id);
        let text = l.id.to_string();
        let plain = text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '.');
        assert!(plain, "{}", l.id);
    }
    for (id, roofs) in &seen {
        assert!(roofs.len() == 1 || !roofs.contains(&None), "{id} is pooled and per roof");
    }
    for id in [LineId::LaminateResin, LineId::MatArea, LineId::RoofArea] {
        assert_eq!(seen[&id].len(), 2, "{id}");
    }
    assert_eq!(seen[&LineId::CatalystVolume], BTreeSet::from([None]));
    let roles: Vec<&Role> = needs.iter().map(|n| &n.role).collect();
    let sized: BTreeSet<_> = needs.iter().map(|n| (&n.role, n.size)).collect();
    assert_eq!(sized.len(), roles.len(), "a role stands twice in one size: {roles:?}");
    assert!(["topcoat.light-grey", "topcoat.dark-grey"].iter().all(|c| roles.iter().any(|r| **r == *c)));
}

#[test]
fn every_need_has_a_role_of_the_list_its_unit_and_a_line_that_asks_for_it() {
    let (lines, needs) = all(&[kitchen(), garage()], &Rules::default());
    for n in &needs {
        let family = |word: &str| word.strip_suffix('*').map_or(n.role == word, |s| n.role.to_string().starts_with(s));
        let known: Vec<_> = ROLES.iter().filter(|r| family(r.word)).collect();
        assert_eq!(known.len(), 1, "{} is one role", n.role);
        assert_eq!(known[0].unit, n.unit(), "{}", n.role);
        assert!(n.quantity > Decimal::ZERO && !n.lines.is_empty(), "{}", n.role);
        assert!(n.lines.iter().all(|id| lines.iter().any(|l| l.id == *id)), "{}: {:?}", n.role, n.lines);
    }
}

/// 200 m² of roof: sleeves ⌈200 ÷ 20⌉ = 10, brushes 10, gloves ⌈200 ÷ 5⌉ = 40.
#[test]
fn what_is_used_up_grows_with_the_roof() {
    let (lines, _) = all(&[rectangle(20_000, 10_000)], &Rules::default());
    for (id, count) in [("roller.sleeves", "10"), ("brushes", "10"), ("gloves", "40")] {
        assert_eq!(quantity(&lines, id), dec(count), "{id}");
    }
    let resin: Decimal =
        ["laminate.resin", "bandage.resin", "seal.resin", "bucket.resin"].iter().map(|id| quantity(&lines, id)).sum();
    assert_eq!(quantity(&lines, "acetone"), resin / dec("20"));
}

#[test]
fn rolls_that_cannot_be_used_to_their_ends_are_bought_whole() {
    let rules = Rules::default();
    let laid = [layout(&rectangle(5200, 3400), 0, &rules)];
    let mut products = Products::default();
    products.mats.get_mut(&450).unwrap().rolls = vec![mm(8000)];
    let (_, needs) = mat_lines::lines(&laid, (&[], &[]), &rules, &products);
    assert_eq!(needs[0].quantity, dec("32"));
    products.mats.get_mut(&450).unwrap().rolls = vec![mm(30_000)];
    let (_, needs) = mat_lines::lines(&laid, (&[], &[]), &rules, &products);
    assert_eq!(needs[0].quantity, dec("21.9184"));
}

// ---- Workings ----------------------------------------------------------------------------------------------------

/// Every formula comes to its result, every rounding follows from what stands before it, and the last of them is the
/// line's quantity.
#[test]
fn every_working_adds_up() {
    let two_layers = Rules { glass_fraction: dec("0.3"), ..Rules::default() };
    for (roofs, rules) in [
        (vec![rectangle(5200, 3400)], Rules::default()),
        (vec![kitchen(), garage()], Rules::default()),
        (vec![garage(), rectangle(14_000, 9000)], two_layers),
    ] {
        assert_eq!(workings::faults(&all(&roofs, &rules).0), Vec::<String>::new());
    }
}

#[test]
fn every_rule_that_a_working_names_is_a_rule_of_the_firm() {
    for l in all(&[kitchen(), garage()], &Rules::default()).0 {
        for step in &l.working {
            if let Step::Rule { name, .. } = step {
                assert!(Rules::ABOUT.iter().any(|r| r.0 == *name), "{}: {name}", l.id);
            }
        }
    }
}

#[test]
fn an_unusual_rule_asks_for_the_least_and_never_divides_by_nothing() {
    let rules = Rules {
        acetone_per: Decimal::ZERO,
        sleeve_area: Decimal::ZERO,
        bracket_spacing: Length::ZERO,
        flashing_piece: mm(50),
        ..Rules::default()
    };
    let (lines, _) = all(&[kitchen()], &rules);
    assert_eq!(quantity(&lines, "acetone"), dec("5"));
    assert_eq!(quantity(&lines, "roller.sleeves"), dec("3"));
    assert!(lines.iter().all(|l| l.id != "gutter.brackets"));
}

#[test]
fn the_working_of_the_mat_shows_how_the_number_of_strips_follows() {
    let (lines, _) = all(&[rectangle(5200, 3400)], &Rules::default());
    let mat = lines.iter().find(|l| l.id == "mat.area").unwrap();
    let formulas: Vec<&str> = mat
        .working
        .iter()
        .filter_map(|s| if let Step::Formula { formula, .. } = s { Some(formula.as_str()) } else { None })
        .collect();
    assert_eq!(
        formulas,
        [
            "layer 1: (3.5 m − 0.05 m) ÷ (1 m − 0.05 m)",
            "strips 1 to 3: 3 × 5.32 m × 1 m",
            "strip 4: 5.32 m × 0.65 m",
            "all strips as cut: 15.96 m2 + 3.458 m2",
        ]
    );
    assert_eq!(mat.unit, Unit::SquareMetre);
}

/// Every demo, big and small job: the pieces of edge battens and edge timber make up their sides, layer by layer, but for what they are
/// shorter or longer at the corners; no length gives more than it has, none of them is shorter than its screws ask for, and all lengths are bought.
#[test]
fn edge_battens_and_edge_timber_come_out_of_the_lengths_that_are_bought() {
    let (mut looked_at, mut jointed) = (0, 0);
    for (name, demo) in crate::works::every_job() {
        let rules = &demo.loaded.rules;
        let mut taken: BTreeMap<(&str, Option<Length>, Length), BTreeMap<usize, Length>> = BTreeMap::new();
        for (laid, cuts) in demo.take_off.roofs.iter().zip(&demo.take_off.edge_cuts) {
            let roof = &demo.loaded.job.roofs[laid.shape.index];
            let height =
                roof.warm().and_then(|b| b.insulation.as_ref()).map(|i| over_deck::height_of([Some(&i.sheet)]));
            for (role, size, of) in [("batten.edge", None, &cuts.battens), ("timber.edge", height, &cuts.timber)] {
                let layers = |finish| match (role, finish) {
                    ("batten.edge", Finish::Drip) => rules.drip_battens,
                    ("batten.edge", Finish::Raised) => rules.raised_battens,
                    ("timber.edge", Finish::Drip | Finish::Raised | Finish::Gutter) => u32::from(laid.over.is_some()),
                    _ => 0,
                };
                for (i, side) in laid.shape.sides.iter().enumerate() {
                    let runs: Vec<_> = of.runs.iter().filter(|run| run.side == i).collect();
                    assert_eq!(runs.len(), layers(side.finish) as usize, "{name}, {}, {role}", side.label);
                    for run in runs {
                        let long: Length = run.pieces.iter().map(|p| p.length).sum();
                        let corners = rules.batten.thickness * 4;
                        let differs = (long - side.run).as_mm().abs();
                        assert!(differs <= corners.as_mm(), "{name}, {}, {role}: {long}", side.label);
                        let least = rules.batten_fixing.min(long);
                        assert!(run.pieces.iter().all(|p| p.length >= least), "{name}: {run:?}");
                        jointed += usize::from(run.pieces.len() > 1);
                        for p in &run.pieces {
                            let bars = taken.entry((role, size, of.stock.unwrap())).or_default();
                            *bars.entry(p.bar).or_default() += p.length;
                        }
                    }
                }
            }
        }
        for ((role, size, stock), bars) in taken {
            assert!(bars.values().all(|cut| *cut <= stock), "{name}, {role}: {bars:?}");
            let needs = demo.take_off.needs.iter().filter(|n| n.role == role && n.size == size);
            let asked: Decimal = needs.map(|n| n.quantity).sum();
            assert!((asked / stock.metres()).ceil() >= Decimal::from(bars.len()), "{name}, {role}: {asked}, {bars:?}");
            looked_at += bars.len();
        }
    }
    assert!(looked_at > 100 && jointed > 20, "{looked_at} {jointed}");
}

/// Two layers of 6 m in front, 3 m less their 50 mm at each side, from lengths of 4.8 m: what is left of one is begun with on the next side.
#[test]
fn the_crew_is_told_from_which_lengths_the_edges_are_cut() {
    let told = |text: &str| crate::edges::documents(&crate::demo::work(&support::asked(text)))[1].clone();
    let method = told(&lean_to("", "", ""));
    let cut = "from 4.80 m: front 4800 + 1200, 3600 + 2400; right 2400 + 550; left 2950.";
    assert!(method.contains(cut), "{method}");
}

/// The outline of a roof moved in by the battens of each side, and its area in mm².
fn area_behind_battens(shape: &RoofShape, rules: &Rules) -> f64 {
    let line = |side: &Side| {
        let (dx, dy) = ((side.to.x - side.from.x) as f64, (side.to.y - side.from.y) as f64);
        let long = dx.hypot(dy);
        let layers = match side.finish {
            Finish::Drip => rules.drip_battens,
            Finish::Raised => rules.raised_battens,
            _ => 0,
        };
        let deep = f64::from(layers) * rules.batten.thickness.as_mm() as f64;
        let at = (side.from.x as f64 - dy / long * deep, side.from.y as f64 + dx / long * deep);
        (at, (dx / long, dy / long))
    };
    let lines: Vec<_> = shape.sides.iter().map(line).collect();
    let n = lines.len();
    let corner = |i: usize| {
        let (((ax, ay), (ux, uy)), ((bx, by), (vx, vy))) = (lines[(i + n - 1) % n], lines[i]);
        let along = ((bx - ax) * vy - (by - ay) * vx) / (ux * vy - uy * vx);
        (ax + along * ux, ay + along * uy)
    };
    let corners: Vec<(f64, f64)> = (0..n).map(corner).collect();
    (0..n).map(|i| corners[i].0 * corners[(i + 1) % n].1 - corners[i].1 * corners[(i + 1) % n].0).sum::<f64>() / 2.0
}

/// Where all corners are square the battens fill what lies between the outline and the fascia, once: none lies over another at a
/// corner, and none is missing.
#[test]
fn edge_battens_fill_what_lies_before_the_fascia_once() {
    let mut seen = 0;
    for (name, demo) in crate::works::every_job() {
        let rules = &demo.loaded.rules;
        for (laid, cuts) in demo.take_off.roofs.iter().zip(&demo.take_off.edge_cuts) {
            let ring = laid.shape.ring();
            let corners = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()], ring[(i + 2) % ring.len()]));
            let square = |(a, b, c): (Point, Point, Point)| (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y) == 0;
            if cuts.battens.stock.is_none() || !corners.into_iter().all(square) {
                continue;
            }
            let whole =
                area_behind_battens(&laid.shape, &Rules { drip_battens: 0, raised_battens: 0, ..rules.clone() });
            let wide = rules.batten.thickness.as_mm() as f64;
            let cut: f64 = cuts
                .battens
                .runs
                .iter()
                .flat_map(|run| &run.pieces)
                .map(|piece| piece.length.as_mm() as f64 * wide)
                .sum();
            let before = whole - area_behind_battens(&laid.shape, rules);
            assert!((cut - before).abs() < 1.0, "{name}, {}: {cut} mm² of {before}", laid.shape.name);
            seen += 1;
        }
    }
    assert!(seen > 8, "{seen}");
}

/// The garage is wrapped in timber whose face is flush with the fascia, 50 mm behind the drips and 25 mm behind the raised edges.
#[test]
fn edge_timber_is_cut_to_its_own_face() {
    let job = crate::demo::work(&crate::demo::request("garage-utility"));
    let long = |label: &str| -> i64 {
        let side = job.take_off.roofs[0].shape.sides.iter().position(|side| side.label == label).unwrap();
        let run = job.take_off.edge_cuts[0].timber.runs.iter().find(|run| run.side == side).unwrap();
        run.pieces.iter().map(|piece| piece.length.as_mm()).sum()
    };
    assert_eq!(["front", "utility side", "back"].map(long), [3100, 3300, 5550]);
}

/// A piece has a screw at either end: what is cut into two takes one more at least. Of the garage's edge timber, by hand:
/// each piece is its length by 400 mm, rounded up, and one.
#[test]
fn edge_timber_and_battens_are_screwed_piece_by_piece() {
    let mut jointed = 0;
    for (name, demo) in crate::works::every_job() {
        let apart = demo.loaded.rules.batten_fixing.as_mm();
        for (laid, cuts) in demo.take_off.roofs.iter().zip(&demo.take_off.edge_cuts) {
            for (id, of) in [("edge.timber.fixings", &cuts.timber), ("batten.fixings", &cuts.battens)] {
                let line =
                    demo.take_off.lines.iter().find(|l| l.id == id && l.roof.as_deref() == Some(&laid.shape.name));
                let pieces = || of.runs.iter().flat_map(|run| &run.pieces).map(|piece| piece.length.as_mm());
                let by_piece: i64 = pieces().map(|long| (long + apart - 1) / apart + 1).sum();
                if of.stock.is_some() {
                    let told = line.map_or(Decimal::ZERO, |line| line.quantity);
                    assert_eq!(told, Decimal::from(by_piece), "{name}, {}: {id}", laid.shape.name);
                    jointed += pieces().count() - of.runs.len();
                }
            }
        }
    }
    assert!(jointed > 50, "{jointed}");
}
