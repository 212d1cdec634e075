//! A gutter and its outlet in the detail that a flow check needs.
//!
//! Given by the survey or the maker's data sheet; gives sizes in millimetres and a flow in litres per second. Only a
//! half-round gutter has a section that follows from its nominal size: every other shape must be given its own.

use super::units::{Area, Length};
use super::whereabouts::SettingPath;
use rust_decimal::Decimal;

/// A flow of water in litres per second, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct FlowRate(Decimal);

impl FlowRate {
    /// A flow from litres per second.
    pub const fn litres_per_second(l_per_s: Decimal) -> FlowRate {
        FlowRate(l_per_s)
    }

    /// The flow in litres per second.
    pub const fn as_litres_per_second(self) -> Decimal {
        self.0
    }
}

/// The shape of a gutter's section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum GutterShape {
    /// Half a circle: the section follows from the nominal size.
    HalfRound,
    /// Deeper than half a circle, round at the bottom: similar to half-round, with its section given.
    Deep,
    /// Flat bottom, upright sides (a square gutter too).
    Rectangular,
    /// Flat bottom, leaning sides.
    Trapezoidal,
    /// Moulded front: only its maker knows what it carries.
    Ogee,
}

impl GutterShape {
    /// Its word; the plainer one where two words name the same shape.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().rev().find(|(_, shape)| *shape == self).map_or("half-round", |(word, _)| word)
    }

    /// The words of the job file, each with its shape.
    pub const WORDS: [(&'static str, GutterShape); 6] = [
        ("half-round", GutterShape::HalfRound),
        ("deep", GutterShape::Deep),
        ("square", GutterShape::Rectangular),
        ("rectangular", GutterShape::Rectangular),
        ("trapezoidal", GutterShape::Trapezoidal),
        ("ogee", GutterShape::Ogee),
    ];
}

/// Where along the gutter its outlets stand: one of several each in the middle of its part, or the first and the last at the
/// ends and the others between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum OutletPlace {
    /// At one end: the whole flow passes one way.
    #[default]
    End,
    /// In the middle: half of the flow comes from each side.
    Middle,
}

/// An outlet as it is looked at for its flow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutletDetail {
    /// Its diameter at the top.
    pub diameter: Length,
    /// Depth of water over it when the gutter runs full, where known.
    pub head: Option<Length>,
    /// A strainer or leaf guard stands in it.
    pub strainer: bool,
}

/// What is known of the gutter under one drip edge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GutterDetail {
    /// Path in the job file, for problems: `roofs[0].edges.front.gutter`.
    pub path: SettingPath,
    /// Its shape.
    pub shape: GutterShape,
    /// Nominal size: the width at the top.
    pub size: Length,
    /// Cross-section below the spill-over level; needed for every shape but half-round.
    pub area: Option<Area>,
    /// Depth below the spill-over level; half the size where it is half-round and this is not given.
    pub depth: Option<Length>,
    /// Its length; the run of the edge where it is not given.
    pub length: Option<Length>,
    /// Where its outlet stands.
    pub outlet_place: OutletPlace,
    /// How many outlets it has, at equal distances.
    pub outlets: u32,
    /// Its outlet, where known.
    pub outlet: Option<OutletDetail>,
    /// Depth factor F_d of a rectangular or trapezoidal gutter, read off the chart of BS EN 12056-3.
    pub depth_factor: Option<Decimal>,
    /// Shape factor F_s, read off the chart of BS EN 12056-3 (1 for a rectangle).
    pub shape_factor: Option<Decimal>,
    /// What the maker's data sheet says that it carries, level, at design flow; overrides the formula.
    pub stated: Option<FlowRate>,
}

impl GutterDetail {
    /// A gutter of which only shape and nominal size are known: outlet at one end, as long as its edge.
    pub fn plain(path: impl Into<SettingPath>, shape: GutterShape, size: Length) -> GutterDetail {
        GutterDetail {
            path: path.into(),
            shape,
            size,
            area: None,
            depth: None,
            length: None,
            outlet_place: OutletPlace::End,
            outlets: 1,
            outlet: None,
            depth_factor: None,
            shape_factor: None,
            stated: None,
        }
    }
}
