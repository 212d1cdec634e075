//! The ids of the take-off's lines: lower case, dotted, never changed once given.
//!
//! Given a text (`trim.drip.run`); gives the id, or nothing where no line has it. One table spells each of them.

use super::Finish;
use std::fmt;

macro_rules! line_ids {
    ($($(#[$doc:meta])* $id:ident = $text:literal;)*) => {
        /// A line of the take-off.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum LineId {
            $($(#[$doc])* $id,)*
            /// `trim.<finish>.run`: the run of the edges, corner to corner.
            TrimRun(Finish),
            /// `trim.<finish>.lengths`: stock lengths to buy.
            TrimLengths(Finish),
            /// `trim.<finish>.laps`: lap joints.
            TrimLaps(Finish),
            /// `patch.trim.<finish>.lengths`: stock lengths to buy for trims renewed along patches.
            PatchTrimLengths(Finish),
            /// `bandage.<width in mm>.length`.
            BandageLength(u32),
            /// `bandage.<width in mm>.laps`: laps where a roll ends.
            BandageLaps(u32),
            /// `mat.<g/m²>.length`: metres off the roll.
            MatLength(u32),
        }

        /// Every id that stands alone, with its text.
        const ALONE: &[(LineId, &str)] = &[$((LineId::$id, $text),)*];
    };
}

line_ids! {
    /// Area of the roof, net of every hole.
    RoofArea = "roof.area";
    /// Area from which an old covering comes off.
    StripArea = "strip.area";
    /// Area from which the boards of an old deck come off.
    StripBoards = "strip.boards";
    /// Old flashing that comes out of its chase.
    StripFlashing = "strip.flashing";
    /// Area of the deck.
    DeckArea = "deck.area";
    /// Boards to buy.
    DeckBoards = "deck.boards";
    /// Joints between boards.
    DeckJoints = "deck.joints";
    /// Goods for one job alone.
    GoodsCount = "goods.count";
    /// Pins in fascia and soffit boards among those.
    GoodsPins = "goods.pins";
    /// Boards bought over what is laid.
    BoardsSpare = "boards.spare";
    /// Noggins.
    DeckNoggins = "deck.noggins";
    /// Screws in the ends of those.
    NogginFixings = "noggin.fixings";
    /// Lengths of timber to buy for noggins and bearers.
    NogginLengths = "noggin.lengths";
    /// Nails or screws of the deck.
    DeckFixings = "deck.fixings";
    /// Screws of an overlay's edges into the old boards.
    OldDeckFixings = "deck.old.fixings";
    /// Timber of new kerbs.
    KerbTimber = "kerb.timber";
    /// Screws of new kerbs.
    KerbFixings = "kerb.fixings";
    /// Trimmers round openings, and joists doubled beside them.
    TrimmerLength = "trimmer.length";
    /// Screws that hold doubled timbers together.
    TrimmerFixings = "trimmer.fixings";
    /// Joist hangers round openings.
    TrimmerHangers = "trimmer.hangers";
    /// Nails that fill the holes of those.
    HangerNails = "hanger.nails";
    /// Lengths of timber to buy for kerbs and trimmers.
    SawnLengths = "sawn.lengths";
    /// Firrings.
    FirringLength = "firring.length";
    /// What the firrings weigh.
    FirringMass = "firring.mass";
    /// Blocking that holds deep ones upright.
    FirringBlocking = "firring.blocking";
    /// Screws of firrings.
    FirringFixings = "firring.fixings";
    /// Edge battens.
    BattenLength = "batten.length";
    /// What is lost of it in offcuts.
    BattenWaste = "batten.waste";
    /// Screws of edge battens.
    BattenFixings = "batten.fixings";
    /// Vapour layer, sheet as laid.
    VapourArea = "vapour.area";
    /// Tape on its laps and along its edges.
    VapourTape = "vapour.tape";
    /// Insulation, net.
    InsulationArea = "insulation.area";
    /// Insulation boards to buy.
    InsulationBoards = "insulation.boards";
    /// Edge timber round the insulation.
    EdgeTimber = "edge.timber";
    /// What of it is lost in offcuts.
    EdgeTimberWaste = "edge.timber.waste";
    /// Its screws.
    EdgeTimberFixings = "edge.timber.fixings";
    /// Joists set along edges with none.
    EdgeJoists = "edge.joists";
    /// Their screws.
    EdgeJoistFixings = "edge.joist.fixings";
    /// Boarding over the insulation, net.
    OverlayArea = "overlay.area";
    /// Boards over the insulation to buy.
    OverlayBoards = "overlay.boards";
    /// Screws through the insulation.
    OverlayFixings = "overlay.fixings";
    /// Continuous vent of a cold roof.
    VentRun = "vent.run";
    /// Preformed external corners.
    CornerExternal = "corner.external";
    /// Preformed internal corners.
    CornerInternal = "corner.internal";
    /// Corners that are mitred, butted, notched or cut and patched.
    CornerCut = "corner.cut";
    /// Left-hand closures.
    ClosureLeft = "closure.left";
    /// Right-hand closures.
    ClosureRight = "closure.right";
    /// Kerbs that the roof is carried up.
    KerbCount = "kerb.count";
    /// Chimneys that the roof is carried up.
    ChimneyCount = "chimney.count";
    /// Ladder points.
    LadderPoints = "ladder.points";
    /// Door sills that the roof is carried up to.
    SillRun = "sill.run";
    /// Batten that closes the gap of the deck under those that no fillet fits under.
    SillGap = "sill.gap";
    /// Sealant under them.
    SillSealant = "sill.sealant";
    /// Edges tied in under the covering of a roof above.
    TieRun = "tie.run";
    /// Board that the laminate lies on there.
    TieBoard = "tie.board";
    /// What fixes that board to the rafters.
    TieFixings = "tie.fixings";
    /// Tilting fillet under the lowest course.
    TieFillet = "tie.fillet";
    /// Courses of tiles or slates lifted and laid again: their lengths together.
    TieCourses = "tie.courses";
    /// Underlay lapped over the laminate.
    TieUnderlay = "tie.underlay";
    /// Battens under the courses.
    TieBattens = "tie.battens";
    /// Nails for the battens.
    TieBattenNails = "tie.batten.nails";
    /// Nails for the tiles or slates.
    TieNails = "tie.nails";
    /// Straps for the slates that no nail reaches.
    TieStraps = "tie.straps";
    /// New tiles or slates for those that break.
    TieTiles = "tie.tiles";
    /// Collars for pipes.
    PipeCollars = "pipe.collars";
    /// Outlets in the roof.
    RoofOutlets = "roof.outlets";
    /// Walls that the roof is carried over, along their tops.
    ParapetRun = "parapet.run";
    /// Their tops under stones, which are levelled with mortar.
    ParapetTops = "parapet.tops";
    /// Boards on their faces and tops.
    ParapetBoards = "parapet.boards";
    /// Screws and plugs of boards and outer trims.
    ParapetFixings = "parapet.fixings";
    /// Primer on their bare tops.
    ParapetPrimer = "parapet.primer";
    /// Mortar that levels their tops.
    ParapetMortar = "parapet.mortar";
    /// What lies on them is lifted.
    CopingOff = "coping.off";
    /// They are covered again.
    CopingOn = "coping.on";
    /// Mortar under coping stones.
    CopingMortar = "coping.mortar";
    /// Damp-proof course under coping stones.
    CopingDpc = "coping.dpc";
    /// Metal capping.
    CappingLength = "capping.length";
    /// Its brackets.
    CappingBrackets = "capping.brackets";
    /// Screws and plugs of those.
    CappingFixings = "capping.fixings";
    /// Its ends.
    CappingEnds = "capping.ends";
    /// Its corners.
    CappingCorners = "capping.corners";
    /// Box gutters.
    BoxRun = "box.run";
    /// Whole boards that a box gutter is cut from.
    BoxBoards = "box.boards";
    /// Its fixings.
    BoxFixings = "box.fixings";
    /// Bearers under its sole.
    BoxBearers = "box.bearers";
    /// Screws in the ends of those.
    BearerFixings = "box.bearer.fixings";
    /// The ledgers that they lie on.
    BoxLedgers = "box.ledgers";
    /// Screws of the ledger on the roof's side.
    LedgerFixings = "box.ledger.fixings";
    /// Screws and plugs of the one on the parapet.
    LedgerPlugs = "box.ledger.plugs";
    /// Fillets in its inner corners.
    BoxFillets = "box.fillets";
    /// Mat of its lining, all layers.
    BoxLining = "box.lining";
    /// Resin of its lining.
    BoxResin = "box.resin";
    /// Topcoat of its lining.
    BoxTopcoat = "box.topcoat";
    /// Overflows through parapets and upstands.
    RoofOverflows = "roof.overflows";
    /// Mortar that their chutes are bedded in.
    OverflowMortar = "overflow.mortar";
    /// Clout nails.
    NailsClout = "nails.clout";
    /// Dabs of adhesive.
    AdhesiveDabs = "adhesive.dabs";
    /// Cartridges of adhesive.
    AdhesiveCartridges = "adhesive.cartridges";
    /// All strips of mat as cut, all layers.
    MatArea = "mat.area";
    /// Strips of the first layer.
    MatFirst = "mat.first";
    /// Strips of the layers over the first.
    MatFurther = "mat.further";
    /// Resin for the laminate.
    LaminateResin = "laminate.resin";
    /// Resin for the bandage.
    BandageResin = "bandage.resin";
    /// Resin that bare boards take up.
    SealResin = "seal.resin";
    /// Resin left in buckets and rollers.
    BucketResin = "bucket.resin";
    /// Topcoat.
    TopcoatMass = "topcoat.mass";
    /// Topcoat over the aggregate of a surface against slipping.
    SurfaceTopcoat = "surface.topcoat";
    /// Aggregate broadcast into the topcoat.
    SurfaceAggregate = "surface.aggregate";
    /// Discs that take the shine off a first coat before the one over the aggregate.
    SurfaceDiscs = "surface.discs";
    /// Topcoat left in buckets and rollers.
    BucketTopcoat = "bucket.topcoat";
    /// Catalyst to order.
    CatalystVolume = "catalyst.volume";
    /// Patches in an old laminate.
    PatchCount = "patch.count";
    /// What is cut back and ground for them.
    PatchGround = "patch.ground";
    /// Discs for that.
    PatchDiscs = "patch.discs";
    /// Cleaner for what is ground.
    PatchCleaner = "patch.cleaner";
    /// Pieces of board let in under them.
    PatchBoardPieces = "patch.board.pieces";
    /// Whole boards that those are cut from.
    PatchBoards = "patch.boards";
    /// Noggins round those.
    PatchNoggins = "patch.noggins";
    /// Screws of those.
    PatchNogginFixings = "patch.noggin.fixings";
    /// What fixes them.
    PatchFixings = "patch.fixings";
    /// Mat of the patches as cut, all layers.
    PatchMat = "patch.mat";
    /// Edges made good along patches: trim cut out or bedded again, flashing lifted.
    PatchEdgeRun = "patch.edge.run";
    /// Clout nails of those trims.
    PatchEdgeNails = "patch.edge.nails";
    /// Cartridges of adhesive that they are bedded in.
    PatchEdgeAdhesive = "patch.edge.adhesive";
    /// Patches that are topcoated by themselves.
    PatchCoated = "patch.coated";
    /// An old laminate that is topcoated anew, on plan.
    RecoatArea = "recoat.area";
    /// The same with the faces of trims and kerbs that are coated too.
    RecoatFace = "recoat.face";
    /// Square metres coated first, to see whether the topcoat sticks.
    RecoatTrials = "recoat.trials";
    /// Cleaner for it.
    RecoatCleaner = "recoat.cleaner";
    /// Discs that abrade it.
    RecoatDiscs = "recoat.discs";
    /// Acetone that it is wiped with.
    RecoatWipe = "recoat.wipe";
    /// What of it is primed.
    RecoatPrimed = "recoat.primed";
    /// Tie coat for that.
    RecoatPrimer = "recoat.primer";
    /// An old laminate that aggregate is broadcast on.
    SurfaceArea = "surface.area";
    /// Cover flashing, laps included.
    FlashingLength = "flashing.length";
    /// The same of a metal without lead.
    FlashingLeadFree = "flashing.lead-free.length";
    /// Wedges that hold the flashing in its chase.
    FlashingWedges = "flashing.wedges";
    /// Sealant for the chase.
    FlashingSealant = "flashing.sealant";
    /// Temporary seal at the wall.
    SealTemporary = "seal.temporary";
    /// Gutter that is taken down and refitted.
    GutterLength = "gutter.length";
    /// Gutter brackets.
    GutterBrackets = "gutter.brackets";
    /// Screws of those.
    GutterFixings = "gutter.fixings";
    /// Pipe between a gutter that comes up with the roof and its downpipe.
    GutterDownpipe = "gutter.downpipe";
    /// The socket of each such pipe, with its clip.
    GutterSockets = "gutter.sockets";
    /// Screws with plugs for those clips.
    GutterClipFixings = "gutter.clip.fixings";
    /// Preservative for the cut ends of treated timber.
    Preservative = "preservative";
    /// Sheeting for the night.
    SheetNight = "sheet.night";
    /// Sheeting for the ground.
    SheetFloor = "sheet.floor";
    /// Acetone.
    Acetone = "acetone";
    /// Roller sleeves.
    RollerSleeves = "roller.sleeves";
    /// Brushes.
    Brushes = "brushes";
    /// Mixing buckets.
    Buckets = "buckets";
    /// Measuring cups for catalyst.
    CatalystCups = "catalyst.cups";
    /// Gloves.
    Gloves = "gloves";
}

impl LineId {
    /// The id of a text; `None` where no line has it.
    pub fn parse(text: &str) -> Option<LineId> {
        let between = |head: &str, tail: &str| text.strip_prefix(head)?.strip_suffix(tail);
        let number = |head: &str, tail: &str| between(head, tail)?.parse::<u32>().ok();
        let named = |head: &str, tail: &str| Finish::ALL.into_iter().find(|f| between(head, tail) == Some(f.word()));
        let finish = |tail: &str| named("trim.", tail);
        (ALONE.iter().find(|(_, t)| *t == text).map(|(id, _)| *id))
            .or_else(|| finish(".run").map(LineId::TrimRun))
            .or_else(|| finish(".lengths").map(LineId::TrimLengths))
            .or_else(|| finish(".laps").map(LineId::TrimLaps))
            .or_else(|| named("patch.trim.", ".lengths").map(LineId::PatchTrimLengths))
            .or_else(|| number("bandage.", ".length").map(LineId::BandageLength))
            .or_else(|| number("bandage.", ".laps").map(LineId::BandageLaps))
            .or_else(|| number("mat.", ".length").map(LineId::MatLength))
    }
}

impl fmt::Display for LineId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LineId::TrimRun(finish) => write!(f, "trim.{}.run", finish.word()),
            LineId::TrimLengths(finish) => write!(f, "trim.{}.lengths", finish.word()),
            LineId::TrimLaps(finish) => write!(f, "trim.{}.laps", finish.word()),
            LineId::PatchTrimLengths(finish) => write!(f, "patch.trim.{}.lengths", finish.word()),
            LineId::BandageLength(width) => write!(f, "bandage.{width}.length"),
            LineId::BandageLaps(width) => write!(f, "bandage.{width}.laps"),
            LineId::MatLength(weight) => write!(f, "mat.{weight}.length"),
            alone => f.write_str(ALONE.iter().find(|(id, _)| id == alone).map_or("", |(_, text)| text)),
        }
    }
}

/// An id is the text that the take-off prints.
impl PartialEq<&str> for LineId {
    fn eq(&self, text: &&str) -> bool {
        LineId::parse(text) == Some(*self)
    }
}
