//! Holds what stands in the van and what is bought together against the layout: van and order cover all that is laid.
//!
//! Looks into the stock list itself: what is taken must stand there, for this job, not past its use-by, whole where it is cut to
//! length. What is taken then counts as delivered by one more merchant, and the order's own checker has the last word.

use super::roofs::Dice;
use super::{noggins, order};
use crate::command::scratch;
use crate::demo::work;
use crate::support::{asked, lean_to};
use std::collections::BTreeMap;
use wetout::job_file::{Request, StockFrom};
use wetout::model::van::{VanLine, VanStock};
use wetout::model::{Job, Length, Products, Role, SettingPath};
use wetout::pricing::private_sheet::Basis;
use wetout::pricing::{Article, FromVan, Money, Order, OrderLine, PriceBook, Pricing};
use wetout::takeoff::TakeOff;

type Decimal = rust_decimal::Decimal;

/// What stands in a van by chance: of some needs a part, all, or more, some of it past its use-by or another job's.
pub fn by_chance(seed: u64, job: &Job, take_off: &TakeOff, books: &[PriceBook]) -> VanStock {
    let mut dice = Dice::new(seed ^ 0x5eed_0ffc);
    let mut lines = Vec::new();
    for need in take_off.needs.iter().filter(|n| !n.optional) {
        for _ in 0..dice.below(3) {
            let part = Decimal::from(dice.below(150)) / Decimal::ONE_HUNDRED * need.quantity;
            let sold = books.iter().flat_map(|b| &b.articles).find(|a| a.role == need.role);
            let packs = sold.map_or(Decimal::ONE, |a| a.holds * Decimal::from(1 + dice.below(2)));
            let amount = match (need.unit().to_string().as_str(), dice.below(2)) {
                ("each", _) => part.ceil(),
                (_, 0) => packs,
                _ => part.round_dp(2),
            };
            let day = |days: i64| job.prepared.checked_add(time::Duration::days(days));
            lines.extend((amount > Decimal::ZERO).then(|| VanLine {
                role: need.role.clone(),
                size: need.size,
                amount,
                batch: [None, Some("B1".to_owned()), Some("B2".to_owned())][dice.below(3)].clone(),
                use_by: [None, day(-1), day(0), day(1000)][dice.below(4)],
                kept_for: [None, None, Some("99-999".to_owned()), Some(job.reference.clone())][dice.below(4)].clone(),
                note: None,
                path: SettingPath::from(["van"]).entry(lines.len()),
            }));
        }
    }
    VanStock { counted: Some(job.prepared), after: Vec::new(), lines }
}

/// Everything that is wrong with a job that takes from the van. `pricing` is that of [`Pricing::with_van`], `sold` the one before.
pub fn faults(
    basis: Basis<'_>,
    take_off: &TakeOff,
    van: &VanStock,
    (sold, pricing): (&Pricing, &Pricing),
    products: &Products,
) -> Vec<String> {
    let mut found = not_there(basis, van, &pricing.van.taken);
    let prices = |p: &Pricing| (p.net, p.total, p.cost, p.profit, p.lines.clone(), p.stages.clone());
    if prices(sold) != prices(pricing) {
        found.push("the price follows the van".into());
    }
    let paid = |p: &Pricing| p.orders.iter().map(|o| o.total + o.delivery).sum::<Money>();
    if paid(sold) - paid(pricing) != pricing.van.saved || pricing.van.saved < Money::ZERO {
        found.push(format!(
            "{} less is paid, and {} is said to be saved",
            paid(sold) - paid(pricing),
            pricing.van.saved
        ));
    }
    if !pricing.van.taken.is_empty() && pricing.van.saved == Money::ZERO {
        found.push("something is taken and saves nothing".into());
    }
    let all = delivered(basis.job, pricing, van, basis.books);
    found.extend(order::faults(basis.job, take_off, &all, basis.books, basis.rules, products));
    found.extend(noggins::faults(take_off, &all, (basis.rules, products)));
    found
}

/// What is taken and does not stand there, or may not be used.
fn not_there(basis: Basis<'_>, van: &VanStock, taken: &[FromVan]) -> Vec<String> {
    let Basis { job, rules, books, .. } = basis;
    let days = basis.programme.days.iter().filter_map(|d| d.date);
    let last = days.max().or(job.start).unwrap_or(job.prepared);
    type Key = (Role, Option<Length>, Option<String>, Option<time::Date>);
    let mut there: BTreeMap<Key, Decimal> = BTreeMap::new();
    for line in &van.lines {
        let mine = line.kept_for.as_ref().is_none_or(|r| *r == job.reference);
        let good = line.use_by.is_none_or(|day| day >= last);
        let counts = match (&line.role, line.role.unit().to_string().as_str()) {
            (Role::Firring, _) => Decimal::ZERO,
            // One lap is lost where a part of a roll ends.
            (Role::Bandage(_), _) => {
                let whole = whole_packs(line, books).map_or(Decimal::ZERO, |(n, holds)| n * holds);
                whole.max(line.amount - rules.bandage_lap.metres())
            }
            (_, "m" | "m2") => whole_packs(line, books).map_or(Decimal::ZERO, |(n, holds)| n * holds),
            _ => line.amount,
        };
        if mine && good {
            *there.entry((line.role.clone(), line.size, line.batch.clone(), line.use_by)).or_default() += counts;
        }
    }
    let mut found = Vec::new();
    let mut batches: BTreeMap<&Role, Vec<&Option<String>>> = BTreeMap::new();
    for t in taken {
        let left = there.entry((t.role.clone(), t.size, t.batch.clone(), t.use_by)).or_default();
        *left -= t.quantity;
        if *left < Decimal::ZERO || t.quantity <= Decimal::ZERO {
            found.push(format!("{} of {} is taken and does not stand there to be used", t.quantity, t.role));
        }
        batches.entry(&t.role).or_default().push(&t.batch);
    }
    for (role, mut batches) in batches.into_iter().filter(|(role, _)| matches!(role, Role::Topcoat(_))) {
        let lines = batches.len();
        batches.sort();
        batches.dedup();
        if batches.len() > 1 || lines > 1 && batches == [&None] {
            found.push(format!("{role} is taken of several batches"));
        }
    }
    found
}

/// How many whole packs a line holds, and what each does: those that hold the most of it.
fn whole_packs(line: &VanLine, books: &[PriceBook]) -> Option<(Decimal, Decimal)> {
    let alike = |a: &&Article| a.role == line.role && (line.size.is_none() || a.size == line.size);
    let packs =
        books.iter().flat_map(|b| &b.articles).filter(alike).map(|a| ((line.amount / a.holds).floor(), a.holds));
    packs.max_by_key(|(n, holds)| n * holds)
}

/// The job as if one more merchant had delivered what is taken from the van.
pub fn delivered(job: &Job, pricing: &Pricing, van: &VanStock, books: &[PriceBook]) -> Pricing {
    let mut all = pricing.clone();
    let mut lines: Vec<OrderLine> = Vec::new();
    for (n, t) in pricing.van.taken.iter().enumerate() {
        let like = |quantity: u64, holds: Decimal| OrderLine {
            group: "Van",
            role: t.role.clone(),
            shares: Vec::new(),
            size: t.size,
            code: String::new(),
            description: String::new(),
            pack: String::new(),
            quantity,
            holds,
            need: t.quantity,
            unit: t.unit,
            each: Money::ZERO,
            total: Money::ZERO,
            mass: None,
            longest: None,
            hazard: None,
            optional: false,
        };
        match &t.role {
            // A roll is as long as it is, however much of it is used.
            Role::Mat(_) => {
                let key = (&t.role, t.size, &t.batch, t.use_by);
                let same = |o: &FromVan| (&o.role, o.size, &o.batch, o.use_by) == key;
                if pricing.van.taken.iter().position(same) != Some(n) {
                    continue;
                }
                let here = |l: &&VanLine| (&l.role, l.size, &l.batch, l.use_by) == key;
                let mine = |l: &&VanLine| l.kept_for.as_ref().is_none_or(|r| *r == job.reference);
                let rolls = van.lines.iter().filter(here).filter(mine).filter_map(|l| whole_packs(l, books));
                lines.extend(rolls.map(|(n, holds)| like(n.to_string().parse().unwrap(), holds)));
            }
            _ => lines.push(like(1, t.quantity)),
        }
    }
    if let Some(first) = books.first() {
        all.orders.push(Order {
            merchant: first.merchant.clone(),
            lines,
            total: Money::ZERO,
            delivery: Money::ZERO,
            mass: Default::default(),
            lines_without_mass: 0,
            longest: None,
            drops: Default::default(),
        });
    }
    all
}

/// A sound van is spoilt in one way at a time, and each way is seen.
#[test]
fn a_van_that_is_short_is_seen() {
    let text = lean_to("", "", "start: 2027-03-01\n");
    let list = scratch("replay-van").join("stock.yaml");
    let lines = "counted: 2026-11-20\nvan:\n  - {role: resin, amount: 12 kg}\n  - {role: mat.450, amount: 33 m}\n  \
                 - {role: topcoat.dark-grey, amount: 9 kg, batch: A}\n  - {role: topcoat.dark-grey, amount: 9 kg, batch: A}\n";
    std::fs::write(&list, lines).unwrap();
    let demo = work(&Request { stock: StockFrom::File(list), ..asked(&text) });
    let sold = work(&Request { stock: StockFrom::Nowhere, ..asked(&text) });
    let loaded = &demo.loaded;
    let basis = Basis {
        job: &loaded.job,
        rules: &loaded.rules,
        needs: &demo.take_off.needs,
        programme: &demo.programme,
        books: &loaded.books,
        terms: loaded.terms.as_ref().unwrap(),
        money: &loaded.job_money,
    };
    let see = |spoil: &dyn Fn(&mut Pricing, &mut VanStock)| {
        let (mut pricing, mut van) = (demo.pricing.clone(), loaded.stock.clone());
        spoil(&mut pricing, &mut van);
        faults(basis, &demo.take_off, &van, (&sold.pricing, &pricing), &loaded.products).join("; ")
    };
    assert_eq!(see(&|_, _| ()), "");
    let place = |p: &Pricing, role: &str| p.van.taken.iter().position(|t| t.role == role).unwrap();
    let must = |words: &str, spoil: &dyn Fn(&mut Pricing, &mut VanStock)| {
        let found = see(spoil);
        assert!(found.contains(words), "{words}: {found}");
    };
    must("resin is taken and does not stand there", &|_, van| van.lines[0].amount -= Decimal::ONE);
    must("resin is taken and does not stand there", &|_, van| van.lines[0].use_by = Some(basis.job.prepared));
    must("resin is taken and does not stand there", &|_, van| van.lines[0].kept_for = Some("26-1".to_owned()));
    must("mat.450 is taken and does not stand there", &|_, van| van.lines[1].amount -= Decimal::ONE);
    must("taken of several batches", &|p, van| {
        (p.van.taken.last_mut().unwrap().batch, van.lines[3].batch) = (None, None);
    });
    must("resin: 39", &|p, _| {
        let at = place(p, "resin");
        p.van.taken[at].quantity -= Decimal::from(3);
    });
    must("resin: 39", &|p, _| {
        let line = p.orders.iter_mut().flat_map(|o| &mut o.lines).find(|l| l.role == "resin").unwrap();
        line.quantity -= 1;
    });
    must("do not come out of the rolls", &|p, _| {
        let at = place(p, "mat.450");
        drop(p.van.taken.remove(at));
    });
    must("is said to be saved", &|p, _| p.van.saved += Money::pounds(Decimal::ONE));
    must("the price follows the van", &|p, _| p.net = p.net - Money::pounds(Decimal::ONE));
}

/// Of random jobs with random vans most take something, and never all of what there is.
#[test]
fn random_vans_are_used() {
    let demo = work(&crate::demo::request("kitchen-extension"));
    let loaded = &demo.loaded;
    let basis = Basis {
        job: &loaded.job,
        rules: &loaded.rules,
        needs: &demo.take_off.needs,
        programme: &demo.programme,
        books: &loaded.books,
        terms: loaded.terms.as_ref().unwrap(),
        money: &loaded.job_money,
    };
    let (mut used, mut lines, mut taken) = (0, 0, 0);
    for seed in 0..100 {
        let van = by_chance(seed, &loaded.job, &demo.take_off, &loaded.books);
        let with = demo.pricing.clone().with_van(&van, basis);
        let found = faults(basis, &demo.take_off, &van, (&demo.pricing, &with), &loaded.products);
        assert_eq!(found, [""; 0], "seed {seed}");
        used += usize::from(!with.van.taken.is_empty());
        (lines, taken) = (lines + van.lines.len(), taken + with.van.taken.len());
    }
    assert!(used > 90 && taken * 10 > lines && taken < lines, "{used} used, {taken} of {lines}");
}
