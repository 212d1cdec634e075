//! Cover flashings: in which bed joint of a wall each is cut in, and how wide a strip reaches from there over the fillet.
//!
//! Given a roof, its shape and the widths that are sold; gives heights above the finished roof and widths, mm. The survey
//! measured up to a joint. Where a wall goes on higher than the rule asks, the flashing is cut in whole courses below that
//! joint, as low as the rule allows. Along a wall that follows the fall it steps down a course wherever one fits.

use super::falls::{height, raised_by};
use super::shape::RoofShape;
use crate::model::{Finish, Flashing, Length, Products, Roof, Rules};

/// How high above the finished roof a flashing is cut in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chase {
    /// Where the roof stands highest along the wall.
    pub at: Length,
    /// Where it stands highest above the roof: at a wall along the fall, just before it steps down a course.
    pub most: Length,
    /// Whether the wall was surveyed; else the first joint above the rule may be anywhere within a course.
    pub surveyed: bool,
    /// How often it steps down a course along a wall that follows the fall, at most: each piece laps the one below it.
    pub steps: i64,
}

impl Chase {
    /// Whether it stands as high all along the wall, but for what nobody sees: 10 mm.
    pub fn is_level(self) -> bool {
        self.surveyed && self.most - self.at <= UNSEEN
    }
}

/// What nobody sees along a wall.
const UNSEEN: Length = Length::mm(10);

/// Where a flashing is cut in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlashedPlace {
    /// Along a side, by its index.
    Side(usize),
    /// Round a chimney, by the index of its hole.
    Hole(usize),
}

/// A cover flashing as it is cut in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WallFlashing {
    /// Where.
    pub place: FlashedPlace,
    /// Of what; never none.
    pub kind: Flashing,
    /// Its chase.
    pub chase: Chase,
    /// The next side, where that is flashed too: round their corner one laps the other.
    pub meets: Option<usize>,
    /// At how many of its ends it is turned into the wall: beside the sill of a door.
    pub turned: i64,
    /// How wide a strip must be: into the chase, down to what it covers, and over that.
    pub width: Length,
    /// The narrowest strip that is sold and is so wide; `None` where none is, or where no width is known.
    pub sold: Option<Length>,
}

impl WallFlashing {
    /// What it is cut in at: the side's label, the chimney's name.
    pub fn name(self, shape: &RoofShape) -> &str {
        match self.place {
            FlashedPlace::Side(i) => &shape.sides[i].label,
            FlashedPlace::Hole(i) => &shape.holes[i].name,
        }
    }
}

/// Every flashing that is cut in at a roof, whoever does it: along its sides, then round its chimneys.
pub fn flashings(roof: &Roof, shape: &RoofShape, rules: &Rules, products: &Products) -> Vec<WallFlashing> {
    // A box gutter's lining goes as far up its parapet as a fillet up a wall.
    let over = rules.mat_return.wall;
    let n = shape.sides.len();
    let flashed = |i: usize| roof.outline.edges.get(i).is_some_and(|edge| edge.flashing.is_some() && edge.is_flashed());
    let has_sill = |i: usize| shape.sides[i].sill.is_some();
    let fitted = |place, kind: Flashing, chase: Chase| {
        let width = rules.chase_depth + (chase.most - over).max(Length::ZERO) + rules.flashing_cover;
        let sold = kind.role().and_then(|role| products.strip_of(&role, width));
        let (meets, turned) = match place {
            FlashedPlace::Side(i) => {
                let beside = [(i + n - 1) % n, (i + 1) % n];
                let turned = beside.into_iter().filter(|other| has_sill(*other) && !flashed(*other)).count();
                (Some(beside[1]).filter(|next| *next != i && flashed(*next)), turned as i64)
            }
            FlashedPlace::Hole(_) => (None, 0),
        };
        WallFlashing { place, kind, chase, meets, turned, width, sold }
    };
    let of_side = |i: usize| {
        let edge = roof.outline.edges.get(i)?;
        let kind = edge.flashing.filter(|_| edge.is_flashed())?;
        Some(fitted(FlashedPlace::Side(i), kind, chase(roof, shape, rules, products, i)))
    };
    let kind = roof.chimney_flashing();
    let chimney = |&i: &usize| shape.holes[i].finish == Finish::Wall && !shape.holes[i].round && kind.is_cut_in();
    let of_hole = |i| fitted(FlashedPlace::Hole(i), kind, unsurveyed(rules, Length::ZERO));
    let sides = (0..shape.sides.len()).filter_map(of_side);
    sides.chain((0..shape.holes.len()).filter(chimney).map(of_hole)).collect()
}

/// The parapets that end against the wall at side `i`, each with its thickness: the flashing goes over their tops.
pub fn parapets_against(shape: &RoofShape, i: usize) -> Vec<(&str, Length)> {
    let n = shape.sides.len();
    let beside = |other: usize, end: usize| {
        let side = &shape.sides[other];
        let wall = side.coped.filter(|w| w.ends[end].is_against_a_wall())?;
        Some((side.label.as_str(), wall.across()))
    };
    [beside((i + n - 1) % n, 1), beside((i + 1) % n, 0)].into_iter().flatten().collect()
}

/// The first joint above the rule at a wall that nobody measured, along which the roof falls by so much: it is within a course.
fn unsurveyed(rules: &Rules, rise: Length) -> Chase {
    let (at, course) = (rules.least_upstand, rules.brick_course);
    Chase { at, most: at + course, surveyed: false, steps: courses_in(rise, rise, course) }
}

/// How many whole courses reach over so much of a rise; none where nobody sees it.
fn courses_in(over: Length, rise: Length, course: Length) -> i64 {
    if rise <= UNSEEN || over <= Length::ZERO || course <= Length::ZERO { 0 } else { over.pieces_of(course) }
}

/// The chase along a side.
fn chase(roof: &Roof, shape: &RoofShape, rules: &Rules, products: &Products, i: usize) -> Chase {
    let (side, board) = (&shape.sides[i], roof.deck.board.as_ref().and_then(|key| products.boards.get(key)));
    let rise = height(shape, roof, side.from) - height(shape, roof, side.to);
    let rise = rise.max(-rise);
    let Some(surveyed) = roof.outline.edges[i].upstand else { return unsurveyed(rules, rise) };
    let (firring, thickness, above) = raised_by(shape, roof, rules, board, (side.from, side.to));
    let left = surveyed - firring - thickness - above;
    let least = rules.least_upstand.max(rules.mat_return.wall);
    let at = first_joint(left, least, rules.brick_course);
    let (low, stepped) = (at + rise, (least + rules.brick_course).max(at));
    let steps = courses_in(low - stepped, rise, rules.brick_course);
    Chase { at, most: low.min(stepped), surveyed: true, steps }
}

/// The lowest joint that stands no lower than `least`, in whole courses below one at `left`, mm above the roof; `left` itself
/// where that is lower.
fn first_joint(left: Length, least: Length, course: Length) -> Length {
    let (spare, each) = ((left - least).as_mm(), course.as_mm());
    if spare <= 0 || each <= 0 { left } else { left - Length::mm(spare / each * each) }
}
