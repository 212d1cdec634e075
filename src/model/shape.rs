//! The roof as it was measured: outline, edges with their finishes, holes, joists and what goes on top.
//!
//! Given points and lengths; gives a simple polygon walked anticlockwise as seen from above, starting at the
//! front-left corner, x to the right along the front and y up the roof. Measured lengths govern runs: an edge keeps
//! the length that was measured even where its rounded corner points lie half a millimetre away.

use super::as_found::RoofOwn;
use super::build_up::{BuildUp, RoofKind};
use super::by::By;
use super::coping::Coping;
use super::fall::RoofFall;
use super::flashing::Flashing;
use super::gutter::GutterDetail;
use super::section::Section;
use super::surface::Surface;
use super::under_tiles::UnderTiles;
use super::units::{Area, Fall, Length};
use super::whereabouts::SettingPath;
pub use crate::geometry::point::Point;
use crate::geometry::ring::{first_crossing, twice_signed_area};

/// What stands at an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Finish {
    /// The low edge: water runs off it into a gutter.
    Drip,
    /// A verge that keeps water on the roof.
    Raised,
    /// The roof meets a wall (or, round a hole, a chimney).
    Wall,
    /// Round a rooflight or a hatch.
    Kerb,
    /// Meets another roof: the laminate is carried up.
    Step,
    /// The lip of a box gutter that lies beyond the edge, lined with the same laminate.
    Gutter,
}

impl Finish {
    /// Every finish, in the order in which the trims are fixed.
    pub const ALL: [Finish; 6] =
        [Finish::Drip, Finish::Wall, Finish::Raised, Finish::Kerb, Finish::Step, Finish::Gutter];

    /// The word of the job file and of line ids.
    pub const fn word(self) -> &'static str {
        match self {
            Finish::Drip => "drip",
            Finish::Raised => "raised",
            Finish::Wall => "wall",
            Finish::Kerb => "kerb",
            Finish::Step => "step",
            Finish::Gutter => "gutter",
        }
    }

    /// Whether a preformed trim stands there. At a step the laminate itself is carried up, into a box gutter down.
    pub const fn has_trim(self) -> bool {
        !matches!(self, Finish::Step | Finish::Gutter)
    }

    /// Whether water runs off the roof there.
    pub const fn drains(self) -> bool {
        matches!(self, Finish::Drip | Finish::Gutter)
    }
}

/// Where no joint may be made, or where it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Joints {
    /// Lap joints as the rules allow.
    #[default]
    Lapped,
    /// The run must come out of one length.
    None,
}

/// A gutter as the installer names it: shape and size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gutter {
    /// `half-round`, `square`, `deep`, … as written.
    pub shape: String,
    /// Nominal size (the width at the top).
    pub size: Length,
    /// What was said of it beyond shape and size, for the check of its flow.
    pub detail: Option<GutterDetail>,
}

impl Gutter {
    /// Its name: `half-round 112 mm`.
    pub fn words(&self) -> String {
        format!("{} {}", self.shape, self.size)
    }
}

/// The names of the sides of a roof of four, from the front, round to the left.
pub const FOUR_SIDES: [&str; 4] = ["front", "right", "back", "left"];

/// One straight stretch of the outline with one finish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edge {
    /// The name in the job file.
    pub name: String,
    /// Which stretch of that name, from 0; `None` where the whole edge has one finish.
    pub stretch: Option<usize>,
    /// Path in the job file, for problems: `roofs[0].edges.back` or `roofs[0].edges.back[1]`.
    pub path: SettingPath,
    /// The measured length; governs the trim run.
    pub length: Length,
    /// What stands there.
    pub finish: Finish,
    /// Whether the trim may be jointed.
    pub joints: Joints,
    /// The gutter under a drip edge.
    pub gutter: Option<Gutter>,
    /// The height left for an upstand at a wall, from the surveyed roof surface.
    pub upstand: Option<Length>,
    /// The cover flashing at a wall; `None` at any other edge, under a door sill, and at a wall that is covered.
    pub flashing: Option<Flashing>,
    /// Where the middle of a ladder point stands, from the edge's start in walking order.
    pub ladder_point: Option<Length>,
    /// An overflow through what stands at the edge.
    pub overflow: Option<Overflow>,
    /// The box gutter beyond the edge.
    pub box_gutter: Option<BoxGutter>,
    /// At a stretch of wall under a door: how high the underside of its sill stands, from the surveyed roof surface.
    pub sill: Option<Length>,
    /// At a wall of limited height that is covered: the roof is carried over its top. Its height is the upstand.
    pub coping: Option<Coping>,
    /// At a step: the tiles or slates that the laminate is carried up under.
    pub under: Option<UnderTiles>,
}

impl Edge {
    /// Whether a wall stands at the edge, or beyond its box gutter.
    pub fn meets_wall(&self) -> bool {
        matches!(self.finish, Finish::Wall | Finish::Gutter)
    }

    /// Whether a wall edge, or the parapet beyond a box gutter, is to be flashed.
    pub fn is_flashed(&self) -> bool {
        self.meets_wall() && self.flashing.is_some_and(Flashing::is_cut_in)
    }

    /// Whether a box gutter is there now, in whose place the new one is built.
    pub fn has_old_gutter(&self) -> bool {
        self.box_gutter.as_ref().is_some_and(|gutter| !gutter.new)
    }

    /// Whether a box gutter is built where none is, so that no pipe waits below its outlet.
    pub fn has_new_gutter(&self) -> bool {
        self.box_gutter.as_ref().is_some_and(|gutter| gutter.new)
    }

    /// What the documents call it: `back`, or `back (2)` for the second stretch.
    pub fn label(&self) -> String {
        match self.stretch {
            Some(n) => format!("{} ({})", self.name, n + 1),
            None => self.name.clone(),
        }
    }
}

/// A closed outline: `edges[i]` runs from `corners[i]` to the next corner, anticlockwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outline {
    /// The corner points, anticlockwise, the first at the front left.
    pub corners: Vec<Point>,
    /// The edges in walking order.
    pub edges: Vec<Edge>,
}

/// Why an outline was refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OutlineFault {
    /// Fewer than three corners, or no area.
    Flat,
    /// Two edges cross or touch, by index.
    Crosses(usize, usize),
    /// Walked clockwise.
    Clockwise,
}

impl Outline {
    /// Takes corners and edges in walking order; refuses an outline that crosses itself, encloses nothing or runs
    /// clockwise. Both lists must have the same length.
    pub fn new(corners: Vec<Point>, edges: Vec<Edge>) -> Result<Outline, OutlineFault> {
        debug_assert_eq!(corners.len(), edges.len());
        if corners.len() < 3 {
            return Err(OutlineFault::Flat);
        }
        if let Some((a, b)) = first_crossing(&corners) {
            return Err(OutlineFault::Crosses(a, b));
        }
        match twice_signed_area(&corners) {
            0 => Err(OutlineFault::Flat),
            a if a < 0 => Err(OutlineFault::Clockwise),
            _ => Ok(Outline { corners, edges }),
        }
    }

    /// The corner where edge `i` ends.
    pub fn end_of(&self, i: usize) -> Point {
        self.corners[(i + 1) % self.corners.len()]
    }
}

/// The form of a hole, in roof coordinates, to the outside of its kerb.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HoleForm {
    /// A rectangle along the roof's axes: nearest corner and size.
    Box {
        /// The corner nearest the front-left corner.
        at: Point,
        /// Along x.
        width: Length,
        /// Along y.
        depth: Length,
    },
    /// A pipe: centre and diameter.
    Round {
        /// The centre.
        at: Point,
        /// The outside diameter.
        diameter: Length,
    },
}

/// Something that stands in the roof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hole {
    /// The name in the job file.
    pub name: String,
    /// Path in the job file, for problems.
    pub path: SettingPath,
    /// Its form and place.
    pub form: HoleForm,
    /// `Kerb` for a rooflight or hatch, `Wall` for a chimney. A pipe (round) carries its collar instead of a trim.
    pub finish: Finish,
    /// What of its timber is new.
    pub timber: NewTimber,
    /// How high the kerb that is there stands above the old roof, at its higher side, where that was measured.
    pub upstand: Option<Length>,
}

/// The timber of an opening that the firm brings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NewTimber {
    /// Section of the kerb, its depth standing up; `None` where the kerb is there.
    pub kerb: Option<Section>,
    /// Section of the joists round the opening; `None` where it is trimmed already.
    pub trimmers: Option<Section>,
    /// Whether that was said, and not taken for granted.
    pub trimmers_said: bool,
}

/// Which way the joists run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JoistRun {
    /// Along y.
    FrontToBack,
    /// Along x.
    LeftToRight,
}

/// The joists that carry the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joists {
    /// Which way they run.
    pub run: JoistRun,
    /// Centre to centre.
    pub spacing: Length,
    /// Where the first centre-line lies from the front-left corner, across the joists.
    pub first: Length,
    /// Where the last centre-line lies from the same corner, where it does not fit the spacing: along a verge, a wall.
    pub last: Option<Length>,
    /// Their section, where it is known: one is set along every edge that runs along them and has none.
    pub section: Option<Section>,
}

/// What the sizes were measured to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MeasuredTo {
    /// The outside of the edge battens: where the trims' backs will be.
    #[default]
    Battens,
    /// The fascia: drip and raised edges are moved outwards by their battens.
    Fascia,
}

/// What is done with the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeckAction {
    /// New boards on the joists.
    New,
    /// Thinner boards over the old deck.
    Overlay,
    /// The old deck stays, after a signed check.
    Keep,
}

/// The deck that was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeckChoice {
    /// New, overlay or keep.
    pub action: DeckAction,
    /// The board's name in the price book (`osb3-18`); `None` when the deck is kept.
    pub board: Option<String>,
    /// How thick the old boards are that are lifted for new ones; `None` where none are, or nobody says how thick.
    pub lifted: Option<Length>,
}

/// The laminate that was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LaminateChoice {
    /// Mat weight, g/m².
    pub mat: u32,
    /// How many layers.
    pub layers: u32,
}

/// The topcoat that was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TopcoatChoice {
    /// The colour's name as the price book has it.
    pub colour: String,
    /// Its surface.
    pub finish: Surface,
}

/// An outlet in the roof itself, where water leaves without a drip edge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outlet {
    /// Path in the job file, for problems: `roofs[0].outlet` or `roofs[0].outlets[1]`.
    pub path: SettingPath,
    /// Its centre.
    pub at: Point,
    /// Its diameter.
    pub size: Length,
    /// Depth of water that may stand over it, where known.
    pub head: Option<Length>,
    /// A strainer or leaf guard stands in it.
    pub strainer: bool,
}

/// A box gutter beyond an edge, against a parapet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxGutter {
    /// Path in the job file, for problems: `roofs[0].edges.front.box_gutter`.
    pub path: SettingPath,
    /// Clear width of its sole.
    pub width: Length,
    /// From the deck's top down to its sole, at the end that is furthest from the outlet.
    pub depth: Length,
    /// The fall of its sole to the outlet.
    pub fall: Fall,
    /// Its outlet.
    pub outlet: SoleOutlet,
    /// None was there before: where the roof is stripped, nothing of an old one comes out.
    pub new: bool,
    /// What it is boarded with, by the board's key; the deck's board where it is not said.
    pub board: Option<String>,
    /// Depth factor F_d of a rectangular gutter, read off the chart of BS EN 12056-3.
    pub depth_factor: Option<rust_decimal::Decimal>,
}

/// The outlet in the sole of a box gutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoleOutlet {
    /// Its middle, from the edge's start in walking order.
    pub at: Length,
    /// Its diameter.
    pub size: Length,
    /// Depth of water that may stand over it, where known.
    pub head: Option<Length>,
    /// A strainer or leaf guard stands in it.
    pub strainer: bool,
}

/// An opening through a parapet or an upstand, by which water leaves once every outlet is blocked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Overflow {
    /// Its middle, from the edge's start in walking order.
    pub at: Length,
    /// Clear width.
    pub width: Length,
    /// Clear height.
    pub height: Length,
    /// How far its sill lies above the finished roof beside it; in a box gutter above the sole there.
    pub above: Length,
}

/// One roof of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Roof {
    /// Its name.
    pub name: String,
    /// Path in the job file: `roofs[0]`.
    pub path: SettingPath,
    /// The outline as measured.
    pub outline: Outline,
    /// The name of the edge that the roof falls to.
    pub falls_to: String,
    /// How it falls.
    pub fall: RoofFall,
    /// Rooflights, hatches, chimneys, pipes.
    pub holes: Vec<Hole>,
    /// The joists.
    pub joists: Joists,
    /// What the sizes were measured to.
    pub measured_to: MeasuredTo,
    /// The name of the edge where the crew leaves; `None`: the one that lies furthest up the fall.
    pub way_off: Option<String>,
    /// The deck.
    pub deck: DeckChoice,
    /// The laminate.
    pub laminate: LaminateChoice,
    /// The topcoat.
    pub topcoat: TopcoatChoice,
    /// Wall above that drains onto this roof.
    pub wall_above: Option<Area>,
    /// A pitched roof above that drains onto this one: its plan area and its pitch in degrees.
    pub roof_above: Option<(Area, u32)>,
    /// What the roof is made of from the ceiling to the covering, where heat was asked about.
    pub build_up: Option<BuildUp>,
    /// Outlets in the roof.
    pub outlets: Vec<Outlet>,
    /// What is so on this roof and otherwise on others.
    pub own: RoofOwn,
    /// How far the measured closing point, or second diagonal, missed; spread over the outline.
    pub misclosure: Option<Misclosure>,
}

impl Roof {
    /// Whether another roof is the same but for its name and where it is written.
    pub fn is_twin_of(&self, other: &Roof) -> bool {
        if self.outline.corners != other.outline.corners || self.holes.len() != other.holes.len() {
            return false;
        }
        let mut like = Roof { name: self.name.clone(), path: self.path.clone(), ..other.clone() };
        for (edge, own) in like.outline.edges.iter_mut().zip(&self.outline.edges) {
            edge.path = own.path.clone();
            if let (Some(gutter), Some(own)) = (&mut edge.box_gutter, &own.box_gutter) {
                gutter.path = own.path.clone();
            }
            let details = [&mut edge.gutter].into_iter().flatten().filter_map(|gutter| gutter.detail.as_mut());
            let own = own.gutter.iter().filter_map(|gutter| gutter.detail.as_ref());
            details.zip(own).for_each(|(detail, own)| detail.path = own.path.clone());
        }
        like.holes.iter_mut().zip(&self.holes).for_each(|(hole, own)| hole.path = own.path.clone());
        like.outlets.iter_mut().zip(&self.outlets).for_each(|(outlet, own)| outlet.path = own.path.clone());
        if let (Some(build_up), Some(own)) = (&mut like.build_up, &self.build_up) {
            build_up.path = own.path.clone();
        }
        like == *self
    }

    /// The build-up of a warm roof; `None` for a cold one.
    pub fn warm(&self) -> Option<&BuildUp> {
        self.build_up.as_ref().filter(|b| b.kind == RoofKind::Warm)
    }

    /// The fall that firrings make, and who fixes them; `None` where there are none. They lie under a new deck only.
    pub fn firred(&self) -> Option<(Fall, By)> {
        match self.fall {
            RoofFall::Firred(fall, by) if self.deck.action == DeckAction::New => Some((fall, by)),
            _ => None,
        }
    }

    /// The fall of the firrings that the firm buys and fixes.
    pub fn firred_by_us(&self) -> Option<Fall> {
        self.firred().and_then(|(fall, by)| (by == By::Us).then_some(fall))
    }
}

/// A measured check that did not quite meet, and was spread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misclosure {
    /// What was checked, in words: `the walk`, `the second diagonal`.
    pub check: String,
    /// By how much it missed.
    pub by: Length,
    /// The whole statement for the report: measured, computed, difference and direction.
    pub statement: String,
}
