//! Noggins, bearers and their ledgers replayed: each as it lies comes out of one of the lengths that are bought.
//!
//! Given a take-off and what is bought; gives the faults. Lengths are measured anew from the places on the plan.

use std::collections::BTreeMap;
use wetout::model::{Length, Products, Rules};
use wetout::pricing::Pricing;
use wetout::takeoff::TakeOff;

/// What is wrong with the cutting of noggins. Their timber is sold in lengths.
pub fn faults(take_off: &TakeOff, pricing: &Pricing, (rules, products): (&Rules, &Products)) -> Vec<String> {
    let longest =
        take_off.noggins.iter().flat_map(|p| &p.bars).map(|(stock, _)| stock.as_mm()).max().unwrap_or(1 << 40);
    let mut waiting: BTreeMap<i64, i64> = BTreeMap::new();
    for roof in &take_off.roofs {
        for (a, b) in roof.deck.iter().flat_map(|d| &d.noggins) {
            let length = ((b.x - a.x) as f64).hypot((b.y - a.y) as f64);
            *waiting.entry(length.round() as i64).or_default() += 1;
        }
        for gutter in &roof.box_gutters {
            let board = products.boards[&gutter.board].thickness.as_mm();
            *waiting.entry(gutter.width.as_mm() + 2 * board).or_default() += gutter.bearers.len() as i64;
            // On the joists' ends and on the parapet, in pieces as nearly alike as whole millimetres allow.
            let (run, n) = (gutter.run.as_mm(), (gutter.run.as_mm() + longest - 1) / longest);
            let mut from = 0;
            for k in 1..=n {
                *waiting.entry(run * k / n - from).or_default() += 2;
                from = run * k / n;
            }
        }
    }
    // Round a patch they butt where a length ends.
    for deck in take_off.old_roofs.iter().flat_map(|o| &o.patches).filter_map(|p| p.deck.as_ref()) {
        let mut rest = deck.joints.as_mm();
        while rest > 0 {
            *waiting.entry(rest.min(longest)).or_default() += 1;
            rest -= longest.min(rest);
        }
    }
    waiting.retain(|_, n| *n > 0);
    let lines = || pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional && l.role == "timber.noggin");
    let bought = |size: Option<Length>| -> f64 {
        let of_these = lines().filter(|l| size.is_none() || l.size == size);
        of_these.map(|l| l.quantity as f64 * l.holds.to_string().parse::<f64>().unwrap()).sum()
    };
    let mut found = Vec::new();
    let Some(plan) = &take_off.noggins else {
        // Sold cut to any length: as many metres as they come to, but for what rounding takes of each.
        let laid: f64 = waiting.iter().map(|(l, n)| (*l as f64 - 1.0) * *n as f64 / 1000.0).sum();
        if bought(None) + 1e-6 < laid {
            found.push(format!("{laid} m of noggins laid, {} m bought", bought(None)));
        }
        return found;
    };
    let mut lengths: BTreeMap<Length, i64> = BTreeMap::new();
    for (stock, pieces) in &plan.bars {
        *lengths.entry(*stock).or_default() += 1;
        let cuts = (pieces.len() as i64 - 1).max(0);
        let taken = pieces.iter().map(|p| p.as_mm()).sum::<i64>() + cuts * rules.kerf.as_mm();
        if taken > stock.as_mm() {
            found.push(format!("{taken} mm of noggins out of {stock}"));
        }
        for piece in pieces {
            *waiting.entry(piece.as_mm()).or_default() -= 1;
        }
    }
    found
        .extend(waiting.into_iter().filter(|(_, n)| *n != 0).map(|(l, n)| format!("{n} more noggins of {l} than cut")));
    for (stock, n) in lengths {
        let metres = bought(Some(stock));
        if metres + 1e-6 < n as f64 * stock.as_mm() as f64 / 1000.0 {
            found.push(format!("{metres} m of noggins in {stock} bought, {n} lengths cut"));
        }
    }
    found
}
