//! A line of the take-off, with its working, and the needs that are bought.
//!
//! Given measured lengths and named rules; gives a quantity that can be followed down to both. Quantities stay
//! unrounded until something is bought whole, and each rounding is a step of its own.

use crate::model::Length;
use rust_decimal::Decimal;
use std::fmt;

/// The unit of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// Metres.
    Metre,
    /// Square metres.
    SquareMetre,
    /// Kilograms.
    Kilogram,
    /// Millilitres.
    Millilitre,
    /// Litres.
    Litre,
    /// Millimetres: depths and heads.
    Millimetre,
    /// Square millimetres: cross-sections.
    SquareMillimetre,
    /// Litres per second: run-off and what a gutter carries.
    LitrePerSecond,
    /// Square metre kelvin per watt: thermal resistance.
    ThermalResistance,
    /// Watt per square metre kelvin: thermal transmittance.
    ThermalTransmittance,
    /// Kilograms on a square metre.
    KilogramPerSquareMetre,
    /// Kilonewtons on a square metre.
    KilonewtonPerSquareMetre,
    /// A bare factor or fraction.
    Factor,
    /// Pieces.
    Each,
    /// Hours of one person.
    Hour,
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Unit::Metre => "m",
            Unit::SquareMetre => "m2",
            Unit::Kilogram => "kg",
            Unit::Millilitre => "ml",
            Unit::Litre => "l",
            Unit::Millimetre => "mm",
            Unit::SquareMillimetre => "mm2",
            Unit::LitrePerSecond => "l/s",
            Unit::ThermalResistance => "m2K/W",
            Unit::ThermalTransmittance => "W/m2K",
            Unit::KilogramPerSquareMetre => "kg/m2",
            Unit::KilonewtonPerSquareMetre => "kN/m2",
            Unit::Factor => "factor",
            Unit::Each => "each",
            Unit::Hour => "h",
        })
    }
}

/// One step of a working. Read in order they lead from measured lengths to the line's quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Something measured on the roof, or counted in the layout.
    Measured {
        /// What: `front run`, `boards in row 3`.
        what: String,
        /// How much.
        value: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A rule of the firm, by its name in the firm file.
    Rule {
        /// `wall_gap`.
        name: &'static str,
        /// `25 mm`.
        value: String,
    },
    /// A formula with its numbers put in: `17.68 m2 × 0.45 kg/m2 × 3`.
    Formula {
        /// The formula, numbers and units included.
        formula: String,
        /// What it comes to.
        result: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A rounding, named.
    Rounded {
        /// `up to whole boards`.
        how: String,
        /// What it comes to.
        result: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A remark: a proof, a limit, a choice.
    Note(String),
}

/// One line of the take-off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Stable id: lower case, dotted (`trim.drip.run`).
    pub id: String,
    /// What it is, in the trade's words.
    pub item: String,
    /// The roof's name; `None` where it is pooled over all roofs. An id is one or the other, never both.
    pub roof: Option<String>,
    /// How much, unrounded, in `unit`.
    pub quantity: Decimal,
    /// The unit.
    pub unit: Unit,
    /// How it was found. The last `Formula` or `Rounded` gives `quantity`.
    pub working: Vec<Step>,
}

/// Something that must be bought: what the order covers. Roles are the price book's words for what the engine asks
/// for; the whole list stands in [`ROLES`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// The role: `trim.drip`, `board.osb3-18`, `mat.450`, `topcoat.dark-grey`.
    pub role: String,
    /// The size asked for, where a role comes in sizes (the stock length of a trim).
    pub size: Option<Length>,
    /// How much, in `unit`.
    pub quantity: Decimal,
    /// The unit: the unit in which packs of this role say what they hold.
    pub unit: Unit,
    /// The ids of the lines that ask for it.
    pub lines: Vec<String>,
    /// Optional: offered on the order, not needed (a spare length).
    pub optional: bool,
}

/// Every role, the unit of its packs' `holds`, and what it is. A name ending in `*` stands for a family.
pub const ROLES: &[(&str, Unit, &str)] = &[
    ("board.*", Unit::Each, "deck boards, by the key of the job file: board.osb3-18"),
    ("insulation.*", Unit::Each, "insulation boards over the deck, by the key of the job file: insulation.pir-120"),
    ("vapour", Unit::SquareMetre, "vapour control layer, square metres of roll"),
    ("trim.drip", Unit::Each, "drip trim, by stock length"),
    ("trim.raised", Unit::Each, "raised edge trim, by stock length"),
    ("trim.wall", Unit::Each, "wall fillet trim, by stock length"),
    ("trim.kerb", Unit::Each, "angle fillet trim, by stock length"),
    ("corner.external", Unit::Each, "preformed external corner for raised edges"),
    ("corner.internal", Unit::Each, "preformed internal corner for raised edges"),
    ("closure.left", Unit::Each, "handed closure, left as seen from the ground facing the drip"),
    ("closure.right", Unit::Each, "handed closure, right as seen from the ground facing the drip"),
    ("bandage.*", Unit::Metre, "bandage by width in mm: bandage.75"),
    ("mat.*", Unit::Metre, "chopped strand mat by weight, metres of roll: mat.450"),
    ("resin", Unit::Kilogram, "laminating resin"),
    ("topcoat.*", Unit::Kilogram, "topcoat by colour: topcoat.dark-grey"),
    ("aggregate.*", Unit::Kilogram, "aggregate against slipping, broadcast into the topcoat: aggregate.fine"),
    ("catalyst", Unit::Millilitre, "catalyst"),
    ("nails.clout", Unit::Each, "galvanised clout nails for trims"),
    ("fixings.overlay", Unit::Each, "screws through a board and the insulation under it into the joists"),
    ("vent.strip", Unit::Metre, "continuous vent for a cold roof"),
    ("fixings.deck", Unit::Each, "ring-shank nails or screws for boards on joists"),
    ("fixings.over-deck", Unit::Each, "screws through a board and the old deck under it into the joists"),
    ("adhesive", Unit::Each, "cartridges of adhesive"),
    ("batten.edge", Unit::Metre, "edge batten"),
    ("timber.noggin", Unit::Metre, "timber for noggins"),
    ("timber.edge", Unit::Metre, "edge timber as high as the insulation over a deck, by its height"),
    ("timber.firring", Unit::Metre, "firrings"),
    ("flashing.lead", Unit::Metre, "lead for the cover flashing"),
    ("flashing.lead-free", Unit::Metre, "lead-free sheet for the cover flashing"),
    ("seal.temporary", Unit::Metre, "temporary seal at the wall"),
    ("collar.pipe", Unit::Each, "collar for a pipe"),
    ("outlet.roof", Unit::Each, "outlet in the roof"),
    ("bracket.gutter", Unit::Each, "gutter brackets"),
    ("acetone", Unit::Litre, "acetone for cleaning"),
    ("sleeve.roller", Unit::Each, "roller sleeves"),
    ("brush", Unit::Each, "brushes"),
    ("bucket", Unit::Each, "mixing buckets"),
    ("cup.catalyst", Unit::Each, "measuring cup for catalyst"),
    ("gloves", Unit::Each, "pairs of gloves"),
    ("sheet.night", Unit::SquareMetre, "sheeting for the night"),
    ("sheet.floor", Unit::SquareMetre, "sheeting for what stands below"),
];
