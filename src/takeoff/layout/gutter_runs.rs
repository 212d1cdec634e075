//! Gutters that go round corners: which edges share one.
//!
//! Given a roof and its shape; gives its gutters, each by the sides that it runs along, in walking order. Drip edges that meet at
//! a corner under gutters of one shape and size have one gutter, with an angle at the corner: one outlet and one downpipe do
//! for all of it, and it ends only where no such edge goes on.

use super::shape::RoofShape;
use crate::model::{Finish, Roof};

/// The gutters of a roof, by their sides.
pub fn gutter_runs(shape: &RoofShape, roof: &Roof) -> Vec<Vec<usize>> {
    let edges = &roof.outline.edges;
    let gutter = |i: usize| edges[i].gutter.as_ref().filter(|_| shape.sides[i].finish == Finish::Drip);
    let n = shape.sides.len().min(edges.len());
    let goes_on = |i: usize| {
        let pair = gutter(i).zip(gutter((i + 1) % n));
        pair.is_some_and(|(a, b)| (&a.shape, a.size) == (&b.shape, b.size))
    };
    let starts = |i: usize| gutter(i).is_some() && !goes_on((i + n - 1) % n);
    let mut firsts: Vec<usize> = (0..n).filter(|&i| starts(i)).collect();
    if firsts.is_empty() {
        // All round: it begins at the first.
        firsts.extend((0..n).find(|&i| gutter(i).is_some()));
    }
    let run = |first: usize| {
        let mut sides = vec![first];
        let mut last = first;
        while goes_on(last) && (last + 1) % n != first {
            last = (last + 1) % n;
            sides.push(last);
        }
        sides
    };
    firsts.into_iter().map(run).collect()
}

/// The side at which a gutter's outlet stands: where the job says what is known of it, else the first.
pub fn with_outlet(run: &[usize], roof: &Roof) -> Option<usize> {
    let told = |i: &&usize| roof.outline.edges[**i].gutter.as_ref().is_some_and(|g| g.detail.is_some());
    run.iter().find(told).or(run.first()).copied()
}
