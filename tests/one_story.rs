//! What the crew's set says of one thing in two places is the same: the order of strips, the size of pots, how long a new
//! roof is kept off, when the topcoat may follow, marks that mean one thing.

use crate::demo::{self, Demo};
use crate::drawings::text_of;
use crate::support::{asked, lean_to};
use crate::works::every_job;
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use time::{Date, Duration};
use wetout::documents::method::{self, MethodPart, day_card};
use wetout::documents::quote;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::Words;
use wetout::documents::{Overrides, order};
use wetout::model::shape::DeckAction;
use wetout::model::{Mass, Range, Rules};
use wetout::pages::block::Block;
use wetout::programme::mix;
use wetout::takeoff::layout::{Firring, MatPiece};
use wetout::works::WorkKind;

fn job(text: &str) -> Demo {
    demo::work(&asked(text))
}

fn words() -> Words {
    Words::new(&Overrides::default()).unwrap()
}

fn crew(job: &Demo) -> String {
    text_of(&method::part(MethodPart::Crew, &job.worked(), &words()).unwrap())
}

/// The letters of a strip's pieces rise in the order in which they are laid, which is that of the pots; and where a number
/// comes before a lower one the plan sends the crew to the list.
#[test]
fn strips_are_lettered_in_the_order_of_laying_and_a_plan_says_where_its_numbers_do_not_tell_it() {
    let (mut in_pieces, mut by_list, mut by_pots) = (0, 0, 0);
    for (name, job) in every_job() {
        let mut listed = Vec::new();
        for roof in &job.take_off.roofs {
            let layers = roof.mat.pieces.iter().map(|p| p.layer).max().map_or(0, |l| l + 1);
            for layer in 0..layers {
                let mut laid: Vec<&MatPiece> = roof.mat.pieces.iter().filter(|p| p.layer == layer).collect();
                laid.sort_by_key(|p| p.order);
                let strips: BTreeSet<usize> = laid.iter().map(|p| p.strip).collect();
                for strip in strips {
                    let marks: Vec<&str> = laid.iter().filter(|p| p.strip == strip).map(|p| p.mark.as_str()).collect();
                    assert!(marks.is_sorted(), "{name}, {}: {marks:?}", roof.shape.name);
                    in_pieces += usize::from(marks.len() > 1);
                }
                let numbers: Vec<usize> = laid.iter().map(|p| p.strip).collect();
                listed.push(!numbers.is_sorted());
            }
        }
        let text = crew(&job);
        let told = |words: &str| text.matches(words).count();
        let lists = listed.iter().filter(|l| **l).count();
        // Layers that are laid day by day on one another follow the pots.
        let pots = told("Lay in the order of the pots.");
        let by_number = told("Lay in the order of the bold numbers.");
        assert_eq!(told("Lay in the order of the list of strips.") + by_number + pots, listed.len(), "{name}");
        assert!(pots > 0 || by_number == listed.len() - lists, "{name}");
        by_pots += pots;
        by_list += lists;
    }
    assert!(
        in_pieces > 10 && by_list > 2 && by_pots > 0,
        "{in_pieces} in pieces, {by_list} by the list, {by_pots} by pots"
    );
}

/// The pots are no larger than the row of the card that the stated air touches, and the words name no other size.
#[test]
fn the_pots_the_card_and_the_words_have_one_limit() {
    for (name, job) in every_job() {
        let (Some(plan), text) = (&job.programme.pots, crew(&job)) else { continue };
        let touched = job.programme.mix.iter().filter(|row| plan.doses.iter().any(|dose| dose.from == row.from));
        let least: Option<Mass> = touched.map(|row| row.pot).min();
        assert_eq!(Some(plan.size), least, "{name}");
        let size = format!("{} kg", plan.size.as_kg().normalize());
        for limit in text.split("ots of ").skip(1).filter(|rest| rest.contains(" at most")) {
            let said = limit.split(" at most").next().unwrap_or_default();
            assert!(said.len() > 12 || said == size, "{name}: pots of {said}, planned with {size}");
        }
    }
}

/// What the firm's limits forbid stands neither on the card nor in the pots.
#[test]
fn a_temperature_that_the_firm_forbids_is_offered_nowhere() {
    let rules = Rules { air_stop: Decimal::TEN, air_hot: Decimal::from(25), ..Rules::default() };
    let card = mix::card(&rules, Decimal::new(115, 2), Some(Range { low: Decimal::from(7), high: Decimal::from(12) }));
    let from: Vec<Decimal> = card.iter().map(|row| row.from).collect();
    assert_eq!(from, [10, 15, 20].map(Decimal::from));
    for (name, job) in every_job() {
        let text = crew(&job);
        assert!(!text.contains("wait for a warmer day") || text.contains("catalyst of that row"), "{name}");
    }
}

/// The topcoat's pots say which colour is for which roof.
#[test]
fn each_roof_of_several_colours_is_named_with_its_own_in_the_pots() {
    let twelve = job(include_str!("big_jobs/twelve-roofs.yaml"));
    let text = crew(&twelve);
    for roof in &twelve.loaded.job.roofs {
        let named = format!("{}, {}, ", twelve.worked().short_name(&roof.name), roof.topcoat.colour);
        assert!(text.contains(&named), "{named}");
    }
}

/// A firring of one depth is called level; how two depths are read stands only where there are two.
#[test]
fn level_firrings_are_ordered_as_such() {
    let (mut level, mut tapered) = (0, 0);
    for (name, job) in every_job() {
        let firrings: Vec<_> = job.take_off.roofs.iter().flat_map(|roof| &roof.firrings).collect();
        let [are_level, fall] = [true, false].map(|is| firrings.iter().any(|f| (f.low_depth == f.high_depth) == is));
        let worked = job.worked();
        let orders = OrderView::all(&worked);
        let text: String = orders.iter().map(|view| text_of(&order::document(view, &words()).unwrap())).collect();
        assert_eq!(text.contains("two depths: low end to high"), fall, "{name}");
        let text = text.replace('\u{a0}', " ");
        let told = |f: &&Firring| text.contains(&format!("{} × {} level", f.length.as_mm(), f.high_depth.as_mm()));
        assert!(firrings.iter().all(|f| told(f) == (f.low_depth == f.high_depth)), "{name}: {text}");
        (level, tapered) = (level + usize::from(are_level), tapered + usize::from(fall));
        for (roof, laid) in job.loaded.job.roofs.iter().zip(&job.take_off.roofs) {
            let flat = laid.firrings.iter().filter(|f| f.low_depth == f.high_depth).count();
            let both = flat > 0 && flat < laid.firrings.len();
            let told = format!("firrings to cut, and {flat} level");
            assert!(!both || crew(&job).contains(&told), "{name}, {}: {told}", roof.name);
        }
    }
    assert!(level > 0 && tapered > 0);
}

/// The householder reads where the ladder is to stand.
#[test]
fn a_ladder_point_is_told_with_its_place_in_the_quote() {
    let job = demo::work(&demo::request("kitchen-extension"));
    let text = text_of(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Ladder point: on the left, 0.60 m from the back."), "{text}");
}

/// Who signs for the topcoat writes down the batch of each colour.
#[test]
fn each_colour_has_a_place_for_its_batch() {
    for (name, job) in every_job() {
        let text = crew(&job);
        let roofs = job.loaded.job.roofs.iter().map(|roof| roof.topcoat.colour.as_str());
        let new: BTreeSet<&str> = roofs.collect();
        for colour in &new {
            assert_eq!(text.contains(&format!("Batch, {colour}")), new.len() > 1, "{name}: {colour}");
        }
    }
}

/// The log of the weather has three rows for each day on which resin is mixed.
#[test]
fn the_log_of_the_weather_is_long_enough() {
    let mut longest = 0;
    for (name, job) in every_job() {
        let table = log_rows(&method::part(MethodPart::Crew, &job.worked(), &words()).unwrap().blocks);
        let is_wet = |i: &usize| job.programme.work[*i].operation.mixes();
        let days = job.programme.days.iter().filter(|day| day.work.iter().any(|(i, _)| is_wet(i))).count();
        assert!(table >= 3 * days, "{name}: {table} for {days} days");
        longest = longest.max(days);
    }
    assert!(longest > 10, "{longest}");
}

/// So many rows has the log of the weather, wherever it stands.
fn log_rows(blocks: &[Block]) -> usize {
    let of = |block: &Block| match block {
        Block::Table(table) if table.columns.iter().any(|column| column.heading == "Day, time") => table.rows.len(),
        Block::Sheet(blocks)
        | Block::Leaf(blocks)
        | Block::Card(blocks)
        | Block::Keep(blocks)
        | Block::Small(blocks) => log_rows(blocks),
        _ => 0,
    };
    blocks.iter().map(of).sum()
}

/// Nobody counts fifteen boxes in one row.
#[test]
fn a_long_run_of_pots_stands_in_rows_of_five() {
    let text = crew(&job(include_str!("jobs_for_sweep/hall.yaml")));
    assert!(text.contains("parts 1 to 5 of 9") && text.contains("parts 6 to 9 of 9"), "{text}");
    assert!(!text.contains(&["☐"; 6].join(" ")));
}

/// A topcoat on the day of its laminate waits for the cure, in the words of the chart and on the card of that day.
#[test]
fn a_topcoat_on_the_day_of_its_laminate_is_told_when_it_may_begin() {
    // Without the hours of its blocking all of it is done on one day.
    let skew = job(&include_str!("jobs_for_sweep/skew.yaml").replace("firring_block: 10 mm", "firring_block: 600 mm"));
    let hours = skew.loaded.rules.cure_hours.normalize();
    let wait = format!("not before {hours} hours after the last strip");
    assert!(crew(&skew).contains(&format!("Day 1: topcoat {wait}.")));
    let card = text_of(&day_card::document(&skew.programme.days[0], &skew.worked(), &words()).unwrap());
    assert!(card.contains(&wait), "{card}");
    let kitchen = demo::work(&demo::request("kitchen-extension"));
    assert!(!crew(&kitchen).contains("hours after the last strip"));
}

/// A rough surface is kept off no shorter than any new roof is.
#[test]
fn a_new_roof_is_kept_off_for_one_time() {
    let keep_off = wetout::facts::named("keep_off").unwrap();
    let least = wetout::documents::wording::hours_or_days(Rules::default().walk_on_hours);
    assert_eq!(least, keep_off.value);
    let text = crew(&demo::work(&demo::request("balcony")));
    assert!(text.contains(&format!("Nobody on it for {least}")) && text.contains(&format!("no walking for {least}")));
    assert!(!text.contains("24 hours"), "{text}");
}

/// Noggins are taken up once, and a lining is no patch.
#[test]
fn a_material_and_a_mark_stand_for_one_thing() {
    let kitchen = crew(&demo::work(&demo::request("kitchen-extension")));
    assert_eq!(kitchen.matches("Noggins 47").count(), 1);
    let mut linings = 0;
    for (name, job) in every_job() {
        let roofs = &job.take_off.roofs;
        let boards: Vec<&str> =
            roofs.iter().flat_map(|r| &r.parapets).flat_map(|l| &l.boards).map(|b| b.mark.as_str()).collect();
        let marks: BTreeSet<&str> = boards.iter().copied().collect();
        assert_eq!(marks.len(), boards.len(), "{name}: {boards:?}");
        let patches = job.take_off.old_roofs.iter().flat_map(|r| &r.patches);
        assert!(patches.clone().all(|p| !marks.contains(p.mark.as_str())), "{name}");
        let runs = job.take_off.profiles.iter().flat_map(|plan| &plan.runs);
        let trims: Vec<&str> = runs.flat_map(|run| &run.pieces).map(|piece| piece.mark.as_str()).collect();
        assert!(trims.iter().all(|mark| !marks.contains(mark)), "{name}: {trims:?} and {boards:?}");
        assert_eq!(trims.iter().collect::<BTreeSet<_>>().len(), trims.len(), "{name}: {trims:?}");
        linings += boards.len();
        assert!(boards.iter().all(|mark| mark.starts_with('L')), "{name}: {boards:?}");
    }
    assert!(linings > 10, "{linings}");
}

/// The chart asks what is done, not how it is called.
#[test]
fn an_old_covering_comes_off_where_it_is_among_the_works() {
    for (name, job) in every_job() {
        let works = &job.take_off.works;
        let strips = works.has(WorkKind::Strip) || works.has(WorkKind::StripBoards);
        let timetable = job.programme.timetable();
        assert_eq!(timetable.tasks.iter().any(|task| task.strips), strips, "{name}");
    }
}

/// Boards that run up the fall begin at a side, not at the low edge.
#[test]
fn the_first_row_of_a_deck_is_told_where_it_lies() {
    let garage = crew(&demo::work(&demo::request("garage-utility")));
    assert!(garage.contains("Row 1 at the left, looking up the fall."), "{garage}");
    assert!(crew(&demo::work(&demo::request("kitchen-extension"))).contains("Row 1 at the low edge."));
}

/// The time for cancelling runs from the acceptance or from the day on which the order says that the last of the goods come,
/// whichever is later.
#[test]
fn the_quote_counts_the_time_for_cancelling_from_the_day_of_the_order() {
    let (mut from_goods, mut by_day) = (0, 0);
    for (name, job) in every_job() {
        let worked = job.worked();
        let quote = text_of(&quote::document(&QuoteView::of(&worked), &words()).unwrap());
        let order = orders(&job);
        let Some((_, rest)) = quote.split_once("start when that time is over") else { continue };
        // Loads that come as days of the work want them come later where it begins later: no day is known.
        if quote.contains("without it we have everything delivered first and start when that time is over") {
            assert!(order.contains("before day ") && !rest.starts_with(", by this plan"), "{name}");
            by_day += 1;
            continue;
        }
        let day = rest.strip_prefix(", by this plan after ").and_then(|rest| rest.split('.').next()).unwrap();
        let accepted = job.loaded.job.valid_until();
        let later = (0..200).map(|n| accepted + Duration::days(n));
        let runs_from = later.clone().find(|from| day == date(*from + Duration::days(14))).unwrap();
        assert!(runs_from == accepted || order.contains(&date(runs_from)), "{name}: {day}");
        from_goods += usize::from(runs_from != accepted);
    }
    assert!(from_goods > 0 && by_day > 0, "{from_goods}, {by_day}");
}

/// Days of the week between two days on site are a break, a weekend is none: by hand over the calendar.
#[test]
fn a_chart_calls_a_day_a_return_where_working_days_were_left_out_before_it() {
    let weekday = |day: &Date| !matches!(day.weekday(), time::Weekday::Saturday | time::Weekday::Sunday);
    let (mut returns, mut none) = (0, 0);
    for (name, job) in every_job() {
        let days: Vec<(u32, Date)> =
            job.programme.days.iter().filter_map(|day| Some((day.number, day.date?))).collect();
        if days.len() < job.programme.days.len() {
            continue;
        }
        let between =
            |a: Date, b: Date| std::iter::successors(a.next_day(), |d| d.next_day()).take_while(move |d| *d < b);
        let left_out = |pair: &&[(u32, Date)]| between(pair[0].1, pair[1].1).filter(weekday).count() > 0;
        let wanted: Vec<String> = days.windows(2).filter(left_out).map(|pair| pair[1].0.to_string()).collect();
        let caption = wetout::documents::drawings::day_chart::in_words(&job.programme.timetable());
        match wanted.as_slice() {
            [] => assert!(!caption.contains("return"), "{name}: {caption}"),
            [day] => assert!(caption.contains(&format!("Day {day} is a return visit: ")), "{name}: {caption}"),
            many => assert!(caption.contains(&format!("Days {}", many[0])), "{name}: {caption}"),
        }
        returns += usize::from(!wanted.is_empty());
        none += usize::from(wanted.is_empty());
    }
    assert!(returns > 0 && none > 3, "{returns}, {none}");
}

/// Where no dates show the days between two visits, words and chart do: the second visit stands off, and why is said.
#[test]
fn a_second_visit_without_dates_is_told_with_the_days_before_it() {
    let mut told = 0;
    for (name, job) in every_job() {
        let timetable = job.programme.timetable();
        let returns = timetable.days.iter().filter(|day| timetable.is_return(day.number)).count();
        let undated = timetable.days.iter().all(|day| day.date.is_none());
        let caption = wetout::documents::drawings::day_chart::in_words(&timetable);
        let said = caption.contains("return visit: some days lie before it, in which the glass fibre grows hard");
        assert_eq!(said, undated && returns > 0, "{name}: {caption}");
        told += usize::from(said);
    }
    assert!(told >= 2, "dormer and parapet: {told}");
}

/// What the job says of hours goes before what every order says.
#[test]
fn the_hours_of_delivery_give_way_to_what_the_job_says_of_them() {
    for (name, job) in every_job() {
        let said = orders(&job).replace('\u{a0}', " ");
        let noted = job.loaded.job.delivery.note.is_some();
        assert!(
            said.contains(if noted { "Hours, if none are named: between 8 and 4" } else { " Between 8 and 4" }),
            "{name}"
        );
    }
}

/// Options that exclude each other have a box each; the page that is signed says that one is ticked.
#[test]
fn the_page_that_is_signed_says_that_of_options_that_exclude_each_other_one_is_taken() {
    let mut bound = 0;
    for (name, job) in every_job() {
        let quote = text_of(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap());
        let excludes = job.pricing.options.iter().any(|option| !option.excludes.is_empty());
        assert_eq!(quote.contains("only one of options that exclude each other"), excludes, "{name}");
        bound += usize::from(excludes);
    }
    assert!(bound > 0);
}

/// The words of all orders of a job.
pub fn orders(job: &Demo) -> String {
    let worked = job.worked();
    OrderView::all(&worked).iter().map(|order| text_of(&order::document(order, &words()).unwrap())).collect()
}

/// As it is written: `5 March 2027`.
fn date(day: Date) -> String {
    format!("{} {} {}", day.day(), day.month(), day.year())
}

/// Roofs that are measured again have a row each for it, under one heading, and one alone a box.
#[test]
fn each_of_several_roofs_has_a_row_for_its_sides_and_diagonals() {
    let (mut of_one, mut of_several) = (0, 0);
    for (name, job) in every_job().into_iter().filter(|(_, job)| !job.take_off.roofs.is_empty()) {
        let text = crew(&job);
        let Some((_, after)) = text.split_once("Measured again") else { continue };
        let roofs = &job.take_off.roofs;
        if roofs.len() == 1 {
            assert!(after.starts_with(": sides and diagonals"), "{name}: {}", &after[..60]);
            of_one += 1;
            continue;
        }
        let (lines, _) = after.split_once("Limits.").unwrap();
        for roof in roofs {
            assert!(lines.contains(&roof.shape.name), "{name}, {}: {lines}", roof.shape.name);
        }
        assert_eq!(lines.matches("Sides, mm").count(), 1, "{name}: {lines}");
        of_several += 1;
    }
    assert!(of_one > 2 && of_several > 1, "{of_one}, {of_several}");
}

/// What is ticked can be true: joists as they lie, openings as they are, the age of a house as it is known, a roof that stops as it is
/// found.
#[test]
fn every_tick_and_check_of_a_demo_job_can_be_true() {
    let method = |name: &str| {
        crate::falls::words(&crate::demo::work(&crate::demo::request(name)), wetout::documents::DocumentKind::Method)
    };
    let [garage, kitchen, neighbours, bay] = ["garage-utility", "kitchen-extension", "neighbours", "bay"].map(method);
    let level = "Each joist level from end to end, the next one up the roof higher, 1:80 at least.";
    let falling = "By the level, every joist falls 1:80 or more to the low edge.";
    assert!(garage.contains(level) && !garage.contains(falling), "{garage}");
    assert!(kitchen.contains(falling) && !kitchen.contains(level), "{kitchen}");
    assert!(garage.contains("Edges guarded until “Finished, edges may come down” is signed"), "{garage}");
    assert!(bay.contains("Age not known, taken as before 2000; asbestos answered “no”."), "{bay}");
    // The rooflight of the new extension is cut while the deck is made ready, and only its roof stops half way.
    let cut = "Fragile: rooflight (No. 14), cut now: boarded over, fixed, marked HOLE BELOW.";
    assert!(neighbours.contains(cut) && neighbours.matches("Fragile: ").count() == 1, "{neighbours}");
    let sheet = "Sheet for the night over all that is bare, over timbers: what lies beyond the line is up to 54 mm below the new roof";
    assert!(neighbours.contains(sheet) && !neighbours.contains("the old covering off for them"), "{neighbours}");
    assert!(neighbours.contains("new flashing in (not at No. 14)"), "{neighbours}");
}

/// A roof of which no strip is closed on the day on which it is opened: nobody is told to open no more than that, and the householder
/// is not promised it.
#[test]
fn what_stays_open_overnight_is_promised_to_nobody_as_closed() {
    let closed = "that we cannot close again the same day";
    let (mut by_day, mut overnight) = (0, 0);
    for (name, job) in crate::works::every_job() {
        let stops = &job.programme.stops;
        let each = !stops.is_empty() && stops.iter().all(|stop| stop.first_day == stop.day);
        let opens = job.programme.warnings.contains(&wetout::programme::SiteWarning::OpenByStrips);
        assert_eq!(opens, each, "{name}");
        if stops.iter().any(|stop| stop.first_day < stop.day) {
            let quote = crate::falls::words(&job, wetout::documents::DocumentKind::Quote);
            assert!(!quote.contains(closed) && quote.contains("lies under a sheet until we go on"), "{name}");
            overnight += 1;
        } else {
            by_day += usize::from(each);
        }
    }
    assert!(by_day > 0 && overnight > 0, "{by_day} {overnight}");
}

/// The measuring cup is as large as its article says: what the card, or a pot of the plan, takes of catalyst goes into it at once.
#[test]
fn the_largest_dose_of_catalyst_goes_into_the_measuring_cup() {
    let book = std::fs::read_to_string("jobs/prices.yaml").unwrap();
    let cup = book.lines().find(|line| line.contains("role: cup.catalyst")).unwrap();
    let holds = cup.split(" ml").next().unwrap().rsplit(' ').next().unwrap();
    let holds: rust_decimal::Decimal = holds.parse().unwrap();
    let mut largest = rust_decimal::Decimal::ZERO;
    for (name, job) in every_job() {
        for row in &job.programme.mix {
            let dose = row.laminate_pot_ml.max(row.topcoat_pot_ml);
            assert!(dose <= holds, "{name}: {row:?}");
            largest = largest.max(dose);
        }
    }
    // A cup of half the size would not do.
    assert!(largest > holds / rust_decimal::Decimal::TWO, "{largest}");
}

/// A skip for one roof alone stands on the road all the same: quote, private sheet and crew ask for its licence; where nothing goes
/// by skip, none of them names one.
#[test]
fn the_licence_of_a_skip_is_asked_for_where_any_roof_needs_one() {
    const ACCESS: &str = "access: {scaffold: no, permits: 45.00, parking: no, render_cutting: no, aerials: no, disturbed_tiles: no, \
                          minimum_charge: no}\n";
    for (own, job, skip) in [
        ("    strip: {covering: felt, tip: skip}\n", "strip: nothing\n", true),
        ("", "strip: {covering: felt, tip: skip}\n", true),
        ("    strip: {covering: felt, tip: van}\n", "strip: nothing\n", false),
    ] {
        let demo = demo::work(&asked(&lean_to("", own, &format!("{job}{ACCESS}"))));
        let [quote, method] = crate::edges::documents(&demo);
        let (with, without) = ("the road or the skip", "licences for the road");
        let priced = &demo.pricing.lines.iter().find(|l| l.label.contains("licences")).unwrap().label;
        let cost = &demo.pricing.costs.iter().find(|c| c.id == "cost.access.permits").unwrap().label;
        for text in [&quote, &method, priced, cost] {
            assert_eq!(text.contains(with), skip, "{own}{job}: {text}");
            assert!(skip || text.contains(without), "{own}{job}: {text}");
        }
    }
}

/// While a roof is open nobody is under it: what the crew ticks before it starts the household has read in the quote, and the log
/// of the weather has a row for every two hours of each day on which resin is mixed.
#[test]
fn the_household_keeps_out_from_under_an_open_roof_and_the_log_has_room_for_a_day() {
    let (mut opened, mut long) = (0, 0);
    for (name, job) in every_job() {
        let quote = text_of(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap());
        // What is stripped, cut through or bare when the crew comes is open until there is a deck, and a patch until it is laid.
        let (roofs, old) = (&job.loaded.job.roofs, &job.loaded.job.old_roofs);
        let opens = [WorkKind::Strip, WorkKind::Trimmers].iter().any(|kind| job.take_off.works.has(*kind))
            || roofs.iter().any(|roof| roof.deck.action == DeckAction::New)
            || old.iter().any(|roof| !roof.patches.is_empty());
        assert_eq!(
            quote.contains("Nobody in the rooms below while the roof is open: we say when, each morning"),
            opens,
            "{name}"
        );
        opened += usize::from(opens);
        let mixes =
            |day: &&wetout::programme::Day| day.work.iter().any(|(i, _)| job.programme.work[*i].operation.mixes());
        let days = job.programme.days.iter().filter(mixes).count();
        let document = method::part(MethodPart::Crew, &job.worked(), &words()).unwrap();
        let log = tables(&document.blocks).into_iter().find(|t| t.columns[0].heading == "Day, time").unwrap();
        assert!(log.rows.len() >= (3 * days).max(6), "{name}: {} for {days} days", log.rows.len());
        long += usize::from(days > 2);
    }
    assert!(opened > 10 && long > 3, "{opened}, {long}");
}

/// All tables of some blocks, those within others too.
fn tables(blocks: &[Block]) -> Vec<&wetout::pages::block::Table> {
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Table(table) => found.push(table),
            other => found.extend(other.within().into_iter().flat_map(tables)),
        }
    }
    found
}

/// Underlay of bitumen is no rubble; a code of waste stays on its line; what may be in the air has a heading for each time.
#[test]
fn the_office_reads_of_old_underlay_under_the_code_of_bitumen_and_of_limits_by_their_times() {
    let office = |name: &str| {
        text_of(&method::part(MethodPart::Office, &demo::work(&demo::request(name)).worked(), &words()).unwrap())
    };
    let dormer = office("dormer");
    assert!(
        dormer.contains("Old underlay, 17 03 02: ") && dormer.contains("Broken tiles or slates, 17 01 07: "),
        "{dormer}"
    );
    assert!(dormer.contains("What may be in the air: over 8 hours; over 15 minutes"), "{dormer}");
    assert!(!office("kitchen-extension").contains("Old underlay"));
}

/// What is loose beyond the patches that were seen has no rate, and the quote does not promise one.
#[test]
fn a_quote_for_patches_promises_no_rate_for_more_of_them() {
    let of = |name: &str| {
        let job = demo::work(&demo::request(name));
        text_of(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap())
    };
    let patches = of("patch-and-coat");
    let told = "Laminate that is loose beyond the patches named: we show you, and agree the price with you first";
    assert!(patches.contains(told) && !patches.contains("loose further on, wet"), "{patches}");
    assert!(!of("kitchen-extension").contains("loose beyond"));
}

/// Of a roof as large as a doormat the whole weight is told: on a square metre its edges weigh more than its face.
#[test]
fn a_very_small_roof_is_weighed_whole() {
    let tiny = job(include_str!("big_jobs/tiny-roof.yaml"));
    let found = tiny.findings.iter().find(|f| f.id == "weight.dead").unwrap();
    assert!(found.statement.starts_with("The new roof weighs about ") && found.statement.contains(" kg in all"));
    let kitchen = demo::work(&demo::request("kitchen-extension"));
    let found = kitchen.findings.iter().find(|f| f.id == "weight.dead").unwrap();
    assert!(found.statement.starts_with("On each square metre the new roof weighs about "), "{}", found.statement);
}

/// Days off between two visits have a reason: the card of the day says it, and the words of the chart.
#[test]
fn a_return_visit_is_told_with_its_reason() {
    let card = |job: &Demo, day: usize| {
        text_of(&day_card::document(&job.programme.days[day - 1], &job.worked(), &words()).unwrap())
    };
    let chart = |job: &Demo| wetout::documents::drawings::day_chart::in_words(&job.programme.timetable());
    let balcony = demo::work(&demo::request("balcony"));
    assert!(card(&balcony, 5).contains("Return visit: the topcoat had to grow hard."), "{}", card(&balcony, 5));
    assert!(!card(&balcony, 4).contains("Return visit"), "{}", card(&balcony, 4));
    assert!(chart(&balcony).contains("Day 5 is a return visit: the topcoat grows hard first."), "{}", chart(&balcony));
    let dormer = demo::work(&demo::request("dormer"));
    let back = dormer.programme.days.iter().find(|day| dormer.programme.timetable().is_return(day.number)).unwrap();
    let said = card(&dormer, back.number as usize);
    assert!(said.contains("Return visit: the laminate had to grow hard."), "{said}");
    // Bank holidays alone, Friday and Monday of Easter 2027, keep the crew away.
    let easter = include_str!("../jobs/kitchen-extension/job.yaml");
    let start = easter.lines().find(|line| line.starts_with("start: ")).unwrap();
    let easter = demo::work(&asked(&easter.replace(start, "start: 2027-03-24")));
    let back = easter.programme.days.iter().find(|day| easter.programme.timetable().is_return(day.number)).unwrap();
    let said = card(&easter, back.number as usize);
    assert!(said.contains("Return visit: nobody works on the days before it."), "{said}");
    for (name, job) in every_job() {
        for day in job.programme.days.iter().filter(|day| job.programme.timetable().is_return(day.number)) {
            assert!(card(&job, day.number as usize).contains("Return visit: "), "{name}, day {}", day.number);
        }
    }
}

/// What was found alike of two parapets is said once, with both places.
#[test]
fn parapets_that_are_alike_are_told_in_one_line() {
    let parapet = demo::work(&demo::request("parapet"));
    let [quote, method] = crate::edges::documents(&parapet).map(|said| said.replace('\u{a0}', " "));
    assert!(quote.contains("Parapets on the right and on the left: "), "{quote}");
    let like = "The wall on the right, like that on the left, stands 251 mm above the finished roof, and the roof goes over its top.";
    assert!(quote.contains(like) && !quote.contains("The wall on the left stands"), "{quote}");
    let sizes = "Right and left (each 3.236 m along its outer edge, 251 mm above the roof, 215 mm thick)";
    assert!(method.contains(sizes) && !method.contains("Left (3.236 m along"), "{method}");
}
