//! Go or no go: whether the laminate may be laid in the stated weather.
//!
//! Given temperatures, humidity, moisture and the hours until rain; gives one check a rule, each with its limit and its
//! reason, and the answer. The stricter rule wins: 85 % humidity alone would pass where the dew point already stops.

use crate::model::job::Conditions;
use crate::model::{Range, Rules};
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};
use rust_decimal::{Decimal, RoundingStrategy};

/// What a check comes to, from best to worst; the answer for the day is the worst of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum WeatherVerdict {
    /// Within the limit.
    Go,
    /// Allowed, with care.
    Care,
    /// Not stated, or not possible: measure it first.
    #[default]
    NotKnown,
    /// Outside the limit: do not lay.
    Stop,
}

impl WeatherVerdict {
    /// One word for the sheet.
    pub const fn word(self) -> &'static str {
        match self {
            WeatherVerdict::Go => "go",
            WeatherVerdict::Care => "go with care",
            WeatherVerdict::NotKnown => "measure first",
            WeatherVerdict::Stop => "stop",
        }
    }
}

/// One rule held against the stated weather.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// What is measured.
    pub measured: WeatherReading,
    /// What was stated, with its unit: `12 °C`; `None` where it was not.
    pub stated: Option<String>,
    /// The limit, with its rule: `5 to 30 °C`.
    pub limit: String,
    /// What it comes to.
    pub verdict: WeatherVerdict,
    /// Why.
    pub reason: WeatherReason,
}

/// What a crew measures, or asks the forecast for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WeatherReading {
    /// Temperature of the air.
    Air,
    /// Low of the coming night.
    Night,
    /// Humidity of the air.
    Humidity,
    /// Temperature of the surface.
    Surface,
    /// Moisture of the deck.
    Moisture,
    /// Hours until rain.
    Dry,
}

impl WeatherReading {
    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            WeatherReading::Air => "air temperature",
            WeatherReading::Night => "low of the coming night",
            WeatherReading::Humidity => "humidity",
            WeatherReading::Surface => "surface",
            WeatherReading::Moisture => "moisture of the deck",
            WeatherReading::Dry => "hours until rain",
        }
    }

    const fn unit(self) -> &'static str {
        match self {
            WeatherReading::Air | WeatherReading::Night | WeatherReading::Surface => "°C",
            WeatherReading::Humidity | WeatherReading::Moisture => "%",
            WeatherReading::Dry => "hours",
        }
    }
}

/// Why a check comes to what it does. Every figure is in the unit of what is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WeatherReason {
    /// The job does not state it.
    NotStated,
    /// The surface is not stated; it must be at least so warm.
    SurfaceNotStated {
        /// Dew point and margin.
        least: Decimal,
    },
    /// No dew point can be worked, for want of air temperature or humidity.
    NoDewPoint,
    /// No air has such a humidity.
    NoSuchHumidity,
    /// It lies under its limit.
    Under {
        /// The limit.
        limit: Decimal,
    },
    /// It lies under the limit below which care is taken.
    Cool {
        /// The limit.
        limit: Decimal,
    },
    /// It lies over its limit.
    Over {
        /// The limit.
        limit: Decimal,
    },
    /// The surface lies too near the dew point, or under it.
    NearDewPoint {
        /// How far above; less than nothing below.
        above: Decimal,
        /// The dew point.
        dew_point: Decimal,
        /// How far above it must be.
        margin: Decimal,
    },
    /// The surface lies far enough above the dew point.
    AboveDewPoint {
        /// How far above.
        above: Decimal,
        /// The dew point.
        dew_point: Decimal,
    },
    /// It is within its limits.
    Within,
}

/// The answer for the stated weather.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WeatherAnswer {
    /// The worst of the checks.
    pub verdict: WeatherVerdict,
    /// The checks, in the order in which a crew makes them.
    pub checks: Vec<Check>,
    /// Dew point in °C, from the driest and coolest to the dampest and warmest of what was stated.
    pub dew_point: Option<Range>,
    /// The coldest that the surface may be, °C: the highest dew point and the margin.
    pub least_surface: Option<Decimal>,
}

/// Dew point in °C by the Magnus form over water with the constants of Sonntag (WMO Guide to Instruments, from
/// memory): `γ = ln(RH/100) + 17.62 T/(243.12 + T)`, `Td = 243.12 γ/(17.62 − γ)`. For −45 to 60 °C and 1 to 100 %;
/// within 0.05 °C of the full equations above freezing. Four decimals; `None` outside that range.
pub fn dew_point(air: Decimal, humidity: Decimal) -> Option<Decimal> {
    const A: f64 = 17.62;
    const B: f64 = 243.12;
    let (t, rh) = (air.to_f64()?, humidity.to_f64()?);
    if !(-45.0..=60.0).contains(&t) || !(1.0..=100.0).contains(&rh) {
        return None;
    }
    let gamma = (rh / 100.0).ln() + A * t / (B + t);
    Decimal::from_f64(B * gamma / (A - gamma)).map(|d| d.round_dp(4))
}

/// How warm the surface must be at one temperature of the air.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeastSurfaces {
    /// Air temperature, °C.
    pub air: Decimal,
    /// Humidity in %, with the least temperature of the surface in °C: dew point and margin, to a tenth up.
    pub least: Vec<(Decimal, Decimal)>,
}

/// The least surface temperatures for the crew to read on the day: air by fives from where the work stops for cold to
/// where it stops for heat, humidity up to where it stops for damp.
pub fn least_surfaces(rules: &Rules) -> Vec<LeastSurfaces> {
    let five = Decimal::from(5);
    let airs = (0..=20).map(|i| rules.air_stop + five * Decimal::from(i)).take_while(|t| *t <= rules.air_hot);
    let damp = rules.humidity_stop;
    let steps = [50, 60, 70, 80].map(Decimal::from);
    let humidities: Vec<Decimal> = steps.into_iter().filter(|h| *h < damp).chain([damp]).collect();
    let least = |air: Decimal| {
        let up = |t: Decimal| (t + rules.dew_margin).round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity);
        humidities.iter().filter_map(|h| Some((*h, up(dew_point(air, *h)?)))).collect()
    };
    airs.map(|air| LeastSurfaces { air, least: least(air) }).collect()
}

/// Holds the stated weather against the rules.
pub fn judge(stated: &Conditions, rules: &Rules) -> WeatherAnswer {
    let dew = dew_range(stated);
    let checks = vec![
        air(stated.air, rules),
        night(stated.night_low, rules),
        humidity(stated.humidity, rules),
        surface(stated, dew, rules),
        moisture(stated.moisture, rules),
        dry(stated.dry_hours, rules),
    ];
    let verdict = checks.iter().map(|c| c.verdict).max().unwrap_or_default();
    WeatherAnswer { verdict, checks, dew_point: dew, least_surface: dew.map(|d| d.high + rules.dew_margin) }
}

fn dew_range(stated: &Conditions) -> Option<Range> {
    let (air, humidity) = (stated.air?, stated.humidity?);
    Some(Range { low: dew_point(air.low, humidity.low)?, high: dew_point(air.high, humidity.high)? })
}

/// `12 °C`, or `5 to 12 °C`.
fn words(range: Range, unit: &str) -> String {
    match range.is_exact() {
        true => format!("{} {unit}", range.low.normalize()),
        false => format!("{} to {} {unit}", range.low.normalize(), range.high.normalize()),
    }
}

fn check(
    measured: WeatherReading,
    stated: Option<Range>,
    limit: String,
    found: (WeatherVerdict, WeatherReason),
) -> Check {
    let (verdict, reason) = found;
    Check { measured, stated: stated.map(|r| words(r, measured.unit())), limit, verdict, reason }
}

const NOT_STATED: (WeatherVerdict, WeatherReason) = (WeatherVerdict::NotKnown, WeatherReason::NotStated);
const WITHIN: (WeatherVerdict, WeatherReason) = (WeatherVerdict::Go, WeatherReason::Within);

fn air(stated: Option<Range>, rules: &Rules) -> Check {
    let (stop, warn, hot) = (rules.air_stop.normalize(), rules.air_warn.normalize(), rules.air_hot.normalize());
    let found = match stated {
        None => NOT_STATED,
        Some(r) if r.low < stop => (WeatherVerdict::Stop, WeatherReason::Under { limit: stop }),
        Some(r) if r.high > hot => (WeatherVerdict::Stop, WeatherReason::Over { limit: hot }),
        Some(r) if r.low < warn => (WeatherVerdict::Care, WeatherReason::Cool { limit: warn }),
        Some(_) => WITHIN,
    };
    check(WeatherReading::Air, stated, format!("{stop} to {hot} °C"), found)
}

fn night(stated: Option<Range>, rules: &Rules) -> Check {
    let stop = rules.air_stop.normalize();
    let found = match stated {
        None => NOT_STATED,
        Some(r) if r.low <= stop => (WeatherVerdict::Stop, WeatherReason::Under { limit: stop }),
        Some(_) => WITHIN,
    };
    check(WeatherReading::Night, stated, format!("above {stop} °C"), found)
}

fn humidity(stated: Option<Range>, rules: &Rules) -> Check {
    let stop = rules.humidity_stop.normalize();
    let found = match stated {
        None => NOT_STATED,
        Some(r) if impossible(r) => (WeatherVerdict::NotKnown, WeatherReason::NoSuchHumidity),
        Some(r) if r.high > stop => (WeatherVerdict::Stop, WeatherReason::Over { limit: stop }),
        Some(_) => WITHIN,
    };
    check(WeatherReading::Humidity, stated, format!("at most {stop} %"), found)
}

fn impossible(humidity: Range) -> bool {
    humidity.low < Decimal::ONE || humidity.high > Decimal::ONE_HUNDRED
}

/// Surface against dew point: by analogy with ISO 8502-4, which is written for steel before painting.
fn surface(stated: &Conditions, dew: Option<Range>, rules: &Rules) -> Check {
    let margin = rules.dew_margin.normalize();
    let found = match (dew, stated.surface) {
        (None, _) => (WeatherVerdict::NotKnown, WeatherReason::NoDewPoint),
        (Some(d), None) => (WeatherVerdict::NotKnown, WeatherReason::SurfaceNotStated { least: d.high + margin }),
        (Some(d), Some(s)) => {
            let (above, dew_point) = (s.low - d.high, d.high);
            match above < margin {
                true => (WeatherVerdict::Stop, WeatherReason::NearDewPoint { above, dew_point, margin }),
                false => (WeatherVerdict::Go, WeatherReason::AboveDewPoint { above, dew_point }),
            }
        }
    };
    check(WeatherReading::Surface, stated.surface, format!("dew point and {margin} °C"), found)
}

fn moisture(stated: Option<Range>, rules: &Rules) -> Check {
    let stop = rules.moisture_stop.normalize();
    let found = match stated {
        None => NOT_STATED,
        Some(r) if r.high > stop => (WeatherVerdict::Stop, WeatherReason::Over { limit: stop }),
        Some(_) => WITHIN,
    };
    check(WeatherReading::Moisture, stated, format!("at most {stop} %"), found)
}

fn dry(stated: Option<Range>, rules: &Rules) -> Check {
    let least = rules.dry_hours.normalize();
    let found = match stated {
        None => NOT_STATED,
        Some(r) if r.low < least => (WeatherVerdict::Stop, WeatherReason::Under { limit: least }),
        Some(_) => WITHIN,
    };
    check(WeatherReading::Dry, stated, format!("at least {least} hours"), found)
}
