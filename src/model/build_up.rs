//! What the roof is made of from the ceiling to the covering, for heat, condensation and weight.
//!
//! Given by the survey and the data sheets; gives layers with thickness and conductivity. Thickness is an exact
//! decimal here, unlike every length on plan, because plasterboard is 12.5 mm thick.

use super::units::Length;
use super::whereabouts::SettingPath;
use rust_decimal::{Decimal, RoundingStrategy};

/// A layer's thickness in millimetres, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Thickness(Decimal);

impl Thickness {
    /// A thickness from millimetres.
    pub const fn mm(mm: Decimal) -> Thickness {
        Thickness(mm)
    }

    /// The thickness in millimetres.
    pub const fn as_mm(self) -> Decimal {
        self.0
    }

    /// The thickness in metres, exactly.
    pub fn metres(self) -> Decimal {
        self.0 * Decimal::new(1, 3)
    }
}

impl From<Length> for Thickness {
    fn from(length: Length) -> Thickness {
        Thickness(length.as_mm().into())
    }
}

/// A thermal conductivity (λ) in W/mK, exact and above nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Conductivity(Decimal);

impl Conductivity {
    /// OSB, plywood and softwood (EN ISO 10456, from memory).
    pub const TIMBER: Conductivity = Conductivity(Decimal::from_parts(13, 0, 0, false, 2));
    /// Glass-fibre laminate; published figures run from 0.20 to 0.40 (handbooks, from memory).
    pub const LAMINATE: Conductivity = Conductivity(Decimal::from_parts(25, 0, 0, false, 2));

    /// A conductivity from W/mK; `None` unless it is above nothing.
    pub fn new(w_per_mk: Decimal) -> Option<Conductivity> {
        (w_per_mk > Decimal::ZERO).then_some(Conductivity(w_per_mk))
    }

    /// The conductivity in W/mK.
    pub const fn as_w_per_mk(self) -> Decimal {
        self.0
    }
}

/// A flat layer of one material.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MaterialLayer {
    /// What it is: `plasterboard`.
    pub name: String,
    /// How thick.
    pub thickness: Thickness,
    /// How well it conducts heat.
    pub conductivity: Conductivity,
}

/// Joists as the heat sees them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JoistDetail {
    /// Breadth of one joist.
    pub breadth: Length,
    /// Depth of one joist.
    pub depth: Length,
    /// Share of the ceiling that is timber; breadth ÷ spacing where it is not given.
    pub fraction: Option<Decimal>,
    /// Conductivity of the timber.
    pub conductivity: Conductivity,
    /// Insulation between them, no thicker than they are deep.
    pub between: Option<MaterialLayer>,
}

/// An insulation board laid over the deck. Sizes are laid cover sizes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InsulationBoard {
    /// The key of the price book: `pir-120`.
    pub key: String,
    /// What it is, its thickness and conductivity.
    pub sheet: MaterialLayer,
    /// Along the board.
    pub length: Length,
    /// Across the board.
    pub width: Length,
    /// Mass of a cubic metre in kg, from the data sheet.
    pub density: Option<Decimal>,
}

/// The vapour control layer on the warm side of the insulation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VapourLayer {
    /// Width of the roll.
    pub roll_width: Length,
    /// Length of the roll.
    pub roll_length: Length,
}

/// Where the insulation lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RoofKind {
    /// Above the deck; the void below is closed.
    Warm,
    /// Between the joists; the void above it is ventilated.
    Cold,
}

/// What the work counts as under the Building Regulations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThermalWork {
    /// A new roof on an existing dwelling: an extension.
    NewElement,
    /// An existing roof that is renovated.
    Renovated,
}

/// A thermal transmittance (U-value) in W/m²K, not rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Transmittance(Decimal);

impl Transmittance {
    /// From W/m²K.
    pub const fn new(w_per_m2k: Decimal) -> Transmittance {
        Transmittance(w_per_m2k)
    }

    /// In W/m²K, unrounded.
    pub const fn as_w_per_m2k(self) -> Decimal {
        self.0
    }

    /// As it is reported: two significant figures, which is two decimals below 1 (EN ISO 6946, from memory); halves
    /// up.
    pub fn reported(self) -> Decimal {
        let places = if self.0 < Decimal::ONE { 2 } else { 1 };
        self.0.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
    }
}

/// An existing roof and how much of it is renovated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Existing {
    /// Its U-value now.
    pub transmittance: Transmittance,
    /// Share of the roof that is renovated, %.
    pub of_roof: Decimal,
    /// Share of the whole envelope that is renovated, %, where known.
    pub of_envelope: Option<Decimal>,
}

/// Everything from the ceiling to the covering.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildUp {
    /// Path in the job file, for problems: `roofs[0].build_up`.
    pub path: SettingPath,
    /// Warm or cold.
    pub kind: RoofKind,
    /// What the work counts as.
    pub work: ThermalWork,
    /// Ceiling layers, from the room upwards.
    pub ceiling: Vec<MaterialLayer>,
    /// The joists.
    pub joists: JoistDetail,
    /// The deck on the joists.
    pub deck: MaterialLayer,
    /// The vapour layer.
    pub vapour: Option<VapourLayer>,
    /// Insulation above the deck.
    pub insulation: Option<InsulationBoard>,
    /// The board over the insulation that carries the laminate.
    pub overlay: Option<MaterialLayer>,
    /// The laminate.
    pub covering: MaterialLayer,
    /// Cold roof: clear height over the insulation.
    pub void: Option<Length>,
    /// Cold roof: continuous gap at each of two opposite sides.
    pub vent_gap: Option<Length>,
    /// The roof as it is now, where its U-value is known.
    pub existing: Option<Existing>,
}
