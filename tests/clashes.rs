//! Drawings as they are read: no label stands on another, on a line that can be seen, or on anything dark; all plans of a kind
//! in a document have one scale, of the row that people have a ruler for.
//!
//! The rule of labels: what is written over thin lines (a board's number over joists) has a ground that hides them; every other
//! label keeps off every line, but the ring or the frame that is drawn round it.

use crate::demo::{self, Demo};
use crate::replay::job::random_job;
use crate::replay::roofs::{self, Dice};
use crate::support::{asked, built_in_words};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use wetout::checks::boards;
use wetout::documents::drawings::drawing::{
    Drawing, LIGHT, Quad, Way, apart, go, inside, part, pen, ring_sides, spot, text_width,
};
use wetout::documents::drawings::plan_scale::{PT_PER_MM, SCALES};
use wetout::documents::drawings::roof_plan::Audience;
use wetout::documents::drawings::{Space, corners, deck_plan, mat_plan, roof_plan, sections, trim_plan};
use wetout::documents::views::QuoteView;
use wetout::documents::{method, quote, site_words, wording};
use wetout::pages::block::{Block, Document, Figure};
use wetout::pages::page::{Item, Page};
use wetout::pages::scene::{Anchor, Ink, Mark, Pen, Scene, Spot};
use wetout::pages::{fitting, masthead};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::{Junction, RoofLayout, RunPlace, TrimRun};

// ---- What clashes -------------------------------------------------------------------------------------------------

/// The ground that the letters themselves take: from their feet, or their tails, to the height of capitals.
fn letters(mark: &Mark) -> Option<(Quad, &str)> {
    let Mark::Text { at, text, size, bold, anchor, turn, .. } = mark else { return None };
    let (sin, cos) = turn.to_radians().sin_cos();
    let way = Way { x: cos, y: -sin };
    let width = text_width(text, *size) * if *bold { 0.98 } else { 0.92 };
    let middle = match anchor {
        Anchor::Start => width / 2.0,
        Anchor::Middle => 0.0,
        Anchor::End => -width / 2.0,
    };
    let tail = if text.contains(['g', 'j', 'p', 'q', 'y', '(', ')', ',', ';']) { 0.2 } else { 0.0 };
    let centre = go(go(*at, way, middle), way.right(), (tail - 0.72) / 2.0 * size);
    Some((Quad::about(centre, way, width, (0.72 + tail) * size), text))
}

fn circle(at: Spot, radius: f64) -> Vec<Spot> {
    let corner = |i: i32| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 24.0).sin_cos();
        spot(at.x + radius * cos, at.y + radius * sin)
    };
    (0..24).map(corner).collect()
}

/// Rings, what they are filled with, and the pen that goes round them.
type Outlined = (Vec<Vec<Spot>>, Option<Ink>, Option<Pen>);

/// The rings of a mark that is no line and no text, with its fill and its pen.
fn rings(mark: &Mark) -> Option<Outlined> {
    match mark {
        Mark::Area { rings, fill, pen } => Some((rings.clone(), *fill, *pen)),
        Mark::Circle { at, radius, fill, pen } => Some((vec![circle(*at, *radius)], *fill, *pen)),
        _ => None,
    }
}

fn strokes(mark: &Mark) -> Vec<(Spot, Spot)> {
    match (mark, rings(mark)) {
        (Mark::Line { spots, pen }, _) if pen.ink != Ink::White => spots.windows(2).map(|w| (w[0], w[1])).collect(),
        (_, Some((rings, _, Some(pen)))) if pen.ink != Ink::White => rings.iter().flat_map(|r| ring_sides(r)).collect(),
        _ => Vec::new(),
    }
}

fn meets(rings: &[Vec<Spot>], quad: &Quad) -> bool {
    // By the even-odd rule: what lies in an opening of an area is not on it.
    let on = |s: Spot| rings.iter().filter(|ring| inside(ring, s)).count() % 2 == 1;
    quad.corners.iter().any(|c| on(*c)) || rings.iter().flat_map(|r| ring_sides(r)).any(|(a, b)| quad.meets_line(a, b))
}

fn covers(rings: &[Vec<Spot>], quad: &Quad) -> bool {
    let on = |s: Spot| rings.iter().filter(|ring| inside(ring, s)).count() % 2 == 1;
    let crossed = rings.iter().flat_map(|r| ring_sides(r)).any(|(a, b)| quad.meets_line(a, b));
    !crossed && quad.corners.iter().all(|c| on(*c))
}

/// The last mark before a text that hides what is under it, or the text's own ground.
fn ground(scene: &Scene, text: usize, quad: &Quad) -> usize {
    if matches!(scene.marks[text], Mark::Text { ground: true, .. }) {
        return text;
    }
    let hides = |mark: &Mark| {
        rings(mark)
            .is_some_and(|(rings, fill, _)| fill.is_some_and(|ink| ink.lightness() >= LIGHT) && covers(&rings, quad))
    };
    scene.marks[..text].iter().rposition(hides).unwrap_or(0)
}

/// Every clash of a drawing, in words.
fn clashes(scene: &Scene) -> Vec<String> {
    let texts: Vec<(usize, Quad, &str)> =
        scene.marks.iter().enumerate().filter_map(|(i, m)| letters(m).map(|(quad, text)| (i, quad, text))).collect();
    let mut found = Vec::new();
    for (n, (i, quad, text)) in texts.iter().enumerate() {
        for (_, other, words) in &texts[n + 1..] {
            if quad.overlaps(other) {
                found.push(format!("“{text}” and “{words}” stand on each other"));
            }
        }
        let from = ground(scene, *i, quad);
        let seen = |j: usize| j != *i && (j > from || j > *i || from == 0);
        for (j, mark) in scene.marks.iter().enumerate().filter(|(j, _)| seen(*j)) {
            if strokes(mark).iter().any(|(a, b)| quad.meets_line(*a, *b)) {
                found.push(format!("a line runs through “{text}”: {mark:?}"));
            }
            let Some((rings, Some(fill), _)) = rings(mark) else { continue };
            if (j > *i || fill.lightness() < LIGHT) && meets(&rings, quad) {
                let what = if j > *i { "is hidden" } else { "stands on something dark" };
                found.push(format!("“{text}” {what}: {mark:?}"));
            }
        }
    }
    found.extend(on_boards(scene));
    found.extend(read_as_one(scene));
    found
}

/// Numbers at the end of a line that stand so near to words beside them that both are read as one: `Back 15`.
fn read_as_one(scene: &Scene) -> Vec<String> {
    let numbers = scene.marks.windows(3).enumerate().filter_map(|(i, three)| match three {
        [Mark::Line { .. }, Mark::Circle { .. }, number @ Mark::Text { text, turn: 0.0, .. }] => {
            (text.parse::<u32>().is_ok()).then(|| letters(number).map(|(quad, _)| (i + 2, quad, text)))?
        }
        _ => None,
    });
    let beside = |(i, quad, number): (usize, Quad, &String)| {
        let [a, _, c, _] = quad.corners;
        let middle = spot((a.x + c.x) / 2.0, (a.y + c.y) / 2.0);
        let about = Quad::about(middle, Way { x: 1.0, y: 0.0 }, c.x - a.x + 2.0 * APART, c.y - a.y);
        let others = scene.marks.iter().enumerate().filter(|(j, _)| *j != i);
        let level = others.filter(|(_, mark)| matches!(mark, Mark::Text { turn: 0.0, .. }));
        let near = level.filter_map(|(_, mark)| letters(mark)).find(|(other, _)| about.overlaps(other));
        near.map(|(_, words)| format!("“{number}” is read as one with “{words}”"))
    };
    numbers.filter_map(beside).collect()
}

/// From a number to the words beside it at least, pt.
const APART: f64 = 5.0;

/// What a name takes in its board besides itself: room on both sides of it.
const AIR: f64 = 4.0;

/// Names that touch the line of a board, which a ground under them would hide; not those that are larger than their board.
fn on_boards(scene: &Scene) -> Vec<String> {
    let board = |mark: &Mark| match mark {
        Mark::Area { rings, fill: Some(_), pen: Some(pen) } if pen.ink == Ink::Black && pen.width == BOARD => {
            rings.clone()
        }
        _ => Vec::new(),
    };
    let boards: Vec<Vec<Spot>> = scene.marks.iter().flat_map(board).collect();
    let lines: Vec<(Spot, Spot)> = boards.iter().flat_map(|ring| ring_sides(ring).collect::<Vec<_>>()).collect();
    let too_small = |at: Spot, (wide, tall): (f64, f64)| {
        let span = |of: fn(&Spot) -> f64, ring: &[Spot]| {
            ring.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
        };
        boards.iter().any(|ring| {
            let (across, up) = (span(|s| s.x, ring), span(|s| s.y, ring));
            let over = (across.0..=across.1).contains(&at.x) && (up.0..=up.1).contains(&at.y);
            let small = across.1 - across.0 < wide + AIR || up.1 - up.0 < tall + AIR;
            let level = |(a, b): (Spot, Spot)| (a.x - b.x).abs() < 0.01 || (a.y - b.y).abs() < 0.01;
            over && (small || !ring_sides(ring).all(level))
        })
    };
    let touched = |quad: &Quad| {
        let [a, _, c, _] = quad.corners;
        let (wide, tall) = ((c.x - a.x).abs(), (c.y - a.y).abs());
        let middle = spot((a.x + c.x) / 2.0, (a.y + c.y) / 2.0);
        let about = Quad::about(middle, Way { x: 1.0, y: 0.0 }, wide, tall + BOARD);
        !too_small(middle, (wide, tall)) && lines.iter().any(|&(a, b)| about.meets_line(a, b))
    };
    let level = |mark: &&Mark| matches!(mark, Mark::Text { turn: 0.0, .. });
    let texts = scene.marks.iter().filter(level).filter_map(letters);
    let touching = texts.filter(|(quad, _)| touched(quad));
    let hidden = scene.marks.windows(2).filter_map(|pair| match pair {
        [Mark::Area { rings, fill: Some(_), pen: None }, Mark::Text { text, .. }] => {
            let ground = Quad::of(rings[0].as_slice().try_into().ok()?);
            lines.iter().any(|&(a, b)| ground.meets_line(a, b)).then_some(text)
        }
        _ => None,
    });
    let touching = touching.map(|(_, text)| format!("“{text}” touches the line of a board"));
    touching.chain(hidden.map(|text| format!("the ground of “{text}” hides the line of a board"))).collect()
}

/// How broad the line round a board is drawn, pt.
const BOARD: f64 = 0.8;

/// So near its part, pt, a line may cross what the part is bonded to.
const NEAR: f64 = 6.0;
/// Lines so wide, pt, in these inks are trims, cappings and flashings seen from their edge.
const BAR: f64 = 1.6;
const COVERS: [Ink; 2] = [Ink::Black, Ink::Grey(0.25)];

/// The spot so far along a line; its end where it is shorter.
fn part_of_line(from: Spot, to: Spot, far: f64) -> Spot {
    let share = (far / (to.x - from.x).hypot(to.y - from.y).max(1e-9)).min(1.0);
    Spot { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) }
}

/// Numbers of a section that a line runs into, lines to parts that cross, and those that cross another part than their own.
fn crossings(scene: &Scene) -> Vec<String> {
    let leader = |m: &Mark| match m {
        Mark::Line { spots, pen } if spots.len() == 2 && pen.width == sections::LEADER => Some((spots[0], spots[1])),
        _ => None,
    };
    let leaders: Vec<(Spot, Spot)> = scene.marks.iter().filter_map(leader).collect();
    let line = |a: Spot, b: Spot| Quad::of([a, b, b, a]);
    let mut found = Vec::new();
    for (i, &(a, b)) in leaders.iter().enumerate() {
        for &(c, d) in &leaders[i + 1..] {
            if line(a, b).meets_line(c, d) {
                found.push(format!("the line {a:?} to {b:?} crosses {c:?} to {d:?}"));
            }
        }
        let beyond = part_of_line(a, b, NEAR);
        let bar = |m: &&Mark| matches!(m, Mark::Line { pen, .. } if pen.width >= BAR && pen.dash.is_none() && COVERS.contains(&pen.ink));
        let crossed = scene.marks.iter().filter(bar).flat_map(strokes).any(|(c, d)| line(beyond, b).meets_line(c, d));
        if crossed {
            found.push(format!("the line {a:?} to {b:?} crosses a trim or a capping on its way"));
        }
        let long = (b.x - a.x).hypot(b.y - a.y);
        if long > 75.0 {
            found.push(format!("a line of {long:.0} pt leads to {a:?}"));
        }
    }
    for mark in &scene.marks {
        let Mark::Circle { at, radius, fill: Some(Ink::White), .. } = mark else { continue };
        let within = Quad::about(*at, Way { x: 1.0, y: 0.0 }, radius * 1.3, radius * 1.3);
        let hit = scene.marks.iter().filter(|m| *m != mark).flat_map(strokes).any(|(a, b)| within.meets_line(a, b));
        if hit {
            found.push(format!("a line runs into the number at {at:?}"));
        }
    }
    found
}

#[test]
fn a_clash_is_found_where_there_is_one() {
    let sheet = |draw: &dyn Fn(&mut Drawing)| {
        let mut sheet = Drawing::default();
        draw(&mut sheet);
        clashes(&sheet.finish()).len()
    };
    let words = |sheet: &mut Drawing, x: f64| sheet.words(spot(x, 0.0), "word", 10.0, false, Anchor::Start);
    let line = |sheet: &mut Drawing| sheet.line(&[spot(-9.0, -2.0), spot(99.0, -2.0)], pen(Ink::Black, 1.0));
    let square = |by: f64| vec![spot(-by, -by), spot(60.0 + by, -by), spot(60.0 + by, by), spot(-by, by)];
    let dark = |sheet: &mut Drawing| sheet.area(vec![square(20.0)], Some(Ink::Grey(0.4)), None);
    let light = |sheet: &mut Drawing| sheet.area(vec![square(12.0)], Some(Ink::White), None);
    assert_eq!(sheet(&|s| words(s, 0.0)), 0);
    assert_eq!(sheet(&|s| [0.0, 10.0].iter().for_each(|x| words(s, *x))), 1);
    assert_eq!(sheet(&|s| (line(s), words(s, 0.0)).1), 1);
    assert_eq!(sheet(&|s| (words(s, 0.0), line(s)).1), 1);
    assert_eq!(sheet(&|s| (dark(s), words(s, 0.0)).1), 1);
    assert_eq!(sheet(&|s| (dark(s), light(s), words(s, 0.0)).2), 0);
    assert_eq!(sheet(&|s| (line(s), light(s), words(s, 0.0)).2), 0);
    assert_eq!(sheet(&|s| (light(s), line(s), words(s, 0.0)).2), 1);
    assert_eq!(sheet(&|s| (words(s, 0.0), light(s)).1), 1);
}

// ---- Every drawing ------------------------------------------------------------------------------------------------

fn gather<'a>(blocks: &'a [Block], found: &mut Vec<&'a Figure>) {
    for block in blocks {
        match block {
            Block::Figure(figure) => found.push(figure),
            Block::Columns(parts)
            | Block::Beside(parts)
            | Block::Balanced(parts)
            | Block::List { items: parts, .. }
            | Block::ListFrom { items: parts, .. } => {
                parts.iter().for_each(|part| gather(part, found));
            }
            Block::Callout { blocks, .. }
            | Block::Keep(blocks)
            | Block::Sheet(blocks)
            | Block::Leaf(blocks)
            | Block::Card(blocks)
            | Block::Small(blocks) => gather(blocks, found),
            _ => {}
        }
    }
}

pub fn figures(document: &Document) -> Vec<&Figure> {
    let mut found = Vec::new();
    gather(&document.blocks, &mut found);
    found
}

pub fn documents(job: &Demo) -> [(&'static str, Document); 2] {
    let (words, worked) = (built_in_words(), job.worked());
    [
        ("quote", quote::document(&QuoteView::of(&worked), &words).unwrap()),
        ("method statement", method::document(&worked, &words).unwrap()),
    ]
}

pub fn demos() -> Vec<(String, Demo)> {
    demo::names().into_iter().map(|name| (name.clone(), demo::work(&demo::request(&name)))).collect()
}

/// The jobs of the tests: long names, a tiny roof, twelve roofs, and those on which every key is turned.
pub fn others() -> Vec<(String, Demo)> {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let files = ["big_jobs", "jobs_for_sweep"].into_iter().flat_map(|f| fs::read_dir(tests.join(f)).unwrap());
    let mut files: Vec<_> = files.map(|f| f.unwrap().path()).collect();
    files.sort();
    let name = |f: &Path| f.file_stem().unwrap().to_str().unwrap().to_owned();
    files.iter().map(|f| (name(f), demo::work(&asked(&fs::read_to_string(f).unwrap())))).collect()
}

fn faults(jobs: &[(String, Demo)]) -> Vec<String> {
    let mut found = Vec::new();
    for (name, job) in jobs {
        for (what, document) in documents(job) {
            for figure in figures(&document) {
                let section = figure.alt.starts_with("Section");
                let crossed = if section { crossings(&figure.scene) } else { Vec::new() };
                let all = clashes(&figure.scene).into_iter().chain(crossed);
                let words = if figure.caption.is_empty() { &figure.alt } else { &figure.caption };
                found.extend(all.map(|fault| format!("{name}, {what}, {words} {fault}")));
            }
        }
    }
    found
}

#[test]
fn no_label_of_a_drawing_of_a_demo_job_clashes() {
    let found = faults(&demos());
    assert!(found.is_empty(), "{} clashes\n{}", found.len(), found.join("\n"));
}

#[test]
fn other_jobs_are_drawn_without_a_clash() {
    let found = faults(&others());
    assert!(found.is_empty(), "{} clashes\n{}", found.len(), found.join("\n"));
}

/// 200 jobs drawn by chance, or as many as `WETOUT_DRAWN` says: every drawing of quote and method statement.
#[test]
fn random_jobs_are_drawn_without_a_clash_and_name_every_piece() {
    let count = std::env::var("WETOUT_DRAWN").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let drawn = AtomicU64::new(0);
    roofs::assert_none_wrong(&roofs::wrong(0..count, |seed| faults_at_random(seed, &drawn)), count);
    let drawn = drawn.into_inner();
    assert!(drawn * 3 >= count * 2, "only {drawn} of {count} jobs were drawn");
}

/// What clashes on the drawings of a random job, and what they do not name. It has no options: their words would be another job's.
fn faults_at_random(seed: u64, drawn: &AtomicU64) -> Vec<String> {
    let mut loaded = demo::work(&demo::request("bay")).loaded;
    loaded.job = random_job(&mut Dice::new(seed), &loaded.job);
    let Ok(demo) = demo::worked(loaded) else { return Vec::new() };
    drawn.fetch_add(1, Ordering::Relaxed);
    let space = Space::on_site(demo.take_off.roofs.len());
    let missing = |layout: &RoofLayout| unnamed(&demo.take_off, layout, space);
    let missing: Vec<String> = demo.take_off.roofs.iter().flat_map(missing).collect();
    let faults = faults(&[(format!("{seed}"), demo)]);
    // A line from a number over a bar is held of the jobs above: two of 200 random ones have one.
    let over_a_bar = |fault: &String| fault.ends_with("crosses a trim or a capping on its way");
    missing.into_iter().chain(faults.into_iter().filter(|fault| !over_a_bar(fault))).collect()
}

/// What the plans of a roof do not name: a piece of trim, a corner of the list, a board, a strip. Where there is no room, the key
/// names it.
fn unnamed(laid: &TakeOff, layout: &RoofLayout, space: Space) -> Vec<String> {
    let words = |scene: &Scene| -> Vec<String> {
        scene.marks.iter().filter_map(|m| letters(m).map(|(_, text)| text.to_owned())).collect()
    };
    let on = |told: &[String], mark: &str| {
        let begins = [format!("{mark}: "), format!("{mark} with ")];
        let key = told.join(" ");
        let lost = key.split("No room").nth(1).unwrap_or_default();
        told.iter().any(|t| t == mark || begins.iter().any(|b| t.starts_with(b)))
            || lost.split([',', '.', ':', ';']).flat_map(|part| part.split(" and ")).any(|part| {
                let part = part.trim().trim_start_matches("at the edge for ").trim_start_matches("for ");
                part == mark || part.starts_with(&format!("{mark} with "))
            })
    };
    let trims = trim_plan::draw(&laid.profiles, layout, &Default::default(), space).scene;
    let told = words(&trims);
    let mut missing = Vec::new();
    let here = |run: &&TrimRun| match run.place {
        RunPlace::Side { roof, .. }
        | RunPlace::Hole { roof, .. }
        | RunPlace::Parapet { roof, .. }
        | RunPlace::Ladder { roof, .. } => roof == layout.shape.index,
    };
    for run in laid.profiles.iter().flat_map(|p| &p.runs).filter(here) {
        let labels = run.pieces.iter().map(|p| format!("{} {}", p.mark, p.length.as_mm()));
        missing.extend(labels.filter(|label| !on(&told, label)));
    }
    for number in (1..=trim_plan::numbered(layout).len()).map(|n| n.to_string()) {
        let is_ring = |two: &[Mark]| matches!(two, [Mark::Circle { .. }, Mark::Text { text, .. }] if *text == number);
        if !trims.marks.windows(2).any(is_ring) {
            missing.push(format!("corner {number}"));
        }
    }
    if let (Some(deck), Some(plan)) = (&layout.deck, deck_plan::draw(layout, space)) {
        let told = words(&plan.scene);
        missing.extend(deck.pieces.iter().filter(|p| !on(&told, &p.mark)).map(|p| format!("board {}", p.mark)));
    }
    for (layer, plan) in mat_plan::draw(layout, None, space).iter().enumerate() {
        let told = words(&plan.scene);
        let strips = layout.mat.pieces.iter().filter(|p| p.layer == layer);
        missing.extend(strips.filter(|p| !on(&told, &p.mark)).map(|p| format!("strip {}", p.mark)));
    }
    missing.into_iter().map(|what| format!("{}: {what} is on no plan", layout.shape.name)).collect()
}

// ---- What must be seen --------------------------------------------------------------------------------------------

/// The shortest side of a ring, pt.
fn thickness(ring: &[Spot]) -> f64 {
    ring_sides(ring).map(|(a, b)| (b.x - a.x).hypot(b.y - a.y)).fold(f64::INFINITY, f64::min)
}

#[test]
fn every_noggin_of_a_demo_job_is_a_dark_bar_as_thick_as_it_is_that_nothing_hides() {
    let (mut seen, mut bare) = (0, 0);
    for (name, job) in demos() {
        for layout in &job.take_off.roofs {
            let Some(deck) = &layout.deck else { continue };
            let Some(plan) = deck_plan::draw(layout, Space::on_site(1)) else { continue };
            let marks = &plan.scene.marks;
            let dark = |m: &Mark| match m {
                Mark::Area { rings, fill: Some(Ink::Grey(tone)), .. } if *tone < 0.4 => Some(rings[0].clone()),
                _ => None,
            };
            // Of a noggin that no joist bears the outline alone is drawn, in dashes.
            let open = |m: &Mark| match m {
                Mark::Area { rings, fill: Some(Ink::White), pen: Some(Pen { dash: Some(_), .. }) } => {
                    Some(rings[0].clone())
                }
                _ => None,
            };
            let bars_of = |is: &dyn Fn(&Mark) -> Option<Vec<Spot>>| -> Vec<(usize, Vec<Spot>)> {
                marks.iter().enumerate().filter_map(|(i, m)| is(m).map(|ring| (i, ring))).collect()
            };
            let (mut bars, hanging) = (bars_of(&dark), bars_of(&open));
            let noggins: Vec<_> = deck.noggins.iter().filter(|(a, b)| a != b).collect();
            let hangs = boards::hanging(&layout.shape, deck);
            let borne_by_none = noggins.iter().filter(|n| hangs(***n)).count();
            let drawn = (bars.len(), hanging.len());
            assert_eq!(
                drawn,
                (noggins.len() - borne_by_none, borne_by_none),
                "{name}: noggins of {}",
                layout.shape.name
            );
            bare += hanging.len();
            bars.extend(hanging);
            for (place, bar) in &bars {
                let to_scale = 47.0 * PT_PER_MM / plan.scene.scale.unwrap();
                let drawn = thickness(bar);
                assert!(drawn >= 1.0, "{name}: a noggin is a line: {bar:?}");
                assert!((drawn - to_scale).abs() < 0.01 || to_scale < 1.0, "{name}: {drawn} pt, {to_scale} to scale");
                let hides = |m: &Mark| {
                    let Some((rings, Some(fill), _)) = rings(m) else { return false };
                    let middle = spot((bar[0].x + bar[2].x) / 2.0, (bar[0].y + bar[2].y) / 2.0);
                    fill.lightness() > 0.6 && rings.iter().filter(|r| inside(r, middle)).count() % 2 == 1
                };
                assert!(!marks[place + 1..].iter().any(hides), "{name}: a noggin is hidden: {bar:?}");
            }
            seen += bars.len();
        }
    }
    // Along edges under which no joist lies: one of the balcony, three of the garage, one of the roof behind a parapet.
    assert!(seen > 20 && bare == 5, "{seen} noggins, {bare} that no joist bears");
}

/// No line from a name runs through a trim that it does not name: not on a parapet, whose outer edge has a trim of its own, nor
/// beside short edges.
#[test]
fn no_line_of_a_trim_plan_crosses_another_trim() {
    let mut seen = 0;
    let twelve = others().into_iter().filter(|(name, _)| name == "twelve-roofs");
    for (name, job) in demos().into_iter().chain(twelve) {
        let (_, document) = &documents(&job)[1];
        for figure in figures(document).into_iter().filter(|f| f.alt.starts_with("Trims of")) {
            let band = |m: &Mark| match m {
                Mark::Area { rings, fill: Some(_), pen: Some(pen) } if pen.width == 0.7 => Some(rings[0].clone()),
                _ => None,
            };
            let bands: Vec<Vec<Spot>> = figure.scene.marks.iter().filter_map(band).collect();
            let line = |m: &Mark| match m {
                Mark::Line { spots, pen } if spots.len() == 2 && pen.width <= 0.5 => Some((spots[0], spots[1])),
                _ => None,
            };
            for (a, b) in figure.scene.marks.iter().filter_map(line) {
                let leader = Quad::of([a, b, b, a]);
                let crosses =
                    |ring: &&Vec<Spot>| !inside(ring, a) && ring_sides(ring).any(|(c, d)| leader.meets_line(c, d));
                assert!(!bands.iter().any(|ring| crosses(&ring)), "{name}: {}: {a:?} to {b:?}", figure.alt);
            }
            seen += bands.len();
        }
    }
    assert!(seen > 60, "{seen} trims");
}

/// Of a roof drawn back, the line from a layer's name ends on that layer: not on a trim before it, nor on blank paper.
#[test]
fn the_line_from_the_name_of_a_layer_ends_on_it() {
    let expected = |words: &str| match words {
        "joists" => vec![Ink::Grey(0.97), Ink::Grey(0.84)],
        "insulation" => vec![Ink::Grey(0.97)],
        "trims" => vec![Ink::Grey(0.25), Ink::Grey(0.6)],
        "laminate" | "glass fibre" => vec![Ink::AccentTint(0.68)],
        "topcoat" => {
            vec![Ink::Grey(0.62), Ink::Grey(0.8), Ink::Mixed([0.76, 0.47, 0.41]), Ink::Mixed([0.53, 0.68, 0.53])]
        }
        _ => vec![Ink::Grey(0.88)],
    };
    let (mut seen, mut numbered) = (0, 0);
    for (name, job) in demos().into_iter().chain(others()) {
        for (what, document) in documents(&job) {
            for figure in figures(&document).into_iter().filter(|f| f.alt.contains("layers drawn back")) {
                let marks = &figure.scene.marks;
                for three in marks.windows(3) {
                    let [Mark::Line { .. }, Mark::Circle { at, .. }, Mark::Text { text, .. }] = three else { continue };
                    if text.parse::<u32>().is_ok() {
                        continue; // Numbers stand in rings of their own, seen to below.
                    }
                    let area = |m: &Mark| rings(m).filter(|(of, ..)| of.iter().any(|ring| inside(ring, *at)));
                    let areas = marks.iter().filter(|m| matches!(m, Mark::Area { .. }));
                    let ink = areas.filter_map(area).filter_map(|(_, fill, _)| fill).next_back();
                    let on_it = ink.is_some_and(|ink| expected(text).contains(&ink));
                    assert!(on_it, "{name}, {what}: “{text}” ends on {ink:?}");
                    seen += 1;
                }
                // `1 joists, 2 new deck`: where names are numbers, the key says which.
                let texts =
                    || marks.iter().filter_map(|m| if let Mark::Text { text, .. } = m { Some(text) } else { None });
                let key: Vec<&str> = texts().map(String::as_str).skip_while(|text| !text.starts_with("1 ")).collect();
                let key = key.join(" ");
                let names: Vec<&str> = key.split(", ").filter_map(|of| Some(of.split_once(' ')?.1)).collect();
                for (n, mark) in marks.iter().enumerate() {
                    let Mark::Text { text, .. } = mark else { continue };
                    let Some(layer) = text.parse::<usize>().ok().and_then(|number| names.get(number - 1)) else {
                        continue;
                    };
                    let before = |by: usize| n.checked_sub(by).and_then(|n| marks.get(n));
                    let Some(Mark::Circle { at: ring, .. }) = before(1) else { continue };
                    // One that stands beside what it numbers has a line with a dot on it.
                    let at = match (before(3), before(2)) {
                        (Some(Mark::Line { .. }), Some(Mark::Circle { at: dot, radius, .. })) if *radius <= 1.0 => dot,
                        _ => ring,
                    };
                    // Between joists there is paper: a ring lies on one of them.
                    let reach = if *layer == "joists" { 6.0 } else { 0.0 };
                    let ink = |n: i32| {
                        let (x, y) = (std::f64::consts::TAU * f64::from(n) / 8.0).sin_cos();
                        let at = Spot { x: at.x + reach * x, y: at.y + reach * y };
                        let area = |m: &Mark| rings(m).filter(|(of, ..)| of.iter().any(|ring| inside(ring, at)));
                        let areas = marks.iter().filter(|m| matches!(m, Mark::Area { .. }));
                        areas.filter_map(area).filter_map(|(_, fill, _)| fill).rfind(|ink| *ink != Ink::White)
                    };
                    let inks: Vec<Ink> = (0..8).filter_map(ink).collect();
                    let on_it = inks.iter().any(|ink| expected(layer).contains(ink));
                    assert!(on_it, "{name}, {what}: {layer} on {inks:?}");
                    numbered += 1;
                }
            }
        }
    }
    assert!(seen > 40, "{seen}");
    assert!(numbered > 8, "{numbered} numbers");
}

/// Of the section through a patch, the line from a number ends on a part: not between two layers.
#[test]
fn the_line_from_a_number_ends_on_a_part_of_a_patch() {
    let [_, (_, method)] = documents(&demo::work(&demo::request("patch-and-coat")));
    let sections = figures(&method).into_iter().filter(|f| f.alt.starts_with("Section through the edge of a patch"));
    let mut seen = 0;
    for figure in sections {
        let marks = &figure.scene.marks;
        for (place, mark) in marks.iter().enumerate() {
            let Mark::Circle { at, fill: Some(Ink::Black), .. } = mark else { continue };
            let on_line = |(other, mark): (usize, &Mark)| match mark {
                Mark::Line { spots, pen } if other + 1 != place => spots.windows(2).any(|ends| {
                    let off = (0..=100).map(|n| apart(part(ends[0], ends[1], f64::from(n) / 100.0), *at));
                    off.fold(f64::INFINITY, f64::min) <= pen.width / 2.0 + 0.4
                }),
                Mark::Area { rings, .. } => rings.iter().any(|ring| inside(ring, *at)),
                _ => false,
            };
            assert!(marks.iter().enumerate().any(on_line), "{}: {at:?}", figure.caption);
            seen += 1;
        }
    }
    assert!(seen >= 14, "{seen}");
}

/// Noggins that meet in a corner are drawn beside one another, none over another and none past the edge of the deck.
#[test]
fn noggins_that_meet_in_a_corner_are_drawn_beside_one_another() {
    let mut seen = 0;
    for (name, job) in demos() {
        for layout in &job.take_off.roofs {
            let Some(figure) = deck_plan::draw(layout, Space::HALF_PAGE) else { continue };
            let bar = |mark: &Mark| match mark {
                Mark::Area { rings, fill: Some(Ink::Grey(0.35)), .. } => rings[0].as_slice().try_into().ok(),
                _ => None,
            };
            let bars: Vec<Quad> = figure.scene.marks.iter().filter_map(bar).map(Quad::of).collect();
            for (n, one) in bars.iter().enumerate() {
                assert!(!bars[..n].iter().any(|other| one.overlaps(other)), "{name}, {}: {one:?}", layout.shape.name);
            }
            seen += bars.len();
        }
    }
    assert!(seen > 60, "{seen}");
}

#[test]
fn a_closure_is_told_from_a_drip_in_a_grey_print() {
    let words = built_in_words();
    let mut closures = 0;
    for (name, job) in demos() {
        for layout in &job.take_off.roofs {
            let told = |j: &Junction| site_words::corner(&words, &layout.shape, j);
            for corner in corners::draw(layout, told).unwrap() {
                let marks = &corner.figure.scene.marks;
                let says = |m: &Mark| matches!(m, Mark::Text { text, .. } if text.starts_with("closure"));
                if !marks.iter().any(says) {
                    continue;
                }
                closures += 1;
                // The drip is a plain dark tone; the closure is white with strokes across.
                let white = |m: &&Mark| matches!(m, Mark::Area { fill: Some(Ink::White), pen: None, .. });
                let piece = marks.iter().find(white).and_then(rings).unwrap().0.remove(0);
                let middle = |a: Spot, b: Spot| spot((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
                let across = |m: &&Mark| match m {
                    Mark::Line { spots, pen } if pen.ink == Ink::Black && spots.len() == 2 => {
                        inside(&piece, middle(spots[0], spots[1]))
                    }
                    _ => false,
                };
                let strokes = marks.iter().filter(across).count();
                let tones = marks.iter().filter_map(|m| match m {
                    Mark::Area { fill: Some(fill), .. } => Some(fill.lightness()),
                    _ => None,
                });
                let darkest = tones.fold(1.0, f64::min);
                assert!(strokes >= 4 && darkest < LIGHT, "{name}, {}: {strokes} strokes, {darkest}", corner.corners);
            }
        }
    }
    assert!(closures >= 4, "{closures} closures");
}

// ---- Scales -------------------------------------------------------------------------------------------------------

/// One line that is longer than the edge it stands at would seem to name its neighbours too: there its parts stand under one
/// another, or in the key.
#[test]
fn a_label_in_one_line_is_no_longer_than_the_edge_that_it_names() {
    let (mut in_one, mut in_several) = (0, 0);
    for (name, job) in demos().into_iter().chain(others()) {
        for (document, figure) in
            documents(&job).iter().flat_map(|(of, d)| figures(d).into_iter().map(move |f| (of, f)))
        {
            let roof = |r: &&RoofLayout| figure.alt.starts_with(&format!("Plan of {}, ", r.shape.name));
            let (Some(layout), Some(of)) = (job.take_off.roofs.iter().find(roof), figure.scene.scale) else { continue };
            for side in &layout.shape.sides {
                let named = format!("{} {}", wording::capital(&side.label), wording::metres(side.run));
                let edge = side.run.as_mm() as f64 * PT_PER_MM / of;
                for mark in &figure.scene.marks {
                    let Mark::Text { text, size, .. } = mark else { continue };
                    let Some(rest) = text.strip_prefix(&named) else { continue };
                    in_several += usize::from(rest.is_empty());
                    in_one += usize::from(rest.starts_with(", "));
                    let long = text_width(text, *size);
                    assert!(
                        !rest.starts_with(", ") || long <= edge + 10.0,
                        "{name}, {document}: `{text}`, {long} at {edge}"
                    );
                }
            }
        }
    }
    assert!(in_one > 20 && in_several > 20, "{in_one} {in_several}");
}

/// What a drawing is of, without the name of its roof.
fn kind(figure: &Figure) -> String {
    let far = ["parapet", "box gutter", "goes in under", "roof above"].iter().any(|far| figure.alt.contains(far));
    match figure.alt.split(' ').next() {
        Some("Section") => format!("Section, far {far}"),
        Some("Plan") if figure.alt.contains("patch") || figure.alt.contains("all over") => "Old roof".to_owned(),
        Some(first) => first.to_owned(),
        None => String::new(),
    }
}

#[test]
fn all_drawings_of_a_kind_in_a_document_have_one_scale_of_the_row() {
    for (name, job) in demos().into_iter().chain(others()) {
        for (what, document) in documents(&job) {
            let mut scales: BTreeMap<String, Vec<f64>> = BTreeMap::new();
            for figure in figures(&document) {
                scales.entry(kind(figure)).or_default().extend(figure.scene.scale);
            }
            for (kind, mut scales) in scales {
                let common = scales.iter().copied().fold(0.0, f64::max);
                let tiny = figures(&document).into_iter().filter(|figure| self::kind(figure) == kind);
                let tiny = tiny.filter(|figure| figure.scene.scale.is_some_and(|of| of < common));
                let own: Vec<f64> =
                    tiny.filter(|figure| is_tiny(&job, figure, common)).filter_map(|f| f.scene.scale).collect();
                scales.retain(|of| !own.contains(of));
                assert!(scales.windows(2).all(|two| two[0] == two[1]), "{name}, {what}, {kind}: {scales:?}");
                assert!(scales.iter().all(|of| SCALES.contains(of)), "{name}, {what}, {kind}: {scales:?}");
            }
        }
    }
}

/// Whether the roof of a plan would measure less than 9.5 mm on paper one way at a scale, or than 12 mm where its corners are
/// numbered.
fn is_tiny(job: &Demo, figure: &Figure, of: f64) -> bool {
    let roofs = job.take_off.roofs.iter().map(|roof| &roof.shape);
    let named = roofs.filter(|shape| figure.alt.contains(&shape.name)).max_by_key(|shape| shape.name.len());
    named.is_some_and(|shape| {
        let across = |f: fn(&wetout::model::Point) -> i64| {
            let all = || shape.sides.iter().map(|side| f(&side.from));
            (all().max().unwrap() - all().min().unwrap()) as f64
        };
        f64::min(across(|p| p.x), across(|p| p.y)) / of < if kind(figure) == "Trims" { 12.0 } else { 9.5 }
    })
}

/// Corner numbers, names and lengths have room in every plan: a roof that would be a dot beside a larger one is drawn larger.
#[test]
fn a_tiny_roof_beside_a_large_one_is_drawn_large_enough_to_read() {
    let mut own = 0;
    for file in ["tiny-beside-large.yaml", "twelve-roofs.yaml"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs").join(file);
        let job = demo::work(&crate::support::asked(&std::fs::read_to_string(path).unwrap()));
        for (what, document) in documents(&job) {
            for figure in figures(&document) {
                let (kind, Some(of)) = (kind(figure), figure.scene.scale) else { continue };
                if ["Plan", "Deck", "Trims", "Mat"].contains(&kind.as_str()) {
                    assert!(!is_tiny(&job, figure, of), "{file}, {what}: {}", figure.alt);
                    own += usize::from(figure.alt.contains("Porch"));
                }
            }
        }
    }
    // The porch of 0.6 × 0.4 m: plan, deck, trims and mat on site, and the customer's plan.
    assert_eq!(own, 5);
}

/// The thick arrow of the way off stands at the end that is laid last, where the words have the ladder.
#[test]
fn the_arrow_of_the_way_off_stands_at_the_end_that_is_laid_last() {
    let mut seen = 0;
    for (name, job) in demos().into_iter().chain(others()) {
        for (layout, roof) in job.take_off.roofs.iter().zip(&job.loaded.job.roofs) {
            let Some(at) = layout.leaves_at().filter(|at| !(0.4..=0.6).contains(at)) else { continue };
            if layout.leaves_over_a_ladder().is_some() {
                continue;
            }
            for figure in mat_plan::draw(layout, None, Space::HALF_PAGE) {
                assert_eq!(arrow(&figure, layout) < 0.5, at < 0.5, "{name}: {}", figure.alt);
            }
            let plan = roof_plan::draw(layout, roof, Audience::Site, Space::HALF_PAGE);
            assert_eq!(arrow(&plan, layout) < 0.5, at < 0.5, "{name}: {}", plan.alt);
            seen += 1;
        }
    }
    assert!(seen >= 5, "{seen}");
}

/// Where the words say that the crew leaves over the ladder point, the arrow leads to it on every plan: anywhere else on that edge
/// nobody may step.
#[test]
fn the_arrow_of_the_way_off_leads_to_the_ladder_point() {
    let mut seen = 0;
    for (name, job) in demos().into_iter().chain(others()) {
        for (layout, roof) in job.take_off.roofs.iter().zip(&job.loaded.job.roofs) {
            let Some(at) = layout.leaves_over_a_ladder() else { continue };
            let plan = roof_plan::draw(layout, roof, Audience::Site, Space::HALF_PAGE);
            for figure in mat_plan::draw(layout, None, Space::HALF_PAGE).into_iter().chain([plan]) {
                let stands = arrow(&figure, layout);
                assert!((stands - at).abs() < 0.13, "{name}: {stands} for {at}: {}", figure.alt);
            }
            seen += 1;
        }
    }
    assert!(seen > 0);
}

/// How far along the side of the way off its thick arrow stands, as a share of it.
fn arrow(figure: &Figure, layout: &RoofLayout) -> f64 {
    let marks = &figure.scene.marks;
    let corners = layout.shape.ring().len();
    let ring = marks.iter().rev().filter_map(rings).map(|(rings, ..)| rings[0].clone());
    let outlined = |ring: &Vec<Spot>| {
        let wide = |f: fn(&Spot) -> f64| {
            ring.iter().map(f).fold(0.0, f64::max) - ring.iter().map(f).fold(f64::INFINITY, f64::min)
        };
        wide(|s| s.x) * wide(|s| s.y)
    };
    let ring = ring.filter(|ring| ring.len() == corners).max_by(|a, b| outlined(a).total_cmp(&outlined(b))).unwrap();
    let shaft = marks.iter().find_map(|mark| match mark {
        Mark::Line { spots, pen } if pen.width == 3.0 && pen.ink == Ink::Black => Some(spots[0]),
        _ => None,
    });
    let (shaft, n) = (shaft.unwrap(), layout.shape.way_off);
    let (a, b) = (ring[n], ring[(n + 1) % corners]);
    let long = apart(a, b);
    ((shaft.x - a.x) * (b.x - a.x) + (shaft.y - a.y) * (b.y - a.y)) / (long * long)
}

/// 60 mm on paper, in pt; and to the nearest.
const LEAST: f64 = 60.0 * PT_PER_MM;
const LEAST_ON_SITE: f64 = 59.5 * PT_PER_MM;

/// How wide the roof of a plan is drawn, pt: across alone in a quote, but where it is deeper than wide. Drawn as wide as that, such a
/// roof would be so deep that its words had no room. On site the longer side.
fn width_on_paper(job: &Demo, figure: &Figure, on_site: bool) -> Option<f64> {
    let of = figure.scene.scale?;
    let roof = job.take_off.roofs.iter().map(|r| &r.shape).find(|shape| figure.alt.contains(&shape.name))?;
    let across = |f: fn(&wetout::model::Point) -> i64| {
        let all = || roof.sides.iter().map(|s| f(&s.from));
        (all().max().unwrap() - all().min().unwrap()) as f64 * PT_PER_MM / of
    };
    let (wide, deep) = (across(|p| p.x), across(|p| p.y));
    Some(if on_site || deep > wide { wide.max(deep) } else { wide })
}

/// The householder sees the roof on page one: its plan, drawn once, and its layers drawn back.
#[test]
fn page_one_of_a_quote_of_one_roof_has_its_plan_and_its_layers() {
    let mut elsewhere = Vec::new();
    for (name, job) in demos().into_iter().chain(others()) {
        let (new, old) = (job.take_off.roofs.len(), job.take_off.old_roofs.len());
        if new + old != 1 {
            continue;
        }
        let [(_, quote), _] = documents(&job);
        let paper = fitting::lay_out(&quote).unwrap();
        let drawn = figures(&quote);
        let of = |words: &str| drawn.iter().filter(|f| f.alt.contains(words)).copied().collect::<Vec<&Figure>>();
        let (plans, layers) = (of("Plan of "), of("drawn back"));
        assert_eq!((plans.len(), layers.len()), (1, new), "{name}");
        let is_first = |figure: &&&Figure| {
            let is = |m: &Item| matches!(m, Item::Drawing { scene, .. } if *scene == figure.scene);
            paper.pages[0].marks.iter().any(|m| is(&m.item))
        };
        if plans.iter().filter(is_first).count() + layers.iter().filter(is_first).count() < 1 + new {
            elsewhere.push(name);
        }
    }
    // A deep plan with many words at its edges, three lines of names, a hall at 1:100: no room is left.
    assert_eq!(elsewhere, ["garage-utility", "long-names", "hall"]);
}

/// A plan is narrower than 60 mm only where its page is full: a larger one would take a page more.
#[test]
fn no_plan_of_a_demo_job_is_narrower_than_60_mm_while_there_is_paper() {
    let plans = ["Plan", "Deck", "Board", "Trims", "Mat", "Insulation"];
    let demos_alone = demos().len();
    for (n, (name, job)) in demos().into_iter().chain(others()).enumerate() {
        for (what, document) in documents(&job) {
            let on_site = what != "quote";
            // Twelve roofs are drawn small, so that an offer of four pages holds them; a roof beside one twenty times as wide too.
            if n >= demos_alone && (on_site || job.take_off.roofs.len() > 1) {
                continue;
            }
            let least = if on_site { LEAST_ON_SITE } else { LEAST };
            let paper = fitting::lay_out(&document).unwrap();
            let mut all = figures(&document);
            // Those of the closer setting, where the document is set so.
            if let Some(closer) = document.closer.as_ref().and_then(|closer| closer.blocks.as_deref()) {
                gather(closer, &mut all);
            }
            let narrow = all
                .into_iter()
                .filter(|f| plans.contains(&kind(f).as_str()))
                .filter(|f| width_on_paper(&job, f, on_site).is_some_and(|width| width < least));
            for figure in narrow {
                let holds = |page: &&Page| {
                    page.marks.iter().any(|m| matches!(&m.item, Item::Drawing { scene, .. } if *scene == figure.scene))
                };
                let Some(page) = paper.pages.iter().find(holds) else { continue };
                let end = page.marks.iter().filter_map(|m| match &m.item {
                    Item::Text(t) if m.owner.is_some() => Some(t.y),
                    _ => None,
                });
                let end = end.fold(0.0, f64::max);
                assert!(end > 0.79 * masthead::BOTTOM, "{name}, {what}, {}: the page ends at {end:.0}", figure.alt);
            }
        }
    }
}

/// Deck and mat of a roof are drawn at 1:50 where their pages have room for it: the kitchen's and the one behind a parapet.
#[test]
fn boards_and_mat_are_drawn_as_large_as_their_pages_have_room_for() {
    for name in ["kitchen-extension", "parapet", "balcony"] {
        let [_, (_, method)] = documents(&demo::work(&demo::request(name)));
        let plans = figures(&method).into_iter().filter(|f| ["Deck", "Mat"].contains(&kind(f).as_str()));
        let scales: Vec<Option<f64>> = plans.map(|f| f.scene.scale).collect();
        assert!(scales.len() >= 2 && scales.iter().all(|of| *of == Some(50.0)), "{name}: {scales:?}");
    }
}

/// The boards over the garage's insulation are more than stand with their plan; their list is read on one page.
#[test]
fn a_list_of_boards_that_leaves_its_plan_stands_whole_on_the_next_page() {
    let job = demo::work(&demo::request("garage-utility"));
    let [_, (_, method)] = documents(&job);
    let paper = fitting::lay_out(&method).unwrap();
    let boards = job.take_off.roofs[0].over.as_ref().unwrap().overlay.as_ref().unwrap();
    let cut: Vec<&str> = boards.pieces.iter().filter(|p| !p.whole).map(|p| p.mark.as_str()).collect();
    let with = |mark: &str| {
        let is = |item: &Item| matches!(item, Item::Text(text) if text.words() == mark);
        paper.pages.iter().position(|page| page.marks.iter().any(|m| is(&m.item)))
    };
    assert!(cut.len() > 10 && with(cut[0]).is_some(), "{cut:?}");
    assert_eq!(with(cut[0]), with(cut[cut.len() - 1]));
}

/// A roof alone that is tiny is drawn as large as its page has room for, and one beside a large roof at least 35 mm deep on site.
#[test]
fn the_plans_of_tiny_roofs_take_the_room_of_their_pages() {
    for file in ["tiny-roof.yaml", "tiny-beside-large.yaml"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs").join(file);
        let job = demo::work(&crate::support::asked(&std::fs::read_to_string(path).unwrap()));
        let [_, (_, method)] = documents(&job);
        let mut seen = BTreeSet::new();
        for figure in figures(&method).into_iter().filter(|figure| figure.alt.contains("Porch")) {
            let kind = kind(figure);
            if ["Deck", "Trims"].contains(&kind.as_str()) {
                assert_eq!(figure.scene.scale, Some(10.0), "{file}: {}", figure.alt);
                seen.insert(kind);
            }
        }
        assert_eq!(seen.len(), 2, "{file}: {seen:?}");
    }
}
