//! Works: the one typed list of what a job promises, from which everything downstream hangs.
//!
//! Given a job; gives each work with its kind, its place and who does it. A line of the take-off, a need, an hour, a
//! cost, a step, a sentence and a hazard each name the work that they belong to: what has no work does not exist. What
//! only the layout can know (noggins, how a corner is made) joins the list when the roof has been laid out.

pub mod check;
pub mod faces;
pub mod kind;
pub mod record;
pub mod varied;

pub use check::RoofCheck;
pub use faces::{Faces, Norm, WorkFace};
pub use kind::{Operation, WorkKind};
pub use varied::VariedWork;

use crate::model::build_up::RoofKind;
use crate::model::goods::Goods;
use crate::model::job::{By, Forced};
use crate::model::old_roof::{PatchEdge, RecoatKey};
use crate::model::shape::DeckAction;
use crate::model::{Access, Cover, Covering, Finish, Hole, HoleForm, Job, OldRoof, Roof, Tipping};

/// Who does a work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doer {
    /// The firm, and it is in the price.
    Us,
    /// Somebody else; the crew must know whom it waits for.
    Others,
    /// Nobody yet: it is not in the price, and the quote says so.
    NotInPrice,
}

impl Doer {
    /// In a word, as lists write it.
    pub const fn words(self) -> &'static str {
        match self {
            Doer::Us => "us",
            Doer::Others => "others",
            Doer::NotInPrice => "not in the price",
        }
    }
}

/// Where a work is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// On the whole job.
    Job,
    /// On a roof that is laid anew, by its place in the job.
    Roof(usize),
    /// At an edge of a roof.
    Edge(usize, usize),
    /// At a hole of a roof.
    Hole(usize, usize),
    /// On a roof whose laminate stays, by its place among those.
    OldRoof(usize),
}

impl Place {
    /// The roof that is laid anew, where it is on one.
    pub const fn roof(self) -> Option<usize> {
        match self {
            Place::Job | Place::OldRoof(_) => None,
            Place::Roof(roof) | Place::Edge(roof, _) | Place::Hole(roof, _) => Some(roof),
        }
    }

    /// The place of a roof by its name, of either kind; the whole job where none is named.
    fn of(roof: Option<&str>, job: &Job) -> Place {
        let new = || job.roofs.iter().position(|r| Some(r.name.as_str()) == roof).map(Place::Roof);
        let old = || job.old_roofs.iter().position(|r| Some(r.name.as_str()) == roof).map(Place::OldRoof);
        new().or_else(old).unwrap_or(Place::Job)
    }

    /// Whether it is on that roof whose laminate stays, or on the job as a whole.
    fn is_old(self, roof: usize) -> bool {
        self == Place::Job || self == Place::OldRoof(roof)
    }

    /// The roof by its name, of either kind, where it is on one.
    pub fn name_of(self, job: &Job) -> Option<&str> {
        match self {
            Place::OldRoof(i) => job.old_roofs.get(i).map(|r| r.name.as_str()),
            place => place.roof().and_then(|i| job.roofs.get(i)).map(|r| r.name.as_str()),
        }
    }
}

/// One work of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Work {
    /// What.
    pub kind: WorkKind,
    /// Where.
    pub place: Place,
    /// By whom.
    pub by: Doer,
}

/// The works of a job, in the order of the work, each once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Works(Vec<Work>);

/// What only the layout can know to be there.
pub const FOUND_BY_LAYOUT: [WorkKind; 9] = [
    WorkKind::Firrings,
    WorkKind::EdgeBattens,
    WorkKind::EdgeBattensOver,
    WorkKind::Noggins,
    WorkKind::EdgeJoists,
    WorkKind::Vents,
    WorkKind::PreformedCorners,
    WorkKind::CutCorners,
    WorkKind::Closures,
];

impl Works {
    fn new(mut works: Vec<Work>) -> Works {
        works.sort();
        works.dedup();
        Works(works)
    }

    /// The same list with what the layout found, on the roofs where it found it.
    pub fn with_found(self, found: impl IntoIterator<Item = (WorkKind, usize)>) -> Works {
        let found = found.into_iter().filter(|(kind, _)| FOUND_BY_LAYOUT.contains(kind));
        let found = found.map(|(kind, roof)| Work { kind, place: Place::Roof(roof), by: Doer::Us });
        self.0.into_iter().chain(found).collect()
    }

    /// Every work.
    pub fn iter(&self) -> impl Iterator<Item = &Work> {
        self.0.iter()
    }

    /// The works that the firm does.
    pub fn ours(&self) -> impl Iterator<Item = &Work> {
        self.0.iter().filter(|w| w.by == Doer::Us)
    }

    /// Whether the firm does a work of this kind anywhere.
    pub fn has(&self, kind: WorkKind) -> bool {
        self.ours().any(|w| w.kind == kind)
    }

    /// Whether the firm does a work of this kind on a roof, or on the job as a whole.
    pub fn has_on(&self, kind: WorkKind, roof: usize) -> bool {
        self.ours().any(|w| w.kind == kind && (w.place == Place::Job || w.place.roof() == Some(roof)))
    }

    /// Whether the firm does a work of this kind on a roof whose laminate stays, or on the job as a whole.
    pub fn has_on_old(&self, kind: WorkKind, roof: usize) -> bool {
        self.ours().any(|w| w.kind == kind && w.place.is_old(roof))
    }

    /// Whether somebody else does a work of this kind.
    pub fn by_others(&self, kind: WorkKind) -> bool {
        self.0.iter().any(|w| w.kind == kind && w.by == Doer::Others)
    }

    /// The kinds that the firm does, each once, in the order of the work.
    pub fn kinds(&self) -> Vec<WorkKind> {
        let mut kinds: Vec<WorkKind> = self.ours().map(|w| w.kind).collect();
        kinds.dedup();
        kinds
    }
}

impl FromIterator<Work> for Works {
    fn from_iter<I: IntoIterator<Item = Work>>(works: I) -> Works {
        Works::new(works.into_iter().collect())
    }
}

/// The works that a job promises.
pub fn of(job: &Job) -> Works {
    let mut works = of_job(job);
    for (index, roof) in job.roofs.iter().enumerate() {
        works.extend(of_roof(job, roof, index));
    }
    for (index, roof) in job.old_roofs.iter().enumerate() {
        works.extend(of_old_roof(roof, index));
    }
    works.into_iter().collect()
}

/// Where the laminate stays, nothing is done but to its patches and its face.
fn of_old_roof(roof: &OldRoof, index: usize) -> Vec<Work> {
    let patched = !roof.patches.is_empty();
    let recoated = roof.recoat.is_some();
    let primed = roof.recoat.is_some_and(|r| r.key == RecoatKey::Prime);
    let kinds = [
        (WorkKind::WashOld, recoated),
        (WorkKind::SheetBelow, true),
        (WorkKind::CutBack, patched),
        (WorkKind::PatchDeck, roof.patches.iter().any(|p| p.deck.is_some())),
        (WorkKind::PatchEdge, roof.patches.iter().any(|p| p.edge.is_some_and(PatchEdge::is_worked))),
        (WorkKind::PatchLaminate, patched),
        (WorkKind::CleanDown, recoated),
        (WorkKind::PrimeOld, primed),
        (WorkKind::Recoat, recoated),
        (WorkKind::PatchTopcoat, !recoated),
        (WorkKind::GripAnew, roof.topcoat.finish.aggregate.is_some()),
    ];
    kinds.into_iter().filter(|k| k.1).map(|(kind, _)| us(kind, Place::OldRoof(index))).collect()
}

fn us(kind: WorkKind, place: Place) -> Work {
    Work { kind, place, by: Doer::Us }
}

/// The work behind an access question; the minimum charge is none.
pub const fn of_question(question: Access) -> Option<WorkKind> {
    match question {
        Access::Scaffold => Some(WorkKind::Scaffold),
        Access::Permits => Some(WorkKind::Permits),
        Access::Parking => Some(WorkKind::Parking),
        Access::RenderCutting => Some(WorkKind::RenderCutting),
        Access::Aerials => Some(WorkKind::Aerials),
        Access::DisturbedTiles => Some(WorkKind::DisturbedTiles),
        Access::MinimumCharge => None,
    }
}

fn of_job(job: &Job) -> Vec<Work> {
    let mut works: Vec<Work> =
        [WorkKind::WaterTest, WorkKind::ClearAway, WorkKind::HandOver].map(|k| us(k, Place::Job)).into();
    for question in Access::all() {
        let answer = job.answer(question);
        let by = if matches!(answer, Forced::Yes | Forced::Sum) { Doer::Us } else { Doer::NotInPrice };
        works.extend(of_question(question).map(|kind| Work { kind, place: Place::Job, by }));
    }
    if !job.extras.is_empty() {
        works.push(us(WorkKind::Extras, Place::Job));
    }
    // What the customer supplies is others' affair; the fitting of it is ours where it takes hours.
    let ours = |g: &Goods| g.bought().is_some() || g.hours.is_some();
    let by = |g: &Goods| [(Doer::Us, ours(g)), (Doer::Others, g.bought().is_none())];
    let by = job.goods.iter().flat_map(|g| by(g).map(|by| (by, Place::of(g.roof.as_deref(), job))));
    let by = by.filter(|((_, is), _)| *is);
    works.extend(by.map(|((by, _), place)| Work { kind: WorkKind::OwnGoods, place, by }));
    works.extend(cart_away(job));
    works
}

/// What goes the same way is taken away together: on the job as a whole, or on the only roof of several that it is from.
fn cart_away(job: &Job) -> Vec<Work> {
    let all = carts(job);
    let work = |cart: &Cart<'_>| {
        let by = if cart.tip.by_firm { Doer::Us } else { Doer::Others };
        Work { kind: WorkKind::CartAway, place: cart.place(job), by }
    };
    all.iter().map(work).collect()
}

/// What leaves the site one way, with the roofs that it comes off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cart<'a> {
    /// The way.
    pub tip: &'a Tipping,
    /// The roofs by their place in the job, each with its old covering.
    pub from: Vec<(usize, &'a Covering)>,
}

impl Cart<'_> {
    /// Where it belongs: to the only roof of several that it is from, else to the job.
    pub fn place(&self, job: &Job) -> Place {
        match self.from[..] {
            [(only, _)] if job.roofs.len() > 1 => Place::Roof(only),
            _ => Place::Job,
        }
    }
}

/// What is taken away, in the order of the roofs.
pub fn carts(job: &Job) -> Vec<Cart<'_>> {
    let mut all: Vec<Cart<'_>> = Vec::new();
    for (i, roof) in job.roofs.iter().enumerate() {
        let Some(strip) = job.strip_of(roof) else { continue };
        let from = (i, &strip.covering);
        match all.iter_mut().find(|cart| *cart.tip == strip.tip) {
            Some(cart) => cart.from.push(from),
            None => all.push(Cart { tip: &strip.tip, from: vec![from] }),
        }
    }
    all
}

fn of_roof(job: &Job, roof: &Roof, index: usize) -> Vec<Work> {
    let here = Place::Roof(index);
    let mut works: Vec<Work> =
        [WorkKind::Protect, WorkKind::Bandage, WorkKind::FirstLayer, WorkKind::Topcoat].map(|k| us(k, here)).into();
    let mut add = |wanted: bool, kind: WorkKind| works.extend(wanted.then(|| us(kind, here)));
    add(job.strip_of(roof).is_some(), WorkKind::Strip);
    add(job.strip_of(roof).is_some_and(|strip| strip.boards_off().is_some()), WorkKind::StripBoards);
    add(roof.topcoat.finish.aggregate.is_some(), WorkKind::SlipResistant);
    add(roof.laminate.layers > 1, WorkKind::FurtherLayers);
    add(!roof.outlets.is_empty(), WorkKind::RoofOutlet);
    add(roof.firred_by_us().is_none(), WorkKind::KeepFalls);
    add(true, deck(roof.deck.action));
    if let Some(built) = &roof.build_up {
        let over = built.kind == RoofKind::Warm && built.insulation.is_some();
        let open =
            roof.outline.edges.iter().any(|e| matches!(e.finish, Finish::Drip | Finish::Raised | Finish::Gutter));
        add(over, WorkKind::Insulation);
        add(over && built.vapour.is_some(), WorkKind::VapourLayer);
        add(over && built.overlay.is_some(), WorkKind::BoardOver);
        add(over && open, WorkKind::EdgeTimber);
    }
    if roof.firred().is_some_and(|(_, by)| by == By::Others) {
        works.push(Work { kind: WorkKind::Firrings, place: here, by: Doer::Others });
    }
    works.extend(at_edges(job, roof, index));
    works.extend(at_holes(job, roof, index));
    works
}

const fn deck(action: DeckAction) -> WorkKind {
    match action {
        DeckAction::New => WorkKind::NewDeck,
        DeckAction::Overlay => WorkKind::OverlayDeck,
        DeckAction::Keep => WorkKind::KeepDeck,
    }
}

/// The trim that an edge takes; a step is tied in.
const fn trim(finish: Finish) -> WorkKind {
    match finish {
        Finish::Drip => WorkKind::DripTrim,
        Finish::Raised => WorkKind::RaisedTrim,
        Finish::Wall => WorkKind::WallFillet,
        Finish::Kerb => WorkKind::KerbUpstand,
        Finish::Step => WorkKind::TieIn,
        Finish::Gutter => WorkKind::GutterLining,
    }
}

fn at_edges(job: &Job, roof: &Roof, index: usize) -> Vec<Work> {
    let flashed_by = doer(job.flashing_of(roof));
    let old_flashing = old_flashing_off(job, roof);
    let mut works = Vec::new();
    for (i, edge) in roof.outline.edges.iter().enumerate() {
        let here = Place::Edge(index, i);
        works.push(us(trim(edge.finish), here));
        if edge.finish == Finish::Drip && edge.gutter.is_some() {
            works.extend([us(WorkKind::GutterOff, here), us(WorkKind::GutterOn, here)]);
        }
        if edge.finish == Finish::Gutter {
            works.extend([us(WorkKind::GutterBoards, here), us(WorkKind::RoofOutlet, here)]);
        }
        if let Some(coping) = &edge.coping {
            works.push(us(WorkKind::Parapet, here));
            works.extend((coping.cover == Cover::Stone).then(|| us(WorkKind::LevelTops, here)));
            let by = doer(coping.by);
            works.extend([WorkKind::CopingOff, WorkKind::CopingOn].map(|kind| Work { kind, place: here, by }));
        } else if edge.sill.is_some() {
            works.push(us(WorkKind::DoorSill, here));
        } else if edge.meets_wall() {
            works.push(us(WorkKind::TemporarySeal, here));
            works.extend(edge.is_flashed().then_some(Work { kind: WorkKind::Flashing, place: here, by: flashed_by }));
            works.extend((edge.is_flashed() && old_flashing).then(|| us(WorkKind::FlashingOff, here)));
        }
        works.extend(edge.ladder_point.map(|_| us(WorkKind::LadderPoint, here)));
        works.extend(edge.overflow.map(|_| us(WorkKind::Overflow, here)));
        if let Some(tiles) = &edge.under {
            let by = doer(tiles.by);
            works.extend([WorkKind::TilesOff, WorkKind::TilesBack].map(|kind| Work { kind, place: here, by }));
        }
    }
    works
}

/// Whether the old flashing comes out with the old covering: whoever cuts in the new one takes it out.
fn old_flashing_off(job: &Job, roof: &Roof) -> bool {
    job.strip_of(roof).is_some() && job.flashing_of(roof) == By::Us
}

const fn doer(by: By) -> Doer {
    match by {
        By::Us => Doer::Us,
        By::Others => Doer::Others,
    }
}

fn at_holes(job: &Job, roof: &Roof, index: usize) -> Vec<Work> {
    let cut = roof.chimney_flashing().is_cut_in();
    let of = |(i, hole): (usize, &Hole)| -> Vec<Work> {
        let here = Place::Hole(index, i);
        match (&hole.form, hole.finish) {
            (HoleForm::Round { .. }, _) => vec![us(WorkKind::PipeCollar, here)],
            (HoleForm::Box { .. }, Finish::Wall) => {
                vec![us(WorkKind::ChimneyUpstand, here), us(WorkKind::TemporarySeal, here)]
                    .into_iter()
                    .chain(cut.then_some(Work {
                        kind: WorkKind::Flashing,
                        place: here,
                        by: doer(job.flashing_of(roof)),
                    }))
                    .chain((cut && old_flashing_off(job, roof)).then(|| us(WorkKind::FlashingOff, here)))
                    .collect()
            }
            (HoleForm::Box { .. }, _) => {
                let new = [(hole.timber.trimmers, WorkKind::Trimmers), (hole.timber.kerb, WorkKind::NewKerb)];
                let new = new.into_iter().filter_map(|(timber, kind)| timber.map(|_| us(kind, here)));
                new.chain([us(WorkKind::KerbUpstand, here)]).collect()
            }
        }
    };
    roof.holes.iter().enumerate().flat_map(of).collect()
}
