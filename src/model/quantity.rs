//! The units in which quantities are counted, measured and ordered.
//!
//! Given nothing; gives a name for each unit as the take-off, the price book and the documents write it.

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
