//! The checks of the method statement, as the householder reads of them once the roof is done, and as the record of the work
//! answers them.
//!
//! Given the works of a job; gives its checks, in the order of the work. What the crew signs stands in the table of faces; a
//! check here gathers what is signed of works that are looked at together. Its key never changes once given.

use super::kind::WorkKind;
use super::{Doer, Works};

macro_rules! checks {
    ($($check:ident: $key:literal, $words:literal, [$($kind:ident),* $(,)?];)*) => {
        /// A check of the method statement.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        #[allow(missing_docs, reason = "each has its words in the table")]
        pub enum RoofCheck {
            $($check,)*
        }

        impl RoofCheck {
            /// Every check, in the order of the work.
            pub const ALL: &[RoofCheck] = &[$(RoofCheck::$check,)*];

            /// Its key, as the record has it: `deck`.
            pub const fn key(self) -> &'static str {
                match self {
                    $(RoofCheck::$check => $key,)*
                }
            }

            /// What was looked at, for the householder.
            pub const fn words(self) -> &'static str {
                match self {
                    $(RoofCheck::$check => $words,)*
                }
            }

            /// The works that it is a check of.
            pub const fn of_works(self) -> &'static [WorkKind] {
                match self {
                    $(RoofCheck::$check => &[$(WorkKind::$kind,)*],)*
                }
            }
        }
    };
}

checks! {
    Stripped: "stripped", "Old covering off; every joist end and board looked at", [Strip, StripBoards, FlashingOff];
    Falls: "falls", "Joists and battens sound and straight; the fall measured", [Firrings, KeepFalls, EdgeBattens, Noggins, EdgeJoists];
    Openings: "openings", "Openings trimmed, kerbs square and level", [Trimmers, NewKerb];
    Deck: "deck", "Deck dry, sound and swept: no board moves, no nail stands up",
        [NewDeck, OverlayDeck, KeepDeck, Vents, GutterBoards];
    Insulation: "insulation", "Insulation tight; every layer of it sealed and fixed",
        [VapourLayer, EdgeTimber, Insulation, BoardOver, EdgeBattensOver];
    Trims: "trims", "Trims straight and tight; every lap and corner closed", [
        DripTrim, WallFillet, RaisedTrim, KerbUpstand, ChimneyUpstand, TieIn, PreformedCorners, CutCorners, Closures,
        LadderPoint,
    ];
    Bandage: "bandage", "Every board joint, trim and corner bandaged: no air, no dry edge", [Bandage];
    Laminate: "laminate", "Glass fibre wet through and even: no bubble, no dry fibre", [FirstLayer, FurtherLayers, GutterLining];
    CutBack: "cut_back", "Old glass fibre cut back to what is sound, ground and dry", [SheetBelow, CutBack, PatchDeck, PatchEdge];
    Patches: "patches", "Patches hard: no hollow sound, every edge down", [PatchLaminate];
    Cleaned: "cleaned", "The old face clean, dull and dry before it was coated", [WashOld, CleanDown, PrimeOld];
    Topcoat: "topcoat", "Topcoat hard and even in colour; no fibre shows through",
        [PatchTopcoat, Recoat, GripAnew, Topcoat, SlipResistant];
    Pipes: "pipes", "Collars sealed to their pipes", [PipeCollar];
    Outlets: "outlets", "Outlets and overflows open; water poured in runs through them", [RoofOutlet, Overflow];
    Sills: "sills", "Every door sill sealed, its underside looked at", [DoorSill];
    Flashing: "flashing", "The joint with the wall sealed, and covered by its flashing where that is ours",
        [TemporarySeal, RenderCutting, Flashing];
    Parapets: "parapets", "Every parapet lined and covered; nothing loose", [CopingOff, LevelTops, Parapet, CopingOn];
    Tiles: "tiles", "Tiles or slates above back in place: none loose, none broken", [DisturbedTiles, TilesOff, TilesBack];
    Gutter: "gutter", "Gutter back on its brackets; water poured in runs to the outlet", [GutterOff, GutterOn];
    Aerials: "aerials", "Aerials, dishes and cables back in place", [Aerials];
    Goods: "goods", "Goods for this job there, whole and right", [OwnGoods];
    Extras: "extras", "The extras that were agreed are done", [Extras];
    Water: "water", "Water run over the roof: it leaves where it should; no pond, no drip", [WaterTest];
    Cleared: "cleared", "Roof and ground swept; waste gone or labelled", [CartAway, ClearAway];
    Inside: "inside", "Ceilings and the underside of the roof looked at with you", [HandOver];
}

/// What the crew signs for the site and not for the roof: nothing of it is left when the roof is done.
pub const OF_THE_SITE: [WorkKind; 4] = [WorkKind::Scaffold, WorkKind::Permits, WorkKind::Parking, WorkKind::Protect];

impl RoofCheck {
    /// The checks of a job: of what the firm does.
    pub fn of(works: &Works) -> Vec<RoofCheck> {
        let ours = |kind: &WorkKind| works.iter().any(|w| w.kind == *kind && w.by == Doer::Us);
        RoofCheck::ALL.iter().copied().filter(|check| check.of_works().iter().any(ours)).collect()
    }

    /// The check of that key.
    pub fn called(key: &str) -> Option<RoofCheck> {
        RoofCheck::ALL.iter().copied().find(|check| check.key() == key)
    }
}
