//! What a person lifts, and through which heights.
//!
//! Given by the order's packs and the way up to the roof; gives plain values and the filter of the guidance, which is no
//! safe limit.

use super::units::Mass;

/// Height of the hands, from the top down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Zone {
    /// Above the shoulder.
    AboveShoulder,
    /// Shoulder to elbow.
    ShoulderToElbow,
    /// Elbow to knuckle.
    ElbowToKnuckle,
    /// Knuckle to the middle of the lower leg.
    KnuckleToLowerLeg,
    /// Below the middle of the lower leg.
    BelowLowerLeg,
}

impl Zone {
    /// Every zone, from the top down: what a pack crosses that is lifted off the ground and handed up.
    pub const ALL: [Zone; 5] = [
        Zone::AboveShoulder,
        Zone::ShoulderToElbow,
        Zone::ElbowToKnuckle,
        Zone::KnuckleToLowerLeg,
        Zone::BelowLowerLeg,
    ];

    /// Its words.
    pub const fn words(self) -> &'static str {
        match self {
            Zone::AboveShoulder => "above the shoulder",
            Zone::ShoulderToElbow => "between shoulder and elbow",
            Zone::ElbowToKnuckle => "between elbow and knuckle",
            Zone::KnuckleToLowerLeg => "between knuckle and mid lower leg",
            Zone::BelowLowerLeg => "below mid lower leg",
        }
    }
}

/// How far from the body the hands are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Close to the body.
    Close,
    /// At arm's length.
    Extended,
}

/// Whose column of the filter is read. The lower one holds for everybody.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FilterColumn {
    /// Men.
    Men,
    /// Women; protects nearly everybody.
    Women,
}

/// The filter for lifting and lowering, kg (HSE leaflet INDG143 rev 4, figures from memory): rows by height from the
/// top down, for men close and at arm's length, for women close and at arm's length.
const FILTER: [[u32; 4]; 5] = [[10, 5, 7, 3], [20, 10, 13, 7], [25, 15, 16, 10], [20, 10, 13, 7], [10, 5, 7, 3]];

/// The filter for one height of the hands.
pub fn filter(zone: Zone, reach: Reach, column: FilterColumn) -> Mass {
    let row = FILTER[Zone::ALL.iter().position(|z| *z == zone).unwrap_or(0)];
    let kg = match (column, reach) {
        (FilterColumn::Men, Reach::Close) => row[0],
        (FilterColumn::Men, Reach::Extended) => row[1],
        (FilterColumn::Women, Reach::Close) => row[2],
        (FilterColumn::Women, Reach::Extended) => row[3],
    };
    Mass::kg(kg.into())
}

/// The filter between elbow and knuckle, close to the body: the most that it ever is.
pub fn close_lift(column: FilterColumn) -> Mass {
    filter(Zone::ElbowToKnuckle, Reach::Close, column)
}

/// How the packs of a job are lifted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lift {
    /// Heights that the hands pass through; empty: all of them.
    pub zones: Vec<Zone>,
    /// How far from the body.
    pub reach: Reach,
    /// Whose column of the filter.
    pub column: FilterColumn,
    /// What the vehicle or the hoist takes at once, where it is said.
    pub payload: Option<Mass>,
}

impl Default for Lift {
    /// Through every height, close to the body, by the column that holds for nearly everybody.
    fn default() -> Lift {
        Lift { zones: Vec::new(), reach: Reach::Close, column: FilterColumn::Women, payload: None }
    }
}

/// A pack as it is handed over: a board, a drum, a roll.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Package {
    /// What it is, in the singular: `deck board`.
    pub what: String,
    /// What one weighs.
    pub mass: Mass,
    /// How many there are.
    pub count: u32,
}
