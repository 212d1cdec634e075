//! The words of a job that stand for figures: each is known or refused, and what is sold is ordered, priced and told.
//!
//! Every test goes through real files and the whole chain. Figures that are expected are worked here by hand from the
//! sizes of the demo kitchen: 5.2 × 3.4 m less a rooflight of 1.0 × 1.0 m is 16.68 m².

use crate::command::scratch;
use crate::demo::{Demo, request, work};
use crate::drawings::text_of;
use rust_decimal::Decimal;
use std::fs;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use wetout::documents::drawings::Space;
use wetout::documents::drawings::roof_plan::{self, Audience};
use wetout::documents::method::{self, MethodPart};
use wetout::documents::words::Words;
use wetout::documents::{DocumentKind, Overrides, describe};
use wetout::job_file::{Request, load};
use wetout::model::{Flashing, Length, Trade};
use wetout::pricing::Money;

const KITCHEN: &str = "kitchen-extension";

fn d(text: &str) -> Decimal {
    Decimal::from_str(text).unwrap()
}

fn gbp(text: &str) -> Money {
    Money::pounds(d(text))
}

/// The demo kitchen with some of its words changed; each must be there.
fn kitchen(changes: &[(&str, &str)]) -> String {
    let text = String::from_utf8(request(KITCHEN).bytes).unwrap();
    changes.iter().fold(text, |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

fn asked(text: &str) -> Request {
    Request { bytes: text.as_bytes().to_vec(), ..request(KITCHEN) }
}

/// The same with a firm file of its own.
fn with_firm(text: &str, firm: &Path) -> Request {
    Request { firm: Some(firm.to_path_buf()), ..asked(text) }
}

/// The demo firm with some of its words changed, in a folder of its own.
fn firm(name: &str, changes: &[(&str, &str)]) -> PathBuf {
    let folder = scratch(name);
    let text = fs::read_to_string("jobs/firm.yaml").unwrap();
    // The demo firm's own covering would stand beside those of a test.
    let is_own = |line: &&str| line.starts_with("coverings:") || line.starts_with("  - {key: clay tiles");
    let text: String = text.lines().filter(|l| !is_own(l)).flat_map(|line| [line, "\n"]).collect();
    let text = changes.iter().fold(text, |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    });
    fs::write(folder.join("firm.yaml"), text).unwrap();
    fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
    folder.join("firm.yaml")
}

/// The words of a document, as they are read: without what each line is, where it stands and how large it is.
pub fn told(kind: DocumentKind, demo: &Demo) -> String {
    let text = describe(kind, &demo.worked(), &Overrides::default()).unwrap();
    let words = |line: &str| {
        let parts: Vec<&str> = line.split_whitespace().collect();
        let placed = parts.len() > 4 && parts[1..4].iter().all(|p| p.parse::<f64>().is_ok());
        parts[if placed { 4 } else { 0 }..].join(" ")
    };
    text.lines().map(words).collect::<Vec<_>>().join(" ")
}

/// Every fault of a job that is refused, as `path: fault; cure`.
fn refused(request: &Request) -> Vec<String> {
    let failure = load(request).expect_err("this should be refused");
    failure.problems.iter().map(|p| format!("{}: {}; {}", p.place, p.fault, p.cure)).collect()
}

fn need(demo: &Demo, role: &str) -> Decimal {
    let of = demo.take_off.needs.iter().filter(|n| n.role == role && !n.optional);
    of.map(|n| n.quantity).sum()
}

fn cost(demo: &Demo, id: &str) -> Money {
    demo.pricing.costs.iter().find(|c| c.id == id).map_or(Money::ZERO, |c| c.amount)
}

// ---- Coverings and tips --------------------------------------------------------------------------------------------

#[test]
fn every_known_word_is_read_and_its_capital_and_plural_are_refused_with_it() {
    let trade = Trade::default();
    let coverings = trade.coverings.iter().map(|c| ("covering: felt", "covering", c.key.clone()));
    let tips = trade.tips.iter().map(|t| ("tip: skip", "tip", t.key.clone()));
    let surfaces = trade.surfaces.iter().map(|s| ("finish: smooth", "finish", s.key.clone()));
    for (there, key, word) in coverings.chain(tips).chain(surfaces) {
        let with = |word: &str| asked(&kitchen(&[(there, &format!("{key}: {word}"))]));
        assert!(load(&with(&word)).is_ok(), "{key}: {word}");
        for near in [word.to_uppercase(), format!("{word}s")] {
            let said = refused(&with(&near));
            assert_eq!(said.len(), 1, "{said:?}");
            assert!(said[0].ends_with(&format!("did you mean `{word}`?")), "{said:?}");
        }
    }
    for kind in Flashing::ALL {
        let with = |word: &str| asked(&kitchen(&[("flashing: lead}", &format!("flashing: {word}}}"))]));
        assert!(load(&with(kind.key())).is_ok(), "{kind:?}");
        assert!(refused(&with(&kind.key().to_uppercase()))[0].ends_with(&format!("did you mean `{}`?", kind.key())));
    }
}

/// 16.68 m² of felt at 0.03 m³ and 12 kg is 0.5004 m³ and 200.16 kg; of asphalt at 0.04 m³ and 45 kg 0.6672 m³ and
/// 750.6 kg, which the demo firm's van of 650 kg takes in two loads.
#[test]
fn what_comes_off_is_carted_by_its_own_volume_and_mass_and_never_for_nothing() {
    let tipped = |covering: &str, tip: &str| {
        let strip = format!("strip: {{covering: {covering}, tip: {tip}}}");
        work(&asked(&kitchen(&[("strip: {covering: felt, tip: skip, boards: 18 mm}", &strip)])))
    };
    assert_eq!(cost(&tipped("felt", "skip"), "cost.strip"), gbp("285.00"));
    assert_eq!(cost(&tipped("felt", "van"), "cost.strip"), gbp("38.00"));
    assert_eq!(cost(&tipped("asphalt", "van"), "cost.strip"), gbp("76.00"));
    let customers = tipped("felt", "customer");
    assert_eq!(cost(&customers, "cost.strip"), Money::ZERO);
    let (quote, method) = (told(DocumentKind::Quote, &customers), told(DocumentKind::Method, &customers));
    assert!(quote.contains("We take off the old felt and stack it on your ground for you to have taken away."));
    assert!(!quote.contains("off and away"), "nobody is promised that it goes");
    assert!(method.contains("Stack it where the customer has said"), "{method}");
    let hours = |demo: &Demo| demo.programme.work.iter().find(|w| w.label.starts_with("Strip")).unwrap().hours;
    assert_eq!(hours(&tipped("felt", "skip")), d("3.02"), "16.68 m² × 0.15 h and 5.20 m × 0.10 h");
    assert_eq!(hours(&tipped("asphalt", "skip")), d("5.52"), "16.68 m² × 0.30 h and 5.20 m × 0.10 h");
    assert!(
        told(DocumentKind::Method, &tipped("zinc", "skip")).contains("17 04 04"),
        "its waste is told by its own code"
    );
}

#[test]
fn a_van_that_nobody_priced_is_refused_with_the_cure() {
    let bare = [("  van_load: 38.00", "  #"), ("  van_volume: 1.5 m3", "  #"), ("  van_mass: 650 kg", "  #")];
    let firm = firm("van-without-price", &bare);
    let text = kitchen(&[("tip: skip", "tip: van")]);
    let loaded = load(&with_firm(&text, &firm)).unwrap();
    let laid = wetout::takeoff::take_off(&loaded.job, &loaded.rules, &loaded.products).unwrap();
    let terms = loaded.terms.as_ref().unwrap();
    let plan = wetout::programme::plan(&loaded.job, &laid, &loaded.rules, d("1.15"), 2, &[]);
    let faults =
        wetout::pricing::price(&loaded.job, &loaded.rules, &laid.needs, &plan, &loaded.books, terms, &loaded.job_money)
            .unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].place.to_string(), "strip.tip");
    assert_eq!(faults[0].fault, "what a van load costs and holds is not said in the firm file");
    assert!(faults[0].cure.contains("van_load: ") && faults[0].cure.contains("van_volume: "));
}

const OWN: &str = "
coverings:
  - {key: tiles, words: clay tiles, volume: 0.05 m3/m2, mass: 60 kg/m2, hours: 0.40 h/m2, waste: {code: 17 01 03, how: Skip.}}
tips:
  - {key: grab lorry, words: take it away by grab lorry, crew: It goes onto the heap by the road., load: grab load, loads: grab loads, cost: 310.00, holds: 0.5 m3}
surfaces:
  - {key: coarse grip, words: 'slip-resistant, with a coarse grain', role: aggregate.fine, grade: 1 to 2 mm, rate: 2 kg/m2, topcoat: 100 %, hours: 0.25 h/m2}
money:
";

/// 16.68 m² × 0.05 m³ = 0.834 m³ in loads of 0.5 m³: two. 16.68 m² × 0.40 h and 5.20 m of old flashing
/// × 0.10 h = 7.19 h; 16.68 m² × 0.25 h = 4.17 h; × 2 kg = 33.36 kg.
#[test]
fn a_firms_own_words_are_used_with_its_own_figures() {
    let firm = firm("own-words", &[("\nmoney:\n", OWN)]);
    let changes = [
        ("{covering: felt, tip: skip, boards: 18 mm}", "{covering: tiles, tip: grab lorry}"),
        ("finish: smooth", "finish: coarse grip"),
    ];
    let text = kitchen(&changes);
    let demo = work(&with_firm(&text, &firm));
    assert_eq!(cost(&demo, "cost.strip"), gbp("620.00"));
    let hours = |label: &str| demo.programme.work.iter().find(|w| w.label.starts_with(label)).unwrap().hours;
    assert_eq!((hours("Strip"), hours("Second topcoat")), (d("7.19"), d("4.17")));
    assert_eq!(need(&demo, "aggregate.fine"), d("33.36"));
    let quote = told(DocumentKind::Quote, &demo);
    assert!(quote.contains("We take off the old clay tiles and take it away by grab lorry."), "{quote}");
    assert!(quote.contains("dark grey, slip-resistant, with a coarse grain"), "{quote}");
    let method = told(DocumentKind::Method, &demo);
    assert!(method.contains("It goes onto the heap by the road."), "{method}");
    assert!(method.contains("2 kg/m² of aggregate, 1 to 2 mm") && method.contains("Old clay tiles"), "{method}");
    let without = refused(&asked(&text));
    assert_eq!(without.len(), 3, "the demo firm does not know them: {without:?}");
    assert!(without[0].contains("add your own to `surfaces` in the firm file"), "{without:?}");
}

#[test]
fn an_entry_with_a_built_in_key_stands_in_its_place() {
    let own = "
coverings:
  - {key: felt, words: felt in three layers, volume: 0.06 m3/m2, mass: 20 kg/m2, hours: 0.30 h/m2, waste: {code: 17 03 02, how: Skip.}}
tips:
  - {key: skip, words: take it away by skip, crew: Into the skip., load: skip, loads: skips, cost: 111.00, holds: 0.5 m3}
money:
";
    let firm = firm("own-felt", &[("\nmoney:\n", own)]);
    let demo = work(&with_firm(&kitchen(&[]), &firm));
    // 16.68 m² × 0.06 m³ = 1.0008 m³: three skips of 0.5 m³.
    assert_eq!(cost(&demo, "cost.strip"), gbp("333.00"));
    assert!(told(DocumentKind::Quote, &demo).contains("the old felt in three layers"));
}

// ---- Flashing ------------------------------------------------------------------------------------------------------

const CHIMNEY: &str = "    holes:\n      - {name: stack, at: [3.6 m, 1.4 m], size: [0.6 m, 0.5 m], finish: wall}\n";

/// Every pair of flashings at two walls, by the firm or by others, with a chimney and without one.
#[test]
fn no_sentence_of_a_quote_is_joined_from_the_metals_of_its_flashings() {
    for back in Flashing::ALL {
        for right in Flashing::ALL {
            for (by, chimney) in [("us", ""), ("us", CHIMNEY), ("others", CHIMNEY)] {
                let [b, r] = [back, right].map(Flashing::key);
                let wall = format!("right: {{finish: wall, upstand: 260 mm, flashing: {r}}}");
                let at_back = format!("flashing: {b}}}");
                let holes = if chimney.is_empty() { "    holes:\n".to_owned() } else { chimney.to_owned() };
                let by_whom = format!("flashing: {by}\n");
                let demo = work(&asked(&kitchen(&[
                    ("flashing: lead}", &at_back),
                    ("right: {finish: raised}", &wall),
                    ("    holes:\n", &holes),
                    ("flashing: us\n", &by_whom),
                ])));
                let here = format!("{b} and {r} by {by}, {chimney}");
                let quote = told(DocumentKind::Quote, &demo);
                for bad in
                    ["a none", "none flashing", "none and", "and none", "lead and lead", "lead-free and lead", "{{"]
                {
                    assert!(!quote.contains(bad), "{here}: `{bad}` in the quote");
                }
                // The sentence may go on below a drawing.
                let lead = " lead flashing into the wall";
                let free = " lead-free flashing into the wall";
                let nothing = "o new flashing is part of this work";
                let mut wanted = Vec::new();
                if by == "us" {
                    for (kind, words) in Flashing::ALL.into_iter().zip([lead, free, nothing]) {
                        wanted.push((words, back == kind || right == kind));
                    }
                }
                wanted.push(("thers fit the cover flashing; until then", by == "others"));
                for (words, is) in wanted {
                    assert_eq!(quote.contains(words), is, "{here}: {words}: {quote}");
                }
                flashings_are_bought(&demo, (back, right), by == "us", !chimney.is_empty(), &here);
            }
        }
    }
}

/// A back of 5.2 m takes 4 pieces: 5.5 m. A side of 3.4 m takes 3, and steps down a course once: 3.7 m; it laps that of the back at
/// their corner. A chimney of 0.6 × 0.5 m takes a lap of 0.1 m
/// more a side: 2.6 m.
fn flashings_are_bought(demo: &Demo, (back, right): (Flashing, Flashing), us: bool, chimney: bool, here: &str) {
    let cut: Vec<Flashing> = [back, right].into_iter().filter(|k| k.is_cut_in()).collect();
    let of_chimney = cut.iter().min().copied().unwrap_or(Flashing::Lead);
    let side = if back.is_cut_in() { "3.8" } else { "3.7" };
    for (kind, role) in [(Flashing::Lead, "flashing.lead"), (Flashing::LeadFree, "flashing.lead-free")] {
        let at = |is: bool, metres: &str| if is && us { d(metres) } else { Decimal::ZERO };
        let wanted = at(back == kind, "5.5") + at(right == kind, side) + at(chimney && of_chimney == kind, "2.6");
        assert_eq!(need(demo, role), wanted, "{here}: {role}");
    }
    let cuts = us && (chimney || !cut.is_empty());
    assert_eq!(told(DocumentKind::Method, demo).contains("Chase the bed joint"), cuts, "{here}");
}

// ---- Surface -------------------------------------------------------------------------------------------------------

/// 16.68 m² × 1.2 kg = 20.016 kg of aggregate. The second coat takes 16.68 m² × 0.55 kg × 80 % = 7.3392 kg of topcoat,
/// and 5 % of that stays in the bucket.
#[test]
fn a_slip_resistant_topcoat_is_ordered_priced_and_told() {
    let plain = work(&asked(&kitchen(&[])));
    let demo = work(&asked(&kitchen(&[("finish: smooth", "finish: slip-resistant")])));
    assert_eq!(need(&demo, "aggregate.fine"), d("20.016"));
    assert_eq!(need(&plain, "aggregate.fine"), Decimal::ZERO);
    let more = need(&demo, "topcoat.dark-grey") - need(&plain, "topcoat.dark-grey");
    assert_eq!(more.normalize(), d("7.70616"));
    let bought: u64 =
        demo.pricing.orders[0].lines.iter().filter(|l| l.role == "aggregate.fine").map(|l| l.quantity).sum();
    assert!(bought > 0, "aggregate is on the order");
    let second = demo.programme.work.iter().find(|w| w.label == "Second topcoat with aggregate").unwrap();
    assert_eq!(second.hours, d("3.00"), "16.68 m² × 0.18 h");
    let day = |demo: &Demo, i: usize| demo.programme.days.iter().position(|d| d.work.iter().any(|(w, _)| *w == i));
    let index = |label: &str| demo.programme.work.iter().position(|w| w.label == label).unwrap();
    assert!(day(&demo, index("Second topcoat with aggregate")) >= day(&demo, index("Topcoat")));
    assert!(day(&demo, index("Second topcoat with aggregate")).is_some(), "somebody does it");
    assert!(demo.pricing.total > plain.pricing.total);
    let (quote, method) = (told(DocumentKind::Quote, &demo), told(DocumentKind::Method, &demo));
    assert!(quote.contains("Topcoat: dark grey, slip-resistant. It covers the edges too."), "{quote}");
    assert!(quote.contains("fine grains strewn into it"), "{quote}");
    assert!(!told(DocumentKind::Quote, &plain).contains("grains"));
    for words in
        ["Second coat with aggregate", "abrade all over to a dull face", "1.2 kg/m² of aggregate, 0.4 to 0.8 mm"]
    {
        assert!(method.contains(words), "{words}: {method}");
    }
}

// ---- VAT -----------------------------------------------------------------------------------------------------------

#[test]
fn the_vat_that_an_unregistered_firm_pays_on_materials_is_a_cost() {
    let vat = "vat: {registered: yes, rate: 20 %, rounding: total nearest}";
    let firm = firm("not-registered", &[(vat, "vat: {registered: no, rate: 20 %}")]);
    let demo = work(&with_firm(&kitchen(&[]), &firm));
    let bought = cost(&demo, "cost.materials") + cost(&demo, "cost.delivery");
    assert_eq!(cost(&demo, "cost.vat_paid"), bought.percent(Decimal::from(20)).to_penny());
    assert!(cost(&demo, "cost.vat_paid") > gbp("100.00"));
    assert!(demo.pricing.vat.is_empty(), "none is charged");
}

// ---- Options -------------------------------------------------------------------------------------------------------

fn with_option(option: &str) -> Demo {
    let text = kitchen(&[("options:", &format!("options:\n  - {{name: Asked, {option}}}"))]);
    work(&asked(&text))
}

/// 640.00 and 20 % of it.
#[test]
fn an_extra_of_an_option_is_added_to_those_of_the_job() {
    let demo = with_option("change: {extras: [{item: A new rooflight, price: 640.00}]}");
    assert_eq!(demo.pricing.options[0].difference, gbp("768.00"));
}

#[test]
fn an_option_leaves_out_what_it_names_and_nothing_else() {
    let plain = |text: &str| work(&asked(text)).pricing.total;
    let fascia = "  - {item: Fixing of the new fascia board, cost: 13.40, during: prepare} # before the battens that stand on it\n";
    let rooflight = "      - {name: rooflight, at: [1.8 m, 1.1 m], size: [1.0 m, 1.0 m], finish: kerb}\n";
    for (option, there) in
        [("without: {extras: [Fixing of the new fascia board]}", fascia), ("without: {holes: [rooflight]}", rooflight)]
    {
        let demo = with_option(option);
        let text = kitchen(&[(there, ""), ("    holes:\n", if there == rooflight { "" } else { "    holes:\n" })]);
        assert_eq!(demo.pricing.options[0].total, plain(&text), "{option}");
        assert_ne!(demo.pricing.options[0].difference, Money::ZERO, "{option}");
    }
}

#[test]
fn notes_and_exclusions_of_an_option_are_added_and_left_out_by_their_text() {
    let note = "The rooflight stays in place and is sealed into the new roof.";
    let option =
        format!("change: {{quote: {{notes: [Another], exclusions: [The moon]}}}}, without: {{notes: ['{note}']}}");
    let demo = with_option(&option);
    let job = &demo.loaded.options[0].job;
    assert_eq!(
        (job.notes.as_slice(), job.exclusions.as_slice()),
        (&["Another".to_owned()][..], &["The moon".to_owned()][..])
    );
    let added = with_option("change: {quote: {notes: [Another]}}");
    assert_eq!(added.loaded.options[0].job.notes, [note, "Another"]);
    let point = with_option("change: {roofs: {all: {holes: {rooflight: {at: [2.0 m, 1.2 m]}}}}}");
    assert_eq!(point.loaded.options[0].job.roofs[0].holes.len(), 1, "a point is one value and is replaced");
}

// ---- Ladder points -------------------------------------------------------------------------------------------------

/// The last strip lies along the wall at the back, 550 mm deep: a ladder in the middle of the side is none of its.
#[test]
fn the_crew_leaves_over_a_ladder_point_only_where_the_last_strip_reaches_it() {
    for (at, way) in [
        ("0.6 m", "at the back, then over the ladder point on the left."),
        ("1.2 m", "at the back, by a ladder at its left end."),
        ("2.9 m", "at the back, by a ladder at its left end."),
    ] {
        let demo = work(&asked(&kitchen(&[
            ("ladder_point: 0.6 m", &format!("ladder_point: {at}")),
            ("way_off: left", "way_off: back"),
        ])));
        let plain = Words::new(&Overrides::default()).unwrap();
        let crew = text_of(&method::part(MethodPart::Crew, &demo.worked(), &plain).unwrap());
        assert!(crew.contains(&format!("Main roof: {way}")), "{at}: {crew}");
    }
}

/// The left edge is 3.4 m long and a ladder point 1.0 m: its middle lies from 0.5 m to 2.9 m.
#[test]
fn a_ladder_point_is_laid_with_its_middle_where_the_job_says() {
    for (at, middle) in [("500 mm", 500), ("1.2 m", 1200), ("2900 mm", 2900)] {
        let demo = work(&asked(&kitchen(&[("ladder_point: 0.6 m", &format!("ladder_point: {at}"))])));

        let runs = || demo.take_off.profiles.iter().flat_map(|p| &p.runs);
        let run = runs().find(|r| r.label.contains("ladder point")).expect("a ladder point is laid");
        let piece = &run.pieces[0];
        assert_eq!(piece.at + Length::mm(piece.length.as_mm() / 2), Length::mm(middle), "{at}");
        let (layout, roof) = (&demo.take_off.roofs[0], &demo.loaded.job.roofs[0]);
        let drawn = format!("{:?}", roof_plan::draw(layout, roof, Audience::Site, Space::HALF_PAGE).scene);
        let words = format!("its middle {}.{:02} m", middle / 1000, middle % 1000 / 10);
        assert!(drawn.replace('\u{a0}', " ").contains(&words), "{words}: {drawn}");
    }
    for at in ["499 mm", "2901 mm"] {
        let said = refused(&asked(&kitchen(&[("ladder_point: 0.6 m", &format!("ladder_point: {at}"))])));
        assert!(
            said[0].contains("does not lie within the edge") && said[0].contains("from 500 mm to 2900 mm"),
            "{said:?}"
        );
    }
}
