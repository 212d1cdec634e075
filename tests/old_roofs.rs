//! Roofs whose laminate stays: patches and topcoat anew, from the job file to the pages.
//!
//! Given job files as they are read; looks at works, lines, order, hours and what is told. Nothing of a new roof may be in
//! any of them. Sizes are common practice, no source; what they come to is worked by hand beside the check.

use crate::demo::{self, Demo, KINDS};
use crate::edges::documents;
use crate::replay::{old_roofs, roofs, workings};
use crate::support::{asked, mm};
use wetout::documents::method::day_card;
use wetout::documents::{DocumentKind, Overrides, describe};
use wetout::estimate::lay_out;
use wetout::job_file::{load, render};
use wetout::model::{Area, Mass, Role};
use wetout::pricing::price;
use wetout::programme::plan;
use wetout::programme::pots::PotCoat;
use wetout::takeoff::Line;
use wetout::takeoff::layout::patches::square_of;
use wetout::works::WorkKind;

fn demo_job() -> Demo {
    demo::work(&demo::request("patch-and-coat"))
}

fn line<'a>(demo: &'a Demo, id: &str) -> &'a Line {
    demo.take_off.lines.iter().find(|l| l.id == id).unwrap_or_else(|| panic!("no {id}"))
}

/// Worked by hand from jobs/patch-and-coat: holes 0.60 × 0.45 and 0.90 × 0.50 m, two layers, laps 100 and 150 mm, ground
/// 25 mm further; of the second 25 mm would lie past the drip.
#[test]
fn the_demo_takes_what_its_patches_and_its_face_come_to_by_hand() {
    let demo = demo_job();
    let takes = |id: &str| line(&demo, id).quantity.to_string().parse::<f64>().unwrap();
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} is not {b}");
    // Along the drip 0.90 m of bandage 150 mm wide, 50 mm further at either end, lies on what was ground.
    let at_edge = (0.90 + 0.10) * 0.15;
    near(takes("patch.ground"), 0.95 * 0.80 + 1.25 * 0.825 + at_edge);
    let mat = 0.80 * 0.65 + 0.90 * 0.75 + 1.10 * 0.70 + 1.20 * 0.80;
    near(takes("patch.cleaner"), (0.95 * 0.80 + 1.25 * 0.825 + at_edge) * 0.08);
    // Holes from 0.60 to 4.10 m along the front, with a metre all round: 5.5 m, more than one sheet of 4 × 5 m reaches.
    near(takes("sheet.night"), 2.0 * 4.0 * 5.0);
    near(takes("patch.mat"), mat);
    near(takes("laminate.resin"), mat * 0.45 * 3.0);
    near(takes("seal.resin"), (0.60 * 0.45 + 0.90 * 0.50) * 0.15);
    near(takes("patch.noggins"), 2.0 * (0.90 + 0.50));
    near(takes("recoat.area"), 5.4 * 3.8 - 1.0);
    let face = 19.52 + 5.4 * 0.15 + 2.0 * 3.8 * 0.20 + 5.4 * 0.15 + 4.0 * 0.20;
    near(takes("recoat.face"), face);
    near(takes("topcoat.mass"), face * 0.55);
}

#[test]
fn nothing_of_a_new_roof_is_promised_bought_or_told_where_the_laminate_stays() {
    let demo = demo_job();
    let common = [WorkKind::Scaffold, WorkKind::WaterTest, WorkKind::ClearAway, WorkKind::HandOver];
    for kind in demo.take_off.works.kinds() {
        assert!(kind.is_on_old() || common.contains(&kind), "{} is promised", kind.key());
    }
    assert!(demo.take_off.roofs.is_empty() && demo.take_off.profiles.is_empty());
    for line in demo.pricing.orders.iter().flat_map(|o| &o.lines) {
        let role = line.role.to_string();
        let new = ["trim.", "corner.", "closure.", "batten.", "timber.firring", "flashing.", "bracket."];
        assert!(!new.iter().any(|word| role.starts_with(word)), "{role} is bought");
    }
    let words = |kind: DocumentKind| describe(kind, &demo.worked(), &Overrides::default()).unwrap();
    for word in ["Firring", "firring", "fillet", "battens", "New deck", "new timber deck", "Cut list", "Mat plan"] {
        assert!(!KINDS.iter().any(|kind| words(*kind).contains(word)), "`{word}` is told");
    }
}

/// An option that leaves a patch out names it: no two of a roof may have one name.
#[test]
fn two_patches_of_one_name_are_refused() {
    let sound = include_str!("jobs_for_sweep/old.yaml");
    let alike = sound.replace("{area: 0.2 m2, layers: 3}", "{name: split by the wall, area: 0.2 m2, layers: 3}");
    assert!(load(&asked(sound)).is_ok());
    let problems = load(&asked(&alike)).unwrap_err().problems;
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert!(
        told.iter().any(|p| p.contains("patches[1].name") && p.contains("patch 1 is called `split by the wall` too")),
        "{told:?}"
    );
}

#[test]
fn the_guarantee_of_a_repair_is_of_what_was_done_alone() {
    let demo = demo_job();
    let quote = describe(DocumentKind::Quote, &demo.worked(), &Overrides::default()).unwrap();
    assert!(quote.contains("coated alone"), "{quote}");
    assert!(quote.contains("5 years") && !quote.contains("20 years"), "{quote}");
}

#[test]
fn a_patch_known_by_its_area_is_a_square_that_is_never_smaller() {
    for (mm2, side) in [(1, 1), (4, 2), (5, 3), (250_000, 500), (250_001, 501), (999_999, 1000)] {
        assert_eq!(square_of(Area::mm2(mm2)), (mm(side), mm(side)), "{mm2} mm2");
    }
}

#[test]
fn patches_wait_for_their_cure_and_the_roof_is_cleaned_meanwhile() {
    let demo = demo_job();
    let labels: Vec<&str> = demo.programme.work.iter().map(|w| w.label.as_str()).collect();
    assert_eq!(
        labels,
        ["Wash the old laminate", "Cut back and lay the patches", "Abrade and wipe the old laminate", "Topcoat"]
    );
    // The square metre that is coated first is tried on the day of the patches; the topcoat has the next morning.
    let days: Vec<Vec<usize>> = demo.programme.days.iter().map(|d| d.work.iter().map(|w| w.0).collect()).collect();
    assert_eq!(days, [vec![0, 1, 2], vec![3]]);
    // Without it all is done in a day. Three people abrade and wipe for 3.28 h ÷ 3 = 1.09 h by the clock; of three hours of cure
    // 1.91 h are stood through, by each.
    let mut rules = demo.loaded.rules.clone();
    rules.hours_trial = rust_decimal::Decimal::ZERO;
    let density = demo.loaded.products.catalyst_density;
    let short = plan(&demo.loaded.job, &demo.take_off, &rules, density, 3, &[]);
    let standing: f64 = short.days.iter().map(|d| d.standing.to_string().parse::<f64>().unwrap()).sum();
    let cleaned = short.work[2].hours.to_string().parse::<f64>().unwrap();
    assert!((standing - (3.0 - cleaned / 3.0) * 3.0).abs() < 0.02, "{standing}");
}

/// What is wrong with a random job whose laminates stay.
fn replayed(seed: u64) -> Vec<String> {
    let text = old_roofs::random_file(&mut roofs::Dice::new(seed));
    let loaded = match load(&asked(&text)) {
        Ok(loaded) => loaded,
        Err(f) => {
            let told = render(&f.problems, &f.sources, false);
            // Patches that together are the roof are refused, and so they should be.
            return if told.contains("nothing of the old laminate stays") { Vec::new() } else { vec![told + &text] };
        }
    };
    let laid = match lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)) {
        Ok(laid) => laid,
        Err(problems) => return problems.iter().map(ToString::to_string).collect(),
    };
    let programme = plan(&loaded.job, &laid.take_off, &loaded.rules, loaded.products.catalyst_density, 2, &[]);
    let terms = loaded.terms.as_ref().unwrap();
    let needs = &laid.take_off.needs;
    let priced = price(&loaded.job, &loaded.rules, needs, &programme, &loaded.books, terms, &loaded.job_money);
    let pricing = match priced {
        Ok(pricing) => pricing,
        Err(problems) => return problems.iter().map(ToString::to_string).collect(),
    };
    let mut found = old_roofs::faults(&loaded.job, &laid.take_off, &pricing, &loaded.rules, &loaded.products);
    found.extend(workings::faults(&laid.take_off.lines));
    found
}

#[test]
fn random_repairs_are_laid_and_bought_and_never_short() {
    let count = roofs::count(300);
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, replayed), count);
}

/// A sound job is spoilt in one way at a time, and each way is seen.
#[test]
fn a_repair_that_is_short_is_seen() {
    let demo = demo::work(&asked(include_str!("jobs_for_sweep/old.yaml")));
    let (job, rules, products) = (&demo.loaded.job, &demo.loaded.rules, &demo.loaded.products);
    let see = |spoil: &dyn Fn(&mut wetout::takeoff::TakeOff, &mut wetout::pricing::Pricing)| {
        let (mut take_off, mut pricing) = (demo.take_off.clone(), demo.pricing.clone());
        spoil(&mut take_off, &mut pricing);
        old_roofs::faults(job, &take_off, &pricing, rules, products).join("; ")
    };
    assert_eq!(see(&|_, _| ()), "");
    assert!(see(&|t, _| t.old_roofs[0].patches[0].mat[0].width = mm(100)).contains("do not cover"));
    assert!(see(&|t, _| t.old_roofs[0].patches[0].mat.clear()).contains("has no mat"));
    assert!(see(&|t, _| t.old_roofs[2].patches[0].bandage.clear()).contains("do not go round"));
    assert!(
        see(&|t, _| t.old_roofs[2].patches[0].deck.as_mut().unwrap().pieces[0].on_board.x = 9000)
            .contains("off its board")
    );
    let without = |role: &'static str| {
        see(&move |_, p| p.orders.iter_mut().for_each(|o| o.lines.retain(|l| !l.role.to_string().starts_with(role))))
    };
    for role in ["resin", "topcoat.", "primer", "cleaner", "disc.", "mat.", "board.", "aggregate.", "catalyst"] {
        assert!(without(role).contains(role), "{role}");
    }
    let line = see(&|t, _| t.lines.iter_mut().find(|l| l.id == "patch.mat").unwrap().work = WorkKind::FirstLayer);
    assert!(line.contains("on an old laminate"), "{line}");
}

#[test]
fn the_crew_of_an_old_roof_leaves_it_dry_knows_each_place_and_washes_before_it_grinds() {
    let method = documents(&demo_job())[1].clone();
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    // No water runs into an open hole, and neither dirt nor wax is ground in.
    assert!(at("Wash the whole roof with cleaner") < at("Cut out to sound laminate"), "{method}");
    // What keeps cleaner out of drains and off plants is ticked before any is poured.
    for ticked in ["Gutter plugged: no cleaner", "plants under the edge watered and covered", "cars moved"] {
        assert!(at(ticked) < at("Wash the whole roof with cleaner"), "{ticked}: {method}");
    }
    assert!(at("Moss and dirt off") < at("Wash the whole roof with cleaner"), "{method}");
    assert!(at("Wash → Tap and mark → Cut back and dry → Patch → Abrade and wipe → Topcoat") < at("Moss and dirt off"));
    assert!(at("Roof washed, rinsed and dry: signed") < at("Cut out to sound laminate"), "{method}");
    assert!(at("Cut out to sound laminate") < at("Grind the face round the hole"), "{method}");
    let tools = &method[at("Hammer or coin to tap with")..at("Cut out to sound laminate")];
    for used in ["plug for the gutter", "warm-air blower", "night sheet", "preservative and brush"] {
        assert!(tools.contains(used), "{used}: {tools}");
    }
    assert!(at("Cleaner for what is ground:") < at("Cut out to sound laminate"), "{method}");
    assert!(!method.contains("ie coat"), "no tie coat is laid: {method}");
    // 900 mm along the drip, an end lap of 50 mm at either end.
    assert!(at("half on the roof, half up or over. P2, 1.00 m.") < at("First layer: resin on"), "{method}");
    assert!(at("Way off chosen and marked") < at("Roll the rest towards the way off"), "{method}");
    for goods in ["Boards for patches:", "Noggins for patches:", "boards of patches:"] {
        at(goods);
    }
}

/// The square metre that is coated first is of the same topcoat, mixed on its day in a pot of its own, and no second waxed coat
/// comes on it.
#[test]
fn the_square_metre_coated_first_has_its_own_pot_and_is_not_coated_twice() {
    let demo = demo_job();
    let pots = &demo.programme.pots.as_ref().unwrap().topcoat;
    let first = &pots[0];
    assert_eq!(first.parts[0].coat, Some(PotCoat::Trial));
    let (near, kg) = (
        |a: f64, b: f64| assert!((a - b).abs() < 1e-3, "{a} is not {b}"),
        |m: Mass| m.as_kg().to_string().parse::<f64>().unwrap(),
    );
    near(kg(first.resin), 0.55);
    let all: f64 = pots.iter().map(|pot| kg(pot.resin)).sum();
    near(all, line(&demo, "topcoat.mass").quantity.to_string().parse().unwrap());
    let [_, method] = documents(&demo);
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    assert!(at("One even coat") < at("The square metre coated first stays: its rim abraded dull"));
    at("No second waxed coat without abrading.");
    // What it takes, and its pot, stand with it: before the rest is coated.
    let cleaning = &method[at("Abrade and wipe\n")..at("Topcoat over the old roof\n")];
    assert!(
        cleaning.contains("Topcoat, light grey:\u{a0}0.6 kg") && cleaning.contains("out of pot 1 of the topcoat"),
        "{cleaning}"
    );
    let coating = &method[at("Topcoat over the old roof\n")..at("Hand over: done when")];
    assert!(coating.contains("Topcoat, light grey:\u{a0}12.4 kg"), "{coating}");
    let pots = &method[at("Trial of the topcoat")..];
    let place = |words: &str| pots.find(words).unwrap_or_else(|| panic!("{words}: {pots}"));
    assert!(place("Square metre coated first") < place("Topcoat\n"), "{pots}");
    // It is mixed on the day on which the roof is cleaned, and on no other.
    let words = wetout::documents::words::Words::new(&Overrides::default()).unwrap();
    let on: Vec<u32> = (demo.programme.days.iter())
        .filter(|day| {
            let card = day_card::document(day, &demo.worked(), &words).unwrap();
            crate::drawings::text_of(&card).contains("quare metre coated first")
        })
        .map(|day| day.number)
        .collect();
    assert_eq!(on, [1]);
}

/// Patches are wet when they are signed, and a fresh coat carries nobody: what is tapped is tapped between the two.
#[test]
fn patches_are_tapped_when_they_are_hard_and_before_the_topcoat() {
    let [_, method] = documents(&demo_job());
    let at = |words: &str| method.find(words).unwrap_or_else(|| panic!("{words}: {method}"));
    assert!(at("Patches laid: signed") < at("Tapped, the old laminate too: no hollow sound"));
    assert!(at("Tapped, the old laminate too") < at("Old roof topcoated: signed"));
    let handed = &method[at("Hand over: done when")..];
    assert!(!handed.contains("apped once more") && handed.contains("Every edge and upstand looked at from the ladder"));
}

/// Two layers lap 150 mm round a hole, ground 25 mm further: 0.15 m from the edge they come to it, at 0.25 m a bandage along it would touch nothing.
#[test]
fn a_patch_that_is_bandaged_to_an_edge_comes_to_it() {
    let told = |at: &str| -> Vec<String> {
        let mut request = demo::request("patch-and-coat");
        let text = String::from_utf8(request.bytes).unwrap();
        request.bytes = text.replacen("at: [0.6 m, 0.15 m]", at, 1).into_bytes();
        let notices = load(&request).unwrap().notices;
        notices.into_iter().map(|n| n.fault).filter(|fault| fault.contains("end short of every edge")).collect()
    };
    assert_eq!(told("at: [0.6 m, 0.15 m]"), [""; 0]);
    assert!(matches!(&told("at: [0.6 m, 0.25 m]")[..], [one] if one.contains("reach 175 mm round it")));
}

/// An edge that has lifted takes 1.2 m of new trim and a lap of 50 mm at either end; a split where the roof meets its wall goes up it.
#[test]
fn an_edge_is_made_good_along_a_patch() {
    let demo = demo::work(&asked(include_str!("jobs_for_sweep/old.yaml")));
    let patches = &demo.take_off.old_roofs[2].patches;
    let [_, lifted, split, loose] = patches.as_slice() else { panic!("{patches:?}") };
    let takes = |id: &str| line(&demo, id).quantity.to_string().parse::<f64>().unwrap();
    // A hole of 1.2 × 0.2 m and one layer of 100 mm: on the roof 1.4 × 0.3 m, and 60 mm over the trim.
    assert_eq!((lifted.mat[0].length, lifted.mat[0].width), (mm(1400), mm(360)));
    assert_eq!(lifted.trim.as_ref().unwrap().pieces, [mm(1300)]);
    assert_eq!(lifted.ring.as_ref().unwrap()[0], wetout::model::Point::new(4100, 800));
    // 1.0 × 0.2 m, and 100 mm up the wall behind its flashing.
    assert_eq!((split.mat[0].length, split.mat[0].width), (mm(1000), mm(300)));
    assert!(split.trim.as_ref().unwrap().pieces.is_empty());
    assert_eq!(loose.trim.as_ref().unwrap().pieces, [mm(900)]);
    assert!((takes("patch.edge.run") - 2.9).abs() < 1e-9);
    // 1.3 m and 0.9 m at 150 mm: ten and seven nails.
    assert_eq!(takes("patch.edge.nails"), 10.0 + 7.0);
    assert_eq!(takes("patch.trim.raised.lengths"), 1.0);
    let ordered =
        |role: &str| demo.pricing.orders.iter().flat_map(|o| &o.lines).any(|l| l.role == Role::parse(role).unwrap());
    assert!(["trim.raised", "nails.clout", "adhesive"].into_iter().all(ordered) && !ordered("trim.wall"));
    assert!(demo.programme.work.iter().any(|w| w.parts.iter().any(|p| p.work == WorkKind::PatchEdge)));
    let [quote, method] = documents(&demo);
    for told in ["We cut out 1.20 m of the raised edge trim on the edge “right”", "The flashing is lifted there"] {
        assert!(quote.contains(told), "{told}: {quote}");
    }
    for told in [
        "1.20 m of the raised edge trim cut out, new 1300 mm",
        "flashing up, the wall fillet stays",
        "the mat goes on up the wall",
    ] {
        assert!(method.contains(told), "{told}: {method}");
    }
}

/// 0.15 m from the front a patch of 0.9 × 0.5 m, ground 175 mm round its hole: 25 mm of that would lie past the drip.
#[test]
fn of_a_patch_at_an_edge_only_what_is_roof_is_ground_and_laid() {
    let demo = demo_job();
    let patch = &demo.take_off.old_roofs[0].patches[1];
    assert_eq!(patch.ground.size, (mm(1250), mm(825)));
    assert_eq!(patch.ground.ring.as_ref().unwrap().iter().map(|p| p.y).min(), Some(0));
    let near = include_str!("../jobs/patch-and-coat/job.yaml").replace("at: [0.6 m, 0.15 m]", "at: [0.02 m, 0.01 m]");
    let demo = demo::work(&asked(&near));
    let patch = &demo.take_off.old_roofs[0].patches[1];
    assert_eq!(patch.layers, [(mm(1020), mm(610)), (mm(1070), mm(660))]);
    assert_eq!(patch.ground.size, (mm(1095), mm(685)));
    let [_, method] = documents(&demo);
    assert!(method.contains("1095 × 685"), "{method}");
}

/// Bare boards in the holes are sealed and pinholes are filled on days that cut back or clean: their cards say out of what, with its
/// dose, on each of several days too.
#[test]
fn a_card_of_an_old_roof_says_what_bare_boards_and_pinholes_take() {
    let words = wetout::documents::words::Words::new(&Overrides::default()).unwrap();
    let cards = |demo: &Demo| -> Vec<String> {
        let of_day = |day| crate::drawings::text_of(&day_card::document(day, &demo.worked(), &words).unwrap());
        demo.programme.days.iter().map(|day| of_day(day).replace('\u{a0}', " ")).collect()
    };
    let sealed =
        "Bandage and bare boards first, besides: small pots, by the dose for 1 kg; boards 0.15 kg/m² of resin.";
    let pinholes = "Pinholes: a dab of topcoat, by the dose for 1 kg.";
    let of_demo = cards(&demo_job());
    assert!(of_demo[0].contains(sealed) && of_demo[0].contains(pinholes), "{}", of_demo[0]);
    assert!(!of_demo[1].contains("bare boards") && !of_demo[1].contains("Pinholes"), "{}", of_demo[1]);
    let large = include_str!("../jobs/patch-and-coat/job.yaml")
        .replace("rectangle: {width: 5.4 m, depth: 3.8 m}", "rectangle: {width: 19.4 m, depth: 13.8 m}");
    let large = demo::work(&asked(&large));
    let mut cleans = 0;
    for (day, card) in large.programme.days.iter().zip(cards(&large)) {
        let does = |kind| {
            let of_day = day.work.iter().flat_map(|(i, _)| &large.programme.work[*i].parts);
            of_day.into_iter().any(|part| part.work == kind)
        };
        assert_eq!(card.contains("Pinholes: a dab of topcoat"), does(WorkKind::CleanDown), "{card}");
        assert!(!does(WorkKind::CleanDown) || card.contains("1 kg of topcoat: "), "{card}");
        assert_eq!(card.contains("1 kg of resin: "), does(WorkKind::PatchLaminate), "{card}");
        cleans += usize::from(does(WorkKind::CleanDown));
    }
    assert!(cleans > 1, "{cleans}");
}
