//! How far the joints of one layer of boards stand off those of the layer beneath it.
//!
//! Given the joints of both; gives the length of the upper ones that lie nearer than they should to a lower one along
//! them. Joints run along x or along y and nowhere else; a crossing is no fault.

use super::{DeckLayout, Joint};
use crate::geometry::interval::covered;
use crate::model::Length;

/// The joints of a deck.
pub fn of_deck(deck: &DeckLayout) -> Vec<Joint> {
    deck.joints.iter().map(|j| (j.from, j.to)).collect()
}

/// How much of the upper joints lies nearer than `apart` to a lower one that runs the same way.
pub fn too_near(upper: &[Joint], lower: &[Joint], apart: Length) -> Length {
    Length::mm(upper.iter().map(|u| near(*u, lower, apart.as_mm())).sum())
}

/// The length of one joint that lies too near to any of the lower ones, each part of it counted once.
fn near(upper: Joint, lower: &[Joint], apart: i64) -> i64 {
    let Some(u) = JointRun::of(upper) else { return 0 };
    let shared = |l: &Joint| {
        let l = JointRun::of(*l).filter(|l| l.along_x == u.along_x && (l.at - u.at).abs() < apart)?;
        let (from, to) = (l.from.max(u.from), l.to.min(u.to));
        (from < to).then_some((from, to))
    };
    covered(lower.iter().filter_map(shared).collect())
}

/// A joint as a stretch of a line along one axis.
struct JointRun {
    along_x: bool,
    at: i64,
    from: i64,
    to: i64,
}

impl JointRun {
    /// `None` where it runs along neither axis, or nowhere.
    fn of((a, b): Joint) -> Option<JointRun> {
        match (a.x == b.x, a.y == b.y) {
            (false, true) => Some(JointRun { along_x: true, at: a.y, from: a.x.min(b.x), to: a.x.max(b.x) }),
            (true, false) => Some(JointRun { along_x: false, at: a.x, from: a.y.min(b.y), to: a.y.max(b.y) }),
            _ => None,
        }
    }
}
