//! What a householder is promised is said once, and the same, wherever the quote says it: when work starts, what is paid back when,
//! what is not in the price, in which colour the roof is drawn.
//!
//! Given demo jobs and jobs made from them; looks at the words of their quotes and at what is drawn on the first page.

use crate::clashes;
use crate::demo::{Demo, names, request, work};
use crate::falls;
use std::collections::BTreeSet;
use wetout::documents::DocumentKind;
use wetout::documents::drawings::peeled::CoatTint;
use wetout::documents::wording::greeted;
use wetout::pages::scene::{Ink, Mark};

fn quote(job: &Demo) -> String {
    falls::words(job, DocumentKind::Quote).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn demo(name: &str) -> Demo {
    work(&request(name))
}

/// Work may start within the time to cancel only where the customer asks for it: no page names that day without the other one.
#[test]
fn the_day_of_the_start_is_told_with_the_one_that_holds_without_the_request() {
    let words = quote(&demo("kitchen-extension"));
    // The chart of days, as it is heard, tells of the plan.
    let words = words.replace("Day 1, Monday 18 January 2027", "");
    let of = |day: &str| words.matches(day).count();
    assert!(words.contains("18 January 2027 if you tick that on the page “Acceptance”, else after 29 January 2027."));
    assert!(words.contains("from Monday 18 January 2027 if you ask us expressly to start in the time in which you may cancel, else after 29 January 2027"));
    assert!(words.contains("to start on Monday 18 January 2027, before the time for cancelling is over."));
    assert_eq!((of("18 January 2027"), of("29 January 2027")), (3, 3), "{words}");
    assert!(quote(&demo("dormer")).contains("We agree the first day with you."));
}

/// The Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013, regulation 34(5) and (6), from memory: only
/// a trader who has not offered to fetch the goods may wait for them; else the time runs from the day on which he is told.
#[test]
fn whoever_fetches_the_goods_pays_back_from_the_day_that_he_is_told() {
    for name in names() {
        let words = quote(&demo(&name));
        if !words.contains("Your right to cancel") {
            continue;
        }
        assert!(words.contains("Those not yet built in we fetch at our own cost"), "{name}");
        assert!(words.contains("without undue delay, and within 14 days of your telling us."), "{name}");
        assert!(!words.contains("having the materials back") && !words.contains("wait until then"), "{name}");
    }
}

/// Page one sends the customer to one list of what is not in the price: what is left out elsewhere stands in it too.
#[test]
fn a_gap_that_is_left_above_a_fascia_stands_among_what_is_not_included() {
    let (mut told, mut silent) = (0, 0);
    for name in names() {
        let words = quote(&demo(&name));
        let said = words.contains("closing that gap is not in the price");
        let listed = words.contains("Closing a gap above the old fascia");
        assert_eq!(said, listed, "{name}");
        if said { told += 1 } else { silent += 1 }
    }
    assert!(told > 1 && silent > 1, "{told} {silent}");
    let garage = quote(&demo("garage-utility"));
    assert!(garage.contains("where it shows above the old fascia, closing that gap is not in the price"));
}

/// The topcoat on page one is drawn in the colour that was chosen, of several roofs each in its own.
#[test]
fn the_topcoat_is_drawn_in_the_colour_that_was_chosen() {
    let inks = |name: &str| -> BTreeSet<String> {
        let job = demo(name);
        let documents = clashes::documents(&job);
        let (_, quote) = documents.iter().find(|(what, _)| *what == "quote").unwrap();
        let drawn = clashes::figures(quote).into_iter().filter(|figure| figure.alt.contains("layers drawn back"));
        let fills = drawn.flat_map(|figure| &figure.scene.marks).filter_map(|mark| match mark {
            Mark::Area { fill: Some(Ink::Mixed(shares)), .. } => Some(format!("{shares:.2?}")),
            Mark::Area { fill: Some(Ink::Grey(share)), .. } if *share == 0.62 || *share == 0.8 => {
                Some(share.to_string())
            }
            _ => None,
        });
        fills.collect()
    };
    let (dark, light, red) = (inks("kitchen-extension"), inks("parapet"), inks("dormer"));
    assert!(dark.contains("0.62") && !light.contains("0.62"), "{dark:?} {light:?}");
    assert!(light.contains("0.8") && red.iter().any(|ink| ink.starts_with('[')), "{light:?} {red:?}");
    assert!(inks("neighbours").is_superset(&BTreeSet::from(["0.62".to_owned(), "0.8".to_owned()])));
    let named = ["Brick red", "moss green", "light grey", "dark grey", "slate"].map(CoatTint::named);
    assert_eq!(named, [CoatTint::Red, CoatTint::Green, CoatTint::LightGrey, CoatTint::DarkGrey, CoatTint::DarkGrey]);
}

#[test]
fn two_households_are_greeted_as_a_letter_greets_them() {
    assert_eq!(greeted("Mrs J. Ashdown (No. 12) and Mr P. Lisle (No. 14)"), "Mrs Ashdown and Mr Lisle");
    assert_eq!(greeted("Mr and Mrs D. Prowse"), "Mr and Mrs Prowse");
    assert_eq!(greeted("Hill and Sons"), "Hill and Sons");
    assert!(quote(&demo("neighbours")).contains("Dear Mrs Ashdown and Mr Lisle,"));
}
