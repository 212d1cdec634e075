//! What the job file says for the checks of water, heat, lifting and fire: every key, none of the meaning.

use crate::checks::rainwater;
use crate::job_file::read::amount::{Limited, SquareMm, amounts};
use crate::job_file::read::form::{Form, Formed, Writing};
use crate::job_file::read::places::YamlKind;
use crate::job_file::read::reading::{At, FromFile, List, Slot, Word, Wrong, wrong};
use crate::job_file::read::scalars::{Percent, PrintedText, YesNo, choice, choose, number, with_unit};
use crate::job_file::read::settings::settings;
use crate::model::build_up::{Conductivity, RoofKind, ThermalWork, Thickness, Transmittance};
use crate::model::fire::RoofClass;
use crate::model::gutter::{FlowRate, GutterShape, OutletPlace};
use crate::model::lift::{FilterColumn, Reach, Zone};
use crate::model::shape::Gutter;
use crate::model::{Area, Length, Mass, SettingPath, limits};
use rust_decimal::Decimal;

/// A gutter: shape and size in one line, or its settings one by one.
#[derive(Debug, Clone)]
pub(crate) enum RawGutter {
    /// `half-round 112 mm`.
    Short(Box<Gutter>),
    /// `{shape: half-round, size: 112 mm, …}`.
    Long(Box<RawGutterDetail>),
}

impl FromFile for RawGutter {
    fn read(at: At<'_>) -> Slot<RawGutter> {
        let read = match at.kind() {
            YamlKind::Group => RawGutterDetail::read(at).take().map(|detail| RawGutter::Long(Box::new(detail))),
            _ => Gutter::read_within(&limits::GUTTER, at).take().map(|gutter| RawGutter::Short(Box::new(gutter))),
        };
        read.map_or(Slot::Bad, Slot::Given)
    }
}

impl Formed for RawGutter {
    fn form() -> Form {
        Form::Either(vec![Gutter::form(), RawGutterDetail::form()])
    }
}

settings! {
    /// A gutter with all that its check can use.
    pub(crate) struct RawGutterDetail = "`gutter`" {
        shape: GutterShape, needed "half-round";
        size: Length, needed "112 mm", within GUTTER;
        area: SquareMm, within GUTTER_AREA;
        depth: Length, within GUTTER_DEPTH;
        length: Length, within GUTTER_LENGTH;
        outlet: RawGutterOutlet;
        depth_factor: Decimal, within GUTTER_FACTOR;
        shape_factor: Decimal, within GUTTER_FACTOR;
        carries: FlowRate, within GUTTER_FLOW;
    }
}

settings! {
    /// The outlet of a gutter.
    pub(crate) struct RawGutterOutlet = "`outlet`" {
        at: OutletPlace;
        count: u32, within GUTTER_OUTLETS;
        size: Length, within OUTLET;
        head: Length, within HEAD;
        strainer: YesNo;
    }
}

settings! {
    /// A pitched roof that drains onto this one.
    pub(crate) struct RawRoofAbove = "`roof_above`" {
        area: Area, needed "12.0 m2", within WALL_ABOVE;
        pitch: RoofPitch, needed "35°";
    }
}

settings! {
    /// What the roof is made of from the ceiling to the covering.
    pub(crate) struct RawBuildUp = "`build_up`" {
        kind: RoofKind, needed "warm";
        work: ThermalWork, needed "renovated";
        ceiling: List<RawSheet>;
        joists: RawJoistDetail, needed "{breadth: 47 mm, depth: 150 mm}";
        deck: RawSheet;
        vapour: RawVapour;
        insulation: RawInsulation;
        overlay: PrintedText;
        void: Length, within VOID;
        vent_gap: Length, within VENT_GAP;
        existing: RawExisting;
    }
}

settings! {
    /// The roof as it is now, and how much of it is renovated.
    pub(crate) struct RawExisting = "`existing`" {
        u_value: Transmittance, needed "0.8 W/m2K", within U_VALUE;
        of_roof: Percent, within SHARE;
        of_envelope: Percent, within SHARE;
    }
}

settings! {
    /// A flat layer of one material.
    pub(crate) struct RawSheet = "a layer" {
        name: PrintedText, needed "plasterboard";
        thickness: Thickness, needed "12.5 mm", within LAYER;
        lambda: Conductivity, needed "0.21 W/mK", within LAMBDA;
    }
}

settings! {
    /// Joists as the heat sees them.
    pub(crate) struct RawJoistDetail = "`joists`" {
        breadth: Length, needed "47 mm", within JOIST_BREADTH;
        depth: Length, needed "150 mm", within JOIST_DEPTH;
        fraction: Decimal, within JOIST_SHARE;
        lambda: Conductivity, within LAMBDA;
        between: RawSheet;
    }
}

settings! {
    /// An insulation board; what is left out is taken from the price book.
    pub(crate) struct RawInsulation = "`insulation`" {
        board: PrintedText, needed "pir-120";
        name: PrintedText;
        thickness: Length, within INSULATION;
        lambda: Conductivity, within LAMBDA;
        length: Length, within SLAB_LENGTH;
        width: Length, within SLAB_WIDTH;
        density: SolidDensity, within DENSITY;
    }
}

settings! {
    /// The roll of the vapour layer.
    pub(crate) struct RawVapour = "`vapour`" {
        roll_width: Length, needed "2 m", within ROLL_WIDTH;
        roll_length: Length, needed "25 m", within ROLL_LENGTH;
    }
}

settings! {
    /// How packs are lifted.
    pub(crate) struct RawLift = "`lift`" {
        zones: List<Zone>;
        reach: Reach;
        column: FilterColumn;
        payload: Mass, within PAYLOAD;
    }
}

settings! {
    /// Wall that drains onto the roof.
    pub(crate) struct RawWallAbove = "`wall_above`" {
        area: Area, needed "15.6 m2", within WALL_ABOVE;
    }
}

/// The face of the wall above a roof.
pub(crate) fn wall_above(raw: Slot<RawWallAbove>) -> Option<Area> {
    raw.take().and_then(|w| w.area.take())
}

impl Word for GutterShape {
    const WHAT: &'static str = "a shape of gutter";
    fn parse(text: &str) -> Result<GutterShape, Wrong> {
        let short: String = text.chars().take(40).collect();
        rainwater::shape_of(&short, &SettingPath::default()).map_err(|p| Wrong { fault: p.fault, cure: p.cure })
    }

    fn writing() -> Writing {
        Writing::Words(GutterShape::WORDS.map(|(word, _)| word).to_vec())
    }
}

choice! {
    OutletPlace = "a place for an outlet" { "end" => OutletPlace::End, "middle" => OutletPlace::Middle }
    RoofKind = "a kind of roof" { "warm" => RoofKind::Warm, "cold" => RoofKind::Cold }
    ThermalWork = "what the work counts as" { "new" => ThermalWork::NewElement, "renovated" => ThermalWork::Renovated }
    Reach = "how far from the body the hands are" { "close" => Reach::Close, "extended" => Reach::Extended }
    FilterColumn = "a column of the filter" { "men" => FilterColumn::Men, "women" => FilterColumn::Women }
}

/// The classes of a roof in fire, as they are written.
const ROOF_CLASSES: [&str; 5] = ["B", "C", "D", "E", "F"];

impl Word for RoofClass {
    const WHAT: &'static str = "a class of roof in fire";
    fn parse(text: &str) -> Result<RoofClass, Wrong> {
        let all = ROOF_CLASSES.into_iter().zip(RoofClass::ALL);
        let bare = text.strip_suffix("ROOF(t4)").unwrap_or(text);
        choose(bare, RoofClass::WHAT, &all.collect::<Vec<_>>())
    }

    fn writing() -> Writing {
        Writing::Either(vec![
            Writing::Words(ROOF_CLASSES.to_vec()),
            Writing::Pattern("[B-F]ROOF\\(t4\\)".to_owned(), "BROOF(t4)"),
        ])
    }
}

/// The heights of the hands, from the top.
const ZONES: [&str; 5] =
    ["above shoulder", "shoulder to elbow", "elbow to knuckle", "knuckle to lower leg", "below lower leg"];

impl Word for Zone {
    const WHAT: &'static str = "a height of the hands";
    fn parse(text: &str) -> Result<Zone, Wrong> {
        choose(text, Zone::WHAT, &ZONES.into_iter().zip(Zone::ALL).collect::<Vec<_>>())
    }

    fn writing() -> Writing {
        Writing::Words(ZONES.to_vec())
    }
}

/// A pitch in whole degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct RoofPitch(pub u32);

impl Word for RoofPitch {
    const WHAT: &'static str = "a pitch";
    fn parse(text: &str) -> Result<RoofPitch, Wrong> {
        let (digits, unit) = with_unit(text);
        let degrees = digits.parse::<u32>().ok().filter(|d| *d <= 90);
        match (degrees, unit) {
            (Some(degrees), "" | "°" | "degrees") => Ok(RoofPitch(degrees)),
            _ => wrong(format!("`{}` is not a pitch", shortened(text)), "write whole degrees, such as `35°`"),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["°", "degrees", ""])
    }
}

/// The mass of a cubic metre, kg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SolidDensity(pub Decimal);

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

    fn writing() -> Writing {
        Writing::number(&["kg/m3", "kg/m³"])
    }
}

impl Word for FlowRate {
    const WHAT: &'static str = "a flow";
    fn parse(text: &str) -> Result<FlowRate, Wrong> {
        match positive(text, &["l/s"], Decimal::ONE_HUNDRED) {
            Some(v) => Ok(FlowRate::litres_per_second(v)),
            None => wrong(
                format!("`{}` is not what a gutter carries", shortened(text)),
                "write litres per second from the maker's data sheet, such as `1.1 l/s`",
            ),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["l/s"])
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

    fn writing() -> Writing {
        Writing::number(&["mm"])
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

    fn writing() -> Writing {
        Writing::number(&["W/m2K", "W/m²K", ""])
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

    fn writing() -> Writing {
        Writing::number(&["W/mK", ""])
    }
}

amounts! {
    SolidDensity: d => d.0;
    FlowRate: f => f.as_litres_per_second();
    Thickness: t => t.as_mm();
    Transmittance: u => u.as_w_per_m2k();
    Conductivity: l => l.as_w_per_mk();
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
