//! How a roof comes by its fall, from the job file to the pages: made with firrings, by others, in the joists, or there.
//!
//! Given job files; fails where firrings are bought, timed or told that nobody fixes, or where a fall that nobody measured
//! is taken for a number.

use crate::demo::{self, Demo};
use crate::drawings::text_of;
use crate::edges::documents;
use crate::support::{asked, built_in_words, laid_out, lean_to, mm};
use wetout::documents::views::QuoteView;
use wetout::documents::{DocumentKind, method, quote};
use wetout::job_file::load;
use wetout::model::products::Stock;
use wetout::model::{Length, Level, Point, Problem, Products, Role, RoofFall};
use wetout::takeoff::Need;
use wetout::takeoff::layout::falls::heights;
use wetout::works::{Doer, WorkKind};

/// A lean-to with another fall, and more said of its roof.
fn falling(fall: &str, roof: &str) -> String {
    let text = lean_to("", roof, "");
    assert!(text.contains("    fall: 1:40\n"));
    text.replace("    fall: 1:40\n", fall)
}

/// The words of a document.
pub fn words(demo: &Demo, kind: DocumentKind) -> String {
    let (worked, words) = (demo.worked(), built_in_words());
    let document = match kind {
        DocumentKind::Quote => quote::document(&QuoteView::of(&worked), &words),
        _ => method::document(&worked, &words),
    };
    text_of(&document.unwrap()).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Everything that is said of the job's settings, beginning with this path.
fn told(text: &str, path: &str) -> Vec<Problem> {
    let notices = match load(&asked(text)) {
        Ok(loaded) => loaded.notices,
        Err(failure) => failure.problems,
    };
    notices.into_iter().filter(|p| p.place.to_string() == path).collect()
}

#[test]
fn a_fall_that_is_there_buys_no_firrings_and_spends_no_hours_on_them() {
    let made = demo::work(&asked(&falling("    fall: 1:40\n", "")));
    for fall in ["    fall: existing 1:50\n", "    fall: existing\n", "    firrings: none\n", "    firrings: others\n"]
    {
        let demo = demo::work(&asked(&falling(fall, "")));
        let ids: Vec<String> = demo.take_off.lines.iter().map(|l| l.id.to_string()).collect();
        assert!(!ids.contains(&"firring.length".to_owned()), "{fall}");
        assert!(demo.take_off.needs.iter().all(|n| n.role != "timber.firring"), "{fall}");
        assert!(demo.take_off.roofs[0].firrings.is_empty(), "{fall}");
        assert!(demo.programme.hours() < made.programme.hours(), "{fall}");
        assert!(demo.take_off.works.has(WorkKind::KeepFalls), "{fall}");
    }
    assert!(made.take_off.needs.iter().any(|n| n.role == "timber.firring"));
    assert!(!made.take_off.works.has(WorkKind::KeepFalls));
}

#[test]
fn firrings_that_others_fix_are_a_work_of_others() {
    let demo = demo::work(&asked(&falling("    fall: 1:40\n    firrings: others\n", "")));
    let of = |kind| demo.take_off.works.iter().filter(|w| w.kind == kind).map(|w| w.by).collect::<Vec<_>>();
    assert_eq!(of(WorkKind::Firrings), [Doer::Others]);
    assert_eq!(of(WorkKind::KeepFalls), [Doer::Us]);
}

/// By hand: 3.0 m at 1:50 rise 60 mm. A fall that nobody measured gives no heights at all.
#[test]
fn heights_follow_the_measured_fall_and_are_none_where_it_was_not_measured() {
    let of = |fall: &str| {
        let (loaded, laid) = laid_out(&falling(fall, ""));
        heights(&laid.take_off.roofs[0].shape, &loaded.job.roofs[0])
    };
    assert_eq!(of("    fall: existing 1:50\n"), [0, 0, 60, 60].map(mm));
    assert!(of("    fall: existing\n").is_empty());
}

/// BS 6229 (from memory): 1:80 must be left, 1:40 is designed for. What is there is held to the first, what is made to both.
#[test]
fn a_measured_fall_is_held_to_what_must_be_left_and_a_made_one_to_what_is_designed_for() {
    let warned = |fall: &str, words: &str| {
        let found = told(&falling(fall, ""), "roofs[0].fall");
        let seen = found.iter().any(|p| p.level == Level::Warning && p.fault.contains(words));
        assert!(seen, "{fall}: {found:#?}");
    };
    let quiet = |fall: &str| assert!(told(&falling(fall, ""), "roofs[0].fall").is_empty(), "{fall}");
    quiet("    fall: 1:40\n");
    quiet("    fall: existing 1:50\n");
    quiet("    fall: existing 1:80\n");
    warned("    fall: existing 1:81\n", "the fall that is there, 1:81, is flatter than 1:80");
    warned("    fall: existing 1:400\n", "is flatter than 1:80");
    warned("    fall: 1:81\n", "a fall of 1:81 is flatter than 1:80");
    warned("    fall: 1:60\n", "a fall of 1:60 is flatter than 1:40: tolerance and sag may leave less than 1:80");
    warned("    fall: 1:60\n    firrings: none\n", "flatter than 1:40");
    let beyond = told(&falling("    fall: existing 1:1001\n", ""), "roofs[0].fall");
    assert!(beyond.iter().any(|p| p.level == Level::Fault), "{beyond:#?}");
}

#[test]
fn a_fall_that_was_not_measured_is_told_by_check_and_is_measured_on_site() {
    let text = falling("    fall: existing\n", "");
    let found = told(&text, "roofs[0].fall");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].level, Level::Assumed);
    assert!(found[0].fault.contains("was not measured"), "{}", found[0].fault);
    let method = words(&demo::work(&asked(&text)), DocumentKind::Method);
    assert!(method.contains("Never measured yet: Lean-to"), "{method}");
    assert!(method.contains("Fall measured, 1 in"), "{method}");
    let known = words(&demo::work(&asked(&falling("    fall: existing 1:50\n", ""))), DocumentKind::Method);
    assert!(known.contains("Lean-to 1:50 at the survey") && !known.contains("Never measured yet"), "{known}");
}

#[test]
fn the_householder_reads_who_makes_the_fall() {
    for (fall, said) in [
        ("    fall: 1:40\n", "Fall: 1:40 towards the front. We fix tapered timbers (firrings) so that rain runs off."),
        ("    fall: 1:40\n    firrings: others\n", "Others fix tapered timbers (firrings) for a fall of 1:40"),
        ("    fall: 1:40\n    firrings: none\n", "The joists themselves are set to a fall of 1:40"),
        ("    fall: existing 1:50\n", "The fall that is there stays: 1:50 towards the front, as we measured it."),
        ("    fall: existing\n", "The fall that is there stays. We measure it before we start"),
    ] {
        let quote = words(&demo::work(&asked(&falling(fall, ""))), DocumentKind::Quote);
        assert!(quote.contains(said), "{fall}: {quote}");
    }
}

/// A deck that stays falls as it falls: a fall that is written for it is the fall that it has.
#[test]
fn a_deck_that_stays_has_the_fall_that_it_has() {
    let kept = |fall: &str| falling(fall, "").replace("{action: new, board: osb3-18}", "{action: keep}");
    let fall = |text: &str| load(&asked(text)).unwrap().job.roofs[0].fall;
    assert!(matches!(fall(&kept("    fall: 1:60\n")), RoofFall::There(Some(f)) if f.run == 60.into()));
    assert_eq!(fall(&kept("")), RoofFall::There(None));
    assert_eq!(told(&kept(""), "roofs[0].fall").len(), 1);
    let asked_for = told(&kept("    fall: 1:60\n    firrings: us\n"), "roofs[0].firrings");
    assert!(asked_for[0].fault.contains("firrings lie under a new deck"), "{asked_for:?}");
    let there = told(&falling("    fall: existing 1:50\n    firrings: us\n", ""), "roofs[0].firrings");
    assert!(there[0].fault.contains("the fall is there already"), "{there:?}");
}

/// The firring at a wall takes its depth off the upstand; joists that are set to the fall do not.
#[test]
fn only_firrings_take_height_off_an_upstand() {
    let left = |fall: &str| {
        let (loaded, laid) = laid_out(&falling(fall, ""));
        let (roof, shape) = (&loaded.job.roofs[0], &laid.take_off.roofs[0].shape);
        let board = loaded.products.boards.get("osb3-18");
        wetout::takeoff::layout::falls::upstand_left(shape, roof, &loaded.rules, board, 2).unwrap().as_mm()
    };
    // By hand, 600 mm surveyed: 3000 ÷ 40 = 75 of firring, 6 of toe under it, 18 of board.
    assert_eq!(left("    fall: 1:40\n"), 600 - 75 - 6 - 18);
    assert_eq!(left("    fall: 1:40\n    firrings: others\n"), 600 - 75 - 6 - 18);
    assert_eq!(left("    fall: 1:40\n    firrings: none\n"), 600 - 18);
    assert_eq!(left("    fall: existing 1:40\n"), 600 - 18);
}

/// Where old boards are lifted for new ones, only the difference of the two moves the roof: a wall is measured from the old roof.
#[test]
fn a_new_board_takes_off_an_upstand_what_it_is_thicker_than_the_old_one() {
    let of = |boards: &str, key: &str| {
        let text = falling("    fall: existing 1:40\n", "");
        let text = format!("{text}strip: {{covering: felt, tip: skip{boards}}}\n");
        let (loaded, laid) = laid_out(&text);
        let (roof, layout) = (&loaded.job.roofs[0], &laid.take_off.roofs[0]);
        let board = loaded.products.boards.get(key);
        let left = wetout::takeoff::layout::falls::upstand_left(&layout.shape, roof, &loaded.rules, board, 2).unwrap();
        let up = wetout::takeoff::layout::falls::comes_up(&layout.shape, roof, &loaded.rules, board).1;
        (left.as_mm(), up.as_mm())
    };
    // By hand, 600 mm surveyed and a new board of 18 mm; nobody says how thick the old ones are, or that there are none: both count all
    // of it, so that what is left and what the roof comes up make what was surveyed.
    assert_eq!(of("", "osb3-18"), (600 - 18, 18));
    assert_eq!(of(", boards: none", "osb3-18"), (600 - 18, 18));
    assert_eq!(of(", boards: 18 mm", "osb3-18"), (600, 0));
    assert_eq!(of(", boards: 12 mm", "osb3-18"), (600 - 6, 6));
    assert_eq!(of(", boards: 22 mm", "osb3-18"), (600 + 4, -4));
}

// ---- Toe, joints, noggins, the last joist, spare boards ---------------------------------------------------------------

/// The price book with no firring, or no noggin, longer than so.
fn laid_with(text: &str, role: &str, longest: i64) -> Result<wetout::takeoff::TakeOff, Vec<Problem>> {
    let loaded = load(&asked(text)).unwrap();
    let mut products = loaded.products.clone();
    products.longest.insert(wetout::model::Role::parse(role).unwrap(), mm(longest));
    wetout::takeoff::take_off(&loaded.job, &loaded.rules, &products)
}

/// By hand, 3.0 m at 1:40: 0 to 75 mm, and the toe of 6 mm under all of it.
#[test]
fn a_tapered_firring_keeps_its_toe_and_all_the_roof_comes_up_by_it() {
    let laid = laid_out(&lean_to("", "", "")).1.take_off;
    let sizes: Vec<_> = laid.roofs[0].firrings.iter().map(|f| (f.low_depth, f.high_depth)).collect();
    assert!(sizes.iter().all(|s| *s == (mm(6), mm(81))), "{sizes:?}");
    let line = laid.lines.iter().find(|l| l.id == "firring.length").unwrap();
    assert!(format!("{:?}", line.working).contains("all are 6 mm deeper than that"), "{:?}", line.working);
}

/// By hand, joists across the fall at 400 mm and 1:80: each next one is 5 mm deeper, and the one at 400 mm wants less than one takes.
/// Two side by side under one size would leave a bay without any fall.
#[test]
fn every_joist_across_the_fall_takes_a_firring_of_its_own_depth() {
    let text = falling("    fall: 1:80\n", "").replace("run: front to back", "run: left to right");
    let text = text.replace("width: 6.0 m", "width: 4.4 m");
    let (_, laid) = laid_out(&text);
    let level: Vec<_> =
        laid.take_off.roofs[0].firrings.iter().map(|f| (f.from.y, f.low_depth.as_mm(), f.high_depth.as_mm())).collect();
    assert_eq!(level, [(800, 10, 10), (1200, 15, 15), (1600, 20, 20), (2000, 25, 25), (2400, 30, 30), (2800, 35, 35)]);
    let method = words(&demo::work(&asked(&text)), DocumentKind::Method);
    assert!(method.contains("Joist 2 takes packers of 5 mm"), "{method}");
}

/// By hand: 3000 in lengths of 1400 at most is three parts of 1000, which meet at 6 + 25 and 6 + 50 mm.
#[test]
fn a_firring_longer_than_what_is_sold_is_jointed_and_it_is_said() {
    let laid = laid_with(&lean_to("", "", ""), "timber.firring", 1400).unwrap();
    let one: Vec<_> = laid.roofs[0].firrings.iter().filter(|f| f.from.x == 400).collect();
    let parts: Vec<_> = one.iter().map(|f| (f.from.y, f.to.y, f.low_depth, f.high_depth, f.part)).collect();
    let wanted = [(0, 1000, 6, 31, (1, 3)), (1000, 2000, 31, 56, (2, 3)), (2000, 3000, 56, 81, (3, 3))];
    assert_eq!(parts, wanted.map(|(a, b, low, high, part)| (a, b, mm(low), mm(high), part)));
    let line = laid.lines.iter().find(|l| l.id == "firring.length").unwrap();
    assert!(format!("{:?}", line.working).contains("joints, because none so long is sold"), "{:?}", line.working);
    let captions: Vec<String> =
        wetout::documents::drawings::firrings::draw(&laid.roofs[..1]).into_iter().map(|f| f.caption).collect();
    assert!(captions.iter().all(|c| c.contains("The parts of one joist butt on it")), "{captions:?}");
}

/// 6.0 m of joists at 400 mm end on the right edge; at 6.1 m the edge stands 100 mm beyond the last and takes a noggin of 3 m.
fn odd_width(joists: &str) -> String {
    lean_to("", "", "").replace("width: 6.0 m", "width: 6.1 m").replace("spacing: 400 mm", joists)
}

#[test]
fn a_last_joist_that_does_not_fit_the_spacing_carries_its_edge() {
    let noggins = |joists: &str| laid_out(&odd_width(joists)).1.take_off.roofs[0].deck.clone().unwrap();
    let (without, with) = (noggins("spacing: 400 mm"), noggins("spacing: 400 mm, last: 6.1 m"));
    let along_right = |deck: &wetout::takeoff::layout::DeckLayout| {
        deck.noggins.iter().filter(|(a, b)| a.x == 6100 && b.x == 6100).count()
    };
    assert_eq!((along_right(&without), along_right(&with)), (1, 0));
    assert_eq!(with.joists.len(), without.joists.len() + 1);
    assert!(with.joists.iter().any(|(a, b)| a.x == 6100 && b.x == 6100));
    let firrings = |joists: &str| laid_out(&odd_width(joists)).1.take_off.roofs[0].firrings.len();
    assert_eq!(firrings("spacing: 400 mm, last: 6.1 m"), firrings("spacing: 400 mm") + 1);
    assert_eq!(with.boards, without.boards);
}

#[test]
fn a_last_joist_that_cannot_be_is_a_problem_with_a_cure() {
    for (last, words) in [
        ("6.4 m", "the last joist lies 6400 mm in, and the roof ends 6100 mm in"),
        ("5.9 m", "the last joist lies 5900 mm in, and at the spacing one lies beyond it, 6000 mm in"),
    ] {
        let found = told(&odd_width(&format!("spacing: 400 mm, last: {last}")), "roofs[0].joists.last");
        assert!(found.iter().any(|p| p.fault == words && p.cure.contains("6000 mm in")), "{last}: {found:#?}");
    }
}

/// By hand: a noggin of 3000 less the 25 mm gap at the wall in lengths of 1600 is two parts, and where they meet one of 100 from
/// the joist at 6000 bears both.
#[test]
fn a_noggin_longer_than_what_is_sold_is_jointed_over_a_short_one_from_the_nearest_joist() {
    let deck = laid_with(&odd_width("spacing: 400 mm"), "timber.noggin", 1600).unwrap().roofs[0].deck.clone().unwrap();
    let long = |(a, b): &&(wetout::model::Point, wetout::model::Point)| a.x == 6100 && b.x == 6100;
    let parts: Vec<i64> = deck.noggins.iter().filter(long).map(|(a, b)| (b.y - a.y).abs()).collect();
    assert_eq!(parts.len(), 2, "{:?}", deck.noggins);
    assert!(parts.iter().sum::<i64>() == 2975 && parts.iter().all(|p| *p <= 1600), "{parts:?}");
    let short = |(a, b): &&(wetout::model::Point, wetout::model::Point)| (a.x, b.x) == (6000, 6100) && a.y == b.y;
    let inner = deck.noggins.iter().filter(short).filter(|(a, _)| a.y > 0 && a.y < 2975).count();
    assert_eq!(inner, 1, "{:?}", deck.noggins);
    let whole = laid_with(&odd_width("spacing: 400 mm"), "timber.noggin", 3600).unwrap();
    assert_eq!(whole.roofs[0].deck.as_ref().unwrap().noggins.len() + 2, deck.noggins.len());
    // Nothing of 50 mm reaches from a joist to the edge.
    let refused = laid_with(&odd_width("spacing: 400 mm"), "timber.noggin", 50).unwrap_err();
    assert!(refused[0].fault.contains("takes a noggin of 400 mm, the longest sold is 50 mm"), "{refused:?}");
}

/// By hand: 18 joist spaces of 500 at the front and at the back are 36 noggins, 18 m, five lengths of 3.6 m to the
/// millimetre; but a length gives seven, so that six are bought. With lengths of 4 m, which give eight, it is five.
#[test]
fn noggins_are_bought_by_what_a_length_gives() {
    let nine =
        lean_to("", "", "").replace("width: 6.0 m", "width: 9.0 m").replace("spacing: 400 mm", "spacing: 500 mm");
    let loaded = load(&asked(&nine)).unwrap();
    let needed = |stock: Option<i64>| {
        let noggins = stock.map(|mm| vec![Stock { length: Length::mm(mm), pence: None }]);
        let products = Products { noggins, ..loaded.products.clone() };
        let laid = wetout::takeoff::take_off(&loaded.job, &loaded.rules, &products).unwrap();
        let of = |need: &&Need| need.role == Role::Noggin;
        let [need] = laid.needs.iter().filter(of).collect::<Vec<_>>()[..] else { panic!("{:?}", laid.needs) };
        (need.size.map(Length::as_mm), need.quantity.normalize().to_string())
    };
    assert_eq!(needed(None), (None, "18".into()));
    assert_eq!(needed(Some(3600)), (Some(3600), "21.6".into()));
    assert_eq!(needed(Some(4000)), (Some(4000), "20".into()));
}

/// Every noggin is a dark bar inside the deck, which no outline covers and which no grey printer takes for a board. One that no joist
/// bears is an open bar, and the key says that a joist is wanted there.
#[test]
fn every_noggin_is_a_dark_bar_on_the_deck_plan() {
    use wetout::checks::boards::hanging;
    use wetout::documents::drawings::{Space, deck_plan};
    use wetout::pages::scene::{Ink, Mark};
    let mut bare = 0;
    for name in demo::names() {
        let demo = demo::work(&demo::request(&name));
        for roof in &demo.take_off.roofs {
            let (Some(deck), Some(plan)) = (&roof.deck, deck_plan::draw(roof, Space::PAGE)) else { continue };
            let dark = |m: &&Mark| matches!(m, Mark::Area { fill: Some(Ink::Grey(g)), .. } if *g < 0.5);
            let open =
                |m: &&Mark| matches!(m, Mark::Area { fill: Some(Ink::White), pen: Some(p), .. } if p.dash.is_some());
            let hangs = hanging(&roof.shape, deck);
            let hanging = deck.noggins.iter().filter(|noggin| hangs(**noggin)).count();
            let borne = deck.noggins.len() - hanging;
            let marks = &plan.scene.marks;
            let drawn = (marks.iter().filter(dark).count(), marks.iter().filter(open).count());
            assert_eq!(drawn, (borne, hanging), "{name}, {}", roof.shape.name);
            let says = |words: &str| marks.iter().any(|m| matches!(m, Mark::Text { text, .. } if text.contains(words)));
            assert_eq!(says("Dark bars: noggins"), borne > 0, "{name}");
            assert_eq!(says("Open bars: no joist lies there"), hanging > 0, "{name}");
            bare += hanging;
        }
    }
    // One of the balcony, three of the garage, one of the roof behind a parapet.
    assert_eq!(bare, 5);
}

#[test]
fn a_board_of_each_kind_is_ordered_over_what_is_laid() {
    let spare = |boards: u32| {
        let loaded = load(&asked(&lean_to("", "", ""))).unwrap();
        let rules = wetout::model::Rules { spare_boards: boards, ..loaded.rules.clone() };
        wetout::takeoff::take_off(&loaded.job, &rules, &loaded.products).unwrap()
    };
    let bought = |laid: &wetout::takeoff::TakeOff| {
        laid.needs.iter().filter(|n| n.role == "board.osb3-18").map(|n| n.quantity).sum::<rust_decimal::Decimal>()
    };
    let laid = spare(0);
    let boards = rust_decimal::Decimal::from(laid.roofs[0].deck.as_ref().unwrap().boards);
    assert_eq!(bought(&laid), boards);
    assert!(laid.lines.iter().all(|l| l.id != "boards.spare"));
    for n in [1, 3] {
        let laid = spare(n);
        assert_eq!(bought(&laid), boards + rust_decimal::Decimal::from(n));
        let line = laid.lines.iter().find(|l| l.id == "boards.spare").unwrap();
        assert!(format!("{:?}", line.working).contains("spare_boards"), "{:?}", line.working);
    }
    // A porch of 0.9 × 0.5 m comes out of one board, whose rest is 1.5 m long: it gives the piece again.
    let porch = include_str!("big_jobs/tiny-roof.yaml");
    for (n, boards) in [(1, 1), (2, 2)] {
        let (_, laid) = laid_out(&format!("{porch}rules: {{spare_boards: {n}}}\n"));
        assert_eq!(bought(&laid.take_off), rust_decimal::Decimal::from(boards));
    }
}

/// What holds deep firrings upright is counted anew: along each joist, what lies deeper than the rule is nowhere further from a
/// noggin at either side, or from its deep end, than the rule says; and it is bought with the noggins, and told.
#[test]
fn deep_firrings_are_blocked_by_rows_no_further_apart_than_the_rule() {
    let hall = crate::demo::work(&asked(include_str!("big_jobs/tiny-beside-large.yaml")));
    let (rules, roof) = (&hall.loaded.rules, &hall.take_off.roofs[0]);
    let deck = roof.deck.as_ref().unwrap();
    // 8.8 m at 1:40 and a toe: 150 mm are passed 5.76 m up, so that 3 m of each firring are deep: rows at 1.2 and 2.4 m from the wall.
    let (fall, toe) = (40.0, rules.firring_toe.as_mm() as f64);
    let deep_from = (rules.firring_block.as_mm() as f64 - toe) * fall;
    let mut looked_at = 0;
    for f in roof.firrings.iter().filter(|f| f.to.y as f64 > deep_from) {
        let held = |n: &(Point, Point)| n.0.x == f.to.x || n.1.x == f.to.x;
        let mut at: Vec<i64> = deck.noggins.iter().filter(|n| held(n)).map(|n| n.0.y).collect();
        at.push(deep_from as i64);
        at.retain(|y| *y as f64 >= deep_from - 1.0);
        at.sort_unstable();
        let top = deck.joists.iter().map(|j| j.0.y.max(j.1.y)).max().unwrap();
        let gaps = at.windows(2).map(|pair| pair[1] - pair[0]);
        assert!(gaps.max().unwrap() <= rules.firring_block_spacing.as_mm(), "joist at {}: {at:?}", f.to.x);
        assert!(top - at.last().unwrap() <= rules.firring_block_spacing.as_mm(), "joist at {}: {at:?}", f.to.x);
        looked_at += 1;
    }
    assert!(looked_at > 30, "{looked_at}");
    let without = include_str!("big_jobs/tiny-beside-large.yaml").to_owned() + "\nrules: {firring_block: 600 mm}\n";
    let without = crate::demo::work(&asked(&without));
    let noggins = |demo: &crate::demo::Demo| {
        let lines = demo.take_off.lines.iter().filter(|l| l.id == "deck.noggins");
        lines.map(|l| l.quantity).sum::<rust_decimal::Decimal>()
    };
    // Two rows of a space between every two of the joists.
    let rows = rust_decimal::Decimal::from(2 * 13_600) / rust_decimal::Decimal::ONE_THOUSAND;
    assert!((noggins(&hall) - noggins(&without) - rows).abs() < rust_decimal::Decimal::ONE, "{}", noggins(&hall));
    // Its metres take the hours of firrings; `firring_block` leaves those as they are.
    let hours = |demo: &crate::demo::Demo| {
        let parts = demo.programme.work.iter().flat_map(|w| &w.parts);
        parts.filter(|p| p.work == WorkKind::Firrings).map(|p| p.hours).sum::<rust_decimal::Decimal>()
    };
    assert_eq!(hours(&hall) - hours(&without), (noggins(&hall) - noggins(&without)) * rules.hours_firrings);
    assert!(hall.pricing.total > without.pricing.total);
    assert!(words(&hall, DocumentKind::Method).contains("Rows between firrings deeper than 150 mm hold them upright"));
    assert!(!words(&without, DocumentKind::Method).contains("hold them upright"));
}

/// By hand, 3 m and a toe of 6 mm: 81 mm of firring at 1:40, 156 at 1:20.
#[test]
fn firrings_so_deep_that_they_are_blocked_are_told() {
    let told = |fall: &str| -> Vec<String> {
        let (_, laid) = laid_out(&falling(&format!("    fall: {fall}\n"), ""));
        laid.notices().map(|p| p.fault.clone()).filter(|fault| fault.contains("the deepest firring")).collect()
    };
    assert_eq!(told("1:40"), Vec::<String>::new());
    let steep = told("1:20");
    assert!(steep.len() == 1 && steep[0].starts_with("the deepest firring is 156 mm, over 150 mm"), "{steep:?}");
}

/// Joists 5 m long take firrings in two parts, those of 3 m in one: only the first roof has a list, and it says whose it is.
#[test]
fn a_list_of_firrings_names_its_roof_as_soon_as_the_job_has_two() {
    let one = lean_to("", "", "").replace("depth: 3.0 m", "depth: 5.0 m");
    let (head, roof) = one.split_once("roofs:\n").unwrap();
    let other = roof.replace("name: Lean-to", "name: Porch").replace("depth: 5.0 m", "depth: 3.0 m");
    let list = |text: &str| {
        let [_, method] = documents(&crate::demo::work(&asked(text)));
        let list = method.split("Which joist takes which").nth(1).unwrap().to_owned();
        list.split("\n2500\n").next().unwrap().to_owned()
    };
    assert!(!list(&one).contains("Lean-to"), "{}", list(&one));
    let both = list(&format!("{head}roofs:\n{roof}{other}"));
    assert!(both.contains("Lean-to") && !both.contains("Porch"), "{both}");
}
