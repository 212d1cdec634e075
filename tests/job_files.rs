//! Job, firm and price-book files: what is accepted, what is refused, and with which words.
//!
//! `tests/bad_jobs/` holds one file a fault, each with its exact message beside it (`.txt`). `firm-*` are firm files
//! and `prices-*` price books, read with a job that is good; `warn-*` are jobs that stand, with what `check` says of
//! them. After a change of words, `REWRITE_MESSAGES=1 cargo test --test all job_files::` writes the messages anew:
//! read every line of the difference before it is committed.

use crate::cpu_time::CpuTime;
use crate::support::{asked, lean_to, setting};
use rust_decimal::Decimal;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use wetout::geometry::ring::ring_area;
use wetout::job_file::{Failure, Loaded, Request, SourceText, Sources, StockFrom};
use wetout::job_file::{load, render};
use wetout::model::job::{Answer, By, Forced};
use wetout::model::problem::Source;
use wetout::model::products::BoardEdge;
use wetout::model::role::ROLES;
use wetout::model::shape::Joints;
use wetout::model::{
    Access, Area, Finish, HoleForm, Length, Level, Point, Problem, Products, Range, Role, RoofFall, Rules, Warned,
    Whereabouts,
};
use wetout::pricing::Money;
use wetout::pricing::terms::{AgreedPrice, ExtraSum, PriceTarget};

const BAD: &str = "tests/bad_jobs";

/// A job as the command line gives it, with the demo firm and price book.
fn request(file: &Path) -> Request {
    Request {
        name: file.display().to_string(),
        bytes: std::fs::read(file).unwrap(),
        folder: file.parent().unwrap().to_path_buf(),
        firm: Some("jobs/firm.yaml".into()),
        prices: vec!["jobs/prices.yaml".into()],
        date: None,
        without_options: false,
        stock: Default::default(),
        as_will_be: None,
    }
}

/// The request for one file of the folder of bad files.
fn bad_request(file: &Path) -> Request {
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let good = Path::new("jobs/kitchen-extension/job.yaml");
    match () {
        () if name.starts_with("firm-") => Request { firm: Some(file.into()), ..request(good) },
        () if name.starts_with("stock-") => Request { stock: StockFrom::File(file.into()), ..request(good) },
        () if name.starts_with("prices-") => Request { prices: vec![file.into()], ..request(good) },
        () => request(file),
    }
}

fn message(result: &Result<Loaded, Box<Failure>>) -> String {
    match result {
        Ok(loaded) => render(&loaded.notices, &loaded.sources, false),
        Err(failure) => render(&failure.problems, &failure.sources, false),
    }
}

#[test]
fn every_bad_file_is_told_in_exactly_the_words_beside_it() {
    let rewrite = std::env::var_os("REWRITE_MESSAGES").is_some();
    let mut files: Vec<PathBuf> = std::fs::read_dir(BAD).unwrap().map(|e| e.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "yaml"));
    files.sort();
    let mut wrong = Vec::new();
    for file in files {
        let result = load(&bad_request(&file));
        let stands = file.file_name().unwrap().to_string_lossy().starts_with("warn-");
        let (said, beside) = (message(&result), file.with_extension("txt"));
        if rewrite {
            std::fs::write(&beside, &said).unwrap();
        }
        if result.is_ok() != stands || std::fs::read_to_string(&beside).unwrap_or_default() != said {
            wrong.push(format!("== {} (loaded: {})\n{said}", file.display(), result.is_ok()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is likely a slip, and may be meant: it is asked about, and stops nothing.
#[test]
fn what_may_be_a_slip_is_asked_about_at_its_setting() {
    let job = "start: 2026-12-29\ndelivery: {earliest: 2026-12-20, latest: 2026-12-25}\n\
               extras: [{item: Paint the fascia, cost: 85.00}, {item: Paint the fascia, cost: 85.00}]\n\
               order_lines: [{item: Fascia, article: own.fascia-225}, {item: Fascia, article: own.fascia-225, count: 2}]\n\
               options: [{name: Same, change: {roofs: {Lean-to: {laminate: {mat: 300}}}}}]\n";
    let hatch = "    holes: [{name: hatch, at: [1.0 m, 0.8 m], size: [60 mm, 600 mm], finish: kerb}]\n";
    let text = lean_to("", hatch, job).replace("mat: 450", "mat: 300");
    let asked_about = |text: &str| {
        let notices = load(&asked(text)).unwrap().notices;
        let named = |notice: &Problem| Some(format!("{} {}", notice.warned?.name(), notice.place));
        notices.iter().filter_map(named).collect::<Vec<_>>()
    };
    let told = asked_about(&text);
    for (warned, place) in [
        (Warned::SmallSize, "roofs[0].holes[0].size"),
        (Warned::ThinMat, "roofs[0].laminate.mat"),
        (Warned::Delivery, "delivery.earliest"),
        (Warned::Delivery, "delivery.latest"),
        (Warned::Twice, "extras[1]"),
        (Warned::Twice, "order_lines[1]"),
        (Warned::IdleOption, "options[0].change"),
    ] {
        let one = format!("{} {place}", warned.name());
        assert_eq!(told.iter().filter(|told| **told == one).count(), 1, "{one}: {told:?}");
    }
    assert!(!told.iter().any(|told| told.ends_with("roofs[0].outline")), "{told:?}");
    let small = lean_to("", "", "").replace("depth: 3.0 m", "depth: 300 mm").replace("6.0 m", "600 mm");
    assert!(asked_about(&small).contains(&"small-size roofs[0].outline".to_owned()));
    // How many are wanted is told where one was taken.
    let notices = load(&asked(&text)).unwrap().notices;
    let taken = |n: &&Problem| n.level == Level::Assumed && n.place.to_string() == "order_lines[0].count";
    assert_eq!(notices.iter().filter(taken).count(), 1);
}

/// 25 and 28 December are holidays of the demo firm, 26 and 27 a weekend: the last day before 29 December is the 24th, two working
/// days before that the 22nd.
#[test]
fn the_days_of_delivery_that_are_proposed_are_days_on_which_somebody_works() {
    let loaded = load(&asked(&lean_to("", "", "start: 2026-12-29\n"))).unwrap();
    let place = Whereabouts::from(setting("delivery"));
    let proposed: Vec<&str> =
        loaded.notices.iter().filter(|notice| notice.place == place).map(|notice| notice.cure.as_str()).collect();
    assert_eq!(proposed, ["add, for example, `delivery: {earliest: 2026-12-22, latest: 2026-12-24}`"]);
}

// What is accepted.

fn good(file: &str) -> Loaded {
    let result = load(&request(Path::new(file)));
    result.unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)))
}

/// A job that is given as text, without firm and price book.
fn bare_request(bytes: Vec<u8>) -> Request {
    Request { bytes, firm: None, prices: Vec::new(), folder: "/".into(), ..asked("") }
}

fn read(text: &str) -> Loaded {
    load(&asked(text)).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)))
}

fn refused(text: &str) -> Vec<Problem> {
    load(&asked(text)).expect_err("this should be refused").problems
}

/// A small job with its outline and edges left open.
fn porch(outline: &str, edges: &str, more: &str) -> String {
    format!(
        "reference: 26-901\ntitle: Porch\nprepared: 2026-11-25\nasbestos: no\n\
         customer: {{name: A. Householder, address: [1 Example Street, Anytown]}}\n\
         roofs:\n  - name: Porch\n    outline: {outline}\n    edges: {edges}\n    falls_to: front\n    fall: 1:40\n    \
         deck: {{action: new, board: osb3-18}}\n    laminate: {{mat: 450, layers: 1}}\n    \
         topcoat: {{colour: dark grey, finish: smooth}}\n{more}"
    )
}

const SQUARE: &str = "{rectangle: {width: 3.2 m, depth: 2.4 m}}";
const FOUR: &str = "{front: {finish: drip}, right: {finish: raised}, back: {finish: wall}, left: {finish: raised}}";

const DEMO: [&str; 8] =
    ["kitchen-extension", "garage-utility", "dormer", "bay", "balcony", "neighbours", "parapet", "patch-and-coat"];

#[test]
fn every_demo_job_is_read_with_its_firm_and_price_book_found_above_it() {
    for name in DEMO {
        let folder = PathBuf::from(format!("jobs/{name}"));
        let file = folder.join("job.yaml");
        let request = Request { firm: None, prices: Vec::new(), ..request(&file) };
        let loaded = load(&request).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)));
        assert!(loaded.firm.is_some() && loaded.terms.is_some(), "{name}");
        assert_eq!(loaded.books.len(), 1, "{name}");
        assert_eq!(loaded.sources.firm.unwrap().name, "jobs/firm.yaml");
        assert_eq!(loaded.books[0].file, "jobs/prices.yaml");
    }
}

const EVERY_KEY: &str = r#"
reference: 26-902
title: Every key that a job can have
prepared: 2026-11-25
start: 2027-02-01
customer: {name: A. Householder, address: &home [1 Example Street, Anytown], email: a@home.example, phone: 01632 960100, also_signs: [B. Householder], vat_number: GB 000 0000 00, reverse_charge: yes}
site: {address: *home, eaves_height: 2.6 m, built_before_2000: not known, access: side gate, hospital: Anytown General}
access: {scaffold: yes, permits: no, parking: 45.00, render_cutting: no, aerials: no, disturbed_tiles: no, minimum_charge: yes}
conditions: {air: 5 C to 12 C, humidity: 75 %, surface: 4.5 C, night_low: -1 C to 3 °C, moisture: 14 % to 16 %, dry_hours: 6 h}
roofs:
  - name: Main roof
    outline: {rectangle: {width: 520 cm, depth: 3.4m}}
    edges:
      front: {finish: drip, gutter: half-round 112 mm, joints: none}
      right: {finish: raised, joints: lapped}
      back: [{go: 2.0 m, finish: wall, upstand: 150 mm, flashing: lead}, {finish: step, under: {covering: slates, gauge: 210 mm, cover: 255 mm, pitch: 40°, up: 350 mm, courses: 5, by: others}}]
      left: {finish: raised, ladder_point: 1.2 m}
    holes:
      - {name: rooflight, at: [1.8 m, 1.1 m], size: [1.0 m, 1.0 m], finish: kerb, kerb: 47 × 220 mm, trimmers: 47 × 147 mm}
      - {name: chimney, at: [4.0 m, 2.0 m], size: [0.6 m, 0.5 m], finish: wall}
      - {name: pipe, at: [0.5 m, 0.5 m], round: 110 mm}
    falls_to: front
    fall: 1:40
    firrings: none
    joists: {run: front to back, spacing: 400 mm, first: 380 mm, last: 5190 mm, section: 47 × 170 mm}
    measured_to: fascia
    way_off: back
    deck: {action: overlay, board: osb3-11}
    laminate: {mat: 450, layers: 2}
    topcoat: {colour: dark grey, finish: slip-resistant}
    wall_above: {area: 15.6 m2}
    outlet: {at: [2.6 m, 0.3 m], size: 75 mm, head: 35 mm, strainer: yes}
    roof_above: {area: 12.0 m2, pitch: 35°}
    build_up:
      kind: warm
      work: renovated
      ceiling: [{name: plasterboard, thickness: 12.5 mm, lambda: 0.21 W/mK}]
      joists: {breadth: 47 mm, depth: 150 mm, fraction: 0.12, lambda: 0.13 W/mK, between: {name: wool, thickness: 100 mm, lambda: 0.038 W/mK}}
      deck: {name: old boards, thickness: 22 mm, lambda: 0.13 W/mK}
      vapour: {roll_width: 2 m, roll_length: 25 m}
      insulation: {board: pir-120, name: rigid foam, thickness: 120 mm, lambda: 0.023 W/mK, length: 2400 mm, width: 1200 mm, density: 32 kg/m3}
      overlay: osb3-18
      existing: {u_value: 0.8 W/m2K, of_roof: 100 %, of_envelope: 12 %}
  - name: Porch
    outline: {quadrilateral: {front: 4 m, right: 3 m, back: 4 m, left: 3 m, diagonal: 5 m, other_diagonal: 5 m}}
    edges:
      front:
        finish: drip
        gutter:
          shape: trapezoidal
          size: 120 mm
          area: 7000 mm2
          depth: 75 mm
          length: 4 m
          outlet: {at: end, count: 2, size: 63 mm, head: 35 mm, strainer: no}
          depth_factor: 0.95
          shape_factor: 0.97
          carries: 1.1 l/s
      right: {finish: wall, sill: 300 mm}
      back: {finish: wall, upstand: 300 mm, flashing: lead}
      left: {finish: raised}
    deck: {action: keep}
    laminate: {mat: 450, layers: 1}
    topcoat: {colour: green, finish: smooth}
    build_up: {kind: cold, work: new, joists: {breadth: 47 mm, depth: 200 mm, between: {name: wool, thickness: 150 mm, lambda: 0.038}}, void: 50 mm, vent_gap: 25 mm}
  - name: Bay
    outline: {walk: [{edge: front, go: 2 m}, {edge: right, turn: left, go: 1 m}, {edge: back, turn: left, go: 2 m}, {edge: left, turn: left, go: 1 m}], ties: [{from: left/front, to: right/back, is: 2.236 m}]}
    edges:
      front:
        finish: gutter
        box_gutter: {width: 300 mm, depth: 120 mm, fall: 1:100, outlet: {at: 0.4 m, size: 75 mm, head: 50 mm, strainer: yes}, board: osb3-18, depth_factor: 0.8, new: yes}
        overflow: {at: 1 m, width: 200 mm, height: 75 mm, above: 30 mm}
      right: {finish: raised}
      back: {finish: wall, coping: {wall_height: 330 mm, wall_width: 215 mm, cover: metal, by: others, board: osb3-11}}
      left: {finish: raised}
    outlets: [{at: [0.5 m, 0.5 m], size: 75 mm}]
    deck: {action: new, board: osb3-18}
    laminate: {mat: 450}
    topcoat: {colour: green}
  - name: Old roof
    work: repair and topcoat
    outline: {rectangle: {width: 3.2 m, depth: 1.8 m}}
    edges: {front: {finish: drip}, right: {finish: raised}, back: {finish: wall}, left: {finish: raised}}
    patches: [{name: split, at: [0.6 m, 0.5 m], size: [0.5 m, 0.4 m], layers: 2, deck: osb3-18, at_edge: 0.2 m}, {area: 0.2 m2}, {edge: back, from: 0.5 m, size: [0.6 m, 0.1 m], trim: renew}]
    laminate: {mat: 450, layers: 2}
    topcoat: {colour: dark grey, finish: smooth}
    trims: topcoat
    prepare: prime
strip: {covering: felt, tip: skip, boards: none}
asbestos: not known
flashing: others
boundary: 1.2 m
roof_class: B
lift: {zones: [elbow to knuckle], reach: close, column: men, payload: 900 kg}
wind_from: left
scaffold_is: edge protection on three sides
delivery: {earliest: 2027-01-27, latest: 2027-01-29, note: before nine}
extras:
  - {item: Soil vent cowl, cost: 12.10, during: deck}
  - {item: New fascia, price: 240.00}
  - {item: Paint the fascia, price: 85.00, optional: yes}
  - {item: Hoist, cost_a_day: 45.00}
  - {item: Rotten joists, price: 150.00, provisional: yes, in_total: yes}
order_lines:
  - {item: Fascia board, article: own.fascia-225, count: 2, hours: 1.5 h, roof: Main roof}
  - {item: Rooflight, count: 1, supply: customer}
options:
  - name: Heavier mat
    change: {roofs: {all: {laminate: {mat: 600}}}}
    without: {extras: [Hoist], order_lines: [Rooflight], holes: [pipe], notes: [A note], exclusions: [An exclusion]}
    show: total
    one_of: build
  - name: Bay later
    without: {roofs: [Bay], patches: [split]}
    one_of: [build]
    needs: []
photos: []
rules: {spare_mat: 4 %}
price: {discount: 7.5 %, because: roof next door, shown: no, margin: 22 %, retention: {rate: 5 %, until: 6 months}}
silence: [{warning: upstand, because: agreed with the customer in writing}]
quote:
  valid_days: 14
  prices: by roof
  notes: [A note]
  exclusions: [An exclusion]
  stages: [{when: Deposit, part: 25 %}, {when: Deck, part: 500.00, after: deck}, {when: Done, part: rest}]
  vat: {rate: 5 %, reason: empty two years}
"#;

/// The groups of settings that the reader of job files knows, with their keys, from its own source.
fn groups() -> Vec<(String, Vec<String>)> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for file in ["src/job_file/raw/job.rs", "src/job_file/raw/checks.rs"] {
        let source = std::fs::read_to_string(file).unwrap();
        let mut inside = false;
        for line in source.lines() {
            if let Some(name) = line.strip_prefix("    pub(crate) struct ") {
                groups.push((name.split(' ').next().unwrap().to_owned(), Vec::new()));
                inside = true;
            } else if line == "    }" {
                inside = false;
            } else if let Some((key, _)) = line.trim().split_once(": ").filter(|_| inside && !line.contains("///")) {
                groups.last_mut().unwrap().1.push(key.to_owned());
            }
        }
    }
    groups
}

#[test]
fn the_job_that_has_every_key_has_every_key_of_the_format() {
    let groups = groups();
    assert!(groups.len() > 25 && groups.iter().all(|(_, keys)| !keys.is_empty()), "{groups:?}");
    // A photograph needs a file beside the job; this job stands in no folder.
    let wanted = groups.iter().filter(|(name, _)| name != "RawPhoto");
    let absent: Vec<String> = wanted
        .flat_map(|(name, keys)| keys.iter().map(move |key| (name, key)))
        .filter(|(_, key)| !["\n", " ", "{"].iter().any(|before| EVERY_KEY.contains(&format!("{before}{key}:"))))
        .map(|(name, key)| format!("{name}.{key}"))
        .collect();
    // Each stands where another of its group does not: see `agreed` among these tests.
    assert_eq!(absent, ["RawPrice.agreed", "RawPrice.markup"]);
}

#[test]
fn every_key_of_a_job_is_read_into_its_place() {
    let loaded = read(EVERY_KEY);
    let (job, roof) = (&loaded.job, &loaded.job.roofs[0]);
    assert_eq!(job.site.address, ["1 Example Street", "Anytown"], "an address may be referred to");
    assert_eq!(job.access[0], (Access::Scaffold, Forced::Yes));
    assert_eq!(job.access[2], (Access::Parking, Forced::Sum));
    assert_eq!(loaded.job_money.access, [(Access::Parking, Money::pence(45_00))]);
    assert_eq!(loaded.job_money.target, Some(PriceTarget::Margin(Decimal::from(22))));
    let agreement = loaded.job_money.agreement.as_ref().unwrap();
    assert_eq!(agreement.price, AgreedPrice::PercentOff(Decimal::new(75, 1)));
    assert_eq!((agreement.because.as_deref(), agreement.shown), (Some("roof next door"), false));
    assert_eq!(job.conditions.air.unwrap(), Range { low: Decimal::from(5), high: Decimal::from(12) });
    assert_eq!(job.conditions.night_low.unwrap(), Range { low: Decimal::from(-1), high: Decimal::from(3) });
    assert_eq!(job.conditions.surface.unwrap(), Range::exactly(Decimal::new(45, 1)));
    assert_eq!(
        roof.outline.corners,
        [(0, 0), (5200, 0), (5200, 3400), (3200, 3400), (0, 3400)].map(|(x, y)| Point::new(x, y))
    );
    let labels: Vec<String> =
        roof.outline.edges.iter().map(|e| format!("{} {} {}", e.label(), e.length, e.path)).collect();
    assert_eq!(labels[2], "back (1) 2000 mm roofs[0].edges.back[0]");
    assert_eq!(labels[3], "back (2) 3200 mm roofs[0].edges.back[1]");
    assert_eq!(roof.outline.edges[0].joints, Joints::None);
    assert_eq!(roof.outline.edges[0].gutter.as_ref().unwrap().size, Length::mm(112));
    assert_eq!(roof.outline.edges[4].ladder_point, Some(Length::mm(1200)));
    assert_eq!(roof.holes[2].form, HoleForm::Round { at: Point::new(500, 500), diameter: Length::mm(110) });
    assert_eq!(roof.joists.first, Length::mm(380));
    assert_eq!(roof.joists.last, Some(Length::mm(5190)));
    assert_eq!(roof.joists.section.map(|s| s.to_string()).as_deref(), Some("47 × 170 mm"));
    assert!(
        matches!(roof.fall, RoofFall::There(Some(fall)) if fall.run == Decimal::from(40)),
        "a deck that stays falls so"
    );
    assert_eq!(roof.wall_above, Some(Area::mm2(15_600_000)));
    let outlet = &roof.outlets[0];
    assert_eq!((outlet.size, outlet.head, outlet.strainer), (Length::mm(75), Some(Length::mm(35)), true));
    assert_eq!(roof.roof_above, Some((Area::mm2(12_000_000), 35)));
    assert_eq!(roof.topcoat.finish.key, "slip-resistant");
    assert_eq!((job.asbestos, job.flashing), (Answer::NotKnown, By::Others));
    assert_eq!(job.valid_until().to_string(), "2026-12-09");
    assert_eq!(loaded.job_money.extras[0].sum, ExtraSum::Cost(Money::pence(12_10)));
    assert_eq!(loaded.job_money.stages.as_ref().unwrap().len(), 3);
    build_ups(&job.roofs);
    let gutter = job.roofs[1].outline.edges[0].gutter.as_ref().unwrap().detail.as_ref().unwrap();
    let outlet = gutter.outlet.as_ref().unwrap();
    assert_eq!(
        (gutter.area, gutter.depth, gutter.length),
        (Some(Area::mm2(7000)), Some(Length::mm(75)), Some(Length::mm(4000)))
    );
    assert_eq!((outlet.diameter, outlet.head, outlet.strainer), (Length::mm(63), Some(Length::mm(35)), false));
    let lift = job.lift.as_ref().unwrap();
    assert_eq!((lift.zones.len(), lift.payload), (1, Some(wetout::model::Mass::kg(Decimal::from(900)))));
    assert_eq!(job.roof_class, Some(wetout::model::fire::RoofClass::B));
    assert_eq!(loaded.job_money.vat.as_ref().unwrap().rate, Decimal::from(5));
    let silences = &loaded.silences.0;
    assert_eq!(
        (silences[0].warned, silences[0].because.as_str()),
        (Warned::Upstand, "agreed with the customer in writing")
    );
    assert_eq!((loaded.options[0].label.as_str(), loaded.options[0].job.roofs[0].laminate.mat), ("Heavier mat", 600));
}

/// What the roofs of the job that has every key are made of.
fn build_ups(roofs: &[wetout::model::Roof]) {
    let warm = roofs[0].build_up.as_ref().unwrap();
    let board = warm.insulation.as_ref().unwrap();
    let mm = |n| wetout::model::build_up::Thickness::from(Length::mm(n));
    assert_eq!((board.sheet.thickness, board.length, board.width), (mm(120), Length::mm(2400), Length::mm(1200)));
    assert_eq!(
        board.sheet.conductivity.as_w_per_mk(),
        Decimal::new(23, 3),
        "the job's own figure comes before the book's"
    );
    assert_eq!((warm.deck.thickness, warm.joists.fraction), (mm(22), Some(Decimal::new(12, 2))));
    let existing = warm.existing.unwrap();
    assert_eq!(existing.transmittance.as_w_per_m2k(), Decimal::new(8, 1));
    assert_eq!((existing.of_roof, existing.of_envelope), (Decimal::ONE_HUNDRED, Some(Decimal::from(12))));
    let cold = roofs[1].build_up.as_ref().unwrap();
    assert_eq!((cold.void, cold.vent_gap), (Some(Length::mm(50)), Some(Length::mm(25))));
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let plain = read(EVERY_KEY);
    let windows = format!("\u{feff}{}", EVERY_KEY.replace('\n', "\r\n"));
    assert_eq!(read(&windows).job, plain.job);
    let failure = load(&asked(&windows.replace("fall: 1:40", "fall: flat"))).unwrap_err();
    let line = EVERY_KEY.lines().position(|l| l.contains("fall: 1:40")).unwrap() + 1;
    let said = render(&failure.problems, &failure.sources, false);
    assert!(said.contains(&format!("job.yaml:{line}:11")), "{said}");
}

#[test]
fn a_job_without_firm_and_price_book_is_read_with_the_usual_rules_and_sizes() {
    let request = Request { firm: None, prices: Vec::new(), folder: "/".into(), ..asked(&porch(SQUARE, FOUR, "")) };
    let loaded = load(&request).unwrap();
    assert!(loaded.firm.is_none() && loaded.terms.is_none() && loaded.books.is_empty());
    assert_eq!((loaded.rules, loaded.products), (Rules::default(), Products::default()));
    let unusual =
        load(&Request { bytes: porch(SQUARE, FOUR, "").replace("osb3-18", "ply-18").into_bytes(), ..request })
            .unwrap_err();
    assert_eq!(unusual.problems[0].fault, "no board `ply-18` is among the usual ones, and there is no price book");
    let told: Vec<&str> = loaded.notices.iter().map(|n| n.fault.as_str()).collect();
    assert!(told.iter().any(|t| t.contains("no firm file was found")), "{told:?}");
    assert!(told.iter().any(|t| t.contains("no price book was found")), "{told:?}");
}

// Money and numbers.

#[test]
fn money_is_read_to_the_penny_and_never_through_a_floating_point_number() {
    for (written, pence) in
        [("12.10", 1210), ("0.10", 10), ("0.29", 29), ("19.99", 1999), ("93599.97", 9_359_997), ("7", 700)]
    {
        let loaded = read(&porch(SQUARE, FOUR, &format!("extras: [{{item: One, cost: {written}}}]\n")));
        let ExtraSum::Cost(sum) = loaded.job_money.extras[0].sum else { panic!("a cost") };
        assert_eq!(sum, Money::pence(pence), "{written}");
        let point = written.contains('.');
        assert_eq!(sum.as_pounds().to_string(), written, "the digits themselves (with a point: {point})");
    }
}

#[test]
fn a_bare_number_is_refused_with_each_reading_that_a_roof_can_have() {
    let problems = refused(&porch("{rectangle: {width: 150, depth: 2.4 m}}", FOUR, ""));
    assert_eq!(problems[0].place.to_string(), "roofs[0].outline.rectangle.width");
    assert_eq!(problems[0].fault, "`150` has no unit: it could be 150 mm or 150 m");
    assert_eq!(problems[0].cure, "write `150 mm` or `150 m`");
    let problems = refused(&porch("{rectangle: {width: 5200, depth: 2.4}}", FOUR, ""));
    assert_eq!(problems[0].fault, "`5200` has no unit: it can only be millimetres");
    assert_eq!(problems[0].cure, "write `5200 mm`, which is 5.2 m");
    assert_eq!(problems[1].cure, "write `2.4 m`, which is 2400 mm");
}

#[test]
fn the_nearest_key_is_suggested_and_all_keys_where_none_is_near() {
    let near = refused(&porch(SQUARE, FOUR, "asbestoss: no\n"));
    assert_eq!(near[0].cure, "did you mean `asbestos`?");
    let swapped = refused(&porch(SQUARE, &FOUR.replace("finish: drip", "finihs: drip"), ""));
    assert_eq!((swapped.len(), swapped[0].cure.as_str()), (1, "did you mean `finish`?"));
    let far = refused(&porch(SQUARE, FOUR, "strip: {colour: blue, covering: felt, tip: skip, boards: 18 mm}\n"));
    assert_eq!(far.len(), 1, "{far:?}");
    assert_eq!(far[0].cure, "it stands in `topcoat` of a roof; what can stand here: `covering`, `tip` and `boards`");
}

#[test]
fn problems_of_all_files_come_together_in_the_order_of_files_and_lines() {
    let folder = Scratch::new("all-files");
    folder.write(
        "firm.yaml",
        &std::fs::read_to_string("jobs/firm.yaml")
            .unwrap()
            .replace("kerf: 0 mm", "kerf: 0")
            .replace("margin: 25 %", "margin: 120 %"),
    );
    std::fs::copy("jobs/logo.png", folder.0.join("logo.png")).unwrap();
    folder.write(
        "prices.yaml",
        &std::fs::read_to_string("jobs/prices.yaml").unwrap().replace("price: 15.40", "price: 15.4"),
    );
    let text = porch("{rectangle: {width: 5200, depth: 2400}}", FOUR, "start: soon\n");
    let request = Request { folder: folder.0.clone(), firm: None, prices: Vec::new(), ..asked(&text) };
    let failure = load(&request).unwrap_err();
    let paths: Vec<(Source, String)> = failure.problems.iter().map(|p| (p.source, p.place.to_string())).collect();
    assert_eq!(
        paths,
        [
            (Source::Job, "roofs[0].outline.rectangle.width"),
            (Source::Job, "roofs[0].outline.rectangle.depth"),
            (Source::Job, "start"),
            (Source::Firm, "money.margin"),
            (Source::Firm, "rules.kerf"),
            (Source::Prices(0), "articles[0].price"),
        ]
        .map(|(source, path)| (source, path.to_owned()))
    );
    let said = render(&failure.problems, &failure.sources, false);
    assert!(said.contains("3 problems in job.yaml\n2 problems in ") && said.contains("1 problem in "), "{said}");
}

#[test]
fn colour_is_used_only_where_it_is_wanted() {
    let failure = load(&asked(&porch(SQUARE, "{}", ""))).unwrap_err();
    assert!(!render(&failure.problems, &failure.sources, false).contains('\u{1b}'));
    assert!(render(&failure.problems, &failure.sources, true).contains('\u{1b}'));
}

// Shapes.

/// The area of a triangle from its sides (Heron of Alexandria, Metrica, book I, proposition 8), mm².
fn heron(a: f64, b: f64, c: f64) -> f64 {
    let s = (a + b + c) / 2.0;
    (s * (s - a) * (s - b) * (s - c)).sqrt()
}

#[test]
fn the_area_of_a_quadrilateral_agrees_with_heron() {
    let shapes = [
        [3000, 4000, 3000, 4000, 5000],
        [5200, 3420, 5180, 3400, 6220],
        [2420, 1860, 2390, 1880, 3062],
        [6000, 2500, 4000, 3000, 6400],
        [8000, 8000, 8000, 8000, 9000],
    ];
    for [front, right, back, left, diagonal] in shapes {
        let outline = format!(
            "{{quadrilateral: {{front: {front} mm, right: {right} mm, back: {back} mm, left: {left} mm, diagonal: {diagonal} mm}}}}"
        );
        let roof = read(&porch(&outline, FOUR, "")).job.roofs.remove(0);
        let [f, r, b, l, d] = [front, right, back, left, diagonal].map(f64::from);
        let expected = heron(f, r, d) + heron(b, l, d);
        let found = ring_area(&roof.outline.corners).as_mm2() as f64;
        // Rounding the corners to whole millimetres moves each by 0.7 mm at most.
        assert!((found - expected).abs() <= 0.75 * (f + r + b + l), "{outline}: {found} against {expected}");
        let measured: Vec<i64> = roof.outline.edges.iter().map(|e| e.length.as_mm()).collect();
        assert_eq!(measured, [front, right, back, left].map(i64::from), "runs keep the measured lengths");
    }
}

/// Five lengths of one shape leave none over: a slip of a metre is told by nothing but its corners. The law of cosines gives them.
#[test]
fn four_sides_and_one_diagonal_are_told_to_be_unchecked_with_their_corners() {
    let told = |outline: &str| -> Vec<String> {
        read(&porch(outline, FOUR, "")).notices.iter().map(|n| format!("{:?} {n}", n.level)).collect()
    };
    let five = "front: 3100 mm, right: 3420 mm, back: 3110 mm, left: 2410 mm, diagonal: 3930 mm";
    let (a, b, d) = (3100.0_f64, 3420.0_f64, 3930.0_f64);
    let between = ((a * a + b * b - d * d) / (2.0 * a * b)).acos().to_degrees();
    let all = told(&format!("{{quadrilateral: {{{five}}}}}"));
    let unchecked =
        all.iter().find(|t| t.starts_with("Warning") && t.contains("no other measurement would show a slip"));
    assert!(unchecked.is_some_and(|t| t.contains("add it as `other_diagonal`")), "{all:?}");
    let corners = all.iter().find(|t| t.contains("the corners were found from five lengths")).unwrap();
    assert!(
        corners.starts_with("Assumed") && corners.contains(&format!("`front` to `right` {between:.1}°")),
        "{corners}"
    );
    let square = "{quadrilateral: {front: 4 m, right: 3 m, back: 4 m, left: 3 m, diagonal: 5 m, other_diagonal: 5 m}}";
    assert!(!told(square).iter().any(|t| t.contains("no other measurement") || t.contains("five lengths")));
}

#[test]
fn a_second_diagonal_that_misses_a_little_is_spread_and_all_six_lengths_nearly_kept() {
    let outline = |other: i64| {
        format!(
            "{{quadrilateral: {{front: 4 m, right: 3 m, back: 4 m, left: 3 m, diagonal: 5 m, other_diagonal: {other} mm}}}}"
        )
    };
    let square = read(&porch(&outline(5000), FOUR, "")).job.roofs.remove(0);
    assert_eq!(square.misclosure, None);
    assert_eq!(square.outline.corners[2], Point::new(4000, 3000));
    let roof = read(&porch(&outline(5010), FOUR, "")).job.roofs.remove(0);
    let missed = roof.misclosure.unwrap();
    assert_eq!((missed.check.as_str(), missed.by), ("the second diagonal", Length::mm(10)));
    assert!(
        missed.statement.contains("measured as 5010 mm") && missed.statement.contains("make it 5000 mm"),
        "{}",
        missed.statement
    );
    let distance = |a: Point, b: Point| ((a.x - b.x) as f64).hypot((a.y - b.y) as f64);
    let c = &roof.outline.corners;
    let drawn = [
        distance(c[0], c[1]),
        distance(c[1], c[2]),
        distance(c[2], c[3]),
        distance(c[3], c[0]),
        distance(c[0], c[2]),
        distance(c[1], c[3]),
    ];
    let measured = [4000.0, 3000.0, 4000.0, 3000.0, 5000.0, 5010.0];
    for (drawn, measured) in drawn.iter().zip(measured) {
        assert!((drawn - measured).abs() <= 6.0, "{drawn} against {measured}");
    }
    // By hand: the slopes of the second diagonal are 0.8, 0.6, 0.8, 0.6 and -1 for the sides and the first one, so the
    // condition shares 10 mm by a² × length: 2560 + 1080 + 2560 + 1080 + 5000 + 5010 = 17290, and the second diagonal
    // gives way by 10 × 5010 ÷ 17290 = 2.9 mm.
    assert!((drawn[5] - 5007.1).abs() <= 1.0, "{}", drawn[5]);
    assert!((drawn[4] - 4997.1).abs() <= 1.0, "{}", drawn[4]);
}

fn walk(legs: &[(&str, &str, i64)]) -> String {
    let legs: Vec<String> = legs
        .iter()
        .map(|(name, turn, go)| match turn.is_empty() {
            true => format!("{{edge: {name}, go: {go} mm}}"),
            false => format!("{{edge: {name}, turn: {turn}, go: {go} mm}}"),
        })
        .collect();
    format!("{{walk: [{}]}}", legs.join(", "))
}

/// An L: `yard` lies further up than `front` and faces the same way; `inner` ends in the inner corner.
fn l_shape(yard: &str, more: &str) -> String {
    let outline = walk(&[
        ("front", "", 3000),
        ("inner", "left", 2000),
        ("yard", "right", 2500),
        ("right", "left", 1500),
        ("back", "left", 5500),
        ("left", "left", 3500),
    ]);
    let raised = "{finish: raised}";
    let edges = format!(
        "{{front: {{finish: drip}}, inner: {raised}, yard: {{finish: {yard}}}, right: {raised}, back: {{finish: wall}}, left: {raised}}}"
    );
    porch(&outline, &edges, "").replace("    fall: 1:40\n", &format!("    fall: 1:40\n{more}"))
}

#[test]
fn a_walk_that_closes_gives_its_corners_exactly() {
    let roof = read(&l_shape("drip", "")).job.roofs.remove(0);
    let corners: Vec<(i64, i64)> = roof.outline.corners.iter().map(|p| (p.x, p.y)).collect();
    assert_eq!(corners, [(0, 0), (3000, 0), (3000, 2000), (5500, 2000), (5500, 3500), (0, 3500)]);
    assert_eq!(roof.misclosure, None);
    assert_eq!(ring_area(&roof.outline.corners), Area::mm2(3000 * 3500 + 2500 * 1500));
}

/// The name of one edge reads like the path of a stretch of another.
#[test]
fn a_fault_is_told_in_its_place_whatever_signs_a_name_holds() {
    let stretches = "yard: [{go: 1.0 m, finish: drip}, {finish: raised}]";
    let named =
        [("edge: back", "edge: \"yard[1]\""), ("back: {", "\"yard[1]\": {"), ("yard: {finish: drip}", stretches)];
    let text = named.iter().fold(l_shape("drip", ""), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    let failure = load(&asked(&text)).unwrap_err();
    assert_eq!(failure.problems[0].place, setting("roofs[0].edges.yard[1].finish").into());
    let before = &text[..text.find("raised}]").unwrap()];
    let (line, column) = (before.lines().count(), before.lines().last().unwrap().chars().count() + 1);
    let told = render(&failure.problems, &failure.sources, false);
    assert!(told.contains(&format!(":{line}:{column}\n")), "not in line {line}, column {column}:\n{told}");
}

#[test]
fn a_raised_edge_dams_the_water_wherever_it_faces_down_the_fall() {
    let problems = refused(&l_shape("raised", ""));
    assert_eq!(problems[0].place.to_string(), "roofs[0].edges.yard.finish");
    assert_eq!(problems[0].fault, "`yard` (raised) lies along the low side: it holds the water");
    read(&l_shape("raised", "    outlet: {at: [4.0 m, 2.4 m], size: 75 mm}\n"));
}

#[test]
fn a_hole_may_stand_close_to_the_inner_corner_but_not_touch_it() {
    let hole =
        |x: &str| format!("    holes: [{{name: hatch, at: [{x}, 2.0 m], size: [0.5 m, 0.5 m], finish: kerb}}]\n");
    let touching = refused(&l_shape("drip", &hole("2.5 m")));
    assert_eq!(touching[0].fault, "the hole `hatch` reaches across the edge `inner`");
    assert_eq!(read(&l_shape("drip", &hole("2.499 m"))).job.roofs[0].holes.len(), 1);
    let in_the_notch = refused(&l_shape("drip", &hole("3.5 m").replace("2.0 m", "0.5 m")));
    assert_eq!(in_the_notch[0].fault, "the hole `hatch` lies outside the roof");
}

#[test]
fn a_regular_walk_of_any_number_of_sides_closes_and_has_the_area_of_its_polygon() {
    for n in [3_u32, 5, 6, 8, 9, 12] {
        let names: Vec<String> = (0..n).map(|i| if i == 0 { "front".into() } else { format!("side {i}") }).collect();
        let turn = format!("left {}", Decimal::from(360) / Decimal::from(n));
        let legs: Vec<(&str, &str, i64)> = names
            .iter()
            .enumerate()
            .map(|(i, name)| (name.as_str(), if i == 0 { "" } else { turn.as_str() }, 2000))
            .collect();
        let edges: Vec<String> = names.iter().map(|name| format!("{name}: {{finish: drip}}")).collect();
        let roof = read(&porch(&walk(&legs), &format!("{{{}}}", edges.join(", ")), "")).job.roofs.remove(0);
        assert_eq!(roof.misclosure, None, "{n} sides");
        // Area of a regular polygon: n a² ÷ (4 tan(π ÷ n)) (Bronshtein, Handbook of Mathematics; from memory).
        let expected = f64::from(n) * 4e6 / (4.0 * (std::f64::consts::PI / f64::from(n)).tan());
        let found = ring_area(&roof.outline.corners).as_mm2() as f64;
        assert!((found - expected).abs() <= 0.75 * f64::from(n) * 2000.0, "{n} sides: {found} against {expected}");
    }
}

#[test]
fn a_small_closing_error_is_spread_by_length_and_reported() {
    let outline = walk(&[("front", "", 4000), ("right", "left", 2000), ("back", "left", 3992), ("left", "left", 2000)]);
    let roof = read(&porch(&outline, FOUR, "")).job.roofs.remove(0);
    let missed = roof.misclosure.unwrap();
    assert_eq!((missed.by, missed.check.as_str()), (Length::mm(8), "the walk"));
    assert!(missed.statement.starts_with("the walk ends 8 mm too far right"), "{}", missed.statement);
    // Compass rule: each corner moves by 8 mm × way walked ÷ 11992 mm.
    let corners: Vec<(i64, i64)> = roof.outline.corners.iter().map(|p| (p.x, p.y)).collect();
    assert_eq!(corners, [(0, 0), (3997, 0), (3996, 2000), (1, 2000)]);
    assert_eq!(roof.outline.edges[0].length, Length::mm(4000), "the run keeps its measured length");
}

// The firm, its rules and its prices.

#[test]
fn the_demo_firm_file_shows_every_rule_with_its_default() {
    let loaded = good("jobs/kitchen-extension/job.yaml");
    assert_eq!(loaded.rules, Rules::default());
    let text = std::fs::read_to_string("jobs/firm.yaml").unwrap();
    let rules = text.split_once("\nrules:\n").unwrap().1;
    for (name, ..) in Rules::ABOUT {
        assert!(rules.lines().any(|l| l.trim_start().starts_with(&format!("{name}:"))), "`{name}` is not shown");
    }
}

#[test]
fn every_rule_can_be_changed_by_its_name() {
    let text = std::fs::read_to_string("jobs/firm.yaml").unwrap();
    let folder = Scratch::new("rules");
    std::fs::copy("jobs/logo.png", folder.0.join("logo.png")).unwrap();
    for (from, to) in [
        ("wall_gap: 25 mm", "wall_gap: 3 cm"),
        ("glass_fraction: 0.25 by mass", "glass_fraction: 0.3"),
        ("drip_battens: 2 layers", "drip_battens: 1 layer"),
        ("batten: 25 × 50 mm", "batten: 22x45 mm"),
        ("least_fall: 1:80", "least_fall: 1:60"),
        ("mat_return: {drip: 0 mm, raised: 60 mm, wall: 100 mm,", "mat_return: {wall: 120 mm,"),
        ("air_stop: 5 C", "air_stop: 6 °C"),
        ("deck_soak: 0.15 kg/m2", "deck_soak: 0.2 kg/m²"),
    ] {
        assert!(text.contains(from), "{from}");
        folder.write("firm.yaml", &text.replace(from, to));
        let request = Request { firm: Some(folder.0.join("firm.yaml")), ..asked(&porch(SQUARE, FOUR, "")) };
        let rules = load(&request).unwrap_or_else(|f| panic!("{to}: {:?}", f.problems)).rules;
        assert_ne!(rules, Rules::default(), "{to}");
    }
}

#[test]
fn a_logo_may_be_a_png_or_a_jpeg_and_nothing_else() {
    // Start of image, JFIF header, baseline frame of 32 × 16 pixels, end of image (ITU-T T.81).
    let jpeg: &[u8] = b"\xFF\xD8\xFF\xE0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0\xFF\xC0\0\x11\x08\0\x10\0\x20\x03\x01\x22\0\x02\x11\x01\x03\x11\x01\xFF\xD9";
    let folder = Scratch::new("logo");
    let firm = std::fs::read_to_string("jobs/firm.yaml").unwrap().replace("logo: logo.png", "logo: mark.jpg");
    folder.write("firm.yaml", &firm);
    let request = Request { firm: Some(folder.0.join("firm.yaml")), ..asked(&porch(SQUARE, FOUR, "")) };
    std::fs::write(folder.0.join("mark.jpg"), jpeg).unwrap();
    assert_eq!(load(&request).unwrap().firm.unwrap().logo.unwrap().bytes, jpeg.to_vec().into());
    std::fs::write(folder.0.join("mark.jpg"), &jpeg[..6]).unwrap();
    let cut = load(&request).unwrap_err();
    assert_eq!(cut.problems[0].fault, "`mark.jpg` is not a PNG or JPEG picture");
    let demo = good("jobs/bay/job.yaml").firm.unwrap();
    assert!(demo.logo.unwrap().bytes.whole().unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn sizes_come_from_the_price_book() {
    let products = good("jobs/kitchen-extension/job.yaml").products;
    let board = &products.boards["osb3-18"];
    assert_eq!((board.length, board.width, board.thickness), (Length::mm(2400), Length::mm(590), Length::mm(18)));
    assert_eq!(board.edge, BoardEdge::TongueAndGroove);
    for finish in [Finish::Drip, Finish::Raised, Finish::Wall, Finish::Kerb] {
        let lengths: Vec<Length> = products.profiles[&finish].stock.iter().map(|s| s.length).collect();
        assert_eq!(lengths, [Length::mm(3000)], "{finish:?} is sold in 3 m lengths only");
    }
    assert_eq!(products.profiles[&Finish::Drip].stock[0].pence, Some(1185));
    assert_eq!(products.profiles[&Finish::Wall].flange, Some(Length::mm(100)));
    assert_eq!(products.mats[&450].rolls, [Length::mm(33_000), Length::mm(66_000)]);
    assert_eq!(products.colours, ["brick red", "dark grey", "green", "light grey"]);
    assert_eq!(products.catalyst_density, Decimal::new(115, 2));
    assert!(products.closures);
}

#[test]
fn the_demo_price_book_sells_every_role() {
    let book = good("jobs/kitchen-extension/job.yaml").books.remove(0);
    for facts in ROLES {
        let role = facts.word;
        let sold = |r: &Role| match role.strip_suffix('*') {
            Some(family) => r.to_string().starts_with(family),
            None => *r == role,
        };
        assert!(book.articles.iter().any(|a| sold(&a.role)), "nothing is sold for `{role}`");
    }
    for article in &book.articles {
        let shape: Vec<char> = article.code.chars().collect();
        let letters = shape.iter().take_while(|c| c.is_ascii_uppercase()).count();
        assert!(letters == 0 && shape.contains(&'-'), "`{}` is not a code of our own pattern", article.code);
    }
}

#[test]
fn an_article_without_a_price_gives_its_size_but_cannot_be_bought() {
    let folder = Scratch::new("no-price");
    let article = "  - {role: board.ply-9, code: ply-9-sheet, description: Board, pack: board, holds: 1, length: 2440 mm, width: 1220 mm, thickness: 9 mm, edge: square}\n";
    std::fs::copy("jobs/logo.png", folder.0.join("logo.png")).unwrap();
    folder.write(
        "prices.yaml",
        &format!("merchant: {{name: M, delivery: 0.00}}\ndated: 2026-11-01\narticles:\n{article}"),
    );
    let job = porch(SQUARE, FOUR, "").replace("osb3-18", "ply-9");
    let request = |job: &str| Request { prices: vec![folder.0.join("prices.yaml")], ..asked(job) };
    let loaded = load(&request(&job)).unwrap_or_else(|f| panic!("{:?}", f.problems));
    assert_eq!(loaded.products.boards["ply-9"].thickness, Length::mm(9));
    assert!(loaded.books[0].articles.is_empty());
    assert!(loaded.notices.iter().any(|n| n.source == Source::Prices(0) && n.level == Level::Assumed));
    let overlay = load(&request(&job.replace("action: new", "action: overlay"))).unwrap_err();
    assert_eq!(overlay.problems[0].fault, "`ply-9` is 9 mm thick: too thin to overlay an old deck");
}

#[test]
fn a_file_of_nothing_but_marks_of_byte_order_is_an_empty_one() {
    for marks in [1, 2, 70] {
        let failure = load(&asked(&"\u{feff}".repeat(marks))).unwrap_err();
        assert_eq!(failure.problems[0].fault, "there is nothing in this file", "{marks}");
    }
}

/// Line ends are counted a few thousand bytes at a time: every line stands where it stands in that stretch or the next.
#[test]
fn a_problem_is_shown_at_its_line_wherever_that_stands_in_a_long_file() {
    let mut text: String = (1..=1500).map(|n| format!("setting {n}{}\n", "\n".repeat(n % 7))).collect();
    text.push_str("the last");
    let sources = Sources {
        job: SourceText::new("job.yaml".into(), text.clone()),
        ..load(&crate::demo::request("bay")).unwrap().sources
    };
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines.len() > 5000);
    for (line, words) in (1..).zip(&lines) {
        let problem = Problem::fault(Whereabouts::Text { line, column: 1 }, "a fault", "a cure");
        let shown = render(&[problem], &sources, false);
        assert!(shown.contains(&format!("job.yaml:{line}:1")), "{line}: {shown}");
        assert!(shown.contains(&format!("{line} | {words}").trim_end().to_owned()), "{line}: {shown}");
    }
}

#[test]
fn a_mark_of_byte_order_within_a_file_is_told_where_it_stands() {
    for text in
        ["# A note\n\u{feff}", "# A note\n\u{feff}reference: 26-001", "reference: 26-001\n\u{feff}title: Two files"]
    {
        let failure = load(&asked(text)).unwrap_err();
        let [problem] = failure.problems.as_slice() else { panic!("{text:?}: {:?}", failure.problems) };
        assert!(problem.fault.contains("U+FEFF"), "{text:?}: {}", problem.fault);
        assert_eq!(problem.place, Whereabouts::Text { line: 2, column: 1 }, "{text:?}");
    }
}

#[test]
fn the_nearest_firm_file_and_price_books_going_upward_count() {
    let folder = Scratch::new("upward");
    let demo = std::fs::read_to_string("jobs/firm.yaml")
        .unwrap()
        .replace("  logo: logo.png # a PNG or JPEG next to this file\n", "");
    let book = "dated: 2026-11-01\narticles: []\n";
    std::fs::create_dir_all(folder.0.join("near/job")).unwrap();
    std::fs::create_dir_all(folder.0.join("prices")).unwrap();
    folder.write("firm.yaml", &demo);
    folder.write("near/firm.yaml", &demo.replace("Harrow & Teal Flat Roofs #", "Nearer Roofs #"));
    folder.write("prices/b.yaml", &format!("merchant: {{name: Second, delivery: 0.00}}\n{book}"));
    folder.write("prices/a.yaml", &format!("merchant: {{name: First, delivery: 0.00}}\n{book}"));
    let text = porch(SQUARE, FOUR, "");
    let request = Request { folder: folder.0.join("near/job"), firm: None, prices: Vec::new(), ..asked(&text) };
    let loaded = load(&request).unwrap_or_else(|f| panic!("{:?}", f.problems));
    assert_eq!(loaded.firm.unwrap().party.name, "Nearer Roofs");
    let merchants: Vec<&str> = loaded.books.iter().map(|b| b.merchant.name.as_str()).collect();
    assert_eq!(merchants, ["First", "Second"]);
    let missing = load(&Request { firm: Some(folder.0.join("none.yaml")), ..request }).unwrap_err();
    assert!(missing.problems[0].fault.starts_with("this file cannot be read"), "{:?}", missing.problems);
    assert_eq!(missing.problems[0].source, Source::Firm);
}

/// As it is typed in the job's own folder, or piped there.
#[test]
fn the_firm_file_is_found_from_the_folder_of_the_job() {
    for (place, asked, piped) in
        [("jobs/bay", "job.yaml", false), ("jobs/bay", ".", false), ("jobs", "bay", false), ("jobs/bay", "-", true)]
    {
        let stdin = if piped { std::fs::File::open("jobs/bay/job.yaml").unwrap().into() } else { Stdio::null() };
        let mut wetout = Command::new(env!("CARGO_BIN_EXE_wetout"));
        let done = wetout.args(["price", asked]).current_dir(place).stdin(stdin).output().unwrap();
        let told = String::from_utf8_lossy(&done.stdout);
        assert!(done.status.success() && told.contains("Price with VAT"), "{place} {asked}: {done:?}");
    }
}

#[test]
fn the_firm_file_is_found_however_the_folder_is_written() {
    let folder = std::env::current_dir().unwrap().join("jobs/bay");
    let absolute = folder.to_string_lossy();
    for (written, expected) in [
        ("jobs/bay", "jobs/firm.yaml"),
        ("./jobs/bay", "jobs/firm.yaml"),
        ("jobs/./bay/.", "jobs/firm.yaml"),
        ("jobs/dormer/../bay", "jobs/firm.yaml"),
        (&absolute, &absolute.replace("bay", "firm.yaml")),
    ] {
        let file = Path::new(written).join("job.yaml");
        let request = Request { folder: written.into(), firm: None, prices: Vec::new(), ..request(&file) };
        assert_eq!(load(&request).unwrap().sources.firm.unwrap().name, expected, "{written}");
    }
}

#[test]
fn an_outlet_lets_a_roof_stand_that_would_hold_its_water() {
    let dammed = FOUR.replace("drip", "raised");
    let outlet = |edges: &str| {
        porch(SQUARE, edges, "")
            .replace("    fall: 1:40\n", "    fall: 1:40\n    outlet: {at: [1.6 m, 0.3 m], size: 75 mm}\n")
    };
    assert!(refused(&porch(SQUARE, &dammed, ""))[0].fault.contains("neither a drip edge nor an outlet"));
    assert!(read(&outlet(&dammed)).job.roofs[0].outlets.len() == 1);
    let hole = "    holes: [{name: hatch, at: [1.4 m, 0.2 m], size: [0.5 m, 0.5 m], finish: kerb}]\n    outlet:";
    let blocked = refused(&outlet(&dammed).replace("    outlet:", hole));
    assert_eq!(blocked[0].fault, "the outlet stands in or against the hole `hatch`");
}

#[test]
fn an_unanswered_question_of_asbestos_counts_as_yes_where_an_old_covering_comes_off() {
    let job = |site: &str, strip: &str| porch(SQUARE, FOUR, &format!("{site}{strip}")).replace("asbestos: no\n", "");
    let strip = "strip: {covering: felt, tip: skip}\n";
    for (site, strip, expected) in [
        ("site: {built_before_2000: yes}\n", strip, Answer::NotKnown),
        ("site: {built_before_2000: not known}\n", strip, Answer::NotKnown),
        ("", strip, Answer::NotKnown),
        ("site: {built_before_2000: no}\n", strip, Answer::No),
        // Nobody said whether anything old comes off.
        ("site: {built_before_2000: yes}\n", "", Answer::NotKnown),
        ("", "", Answer::NotKnown),
        ("site: {built_before_2000: no}\n", "", Answer::No),
        ("site: {built_before_2000: yes}\n", "strip: nothing\n", Answer::No),
    ] {
        let loaded = read(&job(site, strip));
        assert_eq!(loaded.job.asbestos, expected, "{site}{strip}");
        let newer = site.contains("2000: no}");
        let level = if expected == Answer::NotKnown { Level::Warning } else { Level::Assumed };
        let told: Vec<Level> =
            loaded.notices.iter().filter(|n| n.fault.contains("asbestos")).map(|n| n.level).collect();
        // Whoever has said that the building is newer is asked no more.
        assert_eq!(told, if newer { vec![] } else { vec![level] }, "{site}{strip}");
    }
}

// Hostile files.

/// What "well under a second" is; a build without optimisation is some twenty times slower.
const QUICK: std::time::Duration = std::time::Duration::from_millis(if cfg!(debug_assertions) { 4000 } else { 500 });

fn hostile() -> Vec<(&'static str, Vec<u8>)> {
    let bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n".to_owned()
        + &('b'..='i')
            .zip('a'..='h')
            .map(|(k, p)| format!("{k}: &{k} [*{p},*{p},*{p},*{p},*{p},*{p},*{p},*{p},*{p}]\n"))
            .collect::<String>();
    let staircase: String = (0..1500).map(|n| format!("{}a:\n", " ".repeat(n))).collect();
    vec![
        ("nested lists", b"[".repeat(100_000)),
        ("nested groups", b"{a: ".repeat(100_000)),
        ("nested block lists", b"- ".repeat(100_000)),
        ("a staircase", staircase.into_bytes()),
        ("an alias bomb", bomb.into_bytes()),
        ("fifty megabytes", vec![b'a'; 50_000_000]),
        ("NUL", b"reference: a\0b\n".to_vec()),
        ("invalid UTF-8", b"reference: caf\xe9\n".to_vec()),
        ("UTF-16", "reference: a\n".encode_utf16().flat_map(u16::to_le_bytes).collect()),
        ("a long line", vec![b'a'; 950_000]),
        ("a long quoted line", [b"a: \"".to_vec(), vec![b'x'; 950_000]].concat()),
        ("many keys as questions", b"? ".repeat(450_000)),
        ("many anchors", b"- &a b\n".repeat(120_000)),
        ("many references", [b"- &a b\n".to_vec(), b"- *a\n".repeat(150_000)].concat()),
        ("many entries on one line", [b"[".to_vec(), b"a,".repeat(450_000)].concat()),
        ("nothing", Vec::new()),
        ("spaces", b" \n".repeat(450_000)),
        ("a directive", b"%YAML 9.9\n---\na: b\n".to_vec()),
    ]
}

#[test]
fn a_hostile_file_gets_one_clear_error_in_well_under_a_second() {
    for (what, bytes) in hostile() {
        let start = CpuTime::begin();
        let failure = load(&bare_request(bytes)).expect_err(what);
        let said = render(&failure.problems, &failure.sources, false);
        let took = start.spent();
        let mine: Vec<&Problem> = failure.problems.iter().filter(|p| p.source == Source::Job).collect();
        assert_eq!(mine.len(), 1, "{what}: {said}");
        assert!(took < QUICK, "{what} took {took:?}");
        assert!(said.len() < 1500, "{what}: {} bytes are said", said.len());
    }
}

#[test]
fn more_roofs_legs_or_holes_than_any_job_has_are_refused_at_once() {
    let legs: Vec<String> = (0..3000).map(|n| format!("{{edge: e{n}, turn: left, go: 1 m}}")).collect();
    let walk = refused(&porch(&format!("{{walk: [{}]}}", legs.join(", ")), FOUR, ""));
    assert_eq!(walk[0].fault, "there are 3000 legs here: more than 200 are not read");
    let holes = "{name: h, at: [1 m, 1 m], round: 50 mm}, ".repeat(1500);
    let holes = refused(
        &porch(SQUARE, FOUR, "").replace("    fall: 1:40\n", &format!("    fall: 1:40\n    holes: [{holes}]\n")),
    );
    assert_eq!(holes[0].fault, "there are 1500 holes here: more than 100 are not read");
    let roofs = refused(&porch(SQUARE, FOUR, &"  - {name: More}\n".repeat(200)));
    assert!(roofs.iter().any(|p| p.fault.starts_with("there are 201 roofs here")), "{roofs:?}");
}

#[test]
fn text_holds_no_control_characters_however_they_are_written() {
    let problems = refused(&porch(SQUARE, FOUR, "").replace("title: Porch", "title: \"Por\\x07ch\""));
    assert_eq!(problems[0].fault, "there is a control character (U+0007) in this text");
}

#[test]
fn a_file_with_countless_problems_tells_the_first_of_them_at_once() {
    let edges: String = (0..9_000).map(|n| format!("edge{n}: {{finish: drip}}, ")).collect();
    let files = [
        (0..6_000).map(|n| format!("wrong{n}: 1\n")).collect(),
        "wrong: 1\n".repeat(6_000),
        format!("{{{}}}", (0..6_000).map(|n| format!("w{n}: 1, ")).collect::<String>()),
        porch(SQUARE, &format!("{{{edges}}}"), ""),
        format!("rules: {{{}}}", "a: 1 #b\n, ".repeat(6_000)),
    ];
    for (n, file) in files.iter().enumerate() {
        let start = CpuTime::begin();
        let failure = load(&bare_request(file.clone().into_bytes())).unwrap_err();
        render(&failure.problems, &failure.sources, false);
        assert!(failure.problems.len() <= 101, "file {n}");
        assert!(start.spent() < QUICK, "file {n} took {:?}", start.spent());
    }
    let problems = refused(&files[0]);
    assert_eq!(problems.len(), 101);
    assert_eq!(problems[100].fault, "there are more problems than these 100");
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        cases: 200,
        rng_seed: proptest::test_runner::RngSeed::Fixed(26_041),
        failure_persistence: None,
        ..Default::default()
    })]

    #[test]
    fn no_damage_to_a_job_file_makes_the_reader_fall_over(
        at in 0..3000_usize, cut in 0..40_usize, put in "[\\[\\]{}:,#&*!|>'\"%@ \n\t0-9a-zé-]{0,12}",
    ) {
        let text: Vec<char> = EVERY_KEY.chars().collect();
        let at = at.min(text.len());
        let damaged: String = text[..at].iter().copied().chain(put.chars()).chain(text[(at + cut).min(text.len())..].iter().copied()).collect();
        let (problems, sources) = match load(&bare_request(damaged.into_bytes())) {
            Ok(loaded) => (loaded.notices, loaded.sources),
            Err(failure) => {
                proptest::prop_assert!(failure.problems.iter().any(|p| p.level == Level::Fault));
                (failure.problems, failure.sources)
            }
        };
        render(&problems, &sources, false);
    }
}

/// A folder for one test, removed when the test is over.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str) -> Scratch {
        let folder = std::env::temp_dir().join(format!("wetout-{}-{name}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Scratch(folder)
    }

    fn write(&self, file: &str, text: &str) {
        std::fs::write(self.0.join(file), text).unwrap();
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        std::fs::remove_dir_all(&self.0).ok();
    }
}

#[test]
fn the_vat_number_of_a_firm_that_is_not_registered_is_not_kept() {
    let folder = crate::command::scratch("vat-number");
    let firm = std::fs::read_to_string("jobs/firm.yaml").unwrap();
    std::fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
    let number = |registered: &str| {
        let text = firm.replacen("registered: yes", registered, 1);
        std::fs::write(folder.join("firm.yaml"), text).unwrap();
        let job = Path::new("jobs/kitchen-extension/job.yaml");
        load(&Request { firm: Some(folder.join("firm.yaml")), ..request(job) }).unwrap().firm.unwrap().vat_number
    };
    assert!(number("registered: yes").is_some());
    assert_eq!(number("registered: no"), None);
}

/// What an alias brings in counts as often as it is used, and is told where it is used, in its own file.
#[test]
fn references_that_bring_in_more_text_than_a_file_may_hold_are_refused_in_their_place() {
    let job = std::fs::read_to_string("jobs/bay/job.yaml").unwrap();
    let long = "a".repeat(5000);
    let flat = format!("{}\nnotes: [&x \"{long}\"{}]\n", job.trim_end(), ", *x".repeat(28_000));
    let nested =
        format!("{}\nnotes: [&x {{a: \"{long}\"}}, &y [*x, *x, *x, *x]{}]\n", job.trim_end(), ", *y".repeat(60));
    let keys = format!("{}\nnotes: [&x {{{}: b}}{}]\n", job.trim_end(), &long[..1000], ", *x".repeat(1200));
    for text in [flat, nested, keys] {
        let begun = CpuTime::begin();
        let mut asked = request(Path::new("jobs/bay/job.yaml"));
        asked.bytes = text.into_bytes();
        let problems = load(&asked).err().unwrap().problems;
        let told = problems.iter().find(|p| p.fault.contains("written out, this file says more than 1000 kB"));
        let told = told.unwrap_or_else(|| panic!("{problems:?}"));
        assert!(told.source == Source::Job && !told.cure.is_empty(), "{told:?}");
        assert!(begun.spent() < std::time::Duration::from_secs(1), "{:?}", begun.spent());
    }
    // A few references are no harm.
    let few = job.replace("{valid_days: 30}", "{valid_days: 30, notes: [&x \"Words.\", *x, *x]}");
    assert!(few.contains("*x"));
    let mut asked = request(Path::new("jobs/bay/job.yaml"));
    asked.bytes = few.into_bytes();
    assert!(load(&asked).is_ok());
}

/// Too long in any unit: told once, and not tried in another unit without end.
#[test]
fn a_length_beyond_all_measure_is_told_in_every_unit() {
    for length in ["99999999999 mm", "99999999999 cm", "99999999999 m", "9999999 m"] {
        let text = lean_to("", "", "").replace("6.0 m", length);
        assert!(text.contains(length), "{text}");
        let request = Request { name: "job.yaml".into(), bytes: text.into_bytes(), ..Request::default() };
        let failure = load(&request).unwrap_err();
        let told = render(&failure.problems, &failure.sources, false);
        assert!(told.contains("is longer than any roof"), "{told}");
    }
}
