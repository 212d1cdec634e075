//! The same roofs in another order: every count, every length and every need is the same, roof by roof.
//!
//! Given random jobs of several roofs; fails where a line or a need follows from where a roof stands in the job. Marks and
//! the order of the lines may, and by a few the screws of what is cut out of offcuts: which offcut comes next follows from the order.

use super::job::random_job;
use super::roofs::{self, Dice};
use crate::demo::{Demo, request, work};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use wetout::model::{Job, LineId};
use wetout::takeoff::{Line, TakeOff, take_off};

/// A line by its id and roof, a need by its role and size, with how much.
type Counted = BTreeMap<(String, Option<String>), Decimal>;

fn counted(laid: &TakeOff) -> Counted {
    // A board of which the linings of several roofs are sawn is counted where it is begun, on the first of them.
    let is_shared = |l: &&Line| l.id == LineId::ParapetBoards;
    let shared: Decimal = laid.lines.iter().filter(is_shared).map(|l| l.quantity).sum();
    let shared = std::iter::once(((LineId::ParapetBoards.to_string(), None), shared));
    let apart = laid.lines.iter().filter(|l| !is_shared(l));
    let lines = apart.map(|l| ((l.id.to_string(), l.roof.clone()), l.quantity)).chain(shared);
    let needs = laid.needs.iter().map(|n| {
        let size = n.size.map_or(String::new(), |s| format!(", {s}"));
        ((format!("need of {}{size}{}", n.role, if n.optional { ", spare" } else { "" }), None), n.quantity)
    });
    lines.chain(needs).map(|(what, n)| (what, n.normalize())).collect()
}

fn laid(job: &Job, demo: &Demo) -> Option<Counted> {
    take_off(job, &demo.loaded.rules, &demo.loaded.products).ok().map(|laid| counted(&laid))
}

/// What is screwed piece by piece: a run of batten that begins with an offcut is one piece more, with two screws more.
const BY_PIECE: [&str; 2] = ["batten.fixings", "need of fixings.framing"];

/// How many runs of batten a job has at most: two layers along each side.
fn runs(job: &Job) -> Decimal {
    job.roofs.iter().map(|roof| Decimal::from(2 * roof.outline.edges.len())).sum()
}

/// What differs when the roofs are turned about and when they are reversed.
fn unlike(seed: u64, demo: &Demo) -> Vec<String> {
    let job = random_job(&mut Dice::new(seed), &demo.loaded.job);
    let mut found = Vec::new();
    if job.roofs.len() < 2 {
        return found;
    }
    let was = laid(&job, demo);
    let (mut turned, mut reversed) = (job.clone(), job.clone());
    turned.roofs.rotate_left(1);
    reversed.roofs.reverse();
    for (how, other) in [("turned about", turned), ("reversed", reversed)] {
        match (&was, laid(&other, demo)) {
            (Some(was), Some(now)) => {
                let all: std::collections::BTreeSet<_> = was.keys().chain(now.keys()).collect();
                let near = |key: &(String, Option<String>)| {
                    let both = was.get(key).zip(now.get(key));
                    let apart = both.map(|(was, now)| (was - now).abs());
                    BY_PIECE.contains(&key.0.as_str()) && apart.is_some_and(|apart| apart <= Decimal::TWO * runs(&job))
                };
                let differ = all.into_iter().filter(|key| was.get(*key) != now.get(*key) && !near(key));
                found.extend(differ.map(|key| format!("{how}: {key:?} {:?} → {:?}", was.get(key), now.get(key))));
            }
            (None, None) => {}
            _ => found.push(format!("{how}: refused in one order and not in the other")),
        }
    }
    found
}

#[test]
fn random_jobs_take_the_same_in_whatever_order_their_roofs_stand() {
    let demo = work(&request("kitchen-extension"));
    let count = roofs::count(if cfg!(debug_assertions) { 100 } else { 1000 });
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, |seed| unlike(seed, &demo)), count);
}
