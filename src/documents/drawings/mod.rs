//! The drawings: plans, sections, corners and the day chart, as vector scenes made from the layout.
//!
//! Given placed pieces and rules; gives scenes that fit a space on paper. A plan is true to its stated scale, and nothing is
//! ever cut off: a drawing that does not fit is drawn again at the next smaller scale. No label stands on another, on a line
//! that can be seen or on anything dark: what is written over thin lines has a ground that hides them.

pub mod corners;
pub mod day_chart;
pub mod deck_plan;
pub mod dimensions;
pub mod drawing;
pub mod firrings;
pub mod insulation_plan;
pub mod labels;
pub mod lines;
pub mod mat_plan;
pub mod money_bar;
pub mod one_key;
pub mod patch_plan;
pub mod peeled;
pub mod plan_scale;
pub mod roof_plan;
pub mod sections;
pub mod several;
mod squares;
pub mod trim_plan;

use self::one_key::PlanKey;
use crate::pages::block::Figure;

/// The smallest size of letters in a drawing, pt: capitals 1.8 mm high, the least of ISO 3098-1 (from memory), which are
/// 0.714 of the size in the bundled face.
pub const LEAST_SIZE: f64 = 7.2;
/// The size of numbers, letters and short labels, which is smaller only where a piece has no room for it, pt.
pub const LABEL_SIZE: f64 = 8.0;

/// The most that a drawing may take on paper, pt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Space {
    /// Width, pt.
    pub width: f64,
    /// Height, pt.
    pub height: f64,
    /// A plan is drawn at 1 to this or smaller: that of the other plans of its kind.
    pub from: f64,
    /// It is drawn at that scale or, where it does not fit, not at all.
    pub at_that_alone: bool,
    /// What stands in the key under it.
    pub key: PlanKey,
    /// What a roof measures at least, its lesser way, in a plan at the scale of the others, pt; one that would be smaller has a
    /// larger scale.
    pub least: f64,
    /// What one that has a larger scale measures its lesser way at that, if it can, pt.
    pub legible: f64,
    /// Edges are named and measured alone; what stands at them is told by their lines, and in one key for all such plans.
    pub sizes_alone: bool,
}

/// Room for the words over and under a roof, and for the numbers of two corners beside them, one over the other, pt.
const NOT_TINY: f64 = 27.0;
const NUMBERED: f64 = 34.0;

/// What a roof measures, its lesser way, that would be tiny beside others; on the crew's sheets, which stand at arm's length, pt.
const LEGIBLE: f64 = 50.0;
const LEGIBLE_ON_SITE: f64 = 100.0;

/// The largest scale of the plan of a roof alone on the crew's sheets, as 1 to so much.
const LARGEST_ON_SITE: f64 = 10.0;

impl Space {
    /// The width of a page's text, and a height that leaves room for words.
    pub const HALF_PAGE: Space = Space::new(470.0, 340.0);
    /// One of several plans.
    pub const THIRD_PAGE: Space = Space::new(470.0, 250.0);
    /// One of many plans.
    pub const QUARTER_PAGE: Space = Space::new(470.0, 190.0);
    /// A page nearly to itself.
    pub const PAGE: Space = Space::new(470.0, 560.0);

    /// So wide and so high, at any scale.
    pub const fn new(width: f64, height: f64) -> Space {
        Space {
            width,
            height,
            from: 0.0,
            at_that_alone: false,
            key: PlanKey::Own,
            least: NOT_TINY,
            legible: LEGIBLE,
            sizes_alone: false,
        }
    }

    /// One of many plans on the crew's sheets, which stand side by side where two have room.
    pub const SIDE_BY_SIDE: Space = Space::new(262.0, 235.0);

    /// What the plan of one roof among so many takes on the crew's sheets.
    pub const fn on_site(roofs: usize) -> Space {
        let (from, height) = match roofs {
            // However small it is, at a larger scale it is no plainer, and takes the room of what follows.
            0..=1 => (LARGEST_ON_SITE, 330.0),
            2 => (0.0, 290.0),
            3 | 4 => (0.0, 240.0),
            _ => (0.0, 190.0),
        };
        Space { from, legible: LEGIBLE_ON_SITE, ..Space::new(505.0, height) }
    }

    /// The same with the width that a list leaves beside a plan on the crew's sheets.
    pub const fn beside_a_list(self) -> Space {
        Space { width: 335.0, ..self }
    }

    /// The same for plans that number every corner.
    #[must_use]
    pub const fn numbered(self) -> Space {
        Space { least: NUMBERED, ..self }
    }

    /// The same at 1:25 where it is 1:20: as good to read, and it takes a fifth less of the paper.
    #[must_use]
    pub fn close(self) -> Space {
        Space { from: if self.from == 20.0 { 25.0 } else { self.from }, ..self }
    }

    /// The same at no larger scale than some drawings have.
    pub fn like(self, drawn: &[Figure]) -> Space {
        let smallest = drawn.iter().filter_map(|figure| figure.scene.scale).fold(0.0, f64::max);
        Space { from: smallest, ..self }
    }
}
