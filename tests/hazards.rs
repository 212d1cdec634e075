//! Hazards hang on works: each comes to a job with the work that brings it and leaves with it, from the job file on.

use crate::support::{laid_out, lean_to};
use std::collections::BTreeSet;
use wetout::safety::hazards::read;
use wetout::safety::{BroughtBy, Circumstances, HAZARDS, risks};
use wetout::works::Works;

/// The hazards of a job, worked from its file by so many people.
fn hazards_of(text: &str, crew: u32) -> BTreeSet<&'static str> {
    let (loaded, laid) = laid_out(text);
    let all = risks(&Circumstances { job: &loaded.job, take_off: &laid.take_off, crew });
    all.into_iter().map(|risk| risk.hazard.id.as_str()).collect()
}

/// A job file with one thing put in the place of another.
fn with(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "{old} does not stand in the job");
    text.replace(old, new)
}

const AIR: &str = "conditions: {air: 15 C}\n";
const SCAFFOLD: &str = "access: {scaffold: yes, aerials: no}\n";
const FELT: &str = "strip: {covering: felt, tip: skip}\n";
const CHIMNEY: &str = "    holes: [{name: chimney, at: [2.0 m, 1.0 m], size: [0.45 m, 0.45 m], finish: wall}]\n";
const ROOFLIGHT: &str = "    holes: [{name: rooflight, at: [2.0 m, 1.0 m], size: [0.8 m, 0.8 m], finish: kerb}]\n";

/// Each hazard with a job that has it and one that has it no longer, its work or its circumstance having left; and how
/// many people work there. Those that any work brings leave with the last work.
#[test]
fn each_hazard_comes_with_its_work_and_leaves_with_it() {
    let usual = lean_to("", "", &format!("{AIR}{SCAFFOLD}{FELT}"));
    let kept = with(&usual, "deck: {action: new, board: osb3-18}", "deck: {action: keep}");
    let by_others = format!("{usual}flashing: others\n");
    let no_strip = with(&usual, FELT, "");
    // Walls all round and a deck that stays: no board, batten or noggin is cut.
    let drained = lean_to("", "    outlet: {at: [3.0 m, 0.2 m], size: 75 mm}\n", &format!("{AIR}{SCAFFOLD}"));
    let walls = with(&drained, "deck: {action: new, board: osb3-18}", "deck: {action: keep}");
    let walls = with(&walls, "{finish: drip}", "{finish: wall, upstand: 600 mm, flashing: lead}");
    let walls = with(&walls, "{finish: raised}", "{finish: wall, upstand: 600 mm, flashing: lead}");
    let rooflight = lean_to("", ROOFLIGHT, &format!("{AIR}{SCAFFOLD}"));
    type Case<'a> = (&'a str, (&'a str, u32), (&'a str, u32));
    let under_tiles = with(&usual, "{finish: wall, upstand: 600 mm, flashing: lead}", "{finish: step}");
    let tiles_by_others = with(&under_tiles, "{finish: step}", "{finish: step, under: {by: others}}");
    let old = format!(
        "reference: 26-906\ntitle: Old roof\nprepared: 2026-11-25\nasbestos: no\n\
         customer: {{name: A. Householder, address: [1 Example Street, Anytown]}}\n{AIR}{SCAFFOLD}\
         roofs: [{{name: Porch, work: topcoat, outline: {{rectangle: {{width: 3 m, depth: 2 m}}}}, \
         topcoat: {{colour: green}}, trims: leave, prepare: wipe}}]\n"
    );
    let in_old =
        with(&old, "trims: leave", "holes: [{name: rooflight, at: [1 m, 0.5 m], size: [0.6 m, 0.6 m], finish: kerb}]");
    let cases: [Case; 17] = [
        ("grinding", (&old, 2), (&usual, 2)),
        ("cleaner", (&old, 2), (&usual, 2)),
        ("openings", (&in_old, 2), (&old, 2)),
        ("openings", (&rooflight, 2), (&usual, 2)),
        ("tiles", (&under_tiles, 2), (&tiles_by_others, 2)),
        ("old-deck", (&usual, 2), (&no_strip, 2)),
        ("open-joists", (&no_strip, 2), (&kept, 2)),
        ("tools", (&usual, 2), (&walls, 2)),
        ("silica", (&usual, 2), (&by_others, 2)),
        ("lead", (&usual, 2), (&by_others, 2)),
        ("lead", (&with(&by_others, "covering: felt", "covering: lead"), 2), (&by_others, 2)),
        ("asbestos", (&with(&usual, "asbestos: no", "asbestos: not known"), 2), (&usual, 2)),
        ("no-edge-protection", (&with(&usual, SCAFFOLD, ""), 2), (&usual, 2)),
        ("aerials", (&with(&usual, SCAFFOLD, ""), 2), (&usual, 2)),
        ("warm", (&with(&usual, "15 C", "26 C"), 2), (&usual, 2)),
        ("cold", (&with(&usual, "15 C", "8 C"), 2), (&usual, 2)),
        ("alone", (&usual, 1), (&usual, 2)),
    ];
    for (hazard, (there, crew), (gone, others)) in cases {
        assert!(hazards_of(there, crew).contains(hazard), "{hazard} is missing");
        assert!(!hazards_of(gone, others).contains(hazard), "{hazard} has not left");
    }
    let on_old = hazards_of(&old, 2);
    for wet in ["styrene", "peroxide", "fire", "glass-fibre"] {
        assert!(on_old.contains(wet), "{wet} is missing where an old laminate is coated");
    }
    assert!(hazards_of(&kept, 2).contains("old-deck"), "an old deck that stays is walked on");
    let patched = with(
        &old,
        "work: topcoat",
        "work: repair and topcoat, laminate: {mat: 450, layers: 2}, \
         patches: [{name: soft place, at: [1 m, 0.5 m], size: [0.6 m, 0.5 m], deck: osb3-18}]",
    );
    assert!(hazards_of(&patched, 2).contains("old-deck"), "a board that is cut out of a rotten deck is stood beside");
    let unknown = hazards_of(&with(&usual, AIR, ""), 2);
    assert!(unknown.contains("warm") && unknown.contains("cold"), "what is not known counts as present");
}

/// A roof with no flashing at its wall has the lead and the dust of its chimney's.
#[test]
fn a_chimney_that_is_flashed_brings_the_lead_and_the_dust_of_its_chase() {
    let bare = with(&lean_to("", "", &format!("{AIR}{SCAFFOLD}")), "flashing: lead", "flashing: none");
    let hazards = hazards_of(&bare, 2);
    assert!(!hazards.contains("lead") && !hazards.contains("silica"), "{hazards:?}");
    let chimney = with(&lean_to("", CHIMNEY, &format!("{AIR}{SCAFFOLD}")), "flashing: lead", "flashing: none");
    let hazards = hazards_of(&chimney, 2);
    assert!(hazards.contains("lead") && hazards.contains("silica"), "{hazards:?}");
    let hazards = hazards_of(&format!("{chimney}flashing: others\n"), 2);
    assert!(!hazards.contains("lead") && !hazards.contains("silica"), "whoever cuts the chase has the dust");
}

/// Every hazard is in the job that has every work, or where joists are cut, but for what that job answers with no; none is in a job without works.
#[test]
fn no_hazard_is_there_that_no_work_brings() {
    let demo = crate::works::everything();
    let all: BTreeSet<&str> = HAZARDS.iter().map(|h| h.id.as_str()).collect();
    let mut job = demo.loaded.job.clone();
    (job.asbestos, job.conditions.air) = (wetout::model::job::Answer::NotKnown, None);
    job.access.clear();
    let found = |take_off: &wetout::takeoff::TakeOff| {
        let found = risks(&Circumstances { job: &job, take_off, crew: 1 });
        found.into_iter().map(|r| r.hazard.id.as_str()).collect::<BTreeSet<_>>()
    };
    // Joists are cut in a demo job alone.
    let cut = crate::demo::work(&crate::demo::request("neighbours")).take_off;
    assert_eq!(&found(&demo.take_off) | &(&found(&cut) & &BTreeSet::from(["cut-joists"])), all);
    let mut without = demo.take_off.clone();
    without.works = Works::default();
    assert_eq!(found(&without), BTreeSet::new());
    // One work alone brings those that name it, and those that any work brings.
    for kind in demo.take_off.works.kinds() {
        let one = demo.take_off.works.iter().filter(|w| w.kind == kind).copied().collect();
        let named = |h: &&wetout::safety::Hazard| match &h.works {
            BroughtBy::Any => true,
            BroughtBy::Works(kinds) => kinds.contains(&kind),
        };
        let wanted = HAZARDS.iter().filter(named).map(|h| h.id.as_str()).collect::<BTreeSet<_>>();
        let mut only = demo.take_off.clone();
        only.works = one;
        assert_eq!(found(&only), wanted, "{kind:?}");
    }
}

#[test]
fn a_misspelt_work_or_circumstance_is_not_read() {
    let hazard = |works: &str, when: &str| {
        read(&format!("- {{id: x, title: X, harm: Y, works: {works}, when: {when}, controls: [Z], source: none}}"))
    };
    assert_eq!(hazard("[strip, flashing]", "lead").unwrap().len(), 1);
    assert!(hazard("[strip, flahsing]", "lead").unwrap_err().to_string().contains("there is no work `flahsing`"));
    assert!(hazard("all", "lead").unwrap_err().to_string().contains("neither `any` nor a list of works"));
    assert!(hazard("any", "leaden").is_err());
}

#[test]
fn every_hazard_has_controls_and_a_source() {
    for h in HAZARDS.iter() {
        assert!(!h.controls.is_empty() && !h.source.is_empty() && !h.harm.is_empty(), "{}", h.id);
    }
    let ids: BTreeSet<_> = HAZARDS.iter().map(|h| &h.id).collect();
    assert_eq!(ids.len(), HAZARDS.len(), "two hazards share a name");
}

/// What is dangerous by its nature and says nothing of it in the price book is asked about, article by article, wherever it is bought;
/// `none` says that its data sheet names no danger, and is told to nobody.
#[test]
fn goods_that_are_dangerous_by_their_nature_are_asked_for_their_hazard() {
    let book = std::fs::read_to_string(format!("{}/jobs/prices.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let without = |line: &str, said: &str| match line.split_once(", hazard: ") {
        None => line.to_owned(),
        Some((before, after)) => {
            let words = after
                .strip_prefix('"')
                .map_or_else(|| after.find([',', '}']).unwrap(), |quoted| quoted.find('"').unwrap() + 2);
            format!("{before}{said}{}", &after[words..])
        }
    };
    let folder = std::env::temp_dir().join(format!("wetout-hazards-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let with = |job: &str, said: &str| {
        let text: Vec<String> = book.lines().map(|line| without(line, said)).collect();
        std::fs::write(folder.join("prices.yaml"), text.join("\n")).unwrap();
        crate::demo::work(&wetout::job_file::Request {
            prices: vec![folder.join("prices.yaml")],
            ..crate::demo::request(job)
        })
    };
    let asked = |demo: &crate::demo::Demo| -> Vec<String> {
        let notices = demo.pricing.notices.iter().filter(|n| n.warned == Some(wetout::model::Warned::Hazard));
        notices.map(|n| n.fault.split(' ').next().unwrap().to_owned()).collect()
    };
    let told = |demo: &crate::demo::Demo| {
        demo.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| l.hazard.is_some()).count()
    };
    for (job, codes) in [
        ("parapet", &["mortar-dry-25kg", "primer-masonry-2kg5", "catalyst-"][..]),
        ("patch-and-coat", &["roof-cleaner-", "topcoat-light-grey-"]),
        ("kitchen-extension", &["preservative-1l", "acetone-5l", "pu-adhesive-310"]),
    ] {
        let bare = with(job, "");
        let found = asked(&bare);
        for code in codes {
            assert!(found.iter().any(|of| of.starts_with(code)), "{job}: {code} among {found:?}");
        }
        assert_eq!(told(&bare), 0);
        let none = with(job, ", hazard: none");
        assert_eq!((asked(&none), told(&none)), (Vec::new(), 0), "{job}");
        let own = crate::demo::work(&crate::demo::request(job));
        assert!(asked(&own).is_empty() && told(&own) > 0, "{job}: {:?}", asked(&own));
    }
    std::fs::remove_dir_all(&folder).unwrap();
}
