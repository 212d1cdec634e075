//! Go or no go: whether the laminate may be laid in the stated weather.
//!
//! Given temperatures, humidity, moisture and the hours until rain; gives one check a rule, each with its limit and its
//! reason, and the answer. The stricter rule wins: 85 % humidity alone would pass where the dew point already stops.
//!
//! A range is a day: its air warms from the one end to the other, its surface with it, and the moisture in its air stays
//! what it is. So it has one dew point, and is damp and near it at the cold end alone. What holds on a part of the day is
//! answered with the temperatures of the air that bound that part.

use crate::model::job::Conditions;
use crate::model::{Problem, Range, Rules, Warned};
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};
use rust_decimal::{Decimal, RoundingStrategy};

/// What a check comes to, from best to worst; the answer for the day is the worst of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum WeatherVerdict {
    /// Within the limit.
    Go,
    /// Allowed, with care.
    Care,
    /// Within the limit on a part of the day: while the air is as warm, or no warmer, as is said.
    While,
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
            WeatherVerdict::While => "go while",
            WeatherVerdict::NotKnown => "measure first",
            WeatherVerdict::Stop => "stop",
        }
    }
}

/// One rule held against the stated weather.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// The roofs that it is for, by name, where it is not for all.
    pub roofs: Vec<String>,
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

    /// The setting under `conditions` that states it.
    const fn key(self) -> &'static str {
        match self {
            WeatherReading::Air => "air",
            WeatherReading::Night => "night_low",
            WeatherReading::Humidity => "humidity",
            WeatherReading::Surface => "surface",
            WeatherReading::Moisture => "moisture",
            WeatherReading::Dry => "dry_hours",
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
    /// The air is within its limits on a part of the day: as warm as this, no warmer than that, or both.
    PartOfDay {
        /// From this temperature, where the day begins below it.
        from: Option<Decimal>,
        /// To this one, where the day goes above it.
        to: Option<Decimal>,
    },
    /// The air is dry enough on a part of the day: as it cools, its humidity rises.
    DampBelow {
        /// Dry enough from this temperature of the air.
        air: Decimal,
        /// The limit of the humidity.
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
        /// How warm it must be.
        least: Decimal,
    },
    /// The surface lies far enough above the dew point.
    AboveDewPoint {
        /// How far above.
        above: Decimal,
        /// The dew point.
        dew_point: Decimal,
    },
    /// At no time of the day does the surface lie too near the dew point.
    NeverNear {
        /// The dew point.
        dew_point: Decimal,
        /// How far above it must be.
        margin: Decimal,
    },
    /// On a part of the day the surface lies too near the dew point.
    NearBelow {
        /// The dew point.
        dew_point: Decimal,
        /// How far above it must be.
        margin: Decimal,
        /// How warm it must be, to a tenth up.
        least: Decimal,
        /// The air at which it is about so warm.
        air: Decimal,
    },
    /// All day the surface lies too near the dew point.
    NearAllDay {
        /// The dew point.
        dew_point: Decimal,
        /// How far above it must be.
        margin: Decimal,
        /// How warm it must be, to a tenth up.
        least: Decimal,
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
    /// Dew point of the day's air, °C.
    pub dew_point: Option<Decimal>,
    /// The coldest that the surface may be, °C: the dew point and the margin.
    pub least_surface: Option<Decimal>,
    /// The air temperatures at which the laminate may be laid, °C, where that is a part of the stated range.
    pub window: Option<Range>,
}

impl WeatherAnswer {
    /// The answer for the sheet: `go`, `go while the air is 6.8 to 12 °C`.
    pub fn words(&self) -> String {
        match (self.verdict, self.window) {
            (WeatherVerdict::While, Some(window)) => format!("go while the air is {}", words(window, "°C")),
            (verdict, _) => verdict.word().into(),
        }
    }
}

/// The constants of the Magnus form over water (Sonntag): a number, and °C.
const MAGNUS: (f64, f64) = (17.62, 243.12);

/// Dew point in °C by the Magnus form over water with the constants of Sonntag (WMO Guide to Instruments, from
/// memory): `γ = ln(RH/100) + 17.62 T/(243.12 + T)`, `Td = 243.12 γ/(17.62 − γ)`. For −45 to 60 °C and 1 to 100 %;
/// within 0.05 °C of the full equations above freezing. Four decimals; `None` outside that range.
pub fn dew_point(air: Decimal, humidity: Decimal) -> Option<Decimal> {
    let (a, b) = MAGNUS;
    let (t, rh) = (air.to_f64()?, humidity.to_f64()?);
    if !(-45.0..=60.0).contains(&t) || !(1.0..=100.0).contains(&rh) {
        return None;
    }
    let gamma = (rh / 100.0).ln() + a * t / (b + t);
    Decimal::from_f64(b * gamma / (a - gamma)).map(|d| d.round_dp(4))
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
        let least = |h: Decimal| Some((h, up_to_a_tenth(dew_point(air, h)? + rules.dew_margin)));
        humidities.iter().filter_map(|h| least(*h)).collect()
    };
    airs.map(|air| LeastSurfaces { air, least: least(air) }).collect()
}

/// The air temperature, °C, at which air of a dew point has a humidity in %: the Magnus form of [`dew_point`] solved for
/// the other of the two.
fn air_at(dew: Decimal, humidity: Decimal) -> Option<Decimal> {
    let (a, b) = MAGNUS;
    let (d, rh) = (dew.to_f64()?, humidity.to_f64()?);
    let gamma = a * d / (b + d) - (rh / 100.0).ln();
    Decimal::from_f64(b * gamma / (a - gamma)).map(|t| t.round_dp(4))
}

/// One day: what its air and its surface do together.
struct WeatherDay {
    air: Range,
    /// Dew point: the moisture in the air, which stays.
    dew: Decimal,
}

impl WeatherDay {
    /// A humidity that is one figure for the day holds at the middle of its air; of a range the high end goes with the
    /// cold end of the air. No air is damper than its dew is at the coldest.
    fn of(stated: &Conditions) -> Option<WeatherDay> {
        let (air, humidity) = (stated.air?, stated.humidity.filter(|h| !impossible(*h))?);
        let dew = match humidity.is_exact() {
            true => dew_point(middle(air), humidity.high)?,
            false => dew_point(air.low, humidity.high)?.max(dew_point(air.high, humidity.low)?),
        };
        Some(WeatherDay { air, dew: if air.is_exact() { dew } else { dew.min(air.low) } })
    }

    /// The air at which the surface has a temperature. A surface that is one figure for the day holds at the middle of
    /// its air; of a range each end goes with the same end of the air.
    fn air_with_surface(&self, surface: Range, wanted: Decimal) -> Decimal {
        match surface.is_exact() {
            true => middle(self.air) + wanted - surface.low,
            false => {
                let share = (wanted - surface.low) / (surface.high - surface.low);
                self.air.low + share * (self.air.high - self.air.low)
            }
        }
    }
}

fn middle(range: Range) -> Decimal {
    (range.low + range.high) / Decimal::TWO
}

/// The answers for roofs with unlike weather as one: each check with its roofs, but once where it is the same on all; the
/// gravest verdict, the least surface that serves all, and the air in which all can be laid.
pub fn together(answers: Vec<(WeatherAnswer, Vec<String>)>) -> WeatherAnswer {
    let mut all = WeatherAnswer::default();
    let readings = answers.first().map_or(0, |(answer, _)| answer.checks.len());
    for reading in 0..readings {
        let mut alike: Vec<Check> = Vec::new();
        for (answer, roofs) in &answers {
            let check = &answer.checks[reading];
            let told = |c: &Check| (c.stated.clone(), c.limit.clone(), c.verdict, c.reason);
            match alike.iter_mut().find(|c| told(c) == told(check)) {
                Some(c) => c.roofs.extend(roofs.iter().cloned()),
                None => alike.push(Check { roofs: roofs.clone(), ..check.clone() }),
            }
        }
        if let [only] = &mut alike[..] {
            only.roofs.clear();
        }
        all.checks.extend(alike);
    }
    let each = || answers.iter().map(|(answer, _)| answer);
    let windows = each().filter_map(|a| a.window);
    all.window = windows.reduce(|a, b| Range { low: a.low.max(b.low), high: a.high.min(b.high) });
    all.verdict = each().map(|a| a.verdict).max().unwrap_or_default();
    if all.window.is_some_and(|w| w.low > w.high) {
        (all.verdict, all.window) = (WeatherVerdict::Stop, None);
    }
    all.dew_point = each().filter_map(|a| a.dew_point).max();
    all.least_surface = each().filter_map(|a| a.least_surface).max();
    all
}

/// A check of the day, and the air temperatures between which it is passed.
type Judged = (Check, Option<Range>);

/// Holds the stated weather against the rules.
pub fn judge(stated: &Conditions, rules: &Rules) -> WeatherAnswer {
    let day = WeatherDay::of(stated);
    let of_the_air = [
        air(stated.air, rules),
        humidity(stated.humidity, day.as_ref(), rules),
        surface(stated.surface, day.as_ref(), rules),
    ];
    let passed = of_the_air.iter().filter_map(|(_, passed)| *passed);
    let window = passed.reduce(|a, b| Range { low: a.low.max(b.low), high: a.high.min(b.high) });
    let [air, humidity, surface] = of_the_air.map(|(check, _)| check);
    let checks = vec![
        air,
        night(stated.night_low, rules),
        humidity,
        surface,
        moisture(stated.moisture, rules),
        dry(stated.dry_hours, rules),
    ];
    let worst = checks.iter().map(|c| c.verdict).max().unwrap_or_default();
    let verdict = match window {
        // Each rule lets a part of the day through, and no part is let through by all.
        Some(w) if w.low > w.high => WeatherVerdict::Stop,
        _ => worst,
    };
    let is_part = checks.iter().any(|c| c.verdict == WeatherVerdict::While) && verdict != WeatherVerdict::Stop;
    WeatherAnswer {
        verdict,
        checks,
        dew_point: day.as_ref().map(|d| d.dew),
        least_surface: day.map(|d| d.dew + rules.dew_margin),
        window: window.filter(|_| is_part),
    }
}

/// A warning for each reading stated at which nothing may be laid all day: the days are promised, and cannot be kept.
pub(super) fn stops(answer: &WeatherAnswer) -> Vec<Problem> {
    let told = |check: &Check| {
        let stated = check.stated.as_ref().filter(|_| check.verdict == WeatherVerdict::Stop)?;
        let fault = format!(
            "nothing may be laid at {stated} ({}): the limit is {}; the quote names days for it",
            check.measured.words(),
            check.limit
        );
        let cure = "write what is usual there on a working day of that season, or start at another time of the year";
        Some(Problem::warning(Warned::Weather, ["conditions", check.measured.key()], fault, cure))
    };
    answer.checks.iter().filter_map(told).collect()
}

/// What a rule that needs air of at least so many degrees comes to over a day's air; the bound is rounded to a tenth up.
/// `None` where the whole day passes.
fn from_air(day: Range, least: Decimal) -> Option<(WeatherVerdict, Range)> {
    let least = up_to_a_tenth(least);
    let passed = Range { low: least.max(day.low), high: day.high };
    match () {
        () if least <= day.low => None,
        () if least > day.high => Some((WeatherVerdict::Stop, passed)),
        () => Some((WeatherVerdict::While, passed)),
    }
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
    Check { roofs: Vec::new(), measured, stated: stated.map(|r| words(r, measured.unit())), limit, verdict, reason }
}

const NOT_STATED: (WeatherVerdict, WeatherReason) = (WeatherVerdict::NotKnown, WeatherReason::NotStated);
const WITHIN: (WeatherVerdict, WeatherReason) = (WeatherVerdict::Go, WeatherReason::Within);

fn air(stated: Option<Range>, rules: &Rules) -> Judged {
    let (stop, warn, hot) = (rules.air_stop.normalize(), rules.air_warn.normalize(), rules.air_hot.normalize());
    let passed = stated.map(|r| Range { low: r.low.max(stop), high: r.high.min(hot) });
    let found = match stated {
        None => NOT_STATED,
        Some(r) if r.high < stop || (r.is_exact() && r.low < stop) => {
            (WeatherVerdict::Stop, WeatherReason::Under { limit: stop })
        }
        Some(r) if r.low > hot => (WeatherVerdict::Stop, WeatherReason::Over { limit: hot }),
        Some(r) if r.low < stop || r.high > hot => {
            let (from, to) = ((r.low < stop).then_some(stop), (r.high > hot).then_some(hot));
            (WeatherVerdict::While, WeatherReason::PartOfDay { from, to })
        }
        Some(r) if r.low < warn => (WeatherVerdict::Care, WeatherReason::Cool { limit: warn }),
        Some(_) => WITHIN,
    };
    (check(WeatherReading::Air, stated, format!("{stop} to {hot} °C"), found), passed)
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

fn humidity(stated: Option<Range>, day: Option<&WeatherDay>, rules: &Rules) -> Judged {
    let stop = rules.humidity_stop.normalize();
    let bound = day.filter(|d| !d.air.is_exact()).and_then(|d| from_air(d.air, air_at(d.dew, stop)?));
    let damp = WeatherReason::Over { limit: stop };
    let found = match (stated, bound) {
        (None, _) => NOT_STATED,
        (Some(r), _) if impossible(r) => (WeatherVerdict::NotKnown, WeatherReason::NoSuchHumidity),
        (Some(_), Some((WeatherVerdict::While, passed))) => {
            (WeatherVerdict::While, WeatherReason::DampBelow { air: passed.low, limit: stop })
        }
        (Some(_), Some((verdict, _))) => (verdict, damp),
        (Some(r), None) if r.high > stop && day.is_none_or(|d| d.air.is_exact()) => (WeatherVerdict::Stop, damp),
        (Some(_), None) => WITHIN,
    };
    let passed = bound.map(|(_, passed)| passed);
    (check(WeatherReading::Humidity, stated, format!("at most {stop} %"), found), passed)
}

fn impossible(humidity: Range) -> bool {
    humidity.low < Decimal::ONE || humidity.high > Decimal::ONE_HUNDRED
}

/// Surface against dew point: by analogy with ISO 8502-4, which is written for steel before painting.
fn surface(stated: Option<Range>, day: Option<&WeatherDay>, rules: &Rules) -> Judged {
    let margin = rules.dew_margin.normalize();
    let mut passed = None;
    let found = match (day, stated) {
        (None, _) => (WeatherVerdict::NotKnown, WeatherReason::NoDewPoint),
        (Some(d), None) => {
            (WeatherVerdict::NotKnown, WeatherReason::SurfaceNotStated { least: up_to_a_tenth(d.dew + margin) })
        }
        (Some(d), Some(s)) if d.air.is_exact() => at_one_time(s.low, d.dew, margin),
        (Some(d), Some(s)) => {
            let bound = from_air(d.air, d.air_with_surface(s, d.dew + margin));
            passed = bound.map(|(_, passed)| passed);
            let (dew_point, least) = (up_to_a_tenth(d.dew), up_to_a_tenth(d.dew + margin));
            match bound {
                None => (WeatherVerdict::Go, WeatherReason::NeverNear { dew_point, margin }),
                Some((WeatherVerdict::While, p)) => {
                    (WeatherVerdict::While, WeatherReason::NearBelow { dew_point, margin, least, air: p.low })
                }
                Some((verdict, _)) => (verdict, WeatherReason::NearAllDay { dew_point, margin, least }),
            }
        }
    };
    (check(WeatherReading::Surface, stated, format!("dew point and {margin} °C"), found), passed)
}

fn at_one_time(surface: Decimal, dew: Decimal, margin: Decimal) -> (WeatherVerdict, WeatherReason) {
    let dew_point = up_to_a_tenth(dew);
    if surface - dew < margin {
        let least = up_to_a_tenth(dew + margin);
        return (
            WeatherVerdict::Stop,
            WeatherReason::NearDewPoint { above: surface - dew_point, dew_point, margin, least },
        );
    }
    let above = (surface - dew).round_dp_with_strategy(1, RoundingStrategy::ToNegativeInfinity);
    (WeatherVerdict::Go, WeatherReason::AboveDewPoint { above, dew_point })
}

/// Rounded up to a tenth: a surface that is said to be warm enough is never a fraction too cold.
pub fn up_to_a_tenth(t: Decimal) -> Decimal {
    t.round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity).normalize()
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
