//! Options together: what excludes what, what needs what, and the totals of every set that can be had, each against the
//! job written out with those changes.

use crate::command::{scratch, wetout};
use crate::demo::{Demo, work};
use crate::drawings;
use crate::support::asked;
use std::collections::BTreeMap;
use wetout::documents::Overrides;
use wetout::documents::quote;
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::estimate::{Office, price_options};
use wetout::job_file::load;
use wetout::model::{Level, Problem};
use wetout::pricing::options::Show;
use wetout::pricing::{Money, OptionTotals};

const KITCHEN: &str = include_str!("../jobs/kitchen-extension/job.yaml");

const MAT: &str = "{name: Heavier mat, change: {roofs: {Main roof: {laminate: {mat: 600}}}}";
const GREEN: &str = "{name: In green, change: {roofs: {all: {topcoat: {colour: green}}}}";
const RED: &str = "{name: In red, change: {roofs: {all: {topcoat: {colour: brick red}}}}";
const PORCH: &str = "{name: Gutter guard, change: {extras: [{item: Gutter guard, cost: 61.30}]}";
const TWICE: &str = "{name: Two layers, change: {roofs: {Main roof: {laminate: {layers: 2}}}}";
const CLOSED: &str = "{name: Rooflight gone, without: {holes: [rooflight]}";

/// The kitchen with these options, each with what else it says.
fn with(options: &[(&str, &str)]) -> String {
    let (before, rest) = KITCHEN.split_once("\noptions:").unwrap();
    let (_, after) = rest.split_once("\nquote:").unwrap();
    let listed: Vec<String> = options.iter().map(|(option, more)| format!("  - {option}{more}}}\n")).collect();
    let listed = if listed.is_empty() { String::new() } else { format!("options:\n{}", listed.concat()) };
    format!("{before}\n{listed}\nquote:{after}")
}

fn kitchen(options: &[(&str, &str)]) -> Demo {
    work(&asked(&with(options)))
}

/// The kitchen written out with changes, as texts.
fn written(changes: &[(&str, &str)]) -> Money {
    let text = changes.iter().fold(with(&[]), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    work(&asked(&text)).pricing.total
}

const HOLE: (&str, &str) =
    ("    holes:\n      - {name: rooflight, at: [1.8 m, 1.1 m], size: [1.0 m, 1.0 m], finish: kerb}\n", "");

/// What each option changes in the text.
fn in_text(label: &str) -> (&'static str, &'static str) {
    match label {
        "Heavier mat" => ("mat: 450", "mat: 600"),
        "In green" => ("colour: dark grey", "colour: green"),
        "In red" => ("colour: dark grey", "colour: brick red"),
        "Gutter guard" => ("extras:\n", "extras:\n  - {item: Gutter guard, cost: 61.30}\n"),
        "Rooflight gone" => HOLE,
        "Two layers" => ("layers: 1", "layers: 2"),
        other => panic!("{other}"),
    }
}

/// The totals of a demo by the names of the options taken.
fn totals(demo: &Demo) -> BTreeMap<Vec<String>, Money> {
    let OptionTotals::Each(each) = &demo.pricing.option_totals else { panic!("{:?}", demo.pricing.option_totals) };
    let label = |n: &usize| demo.pricing.options[*n].label.clone();
    each.iter().map(|one| (one.taken.iter().map(label).collect(), one.total)).collect()
}

fn quote_of(demo: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    drawings::text_of(&quote::document(&QuoteView::of(&demo.worked()), &words).unwrap())
}

fn pounds(sum: Money) -> String {
    wetout::documents::wording::money(sum)
}

#[test]
fn every_set_that_can_be_had_costs_what_the_job_written_out_costs_and_stands_on_the_page_of_acceptance() {
    let demo = kitchen(&[(MAT, ""), (GREEN, ", one_of: colour"), (RED, ", one_of: colour")]);
    let found = totals(&demo);
    // Every subset of the three but those with both colours: six.
    let labels = ["Heavier mat", "In green", "In red"];
    let subsets = (0..8_u32).map(|bits| (0..3).filter(|n| bits & (1 << n) != 0).map(|n| labels[n]).collect::<Vec<_>>());
    let wanted: Vec<Vec<&str>> = subsets.filter(|s| !(s.contains(&"In green") && s.contains(&"In red"))).collect();
    assert_eq!((found.len(), wanted.len()), (6, 6));
    let words = quote_of(&demo);
    for taken in wanted {
        let changes: Vec<_> = taken.iter().map(|label| in_text(label)).collect();
        let total = found[&taken.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>()];
        assert_eq!(total, written(&changes), "{taken:?}");
        let row = if taken.is_empty() { "None of the options".to_owned() } else { taken.join(" + ") };
        assert!(words.contains(&row) && words.contains(&pounds(total)), "{row}: {total}: {words}");
    }
    assert!(words.contains("Not together with “In red”"), "{words}");
    // A mat and a colour together are not the sum of both: packs are whole.
    let of = |labels: &[&str]| found[&labels.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>()];
    assert_eq!(demo.pricing.why("option.1+2").unwrap().amount, of(&["Heavier mat", "In green"]) - demo.pricing.total);
}

#[test]
fn an_option_that_needs_another_is_priced_with_it_and_beside_it() {
    let demo = kitchen(&[(GREEN, ", needs: Heavier mat"), (MAT, ""), (CLOSED, ", needs: [In green]")]);
    let (both, all) = (
        written(&[in_text("Heavier mat"), in_text("In green")]),
        written(&[in_text("Heavier mat"), in_text("In green"), in_text("Rooflight gone")]),
    );
    let (mat, base) = (written(&[in_text("Heavier mat")]), demo.pricing.total);
    let [green, heavy, closed] = &demo.pricing.options[..] else { panic!() };
    assert_eq!((green.total, green.difference), (both, both - mat));
    assert_eq!((heavy.total, heavy.difference), (mat, mat - base));
    assert_eq!((closed.total, closed.difference), (all, all - both));
    assert_eq!(closed.needs, ["In green", "Heavier mat"], "what is needed in turn is told too");
    let taken: Vec<usize> = totals(&demo).keys().map(Vec::len).collect();
    assert_eq!(taken.len(), 4, "nothing, the mat, the mat and green, all three");
    assert!(quote_of(&demo).contains("Only together with “Heavier mat”"));
}

/// A hole cannot be both left out and made smaller, nor a topcoat two colours; nobody need say it.
#[test]
fn options_that_change_one_thing_otherwise_exclude_one_another_unsaid() {
    let smaller =
        "{name: Smaller rooflight, change: {roofs: {Main roof: {holes: {rooflight: {size: [0.8 m, 0.8 m]}}}}}";
    let demo = kitchen(&[(GREEN, ""), (RED, ""), (CLOSED, ""), (smaller, ""), (PORCH, "")]);
    let excludes: Vec<&[String]> = demo.pricing.options.iter().map(|o| &o.excludes[..]).collect();
    assert_eq!(excludes, [&["In red"][..], &["In green"], &["Smaller rooflight"], &["Rooflight gone"], &[]]);
    let told: Vec<&Problem> =
        demo.loaded.notices.iter().filter(|p| p.fault.contains("one or the other is taken")).collect();
    assert_eq!(told.len(), 2);
    assert!(told.iter().all(|p| p.level == Level::Assumed && p.cure.contains("one_of")));
    // The same extra list is added to by both, whichever comes first: that is no clash.
    let two = kitchen(&[(PORCH, ""), ("{name: Vent, change: {extras: [{item: Vent, cost: 9.00}]}", "")]);
    assert!(two.pricing.options.iter().all(|o| o.excludes.is_empty()));
}

/// Extras at a stated price add up to the penny: their price is stated without VAT, and a fifth of whole pounds is whole pence.
#[test]
fn beyond_eight_totals_what_adds_up_is_seen_to_and_what_does_not_is_said() {
    let extra = |n: u32| format!("{{name: Extra {n}, change: {{extras: [{{item: Thing {n}, price: {n}0.00}}]}}");
    let extras: Vec<String> = (1..=4).map(extra).collect();
    let free: Vec<(&str, &str)> = extras.iter().map(|e| (e.as_str(), "")).collect();
    let demo = kitchen(&free);
    assert_eq!(demo.loaded.together.permitted.len(), 16);
    assert_eq!(demo.pricing.option_totals, OptionTotals::AddUp);
    let words = quote_of(&demo);
    assert!(words.contains("Total with all that I have ticked") && words.contains("adds up"), "{words}");
    // Packs of mat and resin are whole: with the mat among them it does not add up, unless by chance.
    let mut unlike = free.clone();
    unlike.extend([(MAT, ""), (TWICE, "")]);
    let demo = kitchen(&unlike);
    assert_eq!(demo.pricing.option_totals, OptionTotals::Unknown);
    let (mat, twice) = (in_text("Heavier mat"), in_text("Two layers"));
    let (alone, both) = (written(&[mat]) + written(&[twice]) - demo.pricing.total, written(&[mat, twice]));
    assert_ne!(alone, both);
    assert!(quote_of(&demo).contains("I ask you for the total before I sign"));
    let told = warned(&demo);
    assert!(told.iter().any(|f| f.contains(&both.to_string()) && f.contains(&alone.to_string())), "{told:?}");
    // More sets than are priced: said, and every option still has its price.
    let seven: Vec<String> = (1..=7).map(extra).collect();
    let demo = kitchen(&seven.iter().map(|e| (e.as_str(), "")).collect::<Vec<_>>());
    assert_eq!((demo.pricing.option_totals.clone(), demo.pricing.options.len()), (OptionTotals::Unknown, 7));
    assert!(warned(&demo).iter().any(|fault| fault.contains("more than 64 ways")));
    // By excluding one another they come down to eight.
    let shared: Vec<(&str, &str)> = seven.iter().map(|e| (e.as_str(), ", one_of: thing")).collect();
    assert_eq!(totals(&kitchen(&shared)).len(), 8);
}

/// What the pricing of the options warns of.
fn warned(demo: &Demo) -> Vec<String> {
    let loaded = &demo.loaded;
    let (terms, holidays) = (loaded.terms.as_ref().unwrap(), &loaded.firm.as_ref().unwrap().holidays[..]);
    let office = Office { rules: &loaded.rules, products: &loaded.products, books: &loaded.books, terms, holidays };
    let laid = (&loaded.job, &demo.take_off);
    let priced = price_options(&demo.pricing, laid, loaded.choices(), office, &demo.pricing.notices).unwrap();
    priced.notices.into_iter().map(|p| p.fault).collect()
}

#[test]
fn a_quote_shows_all_options_in_one_way() {
    let demo = kitchen(&[(MAT, ""), (GREEN, ", show: total"), (PORCH, "")]);
    assert!(demo.pricing.options.iter().all(|o| o.show == Show::Total));
    let words = quote_of(&demo);
    for option in &demo.pricing.options {
        // Others may be ticked with it, and its total is then another.
        let told = format!("{} in all", pounds(option.total));
        assert_eq!(words.matches(&told).count(), 2, "{}: in the table, and where it is ticked", option.label);
        let alone = format!("{told}, if nothing else is ticked");
        assert_eq!(words.matches(&alone).count(), 1, "{}: where it is ticked", option.label);
    }
    assert_eq!(words.matches("is with nothing else ticked").count(), 1, "once for the table");
    let extra = demo.pricing.offers.iter().find(|o| o.label.contains("Paint")).unwrap();
    assert_eq!(words.matches(&format!("{} more", pounds(extra.total))).count(), 2, "offered and ticked alike");
    let many: Vec<(String, &str)> = (1..=4)
        .map(|n| {
            (format!("{{name: Extra {n}, change: {{extras: [{{item: Thing {n}, price: {n}0.00}}]}}"), ", show: total")
        })
        .collect();
    let demo = kitchen(&many.iter().map(|(e, s)| (e.as_str(), *s)).collect::<Vec<_>>());
    assert!(demo.pricing.options.iter().all(|o| o.show == Show::Difference), "no list of totals: what each adds");
    assert!(demo.loaded.notices.iter().any(|p| p.fault.contains("shown by what it adds")));
}

#[test]
fn what_was_agreed_is_off_every_set() {
    let options = [(MAT, ""), (GREEN, ", one_of: colour"), (RED, ", one_of: colour")];
    let agreed = with(&options).replace("\nquote:\n", "\nprice: {agreed: 5600.00}\nquote:\n");
    let (usual, agreed) = (kitchen(&options), work(&asked(&agreed)));
    let (was, now) = (totals(&usual), totals(&agreed));
    let off = usual.pricing.total - Money::pounds(5600.into());
    assert_eq!(was.len(), now.len());
    for (taken, total) in was {
        let miss = (now[&taken] - (total - off)).as_pounds().abs();
        assert!(miss <= rust_decimal::Decimal::new(1, 2), "{taken:?}: {} for {total} less {off}", now[&taken]);
    }
}

#[test]
fn a_roof_and_a_patch_can_be_left_out_by_name() {
    let sweep = include_str!("jobs_for_sweep/old.yaml");
    let sweep = sweep.split("options:").next().unwrap();
    let text = format!(
        "{sweep}options:\n  - {{name: Shed later, without: {{roofs: [Shed roof]}}}}\n  - {{name: Wall later, without: \
         {{patches: [split by the wall]}}}}\n"
    );
    let demo = work(&asked(&text));
    let [shed, wall] = &demo.loaded.options[..] else { panic!() };
    assert_eq!(shed.job.old_roofs.iter().map(|r| r.name.as_str()).collect::<Vec<_>>(), ["Bay roof", "Link roof"]);
    assert_eq!(wall.job.old_roofs[0].patches.len(), 1);
    assert!(demo.pricing.options.iter().all(|o| o.difference < Money::ZERO));
}

/// What cannot be had is told where it is written, with its cure.
#[test]
fn what_hangs_together_wrongly_is_refused_in_its_place() {
    for (options, place, words, cure) in [
        (
            [(MAT, ", needs: In grene"), (GREEN, ""), (RED, "")],
            "options[0].needs",
            "no option `In grene`",
            "`In green`",
        ),
        ([(MAT, ", needs: [Heavier mat]"), (GREEN, ""), (RED, "")], "options[0].needs", "needs itself", "take one"),
        (
            [(MAT, ", needs: In red"), (GREEN, ""), (RED, ", needs: Heavier mat")],
            "options[0].needs",
            "need one another",
            "circle",
        ),
        (
            [(MAT, ""), (GREEN, ", one_of: colour"), (RED, ", one_of: color")],
            "options[1].one_of",
            "no other option has `one_of: colour`",
            "`color`",
        ),
        (
            [(MAT, ", needs: [In green, In red]"), (GREEN, ", one_of: c"), (RED, ", one_of: c")],
            "options[0].needs",
            "of which only one",
            "take the one out",
        ),
        (
            [(MAT, ", one_of: c, needs: In green"), (GREEN, ", one_of: c"), (RED, "")],
            "options[0].needs",
            "only one of the two",
            "one_of",
        ),
        (
            [(MAT, ", show: difference"), (GREEN, ", show: total"), (RED, "")],
            "options[1].show",
            "shown otherwise",
            "in one option",
        ),
    ] {
        let found = load(&asked(&with(&options))).unwrap_err().problems;
        let fits = |p: &&Problem| p.place.to_string() == place && p.fault.contains(words) && p.cure.contains(cure);
        assert!(found.iter().any(|p| fits(&p)), "{options:?}: {found:#?}");
    }
}

/// Of several options together only what none of them has alone is told, with the names of all.
#[test]
fn what_only_several_together_cannot_be_is_told_with_their_names() {
    let wide = "{name: Wider rooflight, change: {roofs: {all: {holes: {rooflight: {size: [2.6 m, 1.0 m]}}}}}";
    let moved = "{name: Moved rooflight, change: {roofs: {all: {holes: {rooflight: {at: [3.4 m, 1.1 m]}}}}}";
    let found = load(&asked(&with(&[(wide, ""), (moved, "")]))).unwrap_err().problems;
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].fault.starts_with("options `Wider rooflight` and `Moved rooflight` together: the hole"));
    assert!(found[0].cure.contains("the same word under `one_of` in both"));
    assert!(load(&asked(&with(&[(wide, ", one_of: rooflight"), (moved, ", one_of: rooflight")]))).is_ok());
}

/// Order and method statement print no option: one that cannot be priced keeps neither from being made.
#[test]
fn order_and_method_statement_leave_the_options() {
    let folder = scratch("options-left");
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        std::fs::copy(format!("jobs/{file}"), folder.join(file)).unwrap();
    }
    std::fs::write(folder.join("job.yaml"), with(&[(MAT, "")])).unwrap();
    let sold = std::fs::read_to_string("jobs/prices.yaml").unwrap();
    std::fs::write(folder.join("prices.yaml"), sold.replace("role: mat.600", "role: mat.300")).unwrap();
    let job = folder.to_str().unwrap();
    assert_eq!(wetout(&["quote", job]).status.code(), Some(1));
    for command in ["order", "method"] {
        let done = wetout(&[command, job]);
        assert_eq!(done.status.code(), Some(0), "{command}: {}", String::from_utf8_lossy(&done.stderr));
    }
}

/// A note or an exclusion that is written twice is told once.
#[test]
fn what_is_noted_twice_is_told_once() {
    let own = "notes: [The rooflight stays in place and is sealed into the new roof.]";
    assert!(KITCHEN.contains(own));
    let twice =
        "notes: [Gate key next door, Dog indoors, Gate key next door]\n  exclusions: [Coving, Skirting, Coving]";
    let job = work(&asked(&KITCHEN.replace(own, twice))).loaded.job;
    assert_eq!(job.notes, ["Gate key next door", "Dog indoors"]);
    assert_eq!(job.exclusions, ["Coving", "Skirting"]);
}
