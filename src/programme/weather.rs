//! Go or no go: whether the laminate may be laid in the stated weather.
//!
//! Given temperatures, humidity, moisture and the hours until rain; gives one check a rule, each with its limit and its
//! reason, and the answer. The stricter rule wins: 85 % humidity alone would pass where the dew point already stops.
//!
//! A range is a day: its air warms from the one end to the other, its surface with it, and the moisture in its air stays
//! what it is. So it has one dew point, and is damp and near it at the cold end alone. What holds on a part of the day is
//! answered with the temperatures of the air that bound that part.

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
    /// What is measured: `air temperature`.
    pub what: &'static str,
    /// What was stated, with its unit: `12 °C`; `None` where it was not.
    pub stated: Option<String>,
    /// The limit, with its rule: `5 to 30 °C`.
    pub limit: String,
    /// What it comes to.
    pub verdict: WeatherVerdict,
    /// Why, in a sentence without its full stop.
    pub reason: String,
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

/// The air temperature, °C, at which air of a dew point has a humidity in %: the Magnus form of [`dew_point`] solved for
/// the other of the two.
fn air_at(dew: Decimal, humidity: Decimal) -> Option<Decimal> {
    const A: f64 = 17.62;
    const B: f64 = 243.12;
    let (d, rh) = (dew.to_f64()?, humidity.to_f64()?);
    let gamma = A * d / (B + d) - (rh / 100.0).ln();
    Decimal::from_f64(B * gamma / (A - gamma)).map(|t| t.round_dp(4))
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

fn check(what: &'static str, stated: Option<(Range, &str)>, limit: String, found: (WeatherVerdict, String)) -> Check {
    Check { what, stated: stated.map(|(r, unit)| words(r, unit)), limit, verdict: found.0, reason: found.1 }
}

fn not_stated(how: &str) -> (WeatherVerdict, String) {
    (WeatherVerdict::NotKnown, format!("not stated: {how}"))
}

fn air(stated: Option<Range>, rules: &Rules) -> Judged {
    let (stop, warn, hot) = (rules.air_stop.normalize(), rules.air_warn.normalize(), rules.air_hot.normalize());
    let cold = format!("below {stop} °C the resin may never cure");
    let warm = format!("above {hot} °C the resin goes off before it is rolled out");
    let passed = stated.map(|r| Range { low: r.low.max(stop), high: r.high.min(hot) });
    let found = match stated {
        None => not_stated("read the thermometer in the shade"),
        Some(r) if r.high < stop || (r.is_exact() && r.low < stop) => (WeatherVerdict::Stop, cold),
        Some(r) if r.low > hot => (WeatherVerdict::Stop, warm),
        Some(r) if r.low < stop && r.high > hot => {
            (WeatherVerdict::While, format!("the air is {stop} to {hot} °C; {cold}, and {warm}"))
        }
        Some(r) if r.low < stop => (WeatherVerdict::While, format!("the air is {stop} °C or warmer; {cold}")),
        Some(r) if r.high > hot => (WeatherVerdict::While, format!("the air is {hot} °C or cooler; {warm}")),
        Some(r) if r.low < warn => {
            (WeatherVerdict::Care, format!("below {warn} °C the cure is slow and a chill stops it"))
        }
        Some(_) => (WeatherVerdict::Go, "within the limits".into()),
    };
    (check("air temperature", stated.map(|r| (r, "°C")), format!("{stop} to {hot} °C"), found), passed)
}

fn night(stated: Option<Range>, rules: &Rules) -> Check {
    let stop = rules.air_stop.normalize();
    let found = match stated {
        None => not_stated("ask for the forecast of the coming night"),
        Some(r) if r.low <= stop => {
            (WeatherVerdict::Stop, format!("the night falls to {stop} °C or below before the laminate is hard"))
        }
        Some(_) => (WeatherVerdict::Go, "the night stays warm enough".into()),
    };
    check("low of the coming night", stated.map(|r| (r, "°C")), format!("above {stop} °C"), found)
}

fn humidity(stated: Option<Range>, day: Option<&WeatherDay>, rules: &Rules) -> Judged {
    let stop = rules.humidity_stop.normalize();
    let bound = day.filter(|d| !d.air.is_exact()).and_then(|d| from_air(d.air, air_at(d.dew, stop)?));
    let damp = format!("above {stop} % the surface will not stay dry");
    let found = match (stated, bound) {
        (None, _) => not_stated("read the hygrometer"),
        (Some(r), _) if impossible(r) => {
            (WeatherVerdict::NotKnown, "no air has such a humidity: read the hygrometer again".into())
        }
        (Some(_), Some((WeatherVerdict::While, passed))) => (
            WeatherVerdict::While,
            format!("the air is {} °C or warmer; as it cools its humidity rises, and {damp}", passed.low),
        ),
        (Some(_), Some((verdict, _))) => (verdict, damp),
        (Some(r), None) if r.high > stop && day.is_none_or(|d| d.air.is_exact()) => (WeatherVerdict::Stop, damp),
        (Some(_), None) => (WeatherVerdict::Go, "dry enough".into()),
    };
    let passed = bound.map(|(_, passed)| passed);
    (check("humidity", stated.map(|r| (r, "%")), format!("at most {stop} %"), found), passed)
}

fn impossible(humidity: Range) -> bool {
    humidity.low < Decimal::ONE || humidity.high > Decimal::ONE_HUNDRED
}

/// Surface against dew point: by analogy with ISO 8502-4, which is written for steel before painting.
fn surface(stated: Option<Range>, day: Option<&WeatherDay>, rules: &Rules) -> Judged {
    let margin = rules.dew_margin.normalize();
    let least = |d: &WeatherDay| shown(d.dew + margin);
    let mut passed = None;
    let found = match (day, stated) {
        (None, _) => not_stated("the dew point needs the air temperature and the humidity"),
        (Some(d), None) => not_stated(&format!("measure the surface; it must be at least {} °C", least(d))),
        (Some(d), Some(s)) if d.air.is_exact() => at_one_time(s.low, d.dew, margin),
        (Some(d), Some(s)) => {
            let bound = from_air(d.air, d.air_with_surface(s, d.dew + margin));
            passed = bound.map(|(_, passed)| passed);
            let near = format!("within {margin} °C of the dew point of {} °C", d.dew.round_dp(1).normalize());
            let least = up_to_a_tenth(d.dew + margin);
            match bound {
                None => (WeatherVerdict::Go, format!("never {near}")),
                Some((WeatherVerdict::While, p)) => (
                    WeatherVerdict::While,
                    format!(
                        "the surface is {least} °C or warmer, about when the air is {} °C; below, it lies {near}",
                        p.low
                    ),
                ),
                Some((verdict, _)) => (verdict, format!("all day {near}: wait until it is {least} °C or warmer")),
            }
        }
    };
    (check("surface", stated.map(|r| (r, "°C")), format!("dew point and {margin} °C"), found), passed)
}

fn at_one_time(surface: Decimal, dew: Decimal, margin: Decimal) -> (WeatherVerdict, String) {
    let point = format!("the dew point of {} °C", shown(dew));
    match surface < dew + margin {
        true => (
            WeatherVerdict::Stop,
            format!(
                "{} {point}: {margin} °C are wanted, so wait until the surface is {} °C",
                apart(surface - dew),
                shown(dew + margin)
            ),
        ),
        false => (WeatherVerdict::Go, format!("{} °C above {point}", shown(surface - dew))),
    }
}

/// How far a surface lies off the dew point, where that is not far enough.
fn apart(above: Decimal) -> String {
    match above < Decimal::ZERO {
        true => format!("{} °C below", shown(-above)),
        false => format!("only {} °C above", shown(above)),
    }
}

fn up_to_a_tenth(t: Decimal) -> Decimal {
    t.round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity).normalize()
}

fn shown(t: Decimal) -> Decimal {
    t.round_dp(2)
}

fn moisture(stated: Option<Range>, rules: &Rules) -> Check {
    let stop = rules.moisture_stop.normalize();
    let found = match stated {
        None => not_stated("measure the deck with the moisture meter"),
        Some(r) if r.high > stop => {
            (WeatherVerdict::Stop, format!("above {stop} % resin does not bond and boards blister"))
        }
        Some(_) => (WeatherVerdict::Go, "the deck is dry enough".into()),
    };
    check("moisture of the deck", stated.map(|r| (r, "%")), format!("at most {stop} %"), found)
}

fn dry(stated: Option<Range>, rules: &Rules) -> Check {
    let least = rules.dry_hours.normalize();
    let found = match stated {
        None => not_stated("ask for the forecast of rain"),
        Some(r) if r.low < least => (WeatherVerdict::Stop, format!("rain is forecast sooner than in {least} hours")),
        Some(_) => (WeatherVerdict::Go, "dry for long enough".into()),
    };
    check("hours until rain", stated.map(|r| (r, "hours")), format!("at least {least} hours"), found)
}
