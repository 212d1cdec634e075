//! Sizes of what can be bought: everything that the layout needs to know of a product, and nothing of its price.
//!
//! Given by the price books (sizes only); gives the standard sizes where no book says otherwise.

use super::build_up::{Conductivity, Thickness};
use super::role::Role;
use super::rules::Rules;
use super::section::Section;
use super::shape::Finish;
use super::units::{Length, Mass};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// How a board's long edges meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoardEdge {
    /// Tongued and grooved: neither turned nor flipped, no noggins along the joint.
    TongueAndGroove,
    /// Square: noggins under the long joints.
    Square,
}

/// A deck board. Sizes are laid cover sizes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// The key of the job file: `osb3-18`.
    pub key: String,
    /// Along the board.
    pub length: Length,
    /// Across the board.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// How the long edges meet.
    pub edge: BoardEdge,
    /// Mass of one board.
    pub mass: Option<Mass>,
}

impl Board {
    /// The mass of one board: the price book's, else its volume × the rule's density.
    pub fn mass_by(&self, rules: &Rules) -> Mass {
        let volume = (self.length * self.width).square_metres() * self.thickness.metres();
        self.mass.unwrap_or(Mass::kg(volume * rules.board_density))
    }
}

/// A trim profile: one per finish and price book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Profile {
    /// The finish it serves.
    pub finish: Finish,
    /// The lengths it is sold in, ascending, each with its price in pence where a book gives one (the cut plan uses
    /// it only to compare lengths).
    pub stock: Vec<Stock>,
    /// Width of the flange that lies on the roof; the mitre allowance where given.
    pub flange: Option<Length>,
}

/// One stock length of a profile.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stock {
    /// Its length.
    pub length: Length,
    /// What one costs, in pence, for comparing lengths only.
    pub pence: Option<u64>,
}

/// An insulation board, by its laid cover size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slab {
    /// The key of the job file: `pir-120`.
    pub key: String,
    /// Along the board.
    pub length: Length,
    /// Across the board.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// Its conductivity, where the book gives the data sheet's.
    pub conductivity: Option<Conductivity>,
}

/// A screw through insulation, as the heat sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screw {
    /// Diameter of its shank.
    pub diameter: Thickness,
    /// Conductivity of its metal.
    pub conductivity: Conductivity,
}

/// A mat on a roll.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MatRoll {
    /// g/m².
    pub weight: u32,
    /// Width of the roll.
    pub width: Length,
    /// Length of a roll, ascending; strips are cut from these.
    pub rolls: Vec<Length>,
}

/// What merchants sell, by size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Products {
    /// Boards by key.
    pub boards: BTreeMap<String, Board>,
    /// Insulation boards by key; none is usual.
    pub insulation: BTreeMap<String, Slab>,
    /// What a unit of each role weighs, kg (a trim by the metre), by its size where it comes in sizes; the heaviest that a
    /// book sells. A role without a mass in any book is not there.
    pub masses: BTreeMap<(Role, Option<Length>), Decimal>,
    /// The longest piece of each role that is sold; a role is not there where an article of it gives no length: it is cut to
    /// any.
    pub longest: BTreeMap<Role, Length>,
    /// The length of which all articles of a role are sold, whole ones to a pack; a role is not there where they differ.
    pub one_length: BTreeMap<Role, Length>,
    /// The lengths in which structural timber of each section is sold, ascending.
    pub sawn: BTreeMap<Section, Vec<Stock>>,
    /// The lengths in which timber for noggins is sold, ascending; `None` where it is cut to any.
    pub noggins: Option<Vec<Stock>>,
    /// The screws through insulation; `None` where a book does not say what they are made of and how thick they are.
    pub overlay_screw: Option<Screw>,
    /// Trim profiles by finish.
    pub profiles: BTreeMap<Finish, Profile>,
    /// Mats by weight.
    pub mats: BTreeMap<u32, MatRoll>,
    /// Lengths of the rolls of bandage by width in mm, ascending; none where it is sold by the metre.
    pub bandages: BTreeMap<u32, Vec<Length>>,
    /// Sheets for the night, the longer side first; the narrowest of each length.
    pub sheets: Vec<(Length, Length)>,
    /// The widths in which strip for flashings is sold, ascending, by its role; empty where the articles of a role do not say.
    pub strips: BTreeMap<Role, Vec<Length>>,
    /// The lengths in which screws are sold that hold in an old deck, ascending.
    pub old_deck_screws: Vec<Length>,
    /// The lengths in which screws through insulation are sold, ascending; empty where the articles do not say.
    pub overlay_screws: Vec<Length>,
    /// How much run a preformed external corner takes off each raised trim that meets it.
    pub corner_external_leg: Length,
    /// The same for an internal corner.
    pub corner_internal_leg: Length,
    /// Whether handed closures for drip–raised are sold.
    pub closures: bool,
    /// Catalyst density, g/ml.
    pub catalyst_density: Decimal,
    /// Colours of topcoat that are sold.
    pub colours: Vec<String>,
}

impl Products {
    /// The lengths in which timber of a section is sold; 3.6 and 4.8 m (common practice, no source) where no book says.
    pub fn sawn_of(&self, section: Section) -> Vec<Stock> {
        let usual = || [3600, 4800].map(|mm| Stock { length: Length::mm(mm), pence: None }).into();
        self.sawn.get(&section).cloned().unwrap_or_else(usual)
    }

    /// The longest piece of this role that is sold; `None` where it is cut to any length.
    pub fn longest_of(&self, role: &Role) -> Option<Length> {
        self.longest.get(role).copied()
    }

    /// The screw that holds the edge of a board so thick in the old deck under it: the longest that is sold and does not come
    /// out below. Where none is sold that holds, it is asked for by the length that would, to 5 mm where that still holds.
    pub fn old_deck_screw(&self, board: Length, rules: &Rules) -> Length {
        let (least, most) = (board + rules.old_deck_bite, board + rules.old_deck);
        let fits = |length: &Length| (least..=most).contains(length);
        let even = Some(Length::mm(most.as_mm() / 5 * 5)).filter(fits).unwrap_or(most);
        self.old_deck_screws.iter().copied().rev().find(fits).unwrap_or(even)
    }

    /// The screw that goes through a warm roof so thick and holds in the timber under it: the shortest that is sold and does,
    /// else the longest, of which `check` tells; `None` where no article says how long it is.
    pub fn overlay_screw_through(&self, thick: Length, rules: &Rules) -> Option<Length> {
        let reaches = |length: &&Length| **length >= thick + rules.timber_bite;
        self.overlay_screws.iter().find(reaches).or(self.overlay_screws.last()).copied()
    }

    /// The narrowest strip of a flashing that is sold and is at least so wide.
    pub fn strip_of(&self, role: &Role, width: Length) -> Option<Length> {
        self.strips.get(role)?.iter().copied().find(|sold| *sold >= width)
    }

    /// The size by which a strip so wide is asked for: the narrowest that is sold, else, where none is wide enough, its own
    /// width to the next 10 mm; `None` where no article says how wide it is.
    pub fn strip_asked(&self, role: &Role, width: Length) -> Option<Length> {
        let sold = self.strips.get(role).is_some_and(|widths| !widths.is_empty());
        let next = Length::mm((width.as_mm() + 9) / 10 * 10);
        sold.then(|| self.strip_of(role, width).unwrap_or(next))
    }

    /// What a unit of this role weighs, kg; of any size where that size has no mass of its own.
    pub fn mass_of(&self, role: &Role, size: Option<Length>) -> Option<Decimal> {
        let any = || self.masses.iter().filter(|((of, _), _)| of == role).map(|(_, kg)| *kg).max();
        self.masses.get(&(role.clone(), size)).copied().or_else(any)
    }
}

/// Widths in which strip for flashings is usually sold, mm: common practice, no source.
const STRIPS: [i64; 6] = [150, 180, 210, 240, 300, 360];

impl Default for Products {
    /// The usual sizes, for a job with no price book at hand: common practice, no source.
    fn default() -> Products {
        let board = |key: &str, length, width, thickness, edge| Board {
            key: key.into(),
            length: Length::mm(length),
            width: Length::mm(width),
            thickness: Length::mm(thickness),
            edge,
            mass: None,
        };
        let profile =
            |finish| Profile { finish, stock: vec![Stock { length: Length::mm(3000), pence: None }], flange: None };
        let mat = |weight| MatRoll { weight, width: Length::mm(1000), rolls: Vec::new() };
        Products {
            boards: [
                board("osb3-18", 2400, 590, 18, BoardEdge::TongueAndGroove),
                board("osb3-18-square", 2440, 1220, 18, BoardEdge::Square),
                board("osb3-11", 2440, 1220, 11, BoardEdge::Square),
            ]
            .map(|b| (b.key.clone(), b))
            .into(),
            insulation: BTreeMap::new(),
            masses: BTreeMap::new(),
            longest: BTreeMap::new(),
            one_length: BTreeMap::new(),
            sawn: BTreeMap::new(),
            noggins: None,
            overlay_screw: None,
            profiles: [Finish::Drip, Finish::Raised, Finish::Wall, Finish::Kerb].map(|f| (f, profile(f))).into(),
            mats: [300, 450, 600].map(|w| (w, mat(w))).into(),
            bandages: BTreeMap::new(),
            sheets: vec![(Length::mm(5000), Length::mm(4000)), (Length::mm(8000), Length::mm(6000))],
            strips: [Role::FlashingLead, Role::FlashingLeadFree].map(|r| (r, STRIPS.map(Length::mm).into())).into(),
            old_deck_screws: Vec::new(),
            overlay_screws: Vec::new(),
            corner_external_leg: Length::ZERO,
            corner_internal_leg: Length::ZERO,
            closures: true,
            catalyst_density: Decimal::new(115, 2),
            colours: Vec::new(),
        }
    }
}
