//! Waste: what it is, its code in the List of Wastes, and where it goes.
//!
//! Given nothing; gives a table, each code by its name in `facts` (`facts::filled`); an old covering brings its own row
//! (`model::covering`). A star marks hazardous waste. The sheet says to check the codes with whoever takes the waste.

/// When a job has a waste.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// Every job.
    Always,
    /// Adhesive is used.
    Adhesive,
    /// Primer goes on bare masonry.
    MasonryPrimer,
    /// Mortar is mixed.
    Mortar,
    /// A roof is laid anew in place of an old one, or board let into it.
    TreatedTimber,
    /// A roof is laid where there was none.
    NewTimber,
    /// Tiles or slates are lifted and laid again.
    Tiles,
    /// An old laminate is ground or washed.
    OldLaminate,
    /// Boards of an old deck are lifted.
    OldBoards,
    /// Insulation is laid.
    Insulation,
    /// Lead is cut by the firm.
    Lead,
    /// Asbestos may be there.
    Asbestos,
}

/// One waste.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waste {
    /// When.
    pub from: From,
    /// What.
    pub what: &'static str,
    /// Its code.
    pub code: &'static str,
    /// What is done with it.
    pub how: &'static str,
}

const TREATED: &str = "Apart; never burnt. Hazardous until whoever takes it says that it is not (then {code_wood}).";

/// The wastes.
pub const WASTES: &[Waste] = &[
    Waste {
        from: From::Always,
        what: "Resin or topcoat, not cured",
        code: "{code_resin}",
        how: "In its drum, lid on, as hazardous waste. Never down a drain.",
    },
    Waste {
        from: From::Adhesive,
        what: "Adhesive, not cured",
        code: "{code_resin}",
        how: "In its cartridge, as hazardous waste.",
    },
    Waste { from: From::MasonryPrimer, what: "Primer, not cured", code: "{code_resin}", how: "As adhesive." },
    Waste { from: From::Mortar, what: "Mortar, broken stone", code: "{code_rubble}", how: "Skip or tip, once hard." },
    Waste {
        from: From::Always,
        what: "Catalyst",
        code: "{code_catalyst}",
        how: "In its own bottle, apart from everything. Back to the supplier or a licensed carrier.",
    },
    Waste {
        from: From::Always,
        what: "Cured laminate, trim offcuts, hard pots (cold)",
        code: "{code_plastic}",
        how: "Skip or tip, once cold and hard.",
    },
    Waste {
        from: From::Always,
        what: "Empty drums with residue",
        code: "{code_empties}",
        how: "Apart; hazardous waste carrier.",
    },
    Waste {
        from: From::Always,
        what: "Rags, sleeves, gloves with resin",
        code: "{code_rags}",
        how: "Let cure spread out in the open, then apart in a lidded bin.",
    },
    Waste { from: From::Always, what: "Acetone, used", code: "{code_acetone}", how: "In its can, lid on." },
    Waste { from: From::Always, what: "Clean wood and board", code: "{code_wood}", how: "Skip, or reuse." },
    Waste {
        from: From::TreatedTimber,
        what: "Treated timber, new and from the old roof",
        code: "{code_treated_wood}",
        how: TREATED,
    },
    Waste { from: From::NewTimber, what: "Treated timber", code: "{code_treated_wood}", how: TREATED },
    Waste {
        from: From::Tiles,
        what: "Broken tiles or slates",
        code: "{code_rubble}",
        how: "Skip or tip. Man-made ones only as the survey says.",
    },
    Waste {
        from: From::Tiles,
        what: "Old underlay",
        code: "{code_bitumen}",
        how: "Skip or tip, apart. With coal tar it is {code_coal_tar}: have it tested if old.",
    },
    Waste {
        from: From::OldLaminate,
        what: "Wash water with cleaner, grinding sludge",
        code: "{code_wash_water}",
        how: "Out of the wet vacuum into a lidded tub, for whoever takes it. Never down a drain or gutter.",
    },
    Waste {
        from: From::OldBoards,
        what: "Old boards of the deck",
        code: "{code_wood}",
        how: "Skip or tip, nails drawn or bent over. Treated, painted or soaked with bitumen: apart, {code_treated_wood} \
              until whoever takes it says otherwise.",
    },
    Waste {
        from: From::Lead,
        what: "Lead offcuts",
        code: "{code_lead}",
        how: "Clean and apart: scrap metal. Wash hands before food.",
    },
    Waste {
        from: From::Insulation,
        what: "Insulation offcuts",
        code: "{code_insulation}",
        how: "Bagged, so that they do not blow about. Skip, or take-back by the merchant.",
    },
    Waste {
        from: From::Asbestos,
        what: "Anything with asbestos",
        code: "{code_asbestos} or {code_asbestos_insulation}",
        how: "Do not touch. Licensed contractor and consignment note.",
    },
];
