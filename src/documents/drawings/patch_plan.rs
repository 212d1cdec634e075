//! A roof whose laminate stays: its plan with the patches in their places, and the section through a patch's edge.
//!
//! Given such a roof as laid out, and the rules; gives figures. A patch whose place was not measured stands in the key: it is
//! found by tapping. Of a patch the plan shows the hole and how far is ground round it.

use super::dimensions;
use super::drawing::{Drawing, dashes, pen, spot};
use super::labels::{self, EdgeLabel};
use super::lines::{self, EdgeSign};
use super::one_key::KeyParts;
use super::plan_scale::{self, PlanScale, fitted_ring};
use super::sections::{DrawnSection, LAMINATE};
use super::{LABEL_SIZE, LEAST_SIZE, Space};
use crate::documents::wording;
use crate::model::{Finish, Length, Rules};
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, Spot};
use crate::takeoff::layout::patches::{OldRoofLayout, PatchLayout, lap_of};

/// Draws the plan of one roof.
pub fn draw(layout: &OldRoofLayout, space: Space) -> Figure {
    let patches = layout.patches.len();
    let what = match patches {
        0 => "topcoated all over".to_owned(),
        n => wording::plural(n, "patch", "patches"),
    };
    let holes = layout.patches.iter().map(|p| format!("{} {} × {}", p.mark, p.hole.0, p.hole.1));
    let holes = holes.collect::<Vec<_>>().join("; ");
    Figure {
        scene: fitted_ring(space, &layout.corners, |frame| sheet(layout, frame, space)),
        caption: format!("{}, {}: {what}.", layout.name, wording::square_metres(layout.area)),
        alt: format!("Plan of {}, {what}. {holes}", layout.name),
    }
}

fn sheet(layout: &OldRoofLayout, frame: PlanScale, space: Space) -> Drawing {
    let mut sheet = Drawing::default();
    let ring = frame.ring(&layout.corners);
    let mut rings = vec![ring.clone()];
    rings.extend(layout.openings.iter().map(|o| frame.ring(&o.ring)));
    sheet.area(rings, Some(Ink::AccentTint(0.9)), None);
    // Before the edges: what is ground beside one hides nothing of it.
    for ground in layout.patches.iter().filter_map(|patch| Some(frame.ring(patch.ground.ring.as_ref()?))) {
        sheet.area(vec![ground], Some(Ink::White), None);
    }
    let ends = |i: usize| (ring[i], ring[(i + 1) % ring.len()]);
    let edges: Vec<(Spot, Spot)> = (0..layout.sides.len()).map(ends).collect();
    let offsets = dimensions::offsets(&edges, dimensions::CLOSE);
    dimensions::draw(&mut sheet, &edges, &offsets);
    for (i, side) in layout.sides.iter().enumerate() {
        let (a, b) = ends(i);
        match side.finish.map(EdgeSign::Of) {
            Some(sign) => lines::edge(&mut sheet, a, b, sign),
            None => sheet.line(&[a, b], pen(Ink::Black, 1.1)),
        }
    }
    for opening in &layout.openings {
        let ring = frame.ring(&opening.ring);
        sheet.area(vec![ring.clone()], Some(Ink::White), Some(pen(Ink::Black, 0.8)));
        let lines = [(wording::capital(&opening.name), true)];
        let middle = labels::middle_of(&ring);
        if ![LABEL_SIZE, LEAST_SIZE].iter().any(|size| labels::put_inside(&mut sheet, &ring, middle, &lines, *size)) {
            labels::point_at(&mut sheet, &ring, &lines[0].0);
        }
    }
    for patch in &layout.patches {
        draw_patch(&mut sheet, patch, frame);
    }
    let label = |(i, side): (usize, &crate::model::old_roof::OldSide)| {
        let (from, to) = ends(i);
        let mut parts = vec![format!("{} {}", wording::capital(&side.name), wording::metres(side.length))];
        parts.extend(side.finish.map(|f| lines::plain_words(EdgeSign::Of(f)).to_owned()));
        EdgeLabel { from, to, parts, off: offsets[i].abs() + 2.0, inside: offsets[i] < 0.0 }
    };
    let all: Vec<EdgeLabel> = layout.sides.iter().enumerate().map(label).collect();
    let unplaced = labels::place(&mut sheet, &ring, &all);
    let said = space.key.parts(key(layout));
    let signs = said.among(&Finish::ALL.map(EdgeSign::Of));
    let cut_back = said.among(&[None; Finish::ALL.len()].into_iter().chain([Some(CUT_BACK)]).collect::<Vec<_>>());
    let notes: Vec<String> =
        cut_back.into_iter().flatten().map(str::to_owned).chain(notes(layout, &unplaced)).collect();
    plan_scale::foot(&mut sheet, frame, space, &signs, &notes);
    sheet
}

/// The hole in grey with its mark, and round it, broken, how far is ground.
fn draw_patch(sheet: &mut Drawing, patch: &PatchLayout, frame: PlanScale) {
    let (Some(ground), Some(hole)) = (&patch.ground.ring, &patch.ring) else { return };
    let (ground, hole) = (frame.ring(ground), frame.ring(hole));
    let round: Vec<Spot> = ground.iter().chain(ground.first()).copied().collect();
    sheet.line(&round, dashes(Ink::Black, 0.8, 3.5, 2.0));
    sheet.area(vec![hole.clone()], Some(Ink::Grey(0.8)), Some(pen(Ink::Black, 0.8)));
    let size = patch_mark_size(&hole);
    let (low, high) = labels::box_of(&hole);
    // The mark of a hole narrower than it, such as one along a wall, stands beyond what is ground.
    let roomy = high.x - low.x > size * 1.4 && high.y - low.y > size;
    let middle = if roomy { labels::middle_of(&hole) } else { beyond(&hole, &ground, size) };
    sheet.words(spot(middle.x, middle.y + size * 0.36), &patch.mark, size, true, Anchor::Middle);
}

/// So far beyond what is ground, on its far side.
fn beyond(hole: &[Spot], ground: &[Spot], by: f64) -> Spot {
    let far = |ring: &[Spot]| spot((ring[2].x + ring[3].x) / 2.0, (ring[2].y + ring[3].y) / 2.0);
    let (a, b) = (far(hole), far(ground));
    let (x, y) = (b.x - a.x, b.y - a.y);
    let long = x.hypot(y).max(1e-9);
    spot(b.x + x / long * by, b.y + y / long * by)
}

/// As large as the hole has room for, and never smaller than what can be read.
fn patch_mark_size(hole: &[Spot]) -> f64 {
    let (low, high) = labels::box_of(hole);
    ((high.y - low.y) * 0.6).min((high.x - low.x) * 0.5).clamp(LEAST_SIZE, 10.0)
}

const CUT_BACK: &str = "Grey: the hole, cut back to sound laminate. Broken line: ground up to here.";

/// What the key says: of the edges that are known, and of patches whose place is.
pub fn key(layout: &OldRoofLayout) -> KeyParts {
    let known = |finish: Finish| layout.sides.iter().any(|side| side.finish == Some(finish));
    let placed = layout.patches.iter().any(|p| p.ring.is_some());
    KeyParts::of(Finish::ALL.into_iter().map(known).chain([placed]))
}

/// What is said of this roof alone: patches and edges that have no place on the plan.
fn notes(layout: &OldRoofLayout, unplaced: &[usize]) -> Vec<String> {
    let mut notes = Vec::new();
    let lost: Vec<String> = layout.patches.iter().filter(|p| p.ring.is_none()).map(|p| p.mark.clone()).collect();
    if !lost.is_empty() {
        notes.push(format!("{}: place not measured, found by tapping.", wording::list(&lost)));
    }
    for &i in unplaced {
        let side = &layout.sides[i];
        notes.push(format!("{} {}.", wording::capital(&side.name), wording::metres(side.length)));
    }
    notes
}

// ---- The section -------------------------------------------------------------------------------------------------

/// How the patch of a section is built.
#[derive(Debug, Clone, Copy)]
pub struct PatchBuild<'a> {
    /// The firm's rules.
    pub rules: &'a Rules,
    /// Layers of mat.
    pub layers: u32,
    /// Thickness of the board that is let in; `None` where the old deck stays.
    pub board: Option<Length>,
    /// The topcoat goes on over the whole roof.
    pub recoated: bool,
}

/// Thickness of an old deck whose thickness nobody has measured, for the drawing alone.
const OLD_DECK: f64 = 18.0;
/// How much of the hole a section shows, mm.
const HOLE: f64 = 110.0;
/// The scale of these sections.
const SCALE: f64 = 5.0;

/// Draws the section through the edge of a patch, for one of two side by side, or `alone` over the page's width.
pub fn section(build: PatchBuild<'_>, alone: bool) -> Figure {
    let parts: Vec<String> = built(build, 1.0).parts();
    let scene = built(build, SCALE).keyed(SCALE, super::sections::ON_SITE, alone);
    let title = match build.board {
        Some(_) => "Section through the edge of a patch with new board under it.",
        None => "Section through the edge of a patch.",
    };
    Figure {
        scene: scene.into(),
        caption: format!("{title} Scale 1:{SCALE}. Laminate and topcoat are drawn thicker than they are."),
        alt: format!("{title} Parts from the top: {}.", parts.join("; ")),
    }
}

/// The hole on the left, its edge at 0; to the right laps, ground and old roof, beside the names of the parts.
fn built(build: PatchBuild<'_>, of: f64) -> DrawnSection {
    let r = build.rules;
    let lap = |layer: u32| lap_of(layer, r).as_mm() as f64;
    let last = build.layers.saturating_sub(1);
    let ground = lap(last) + r.patch_ground.as_mm() as f64;
    let right = ground + 45.0;
    let new = build.board.map(|b| b.as_mm() as f64);
    let thick = new.unwrap_or(OLD_DECK);
    let mut s = DrawnSection::empty(thick, of);
    s.block((if new.is_some() { 0.0 } else { -HOLE }, right), (-thick, 0.0), Ink::Grey(0.85));
    s.note(right - 25.0, -thick / 2.0, "old deck, sound and dry");
    if let Some(board) = new {
        s.block((-24.0, 24.0), (-thick - 45.0, -thick), Ink::Grey(0.93));
        s.block((-HOLE, 0.0), (-thick, 0.0), Ink::White);
        s.note(-20.0, -thick / 2.0, format!("new board {board} mm, screwed"));
        s.note(10.0, -thick - 28.0, "noggin under every joint");
    }
    // The old laminate, thinner where it is ground.
    s.path(&[(right, 3.5), (ground, 3.5)], pen(Ink::Grey(0.35), 4.4));
    s.path(&[(ground, 2.2), (0.0, 1.5)], pen(Ink::Grey(0.35), 2.0));
    s.note(right - 12.0, 3.5, "old laminate");
    s.note(ground - 10.0, 2.2, format!("ground {} beyond the last layer", r.patch_ground));
    let mut foot = FOOT;
    if new.is_some() {
        let half = r.bandage_joint.as_mm() as f64 / 2.0;
        s.path(&[(half, foot), (0.0, foot), (-8.0, 4.0), (-half, 4.0)], dashes(Ink::Black, 1.8, 3.0, 2.0));
        s.note(half - 6.0, foot, format!("bandage {} over the joint", r.bandage_joint));
        foot += STEP * 0.7;
    }
    for layer in 0..build.layers {
        s.path(&layer_path(lap(layer), (0..layer).map(lap).collect(), foot), LAMINATE);
        let words = match layer {
            0 => format!("first layer, {} over sound laminate", r.patch_lap),
            n => format!("layer {}, {} over", n + 1, lap_of(n, r)),
        };
        s.note(lap(layer) - 12.0, FOOT, words);
    }
    let start = if build.recoated { right } else { ground };
    let below: Vec<f64> = (0..build.layers).map(lap).collect();
    s.path(&layer_path(start, below, foot), pen(Ink::Black, 0.9));
    let words = if build.recoated { "topcoat over the whole roof" } else { "topcoat over all that was ground" };
    s.note(lap(0) - 40.0, foot + STEP * f64::from(build.layers), words);
    s
}

/// From the deck's top to the first that is laid over the ground face, and from one layer to the next, mm: wider than they
/// are, so that each can be told from the other.
const FOOT: f64 = 9.0;
const STEP: f64 = 9.0;

/// A layer that starts `lap` from the hole and climbs over those beneath it, then goes down into the hole.
fn layer_path(lap: f64, beneath: Vec<f64>, foot: f64) -> Vec<(f64, f64)> {
    let mut y = FOOT;
    let mut path = vec![(lap, y)];
    for (n, edge) in beneath.iter().enumerate().rev() {
        let rise = if n == 0 { foot + STEP * beneath.len() as f64 - y } else { STEP };
        path.extend([(edge + 6.0, y), (edge - 1.0, y + rise)]);
        y += rise;
    }
    let top = foot + STEP * beneath.len() as f64;
    if beneath.is_empty() && foot > FOOT {
        path.extend([(60.0, y), (50.0, top)]);
    }
    path.extend([(2.0, top), (-12.0, top - FOOT / 2.0), (-HOLE, top - FOOT / 2.0)]);
    path
}
