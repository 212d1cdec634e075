//! The rules of the firm file: every name of [`for_each_rule!`](crate::for_each_rule), with its unit.
//!
//! Given the group `rules`; gives the whole set, defaults where the file says nothing, and which names it gave. A rule
//! that cannot be true (no spacing at all, a dose that no data sheet allows, a table with a gap) is refused here, so
//! that no later layer has to ask.

use crate::for_each_rule;
use crate::job_file::read::places::Kind;
use crate::job_file::read::reading::{At, FromFile, List, Slot, Word, is_left_empty, scalar, setting, settings};
use crate::job_file::read::scalars::{Degrees, Percent, YesNo, in_unit};
use crate::job_file::read::suggest;
use crate::model::rules::{ByFinish, Dose, GelPoint, Section};
use crate::model::{Length, Problem, Rules};
use rust_decimal::Decimal;

/// The one key of `rules` that is no rule: the firm's data sheet allows more catalyst than 2.5 %.
pub const ALLOWS_OVER: &str = "data_sheet_allows_over";

/// The rules, and the names that the file gave.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GivenRules {
    /// Every rule.
    pub rules: Rules,
    /// The names in the file; [`ALLOWS_OVER`] stands here when it was answered with yes.
    pub given: Vec<&'static str>,
}

/// A value that a rule can have. `usual` is its default, for examples and for what is left out of a table.
trait RuleValue: Sized {
    fn read(unit: &str, usual: &Self, at: At<'_>) -> Slot<Self>;
}

impl RuleValue for Length {
    fn read(_: &str, _: &Self, at: At<'_>) -> Slot<Self> {
        FromFile::read(at)
    }
}

impl RuleValue for Section {
    fn read(_: &str, _: &Self, at: At<'_>) -> Slot<Self> {
        FromFile::read(at)
    }
}

impl RuleValue for Decimal {
    fn read(unit: &str, usual: &Self, at: At<'_>) -> Slot<Self> {
        scalar(at, "a number", |text| in_unit(text, unit, *usual))
    }
}

impl RuleValue for u32 {
    fn read(unit: &str, _: &Self, at: At<'_>) -> Slot<Self> {
        let one = unit.strip_suffix('s').unwrap_or(unit);
        let digits =
            |text: &str| text.strip_suffix(unit).or_else(|| text.strip_suffix(one)).unwrap_or(text).trim().to_owned();
        scalar(at, "a whole number", |text| u32::parse(&digits(text)))
    }
}

settings! {
    /// A length for each finish; what is left out keeps its default.
    pub struct RawByFinish = "a length for each finish" {
        drip: Length;
        raised: Length;
        wall: Length;
        kerb: Length;
        step: Length;
    }
}

impl RuleValue for ByFinish {
    fn read(_: &str, usual: &Self, at: At<'_>) -> Slot<Self> {
        RawByFinish::read(at).take().map_or(Slot::Bad, |r| {
            Slot::Given(ByFinish {
                drip: r.drip.take().unwrap_or(usual.drip),
                raised: r.raised.take().unwrap_or(usual.raised),
                wall: r.wall.take().unwrap_or(usual.wall),
                kerb: r.kerb.take().unwrap_or(usual.kerb),
                step: r.step.take().unwrap_or(usual.step),
            })
        })
    }
}

settings! {
    /// One row of the catalyst table.
    pub struct RawDose = "a row of the catalyst table" {
        from: Degrees, needed "5 C";
        to: Degrees, needed "10 C";
        laminate: Percent, needed "2.5 %";
        topcoat: Percent, needed "2.5 %";
    }
}

impl RuleValue for Vec<Dose> {
    fn read(_: &str, _: &Self, at: At<'_>) -> Slot<Self> {
        rows(at, |r: RawDose| {
            Some(Dose {
                from: r.from.take()?.0,
                to: r.to.take()?.0,
                laminate: r.laminate.take()?.0,
                topcoat: r.topcoat.take()?.0,
            })
        })
    }
}

settings! {
    /// One gel time of the data sheet.
    pub struct RawGelPoint = "a gel time" {
        temperature: Degrees, needed "20 C";
        dose: Percent, needed "2 %";
        minutes: Decimal, needed "20";
    }
}

impl RuleValue for Vec<GelPoint> {
    fn read(_: &str, _: &Self, at: At<'_>) -> Slot<Self> {
        rows(at, |r: RawGelPoint| {
            Some(GelPoint { temperature: r.temperature.take()?.0, dose: r.dose.take()?.0, minutes: r.minutes.take()? })
        })
    }
}

/// A table, if every row is good.
fn rows<R: FromFile, T>(at: At<'_>, row: impl Fn(R) -> Option<T>) -> Slot<Vec<T>> {
    let all = List::<R>::read(at).take();
    let all = all.and_then(|l| l.into_iter().map(|r| r.take().and_then(&row)).collect::<Option<Vec<T>>>());
    all.map_or(Slot::Bad, Slot::Given)
}

/// Reads one rule over its default.
fn over<T: RuleValue>(rule: &mut T, unit: &str, at: At<'_>) {
    if !is_left_empty(at)
        && let Slot::Given(value) = T::read(unit, rule, at)
    {
        *rule = value;
    }
}

macro_rules! read_rules {
    ($($name:ident: $type:ty = $default:expr, $unit:literal, $what:literal;)*) => {
        /// Reads a rule; `None` if there is none of that name.
        fn read_rule(rules: &mut Rules, at: At<'_>) -> Option<&'static str> {
            match at.key() {
                $(stringify!($name) => {
                    over(&mut rules.$name, $unit, at);
                    Some(stringify!($name))
                })*
                _ => None,
            }
        }
    };
}

for_each_rule!(read_rules);

impl FromFile for GivenRules {
    fn read(at: At<'_>) -> Slot<Self> {
        if !at.expects(Kind::Group, "a group of settings") {
            return Slot::Bad;
        }
        let mut read = GivenRules::default();
        for at in at.entries() {
            if at.key() == ALLOWS_OVER {
                read.given.extend(setting::<YesNo>(at).given().filter(|a| a.0).map(|_| ALLOWS_OVER));
                continue;
            }
            match read_rule(&mut read.rules, at) {
                Some(name) => read.given.push(name),
                None => unknown_rule(at),
            }
        }
        Slot::Given(read)
    }
}

/// There are too many rules to list them all.
fn unknown_rule(at: At<'_>) {
    if at.is_full() {
        return;
    }
    let short: String = at.key().chars().take(60).collect();
    let mut known: Vec<&str> = Rules::ABOUT.iter().map(|(name, ..)| *name).collect();
    known.push(ALLOWS_OVER);
    let cure = match suggest::nearest(&short, &known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "take it out; the demo firm file shows every rule with its default".to_owned(),
    };
    at.fault(format!("`{short}` is not a rule"), cure);
}

/// Tells the rules that cannot be true.
pub fn check(read: &GivenRules, found: &mut Vec<Problem>) {
    let rules = &read.rules;
    let mut tell =
        |name: &str, fault: String, cure: &str| found.push(Problem::fault(format!("rules.{name}"), fault, cure));
    for (name, _) in lengths_over_nothing(rules).into_iter().filter(|(_, v)| *v == Length::ZERO) {
        tell(name, format!("`{name}` cannot be nothing"), "write a length of more than 0 mm");
    }
    for (name, value) in numbers_over_nothing(rules).into_iter().filter(|(_, v)| v.is_zero()) {
        tell(name, format!("`{name}` cannot be {value}"), "write a number of more than 0");
    }
    for (name, value, least, most) in within(rules).into_iter().filter(|(_, v, least, most)| v < least || v > most) {
        let fault = format!("`{name}` of {} cannot be", value.normalize());
        let cure = format!("write a number from {} to {}", least.normalize(), most.normalize());
        tell(name, fault, &cure);
    }
    for (name, fault, cure) in orders(rules) {
        tell(name, fault, cure);
    }
    doses(rules, read.given.contains(&ALLOWS_OVER), found);
    gel_points(&rules.gel_points, found);
}

fn lengths_over_nothing(r: &Rules) -> [(&'static str, Length); 19] {
    [
        ("nail_spacing", r.nail_spacing),
        ("deck_edge_fixing", r.deck_edge_fixing),
        ("deck_field_fixing", r.deck_field_fixing),
        ("bracket_spacing", r.bracket_spacing),
        ("dab_spacing", r.dab_spacing),
        ("bead_per_cartridge", r.bead_per_cartridge),
        ("shortest_piece", r.shortest_piece),
        ("mat_longest", r.mat_longest),
        ("bandage_joint", r.bandage_joint),
        ("bandage_trim", r.bandage_trim),
        ("bandage_roll", r.bandage_roll),
        ("corner_patch", r.corner_patch),
        ("flashing_piece", r.flashing_piece),
        ("ladder_point", r.ladder_point),
        ("wall_rain_height", r.wall_rain_height),
        ("cold_void", r.cold_void),
        ("cold_gap", r.cold_gap),
        ("shortest_insulation", r.shortest_insulation),
        ("batten", r.batten.thickness.min(r.batten.width)),
    ]
}

fn numbers_over_nothing(r: &Rules) -> [(&'static str, Decimal); 14] {
    [
        ("topcoat_rate", r.topcoat_rate),
        ("aggregate_rate", r.aggregate_rate),
        ("gel_at_20", r.gel_at_20),
        ("max_pot", r.max_pot),
        ("laying_rate", r.laying_rate),
        ("pot_margin", r.pot_margin),
        ("acetone_per", r.acetone_per),
        ("sleeve_area", r.sleeve_area),
        ("day_hours", r.day_hours),
        ("design_rain", r.design_rain),
        ("u_new_element", r.u_new_element),
        ("u_renovated", r.u_renovated),
        ("u_threshold", r.u_threshold),
        ("board_density", r.board_density),
    ]
}

/// Numbers with bounds. Glass fraction: drier than 0.4 or richer than 0.2 is not laid by hand (judgement, no source).
fn within(r: &Rules) -> [(&'static str, Decimal, Decimal, Decimal); 17] {
    let (zero, hundred) = (Decimal::ZERO, Decimal::ONE_HUNDRED);
    [
        ("glass_fraction", r.glass_fraction, Decimal::new(2, 1), Decimal::new(4, 1)),
        ("wall_rain_share", r.wall_rain_share, zero, Decimal::ONE),
        ("design_rain", r.design_rain, zero, Decimal::new(2, 1)),
        ("least_fall", r.least_fall, Decimal::TEN, Decimal::from(1000)),
        ("aggregate_rate", r.aggregate_rate, zero, Decimal::TEN),
        ("aggregate_topcoat", r.aggregate_topcoat, Decimal::ONE, Decimal::from(200)),
        ("hours_aggregate", r.hours_aggregate, zero, Decimal::from(5)),
        ("bucket_loss", r.bucket_loss, zero, Decimal::from(50)),
        ("catalyst_to_order", r.catalyst_to_order, zero, Decimal::TEN),
        ("pot_margin", r.pot_margin, zero, hundred),
        ("humidity_stop", r.humidity_stop, Decimal::from(20), hundred),
        ("moisture_stop", r.moisture_stop, Decimal::ONE, Decimal::from(40)),
        ("day_hours", r.day_hours, zero, Decimal::from(24)),
        ("shortest_board", Decimal::from(r.shortest_board), Decimal::ONE, Decimal::TEN),
        ("drip_battens", Decimal::from(r.drip_battens), zero, Decimal::TEN),
        ("dab_rows", Decimal::from(r.dab_rows), zero, Decimal::TEN),
        ("raised_battens", Decimal::from(r.raised_battens), zero, Decimal::TEN),
    ]
}

/// Pairs of rules where one must stay below the other.
fn orders(r: &Rules) -> Vec<(&'static str, String, &'static str)> {
    let mut all = Vec::new();
    let mut below = |good: bool, name: &'static str, fault: String, cure: &'static str| {
        if !good {
            all.push((name, fault, cure));
        }
    };
    below(
        r.trim_lap < r.shortest_piece,
        "trim_lap",
        format!("a lap of {} is as long as the shortest piece of {}", r.trim_lap, r.shortest_piece),
        "make the lap shorter, or `shortest_piece` longer",
    );
    below(
        r.mitre_allowance <= Length::mm(500),
        "mitre_allowance",
        format!("no flange is {} wide", r.mitre_allowance),
        "write the width of a trim's flange on the roof; 100 mm is usual",
    );
    below(
        r.kerf <= Length::mm(20),
        "kerf",
        format!("no saw takes {} at a cut", r.kerf),
        "write the width of the cut: 0 mm for snips, 2 mm for a saw",
    );
    below(
        r.bandage_lap < r.bandage_roll,
        "bandage_lap",
        format!("a lap of {} is as long as the roll of {}", r.bandage_lap, r.bandage_roll),
        "make the lap shorter, or `bandage_roll` longer",
    );
    below(
        r.flashing_lap < r.flashing_piece,
        "flashing_lap",
        format!("a lap of {} is as long as the piece of {}", r.flashing_lap, r.flashing_piece),
        "make the lap shorter",
    );
    below(
        r.mat_lap < Length::mm(500),
        "mat_lap",
        format!("a lap of {} leaves no pitch between strips", r.mat_lap),
        "write a lap of less than 500 mm; 50 mm is usual",
    );
    below(
        r.corner_from < r.corner_to,
        "corner_from",
        format!("corner pieces cannot stand from {} up to {} degrees", r.corner_from, r.corner_to),
        "make `corner_from` smaller than `corner_to`",
    );
    below(
        r.air_stop <= r.air_warn && r.air_warn < r.air_hot,
        "air_warn",
        format!("{} C to stop, {} C to warn and {} C as too hot are not in order", r.air_stop, r.air_warn, r.air_hot),
        "write `air_stop` below `air_warn` below `air_hot`",
    );
    all
}

/// The catalyst table: in order, without gap or overlap, no dose below 1 % (it may never cure, from memory), and none
/// above 2.5 % unless a data sheet allows it (sources disagree above 2.5 %).
fn doses(rules: &Rules, allowed: bool, found: &mut Vec<Problem>) {
    let mut tell =
        |n: usize, fault: String, cure: &str| found.push(Problem::fault(format!("rules.catalyst[{n}]"), fault, cure));
    let most = if allowed { Decimal::from(4) } else { Decimal::new(25, 1) };
    if rules.catalyst.is_empty() {
        found.push(Problem::fault(
            "rules.catalyst",
            "the catalyst table has no row",
            "give at least one row, or take `catalyst` out",
        ));
        return;
    }
    for (n, row) in rules.catalyst.iter().enumerate() {
        if row.from >= row.to {
            tell(n, format!("this row runs from {} C to {} C", row.from, row.to), "write the lower temperature first");
        }
        for (what, dose) in [("laminate", row.laminate), ("topcoat", row.topcoat)] {
            if dose > most {
                let cure = format!(
                    "write 2.5 % or less; where the product's data sheet allows more, add `{ALLOWS_OVER}: yes` to the rules"
                );
                let cure = if allowed { "no dose above 4 % is taken: follow the data sheet".to_owned() } else { cure };
                tell(
                    n,
                    format!("a dose of {} % for the {what} is more than {} %", dose.normalize(), most.normalize()),
                    &cure,
                );
            } else if dose.is_zero() {
                tell(n, format!("a dose of nothing never cures the {what}"), "write the dose of the data sheet");
            } else if dose < Decimal::ONE {
                let fault = format!("a dose of {} % for the {what} is less than 1 %", dose.normalize());
                tell(n, fault, "write 1 % or more: below it resin may never cure through");
            }
        }
    }
    for (n, pair) in rules.catalyst.windows(2).enumerate() {
        let (before, row) = (pair[0], pair[1]);
        let what = if row.from < before.to { "overlaps" } else { "leaves a gap after" };
        if row.from != before.to {
            let fault = format!("the row from {} C {what} the row before, which ends at {} C", row.from, before.to);
            tell(n + 1, fault, "let each row begin where the one before ends");
        }
    }
}

/// Gel times that contradict each other: at the same dose, warmer resin gels sooner; at the same temperature, more
/// catalyst gels it sooner.
fn gel_points(points: &[GelPoint], found: &mut Vec<Problem>) {
    for (n, point) in points.iter().enumerate() {
        let path = format!("rules.gel_points[{n}]");
        if point.minutes.is_zero() || point.dose.is_zero() {
            found.push(Problem::fault(
                path.clone(),
                "a gel time needs a dose and minutes of more than 0",
                "copy the data sheet",
            ));
        }
        let against = points[..n].iter().position(|b| contradicts(b, point));
        if let Some(m) = against {
            let fault =
                format!("this gel time contradicts row {}: warmer, or with more catalyst, must be sooner", m + 1);
            found.push(Problem::fault(path, fault, "copy the data sheet's rows again"));
        }
    }
}

fn contradicts(a: &GelPoint, b: &GelPoint) -> bool {
    let (warmer, stronger) = (a.temperature.cmp(&b.temperature), a.dose.cmp(&b.dose));
    let expected = if warmer.is_eq() { stronger } else { warmer };
    let comparable = warmer.is_eq() || stronger.is_eq() || warmer == stronger;
    comparable && a.minutes.cmp(&b.minutes) != expected.reverse()
}
