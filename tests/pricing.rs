//! Tests: pricing. Packs, merchants, costs, the price, VAT and stages.

use crate::cpu_time::CpuTime;
use crate::fuzz::Chance;
use crate::support::setting;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rust_decimal::Decimal;
use std::str::FromStr;
use time::Date;
use time::macros::date;
use wetout::estimate::{Office, price_options};
use wetout::job_file::{Loaded, load};
use wetout::model::job::Forced;
use wetout::model::problem::{Level, Source};
use wetout::model::rules::ByFinish;
use wetout::model::{Access, Finish, Job, Length, LineId, Mass, Problem, Products, Role, Rules};
use wetout::pricing::book::PriceBreak;
use wetout::pricing::merchants::{at_one, cheapest_split};
use wetout::pricing::money::share_out;
use wetout::pricing::packs::cheapest;
use wetout::pricing::private_sheet::{Basis, PrivateSheet, sheet};
use wetout::pricing::sale::{margin_and_markup, selling_price};
use wetout::pricing::stages::{StagesFrom, stages};
use wetout::pricing::terms::{
    AgreedRate, ClaimedRate, CrewRate, Extra, ExtraKind, ExtraSum, Load, PriceTarget, RateFrom, ScaffoldPrice,
    StagePart, StageRule, Vat, VatRounding,
};
use wetout::pricing::{Article, JobMoney, Merchant, Money, PriceBook, PriceLine, Pricing, Terms, price, vat};
use wetout::programme::{Day, Operation, Programme, plan};
use wetout::takeoff::quantities::line::Share;
use wetout::takeoff::{Need, take_off, take_off_beside};
use wetout::works::WorkKind;

// ---- What the tests are made of ------------------------------------------------------------------------------------

fn d(s: &str) -> Decimal {
    Decimal::from_str(s).unwrap()
}

fn gbp(s: &str) -> Money {
    Money::pounds(d(s))
}

/// As many cases as say something, always the same ones, and no file written.
fn cases(n: u32) -> ProptestConfig {
    ProptestConfig { cases: n, rng_seed: RngSeed::Fixed(2611), failure_persistence: None, ..ProptestConfig::default() }
}

fn pack(holds: &str, cost: &str) -> Article {
    Article { code: format!("pack-{holds}"), pack: format!("{holds} kg"), holds: d(holds), price: gbp(cost), ..any() }
}

/// An article of which a test says what matters.
fn any() -> Article {
    Article {
        role: Role::Resin,
        size: None,
        code: String::new(),
        description: String::new(),
        pack: String::new(),
        holds: Decimal::ZERO,
        price: Money::ZERO,
        mass: None,
        longest: None,
        hazard: None,
        least: None,
        breaks: Vec::new(),
    }
}

fn plan_of(need: &str, packs: &[Article]) -> wetout::pricing::packs::PackPlan {
    cheapest(d(need), &packs.iter().collect::<Vec<_>>()).unwrap()
}

fn article(role: &str, code: &str, holds: &str, cost: &str) -> Article {
    Article {
        role: Role::parse(role).unwrap(),
        code: code.into(),
        description: format!("demo {role}"),
        pack: format!("pack of {holds}"),
        holds: d(holds),
        price: gbp(cost),
        mass: Some(Mass::kg(d("2"))),
        ..any()
    }
}

/// A need of invented size, for the sums of packs and merchants.
fn need(role: &str, quantity: &str, line: LineId) -> Need {
    Need {
        role: Role::parse(role).unwrap(),
        size: None,
        quantity: d(quantity),
        lines: vec![line],
        shares: vec![Share { work: WorkKind::FirstLayer, roof: None, weight: Decimal::ONE }],
        optional: false,
        weighs: None,
    }
}

fn book(articles: Vec<Article>) -> PriceBook {
    let merchant = Merchant { name: "Invented Roofing Supplies".into(), ..Merchant::default() };
    PriceBook {
        file: "prices.yaml".into(),
        merchant,
        dated: date!(2026 - 11 - 01),
        articles,
        index: Default::default(),
    }
}

/// A flat roof of 5 × 4 m with a new deck, read from a job file: 20 m², and nothing comes off it.
fn job() -> Job {
    static JOB: std::sync::OnceLock<Job> = std::sync::OnceLock::new();
    let text = "reference: 26-041\ntitle: Kitchen extension\nprepared: 2026-11-25\nasbestos: no\n\
                customer: {name: A. Householder, address: [1 Example Street, Anytown]}\nroofs:\n  - name: Main roof\n    \
                outline: {rectangle: {width: 5 m, depth: 4 m}}\n    edges: {front: {finish: drip}, right: {finish: \
                raised}, back: {finish: raised}, left: {finish: raised}}\n    deck: {action: new, board: osb3-18}\n    \
                laminate: {mat: 450, layers: 1}\n    topcoat: {colour: dark grey, finish: smooth}\n";
    JOB.get_or_init(|| load(&crate::support::asked(text)).unwrap().job).clone()
}

/// The same job with its old covering.
fn stripped() -> Job {
    Job { strip: Some(crate::support::strip("felt", "skip")), ..job() }
}

fn terms() -> Terms {
    Terms {
        crew: vec![person("Ann", "20.00"), person("Ben", "20.00")],
        travel_day: Money::ZERO,
        overhead: Decimal::ZERO,
        contingency: Decimal::ZERO,
        least_margin: None,
        target: PriceTarget::Markup(Decimal::ZERO),
        vat: Vat { registered: true, rate: d("20"), rounding: VatRounding::TotalNearest },
        vat_rates: Vec::new(),
        loads: vec![Load::skip(gbp("280.00"), d("6"), None)],
        strip_volume: Some(d("0.05")),
        strip_mass: None,
        scaffold: ScaffoldPrice { once: gbp("400.00"), metre: Money::ZERO, week: Money::ZERO },
        access: vec![(Access::Parking, gbp("30.00"))],
        access_day: Vec::new(),
        minimum_charge: None,
        round_total_to: None,
        stages: Vec::new(),
        retention: None,
        rot_rates: Vec::new(),
    }
}

fn person(name: &str, hour: &str) -> CrewRate {
    CrewRate { name: name.into(), hour: gbp(hour), day: None }
}

/// Norms of round numbers for three works and none for the others, on mat without laps and returns.
fn round_norms() -> Rules {
    let (zero, none) = (Decimal::ZERO, Length::ZERO);
    Rules {
        hours_strip: d("0.1"),
        hours_deck: d("0.15"),
        hours_laminate: d("0.25"),
        hours_setup: Decimal::ONE,
        hours_firrings: zero,
        hours_battens: zero,
        hours_trim: zero,
        hours_corner: zero,
        hours_bandage: zero,
        hours_topcoat: zero,
        mat_lap: none,
        mat_return: ByFinish { drip: none, raised: none, wall: none, kerb: none, step: none, gutter: none },
        ..Rules::default()
    }
}

/// Two people, one day: 20 m² stripped (2 h), decked (3 h) and laminated (5 h), and 2 h of set-up.
fn programme() -> Programme {
    static PROGRAMME: std::sync::OnceLock<Programme> = std::sync::OnceLock::new();
    let planned = || {
        let (job, rules, products) = (stripped(), round_norms(), Products::default());
        let take_off = take_off(&job, &rules, &products).unwrap();
        plan(&job, &take_off, &rules, products.catalyst_density, 2, &[])
    };
    PROGRAMME.get_or_init(planned).clone()
}

/// A job with only a cost of its own, for worked examples of margin and VAT.
fn only_cost(sum: &str) -> JobMoney {
    JobMoney {
        extras: vec![Extra { kind: ExtraKind::Fixed, label: "Roof light".into(), sum: ExtraSum::Cost(gbp(sum)) }],
        ..JobMoney::default()
    }
}

fn priced(terms: &Terms, money: &JobMoney) -> Pricing {
    let books = [book(Vec::new())];
    price(&job(), &Rules::default(), &[], &Programme::default(), &books, terms, money).unwrap()
}

fn refused(result: Result<Pricing, Vec<Problem>>) -> Vec<String> {
    result.unwrap_err().iter().map(ToString::to_string).collect()
}

fn line_sum(p: &Pricing) -> Money {
    p.lines.iter().map(|l| l.net).sum()
}

// ---- Packs ---------------------------------------------------------------------------------------------------------

#[test]
fn one_large_drum_is_bought_where_it_costs_less_than_two_small_ones() {
    let plan = plan_of("27", &[pack("5", "22.00"), pack("20", "60.00"), pack("25", "70.00")]);
    // 25 + 5 costs 92; 20 + 5 + 5 costs 104; 20 + 20 costs 120; 25 + 25 costs 140.
    assert_eq!((plan.counts, plan.cost, plan.left_over), (vec![1, 0, 1], gbp("92.00"), d("3")));
}

#[test]
fn as_many_small_packs_as_nearly_fill_a_large_one_may_still_be_cheaper() {
    let plan = plan_of("35", &[pack("5", "5.50"), pack("20", "20.00")]);
    assert_eq!((plan.counts, plan.cost, plan.left_over), (vec![3, 1], gbp("36.50"), Decimal::ZERO));
}

#[test]
fn a_dearer_drum_for_each_kilogram_wins_where_less_is_left_in_it() {
    let plan = plan_of("4", &[pack("5", "22.00"), pack("20", "60.00")]);
    assert_eq!((plan.counts, plan.cost), (vec![1, 0], gbp("22.00")));
}

#[test]
fn equal_prices_go_to_fewer_packs_and_then_to_less_left_over() {
    let plan = plan_of("10", &[pack("5", "10.00"), pack("10", "20.00")]);
    assert_eq!(plan.counts, vec![0, 1]);
    let plan = plan_of("10", &[pack("12", "20.00"), pack("10", "20.00")]);
    assert_eq!((plan.counts, plan.left_over), (vec![0, 1], Decimal::ZERO));
}

#[test]
fn what_is_sold_by_the_metre_is_bought_by_the_metre_up_to_the_next_roll() {
    let packs = [pack("1", "1.10"), pack("50", "40.00")];
    assert_eq!(plan_of("36.2", &packs).counts, vec![0, 1]);
    assert_eq!(plan_of("36", &packs).counts, vec![36, 0]);
    assert_eq!(plan_of("61.5", &packs).counts, vec![12, 1]);
}

#[test]
fn the_last_digit_of_a_division_buys_no_further_drum() {
    let third = Decimal::ONE / d("3");
    let need = third * d("60") + d("0.0000000000000000000000001");
    let plan = cheapest(need, &[&pack("20", "60.00")]).unwrap();
    assert_eq!(plan.packs, 1);
}

#[test]
fn a_lower_price_from_so_many_packs_on_may_make_it_cheaper_to_buy_more() {
    let mut tub = pack("1", "10.00");
    tub.breaks = vec![PriceBreak { from: 10, price: gbp("8.00") }];
    assert_eq!(plan_of("7", &[tub.clone()]).cost, gbp("70.00"));
    let plan = plan_of("9", &[tub]);
    assert_eq!((plan.counts, plan.cost), (vec![10], gbp("80.00")));
}

#[test]
fn an_article_is_not_bought_in_fewer_packs_than_are_sold_at_once() {
    let mut box_of = pack("1", "1.00");
    box_of.least = Some(12);
    assert_eq!(plan_of("5", &[box_of.clone()]).counts, vec![12]);
    let plan = plan_of("5", &[box_of, pack("5", "11.00")]);
    assert_eq!((plan.counts, plan.cost), (vec![0, 1], gbp("11.00")));
}

#[test]
fn a_need_of_millions_with_awkward_packs_takes_no_time() {
    let packs =
        [pack("997", "99.71"), pack("991", "99.13"), pack("983", "98.41"), pack("7", "0.83"), pack("1", "0.19")];
    let began = CpuTime::begin();
    let plan = plan_of("12345678", &packs);
    assert!(began.spent().as_millis() < 2000, "{:?}", began.spent());
    assert!(plan.left_over >= Decimal::ZERO);
    // Nothing can cost less than the whole need at the best price for a unit.
    let floor = d("12345678") * d("99.71") / d("997");
    assert!(plan.cost.as_pounds() >= floor && plan.cost.as_pounds() < floor + d("100"));
}

/// Cheapest packs by trying every count: cost, packs, held.
fn by_trying_all(need: i64, packs: &[(i64, i64, u64)]) -> (i64, u64, i64) {
    fn go(rest: i64, packs: &[(i64, i64, u64)], so_far: (i64, u64, i64), best: &mut Option<(i64, u64, i64)>) {
        let Some(((holds, pence, least), others)) = packs.split_first() else {
            if rest <= 0 && best.is_none_or(|b| so_far < b) {
                *best = Some(so_far);
            }
            return;
        };
        let most = ((rest.max(0) + holds - 1) / holds).max(*least as i64);
        for n in (0..=most).filter(|n| *n == 0 || *n >= *least as i64) {
            let (cost, packs, held) = so_far;
            go(rest - n * holds, others, (cost + n * pence, packs + n as u64, held + n * holds), best);
        }
    }
    let mut best = None;
    go(need, packs, (0, 0, 0), &mut best);
    best.unwrap()
}

/// The same where there are many packs, all sold one by one: the best for each need up to this one, from what one pack less leaves over.
fn by_every_need(need: i64, packs: &[(i64, i64)]) -> (i64, u64, i64) {
    let mut best = vec![(0, 0, 0)];
    for so_far in 1..=need {
        let with = |(holds, pence): &(i64, i64)| {
            let (cost, packs, held) = best[usize::try_from((so_far - holds).max(0)).unwrap()];
            (cost + pence, packs + 1, held + holds)
        };
        best.push(packs.iter().map(with).min().unwrap());
    }
    best[need as usize]
}

proptest! {
    #![proptest_config(cases(1500))]

    #[test]
    fn no_choice_among_many_packs_beats_the_plan(
        need in 1i64..120,
        packs in prop_oneof![
            prop::collection::vec((1i64..60, 1i64..400), 5..40),
            // The larger the better value, by little: none is beaten by another.
            (5i64..40, 1i64..4, 2i64..9).prop_map(|(n, step, pence)| {
                (1..=n).map(|k| (k * step, k * pence * step - k / 3)).collect::<Vec<_>>()
            }),
            // Many ties.
            prop::collection::vec((1i64..12, 1i64..6), 5..20),
        ],
    ) {
        let articles: Vec<Article> = packs.iter().map(|(holds, pence)| Article {
            holds: Decimal::from(*holds),
            price: Money::pence(*pence),
            ..any()
        }).collect();
        let plan = cheapest(Decimal::from(need), &articles.iter().collect::<Vec<_>>()).unwrap();
        let (cost, count, held) = by_every_need(need, &packs);
        prop_assert!(plan.cost >= Money::pence(cost));
        if plan.proven {
            prop_assert_eq!((plan.cost, plan.packs), (Money::pence(cost), count));
            prop_assert_eq!(plan.left_over, Decimal::from(held - need));
        }
    }

    #[test]
    fn no_choice_of_packs_beats_the_plan(
        need in 1i64..60,
        packs in prop_oneof![
            prop::collection::vec((1i64..26, 1i64..200, 1u64..3), 1..5),
            // Many ties.
            prop::collection::vec((1i64..9, 1i64..6, Just(1)), 1..5),
            // Packs that go into each other, at prices that nearly go into each other.
            prop::collection::vec((0u32..4).prop_flat_map(|n| (Just(2i64.pow(n)), 10 * 2i64.pow(n)..14 * 2i64.pow(n), Just(1))), 2..5),
        ],
    ) {
        let articles: Vec<Article> = packs.iter().map(|(holds, pence, least)| Article {
            holds: Decimal::from(*holds) / Decimal::TWO,
            price: Money::pence(*pence),
            least: Some(*least),
            ..any()
        }).collect();
        let plan = cheapest(Decimal::from(need) / Decimal::TWO, &articles.iter().collect::<Vec<_>>()).unwrap();
        let (cost, count, held) = by_trying_all(need, &packs);
        prop_assert_eq!(plan.cost, Money::pence(cost));
        prop_assert_eq!(plan.packs, count);
        prop_assert_eq!(plan.left_over, Decimal::from(held - need) / Decimal::TWO);
    }

    #[test]
    fn no_choice_of_packs_beats_the_plan_where_prices_fall_with_the_number(
        need in 1i64..40,
        packs in prop::collection::vec((1i64..12, 50i64..200, 2u64..8, 0i64..50), 1..4),
    ) {
        let articles: Vec<Article> = packs.iter().map(|(holds, pence, from, off)| Article {
            holds: Decimal::from(*holds),
            price: Money::pence(*pence),
            breaks: vec![PriceBreak { from: *from, price: Money::pence(pence - off) }],
            ..any()
        }).collect();
        let plan = cheapest(Decimal::from(need), &articles.iter().collect::<Vec<_>>()).unwrap();
        let most = |i: usize| if i < packs.len() { (need / packs[i].0 + 1).max(packs[i].2 as i64) } else { 0 };
        let cost_of = |i: usize, n: i64| n * if n as u64 >= packs[i].2 { packs[i].1 - packs[i].3 } else { packs[i].1 };
        let mut best = i64::MAX;
        for a in 0..=most(0) { for b in 0..=most(1) { for c in 0..=most(2) {
            let counts = [a, b, c];
            let held: i64 = packs.iter().zip(counts).map(|(p, n)| p.0 * n).sum();
            let cost: i64 = (0..packs.len()).map(|i| cost_of(i, counts[i])).sum();
            if held >= need { best = best.min(cost); }
        }}}
        prop_assert_eq!(plan.cost, Money::pence(best));
    }
}

// ---- Merchants -----------------------------------------------------------------------------------------------------

fn seller(delivery: i64, free_from: Option<i64>) -> Merchant {
    Merchant {
        delivery: Money::pence(delivery),
        free_delivery_from: free_from.map(Money::pence),
        ..Merchant::default()
    }
}

#[test]
fn a_second_delivery_is_paid_only_where_it_saves_more_than_it_costs() {
    let sellers = [seller(4000, None), seller(3000, None)];
    let merchants: Vec<&Merchant> = sellers.iter().collect();
    let costs = |resin: i64| {
        vec![
            vec![Some(Money::pence(10_000)), Some(Money::pence(12_000))],
            vec![Some(Money::pence(20_000)), Some(Money::pence(resin))],
        ]
    };
    let together = cheapest_split(&costs(17_500), &merchants).unwrap();
    assert_eq!((together.chosen, together.total), (vec![1, 1], gbp("325.00")));
    let apart = cheapest_split(&costs(12_000), &[&seller(500, None), &seller(500, None)]).unwrap();
    assert_eq!((apart.chosen, apart.total), (vec![0, 1], gbp("230.00")));
}

#[test]
fn a_preferred_merchant_loses_a_line_only_where_another_saves_more_than_the_firm_asks() {
    let costs = vec![
        vec![Some(Money::pence(10_000)), Some(Money::pence(12_000))],
        vec![Some(Money::pence(20_000)), Some(Money::pence(17_500))],
    ];
    let split = |up_to: Option<i64>| {
        let first = Merchant { preferred: up_to.map(Money::pence), ..seller(0, None) };
        cheapest_split(&costs, &[&first, &seller(0, None)]).unwrap()
    };
    assert_eq!((split(None).chosen, split(None).total), (vec![0, 1], gbp("275.00")));
    assert_eq!(
        (split(Some(2499)).chosen, split(Some(2499)).total),
        (vec![0, 1], gbp("275.00")),
        "what is paid, no more"
    );
    assert_eq!((split(Some(2500)).chosen, split(Some(2500)).total), (vec![0, 0], gbp("300.00")), "a tie stays there");
}

#[test]
fn a_dearer_line_is_bought_where_it_lifts_the_order_to_free_delivery() {
    let sellers = [seller(5000, Some(30_000)), seller(0, None)];
    let merchants: Vec<&Merchant> = sellers.iter().collect();
    // Only the first sells the second need. With the first need there too its order reaches 300 and comes free.
    let costs =
        vec![vec![Some(Money::pence(6_000)), Some(Money::pence(4_500))], vec![Some(Money::pence(24_000)), None]];
    let split = cheapest_split(&costs, &merchants).unwrap();
    assert_eq!((split.chosen, split.total), (vec![0, 0], gbp("300.00")));
    assert_eq!(at_one(&costs, &merchants, 0), Some(gbp("300.00")));
    assert_eq!(at_one(&costs, &merchants, 1), None);
}

#[test]
fn thirty_needs_at_three_merchants_with_thresholds_are_split_in_no_time() {
    let sellers = [seller(4500, Some(30_000)), seller(3500, Some(25_000)), seller(6000, Some(50_000))];
    let merchants: Vec<&Merchant> = sellers.iter().collect();
    let price = |need: i64, m: i64| Some(Money::pence(900 + need * 97 + (need * 31 + m * 57) % 83 * 3));
    let costs: Vec<Vec<Option<Money>>> = (0..30).map(|n| (0..3).map(|m| price(n, m)).collect()).collect();
    let began = CpuTime::begin();
    let split = cheapest_split(&costs, &merchants).unwrap();
    assert!(began.spent().as_millis() < 3000, "{:?}", began.spent());
    assert!(split.proven);
    assert_eq!(split.total, total_of(&split.chosen, &costs, &merchants).unwrap());
}

#[test]
fn six_merchants_are_not_too_many() {
    let sellers: Vec<Merchant> = (0..6).map(|m| seller(3000 + m * 500, Some(15_000 + m * 4000))).collect();
    let merchants: Vec<&Merchant> = sellers.iter().collect();
    let price = |need: i64, m: i64| Some(Money::pence(900 + need * 97 + (need * 31 + m * 57) % 83 * 3));
    let costs: Vec<Vec<Option<Money>>> = (0..30).map(|n| (0..6).map(|m| price(n, m)).collect()).collect();
    let began = CpuTime::begin();
    let split = cheapest_split(&costs, &merchants).unwrap();
    assert!(began.spent().as_millis() < 5000 && split.proven, "{:?}", began.spent());
    assert_eq!(split.total, total_of(&split.chosen, &costs, &merchants).unwrap());
}

#[test]
fn of_eight_merchants_no_set_is_cheaper_and_of_twenty_one_is_found_in_time() {
    let mut state = 11_u64;
    let mut chance = |most: i64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as i64 % most
    };
    for turn in 0..40 {
        let sellers: Vec<Merchant> =
            (0..8).map(|m| seller(chance(2500), (m % 3 == turn % 3).then(|| 2000 + chance(9000)))).collect();
        let merchants: Vec<&Merchant> = sellers.iter().collect();
        let mut price = || (chance(10) > 1).then(|| Money::pence(500 + chance(4000)));
        let costs: Vec<Vec<Option<Money>>> = (0..4).map(|_| (0..8).map(|_| price()).collect()).collect();
        let all = (0..8_usize.pow(4)).map(|code| (0..4).map(|i| code >> (3 * i) & 7).collect::<Vec<usize>>());
        let best = all.filter_map(|chosen| total_of(&chosen, &costs, &merchants)).min();
        let split = cheapest_split(&costs, &merchants);
        assert_eq!(split.as_ref().map(|s| s.total), best, "turn {turn}");
        assert!(split.is_none_or(|s| s.proven && total_of(&s.chosen, &costs, &merchants) == best));
    }
    for thresholds in [false, true] {
        let sellers: Vec<Merchant> =
            (0..20).map(|m| seller(3000 + m * 100, thresholds.then_some(20_000 + m * 2500))).collect();
        let merchants: Vec<&Merchant> = sellers.iter().collect();
        let price = |need: i64, m: i64| Some(Money::pence(900 + need * 97 + (need * 31 + m * 57) % 83 * 9));
        let costs: Vec<Vec<Option<Money>>> = (0..60).map(|n| (0..20).map(|m| price(n, m)).collect()).collect();
        let began = CpuTime::begin();
        let split = cheapest_split(&costs, &merchants).unwrap();
        assert!(began.spent().as_secs() < 20, "{:?}", began.spent());
        assert_eq!(split.total, total_of(&split.chosen, &costs, &merchants).unwrap());
        assert!((0..20).all(|m| at_one(&costs, &merchants, m).unwrap() >= split.total), "one alone is no cheaper");
    }
}

#[test]
fn thresholds_that_take_nearly_the_whole_order_still_end_in_time_and_say_whether_it_is_proven() {
    let sellers = [seller(4500, Some(40_000)), seller(3500, Some(30_000)), seller(6000, Some(50_000))];
    let merchants: Vec<&Merchant> = sellers.iter().collect();
    let price = |need: i64, m: i64| Some(Money::pence(900 + need * 97 + (need * 31 + m * 57) % 83 * 3));
    let costs: Vec<Vec<Option<Money>>> = (0..30).map(|n| (0..3).map(|m| price(n, m)).collect()).collect();
    let split = cheapest_split(&costs, &merchants).unwrap();
    assert_eq!(split.total, total_of(&split.chosen, &costs, &merchants).unwrap());
    assert!((0..3).all(|m| at_one(&costs, &merchants, m).unwrap() >= split.total));
}

/// Prices a little up and down, with the same threshold everywhere: not all sets can be looked at.
#[test]
fn among_many_merchants_no_step_from_the_split_that_is_given_saves_anything() {
    let mut dice = Chance(5);
    let mut chance = |most: usize| dice.below(most) as i64;
    let mut unproven = 0;
    for _ in 0..4 {
        let sellers: Vec<Merchant> = (0..20).map(|_| seller(4500, Some(90_000))).collect();
        let merchants: Vec<&Merchant> = sellers.iter().collect();
        let usual: Vec<i64> = (0..40).map(|_| 1000 + chance(40_000)).collect();
        let mut near = |usual: i64| Some(Money::pence(usual * (80 + chance(46)) / 100));
        let costs: Vec<Vec<Option<Money>>> =
            usual.iter().map(|usual| (0..20).map(|_| near(*usual)).collect()).collect();
        let split = cheapest_split(&costs, &merchants).unwrap();
        unproven += usize::from(!split.proven);
        assert_eq!(no_step_saves(&split.chosen, &costs, &merchants), Vec::<String>::new());
    }
    assert!(unproven > 0);
}

/// Steps that would make a split cheaper: a need bought elsewhere, or two merchants made one.
fn no_step_saves(chosen: &[usize], costs: &[Vec<Option<Money>>], merchants: &[&Merchant]) -> Vec<String> {
    let now = total_of(chosen, costs, merchants).unwrap();
    let mut saving = Vec::new();
    for m in 0..merchants.len() {
        for need in 0..chosen.len() {
            let mut step = chosen.to_vec();
            step[need] = m;
            if total_of(&step, costs, merchants).is_some_and(|total| total < now) {
                saving.push(format!("need {need} at {m}"));
            }
        }
        for other in (0..merchants.len()).filter(|o| *o != m) {
            let step: Vec<usize> = chosen.iter().map(|c| if *c == m { other } else { *c }).collect();
            if total_of(&step, costs, merchants).is_some_and(|total| total < now) {
                saving.push(format!("all of {m} at {other}"));
            }
        }
    }
    saving
}

fn total_of(chosen: &[usize], costs: &[Vec<Option<Money>>], merchants: &[&Merchant]) -> Option<Money> {
    let mut total = Money::ZERO;
    for (m, merchant) in merchants.iter().enumerate() {
        let here: Vec<Option<Money>> =
            chosen.iter().enumerate().filter(|(_, c)| **c == m).map(|(n, _)| costs[n][m]).collect();
        let goods: Money = here.iter().copied().sum::<Option<Money>>()?;
        if !here.is_empty() {
            total += goods + merchant.delivery_of(goods);
        }
    }
    Some(total)
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn no_split_between_merchants_beats_the_plan(
        goods in prop::collection::vec(prop::collection::vec(prop::option::weighted(0.85, 1i64..3000), 3), 1..6),
        sellers in prop::collection::vec((0i64..1500, prop::option::of(1i64..6000)), 3),
    ) {
        let sellers: Vec<Merchant> = sellers.iter().map(|(d, f)| seller(*d, *f)).collect();
        let merchants: Vec<&Merchant> = sellers.iter().collect();
        let costs: Vec<Vec<Option<Money>>> = goods.iter().map(|n| n.iter().map(|c| c.map(Money::pence)).collect()).collect();
        let mut best: Option<Money> = None;
        for code in 0..3usize.pow(costs.len() as u32) {
            let chosen: Vec<usize> = (0..costs.len()).map(|i| code / 3usize.pow(i as u32) % 3).collect();
            if let Some(total) = total_of(&chosen, &costs, &merchants) {
                best = Some(best.map_or(total, |b| b.min(total)));
            }
        }
        let split = cheapest_split(&costs, &merchants);
        prop_assert_eq!(split.as_ref().map(|s| s.total), best);
        if let Some(split) = split {
            prop_assert_eq!(total_of(&split.chosen, &costs, &merchants), best);
        }
    }
}

// ---- Orders --------------------------------------------------------------------------------------------------------

#[test]
fn the_order_is_grouped_as_a_picker_walks_and_weighed() {
    let mut board = article("board.osb3-18", "demo-board", "1", "14.00");
    board.longest = Some(Length::mm(2400));
    let mut brush = article("brush", "demo-brush", "1", "2.00");
    brush.mass = None;
    let mut trim = article("trim.drip", "demo-drip", "1", "9.00");
    (trim.size, trim.longest) = (Some(Length::mm(3000)), Some(Length::mm(3000)));
    let resin = [article("resin", "demo-resin-20", "20", "60.00"), article("resin", "demo-resin-5", "5", "18.00")];
    let books = [book(
        [vec![brush, trim, board], resin.to_vec(), vec![article("nails.clout", "demo-nails", "500", "6.00")]].concat(),
    )];
    let mut drip = need("trim.drip", "2", LineId::TrimLengths(Finish::Drip));
    drip.size = Some(Length::mm(3000));
    let needs = [
        need("brush", "3", LineId::Brushes),
        need("resin", "14.1", LineId::LaminateResin),
        need("resin", "10.4", LineId::LaminateResin),
        drip,
        need("nails.clout", "120", LineId::NailsClout),
        need("board.osb3-18", "13", LineId::DeckBoards),
    ];
    let p = price(&job(), &Rules::default(), &needs, &programme(), &books, &terms(), &JobMoney::default()).unwrap();
    let order = &p.orders[0];
    let groups: Vec<&str> = order.lines.iter().map(|l| l.group).collect();
    let walk = [
        "Boards and timber",
        "Trims",
        "Resin and topcoat",
        "Resin and topcoat",
        "Fixings and adhesive",
        "Tools and sundries",
    ];
    assert_eq!(groups, walk);
    // The two needs of resin are pooled: 24.5 kg is one drum of 20 and one of 5, not two drums.
    let resin: Vec<(u64, &str)> =
        order.lines.iter().filter(|l| l.role == "resin").map(|l| (l.quantity, l.code.as_str())).collect();
    assert_eq!(resin, [(1, "demo-resin-20"), (1, "demo-resin-5")]);
    assert_eq!(order.mass, Mass::kg(d("36")));
    assert_eq!((order.lines_without_mass, order.longest), (1, Some(Length::mm(3000))));
    let left: Vec<(Role, Decimal)> = order.left_over().into_iter().map(|l| (l.role, l.quantity)).collect();
    assert_eq!(left, [(Role::Resin, d("0.5")), (Role::CloutNails, d("380"))]);
    assert_eq!(order.total, order.lines.iter().map(|l| l.total).sum());
}

#[test]
fn what_is_only_offered_is_priced_and_not_totalled() {
    let books = [book(vec![article("trim.drip", "demo-drip", "1", "9.00")])];
    let mut spare = need("trim.drip", "1", LineId::TrimLengths(Finish::Drip));
    spare.optional = true;
    let needs = [need("trim.drip", "4", LineId::TrimLengths(Finish::Drip)), spare];
    let p = price(&job(), &Rules::default(), &needs, &programme(), &books, &terms(), &JobMoney::default()).unwrap();
    let order = &p.orders[0];
    assert_eq!(order.lines.iter().map(|l| (l.quantity, l.optional)).collect::<Vec<_>>(), [(4, false), (1, true)]);
    assert_eq!((order.total, order.mass), (gbp("36.00"), Mass::kg(d("8"))));
    assert_eq!(p.why("cost.materials").unwrap().amount, gbp("36.00"));
}

#[test]
fn rates_for_rot_bear_the_vat_of_the_job_or_none() {
    let rate =
        |label: &str, net| AgreedRate { label: label.to_owned(), unit: "m".to_owned(), rate: gbp(net), charges: None };
    let rates = vec![rate("joist", "38.00"), rate("fascia", "31.01")];
    let told = |terms: &Terms, money: &JobMoney| {
        priced(terms, money).rot_rates.into_iter().map(|r| r.total).collect::<Vec<_>>()
    };
    let registered = Terms { rot_rates: rates.clone(), ..terms() };
    assert_eq!(told(&registered, &only_cost("100.00")), [gbp("45.60"), gbp("37.21")]);
    assert_eq!(told(&registered, &claimed("5", "conversion")), [gbp("39.90"), gbp("32.56")]);
    let not = Terms { vat: Vat { registered: false, ..terms().vat }, ..registered };
    assert_eq!(told(&not, &only_cost("100.00")), [gbp("38.00"), gbp("31.01")]);
}

#[test]
fn every_role_that_nobody_sells_is_named_with_its_line_and_where_to_add_it() {
    let mut other = article("trim.drip", "demo-drip", "1", "9.00");
    other.size = Some(Length::mm(2500));
    let mut drip = need("trim.drip", "7", LineId::TrimLengths(Finish::Drip));
    drip.size = Some(Length::mm(3000));
    let mut acetone = need("acetone", "5", LineId::Acetone);
    acetone.lines = vec![LineId::Acetone, LineId::LaminateResin];
    let result = price(
        &job(),
        &Rules::default(),
        &[drip, acetone],
        &programme(),
        &[book(vec![other])],
        &terms(),
        &JobMoney::default(),
    );
    assert_eq!(result.as_ref().unwrap_err()[0].source, Source::Prices(0));
    assert_eq!(
        refused(result),
        [
            "articles: prices.yaml does not sell `trim.drip, 3000 mm`, and trim.drip.lengths asks for 7 each; it is sold in \
         2500 mm; add an article with role: trim.drip, size: 3000 mm (drip trim, by stock length) to prices.yaml",
            "articles: prices.yaml does not sell `acetone`, and acetone and laminate.resin ask for 5 l; add an article with \
         role: acetone (acetone for cleaning) to prices.yaml",
        ]
    );
}

#[test]
fn without_a_price_book_one_problem_says_so() {
    let needs = [need("resin", "1", LineId::LaminateResin), need("brush", "1", LineId::Brushes)];
    let result = price(&job(), &Rules::default(), &needs, &programme(), &[], &terms(), &JobMoney::default());
    assert_eq!(
        refused(result),
        [
            "there is no price book to order from; write a prices.yaml beside the job or above it, or name one with --prices"
        ]
    );
}

#[test]
fn prices_older_than_the_rule_are_reported_and_prices_of_that_very_age_are_not() {
    let at = |dated: Date| {
        let books = [PriceBook { dated, ..book(vec![article("brush", "demo-brush", "1", "2.00")]) }];
        price(&job(), &Rules::default(), &[], &programme(), &books, &terms(), &JobMoney::default()).unwrap().notices
    };
    let of_prices = |dated: Date| -> Vec<Problem> {
        at(dated).into_iter().filter(|p| matches!(p.source, Source::Prices(_))).collect()
    };
    assert!(of_prices(date!(2026 - 09 - 26)).is_empty());
    let old = of_prices(date!(2026 - 09 - 25));
    assert_eq!(
        old[0].to_string(),
        "dated: the prices of Invented Roofing Supplies are 61 days old on 2026-11-25 (prices_stale: 60 days); ask the merchant for today's prices and correct the date"
    );
    assert_eq!((old[0].level, old[0].source), (Level::Warning, Source::Prices(0)));
}

#[test]
fn goods_that_come_after_the_start_are_reported() {
    let mut slow = book(vec![article("brush", "demo-brush", "1", "2.00")]);
    slow.merchant.lead_days = Some(5);
    let mut job = job();
    job.start = Some(date!(2026 - 11 - 27));
    let p = price(&job, &Rules::default(), &[], &programme(), &[slow], &terms(), &JobMoney::default()).unwrap();
    assert!(
        p.notices[0]
            .to_string()
            .contains("takes 5 days to deliver: ordered on 2026-11-25 the goods come on 2026-11-30")
    );
}

#[test]
fn two_merchants_give_two_orders_and_the_price_of_each_alone() {
    let mut near =
        book(vec![article("resin", "demo-a-resin", "20", "60.00"), article("mat.450", "demo-a-mat", "1", "2.00")]);
    near.merchant.delivery = gbp("10.00");
    let mut far = book(vec![article("resin", "demo-b-resin", "20", "30.00")]);
    (far.file, far.merchant.name, far.merchant.delivery) = ("far.yaml".into(), "Distant Resins".into(), gbp("12.50"));
    let needs = [need("resin", "36", LineId::LaminateResin), need("mat.450", "25", LineId::MatLength(450))];
    let p =
        price(&job(), &Rules::default(), &needs, &programme(), &[near, far], &terms(), &JobMoney::default()).unwrap();
    let totals: Vec<(Money, Money)> = p.orders.iter().map(|o| (o.total, o.delivery)).collect();
    assert_eq!(totals, [(gbp("50.00"), gbp("10.00")), (gbp("60.00"), gbp("12.50"))]);
    assert_eq!(p.at_one_merchant[0].total, Some(gbp("180.00")));
    assert_eq!(
        (p.at_one_merchant[1].total, p.at_one_merchant[1].missing.as_slice()),
        (None, ["mat.450".to_owned()].as_slice())
    );
    assert_eq!(p.why("cost.delivery").unwrap().amount, gbp("22.50"));
}

// ---- Costs ---------------------------------------------------------------------------------------------------------

#[test]
fn labour_is_each_persons_share_of_the_hours_at_their_own_rate() {
    let mut terms = terms();
    terms.crew = vec![person("Ann", "24.00"), person("Ben", "16.50")];
    terms.travel_day = gbp("18.00");
    let p =
        price(&job(), &Rules::default(), &[], &programme(), &[book(Vec::new())], &terms, &JobMoney::default()).unwrap();
    // 12 person-hours with set-up, 6 each: 6 × 24 + 6 × 16.50.
    let labour = p.why("cost.labour").unwrap();
    assert_eq!(labour.amount, gbp("243.00"));
    assert_eq!(
        labour.working,
        [
            "Strip the old covering: 2 h",
            "Lay the deck: 3 h",
            "Lay the mat and resin: 5 h",
            "Set up and clear, 1 day: 2 h",
            "All person-hours: 12 h",
            "The days hold 16 h: 4 h are left over, paid only to whoever is paid by the day",
            "Ann: 6 h × 24.00 an hour = 144.00",
            "Ben: 6 h × 16.50 an hour = 99.00",
        ]
    );
    assert_eq!(p.why("cost.travel").unwrap().amount, gbp("18.00"));
}

#[test]
fn who_is_paid_by_the_day_costs_whole_days() {
    let mut terms = terms();
    terms.crew = vec![CrewRate { day: Some(gbp("150.00")), ..person("Ann", "24.00") }, person("Ben", "16.50")];
    let p =
        price(&job(), &Rules::default(), &[], &programme(), &[book(Vec::new())], &terms, &JobMoney::default()).unwrap();
    assert_eq!(p.why("cost.labour").unwrap().amount, gbp("249.00"));
}

#[test]
fn skips_are_whole_by_volume_and_by_mass_whichever_is_more() {
    let mut job = stripped();
    let mut terms = terms();
    let skips = |job: &Job, terms: &Terms| {
        let p =
            price(job, &Rules::default(), &[], &programme(), &[book(Vec::new())], terms, &JobMoney::default()).unwrap();
        p.why("cost.strip").map(|c| c.amount)
    };
    // 20 m² × 0.05 = 1 m³.
    assert_eq!(skips(&job, &terms), Some(gbp("280.00")));
    terms.loads[0].holds = d("1");
    assert_eq!(skips(&job, &terms), Some(gbp("280.00")), "exactly one skip is one skip");
    terms.loads[0].holds = d("0.8");
    assert_eq!(skips(&job, &terms), Some(gbp("560.00")));
    // 20 m² × 40 kg = 800 kg in skips of 300 kg: three.
    (terms.strip_mass, terms.loads[0].bears) = (Some(Mass::kg(d("40"))), Some(Mass::kg(d("300"))));
    assert_eq!(skips(&job, &terms), Some(gbp("840.00")));
    // 20 m² × 0.05 m³ in loads of 0.5 m³: two.
    terms.loads.push(Load::van(gbp("38.00"), d("0.5"), None));
    job.strip = Some(crate::support::strip("felt", "van"));
    assert_eq!(skips(&job, &terms), Some(gbp("76.00")));
    job.strip = Some(crate::support::strip("felt", "customer"));
    assert_eq!(skips(&job, &terms), None);
}

#[test]
fn access_answers_cost_the_firms_sum_or_the_jobs_and_nothing_where_they_say_no() {
    let mut job = job();
    let answers = [(Access::Scaffold, Forced::Yes), (Access::Permits, Forced::Sum), (Access::Parking, Forced::Yes)];
    job.access = answers.to_vec();
    job.access.extend([(Access::Aerials, Forced::No), (Access::RenderCutting, Forced::Unanswered)]);
    let money = JobMoney { access: vec![(Access::Permits, gbp("65.00"))], ..JobMoney::default() };
    let p = price(&job, &Rules::default(), &[], &Programme::default(), &[book(Vec::new())], &terms(), &money).unwrap();
    assert_eq!(p.cost, gbp("495.00"));
    assert_eq!(p.lines.len(), 1);
    assert_eq!(p.lines[0].label, "Scaffold or edge protection; permits and licences for the road; parking");
}

#[test]
fn access_that_is_paid_by_the_day_costs_every_day_on_site() {
    let mut job = job();
    job.access = vec![(Access::Parking, Forced::Yes), (Access::Permits, Forced::Yes)];
    let mut programme = programme();
    programme.days.push(Day { number: 2, ..Day::default() });
    let mut terms = terms();
    terms.access_day = vec![(Access::Parking, gbp("7.50")), (Access::Permits, gbp("11.00"))];
    let p = price(&job, &Rules::default(), &[], &programme, &[book(Vec::new())], &terms, &JobMoney::default()).unwrap();
    let parking = p.why("cost.access.parking").unwrap();
    assert_eq!(parking.amount, gbp("45.00"));
    assert_eq!(parking.working, ["the firm's sum: 30.00", "2 × 7.50 for a day on site"]);
    assert_eq!(p.why("cost.access.permits").unwrap().amount, gbp("22.00"));
}

#[test]
fn plant_on_hire_costs_every_day_on_site_and_a_lost_day_costs_it_too() {
    let mut programme = programme();
    programme.days.push(Day { number: 2, ..Day::default() });
    let priced = |sum: ExtraSum| {
        let extras = vec![Extra { label: "Hoist on hire".into(), sum, kind: ExtraKind::Fixed }];
        let money = JobMoney { extras, ..JobMoney::default() };
        let (job, rules, books, terms) = (job(), Rules::default(), [book(Vec::new())], terms());
        let p = price(&job, &rules, &[], &programme, &books, &terms, &money).unwrap();
        let basis = Basis {
            job: &job,
            rules: &rules,
            needs: &[],
            programme: &programme,
            books: &books,
            terms: &terms,
            money: &money,
        };
        let day = sheet(&p, basis).day;
        (p, day)
    };
    let (lump, plain_day) = priced(ExtraSum::Cost(gbp("76.00")));
    let (hired, dearer_day) = priced(ExtraSum::CostADay(gbp("38.00")));
    let line = hired.why("cost.extra.1").unwrap();
    assert_eq!(
        (line.amount, line.working.clone()),
        (gbp("76.00"), vec!["2 × 38.00 for a day on site, from the job file".into()])
    );
    assert_eq!(hired.total, lump.total);
    assert_eq!(dearer_day, plain_day + gbp("38.00"));
}

#[test]
fn an_access_answer_without_a_sum_is_refused() {
    let mut job = job();
    job.access = vec![(Access::Aerials, Forced::Yes), (Access::Permits, Forced::Sum)];
    let result = price(&job, &Rules::default(), &[], &programme(), &[book(Vec::new())], &terms(), &JobMoney::default());
    assert_eq!(
        refused(result),
        [
            "access.aerials: the answer is yes, and neither the job nor the firm says what it costs; write a sum here, or \
         `access.aerials` with a sum in the firm file",
            "access.permits: a sum is promised and none is given; write the sum, as 120.00",
        ]
    );
    job.access = vec![(Access::Scaffold, Forced::Yes)];
    let free = Terms { scaffold: ScaffoldPrice { once: Money::ZERO, ..terms().scaffold }, ..terms() };
    let result = price(&job, &Rules::default(), &[], &programme(), &[book(Vec::new())], &free, &JobMoney::default());
    assert!(refused(result)[0].starts_with("access.scaffold: the answer is yes"), "a scaffold is never free");
}

#[test]
fn contingency_and_overhead_are_both_on_the_direct_cost() {
    let terms = Terms { contingency: d("5"), overhead: d("12.5"), ..terms() };
    let p = priced(&terms, &only_cost("800.10"));
    // 40.005 and 100.0125 to the nearest penny, halves up.
    assert_eq!(p.why("cost.contingency").unwrap().amount, gbp("40.01"));
    assert_eq!(p.why("cost.overhead").unwrap().amount, gbp("100.01"));
    assert_eq!(p.cost, gbp("940.12"));
    assert_eq!(p.cost, p.costs.iter().map(|c| c.amount).sum());
}

#[test]
fn a_firm_that_is_not_registered_charges_no_vat_and_bears_it_on_materials() {
    let mut terms = terms();
    terms.vat.registered = false;
    let books = [book(vec![article("resin", "demo-resin", "20", "60.00")])];
    let needs = [need("resin", "36", LineId::LaminateResin)];
    let p =
        price(&job(), &Rules::default(), &needs, &Programme::default(), &books, &terms, &JobMoney::default()).unwrap();
    assert!(p.vat.is_empty());
    assert_eq!((p.cost, p.net, p.total), (gbp("144.00"), gbp("144.00"), gbp("144.00")));
    assert_eq!(p.why("cost.vat_paid").unwrap().amount, gbp("24.00"));
    assert!(p.notices.iter().any(|notice| notice.level == Level::Assumed));
}

// ---- Margin and markup ---------------------------------------------------------------------------------------------

/// `margin = markup/(1 + markup)`, `price = cost/(1 − margin)`: arithmetic, worked by hand.
#[test]
fn margin_and_markup_are_two_things_and_each_is_reached() {
    let cost = gbp("1000.00");
    assert_eq!(selling_price(cost, PriceTarget::Markup(d("25"))), gbp("1250.00"));
    assert_eq!(margin_and_markup(cost, gbp("1250.00")), (d("20"), d("25")));
    assert_eq!(selling_price(cost, PriceTarget::Margin(d("25"))), gbp("1333.33"));
    let (margin, markup) = margin_and_markup(cost, gbp("1333.33"));
    assert_eq!((margin.round_dp(2), markup.round_dp(2)), (d("25.00"), d("33.33")));
    assert_eq!(margin_and_markup(gbp("800"), gbp("1000")), (d("20"), d("25")));
    let third = Decimal::ONE_HUNDRED / d("3");
    assert_eq!(selling_price(cost, PriceTarget::Markup(third)), selling_price(cost, PriceTarget::Margin(d("25"))));
}

#[test]
fn the_price_reports_margin_and_markup_of_what_was_really_charged() {
    let p = priced(&Terms { target: PriceTarget::Margin(d("25")), ..terms() }, &only_cost("1000.00"));
    assert_eq!((p.net, p.profit, p.rule.as_str()), (gbp("1333.33"), gbp("333.33"), "margin 25%"));
    assert_eq!(p.markup, d("33.333"));
    assert_eq!(p.total, gbp("1600.00"));
}

/// What one number may be is the reader's to judge; what no price can be made from is judged here, all of it at once.
#[test]
fn terms_that_cannot_be_met_are_all_refused_at_once() {
    let terms = Terms { crew: Vec::new(), ..terms() };
    let sold = [article("resin", "demo-resin", "0.0000001", "60.00"), article("brush", "demo-brush", "1", "2.00")];
    let again = [article("brush", "demo-brush", "1", "3.00")];
    let books = [book([sold.to_vec(), again.to_vec()].concat())];
    let needs = [need("gloves", "1", LineId::Gloves)];
    let problems =
        price(&job(), &Rules::default(), &needs, &programme(), &books, &terms, &JobMoney::default()).unwrap_err();
    let paths: Vec<(Source, String)> = problems.iter().map(|p| (p.source, p.place.to_string())).collect();
    assert_eq!(
        paths,
        [
            (Source::Firm, "people".to_owned()),
            (Source::Prices(0), "articles[0].holds".to_owned()),
            (Source::Prices(0), "articles[2].code".to_owned()),
            (Source::Prices(0), "articles".to_owned()),
        ]
        .map(|(source, path)| (source, path.to_owned()))
    );
    assert!(problems.iter().all(|p| p.level == Level::Fault && !p.cure.is_empty()));
}

#[test]
fn one_article_may_serve_two_roles_under_one_code() {
    let books = [book(vec![
        article("sheet.night", "demo-sheet", "20", "9.00"),
        article("sheet.floor", "demo-sheet", "20", "9.00"),
    ])];
    let needs = [need("sheet.night", "30", LineId::SheetNight), need("sheet.floor", "10", LineId::SheetFloor)];
    let p = price(&job(), &Rules::default(), &needs, &programme(), &books, &terms(), &JobMoney::default()).unwrap();
    assert_eq!(p.orders[0].total, gbp("27.00"));
}

#[test]
fn no_job_is_sold_below_the_minimum_charge_unless_it_says_no() {
    let terms = Terms { minimum_charge: Some(gbp("450.00")), ..terms() };
    let p = priced(&terms, &only_cost("100.00"));
    assert_eq!((p.net, p.rule.as_str(), p.profit), (gbp("450.00"), "minimum charge", gbp("350.00")));
    assert_eq!(priced(&terms, &only_cost("451.00")).rule, "markup 0%");
    let mut job = job();
    let at = |job: &Job, money: &JobMoney| {
        price(job, &Rules::default(), &[], &Programme::default(), &[book(Vec::new())], &terms, money).unwrap().net
    };
    job.access = vec![(Access::MinimumCharge, Forced::No)];
    assert_eq!(at(&job, &only_cost("100.00")), gbp("100.00"));
    job.access = vec![(Access::MinimumCharge, Forced::Sum)];
    let money = JobMoney { access: vec![(Access::MinimumCharge, gbp("300.00"))], ..only_cost("100.00") };
    assert_eq!(at(&job, &money), gbp("300.00"));
}

#[test]
fn the_total_can_be_sold_as_a_whole_number_of_pounds_and_the_effect_is_shown() {
    for (step, total) in [("1", "1481.00"), ("5", "1480.00"), ("10", "1480.00")] {
        let target = PriceTarget::Markup(d("23.44"));
        let terms = Terms { round_total_to: Some(gbp(step)), target, ..terms() };
        let p = priced(&terms, &only_cost("1000.00"));
        assert_eq!(p.total, gbp(total), "to the nearest {step}");
        assert_eq!(line_sum(&p), p.net);
        // Unrounded: 1234.40 + 246.88 = 1481.28.
        assert_eq!(p.why("price.rounding").unwrap().amount, gbp(total) - gbp("1481.28"));
    }
}

// ---- What the householder sees -------------------------------------------------------------------------------------

#[test]
fn the_householders_lines_are_plain_words_that_add_up() {
    let job = stripped();
    let money = JobMoney {
        extras: vec![
            Extra { kind: ExtraKind::Fixed, label: "New roof light".into(), sum: ExtraSum::Cost(gbp("310.00")) },
            Extra { kind: ExtraKind::Fixed, label: "Paint the fascia".into(), sum: ExtraSum::Price(gbp("95.00")) },
        ],
        ..JobMoney::default()
    };
    let terms = Terms { target: PriceTarget::Margin(d("27")), overhead: d("11"), ..terms() };
    let p = price(&job, &Rules::default(), &[], &programme(), &[book(Vec::new())], &terms, &money).unwrap();
    let labels: Vec<&str> = p.lines.iter().map(|l| l.label.as_str()).collect();
    assert_eq!(
        labels,
        [
            "Strip the old covering and take it away by skip",
            "New timber deck",
            "Edge trims and glass-fibre covering",
            "New roof light",
            "Paint the fascia",
        ]
    );
    assert_eq!(line_sum(&p), p.net);
    assert_eq!(p.lines[4].net, gbp("95.00"));
    assert_eq!(p.profit, p.net - gbp("95.00") - p.cost);
    let costs: Vec<Money> = p.costs.iter().map(|c| c.amount).collect();
    assert!(p.lines[..4].iter().all(|l| !costs.contains(&l.net)), "a cost stands among the lines");
}

#[test]
fn pennies_that_are_left_go_to_the_lines_that_lost_most() {
    let shares = share_out(gbp("100.00"), &[d("1"), d("1"), d("1")]);
    assert_eq!(shares, [gbp("33.34"), gbp("33.33"), gbp("33.33")]);
    // 14.285…, 28.571…, 57.142…: the second lost most.
    let shares = share_out(gbp("100.00"), &[d("1"), d("2"), d("4")]);
    assert_eq!(shares, [gbp("14.29"), gbp("28.57"), gbp("57.14")]);
}

// ---- VAT -----------------------------------------------------------------------------------------------------------

fn lines(nets: &[&str]) -> Vec<PriceLine> {
    nets.iter().map(|n| PriceLine { label: "line".into(), net: gbp(n), vat_rate: d("20") }).collect()
}

/// Three lines of 10.03 at 20 %: exactly 6.018. The total may be rounded down to a whole penny by VAT Notice 700,
/// section 17.5, as read in HMRC manual VATREC12010; the nearest penny and line by line: arithmetic.
#[test]
fn three_lines_of_ten_pounds_and_three_pence_bear_vat_of_6_02_or_6_01_or_6_03_by_method() {
    let vat = |rounding| vat::by_rate(&lines(&["10.03", "10.03", "10.03"]), rounding)[0].vat;
    assert_eq!(vat(VatRounding::TotalNearest), gbp("6.02"));
    assert_eq!(vat(VatRounding::TotalDown), gbp("6.01"));
    assert_eq!(vat(VatRounding::LineNearest), gbp("6.03"));
}

/// 86.76 pence of VAT is 87p to the nearest penny (VAT Notice 700, 17.5.1, from memory); a gross price of 1,200.00 at
/// 20 % holds one sixth of VAT, 200.00 (arithmetic).
#[test]
fn vat_of_86_76_pence_is_87_pence_and_a_sixth_of_the_gross_is_vat() {
    // 4.338 × 20 % = 0.8676.
    let line = |net: &str| vec![PriceLine { label: "line".into(), net: gbp(net), vat_rate: d("20") }];
    assert_eq!(vat::by_rate(&line("4.338"), VatRounding::TotalNearest)[0].vat, gbp("0.87"));
    assert_eq!(vat::by_rate(&line("4.338"), VatRounding::TotalDown)[0].vat, gbp("0.86"));
    assert_eq!(vat::by_rate(&line("1000.00"), VatRounding::TotalNearest)[0].vat, gbp("200.00"));
}

#[test]
fn each_rate_has_its_own_total_and_the_highest_comes_first() {
    let mut all = lines(&["100.00"]);
    all.push(PriceLine { label: "empty house".into(), net: gbp("200.01"), vat_rate: d("5") });
    let by_rate: Vec<(Decimal, Money)> =
        vat::by_rate(&all, VatRounding::TotalNearest).iter().map(|v| (v.rate, v.vat)).collect();
    assert_eq!(by_rate, [(d("20"), gbp("20.00")), (d("5"), gbp("10.00"))]);
}

/// A replaced roof is one standard-rated supply, insulation or not ([2020] UKFTT 506 (TC), head-note).
#[test]
fn insulation_never_makes_its_own_rate() {
    let money = JobMoney {
        extras: vec![Extra {
            kind: ExtraKind::Fixed,
            label: "Insulation under the new deck".into(),
            sum: ExtraSum::Cost(gbp("500.00")),
        }],
        ..JobMoney::default()
    };
    let p = priced(&terms(), &money);
    assert_eq!((p.lines[0].vat_rate, p.total), (d("20"), gbp("600.00")));
}

fn claimed(rate: &str, reason: &str) -> JobMoney {
    JobMoney { vat: Some(ClaimedRate { rate: d(rate), reason: reason.into() }), ..only_cost("1000.00") }
}

/// 5 % for a dwelling empty for two years or more: HMRC manual VCONST07100.
#[test]
fn another_rate_is_charged_only_with_its_reason_and_the_reason_is_told() {
    let p = priced(&terms(), &claimed("5", "empty two years"));
    assert_eq!((p.lines[0].vat_rate, p.total), (d("5"), gbp("1050.00")));
    assert_eq!(p.vat_reason.as_deref(), Some("a dwelling that nobody has lived in for two years or more"));
    assert!(p.notices[0].cure.contains("keep the proof"));
    assert_eq!(priced(&terms(), &only_cost("1000.00")).vat_reason, None);
    let refuse = |money: &JobMoney| {
        let books = [book(Vec::new())];
        refused(price(&job(), &Rules::default(), &[], &Programme::default(), &books, &terms(), money)).join("")
    };
    assert!(refuse(&claimed("0", "insulation")).starts_with("quote.vat.reason: `insulation` is not a known reason"));
    assert_eq!(
        refuse(&claimed("0", "conversion")),
        "quote.vat.rate: `conversion` allows 5 % and not 0 %; write 5 %, or another reason"
    );
}

// ---- Stages --------------------------------------------------------------------------------------------------------

fn stage(label: &str, part: StagePart) -> StageRule {
    StageRule { label: label.into(), part, after: None }
}

#[test]
fn the_last_stage_takes_the_remainder() {
    let rules = [
        stage("Deposit", StagePart::Percent(d("25"))),
        stage("When the deck is laid", StagePart::Sum(gbp("500.00"))),
        stage("On completion", StagePart::Remainder),
    ];
    let amounts: Vec<Money> =
        stages(gbp("1600.01"), &rules, StagesFrom::Firm).unwrap().iter().map(|s| s.amount).collect();
    assert_eq!(amounts, [gbp("400.00"), gbp("500.00"), gbp("700.01")]);
    let thirds = [
        stage("A third", StagePart::Percent(d("33.33"))),
        stage("A third", StagePart::Percent(d("33.33"))),
        stage("The rest", StagePart::Remainder),
    ];
    let amounts: Vec<Money> =
        stages(gbp("0.10"), &thirds, StagesFrom::Firm).unwrap().iter().map(|s| s.amount).collect();
    assert_eq!(amounts, [gbp("0.03"), gbp("0.03"), gbp("0.04")]);
}

#[test]
fn stages_of_more_than_the_total_are_refused_where_they_were_written() {
    let rules = [stage("Deposit", StagePart::Sum(gbp("1200.00"))), stage("Rest", StagePart::Remainder)];
    let fault = |written| stages(gbp("1000.00"), &rules, written).unwrap_err().remove(0);
    assert_eq!(
        fault(StagesFrom::Job).to_string(),
        "quote.stages: the stages before the last come to 1200.00 and the total is 1000.00; let them come to less, so that the last stage takes what is left"
    );
    assert_eq!((fault(StagesFrom::Job).source, fault(StagesFrom::Firm).source), (Source::Job, Source::Firm));
}

#[test]
fn a_stage_that_is_tied_to_an_operation_falls_due_on_its_last_day() {
    let mut programme = programme();
    programme.days[0].date = Some(date!(2027 - 02 - 01));
    programme.days.push(Day {
        number: 2,
        date: Some(date!(2027 - 02 - 02)),
        work: vec![(2, d("1"))],
        ..Day::default()
    });
    let after =
        |operation| StageRule { after: Some(operation), ..stage("When it is done", StagePart::Percent(d("30"))) };
    let rules = vec![
        after(Operation::Deck),
        after(Operation::Laminate),
        after(Operation::Finish),
        stage("Rest", StagePart::Remainder),
    ];
    let terms = Terms { stages: rules, ..terms() };
    let p =
        price(&job(), &Rules::default(), &[], &programme, &[book(Vec::new())], &terms, &JobMoney::default()).unwrap();
    let due: Vec<Option<Date>> = p.stages.iter().map(|s| s.due).collect();
    assert_eq!(due, [Some(date!(2027 - 02 - 01)), Some(date!(2027 - 02 - 02)), None, None]);
}

#[test]
fn stages_of_the_job_stand_instead_of_the_firms() {
    let firm = Terms { stages: vec![stage("All", StagePart::Remainder)], ..terms() };
    let own = vec![stage("Half", StagePart::Percent(d("50"))), stage("Half", StagePart::Remainder)];
    let p = priced(&firm, &JobMoney { stages: Some(own), ..only_cost("1000.00") });
    assert_eq!(p.stages.iter().map(|s| s.amount).collect::<Vec<_>>(), [gbp("600.00"), gbp("600.00")]);
}

// ---- What always holds ---------------------------------------------------------------------------------------------

fn any_target() -> impl Strategy<Value = PriceTarget> {
    prop_oneof![
        (0i64..9500).prop_map(|p| PriceTarget::Margin(Decimal::new(p, 2))),
        (0i64..20000).prop_map(|p| PriceTarget::Markup(Decimal::new(p, 2))),
    ]
}

fn any_rounding() -> impl Strategy<Value = VatRounding> {
    prop_oneof![
        Just(VatRounding::TotalNearest),
        Just(VatRounding::TotalDown),
        Just(VatRounding::LineNearest),
        Just(VatRounding::LineTenthDown)
    ]
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn lines_and_vat_add_up_to_the_total_and_so_do_the_stages(
        pence in prop::collection::vec(1i64..500_000, 1..6),
        fixed in prop::option::of(1i64..50_000),
        target in any_target(),
        rounding in any_rounding(),
        deposit in 0i64..10_000,
        step in prop::option::of(1i64..4),
        overhead in 0i64..3000,
    ) {
        let mut extras: Vec<Extra> = pence.iter().map(|p| Extra { kind: ExtraKind::Fixed, label: "work".into(), sum: ExtraSum::Cost(Money::pence(*p)) }).collect();
        extras.extend(fixed.map(|p| Extra { kind: ExtraKind::Fixed, label: "fixed".into(), sum: ExtraSum::Price(Money::pence(p)) }));
        let mut terms = Terms {
            target,
            overhead: Decimal::new(overhead, 2),
            round_total_to: step.map(|s| Money::pence(s * 100)),
            stages: vec![stage("Deposit", StagePart::Percent(Decimal::new(deposit, 2))), stage("Rest", StagePart::Remainder)],
            ..terms()
        };
        terms.vat.rounding = rounding;
        let p = priced(&terms, &JobMoney { extras, ..JobMoney::default() });
        prop_assert_eq!(line_sum(&p), p.net);
        prop_assert_eq!(p.net + p.vat.iter().map(|v| v.vat).sum(), p.total);
        prop_assert_eq!(p.stages.iter().map(|s| s.amount).sum::<Money>(), p.total);
        prop_assert_eq!(p.costs.iter().map(|c| c.amount).sum::<Money>(), p.cost);
        let printed = p.lines.iter().map(|l| l.net).chain(p.vat.iter().map(|v| v.vat)).chain(p.stages.iter().map(|s| s.amount));
        prop_assert!(printed.into_iter().all(|m| m == m.to_penny()));
    }

    #[test]
    fn every_share_is_within_a_penny_of_its_exact_part(sum in 0i64..1_000_000, weights in prop::collection::vec(1i64..1000, 1..9)) {
        let weights: Vec<Decimal> = weights.into_iter().map(Decimal::from).collect();
        let all: Decimal = weights.iter().sum();
        let shares = share_out(Money::pence(sum), &weights);
        prop_assert_eq!(shares.iter().copied().sum::<Money>(), Money::pence(sum));
        for (share, w) in shares.iter().zip(&weights) {
            let exact = Decimal::new(sum, 2) * w / all;
            prop_assert!((share.as_pounds() - exact).abs() < d("0.01"));
        }
    }

    #[test]
    fn the_price_falls_when_a_pack_price_falls(pence in 100i64..9000, less in 1i64..99, kg in 1i64..200, target in any_target()) {
        let net = |pence: i64| {
            let books = [book(vec![Article { price: Money::pence(pence), ..article("resin", "demo-resin", "20", "0") }])];
            let needs = [need("resin", &kg.to_string(), LineId::LaminateResin)];
            let terms = Terms { target, ..terms() };
            price(&job(), &Rules::default(), &needs, &programme(), &books, &terms, &JobMoney::default()).unwrap().net
        };
        prop_assert!(net(pence - less) < net(pence));
    }
}

#[test]
fn every_sum_of_the_price_has_its_working() {
    let books =
        [book(vec![article("resin", "demo-resin-20", "20", "60.00"), article("resin", "demo-resin-5", "5", "18.00")])];
    let terms = Terms {
        stages: vec![stage("On completion", StagePart::Remainder)],
        target: PriceTarget::Margin(d("25")),
        ..terms()
    };
    let needs = [need("resin", "24.5", LineId::LaminateResin)];
    let p = price(&job(), &Rules::default(), &needs, &programme(), &books, &terms, &JobMoney::default()).unwrap();
    let ids: Vec<&str> = p.ids().collect();
    assert_eq!(
        ids,
        [
            "cost.materials",
            "cost.labour",
            "pack.resin",
            "price.made",
            "price.net",
            "price.vat.20",
            "price.total",
            "stage.1",
        ]
    );
    assert!(ids.iter().all(|id| !p.why(id).unwrap().working.is_empty()));
    assert_eq!(
        p.why("pack.resin").unwrap().working,
        [
            "24.5 kg for laminate.resin",
            "Invented Roofing Supplies: 1 × pack of 20 at 60.00 + 1 × pack of 5 at 18.00 = 78.00, 0.5 kg left over",
            "the cheapest packs that cover it; ties go to fewer packs, then to less left over",
        ]
    );
    assert_eq!(p.why("price.made").unwrap().working, ["cost 318.00 ÷ (1 − 25 %) = 424.00, to the nearest penny"]);
    assert!(p.why("price.nonsense").is_none());
}

// ---- VAT by the tenth of a penny, and by date ------------------------------------------------------------------------

#[test]
fn vat_by_line_down_to_a_tenth_of_a_penny_is_then_taken_down_to_a_whole_penny() {
    // Three lines of 10.03 at 20 %: 200.6p each, 601.8p in all, 6.01 (VAT Notice 700, 17.5.1, from memory).
    let of = |nets: &[&str]| vat::by_rate(&lines(nets), VatRounding::LineTenthDown)[0].vat;
    assert_eq!(of(&["10.03", "10.03", "10.03"]), gbp("6.01"));
    // 20 % of 4.338 is 86.76p: 86.7p by the tenth, 86p when it is alone.
    assert_eq!(gbp("0.8676").down_to_tenth(), gbp("0.867"));
    // Ten lines of 0.03 bear 0.6p each: six pence in all, and none at all by the penny of each line down.
    assert_eq!(of(&["0.03"; 10]), gbp("0.06"));
    // Ten lines of 0.01 at 17.5 % bear 0.175p each: 0.1p by the tenth, one penny in all.
    let mut small = lines(&["0.01"; 10]);
    small.iter_mut().for_each(|l| l.vat_rate = d("17.5"));
    assert_eq!(vat::by_rate(&small, VatRounding::LineTenthDown)[0].vat, gbp("0.01"));
}

fn changing() -> Terms {
    Terms { vat_rates: vec![RateFrom { from: date!(2027 - 04 - 01), rate: d("22") }], ..terms() }
}

/// The programme with its one day on a date.
fn on(day: Date) -> Programme {
    let mut plan = programme();
    plan.days[0].date = Some(day);
    plan
}

fn priced_on(end: Date, terms: &Terms, money: &JobMoney) -> Pricing {
    let job = Job { start: Some(end), ..job() };
    price(&job, &Rules::default(), &[], &on(end), &[], terms, money).unwrap()
}

#[test]
fn the_rate_of_vat_is_that_of_the_day_on_which_the_work_ends() {
    let rate = |end: Date| priced_on(end, &changing(), &only_cost("1000.00")).vat[0].rate;
    assert_eq!(rate(date!(2027 - 03 - 31)), d("20"));
    assert_eq!(rate(date!(2027 - 04 - 01)), d("22"));
    assert_eq!(changing().rate_on(date!(2026 - 01 - 01)), d("20"));
}

#[test]
fn a_rate_that_changes_before_the_work_ends_is_told() {
    let warned = |end: Date| {
        let p = priced_on(end, &changing(), &only_cost("1000.00"));
        p.notices.into_iter().find(|n| n.place.to_string() == "money.vat.rates[0]").map(|n| (n.level, n.fault))
    };
    assert_eq!(warned(date!(2027 - 03 - 31)), None);
    let (level, fault) = warned(date!(2027 - 04 - 01)).unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(fault, "VAT is 20 % today and 22 % when the work ends on 2027-04-01: 22 % is charged");
    let unsaid = priced(&changing(), &only_cost("1000.00"));
    assert_eq!(unsaid.vat[0].rate, d("20"));
    assert!(unsaid.notices.iter().any(|n| n.level == Level::Assumed && n.fault.contains("no `start`")));
}

#[test]
fn a_claimed_rate_and_an_unregistered_firm_know_no_dates() {
    let end = date!(2027 - 05 - 01);
    assert_eq!(priced_on(end, &changing(), &claimed("5", "empty two years")).vat[0].rate, d("5"));
    let mut small = changing();
    small.vat.registered = false;
    assert!(priced_on(end, &small, &only_cost("1000.00")).vat.is_empty());
}

#[test]
fn dated_rates_out_of_their_order_are_refused() {
    let from = |rate: &str| RateFrom { from: date!(2027 - 04 - 01), rate: d(rate) };
    let terms = Terms { vat_rates: vec![from("22"), from("20")], ..terms() };
    let said =
        refused(price(&job(), &Rules::default(), &[], &programme(), &[], &terms, &only_cost("10.00"))).join("\n");
    assert!(said.contains("the rate from 2027-04-01 does not come after the rate from 2027-04-01"), "{said}");
}

// ---- Offers ----------------------------------------------------------------------------------------------------------

fn extra(label: &str, sum: ExtraSum, kind: ExtraKind) -> Extra {
    Extra { label: label.into(), sum, kind }
}

fn with_offers() -> JobMoney {
    let mut money = only_cost("1000.00");
    money.extras.extend([
        extra("Paint", ExtraSum::Price(gbp("85.00")), ExtraKind::Optional),
        extra("Ceiling", ExtraSum::Cost(gbp("100.00")), ExtraKind::Provisional),
        extra("Joists", ExtraSum::Price(gbp("200.00")), ExtraKind::ProvisionalInTotal),
    ]);
    money
}

#[test]
fn what_is_offered_stands_beside_the_total_with_its_own_vat() {
    let terms = Terms { overhead: d("10"), contingency: d("5"), target: PriceTarget::Margin(d("20")), ..terms() };
    let p = priced(&terms, &with_offers());
    let offers: Vec<_> = p.offers.iter().map(|o| (o.label.as_str(), o.kind, o.net, o.vat, o.total)).collect();
    // 100.00 and 15 % are 115.00; ÷ 0.8 is 143.75; VAT 28.75.
    assert_eq!(
        offers,
        [
            ("Paint", ExtraKind::Optional, gbp("85.00"), gbp("17.00"), gbp("102.00")),
            ("Ceiling", ExtraKind::Provisional, gbp("143.75"), gbp("28.75"), gbp("172.50")),
        ]
    );
    let mut without = with_offers();
    without.extras.retain(|e| e.kind.in_total());
    assert_eq!((p.total, p.profit, p.cost), {
        let q = priced(&terms, &without);
        (q.total, q.profit, q.cost)
    });
    assert!(p.lines.iter().any(|l| l.label == "Joists (provisional sum)" && l.net == gbp("200.00")));
    assert_eq!(p.why("offer.2").unwrap().amount, gbp("172.50"));
    assert_eq!(line_sum(&p), p.net);
}

// ---- The firm's own sheet --------------------------------------------------------------------------------------------

/// A job of one day with a skip, a trim and a drum of resin, and its sheet.
fn sheet_of(kilograms: &str, terms: &Terms) -> (Pricing, PrivateSheet) {
    let mut book = book(vec![
        article("resin", "demo-resin-20", "20", "60.00"),
        article("trim.drip", "demo-drip", "1", "12.00"),
        article("trim.wall", "demo-wall", "1", "14.00"),
    ]);
    book.merchant.delivery = gbp("30.00");
    let needs = [
        need("resin", kilograms, LineId::LaminateResin),
        need("trim.drip", "2", LineId::TrimLengths(Finish::Drip)),
        need("trim.wall", "1", LineId::TrimLengths(Finish::Wall)),
    ];
    let strip = Some(crate::support::strip("felt", "skip"));
    let (job, rules, money) = (Job { strip, ..job() }, Rules::default(), only_cost("1000.00"));
    let plan = programme();
    let books = [book];
    let p = price(&job, &rules, &needs, &plan, &books, terms, &money).unwrap();
    let basis =
        Basis { job: &job, rules: &rules, needs: &needs, programme: &plan, books: &books, terms, money: &money };
    let sheet = sheet(&p, basis);
    (p, sheet)
}

fn cost_of(sheet: &PrivateSheet, id: &str) -> Money {
    sheet.shifts.iter().find(|s| s.id == id).unwrap_or_else(|| panic!("no {id}")).cost
}

#[test]
fn the_sheet_says_what_each_mishap_costs() {
    let terms = Terms { travel_day: gbp("16.00"), target: PriceTarget::Margin(d("25")), ..terms() };
    let (p, sheet) = sheet_of("20", &terms);
    // Two people at 20.00 for a day of 8 hours, and 16.00 of travel.
    assert_eq!(Rules::default().day_hours, d("8"));
    assert_eq!(sheet.day, gbp("336.00"));
    assert_eq!(cost_of(&sheet, "shift.day_lost"), gbp("336.00"));
    // 22 kg take a second drum.
    assert_eq!(cost_of(&sheet, "shift.resin"), gbp("60.00"));
    // The dearer trim, a second delivery, half a day.
    assert_eq!(cost_of(&sheet, "shift.trim_short"), gbp("212.00"));
    // 60.00 + 24.00 + 14.00 of materials.
    assert_eq!(cost_of(&sheet, "shift.prices"), gbp("9.80"));
    // 10 hours of work: one more, half of it each.
    assert_eq!(cost_of(&sheet, "shift.hours"), gbp("20.00"));
    assert_eq!(cost_of(&sheet, "shift.load"), gbp("280.00"));
    let costs: Vec<Money> = sheet.shifts.iter().map(|s| s.cost).collect();
    assert!(costs.windows(2).all(|w| w[0] >= w[1]), "most first: {costs:?}");
    assert_eq!(sheet.profit_a_day, p.profit);
    assert_eq!(sheet.profit_an_hour, Money::pounds(p.profit.as_pounds() / d("12")).to_penny());
}

#[test]
fn a_drum_that_holds_enough_makes_more_resin_cost_nothing() {
    assert_eq!(cost_of(&sheet_of("15", &terms()).1, "shift.resin"), Money::ZERO);
}

#[test]
fn after_the_days_of_the_break_even_the_profit_is_gone_and_a_tenth_earlier_it_is_not() {
    let terms = Terms { target: PriceTarget::Margin(d("40")), contingency: d("5"), ..terms() };
    let (p, sheet) = sheet_of("20", &terms);
    let over = sheet.days_over.unwrap();
    assert!(sheet.day * over <= p.profit && sheet.day * (over + d("0.1")) > p.profit, "{over} days");
    let longer = sheet.days_over_with_contingency.unwrap();
    let both = p.profit + p.why("cost.contingency").unwrap().amount;
    assert!(sheet.day * longer <= both && sheet.day * (longer + d("0.1")) > both, "{longer} days");
}

#[test]
fn every_figure_of_the_sheet_has_its_working_and_an_id_of_its_own() {
    let (p, sheet) = sheet_of("20", &terms());
    let figures = sheet.figures();
    assert!(figures.iter().all(|f| !f.working.is_empty() && !f.value.to_string().is_empty()));
    let mut ids: Vec<&str> = figures.iter().map(|f| f.id).chain(p.ids()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
}

// ---- Options, from the files of a real job ---------------------------------------------------------------------------

const KITCHEN: &str = "kitchen-extension";

fn from_text(text: &str) -> crate::demo::Demo {
    let mut request = crate::demo::request(KITCHEN);
    request.bytes = text.as_bytes().to_vec();
    crate::demo::work(&request)
}

fn kitchen_text() -> String {
    String::from_utf8(crate::demo::request(KITCHEN).bytes).unwrap()
}

/// The kitchen without its own options, and with these instead.
fn kitchen_with(options: &str) -> String {
    let text = kitchen_text();
    let (before, rest) = text.split_once("\noptions:").unwrap();
    let (_, after) = rest.split_once("\nquote:").unwrap();
    format!("{before}\n{options}\nquote:{after}")
}

#[test]
fn an_option_costs_what_the_job_written_out_with_the_change_costs() {
    for (change, from, to) in [
        ("{roofs: {Main roof: {laminate: {mat: 600}}}}", "laminate: {mat: 450,", "laminate: {mat: 600,"),
        ("{roofs: {all: {topcoat: {colour: green}}}}", "colour: dark grey", "colour: green"),
        (
            "{roofs: {Main roof: {holes: {rooflight: {size: [0.8 m, 0.8 m]}}}}}",
            "size: [1.0 m, 1.0 m]",
            "size: [0.8 m, 0.8 m]",
        ),
        ("{strip: {tip: van}}", "tip: skip", "tip: van"),
        ("{extras: {Fixing of the new fascia board: {cost: 12.10}}}", "cost: 13.40", "cost: 12.10"),
    ] {
        let base = from_text(&kitchen_with(&format!("options: [{{name: Other, change: {change}}}]")));
        let plain = kitchen_with("");
        assert!(plain.contains(from), "{from}");
        let other = from_text(&plain.replace(from, to));
        let option = &base.pricing.options[0];
        assert_eq!(option.total, other.pricing.total, "{change}");
        assert_eq!(option.difference, other.pricing.total - base.pricing.total, "{change}");
        assert_ne!(option.difference, Money::ZERO, "{change}");
        assert_eq!(base.pricing.total, from_text(&plain).pricing.total, "{change}: an option is in no total");
        assert_eq!(base.pricing.why("option.1").unwrap().amount, option.difference);
    }
}

/// What is taken over from the job beside it is what would be laid anew: boards, and with them everything else.
#[test]
fn an_option_laid_beside_its_job_is_laid_as_if_alone() {
    let change = |c: &str| format!("{{name: Another, change: {{roofs: {{all: {c}}}}}}}");
    let changes = [
        "{laminate: {mat: 600}}",
        "{topcoat: {colour: green}}",
        "{joists: {spacing: 600 mm}}",
        "{deck: {board: osb3-18-square}}",
    ];
    for c in changes {
        let demo = from_text(&kitchen_with(&format!("options: [{}]", change(c))));
        let Loaded { job, rules, products, options, .. } = &demo.loaded;
        let beside = take_off_beside(Some((job, &demo.take_off)), &options[0].job, rules, products).unwrap();
        assert_eq!(beside, take_off(&options[0].job, rules, products).unwrap(), "{c}");
    }
}

#[test]
fn an_option_that_cannot_be_bought_is_told_by_its_name_and_place() {
    let demo = from_text(&kitchen_with("options: [{name: Heavy, change: {roofs: {all: {laminate: {mat: 600}}}}}]"));
    let loaded = &demo.loaded;
    let mut books = loaded.books.clone();
    books[0].articles.retain(|a| a.role != "mat.600");
    let office = Office {
        rules: &loaded.rules,
        products: &loaded.products,
        books: &books,
        terms: loaded.terms.as_ref().unwrap(),
        holidays: &[],
    };
    let said = price_options(&demo.pricing, (&loaded.job, &demo.take_off), loaded.choices(), office, &[]).unwrap_err();
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(said[0].fault.starts_with("option `Heavy`: ") && said[0].fault.contains("`mat.600"), "{said:?}");
    assert_eq!(said[0].source, Source::Prices(0));
}

#[test]
fn what_an_option_says_of_the_job_is_placed_where_the_option_says_it() {
    let loaded =
        from_text(&kitchen_with("options: [{name: Heavy, change: {roofs: {Main roof: {laminate: {mat: 600}}}}}]"))
            .loaded;
    let place = |path: &str| loaded.options[0].tell(Problem::fault(setting(path), "no", "yes")).place.to_string();
    assert_eq!(place("roofs[0].laminate.mat"), "options[0].change.roofs.Main roof.laminate.mat");
    assert_eq!(place("roofs[0].edges.front"), "options[0].change.roofs.Main roof.edges.front");
    assert_eq!(place("roofs[1].edges"), "options[0].change.roofs[1].edges");
    assert_eq!(place("boundary"), "options[0].change");
}

// ---- Nothing private leaves the office -------------------------------------------------------------------------------

use wetout::documents::{DocumentKind, Overrides, describe, private, wording};

fn pounds(sum: Money) -> String {
    wording::money(sum)
}

fn quote_of(demo: &crate::demo::Demo) -> String {
    described(demo, DocumentKind::Quote)
}

fn described(demo: &crate::demo::Demo, kind: DocumentKind) -> String {
    describe(kind, &demo.worked(), &Overrides::default()).unwrap()
}

fn sheet_of_demo(demo: &crate::demo::Demo) -> PrivateSheet {
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
    sheet(&demo.pricing, basis)
}

/// The demo balcony with a smooth topcoat. Its order comes to 884.60, and from 900.00 on its merchant delivers free. Of 30 kg of resin
/// that are bought 27.60 kg are needed: a tenth more is 30.36 kg, a tin of 27.50 more, which saves the delivery of 45.00.
fn nearly_delivered_free() -> crate::demo::Demo {
    let mut request = crate::demo::request("balcony");
    let text = String::from_utf8(request.bytes).unwrap();
    assert!(text.contains("finish: slip-resistant"));
    request.bytes = text.replace("finish: slip-resistant", "finish: smooth").into_bytes();
    crate::demo::work(&request)
}

/// What `price --why cost.labour` says of hours that the days hold besides, and why more resin can cost less, stand on the sheet.
#[test]
fn the_sheet_tells_hours_left_over_and_gives_no_gain_without_its_reason() {
    let (mut left_over, mut gains) = (0, 0);
    let smooth = ("balcony, smooth".to_owned(), nearly_delivered_free());
    for (name, demo) in crate::works::every_job().into_iter().chain([smooth]) {
        let text = private::describe(&demo.worked(), &sheet_of_demo(&demo)).unwrap();
        // What is left of a pack and would read as nothing is no stock to keep.
        let nothing = ["  0.0 m", "  0.0 m²", "  0.0 kg", "  0 ml", "  0"];
        assert!(text.lines().all(|line| nothing.iter().all(|none| !line.ends_with(none))), "{name}: {text}");
        let left = demo.programme.unpaid_hours();
        assert_eq!(text.contains("Besides, in the same days"), left > Decimal::ZERO, "{name}: {left}");
        left_over += usize::from(left > Decimal::ZERO);
        for shift in sheet_of_demo(&demo).shifts {
            assert_eq!(
                shift.label.ends_with("; delivery costs less then"),
                shift.cost < Money::ZERO,
                "{name}: {shift:?}"
            );
            gains += usize::from(shift.cost < Money::ZERO);
        }
    }
    assert!(left_over > 0 && gains > 0, "{left_over}, {gains}");
}

/// A few pounds of goods more than cost less than the delivery that they save are told of, and no others.
#[test]
fn the_sheet_tells_of_an_order_that_is_nearly_delivered_free() {
    let (mut told, mut silent) = (0, 0);
    let smooth = nearly_delivered_free();
    assert_eq!(smooth.pricing.orders[0].total, gbp("884.60"));
    let demos = crate::demo::names().into_iter().map(|name| (crate::demo::work(&crate::demo::request(&name)), name));
    for (demo, name) in demos.chain([(smooth, "balcony, smooth".to_owned())]) {
        let text = private::describe(&demo.worked(), &sheet_of_demo(&demo)).unwrap();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for order in &demo.pricing.orders {
            let from = order.merchant.free_delivery_from.unwrap();
            let (left, saves) = (from - order.total, from <= order.total + order.merchant.delivery);
            let words = format!("With {} more of goods from there: delivered free", pounds(left));
            assert_eq!(text.contains(&words), left > Money::ZERO && saves, "{name}: {words}");
            told += usize::from(text.contains(&words));
            silent += usize::from(!text.contains("more of goods from there"));
        }
    }
    assert!(told > 0 && silent > 0, "{told}, {silent}");
}

/// The bar has what is bought and what its delivery costs in one part.
#[test]
fn the_bar_of_the_sheet_has_materials_and_delivery_together() {
    for name in crate::demo::names() {
        let demo = crate::demo::work(&crate::demo::request(&name));
        let text = private::describe(&demo.worked(), &sheet_of_demo(&demo)).unwrap();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let bought = |id: &&str| matches!(*id, "cost.materials" | "cost.delivery");
        let sum: Money = demo.pricing.costs.iter().filter(|c| bought(&c.id.as_str())).map(|c| c.amount).sum();
        let told = format!("Materials, delivery {}", pounds(sum));
        assert!(text.contains(&told), "{name}: {told}");
    }
}

/// Every figure that belongs to the firm alone, with its name. What the merchant is paid is no secret from the merchant.
fn private_figures(demo: &crate::demo::Demo, reader: DocumentKind) -> Vec<(String, String)> {
    let (p, sheet) = (&demo.pricing, sheet_of_demo(demo));
    let terms = demo.loaded.terms.as_ref().unwrap();
    let of_goods = |id: &str| reader == DocumentKind::Order && matches!(id, "cost.materials" | "cost.delivery");
    let costs = p.costs.iter().filter(|c| !of_goods(&c.id)).map(|c| (c.id.clone(), c.amount));
    let mut sums: Vec<(String, Money)> = costs.collect();
    sums.extend([("cost".to_owned(), p.cost), ("profit".to_owned(), p.profit), ("day".to_owned(), sheet.day)]);
    sums.extend([("a day".to_owned(), sheet.profit_a_day), ("an hour".to_owned(), sheet.profit_an_hour)]);
    sums.extend(sheet.shifts.iter().filter(|s| s.id != "shift.load").map(|s| (s.id.to_owned(), s.cost)));
    sums.extend(terms.crew.iter().map(|c| (c.name.clone(), c.hour)));
    sums.extend([
        ("skip".to_owned(), terms.loads[0].cost),
        ("minimum".to_owned(), terms.minimum_charge.unwrap_or_default()),
    ]);
    if reader == DocumentKind::Order {
        sums.extend([("net".to_owned(), p.net), ("total".to_owned(), p.total)]);
        sums.extend(p.lines.iter().map(|l| (l.label.clone(), l.net)));
        sums.extend(p.options.iter().map(|o| (o.label.clone(), o.total)));
    } else {
        sums.extend(p.orders.iter().flat_map(|o| &o.lines).map(|l| (l.code.clone(), l.total)));
    }
    let plain = sums.into_iter().filter(|(_, m)| *m > Money::ZERO);
    let mut figures: Vec<(String, String)> =
        plain.flat_map(|(what, m)| [(what.clone(), pounds(m)), (what, m.to_string())]).collect();
    for (what, percent) in [("margin", p.margin), ("markup", p.markup)] {
        figures.push((what.into(), format!("{:.2} %", percent.round_dp(2))));
        figures.push((what.into(), format!("{}%", percent.round_dp(2).normalize())));
    }
    figures.extend([("rule".to_owned(), p.rule.clone()), ("page".to_owned(), private::PRIVATE.to_owned())]);
    figures
}

/// Whether a figure stands in a text by itself, and not as part of a longer number.
fn stands_in(text: &str, figure: &str) -> bool {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit() || c == ',');
    text.match_indices(figure).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let money = before == Some('£') && !figure.starts_with('£');
        !money && !digit(before) && !digit(text[at + figure.len()..].chars().next())
    })
}

fn leaks(demo: &crate::demo::Demo, kind: DocumentKind, text: &str) -> Vec<String> {
    let mut printed: Vec<Money> = Vec::new();
    if kind == DocumentKind::Quote {
        let p = &demo.pricing;
        printed.extend(p.lines.iter().map(|l| l.net).chain(p.vat.iter().flat_map(|v| [v.net, v.vat])));
        printed
            .extend(p.stages.iter().map(|s| s.amount).chain(p.offers.iter().map(|o| o.total)).chain([p.net, p.total]));
        printed.extend(p.rot_rates.iter().map(|r| r.total));
    } else {
        let lines = demo.pricing.orders.iter().flat_map(|o| o.lines.iter().flat_map(|l| [l.each, l.total]));
        printed.extend(lines.chain(demo.pricing.orders.iter().map(|o| o.delivery)));
    }
    let same: Vec<String> = printed.into_iter().flat_map(|m| [pounds(m), m.to_string()]).collect();
    let found = private_figures(demo, kind).into_iter().filter(|(_, f)| !same.contains(f) && stands_in(text, f));
    found.map(|(what, figure)| format!("{what} {figure}")).collect()
}

#[test]
fn no_private_figure_of_any_demo_job_stands_in_its_quote_or_its_order() {
    for name in crate::demo::names() {
        let demo = crate::demo::work(&crate::demo::request(&name));
        for kind in [DocumentKind::Quote, DocumentKind::Order] {
            assert_eq!(leaks(&demo, kind, &described(&demo, kind)), Vec::<String>::new(), "{name}, {kind:?}");
            assert!(private_figures(&demo, kind).len() > 30, "{name}");
        }
    }
}

#[test]
fn the_search_for_private_figures_finds_one_that_slips_into_the_words_of_a_quote() {
    let demo = crate::demo::work(&crate::demo::request(KITCHEN));
    let p = &demo.pricing;
    for slip in [pounds(p.profit), p.cost.to_string(), format!("{:.2} %", p.margin.round_dp(2)), p.rule.clone()] {
        let (from, to) = ("notes: [The rooflight", format!("notes: [\"This leaves us {slip} today\", The rooflight"));
        let told = from_text(&kitchen_text().replace(from, &to));
        let text = quote_of(&told);
        assert!(!leaks(&demo, DocumentKind::Quote, &text).is_empty(), "{slip} was not found");
    }
}

#[test]
fn every_page_of_the_private_sheet_says_that_it_is_private_and_its_figures_are_there() {
    for name in crate::demo::names() {
        let demo = crate::demo::work(&crate::demo::request(&name));
        let sheet = sheet_of_demo(&demo);
        let text = private::describe(&demo.worked(), &sheet).unwrap();
        let finished = private::make(&demo.worked(), &sheet, &Overrides::default()).unwrap();
        let pdf = lopdf::Document::load_mem(&finished.bytes).unwrap();
        for page in pdf.get_pages().keys() {
            assert!(pdf.extract_text(&[*page]).unwrap().contains("PRIVATE"), "{name}, page {page}");
        }
        for figure in
            [pounds(demo.pricing.profit), pounds(demo.pricing.cost), pounds(sheet.day), "shift.day_lost".into()]
        {
            assert!(text.contains(&figure), "{name}: {figure}");
        }
    }
}

#[test]
fn the_hours_of_works_and_of_roofs_add_up_to_those_of_the_operations() {
    for name in crate::demo::names() {
        let demo = crate::demo::work(&crate::demo::request(&name));
        for labour in &demo.programme.work {
            let parts: Vec<_> = labour.settled_parts().collect();
            assert_eq!(
                parts.iter().map(|(_, hours)| *hours).sum::<Decimal>(),
                labour.hours,
                "{name}: {}",
                labour.label
            );
            for (part, hours) in parts {
                assert!((part.hours - hours).abs() <= d("0.01") && hours.scale() <= 2, "{name}: {part:?} as {hours}");
            }
        }
        let all: Decimal = demo.pricing.works.iter().map(|work| work.hours).sum();
        assert_eq!(all, demo.programme.hours(), "{name}");
    }
}

/// The private sheet and the quote tell one price of each roof and of each part of the work, to the penny.
#[test]
fn the_works_of_one_line_of_the_quote_come_to_it() {
    use wetout::works::WorkKind;
    let of = |name: &str| crate::demo::work(&crate::demo::request(name)).pricing;
    let neighbours = of("neighbours");
    let mut roofs = 0;
    for line in &neighbours.lines {
        let Some(roof) = line.label.strip_suffix(", all work on it") else { continue };
        let works = neighbours.works.iter().filter(|work| work.roof.as_deref() == Some(roof));
        assert_eq!(works.map(|work| work.price).sum::<Money>(), line.net, "{roof}");
        roofs += 1;
    }
    assert_eq!(roofs, 2);
    let kitchen = of("kitchen-extension");
    let strip = kitchen.lines.iter().find(|line| line.label.starts_with("Strip the old covering")).unwrap();
    assert_eq!(strip.label, "Strip the old covering and take it away by skip, the old boards with it");
    // The old boards are lifted and taken away with it.
    let of_strip =
        |w: WorkKind| matches!(w, WorkKind::Strip | WorkKind::StripBoards | WorkKind::FlashingOff | WorkKind::CartAway);
    let works = kitchen.works.iter().filter(|w| of_strip(w.work));
    assert_eq!(works.map(|work| work.price).sum::<Money>(), strip.net);
    for pricing in [neighbours, kitchen] {
        assert_eq!(pricing.works.iter().map(|work| work.price).sum::<Money>(), pricing.net);
    }
}

/// By hand, of the kitchen (front 5.2 m, sides 3.4 m, the back at a wall; five days of one week): 180.00 + 12 m × 25.00 = 480.00. A
/// start on Thursday reaches into a second week: 12 m × 3.50 more.
#[test]
fn a_scaffold_is_paid_by_the_metre_of_open_edge_and_by_the_week() {
    let cost = |text: &dyn Fn(String) -> String| {
        let mut request = crate::demo::request("kitchen-extension");
        request.bytes = text(String::from_utf8(request.bytes).unwrap()).into_bytes();
        crate::demo::work(&request).pricing.why("cost.access.scaffold").unwrap().clone()
    };
    let scaffold = cost(&|text| text);
    assert_eq!(scaffold.amount, gbp("480.00"));
    assert_eq!(
        scaffold.working,
        ["the firm's sum: 180.00", "12 m of edge that one can fall over × 25.00 a metre"],
        "{scaffold:?}"
    );
    let longer = cost(&|text| text.replace("start: 2027-01-18", "start: 2027-01-21"));
    assert_eq!(longer.amount, gbp("522.00"));
    assert_eq!(longer.working[2], "1 further week × 12 m × 3.50 a metre");
    // A job that knows its own sum says it.
    let own = cost(&|text| text.replace("scaffold: yes", "scaffold: 410.00"));
    assert_eq!((own.amount, own.working.len()), (gbp("410.00"), 1));
    // A parapet is walked along, and a box gutter too.
    let parapet = crate::demo::work(&crate::demo::request("parapet"));
    let sides = parapet.take_off.roofs.iter().flat_map(|roof| &roof.shape.sides);
    let open = sides.filter(|side| side.coped.is_some() || !matches!(side.finish.word(), "wall" | "step"));
    assert_eq!(parapet.programme.open_edges, open.map(|side| side.run).sum());
}

/// A scaffold, a skip or a permit bears overhead and margin, and no part of the crew's way, setting up or delivery.
#[test]
fn a_sum_that_somebody_else_bills_bears_no_share_of_travel_and_setting_up() {
    let mut seen = 0;
    for name in crate::demo::names() {
        let pricing = crate::demo::work(&crate::demo::request(&name)).pricing;
        let costs =
            |is: &dyn Fn(&str) -> bool| -> Money { pricing.costs.iter().filter(|c| is(&c.id)).map(|c| c.amount).sum() };
        let on_top = costs(&|id| id == "cost.contingency" || id == "cost.overhead");
        let (direct, made) = (pricing.cost - on_top, pricing.cost + pricing.profit);
        let price_of = |work: WorkKind| -> Money {
            pricing.works.iter().filter(|w| w.work == work && w.extra.is_none()).map(|w| w.price).sum()
        };
        let billed = [
            (WorkKind::Scaffold, costs(&|id| id == "cost.access.scaffold")),
            (WorkKind::Permits, costs(&|id| id == "cost.access.permits")),
            (WorkKind::Parking, costs(&|id| id == "cost.access.parking")),
            (WorkKind::CartAway, costs(&|id| id.starts_with("cost.strip"))),
        ];
        for (work, sum) in billed {
            let exact = made.as_pounds() * sum.as_pounds() / direct.as_pounds();
            let price = price_of(work).as_pounds();
            assert!((price - exact).abs() <= d("0.02"), "{name}: {work:?} of {sum} is sold at {price}, not {exact}");
            seen += usize::from(sum > Money::ZERO);
        }
    }
    assert!(seen > 8);
}

#[test]
fn what_is_left_over_and_the_figures_of_a_day_are_told_in_words_and_pounds() {
    let demo = crate::demo::work(&crate::demo::request("kitchen-extension"));
    let text = private::describe(&demo.worked(), &sheet_of_demo(&demo)).unwrap();
    for words in ["Laminating resin", "Treated batten 25 × 50 mm", &pounds(sheet_of_demo(&demo).profit_a_day)] {
        assert!(text.contains(words), "{words}");
    }
    // By its role the stock list calls what is left over: in a column of its own, beside the goods' name.
    assert!(text.contains("batten.edge") && !text.contains("(batten.edge)") && !text.contains("m2"), "{text}");
    assert!(text.contains("In the stock list"), "{text}");
    // No leaf is turned for a few lines.
    assert!(text.contains("page 3 of 3"), "{text}");
    // Of one column all figures have as many places.
    for labour in &demo.programme.work {
        assert!(text.contains(&format!("  {:.2}\n", labour.hours)), "{}: {}", labour.label, labour.hours);
    }
    let left = &sheet_of_demo(&demo).left_over;
    let [battens, nails] = ["batten.edge", "nails.clout"].map(|role| left.iter().find(|l| l.role == role));
    for words in [format!("{:.1} m", battens.unwrap().quantity), format!("{:.0}", nails.unwrap().quantity)] {
        assert!(text.contains(&format!("  {words}\n")), "{words}: {text}");
    }
}

#[test]
fn what_keeps_water_out_and_leads_it_away_is_picked_by_itself() {
    let demo = crate::demo::work(&crate::demo::request("parapet"));
    let lines = || demo.pricing.orders.iter().flat_map(|order| &order.lines);
    let group = |code: &str| lines().find(|line| line.code.starts_with(code)).map(|line| line.group);
    for code in ["lead-240", "outlet-roof", "chute-overflow", "seal-tape"] {
        assert_eq!(group(code), Some("Flashings and drainage"), "{code}");
    }
    assert_eq!(group("mortar"), Some("Mortar and damp-proof course"));
    assert_eq!(group("acetone"), Some("Tools and sundries"));
}

// ---- Every key of the money, from the files --------------------------------------------------------------------------

#[test]
fn every_key_of_the_money_is_read_from_the_files() {
    let folder = crate::command::scratch("money-keys");
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    let firm = std::fs::read_to_string(demo.join("firm.yaml")).unwrap();
    let change = |text: &str, pairs: &[(&str, &str)]| {
        pairs.iter().fold(text.to_owned(), |t, (from, to)| {
            assert!(t.contains(from), "{from}");
            t.replacen(from, to, 1)
        })
    };
    let firm = change(
        &firm,
        &[
            ("hour: 19.00}", "hour: 19.00, day: 160.00}"),
            ("rounding: total nearest}", "rounding: line tenth down, rates: [{from: 2027-04-01, rate: 22 %}]}"),
            (
                "  minimum_charge:",
                "  round_total_to: 5.00\n  skip_mass: 6000 kg\n  strip_mass: 14 kg\n  access_day: {parking: 6.00}\n  minimum_charge:",
            ),
            ("when: On completion, part: rest}", "when: On completion, part: rest, after: topcoat}"),
        ],
    );
    std::fs::write(folder.join("firm.yaml"), firm).unwrap();
    let prices = std::fs::read_to_string(demo.join("prices.yaml")).unwrap();
    let resin = "pack: 20 kg drum, holds: 20 kg, price: 89.00";
    let fewest = format!("{resin}, least: 2, breaks: [{{from: 4, price: 85.00}}]");
    let prices = change(&prices, &[(resin, &fewest), ("  lead_days:", "  preferred: 25.00\n  lead_days:")]);
    std::fs::write(folder.join("prices.yaml"), prices).unwrap();
    std::fs::copy(demo.join("logo.png"), folder.join("logo.png")).unwrap();
    let job = kitchen_text().replace("quote:\n", "quote:\n  vat: {rate: 5 %, reason: empty two years}\n");
    let job = job.replace("extras:\n", "extras:\n  - {item: Hoist on hire, cost_a_day: 38.00}\n");
    let request = wetout::job_file::Request { bytes: job.into_bytes(), folder, ..crate::demo::request(KITCHEN) };
    let loaded = wetout::job_file::load(&request).unwrap_or_else(|f| panic!("{:#?}", f.problems));
    let terms = loaded.terms.unwrap();
    assert_eq!((terms.crew[0].day, terms.crew[1].day), (None, Some(gbp("160.00"))));
    assert_eq!(terms.vat.rounding, VatRounding::LineTenthDown);
    assert_eq!(terms.vat_rates, [RateFrom { from: date!(2027 - 04 - 01), rate: d("22") }]);
    assert_eq!(terms.round_total_to, Some(gbp("5.00")));
    assert_eq!((terms.loads[0].bears, terms.strip_mass), (Some(Mass::kg(d("6000"))), Some(Mass::kg(d("14")))));
    assert_eq!(terms.access_day, [(Access::Parking, gbp("6.00"))]);
    assert_eq!(terms.stages.last().unwrap().after, Some(Operation::Topcoat));
    assert!(terms.overhead > Decimal::ZERO && terms.contingency > Decimal::ZERO && !terms.rot_rates.is_empty());
    let drum = loaded.books[0].articles.iter().find(|a| a.holds == d("20") && a.role == "resin").unwrap();
    assert_eq!((drum.least, drum.breaks.as_slice()), (Some(2), &[PriceBreak { from: 4, price: gbp("85.00") }][..]));
    assert!(loaded.books[0].merchant.lead_days.is_some() && loaded.books[0].merchant.free_delivery_from.is_some());
    assert_eq!(loaded.job_money.vat, Some(ClaimedRate { rate: d("5"), reason: "empty two years".into() }));
    let kinds: Vec<ExtraKind> = loaded.job_money.extras.iter().map(|e| e.kind).collect();
    assert_eq!(loaded.job_money.extras[0].sum, ExtraSum::CostADay(gbp("38.00")));
    assert_eq!(loaded.books[0].merchant.preferred, Some(gbp("25.00")));
    assert_eq!(kinds, [ExtraKind::Fixed, ExtraKind::Fixed, ExtraKind::Optional, ExtraKind::Provisional]);
}
