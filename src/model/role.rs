//! Roles: what the engine asks for and a price book sells, each with its unit, its group and whether size tells.
//!
//! Given a word of the price book (`trim.drip`, `board.osb3-18`); gives the role, or nothing where there is none. One
//! table, [`ROLES`], holds everything that is known of a role, so that a misspelt one does not compile.

use super::Finish;
use super::quantity::Unit;
use super::section::Section;
use super::units::Length;
use std::fmt;

/// Where a role stands on a picker's walk through the merchant's yard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RoleGroup {
    /// Boards, timber, insulation.
    BoardsAndTimber,
    /// Trims and what stands at their corners.
    Trims,
    /// Mat and bandage.
    MatAndBandage,
    /// Resin, topcoat, catalyst.
    ResinAndTopcoat,
    /// Nails, screws, adhesive.
    FixingsAndAdhesive,
    /// Flashings and their seals, collars, outlets, brackets of gutters.
    FlashingsAndDrainage,
    /// What coping stones lie on.
    MortarAndDpc,
    /// All else that rules count.
    ToolsAndSundries,
    /// What is bought for one job alone.
    ForThisJob,
}

impl RoleGroup {
    /// Its heading on the order.
    pub const fn words(self) -> &'static str {
        match self {
            RoleGroup::BoardsAndTimber => "Boards and timber",
            RoleGroup::Trims => "Trims",
            RoleGroup::MatAndBandage => "Mat and bandage",
            RoleGroup::ResinAndTopcoat => "Resin and topcoat",
            RoleGroup::FixingsAndAdhesive => "Fixings and adhesive",
            RoleGroup::FlashingsAndDrainage => "Flashings and drainage",
            RoleGroup::MortarAndDpc => "Mortar and damp-proof course",
            RoleGroup::ToolsAndSundries => "Tools and sundries",
            RoleGroup::ForThisJob => "For this job alone",
        }
    }
}

/// What must be bought. Families carry the rest of the word: a board its key, a mat its weight in g/m², a bandage its
/// width in mm, a topcoat its colour with hyphens.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// `board.<key>`.
    Board(String),
    /// `insulation.<key>`.
    Insulation(String),
    /// `vapour`.
    Vapour,
    /// `trim.<finish>`, by stock length.
    Trim(Finish),
    /// `corner.external`.
    CornerExternal,
    /// `corner.internal`.
    CornerInternal,
    /// `closure.left`.
    ClosureLeft,
    /// `closure.right`.
    ClosureRight,
    /// `bandage.<width in mm>`.
    Bandage(u32),
    /// `mat.<g/m²>`.
    Mat(u32),
    /// `resin`.
    Resin,
    /// `topcoat.<colour>`.
    Topcoat(String),
    /// `aggregate.<grade>`.
    Aggregate(String),
    /// `catalyst`.
    Catalyst,
    /// `nails.clout`.
    CloutNails,
    /// `fixings.overlay`: through insulation.
    OverlayFixings,
    /// `vent.strip`.
    VentStrip,
    /// `fixings.deck`.
    DeckFixings,
    /// `fixings.over-deck`: through an old deck.
    OverDeckFixings,
    /// `adhesive`.
    Adhesive,
    /// `batten.edge`.
    EdgeBatten,
    /// `timber.noggin`.
    Noggin,
    /// `timber.edge`, by its height.
    EdgeTimber,
    /// `timber.firring`.
    Firring,
    /// `tie.board`: board that the laminate lies on under the covering of a roof above.
    TieBoard,
    /// `tie.underlay`: underlay lapped over the laminate there.
    TieUnderlay,
    /// `tie.fillet`: tilting fillet under the lowest course.
    TieFillet,
    /// `tie.batten`: battens under tiles or slates.
    TieBatten,
    /// `tile.<covering>`: tiles or slates for those that break.
    Tile(String),
    /// `nails.tile`.
    TileNails,
    /// `nails.batten`.
    BattenNails,
    /// `flashing.lead`.
    FlashingLead,
    /// `flashing.lead-free`.
    FlashingLeadFree,
    /// `flashing.wedge`: holds the flashing in its chase.
    FlashingWedge,
    /// `flashing.sealant`: closes the chase.
    FlashingSealant,
    /// `seal.temporary`.
    TemporarySeal,
    /// `sealant.sill`: closes the joint under a door sill.
    SillSealant,
    /// `collar.pipe`, by the pipe's diameter.
    PipeCollar,
    /// `outlet.roof`, by its diameter.
    RoofOutlet,
    /// `bracket.gutter`, by the gutter's size.
    GutterBracket,
    /// `downpipe`: lengthens what hangs under a gutter that comes up.
    Downpipe,
    /// `downpipe.socket`: joins it to the old pipe, with a clip.
    DownpipeSocket,
    /// `acetone`.
    Acetone,
    /// `sleeve.roller`.
    RollerSleeve,
    /// `brush`.
    Brush,
    /// `bucket`.
    Bucket,
    /// `cup.catalyst`.
    CatalystCup,
    /// `gloves`.
    Gloves,
    /// `sheet.night`.
    NightSheet,
    /// `sheet.floor`.
    FloorSheet,
    /// `chute.overflow`, by its clear width.
    OverflowChute,
    /// `fillet.gutter`: in the inner corners of a box gutter.
    GutterFillet,
    /// `fixings.masonry`: screws with their plugs.
    MasonryFixings,
    /// `primer.masonry`.
    MasonryPrimer,
    /// `mortar`: beds coping stones.
    Mortar,
    /// `dpc`: under coping stones, by the thickness of the wall.
    Dpc,
    /// `capping.metal`, by the thickness of the wall that it covers.
    Capping,
    /// `capping.bracket`, by the same.
    CappingBracket,
    /// `capping.end`, by the same.
    CappingEnd,
    /// `capping.corner`, by the same.
    CappingCorner,
    /// `primer`: tie coat on an old laminate.
    Primer,
    /// `cleaner`: takes grease and algae off an old laminate.
    Cleaner,
    /// `disc.abrasive`.
    AbrasiveDisc,
    /// `sawn.<thickness>x<width>` in mm, by stock length.
    Sawn(Section),
    /// `hanger`, by the thickness that it takes.
    Hanger,
    /// `nails.hanger`.
    HangerNails,
    /// `tape.vapour`.
    VapourTape,
    /// `tie.strap`: holds a slate whose nail holes lie under the course above.
    TieStrap,
    /// `fixings.timber`.
    TimberFixings,
    /// `fixings.framing`.
    FramingFixings,
    /// `preservative`: for the cut ends of treated timber.
    Preservative,
    /// `fixings.bracket`.
    BracketFixings,
    /// `fixings.old-deck`: into old boards, not through them.
    OldDeckFixings,
    /// `fixings.fascia`: pins with coloured heads, by their length.
    FasciaPins,
    /// `own.<key>`: bought for one job alone.
    Own(String),
}

/// What is known of a role, or of a family of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoleFacts {
    /// Its word; one ending in `*` stands for a family.
    pub word: &'static str,
    /// The unit of its packs' `holds`.
    pub unit: Unit,
    /// Where it is picked.
    pub group: RoleGroup,
    /// Whether an article must be of the size that is asked for: a collar fits one pipe only.
    pub sized: bool,
    /// What it is.
    pub about: &'static str,
    /// What is dangerous in whatever is sold under it; empty where nothing is by its nature.
    pub danger: &'static str,
}

const fn role(word: &'static str, unit: Unit, group: RoleGroup, about: &'static str) -> RoleFacts {
    RoleFacts { word, unit, group, sized: false, about, danger: "" }
}

const fn dangerous(danger: &'static str, facts: RoleFacts) -> RoleFacts {
    RoleFacts { danger, ..facts }
}

const fn sized(facts: RoleFacts) -> RoleFacts {
    RoleFacts { sized: true, ..facts }
}

use RoleGroup::{
    BoardsAndTimber, FixingsAndAdhesive, FlashingsAndDrainage, ForThisJob, MatAndBandage, MortarAndDpc,
    ResinAndTopcoat, ToolsAndSundries, Trims,
};

/// What is dangerous in all that is made of polyester resin.
const STYRENE: &str = "styrene's vapour catches fire and harms whoever breathes it";

/// Every role, in the order in which the order lists them. [`Role::place`] gives a role's row.
pub const ROLES: [RoleFacts; 78] = [
    role("board.*", Unit::Each, BoardsAndTimber, "deck boards, by the key of the job file: board.osb3-18"),
    role(
        "insulation.*",
        Unit::Each,
        BoardsAndTimber,
        "insulation boards over the deck, by the key of the job file: insulation.pir-120",
    ),
    role("vapour", Unit::SquareMetre, BoardsAndTimber, "vapour control layer, square metres of roll"),
    sized(role("trim.drip", Unit::Each, Trims, "drip trim, by stock length")),
    sized(role("trim.raised", Unit::Each, Trims, "raised edge trim, by stock length")),
    sized(role("trim.wall", Unit::Each, Trims, "wall fillet trim, by stock length")),
    sized(role("trim.kerb", Unit::Each, Trims, "angle fillet trim, by stock length")),
    role("corner.external", Unit::Each, Trims, "preformed external corner for raised edges"),
    role("corner.internal", Unit::Each, Trims, "preformed internal corner for raised edges"),
    role("closure.left", Unit::Each, Trims, "handed closure, left as seen from the ground facing the drip"),
    role("closure.right", Unit::Each, Trims, "handed closure, right as seen from the ground facing the drip"),
    role("bandage.*", Unit::Metre, MatAndBandage, "bandage by width in mm: bandage.75"),
    role("mat.*", Unit::Metre, MatAndBandage, "chopped strand mat by weight, metres of roll: mat.450"),
    dangerous(STYRENE, role("resin", Unit::Kilogram, ResinAndTopcoat, "laminating resin")),
    dangerous(STYRENE, role("topcoat.*", Unit::Kilogram, ResinAndTopcoat, "topcoat by colour: topcoat.dark-grey")),
    role("aggregate.*", Unit::Kilogram, ResinAndTopcoat, "aggregate against slipping by grade: aggregate.fine"),
    dangerous("it is an organic peroxide", role("catalyst", Unit::Millilitre, ResinAndTopcoat, "catalyst")),
    role("nails.clout", Unit::Each, FixingsAndAdhesive, "galvanised clout nails for trims"),
    role(
        "fixings.overlay",
        Unit::Each,
        FixingsAndAdhesive,
        "screws through a board and the insulation under it into joists or firrings",
    ),
    role("vent.strip", Unit::Metre, BoardsAndTimber, "continuous vent for a cold roof"),
    role("fixings.deck", Unit::Each, FixingsAndAdhesive, "ring-shank nails or screws for boards on joists"),
    role(
        "fixings.over-deck",
        Unit::Each,
        FixingsAndAdhesive,
        "screws through a board and the old deck under it into the joists",
    ),
    dangerous("it may hold isocyanate", role("adhesive", Unit::Each, FixingsAndAdhesive, "cartridges of adhesive")),
    role("batten.edge", Unit::Metre, BoardsAndTimber, "edge batten"),
    role("timber.noggin", Unit::Metre, BoardsAndTimber, "timber for noggins"),
    sized(role(
        "timber.edge",
        Unit::Metre,
        BoardsAndTimber,
        "edge timber as high as the insulation over a deck, by its height",
    )),
    role("timber.firring", Unit::Metre, BoardsAndTimber, "firrings"),
    role(
        "tie.board",
        Unit::SquareMetre,
        BoardsAndTimber,
        "board that the laminate lies on under the covering of a roof above",
    ),
    role("tie.underlay", Unit::SquareMetre, BoardsAndTimber, "underlay lapped over the laminate under a roof above"),
    role("tie.fillet", Unit::Metre, BoardsAndTimber, "tilting fillet under the lowest course of tiles or slates"),
    role("tie.batten", Unit::Metre, BoardsAndTimber, "battens under tiles or slates"),
    role(
        "tile.*",
        Unit::Each,
        BoardsAndTimber,
        "tiles or slates for those that break: tile.plain, tile.interlocking, tile.slate",
    ),
    role("nails.tile", Unit::Each, FixingsAndAdhesive, "nails for tiles or slates"),
    role("nails.batten", Unit::Each, FixingsAndAdhesive, "nails for the battens under tiles or slates"),
    role("flashing.lead", Unit::Metre, FlashingsAndDrainage, "lead for the cover flashing"),
    role("flashing.lead-free", Unit::Metre, FlashingsAndDrainage, "lead-free metal for the cover flashing"),
    role("flashing.wedge", Unit::Each, FlashingsAndDrainage, "wedges that hold a flashing in its chase"),
    role("flashing.sealant", Unit::Each, FlashingsAndDrainage, "cartridges of sealant for the chase of a flashing"),
    role("seal.temporary", Unit::Metre, FlashingsAndDrainage, "temporary seal at the wall"),
    role("sealant.sill", Unit::Each, FlashingsAndDrainage, "cartridges of sealant for the joint under a door sill"),
    sized(role("collar.pipe", Unit::Each, FlashingsAndDrainage, "collar for a pipe, by the pipe's diameter")),
    sized(role("outlet.roof", Unit::Each, FlashingsAndDrainage, "outlet in the roof, by its diameter")),
    sized(role("bracket.gutter", Unit::Each, FlashingsAndDrainage, "gutter brackets, by the gutter's size")),
    role("downpipe", Unit::Metre, FlashingsAndDrainage, "downpipe, where a gutter comes up with the roof"),
    role("downpipe.socket", Unit::Each, FlashingsAndDrainage, "socket and clip that join a downpipe to the old one"),
    dangerous("its vapour catches fire", role("acetone", Unit::Litre, ToolsAndSundries, "acetone for cleaning")),
    role("sleeve.roller", Unit::Each, ToolsAndSundries, "roller sleeves"),
    role("brush", Unit::Each, ToolsAndSundries, "brushes"),
    role("bucket", Unit::Each, ToolsAndSundries, "mixing buckets"),
    role("cup.catalyst", Unit::Each, ToolsAndSundries, "measuring cup for catalyst"),
    role("gloves", Unit::Each, ToolsAndSundries, "pairs of gloves"),
    sized(role("sheet.night", Unit::SquareMetre, ToolsAndSundries, "sheet for the night, by its longer side")),
    role("sheet.floor", Unit::SquareMetre, ToolsAndSundries, "sheeting for what stands below"),
    sized(role("chute.overflow", Unit::Each, FlashingsAndDrainage, "chute for an overflow, by its clear width")),
    role("fillet.gutter", Unit::Metre, BoardsAndTimber, "fillet for the inner corners of a box gutter"),
    role("fixings.masonry", Unit::Each, FixingsAndAdhesive, "screws with their plugs, into masonry"),
    dangerous(
        "it may hold isocyanate or solvent",
        role("primer.masonry", Unit::Kilogram, ResinAndTopcoat, "primer for bare masonry that is laminated on"),
    ),
    dangerous(
        "wet cement burns skin and eyes",
        role("mortar", Unit::Kilogram, MortarAndDpc, "dry mortar for bedding coping stones"),
    ),
    sized(role(
        "dpc",
        Unit::Metre,
        MortarAndDpc,
        "damp-proof course under coping stones, by the thickness of the wall",
    )),
    sized(role("capping.metal", Unit::Metre, Trims, "metal capping, by the thickness of the wall that it covers")),
    sized(role("capping.bracket", Unit::Each, Trims, "bracket of a metal capping, by the thickness of the wall")),
    sized(role("capping.end", Unit::Each, Trims, "end of a metal capping, by the thickness of the wall")),
    sized(role("capping.corner", Unit::Each, Trims, "corner of a metal capping, by the thickness of the wall")),
    dangerous(
        STYRENE,
        role("primer", Unit::Kilogram, ResinAndTopcoat, "tie coat on an old laminate, under its new topcoat"),
    ),
    dangerous(
        "it may burn skin and eyes",
        role("cleaner", Unit::Litre, ToolsAndSundries, "cleaner that takes grease and algae off an old laminate"),
    ),
    role("disc.abrasive", Unit::Each, ToolsAndSundries, "abrasive discs for an old laminate"),
    sized(role(
        "sawn.*",
        Unit::Each,
        BoardsAndTimber,
        "structural timber for kerbs and trimmers, by its section in mm and its length: sawn.47x170",
    )),
    sized(role("hanger", Unit::Each, FixingsAndAdhesive, "joist hangers, by the thickness that they take")),
    role("fixings.timber", Unit::Each, FixingsAndAdhesive, "structural screws for kerbs and doubled joists"),
    role(
        "fixings.framing",
        Unit::Each,
        FixingsAndAdhesive,
        "screws for firrings, edge battens, noggins and what lies under tiles",
    ),
    role("nails.hanger", Unit::Each, FixingsAndAdhesive, "square twist nails for joist hangers"),
    role("tape.vapour", Unit::Metre, BoardsAndTimber, "tape that seals laps and edges of a vapour layer"),
    role("tie.strap", Unit::Each, FixingsAndAdhesive, "straps that hold slates which cannot be nailed"),
    dangerous(
        "it harms skin and water life",
        role("preservative", Unit::Litre, ToolsAndSundries, "preservative for the cut ends of treated timber"),
    ),
    role("fixings.bracket", Unit::Each, FixingsAndAdhesive, "screws for gutter brackets"),
    sized(role(
        "fixings.old-deck",
        Unit::Each,
        FixingsAndAdhesive,
        "screws that hold the edges of boards in an old deck and stay in it, by their length",
    )),
    sized(role(
        "fixings.fascia",
        Unit::Each,
        FixingsAndAdhesive,
        "pins with coloured heads for fascia and soffit boards, by their length",
    )),
    role("own.*", Unit::Each, ForThisJob, "what a job asks for by name under `order_lines`: own.fascia-225"),
];

impl Role {
    /// The role of a word; `None` where there is none, or where a family's word lacks its end or its number.
    pub fn parse(word: &str) -> Option<Role> {
        let family = |head: &str| word.strip_prefix(head).filter(|rest| !rest.is_empty());
        let number = |head: &str| family(head)?.parse().ok();
        if let Some(key) = family("board.") {
            return Some(Role::Board(key.into()));
        }
        if let Some(key) = family("insulation.") {
            return Some(Role::Insulation(key.into()));
        }
        if let Some(colour) = family("topcoat.") {
            return Some(Role::Topcoat(colour.into()));
        }
        if let Some(grade) = family("aggregate.") {
            return Some(Role::Aggregate(grade.into()));
        }
        if let Some(covering) = family("tile.") {
            return Some(Role::Tile(covering.into()));
        }
        if let Some(key) = family("own.") {
            return Some(Role::Own(key.into()));
        }
        if word.starts_with("sawn.") {
            let (thickness, width) = family("sawn.")?.split_once('x')?;
            let (thickness, width) = (thickness.parse().ok()?, width.parse().ok()?);
            return Some(Role::Sawn(Section { thickness: Length::mm(thickness), width: Length::mm(width) }));
        }
        if word.starts_with("bandage.") {
            return number("bandage.").map(Role::Bandage);
        }
        if word.starts_with("mat.") {
            return number("mat.").map(Role::Mat);
        }
        Role::alone().into_iter().find(|r| ROLES[r.place()].word == word)
    }

    /// Every role that is no family.
    fn alone() -> impl IntoIterator<Item = Role> {
        use Role::*;
        let trims = [Finish::Drip, Finish::Raised, Finish::Wall, Finish::Kerb].map(Trim);
        let rest = [
            Vapour,
            CornerExternal,
            CornerInternal,
            ClosureLeft,
            ClosureRight,
            Resin,
            Catalyst,
            CloutNails,
            OverlayFixings,
            VentStrip,
            DeckFixings,
            OverDeckFixings,
            Adhesive,
            EdgeBatten,
            Noggin,
            EdgeTimber,
            Firring,
            TieBoard,
            TieUnderlay,
            TieFillet,
            TieBatten,
            TileNails,
            BattenNails,
            FlashingLead,
            FlashingLeadFree,
            FlashingWedge,
            FlashingSealant,
            TemporarySeal,
            SillSealant,
            PipeCollar,
            RoofOutlet,
            GutterBracket,
            Downpipe,
            DownpipeSocket,
            Acetone,
            RollerSleeve,
            Brush,
            Bucket,
            CatalystCup,
            Gloves,
            NightSheet,
            FloorSheet,
            OverflowChute,
            GutterFillet,
            MasonryFixings,
            MasonryPrimer,
            Mortar,
            Dpc,
            Capping,
            CappingBracket,
            CappingEnd,
            CappingCorner,
            Primer,
            Cleaner,
            AbrasiveDisc,
            Hanger,
            HangerNails,
            VapourTape,
            TieStrap,
            TimberFixings,
            FramingFixings,
            Preservative,
            BracketFixings,
            OldDeckFixings,
            FasciaPins,
        ];
        trims.into_iter().chain(rest)
    }

    /// Its row in [`ROLES`]. A step and a box gutter have no trim: they count as the angle fillet's.
    pub const fn place(&self) -> usize {
        match self {
            Role::Board(_) => 0,
            Role::Insulation(_) => 1,
            Role::Vapour => 2,
            Role::Trim(Finish::Drip) => 3,
            Role::Trim(Finish::Raised) => 4,
            Role::Trim(Finish::Wall) => 5,
            Role::Trim(Finish::Kerb | Finish::Step | Finish::Gutter) => 6,
            Role::CornerExternal => 7,
            Role::CornerInternal => 8,
            Role::ClosureLeft => 9,
            Role::ClosureRight => 10,
            Role::Bandage(_) => 11,
            Role::Mat(_) => 12,
            Role::Resin => 13,
            Role::Topcoat(_) => 14,
            Role::Aggregate(_) => 15,
            Role::Catalyst => 16,
            Role::CloutNails => 17,
            Role::OverlayFixings => 18,
            Role::VentStrip => 19,
            Role::DeckFixings => 20,
            Role::OverDeckFixings => 21,
            Role::Adhesive => 22,
            Role::EdgeBatten => 23,
            Role::Noggin => 24,
            Role::EdgeTimber => 25,
            Role::Firring => 26,
            Role::TieBoard => 27,
            Role::TieUnderlay => 28,
            Role::TieFillet => 29,
            Role::TieBatten => 30,
            Role::Tile(_) => 31,
            Role::TileNails => 32,
            Role::BattenNails => 33,
            Role::FlashingLead => 34,
            Role::FlashingLeadFree => 35,
            Role::FlashingWedge => 36,
            Role::FlashingSealant => 37,
            Role::TemporarySeal => 38,
            Role::SillSealant => 39,
            Role::PipeCollar => 40,
            Role::RoofOutlet => 41,
            Role::GutterBracket => 42,
            Role::Downpipe => 43,
            Role::DownpipeSocket => 44,
            Role::Acetone => 45,
            Role::RollerSleeve => 46,
            Role::Brush => 47,
            Role::Bucket => 48,
            Role::CatalystCup => 49,
            Role::Gloves => 50,
            Role::NightSheet => 51,
            Role::FloorSheet => 52,
            Role::OverflowChute => 53,
            Role::GutterFillet => 54,
            Role::MasonryFixings => 55,
            Role::MasonryPrimer => 56,
            Role::Mortar => 57,
            Role::Dpc => 58,
            Role::Capping => 59,
            Role::CappingBracket => 60,
            Role::CappingEnd => 61,
            Role::CappingCorner => 62,
            Role::Primer => 63,
            Role::Cleaner => 64,
            Role::AbrasiveDisc => 65,
            Role::Sawn(_) => 66,
            Role::Hanger => 67,
            Role::TimberFixings => 68,
            Role::FramingFixings => 69,
            Role::HangerNails => 70,
            Role::VapourTape => 71,
            Role::TieStrap => 72,
            Role::Preservative => 73,
            Role::BracketFixings => 74,
            Role::OldDeckFixings => 75,
            Role::FasciaPins => 76,
            Role::Own(_) => 77,
        }
    }

    /// What is known of it.
    pub const fn facts(&self) -> &'static RoleFacts {
        &ROLES[self.place()]
    }

    /// The unit of its packs.
    pub const fn unit(&self) -> Unit {
        self.facts().unit
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = self.facts().word;
        let head = word.strip_suffix('*').unwrap_or(word);
        match self {
            Role::Board(rest)
            | Role::Insulation(rest)
            | Role::Topcoat(rest)
            | Role::Aggregate(rest)
            | Role::Tile(rest)
            | Role::Own(rest) => {
                write!(f, "{head}{rest}")
            }
            Role::Bandage(number) | Role::Mat(number) => write!(f, "{head}{number}"),
            Role::Sawn(Section { thickness, width }) => write!(f, "{head}{}x{}", thickness.as_mm(), width.as_mm()),
            _ => f.write_str(head),
        }
    }
}

/// A role is the word that the price book writes.
impl PartialEq<&str> for Role {
    fn eq(&self, word: &&str) -> bool {
        Role::parse(word).as_ref() == Some(self)
    }
}
