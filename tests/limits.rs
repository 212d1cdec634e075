//! Every number has a lowest and a highest value: the tables of limits against the demo files and through the real
//! reader, and the whole engine at the ends of every rule and at random places between.
//!
//! Given the demo firm, price book and jobs; fails where a default lies outside its limits, where a limit is not taken or
//! what lies beyond it is, and where anything within brings a panic, a run-away or an order that is short.

use crate::command::{scratch, wetout};
use crate::cpu_time::CpuTime;
use crate::demo::{names, request, work};
use crate::photographs;
use crate::replay::job::{faults, is_known, random_job};
use crate::replay::roofs::{self, Dice};
use crate::support::{asked, lean_to};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;
use wetout::estimate::{Office, estimate, lay_out, price_options};
use wetout::for_each_rule;
use wetout::job_file::{Loaded, Request, load};
use wetout::model::Section;
use wetout::model::limits::{COUNTS, DAYS, FOLDERS, JOB_PIECES, Limit, NUMBERS, PACKS, PAGES, POTS, in_unit};
use wetout::model::rules::{ByFinish, Dose, GelPoint, Limits, RuleLimits};
use wetout::model::shape::DeckAction;
use wetout::model::{Length, Level, Problem, Role, Rules};
use wetout::pages::block::{Block, Document, Span};
use wetout::pages::fitting;
use wetout::pricing::options::Together;
use wetout::pricing::{Article, Pricing, price};
use wetout::programme::{Programme, plan};
use wetout::takeoff::{TakeOff, take_off};

/// A folder for changed firm files and price books, with the demo firm's logo.
struct Desk(PathBuf);

impl Desk {
    fn new(name: &str) -> Desk {
        let folder = std::env::temp_dir().join(format!("wetout-limits-{}-{name}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
        Desk(folder)
    }

    /// Reads a job with this firm file and price book.
    fn read(&self, job: &str, firm: &str, prices: &str) -> Result<Loaded, Vec<Problem>> {
        let (firm_file, prices_file) = (self.0.join("firm.yaml"), self.0.join("prices.yaml"));
        std::fs::write(&firm_file, firm).unwrap();
        std::fs::write(&prices_file, prices).unwrap();
        let request = Request { firm: Some(firm_file), prices: vec![prices_file], ..asked(job) };
        load(&request).map_err(|f| f.problems)
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn firm() -> String {
    std::fs::read_to_string("jobs/firm.yaml").unwrap()
}

fn prices() -> String {
    std::fs::read_to_string("jobs/prices.yaml").unwrap()
}

/// The demo firm file with these rules and, but for one, no others.
fn firm_with(rules: &[String]) -> String {
    let text = firm();
    let (before, _) = text.split_once("\nrules:\n").unwrap();
    let lines: String = rules.iter().map(|r| format!("  {r}\n")).collect();
    let one = if rules.is_empty() { "  kerf: 0 mm\n" } else { "" };
    format!("{before}\nrules:\n{one}{lines}")
}

// ---- The table of rules --------------------------------------------------------------------------------------------

/// A rule whose limits are numbers; the tables have checks of their own.
fn is_number(rule: &RuleLimits) -> bool {
    !matches!(rule.limits, Limits::Rows { .. })
}

/// A line of the firm file: the rule at the value that is picked from its limits.
fn written(rule: &RuleLimits, pick: &mut dyn FnMut(Limit) -> Decimal) -> String {
    let by_finish = matches!(rule.name, "mat_return" | "topcoat_girth");
    let value = match rule.limits {
        Limits::Each(limit) if by_finish => {
            let one = |finish: &str| format!("{finish}: {} mm", pick(limit).normalize());
            format!("{{{}}}", ["drip", "raised", "wall", "kerb", "step"].map(one).join(", "))
        }
        Limits::Each(limit) => in_unit(pick(limit), rule.unit),
        Limits::Section { thickness, width } => {
            let (thickness, width) = (pick(thickness), pick(width));
            format!("{} × {} mm", thickness.normalize(), width.normalize())
        }
        Limits::Rows { .. } => "[]".into(),
    };
    format!("{}: {value}", rule.name)
}

/// The smallest step of a limit: one in its last place.
fn step(limit: Limit) -> Decimal {
    Decimal::new(1, limit.least.scale().max(limit.most.scale()))
}

#[test]
fn every_default_lies_within_its_limits() {
    let usual = Rules::default();
    for rule in Rules::LIMITS.iter().filter(|r| is_number(r)) {
        for (value, limit) in values(&usual, rule.name) {
            assert!(limit.holds(value), "`{}` of {value} lies outside {} to {}", rule.name, limit.least, limit.most);
            assert!(limit.least < limit.most, "`{}` has no room", rule.name);
        }
    }
    let demo = work(&request("kitchen-extension")).loaded;
    assert_eq!(demo.rules, usual, "the demo firm file, which is read within the limits, gives the defaults");
    assert_eq!(Rules::LIMITS.len(), Rules::ABOUT.len());
}

#[test]
fn every_limit_is_taken_and_what_lies_beyond_it_is_refused_in_its_place() {
    let desk = Desk::new("rules");
    let job = lean_to("", "", "");
    let rules: Vec<&RuleLimits> = Rules::LIMITS.iter().filter(|r| is_number(r)).collect();
    let ends: [(bool, &dyn Fn(Limit) -> Decimal); 4] =
        [(true, &|l| l.least), (true, &|l| l.most), (false, &|l| l.least - step(l)), (false, &|l| l.most + step(l))];
    for (good, end) in ends {
        for some in rules.chunks(40) {
            let lines: Vec<String> = some.iter().map(|r| written(r, &mut |l| end(l))).collect();
            let found = desk.read(&job, &firm_with(&lines), &prices()).err().unwrap_or_default();
            for (rule, line) in some.iter().zip(&lines) {
                let place = format!("rules.{}", rule.name);
                let told = found.iter().find(|p| {
                    let here = p.place.to_string() == place || p.place.to_string().starts_with(&format!("{place}."));
                    here && (p.fault.contains("it lies between")
                        || p.fault.contains("is less than nothing")
                        || p.fault.contains("is not a"))
                });
                assert_eq!(told.is_none(), good, "{line}: {told:?}");
                if let Some(told) = told {
                    assert!(told.cure.len() > 10 && told.level == Level::Fault, "{line}: {told}");
                }
            }
        }
    }
}

#[test]
fn a_rule_outside_its_limits_is_told_with_limits_default_and_reason() {
    let desk = Desk::new("words");
    let told = |line: &str| {
        let found = desk.read(&lean_to("", "", ""), &firm_with(&[line.into()]), &prices()).unwrap_err();
        assert_eq!(found.iter().filter(|p| p.level == Level::Fault).count(), 1, "{found:?}");
        found.into_iter().find(|p| p.level == Level::Fault).unwrap().to_string()
    };
    assert_eq!(
        told("wall_gap: 25 m"),
        "rules.wall_gap: `wall_gap` is 25 m; it lies between 5 mm and 60 mm; write a value from 5 mm to 60 mm; 25 mm is \
         usual: narrower is no gap, and boards push against the wall; the fillet and its bandage span a gap of about 60 mm \
         at most"
    );
    for (line, place) in [
        ("glass_fraction: 0", "glass_fraction"),
        ("hours_deck: 1000000 h/m2", "hours_deck"),
        ("extra_laps: 99999 each", "extra_laps"),
        ("misclosure: 10 m", "misclosure"),
        ("nail_spacing: 150 m", "nail_spacing"),
        ("topcoat_rate: 550", "topcoat_rate"),
        ("cure_hours: 99999", "cure_hours"),
        ("max_pot: 0.000001 kg", "max_pot"),
        ("acetone_per: 0.00001", "acetone_per"),
        ("sleeve_area: 0.00001", "sleeve_area"),
        ("brush_area: 0.00001", "brush_area"),
        ("bucket_resin: 0.00001", "bucket_resin"),
        ("deck_soak: 99999", "deck_soak"),
        ("mat_return: {kerb: 15 m}", "mat_return.kerb"),
        ("batten: 250 × 50 mm", "batten"),
        ("gel_points: [{temperature: 20 C, dose: 2 %, minutes: 0.5}]", "gel_points[0].minutes"),
        // Two that must agree.
        ("trim_lap: 200 mm\n  shortest_piece: 150 mm", "trim_lap"),
        ("corner_from: 90 degrees\n  corner_to: 90 degrees", "corner_from"),
        ("air_stop: 12 C", "air_warn"),
        ("hours_setup: 4 h a day\n  day_hours: 6 h", "hours_setup"),
        ("cure_hours: 72 h", "recoat_hours"),
        ("deck_field_fixing: 100 mm", "deck_edge_fixing"),
        ("mat_longest: 1 m\n  mat_stagger: 500 mm", "mat_stagger"),
        ("u_threshold: 0.12", "u_threshold"),
    ] {
        let words = told(line);
        assert!(words.starts_with(&format!("rules.{place}: ")), "{line}: {words}");
    }
}

// ---- The table of other numbers ------------------------------------------------------------------------------------

#[test]
fn every_number_of_the_table_has_room_and_is_used_by_the_reader() {
    let mut source = String::new();
    for folder in [
        "src/job_file/raw",
        "src/job_file/read",
        "src/job_file/build",
        "src/takeoff",
        "src/programme",
        "src/pricing",
        "src/documents",
        "src/pages",
        "src/cli",
        "src/cli/issued",
        "src/pdf",
        "src/survey",
    ] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "rs") {
                source += &std::fs::read_to_string(path).unwrap();
            }
        }
    }
    let used = |name: &str| source.contains(&format!("within {name};")) || source.contains(&format!("limits::{name}"));
    for (name, number) in NUMBERS {
        assert!(number.limit.least < number.limit.most, "{name}");
        assert!(used(name), "`{name}` limits nothing");
    }
    for (name, most) in COUNTS {
        assert!(most.most > 0 && used(name), "`{name}` limits nothing");
    }
}

/// Every setting of the files whose value is a number has limits, except those that are checked with others.
#[test]
fn every_setting_that_is_a_number_has_limits() {
    /// From joist to joist, told by the roof; the parts of a rule, told by the rule.
    const ELSEWHERE: [&str; 11] =
        ["spacing", "drip", "raised", "wall", "kerb", "step", "gutter", "laminate", "topcoat", "dose", "minutes"];
    let numbers = [
        "Length",
        "Area",
        "Mass",
        "Money",
        "Decimal",
        "u32",
        "Percent",
        "Celsius",
        "PercentRange",
        "Hours",
        "Fall",
        "FallSaid",
        "Volume",
        "Holds",
        "Thickness",
        "Conductivity",
        "Transmittance",
        "SolidDensity",
        "FlowRate",
        "CubicMetresEach",
        "KilogramsEach",
        "HoursEach",
        "FoundQuantity",
        "WorkedHours",
        "List<Length>",
        "ByName<Money>",
        "ByName<YesNoSum>",
        "ByName<SpentHours>",
        "ByName<Decimal>",
        "ShareOfPrice",
    ];
    let mut seen = 0;
    for file in ["job", "checks", "firm", "found", "prices", "record", "retention", "rules", "stock"] {
        let text = std::fs::read_to_string(format!("src/job_file/raw/{file}.rs")).unwrap();
        for line in text.lines().filter(|l| l.starts_with("        ") && l.ends_with(';')) {
            let Some((key, rest)) = line.trim().trim_end_matches(';').split_once(": ") else { continue };
            let of_type = rest.split(", needed").next().unwrap().split(", within").next().unwrap();
            if numbers.contains(&of_type) && !ELSEWHERE.contains(&key) {
                assert!(rest.contains(", within "), "{file}: `{key}: {of_type}` has no limits");
                seen += 1;
            }
        }
    }
    assert!(seen > 80, "only {seen} settings were found");
}

/// What was taken once, or ran for minutes: refused in its place, with the limits.
#[test]
fn numbers_that_nobody_means_are_refused_in_their_place() {
    let desk = Desk::new("numbers");
    let job = lean_to("", "", "");
    let refused = |job: &str, firm: &str, prices: &str, place: &str| {
        let found = desk.read(job, firm, prices).err().unwrap_or_default();
        let here: Vec<&Problem> =
            found.iter().filter(|p| p.level == Level::Fault && p.place.to_string() == place).collect();
        assert_eq!(here.len(), 1, "{place}: {found:#?}");
        assert!(here[0].cure.len() > 10, "{}", here[0]);
    };
    for (from, to, place) in [
        ("mat: 450, layers: 1", "mat: 100000, layers: 1", "roofs[0].laminate.mat"),
        ("mat: 450, layers: 1", "mat: 450, layers: 100000", "roofs[0].laminate.layers"),
        ("width: 6.0 m", "width: 6 mm", "roofs[0].outline.rectangle.width"),
        ("width: 6.0 m", "width: 160 m", "roofs[0].outline.rectangle.width"),
        ("spacing: 400 mm", "spacing: 40 mm", "roofs[0].joists.spacing"),
        ("upstand: 600 mm", "upstand: 60 m", "roofs[0].edges.back.upstand"),
        ("fall: 1:40", "fall: 1:900", "roofs[0].fall"),
        ("asbestos: no", "asbestos: no\nboundary: 201 m", "boundary"),
        ("asbestos: no", "asbestos: no\nstart: 2072-01-18", "start"),
        ("asbestos: no", "asbestos: no\ndelivery: {latest: 2062-01-18}", "delivery.latest"),
        ("prepared: 2026-11-25", "prepared: 0026-11-25", "prepared"),
        ("asbestos: no", "asbestos: no\nsite: {eaves_height: 26 mm}", "site.eaves_height"),
        ("asbestos: no", "asbestos: no\nconditions: {air: 5 C to 95 C}", "conditions.air"),
        ("asbestos: no", "asbestos: no\nquote: {valid_days: 0}", "quote.valid_days"),
        ("asbestos: no", "asbestos: no\nextras: [{item: cowl, cost: 9000000.00}]", "extras[0].cost"),
        ("asbestos: no", "asbestos: no\naccess: {scaffold: 9000000.00}", "access.scaffold"),
        ("asbestos: no", "asbestos: no\nlift: {payload: 1 g}", "lift.payload"),
    ] {
        assert!(job.contains(from), "{from}");
        let place = if place == "boundary" { "boundary" } else { place };
        refused(&job.replace(from, to), &firm(), &prices(), place);
    }
    for (from, to, place) in [
        ("overhead: 14 %", "overhead: 1400 %", "money.overhead"),
        ("margin: 25 %", "margin: 99 %", "money.margin"),
        ("skip: 285.00", "skip: 28500.00", "money.skip"),
        ("skip_volume: 4.6 m3", "skip_volume: 0.01 m3", "money.skip_volume"),
        ("travel_day: 32.00", "travel_day: 3200.00", "money.travel_day"),
        ("hour: 27.50", "hour: 2750.00", "people[0].hour"),
        ("minimum_charge: 850.00", "minimum_charge: 850.00\n  round_total_to: 12000.00", "money.round_total_to"),
        ("years: 20", "years: 2000", "guarantee.years"),
        ("rate: 20 %, rounding", "rate: 200 %, rounding", "money.vat.rate"),
    ] {
        assert!(firm().contains(from), "{from}");
        refused(&job, &firm().replacen(from, to, 1), &prices(), place);
    }
    for (from, to, place) in [
        ("thickness: 18 mm", "thickness: 18 m", "articles[0].thickness"),
        ("length: 2400 mm, width: 590 mm", "length: 1 mm, width: 1 mm", "articles[0].length"),
        ("price: 15.40", "price: 0.00", "articles[0].price"),
        ("mass: 16.6 kg", "mass: 16600 kg", "articles[0].mass"),
        ("from: 40", "from: 0", "articles[0].breaks[0].from"),
        ("lambda: 0.022 W/mK", "lambda: 0.00001 W/mK", "articles[3].lambda"),
        ("delivery: 45.00", "delivery: 45000.00", "merchant.delivery"),
    ] {
        assert!(prices().contains(from), "{from}");
        refused(&job, &firm(), &prices().replacen(from, to, 1), place);
    }
    let short = prices().replacen("pack: roll of 33 m, holds: 33 m", "pack: roll of 5 m, holds: 5 m", 1);
    let at = short.lines().filter(|l| l.trim_start().starts_with("- {role")).position(|l| l.contains("roll of 5 m"));
    let none = short.replacen("pack: roll of 66 m, holds: 66 m", "pack: roll of 8 m, holds: 8 m", 1);
    refused(&job, &firm(), &none, &format!("articles[{}].holds", at.unwrap()));
}

#[test]
fn a_roll_of_mat_that_is_too_short_is_left_out_where_there_is_a_longer_one() {
    let short = prices().replacen("pack: roll of 33 m, holds: 33 m", "pack: roll of 5 m, holds: 5 m", 1);
    assert_ne!(short, prices());
    let loaded = Desk::new("short-roll").read(&lean_to("", "", ""), &firm(), &short).unwrap();
    let told: Vec<&Problem> = loaded.notices.iter().filter(|p| p.fault.contains("is left out")).collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].level == Level::Warning
            && told[0].fault.contains("5 m")
            && told[0].cure.contains("take the article out")
    );
    assert!(told[0].place.to_string().ends_with(".holds"), "{}", told[0]);
    let codes: Vec<&str> =
        loaded.books.iter().flat_map(|book| &book.articles).map(|article| article.code.as_str()).collect();
    assert!(codes.contains(&"mat-450-roll-66m") && !codes.contains(&"mat-450-roll-33m"), "{codes:?}");
}

#[test]
fn a_percentage_of_less_than_one_is_asked_about() {
    let desk = Desk::new("percent");
    for (key, given, meant) in
        [("overhead", "0.14 %", "`14 %`"), ("contingency", "0.03 %", "`3 %`"), ("least_margin", "0.15 %", "`15 %`")]
    {
        let other = |line: &&str| !line.trim_start().starts_with(&format!("{key}:"));
        let firm: String = firm().lines().filter(other).map(|line| format!("{line}\n")).collect();
        let firm = firm.replacen("money:\n", &format!("money:\n  {key}: {given}\n"), 1);
        let place = format!("money.{key}");
        let notices = desk.read(&lean_to("", "", ""), &firm, &prices()).unwrap().notices;
        let told: Vec<Problem> = notices.into_iter().filter(|p| p.place.to_string() == place).collect();
        assert_eq!(told.len(), 1, "{key}");
        assert!(told[0].level == Level::Warning && told[0].cure.contains(meant), "{}", told[0]);
    }
}

// ---- Guards of the engine ------------------------------------------------------------------------------------------

/// A job taken through every layer but the documents.
struct Worked {
    take_off: TakeOff,
    programme: Programme,
    pricing: Pricing,
}

fn worked(loaded: &Loaded) -> Result<Worked, Vec<Problem>> {
    let take_off = take_off(&loaded.job, &loaded.rules, &loaded.products)?;
    let terms = loaded.terms.as_ref().unwrap();
    let programme = plan(&loaded.job, &take_off, &loaded.rules, loaded.products.catalyst_density, 2, &[]);
    let faults: Vec<Problem> = programme.notices.iter().filter(|p| p.level == Level::Fault).cloned().collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let (job, rules) = (&loaded.job, &loaded.rules);
    let pricing = price(job, rules, &take_off.needs, &programme, &loaded.books, terms, &loaded.job_money)?;
    Ok(Worked { take_off, programme, pricing })
}

/// What the work came to, in things that were made; none may pass its limit.
fn too_much(worked: &Worked) -> Option<String> {
    let roofs = &worked.take_off.roofs;
    let pieces = |r: &wetout::takeoff::layout::RoofLayout| {
        r.deck.iter().map(|d| d.pieces.len()).sum::<usize>() + r.mat.pieces.len()
    };
    let pots = worked.programme.pots.as_ref().map_or(0, |p| p.pots.len() + p.topcoat.len());
    let packs = worked.pricing.orders.iter().flat_map(|o| &o.lines).map(|l| l.quantity as usize).max().unwrap_or(0);
    let counts = [
        // A piece that is reckoned once may be cut in some.
        ("pieces", roofs.iter().map(pieces).sum(), JOB_PIECES.most * 4),
        ("pots", pots, POTS.most),
        ("days", worked.programme.days.len(), DAYS.most),
        ("packs", packs, PACKS.most),
    ];
    counts.iter().find(|(_, n, most)| n > most).map(|(what, n, most)| format!("{n} {what}, more than {most}"))
}

#[test]
fn what_cannot_be_laid_mixed_planned_or_ordered_is_told() {
    let desk = Desk::new("guards");
    let told = |job: &str, rules: &[&str], prices: &str, words: &str| {
        let rules: Vec<String> = rules.iter().map(|r| (*r).to_owned()).collect();
        let loaded = desk.read(job, &firm_with(&rules), prices).unwrap_or_else(|p| panic!("{p:#?}"));
        let found = worked(&loaded).err().unwrap_or_default();
        assert!(found.iter().any(|p| p.fault.contains(words) && p.cure.len() > 10), "{words}: {found:#?}");
    };
    let high = lean_to("", "", "").replace("upstand: 600 mm", "upstand: 3 m");
    let wide = high.replace("width: 6.0 m", "width: 100 m").replace("depth: 3.0 m", "depth: 100 m");
    let small = prices().replacen("length: 2400 mm, width: 590 mm", "length: 600 mm, width: 200 mm", 1);
    told(&wide, &[], &small, "more than 20000 are not laid out");
    let middle = high.replace("width: 6.0 m", "width: 40 m").replace("depth: 3.0 m", "depth: 40 m");
    told(
        &middle,
        &["laying_rate: 0.05 kg/min", "pot_margin: 20 %", "gel_at_20: 5 minutes"],
        &prices(),
        "more than 5000",
    );
    told(
        &middle,
        &["day_hours: 3 h", "hours_deck: 6 h/m2", "hours_laminate: 8 h/m2"],
        &prices(),
        "more than 1000 are not planned",
    );
    let crumbs = prices().replace("holds: 200 ml,", "holds: 0.01 ml,");
    told(&lean_to("", "", ""), &[], &crumbs, "packs of catalyst-200ml");
    let narrow = lean_to("", "", "").replace("depth: 3.0 m", "depth: 20 mm");
    told(&narrow, &[], &prices(), "no board lies on");
}

/// By hand: the firring is 6 mm at its toe and 3 m / 40 = 75 mm more at the wall, the board 18 mm: of 200 mm 101 are left.
#[test]
fn a_wall_that_leaves_no_room_for_its_fillet_is_refused() {
    let desk = Desk::new("walls");
    let told = |upstand: &str| {
        let job = lean_to("", "", "").replace("upstand: 600 mm", &format!("upstand: {upstand}"));
        let loaded = desk.read(&job, &firm(), &prices()).unwrap();
        worked(&loaded).err().unwrap_or_default().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(told("200 mm"), [""; 0]);
    let cure = "where a part of this sum cannot be right, look at `fall` and at the sizes of the outline; measure from the old \
                roof to where the flashing can be let in; else build up less there";
    for (upstand, left) in [("150 mm", "51 mm"), ("80 mm", "nothing")] {
        let fault =
            format!("at `back` {left} of the wall is left once the roof is built up, and the fillet goes 100 mm up it");
        let sum = format!("{upstand} surveyed less 81 mm of firring and 18 mm of board");
        assert_eq!(told(upstand), [format!("roofs[0].edges.back.upstand: {fault}: {sum}; {cure}")]);
    }
}

/// Twenty options of a large roof, each of which could be laid by itself.
#[test]
fn options_that_are_too_much_together_are_told_before_any_is_laid() {
    let desk = Desk::new("options");
    let small = prices().replacen("length: 2400 mm, width: 590 mm", "length: 800 mm, width: 200 mm", 1);
    let option = |n: usize| {
        let outline = format!("{{rectangle: {{width: {}.0 m, depth: 50 m}}}}", 40 + n);
        format!("  - {{name: Size {n}, one_of: size, change: {{roofs: {{Lean-to: {{outline: {outline}}}}}}}}}\n")
    };
    let high =
        |listed: &str| lean_to("", "", &format!("options:\n{listed}")).replace("upstand: 600 mm", "upstand: 3 m");
    let priced = |options: usize| {
        let listed: String = (0..options).map(option).collect();
        let loaded = desk.read(&high(&listed), &firm(), &small).unwrap();
        let laid = lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)).unwrap();
        let (rules, products, books, terms) = (&loaded.rules, &loaded.products, &loaded.books, loaded.terms.as_ref());
        let office = Office { rules, products, books, terms: terms.unwrap(), holidays: &[] };
        let base = estimate(&loaded.job, &loaded.job_money, &laid, office).unwrap().pricing;
        let begun = CpuTime::begin();
        let told = price_options(&base, (&loaded.job, &laid.take_off), loaded.choices(), office, &[]).unwrap_err();
        (told, begun.spent())
    };
    let (told, spent) = priced(20);
    let [told] = &told[..] else { panic!("{told:#?}") };
    assert_eq!(told.place.to_string(), "options");
    assert!(told.fault.contains("more than 240000 are not laid out") && told.cure.contains("one_of"), "{told}");
    assert!(spent < Duration::from_secs(2), "nothing was laid: {spent:?}");
}

#[test]
fn a_document_that_nobody_reads_is_refused_with_its_pages() {
    let of = |pages: usize| {
        let page = || [Block::Paragraph(vec![Span::plain("Roof")]), Block::PageBreak];
        let blocks = (0..pages).flat_map(|_| page()).collect();
        fitting::lay_out(&Document { blocks, ..photographs::document(Vec::new()) })
    };
    assert_eq!(of(PAGES.most).unwrap().pages.len(), PAGES.most);
    let told = of(PAGES.most + 1).unwrap_err();
    let [told] = &told[..] else { panic!("{told:#?}") };
    assert!(told.fault.contains("1001 pages: more than 1000") && told.cure.contains("split the job"), "{told}");
}

#[test]
fn a_clock_that_was_never_set_and_a_day_of_another_century_date_nothing() {
    use time::macros::date;
    let told = wetout::cli::believed(date!(1970 - 01 - 01)).unwrap_err();
    assert!(told.contains("1970-01-01") && told.contains("set its date"), "{told}");
    assert_eq!(wetout::cli::believed(date!(2026 - 11 - 28)), Ok(date!(2026 - 11 - 28)));
    for words in [["price", "jobs/bay", "--date", "1970-01-01"], ["list", "jobs", "--today", "9999-12-31"]] {
        let run = wetout(&words);
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(run.status.code() == Some(2) && said.contains("the year lies between 2000 and 2099"), "{said}");
    }
}

/// A whole disk, named in place of the folder of jobs.
#[test]
fn more_folders_than_anybody_files_jobs_in_are_not_gone_through() {
    let folder = scratch("limits-folders");
    (0..=FOLDERS.most).for_each(|n| std::fs::create_dir(folder.join(n.to_string())).unwrap());
    let run = wetout(&["check", folder.to_str().unwrap()]);
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.code() == Some(2) && said.contains("more than 20000 folders"), "{said}");
    assert!(said.contains("name the folder of your jobs"), "{said}");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_rounding_that_changes_the_price_is_a_fault() {
    let desk = Desk::new("rounding");
    let rounded = |to: &str| {
        let text = firm().replace("minimum_charge: 850.00", &format!("round_total_to: {to}"));
        let loaded = desk.read(&lean_to("", "", ""), &text, &prices()).unwrap();
        worked(&loaded).map(|w| w.pricing.total)
    };
    assert!(rounded("5.00").is_ok());
    // How far a total is from the nearest step hangs on the total: one of these is far.
    let found = ["499.99", "431.00", "389.00"].into_iter().find_map(|to| rounded(to).err()).unwrap();
    assert!(
        found.iter().any(|p| p.place.to_string() == "money.round_total_to" && p.fault.contains("more than 1 %")),
        "{found:?}"
    );
}

/// Rolls of eight lengths on a large roof, and short ones beside a long one: an answer, without listing every choice.
#[test]
fn many_lengths_of_roll_are_covered_without_trying_every_choice() {
    use wetout::cutting::rolls::{fewest_metres, rolls_for};
    let mm = Length::mm;
    let cuts: Vec<Length> = (0..130).map(|n| mm(5000 + n * 7)).collect();
    let rolls: Vec<Length> = [10, 15, 20, 25, 30, 33, 50, 66].iter().map(|m| mm(m * 1000)).collect();
    let plan = rolls_for(&cuts, &rolls).unwrap();
    let total: Length = cuts.iter().copied().sum();
    assert!(plan.enough >= total && fewest_metres(&rolls, total) >= total);
    // At worst each roll wastes less than the longest cut: 10 m rolls of one 5.9 m cut each.
    assert!(plan.enough <= mm(66_000 * 130), "{}", plan.enough);
    let short: Vec<Length> = [1, 2, 3, 4, 5, 33].iter().map(|m| mm(m * 1000)).collect();
    let plan = rolls_for(&cuts, &short).unwrap();
    assert!(plan.rolls.iter().all(|r| r.length == mm(33_000)), "a roll shorter than the cuts holds none");
}

// ---- The engine within the limits ----------------------------------------------------------------------------------

/// The numbers of a rule, each with its limits; a change is made with `pick`.
trait Ruled {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal);
}

fn one(limits: Limits) -> Limit {
    match limits {
        Limits::Each(limit) => limit,
        other => panic!("{other:?}"),
    }
}

impl Ruled for Length {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
        *self = Length::mm(pick(self.as_mm().into(), one(rule.limits)).round().to_i64().unwrap());
    }
}

impl Ruled for Decimal {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
        *self = pick(*self, one(rule.limits));
    }
}

impl Ruled for u32 {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
        *self = pick((*self).into(), one(rule.limits)).round().to_u32().unwrap();
    }
}

impl Ruled for ByFinish {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
        let sides =
            [&mut self.drip, &mut self.raised, &mut self.wall, &mut self.kerb, &mut self.step, &mut self.gutter];
        for side in sides {
            side.each(rule, pick);
        }
    }
}

impl Ruled for Section {
    fn each(&mut self, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
        let Limits::Section { thickness, width } = rule.limits else { panic!("{rule:?}") };
        for (side, limit) in [(&mut self.thickness, thickness), (&mut self.width, width)] {
            side.each(&RuleLimits { limits: Limits::Each(limit), ..*rule }, pick);
        }
    }
}

impl Ruled for Vec<Dose> {
    fn each(&mut self, _: &RuleLimits, _: &mut dyn FnMut(Decimal, Limit) -> Decimal) {}
}

impl Ruled for Vec<GelPoint> {
    fn each(&mut self, _: &RuleLimits, _: &mut dyn FnMut(Decimal, Limit) -> Decimal) {}
}

macro_rules! reach_rules {
    ($($name:ident: $type:ty = $default:expr, $limits:expr, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        /// Picks the numbers of the rule of that name anew.
        fn reach(rules: &mut Rules, rule: &RuleLimits, pick: &mut dyn FnMut(Decimal, Limit) -> Decimal) {
            match rule.name {
                $(stringify!($name) => rules.$name.each(rule, pick),)*
                other => panic!("no rule `{other}`"),
            }
        }
    };
}

for_each_rule!(reach_rules);

/// The numbers of a rule with their limits.
fn values(rules: &Rules, name: &str) -> Vec<(Decimal, Limit)> {
    let rule = Rules::LIMITS.iter().find(|r| r.name == name).unwrap();
    let (mut rules, mut seen) = (rules.clone(), Vec::new());
    reach(&mut rules, rule, &mut |value, limit| {
        seen.push((value, limit));
        value
    });
    seen
}

/// Longer than any job may keep its thread at work; what is counted is told by [`too_much`].
const PATIENCE: Duration = Duration::from_secs(if cfg!(debug_assertions) { 20 } else { 2 });

/// What is wrong with a job whose rules are these: more than may be made, or too long about it. A refusal is none.
fn overrun(loaded: &Loaded) -> Option<String> {
    let begun = CpuTime::begin();
    let found = worked(loaded).ok().and_then(|w| too_much(&w));
    found.or(too_long(&begun))
}

/// That a thread has worked longer than it may.
fn too_long(begun: &CpuTime) -> Option<String> {
    let spent = begun.spent();
    (spent > PATIENCE).then(|| format!("took {} ms", spent.as_millis()))
}

/// Each rule at its lowest and at its highest, over the demo jobs: over one of them, unless more is asked for with
/// `WETOUT_ROOFS`.
#[test]
fn every_rule_at_its_ends_lets_every_demo_job_end() {
    let all: Vec<Loaded> = names().iter().map(|name| load(&request(name)).unwrap()).collect();
    let thorough = roofs::count(1) >= 2000;
    let cases: Vec<(usize, bool)> = (0..Rules::LIMITS.len()).flat_map(|n| [(n, false), (n, true)]).collect();
    let run = |case: u64| -> Vec<String> {
        let (n, high) = cases[case as usize];
        let rule = &Rules::LIMITS[n];
        let jobs = all.iter().enumerate().filter(|(j, _)| thorough || *j == n % all.len());
        jobs.filter_map(|(_, loaded)| {
            let mut loaded = loaded.clone();
            reach(&mut loaded.rules, rule, &mut |_, limit| if high { limit.most } else { limit.least });
            overrun(&loaded).map(|wrong| format!("{} {}: {wrong}", rule.name, if high { "highest" } else { "lowest" }))
        })
        .collect()
    };
    roofs::assert_none_wrong(&roofs::wrong(0..cases.len() as u64, run), cases.len() as u64);
}

/// A value between the limits, in whole steps; now and then an end of them.
fn drawn(dice: &mut Dice, limit: Limit) -> Decimal {
    let step = step(limit);
    let steps = ((limit.most - limit.least) / step).round().to_i64().unwrap();
    let n = match dice.below(8) {
        0 => 0,
        1 => steps,
        _ => dice.size(0, steps),
    };
    limit.least + step * Decimal::from(n)
}

/// The demo price book with every price, and what most packs hold, drawn anew.
fn random_prices(dice: &mut Dice) -> String {
    let one = |line: &str, dice: &mut Dice| {
        let mut line = random_board(line, dice);
        for (key, by) in [("price: ", 40), ("holds: ", 4)] {
            let sized = [
                "board.",
                "trim.",
                "mat.",
                "bandage.",
                "insulation.",
                "corner.",
                "closure.",
                "collar.",
                "outlet.",
                "sawn.",
                "hanger",
            ]
            .iter()
            .any(|r| line.contains(r));
            if key == "holds: " && (sized || dice.below(2) == 0) {
                continue;
            }
            let Some(at) = line.find(&format!(", {key}")).map(|at| at + 2 + key.len()) else { continue };
            let end = line[at..].find(|c: char| !c.is_ascii_digit() && c != '.').map_or(line.len(), |n| at + n);
            let old: Decimal = line[at..end].parse().unwrap();
            let times = Decimal::new(dice.size(1, by * 10), 1);
            let new = match key {
                "price: " => format!("{:.2}", (old * times).max(Decimal::new(1, 2))),
                // What is counted comes whole.
                _ => (old * times)
                    .round_dp(if line[end..].starts_with([',', '}']) { 0 } else { 1 })
                    .max(Decimal::ONE)
                    .normalize()
                    .to_string(),
            };
            line.replace_range(at..end, &new);
        }
        line
    };
    let timber = |line: &str| {
        ["{role: sawn.", "{role: hanger,", "{role: fixings.timber,", "{role: fixings.framing,"]
            .iter()
            .any(|r| line.contains(r))
            || line.contains("{role: flashing.lead") && !line.contains("size: 150 mm")
    };
    let mut drawn = |line: &str| match line.contains("{role: ") {
        // With dice of its own: what else a seed draws does not hang on what openings are made of.
        true if timber(line) => one(line, &mut dice.clone()),
        true => one(line, dice),
        false => line.to_owned(),
    };
    // Rules drawn at random ask for flashings wider than anybody cuts in.
    let wide = |role: &str| {
        format!(
            "  - {{role: {role}, code: {role}-wide, description: Wide flashing, pack: roll of 6 m, holds: 6 m, price: 260.00, \
             mass: 40 kg, size: 900 mm}}\n"
        )
    };
    let book: String = prices().lines().map(|line| drawn(line) + "\n").collect();
    book + &wide("flashing.lead") + &wide("flashing.lead-free")
}

/// An article of the price book; where it is a board, of another size and now and then of the other kind of edge, so long
/// that it reaches over two spaces of any joists, and no thinner than an overlay may be.
fn random_board(line: &str, dice: &mut Dice) -> String {
    let (board, slab) = (line.contains("role: board."), line.contains("role: insulation."));
    if !(board || slab) || dice.below(3) == 0 {
        return line.to_owned();
    }
    let (length, width) =
        (dice.one_of(&[1200, 1220, 1800, 2400, 2440, 2500, 3000]), dice.one_of(&[400, 590, 600, 675, 1197, 1220]));
    let line = with_setting(line, "length", &format!("{} mm", length.max(width)));
    let line = with_setting(&line, "width", &format!("{} mm", width.min(length)));
    if slab {
        return line;
    }
    let line = with_setting(&line, "thickness", &format!("{} mm", dice.one_of(&[11, 12, 15, 18, 22])));
    with_setting(&line, "edge", dice.one_of(&["tongued", "square"]))
}

/// A line of the price book with another value for a setting that it has.
fn with_setting(line: &str, key: &str, value: &str) -> String {
    let (before, rest) = line.split_once(&format!(", {key}: ")).unwrap_or_else(|| panic!("{line} has no {key}"));
    let end = rest.find([',', '}']).unwrap();
    format!("{before}, {key}: {value}{}", &rest[end..])
}

/// A lean-to of random size with whatever may be said of a roof's build-up, and options that change it.
fn random_lean_to(dice: &mut Dice) -> String {
    let build_up = match dice.below(4) {
        0 => String::new(),
        1 => format!(
            "    build_up: {{kind: cold, work: renovated, joists: {{breadth: 47 mm, depth: {} mm, between: {{name: wool, \
             thickness: 100 mm, lambda: 0.035 W/mK}}}}, void: 50 mm, vent_gap: 25 mm}}\n",
            dice.one_of(&[150, 175, 200])
        ),
        _ => {
            let board = dice.one_of(&["pir-100", "pir-120", "pir-140", "pir-160"]);
            let overlay = dice.one_of(&[", overlay: osb3-18", ", overlay: osb3-18-square", ", overlay: osb3-11"]);
            let vapour = dice.one_of(&[
                "",
                ", vapour: {roll_width: 2 m, roll_length: 25 m}",
                ", vapour: {roll_width: 1 m, roll_length: 50 m}",
            ]);
            format!(
                "    build_up: {{kind: warm, work: new, joists: {{breadth: 47 mm, depth: 150 mm}}, insulation: {{board: {board}, \
                 name: rigid foam, density: 32 kg/m3}}{vapour}{overlay}}}\n"
            )
        }
    };
    let changes = [
        "roofs: {all: {laminate: {mat: 600}}}",
        "roofs: {all: {laminate: {layers: 2}}}",
        "roofs: {all: {deck: {action: overlay, board: osb3-18}}}",
        "roofs: {all: {topcoat: {colour: green, finish: slip-resistant}}}",
        "roofs: {all: {joists: {run: left to right, spacing: 600 mm}}}",
        "roofs: {all: {outline: {rectangle: {width: 4.1 m, depth: 2.7 m}}}}",
        "roofs: {all: {strip: {covering: felt, tip: skip}, flashing: others}}",
    ];
    let options: String = (0..dice.below(3))
        .map(|n| format!("  - {{name: Option {n}, change: {{{}}}}}\n", dice.one_of(&changes)))
        .collect();
    let options = if options.is_empty() { options } else { format!("options:\n{options}") };
    // High enough for whatever random rules build up before it.
    lean_to("", &build_up, &options)
        .replace("upstand: 600 mm", "upstand: 2.5 m")
        .replace("width: 6.0 m", &format!("width: {} mm", dice.size(900, 9000)))
        .replace("depth: 3.0 m", &format!("depth: {} mm", dice.size(900, 6000)))
}

/// What the reader may well refuse of a random build-up or option on random boards: the rule goes back to its default.
const OF_THE_JOB: [&str; 2] = ["too thin to overlay", "too thin to lie over insulation"];

/// Random rules and prices, read as the installer's are; pairs that the reader refuses are drawn again.
fn random_firm(dice: &mut Dice, desk: &Desk, seed: u64) -> Loaded {
    let job = random_lean_to(dice);
    let prices = random_prices(dice);
    let mut chosen: BTreeMap<&str, String> = BTreeMap::new();
    // With dice of their own: what else a seed draws does not hang on how much is screwed and chased.
    const OF_THEIR_OWN: [&str; 9] = [
        "firring_fixing",
        "batten_fixing",
        "chase_depth",
        "brick_course",
        "hours_trial",
        "board_kerf",
        "old_deck",
        "old_deck_bite",
        "timber_bite",
    ];
    let mut own = Dice::new(seed ^ 0x5c2e);
    for rule in Rules::LIMITS.iter().filter(|r| is_number(r)) {
        let dice = if OF_THEIR_OWN.contains(&rule.name) { &mut own } else { &mut *dice };
        if dice.below(3) > 0 {
            chosen.insert(rule.name, written(rule, &mut |limit| drawn(dice, limit)));
        }
    }
    for _ in 0..20 {
        let lines: Vec<String> = chosen.values().cloned().collect();
        match desk.read(&job, &firm_with(&lines), &prices) {
            Ok(loaded) => return loaded,
            Err(found) => {
                let faults: Vec<&Problem> = found.iter().filter(|p| p.level == Level::Fault).collect();
                let (of_rules, of_job): (Vec<&Problem>, Vec<&Problem>) =
                    faults.into_iter().partition(|p| p.place.to_string().starts_with("rules."));
                if let Some(unknown) = of_job.iter().find(|p| !OF_THE_JOB.iter().any(|known| p.fault.contains(known))) {
                    panic!("seed {seed}: {unknown}");
                }
                if !of_job.is_empty() {
                    chosen.remove("least_overlay");
                }
                for fault in &of_rules {
                    let place = fault.place.to_string();
                    let name = place.strip_prefix("rules.").unwrap_or_else(|| panic!("seed {seed}: {fault}"));
                    // The rule that is told, and those that it may not agree with, go back to their defaults.
                    let pairs = [
                        "trim_lap",
                        "shortest_piece",
                        "corner_from",
                        "corner_to",
                        "air_stop",
                        "air_warn",
                        "air_hot",
                        "hours_setup",
                        "day_hours",
                        "cure_hours",
                        "recoat_hours",
                        "deck_edge_fixing",
                        "deck_field_fixing",
                        "mat_stagger",
                        "mat_longest",
                        "u_renovated",
                        "u_threshold",
                        "old_deck",
                        "old_deck_bite",
                    ];
                    assert!(pairs.contains(&name), "seed {seed}: {fault}");
                    let with = match name {
                        "trim_lap" => &pairs[0..2],
                        "corner_from" => &pairs[2..4],
                        "air_warn" => &pairs[4..7],
                        "hours_setup" => &pairs[7..9],
                        "recoat_hours" => &pairs[9..11],
                        "deck_edge_fixing" => &pairs[11..13],
                        "mat_stagger" => &pairs[13..15],
                        "old_deck_bite" => &pairs[17..19],
                        _ => &pairs[15..17],
                    };
                    with.iter().for_each(|n| drop(chosen.remove(n)));
                }
            }
        }
    }
    panic!("seed {seed}: no rules were taken")
}

/// Refusals that random rules may well earn, beside those of random roofs.
fn is_refusal(problem: &Problem) -> bool {
    let known = [
        "are not laid out",
        "are not planned",
        "no pot can be laid",
        "more than 5000",
        "are not ordered",
        "no board lies on",
        "leaves too little beside laps",
        "cannot be joined with laps",
        "reaches over",
        "moved out to the battens",
        // Of rules and boards that no screw of the book fits.
        "does not sell `fixings.old-deck,",
    ];
    is_known(&problem.to_string())
        || known.iter().any(|k| problem.fault.contains(k))
        || problem.cure.contains("round_total_to")
}

/// What is bought by a size that random rules and roofs choose.
fn is_by_size(role: &Role) -> bool {
    let of_copings =
        matches!(role, Role::Dpc | Role::Capping | Role::CappingBracket | Role::CappingEnd | Role::CappingCorner);
    let of_walls = matches!(role, Role::FlashingLead | Role::FlashingLeadFree);
    of_copings || of_walls || matches!(role, Role::Bandage(_) | Role::PipeCollar | Role::Sawn(_) | Role::Hanger)
}

/// Adds to the price book what only random rules and roofs ask for: bandage of any width, collars for any pipe, what
/// covers a wall of any thickness.
fn sell_what_is_asked(loaded: &mut Loaded) {
    let Ok(laid) = take_off(&loaded.job, &loaded.rules, &loaded.products) else { return };
    let articles = &mut loaded.books[0].articles;
    for need in laid.needs.iter().filter(|n| is_by_size(&n.role)) {
        let serves = |a: &&Article| a.role == need.role && (need.size.is_none() || a.size == need.size);
        let like = articles.iter().find(|a| a.role.place() == need.role.place()).cloned();
        if let (None, Some(like)) = (articles.iter().find(serves), like) {
            let code = format!("{}-{}-{}", like.code, need.role, need.size.unwrap_or_default().as_mm());
            articles.push(Article { role: need.role.clone(), size: need.size, code, ..like });
        }
    }
}

/// What is wrong with a job that was read, or with one of its options: more than may be made, short, or too long about it.
fn replayed(loaded: &Loaded, refused: &AtomicU64) -> Vec<String> {
    let begun = CpuTime::begin();
    let worked = worked(loaded);
    let mut found = match worked {
        Err(problems) => {
            refused.fetch_add(1, Ordering::Relaxed);
            problems.iter().filter(|p| !is_refusal(p)).map(|p| format!("refused: {p}")).collect()
        }
        Ok(w) => {
            let mut found = faults(&loaded.job, &w.take_off, &w.pricing, loaded, &loaded.rules);
            found.extend(too_much(&w));
            found
        }
    };
    found.extend(too_long(&begun));
    found
}

/// The job that an option makes of a job: it is a job like any other.
fn with_option(loaded: &Loaded, n: usize) -> Loaded {
    let option = &loaded.options[n];
    Loaded {
        job: option.job.clone(),
        job_money: option.money.clone(),
        options: Vec::new(),
        together: Together::default(),
        ..loaded.clone()
    }
}

/// Random rules, prices and boards with random roofs, build-ups and options: replayed by the independent checker, never
/// short, and always ending. The first job of each seed is the one that was read, with its build-up and options; the
/// second has roofs of any shape under the same build-up.
#[test]
fn random_rules_and_prices_lay_and_buy_random_roofs_without_a_fault() {
    let count = roofs::count(if cfg!(debug_assertions) { 20 } else { 150 });
    let (refused, laid) = (AtomicU64::new(0), AtomicU64::new(0));
    let run = |seed: u64| -> Vec<String> {
        let desk = Desk::new(&format!("random-{seed}"));
        let mut dice = Dice::new(seed);
        let read = random_firm(&mut dice, &desk, seed);
        let mut all: Vec<Loaded> = (0..read.options.len()).map(|n| with_option(&read, n)).collect();
        let mut shaped = read.clone();
        shaped.job = random_job(&mut dice, &read.job);
        let build_up = &read.job.roofs[0].build_up;
        for roof in shaped.job.roofs.iter_mut().filter(|r| r.deck.action != DeckAction::Keep) {
            roof.build_up = build_up.clone().filter(|_| dice.below(2) == 0);
        }
        all.extend([read, shaped]);
        laid.fetch_add(all.len() as u64, Ordering::Relaxed);
        all.iter_mut()
            .flat_map(|loaded| {
                sell_what_is_asked(loaded);
                replayed(loaded, &refused)
            })
            .collect()
    };
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, run), count);
    let (refused, laid) = (refused.into_inner(), laid.into_inner());
    assert!(refused * 3 <= laid, "{refused} of {laid} are refused: too few are laid");
}
