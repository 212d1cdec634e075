//! One key for plans that stand together: in quote and method statement each sign is explained once, under the first plan of
//! its kind, whichever roof shows it; and every plan tells its scale.

use crate::clashes::{documents, figures};
use crate::demo::{self, Demo};
use crate::support::asked;
use std::collections::BTreeSet;
use wetout::model::Finish;
use wetout::pages::block::Figure;
use wetout::pages::scene::Mark;

/// What a key says of an edge, by its finish: the words of the drawing.
const SIGNS: [(Finish, &str); 4] = [
    (Finish::Drip, "drip edge: rain runs off"),
    (Finish::Raised, "raised edge: holds rain back"),
    (Finish::Wall, "wall"),
    (Finish::Kerb, "kerb"),
];

/// What is said once of all plans of a kind, where any of them shows it.
const SAID_ONCE: [&str; 7] = [
    "White: whole board. Grey: cut board.",
    "Broken lines: joist centres.",
    "Dark bars: noggins to fix before the boards.",
    "Grey bands: laps, the later strip on top.",
    "Black triangle: the piece on that side lies on top at the lap.",
    "Marks as on the cut list; ringed numbers as in the list of corners.",
    "Low end on the left.",
];

fn texts(figure: &Figure) -> Vec<&str> {
    let marks = figure.scene.marks.iter();
    marks.filter_map(|mark| if let Mark::Text { text, .. } = mark { Some(text.as_str()) } else { None }).collect()
}

/// Jobs of several roofs.
fn jobs() -> [Demo; 2] {
    let twelve = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs/twelve-roofs.yaml");
    [demo::work(&demo::request("neighbours")), demo::work(&asked(&std::fs::read_to_string(twelve).unwrap()))]
}

#[test]
fn plans_that_stand_together_have_one_key_that_holds_the_signs_of_all() {
    for job in jobs() {
        let roofs = job.take_off.roofs.iter().map(|roof| &roof.shape);
        let finishes: BTreeSet<Finish> = roofs
            .flat_map(|shape| {
                let holes = shape.holes.iter().filter(|hole| !hole.round).map(|hole| hole.finish);
                shape.sides.iter().map(|side| side.finish).chain(holes)
            })
            .collect();
        for (name, document) in documents(&job) {
            // Of many roofs in a quote the key is a figure of its own before their plans.
            let all = figures(&document);
            let is_key = |f: &&Figure| f.alt.starts_with("Key of the plans");
            let own_key = all.iter().any(is_key);
            assert_eq!(own_key, name == "quote" && job.take_off.roofs.len() > 4, "{name}");
            let plans = all.into_iter().filter(|f| is_key(f) || f.alt.starts_with("Plan of"));
            let plans: Vec<Vec<&str>> = plans.map(texts).collect();
            assert_eq!(plans.len(), job.take_off.roofs.len() + usize::from(own_key), "{name}");
            for (finish, words) in SIGNS {
                let told: Vec<usize> = (0..plans.len()).filter(|place| plans[*place].contains(&words)).collect();
                let expected = if finishes.contains(&finish) { vec![0] } else { Vec::new() };
                assert_eq!(told, expected, "{name}: {words}");
            }
        }
    }
}

#[test]
fn what_holds_of_every_plan_is_said_once_and_each_plan_tells_its_scale() {
    for job in jobs() {
        for (name, document) in documents(&job) {
            let all = figures(&document);
            let laps = job.take_off.profiles.iter().flat_map(|p| &p.runs).any(|run| !run.laps.is_empty());
            for said in SAID_ONCE.into_iter().filter(|said| laps || !said.contains("at the lap")) {
                let times = all.iter().filter(|figure| texts(figure).join(" ").contains(said)).count();
                assert!(times <= 1, "{name}: {said}: {times} times");
                assert!(name == "quote" || times == 1, "{name}: {said} is not said");
            }
            for figure in all.iter().filter(|figure| figure.scene.scale.is_some()) {
                let scale = format!("1:{}", figure.scene.scale.unwrap());
                let by_key = |f: &&Figure| f.alt.starts_with("Key of the plans") && texts(f).join(" ").contains(&scale);
                let own = texts(figure).join(" ").contains(&scale) || figure.caption.contains(&scale);
                let told = own || figure.alt.starts_with("Plan of") && all.iter().any(by_key);
                assert!(told, "{name}: {}: {scale}", figure.caption);
            }
        }
    }
}
