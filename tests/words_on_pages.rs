//! Small words on the pages of real jobs: what is told stands there, is told once, and adds up.

use crate::demo::{self, Demo};
use crate::support::asked;
use crate::words::told;
use rust_decimal::Decimal;
use std::fs;
use std::path::Path;
use wetout::checks::finding::{Finding, Verdict};
use wetout::checks::walls;
use wetout::documents::DocumentKind::{Method, Order, Quote};
use wetout::documents::wording;
use wetout::model::products::BoardEdge;
use wetout::model::shape::DeckAction;
use wetout::model::{Finish, LineId, Role, Roof};
use wetout::works::WorkKind;

/// The demo jobs, and jobs of parapets, kerbs and several roofs.
fn jobs() -> Vec<(String, Demo)> {
    let file = |name: &str| {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/jobs_for_sweep").join(name);
        (name.to_owned(), demo::work(&asked(&fs::read_to_string(file).unwrap())))
    };
    let demos = demo::names().into_iter().map(|name| (name.clone(), demo::work(&demo::request(&name))));
    demos.chain(["parapet.yaml", "wedge.yaml", "everything.yaml"].map(file)).collect()
}

fn decimal(text: &str) -> Decimal {
    text.trim().parse().unwrap_or_else(|_| panic!("no figure: {text}"))
}

/// What stands between two texts, wherever they do.
fn between<'a>(text: &'a str, before: &str, after: &str) -> Vec<&'a str> {
    text.split(before).skip(1).filter_map(|rest| rest.split_once(after)).map(|(words, _)| words).collect()
}

#[test]
fn the_crew_reads_of_what_is_there_and_of_nothing_else() {
    for (name, job) in jobs() {
        let method = told(Method, &job);
        let roofs = &job.take_off.roofs;
        for (finish, words) in [(Finish::Drip, "Drip along "), (Finish::Wall, "Wall fillet along ")] {
            let [roof] = roofs.as_slice() else { continue };
            let sides = roof.shape.sides.iter().filter(|s| s.finish == finish && !s.is_under_low_sill());
            let sides = sides.map(|s| s.label.as_str());
            let sides: Vec<&str> = sides.collect();
            for along in between(&method, words, ".").into_iter().filter(|_| sides.len() > 1) {
                assert!(sides.iter().all(|side| along.contains(side)), "{name}: {words}{along}, of {sides:?}");
            }
        }
        let boards = &job.loaded.products.boards;
        for key in boards.keys() {
            assert!(!method.contains(&format!("{key}:")), "{name} names the boards {key} by their code");
        }
        let laid = job.loaded.job.roofs.iter().filter_map(|roof| boards.get(roof.deck.board.as_ref()?));
        let tongued = laid.into_iter().any(|board| board.edge == BoardEdge::TongueAndGroove);
        assert_eq!(method.contains("flip tongued boards"), tongued, "{name}");
        assert_eq!(method.contains("tapping block"), tongued, "{name}: nothing is knocked into a square edge");
        // Every noggin of these jobs goes from joist to joist.
        assert!(!method.contains("longer than the timber"), "{name}");
        assert!(!method.contains("no laps on this job") || !method.contains("bedded on a line of adhesive"), "{name}");
    }
}

#[test]
fn the_householder_is_greeted_and_told_of_the_edges_as_they_are_spoken_of() {
    let job = demo::work(&demo::request("garage-utility"));
    let quote = told(Quote, &job);
    for words in ["Dear Mr and Mrs Prowse,", "Fall: 1:40 towards the front.", "comes to the gutter at the yard"] {
        assert!(quote.contains(words), "{words}: {quote}");
    }
    for (name, job) in jobs() {
        for finding in &job.findings {
            for side in ["front", "back", "left", "right", "house", "yard"] {
                let bare = format!(" at {side}");
                assert!(!finding.subject.contains(&bare) && !finding.statement.contains(&bare), "{name}: {finding:?}");
            }
        }
    }
}

#[test]
fn a_small_heading_of_the_guarantee_never_ends_a_line() {
    for (name, job) in jobs() {
        let pages = wetout::documents::describe(Quote, &job.worked(), &Default::default()).unwrap();
        for heading in ["How you claim:", "A new owner:", "What ends it:"] {
            assert!(
                pages.contains("claim:") && !pages.lines().any(|line| line.ends_with(heading)),
                "{name}: {heading}"
            );
        }
    }
}

#[test]
fn a_sentence_begins_with_a_capital() {
    for (name, job) in jobs() {
        let method = told(Method, &job);
        let words: Vec<&str> = method.split(' ').collect();
        for pair in words.windows(2) {
            let ends = pair[0].ends_with('.') && pair[0].len() > 4 && !pair[0].trim_end_matches('.').contains('.');
            let small = pair[1].starts_with(|c: char| c.is_lowercase()) && !pair[1].contains('@');
            assert!(!(ends && small), "{name}: {} {}", pair[0], pair[1]);
        }
        for opening in between(&method, "", ": sizes confirmed").into_iter().filter(|_| method.contains(": sizes")) {
            let first = opening.rsplit_once(". ").map_or(opening, |(_, last)| last).trim_start();
            let first = first.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ');
            assert!(!first.starts_with(char::is_lowercase), "{name}: {first}: sizes confirmed");
        }
    }
}

#[test]
fn what_is_told_of_rain_and_of_the_dew_point_adds_up() {
    let (mut flows, mut dews) = (0, 0);
    for (name, job) in jobs() {
        let margin = job.loaded.rules.dew_margin;
        for words in between(&told(Method, &job), "Dew point ", " °C or warmer") {
            let Some((dew, least)) = words.split_once(" °C: the surface must be ") else { continue };
            assert_eq!(decimal(dew) + margin, decimal(least), "{name}: {words}");
            dews += 1;
        }
        for words in between(&told(Quote, &job), "at the design rain ", " l/s), and it carries") {
            let (flow, rest) = words.split_once(" l/s comes to the gutter ").unwrap();
            let (_, product) = rest.rsplit_once('(').unwrap();
            let (area, rate) = product.split_once(" × ").unwrap();
            let area = area.split_once(" m²").unwrap().0;
            // Of two roofs that differ in figures alone one after the other.
            let figures = |text: &str| text.split(" and ").map(decimal).collect::<Vec<_>>();
            let run_off: Vec<Decimal> = figures(area).iter().map(|area| (area * decimal(rate)).round_dp(3)).collect();
            assert_eq!(run_off, figures(flow), "{name}: {words}");
            flows += run_off.len();
        }
    }
    assert!(flows > 5 && dews > 5, "{flows} flows and {dews} dew points were read");
}

#[test]
fn the_law_s_page_has_the_name_of_the_firm_once() {
    let job = demo::work(&demo::request("bay"));
    let firm = job.loaded.firm.as_ref().unwrap();
    let quote = told(Quote, &job);
    let who = between(&quote, "Who we are:", "VAT number")[0];
    assert!(firm.legal.as_ref().is_some_and(|legal| legal.starts_with(&firm.party.name)));
    assert_eq!(who.matches(&firm.party.name).count(), 1, "{who}");
}

#[test]
fn a_per_cent_sign_stands_close_to_its_figure() {
    for (name, job) in jobs() {
        for words in [told(Method, &job), told(Quote, &job), job.pricing.rule.clone()] {
            let apart = |words: &str| words.ends_with(|c: char| c.is_ascii_digit());
            let signs = words.replace('\u{a0}', " ");
            assert!(!signs.match_indices(" %").any(|(at, _)| apart(&signs[..at])), "{name}");
        }
    }
}

/// Where all old boards come off, none is left to be found rotten, and new ones are in the price.
#[test]
fn a_rate_for_rotten_boards_is_quoted_where_old_boards_stay() {
    for (name, stay) in [("kitchen-extension", false), ("dormer", true), ("neighbours", true), ("patch-and-coat", true)]
    {
        let words = told(Quote, &demo::work(&demo::request(name)));
        assert_eq!(words.contains("Deck board replaced"), stay, "{name}");
        assert_eq!(words.contains("Rotten joists, boards or fascias"), stay, "{name}");
        assert!(words.contains("Joist replaced or doubled"), "{name}");
    }
}

#[test]
fn a_wall_that_is_longer_outside_than_its_edge_of_the_roof_says_so() {
    let job = demo::work(&demo::request("parapet"));
    let sides = job.take_off.roofs.iter().flat_map(|r| &r.shape.sides);
    assert!(sides.filter_map(|s| Some((s.run, s.coped?.long))).any(|(run, long)| run != long));
    for words in [told(Method, &job), told(Quote, &job)] {
        assert_eq!(
            words.matches("(3.236 m").count(),
            words.matches("(3.236 m along its").count() + words.matches("(3.236 m outside)").count(),
            "{words}"
        );
        assert!(words.contains("its outer edge"));
    }
}

#[test]
fn the_weight_of_twelve_roofs_is_led_up_to_once() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs/twelve-roofs.yaml");
    let method = told(Method, &demo::work(&asked(&fs::read_to_string(file).unwrap())));
    assert_eq!(method.matches("the new roof weighs about").count(), 1);
    assert_eq!(method.matches("on each square metre").count() + method.matches("On each square metre").count(), 1);
}

/// What is done beside the roof is a name within a sentence, and goods whose fitting is an extra of its own are one step with it.
#[test]
fn goods_and_their_fitting_are_one_step_in_small_letters() {
    let mut seen = 0;
    for (name, job) in jobs() {
        let [quote, method] = [Quote, Method].map(|kind| told(kind, &job));
        for extra in &job.loaded.job.extras {
            let small = wording::within(&extra.title);
            assert!(!quote.contains(&format!("; {}", extra.title)) || small == extra.title, "{name}: {}", extra.title);
            assert!(method.contains(&small), "{name}: no {small}");
            let fitted: Vec<_> = job.loaded.job.goods.iter().filter(|goods| extra.fits(goods)).collect();
            for goods in fitted {
                assert!(
                    !method.contains(&format!("fit {}", goods.title())),
                    "{name}: {} is fitted twice",
                    goods.title()
                );
                assert!(
                    method.contains(&format!("({}, ", goods.title())) && method.contains(", as the maker says)"),
                    "{name}: {}",
                    goods.title()
                );
                seen += 1;
            }
        }
    }
    assert!(seen > 1, "{seen} goods with a fitting of their own");
}

/// What is cut by the plans and what is to spare are the boards of the order, which says so, as does the step of laying: neither where
/// what is left of one board is the spare, as of the tiny roof's.
#[test]
fn a_board_to_spare_is_told_where_it_is_ordered_and_where_it_lies() {
    let tiny = demo::work(&asked(include_str!("big_jobs/tiny-roof.yaml")));
    let (mut seen, mut without) = (0, 0);
    for (name, job) in jobs().into_iter().chain([("tiny-roof".to_owned(), tiny)]) {
        let spare: Decimal =
            job.take_off.lines.iter().filter(|line| line.id == LineId::BoardsSpare).map(|line| line.quantity).sum();
        let lays = job.loaded.job.roofs.iter().any(|roof| roof.deck.action != DeckAction::Keep);
        if spare.is_zero() || !lays {
            assert!(!told(Method, &job).contains("more is on the load than the plan"), "{name}");
            assert!(!told(Order, &job).contains("is to spare"), "{name}");
            without += usize::from(lays);
            continue;
        }
        let of_each = job.take_off.needs.iter().filter(|n| matches!(n.role, Role::Board(_)) && !n.optional);
        let kind = match of_each.clone().all(|need| need.lines.contains(&LineId::BoardsSpare)) {
            true => "each kind of timber board".to_owned(),
            false => {
                let spared = of_each.filter(|need| need.lines.contains(&LineId::BoardsSpare));
                wording::list(&spared.map(|need| wording::goods(&need.role, need.size)).collect::<Vec<_>>())
            }
        };
        let words = told(Method, &job);
        let of_all = format!("Of {kind} 1 more is on the load than the plan");
        assert!(words.contains(&of_all) || words.contains("1 deck board more is on the load than the plan"), "{name}");
        assert!(told(Order, &job).contains(&format!("1 of {kind} is to spare")), "{name}");
        seen += 1;
    }
    assert!(seen > 3 && without > 0, "{seen} jobs, {without}");
}

/// What was lifted is back when the roof is handed over; brackets are new in quote, order and step alike; a gutter that spills over
/// is either sold or plainly not.
#[test]
fn what_comes_off_is_back_and_what_is_not_sold_is_named() {
    let mut back = 0;
    for (name, job) in jobs() {
        let (quote, method) = (told(Quote, &job), told(Method, &job));
        for (kind, words) in [(WorkKind::TilesBack, "iles or slates"), (WorkKind::CopingOn, "opings")] {
            if job.take_off.works.has(kind) {
                let list = between(&method, "Hand over: done when", "Roof, ground and");
                assert!(list.iter().any(|list| list.contains(words)), "{name}: {list:?}");
                back += 1;
            }
        }
        let bought = job.take_off.needs.iter().any(|need| matches!(need.role, Role::GutterBracket));
        assert_eq!(quote.contains("on new brackets"), bought, "{name}");
        assert_eq!(method.contains("on new brackets"), bought, "{name}");
        let nails = job.take_off.works.has(WorkKind::TilesBack);
        assert_eq!(method.contains("nails in each"), nails, "{name}");
        assert!(!method.contains("For a household, the client"), "{name}");
    }
    assert!(back > 1, "{back}");
    let hall = fs::read_to_string("tests/jobs_for_sweep/hall.yaml").unwrap();
    let quote = told(Quote, &demo::work(&asked(&hall)));
    assert!(quote.contains("It spills over: "), "the hall's gutter copes");
    assert!(quote.contains("a bigger section for the gutter at the front, which as it is spills over"), "{quote}");
}

/// Sentences of several roofs that are told together end in a stop of their own.
#[test]
fn no_sentence_begins_after_a_semicolon() {
    for (name, job) in jobs() {
        let method = told(Method, &job);
        assert!(!method.contains("; Whether"), "{name}");
    }
}

/// The insulation's hold point names the low walls and sills of the roofs with insulation, and of no other.
#[test]
fn a_low_wall_is_quoted_where_the_insulation_goes_that_it_is_measured_from() {
    let (mut quoted, mut kept_back) = (0, 0);
    for (name, job) in jobs() {
        let method = told(Method, &job);
        let said = between(&method, "less as agreed in writing: ", ".");
        let low = |f: &&Finding| f.verdict == Verdict::Fail && walls::is_upstand(f);
        for found in job.findings.iter().filter(low) {
            let its = |roof: &&Roof| found.roof.as_ref().is_none_or(|of| *of == roof.name);
            let warm = |roof: &Roof| roof.build_up.as_ref().is_some_and(|b| b.insulation.is_some());
            let (warm, several) = (job.loaded.job.roofs.iter().filter(its).any(warm), job.loaded.job.roofs.len() > 1);
            let subject = match &found.roof {
                Some(roof) if several => format!("{roof}, {}", found.subject),
                _ => found.subject.clone(),
            };
            let count = said.iter().filter(|line| line.contains(&subject)).count();
            assert_eq!(count, usize::from(warm), "{name}: {subject} in {said:?}");
            quoted += usize::from(warm);
            kept_back += usize::from(!warm);
        }
    }
    assert!(quoted > 0 && kept_back > 0, "{quoted} quoted, {kept_back} kept back");
}

#[test]
fn a_drip_edge_without_a_gutter_is_not_told_to_hang_into_one() {
    let mut both = 0;
    for (name, job) in jobs() {
        let edges = || job.loaded.job.roofs.iter().flat_map(|roof| &roof.outline.edges);
        let bare = edges().any(|e| e.finish == Finish::Drip && e.gutter.is_none());
        let method = told(Method, &job);
        let told = method.matches("clear of the wall where there is none").count();
        let mixed = bare && edges().any(|e| e.gutter.is_some());
        assert_eq!(told > 0, mixed, "{name}");
        both += usize::from(mixed);
    }
    assert!(both > 0, "no job has drip edges of both kinds");
}

/// A householder reads of his own roof: the flashing of No. 12 is no promise to No. 14, nor the kerb of No. 14 to No. 12; the top that a
/// board carries is not levelled with mortar.
#[test]
fn what_is_done_on_one_roof_or_wall_is_promised_to_no_other() {
    let said = |name: &str| told(Quote, &demo::work(&demo::request(name)));
    let neighbours = said("neighbours");
    assert!(neighbours.contains("carried up the wall, on No. 12 under a new flashing"), "{neighbours}");
    assert!(neighbours.contains("what comes through it (No. 14), on a new kerb"), "{neighbours}");
    let kitchen = said("kitchen-extension");
    assert!(kitchen.contains("carried up the wall under a new flashing") && !kitchen.contains("new flashing ("));
    let parapet = said("parapet");
    let words = "The top at the right is levelled with mortar first, and left to dry; at the left a board carries the roof over.";
    assert!(parapet.contains(words) && !parapet.contains("The tops are levelled"), "{parapet}");
}
