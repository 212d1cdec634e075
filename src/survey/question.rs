//! What is asked: one row a question, with the key of the job file that it answers.
//!
//! Given nothing but the number of roofs; gives every question in the order in which an installer looks at a job. How an
//! answer is written, between which limits and what it is for is told by the reader's own tables, by the key.

use crate::model::Access;
use std::collections::BTreeMap;

/// Sides of a roof that have a letter.
pub(crate) const SIDES: u8 = 8;
/// Ties, openings, outlets, doors and patches of a roof, and extras of a job, for which there is room.
pub(crate) const TIES: u8 = 3;
/// See [`TIES`].
pub(crate) const OPENINGS: u8 = 3;
/// See [`TIES`].
pub(crate) const OUTLETS: u8 = 2;
/// See [`TIES`].
pub(crate) const DOORS: u8 = 2;
/// See [`TIES`].
pub(crate) const PATCHES: u8 = 4;
/// See [`TIES`].
pub(crate) const EXTRAS: u8 = 5;

/// Of what something is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AskedOf {
    /// The job.
    Job,
    /// A roof.
    Roof,
    /// A side of a roof.
    Side,
    /// A distance across a roof.
    Tie,
    /// An opening in a roof.
    Opening,
    /// An outlet of a roof.
    Outlet,
    /// A door over a side.
    Door,
    /// A place where an old laminate is made good.
    Patch,
    /// An extra.
    Extra,
}

/// How an answer is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AnswerKind {
    /// Words.
    Words,
    /// Words on several lines.
    Lines,
    /// A length; a bare number is in this unit.
    Length(&'static str),
    /// Money.
    Money,
    /// A day.
    Day,
    /// One of a list that drops down.
    Listed,
    /// One of a few words, each with a box.
    Ticked,
    /// A box alone.
    YesTick,
    /// A side of the roof, by its letter.
    SideLetter,
    /// A corner, by the letters of its sides.
    Corner,
    /// A number with this unit.
    Number(&'static str),
    /// Words for whoever writes the job, which no key of it takes.
    Remark,
}

/// Whether a job can do without an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AnswerNeed {
    /// It cannot.
    Needed,
    /// It should not: what is taken in its place is a guess.
    Wanted,
    /// It can.
    Free,
}

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is told by its row of the table")]
pub enum What {
    Reference,
    Title,
    SurveyedOn,
    CustomerName,
    CustomerAddress,
    CustomerPhone,
    CustomerEmail,
    SiteAddress,
    EavesHeight,
    Boundary,
    WayIn,
    Hospital,
    Start,
    DeliveryNote,
    BuiltBefore,
    Asbestos,
    Access(Access),
    AccessSum(Access),
    FlashingBy,
    RoofName,
    Work,
    MeasuredTo,
    SideTurn,
    SideLength,
    SideFinish,
    SideUpstand,
    SideFlashing,
    SideGutter,
    TieFrom,
    TieTo,
    TieLength,
    FallsTo,
    Fall,
    Firrings,
    WayOff,
    JoistRun,
    JoistSpacing,
    JoistFirst,
    JoistLast,
    DeckAction,
    Board,
    Mat,
    Layers,
    Colour,
    Surface,
    OldCovering,
    Tip,
    OldBoards,
    OpeningName,
    OpeningFinish,
    OpeningAlong,
    OpeningUp,
    OpeningWidth,
    OpeningDepth,
    OpeningRound,
    OpeningKerb,
    OpeningTrimmers,
    OpeningUpstand,
    OutletAlong,
    OutletUp,
    OutletSize,
    OutletHead,
    OutletStrainer,
    DoorSide,
    DoorFrom,
    DoorWidth,
    DoorSill,
    CopingSide,
    CopingHeight,
    CopingWidth,
    CopingCover,
    CopingBy,
    CopingBoard,
    TilesCovering,
    TilesGauge,
    TilesCover,
    TilesPitch,
    TilesBy,
    BoxWidth,
    BoxDepth,
    BoxFall,
    BoxOutletAt,
    BoxOutletSize,
    BoxOutletHead,
    BoxBoard,
    OverflowSide,
    OverflowAt,
    OverflowWidth,
    OverflowHeight,
    OverflowAbove,
    LadderSide,
    LadderAt,
    WallAbove,
    RoofAboveArea,
    RoofAbovePitch,
    BuildKind,
    BuildWork,
    JoistBreadth,
    JoistDepth,
    InsulationBoard,
    Overlay,
    VapourWidth,
    VapourLength,
    BetweenName,
    BetweenThickness,
    BetweenLambda,
    Void,
    VentGap,
    CeilingName,
    CeilingThickness,
    CeilingLambda,
    UValueNow,
    PatchName,
    PatchAlong,
    PatchUp,
    PatchWidth,
    PatchDepth,
    PatchAtEdge,
    PatchLayers,
    PatchDeck,
    Trims,
    Prepare,
    RoofPhotos,
    ExtraItem,
    ExtraCost,
    ExtraPrice,
    ExtraOptional,
    Notes,
    ShownBy,
    SurveyedBy,
}

/// A row of the table: what, of what, its label, the key that it answers, how, and whether it can be left out.
type QuestionRow = (What, AskedOf, &'static str, &'static str, AnswerKind, AnswerNeed);

use AnswerKind::{Corner, Day, Length, Lines, Listed, Money, Number, Remark, SideLetter, Ticked, Words, YesTick};
use AnswerNeed::{Free, Needed, Wanted};
use AskedOf::{Door, Extra, Job, Opening, Outlet, Patch, Roof, Side, Tie};

const M: AnswerKind = Length("m");
const MM: AnswerKind = Length("mm");

/// Every question but those that are always asked ([`Access`]), in the order in which they are asked.
const TABLE: &[QuestionRow] = &[
    (What::Reference, Job, "Reference", "reference", Words, Needed),
    (What::Title, Job, "What the job is", "title", Words, Needed),
    (What::SurveyedOn, Job, "Surveyed on", "prepared", Day, Needed),
    (What::CustomerName, Job, "Customer's name", "customer.name", Words, Needed),
    (What::CustomerAddress, Job, "Customer's address", "customer.address", Lines, Needed),
    (What::CustomerPhone, Job, "Customer's telephone", "customer.phone", Words, Free),
    (What::CustomerEmail, Job, "Customer's e-mail", "customer.email", Words, Free),
    (What::SiteAddress, Job, "Address of the work, if another", "site.address", Lines, Free),
    (What::EavesHeight, Job, "Height of the eaves, m", "site.eaves_height", M, Wanted),
    (What::Boundary, Job, "Nearest boundary, m", "boundary", M, Wanted),
    (What::WayIn, Job, "Way in: gate, steps, parking", "site.access", Words, Free),
    (What::Hospital, Job, "Nearest hospital with an emergency department", "site.hospital", Words, Free),
    (What::Start, Job, "Wanted from", "start", Day, Free),
    (What::DeliveryNote, Job, "For the delivery", "delivery.note", Words, Free),
    (What::BuiltBefore, Job, "Was it built before 2000?", "site.built_before_2000", Ticked, Wanted),
    (What::Asbestos, Job, "Asbestos in covering, soffit, gutter or lining?", "asbestos", Ticked, Wanted),
    (What::FlashingBy, Job, "Who cuts the flashing in?", "flashing", Ticked, Free),
    (What::RoofName, Roof, "Name of the roof", "roofs.name", Words, Needed),
    (What::Work, Roof, "What is done", "roofs.work", Ticked, Free),
    (What::MeasuredTo, Roof, "Measured to", "roofs.measured_to", Ticked, Wanted),
    (What::SideTurn, Side, "corner before it", "roofs.outline.walk.turn", Listed, Free),
    (What::SideLength, Side, "length, m", "roofs.outline.walk.go", M, Needed),
    (What::SideFinish, Side, "finish", "roofs.edges.finish", Ticked, Needed),
    (What::SideUpstand, Side, "height free at the wall, mm", "roofs.edges.upstand", MM, Free),
    (What::SideFlashing, Side, "flashing of the wall", "roofs.edges.flashing", Listed, Free),
    (What::SideGutter, Side, "gutter under it", "roofs.edges.gutter", Listed, Free),
    (What::TieFrom, Tie, "from corner", "roofs.outline.ties.from", Corner, Free),
    (What::TieTo, Tie, "to corner", "roofs.outline.ties.to", Corner, Free),
    (What::TieLength, Tie, "distance, m", "roofs.outline.ties.is", M, Free),
    (What::FallsTo, Roof, "Falls to side", "roofs.falls_to", SideLetter, Wanted),
    (What::Fall, Roof, "Fall", "roofs.fall", Listed, Wanted),
    (What::Firrings, Roof, "Firrings by", "roofs.firrings", Ticked, Free),
    (What::WayOff, Roof, "Way off at side", "roofs.way_off", SideLetter, Free),
    (What::JoistRun, Roof, "Joists run", "roofs.joists.run", Ticked, Wanted),
    (What::JoistSpacing, Roof, "Joist spacing, mm", "roofs.joists.spacing", MM, Wanted),
    (What::JoistFirst, Roof, "First joist, from the front left, mm", "roofs.joists.first", MM, Free),
    (What::JoistLast, Roof, "Last joist, from the front left, mm", "roofs.joists.last", MM, Free),
    (What::DeckAction, Roof, "Deck", "roofs.deck.action", Ticked, Needed),
    (What::Board, Roof, "Board", "roofs.deck.board", Listed, Free),
    (What::Mat, Roof, "Mat, g/m²", "roofs.laminate.mat", Listed, Needed),
    (What::Layers, Roof, "Layers", "roofs.laminate.layers", Number(""), Free),
    (What::Colour, Roof, "Colour of the topcoat", "roofs.topcoat.colour", Listed, Needed),
    (What::Surface, Roof, "Surface", "roofs.topcoat.finish", Listed, Free),
    (What::OldCovering, Roof, "Old covering", "roofs.strip.covering", Listed, Wanted),
    (What::Tip, Roof, "It leaves by", "roofs.strip.tip", Listed, Free),
    (What::OldBoards, Roof, "Old boards, mm", "roofs.strip.boards", Listed, Free),
    (What::OpeningName, Opening, "what it is", "roofs.holes.name", Words, Free),
    (What::OpeningFinish, Opening, "finish", "roofs.holes.finish", Ticked, Free),
    (What::OpeningAlong, Opening, "along the front to it, m", "roofs.holes.at", M, Free),
    (What::OpeningUp, Opening, "up the roof to it, m", "roofs.holes.at", M, Free),
    (What::OpeningWidth, Opening, "its width, m", "roofs.holes.size", M, Free),
    (What::OpeningDepth, Opening, "its depth, m", "roofs.holes.size", M, Free),
    (What::OpeningRound, Opening, "pipe, mm across", "roofs.holes.round", MM, Free),
    (What::OpeningKerb, Opening, "timber of its kerb", "roofs.holes.kerb", Listed, Free),
    (What::OpeningTrimmers, Opening, "joists round it", "roofs.holes.trimmers", Listed, Free),
    (What::OpeningUpstand, Opening, "old kerb, mm high", "roofs.holes.upstand", MM, Free),
    (What::OutletAlong, Outlet, "along the front, m", "roofs.outlets.at", M, Free),
    (What::OutletUp, Outlet, "up the roof, m", "roofs.outlets.at", M, Free),
    (What::OutletSize, Outlet, "pipe, mm across", "roofs.outlets.size", MM, Free),
    (What::OutletHead, Outlet, "water over it, mm", "roofs.outlets.head", MM, Free),
    (What::OutletStrainer, Outlet, "leaf guard", "roofs.outlets.strainer", YesTick, Free),
    (What::DoorSide, Door, "in side", "roofs.edges.sill", SideLetter, Free),
    (What::DoorFrom, Door, "from its start, m", "roofs.edges.go", M, Free),
    (What::DoorWidth, Door, "width, m", "roofs.edges.go", M, Free),
    (What::DoorSill, Door, "sill over old roof, mm", "roofs.edges.sill", MM, Free),
    (What::CopingSide, Roof, "Low wall to be covered, side", "roofs.edges.coping", SideLetter, Free),
    (What::CopingHeight, Roof, "Its height, mm", "roofs.edges.coping.wall_height", MM, Free),
    (What::CopingWidth, Roof, "Its thickness, mm", "roofs.edges.coping.wall_width", MM, Free),
    (What::CopingCover, Roof, "Covered with", "roofs.edges.coping.cover", Ticked, Free),
    (What::CopingBy, Roof, "Lifted and laid by", "roofs.edges.coping.by", Ticked, Free),
    (What::CopingBoard, Roof, "Board on its face", "roofs.edges.coping.board", Listed, Free),
    (What::TilesCovering, Roof, "Roof above a step", "roofs.edges.under.covering", Listed, Free),
    (What::TilesGauge, Roof, "Gauge, mm", "roofs.edges.under.gauge", MM, Free),
    (What::TilesCover, Roof, "Tile cover width, mm", "roofs.edges.under.cover", MM, Free),
    (What::TilesPitch, Roof, "Pitch, °", "roofs.edges.under.pitch", Number("°"), Free),
    (What::TilesBy, Roof, "Tiles off by", "roofs.edges.under.by", Ticked, Free),
    (What::BoxWidth, Roof, "Box gutter: width, mm", "roofs.edges.box_gutter.width", MM, Free),
    (What::BoxDepth, Roof, "Depth, mm", "roofs.edges.box_gutter.depth", MM, Free),
    (What::BoxFall, Roof, "Its fall", "roofs.edges.box_gutter.fall", Number("1:"), Free),
    (What::BoxOutletAt, Roof, "Its outlet at, m", "roofs.edges.box_gutter.outlet.at", M, Free),
    (What::BoxOutletSize, Roof, "Outlet, mm", "roofs.edges.box_gutter.outlet.size", MM, Free),
    (What::BoxOutletHead, Roof, "Water over it, mm", "roofs.edges.box_gutter.outlet.head", MM, Free),
    (What::BoxBoard, Roof, "Board of the box gutter", "roofs.edges.box_gutter.board", Listed, Free),
    (What::OverflowSide, Roof, "Overflow through side", "roofs.edges.overflow", SideLetter, Free),
    (What::OverflowAt, Roof, "Middle at, m", "roofs.edges.overflow.at", M, Free),
    (What::OverflowWidth, Roof, "Clear width, mm", "roofs.edges.overflow.width", MM, Free),
    (What::OverflowHeight, Roof, "Clear height, mm", "roofs.edges.overflow.height", MM, Free),
    (What::OverflowAbove, Roof, "Sill over roof, mm", "roofs.edges.overflow.above", MM, Free),
    (What::LadderSide, Roof, "Ladder point at side", "roofs.edges.ladder_point", SideLetter, Free),
    (What::LadderAt, Roof, "Its middle at, m", "roofs.edges.ladder_point", M, Free),
    (What::WallAbove, Roof, "House wall above, m²", "roofs.wall_above.area", Number("m2"), Free),
    (What::RoofAboveArea, Roof, "Pitched roof that drains onto it, m²", "roofs.roof_above.area", Number("m2"), Free),
    (What::RoofAbovePitch, Roof, "How steep it is, °", "roofs.roof_above.pitch", Number("°"), Free),
    (What::BuildKind, Roof, "Insulated as", "roofs.build_up.kind", Ticked, Free),
    (What::BuildWork, Roof, "For the Regulations it is", "roofs.build_up.work", Ticked, Free),
    (What::JoistBreadth, Roof, "Joist width, mm", "roofs.build_up.joists.breadth", MM, Free),
    (What::JoistDepth, Roof, "Joist depth, mm", "roofs.build_up.joists.depth", MM, Free),
    (What::InsulationBoard, Roof, "Insulation over the deck", "roofs.build_up.insulation.board", Listed, Free),
    (What::Overlay, Roof, "Board over it", "roofs.build_up.overlay", Listed, Free),
    (What::VapourWidth, Roof, "Vapour layer, roll width, m", "roofs.build_up.vapour.roll_width", M, Free),
    (What::VapourLength, Roof, "Roll length, m", "roofs.build_up.vapour.roll_length", M, Free),
    (What::BetweenName, Roof, "Between the joists lies", "roofs.build_up.joists.between.name", Words, Free),
    (What::BetweenThickness, Roof, "Insulation thickness, mm", "roofs.build_up.joists.between.thickness", MM, Free),
    (What::BetweenLambda, Roof, "Its lambda, W/mK", "roofs.build_up.joists.between.lambda", Number("W/mK"), Free),
    (What::Void, Roof, "Void over it, mm", "roofs.build_up.void", MM, Free),
    (What::VentGap, Roof, "Gap that airs it, mm", "roofs.build_up.vent_gap", MM, Free),
    (What::CeilingName, Roof, "Ceiling below", "roofs.build_up.ceiling.name", Words, Free),
    (What::CeilingThickness, Roof, "Ceiling thickness, mm", "roofs.build_up.ceiling.thickness", MM, Free),
    (What::CeilingLambda, Roof, "Ceiling's lambda, W/mK", "roofs.build_up.ceiling.lambda", Number("W/mK"), Free),
    (What::UValueNow, Roof, "U-value now, W/m²K", "roofs.build_up.existing.u_value", Number("W/m2K"), Free),
    (What::PatchName, Patch, "what and where", "roofs.patches.name", Words, Free),
    (What::PatchAlong, Patch, "along the front to it, m", "roofs.patches.at", M, Free),
    (What::PatchUp, Patch, "up the roof to it, m", "roofs.patches.at", M, Free),
    (What::PatchWidth, Patch, "its width, m", "roofs.patches.size", M, Free),
    (What::PatchDepth, Patch, "its depth, m", "roofs.patches.size", M, Free),
    (What::PatchAtEdge, Patch, "along a trim or wall, m", "roofs.patches.at_edge", M, Free),
    (What::PatchLayers, Patch, "layers", "roofs.patches.layers", Number(""), Free),
    (What::PatchDeck, Patch, "board let in", "roofs.patches.deck", Listed, Free),
    (What::Trims, Roof, "Faces of the trims", "roofs.trims", Ticked, Free),
    (What::Prepare, Roof, "The abraded face", "roofs.prepare", Ticked, Free),
    (What::RoofPhotos, Roof, "Photos, numbers", "photos", Words, Free),
    (What::ExtraItem, Extra, "what", "extras.item", Words, Free),
    (What::ExtraCost, Extra, "it costs us, £", "extras.cost", Money, Free),
    (What::ExtraPrice, Extra, "sold for, £", "extras.price", Money, Free),
    (What::ExtraOptional, Extra, "offered with a box to tick", "extras.optional", YesTick, Free),
    (What::Notes, Job, "Notes", "", Remark, Free),
    (What::ShownBy, Job, "The roof was shown by", "", Remark, Free),
    (What::SurveyedBy, Job, "Surveyed by", "", Remark, Free),
];

impl What {
    /// Whether it is asked of a roof alone whose old laminate stays.
    pub(crate) fn is_of_old_roof(self) -> bool {
        (What::PatchName..=What::Prepare).contains(&self)
    }

    /// Whether it is asked of a roof alone that is laid anew; the others are asked of either.
    pub(crate) fn is_of_new_roof(self) -> bool {
        use What::{Colour, Layers, Mat, RoofName, RoofPhotos, SideFinish, SideLength, SideTurn, Surface, Work};
        let of_either = [RoofName, Work, SideTurn, SideLength, SideFinish, Mat, Layers, Colour, Surface, RoofPhotos]
            .contains(&self);
        let (tie, opening) = (What::TieFrom..=What::TieLength, What::OpeningName..=What::OpeningRound);
        let asked_of_a_roof = (RoofName..=RoofPhotos).contains(&self);
        asked_of_a_roof && !(of_either || tie.contains(&self) || opening.contains(&self) || self.is_of_old_roof())
    }
}

/// A question, by what is asked and of which roof and which of its things, both from 1; 0 where it is of none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ask {
    /// The roof.
    pub roof: u8,
    /// Which of its sides, ties, openings; or which extra.
    pub item: u8,
    /// What.
    pub what: What,
}

/// A question, with all that the table knows of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SurveyQuestion {
    /// Which.
    pub ask: Ask,
    /// What it is called everywhere: on the form, in messages, in a script.
    pub name: String,
    /// The same without saying of what.
    pub(crate) label: String,
    /// The key of the job file.
    pub(crate) key: &'static str,
    /// How it is answered.
    pub(crate) kind: AnswerKind,
    /// Whether a job can do without it.
    pub(crate) need: AnswerNeed,
}

impl SurveyQuestion {
    fn of(row: &QuestionRow, roof: u8, item: u8) -> SurveyQuestion {
        let (what, of, label, key, kind, need) = *row;
        SurveyQuestion::named(Ask { roof, item, what }, of, label.to_owned(), (key, kind, need))
    }

    fn named(
        ask: Ask,
        of: AskedOf,
        label: String,
        (key, kind, need): (&'static str, AnswerKind, AnswerNeed),
    ) -> SurveyQuestion {
        let Ask { roof, item, .. } = ask;
        let name = match of {
            Job => label.clone(),
            Roof => format!("Roof {roof}: {label}"),
            Side => format!("Roof {roof}, side {}: {label}", letter(item)),
            Tie => format!("Roof {roof}, tie {item}: {label}"),
            Opening => format!("Roof {roof}, opening {item}: {label}"),
            Outlet => format!("Roof {roof}, outlet {item}: {label}"),
            Door => format!("Roof {roof}, door {item}: {label}"),
            Patch => format!("Roof {roof}, patch {item}: {label}"),
            Extra => format!("Extra {item}: {label}"),
        };
        SurveyQuestion { ask, name, label, key, kind, need }
    }

    /// The name of the box of one of its words, where it is ticked.
    pub(crate) fn tick(&self, word: &str) -> String {
        format!("{}, {word}", self.name)
    }
}

/// The letter of a side, from 1.
pub(crate) fn letter(side: u8) -> char {
    char::from(b'A' + side.saturating_sub(1).min(25))
}

/// The questions of one thing, in their order.
fn of_one(of: AskedOf, roof: u8, item: u8) -> impl Iterator<Item = SurveyQuestion> {
    TABLE.iter().filter(move |row| row.1 == of).map(move |row| SurveyQuestion::of(row, roof, item))
}

/// The questions that are always asked, each with its sum.
fn always() -> impl Iterator<Item = SurveyQuestion> {
    Access::all().flat_map(|access| {
        let ask = |what| Ask { roof: 0, item: 0, what };
        let key = ACCESS_KEYS[access as usize];
        let label = format!("In the price: {}", access.words());
        let sum = format!("{label}, at £");
        [
            SurveyQuestion::named(ask(What::Access(access)), Job, label, (key, Ticked, Wanted)),
            SurveyQuestion::named(ask(What::AccessSum(access)), Job, sum, (key, Money, Free)),
        ]
    })
}

/// The keys of the questions that are always asked, in their order; a test holds them to [`Access`].
pub(crate) const ACCESS_KEYS: [&str; 7] = [
    "access.scaffold",
    "access.permits",
    "access.parking",
    "access.render_cutting",
    "access.aerials",
    "access.disturbed_tiles",
    "access.minimum_charge",
];

/// Every question of a job with so many roofs, in the order in which they are asked.
pub fn questions(roofs: u8) -> Vec<SurveyQuestion> {
    let last = |question: &SurveyQuestion| matches!(question.kind, Remark);
    let (remarks, of_job): (Vec<SurveyQuestion>, Vec<SurveyQuestion>) = of_one(Job, 0, 0).partition(last);
    let mut all = of_job;
    all.extend(always());
    for roof in 1..=roofs {
        let of_roof = |from: What, to: What| {
            of_one(Roof, roof, 0).filter(move |q| (from..=to).contains(&q.ask.what)).collect::<Vec<_>>()
        };
        all.extend(of_roof(What::RoofName, What::MeasuredTo));
        all.extend((1..=SIDES).flat_map(|side| of_one(Side, roof, side)));
        all.extend((1..=TIES).flat_map(|tie| of_one(Tie, roof, tie)));
        all.extend(of_roof(What::FallsTo, What::OldBoards));
        all.extend((1..=OPENINGS).flat_map(|opening| of_one(Opening, roof, opening)));
        all.extend((1..=OUTLETS).flat_map(|outlet| of_one(Outlet, roof, outlet)));
        all.extend((1..=DOORS).flat_map(|door| of_one(Door, roof, door)));
        all.extend(of_roof(What::CopingSide, What::UValueNow));
        all.extend((1..=PATCHES).flat_map(|patch| of_one(Patch, roof, patch)));
        all.extend(of_roof(What::Trims, What::RoofPhotos));
    }
    all.extend((1..=EXTRAS).flat_map(|extra| of_one(Extra, 0, extra)));
    // The corner before the first side is where one begins.
    all.retain(|question| !(question.ask.what == What::SideTurn && question.ask.item == 1));
    all.extend(remarks);
    all
}

/// What somebody said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SurveySaid {
    /// Words.
    Words(String),
    /// Several words, where one was asked for.
    Several(Vec<String>),
    /// A box whose value says one thing and whose look another.
    Contradictory,
}

/// Everything that was said, with the page on which it was.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SurveyAnswers {
    /// The answers.
    pub said: BTreeMap<Ask, SurveySaid>,
    /// On which page of a form each question stands, from 1.
    pub pages: BTreeMap<Ask, usize>,
    /// What was written where nothing is asked: page, field, words.
    pub astray: Vec<(usize, String, String)>,
}

impl SurveyAnswers {
    /// Says something; words of nothing but blanks are no answer.
    pub fn say(&mut self, ask: Ask, words: &str) {
        match words.trim() {
            "" => drop(self.said.remove(&ask)),
            words => drop(self.said.insert(ask, SurveySaid::Words(words.to_owned()))),
        }
    }

    /// The words of an answer.
    pub fn words(&self, ask: Ask) -> Option<&str> {
        match self.said.get(&ask) {
            Some(SurveySaid::Words(words)) => Some(words),
            _ => None,
        }
    }

    /// Whether anything at all was said of a roof.
    pub(crate) fn tells_of(&self, roof: u8) -> bool {
        self.said.keys().any(|ask| ask.roof == roof)
    }
}
