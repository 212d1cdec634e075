//! Jobs worked by hand, so that drawings and documents can be tested without the layers below them.
//!
//! All people, firms, prices, codes and numbers are invented. The layouts are plain (a grid of boards, strips from the low
//! edge): what is tested is how they are drawn and told.

use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::macros::date;
use wetout::cutting::Proof;
use wetout::documents::WholeJob;
use wetout::geometry::segment::turn;
use wetout::model::firm::{Accent, Person};
use wetout::model::job::{Answer, By, Conditions, Delivery, Forced, Party, Site};
use wetout::model::shape::*;
use wetout::model::{Access, Fall, Finish, Firm, Flashing, Job, Length, Mass, Photo, Products, Range, Rules};
use wetout::pricing::terms::{Load, StagePart, StageRule, Target, Vat, VatRounding};
use wetout::pricing::{
    Cost, Drops, Merchant, Money, Order, OrderLine, PriceLine, Pricing, RotRate, Stage, Terms, VatLine,
};
use wetout::programme::{Day, MixDose, MixRow, Operation, Programme, Work};
use wetout::takeoff::layout::shape::{Corner, Direction, HoleShape, RoofShape, Side, Turn};
use wetout::takeoff::layout::*;
use wetout::takeoff::{Line, Need, TakeOff, Unit};

/// Everything that a `Worked` borrows.
pub struct Desk {
    pub job: Job,
    pub firm: Firm,
    pub rules: Rules,
    pub products: Products,
    pub terms: Terms,
    pub take_off: TakeOff,
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
            findings: &[],
            programme: &self.programme,
            pricing: &self.pricing,
            photos: &self.photos,
            date: date!(2026 - 11 - 25),
        }
    }
}

fn mm(n: i64) -> Length {
    Length::mm(n)
}

fn dec(n: i64, scale: u32) -> Decimal {
    Decimal::new(n, scale)
}

/// One edge of a shape: name, finish, and the corner where it begins.
pub type Walked = (&'static str, Finish, (i64, i64));

/// The kitchen extension: 5.2 × 3.4 m, drip at the front, raised sides, wall at the back, one rooflight.
pub fn kitchen() -> Desk {
    let roof = roof(
        "Main roof",
        &[
            ("front", Finish::Drip, (0, 0)),
            ("right", Finish::Raised, (5200, 0)),
            ("back", Finish::Wall, (5200, 3400)),
            ("left", Finish::Raised, (0, 3400)),
        ],
        vec![opening("rooflight", 1800, 1100, 1000, 1000)],
    );
    desk(vec![roof])
}

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
    vec![
        ("kitchen", kitchen().job.roofs[0].clone()),
        ("l-shape", roof("Garage and utility", l_shape, vec![opening("rooflight", 700, 2900, 900, 1200), chimney()])),
        ("bay", roof("Bay", bay, Vec::new())),
        ("tiny", roof("Porch", tiny, Vec::new())),
        ("huge", roof("Hall", huge, vec![opening("smoke vent", 9000, 4000, 1200, 1200)])),
        ("u-shape", roof("Court", u_shape, vec![pipe()])),
        ("long names", roof("Kiosk", shop_front, Vec::new())),
    ]
}

fn chimney() -> Hole {
    Hole { finish: Finish::Wall, ..opening("chimney", 4300, 1200, 450, 450) }
}

fn pipe() -> Hole {
    let form = HoleForm::Round { at: Point::new(5200, 2600), diameter: mm(110) };
    Hole { name: "soil pipe".into(), path: "roofs[0].holes[1]".into(), form, finish: Finish::Kerb }
}

fn opening(name: &str, x: i64, y: i64, w: i64, d: i64) -> Hole {
    let form = HoleForm::Box { at: Point::new(x, y), width: mm(w), depth: mm(d) };
    Hole { name: name.into(), path: "roofs[0].holes[0]".into(), form, finish: Finish::Kerb }
}

/// A roof as measured.
pub fn roof(name: &str, walk: &[Walked], holes: Vec<Hole>) -> Roof {
    let corners: Vec<Point> = walk.iter().map(|(_, _, (x, y))| Point::new(*x, *y)).collect();
    let edge = |i: usize| {
        let (name, finish, _) = walk[i];
        let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
        Edge {
            name: name.into(),
            stretch: None,
            path: format!("roofs[0].edges.{name}"),
            length: mm(((b.x - a.x) as f64).hypot((b.y - a.y) as f64).round() as i64),
            finish,
            joints: Joints::Lapped,
            gutter: (finish == Finish::Drip).then(|| Gutter {
                shape: "half-round".into(),
                size: mm(112),
                detail: None,
            }),
            upstand: (finish == Finish::Wall).then(|| mm(150)),
            flashing: (finish == Finish::Wall).then_some(Flashing::Lead),
            ladder_point: (name == "left").then(|| mm(300)),
        }
    };
    let edges = (0..walk.len()).map(edge).collect();
    Roof {
        name: name.into(),
        path: "roofs[0]".into(),
        outline: Outline::new(corners, edges).unwrap(),
        falls_to: walk.iter().find(|(_, f, _)| *f == Finish::Drip).unwrap().0.into(),
        fall: Fall { run: dec(40, 0) },
        holes,
        joists: Joists { run: JoistRun::FrontToBack, spacing: mm(400), first: mm(0) },
        measured_to: MeasuredTo::Battens,
        way_off: Some("back".into()),
        deck: DeckChoice { action: DeckAction::New, board: Some("osb3-18".into()) },
        laminate: LaminateChoice { mat: 450, layers: 1 },
        topcoat: TopcoatChoice { colour: "dark grey".into(), finish: crate::support::surface("smooth") },
        wall_above: None,
        roof_above: None,
        build_up: None,
        outlet: None,
        misclosure: None,
    }
}

/// A plain layout of a roof.
pub fn layout(roof: &Roof, index: usize) -> RoofLayout {
    let shape = shape(roof, index);
    let deck = (roof.deck.action != DeckAction::Keep).then(|| deck(&shape));
    RoofLayout {
        heights: vec![mm(0); shape.corners.len()],
        firrings: Vec::new(),
        deck,
        over: None,
        junctions: junctions(&shape, index),
        bandage: Vec::new(),
        mat: mat(&shape, roof.laminate.layers as usize),
        shape,
    }
}

fn shape(roof: &Roof, index: usize) -> RoofShape {
    let outline = &roof.outline;
    let n = outline.corners.len();
    let sides: Vec<Side> = (0..n)
        .map(|i| Side {
            label: outline.edges[i].label(),
            path: outline.edges[i].path.clone(),
            from: outline.corners[i],
            to: outline.end_of(i),
            run: outline.edges[i].length,
            finish: outline.edges[i].finish,
        })
        .collect();
    let corner = |i: usize| {
        let (a, b, c) = (outline.corners[(i + n - 1) % n], outline.corners[i], outline.corners[(i + 1) % n]);
        let turn = turn(a, b, c);
        Corner { at: b, turn: if turn > 0 { Turn::External } else { Turn::Internal }, inside: 90.0 }
    };
    RoofShape {
        name: roof.name.clone(),
        index,
        corners: (0..n).map(corner).collect(),
        holes: roof.holes.iter().map(hole).collect(),
        uphill: Direction { x: 0.0, y: 1.0 },
        low_sides: vec![0],
        way_off: sides.iter().position(|s| s.label.starts_with("back")).unwrap(),
        area: outline.gross_area(),
        moved: false,
        sides,
    }
}

fn hole(h: &Hole) -> HoleShape {
    let ring = match h.form {
        HoleForm::Box { at, width, depth } => rectangle(at.x, at.y, width.as_mm(), depth.as_mm()),
        HoleForm::Round { at, diameter } => (0..12)
            .map(|i| {
                let a = f64::from(i) * std::f64::consts::TAU / 12.0;
                let r = diameter.as_mm() as f64 / 2.0;
                Point::new(at.x + (r * a.cos()).round() as i64, at.y + (r * a.sin()).round() as i64)
            })
            .collect(),
    };
    let round = matches!(h.form, HoleForm::Round { .. });
    HoleShape { name: h.name.clone(), path: h.path.clone(), form: h.form.clone(), ring, finish: h.finish, round }
}

fn rectangle(x: i64, y: i64, w: i64, d: i64) -> Vec<Point> {
    vec![Point::new(x, y), Point::new(x + w, y), Point::new(x + w, y + d), Point::new(x, y + d)]
}

fn size(shape: &RoofShape) -> (i64, i64) {
    let ring = shape.ring();
    (ring.iter().map(|p| p.x).max().unwrap(), ring.iter().map(|p| p.y).max().unwrap())
}

fn deck(shape: &RoofShape) -> DeckLayout {
    let (w, d) = size(shape);
    let mut pieces = Vec::new();
    for (row, y) in (0..d).step_by(590).enumerate() {
        let start = if row % 2 == 0 { 2400 } else { 1200 };
        let mut x = 0;
        while x < w {
            let (long, wide) = ((if x == 0 { start } else { 2400 }).min(w - x), 590.min(d - y));
            pieces.push(BoardPiece {
                mark: (pieces.len() + 1).to_string(),
                row,
                rings: vec![rectangle(x, y, long, wide)],
                length: mm(long),
                width: mm(wide),
                board: pieces.len(),
                on_board: Point::new(0, 0),
                whole: long == 2400 && wide == 590,
            });
            x += long;
        }
    }
    let joists = (0..=w / 400).map(|i| (Point::new(i * 400, 0), Point::new(i * 400, d))).collect();
    DeckLayout {
        board: "osb3-18".into(),
        boards: pieces.len(),
        pieces,
        joints: Vec::new(),
        noggins: vec![(Point::new(0, 60), Point::new(w, 60))],
        cuts: 6,
        fixings: 240,
        edge_fixings: 120,
        joists,
        proof: Proof { found: 14, bound: 13, reason: "area".into() },
        along_x: true,
    }
}

fn mat(shape: &RoofShape, layers: usize) -> MatLayout {
    let (w, d) = size(shape);
    let mut pieces = Vec::new();
    for layer in 0..layers {
        for (strip, y) in (0..d).step_by(950).enumerate() {
            pieces.push(MatPiece {
                mark: (pieces.len() + 1).to_string(),
                layer,
                strip,
                ring: rectangle(-60, y, w + 120, 1000.min(d + 100 - y)),
                length: mm(w + 120),
                width: mm(1000.min(d + 100 - y)),
                order: pieces.len() + 1,
            });
        }
    }
    MatLayout { weight: 450, pieces, roll: mm(22_000), notes: vec!["Strip 2 laps over a deck joint by 40 mm.".into()] }
}

fn junctions(shape: &RoofShape, roof: usize) -> Vec<Junction> {
    use Finish::{Drip, Raised, Step, Wall};
    let n = shape.sides.len();
    let of = |i: usize| {
        let (a, b) = (shape.sides[(i + n - 1) % n].finish, shape.sides[i].finish);
        let (treatment, instruction) = match (a, b) {
            (Drip, Raised) => {
                (Treatment::ClosureRight, "Right-hand closure over drip and raised edge; bed it on adhesive.")
            }
            (Raised, Drip) => {
                (Treatment::Notch, "Notch the drip at the gutter\u{2019}s stop end. The raised edge closes over it.")
            }
            (Raised, Raised) if shape.corners[i].turn == Turn::Internal => {
                (Treatment::PreformedInternal, "Preformed internal corner on adhesive.")
            }
            (Raised, Raised) => (Treatment::PreformedExternal, "Preformed external corner on adhesive."),
            (Step, _) | (_, Step) => (Treatment::CarriedUp, "Carry the laminate up; no trim meets here."),
            (Wall, Wall) | (Drip, Drip) => (Treatment::Mitre, "Mitre both trims; close the mitre with bandage."),
            _ => (Treatment::Butt, "Butt cut the raised trim to the wall fillet."),
        };
        let at = shape.corners[i].at;
        Junction { roof, hole: None, corner: i, at, treatment, instruction: instruction.into() }
    };
    let mut all: Vec<Junction> = (0..n).map(of).collect();
    for (h, hole) in shape.holes.iter().enumerate().filter(|(_, h)| !h.round) {
        all.extend(hole.ring.iter().enumerate().map(|(c, at)| Junction {
            roof,
            hole: Some(h),
            corner: c,
            at: *at,
            treatment: Treatment::Mitre,
            instruction: "Mitre the fillets; leave the mitre allowance on.".into(),
        }));
    }
    all
}

/// Trims cut from 3 m lengths, laps of 50 mm.
pub fn profiles(layouts: &[RoofLayout]) -> Vec<ProfilePlan> {
    let mut plans = Vec::new();
    for (finish, letter) in [(Finish::Drip, 'D'), (Finish::Wall, 'W'), (Finish::Raised, 'R'), (Finish::Kerb, 'K')] {
        let mut runs = Vec::new();
        let mut count = 0;
        for l in layouts {
            for (i, s) in l.shape.sides.iter().enumerate().filter(|(_, s)| s.finish == finish) {
                let place = RunPlace::Side { roof: l.shape.index, side: i };
                runs.push(run(place, format!("{}, {}", l.shape.name, s.label), s.run, letter, &mut count));
            }
            for (h, hole) in l.shape.holes.iter().enumerate().filter(|(_, h)| h.finish == finish && !h.round) {
                for side in 0..4 {
                    let place = RunPlace::Hole { roof: l.shape.index, hole: h, side };
                    let label = format!("{}, {} side {}", l.shape.name, hole.name, side + 1);
                    runs.push(run(place, label, mm(1000), letter, &mut count));
                }
            }
        }
        if runs.is_empty() {
            continue;
        }
        let bars = runs.iter().flat_map(|r| &r.pieces).map(|p| Bar {
            stock: mm(3000),
            cuts: vec![p.mark.clone()],
            offcut: mm(3000) - p.length,
            sample: p.length < mm(2800),
        });
        let bars: Vec<Bar> = bars.collect();
        let found = bars.len() as i64;
        let proof = Proof { found, bound: found, reason: "total length".into() };
        plans.push(ProfilePlan { finish, runs, bars, proof, offer_spare: false });
    }
    plans
}

fn run(place: RunPlace, label: String, run: Length, letter: char, count: &mut usize) -> TrimRun {
    let k = ((run.as_mm() - 50).max(1) as u64).div_ceil(2950) as i64;
    let long = (run.as_mm() + (k - 1) * 50) / k;
    let piece = |i: i64| {
        *count += 1;
        TrimPiece {
            mark: format!("{letter}{count}"),
            length: mm(long),
            at: mm(i * (long - 50)),
            bar: 0,
            start_cut: "square".into(),
            end_cut: if i == k - 1 { "butt to the wall fillet".into() } else { "square, under the lap".into() },
        }
    };
    let pieces: Vec<TrimPiece> = (0..k).map(piece).collect();
    let laps = (1..k)
        .map(|i| Lap { at: mm(i * (long - 50) + 25), length: mm(50), over: LapOver::Later, clear_of_corners: true })
        .collect();
    TrimRun { place, label, run, start_allowance: mm(0), end_allowance: mm(0), pieces, laps }
}

/// A whole desk round some roofs.
pub fn desk(roofs: Vec<Roof>) -> Desk {
    let layouts: Vec<RoofLayout> = roofs.iter().enumerate().map(|(i, r)| layout(r, i)).collect();
    let profiles = profiles(&layouts);
    Desk {
        job: job(roofs),
        firm: firm(),
        rules: Rules::default(),
        products: Products::default(),
        terms: terms(),
        take_off: TakeOff { roofs: layouts, profiles, lines: lines(), needs: needs(), notices: Vec::new() },
        programme: programme(),
        pricing: pricing(),
        photos: Vec::new(),
    }
}

fn party(name: &str, street: &str, phone: &str, email: &str) -> Party {
    let address = vec![street.into(), "Wexbury".into(), "ZZ9 9ZZ".into()];
    Party { name: name.into(), address, email: Some(email.into()), phone: Some(phone.into()) }
}

fn job(roofs: Vec<Roof>) -> Job {
    let customer = party("Mrs J. Ackroyd-Pell", "14 Larkspur Close", "07700 900451", "j.ackroyd-pell@home.example");
    let access = [
        (Access::Scaffold, Forced::Yes),
        (Access::Permits, Forced::No),
        (Access::Parking, Forced::Unanswered),
        (Access::RenderCutting, Forced::Unanswered),
        (Access::Aerials, Forced::No),
        (Access::DisturbedTiles, Forced::No),
        (Access::MinimumCharge, Forced::Unanswered),
    ];
    Job {
        reference: "26-041".into(),
        title: "Kitchen extension".into(),
        prepared: date!(2026 - 11 - 25),
        start: Some(date!(2027 - 02 - 01)),
        site: Site {
            address: customer.address.clone(),
            eaves_height: Some(mm(2600)),
            built_before_2000: Some(Answer::Yes),
            access: Some("side gate 900 mm wide".into()),
            hospital: Some("Wexbury General, Infirmary Road".into()),
        },
        customer,
        access: access.into(),
        conditions: Conditions { air: Some(Range { low: dec(8, 0), high: dec(13, 0) }), ..Conditions::default() },
        roofs,
        strip: Some(crate::support::strip("felt", "skip")),
        asbestos: Answer::No,
        flashing: By::Us,
        delivery: Delivery {
            earliest: Some(date!(2027 - 01 - 28)),
            latest: Some(date!(2027 - 01 - 29)),
            note: Some("Low cable over the drive, 3.9 m.".into()),
        },
        boundary: Some(mm(1200)),
        roof_class: None,
        lift: None,
        wind_from: None,
        valid_days: 30,
        notes: vec!["The hopper head stays.".into()],
        exclusions: vec!["Painting of the fascia".into()],
    }
}

fn firm() -> Firm {
    Firm {
        party: party("Brackenhall Flat Roofs", "Unit 3, Tannery Yard", "01632 960118", "office@brackenhall.example"),
        legal: Some("Brackenhall Flat Roofs Ltd, registered in England, company number 00000000".into()),
        vat_number: Some("GB 000 0000 00".into()),
        logo: None,
        accent: Accent { rgb: [22, 92, 125] },
        insurance: Some("Public liability £5,000,000; employers\u{2019} liability £10,000,000.".into()),
        guarantee_years: 20,
        guarantee: "If the roof lets water in through our work or our materials, we come and mend it free of charge."
            .into(),
        terms: vec!["Materials stay ours until they are paid for.".into()],
        exclusions: vec!["Electrical work".into()],
        needs: vec!["Somebody at home on the first morning".into()],
        payment: vec!["By bank transfer, to the account on our invoice.".into()],
        people: vec![
            Person { name: "Dale Ormsby".into(), role: "installer, leads".into(), phone: Some("07700 900112".into()) },
            Person { name: "Kit Varley".into(), role: "mate".into(), phone: None },
        ],
        weather_watch: Some("Dale Ormsby".into()),
        holidays: Vec::new(),
    }
}

/// Figures that belong to the firm alone: none may stand in a quote or an order.
pub const PRIVATE: [&str; 9] = ["1,873.21", "1873.21", "739.87", "28.32", "39.5", "41.77", "18.63", "33.46", "27.64"];

fn terms() -> Terms {
    Terms {
        crew: Vec::new(),
        travel_day: Money::pence(4177),
        overhead: dec(1863, 2),
        contingency: dec(5, 0),
        target: PriceTarget::Margin(dec(2832, 2)),
        vat: Vat { registered: true, rate: dec(20, 0), rounding: VatRounding::TotalNearest },
        loads: vec![Load::skip(Money::pence(26_000), dec(6, 0), None)],
        strip_volume: Some(dec(5, 2)),
        scaffold: Money::pence(42_000),
        access: Vec::new(),
        access_day: Vec::new(),
        vat_rates: Vec::new(),
        strip_mass: None,
        round_total_to: None,
        minimum_charge: None,
        stages: vec![StageRule { label: "Deposit".into(), part: StagePart::Percent(dec(20, 0)), after: None }],
        rot_rates: Vec::new(),
    }
}

fn line(id: &str, item: &str, quantity: Decimal, unit: Unit) -> Line {
    Line { id: id.into(), item: item.into(), roof: None, quantity, unit, working: Vec::new() }
}

fn lines() -> Vec<Line> {
    vec![
        line("deck.boards", "deck boards", dec(14, 0), Unit::Each),
        line("deck.fixings", "deck fixings", dec(240, 0), Unit::Each),
        line("trim.drip.lengths", "drip trim, lengths", dec(2, 0), Unit::Each),
        line("trim.wall.lengths", "wall fillet, lengths", dec(2, 0), Unit::Each),
        line("trim.raised.lengths", "raised edge trim, lengths", dec(4, 0), Unit::Each),
        line("nails.clout", "clout nails", dec(148, 0), Unit::Each),
        line("adhesive.cartridges", "adhesive cartridges", dec(3, 0), Unit::Each),
        line("bandage.75.length", "bandage 75 mm", dec(4312, 2), Unit::Metre),
        line("mat.area", "mat 450 g/m2, as cut", dec(2142, 2), Unit::SquareMetre),
        line("laminate.resin", "resin for the laminate", dec(28917, 3), Unit::Kilogram),
        line("topcoat.mass", "topcoat", dec(1134, 2), Unit::Kilogram),
    ]
}

fn needs() -> Vec<Need> {
    let need = |role: &str, unit| Need {
        role: role.into(),
        size: None,
        quantity: dec(3, 0),
        unit,
        lines: Vec::new(),
        optional: false,
    };
    vec![need("adhesive", Unit::Each), need("resin", Unit::Kilogram)]
}

fn programme() -> Programme {
    let names = [
        (Operation::Strip, "strip the old felt"),
        (Operation::Prepare, "joists and battens"),
        (Operation::Deck, "lay the deck"),
        (Operation::Trims, "fix the trims"),
        (Operation::Bandage, "bandage"),
        (Operation::Laminate, "laminate"),
        (Operation::Topcoat, "topcoat"),
        (Operation::Finish, "flashing and gutter"),
    ];
    let work = names.map(|(operation, label)| Work {
        operation,
        label: label.into(),
        hours: dec(395, 1),
        working: Vec::new(),
        wait_after: dec(0, 0),
    });
    let day = |number: u32, date, work: &[(usize, i64)]| Day {
        number,
        date: Some(date),
        work: work.iter().map(|(i, h)| (*i, dec(*h, 1))).collect(),
        ..Day::default()
    };
    let days = vec![
        day(1, date!(2027 - 02 - 01), &[(0, 50), (1, 30), (2, 60)]),
        day(2, date!(2027 - 02 - 02), &[(3, 70), (4, 20), (5, 60)]),
        day(3, date!(2027 - 02 - 03), &[(6, 30), (7, 50)]),
    ];
    let dose = |percent: Decimal, ml: Decimal| MixDose { percent, ml_per_kg: ml };
    let row = |from: i64, to: i64, p: Decimal, ml: Decimal, today| MixRow {
        from: dec(from, 0),
        to: dec(to, 0),
        laminate: dose(p, ml),
        topcoat: dose(dec(2, 0), dec(174, 1)),
        pot: Mass::kg(dec(5, 0)),
        laminate_pot_ml: (ml * dec(5, 0)).round(),
        topcoat_pot_ml: dec(87, 0),
        today,
    };
    let mix = vec![
        row(5, 10, dec(25, 1), dec(217, 1), false),
        row(10, 15, dec(20, 1), dec(174, 1), true),
        row(15, 20, dec(15, 1), dec(130, 1), false),
        row(20, 25, dec(12, 1), dec(104, 1), false),
        row(25, 30, dec(10, 1), dec(87, 1), false),
    ];
    let warnings = vec!["Below 10 °C: keep resin warm overnight and wait longer before the topcoat.".into()];
    Programme { crew: 2, work: work.into(), days, mix, warnings, ..Programme::default() }
}

fn order_line(group: &'static str, role: &str, code: &str, text: &str, pack: &str, quantity: u64) -> OrderLine {
    OrderLine {
        group,
        role: role.into(),
        size: None,
        code: code.into(),
        description: text.into(),
        pack: pack.into(),
        quantity,
        holds: dec(1, 0),
        need: dec(1, 0),
        unit: Unit::Each,
        each: Money::pence(3346),
        total: Money::pence(2764),
        mass: Some(Mass::kg(dec(168, 1))),
        longest: Some(mm(3000)),
        hazard: None,
        optional: false,
    }
}

fn pricing() -> Pricing {
    let hazard = |l: OrderLine, words: &str| OrderLine { hazard: Some(words.into()), mass: None, ..l };
    let lines = vec![
        order_line(
            "Boards and timber",
            "board.osb3-18",
            "brd-oss-18",
            "OSB/3 board 18 mm, T&G, 2400 × 590 mm",
            "each",
            14,
        ),
        order_line("Boards and timber", "batten.edge", "tim-bat-25", "Treated batten 25 × 50 mm", "4.8 m length", 5),
        order_line("Trims", "trim.drip", "trm-drp-30", "Drip trim", "3 m length", 2),
        order_line("Trims", "trim.raised", "trm-rse-30", "Raised edge trim", "3 m length", 4),
        order_line("Trims", "trim.wall", "trm-fil-30", "Wall fillet trim", "3 m length", 2),
        hazard(order_line("Resins", "resin", "res-lam-20", "Laminating resin", "20 kg drum", 2), "flammable liquid"),
        hazard(
            order_line("Resins", "topcoat.dark-grey", "top-dgr-10", "Topcoat, dark grey", "10 kg drum", 2),
            "flammable liquid",
        ),
        hazard(order_line("Resins", "catalyst", "cat-per-01", "Catalyst", "1 kg bottle", 2), "organic peroxide"),
        OrderLine {
            optional: true,
            ..order_line("Trims", "trim.wall", "trm-fil-30", "Wall fillet trim, spare", "3 m length", 1)
        },
    ];
    let order = Order {
        merchant: Merchant {
            name: "Ferrant Trade Supplies".into(),
            address: vec!["Dock Road".into(), "Wexbury".into(), "ZZ9 8ZZ".into()],
            phone: Some("01632 960733".into()),
            email: None,
            account: Some("BRK-0417".into()),
            delivery: Money::pence(3500),
            free_delivery_from: None,
            preferred: None,
            lead_days: None,
        },
        lines,
        total: Money::pence(187_321),
        delivery: Money::pence(3500),
        mass: Mass::kg(dec(4123, 1)),
        lines_without_mass: 3,
        longest: Some(mm(4800)),
        drops: Drops::default(),
    };
    let cost =
        |label: &str| Cost { id: "cost".into(), label: label.into(), amount: Money::pence(187_321), working: vec![] };
    let price_line =
        |label: &str, pence| PriceLine { label: label.into(), net: Money::pence(pence), vat_rate: dec(20, 0) };
    Pricing {
        lifts: Vec::new(),
        orders: vec![order],
        costs: vec![cost("materials")],
        cost: Money::pence(187_321),
        rule: "margin 28.32 %".into(),
        profit: Money::pence(73_987),
        margin: dec(2832, 2),
        markup: dec(395, 1),
        lines: vec![
            price_line("strip and take away the old roof", 54_000),
            price_line("new deck, edges and glass-fibre roof", 301_000),
            price_line("scaffold", 46_000),
        ],
        net: Money::pence(401_000),
        vat: vec![VatLine { rate: dec(20, 0), net: Money::pence(401_000), vat: Money::pence(80_200) }],
        vat_method: "each rate's total, to the nearest penny".into(),
        total: Money::pence(481_200),
        stages: vec![
            Stage { label: "Deposit, when you accept".into(), amount: Money::pence(96_240), due: None },
            Stage { label: "When the deck is on".into(), amount: Money::pence(192_480), due: None },
            Stage { label: "When the work is done".into(), amount: Money::pence(192_480), due: None },
        ],
        notices: Vec::new(),
        vat_reason: None,
        at_one_merchant: Vec::new(),
        sums: Vec::new(),
        offers: Vec::new(),
        extras: Vec::new(),
        rot_rates: vec![
            RotRate {
                label: "joist, 47 × 150 mm, doubled up".into(), unit: "metre".into(), total: Money::pence(2940)
            },
            RotRate { label: "fascia board".into(), unit: "metre".into(), total: Money::pence(3720) },
        ],
        options: Vec::new(),
    }
}

/// The same kitchen with everything left out that may be left out.
pub fn bare() -> Desk {
    let mut desk = kitchen();
    desk.job.strip = None;
    desk.job.start = None;
    desk.job.notes.clear();
    desk.job.exclusions.clear();
    desk.job.access.clear();
    desk.job.delivery = Delivery::default();
    desk.job.conditions = Conditions::default();
    desk.job.boundary = None;
    desk.job.customer = Party { name: "A. Reed".into(), address: vec!["1 Mill Lane".into()], ..Party::default() };
    desk.job.site = Site {
        address: vec!["1 Mill Lane".into()],
        eaves_height: None,
        built_before_2000: None,
        access: None,
        hospital: None,
    };
    desk.firm.legal = None;
    desk.firm.vat_number = None;
    desk.firm.insurance = None;
    desk.firm.guarantee_years = 0;
    desk.firm.guarantee = String::new();
    desk.firm.terms.clear();
    desk.firm.needs.clear();
    desk.firm.payment.clear();
    desk.firm.people.clear();
    desk.firm.weather_watch = None;
    desk.terms.vat.registered = false;
    desk.pricing.rot_rates.clear();
    desk.pricing.stages.truncate(1);
    desk.pricing.vat.clear();
    desk.programme.days.clear();
    desk.programme.mix.clear();
    desk.take_off.needs.clear();
    desk.products.profiles = BTreeMap::new();
    desk
}
