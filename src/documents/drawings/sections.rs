//! Sections through each edge as it is built, drawn from the firm's own sizes.
//!
//! Given a finish, the rules and the board's thickness; gives a figure with every part named at the end of a line. All
//! of a section is at one scale, but thin things (trim, laminate, flashing) are drawn thicker than they are.

use super::Space;
use super::drawing::{Drawing, Quad, Way, apart, dashes, go, pen, spot};
use super::lines::folded;
use super::plan_scale::PT_PER_MM;
use crate::checks::fascias::OLD_EDGE;
use crate::model::gutter::GutterShape;
use crate::model::job::By;
use crate::model::shape::{DeckAction, Gutter};
use crate::model::{Cover, Finish, Flashing, Length, PitchedCovering, Rules, Section, UnderTiles};
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink, Pen, Scene, Spot};
use crate::takeoff::layout::box_gutter::BoxGutterLayout;
use crate::takeoff::layout::flashings::Chase;
use crate::takeoff::layout::shape::{CopedWall, Sill, SillDetail};

/// What a section is drawn from.
#[derive(Debug, Clone, Copy)]
pub struct Build<'a> {
    /// The firm's rules.
    pub rules: &'a Rules,
    /// Where it is, if that is not every place of its title.
    pub name: Option<&'a str>,
    /// The roof's name.
    pub roof: Option<&'a str>,
    /// What the job calls what stands on the kerb.
    pub opening: Option<&'a str>,
    /// Thickness of the deck board.
    pub board: Length,
    /// How deep the firrings are along this edge, at least and at most: nothing where none are fixed.
    pub firrings: Option<(Length, Length)>,
    /// What is said of them, of the chase and of the strip's width, where the section stands for places that differ in it.
    pub firring_words: Option<&'a str>,
    /// How high above the roof each chase is.
    pub chase_words: Option<&'a str>,
    /// How wide each strip is.
    pub strip_words: Option<&'a str>,
    /// What becomes of the old deck: it is drawn under a board that is laid over it.
    pub deck: DeckAction,
    /// Thicknesses of the insulation over it and of the board over that, in a warm roof.
    pub over: Option<(Length, Length)>,
    /// The gutter under a drip edge.
    pub gutter: Option<&'a Gutter>,
    /// The box gutter beyond an edge.
    pub box_gutter: Option<&'a BoxGutterLayout>,
    /// How wide its outlet is.
    pub outlet: Option<Length>,
    /// What is left of the upstand at a wall, above the finished roof.
    pub upstand: Option<Length>,
    /// The cover flashing at a wall.
    pub flashing: Flashing,
    /// How it is cut in, where it is.
    pub cut_in: Option<CutIn>,
    /// The door sill over a wall, where that is drawn.
    pub sill: Option<Sill>,
    /// The wall that the roof is carried over, where that is drawn.
    pub coped: Option<CopedWall>,
    /// The kerb, where it is new.
    pub kerb: Option<NewKerb>,
    /// What is left of an old kerb above the finished roof, where that is less than the laminate should go up it.
    pub kerb_left: Option<Length>,
    /// How a step is tied in, where it goes in under tiles or slates.
    pub under: Option<UnderTiles>,
}

impl<'a> Build<'a> {
    /// An edge of a new deck with nothing more to it.
    pub fn new(rules: &'a Rules, board: Length) -> Build<'a> {
        Build {
            rules,
            name: None,
            roof: None,
            opening: None,
            board,
            firrings: None,
            firring_words: None,
            chase_words: None,
            strip_words: None,
            deck: DeckAction::New,
            over: None,
            gutter: None,
            box_gutter: None,
            outlet: None,
            upstand: None,
            flashing: Flashing::None,
            cut_in: None,
            sill: None,
            coped: None,
            kerb: None,
            kerb_left: None,
            under: None,
        }
    }
}

/// How a flashing is cut in.
#[derive(Debug, Clone, Copy)]
pub struct CutIn {
    /// Its chase.
    pub chase: Chase,
    /// How wide a strip it needs.
    pub needs: Length,
    /// How wide the strip is that is brought, where the firm brings it.
    pub strip: Option<Length>,
}

/// A kerb that is built new.
#[derive(Debug, Clone, Copy)]
pub struct NewKerb {
    /// Its timber.
    pub section: Section,
    /// How deep it is once it is ripped.
    pub depth: Length,
    /// The trimmers under it, where they are new too.
    pub trimmers: Option<Section>,
}

/// Whether sections of two places of one finish have the same parts of the same sizes, but for the depth of the firrings and the
/// height and width of the flashing.
pub fn have_like_parts(a: Build<'_>, b: Build<'_>) -> bool {
    let gutter = |build: Build<'_>| build.gutter.map(gutter_sizes);
    let sole = |build: Build<'_>| build.box_gutter.map(|g| (g.width, g.deep(), g.shallow(), g.up));
    let wall = |build: Build<'_>| build.coped.map(|w| (w.left, w.width, w.lining, w.cover, w.by));
    let kerb = |build: Build<'_>| build.kerb.map(|kerb| (kerb.section, kerb.depth, kerb.trimmers));
    let cut = |build: Build<'_>| {
        build.cut_in.map(|cut| (cut.strip.is_some(), cut.chase.surveyed, cut.chase.is_level(), build.flashing))
    };
    (a.board, a.deck, a.over, a.under) == (b.board, b.deck, b.over, b.under)
        && (a.upstand, a.sill, a.outlet, a.flashing) == (b.upstand, b.sill, b.outlet, b.flashing)
        && (gutter(a), sole(a), wall(a)) == (gutter(b), sole(b), wall(b))
        && (kerb(a), a.kerb_left, cut(a)) == (kerb(b), b.kerb_left, cut(b))
}

/// Draws the section of one finish.
pub fn draw(finish: Finish, build: Build<'_>) -> Figure {
    draw_all(&[(finish, build)], ON_SITE).pop().unwrap_or_default()
}

/// Draws some sections, those of edges at one scale, those of what reaches farther at one: the largest of the row at which
/// each fits that width, pt.
pub fn draw_all(all: &[(Finish, Build<'_>)], width: f64) -> Vec<Figure> {
    // Where all fit that reach as far they are drawn for good: what is tried is not drawn twice.
    let of_kind = |far: bool| all.iter().filter(move |(finish, build)| reaches_far(*finish, *build) == far);
    let keyed = |of: f64, far: bool| of_kind(far).map(move |(f, b)| built(*f, *b, of).keyed(of, width, far));
    let fitting = |of: f64, far: bool, most: Space| {
        let fits = |scene: Scene| (scene.width <= width && scene.height <= most.height).then_some(scene);
        keyed(of, far).map(fits).collect::<Option<Vec<Scene>>>().map(|scenes| (of, scenes))
    };
    let drawn = |far: bool| {
        // What reaches far is drawn low where that is no smaller than the second scale.
        let low = if far { SCALES.into_iter().take(2).find_map(|of| fitting(of, far, FAR)) } else { None };
        let found = low.or_else(|| SCALES.into_iter().find_map(|of| fitting(of, far, SPACE)));
        let smallest = SCALES[SCALES.len() - 1];
        let (of, scenes) = found.unwrap_or_else(|| (smallest, keyed(smallest, far).collect()));
        (of, scenes.into_iter())
    };
    let (mut near, mut far) = (drawn(false), drawn(true));
    let figure = |(finish, build): &(Finish, Build<'_>)| {
        let (of, scenes) = if reaches_far(*finish, *build) { &mut far } else { &mut near };
        let parts = built(*finish, *build, 1.0).parts();
        let title = titled(*finish, *build);
        Figure {
            scene: scenes.next().unwrap_or_default().into(),
            caption: format!("{title} Scale 1:{of}."),
            alt: format!("{title} Parts from the top: {}.", parts.join("; ")),
        }
    };
    all.iter().map(figure).collect()
}

/// What is drawn over a parapet, through a box gutter, or up under tiles.
const fn reaches_far(finish: Finish, build: Build<'_>) -> bool {
    build.coped.is_some() || matches!(finish, Finish::Gutter | Finish::Step)
}

/// The title, with the roof's name where that matters.
fn titled(finish: Finish, build: Build<'_>) -> String {
    let title = title(finish, build);
    match build.name {
        Some(name) => format!("{} ({name}).", title.trim_end_matches('.')),
        None => title.to_owned(),
    }
}

/// What a section is called, without its place.
pub const fn title(finish: Finish, build: Build<'_>) -> &'static str {
    if let (Finish::Wall, Some(wall)) = (finish, build.coped) {
        return over_title(wall.cover);
    }
    match finish {
        Finish::Step if build.under.is_some() => under_title(build.under),
        Finish::Wall if build.sill.is_some() => "Section under a door sill.",
        Finish::Drip => "Section at a drip edge.",
        Finish::Raised => "Section at a raised edge.",
        Finish::Wall => "Section at a wall.",
        Finish::Kerb => "Section at a kerb.",
        Finish::Step => "Section where the roof meets a roof above.",
        Finish::Gutter => "Section through a box gutter, at its outlet.",
    }
}

const fn over_title(cover: Cover) -> &'static str {
    match cover {
        Cover::Stone => "Section over a parapet under coping stones, where the roof stands highest.",
        Cover::Metal => "Section over a parapet under a metal capping, where the roof stands highest.",
    }
}

const fn under_title(under: Option<UnderTiles>) -> &'static str {
    match under {
        Some(UnderTiles { covering: PitchedCovering::PlainTiles, .. }) => {
            "Section where the roof goes in under plain tiles."
        }
        Some(UnderTiles { covering: PitchedCovering::InterlockingTiles, .. }) => {
            "Section where the roof goes in under interlocking tiles."
        }
        Some(UnderTiles { covering: PitchedCovering::Slates, .. }) => "Section where the roof goes in under slates.",
        None => "Section where the roof meets a roof above.",
    }
}

/// Scales at which sections are tried, largest first, until they fit.
const SCALES: [f64; 3] = [5.0, 10.0, 20.0];
/// How wide a section may be on the crew's sheets, pt.
pub const ON_SITE: f64 = SPACE.width;
/// The same on the householder's.
pub const AT_HOME: f64 = 470.0;
/// What a section may take on paper.
const SPACE: Space = Space::new(500.0, 390.0);
/// The same of one that reaches far.
const FAR: Space = Space::new(500.0, 200.0);
/// What one of two that stand side by side may take.
pub const HALF: Space = Space::new(242.0, 390.0);
/// How wide the names of the parts are set beside a section, at least and at most, pt.
const NAMES: (f64, f64) = (92.0, 190.0);
/// Size of the names, and from one line of them to the next, pt.
const NAME: (f64, f64) = (8.5, 10.4);
/// Between names, between their columns and around, pt.
const AIR: f64 = 12.0;
/// How much of the roof a section shows, mm.
const LEFT: f64 = -125.0;

/// How deep a joist and how thick a wall are drawn, mm: what is cut off says nothing.
const JOIST: f64 = 60.0;
const BRICK: f64 = 50.0;
/// How thick bearers and ledgers of a box gutter are drawn, mm.
const TIMBER: f64 = 45.0;

pub(super) const LAMINATE: Pen = pen(Ink::Accent, 2.2);
const TRIM: Pen = pen(Ink::Black, 1.8);

fn built(finish: Finish, build: Build<'_>, of: f64) -> DrawnSection {
    let deck = mm(build.board);
    let (over, board) = match build.over {
        Some((insulation, top)) => (Some((insulation.as_mm() as f64, deck)), top.as_mm() as f64),
        None => (None, deck),
    };
    let firring = build.firrings.map_or(0.0, |(_, most)| mm(most));
    let mut section = DrawnSection { board, over, deck: build.deck, firring, ..DrawnSection::empty(board, of) };
    section.firring_words = match (build.firring_words, build.firrings) {
        (Some(words), _) => words.to_owned(),
        (None, Some(depths)) => {
            firring_words(depths, if finish == Finish::Kerb { "round it" } else { "along this edge" })
        }
        (None, None) => "firring on the joist".to_owned(),
    };
    match finish {
        Finish::Drip => drip(&mut section, build),
        Finish::Raised => raised(&mut section, build),
        Finish::Wall => match (build.coped, build.sill) {
            (Some(wall), _) => parapet(&mut section, build, wall),
            (None, Some(sill)) => door_sill(&mut section, build, sill),
            (None, None) => wall(&mut section, build),
        },
        Finish::Kerb => kerb(&mut section, build),
        Finish::Step => step(&mut section, build),
        Finish::Gutter => box_gutter(&mut section, build),
    }
    section
}

/// A section that is being drawn.
pub(super) struct DrawnSection {
    /// Points on paper for each millimetre.
    k: f64,
    sheet: Drawing,
    notes: Vec<(Spot, String)>,
    /// Thickness of the board that carries the laminate.
    board: f64,
    /// In a warm roof: thicknesses of the insulation beneath that board and of the deck beneath the insulation.
    over: Option<(f64, f64)>,
    /// What becomes of the old deck.
    deck: DeckAction,
    /// How deep firrings are drawn under the deck.
    firring: f64,
    firring_words: String,
    /// How much of a joist is drawn.
    joist: f64,
}

/// `firring, 91 mm here`, `firring, 6 to 91 mm along this edge`.
fn firring_words((least, most): (Length, Length), along: &str) -> String {
    match least == most {
        true => format!("firring, {most} here"),
        false => format!("firring, {} to {most} {along}", least.as_mm()),
    }
}

/// Where joists end behind a fascia, and how thick the timber is that stands on a warm roof's open edge, mm.
const BEHIND_FASCIA: f64 = -18.0;
const EDGE_TIMBER: f64 = 47.0;

/// Thickness at which an old deck is drawn that nobody measured, mm.
const OLD_DECK: f64 = 18.0;

impl DrawnSection {
    /// Nothing yet, for a board so thick, at a scale of 1 to `of`.
    pub(super) fn empty(board: f64, of: f64) -> DrawnSection {
        let (sheet, deck) = (Drawing::default(), DeckAction::New);
        let firring_words = String::new();
        DrawnSection {
            sheet,
            notes: Vec::new(),
            board,
            over: None,
            deck,
            firring: 0.0,
            firring_words,
            joist: JOIST,
            k: PT_PER_MM / of,
        }
    }

    /// The names of its parts.
    pub(super) fn parts(self) -> Vec<String> {
        self.notes.into_iter().map(|(_, words)| words).collect()
    }

    /// A place in the section: mm outwards from the fascia or the wall's face, mm up from the deck's top.
    fn at(&self, x: f64, y: f64) -> Spot {
        spot(x * self.k, -y * self.k)
    }

    pub(super) fn block(&mut self, x: (f64, f64), y: (f64, f64), ink: Ink) {
        let ring = vec![self.at(x.0, y.0), self.at(x.1, y.0), self.at(x.1, y.1), self.at(x.0, y.1)];
        self.sheet.area(vec![ring], Some(ink), Some(pen(Ink::Black, 0.6)));
    }

    pub(super) fn path(&mut self, places: &[(f64, f64)], pen: Pen) {
        let spots: Vec<Spot> = places.iter().map(|(x, y)| self.at(*x, *y)).collect();
        self.sheet.line(&spots, pen);
    }

    pub(super) fn note(&mut self, x: f64, y: f64, words: impl Into<String>) {
        let at = self.at(x, y);
        self.notes.push((at, words.into()));
    }

    /// How far below the board that carries the laminate the joists begin.
    fn below(&self) -> f64 {
        self.over.map_or(0.0, |(insulation, deck)| insulation + deck) + self.old_deck() + self.firring
    }

    /// Thickness of the old deck under a board that is laid over it.
    fn old_deck(&self) -> f64 {
        if self.deck == DeckAction::Overlay { OLD_DECK } else { 0.0 }
    }

    /// The board that carries the laminate, ending at `end`, over joists that end at `joist_end`; between them, in a warm roof,
    /// the deck, which ends with the joists, and the insulation, which ends at `insulation_end`.
    fn roof(&mut self, end: f64, insulation_end: f64, joist_end: f64) {
        let under = -self.board;
        if let Some((insulation, deck)) = self.over {
            let foot = under - insulation;
            self.block((LEFT, insulation_end), (foot, under), Ink::White);
            self.block((LEFT, joist_end), (foot - deck, foot), Ink::Grey(0.8));
            self.note(LEFT + 30.0, under - insulation / 2.0, format!("insulation {insulation} mm"));
            self.note(LEFT + 30.0, foot - deck / 2.0, self.deck_words(deck));
            // Up the wall or kerb behind the insulation; at an open edge up the inner face of the edge timber.
            let turns = if (insulation_end - BEHIND_FASCIA).abs() < 0.5 { -EDGE_TIMBER } else { insulation_end };
            self.path(&[(LEFT, foot), (turns, foot), (turns, under)], pen(Ink::Black, 1.6));
            self.note(LEFT + 90.0, foot, "vapour layer, turned up round the insulation");
        }
        let joist = under - self.below();
        self.block((LEFT, joist_end), (joist - self.joist, joist), Ink::Grey(0.93));
        if self.firring > 0.0 {
            self.block((LEFT, joist_end), (joist, joist + self.firring), Ink::Grey(0.88));
            self.note(LEFT + 20.0, joist + self.firring / 2.0, self.firring_words.clone());
        }
        if self.old_deck() > 0.0 {
            self.block((LEFT, joist_end), (joist, joist + self.old_deck()), Ink::Grey(0.87));
            self.note(LEFT + 55.0, joist + self.old_deck() / 2.0, "old deck, which stays");
        }
        self.block((LEFT, end), (under, 0.0), Ink::Grey(0.8));
        let board = self.board;
        let words = match self.over {
            Some(_) => format!("board {board} mm over the insulation"),
            None => self.deck_words(board),
        };
        self.note(LEFT + 30.0, under * 0.5, words);
        self.note(LEFT + 55.0, joist - JOIST / 2.0, "joist");
    }

    /// What the boards on the joists are called: new, laid over the old deck, or the old deck itself.
    fn deck_words(&self, thick: f64) -> String {
        match self.deck {
            DeckAction::New => format!("deck {thick} mm"),
            DeckAction::Overlay => format!("new board {thick} mm over the old deck"),
            DeckAction::Keep => "old deck, which stays".to_owned(),
        }
    }

    /// Timber as high as the insulation, where the roof ends in the open at `end`.
    fn edge_timber(&mut self, end: f64) {
        let Some((insulation, _)) = self.over else { return };
        let foot = -self.board - insulation;
        self.block((end - EDGE_TIMBER, end), (foot, -self.board), Ink::Grey(0.85));
        self.note(end - 24.0, foot + insulation * 0.4, "edge timber as high as the insulation");
    }

    /// Fascia and `layers` of batten outside it, or, in a warm roof, outside the timber that stands on it; gives where the
    /// battens end.
    fn fascia(&mut self, layers: u32, build: Build<'_>) -> f64 {
        let under = -self.board;
        let top = under - self.over.map_or(0.0, |(insulation, _)| insulation);
        self.block((-18.0, 0.0), (under - 90.0 - self.below(), top), Ink::White);
        let batten = build.rules.batten;
        let (thick, tall) = (batten.thickness.as_mm() as f64, batten.width.as_mm() as f64);
        for layer in 0..layers {
            let x = f64::from(layer) * thick;
            self.block((x, x + thick), (under - tall, under), Ink::Grey(0.9));
        }
        let end = f64::from(layers) * thick;
        let size = format!("{} × {} mm", batten.thickness.as_mm(), batten.width.as_mm());
        let what = if layers == 1 { format!("batten {size}") } else { format!("{layers} battens {size}") };
        self.note((end - 6.0).max(0.0), under - tall + 8.0, what);
        let bare = self.over.is_none() && self.firring > tall + mm(OLD_EDGE);
        self.note(
            -9.0,
            under - 78.0 - self.below(),
            if bare { "fascia; a gap over one that ends with the joists is not part of this work" } else { "fascia" },
        );
        end
    }

    fn bandage(&mut self, x: f64, build: Build<'_>) {
        let half = build.rules.bandage_trim.as_mm() as f64 / 2.0;
        self.path(&[((x - half).max(LEFT), 5.0), (x + half.min(60.0), 5.0)], dashes(Ink::Black, 1.4, 3.0, 2.0));
        self.note(
            (x - half).max(LEFT) + BARE / self.k,
            5.0,
            format!("bandage {} on the flange\u{2019}s edge", build.rules.bandage_trim),
        );
    }

    /// The section with a ringed number at each part, counted from the top, and the numbers' words beside it or under it, within
    /// so much room, pt.
    pub(super) fn keyed(mut self, of: f64, room: f64, far: bool) -> Scene {
        self.notes.sort_by(|a, b| a.0.y.total_cmp(&b.0.y).then(a.0.x.total_cmp(&b.0.x)));
        let notes = std::mem::take(&mut self.notes);
        number_parts(&mut self.sheet, &notes.iter().map(|(at, _)| *at).collect::<Vec<_>>());
        let words: Vec<String> = notes.into_iter().map(|(_, words)| words).collect();
        let (low, high) = self.sheet.bounds();
        let size = (high.x - low.x, high.y - low.y);
        let way = name_ways(&words, size, room, far);
        let at = if way.beside { spot(high.x + AIR, low.y) } else { spot(low.x, high.y + AIR) };
        let names = names(&words, way.width);
        let free = if way.beside { (size.1 - columns_tall(&names, way.columns)).max(0.0) / 2.0 } else { 0.0 };
        write_columns(&mut self.sheet, &names, (way.columns, way.width), spot(at.x, at.y + free));
        self.sheet.scale = Some(of);
        self.sheet.finish()
    }
}

/// How the names stand at a section.
#[derive(Clone, Copy)]
struct NameWay {
    /// On its right, else under it.
    beside: bool,
    columns: usize,
    /// Of one column, pt.
    width: f64,
}

/// The way that takes the least height: half the page's width counts half, because another section stands beside it.
fn name_ways(words: &[String], (wide, tall): (f64, f64), most: f64, far: bool) -> NameWay {
    let mut ways = Vec::new();
    // What reaches far has much to name: it has the page's width.
    for (room, share) in [(HALF.width, 0.5), (most, 1.0)].into_iter().skip(usize::from(far)) {
        for columns in 1..=3_usize {
            let beside = (room - wide - AIR * columns as f64) / columns as f64;
            let under = (room - AIR * (columns - 1) as f64) / columns as f64;
            for (beside, width) in [(true, beside), (false, under)] {
                let width = width.min(NAMES.1);
                if width < NAMES.0 || wide > room {
                    continue;
                }
                let names = columns_tall(&names(words, width), columns);
                let height = if beside { f64::max(tall, names) } else { tall + AIR + names };
                ways.push((share * (height + CAPTION), NameWay { beside, columns, width }));
            }
        }
    }
    let least = ways.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, way)| way);
    least.unwrap_or(NameWay { beside: false, columns: 2, width: NAMES.1 })
}

/// What a caption takes under a section, pt.
const CAPTION: f64 = 30.0;

/// How far from its end a bandage is named, pt: beyond it the line to its number would run along it.
const BARE: f64 = 17.0;

/// Radius of a number's ring, pt.
pub(super) const RING: f64 = 5.8;

/// Sets a ringed number at each part: on it where the ring stands clear of every line, else at the nearest clear place, from
/// which a short line to the part crosses no other and as little as can be of the drawing. The part that has the fewest places
/// to choose from is first.
fn number_parts(sheet: &mut Drawing, parts: &[Spot]) {
    let dots = parts.iter().map(|part| Quad::about(*part, LEVEL, 2.4, 2.4)).collect();
    let mut numbered = NumberedParts { parts, dots, leaders: Vec::new() };
    let mut order: Vec<(Option<CostedSpot>, usize)> = (0..parts.len()).map(|i| (numbered.place(sheet, i), i)).collect();
    let cost = |best: Option<CostedSpot>| best.map_or(f64::INFINITY, |(cost, _)| cost);
    order.sort_by(|a, b| cost(b.0).total_cmp(&cost(a.0)).then(a.1.cmp(&b.1)));
    for (best, i) in order {
        let part = parts[i];
        let at = numbered.place_again(sheet, i, best).map_or(go(part, LEVEL, 3.0 * RING), |(_, at)| at);
        if at != part {
            let to = go(at, Way::between(at, part), RING);
            sheet.line(&[part, to], pen(Ink::Black, LEADER));
            sheet.circle(part, 1.2, Some(Ink::Black), None);
            numbered.leaders.push((part, to));
        }
        ringed_part(sheet, at, &(i + 1).to_string());
    }
}

const LEVEL: Way = Way { x: 1.0, y: 0.0 };

/// What a place for a number costs, and where it is.
type CostedSpot = (f64, Spot);

/// Steps round a part in which places for its number are tried.
const STEPS: i32 = 40;

/// The parts of a section while their numbers are placed.
struct NumberedParts<'a> {
    parts: &'a [Spot],
    /// The room of each part's dot, which no line to another runs over.
    dots: Vec<Quad>,
    leaders: Vec<(Spot, Spot)>,
}

impl NumberedParts<'_> {
    /// Where a part's number stands, and what that costs; none where no place is clear.
    fn place(&self, sheet: &Drawing, i: usize) -> Option<CostedSpot> {
        let part = self.parts[i];
        if self.is_clear(sheet, i, part) {
            return Some((0.0, part));
        }
        let turn = |step: i32| (std::f64::consts::TAU * f64::from(step) / f64::from(STEPS)).sin_cos();
        let turns: Vec<(f64, f64)> = (0..STEPS).map(turn).collect();
        let places = (3..40).flat_map(|ring| {
            let far = 4.0 * f64::from(ring);
            turns.iter().map(move |(sin, cos)| spot(part.x + far * cos, part.y + far * sin))
        });
        let mut best: Option<CostedSpot> = None;
        for at in places {
            // What is farther off than the best place costs more whatever it crosses.
            if best.is_some_and(|(cost, _)| apart(part, at) >= cost) {
                break;
            }
            let below = best.map_or(f64::INFINITY, |(cost, _)| cost);
            if self.is_clear(sheet, i, at)
                && let Some(cost) = self.cost(sheet, i, at, below)
            {
                best = Some((cost, at));
            }
        }
        best
    }

    /// The same once more has been drawn. No place has become cheaper by that, so that the best stays the best where it costs
    /// what it did.
    fn place_again(&self, sheet: &Drawing, i: usize, best: Option<CostedSpot>) -> Option<CostedSpot> {
        let (before, at) = best?;
        let on_part = at == self.parts[i];
        let stays = || on_part || self.cost(sheet, i, at, f64::INFINITY) == Some(before);
        if self.is_clear(sheet, i, at) && stays() { best } else { self.place(sheet, i) }
    }

    /// Whether a number stands here on no line, no other number and no other part's dot.
    fn is_clear(&self, sheet: &Drawing, i: usize, at: Spot) -> bool {
        let own = Quad::about(at, LEVEL, 2.0 * RING + 1.6, 2.0 * RING + 1.6);
        let near = |dot: &Spot| (dot.x - at.x).abs() < RING + 2.0 && (dot.y - at.y).abs() < RING + 2.0;
        let on_dot = |j: usize, dot: &Spot| j != i && near(dot) && apart(*dot, at) < RING + 2.0;
        let on_dot = self.parts.iter().enumerate().any(|(j, dot)| on_dot(j, dot));
        !on_dot
            && sheet.is_free(&own)
            && !self.leaders.iter().any(|(a, b)| own.meets_line(*a, *b))
            && sheet.is_bare(&own)
    }

    /// What the line from a number to its part costs: its length, and more for each line of the drawing that it crosses; none
    /// where it may not be drawn, or costs no less than `below`.
    fn cost(&self, sheet: &Drawing, i: usize, at: Spot, below: f64) -> Option<f64> {
        let part = self.parts[i];
        let to = go(at, Way::between(at, part), RING);
        let over = self.dots.iter().enumerate().filter(|(j, dot)| *j != i && dot.meets_line(part, to)).count() as f64;
        if apart(part, at) + 25.0 * over >= below {
            return None;
        }
        let line = Quad::about(super::drawing::part(part, to, 0.5), Way::between(part, to), apart(part, to), 0.6);
        let crossing = self.leaders.iter().any(|&(a, b)| line.meets_line(a, b));
        if crossing || !sheet.is_free(&line) {
            return None;
        }
        let cost = apart(part, at) + 6.0 * sheet.crossed(&line) as f64 + 25.0 * over;
        (cost < below).then_some(cost)
    }
}

/// Width of the lines from a number to its part, pt.
pub const LEADER: f64 = 0.45;

/// A ringed number.
pub(super) fn ringed_part(sheet: &mut Drawing, at: Spot, number: &str) {
    sheet.circle(at, RING, Some(Ink::White), Some(pen(Ink::Black, 0.7)));
    sheet.words(spot(at.x, at.y + 0.36 * super::LABEL_SIZE), number, super::LABEL_SIZE, true, Anchor::Middle);
    sheet.take(Quad::about(at, Way { x: 1.0, y: 0.0 }, 2.0 * RING + 1.0, 2.0 * RING + 1.0));
}

/// The words of each number folded to a width, its figure left out.
fn names(words: &[String], width: f64) -> Vec<Vec<String>> {
    words.iter().map(|words| folded(words, width - INDENT, NAME.0)).collect()
}

/// Room for a figure before its words, pt.
const INDENT: f64 = 15.0;

fn height_of(lines: &[String]) -> f64 {
    NAME.1 * lines.len() as f64 + 2.5
}

/// Writes names down a column from a spot, their numbers counted from `first`.
fn write_names(sheet: &mut Drawing, names: &[Vec<String>], first: usize, at: Spot) {
    let mut y = at.y;
    for (n, lines) in names.iter().enumerate() {
        sheet.words(spot(at.x, y + 8.0), &(first + n).to_string(), NAME.0, true, Anchor::Start);
        for (row, line) in lines.iter().enumerate() {
            let foot = y + 8.0 + NAME.1 * row as f64;
            sheet.words(spot(at.x + INDENT, foot), line, NAME.0, false, Anchor::Start);
        }
        y += height_of(lines);
    }
}

/// Where each of so many columns ends, all about as high as the others.
fn column_ends(names: &[Vec<String>], columns: usize) -> Vec<usize> {
    let whole: f64 = names.iter().map(|lines| height_of(lines)).sum();
    let end = |column: usize| {
        let share = whole * (column + 1) as f64 / columns as f64 + 1e-6;
        let mut below = 0.0;
        let within = names.iter().take_while(|lines| {
            below += height_of(lines);
            below - height_of(lines) / 2.0 <= share
        });
        within.count()
    };
    (0..columns).map(end).collect()
}

fn columns_tall(names: &[Vec<String>], columns: usize) -> f64 {
    let mut first = 0;
    let tall = column_ends(names, columns).into_iter().map(|end| {
        let column = names[first..end].iter().map(|lines| height_of(lines)).sum::<f64>();
        first = end;
        column
    });
    tall.fold(0.0, f64::max)
}

/// Writes names in columns of one width, down the left one first.
fn write_columns(sheet: &mut Drawing, names: &[Vec<String>], (columns, width): (usize, f64), at: Spot) {
    let mut first = 0;
    for (column, end) in column_ends(names, columns).into_iter().enumerate() {
        write_names(sheet, &names[first..end], first + 1, spot(at.x + (width + AIR) * column as f64, at.y));
        first = end;
    }
}

fn drip(s: &mut DrawnSection, build: Build<'_>) {
    let end = s.fascia(build.rules.drip_battens, build);
    s.roof(end, BEHIND_FASCIA, BEHIND_FASCIA);
    s.edge_timber(0.0);
    s.path(&[(end - 100.0, 2.0), (end + 2.0, 2.0), (end + 2.0, -60.0), (end + 20.0, -72.0)], TRIM);
    s.bandage(end - 100.0, build);
    s.path(&[(LEFT, 8.0), (end + 2.0, 8.0)], LAMINATE);
    s.note(end - 40.0, 8.0, "laminate to the bend, topcoat over all");
    s.note(end + 2.0, -20.0, "drip trim, flange nailed");
    let Some(under) = build.gutter else {
        return s.note(end + 20.0, -72.0, "no gutter here: water drops clear of the wall");
    };
    let (across, deep, _) = gutter_sizes(under);
    gutter(s, end + 20.0, -s.board - 56.0, under);
    let words = format!("gutter {} {}", under.shape, under.size);
    s.note(end + 20.0 + across * 0.35, -s.board - 56.0 - deep * 0.7, words);
}

/// Width at the top, depth and shape. A depth that was not given is half the width, and more in a deep gutter.
fn gutter_sizes(gutter: &Gutter) -> (f64, f64, GutterShape) {
    let shape = GutterShape::WORDS.iter().find(|(word, _)| *word == gutter.shape);
    let shape = shape.map_or(GutterShape::HalfRound, |(_, shape)| *shape);
    let across = gutter.size.as_mm() as f64;
    let usual = if shape == GutterShape::Deep { across * 0.65 } else { across / 2.0 };
    let given = gutter.detail.as_ref().and_then(|d| d.depth);
    (across, given.map_or(usual, |depth| depth.as_mm() as f64), shape)
}

/// A gutter open to the top, its middle at `x`, its rim at `y`.
fn gutter(s: &mut DrawnSection, x: f64, y: f64, gutter: &Gutter) {
    let (across, deep, shape) = gutter_sizes(gutter);
    let arc = |i: i32| {
        let a = std::f64::consts::PI * (1.0 + f64::from(i) / 24.0);
        (a.cos(), a.sin())
    };
    // Across in halves of the width, down in depths.
    let places: Vec<(f64, f64)> = match shape {
        GutterShape::HalfRound | GutterShape::Deep => (0..=24).map(arc).collect(),
        GutterShape::Rectangular => vec![(-1.0, 0.0), (-1.0, -1.0), (1.0, -1.0), (1.0, 0.0)],
        GutterShape::Trapezoidal => vec![(-1.0, 0.0), (-0.65, -1.0), (0.65, -1.0), (1.0, 0.0)],
        GutterShape::Ogee => vec![(-1.0, 0.0), (-1.0, -1.0), (0.2, -1.0), (0.45, -0.5), (0.9, -0.35), (1.0, 0.0)],
    };
    let places: Vec<(f64, f64)> = places.into_iter().map(|(a, b)| (x + a * across / 2.0, y + b * deep)).collect();
    s.path(&places, pen(Ink::Grey(0.2), 1.6));
}

fn raised(s: &mut DrawnSection, build: Build<'_>) {
    let end = s.fascia(build.rules.raised_battens, build);
    s.roof(end, BEHIND_FASCIA, BEHIND_FASCIA);
    s.edge_timber(0.0);
    let (foot, top) = (end - 62.0, 42.0);
    s.path(&[(foot - 70.0, 2.0), (foot, 2.0), (end - 16.0, top), (end + 2.0, top), (end + 2.0, -45.0)], TRIM);
    s.bandage(foot - 70.0, build);
    s.path(&[(LEFT, 8.0), (foot - 3.0, 8.0), (end - 18.0, top + 7.0), (end - 8.0, top + 7.0)], LAMINATE);
    let up = build.rules.mat_return.raised;
    s.note(end - 30.0, top - 4.0, format!("laminate carried {up}, to the top of the raised edge"));
    s.note(end + 2.0, -10.0, "raised edge trim, topcoat over its face");
}

/// What lies between a wall and the deck; nobody cuts an old deck back for it.
fn gap_at_wall(build: Build<'_>) -> String {
    match build.deck {
        DeckAction::Keep => "wall and old deck: the gap as found".to_owned(),
        DeckAction::New | DeckAction::Overlay => format!("gap {} between deck and wall", build.rules.wall_gap),
    }
}

fn wall(s: &mut DrawnSection, build: Build<'_>) {
    let gap = build.rules.wall_gap.as_mm() as f64;
    let tall = build.rules.mat_return.wall.as_mm() as f64;
    let cover = build.rules.flashing_cover.as_mm() as f64;
    // A wall too low for the flashing is told by the checks; the drawing still shows one.
    let surveyed = build.cut_in.map(|cut| cut.chase.at).or(build.upstand).unwrap_or(build.rules.least_upstand);
    let upstand = mm(surveyed).max(tall - cover + 20.0);
    let foot = -s.board - JOIST - s.below();
    s.block((0.0, BRICK), (foot, upstand + 35.0), Ink::Grey(0.9));
    // The chase is cut in a bed joint: the courses are set out from it.
    let joint = if build.flashing.is_cut_in() { upstand + 2.0 } else { foot };
    courses_of_brick(s, (foot, upstand + 35.0), BRICK, (joint, build.rules));
    s.roof(-gap, 0.0, -gap);
    s.note(-gap / 2.0, -s.board / 2.0, gap_at_wall(build));
    s.path(&[(-115.0, 2.0), (-45.0, 2.0), (-3.0, 40.0), (-3.0, tall)], TRIM);
    s.note(
        -3.0,
        tall * 0.55,
        format!("wall fillet, {} up the wall, bonded, never nailed", build.rules.mat_return.wall),
    );
    s.bandage(-115.0, build);
    s.path(&[(LEFT, 8.0), SLOPE[0], SLOPE[1], (-9.0, tall)], LAMINATE);
    s.note(-30.0, 24.0, "laminate up to the top of the fillet");
    let least = build.rules.least_upstand;
    if !build.flashing.is_cut_in() {
        s.note(-9.0, tall - 4.0, format!("{} is part of this work", build.flashing.words()));
        let words = match build.upstand {
            Some(left) => format!("wall {left} above the finished roof; at least {least} is asked for"),
            None => format!("wall at least {least} above the finished roof"),
        };
        return s.note(0.0, upstand, words);
    }
    let depth = mm(build.rules.chase_depth);
    let strip =
        build.cut_in.map_or(depth + (upstand - tall).max(0.0) + cover, |cut| mm(cut.strip.unwrap_or(cut.needs)));
    let mut lead = vec![(depth, upstand + 4.0), (-8.0, upstand), (-15.0, upstand - 6.0)];
    lead.extend(dressed(upstand, strip - depth));
    s.path(&lead, pen(Ink::Grey(0.25), 2.4));
    s.note(-15.0, (upstand + tall) / 2.0, flashing_words(build));
    s.note(depth, upstand + 4.0, chase_words(build));
}

/// The laminate over a wall fillet: where its slope begins and ends.
const SLOPE: [(f64, f64); 2] = [(-48.0, 8.0), (-9.0, 44.0)];

/// How far outside the laminate a flashing lies on it, as both are drawn, mm.
const OFF: f64 = 6.0;

/// A strip that hangs so far down from `top`, outside the laminate: down the wall, and what is left of it along the slope.
fn dressed(top: f64, hangs: f64) -> Vec<(f64, f64)> {
    let [low, high] = SLOPE;
    let (across, up) = (high.0 - low.0, high.1 - low.1);
    let long = across.hypot(up);
    let (foot, wall) = ((low.0 - OFF * up / long, low.1 + OFF * across / long), high.0 - OFF);
    let bend = foot.1 + (wall - foot.0) * up / across;
    let left = hangs - (top - bend);
    if left <= 0.0 {
        return vec![(wall, top - hangs)];
    }
    let far = (left / long).min((wall - foot.0) / across);
    vec![(wall, bend), (wall - far * across, bend - far * up)]
}

/// The flashing with the width of its strip.
fn flashing_words(build: Build<'_>) -> String {
    let wide = match build.strip_words {
        Some(each) => format!(" {each}"),
        None => strip_words(build),
    };
    format!("{}{wide}, covers the fillet by at least {}", build.flashing.words(), build.rules.flashing_cover)
}

/// How wide the strip is that is brought; nothing where none is.
pub fn strip_words(build: Build<'_>) -> String {
    let strip = build.cut_in.and_then(|cut| Some(strip_width(cut.strip?, cut.needs)));
    strip.unwrap_or_default()
}

/// ` 240 mm wide, cut down to 206 mm`, of a strip as it is sold and what is needed of it.
pub fn strip_width(sold: Length, needs: Length) -> String {
    match sold - needs >= MUCH_WIDER {
        true => format!(" {sold} wide, cut down to {needs}"),
        false => format!(" {sold} wide"),
    }
}

/// A strip that is so much wider than it must be may be cut.
const MUCH_WIDER: Length = Length::mm(30);

/// What is said of a height that is less than the rule asks: nobody lays such a roof unasked.
const AGREED: &str = "as agreed in writing";

/// The chase with its height above the finished roof.
fn chase_words(build: Build<'_>) -> String {
    let high = build.chase_words.map_or_else(|| chase_height(build), str::to_owned);
    format!("chase {} deep in a bed joint, {high}", build.rules.chase_depth)
}

/// `151 mm above the roof`: how high the chase is.
pub fn chase_height(build: Build<'_>) -> String {
    let least = build.rules.least_upstand;
    match build.cut_in.map(|cut| cut.chase) {
        Some(chase) if chase.at < least => format!("{} above the roof{}", chase.at, less_than_asked(build)),
        Some(chase) if chase.surveyed && !chase.is_level() => {
            format!("{} above the roof here, {} at most along the wall", chase.at, chase.most)
        }
        Some(chase) if chase.surveyed => format!("{} above the roof", chase.at),
        Some(chase) => format!("the lowest at least {least} above the roof, {} at most", chase.most),
        None => match build.upstand {
            Some(left) => format!("{left} above the roof"),
            None => format!("at least {least} above the roof"),
        },
    }
}

/// What is said of a chase that is lower than the rule asks.
pub fn less_than_asked(build: Build<'_>) -> String {
    format!(": LESS than the {} that is asked for, {AGREED}", build.rules.least_upstand)
}

/// The wall up to the sill, the sill over it with its drip, the door on top; the laminate up to the sill and in under it.
fn door_sill(s: &mut DrawnSection, build: Build<'_>, sill: Sill) {
    let (gap, left) = (build.rules.wall_gap.as_mm() as f64, sill.left.as_mm() as f64);
    let (tall, turn) = (build.rules.mat_return.wall.as_mm() as f64, build.rules.sill_turn.as_mm() as f64);
    // The laminate is turned in over the top of the wall, under the sill.
    let inward = turn.max(12.0);
    let foot = -s.board - 90.0 - s.below();
    s.block((0.0, 90.0), (foot, left - 12.0), Ink::Grey(0.9));
    courses_of_brick(s, (foot, left - 12.0), 70.0, (foot, build.rules));
    s.block((-45.0, 90.0), (left, left + 32.0), Ink::White);
    s.block((25.0, 75.0), (left + 32.0, left + 95.0), Ink::Grey(0.96));
    s.note(50.0, left + 80.0, "door");
    s.note(-30.0, left + 18.0, "door sill, its drip groove left open");
    s.roof(-gap, 0.0, -gap);
    let closed = sill.detail == SillDetail::Low && build.deck != DeckAction::Keep && gap > 0.0;
    if closed {
        s.block((-gap, 0.0), (-s.board, 0.0), Ink::Grey(0.8));
    }
    let words = match closed {
        true => format!("gap of {} closed with batten, flush with the deck", build.rules.wall_gap),
        false => gap_at_wall(build),
    };
    s.note(-gap / 2.0, -s.board / 2.0, words);
    let rise = match sill.detail {
        SillDetail::Fillet => {
            s.path(&[(-115.0, 2.0), (-45.0, 2.0), (-3.0, 40.0), (-3.0, tall.min(left - 6.0))], TRIM);
            s.note(-3.0, tall * 0.5, "wall fillet runs on, bonded, never nailed");
            s.bandage(-115.0, build);
            vec![(LEFT, 8.0), (-48.0, 8.0), (-9.0, 44.0)]
        }
        SillDetail::Low => {
            let half = build.rules.bandage_trim.as_mm() as f64 / 2.0;
            let up = half.min(left - 8.0);
            s.path(&[(-half, 4.0), (-4.0, 4.0), (-4.0, up)], dashes(Ink::Black, 1.4, 3.0, 2.0));
            let words = format!("bandage {} in the corner: no fillet fits", build.rules.bandage_trim);
            s.note(-4.0, up * 0.5, words);
            vec![(LEFT, 8.0), (-9.0, 8.0)]
        }
    };
    let turned = [(-9.0, left - 6.0), (inward, left - 6.0)];
    s.path(&rise.into_iter().chain(turned).collect::<Vec<_>>(), LAMINATE);
    s.note(-9.0, left * 0.75, format!("laminate up to the sill, {} in under it", build.rules.sill_turn));
    for bead in [-38.0, -15.0] {
        s.sheet.circle(s.at(bead, left - 3.0), 2.2, Some(Ink::Black), None);
    }
    s.note(-38.0, left - 3.0, "sealant, two beads: under the sill's edge and along the laminate's top");
    let least = build.rules.least_upstand;
    let words = match sill.left >= least {
        true => format!("{} left under the sill; at least {least} is asked for", sill.left),
        false => format!("{} left under the sill: LESS than the {least} that is asked for, {AGREED}", sill.left),
    };
    s.path(&[(LEFT + 40.0, 10.0), (LEFT + 40.0, left)], pen(Ink::Grey(0.35), 0.6));
    s.path(&[(LEFT + 30.0, left), (-45.0, left)], dashes(Ink::Grey(0.35), 0.5, 2.0, 2.0));
    s.note(LEFT + 40.0, left * 0.6, words);
}

/// The wall with its lining, the laminate up it and over its top, the trim beyond, and what covers it all.
fn parapet(s: &mut DrawnSection, build: Build<'_>, wall: CopedWall) {
    let (gap, top) = (mm(build.rules.wall_gap), mm(wall.left));
    let (wide, lining, tall) = (mm(wall.width), mm(wall.lining), mm(build.rules.mat_return.wall));
    let foot = -s.board - 70.0 - s.below();
    s.block((0.0, wide), (foot, top), Ink::Grey(0.9));
    courses_of_brick(s, (foot, top), wide, (foot, build.rules));
    s.roof(-gap.max(lining), -lining, -gap.max(lining));
    s.note(-gap / 2.0, -s.board / 2.0, gap_at_wall(build));
    s.block((-lining, 0.0), (2.0, top), Ink::Grey(0.8));
    let fixing = build.rules.masonry_fixing;
    s.note(-lining / 2.0, top * 0.62, format!("lining {}, screwed into plugs every {fixing}", wall.lining));
    // A top board lies on the masonry and on the edge of the lining; under stones the bare top is levelled and primed.
    let bed = match wall.cover {
        Cover::Metal => {
            s.block((-lining, wide), (top, top + lining), Ink::Grey(0.8));
            s.note(wide * 0.3, top + lining / 2.0, format!("top board {}, its fall to the roof", wall.lining));
            top + lining
        }
        Cover::Stone => {
            s.block((0.0, wide), (top - LEVELLED, top), Ink::Grey(0.7));
            s.note(wide * 0.3, top - LEVELLED / 2.0, "top levelled with mortar, primed");
            top
        }
    };
    let face = -lining - 9.0;
    s.path(&[(-115.0 - lining, 2.0), (-45.0 - lining, 2.0), (-3.0 - lining, 40.0), (-3.0 - lining, tall)], TRIM);
    s.note(-3.0 - lining, tall * 0.5, format!("wall fillet, {} up the lining, bonded", build.rules.mat_return.wall));
    s.bandage(-115.0 - lining, build);
    let out = wide + 2.0;
    s.path(&[(wide - 80.0, bed + 2.0), (out, bed + 2.0), (out, bed - 60.0), (out + 18.0, bed - 72.0)], TRIM);
    s.note(out, bed - 52.0, format!("outer edge: drip trim on adhesive, screwed into plugs every {fixing}"));
    let strip = || dashes(Ink::Black, 1.4, 3.0, 2.0);
    let half = mm(build.rules.bandage_trim) / 2.0;
    s.path(&[(face + 5.0, bed - half), (face + 5.0, bed + 5.0), (face + 5.0 + half, bed + 5.0)], strip());
    s.path(&[(wide - 80.0 - half, bed + 5.0), (wide - 80.0 + half, bed + 5.0)], strip());
    s.note(
        face + 5.0,
        bed - half * 0.8,
        format!("bandage {} on the arris, and on the trim\u{2019}s flange", build.rules.bandage_trim),
    );
    let laminate = [(LEFT - lining, 8.0), (-48.0 - lining, 8.0), (face, 44.0), (face, bed + 9.0), (out, bed + 9.0)];
    s.path(&laminate, LAMINATE);
    s.note(face, top * 0.45, "laminate up the lining, over the top, onto the outer trim");
    match wall.cover {
        Cover::Stone => stone(s, wide, bed + 13.0, wall.by),
        Cover::Metal => capping(s, build, (wide, bed + 13.0), wall.by),
    }
    let least = build.rules.least_upstand;
    let low = if wall.left < least { format!(": LESS than that, {AGREED}") } else { String::new() };
    s.path(&[(LEFT + 40.0, 10.0), (LEFT + 40.0, top)], pen(Ink::Grey(0.35), 0.6));
    s.path(&[(LEFT + 30.0, top), (face - 4.0, top)], dashes(Ink::Grey(0.35), 0.5, 2.0, 2.0));
    s.note(
        LEFT + 40.0,
        top * 0.25,
        format!("{} above the finished roof; at least {least} is asked for{low}", wall.left),
    );
}

/// How thick the mortar is drawn that levels the top of a wall, mm.
const LEVELLED: f64 = 12.0;

/// Who does what is done to the cover, where that is not the crew.
const fn by_whom(by: By) -> &'static str {
    match by {
        By::Us => "",
        By::Others => ", by others",
    }
}

/// A coping stone on its mortar and its damp-proof course, from `foot` up, with a groove under both of its overhangs.
fn stone(s: &mut DrawnSection, wide: f64, foot: f64, by: By) {
    let by = by_whom(by);
    s.path(&[(-25.0, foot), (wide + 8.0, foot)], dashes(Ink::Black, 1.2, 4.0, 2.0));
    s.note(wide + 7.0, foot, format!("damp-proof course over the laminate{by}"));
    s.block((-20.0, wide + 4.0), (foot + 2.0, foot + 14.0), Ink::Grey(0.7));
    s.note(wide * 0.55, foot + 8.0, format!("mortar bed{by}"));
    let (left, right, under) = (-65.0, wide + 55.0, foot + 14.0);
    let ring = [(left, under), (right, under), (right, under + 55.0), (left, under + 40.0)];
    let ring = ring.iter().map(|(x, y)| s.at(*x, *y)).collect();
    s.sheet.area(vec![ring], Some(Ink::White), Some(pen(Ink::Black, 0.6)));
    for x in [left + 14.0, right - 14.0] {
        s.sheet.circle(s.at(x, under + 2.0), 1.4, Some(Ink::Black), None);
    }
    s.note(right - 14.0, under + 2.0, "groove under both overhangs left open");
    s.note(wide * 0.5, under + 30.0, format!("coping stone bedded again{by}"));
}

/// A metal capping on its bracket, from `foot` up, higher on the outside so that it sheds water onto the roof.
fn capping(s: &mut DrawnSection, build: Build<'_>, (wide, foot): (f64, f64), by: By) {
    let by = by_whom(by);
    let (left, right) = (-45.0, wide + 40.0);
    s.path(
        &[(left + 8.0, foot - 8.0), (left + 8.0, foot + 4.0), (right - 8.0, foot + 16.0), (right - 8.0, foot + 2.0)],
        pen(Ink::Grey(0.45), 1.6),
    );
    s.note(
        wide * 0.4,
        foot + 9.0,
        format!("bracket every {} at most, two screws into plugs, its holes sealed{by}", build.rules.capping_bracket),
    );
    s.path(
        &[(left, foot - 45.0), (left, foot + 10.0), (right, foot + 23.0), (right, foot - 50.0)],
        pen(Ink::Grey(0.25), 2.4),
    );
    s.note(wide * 0.7, foot + 19.0, format!("metal capping over both faces, its fall to the roof{by}"));
}

/// The bed joints between `foot` and `top`, one of them at `joint`.
fn courses_of_brick(s: &mut DrawnSection, (foot, top): (f64, f64), wide: f64, (joint, rules): (f64, &Rules)) {
    let course = mm(rules.brick_course).max(1.0);
    let mut y = joint - ((joint - foot) / course).floor() * course;
    while y < top {
        if y > foot {
            s.path(&[(0.0, y), (wide, y)], pen(Ink::Grey(0.55), 0.5));
        }
        y += course;
    }
}

fn kerb(s: &mut DrawnSection, build: Build<'_>) {
    // A new kerb stands on the joists, as high above the roof as its depth leaves.
    let on_joists = -s.board - s.below();
    let up = build.kerb_left.unwrap_or(build.rules.mat_return.kerb);
    let tall = build.kerb.map_or_else(|| mm(up), |kerb| on_joists + mm(kerb.depth));
    s.roof(0.0, 0.0, 0.0);
    match build.kerb {
        Some(kerb) => new_kerb(s, kerb, tall),
        None => {
            // What is beside it ends at its face: it stands on timber of its own, never on a firring or a board.
            s.block((0.0, 45.0), (on_joists - JOIST, on_joists), Ink::Grey(0.9));
            s.note(25.0, on_joists - JOIST * 0.5, "joist or trimmer under the kerb");
            s.block((0.0, 45.0), (on_joists, tall), Ink::Grey(0.85));
            s.note(30.0, tall * 0.4, "old kerb, which stays");
        }
    }
    s.path(&[(-80.0, 2.0), (-40.0, 2.0), (-3.0, 38.0f64.min(tall)), (-3.0, 75.0f64.min(tall))], TRIM);
    s.note(-22.0, 20.0, "angle fillet trim");
    s.bandage(-80.0, build);
    let mut laminate = vec![(LEFT, 8.0), (-43.0, 8.0), (-9.0, 44.0f64.min(tall)), (-9.0, tall + 6.0)];
    let opening = build.opening.unwrap_or("rooflight or hatch");
    // Over the top of a kerb that stands open; under the frame of what stays on it.
    let (laminate_words, unit_words) = match build.kerb {
        Some(_) => {
            laminate.push((45.0, tall + 6.0));
            (format!("laminate {up} up and over the top of the kerb"), format!("{opening} on top, fitted last"))
        }
        None => {
            let less = build.kerb_left.map_or("", |_| ", less than asked");
            (
                format!("laminate {up} up the kerb, to under the frame{less}"),
                format!("{opening}, which stays on its kerb"),
            )
        }
    };
    s.path(&laminate, LAMINATE);
    let named = if build.kerb.is_some() { (20.0, tall + 6.0) } else { (-9.0, tall * 0.75) };
    s.note(named.0, named.1, laminate_words);
    s.path(&[(-25.0, tall + 22.0), (75.0, tall + 22.0)], pen(Ink::Grey(0.3), 2.4));
    s.note(60.0, tall + 22.0, unit_words);
}

/// A new kerb as deep as it is, on the trimmers that are hung under it.
fn new_kerb(s: &mut DrawnSection, kerb: NewKerb, tall: f64) {
    let (thick, deep) = (kerb.section.thickness.as_mm() as f64, kerb.depth.as_mm() as f64);
    let foot = tall - deep;
    if let Some(trimmers) = kerb.trimmers {
        let (ply, depth) = (trimmers.thickness.as_mm() as f64, trimmers.width.as_mm() as f64);
        s.block((-ply, 0.0), (foot - depth, foot), Ink::Grey(0.9));
        s.block((0.0, ply), (foot - depth, foot), Ink::Grey(0.9));
        s.note(ply * 0.5, foot - depth * 0.5, format!("trimmers {trimmers}, side by side"));
        if s.firring > 0.0 {
            s.block((-ply, 0.0), (foot, foot + s.firring), Ink::Grey(0.88));
            s.note(-ply * 0.5, foot + s.firring * 0.5, "packing on the trimmer, to the underside of the deck");
        }
    }
    s.block((0.0, thick), (foot, tall), Ink::Grey(0.85));
    s.note(thick * 0.6, tall * 0.4, format!("new kerb {}", Section { width: kerb.depth, ..kerb.section }));
}

/// A slope that begins at the edge of the flat roof: mm up along it and mm square off it, from the top of its board.
#[derive(Clone, Copy)]
struct Slope {
    sin: f64,
    cos: f64,
}

impl Slope {
    fn of(pitch: u32) -> Slope {
        let (sin, cos) = f64::from(pitch).to_radians().sin_cos();
        Slope { sin, cos }
    }

    fn at(self, along: f64, off: f64) -> (f64, f64) {
        (along * self.cos - off * self.sin, along * self.sin + off * self.cos)
    }
}

impl DrawnSection {
    /// A closed form on a slope.
    fn on_slope(&mut self, slope: Slope, ring: &[(f64, f64)], ink: Ink) {
        let at = |&(along, off): &(f64, f64)| {
            let (x, y) = slope.at(along, off);
            self.at(x, y)
        };
        let ring: Vec<Spot> = ring.iter().map(at).collect();
        self.sheet.area(vec![ring], Some(ink), Some(pen(Ink::Black, 0.6)));
    }

    fn along_slope(&mut self, slope: Slope, places: &[(f64, f64)], pen: Pen) {
        let places: Vec<(f64, f64)> = places.iter().map(|&(along, off)| slope.at(along, off)).collect();
        self.path(&places, pen);
    }

    fn note_on(&mut self, slope: Slope, (along, off): (f64, f64), words: impl Into<String>) {
        let (x, y) = slope.at(along, off);
        self.note(x, y, words);
    }
}

/// The flat roof, and the slope above it: rafters, never bare, the board over them, the fillet, the laminate over both.
fn step(s: &mut DrawnSection, build: Build<'_>) {
    let slope = Slope::of(build.under.map_or(UnderTiles::TAKEN_PITCH, |tiles| tiles.drawn_pitch()));
    let carried = build.under.map_or(build.rules.mat_return.step, |tiles| tiles.up);
    let (up, foot) = (carried.as_mm() as f64, build.rules.fillet_up.as_mm() as f64);
    let lap = build.rules.underlay_lap.as_mm() as f64;
    // Up to the head of the lowest course, so that its batten is seen.
    let head = build.under.map_or(0.0, |tiles| foot - TAIL + length_of(tiles));
    let top = (up + lap + 60.0).max(head + 60.0);
    let thick = SLOPE_BOARD;
    s.roof(0.0, 0.0, 0.0);
    let below = s.board + s.below();
    let heel = ((below + 80.0) / slope.cos.max(0.2)).min(260.0);
    s.on_slope(slope, &[(-thick * 0.2, -thick), (top, -thick), (top, -thick - 90.0), (-20.0, -heel)], Ink::Grey(0.93));
    if let Some(tiles) = build.under.filter(|tiles| tiles.rise() > UnderTiles::SLIGHT_RISE) {
        rafters_below(s, slope, tiles, thick);
    }
    s.on_slope(slope, &[(0.0, -thick), (up, -thick), (up, 0.0), (0.0, 0.0)], Ink::Grey(0.8));
    s.on_slope(slope, &[(foot, 0.0), (foot + 65.0, 0.0), (foot, FILLET)], Ink::Grey(0.88));
    s.note_on(slope, (up * 0.9, -thick - 50.0), "rafters of the roof above");
    s.note_on(slope, (up * 0.75, -thick / 2.0), format!("board {carried} up the slope, screwed to the rafters"));
    s.note_on(slope, (foot + 15.0, FILLET * 0.4), "tilting fillet, under the laminate");
    let over_fillet = [(6.0, 5.0), (foot - 5.0, 5.0), (foot - 5.0, FILLET + 6.0), (foot + 68.0, 5.0), (up, 5.0)];
    let mut laminate = vec![(LEFT, 8.0), (-6.0, 8.0)];
    laminate.extend(over_fillet.map(|(along, off)| slope.at(along, off)));
    s.path(&laminate, LAMINATE);
    let half = mm(build.rules.bandage_joint) / 2.0;
    s.path(&[(-half, 3.0), (0.0, 3.0), slope.at(half, 3.0)], dashes(Ink::Black, 1.4, 3.0, 2.0));
    s.note(-half + 8.0, 3.0, format!("bandage {} on the joint", build.rules.bandage_joint));
    s.note_on(slope, (up - 8.0, 5.0), format!("laminate carried {carried} up the slope, over the fillet"));
    let underlay = [(foot - 12.0, FILLET + 11.0), (foot + 72.0, 11.0), (top, 11.0)];
    s.along_slope(slope, &underlay, dashes(Ink::Black, 1.2, 4.0, 2.0));
    s.note_on(slope, (up + lap * 0.6, 11.0), "underlay, down over the laminate");
    match build.under {
        Some(tiles) => courses(s, slope, tiles, (foot, top)),
        None => s.note_on(slope, (up + lap, 11.0), "covering of the roof above, laid again over it"),
    }
}

/// The rafters under a deck that comes up: they go on down to where the old deck met them, and the new one runs on over them.
fn rafters_below(s: &mut DrawnSection, slope: Slope, tiles: UnderTiles, thick: f64) {
    let tan = slope.sin / slope.cos.max(0.01);
    let top = |x: f64| x * tan - thick / slope.cos.max(0.2);
    let from = (-mm(tiles.further_back())).max(LEFT);
    let to = (thick / slope.cos.max(0.2) - s.board) / tan.max(0.01);
    if to <= from {
        return;
    }
    let deep = 90.0 / slope.cos.max(0.2);
    let ring = [(from, top(from)), (to, top(to)), (to, top(to) - deep), (from, top(from) - deep)];
    let spots = ring.iter().map(|&(x, y)| s.at(x, y)).collect();
    s.sheet.area(vec![spots], Some(Ink::Grey(0.93)), Some(pen(Ink::Black, 0.6)));
    s.note(
        from * 0.6,
        top(from * 0.6) - deep * 0.4,
        format!(
            "rafters below: the deck runs {}{} further back over them than the old one",
            if tiles.rises_alike() { "" } else { "up to " },
            tiles.further_back()
        ),
    );
}

/// Thickness at which the board up the slope is drawn, and height of the tilting fillet, mm.
const SLOPE_BOARD: f64 = 12.0;
const FILLET: f64 = 40.0;

/// How far the lowest tails reach past the fillet's foot, mm.
const TAIL: f64 = 45.0;

/// How long a tile or slate is: its gauge, and what of it lies under the course or the two courses above.
fn length_of(tiles: UnderTiles) -> f64 {
    let gauge = tiles.gauge.as_mm() as f64;
    match tiles.covering {
        PitchedCovering::PlainTiles => gauge * 2.0 + 65.0,
        PitchedCovering::InterlockingTiles => gauge + 75.0,
        PitchedCovering::Slates => gauge * 2.0 + 100.0,
    }
}

/// The courses that are laid again, each on its batten, the lowest tilted by the fillet.
fn courses(s: &mut DrawnSection, slope: Slope, tiles: UnderTiles, (foot, top): (f64, f64)) {
    let gauge = tiles.gauge.as_mm() as f64;
    let long = length_of(tiles);
    let tails = (0..).map(|n| foot - TAIL + gauge * f64::from(n)).take_while(|tail| tail + gauge < top);
    let tails: Vec<f64> = tails.collect();
    for tail in &tails {
        let head = (tail + long).min(top + 20.0);
        if tail + long < top {
            let on = head - 45.0;
            s.on_slope(slope, &[(on, 13.0), (on + 38.0, 13.0), (on + 38.0, 36.0), (on, 36.0)], Ink::White);
        }
        s.along_slope(slope, &[(*tail, FILLET + 24.0), (head, 40.0)], pen(Ink::Grey(0.2), 2.0));
    }
    let (words, gauge_words) = (tiles.covering.words(), tiles.gauge);
    if let Some(first) = tails.first() {
        s.note_on(slope, (first + 10.0, FILLET + 22.0), format!("{words} laid again, gauge {gauge_words}"));
    }
    let batten = tails.iter().map(|tail| tail + long).find(|head| *head < top);
    if let Some(head) = batten {
        s.note_on(slope, (head - 26.0, 25.0), "new battens");
    }
}

/// The gutter beyond the roof's edge, at its outlet, where it is deepest: boards, fillets, lining, and the parapet with
/// its flashing.
fn box_gutter(s: &mut DrawnSection, build: Build<'_>) {
    let Some(gutter) = build.box_gutter else { return s.roof(0.0, 0.0, 0.0) };
    let (wide, deep, up) = (mm(gutter.width), mm(gutter.deep()), mm(gutter.up));
    let (board, fillet) = (mm(build.board), mm(build.rules.gutter_fillet));
    let far = board + wide;
    let foot = -deep - board;
    // Both ledgers lie under the bearers: the joists' ends reach down to theirs.
    let (bearer, ledger) = (foot - TIMBER, foot - 2.0 * TIMBER);
    s.joist = (-s.board - s.below() - ledger + 10.0).max(JOIST);
    s.roof(0.0, 0.0, 0.0);
    let chase = build.cut_in.map_or(up + 40.0, |cut| mm(cut.chase.at));
    s.block((far + board, far + board + 70.0), (ledger - 10.0, chase + 50.0), Ink::Grey(0.9));
    s.block((0.0, board), (foot, 0.0), Ink::Grey(0.8));
    s.block((far, far + board), (foot, up), Ink::Grey(0.8));
    // The outlet, clear of the fillet on the roof's side where the sole has room for that.
    let mouth = build.outlet.map(|size| {
        let pipe = mm(size).min(wide);
        let from = board + (fillet + 25.0).min((wide - pipe) / 2.0);
        (size, from, from + pipe)
    });
    let beside = mouth.map_or_else(|| vec![(board, far)], |(_, from, to)| vec![(board, from), (to, far)]);
    for (from, to) in beside {
        s.block((from, to), (foot, -deep), Ink::Grey(0.8));
        // A bearer lies under the sides too.
        let ends = (if from <= board { 0.0 } else { from }, if to >= far { far + board } else { to });
        s.block(ends, (bearer, foot), Ink::White);
    }
    for x in [(0.0, TIMBER), (far + board - TIMBER, far + board)] {
        s.block(x, (ledger, bearer), Ink::Grey(0.93));
    }
    for (x, way) in [(board, 1.0), (far, -1.0)] {
        let ring = [(x, -deep), (x + way * fillet, -deep), (x, -deep + fillet)];
        let spots = ring.iter().map(|(x, y)| s.at(*x, *y)).collect();
        s.sheet.area(vec![spots], Some(Ink::Grey(0.85)), Some(pen(Ink::Black, 0.6)));
    }
    let half = mm(build.rules.bandage_trim) / 2.0;
    let strip = || dashes(Ink::Black, 1.4, 3.0, 2.0);
    s.path(&[(board - half, 2.5), (board + 2.5, 2.5), (board + 2.5, -half.min(deep - fillet))], strip());
    for (x, way) in [(board, 1.0), (far, -1.0)] {
        let out = (half * 0.5).min(20.0);
        let up = (x + way * 2.5, -deep + fillet + 1.0);
        let along = (x + way * (fillet + 1.0), -deep + 2.5);
        s.path(&[(up.0, up.1 + out), up, along, (along.0 + way * out, along.1)], strip());
    }
    let words =
        format!("bandage {}: in both corners under the lining, over the lip with the deck", build.rules.bandage_trim);
    s.note(board - half * 0.9, 2.5, words);
    s.note(board * 0.5, -deep * 0.75, "side board, its top flush with the deck");
    let near = [(board + 5.0, 2.0), (board + 5.0, -deep + fillet + 3.0), (board + fillet + 3.0, -deep + 5.0)];
    let beyond = [(far - fillet - 3.0, -deep + 5.0), (far - 5.0, -deep + fillet + 3.0), (far - 5.0, up)];
    match mouth {
        Some((size, from, to)) => {
            s.block((from, to), (ledger - 10.0, -deep), Ink::White);
            let down = |x: f64| [(x, -deep + 5.0), (x, foot + 2.0)];
            s.path(&[&near[..], &down(from + 4.0)].concat(), LAMINATE);
            let up_again: Vec<(f64, f64)> = down(to - 4.0).into_iter().rev().chain(beyond).collect();
            s.path(&up_again, LAMINATE);
            s.note(f64::midpoint(from, to), foot - 27.0, format!("outlet {size} across, the lining laid into it"));
        }
        None => s.path(&[near, beyond].concat(), LAMINATE),
    }
    let down = mm(build.rules.mat_return.gutter);
    s.path(&[(LEFT, 8.0), (board + 11.0, 8.0), (board + 11.0, -down)], LAMINATE);
    s.note(
        board + 11.0,
        -down * 0.6,
        format!("roof\u{2019}s laminate laps {} down over the lining", build.rules.mat_return.gutter),
    );
    let layers = build.rules.gutter_layers;
    let of = if layers == 1 { "1 layer".to_owned() } else { format!("{layers} layers") };
    s.note(board + wide * 0.7, -deep + 5.0, format!("lining of {of} at least, laid before the roof\u{2019}s"));
    s.note(board + fillet * 0.4, -deep + fillet * 0.4, format!("fillet {}", build.rules.gutter_fillet));
    s.note(
        board + wide * 0.78,
        foot + board * 0.5,
        format!(
            "sole {} wide, falls to the outlet; {} deep here, {} at its shallow end",
            gutter.width,
            gutter.deep(),
            gutter.shallow()
        ),
    );
    s.note(
        board + wide * 0.86,
        foot - 24.0,
        format!("bearer every {} at most, set to the fall", build.rules.gutter_bearer),
    );
    let both = f64::midpoint(bearer, ledger);
    s.note(TIMBER * 0.5, both, "ledger screwed to the joists\u{2019} ends: bearers lie on it");
    let plugged = format!("ledger plugged to the parapet every {}", build.rules.masonry_fixing);
    s.note(far + board - TIMBER * 0.5, both, plugged);
    s.note(far + board * 0.5, up * 0.5, format!("parapet side, {} above the roof", gutter.up));
    if build.flashing.is_cut_in() {
        let (cover, depth) = (mm(build.rules.flashing_cover), mm(build.rules.chase_depth));
        let x = far + board;
        let strip =
            build.cut_in.map_or(depth + (chase - up).max(0.0) + cover, |cut| mm(cut.strip.unwrap_or(cut.needs)));
        let turn = (chase - 8.0).max(up);
        s.path(
            &[(x + depth, chase + 4.0), (x - 6.0, chase), (far - 11.0, turn), (far - 11.0, chase - (strip - depth))],
            pen(Ink::Grey(0.25), 2.4),
        );
        s.note(x - 2.0, chase + 1.0, flashing_words(build).replace("fillet", "lining"));
        s.note(x + depth, chase + 4.0, chase_words(build));
    }
}

fn mm(length: Length) -> f64 {
    length.as_mm() as f64
}
