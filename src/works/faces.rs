//! What each kind of work must show: words for the customer, hours, what is bought, steps for the crew, what checks it.
//!
//! Given a kind; gives its five faces. A face that does not apply says why, here and nowhere else, so that the table can
//! be read from top to bottom as the promise that the tests hold the program to.

use super::kind::WorkKind;
use crate::model::{Finish, LineId, Rules};
use rust_decimal::Decimal;

/// A face of a work: there, or not there and why.
#[derive(Debug, Clone, Copy)]
pub enum WorkFace<T> {
    /// The work has it.
    Has(T),
    /// The work has none, for this reason.
    Not(&'static str),
}

impl<T: Copy> WorkFace<T> {
    /// What is there.
    pub fn get(self) -> Option<T> {
        match self {
            WorkFace::Has(it) => Some(it),
            WorkFace::Not(_) => None,
        }
    }

    /// Why nothing is there.
    pub fn why_not(self) -> Option<&'static str> {
        match self {
            WorkFace::Has(_) => None,
            WorkFace::Not(why) => Some(why),
        }
    }
}

/// A norm of the firm: so many hours for each unit of some lines.
#[derive(Debug, Clone, Copy)]
pub struct Norm {
    /// The rule by its name in the firm file.
    pub rule: &'static str,
    /// Its value.
    pub hours: fn(&Rules) -> Decimal,
    /// The unit, as the firm file writes it: `h/m2`.
    pub per: &'static str,
    /// Which lines it is multiplied by.
    pub of: fn(LineId) -> bool,
}

/// The faces of one kind of work.
#[derive(Debug, Clone, Copy)]
pub struct Faces {
    /// Whether the quote tells the customer of it (the template marks the place with the kind's key).
    pub quote: WorkFace<()>,
    /// The norms that give its hours.
    pub hours: WorkFace<&'static [Norm]>,
    /// What is ordered for it: the words of the roles, a family by its head.
    pub order: WorkFace<&'static [&'static str]>,
    /// Whether the method statement tells the crew how it is done (the template marks the place with the kind's key).
    pub crew: WorkFace<()>,
    /// What checks it: a line of the sheet that somebody signs.
    pub check: WorkFace<&'static str>,
}

macro_rules! norm {
    ($rule:ident, $per:literal, $of:pat) => {
        Norm { rule: stringify!($rule), hours: |r| r.$rule, per: $per, of: |id| matches!(id, $of) }
    };
}

const TOLD: WorkFace<()> = WorkFace::Has(());

const fn hours(norms: &'static [Norm]) -> WorkFace<&'static [Norm]> {
    WorkFace::Has(norms)
}

const fn order(roles: &'static [&'static str]) -> WorkFace<&'static [&'static str]> {
    WorkFace::Has(roles)
}

const fn signed(what: &'static str) -> WorkFace<&'static str> {
    WorkFace::Has(what)
}

/// An access answer: bought in as a sum, told to the customer and to the crew.
const fn access(crew: WorkFace<()>, check: WorkFace<&'static str>) -> Faces {
    Faces {
        quote: TOLD,
        hours: WorkFace::Not("bought in: its cost is the sum in the job or firm file"),
        order: WorkFace::Not("bought in: no merchant of materials sells it"),
        crew,
        check,
    }
}

const SET_UP: &str = "in the hours to set up and clear each day (hours_setup)";
const OWN_TOOLS: &str = "nothing is used up but what the crew carries";

impl WorkKind {
    /// Its faces.
    pub const fn faces(self) -> Faces {
        use WorkFace::Not;
        match self {
            WorkKind::Scaffold => access(TOLD, signed("edges guarded")),
            WorkKind::Permits => access(TOLD, signed("before you start")),
            WorkKind::Parking => access(TOLD, signed("before you start")),
            WorkKind::Aerials => access(TOLD, signed("aerials back")),
            WorkKind::DisturbedTiles => access(TOLD, signed("hand over")),
            WorkKind::RenderCutting => access(TOLD, signed("finished")),
            WorkKind::Protect => Faces {
                quote: TOLD,
                hours: Not(SET_UP),
                order: order(&["sheet.night", "sheet.floor"]),
                crew: TOLD,
                check: signed("sheet on site"),
            },
            WorkKind::GutterOff => Faces {
                quote: TOLD,
                hours: Not("the norm for the gutter counts it off and on: with refitting it"),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("stripped"),
            },
            WorkKind::Strip => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_strip, "h/m2", LineId::StripArea)]),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("stripped, joists looked at"),
            },
            WorkKind::StripBoards => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_strip_boards, "h/m2", LineId::StripBoards)]),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("old boards off, every joist bare"),
            },
            WorkKind::FlashingOff => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_flashing_off, "h/m", LineId::StripFlashing)]),
                order: Not("the sealant that closes its chase is ordered with the new flashing"),
                crew: TOLD,
                check: signed("stripped"),
            },
            WorkKind::CartAway => Faces {
                quote: TOLD,
                hours: Not("carried as it is stripped: in the norm for stripping"),
                order: Not("a skip or a tip is hired, not bought: its cost is worked from volume and mass"),
                crew: TOLD,
                check: signed("waste gone or labelled"),
            },
            WorkKind::Firrings => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_firrings, "h/m", LineId::FirringLength | LineId::FirringBlocking)]),
                order: order(&["timber.firring", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("every joist falls to the low edge"),
            },
            WorkKind::KeepFalls => Faces {
                quote: TOLD,
                hours: Not("nothing is done: the fall is measured before work starts, in the set-up"),
                order: Not("the firm adds nothing to the joists"),
                crew: TOLD,
                check: signed("fall measured"),
            },
            WorkKind::EdgeBattens => Faces {
                quote: Not("a part of the edges that nobody chooses"),
                hours: hours(&[norm!(hours_battens, "h/m", LineId::BattenLength)]),
                order: order(&["batten.edge", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("prepared"),
            },
            WorkKind::Noggins => Faces {
                quote: Not("a part of the deck that nobody chooses"),
                hours: Not("in the norm for the deck, by its area"),
                order: order(&["timber.noggin", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("prepared"),
            },
            WorkKind::EdgeJoists => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_trimmers, "h/m", LineId::EdgeJoists)]),
                order: order(&["sawn.", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("prepared"),
            },
            WorkKind::Trimmers => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_trimmers, "h/m", LineId::TrimmerLength)]),
                order: order(&["sawn.", "hanger", "nails.hanger", "fixings.timber", "preservative"]),
                crew: TOLD,
                check: signed("openings trimmed"),
            },
            WorkKind::NewKerb => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_new_kerb, "h/m", LineId::KerbTimber)]),
                order: order(&["sawn.", "fixings.timber", "preservative"]),
                crew: TOLD,
                check: signed("kerbs square"),
            },
            WorkKind::NewDeck => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_deck, "h/m2", LineId::DeckArea)]),
                order: order(&["board.", "fixings.deck"]),
                crew: TOLD,
                check: signed("deck dry, sound, swept"),
            },
            WorkKind::OverlayDeck => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_deck, "h/m2", LineId::DeckArea)]),
                order: order(&["board.", "fixings.over-deck", "fixings.old-deck"]),
                crew: TOLD,
                check: signed("deck dry, sound, swept"),
            },
            WorkKind::KeepDeck => Faces {
                quote: TOLD,
                hours: Not("looked at in the set-up; mending it is priced at the rates for rot"),
                order: Not("the resin that seals it is ordered with the laminate"),
                crew: TOLD,
                check: signed("old deck that stays: signed, or it comes off"),
            },
            WorkKind::Vents => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_vents, "h/m", LineId::VentRun)]),
                order: order(&["vent.strip"]),
                crew: TOLD,
                check: signed("deck dry, sound, swept"),
            },
            WorkKind::VapourLayer => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_vapour, "h/m2", LineId::VapourArea)]),
                order: order(&["vapour", "tape.vapour"]),
                crew: TOLD,
                check: signed("vapour layer sealed"),
            },
            WorkKind::EdgeTimber => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_battens, "h/m", LineId::EdgeTimber)]),
                order: order(&["timber.edge", "fixings.timber", "preservative"]),
                crew: TOLD,
                check: signed("insulation tight"),
            },
            WorkKind::EdgeBattensOver => Faces {
                quote: Not("a part of the edges that nobody chooses"),
                hours: hours(&[norm!(hours_battens, "h/m", LineId::BattenLength)]),
                order: order(&["batten.edge", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("insulation tight"),
            },
            WorkKind::Insulation => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_insulation, "h/m2", LineId::InsulationArea)]),
                order: order(&["insulation."]),
                crew: TOLD,
                check: signed("insulation tight"),
            },
            WorkKind::BoardOver => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_overlay, "h/m2", LineId::OverlayArea)]),
                order: order(&["board.", "fixings.overlay"]),
                crew: TOLD,
                check: signed("boards fixed"),
            },
            WorkKind::DripTrim => trim(&[norm!(hours_trim, "h/m", LineId::TrimRun(Finish::Drip))], &TRIM_DRIP),
            WorkKind::WallFillet => trim(&[norm!(hours_trim, "h/m", LineId::TrimRun(Finish::Wall))], &TRIM_WALL),
            WorkKind::RaisedTrim => trim(&[norm!(hours_trim, "h/m", LineId::TrimRun(Finish::Raised))], &TRIM_RAISED),
            WorkKind::KerbUpstand => Faces {
                quote: TOLD,
                hours: hours(&[
                    norm!(hours_trim, "h/m", LineId::TrimRun(Finish::Kerb)),
                    norm!(hours_kerb, "h each", LineId::KerbCount),
                ]),
                order: order(&["trim.kerb", "nails.clout", "adhesive"]),
                crew: TOLD,
                check: signed("trims signed"),
            },
            WorkKind::ChimneyUpstand => Faces {
                quote: TOLD,
                hours: hours(&[
                    norm!(hours_trim, "h/m", LineId::TrimRun(Finish::Wall)),
                    norm!(hours_kerb, "h each", LineId::ChimneyCount),
                ]),
                order: order(&["trim.wall", "nails.clout", "adhesive"]),
                crew: TOLD,
                check: signed("trims signed"),
            },
            WorkKind::DoorSill => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_sill, "h/m", LineId::SillRun)]),
                order: order(&["sealant.sill", "batten.edge", "preservative"]),
                crew: TOLD,
                check: signed("every sill sealed, its underside looked at"),
            },
            WorkKind::CopingOff => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_coping_off, "h/m", LineId::CopingOff)]),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("stripped"),
            },
            WorkKind::LevelTops => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_level, "h/m", LineId::ParapetTops)]),
                order: order(&["mortar"]),
                crew: TOLD,
                check: signed("every parapet lined, its top primed or boarded, its outer trim tight"),
            },
            WorkKind::Parapet => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_parapet, "h/m", LineId::ParapetRun)]),
                order: order(&["board.", "fixings.masonry", "primer.masonry", "trim.drip", "adhesive"]),
                crew: TOLD,
                check: signed("every parapet lined, its top primed or boarded, its outer trim tight"),
            },
            WorkKind::CopingOn => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_coping_on, "h/m", LineId::CopingOn)]),
                order: order(&["mortar", "dpc", "capping.", "fixings.masonry"]),
                crew: TOLD,
                check: signed("every parapet covered, nothing loose"),
            },
            WorkKind::TieIn => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_tie, "h/m", LineId::TieRun)]),
                order: order(&["tie.board", "tie.fillet", "fixings.framing"]),
                crew: TOLD,
                check: signed("trims signed"),
            },
            WorkKind::TilesOff => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_tiles_off, "h/m of course", LineId::TieCourses)]),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("stripped"),
            },
            WorkKind::TilesBack => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_tiles_back, "h/m of course", LineId::TieBattens)]),
                order: order(&["tie.underlay", "tie.batten", "tile.", "nails.tile", "nails.batten", "tie.strap"]),
                crew: TOLD,
                check: signed("tiles or slates back, none loose, none broken"),
            },
            WorkKind::PreformedCorners => Faces {
                quote: Not("a part of the raised edge that nobody chooses"),
                hours: hours(&[norm!(hours_corner, "h each", LineId::CornerExternal | LineId::CornerInternal)]),
                order: order(&["corner.external", "corner.internal"]),
                crew: TOLD,
                check: signed("every corner closed"),
            },
            WorkKind::CutCorners => Faces {
                quote: Not("a part of the edges that nobody chooses"),
                hours: hours(&[norm!(hours_corner, "h each", LineId::CornerCut)]),
                order: Not("cut from the trims themselves; the patch is in the bandage"),
                crew: TOLD,
                check: signed("every corner closed"),
            },
            WorkKind::Closures => Faces {
                quote: Not("a part of the edges that nobody chooses"),
                hours: hours(&[norm!(hours_corner, "h each", LineId::ClosureLeft | LineId::ClosureRight)]),
                order: order(&["closure.left", "closure.right"]),
                crew: TOLD,
                check: signed("every corner closed"),
            },
            WorkKind::LadderPoint => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_corner, "h each", LineId::LadderPoints)]),
                order: order(&["trim.", "adhesive"]),
                crew: TOLD,
                check: signed("trims signed"),
            },
            WorkKind::PipeCollar => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_collar, "h each", LineId::PipeCollars)]),
                order: order(&["collar.pipe"]),
                crew: TOLD,
                check: signed("every corner, lap and pipe looked at"),
            },
            WorkKind::RoofOutlet => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_outlet, "h each", LineId::RoofOutlets)]),
                order: order(&["outlet.roof"]),
                crew: TOLD,
                check: signed("water test"),
            },
            WorkKind::GutterBoards => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_box, "h/m", LineId::BoxRun)]),
                order: order(&[
                    "board.",
                    "fixings.deck",
                    "timber.noggin",
                    "fixings.framing",
                    "fillet.gutter",
                    "fixings.masonry",
                    "preservative",
                ]),
                crew: TOLD,
                check: signed("deck dry, sound, swept"),
            },
            WorkKind::GutterLining => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_lining, "h/m2", LineId::BoxLining)]),
                order: order(&["mat.", "resin", "catalyst", "topcoat."]),
                crew: TOLD,
                check: signed("laminate signed"),
            },
            WorkKind::Overflow => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_overflow, "h each", LineId::RoofOverflows)]),
                order: order(&["chute.overflow", "mortar"]),
                crew: TOLD,
                check: signed("water test"),
            },
            WorkKind::Bandage => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_bandage, "h/m", LineId::BandageLength(_))]),
                order: order(&["bandage.", "resin", "catalyst"]),
                crew: TOLD,
                check: signed("bandage signed"),
            },
            WorkKind::FirstLayer => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_laminate, "h/m2 a layer", LineId::MatFirst)]),
                order: order(&[
                    "mat.",
                    "resin",
                    "catalyst",
                    "acetone",
                    "sleeve.roller",
                    "brush",
                    "bucket",
                    "cup.catalyst",
                    "gloves",
                ]),
                crew: TOLD,
                check: signed("laminate signed"),
            },
            WorkKind::FurtherLayers => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_laminate, "h/m2 a layer", LineId::MatFurther)]),
                order: order(&["mat.", "resin", "catalyst"]),
                crew: TOLD,
                check: signed("laminate signed"),
            },
            WorkKind::Topcoat => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_topcoat, "h/m2", LineId::RoofArea)]),
                order: order(&["topcoat.", "catalyst"]),
                crew: TOLD,
                check: signed("topcoat signed"),
            },
            WorkKind::SlipResistant => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_aggregate, "h/m2", LineId::RoofArea)]),
                order: order(&["aggregate.", "topcoat.", "catalyst", "disc.abrasive"]),
                crew: TOLD,
                check: signed("topcoat signed"),
            },
            WorkKind::SheetBelow => Faces {
                quote: TOLD,
                hours: Not(SET_UP),
                order: order(&["sheet.floor"]),
                crew: TOLD,
                check: signed("taps sound, ground and dry"),
            },
            WorkKind::CutBack => Faces {
                quote: TOLD,
                hours: hours(&[
                    norm!(hours_patch, "h each", LineId::PatchCount),
                    norm!(hours_cut_back, "h/m2", LineId::PatchGround),
                ]),
                order: order(&["disc.abrasive", "cleaner", "sheet.night"]),
                crew: TOLD,
                check: signed("taps sound, ground and dry"),
            },
            WorkKind::PatchDeck => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_patch_deck, "h each", LineId::PatchBoardPieces)]),
                order: order(&["board.", "fixings.deck", "timber.noggin", "fixings.framing", "preservative"]),
                crew: TOLD,
                check: signed("taps sound, ground and dry"),
            },
            WorkKind::PatchEdge => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_patch_edge, "h/m", LineId::PatchEdgeRun)]),
                order: order(&["trim.", "nails.clout", "adhesive"]),
                crew: TOLD,
                check: signed("taps sound, ground and dry"),
            },
            WorkKind::PatchLaminate => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_patch_lay, "h/m2", LineId::PatchMat)]),
                order: order(&[
                    "mat.",
                    "bandage.",
                    "resin",
                    "catalyst",
                    "acetone",
                    "sleeve.roller",
                    "brush",
                    "bucket",
                    "cup.catalyst",
                    "gloves",
                ]),
                crew: TOLD,
                check: signed("patches laid; tapped before the topcoat: no hollow sound"),
            },
            WorkKind::WashOld => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_wash, "h/m2", LineId::RecoatFace)]),
                order: order(&["cleaner"]),
                crew: TOLD,
                check: signed("washed, rinsed and dry"),
            },
            WorkKind::CleanDown => Faces {
                quote: TOLD,
                hours: hours(&[
                    norm!(hours_clean, "h/m2", LineId::RecoatFace),
                    norm!(hours_trial, "h each", LineId::RecoatTrials),
                ]),
                order: order(&["disc.abrasive", "acetone"]),
                crew: TOLD,
                check: signed("clean, dull, dry"),
            },
            WorkKind::PrimeOld => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_prime, "h/m2", LineId::RecoatPrimed)]),
                order: order(&["primer"]),
                crew: TOLD,
                check: signed("clean, dull, dry"),
            },
            WorkKind::PatchTopcoat => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_topcoat, "h/m2", LineId::PatchCoated)]),
                order: order(&["topcoat.", "catalyst"]),
                crew: TOLD,
                check: signed("old roof topcoated"),
            },
            WorkKind::Recoat => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_topcoat, "h/m2", LineId::RecoatArea)]),
                order: order(&[
                    "topcoat.",
                    "catalyst",
                    "acetone",
                    "sleeve.roller",
                    "brush",
                    "bucket",
                    "cup.catalyst",
                    "gloves",
                ]),
                crew: TOLD,
                check: signed("old roof topcoated"),
            },
            WorkKind::GripAnew => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_aggregate, "h/m2", LineId::SurfaceArea)]),
                order: order(&["aggregate.", "topcoat.", "catalyst", "disc.abrasive"]),
                crew: TOLD,
                check: signed("old roof topcoated"),
            },
            WorkKind::TemporarySeal => Faces {
                quote: Not("it is gone, or covered, when the flashing is on"),
                hours: Not("pressed on as the fillet is bonded: in the norm for trims"),
                order: order(&["seal.temporary"]),
                crew: TOLD,
                check: signed("trims signed"),
            },
            WorkKind::Flashing => Faces {
                quote: TOLD,
                hours: hours(&[norm!(hours_lead, "h/m", LineId::FlashingLength | LineId::FlashingLeadFree)]),
                order: order(&["flashing."]),
                crew: TOLD,
                check: signed("finished"),
            },
            WorkKind::GutterOn => Faces {
                quote: TOLD,
                hours: hours(&[
                    norm!(hours_gutter, "h/m", LineId::GutterLength),
                    norm!(hours_downpipe, "h each", LineId::GutterSockets),
                ]),
                order: order(&["bracket.gutter", "fixings.bracket", "downpipe", "downpipe.socket", "fixings.masonry"]),
                crew: TOLD,
                check: signed("water poured: it runs to the outlet"),
            },
            WorkKind::OwnGoods => Faces {
                quote: TOLD,
                hours: Not(
                    "no norm: their lines say how long fitting takes, else it is in the works of the roof or an extra",
                ),
                order: order(&["own.", "fixings.fascia"]),
                crew: TOLD,
                check: signed("goods for this job there, whole and right"),
            },
            WorkKind::Extras => Faces {
                quote: TOLD,
                hours: Not("its cost or price stands in the job file, hours included"),
                order: Not("its cost or price stands in the job file, materials included"),
                crew: TOLD,
                check: signed("hand over"),
            },
            WorkKind::WaterTest => Faces {
                quote: TOLD,
                hours: Not(SET_UP),
                order: Not("the household's water"),
                crew: TOLD,
                check: signed("water test"),
            },
            WorkKind::ClearAway => Faces {
                quote: TOLD,
                hours: Not(SET_UP),
                order: Not(OWN_TOOLS),
                crew: TOLD,
                check: signed("roof and ground swept"),
            },
            WorkKind::HandOver => Faces {
                quote: TOLD,
                hours: Not(SET_UP),
                order: Not("nothing is used up"),
                crew: TOLD,
                check: signed("handed over"),
            },
        }
    }
}

const TRIM_DRIP: [&str; 3] = ["trim.drip", "nails.clout", "adhesive"];
const TRIM_WALL: [&str; 3] = ["trim.wall", "nails.clout", "adhesive"];
const TRIM_RAISED: [&str; 3] = ["trim.raised", "nails.clout", "adhesive"];

const fn trim(norms: &'static [Norm], roles: &'static [&'static str]) -> Faces {
    Faces { quote: TOLD, hours: hours(norms), order: order(roles), crew: TOLD, check: signed("trims signed") }
}
