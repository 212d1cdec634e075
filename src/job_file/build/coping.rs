//! A wall of limited height at an edge that the roof is carried over: what the file says of it.
//!
//! Given what stands under `coping`; gives the wall's top with what covers it, and its height, which is the edge's upstand.
//! A coping takes the place of upstand, flashing and door sill: where one of them is given too, the file contradicts itself.

use crate::job_file::raw::job::{RawCoping, RawEdge};
use crate::job_file::read::reading::Slot;
use crate::model::job::By;
use crate::model::{Coping, Finish, Length, Problem, SettingPath};

/// The wall's height and its top; `None` where no coping was given, or not all of it. `path` is that of the edge.
pub(crate) fn coping(
    raw: &mut RawEdge,
    label: &str,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<(Length, Coping)> {
    let given = !raw.coping.is_missing();
    let finish = raw.finish.given().copied();
    let coping = std::mem::take(&mut raw.coping).take();
    if given && finish != Some(Finish::Wall) {
        found.push(Problem::fault(
            path.key("coping"),
            match finish {
                Some(Finish::Gutter) => "the parapet beyond a box gutter takes a flashing: its lining ends under it",
                _ => "a coping covers a wall of limited height: at an edge with `finish: wall` only",
            },
            match finish {
                Some(Finish::Gutter) => "take `coping` out here; the walls at the gutter's ends may have one",
                _ => "take `coping` out, or change the finish",
            },
        ));
        return None;
    }
    let contradicts = [
        (!raw.upstand.is_missing(), "upstand", "the wall's height is its upstand: `wall_height` says it"),
        (!raw.flashing.is_missing(), "flashing", "no flashing is cut into a wall that the roof is carried over"),
        (!raw.sill.is_missing(), "sill", "no door opens over a wall that is covered"),
    ];
    for (_, key, fault) in contradicts.into_iter().filter(|(also, ..)| given && *also) {
        found.push(Problem::fault(path.key(key), fault, format!("take `{key}` out here, or take `coping` out")));
    }
    of(coping?, label, &path.key("coping"), found)
}

fn of(raw: RawCoping, label: &str, path: &SettingPath, found: &mut Vec<Problem>) -> Option<(Length, Coping)> {
    let by = by(raw.by, label, path, found);
    let board = raw.board.take().map(|word| word.0);
    let (height, width, cover) = (raw.wall_height.take(), raw.wall_width.take(), raw.cover.take());
    Some((height?, Coping { width: width?, cover: cover?, by, board }))
}

fn by(raw: Slot<By>, label: &str, path: &SettingPath, found: &mut Vec<Problem>) -> By {
    raw.or_taken(By::Us, || {
        found.push(Problem::assumed(
            path.key("by"),
            format!("who lifts what lies on the wall at `{label}` and covers it again is not said: the firm is taken to do it"),
            "add `by: us`, or `by: others`",
        ));
    })
}
