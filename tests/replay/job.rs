//! Whole jobs, replayed: taken off, priced with the demo price book, and every layer looked at by code of its own.
//!
//! Given the demo jobs and random ones; gives the faults found in deck, trims, bandage, mat, order and workings.

use super::roofs::{self, Dice, Wish, random_roof};
use super::{bandage, deck, edges, gutters, marks, mat, noggins, openings, order, parapets, trims, van, workings};
use crate::demo::{Demo, names, request, work};
use crate::support::{at, mm, setting, strip};
use wetout::job_file::Loaded;
use wetout::job_file::load;
use wetout::model::job::{By, OwnStrip};
use wetout::model::shape::{BoxGutter, DeckAction, Edge, Gutter, Joints, MeasuredTo, SoleOutlet};
use wetout::model::{
    Coping, Cover, Fall, Finish, Flashing, HoleForm, Job, Length, PitchedCovering, Point, Role, Roof, Rules, Section,
    UnderTiles,
};
use wetout::pricing::private_sheet::Basis;
use wetout::pricing::{Article, PriceBook, Pricing, price};
use wetout::programme::{Programme, plan};
use wetout::takeoff::layout::shape;
use wetout::takeoff::layout::{BandageOver, RunPlace};
use wetout::takeoff::{TakeOff, take_off};

/// Everything that is wrong with a job: its layout, its order, its lines.
pub fn faults(job: &Job, take_off: &TakeOff, pricing: &Pricing, loaded: &Loaded, rules: &Rules) -> Vec<String> {
    let products = &loaded.products;
    let mut found = trims::faults(take_off, rules);
    found.extend(bandage::faults(take_off, rules, products));
    found.extend(gutters::faults(job, take_off, rules, products));
    found.extend(parapets::faults(job, take_off, rules, products));
    found.extend(openings::faults(job, take_off, rules));
    for (i, (roof, laid)) in job.roofs.iter().zip(&take_off.roofs).enumerate() {
        if let Some(deck) = &laid.deck {
            found.extend(deck::faults(&laid.shape, roof, rules, &products.boards[&deck.board], deck));
            // In a warm roof the mat lies on the board over the insulation.
            let under_mat = laid.over.as_ref().and_then(|o| o.overlay.as_ref()).unwrap_or(deck);
            found.extend(mat::bare_joints(under_mat, &laid.bandage, rules));
        }
        found.extend(mat::faults(&laid.shape, &laid.mat, rules, i as u64 + 1));
        found.extend(edges::faults(roof, laid, &take_off.lines, rules, products));
    }
    found.extend(noggins::faults(take_off, pricing, (rules, products)));
    found.extend(order::faults(job, take_off, pricing, &loaded.books, rules, products));
    found.extend(workings::faults(&take_off.lines));
    found.extend(marks::faults(take_off));
    found
}

/// A random job laid out and planned; `None` where it is refused.
pub fn laid_at_random(seed: u64, demo: &Demo) -> Option<(TakeOff, Programme)> {
    let loaded = &demo.loaded;
    let mut dice = Dice::new(seed);
    let job = random_job(&mut dice, &loaded.job);
    let rules = random_rules(&mut dice, &loaded.rules);
    let laid = take_off(&job, &rules, &loaded.products).ok()?;
    let programme = plan(&job, &laid, &rules, loaded.products.catalyst_density, 2, &[]);
    Some((laid, programme))
}

// ---- Random jobs -------------------------------------------------------------------------------------------------

/// A random job: one to three roofs of the demo price book's boards, mats and colours.
pub fn random_job(dice: &mut Dice, like: &Job) -> Job {
    let mut job = like.clone();
    let count = [1, 1, 1, 2, 2, 3][dice.below(6)];
    job.roofs = (0..count).map(|i| random_job_roof(dice, i)).collect();
    job.flashing = dice.one_of(&[By::Us, By::Others]);
    let wind = dice.below(3) == 0;
    job.wind_from = wind.then(|| job.roofs[0].outline.edges[1].name.clone());
    job
}

fn random_job_roof(dice: &mut Dice, index: usize) -> Roof {
    let mut roof = random_roof(dice, Wish { turned: false, clear: 500 });
    roof.name = format!("Roof {}", index + 1);
    roof.path = setting(&format!("roofs[{index}]"));
    if dice.below(3) == 0 {
        in_stretches(dice, &mut roof);
    } else if dice.below(3) == 0 {
        roof.measured_to = MeasuredTo::Fascia;
        if shape::lay_out(&roof, index, &Rules::default()).is_err() {
            roof.measured_to = MeasuredTo::Battens;
        }
    }
    if dice.below(4) == 0 {
        box_gutter(dice, &mut roof.outline.edges[0]);
    }
    door(dice, &mut roof);
    covered_walls(dice, &mut roof);
    for edge in &mut roof.outline.edges {
        edge.path = setting(&format!("roofs[{index}].edges.{}", edge.name));
        dress(dice, edge);
    }
    (roof.deck.action, roof.deck.board) = match dice.below(8) {
        0 => (DeckAction::Keep, None),
        1 => (DeckAction::Overlay, Some("osb3-11".into())),
        2 => (DeckAction::New, Some("osb3-18-square".into())),
        _ => (DeckAction::New, Some("osb3-18".into())),
    };
    level_tops(&mut roof);
    // With dice of its own: every seed keeps the roof that it has without new timber.
    new_timber(&mut dice.clone(), &mut roof);
    roof.laminate.mat = dice.one_of(&[300, 450, 450, 600]);
    roof.topcoat.colour = dice.one_of(&["dark grey", "light grey", "green"]).into();
    roof.own.flashing = dice.one_of(&[None, None, Some(By::Us), Some(By::Others)]);
    roof.own.strip = match dice.below(5) {
        0 => Some(OwnStrip::Nothing),
        1 => {
            let (covering, tip) = (dice.one_of(&["felt", "asphalt", "lead"]), dice.one_of(&["skip", "customer"]));
            Some(OwnStrip::Strip(Box::new(strip(covering, tip))))
        }
        _ => None,
    };
    roof
}

/// Makes the timber of an opening new now and then, where the deck is new and joists run past it.
fn new_timber(dice: &mut Dice, roof: &mut Roof) {
    let new_deck = roof.deck.action == DeckAction::New;
    for hole in roof.holes.iter_mut().filter(|h| h.finish == Finish::Kerb && matches!(h.form, HoleForm::Box { .. })) {
        let (kerb, trimmers) = (dice.below(3) == 0, dice.below(4) == 0);
        let timber = |width| Section { thickness: mm(47), width: mm(width) };
        hole.timber.kerb = kerb.then_some(timber(400));
        hole.timber.trimmers = (trimmers && new_deck).then_some(timber(170));
    }
}

/// Makes the low edge, where it is a drip, the lip of a box gutter.
fn box_gutter(dice: &mut Dice, edge: &mut Edge) {
    let run = edge.length.as_mm();
    if edge.finish != Finish::Drip || run < 300 {
        return;
    }
    edge.finish = Finish::Gutter;
    edge.flashing = Some(Flashing::Lead);
    edge.upstand = Some(mm(300));
    let outlet = SoleOutlet { at: mm(dice.size(40, run - 40)), size: mm(75), head: None, strainer: false };
    edge.box_gutter = Some(BoxGutter {
        path: setting("roofs[0].edges.front.box_gutter"),
        width: mm(dice.size(150, 450)),
        depth: mm(dice.size(60, 160)),
        fall: Fall { run: dice.size(60, 200).into() },
        outlet,
        new: false,
        board: Some("osb3-18".into()),
        depth_factor: None,
    });
}

/// Splits an edge along x or y in two stretches of different finish.
fn in_stretches(dice: &mut Dice, roof: &mut Roof) {
    let n = roof.outline.edges.len();
    let i = 1 + dice.below(n - 1);
    let (a, b) = (roof.outline.corners[i], roof.outline.corners[(i + 1) % n]);
    let length = roof.outline.edges[i].length;
    if (a.x != b.x && a.y != b.y) || length < mm(1200) || roof.way_off.as_ref() == Some(&roof.outline.edges[i].name) {
        return;
    }
    let first = mm(dice.size(500, length.as_mm() - 500));
    let along = |from: i64, to: i64| from + (to - from).signum() * if from == to { 0 } else { first.as_mm() };
    let middle: Point = at(along(a.x, b.x), along(a.y, b.y));
    let mut second = roof.outline.edges[i].clone();
    (second.length, second.stretch) = (length - first, Some(1));
    second.finish = dice.one_of(&[Finish::Raised, Finish::Wall, Finish::Drip, Finish::Step]);
    (roof.outline.edges[i].length, roof.outline.edges[i].stretch) = (first, Some(0));
    roof.outline.edges.insert(i + 1, second);
    roof.outline.corners.insert(i + 1, middle);
}

/// A door in a wall along x or y: a stretch of wall, its sill, a stretch of wall.
fn door(dice: &mut Dice, roof: &mut Roof) {
    let n = roof.outline.edges.len();
    let i = dice.below(n);
    let (a, b) = (roof.outline.corners[i], roof.outline.corners[(i + 1) % n]);
    let edge = roof.outline.edges[i].clone();
    let sound = edge.finish == Finish::Wall && edge.stretch.is_none() && (a.x == b.x || a.y == b.y);
    if !sound || edge.length < mm(1500) {
        return;
    }
    let (before, wide) = (mm(dice.size(200, 400)), mm(dice.size(600, edge.length.as_mm() - 800)));
    let along = |from: i64, to: i64, by: Length| from + (to - from).signum() * by.as_mm();
    let point = |by: Length| at(along(a.x, b.x, by), along(a.y, b.y, by));
    let stretch = |n, length, sill| Edge { length, sill, stretch: Some(n), ..edge.clone() };
    let sill = Some(mm(dice.size(120, 450)));
    let parts = [stretch(0, before, None), stretch(1, wide, sill), stretch(2, edge.length - before - wide, None)];
    roof.outline.edges.splice(i..=i, parts);
    roof.outline.corners.splice(i + 1..i + 1, [point(before), point(before + wide)]);
}

/// Covers some walls: the roof is carried over them.
fn covered_walls(dice: &mut Dice, roof: &mut Roof) {
    if dice.below(3) > 0 {
        return;
    }
    let plain = |e: &&mut Edge| e.finish == Finish::Wall && e.sill.is_none() && e.length >= mm(900);
    for edge in roof.outline.edges.iter_mut().filter(plain) {
        edge.coping = (dice.below(2) == 0).then(|| Coping {
            width: mm(dice.one_of(&[102, 215, 330])),
            cover: dice.one_of(&Cover::ALL),
            by: dice.one_of(&[By::Us, By::Us, By::Others]),
            board: Some("osb3-11".into()),
        });
    }
}

/// Tops that meet lie level: over firrings all of them are measured from one level surface. Where the old surface falls itself,
/// one wall alone is covered.
fn level_tops(roof: &mut Roof) {
    let firred = roof.firred().is_some();
    let mut covered = roof.outline.edges.iter_mut().filter(|e| e.coping.is_some());
    let Some(first) = covered.next().map(|e| e.upstand) else { return };
    for edge in covered {
        edge.upstand = if firred { first } else { Some(mm(2500)) };
        if !firred {
            (edge.coping, edge.flashing) = (None, Some(Flashing::Lead));
        }
    }
}

/// Gutters, flashings, ladder points, and runs that may not be joined.
fn dress(dice: &mut Dice, edge: &mut Edge) {
    match edge.finish {
        Finish::Drip => edge.gutter = Some(Gutter { shape: "half-round".into(), size: mm(112), detail: None }),
        Finish::Wall => {
            let wall = if edge.coping.is_some() { dice.size(240, 500) } else { 2500 };
            edge.upstand = edge.sill.or(Some(mm(wall)));
            edge.flashing = (edge.sill.is_none() && edge.coping.is_none()).then_some(Flashing::Lead);
        }
        Finish::Step => edge.under = Some(random_tiles(dice)),
        Finish::Raised | Finish::Kerb | Finish::Gutter => {}
    }
    if matches!(edge.finish, Finish::Drip | Finish::Raised) && dice.below(6) == 0 {
        edge.ladder_point = Some(mm(edge.length.as_mm() * dice.size(0, 10) / 10));
    }
    if edge.length < mm(2700) && dice.below(6) == 0 {
        edge.joints = Joints::None;
    }
}

/// Tiles or slates of any gauge over a step, lifted by anybody.
fn random_tiles(dice: &mut Dice) -> UnderTiles {
    let covering = dice.one_of(&PitchedCovering::ALL);
    let (up, gauge) = (mm(dice.size(200, 500)), mm(dice.size(80, 400)));
    let (more, by) = (dice.below(3) as u32, dice.one_of(&[By::Us, By::Us, By::Others]));
    let (cover, rises) = (mm(dice.size(150, 350)), [mm(0); 2]);
    let tiles = UnderTiles { covering, gauge, cover, pitch: Some(35), up, courses: 0, rises, by };
    UnderTiles { courses: tiles.courses_needed((mm(150), 1)) + more, ..tiles }
}

/// Rules with a saw's kerf and laps to spare, now and then.
fn random_rules(dice: &mut Dice, rules: &Rules) -> Rules {
    let mut rules = rules.clone();
    if dice.below(4) == 0 {
        rules.kerf = mm(3);
        rules.extra_laps = 1;
    }
    rules
}

/// What came of a job.
enum Came {
    Refused(Vec<String>),
    Faults(Vec<String>),
}

fn came_of(seed: u64, demo: &Demo) -> Came {
    let loaded = &demo.loaded;
    let mut dice = Dice::new(seed);
    let job = random_job(&mut dice, &loaded.job);
    let rules = random_rules(&mut dice, &loaded.rules);
    let laid = match take_off(&job, &rules, &loaded.products) {
        Ok(laid) => laid,
        Err(problems) => return Came::Refused(problems.iter().map(ToString::to_string).collect()),
    };
    let programme = plan(&job, &laid, &rules, loaded.products.catalyst_density, 2, &[]);
    let terms = loaded.terms.as_ref().unwrap();
    let books = with_collars(&loaded.books);
    match price(&job, &rules, &laid.needs, &programme, &books, terms, &loaded.job_money) {
        Ok(pricing) => {
            let mut found = faults(&job, &laid, &pricing, loaded, &rules);
            let (needs, money) = (&laid.needs, &loaded.job_money);
            let basis = Basis { job: &job, rules: &rules, needs, programme: &programme, books: &books, terms, money };
            let in_van = van::by_chance(seed, &job, &laid, &books);
            let taking = pricing.clone().with_van(&in_van, basis);
            let with_van = van::faults(basis, &laid, &in_van, (&pricing, &taking), &loaded.products);
            found.extend(with_van.into_iter().map(|fault| format!("with the van: {fault}")));
            Came::Faults(found)
        }
        Err(problems) => Came::Faults(problems.iter().map(ToString::to_string).collect()),
    }
}

/// The demo price book with collars for the pipes of the random roofs, of every diameter.
fn with_collars(books: &[PriceBook]) -> Vec<PriceBook> {
    let mut books = books.to_vec();
    let articles = &mut books[0].articles;
    let like = articles.iter().find(|a| a.role == "collar.pipe").unwrap().clone();
    let of = |size: i64| Article { size: Some(mm(size)), code: format!("{}-in-{size}", like.code), ..like.clone() };
    articles.extend([50, 160].map(of));
    // What kerbs and trimmers of the random roofs are cut from, in the lengths that are usual.
    let like = articles.iter().find(|a| matches!(a.role, Role::Sawn(_))).unwrap().clone();
    let section = Section { thickness: mm(47), width: mm(400) };
    let of = |size: i64| Article {
        role: Role::Sawn(section),
        size: Some(mm(size)),
        code: format!("sawn-47x400-{size}"),
        ..like.clone()
    };
    articles.extend([3600, 4800].map(of));
    // What covers a wall, of every thickness of the random roofs' walls.
    for role in ["dpc", "capping.metal", "capping.bracket", "capping.end", "capping.corner"] {
        let like = articles.iter().find(|a| a.role == role).unwrap().clone();
        let of =
            |size: i64| Article { size: Some(mm(size)), code: format!("{}-for-{size}", like.code), ..like.clone() };
        articles.extend([102, 330].map(of));
    }
    books
}

/// The faults of one random job; a refusal is none, as long as it is one that the trade knows.
pub fn replay(seed: u64, demo: &Demo) -> Vec<String> {
    match came_of(seed, demo) {
        Came::Faults(found) => found,
        Came::Refused(problems) => problems.into_iter().filter(|p| !is_known(p)).collect(),
    }
}

/// Refusals that a random job may well earn.
pub fn is_known(problem: &str) -> bool {
    [
        "no layout was found that keeps the joints of neighbouring rows",
        "takes one piece of",
        "must be joined, but from lengths of",
        "under the door sill at",
        "an edge of the deck takes a noggin of",
        "its parapet side is",
        "is wider than the board",
        "of the wall is left once the roof is built up",
        "is thicker than its outer edge is long",
        "more than the board",
        "no joist runs past it on both sides",
        "it is no wider than the two trimmers",
        "above the finished roof: firrings, boards",
        "long, and the longest",
        "under a deck that stays",
    ]
    .iter()
    .any(|known| problem.contains(known))
}

// ---- Tests -------------------------------------------------------------------------------------------------------

#[test]
fn every_demo_job_is_laid_bought_and_worked_without_a_fault() {
    for name in names() {
        let demo = work(&request(&name));
        let all = van::delivered(&demo.loaded.job, &demo.pricing, &demo.loaded.stock, &demo.loaded.books);
        let found = faults(&demo.loaded.job, &demo.take_off, &all, &demo.loaded, &demo.loaded.rules);
        assert_eq!(found, Vec::<String>::new(), "{name}");
    }
}

/// Two thousand whole jobs; fewer without optimisation, where each takes long. `WETOUT_ROOFS=100000` asks for more.
#[test]
fn random_jobs_are_laid_bought_and_worked_without_a_fault() {
    let demo = work(&request("kitchen-extension"));
    let count = roofs::count(if cfg!(debug_assertions) { 300 } else { 2000 });
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, |seed| replay(seed, &demo)), count);
}

/// Two roofs 550 mm deep whose way off is a side of 146 mm: over so narrow a one a man goes sideways, and it is told.
#[test]
fn a_way_off_narrower_than_a_man_may_be_called_a_squeeze() {
    let demo = work(&request("kitchen-extension"));
    for seed in [11_921, 20_718] {
        assert_eq!(replay(seed, &demo), Vec::<String>::new(), "seed {seed}");
    }
}

#[test]
fn most_random_jobs_are_not_refused() {
    let demo = work(&request("kitchen-extension"));
    let refused = (1..101).filter(|&seed| matches!(came_of(seed, &demo), Came::Refused(_))).count();
    assert!(refused <= 5, "{refused} of 100 are refused");
}

/// A sound job is spoilt in one way at a time, and each way is named.
#[test]
fn the_replay_of_a_job_sees_what_is_spoilt() {
    let sound = work(&request("garage-utility"));
    let see = |spoil: &dyn Fn(&mut TakeOff, &mut Pricing)| {
        let (mut take_off, mut pricing) = (sound.take_off.clone(), sound.pricing.clone());
        spoil(&mut take_off, &mut pricing);
        faults(&sound.loaded.job, &take_off, &pricing, &sound.loaded, &sound.loaded.rules).join("; ")
    };
    assert_eq!(see(&|_, _| ()), "");
    let must = |words: &str, spoil: &dyn Fn(&mut TakeOff, &mut Pricing)| {
        let found = see(spoil);
        assert!(found.contains(words), "{words}: {found}");
    };
    // Trims.
    must("laid nowhere", &|t, _| drop(t.profiles[0].runs[0].pieces.pop()));
    must("should lie at", &|t, _| {
        let run = t.profiles.iter_mut().flat_map(|p| &mut p.runs).find(|r| r.pieces.len() > 1).unwrap();
        run.pieces[1].at += mm(20);
    });
    must("cut 1 mm short", &|t, _| {
        let bar = &mut t.profiles[0].bars[0];
        bar.stock = bar.stock - bar.offcut - mm(1);
    });
    must("is cut twice", &|t, _| {
        let mark = t.profiles[0].bars[0].cuts[0].clone();
        t.profiles[0].bars[0].cuts.push(mark);
    });
    must("listed from bar", &|t, _| t.profiles[0].runs[0].pieces[0].bar += 1);
    must("has no trim", &|t, _| drop(t.profiles[0].runs.remove(0)));
    must("has two runs", &|t, _| {
        let again = t.profiles[0].runs[0].clone();
        t.profiles[0].runs.push(again);
    });
    must("the pieces reach", &|t, _| t.profiles[0].runs[0].run += mm(60));
    must("does not belong there", &|t, _| {
        if let RunPlace::Side { side, .. } = &mut t.profiles[0].runs[0].place {
            *side += 1;
        }
    });
    must("pieces and", &|t, _| {
        let run = t.profiles.iter_mut().flat_map(|p| &mut p.runs).find(|r| !r.laps.is_empty()).unwrap();
        run.laps.clear();
    });
    must("marks two things", &|t, _| {
        let marks = &mut t.profiles[0].runs[0].pieces;
        marks[0].mark = "D2".into();
    });
    // Bandage.
    let lose = |t: &mut TakeOff, over: BandageOver| {
        let at = t.roofs[0].bandage.iter().position(|p| p.covers == over).unwrap();
        t.roofs[0].bandage.remove(at);
    };
    must("the flange has no bandage", &|t, _| lose(t, BandageOver::Flange));
    must("has no patch", &|t, _| lose(t, BandageOver::Corner));
    must("trim laps and bandage on", &|t, _| lose(t, BandageOver::TrimLap));
    must("board joint bare", &|t, _| lose(t, BandageOver::BoardJoint));
    // Deck and mat.
    must("is covered 0 times", &|t, _| drop(t.roofs[0].deck.as_mut().unwrap().pieces.pop()));
    must("bare at", &|t, _| drop(t.roofs[0].mat.pieces.remove(1)));
    must("more noggins of", &|t, _| drop(t.noggins.as_mut().unwrap().bars.pop()));
    must("mm of noggins out of", &|t, _| {
        let bars = &mut t.noggins.as_mut().unwrap().bars;
        let more = bars[1].1.clone();
        bars[0].1.extend(more);
    });
    // The order.
    must("lengths cut", &|_, p| {
        let noggins = p.orders.iter_mut().flat_map(|o| &mut o.lines).find(|l| l.role == "timber.noggin").unwrap();
        noggins.quantity -= 1;
    });
    let one_less = |p: &mut Pricing, role: &str| {
        let line = p.orders.iter_mut().flat_map(|o| &mut o.lines).find(|l| l.role == role && !l.optional).unwrap();
        line.quantity -= 1;
    };
    for role in ["board.osb3-18", "corner.external", "resin", "catalyst", "nails.clout", "batten.edge"] {
        must(&format!("{role}:"), &|_, p| one_less(p, role));
    }
    must("collar.pipe of 110 mm:", &|_, p| one_less(p, "collar.pipe"));
    must("trim.wall of 3000 mm:", &|_, p| one_less(p, "trim.wall"));
    must("collar.pipe of 110 mm:", &|_, p| one_less(p, "collar.pipe"));
    must("do not come out of the rolls", &|_, p| one_less(p, "mat.450"));
    must("board.osb3-18:", &|_, p| {
        p.orders.iter_mut().flat_map(|o| &mut o.lines).find(|l| l.role == "board.osb3-18").unwrap().quantity += 1;
    });
    // Lines.
    must("the working ends at", &|t, _| t.lines[0].quantity += rust_decimal::Decimal::ONE);
    must("the working ends at", &|t, _| t.lines[0].working.clear());
    must("starts with a small letter", &|t, _| t.lines[0].item = t.lines[0].item.to_lowercase());
    must("stands twice", &|t, _| t.lines.push(t.lines[0].clone()));
    must("is pooled and per roof", &|t, _| {
        let mut pooled = t.lines.iter().find(|l| l.roof.is_some()).unwrap().clone();
        pooled.roof = None;
        t.lines.push(pooled);
    });
}

/// Reads a job file of one roof, written as the demo's are, with a change to its text; gives every problem there is.
fn problems_of(change: impl Fn(String) -> String) -> Vec<String> {
    let mut request = request("kitchen-extension");
    let text = change(String::from_utf8(request.bytes).unwrap());
    request.bytes = text.into_bytes();
    match load(&request) {
        Err(failure) => failure.problems.iter().map(ToString::to_string).collect(),
        Ok(loaded) => match take_off(&loaded.job, &loaded.rules, &loaded.products) {
            Err(problems) => problems.iter().map(ToString::to_string).collect(),
            Ok(_) => Vec::new(),
        },
    }
}

/// One problem, with these words in it, at this place, with a cure.
fn one_problem(found: &[String], place: &str, words: &str) {
    let matching: Vec<&String> = found.iter().filter(|p| p.starts_with(place) && p.contains(words)).collect();
    assert_eq!(matching.len(), 1, "{place}: {words}: {found:#?}");
    let cure = matching[0].split_once("; ").map_or("", |(_, cure)| cure);
    assert!(cure.len() > 10, "no cure: {}", matching[0]);
}

#[test]
fn a_hole_outside_or_across_the_outline_is_a_problem_with_a_cure() {
    for at in ["[9.0 m, 1.1 m]", "[4.8 m, 1.1 m]", "[1.8 m, 3.0 m]"] {
        let found = problems_of(|text| text.replace("[1.8 m, 1.1 m]", at));
        assert!(!found.is_empty(), "{at} is taken");
        one_problem(&found, "roofs[0].holes[0]", "rooflight");
    }
}

#[test]
fn an_edge_without_a_finish_is_a_problem_with_a_cure() {
    let found = problems_of(|text| text.replace("right: {finish: raised}", "right: {}"));
    one_problem(&found, "roofs[0].edges.right", "finish");
    let found = problems_of(|text| text.replace("      right: {finish: raised}\n", ""));
    one_problem(&found, "roofs[0].edges", "right");
}

#[test]
fn joists_that_support_no_board_are_a_problem_with_a_cure() {
    let found = problems_of(|text| text.replace("spacing: 400 mm", "spacing: 1300 mm"));
    one_problem(&found, "roofs[0].joists.spacing", "joists at 1300 mm centres carry no deck");
}

#[test]
fn stock_shorter_than_the_shortest_piece_is_a_problem_with_a_cure() {
    let demo = work(&request("kitchen-extension"));
    let mut products = demo.loaded.products.clone();
    for profile in products.profiles.values_mut() {
        profile.stock = vec![wetout::model::products::Stock { length: mm(280), pence: None }];
    }
    let problems = take_off(&demo.loaded.job, &demo.loaded.rules, &products).unwrap_err();
    let found: Vec<String> = problems.iter().map(ToString::to_string).collect();
    one_problem(&found, "roofs[0].edges.front", "must be joined, but from lengths of 280 mm");
}
