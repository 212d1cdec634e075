//! What the documents say of a roof whose laminate stays: the same facts for the householder and for the crew.
//!
//! Given such a roof as its reader may see it; gives the names that a template fills in, and the list of its patches. What is
//! said of one roof is said under its name only where a job has several.

use super::cells::{cell, centre, group, left, plain, strong, wide};
use super::views::OldRoofView;
use super::wording;
use super::words::Vocabulary;
use crate::model::old_roof::{OldTrim, RecoatKey};
use crate::model::{Finish, Length};
use crate::pages::block::{Block, Table};
use crate::takeoff::layout::junctions::trim_name;
use crate::takeoff::layout::patches::{OldRoofLayout, PatchLayout, PatchTrim};

/// The names of one roof.
pub(super) fn roof(v: &mut Vocabulary, roof: &OldRoofView<'_>) {
    let layout = roof.layout;
    let decked = layout.patches.iter().filter(|p| p.deck.is_some());
    v.text("roof_name", roof.name)
        .text("roof_area", wording::square_metres(layout.area))
        .text("patch_count", wording::plural(layout.patches.len(), "place", "places"))
        .yes("several_patches", layout.patches.len() > 1)
        .text("patches", wording::list(&layout.patches.iter().map(patch_in_words).collect::<Vec<_>>()))
        .text("decked", wording::list(&decked.map(called).collect::<Vec<_>>()))
        .maybe("patch_board", roof.board.map(|thickness| thickness.to_string()))
        .text("patch_mat", layout.mat.to_string())
        .text("patch_layers", layers(&layout.patches))
        .text("renewed_trims", wording::list(&edges_with(layout, OldTrim::Renewed)))
        .text("bedded_trims", wording::list(&edges_with(layout, OldTrim::Bedded)))
        .yes("flashing_lifted", layout.patches.iter().any(lifts_flashing))
        .yes("patch_up_edge", layout.patches.iter().any(|p| p.trim.is_some()))
        .text("patch_lap", roof.lap.to_string())
        .yes("recoated", roof.recoat.is_some())
        .yes("primed", roof.recoat.is_some_and(|r| r.key == RecoatKey::Prime))
        .yes("trims_coated", roof.recoat.is_some_and(|r| r.trims))
        .text("old_colour", roof.colour)
        .text("old_surface", roof.surface)
        .yes("old_grains", roof.grains)
        .text("walk_on", wording::hours_or_days(roof.walk_on_hours));
}

/// `two layers`, or `one or two layers` where patches differ.
fn layers(patches: &[PatchLayout]) -> String {
    let mut counts: Vec<usize> = patches.iter().map(|p| p.layers.len()).collect();
    counts.sort_unstable();
    counts.dedup();
    match counts[..] {
        [] => String::new(),
        [all] => wording::plural(all, "layer", "layers"),
        [least, ..] => format!("{least} to {} layers", counts[counts.len() - 1]),
    }
}

/// What a patch is called: by its name in the job, else by its mark.
fn called(patch: &PatchLayout) -> String {
    patch.name.clone().unwrap_or_else(|| format!("patch {}", patch.mark))
}

/// `the blister by the rooflight (about 0.60 × 0.45 m)`.
pub(super) fn patch_in_words(patch: &PatchLayout) -> String {
    let (mark, [across, along]) = (&patch.mark, [patch.hole.0, patch.hole.1].map(wording::metres));
    let marked = patch.name.as_ref().map_or_else(String::new, |_| format!("{mark}, "));
    format!("{} ({marked}about {across} × {along})", called(patch))
}

/// `1.50 m of the raised edge trim on the edge right`: what becomes so of trims along patches.
fn edges_with(layout: &OldRoofLayout, trim: OldTrim) -> Vec<String> {
    let of = |t: &PatchTrim| {
        format!("{} of the {} on the edge “{}”", wording::metres(t.run), trim_name(t.edge.finish), t.side)
    };
    layout.patches.iter().filter_map(|p| p.trim.as_ref()).filter(|t| t.edge.trim == trim).map(of).collect()
}

/// Each edge that was made good, as it is handed over: `1.50 m of the raised edge trim on the edge right, new`.
pub(super) fn made_good(layout: &OldRoofLayout) -> Vec<String> {
    let of = |trim: OldTrim, how: &str| -> Vec<String> {
        edges_with(layout, trim).into_iter().map(|edge| format!("{edge}, {how}")).collect()
    };
    [of(OldTrim::Renewed, "new"), of(OldTrim::Bedded, "bedded again")].concat()
}

/// Whether the flashing at its wall is lifted over it.
pub(super) fn lifts_flashing(patch: &PatchLayout) -> bool {
    patch.trim.as_ref().is_some_and(|t| t.edge.finish == Finish::Wall)
}

/// What is done along an edge, a line for each patch there: `P3: flashing up, 1.50 m of the wall fillet cut out, new 1600 mm`.
pub(super) fn edge_work(patch: &PatchLayout) -> Option<String> {
    let trim = patch.trim.as_ref().filter(|t| t.edge.is_worked())?;
    let (mark, name, run) = (&patch.mark, trim_name(trim.edge.finish), wording::metres(trim.run));
    let flashing = if lifts_flashing(patch) { "flashing up, " } else { "" };
    let pieces: Vec<String> = trim.pieces.iter().map(|l| l.as_mm().to_string()).collect();
    Some(match trim.edge.trim {
        OldTrim::Stays => format!("{mark}: {flashing}the {name} stays"),
        OldTrim::Bedded => format!("{mark}: {flashing}{run} of the {name} lifted and bedded again"),
        OldTrim::Renewed => format!("{mark}: {flashing}{run} of the {name} cut out, new {} mm", pieces.join(" and ")),
    })
}

/// `P3, 100 mm`: how far the mat goes up or over an edge.
pub(super) fn up_edge(patch: &PatchLayout) -> Option<String> {
    let trim = patch.trim.as_ref().filter(|t| t.up > Length::ZERO)?;
    Some(format!("{}, {}", patch.mark, trim.up))
}

/// `P2, 1.00 m`: the bandage along the edge that a patch lies at; nothing where it lies at none.
pub(super) fn edge_bandage(patch: &PatchLayout) -> Option<String> {
    let along = patch.bandage.iter().find(|b| !b.over_joints)?;
    Some(format!("{}, {}", patch.mark, wording::metres(along.length)))
}

/// `600 × 450`.
fn millimetres((width, depth): (Length, Length)) -> String {
    format!("{} × {}", width.as_mm(), depth.as_mm())
}

/// The patches as the crew cuts them: hole, ground, where from the front left corner, layers by their sizes, board.
pub(super) fn patch_list(roofs: &[OldRoofView<'_>]) -> Vec<Block> {
    let columns = vec![
        left("Patch"),
        wide("Where", 3),
        left("Hole, mm"),
        left("Ground to, mm"),
        wide("Mat, mm, the lowest first", 3),
        centre("Laid"),
    ];
    let many = roofs.iter().filter(|r| !r.layout.patches.is_empty()).count() > 1;
    let mut rows = Vec::new();
    for roof in roofs.iter().filter(|r| !r.layout.patches.is_empty()) {
        if many {
            rows.push(group(roof.name, columns.len()));
        }
        rows.extend(roof.layout.patches.iter().map(|p| {
            plain(vec![
                strong(&p.mark),
                cell(place(p)),
                strong(millimetres(p.hole)),
                cell(millimetres(p.ground.size)),
                cell(mats(p)),
                cell("☐"),
            ])
        }));
    }
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(Table { columns, rows, header: true })]
}

/// `Blister by the rooflight: 3.50 m from left, 1.60 m up`, to the corner of the hole nearest the front left corner.
fn place(patch: &PatchLayout) -> String {
    let at = match (patch.at, &patch.trim) {
        (Some(at), _) => {
            format!("{} from left, {} up", wording::metres(Length::mm(at.x)), wording::metres(Length::mm(at.y)))
        }
        (None, Some(trim)) => {
            format!("along {}, from {} on; sizes along it, then in", trim.side, wording::metres(trim.edge.from))
        }
        (None, None) => "found by tapping".to_owned(),
    };
    match &patch.name {
        Some(name) => format!("{}: {at}", wording::capital(name)),
        None => wording::capital(&at),
    }
}

/// The pieces of each layer: `800 × 650; 900 × 750`, several of one size with their number.
fn mats(patch: &PatchLayout) -> String {
    let each = patch.mat.chunk_by(|a, b| a.is_like(b)).map(|same| {
        let size = millimetres((same[0].length, same[0].width));
        if same.len() > 1 { format!("{} of {size}", same.len()) } else { size }
    });
    each.collect::<Vec<_>>().join("; ")
}

/// The pieces of board that are let in: `P2: 900 × 500 mm`.
pub(super) fn boards(roofs: &[OldRoofView<'_>]) -> Vec<String> {
    let many = roofs.len() > 1;
    let of_roof = |roof: &OldRoofView<'_>| -> Vec<String> {
        let name = if many { format!("{}, ", roof.name) } else { String::new() };
        let decks = roof.layout.patches.iter().filter_map(|p| Some((&p.mark, p.deck.as_ref()?)));
        let line = |(mark, deck): (&String, &crate::takeoff::layout::patches::PatchDeck)| {
            let pieces: Vec<String> = deck.pieces.iter().map(|p| millimetres((p.length, p.width))).collect();
            format!("{name}{mark}: {} mm", pieces.join(" and "))
        };
        decks.map(line).collect()
    };
    roofs.iter().flat_map(of_roof).collect()
}
