//! The marks that carry a letter, counted over all roofs of a job, so that no two things in it share one.
//!
//! Given the roofs as laid out; numbers what is cut from one pile or lies beside another roof's: `F` insulation, `T` the
//! board over it, `G` box gutters, `L` the linings of parapets, `P` patches (their mat `P1.1`). Trims have theirs from
//! their plan (`D`, `W`, `R`, `K`, `LP`); a deck's boards and a mat's strips have bare numbers, each roof its own.

use super::RoofLayout;
use super::patches::OldRoofLayout;

/// Numbers everything.
pub fn number(roofs: &mut [RoofLayout], old: &mut [OldRoofLayout]) {
    let over = roofs.iter_mut().filter_map(|r| r.over.as_mut());
    mark("F", over.flat_map(|o| &mut o.insulation.pieces).map(|p| &mut p.mark));
    let over = roofs.iter_mut().filter_map(|r| r.over.as_mut()?.overlay.as_mut());
    mark("T", over.flat_map(|d| &mut d.pieces).map(|p| &mut p.mark));
    let gutters = roofs.iter_mut().flat_map(|r| &mut r.box_gutters);
    mark(
        "G",
        gutters.flat_map(|g| g.boards.iter_mut().map(|b| &mut b.mark).chain(g.mat.iter_mut().map(|p| &mut p.mark))),
    );
    let linings = roofs.iter_mut().flat_map(|r| &mut r.parapets);
    mark("L", linings.flat_map(|l| &mut l.boards).map(|b| &mut b.mark));
    for (patch, n) in old.iter_mut().flat_map(|r| &mut r.patches).zip(1..) {
        patch.mark = format!("P{n}");
        mark(&format!("P{n}."), patch.mat.iter_mut().map(|p| &mut p.mark));
    }
}

fn mark<'a>(letter: &str, marks: impl Iterator<Item = &'a mut String>) {
    for (mark, n) in marks.zip(1..) {
        *mark = format!("{letter}{n}");
    }
}
