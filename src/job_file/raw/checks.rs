//! What the job file says for the checks of water, heat, lifting and fire: every key, none of the meaning.

use super::job::RawWallAbove;
use crate::checks::rainwater;
use crate::job_file::read::places::Kind;
use crate::job_file::read::reading::{At, FromFile, List, Slot, Word, Wrong, settings, wrong};
use crate::job_file::read::scalars::{Percent, Text, YesNo, choose, number, with_unit};
use crate::model::build_up::{Conductivity, RoofKind, ThermalWork, Thickness, Transmittance};
use crate::model::fire::RoofClass;
use crate::model::gutter::{Flow, GutterShape, OutletPlace};
use crate::model::lift::{Column, Reach, Zone};
use crate::model::shape::Gutter;
use crate::model::{Area, Length, Mass};
use rust_decimal::Decimal;

/// A gutter: shape and size in one line, or its settings one by one.
#[derive(Debug, Clone)]
pub enum RawGutter {
    /// `half-round 112 mm`.
    Short(Gutter),
    /// `{shape: half-round, size: 112 mm, …}`.
    Long(Box<RawGutterDetail>),
}

impl FromFile for RawGutter {
    fn read(at: At<'_>) -> Slot<RawGutter> {
        let read = match at.kind() {
            Kind::Group => RawGutterDetail::read(at).take().map(|detail| RawGutter::Long(Box::new(detail))),
            _ => Gutter::read(at).take().map(RawGutter::Short),
        };
        read.map_or(Slot::Bad, Slot::Given)
    }
}

settings! {
    /// A gutter with all that its check can use.
    pub struct RawGutterDetail = "`gutter`" {
        shape: GutterShape, needed "half-round";
        size: Length, needed "112 mm";
        area: Area;
        depth: Length;
        length: Length;
        outlet: RawGutterOutlet;
        depth_factor: Decimal;
        shape_factor: Decimal;
        carries: Flow;
    }
}

settings! {
    /// The outlet of a gutter.
    pub struct RawGutterOutlet = "`outlet`" {
        at: OutletPlace;
        size: Length;
        head: Length;
        strainer: YesNo;
    }
}

settings! {
    /// A pitched roof that drains onto this one.
    pub struct RawRoofAbove = "`roof_above`" {
        area: Area, needed "12.0 m2";
        pitch: Pitch, needed "35°";
    }
}

settings! {
    /// What the roof is made of from the ceiling to the covering.
    pub struct RawBuildUp = "`build_up`" {
        kind: RoofKind, needed "warm";
        work: ThermalWork, needed "renovated";
        ceiling: List<RawSheet>;
        joists: RawJoistDetail, needed "{breadth: 47 mm, depth: 150 mm}";
        deck: RawSheet;
        vapour: RawVapour;
        insulation: RawInsulation;
        overlay: Text;
        void: Length;
        vent_gap: Length;
        existing: RawExisting;
    }
}

settings! {
    /// The roof as it is now, and how much of it is renovated.
    pub struct RawExisting = "`existing`" {
        u_value: Transmittance, needed "0.8 W/m2K";
        of_roof: Percent;
        of_envelope: Percent;
    }
}

settings! {
    /// A flat layer of one material.
    pub struct RawSheet = "a layer" {
        name: Text, needed "plasterboard";
        thickness: Thickness, needed "12.5 mm";
        lambda: Conductivity, needed "0.21 W/mK";
    }
}

settings! {
    /// Joists as the heat sees them.
    pub struct RawJoistDetail = "`joists`" {
        breadth: Length, needed "47 mm";
        depth: Length, needed "150 mm";
        fraction: Decimal;
        lambda: Conductivity;
        between: RawSheet;
    }
}

settings! {
    /// An insulation board; what is left out is taken from the price book.
    pub struct RawInsulation = "`insulation`" {
        board: Text, needed "pir-120";
        name: Text;
        thickness: Length;
        lambda: Conductivity;
        length: Length;
        width: Length;
        density: SolidDensity;
    }
}

settings! {
    /// The roll of the vapour layer.
    pub struct RawVapour = "`vapour`" {
        roll_width: Length, needed "2 m";
        roll_length: Length, needed "25 m";
    }
}

settings! {
    /// How packs are lifted.
    pub struct RawLift = "`lift`" {
        zones: List<Zone>;
        reach: Reach;
        column: Column;
        payload: Mass;
    }
}

/// The face of the wall above a roof.
pub fn wall_above(raw: Slot<RawWallAbove>) -> Option<Area> {
    raw.take().and_then(|w| w.area.take())
}

impl Word for GutterShape {
    const WHAT: &'static str = "a shape of gutter";
    fn parse(text: &str) -> Result<GutterShape, Wrong> {
        let short: String = text.chars().take(40).collect();
        rainwater::shape_of(&short, "").map_err(|p| Wrong { fault: p.fault, cure: p.cure })
    }
}

impl Word for OutletPlace {
    const WHAT: &'static str = "a place for an outlet";
    fn parse(text: &str) -> Result<OutletPlace, Wrong> {
        choose(text, OutletPlace::WHAT, &[("end", OutletPlace::End), ("middle", OutletPlace::Middle)])
    }
}

impl Word for RoofKind {
    const WHAT: &'static str = "a kind of roof";
    fn parse(text: &str) -> Result<RoofKind, Wrong> {
        choose(text, RoofKind::WHAT, &[("warm", RoofKind::Warm), ("cold", RoofKind::Cold)])
    }
}

impl Word for ThermalWork {
    const WHAT: &'static str = "what the work counts as";
    fn parse(text: &str) -> Result<ThermalWork, Wrong> {
        choose(text, ThermalWork::WHAT, &[("new", ThermalWork::NewElement), ("renovated", ThermalWork::Renovated)])
    }
}

impl Word for RoofClass {
    const WHAT: &'static str = "a class of roof in fire";
    fn parse(text: &str) -> Result<RoofClass, Wrong> {
        let all = ["B", "C", "D", "E", "F"].into_iter().zip(RoofClass::ALL);
        let bare = text.strip_suffix("ROOF(t4)").unwrap_or(text);
        choose(bare, RoofClass::WHAT, &all.collect::<Vec<_>>())
    }
}

impl Word for Zone {
    const WHAT: &'static str = "a height of the hands";
    fn parse(text: &str) -> Result<Zone, Wrong> {
        let words =
            ["above shoulder", "shoulder to elbow", "elbow to knuckle", "knuckle to lower leg", "below lower leg"];
        choose(text, Zone::WHAT, &words.into_iter().zip(Zone::ALL).collect::<Vec<_>>())
    }
}

impl Word for Reach {
    const WHAT: &'static str = "how far from the body the hands are";
    fn parse(text: &str) -> Result<Reach, Wrong> {
        choose(text, Reach::WHAT, &[("close", Reach::Close), ("extended", Reach::Extended)])
    }
}

impl Word for Column {
    const WHAT: &'static str = "a column of the filter";
    fn parse(text: &str) -> Result<Column, Wrong> {
        choose(text, Column::WHAT, &[("men", Column::Men), ("women", Column::Women)])
    }
}

/// A pitch in whole degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pitch(pub u32);

impl Word for Pitch {
    const WHAT: &'static str = "a pitch";
    fn parse(text: &str) -> Result<Pitch, Wrong> {
        let (digits, unit) = with_unit(text);
        let degrees = digits.parse::<u32>().ok().filter(|d| *d <= 90);
        match (degrees, unit) {
            (Some(degrees), "" | "°" | "degrees") => Ok(Pitch(degrees)),
            _ => wrong(format!("`{}` is not a pitch", shortened(text)), "write whole degrees, such as `35°`"),
        }
    }
}

/// The mass of a cubic metre, kg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SolidDensity(pub Decimal);

impl Word for SolidDensity {
    const WHAT: &'static str = "a density";
    fn parse(text: &str) -> Result<SolidDensity, Wrong> {
        match positive(text, &["kg/m3", "kg/m³"], Decimal::from(5000)) {
            Some(v) => Ok(SolidDensity(v)),
            None => wrong(
                format!("`{}` is not the density of a board", shortened(text)),
                "write it from the data sheet in kg/m3, such as `32 kg/m3`",
            ),
        }
    }
}

impl Word for Flow {
    const WHAT: &'static str = "a flow";
    fn parse(text: &str) -> Result<Flow, Wrong> {
        match positive(text, &["l/s"], Decimal::ONE_HUNDRED) {
            Some(v) => Ok(Flow::litres_per_second(v)),
            None => wrong(
                format!("`{}` is not what a gutter carries", shortened(text)),
                "write litres per second from the maker's data sheet, such as `1.1 l/s`",
            ),
        }
    }
}

impl Word for Thickness {
    const WHAT: &'static str = "a thickness";
    fn parse(text: &str) -> Result<Thickness, Wrong> {
        match positive(text, &["mm"], Decimal::from(2000)) {
            Some(v) => Ok(Thickness::mm(v)),
            None => wrong(
                format!("`{}` is not the thickness of a layer", shortened(text)),
                "write it in mm, such as `12.5 mm`",
            ),
        }
    }
}

impl Word for Transmittance {
    const WHAT: &'static str = "a U-value";
    fn parse(text: &str) -> Result<Transmittance, Wrong> {
        let bare = number(text).ok().filter(|v| *v > Decimal::ZERO);
        match bare.or_else(|| positive(text, &["W/m2K", "W/m²K"], Decimal::TEN)).filter(|v| *v <= Decimal::TEN) {
            Some(u) => Ok(Transmittance::new(u)),
            None => wrong(
                format!("`{}` is not the U-value of a roof", shortened(text)),
                "write it in W/m2K, above nothing, such as `0.8 W/m2K`; about 2 for boards without insulation",
            ),
        }
    }
}

impl Word for Conductivity {
    const WHAT: &'static str = "a conductivity";
    fn parse(text: &str) -> Result<Conductivity, Wrong> {
        let bare = number(text).is_ok();
        let value = if bare { number(text).ok() } else { positive(text, &["W/mK"], Decimal::ONE_HUNDRED) };
        match value.filter(|v| *v <= Decimal::ONE_HUNDRED).and_then(Conductivity::new) {
            Some(lambda) => Ok(lambda),
            None => wrong(
                format!("`{}` is not a thermal conductivity", shortened(text)),
                "write the data sheet's lambda in W/mK, above nothing, such as `0.022 W/mK`",
            ),
        }
    }
}

/// A number above nothing and up to `most`, with one of these units.
fn positive(text: &str, units: &[&str], most: Decimal) -> Option<Decimal> {
    let (digits, unit) = with_unit(text);
    let value = number(digits).ok()?;
    (units.contains(&unit) && value > Decimal::ZERO && value <= most).then_some(value)
}

fn shortened(text: &str) -> String {
    text.chars().take(40).collect()
}
