//! The firm and its money terms, from its raw file.
//!
//! Given the raw firm file and the folder that it stands in; gives the firm, its terms and its rules. The logo is read
//! here, and must be a PNG or a JPEG that can be measured.

use super::email;
use super::job::{lift, no_question, stage_rules};
use super::measured::too_many;
use super::trade;
use crate::job_file::raw::firm::{
    RawBank, RawFirm, RawMail, RawMoney, RawParty, RawRate, RawRateFrom, RawVat, rules as raw_rules,
};
use crate::job_file::raw::job::texts;
use crate::job_file::raw::retention::RawRetention;
use crate::job_file::raw::rules::{self, GivenRules};
use crate::job_file::read::beside::{self, NotRead};
use crate::job_file::read::reading::{ByName, List, Slot};
use crate::job_file::read::scalars::PrintedText;
use crate::model::firm::{Accent, BankAccount, GuaranteeTerms, MailSecurity, MailServer, Person, Picture};
use crate::model::job::Party;
use crate::model::lift::Lift;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::tipping::{SKIP, VAN};
use crate::model::{Access, Firm, Mass, Problem, Rules, SettingPath, Trade, Warned};
use crate::pricing::terms::{
    AgreedRate, BOARD_UNITS, CrewRate, Load, PriceTarget, RateCharges, RateFrom, ScaffoldPrice, Vat,
};
use crate::pricing::{Money, Terms};
use rust_decimal::Decimal;
use std::net::IpAddr;
use std::path::Path;
use time::Date;

/// The accent colour where the firm names none: a dark blue-green.
const ACCENT: Accent = Accent { rgb: [0x1f, 0x5f, 0x7a] };

/// In how many days an invoice is to be paid, where the firm does not say (common practice, no source).
const PAYMENT_DAYS: u32 = 14;

/// What a firm file gives.
#[derive(Debug, Clone)]
pub(crate) struct BuiltFirm {
    /// The firm; `None` where a problem stopped it.
    pub firm: Option<Firm>,
    /// Its terms.
    pub terms: Option<Terms>,
    /// How packs are lifted, where it says.
    pub lift: Option<Lift>,
    /// Its rules, the usual ones where it names none.
    pub rules: Rules,
    /// What it writes of each.
    pub written: Vec<(&'static str, String)>,
    /// The words of the trade, its own among them.
    pub trade: Trade,
}

/// Builds the firm.
pub(crate) fn firm(mut raw: RawFirm, folder: &Path, found: &mut Vec<Problem>) -> BuiltFirm {
    let (trade, own_loads) = trade::of_firm(&mut raw, found);
    let given: GivenRules = raw_rules(raw.rules);
    rules::check(&given, found);
    let (mut people, mut crew) = (Vec::new(), Vec::new());
    if raw.people.given().is_some_and(Vec::is_empty) {
        found.push(Problem::fault(["people"], "there is nobody in this list", "add at least one person"));
    }
    too_many(raw.people.given().map_or(0, Vec::len), limits::PEOPLE, ["people"], found);
    too_many(raw.holidays.given().map_or(0, Vec::len), limits::HOLIDAYS, ["holidays"], found);
    let everybody = raw.people.take().unwrap_or_default().into_iter().enumerate();
    for (n, person) in everybody.filter_map(|(n, person)| Some((n, person.take()?))) {
        if person.hour.is_missing() && person.day.is_missing() {
            let fault = "nothing says what this person costs";
            let cure = "add `hour: 28.00`, or `day: 220.00` for somebody who is paid by whole days";
            found.push(Problem::fault(SettingPath::from(["people"]).entry(n), fault, cure));
        }
        let Some((name, role)) = person.name.take().zip(person.role.take()) else { continue };
        found.extend(rate_that_is_none(&name.0, person.hour.given(), person.day.given(), n));
        let day = person.day.take();
        // Whoever is paid by whole days is never asked what an hour costs.
        let hour = person.hour.take().or(day.map(|_| Money::ZERO));
        crew.extend(hour.map(|hour| CrewRate { name: name.0.clone(), hour, day }));
        people.push(Person { name: name.0, role: role.0, phone: person.phone.take().map(|t| t.0) });
    }
    let registered =
        raw.money.given().and_then(|m| m.vat.given()).and_then(|v| v.registered.given()).is_some_and(|r| r.0);
    let payment_days = raw.money.given().and_then(|m| m.payment_days.given()).copied().unwrap_or(PAYMENT_DAYS);
    let bank = std::mem::take(&mut raw.bank).take().and_then(|raw| bank(raw, found));
    let terms = raw.money.take().and_then(|m| terms(m, crew, own_loads, found));
    let mail = raw.mail.take().and_then(|mail| mail_server(mail, found));
    let holidays: Vec<Date> = raw.holidays.take().unwrap_or_default().into_iter().filter_map(Slot::take).collect();
    let firm = raw.firm.take().zip(raw.guarantee.take()).and_then(|(party, guarantee)| {
        vat_number(&party, registered, found);
        found.extend(email::unlikely(&party.email, ["firm", "email"].into()));
        let logo = party.logo.given().and_then(|name| logo(&name.0, folder, found));
        Some(Firm {
            legal: party.legal.take().map(|t| t.0),
            registered_in: party.registered_in.take().map(|t| t.0),
            registered_office: party.registered_office.take().map(|t| t.0),
            vat_number: party.vat_number.take().map(|t| t.0).filter(|_| registered),
            logo,
            accent: party.accent.take().unwrap_or(ACCENT),
            insurance: party.insurance.take().map(|t| t.0),
            party: Party {
                name: party.name.take()?.0,
                address: party.address.take()?.0,
                email: party.email.take().map(|t| t.0),
                phone: party.phone.take().map(|t| t.0),
            },
            guarantee_years: guarantee.years.take()?,
            guarantee: guarantee.words.take()?.0,
            repair_years: guarantee.repair_years.take().unwrap_or_default(),
            repair_guarantee: guarantee.repair_words.take().map(|t| t.0).unwrap_or_default(),
            guarantee_terms: GuaranteeTerms {
                from: guarantee.from.take().unwrap_or_default(),
                void: texts(guarantee.void),
                claim: guarantee.claim.take().map(|t| t.0),
                transfer: guarantee.transfer.take().map(|t| t.0),
            },
            terms: texts(raw.terms),
            exclusions: texts(raw.exclusions),
            needs: texts(raw.needs),
            payment: texts(raw.payment),
            bank,
            payment_days,
            people,
            weather_watch: raw.weather_watch.take().map(|t| t.0),
            holidays,
            mail,
        })
    });
    BuiltFirm { firm, terms, rules: given.rules, written: given.written, trade, lift: raw.lift.take().map(lift) }
}

/// The account, its numbers as a bank writes them.
fn bank(raw: RawBank, found: &mut Vec<Problem>) -> Option<BankAccount> {
    let digits = |text: &str| -> String { text.chars().filter(|c| !matches!(c, ' ' | '-')).collect() };
    let are = |digits: &str, count: usize| digits.len() == count && digits.bytes().all(|b| b.is_ascii_digit());
    let (name, sort_code, number) = (raw.name.take(), raw.sort_code.take(), raw.account.take());
    let (name, sort_code, number) = (name?.0, digits(&sort_code?.0), digits(&number?.0));
    let mut good = true;
    for (key, given, count, example) in
        [("sort_code", &sort_code, 6, "`00-00-00`"), ("account", &number, 8, "`00000000`")]
    {
        if !are(given, count) {
            let fault = format!("`{key}` is not a number of {count} digits");
            let cure = format!(
                "write it as it stands on a statement, such as {example}; add noughts in front of a shorter one"
            );
            found.push(Problem::fault(["bank", key], fault, cure));
            good = false;
        }
    }
    let sort_code = good.then(|| format!("{}-{}-{}", &sort_code[..2], &sort_code[2..4], &sort_code[4..]))?;
    Some(BankAccount { name, sort_code, number })
}

/// The mail server. What goes to another computer is never sent in the clear: prices, names and the password would be read by
/// anybody on the way.
fn mail_server(raw: RawMail, found: &mut Vec<Problem>) -> Option<MailServer> {
    let security = raw.security.take().unwrap_or_default();
    let usual = match security {
        MailSecurity::StartTls => 587,
        MailSecurity::Tls => 465,
        MailSecurity::Open => 25,
    };
    let server = raw.server.take()?.0;
    if server.contains(|c: char| c.is_whitespace() || matches!(c, '/' | '@')) || is_name_with_port(&server) {
        let cure = "write the name alone, such as `server: smtp.example.com`, and the port as `port: 587`";
        found.push(Problem::fault(["mail", "server"], format!("`{server}` is not the name of a server"), cure));
        return None;
    }
    let here = server.eq_ignore_ascii_case("localhost") || server.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback());
    if security == MailSecurity::Open && !here {
        let fault = format!("mail would go to {server} in the clear, for anybody on the way to read");
        let cure = "write `security: starttls` or `security: tls`, whichever whoever keeps your mailbox tells";
        found.push(Problem::fault(["mail", "security"], fault, cure));
        return None;
    }
    let port = raw.port.take().and_then(|port| u16::try_from(port).ok()).unwrap_or(usual);
    let text = |slot: Slot<PrintedText>| slot.take().map(|t| t.0);
    let (user, from, certificate) = (text(raw.user), text(raw.from), text(raw.certificate));
    Some(MailServer { server, port, security, user, from, certificate })
}

/// `smtp.example.com:587`; an address of version 6 has more than one colon.
fn is_name_with_port(server: &str) -> bool {
    server.split_once(':').is_some_and(|(_, port)| !port.contains(':'))
}

fn vat_number(party: &RawParty, registered: bool, found: &mut Vec<Problem>) {
    if registered && party.vat_number.is_missing() {
        let fault = "a firm that is registered for VAT needs `vat_number`";
        found.push(Problem::fault(
            ["firm", "vat_number"],
            fault,
            "add its number, or write `registered: no` under `money: vat:`",
        ));
    }
    if !registered && party.vat_number.given().is_some() {
        let fault = "`vat_number` is given, but the firm is not registered for VAT under `money`";
        found.push(Problem::warning(
            Warned::VatNumber,
            ["firm", "vat_number"],
            fault,
            "take it out, or write `registered: yes`",
        ));
    }
}

/// More than anybody is paid for an hour on a roof, in pounds: common practice, no source.
const DEAREST_HOUR: i64 = 100;
/// Less than anybody is paid for a day: common practice, no source.
const CHEAPEST_DAY: i64 = 60;

/// An hour that costs what a day does, or a day that costs what an hour does.
fn rate_that_is_none(name: &str, hour: Option<&Money>, day: Option<&Money>, n: usize) -> Option<Problem> {
    let pounds = |n: i64| Money::pounds(Decimal::from(n));
    let at = |key: &'static str| SettingPath::from(["people"]).entry(n).key(key);
    let (place, fault, cure) = match (hour, day) {
        (Some(hour), _) if *hour > pounds(DEAREST_HOUR) => (
            at("hour"),
            format!("an hour of {name} is said to cost {hour}: that is what a day costs"),
            format!("for somebody who is paid by whole days, write `day: {hour}` in place of `hour`"),
        ),
        (_, Some(day)) if *day < pounds(CHEAPEST_DAY) && *day > Money::ZERO => (
            at("day"),
            format!("a day of {name} is said to cost {day}: that is what an hour costs"),
            format!("for somebody who is paid by the hour, write `hour: {day}` in place of `day`"),
        ),
        _ => return None,
    };
    Some(Problem::warning(Warned::Labour, place, fault, cure))
}

fn logo(name: &str, folder: &Path, found: &mut Vec<Problem>) -> Option<Picture> {
    let mut tell = |fault: String, cure: &str| {
        found.push(Problem::fault(["firm", "logo"], fault, cure));
        None
    };
    let bytes = match beside::picture(folder, name, limits::LOGO.most).and_then(|found| found.read(None)) {
        Ok(bytes) => bytes,
        Err(NotRead::Missing) => {
            let fault = format!("there is no picture `{name}` next to the firm file");
            return tell(fault, "check its name, or take `logo` out");
        }
        Err(NotRead::Unfit(fault, cure)) => return tell(format!("the picture `{name}` {fault}"), &cure),
    };
    let known = bytes.starts_with(b"\x89PNG\r\n\x1a\n") || bytes.starts_with(b"\xFF\xD8\xFF");
    match known && imagesize::blob_size(&bytes).is_ok_and(|s| s.width > 0 && s.height > 0) {
        true => {
            let (name, bytes) = (name.to_owned(), bytes.into());
            Some(Picture { name, bytes, source: Source::Firm, path: ["firm", "logo"].into() })
        }
        false => tell(format!("`{name}` is not a PNG or JPEG picture"), "save the logo as PNG or JPEG"),
    }
}

fn terms(mut raw: RawMoney, crew: Vec<CrewRate>, own_loads: Vec<Load>, found: &mut Vec<Problem>) -> Option<Terms> {
    let target = target(&raw, found);
    let loads = loads(&mut raw, own_loads, found);
    let mut raw_vat = raw.vat.take();
    let vat_rates = raw_vat.as_mut().map(|v| vat_rates(std::mem::take(&mut v.rates))).unwrap_or_default();
    let vat = raw_vat.and_then(|v| vat(v, found));
    let stages = raw.stages.take().map(|s| stage_rules(s, &["money", "stages"].into(), found));
    let access = access_sums(raw.access, "access", found);
    let access_day = access_sums(raw.access_day, "access_day", found);
    let overhead = raw.overhead.take().map(|p| p.0);
    let target_part = match target {
        Some(PriceTarget::Margin(m)) => Some(("margin", m)),
        Some(PriceTarget::Markup(m)) => Some(("markup", m)),
        None => None,
    };
    let contingency_part = raw.contingency.given().map(|c| ("contingency", c.0));
    let least_part = raw.least_margin.given().map(|m| ("least_margin", m.0));
    let parts =
        overhead.map(|o| ("overhead", o)).into_iter().chain(contingency_part).chain(target_part).chain(least_part);
    for (key, part) in parts {
        if part > Decimal::ZERO && part < Decimal::ONE {
            let part = part.normalize();
            let fault = format!("a `{key}` of {part} % is less than a hundredth");
            let cure = format!(
                "write `{} %` if that is meant: the figure is a percentage",
                (part * Decimal::ONE_HUNDRED).normalize()
            );
            found.push(Problem::warning(Warned::Percentage, SettingPath::from(["money"]).key(key), fault, cure));
        }
    }
    let contingency = raw.contingency.or_taken(crate::job_file::read::scalars::Percent(Decimal::ZERO), || {
        found.push(Problem::assumed(
            ["money", "contingency"],
            "no contingency is given: 0 % is taken",
            "add `contingency: 3 %`",
        ));
    });
    let rot_rates = agreed_rates(raw.rot_rates, found);
    Some(Terms {
        crew,
        travel_day: raw.travel_day.take()?,
        overhead: overhead?,
        contingency: contingency.0,
        target: target?,
        least_margin: raw.least_margin.take().map(|p| p.0),
        vat: vat?,
        vat_rates,
        loads: loads?,
        strip_volume: raw.strip_volume.take().map(|v| v.0),
        scaffold: ScaffoldPrice {
            once: raw.scaffold.take()?,
            metre: raw.scaffold_metre.take().unwrap_or(Money::ZERO),
            week: raw.scaffold_week.take().unwrap_or(Money::ZERO),
        },
        access,
        access_day,
        strip_mass: raw.strip_mass.take(),
        minimum_charge: raw.minimum_charge.take(),
        round_total_to: raw.round_total_to.take(),
        stages: stages?,
        retention: raw.retention.take().and_then(RawRetention::built),
        rot_rates,
    })
}

/// The rates that a quote agrees; one of them at most charges boards, in a unit that boards can be counted in.
fn agreed_rates(raw: Slot<List<RawRate>>, found: &mut Vec<Problem>) -> Vec<AgreedRate> {
    let mut rates: Vec<AgreedRate> = Vec::new();
    for (i, rate) in raw.take().unwrap_or_default().into_iter().enumerate() {
        let path = SettingPath::from(["money", "rot_rates"]).entry(i).key("charges");
        let built = |rate: RawRate| {
            let (label, unit) = (rate.item.take()?.0, rate.unit.take()?.0);
            Some(AgreedRate { label, unit, rate: rate.rate.take()?, charges: rate.charges.take() })
        };
        let Some(rate) = rate.take().and_then(built) else { continue };
        if rate.charges == Some(RateCharges::Boards) {
            let is_known = BOARD_UNITS.iter().any(|units| units.contains(&rate.unit.as_str()));
            if !is_known {
                let fault = format!("boards cannot be charged by the {}", rate.unit);
                found.push(Problem::fault(path, fault, "give their rate for `unit: m2` or `unit: each`"));
            } else if let Some(other) = rates.iter().find(|other| other.charges == rate.charges) {
                let fault = format!("boards are charged by `{}` already", other.label);
                found.push(Problem::fault(path, fault, "let one rate alone say `charges: boards`"));
            }
        }
        rates.push(rate);
    }
    rates
}

/// What a skip, a load of the van and each of the firm's own loads cost and hold. One of the firm's own with the key of
/// another stands in its place.
fn loads(raw: &mut RawMoney, own: Vec<Load>, found: &mut Vec<Problem>) -> Option<Vec<Load>> {
    let (load, holds, bears) =
        (std::mem::take(&mut raw.van_load), std::mem::take(&mut raw.van_volume), std::mem::take(&mut raw.van_mass));
    let (paid, sized) = (!load.is_missing(), !holds.is_missing());
    if paid != sized || (!paid && !bears.is_missing()) {
        let lacks = if paid { "van_volume" } else { "van_load" };
        found.push(Problem::fault(
            SettingPath::from(["money"]).key(lacks),
            format!("a load of the van is only known with what it costs and what it holds: `{lacks}` is missing"),
            "write both, for example `van_load: 38.00` and `van_volume: 1.5 m3`, or neither",
        ));
    }
    let van = load.take().zip(holds.take()).map(|(cost, holds)| Load::van(cost, holds.0, bears.take()));
    let bears: Option<Mass> = std::mem::take(&mut raw.skip_mass).take();
    let skip = Load::skip(std::mem::take(&mut raw.skip).take()?, std::mem::take(&mut raw.skip_volume).take()?.0, bears);
    let own_has = |key: &str| own.iter().any(|l| l.key == key);
    let usual = [Some(skip).filter(|_| !own_has(SKIP)), van.filter(|_| !own_has(VAN))];
    Some(usual.into_iter().flatten().chain(own.iter().cloned()).collect())
}

/// Margin is a part of the price, markup a part of the cost: the firm names one of them.
fn target(raw: &RawMoney, found: &mut Vec<Problem>) -> Option<PriceTarget> {
    match (raw.margin.given(), raw.markup.given()) {
        (Some(margin), None) if raw.markup.is_missing() => Some(PriceTarget::Margin(margin.0)),
        (None, Some(markup)) if raw.margin.is_missing() => Some(PriceTarget::Markup(markup.0)),
        _ if raw.margin.is_bad() || raw.markup.is_bad() => None,
        (found_margin, _) => {
            let fault = match found_margin {
                Some(_) => "`margin` and `markup` are both given",
                None => "neither `margin` nor `markup` is given",
            };
            let cure = "give one: `margin: 25 %` is a part of the price, `markup: 33 %` a part of the cost";
            found.push(Problem::fault(["money"], fault, cure));
            None
        }
    }
}

fn vat(raw: RawVat, found: &mut Vec<Problem>) -> Option<Vat> {
    let registered = raw.registered.take()?.0;
    if registered && raw.rate.is_missing() {
        let fault = "a firm that is registered for VAT states its rate";
        found.push(Problem::fault(
            ["money", "vat", "rate"],
            fault,
            "add `rate: 20 %`; ask your accountant which rate applies",
        ));
    }
    if !registered && raw.rate.is_missing() {
        let fault =
            "a firm that is not registered for VAT pays it on materials and cannot reclaim it: its rate is missing";
        let cure = "write the rate that you pay on materials, as `vat: {registered: no, rate: 20 %}`";
        found.push(Problem::fault(["money", "vat", "rate"], fault, cure));
    }
    let rate = raw.rate.take().map_or(Decimal::ZERO, |p| p.0);
    Some(Vat { registered, rate, rounding: raw.rounding.take().unwrap_or_default() })
}

/// Rates that stand from a day on; whether they follow one another is for the pricing to say.
fn vat_rates(raw: Slot<List<RawRateFrom>>) -> Vec<RateFrom> {
    let one = |r: Slot<RawRateFrom>| {
        let r = r.take()?;
        Some(RateFrom { from: r.from.take()?, rate: r.rate.take()?.0 })
    };
    raw.take().unwrap_or_default().into_iter().filter_map(one).collect()
}

/// What the firm charges for a forced answer that says yes. Scaffold and minimum charge have keys of their own.
fn access_sums(raw: Slot<ByName<Money>>, key: &'static str, found: &mut Vec<Problem>) -> Vec<(Access, Money)> {
    let asked = || Access::all().filter(|a| !matches!(a, Access::Scaffold | Access::MinimumCharge));
    let mut sums = Vec::new();
    for (name, sum) in raw.take().map(|n| n.0).unwrap_or_default() {
        match asked().find(|a| a.key() == name) {
            Some(question) => sums.extend(sum.take().map(|s| (question, s))),
            None => found.push(no_question(&SettingPath::from(["money", key]).key(name.clone()), &name, asked())),
        }
    }
    sums
}
