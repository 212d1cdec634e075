//! What no price can be made from: terms, price books and sums that cannot be right.
//!
//! Given what was read; gives every fault at once, and warnings about what is merely unlikely.

use super::book::{Article, PriceBook};
use super::money::Money;
use super::sale;
use super::terms::{ClaimedRate, JobMoney, PriceTarget, Terms, VAT_REASONS};
use crate::model::problem::Source;
use crate::model::tipping::{Tipping, VAN};
use crate::model::{Job, Problem, Rules, SettingPath, Whereabouts};
use crate::programme::Programme;
use rust_decimal::Decimal;
use time::Duration;

/// More price books than this are refused: the exact split is worked for every set of merchants.
const MOST_BOOKS: usize = 6;

/// Every fault in the terms, the price books and the job's sums.
pub(super) fn faults(job: &Job, books: &[PriceBook], terms: &Terms, money: &JobMoney) -> Vec<Problem> {
    let mut found = terms_faults(terms);
    found.extend(strip_faults(job, terms));
    found.extend(extra_faults(money));
    found.extend(money.vat.as_ref().and_then(claim_fault));
    found.extend(books.iter().enumerate().flat_map(|(b, book)| book_faults(b, book)));
    found.extend((books.len() > MOST_BOOKS).then(|| {
        let fault = format!("{} price books are too many to compare exactly", books.len());
        Problem::fault(Whereabouts::WholeFile, fault, format!("keep the {MOST_BOOKS} that matter"))
    }));
    found
}

/// A fault of a setting under the firm's `money`.
fn firm(key: &'static str, fault: String, cure: &str) -> Problem {
    firm_at(["money", key].into(), fault, cure)
}

fn firm_at(path: SettingPath, fault: String, cure: &str) -> Problem {
    Problem::fault(path, fault, cure).within(Source::Firm)
}

/// A sum above this, in pounds, or with more than four decimals, is a slip of the pen.
const MOST_POUNDS: Decimal = Decimal::from_parts(10_000_000, 0, 0, false, 0);

/// No pack holds more than this, in any unit.
const MOST_HELD: Decimal = Decimal::from_parts(10_000_000, 0, 0, false, 0);

fn is_absurd(sum: Money) -> bool {
    let pounds = sum.as_pounds();
    pounds.abs() > MOST_POUNDS || pounds.normalize().scale() > 4
}

fn absurd(path: SettingPath, sum: Money) -> Problem {
    let fault = format!("{} is not a sum of money that can be meant", sum.as_pounds().normalize());
    Problem::fault(path, fault, "write pounds and pence, as 12.10")
}

fn terms_faults(terms: &Terms) -> Vec<Problem> {
    let mut found = Vec::new();
    if terms.crew.is_empty() {
        let cure = "name at least one person with what an hour costs";
        found.push(Problem::fault(["people"], "nobody is in the crew", cure).within(Source::Firm));
    }
    found.extend(target_fault(terms.target));
    found.extend(percent_faults(terms));
    found.extend(rate_faults(terms));
    let step = Money::pence(1);
    if terms.round_total_to.is_some_and(|to| to < step) {
        found.push(firm(
            "round_total_to",
            "the total cannot be rounded to less than a penny".into(),
            "write 1.00, 5.00 or 10.00",
        ));
    }
    found.extend(terms.crew.iter().enumerate().filter(|(_, c)| c.hour < Money::ZERO).map(|(i, c)| {
        let fault = format!("an hour of {} costs less than nothing", c.name);
        Problem::fault(SettingPath::from(["people"]).entry(i).key("hour"), fault, "write what the hour costs the firm")
            .within(Source::Firm)
    }));
    let sums = sums_of(terms).into_iter().filter(|(_, m)| is_absurd(*m));
    found.extend(sums.map(|(path, m)| absurd(path, m).within(Source::Firm)));
    found
}

/// Per cents that cannot be meant: below nothing, or far above the whole.
fn percent_faults(terms: &Terms) -> Vec<Problem> {
    let limits = [
        (SettingPath::from(["overhead"]), terms.overhead, 1000),
        (["contingency"].into(), terms.contingency, 1000),
        (["vat", "rate"].into(), terms.vat.rate, 100),
    ];
    let bad =
        limits.into_iter().filter(|(_, percent, most)| *percent < Decimal::ZERO || *percent > Decimal::from(*most));
    bad.map(|(path, percent, most)| {
        let fault = format!("{path} of {} % is not possible", percent.normalize());
        firm_at(under_money(&path), fault, &format!("write a per cent from 0 to {most}"))
    })
    .collect()
}

/// Dated rates of VAT that cannot be meant, or that do not follow one another.
fn rate_faults(terms: &Terms) -> Vec<Problem> {
    let possible = |r: Decimal| (Decimal::ZERO..=Decimal::ONE_HUNDRED).contains(&r);
    let bad = terms.vat_rates.iter().enumerate().filter(|(_, r)| !possible(r.rate)).map(|(i, r)| {
        let fault = format!("a rate of VAT of {} % is not possible", r.rate.normalize());
        firm_at(dated_rate(i).key("rate"), fault, "write a per cent from 0 to 100")
    });
    let backwards = terms.vat_rates.windows(2).enumerate().filter(|(_, pair)| pair[1].from <= pair[0].from);
    let order = backwards.map(|(i, pair)| {
        let fault = format!("the rate from {} does not come after the rate from {}", pair[1].from, pair[0].from);
        firm_at(dated_rate(i + 1).key("from"), fault, "write the rates with the earliest day first")
    });
    bad.chain(order).collect()
}

/// A setting under the firm's `money`.
fn under_money(path: &SettingPath) -> SettingPath {
    path.moved(&SettingPath::default(), &["money"].into()).unwrap_or_default()
}

/// One of the firm's dated rates of VAT.
fn dated_rate(i: usize) -> SettingPath {
    SettingPath::from(["money", "vat", "rates"]).entry(i)
}

/// Every sum of the terms with its path.
fn sums_of(terms: &Terms) -> Vec<(SettingPath, Money)> {
    let at = |key: &'static str, m: Money| (SettingPath::from(["money", key]), m);
    let mut sums = vec![at("travel_day", terms.travel_day), at("scaffold", terms.scaffold)];
    sums.extend(terms.loads.iter().map(|load| (load.places.cost.clone(), load.cost)));
    sums.extend(terms.minimum_charge.map(|m| at("minimum_charge", m)));
    sums.extend(terms.round_total_to.map(|m| at("round_total_to", m)));
    let crew = terms.crew.iter().enumerate();
    sums.extend(crew.flat_map(|(i, c)| {
        [c.hour, c.day.unwrap_or_default()].map(|m| (SettingPath::from(["people"]).entry(i).key("hour"), m))
    }));
    sums.extend(terms.access.iter().map(|(asked, m)| (["money", "access", asked.key()].into(), *m)));
    sums.extend(terms.access_day.iter().map(|(asked, m)| (["money", "access_day", asked.key()].into(), *m)));
    sums
}

fn target_fault(target: PriceTarget) -> Option<Problem> {
    match target {
        PriceTarget::Margin(m) if m >= Decimal::ONE_HUNDRED => Some(firm(
            "margin",
            format!("a margin of {} % cannot be reached at any price", m.normalize()),
            "write a margin below 100 %; a markup may be over it (margin is a part of the price, markup of the cost)",
        )),
        PriceTarget::Margin(m) if m > Decimal::from(99) => {
            Some(firm("margin", unlikely("margin", m), "write 99 % at most"))
        }
        PriceTarget::Markup(m) if m > Decimal::from(9900) => {
            Some(firm("markup", unlikely("markup", m), "write 9900 % at most"))
        }
        PriceTarget::Margin(m) if m < Decimal::ZERO => Some(below_cost("margin", m)),
        PriceTarget::Markup(m) if m < Decimal::ZERO => Some(below_cost("markup", m)),
        _ => None,
    }
}

fn unlikely(what: &str, m: Decimal) -> String {
    format!("a {what} of {} % cannot be meant", m.normalize())
}

fn below_cost(key: &'static str, m: Decimal) -> Problem {
    firm(key, format!("a {key} of {} % sells below cost", m.normalize()), "write 0 or more")
}

fn strip_faults(job: &Job, terms: &Terms) -> Vec<Problem> {
    let Some(strip) = &job.strip else { return Vec::new() };
    let one = &strip.tip.load.0;
    let load = match terms.load(&strip.tip) {
        Some(load) => load,
        None if strip.tip.by_firm => return vec![unpriced(&strip.tip)],
        None => return Vec::new(),
    };
    let (least, most) = (Decimal::new(1, 1), Decimal::TEN);
    let at = |path: &SettingPath, fault: String, cure: &str| Problem::fault(path, fault, cure).within(Source::Firm);
    let holds = (load.holds < least).then(|| {
        let fault = format!("a {one} cannot hold only {} m³", load.holds.normalize());
        at(&load.places.holds, fault, &format!("write what a {one} holds, in m³"))
    });
    let loose = terms.strip_volume.filter(|v| *v < Decimal::ZERO || *v > most).map(|v| {
        let fault = format!("{} m³ of old covering on each m² cannot be meant", v.normalize());
        firm("strip_volume", fault, "write the loose volume of 1 m² of old covering, in m³, as 0.05")
    });
    let bears = load.bears.filter(|m| m.as_kg() < Decimal::ONE_HUNDRED).map(|m| {
        let fault = format!("a full {one} cannot weigh only {} kg", m.as_kg().normalize());
        at(&load.places.bears, fault, &format!("write what a full {one} may weigh, in kg"))
    });
    let weighs = terms.strip_mass.filter(|m| m.as_kg() < Decimal::ZERO || m.as_kg() > Decimal::ONE_THOUSAND).map(|m| {
        let fault = format!("{} kg of old covering on each m² cannot be meant", m.as_kg().normalize());
        firm("strip_mass", fault, "write the mass of 1 m² of old covering, in kg")
    });
    [holds, loose, bears, weighs].into_iter().flatten().collect()
}

/// A way to tip that the firm takes and has no price for: nothing is taken away for nothing.
fn unpriced(tip: &Tipping) -> Problem {
    let fault = format!("what a {} costs and holds is not said in the firm file", tip.load.0);
    let cure = match tip.key.as_str() {
        VAN => "add `van_load: 38.00` and `van_volume: 1.5 m3`, with your own figures, under `money` in the firm file",
        _ => "add it to `tips` in the firm file, with its `cost` and what it `holds`",
    };
    Problem::fault(["strip", "tip"], fault, cure)
}

fn extra_faults(money: &JobMoney) -> Vec<Problem> {
    let below = money.extras.iter().enumerate().filter(|(_, e)| e.sum.stated() < Money::ZERO);
    let extras = below.map(|(i, e)| {
        let fault = format!("the extra `{}` is less than nothing", e.label);
        Problem::fault(
            SettingPath::from(["extras"]).entry(i),
            fault,
            "write a sum of 0 or more; give a discount in the margin",
        )
    });
    let sums = money.access.iter().filter(|(_, m)| *m < Money::ZERO).map(|(asked, _)| {
        Problem::fault(["access", asked.key()], "the sum is less than nothing", "write a sum of 0 or more")
    });
    let all = money.extras.iter().enumerate().map(|(i, e)| (SettingPath::from(["extras"]).entry(i), e.sum.stated()));
    let access = money.access.iter().map(|(asked, m)| (["access", asked.key()].into(), *m));
    let slips = all.chain(access).filter(|(_, m)| is_absurd(*m)).map(|(path, m)| absurd(path, m));
    extras.chain(sums).chain(slips).collect()
}

/// A claimed rate needs a reason that is known, and the rate that goes with it.
fn claim_fault(claim: &ClaimedRate) -> Option<Problem> {
    let known = VAT_REASONS.iter().find(|(key, _, _)| *key == claim.reason);
    let list: Vec<String> = VAT_REASONS.iter().map(|(key, rate, what)| format!("`{key}` ({rate} %: {what})")).collect();
    match known {
        None => Some(Problem::fault(
            ["quote", "vat", "reason"],
            format!("`{}` is not a known reason for a rate of VAT", claim.reason),
            format!("write {}, or leave the rate to the firm", list.join(", ")),
        )),
        Some((key, rate, _)) if Decimal::from(*rate) != claim.rate => Some(Problem::fault(
            ["quote", "vat", "rate"],
            format!("`{key}` allows {rate} % and not {} %", claim.rate.normalize()),
            format!("write {rate} %, or another reason"),
        )),
        Some(_) => None,
    }
}

fn book_faults(b: usize, book: &PriceBook) -> Vec<Problem> {
    let singles = book.articles.iter().enumerate().flat_map(|(i, a)| article_faults(i, a));
    let codes = book.articles.iter().enumerate().filter_map(|(i, a)| twice(i, a, &book.articles));
    let delivery = (book.merchant.delivery < Money::ZERO)
        .then(|| Problem::fault(["merchant", "delivery"], "delivery costs less than nothing", "write 0 or more"));
    let slighted = book.merchant.preferred.is_some_and(|m| m < Money::ZERO).then(|| {
        let fault = "a merchant cannot be preferred by less than nothing";
        Problem::fault(
            ["merchant", "preferred"],
            fault,
            "write what another merchant must save at least, or leave it out",
        )
    });
    let terms = [
        ("delivery", Some(book.merchant.delivery)),
        ("free_delivery_from", book.merchant.free_delivery_from),
        ("preferred", book.merchant.preferred),
    ];
    let terms =
        terms.into_iter().filter_map(|(key, m)| Some(absurd(["merchant", key].into(), m.filter(|m| is_absurd(*m))?)));
    singles.chain(codes).chain(delivery).chain(slighted).chain(terms).map(|p| p.within(Source::Prices(b))).collect()
}

fn article_faults(i: usize, a: &Article) -> Vec<Problem> {
    let at = |field: &'static str, fault: String, cure: &str| {
        Problem::fault(SettingPath::from(["articles"]).entry(i).key(field), fault, cure)
    };
    let mut found = Vec::new();
    let holds = a.holds.normalize();
    let fault = match holds {
        h if h <= Decimal::ZERO => Some(format!("a pack of {} holds nothing", a.code)),
        h if h > MOST_HELD || h.scale() > 6 => Some(format!("a pack of {} cannot hold {h}", a.code)),
        _ => None,
    };
    found.extend(
        fault.map(|f| at("holds", f, "write what one pack holds, in the role's unit, with six decimals at most")),
    );
    if a.price < Money::ZERO || a.breaks.iter().any(|x| x.price < Money::ZERO) {
        found.push(at("price", format!("{} costs less than nothing", a.code), "write the price of a pack without VAT"));
    }
    let prices = [a.price].into_iter().chain(a.breaks.iter().map(|x| x.price));
    found.extend(
        prices.filter(|m| is_absurd(*m)).map(|m| absurd(SettingPath::from(["articles"]).entry(i).key("price"), m)),
    );
    found
}

/// The same code again for the same thing, or at another price. One article may serve two roles.
fn twice(i: usize, a: &Article, all: &[Article]) -> Option<Problem> {
    let same_thing = |o: &Article| (o.role == a.role && o.size == a.size) || (o.price, &o.pack) != (a.price, &a.pack);
    let first = all[..i].iter().position(|o| o.code == a.code && same_thing(o))?;
    Some(Problem::fault(
        SettingPath::from(["articles"]).entry(i).key("code"),
        format!("the code {} stands here and at article {}, which is not the same", a.code, first + 1),
        "keep one of the two, or correct its code",
    ))
}

/// What is unlikely, and what is old.
pub(super) fn warnings(
    job: &Job,
    rules: &Rules,
    programme: &Programme,
    books: &[PriceBook],
    terms: &Terms,
    money: &JobMoney,
) -> Vec<Problem> {
    let stale = books.iter().enumerate().filter_map(|(b, book)| stale(job, rules, b, book));
    let late = books.iter().enumerate().filter_map(|(b, book)| late(job, b, book));
    let charged = sale::rate(job, programme, terms, money);
    let changing = changing_rate(job, programme, terms, money);
    stale.chain(late).chain(low_rate(charged, terms, money)).chain(changing).collect()
}

fn stale(job: &Job, rules: &Rules, b: usize, book: &PriceBook) -> Option<Problem> {
    let days = (job.prepared - book.dated).whole_days();
    (days > i64::from(rules.prices_stale)).then(|| {
        let fault = format!(
            "the prices of {} are {days} days old on {} (prices_stale: {} days)",
            book.merchant.name, job.prepared, rules.prices_stale
        );
        Problem::warning(["dated"], fault, "ask the merchant for today's prices and correct the date")
            .within(Source::Prices(b))
    })
}

fn late(job: &Job, b: usize, book: &PriceBook) -> Option<Problem> {
    let lead = book.merchant.lead_days?;
    let arrives = job.prepared.saturating_add(Duration::days(i64::from(lead)));
    let wanted = [job.delivery.latest, job.start].into_iter().flatten().min()?;
    (arrives > wanted).then(|| {
        let days = if lead == 1 { "1 day".to_owned() } else { format!("{lead} days") };
        let fault = format!(
            "{} takes {days} to deliver: ordered on {} the goods come on {arrives}, and they are wanted by {wanted}",
            book.merchant.name, job.prepared
        );
        Problem::warning(["merchant", "lead_days"], fault, "order sooner, start later, or buy elsewhere")
            .within(Source::Prices(b))
    })
}

/// The rate changes between the date of the job and the end of the work, or the end of the work is not known.
fn changing_rate(job: &Job, programme: &Programme, terms: &Terms, money: &JobMoney) -> Option<Problem> {
    if !terms.vat.registered || money.vat.is_some() {
        return None;
    }
    let end = sale::tax_point(job, programme);
    let (i, change) = terms.vat_rates.iter().enumerate().rfind(|(_, r)| r.from > job.prepared)?;
    let path = dated_rate(i);
    let (now, then) = (terms.rate_on(job.prepared).normalize(), terms.rate_on(end).normalize());
    let problem = match job.start {
        None => Problem::assumed(
            path,
            format!("VAT becomes {} % on {}, and the job has no `start`: {now} % is charged", change.rate, change.from),
            "write `start:` in the job, so that the rate of the day on which the work ends is charged",
        ),
        Some(_) if now != then => Problem::warning(
            path,
            format!("VAT is {now} % today and {then} % when the work ends on {end}: {then} % is charged"),
            "what is paid or invoiced before the change bears the earlier rate: put that right on the last invoice",
        ),
        Some(_) => return None,
    };
    Some(problem.within(Source::Firm))
}

fn low_rate(rate: Decimal, terms: &Terms, money: &JobMoney) -> Option<Problem> {
    let proof = "keep the proof of what allows another rate";
    let fault = format!("VAT is charged at {} %", rate.normalize());
    let cure = format!("an existing house's roof is at 20 % (VAT Notice 708); {proof}");
    let problem = match money.vat {
        Some(_) => Problem::warning(["quote", "vat"], fault, cure),
        None => Problem::warning(["money", "vat", "rate"], fault, cure).within(Source::Firm),
    };
    (terms.vat.registered && rate != Decimal::from(20)).then_some(problem)
}
