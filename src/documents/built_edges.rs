//! The edges as they are built: a section for each way in which a job's edges are built, side by side where they are drawn for that.
//!
//! Given what was worked; gives drawings, for the crew that builds them and for the householder who has them.

use super::drawings::sections::{self, Build, CutIn, NewKerb};
use super::whole_job::WholeJob;
use super::wording;
use crate::model::build_up::{BuildUp, MaterialLayer};
use crate::model::job::By;
use crate::model::shape::{DeckAction, HoleForm};
use crate::model::{Finish, Hole, Length, Point, Roof, UnderTiles};
use crate::pages::block::{Block, Figure};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::falls::{self, upstand_left};
use crate::takeoff::layout::flashings::{FlashedPlace, WallFlashing};
use rust_decimal::prelude::ToPrimitive;

/// A section of every edge, wall and kerb of this job, those built alike once, for a page of that width, pt.
pub fn edge_sections(worked: &WholeJob<'_>, width: f64) -> Vec<Figure> {
    let all: Vec<Alike<'_>> =
        Finish::ALL.into_iter().flat_map(|finish| alike(finish, places(worked, finish))).collect();
    let words: Vec<OwnWords> = all.iter().map(|alike| OwnWords::of(worked, alike, &all)).collect();
    let told = |(alike, words)| (Alike::finish(alike), OwnWords::told(words, alike.drawn()));
    sections::draw_all(&all.iter().zip(&words).map(told).collect::<Vec<_>>(), width)
}

/// What a section can be drawn of: its roof, its name there, and how it is built.
struct BuiltPlace<'a> {
    roof: usize,
    name: &'a str,
    build: Build<'a>,
}

/// Places of one finish whose parts are alike: the first has the deepest firrings and is drawn. How deep those are, how high
/// a flashing is cut in and how wide it is, is told of each.
struct Alike<'a> {
    finish: Finish,
    places: Vec<BuiltPlace<'a>>,
}

impl<'a> Alike<'a> {
    const fn finish(&self) -> Finish {
        self.finish
    }

    fn drawn(&self) -> Build<'a> {
        self.places[0].build
    }

    fn title(&self) -> &'static str {
        sections::title(self.finish, self.drawn())
    }
}

fn alike(finish: Finish, places: Vec<BuiltPlace<'_>>) -> Vec<Alike<'_>> {
    let mut all: Vec<Alike<'_>> = Vec::new();
    for place in places {
        match all.iter_mut().find(|alike| sections::have_like_parts(alike.drawn(), place.build)) {
            Some(alike) => alike.places.push(place),
            None => all.push(Alike { finish, places: vec![place] }),
        }
    }
    let deep = |place: &BuiltPlace<'_>| place.build.firrings.map_or(Length::ZERO, |(_, most)| most);
    for alike in &mut all {
        let deepest = alike.places.iter().map(deep).max();
        let first = alike.places.iter().position(|place| Some(deep(place)) == deepest).unwrap_or(0);
        alike.places[..=first].rotate_right(1);
    }
    all
}

/// What is said of places that are built alike: where they are, and what differs from one to the other.
struct OwnWords {
    name: Option<String>,
    opening: Option<String>,
    firrings: Option<String>,
    chase: Option<String>,
    strip: Option<String>,
}

impl OwnWords {
    fn of(worked: &WholeJob<'_>, alike: &Alike<'_>, all: &[Alike<'_>]) -> OwnWords {
        let (places, several) = (&alike.places, worked.job.roofs.len() > 1);
        let like = |other: &&Alike<'_>| other.title() == alike.title();
        let of_title: Vec<&BuiltPlace<'_>> = all.iter().filter(like).flat_map(|other| &other.places).collect();
        let named = Named { several, all: &of_title };
        let own: Vec<&BuiltPlace<'_>> = places.iter().collect();
        let of_one_roof = several && places.iter().all(|place| place.roof == places[0].roof);
        let name = if places.len() < of_title.len() {
            Some(named.list(&own))
        } else {
            of_one_roof.then(|| worked.job.roofs[places[0].roof].name.clone())
        };
        let heights = named.each(&own, |build| build.cut_in.map(|_| sections::chase_height(build)));
        let widths = named.each(&own, |build| {
            build.cut_in.and_then(|cut| cut.strip).map(|_| sections::strip_words(build).trim().to_owned())
        });
        OwnWords {
            name,
            opening: places[0]
                .build
                .opening
                .map(|_| wording::list(&wording::once(own.iter().map(|p| p.name.to_owned())))),
            firrings: firrings_of_each(&named, &own),
            chase: heights.map(|each| few(each).unwrap_or_else(|| chases_between(&named, &own))),
            strip: widths.map(|each| few(each).unwrap_or_else(|| strips_between(&own))),
        }
    }

    fn told<'b>(&'b self, build: Build<'b>) -> Build<'b> {
        Build {
            name: self.name.as_deref(),
            opening: self.opening.as_deref(),
            firring_words: self.firrings.as_deref(),
            chase_words: self.chase.as_deref(),
            strip_words: self.strip.as_deref(),
            ..build
        }
    }
}

/// How places are named among all of their title.
struct Named<'a, 'b> {
    several: bool,
    all: &'b [&'b BuiltPlace<'a>],
}

impl Named<'_, '_> {
    /// `left and right`, or, where there are several roofs, the names of those whose places are all among these, and `back of
    /// Garage` of any other.
    fn list(&self, some: &[&BuiltPlace<'_>]) -> String {
        let whole = |roof: usize| {
            let of_roof = |places: &[&BuiltPlace<'_>]| places.iter().filter(|place| place.roof == roof).count();
            of_roof(some) == of_roof(self.all)
        };
        let name = |place: &&BuiltPlace<'_>| match (self.several, place.build.roof) {
            (true, Some(roof)) if whole(place.roof) => roof.to_owned(),
            (true, Some(roof)) => format!("{} of {roof}", place.name),
            _ => place.name.to_owned(),
        };
        let names = wording::once(some.iter().map(name));
        let more = names.len().saturating_sub(MOST_NAMES);
        match more {
            0 | 1 => wording::list(&names),
            _ => format!("{} and {more} more", names[..MOST_NAMES].join(", ")),
        }
    }

    /// `65 mm at garage side`, for each value with its places; nothing where all have one, or none.
    fn each(&self, some: &[&BuiltPlace<'_>], value: impl Fn(Build<'_>) -> Option<String>) -> Option<Vec<String>> {
        let mut values: Vec<(String, Vec<&BuiltPlace<'_>>)> = Vec::new();
        for place in some {
            let Some(own) = value(place.build) else { continue };
            match values.iter_mut().find(|(same, _)| *same == own) {
                Some((_, places)) => places.push(place),
                None => values.push((own, vec![place])),
            }
        }
        let words = |(value, places): &(String, Vec<&BuiltPlace<'_>>)| format!("{value} at {}", self.list(places));
        (values.len() > 1).then(|| values.iter().map(words).collect())
    }
}

/// So many names stand in a title, and so many values in the words of one part.
const MOST_NAMES: usize = 3;
const MOST_VALUES: usize = 4;

fn few(each: Vec<String>) -> Option<String> {
    (each.len() <= MOST_VALUES).then(|| each.join("; "))
}

/// `firring: 65 mm at yard; none at front`, where edges differ.
fn firrings_of_each(named: &Named<'_, '_>, own: &[&BuiltPlace<'_>]) -> Option<String> {
    let words = |build: Build<'_>| match build.firrings {
        None => "none".to_owned(),
        Some((least, most)) if least == most => most.to_string(),
        Some((least, most)) => format!("{} to {most}", least.as_mm()),
    };
    let each = named.each(own, |build| Some(words(build)))?;
    let least = own.iter().map(|p| p.build.firrings.map_or(0, |(least, _)| least.as_mm())).min().unwrap_or_default();
    let most = own.iter().filter_map(|p| Some(p.build.firrings?.1)).max().unwrap_or_default();
    let between = || format!("firring, {least} to {most}: each as cut for its joist");
    Some(few(each).map_or_else(between, |each| format!("firring: {each}")))
}

/// Of more chases than are told one by one: between which heights they are, and which are lower than they should be.
fn chases_between(named: &Named<'_, '_>, own: &[&BuiltPlace<'_>]) -> String {
    let chases = || own.iter().filter_map(|place| Some((*place, place.build.cut_in?.chase)));
    let least = chases().map(|(_, chase)| chase.at.as_mm()).min().unwrap_or_default();
    let most = chases().map(|(_, chase)| chase.most).max().unwrap_or_default();
    let low: Vec<&BuiltPlace<'_>> =
        chases().filter(|(p, chase)| chase.at < p.build.rules.least_upstand).map(|(p, _)| p).collect();
    let too_low = match low.first() {
        Some(place) => sections::less_than_asked(place.build) + " at " + &named.list(&low),
        None => String::new(),
    };
    format!("{least} to {most} above the roof: each wall\u{2019}s own with the flashing{too_low}")
}

/// The same of strips.
fn strips_between(own: &[&BuiltPlace<'_>]) -> String {
    let strips = || own.iter().filter_map(|place| place.build.cut_in?.strip);
    let (least, most) = (strips().min().unwrap_or_default(), strips().max().unwrap_or_default());
    format!("{} to {most} wide, each wall\u{2019}s own", least.as_mm())
}

/// Every place of a finish, in the order of their sections.
fn places<'a>(worked: &WholeJob<'a>, finish: Finish) -> Vec<BuiltPlace<'a>> {
    match finish {
        Finish::Wall => walls(worked),
        Finish::Gutter => box_gutters(worked),
        Finish::Kerb => kerbs(worked),
        Finish::Drip => {
            let mut edges = edges(worked, finish);
            edges.sort_by_key(|place| place.build.gutter.is_none());
            edges
        }
        Finish::Raised | Finish::Step => edges(worked, finish),
    }
}

/// What every section of a roof is drawn from: its boards, its insulation, its old deck.
fn of_roof<'a>(worked: &WholeJob<'a>, i: usize) -> Build<'a> {
    let roof = &worked.job.roofs[i];
    let (board, over, deck) = built_up(worked, roof);
    Build { roof: Some(&roof.name), deck, over, ..Build::new(worked.rules, board) }
}

/// Thickness of the board that is laid, thicknesses over it in a warm roof, and what becomes of the old deck.
type BuiltUp = (Length, Option<(Length, Length)>, DeckAction);

fn built_up(worked: &WholeJob<'_>, roof: &Roof) -> BuiltUp {
    let board = roof.deck.board.as_ref().and_then(|key| worked.products.boards.get(key));
    let thickness = board.map_or(Length::mm(18), |b| b.thickness);
    (thickness, roof.build_up.as_ref().and_then(layers_over), roof.deck.action)
}

/// Each roof with its layout and its index.
fn roofs<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = (usize, &'a Roof, &'a RoofLayout)> {
    worked.job.roofs.iter().zip(&worked.take_off.roofs).enumerate().map(|(i, (roof, laid))| (i, roof, laid))
}

/// At each edge of a finish: over its gutter, under its tiles.
fn edges<'a>(worked: &WholeJob<'a>, finish: Finish) -> Vec<BuiltPlace<'a>> {
    let of = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        let sides = roof.outline.edges.iter().zip(&laid.shape.sides).enumerate();
        let of_finish = sides.filter(move |(_, (edge, _))| edge.finish == finish);
        of_finish.map(move |(at, (edge, side))| {
            let under = edge.under.map(|tiles| UnderTiles { by: By::Us, ..tiles });
            let build =
                Build { gutter: edge.gutter.as_ref(), under, firrings: firrings(worked, i, at), ..of_roof(worked, i) };
            BuiltPlace { roof: i, name: &side.label, build }
        })
    };
    roofs(worked).flat_map(of).collect()
}

/// Through each box gutter.
fn box_gutters<'a>(worked: &WholeJob<'a>) -> Vec<BuiltPlace<'a>> {
    let of = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        laid.box_gutters.iter().map(move |gutter| {
            let cut = laid.flashings.iter().find(|f| f.place == FlashedPlace::Side(gutter.side));
            let outlet = roof.outline.edges.get(gutter.side).and_then(|e| e.box_gutter.as_ref()).map(|g| g.outlet.size);
            let firrings = firrings(worked, i, gutter.side);
            let build = Build { box_gutter: Some(gutter), outlet, firrings, ..of_roof(worked, i) };
            let build = cut.map_or(build, |cut| flashed(worked, roof, build, cut));
            BuiltPlace { roof: i, name: &laid.shape.sides[gutter.side].label, build }
        })
    };
    roofs(worked).flat_map(of).collect()
}

/// At each kerb, new ones first: its timber where it is built new, how far it stands above the roof, and what it stands on.
fn kerbs<'a>(worked: &WholeJob<'a>) -> Vec<BuiltPlace<'a>> {
    let on_kerb = |h: &Hole| h.finish == Finish::Kerb && !matches!(h.form, HoleForm::Round { .. });
    let of = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        roof.holes.iter().enumerate().filter(move |(_, hole)| on_kerb(hole)).map(move |(at, hole)| {
            let new = laid.openings.kerbs.iter().find(|(kerbed, _)| *kerbed == at);
            let kerb = new.and_then(|&(_, depth)| {
                Some(NewKerb { section: hole.timber.kerb?, depth, trimmers: hole.timber.trimmers })
            });
            let (name, firrings) = (hole.name.as_str(), firrings_round(worked, i, at));
            let kept = laid.openings.kept.iter().find(|kept| kept.hole == at);
            let kerb_left = kept.and_then(|kept| kept.lacks(worked.rules.mat_return.kerb));
            let build = Build { opening: Some(name), kerb, kerb_left, firrings, ..of_roof(worked, i) };
            BuiltPlace { roof: i, name, build }
        })
    };
    let mut all: Vec<BuiltPlace<'a>> = roofs(worked).flat_map(of).collect();
    all.sort_by_key(|place| place.build.kerb.is_none());
    all
}

/// At each plain wall and chimney, those that we flash first, under each door sill, over each parapet.
fn walls<'a>(worked: &WholeJob<'a>) -> Vec<BuiltPlace<'a>> {
    let sides = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        laid.shape.sides.iter().enumerate().filter(|(_, side)| side.finish == Finish::Wall).map(move |(at, side)| {
            let build =
                Build { sill: side.sill, coped: side.coped, firrings: firrings(worked, i, at), ..of_roof(worked, i) };
            let build =
                if side.is_plain_wall() { plain(worked, (roof, laid), FlashedPlace::Side(at), build) } else { build };
            BuiltPlace { roof: i, name: &side.label, build }
        })
    };
    let chimneys = |(i, roof, laid): (usize, &'a Roof, &'a RoofLayout)| {
        let all = laid.shape.holes.iter().enumerate().filter(|(_, h)| h.finish == Finish::Wall && !h.round);
        all.map(move |(at, hole)| {
            let build = Build { firrings: firrings_round(worked, i, at), ..of_roof(worked, i) };
            let build = plain(worked, (roof, laid), FlashedPlace::Hole(at), build);
            BuiltPlace { roof: i, name: &hole.name, build }
        })
    };
    let mut all: Vec<BuiltPlace<'a>> = roofs(worked).flat_map(sides).chain(roofs(worked).flat_map(chimneys)).collect();
    let rank = |place: &BuiltPlace<'a>| {
        let Build { cut_in, sill, coped, .. } = place.build;
        let theirs = place_is_flashed_by(worked, place) == By::Others;
        (coped.is_some(), sill.is_some(), cut_in.is_none(), theirs)
    };
    all.sort_by_key(rank);
    all
}

fn place_is_flashed_by(worked: &WholeJob<'_>, place: &BuiltPlace<'_>) -> By {
    worked.job.flashing_of(&worked.job.roofs[place.roof])
}

/// A plain wall or chimney, with the flashing that is cut in, or how high the wall stands where none is.
fn plain<'a>(
    worked: &WholeJob<'a>,
    (roof, laid): (&'a Roof, &'a RoofLayout),
    place: FlashedPlace,
    build: Build<'a>,
) -> Build<'a> {
    match (laid.flashings.iter().find(|cut| cut.place == place), place) {
        (Some(cut), _) => flashed(worked, roof, build, cut),
        (None, FlashedPlace::Side(side)) => {
            let board = roof.deck.board.as_ref().and_then(|kind| worked.products.boards.get(kind));
            Build { upstand: upstand_left(&laid.shape, roof, worked.rules, board, side), ..build }
        }
        (None, FlashedPlace::Hole(_)) => build,
    }
}

/// The same with its flashing; its strip is told where we bring it.
fn flashed<'a>(worked: &WholeJob<'a>, roof: &Roof, build: Build<'a>, cut: &WallFlashing) -> Build<'a> {
    let ours = worked.job.flashing_of(roof) == By::Us;
    let cut_in = CutIn { chase: cut.chase, needs: cut.width, strip: cut.sold.filter(|_| ours) };
    Build { flashing: cut.kind, cut_in: Some(cut_in), ..build }
}

/// How deep the firrings on the joists are along a side of a roof, at least and at most; none where there are none.
fn firrings(worked: &WholeJob<'_>, i: usize, side: usize) -> Option<(Length, Length)> {
    let side = worked.take_off.roofs.get(i)?.shape.sides.get(side)?;
    firrings_at(worked, i, &[side.from, side.to])
}

/// The same round an opening or a chimney.
fn firrings_round(worked: &WholeJob<'_>, i: usize, hole: usize) -> Option<(Length, Length)> {
    firrings_at(worked, i, &worked.take_off.roofs.get(i)?.shape.holes.get(hole)?.ring)
}

fn firrings_at(worked: &WholeJob<'_>, i: usize, at: &[Point]) -> Option<(Length, Length)> {
    let (roof, laid) = (worked.job.roofs.get(i)?, worked.take_off.roofs.get(i)?);
    roof.firred()?;
    let lift = falls::lift(&laid.shape, roof, worked.rules);
    let deep = || at.iter().map(|p| falls::height(&laid.shape, roof, *p) + lift);
    let (least, most) = (deep().min()?, deep().max()?);
    (most > Length::ZERO && most >= worked.rules.firring_toe).then_some((least, most))
}

/// Thicknesses of the insulation and of the board over it, to the nearest millimetre.
fn layers_over(build_up: &BuildUp) -> Option<(Length, Length)> {
    let mm = |sheet: &MaterialLayer| sheet.thickness.as_mm().round().to_i64().map(Length::mm);
    Some((mm(&build_up.insulation.as_ref()?.sheet)?, mm(build_up.overlay.as_ref()?)?))
}

/// Sections side by side in two columns, each where the columns are shorter, where they are drawn for that; a wider one
/// alone. Where both columns end at about one height, and more than one comes after them, a page may end too.
pub fn in_pairs(all: Vec<Figure>) -> Vec<Block> {
    let narrow = |figure: &Figure| figure.scene.width <= sections::HALF.width;
    let (paired, alone): (Vec<Figure>, Vec<Figure>) = all.into_iter().partition(narrow);
    let mut blocks = Vec::new();
    let (mut columns, mut heights) = (vec![Vec::new(); 2], [0.0_f64; 2]);
    for (after, figure) in (0..paired.len()).rev().zip(paired) {
        let shorter = usize::from(heights[1] < heights[0]);
        let height = figure.scene.height + CAPTION;
        let even = (after > 0 || !alone.is_empty()) && (heights[0] - heights[1]).abs() < EVEN;
        if heights[shorter] > 0.0 && (even || heights[shorter] + height > TALLEST) {
            blocks.push(Block::Columns(std::mem::replace(&mut columns, vec![Vec::new(); 2])));
            heights = [0.0; 2];
        }
        let shorter = if heights == [0.0; 2] { 0 } else { shorter };
        heights[shorter] += height;
        columns[shorter].push(Block::Figure(figure));
    }
    if heights[0] > 0.0 {
        blocks.push(Block::Columns(columns));
    }
    blocks.into_iter().chain(alone.into_iter().map(Block::Figure)).collect()
}

/// What a caption and the space round a section take, and how tall a column of sections may be, pt.
const CAPTION: f64 = 30.0;
const TALLEST: f64 = 500.0;
/// Columns whose ends lie nearer to one another than that are even, pt.
const EVEN: f64 = 10.0;
