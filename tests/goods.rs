//! Goods for one job alone (`order_lines`), from the job file to the pages: bought and in the price, or the customer's own.
//!
//! Given job files beside the demo price book; fails where something is sold and not ordered, ordered and not sold, or told
//! to nobody.

use crate::demo::{Demo, work};
use crate::drawings::text_of;
use crate::support::{asked, built_in_words, lean_to};
use crate::whole_pages::texts;
use wetout::documents::views::QuoteView;
use wetout::documents::{DocumentKind, method, quote};
use wetout::job_file::load;
use wetout::model::{LineId, Mass, Role};
use wetout::pricing::{Money, Order};
use wetout::programme::Operation;
use wetout::works::{Doer, WorkKind};

const BOUGHT: &str = "order_lines:\n  - {item: white fascia board, article: own.fascia-225, count: 3}\n";
const BROUGHT: &str = "order_lines:\n  - {item: roof lantern, supply: customer}\n";

/// The lean-to with such lines, worked through every layer.
fn job(lines: &str) -> Demo {
    work(&asked(&lean_to("", "", lines)))
}

/// Quote and method statement in words.
fn pages(demo: &Demo) -> [String; 2] {
    let (worked, words) = (demo.worked(), built_in_words());
    let quote = quote::document(&QuoteView::of(&worked), &words).unwrap();
    let method = method::document(&worked, &words).unwrap();
    [quote, method].map(|d| text_of(&d).split_whitespace().collect::<Vec<_>>().join(" "))
}

fn goods(orders: &[Order]) -> Money {
    orders.iter().map(|o| o.total).sum()
}

/// By hand, from the demo price book: 3 boards at 41.50 are 124.50, 9.8 kg each 29.4 kg; their pins a box at 9.20. The demo firm's margin, overhead and
/// contingency lie on them as on all materials: the difference of the two prices is that of the cost and no less.
#[test]
fn what_is_bought_for_one_job_is_ordered_priced_weighed_and_told() {
    let (plain, with) = (job(""), job(BOUGHT));
    let lines: Vec<_> =
        with.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| l.role == "own.fascia-225").collect();
    let [line] = lines[..] else { panic!("{lines:?}") };
    assert_eq!((line.quantity, line.group, line.total.to_string()), (3, "For this job alone", "124.50".into()));
    assert_eq!(line.mass, Some(Mass::kg("29.4".parse().unwrap())));
    assert_eq!(
        goods(&with.pricing.orders).as_pounds() - goods(&plain.pricing.orders).as_pounds(),
        line.total.as_pounds() + "9.20".parse::<rust_decimal::Decimal>().unwrap()
    );
    assert!(with.pricing.cost > plain.pricing.cost && with.pricing.total > plain.pricing.total);
    let priced: Vec<&str> = with.pricing.lines.iter().map(|l| l.label.as_str()).collect();
    assert!(priced.contains(&"3 × white fascia board"), "{priced:?}");
    let [quote, method] = pages(&with);
    assert!(quote.contains("Also in the price: 3 × white fascia board"), "{quote}");
    assert!(method.contains("From the merchant: 3 × white fascia board, with 84 pins of 65 mm."), "{method}");
    for text in [&quote, &method] {
        assert!(!text.contains("own.fascia") && !text.contains("What you supply"), "{text}");
    }
    let line = with.take_off.lines.iter().find(|l| l.id == LineId::GoodsCount).unwrap();
    assert!(format!("{:?}", line.working).contains("as the job file says (order_lines[0])"), "{:?}", line.working);
    let [quote, method] = pages(&plain);
    assert!(!quote.contains("fascia board") && !method.contains("Goods for this job"));
}

/// By hand: 5 m ÷ 400 mm are 13 spaces, pinned at 14 places, twice 14 pins in each of 3 boards; 2.5 m ÷ 400 mm are 7 spaces, twice 8 pins
/// in a soffit board. What is no such board takes none, nor does one whose length no price book says: that is told.
#[test]
fn fascia_and_soffit_boards_come_with_pins_along_their_length() {
    let both = "order_lines:\n  - {item: white fascia board, article: own.fascia-225, count: 3, during: prepare}\n  \
                - {item: white soffit board, article: own.soffit-150}\n";
    let pins = |demo: &Demo| -> Vec<(String, u64, String)> {
        let of = demo.take_off.lines.iter().filter(|l| l.id == LineId::GoodsPins);
        let asked: Vec<String> = of.map(|l| l.quantity.normalize().to_string()).collect();
        let bought = demo.pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| l.role == "fixings.fascia");
        bought.map(|l| (asked.join(" + "), l.quantity, l.total.to_string())).collect()
    };
    // 100 pins to a box, 9.20 each.
    assert_eq!(pins(&job(both)), [("84 + 16".to_owned(), 1, "9.20".to_owned())]);
    let more = job(&format!("{both}rules: {{fascia_fixing: 250 mm, fascia_pins: 3}}\n"));
    assert_eq!(pins(&more), [("189 + 33".to_owned(), 3, "27.60".to_owned())]);
    let [_, method] = pages(&job(both));
    for told in [
        "3 × white fascia board, with 84 pins of 65 mm; white soffit board, with 16 pins of 65 mm.",
        "fit 3 × white fascia board, pinned at both ends and every 400 mm, 2 pins to a place, as the maker says",
    ] {
        assert!(method.to_lowercase().contains(&told.to_lowercase()), "{told}: {method}");
    }
    let book = std::fs::read_to_string(format!("{}/jobs/prices.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let with = |change: (&str, &str)| {
        let folder = std::env::temp_dir().join(format!("wetout-pins-{}-{}", std::process::id(), change.1.len()));
        std::fs::create_dir_all(&folder).unwrap();
        assert!(book.contains(change.0), "{}", change.0);
        std::fs::write(folder.join("prices.yaml"), book.replace(change.0, change.1)).unwrap();
        let mut request = asked(&lean_to("", "", BOUGHT));
        request.prices = vec![folder.join("prices.yaml")];
        let loaded = load(&request).unwrap();
        let laid = wetout::estimate::lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded))
            .unwrap();
        std::fs::remove_dir_all(&folder).unwrap();
        let told = laid.checked.notices.into_iter().map(|n| n.fault).find(|fault| fault.contains("no pins"));
        (laid.take_off.needs.iter().any(|n| n.role == "fixings.fascia"), told)
    };
    let (pinned, told) = with((", mass: 9.8 kg, longest: 5 m}", ", mass: 9.8 kg}"));
    assert!(!pinned);
    assert_eq!(
        told.as_deref(),
        Some("how long white fascia board is no price book says, so that no pins are ordered for it")
    );
    assert_eq!(with(("price: 41.50", "price: 41.60")), (true, None));
}

#[test]
fn what_the_customer_supplies_is_on_no_order_in_no_price_and_told_to_both() {
    let (plain, with) = (job(""), job(BROUGHT));
    assert_eq!(with.pricing.orders, plain.pricing.orders);
    assert_eq!(with.pricing.total, plain.pricing.total);
    assert!(!with.take_off.works.has(WorkKind::OwnGoods));
    assert!(with.take_off.works.iter().any(|w| w.kind == WorkKind::OwnGoods && w.by == Doer::Others));
    let [quote, method] = pages(&with);
    assert!(quote.contains("What you supply: roof lantern. It is not in our price."), "{quote}");
    assert!(!quote.contains("Also in the price: roof lantern"));
    assert!(method.contains("From the customer: roof lantern."), "{method}");
    assert!(method.contains("Goods there, whole and right: signed"), "{method}");
    let order = with.make(DocumentKind::Order);
    assert!(!order.is_empty());
    // We fit it: the work is ours, and still nothing comes from the merchant.
    let [_, method] = pages(&job(&BROUGHT.replace("supply: customer", "supply: customer, hours: 2 h, during: finish")));
    assert!(method.contains("Goods for this job. From the customer: roof lantern."), "{method}");
}

/// 1.5 h before the deck and 2 h when the topcoat is hard: booked, paid and on days of the work, whoever supplies it.
#[test]
fn fitting_goods_takes_the_hours_that_their_line_says() {
    let lines = |first: &str, second: &str| {
        format!(
            "order_lines:\n  - {{item: \"white soffit board, 5 m\", article: own.soffit-150, during: prepare{first}}}\n  \
             - {{item: roof lantern, supply: customer, during: finish{second}}}\n"
        )
    };
    let (none, with) = (job(&lines("", "")), job(&lines(", hours: 1.5 h", ", hours: 2 h")));
    assert_eq!(with.programme.hours() - none.programme.hours(), "3.5".parse().unwrap());
    assert!(with.pricing.cost > none.pricing.cost && with.pricing.total > none.pricing.total);
    let spent: rust_decimal::Decimal =
        with.pricing.works.iter().filter(|w| w.work == WorkKind::OwnGoods).map(|w| w.hours).sum();
    assert_eq!(spent, "3.5".parse().unwrap());
    let work = &with.programme.work;
    let index = |label: &str| work.iter().position(|w| w.label == label).unwrap_or_else(|| panic!("{work:?}"));
    let (board, lantern) = (index("Fit white soffit board"), index("Fit roof lantern"));
    let coat = work.iter().rposition(|w| w.operation == Operation::Topcoat).unwrap();
    let days = &with.programme.days;
    let day = |i: usize| days.iter().find(|d| d.work.iter().any(|(w, _)| *w == i)).unwrap().number;
    assert!(day(board) == 1 && day(lantern) >= day(coat), "{days:?}");
    // Nobody stands on a wet topcoat: the lantern waits as a flashing would.
    assert!(work[lantern].is_on_topcoat() && !work[board].is_on_topcoat());
    let [quote, _] = pages(&with);
    assert!(
        quote.contains("What you supply: roof lantern. Our price is without it, and includes fitting it."),
        "{quote}"
    );
    assert!(quote.contains("White soffit board, 5 m; fitting of roof lantern"), "{quote}");
    let [quote, _] = pages(&none);
    assert!(quote.contains("It is not in our price. Please"), "{quote}");
    let working = format!("{:?}", work[board].working);
    assert!(working.contains("fitting white soffit board, 5 m, as the job file says (order_lines[0])"), "{working}");
}

/// Goods of one of several roofs are fitted on the day that opens it, and are in its line of the price; a name that no roof has is a
/// fault with those that there are.
#[test]
fn goods_for_one_roof_are_fitted_and_priced_with_it() {
    let demo = work(&crate::demo::request("neighbours"));
    let p = &demo.programme;
    let opens = p.days.iter().find(|day| day.strips.iter().any(|s| s.roof == "No. 14")).unwrap().number;
    let fits = |operation: Operation| {
        let with = |i: &usize| p.work[*i].operation == operation && p.work[*i].parts[0].work == WorkKind::OwnGoods;
        p.days.iter().filter(|day| day.work.iter().any(|(i, _)| with(i))).map(|day| day.number).collect::<Vec<_>>()
    };
    assert_eq!(fits(Operation::Prepare), [opens]);
    assert!(opens > 1 && fits(Operation::Finish) == [p.days.len() as u32], "{:?}", p.days);
    let price_of = |demo: &Demo, label: &str| {
        demo.pricing.lines.iter().find(|l| l.label.contains(label)).map(|l| l.net.as_pounds())
    };
    let text = std::fs::read_to_string(format!("{}/jobs/neighbours/job.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let unnamed = work(&asked(&text.replace(", roof: No. 14}", "}")));
    assert!(price_of(&unnamed, "soffit").is_some() && price_of(&demo, "soffit").is_none());
    let of_roof = |demo: &Demo| price_of(demo, "No. 14, all work").unwrap();
    assert_eq!(of_roof(&demo) - of_roof(&unnamed), price_of(&unnamed, "soffit").unwrap());
    let wrong = load(&asked(&text.replacen("roof: No. 14}", "roof: No. 41}", 1))).unwrap_err();
    let told = wrong.problems.iter().find(|p| p.fault.contains("No. 41")).unwrap();
    assert!(told.cure.contains("No. 14"), "{told:?}");
}

#[test]
fn a_line_that_cannot_be_bought_is_a_problem_with_a_cure() {
    for (line, path, fault, cure) in [
        ("{item: board}", "order_lines[0].article", "which article is bought is not said", "supply: customer"),
        (
            "{item: board, article: resin}",
            "order_lines[0].article",
            "`resin` is counted by its own rules",
            "role of its own",
        ),
        (
            "{item: board, article: fascia}",
            "order_lines[0].article",
            "`fascia` is no article for one job",
            "own.fascia-225",
        ),
        (
            "{item: board, article: own.fascia-225, supply: customer}",
            "order_lines[0].article",
            "is bought from no merchant",
            "take `supply` out",
        ),
        ("{item: board, supply: customer, hours: 2 h}", "order_lines[0].hours", "fitted by others", "during: finish"),
        (
            "{item: white gate, article: own.fascia-225, hours: 2 h}",
            "order_lines[0].hours",
            "fitting white gate would be paid for twice",
            "or the extra",
        ),
        ("{item: board, article: own.fascia-225, hours: 0 h}", "order_lines[0].hours", "0.01", ""),
        ("{item: board, article: own.fascia-225, hours: 900 h}", "order_lines[0].hours", "200", ""),
        ("{item: board, article: own.fascia-225, count: 0}", "order_lines[0].count", "1", ""),
        ("{item: board, article: own.fascia-225, count: 2000}", "order_lines[0].count", "1000", ""),
    ] {
        let text =
            lean_to("", "", &format!("order_lines: [{line}]\nextras: [{{item: Fixing of the gate, cost: 9.00}}]\n"));
        let failure = load(&asked(&text)).err().unwrap_or_else(|| panic!("{line} is taken"));
        let found: Vec<_> = failure.problems.iter().filter(|p| p.place.to_string() == path).collect();
        assert!(
            found.iter().any(|p| p.fault.contains(fault) && p.cure.contains(cure)),
            "{line}: {:#?}",
            failure.problems
        );
    }
}

/// What no price book sells is told by its role, as of any need.
#[test]
fn an_article_that_no_book_sells_is_told() {
    let demo = load(&asked(&lean_to("", "", "order_lines: [{item: board, article: own.nowhere}]\n"))).unwrap();
    let laid = wetout::estimate::lay_out(&demo.job, &demo.rules, &demo.products, None).unwrap();
    let need = laid.take_off.needs.iter().find(|n| n.role == "own.nowhere").unwrap();
    assert_eq!(need.quantity, rust_decimal::Decimal::ONE);
}

/// The words of the operation that begins with a heading, up to the next one's.
fn operation<'a>(method: &'a str, heading: &str, next: &str) -> &'a str {
    let from = method.find(heading).unwrap_or_else(|| panic!("no {heading} in {method}"));
    let to = method[from..].find(next).unwrap_or_else(|| panic!("no {next} after {heading}"));
    &method[from..from + to]
}

/// A fascia board goes on before the battens that stand on it, a vent with the boards, and what nobody says anything of is left to
/// the end. What the customer has bought is fitted by whoever he likes, unless the job says that the crew fits it.
#[test]
fn what_is_done_beside_the_roof_stands_in_the_operation_that_the_job_names() {
    let told = |during: &str, supply: &str| {
        let lines = format!(
            "order_lines:\n  - {{item: white fascia board, {supply}{during}}}\nextras:\n  - {{item: New cowl, cost: 31.00{during}}}\n"
        );
        let [_, method] = pages(&job(&lines));
        let prepare = operation(&method, "Prepare: joists", "Limits.").to_owned();
        let deck = operation(&method, "Row 1 at the low edge", "Limits.").to_owned();
        let finish = operation(&method, "Finish and clear", "Nobody on fresh topcoat").to_owned();
        [prepare, deck, finish].map(|words| {
            let (goods, extra) = (words.to_lowercase().contains("fit white fascia board"), words.contains("new cowl"));
            (goods, extra, words)
        })
    };
    let ours = "article: own.fascia-225";
    for (during, place) in [(", during: prepare", 0), (", during: deck", 1), (", during: finish", 2), ("", 2)] {
        for (n, (goods, extra, words)) in told(during, ours).into_iter().enumerate() {
            assert_eq!((goods, extra), (n == place, n == place), "{during}: {words}");
        }
    }
    let [prepare, ..] = told(", during: prepare", ours);
    assert!(prepare.2.find("white fascia board").unwrap() < prepare.2.find("Drip edge: ").unwrap(), "{}", prepare.2);
    assert!(told("", "supply: customer").iter().all(|(goods, ..)| !goods));
    assert!(told(", during: deck", "supply: customer")[1].0);
}

/// A board that the crew fits in hours of its own is told as fitted; one whose fixing is an extra is told with that.
#[test]
fn goods_with_hours_are_told_as_fitted() {
    let timed = "order_lines:\n  - {item: white fascia board, article: own.fascia-225, count: 3, hours: 1 h}\n";
    let [with, _] = pages(&job(timed));
    assert!(with.contains("3 × white fascia board, fitted"), "{with}");
    let [without, _] = pages(&job(BOUGHT));
    assert!(without.contains("3 × white fascia board") && !without.contains("board, fitted"), "{without}");
}

/// What stands on a new kerb is fitted once, when the topcoat is hard: an extra that is its fitting is that step, and with the boards
/// it cannot be fitted, since the laminate goes up and over its kerb.
#[test]
fn what_stands_on_a_new_kerb_is_fitted_once() {
    let hole =
        "    holes: [{name: hatch, at: [2.0 m, 0.6 m], size: [0.9 m, 0.9 m], finish: kerb, kerb: 47 × 220 mm}]\n";
    let brought = |during: &str| format!("order_lines: [{{item: new hatch, supply: customer, during: {during}}}]\n");
    let extra = "extras: [{item: Fitting the hatch, price: 95.00, during: finish}]\n";
    let demo = work(&asked(&lean_to("", hole, &format!("{}{extra}", brought("finish")))));
    let [_, method] = pages(&demo);
    assert_eq!(method.matches("hatch on at once, on its own seal").count(), 1, "{method}");
    assert!(!method.contains("As promised to the customer"), "{method}");
    for during in ["prepare", "deck"] {
        let problems = load(&asked(&lean_to("", hole, &brought(during)))).map(|_| ()).unwrap_err().problems;
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(told.iter().any(|p| p.contains("stands on the new kerb of `hatch`")), "{during}: {told:?}");
    }
}

/// A merchant is asked for the number on every note, so no page cuts it; the head tells the day and the foot who buys in law, with the
/// registered office of a company.
#[test]
fn an_orders_number_is_whole_on_every_page_and_its_buyer_is_named_in_law() {
    let text = std::fs::read_to_string("tests/big_jobs/long-names.yaml").unwrap();
    let job = crate::demo::work(&crate::support::asked(&text));
    let worked = job.worked();
    let words = crate::support::built_in_words();
    let mut long = 0;
    for order in wetout::documents::views::OrderView::all(&worked) {
        let document = wetout::documents::order::document(&order, &words).unwrap();
        let paper = wetout::pages::fitting::lay_out(&document).unwrap();
        for (n, page) in paper.pages.iter().enumerate() {
            let texts: Vec<String> = texts(page).map(|text| text.words()).collect();
            let whole = texts.iter().filter(|words| words.contains(&order.number)).count();
            // At the head of each page and at its foot.
            assert!(whole >= 2, "page {}: {} in {texts:?}", n + 1, order.number);
            long += n;
        }
        let told = crate::drawings::text_of(&document).replace('\n', " ");
        assert!(told.contains("Date: 25 November 2026"), "{told}");
        assert!(
            told.contains("is a trading name of Harrow Teal Ltd")
                && told.contains("registered office Unit 3 Example Yard"),
            "{told}"
        );
    }
    assert!(long > 0, "an order of two pages");
}

/// No resin is on the load of a job that only coats: the catalyst is kept apart from what is.
#[test]
fn catalyst_is_kept_apart_from_what_is_on_the_load() {
    let mut seen = [0, 0];
    for (name, job) in crate::typeset::all_jobs() {
        let worked = job.worked();
        for order in wetout::documents::views::OrderView::all(&worked) {
            if !order.has(|role| *role == Role::Catalyst) {
                continue;
            }
            let document = wetout::documents::order::document(&order, &crate::support::built_in_words()).unwrap();
            let told = crate::drawings::text_of(&document).replace('\n', " ");
            let resin = order.has(|role| *role == Role::Resin);
            assert_eq!(told.contains("from resin"), resin, "{name}: {told}");
            seen[usize::from(resin)] += 1;
        }
    }
    assert!(seen[0] > 0 && seen[1] > 3, "{seen:?}");
}
