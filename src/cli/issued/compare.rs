//! `compare`: what changed from one revision to another, in words.
//!
//! Given two frozen folders; works both jobs again and tells the differences of scope by works, of quantities by what is
//! ordered, of money and of days, and of quotes the sentences that only one of them says. No file is compared as text: a comment or an
//! order of lines is no change.

use super::accepted::reference;
use super::kept::{Frozen, Kept, unread};
use super::manifest::document_name;
use super::snapshot;
use crate::cli::Outcome;
use crate::cli::arguments::Files;
use crate::cli::figures;
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{PricedJob, Stopped};
use crate::documents::views::QuoteView;
use crate::documents::words::Words;
use crate::documents::{DocumentKind, quote, said, wording};
use crate::model::words::plural;
use crate::pricing::Money;
use crate::takeoff::Unit;
use crate::works::{Doer, WorkKind};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// Tells what changed between two revisions.
///
/// # Errors
/// A revision that is not there or cannot be worked again.
pub(crate) fn compare(named: &JobSource, letters: [&str; 2], files: &Files) -> Result<Outcome, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = reference(named, &kept, files)?;
    let find = |letter: &str| {
        let is = |f: &&Frozen| f.manifest.paper().is_some() && f.manifest.revision.eq_ignore_ascii_case(letter);
        let none = || Stopped::Usage(format!("nothing of {reference} was issued as revision {letter}"));
        kept.of(&reference).find(is).ok_or_else(none)
    };
    let (before, after) = (find(letters[0])?, find(letters[1])?);
    let (mut old, mut new) = (snapshot::work_again(before)?, snapshot::work_again(after)?);
    // The letter of a revision is no change of what it says.
    (old.revision, new.revision) = (None, None);
    let name = |f: &Frozen| {
        let paper = f.manifest.paper().map_or_else(String::new, |p| format!("{} of {}", p.document, p.date));
        format!("{} ({paper})", f.manifest.revision)
    };
    let mut text = format!("{reference}, from revision {} to {}\n", name(before), name(after));
    for (title, lines) in differences(&old, &new, WorkPrices::Told) {
        let lines = if lines.is_empty() { vec!["nothing changed".to_owned()] } else { lines };
        text += &told(&(title, lines));
    }
    let is_quote = |f: &Frozen| f.manifest.paper().is_some_and(|p| p.document == document_name(DocumentKind::Quote));
    if is_quote(before) && is_quote(after) {
        let lines = words(&quote_says(&old)?, &quote_says(&new)?);
        let lines = if lines.is_empty() { vec!["nothing changed beside sums of money".to_owned()] } else { lines };
        text += &told(&("Words of the quote", lines));
    }
    terminal::say(&text)?;
    Ok(Outcome::Done)
}

/// Whether works of which only the price has moved are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WorkPrices {
    /// Each with its prices.
    Told,
    /// None: the price of the whole says enough.
    Untold,
}

/// What is different, part by part; a part in which nothing is has no lines.
pub(crate) fn differences(old: &PricedJob, new: &PricedJob, prices: WorkPrices) -> [(&'static str, Vec<String>); 5] {
    [
        ("Who and what", about(old, new)),
        ("Scope", scope(old, new, prices)),
        ("Quantities", quantities(old, new)),
        ("Money", money(old, new)),
        ("Days", days(old, new)),
    ]
}

/// A part of the differences as it is printed.
pub(crate) fn told((title, lines): &(&str, Vec<String>)) -> String {
    let lines: String = lines.iter().map(|line| format!("  {line}\n")).collect();
    format!("\n{title}\n{lines}")
}

fn about(old: &PricedJob, new: &PricedJob) -> Vec<String> {
    let of = |priced: &PricedJob| {
        let job = &priced.laid.loaded.job;
        let roofs: Vec<String> = job.roof_names().map(|name| name.to_string()).collect();
        [
            ("title", job.title.clone()),
            ("customer", format!("{}, {}", job.customer.name, job.customer.address.join(", "))),
            ("site", job.site.address.join(", ")),
            ("roofs", wording::list(&roofs)),
        ]
    };
    became(of(old), of(new))
}

/// What is said of the same things otherwise, each with its name.
fn became<const N: usize>(old: [(&str, String); N], new: [(&str, String); N]) -> Vec<String> {
    let pairs = old.into_iter().zip(new).filter(|(a, b)| a != b);
    pairs.map(|((what, was), (_, is))| format!("{what}: {was} becomes {is}")).collect()
}

/// Each work on each roof.
fn works(priced: &PricedJob) -> BTreeMap<(WorkKind, Option<String>), Money> {
    let mut all = BTreeMap::new();
    for work in priced.laid.layout.take_off.works.iter().filter(|w| w.by == Doer::Us) {
        all.insert((work.kind, work.place.name_of(&priced.laid.loaded.job).map(str::to_owned)), Money::ZERO);
    }
    for work in &priced.pricing.works {
        *all.entry((work.work, work.roof.clone())).or_insert(Money::ZERO) += work.price;
    }
    all
}

fn scope(old: &PricedJob, new: &PricedJob, prices: WorkPrices) -> Vec<String> {
    let (was, is) = (works(old), works(new));
    let name = |(kind, roof): &(WorkKind, Option<String>)| match roof {
        Some(roof) => format!("{}, {roof}", kind.name()),
        None => kind.name().to_owned(),
    };
    let gone = was
        .iter()
        .filter(|(work, _)| !is.contains_key(*work))
        .map(|(work, price)| format!("no longer: {} ({price})", name(work)));
    let come = is
        .iter()
        .filter(|(work, _)| !was.contains_key(*work))
        .map(|(work, price)| format!("now also: {} ({price})", name(work)));
    let moved = is.iter().filter_map(|(work, price)| {
        let told = prices == WorkPrices::Told;
        let before = was.get(work).filter(|before| told && *before != price)?;
        Some(format!("{}: {before} becomes {price}", name(work)))
    });
    gone.chain(come).chain(moved).collect()
}

/// What is needed, by what a price book calls it and its size.
fn needs(priced: &PricedJob) -> BTreeMap<(String, String), (Decimal, Unit)> {
    let mut all: BTreeMap<(String, String), (Decimal, Unit)> = BTreeMap::new();
    for need in priced.laid.layout.take_off.needs.iter().filter(|n| !n.optional) {
        let size = need.size.map_or_else(String::new, |size| format!(" {size}"));
        all.entry((need.role.to_string(), size)).or_insert((Decimal::ZERO, need.unit())).0 += need.quantity;
    }
    all
}

fn quantities(old: &PricedJob, new: &PricedJob) -> Vec<String> {
    let (was, is) = (needs(old), needs(new));
    let amount = |(quantity, unit): &(Decimal, Unit)| format!("{} {unit}", figures::quantity(*quantity, *unit));
    let keys: BTreeSet<_> = was.keys().chain(is.keys()).collect();
    let told = keys.into_iter().filter_map(|key| {
        let what = format!("{}{}", key.0, key.1);
        match (was.get(key), is.get(key)) {
            (Some(a), Some(b)) if amount(a) == amount(b) => None,
            (Some(a), Some(b)) => Some(format!("{what}: {} becomes {}", amount(a), amount(b))),
            (Some(a), None) => Some(format!("{what}: {} no longer", amount(a))),
            (None, b) => b.map(|b| format!("{what}: {} new", amount(b))),
        }
    });
    told.collect()
}

fn money(old: &PricedJob, new: &PricedJob) -> Vec<String> {
    let of = |priced: &PricedJob| {
        let p = &priced.pricing;
        let mut all = vec![("price without VAT".to_owned(), p.net), ("total with VAT".to_owned(), p.total)];
        all.extend(p.options.iter().map(|o| (format!("option {}", o.label), o.total)));
        all.extend(p.offers.iter().map(|o| (format!("offer {}", o.label), o.total)));
        all.extend(p.stages.iter().map(|s| (format!("payment “{}”", s.label), s.amount)));
        all.extend(p.rot_rates.iter().map(|r| (format!("rate “{}” per {}", r.label, r.unit), r.total)));
        all
    };
    let (was, is) = (of(old), of(new));
    let at = |all: &[(String, Money)], what: &str| all.iter().find(|(w, _)| w == what).map(|(_, sum)| *sum);
    let changed = is.iter().filter_map(|(what, sum)| match at(&was, what) {
        Some(before) if before == *sum => None,
        Some(before) if *sum > before => Some(format!("{what}: {before} becomes {sum}, {} more", *sum - before)),
        Some(before) => Some(format!("{what}: {before} becomes {sum}, {} less", before - *sum)),
        None => Some(format!("{what}: new, {sum}")),
    });
    let gone =
        was.iter().filter(|(what, _)| at(&is, what).is_none()).map(|(what, sum)| format!("{what}: no longer, {sum}"));
    let kept = |priced: &PricedJob| {
        let kept = priced.pricing.retention.as_ref();
        kept.map_or("nothing".to_owned(), |k| {
            format!("{} % until {}", wording::number(k.rate), wording::kept_until(k.until))
        })
    };
    changed.chain(gone).chain(became([("kept back", kept(old))], [("kept back", kept(new))])).collect()
}

fn days(old: &PricedJob, new: &PricedJob) -> Vec<String> {
    let of = |priced: &PricedJob| {
        let day = |date: Option<time::Date>| date.map_or_else(|| "not fixed".into(), wording::date);
        let days = &priced.programme.days;
        [
            ("on site", plural(days.len(), "working day", "working days")),
            ("first day", day(priced.worked().first_day())),
            ("last day", day(days.last().and_then(|d| d.date))),
            ("date of the document", wording::date(priced.laid.loaded.job.prepared)),
            ("price stands until", wording::date(priced.laid.loaded.job.valid_until())),
        ]
    };
    became(of(old), of(new))
}

// ---- Words ----------------------------------------------------------------------------------------------------------------

/// So many sentences that came or went are told.
const MOST_SENTENCES: usize = 40;

/// What the quote says, sentence by sentence.
fn quote_says(priced: &PricedJob) -> Result<Vec<String>, Stopped> {
    let view = |words: &Words| quote::document(&QuoteView::of(&priced.worked()), words);
    Ok(said::sentences(&priced.with_words(view)?.blocks))
}

/// The sentences of which only one of two has the like. Sums of money are no part of that: what they come to is told by itself.
fn words(old: &[String], new: &[String]) -> Vec<String> {
    let gone = not_among(old, new).into_iter().map(|said| format!("no longer: “{said}”"));
    let come = not_among(new, old).into_iter().map(|said| format!("now: “{said}”"));
    let mut lines: Vec<String> = gone.chain(come).collect();
    let more = lines.len().saturating_sub(MOST_SENTENCES);
    if more > 0 {
        lines.truncate(MOST_SENTENCES);
        lines.push(format!("and {} more", plural(more, "sentence", "sentences")));
    }
    lines
}

fn not_among<'a>(these: &'a [String], those: &[String]) -> Vec<&'a str> {
    let mut there: BTreeMap<String, usize> = BTreeMap::new();
    for said in those {
        *there.entry(without_sums(said)).or_default() += 1;
    }
    let is_new = |said: &&String| match there.get_mut(&without_sums(said)) {
        Some(left) if *left > 0 => {
            *left -= 1;
            false
        }
        _ => true,
    };
    these.iter().filter(is_new).map(String::as_str).collect()
}

/// A sentence with `£` in the place of each sum.
fn without_sums(said: &str) -> String {
    let mut parts = said.split('£');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| {
        text + "£" + part.trim_start_matches(|c: char| c.is_ascii_digit() || ",.".contains(c))
    })
}
