//! Marks, replayed: whatever carries a letter is one thing in the whole job, and a bare number one board of a roof's deck
//! or one strip of its mat.
//!
//! Given the roofs as laid out; gives the faults found.

use super::job::laid_at_random;
use crate::clashes::demos;
use crate::typeset::all_jobs;
use std::collections::BTreeSet;
use wetout::takeoff::TakeOff;

/// Every mark that two things share.
pub fn faults(take_off: &TakeOff) -> Vec<String> {
    let mut found = Vec::new();
    let mut marks: Vec<&String> =
        take_off.profiles.iter().flat_map(|p| &p.runs).flat_map(|r| &r.pieces).map(|p| &p.mark).collect();
    for roof in &take_off.roofs {
        marks.extend(roof.over.iter().flat_map(|o| &o.insulation.pieces).map(|p| &p.mark));
        marks.extend(roof.over.iter().filter_map(|o| o.overlay.as_ref()).flat_map(|d| &d.pieces).map(|p| &p.mark));
        marks.extend(roof.box_gutters.iter().flat_map(|g| &g.boards).map(|b| &b.mark));
        marks.extend(roof.box_gutters.iter().flat_map(|g| &g.mat).map(|p| &p.mark));
        marks.extend(roof.parapets.iter().flat_map(|l| &l.boards).map(|b| &b.mark));
        let boards = roof.deck.iter().flat_map(|d| &d.pieces).map(|p| &p.mark);
        for bare in [boards.collect::<Vec<_>>(), roof.mat.pieces.iter().map(|p| &p.mark).collect()] {
            let of_roof = bare.iter().filter(|m| !m.starts_with(|c: char| c.is_ascii_digit()));
            found.extend(of_roof.map(|m| format!("{}: {m} is no bare number", roof.shape.name)));
            found.extend(shared(&bare).map(|m| format!("{}: {m} marks two pieces", roof.shape.name)));
        }
    }
    let patches = || take_off.old_roofs.iter().flat_map(|r| &r.patches);
    marks.extend(patches().map(|p| &p.mark));
    marks.extend(patches().flat_map(|p| &p.mat).map(|m| &m.mark));
    found.extend(shared(&marks).map(|m| format!("{m} marks two things")));
    found.extend(
        marks
            .iter()
            .filter(|m| !m.starts_with(|c: char| c.is_ascii_uppercase()))
            .map(|m| format!("{m:?} has no letter")),
    );
    found
}

fn shared<'a>(marks: &'a [&'a String]) -> impl Iterator<Item = &'a String> {
    let mut seen = BTreeSet::new();
    marks.iter().copied().filter(move |mark| !seen.insert(*mark))
}

/// The demo, big and sweep jobs; and random ones, of which some have box gutters on two roofs.
#[test]
fn every_mark_in_a_job_names_one_thing() {
    for (name, job) in all_jobs() {
        assert_eq!(faults(&job.take_off), [""; 0], "{name}");
    }
    let (_, demo) = demos().swap_remove(0);
    let mut two = 0;
    for (take_off, _) in (0..60).filter_map(|seed| laid_at_random(seed, &demo)) {
        assert_eq!(faults(&take_off), [""; 0]);
        two += usize::from(take_off.roofs.iter().filter(|r| !r.box_gutters.is_empty()).count() > 1);
    }
    assert!(two > 0, "no job has box gutters on two roofs");
}
