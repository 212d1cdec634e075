//! Single values as the installer writes them: `5.2 m`, `12.10`, `75 %`, `5 C to 12 C`, `1:40`, `not known`.
//!
//! Given the exact text; gives the value, or fault and cure. Nothing passes through a floating-point number, and a
//! number without its unit is refused with the readings it could have.

use super::form::{Writing, unit};
use super::reading::{Word, Wrong, wrong};
use super::suggest;
use crate::model::Section;
use crate::model::firm::Accent;
use crate::model::gutter::GutterShape;
use crate::model::job::{Answer, By};
use crate::model::limits::{self, Limit};
use crate::model::shape::{DeckAction, Gutter, Joints, JoistRun, MeasuredTo};
use crate::model::{Area, Cover, Fall, Finish, Flashing, Length, Mass, PitchedCovering, Range};
use crate::pricing::Money;
use crate::programme::Operation;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use time::Date;
use time::macros::format_description;

/// Longest length that a job can have, in mm.
const LONGEST: i64 = 200_000;
/// Longest text, in characters.
const LONGEST_TEXT: usize = 5000;
/// Largest amount of money, in pounds.
const MOST_MONEY: i64 = 10_000_000;

/// Text as it is printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PrintedText(pub String);

impl Word for PrintedText {
    const WHAT: &'static str = "text";
    fn parse(text: &str) -> Result<PrintedText, Wrong> {
        if text.is_empty() {
            return wrong("there is no text between the quotes", "write some, or take the line out");
        }
        if text.chars().count() > LONGEST_TEXT {
            return wrong(format!("this text is longer than {LONGEST_TEXT} characters"), "make it shorter");
        }
        match text.chars().find(|c| c.is_control() && *c != '\n') {
            Some(c) => {
                wrong(format!("there is a control character (U+{:04X}) in this text", u32::from(c)), "take it out")
            }
            None => Ok(PrintedText(text.to_owned())),
        }
    }

    fn writing() -> Writing {
        Writing::Text
    }
}

/// A plain number: digits, with a point where it needs one.
///
/// # Errors
/// With a hint for the usual other ways of writing numbers.
pub(crate) fn number(text: &str) -> Result<Decimal, Wrong> {
    let digits = |t: &str| !t.is_empty() && t.len() <= 20 && t.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let good = match unsigned.split_once('.') {
        Some((whole, part)) => digits(whole) && digits(part),
        None => digits(unsigned),
    };
    match good.then(|| Decimal::from_str_exact(text).ok()).flatten() {
        Some(value) => Ok(value),
        None => wrong(format!("`{}` is not a number", short(text)), number_hint(text)),
    }
}

fn number_hint(text: &str) -> String {
    let pointed = text.replace(',', ".");
    if pointed_for_comma(text) && number_is(&pointed) {
        return format!("write `{pointed}`");
    }
    let plain: String = text.chars().filter(|c| !matches!(c, ',' | '_' | '£' | ' ' | '+')).collect();
    let plain = match plain.strip_prefix('.') {
        Some(part) => format!("0.{part}"),
        None => plain.strip_suffix('.').map(str::to_owned).unwrap_or(plain),
    };
    match number_is(&plain) {
        true => format!("write `{plain}`"),
        false => "write digits, with a point where it needs one, such as `12.5`".to_owned(),
    }
}

/// Whether the only comma of a number stands where a point belongs: three digits behind it would be thousands.
fn pointed_for_comma(text: &str) -> bool {
    match text.split_once(',') {
        Some((_, part)) => part.len() != 3 && part.bytes().all(|b| b.is_ascii_digit()) && !part.is_empty(),
        None => false,
    }
}

fn number_is(text: &str) -> bool {
    text.len() <= 20 && text.starts_with(|c: char| c.is_ascii_digit()) && Decimal::from_str_exact(text).is_ok()
}

/// The text itself, cut where it is too long for a message.
fn short(text: &str) -> String {
    match text.chars().count() > 40 {
        true => format!("{}…", text.chars().take(40).collect::<String>()),
        false => text.to_owned(),
    }
}

/// A number and the unit behind it, with or without a space between.
pub(crate) fn with_unit(text: &str) -> (&str, &str) {
    let at = text.find(|c: char| c.is_alphabetic() || matches!(c, '%' | '°')).unwrap_or(text.len());
    let at = if text[..at].trim().is_empty() { text.len() } else { at };
    (text[..at].trim(), text[at..].trim())
}

impl Word for Length {
    const WHAT: &'static str = "a length";
    fn parse(text: &str) -> Result<Length, Wrong> {
        if let Some(imperial) = imperial(text) {
            return Err(imperial);
        }
        let (digits, unit) = with_unit(text);
        if digits.contains(',') && matches!(unit, "mm" | "cm" | "m") {
            return with_comma(text, digits, unit);
        }
        let scale = match unit {
            "mm" => 1,
            "cm" => 10,
            "m" => 1000,
            "" => return bare_length(text),
            _ if number(digits).is_err() => return wrong(format!("`{}` is not a length", short(text)), LENGTH_CURE),
            _ => return wrong(format!("`{}` is not a unit of length here", short(unit)), LENGTH_CURE),
        };
        let value = number(digits)?;
        if value.is_sign_negative() && !value.is_zero() {
            return wrong(format!("`{text}` is less than nothing"), "write a length that can be measured");
        }
        let mm = value * Decimal::from(scale);
        if mm > Decimal::from(LONGEST) {
            let millimetres = format!("{} mm", value.normalize());
            // What is in millimetres already is not tried as such again.
            let meant = (unit != "mm").then(|| Length::parse(&millimetres).ok()).flatten();
            let cure = match meant {
                Some(length) => {
                    format!(
                        "if millimetres are meant, write `{millimetres}`, which is {} m",
                        length.metres().normalize()
                    )
                }
                None => "check the figure and its unit: `m`, `cm` or `mm`".to_owned(),
            };
            return wrong(format!("`{}` is longer than any roof", short(text)), cure);
        }
        match mm.fract().is_zero() {
            true => Ok(Length::mm(mm.to_i64().unwrap_or(LONGEST))),
            false => {
                let round = format!("round it: `{} mm`", mm.round().normalize());
                let metres = format!("{digits} m");
                let cure = match unit == "mm" && value < Decimal::TEN && Length::parse(&metres).is_ok() {
                    true => format!("if metres are meant, write `{metres}`; else {round}"),
                    false => round,
                };
                wrong(format!("`{}` is not a whole number of millimetres", short(text)), cure)
            }
        }
    }

    fn writing() -> Writing {
        lengths()
    }
}

const LENGTH_CURE: &str = "write a length in m, cm or mm, such as `5.2 m` or `5200 mm`";

/// Feet and inches in whole millimetres, each reading where there are two: 17.1 ft is no 17 ft 1 in.
fn imperial(text: &str) -> Option<Wrong> {
    let plain =
        text.trim().to_lowercase().replace(['\u{2019}', '\u{2032}'], "'").replace(['\u{201d}', '\u{2033}'], "\"");
    let plain = plain.replace("''", "\"").replace("feet", "'").replace("foot", "'").replace("ft", "'");
    let plain = plain.replace("inches", "\"").replace("inch", "\"").replace("in", "\"");
    let (feet, inches) = match plain.split_once('\'') {
        Some((feet, rest)) => (Some(feet.trim()), rest.trim().trim_end_matches('"').trim()),
        None => (None, plain.strip_suffix('"')?.trim()),
    };
    let of =
        |text: &str| Decimal::from_str_exact(text).ok().filter(|n| !n.is_sign_negative() && *n < Decimal::from(10_000));
    let inches_in = |feet: Decimal, inches: Decimal| (feet * Decimal::from(12) + inches) * Decimal::new(254, 1);
    let whole = |mm: Decimal| format!("{} mm", mm.round().normalize());
    let feet = feet.map(of).unwrap_or(Some(Decimal::ZERO))?;
    let mm = inches_in(feet, if inches.is_empty() { Decimal::ZERO } else { of(inches)? });
    let tenths = (feet.fract() * Decimal::TEN).normalize();
    let cure = match inches.is_empty() && !feet.fract().is_zero() && tenths.fract().is_zero() {
        true => format!(
            "write `{}` if {} ft is meant, `{}` if {} ft {tenths} in is",
            whole(mm),
            feet.normalize(),
            whole(inches_in(feet.trunc(), tenths)),
            feet.trunc()
        ),
        false => format!("write `{}`", whole(mm)),
    };
    Some(Wrong { fault: format!("`{}` is in feet and inches; this is measured in metres", short(text)), cure })
}

/// A length as it is written: whole millimetres, whichever unit is taken.
pub(crate) fn lengths() -> Writing {
    Writing::Number(vec![
        unit("mm", Decimal::ONE, Some(0)),
        unit("cm", Decimal::TEN, Some(1)),
        unit("m", Decimal::ONE_THOUSAND, Some(3)),
    ])
}

/// An area as it is written, where its limits are in the first units; one of the second is so much of it.
pub(crate) fn areas(first: [&str; 2], second: [&str; 2], each: Decimal) -> Writing {
    let (first, second) = (first.map(|u| unit(u, Decimal::ONE, None)), second.map(|u| unit(u, each, None)));
    Writing::Number([first, second].concat())
}

/// A comma for a point, or one that parts thousands: of both readings those that a roof can have.
fn with_comma(text: &str, digits: &str, unit: &str) -> Result<Length, Wrong> {
    let fault = format!("there is a comma in `{}`", short(text));
    let pointed = format!("{} {unit}", digits.replace(',', "."));
    let whole = format!("{} {unit}", digits.replace(',', ""));
    let thousands = digits.split(',').skip(1).all(|part| part.len() == 3);
    let mut readings = vec![pointed];
    if thousands {
        readings.insert(0, whole);
    }
    readings.retain(|reading| Length::parse(reading).is_ok());
    match readings.is_empty() {
        true => wrong(fault, LENGTH_CURE),
        false => wrong(fault, format!("write {}", suggest::words(&readings, "or"))),
    }
}

/// A number without its unit: a length that no roof has is not asked about.
fn bare_length(text: &str) -> Result<Length, Wrong> {
    match number(text) {
        Ok(_) => {
            let read = |unit: &str| Length::parse(&format!("{text} {unit}")).ok();
            match (read("mm"), read("m")) {
                (Some(length), None) => wrong(
                    format!("`{text}` has no unit: it can only be millimetres"),
                    format!("write `{text} mm`, which is {} m", length.metres().normalize()),
                ),
                (None, Some(length)) => wrong(
                    format!("`{text}` has no unit: it can only be metres"),
                    format!("write `{text} m`, which is {length}"),
                ),
                _ => wrong(
                    format!("`{text}` has no unit: it could be {text} mm or {text} m"),
                    format!("write `{text} mm` or `{text} m`"),
                ),
            }
        }
        Err(_) => wrong(format!("`{}` is not a length", short(text)), LENGTH_CURE),
    }
}

impl Word for Money {
    const WHAT: &'static str = "an amount of money";
    fn parse(text: &str) -> Result<Money, Wrong> {
        let bad = |cure: String| wrong(format!("`{}` is not an amount of money", short(text)), cure);
        let value = match number(text) {
            Ok(value) => value,
            Err(w) if w.cure.starts_with("write `") => return bad(with_pence(&w.cure)),
            Err(_) => return bad("write pounds and pence with a point, such as `1234.50`".into()),
        };
        if value.is_sign_negative() && !value.is_zero() {
            return wrong(format!("`{text}` is less than nothing"), "write an amount of nothing or more");
        }
        if value > Decimal::from(MOST_MONEY) {
            return wrong(format!("`{}` is more than a job of this kind can cost", short(text)), "check the point");
        }
        match value.scale() {
            0 | 2 => Ok(Money::pounds(value)),
            1 => bad(format!("write the pence with two digits: `{text}0`")),
            _ => bad("write whole pence: two digits after the point".into()),
        }
    }

    fn writing() -> Writing {
        Writing::Money
    }
}

/// The hint for a number, with two digits for the pence.
fn with_pence(cure: &str) -> String {
    let amount = cure.trim_start_matches("write `").trim_end_matches('`');
    match amount.split_once('.') {
        Some((pounds, pence)) => format!("write `{pounds}.{pence:0<2}`"),
        None => format!("write `{amount}.00`"),
    }
}

impl Word for Date {
    const WHAT: &'static str = "a date";
    fn parse(text: &str) -> Result<Date, Wrong> {
        Date::parse(text, format_description!("[year]-[month]-[day]")).or_else(|_| {
            let cure = match british(text).or_else(|| with_month(text)) {
                Some(date) => format!("write year, month and day: `{date}`"),
                None => "write year, month and day, such as `2026-11-25`".to_owned(),
            };
            wrong(format!("`{}` is not a date", short(text)), cure)
        })
    }

    fn writing() -> Writing {
        Writing::Date
    }
}

/// A date written as day, month, year.
fn british(text: &str) -> Option<Date> {
    let parts: Vec<u16> = text.split(['/', '.', '-']).map(|p| p.trim().parse().ok()).collect::<Option<_>>()?;
    let [day, month, year] = parts[..] else { return None };
    let year = if year < 100 { 2000 + year } else { year };
    let month = time::Month::try_from(u8::try_from(month).ok()?).ok()?;
    Date::from_calendar_date(i32::from(year), month, u8::try_from(day).ok()?).ok()
}

/// A date with its month in words: `5 November 2026`, `5th Nov 26`.
fn with_month(text: &str) -> Option<Date> {
    let [day, month, year] = text.split([' ', ',']).filter(|w| !w.is_empty() && *w != "of").collect::<Vec<_>>()[..]
    else {
        return None;
    };
    let named = |n: &u8| time::Month::try_from(*n).ok().map(|m| m.to_string().to_lowercase());
    let month = month.to_lowercase();
    let number = (1..=12)
        .find(|n| month.len() >= 3 && named(n).is_some_and(|name| name.starts_with(month.trim_end_matches('.'))))?;
    let day = day.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    british(&format!("{day}/{number}/{year}"))
}

impl Word for Fall {
    const WHAT: &'static str = "a fall";
    fn parse(text: &str) -> Result<Fall, Wrong> {
        let cure = "write one in how much, such as `1:40`";
        let run = text.strip_prefix('1').and_then(|t| t.trim_start().strip_prefix(':')).map(|t| number(t.trim()));
        match run {
            Some(Ok(run)) if run >= Decimal::ONE && run <= Decimal::from(1000) => Ok(Fall { run }),
            _ => wrong(format!("`{}` is not a fall", short(text)), cure),
        }
    }

    fn writing() -> Writing {
        Writing::Fall
    }
}

/// Who fixes the firrings of a roof, if there are any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FirringsSaid {
    /// The firm.
    Us,
    /// Somebody else, before the deck is laid.
    Others,
    /// There are none: the joists are set to the fall.
    None,
}

/// What a job says of a roof's fall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FallSaid {
    /// It is to be so steep.
    OneIn(Fall),
    /// It is there already; so steep, where it was measured.
    Existing(Option<Fall>),
}

impl Word for FallSaid {
    const WHAT: &'static str = "a fall";
    fn parse(text: &str) -> Result<FallSaid, Wrong> {
        match text.strip_prefix("existing").map(str::trim_start) {
            None => Fall::parse(text).map(FallSaid::OneIn).map_err(|w| Wrong {
                cure: format!("{}, or `existing 1:50` where joists or deck fall already", w.cure),
                ..w
            }),
            Some("") => Ok(FallSaid::Existing(None)),
            Some(measured) => Fall::parse(measured).map(|fall| FallSaid::Existing(Some(fall))),
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![
            Writing::Fall,
            Writing::Words(vec!["existing"]),
            Writing::Pattern(r"existing 1\s*:\s*\d+(\.\d+)?".to_owned(), "existing 1:50"),
        ])
    }
}

impl Word for Area {
    const WHAT: &'static str = "an area";
    fn parse(text: &str) -> Result<Area, Wrong> {
        let cure = "write square metres, such as `15.6 m2`, or for a section square millimetres, such as `5600 mm2`";
        let (digits, unit) = with_unit(text);
        let value = match (unit, number(digits)) {
            ("m2" | "m²", Ok(value)) if !value.is_sign_negative() && value <= Decimal::from(100_000) => value,
            ("mm2" | "mm²", Ok(value)) if !value.is_sign_negative() && value <= Decimal::from(100_000_000) => {
                return Ok(Area::mm2(value.round().to_i64().unwrap_or_default()));
            }
            _ => return wrong(format!("`{}` is not an area", short(text)), cure),
        };
        Ok(Area::mm2((value * Decimal::from(1_000_000)).round().to_i64().unwrap_or_default()))
    }

    fn writing() -> Writing {
        areas(["m2", "m²"], ["mm2", "mm²"], Decimal::new(1, 6))
    }
}

impl Word for Mass {
    const WHAT: &'static str = "a mass";
    fn parse(text: &str) -> Result<Mass, Wrong> {
        let (digits, unit) = with_unit(text);
        let value = number(digits).ok().filter(|v| !v.is_sign_negative() && *v <= Decimal::from(100_000));
        match (value, unit) {
            (Some(value), "kg") => Ok(Mass::kg(value)),
            (Some(value), "g") => Ok(Mass::kg(value / Decimal::from(1000))),
            _ => wrong(format!("`{}` is not a mass", short(text)), "write kilograms or grams, such as `20 kg`"),
        }
    }

    fn writing() -> Writing {
        Writing::Number(vec![unit("kg", Decimal::ONE, None), unit("g", Decimal::new(1, 3), None)])
    }
}

impl Word for Decimal {
    const WHAT: &'static str = "a number";
    fn parse(text: &str) -> Result<Decimal, Wrong> {
        let value = number(text)?;
        match value.is_sign_negative() && !value.is_zero() {
            true => wrong(format!("`{text}` is less than nothing"), "write a number of nothing or more"),
            false => Ok(value),
        }
    }

    fn writing() -> Writing {
        Writing::number(&[""])
    }
}

impl Word for u32 {
    const WHAT: &'static str = "a whole number";
    fn parse(text: &str) -> Result<u32, Wrong> {
        match text.parse::<u32>() {
            Ok(n) if n <= 100_000 && !text.starts_with('+') => Ok(n),
            _ => {
                let likely = with_unit(text).0.parse::<u32>().unwrap_or(2);
                wrong(
                    format!("`{}` is not a whole number", short(text)),
                    format!("write digits only, such as `{likely}`"),
                )
            }
        }
    }

    fn writing() -> Writing {
        Writing::whole()
    }
}

/// So many per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Percent(pub Decimal);

impl Word for Percent {
    const WHAT: &'static str = "a percentage";
    fn parse(text: &str) -> Result<Percent, Wrong> {
        let cure = || match number(text) {
            Ok(n) => format!("write `{n} %`"),
            Err(_) => "write a percentage, such as `25 %`".to_owned(),
        };
        match text.strip_suffix('%').map(|n| number(n.trim())) {
            Some(Ok(n)) if !n.is_sign_negative() || n.is_zero() => Ok(Percent(n)),
            Some(Ok(_)) => wrong(format!("`{text}` is less than nothing"), "write a percentage of nothing or more"),
            _ => wrong(format!("`{}` is not a percentage", short(text)), cure()),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["%"])
    }
}

/// Degrees Celsius, exactly or from – to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Celsius(pub Range);

impl Word for Celsius {
    const WHAT: &'static str = "a temperature";
    fn parse(text: &str) -> Result<Celsius, Wrong> {
        let found = range(text, &["° C", "°C", "C"], "a temperature", "write `12 C`, or a range as `5 C to 12 C`")?;
        match found.low < Decimal::from(-60) || found.high > Decimal::from(100) {
            true => wrong(format!("`{text}` cannot be: no roof is so cold or so hot"), "write it in degrees Celsius"),
            false => Ok(Celsius(found)),
        }
    }

    fn writing() -> Writing {
        Writing::range(&["C", "°C", "° C"])
    }
}

/// Per cent, exactly or from – to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct PercentRange(pub Range);

impl Word for PercentRange {
    const WHAT: &'static str = "a percentage";
    fn parse(text: &str) -> Result<PercentRange, Wrong> {
        let found = range(text, &["%"], "a percentage", "write `75 %`, or a range as `60 % to 85 %`")?;
        match found.low < Decimal::ZERO || found.high > Decimal::ONE_HUNDRED {
            true => {
                wrong(format!("`{text}` cannot be: it lies outside 0 % to 100 %"), "measure again, or check the figure")
            }
            false => Ok(PercentRange(found)),
        }
    }

    fn writing() -> Writing {
        Writing::range(&["%"])
    }
}

/// Hours, exactly or from – to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Hours(pub Range);

impl Word for Hours {
    const WHAT: &'static str = "a number of hours";
    fn parse(text: &str) -> Result<Hours, Wrong> {
        let found =
            range(text, &["h", "hours", "hour"], "a number of hours", "write `6 h`, or a range as `4 h to 6 h`")?;
        match found.low < Decimal::ZERO {
            true => wrong(format!("`{text}` is less than nothing"), "write `6 h`"),
            false => Ok(Hours(found)),
        }
    }

    fn writing() -> Writing {
        Writing::range(&["h", "hour", "hours"])
    }
}

fn range(text: &str, units: &[&str], what: &str, cure: &str) -> Result<Range, Wrong> {
    let one = |t: &str| {
        let t = t.trim();
        let digits = units.iter().find_map(|u| t.strip_suffix(u)).map(str::trim);
        digits.and_then(|d| number(d).ok()).filter(|n| n.abs() <= Decimal::from(1000))
    };
    let (low, high) = match text.split_once(" to ") {
        Some((low, high)) => (one(low), one(high)),
        None => (one(text), one(text)),
    };
    match (low, high) {
        (Some(low), Some(high)) if low <= high => Ok(Range { low, high }),
        (Some(_), Some(_)) => wrong(format!("`{}` runs from high to low", short(text)), "write the lower one first"),
        _ => wrong(format!("`{}` is not {what}", short(text)), cure),
    }
}

/// Yes or no.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct YesNo(pub bool);

/// One of a few words.
///
/// # Errors
/// With the nearest word, or all of them.
pub(crate) fn choose<T: Clone>(text: &str, what: &str, all: &[(&str, T)]) -> Result<T, Wrong> {
    if let Some((_, value)) = all.iter().find(|(word, _)| *word == text) {
        return Ok(value.clone());
    }
    let known: Vec<&str> = all.iter().map(|(word, _)| *word).collect();
    let cure = match suggest::nearest(text, &known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write {}", suggest::words(&known, "or")),
    };
    wrong(format!("`{}` is not {what}", short(text)), cure)
}

/// Words that stand for values. `or otherwise` names what gives a cure for a word that is none of them.
macro_rules! choice {
    ($($type:ty = $what:literal $(, told as $told:literal)? $(, or $otherwise:path)? {
        $($word:literal => $value:expr),* $(,)?
    })*) => {
        $(impl $crate::job_file::read::reading::Word for $type {
            const WHAT: &'static str = $what;
            fn parse(text: &str) -> Result<$type, $crate::job_file::read::reading::Wrong> {
                let told = [$($told,)? $what][0];
                let found = $crate::job_file::read::scalars::choose(text, told, &[$(($word, $value)),*]);
                $(let found = found.map_err(|w| $otherwise(text, w));)?
                found
            }

            fn writing() -> $crate::job_file::read::form::Writing {
                $crate::job_file::read::form::Writing::Words(vec![$($word),*])
            }
        })*
    };
}

pub(crate) use choice;

choice! {
    YesNo = "yes or no", told as "an answer here" { "yes" => YesNo(true), "no" => YesNo(false) }
    Answer = "yes, no or not known", told as "an answer here" {
        "yes" => Answer::Yes, "no" => Answer::No, "not known" => Answer::NotKnown,
    }
    Operation = "an operation" {
        "strip" => Operation::Strip,
        "prepare" => Operation::Prepare,
        "deck" => Operation::Deck,
        "insulate" => Operation::Insulate,
        "trims" => Operation::Trims,
        "bandage" => Operation::Bandage,
        "laminate" => Operation::Laminate,
        "wash" => Operation::Wash,
        "repair" => Operation::Repair,
        "renew" => Operation::Renew,
        "topcoat" => Operation::Topcoat,
        "finish" => Operation::Finish,
    }
    MeasuredTo = "something to measure to" { "battens" => MeasuredTo::Battens, "fascia" => MeasuredTo::Fascia }
    DeckAction = "something that is done with a deck" {
        "new" => DeckAction::New, "overlay" => DeckAction::Overlay, "keep" => DeckAction::Keep,
    }
    JoistRun = "a way for joists to run" {
        "front to back" => JoistRun::FrontToBack, "left to right" => JoistRun::LeftToRight,
    }
    By = "one of those who can do it" { "us" => By::Us, "others" => By::Others }
    PitchedCovering = "something that lies on a pitched roof" {
        "plain tiles" => PitchedCovering::PlainTiles,
        "interlocking tiles" => PitchedCovering::InterlockingTiles,
        "slates" => PitchedCovering::Slates,
    }
    Cover = "something that a wall is covered with" { "stone" => Cover::Stone, "metal" => Cover::Metal }
    FirringsSaid = "one of those who can fix firrings" {
        "us" => FirringsSaid::Us, "others" => FirringsSaid::Others, "none" => FirringsSaid::None,
    }
    Joints = "a way to joint a trim" { "lapped" => Joints::Lapped, "none" => Joints::None }
    Finish = "a finish", or called_otherwise {
        "drip" => Finish::Drip,
        "raised" => Finish::Raised,
        "wall" => Finish::Wall,
        "kerb" => Finish::Kerb,
        "step" => Finish::Step,
        "gutter" => Finish::Gutter,
    }
}

/// What an edge is written as, by what the trade calls the place where it lies.
fn called_otherwise(text: &str, w: Wrong) -> Wrong {
    let word = text.to_lowercase();
    let is = |words: &[&str]| words.iter().any(|w| word.contains(w));
    let bare = word.trim_start_matches("finish").trim();
    if bare != word && Finish::parse(bare).is_ok() {
        return Wrong { cure: format!("write `{bare}`"), ..w };
    }
    let cure = if is(&["sill", "threshold", "door"]) {
        Some(
            "a door sill lies in a stretch of wall: write `{finish: wall, sill: 150 mm}` for that stretch, its height measured",
        )
    } else if is(&["eave", "fascia", "low"]) {
        Some("the low edge that water leaves over is `drip`")
    } else if is(&["verge", "barge", "check", "side"]) {
        Some("an edge that keeps the water in is `raised`")
    } else if is(&["parapet", "coping"]) {
        Some(
            "a parapet is `wall`, with `upstand: 300 mm` for its height where the roof ends at it; where the roof is carried over it, with `coping: {wall_height: 300 mm, …}`",
        )
    } else if is(&["abutment", "house", "brick", "render", "upstand", "masonry"]) {
        Some("an edge against masonry is `wall`")
    } else if is(&["tile", "slate", "pitched"]) {
        Some("an edge under tiles or slates is `step`, with `under:` to say what lies on it")
    } else if is(&["rooflight", "skylight", "hatch", "lantern"]) {
        Some(
            "it stands on a kerb: its hole, under `holes:`, has `finish: kerb`; every side of the roof has a finish of its own",
        )
    } else {
        None
    };
    match cure {
        Some(cure) => Wrong { cure: cure.to_owned(), ..w },
        None => w,
    }
}

impl Word for Flashing {
    const WHAT: &'static str = "a flashing";
    fn parse(text: &str) -> Result<Flashing, Wrong> {
        let found = choose(text, Flashing::WHAT, &Flashing::ALL.map(|kind| (kind.key(), kind)));
        found.map_err(|w| match text {
            "us" | "others" => Wrong {
                cure: format!("{}; who cuts it in is said once for the whole job: `flashing: {text}`", w.cure),
                ..w
            },
            _ => w,
        })
    }

    fn writing() -> Writing {
        Writing::Words(Flashing::ALL.map(Flashing::key).to_vec())
    }
}

impl Word for Gutter {
    const WHAT: &'static str = "a gutter";
    fn parse(text: &str) -> Result<Gutter, Wrong> {
        let cure = "write its shape and its width at the top, such as `half-round 112 mm`";
        let at = text.find(|c: char| c.is_ascii_digit()).unwrap_or(text.len());
        let shape = text[..at].trim();
        match Length::parse(&text[at..]) {
            Ok(size) if !shape.is_empty() && size > Length::ZERO => {
                GutterShape::parse(shape)?;
                Ok(Gutter { shape: shape.to_owned(), size, detail: None })
            }
            Err(w) if !shape.is_empty() && at < text.len() => Err(w),
            _ => wrong(format!("`{}` is not a gutter", short(text)), cure),
        }
    }

    fn writing() -> Writing {
        {
            let shapes: Vec<&str> = GutterShape::WORDS.iter().map(|(word, _)| *word).collect();
            Writing::Pattern(format!(r"({})\s*\d+(\.\d+)?\s*(mm|cm|m)", shapes.join("|")), "half-round 112 mm")
        }
    }
}

impl Word for Section {
    const WHAT: &'static str = "a timber section";
    fn parse(text: &str) -> Result<Section, Wrong> {
        let parts: Vec<&str> = text.split(['×', 'x']).map(str::trim).collect();
        let read = |part: &str| match number(part) {
            Ok(_) => Length::parse(&format!("{part} mm")),
            Err(_) => Length::parse(part),
        };
        if let [thickness, width] = parts[..]
            && width.ends_with("mm")
            && let (Ok(thickness), Ok(width)) = (read(thickness), read(width))
        {
            return Ok(Section { thickness, width });
        }
        wrong(format!("`{}` is not a timber section", short(text)), "write thickness and width, such as `25 × 50 mm`")
    }

    fn writing() -> Writing {
        Writing::Section { thickness: Limit::scaled(0, 200_000, 0), width: Limit::scaled(0, 200_000, 0) }
    }
}

/// The timber of an opening: there already, or new and of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TimberSaid(pub Option<Section>);

impl Word for TimberSaid {
    const WHAT: &'static str = "the timber of an opening";
    fn parse(text: &str) -> Result<TimberSaid, Wrong> {
        match text {
            "existing" => Ok(TimberSaid(None)),
            "new" => wrong(
                "`new` does not say which timber",
                "write its section, such as `47 × 170 mm`: the thickness, then the depth",
            ),
            _ if text.starts_with(|c: char| c.is_ascii_digit()) => Section::parse(text).map(|s| TimberSaid(Some(s))),
            _ => wrong(
                format!("`{}` is not the timber of an opening", short(text)),
                "write `existing`, or the section of new timber, such as `47 × 170 mm`",
            ),
        }
    }

    fn writing() -> Writing {
        let (thickness, width) = (limits::TIMBER_THICKNESS.limit, limits::TIMBER_WIDTH.limit);
        Writing::Either(vec![Writing::Words(vec!["existing"]), Writing::Section { thickness, width }])
    }
}

/// The section of joists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct JoistSection(pub Section);

impl Word for JoistSection {
    const WHAT: &'static str = "the section of a joist";
    fn parse(text: &str) -> Result<JoistSection, Wrong> {
        let section = Section::parse(text)?;
        let sides = [(section.thickness, limits::TIMBER_THICKNESS), (section.width, limits::TIMBER_WIDTH)];
        match sides.into_iter().find(|(side, limits)| !limits.limit.holds(side.as_mm().into())) {
            Some((side, limits)) => wrong(
                format!("{side} is not {}: it lies {}", limits.what, limits.words()),
                "write thickness and depth, such as `47 × 170 mm`",
            ),
            None => Ok(JoistSection(section)),
        }
    }

    fn writing() -> Writing {
        let (thickness, width) = (limits::TIMBER_THICKNESS.limit, limits::TIMBER_WIDTH.limit);
        Writing::Section { thickness, width }
    }
}

/// A turn in a walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct WalkTurn {
    /// Degrees to the left; square where they are not said.
    pub degrees: Decimal,
    /// Whether they are said.
    pub said: bool,
}

impl Word for WalkTurn {
    const WHAT: &'static str = "a turn";
    fn parse(text: &str) -> Result<WalkTurn, Wrong> {
        let said = text.contains(' ');
        let (side, angle) = text.split_once(' ').unwrap_or((text, "90"));
        let angle = number(angle.trim()).ok().filter(|a| *a > Decimal::ZERO && *a < Decimal::from(180));
        match (side, angle) {
            ("left", Some(angle)) => Ok(WalkTurn { degrees: angle, said }),
            ("right", Some(angle)) => Ok(WalkTurn { degrees: -angle, said }),
            _ => wrong(
                format!("`{}` is not a turn", short(text)),
                "write `left` or `right` for a square corner, or with degrees, such as `left 45`",
            ),
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![
            Writing::Words(vec!["left", "right"]),
            Writing::Pattern(r"(left|right) \d+(\.\d+)?".to_owned(), "left 45"),
        ])
    }
}

impl Word for Accent {
    const WHAT: &'static str = "a colour";
    fn parse(text: &str) -> Result<Accent, Wrong> {
        let hex = text.strip_prefix('#').unwrap_or(text);
        let good = hex.len() == 6 && hex.bytes().all(|b| b.is_ascii_hexdigit());
        let byte = |n: usize| u8::from_str_radix(&hex[n..n + 2], 16).unwrap_or_default();
        match good {
            true => Ok(Accent { rgb: [byte(0), byte(2), byte(4)] }),
            false => {
                wrong(format!("`{}` is not a colour", short(text)), "write red, green and blue, such as `\"#1f5f7a\"`")
            }
        }
    }

    fn writing() -> Writing {
        Writing::Pattern("#?[0-9A-Fa-f]{6}".to_owned(), "\"#1f5f7a\"")
    }
}

/// An answer to a question that is always asked: yes, no or a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum YesNoSum {
    /// Needed, from the firm's figures.
    Yes,
    /// Not needed.
    No,
    /// Needed, at this sum.
    Sum(Money),
}

impl Word for YesNoSum {
    const WHAT: &'static str = "yes, no or a sum";
    fn parse(text: &str) -> Result<YesNoSum, Wrong> {
        match text {
            "yes" => Ok(YesNoSum::Yes),
            "no" => Ok(YesNoSum::No),
            _ if text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '£' | '.' | '-')) => {
                Money::parse(text).map(YesNoSum::Sum)
            }
            _ => {
                wrong(format!("`{}` is not an answer here", short(text)), "write `yes`, `no` or a sum such as `120.00`")
            }
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![Writing::Words(vec!["yes", "no"]), Writing::Money])
    }
}

/// What a stage of payment takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ShareOfPrice {
    /// % of the total.
    Percent(Decimal),
    /// A sum.
    Sum(Money),
    /// What is left.
    Rest,
}

impl Word for ShareOfPrice {
    const WHAT: &'static str = "a part of the price";
    fn parse(text: &str) -> Result<ShareOfPrice, Wrong> {
        match text {
            "rest" => Ok(ShareOfPrice::Rest),
            _ if text.ends_with('%') => Percent::parse(text).map(|p| ShareOfPrice::Percent(p.0)),
            _ if (1..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit()) => wrong(
                format!("`{text}` can be pounds or per cent"),
                format!("write `{text} %`, or `{text}.00` for pounds"),
            ),
            _ if text.starts_with(|c: char| c.is_ascii_digit()) => Money::parse(text).map(ShareOfPrice::Sum),
            _ => wrong(
                format!("`{}` is not a part of the price", short(text)),
                "write a percentage such as `25 %`, a sum such as `500.00`, or `rest`",
            ),
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![Writing::number(&["%"]), Writing::Money, Writing::Words(vec!["rest"])])
    }
}

/// One temperature, in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Degrees(pub Decimal);

impl Word for Degrees {
    const WHAT: &'static str = "a temperature";
    fn parse(text: &str) -> Result<Degrees, Wrong> {
        match Celsius::parse(text) {
            Ok(Celsius(found)) if found.is_exact() => Ok(Degrees(found.low)),
            _ => wrong(format!("`{}` is not one temperature", short(text)), "write, for example, `12 C`"),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["C", "°C", "° C"])
    }
}

/// A volume in cubic metres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Volume(pub Decimal);

impl Word for Volume {
    const WHAT: &'static str = "a volume";
    fn parse(text: &str) -> Result<Volume, Wrong> {
        let (digits, unit) = with_unit(text);
        match (unit, number(digits)) {
            ("m3" | "m³", Ok(v)) if !v.is_sign_negative() && v <= Decimal::from(1000) => Ok(Volume(v)),
            _ => wrong(format!("`{}` is not a volume", short(text)), "write cubic metres, such as `4.6 m3`"),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["m3", "m³"])
    }
}

/// So much for each square metre of roof.
macro_rules! each_square_metre {
    ($($(#[$about:meta])* $name:ident = $what:literal, $unit:literal, $example:literal;)*) => {
        $($(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub(crate) struct $name(pub Decimal);

        impl Word for $name {
            const WHAT: &'static str = $what;
            fn parse(text: &str) -> Result<$name, Wrong> {
                let written = text.replace('²', "2").replace('³', "3");
                let digits = written.strip_suffix(concat!($unit, "/m2")).map(str::trim);
                match digits.and_then(|d| number(d).ok()).filter(|n| !n.is_sign_negative() && *n <= Decimal::from(1000)) {
                    Some(n) => Ok($name(n)),
                    None => wrong(
                        format!("`{}` is not {}", short(text), $what),
                        concat!("write, for example, `", $example, " ", $unit, "/m2`"),
                    ),
                }
            }

            fn writing() -> Writing {
                Writing::number(&[concat!($unit, "/m2"), concat!($unit, "/m²")])
            }
        })*
    };
}

each_square_metre! {
    /// Cubic metres for each square metre.
    CubicMetresEach = "a volume for each square metre", "m3", "0.05";
    /// Kilograms for each square metre.
    KilogramsEach = "a mass for each square metre", "kg", "12";
    /// Hours for each square metre.
    HoursEach = "a time for each square metre", "h", "0.15";
}

/// What a pack holds: a number, and the unit where it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Holds {
    /// How much.
    pub amount: Decimal,
    /// The unit as written; empty where it is not.
    pub unit: String,
}

impl Word for Holds {
    const WHAT: &'static str = "what a pack holds";
    fn parse(text: &str) -> Result<Holds, Wrong> {
        let (digits, unit) = with_unit(text);
        let amount = number(digits)?;
        match amount > Decimal::ZERO && amount <= Decimal::from(1_000_000) {
            true => Ok(Holds { amount, unit: unit.replace('²', "2") }),
            false => {
                wrong(format!("a pack cannot hold `{}`", short(text)), "write how much a pack holds, such as `20 kg`")
            }
        }
    }

    fn writing() -> Writing {
        Writing::number(&["", "each", "m", "m2", "m²", "kg", "g", "ml", "l"])
    }
}

/// How much of something is left, with the unit that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Remaining {
    /// How much.
    pub amount: Decimal,
    /// The unit as written; empty where it is not.
    pub unit: String,
}

impl Word for Remaining {
    const WHAT: &'static str = "how much is left";
    fn parse(text: &str) -> Result<Remaining, Wrong> {
        let (digits, unit) = with_unit(text);
        Ok(Remaining { amount: number(digits)?, unit: unit.replace('²', "2") })
    }

    fn writing() -> Writing {
        Holds::writing()
    }
}

/// The density of a liquid, g/ml.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Density(pub Decimal);

impl Word for Density {
    const WHAT: &'static str = "a density";
    fn parse(text: &str) -> Result<Density, Wrong> {
        let digits = text.strip_suffix("g/ml").unwrap_or(text).trim();
        match number(digits) {
            Ok(v) if v >= Decimal::new(5, 1) && v <= Decimal::from(2) => Ok(Density(v)),
            _ => wrong(
                format!("`{}` is not the density of a catalyst", short(text)),
                "write it in g/ml, such as `1.15 g/ml`",
            ),
        }
    }

    fn writing() -> Writing {
        Writing::number(&["g/ml", ""])
    }
}

/// A number in the unit of a rule: `0.15 kg/m2`, `0.15`; a fall also as `1:80`.
///
/// # Errors
/// Anything else, and less than nothing.
pub(crate) fn in_unit(text: &str, unit: &str, usual: Decimal) -> Result<Decimal, Wrong> {
    let written = text.replace('²', "2").replace('°', "");
    let digits = match unit {
        "1 in" => written.strip_prefix("1:").or_else(|| written.strip_prefix("1 in ")).unwrap_or(&written),
        _ => {
            let first = unit.split(' ').next().unwrap_or(unit);
            let one = first.strip_suffix('s').filter(|one| !one.is_empty()).unwrap_or(first);
            let endings = [unit, first, one].into_iter();
            endings.filter_map(|end| written.strip_suffix(end)).next().unwrap_or(&written)
        }
    };
    let example = if unit == "1 in" { format!("1:{usual}") } else { format!("{usual} {unit}") };
    match number(digits.trim()) {
        Ok(value) if value.is_sign_negative() && !value.is_zero() => {
            wrong(format!("`{text}` is less than nothing"), format!("the usual value is `{example}`"))
        }
        Ok(value) => Ok(value),
        Err(_) => {
            wrong(format!("`{}` is not a number in {unit}", short(text)), format!("write, for example, `{example}`"))
        }
    }
}
