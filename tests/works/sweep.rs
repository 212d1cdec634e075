//! Every rule, role, access question and key of the job file, turned one at a time: each must change something that
//! somebody reads or pays. Run with `--nocapture` to see what moves what.
//!
//! A working does not count: a rule that is only printed beside a figure that it does not change is dead.

#![allow(clippy::print_stdout)] // what moves what is told to whoever asks for it

use super::{Demo, demo};
use crate::command::scratch;
use crate::support::asked;
use rust_decimal::Decimal;
use std::any::Any;
use std::path::PathBuf;
use std::sync::OnceLock;
use wetout::checks::finding::Finding;
use wetout::documents::{Finished, Overrides, WholeJob, make};
use wetout::estimate::{Estimate, LaidOut, Office, estimate, lay_out, price_options};
use wetout::job_file::{Loaded, Request, load};
use wetout::model::problem::Source;
use wetout::model::role::ROLES;
use wetout::model::{Access, Problem, Rules};
use wetout::pricing::{Money, Pricing, price};
use wetout::programme::Programme;
use wetout::takeoff::TakeOff;

macro_rules! norm_by_name {
    ($($name:ident: $type:ty = $default:expr, $limits:expr, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        /// A rule that is a plain number, by its name in the firm file.
        pub fn norm<'a>(rules: &'a mut Rules, name: &str) -> &'a mut Decimal {
            $(if name == stringify!($name) {
                return (&mut rules.$name as &mut dyn Any).downcast_mut().unwrap();
            })*
            panic!("{name} is no rule")
        }
    };
}

wetout::for_each_rule!(norm_by_name);

// ---- What comes of a job --------------------------------------------------------------------------------------------

/// Everything that somebody reads or pays, without the workings; the documents apart, because they take long.
struct Outcome {
    demo: Demo,
    parts: Vec<(&'static str, String)>,
}

/// What comes of a job, or why it is refused.
fn outcome(request: &Request) -> Result<Outcome, Vec<Problem>> {
    let loaded = load(request).map_err(|f| f.problems)?;
    let laid = lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded))?;
    let estimated = estimate(&loaded.job, &loaded.job_money, &laid, office(&loaded))?;
    let (own, of_layers) = (&loaded.notices, laid.notices().collect::<Vec<_>>());
    let notices = format!("{own:?}{of_layers:?}{:?}{:?}", estimated.programme.notices, estimated.pricing.notices);
    let mut parts = vec![("notices", notices), ("silenced", format!("{:?}", loaded.silences))];
    parts.extend(of_take_off(&laid.take_off));
    parts.push(("findings", of_findings(&laid.checked.findings)));
    parts.push(("programme", of_programme(&estimated.programme)));
    parts.push(("price", of_pricing(&estimated.pricing)));
    let (LaidOut { take_off, checked, .. }, Estimate { programme, pricing }) = (laid, estimated);
    Ok(Outcome { demo: Demo { loaded, take_off, findings: checked.findings, programme, pricing }, parts })
}

fn office(loaded: &Loaded) -> Office<'_> {
    Office {
        rules: &loaded.rules,
        products: &loaded.products,
        books: &loaded.books,
        terms: loaded.terms.as_ref().unwrap(),
        holidays: &loaded.firm.as_ref().unwrap().holidays,
    }
}

/// All documents as they are printed, drawings and all, with the options priced.
fn documents(demo: &Demo) -> Vec<Finished> {
    let priced = price_options(
        &demo.pricing,
        (&demo.loaded.job, &demo.take_off),
        demo.loaded.choices(),
        office(&demo.loaded),
        &[],
    )
    .unwrap();
    let pricing = demo.pricing.clone().with_options(priced.options, priced.totals);
    let worked = WholeJob { pricing: &pricing, ..demo.worked() };
    demo::KINDS.iter().flat_map(|&kind| make(kind, &worked, &Overrides::default()).unwrap()).collect()
}

fn of_take_off(t: &TakeOff) -> Vec<(&'static str, String)> {
    let lines: Vec<_> = t.lines.iter().map(|l| (l.id, &l.roof, l.quantity)).collect();
    let needs: Vec<_> = t.needs.iter().map(|n| (&n.role, n.size, n.quantity, n.optional)).collect();
    vec![
        ("lines", format!("{lines:?}")),
        ("needs", format!("{needs:?}")),
        ("layout", format!("{:?}{:?}", t.roofs, t.profiles)),
    ]
}

fn of_findings(findings: &[Finding]) -> String {
    let all: Vec<_> = findings.iter().map(|f| (&f.id, &f.roof, f.verdict, &f.statement)).collect();
    format!("{all:?}")
}

fn of_programme(p: &Programme) -> String {
    let work: Vec<_> = p.work.iter().map(|w| (w.operation, &w.label, w.hours, w.wait_after)).collect();
    let weather = (&p.warnings, &p.weather, &p.least_surfaces, &p.stops);
    format!("{work:?}{:?}{:?}{weather:?}{:?}", p.days, p.mix, p.pots)
}

fn of_pricing(p: &Pricing) -> String {
    format!("{}{}{:?}{:?}{:?}{:?}{:?}", p.cost, p.total, p.lines, p.stages, p.orders, p.offers, p.lifts)
}

/// What differs first; the documents are asked only where they are wanted.
fn moved(was: &Turned, now: &Outcome, in_documents: bool) -> Option<&'static str> {
    let pairs = was.was.parts.iter().zip(&now.parts);
    let part = pairs.filter(|(a, b)| a.1 != b.1).map(|(a, _)| a.0).next();
    let told = || *was.documents.get_or_init(|| documents(&was.was.demo)) != documents(&now.demo);
    part.or_else(|| (in_documents && told()).then_some("documents"))
}

// ---- The jobs -------------------------------------------------------------------------------------------------------

/// A job on which things are turned, with what comes of it unturned.
struct Turned {
    name: &'static str,
    text: String,
    was: Outcome,
    documents: OnceLock<Vec<Finished>>,
}

/// Jobs for the sweep, the quickest first.
fn jobs() -> &'static [Turned] {
    static JOBS: OnceLock<Vec<Turned>> = OnceLock::new();
    JOBS.get_or_init(|| {
        let job = |(name, text): (&'static str, String)| {
            let was = outcome(&request(name, &text)).unwrap_or_else(|f| panic!("{name} is refused: {f:?}"));
            Turned { name, was, text, documents: OnceLock::new() }
        };
        texts().into_iter().map(job).collect()
    })
}

/// What is asked for a job: with the demo price book, or the bare one.
fn request(name: &str, text: &str) -> Request {
    let books = if name == "bare book" { vec![bare_book().clone()] } else { asked(text).prices };
    Request { prices: books, ..asked(text) }
}

/// The job with an old covering on its roof by the box gutter.
fn stripped(text: &str) -> String {
    let of = "    wall_above: {area: 4.0 m2}\n";
    assert!(text.contains(of));
    text.replace(of, &format!("{of}    strip: {{covering: felt, tip: skip}}\n"))
}

/// The lean-to with a back askew and a steep fall: its firrings differ a little in depth from joist to joist.
fn ramp(text: &str) -> String {
    let askew = "{quadrilateral: {front: 6000 mm, right: 3375 mm, back: 6012 mm, left: 3000 mm, diagonal: 6884 mm, \
                 other_diagonal: 6708 mm}}";
    let square = "{rectangle: {width: 6.0 m, depth: 3.0 m}}";
    assert!(text.contains(square) && text.contains("fall: 1:40"));
    text.replace(square, askew).replace("fall: 1:40", "fall: 1:10")
}

fn texts() -> Vec<(&'static str, String)> {
    vec![
        ("small", include_str!("../jobs_for_sweep/small.yaml").to_owned()),
        ("van", include_str!("../jobs_for_sweep/van.yaml").to_owned()),
        ("ramp", ramp(include_str!("../jobs_for_sweep/van.yaml"))),
        ("tiny", include_str!("../big_jobs/tiny-roof.yaml").replace("scaffold: yes", "scaffold: no")),
        ("skew", include_str!("../jobs_for_sweep/skew.yaml").to_owned()),
        ("wedge", include_str!("../jobs_for_sweep/wedge.yaml").to_owned()),
        ("tied", include_str!("../jobs_for_sweep/tied.yaml").to_owned()),
        ("everything", include_str!("../jobs_for_sweep/everything.yaml").to_owned()),
        ("bare book", include_str!("../jobs_for_sweep/everything.yaml").to_owned()),
        ("hall", include_str!("../jobs_for_sweep/hall.yaml").to_owned()),
        ("old", include_str!("../jobs_for_sweep/old.yaml").to_owned()),
        ("porch", include_str!("../jobs_for_sweep/porch.yaml").to_owned()),
        ("parapet", stripped(include_str!("../jobs_for_sweep/parapet.yaml"))),
    ]
}

/// The demo price book of a merchant who says no more than what things cost: no flanges, no weights, no lengths of
/// rolls of bandage, and no closures.
fn bare_book() -> &'static PathBuf {
    static BOOK: OnceLock<PathBuf> = OnceLock::new();
    BOOK.get_or_init(|| {
        let book = std::fs::read_to_string("jobs/prices.yaml").unwrap();
        let lines = book.lines().filter(|l| !l.contains("role: closure."));
        let bare = |line: &str| match line.contains("role: bandage.") {
            true => without(line, &[", mass: "]).replace("holds: 75 m", "holds: 1 m"),
            false => without(line, &[", mass: ", ", flange: "]),
        };
        let file = scratch("sweep-book").join("bare.yaml");
        std::fs::write(&file, lines.map(bare).collect::<Vec<_>>().join("\n")).unwrap();
        file
    })
}

/// A line of the price book without some of its settings.
fn without(line: &str, settings: &[&str]) -> String {
    settings.iter().fold(line.to_owned(), |line, setting| match line.split_once(setting) {
        Some((before, after)) => {
            let end = after.find([',', '}']).unwrap();
            format!("{before}{}", &after[end..])
        }
        None => line,
    })
}

/// What moves first when the jobs are turned by `turn`, the documents asked only where nothing else moves.
fn first_moved(turn: impl Fn(&Turned) -> Vec<Request>) -> Option<String> {
    for documents in [false, true] {
        for job in jobs() {
            for request in turn(job) {
                if let Some(what) = told(job, outcome(&request), documents) {
                    return Some(format!("{what} of {}", job.name));
                }
            }
        }
    }
    None
}

/// What a job that was turned tells otherwise. Last of all a refusal of the job is an answer too; a firm file that is
/// refused for what it says itself is no turn.
fn told(job: &Turned, now: Result<Outcome, Vec<Problem>>, documents: bool) -> Option<&'static str> {
    match now {
        Ok(now) => moved(job, &now, documents),
        Err(problems) => (documents && problems.iter().all(|p| p.source != Source::Firm)).then_some("refusal"),
    }
}

/// Every thing that is turned, with what it moves: shared over what cores there are, told in order.
#[allow(clippy::print_stdout, reason = "what each line moves is read with --nocapture")]
fn turn_all<T: Sync>(things: &[T], name: impl Fn(&T) -> String + Sync, turn: impl Fn(&T) -> Option<String> + Sync) {
    jobs();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let (name, turn) = (&name, &turn);
    let mut told: Vec<(usize, String, Option<String>)> = std::thread::scope(|scope| {
        let mine = |k: usize| {
            let of = things.iter().enumerate().skip(k).step_by(threads);
            scope.spawn(move || of.map(|(i, t)| (i, name(t), turn(t))).collect::<Vec<_>>())
        };
        let running: Vec<_> = (0..threads).map(mine).collect();
        running.into_iter().flat_map(|t| t.join().unwrap()).collect()
    });
    told.sort();
    for (_, name, moved) in &told {
        println!("{name}: {}", moved.as_deref().unwrap_or("NOTHING"));
    }
    let dead: Vec<&str> = told.iter().filter(|t| t.2.is_none()).map(|t| t.1.as_str()).collect();
    assert!(dead.is_empty(), "nothing moves with {}", dead.join(", "));
}

// ---- Rules ----------------------------------------------------------------------------------------------------------

/// The numbers of a value of the firm file changed by `change`: those of a unit (`m2`) and the 1 of a fall stay.
fn with_numbers(value: &str, change: impl Fn(Decimal) -> Decimal) -> String {
    let (mut out, mut rest, mut before) = (String::new(), value, ' ');
    while let Some(c) = rest.chars().next() {
        let long = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        if c.is_ascii_digit() && !before.is_ascii_alphabetic() && !rest[long..].starts_with(':') {
            let number: Decimal = rest[..long].parse().unwrap();
            out.push_str(&change(number).round_dp(4).normalize().to_string());
            (before, rest) = ('0', &rest[long..]);
        } else {
            out.push(c);
            (before, rest) = (c, &rest[c.len_utf8()..]);
        }
    }
    out
}

/// Other values of a rule, within reason: twice, half, one more, one less. Tables of their own kind are written out.
fn others(name: &str, value: &str) -> Vec<String> {
    match name {
        "gel_points" => vec!["[{temperature: 20 C, dose: 1.5 %, minutes: 9}]".into()],
        "topcoat_girth" | "mat_return" => vec![with_numbers(value, |n| n + Decimal::from(30))],
        _ => {
            let (one, two) = (Decimal::ONE, Decimal::TWO);
            let changes: [&dyn Fn(Decimal) -> Decimal; 4] = [&|n| n * two, &|n| n / two, &|n| n + one, &|n| n - one];
            changes.iter().map(|change| with_numbers(value, change)).filter(|now| now != value).collect()
        }
    }
}

/// The demo firm's file with another value for a rule, once for each other value.
fn firms_with(name: &str) -> Vec<String> {
    let firm = std::fs::read_to_string("jobs/firm.yaml").unwrap();
    if name == "catalyst" {
        return vec![firm.replace("laminate: 1.5 %", "laminate: 1.7 %").replace("laminate: 2.5 %", "laminate: 2.4 %")];
    }
    let line = firm.lines().find(|l| l.starts_with(&format!("  {name}:"))).unwrap_or_else(|| panic!("no {name}"));
    let value = line.split_once(':').unwrap().1.split(" # ").next().unwrap().trim();
    let other = |value: String| firm.replace(line, &format!("  {name}: {value}"));
    others(name, value).into_iter().map(other).collect()
}

#[test]
fn numbers_are_changed_and_units_and_falls_are_not() {
    let twice = |value: &str| with_numbers(value, |n| n * Decimal::TWO);
    assert_eq!(twice("0.15 kg/m2"), "0.3 kg/m2");
    assert_eq!(twice("1:80"), "1:160");
    assert_eq!(twice("25 × 50 mm"), "50 × 100 mm");
    assert_eq!(twice("{drip: 0 mm, raised: 60 mm}"), "{drip: 0 mm, raised: 120 mm}");
}

#[test]
fn every_rule_moves_something() {
    let folder = scratch("sweep-rules");
    std::fs::copy("jobs/logo.png", folder.join("logo.png")).unwrap();
    let turn = |name: &&str| {
        let files: Vec<PathBuf> = (firms_with(name).into_iter().enumerate())
            .map(|(i, firm)| {
                let file = folder.join(format!("{name}-{i}.yaml"));
                std::fs::write(&file, firm).unwrap();
                file
            })
            .collect();
        first_moved(|job| {
            files.iter().map(|f| Request { firm: Some(f.clone()), ..request(job.name, &job.text) }).collect()
        })
    };
    let names: Vec<&str> = Rules::ABOUT.iter().map(|r| r.0).collect();
    turn_all(&names, |n| (*n).to_owned(), turn);
}

// ---- Roles ----------------------------------------------------------------------------------------------------------

/// What a job costs where everything of a role costs twice as much.
fn dearer(was: &Outcome, place: usize) -> Money {
    let loaded = &was.demo.loaded;
    let mut books = loaded.books.clone();
    let of_role = books.iter_mut().flat_map(|b| &mut b.articles).filter(|a| a.role.place() == place);
    of_role.for_each(|a| {
        a.price = a.price * Decimal::TWO;
        a.breaks.iter_mut().for_each(|b| b.price = b.price * Decimal::TWO);
    });
    let (terms, money) = (loaded.terms.as_ref().unwrap(), &loaded.job_money);
    let needs = &was.demo.take_off.needs;
    price(&loaded.job, &loaded.rules, needs, &was.demo.programme, &books, terms, money).unwrap().total
}

#[test]
fn every_role_that_costs_more_makes_a_job_cost_more() {
    let places: Vec<usize> = (0..ROLES.len()).collect();
    turn_all(
        &places,
        |&place| ROLES[place].word.to_owned(),
        |&place| {
            let dear = |job: &&Turned| dearer(&job.was, place) > job.was.demo.pricing.total;
            jobs().iter().find(dear).map(|job| format!("the price of {}", job.name))
        },
    );
}

// ---- The job file ---------------------------------------------------------------------------------------------------

#[test]
fn every_access_answer_moves_something() {
    let names: Vec<&str> = Access::all().map(Access::key).collect();
    let turn = |name: &&str| {
        first_moved(|job| {
            let answers = ["yes", "no", "3000.00"].map(|answer| format!("{name}: {answer}"));
            let was = answers.iter().find(|a| job.text.contains(*a));
            let others =
                |was: &String| answers.iter().map(|to| request(job.name, &job.text.replace(was, to))).collect();
            was.map_or_else(Vec::new, others)
        })
    };
    turn_all(&names, |n| (*n).to_owned(), turn);
}

/// A key of the job file, as `Group.key` of its reader; words of a job, and what they are turned into.
type Turn = (&'static str, &'static str, &'static str);

const TURNS: &[Turn] = &[
    ("RawJob.reference", "reference: 26-92", "reference: 27-92"),
    ("RawJob.title", "title: Lean-to", "title: Shed"),
    ("RawJob.prepared", "prepared: 2026-11-25", "prepared: 2026-11-26"),
    ("RawJob.start", "start: 2027-01-18", "start: 2027-01-19"),
    ("RawJob.access", "scaffold: no", "scaffold: 120.00"),
    ("RawJob.asbestos", "asbestos: no", "asbestos: not known"),
    ("RawJob.flashing", "flashing: us", "flashing: others"),
    ("RawJob.boundary", "boundary: 1.2 m", "boundary: 30 m"),
    ("RawJob.roof_class", "roof_class: B", "roof_class: E"),
    ("RawJob.scaffold_is", "scaffold_is: edge protection at the front", "scaffold_is: scaffold at the front"),
    ("RawJob.wind_from", "wind_from: left", "wind_from: right"),
    ("RawSilence.warning", "{warning: ventilation,", "{warning: fall,"),
    ("RawSilence.because", "because: The air goes", "because: Air goes"),
    ("RawCustomer.name", "name: A. Householder", "name: B. Householder"),
    ("RawCustomer.address", "14 Sallow Close", "16 Sallow Close"),
    ("RawCustomer.email", "a@home.example", "b@home.example"),
    ("RawCustomer.phone", "01632 960100", "01632 960101"),
    ("RawCustomer.also_signs", "also_signs: [B. Householder]", "also_signs: [C. Householder]"),
    ("RawCustomer.vat_number", "vat_number: GB 000 0000 00", "vat_number: GB 000 0000 01"),
    ("RawCustomer.reverse_charge", "reverse_charge: yes", "reverse_charge: no"),
    ("RawSite.address", "2 Example Street", "4 Example Street"),
    ("RawSite.eaves_height", "eaves_height: 2.6 m", "eaves_height: 5.6 m"),
    ("RawSite.built_before_2000", "built_before_2000: yes", "built_before_2000: no"),
    ("RawSite.access", "access: side gate,", "access: front gate,"),
    ("RawSite.hospital", "hospital: Anytown General", "hospital: Otherton General"),
    ("RawConditions.air", "air: 16 C", "air: 8 C"),
    ("RawConditions.humidity", "humidity: 70 %", "humidity: 90 %"),
    ("RawConditions.surface", "surface: 17 C", "surface: 11 C"),
    ("RawConditions.night_low", "night_low: 12 C", "night_low: 2 C"),
    ("RawConditions.moisture", "moisture: 14 %", "moisture: 24 %"),
    ("RawConditions.dry_hours", "dry_hours: 8 h", "dry_hours: 1 h"),
    ("RawRoof.name", "name: Lean-to", "name: Shed"),
    ("RawRoof.falls_to", "falls_to: front # of the porch", "falls_to: right # of the porch"),
    ("RawRoof.fall", "fall: 1:40", "fall: 1:60"),
    ("RawRoof.firrings", "firrings: others", "firrings: us"),
    ("RawRoof.measured_to", "measured_to: battens", "measured_to: fascia"),
    ("RawRoof.way_off", "way_off: back", "way_off: left"),
    ("RawRoof.asbestos", "asbestos: no # on this roof", "asbestos: not known"),
    ("RawRoof.flashing", "flashing: us # on this roof", "flashing: others"),
    ("RawRoof.work", "work: new", "work: repair"),
    ("RawOldRoof.name", "name: Bay roof", "name: Porch roof"),
    ("RawOldRoof.work", "work: repair and topcoat", "work: repair"),
    ("RawOldRoof.trims", "trims: topcoat", "trims: leave"),
    ("RawOldRoof.prepare", "prepare: wipe", "prepare: prime"),
    ("RawOldEdge.finish", "right: {finish: raised} # of the link", "right: {finish: wall}"),
    ("RawPatch.name", "name: split by the wall", "name: split by the drip"),
    ("RawPatch.at", "at: [0.7 m, 0.5 m]", "at: [0.9 m, 0.5 m]"),
    ("RawPatch.size", "size: [0.5 m, 0.4 m]", "size: [0.6 m, 0.4 m]"),
    ("RawPatch.area", "area: 0.2 m2", "area: 0.3 m2"),
    ("RawPatch.layers", "area: 0.2 m2, layers: 3", "area: 0.2 m2, layers: 1"),
    ("RawPatch.deck", "deck: osb3-18, at_edge", "deck: osb3-18-square, at_edge"),
    ("RawPatch.at_edge", "at_edge: 1.3 m", "at_edge: 1.1 m"),
    ("RawPatch.edge", "edge: right", "edge: left"),
    ("RawPatch.from", "from: 0.8 m", "from: 0.9 m"),
    ("RawPatch.trim", "trim: stays", "trim: renew"),
    ("RawRectangle.width", "width: 3.2 m", "width: 3.6 m"),
    ("RawRectangle.depth", "depth: 1.7 m", "depth: 1.9 m"),
    ("RawQuadrilateral.front", "front: 1.80 m", "front: 1.802 m"),
    ("RawQuadrilateral.right", "right: 1.20 m", "right: 1.202 m"),
    ("RawQuadrilateral.back", "back: 1.80 m", "back: 1.802 m"),
    ("RawQuadrilateral.left", "left: 1.20 m", "left: 1.202 m"),
    ("RawQuadrilateral.diagonal", " diagonal: 2.163 m", " diagonal: 2.165 m"),
    ("RawQuadrilateral.other_diagonal", "other_diagonal: 2.155 m", "other_diagonal: 2.164 m"),
    ("RawLeg.edge", "yard", "court"),
    (
        "RawLeg.turn",
        "turn: right, go: 1.20 m}\n        - {edge: right, turn: left, go: 1.60 m}",
        "turn: right 45, go: 1.697 m}\n        - {edge: right, turn: left 45, go: 0.40 m}",
    ),
    ("RawLeg.go", "go: 2.60 m", "go: 2.605 m"),
    ("RawTie.from", "from: left/front, to: right/back", "from: front/right, to: right/back"),
    ("RawTie.to", "to: back/left, is: 2.740 m", "to: right/back, is: 2.740 m"),
    ("RawTie.is", "is: 2.914 m", "is: 2.917 m"),
    ("RawEdge.finish", "right: {finish: raised}", "right: {finish: wall, upstand: 600 mm}"),
    ("RawEdge.go", "go: 1.0 m", "go: 1.3 m"),
    ("RawEdge.upstand", "upstand: 600 mm", "upstand: 200 mm"),
    ("RawEdge.flashing", "flashing: lead", "flashing: none"),
    ("RawEdge.ladder_point", "ladder_point: 0.8 m", "ladder_point: 0.9 m"),
    ("RawEdge.joints", "ladder_point: 0.8 m}", "ladder_point: 0.8 m, joints: none}"),
    ("RawEdge.sill", "sill: 190 mm", "sill: 230 mm"),
    ("RawCoping.wall_height", "wall_height: 420 mm", "wall_height: 460 mm"),
    ("RawCoping.wall_width", "wall_width: 330 mm", "wall_width: 300 mm"),
    ("RawCoping.cover", "wall_width: 215 mm, cover: stone, by: us", "wall_width: 215 mm, cover: metal, by: us"),
    ("RawCoping.by", "by: us, board: osb3-11}}", "by: others, board: osb3-11}}"),
    ("RawCoping.board", "by: us, board: osb3-11}}", "by: us, board: osb3-18-square}}"),
    ("RawUnder.covering", "covering: slates", "covering: plain tiles"),
    ("RawUnder.gauge", "gauge: 200 mm", "gauge: 190 mm"),
    ("RawUnder.cover", "cover: 250 mm", "cover: 200 mm"),
    ("RawUnder.pitch", "pitch: 35°, up", "pitch: 20°, up"),
    ("RawUnder.up", "up: 300 mm", "up: 320 mm"),
    ("RawUnder.courses", "courses: 4", "courses: 5"),
    ("RawUnder.by", "by: us}", "by: others}"),
    ("RawHole.name", "name: rooflight", "name: hatch"),
    ("RawHole.at", "at: [1.2 m, 0.5 m]", "at: [1.1 m, 0.5 m]"),
    ("RawHole.size", "size: [0.6 m, 0.6 m]", "size: [0.6 m, 0.7 m]"),
    ("RawHole.round", "round: 110 mm", "round: 160 mm"),
    ("RawHole.finish", "size: [0.6 m, 0.6 m], finish: kerb", "size: [0.6 m, 0.6 m], finish: wall"),
    ("RawHole.upstand", "size: [0.6 m, 0.6 m], finish: kerb}", "size: [0.6 m, 0.6 m], finish: kerb, upstand: 60 mm}"),
    ("RawHole.kerb", "kerb: 47 × 195 mm, trimmers: 47 × 147 mm", "kerb: 47 × 220 mm, trimmers: 47 × 147 mm"),
    ("RawHole.trimmers", "trimmers: 47 × 147 mm", "trimmers: 47 × 170 mm"),
    ("RawJoists.run", "run: front to back", "run: left to right"),
    ("RawJoists.spacing", "spacing: 400 mm", "spacing: 600 mm"),
    ("RawJoists.first", "first: 0 mm", "first: 150 mm"),
    ("RawJoists.section", "section: 47 × 147 mm", "section: 47 × 170 mm"),
    ("RawJoists.last", "last: 2.85 m", "last: 2.89 m"),
    ("RawDeck.action", "action: overlay", "action: new"),
    ("RawDeck.board", "board: osb3-18}", "board: osb3-18-square}"),
    ("RawLaminate.mat", "mat: 450, layers: 1", "mat: 600, layers: 1"),
    ("RawLaminate.layers", "mat: 450, layers: 1", "mat: 450, layers: 2"),
    ("RawTopcoat.colour", "colour: dark grey", "colour: green"),
    ("RawTopcoat.finish", "finish: smooth", "finish: slip-resistant"),
    ("RawWallAbove.area", "wall_above: {area: 6.0 m2}", "wall_above: {area: 60 m2}"),
    ("RawBoxGutter.width", "width: 290 mm", "width: 400 mm"),
    ("RawBoxGutter.depth", "depth: 120 mm", "depth: 180 mm"),
    ("RawBoxGutter.fall", "fall: 1:90", "fall: 1:40"),
    ("RawBoxGutter.board", "strainer: yes}, board: osb3-18", "strainer: yes}, board: osb3-18-square"),
    ("RawBoxGutter.depth_factor", "depth_factor: 0.8}", "depth_factor: 0.1}"),
    ("RawBoxGutter.new", "depth_factor: 0.8}", "depth_factor: 0.8, new: yes}"),
    ("RawSoleOutlet.at", "outlet: {at: 0.7 m", "outlet: {at: 2.2 m"),
    ("RawSoleOutlet.size", "outlet: {at: 0.7 m, size: 75 mm", "outlet: {at: 0.7 m, size: 50 mm"),
    ("RawSoleOutlet.head", "head: 50 mm, strainer: yes", "head: 5 mm, strainer: yes"),
    ("RawSoleOutlet.strainer", "head: 50 mm, strainer: yes", "head: 50 mm, strainer: no"),
    ("RawOverflow.at", "overflow: {at: 2.2 m", "overflow: {at: 2.0 m"),
    ("RawOverflow.width", "width: 200 mm, height: 75 mm", "width: 50 mm, height: 75 mm"),
    ("RawOverflow.height", "width: 200 mm, height: 75 mm", "width: 200 mm, height: 25 mm"),
    ("RawOverflow.above", "above: 30 mm", "above: 40 mm"),
    ("RawOutlet.at", "outlet: {at: [0.6 m, 0.4 m]", "outlet: {at: [0.5 m, 0.3 m]"),
    ("RawOutlet.size", "size: 75 mm", "size: 110 mm"),
    ("RawOutlet.head", "head: 35 mm, strainer: yes", "head: 5 mm, strainer: yes"),
    ("RawOutlet.strainer", "head: 35 mm, strainer: yes", "head: 35 mm, strainer: no"),
    ("RawStrip.covering", "covering: felt", "covering: asphalt"),
    ("RawStrip.tip", "tip: skip", "tip: van"),
    ("RawStrip.boards", "boards: 30 mm", "boards: none"),
    ("RawDelivery.earliest", "earliest: 2027-01-13", "earliest: 2027-01-12"),
    ("RawDelivery.latest", "latest: 2027-01-15", "latest: 2027-01-14"),
    ("RawDelivery.note", "note: before nine", "note: before ten"),
    ("RawExtra.item", "item: Soil vent cowl", "item: Vent cowl"),
    ("RawExtra.cost", "cost: 12.10", "cost: 13.10"),
    ("RawExtra.cost_a_day", "cost_a_day: 45.00", "cost_a_day: 46.00"),
    ("RawExtra.price", "price: 240.00", "price: 241.00"),
    ("RawExtra.optional", "optional: yes", "optional: no"),
    ("RawExtra.provisional", "provisional: yes, in_total: yes", "provisional: no"),
    ("RawExtra.in_total", "in_total: yes", "in_total: no"),
    ("RawExtra.during", "cost: 13.40, during: prepare", "cost: 13.40, during: deck"),
    ("RawJob.order_lines", "  - {item: lantern, supply: customer}\n", ""),
    ("RawOrderLine.item", "item: lantern", "item: roof lantern"),
    ("RawOrderLine.article", "article: own.fascia-225", "article: own.soffit-150"),
    ("RawOrderLine.count", "own.fascia-225, count: 2", "own.fascia-225, count: 3"),
    ("RawOrderLine.during", "count: 2, during: prepare", "count: 2, during: finish"),
    ("RawOrderLine.hours", "count: 2, hours: 1.5 h", "count: 2, hours: 3 h"),
    ("RawOrderLine.roof", "count: 2, during: prepare}]", "count: 2, during: prepare, roof: Cold roof}]"),
    ("RawOrderLine.supply", "supply: customer", "article: own.soffit-150, supply: us"),
    ("RawWithout.order_lines", "change: {roofs: {all: {laminate: {mat: 600}}}}", "without: {order_lines: [lantern]}"),
    ("RawOption.name", "name: Heavier mat", "name: Thicker mat"),
    ("RawOption.change", "{laminate: {mat: 600}}", "{topcoat: {colour: green}}"),
    ("RawWithout.extras", "change: {roofs: {all: {laminate: {mat: 600}}}}", "without: {extras: [Hoist]}"),
    ("RawWithout.holes", "without: {holes: [soil pipe]}", "without: {holes: [rooflight]}"),
    ("RawWithout.roofs", "without: {holes: [soil pipe]}", "without: {roofs: [Porch]}"),
    ("RawWithout.patches", "without: {patches: [split by the wall]}", "without: {roofs: [Shed roof]}"),
    ("RawOption.one_of", ", one_of: build", ""),
    ("RawOption.needs", ", needs: Heavier mat", ""),
    ("RawWithout.notes", "show: total", "show: total, without: {notes: [A note]}"),
    ("RawWithout.exclusions", "show: total", "without: {exclusions: [An exclusion]}, show: total"),
    ("RawOption.show", "show: total", "show: difference"),
    ("RawJob.rules", "hours_deck: 0.30", "hours_deck: 0.34"),
    ("RawPrice.discount", "discount: 5 %", "discount: 6 %"),
    ("RawPrice.because", "because: second roof", "because: first roof"),
    ("RawPrice.shown", "shown: yes", "shown: no"),
    ("RawPrice.margin", "margin: 24 %", "margin: 26 %"),
    ("RawPrice.agreed", "agreed: 2900.00", "agreed: 2950.00"),
    ("RawPrice.markup", "markup: 30 %", "markup: 31 %"),
    ("RawQuote.valid_days", "valid_days: 14", "valid_days: 15"),
    ("RawQuote.prices", "prices: by part", "prices: by roof"),
    ("RawQuote.notes", "A note", "Another note"),
    ("RawQuote.exclusions", "An exclusion", "Another exclusion"),
    ("RawStage.when", "when: Deposit", "when: On the first day"),
    ("RawStage.part", "part: 25 %", "part: 30 %"),
    ("RawStage.after", "after: deck", "after: finish"),
    ("RawClaim.rate", "rate: 5 %, reason: empty two years", "rate: 20 %, reason: empty two years"),
    ("RawClaim.reason", "reason: empty two years", "reason: conversion"),
    ("RawGutterDetail.shape", "shape: trapezoidal", "shape: half-round"),
    ("RawGutterDetail.size", "size: 112 mm", "size: 100 mm"),
    ("RawGutterDetail.area", "area: 7000 mm2", "area: 1000 mm2"),
    ("RawGutterDetail.depth", "depth: 75 mm", "depth: 15 mm"),
    ("RawGutterDetail.length", "length: 3.2 m", "length: 9 m"),
    ("RawGutterDetail.depth_factor", "depth_factor: 0.95", "depth_factor: 0.45"),
    ("RawGutterDetail.shape_factor", "shape_factor: 0.97", "shape_factor: 0.47"),
    ("RawGutterDetail.carries", "shape_factor: 0.97", "shape_factor: 0.97, carries: 0.1 l/s"),
    ("RawGutterOutlet.at", "at: end", "at: middle"),
    ("RawGutterOutlet.count", "outlet: {at: end, size: 63 mm, head", "outlet: {at: end, count: 2, size: 63 mm, head"),
    ("RawGutterOutlet.size", "size: 63 mm", "size: 50 mm"),
    ("RawGutterOutlet.head", "head: 35 mm", "head: 5 mm"),
    ("RawGutterOutlet.strainer", "strainer: no", "strainer: yes"),
    ("RawRoofAbove.area", "roof_above: {area: 4.0 m2", "roof_above: {area: 40 m2"),
    ("RawRoofAbove.pitch", "pitch: 35°", "pitch: 60°"),
    ("RawBuildUp.kind", "kind: cold", "kind: warm"),
    ("RawBuildUp.work", "work: renovated", "work: new"),
    ("RawBuildUp.overlay", "overlay: osb3-18", "overlay: osb3-11"),
    ("RawBuildUp.void", "void: 50 mm", "void: 20 mm"),
    ("RawBuildUp.vent_gap", "vent_gap: 25 mm", "vent_gap: 10 mm"),
    ("RawExisting.u_value", "u_value: 0.8 W/m2K", "u_value: 0.2 W/m2K"),
    ("RawExisting.of_roof", "of_roof: 60 %", "of_roof: 10 %"),
    ("RawExisting.of_envelope", "of_roof: 10 %, of_envelope: 20 %", "of_roof: 10 %, of_envelope: 80 %"),
    ("RawSheet.name", "name: plasterboard", "name: old plaster"),
    ("RawSheet.thickness", "thickness: 12.5 mm", "thickness: 25 mm"),
    ("RawSheet.lambda", "lambda: 0.21 W/mK", "lambda: 0.02 W/mK"),
    ("RawJoistDetail.breadth", "breadth: 47 mm, depth: 200 mm", "breadth: 97 mm, depth: 200 mm"),
    ("RawJoistDetail.depth", "depth: 150 mm", "depth: 100 mm"),
    ("RawJoistDetail.fraction", "fraction: 0.12", "fraction: 0.3"),
    ("RawJoistDetail.lambda", "lambda: 0.13 W/mK, between", "lambda: 0.5 W/mK, between"),
    ("RawInsulation.board", "board: pir-120", "board: pir-100"),
    ("RawInsulation.name", "name: rigid foam", "name: stiff foam"),
    ("RawInsulation.thickness", "thickness: 120 mm", "thickness: 80 mm"),
    ("RawInsulation.lambda", "lambda: 0.023 W/mK", "lambda: 0.033 W/mK"),
    ("RawInsulation.length", "length: 2400 mm", "length: 1200 mm"),
    ("RawInsulation.width", "width: 1200 mm", "width: 600 mm"),
    ("RawInsulation.density", "density: 32 kg/m3", "density: 320 kg/m3"),
    ("RawVapour.roll_width", "roll_width: 2 m", "roll_width: 1 m"),
    ("RawVapour.roll_length", "roll_length: 25 m", "roll_length: 3 m"),
    ("RawLift.zones", "zones: [elbow to knuckle]", "zones: [above shoulder]"),
    ("RawLift.reach", "reach: close", "reach: extended"),
    ("RawLift.column", "column: men", "column: women"),
    ("RawLift.payload", "payload: 900 kg", "payload: 90 kg"),
];

/// A key turned on the jobs that have the words.
fn turned(from: &str, to: &str) -> Option<String> {
    for documents in [false, true] {
        for job in jobs().iter().filter(|j| j.text.contains(from)) {
            if let Some(what) = told(job, outcome(&request(job.name, &job.text.replace(from, to))), documents) {
                return Some(format!("{what} of {}", job.name));
            }
        }
    }
    None
}

/// Keys that only a working tells of, each with what it is for. One that begins to be told elsewhere must leave this list.
const IN_A_WORKING: [(&str, &str); 1] = [("RawSheet.name", "names a layer in the working of its U-value")];

#[test]
fn every_key_of_the_job_file_moves_something() {
    let told: Vec<Turn> = TURNS.iter().copied().filter(|t| IN_A_WORKING.iter().all(|u| u.0 != t.0)).collect();
    turn_all(&told, |(key, ..)| (*key).to_owned(), |(_, from, to)| turned(from, to));
}

#[test]
fn a_key_that_only_a_working_tells_of_moves_that() {
    for (key, why) in IN_A_WORKING {
        let (_, from, to) = TURNS.iter().find(|t| t.0 == key).unwrap();
        assert_eq!(turned(from, to), None, "{key}: {why}");
        let job = jobs().iter().find(|j| j.text.contains(from)).unwrap();
        let now = outcome(&request(job.name, &job.text.replace(from, to))).unwrap();
        let workings = |demo: &Demo| demo.findings.iter().map(|f| format!("{:?}", f.working)).collect::<Vec<_>>();
        assert_ne!(workings(&job.was.demo), workings(&now.demo), "{key}: {why}");
    }
}

/// What is only a heading over other keys is turned with them; what one kind of roof refuses stands among the bad jobs; a photograph needs a file beside the job.
#[test]
fn every_key_of_the_job_file_is_turned() {
    let mut missing = Vec::new();
    for file in ["src/job_file/raw/job.rs", "src/job_file/raw/checks.rs"] {
        let source = std::fs::read_to_string(file).unwrap();
        for group in source.split("settings! {").skip(1) {
            let (name, rest) = group.split_once("pub(crate) struct ").unwrap().1.split_once(' ').unwrap();
            let keys = rest.split_once('{').unwrap().1.split("\n    }").next().unwrap();
            let lines = keys.lines().filter_map(|line| line.trim().split_once(": "));
            let own =
                lines.filter(|(_, kind)| !kind.contains("Raw") && !kind.contains("RoofOnly") && name != "RawPhoto");
            missing.extend(own.map(|(key, _)| format!("{name}.{key}")));
        }
    }
    assert!(missing.len() > 100, "{missing:?}");
    missing.retain(|key| TURNS.iter().all(|(turned, ..)| turned != key));
    assert_eq!(missing, [""; 0]);
}
