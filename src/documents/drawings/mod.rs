//! The drawings: plans, sections, corners and the day chart, as vector scenes made from the layout.
//!
//! Given placed pieces and rules; gives scenes that fit a space on paper. A plan is true to its stated scale, and nothing is
//! ever cut off: a drawing that does not fit is drawn again at the next smaller scale.

pub mod corners;
pub mod day_chart;
pub mod deck_plan;
pub mod drawing;
pub mod firrings;
pub mod insulation_plan;
pub mod labels;
pub mod lines;
pub mod mat_plan;
pub mod patch_plan;
pub mod plan_scale;
pub mod roof_plan;
pub mod sections;
pub mod trim_plan;

/// The smallest size of letters in a drawing, pt: capitals 1.8 mm high, the least of ISO 3098-1 (from memory), which are
/// 0.714 of the size in the bundled face.
pub const LEAST_SIZE: f64 = 7.2;

/// The most that a drawing may take on paper, pt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Space {
    /// Width, pt.
    pub width: f64,
    /// Height, pt.
    pub height: f64,
}

impl Space {
    /// The width of a page's text, and a height that leaves room for words.
    pub const HALF_PAGE: Space = Space { width: 470.0, height: 340.0 };
    /// One of several plans.
    pub const THIRD_PAGE: Space = Space { width: 470.0, height: 250.0 };
    /// One of many plans.
    pub const QUARTER_PAGE: Space = Space { width: 470.0, height: 190.0 };
    /// A page nearly to itself.
    pub const PAGE: Space = Space { width: 470.0, height: 560.0 };

    /// What the plan of one roof among so many takes on the crew's sheets, its list of so many rows beside it where that is
    /// short.
    pub const fn with_list(roofs: usize, rows: usize) -> Space {
        match (roofs, rows) {
            (0..=2, 0..=12) => Space { width: 318.0, height: 230.0 },
            (0..=2, 13..=20) => Space { width: 318.0, height: 300.0 },
            (0..=2, _) => Space::HALF_PAGE,
            (_, 0..=20) => Space { width: 318.0, height: 168.0 },
            _ => Space::QUARTER_PAGE,
        }
    }
}
