//! What no price can be made from: terms, price books and sums that cannot be right.
//!
//! Given what was read; gives every fault at once, and warnings about what is merely unlikely.

use super::book::{Article, PriceBook};
use super::money::Money;
use super::terms::{ClaimedRate, ExtraSum, JobMoney, Target, Terms, VAT_REASONS};
use crate::model::problem::Source;
use crate::model::{Job, Problem, Rules};
use rust_decimal::Decimal;
use time::Duration;

/// More price books than this are refused: the exact split is worked for every set of merchants.
const MOST_BOOKS: usize = 8;

/// Every fault in the terms, the price books and the job's sums.
pub(super) fn faults(job: &Job, books: &[PriceBook], terms: &Terms, money: &JobMoney) -> Vec<Problem> {
    let mut found = terms_faults(terms);
    found.extend(strip_faults(job, terms));
    found.extend(extra_faults(money));
    found.extend(money.vat.as_ref().and_then(claim_fault));
    found.extend(books.iter().enumerate().flat_map(|(b, book)| book_faults(b, book)));
    found.extend((books.len() > MOST_BOOKS).then(|| {
        let fault = format!("{} price books are too many to compare exactly", books.len());
        Problem::fault("", fault, format!("keep the {MOST_BOOKS} that matter"))
    }));
    found
}

fn firm(path: &str, fault: String, cure: &str) -> Problem {
    Problem::fault(path, fault, cure).within(Source::Firm)
}

fn terms_faults(terms: &Terms) -> Vec<Problem> {
    let mut found = Vec::new();
    if terms.crew.is_empty() {
        found.push(firm("crew", "nobody is in the crew".into(), "name at least one person with what an hour costs"));
    }
    found.extend(target_fault(terms.target));
    for (path, percent) in [("overhead", terms.overhead), ("contingency", terms.contingency)] {
        if percent < Decimal::ZERO {
            let fault = format!("{path} of {} % is less than nothing", percent.normalize());
            found.push(firm(path, fault, "write a per cent of the direct cost, 0 or more"));
        }
    }
    if terms.vat.rate < Decimal::ZERO || terms.vat.rate > Decimal::ONE_HUNDRED {
        let fault = format!("a VAT rate of {} % is not possible", terms.vat.rate.normalize());
        found.push(firm("vat.rate", fault, "write the rate in per cent, usually 20"));
    }
    if terms.round_total_to.is_some_and(|step| step <= Money::ZERO) {
        found.push(firm(
            "round_total_to",
            "the total cannot be rounded to nothing".into(),
            "write 1.00, 5.00 or 10.00",
        ));
    }
    found.extend(terms.crew.iter().enumerate().filter(|(_, c)| c.hour < Money::ZERO).map(|(i, c)| {
        let fault = format!("an hour of {} costs less than nothing", c.name);
        firm(&format!("crew[{i}]"), fault, "write what the hour costs the firm")
    }));
    found
}

fn target_fault(target: Target) -> Option<Problem> {
    match target {
        Target::Margin(m) if m >= Decimal::ONE_HUNDRED => Some(firm(
            "margin",
            format!("a margin of {} % cannot be reached at any price", m.normalize()),
            "write a margin below 100 %; a markup may be over it (margin is a part of the price, markup of the cost)",
        )),
        Target::Margin(m) if m < Decimal::ZERO => Some(below_cost("margin", m)),
        Target::Markup(m) if m < Decimal::ZERO => Some(below_cost("markup", m)),
        _ => None,
    }
}

fn below_cost(path: &str, m: Decimal) -> Problem {
    firm(path, format!("a {path} of {} % sells below cost", m.normalize()), "write 0 or more")
}

fn strip_faults(job: &Job, terms: &Terms) -> Vec<Problem> {
    if job.strip.as_ref().is_none_or(|s| s.tip != "skip") {
        return Vec::new();
    }
    let volume = (terms.skip_volume <= Decimal::ZERO)
        .then(|| firm("skip_volume", "a skip holds nothing".into(), "write what a skip holds, in m³"));
    let mass = terms
        .skip_mass
        .filter(|m| m.as_kg() <= Decimal::ZERO)
        .map(|_| firm("skip_mass", "a skip may weigh nothing".into(), "write what a full skip may weigh, in kg"));
    volume.into_iter().chain(mass).collect()
}

fn extra_faults(money: &JobMoney) -> Vec<Problem> {
    let below = money.extras.iter().enumerate().filter(|(_, e)| match e.sum {
        ExtraSum::Cost(m) | ExtraSum::Price(m) => m < Money::ZERO,
    });
    let extras = below.map(|(i, e)| {
        let fault = format!("the extra `{}` is less than nothing", e.label);
        Problem::fault(format!("extras[{i}]"), fault, "write a sum of 0 or more; give a discount in the margin")
    });
    let sums = money.access.iter().filter(|(_, m)| *m < Money::ZERO).map(|(name, _)| {
        Problem::fault(format!("access.{name}"), "the sum is less than nothing", "write a sum of 0 or more")
    });
    extras.chain(sums).collect()
}

/// A claimed rate needs a reason that is known, and the rate that goes with it.
fn claim_fault(claim: &ClaimedRate) -> Option<Problem> {
    let known = VAT_REASONS.iter().find(|(key, _, _)| *key == claim.reason);
    let list: Vec<String> = VAT_REASONS.iter().map(|(key, rate, what)| format!("`{key}` ({rate} %: {what})")).collect();
    match known {
        None => Some(Problem::fault(
            "vat.reason",
            format!("`{}` is not a known reason for a rate of VAT", claim.reason),
            format!("write {}, or leave the rate to the firm", list.join(", ")),
        )),
        Some((key, rate, _)) if Decimal::from(*rate) != claim.rate => Some(Problem::fault(
            "vat.rate",
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
        .then(|| Problem::fault("merchant.delivery", "delivery costs less than nothing", "write 0 or more"));
    singles.chain(codes).chain(delivery).map(|p| p.within(Source::Prices(b))).collect()
}

fn article_faults(i: usize, a: &Article) -> Vec<Problem> {
    let at = |field: &str, fault: String, cure: &str| Problem::fault(format!("articles[{i}].{field}"), fault, cure);
    let mut found = Vec::new();
    if a.holds <= Decimal::ZERO {
        found.push(at(
            "holds",
            format!("a pack of {} holds nothing", a.code),
            "write what one pack holds, in the role's unit",
        ));
    }
    if a.price < Money::ZERO || a.breaks.iter().any(|x| x.price < Money::ZERO) {
        found.push(at("price", format!("{} costs less than nothing", a.code), "write the price of a pack without VAT"));
    }
    found
}

/// The same code again for the same thing, or at another price. One article may serve two roles.
fn twice(i: usize, a: &Article, all: &[Article]) -> Option<Problem> {
    let same_thing = |o: &Article| (o.role == a.role && o.size == a.size) || (o.price, &o.pack) != (a.price, &a.pack);
    let first = all[..i].iter().position(|o| o.code == a.code && same_thing(o))?;
    Some(Problem::fault(
        format!("articles[{i}].code"),
        format!("the code {} stands here and at article {}, which is not the same", a.code, first + 1),
        "keep one of the two, or correct its code",
    ))
}

/// What is unlikely, and what is old.
pub(super) fn warnings(job: &Job, rules: &Rules, books: &[PriceBook], terms: &Terms, money: &JobMoney) -> Vec<Problem> {
    let stale = books.iter().enumerate().filter_map(|(b, book)| stale(job, rules, b, book));
    let late = books.iter().enumerate().filter_map(|(b, book)| late(job, b, book));
    stale.chain(late).chain(low_rate(terms, money)).collect()
}

fn stale(job: &Job, rules: &Rules, b: usize, book: &PriceBook) -> Option<Problem> {
    let days = (job.prepared - book.dated).whole_days();
    (days > i64::from(rules.prices_stale)).then(|| {
        let fault = format!(
            "the prices of {} are {days} days old on {} (prices_stale: {} days)",
            book.merchant.name, job.prepared, rules.prices_stale
        );
        Problem::warning("dated", fault, "ask the merchant for today's prices and correct the date")
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
        Problem::warning("merchant.lead_days", fault, "order sooner, start later, or buy elsewhere")
            .within(Source::Prices(b))
    })
}

fn low_rate(terms: &Terms, money: &JobMoney) -> Option<Problem> {
    let (rate, proof) =
        (money.vat.as_ref().map_or(terms.vat.rate, |v| v.rate), "keep the proof of what allows another rate");
    let fault = format!("VAT is charged at {} %", rate.normalize());
    let cure = format!("an existing house's roof is at 20 % (VAT Notice 708); {proof}");
    let problem = match money.vat {
        Some(_) => Problem::warning("vat", fault, cure),
        None => Problem::warning("vat.rate", fault, cure).within(Source::Firm),
    };
    (terms.vat.registered && rate != Decimal::from(20)).then_some(problem)
}
