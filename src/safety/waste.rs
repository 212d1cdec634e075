//! Waste: what it is, its code in the List of Wastes, and where it goes.
//!
//! Given nothing; gives a table; an old covering brings its own row (`model::covering`). A star marks hazardous waste. Codes are from the List of Wastes as used in WM3, most of
//! them from memory: the sheet says to check them with whoever takes the waste.

/// When a job has a waste.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// Every job.
    Always,
    /// Adhesive is used.
    Adhesive,
    /// Insulation is laid.
    Insulation,
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

/// The wastes.
pub const WASTES: &[Waste] = &[
    Waste {
        from: From::Always,
        what: "Resin or topcoat, not cured",
        code: "08 04 09*",
        how: "In its drum, lid on, as hazardous waste. Never down a drain.",
    },
    Waste {
        from: From::Adhesive,
        what: "Adhesive, not cured",
        code: "08 04 09*",
        how: "In its cartridge, as hazardous waste.",
    },
    Waste {
        from: From::Always,
        what: "Catalyst",
        code: "16 09 03*",
        how: "In its own bottle, apart from everything. Back to the supplier or a licensed carrier.",
    },
    Waste {
        from: From::Always,
        what: "Cured laminate, trim offcuts, hard pots (cold)",
        code: "17 02 03",
        how: "Skip or tip, once cold and hard.",
    },
    Waste {
        from: From::Always,
        what: "Empty drums with residue",
        code: "15 01 10*",
        how: "Apart; hazardous waste carrier.",
    },
    Waste {
        from: From::Always,
        what: "Rags, sleeves, gloves with resin",
        code: "15 02 02*",
        how: "Let cure spread out in the open, then apart in a lidded bin.",
    },
    Waste { from: From::Always, what: "Acetone, used", code: "14 06 03*", how: "In its can, lid on." },
    Waste { from: From::Always, what: "Clean wood and board", code: "17 02 01", how: "Skip, or reuse." },
    Waste {
        from: From::Insulation,
        what: "Insulation offcuts",
        code: "17 06 04",
        how: "Bagged, so that they do not blow about. Skip, or take-back by the merchant.",
    },
    Waste {
        from: From::Asbestos,
        what: "Anything with asbestos",
        code: "17 06 05* or 17 06 01*",
        how: "Do not touch. Licensed contractor and consignment note.",
    },
];
