//! The kinds of work that a roof of this trade can take, each with its name, its place in the order of work and its key.
//!
//! Given nothing; gives the one list on which quote, order, hours, costs, method statement, checks and hazards all hang.
//! A key is what templates and other programs call a kind; it never changes once given.

use std::fmt;

/// An operation, in the order of work: what is done at one go and signed before the next begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// Strip the old covering.
    Strip,
    /// Firrings and battens.
    Prepare,
    /// Boards.
    Deck,
    /// Vapour layer, insulation and the board over it.
    Insulate,
    /// Trims and their corners.
    Trims,
    /// Bandage.
    Bandage,
    /// Mat and resin.
    Laminate,
    /// An old laminate washed, before anything of it is opened or ground.
    Wash,
    /// Patches in an old laminate: cut back, dried, laid.
    Repair,
    /// An old laminate abraded and wiped, so that it takes a topcoat.
    Renew,
    /// Topcoat.
    Topcoat,
    /// Flashing and gutter.
    Finish,
}

impl Operation {
    /// Every operation, in the order of work.
    pub const ALL: [Operation; 12] = [
        Operation::Strip,
        Operation::Prepare,
        Operation::Deck,
        Operation::Insulate,
        Operation::Trims,
        Operation::Bandage,
        Operation::Laminate,
        Operation::Wash,
        Operation::Repair,
        Operation::Renew,
        Operation::Topcoat,
        Operation::Finish,
    ];

    /// Its name as a word: `strip`.
    pub const fn key(self) -> &'static str {
        match self {
            Operation::Strip => "strip",
            Operation::Prepare => "prepare",
            Operation::Deck => "deck",
            Operation::Insulate => "insulate",
            Operation::Trims => "trims",
            Operation::Bandage => "bandage",
            Operation::Laminate => "laminate",
            Operation::Wash => "wash",
            Operation::Repair => "repair",
            Operation::Renew => "renew",
            Operation::Topcoat => "topcoat",
            Operation::Finish => "finish",
        }
    }

    /// Whether resin or topcoat is mixed for it.
    pub const fn mixes(self) -> bool {
        use Operation::{Bandage, Laminate, Renew, Repair, Topcoat};
        matches!(self, Bandage | Laminate | Repair | Renew | Topcoat)
    }
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident: $key:literal, $name:literal, $operation:ident;)*) => {
        /// A kind of work.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum WorkKind {
            $($(#[$doc])* $kind,)*
        }

        impl WorkKind {
            /// Every kind, in the order of the work.
            pub const ALL: &[WorkKind] = &[$(WorkKind::$kind,)*];

            /// Its key: `firrings`.
            pub const fn key(self) -> &'static str {
                match self {
                    $(WorkKind::$kind => $key,)*
                }
            }

            /// The name under which a template asks whether the firm does it: `does_firrings`.
            pub const fn does(self) -> &'static str {
                match self {
                    $(WorkKind::$kind => concat!("does_", $key),)*
                }
            }

            /// The name under which a template asks whether others do it: `others_flashing`.
            pub const fn others(self) -> &'static str {
                match self {
                    $(WorkKind::$kind => concat!("others_", $key),)*
                }
            }

            /// Its name, as a list of works writes it: `fix firrings`.
            pub const fn name(self) -> &'static str {
                match self {
                    $(WorkKind::$kind => $name,)*
                }
            }

            /// Its name where there are so many gutters: `refit the gutters`.
            pub const fn name_for(self, gutters: usize) -> &'static str {
                match self {
                    WorkKind::GutterOff if gutters > 1 => "take down the gutters",
                    WorkKind::GutterOn if gutters > 1 => "refit the gutters",
                    _ => self.name(),
                }
            }

            /// The operation in which it is done.
            pub const fn operation(self) -> Operation {
                match self {
                    $(WorkKind::$kind => Operation::$operation,)*
                }
            }
        }
    };
}

kinds! {
    /// Scaffold or edge protection.
    Scaffold: "scaffold", "scaffold or edge protection", Strip;
    /// Permits and licences for the road or the skip.
    Permits: "permits", "permits and licences", Strip;
    /// Parking.
    Parking: "parking", "parking", Strip;
    /// Sheeting of the ground by day and of the roof by night.
    Protect: "protect", "protect and sheet", Strip;
    /// Moving of aerials, dishes and cables.
    Aerials: "aerials", "move aerials, dishes and cables", Strip;
    /// Tiles or slates above that are disturbed.
    DisturbedTiles: "disturbed_tiles", "tiles or slates above that are disturbed", Strip;
    /// The gutter comes down.
    GutterOff: "gutter_off", "take down the gutter", Strip;
    /// What lies on a wall that the roof is carried over comes off.
    CopingOff: "coping_off", "lift copings", Strip;
    /// The tops of such walls are levelled with mortar under their stones.
    LevelTops: "level_tops", "level the tops of parapets", Strip;
    /// Tiles or slates above come off along an edge that is tied in under them.
    TilesOff: "tiles_off", "lift tiles or slates", Strip;
    /// The old covering comes off.
    Strip: "strip", "strip the old covering", Strip;
    /// The boards of the old deck come off.
    StripBoards: "strip_boards", "lift the old boards", Strip;
    /// The old flashing comes out of the wall.
    FlashingOff: "flashing_off", "lift the old flashing", Strip;
    /// What came off goes away.
    CartAway: "cart_away", "cart away", Strip;
    /// Firrings that make the fall.
    Firrings: "firrings", "fix firrings", Prepare;
    /// The fall that is there stays.
    KeepFalls: "keep_falls", "keep the falls", Prepare;
    /// Battens on the fascia behind drip and raised edge.
    EdgeBattens: "edge_battens", "fix edge battens", Prepare;
    /// Noggins under unsupported edges.
    Noggins: "noggins", "fix noggins", Prepare;
    /// Joists cut for an opening, trimmed and doubled round it.
    Trimmers: "trimmers", "trim openings", Prepare;
    /// Joists along edges that have none.
    EdgeJoists: "edge_joists", "set joists along edges", Prepare;
    /// Kerbs built of new timber.
    NewKerb: "new_kerb", "build kerbs", Prepare;
    /// New boards on the joists.
    NewDeck: "new_deck", "lay the new deck", Deck;
    /// New boards over the old deck.
    OverlayDeck: "overlay_deck", "lay boards over the old deck", Deck;
    /// The old deck stays, once it has been looked at.
    KeepDeck: "keep_deck", "keep the deck", Deck;
    /// Continuous vents of a cold roof.
    Vents: "vents", "fit continuous vents", Deck;
    /// The vapour control layer.
    VapourLayer: "vapour_layer", "lay the vapour layer", Insulate;
    /// Timber as high as the insulation along the open edges.
    EdgeTimber: "edge_timber", "fix edge timber", Insulate;
    /// Insulation over the deck.
    Insulation: "insulation", "lay insulation over the deck", Insulate;
    /// The board over the insulation.
    BoardOver: "board_over", "lay the board over the insulation", Insulate;
    /// Battens on the face of that timber, behind drip and raised edge.
    EdgeBattensOver: "edge_battens_over", "fix edge battens on the timber", Insulate;
    /// Drip trims.
    DripTrim: "drip_trim", "fix drip trims", Trims;
    /// Wall fillet trims.
    WallFillet: "wall_fillet", "fix wall fillets", Trims;
    /// Raised edge trims.
    RaisedTrim: "raised_trim", "fix raised edge trims", Trims;
    /// Angle fillets up a kerb.
    KerbUpstand: "kerb_upstand", "carry the roof up kerbs", Trims;
    /// Fillets up a chimney.
    ChimneyUpstand: "chimney_upstand", "carry the roof up chimneys", Trims;
    /// The laminate carried up to a door sill, turned in under it and sealed.
    DoorSill: "door_sill", "carry the roof up under door sills", Trims;
    /// The laminate carried up the face of a low wall and over its top.
    Parapet: "parapet", "carry the roof over parapets", Trims;
    /// The laminate carried up under the covering of a roof above.
    TieIn: "tie_in", "tie in under the roof above", Trims;
    /// Preformed corner pieces.
    PreformedCorners: "preformed_corners", "bond preformed corners", Trims;
    /// Corners that are mitred, butted, notched or cut.
    CutCorners: "cut_corners", "cut and close corners", Trims;
    /// Handed closures between drip and raised edge.
    Closures: "closures", "bond closures", Trims;
    /// Ladder points.
    LadderPoint: "ladder_point", "bond ladder points", Trims;
    /// Collars round pipes.
    PipeCollar: "pipe_collar", "fit pipe collars", Trims;
    /// Outlets in the roof.
    RoofOutlet: "roof_outlet", "fit roof outlets", Trims;
    /// Boards, bearers and fillets of box gutters.
    GutterBoards: "gutter_boards", "board box gutters", Deck;
    /// Overflows through parapets and upstands.
    Overflow: "overflow", "form overflows", Trims;
    /// Bandage over joints, flanges, laps and corners.
    Bandage: "bandage", "bandage joints, flanges and corners", Bandage;
    /// The lining of box gutters.
    GutterLining: "gutter_lining", "line box gutters", Laminate;
    /// The first layer of mat and resin.
    FirstLayer: "first_layer", "lay the first layer of mat and resin", Laminate;
    /// The layers over the first.
    FurtherLayers: "further_layers", "lay the further layers of mat and resin", Laminate;
    /// Moss off an old laminate, which is washed all over.
    WashOld: "wash_old", "wash the old laminate", Wash;
    /// What stands below an old roof is sheeted.
    SheetBelow: "sheet_below", "sheet what stands below", Repair;
    /// The laminate is cut back and ground to what is sound.
    CutBack: "cut_back", "cut back and grind to sound laminate", Repair;
    /// Board let in where the deck under a patch is rotten.
    PatchDeck: "patch_deck", "let in board under patches", Repair;
    /// Old trim cut out or bedded again along a patch, a flashing lifted over it.
    PatchEdge: "patch_edge", "make good edges along patches", Repair;
    /// Mat, resin and bandage of patches.
    PatchLaminate: "patch_laminate", "laminate patches", Repair;
    /// An old laminate abraded and wiped all over.
    CleanDown: "clean_down", "abrade and degrease the old laminate", Renew;
    /// A tie coat on an old laminate.
    PrimeOld: "prime_old", "prime the old laminate", Renew;
    /// Topcoat over patches alone.
    PatchTopcoat: "patch_topcoat", "topcoat patches", Topcoat;
    /// Topcoat over the whole of an old laminate.
    Recoat: "recoat", "topcoat the old laminate", Topcoat;
    /// Aggregate in that topcoat, and a second coat.
    GripAnew: "grip_anew", "broadcast aggregate on the old laminate and coat again", Topcoat;
    /// Topcoat.
    Topcoat: "topcoat", "topcoat", Topcoat;
    /// Aggregate broadcast into the topcoat, and a second coat over it.
    SlipResistant: "slip_resistant", "broadcast aggregate and coat again", Topcoat;
    /// The seal at the top of the fillet until a flashing covers it.
    TemporarySeal: "temporary_seal", "seal the wall for a time", Trims;
    /// Render cut for the flashing.
    RenderCutting: "render_cutting", "cut render for the flashing", Finish;
    /// The cover flashing.
    Flashing: "flashing", "fit the cover flashing", Finish;
    /// It is covered again.
    CopingOn: "coping_on", "cover parapets", Finish;
    /// They are laid again over the laminate, on new underlay, fillet and battens.
    TilesBack: "tiles_back", "lay tiles or slates again", Finish;
    /// The gutter goes back, on its brackets and to a fall.
    GutterOn: "gutter_on", "refit the gutter", Finish;
    /// Goods for this job alone.
    OwnGoods: "own_goods", "goods for this job", Finish;
    /// Extras of the job that stand in the price.
    Extras: "extras", "extras", Finish;
    /// Water run over the roof.
    WaterTest: "water_test", "test with water", Finish;
    /// The site left clean.
    ClearAway: "clear_away", "clear away", Finish;
    /// The roof handed over.
    HandOver: "hand_over", "hand over", Finish;
}

impl WorkKind {
    /// Whether it is done where an old laminate stays, and nowhere else.
    pub const fn is_on_old(self) -> bool {
        matches!(self, WorkKind::PatchTopcoat | WorkKind::Recoat | WorkKind::GripAnew)
            || matches!(self.operation(), Operation::Wash | Operation::Repair | Operation::Renew)
    }

    /// Whether it is done standing or kneeling on the roof's topcoat, or is the next coat on it.
    pub const fn is_on_topcoat(self) -> bool {
        use WorkKind::{CopingOn, Flashing, GripAnew, SlipResistant, TilesBack};
        matches!(self, SlipResistant | GripAnew | Flashing | CopingOn | TilesBack)
    }
}

impl fmt::Display for WorkKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
