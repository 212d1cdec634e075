//! Roofs made by hand, for tests that need no file.

use wetout::checks::finding::Finding;
use wetout::documents::words::Words;
use wetout::documents::{Overrides, site_words};
use wetout::estimate::{LaidOut, lay_out};
use wetout::job_file::{Loaded, Request};
use wetout::job_file::{load, render};
use wetout::model::job::{By, Strip};
use wetout::model::shape::{DeckAction, DeckChoice, Edge, JoistRun, Joists, LaminateChoice, MeasuredTo, TopcoatChoice};
use wetout::model::{
    Fall, Finish, Hole, HoleForm, Length, Outline, Point, Roof, RoofFall, SettingPath, Surface, Trade, trade,
};
use wetout::programme::Programme;
use wetout::programme::weather::Check;
use wetout::takeoff::layout::shape::RoofShape;
use wetout::takeoff::layout::{EndCut, Junction, MatLayout};

/// An old covering and how it leaves, of those that the program knows.
pub fn strip(covering: &str, tip: &str) -> Strip {
    let trade = Trade::default();
    let covering = trade::find(&trade.coverings, covering).unwrap().clone();
    Strip { covering, tip: trade::find(&trade.tips, tip).unwrap().clone(), boards: None }
}

/// A surface of the topcoat, of those that the program knows.
pub fn surface(key: &str) -> Surface {
    trade::find(&Trade::default().surfaces, key).unwrap().clone()
}

/// A point.
pub fn at(x: i64, y: i64) -> Point {
    Point::new(x, y)
}

/// A length in millimetres.
pub fn mm(n: i64) -> Length {
    Length::mm(n)
}

/// A setting by its path as people read it: `roofs[0].edges.back`. No key of a test holds a point or a bracket.
pub fn setting(path: &str) -> SettingPath {
    path.split('.').fold(SettingPath::default(), |above, part| {
        let mut steps = part.split(['[', ']']).filter(|step| !step.is_empty());
        let key = above.key(steps.next().unwrap().to_owned());
        steps.fold(key, |list, entry| list.entry(entry.parse().unwrap()))
    })
}

/// An edge with a name, a finish and a measured length.
pub fn edge(name: &str, finish: Finish, length: i64) -> Edge {
    Edge {
        name: name.into(),
        stretch: None,
        path: setting(&format!("roofs[0].edges.{name}")),
        length: mm(length),
        finish,
        joints: Default::default(),
        gutter: None,
        upstand: None,
        flashing: None,
        ladder_point: None,
        overflow: None,
        box_gutter: None,
        sill: None,
        coping: None,
        under: None,
    }
}

/// A roof on an outline given by corners, each with the name and finish of the edge that starts there. It falls to the
/// first edge, joists front to back at 400 mm, new `osb3-18` deck, one layer of 450.
pub fn roof(corners: &[(Point, &str, Finish)]) -> Roof {
    let n = corners.len();
    let length = |i: usize| {
        let (a, b) = (corners[i].0, corners[(i + 1) % n].0);
        ((b.x - a.x) as f64).hypot((b.y - a.y) as f64).round() as i64
    };
    let edges = (0..n).map(|i| edge(corners[i].1, corners[i].2, length(i))).collect();
    Roof {
        name: "Main roof".into(),
        path: setting("roofs[0]"),
        outline: Outline::new(corners.iter().map(|c| c.0).collect(), edges).unwrap(),
        falls_to: corners[0].1.into(),
        fall: RoofFall::Firred(Fall { run: 40.into() }, By::Us),
        holes: Vec::new(),
        joists: Joists { run: JoistRun::FrontToBack, spacing: mm(400), first: mm(0), last: None, section: None },
        measured_to: MeasuredTo::Battens,
        way_off: None,
        deck: DeckChoice { action: DeckAction::New, board: Some("osb3-18".into()), lifted: None },
        laminate: LaminateChoice { mat: 450, layers: 1 },
        topcoat: TopcoatChoice { colour: "dark grey".into(), finish: surface("smooth") },
        wall_above: None,
        roof_above: None,
        build_up: None,
        outlets: Vec::new(),
        own: Default::default(),
        misclosure: None,
    }
}

/// A hole whose timber is there.
pub fn hole(name: &str, form: HoleForm, finish: Finish) -> Hole {
    let path = setting("roofs[0].holes[0]");
    Hole { name: name.into(), path, form, finish, timber: Default::default(), upstand: None }
}

/// A rectangle: drip in front, raised sides, wall at the back.
pub fn rectangle(width: i64, depth: i64) -> Roof {
    roof(&[
        (at(0, 0), "front", Finish::Drip),
        (at(width, 0), "right", Finish::Raised),
        (at(width, depth), "back", Finish::Wall),
        (at(0, depth), "left", Finish::Raised),
    ])
}

/// A job file of one roof, 6.0 × 3.0 m below a wall, with `edge` added to its front edge, `roof` to the roof and `job`
/// to the job.
pub fn lean_to(edge: &str, roof: &str, job: &str) -> String {
    format!(
        "reference: 26-905\ntitle: Lean-to\nprepared: 2026-11-25\nasbestos: no\n\
         customer: {{name: A. Householder, address: [1 Example Street, Anytown]}}\n\
         roofs:\n  - name: Lean-to\n    outline: {{rectangle: {{width: 6.0 m, depth: 3.0 m}}}}\n    edges:\n      \
         front: {{finish: drip{edge}}}\n      right: {{finish: raised}}\n      \
         back: {{finish: wall, upstand: 600 mm, flashing: lead}}\n      left: {{finish: raised}}\n    \
         falls_to: front\n    fall: 1:40\n    joists: {{run: front to back, spacing: 400 mm}}\n    \
         deck: {{action: new, board: osb3-18}}\n    laminate: {{mat: 450, layers: 1}}\n    \
         topcoat: {{colour: dark grey, finish: smooth}}\n{roof}{job}"
    )
}

/// What is asked for a job given as text, with the demo firm and price book.
pub fn asked(text: &str) -> Request {
    Request {
        name: "job.yaml".into(),
        bytes: text.as_bytes().to_vec(),
        folder: "tests/bad_jobs/nowhere".into(),
        firm: Some("jobs/firm.yaml".into()),
        prices: vec!["jobs/prices.yaml".into()],
        date: None,
        without_options: false,
        stock: Default::default(),
        as_will_be: None,
    }
}

/// A job file read, laid out and checked, with the demo firm and price book.
pub fn laid_out(text: &str) -> (Loaded, LaidOut) {
    let loaded = load(&asked(text)).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)));
    let laid = lay_out(&loaded.job, &loaded.rules, &loaded.products, crate::demo::crew(&loaded)).unwrap();
    (loaded, laid)
}

/// The finding with that id.
pub fn finding<'a>(laid: &'a LaidOut, id: &str) -> &'a Finding {
    let findings = &laid.checked.findings;
    let ids: Vec<&str> = findings.iter().map(|f| f.id.as_str()).collect();
    findings.iter().find(|f| f.id == id).unwrap_or_else(|| panic!("no {id} among {ids:?}"))
}

// ---- Facts in words ------------------------------------------------------------------------------------------------

/// The built-in words.
pub fn built_in_words() -> Words {
    Words::new(&Overrides::default()).unwrap()
}

/// What the crew reads of a corner.
pub fn corner_told(shape: &RoofShape, junction: &Junction) -> String {
    site_words::plain(&site_words::corner(&built_in_words(), shape, junction).unwrap())
}

/// What the cut list says of an end.
pub fn cut_told(cut: &EndCut) -> String {
    site_words::plain(&site_words::cut(&built_in_words(), cut).unwrap())
}

/// What the crew reads of a mat.
pub fn notes_told(layout: &MatLayout) -> Vec<String> {
    let words = built_in_words();
    layout.notes.iter().map(|note| unescaped(&site_words::mat_note(&words, note).unwrap())).collect()
}

/// What the crew hears before it starts.
pub fn warnings_told(programme: &Programme) -> Vec<String> {
    let words = built_in_words();
    programme.warnings.iter().map(|w| unescaped(&site_words::warning(&words, w).unwrap())).collect()
}

/// Why the weather is judged as it is.
pub fn reason_told(check: &Check) -> String {
    unescaped(&site_words::weather_reason(&built_in_words(), check).unwrap())
}

/// Markdown as it is read: a sign that was escaped stands for itself (CommonMark 0.31, section 2.4).
pub fn unescaped(markdown: &str) -> String {
    markdown.replace('\\', "")
}
