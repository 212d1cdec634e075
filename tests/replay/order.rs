//! Holds the order against the layout: every piece that is laid must come out of what was bought.
//!
//! Counts pieces itself, from the placed pieces, and never reads the take-off's own lines.

use std::collections::BTreeMap;
use wetout::model::Length;
use wetout::pricing::Pricing;
use wetout::takeoff::TakeOff;

/// What was bought, by role and size: packs × what a pack holds. Optional lines do not count.
fn bought(pricing: &Pricing) -> BTreeMap<String, f64> {
    let mut bought = BTreeMap::new();
    for line in pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional) {
        let holds: f64 = line.holds.to_string().parse().unwrap();
        *bought.entry(line.role.clone()).or_default() += holds * line.quantity as f64;
    }
    bought
}

/// What the laid pieces take, by role. A floor, not a target: waste and laps come on top of some of them.
fn laid(take_off: &TakeOff) -> BTreeMap<String, f64> {
    let mut laid: BTreeMap<String, f64> = BTreeMap::new();
    let metres = |l: Length| l.as_mm() as f64 / 1000.0;
    for plan in &take_off.profiles {
        *laid.entry(format!("trim.{}", plan.finish.word())).or_default() += plan.bars.len() as f64;
    }
    for roof in &take_off.roofs {
        if let Some(deck) = &roof.deck {
            let mut boards: Vec<usize> = deck.pieces.iter().map(|p| p.board).collect();
            boards.sort_unstable();
            boards.dedup();
            *laid.entry(format!("board.{}", deck.board)).or_default() += boards.len() as f64;
            *laid.entry("fixings.deck".into()).or_default() += deck.fixings as f64;
        }
        for piece in &roof.bandage {
            *laid.entry(format!("bandage.{}", piece.width.as_mm())).or_default() += metres(piece.length);
        }
        // A strip narrower than the roll may share its width with another, so only its area is sure to be used.
        let area: f64 = roof.mat.pieces.iter().map(|p| metres(p.length) * metres(p.width)).sum();
        *laid.entry(format!("mat.{}", roof.mat.weight)).or_default() += area;
    }
    laid
}

/// Everything that was bought short.
pub fn faults(take_off: &TakeOff, pricing: &Pricing) -> Vec<String> {
    let bought = bought(pricing);
    let short = |(role, takes): (String, f64)| {
        let has = bought.get(&role).copied().unwrap_or_default();
        (has + 1e-9 < takes).then(|| format!("{role}: {takes} laid, {has} bought"))
    };
    laid(take_off).into_iter().filter_map(short).collect()
}
