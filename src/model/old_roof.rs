//! A roof whose sound old glass-fibre laminate stays: it is patched, topcoated anew, or both.
//!
//! Given the answers of the survey; gives the outline, what stands in it, the patches and what is done over the whole.
//! Nothing of a new roof belongs to it: it has no deck, no trim and no fall of its own, and no layer that lays such asks
//! for it. What a patch is given as is the hole in the laminate, cut back to what is sound; its laps come on top.

use super::shape::{Finish, Hole, Point, TopcoatChoice};
use super::units::{Area, Length};
use super::whereabouts::SettingPath;

/// A roof whose laminate stays.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldRoof {
    /// Its name.
    pub name: String,
    /// Path in the job file: `roofs[1]`.
    pub path: SettingPath,
    /// The corner points, anticlockwise, the first at the front left.
    pub corners: Vec<Point>,
    /// Its sides: `sides[i]` runs from `corners[i]` to the next corner.
    pub sides: Vec<OldSide>,
    /// Rooflights, chimneys and pipes, which stay as they are.
    pub openings: Vec<Hole>,
    /// Mat of the patches, g/m².
    pub mat: u32,
    /// The patches.
    pub patches: Vec<LaminatePatch>,
    /// What is done over the whole; `None` where only the patches are coated.
    pub recoat: Option<Recoat>,
    /// The topcoat.
    pub topcoat: TopcoatChoice,
}

/// One side of such a roof, as it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldSide {
    /// Its name.
    pub name: String,
    /// Its measured length.
    pub length: Length,
    /// What stands there, where it was said; it stays.
    pub finish: Option<Finish>,
}

/// One patch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaminatePatch {
    /// What it is called in the job file: `split by the outlet`.
    pub name: Option<String>,
    /// Path in the job file.
    pub path: SettingPath,
    /// Size of the hole, along the front and up the roof.
    pub width: Length,
    /// Up the roof.
    pub depth: Length,
    /// The area that was given instead of a size; the hole is then taken as a square.
    pub area: Option<Area>,
    /// Its corner nearest the front-left corner; `None` where the place was not measured, and of one along an edge.
    pub at: Option<Point>,
    /// The edge that it lies along: its sizes are then along that edge and in from it.
    pub edge: Option<PatchEdge>,
    /// How many layers of mat.
    pub layers: u32,
    /// The board that is let in where the deck under it is rotten, by its key.
    pub deck: Option<String>,
    /// How much of its edge runs along a trim, a wall or a kerb, and is bandaged.
    pub at_edge: Length,
}

/// Where a patch lies along an edge, and what becomes of the old trim there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PatchEdge {
    /// Which side of the roof, counting from 0.
    pub side: usize,
    /// Where it begins, from the start of that side in walking order.
    pub from: Length,
    /// What stands there.
    pub finish: Finish,
    /// What becomes of its old trim.
    pub trim: OldTrim,
}

/// What becomes of an old trim along a patch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OldTrim {
    /// It is sound and stays.
    Stays,
    /// It is lifted, cleaned and bedded again.
    Bedded,
    /// It is cut out, and a new one is lapped on to what stays.
    Renewed,
}

impl PatchEdge {
    /// Whether something is done to the edge itself: its trim, or a flashing that is lifted over it.
    pub fn is_worked(self) -> bool {
        self.trim != OldTrim::Stays || self.finish == Finish::Wall
    }
}

/// What is done over the whole of an old laminate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Recoat {
    /// How the old face is made to take the new topcoat, once it is clean and dull.
    pub key: RecoatKey,
    /// The faces of its trims and kerbs are coated too.
    pub trims: bool,
}

/// What the new topcoat holds on by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecoatKey {
    /// The abraded face is wiped with solvent.
    Wipe,
    /// A tie coat goes on first.
    Prime,
}
