//! Sheets for the night: by the roof's shape and the sizes that are sold.

use crate::demo;
use crate::falls::words;
use crate::support::{at, mm, rectangle, roof};
use crate::works::every_job;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use wetout::documents::DocumentKind;
use wetout::model::{Area, Finish, Length, Role, Roof, Rules};
use wetout::takeoff::layout::shape::lay_out;
use wetout::takeoff::quantities::night_sheet::{Sheets, cover};

fn sheets(roof: &Roof, sold: &[(i64, i64)]) -> Sheets {
    let rules = Rules::default();
    let sold: Vec<(Length, Length)> = sold.iter().map(|&(a, b)| (mm(a), mm(b))).collect();
    cover(&lay_out(roof, 0, &rules).unwrap(), &rules, &sold).unwrap()
}

const BOTH: [(i64, i64); 2] = [(5000, 4000), (8000, 6000)];

/// 10 × 2 m with a metre all round is 12 × 4 m: 48 m², as much as one sheet of 6 × 8 m, which does not reach. Two do, and
/// so do three of 4 × 5 m, which is less sheet: 4.7 m a sheet and its last 0.3 m.
#[test]
fn a_long_roof_is_not_covered_by_one_sheet_of_its_area() {
    let long = sheets(&rectangle(10_000, 2000), &BOTH);
    assert_eq!((long.count, long.lies, long.size()), (3, (mm(5000), mm(4000)), mm(5000)));
    let large = sheets(&rectangle(10_000, 2000), &BOTH[1..]);
    assert_eq!((large.count, large.lies), (2, (mm(8000), mm(6000))));
}

#[test]
fn a_sheet_lies_whichever_way_round_takes_fewer() {
    // 4 × 7.5 m with its margin: one of 6 × 8 m, turned.
    let turned = sheets(&rectangle(2000, 5500), &BOTH[1..]);
    assert_eq!((turned.count, turned.lies), (1, (mm(6000), mm(8000))));
}

/// Four courses of slates come off above the dormer, 0.8 m of the slope: with a metre all round the sheet reaches over them, and
/// one of 4 × 5 m no longer does.
#[test]
fn the_sheet_reaches_over_what_is_opened_up_the_slope() {
    let dormer = demo::work(&demo::request("dormer"));
    let line = dormer.take_off.lines.iter().find(|l| l.id == "sheet.night").unwrap();
    assert_eq!(line.quantity, Decimal::from(2 * 4 * 5));
    let method = words(&dormer, DocumentKind::Method);
    let at = |said: &str| method.find(said).unwrap_or_else(|| panic!("{said}: {method}"));
    assert!(at("and the night sheet over it") < at("Opening up the slope, before you leave"), "{method}");
    assert!(at("Opening up the slope, before you leave") < at("Opening up the slope sheeted: signed"));
    let kitchen = words(&demo::work(&demo::request("kitchen-extension")), DocumentKind::Method);
    assert!(!kitchen.contains("pening up the slope"), "{kitchen}");
}

/// An L of 12 × 12 m with arms 3 m wide: in the notch, 9 × 9 m, lies no sheet.
#[test]
fn no_sheet_is_bought_for_where_no_roof_is() {
    let bent = roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(12_000, 0), "right", Finish::Raised),
        (at(12_000, 3000), "yard", Finish::Raised),
        (at(3000, 3000), "court", Finish::Raised),
        (at(3000, 12_000), "back", Finish::Wall),
        (at(0, 12_000), "left", Finish::Raised),
    ]);
    let square = sheets(&rectangle(12_000, 12_000), &BOTH[..1]);
    let bent = sheets(&bent, &BOTH[..1]);
    assert!(bent.count < square.count, "{bent:?} {square:?}");
}

/// Sheets go from roof to roof. On no night of any job is more than one roof left unfinished, so what covers any two is enough: so much
/// is bought of each size, and of twelve roofs far less than a set for each.
#[test]
fn sheets_cover_any_two_roofs_and_go_on_to_the_next() {
    let mut several = 0;
    for (name, demo) in every_job() {
        let (rules, sold) = (&demo.loaded.rules, &demo.loaded.products.sheets);
        let mut by_day: BTreeMap<u32, usize> = BTreeMap::new();
        for stop in demo.programme.stops.iter().filter(|stop| !stop.whole_roof && !stop.box_gutters) {
            *by_day.entry(stop.day).or_default() += 1;
        }
        assert!(by_day.values().all(|roofs| *roofs == 1), "{name}: {by_day:?}");
        let bought = |size: Length| -> Decimal {
            let of_size = demo.take_off.needs.iter().filter(|n| n.role == Role::NightSheet && n.size == Some(size));
            of_size.map(|need| need.quantity).sum()
        };
        let covers: Vec<Sheets> =
            demo.take_off.roofs.iter().filter_map(|roof| cover(&roof.shape, rules, sold)).collect();
        let areas = |size: Length| -> Vec<Decimal> {
            let of_size = covers.iter().filter(|s| s.size() == size);
            let mut all: Vec<Decimal> = of_size.map(|s| Area::mm2(s.area).square_metres()).collect();
            all.sort_unstable_by(|a, b| b.cmp(a));
            all
        };
        for size in covers.iter().map(Sheets::size) {
            let two: Decimal = areas(size).iter().take(2).sum();
            let tied = demo.loaded.job.roofs.iter().flat_map(|roof| &roof.outline.edges).any(|e| e.under.is_some());
            // What is opened up the slope of a roof above is covered besides.
            assert!(bought(size) == two || tied && bought(size) > two, "{name}, {size}");
            several += usize::from(bought(size) * Decimal::TWO < areas(size).iter().sum::<Decimal>());
        }
    }
    assert!(several > 0);
}
