//! Exposure limits and protective equipment.
//!
//! Given nothing; gives tables, each figure by its name in `facts` (`facts::filled`), where source and edition stand; the
//! sheet prints "check the current edition" beside them.

/// A workplace exposure limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExposureLimit {
    /// Stable name: which jobs have it.
    pub of: Substance,
    /// What.
    pub what: &'static str,
    /// Averaged over eight hours.
    pub eight_hours: &'static str,
    /// Averaged over fifteen minutes.
    pub fifteen_minutes: &'static str,
}

/// What a limit or protective equipment is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Substance {
    /// Resin, catalyst and acetone: on every job.
    Always,
    /// Adhesive.
    Adhesive,
    /// Boards that are cut.
    Boards,
    /// Masonry, render, tiles or slates that are cut.
    Silica,
}

/// The limits. Milligrams per cubic metre agree with ppm × molar mass ÷ 24.06 at 20 °C.
pub const LIMITS: &[ExposureLimit] = &[
    ExposureLimit {
        of: Substance::Always,
        what: "Styrene",
        eight_hours: "{air_styrene_day}",
        fifteen_minutes: "{air_styrene_short}",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "Acetone",
        eight_hours: "{air_acetone_day}",
        fifteen_minutes: "{air_acetone_short}",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "MEK peroxide (catalyst)",
        eight_hours: "none",
        fifteen_minutes: "{air_peroxide_short}",
    },
    ExposureLimit {
        of: Substance::Adhesive,
        what: "Isocyanates, as NCO (adhesive)",
        eight_hours: "{air_isocyanate_day}",
        fifteen_minutes: "{air_isocyanate_short}",
    },
    ExposureLimit {
        of: Substance::Boards,
        what: "Softwood dust",
        eight_hours: "{air_softwood_day}",
        fifteen_minutes: "none",
    },
    ExposureLimit {
        of: Substance::Silica,
        what: "Respirable silica (cutting masonry, render or tiles)",
        eight_hours: "{air_silica_day}",
        fifteen_minutes: "none",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "Dust of cured glass-fibre laminate",
        eight_hours: "no limit of its own; {air_nuisance_day} as nuisance dust",
        fifteen_minutes: "none",
    },
];

/// Protective equipment: what it guards from, for what work, and what to wear.
pub const PROTECTION: &[(Substance, &str, &str)] = &[
    (Substance::Always, "On the roof, always", "Boots with grip, long sleeves, gloves, glasses."),
    (
        Substance::Always,
        "Measuring and mixing catalyst",
        "Goggles (not glasses), gloves that resist peroxide and styrene, apron. Eyewash at hand.",
    ),
    (
        Substance::Always,
        "Wetting out and topcoat",
        "Gloves that resist styrene (see the data sheet), sleeves; where air is still a fitted mask, gas filter type {mask_styrene}.",
    ),
    (
        Substance::Always,
        "Cleaning with acetone",
        "Gloves that resist acetone, glasses; where air is still a fitted mask, filter type {mask_acetone}, used once: type {mask_styrene} will not do.",
    ),
    (
        Substance::Always,
        "Cutting boards, sanding, chasing",
        "Glasses, fitted {mask_dust} mask or better, ear protection.",
    ),
    (Substance::Adhesive, "Adhesive", "Gloves, glasses, sleeves; mask and filter as its data sheet says."),
    (
        Substance::Always,
        "At an edge with no guard",
        "Restraint line, harness and anchor, inspected; a plan to reach a man who has fallen.",
    ),
    (Substance::Always, "Below the roof", "Helmet, while anything is lifted or lowered."),
];
