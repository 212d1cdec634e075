//! The dimension lines along the edges of a plan, each with a slanting stroke at both ends.
//!
//! Given the edges on paper, in walking order; gives how far off each its line lies, and draws them. A line that would cross
//! another, as in an internal corner, lies on the roof's side.

use super::drawing::{Drawing, Way, apart, go, pen, spot};
use super::lines;
use crate::pages::scene::{Ink, Spot};

/// Distance from an edge to its dimension line, pt.
pub const DIMENSION: f64 = 14.0;
/// The same on a plan that has little room.
pub const CLOSE: f64 = 8.0;

/// How far outside each edge its dimension line lies, of these `far`: on the roof's side (negative) where it would cross another.
pub fn offsets(edges: &[(Spot, Spot)], far: f64) -> Vec<f64> {
    let line = |i: usize, off: f64| {
        let (a, b) = edges[i];
        let out = Way::between(a, b).right();
        (go(a, out, off), go(b, out, off))
    };
    let mut order: Vec<usize> = (0..edges.len()).collect();
    let long = |i: usize| apart(edges[i].0, edges[i].1);
    order.sort_by(|&i, &j| long(j).total_cmp(&long(i)).then(i.cmp(&j)));
    let mut offsets = vec![far; edges.len()];
    let mut drawn: Vec<(Spot, Spot)> = Vec::new();
    for i in order {
        let free = |off: &f64| {
            let (a, b) = line(i, *off);
            let others = edges.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, e)| e);
            // On the roof's side a line always reaches its neighbours' edges; only other dimension lines matter.
            let others = others.filter(|_| *off > 0.0);
            !drawn.iter().chain(others).any(|(c, d)| lines_cross(a, b, *c, *d))
        };
        offsets[i] = [far, -far + 3.0].into_iter().find(free).unwrap_or(far);
        drawn.push(line(i, offsets[i]));
    }
    offsets
}

/// Draws them.
pub fn draw(sheet: &mut Drawing, edges: &[(Spot, Spot)], offsets: &[f64]) {
    for (&(a, b), off) in edges.iter().zip(offsets) {
        let along = Way::between(a, b);
        let out = if *off < 0.0 { along.right().back() } else { along.right() };
        let (da, db) = (go(a, out, off.abs()), go(b, out, off.abs()));
        let thin = pen(Ink::Grey(0.35), 0.4);
        sheet.line(&[da, db], thin);
        let from = if *off < 0.0 { 2.0 } else { lines::REACH + 1.0 };
        for (foot, end) in [(a, da), (b, db)] {
            sheet.line(&[go(foot, out, from), go(end, out, 2.0)], thin);
            let slant = Way::between(spot(0.0, 0.0), spot(along.x + out.x, along.y + out.y));
            sheet.line(&[go(end, slant, -2.6), go(end, slant, 2.6)], pen(Ink::Black, 0.8));
        }
        sheet.keep_clear(da, db);
    }
}

/// Whether two lines cross; that their ends touch does not count.
fn lines_cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool {
    let side = |p: Spot, q: Spot, r: Spot| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    side(a, b, c) * side(a, b, d) < -1e-9 && side(c, d, a) * side(c, d, b) < -1e-9
}
