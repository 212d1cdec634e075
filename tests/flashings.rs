//! Cover flashings, upstands, kerbs and pipes: what is drawn, ordered, told and warned of is one and the same.

use crate::clashes::{demos, documents, figures, others};
use crate::demo::{self, Demo};
use crate::edges::documents as texts;
use crate::support::{asked, finding, laid_out, lean_to, mm};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use wetout::checks::finding::Verdict;
use wetout::documents::edge_words;
use wetout::estimate::LaidOut;
use wetout::job_file::load;
use wetout::model::job::By;
use wetout::model::shape::DeckAction;
use wetout::model::{Flashing, Length, LineId, Role};
use wetout::pages::scene::{Mark, Scene};
use wetout::takeoff::layout::RoofLayout;
use wetout::takeoff::layout::flashings::WallFlashing;
use wetout::takeoff::layout::timber::KeptKerb;
use wetout::works::WorkKind;

/// BS 6229 and common practice with lead sheet, from memory: 150 mm above the finished roof, courses of 75 mm, 25 mm into
/// the joint, 75 mm over what is covered; the fillet's leg goes 100 mm up.
const LEAST: i64 = 150;
const COURSE: i64 = 75;
const DEEP: i64 = 25;
const COVER: i64 = 75;
const LEG: i64 = 100;

fn reach(chase: i64) -> i64 {
    DEEP + (chase - LEG).max(0) + COVER
}

fn all() -> Vec<(String, Demo)> {
    demos().into_iter().chain(others()).collect()
}

/// The flashings that the firm cuts in.
fn ours(job: &Demo) -> Vec<WallFlashing> {
    let roofs = job.loaded.job.roofs.iter().zip(&job.take_off.roofs);
    let ours = roofs.filter(|(roof, _)| job.loaded.job.flashing_of(roof) == By::Us);
    ours.flat_map(|(_, laid)| laid.flashings.clone()).collect()
}

/// Worked by hand: 600 mm less 75 of fall over 3 m at 1:40, 6 of toe and 18 of board are 501; four courses lower 201 are the
/// first that is not below 150. 25 into the joint, 101 down to the fillet's top, 75 over it: 201, so 240 of what is sold.
#[test]
fn a_flashing_is_cut_into_the_lowest_joint_that_stands_high_enough_and_bought_as_wide_as_that_asks() {
    for (surveyed, chase, sold) in [(600, 201, 240), (549, 150, 150), (548, 224, 240), (400, 151, 180), (623, 224, 240)]
    {
        let text = lean_to("", "", "flashing: us\n").replace("upstand: 600 mm", &format!("upstand: {surveyed} mm"));
        let (loaded, laid) = laid_out(&text);
        let cut = laid.take_off.roofs[0].flashings[0];
        assert_eq!((cut.chase.at.as_mm(), cut.width.as_mm()), (chase, reach(chase)), "{surveyed}");
        assert_eq!(cut.sold, Some(mm(sold)), "{surveyed}");
        let needs: Vec<_> = laid.take_off.needs.iter().filter(|n| n.role == Role::FlashingLead).collect();
        assert_eq!(needs.iter().map(|n| n.size).collect::<Vec<_>>(), [Some(mm(sold))], "{surveyed}");
        let told = texts(&demo::worked(loaded).unwrap())[1].clone();
        assert!(told.contains(&format!("chase {chase} mm above the roof, lead flashing {sold} mm wide")), "{surveyed}");
    }
}

/// What is cut in alike at a roof is told once, with all the walls that it is at; each wall stands in one line.
/// The fewest pieces of 1.5 m, each lapping the next by 100 mm, that reach so far, and their length in all, mm.
fn in_lapped_pieces(reach: i64) -> i64 {
    let pieces = (1..).find(|k| k * 1500 - (k - 1) * 100 >= reach).unwrap();
    reach + (pieces - 1) * 100
}

/// Common practice with lead sheet, no source: at a corner of two walls and where it steps down a course a piece laps the next; beside
/// a door it is turned into the wall.
#[test]
fn a_flashing_laps_at_corners_and_steps_and_is_turned_in_at_doors() {
    let wall = "{finish: wall, upstand: 600 mm, flashing: lead}";
    let text = lean_to("", "", "flashing: us\n").replace("right: {finish: raised}", &format!("right: {wall}"));
    let (loaded, laid) = laid_out(&text);
    let length = |laid: &wetout::estimate::LaidOut| {
        let line = laid.take_off.lines.iter().find(|l| l.id == LineId::FlashingLength).unwrap();
        (line.quantity * Decimal::from(1000)).normalize()
    };
    // Along the right the roof falls by 75 mm: cut in 201 mm above its top, 276 at its foot are more than 225, so it steps down once.
    let right = &laid.take_off.roofs[0].flashings[0];
    assert_eq!((right.chase.at, right.chase.steps, right.meets, right.turned), (mm(201), 1, Some(2), 0));
    let expected = in_lapped_pieces(3000 + 2 * 100) + in_lapped_pieces(6000);
    assert_eq!(length(&laid), Decimal::from(expected));
    let told = texts(&demo::worked(loaded).unwrap())[1].clone();
    assert!(told.contains("stepped down a course before it is over 225 mm"), "{told}");
    assert!(told.contains("Round a corner of two walls"), "{told}");
    // Nobody measured the right-hand wall: it may step down once too.
    let (_, unknown) = laid_out(&text.replace(&format!("right: {wall}"), "right: {finish: wall, flashing: lead}"));
    assert_eq!(unknown.take_off.roofs[0].flashings[0].chase.steps, 1);
    let (loaded, alone) = laid_out(&lean_to("", "", "flashing: us\n"));
    assert_eq!(length(&alone), Decimal::from(in_lapped_pieces(6000)));
    assert!(!texts(&demo::worked(loaded).unwrap())[1].contains("Round a corner of two walls"));
    let (name, balcony) = all().into_iter().find(|(name, _)| name == "balcony").unwrap();
    let doors = balcony.take_off.roofs.iter().flat_map(|r| &r.shape.sides).filter(|s| s.sill.is_some()).count();
    let turned: i64 = ours(&balcony).iter().map(|cut| cut.turned).sum();
    assert!(doors > 0 && turned > 0 && turned <= 2 * doors as i64, "{name}: {turned} of {doors} doors");
}

/// Where one wall is flashed and another is not: that one's old flashing stays in, its fillet is sealed along its top, and every
/// paper says that no flashing covers it.
#[test]
fn a_wall_without_a_new_flashing_keeps_its_old_one() {
    let job = "flashing: us\nstrip: {covering: felt, tip: skip}\n";
    let bare = "right: {finish: wall, upstand: 600 mm, flashing: none}";
    let text = lean_to("", "", job).replace("right: {finish: raised}", bare);
    let (loaded, laid) = laid_out(&text);
    let line = |id| laid.take_off.lines.iter().find(|l| l.id == id).map(|l| l.quantity.normalize());
    assert_eq!(line(LineId::StripFlashing), Some(Decimal::from(6)));
    assert_eq!(line(LineId::SealTemporary), Some(Decimal::from(9)));
    let told = loaded.notices.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    assert!(told.contains("no new flashing is cut in at `right`"), "{told}");
    let of = texts(&demo::worked(loaded).unwrap());
    assert!(of[0].contains("The old flashing (not at the right) and what is turned up the wall come off"), "{}", of[0]);
    assert!(of[0].contains("rain can get in behind it"), "{}", of[0]);
    assert!(of[1].contains("old flashing out (not at the right: lifted, not cut)"), "{}", of[1]);
    assert!(of[1].contains("Its top is sealed the same day"), "{}", of[1]);
    assert!(of[1].contains("No new flashing at the right"), "{}", of[1]);
}

#[test]
fn flashings_that_are_cut_in_alike_are_told_together() {
    let mut shared = 0;
    for (name, job) in all() {
        for layout in &job.take_off.roofs {
            let lines = edge_words::chases(layout, job.loaded.rules.flashing_lap);
            let told: Vec<(&str, &str)> = lines.iter().map(|line| line.split_once(": chase ").unwrap()).collect();
            let words: BTreeSet<&str> = told.iter().map(|(_, words)| *words).collect();
            assert_eq!(words.len(), told.len(), "{name}: {lines:?}");
            for cut in &layout.flashings {
                let at = cut.name(&layout.shape);
                let of =
                    told.iter().filter(|(names, _)| names.split(", ").flat_map(|n| n.split(" and ")).any(|n| n == at));
                assert_eq!(of.count(), 1, "{name}: {at} in {lines:?}");
            }
            shared += usize::from(told.len() < layout.flashings.len());
        }
    }
    assert!(shared > 0, "no job has two flashings alike");
    let balcony = texts(&demo::work(&demo::request("balcony")))[1].clone();
    assert!(balcony.contains("Back (1) and back (3): chase 204 mm above the roof"), "{balcony}");
}

/// Each strip reaches from its chase over the fillet, is the narrowest that does, and is asked for by that width; what is
/// asked for adds up to the lines.
#[test]
fn every_job_orders_strips_that_reach_from_the_chase_over_the_fillet() {
    let mut seen = 0;
    for (name, job) in all() {
        for cut in ours(&job) {
            seen += 1;
            let (at, most) = (cut.chase.at.as_mm(), cut.chase.most.as_mm());
            assert!(at < LEAST + COURSE && most <= (LEAST + COURSE).max(at) && at <= most, "{name}: {cut:?}");
            let sold = cut.sold.unwrap_or_else(|| panic!("{name}: no strip for {cut:?}"));
            assert!(sold.as_mm() >= reach(most), "{name}: {cut:?}");
            let role = cut.kind.role().unwrap();
            let articles = job.loaded.books.iter().flat_map(|b| b.of_role(&role)).filter_map(|a| a.size);
            assert_eq!(articles.filter(|w| w.as_mm() >= reach(most)).min(), Some(sold), "{name}");
            let ordered = job.pricing.orders.iter().flat_map(|o| &o.lines);
            assert!(ordered.clone().any(|l| l.role == role && l.size == Some(sold)), "{name}: {sold} is not ordered");
        }
        for (kind, id) in [(Flashing::Lead, "flashing.length"), (Flashing::LeadFree, "flashing.lead-free.length")] {
            let role = kind.role().unwrap();
            let needed: Decimal = job.take_off.needs.iter().filter(|n| n.role == role).map(|n| n.quantity).sum();
            let lines: Decimal = job.take_off.lines.iter().filter(|l| l.id == id).map(|l| l.quantity).sum();
            assert_eq!(needed, lines, "{name}");
        }
    }
    assert!(seen > 20, "{seen} flashings");
}

/// The length of the thickest grey line that is no gutter: the flashing, in mm on the wall.
fn drawn_strip(scene: &Scene, scale: f64) -> f64 {
    let lengths = scene.marks.iter().filter_map(|mark| match mark {
        Mark::Line { spots, pen, .. } if (pen.width - 2.4).abs() < 1e-6 => {
            Some(spots.windows(2).map(|w| (w[0].x - w[1].x).hypot(w[0].y - w[1].y)).sum::<f64>())
        }
        _ => None,
    });
    lengths.fold(0.0, f64::max) * scale * 25.4 / 72.0
}

/// The section at a wall names the chase and the strip of one flashing of the job, and draws no more than is bought.
#[test]
fn the_section_at_a_wall_shows_the_strip_that_is_ordered() {
    let mut seen = 0;
    for (name, job) in all() {
        for (what, document) in documents(&job) {
            for figure in figures(&document).into_iter().filter(|f| f.alt.starts_with("Section at a wall")) {
                let Some((_, words)) = figure.alt.split_once(" flashing ") else { continue };
                if ours(&job).is_empty() {
                    continue;
                }
                seen += 1;
                let strip =
                    words.split(' ').next().unwrap().parse::<i64>().unwrap_or_else(|_| panic!("{name}: {words}"));
                let joint = figure.alt.split_once("deep in a bed joint").unwrap().1.split(';').next().unwrap();
                if joint.contains("each wall") {
                    let ours = ours(&job);
                    let (low, high) = (ours.iter().map(|c| c.chase.at), ours.iter().map(|c| c.chase.most));
                    let (low, high) = (low.min().unwrap(), high.max().unwrap());
                    assert!(joint.starts_with(&format!(", {} to {high} above", low.as_mm())), "{name}: {joint}");
                    continue;
                }
                let of = |cut: &WallFlashing| {
                    let alike = joint.contains(&format!("{} above the roof", cut.chase.at)) || !cut.chase.surveyed;
                    alike && cut.sold == Some(mm(strip))
                };
                assert!(ours(&job).iter().any(of), "{name}, {what}: {strip} wide, {joint}");
                let scale: f64 = figure.caption.split("1:").nth(1).unwrap().trim_end_matches('.').parse().unwrap();
                // Drawn thicker than it is, it stands a little off the wall.
                let drawn = drawn_strip(&figure.scene, scale);
                assert!(drawn <= strip as f64 + 20.0, "{name}, {what}: {drawn} drawn of {strip}");
                let cut = ours(&job).into_iter().find(of).unwrap();
                assert!(drawn >= reach(cut.chase.at.as_mm()) as f64, "{name}, {what}: {drawn} drawn of {strip}");
            }
        }
    }
    assert!(seen > 10, "{seen} sections");
}

/// Heights differ from roof to roof: the section says of which they are, and at a kerb what the job calls the opening.
#[test]
fn a_section_of_some_of_several_roofs_names_them_and_its_opening() {
    let mut seen = (0, 0);
    for (name, job) in all() {
        let roofs = &job.take_off.roofs;
        for (what, document) in documents(&job) {
            let figures = figures(&document);
            for figure in &figures {
                let (wall, kerb) =
                    (figure.alt.starts_with("Section at a wall"), figure.alt.starts_with("Section at a kerb"));
                if !wall && !kerb {
                    continue;
                }
                let named: Vec<&RoofLayout> = roofs.iter().filter(|r| figure.alt.contains(&r.shape.name)).collect();
                let start = if wall { "Section at a wall" } else { "Section at a kerb" };
                let alone = figures.iter().filter(|f| f.alt.starts_with(start)).count() == 1;
                assert!(alone || roofs.len() == 1 || !named.is_empty(), "{name}, {what}: {}", figure.alt);
                let of = if named.is_empty() { roofs.iter().collect() } else { named };
                let chase = figure.alt.split_once("deep in a bed joint, ").filter(|_| wall);
                if let Some((height, _)) = chase.and_then(|(_, words)| words.split_once(" above the roof")) {
                    let least = height.split(" to ").next().unwrap().trim_end_matches(" mm");
                    let is = |cut: &WallFlashing| least == cut.chase.at.as_mm().to_string() || !cut.chase.surveyed;
                    assert!(of.iter().any(|r| r.flashings.iter().any(is)), "{name}, {what}: {height}");
                    seen.0 += usize::from(roofs.len() > 1);
                }
                if kerb {
                    let holes = || of.iter().flat_map(|r| &r.shape.holes);
                    assert!(holes().any(|h| figure.alt.contains(&h.name)), "{name}: {}", figure.alt);
                    assert!(!figure.alt.contains("or hatch"), "{name}: {}", figure.alt);
                    seen.1 += 1;
                }
            }
        }
    }
    assert!(seen.0 > 3 && seen.1 > 3, "{seen:?}");
}

/// At a wall along the fall the strip covers where it stands highest, just before it steps down a course.
#[test]
fn a_flashing_along_the_fall_is_as_wide_as_it_stands_highest() {
    let text = lean_to("", "", "flashing: us\n")
        .replace("right: {finish: raised}", "right: {finish: wall, upstand: 300 mm, flashing: lead}");
    let (_, laid) = laid_out(&text);
    let side = laid.take_off.roofs[0].flashings[0].chase;
    // 300 less 99 are 201 at the back; 75 more at the front would be 276, and a course lower fits from 225 on.
    assert_eq!([side.at, side.most].map(Length::as_mm), [201, 225]);
}

#[test]
fn a_strip_that_no_price_book_has_is_told_with_a_cure() {
    let text = lean_to("", "", "flashing: us\nrules: {flashing_cover: 200 mm}\n");
    let told: Vec<String> = laid_out(&text).1.notices().map(ToString::to_string).collect();
    let of = |t: &&String| t.contains("the lead flashing at the back must be 326 mm wide");
    let warning = told.iter().find(of).unwrap_or_else(|| panic!("{told:#?}"));
    assert!(warning.contains("the widest in the price book is 300 mm"), "{warning}");
}

/// A price book that does not say how wide its lead is sells it as before, and the width is told.
#[test]
fn a_price_book_without_widths_is_asked_to_say_them() {
    let book = std::fs::read_to_string("jobs/prices.yaml").unwrap();
    let plain: Vec<String> = book
        .lines()
        .filter(|l| !l.contains("role: flashing.lead") || l.contains("lead-150-3m"))
        .map(|l| if l.contains("role: flashing.lead,") { l.replace(", size: 150 mm", "") } else { l.to_owned() })
        .collect();
    let file = std::env::temp_dir().join(format!("wetout-plain-lead-{}.yaml", std::process::id()));
    std::fs::write(&file, plain.join("\n")).unwrap();
    let mut request = asked(&lean_to("", "", "flashing: us\n"));
    request.prices = vec![file.clone()];
    let job = demo::work(&request);
    std::fs::remove_file(&file).unwrap();
    let needs: Vec<_> = job.take_off.needs.iter().filter(|n| n.role == Role::FlashingLead).collect();
    assert_eq!(needs.iter().map(|n| n.size).collect::<Vec<_>>(), [None]);
    assert!(texts(&job)[1].contains("chase 201 mm above the roof"));
}

/// What ends too low is a finding, and the crew's hold points quote its height in place of one that it contradicts.
#[test]
fn a_low_wall_is_found_and_the_hold_points_quote_what_is_left() {
    let text = lean_to("", "", "flashing: us\n").replace("upstand: 600 mm", "upstand: 200 mm");
    let (_, laid) = laid_out(&text);
    let found = finding(&laid, "wall.back");
    assert_eq!(found.verdict, Verdict::Fail);
    assert!(found.statement.starts_with("Only 101 mm is left of the wall"), "{}", found.statement);
    for (name, job) in all() {
        let [quote, method] = texts(&job);
        for low in job.findings.iter().filter(|f| wetout::checks::walls::is_upstand(f) && f.verdict == Verdict::Fail) {
            let first = low.statement.split(". ").next().unwrap();
            assert!(method.contains("except where less was agreed"), "{name}: {first}");
            assert!(method.contains(&format!("{first}: agreed in writing, seen")), "{name}: {first}");
            assert!(quote.contains(&format!("{first}: I have read under")), "nowhere to agree, {name}: {first}");
        }
    }
}

/// A section of an overlaid roof shows the old deck, one of a cold roof no insulation, whatever the other roofs have.
#[test]
fn every_section_is_drawn_of_a_roof_that_has_its_edge() {
    let mut overlaid = 0;
    for (name, job) in all() {
        let roofs = &job.loaded.job.roofs;
        let insulated = |of: &str| roofs.iter().filter(|r| of.contains(&r.name)).all(|r| r.build_up.is_some());
        for (what, document) in documents(&job) {
            for figure in
                figures(&document).into_iter().filter(|f| f.alt.starts_with("Section") && !f.alt.contains("patch"))
            {
                let title = figure.alt.split(" Parts from").next().unwrap();
                if roofs.iter().all(|r| r.deck.action == DeckAction::Overlay) {
                    overlaid += 1;
                    let old = figure.alt.contains("old deck, which stays") || figure.alt.contains("box gutter");
                    assert!(old, "{name}, {what}: {}", figure.alt);
                }
                if figure.alt.contains("insulation") && roofs.len() > 1 && roofs.iter().any(|r| r.build_up.is_none()) {
                    assert!(insulated(title), "{name}, {what}: {title}");
                }
            }
        }
    }
    assert!(overlaid > 0);
}

/// 35 mm over the sole of a gutter that is deeper than 200 mm is no height above the roof.
#[test]
fn an_overflow_in_a_box_gutter_is_told_from_its_sole() {
    let [quote, method] = texts(&demo::work(&demo::request("parapet")));
    assert!(method.contains("sill 35 mm above the sole of the box gutter"), "{method}");
    assert!(quote.contains("a little above the bottom of the box gutter"), "{quote}");
}

/// A rooflight whose kerb is there stays on it, in quote, steps and section; one on a new kerb goes on last, in a step.
#[test]
fn a_rooflight_has_one_story() {
    let mut seen = (0, 0);
    for (name, job) in all() {
        let [quote, method] = texts(&job);
        let parts: Vec<String> = documents(&job)
            .iter()
            .flat_map(|(_, d)| figures(d).into_iter().map(|f| f.alt.clone()).collect::<Vec<_>>())
            .collect();
        let kept = job.take_off.roofs.iter().any(|r| !r.openings.kept.is_empty());
        let new = job.take_off.roofs.iter().any(|r| !r.openings.kerbs.is_empty());
        assert_eq!(method.contains("what stands on the old kerb stays on it"), kept, "{name}");
        assert_eq!(quote.contains("stays in place on its kerb"), kept, "{name}");
        assert_eq!(method.contains("on at once, on its own seal"), new, "{name}");
        if !new {
            assert!(!parts.iter().any(|p| p.contains("fitted last")), "{name}");
        }
        seen = (seen.0 + usize::from(kept), seen.1 + usize::from(new));
    }
    assert!(seen.0 > 1 && seen.1 > 1, "{seen:?}");
}

/// Where an old kerb stays it must stand higher than the roof comes up round it.
#[test]
fn an_old_kerb_is_told_how_high_it_must_stand() {
    let roof = "    holes: [{name: rooflight, at: [2.0 m, 1.0 m], size: [1.0 m, 1.0 m], finish: kerb}]\n";
    let (loaded, laid) = laid_out(&lean_to("", roof, "flashing: us\n"));
    // 2 m up the fall of 1:40 are 50 mm, and 6 of toe and 18 of board: 74; the laminate goes 150 up.
    assert_eq!(laid.take_off.roofs[0].openings.kept, [KeptKerb { hole: 0, rise: mm(74), stands: None }]);
    let told: Vec<String> = laid.notices().map(ToString::to_string).collect();
    assert!(told.iter().any(|t| t.contains("at least 224 mm above the old roof")), "{told:#?}");
    let [_, method] = texts(&demo::worked(loaded).unwrap());
    assert!(method.contains("rooflight 224 mm (the roof comes up 74 mm)"), "{method}");
}

/// One that was measured is not taken for granted: high enough, it is told no more; lower, it is warned of.
#[test]
fn an_old_kerb_that_was_measured_is_warned_of_where_it_is_too_low() {
    let told = |hole: &str| {
        let roof = format!("    holes: [{{name: rooflight, at: [2.0 m, 1.0 m], size: [1.0 m, 1.0 m], {hole}}}]\n");
        let (_, laid) = laid_out(&lean_to("", &roof, "flashing: us\n"));
        let of = |n: &&wetout::model::Problem| n.fault.contains("old kerb");
        laid.notices().filter(of).map(|n| (n.place.to_string(), n.fault.clone())).collect::<Vec<_>>()
    };
    // The roof comes up 74 mm, and the laminate goes 150 up the kerb: 224.
    assert_eq!(told("finish: kerb, upstand: 224 mm"), []);
    let [(place, fault)] = &told("finish: kerb, upstand: 223 mm")[..] else { panic!("one warning") };
    assert_eq!(place, "roofs[0].holes[0].upstand");
    assert!(
        fault.contains("so that 149 mm of it are left, and the laminate goes up it so far instead of 150 mm"),
        "{fault}"
    );
    let buried =
        "    holes: [{name: rooflight, at: [2.0 m, 1.0 m], size: [1.0 m, 1.0 m], finish: kerb, upstand: 74 mm}]\n";
    let refused = demo::worked(load(&asked(&lean_to("", buried, "flashing: us\n"))).unwrap()).map(|_| ()).unwrap_err();
    assert!(refused.iter().any(|p| p.fault.contains("none of it is left")), "{refused:?}");
    for (hole, words) in [("finish: wall", "no kerb stands here"), ("kerb: 47 × 220 mm, finish: kerb", "a new kerb is")]
    {
        let roof =
            format!("    holes: [{{name: a, at: [2.0 m, 1.0 m], size: [1.0 m, 1.0 m], upstand: 200 mm, {hole}}}]\n");
        let refused = wetout::job_file::load(&crate::support::asked(&lean_to("", &roof, "flashing: us\n")));
        let problems = refused.map(|_| ()).unwrap_err().problems;
        assert!(problems.iter().any(|p| p.fault.contains(words)), "{words}: {problems:?}");
    }
}

/// 74 mm come up round it: of 200 mm that were measured 126 are left. Told alike by quote, hold point and section.
#[test]
fn an_old_kerb_that_is_left_too_low_is_told_with_its_figures() {
    let roof =
        "    holes: [{name: rooflight, at: [2.0 m, 1.0 m], size: [1.0 m, 1.0 m], finish: kerb, upstand: 200 mm}]\n";
    let (loaded, laid) = laid_out(&lean_to("", roof, "flashing: us\n"));
    let found = finding(&laid, "kerb.rooflight");
    assert_eq!((found.verdict, found.roof.as_deref()), (Verdict::Fail, Some("Lean-to")));
    assert!(found.statement.starts_with("Only 126 mm is left of the old kerb of the rooflight above the roof."));
    // The mat goes up what is there, and no further: a square metre of kerb keeps 1000 − 2 × 126 mm of it bare.
    assert_eq!(laid.take_off.roofs[0].shape.holes[0].carried, Length::mm(126));
    let mat = |laid: &LaidOut| laid.take_off.lines.iter().find(|l| l.id == "laminate.resin").unwrap().quantity;
    let (_, high) = laid_out(&lean_to("", &roof.replace("200 mm", "300 mm"), "flashing: us\n"));
    assert!(mat(&laid) < mat(&high));
    let job = demo::worked(loaded).unwrap();
    let [quote, method] = texts(&job);
    assert!(
        quote.contains("stands 200 mm above the present roof, and 126 mm of it are left above the new one"),
        "{quote}"
    );
    assert!(!quote.contains("it must stand at least"), "{quote}");
    assert!(quote.contains("Only 126 mm is left of the old kerb of the rooflight above the roof: "), "{quote}");
    assert!(method.contains("rooflight 200 mm, as measured (the roof comes up 74 mm: 126 mm left)"), "{method}");
    assert!(method.contains("above the roof: agreed in writing, seen. It must not get less."), "{method}");
    let all = documents(&job);
    let drawn = all.iter().flat_map(|(_, d)| figures(d)).any(|f| f.alt.contains("laminate 126 mm up the kerb"));
    assert!(drawn);
}

/// Every pipe is sealed at its top by a step, as the quote says.
#[test]
fn every_pipe_is_sealed_by_a_step() {
    for (name, job) in all() {
        let pipes = job.take_off.roofs.iter().any(|r| r.shape.holes.iter().any(|h| h.round));
        let [quote, method] = texts(&job);
        assert_eq!(method.contains("that seals the collar"), pipes, "{name}");
        assert_eq!(quote.contains("seal its top"), pipes, "{name}");
    }
}

/// Level firrings are not called tapered, and a roof without a wall has no step about one.
#[test]
fn steps_name_no_part_that_the_roof_has_not() {
    for (name, job) in all() {
        let firrings = || job.take_off.roofs.iter().flat_map(|r| &r.firrings);
        let [quote, method] = texts(&job);
        if !firrings().any(|f| f.low_depth < f.high_depth) {
            assert!(!quote.contains("We fix tapered timbers"), "{name}");
        }
        let walls =
            job.take_off.roofs.iter().flat_map(|r| &r.shape.sides).any(|s| s.finish == wetout::model::Finish::Wall);
        if !walls {
            for words in ["Ends in the wall", "upstand at walls", "No gap at the wall"] {
                assert!(!method.contains(words), "{name}: {words}");
            }
        }
        if ours(&job).is_empty() {
            assert!(!method.contains("Chase the bed joint") && !method.contains("flashing in"), "{name}");
        }
    }
}

#[test]
fn the_least_height_of_a_chase_is_a_rule() {
    let text = lean_to("", "", "flashing: us\nrules: {brick_course: 100 mm, chase_depth: 30 mm}\n");
    assert!(load(&asked(&text)).is_ok());
    let cut = laid_out(&text).1.take_off.roofs[0].flashings[0];
    // 501 less three courses of 100; 30 + 101 + 75.
    assert_eq!([cut.chase.at, cut.width].map(Length::as_mm), [201, 206]);
}

/// A book sells brackets by size: whoever orders is told that a gutter of another shape wants its own.
#[test]
fn brackets_of_a_gutter_of_another_shape_are_told() {
    let gutter = |shape: &str| lean_to(&format!(", gutter: {shape} 112 mm"), "", "flashing: us\n");
    let told = |shape: &str| {
        let notices: Vec<String> = laid_out(&gutter(shape)).1.notices().map(ToString::to_string).collect();
        notices.iter().any(|n| n.contains("whatever shape they are for"))
    };
    assert_eq!((told("half-round"), told("ogee")), (false, true));
    for article in std::fs::read_to_string("jobs/prices.yaml").unwrap().lines().filter(|l| l.contains("bracket.gutter"))
    {
        assert!(!article.contains("half-round"), "{article}");
    }
}

/// An old covering goes up what it ends at, and its flashing sits in a chase of its own: both come off before anything is bonded there,
/// and what closes the old chase is bought with what closes the new one.
#[test]
fn what_is_turned_up_wall_and_kerb_comes_off_with_the_old_covering() {
    let sealant = |demo: &Demo| -> Decimal {
        demo.take_off.lines.iter().filter(|l| l.id == LineId::FlashingSealant).map(|l| l.quantity).sum()
    };
    let job = |strip: &str| {
        let mut request = demo::request("kitchen-extension");
        let text = String::from_utf8(request.bytes).unwrap();
        request.bytes = text.replacen("strip: {covering: felt, tip: skip, boards: 18 mm}", strip, 1).into_bytes();
        demo::work(&request)
    };
    let (stripped, bare) = (job("strip: {covering: felt, tip: skip}"), job("strip: nothing"));
    let [quote, method] = texts(&stripped);
    for told in [
        "Wall and old kerb bare: old flashing out, what is turned up there off, bitumen scraped off.",
        "Wall and old kerb bare, no bitumen.",
        "Old chase sealed too.",
    ] {
        assert!(method.contains(told), "{told}: {method}");
    }
    assert!(
        quote.contains("The old flashing and what is turned up the wall come off; the old joint is filled."),
        "{quote}"
    );
    // 5.2 m of wall and a lap of 100 mm for every 1.5 m, twice, at 6 m to a cartridge.
    assert_eq!((sealant(&bare), sealant(&stripped)), (Decimal::ONE, Decimal::TWO));
    // Drawn out of 5.2 m of wall.
    let hours = |demo: &Demo| -> Decimal {
        let parts = demo.programme.work.iter().flat_map(|w| &w.parts);
        parts.filter(|p| p.work == WorkKind::FlashingOff).map(|p| p.hours).sum()
    };
    let norm = stripped.loaded.rules.hours_flashing_off;
    assert_eq!((hours(&bare), hours(&stripped)), (Decimal::ZERO, Decimal::new(52, 1) * norm));
    let [quote, method] = texts(&bare);
    assert!(!method.contains("turned up there") && !method.contains("ld chase") && !quote.contains("old joint"));
    let others = demo::work(&asked(&lean_to("", "", "strip: {covering: felt, tip: skip}\nflashing: others\n")));
    assert!(hours(&others).is_zero());
    let others = texts(&others);
    assert!(others[1].contains("Wall bare: what is turned up there off") && !others[1].contains("Old chase"));
    assert!(others[0].contains("What is turned up the wall comes off. The roof"), "{}", others[0]);
}
