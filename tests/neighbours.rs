//! What a roof says of itself: strip, asbestos, flashing and weather, on two houses that are done at once.
//!
//! Given the demo job of two neighbours, and two-roof jobs in which everything is said for all or by each; looks at works,
//! lines, hours, costs, weather and the words of the documents.

use crate::demo::{Demo, request, work};
use crate::drawings;
use crate::support::asked;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::Words;
use wetout::documents::{DocumentKind, Overrides, method, order, quote};
use wetout::job_file::{Request, load};
use wetout::model::job::Answer;
use wetout::model::{Level, LineId, Problem};
use wetout::programme::weather::{WeatherReading, WeatherVerdict};
use wetout::works::{Doer, Place, Work, WorkKind};

fn neighbours() -> Demo {
    work(&request("neighbours"))
}

/// The demo job with some of its words changed.
fn changed(changes: &[(&str, &str)]) -> Demo {
    let demo = request("neighbours");
    let mut text = String::from_utf8(demo.bytes.clone()).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    work(&Request { bytes: text.into_bytes(), ..demo })
}

#[test]
fn works_are_those_of_each_roof() {
    let demo = neighbours();
    let of = |kind: WorkKind| -> Vec<&Work> { demo.take_off.works.iter().filter(|w| w.kind == kind).collect() };
    assert_eq!(of(WorkKind::Strip).iter().map(|w| w.place).collect::<Vec<_>>(), [Place::Roof(0)]);
    assert_eq!(
        of(WorkKind::CartAway).iter().map(|w| (w.place, w.by)).collect::<Vec<_>>(),
        [(Place::Roof(0), Doer::Us)]
    );
    let flashed: Vec<_> = of(WorkKind::Flashing).iter().map(|w| (w.place.roof(), w.by)).collect();
    assert_eq!(flashed, [(Some(0), Doer::Us), (Some(1), Doer::Others)]);
}

/// No. 14 is new: on the day on which it alone is built nothing is stripped, and no chart says so.
#[test]
fn a_day_holds_no_operation_on_which_nothing_is_done() {
    let demo = neighbours();
    let days = &demo.programme.days;
    assert!(days.iter().flat_map(|day| &day.work).all(|(_, hours)| *hours > rust_decimal::Decimal::ZERO), "{days:?}");
    let strip = demo.programme.work.iter().position(|w| w.strips).unwrap();
    // Goods for a roof are fitted once, before its boards, on its first day.
    let soffit = demo.programme.work.iter().position(|w| w.label.starts_with("Fit white soffit board")).unwrap();
    let fitted: Vec<u32> = days.iter().filter(|d| d.work.iter().any(|(i, _)| *i == soffit)).map(|d| d.number).collect();
    assert_eq!(fitted, [2], "{days:?}");
    let opened: Vec<_> = days.iter().filter(|day| !day.strips.is_empty()).collect();
    let strips = |day: &&wetout::programme::Day| day.work.iter().any(|(i, _)| *i == strip);
    assert!(opened.len() > 1 && strips(&opened[0]) && !strips(opened.last().unwrap()), "{opened:?}");
}

/// The householder's rooflight is set on its kerb by a step of its own, and by no other.
#[test]
fn what_stands_on_a_new_kerb_is_fitted_once() {
    let demo = neighbours();
    let method = drawings::text_of(&method::document(&demo.worked(), &crate::support::built_in_words()).unwrap());
    let method = method.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(method.matches("rooflight (No. 14) on at once").count(), 1, "{method}");
    assert!(!method.contains("fit rooflight for No. 14, 0.90"), "{method}");
    assert!(method.contains("fit 2 × white soffit board (2.5 m) at the front of No. 14"), "{method}");
}

/// Each household signs for itself; where nobody is named besides, one does.
#[test]
fn each_of_several_households_signs_the_acceptance() {
    let quote = |demo: &Demo| {
        let words = crate::support::built_in_words();
        let text = drawings::text_of(&quote::document(&QuoteView::of(&demo.worked()), &words).unwrap());
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let two = quote(&neighbours());
    for words in [
        "Each of us accepts quotation",
        "the whole of it until it is paid",
        "Signature of Mrs J. Ashdown (No. 12) Date, Mrs J. Ashdown (No. 12) Signature of Mr P. Lisle",
        "before the time for cancelling is over",
        "We have read the page on our right to cancel",
    ] {
        assert!(two.contains(words), "{words}: {two}");
    }
    let accepted =
        two.split("Each of us accepts").nth(1).and_then(|rest| rest.split("Your right to cancel").next()).unwrap();
    assert!(!accepted.contains(" I ") && !accepted.contains(" my "), "{accepted}");
    let one = quote(&changed(&[("  also_signs: [Mr P. Lisle (No. 14)]", "  #")]));
    assert!(
        one.contains("I accept quotation") && !one.contains("Each of us") && !one.contains("Signature of"),
        "{one}"
    );
    let demo = request("neighbours");
    let many = String::from_utf8(demo.bytes.clone()).unwrap().replace("[Mr P. Lisle (No. 14)]", "[A, B, C, D, E]");
    let refused = load(&Request { bytes: many.into_bytes(), ..demo }).err().unwrap();
    assert!(refused.problems.iter().any(|p| p.place.to_string() == "customer.also_signs"), "{:?}", refused.problems);
}

/// Each roof has its price with VAT beside the one before it, and these add up to what is paid.
#[test]
fn each_roof_is_told_with_its_vat() {
    use wetout::pricing::Money;
    let demo = neighbours();
    let p = &demo.pricing;
    assert_eq!((p.with_vat.len(), p.with_vat.iter().copied().sum::<Money>()), (p.lines.len(), p.total));
    let text =
        drawings::text_of(&quote::document(&QuoteView::of(&demo.worked()), &crate::support::built_in_words()).unwrap());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Before VAT VAT at 20% VAT included"), "{text}");
    let pounds = |sum: Money| wetout::documents::wording::money(sum);
    for (line, with_vat) in p.lines.iter().zip(&p.with_vat) {
        let told =
            format!("{} {} {} {}", line.label, pounds(line.net), pounds(*with_vat - line.net), pounds(*with_vat));
        assert!(text.contains(&told), "{told}: {text}");
        let exact = line.net.percent(line.vat_rate + rust_decimal::Decimal::ONE_HUNDRED);
        let off = (exact - *with_vat).as_pounds().abs();
        assert!(off <= rust_decimal::Decimal::new(15, 3), "{told}: {exact}");
    }
}

#[test]
fn lines_hours_and_costs_are_those_of_each_roof() {
    let demo = neighbours();
    let roofs = |id: LineId| -> Vec<&str> {
        demo.take_off.lines.iter().filter(|l| l.id == id).filter_map(|l| l.roof.as_deref()).collect()
    };
    assert_eq!(roofs(LineId::StripArea), ["No. 12"]);
    assert_eq!(roofs(LineId::FlashingLength), ["No. 12"]);
    let on = |kind: WorkKind| -> Vec<&str> {
        let parts = demo.programme.work.iter().flat_map(|w| &w.parts).filter(|p| p.work == kind);
        parts.filter_map(|p| p.roof.as_deref()).collect()
    };
    assert_eq!((on(WorkKind::Strip), on(WorkKind::Flashing)), (vec!["No. 12"], vec!["No. 12"]));
    let money = |kind: WorkKind| -> Vec<Option<&str>> {
        demo.pricing.works.iter().filter(|w| w.work == kind).map(|w| w.roof.as_deref()).collect()
    };
    assert_eq!(money(WorkKind::CartAway), [Some("No. 12")]);
    // The felt of the one roof alone × its loose volume goes into a skip.
    let strip = demo.pricing.costs.iter().find(|c| c.id == "cost.strip").unwrap();
    let area = demo.take_off.roofs[0].shape.area.square_metres().round_dp(3).normalize();
    assert!(strip.working[0].starts_with(&format!("{area} m² × ")), "{:?}", strip.working);
}

/// What goes the same way is one heap: two felts in one skip, and one more line for what goes another way.
#[test]
fn what_goes_the_same_way_is_counted_together() {
    let both = changed(&[("strip: nothing", "strip: {covering: asphalt, tip: skip}")]);
    let loads: Vec<_> = both.pricing.costs.iter().filter(|c| c.id.starts_with("cost.strip")).collect();
    assert_eq!(loads.len(), 1);
    assert!(loads[0].working.iter().any(|w| w.contains("m³ together; ÷")), "{:?}", loads[0].working);
    let at: Vec<_> = both.take_off.works.iter().filter(|w| w.kind == WorkKind::CartAway).map(|w| w.place).collect();
    assert_eq!(at, [Place::Job]);
    let apart = changed(&[("strip: nothing", "strip: {covering: felt, tip: van}")]);
    let ids: Vec<_> =
        apart.pricing.costs.iter().map(|c| c.id.as_str()).filter(|id| id.starts_with("cost.strip")).collect();
    assert_eq!(ids, ["cost.strip", "cost.strip.2"]);
    // Hours follow each roof's own covering: the asphalt's figure is not the felt's.
    let working = |demo: &Demo| format!("{:?}", demo.programme.work[0].working);
    assert!(working(&both) != working(&apart) && both.programme.work[0].hours > apart.programme.work[0].hours);
}

/// A job that says something once for all its roofs is the job in which each roof says it.
#[test]
fn what_is_said_for_all_is_what_every_roof_says_for_itself() {
    let alike = [
        ("    strip: {covering: felt, tip: skip} # the old felt", "    strip: {covering: felt, tip: skip} # the"),
        ("    strip: nothing", "    strip: {covering: felt, tip: skip}"),
        ("    flashing: others", "    flashing: us"),
        ("    conditions: {moisture: 15 %}", "    #"),
    ];
    let own = changed(&alike);
    let mut all = alike.to_vec();
    all.extend([
        ("    strip: {covering: felt, tip: skip}", "    #"),
        ("    asbestos: no", "    #"),
        ("    flashing: us", "    #"),
        ("\nflashing: us", "\nflashing: us\nasbestos: no\nstrip: {covering: felt, tip: skip}"),
    ]);
    let all = changed(&all);
    assert_eq!(own.take_off.works, all.take_off.works);
    assert_eq!(own.pricing.total, all.pricing.total);
    assert_eq!(own.pricing.costs, all.pricing.costs);
    assert_eq!(own.programme.work, all.programme.work);
    assert_eq!(own.programme.weather, all.programme.weather);
}

#[test]
fn asbestos_on_one_roof_holds_the_order_and_says_where() {
    let demo = changed(&[("asbestos: no # felt", "asbestos: not known # felt")]);
    assert_eq!(demo.loaded.job.gravest_asbestos(), Answer::NotKnown);
    let warned = demo.loaded.notices.iter().find(|p| p.place.to_string() == "roofs[0].asbestos").unwrap();
    assert_eq!(warned.level, Level::Warning);
    for (kind, words) in [
        (DocumentKind::Quote, "This is about No. 12"),
        (DocumentKind::Method, "This is about No. 12"),
        (DocumentKind::Order, "not to be sent until the survey result is entered"),
    ] {
        let text = text_of(&demo, kind);
        assert!(text.contains(words), "{kind:?}: {text}");
    }
}

/// The words of a document, each run of white space as one space.
fn text_of(demo: &Demo, kind: DocumentKind) -> String {
    let (whole, words) = (demo.worked(), Words::new(&Overrides::default()).unwrap());
    let document = match kind {
        DocumentKind::Quote => quote::document(&QuoteView::of(&whole), &words),
        DocumentKind::Order => order::document(&OrderView::all(&whole)[0], &words),
        _ => method::document(&whole, &words),
    };
    drawings::text_of(&document.unwrap()).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_documents_say_what_is_so_on_which_roof() {
    let demo = neighbours();
    let quote = text_of(&demo, DocumentKind::Quote);
    for words in [
        "take off the old felt of No. 12",
        "lay a new timber deck on No. 14 and new boards over the deck of No. 12, and give you",
        "The cover flashing at the wall of No. 14: others fit it",
        "Others fit the cover flashing",
    ] {
        assert!(quote.contains(words), "{words}: {quote}");
    }
    let method = text_of(&demo, DocumentKind::Method);
    for words in ["No. 12: felt; No. 14: nothing comes off", "Not at No. 14: others fit the flashing there"] {
        assert!(method.contains(words), "{words}");
    }
}

#[test]
fn weather_is_judged_for_each_roof_and_told_once_where_it_is_the_same() {
    let demo = changed(&[("conditions: {moisture: 15 %}", "conditions: {moisture: 25 %, surface: 5 C}")]);
    let weather = &demo.programme.weather;
    let of = |reading: WeatherReading| -> Vec<(Vec<String>, WeatherVerdict)> {
        weather.checks.iter().filter(|c| c.measured == reading).map(|c| (c.roofs.clone(), c.verdict)).collect()
    };
    assert_eq!(of(WeatherReading::Air), [(vec![], WeatherVerdict::Go)]);
    let moisture = of(WeatherReading::Moisture);
    let both =
        [(vec!["No. 12".to_owned()], WeatherVerdict::Stop), (vec!["No. 14".to_owned()], WeatherVerdict::NotKnown)];
    assert_eq!(moisture, both);
    assert_eq!(weather.verdict, WeatherVerdict::Stop);
}

#[test]
fn what_every_roof_answers_is_not_asked_of_the_job_again() {
    let notices = |text: &str| -> Vec<Problem> { load(&asked(text)).unwrap().notices };
    let roof = |name: &str, own: &str| {
        format!(
            "  - {{name: {name}, outline: {{rectangle: {{width: 3 m, depth: 2 m}}}}, edges: {{front: {{finish: drip}}, right: \
             {{finish: raised}}, back: {{finish: wall}}, left: {{finish: raised}}}}, falls_to: front, deck: {{action: new, board: \
             osb3-18}}, laminate: {{mat: 450, layers: 1}}, topcoat: {{colour: dark grey, finish: smooth}}{own}}}\n"
        )
    };
    let job = |one: &str, two: &str| {
        format!(
            "reference: 26-931\ntitle: Two\nprepared: 2026-11-25\ncustomer: {{name: A. Householder, address: [1 Example \
             Street, Anytown]}}\nroofs:\n{}{}",
            roof("One", one),
            roof("Two", two)
        )
    };
    let own = ", strip: nothing, asbestos: no, flashing: others, conditions: {air: 14 C}";
    let places = |text: &str| -> Vec<String> { notices(text).iter().map(|p| p.place.to_string()).collect() };
    let asked_again = |text: &str| -> Vec<&str> {
        let places = places(text);
        ["strip", "asbestos", "flashing", "conditions"].into_iter().filter(|k| places.iter().any(|p| p == k)).collect()
    };
    assert_eq!(asked_again(&job(own, own)), [""; 0]);
    assert_eq!(asked_again(&job(own, "")), ["strip", "asbestos", "flashing", "conditions"]);
}

/// Joists that nobody has covered yet may have no gutter: that one hangs there is taken, and said.
#[test]
fn a_gutter_of_a_roof_on_which_nothing_is_old_is_asked_after() {
    let demo = neighbours();
    let checked = wetout::checks::check(&demo.loaded.job, &demo.take_off, &demo.loaded.rules, &demo.loaded.products);
    let told = |words: &str| checked.notices.iter().filter(|n| format!("{n:?}").contains(words)).count();
    assert_eq!(told("a gutter hangs at `front` of No. 14 already"), 1, "{:?}", checked.notices);
    assert_eq!(told("a gutter hangs at `front` of No. 12 already"), 0);
}
