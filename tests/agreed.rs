//! What was agreed of a price: discounts and totals, from the job file to the quote, against sums worked here.

use crate::demo::{Demo, work};
use crate::drawings;
use crate::support::asked;
use rust_decimal::{Decimal, RoundingStrategy};
use wetout::documents::Overrides;
use wetout::documents::quote;
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::job_file::load;
use wetout::model::{Level, Problem};
use wetout::pricing::terms::{AgreedPrice, Agreement, PriceTarget, VatRounding};
use wetout::pricing::{Money, Pricing, price};

const KITCHEN: &str = include_str!("../jobs/kitchen-extension/job.yaml");

/// The kitchen with `price:` set so.
fn kitchen(price: &str) -> Demo {
    work(&asked(&with_price(price)))
}

fn with_price(price: &str) -> String {
    KITCHEN.replace("\nquote:\n", &format!("\nprice: {price}\nquote:\n"))
}

fn pounds(text: &str) -> Money {
    Money::pounds(text.parse().unwrap())
}

/// To the nearest penny, halves away from nothing: the check's own.
fn penny(sum: Decimal) -> Decimal {
    sum.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
}

fn refused(price: &str) -> Vec<Problem> {
    load(&asked(&with_price(price))).unwrap_err().problems.into_iter().filter(|p| p.level == Level::Fault).collect()
}

/// A bare number could be meant either way, as a bare margin could.
#[test]
fn a_discount_of_pounds_or_per_cent_is_asked_for() {
    let [problem] = &refused("{discount: 5}")[..] else { panic!() };
    assert_eq!(problem.to_string(), "price.discount: `5` can be pounds or per cent; write `5 %`, or `5.00` for pounds");
    for (written, is) in [
        ("5 %", AgreedPrice::PercentOff(5.into())),
        ("5.00", AgreedPrice::SumOff(pounds("5"))),
        ("200", AgreedPrice::SumOff(pounds("200"))),
    ] {
        let price = load(&asked(&with_price(&format!("{{discount: {written}}}")))).unwrap().job_money.agreement;
        assert_eq!(price.map(|agreed| agreed.price), Some(is), "{written}");
    }
}

fn quote_of(demo: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    drawings::text_of(&quote::document(&QuoteView::of(&demo.worked()), &words).unwrap())
}

#[test]
fn a_discount_in_per_cent_comes_off_the_price_without_vat_and_is_a_line_of_the_quote() {
    let (usual, less) = (kitchen("{}"), kitchen("{discount: 7.5 %, because: roof next door as well}"));
    let (asked, given) = (&usual.pricing, &less.pricing);
    let off = penny(asked.net.as_pounds() * Decimal::new(75, 3));
    assert_eq!(given.net.as_pounds(), asked.net.as_pounds() - off);
    assert_eq!(given.total.as_pounds(), penny(given.net.as_pounds() * Decimal::new(12, 1)));
    assert_eq!((given.asked, asked.asked), (asked.total, asked.total));
    let line = given.lines.last().unwrap();
    assert_eq!((line.label.as_str(), line.net.as_pounds()), ("Discount of 7.5%: roof next door as well", -off));
    assert_eq!(given.lines[..given.lines.len() - 1], asked.lines[..], "the other lines stay as they were asked");
    assert_eq!(given.lines.iter().map(|l| l.net).sum::<Money>(), given.net);
    assert_eq!(given.works.iter().map(|w| w.price).sum::<Money>(), given.net);
    assert_eq!(given.stages.iter().map(|s| s.amount).sum::<Money>(), given.total);
    assert_eq!(given.cost, asked.cost, "what it costs does not change");
    assert_eq!(given.profit.as_pounds(), asked.profit.as_pounds() - off);
    let words = quote_of(&less);
    assert!(words.contains("roof next door as well") && !quote_of(&usual).contains("Discount"), "{words}");
    assert_eq!(given.why("price.agreed").unwrap().amount, given.total - asked.total);
}

#[test]
fn a_hidden_discount_lies_in_the_lines_and_the_quote_has_no_word_of_it() {
    let (usual, less) = (kitchen("{}"), kitchen("{discount: 200.01, because: rival quoted less, shown: no}"));
    let (asked, given) = (&usual.pricing, &less.pricing);
    assert_eq!(given.total, asked.total - pounds("200.01"));
    let labels = |p: &Pricing| p.lines.iter().map(|l| l.label.clone()).collect::<Vec<_>>();
    assert_eq!(labels(given), labels(asked));
    assert!(given.lines.iter().zip(&asked.lines).all(|(g, a)| g.net < a.net), "every line bears its part");
    let words = quote_of(&less);
    assert!(!words.contains("rival") && !words.contains("Discount"), "{words}");
    assert!(given.why("price.agreed").unwrap().working[0].contains("rival quoted less"));
}

/// A sum in pounds and an agreed total are met to the penny, whatever the method of VAT; where none gives it, it is said.
#[test]
fn an_agreed_total_is_met_to_the_penny_or_the_miss_is_told() {
    let demo = kitchen("{}");
    let rounded =
        [VatRounding::TotalNearest, VatRounding::TotalDown, VatRounding::LineNearest, VatRounding::LineTenthDown];
    let (mut met, mut told) = (0, 0);
    for (n, rounding) in (0_i64..400).flat_map(|n| rounded.map(|r| (n, r))) {
        let total = Money::pence(400_000 + n * 743);
        for (shown, agreed) in
            [(n % 2 == 0, AgreedPrice::Total(total)), (n % 3 == 0, AgreedPrice::SumOff(Money::pence(n * 211 - 9_000)))]
        {
            let mut terms = demo.loaded.terms.clone().unwrap();
            terms.vat.rounding = rounding;
            let mut money = demo.loaded.job_money.clone();
            let plain = priced(&demo, &terms, &money);
            money.agreement = Some(Agreement { price: agreed, because: None, shown });
            let given = priced(&demo, &terms, &money);
            let aim = if let AgreedPrice::SumOff(sum) = agreed { plain.total - sum } else { total };
            let words = format!("no price without VAT gives a total of exactly {aim}");
            let miss = given.notices.iter().any(|p| p.fault.starts_with(&words));
            let off = (given.total - aim).as_pounds().abs();
            assert!(if miss { off == Decimal::new(1, 2) } else { off.is_zero() }, "{agreed:?}: {}", given.total);
            (met, told) = (met + u32::from(!miss), told + u32::from(miss));
            assert_eq!(given.lines.iter().map(|l| l.net).sum::<Money>(), given.net);
        }
    }
    // At 20 % on the total one penny of the price moves the total by 1.2, so that one total of six is none.
    assert!(met > 2500 && told > 100, "{met} met, {told} told");
}

fn priced(demo: &Demo, terms: &wetout::pricing::Terms, money: &wetout::pricing::JobMoney) -> Pricing {
    let loaded = &demo.loaded;
    price(&loaded.job, &loaded.rules, &demo.take_off.needs, &demo.programme, &loaded.books, terms, money).unwrap()
}

#[test]
fn an_agreed_total_takes_as_much_off_every_option() {
    let (usual, agreed) = (kitchen("{}"), kitchen("{agreed: 5600.00}"));
    assert_eq!(agreed.pricing.total, pounds("5600"));
    assert_eq!(usual.pricing.options.len(), agreed.pricing.options.len());
    for (was, now) in usual.pricing.options.iter().zip(&agreed.pricing.options) {
        assert!(was.difference != Money::ZERO, "{}", was.label);
        let moved = (now.difference - was.difference).as_pounds().abs();
        assert!(moved <= Decimal::new(1, 2), "{}: {} becomes {}", was.label, was.difference, now.difference);
    }
    let more = kitchen("{agreed: 6100.00}");
    assert_eq!(more.pricing.total, pounds("6100"), "more may be agreed as well as less");
}

#[test]
fn a_job_may_bring_a_margin_or_a_markup_of_its_own() {
    let usual = kitchen("{}").pricing;
    let own = kitchen("{margin: 12 %}").pricing;
    assert_eq!(own.rule, "margin 12%");
    let sold = |cost: Money, part: i64| penny(cost.as_pounds() / (Decimal::ONE - Decimal::new(part, 2)));
    assert_eq!((own.net - fixed(&own)).as_pounds(), sold(own.cost, 12));
    assert_eq!((usual.net - fixed(&usual)).as_pounds(), sold(usual.cost, 25));
    let marked = load(&asked(&with_price("{markup: 40 %}"))).unwrap();
    assert_eq!(marked.job_money.target, Some(PriceTarget::Markup(Decimal::from(40))));
}

/// Extras that are sold at a stated price.
fn fixed(p: &Pricing) -> Money {
    p.net - p.profit - p.cost
}

#[test]
fn a_price_that_leaves_too_little_is_warned_of() {
    let warned = |price: &str| -> Vec<String> {
        let found = kitchen(price).pricing.notices;
        let of_price = |p: &&Problem| p.place.to_string().starts_with("price") && p.level == Level::Warning;
        found.iter().filter(of_price).map(|p| format!("{}: {}", p.place, p.fault)).collect()
    };
    assert_eq!(warned("{}"), Vec::<String>::new());
    assert_eq!(warned("{discount: 5 %}"), Vec::<String>::new(), "the floor of the demo firm is 15 %");
    let low = warned("{discount: 15 %}");
    assert!(low.len() == 1 && low[0].contains("price.discount: a margin of 11.8 % is left"), "{low:?}");
    let lost = warned("{agreed: 4000.00}");
    assert!(lost.len() == 1 && lost[0].starts_with("price.agreed: the work costs"), "{lost:?}");
    let own = warned("{margin: 10 %}");
    assert!(own.len() == 1 && own[0].starts_with("price: a margin of 10 % is left"), "{own:?}");
}

#[test]
fn a_discount_below_the_minimum_charge_is_warned_of() {
    let demo = kitchen("{}");
    let mut terms = demo.loaded.terms.clone().unwrap();
    (terms.minimum_charge, terms.least_margin) = (Some(demo.pricing.net), None);
    let mut job = demo.loaded.job.clone();
    job.access
        .iter_mut()
        .filter(|a| a.0 == wetout::model::Access::MinimumCharge)
        .for_each(|a| a.1 = wetout::model::job::Forced::Yes);
    let mut money = demo.loaded.job_money.clone();
    money.agreement = Some(Agreement { price: AgreedPrice::SumOff(pounds("60")), because: None, shown: true });
    let loaded = &demo.loaded;
    let given =
        price(&job, &loaded.rules, &demo.take_off.needs, &demo.programme, &loaded.books, &terms, &money).unwrap();
    assert!(given.notices.iter().any(|p| p.fault.contains("less than the minimum charge")), "{:?}", given.notices);
}

#[test]
fn what_cannot_be_agreed_is_refused_in_its_place() {
    for (price, place, words) in [
        ("{discount: 5 %, agreed: 5000.00}", "price.agreed", "both given"),
        ("{margin: 20 %, markup: 20 %}", "price.markup", "both given"),
        ("{because: friends}", "price.because", "none is given"),
        ("{shown: no}", "price.shown", "none is given"),
        ("{discount: rest}", "price.discount", "not a discount"),
        ("{discount: 95 %}", "price.discount", "it lies between"),
        ("{discount: 200000.00}", "price.discount", "it lies between"),
        ("{agreed: 0.50}", "price.agreed", "it lies between"),
        ("{discount: 5 %, margin: 95 %}", "price.margin", "it lies between"),
    ] {
        let found = refused(price);
        assert!(
            found.iter().any(|p| p.place.to_string() == place && p.fault.contains(words) && !p.cure.is_empty()),
            "{price}: {found:?}"
        );
    }
    // Only the price tells that nothing is left.
    let demo = kitchen("{}");
    let mut money = demo.loaded.job_money.clone();
    for agreed in [AgreedPrice::SumOff(pounds("90000")), AgreedPrice::Total(Money::pence(-5))] {
        money.agreement = Some(Agreement { price: agreed, because: None, shown: true });
        let loaded = &demo.loaded;
        let terms = loaded.terms.as_ref().unwrap();
        let stopped =
            price(&loaded.job, &loaded.rules, &demo.take_off.needs, &demo.programme, &loaded.books, terms, &money);
        assert!(stopped.unwrap_err()[0].fault.contains("leaves nothing for the work"));
    }
}
