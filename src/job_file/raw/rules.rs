//! The rules of the firm file: every name of [`for_each_rule!`](crate::for_each_rule), with its unit.
//!
//! Given the group `rules`; gives the whole set, defaults where the file says nothing, and which names it gave. A rule
//! outside its limits, or that cannot be true beside another (a dose that no data sheet allows, a table with a gap), is
//! refused here, so that no later layer has to ask.

use crate::for_each_rule;
use crate::job_file::read::form::{Form, Formed, Writing, unit};
use crate::job_file::read::places::YamlKind;
use crate::job_file::read::reading::{At, FromFile, List, Slot, Word, Wrong, is_left_empty, scalar, setting, wrong};
use crate::job_file::read::scalars::{Degrees, Percent, YesNo, in_unit, lengths};
use crate::job_file::read::settings::settings;
use crate::job_file::read::suggest;
use crate::model::Section;
use crate::model::limits::{self, Limit, Number};
use crate::model::rules::{ByFinish, Dose, GelPoint, Limits, RuleLimits};
use crate::model::{Finish, Length, Problem, Rules, SettingPath, Whereabouts};
use rust_decimal::Decimal;

/// The one key of `rules` that is no rule: the firm's data sheet allows more catalyst than 2.5 %.
pub(crate) const ALLOWS_OVER: &str = "data_sheet_allows_over";

/// The rules, and the names that the file gave.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct GivenRules {
    /// Every rule.
    pub rules: Rules,
    /// The names in the file; [`ALLOWS_OVER`] stands here when it was answered with yes.
    pub given: Vec<&'static str>,
    /// What is written after each name, where that is one value.
    pub written: Vec<(&'static str, String)>,
}

/// A value that a rule can have, read within its limits. `usual` is its default, for examples and for what is left out
/// of a table.
trait RuleValue: Sized {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self>;

    /// How it is written.
    fn form(rule: &RuleLimits) -> Form;

    /// A value as a file has it.
    fn shown(&self, rule: &RuleLimits) -> String;
}

impl RuleValue for Length {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self> {
        scalar(at, Length::WHAT, |text| {
            let length = Length::parse(text)?;
            admit(rule, text, length.as_mm().into(), usual.as_mm().into())?;
            Ok(length)
        })
    }

    fn form(_: &RuleLimits) -> Form {
        Form::Value(Length::WHAT, lengths())
    }

    fn shown(&self, _: &RuleLimits) -> String {
        self.to_string()
    }
}

impl RuleValue for Section {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self> {
        scalar(at, Section::WHAT, |text| {
            let section = Section::parse(text)?;
            let Limits::Section { thickness, width } = rule.limits else { return Ok(section) };
            let side = |part: &str, limit: Limit, side: Length, usual: Length| {
                let called = format!("the {part} of `{}`", rule.name);
                let written = format!("{side}");
                outside(&called, &written, side.as_mm().into(), limit, usual.as_mm().into(), rule)
            };
            side("thickness", thickness, section.thickness, usual.thickness)?;
            side("width", width, section.width, usual.width)?;
            Ok(section)
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        let (thickness, width) = match rule.limits {
            Limits::Section { thickness, width } => (thickness, width),
            Limits::Each(limit) | Limits::Rows { dose: limit, .. } => (limit, limit),
        };
        Form::Value(Section::WHAT, Writing::Section { thickness, width })
    }

    fn shown(&self, _: &RuleLimits) -> String {
        format!("{} × {} mm", self.thickness.as_mm(), self.width.as_mm())
    }
}

impl RuleValue for Decimal {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self> {
        scalar(at, "a number", |text| {
            let value = in_unit(text, rule.unit, *usual)?;
            admit(rule, text, value, *usual)?;
            Ok(value)
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        Form::Value("a number", in_unit_or_bare(rule.unit))
    }

    fn shown(&self, rule: &RuleLimits) -> String {
        limits::in_unit(*self, rule.unit)
    }
}

impl RuleValue for u32 {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self> {
        let one = rule.unit.strip_suffix('s').unwrap_or(rule.unit);
        let digits = |text: &str| {
            text.strip_suffix(rule.unit).or_else(|| text.strip_suffix(one)).unwrap_or(text).trim().to_owned()
        };
        scalar(at, "a whole number", |text| {
            let count = u32::parse(&digits(text))?;
            admit(rule, text, count.into(), (*usual).into())?;
            Ok(count)
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        let one = rule.unit.strip_suffix('s').unwrap_or(rule.unit);
        let units = [rule.unit, one, ""].map(|word| unit(word, Decimal::ONE, Some(0)));
        Form::Value("a whole number", Writing::Number(units.to_vec()))
    }

    fn shown(&self, rule: &RuleLimits) -> String {
        limits::in_unit((*self).into(), rule.unit)
    }
}

/// Refuses a value outside the limits of its rule, as it was written.
fn admit(rule: &RuleLimits, written: &str, value: Decimal, usual: Decimal) -> Result<(), Wrong> {
    match rule.limits {
        Limits::Each(limit) => outside(&format!("`{}`", rule.name), written, value, limit, usual, rule),
        Limits::Section { .. } | Limits::Rows { .. } => Ok(()),
    }
}

fn outside(
    called: &str,
    written: &str,
    value: Decimal,
    limit: Limit,
    usual: Decimal,
    rule: &RuleLimits,
) -> Result<(), Wrong> {
    if limit.holds(value) {
        return Ok(());
    }
    let shown = |value: Decimal| limits::in_unit(value, rule.unit);
    let (least, most) = (shown(limit.least), shown(limit.most));
    let why = if rule.why.is_empty() { String::new() } else { format!(": {}", rule.why) };
    wrong(
        format!("{called} is {}; it lies between {least} and {most}", written.chars().take(40).collect::<String>()),
        format!("write a value from {least} to {most}; {} is usual{why}", shown(usual)),
    )
}

settings! {
    /// A length for each finish; what is left out keeps its default.
    pub(crate) struct RawByFinish = "a length for each finish" {
        drip: Length;
        raised: Length;
        wall: Length;
        kerb: Length;
        step: Length;
        gutter: Length;
    }
}

impl RuleValue for ByFinish {
    fn read(rule: &RuleLimits, usual: &Self, at: At<'_>) -> Slot<Self> {
        let Some(raw) = RawByFinish::read(at).take() else { return Slot::Bad };
        let one = |finish: Finish, given: Slot<Length>| {
            let usual = usual.of(finish);
            let length = given.take().unwrap_or(usual);
            match admit(rule, &length.to_string(), length.as_mm().into(), usual.as_mm().into()) {
                Ok(()) => length,
                Err(w) => {
                    at.fault_in(finish.word(), w.fault, w.cure);
                    usual
                }
            }
        };
        Slot::Given(ByFinish {
            drip: one(Finish::Drip, raw.drip),
            raised: one(Finish::Raised, raw.raised),
            wall: one(Finish::Wall, raw.wall),
            kerb: one(Finish::Kerb, raw.kerb),
            step: one(Finish::Step, raw.step),
            gutter: one(Finish::Gutter, raw.gutter),
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        limited(RawByFinish::form(), |_| Some(number(rule, "")))
    }

    fn shown(&self, _: &RuleLimits) -> String {
        let one = |finish: Finish| format!("{}: {}", finish.word(), self.of(finish));
        format!("{{{}}}", Finish::ALL.map(one).join(", "))
    }
}

settings! {
    /// One row of the catalyst table.
    pub(crate) struct RawDose = "a row of the catalyst table" {
        from: Degrees, needed "5 C";
        to: Degrees, needed "10 C";
        laminate: Percent, needed "2.5 %";
        topcoat: Percent, needed "2.5 %";
    }
}

impl RuleValue for Vec<Dose> {
    fn read(_: &RuleLimits, _: &Self, at: At<'_>) -> Slot<Self> {
        rows(at, |r: RawDose| {
            Some(Dose {
                from: r.from.take()?.0,
                to: r.to.take()?.0,
                laminate: r.laminate.take()?.0,
                topcoat: r.topcoat.take()?.0,
            })
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        limited(List::<RawDose>::form(), |key| table_limit(rule, key))
    }

    fn shown(&self, _: &RuleLimits) -> String {
        let row = |d: &Dose| {
            let (laminate, topcoat) = (d.laminate.normalize(), d.topcoat.normalize());
            format!("{{from: {} C, to: {} C, laminate: {laminate} %, topcoat: {topcoat} %}}", d.from, d.to)
        };
        format!("[{}]", self.iter().map(row).collect::<Vec<_>>().join(", "))
    }
}

settings! {
    /// One gel time of the data sheet.
    pub(crate) struct RawGelPoint = "a gel time" {
        temperature: Degrees, needed "20 C";
        dose: Percent, needed "2 %";
        minutes: Decimal, needed "20";
    }
}

impl RuleValue for Vec<GelPoint> {
    fn read(_: &RuleLimits, _: &Self, at: At<'_>) -> Slot<Self> {
        rows(at, |r: RawGelPoint| {
            Some(GelPoint { temperature: r.temperature.take()?.0, dose: r.dose.take()?.0, minutes: r.minutes.take()? })
        })
    }

    fn form(rule: &RuleLimits) -> Form {
        limited(List::<RawGelPoint>::form(), |key| table_limit(rule, key))
    }

    fn shown(&self, _: &RuleLimits) -> String {
        let row =
            |p: &GelPoint| format!("{{temperature: {} C, dose: {} %, minutes: {}}}", p.temperature, p.dose, p.minutes);
        format!("[{}]", self.iter().map(row).collect::<Vec<_>>().join(", "))
    }
}

/// A number in the unit of its rule, or without: what [`in_unit`] reads.
fn in_unit_or_bare(of: &str) -> Writing {
    if of == "1 in" {
        return Writing::Either(vec![Writing::Fall, Writing::number(&[""])]);
    }
    let first = of.split(' ').next().unwrap_or(of);
    let one = first.strip_suffix('s').unwrap_or(first);
    let mut words: Vec<String> = vec![of.to_owned(), first.to_owned(), one.to_owned(), String::new()];
    words.extend(of.contains('2').then(|| of.replace('2', "²")));
    words.extend((of == "degrees").then(|| "°".to_owned()));
    words.extend((of == "C").then(|| "°C".to_owned()));
    words.sort();
    words.dedup();
    Writing::Number(words.iter().map(|word| unit(word, Decimal::ONE, None)).collect())
}

/// The limits of a rule as those of a number.
fn number(rule: &RuleLimits, unit: &'static str) -> Number {
    let limit = match rule.limits {
        Limits::Each(limit) | Limits::Section { thickness: limit, .. } | Limits::Rows { dose: limit, .. } => limit,
    };
    Number { what: rule.name, unit: if unit.is_empty() { rule.unit } else { unit }, limit, why: rule.why }
}

/// The limits of a column of a table.
fn table_limit(rule: &RuleLimits, key: &str) -> Option<Number> {
    let Limits::Rows { temperature, dose, minutes, .. } = rule.limits else { return None };
    let (limit, unit) = match key {
        "from" | "to" | "temperature" => (temperature, "C"),
        "dose" => (dose, "%"),
        "minutes" => (minutes, "minutes"),
        _ => return None,
    };
    Some(Number { what: rule.name, unit, limit, why: rule.why })
}

/// A group, or a list of groups, with limits for its keys.
fn limited(form: Form, limit: impl Fn(&str) -> Option<Number> + Copy) -> Form {
    match form {
        Form::Group(mut group) => {
            group.keys.iter_mut().for_each(|key| key.limit = limit(key.key));
            Form::Group(group)
        }
        Form::List(each) => Form::List(Box::new(limited(*each, limit))),
        other => other,
    }
}

/// A rule, for whoever explains it.
#[derive(Debug, Clone)]
pub(crate) struct RuleForm {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub form: Form,
    /// Its limits, where it is one number.
    pub limit: Option<Number>,
    /// Its default, as a file has it.
    pub usual: String,
}

/// A table, if every row is good.
fn rows<R: FromFile, T>(at: At<'_>, row: impl Fn(R) -> Option<T>) -> Slot<Vec<T>> {
    let all = List::<R>::read(at).take();
    let all = all.and_then(|l| l.into_iter().map(|r| r.take().and_then(&row)).collect::<Option<Vec<T>>>());
    all.map_or(Slot::Bad, Slot::Given)
}

/// Reads one rule over its default.
fn over<T: RuleValue>(rule: &mut T, limits: &RuleLimits, at: At<'_>) {
    if !is_left_empty(at)
        && let Slot::Given(value) = T::read(limits, rule, at)
    {
        *rule = value;
    }
}

macro_rules! read_rules {
    ($($name:ident: $type:ty = $default:expr, $limits:expr, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        /// Reads a rule; `None` if there is none of that name.
        fn read_rule(rules: &mut Rules, at: At<'_>) -> Option<&'static str> {
            let limits = Rules::LIMITS.iter().find(|r| r.name == at.key())?;
            match at.key() {
                $(stringify!($name) => {
                    over(&mut rules.$name, limits, at);
                    Some(stringify!($name))
                })*
                _ => None,
            }
        }
    };
}

for_each_rule!(read_rules);

macro_rules! forms_of_rules {
    ($($name:ident: $type:ty = $default:expr, $limits:expr, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        /// Every rule as it may be written, in order.
        pub(crate) fn forms() -> Vec<RuleForm> {
            let usual = Rules::default();
            let one = |limits: &RuleLimits, form: Form, usual: String| RuleForm {
                name: limits.name,
                limit: matches!((&form, limits.limits), (Form::Value(..), Limits::Each(_))).then(|| number(limits, "")),
                form,
                usual,
            };
            let mut limits = Rules::LIMITS.iter();
            let mut all = Vec::new();
            $(if let Some(limits) = limits.next() {
                all.push(one(limits, <$type as RuleValue>::form(limits), usual.$name.shown(limits)));
            })*
            all
        }
    };
}

for_each_rule!(forms_of_rules);

impl Formed for GivenRules {
    fn form() -> Form {
        Form::Rules
    }
}

impl FromFile for GivenRules {
    fn read(at: At<'_>) -> Slot<Self> {
        if !at.expects(YamlKind::Group, "a group of settings") {
            return Slot::Bad;
        }
        let mut read = GivenRules::default();
        for at in at.entries() {
            if at.key() == ALLOWS_OVER {
                read.given.extend(setting::<YesNo>(at).given().filter(|a| a.0).map(|_| ALLOWS_OVER));
                continue;
            }
            match read_rule(&mut read.rules, at) {
                Some(name) => {
                    read.given.push(name);
                    read.written.extend((at.kind() == YamlKind::Text).then(|| (name, at.text().trim().to_owned())));
                }
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

/// The firm's rules with those of one job in their place, and which those are. What cannot be true of them together is
/// told of the job's.
pub(crate) fn of_job(
    firm: &Rules,
    firms: &[(&'static str, String)],
    own: &GivenRules,
    found: &mut Vec<Problem>,
) -> JobRules {
    let mut both = GivenRules { rules: firm.clone(), given: own.given.clone(), written: Vec::new() };
    own.given.iter().for_each(|name| both.rules.take(name, &own.rules));
    let path = |name: &str| SettingPath::from(["rules"]).key(name.to_owned());
    let below = |at: &SettingPath, name: &str| at.moved(&path(name), &path(name)).is_some();
    let (mut told, mut firms_own) = (Vec::new(), Vec::new());
    check(&both, &mut told);
    check(&GivenRules { rules: firm.clone(), ..both.clone() }, &mut firms_own);
    // Of two rules that cannot stand together the job may have given the other one.
    let here = |p: Problem| match &p.place {
        Whereabouts::Setting(at) if own.given.iter().any(|name| below(at, name)) => p,
        _ => Problem { place: SettingPath::from(["rules"]).into(), ..p },
    };
    found.extend(told.into_iter().filter(|p| !firms_own.contains(p)).map(here));
    let names: Vec<&'static str> = own.given.iter().copied().filter(|name| !both.rules.agrees(name, firm)).collect();
    for name in &names {
        let says = |all: &[(&'static str, String)]| all.iter().find(|(n, _)| n == name).map(|(_, text)| text.clone());
        let fault = match (says(&own.written), says(firms)) {
            (Some(own), Some(firm)) => format!("`{name}` is {own} for this job alone; the firm file says {firm}"),
            (Some(own), None) => format!("`{name}` is {own} for this job alone; the firm file leaves it as usual"),
            (None, _) => format!("`{name}` is given for this job alone"),
        };
        found.push(Problem::assumed(path(name), fault, "take it out of the job to go by the firm's rule"));
    }
    JobRules { rules: both.rules, own: names }
}

/// The rules of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct JobRules {
    /// Every rule.
    pub rules: Rules,
    /// Those that are not the firm's.
    pub own: Vec<&'static str>,
}

/// Tells the rules that cannot be true.
pub(crate) fn check(read: &GivenRules, found: &mut Vec<Problem>) {
    let rules = &read.rules;
    let mut tell = |name: &'static str, fault: String, cure: &str| {
        found.push(Problem::fault(SettingPath::from(["rules"]).key(name), fault, cure))
    };
    for (name, fault, cure) in orders(rules) {
        tell(name, fault, cure);
    }
    tables(rules, found);
    doses(rules, read.given.contains(&ALLOWS_OVER), found);
    gel_points(&rules.gel_points, found);
}

/// Pairs of rules where one must stay below the other, as far as the limits of each leave a doubt.
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
        r.old_deck_bite <= r.old_deck,
        "old_deck_bite",
        format!("a screw cannot hold {} in old boards of {}", r.old_deck_bite, r.old_deck),
        "make `old_deck_bite` no more than `old_deck`",
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
    below(
        r.hours_setup * Decimal::TWO <= r.day_hours,
        "hours_setup",
        format!("{} h of setting up and clearing leave too little of a day of {} h", r.hours_setup, r.day_hours),
        "make it half of `day_hours` at most",
    );
    below(
        r.cure_hours < r.recoat_hours,
        "recoat_hours",
        format!("a laminate that is hard after {} h cannot be too old after {} h", r.cure_hours, r.recoat_hours),
        "make `recoat_hours` longer than `cure_hours`",
    );
    below(
        r.deck_edge_fixing <= r.deck_field_fixing,
        "deck_edge_fixing",
        format!("{} at the edges is wider than {} in the field", r.deck_edge_fixing, r.deck_field_fixing),
        "fix the edges at least as closely as the field",
    );
    below(
        r.mat_stagger * 3 <= r.mat_longest,
        "mat_stagger",
        format!("end joints {} apart do not fit strips of at most {}", r.mat_stagger, r.mat_longest),
        "make `mat_stagger` a third of `mat_longest` at most",
    );
    below(
        r.u_renovated <= r.u_threshold,
        "u_threshold",
        format!("a roof is improved when it is worse than {}, up to {} W/m2K", r.u_threshold, r.u_renovated),
        "make `u_threshold` at least `u_renovated`",
    );
    all
}

/// What lies outside the limits in the rows of the tables.
fn tables(rules: &Rules, found: &mut Vec<Problem>) {
    let doses = rules.catalyst.iter().map(|r| [("from", r.from), ("to", r.to)].to_vec()).collect();
    let gels = rules
        .gel_points
        .iter()
        .map(|p| [("temperature", p.temperature), ("dose", p.dose), ("minutes", p.minutes)].to_vec());
    table("catalyst", doses, found);
    table("gel_points", gels.collect(), found);
}

fn table(name: &'static str, table: Vec<Vec<(&'static str, Decimal)>>, found: &mut Vec<Problem>) {
    let Some(Limits::Rows { rows, temperature, dose, minutes }) =
        Rules::LIMITS.iter().find(|r| r.name == name).map(|r| r.limits)
    else {
        return;
    };
    if !rows.holds(table.len().into()) {
        let fault = format!("there are {} rows in `{name}`; there may be up to {}", table.len(), rows.most);
        found.push(Problem::fault(SettingPath::from(["rules"]).key(name), fault, "keep the rows that the firm uses"));
    }
    for (n, row) in table.iter().enumerate() {
        for &(key, value) in row {
            let (limit, unit) = match key {
                "dose" => (dose, "%"),
                "minutes" => (minutes, "minutes"),
                _ => (temperature, "C"),
            };
            if !limit.holds(value) {
                let shown = |value| limits::in_unit(value, unit);
                let (least, most) = (shown(limit.least), shown(limit.most));
                let fault = format!("`{key}` is {}; it lies between {least} and {most}", shown(value));
                found.push(Problem::fault(
                    SettingPath::from(["rules"]).key(name).entry(n).key(key),
                    fault,
                    "copy the data sheet's row again",
                ));
            }
        }
    }
}

/// The catalyst table: in order, without gap or overlap, no dose below 1 % (it may never cure, from memory), and none
/// above 2.5 % unless a data sheet allows it (sources disagree above 2.5 %).
fn doses(rules: &Rules, allowed: bool, found: &mut Vec<Problem>) {
    let mut tell = |n: usize, fault: String, cure: &str| {
        found.push(Problem::fault(SettingPath::from(["rules", "catalyst"]).entry(n), fault, cure))
    };
    let most = if allowed { Decimal::from(4) } else { Decimal::new(25, 1) };
    if rules.catalyst.is_empty() {
        found.push(Problem::fault(
            ["rules", "catalyst"],
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
        let path = SettingPath::from(["rules", "gel_points"]).entry(n);
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
