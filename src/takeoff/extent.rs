//! Whether a job is of a size that can be laid out piece by piece.
//!
//! Given the shapes of the roofs and the sizes of what is laid; gives the problems. Nothing is laid yet: the pieces are
//! reckoned from areas and sizes, so that a board of a millimetre or a field of roofs is told before any work is done.

use super::layout::shape::RoofShape;
use super::quantities::mat_lines;
use crate::model::limits::{self, Most};
use crate::model::{Job, Length, Problem, Products, Roof, Rules, Whereabouts};

/// What is too many pieces for one roof, or for the job.
pub(super) fn faults(shapes: &[RoofShape], roofs: &[Roof], rules: &Rules, products: &Products) -> Vec<Problem> {
    let counts: Vec<i64> = shapes.iter().zip(roofs).map(|(s, r)| pieces(s, r, rules, products)).collect();
    let each = counts.iter().zip(roofs).filter_map(|(count, roof)| {
        too_many(*count, limits::PIECES, roof.path.key("outline"), &format!("`{}` takes", roof.name))
    });
    let mut found: Vec<Problem> = each.collect();
    if found.is_empty() {
        found.extend(too_many(counts.iter().sum(), limits::JOB_PIECES, ["roofs"], "the roofs of this job take"));
    }
    found
}

/// What is too many pieces for all options of a job together, each of which is laid out as the job is.
pub(super) fn of_options(shapes: &[(Vec<RoofShape>, &Job)], rules: &Rules, products: &Products) -> Option<Problem> {
    let of_job = |(shapes, job): &(Vec<RoofShape>, &Job)| -> i64 {
        shapes.iter().zip(&job.roofs).map(|(s, r)| pieces(s, r, rules, products)).sum()
    };
    let Most { what, most } = limits::OPTION_PIECES;
    let count: i64 = shapes.iter().map(of_job).sum();
    (count > most as i64).then(|| {
        Problem::fault(
            ["options"],
            format!("there are about {count} {what}: more than {most} are not laid out"),
            "give fewer options, let those exclude one another of which only one makes sense (`one_of: colour`), or price the \
             roofs that no option changes as a job of their own",
        )
    })
}

fn too_many(count: i64, most: Most, place: impl Into<Whereabouts>, whose: &str) -> Option<Problem> {
    let Most { what, most } = most;
    (count > most as i64).then(|| {
        Problem::fault(
            place,
            format!("{whose} about {count} {what}: more than {most} are not laid out"),
            "check the sizes of the roof, of its boards and of the mat; a roof that is so large is priced in parts",
        )
    })
}

/// Boards, insulation and strips of mat, reckoned from areas, and a length of trim for each 3 m of edge.
fn pieces(shape: &RoofShape, roof: &Roof, rules: &Rules, products: &Products) -> i64 {
    let area = shape.area.as_mm2();
    let of = |length: Length, width: Length| area / (length.as_mm() * width.as_mm()).max(1);
    let board = |key: &str| products.boards.get(key).map_or(0, |b| of(b.length, b.width));
    let deck = roof.deck.board.as_deref().map_or(0, board);
    let warm = roof.build_up.as_ref().map_or(0, |b| {
        let slabs = b.insulation.as_ref().map_or(0, |i| of(i.length, i.width));
        slabs + b.overlay.as_ref().map_or(0, |o| board(&o.name))
    });
    let roll = mat_lines::roll_of(products, roof.laminate.mat);
    let pitch = Length::mm((roll.width - rules.mat_lap).as_mm().max(1));
    let strips = i64::from(roof.laminate.layers) * of(rules.mat_longest, pitch);
    let run: Length = shape.sides.iter().map(|s| s.run).sum();
    let trims = run.as_mm() / 3000;
    deck + warm + strips + trims
}
