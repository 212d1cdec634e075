//! Jobs for the tests of drawings and documents: read from files, laid out, planned and priced as the program does it.
//!
//! All people, firms, prices, codes and numbers are invented. A test that changes a desk changes what a document is told;
//! what the layers below make of another job comes from another text ([`kitchen_with`]).

use crate::support::{self, asked, setting};
use std::path::Path;
use time::macros::date;
use wetout::checks::finding::Finding;
use wetout::documents::{WholeJob, wording};
use wetout::estimate::{Estimate, LaidOut, Office, estimate, lay_out};
use wetout::job_file::{Loaded, Request, load, render};
use wetout::model::shape::{Edge, Gutter, Joints};
use wetout::model::{
    Finish, Firm, Flashing, Hole, HoleForm, Job, Length, Outline, Photo, Point, Products, Role, Roof, Rules,
};
use wetout::pricing::{Article, Merchant, Money, PriceBook, Pricing, Terms};
use wetout::programme::Programme;
use wetout::takeoff::layout::{ProfilePlan, RoofLayout};
use wetout::takeoff::{TakeOff, take_off};

/// Everything that a `Worked` borrows.
pub struct Desk {
    pub job: Job,
    pub firm: Firm,
    pub rules: Rules,
    pub products: Products,
    pub terms: Terms,
    pub take_off: TakeOff,
    pub findings: Vec<Finding>,
    pub programme: Programme,
    pub pricing: Pricing,
    pub photos: Vec<Photo>,
}

impl Desk {
    pub fn worked(&self) -> WholeJob<'_> {
        WholeJob {
            job: &self.job,
            firm: &self.firm,
            rules: &self.rules,
            products: &self.products,
            terms: &self.terms,
            take_off: &self.take_off,
            findings: &self.findings,
            programme: &self.programme,
            pricing: &self.pricing,
            photos: &self.photos,
            date: date!(2026 - 11 - 25),
            standing: wetout::documents::IssueStanding::Draft,
            varied: None,
        }
    }
}

/// A job of these tests, as text, with its firm and the demo price book.
fn read(text: &str, firm: &str) -> Loaded {
    let request = Request { firm: Some(Path::new("tests/drawings").join(firm)), ..asked(text) };
    let mut loaded = load(&request).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)));
    loaded.books.iter_mut().for_each(sold_by_ferrant);
    loaded
}

/// The demo price book, sold by a merchant of these tests who does not say what tins and bottles weigh.
fn sold_by_ferrant(book: &mut PriceBook) {
    book.merchant = Merchant {
        name: "Ferrant Trade Supplies".into(),
        address: vec!["Dock Road".into(), "Wexbury".into(), "ZZ9 8ZZ".into()],
        phone: Some("01632 960733".into()),
        account: Some("BRK-0417".into()),
        delivery: Money::pence(3500),
        ..Merchant::default()
    };
    let poured = |a: &&mut Article| matches!(a.role, Role::Resin | Role::Topcoat(_) | Role::Catalyst);
    book.articles.iter_mut().filter(poured).for_each(|a| a.mass = None);
}

/// What was read, taken through the layers.
fn work(loaded: Loaded) -> Desk {
    let Loaded { job, rules, products, books, job_money, photos, firm, terms, .. } = loaded;
    let (firm, terms) = (firm.unwrap(), terms.unwrap());
    let holidays = &firm.holidays;
    let office = Office { rules: &rules, products: &products, books: &books, terms: &terms, holidays };
    let laid = lay_out(&job, &rules, &products, Some(office.crew())).unwrap();
    let Estimate { programme, pricing } = estimate(&job, &job_money, &laid, office).unwrap();
    let LaidOut { take_off, checked, .. } = laid;
    let findings = checked.findings;
    Desk { job, firm, rules, products, terms, take_off, findings, programme, pricing, photos }
}

const KITCHEN: &str = include_str!("kitchen.yaml");

/// The kitchen extension: 5.2 × 3.4 m, drip at the front, raised sides, wall at the back, one rooflight.
pub fn kitchen() -> Desk {
    work(read(KITCHEN, "firm.yaml"))
}

/// The kitchen extension with other words in its job file.
pub fn kitchen_with(changes: &[(&str, &str)]) -> Desk {
    let text = changes.iter().fold(KITCHEN.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    work(read(&text, "firm.yaml"))
}

/// A job that leaves out everything that may be left out, by a firm that does the same.
pub fn bare() -> Desk {
    work(read(include_str!("bare.yaml"), "bare-firm.yaml"))
}

/// The kitchen's job on other roofs.
pub fn desk(roofs: Vec<Roof>) -> Desk {
    let mut loaded = read(KITCHEN, "firm.yaml");
    loaded.job.roofs = roofs;
    work(loaded)
}

/// A roof as the take-off lays it out, with the trims of all its edges.
pub fn laid(roof: &Roof) -> (RoofLayout, Vec<ProfilePlan>) {
    let mut loaded = read(KITCHEN, "firm.yaml");
    loaded.job.roofs = vec![roof.clone()];
    let mut take_off = take_off(&loaded.job, &loaded.rules, &loaded.products).unwrap();
    (take_off.roofs.remove(0), take_off.profiles)
}

/// Figures that belong to the firm alone, as a document would write them: none may stand in a quote or an order.
pub fn private(desk: &Desk) -> Vec<String> {
    let (p, terms) = (&desk.pricing, &desk.terms);
    let costs = p.costs.iter().map(|c| c.amount).chain([p.cost, p.profit, terms.travel_day]);
    let sums = costs.chain(terms.crew.iter().map(|c| c.hour));
    let mut figures: Vec<String> = sums.flat_map(|m| [m.to_string(), wording::money(m)]).collect();
    figures.extend([terms.overhead, p.margin.round_dp(2), p.markup.round_dp(2)].map(|d| d.normalize().to_string()));
    figures
}

/// One edge of a shape: name, finish, and the corner where it begins.
pub type Walked = (&'static str, Finish, (i64, i64));

/// Shapes that a plan must cope with, by name.
pub fn shapes() -> Vec<(&'static str, Roof)> {
    use Finish::{Drip, Raised, Step, Wall};
    let l_shape: &[Walked] = &[
        ("front", Drip, (0, 0)),
        ("right", Raised, (6000, 0)),
        ("yard", Raised, (6000, 2400)),
        ("return", Raised, (3600, 2400)),
        ("back", Wall, (3600, 5000)),
        ("left", Wall, (0, 5000)),
    ];
    let bay: &[Walked] = &[
        ("bay left", Drip, (0, 640)),
        ("bay front", Drip, (640, 0)),
        ("bay right", Drip, (2440, 0)),
        ("right", Raised, (3080, 640)),
        ("back", Wall, (3080, 1500)),
        ("left", Raised, (0, 1500)),
    ];
    let tiny: &[Walked] =
        &[("front", Drip, (0, 0)), ("right", Raised, (600, 0)), ("back", Wall, (600, 600)), ("left", Raised, (0, 600))];
    let huge: &[Walked] = &[
        ("front", Drip, (0, 0)),
        ("right", Raised, (40_000, 0)),
        ("back", Step, (40_000, 12_000)),
        ("left", Raised, (0, 12_000)),
    ];
    let u_shape: &[Walked] = &[
        ("front left", Drip, (0, 0)),
        ("court left", Raised, (2000, 0)),
        ("court back", Wall, (2000, 1500)),
        ("court right", Raised, (3000, 1500)),
        ("front right", Drip, (3000, 0)),
        ("right", Raised, (6500, 0)),
        ("back", Wall, (6500, 4200)),
        ("left", Wall, (0, 4200)),
    ];
    let shop_front: &[Walked] = &[
        ("the long front over the shop windows", Drip, (0, 0)),
        ("alley side next to number nine", Raised, (900, 0)),
        ("back wall of the main building", Wall, (900, 700)),
        ("left party wall with the chemist", Wall, (0, 700)),
    ];
    let like = read(KITCHEN, "firm.yaml").job.roofs.remove(0);
    let roof = |name, walk, holes| roof(&like, name, walk, holes);
    vec![
        ("kitchen", like.clone()),
        ("l-shape", roof("Garage and utility", l_shape, vec![opening("rooflight", 700, 2900, 900, 1200), chimney()])),
        ("bay", roof("Bay", bay, Vec::new())),
        ("tiny", roof("Porch", tiny, Vec::new())),
        ("huge", roof("Hall", huge, vec![opening("smoke vent", 9000, 4000, 1200, 1200)])),
        ("u-shape", roof("Court", u_shape, vec![pipe()])),
        ("long names", roof("Kiosk", shop_front, Vec::new())),
    ]
}

/// A front with so many teeth behind it, four edges each.
pub fn comb(teeth: i64) -> Roof {
    let mut walk: Vec<Walked> = vec![("front", Finish::Drip, (0, 0)), ("right", Finish::Raised, (1000 * teeth, 0))];
    let mut edge = |at: (i64, i64)| {
        let name: &'static str = format!("edge {}", walk.len()).leak();
        walk.push((name, Finish::Raised, at));
    };
    for tooth in (0..teeth).rev() {
        let (left, right) = (1000 * tooth, 1000 * tooth + 1000);
        [(right, 3000), (left + 500, 3000), (left + 500, 2000), (left, 2000)].into_iter().for_each(&mut edge);
    }
    let like = read(KITCHEN, "firm.yaml").job.roofs.remove(0);
    Roof { way_off: Some("right".into()), ..roof(&like, "Comb", &walk, Vec::new()) }
}

/// A hall of 40 × 25 m with so many kerbed rooflights in rows of twelve.
pub fn hall_of(openings: i64) -> Roof {
    let walk: &[Walked] = &[
        ("front", Finish::Drip, (0, 0)),
        ("right", Finish::Raised, (40_000, 0)),
        ("back", Finish::Raised, (40_000, 25_000)),
        ("left", Finish::Raised, (0, 25_000)),
    ];
    let at = |n: i64| (900 + 3200 * (n % 12), 900 + 2900 * (n / 12));
    let one = |n: i64| Hole {
        path: setting(&format!("roofs[0].holes[{n}]")),
        ..opening(format!("rooflight {n}").leak(), at(n).0, at(n).1, 600, 500)
    };
    let like = read(KITCHEN, "firm.yaml").job.roofs.remove(0);
    Roof { way_off: Some("right".into()), ..roof(&like, "Hall", walk, (0..openings).map(one).collect()) }
}

fn mm(n: i64) -> Length {
    Length::mm(n)
}

fn chimney() -> Hole {
    Hole { finish: Finish::Wall, ..opening("chimney", 4300, 1200, 450, 450) }
}

fn pipe() -> Hole {
    let form = HoleForm::Round { at: Point::new(5200, 2600), diameter: mm(110) };
    Hole { path: setting("roofs[0].holes[1]"), ..support::hole("soil pipe", form, Finish::Kerb) }
}

fn opening(name: &str, x: i64, y: i64, w: i64, d: i64) -> Hole {
    let form = HoleForm::Box { at: Point::new(x, y), width: mm(w), depth: mm(d) };
    support::hole(name, form, Finish::Kerb)
}

/// A roof as measured, with all that is not its shape as another has it.
fn roof(like: &Roof, name: &str, walk: &[Walked], holes: Vec<Hole>) -> Roof {
    let corners: Vec<Point> = walk.iter().map(|(_, _, (x, y))| Point::new(*x, *y)).collect();
    let edge = |i: usize| {
        let (name, finish, _) = walk[i];
        let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
        let length = ((b.x - a.x) as f64).hypot((b.y - a.y) as f64).round() as i64;
        let gutter = Gutter { shape: "half-round".into(), size: mm(112), detail: None };
        Edge {
            name: name.into(),
            stretch: None,
            path: setting(&format!("roofs[0].edges.{name}")),
            length: mm(length),
            finish,
            joints: Joints::Lapped,
            gutter: (finish == Finish::Drip).then_some(gutter),
            upstand: (finish == Finish::Wall).then(|| mm(300)),
            flashing: (finish == Finish::Wall).then_some(Flashing::Lead),
            ladder_point: (name == "left" && finish == Finish::Raised && length > 1000).then(|| mm(length / 2)),
            overflow: None,
            box_gutter: None,
            sill: None,
            coping: None,
            under: None,
        }
    };
    let edges = (0..walk.len()).map(edge).collect();
    Roof {
        name: name.into(),
        outline: Outline::new(corners.clone(), edges).unwrap(),
        falls_to: walk.iter().find(|(_, f, _)| *f == Finish::Drip).unwrap().0.into(),
        way_off: walk.iter().map(|w| w.0).find(|n| n.starts_with("back")).map(str::to_owned),
        holes,
        ..like.clone()
    }
}
